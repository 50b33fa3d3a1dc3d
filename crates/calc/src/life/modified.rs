//! Life modification factor a_ISO of radial bearings: lubrication, contamination and fatigue load limit.
//!
//! Formulas (31) to (36) and the estimate of the fatigue load limit of ISO 281:2007 from memory; that the three pieces
//! meet where they join is tested.

use super::{Element, FORCE_RANGE_N, positive_force};
use crate::{
    error::{CalcError, positive, within},
    quantity::{Force, Length, as_millimetres, as_newtons, newtons},
};

/// Mean diameter (mm) up to which the estimate of the fatigue load limit needs no size factor.
pub const MEAN_DIAMETER_LIMIT_MM: f64 = 100.0;
/// Largest a_ISO of the standard.
const FACTOR_MAX: f64 = 50.0;
/// Viscosity ratios of the formulas; above the end the end counts.
const KAPPA_RANGE: std::ops::RangeInclusive<f64> = 0.1..=4.0;

/// How a bearing is lubricated and how clean it runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lubrication {
    /// Viscosity ratio kappa: viscosity at running temperature over the one needed, 0.1 or more.
    pub kappa: f64,
    /// Contamination factor e_C: 1 extreme cleanliness, 0 very severe contamination.
    pub contamination: f64,
    /// Fatigue load limit C_u.
    pub fatigue_limit: Force,
}

/// Life modification factor a_ISO.
///
/// Rollers: `a = 0.1 [1 − (1.5859 − c/κ^m) (e_C C_u/P)^0.4]^−9.185` with c, m = 1.3993, 0.054381 for κ < 0.4;
/// 1.2348, 0.19087 for κ < 1; 1.2348, 0.071739 up to κ = 4.
/// Balls: `a = 0.1 [1 − (2.5671 − c/κ^m)^0.83 (e_C C_u/P)^(1/3)]^−9.3` with c = 2.2649, then 1.9987, and the same m.
/// At most 50; κ above 4 counts as 4. Range: κ from 0.1, e_C 0 to 1.
/// Source: ISO 281:2007, (31) to (36) (memory).
///
/// # Errors
/// `OutOfRange` or `NotFinite` for a load, kappa, contamination or fatigue limit.
pub fn life_modification(
    element: Element,
    load: Force,
    lubrication: &Lubrication,
) -> Result<f64, CalcError> {
    let load_n = positive_force("load", load)?;
    let limit_n = within(
        "fatigue_limit",
        as_newtons(lubrication.fatigue_limit),
        &FORCE_RANGE_N,
        "N",
    )?;
    let kappa = if lubrication.kappa > *KAPPA_RANGE.end() {
        *KAPPA_RANGE.end()
    } else {
        within("kappa", lubrication.kappa, &KAPPA_RANGE, "")?
    };
    let cleanliness = within("contamination", lubrication.contamination, &(0.0..=1.0), "")?;
    let (is_thin, m) = match kappa {
        k if k < 0.4 => (true, 0.054_381),
        k if k < 1.0 => (false, 0.190_87),
        _ => (false, 0.071_739),
    };
    let ratio = cleanliness.clamp(0.0, 1.0) * limit_n.max(0.0) / load_n;
    let film = |first: f64, thin: f64, thick: f64| {
        first - if is_thin { thin } else { thick } / libm::pow(kappa, m)
    };
    let (bracket, exponent) = match element {
        Element::Roller => (
            1.0 - film(1.5859, 1.3993, 1.2348) * libm::pow(ratio, 0.4),
            -9.185,
        ),
        Element::Ball => (
            1.0 - libm::pow(film(2.5671, 2.2649, 1.9987), 0.83) * libm::pow(ratio, 1.0 / 3.0),
            -9.3,
        ),
    };
    // At or below zero the power has no value: the load is so small that the largest factor holds.
    if bracket <= 0.0 {
        return Ok(FACTOR_MAX);
    }
    Ok((0.1 * libm::pow(bracket, exponent)).min(FACTOR_MAX))
}

/// Estimate of the fatigue load limit from the static rating, where the catalogue does not print it.
///
/// Rollers `C_u = C_0/8.2`, balls `C_0/22`; above a mean diameter of 100 mm times `(100/D_pw)^0.3` or `^0.5`.
/// Source: ISO 281:2007, annex B, simplified estimate (memory).
///
/// # Errors
/// `OutOfRange` or `NotFinite` for the rating or the diameter.
pub fn fatigue_load_limit(
    element: Element,
    static_rating: Force,
    mean_diameter: Length,
) -> Result<Force, CalcError> {
    let rating_n = positive_force("static_rating", static_rating)?;
    let diameter_mm = as_millimetres(positive("mean_diameter", mean_diameter)?);
    let (divisor, exponent) = match element {
        Element::Roller => (8.2, 0.3),
        Element::Ball => (22.0, 0.5),
    };
    let size = libm::pow((MEAN_DIAMETER_LIMIT_MM / diameter_mm).min(1.0), exponent);
    Ok(newtons(rating_n / divisor * size))
}
