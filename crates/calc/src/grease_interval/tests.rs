//! Checks of grease intervals against the reference table, the two rules of warmth against each other, and laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::{
    quantity::{celsius, millimetres, revolutions_per_minute},
    test_table::{answer, assert_refused},
};

fn table() -> toml::Table {
    toml::from_str(include_str!("../../../../shared/reference/grease.toml")).unwrap()
}

fn case(id: &str) -> impl Fn(&str) -> f64 {
    let table = table();
    let cases = table["case"].as_array().unwrap().clone();
    let found = cases
        .into_iter()
        .find(|case| case["id"].as_str() == Some(id))
        .unwrap();
    move |key| found[key].as_float().unwrap()
}

fn interval_h(elements: Elements, bore_mm: f64, rpm: f64) -> f64 {
    as_hours(classic_interval(elements, millimetres(bore_mm), revolutions_per_minute(rpm)).unwrap())
}

#[test]
fn the_classic_case_of_grease_toml_comes_back() {
    let of = case("classic");
    assert_eq!(Elements::Cylindrical.factor(), of("k"));
    let got = interval_h(Elements::Cylindrical, of("d"), of("n_rpm"));
    assert!((got - of("interval_h")).abs() <= 0.000_05, "{got}");
    assert_eq!(
        RELIABLE_HOURS_MAX,
        table()["interval"]["skf_max_reliable_h"]
            .as_float()
            .unwrap()
    );
    assert!(is_reliable(hours(30_000.0)) && !is_reliable(hours(30_001.0)));
}

#[test]
fn both_rules_of_warmth_come_back_and_differ() {
    // At 100 degrees one leaves 1,000 h of 4,000, the other 1,778: published rules disagree, the method takes the stricter.
    for (id, rule) in [
        ("temperature_skf", Warmth::HalvedEvery15Above70),
        ("temperature_ntn", Warmth::TwoThirdsEvery10Above80),
    ] {
        let of = case(id);
        let share = rule.share_left(celsius(of("temperature_C"))).unwrap();
        let got = of("base_h") * share;
        assert!((got - of("interval_h")).abs() <= 0.000_05, "{id}: {got}");
    }
}

#[test]
fn wrong_inputs_are_named() {
    let wrong = |bore, rpm| {
        classic_interval(
            Elements::Tapered,
            millimetres(bore),
            revolutions_per_minute(rpm),
        )
        .unwrap_err()
        .input()
        .to_owned()
    };
    assert_eq!(wrong(0.0, 100.0), "bore");
    assert_eq!(wrong(300.0, 0.0), "speed");
    assert_eq!(wrong(300.0, f64::NAN), "speed");
    assert_eq!(wrong(1_000.0, 5_000.0), "speed");
    let rule = Warmth::HalvedEvery15Above70;
    assert_eq!(
        rule.share_left(celsius(300.0)).unwrap_err().input(),
        "temperature"
    );
}

#[test]
fn the_method_answers_and_names_what_it_refuses() {
    let got = |temperature| {
        let input = json!({"elements": "cylindrical", "bore_mm": 300, "speed_rpm": 200, "temp_c": temperature});
        answer("grease_interval", &input).unwrap()
    };
    // grease.toml, classic; halved at 85 degrees.
    assert!((got(Value::Null)["interval_h"].as_f64().unwrap() - 14_207.259_4).abs() <= 0.000_05);
    assert!((got(json!(85))["interval_h"].as_f64().unwrap() - 7_103.629_7).abs() <= 0.000_05);
    assert_refused(
        "grease_interval",
        &[
            ("elements", json!("needle"), "elements"),
            ("bore_mm", json!(0), "bore_mm"),
            ("speed_rpm", json!(0), "speed_rpm"),
            ("speed_rpm", json!(1_000), "speed_rpm"),
            ("temp_c", json!(201), "temp_c"),
        ],
    );
}

proptest! {
    #[test]
    fn faster_or_larger_or_warmer_is_sooner(bore in 50.0..800.0_f64, rpm in 1.0..100.0_f64, warm in 70.0..150.0_f64) {
        for elements in Elements::ALL {
            let here = interval_h(elements, bore, rpm);
            prop_assert!(interval_h(elements, bore, rpm * 1.1) < here);
            prop_assert!(interval_h(elements, bore * 1.1, rpm) < here);
        }
        let strict = |c| Warmth::HalvedEvery15Above70.share_left(celsius(c)).unwrap();
        prop_assert!(strict(warm + 1.0) < strict(warm));
        prop_assert!((strict(warm + 15.0) - strict(warm) / 2.0).abs() < 1e-12);
        let other = Warmth::TwoThirdsEvery10Above80.share_left(celsius(warm)).unwrap();
        prop_assert!(strict(warm) <= other);
    }

    #[test]
    fn cool_grease_is_not_given_more(cool in -40.0..=70.0_f64) {
        let left = Warmth::HalvedEvery15Above70.share_left(celsius(cool)).unwrap();
        prop_assert!((left - 1.0).abs() < 1e-12);
    }
}
