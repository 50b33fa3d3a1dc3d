//! From what was seen together to what may be behind it: a suggestion with what to check, never stated as fact.
//!
//! One rule each. All of them are common practice, no source; modes of damage after ISO 15243:2017.

use crate::{
    finding::{Finding, HEAT_TINT, Part},
    quantity::{Length, as_micrometres},
};

/// What a pattern is looked for in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Signs {
    /// What was seen on the parts.
    pub findings: Vec<Finding>,
    /// Water stood inside, or the grease was milky or washed out.
    pub is_wet: bool,
    /// The grease was black, hard, or little was left.
    pub is_grease_spent: bool,
    /// The seal was cut, folded, worn or missing.
    pub is_seal_bad: bool,
    /// Ovality of the chock bore beyond its limit.
    pub is_bore_oval: bool,
    /// Neck smaller than its design, or tapered beyond its limit.
    pub is_neck_off: bool,
    /// Growth of each row pair since last time, from the barrel; empty where one is not known.
    pub grown: Vec<Length>,
}

/// A pattern of the trade.
#[derive(Debug, Clone, Copy)]
pub struct Pattern {
    /// Its name in files and tests.
    pub name: &'static str,
    /// What is to be seen.
    pub sign: &'static str,
    /// What it may point to.
    pub cause: &'static str,
    /// What to check.
    pub check: &'static str,
    holds: fn(&Signs) -> bool,
}

