//! Roundness of a section from radial readings, and the part of it that a two-point gauge cannot see.
//!
//! Source: ISO 12181-1 for the terms (memory), numbers checked against `shared/reference/roundness.toml`.

mod method;

pub use method::METHOD;

use crate::{
    error::{CalcError, finite, missing},
    quantity::{Length, as_micrometres, micrometres},
};

/// Fewest readings round a section: three lie on a circle whatever they are.
pub const READINGS_MIN: usize = 4;
/// Most readings that are meant; a longer list was pasted wrongly.
const READINGS_MAX: usize = 100_000;

/// A section with its least-squares circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Mean of the readings: radius of the circle, from the zero of the gauge.
    pub radius: Length,
    /// Centre of the circle towards the first reading.
    pub centre_x: Length,
    /// Centre of the circle a quarter turn further.
    pub centre_y: Length,
    /// Roundness deviation RONt about this circle: largest minus smallest local deviation.
    pub roundness: Length,
    /// Largest local deviation with an odd number of lobes, which opposite points cancel; `None` for an odd number of
    /// readings, where none has its opposite.
    pub unseen: Option<Length>,
}

/// Least-squares circle of radial readings at equal angles, and the deviations about it.
///
/// `R = mean r`, `a = 2/n Σ r cos θ`, `b = 2/n Σ r sin θ`; local deviation `d = r − R − a cos θ − b sin θ` (limaçon, for
/// deviations small against the radius); `RONt = max d − min d`. A two-point size adds opposite radii, so of `d` it sees
/// only the mean of both; half their difference, `(d(θ) − d(θ + 180°))/2`, it cannot see.
/// Source: ISO 12181-1 (memory), `roundness.toml`; opposite points: geometry.
///
/// # Errors
/// `Missing` for fewer than four readings, `OutOfRange` for more than 100 000 or one beyond any shop, `NotFinite`.
pub fn section(readings: &[Length]) -> Result<Section, CalcError> {
    let count = readings.len();
    if count < READINGS_MIN {
        return Err(missing(
            "readings",
            format!("at least {READINGS_MIN} readings at equal angles"),
        ));
    }
    if count > READINGS_MAX {
        return Err(CalcError::OutOfRange {
            input: "readings".to_owned(),
            value: count as f64,
            unit: "readings",
            allowed: format!("{READINGS_MIN} to {READINGS_MAX}"),
        });
    }
    let r: Vec<f64> = readings
        .iter()
        .enumerate()
        .map(|(place, &reading)| finite(&format!("readings[{place}]"), reading).map(as_micrometres))
        .collect::<Result<_, _>>()?;
    let n = count as f64;
    let turn: Vec<(f64, f64)> = (0..count)
        .map(|place| libm::sincos(std::f64::consts::TAU * place as f64 / n))
        .collect();
    let radius = r.iter().sum::<f64>() / n;
    let sum = |part: &dyn Fn(&(f64, f64)) -> f64| -> f64 {
        2.0 / n * r.iter().zip(&turn).map(|(r, t)| r * part(t)).sum::<f64>()
    };
    let (a, b) = (sum(&|t| t.1), sum(&|t| t.0));
    let deviation: Vec<f64> = r
        .iter()
        .zip(&turn)
        .map(|(r, (sin, cos))| r - radius - a * cos - b * sin)
        .collect();
    let largest = deviation.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let smallest = deviation.iter().copied().fold(f64::INFINITY, f64::min);
    let opposite = deviation.iter().zip(&deviation[count / 2..]);
    let unseen = opposite
        .map(|(here, there)| ((here - there) / 2.0).abs())
        .fold(0.0, f64::max);
    Ok(Section {
        radius: micrometres(radius),
        centre_x: micrometres(a),
        centre_y: micrometres(b),
        roundness: micrometres(largest - smallest),
        unseen: count.is_multiple_of(2).then_some(micrometres(unseen)),
    })
}

#[cfg(test)]
mod tests;
