//! The logbook as the wear model wants it: every clearance of every bearing with its counter, position, gauge and limit.

use std::collections::BTreeMap;

use calc::wear::{self, BearingType, Event, Gauge, Pool, Reading, Review, Settings, Target};
use rusqlite::{Connection, OptionalExtension, params};

use super::bearing::{GrowthPoint, growth, pair_now};
use crate::error::{Result, StoreError};
use crate::id::ThingNo;
use crate::sheet::TypeFacts;
use crate::time::{DAY_MS, Stamp};

/// Uncertainty of an end play whose gauge nobody wrote down, µm at k = 2 (common practice, no source).
const UNKNOWN_U_UM: f64 = 20.0;
/// Step of such a reading, µm.
const STEP_UM: f64 = 1.0;
/// Mill hours to the next teardown where a type names no interval (assumed).
const AHEAD_H: f64 = 2_500.0;

/// Growth over less mill time than this says nothing about a place (assumed), s.
const LEAST_S: i64 = 100 * 3_600;

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
    /// Where the readings of the pool come from: serial, row pair, event.
    sources: Vec<(String, u32, i64)>,
    /// What each row pair grew by between two teardowns, oldest first by bearing; readings that do not fit left out.
    pub grown: Vec<Grown>,
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

    /// Serial, row pair and event of a reading that the review names by its place.
    pub fn source(&self, reading: usize) -> Option<(&str, u32, i64)> {
        let (serial, pair, event) = self.sources.get(reading)?;
        Some((serial, *pair, *event))
    }

    /// Where the hours before or after a reading were run, if that place stands out as wearing faster: what grew there
    /// makes the readings at both ends look improbable, and one of them may be the value as set.
    pub fn loud_place(&self, reading: usize) -> Option<&str> {
        let is_loud = |place: &str| {
            let mut all = self.review.contrasts.iter();
            all.any(|c| c.stand == place && c.is_alarm())
        };
        let beside = self
            .grown
            .iter()
            .filter(|g| g.reading == reading || g.before == reading);
        let mut places = beside.map(|g| g.position.as_str());
        places.find(|place| is_loud(place))
    }

    /// Readings that do not fit the others, bearing by bearing: the last of each, and how many there are. At a place that
    /// stands out they are part of that picture and no question.
    pub fn questions(&self) -> Vec<Question> {
        let mut by_bearing: BTreeMap<&str, Question> = BTreeMap::new();
        for found in &self.review.improbable {
            let Some((serial, pair, event)) = self.source(found.reading) else {
                continue;
            };
            if self.loud_place(found.reading).is_some() {
                continue;
            }
            let count = by_bearing.get(serial).map_or(0, |question| question.count) + 1;
            let question = Question {
                serial: serial.to_owned(),
                pair,
                event,
                expected_um: found.expected_um,
                meant_um: found.offers.first().map(|offer| offer.clearance_um),
                count,
            };
            by_bearing.insert(serial, question);
        }
        by_bearing.into_values().collect()
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
        self.sources.extend(other.sources);
        self.bearings.extend(other.bearings);
        self.counter_h.extend(other.counter_h);
        self.interval_h.extend(other.interval_h);
        self.grown.extend(other.grown.into_iter().map(|g| Grown {
            reading: g.reading + offset,
            before: g.before + offset,
            ..g
        }));
        let (all, own) = (&mut self.review, other.review);
        all.rows.extend(own.rows);
        all.improbable
            .extend(own.improbable.into_iter().map(|mut i| {
                i.reading += offset;
                i
            }));
        all.backwards
            .extend(own.backwards.into_iter().map(|reading| reading + offset));
        // One clearance a bearing: there are no rows to set against each other.
        all.contrasts
            .extend(own.contrasts.into_iter().filter(|c| c.row_pair.is_none()));
        all.rates_um_per_kh.extend(own.rates_um_per_kh);
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

/// Reviews the wear of the shop as it was known on a day (days since 1970-01-01 on the wall clock); none where nothing
/// has grown yet.
///
/// # Errors
/// What the database says; a value that no clearance has is named by its bearing.
pub fn shop_wear(conn: &Connection, as_of_day: Option<i32>) -> Result<Option<ShopWear>> {
    WearPool::read(conn, as_of_day)?.review(as_of_day)
}

/// Kinds of bearing types whose clearance is measured and grows, and that have one for the whole bearing.
const WHOLES: [&str; 2] = ["four_row_cylindrical", "two_row_spherical"];

impl WearPool {
    /// What the model is told, read from the logbook: quick, and on the logbook's own thread. What the model makes of
    /// it ([`WearPool::review`]) takes long and needs no logbook.
    ///
    /// # Errors
    /// What the database says.
    pub fn read(conn: &Connection, as_of_day: Option<i32>) -> Result<Self> {
        let mut shop = Self::of_kind(conn, "four_row_tapered", as_of_day)?;
        // How much bearings differ is a matter of their family: each is reviewed by itself.
        for kind in WHOLES {
            shop.others.push(Self::of_kind(conn, kind, as_of_day)?);
        }
        Ok(shop)
    }

    fn of_kind(conn: &Connection, kind: &str, as_of_day: Option<i32>) -> Result<Self> {
        let until_ms = as_of_day.map_or(i64::MAX, |day| (i64::from(day) + 1) * DAY_MS);
        let mut shop = Self::default();
        let mut stmt = conn.prepare(
            "SELECT b.no, b.serial, b.prior_run_s, b.bearing_type,
               (SELECT e.at_ms FROM place p JOIN event e ON e.no = p.since_event
                WHERE p.thing = b.no AND p.place = 'scrapped') AS gone_ms
             FROM bearing b JOIN bearing_type t ON t.no = b.bearing_type
             WHERE t.kind = ?1 ORDER BY b.serial, b.no",
        )?;
        let mut rows = stmt.query([kind])?;
        while let Some(row) = rows.next()? {
            let gone_ms: Option<i64> = row.get(4)?;
            let bearing = One {
                no: ThingNo(row.get(0)?),
                serial: row.get(1)?,
                prior_s: row.get(2)?,
                kind: row.get(3)?,
                is_gone: gone_ms.is_some_and(|ms| ms < until_ms),
            };
            shop.take(conn, &bearing, until_ms)?;
        }
        Ok(shop)
    }
}

/// A bearing with readings that do not fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The bearing.
    pub serial: String,
    /// Row pair of the last such reading.
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

struct One {
    no: ThingNo,
    serial: String,
    prior_s: i64,
    kind: i64,
    is_gone: bool,
}

/// Everything that the wear model is told of a logbook.
#[derive(Debug, Clone, Default)]
pub struct WearPool {
    types: BTreeMap<i64, Option<(BearingType, TypeFacts)>>,
    readings: Vec<Reading>,
    sources: Vec<(String, u32, i64)>,
    bearings: BTreeMap<String, ThingNo>,
    counter_h: BTreeMap<String, f64>,
    gone: Vec<String>,
    grown: Vec<Grown>,
    /// The other families.
    others: Vec<WearPool>,
}

impl WearPool {
    /// Takes one bearing in, with the values of its type and its settings as they were known before `until_ms`.
    fn take(&mut self, conn: &Connection, one: &One, until_ms: i64) -> Result<()> {
        if let std::collections::btree_map::Entry::Vacant(free) = self.types.entry(one.kind) {
            let facts = TypeFacts::load(conn, ThingNo(one.kind), until_ms.saturating_sub(1))?;
            free.insert(bearing_type(&facts).map(|kind| (kind, facts)));
        }
        let known = self.types.get(&one.kind).cloned().flatten();
        // Without a drawing clearance nothing says what wear is expected.
        let Some((kind, facts)) = known else {
            return Ok(());
        };
        let (points, ..) = growth(conn, one.no, one.prior_s)?;
        let as_set = as_set(conn, one.no, until_ms)?;
        if points.is_empty() {
            return Ok(());
        }
        let runs = runs(conn, one.no)?;
        let limits: [Option<i64>; 3] =
            std::array::from_fn(|i| pair_now(&points, &facts, as_set[i], i + 1).limit_nm);
        let mut before_ms = i64::MIN;
        let mut at_ms = i64::MIN;
        let mut last: [Option<(&GrowthPoint, usize)>; 4] = [None; 4];
        let first_ms = points.first().map_or(i64::MIN, |point| point.at.ms);
        for point in &points {
            if point.at.ms != at_ms {
                before_ms = at_ms;
                at_ms = point.at.ms;
            }
            // Where the hours before this logbook were run nobody knows.
            let is_first = point.segment == 0 && one.prior_s > 0 && before_ms == first_ms;
            let stand = stand_between(&runs, before_ms, at_ms).filter(|_| !is_first);
            let place = stand.clone().filter(|_| !point.is_setting);
            let before = last.get(point.pair).copied().flatten();
            if let (Some(position), Some((before, before_at))) = (place, before)
                && before.segment == point.segment
                && point.run_s - before.run_s >= LEAST_S
            {
                self.grown.push(Grown {
                    serial: one.serial.clone(),
                    bearing_type: kind.name.clone(),
                    pair: point.pair,
                    position,
                    chock: chock_of(conn, point.event)?,
                    event: point.event,
                    at: point.at,
                    began_ms: began_between(&runs, before_ms, at_ms),
                    hours: (point.run_s - before.run_s) as f64 / 3_600.0,
                    grown_um: um(point.value_nm - before.value_nm),
                    found_nm: point.value_nm,
                    reading: self.readings.len(),
                    before: before_at,
                });
            }
            let is_anew = before.is_some_and(|(before, _)| before.segment != point.segment);
            if let Some(slot) = last.get_mut(point.pair) {
                *slot = Some((point, self.readings.len()));
            }
            let mut reading = reading(point, one, &kind, &facts, &limits, stand);
            if is_anew && !point.is_setting {
                begins_anew(&mut reading);
            }
            self.readings.push(reading);
            self.sources
                .push((one.serial.clone(), point.pair as u32, point.event));
        }
        let run_s: i64 = runs.iter().map(|run| run.time_s).sum();
        self.counter_h
            .insert(one.serial.clone(), (one.prior_s + run_s) as f64 / 3_600.0);
        self.bearings.insert(one.serial.clone(), one.no);
        if one.is_gone {
            self.gone.push(one.serial.clone());
        }
        Ok(())
    }

    /// What the model makes of it; none where nothing has grown yet.
    ///
    /// # Errors
    /// A value that no clearance has is named by its bearing.
    pub fn review(mut self, as_of_day: Option<i32>) -> Result<Option<ShopWear>> {
        let others = std::mem::take(&mut self.others);
        let mut whole = self.review_own(as_of_day)?;
        for other in others {
            match (&mut whole, other.review_own(as_of_day)?) {
                (Some(whole), Some(own)) => whole.join(own),
                (None, own) => whole = own,
                (Some(_), None) => {}
            }
        }
        Ok(whole)
    }

    fn review_own(self, as_of_day: Option<i32>) -> Result<Option<ShopWear>> {
        let known: Vec<(BearingType, TypeFacts)> = self.types.into_values().flatten().collect();
        let interval_h = known.iter().filter_map(|(kind, facts)| {
            let run_s = facts.whole("interval_run_s")?;
            Some((kind.name.clone(), run_s as f64 / 3_600.0))
        });
        let interval_h = interval_h.collect();
        let types = known.into_iter().map(|(kind, _)| kind).collect();
        let pool = Pool::new(types, self.readings)
            .map_err(|e| StoreError::input("wear of the shop", e.to_string()))?;
        let settings = Settings {
            as_of_day,
            ..Settings::default()
        };
        let Some(mut review) = wear::review(&pool, &settings) else {
            return Ok(None);
        };
        let mut grown = self.grown;
        // A reading that does not fit is left out, but not where its place stands out: there it is what stands out.
        let is_loud = |place: &str| {
            let mut own = review.contrasts.iter().filter(|c| c.stand == place);
            own.any(calc::wear::Contrast::is_alarm)
        };
        grown.retain(|g| {
            is_loud(&g.position) || review.improbable.iter().all(|i| i.reading != g.reading)
        });
        review.rows.retain(|row| !self.gone.contains(&row.bearing));
        Ok(Some(ShopWear {
            review,
            bearings: self.bearings,
            counter_h: self.counter_h,
            interval_h,
            sources: self.sources,
            grown,
        }))
    }
}

/// The clearances of a bearing as set last before a time.
fn as_set(conn: &Connection, bearing: ThingNo, until_ms: i64) -> Result<[Option<i64>; 3]> {
    let sql = "SELECT pair, value_nm FROM baseline WHERE bearing = ?1 AND at_ms < ?2 ORDER BY at_ms, event";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query(params![bearing.0, until_ms])?;
    let mut as_set = [None; 3];
    while let Some(row) = rows.next()? {
        let pair = usize::try_from(row.get::<_, i64>(0)? - 1).ok();
        if let Some(slot) = pair.and_then(|pair| as_set.get_mut(pair)) {
            *slot = row.get(1)?;
        }
    }
    Ok(as_set)
}

fn um(nm: i64) -> f64 {
    nm as f64 / 1_000.0
}

/// Middle and half width of two limits.
fn between(low: Option<i64>, high: Option<i64>) -> Option<Target> {
    let (low, high) = low.zip(high)?;
    Some(Target {
        nominal_um: um(low + high) / 2.0,
        tolerance_um: um(high - low) / 2.0,
    })
}

fn drawing(facts: &TypeFacts, pair: usize) -> Option<Target> {
    between(
        facts.pair("clearance_min_nm", pair),
        facts.pair("clearance_max_nm", pair),
    )
    .filter(|target| target.nominal_um > 0.0)
}

fn bearing_type(facts: &TypeFacts) -> Option<BearingType> {
    Some(BearingType {
        name: facts.code.clone(),
        set: drawing(facts, 1)?,
        limit_factor: facts.rework_factor(),
        limit_um: facts.pair("rework_nm", 1).map(um),
        gauge: Gauge {
            expanded_uncertainty_um: UNKNOWN_U_UM,
            step_um: STEP_UM,
        },
    })
}

fn reading(
    point: &GrowthPoint,
    one: &One,
    kind: &BearingType,
    facts: &TypeFacts,
    limits: &[Option<i64>; 3],
    stand: Option<String>,
) -> Reading {
    let event = match (point.is_setting, point.segment) {
        (false, _) => Event::Inspect,
        (true, 0) => Event::Set,
        (true, _) => Event::Regrind,
    };
    let target = match event {
        Event::Regrind => between(
            facts.pair("target_min_nm", point.pair),
            facts.pair("target_max_nm", point.pair),
        )
        .or(drawing(facts, point.pair)),
        _ => drawing(facts, point.pair),
    };
    let local = point.at.ms + point.at.offset_min * 60_000;
    Reading {
        bearing: one.serial.clone(),
        bearing_type: kind.name.clone(),
        stand: stand.filter(|_| !point.is_setting),
        day: local.div_euclid(DAY_MS) as i32,
        // What it was set to when new, it was at zero, whatever ran before this logbook.
        counter_h: if event == Event::Set {
            0.0
        } else {
            point.run_s as f64 / 3_600.0
        },
        counter_t: None,
        row_pair: point.pair as u32,
        clearance_um: um(point.value_nm),
        bound: None,
        event,
        target,
        limit_um: limits.get(point.pair - 1).copied().flatten().map(um),
        gauge: point.expanded_uncertainty_nm.map(|u| Gauge {
            expanded_uncertainty_um: um(u),
            step_um: STEP_UM,
        }),
    }
}

/// Over another inner half the clearance begins anew, at what is read: that is all that is known of where it began.
fn begins_anew(reading: &mut Reading) {
    let doubt_um = reading
        .gauge
        .as_ref()
        .map_or(UNKNOWN_U_UM, |gauge| gauge.expanded_uncertainty_um);
    reading.event = Event::Regrind;
    reading.stand = None;
    reading.target = Some(Target {
        nominal_um: reading.clearance_um,
        tolerance_um: doubt_um.max(STEP_UM),
    });
}

fn chock_of(conn: &Connection, sheet: i64) -> Result<String> {
    let code = conn
        .prepare_cached(
            "SELECT c.code FROM sheet s JOIN chock c ON c.no = s.chock WHERE s.event = ?1",
        )?
        .query_row([sheet], |row| row.get(0));
    Ok(code.optional()?.unwrap_or_default())
}

struct Run {
    from_ms: i64,
    time_s: i64,
    stand: String,
}

/// The campaigns of a bearing's chocks while it was in them.
fn runs(conn: &Connection, bearing: ThingNo) -> Result<Vec<Run>> {
    let mut stmt = conn.prepare_cached(
        "SELECT r.from_ms, r.run_s, p.code FROM stay s
         JOIN run r ON r.chock = s.chock AND r.from_ms >= s.from_ms AND (s.to_ms IS NULL OR r.from_ms < s.to_ms)
         JOIN position p ON p.no = r.position
         WHERE s.bearing = ?1 ORDER BY r.from_ms",
    )?;
    let rows = stmt.query_map(params![bearing.0], |row| {
        Ok(Run {
            from_ms: row.get(0)?,
            time_s: row.get(1)?,
            stand: row.get(2)?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// When the first campaign between two readings began.
fn began_between(runs: &[Run], from_ms: i64, to_ms: i64) -> i64 {
    let between = |run: &&Run| run.from_ms >= from_ms && run.from_ms < to_ms;
    let first = runs.iter().filter(between).map(|run| run.from_ms).min();
    first.unwrap_or(from_ms)
}

/// The position at which most of the hours between two teardowns were run. The model calls it a stand; a tilted window or a
/// worn liner belongs to one position, and the others of its stand acquit it.
fn stand_between(runs: &[Run], from_ms: i64, to_ms: i64) -> Option<String> {
    let mut hours: BTreeMap<&str, i64> = BTreeMap::new();
    for run in runs {
        if run.from_ms >= from_ms && run.from_ms < to_ms {
            *hours.entry(&run.stand).or_default() += run.time_s;
        }
    }
    let most = hours.into_iter().max_by_key(|(_, run_s)| *run_s)?;
    Some(most.0.to_owned())
}
