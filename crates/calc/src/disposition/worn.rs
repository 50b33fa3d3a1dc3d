//! What the wear of the bearing and its peers says about what comes: rules and words.
//!
//! The forecast is that of [`crate::wear`], with the reading of the day counted in. Nothing here speaks against putting
//! the bearing back: it says what to plan, and where to look for a cause.

use super::reason::rows_words;
use super::rules::ground;
use super::{Fact, Inputs, PairState, Rows};
use crate::{
    quantity::{Time, as_hours, hours, to_nanometres},
    wear::{ALARM_CHANCE, chance_words},
};

/// So sure a row pair has to wear faster than its peers before it is said (assumed).
pub const SURELY: f64 = 0.95;

/// Hours are told in such steps.
const STEP_H: f64 = 50.0;

/// What its wear says of a row pair, the reading of the day counted in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairWear {
    /// Chance of passing its limit before the next planned teardown ([`crate::wear::State::chance_within`]).
    pub chance: f64,
    /// Mill time to that teardown.
    pub planned: Time,
    /// Mill time after which the chance of having passed the limit is [`ALARM_CHANCE`]; none where that is beyond what can
    /// be said.
    pub plan_within: Option<Time>,
    /// Wear by that of its peers, where it ran.
    pub times_peers: f64,
    /// Chance that it wears faster than its peers by more than [`crate::wear::RELEVANT`]
    /// ([`crate::wear::State::chance_faster`]).
    pub chance_faster: f64,
    /// Its growth can be told from the reading error: that of one reading says nothing about the bearing.
    pub has_grown: bool,
    /// Too few bearings have been measured to say how much they differ: that is assumed.
    pub is_assumed: bool,
}

/// Wear that has become faster ([`crate::wear::Acceleration`]).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FasterSince {
    /// Which rows; none for all of a bearing with several.
    pub rows: Option<Rows>,
    /// Mill time on the bearing's own counter since when.
    pub since: Time,
}

/// Under its limit, not ground now, and likely to pass it before anybody looks again: the rows that come first.
pub(super) fn limit_ahead(inputs: &Inputs) -> Vec<Fact> {
    let ahead = |pair: &&PairState| {
        let value = pair.clearance.filter(|_| !pair.is_unlike);
        let is_under = value
            .zip(pair.rework)
            .is_some_and(|(value, rework)| to_nanometres(value) < to_nanometres(rework));
        let is_likely = pair.wear.is_some_and(|wear| wear.chance >= ALARM_CHANCE);
        is_under && is_likely && ground(inputs, pair).is_none()
    };
    let found = inputs.pairs.iter().filter(ahead);
    let found = found.filter_map(|pair| Some((pair.rows, pair.wear?)));
    let first = found.min_by(|(_, a), (_, b)| {
        let left_h = |wear: &PairWear| wear.plan_within.map_or(f64::NEG_INFINITY, as_hours);
        let by_left = left_h(a).total_cmp(&left_h(b));
        by_left.then(b.chance.total_cmp(&a.chance))
    });
    let fact = first.map(|(rows, wear)| Fact::LimitAhead { rows, wear });
    fact.into_iter().collect()
}

/// Surely and markedly faster than its peers; where all rows are, the bearing as a whole.
pub(super) fn faster_than_peers(inputs: &Inputs) -> Vec<Fact> {
    let known: Vec<(Rows, PairWear)> = inputs
        .pairs
        .iter()
        .filter_map(|pair| Some((pair.rows, pair.wear?)))
        .collect();
    let is_faster = |wear: &PairWear| wear.has_grown && wear.chance_faster >= SURELY;
    let fact = |(rows, wear)| Fact::FasterThanPeers {
        rows,
        wear,
        place: inputs.loud_place.clone(),
    };
    let count = known.len();
    if count > 1 && known.iter().all(|(_, wear)| is_faster(wear)) {
        let sum: f64 = known.iter().map(|(_, wear)| wear.times_peers).sum();
        let mean = PairWear {
            times_peers: sum / count as f64,
            ..known[0].1
        };
        return vec![fact((Rows::All, mean))];
    }
    let faster = known.into_iter().filter(|(_, wear)| is_faster(wear));
    faster.map(fact).collect()
}

/// Faster than before.
pub(super) fn faster_than_before(inputs: &Inputs) -> Vec<Fact> {
    let found = inputs.faster_since.into_iter();
    found
        .map(|found| Fact::FasterThanBefore { found })
        .collect()
}

fn assumed(wear: &PairWear) -> &'static str {
    if wear.is_assumed {
        " Few bearings have been measured yet: how much they differ is assumed."
    } else {
        ""
    }
}

pub(super) fn limit_ahead_words(
    rows: Rows,
    wear: &PairWear,
    told: impl Fn(Time) -> String,
) -> String {
    let reach = match rows {
        Rows::Pair(_) => "reach their limit",
        Rows::One(_) | Rows::All => "reaches its limit",
    };
    // Never later than the chance allows.
    let left_h = wear.plan_within.map_or(0.0, as_hours);
    let left_h = (left_h / STEP_H).floor() * STEP_H;
    let plan = if left_h >= STEP_H {
        format!("plan it within {} h", told(hours(left_h)))
    } else {
        "plan it now".to_owned()
    };
    format!(
        "{} {reach} before the next teardown ({} h) with a chance of {}: {plan}.{}",
        rows_words(rows),
        told(wear.planned),
        chance_words(wear.chance),
        assumed(wear)
    )
}

pub(super) fn faster_than_peers_words(
    rows: Rows,
    wear: &PairWear,
    place: Option<&str>,
    times: impl Fn(f64, usize) -> String,
) -> String {
    let (wears, their) = match rows {
        Rows::Pair(_) => ("wear", "their peers"),
        Rows::One(_) => ("wears", "its peers"),
        Rows::All => ("grows", "that of its peers"),
    };
    let cause = match place {
        Some(place) => {
            format!("{place} wears its bearings faster than other places, look for the cause there")
        }
        None => "look for the cause".to_owned(),
    };
    format!(
        "{} {wears} {} times as fast as {their}: {cause}.{}",
        rows_words(rows),
        times(wear.times_peers, 1),
        assumed(wear)
    )
}

pub(super) fn faster_than_before_words(
    found: &FasterSince,
    told: impl Fn(Time) -> String,
) -> String {
    let since_h = (as_hours(found.since) / STEP_H).round() * STEP_H;
    let since = told(hours(since_h));
    let which = match found.rows {
        Some(rows @ (Rows::Pair(_) | Rows::One(_))) => rows_words(rows).to_lowercase(),
        Some(Rows::All) => "the bearing".to_owned(),
        None => "all rows".to_owned(),
    };
    format!(
        "Since about {since} h on its counter {which} may wear faster than before: look for the cause."
    )
}
