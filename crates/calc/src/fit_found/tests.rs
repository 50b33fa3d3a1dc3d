//! Checks of fits found: what stands where nothing was measured, who is at fault, and the laws of both.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::{
    fit::FitKind,
    iso286::tolerance,
    quantity::{as_micrometres, micrometres, millimetres},
};

fn deviations(lower_um: f64, upper_um: f64) -> Deviations {
    Deviations {
        lower: micrometres(lower_um),
        upper: micrometres(upper_um),
    }
}

fn part(designed: Deviations, sizes_mm: &[f64]) -> FitPart {
    let sizes = sizes_mm.iter().map(|&mm| millimetres(mm)).collect();
    FitPart { designed, sizes }
}

fn excess_um(excess: Option<Excess>) -> Option<(f64, f64)> {
    excess.map(|excess| (as_micrometres(excess.below), as_micrometres(excess.above)))
}

#[test]
fn a_worn_neck_in_a_good_ring_is_at_fault() {
    // Limits: iso286_limits.csv 500 f6 -108/-68; iso492_radial_bore.csv 400-500 mm, Normal 0/-45. Sizes invented.
    let nominal = millimetres(500.0);
    let ring = part(deviations(-45.0, 0.0), &[499.97, 499.96, 499.98]);
    let neck = part(tolerance(nominal, "f6").unwrap(), &[499.85, 499.9]);
    let got = fit_found(nominal, &ring, &neck).unwrap();
    assert_eq!(as_micrometres(got.found.clearance_min), 60.0);
    assert_eq!(as_micrometres(got.found.clearance_max), 130.0);
    assert_eq!(as_micrometres(got.designed.clearance_min), 23.0);
    assert_eq!(as_micrometres(got.designed.clearance_max), 108.0);
    assert_eq!(
        (got.is_as_designed(), got.at_fault()),
        (false, AtFault::Shaft)
    );
    assert_eq!(excess_um(got.hole_excess), Some((0.0, 0.0)));
    assert_eq!(excess_um(got.shaft_excess), Some((42.0, 0.0)));
}

#[test]
fn limits_stand_where_nothing_was_measured() {
    // iso286_limits.csv: 420 H7 0/+63, 420 k6 +5/+45 (fit table test: -45/58). Sizes invented.
    let nominal = millimetres(420.0);
    let hole = tolerance(nominal, "H7").unwrap();
    let shaft = tolerance(nominal, "k6").unwrap();
    let got = fit_found(nominal, &part(hole, &[]), &part(shaft, &[420.045])).unwrap();
    assert_eq!(got.hole, hole);
    assert_eq!(excess_um(got.hole_excess), None);
    assert_eq!(as_micrometres(got.found.clearance_min), -45.0);
    assert_eq!(as_micrometres(got.found.clearance_max), 18.0);
    assert_eq!(got.found.kind, FitKind::Transition);
    assert_eq!(
        (got.is_as_designed(), got.at_fault()),
        (true, AtFault::None)
    );
    let got = fit_found(nominal, &part(hole, &[419.99, 420.07]), &part(shaft, &[])).unwrap();
    assert_eq!(excess_um(got.hole_excess), Some((10.0, 7.0)));
    assert_eq!(got.at_fault(), AtFault::Hole);
}

#[test]
fn a_partner_can_make_up_for_a_part_that_is_out() {
    let nominal = millimetres(100.0);
    let hole = part(deviations(0.0, 35.0), &[100.04]);
    let shaft = part(deviations(-34.0, -12.0), &[99.985]);
    let got = fit_found(nominal, &hole, &shaft).unwrap();
    assert!(got.is_as_designed());
    assert_eq!(got.at_fault(), AtFault::Hole);
    let both = fit_found(nominal, &hole, &part(shaft.designed, &[99.95])).unwrap();
    assert_eq!(
        (both.is_as_designed(), both.at_fault()),
        (false, AtFault::Both)
    );
}

#[test]
fn wrong_inputs_are_named() {
    let nominal = millimetres(100.0);
    let (hole, shaft) = (deviations(0.0, 35.0), deviations(-34.0, -12.0));
    let input_of = |nominal, hole: &FitPart, shaft: &FitPart| {
        fit_found(nominal, hole, shaft)
            .unwrap_err()
            .input()
            .to_owned()
    };
    let (good_hole, good_shaft) = (part(hole, &[100.0]), part(shaft, &[]));
    assert!(fit_found(nominal, &good_hole, &good_shaft).is_ok());
    assert_eq!(
        input_of(nominal, &part(hole, &[]), &good_shaft),
        "hole_sizes"
    );
    assert_eq!(
        input_of(nominal, &part(hole, &[100.0, -1.0]), &good_shaft),
        "hole_sizes[1]"
    );
    assert_eq!(
        input_of(nominal, &good_hole, &part(shaft, &[f64::NAN])),
        "shaft_sizes[0]"
    );
    assert_eq!(
        input_of(millimetres(0.0), &good_hole, &good_shaft),
        "nominal"
    );
    let turned = part(deviations(1.0, 0.0), &[100.0]);
    assert_eq!(input_of(nominal, &turned, &good_shaft), "hole.lower");
}

fn sizes() -> impl Strategy<Value = Vec<i64>> {
    prop::collection::vec(-500_000_i64..500_000, 1..5)
}

fn made((lower, it): (i64, i64), sizes_nm: &[i64]) -> FitPart {
    let sizes = sizes_nm.iter().map(|nm| nanometres(400_000_000 + nm));
    FitPart {
        designed: Deviations {
            lower: nanometres(lower),
            upper: nanometres(lower + it),
        },
        sizes: sizes.collect(),
    }
}

proptest! {
    #[test]
    fn parts_inside_their_limits_make_the_designed_fit(
        hole in (-300_000_i64..300_000, 0_i64..300_000), hole_sizes in sizes(),
        shaft in (-300_000_i64..300_000, 0_i64..300_000), shaft_sizes in sizes(),
    ) {
        let nominal = nanometres(400_000_000);
        let got = fit_found(nominal, &made(hole, &hole_sizes), &made(shaft, &shaft_sizes)).unwrap();
        prop_assert!(got.at_fault() != AtFault::None || got.is_as_designed());
        // What is clamped into the limits is never at fault.
        let clamp = |(lower, it): (i64, i64), sizes: &[i64]| -> Vec<i64> {
            sizes.iter().map(|nm| (*nm).clamp(lower, lower + it)).collect()
        };
        let inside = fit_found(
            nominal,
            &made(hole, &clamp(hole, &hole_sizes)),
            &made(shaft, &clamp(shaft, &shaft_sizes)),
        ).unwrap();
        prop_assert_eq!(inside.at_fault(), AtFault::None);
        prop_assert!(inside.is_as_designed());
    }

    #[test]
    fn an_excess_is_what_would_have_to_be_allowed_more(hole in (-300_000_i64..300_000, 0_i64..300_000), sizes in sizes()) {
        let nominal = nanometres(400_000_000);
        let shaft = made((-600_000, 10_000), &[]);
        let got = fit_found(nominal, &made(hole, &sizes), &shaft).unwrap().hole_excess.unwrap();
        let (below, above) = (to_nanometres(got.below), to_nanometres(got.above));
        let wider = (hole.0 - below, hole.1 + below + above);
        let again = fit_found(nominal, &made(wider, &sizes), &shaft).unwrap();
        prop_assert_eq!(again.at_fault(), AtFault::None);
    }
}
