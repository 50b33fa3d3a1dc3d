//! Checks of the life formulas against `iso281.toml`, and their laws.
#![allow(clippy::unwrap_used)]

use std::collections::BTreeMap;

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::quantity::millimetres;

#[derive(serde::Deserialize)]
struct Table {
    multi_row_factor: BTreeMap<String, f64>,
    a1_2007: BTreeMap<String, f64>,
    a1_1990: BTreeMap<String, f64>,
    example: Vec<Example>,
}

#[derive(serde::Deserialize)]
#[allow(non_snake_case, reason = "names of the table")]
struct Example {
    id: String,
    kind: String,
    C_kN: Option<f64>,
    P_kN: Option<f64>,
    n_rpm: Option<f64>,
    L10h: Option<f64>,
    printed_L10h: Option<f64>,
    exact_L10h: Option<f64>,
    printed_C_kN: Option<f64>,
    exact_C_kN: Option<f64>,
    L1_h: Option<f64>,
    L2_h: Option<f64>,
    printed_system_h: Option<f64>,
    exact_system_h: Option<f64>,
    rows: Option<u8>,
    L_row_h: Option<f64>,
}

fn table() -> Table {
    toml::from_str(include_str!("../../../../shared/reference/iso281.toml")).unwrap()
}

/// Half a unit of the last of six decimals as computed in the table; `printed` within so many percent (chart factors).
fn check(id: &str, got: f64, exact: f64, digits: f64, printed: Option<f64>, percent: f64) {
    assert!(
        (got - exact).abs() <= digits,
        "{id}: got {got}, exact {exact}"
    );
    if let Some(printed) = printed {
        let off = (got / printed - 1.0).abs() * 100.0;
        assert!(off <= percent, "{id}: got {got}, printed {printed}");
    }
}

fn single(load_kn: f64, n: f64) -> [Running; 1] {
    [Running {
        load: newtons(load_kn * 1e3),
        speed: revolutions_per_minute(n),
        share: 1.0,
    }]
}

#[test]
fn every_worked_example_of_iso281_toml_comes_out() {
    let mut seen = Vec::new();
    for row in table().example {
        let element = match row.kind.as_str() {
            "roller" => Element::Roller,
            "ball" => Element::Ball,
            other => panic!("{other}"),
        };
        let id = row.id.as_str();
        match id {
            // NTN examples 1 and 6; the printed value comes from chart factors.
            "ntn_1_6208" | "ntn_6_NUP312" => {
                let rating = newtons(row.C_kN.unwrap() * 1e3);
                let spectrum = single(row.P_kN.unwrap(), row.n_rpm.unwrap());
                let life = basic_life(element, rating, &spectrum).unwrap();
                let exact = row.exact_L10h.unwrap();
                check(id, as_hours(life.hours), exact, 5e-4, row.printed_L10h, 0.6);
            }
            // NTN example 3, the same way.
            "ntn_3_required_C" => {
                let (load, speed) = (
                    newtons(row.P_kN.unwrap() * 1e3),
                    revolutions_per_minute(row.n_rpm.unwrap()),
                );
                let rating = required_rating(element, load, speed, hours(row.L10h.unwrap()));
                let rating_kn = as_newtons(rating.unwrap()) / 1e3;
                check(
                    id,
                    rating_kn,
                    row.exact_C_kN.unwrap(),
                    5e-4,
                    row.printed_C_kN,
                    0.6,
                );
            }
            "ntn_4_system" => {
                let lives = [hours(row.L1_h.unwrap()), hours(row.L2_h.unwrap())];
                let got = as_hours(system_life(element, &lives).unwrap());
                check(
                    id,
                    got,
                    row.exact_system_h.unwrap(),
                    5e-4,
                    row.printed_system_h,
                    0.2,
                );
            }
            "two_rows_each_L" => {
                let lives = vec![hours(row.L_row_h.unwrap()); usize::from(row.rows.unwrap())];
                let got = as_hours(system_life(element, &lives).unwrap());
                check(id, got, row.exact_system_h.unwrap(), 5e-4, None, 0.0);
            }
            other => panic!("example {other} has no test"),
        }
        seen.push(row.id);
    }
    assert_eq!(seen.len(), 5, "{seen:?}");
}

