//! Least squares: a line, a curve of powers or any set of columns through points, with the standard errors.
//!
//! Powers of a large x are nearly one another's multiples, and a shop's x is a counter of many thousand hours. All is
//! therefore calculated in twice the digits of `f64` (module `linear`), which leaves the digits of the data.

mod method;
pub use method::METHOD;

use crate::{
    error::{CalcError, all_finite, contradiction, missing, same_length},
    linear::{Double, Qr, Real, dot, size_of},
};

/// The highest power of a curve.
pub const DEGREE_MAX: usize = 10;
/// Columns that are nearer to one another than this share of their length tell nothing apart.
const DEPENDENT: f64 = 1e-20;
/// What is left of numbers of size 1 by the last digits of the calculation alone.
const NOTHING: f64 = 1e-25;

/// A least squares fit.
#[derive(Debug, Clone, PartialEq)]
pub struct LinearFit {
    /// Constant first, where there is one; then in the order of columns or powers.
    pub coefficients: Vec<f64>,
    /// Points less coefficients.
    pub degrees_of_freedom: usize,
    /// Scatter of the points; none where there are only as many as coefficients, so that nothing tells.
    pub scatter: Option<Scatter>,
    /// Sum of the squared residuals.
    pub residual_squares: f64,
    /// `1 - SSR/SST`, SST about the mean, or about zero without a constant; none where all y are alike.
    pub r_squared: Option<f64>,
}

/// What the residuals tell.
#[derive(Debug, Clone, PartialEq)]
pub struct Scatter {
    /// Standard deviation of the residuals, `sqrt(SSR/(n - p))`.
    pub residual_sd: f64,
    /// Standard errors of the coefficients.
    pub standard_errors: Vec<f64>,
}

/// Least squares of `y` on columns, one value for each point; with a constant or through the origin.
///
/// `min |y - X b|²` by Householder's QR; `Cov(b) = s² (RᵀR)⁻¹`, `s² = SSR/(n - p)`. Range: as many points as
/// coefficients or more. Source: N. R. Draper, H. Smith, "Applied regression analysis", 3rd ed. (1998), chapters 1 to 5
/// (memory); checked by the reference datasets of NIST in `shared/reference/nist_strd_longley.toml`.
///
/// # Errors
/// `Missing` for too few points, `Unequal`, `NotFinite`, `Contradiction` where a column is made up of those before it.
pub fn fit_columns(
    columns: &[Vec<f64>],
    y: &[f64],
    has_constant: bool,
) -> Result<LinearFit, CalcError> {
    for (place, column) in columns.iter().enumerate() {
        let input = format!("columns[{place}]");
        same_length(&input, column.len(), y.len())?;
        all_finite(&input, column)?;
    }
    let sizes: Vec<f64> = columns.iter().map(|column| size_of(column)).collect();
    let ones = has_constant.then(|| vec![Double::of(1.0); y.len()]);
    let scaled = columns
        .iter()
        .zip(&sizes)
        .map(|(column, size)| column.iter().map(|x| Double::of(x / size)).collect());
    let count = columns.len() + usize::from(has_constant);
    let back: Vec<Vec<Double>> = (0..count)
        .map(|row| {
            let mut weights = vec![Double::of(0.0); count];
            let size = match row.checked_sub(usize::from(has_constant)) {
                None => 1.0,
                Some(column) => sizes[column],
            };
            weights[row] = Double::of(1.0) / Double::of(size);
            weights
        })
        .collect();
    solve(
        ones.into_iter().chain(scaled).collect(),
        y,
        has_constant,
        &back,
    )
    .map_err(|error| renamed_x(error, "columns"))
}

