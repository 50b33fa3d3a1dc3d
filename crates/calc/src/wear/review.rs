//! One look at a whole shop: fit, gate, fit again, and for each running row pair its forecast.

use super::acceleration::Acceleration;
use super::company;
use super::contrasts::{self, Contrast};
use super::counter::Exposure;
use super::design::Theta;
use super::fit::{self, From, Stop};
use super::forecast::State;
use super::gate::{self, Improbable, Rule};
use super::model::{Model, Solution};
use super::peers::Peers;
use super::segments::{Bearing, Shop};
use super::student;
use super::table::{BearingType, Pool};

/// Below this many bearings the spread is assumed (assumed).
const BEARINGS_MIN: usize = 5;
/// Below this many growth intervals the spread is assumed (assumed).
const INTERVALS_MIN: usize = 10;
/// Least degrees of freedom of Student's distribution.
const DEGREES_MIN: u32 = 4;

/// Where the spread between bearings, rows and stands comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spread {
    /// Fitted to the pool; for small pools assumed.
    Fitted,
    /// [`Theta::ASSUMED`].
    Assumed,
    /// That of an earlier review: quick, for a look at a few readings more.
    Known(Theta),
}

/// Chance from which on a limit ahead is an alarm: 1/(1 + cost of an overrun by cost of an early regrind), 5 by default
/// (assumed).
pub const ALARM_CHANCE: f64 = 1.0 / 6.0;

/// How a shop is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Only readings up to this day; `None` for all.
    pub as_of_day: Option<i32>,
    /// Standard deviations beyond which a reading is improbable; `None` lets all through. 3 loses coverage by leaving
    /// out true extremes, 5 is like 4 (own simulation).
    pub gate: Option<f64>,
    /// Where the spread comes from.
    pub spread: Spread,
    /// Until when the chance of passing the limit is asked for, h after the last teardown.
    pub ahead_h: f64,
    /// Chance from which on a limit is an alarm.
    pub alarm_chance: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            as_of_day: None,
            gate: Some(4.0),
            spread: Spread::Fitted,
            ahead_h: 2_500.0,
            alarm_chance: ALARM_CHANCE,
        }
    }
}

/// A running row pair.
#[derive(Debug, Clone, PartialEq)]
pub struct RowForecast {
    /// Serial of its bearing.
    pub bearing: String,
    /// Name of its type.
    pub bearing_type: String,
    /// The row pair.
    pub row_pair: u32,
    /// Which of its segments is running, from 0.
    pub segment: usize,
    /// Stand in which the forecast goes on: where it runs now, or ran last where nobody says where it is; `None` where it
    /// was just set, is in no stand, or that is not known.
    pub stand: Option<String>,
    /// Readings of this segment that count, the setting included.
    pub readings_used: usize,
    /// Readings of this segment that the gate left out.
    pub readings_excluded: usize,
    /// Other bearings of the type with measured growth.
    pub bearings_alike: usize,
    /// Last reading that counts, µm.
    pub last_um: Option<f64>,
    /// Reading as set, µm, where there is one that counts.
    pub as_set_um: Option<f64>,
    /// Standard uncertainty of one reading, µm.
    pub reading_sd_um: f64,
    /// What is known at the last teardown, and all forecasts that follow from it.
    pub state: State,
    /// The same with the growth since then in the stands in which it ran since: what its next reading is judged by.
    pub so_far: State,
    /// Whether the spread between bearings was assumed: too few have been measured.
    pub is_assumed: bool,
    /// Counter hours at which the limit is passed with 5, 50 and 95 %; `None` beyond the horizon.
    pub crossing_h: [Option<f64>; 3],
    /// Chance of passing the limit within [`Settings::ahead_h`].
    pub chance: f64,
    /// Strongest sign that the bearing wears faster than before; for three teardowns or more.
    pub acceleration: Option<Acceleration>,
    /// Where there is an alarm: what is known if the faster wear goes on.
    pub if_it_goes_on: Option<State>,
}

