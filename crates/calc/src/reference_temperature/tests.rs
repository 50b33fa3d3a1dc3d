//! Checks of the correction both ways against the published cases.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::json;

use super::*;
use crate::quantity::{as_millimetres, celsius, millimetres, per_kelvin};

#[derive(serde::Deserialize)]
#[allow(non_snake_case, reason = "names of the table")]
struct Case {
    id: String,
    L_T: Option<f64>,
    T: Option<f64>,
    alpha: Option<f64>,
    L20: Option<f64>,
}

#[derive(serde::Deserialize)]
struct Table {
    case: Vec<Case>,
}

fn run_number(input: &Value, key: &str) -> f64 {
    (METHOD.run)(input).unwrap().output[key].as_f64().unwrap()
}

#[test]
fn sizes_of_thermal_expansion_toml_come_out_both_ways() {
    let text = include_str!("../../../../shared/reference/thermal_expansion.toml");
    let table: Table = toml::from_str(text).unwrap();
    let mut checked = 0;
    for case in &table.case {
        let (Some(l_t), Some(t), Some(alpha), Some(l20)) = (case.L_T, case.T, case.alpha, case.L20)
        else {
            continue;
        };
        // A gauge at 20 °C, as the cases mean it; its expansion does not matter then.
        let mut input = json!({"part_temp_c": t, "gauge_temp_c": 20, "expansion_part_per_k": alpha, "expansion_gauge_per_k": 1e-5});
        input["reading_mm"] = json!(l_t);
        let got = run_number(&input, "result_mm");
        assert!((got - l20).abs() <= 5e-7, "{}: {got}", case.id);
        let difference_um = run_number(&input, "difference_um");
        assert!((difference_um - (l20 - l_t) * 1e3).abs() <= 5e-4);
        input.as_object_mut().unwrap().remove("reading_mm");
        input["size_mm"] = json!(l20);
        let back = run_number(&input, "result_mm");
        assert!((back - l_t).abs() <= 1e-6, "{}: {back}", case.id);
        checked += 1;
    }
    assert_eq!(checked, 2, "rows lost while reading");
}

#[test]
fn exactly_one_size_is_given() {
    let mut input: Value = serde_json::from_str(METHOD.example).unwrap();
    input["size_mm"] = json!(420.0);
    assert_eq!((METHOD.run)(&input).unwrap_err().key, "size_mm");
    input.as_object_mut().unwrap().remove("size_mm");
    input.as_object_mut().unwrap().remove("reading_mm");
    assert_eq!((METHOD.run)(&input).unwrap_err().key, "reading_mm");
    input["reading_mm"] = json!(0);
    assert_eq!((METHOD.run)(&input).unwrap_err().key, "reading_mm");
    input["reading_mm"] = json!(420);
    input["part_temp_c"] = json!(201);
    assert_eq!((METHOD.run)(&input).unwrap_err().key, "part_temp_c");
}

#[test]
fn a_size_that_cannot_be_is_named() {
    let error = Correction::none()
        .reading_of(millimetres(-1.0))
        .unwrap_err();
    assert_eq!(error.input(), "size");
    let error = Correction {
        part: celsius(f64::NAN),
        ..Correction::none()
    };
    assert_eq!(
        error.reading_of(millimetres(1.0)).unwrap_err().input(),
        "part_temp"
    );
}

proptest! {
    #[test]
    fn the_inverse_undoes_the_correction(
        mm in 1.0..3_000.0_f64, part in -50.0..200.0_f64, gauge in -50.0..200.0_f64,
        a in 0.0..1e-4_f64, b in 0.0..1e-4_f64,
    ) {
        let correction = Correction {
            part: celsius(part),
            gauge: celsius(gauge),
            expansion_part: per_kelvin(a),
            expansion_gauge: per_kelvin(b),
        };
        let reading = correction.reading_of(millimetres(mm)).unwrap();
        let back = as_millimetres(correction.at_20_c(reading).unwrap());
        prop_assert!((back - mm).abs() <= 1e-12 * mm);
    }

    #[test]
    fn a_warmer_part_is_smaller_at_20_degrees(mm in 1.0..3_000.0_f64, t in -50.0..190.0_f64, more in 0.1..10.0_f64) {
        let at = |t: f64| {
            let correction = Correction { part: celsius(t), ..Correction::none() };
            correction.at_20_c(millimetres(mm)).unwrap()
        };
        prop_assert!(at(t + more) < at(t));
    }
}