/// A polynomial through points: `y = b0 + b1 x + ... + bk x^k`, without `b0` through the origin.
///
/// As [`fit_columns`], on the powers of `(x - mean)/size`, whose coefficients are then multiplied out.
/// Range: degree 1 to 10, more different x than the degree (through the origin: as many, not zero).
///
/// # Errors
/// As [`fit_columns`], `OutOfRange` for the degree, `Missing` for too few different x.
pub fn fit_powers(
    x: &[f64],
    y: &[f64],
    degree: usize,
    through_origin: bool,
) -> Result<LinearFit, CalcError> {
    if degree == 0 || degree > DEGREE_MAX {
        return Err(CalcError::OutOfRange {
            input: "degree".to_owned(),
            value: degree as f64,
            unit: "",
            allowed: format!("1 to {DEGREE_MAX}"),
        });
    }
    same_length("y", y.len(), x.len())?;
    all_finite("x", x)?;
    let needed = degree + usize::from(!through_origin);
    if x.len() < needed {
        return Err(missing(
            "x",
            format!("{needed} points or more for {needed} coefficients"),
        ));
    }
    let mut different: Vec<f64> = x.to_vec();
    different.retain(|&x| !through_origin || x != 0.0);
    different.sort_by(f64::total_cmp);
    different.dedup_by(|a, b| a == b);
    if different.len() < needed {
        let other = if through_origin { " and not zero" } else { "" };
        return Err(contradiction(
            "x",
            format!("at least {needed} of them must differ{other}"),
        ));
    }
    let middle = if through_origin {
        0.0
    } else {
        x.iter().map(|value| value / x.len() as f64).sum()
    };
    let from_middle: Vec<f64> = x.iter().map(|x| x - middle).collect();
    let size = size_of(&from_middle);
    let (shift, size) = (Double::of(middle), Double::of(size));
    let t: Vec<Double> = x.iter().map(|&x| (Double::of(x) - shift) / size).collect();
    let mut power = vec![Double::of(1.0); x.len()];
    let mut columns = vec![power.clone()];
    // The coefficients of 1, t, t² ... as those of 1, x, x² ...
    let mut expansion = vec![vec![Double::of(1.0)]];
    for k in 1..=degree {
        for (power, &t) in power.iter_mut().zip(&t) {
            *power = *power * t;
        }
        columns.push(power.clone());
        let before = &expansion[k - 1];
        let at = |place: Option<usize>| {
            place
                .and_then(|p| before.get(p))
                .copied()
                .unwrap_or(Double::of(0.0))
        };
        let next = (0..=k).map(|j| (at(j.checked_sub(1)) - shift * at(Some(j))) / size);
        expansion.push(next.collect());
    }
    let first = usize::from(through_origin);
    let back: Vec<Vec<Double>> = (first..=degree)
        .map(|j| {
            let of_power = |k: usize| expansion[k].get(j).copied().unwrap_or(Double::of(0.0));
            (first..=degree).map(of_power).collect()
        })
        .collect();
    solve(columns.split_off(first), y, !through_origin, &back).map_err(|e| renamed_x(e, "x"))
}

/// Least squares on columns; each coefficient asked for is a row of `back` times those of the columns.
fn solve(
    columns: Vec<Vec<Double>>,
    y: &[f64],
    has_constant: bool,
    back: &[Vec<Double>],
) -> Result<LinearFit, CalcError> {
    let (points, count) = (y.len(), columns.len());
    all_finite("y", y)?;
    if count == 0 || points < count {
        return Err(missing(
            "x",
            format!("{count} points or more for {count} coefficients"),
        ));
    }
    let y_size = size_of(y);
    let mut turned: Vec<Double> = y.iter().map(|y| Double::of(y / y_size)).collect();
    let total = squares_about(&turned, has_constant);
    let qr = Qr::of(columns);
    if qr.dependent(DEPENDENT).is_some() {
        return Err(contradiction(
            "x",
            "the values do not tell the coefficients apart",
        ));
    }
    qr.turn(&mut turned);
    let clean = |value: Double| {
        if value.value().abs() < NOTHING {
            Double::of(0.0)
        } else {
            value
        }
    };
    let solution: Vec<Double> = qr.solve(&turned).into_iter().map(clean).collect();
    let rest: Vec<Double> = turned[count..].iter().copied().map(clean).collect();
    let squares = dot(&rest, &rest);
    let inverse = qr.inverse();
    let degrees_of_freedom = points - count;
    let sd =
        (degrees_of_freedom > 0).then(|| (squares / Double::of(degrees_of_freedom as f64)).sqrt());
    let standard_error = |weights: &Vec<Double>, sd: Double| {
        let row: Vec<Double> = (0..count)
            .map(|k| (0..count).fold(Double::of(0.0), |sum, j| sum + weights[j] * inverse[k][j]))
            .collect();
        (sd * dot(&row, &row).sqrt()).value() * y_size
    };
    Ok(LinearFit {
        coefficients: back
            .iter()
            .map(|weights| dot(weights, &solution).value() * y_size)
            .collect(),
        degrees_of_freedom,
        scatter: sd.map(|sd| Scatter {
            residual_sd: sd.value() * y_size,
            standard_errors: back.iter().map(|row| standard_error(row, sd)).collect(),
        }),
        residual_squares: squares.value() * y_size * y_size,
        r_squared: (total.value() > 0.0)
            .then(|| (Double::of(1.0) - squares / total).value().clamp(0.0, 1.0)),
    })
}

/// Sum of squares about the mean, or about zero.
fn squares_about(y: &[Double], has_mean: bool) -> Double {
    let zero = Double::of(0.0);
    let sum = y.iter().fold(zero, |sum, &y| sum + y);
    let mean = if has_mean {
        sum / Double::of(y.len() as f64)
    } else {
        zero
    };
    y.iter()
        .map(|&y| y - mean)
        .fold(zero, |sum, off| sum + off * off)
}

/// An error about `x` under the name of the caller's own input.
fn renamed_x(error: CalcError, name: &str) -> CalcError {
    match error {
        CalcError::Missing { input, needed } if input == "x" => missing(name, needed),
        CalcError::Contradiction { input, why } if input == "x" => contradiction(name, why),
        other => other,
    }
}

#[cfg(test)]
mod tests;
