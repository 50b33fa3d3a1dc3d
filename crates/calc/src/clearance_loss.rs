//! Radial clearance that is left of a bearing once mounted and warm.
//!
//! Both rings and seats of steel, interference shared as Lamé says. Sources: NTN CAT. No. 2203/E, tables 8.3, 8.5 and
//! eq. (8.4), as in `shared/reference/clearance_reduction.csv`; temperature: Schaeffler HR 1, p. 98, as in
//! `shared/reference/thermal_expansion.toml`.

use std::ops::RangeInclusive;

pub(crate) mod input;
mod method;
pub use method::METHOD;

use crate::{
    error::{
        CalcError, contradiction, finite, missing, not_negative, out_of_range_mm, positive, within,
    },
    quantity::{
        Length, TemperatureCoefficient, TemperatureInterval, as_kelvins, as_micrometres,
        as_per_kelvin, micrometres,
    },
};

/// Expansion of steel for this purpose, 1/K. Source: Schaeffler HR 1, p. 98.
pub const STEEL_PER_K: f64 = 11e-6;
/// Share of the ring height that the inner ring takes up to its mean outside diameter, cylindrical roller bearings;
/// most others 0.3. Source: SKF, Rolling bearings, 17000/1 EN, p. 146.
pub const INNER_HEIGHT_SHARE: f64 = 0.25;
/// Rule of thumb for the loss by a tight inner ring on a solid steel shaft, as share of the interference. Source: Timken
/// Engineering Manual, p. 83; for the thin rings of large bearings too small, see [`clearance_loss`].
pub const INNER_RULE: f64 = 0.80;
/// The same for a tight outer ring in a housing of steel or cast iron. Source: as above.
pub const OUTER_RULE: f64 = 0.60;

/// Expansion of any bearing material, 1/K.
pub(crate) const EXPANSION_RANGE_PER_K: RangeInclusive<f64> = 1e-6..=1e-4;
/// How much warmer the inner ring can be than the outer, K.
pub(crate) const WARMER_RANGE_K: RangeInclusive<f64> = -200.0..=200.0;

/// A bearing on its neck and in its chock. Clearance and interferences are diametral; zero or less = loose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mounting {
    /// Radial internal clearance before mounting.
    pub clearance: Length,
    /// Bore, d.
    pub bore: Length,
    /// Outside diameter, D.
    pub outside: Length,
    /// Effective raceway diameter of the inner ring, F; none = estimated.
    pub inner_raceway: Option<Length>,
    /// Effective raceway diameter of the outer ring, E; needed where it has interference.
    pub outer_raceway: Option<Length>,
    /// Bore of the shaft; zero = solid.
    pub shaft_bore: Length,
    /// Outside diameter of the housing; none = thick.
    pub housing_outside: Option<Length>,
    /// Effective interference of the inner ring on its seat.
    pub interference_inner: Length,
    /// Effective interference of the outer ring in its seat.
    pub interference_outer: Length,
    /// How much warmer the inner ring is than the outer.
    pub inner_warmer: TemperatureInterval,
    /// Expansion of the rings.
    pub expansion: TemperatureCoefficient,
}

/// What is left, and what took the rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Residual {
    /// Clearance that is left; negative = preload.
    pub clearance: Length,
    /// Loss by the inner ring.
    pub loss_inner: Length,
    /// Loss by the outer ring.
    pub loss_outer: Length,
    /// Loss by the difference of temperature; negative = gain.
    pub loss_temperature: Length,
    /// Share of the interference by which the inner raceway grows.
    pub share_inner: f64,
    /// Share of the interference by which the outer raceway shrinks; zero for a loose ring.
    pub share_outer: f64,
}

