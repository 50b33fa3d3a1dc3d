//! Uncertainty of a reading: the budget of JCGM 100 from its contributions, and that of a diameter in a roll shop.
//!
//! Source: JCGM 100:2008 (memory), numbers checked against its example H.1 in `shared/reference/gum_examples.toml`.

mod diameter;
mod method;
mod student;

pub use diameter::{Contributor, DiameterReading, diameter_budget};
pub use method::METHOD;
pub use student::{PROBABILITY_AT_2, coverage_factor};

use crate::{
    error::{CalcError, finite, missing, not_negative},
    quantity::{Length, as_micrometres, micrometres},
};

/// Coverage factor of the expanded uncertainty that certificates, limits and verdicts here mean.
pub const COVERAGE_FACTOR: f64 = 2.0;

/// One contribution to the uncertainty of a result, in the unit of the result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contribution {
    /// Standard uncertainty, sensitivity coefficient included.
    pub standard: Length,
    /// Degrees of freedom; `None` where the uncertainty itself is taken as known.
    pub degrees_of_freedom: Option<f64>,
}

impl Contribution {
    /// A contribution whose size is taken as known: certificates, limits, judgement (type B).
    pub fn known(standard: Length) -> Self {
        Self {
            standard,
            degrees_of_freedom: None,
        }
    }
}

/// What the contributions come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Combined {
    /// Combined standard uncertainty.
    pub standard: Length,
    /// Effective degrees of freedom; `None` for unlimited.
    pub degrees_of_freedom: Option<f64>,
}

impl Combined {
    /// Expanded uncertainty at k = 2.
    pub fn expanded(&self) -> Length {
        self.standard * COVERAGE_FACTOR
    }
}

/// Combines uncorrelated contributions.
///
/// `u_c = √(Σ u_i²)` (10); `ν_eff = u_c⁴ / Σ (u_i⁴/ν_i)`, the formula of Welch and Satterthwaite (G.2b).
/// Source: JCGM 100:2008, 5.1.2 and G.4.1 (memory).
///
/// # Errors
/// `OutOfRange` or `NotFinite` for a contribution that is negative or for degrees of freedom that are not above 0.
pub fn combine(contributions: &[Contribution]) -> Result<Combined, CalcError> {
    let mut sum_um2 = 0.0;
    for (place, contribution) in contributions.iter().enumerate() {
        let input = format!("contributions[{place}]");
        let u_um = as_micrometres(not_negative(&input, contribution.standard)?);
        sum_um2 += u_um * u_um; // (10)
        if let Some(dof) = contribution.degrees_of_freedom {
            // A budget of fewer degrees of freedom than one cannot come from readings.
            crate::error::within(
                &format!("{input}.degrees_of_freedom"),
                dof,
                &(1.0..=1e9),
                "",
            )?;
        }
    }
    let u_um = sum_um2.sqrt();
    let share_of_doubt: f64 = contributions
        .iter()
        .filter_map(|contribution| {
            let dof = contribution.degrees_of_freedom?;
            let part = as_micrometres(contribution.standard) / u_um;
            Some(part * part * part * part / dof)
        })
        .filter(|share| share.is_finite()) // a budget of nothing has no shares
        .fold(0.0, |sum, share| sum + share);
    let unlimited = share_of_doubt < 1e-9;
    Ok(Combined {
        standard: micrometres(u_um),
        degrees_of_freedom: (!unlimited).then_some(1.0 / share_of_doubt), // (G.2b)
    })
}

/// Standard uncertainty of a value known only to lie within ± `half_width`: `a/√3`.
///
/// Source: JCGM 100:2008, 4.3.7, rectangular distribution (memory).
pub fn rectangular(half_width: Length) -> Length {
    half_width / 3.0_f64.sqrt()
}

/// Standard uncertainty from the step of a display or scale: `δ/√12`.
///
/// Source: JCGM 100:2008, F.2.2.1 (memory).
pub fn resolution(step: Length) -> Length {
    rectangular(step / 2.0)
}

/// Repeatability from repeated readings of one place: `s/√m` with `n − 1` degrees of freedom, the result being the
/// mean of `averaged` readings.
///
/// Source: JCGM 100:2008, 4.2.2 and 4.2.3 (memory).
///
/// # Errors
/// `Missing` for fewer than two readings, `OutOfRange` for `averaged` of 0, `NotFinite`.
pub fn repeatability(readings: &[Length], averaged: usize) -> Result<Contribution, CalcError> {
    if readings.len() < 2 {
        return Err(missing(
            "readings",
            "at least two readings of the same place",
        ));
    }
    if averaged == 0 {
        return Err(CalcError::OutOfRange {
            input: "averaged".to_owned(),
            value: 0.0,
            unit: "",
            allowed: "1 or more".to_owned(),
        });
    }
    let first = readings[0];
    // From the first value, so that small differences of large sizes keep their digits.
    let off_um: Vec<f64> = readings
        .iter()
        .enumerate()
        .map(|(place, &reading)| {
            finite(&format!("readings[{place}]"), reading)?;
            Ok::<_, CalcError>(as_micrometres(reading - first))
        })
        .collect::<Result<_, _>>()?;
    let n = off_um.len() as f64;
    let mean = off_um.iter().sum::<f64>() / n;
    let variance = off_um.iter().map(|x| (x - mean) * (x - mean)).sum::<f64>() / (n - 1.0);
    Ok(Contribution {
        standard: micrometres((variance / averaged as f64).sqrt()),
        degrees_of_freedom: Some(n - 1.0),
    })
}

#[cfg(test)]
mod tests;
