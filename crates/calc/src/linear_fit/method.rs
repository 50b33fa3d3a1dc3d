//! `linear_fit`: least squares as a described method.

use serde_json::Value;

use super::{LinearFit, fit_powers};
use crate::{
    error::CalcError,
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, number,
        object, optional_number, renamed, wrong,
    },
};

/// Points that one call takes.
const POINTS_MAX: usize = 10_000;

/// `linear_fit`: a line or a curve of powers through points.
pub const METHOD: Method = Method {
    name: "linear_fit",
    title: "Straight line",
    summary: "Least squares through points: a straight line, or a curve of powers of x, with the standard errors of its \
              coefficients and the scatter of the points about it.",
    inputs: &[
        Param::of(
            Kind::Numbers,
            "x",
            "x values",
            "2 to 10,000 numbers that differ",
        ),
        Param::of(Kind::Numbers, "y", "y values", "as many"),
        Param::of(
            Kind::YesNo,
            "through_origin",
            "through the origin, no constant",
            "default no",
        )
        .optional(),
        Param::number(
            "degree",
            "",
            "highest power of x",
            "whole number 1 to 10, default 1",
        )
        .optional(),
    ],
    outputs: &[
        Output::new(
            "coefficients",
            "",
            "constant first, then by power of x; without the constant through the origin",
        ),
        Output::new(
            "standard_errors",
            "",
            "of the coefficients in their order; null where the points are only as many as the coefficients",
        ),
        Output::new(
            "residual_sd",
            "",
            "standard deviation of the points about the line; null where they are only as many as the coefficients",
        ),
        Output::new(
            "r_squared",
            "",
            "share of the variation of y that the line explains, about zero through the origin; null where all y are alike",
        ),
    ],
    formula: "min sum (y - b0 - b1 x - ... - bk x^k)^2 by QR; s^2 = SSR/(n - p); Cov(b) = s^2 (X'X)^-1; R^2 = 1 - SSR/SST",
    source: "Least squares: N. R. Draper, H. Smith, Applied regression analysis, 3rd ed. (1998) (memory); checked by the \
             NIST Statistical Reference Datasets Norris, NoInt1, Longley and Wampler 1, 3, 5: shared/reference/nist_strd_*.toml",
    cautions: &[
        "A line through the past promises nothing for the time after the last point.",
        "The standard errors hold for points that scatter independently and all alike.",
        "A high power follows the scatter of the points: take the lowest that does.",
    ],
    example: r#"{"x": [0, 0.8, 3.7, 6.0, 8.1, 9.7, 12.3], "y": [260, 290, 380, 440, 470, 480, 540]}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let x = input.numbers_up_to("x", POINTS_MAX, &Bounds::ANY)?;
    let y = input.numbers_up_to("y", POINTS_MAX, &Bounds::ANY)?;
    let through_origin = input.yes_or_no("through_origin")?;
    let degree = input
        .optional_number("degree", &Bounds::within(1.0..=10.0))?
        .unwrap_or(1.0);
    if degree.fract() != 0.0 {
        return Err(wrong("degree", "a whole number is expected".to_owned()));
    }
    input.finish()?;
    let degree = degree as usize;
    let named = |error: CalcError| renamed(&error, &[]);
    let fit = fit_powers(&x, &y, degree, through_origin).map_err(named)?;
    let output = object([
        ("coefficients", numbers("coefficients", &fit.coefficients)?),
        (
            "standard_errors",
            fit.scatter.as_ref().map_or(Ok(Value::Null), |scatter| {
                numbers("standard_errors", &scatter.standard_errors)
            })?,
        ),
        (
            "residual_sd",
            optional_number("residual_sd", fit.scatter.as_ref().map(|s| s.residual_sd))?,
        ),
        ("r_squared", optional_number("r_squared", fit.r_squared)?),
    ]);
    let first = usize::from(through_origin);
    let steps = steps(&fit, x.len(), first)?;
    Ok(Worked { output, steps })
}

fn numbers(key: &str, values: &[f64]) -> Result<Value, InputError> {
    values.iter().map(|&value| number(key, value)).collect()
}

fn steps(fit: &LinearFit, points: usize, first: usize) -> Result<Vec<Step>, InputError> {
    let plain = |value| Part::number(value, "", 4);
    let whole = |count: usize| Part::number(count as f64, "", 0);
    let mut steps = vec![Step::new(
        "{} points - {} coefficients",
        [whole(points), whole(fit.coefficients.len())],
        whole(fit.degrees_of_freedom),
        "degrees of freedom",
    )];
    for (power, &coefficient) in (first..).zip(&fit.coefficients) {
        let (words, note) = match power {
            0 => ("height of the line where x is 0".to_owned(), "b0, constant"),
            1 => ("rise per unit of x".to_owned(), "b1, least squares"),
            _ => (format!("factor of x to the power {power}"), "least squares"),
        };
        steps.push(Step::new(&words, [], plain(coefficient), note));
    }
    if let Some(scatter) = &fit.scatter {
        number("residual_sd", fit.residual_squares)?;
        steps.push(Step::new(
            "sqrt({} / {})",
            [plain(fit.residual_squares), whole(fit.degrees_of_freedom)],
            plain(scatter.residual_sd),
            "scatter about the line, s",
        ));
    }
    Ok(steps)
}
