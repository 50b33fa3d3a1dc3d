//! Readings put in order: for each bearing its events, and for each row pair the stretches between two settings.
//!
//! A regrind ends one segment and begins the next; hours in a segment count from its setting. A segment whose
//! beginning is older than the logbook counts from its first entry and starts from a wide assumption.

use std::collections::{BTreeMap, BTreeSet};

use super::counter::{Exposure, longest_rising, scale};
use super::table::{BearingType, Event, Pool, Stands, Target};

/// Start of a segment that is older than the logbook, as a multiple of the nominal clearance (assumed).
const TRUNCATED_START: f64 = 1.4;
/// Its standard deviation, as a multiple of the nominal clearance (assumed).
const TRUNCATED_SPREAD: f64 = 0.6;
/// Steps of the gauge that stand for the standard deviation of a reading that is only a bound (assumed).
const BOUND_STEPS: f64 = 3.0;
/// Limit as a multiple of the clearance as set, where a type names no limit at all (common practice, no source).
const LIMIT_FACTOR: f64 = 2.0;

/// Where a segment begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Start {
    /// At a setting that the logbook holds.
    Set(Target),
    /// Before the logbook begins.
    Truncated,
}

/// A reading inside its segment.
#[derive(Debug, Clone)]
pub(super) struct Obs {
    /// Place in the pool.
    pub(super) reading: usize,
    /// Place among the bearing's events.
    pub(super) event: usize,
    /// Exposure since the segment began, h.
    pub(super) h: f64,
    /// The bearing's counter, h.
    pub(super) counter_h: f64,
    /// The reading, µm; meaningless where there is none.
    pub(super) y_um: f64,
    /// Its known variance, µm².
    pub(super) variance: f64,
    /// Whether there is a reading: a setting may have none.
    pub(super) is_measured: bool,
    /// Stand in which the bearing ran last up to here.
    pub(super) stand: Option<usize>,
    /// Hours in each stand since the segment began.
    pub(super) stand_h: Vec<(usize, f64)>,
    /// Whether it is the reading of the setting itself.
    pub(super) is_start: bool,
    /// Whether the entry gate let it through.
    pub(super) is_used: bool,
}

/// A row pair between two settings.
#[derive(Debug, Clone)]
pub(super) struct RowSegment {
    pub(super) row_pair: u32,
    /// Number of the segment of this row pair, from 0.
    pub(super) number: usize,
    pub(super) start: Start,
    pub(super) obs: Vec<Obs>,
    /// Whether no later segment of this row pair follows.
    pub(super) is_live: bool,
    limit_known_um: Option<f64>,
}

impl RowSegment {
    /// Expected clearance at its start, µm.
    pub(super) fn start_um(&self, kind: &BearingType) -> f64 {
        match self.start {
            Start::Set(target) => target.nominal_um,
            Start::Truncated => TRUNCATED_START * kind.set.nominal_um,
        }
    }

    /// Variance of the true start about that, µm²: a tolerance of ± t counts as uniform, t²/3.
    pub(super) fn start_variance(&self, kind: &BearingType) -> f64 {
        match self.start {
            Start::Set(target) => target.tolerance_um * target.tolerance_um / 3.0,
            Start::Truncated => {
                let spread = TRUNCATED_SPREAD * kind.set.nominal_um;
                spread * spread
            }
        }
    }

    /// Readings, whether they count or not.
    pub(super) fn measured(&self) -> impl Iterator<Item = &Obs> {
        self.obs.iter().filter(|obs| obs.is_measured)
    }

    /// Readings that count.
    pub(super) fn used(&self) -> impl Iterator<Item = &Obs> {
        self.obs.iter().filter(|obs| obs.is_used)
    }

    /// Limit of the clearance, µm: what the logbook says, else the smaller of the type's own limit and its factor
    /// times the reading as set (times the nominal value where that reading is missing or does not count).
    pub(super) fn limit_um(&self, kind: &BearingType) -> f64 {
        if let Some(limit_um) = self.limit_known_um {
            return limit_um;
        }
        let as_set_um = self
            .used()
            .find(|obs| obs.is_start)
            .map_or(kind.set.nominal_um, |obs| obs.y_um);
        let factor = match (kind.limit_factor, kind.limit_um) {
            (None, None) => Some(LIMIT_FACTOR),
            (factor, _) => factor,
        };
        let grown = factor.map(|factor| factor * as_set_um);
        match (grown, kind.limit_um) {
            (Some(grown), Some(own)) => grown.min(own),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => LIMIT_FACTOR * as_set_um,
        }
    }
}

/// A bearing with its row segments, in the order of their beginnings and row pairs.
#[derive(Debug, Clone)]
pub(super) struct Bearing {
    pub(super) name: String,
    pub(super) kind: usize,
    pub(super) segments: Vec<RowSegment>,
    /// Where it is now, if that is known.
    pub(super) present: Option<Whereabouts>,
}

