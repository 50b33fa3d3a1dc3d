//! How long grease lasts before it is replenished: the classic formula of general machinery, and what warmth takes.
//!
//! Sources as in `shared/reference/grease.toml`, `[interval]`: the formula from older handbooks (memory), the effect
//! of temperature from SKF 17000/1 EN (2018), p. 115, and NTN CAT. No. 2203/E, 11.3.3.

use std::ops::RangeInclusive;

mod method;
pub use method::METHOD;

use crate::{
    error::{CalcError, contradiction, positive, within},
    quantity::{
        AngularVelocity, Length, ThermodynamicTemperature, Time, as_celsius, as_hours,
        as_millimetres, as_revolutions_per_minute, hours,
    },
};

/// Longer than this no interval is to be relied upon, hours. Source: SKF 17000/1 EN (2018), p. 112.
pub const RELIABLE_HOURS_MAX: f64 = 30_000.0;
/// Up to this temperature the classic formula holds, °C. Source: older handbooks (memory).
pub const CLASSIC_C_MAX: f64 = 70.0;

/// Speeds of a bearing, 1/min.
pub(crate) const SPEED_RANGE_RPM: RangeInclusive<f64> = 0.1..=100_000.0;
/// Temperatures of running grease, °C.
pub(crate) const TEMPERATURE_RANGE_C: RangeInclusive<f64> = -50.0..=200.0;

/// Kind of rolling elements.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Elements {
    /// Balls.
    Ball,
    /// Cylindrical rollers and needles.
    Cylindrical,
    /// Tapered rollers.
    Tapered,
    /// Spherical rollers.
    Spherical,
}

impl Elements {
    /// All kinds.
    pub const ALL: [Self; 4] = [
        Self::Ball,
        Self::Cylindrical,
        Self::Tapered,
        Self::Spherical,
    ];

    /// The name in files.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Ball => "ball",
            Self::Cylindrical => "cylindrical",
            Self::Tapered => "tapered",
            Self::Spherical => "spherical",
        }
    }

    /// Factor k of the classic formula (memory).
    pub fn factor(self) -> f64 {
        match self {
            Self::Ball => 10.0,
            Self::Cylindrical => 5.0,
            Self::Tapered | Self::Spherical => 1.0,
        }
    }
}

/// Interval up to 70 °C: `t = k (14·10⁶ / (n √d) − 4 d)` hours, n in 1/min, d the bore in mm.
///
/// Clean and dry, horizontal shaft; a mill shop is neither clean nor dry. Source: older handbooks (memory).
///
/// # Errors
/// `OutOfRange`, `NotFinite`; `Contradiction` for a speed at which the formula gives nothing.
pub fn classic_interval(
    elements: Elements,
    bore: Length,
    speed: AngularVelocity,
) -> Result<Time, CalcError> {
    positive("bore", bore)?;
    let n = as_revolutions_per_minute(speed);
    // A breath for the way through radians per second.
    let range = SPEED_RANGE_RPM.start() * (1.0 - 1e-9)..=SPEED_RANGE_RPM.end() * (1.0 + 1e-9);
    within("speed", n, &range, "1/min")?;
    let d = as_millimetres(bore);
    let interval_h = elements.factor() * (14e6 / (n * d.sqrt()) - 4.0 * d);
    if interval_h <= 0.0 {
        return Err(contradiction(
            "speed",
            "too fast for this bore, the formula gives no interval",
        ));
    }
    Ok(hours(interval_h))
}

/// What warmth takes from an interval.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Warmth {
    /// Halved for every 15 K above 70 °C. Source: SKF 17000/1 EN (2018), p. 115; that an interval may be doubled once
    /// when colder is left out, to be on the safe side.
    HalvedEvery15Above70,
    /// Two thirds for every 10 K above 80 °C. Source: NTN CAT. No. 2203/E, 11.3.3.
    TwoThirdsEvery10Above80,
}

impl Warmth {
    /// The share of the interval that is left.
    ///
    /// # Errors
    /// `OutOfRange` outside −50 to 200 °C, `NotFinite`.
    pub fn share_left(self, temperature: ThermodynamicTemperature) -> Result<f64, CalcError> {
        let (left, every_k, above_c) = match self {
            Self::HalvedEvery15Above70 => (0.5, 15.0, CLASSIC_C_MAX),
            Self::TwoThirdsEvery10Above80 => (2.0 / 3.0, 10.0, 80.0),
        };
        let range = TEMPERATURE_RANGE_C.start() - 1e-9..=TEMPERATURE_RANGE_C.end() + 1e-9;
        let value_c = within("temperature", as_celsius(temperature), &range, "°C")?;
        Ok(libm::pow(left, (value_c - above_c).max(0.0) / every_k))
    }
}

/// Whether an interval is short enough to be relied upon, see [`RELIABLE_HOURS_MAX`].
pub fn is_reliable(interval: Time) -> bool {
    as_hours(interval) <= RELIABLE_HOURS_MAX
}

#[cfg(test)]
mod tests;
