//! Checks of the budget against example H.1 of `gum_examples.toml`, of the quantile, and their laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::{
    quantity::{celsius, kelvins, millimetres, per_kelvin},
    seat::{Correction, geometry},
    test_table::rows as table_rows,
};

#[derive(serde::Deserialize)]
struct Table {
    #[serde(rename = "H1_end_gauge")]
    h1: EndGauge,
}

/// Example H.1, lengths in nm.
#[derive(serde::Deserialize)]
#[allow(non_snake_case, reason = "names of the table")]
struct EndGauge {
    standard_length_mm: f64,
    u_standard_nm: f64,
    dof_standard: f64,
    mean_difference_nm: f64,
    u_repeat_nm: f64,
    u_comparator_random_nm: f64,
    u_comparator_systematic_nm: f64,
    u_difference_nm: f64,
    alpha_standard: f64,
    u_delta_alpha: f64,
    u_delta_theta_K: f64,
    theta_mean_K: f64,
    u_theta_K: f64,
    contribution_delta_alpha_nm: f64,
    contribution_delta_theta_nm: f64,
    combined_u_nm: f64,
    effective_dof: f64,
    t99: f64,
    U99_nm: f64,
    result_mm: f64,
    second_order_terms_nm: Vec<f64>,
    combined_u_with_second_order_nm: f64,
}

fn h1() -> EndGauge {
    let text = include_str!("../../../../shared/reference/gum_examples.toml");
    toml::from_str::<Table>(text).unwrap().h1
}

fn of_nm(u: f64, degrees_of_freedom: Option<f64>) -> Contribution {
    Contribution {
        standard: micrometres(u / 1e3),
        degrees_of_freedom,
    }
}

fn nm(length: Length) -> f64 {
    as_micrometres(length) * 1e3
}

#[test]
fn the_end_gauge_of_jcgm_100_comes_out_as_printed() {
    let h1 = h1();
    // Degrees of freedom as in the comments of the table.
    let difference = combine(&[
        of_nm(h1.u_repeat_nm, Some(24.0)),
        of_nm(h1.u_comparator_random_nm, Some(5.0)),
        of_nm(h1.u_comparator_systematic_nm, Some(8.0)),
    ])
    .unwrap();
    assert!((nm(difference.standard) - h1.u_difference_nm).abs() <= 0.05);
    let degrees = difference.degrees_of_freedom.unwrap();
    assert!((degrees - 25.6).abs() <= 0.2, "rounded inputs: {degrees}");

    let length_nm = h1.standard_length_mm * 1e6;
    let delta_alpha_nm = length_nm * h1.theta_mean_K.abs() * h1.u_delta_alpha;
    let delta_theta_nm = length_nm * h1.alpha_standard * h1.u_delta_theta_K;
    assert!((delta_alpha_nm - h1.contribution_delta_alpha_nm).abs() <= 0.05);
    // The printed 16.6 comes from the unrounded 0.0289 K.
    assert!((delta_theta_nm - h1.contribution_delta_theta_nm).abs() <= 0.1);

    let rows = [
        of_nm(h1.u_standard_nm, Some(h1.dof_standard)),
        of_nm(h1.u_difference_nm, Some(25.6)),
        of_nm(h1.contribution_delta_alpha_nm, Some(50.0)),
        of_nm(h1.contribution_delta_theta_nm, Some(2.0)),
    ];
    let combined = combine(&rows).unwrap();
    assert!((nm(combined.standard) - h1.combined_u_nm).abs() <= 0.5);
    let degrees = combined.degrees_of_freedom.unwrap();
    assert_eq!(degrees.floor(), h1.effective_dof, "{degrees}");
    let t99 = coverage_factor(0.99, Some(degrees)).unwrap();
    assert!((t99 - h1.t99).abs() <= 5e-3, "{t99}");
    // The standard expands the rounded 32 nm.
    assert!((t99 * h1.combined_u_nm - h1.U99_nm).abs() <= 0.5);
    let result_mm = h1.standard_length_mm + h1.mean_difference_nm / 1e6;
    assert!((result_mm - h1.result_mm).abs() <= 5e-7);

    // H.1.7: products of two doubts; the second with the ±2e-6 of the expansion of the standard (memory).
    let second_order = [
        length_nm * h1.u_delta_alpha * h1.u_theta_K,
        length_nm * 2e-6 / 3.0_f64.sqrt() * h1.u_delta_theta_K,
    ];
    for (got, printed) in second_order.iter().zip(&h1.second_order_terms_nm) {
        assert!((got / printed - 1.0).abs() <= 0.02, "{got} {printed}");
    }
    let all: Vec<Contribution> = rows
        .into_iter()
        .chain(h1.second_order_terms_nm.iter().map(|&u| of_nm(u, None)))
        .collect();
    let with = combine(&all).unwrap();
    assert!((nm(with.standard) - h1.combined_u_with_second_order_nm).abs() <= 0.5);
}

