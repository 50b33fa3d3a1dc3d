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
pub use method::{METHOD, derivation};

/// From which probability of conformity on which verdict holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// At or above: pass.
    pub pass: f64,
    /// At or above: pass in doubt.
    pub even: f64,
    /// Above: fail in doubt; at or below: fail.
    pub fail: f64,
}

impl Default for Thresholds {
    /// 0.95, 0.50, 0.05: the default of ISO 14253-1:2017.
    fn default() -> Self {
        Self {
            pass: 0.95,
            even: 0.50,
            fail: 0.05,
        }
    }
}

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
/// `p ≥ 0.95` pass, `≥ 0.50` pass in doubt, `> 0.05` fail in doubt, else fail (thresholds settable per
/// limit). `U = 0`: the stored integers (nm) decide. `U` unknown (`None`): the integers decide, at best in
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

/// One-sided factor on u of the guard band that goes with a conformance probability of 95 %.
///
/// Source: `guard_factor_95` of `shared/reference/conformity.toml`.
pub const GUARD_FACTOR_95: f64 = 1.644_853_626_951_472_2;

/// The zones that a guard band cuts: values inside the acceptance limits pass, those beyond the rejection limits fail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuardBand {
    /// Width of the band, `1.6449 u`.
    pub width: f64,
    /// Smallest value that is accepted; none without a lower limit.
    pub acceptance_lower: Option<f64>,
    /// Largest value that is accepted.
    pub acceptance_upper: Option<f64>,
    /// Values below this are rejected.
    pub rejection_lower: Option<f64>,
    /// Values above this are rejected.
    pub rejection_upper: Option<f64>,
}

impl GuardBand {
    /// Whether any value at all can be accepted; not where the uncertainty is large against the tolerance.
    pub fn accepts_any(&self) -> bool {
        match (self.acceptance_lower, self.acceptance_upper) {
            (Some(lower), Some(upper)) => lower <= upper,
            _ => true,
        }
    }
}

/// Guard band of a tolerance, in whatever unit all three are: `g = 1.6449 U/2`, accepted from `TL + g` to `TU − g`,
/// rejected below `TL − g` and above `TU + g`.
///
/// Against one limit this is the rule `p ≥ 0.95` of [`conformity`] itself; where both limits are near, the other limit
/// takes probability too and [`conformity`] is a little stricter.
/// Source: JCGM 106:2012, guarded acceptance (memory); `shared/reference/conformity.toml`, rules.
pub fn guard_band(lower: Option<f64>, upper: Option<f64>, expanded_uncertainty: f64) -> GuardBand {
    let width = GUARD_FACTOR_95 * expanded_uncertainty / 2.0;
    GuardBand {
        width,
        acceptance_lower: lower.map(|lower| lower + width),
        acceptance_upper: upper.map(|upper| upper - width),
        rejection_lower: lower.map(|lower| lower - width),
        rejection_upper: upper.map(|upper| upper + width),
    }
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
) -> Result<Conformity, CalcError> {
    let numbers = Numbers {
        value,
        lower,
        upper,
    };
    decide(&numbers, &numbers, &Limits::default(), expanded_uncertainty)
}

/// A value and its limits as plain numbers of one unit.
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
        // Q(d) = 1 − Φ(d/u): the probability beyond a limit at distance d.
        let beyond = |distance: f64| {
            0.5 * libm::erfc(distance / standard_uncertainty / std::f64::consts::SQRT_2)
        };
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
    let p = real.probability(uncertainty / 2.0);
    let reached = limits.at_upper == AtUpper::Reached && exact.upper == Some(exact.value);
    let Thresholds { pass, even, fail } = limits.thresholds;
    let verdict = match p {
        p if p >= pass => Verdict::Pass,
        p if p >= even && !reached => Verdict::PassInDoubt,
        p if p > fail => Verdict::FailInDoubt,
        _ => Verdict::Fail,
    };
    Ok(Conformity {
        verdict,
        probability: Some(p),
    })
}

#[cfg(test)]
mod tests;
