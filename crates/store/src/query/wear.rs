//! The logbook as the wear model wants it: every clearance of every bearing with its counter, position, gauge and limit.

mod kept;
mod told;

use std::collections::BTreeMap;
use std::sync::Arc;

use calc::wear::{self, BearingType, Improbable, Peers, Pool, Review, Settings, Why};
use rusqlite::Connection;

pub use self::kept::KeptWear;
pub use self::told::{OwnWear, WearPool};
use crate::error::{Result, StoreError};
use crate::id::ThingNo;
use crate::sheet::TypeFacts;
use crate::time::Stamp;

/// Mill hours to the next teardown where a type names no interval (assumed).
const AHEAD_H: f64 = 2_500.0;

/// The wear of a whole shop.
#[derive(Debug, Clone, PartialEq)]
pub struct ShopWear {
    /// Forecasts, remarks and comparisons; of bearings that are scrapped nothing.
    pub review: Review,
    /// The bearing behind each serial.
    pub bearings: BTreeMap<String, ThingNo>,
    /// Mill hours on each bearing's own counter.
    pub counter_h: BTreeMap<String, f64>,
    /// Hours between teardowns by bearing type, as planned.
    pub interval_h: BTreeMap<String, f64>,
    /// Where the readings of the pool come from.
    sources: Vec<Source>,
    /// What each row pair grew by between two teardowns, oldest first by bearing; readings that do not fit left out.
    pub grown: Vec<Grown>,
    /// What each family knows besides one bearing.
    peers: Vec<Arc<Peers>>,
}

/// Where a reading of the pool comes from.
#[derive(Debug, Clone, PartialEq)]
struct Source {
    serial: String,
    /// Row pair from 1.
    pair: u32,
    event: i64,
    /// The clearance is that of the whole bearing.
    is_whole: bool,
}

/// There is no review of the wear; what was refused on the way is not lost.
#[derive(Debug, Clone, PartialEq)]
pub struct NoWear {
    /// Why.
    pub why: Why,
    /// What stopped the arithmetic, in words; empty for any other reason.
    pub said: String,
    improbable: Vec<Improbable>,
    backwards: Vec<usize>,
    sources: Vec<Source>,
}

impl NoWear {
    /// No row pair has two readings.
    pub fn nothing_grown() -> Self {
        Self {
            why: Why::NothingGrown,
            said: String::new(),
            improbable: Vec::new(),
            backwards: Vec::new(),
            sources: Vec::new(),
        }
    }

    /// The arithmetic stopped before it had an answer.
    pub fn not_fitted(said: impl Into<String>) -> Self {
        Self {
            why: Why::NotFitted,
            said: said.into(),
            ..Self::nothing_grown()
        }
    }

    /// Readings that were refused: serial, row pair and event.
    pub fn refused(&self) -> impl Iterator<Item = (&str, u32, i64)> {
        let improbable = self.improbable.iter().map(|found| found.reading);
        let all = improbable.chain(self.backwards.iter().copied());
        all.filter_map(|reading| source(&self.sources, reading))
    }

    /// Readings that do not fit the others, bearing by bearing.
    pub fn questions(&self) -> Vec<Question> {
        questions(&self.improbable, &self.sources, |_| false)
    }
}

fn source(sources: &[Source], reading: usize) -> Option<(&str, u32, i64)> {
    let of = sources.get(reading)?;
    Some((&of.serial, of.pair, of.event))
}

/// The last reading of each bearing that does not fit, and how many there are.
fn questions(
    improbable: &[Improbable],
    sources: &[Source],
    is_answered: impl Fn(usize) -> bool,
) -> Vec<Question> {
    let mut by_bearing: BTreeMap<&str, Question> = BTreeMap::new();
    for found in improbable.iter().filter(|i| !is_answered(i.reading)) {
        let Some(of) = sources.get(found.reading) else {
            continue;
        };
        let count = by_bearing.get(&*of.serial).map_or(0, |q| q.count) + 1;
        let question = Question {
            serial: of.serial.clone(),
            pair: if of.is_whole { 0 } else { of.pair },
            event: of.event,
            expected_um: found.expected_um,
            meant_um: found.offers.first().map(|offer| offer.clearance_um),
            count,
        };
        by_bearing.insert(&of.serial, question);
    }
    by_bearing.into_values().collect()
}

/// Growth of a row pair from one teardown to the next.
#[derive(Debug, Clone, PartialEq)]
pub struct Grown {
    /// The bearing.
    pub serial: String,
    /// Its type.
    pub bearing_type: String,
    /// Row pair from 1.
    pub pair: usize,
    /// Where most of the hours were run.
    pub position: String,
    /// The chock it came out of; empty where nobody wrote it down.
    pub chock: String,
    /// The later reading.
    pub event: i64,
    /// Its day.
    pub at: Stamp,
    /// When the first campaign between the two began, ms UTC: the earlier reading may be from long before.
    pub began_ms: i64,
    /// Mill hours between the two.
    pub hours: f64,
    /// Growth, µm.
    pub grown_um: f64,
    /// Clearance found, nm.
    pub found_nm: i64,
    /// The later reading's place in the pool.
    reading: usize,
    /// That of the earlier one.
    before: usize,
}

