//! Places, stays and runs: a small model of the shop beside the logbook, and state that does not depend on the order
//! in which events arrive.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Shop, dump, findings, number, strings, verify};
use proptest::prelude::*;
use store::payload::Role;
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
        says_why: bool,
    },
    ChockOut {
        chock: usize,
    },
    ChockBack {
        chock: usize,
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

use Move::{
    Assemble, Campaign, ChockBack, ChockOut, Dismount, Hold, Mount, Release, Return, Scrap,
    SendOut, TakeOut,
};

fn any_move() -> impl Strategy<Value = Move> {
    let (bearing, chock, side) = (0..BEARINGS.len(), 0..CHOCKS.len(), 0..2_usize);
    prop_oneof![
        6 => (bearing.clone(), chock.clone()).prop_map(|(bearing, chock)| Assemble { bearing, chock }),
        3 => bearing.clone().prop_map(|bearing| TakeOut { bearing }),
        6 => (chock.clone(), 0..2_usize, 0..4_usize, proptest::bool::ANY)
            .prop_map(|(chock, roll, position, says_why)| Mount { chock, roll, position, says_why }),
        1 => chock.clone().prop_map(|chock| ChockOut { chock }),
        1 => chock.clone().prop_map(|chock| ChockBack { chock }),
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
                says_why,
            } => format!(
                r#""kind":"mounted","chock":"{}","roll":"{}","position":"{}","note":"{}""#,
                CHOCKS[chock],
                ROLLS[roll],
                POSITIONS[position],
                if says_why { "a trial" } else { "" }
            ),
            ChockOut { chock } => format!(
                r#""kind":"sent_out","chock":"{}","to":"North Yard""#,
                CHOCKS[chock]
            ),
            ChockBack { chock } => format!(r#""kind":"returned","chock":"{}""#, CHOCKS[chock]),
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
                    r#""kind":"scrapped","bearing":"{}","reason":"x","witness":"Stores""#,
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
    is_chock_away: [bool; 4],
    /// Where each chock was, other than on R-101 in F3 or in the shop, from and to.
    elsewhere: [Vec<(i64, Option<i64>)>; 4],
    /// End of the last campaign of each chock, and of R-101 in F3, which is all that runs here.
    ran_until: [i64; 4],
    roll_until: i64,
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
                    && !self.is_chock_away[chock]
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
                says_why,
            } => {
                // One roll lies in one stand, with one chock on each neck.
                let clashes = |other: &(usize, usize)| {
                    other.1 == position
                        || (other.0 == roll
                            && (side(other.1) == side(position) || other.1 % 2 != position % 2))
                };
                let holds =
                    |bearing: usize| self.chock_of[bearing] == Some(chock) && self.is_held[bearing];
                self.mounted[chock].is_none()
                    && !self.is_chock_away[chock]
                    && (says_why || self.chock_of.contains(&Some(chock)))
                    && !self.mounted.iter().flatten().any(clashes)
                    && chock / 2 == side(position)
                    && !(0..BEARINGS.len()).any(holds)
            }
            Dismount { chock } => self.mounted[chock].is_some(),
            ChockOut { chock } => {
                self.mounted[chock].is_none()
                    && !self.is_chock_away[chock]
                    && !self.chock_of.contains(&Some(chock))
            }
            ChockBack { chock } => self.is_chock_away[chock],
            Campaign {
                chock_o,
                chock_d,
                hours,
            } => {
                let from = at.ms - hours * HOUR_MS - 1000;
                self.ran_until[chock_o] <= from
                    && self.ran_until[chock_d] <= from
                    && self.roll_until <= from
                    && ![chock_o, chock_d].iter().any(|chock| {
                        let mut all = self.elsewhere[*chock].iter();
                        all.any(|(since, to)| *since < at.ms && to.is_none_or(|to| to > from))
                    })
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

    fn comes_back(&mut self, chock: usize, at: Stamp) {
        if let Some(last) = self.elsewhere[chock].last_mut()
            && last.1.is_none()
        {
            last.1 = Some(at.ms);
        }
    }

    fn apply(&mut self, step: Move, at: Stamp) {
        match step {
            Assemble { bearing, chock } => self.chock_of[bearing] = Some(chock),
            TakeOut { bearing } => self.chock_of[bearing] = None,
            Mount {
                chock,
                roll,
                position,
                ..
            } => {
                self.mounted[chock] = Some((roll, position));
                if ROLLS[roll] != "R-101" || !POSITIONS[position].starts_with("F3") {
                    self.elsewhere[chock].push((at.ms, None));
                }
            }
            Dismount { chock } => {
                self.mounted[chock] = None;
                self.comes_back(chock, at);
            }
            ChockOut { chock } => {
                self.is_chock_away[chock] = true;
                self.elsewhere[chock].push((at.ms, None));
            }
            ChockBack { chock } => {
                self.is_chock_away[chock] = false;
                self.comes_back(chock, at);
            }
            Campaign {
                chock_o, chock_d, ..
            } => {
                self.roll_until = at.ms;
                self.ran_until[chock_o] = at.ms;
                self.ran_until[chock_d] = at.ms;
            }
            Hold { bearing } => self.is_held[bearing] = true,
            Release { bearing } => self.is_held[bearing] = false,
            SendOut { bearing } => (self.is_away[bearing], self.chock_of[bearing]) = (true, None),
            Return { bearing } => self.is_away[bearing] = false,
            Scrap { bearing } => {
                (self.is_scrapped[bearing], self.chock_of[bearing]) = (true, None);
                // Nothing is left to hold.
                self.is_held[bearing] = false;
            }
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
        shop.person("Stores", Role::Storekeeper);
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
        shop.person("Stores", Role::Storekeeper);
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

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, max_shrink_iters: 200, ..ProptestConfig::default() })]

    /// Whatever is taken back, the state is what a rebuild gives; the record holds.
    #[test]
    fn what_is_withdrawn_counts_no_more_and_the_state_stays_what_a_rebuild_gives(
        moves in proptest::collection::vec((any_move(), -30..40_i64, 0..5_usize, 0..60_usize), 1..50)
    ) {
        let mut shop = Shop::new();
        shop.logbook.write_without_waiting().unwrap();
        shop.person("Stores", Role::Storekeeper);
        shop.clock.forward_ms(1000 * HOUR_MS);
        let mut taken: Vec<String> = Vec::new();
        for (step, hours, one_in_five, which) in moves {
            shop.clock.forward_ms(4 * HOUR_MS);
            let at = shop.logbook.now().plus_ms(hours.min(0) * HOUR_MS);
            if let Ok(signed) = shop.log(&step.line(at)) {
                taken.push(signed.id.to_string());
            }
            if one_in_five == 0 && !taken.is_empty() {
                let id = taken.remove(which % taken.len());
                let line = format!(
                    r#"{{"kind":"amendment","event":"{id}","withdrawn_because":"entered by mistake"}}"#
                );
                // An event that does not fit any more makes a conflict of its own; that is no reason to refuse.
                shop.log(&line).unwrap();
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
fn a_late_move_that_makes_a_later_one_untrue_gives_a_state_and_a_conflict() {
    let mut shop = Shop::new();
    shop.work();
    // Taken out before its chock went into the mill, as it turns out: the taking out of the 9th found nothing.
    shop.log(r#"{"kind":"taken_out","at":"2026-01-07T20:00","bearing":"TH-4T-001","reason":"found in the notes"}"#).unwrap();
    let conflicts = strings(shop.logbook.connection(), "SELECT what FROM conflict");
    assert_eq!(
        conflicts,
        ["TH-4T-001 is in no chock on 2026-01-09: enter first where it was put in"]
    );
    let state = shop.dump();
    assert_eq!(rebuilt(&mut shop), state);
    assert!(verify(&shop.path, None).holds());
}

/// Refused with these words, and nothing has changed.
fn refuses(shop: &mut Shop, line: &str, words: &str) {
    let before = (
        shop.dump(),
        number(shop.logbook.connection(), "SELECT count(*) FROM event"),
    );
    match shop.log(line) {
        Err(StoreError::Refused(why)) => assert!(why.contains(words), "{line}: {why}"),
        other => panic!("{line}: {other:?}"),
    }
    let after = (
        shop.dump(),
        number(shop.logbook.connection(), "SELECT count(*) FROM event"),
    );
    assert_eq!(after, before, "{line}");
}

#[test]
fn a_late_move_that_is_not_true_on_its_own_day_is_refused() {
    let mut shop = Shop::new();
    shop.work();
    for (line, words) in [
        // WC-17 was in the mill from the 8th, 06:00, to 12:00.
        (
            r#"{"kind":"taken_out","at":"2026-01-08T08:00","bearing":"TH-4T-001","reason":"x"}"#,
            "WC-17, which is in the mill",
        ),
        (
            r#"{"kind":"assembled","at":"2026-01-08T05:00","bearing":"TH-4T-003","chock":"WC-17","zone":1}"#,
            "TH-4T-001 is still in the main seat of WC-17",
        ),
        (
            r#"{"kind":"mounted","at":"2026-01-08T08:00","chock":"WC-18","roll":"R-102","position":"F3-W-T-O"}"#,
            "WC-17 is in this position",
        ),
        (
            r#"{"kind":"dismounted","at":"2026-01-07T12:00","chock":"WC-17"}"#,
            "WC-17 is not in the mill",
        ),
        (
            r#"{"kind":"mounted","at":"2026-01-08T07:00","chock":"WC-18","roll":"R-101","position":"F4-W-T-O"}"#,
            "is on this neck of the roll",
        ),
    ] {
        refuses(&mut shop, line, words);
    }
}

#[test]
fn what_was_scrapped_stays_scrapped_whatever_was_entered_before_or_after() {
    let mut shop = Shop::new();
    shop.person("Stores", Role::Storekeeper);
    shop.work();
    let scrap = r#"{"kind":"scrapped","at":"2026-01-09T09:00","bearing":"TH-4T-001","reason":"cracked","witness":"Stores"}"#;
    shop.log(r#"{"kind":"assembled","at":"2026-01-10T06:00","bearing":"TH-4T-001","chock":"WC-18","zone":1}"#)
        .unwrap();
    shop.log(scrap).unwrap();
    let place = "SELECT place FROM place JOIN thing ON no = thing WHERE code = 'TH-4T-001'";
    assert_eq!(strings(shop.logbook.connection(), place), ["scrapped"]);
    assert_eq!(chock_of(&shop, "TH-4T-001"), None);
    let conflicts = strings(shop.logbook.connection(), "SELECT what FROM conflict");
    assert_eq!(
        conflicts,
        ["TH-4T-001 was scrapped (cracked); scrapped stays scrapped"]
    );
    for line in [
        r#"{"kind":"received","at":"2026-01-11","bearing":"TH-4T-001"}"#,
        r#"{"kind":"assembled","at":"2026-01-11","bearing":"TH-4T-001","chock":"WC-17","zone":1}"#,
        r#"{"kind":"sent_out","at":"2026-01-11","thing":"TH-4T-001","to":"North Yard"}"#,
        r#"{"kind":"hold","at":"2026-01-11","thing":"TH-4T-001","reason":"x"}"#,
    ] {
        refuses(&mut shop, line, "scrapped stays scrapped");
    }
    let state = shop.dump();
    assert_eq!(rebuilt(&mut shop), state);
}

#[test]
fn chocks_and_rolls_keep_to_their_places_and_take_nobody_along() {
    let mut shop = Shop::new();
    shop.person("Stores", Role::Storekeeper);
    shop.work(); // WC-41 with TH-4T-002 is in F3 on R-101
    shop.log(r#"{"kind":"assembled","at":"2026-01-10T06:00","bearing":"TH-4T-003","chock":"WC-17","zone":1}"#)
        .unwrap();
    for (line, words) in [
        (
            r#"{"kind":"scrapped","at":"2026-01-11","thing":"WC-17","reason":"x","witness":"Stores"}"#,
            "TH-4T-003 is still in WC-17",
        ),
        (
            r#"{"kind":"sent_out","at":"2026-01-11","thing":"WC-17","to":"North Yard"}"#,
            "TH-4T-003 is still in WC-17",
        ),
        (
            r#"{"kind":"sent_out","at":"2026-01-11","thing":"R-101","to":"North Yard"}"#,
            "WC-41 is still on R-101",
        ),
        (
            r#"{"kind":"mounted","at":"2026-01-11","chock":"WC-17","roll":"R-101","position":"F4-W-T-O"}"#,
            "WC-41 holds the roll in another place",
        ),
        (
            r#"{"kind":"campaign","at":"2026-01-08T14:00","roll":"R-101","position_o":"F4-W-T-O","position_d":"F4-W-T-D","chock_o":"WC-18","chock_d":"WC-42","from":"2026-01-08T08:00","hours":1,"tonnes":1}"#,
            "R-101 was in another campaign",
        ),
        (
            r#"{"kind":"campaign","at":"2026-01-08T14:00","roll":"R-102","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-18","chock_d":"WC-42","from":"2026-01-08T08:00","hours":1,"tonnes":1}"#,
            "F3-W-T-O was in another campaign",
        ),
        (
            r#"{"kind":"campaign","at":"2026-01-10T14:00","roll":"R-102","position_o":"F3-W-T-O","position_d":"F4-W-T-D","chock_o":"WC-18","chock_d":"WC-42","from":"2026-01-10T08:00","hours":1,"tonnes":1}"#,
            "not the operator and the drive side of one roll",
        ),
        (
            r#"{"kind":"campaign","at":"2026-01-10T14:00","roll":"R-102","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-18","chock_d":"WC-18","from":"2026-01-10T08:00","hours":1,"tonnes":1}"#,
            "a chock on each side",
        ),
        (
            r#"{"kind":"campaign","at":"2026-01-10T14:00","roll":"R-102","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-18","chock_d":"WC-42","from":"2026-01-10T08:00","hours":1,"tonnes":99000000000}"#,
            "not possible",
        ),
    ] {
        refuses(&mut shop, line, words);
    }
    // A bearing that is held keeps its chock out of the mill.
    shop.log(r#"{"kind":"hold","at":"2026-01-11","thing":"TH-4T-003","reason":"noise"}"#)
        .unwrap();
    let mount = r#"{"kind":"mounted","at":"2026-01-12","chock":"WC-17","roll":"R-102","position":"F4-W-T-O"}"#;
    refuses(&mut shop, mount, "TH-4T-003 is on hold (noise)");
    shop.log(
        r#"{"kind":"released","at":"2026-01-11T12:00","thing":"TH-4T-003","reason":"grease"}"#,
    )
    .unwrap();
    shop.log(r#"{"kind":"hold","at":"2026-01-11T13:00","thing":"R-102","reason":"neck"}"#)
        .unwrap();
    refuses(&mut shop, mount, "R-102 is on hold (neck)");
}

#[test]
fn a_second_receipt_and_an_impossible_one_are_refused() {
    let mut shop = Shop::new();
    shop.work();
    let line = |bearing: &str, as_set: &str| {
        format!(
            r#"{{"kind":"received","at":"2026-01-10","bearing":"{bearing}","as_set_mm":{as_set}}}"#
        )
    };
    refuses(
        &mut shop,
        &line("TH-4T-001", "[0.6,0.6,0.6]"),
        "was received already",
    );
    for as_set in [
        "[0.3]",
        "[0.3,0.3]",
        "[0.3,0.3,0]",
        "[0.3,0.3,-0.3]",
        "[0.3,0.3,30]",
    ] {
        refuses(
            &mut shop,
            &line("TH-4T-003", as_set),
            "each of the three row pairs",
        );
    }
    shop.log(r#"{"kind":"sent_out","at":"2026-01-10","thing":"WC-18","to":"North Yard"}"#)
        .unwrap();
    refuses(
        &mut shop,
        r#"{"kind":"returned","at":"2026-01-11","thing":"WC-18","as_set_mm":[0.3,0.3,0.3]}"#,
        "only a bearing",
    );
    shop.log(&line("TH-4T-003", "[0.3,0.3,0.3]")).unwrap();
}

#[test]
fn a_day_that_has_not_come_and_one_before_the_trade_are_refused() {
    let mut shop = Shop::new();
    shop.work();
    for (at, words) in [
        ("2027-03-01", "has not come yet"),
        ("3026-01-10", "has not come yet"),
        ("1899-12-30", "before 1900"),
    ] {
        let line = format!(r#"{{"kind":"dismounted","at":"{at}","chock":"WC-41"}}"#);
        refuses(&mut shop, &line, words);
    }
}

#[test]
fn a_bearing_whose_chock_is_in_the_mill_goes_nowhere_without_it() {
    let mut shop = Shop::new();
    shop.person("Stores", Role::Storekeeper);
    shop.work();
    let before = shop.dump();
    for line in [
        r#"{"kind":"taken_out","at":"2026-01-10","bearing":"TH-4T-002","reason":"x"}"#,
        r#"{"kind":"sent_out","at":"2026-01-10","thing":"TH-4T-002","to":"North Yard"}"#,
        r#"{"kind":"scrapped","at":"2026-01-10","thing":"TH-4T-002","reason":"x","witness":"Stores"}"#,
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
    let told = "SELECT e.kind FROM event e JOIN thing_event t ON t.event = e.no JOIN thing c ON c.no = t.thing
                WHERE c.code = 'WC-41' AND e.kind <> 'register_change' ORDER BY e.at_ms, e.no";
    let kinds = strings(shop.logbook.connection(), told);
    assert_eq!(
        kinds.last().map(String::as_str),
        Some("sent_out"),
        "what left the chock stands on its line too: {kinds:?}"
    );
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

#[test]
fn what_verify_derives_is_what_stands_here_after_odd_entries() {
    let mut shop = Shop::new();
    shop.person("Stores", Role::Storekeeper);
    shop.work();
    let check = |shop: &mut Shop, what: &str| {
        let state = shop.dump();
        assert_eq!(rebuilt(shop), state, "{what}");
        let report = verify(&shop.path, None);
        assert!(report.holds(), "{what}: {}", findings(&report));
    };
    // A conflict whose words hold a code, and the code changes.
    shop.log(r#"{"kind":"taken_out","at":"2026-01-07T20:00","bearing":"TH-4T-001","reason":"found in the notes"}"#)
        .unwrap();
    shop.log(r#"{"kind":"register_change","entity":"bearing","serial":"th-4t-001","bearing_type":"N4T","change":true,"reason":"x"}"#)
        .unwrap();
    check(&mut shop, "a code in a conflict");
    // The conflict is settled, and then a late event takes it away.
    let name = strings(
        shop.logbook.connection(),
        "SELECT lower(hex(e.origin)) || ':' || e.seq FROM conflict c JOIN event e ON e.no = c.event",
    );
    let settle = format!(
        r#"{{"kind":"conflict_resolved","event":"{}","how":"the notes were of another week"}}"#,
        name[0]
    );
    shop.log(&settle).unwrap();
    shop.log(r#"{"kind":"assembled","at":"2026-01-07T22:00","bearing":"TH-4T-001","chock":"WC-17","zone":2}"#)
        .unwrap();
    check(&mut shop, "a settled conflict that is none any more");
    // A place in the mill does not wander, and there is one position for it.
    refuses(
        &mut shop,
        r#"{"kind":"register_change","entity":"position","code":"F3-W-T-O","stand":"F3","role":"W","level":"B","side":"O","load_angle_deg":0,"change":true,"reason":"x"}"#,
        "chocks have run there",
    );
    refuses(
        &mut shop,
        r#"{"kind":"register_change","entity":"position","code":"F3-X","stand":"F3","role":"W","level":"T","side":"O","load_angle_deg":0}"#,
        "one position a place",
    );
    refuses(
        &mut shop,
        r#"{"kind":"register_change","entity":"chock_type","code":"top D","seats":{"thrust":"N4T"},"shim_place":"between","fits":["W-T-D"],"change":true,"reason":"x"}"#,
        "take it out first",
    );
    // A late end of a bearing takes its later stays with it, and what they noted.
    shop.log(r#"{"kind":"dismounted","at":"2026-01-12T06:00","chock":"WC-41"}"#)
        .unwrap();
    shop.log(r#"{"kind":"scrapped","at":"2026-01-06T12:00","thing":"TH-4T-002","reason":"x","witness":"Stores"}"#)
        .unwrap();
    check(&mut shop, "scrapped before it was assembled");
}

#[test]
fn today_without_a_time_stands_between_what_happened_before_and_what_follows() {
    let mut shop = Shop::new();
    let today = shop.logbook.now().date();
    let assemble = r#"{"kind":"assembled","bearing":"TH-4T-001","chock":"WC-17","zone":1}"#;
    shop.log(assemble).unwrap();
    shop.clock.forward_ms(60_000);
    let out = r#"{"kind":"taken_out","bearing":"TH-4T-001","reason":"x","at":"DAY"}"#;
    shop.log(&out.replace("DAY", &today)).unwrap();
    shop.clock.forward_ms(60_000);
    shop.log(assemble).unwrap();
    assert_eq!(chock_of(&shop, "TH-4T-001").as_deref(), Some("WC-17"));
    let state = shop.dump();
    assert_eq!(rebuilt(&mut shop), state);
}
