//! Checks against published fits and other programs, of the intervals against a search from outside, and laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde::Deserialize;
use serde_json::{Value, json};

use super::*;
use crate::test_table::{answer, assert_refused, rows};

fn lives(times: &[f64], is_failed: impl Fn(usize) -> bool) -> Vec<Life> {
    times
        .iter()
        .enumerate()
        .map(|(i, &time)| Life {
            time,
            failed: is_failed(i),
            entry: 0.0,
        })
        .collect()
}

#[derive(Deserialize)]
struct Published {
    failures: Vec<f64>,
    censored: Vec<f64>,
    shape: f64,
    scale: f64,
    log_likelihood: f64,
    #[serde(rename = "L10")]
    l10: f64,
}

/// NIST/SEMATECH e-Handbook 8.4.1.3 and the ball bearings of Lieblein and Zelen (1956).
#[test]
fn published_fits_come_out_to_their_printed_digits() {
    for text in [
        include_str!("../../../../shared/reference/weibull_nist_censored.toml"),
        include_str!("../../../../shared/reference/weibull_lieblein_zelen.toml"),
    ] {
        let table: Published = toml::from_str(text).unwrap();
        let times = [table.failures.clone(), table.censored].concat();
        let fit = weibull(&lives(&times, |i| i < table.failures.len())).unwrap();
        for (got, printed, half) in [
            (fit.shape, table.shape, 5e-7),
            (fit.scale, table.scale, 5e-5),
            (fit.log_likelihood, table.log_likelihood, 5e-7),
            (fit.b10(), table.l10, 5e-5),
        ] {
            assert!(
                (got - printed).abs() <= half * 1.01,
                "{got}, printed {printed}"
            );
        }
    }
}

/// lifelines 0.30.3 and a solver of its own on the lives of two simulated logbooks.
#[test]
fn the_lives_of_two_logbooks_come_out_as_lifelines_has_them() {
    let tables = [
        (
            include_str!("../../../../shared/reference/trend/pub1_benign/lives.csv"),
            include_str!("../../../../shared/reference/trend/pub1_benign/expected_weibull.json"),
        ),
        (
            include_str!("../../../../shared/reference/trend/pub2_mixed/lives.csv"),
            include_str!("../../../../shared/reference/trend/pub2_mixed/expected_weibull.json"),
        ),
    ];
    for (table, expected) in tables {
        let expected: Value = serde_json::from_str(expected).unwrap();
        let rows = rows(table);
        let times: Vec<f64> = rows.iter().map(|row| row.number("hours")).collect();
        let failed: Vec<bool> = rows.iter().map(|row| row.text("failed") == "1").collect();
        let count = failed.iter().filter(|failed| **failed).count() as u64;
        assert_eq!(
            (json!(times.len()), json!(count)),
            (expected["n"].clone(), expected["failed"].clone())
        );
        let said = answer("weibull", &json!({"times": times, "failed": failed})).unwrap();
        for (key, its) in [
            ("shape", "shape"),
            ("scale", "scale_h"),
            ("log_likelihood", "loglik"),
            ("b10", "B10_h"),
        ] {
            let (got, printed) = (said[key].as_f64().unwrap(), expected[its].as_f64().unwrap());
            // The two solvers there agree to seven digits.
            assert!(
                (got / printed - 1.0).abs() < 2e-8,
                "{key}: {got}, expected {printed}"
            );
        }
    }
}

/// `tests/outside/weibull.py` looks for the top and the ends in both parameters with general optimisers, delayed entry
/// included.
#[test]
fn intervals_and_delayed_entry_come_out_as_a_search_from_outside_has_them() {
    let table = rows(include_str!("../../tests/outside/weibull.csv"));
    assert_eq!(table.len(), 6);
    for row in table {
        let list = |column| {
            row.text(column)
                .split(' ')
                .map(|n| n.parse::<f64>().unwrap())
        };
        let entry: Vec<f64> = list("entry").collect();
        let failed: Vec<bool> = list("failed").map(|failed| failed > 0.0).collect();
        let lives: Vec<Life> = list("times")
            .enumerate()
            .map(|(i, time)| Life {
                time,
                failed: failed[i],
                entry: entry[i],
            })
            .collect();
        let fit = weibull(&lives).unwrap();
        let ends = fit.intervals.unwrap();
        for (column, got) in [
            ("shape", fit.shape),
            ("scale", fit.scale),
            ("log_likelihood", fit.log_likelihood),
            ("shape_low", ends.shape[0]),
            ("shape_high", ends.shape[1]),
            ("scale_low", ends.scale[0]),
            ("scale_high", ends.scale[1]),
            ("b10_low", ends.b10[0]),
            ("b10_high", ends.b10[1]),
        ] {
            let expected = row.number(column);
            let apart = (got / expected - 1.0).abs();
            assert!(
                apart < 1e-6,
                "{}, {column}: {got}, outside {expected}",
                row.text("name")
            );
        }
    }
}

