//! Checks of the geometry, of every row of `trb_radial_clearance.csv` and of it against `rollneck_clearance.csv`.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::json;

use super::*;
use crate::quantity::{degrees, millimetres};

/// Lines of a table without comments and header, as cells.
fn lines(text: &str) -> impl Iterator<Item = Vec<&str>> {
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    lines.skip(1).map(|line| line.split(',').collect())
}

#[test]
fn every_row_of_the_table_is_found_at_its_ends() {
    let mut count = 0;
    for cells in lines(GROUPS) {
        let numbers: Vec<f64> = cells.iter().map(|cell| cell.parse().unwrap()).collect();
        for bore in [numbers[0] + 0.001, numbers[1]] {
            let groups = clearance_groups(millimetres(bore)).unwrap();
            let found: Vec<f64> = groups
                .iter()
                .flat_map(|group| [group.min, group.max])
                .map(as_micrometres)
                .collect();
            assert_eq!(found, numbers[2..], "bore {bore}");
            // The groups lie end to end.
            assert!(
                groups.windows(2).all(|pair| pair[0].max == pair[1].min),
                "bore {bore}"
            );
        }
        count += 1;
    }
    assert_eq!((count, rows().len()), (26, 26));
    assert!(
        rows()
            .windows(2)
            .all(|pair| pair[0].upto_mm == pair[1].over_mm)
    );
    for outside in [14.0, 900.001, f64::NAN, -1.0] {
        let error = clearance_groups(millimetres(outside)).unwrap_err();
        assert_eq!(error.input(), "bore");
    }
}

#[test]
fn the_roll_neck_standard_of_another_maker_lies_within_c1_and_c2() {
    // rollneck_clearance.csv, kind trb_clearance: the claim in the head of trb_radial_clearance.csv.
    let text = include_str!("../../../../shared/reference/rollneck_clearance.csv");
    let mut count = 0;
    for cells in lines(text).filter(|cells| cells[0] == "trb_clearance") {
        let numbers: Vec<f64> = cells[1..]
            .iter()
            .map(|cell| cell.parse().unwrap())
            .collect();
        // Where its range of bores ends above 900 mm, the table ends too.
        let upto = numbers[1].min(900.0);
        for bore in [numbers[0] + 0.001, upto] {
            for clearance in [numbers[2], numbers[3]] {
                let group = group_of(micrometres(clearance), millimetres(bore))
                    .unwrap()
                    .unwrap();
                assert!(
                    ["C1", "C2"].contains(&group.name),
                    "{bore} {clearance}: {}",
                    group.name
                );
            }
        }
        count += 1;
    }
    assert_eq!(count, 9);
}

#[test]
fn end_play_becomes_clearance_by_the_tangent() {
    // tan 45 = 1; tan 15 = 2 - sqrt(3); geometry.
    for (end_play, angle, expected) in [
        (0.3, 45.0, 300.0),
        (0.42, 15.0, 420.0 * (2.0 - 3.0_f64.sqrt())),
        (-0.02, 45.0, -20.0),
        (0.0, 20.0, 0.0),
    ] {
        let got = radial_from_axial(millimetres(end_play), degrees(angle)).unwrap();
        assert!(
            (as_micrometres(got) - expected).abs() < 1e-9,
            "{end_play} {angle}"
        );
    }
    let error = |angle| radial_from_axial(millimetres(1.0), degrees(angle)).unwrap_err();
    assert_eq!(error(0.5).input(), "contact_angle");
    assert_eq!(error(f64::NAN).input(), "contact_angle");
    let endless = radial_from_axial(millimetres(f64::INFINITY), degrees(10.0));
    assert_eq!(endless.unwrap_err().input(), "end_play");
}

#[test]
fn the_method_names_the_group_and_what_is_wrong() {
    let run = |input| (METHOD.run)(&input).map(|worked| worked.output);
    // 315 to 355 mm: CN 140 to 210 um.
    let got = run(json!({"end_play_mm": 0.2, "contact_angle_deg": 45, "bore_mm": 340})).unwrap();
    assert_eq!(
        (&got["group"], &got["group_min_um"]),
        (&json!("CN"), &json!(140.0))
    );
    let none = run(json!({"end_play_mm": -0.2, "contact_angle_deg": 45, "bore_mm": 340})).unwrap();
    assert_eq!(none["group"], json!(null));
    for (input, key) in [
        (
            json!({"end_play_mm": 0.2, "contact_angle_deg": 0}),
            "contact_angle_deg",
        ),
        (
            json!({"end_play_mm": 0.2, "contact_angle_deg": 9, "bore_mm": 1000}),
            "bore_mm",
        ),
        (
            json!({"end_play_mm": "x", "contact_angle_deg": 9}),
            "end_play_mm",
        ),
    ] {
        assert_eq!(run(input).unwrap_err().key, key);
    }
}

proptest! {
    #[test]
    fn a_clearance_lies_in_the_group_that_is_named(bore in 14.1..900.0_f64, um in -50.0..1000.0_f64) {
        let groups = clearance_groups(millimetres(bore)).unwrap();
        let clearance = micrometres(um);
        match group_of(clearance, millimetres(bore)).unwrap() {
            Some(group) => prop_assert!(group.min <= clearance && clearance <= group.max),
            None => prop_assert!(clearance < groups[0].min || clearance > groups[4].max),
        }
    }

    #[test]
    fn a_steeper_angle_turns_more_end_play_into_clearance(um in 1.0..900.0_f64, angle in 1.0..59.0_f64, more in 0.01..1.0_f64) {
        let radial = |angle| radial_from_axial(micrometres(um), degrees(angle)).unwrap();
        prop_assert!(radial(angle + more) > radial(angle));
    }
}
