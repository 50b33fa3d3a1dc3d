//! Checks against the reference datasets of NIST, by key of the method, and laws.
#![allow(clippy::unwrap_used)]

use proptest::prelude::*;
use serde::Deserialize;
use serde_json::json;

use super::*;
use crate::test_table::{answer, assert_refused};

/// A dataset with its certified values.
#[derive(Deserialize)]
struct Nist {
    name: String,
    intercept: bool,
    n: usize,
    certified_coefficients: Vec<f64>,
    certified_std_errors: Vec<f64>,
    certified_residual_sd: f64,
    certified_r_squared: f64,
    y: Vec<f64>,
    x: Option<Vec<f64>>,
    #[serde(flatten)]
    columns: std::collections::BTreeMap<String, toml::Value>,
}

/// NIST prints 15 digits; the last of them is the rounding of the certified value.
fn assert_certified(name: &str, found: &LinearFit, data: &Nist) {
    let close = |what: &str, found: f64, certified: f64| {
        // A perfect fit is certified as 0: what is left is the last digit of twice the precision.
        let scale = if certified == 0.0 {
            1e-6
        } else {
            certified.abs()
        };
        let apart = (found - certified).abs() / scale;
        assert!(
            apart < 2e-14,
            "{name}, {what}: {found}, certified {certified}"
        );
    };
    let scatter = found.scatter.as_ref().unwrap();
    assert_eq!(found.coefficients.len(), data.certified_coefficients.len());
    for (k, certified) in data.certified_coefficients.iter().enumerate() {
        close(&format!("b{k}"), found.coefficients[k], *certified);
        let error = scatter.standard_errors[k];
        close(&format!("se{k}"), error, data.certified_std_errors[k]);
    }
    close("s", scatter.residual_sd, data.certified_residual_sd);
    close("r2", found.r_squared.unwrap(), data.certified_r_squared);
}

#[test]
fn the_reference_datasets_of_nist_come_out_to_fourteen_digits() {
    for (text, degree) in [
        (
            include_str!("../../../../shared/reference/nist_strd_norris.toml"),
            1,
        ),
        (
            include_str!("../../../../shared/reference/nist_strd_noint1.toml"),
            1,
        ),
        (
            include_str!("../../../../shared/reference/nist_strd_wampler1.toml"),
            5,
        ),
        (
            include_str!("../../../../shared/reference/nist_strd_wampler3.toml"),
            5,
        ),
        (
            include_str!("../../../../shared/reference/nist_strd_wampler5.toml"),
            5,
        ),
    ] {
        let data: Nist = toml::from_str(text).unwrap();
        let x = data.x.as_ref().unwrap();
        assert_eq!((x.len(), data.y.len()), (data.n, data.n), "{}", data.name);
        let found = fit_powers(x, &data.y, degree, !data.intercept).unwrap();
        assert_certified(&data.name, &found, &data);
        let input =
            json!({"x": x, "y": data.y, "degree": degree, "through_origin": !data.intercept});
        let said = answer("linear_fit", &input).unwrap();
        assert_eq!(
            said["coefficients"],
            json!(found.coefficients),
            "{}",
            data.name
        );
    }
}

#[test]
fn the_six_entangled_columns_of_longley_come_out_to_fourteen_digits() {
    let text = include_str!("../../../../shared/reference/nist_strd_longley.toml");
    let data: Nist = toml::from_str(text).unwrap();
    // Sorted by name, x1 to x6.
    let columns: Vec<Vec<f64>> = data
        .columns
        .iter()
        .filter(|(name, _)| name.starts_with('x'))
        .map(|(_, values)| values.clone().try_into().unwrap())
        .collect();
    assert_eq!((columns.len(), data.n), (6, 16));
    let found = fit_columns(&columns, &data.y, data.intercept).unwrap();
    assert_certified(&data.name, &found, &data);
}

/// Printed by R for its data set `cars`: `theil_sen.toml` holds the least squares beside the other.
#[test]
fn a_line_through_the_cars_is_that_of_r() {
    let text = include_str!("../../../../shared/reference/theil_sen.toml");
    let cars = &toml::from_str::<toml::Value>(text).unwrap()["cars"];
    let list = |key: &str| -> Vec<f64> { cars[key].clone().try_into().unwrap() };
    let found = fit_powers(&list("x"), &list("y"), 1, false).unwrap();
    let scatter = found.scatter.unwrap();
    for (key, got) in [
        ("ols_intercept", found.coefficients[0]),
        ("ols_slope", found.coefficients[1]),
        ("ols_se_intercept", scatter.standard_errors[0]),
        ("ols_se_slope", scatter.standard_errors[1]),
        ("ols_residual_sd", scatter.residual_sd),
        ("ols_r_squared", found.r_squared.unwrap()),
    ] {
        let printed = cars[key].as_float().unwrap();
        // R prints seven digits.
        assert!((got / printed - 1.0).abs() < 1e-6, "{key}: {got} {printed}");
    }
}

