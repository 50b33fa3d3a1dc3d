//! Checks of ratios, limits and rates.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::quantity::millimetres;

fn reading(mm: f64, method: &str) -> Reading<&str> {
    Reading {
        clearance: millimetres(mm),
        method,
    }
}

#[test]
fn times_as_set_is_formed_between_like_methods_only() {
    let ratio = times_as_set(&reading(0.640, "gaps"), &reading(0.300, "gaps"))
        .unwrap()
        .unwrap();
    assert!((ratio - 2.133_333_333).abs() < 1e-9);
    assert_eq!(
        times_as_set(&reading(0.640, "gaps"), &reading(0.300, "mounted")).unwrap(),
        None
    );
    // Printed example of the owner's manual, bench_four_row_trb.toml: 0.012 in grown to 0.024 in.
    assert_eq!(
        times_as_set(&reading(0.6096, "gaps"), &reading(0.3048, "gaps")).unwrap(),
        Some(2.0)
    );
    for as_set in [0.0, -0.1, f64::NAN] {
        assert_eq!(
            times_as_set(&reading(0.6, ""), &reading(as_set, ""))
                .unwrap_err()
                .input(),
            "as_set"
        );
    }
}

#[test]
fn the_limit_of_a_pair_is_the_smaller_of_rework_value_and_doubled_baseline() {
    let limit = |rework: Option<f64>, as_set: Option<f64>| {
        pair_limit(
            rework.map(millimetres),
            REGRIND_FACTOR,
            as_set.map(millimetres),
        )
        .unwrap()
        .map(to_nanometres)
    };
    assert_eq!(limit(Some(0.600), Some(0.300)), Some(600_000));
    assert_eq!(limit(Some(0.600), Some(0.290)), Some(580_000));
    assert_eq!(limit(Some(0.600), Some(0.330)), Some(600_000));
    assert_eq!(limit(Some(0.600), None), Some(600_000));
    assert_eq!(limit(None, Some(0.31)), Some(620_000));
    assert_eq!(limit(None, None), None);
    for factor in [1.0, 0.0, f64::NAN] {
        assert_eq!(
            pair_limit(None, factor, None).unwrap_err().input(),
            "factor"
        );
    }
}

fn point(h: f64, mm: f64) -> Point {
    Point {
        running: hours(h),
        clearance: millimetres(mm),
    }
}

#[test]
fn growth_per_1000_hours_and_the_straight_estimate() {
    // Demo plant (invented): rows 1-2 of one bearing, teardowns 3 and 4: 0.510 at 3,025 h, 0.575 at 4,030 h.
    let (earlier, later) = (point(3_025.0, 0.510), point(4_030.0, 0.575));
    let growth_um = as_micrometres(per_1000_hours(earlier, later).unwrap());
    assert!((growth_um - 65.0 / 1.005).abs() < 1e-9, "{growth_um}");
    let crossing = straight_estimate(earlier, later, millimetres(0.600)).unwrap();
    let Crossing::At(time) = crossing else {
        panic!("{crossing:?}")
    };
    assert!((as_hours(time) - (4_030.0 + 25.0 / 65.0 * 1_005.0)).abs() < 1e-6);
}

#[test]
fn a_line_that_does_not_climb_or_is_there_already_has_no_crossing() {
    let limit = millimetres(0.600);
    let estimate = |a, b| straight_estimate(a, b, limit).unwrap();
    assert_eq!(
        estimate(point(0.0, 0.4), point(100.0, 0.4)),
        Crossing::NotGrowing
    );
    assert_eq!(
        estimate(point(0.0, 0.4), point(100.0, 0.3)),
        Crossing::NotGrowing
    );
    assert_eq!(
        estimate(point(0.0, 0.5), point(100.0, 0.6)),
        Crossing::AlreadyReached
    );
    assert_eq!(
        estimate(point(0.0, 0.7), point(100.0, 0.65)),
        Crossing::AlreadyReached
    );
    for later in [0.0, -1.0, f64::NAN] {
        assert_eq!(
            per_1000_hours(point(0.0, 0.4), point(later, 0.5))
                .unwrap_err()
                .input(),
            "running"
        );
    }
}

proptest! {
    #[test]
    fn the_estimate_lies_on_the_line(
        start in 0.1..0.5_f64, grown in 0.001..0.5_f64, h in 1.0..5_000.0_f64, left in 0.001..1.0_f64,
    ) {
        let (earlier, later) = (point(0.0, start), point(h, start + grown));
        let limit = nanometres(to_nanometres(later.clearance + millimetres(left)));
        let Crossing::At(time) = straight_estimate(earlier, later, limit).unwrap() else {
            return Err(TestCaseError::fail("no crossing"));
        };
        let rate = as_micrometres(per_1000_hours(earlier, later).unwrap());
        let there_um = as_micrometres(later.clearance) + rate * (as_hours(time) - h) / 1_000.0;
        prop_assert!((there_um - as_micrometres(limit)).abs() < 2e-3);
    }
}
