//! Checks against Sen's own example and other programs, of few points, many points and equal x, and laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde_json::json;

use super::*;
use crate::test_table::{answer, assert_refused};

/// Sen (1968), section 6, and the cars of Ezekiel with many equal x, as `theil_sen.toml` tells.
#[test]
fn sens_example_and_the_cars_come_out_as_published() {
    let text = include_str!("../../../../shared/reference/theil_sen.toml");
    let table: toml::Value = toml::from_str(text).unwrap();
    let list = |value: &toml::Value| -> Vec<f64> { value.clone().try_into().unwrap() };
    let sen = &table["sen_1968"];
    let found = theil_sen(&list(&sen["x"]), &list(&sen["y"]), 0.95).unwrap();
    let interval = found.interval.unwrap();
    let float = |key: &str| sen[key].as_float().unwrap();
    for (key, got) in [
        ("slope", found.slope),
        ("intercept", found.intercept),
        ("ci95_low", interval.lower),
        ("ci95_high", interval.upper),
    ] {
        assert!((got - float(key)).abs() < 1e-12, "{key}: {got}");
    }
    assert_eq!(found.pairs, list(&sen["pairwise_slopes_sorted"]).len());
    // 1 + 6 + 20 + 49 of 5,040 arrangements of seven in either tail.
    assert!((interval.reached - (1.0 - 2.0 * 76.0 / 5040.0)).abs() < 1e-14);

    let cars = &table["cars"];
    let found = theil_sen(&list(&cars["x"]), &list(&cars["y"]), 0.95).unwrap();
    let ends = list(&cars["theil_sen_ci95"]);
    let interval = found.interval.unwrap();
    for (expected, got) in [
        (cars["theil_sen_slope"].as_float().unwrap(), found.slope),
        (
            cars["theil_sen_intercept"].as_float().unwrap(),
            found.intercept,
        ),
        (ends[0], interval.lower),
        (ends[1], interval.upper),
    ] {
        assert!((got - expected).abs() < 1e-12, "{got}, expected {expected}");
    }
}

#[test]
fn four_points_reach_eleven_twelfths_at_best_and_three_nothing() {
    let (x, y) = ([0.0, 1.0, 2.0, 3.0], [0.0, 2.0, 3.0, 7.0]);
    let interval = |n: usize, confidence| theil_sen(&x[..n], &y[..n], confidence).unwrap().interval;
    assert_eq!(interval(3, 0.9), None);
    assert_eq!(interval(2, 0.5), None);
    let four = interval(4, 11.0 / 12.0).unwrap();
    assert_eq!((four.lower, four.upper, four.left_out), (1.0, 4.0, 0));
    assert!((four.reached - 11.0 / 12.0).abs() < 1e-14);
    assert_eq!(interval(4, 0.92), None);
    let said = answer(
        "theil_sen",
        &json!({"x": [0, 1, 2], "y": [0, 2, 3], "confidence": 0.9}),
    );
    let expected =
        json!({"slope": 1.5, "intercept": 0.5, "slope_lower": null, "slope_upper": null});
    assert_eq!(said.unwrap(), expected);
}

/// Where the exact count ends, the normal distribution leaves out as many slopes to within one in two hundred of them.
#[test]
fn beyond_the_exact_count_the_interval_goes_on_smoothly() {
    let x: Vec<f64> = (0..=EXACT_MAX).map(|i| f64::from((i / 2) as u16)).collect();
    let y: Vec<f64> = (0..=EXACT_MAX)
        .map(|i| (i * 37 % 101) as f64 + i as f64)
        .collect();
    let interval = |n: usize| theil_sen(&x[..n], &y[..n], 0.9).unwrap();
    let (exact, normal) = (interval(EXACT_MAX), interval(EXACT_MAX + 1));
    let share =
        |found: &TheilSen| found.interval.as_ref().unwrap().left_out as f64 / found.pairs as f64;
    assert!((share(&exact) - share(&normal)).abs() < 0.005);
    for found in [exact, normal] {
        let reached = found.interval.unwrap().reached;
        assert!((0.9..0.901).contains(&reached), "{reached}");
    }
}

#[test]
fn a_wrong_input_is_named_by_its_key() {
    assert_refused(
        "theil_sen",
        &[
            ("x", json!([1, 1, 1, 1, 1, 1, 1]), "x"),
            ("x", json!([1, 2]), "y"),
            ("y", json!([1, 2, 3, 4, 5, 6, "7"]), "y[6]"),
            ("confidence", json!(1), "confidence"),
            ("confidence", json!(95), "confidence"),
        ],
    );
    let one = json!({"x": [1], "y": [1], "confidence": 0.9});
    assert_eq!(answer("theil_sen", &one).unwrap_err().key, "x");
    let many = json!({"x": vec![1.0; 2_001], "y": [1], "confidence": 0.9});
    assert_eq!(answer("theil_sen", &many).unwrap_err().key, "x");
}

proptest! {
    /// One reading, however wrong, moves the slope no further than the slopes of the others allow.
    #[test]
    fn one_bad_reading_turns_no_line(bad in -1e6..1e6_f64, place in 0_usize..9, rise in -5.0..5.0_f64) {
        let x: Vec<f64> = (0..9).map(f64::from).collect();
        let mut y: Vec<f64> = x.iter().map(|x| 100.0 + rise * x).collect();
        y[place] += bad;
        let found = theil_sen(&x, &y, 0.9).unwrap();
        prop_assert!((found.slope - rise).abs() < 1e-9, "{}", found.slope);
    }

    /// The higher the confidence, the wider the interval, and the slope lies in it.
    #[test]
    fn more_confidence_is_wider(y in prop::collection::vec(-10.0..10.0_f64, 8..20)) {
        let x: Vec<f64> = (0..y.len()).map(|i| (i / 2) as f64).collect();
        let mut before: Option<Interval> = None;
        for confidence in [0.5, 0.8, 0.9, 0.95] {
            let found = theil_sen(&x, &y, confidence).unwrap();
            let interval = found.interval.unwrap();
            prop_assert!(interval.lower <= found.slope && found.slope <= interval.upper);
            prop_assert!(interval.reached >= confidence - 1e-9);
            if let Some(before) = before {
                prop_assert!(interval.lower <= before.lower && before.upper <= interval.upper);
            }
            before = Some(interval);
        }
    }
}
