//! Checks of feeler readings: worked by hand (common practice, no source), and their laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::quantity::millimetres;

fn leaves(passing: &[f64], refused: &[f64]) -> RowReading {
    let lengths = |values: &[f64]| values.iter().map(|&mm| millimetres(mm)).collect();
    RowReading::Leaves {
        passing: lengths(passing),
        refused: lengths(refused),
    }
}

fn thin(a: f64, b: f64, c: f64) -> RowReading {
    RowReading::ThinRing {
        open: millimetres(c),
        sides: [millimetres(a), millimetres(b)],
    }
}

#[test]
fn a_row_is_the_mean_of_its_extreme_leaves() {
    for (reading, expected_nm) in [
        (leaves(&[0.24, 0.23], &[0.25, 0.26]), 245_000),
        // The tightest place refuses what the loosest lets pass.
        (leaves(&[0.20, 0.28], &[0.22, 0.30]), 250_000),
        (leaves(&[0.000_001], &[0.000_002]), 2),
        (thin(0.10, 0.12, 0.30), 260_000),
        (thin(0.0, 0.0, 0.30), 150_000),
    ] {
        let got = row_clearance(&reading).unwrap();
        assert_eq!(to_nanometres(got.clearance), expected_nm, "{reading:?}");
    }
}

#[test]
fn every_row_and_the_mean_must_lie_inside() {
    let limits = Limits::between(millimetres(0.22), millimetres(0.28));
    let exact = Some(millimetres(0.0));
    let good = leaves(&[0.24], &[0.26]);
    let loose = leaves(&[0.28], &[0.30]);
    let both = feeler(&[good.clone(), loose.clone()], &limits, exact).unwrap();
    assert_eq!(to_nanometres(both.clearance), 270_000);
    assert_eq!(both.of_mean.verdict, Verdict::Pass);
    assert_eq!(both.rows[1].1.verdict, Verdict::Fail);
    assert_eq!(both.verdict, Verdict::Fail, "one row outside is enough");
    let fine = feeler(&[good.clone(), good.clone()], &limits, exact).unwrap();
    assert_eq!(fine.verdict, Verdict::Pass);
    let unknown = feeler(&[good], &limits, None).unwrap();
    assert_eq!(unknown.verdict, Verdict::PassInDoubt);
}

#[test]
fn wrong_inputs_are_named_with_their_place() {
    let limits = Limits::at_most(millimetres(1.0));
    for (row, input) in [
        (leaves(&[], &[0.2]), "rows[0].passing"),
        (leaves(&[0.2], &[]), "rows[0].refused"),
        (leaves(&[0.2], &[0.2, -0.1]), "rows[0].refused[1]"),
        (thin(0.1, -0.1, 0.1), "rows[0].sides[1]"),
        (thin(0.1, 0.1, f64::NAN), "rows[0].open"),
    ] {
        assert_eq!(feeler(&[row], &limits, None).unwrap_err().input(), input);
    }
    assert_eq!(feeler(&[], &limits, None).unwrap_err().input(), "rows");
    let none = feeler(&[thin(0.1, 0.1, 0.1)], &Limits::default(), None);
    assert_eq!(none.unwrap_err().input(), "lower");
}

#[test]
fn the_method_keeps_its_keys() {
    let row = |row: Value| json!({"rows": [row], "upper_mm": 0.5, "expanded_uncertainty_um": 0});
    let good = json!({"passing_mm": [0.2], "refused_mm": [0.24]});
    let got = (METHOD.run)(&row(good.clone())).unwrap().output;
    assert_eq!(
        got.to_string(),
        r#"{"clearance_mm":0.22,"verdict":"pass","rows":[{"clearance_mm":0.22,"largest_mm":0.2,"smallest_mm":0.24,"verdict":"pass"}]}"#
    );
    for (input, key) in [
        (row(json!({})), "rows[0].passing_mm"),
        (row(json!({"passing_mm": [0.2]})), "rows[0].refused_mm"),
        (row(json!({"refused_mm": [0.2]})), "rows[0].passing_mm"),
        (
            row(json!({"passing_mm": [], "refused_mm": [0.2]})),
            "rows[0].passing_mm",
        ),
        (
            row(json!({"thin_ring_mm": [0.1, 0.1]})),
            "rows[0].thin_ring_mm",
        ),
        (
            row(json!({"passing_mm": [0.1], "thin_ring_mm": [0.1, 0.1, 0.1]})),
            "rows[0].thin_ring_mm",
        ),
        (
            row(json!({"thin_ring_mm": [0.1, -0.1, 0.1]})),
            "rows[0].thin_ring_mm[1]",
        ),
        (json!({"rows": [good.clone()]}), "lower_mm"),
        (
            json!({"rows": [good], "lower_mm": 0.5, "upper_mm": 0.4}),
            "lower_mm",
        ),
    ] {
        assert_eq!((METHOD.run)(&input).unwrap_err().key, key, "{input}");
    }
}

proptest! {
    #[test]
    fn the_mean_lies_between_the_rows_and_does_not_know_their_order(
        rows in prop::collection::vec((1_i64..900_000, 1_i64..900_000), 1..6),
    ) {
        let readings: Vec<RowReading> = rows.iter()
            .map(|&(passing, refused)| RowReading::Leaves { passing: vec![nanometres(passing)], refused: vec![nanometres(refused)] })
            .collect();
        let turned: Vec<RowReading> = readings.iter().rev().cloned().collect();
        let limits = Limits::at_least(nanometres(0));
        let (found, back) = (feeler(&readings, &limits, None).unwrap(), feeler(&turned, &limits, None).unwrap());
        prop_assert_eq!(found.clearance, back.clearance);
        let of_rows = || found.rows.iter().map(|row| to_nanometres(row.0.clearance));
        let mean = to_nanometres(found.clearance);
        prop_assert!(of_rows().min().unwrap() <= mean && mean <= of_rows().max().unwrap());
    }
}
