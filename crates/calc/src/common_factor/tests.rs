//! Checks against Fisher's own example, against all tables counted one by one outside, of Holm's correction, and laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::test_table::rows;

fn seen(counts: &[(u32, u32)]) -> Vec<Level> {
    let level = |&(found, count): &(u32, u32)| Level {
        found,
        exposure: Exposure::Seen(count),
    };
    counts.iter().map(level).collect()
}

/// R. A. Fisher, "The design of experiments" (1935), chapter 2 (memory): eight cups, four and four; three of four told
/// right has the chance 17/70, all of four 1/70.
#[test]
fn the_lady_tasting_tea_comes_out_as_fisher_has_it() {
    for (right, chance) in [(3, 17.0 / 70.0), (4, 1.0 / 70.0)] {
        let found = stands_out(&seen(&[(right, 4), (4 - right, 4)]))
            .unwrap()
            .unwrap();
        assert_eq!(found.level, 0);
        assert!((found.p_level - chance).abs() < 1e-13, "{}", found.p_level);
        // The other kind of cup could have stood out as well.
        assert!(
            (found.p_factor - 2.0 * chance).abs() < 1e-13,
            "{}",
            found.p_factor
        );
    }
}

/// `tests/outside/common_factor.py` counts every table in fractions.
#[test]
fn every_table_counted_outside_comes_out_the_same() {
    let table = rows(include_str!("../../tests/outside/common_factor.csv"));
    assert_eq!(table.len(), 12);
    for row in table {
        let list = |column| -> Vec<u32> {
            row.text(column)
                .split(' ')
                .map(|n| n.parse().unwrap())
                .collect()
        };
        let is_seen = row.text("kind") == "seen";
        let levels: Vec<Level> = list("found")
            .into_iter()
            .zip(list("exposure"))
            .map(|(found, amount)| Level {
                found,
                exposure: if is_seen {
                    Exposure::Seen(amount)
                } else {
                    Exposure::Running(f64::from(amount))
                },
            })
            .collect();
        let found = stands_out(&levels).unwrap().unwrap();
        assert_eq!(found.level as f64, row.number("level"));
        for (column, got) in [("p_level", found.p_level), ("p_factor", found.p_factor)] {
            let expected = row.number(column);
            assert!(
                (got / expected - 1.0).abs() < 1e-10,
                "{column}: {got}, outside {expected}"
            );
        }
    }
}

/// S. Holm (1979): of four tests the smallest counts four times, the next three times, and none less than one before it.
#[test]
fn holm_counts_the_smallest_most() {
    let corrected = holm(&[0.01, 0.04, 0.03, 0.005]).unwrap();
    for (got, expected) in corrected.iter().zip([0.03, 0.06, 0.06, 0.02]) {
        assert!((got - expected).abs() < 1e-15, "{corrected:?}");
    }
    assert_eq!(holm(&[0.6, 0.7]).unwrap(), [1.0, 1.0]);
    assert_eq!(holm(&[]).unwrap(), [] as [f64; 0]);
    assert_eq!(holm(&[0.1, 1.1]).unwrap_err().input(), "probabilities[1]");
}

#[test]
fn nothing_stands_out_without_findings_or_where_all_have_them() {
    assert_eq!(stands_out(&seen(&[(0, 5), (0, 9)])).unwrap(), None);
    assert_eq!(stands_out(&seen(&[(5, 5), (9, 9)])).unwrap(), None);
    // Most of the shop: many levels, counted all the same.
    let mut levels = seen(&[(2, 40); 50]);
    levels[17].found = 20;
    let found = stands_out(&levels).unwrap().unwrap();
    assert!(found.level == 17 && found.p_factor < 1e-9, "{found:?}");
}

#[test]
fn counts_that_cannot_be_are_refused_by_name() {
    let refused = |levels: &[Level]| stands_out(levels).unwrap_err().input().to_owned();
    assert_eq!(refused(&seen(&[(1, 5)])), "levels");
    assert_eq!(refused(&seen(&[(1, 5), (6, 5)])), "levels[1]");
    assert_eq!(refused(&seen(&[(2_001, 5_000), (0, 5)])), "levels");
    let running = |found, amount| Level {
        found,
        exposure: Exposure::Running(amount),
    };
    assert_eq!(refused(&[running(1, 0.0), running(1, 5.0)]), "levels[0]");
    assert_eq!(
        refused(&[running(1, f64::NAN), running(1, 5.0)]),
        "levels[0].exposure"
    );
    assert_eq!(refused(&[seen(&[(1, 5)])[0], running(1, 5.0)]), "levels[1]");
}

proptest! {
    /// The chance of the factor lies between that of its level and that times the number of levels.
    #[test]
    fn a_factor_is_between_one_level_and_all(counts in prop::collection::vec((0_u32..8, 0_u32..12), 2..7)) {
        let counts: Vec<(u32, u32)> = counts.into_iter().map(|(found, more)| (found, found + more)).collect();
        if let Some(found) = stands_out(&seen(&counts)).unwrap() {
            let highest = found.p_level * counts.len() as f64;
            prop_assert!(found.p_factor >= found.p_level * (1.0 - 1e-9), "{found:?}");
            prop_assert!(found.p_factor <= highest.min(1.0) * (1.0 + 1e-9), "{found:?}");
        }
    }
}
