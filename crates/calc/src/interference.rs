//! Interference that an inner ring needs on its seat, so that it does not creep under load and warmth.
//!
//! Source: NTN CAT. No. 2203/E, 7.3, eq. (7.1) to (7.3), and NSK Rolling Bearings, eq. (9.4), (9.5), as in
//! `shared/reference/interference_rules.toml`.

use std::ops::RangeInclusive;

mod method;
pub use method::METHOD;

use crate::{
    error::{CalcError, finite, not_negative, positive, within},
    quantity::{
        Force, Length, TemperatureInterval, as_kelvins, as_micrometres, as_millimetres, as_newtons,
        micrometres,
    },
};

/// Above this share of the static rating a load counts as heavy. Source: module, eq. (7.1), (7.2).
pub const HEAVY_SHARE: f64 = 0.3;
/// Kept below this share of the shaft diameter by a second source. Source: NSK Rolling Bearings, p. A83; the other is
/// [`INTERFERENCE_RATIO_MAX`](crate::press_fit::INTERFERENCE_RATIO_MAX).
pub const CAREFUL_RATIO_MAX: f64 = 0.000_7;

/// Loads of any bearing, N.
pub(crate) const LOAD_RANGE_N: RangeInclusive<f64> = 0.0..=1e9;
/// Differences of temperature between ring and surroundings, K.
pub(crate) const DIFFERENCE_RANGE_K: RangeInclusive<f64> = 0.0..=300.0;

/// Whether a load is heavy for a bearing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Load {
    /// Up to 0.3 of the static rating.
    Normal,
    /// Above it.
    Heavy,
}

impl Load {
    /// The load beside the static rating.
    pub fn of(load: Force, static_rating: Force) -> Self {
        if load > static_rating * HEAVY_SHARE {
            Self::Heavy
        } else {
            Self::Normal
        }
    }
}

/// Interference that a radial load takes away.
///
/// Normal `0.08 √(d F_r / B)`, heavy `0.02 F_r / B` (µm; mm, N). Source: module, eq. (7.1), (7.2).
///
/// # Errors
/// `OutOfRange`, `NotFinite`.
pub fn for_load(
    bore: Length,
    width: Length,
    radial_load: Force,
    load: Load,
) -> Result<Length, CalcError> {
    let d = as_millimetres(positive("bore", bore)?);
    let b = as_millimetres(positive("width", width)?);
    let load_n = within("load", as_newtons(radial_load), &LOAD_RANGE_N, "N")?;
    Ok(micrometres(match load {
        Load::Normal => 0.08 * (d * load_n / b).sqrt(),
        Load::Heavy => 0.02 * load_n / b,
    }))
}

/// Interference that warmth takes away: `0.0015 d ΔT` (µm; mm, K), ΔT between bearing and surroundings.
/// Source: module, eq. (7.3).
///
/// # Errors
/// `OutOfRange`, `NotFinite`.
pub fn for_temperature(bore: Length, warmer: TemperatureInterval) -> Result<Length, CalcError> {
    let d = as_millimetres(positive("bore", bore)?);
    let warmer_k = within("warmer", as_kelvins(warmer), &DIFFERENCE_RANGE_K, "K")?;
    Ok(micrometres(0.0015 * d * warmer_k))
}

/// How a seat is made: its peaks are smoothed when the ring goes on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seat {
    /// Ground: `effective = d/(d + 2) · apparent`, d in mm. Source: NSK Rolling Bearings, eq. (9.4) (formula memory).
    Ground,
    /// Turned: `effective = d/(d + 3) · apparent`. Source: eq. (9.5) (memory).
    Turned,
    /// Roughness of both seats known: `effective = apparent − 0.8 (Rz + Rz)`. Source: DIN 7190-1 (memory).
    Roughness {
        /// Rz of the shaft.
        shaft: Length,
        /// Rz of the bore.
        ring: Length,
    },
}

/// What of a measured, apparent interference is effective; never below zero.
///
/// # Errors
/// `OutOfRange`, `NotFinite`.
pub fn effective(bore: Length, apparent: Length, seat: &Seat) -> Result<Length, CalcError> {
    let smoothing = Smoothing::of(bore, seat)?;
    let apparent_um = as_micrometres(finite("interference", apparent)?);
    Ok(micrometres(
        (apparent_um * smoothing.factor - smoothing.lost_um).max(0.0),
    ))
}

/// What must be measured for an interference to be effective.
///
/// # Errors
/// `OutOfRange`, `NotFinite`.
pub fn apparent(bore: Length, effective: Length, seat: &Seat) -> Result<Length, CalcError> {
    let smoothing = Smoothing::of(bore, seat)?;
    let effective_um = as_micrometres(not_negative("interference", effective)?);
    Ok(micrometres(
        (effective_um + smoothing.lost_um) / smoothing.factor,
    ))
}

/// `effective = factor · apparent − lost`.
struct Smoothing {
    factor: f64,
    lost_um: f64,
}

impl Smoothing {
    fn of(bore: Length, seat: &Seat) -> Result<Self, CalcError> {
        let d = as_millimetres(positive("bore", bore)?);
        let by_factor = |lost: f64| Self {
            factor: d / (d + lost),
            lost_um: 0.0,
        };
        Ok(match seat {
            Seat::Ground => by_factor(2.0),
            Seat::Turned => by_factor(3.0),
            Seat::Roughness { shaft, ring } => {
                let peaks = not_negative("roughness_shaft", *shaft)?
                    + not_negative("roughness_ring", *ring)?;
                Self {
                    factor: 1.0,
                    lost_um: 0.8 * as_micrometres(peaks),
                }
            }
        })
    }
}

#[cfg(test)]
mod tests;