/// By hand: five bearings, the second still running at 300 h, the fourth entered at 250 h.
#[test]
fn a_plotted_failure_stands_half_way_up_its_step() {
    let mut lives = lives(&[100.0, 300.0, 400.0, 500.0, 200.0], |i| i != 1);
    lives[3].entry = 250.0;
    // At risk: 4 at 100 h, 3 at 200 h, 2 at 400 h, 1 at 500 h.
    let expected = [
        (100.0, 0.125),
        (200.0, 0.375),
        (400.0, 0.625),
        (500.0, 0.875),
    ];
    for (got, expected) in plotting_positions(&lives).into_iter().zip(expected) {
        assert!(
            got.0 == expected.0 && (got.1 - expected.1).abs() < 1e-12,
            "{got:?}"
        );
    }
}

#[test]
fn few_failures_have_points_but_no_interval() {
    let said = answer(
        "weibull",
        &json!({"times": [500, 800, 900], "failed": [true, false, false]}),
    );
    let said = said.unwrap();
    assert!(said["shape"].as_f64().unwrap() > 0.0);
    assert_eq!(
        (&said["shape_ci"], &said["scale_ci"], &said["b10_ci"]),
        (&Value::Null, &Value::Null, &Value::Null)
    );
    let said = answer(
        "weibull",
        &json!({"times": [500, 700, 800, 900], "failed": [true, true, true, false]}),
    );
    assert_eq!(said.unwrap()["shape_ci"].as_array().unwrap().len(), 2);
}

#[test]
fn a_wrong_input_is_named_by_its_key() {
    let all = |value: bool| json!(vec![value; 10]);
    assert_refused(
        "weibull",
        &[
            ("failed", all(false), "failed"),
            ("failed", json!([true]), "failed"),
            ("failed", json!([1, 0, 1, 0, 1, 0, 1, 0, 1, 0]), "failed[0]"),
            ("times", json!([]), "failed"),
            ("times", json!([1, 2, 3, 4, 5, 6, 7, 8, 9, 0]), "times[9]"),
            ("times", json!([1, 2, 3, 4, 5, 6, 7, 8, 9, -1]), "times[9]"),
            ("times", json!(vec![1000; 10]), "times"),
            ("entry", json!([1, 2]), "entry"),
            (
                "entry",
                json!([0, 0, 0, 0, 0, 0, 0, 0, 0, 10700]),
                "entry[9]",
            ),
            ("entry", json!([0, 0, 0, 0, 0, 0, 0, 0, 0, -1]), "entry[9]"),
        ],
    );
    let none = json!({"times": [], "failed": []});
    assert_eq!(answer("weibull", &none).unwrap_err().key, "times");
    let many = json!({"times": vec![1.0; 10_001], "failed": [true]});
    assert_eq!(answer("weibull", &many).unwrap_err().key, "times");
    let none = answer(
        "weibull",
        &json!({"times": [100, 250], "failed": [false, false]}),
    );
    let words = none.unwrap_err().to_string();
    assert!(
        words.contains("no failure in a running time of 350"),
        "{words}"
    );
}

proptest! {
    /// Another unit of time changes scale and B10 alone.
    #[test]
    fn hours_and_days_tell_the_same(
        times in prop::collection::vec(10.0..30_000.0_f64, 6..30), unit in 0.01..100.0_f64,
    ) {
        let of = |unit: f64| {
            let times: Vec<f64> = times.iter().map(|t| t * unit).collect();
            weibull(&lives(&times, |i| i % 3 != 0)).unwrap()
        };
        let (a, b) = (of(1.0), of(unit));
        prop_assert!((a.shape / b.shape - 1.0).abs() < 1e-9);
        prop_assert!((a.scale * unit / b.scale - 1.0).abs() < 1e-9);
        let (one, other) = (a.intervals.unwrap(), b.intervals.unwrap());
        for end in 0..2 {
            prop_assert!((one.shape[end] / other.shape[end] - 1.0).abs() < 1e-6);
            prop_assert!((one.scale[end] * unit / other.scale[end] - 1.0).abs() < 1e-6);
        }
        prop_assert!(one.shape[0] < a.shape && a.shape < one.shape[1]);
        prop_assert!(one.scale[0] < a.scale && a.scale < one.scale[1]);
    }

    /// More running time without a failure only makes the characteristic life longer.
    #[test]
    fn a_survivor_lengthens_the_life(more in 100.0..20_000.0_f64) {
        let times = [1000.0, 2500.0, 4000.0, 7000.0];
        let before = weibull(&lives(&times, |_| true)).unwrap();
        let mut with = lives(&times, |_| true);
        with.push(Life { time: more, failed: false, entry: 0.0 });
        let after = weibull(&with).unwrap();
        // Its likelihood at any shape rises with the scale.
        prop_assert!(after.quantile(0.5) > before.quantile(0.5) * 0.999, "{before:?} {after:?}");
    }
}
