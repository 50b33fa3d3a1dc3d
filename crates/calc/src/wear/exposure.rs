//! Does wear go by hours, tonnes or calendar time?
//!
//! The same readings and as many parameters, so the `−2 log` likelihoods of the three fits compare directly. Hours stand
//! unless another measure is clearly better.

use super::counter::Exposure;
use super::design::Theta;
use super::fit::{self, From, Stop, penalty};
use super::model::Model;
use super::review::{Settings, fitted, left_out};
use super::segments::Shop;
use super::table::Pool;

/// Another measure is proposed from this difference of `−2 log` likelihood on (assumed).
const CLEARLY: f64 = 6.0;

/// How well a measure of exposure explains the wear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExposureFit {
    /// The measure.
    pub exposure: Exposure,
    /// `−2 log` likelihood, penalty included; smaller is better.
    pub minus_2l: f64,
}

/// Fits of hours, tonnes and days, as far as they are known; empty where nothing has grown yet.
pub fn compare_exposure(pool: &Pool, settings: &Settings) -> Vec<ExposureFit> {
    let Ok(by_hours) = fitted(pool, settings, Exposure::Hours, Stop::NEAR) else {
        return Vec::new();
    };
    // What the gate left out by hours is left out of all three.
    let refused = left_out(&by_hours.shop);
    let is_assumed = by_hours.is_assumed;
    let value = |exposure: Exposure| {
        let mut shop = Shop::new(pool, settings.as_of_day, exposure)?;
        if shop.backwards != by_hours.shop.backwards {
            return None;
        }
        let obs = shop
            .bearings
            .iter_mut()
            .flat_map(|b| &mut b.segments)
            .flat_map(|s| &mut s.obs);
        for obs in obs.filter(|obs| refused.contains(&obs.reading)) {
            obs.is_used = false;
        }
        let model = Model::new(pool.types(), &shop)?;
        let theta = if is_assumed {
            Theta::ASSUMED
        } else {
            fit::penalised(&model, From::ASSUMED, Stop::NEAR)
        };
        let minus_2l = model.minus_2l(&theta) + penalty(&theta.to_array().map(libm::log));
        minus_2l
            .is_finite()
            .then_some(ExposureFit { exposure, minus_2l })
    };
    [Exposure::Hours, Exposure::Tonnes, Exposure::Days]
        .into_iter()
        .filter_map(value)
        .collect()
}

/// The measure to go by: hours, or one that is clearly better.
pub fn proposed(fits: &[ExposureFit]) -> Exposure {
    let hours = fits.iter().find(|fit| fit.exposure == Exposure::Hours);
    let best = fits.iter().min_by(|a, b| a.minus_2l.total_cmp(&b.minus_2l));
    match (hours, best) {
        (Some(hours), Some(best)) if hours.minus_2l - best.minus_2l > CLEARLY => best.exposure,
        _ => Exposure::Hours,
    }
}
