//! The fit of a hole and a shaft of one nominal size.

mod method;
pub use method::METHOD;
pub(crate) use method::{NOMINAL_MM, deviations, said};

use crate::{
    error::{CalcError, contradiction, finite},
    iso286::Deviations,
    quantity::{Length, micrometres},
};

/// Kind of a fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FitKind {
    /// Never tight: smallest clearance zero or more.
    Clearance,
    /// Clearance or interference, depending on the actual sizes.
    Transition,
    /// Never loose: largest clearance zero or less.
    Interference,
}

impl FitKind {
    /// The name in files.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Clearance => "clearance",
            Self::Transition => "transition",
            Self::Interference => "interference",
        }
    }
}

/// A fit with its extreme clearances, diametral; negative = interference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Kind of the fit.
    pub kind: FitKind,
    /// Smallest clearance.
    pub clearance_min: Length,
    /// Largest clearance.
    pub clearance_max: Length,
}

/// Fit of a hole and a shaft from their limit deviations to one nominal size.
///
/// `clearance_min = EI − es`, `clearance_max = ES − ei`; clearance if min >= 0, else interference if
/// max <= 0, else transition. Measured sizes enter as deviations with lower = upper.
/// Source: definitions of ISO 286-1:2010, clause 3 (memory).
///
/// # Errors
/// `Contradiction` for a lower deviation above the upper one, `NotFinite`.
pub fn fit(hole: &Deviations, shaft: &Deviations) -> Result<Fit, CalcError> {
    for (part, deviations) in [("hole", hole), ("shaft", shaft)] {
        finite(&format!("{part}.lower"), deviations.lower)?;
        finite(&format!("{part}.upper"), deviations.upper)?;
        if deviations.lower > deviations.upper {
            return Err(contradiction(
                &format!("{part}.lower"),
                "the lower deviation is above the upper one",
            ));
        }
    }
    let zero = micrometres(0.0);
    let (clearance_min, clearance_max) = (hole.lower - shaft.upper, hole.upper - shaft.lower);
    let kind = if clearance_min >= zero {
        FitKind::Clearance
    } else if clearance_max <= zero {
        FitKind::Interference
    } else {
        FitKind::Transition
    };
    Ok(Fit {
        kind,
        clearance_min,
        clearance_max,
    })
}

#[cfg(test)]
mod tests;
