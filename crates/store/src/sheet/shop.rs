//! What the shop did last time, offered where a sheet asks again and taken only by hand; and what its gauges are
//! checked on.

use std::collections::BTreeMap;

use rusqlite::{Connection, OptionalExtension, params};

use super::facts::codes;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{Payload, TeardownSheet};
use crate::state;
use crate::time::{Precision, Stamp};

/// What the shop did last time.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShopFacts {
    /// Entries of the last teardown of a bearing of this type, by path: agent, gauges, grease and the like.
    pub usual: BTreeMap<String, String>,
    /// Seal batch that was put into this chock last.
    pub seal_in: Option<String>,
    /// All seal batches by code.
    pub seal_batches: BTreeMap<String, ThingNo>,
    /// The measured campaign that the chock was in at the time of the sheet, in words: no teardown falls into one.
    pub campaign: Option<String>,
    /// Where in the mill the chock was at that time: it came off before it was taken apart.
    pub in_mill: Option<String>,
    /// Serial and type of every bearing in the chock: of several each has its own sheet.
    pub in_chock: Vec<(String, String)>,
    /// Setting ring or standard of each gauge that has one, by the gauge's code.
    pub standards: BTreeMap<String, String>,
}

/// Entries that may be taken as last time. Nothing measured is among them, and nothing that was seen.
const USUAL: [&str; 22] = [
    "clean.state",
    "clean.agent",
    "clean.dried",
    "clean.preserved",
    "clearance.gauge_gap",
    "clearance.gauge_width",
    "clearance.method",
    "bore.gauge",
    "bore.thermometer",
    "neck.gauge",
    "neck.thermometer",
    "ring.thermometer",
    "chock.gauge",
    "grease.kind",
    "seals.batch",
    "bolts.wrench",
    "radial.method",
    "radial.gauge",
    "radial.gauge_rollers",
    "ring.gauge",
    "taper.gauge",
    "taper.push_gauge",
];

impl ShopFacts {
    pub(super) fn load(
        conn: &Connection,
        bearing_type: Option<ThingNo>,
        chock: Option<ThingNo>,
        at: Stamp,
    ) -> Result<Self> {
        let before_ms = at.ms;
        let mut facts = Self {
            seal_batches: codes(conn, "seal_batch")?,
            ..Self::default()
        };
        let mut stmt =
            conn.prepare_cached("SELECT code, standard FROM gauge WHERE standard <> ''")?;
        let rows = stmt.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        facts.standards = rows.collect::<rusqlite::Result<_>>()?;
        if let Some(no) = bearing_type {
            let sql = "SELECT s.event FROM sheet s JOIN event e ON e.no = s.event JOIN bearing b ON b.no = s.bearing
                       WHERE b.bearing_type = ?1 AND s.kind = 'teardown_sheet' AND e.at_ms < ?2
                       ORDER BY e.at_ms DESC, e.no DESC LIMIT 1";
            if let Some(last) = last_sheet(conn, sql, no, before_ms)? {
                let entries = last.body.entries.into_iter();
                let usual = entries.filter(|entry| USUAL.contains(&entry.path.as_str()));
                facts.usual = usual.map(|entry| (entry.path, entry.text)).collect();
            }
        }
        if let Some(no) = chock {
            facts.campaign = campaign(conn, no, at)?;
            facts.in_mill = in_mill(conn, no, at)?;
            facts.in_chock = in_chock(conn, no, at)?;
            let sql = "SELECT s.event FROM sheet s JOIN event e ON e.no = s.event
                       WHERE s.chock = ?1 AND s.kind = 'teardown_sheet' AND e.at_ms < ?2
                       ORDER BY e.at_ms DESC, e.no DESC LIMIT 1";
            let entries = last_sheet(conn, sql, no, before_ms)?.map(|last| last.body.entries);
            let mut entries = entries.into_iter().flatten();
            facts.seal_in = entries
                .find(|entry| entry.path == "seals.batch")
                .map(|entry| entry.text);
        }
        Ok(facts)
    }
}

fn in_mill(conn: &Connection, chock: ThingNo, at: Stamp) -> Result<Option<String>> {
    let sql = "SELECT coalesce(p.code, '') FROM whereabouts w LEFT JOIN position p ON p.no = w.position
               WHERE w.thing = ?1 AND w.place = 'mill' AND w.from_ms <= ?2 AND (w.to_ms IS NULL OR w.to_ms > ?2)";
    let mut stmt = conn.prepare_cached(sql)?;
    Ok(stmt
        .query_row(params![chock.0, at.ms], |row| row.get(0))
        .optional()?)
}

fn in_chock(conn: &Connection, chock: ThingNo, at: Stamp) -> Result<Vec<(String, String)>> {
    let sql = "SELECT b.serial, t.code FROM stay s JOIN bearing b ON b.no = s.bearing
               JOIN bearing_type t ON t.no = b.bearing_type
               WHERE s.chock = ?1 AND s.from_ms <= ?2 AND (s.to_ms IS NULL OR s.to_ms > ?2) ORDER BY s.seat, b.serial";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map(params![chock.0, at.ms], |row| {
        Ok((row.get(0)?, row.get(1)?))
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// A day alone stands for its noon, and may mean any hour of it.
fn campaign(conn: &Connection, chock: ThingNo, at: Stamp) -> Result<Option<String>> {
    if at.precision == Precision::Day {
        return Ok(None);
    }
    let sql = "SELECT r.from_ms, r.to_ms, p.code FROM run r JOIN thing p ON p.no = r.position
               WHERE r.chock = ?1 AND r.is_estimate = 0 AND r.from_ms < ?2 AND r.to_ms > ?2 ORDER BY r.from_ms LIMIT 1";
    let words = |ms: i64| Stamp::second(ms, at.offset_min).date_time();
    let found = conn
        .prepare_cached(sql)?
        .query_row(params![chock.0, at.ms], |row| {
            let (from, to, position) = (row.get(0)?, row.get(1)?, row.get::<_, String>(2)?);
            Ok(format!("{position} from {} to {}", words(from), words(to)))
        });
    Ok(found.optional()?)
}

fn last_sheet(
    conn: &Connection,
    sql: &str,
    thing: ThingNo,
    before_ms: i64,
) -> Result<Option<TeardownSheet>> {
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query(params![thing.0, before_ms])?;
    let Some(row) = rows.next()? else {
        return Ok(None);
    };
    let event = state::event(conn, ThingNo(row.get(0)?))?;
    match state::what_counts(conn, &event)? {
        Some(Payload::TeardownSheet(sheet)) => Ok(Some(sheet)),
        _ => Ok(None),
    }
}
