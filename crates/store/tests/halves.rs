//! The two halves of cylindrical bearings, on necks and in chocks, paired and not: what may go where, and a small model of
//! the shop beside the logbook. Holds of chock, roll and either half among them.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Shop, number, strings, verify};
use proptest::prelude::*;
use store::StoreError;
use store::time::HOUR_MS;

const MORE: [&str; 16] = [
    r#"{"entity":"position","code":"F3-K-T-O","stand":"F3","role":"K","level":"T","side":"O","load_angle_deg":0}"#,
    r#"{"entity":"position","code":"F3-K-T-D","stand":"F3","role":"K","level":"T","side":"D","load_angle_deg":0}"#,
    r#"{"entity":"position","code":"F4-K-T-O","stand":"F4","role":"K","level":"T","side":"O","load_angle_deg":0}"#,
    r#"{"entity":"position","code":"F4-K-T-D","stand":"F4","role":"K","level":"T","side":"D","load_angle_deg":0}"#,
    r#"{"entity":"roll","code":"K-01","line":"FT","role":"K"}"#,
    r#"{"entity":"roll","code":"K-02","line":"FT","role":"K"}"#,
    r#"{"entity":"bearing_type","code":"N4C","bearing_kind":"four_row_cylindrical","values":{"bore_mm":500}}"#,
    r#"{"entity":"bearing_type","code":"N4C inner","bearing_kind":"four_row_cylindrical_inner","values":{"bore_mm":500}}"#,
    r#"{"entity":"chock_type","code":"backup","seats":{"main":"N4C"},"shim_place":"between","fits":["K-T-O","K-T-D"]}"#,
    r#"{"entity":"chock","code":"KC-1","chock_type":"backup"}"#,
    r#"{"entity":"chock","code":"KC-2","chock_type":"backup"}"#,
    r#"{"entity":"bearing","serial":"TH-4C-1","bearing_type":"N4C"}"#,
    r#"{"entity":"bearing","serial":"TH-4C-2","bearing_type":"N4C"}"#,
    r#"{"entity":"bearing","serial":"TH-4CI-1","bearing_type":"N4C inner"}"#,
    r#"{"entity":"bearing","serial":"TH-4CI-2","bearing_type":"N4C inner"}"#,
    r#"{"entity":"bearing","serial":"TH-4CI-3","bearing_type":"N4C inner"}"#,
];

