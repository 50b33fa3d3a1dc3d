//! Checks of the least-squares circle against `roundness.toml`, and its laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::json;

use super::*;
use crate::seat::geometry;

#[derive(serde::Deserialize)]
struct Table {
    lsc: Vec<Circle>,
}

#[derive(serde::Deserialize)]
#[allow(non_snake_case, reason = "names of the table")]
struct Circle {
    readings: Vec<f64>,
    R: f64,
    a: f64,
    b: f64,
    RONt: f64,
}

fn lengths(readings: &[f64]) -> Vec<Length> {
    readings.iter().copied().map(micrometres).collect()
}

#[test]
fn the_circle_matches_roundness_toml() {
    let text = include_str!("../../../../shared/reference/roundness.toml");
    let rows = toml::from_str::<Table>(text).unwrap().lsc;
    assert_eq!(rows.len(), 1);
    for row in rows {
        let got = section(&lengths(&row.readings)).unwrap();
        for (got, expected) in [
            (got.radius, row.R),
            (got.centre_x, row.a),
            (got.centre_y, row.b),
            (got.roundness, row.RONt),
        ] {
            // Six decimals printed.
            assert!((as_micrometres(got) - expected).abs() <= 5e-7, "{expected}");
        }
    }
}

/// `count` readings of so many lobes, 10 um high, off centre by 40 um.
fn lobes(count: i32, lobes: f64) -> Vec<Length> {
    let angles =
        (0..count).map(|place| std::f64::consts::TAU * f64::from(place) / f64::from(count));
    angles
        .map(|at| micrometres(10.0 * libm::cos(lobes * at) + 40.0 * libm::sin(at)))
        .collect()
}

#[test]
fn odd_lobes_are_unseen_by_two_points_and_even_ones_are_seen() {
    // roundness.toml, terms: even lobes show in two-point sizes, a three-lobed form does not.
    for (number, unseen_um) in [(2.0, 0.0), (3.0, 10.0), (4.0, 0.0), (5.0, 10.0)] {
        let readings = lobes(36, number);
        let got = section(&readings).unwrap();
        assert!((as_micrometres(got.centre_y) - 40.0).abs() < 1e-9);
        let unseen = as_micrometres(got.unseen.unwrap());
        assert!(
            (unseen - unseen_um).abs() < 1e-9,
            "{number} lobes: {unseen}"
        );
        // The same section by its diameters: half the ovality is what two points see of it.
        let radius = micrometres(300_000.0);
        let sizes: Vec<Length> = (0..18)
            .map(|place| radius * 2.0 + readings[place] + readings[place + 18])
            .collect();
        let seen = as_micrometres(geometry(&[sizes]).unwrap().ovality[0]) / 2.0;
        let round = as_micrometres(got.roundness);
        assert!(
            (seen + 2.0 * unseen - round).abs() < 0.2,
            "{number}: {seen} {unseen} {round}"
        );
    }
    assert_eq!(section(&lobes(9, 3.0)).unwrap().unseen, None);
}

#[test]
fn wrong_readings_are_named() {
    let run = |input| (METHOD.run)(&input).unwrap_err().key;
    assert_eq!(run(json!({"readings_um": [1, 2, 3]})), "readings_um");
    assert_eq!(
        run(json!({"readings_um": [1, 2, 3, 1e7]})),
        "readings_um[3]"
    );
    let nan = section(&lengths(&[1.0, 2.0, f64::NAN, 3.0]));
    assert_eq!(nan.unwrap_err().input(), "readings[2]");
    let long = vec![micrometres(0.0); READINGS_MAX + 1];
    assert_eq!(section(&long).unwrap_err().input(), "readings");
}

proptest! {
    #[test]
    fn a_shift_of_centre_and_radius_leaves_the_form(
        form in prop::collection::vec(-50.0..50.0_f64, 4..40), x in -200.0..200.0_f64, y in -200.0..200.0_f64, r in -500.0..500.0_f64,
    ) {
        let n = form.len() as f64;
        let moved: Vec<f64> = form.iter().enumerate().map(|(place, reading)| {
            let at = std::f64::consts::TAU * place as f64 / n;
            reading + r + x * libm::cos(at) + y * libm::sin(at)
        }).collect();
        let (here, there) = (section(&lengths(&form)).unwrap(), section(&lengths(&moved)).unwrap());
        prop_assert!((as_micrometres(here.roundness - there.roundness)).abs() < 1e-8);
        prop_assert!((as_micrometres(there.centre_x - here.centre_x) - x).abs() < 1e-8);
        prop_assert!((as_micrometres(there.radius - here.radius) - r).abs() < 1e-8);
        if let Some(unseen) = here.unseen {
            prop_assert!(unseen * 2.0 <= here.roundness + micrometres(1e-9));
        }
    }
}
