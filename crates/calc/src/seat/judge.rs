//! The criteria of a seat beside its size limits: mean, ovality and taper against the limits of the type.

use super::Geometry;
use crate::{
    conformity::{Conformity, Limits, conformity},
    error::CalcError,
    quantity::Length,
};

/// What the bearing type says about a seat; `None`: not limited.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SeatLimits {
    /// Limits of every two-point size.
    pub size: Option<Limits>,
    /// Limits of the mean of all sizes.
    pub mean: Option<Limits>,
    /// Limits of the ovality in one plane.
    pub ovality: Option<Limits>,
    /// Limits of the taper.
    pub taper: Option<Limits>,
}

/// One criterion of a seat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeatCriterion {
    /// Smallest two-point size.
    SmallestSize,
    /// Largest two-point size.
    LargestSize,
    /// Mean of all sizes.
    Mean,
    /// Ovality of a plane, counted from 0.
    Ovality {
        /// The plane, counted from 0.
        plane: usize,
    },
    /// Difference of the means of first and last plane.
    Taper,
}

/// A criterion with its value, limits and verdict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeatCheck {
    /// Which criterion.
    pub criterion: SeatCriterion,
    /// The value found, at 20 °C.
    pub value: Length,
    /// Its limits.
    pub limits: Limits,
    /// What follows.
    pub conformity: Conformity,
}

/// Judges each limited criterion of a seat with the uncertainty as given for all of them.
///
/// Formulas and sources: [`conformity`]; the limits are the type's own (drawing or plant).
///
/// # Errors
/// Those of [`conformity`].
pub fn judge(
    geometry: &Geometry,
    limits: &SeatLimits,
    expanded_uncertainty: Option<Length>,
) -> Result<Vec<SeatCheck>, CalcError> {
    let check = |criterion, value, limits: Option<Limits>| {
        limits.map(|limits| {
            let conformity = conformity(value, &limits, expanded_uncertainty)?;
            Ok(SeatCheck {
                criterion,
                value,
                limits,
                conformity,
            })
        })
    };
    let fixed = [
        check(SeatCriterion::SmallestSize, geometry.min, limits.size),
        check(SeatCriterion::LargestSize, geometry.max, limits.size),
        check(SeatCriterion::Mean, geometry.mean, limits.mean),
    ];
    let ovality = geometry
        .ovality
        .iter()
        .enumerate()
        .map(|(plane, &value)| check(SeatCriterion::Ovality { plane }, value, limits.ovality));
    let taper = check(SeatCriterion::Taper, geometry.taper, limits.taper);
    fixed
        .into_iter()
        .chain(ovality)
        .chain([taper])
        .flatten()
        .collect()
}