fn shop() -> Shop {
    let mut shop = Shop::new();
    for record in MORE {
        let line = format!(r#"{{"kind":"register_change",{}"#, &record[1..]);
        shop.log(&line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    shop
}

/// An outer half in KC-1, an inner half on the operator side neck of K-01.
const READY: [&str; 2] = [
    r#"{"kind":"assembled","at":"2026-01-06T06:00","bearing":"TH-4C-1","chock":"KC-1","zone":1}"#,
    r#"{"kind":"assembled","at":"2026-01-06T07:00","bearing":"TH-4CI-1","roll":"K-01","seat":"neck_o","zone":0}"#,
];
const MOUNT: &str = r#"{"kind":"mounted","at":"2026-01-08T06:00","chock":"KC-1","roll":"K-01","position":"F3-K-T-O"}"#;

fn ready() -> Shop {
    let mut shop = shop();
    for line in READY {
        shop.log(line).unwrap();
    }
    shop
}

fn refused(shop: &mut Shop, line: &str, words: &str) {
    match shop.log(line) {
        Err(StoreError::Refused(why)) => assert!(why.contains(words), "{line}: {why}"),
        other => panic!("{line}: {other:?}"),
    }
}

#[test]
fn an_inner_half_on_hold_keeps_chocks_off_its_neck() {
    let mut shop = ready();
    shop.log(r#"{"kind":"hold","at":"2026-01-07","thing":"TH-4CI-1","reason":"blue tint"}"#)
        .unwrap();
    refused(&mut shop, MOUNT, "TH-4CI-1 is on hold (blue tint)");
    // The other neck is another matter.
    let other = MOUNT.replace("F3-K-T-O", "F3-K-T-D");
    refused(
        &mut shop,
        &other,
        "no inner half is on the drive side neck of K-01",
    );
    shop.log(
        r#"{"kind":"released","at":"2026-01-07T18:00","thing":"TH-4CI-1","reason":"stain only"}"#,
    )
    .unwrap();
    shop.log(MOUNT).unwrap();
}

#[test]
fn an_outer_half_runs_over_an_inner_half_or_the_remark_says_why_not() {
    let mut shop = ready();
    let bare = MOUNT.replace("K-01", "K-02");
    refused(&mut shop, &bare, "and TH-4C-1 is an outer half");
    let told = bare.replace('}', r#","note":"fits without, a trial"}"#);
    shop.log(&told).unwrap();
}

#[test]
fn halves_are_paired_and_parted_where_they_can_be() {
    let mut shop = ready();
    shop.log(MOUNT).unwrap();
    let pair = |outer: &str, inner: &str| {
        format!(r#"{{"kind":"paired","at":"2026-01-09","outer":"{outer}","inner":"{inner}"}}"#)
    };
    refused(
        &mut shop,
        &pair("TH-4C-1", "TH-4CI-2"),
        "TH-4C-1 runs over TH-4CI-1 in the mill",
    );
    refused(
        &mut shop,
        &pair("TH-4C-2", "TH-4CI-1"),
        "TH-4CI-1 is in the mill under KC-1",
    );
    shop.log(&pair("TH-4C-1", "TH-4CI-1")).unwrap();
    let part = |half: &str, day: &str| {
        format!(r#"{{"kind":"unpaired","at":"2026-01-{day}","outer":"{half}","reason":"x"}}"#)
    };
    refused(
        &mut shop,
        &part("TH-4C-1", "10"),
        "KC-1, which is in the mill",
    );
    shop.log(r#"{"kind":"dismounted","at":"2026-01-11","chock":"KC-1"}"#)
        .unwrap();
    // Told from the page of either half, it stands on the line of both.
    let parted = shop.log(&part("TH-4CI-1", "12")).unwrap();
    let sql = format!(
        "SELECT t.code FROM thing_event te JOIN thing t ON t.no = te.thing WHERE te.event = {} ORDER BY 1",
        parted.no
    );
    assert_eq!(
        strings(shop.logbook.connection(), &sql),
        ["TH-4C-1", "TH-4CI-1"]
    );
    refused(&mut shop, &part("TH-4C-1", "13"), "paired with nothing");
}

const OUTER: [&str; 2] = ["TH-4C-1", "TH-4C-2"];
const INNER: [&str; 3] = ["TH-4CI-1", "TH-4CI-2", "TH-4CI-3"];
const CHOCKS: [&str; 2] = ["KC-1", "KC-2"];
const ROLLS: [&str; 2] = ["K-01", "K-02"];
/// Operator and drive side of two stands.
const POSITIONS: [&str; 4] = ["F3-K-T-O", "F3-K-T-D", "F4-K-T-O", "F4-K-T-D"];
/// Everything that may be held.
const THINGS: [&str; 9] = [
    "TH-4C-1", "TH-4C-2", "TH-4CI-1", "TH-4CI-2", "TH-4CI-3", "KC-1", "KC-2", "K-01", "K-02",
];

#[derive(Debug, Clone, Copy)]
enum Move {
    PutIn(usize, usize),
    OnNeck(usize, usize, usize),
    TakeOut(usize),
    Mount(usize, usize, usize, bool),
    ComeOff(usize),
    Pair(usize, usize),
    Part(usize),
    Hold(usize),
    Release(usize),
    Turn(usize),
    FoundIn(usize, usize),
    FoundLoose(usize),
    FoundOnNeck(usize, usize, usize),
    FoundInMill(usize, usize, usize),
    FoundInShop(usize),
}
use Move::{
    ComeOff, FoundIn, FoundInMill, FoundInShop, FoundLoose, FoundOnNeck, Hold, Mount, OnNeck, Pair,
    Part, PutIn, Release, TakeOut, Turn,
};

fn any_move() -> impl Strategy<Value = Move> {
    let (two, three, four) = (0..2_usize, 0..3_usize, 0..4_usize);
    let half = 0..5_usize;
    prop_oneof![
        4 => (two.clone(), two.clone()).prop_map(|(o, c)| PutIn(o, c)),
        4 => (three.clone(), two.clone(), two.clone()).prop_map(|(i, r, n)| OnNeck(i, r, n)),
        2 => half.clone().prop_map(TakeOut),
        6 => (two.clone(), two.clone(), four.clone(), proptest::bool::ANY).prop_map(|(c, r, p, why)| Mount(c, r, p, why)),
        3 => two.clone().prop_map(ComeOff),
        3 => (two.clone(), three.clone()).prop_map(|(o, i)| Pair(o, i)),
        2 => half.clone().prop_map(Part),
        1 => (0..9_usize).prop_map(Hold),
        2 => (0..9_usize).prop_map(Release),
        1 => half.clone().prop_map(Turn),
        1 => (two.clone(), two.clone()).prop_map(|(o, c)| FoundIn(o, c)),
        1 => half.prop_map(FoundLoose),
        1 => (three, two.clone(), two.clone()).prop_map(|(i, r, n)| FoundOnNeck(i, r, n)),
        1 => (two.clone(), two.clone(), four).prop_map(|(c, r, p)| FoundInMill(c, r, p)),
        1 => two.prop_map(FoundInShop),
    ]
}

fn neck(n: usize) -> &'static str {
    ["neck_o", "neck_d"][n]
}

impl Move {
    fn line(self, at: store::Stamp) -> String {
        let rest = match self {
            PutIn(o, c) => format!(
                r#""kind":"assembled","bearing":"{}","chock":"{}","zone":1"#,
                OUTER[o], CHOCKS[c]
            ),
            OnNeck(i, r, n) => format!(
                r#""kind":"assembled","bearing":"{}","roll":"{}","seat":"{}","zone":0"#,
                INNER[i],
                ROLLS[r],
                neck(n)
            ),
            TakeOut(h) => format!(
                r#""kind":"taken_out","bearing":"{}","reason":"x""#,
                THINGS[h]
            ),
            Mount(c, r, p, why) => format!(
                r#""kind":"mounted","chock":"{}","roll":"{}","position":"{}","note":"{}""#,
                CHOCKS[c],
                ROLLS[r],
                POSITIONS[p],
                if why { "a trial" } else { "" }
            ),
            ComeOff(c) => format!(r#""kind":"dismounted","chock":"{}""#, CHOCKS[c]),
            Pair(o, i) => format!(
                r#""kind":"paired","outer":"{}","inner":"{}""#,
                OUTER[o], INNER[i]
            ),
            Part(h) => format!(r#""kind":"unpaired","outer":"{}","reason":"x""#, THINGS[h]),
            Hold(t) => format!(r#""kind":"hold","thing":"{}","reason":"x""#, THINGS[t]),
            Release(t) => format!(r#""kind":"released","thing":"{}","reason":"x""#, THINGS[t]),
            Turn(h) => format!(
                r#""kind":"zone_turned","bearing":"{}","zone":2,"reason":"x""#,
                THINGS[h]
            ),
            FoundIn(o, c) => format!(
                r#""kind":"found_here","thing":"{}","in_chock":"{}","seat":"main","zone":1,"reason":"x""#,
                OUTER[o], CHOCKS[c]
            ),
            FoundLoose(h) => format!(
                r#""kind":"found_here","thing":"{}","reason":"x""#,
                THINGS[h]
            ),
            FoundOnNeck(i, r, n) => format!(
                r#""kind":"found_here","thing":"{}","on_roll":"{}","seat":"{}","reason":"x""#,
                INNER[i],
                ROLLS[r],
                neck(n)
            ),
            FoundInMill(c, r, p) => format!(
                r#""kind":"found_here","thing":"{}","on_roll":"{}","at_position":"{}","reason":"x""#,
                CHOCKS[c], ROLLS[r], POSITIONS[p]
            ),
            FoundInShop(c) => format!(
                r#""kind":"found_here","thing":"{}","reason":"x""#,
                CHOCKS[c]
            ),
        };
        format!(r#"{{{rest},"at":"{at}"}}"#)
    }
}

/// The shop as somebody knows it who knows only the rules.
#[derive(Debug, Default, Clone)]
struct Model {
    /// The chock of each outer half.
    chock_of: [Option<usize>; 2],
    /// Roll and neck of each inner half.
    neck_of: [Option<(usize, usize)>; 3],
    /// Roll and position of each chock in the mill.
    mounted: [Option<(usize, usize)>; 2],
    pairs: Vec<(usize, usize)>,
    is_held: [bool; 9],
}

impl Model {
    fn outer_in(&self, chock: usize) -> Option<usize> {
        self.chock_of.iter().position(|at| *at == Some(chock))
    }

    fn inner_on(&self, roll: usize, neck: usize) -> Option<usize> {
        self.neck_of.iter().position(|at| *at == Some((roll, neck)))
    }

    /// The chock in the mill on a neck.
    fn chock_on(&self, roll: usize, neck: usize) -> Option<usize> {
        self.mounted
            .iter()
            .position(|at| at.is_some_and(|(r, p)| r == roll && p % 2 == neck))
    }

    fn is_roll_in_mill(&self, roll: usize) -> bool {
        self.mounted.iter().flatten().any(|(r, _)| *r == roll)
    }

    /// Whether a half is in the mill: with its chock, or with its roll.
    fn is_in_mill(&self, half: usize) -> bool {
        match half {
            0 | 1 => self.chock_of[half].is_some_and(|c| self.mounted[c].is_some()),
            _ => self.neck_of[half - 2].is_some_and(|(roll, _)| self.is_roll_in_mill(roll)),
        }
    }

    /// Other chocks that are where this one would be, or hold the roll elsewhere.
    fn in_the_way(&self, chock: usize, roll: usize, position: usize) -> Vec<usize> {
        let clashes = |(r, p): (usize, usize)| {
            p == position || (r == roll && (p % 2 == position % 2 || p / 2 != position / 2))
        };
        (0..2)
            .filter(|c| *c != chock && self.mounted[*c].is_some_and(clashes))
            .collect()
    }

    fn pair_of(&self, half: usize) -> Option<(usize, usize)> {
        self.pairs
            .iter()
            .copied()
            .find(|(o, i)| *o == half || *i + 2 == half)
    }

    fn take(&mut self, step: Move) -> bool {
        let allowed = match step {
            PutIn(o, c) => {
                self.chock_of[o].is_none()
                    && self.outer_in(c).is_none()
                    && self.mounted[c].is_none()
                    && !self.is_held[o]
                    && !self.is_held[5 + c]
            }
            OnNeck(i, r, n) => {
                self.neck_of[i].is_none()
                    && self.inner_on(r, n).is_none()
                    && !self.is_held[2 + i]
                    && !self.is_held[7 + r]
            }
            TakeOut(h) => {
                let is_in = if h < 2 {
                    self.chock_of[h].is_some()
                } else {
                    self.neck_of[h - 2].is_some()
                };
                is_in && !self.is_in_mill(h)
            }
            Mount(c, r, p, why) => {
                let (outer, inner) = (self.outer_in(c), self.inner_on(r, p % 2));
                let halves = [outer, inner.map(|i| i + 2)];
                let meet = halves.iter().flatten().all(|half| {
                    self.pair_of(*half)
                        .is_none_or(|(o, i)| outer == Some(o) && inner == Some(i))
                });
                let whole = outer.is_some() && inner.is_some();
                self.mounted[c].is_none()
                    && !self.is_held[5 + c]
                    && !self.is_held[7 + r]
                    && !halves.iter().flatten().any(|half| self.is_held[*half])
                    && (why || whole)
                    && meet
                    && self.in_the_way(c, r, p).is_empty()
            }
            ComeOff(c) => self.mounted[c].is_some(),
            Pair(o, i) => {
                let at = self.chock_of[o].and_then(|c| self.mounted[c]);
                let over = at.map(|(r, p)| self.inner_on(r, p % 2));
                let under = self.neck_of[i].and_then(|(r, n)| self.chock_on(r, n));
                self.pair_of(o).is_none()
                    && self.pair_of(2 + i).is_none()
                    && over.map_or(under.is_none(), |over| over == Some(i))
            }
            Part(h) => self
                .pair_of(h)
                .is_some_and(|(o, _)| self.chock_of[o].is_none_or(|c| self.mounted[c].is_none())),
            Hold(_) | FoundIn(..) | FoundLoose(_) | FoundOnNeck(..) | FoundInMill(..)
            | FoundInShop(_) => true,
            Release(t) => self.is_held[t],
            Turn(h) => match h {
                0 | 1 => {
                    self.chock_of[h]
                        .is_some_and(|c| self.mounted[c].is_none() && !self.is_held[5 + c])
                        && !self.is_held[h]
                }
                _ => {
                    self.neck_of[h - 2].is_some_and(|(r, _)| !self.is_held[7 + r])
                        && !self.is_held[h]
                        && !self.is_in_mill(h)
                }
            },
        };
        if allowed {
            self.apply(step);
        }
        allowed
    }

    fn apply(&mut self, step: Move) {
        match step {
            PutIn(o, c) => self.chock_of[o] = Some(c),
            OnNeck(i, r, n) => self.neck_of[i] = Some((r, n)),
            TakeOut(h) | FoundLoose(h) => match h {
                0 | 1 => self.chock_of[h] = None,
                _ => self.neck_of[h - 2] = None,
            },
            Mount(c, r, p, _) => self.mounted[c] = Some((r, p)),
            ComeOff(c) | FoundInShop(c) => self.mounted[c] = None,
            Pair(o, i) => self.pairs.push((o, i)),
            Part(h) => self.pairs.retain(|(o, i)| *o != h && *i + 2 != h),
            Hold(t) => self.is_held[t] = true,
            Release(t) => self.is_held[t] = false,
            Turn(_) => {}
            FoundIn(o, c) => {
                if let Some(other) = self.outer_in(c) {
                    self.chock_of[other] = None;
                }
                self.chock_of[o] = Some(c);
            }
            FoundOnNeck(i, r, n) => {
                if let Some(other) = self.inner_on(r, n) {
                    self.neck_of[other] = None;
                }
                self.neck_of[i] = Some((r, n));
            }
            FoundInMill(c, r, p) => {
                for other in self.in_the_way(c, r, p) {
                    self.mounted[other] = None;
                }
                self.mounted[c] = Some((r, p));
            }
        }
    }
}

/// Chock of each outer half, roll and neck of each inner one, position of each chock, pairs.
fn story(shop: &Shop) -> Vec<String> {
    let conn = shop.logbook.connection();
    let mut all = Vec::new();
    for sql in [
        "SELECT b.code || ' ' || c.code || ' ' || s.seat FROM stay s JOIN thing b ON b.no = s.bearing
         JOIN thing c ON c.no = s.chock WHERE s.to_event IS NULL",
        "SELECT t.code || ' ' || r.code || ' ' || o.code FROM place p JOIN thing t ON t.no = p.thing
         JOIN thing o ON o.no = p.position JOIN thing r ON r.no = p.roll WHERE p.place = 'mill'",
        "SELECT o.code || ' with ' || i.code FROM pair p JOIN thing o ON o.no = p.outer_half
         JOIN thing i ON i.no = p.inner_half WHERE p.to_event IS NULL",
    ] {
        all.extend(strings(conn, sql));
    }
    all.sort();
    all
}

impl Model {
    fn story(&self) -> Vec<String> {
        let mut all = Vec::new();
        for (o, chock) in OUTER.iter().zip(self.chock_of) {
            all.extend(chock.map(|c| format!("{o} {} main", CHOCKS[c])));
        }
        for (i, at) in INNER.iter().zip(self.neck_of) {
            all.extend(at.map(|(r, n)| format!("{i} {} {}", ROLLS[r], neck(n))));
        }
        for (c, at) in CHOCKS.iter().zip(self.mounted) {
            all.extend(at.map(|(r, p)| format!("{c} {} {}", ROLLS[r], POSITIONS[p])));
        }
        for (o, i) in &self.pairs {
            all.push(format!("{} with {}", OUTER[*o], INNER[*i]));
        }
        all.sort();
        all
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 200, ..ProptestConfig::default() })]

    #[test]
    fn the_logbook_takes_what_the_model_takes_and_refuses_the_rest(
        moves in proptest::collection::vec((any_move(), 1..20_i64), 1..60)
    ) {
        let mut shop = shop();
        shop.logbook.write_without_waiting().unwrap();
        let mut model = Model::default();
        for (step, hours) in moves {
            shop.clock.forward_ms(hours * HOUR_MS);
            let at = shop.logbook.now();
            match (model.take(step), shop.log(&step.line(at))) {
                (true, Ok(_)) | (false, Err(StoreError::Refused(_))) => {}
                (allowed, answer) => prop_assert!(false, "{step:?}: the model says {allowed}, the logbook {answer:?}\n{:#?}", story(&shop)),
            }
            prop_assert_eq!(story(&shop), model.story(), "after {:?}", step);
        }
        let conflicts = number(shop.logbook.connection(), "SELECT count(*) FROM conflict");
        prop_assert_eq!(conflicts, 0);
        let before = shop.dump();
        prop_assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
        prop_assert_eq!(shop.dump(), before);
        prop_assert!(verify(&shop.path, None).holds());
    }
}
