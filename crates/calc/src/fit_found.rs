//! The fit found by measuring, against the fit designed: what it is now, and which part is at fault.

mod method;

pub use method::METHOD;

use crate::{
    error::{CalcError, missing, positive},
    fit::{Fit, fit},
    iso286::Deviations,
    quantity::{Length, nanometres, to_nanometres},
};

/// Hole or shaft as designed and as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct FitPart {
    /// Limit deviations as designed.
    pub designed: Deviations,
    /// Two-point sizes at 20 °C in any order; empty where the part was not measured.
    pub sizes: Vec<Length>,
}

/// How far the sizes of a part lie outside its own limits; zero is inside.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Excess {
    /// How far the smallest size lies below the lower limit.
    pub below: Length,
    /// How far the largest size lies above the upper limit.
    pub above: Length,
}

impl Excess {
    /// Whether no size lies outside.
    pub fn is_inside(&self) -> bool {
        to_nanometres(self.below) == 0 && to_nanometres(self.above) == 0
    }
}

/// Which part lies outside its own limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AtFault {
    /// Neither, as far as measured.
    None,
    /// The hole.
    Hole,
    /// The shaft.
    Shaft,
    /// Hole and shaft.
    Both,
}

impl AtFault {
    /// The name in files.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Hole => "hole",
            Self::Shaft => "shaft",
            Self::Both => "both",
        }
    }
}

/// A fit found, beside the one designed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoundFit {
    /// As found: measured sizes where there are any, tolerance limits where there are none.
    pub found: Fit,
    /// As designed: both tolerance limits.
    pub designed: Fit,
    /// Deviations that stand for the hole in the fit found.
    pub hole: Deviations,
    /// Deviations that stand for the shaft in the fit found.
    pub shaft: Deviations,
    /// How far the hole is out of its limits; `None` if not measured.
    pub hole_excess: Option<Excess>,
    /// How far the shaft is out of its limits; `None` if not measured.
    pub shaft_excess: Option<Excess>,
}

impl FoundFit {
    /// Whether both clearances found lie inside those designed.
    pub fn is_as_designed(&self) -> bool {
        to_nanometres(self.found.clearance_min) >= to_nanometres(self.designed.clearance_min)
            && to_nanometres(self.found.clearance_max) <= to_nanometres(self.designed.clearance_max)
    }

    /// Which measured part lies outside its own limits. A part can be out while the fit is still as designed: the
    /// other part makes up for it.
    pub fn at_fault(&self) -> AtFault {
        let is_out = |excess: Option<Excess>| excess.is_some_and(|excess| !excess.is_inside());
        match (is_out(self.hole_excess), is_out(self.shaft_excess)) {
            (false, false) => AtFault::None,
            (true, false) => AtFault::Hole,
            (false, true) => AtFault::Shaft,
            (true, true) => AtFault::Both,
        }
    }
}

/// The fit found against the fit designed.
///
/// Smallest and largest measured size of a part take the place of its limits; [`fit`] gives kind and clearances of
/// both. A part is at fault by what its sizes exceed its own limits. Compared in whole nanometres; sizes on a limit
/// are inside. Source: definitions of ISO 286-1:2010, clause 3 (memory).
///
/// # Errors
/// `Missing` where neither part was measured; `OutOfRange` or `NotFinite` for a size; those of [`fit`].
pub fn fit_found(nominal: Length, hole: &FitPart, shaft: &FitPart) -> Result<FoundFit, CalcError> {
    positive("nominal", nominal)?;
    if hole.sizes.is_empty() && shaft.sizes.is_empty() {
        return Err(missing(
            "hole_sizes",
            "sizes of the hole, of the shaft or of both",
        ));
    }
    let designed = fit(&hole.designed, &shaft.designed)?;
    let hole_found = measured("hole_sizes", nominal, &hole.sizes)?;
    let shaft_found = measured("shaft_sizes", nominal, &shaft.sizes)?;
    let hole_now = hole_found.unwrap_or(hole.designed);
    let shaft_now = shaft_found.unwrap_or(shaft.designed);
    Ok(FoundFit {
        found: fit(&hole_now, &shaft_now)?,
        designed,
        hole: hole_now,
        shaft: shaft_now,
        hole_excess: hole_found.map(|found| excess(&found, &hole.designed)),
        shaft_excess: shaft_found.map(|found| excess(&found, &shaft.designed)),
    })
}

/// Smallest and largest size as deviations from the nominal size; `None` for no sizes.
fn measured(
    input: &str,
    nominal: Length,
    sizes: &[Length],
) -> Result<Option<Deviations>, CalcError> {
    let mut deviations_nm = Vec::with_capacity(sizes.len());
    for (place, &size) in sizes.iter().enumerate() {
        positive(&format!("{input}[{place}]"), size)?;
        deviations_nm.push(to_nanometres(size) - to_nanometres(nominal));
    }
    let ends = deviations_nm.iter().min().zip(deviations_nm.iter().max());
    Ok(ends.map(|(&lower, &upper)| Deviations {
        lower: nanometres(lower),
        upper: nanometres(upper),
    }))
}

fn excess(found: &Deviations, designed: &Deviations) -> Excess {
    let over = |a: Length, b: Length| nanometres((to_nanometres(a) - to_nanometres(b)).max(0));
    Excess {
        below: over(designed.lower, found.lower),
        above: over(found.upper, designed.upper),
    }
}

#[cfg(test)]
mod tests;