/// Clearance left after mounting and warming up.
///
/// `residual = clearance − λ_i I_i − λ_o I_o − α (d + D)/2 ΔT`, shares λ by [`inner_share`] and [`outer_share`]; an
/// interference of zero or less takes nothing. The inner raceway, where not given, is estimated as `d + 0.25 (D − d)`.
/// Published rules disagree: 80 % of the interference (Timken) or 70 to 90 % (NTN eq. (8.2)) for any bearing, while the
/// share of large thin rings is up to 91 %; the formula is used, the rule only shown beside it. For temperature NTN
/// takes the outer raceway and 12.5e-6, about a quarter more than Schaeffler, whose whole formula was seen.
/// Source: module.
///
/// # Errors
/// `OutOfRange`, `NotFinite`; `Missing` for the outer raceway of a tight outer ring; `Contradiction` for diameters that
/// do not follow shaft bore < bore < F, E < outside < housing.
pub fn clearance_loss(mounting: &Mounting) -> Result<Residual, CalcError> {
    finite("clearance", mounting.clearance)?;
    positive("bore", mounting.bore)?;
    positive("outside", mounting.outside)?;
    let (inner, outer) = (mounting.interference_inner, mounting.interference_outer);
    let (inner_um, outer_um) = (
        as_micrometres(finite("interference_inner", inner)?).max(0.0),
        as_micrometres(finite("interference_outer", outer)?).max(0.0),
    );
    if mounting.outside <= mounting.bore {
        return Err(contradiction("outside", "not above the bore"));
    }
    let raceway = match mounting.inner_raceway {
        Some(raceway) => raceway,
        None => estimated_inner_raceway(mounting.bore, mounting.outside, INNER_HEIGHT_SHARE)?,
    };
    if raceway >= mounting.outside {
        return Err(contradiction(
            "inner_raceway",
            "not below the outside diameter",
        ));
    }
    let share_inner = inner_share(mounting.bore, raceway, mounting.shaft_bore)?;
    let share_outer = match mounting.outer_raceway {
        Some(raceway) if raceway <= mounting.bore => {
            return Err(contradiction("outer_raceway", "not above the bore"));
        }
        Some(raceway) => outer_share(mounting.outside, raceway, mounting.housing_outside)?,
        None if outer_um > 0.0 => {
            return Err(missing("outer_raceway", "the outer ring has interference"));
        }
        None => 0.0,
    };
    let loss_inner = micrometres(share_inner * inner_um);
    let loss_outer = micrometres(share_outer * outer_um);
    let loss_temperature = temperature_loss(mounting)?;
    Ok(Residual {
        clearance: mounting.clearance - loss_inner - loss_outer - loss_temperature,
        loss_inner,
        loss_outer,
        loss_temperature,
        share_inner,
        share_outer: if outer_um > 0.0 { share_outer } else { 0.0 },
    })
}

/// Mean outside diameter of an inner ring whose raceway is not known: `d + k (D − d)`, k see [`INNER_HEIGHT_SHARE`].
///
/// # Errors
/// `OutOfRange` for sizes of zero or less or k outside 0 to 1, `NotFinite`.
pub fn estimated_inner_raceway(
    bore: Length,
    outside: Length,
    height_share: f64,
) -> Result<Length, CalcError> {
    positive("bore", bore)?;
    positive("outside", outside)?;
    within("height_share", height_share, &(0.0..=1.0), "")?;
    Ok(bore + (outside - bore) * height_share)
}

/// Share of the interference by which the raceway of an inner ring grows.
///
/// `λ_i = (d/F) [1 − (d_s/d)²] / [1 − (d_s/d)² (d/F)²]`, `d/F` on a solid shaft. Source: module.
///
/// # Errors
/// `OutOfRange`, `NotFinite`; `Contradiction` for a raceway not above the bore.
pub fn inner_share(bore: Length, raceway: Length, shaft_bore: Length) -> Result<f64, CalcError> {
    let d = as_micrometres(positive("bore", bore)?);
    let raceway_um = as_micrometres(positive("inner_raceway", raceway)?);
    let hollow = as_micrometres(not_negative("shaft_bore", shaft_bore)?) / d;
    if raceway_um <= d {
        return Err(contradiction("inner_raceway", "not above the bore"));
    }
    if hollow >= 1.0 {
        return Err(out_of_range_mm(
            "shaft_bore",
            shaft_bore,
            "0 up to below the bore of the bearing",
        ));
    }
    let ratio = d / raceway_um;
    let hollow = hollow * hollow;
    Ok(ratio * (1.0 - hollow) / (1.0 - hollow * ratio * ratio))
}

/// Share of the interference by which the raceway of an outer ring shrinks.
///
/// `λ_o = (E/D) [1 − (D/D_h)²] / [1 − (E/D)² (D/D_h)²]`, `E/D` in a thick housing. Source: module.
///
/// # Errors
/// `OutOfRange`, `NotFinite`; `Contradiction` for a raceway not below the outside diameter or a housing not above it.
pub fn outer_share(
    outside: Length,
    raceway: Length,
    housing_outside: Option<Length>,
) -> Result<f64, CalcError> {
    let outside_um = as_micrometres(positive("outside", outside)?);
    let raceway_um = as_micrometres(positive("outer_raceway", raceway)?);
    if raceway_um >= outside_um {
        return Err(contradiction(
            "outer_raceway",
            "not below the outside diameter",
        ));
    }
    let ratio = raceway_um / outside_um;
    let Some(housing) = housing_outside else {
        return Ok(ratio);
    };
    let thin = outside_um / as_micrometres(positive("housing_outside", housing)?);
    if thin >= 1.0 {
        return Err(contradiction(
            "housing_outside",
            "not above the outside diameter",
        ));
    }
    let thin = thin * thin;
    Ok(ratio * (1.0 - thin) / (1.0 - ratio * ratio * thin))
}

/// `α (d + D)/2 ΔT`.
fn temperature_loss(mounting: &Mounting) -> Result<Length, CalcError> {
    let alpha = as_per_kelvin(mounting.expansion);
    within("expansion", alpha, &EXPANSION_RANGE_PER_K, "1/K")?;
    let warmer_k = as_kelvins(mounting.inner_warmer);
    within("inner_warmer", warmer_k, &WARMER_RANGE_K, "K")?;
    Ok((mounting.bore + mounting.outside) / 2.0 * alpha * warmer_k)
}

#[cfg(test)]
mod tests;
