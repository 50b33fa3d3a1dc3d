//! The times that the faults of gauges throw doubt on, and the sheets that were read in them.

use std::collections::BTreeMap;

use rusqlite::{Connection, params};

use crate::error::Result;
use crate::id::{EventId, ThingNo};
use crate::state;
use crate::time::Stamp;

/// The time that a fault throws doubt on: from the last good calibration before its day to the next one. A record that
/// was changed and keeps its certificate or its day tells of no new calibration, and no record ends a fault. `ends_ms` is
/// when the gauge is trusted again: where it was calibrated and found out on one day it waits for the next calibration.
pub(super) const WINDOWS: &str = "SELECT f.event, f.gauge, f.at_ms, f.error, f.what, g.code, g.measures, e.entered_ms,
    coalesce((SELECT max(c.at_ms) FROM calibration c JOIN event k ON k.no = c.event WHERE c.gauge = f.gauge
      AND c.at_ms < f.at_ms - (f.at_ms + e.at_offset_min * 60000) % 86400000
      AND (k.kind = 'gauge_calibrated' OR NOT EXISTS (SELECT 1 FROM calibration b WHERE b.gauge = c.gauge
        AND b.at_ms < c.at_ms AND (b.certificate = c.certificate OR b.due_ms = c.due_ms)))), -9223372036854775807) AS from_ms,
    coalesce((SELECT min(c.at_ms) FROM calibration c JOIN event k ON k.no = c.event AND k.kind = 'gauge_calibrated'
        WHERE c.gauge = f.gauge AND c.at_ms >= f.at_ms),
      CASE WHEN EXISTS (SELECT 1 FROM calibration c JOIN event k ON k.no = c.event AND k.kind = 'gauge_calibrated'
        WHERE c.gauge = f.gauge AND c.at_ms < f.at_ms
        AND c.at_ms >= f.at_ms - (f.at_ms + e.at_offset_min * 60000) % 86400000)
      THEN f.at_ms ELSE 9223372036854775807 END) AS until_ms,
    coalesce((SELECT min(c.at_ms) FROM calibration c JOIN event k ON k.no = c.event AND k.kind = 'gauge_calibrated'
        WHERE c.gauge = f.gauge AND c.at_ms >= f.at_ms), 9223372036854775807) AS ends_ms
  FROM gauge_fault f JOIN event e ON e.no = f.event JOIN gauge g ON g.no = f.gauge";

/// Kinds of events that are read on gauges. For SQL.
pub(super) const READ_ON: &str = "('teardown_sheet', 'returned', 'seat_check', 'mounting_sheet')";

/// A gauge that a sheet was read on, and that was found out later.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suspect {
    /// The gauge that was found out.
    pub gauge: ThingNo,
    /// Its code, after that of the gauge that was set on it where it was a standard.
    pub code: String,
    /// What it measures.
    pub measures: String,
    /// Its error.
    pub error: i64,
    /// The event that tells of it.
    pub fault: EventId,
    /// When it was found.
    pub at: Stamp,
}

/// The gauges of an event that were found out later, or were set on a standard that was.
pub fn suspects_of(conn: &Connection, event: i64) -> Result<Vec<Suspect>> {
    let sql = format!(
        "SELECT w.*, CASE WHEN u.no = w.gauge THEN u.code ELSE u.code || ' set on ' || w.code END AS told
         FROM ({WINDOWS}) w JOIN gauge u ON u.no = w.gauge OR u.standard = w.code COLLATE NOCASE
         JOIN thing_event t ON t.thing = u.no JOIN event s ON s.no = t.event
         WHERE t.event = ?1 AND s.kind IN {READ_ON} AND s.at_ms >= w.from_ms AND s.at_ms < w.until_ms
           AND (s.kind = 'mounting_sheet' OR EXISTS (SELECT 1 FROM reading r WHERE r.event = s.no AND r.gauge = u.no))
         ORDER BY told, w.event"
    );
    let mut stmt = conn.prepare_cached(&sql)?;
    let mut rows = stmt.query([event])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let fault = state::event(conn, ThingNo(row.get("event")?))?;
        found.push(Suspect {
            gauge: ThingNo(row.get("gauge")?),
            code: row.get("told")?,
            measures: row.get("measures")?,
            error: row.get("error")?,
            fault: fault.id,
            at: fault.at,
        });
    }
    Ok(found)
}

/// The same for a line of a journal.
pub(in crate::query) fn suspect_words(conn: &Connection, event: i64) -> Result<Option<String>> {
    let mut codes: Vec<String> = suspects_of(conn, event)?
        .into_iter()
        .map(|s| s.code)
        .collect();
    codes.dedup();
    Ok((!codes.is_empty()).then(|| format!("suspect gauge {}", codes.join(", "))))
}

/// The gauges that are in doubt for a reading at a time, each with when it was found out: by what had been entered by
/// `entered_ms`. A fault reaches back to the last good calibration.
pub(crate) fn found_out_at(
    conn: &Connection,
    at_ms: i64,
    entered_ms: i64,
) -> Result<BTreeMap<i64, i64>> {
    let sql = format!(
        "SELECT gauge, max(at_ms) FROM ({WINDOWS}) WHERE ?1 >= from_ms AND ?1 < ends_ms AND entered_ms <= ?2 GROUP BY gauge"
    );
    let mut stmt = conn.prepare_cached(&sql)?;
    let rows = stmt.query_map(params![at_ms, entered_ms], |row| {
        Ok((row.get(0)?, row.get(1)?))
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// The gauges whose record names this one as the standard that they are set on, by code.
pub(super) fn set_on(conn: &Connection, standard: &str) -> Result<Vec<(ThingNo, String)>> {
    let sql = "SELECT no, code FROM gauge WHERE standard = ?1 COLLATE NOCASE ORDER BY code";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map([standard], |row| Ok((ThingNo(row.get(0)?), row.get(1)?)))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
