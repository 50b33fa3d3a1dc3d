//! Rating life of a rolling bearing: ISO 281, with variable load, reliability, lubrication and contamination.
//!
//! Formulas and worked examples: `shared/reference/iso281.toml`; those of a_ISO from memory, see [`Lubrication`].

mod equivalent;
mod input;
mod method;
mod modified;
mod reliability;

pub use equivalent::{equivalent_load, thrust_load};
pub use method::METHOD;
pub use modified::{Lubrication, MEAN_DIAMETER_LIMIT_MM, fatigue_load_limit, life_modification};
pub use reliability::{Edition, reliability_factor};

use crate::{
    error::{CalcError, contradiction, missing, within},
    quantity::{
        AngularVelocity, Force, Time, as_hours, as_newtons, as_revolutions_per_minute, hours,
        newtons, revolutions_per_minute,
    },
};

/// Revolutions in a million.
const MILLION: f64 = 1e6;
/// Minutes in an hour.
const MINUTES_PER_HOUR: f64 = 60.0;
/// Loads and ratings that a shop can mean, N.
const FORCE_RANGE_N: std::ops::RangeInclusive<f64> = 0.0..=1e12;
/// Speeds that a shop can mean, 1/min.
const SPEED_RANGE_RPM: std::ops::RangeInclusive<f64> = 0.0..=1e6;
/// How far the shares of time may be off one: they are often typed with three decimals.
const SHARE_SLACK: f64 = 1e-3;

/// Kind of the rolling elements.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Element {
    /// Rollers of any form.
    Roller,
    /// Balls.
    Ball,
}

impl Element {
    /// Exponent of load and life: 10/3 for rollers, 3 for balls. Source: ISO 281, `iso281.toml`.
    pub fn exponent(self) -> f64 {
        match self {
            Self::Roller => 10.0 / 3.0,
            Self::Ball => 3.0,
        }
    }

    /// Slope of the Weibull distribution by which lives combine: 9/8 or 10/9. Source: NTN (3.3), `iso281.toml`.
    pub fn weibull_slope(self) -> f64 {
        match self {
            Self::Roller => 9.0 / 8.0,
            Self::Ball => 10.0 / 9.0,
        }
    }

    /// Exponent of the number of rows in the rating: 7/9 or 0.7. Source: ISO 281 (memory), `iso281.toml`.
    fn row_exponent(self) -> f64 {
        match self {
            Self::Roller => 7.0 / 9.0,
            Self::Ball => 0.7,
        }
    }
}

/// A part of the running: what load, how fast, for which share of the time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Running {
    /// Equivalent dynamic load.
    pub load: Force,
    /// Speed.
    pub speed: AngularVelocity,
    /// Share of the time, above 0 to 1.
    pub share: f64,
}

/// Basic rating life and the single load and speed that would give it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BasicLife {
    /// L10, million revolutions.
    pub million_revolutions: f64,
    /// L10h.
    pub hours: Time,
    /// Load that at the mean speed does the same damage.
    pub equivalent_load: Force,
    /// Mean speed over time.
    pub mean_speed: AngularVelocity,
}

/// Basic rating life under variable load.
///
/// `L10 = (C/P_m)^p` million revolutions; `P_m = (Σ P_i^p n_i φ_i / Σ n_i φ_i)^(1/p)`: a part of the running counts by
/// its revolutions, not by its time; `L10h = 10⁶ L10 / (60 Σ n_i φ_i)`, which is Miner's `1 / Σ (φ_i/L_i)`. Shares are
/// of the time; they add up to one within 0.001 and are then scaled to one.
/// Holds for `P ≤ 0.5 C` (ISO 281, memory): beyond it see [`is_within_validity`].
/// Source: ISO 281; NTN (3.4), (4.23), all in `iso281.toml`.
///
/// # Errors
/// `Missing` for no part, `OutOfRange` or `NotFinite` for a rating, load, speed or share, `Contradiction` for shares
/// that do not add up to one and for a spectrum in which nothing runs under load.
pub fn basic_life(
    element: Element,
    rating: Force,
    spectrum: &[Running],
) -> Result<BasicLife, CalcError> {
    let ones = vec![1.0; spectrum.len()];
    damage_life(element, rating, spectrum, &ones)
}