#[test]
fn students_quantile_matches_table_g2_of_jcgm_100() {
    // JCGM 100:2008, table G.2 (memory), half a unit of the last printed digit.
    for (degrees, t95_45, t99) in [
        (1.0, 13.97, 63.66),
        (2.0, 4.53, 9.92),
        (3.0, 3.31, 5.84),
        (4.0, 2.87, 4.60),
        (5.0, 2.65, 4.03),
        (6.0, 2.52, 3.71),
        (8.0, 2.37, 3.36),
        (10.0, 2.28, 3.17),
        (16.0, 2.17, 2.92),
        (20.0, 2.13, 2.85),
        (50.0, 2.05, 2.68),
        (100.0, 2.025, 2.626),
    ] {
        for (p, printed) in [(PROBABILITY_AT_2, t95_45), (0.99, t99)] {
            let got = coverage_factor(p, Some(degrees)).unwrap();
            let half_digit = if degrees == 100.0 { 6e-4 } else { 5.1e-3 };
            assert!((got - printed).abs() <= half_digit, "{degrees} {p}: {got}");
        }
    }
    assert!((coverage_factor(PROBABILITY_AT_2, None).unwrap() - 2.0).abs() < 1e-12);
    // The sum up to 400 and the expansion above it go on without a step.
    for p in [0.9, PROBABILITY_AT_2, 0.99] {
        let t = |degrees| coverage_factor(p, Some(degrees)).unwrap();
        let (before, across) = (t(399.0) - t(400.0), t(400.0) - t(401.0));
        assert!((across / before - 1.0).abs() < 0.01, "{before} {across}");
    }
    for (p, degrees, key) in [
        (1.0, None, "probability"),
        (0.95, Some(0.5), "degrees_of_freedom"),
    ] {
        assert_eq!(coverage_factor(p, degrees).unwrap_err().input(), key);
    }
}

#[test]
fn repeats_give_their_standard_deviation() {
    // 13 nm of 25 observations over five repeats: JCGM 100:2008, H.1.3.2 gives 5.8 nm (memory); two values make it here.
    let off = 0.013 / 2.0_f64.sqrt();
    let pair = [micrometres(620_000.0 - off), micrometres(620_000.0 + off)];
    let got = repeatability(&pair, 5).unwrap();
    assert!(
        (nm(got.standard) - 5.8).abs() < 0.05,
        "{}",
        nm(got.standard)
    );
    assert_eq!(got.degrees_of_freedom, Some(1.0));
    assert_eq!(
        repeatability(&pair[..1], 1).unwrap_err().input(),
        "readings"
    );
    assert_eq!(repeatability(&pair, 0).unwrap_err().input(), "averaged");
}

#[test]
fn three_lobes_have_one_two_point_size_and_so_no_scatter() {
    // roundness.toml, terms: a three-lobed form is invisible to two-point sizes; here +-20 um of it on the radius.
    let radius_um = |degrees: f64| 310_000.0 + 20.0 * libm::cos(3.0 * degrees.to_radians());
    let sizes: Vec<Length> = (0..18)
        .map(|step| f64::from(step) * 10.0)
        .map(|degrees| micrometres(radius_um(degrees) + radius_um(degrees + 180.0)))
        .collect();
    let seen = geometry(std::slice::from_ref(&sizes)).unwrap();
    assert!(nm(seen.ovality[0]) < 1e-3, "{}", nm(seen.ovality[0]));
    assert!(nm(repeatability(&sizes, 1).unwrap().standard) < 1e-3);
}

fn reading() -> DiameterReading {
    DiameterReading {
        diameter: millimetres(620.0),
        correction: Correction {
            part: celsius(24.0),
            ..Correction::none()
        },
        gauge_expanded: micrometres(6.0),
        setting_expanded: micrometres(4.0),
        part_temperature: kelvins(1.0),
        gauge_temperature: kelvins(0.5),
        part_expansion: per_kelvin(1e-6),
        gauge_expansion: per_kelvin(1e-6),
        repeats: [0.0, 2.0, 1.0]
            .map(|um| micrometres(620_000.0 + um))
            .to_vec(),
        averaged: 1,
        resolution: micrometres(1.0),
        unseen_form: micrometres(0.0),
    }
}

#[test]
fn the_budget_of_a_bore_has_its_contributions_by_hand() {
    let (rows, combined) = diameter_budget(&reading()).unwrap();
    let third = 3.0_f64.sqrt();
    // The size at 20 °C stands for D: 46 ppm less than read.
    let d = as_micrometres(reading().correction.at_20_c(millimetres(620.0)).unwrap());
    let expected = [
        3.0,
        2.0,
        d * 11.5e-6 / third,
        d * 11.5e-6 * 0.5 / third,
        d * 4.0 * 1e-6 / third,
        0.0,
        d * 1e-6 / 3.0,
        d * 0.5e-6 / 3.0,
        1.0,
        1.0 / 12.0_f64.sqrt(),
        0.0,
    ];
    assert_eq!(rows.len(), expected.len());
    for ((source, got), expected) in rows.iter().zip(expected) {
        let got = as_micrometres(got.standard);
        assert!(
            (got - expected).abs() < 1e-9,
            "{source:?}: {got}, {expected}"
        );
    }
    let square: f64 = expected.iter().map(|u| u * u).sum();
    assert!((as_micrometres(combined.standard) - square.sqrt()).abs() < 1e-9);
    assert!((as_micrometres(combined.expanded()) - 2.0 * square.sqrt()).abs() < 1e-9);
    // Only the repeats are few: nu = 2 u^4 / 1^4.
    let degrees = combined.degrees_of_freedom.unwrap();
    assert!((degrees / (2.0 * square * square) - 1.0).abs() < 1e-9);
}