#[test]
fn a_wrong_input_is_named_by_its_key() {
    assert_refused(
        "linear_fit",
        &[
            ("x", json!([1.0]), "y"),
            ("x", json!([5, 5, 5, 5, 5, 5, 5]), "x"),
            ("x", json!([0, 1, 2, 3, 4, 5, null]), "x[6]"),
            ("x", json!([0, 1, 2, 3, 4, 5, "a"]), "x[6]"),
            ("x", json!([0, 1, 2, 3, 4, 5, 1e13]), "x[6]"),
            ("y", json!([1, 2]), "y"),
            ("y", json!([]), "y"),
            ("degree", json!(0), "degree"),
            ("degree", json!(1.5), "degree"),
            ("degree", json!(11), "degree"),
            ("degree", json!(1e9), "degree"),
            ("degree", json!(7), "x"),
            ("through_origin", json!(1), "through_origin"),
        ],
    );
    let one = json!({"x": [1], "y": [1]});
    assert_eq!(answer("linear_fit", &one).unwrap_err().key, "x");
    let long = json!({"x": vec![0.0; 10_001], "y": [1]});
    assert_eq!(answer("linear_fit", &long).unwrap_err().key, "x");
    let zeros = json!({"x": [0, 0], "y": [1, 2], "through_origin": true});
    assert_eq!(answer("linear_fit", &zeros).unwrap_err().key, "x");
    let twice = vec![vec![1.0, 2.0, 3.0, 5.0], vec![2.0, 4.0, 6.0, 10.0]];
    let error = fit_columns(&twice, &[1.0, 2.0, 3.0, 4.0], true).unwrap_err();
    assert_eq!(error.input(), "columns");
    let broken = fit_powers(&[0.0, f64::NAN], &[1.0, 2.0], 1, false).unwrap_err();
    assert_eq!(broken.input(), "x[1]");
}

#[test]
fn as_many_points_as_coefficients_tell_no_scatter() {
    let said = answer("linear_fit", &json!({"x": [1, 3], "y": [2, 8]})).unwrap();
    let expected = json!({"coefficients": [-1.0, 3.0], "standard_errors": null, "residual_sd": null, "r_squared": 1.0});
    assert_eq!(said, expected);
    let level = answer("linear_fit", &json!({"x": [1, 3, 4], "y": [2, 2, 2]})).unwrap();
    let expected = json!({"coefficients": [2.0, 0.0], "standard_errors": [0.0, 0.0], "residual_sd": 0.0, "r_squared": null});
    assert_eq!(level, expected);
}

proptest! {
    /// A polynomial is found again wherever the counter stands.
    #[test]
    fn a_curve_is_found_again(
        start in 0.0..60_000.0_f64, b in prop::array::uniform4(-5.0..5.0_f64),
    ) {
        let x: Vec<f64> = (0..12).map(|i| start.round() + f64::from(i)).collect();
        let y: Vec<f64> = x.iter().map(|x| {
            let t = x - start.round();
            b[0] + t * (b[1] + t * (b[2] + t * b[3]))
        }).collect();
        let found = fit_powers(&x, &y, 3, false).unwrap();
        // The highest coefficient is the same about any zero.
        prop_assert!((found.coefficients[3] - b[3]).abs() < 1e-10, "{:?} {b:?}", found.coefficients);
        prop_assert!(found.scatter.unwrap().residual_sd < 1e-9);
    }

    /// Points on a line with equal steps: as the closed formula Sxy/Sxx.
    #[test]
    fn a_line_is_sxy_over_sxx(y in prop::collection::vec(-1e3..1e3_f64, 3..30)) {
        let x: Vec<f64> = (0..y.len()).map(|i| i as f64 * 2.5).collect();
        let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
        let (mx, my) = (mean(&x), mean(&y));
        let sxy: f64 = x.iter().zip(&y).map(|(x, y)| (x - mx) * (y - my)).sum();
        let sxx: f64 = x.iter().map(|x| (x - mx) * (x - mx)).sum();
        let found = fit_powers(&x, &y, 1, false).unwrap();
        prop_assert!((found.coefficients[1] - sxy / sxx).abs() < 1e-9);
        prop_assert!((found.coefficients[0] - (my - sxy / sxx * mx)).abs() < 1e-8);
    }
}
