//! Checks of the mounted end play against the cases of the table, and laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::json;

use super::*;
use crate::{
    quantity::millimetres,
    test_table::{answer, assert_refused},
};

fn inner(bore: f64, race: f64, shaft_bore: f64) -> Tight {
    Tight::Inner {
        bore: millimetres(bore),
        race: millimetres(race),
        shaft_bore: millimetres(shaft_bore),
    }
}

fn loss_um(k: f64, ring: &Tight, interference_um: f64) -> f64 {
    as_micrometres(end_play_loss(k, ring, micrometres(interference_um)).unwrap())
}

#[test]
fn cases_of_interference_rules_toml_come_back() {
    let text = include_str!("../../../../shared/reference/interference_rules.toml");
    let rules: toml::Table = toml::from_str(text).unwrap();
    let cases = rules["timken_trb_fit_effect"]["case"].as_array().unwrap();
    assert_eq!(cases.len(), 2, "rows lost while reading");
    for case in cases {
        let of = |key: &str| case[key].as_float().unwrap();
        let ring = inner(of("d"), of("do"), of("dsi"));
        let got = loss_um(of("K"), &ring, of("delta_um"));
        assert!((got - of("dS_um")).abs() <= 5e-7, "{case}: {got}");
    }
}

#[test]
fn the_printed_ratio_of_page_81_would_take_more_than_the_interference() {
    // D/Do is above 1: the race would shrink by more than the ring is squeezed. Do/D is the one that can be.
    let outer = Tight::Outer {
        outside: millimetres(420.0),
        race: millimetres(385.0),
        housing_outside: None,
    };
    let got = loss_um(0.78, &outer, 50.0);
    assert!((got - 50.0 * 385.0 / 420.0).abs() < 1e-9, "{got}");
}

#[test]
fn the_method_answers_and_names_what_it_refuses() {
    // interference_rules.toml, second case: 145.400667 um a row, so twice that of the pair.
    let input = json!({
        "bench_end_play_mm": 0.5, "k_factor": 1.68, "bore_mm": 300, "inner_race_mm": 345,
        "interference_inner_um": 80, "shaft_bore_mm": 100
    });
    let got = answer("mounted_end_play", &input).unwrap();
    let mounted = got["mounted_end_play_mm"].as_f64().unwrap();
    assert!(
        (mounted - (0.5 - 2.0 * 0.145_400_667)).abs() <= 1e-9,
        "{got}"
    );
    assert_refused(
        "mounted_end_play",
        &[
            ("k_factor", json!(0), "k_factor"),
            ("rows", json!(1.5), "rows"),
            ("inner_race_mm", json!(300), "inner_race_mm"),
            ("shaft_bore_mm", json!(300), "shaft_bore_mm"),
            ("interference_outer_um", json!(10), "outside_mm"),
        ],
    );
    let mut tight = input;
    tight["interference_outer_um"] = json!(10);
    tight["outside_mm"] = json!(420);
    assert_eq!(
        answer("mounted_end_play", &tight).unwrap_err().key,
        "outer_race_mm"
    );
    tight["outer_race_mm"] = json!(420);
    assert_eq!(
        answer("mounted_end_play", &tight).unwrap_err().key,
        "outer_race_mm"
    );
    tight["outer_race_mm"] = json!(385);
    let less = answer("mounted_end_play", &tight).unwrap()["mounted_end_play_mm"]
        .as_f64()
        .unwrap();
    assert!(less < mounted);
}

proptest! {
    #[test]
    fn two_rows_lose_the_diametral_loss_over_the_tangent_of_the_angle(
        angle in 8.0..30.0_f64, interference in 0.0..300.0_f64,
    ) {
        // K = 0.39 cot(angle), so an end play of two rows is clearance x cot(angle).
        let tan = libm::tan(angle.to_radians());
        let ring = inner(300.0, 345.0, 0.0);
        let both = 2.0 * loss_um(0.39 / tan, &ring, interference);
        let diametral = interference * 300.0 / 345.0;
        prop_assert!((both - diametral / tan).abs() <= 1e-9 * (1.0 + both));
    }

    #[test]
    fn a_loose_ring_takes_nothing_and_a_hollow_neck_less(loose in 0.0..300.0_f64, hollow in 1.0..290.0_f64) {
        prop_assert_eq!(loss_um(1.68, &inner(300.0, 345.0, 0.0), -loose), 0.0);
        prop_assert!(loss_um(1.68, &inner(300.0, 345.0, hollow), 80.0) < loss_um(1.68, &inner(300.0, 345.0, 0.0), 80.0));
    }
}
