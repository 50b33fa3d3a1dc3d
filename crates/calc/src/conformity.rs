//! Does a measured value conform to its limits, given the uncertainty of the measurement?
//!
//! Decision rule: ISO 14253-1:2017 (conformity proven from a conformance probability of 95 %) and
//! JCGM 106:2012 (conformance probability of a normally distributed value); both from memory, numbers
//! checked against `shared/reference/conformity.toml`.

use crate::{
    error::{CalcError, contradiction, finite, missing, not_negative},
    quantity::{Length, as_micrometres, to_nanometres},
};

pub use crate::verdict::Verdict;

mod method;
mod thresholds;
pub use method::{METHOD, derivation};
pub use thresholds::{GUARD_FACTOR_95, GuardBand, Thresholds, guard_band};

/// What a value exactly on the upper limit means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum AtUpper {
    /// A tolerance: on the limit conforms.
    #[default]
    Conforms,
    /// A rework level ("at or above"): on the limit it is reached.
    Reached,
}

/// Limits of one quantity; at least one of the two is needed.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Limits {
    /// Lower limit; a value on it conforms.
    pub lower: Option<Length>,
    /// Upper limit; see `at_upper` for a value on it.
    pub upper: Option<Length>,
    /// What a value on the upper limit means.
    pub at_upper: AtUpper,
    /// Probabilities that part the verdicts.
    pub thresholds: Thresholds,
    /// Those of the upper limit, where another probability is asked of it than of the lower one.
    pub upper_thresholds: Option<Thresholds>,
}

impl Limits {
    /// A tolerance: from `lower` to `upper`, both included.
    pub fn between(lower: Length, upper: Length) -> Self {
        Self {
            lower: Some(lower),
            upper: Some(upper),
            ..Self::default()
        }
    }

    /// A smallest allowed value, included.
    pub fn at_least(lower: Length) -> Self {
        Self {
            lower: Some(lower),
            ..Self::default()
        }
    }

    /// A largest allowed value, included.
    pub fn at_most(upper: Length) -> Self {
        Self {
            upper: Some(upper),
            ..Self::default()
        }
    }

    /// A level that must not be reached: on it counts as reached.
    pub fn below(rework: Length) -> Self {
        Self {
            upper: Some(rework),
            at_upper: AtUpper::Reached,
            ..Self::default()
        }
    }
}

/// A verdict and the probability it rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conformity {
    /// The verdict.
    pub verdict: Verdict,
    /// Probability that the true value conforms, 0 to 1; `None` where no uncertainty is known.
    pub probability: Option<f64>,
}

/// Conformity of a length to limits.
///
/// With `u = U/2` (coverage factor 2) and the normal distribution, `p = Φ((TU − y)/u) − Φ((TL − y)/u)`;
/// `p ≥ 0.95` pass, `≥ 0.50` pass in doubt, `> 0.05` fail in doubt, else fail ([`Thresholds::asked`] sets another
/// probability; where the two limits ask for different ones each is judged by itself, and the worse verdict and the
/// smaller probability count: only then what is asked of the one limit leaves the other alone). `U = 0`: the stored integers (nm) decide. `U` unknown (`None`): the integers decide, at best in
/// doubt. A value exactly on a level that counts as reached is never on the passing side.
/// Source: ISO 14253-1:2017 and JCGM 106:2012 (memory).
///
/// # Errors
/// `Missing` without any limit, `Contradiction` for lower above upper, `OutOfRange` for a negative
/// uncertainty, `NotFinite` for any input that is no number.
pub fn conformity(
    value: Length,
    limits: &Limits,
    expanded_uncertainty: Option<Length>,
) -> Result<Conformity, CalcError> {
    finite("value", value)?;
    if let Some(lower) = limits.lower {
        finite("lower", lower)?;
    }
    if let Some(upper) = limits.upper {
        finite("upper", upper)?;
    }
    if let Some(uncertainty) = expanded_uncertainty {
        not_negative("expanded_uncertainty", uncertainty)?;
    }
    let nanometres = |length: Length| to_nanometres(length) as f64;
    let exact = Numbers {
        value: nanometres(value),
        lower: limits.lower.map(nanometres),
        upper: limits.upper.map(nanometres),
    };
    let real = Numbers {
        value: as_micrometres(value),
        lower: limits.lower.map(as_micrometres),
        upper: limits.upper.map(as_micrometres),
    };
    decide(
        &exact,
        &real,
        limits,
        expanded_uncertainty.map(as_micrometres),
    )
}

