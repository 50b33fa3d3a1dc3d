//! Checks against lme4, statsmodels and published fits, of degenerate inputs, and laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::{Value, json};

use super::*;
use crate::test_table::{answer, assert_refused, rows};

fn close(what: &str, got: f64, expected: f64, relative: f64) {
    let apart = (got / expected - 1.0).abs();
    assert!(apart <= relative, "{what}: {got}, expected {expected}");
}

fn sleepstudy() -> Value {
    let table = rows(include_str!("../../../../shared/reference/sleepstudy.csv"));
    assert_eq!(table.len(), 180);
    let column = |name| {
        table
            .iter()
            .map(|row| row.number(name))
            .collect::<Vec<f64>>()
    };
    json!({"group": column("subject"), "x": column("days"), "y": column("reaction_ms")})
}

/// Bates and others (2015), by lme4 1.1-31 with all digits. The optimum is so flat that its search stops in the fifth digit
/// of the variances; the criterion found here is lower by 1e-9.
#[test]
fn the_sleep_study_comes_out_as_lme4_has_it() {
    let text = include_str!("../../../../shared/reference/lme4_sleepstudy.toml");
    let table: toml::Value = toml::from_str(text).unwrap();
    let expected = &table["computed_random_slope"];
    let said = answer("mixed_growth", &sleepstudy()).unwrap();
    for (key, its, relative) in [
        ("intercept", "fixed_intercept", 1e-9),
        ("slope", "fixed_slope", 1e-8),
        ("intercept_se", "se_intercept", 1e-5),
        ("slope_se", "se_slope", 2e-6),
        ("sd_intercept", "sd_intercept", 1e-5),
        ("sd_slope", "sd_slope", 5e-6),
        ("correlation", "correlation", 3e-5),
        ("sd_residual", "sd_residual", 2e-6),
        ("reml", "reml_criterion", 1e-9),
    ] {
        let (got, printed) = (
            said[key].as_f64().unwrap(),
            expected[its].as_float().unwrap(),
        );
        close(key, got, printed, relative);
    }
    let groups = said["groups"].as_array().unwrap();
    assert_eq!((groups.len(), &groups[0]["group"]), (18, &json!(308.0)));
    close(
        "308",
        groups[0]["intercept"].as_f64().unwrap(),
        253.6637,
        1e-6,
    );
    close("308", groups[0]["slope"].as_f64().unwrap(), 19.66626, 1e-6);
}

/// The same with a random intercept alone, and its conditional modes.
#[test]
fn a_random_intercept_alone_comes_out_as_lme4_has_it() {
    let text = include_str!("../../../../shared/reference/lme4_sleepstudy.toml");
    let table: toml::Value = toml::from_str(text).unwrap();
    let expected = &table["computed_random_intercept"];
    let input = sleepstudy();
    let list = |key: &str| -> Vec<f64> { serde_json::from_value(input[key].clone()).unwrap() };
    let (x, y) = (list("x"), list("y"));
    let group: Vec<usize> = (0..y.len()).map(|i| i / 10).collect();
    let ones = vec![1.0; y.len()];
    let fit = mixed(&Readings {
        group: &group,
        y: &y,
        fixed: &[ones.clone(), x],
        random: &[ones],
        known_sd: None,
    })
    .unwrap();
    for (key, got, relative) in [
        ("reml_criterion", fit.reml, 1e-9),
        ("sd_intercept", fit.random_sd(0), 1e-6),
        ("sd_residual", fit.residual_sd, 1e-6),
        ("fixed_intercept", fit.fixed[0], 1e-9),
        ("fixed_slope", fit.fixed[1], 1e-8),
        ("se_intercept", fit.standard_errors[0], 1e-6),
        ("se_slope", fit.standard_errors[1], 1e-6),
    ] {
        close(key, got, expected[key].as_float().unwrap(), relative);
    }
    let modes = expected["blup"].as_table().unwrap();
    assert_eq!(modes.len(), fit.groups.len());
    for (mode, own) in modes.iter().zip(&fit.groups) {
        close(mode.0, own[0], mode.1.as_float().unwrap(), 1e-6);
    }
}

/// Balanced groups without x: Davies and Goldsmith (1972), Devore (2000) after Pinheiro and Bates (2000).
#[test]
fn dyestuff_and_rails_come_out_as_published() {
    let text = include_str!("../../../../shared/reference/lme4_dyestuff_rail.toml");
    let table: toml::Value = toml::from_str(text).unwrap();
    for (name, key) in [("dyestuff", "yield_"), ("rail", "travel")] {
        let expected = &table[name];
        let readings: Vec<Vec<f64>> = expected[key]
            .as_array()
            .unwrap()
            .iter()
            .map(|row| {
                let row = row.as_array().unwrap().iter();
                row.map(|value| value.as_integer().unwrap() as f64)
                    .collect()
            })
            .collect();
        let group: Vec<usize> = readings
            .iter()
            .enumerate()
            .flat_map(|(g, row)| vec![g; row.len()])
            .collect();
        let y = readings.concat();
        let ones = [vec![1.0; y.len()]];
        let fit = mixed(&Readings {
            group: &group,
            y: &y,
            fixed: &ones,
            random: &ones,
            known_sd: None,
        })
        .unwrap();
        let float = |key: &str| expected.get(key).and_then(toml::Value::as_float);
        let criterion = float("reml_criterion").or(float("reml_log_likelihood").map(|l| -2.0 * l));
        close("reml", fit.reml, criterion.unwrap(), 1e-9);
        close("intercept", fit.fixed[0], float("intercept").unwrap(), 1e-9);
        close(
            "se",
            fit.standard_errors[0],
            float("se_intercept").unwrap(),
            1e-6,
        );
        close(
            "group",
            fit.covariance[0][0],
            float("var_group").unwrap(),
            2e-6,
        );
        close(
            "residual",
            fit.residual_sd * fit.residual_sd,
            float("var_residual").unwrap(),
            1e-6,
        );
    }
}

