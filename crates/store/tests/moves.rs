//! Places, stays and runs: a small model of the shop beside the logbook, and state that does not depend on the order
//! in which events arrive.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Shop, dump, findings, number, strings, verify};
use proptest::prelude::*;
use store::time::HOUR_MS;
use store::{Stamp, StoreError};

const BEARINGS: [&str; 3] = ["TH-4T-001", "TH-4T-002", "TH-4T-003"];
/// The first two fit the operator side, the others the drive side.
const CHOCKS: [&str; 4] = ["WC-17", "WC-18", "WC-41", "WC-42"];
const POSITIONS: [&str; 4] = ["F3-W-T-O", "F4-W-T-O", "F3-W-T-D", "F4-W-T-D"];
const ROLLS: [&str; 2] = ["R-101", "R-102"];

/// One thing that somebody enters.
#[derive(Debug, Clone, Copy)]
enum Move {
    Assemble {
        bearing: usize,
        chock: usize,
    },
    TakeOut {
        bearing: usize,
    },
    Mount {
        chock: usize,
        roll: usize,
        position: usize,
    },
    Dismount {
        chock: usize,
    },
    Campaign {
        chock_o: usize,
        chock_d: usize,
        hours: i64,
    },
    Hold {
        bearing: usize,
    },
    Release {
        bearing: usize,
    },
    SendOut {
        bearing: usize,
    },
    Return {
        bearing: usize,
    },
    Scrap {
        bearing: usize,
    },
}

use Move::{Assemble, Campaign, Dismount, Hold, Mount, Release, Return, Scrap, SendOut, TakeOut};

fn any_move() -> impl Strategy<Value = Move> {
    let (bearing, chock, side) = (0..BEARINGS.len(), 0..CHOCKS.len(), 0..2_usize);
    prop_oneof![
        6 => (bearing.clone(), chock.clone()).prop_map(|(bearing, chock)| Assemble { bearing, chock }),
        3 => bearing.clone().prop_map(|bearing| TakeOut { bearing }),
        6 => (chock.clone(), 0..2_usize, 0..4_usize).prop_map(|(chock, roll, position)| Mount { chock, roll, position }),
        4 => chock.prop_map(|chock| Dismount { chock }),
        4 => (side.clone(), side, 0..30_i64).prop_map(|(o, d, hours)| Campaign { chock_o: o, chock_d: 2 + d, hours }),
        1 => bearing.clone().prop_map(|bearing| Hold { bearing }),
        2 => bearing.clone().prop_map(|bearing| Release { bearing }),
        1 => bearing.clone().prop_map(|bearing| SendOut { bearing }),
        2 => bearing.clone().prop_map(|bearing| Return { bearing }),
        1 => bearing.prop_map(|bearing| Scrap { bearing }),
    ]
}

