//! Checks of grease quantities against the reference table, and laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::json;

use super::*;
use crate::{
    quantity::{kilograms, millimetres},
    test_table::{answer, assert_refused},
};

fn case(id: &str) -> toml::Table {
    let text = include_str!("../../../../shared/reference/grease.toml");
    let table: toml::Table = toml::from_str(text).unwrap();
    let cases = table["case"].as_array().unwrap();
    let found = cases.iter().find(|case| case["id"].as_str() == Some(id));
    found.unwrap().as_table().unwrap().clone()
}

fn number(case: &toml::Table, key: &str) -> f64 {
    case[key].as_float().unwrap()
}

fn bearing(bore: f64, outside: f64, width: f64, mass: f64) -> GreaseFill {
    GreaseFill {
        bore: millimetres(bore),
        outside: millimetres(outside),
        width: millimetres(width),
        mass: kilograms(mass),
        rows: 4,
        fill_fraction: 0.5,
    }
}

#[test]
fn the_free_volume_of_grease_toml_comes_back() {
    let case = case("skf_c1_free_volume");
    let of = |key| number(&case, key);
    let greased = grease(&bearing(of("d"), of("D"), of("B"), of("M_kg"))).unwrap();
    let free = as_cubic_centimetres(greased.free);
    assert!((free - of("free_volume_cm3")).abs() <= 0.000_05, "{free}");
    // Printed 957: its source reckoned with 3.14 for pi, and makes "about 430 g" of half of it.
    let envelope = free + 1_000.0 * of("M_kg") / STEEL_G_PER_CM3;
    let with_3_14 = envelope * (314.0 / 100.0) / PI - 1_000.0 * of("M_kg") / STEEL_G_PER_CM3;
    assert!((with_3_14 - of("printed_cm3")).abs() <= 0.5, "{with_3_14}");
    let half_g = as_grams(greased.fill_mass);
    assert!(
        (half_g - of("half_fill_g_printed")).abs() <= 5.0,
        "{half_g}"
    );
}

#[test]
fn replenishment_of_grease_toml_comes_back() {
    for (id, key, feed) in [
        ("skf_c1_relubrication", "through_ring_g", Feed::ThroughRing),
        ("side_relubrication", "side_g", Feed::FromSide),
    ] {
        let case = case(id);
        let of = |key| number(&case, key);
        let mass = replenishment(millimetres(of("D")), millimetres(of("B")), feed).unwrap();
        assert!((as_grams(mass) - of(key)).abs() <= 0.000_5, "{id}");
        if let Some(printed) = case.get("printed_g") {
            assert!(
                (as_grams(mass) - printed.as_float().unwrap()).abs() <= 0.5,
                "{id}"
            );
        }
    }
}

#[test]
fn wrong_inputs_are_named() {
    let good = bearing(480.0, 620.0, 336.0, 270.0);
    let wrong = |bearing: GreaseFill| grease(&bearing).unwrap_err().input().to_owned();
    assert_eq!(wrong(bearing(0.0, 620.0, 336.0, 270.0)), "bore");
    assert_eq!(wrong(bearing(620.0, 620.0, 336.0, 270.0)), "outside");
    assert_eq!(wrong(bearing(480.0, 620.0, 0.0, 270.0)), "width");
    assert_eq!(wrong(bearing(480.0, 620.0, 336.0, -1.0)), "mass");
    assert_eq!(wrong(bearing(480.0, 620.0, 336.0, 2_700.0)), "mass");
    assert_eq!(wrong(GreaseFill { rows: 0, ..good }), "rows");
    assert_eq!(wrong(GreaseFill { rows: 13, ..good }), "rows");
    assert_eq!(
        wrong(GreaseFill {
            fill_fraction: 1.1,
            ..good
        }),
        "fill_fraction"
    );
    assert_eq!(
        wrong(GreaseFill {
            fill_fraction: f64::NAN,
            ..good
        }),
        "fill_fraction"
    );
    let zero = millimetres(0.0);
    assert_eq!(
        replenishment(good.outside, zero, Feed::FromSide)
            .unwrap_err()
            .input(),
        "width"
    );
}

#[test]
fn the_method_answers_and_names_what_it_refuses() {
    let input = json!({
        "bore_mm": 140, "outside_mm": 300, "width_mm": 102, "mass_kg": 36.5, "rows": 2, "fill_fraction": 0.5
    });
    let got = answer("grease", &input).unwrap();
    // grease.toml, skf_c1_free_volume; half of it, 0.9 g/cm3, two rows; 0.005 x 300 x 102.
    for (key, expected) in [
        ("free_volume_cm3", 960.3),
        ("fill_cm3", 480.15),
        ("fill_g", 432.135),
        ("per_row_cm3", 240.075),
        ("per_row_g", 216.0675),
        ("replenish_g", 153.0),
    ] {
        assert!(
            (got[key].as_f64().unwrap() - expected).abs() <= 0.000_1,
            "{key}: {got}"
        );
    }
    assert_refused(
        "grease",
        &[
            ("bore_mm", json!(0), "bore_mm"),
            ("outside_mm", json!(480), "outside_mm"),
            ("width_mm", json!(-1), "width_mm"),
            ("mass_kg", json!(400), "mass_kg"),
            ("rows", json!(2.5), "rows"),
            ("rows", json!(0), "rows"),
            ("fill_fraction", json!(1.1), "fill_fraction"),
        ],
    );
}

proptest! {
    #[test]
    fn rows_add_up_to_the_fill_and_the_fill_is_inside_the_free_volume(
        bore in 50.0..1_000.0_f64, wall in 1.05..2.0_f64, width in 10.0..900.0_f64, solid in 0.0..0.99_f64,
        rows in 1..=12_u8, fill_fraction in 0.0..=1.0_f64,
    ) {
        let empty = bearing(bore, bore * wall, width, 0.0);
        let envelope_cm3 = as_cubic_centimetres(envelope(&empty));
        let mass = grams(solid * envelope_cm3 * STEEL_G_PER_CM3);
        let got = grease(&GreaseFill { mass, rows, fill_fraction, ..empty }).unwrap();
        let (free, fill) = (as_cubic_centimetres(got.free), as_cubic_centimetres(got.fill));
        prop_assert!(free > 0.0 && free <= envelope_cm3 * (1.0 + 1e-12));
        prop_assert!((free - (1.0 - solid) * envelope_cm3).abs() <= 1e-9 * envelope_cm3);
        prop_assert!(fill <= free * (1.0 + 1e-12));
        let all = as_cubic_centimetres(got.per_row) * f64::from(rows);
        prop_assert!((all - fill).abs() <= 1e-9 * free);
        let all_g = as_grams(got.per_row_mass) * f64::from(rows);
        prop_assert!((all_g - as_grams(got.fill_mass)).abs() <= 1e-9 * free);
        prop_assert!((as_grams(got.fill_mass) - GREASE_G_PER_CM3 * fill).abs() <= 1e-9 * free);
    }

    #[test]
    fn a_heavier_bearing_has_less_room(mass in 0.0..300.0_f64) {
        let free = |mass| grease(&bearing(480.0, 620.0, 336.0, mass)).unwrap().free;
        prop_assert!(free(mass + 1.0) < free(mass));
    }
}
