//! Checks of fits against the worked limits and their laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::{
    iso286::tolerance,
    quantity::{as_micrometres, millimetres},
};

#[test]
fn fits_from_the_rows_of_iso286_limits_csv() {
    // Limits of both parts: shared/reference/iso286_limits.csv; 420 H7 0/+63, 420 g6 -60/-20 and so on.
    for (nominal, hole, shaft, kind, min, max) in [
        (420.0, "H7", "g6", FitKind::Clearance, 20.0, 123.0),
        (420.0, "H7", "h7", FitKind::Clearance, 0.0, 126.0),
        (420.0, "H7", "k6", FitKind::Transition, -45.0, 58.0),
        (420.0, "H7", "p6", FitKind::Interference, -108.0, -5.0),
        (300.0, "P7", "h7", FitKind::Transition, -88.0, 16.0),
        (50.0, "JS7", "h5", FitKind::Transition, -12.5, 23.5),
    ] {
        let nominal = millimetres(nominal);
        let got = fit(
            &tolerance(nominal, hole).unwrap(),
            &tolerance(nominal, shaft).unwrap(),
        )
        .unwrap();
        let clearances = (
            as_micrometres(got.clearance_min),
            as_micrometres(got.clearance_max),
        );
        assert_eq!((got.kind, clearances), (kind, (min, max)), "{hole}/{shaft}");
    }
}

fn deviations(lower: f64, upper: f64) -> Deviations {
    Deviations {
        lower: micrometres(lower),
        upper: micrometres(upper),
    }
}

#[test]
fn a_fit_that_is_at_most_zero_is_interference_and_at_least_zero_is_clearance() {
    for (hole, shaft, kind) in [
        ((0.0, 10.0), (-10.0, 0.0), FitKind::Clearance),
        ((0.0, 10.0), (10.0, 20.0), FitKind::Interference),
        ((0.0, 0.0), (0.0, 0.0), FitKind::Clearance),
        ((0.0, 10.0), (9.0, 20.0), FitKind::Transition),
    ] {
        assert_eq!(
            fit(&deviations(hole.0, hole.1), &deviations(shaft.0, shaft.1))
                .unwrap()
                .kind,
            kind
        );
    }
}

#[test]
fn a_crept_ring_shows_its_interference() {
    // Demo plant (invented): neck 760.041, ring bore 759.962: interference 0.079.
    let got = fit(&deviations(-38.0, -38.0), &deviations(41.0, 41.0)).unwrap();
    assert_eq!(
        (got.kind, as_micrometres(got.clearance_max)),
        (FitKind::Interference, -79.0)
    );
}

#[test]
fn turned_or_endless_deviations_are_named() {
    let good = deviations(0.0, 1.0);
    assert_eq!(
        fit(&deviations(2.0, 1.0), &good).unwrap_err().input(),
        "hole.lower"
    );
    assert_eq!(
        fit(&good, &deviations(0.0, f64::INFINITY))
            .unwrap_err()
            .input(),
        "shaft.upper"
    );
}

proptest! {
    #[test]
    fn mirroring_hole_and_shaft_leaves_the_fit_as_it_is(
        hole in -500..500_i32, hole_it in 0..300_i32, shaft in -500..500_i32, shaft_it in 0..300_i32,
    ) {
        let make = |lower: i32, it: i32| deviations(f64::from(lower), f64::from(lower + it));
        let mirrored = |lower: i32, it: i32| make(-lower - it, it);
        let here = fit(&make(hole, hole_it), &make(shaft, shaft_it)).unwrap();
        let there = fit(&mirrored(shaft, shaft_it), &mirrored(hole, hole_it)).unwrap();
        prop_assert_eq!(here, there);
        prop_assert_eq!(as_micrometres(here.clearance_max - here.clearance_min), f64::from(hole_it + shaft_it));
    }

    #[test]
    fn swapping_hole_and_shaft_turns_clearance_into_interference(
        hole in -500..500_i32, hole_it in 0..300_i32, shaft in -500..500_i32, shaft_it in 0..300_i32,
    ) {
        let make = |lower: i32, it: i32| deviations(f64::from(lower), f64::from(lower + it));
        let (hole, shaft) = (make(hole, hole_it), make(shaft, shaft_it));
        let (here, swapped) = (fit(&hole, &shaft).unwrap(), fit(&shaft, &hole).unwrap());
        prop_assert_eq!(as_micrometres(here.clearance_min), -as_micrometres(swapped.clearance_max));
        prop_assert_eq!(as_micrometres(here.clearance_max), -as_micrometres(swapped.clearance_min));
        let is_loose = as_micrometres(here.clearance_min) > 0.0;
        prop_assert!(!is_loose || swapped.kind == FitKind::Interference);
    }
}
