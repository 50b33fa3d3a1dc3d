//! What the wear model is told of a logbook.

use std::collections::BTreeMap;

use calc::wear::{BearingType, Event, Gauge, Present, Reading, Stands, Target};
use rusqlite::{Connection, OptionalExtension, params};

use super::super::bearing::{GrowthPoint, growth, pair_now};
use super::{Grown, Source};
use crate::error::Result;
use crate::id::ThingNo;
use crate::sheet::TypeFacts;
use crate::time::{DAY_MS, Stamp};

/// Uncertainty of an end play whose gauge nobody wrote down, µm at k = 2 (common practice, no source).
const UNKNOWN_U_UM: f64 = 20.0;
/// Step of such a reading, µm.
const STEP_UM: f64 = 1.0;

/// Growth over less mill time than this says nothing about a place (assumed), s.
const LEAST_S: i64 = 100 * 3_600;

/// The kind that has a clearance for each row pair.
const TAPERED: &str = "four_row_tapered";
/// Kinds of bearing types whose clearance is measured and grows, and that have one for the whole bearing.
const WHOLES: [&str; 2] = ["four_row_cylindrical", "two_row_spherical"];

impl WearPool {
    /// Read from the logbook: quick, and on the logbook's own thread. What the model makes of
    /// it ([`WearPool::review`]) takes long and needs no logbook.
    ///
    /// # Errors
    /// What the database says.
    pub fn read(conn: &Connection, as_of_day: Option<i32>) -> Result<Self> {
        let mut shop = Self::of_kind(conn, TAPERED, as_of_day)?;
        // How much bearings differ is a matter of their family: each is reviewed by itself.
        for kind in WHOLES {
            shop.others.push(Self::of_kind(conn, kind, as_of_day)?);
        }
        Ok(shop)
    }

