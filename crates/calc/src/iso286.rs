//! ISO 286 limit deviations of holes and shafts, 0 < size <= 3150 mm, from the tables in `shared/reference`.
//!
//! The tables are normative, not the formulas behind them. Sources stand in the tables themselves; where
//! open sources disagree, `iso286_disagreements.toml` says what was kept.

mod class;
mod method;
mod tables;

pub use method::METHOD;

use crate::{
    error::{CalcError, finite},
    quantity::{Length, as_micrometres, nanometres},
};
use class::{Class, Side};
use tables::tables;

/// Limit deviations from the nominal size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deviations {
    /// Lower limit deviation (EI, ei).
    pub lower: Length,
    /// Upper limit deviation (ES, es).
    pub upper: Length,
}

impl Deviations {
    /// The tolerance: upper minus lower.
    pub fn grade(&self) -> Length {
        self.upper - self.lower
    }
}

/// Whether a class is one of holes (capital letters); `None` if it is no class at all.
pub fn is_hole_class(class: &str) -> Option<bool> {
    Class::parse(class).map(|class| class.side == Side::Hole)
}

/// Limit deviations of a tolerance class such as `H7` or `f6` at a nominal size.
///
/// Shafts: `es` (d to h) or `ei` (j to s) from the table, `js` symmetric; the other deviation by the grade.
/// Holes: `EI = -es` (D to H); `ES = -ei + Δ` by the rules and the Δ table of `iso286_hole_rules.toml`, JS
/// symmetric, J6 to J8 as tabulated. Odd grades of js and JS are halved exactly.
/// Range: 0 < size <= 3150 mm, a border size belongs to the lower range; grades 3 to 11 (j5 to j7 only); shafts d e f g h
/// js j k m n p r s, holes D E F G H JS J K M N P R S. Source: ISO 286-1:2010, Tables 1 to 5 (memory),
/// checked against the sources named in the tables.
///
/// # Errors
/// `OutOfRange` for the size, `UndefinedClass` with the classes that are defined there, `NotFinite`.
pub fn tolerance(nominal: Length, class: &str) -> Result<Deviations, CalcError> {
    let nominal_um = as_micrometres(finite("nominal", nominal)?);
    let size = tables()
        .at(nominal_um)
        .ok_or_else(|| CalcError::OutOfRange {
            input: "nominal".to_owned(),
            value: nominal_um / 1_000.0,
            unit: "mm",
            allowed: "above 0 up to 3150".to_owned(),
        })?;
    let limits = Class::parse(class).and_then(|class| class.limits_nm(&size));
    let (lower, upper) = limits.ok_or_else(|| CalcError::UndefinedClass {
        input: "class".to_owned(),
        class: class.to_owned(),
        defined: class::defined_at(&size),
    })?;
    Ok(Deviations {
        lower: nanometres(lower),
        upper: nanometres(upper),
    })
}

#[cfg(test)]
mod tests;