impl ShopWear {
    /// Mill time of a bearing's stay at which one of its row pairs may pass its limit with the chance of the alarm, s;
    /// `run_s` is how far the stay is. None where that is beyond what can be said.
    pub fn limit_run_s(&self, serial: &str, run_s: i64) -> Option<i64> {
        let now_h = self.counter_h.get(serial)?;
        let alarm = Settings::default().alarm_chance;
        let first = self
            .of(serial)
            .filter_map(|row| row.state.crossing_h(alarm));
        let left_h = first.min_by(f64::total_cmp)? - now_h;
        Some(run_s + (left_h * 3_600.0) as i64)
    }

    /// What bearings of a type say of one of them.
    pub fn peers(&self, bearing_type: &str) -> Option<Arc<Peers>> {
        let mut all = self.peers.iter();
        all.find(|peers| peers.knows(bearing_type)).cloned()
    }

    /// Whether a reading was left out of what is known.
    pub fn is_refused(&self, serial: &str, row_pair: u32, event: i64) -> bool {
        let improbable = self.review.improbable.iter().map(|found| found.reading);
        let mut all = improbable.chain(self.review.backwards.iter().copied());
        all.any(|reading| self.source(reading) == Some((serial, row_pair, event)))
    }

    /// Whether a place stands out, or one of its row pairs among the others there.
    fn is_loud(&self, place: &str) -> bool {
        let mut all = self.review.contrasts.iter();
        all.any(|c| c.stand == place && c.is_alarm())
    }

    /// Whether the bearings of a place wear faster than those of other places, all rows together.
    pub fn wears_bearings(&self, place: &str) -> bool {
        let mut all = self.review.contrasts.iter();
        all.any(|c| c.stand == place && c.row_pair.is_none() && c.is_alarm())
    }

    /// Serial, row pair and event of a reading that the review names by its place.
    pub fn source(&self, reading: usize) -> Option<(&str, u32, i64)> {
        source(&self.sources, reading)
    }

    /// Where the hours before or after a reading were run, if that place stands out as wearing faster: what grew there
    /// makes the readings at both ends look improbable, and one of them may be the value as set.
    pub fn loud_place(&self, reading: usize) -> Option<&str> {
        let beside = self
            .grown
            .iter()
            .filter(|g| g.reading == reading || g.before == reading);
        let mut places = beside.map(|g| g.position.as_str());
        places.find(|place| self.is_loud(place))
    }

    /// Readings that do not fit the others, bearing by bearing: the last of each, and how many there are. At a place that
    /// stands out they are part of that picture and no question.
    pub fn questions(&self) -> Vec<Question> {
        let is_answered = |reading: usize| self.loud_place(reading).is_some();
        questions(&self.review.improbable, &self.sources, is_answered)
    }

    /// The row pairs of one bearing.
    pub fn of<'a>(&'a self, serial: &'a str) -> impl Iterator<Item = &'a wear::RowForecast> {
        self.review
            .rows
            .iter()
            .filter(move |row| row.bearing == serial)
    }

    /// Adds what another family of bearings says; its readings come after those that are there.
    fn join(&mut self, other: Self) {
        let offset = self.sources.len();
        self.bearings.extend(other.bearings);
        self.counter_h.extend(other.counter_h);
        self.interval_h.extend(other.interval_h);
        self.peers.extend(other.peers);
        self.grown.extend(other.grown.into_iter().map(|g| Grown {
            reading: g.reading + offset,
            before: g.before + offset,
            ..g
        }));
        let own = other.review;
        self.join_refused(own.improbable, &own.backwards, other.sources);
        let all = &mut self.review;
        all.rows.extend(own.rows);
        // One clearance a bearing: there are no rows to set against each other.
        let places = own.contrasts.into_iter().filter(|c| c.row_pair.is_none());
        all.contrasts.extend(places);
        all.rates_um_per_kh.extend(own.rates_um_per_kh);
    }

    /// What was refused of another family.
    fn join_refused(
        &mut self,
        improbable: Vec<Improbable>,
        backwards: &[usize],
        sources: Vec<Source>,
    ) {
        let offset = self.sources.len();
        self.sources.extend(sources);
        let all = &mut self.review;
        all.improbable.extend(improbable.into_iter().map(|mut i| {
            i.reading += offset;
            i
        }));
        let backwards = backwards.iter().map(|reading| reading + offset);
        all.backwards.extend(backwards);
    }

