//! Heating a ring so that it slides on its neck: how warm, and whether that is allowed.
//!
//! Sources of the limits: `shared/reference/interference_rules.toml`, `[mounting_temperature]`, where each is seen.

use std::ops::RangeInclusive;

mod method;
pub use method::METHOD;

use crate::{
    conformity::Verdict,
    error::{CalcError, finite, not_negative, positive, within},
    quantity::{
        Length, TemperatureCoefficient, TemperatureInterval, ThermodynamicTemperature, as_celsius,
        as_kelvins, as_micrometres, as_per_kelvin, celsius, kelvins,
    },
};

/// No open bearing is heated above this, °C: its rings lose hardness. Source: SKF 17000/1 EN, mounting; Koyo CAT.
/// No. 203, p. A25.
pub const OPEN_BEARING_C_MAX: f64 = 120.0;
/// A capped bearing, filled with grease, not above this, °C. Source: SKF 17000/1 EN, mounting.
pub const CAPPED_BEARING_C_MAX: f64 = 80.0;
/// Oil of a heating bath, °C. Source: Koyo CAT. No. 203, p. A25; Timken Engineering Manual, p. 91, allows 121.
pub const OIL_BATH_C_MAX: f64 = 100.0;

/// Expansion of a ring material, 1/K; `12.5` typed for `12.5e-6`, or nothing at all, lies outside.
pub(crate) const EXPANSION_RANGE_PER_K: RangeInclusive<f64> = 1e-6..=1e-4;
/// Temperatures of a neck in a shop, °C.
pub(crate) const NECK_RANGE_C: RangeInclusive<f64> = -50.0..=200.0;
/// Limits that can be meant for a bearing ring, °C.
pub(crate) const LIMIT_RANGE_C: RangeInclusive<f64> = 0.0..=400.0;

/// A ring to be heated; interference and margin diametral, at one temperature of ring and neck.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heating {
    /// Bore of the ring.
    pub bore: Length,
    /// Interference on the neck, the largest that can be.
    pub interference: Length,
    /// Clearance wanted while it slides on.
    pub margin: Length,
    /// Temperature of the neck.
    pub neck: ThermodynamicTemperature,
    /// Expansion of the ring.
    pub expansion: TemperatureCoefficient,
    /// Highest temperature allowed for the ring.
    pub limit: ThermodynamicTemperature,
}

/// How warm the ring must be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Heated {
    /// How much warmer than the neck.
    pub rise: TemperatureInterval,
    /// The temperature of the ring.
    pub ring: ThermodynamicTemperature,
    /// Pass up to and at the limit, fail above it; to the stored millikelvin.
    pub verdict: Verdict,
}

/// Temperature at which a ring slides on its neck.
///
/// `ΔT = (interference + margin) / (α · bore)` over the neck, `T = T_neck + ΔT`. A loose ring is not heated: the
/// interference is zero or more. Range: α 1e-6 to 1e-4 1/K, neck −50 to 200 °C, limit 0 to 400 °C. Source:
/// `shared/reference/interference_rules.toml`, `[mounting_temperature]`, formula and cases; linear expansion.
///
/// # Errors
/// `OutOfRange`, `NotFinite`.
pub fn heating(ring: &Heating) -> Result<Heated, CalcError> {
    let bore_um = as_micrometres(positive("bore", ring.bore)?);
    not_negative("interference", ring.interference)?;
    not_negative("margin", ring.margin)?;
    let alpha = as_per_kelvin(ring.expansion);
    within("expansion", alpha, &EXPANSION_RANGE_PER_K, "1/K")?;
    let neck_c = within("neck", as_celsius(ring.neck), &range_c(&NECK_RANGE_C), "°C")?;
    let limit_c = as_celsius(ring.limit);
    within("limit", limit_c, &range_c(&LIMIT_RANGE_C), "°C")?;
    let wanted = finite("margin", ring.interference + ring.margin)?;
    let rise_k = as_micrometres(wanted) / (alpha * bore_um);
    let verdict = Verdict::pass_if(stored_mk(neck_c + rise_k) <= stored_mk(limit_c));
    Ok(Heated {
        rise: kelvins(rise_k),
        ring: celsius(neck_c + rise_k),
        verdict,
    })
}

/// The range with a breath for the way to kelvin and back.
fn range_c(range: &RangeInclusive<f64>) -> RangeInclusive<f64> {
    range.start() - 1e-9..=range.end() + 1e-9
}

/// Whole millikelvin, as temperatures are stored: a ring at its limit is at its limit.
fn stored_mk(value_c: f64) -> f64 {
    (value_c * 1_000.0).round()
}

/// How much wider the bore of a ring gets by a temperature over its neck: `α · bore · ΔT`, negative when colder.
///
/// The inverse of [`heating`]: what a temperature over the neck gives. Range and source as there.
///
/// # Errors
/// `OutOfRange`, `NotFinite`.
pub fn bore_growth(
    bore: Length,
    expansion: TemperatureCoefficient,
    rise: TemperatureInterval,
) -> Result<Length, CalcError> {
    positive("bore", bore)?;
    within(
        "expansion",
        as_per_kelvin(expansion),
        &EXPANSION_RANGE_PER_K,
        "1/K",
    )?;
    within("rise", as_kelvins(rise), &(-1e6..=1e6), "K")?;
    Ok(bore * as_per_kelvin(expansion) * as_kelvins(rise))
}

#[cfg(test)]
mod tests;