    fn of_kind(conn: &Connection, kind: &str, as_of_day: Option<i32>) -> Result<Self> {
        let until_ms = as_of_day.map_or(i64::MAX, |day| (i64::from(day) + 1) * DAY_MS);
        let mut shop = Self {
            is_whole: WHOLES.contains(&kind),
            read_before_ms: i64::MAX,
            ..Self::default()
        };
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
    pub(super) types: BTreeMap<i64, Option<(BearingType, TypeFacts)>>,
    pub(super) readings: Vec<Reading>,
    pub(super) sources: Vec<Source>,
    pub(super) bearings: BTreeMap<String, ThingNo>,
    pub(super) counter_h: BTreeMap<String, f64>,
    pub(super) present: BTreeMap<String, Present>,
    pub(super) gone: Vec<String>,
    pub(super) grown: Vec<Grown>,
    /// Its bearings have one clearance each, not one for each row pair.
    is_whole: bool,
    /// Clearances from then on are not told of at all; a review up to a day leaves them out by itself.
    read_before_ms: i64,
    /// The other families.
    pub(super) others: Vec<WearPool>,
}

impl WearPool {
    /// What was read at one event does not count.
    pub fn leave_out(&mut self, event: ThingNo) {
        for (reading, source) in self.readings.iter_mut().zip(&self.sources) {
            if source.event == event.0 {
                reading.clearance_um = None;
            }
        }
        for other in &mut self.others {
            other.leave_out(event);
        }
    }

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
        let (mut points, ..) = growth(conn, one.no, one.prior_s)?;
        points.retain(|point| point.at.ms < self.read_before_ms);
        let as_set = as_set(conn, one.no, until_ms)?;
        if points.is_empty() {
            return Ok(());
        }
        let runs = runs(conn, one.no, until_ms)?;
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
            let stands = if point.is_setting || is_first {
                Stands::new()
            } else {
                stands_between(&runs, before_ms, at_ms)
            };
            let before = last.get(point.pair).copied().flatten();
            if let (false, Some((before, before_at))) = (stands.is_empty(), before)
                && before.segment == point.segment
                && point.run_s - before.run_s >= LEAST_S
                && let Some(position) = most(&stands_between(&runs, before.at.ms, at_ms))
            {
                self.grown.push(Grown {
                    serial: one.serial.clone(),
                    bearing_type: kind.name.clone(),
                    pair: point.pair,
                    position,
                    chock: chock_of(conn, point.event)?,
                    event: point.event,
                    at: point.at,
                    began_ms: began_between(&runs, before.at.ms, at_ms),
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
            let mut reading = reading(point, one, &kind, &facts, &limits, stands);
            if is_anew && !point.is_setting {
                begins_anew(&mut reading);
            }
            self.readings.push(reading);
            self.sources.push(Source {
                serial: one.serial.clone(),
                pair: point.pair as u32,
                event: point.event,
                is_whole: self.is_whole,
            });
        }
        let present = Present {
            since: stands_between(&runs, at_ms, until_ms),
            stand: place_at(conn, one.no, &runs, until_ms)?,
        };
        self.present.insert(one.serial.clone(), present);
        let run_s: i64 = runs.iter().map(|run| run.time_s).sum();
        self.counter_h
            .insert(one.serial.clone(), (one.prior_s + run_s) as f64 / 3_600.0);
        self.bearings.insert(one.serial.clone(), one.no);
        if one.is_gone {
            self.gone.push(one.serial.clone());
        }
        Ok(())
    }
}

/// What the wear model is told of one bearing.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnWear {
    /// Its serial.
    pub serial: String,
    /// Its type.
    pub bearing_type: String,
    /// Its clearances, oldest first.
    pub readings: Vec<Reading>,
    /// Where it ran since the last of them, and where it is.
    pub present: Present,
    /// The event of each reading.
    events: Vec<i64>,
}

impl OwnWear {
    /// Reads what is known of a bearing before a time; none where it was never measured.
    ///
    /// # Errors
    /// What the database says.
    pub fn read(conn: &Connection, no: ThingNo, until_ms: i64) -> Result<Option<Self>> {
        let mut pool = WearPool {
            read_before_ms: until_ms,
            ..WearPool::default()
        };
        let sql = "SELECT b.serial, b.prior_run_s, b.bearing_type, t.kind FROM bearing b
                   JOIN bearing_type t ON t.no = b.bearing_type WHERE b.no = ?1";
        let (one, kind) = conn.prepare_cached(sql)?.query_row([no.0], |row| {
            let one = One {
                no,
                serial: row.get(0)?,
                prior_s: row.get(1)?,
                kind: row.get(2)?,
                is_gone: false,
            };
            Ok((one, row.get::<_, String>(3)?))
        })?;
        if kind != TAPERED && !WHOLES.contains(&kind.as_str()) {
            return Ok(None);
        }
        pool.take(conn, &one, until_ms)?;
        let present = pool.present.remove(&one.serial).unwrap_or_default();
        let first = pool.readings.first();
        Ok(first
            .map(|first| first.bearing_type.clone())
            .map(|kind| Self {
                serial: one.serial,
                bearing_type: kind,
                present,
                events: pool.sources.iter().map(|of| of.event).collect(),
                readings: pool.readings,
            }))
    }

    /// Readings that do not count, by serial, row pair and event.
    pub fn leave_out(&mut self, is_refused: impl Fn(&str, u32, i64) -> bool) {
        for (reading, event) in self.readings.iter_mut().zip(&self.events) {
            if is_refused(&self.serial, reading.row_pair, *event) {
                reading.clearance_um = None;
            }
        }
    }