/// A line for each type in common, groups are row segments: scatter estimated (lme4, statsmodels) and known (likelihood
/// of the error contrasts).
#[test]
fn the_readings_of_two_logbooks_come_out_as_other_programs_have_them() {
    let tables = [
        (
            include_str!("../../../../shared/reference/trend/pub1_benign/lmm_input.csv"),
            include_str!("../../../../shared/reference/trend/pub1_benign/types.csv"),
            include_str!("../../../../shared/reference/trend/pub1_benign/expected_lmm.json"),
        ),
        (
            include_str!("../../../../shared/reference/trend/pub2_mixed/lmm_input.csv"),
            include_str!("../../../../shared/reference/trend/pub2_mixed/types.csv"),
            include_str!("../../../../shared/reference/trend/pub2_mixed/expected_lmm.json"),
        ),
    ];
    for (table, gauges, expected) in tables {
        let expected: Value = serde_json::from_str(expected).unwrap();
        let rows = rows(table);
        let mut units: Vec<&str> = Vec::new();
        let mut group = Vec::new();
        for row in &rows {
            let unit = row.text("unit");
            let place = units.iter().position(|known| *known == unit);
            group.push(place.unwrap_or_else(|| {
                units.push(unit);
                units.len() - 1
            }));
        }
        let mut types: Vec<&str> = rows.iter().map(|row| row.text("type")).collect();
        types.sort_unstable();
        types.dedup();
        // Of a reading: (U/2)² + step²/12, the same for all types here.
        let gauge = &crate::test_table::rows(gauges)[0];
        let (u, step) = (gauge.number("gauge_U_k2_um"), gauge.number("step_um"));
        let sd = (u * u / 4.0 + step * step / 12.0).sqrt();
        let x: Vec<f64> = rows.iter().map(|row| row.number("kh")).collect();
        let y: Vec<f64> = rows.iter().map(|row| row.number("y")).collect();
        let of_type = |name: &str, values: &[f64]| -> Vec<f64> {
            let is_it =
                |row: &crate::test_table::Row| f64::from(u8::from(row.text("type") == name));
            rows.iter()
                .zip(values)
                .map(|(row, value)| is_it(row) * value)
                .collect()
        };
        let ones = vec![1.0; y.len()];
        let mut fixed: Vec<Vec<f64>> = types.iter().map(|name| of_type(name, &ones)).collect();
        fixed.extend(types.iter().map(|name| of_type(name, &x)));
        for (case, is_known) in [("sigma_estimated", false), ("sigma_known", true)] {
            let expected = &expected[case];
            let number = |key: &str| expected[key].as_f64().unwrap();
            let fit = mixed(&Readings {
                group: &group,
                y: &y,
                fixed: &fixed,
                random: &[ones.clone(), x.clone()],
                known_sd: is_known.then_some(sd),
            })
            .unwrap();
            close("reml", fit.reml, number("minus2_REML"), 1e-11);
            for (key, got) in [
                ("var_intercept", fit.covariance[0][0]),
                ("cov", fit.covariance[0][1]),
                ("var_slope", fit.covariance[1][1]),
                ("sigma2", fit.residual_sd * fit.residual_sd),
            ] {
                close(&format!("{case} {key}"), got, number(key), 2e-5);
            }
            let terms = ["intercept", "slope_per_kh"];
            let names = terms
                .iter()
                .flat_map(|term| types.iter().map(move |name| format!("{term}.{name}")));
            for (k, name) in names.enumerate() {
                let pair = &expected["fixed"][&name];
                close(&name, fit.fixed[k], pair[0].as_f64().unwrap(), 1e-6);
                close(
                    &name,
                    fit.standard_errors[k],
                    pair[1].as_f64().unwrap(),
                    1e-5,
                );
            }
            let modes = expected["blup_intercept_slope"].as_object().unwrap();
            assert_eq!(modes.len(), units.len());
            for (unit, own) in units.iter().zip(&fit.groups) {
                for (k, scale) in [(0, 1.0), (1, 0.1)] {
                    let expected = modes[*unit][k].as_f64().unwrap();
                    assert!(
                        (own[k] - expected).abs() < 3e-4 * scale,
                        "{unit}: {} {expected}",
                        own[k]
                    );
                }
            }
        }
    }
}

