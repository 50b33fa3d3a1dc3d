//! What is in work between the shifts: chocks that stand open, things away, work asked of the mill, sheets opened again.

use rusqlite::Connection;

use super::back::{BackLine, unmeasured};
use super::stamp_from_row;
use crate::error::Result;
use crate::id::ThingNo;
use crate::time::Stamp;

/// What is in work.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct InWork {
    /// Chocks in the shop with nothing in their main seat, by code.
    pub open_chocks: Vec<(ThingNo, String)>,
    /// What is away for outside work, the longest first.
    pub away: Vec<AwayLine>,
    /// Chocks and rolls that came back and were not measured yet, the longest first.
    pub unmeasured: Vec<BackLine>,
    /// Work asked of the mill and not told as done, the longest first.
    pub jobs: Vec<JobLine>,
    /// Sheets that were opened again and nobody has stood for since.
    pub reopened: Vec<ReopenedLine>,
}

/// A thing away for outside work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AwayLine {
    /// What.
    pub thing: (ThingNo, String),
    /// `bearing`, `chock`, `roll`, `gauge`.
    pub entity: String,
    /// At whom.
    pub to: String,
    /// Since when.
    pub since: Stamp,
}

/// Work asked of the mill.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobLine {
    /// The event.
    pub event: i64,
    /// Where.
    pub position: (ThingNo, String),
    /// What is wrong.
    pub text: String,
    /// Since when.
    pub since: Stamp,
}

/// What was asked of the mill or done at a position.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlaceWork {
    /// The event.
    pub event: i64,
    /// Code of the position.
    pub position: String,
    /// What is wrong, or was done.
    pub text: String,
    /// Done, not only asked.
    pub is_done: bool,
    /// When.
    pub at: Stamp,
}

/// A sheet that was opened again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReopenedLine {
    /// The sheet.
    pub sheet: i64,
    /// Its bearing or chock.
    pub of: String,
    /// Since when.
    pub since: Stamp,
}

/// Reads what is in work.
pub fn in_work(conn: &Connection, now: Stamp) -> Result<InWork> {
    Ok(InWork {
        open_chocks: open_chocks(conn)?,
        away: away(conn)?,
        unmeasured: unmeasured(conn, now)?,
        jobs: jobs(conn)?,
        reopened: reopened(conn)?,
    })
}

fn open_chocks(conn: &Connection) -> Result<Vec<(ThingNo, String)>> {
    // A chock that never held anything is not open, it is new.
    let mut stmt = conn.prepare_cached(
        "SELECT c.no, c.code FROM chock c LEFT JOIN place p ON p.thing = c.no
         WHERE coalesce(p.place, 'shop') = 'shop' AND EXISTS (SELECT 1 FROM stay s WHERE s.chock = c.no)
           AND NOT EXISTS (SELECT 1 FROM stay s WHERE s.chock = c.no AND s.to_event IS NULL AND s.seat = 'main')
         ORDER BY c.code",
    )?;
    let rows = stmt.query_map([], |row| Ok((ThingNo(row.get(0)?), row.get(1)?)))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn away(conn: &Connection) -> Result<Vec<AwayLine>> {
    let mut stmt = conn.prepare_cached(
        "SELECT t.no, t.code, t.entity, p.note, e.at_ms, e.at_offset_min, e.at_precision
         FROM place p JOIN thing t ON t.no = p.thing JOIN event e ON e.no = p.since_event
         WHERE p.place = 'away' ORDER BY e.at_ms, t.code",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(AwayLine {
            thing: (ThingNo(row.get("no")?), row.get("code")?),
            entity: row.get("entity")?,
            to: row.get("note")?,
            since: stamp_from_row(row)?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn jobs(conn: &Connection) -> Result<Vec<JobLine>> {
    let mut stmt = conn.prepare_cached(
        "WITH job AS (
           SELECT e.no, e.at_ms, e.at_offset_min, e.at_precision, t.no AS position, t.code,
             CASE WHEN f.event IS NULL THEN e.payload ELSE f.payload END AS says
           FROM event e JOIN thing_event te ON te.event = e.no JOIN thing t ON t.no = te.thing AND t.entity = 'position'
             LEFT JOIN effective f ON f.event = e.no WHERE e.kind = 'mill_job')
         SELECT j.no, j.at_ms, j.at_offset_min, j.at_precision, j.position, j.code, j.says ->> 'text' AS text FROM job j
         WHERE j.says IS NOT NULL AND j.says ->> 'is_done' = 0
           AND NOT EXISTS (SELECT 1 FROM job d WHERE d.position = j.position AND d.says ->> 'is_done' = 1
             AND (d.at_ms > j.at_ms OR (d.at_ms = j.at_ms AND d.no > j.no)))
         ORDER BY j.at_ms, j.no",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(JobLine {
            event: row.get("no")?,
            position: (ThingNo(row.get("position")?), row.get("code")?),
            text: row.get("text")?,
            since: stamp_from_row(row)?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// What was asked of the mill and worked on at any position, newest first.
pub(super) fn place_work(conn: &Connection) -> Result<Vec<PlaceWork>> {
    let mut stmt = conn.prepare_cached(
        "WITH told AS (
           SELECT e.no, e.kind, e.at_ms, e.at_offset_min, e.at_precision, t.code,
             CASE WHEN f.event IS NULL THEN e.payload ELSE f.payload END AS says
           FROM event e JOIN thing_event te ON te.event = e.no JOIN thing t ON t.no = te.thing AND t.entity = 'position'
             LEFT JOIN effective f ON f.event = e.no WHERE e.kind IN ('mill_job', 'position_work'))
         SELECT no, at_ms, at_offset_min, at_precision, code, says ->> 'text' AS text,
           kind = 'position_work' OR says ->> 'is_done' = 1 AS is_done
         FROM told WHERE says IS NOT NULL ORDER BY at_ms DESC, no DESC",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(PlaceWork {
            event: row.get("no")?,
            position: row.get("code")?,
            text: row.get("text")?,
            is_done: row.get("is_done")?,
            at: stamp_from_row(row)?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn reopened(conn: &Connection) -> Result<Vec<ReopenedLine>> {
    let mut stmt = conn.prepare_cached(
        "SELECT m.sheet, e.at_ms, e.at_offset_min, e.at_precision,
           coalesce((SELECT t.code FROM thing t WHERE t.no = s.bearing), (SELECT t.code FROM thing t WHERE t.no = s.chock), '')
             AS of
         FROM sheet_mark m JOIN event e ON e.no = m.event JOIN sheet s ON s.event = m.sheet
         WHERE m.what = 'reopened' AND NOT EXISTS (SELECT 1 FROM sheet_mark o JOIN event oe ON oe.no = o.event
             WHERE o.sheet = m.sheet AND (oe.at_ms > e.at_ms OR (oe.at_ms = e.at_ms AND oe.no > e.no)))
         ORDER BY e.at_ms, m.sheet",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(ReopenedLine {
            sheet: row.get("sheet")?,
            of: row.get("of")?,
            since: stamp_from_row(row)?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