impl PartialEq for Pattern {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

impl Pattern {
    /// A sentence for people: what shows, what it may be, what to check.
    pub fn words(&self) -> String {
        format!(
            "{}: may be {}. Check {}.",
            self.sign, self.cause, self.check
        )
    }
}

/// Where the patterns come from.
pub const SOURCE: &str = "common practice, no source";

/// Every pattern, the most telling first.
pub const PATTERNS: [Pattern; 14] = [
    Pattern {
        name: "misalignment",
        sign: "Rows 1 and 4 marked on opposite sides, or one pair out of step",
        cause: "misalignment of the chock in the window, a tapered neck or crossed rolls",
        check: "other bearings of this position, liners, keeper, taper of the neck",
        holds: misalignment,
    },
    Pattern {
        name: "axial_overload",
        sign: "Rows of one thrust direction and ribs worn, the others not",
        cause: "axial overload",
        check: "the fixed side, keeper plate, roll shifting, crossing of the rolls",
        holds: axial_overload,
    },
    Pattern {
        name: "oval_bore",
        sign: "Two opposite load paths, or an oval chock bore",
        cause: "a pinched or oval bore",
        check: "the ovality of the chock bore and what presses on the chock",
        holds: oval_bore,
    },
    Pattern {
        name: "water",
        sign: "Stains or etching, milky grease or water inside",
        cause: "water ingress, or condensation while it stood",
        check: "seals and their batch, breather, sprays, how it was stored",
        holds: water,
    },
    Pattern {
        name: "fretting",
        sign: "Fretting on outside diameter or bore",
        cause: "a loose fit in the chock or on the neck",
        check: "the fit found: bore and neck against their design",
        holds: fretting,
    },
    Pattern {
        name: "creep",
        sign: "Ring bore scored or tinted",
        cause: "creep of the ring on the neck",
        check: "the size of the neck and its lubrication",
        holds: creep,
    },
    Pattern {
        name: "poor_lubrication",
        sign: "Smearing or tint on rollers or rib",
        cause: "poor lubrication or axial overload",
        check: "amount and grade of the grease, speed, thrust",
        holds: poor_lubrication,
    },
    Pattern {
        name: "grease_spent",
        sign: "Grease black, hard or gone",
        cause: "overheating, water, mixed greases or a long stay",
        check: "a grease sample, the amount put in, chock temperatures",
        holds: grease_spent,
    },
    Pattern {
        name: "electric",
        sign: "Fluting or craters",
        cause: "current through the bearing",
        check: "earthing of the stand, where welding is clamped, the drives",
        holds: electric,
    },
    Pattern {
        name: "particles",
        sign: "Dents all around",
        cause: "particles that were rolled over",
        check: "washing, cleanliness at assembly, seals",
        holds: particles,
    },
    Pattern {
        name: "shock",
        sign: "Dents at roller pitch",
        cause: "a shock: cobble, drop or blow",
        check: "incidents of the mill, handling",
        holds: shock,
    },
    Pattern {
        name: "standstill",
        sign: "Marks at roller pitch without dents",
        cause: "vibration at rest",
        check: "where it stood, machines beside it, transport",
        holds: standstill,
    },
    Pattern {
        name: "cracked_inner_ring",
        sign: "Inner ring cracked",
        cause: "too tight or hot a fit, creep and fatigue, or a shock",
        check: "the fit found, the last heating, incidents of the mill",
        holds: cracked_inner_ring,
    },
    Pattern {
        name: "cage",
        sign: "Cage pockets or pins worn",
        cause: "vibration, poor lubrication or age",
        check: "grease, running time, speed",
        holds: cage,
    },
];

/// The patterns that show.
pub fn patterns(signs: &Signs) -> Vec<Pattern> {
    PATTERNS
        .into_iter()
        .filter(|pattern| (pattern.holds)(signs))
        .collect()
}

const WEAR: [&str; 2] = ["5.1", "5.2"];

fn any(signs: &Signs, parts: &[Part], clauses: &[&str]) -> bool {
    let is_in = |finding: &&Finding| clauses.iter().any(|clause| finding.mode.is_in(clause));
    let mut found = signs.findings.iter().filter(is_in);
    found.any(|finding| parts.is_empty() || parts.contains(&finding.part))
}

fn is_tinted(signs: &Signs, parts: &[Part]) -> bool {
    let mut all = signs.findings.iter();
    all.any(|finding| finding.mode == HEAT_TINT && parts.contains(&finding.part))
}

/// Middles of worn arcs of an outer raceway row, 0.1 degree.
fn middles(signs: &Signs, row: Option<u8>) -> Vec<i64> {
    let worn = signs.findings.iter().filter(|finding| {
        finding.part == Part::OuterRaceway
            && (row.is_none() || finding.row == row)
            && WEAR.iter().any(|clause| finding.mode.is_in(clause))
    });
    worn.filter_map(|finding| finding.arc)
        .map(|arc| {
            let width = (arc.to_tenths() - arc.from_tenths()).rem_euclid(3_600);
            (arc.from_tenths() + width / 2).rem_euclid(3_600)
        })
        .collect()
}

/// Further apart than 120 degrees.
fn is_opposite(a: i64, b: i64) -> bool {
    let apart = (a - b).rem_euclid(3_600);
    apart.min(3_600 - apart) > 1_200
}

/// The paths lie opposite, or one pair grew more than half as much again as the others together in the mean, and by more
/// than 0.03 mm, which no bench doubts.
fn misalignment(signs: &Signs) -> bool {
    let (first, last) = (middles(signs, Some(1)), middles(signs, Some(4)));
    let crosses = first
        .iter()
        .any(|a| last.iter().any(|b| is_opposite(*a, *b)));
    let grown: Vec<f64> = signs.grown.iter().map(|g| as_micrometres(*g)).collect();
    let sum: f64 = grown.iter().sum();
    let is_out = |own: &f64| {
        let others = (sum - own) / (grown.len() - 1) as f64;
        *own > crate::disposition::OUT_OF_STEP * others.max(0.0) && own - others > 30.0
    };
    crosses || (grown.len() > 1 && grown.iter().any(is_out))
}

/// Rows 1 and 3 or 2 and 4 carry one thrust direction. Equal growth of all pairs does not speak against it: the end play
/// of a pair grows with the wear of both its rows.
fn axial_overload(signs: &Signs) -> bool {
    let is_rib_worn = any(signs, &[Part::Rib], &["5.2", "5.1"]) || is_tinted(signs, &[Part::Rib]);
    let is_worn = |row: u8| {
        let raceways = [Part::OuterRaceway, Part::InnerRaceway];
        signs.findings.iter().any(|finding| {
            finding.row == Some(row)
                && raceways.contains(&finding.part)
                && WEAR.iter().any(|clause| finding.mode.is_in(clause))
        })
    };
    let rows = [1, 2, 3, 4].map(is_worn);
    is_rib_worn
        && matches!(
            rows,
            [true, false, true, false] | [false, true, false, true]
        )
}

fn oval_bore(signs: &Signs) -> bool {
    let in_one_row = (1..=4).any(|row| {
        let all = middles(signs, Some(row));
        all.iter().any(|a| all.iter().any(|b| is_opposite(*a, *b)))
    });
    signs.is_bore_oval || in_one_row
}

fn water(signs: &Signs) -> bool {
    signs.is_wet || any(signs, &[], &["5.3.2"])
}

fn fretting(signs: &Signs) -> bool {
    any(
        signs,
        &[Part::OutsideDiameter, Part::RingBore],
        &["5.3.3.2"],
    )
}

fn creep(signs: &Signs) -> bool {
    any(signs, &[Part::RingBore], &["5.2"]) || is_tinted(signs, &[Part::RingBore])
}

fn poor_lubrication(signs: &Signs) -> bool {
    let parts = [Part::Rollers, Part::Rib, Part::InnerRaceway];
    any(signs, &parts, &["5.2.3"]) || is_tinted(signs, &[Part::Rib, Part::Rollers])
}

fn grease_spent(signs: &Signs) -> bool {
    signs.is_grease_spent
}

fn electric(signs: &Signs) -> bool {
    any(signs, &[], &["5.4"])
}

fn particles(signs: &Signs) -> bool {
    any(signs, &[], &["5.5.3"])
}

fn shock(signs: &Signs) -> bool {
    any(signs, &[], &["5.5.2"])
}

fn standstill(signs: &Signs) -> bool {
    any(signs, &[], &["5.3.3.3"])
}

fn cracked_inner_ring(signs: &Signs) -> bool {
    any(
        signs,
        &[Part::InnerRaceway, Part::RingBore, Part::Rib],
        &["5.6"],
    )
}

fn cage(signs: &Signs) -> bool {
    any(signs, &[Part::Cage], &["5.2", "5.6"])
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::{finding::Mode, load_zone::Arc, quantity::micrometres};

    fn seen(part: Part, row: u8, mode: &str, arc: Option<[i64; 2]>) -> Finding {
        Finding {
            part,
            row: (row > 0).then_some(row),
            mode: Mode::of(mode).unwrap(),
            severity: 1,
            arc: arc.map(|[from, to]| Arc::tenths(from * 10, to * 10).unwrap()),
        }
    }

    fn found(findings: &[Finding]) -> Signs {
        Signs {
            findings: findings.to_vec(),
            ..Signs::default()
        }
    }

    fn names(signs: &Signs) -> Vec<&'static str> {
        patterns(signs).iter().map(|pattern| pattern.name).collect()
    }

