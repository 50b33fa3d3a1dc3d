//! What the logbook knows about the things named on a sheet, as of the day of the teardown.

use std::collections::BTreeMap;

use rusqlite::{Connection, OptionalExtension, named_params, params};

use super::findings::{self, EarlierFinding};
pub use super::shop::ShopFacts;
use crate::draft::Fields;
use crate::error::{Result, StoreError};
use crate::id::ThingNo;
use crate::time::{DAY_MS, Stamp};

/// Everything that the assessment of a sheet needs from the logbook.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// When the bearing was torn down.
    pub at: Stamp,
    /// The bearing, where it is known.
    pub bearing: Option<BearingFacts>,
    /// Its type with the values valid on that day.
    pub bearing_type: Option<TypeFacts>,
    /// The chock.
    pub chock: Option<ChockFacts>,
    /// The roll whose neck is measured.
    pub roll: Option<(ThingNo, String)>,
    /// Where the chock ran last.
    pub position: Option<(ThingNo, String)>,
    /// The chock that the bearing goes back into, if it is another one.
    pub back_into: Option<(ThingNo, String)>,
    /// The roll that was in the chock last, to be offered.
    pub last_roll: Option<String>,
    /// Earlier bore checks of the chock, oldest first.
    pub last_bores: Vec<LastSeat>,
    /// All gauges with their status on that day, by code.
    pub gauges: BTreeMap<String, GaugeFacts>,
    /// All greases by code.
    pub greases: BTreeMap<String, ThingNo>,
    /// Greases and seal batches that are blocked, by code, and why.
    pub blocked: BTreeMap<String, String>,
    /// All people by name.
    pub people: BTreeMap<String, ThingNo>,
    /// Those of them who audit, and do no work on bearings.
    pub auditors: Vec<String>,
    /// Between which values the clearance of each row pair is expected by its wear, nm; see [`Facts::foresee`].
    pub foreseen_nm: super::foreseen::Foreseen,
    /// Codes typed that the register does not know: path and why.
    pub unknown: BTreeMap<String, String>,
    /// What the shop did last time.
    pub shop: ShopFacts,
}

/// The bearing.
#[derive(Debug, Clone, PartialEq)]
pub struct BearingFacts {
    /// Its number here.
    pub no: ThingNo,
    /// Its serial.
    pub serial: String,
    /// Mill time on its own counter, s.
    pub total_run_s: i64,
    /// Clearance of each row pair as set; none where nobody wrote it down.
    pub as_set_nm: [Option<i64>; 3],
    /// Revision: 1 new, 2 after the first reconditioning.
    pub revision: i64,
    /// Mill time that each load zone has had up, s.
    pub zone_run_s: [i64; 4],
    /// Where it is now.
    pub stay: Option<StayFacts>,
    /// Earlier clearances, oldest first.
    pub history: Vec<LastClearance>,
    /// What was seen on it before, since it was new or reconditioned, oldest first.
    pub findings: Vec<EarlierFinding>,
    /// Why it is on hold, if it is.
    pub held: Option<String>,
}

/// The stay that the teardown ends.
#[derive(Debug, Clone, PartialEq)]
pub struct StayFacts {
    /// Which chock.
    pub chock: ThingNo,
    /// Its code.
    pub chock_code: String,
    /// Since when.
    pub from_ms: i64,
    /// Load zone up, 1 to 4, 0 for none.
    pub zone: i64,
    /// Mill time, s.
    pub run_s: i64,
    /// Rolled, kg.
    pub rolled_kg: i64,
}

/// Clearance at an earlier sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct LastClearance {
    /// The day.
    pub at: Stamp,
    /// Mill time on the bearing's counter, s.
    pub run_s: i64,
    /// As found, nm.
    pub found_nm: [Option<i64>; 3],
    /// As left after a regrind, nm.
    pub left_nm: [Option<i64>; 3],
}

/// A chock.
#[derive(Debug, Clone, PartialEq)]
pub struct ChockFacts {
    /// Its number here.
    pub no: ThingNo,
    /// Its code.
    pub code: String,
    /// `under_flange` or `between`.
    pub shim_place: String,
    /// In how many axial planes its bore is measured, 2 to 4.
    pub bore_planes: usize,
}