#[test]
fn groups_that_are_alike_come_out_with_no_spread_and_no_correlation() {
    let x = [0.0, 1.0, 2.0, 3.0];
    let noise = [
        [1.0, -1.0, -1.0, 1.0],
        [-1.0, 1.0, 1.0, -1.0],
        [1.0, -1.0, -1.0, 1.0],
    ];
    let mut input = json!({"group": [], "x": [], "y": []});
    for (g, noise) in noise.iter().enumerate() {
        for (x, e) in x.iter().zip(noise) {
            for (key, value) in [
                ("group", json!(format!("g{g}"))),
                ("x", json!(x)),
                ("y", json!(10.0 + 2.0 * x + e)),
            ] {
                input[key].as_array_mut().unwrap().push(value);
            }
        }
    }
    let said = answer("mixed_growth", &input).unwrap();
    assert_eq!(
        (&said["sd_slope"], &said["correlation"]),
        (&json!(0.0), &Value::Null)
    );
    close("slope", said["slope"].as_f64().unwrap(), 2.0, 1e-12);
    assert!(
        said["groups"]
            .as_array()
            .unwrap()
            .iter()
            .all(|group| group["slope"] == said["slope"])
    );
}

#[test]
fn a_wrong_input_is_named_by_its_key() {
    let readings = |key: &str, value: Value| {
        let mut input =
            json!({"group": [1, 1, 1, 2, 2, 2], "x": [0, 1, 2, 0, 1, 2], "y": [5, 7, 8, 4, 9, 13]});
        input[key] = value;
        answer("mixed_growth", &input)
    };
    assert!(readings("y", json!([5, 7, 8, 4, 9, 13])).is_ok());
    for (key, value, refused) in [
        ("group", json!([1, 1, 1, 1, 1, 1]), "group"),
        ("group", json!([1, 1, 2]), "group"),
        ("group", json!([1, 1, 1, 2, 2, null]), "group[5]"),
        ("x", json!([3, 3, 3, 3, 3, 3]), "x"),
        ("x", json!([3, 3, 3, 4, 4, 4]), "x"),
        ("x", json!([0, 1, 2, 4, 4, 4]), "x"),
        ("y", json!([1, 2, 3, 4, 5]), "y"),
        ("y", json!([1, 2, 3, 5, 7, 9]), "y"),
        ("y", json!([1, 2, 3, 1, 2, 3]), "y"),
        ("group", json!([1, 1, 2, 2, 3, 3]), "y"),
        ("measurement_sd", json!(0), "measurement_sd"),
        ("measurement_sd", json!(1e9), "measurement_sd"),
    ] {
        let error = readings(key, value.clone()).expect_err(&value.to_string());
        assert_eq!(error.key, refused, "{key} {value}: {error}");
    }
    // With the scatter known, two readings a group are enough.
    let mut input = json!({"group": ["a", "a", "b", "b", "c", "c"], "x": [0, 1, 0, 2, 0, 1], "y": [5, 7, 8, 9, 4, 9], "measurement_sd": 0.5});
    assert!(answer("mixed_growth", &input).is_ok());
    input["measurement_sd"] = Value::Null;
    assert_eq!(answer("mixed_growth", &input).unwrap_err().key, "y");
    let many = json!({"group": [], "x": vec![0.0; 2_001], "y": []});
    assert_eq!(answer("mixed_growth", &many).unwrap_err().key, "x");
    assert_refused("mixed_growth", &[("group", json!([]), "group")]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Another unit and zero of x and y is the same model, wherever the counter stands.
    #[test]
    fn another_unit_is_the_same_model(
        e in prop::collection::vec(-5.0..5.0_f64, 20), slopes in prop::array::uniform4(10.0..30.0_f64),
        unit in 0.01..100.0_f64, shift in -1e4..1e4_f64,
    ) {
        let group: Vec<usize> = (0..20).map(|i| i / 5).collect();
        let x: Vec<f64> = (0..20).map(|i| f64::from(i % 5)).collect();
        let y: Vec<f64> = (0..20).map(|i| 200.0 + slopes[group[i]] * x[i] + e[i]).collect();
        let fit = |x: Vec<f64>, y: Vec<f64>| {
            let line = [vec![1.0; 20], x];
            mixed(&Readings { group: &group, y: &y, fixed: &line, random: &line, known_sd: None }).unwrap()
        };
        let one = fit(x.clone(), y.clone());
        let other = fit(
            x.iter().map(|x| x * unit + shift).collect(),
            y.iter().map(|y| y * unit).collect(),
        );
        prop_assert!((one.fixed[1] / other.fixed[1] - 1.0).abs() < 1e-6);
        prop_assert!((one.residual_sd * unit / other.residual_sd - 1.0).abs() < 1e-5);
        prop_assert!((one.random_sd(1) - other.random_sd(1)).abs() < 1e-4 * one.random_sd(1).max(1.0));
        // -2 l changes by the units of y (n - p times) and of x.
        let expected = one.reml + 2.0 * 18.0 * libm::log(unit) + 2.0 * libm::log(unit);
        prop_assert!((other.reml - expected).abs() < 1e-6, "{} {expected}", other.reml);
    }
}
