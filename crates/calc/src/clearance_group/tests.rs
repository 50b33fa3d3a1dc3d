//! Checks of the clearance groups against every row of the tables.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;

use super::*;
use crate::quantity::{as_micrometres, nanometres};

const TABLES: [(RollerKind, SeatForm, usize); 3] = [
    (RollerKind::Cylindrical, SeatForm::Cylindrical, 28),
    (RollerKind::Spherical, SeatForm::Cylindrical, 28),
    (RollerKind::Spherical, SeatForm::Tapered, 23),
];

#[test]
fn every_row_comes_back_just_above_its_start_and_at_its_end() {
    for (kind, seat, count) in TABLES {
        let mut read = 0;
        for row in table(kind, seat).unwrap().rows() {
            let SizeRange { over, upto } = row.range();
            for group in Group::ALL {
                let column = |end| row.number(&format!("{}_{end}", group.as_str())).unwrap();
                for bore in [over + nanometres(1), upto.unwrap()] {
                    let got = clearance_group(kind, seat, bore, group).unwrap();
                    let got = (as_micrometres(got.min), as_micrometres(got.max));
                    let expected = (column("min"), column("max"));
                    assert_eq!(got, expected, "{kind:?} {seat:?} {bore:?} {group:?}");
                }
            }
            read += 1;
        }
        assert_eq!(read, count, "{kind:?} {seat:?}: rows lost while reading");
    }
}

#[test]
fn cylindrical_rollers_above_500_mm_are_told_to_be_a_makers_values() {
    let head = include_str!("../../../../shared/reference/iso5753_crb_cylindrical_bore.csv");
    assert!(head.contains("up to 500 mm these are the ISO 5753-1 values"));
    let standing = |kind, mm| {
        let seat = SeatForm::Cylindrical;
        let limits = clearance_group(kind, seat, millimetres(mm), Group::CN);
        limits.unwrap().standing
    };
    assert_eq!(standing(RollerKind::Cylindrical, 500.0), Standing::Standard);
    assert_eq!(
        standing(RollerKind::Cylindrical, 500.1),
        Standing::BeyondStandard
    );
    assert_eq!(standing(RollerKind::Spherical, 900.0), Standing::Standard);
    let input = serde_json::json!({"kind": "cylindrical", "bore_mm": 600, "group": "C4"});
    let steps = (METHOD.run)(&input).unwrap().steps;
    assert!(
        steps
            .last()
            .unwrap()
            .note
            .contains("ISO 5753-1 ends before"),
        "{steps:?}"
    );
}

#[test]
fn what_is_not_given_says_what_is() {
    let spherical = RollerKind::Spherical;
    for (kind, seat, mm, input, words) in [
        (
            RollerKind::Cylindrical,
            SeatForm::Tapered,
            100.0,
            "seat",
            "tapered bore",
        ),
        (
            RollerKind::Cylindrical,
            SeatForm::Cylindrical,
            0.0,
            "bore",
            "over 0 up to 1250",
        ),
        (
            RollerKind::Cylindrical,
            SeatForm::Cylindrical,
            1_250.1,
            "bore",
            "over 0 up to 1250",
        ),
        (
            spherical,
            SeatForm::Cylindrical,
            18.0,
            "bore",
            "over 18 up to 1250",
        ),
        (
            spherical,
            SeatForm::Tapered,
            1_000.1,
            "bore",
            "over 40 up to 1000",
        ),
        (
            spherical,
            SeatForm::Tapered,
            f64::INFINITY,
            "bore",
            "finite",
        ),
    ] {
        let error = clearance_group(kind, seat, millimetres(mm), Group::C3).unwrap_err();
        assert_eq!(error.input(), input, "{error}");
        assert!(error.to_string().contains(words), "{error}");
    }
}

proptest! {
    #[test]
    fn a_looser_group_and_a_larger_bore_have_more_clearance(um in 40_001_u32..1_000_000, more in 0_u32..200_000) {
        let here = nanometres(i64::from(um) * 1_000);
        let there = nanometres(i64::from((um + more).min(1_000_000)) * 1_000);
        for (kind, seat, _) in TABLES {
            let at = |bore, group| clearance_group(kind, seat, bore, group).unwrap();
            for group in Group::ALL {
                let (limits, larger) = (at(here, group), at(there, group));
                prop_assert!(limits.min < limits.max);
                prop_assert!(limits.min <= larger.min && limits.max <= larger.max, "{kind:?} {seat:?} {group:?}");
            }
            for pair in Group::ALL.windows(2) {
                let (tight, loose) = (at(here, pair[0]), at(here, pair[1]));
                prop_assert!(tight.min < loose.min && tight.max < loose.max);
            }
        }
    }
}