    /// Stories A, B, E, F, H and I of the demo plant (invented), and one case for each of the others.
    #[test]
    fn each_pattern_shows_where_it_should() {
        use Part::{Cage, InnerRaceway, OuterRaceway, OutsideDiameter, Rib, RingBore, Rollers};
        let grown = |um: [f64; 3]| Signs {
            grown: um.map(micrometres).into(),
            ..Signs::default()
        };
        let table: [(Signs, &[&str]); 18] = [
            (Signs::default(), &[]),
            (
                found(&[
                    seen(OuterRaceway, 1, "5.2", Some([300, 60])),
                    seen(OuterRaceway, 4, "5.2", Some([150, 210])),
                ]),
                &["misalignment"],
            ),
            (grown([180.0, 50.0, 105.0]), &["misalignment"]),
            (grown([80.0, 70.0, 75.0]), &[]),
            (grown([25.0, 5.0, 5.0]), &[]),
            (
                found(&[
                    seen(OuterRaceway, 1, "5.2", None),
                    seen(OuterRaceway, 3, "5.2", None),
                    seen(Rib, 1, "5.2", None),
                ]),
                &["axial_overload"],
            ),
            (
                found(&[
                    seen(OuterRaceway, 2, "5.1.3", Some([350, 20])),
                    seen(OuterRaceway, 2, "5.1.3", Some([170, 200])),
                ]),
                &["oval_bore"],
            ),
            (
                found(&[seen(OuterRaceway, 1, "5.3.2", Some([350, 40]))]),
                &["water"],
            ),
            (
                Signs {
                    is_wet: true,
                    ..Signs::default()
                },
                &["water"],
            ),
            (
                found(&[seen(OutsideDiameter, 0, "5.3.3.2", Some([150, 175]))]),
                &["fretting"],
            ),
            (found(&[seen(RingBore, 0, "5.2.3", None)]), &["creep"]),
            (
                found(&[seen(Rollers, 1, "5.2.3", None)]),
                &["poor_lubrication"],
            ),
            (
                Signs {
                    is_grease_spent: true,
                    ..Signs::default()
                },
                &["grease_spent"],
            ),
            (
                found(&[seen(OuterRaceway, 0, "5.4.3", None)]),
                &["electric"],
            ),
            (
                found(&[seen(OuterRaceway, 2, "5.5.3", None)]),
                &["particles"],
            ),
            (found(&[seen(InnerRaceway, 3, "5.5.2", None)]), &["shock"]),
            (
                found(&[seen(InnerRaceway, 3, "5.6.2", None)]),
                &["cracked_inner_ring"],
            ),
            (found(&[seen(Cage, 1, "5.2.2", None)]), &["cage"]),
        ];
        for (signs, expected) in table {
            assert_eq!(names(&signs), expected, "{signs:?}");
        }
        let still = found(&[seen(OuterRaceway, 1, "5.3.3.3", None)]);
        assert_eq!(names(&still), ["standstill"]);
    }

    #[test]
    fn a_pattern_is_a_suggestion() {
        for pattern in PATTERNS {
            assert!(pattern.words().contains(": may be "), "{}", pattern.name);
        }
    }
}