#[test]
fn factors_of_rows_match_iso281_toml() {
    let table = table().multi_row_factor;
    assert_eq!(table.len(), 4);
    for (key, expected) in table {
        let (element, rows) = match key.strip_prefix("ball_") {
            Some(rows) => (Element::Ball, rows),
            None => (Element::Roller, key.as_str()),
        };
        let got = multi_row_factor(element, rows.parse().unwrap());
        assert!((got - expected).abs() <= 5e-7, "{key}: {got}");
    }
}

#[test]
fn a1_is_the_printed_one_in_every_row_and_the_formula_rounds_to_it() {
    let table = table();
    assert_eq!((table.a1_2007.len(), table.a1_1990.len()), (14, 6));
    for (edition, rows) in [
        (Edition::E2007, table.a1_2007),
        (Edition::E1990, table.a1_1990),
    ] {
        for (percent, printed) in rows {
            let reliability = percent.parse::<f64>().unwrap() / 100.0;
            let got = reliability_factor(reliability, edition).unwrap();
            assert_eq!(got, printed, "{edition:?} {percent}");
            // Two digits after the point, three below 0.1: as printed.
            let half_digit = if printed < 0.1 { 5e-4 } else { 5e-3 };
            let formula = edition.formula(reliability);
            assert!(
                (formula - printed).abs() <= half_digit,
                "{edition:?} {percent}: formula {formula}, printed {printed}"
            );
        }
    }
    assert!(reliability_factor(0.999, Edition::E1990).is_err());
    for outside in [0.89, 0.9996, 1.0, f64::NAN] {
        let error = reliability_factor(outside, Edition::E2007).unwrap_err();
        assert_eq!(error.input(), "reliability");
    }
}

#[test]
fn the_three_pieces_of_a_iso_meet_at_their_ends() {
    // The constants are from memory; a wrong digit in one would open a step at 0.4 or 1.
    for element in [Element::Roller, Element::Ball] {
        for ratio in [0.05, 0.3, 0.8] {
            for joint in [0.4, 1.0] {
                let a = |kappa| factor(element, kappa, ratio);
                let (below, above) = (a(joint - 1e-9), a(joint));
                assert!(
                    (below / above - 1.0).abs() < 2e-3,
                    "{element:?} {joint}: {below} {above}"
                );
            }
        }
    }
}

fn factor(element: Element, kappa: f64, ratio: f64) -> f64 {
    let lubrication = Lubrication {
        kappa,
        contamination: ratio,
        fatigue_limit: newtons(1000.0),
    };
    life_modification(element, newtons(1000.0), &lubrication).unwrap()
}

#[test]
fn a_iso_has_its_floor_and_its_ceiling() {
    for element in [Element::Roller, Element::Ball] {
        assert!(
            (factor(element, 1.0, 0.0) - 0.1).abs() < 1e-15,
            "very severe contamination"
        );
        let clean = Lubrication {
            kappa: 4.0,
            contamination: 1.0,
            fatigue_limit: newtons(1e6),
        };
        assert_eq!(
            life_modification(element, newtons(1.0), &clean).unwrap(),
            50.0
        );
        assert_eq!(factor(element, 9.0, 0.3), factor(element, 4.0, 0.3));
    }
    // Rollers, kappa 1, e_C C_u/P = 0.1: 0.1 (1 - 0.3511 x 0.39811)^-9.185 = 0.1 x 0.860226^-9.185 (by hand).
    assert!((factor(Element::Roller, 1.0, 0.1) - 0.398_5).abs() < 5e-4);
    for (kappa, contamination, key) in [(0.05, 0.5, "kappa"), (1.0, 1.5, "contamination")] {
        let wrong = Lubrication {
            kappa,
            contamination,
            fatigue_limit: newtons(1.0),
        };
        let error = life_modification(Element::Ball, newtons(1.0), &wrong).unwrap_err();
        assert_eq!(error.input(), key);
    }
}