    /// Judges the places of all families together: whoever looks at many finds one that is loud by chance. A reading that
    /// does not fit is left out of what grew, but not where its place stands out: there it is what stands out.
    fn judge(&mut self) {
        wear::judge(&mut self.review.contrasts);
        let review = &self.review;
        let is_loud = |place: &str| {
            let mut own = review.contrasts.iter().filter(|c| c.stand == place);
            own.any(wear::Contrast::is_alarm)
        };
        self.grown.retain(|g| {
            is_loud(&g.position) || review.improbable.iter().all(|i| i.reading != g.reading)
        });
    }

    /// Chance of passing the limit before the next planned teardown.
    pub fn chance(&self, row: &wear::RowForecast) -> f64 {
        row.state.chance_within(self.ahead_h(&row.bearing_type))
    }

    /// Mill hours to the next planned teardown of a type, counted from the last.
    pub fn ahead_h(&self, bearing_type: &str) -> f64 {
        self.interval_h
            .get(bearing_type)
            .copied()
            .unwrap_or(AHEAD_H)
    }
}

/// Reviews the wear of the shop as it was known on a day (days since 1970-01-01 on the wall clock), or says why there is
/// nothing to review.
///
/// # Errors
/// What the database says; a value that no clearance has is named by its bearing.
pub fn shop_wear(
    conn: &Connection,
    as_of_day: Option<i32>,
) -> Result<std::result::Result<ShopWear, NoWear>> {
    WearPool::read(conn, as_of_day)?.review(as_of_day)
}

/// A bearing with readings that do not fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The bearing.
    pub serial: String,
    /// Row pair of the last such reading, from 1; 0 where the clearance is that of the whole bearing.
    pub pair: u32,
    /// Its event.
    pub event: i64,
    /// What was expected, µm.
    pub expected_um: f64,
    /// What may have been meant, µm: another unit, digits exchanged, the value of a neighbour row.
    pub meant_um: Option<f64>,
    /// How many such readings it has.
    pub count: usize,
}

impl WearPool {
    /// What the model makes of it, or why it makes nothing of it.
    ///
    /// # Errors
    /// A value that no clearance has is named by its bearing.
    pub fn review(
        mut self,
        as_of_day: Option<i32>,
    ) -> Result<std::result::Result<ShopWear, NoWear>> {
        let others = std::mem::take(&mut self.others);
        let mut all = self.review_own(as_of_day)?;
        for other in others {
            all = match (all, other.review_own(as_of_day)?) {
                (Ok(mut all), Ok(own)) => {
                    all.join(own);
                    Ok(all)
                }
                (Ok(mut all), Err(none)) | (Err(none), Ok(mut all)) => {
                    all.join_refused(none.improbable, &none.backwards, none.sources);
                    Ok(all)
                }
                (Err(mut all), Err(own)) => {
                    let offset = all.sources.len();
                    all.sources.extend(own.sources);
                    all.improbable
                        .extend(own.improbable.into_iter().map(|mut i| {
                            i.reading += offset;
                            i
                        }));
                    let backwards = own.backwards.iter().map(|reading| reading + offset);
                    all.backwards.extend(backwards);
                    if own.why > all.why {
                        (all.why, all.said) = (own.why, own.said);
                    }
                    Err(all)
                }
            };
        }
        if let Ok(all) = &mut all {
            all.judge();
        }
        Ok(all)
    }

    fn review_own(self, as_of_day: Option<i32>) -> Result<std::result::Result<ShopWear, NoWear>> {
        let known: Vec<(BearingType, TypeFacts)> = self.types.into_values().flatten().collect();
        let interval_h = known.iter().filter_map(|(kind, facts)| {
            let run_s = facts.whole("interval_run_s")?;
            Some((kind.name.clone(), run_s as f64 / 3_600.0))
        });
        let interval_h = interval_h.collect();
        let types = known.into_iter().map(|(kind, _)| kind).collect();
        let pool = Pool::new(types, self.readings)
            .and_then(|pool| pool.with_present(self.present))
            .map_err(|e| StoreError::input("wear of the shop", e.to_string()))?;
        let settings = Settings {
            as_of_day,
            ..Settings::default()
        };
        Ok(match wear::review(&pool, &settings) {
            Ok(mut review) => {
                review.rows.retain(|row| !self.gone.contains(&row.bearing));
                Ok(ShopWear {
                    bearings: self.bearings,
                    counter_h: self.counter_h,
                    interval_h,
                    sources: self.sources,
                    grown: self.grown,
                    peers: vec![Arc::new(review.peers.clone())],
                    review,
                })
            }
            Err(none) => Err(NoWear {
                why: none.why,
                said: match none.why {
                    Why::NotFitted => "its equations have no answer".to_owned(),
                    _ => String::new(),
                },
                improbable: none.improbable,
                backwards: none.backwards,
                sources: self.sources,
            }),
        })
    }
}