/// A shop as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Review {
    /// Running row pairs, by bearing and row pair.
    pub rows: Vec<RowForecast>,
    /// Readings that the gate left out.
    pub improbable: Vec<Improbable>,
    /// Readings (places in the pool) whose counter runs backwards.
    pub backwards: Vec<usize>,
    /// Stands and their row pairs against each other.
    pub contrasts: Vec<Contrast>,
    /// The fit itself: what the shop knows besides any one bearing.
    pub peers: Peers,
    /// The spread that was used.
    pub theta: Theta,
    /// Whether it was assumed, not fitted.
    pub is_assumed: bool,
    /// `−2 log` likelihood.
    pub minus_2l: f64,
    /// Expected growth by type, µm per 1,000 h.
    pub rates_um_per_kh: Vec<(String, f64)>,
    /// Degrees of freedom of the intervals.
    pub degrees: u32,
}

/// Why there is no review.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// No row pair has two readings.
    NothingGrown,
    /// The arithmetic broke down.
    NotFitted,
    /// Row pairs have two readings, but the gate refuses every growth.
    AllRefused,
}

/// There is no review; what was refused on the way is not lost.
#[derive(Debug, Clone, PartialEq)]
pub struct NoReview {
    /// Why.
    pub why: Why,
    /// Readings that the gate left out.
    pub improbable: Vec<Improbable>,
    /// Readings (places in the pool) whose counter runs backwards.
    pub backwards: Vec<usize>,
}

/// A fitted shop.
pub(super) struct Fitted {
    pub(super) shop: Shop,
    pub(super) model: Model,
    pub(super) fit: Solution,
    pub(super) improbable: Vec<Improbable>,
    pub(super) is_assumed: bool,
    pub(super) degrees: u32,
}

/// Fits a shop with the stop given.
pub(super) fn fitted(
    pool: &Pool,
    settings: &Settings,
    exposure: Exposure,
    stop: Stop,
) -> Result<Fitted, NoReview> {
    let types = pool.types();
    let none = |why: Why, improbable: Vec<Improbable>, backwards: Vec<usize>| NoReview {
        why,
        improbable,
        backwards,
    };
    let mut shop = Shop::new(pool, settings.as_of_day, exposure)
        .ok_or_else(|| none(Why::NothingGrown, Vec::new(), Vec::new()))?;
    let backwards = shop.backwards.clone();
    let broken = || none(Why::NotFitted, Vec::new(), backwards.clone());
    let is_assumed = match settings.spread {
        Spread::Fitted => is_small(&shop),
        Spread::Assumed => true,
        Spread::Known(_) => false,
    };
    let theta = |model: &Model, from: From, stop: Stop| match settings.spread {
        Spread::Known(theta) => theta,
        _ if is_assumed => Theta::ASSUMED,
        _ => fit::penalised(model, from, stop),
    };
    let mut from = From::ASSUMED;
    let mut improbable = Vec::new();
    let mut known = None;
    let mut model = Model::new(types, &shop)
        .ok_or_else(|| none(Why::NothingGrown, Vec::new(), backwards.clone()))?;
    if let Some(rule) = settings.gate.map(Rule::beyond) {
        // A fit with the gross errors in it would blame good readings: they go first, by what is assumed alone.
        let all = |refused: Vec<Improbable>| none(Why::AllRefused, refused, backwards.clone());
        let first = model.before_data().solve(&Theta::ASSUMED);
        let refused = gate::pass(types, &mut shop, &model, &first.ok_or_else(broken)?, &rule);
        model = Model::new(types, &shop).ok_or_else(|| all(refused))?;
        let second = model.solve(&theta(&model, from, Stop::NEAR));
        let second = second.ok_or_else(broken)?;
        from = From::near(second.theta);
        let by_what_is_assumed = left_out(&shop);
        improbable = gate::pass(types, &mut shop, &model, &second, &rule);
        company::readmit(&mut shop, &mut improbable);
        if left_out(&shop) == by_what_is_assumed && stop == Stop::NEAR {
            // The same readings once more: the search has ended already.
            known = Some(second);
        } else {
            model = Model::new(types, &shop).ok_or_else(|| all(improbable.clone()))?;
        }
    }
    let fit = match known {
        Some(fit) => fit,
        None => model.solve(&theta(&model, from, stop)).ok_or_else(broken)?,
    };
    let degrees = degrees(types, &shop);
    Ok(Fitted {
        shop,
        model,
        fit,
        improbable,
        is_assumed,
        degrees,
    })
}