#[test]
fn the_fatigue_limit_shrinks_with_the_bearing_above_100_mm() {
    let limit = |element, diameter| {
        as_newtons(fatigue_load_limit(element, newtons(8200.0), millimetres(diameter)).unwrap())
    };
    assert!((limit(Element::Roller, 60.0) - 1000.0).abs() < 1e-9);
    assert!((limit(Element::Roller, 1000.0) - 1000.0 * libm::pow(0.1, 0.3)).abs() < 1e-9);
    assert!((limit(Element::Ball, 400.0) - 8200.0 / 22.0 * 0.5).abs() < 1e-9);
    assert!(fatigue_load_limit(Element::Ball, newtons(0.0), millimetres(1.0)).is_err());
}

#[test]
fn a_spectrum_is_weighted_by_its_revolutions() {
    // Half the time at 10 kN and 100 1/min, half at 20 kN and 300 1/min: balls, C = 40 kN (by hand).
    let part = |load: f64, n: f64| Running {
        load: newtons(load),
        speed: revolutions_per_minute(n),
        share: 0.5,
    };
    let spectrum = [part(10e3, 100.0), part(20e3, 300.0)];
    let life = basic_life(Element::Ball, newtons(40e3), &spectrum).unwrap();
    let cubed = (1e12 * 100.0 + 8e12 * 300.0) / 400.0;
    let mean = as_newtons(life.equivalent_load);
    assert!((mean / libm::cbrt(cubed) - 1.0).abs() < 1e-12, "{mean}");
    // Miner by time: each alone 64e6 and 8e6 revolutions.
    let alone_h = [64e6 / (60.0 * 100.0), 8e6 / (60.0 * 300.0)];
    let miner_h = 1.0 / (0.5 / alone_h[0] + 0.5 / alone_h[1]);
    assert!((as_hours(life.hours) / miner_h - 1.0).abs() < 1e-12);
    assert!((as_revolutions_per_minute(life.mean_speed) - 200.0).abs() < 1e-9);
}

fn run(input: &Value) -> Result<Value, crate::method::InputError> {
    (METHOD.run)(input).map(|worked| worked.output)
}

#[test]
fn the_method_adjusts_by_the_edition_and_the_lubrication() {
    // iso281.toml: NTN example 6, 51 272.833 h; a1 at 99 %: 0.25 (2007), 0.21 (1990).
    let base = json!({"kind": "roller", "c_n": 137e3, "p_n": 10e3, "rpm": 2000});
    let plain = run(&base).unwrap();
    assert!(plain.get("adjusted_h").is_none(), "{plain}");
    let l10_h = plain["l10_h"].as_f64().unwrap();
    let with = |key: &str, value: Value, input: &Value| {
        let mut input = input.clone();
        input[key] = value;
        input
    };
    let reliable = with("reliability", json!(0.99), &base);
    let adjusted = |input: &Value| run(input).unwrap()["adjusted_h"].as_f64().unwrap();
    assert_eq!(adjusted(&reliable), 0.25 * l10_h);
    assert_eq!(
        adjusted(&with("a1_edition", json!("1990"), &reliable)),
        0.21 * l10_h
    );
    let mut wet = with("kappa", json!(1.0), &reliable);
    wet["contamination"] = json!(0.1);
    wet["cu_n"] = json!(10e3);
    let expected = 0.25 * factor(Element::Roller, 1.0, 0.1) * l10_h;
    assert!((adjusted(&wet) / expected - 1.0).abs() < 1e-12);
    let heavy = run(&with("p_n", json!(70e3), &base)).unwrap();
    assert_eq!(heavy["notes"].as_array().unwrap().len(), 1, "{heavy}");
}

