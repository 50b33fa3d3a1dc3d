//! What a verdict would be if the gauge behind it had read rightly: the question after a gauge is found out.
//!
//! `corrected = reading − error`, with `error = indication − reference` (JCGM 200:2012, 2.16 and 2.53, memory). The
//! error was found at the end of the time in question; when it began nobody knows, so that the truth may lie anywhere
//! between the value as recorded and the value fully corrected. Both are judged, neither replaces the other.

use crate::conformity::{Conformity, Limits, Verdict, conformity};
use crate::error::CalcError;
use crate::quantity::Length;

/// How a signed verdict stands once its value is fully corrected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Change {
    /// It stands, beyond doubt.
    Stands,
    /// It stands, but in doubt.
    InDoubt,
    /// What was accepted would have failed.
    NowFails,
    /// What was refused would have passed.
    NowPasses,
}

impl Change {
    /// In words, for a table.
    pub fn words(self) -> &'static str {
        match self {
            Self::Stands => "stands",
            Self::InDoubt => "stands, in doubt",
            Self::NowFails => "changes: would fail",
            Self::NowPasses => "changes: would pass",
        }
    }

    /// True where what was decided on the verdict has to be looked at again.
    pub fn is_changed(self) -> bool {
        matches!(self, Self::NowFails | Self::NowPasses)
    }
}

/// A value fully corrected, with what would have been said of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corrected {
    /// The value.
    pub value: Length,
    /// Its conformity, by its size and uncertainty alone.
    pub conformity: Conformity,
    /// How the signed verdict stands.
    pub change: Change,
}

/// The value without the error of its gauge: `corrected = reading − error`.
pub fn without_error(reading: Length, error: Length) -> Length {
    reading - error
}

/// Judges a value by the limits of its day as if `error` had not been in it.
///
/// The uncertainty of the day is kept: what is known of the error comes from one calibration and is no better.
///
/// # Errors
/// As [`conformity`].
pub fn judge(
    reading: Length,
    error: Length,
    limits: &Limits,
    expanded_uncertainty: Option<Length>,
    signed: Verdict,
) -> Result<Corrected, CalcError> {
    let value = without_error(reading, error);
    let conformity = conformity(value, limits, expanded_uncertainty)?;
    Ok(Corrected {
        value,
        conformity,
        change: change(signed, conformity.verdict),
    })
}

/// What stands between a signed verdict and the one of the corrected value.
pub fn change(signed: Verdict, corrected: Verdict) -> Change {
    let is_accepted = |verdict| matches!(verdict, Verdict::Pass | Verdict::PassInDoubt);
    match (is_accepted(signed), is_accepted(corrected)) {
        (true, false) => Change::NowFails,
        (false, true) => Change::NowPasses,
        _ if corrected.is_in_doubt() => Change::InDoubt,
        _ => Change::Stands,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{nanometres, to_nanometres};

    /// Neck sizes of the demo plant (invented): limit 479.660 mm, U 0.008 mm, error +0.024 mm.
    #[test]
    fn a_corrected_value_is_judged_by_the_limits_of_its_day() {
        for (read_um, corrected_um, verdict, change) in [
            (479_702, 479_678, Verdict::Pass, Change::Stands),
            (479_676, 479_652, Verdict::Fail, Change::NowFails),
            (479_690, 479_666, Verdict::PassInDoubt, Change::InDoubt),
            (479_681, 479_657, Verdict::FailInDoubt, Change::NowFails),
        ] {
            let um = |um: i64| nanometres(um * 1_000);
            let limits = Limits::at_least(um(479_660));
            let found = judge(
                um(read_um),
                um(24),
                &limits,
                Some(um(8)),
                Verdict::PassInDoubt,
            );
            let found = found.unwrap();
            assert_eq!(to_nanometres(found.value), corrected_um * 1_000);
            assert_eq!(
                (found.conformity.verdict, found.change),
                (verdict, change),
                "{read_um}"
            );
        }
    }

    #[test]
    fn a_refusal_that_would_have_passed_is_named_too() {
        assert_eq!(change(Verdict::Fail, Verdict::Pass), Change::NowPasses);
        assert_eq!(change(Verdict::Fail, Verdict::FailInDoubt), Change::InDoubt);
        assert_eq!(change(Verdict::Fail, Verdict::Fail), Change::Stands);
        assert!(Change::NowPasses.is_changed() && !Change::InDoubt.is_changed());
    }
}