/// An earlier check of a seat.
#[derive(Debug, Clone, PartialEq)]
pub struct LastSeat {
    /// The day.
    pub at: Stamp,
    /// Mean deviation from nominal, nm.
    pub mean_nm: i64,
    /// Ovality of each plane, nm.
    pub ovality_nm: Vec<i64>,
}

/// A gauge on the day of the teardown.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeFacts {
    /// Its number here.
    pub no: ThingNo,
    /// Its code.
    pub code: String,
    /// What it is.
    pub kind: String,
    /// `bore`, `neck`, `gap`, `width`, `temperature`, `torque`, `other`.
    pub measures: String,
    /// Range as printed on it.
    pub span: String,
    /// U at k = 2, nm.
    pub expanded_uncertainty_nm: Option<i64>,
    /// Number of its certificate.
    pub certificate: String,
    /// Next calibration.
    pub due_ms: i64,
    /// True where that day has passed, or where something else speaks against it: its readings decide nothing alone.
    pub is_overdue: bool,
    /// What speaks against it, in words.
    pub doubt: String,
}

/// What speaks against a gauge past its day.
const PAST_DUE: &str = "calibration overdue";

impl GaugeFacts {
    /// What else than its date speaks against it: it was found to read wrongly, is on hold, scrapped or away.
    pub fn other_doubt(&self) -> Option<&str> {
        let doubt = self.doubt.as_str();
        (!doubt.is_empty() && doubt != PAST_DUE).then_some(doubt)
    }
}

/// A bearing type with the values valid on a day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TypeFacts {
    /// Its number here.
    pub no: ThingNo,
    /// Designation.
    pub code: String,
    /// Kind.
    pub kind: String,
    /// Approved scheme.
    pub lubrication: String,
    /// The event that set this version.
    pub version: ThingNo,
    /// Since when it is valid.
    pub valid_from_ms: i64,
    /// Values by name and row pair.
    pub values: BTreeMap<(String, i64), i64>,
}

impl TypeFacts {
    /// A value of the whole bearing.
    pub fn whole(&self, name: &str) -> Option<i64> {
        self.values.get(&(name.to_owned(), 0)).copied()
    }

    /// A value of a row pair, or of the whole bearing where pairs do not differ.
    pub fn pair(&self, name: &str, pair: usize) -> Option<i64> {
        self.values
            .get(&(name.to_owned(), pair as i64))
            .copied()
            .or_else(|| self.whole(name))
    }

    /// Reads a type as valid at `at_ms`; before its first version the first one counts.
    pub fn load(conn: &Connection, no: ThingNo, at_ms: i64) -> Result<Self> {
        let mut facts = conn.query_row(
            "SELECT code, kind, lubrication FROM bearing_type WHERE no = ?1",
            [no.0],
            |row| {
                Ok(Self {
                    no,
                    code: row.get(0)?,
                    kind: row.get(1)?,
                    lubrication: row.get(2)?,
                    ..Self::default()
                })
            },
        )?;
        let sql = "SELECT version, valid_from_ms FROM type_value WHERE bearing_type = ?1
                   ORDER BY valid_from_ms <= ?2 DESC,
                       CASE WHEN valid_from_ms <= ?2 THEN -valid_from_ms ELSE valid_from_ms END, version DESC LIMIT 1";
        let version = conn
            .prepare_cached(sql)?
            .query_row(params![no.0, at_ms], |row| Ok((row.get(0)?, row.get(1)?)));
        if let Some((version, valid_from_ms)) = version.optional()? {
            facts.version = ThingNo(version);
            facts.valid_from_ms = valid_from_ms;
        }
        let sql =
            "SELECT name, item, value FROM type_value WHERE bearing_type = ?1 AND version = ?2";
        let mut stmt = conn.prepare_cached(sql)?;
        let mut rows = stmt.query(params![no.0, facts.version.0])?;
        while let Some(row) = rows.next()? {
            facts
                .values
                .insert((row.get("name")?, row.get("item")?), row.get("value")?);
        }
        Ok(facts)
    }
}

