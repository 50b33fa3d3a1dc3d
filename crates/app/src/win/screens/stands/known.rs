//! One place among the stays of its bearing type: which of them wore fast, and where.

use std::collections::BTreeMap;

use store::entry::Show;
use store::query::{Grown, PlaceGrowth, TypeGrowth};
use store::time::DAY_MS;

use super::StandsModel;

/// A stay wore fast where it grew so many times the mean of all stays of its type, or more (assumed).
const FAST: f64 = 2.0;
/// A bearing torn down, with its row pairs.
pub(super) struct Stay<'a> {
    pub(super) last: &'a Grown,
    pub(super) pairs: [Option<&'a Grown>; 3],
}

/// A place among the stays of its type.
pub(super) struct Known<'a> {
    pub(super) of_type: &'a TypeGrowth,
    pub(super) stand: &'a str,
    pub(super) place: &'a PlaceGrowth,
    /// The row pair that is looked at, from 0.
    pub(super) pair: usize,
    pub(super) stays: Vec<Stay<'a>>,
}

impl<'a> Known<'a> {
    pub(super) fn of(model: &'a StandsModel, code: &str, now_ms: i64) -> Option<Self> {
        let (worn, wear) = (model.worn.as_ref()?, model.wear()?);
        let mut found = worn.growth.iter().flat_map(|of_type| {
            let stands = of_type.stands.iter();
            stands.flat_map(move |stand| stand.places.iter().map(move |p| (of_type, stand, p)))
        });
        let (of_type, stand, place) = found.find(|(_, _, place)| place.code == code)?;
        let mut alarms = wear.review.contrasts.iter();
        let alarmed = alarms.find(|c| c.stand == code && c.is_alarm() && c.row_pair.is_some());
        let fastest = || {
            let pairs = place.pairs.iter().enumerate();
            let means = pairs.filter_map(|(i, pair)| Some((i, pair.as_ref()?.mean)));
            means.max_by(|a, b| a.1.total_cmp(&b.1)).map(|(i, _)| i)
        };
        let pair = alarmed
            .and_then(|c| usize::try_from(c.row_pair?.saturating_sub(1)).ok())
            .or_else(fastest)?
            .min(2);
        let since_ms = now_ms - store::query::GROWTH_DAYS * DAY_MS;
        let mut stays: BTreeMap<i64, Stay<'a>> = BTreeMap::new();
        let late = |g: &&Grown| g.at.ms > since_ms && g.at.ms <= now_ms;
        let own = wear
            .grown
            .iter()
            .filter(|g| g.bearing_type == of_type.bearing_type);
        for grown in own.filter(late) {
            let stay = stays.entry(grown.event).or_insert(Stay {
                last: grown,
                pairs: [None; 3],
            });
            if let Some(slot) = grown
                .pair
                .checked_sub(1)
                .and_then(|i| stay.pairs.get_mut(i))
            {
                *slot = Some(grown);
            }
        }
        let mut stays: Vec<Stay<'a>> = stays.into_values().collect();
        stays.sort_by_key(|stay| std::cmp::Reverse(stay.last.at.ms));
        Some(Self {
            of_type,
            stand: &stand.code,
            place,
            pair,
            stays,
        })
    }

    pub(super) fn rate(&self, stay: &Stay<'_>) -> Option<f64> {
        stay.pairs[self.pair].map(|g| g.grown_um / g.hours * 1_000.0)
    }

    pub(super) fn is_fast(&self, stay: &Stay<'_>) -> bool {
        self.rate(stay)
            .is_some_and(|um| um >= FAST * self.of_type.mean)
    }

    /// Fast stays, and all of them, where `holds`.
    pub(super) fn count(&self, holds: impl Fn(&Stay<'_>) -> bool) -> (usize, usize) {
        let all = self
            .stays
            .iter()
            .filter(|s| self.rate(s).is_some() && holds(s));
        all.fold((0, 0), |(fast, all), stay| {
            (fast + usize::from(self.is_fast(stay)), all + 1)
        })
    }

    pub(super) fn is_here(&self, stay: &Stay<'_>) -> bool {
        stay.last.position == self.place.code
    }

    pub(super) fn is_of_stand(&self, stay: &Stay<'_>) -> bool {
        let mut places = self.of_type.stands.iter().filter(|s| s.code == self.stand);
        places.any(|s| s.places.iter().any(|p| p.code == stay.last.position))
    }

    pub(super) fn rows(&self, show: Show) -> String {
        let is_one = self.place.pairs.iter().flatten().count() == 1;
        if is_one {
            "the clearance".to_owned()
        } else {
            show.pair_name(self.pair + 1)
        }
    }
}