/// Parts of the growth that are worn in each stand; what is missing to 1 is worn nobody knows where.
pub(super) type Parts = Vec<(usize, f64)>;

/// Where a bearing is after its last reading.
#[derive(Debug, Clone)]
pub(super) struct Whereabouts {
    /// Where it ran since then.
    pub(super) since: Parts,
    /// Where it goes on.
    pub(super) ahead: Parts,
}

/// All bearings of a pool, in order of their names.
#[derive(Debug, Clone)]
pub(super) struct Shop {
    pub(super) bearings: Vec<Bearing>,
    /// Names of the stands, in order.
    pub(super) stands: Vec<String>,
    /// Readings whose counter ran backwards: they belong to no segment.
    pub(super) backwards: Vec<usize>,
}

/// An event of a bearing with the readings taken at it.
struct BearingEvent {
    event: Event,
    counter_h: f64,
    /// Where it ran since the event before.
    stands: Parts,
    readings: Vec<usize>,
}

impl Shop {
    /// The shop as it stood at the end of a day; `None` where the exposure measure is not known throughout.
    pub(super) fn new(pool: &Pool, until_day: Option<i32>, exposure: Exposure) -> Option<Self> {
        let places: Vec<usize> = (0..pool.readings().len())
            .filter(|i| until_day.is_none_or(|day| pool.readings()[*i].day <= day))
            .collect();
        let scale = scale(pool, &places, exposure)?;
        let stands: BTreeSet<&String> = places
            .iter()
            .flat_map(|i| &pool.readings()[*i].stands)
            .map(|(stand, _)| stand)
            .collect();
        let stands = stands.into_iter().cloned().collect();
        Self::in_stands(pool, places, stands, exposure, scale)
    }

    /// The readings of a pool with stands that are known already; others are told as unknown.
    pub(super) fn of_stands(pool: &Pool, stands: Vec<String>) -> Option<Self> {
        let places: Vec<usize> = (0..pool.readings().len()).collect();
        let scale = scale(pool, &places, Exposure::Hours)?;
        Self::in_stands(pool, places, stands, Exposure::Hours, scale)
    }

    fn in_stands(
        pool: &Pool,
        mut places: Vec<usize>,
        stands: Vec<String>,
        exposure: Exposure,
        scale: f64,
    ) -> Option<Self> {
        places.sort_by(|a, b| {
            let [a, b] = [a, b].map(|i| &pool.readings()[*i]);
            let key = |r: &super::table::Reading| (r.day, r.event);
            a.bearing
                .cmp(&b.bearing)
                .then(key(a).cmp(&key(b)))
                .then(a.counter_h.total_cmp(&b.counter_h))
                .then(a.row_pair.cmp(&b.row_pair))
        });
        let mut shop = Self {
            bearings: Vec::new(),
            stands,
            backwards: Vec::new(),
        };
        let of_one =
            |a: &usize, b: &usize| pool.readings()[*a].bearing == pool.readings()[*b].bearing;
        for of_bearing in places.chunk_by(of_one) {
            let first = &pool.readings()[of_bearing[0]];
            let kind = pool
                .types()
                .iter()
                .position(|kind| kind.name == first.bearing_type)?;
            let events = shop.events(pool, of_bearing, exposure, scale)?;
            let (segments, backwards) = segments(pool, &pool.types()[kind], &events);
            shop.backwards.extend(backwards);
            let present = pool.present(&first.bearing).map(|present| {
                let ahead = present.stand.iter().map(|stand| (stand.clone(), 1.0));
                Whereabouts {
                    since: shop.parts(&present.since),
                    ahead: shop.parts(&ahead.collect()),
                }
            });
            shop.bearings.push(Bearing {
                name: first.bearing.clone(),
                kind,
                segments,
                present,
            });
        }
        Some(shop)
    }

    /// Hours as parts of their sum. A stand in which nothing was measured yet is not in the list of the shop.
    fn parts(&self, stands: &Stands) -> Parts {
        let sum: f64 = stands.iter().map(|(_, h)| h).sum();
        let known = stands.iter().filter(|(_, h)| *h > 0.0);
        let part = |(name, h): &(String, f64)| {
            let stand = self.stands.binary_search(name).ok()?;
            Some((stand, h / sum))
        };
        known.filter_map(part).collect()
    }

    fn events(
        &self,
        pool: &Pool,
        of_bearing: &[usize],
        exposure: Exposure,
        scale: f64,
    ) -> Option<Vec<BearingEvent>> {
        let at_once = |a: &usize, b: &usize| {
            let [a, b] = [a, b].map(|i| &pool.readings()[*i]);
            (a.day, a.event, a.counter_h) == (b.day, b.event, b.counter_h)
        };
        let event = |readings: &[usize]| {
            let first = &pool.readings()[readings[0]];
            let mut told = readings.iter().map(|i| &pool.readings()[*i].stands);
            let stands = told.find(|stands| !stands.is_empty());
            Some(BearingEvent {
                event: first.event,
                counter_h: exposure.of(first)? * scale,
                stands: stands.map_or_else(Parts::new, |stands| self.parts(stands)),
                readings: readings.to_vec(),
            })
        };
        of_bearing.chunk_by(at_once).map(event).collect()
    }
}