impl Facts {
    /// Reads what the logbook knows of the things that the sheet names; either chock or bearing is enough.
    /// `now` is the time of the teardown where the sheet names none.
    pub fn load(conn: &Connection, fields: &Fields, now: Stamp) -> Result<Self> {
        let text = |path: &str| {
            fields
                .get(path)
                .map(|f| f.text.trim())
                .filter(|t| !t.is_empty())
        };
        let mut unknown = BTreeMap::new();
        let at = match text("identify.at") {
            None => now,
            Some(typed) => Stamp::parse(typed, now.offset_min).unwrap_or_else(|| {
                unknown.insert(
                    "identify.at".into(),
                    format!("{typed:?} is no date: type it as 2031-03-14 or 2031-03-14 09:30"),
                );
                now
            }),
        };
        let mut find = |path: &str, entity: &'static str| -> Result<Option<(ThingNo, String)>> {
            let Some(code) = text(path) else {
                return Ok(None);
            };
            let found = thing_by_code(conn, entity, code)?;
            if found.is_none() {
                unknown.insert(path.to_owned(), format!("{code:?} is not in the register"));
            }
            Ok(found)
        };
        let mut bearing = find("identify.bearing", "bearing")?.map(|(no, _)| no);
        let mut chock = find("identify.chock", "chock")?.map(|(no, _)| no);
        let roll = find("identify.roll", "roll")?;
        let mut position = find("identify.position", "position")?;
        let back_into = find("reassemble.chock", "chock")?;
        if bearing.is_none()
            && let Some(chock) = chock
        {
            bearing = stay_at(conn, "chock", chock, at.ms)?.map(|(bearing, _)| bearing);
        }
        if chock.is_none()
            && let Some(bearing) = bearing
        {
            chock = stay_at(conn, "bearing", bearing, at.ms)?.map(|(_, stay)| stay.chock);
        }
        let last_run = chock
            .map(|chock| last_run(conn, chock, at.ms))
            .transpose()?
            .flatten();
        let last_roll = last_run.as_ref().map(|(_, roll)| roll.clone());
        if position.is_none() {
            position = last_run.map(|(position, _)| position);
        }
        let bearing = bearing
            .map(|no| bearing_facts(conn, no, at.ms))
            .transpose()?;
        let bearing_type = match &bearing {
            Some(b) => {
                let no = conn.query_row(
                    "SELECT bearing_type FROM bearing WHERE no = ?1",
                    [b.no.0],
                    |row| row.get(0),
                )?;
                Some(TypeFacts::load(conn, ThingNo(no), at.ms)?)
            }
            None => None,
        };
        let shop = ShopFacts::load(conn, bearing_type.as_ref().map(|t| t.no), chock, at.ms)?;
        Ok(Self {
            at,
            bearing,
            bearing_type,
            chock: chock.map(|no| chock_facts(conn, no)).transpose()?,
            roll,
            position,
            back_into,
            last_roll,
            last_bores: chock
                .map(|no| last_bores(conn, no, at.ms))
                .transpose()?
                .unwrap_or_default(),
            gauges: gauges_at(conn, at)?,
            greases: codes(conn, "grease")?,
            blocked: blocked(conn, at.ms)?,
            people: codes(conn, "person")?,
            auditors: auditors(conn)?,
            foreseen_nm: [None; 3],
            unknown,
            shop,
        })
    }
}

/// A thing by its code, whatever the case of the letters.
pub fn thing_by_code(
    conn: &Connection,
    entity: &str,
    code: &str,
) -> Result<Option<(ThingNo, String)>> {
    let sql = "SELECT no, code FROM thing WHERE entity = ?1 AND code = ?2 COLLATE NOCASE ORDER BY code = ?2 DESC, no LIMIT 1";
    let found = conn
        .prepare_cached(sql)?
        .query_row(params![entity, code.trim()], |row| {
            Ok((ThingNo(row.get(0)?), row.get(1)?))
        });
    Ok(found.optional()?)
}