#[test]
fn the_method_names_what_is_wrong() {
    let example: Value = serde_json::from_str(METHOD.example).unwrap();
    let worked = (METHOD.run)(&example).unwrap();
    let rows = worked.output["contributions"].as_array().unwrap();
    let shares: f64 = rows.iter().map(|row| row["share"].as_f64().unwrap()).sum();
    assert!((shares - 1.0).abs() < 1e-12);
    for (key, value, named) in [
        ("readings_mm", json!([620.0]), "readings_mm"),
        ("readings_mm", json!([620.0, -1]), "readings_mm[1]"),
        ("averaged", json!(0), "averaged"),
        ("part_temp_c", json!(400), "part_temp_c"),
        (
            "part_temp_half_width_k",
            json!(-1),
            "part_temp_half_width_k",
        ),
        (
            "expansion_part_half_width_per_k",
            json!(1.0),
            "expansion_part_half_width_per_k",
        ),
        ("resolution_um", json!("1"), "resolution_um"),
        (
            "gauge_expanded_uncertainty_um",
            json!(-1),
            "gauge_expanded_uncertainty_um",
        ),
    ] {
        let mut input = example.clone();
        input[key] = value;
        assert_eq!((METHOD.run)(&input).unwrap_err().key, named);
    }
    let mut wrong = reading();
    wrong.gauge_expanded = micrometres(-1.0);
    assert_eq!(
        diameter_budget(&wrong).unwrap_err().input(),
        "gauge_expanded"
    );
}

#[test]
fn nothing_doubtful_leaves_nothing() {
    let none = combine(&[of_nm(0.0, None), of_nm(0.0, Some(3.0))]).unwrap();
    assert_eq!((nm(none.standard), none.degrees_of_freedom), (0.0, None));
    assert_eq!(
        combine(&[of_nm(-1.0, None)]).unwrap_err().input(),
        "contributions[0]"
    );
}

proptest! {
    #[test]
    fn the_whole_is_at_least_its_largest_part_and_at_most_their_sum(
        parts in prop::collection::vec((0.0..50.0_f64, 1.0..60.0_f64), 1..8),
    ) {
        let rows: Vec<Contribution> = parts.iter().map(|&(u, nu)| of_nm(u, Some(nu))).collect();
        let combined = combine(&rows).unwrap();
        let largest = parts.iter().map(|part| part.0).fold(0.0, f64::max);
        let sum: f64 = parts.iter().map(|part| part.0).sum();
        let u = nm(combined.standard);
        prop_assert!(u >= largest * (1.0 - 1e-12) && u <= sum * (1.0 + 1e-12));
        if let Some(degrees) = combined.degrees_of_freedom {
            // Welch-Satterthwaite lies between the fewest degrees of freedom and all of them together.
            let fewest = parts.iter().map(|part| part.1).fold(f64::INFINITY, f64::min);
            let all: f64 = parts.iter().map(|part| part.1).sum();
            prop_assert!(degrees >= fewest * (1.0 - 1e-9) && degrees <= all * (1.0 + 1e-9));
        }
    }

    #[test]
    fn more_degrees_of_freedom_never_widen_the_coverage(p in 0.5..0.999_f64, n in 1_u32..900, more in 1_u32..50) {
        let t = |n: u32| coverage_factor(p, Some(f64::from(n))).unwrap();
        prop_assert!(t(n + more) <= t(n) + 1e-9);
        prop_assert!(t(n) >= coverage_factor(p, None).unwrap());
    }
}

/// Against two packages made independently of this project (`tests/outside/special.py` tells how); mpmath computes with
/// 40 digits and is the truth here.
#[test]
fn students_quantile_matches_two_packages_from_outside() {
    let mut compared = 0;
    for row in table_rows(include_str!("../../tests/outside/special.csv")) {
        if row.text("function") != "student" {
            continue;
        }
        let (p, degrees) = (row.number("argument"), row.number("degrees"));
        let ours = coverage_factor(p, Some(degrees)).unwrap();
        let truth = row.number("mpmath");
        let apart = (ours / truth - 1.0).abs();
        assert!(apart < 1e-9, "{p} {degrees}: {ours} {truth}");
        let scipy = row.number("scipy");
        assert!(
            (scipy / truth - 1.0).abs() < 1e-9,
            "{p} {degrees}: the packages differ"
        );
        compared += 1;
    }
    assert_eq!(compared, 47 * 8, "rows lost while reading");
}