/// The row segments of one bearing, and the readings of events whose counter ran backwards.
fn segments(
    pool: &Pool,
    kind: &BearingType,
    events: &[BearingEvent],
) -> (Vec<RowSegment>, Vec<usize>) {
    let is_good = good_events(events);
    let mut segments: Vec<RowSegment> = Vec::new();
    let mut backwards = Vec::new();
    // Hours in each stand since the counter began, at each event.
    let mut stand_h: Vec<BTreeMap<usize, f64>> = Vec::with_capacity(events.len());
    let mut begun: Vec<usize> = Vec::new();
    let mut open: BTreeMap<u32, usize> = BTreeMap::new();
    let mut setting: Option<usize> = None;
    // Row pairs that were set since then, nobody knows when by their counter.
    let mut unknown: BTreeSet<u32> = BTreeSet::new();
    let mut before: Option<usize> = None;
    for (at, event) in events.iter().enumerate() {
        if event.event == Event::Set {
            open.clear();
            unknown.clear();
            (setting, before) = (None, None);
        }
        let mut hours = before.map_or_else(BTreeMap::new, |i: usize| stand_h[i].clone());
        if !is_good[at] {
            let measured = |place: &&usize| pool.readings()[**place].clearance_um.is_some();
            backwards.extend(event.readings.iter().filter(measured));
            if event.event.is_start() {
                let pairs = event.readings.iter().map(|i| pool.readings()[*i].row_pair);
                unknown.extend(pairs.inspect(|pair| {
                    open.remove(pair);
                }));
            }
            stand_h.push(hours);
            continue;
        }
        if let Some(before) = before {
            let ran_h = event.counter_h - events[before].counter_h;
            for (stand, part) in &event.stands {
                *hours.entry(*stand).or_insert(0.0) += ran_h * part;
            }
        }
        stand_h.push(hours);
        before = Some(at);
        if event.event == Event::Set {
            setting = Some(at);
        }
        for &place in &event.readings {
            let reading = &pool.readings()[place];
            let is_start = event.event.is_start();
            if reading.clearance_um.is_none() && !is_start {
                continue;
            }
            let running = open.get(&reading.row_pair).copied().filter(|_| !is_start);
            let target = reading.target.unwrap_or(kind.set);
            let number = running.unwrap_or_else(|| {
                // A row pair that has no reading at the setting of its bearing began there all the same.
                let (start, from) = match setting {
                    _ if is_start => (Start::Set(target), at),
                    Some(from) if !unknown.contains(&reading.row_pair) => {
                        (Start::Set(kind.set), from)
                    }
                    _ => (Start::Truncated, at),
                };
                let earlier = segments
                    .iter_mut()
                    .filter(|s| s.row_pair == reading.row_pair);
                let number = earlier.map(|s| s.is_live = false).count();
                segments.push(RowSegment {
                    row_pair: reading.row_pair,
                    number,
                    start,
                    obs: Vec::new(),
                    is_live: true,
                    limit_known_um: None,
                });
                if is_start {
                    unknown.remove(&reading.row_pair);
                }
                begun.push(from);
                open.insert(reading.row_pair, segments.len() - 1);
                segments.len() - 1
            });
            let from = begun[number];
            let since: Vec<(usize, f64)> = stand_h[at]
                .iter()
                .map(|(stand, h)| (*stand, h - stand_h[from].get(stand).unwrap_or(&0.0)))
                .filter(|(_, h)| *h > 0.0)
                .collect();
            let gauge = reading.gauge.unwrap_or(kind.gauge);
            let bound_um = BOUND_STEPS * gauge.step_um;
            let segment = &mut segments[number];
            segment.limit_known_um = reading.limit_um.or(segment.limit_known_um);
            segment.obs.push(Obs {
                reading: place,
                event: at,
                h: event.counter_h - events[from].counter_h,
                counter_h: event.counter_h,
                y_um: reading.clearance_um.unwrap_or(f64::NAN),
                variance: reading
                    .bound
                    .map_or(0.0, |_| bound_um * bound_um)
                    .max(gauge.variance_um2()),
                is_measured: reading.clearance_um.is_some(),
                stand: event.stands.last().map(|(stand, _)| *stand),
                stand_h: since,
                is_start,
                is_used: reading.clearance_um.is_some(),
            });
        }
    }
    (segments, backwards)
}

/// Which events have a counter that fits the others: the most of them that do not run backwards, setting by setting.
fn good_events(events: &[BearingEvent]) -> Vec<bool> {
    let mut is_good = Vec::with_capacity(events.len());
    for stretch in events.chunk_by(|_, next| next.event != Event::Set) {
        let counters: Vec<f64> = stretch.iter().map(|event| event.counter_h).collect();
        is_good.extend(longest_rising(&counters));
    }
    is_good
}