impl Move {
    /// As it is entered, at a time.
    fn line(self, at: Stamp) -> String {
        let rest = match self {
            Assemble { bearing, chock } => {
                format!(
                    r#""kind":"assembled","bearing":"{}","chock":"{}","zone":1"#,
                    BEARINGS[bearing], CHOCKS[chock]
                )
            }
            TakeOut { bearing } => format!(
                r#""kind":"taken_out","bearing":"{}","reason":"x""#,
                BEARINGS[bearing]
            ),
            Mount {
                chock,
                roll,
                position,
            } => format!(
                r#""kind":"mounted","chock":"{}","roll":"{}","position":"{}""#,
                CHOCKS[chock], ROLLS[roll], POSITIONS[position]
            ),
            Dismount { chock } => format!(r#""kind":"dismounted","chock":"{}""#, CHOCKS[chock]),
            Campaign {
                chock_o,
                chock_d,
                hours,
            } => format!(
                r#""kind":"campaign","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"{}","chock_d":"{}","from":"{}","hours":{hours},"tonnes":{}"#,
                CHOCKS[chock_o],
                CHOCKS[chock_d],
                at.plus_ms(-hours * HOUR_MS - 1000),
                hours * 900
            ),
            Hold { bearing } => format!(
                r#""kind":"hold","bearing":"{}","reason":"x""#,
                BEARINGS[bearing]
            ),
            Release { bearing } => format!(
                r#""kind":"released","bearing":"{}","reason":"x""#,
                BEARINGS[bearing]
            ),
            SendOut { bearing } => format!(
                r#""kind":"sent_out","bearing":"{}","to":"North Yard""#,
                BEARINGS[bearing]
            ),
            Return { bearing } => format!(r#""kind":"returned","bearing":"{}""#, BEARINGS[bearing]),
            Scrap { bearing } => {
                format!(
                    r#""kind":"scrapped","bearing":"{}","reason":"x","witness":"Engineer""#,
                    BEARINGS[bearing]
                )
            }
        };
        format!(r#"{{{rest},"at":"{at}"}}"#)
    }
}

/// What the shop looks like to somebody who only knows the rules.
#[derive(Debug, Default, Clone)]
struct Model {
    chock_of: [Option<usize>; 3],
    is_held: [bool; 3],
    is_away: [bool; 3],
    is_scrapped: [bool; 3],
    /// Roll and position of a chock in the mill.
    mounted: [Option<(usize, usize)>; 4],
    /// End of the last campaign of each chock.
    ran_until: [i64; 4],
}

impl Model {
    fn is_free(&self, bearing: usize) -> bool {
        let in_mill = self.chock_of[bearing].is_some_and(|chock| self.mounted[chock].is_some());
        !self.is_scrapped[bearing] && !self.is_away[bearing] && !in_mill
    }

    /// Does it, or says that the rules forbid it.
    fn take(&mut self, step: Move, at: Stamp) -> bool {
        let side = |position: usize| position / 2;
        let allowed = match step {
            Assemble { bearing, chock } => {
                self.is_free(bearing)
                    && !self.is_held[bearing]
                    && self.mounted[chock].is_none()
                    && self.chock_of[bearing].is_none()
                    && !self.chock_of.contains(&Some(chock))
            }
            TakeOut { bearing } => {
                self.chock_of[bearing].is_some_and(|chock| self.mounted[chock].is_none())
            }
            Mount {
                chock,
                roll,
                position,
            } => {
                let clashes = |other: &(usize, usize)| {
                    other.1 == position || (other.0 == roll && side(other.1) == side(position))
                };
                self.mounted[chock].is_none()
                    && !self.mounted.iter().flatten().any(clashes)
                    && chock / 2 == side(position)
            }
            Dismount { chock } => self.mounted[chock].is_some(),
            Campaign {
                chock_o,
                chock_d,
                hours,
            } => {
                let from = at.ms - hours * HOUR_MS - 1000;
                self.ran_until[chock_o] <= from && self.ran_until[chock_d] <= from
            }
            Hold { bearing } => !self.is_scrapped[bearing],
            Release { bearing } => self.is_held[bearing],
            SendOut { bearing } | Scrap { bearing } => self.is_free(bearing),
            Return { bearing } => self.is_away[bearing],
        };
        if allowed {
            self.apply(step, at);
        }
        allowed
    }

    fn apply(&mut self, step: Move, at: Stamp) {
        match step {
            Assemble { bearing, chock } => self.chock_of[bearing] = Some(chock),
            TakeOut { bearing } => self.chock_of[bearing] = None,
            Mount {
                chock,
                roll,
                position,
            } => self.mounted[chock] = Some((roll, position)),
            Dismount { chock } => self.mounted[chock] = None,
            Campaign {
                chock_o, chock_d, ..
            } => {
                self.ran_until[chock_o] = at.ms;
                self.ran_until[chock_d] = at.ms;
            }
            Hold { bearing } => self.is_held[bearing] = true,
            Release { bearing } => self.is_held[bearing] = false,
            SendOut { bearing } => (self.is_away[bearing], self.chock_of[bearing]) = (true, None),
            Return { bearing } => self.is_away[bearing] = false,
            Scrap { bearing } => (self.is_scrapped[bearing], self.chock_of[bearing]) = (true, None),
        }
    }
}

/// One place a thing, whatever was entered.
fn check_places(shop: &Shop) {
    let conn = shop.logbook.connection();
    for (what, sql) in [
        (
            "a bearing in two chocks",
            "SELECT bearing FROM stay WHERE to_event IS NULL GROUP BY bearing HAVING count(*) > 1",
        ),
        (
            "two bearings in a seat",
            "SELECT chock FROM stay WHERE to_event IS NULL GROUP BY chock, seat HAVING count(*) > 1",
        ),
        (
            "two chocks in a position",
            "SELECT position FROM place WHERE position IS NOT NULL GROUP BY position HAVING count(*) > 1",
        ),
        (
            "a stay that ends before it begins",
            "SELECT no FROM stay WHERE to_ms < from_ms",
        ),
    ] {
        assert_eq!(
            number(conn, &format!("SELECT count(*) FROM ({sql})")),
            0,
            "{what}"
        );
    }
}

/// Where each bearing is, by the logbook.
fn chock_of(shop: &Shop, bearing: &str) -> Option<String> {
    let sql = format!(
        "SELECT c.code FROM stay s JOIN thing b ON b.no = s.bearing JOIN thing c ON c.no = s.chock
         WHERE b.code = '{bearing}' AND s.to_event IS NULL"
    );
    strings(shop.logbook.connection(), &sql).into_iter().next()
}

fn rebuilt(shop: &mut Shop) -> Vec<String> {
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    shop.dump()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 200, ..ProptestConfig::default() })]

