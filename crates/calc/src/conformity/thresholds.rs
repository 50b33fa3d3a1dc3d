//! From which probability of conformity on which verdict holds, and the guard band that goes with it.

use std::ops::RangeInclusive;

use crate::error::{CalcError, within};

/// One-sided factor on u of the guard band that goes with a conformance probability of 95 %.
///
/// Source: `guard_factor_95` of `shared/reference/conformity.toml`.
pub const GUARD_FACTOR_95: f64 = 1.644_853_626_951_472_2;

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

impl Thresholds {
    /// The conformance probabilities that may be asked: below 0.5 what is likelier not to conform would pass.
    pub const ASKED: RangeInclusive<f64> = 0.5..=0.999;

    /// The rule where a conformance probability P is asked of a limit: `p ≥ P` pass, `≥ 0.50` pass in doubt,
    /// `> 1 − P` fail in doubt, else fail. P is 0.5 to 0.999, without unit; 0.95 is the default, to the last bit.
    ///
    /// With P = 0.5 there is no doubt left but that of a gauge: the value alone decides.
    /// Source: ISO 14253-1:2017, which takes 95 % where the parties agreed on no other probability (memory).
    ///
    /// # Errors
    /// `OutOfRange` outside that range, `NotFinite` for what is no number.
    pub fn asked(probability: f64) -> Result<Self, CalcError> {
        let (least, most) = (*Self::ASKED.start(), *Self::ASKED.end());
        let pass = within("asked", probability, &Self::ASKED, "")?.clamp(least, most);
        let usual = Self::default();
        let fail = if pass == usual.pass {
            usual.fail
        } else {
            1.0 - pass
        };
        Ok(Self {
            pass,
            fail,
            ..usual
        })
    }

    /// How many standard uncertainties a value lies inside a single limit where it just passes: `Φ(z) = P`.
    ///
    /// Found by halving on the tail of the normal distribution; 1.6449 for 0.95, 0 for 0.5.
    /// Source: JCGM 106:2012, guarded acceptance (memory); `shared/reference/conformity.toml`, guard factors.
    pub fn guard_factor(&self) -> f64 {
        if self.pass == Self::default().pass {
            return GUARD_FACTOR_95;
        }
        // Beyond 40 u the tail is zero in any number.
        let (mut low, mut high) = (0.0, 40.0);
        for _ in 0..100 {
            let middle = f64::midpoint(low, high);
            if 1.0 - beyond(middle) < self.pass {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }
}

/// `1 − Φ(z)`, with its digits far out.
pub(super) fn beyond(z: f64) -> f64 {
    0.5 * libm::erfc(z / std::f64::consts::SQRT_2)
}

/// The zones that a guard band cuts: values inside the acceptance limits pass, those beyond the rejection limits fail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GuardBand {
    /// Width of the band: factor times u.
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

/// Guard band of a tolerance, in whatever unit all three are: `g = z U/2` with the factor z of
/// [`Thresholds::guard_factor`], accepted from `TL + g` to `TU − g`, rejected below `TL − g` and above `TU + g`.
///
/// Against one limit this is the rule `p ≥ P` of [`super::conformity`] itself; where both limits are near, the other limit
/// takes probability too and [`super::conformity`] is a little stricter.
/// Source: JCGM 106:2012, guarded acceptance (memory); `shared/reference/conformity.toml`, rules.
pub fn guard_band(
    lower: Option<f64>,
    upper: Option<f64>,
    expanded_uncertainty: f64,
    thresholds: &Thresholds,
) -> GuardBand {
    let width = thresholds.guard_factor() * expanded_uncertainty / 2.0;
    GuardBand {
        width,
        acceptance_lower: lower.map(|lower| lower + width),
        acceptance_upper: upper.map(|upper| upper - width),
        rejection_lower: lower.map(|lower| lower - width),
        rejection_upper: upper.map(|upper| upper + width),
    }
}