/// Readings (places in the pool) that do not count, bearing by bearing.
pub(super) fn left_out(shop: &Shop) -> Vec<usize> {
    let segments = shop.bearings.iter().flat_map(|bearing| &bearing.segments);
    let obs = segments.flat_map(|segment| &segment.obs);
    obs.filter(|obs| !obs.is_used)
        .map(|obs| obs.reading)
        .collect()
}

fn is_small(shop: &Shop) -> bool {
    let segments = shop.bearings.iter().flat_map(|bearing| &bearing.segments);
    let intervals: usize = segments
        .map(|segment| segment.measured().count().saturating_sub(1))
        .sum();
    shop.bearings.len() < BEARINGS_MIN || intervals < INTERVALS_MIN
}

/// Bearings less types, at least 4.
fn degrees(types: &[BearingType], shop: &Shop) -> u32 {
    let in_use = (0..types.len())
        .filter(|kind| shop.bearings.iter().any(|b| b.kind == *kind))
        .count();
    DEGREES_MIN.max((shop.bearings.len() - in_use) as u32)
}

/// Forecasts, remarks and comparisons of a shop.
///
/// Formula and sources stand at the module of each part. The same pool gives the same numbers to the last
/// digit, in whatever order its readings are handed in.
///
/// # Errors
/// Where no bearing of any type has a growth that counts: why, and what was refused.
pub fn review(pool: &Pool, settings: &Settings) -> Result<Review, NoReview> {
    let fitted = fitted(pool, settings, Exposure::Hours, Stop::NEAR)?;
    Ok(look(pool, settings, fitted))
}

/// What a fitted shop shows.
pub(super) fn look(pool: &Pool, settings: &Settings, fitted: Fitted) -> Review {
    let types = pool.types();
    let Fitted {
        shop,
        model,
        fit,
        improbable,
        is_assumed,
        degrees,
    } = fitted;
    let has_grown = |bearing: &Bearing| bearing.segments.iter().any(|s| s.used().count() > 1);
    let mut grown = vec![Vec::new(); types.len()];
    for bearing in shop.bearings.iter().filter(|b| has_grown(b)) {
        grown[bearing.kind].push(bearing.name.clone());
    }
    let contrasts = contrasts::all(&model, &fit.theta, &shop.stands, degrees).unwrap_or_default();
    let (theta, minus_2l) = (fit.theta, fit.minus_2l);
    let peers = Peers {
        types: types.to_vec(),
        stands: shop.stands,
        columns: model.columns,
        rates: model.rates,
        fit,
        degrees,
        z: student::quantile(0.95, degrees),
        is_assumed,
        grown,
    };
    let of_bearing = shop.bearings.iter().zip(&model.blocks);
    let rows = of_bearing
        .flat_map(|(bearing, block)| peers.rows(bearing, block, settings.ahead_h))
        .collect();
    let names = types.iter().map(|kind| kind.name.clone());
    Review {
        rows,
        improbable,
        contrasts,
        theta,
        is_assumed,
        minus_2l,
        rates_um_per_kh: names
            .zip(peers.rates.iter().map(|rate| rate * 1000.0))
            .collect(),
        degrees,
        backwards: shop.backwards,
        peers,
    }
}