    /// A clearance that is read now, after the hours that it ran since the last; its limit and U, nm.
    pub fn read_now(
        &self,
        (row_pair, clearance_nm): (u32, i64),
        (limit_nm, uncertainty_nm): (Option<i64>, Option<i64>),
        (at, run_s): (Stamp, i64),
    ) -> Reading {
        Reading {
            bearing: self.serial.clone(),
            bearing_type: self.bearing_type.clone(),
            stands: self.present.since.clone(),
            day: at.day(),
            counter_h: run_s as f64 / 3_600.0,
            counter_t: None,
            row_pair,
            clearance_um: Some(um(clearance_nm)),
            bound: None,
            event: Event::Inspect,
            target: None,
            limit_um: limit_nm.map(um),
            gauge: uncertainty_nm.map(gauge),
        }
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
    stands: Stands,
) -> Reading {
    let event = match (point.is_setting, point.is_baseline) {
        (false, _) => Event::Inspect,
        (true, true) => Event::Set,
        (true, false) => Event::Regrind,
    };
    let target = match event {
        Event::Regrind => between(
            facts.pair("target_min_nm", point.pair),
            facts.pair("target_max_nm", point.pair),
        )
        .or(drawing(facts, point.pair)),
        _ => drawing(facts, point.pair),
    };
    Reading {
        bearing: one.serial.clone(),
        bearing_type: kind.name.clone(),
        stands,
        day: point.at.day(),
        // What it was set to when new, it was at zero, whatever ran before this logbook.
        counter_h: if event == Event::Set && point.segment == 0 {
            0.0
        } else {
            point.run_s as f64 / 3_600.0
        },
        counter_t: None,
        row_pair: point.pair as u32,
        clearance_um: Some(um(point.value_nm)),
        bound: None,
        event,
        target,
        limit_um: limits.get(point.pair - 1).copied().flatten().map(um),
        gauge: point.expanded_uncertainty_nm.map(gauge),
    }
}

fn gauge(uncertainty_nm: i64) -> Gauge {
    Gauge {
        expanded_uncertainty_um: um(uncertainty_nm),
        step_um: STEP_UM,
    }
}

/// Over another inner half the clearance begins anew, at what is read: that is all that is known of where it began.
fn begins_anew(reading: &mut Reading) {
    let Some(read_um) = reading.clearance_um else {
        return;
    };
    let doubt_um = reading
        .gauge
        .as_ref()
        .map_or(UNKNOWN_U_UM, |gauge| gauge.expanded_uncertainty_um);
    reading.event = Event::Regrind;
    reading.stands.clear();
    reading.target = Some(Target {
        nominal_um: read_um,
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

/// The campaigns of a bearing's chocks while it was in them, as far as they began before `until_ms`.
fn runs(conn: &Connection, bearing: ThingNo, until_ms: i64) -> Result<Vec<Run>> {
    let mut stmt = conn.prepare_cached(
        "SELECT r.from_ms, r.run_s, p.code FROM stay s
         JOIN run r ON r.chock = s.chock AND r.from_ms >= s.from_ms AND (s.to_ms IS NULL OR r.from_ms < s.to_ms)
         JOIN position p ON p.no = r.position
         WHERE s.bearing = ?1 AND r.from_ms < ?2 ORDER BY r.from_ms",
    )?;
    let rows = stmt.query_map(params![bearing.0, until_ms], |row| {
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

/// The positions at which the hours between two teardowns were run, in the order in which it left them. The model calls
/// them stands; a tilted window or a worn liner belongs to one position, and the others of its stand acquit it.
fn stands_between(runs: &[Run], from_ms: i64, to_ms: i64) -> Stands {
    let mut stands = Stands::new();
    for run in runs {
        if run.from_ms >= from_ms && run.from_ms < to_ms && run.time_s > 0 {
            let before = stands.iter().position(|(place, _)| *place == run.stand);
            let so_far = before.map_or(0.0, |at| stands.remove(at).1);
            stands.push((run.stand.clone(), so_far + run.time_s as f64 / 3_600.0));
        }
    }
    stands
}

/// The place of most of the hours.
fn most(stands: &Stands) -> Option<String> {
    let most = stands.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(most.0.clone())
}

/// The position at which a bearing is before a time: that of its chock. Where nobody wrote down where the chock went, the
/// last campaign says where it ran; in the shop it is at none.
fn place_at(
    conn: &Connection,
    bearing: ThingNo,
    runs: &[Run],
    until_ms: i64,
) -> Result<Option<String>> {
    let sql = "SELECT s.from_ms, w.place, p.code FROM stay s
         LEFT JOIN whereabouts w ON w.thing = s.chock AND w.from_ms < ?2 AND (w.to_ms IS NULL OR w.to_ms >= ?2)
         LEFT JOIN position p ON p.no = w.position
         WHERE s.bearing = ?1 AND s.from_ms < ?2 AND (s.to_ms IS NULL OR s.to_ms >= ?2)
         ORDER BY s.from_ms DESC, w.from_ms DESC LIMIT 1";
    let found = conn
        .prepare_cached(sql)?
        .query_row(params![bearing.0, until_ms], |row| {
            Ok((
                row.get::<_, i64>(0)?,
                row.get::<_, Option<String>>(1)?,
                row.get::<_, Option<String>>(2)?,
            ))
        })
        .optional()?;
    Ok(match found {
        None => None,
        Some((_, Some(place), position)) => position.filter(|_| place == "mill"),
        Some((since_ms, None, _)) => {
            let last = runs.last().filter(|run| run.from_ms >= since_ms);
            last.map(|run| run.stand.clone())
        }
    })
}