    #[test]
    fn in_order_the_logbook_takes_what_the_model_takes_and_refuses_the_rest(
        moves in proptest::collection::vec((any_move(), 1..20_i64), 1..80)
    ) {
        let mut shop = Shop::new();
        shop.logbook.write_without_waiting().unwrap();
        let mut model = Model::default();
        for (step, hours) in moves {
            shop.clock.forward_ms(hours * HOUR_MS);
            let at = shop.logbook.now();
            let before = shop.dump();
            match (model.take(step, at), shop.log(&step.line(at))) {
                (true, Ok(_)) => {}
                (false, Err(StoreError::Refused(_))) => prop_assert_eq!(shop.dump(), before, "a refusal changed something"),
                (allowed, answer) => prop_assert!(false, "{step:?}: the model says {allowed}, the logbook {answer:?}"),
            }
            check_places(&shop);
            for (bearing, chock) in BEARINGS.iter().zip(model.chock_of) {
                let found = chock_of(&shop, bearing);
                prop_assert_eq!(found.as_deref(), chock.map(|c| CHOCKS[c]), "{}", bearing);
            }
        }
        prop_assert_eq!(number(shop.logbook.connection(), "SELECT count(*) FROM conflict"), 0);
        let state = shop.dump();
        prop_assert_eq!(rebuilt(&mut shop), state);
        let report = verify(&shop.path, None);
        prop_assert!(report.holds(), "{}", findings(&report));
    }

    #[test]
    fn in_any_order_the_state_is_what_a_rebuild_gives_and_things_stay_in_one_place(
        moves in proptest::collection::vec((any_move(), -30..40_i64), 1..60)
    ) {
        let mut shop = Shop::new();
        shop.logbook.write_without_waiting().unwrap();
        shop.clock.forward_ms(1000 * HOUR_MS);
        for (step, hours) in moves {
            // The clock runs on, but people enter things that were long ago.
            shop.clock.forward_ms(4 * HOUR_MS);
            let at = shop.logbook.now().plus_ms(hours.min(0) * HOUR_MS);
            let before = shop.dump();
            match shop.log(&step.line(at)) {
                Ok(_) => {}
                Err(StoreError::Refused(_)) => prop_assert_eq!(shop.dump(), before),
                Err(other) => prop_assert!(false, "{step:?}: {other}"),
            }
            check_places(&shop);
        }
        let state = shop.dump();
        prop_assert_eq!(rebuilt(&mut shop), state);
        let report = verify(&shop.path, None);
        prop_assert!(report.holds(), "{}", findings(&report));
    }
}

