//! What strikes about a reading without any statistics: each is worth a second look, none is a verdict.

use super::counter::Exposure;
use super::segments::{Obs, Shop};
use super::table::Pool;

/// Why a reading is worth a second look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Remark {
    /// Not a multiple of the gauge's step.
    OffStep {
        /// The step, µm.
        step_um: f64,
    },
    /// The bearing's counter of hours runs backwards here.
    HoursBackwards,
    /// Its counter of tonnes is lower than before.
    TonnesBackwards,
    /// Smaller than before by more than the reading error of a difference.
    Shrunk {
        /// By how much, µm.
        by_um: f64,
        /// Reading error of the difference at k = 2, µm: `2 √(s₁² + s₂²)`.
        error_um: f64,
    },
}

/// Remarks on the readings (places in the pool) up to a day, in the order of the pool.
pub fn remarks(pool: &Pool, as_of_day: Option<i32>) -> Vec<(usize, Remark)> {
    let Some(shop) = Shop::new(pool, as_of_day, Exposure::Hours) else {
        return Vec::new();
    };
    let mut found: Vec<(usize, Remark)> = shop
        .backwards
        .iter()
        .map(|at| (*at, Remark::HoursBackwards))
        .collect();
    for segment in shop.bearings.iter().flat_map(|bearing| &bearing.segments) {
        found.extend(segment.measured().filter_map(|obs| off_step(pool, obs)));
        for (before, now) in segment.measured().zip(segment.measured().skip(1)) {
            let tonnes = |obs: &Obs| pool.readings()[obs.reading].counter_t;
            if let (Some(earlier), Some(later)) = (tonnes(before), tonnes(now))
                && later < earlier
            {
                found.push((now.reading, Remark::TonnesBackwards));
            }
            let by_um = before.y_um - now.y_um;
            let error_um = 2.0 * (before.variance + now.variance).sqrt();
            if by_um > error_um {
                found.push((now.reading, Remark::Shrunk { by_um, error_um }));
            }
        }
    }
    found.sort_by_key(|(reading, _)| *reading);
    found
}

fn off_step(pool: &Pool, obs: &Obs) -> Option<(usize, Remark)> {
    let reading = &pool.readings()[obs.reading];
    let kind = pool
        .types()
        .iter()
        .find(|kind| kind.name == reading.bearing_type)?;
    let step_um = reading.gauge.unwrap_or(kind.gauge).step_um;
    let steps = obs.y_um / step_um;
    let is_off = step_um > 0.0 && (steps - steps.round()).abs() > 1e-6;
    is_off.then_some((obs.reading, Remark::OffStep { step_um }))
}