#[test]
fn wrong_inputs_are_named_by_their_key() {
    let base = json!({"kind": "ball", "c_n": 1000, "p_n": 100, "rpm": 10});
    let spectrum = |share: f64| json!([{"p_n": 100, "rpm": 10, "share": share}]);
    let only = |spectrum: Value| json!({"kind": "ball", "c_n": 1000, "spectrum": spectrum});
    let with = |entries: Value| {
        let mut input = base.clone();
        for (key, value) in entries.as_object().unwrap() {
            input[key] = value.clone();
        }
        input
    };
    for (input, key) in [
        (with(json!({"kind": "needle"})), "kind"),
        (with(json!({"c_n": 0})), "c_n"),
        (with(json!({"rpm": null})), "rpm"),
        (with(json!({"p_n": null})), "p_n"),
        (with(json!({"spectrum": spectrum(1.0)})), "p_n"),
        (with(json!({"reliability": 0.5})), "reliability"),
        (
            with(json!({"reliability": 0.999, "a1_edition": "1990"})),
            "reliability",
        ),
        (with(json!({"a1_edition": 1990})), "a1_edition"),
        (with(json!({"kappa": 1})), "contamination"),
        (with(json!({"kappa": 1, "contamination": 1})), "cu_n"),
        (with(json!({"contamination": 1, "cu_n": 1})), "kappa"),
        (with(json!({"c0_n": 1})), "mean_diameter_mm"),
        (with(json!({"cu_n": 1, "c0_n": 1})), "c0_n"),
        (only(spectrum(0.9)), "spectrum"),
        (only(json!([])), "spectrum"),
        (only(json!([{"p_n": 0, "rpm": 10, "share": 1}])), "spectrum"),
        (only(json!([{"p_n": 1, "rpm": 10}])), "spectrum[0].share"),
    ] {
        assert_eq!(
            run(&input).expect_err(&input.to_string()).key,
            key,
            "{input}"
        );
    }
}

proptest! {
    #[test]
    fn life_falls_as_load_to_the_power_of_the_element(
        c in 1.0..1e4_f64, p in 0.01..1e4_f64, n in 1.0..3000.0_f64, times in 1.01..8.0_f64,
    ) {
        for (element, exponent) in [(Element::Roller, 10.0 / 3.0), (Element::Ball, 3.0)] {
            let life = |p: f64| basic_life(element, newtons(c * 1e3), &single(p, n)).unwrap();
            let (light, heavy) = (life(p), life(p * times));
            let ratio = light.million_revolutions / heavy.million_revolutions;
            prop_assert!((ratio / libm::pow(times, exponent) - 1.0).abs() < 1e-9);
            prop_assert!((as_newtons(light.equivalent_load) / (p * 1e3) - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_part_split_in_two_changes_nothing(p in 1.0..100.0_f64, q in 1.0..100.0_f64, cut in 0.1..0.9_f64) {
        let part = |load: f64, share: f64| Running { load: newtons(load), speed: revolutions_per_minute(50.0), share };
        let whole = [part(p, 0.6), part(q, 0.4)];
        let split = [part(p, 0.6 * cut), part(q, 0.4), part(p, 0.6 * (1.0 - cut))];
        let life = |parts: &[Running]| basic_life(Element::Roller, newtons(200.0), parts).unwrap().hours;
        prop_assert!((as_hours(life(&whole)) / as_hours(life(&split)) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a1_falls_with_reliability_and_a_iso_rises_with_film_and_cleanliness(
        s in 0.9..0.9994_f64, more in 1e-6..1e-2_f64, kappa in 0.1..4.0_f64, ratio in 0.0..1.0_f64, k in 0.001..1.0_f64,
    ) {
        let a1 = |s: f64| reliability_factor(s.min(0.9995), Edition::E2007).unwrap();
        prop_assert!(a1(s + more) <= a1(s));
        for element in [Element::Roller, Element::Ball] {
            // The rounded constants leave steps below 2e-3 at the joints.
            prop_assert!(factor(element, kappa + k, ratio) >= factor(element, kappa, ratio) * (1.0 - 2e-3));
            prop_assert!(factor(element, kappa, (ratio + k).min(1.0)) >= factor(element, kappa, ratio));
        }
    }

    #[test]
    fn a_system_lives_shorter_than_its_shortest_and_longer_than_its_share(
        a in 1.0..1e6_f64, b in 1.0..1e6_f64,
    ) {
        let life = as_hours(system_life(Element::Roller, &[hours(a), hours(b)]).unwrap());
        prop_assert!(life < a.min(b) && life > a.min(b) / 2.0);
    }
}