/// Greases and seal batches that were blocked by then.
fn blocked(conn: &Connection, at_ms: i64) -> Result<BTreeMap<String, String>> {
    let mut stmt = conn.prepare_cached(
        "SELECT t.code, b.reason FROM blocked b JOIN thing t ON t.no = b.thing WHERE b.at_ms <= ?1",
    )?;
    let rows = stmt.query_map([at_ms], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn auditors(conn: &Connection) -> Result<Vec<String>> {
    let mut stmt = conn.prepare_cached("SELECT name FROM person WHERE role = 'auditor'")?;
    let rows = stmt.query_map([], |row| row.get(0))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

pub(super) fn codes(conn: &Connection, entity: &str) -> Result<BTreeMap<String, ThingNo>> {
    let mut stmt =
        conn.prepare_cached("SELECT code, no FROM thing WHERE entity = ?1 ORDER BY code")?;
    let rows = stmt.query_map([entity], |row| Ok((row.get(0)?, ThingNo(row.get(1)?))))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// The bearing in the main seat of a chock, or the stay of a bearing, at a time.
fn stay_at(
    conn: &Connection,
    by: &str,
    thing: ThingNo,
    at_ms: i64,
) -> Result<Option<(ThingNo, StayFacts)>> {
    let sql = if by == "chock" {
        "SELECT s.*, c.code, (SELECT coalesce(sum(r.run_s), 0) FROM run r WHERE r.chock = s.chock AND r.from_ms >= s.from_ms
           AND r.from_ms < ?2) AS run_then_s,
           (SELECT coalesce(sum(r.rolled_kg), 0) FROM run r WHERE r.chock = s.chock AND r.from_ms >= s.from_ms
           AND r.from_ms < ?2) AS rolled_then_kg
         FROM stay s JOIN chock c ON c.no = s.chock WHERE s.chock = ?1 AND s.seat = 'main'
         AND s.from_ms <= ?2 AND (s.to_ms IS NULL OR s.to_ms > ?2) ORDER BY s.from_ms DESC LIMIT 1"
    } else {
        "SELECT s.*, c.code, (SELECT coalesce(sum(r.run_s), 0) FROM run r WHERE r.chock = s.chock AND r.from_ms >= s.from_ms
           AND r.from_ms < ?2) AS run_then_s,
           (SELECT coalesce(sum(r.rolled_kg), 0) FROM run r WHERE r.chock = s.chock AND r.from_ms >= s.from_ms
           AND r.from_ms < ?2) AS rolled_then_kg
         FROM stay s JOIN chock c ON c.no = s.chock WHERE s.bearing = ?1
         AND s.from_ms <= ?2 AND (s.to_ms IS NULL OR s.to_ms > ?2) ORDER BY s.from_ms DESC LIMIT 1"
    };
    let stay = conn
        .prepare_cached(sql)?
        .query_row(params![thing.0, at_ms], |row| {
            let stay = StayFacts {
                chock: ThingNo(row.get("chock")?),
                chock_code: row.get("code")?,
                from_ms: row.get("from_ms")?,
                zone: row.get("zone")?,
                run_s: row.get("run_then_s")?,
                rolled_kg: row.get("rolled_then_kg")?,
            };
            Ok((ThingNo(row.get("bearing")?), stay))
        });
    Ok(stay.optional()?)
}

/// Position and roll of the chock's last campaign.
fn last_run(
    conn: &Connection,
    chock: ThingNo,
    at_ms: i64,
) -> Result<Option<((ThingNo, String), String)>> {
    let sql = "SELECT p.no, p.code, r.code FROM run JOIN position p ON p.no = run.position JOIN roll r ON r.no = run.roll
               WHERE run.chock = ?1 AND run.from_ms <= ?2 ORDER BY run.from_ms DESC LIMIT 1";
    let last = conn
        .prepare_cached(sql)?
        .query_row(params![chock.0, at_ms], |row| {
            Ok(((ThingNo(row.get(0)?), row.get(1)?), row.get(2)?))
        });
    Ok(last.optional()?)
}

fn chock_facts(conn: &Connection, no: ThingNo) -> Result<ChockFacts> {
    let sql = "SELECT c.code, t.shim_place, t.bore_planes FROM chock c JOIN chock_type t ON t.no = c.chock_type WHERE c.no = ?1";
    Ok(conn.query_row(sql, [no.0], |row| {
        Ok(ChockFacts {
            no,
            code: row.get(0)?,
            shim_place: row.get(1)?,
            bore_planes: row.get::<_, u16>(2)?.into(),
        })
    })?)
}

fn bearing_facts(conn: &Connection, no: ThingNo, at_ms: i64) -> Result<BearingFacts> {
    let (serial, prior_run_s): (String, i64) = conn.query_row(
        "SELECT serial, prior_run_s FROM bearing WHERE no = ?1",
        [no.0],
        |row| Ok((row.get(0)?, row.get(1)?)),
    )?;
    let mut facts = BearingFacts {
        no,
        serial,
        total_run_s: prior_run_s,
        as_set_nm: [None; 3],
        revision: 0,
        zone_run_s: [0; 4],
        stay: stay_at(conn, "bearing", no, at_ms)?.map(|(_, stay)| stay),
        history: history(conn, no, at_ms)?,
        findings: findings::earlier(conn, no, at_ms)?,
        held: None,
    };
    // Only what ran before: a sheet that is entered late must not know the hours after it.
    let mut stmt = conn.prepare_cached(
        "SELECT s.zone, sum(r.run_s) FROM stay s JOIN run r ON r.chock = s.chock AND r.from_ms >= s.from_ms
           AND (s.to_ms IS NULL OR r.from_ms < s.to_ms)
         WHERE s.bearing = ?1 AND r.from_ms < ?2 GROUP BY s.zone",
    )?;
    for row in stmt.query_map(params![no.0, at_ms], |row| {
        Ok((row.get::<_, i64>(0)?, row.get::<_, i64>(1)?))
    })? {
        let (zone, run_s) = row?;
        facts.total_run_s += run_s;
        if let Some(hours) = usize::try_from(zone - 1)
            .ok()
            .and_then(|z| facts.zone_run_s.get_mut(z))
        {
            *hours += run_s;
        }
    }
    let sql = "SELECT revision, pair, value_nm FROM baseline WHERE bearing = ?1 AND event =
                 (SELECT event FROM baseline WHERE bearing = ?1 AND at_ms <= ?2 ORDER BY at_ms DESC, revision DESC LIMIT 1)";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query(params![no.0, at_ms])?;
    while let Some(row) = rows.next()? {
        facts.revision = row.get("revision")?;
        let pair: i64 = row.get("pair")?;
        if let Some(value) = usize::try_from(pair - 1)
            .ok()
            .and_then(|p| facts.as_set_nm.get_mut(p))
        {
            *value = Some(row.get("value_nm")?);
        }
    }
    let sql = "SELECT h.reason FROM hold h JOIN event e ON e.no = h.event LEFT JOIN event r ON r.no = h.released_event
               WHERE h.thing = ?1 AND e.at_ms <= ?2 AND (r.at_ms IS NULL OR r.at_ms > ?2) ORDER BY e.at_ms LIMIT 1";
    facts.held = conn
        .query_row(sql, params![no.0, at_ms], |row| row.get(0))
        .optional()?;
    Ok(facts)
}

/// Clearances of the sheets before `at_ms`, oldest first.
fn history(conn: &Connection, bearing: ThingNo, at_ms: i64) -> Result<Vec<LastClearance>> {
    let sql = "SELECT e.no, e.at_ms, e.at_offset_min, e.at_precision,
                 (SELECT b.prior_run_s + coalesce(sum(s.run_s), 0) FROM stay s WHERE s.bearing = b.no AND s.from_ms < e.at_ms) AS run_s
               FROM sheet JOIN event e ON e.no = sheet.event JOIN bearing b ON b.no = sheet.bearing
               WHERE sheet.bearing = :bearing AND e.at_ms < :at ORDER BY e.at_ms, e.no";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query(named_params! {":bearing": bearing.0, ":at": at_ms})?;
    let mut history = Vec::new();
    while let Some(row) = rows.next()? {
        let no: i64 = row.get("no")?;
        history.push(LastClearance {
            at: crate::query::stamp_from_row(row)?,
            run_s: row.get("run_s")?,
            found_nm: found_by_pair(conn, no)?,
            left_nm: outcome_by_pair(conn, no, "end_play_after_nm")?,
        });
    }
    Ok(history)
}

/// Clearance as found: the end play of each row pair, or in the first place the one clearance of the whole bearing.
pub(crate) fn found_by_pair(conn: &Connection, event: i64) -> Result<[Option<i64>; 3]> {
    let pairs = outcome_by_pair(conn, event, "end_play_nm")?;
    if pairs.iter().any(Option::is_some) {
        return Ok(pairs);
    }
    outcome_by_pair(conn, event, "clearance_nm")
}

pub(crate) fn outcome_by_pair(
    conn: &Connection,
    event: i64,
    name: &str,
) -> Result<[Option<i64>; 3]> {
    let mut values = [None; 3];
    let mut stmt =
        conn.prepare_cached("SELECT item, value FROM outcome WHERE event = ?1 AND name = ?2")?;
    for row in stmt.query_map(params![event, name], |row| {
        Ok((row.get::<_, i64>(0)?, row.get(1)?))
    })? {
        let (item, value) = row?;
        if let Some(slot) = usize::try_from(item - 1)
            .ok()
            .and_then(|i| values.get_mut(i))
        {
            *slot = Some(value);
        }
    }
    Ok(values)
}

/// Earlier bore checks of a chock, oldest first.
fn last_bores(conn: &Connection, chock: ThingNo, at_ms: i64) -> Result<Vec<LastSeat>> {
    let sql = "SELECT e.no, e.at_ms, e.at_offset_min, e.at_precision, o.value FROM sheet
               JOIN event e ON e.no = sheet.event JOIN outcome o ON o.event = e.no AND o.name = 'bore_mean_nm'
               WHERE sheet.chock = ?1 AND e.at_ms < ?2 ORDER BY e.at_ms, e.no";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query(params![chock.0, at_ms])?;
    let mut bores = Vec::new();
    while let Some(row) = rows.next()? {
        let no: i64 = row.get("no")?;
        let ovality = outcome_by_pair(conn, no, "bore_ovality_nm")?;
        bores.push(LastSeat {
            at: crate::query::stamp_from_row(row)?,
            mean_nm: row.get("value")?,
            ovality_nm: ovality.into_iter().flatten().collect(),
        });
    }
    Ok(bores)
}

/// All gauges with their status at a time.
pub(crate) fn gauges_at(conn: &Connection, at: Stamp) -> Result<BTreeMap<String, GaugeFacts>> {
    let sql = "SELECT g.*, c.certificate, c.due_ms, c.expanded_uncertainty,
                 (SELECT max(f.at_ms) FROM gauge_fault f WHERE f.gauge = g.no AND f.at_ms BETWEEN c.at_ms AND ?1) AS fault,
                 EXISTS (SELECT 1 FROM place p JOIN event e ON e.no = p.since_event
                         WHERE p.thing = g.no AND p.place IN ('scrapped', 'away') AND e.at_ms <= ?1) AS is_gone,
                 EXISTS (SELECT 1 FROM hold h JOIN event e ON e.no = h.event LEFT JOIN event r ON r.no = h.released_event
                         WHERE h.thing = g.no AND e.at_ms <= ?1 AND (r.no IS NULL OR r.at_ms > ?1)) AS is_held
               FROM gauge g
               JOIN calibration c ON c.gauge = g.no AND c.event =
                 (SELECT event FROM calibration WHERE gauge = g.no
                  ORDER BY at_ms <= ?1 DESC, CASE WHEN at_ms <= ?1 THEN -at_ms ELSE at_ms END, event DESC LIMIT 1)";
    let mut stmt = conn.prepare_cached(sql)?;
    let (at_ms, offset_min) = (at.ms, at.offset_min);
    // A calibration holds to the end of its last day, as that day is counted where the reading was taken.
    let day = |ms: i64| (ms + offset_min * 60_000).div_euclid(DAY_MS);
    let rows = stmt.query_map([at_ms], |row| {
        let due_ms: i64 = row.get("due_ms")?;
        let fault: Option<i64> = row.get("fault")?;
        let doubt = if let Some(ms) = fault {
            format!(
                "found to read wrongly on {}",
                Stamp::second(ms, offset_min).date()
            )
        } else if row.get("is_gone")? {
            "scrapped or away".to_owned()
        } else if row.get("is_held")? {
            "on hold".to_owned()
        } else if day(due_ms) < day(at_ms) {
            PAST_DUE.to_owned()
        } else {
            String::new()
        };
        Ok(GaugeFacts {
            no: ThingNo(row.get("no")?),
            code: row.get("code")?,
            kind: row.get("kind")?,
            measures: row.get("measures")?,
            span: row.get("span")?,
            expanded_uncertainty_nm: row.get("expanded_uncertainty")?,
            certificate: row.get("certificate")?,
            due_ms,
            is_overdue: !doubt.is_empty(),
            doubt,
        })
    })?;
    let gauges: Vec<GaugeFacts> = rows
        .collect::<rusqlite::Result<_>>()
        .map_err(StoreError::from)?;
    Ok(gauges.into_iter().map(|g| (g.code.clone(), g)).collect())
}