/// The state in words that do not depend on the order of arrival.
fn story(shop: &Shop) -> Vec<String> {
    let conn = shop.logbook.connection();
    let mut all = Vec::new();
    for sql in [
        "SELECT b.code || ' in ' || c.code || ' ' || s.seat || ' zone ' || s.zone || ' from ' || s.from_ms || ' to '
            || coalesce(s.to_ms, 'now') || ': ' || s.run_s || ' s, ' || s.rolled_kg || ' kg, ' || s.campaigns || ', '
            || s.has_estimate
         FROM stay s JOIN thing b ON b.no = s.bearing JOIN thing c ON c.no = s.chock ORDER BY 1",
        "SELECT t.code || ' ' || p.place || ' ' || coalesce(o.code, '-') || ' ' || coalesce(r.code, '-') || ' ' || p.note
         FROM place p JOIN thing t ON t.no = p.thing LEFT JOIN thing o ON o.no = p.position LEFT JOIN thing r ON r.no = p.roll
         ORDER BY 1",
        "SELECT t.code || ' ran ' || r.from_ms || ' ' || r.to_ms || ' ' || r.run_s FROM run r JOIN thing t ON t.no = r.chock
         ORDER BY 1",
        "SELECT t.code || ' baseline ' || b.revision || ' ' || b.pair || ' ' || b.value_nm FROM baseline b
         JOIN thing t ON t.no = b.bearing ORDER BY 1",
        "SELECT what FROM conflict ORDER BY 1",
    ] {
        all.extend(strings(conn, sql));
    }
    all
}

#[test]
fn a_late_event_gives_the_state_of_one_that_came_in_time() {
    let mut in_time = Shop::new();
    in_time.work();
    let expected = story(&in_time);
    assert_eq!(
        expected
            .iter()
            .filter(|line| line.contains("19800 s, 5000000 kg, 1, 0"))
            .count(),
        2,
        "{expected:#?}"
    );
    // Each order has one or more events come after those that they went before.
    for order in [
        [0, 2, 3, 4, 5, 6, 7, 8, 1],
        [1, 2, 3, 0, 4, 5, 6, 8, 7],
        [2, 4, 6, 3, 5, 8, 7, 1, 0],
    ] {
        let mut late = Shop::new();
        for i in order {
            late.log(common::WORK[i])
                .unwrap_or_else(|e| panic!("{}: {e}", common::WORK[i]));
            check_places(&late);
        }
        assert_eq!(story(&late), expected, "{order:?}");
        let state = late.dump();
        assert_eq!(rebuilt(&mut late), state);
    }
}

