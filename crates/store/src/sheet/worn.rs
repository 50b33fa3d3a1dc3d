//! What the wear of the shop says of the bearing on the bench: before it is read, and with the reading counted in.

use std::sync::Arc;

use calc::disposition::{FasterSince, PairWear, Rows};
use calc::quantity::hours;
use calc::wear::{
    ALARM_CHANCE, Acceleration, Knowledge, Peers, Present, RELEVANT, Reading, RowForecast,
};

use super::clearance::ClearanceView;
use super::facts::Facts;
use crate::query::{OwnWear, ShopWear};

/// A bearing with what the wear model is told of it, and what it knows of its peers.
#[derive(Debug, Clone, PartialEq)]
pub struct Worn {
    own: OwnWear,
    peers: Arc<Peers>,
    /// Mill hours to the next planned teardown.
    ahead_h: f64,
    /// The place where it ran, if that stands out as wearing its bearings faster than others.
    loud_place: Option<String>,
}

impl Worn {
    /// None where nothing is known of its peers.
    pub(super) fn new(mut own: OwnWear, wear: &ShopWear) -> Option<Self> {
        let peers = wear.peers(&own.bearing_type)?;
        own.leave_out(|serial, pair, event| wear.is_refused(serial, pair, event));
        let ran = own.present.since.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let loud = ran
            .map(|(place, _)| place)
            .filter(|place| wear.wears_bearings(place));
        Some(Self {
            ahead_h: wear.ahead_h(&own.bearing_type),
            loud_place: loud.cloned(),
            own,
            peers,
        })
    }

    /// Its running row pairs before the reading of the day.
    pub(super) fn before(&self) -> Vec<RowForecast> {
        let present = Some(self.own.present.clone());
        let readings = self.own.readings.clone();
        let told = self.peers.look_at(readings, present, self.ahead_h);
        told.unwrap_or_default()
    }

    /// The same with it counted in.
    fn after(&self, read: Vec<Reading>) -> Vec<RowForecast> {
        let mut readings = self.own.readings.clone();
        readings.extend(read);
        // Nobody knows yet where it runs next; how fast it wore is told where it ran.
        let present = Present {
            since: self.own.present.since.clone(),
            stand: None,
        };
        let told = self.peers.look_at(readings, Some(present), self.ahead_h);
        told.unwrap_or_default()
    }
}

/// What its wear says with the clearance of the day counted in.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct WearNow {
    /// Of each row pair; of a clearance of the whole bearing as the first.
    pub(super) pairs: [Option<PairWear>; 3],
    pub(super) faster_since: Option<FasterSince>,
    pub(super) loud_place: Option<String>,
}

/// Only of what was read completely, and the way it was read before.
pub(super) fn wear_now(facts: &Facts, view: &ClearanceView) -> WearNow {
    let (Some(worn), Some(bearing)) = (&facts.foreseen.worn, &facts.bearing) else {
        return WearNow::default();
    };
    let is_whole = view.radial.is_some();
    let way = view.radial.as_ref().and_then(|radial| radial.way);
    let last = bearing.history.last().and_then(|last| last.way);
    if is_whole && (way.is_none() || last != way) {
        return WearNow::default();
    }
    let pairs = (1..).zip(&view.pairs).take(if is_whole { 1 } else { 3 });
    let read = pairs.filter(|(_, pair)| pair.is_complete && !pair.is_unlike);
    let now = (facts.at, bearing.total_run_s);
    let read: Vec<Reading> = read
        .filter_map(|(number, pair)| {
            let limits = (pair.limit_nm, view.expanded_uncertainty_nm);
            Some(worn.own.read_now((number, pair.end_play_nm?), limits, now))
        })
        .collect();
    if read.is_empty() {
        return WearNow::default();
    }
    let is_read: Vec<u32> = read.iter().map(|reading| reading.row_pair).collect();
    let rows = worn.after(read);
    let rows_of = |row_pair: u32| {
        if is_whole {
            Rows::All
        } else {
            Rows::Pair(row_pair as usize - 1)
        }
    };
    let of = |number: u32| {
        let row = rows.iter().find(|row| row.row_pair == number);
        let row = row.filter(|_| is_read.contains(&number))?;
        Some(pair_wear(row, worn.ahead_h))
    };
    let found = rows.first().and_then(|row| row.acceleration);
    WearNow {
        pairs: [1, 2, 3].map(of),
        faster_since: found
            .filter(Acceleration::is_watched)
            .map(|found| FasterSince {
                rows: found
                    .row_pair
                    .map(rows_of)
                    .or(is_whole.then_some(Rows::All)),
                since: hours(found.onset_h),
            }),
        loud_place: worn.loud_place.clone(),
    }
}

fn pair_wear(row: &RowForecast, ahead_h: f64) -> PairWear {
    let left_h = row.state.crossing_h(ALARM_CHANCE);
    PairWear {
        chance: row.state.chance_within(ahead_h),
        planned: hours(ahead_h),
        plan_within: left_h.map(|h| hours(h - row.state.counter_h)),
        times_peers: row.so_far.factor,
        chance_faster: row.so_far.chance_faster(RELEVANT),
        has_grown: !matches!(
            row.knowledge(),
            Knowledge::OnlySimilar | Knowledge::WithinReadingError
        ),
        is_assumed: row.is_assumed,
    }
}