/// Simple acceptance: whether the value lies inside its limits, the uncertainty not counted.
///
/// Source: JCGM 106:2012, decision rule with shared risk (memory).
pub fn is_inside(value: f64, lower: Option<f64>, upper: Option<f64>) -> bool {
    let numbers = Numbers {
        value,
        lower,
        upper,
    };
    numbers.conforms(AtUpper::Conforms)
}

/// Conformity of a plain number to a tolerance, in whatever unit all four are; see [`conformity`].
pub(crate) fn conformity_of_numbers(
    value: f64,
    lower: Option<f64>,
    upper: Option<f64>,
    expanded_uncertainty: Option<f64>,
    thresholds: &Thresholds,
) -> Result<Conformity, CalcError> {
    let numbers = Numbers {
        value,
        lower,
        upper,
    };
    let limits = Limits {
        thresholds: *thresholds,
        ..Limits::default()
    };
    decide(&numbers, &numbers, &limits, expanded_uncertainty)
}

/// A value and its limits as plain numbers of one unit.
#[derive(Clone, Copy)]
struct Numbers {
    value: f64,
    lower: Option<f64>,
    upper: Option<f64>,
}

impl Numbers {
    fn conforms(&self, at_upper: AtUpper) -> bool {
        self.lower.is_none_or(|lower| self.value >= lower)
            && self.upper.is_none_or(|upper| {
                self.value < upper || (self.value == upper && at_upper == AtUpper::Conforms)
            })
    }

    /// The probability formula of [`conformity`], by tails, so that small probabilities keep their digits.
    fn probability(&self, standard_uncertainty: f64) -> f64 {
        // The probability beyond a limit at this distance.
        let beyond = |distance: f64| thresholds::beyond(distance / standard_uncertainty);
        let y = self.value;
        let p = match (self.lower, self.upper) {
            (Some(lower), Some(upper)) if y > upper => beyond(y - upper) - beyond(y - lower),
            (Some(lower), Some(upper)) if y < lower => beyond(lower - y) - beyond(upper - y),
            (Some(lower), Some(upper)) => 1.0 - beyond(y - lower) - beyond(upper - y),
            (Some(lower), None) => beyond(lower - y),
            (None, Some(upper)) => beyond(y - upper),
            (None, None) => 1.0,
        };
        p.clamp(0.0, 1.0)
    }
}

fn decide(
    exact: &Numbers,
    real: &Numbers,
    limits: &Limits,
    expanded_uncertainty: Option<f64>,
) -> Result<Conformity, CalcError> {
    match (exact.lower, exact.upper) {
        (None, None) => {
            return Err(missing("lower", "a lower or an upper limit is needed"));
        }
        (Some(lower), Some(upper)) if lower > upper => {
            return Err(contradiction(
                "lower",
                "the lower limit is above the upper limit",
            ));
        }
        _ => {}
    }
    let certain = Verdict::pass_if(exact.conforms(limits.at_upper));
    let Some(uncertainty) = expanded_uncertainty else {
        return Ok(Conformity {
            verdict: certain.if_gauge_overdue(),
            probability: None,
        });
    };
    // An uncertainty so small that dividing by it leaves the number range is no uncertainty.
    if uncertainty / 2.0 < f64::MIN_POSITIVE {
        let probability = if certain == Verdict::Pass { 1.0 } else { 0.0 };
        return Ok(Conformity {
            verdict: certain,
            probability: Some(probability),
        });
    }
    let judge = |real: &Numbers, thresholds: &Thresholds| {
        let p = real.probability(uncertainty / 2.0);
        let reached = limits.at_upper == AtUpper::Reached
            && real.upper.is_some()
            && exact.upper == Some(exact.value);
        let verdict = match p {
            p if p >= thresholds.pass && !reached => Verdict::Pass,
            p if p >= thresholds.even && !reached => Verdict::PassInDoubt,
            p if p > thresholds.fail => Verdict::FailInDoubt,
            _ => Verdict::Fail,
        };
        (verdict, p)
    };
    let lower = limits.thresholds;
    let upper = limits.upper_thresholds.unwrap_or(lower);
    let below = Numbers {
        upper: None,
        ..*real
    };
    let above = Numbers {
        lower: None,
        ..*real
    };
    let (verdict, p) = match (real.lower, real.upper) {
        (Some(_), Some(_)) if lower != upper => {
            let (low, high) = (judge(&below, &lower), judge(&above, &upper));
            (Verdict::worst([low.0, high.0]), low.1.min(high.1))
        }
        (None, _) => judge(real, &upper),
        _ => judge(real, &lower),
    };
    Ok(Conformity {
        verdict,
        probability: Some(p),
    })
}

#[cfg(test)]
mod tests;