#[test]
fn the_hours_of_a_late_campaign_go_to_the_stay_of_its_day() {
    let mut shop = Shop::new();
    shop.work();
    shop.log(r#"{"kind":"assembled","at":"2026-01-10T06:00","bearing":"TH-4T-003","chock":"WC-17","zone":1}"#).unwrap();
    let run_s = |shop: &Shop, bearing: &str| {
        let sql = format!(
            "SELECT s.run_s FROM stay s JOIN bearing b ON b.no = s.bearing WHERE b.serial = '{bearing}'"
        );
        number(shop.logbook.connection(), &sql)
    };
    let campaign = |from: &str, at: &str| {
        format!(
            r#"{{"kind":"campaign","at":"{at}","roll":"R-102","position_o":"F4-W-T-O","position_d":"F4-W-T-D","chock_o":"WC-17","chock_d":"WC-42","from":"{from}","hours":1,"tonnes":1,"estimate":true}}"#
        )
    };
    assert_eq!(
        (run_s(&shop, "TH-4T-001"), run_s(&shop, "TH-4T-003")),
        (19_800, 0)
    );
    shop.log(&campaign("2026-01-08T20:00", "2026-01-08T22:00"))
        .unwrap();
    assert_eq!(
        (run_s(&shop, "TH-4T-001"), run_s(&shop, "TH-4T-003")),
        (23_400, 0)
    );
    shop.log(&campaign("2026-01-10T07:00", "2026-01-10T09:00"))
        .unwrap();
    assert_eq!(
        (run_s(&shop, "TH-4T-001"), run_s(&shop, "TH-4T-003")),
        (23_400, 3_600)
    );
    let between = shop.log(&campaign("2026-01-09T09:00", "2026-01-09T11:00"));
    assert!(
        between.is_ok(),
        "a chock without a bearing may have run: it is not this logbook's bearing"
    );
    assert_eq!(
        (run_s(&shop, "TH-4T-001"), run_s(&shop, "TH-4T-003")),
        (23_400, 3_600)
    );
    let twice = shop.log(&campaign("2026-01-08T21:00", "2026-01-08T23:00"));
    assert!(
        matches!(twice, Err(StoreError::Refused(_))),
        "one place at a time"
    );
    // At its very end a stay could count it or not: a campaign takes time.
    let empty =
        campaign("2026-01-11T07:00", "2026-01-11T07:00").replace("\"hours\":1", "\"hours\":0");
    assert!(matches!(shop.log(&empty), Err(StoreError::Refused(_))));
    let estimates = "SELECT count(*) FROM stay WHERE has_estimate = 1";
    assert_eq!(number(shop.logbook.connection(), estimates), 2);
    let state = shop.dump();
    assert_eq!(rebuilt(&mut shop), state);
}

#[test]
fn a_late_move_that_cannot_be_true_beside_the_others_gives_a_state_and_a_conflict() {
    let mut shop = Shop::new();
    shop.work();
    // Taken out on the 7th already, as it turns out: the taking out of the 9th found nothing.
    shop.log(r#"{"kind":"taken_out","at":"2026-01-07T20:00","bearing":"TH-4T-001","reason":"found in the notes"}"#).unwrap();
    let conflicts = strings(shop.logbook.connection(), "SELECT what FROM conflict");
    assert_eq!(conflicts, ["the bearing was in no chock"]);
    let state = shop.dump();
    assert_eq!(rebuilt(&mut shop), state);
    assert!(verify(&shop.path, None).holds());
}

#[test]
fn a_bearing_whose_chock_is_in_the_mill_goes_nowhere_without_it() {
    let mut shop = Shop::new();
    shop.work();
    let before = shop.dump();
    for line in [
        r#"{"kind":"taken_out","at":"2026-01-10","bearing":"TH-4T-002","reason":"x"}"#,
        r#"{"kind":"sent_out","at":"2026-01-10","thing":"TH-4T-002","to":"North Yard"}"#,
        r#"{"kind":"scrapped","at":"2026-01-10","thing":"TH-4T-002","reason":"x","witness":"Engineer"}"#,
    ] {
        let refused = shop.log(line).unwrap_err().to_string();
        assert!(
            refused.contains("WC-41, which is in the mill"),
            "{line}: {refused}"
        );
    }
    assert_eq!(shop.dump(), before);
    shop.log(r#"{"kind":"dismounted","at":"2026-01-10T06:00","chock":"WC-41"}"#)
        .unwrap();
    shop.log(r#"{"kind":"sent_out","at":"2026-01-10","thing":"TH-4T-002","to":"North Yard"}"#)
        .unwrap();
    assert_eq!(chock_of(&shop, "TH-4T-002"), None);
}

#[test]
fn a_rebuild_can_be_stopped_and_then_nothing_has_changed() {
    let mut shop = Shop::new();
    shop.logbook.write_without_waiting().unwrap();
    for i in 0..520 {
        shop.log(&format!(
            r#"{{"kind":"mill_job","position":"F3-W-T-O","text":"job {i}"}}"#
        ))
        .unwrap();
    }
    let before = shop.dump();
    let mut asked = 0;
    let whole = shop.logbook.rebuild(&mut |_, _| {
        asked += 1;
        false
    });
    assert!(!whole.unwrap());
    assert_eq!(asked, 1);
    assert_eq!(dump(shop.logbook.connection()), before);
}