/// Life under variable load, each part with its own factor on its life.
///
/// With all factors 1 it is [`basic_life`]; with `a_1 a_ISO` of each part the modified one:
/// `L_nm = 1 / Σ (φ_i / (a_i L_i))`.
///
/// # Errors
/// Those of [`basic_life`]; `Unequal` for another number of factors.
pub fn damage_life(
    element: Element,
    rating: Force,
    spectrum: &[Running],
    factors: &[f64],
) -> Result<BasicLife, CalcError> {
    if spectrum.is_empty() {
        return Err(missing("spectrum", "at least one part of the running"));
    }
    if factors.len() != spectrum.len() {
        return Err(CalcError::Unequal {
            input: "factors".to_owned(),
            expected: spectrum.len(),
            found: factors.len(),
        });
    }
    let rating_n = positive_force("rating", rating)?;
    let p = element.exponent();
    let (mut shares, mut revolutions, mut damage) = (0.0, 0.0, 0.0);
    for (place, (part, &factor)) in spectrum.iter().zip(factors).enumerate() {
        let at = |error: CalcError| error.at(&format!("spectrum[{place}]"));
        let load_n = within("load", as_newtons(part.load), &FORCE_RANGE_N, "N").map_err(at)?;
        let n = within(
            "speed",
            as_revolutions_per_minute(part.speed),
            &SPEED_RANGE_RPM,
            "1/min",
        )
        .map_err(at)?;
        let share = within("share", part.share, &(0.0..=1.0), "").map_err(at)?;
        let factor = within("factor", factor, &(0.0..=1e6), "").map_err(at)?;
        shares += share;
        revolutions += n * share;
        if load_n > 0.0 && n * share > 0.0 {
            damage += n * share * libm::pow(load_n / rating_n, p) / factor;
        }
    }
    if (shares - 1.0).abs() > SHARE_SLACK {
        let why = format!("the shares of time add up to {shares:.4}, they must add up to 1");
        return Err(contradiction("spectrum", why));
    }
    // Per revolution of the mean speed; the scale of the shares falls out here and is taken out of the speed below.
    let million_revolutions = revolutions / damage;
    let mean_rpm = revolutions / shares;
    let life_h = MILLION * million_revolutions / (MINUTES_PER_HOUR * mean_rpm);
    if !life_h.is_finite() || !million_revolutions.is_finite() || life_h <= 0.0 {
        return Err(contradiction(
            "spectrum",
            "nothing runs under a load that counts: no life follows".to_owned(),
        ));
    }
    let equivalent_n = rating_n * libm::pow(million_revolutions, -1.0 / p);
    Ok(BasicLife {
        million_revolutions,
        hours: hours(life_h),
        equivalent_load: newtons(equivalent_n),
        mean_speed: revolutions_per_minute(mean_rpm),
    })
}

/// Whether the load is small enough for ISO 281: up to half the rating (memory).
pub fn is_within_validity(load: Force, rating: Force) -> bool {
    as_newtons(load) <= 0.5 * as_newtons(rating)
}

/// Dynamic load rating that gives a wanted basic life: `C = P (60 n L10h / 10⁶)^(1/p)`.
///
/// Source: ISO 281, `iso281.toml`.
///
/// # Errors
/// `OutOfRange` or `NotFinite` for a load, speed or life.
pub fn required_rating(
    element: Element,
    load: Force,
    speed: AngularVelocity,
    life: Time,
) -> Result<Force, CalcError> {
    let load_n = positive_force("load", load)?;
    let n = within(
        "speed",
        as_revolutions_per_minute(speed),
        &SPEED_RANGE_RPM,
        "1/min",
    )?;
    let life_h = within("life", as_hours(life), &(0.0..=1e12), "h")?;
    let million_revolutions = n * life_h * MINUTES_PER_HOUR / MILLION;
    Ok(newtons(
        load_n * libm::pow(million_revolutions, 1.0 / element.exponent()),
    ))
}

/// Life of several bearings or rows that must all survive: `L = (Σ L_i^−e)^(−1/e)`, shorter than the shortest.
///
/// Source: NTN (3.3), `iso281.toml`.
///
/// # Errors
/// `Missing` for none, `OutOfRange` or `NotFinite` for a life that is not above 0.
pub fn system_life(element: Element, lives: &[Time]) -> Result<Time, CalcError> {
    let mut shortest_h = f64::INFINITY;
    for (place, &life) in lives.iter().enumerate() {
        let life_h = within(
            &format!("lives[{place}]"),
            as_hours(life),
            &(1e-9..=1e15),
            "h",
        )?;
        shortest_h = shortest_h.min(life_h);
    }
    if lives.is_empty() {
        return Err(missing("lives", "at least one life"));
    }
    let e = element.weibull_slope();
    // Relative to the shortest, so that no power leaves the number range.
    let sum: f64 = lives
        .iter()
        .map(|&life| libm::pow(as_hours(life) / shortest_h, -e))
        .sum();
    Ok(hours(shortest_h * libm::pow(sum, -1.0 / e)))
}

/// Rating of a bearing of several equal rows as a multiple of the rating of one: `i^(7/9)` rollers, `i^0.7` balls.
///
/// Source: ISO 281 (memory), `iso281.toml`.
pub fn multi_row_factor(element: Element, rows: u8) -> f64 {
    libm::pow(f64::from(rows.max(1)), element.row_exponent())
}

fn positive_force(input: &str, force: Force) -> Result<f64, CalcError> {
    let force_n = within(input, as_newtons(force), &FORCE_RANGE_N, "N")?;
    if force_n > 0.0 {
        return Ok(force_n);
    }
    Err(CalcError::OutOfRange {
        input: input.to_owned(),
        value: force_n,
        unit: "N",
        allowed: "above 0".to_owned(),
    })
}

#[cfg(test)]
mod tests;
