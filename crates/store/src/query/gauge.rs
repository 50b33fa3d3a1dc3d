//! One gauge: its calibrations, and every reading that was taken with it.

use rusqlite::{Connection, OptionalExtension, params};

use super::code_of;
use crate::error::Result;
use crate::event::Event;
use crate::id::ThingNo;
use crate::payload::{Gauge, Record};
use crate::state::{EVENT_COLUMNS, event_from_row};
use crate::time::Stamp;

/// Everything that is told of one gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugePage {
    /// Its number here.
    pub no: ThingNo,
    /// Its record, with what the newest calibration says.
    pub record: Gauge,
    /// Its calibrations, oldest first.
    pub calibrations: Vec<Calibration>,
    /// Readings from the time asked for, oldest first, in the order of their sheets.
    pub uses: Vec<GaugeUse>,
}

/// A calibration of a gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    /// The event that tells of it, for people.
    pub id: String,
    /// The day.
    pub at: Stamp,
    /// When it was entered.
    pub entered: Stamp,
    /// Number of the certificate.
    pub certificate: String,
    /// Next calibration, ms UTC.
    pub due_ms: i64,
    /// U at k = 2 in the gauge's unit (nm, mK, mN m); none where it is not known.
    pub expanded_uncertainty: Option<i64>,
    /// Who entered it.
    pub signer: String,
    /// Readings from this calibration to the next one.
    pub readings: i64,
    /// Sheets that they stand on.
    pub sheets: i64,
    /// Of the readings, those taken when it was overdue.
    pub overdue: i64,
}

/// A sheet with the readings taken on it with the gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeUse {
    /// The event of the sheet.
    pub event: i64,
    /// Its name, for people.
    pub id: String,
    /// The day of the work.
    pub at: Stamp,
    /// The bearing; empty where there is none.
    pub bearing: String,
    /// The chock.
    pub chock: String,
    /// The roll.
    pub roll: String,
    /// Who signed.
    pub signer: String,
    /// Whether its calibration was overdue on that day.
    pub is_overdue: bool,
    /// Path, text and unit as typed, in the order of the sheet.
    pub readings: Vec<(String, String, String)>,
    /// Verdicts of that sheet that are not a plain pass: what, item, verdict.
    pub doubts: Vec<(String, i64, String)>,
    /// Rows of the bearing.
    pub rows: usize,
}

/// Reads what is told of a gauge; its uses from `since_ms` on, or since its newest calibration before `now` where that
/// is none. None where there is no such gauge.
pub fn gauge_page(
    conn: &Connection,
    gauge: ThingNo,
    since_ms: Option<i64>,
    now: Stamp,
) -> Result<Option<GaugePage>> {
    let Some((Record::Gauge(record), _)) = super::record(conn, gauge)? else {
        return Ok(None);
    };
    let calibrations = calibrations(conn, gauge)?;
    let newest = calibrations.iter().rev().find(|c| c.at.ms <= now.ms);
    let since_ms = since_ms.or(newest.map(|c| c.at.ms)).unwrap_or(i64::MIN);
    Ok(Some(GaugePage {
        no: gauge,
        record,
        uses: uses(conn, gauge, since_ms)?,
        calibrations,
    }))
}

fn calibrations(conn: &Connection, gauge: ThingNo) -> Result<Vec<Calibration>> {
    let mut stmt = conn.prepare_cached(
        "SELECT event, certificate, due_ms, expanded_uncertainty, at_ms,
             coalesce(lead(at_ms) OVER (ORDER BY at_ms, event), 9223372036854775807) AS next_ms
         FROM calibration WHERE gauge = ?1 ORDER BY at_ms, event",
    )?;
    let mut rows = stmt.query([gauge.0])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let event = event(conn, row.get("event")?)?;
        let (readings, sheets, overdue) = conn
            .prepare_cached(
                "SELECT count(*), count(DISTINCT r.event), coalesce(sum(r.is_gauge_overdue), 0)
                 FROM reading r JOIN event e ON e.no = r.event
                 WHERE r.gauge = ?1 AND e.at_ms >= ?2 AND e.at_ms < ?3",
            )?
            .query_row(
                params![
                    gauge.0,
                    row.get::<_, i64>("at_ms")?,
                    row.get::<_, i64>("next_ms")?
                ],
                |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
            )?;
        found.push(Calibration {
            id: event.id.to_string(),
            at: event.at,
            entered: event.entered,
            certificate: row.get("certificate")?,
            due_ms: row.get("due_ms")?,
            expanded_uncertainty: row.get("expanded_uncertainty")?,
            signer: signer(conn, &event)?,
            readings,
            sheets,
            overdue,
        });
    }
    Ok(found)
}

fn uses(conn: &Connection, gauge: ThingNo, since_ms: i64) -> Result<Vec<GaugeUse>> {
    let mut stmt = conn.prepare_cached(
        "SELECT r.event, max(r.is_gauge_overdue) AS overdue, s.bearing, s.chock, s.roll
         FROM reading r JOIN event e ON e.no = r.event LEFT JOIN sheet s ON s.event = r.event
         WHERE r.gauge = ?1 AND e.at_ms >= ?2 GROUP BY r.event ORDER BY e.at_ms, e.no",
    )?;
    let mut rows = stmt.query(params![gauge.0, since_ms])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let event = event(conn, row.get("event")?)?;
        let code = |no: Option<i64>| no.map_or(Ok(String::new()), |no| code_of(conn, ThingNo(no)));
        found.push(GaugeUse {
            event: event.no,
            id: event.id.to_string(),
            at: event.at,
            bearing: code(row.get("bearing")?)?,
            chock: code(row.get("chock")?)?,
            roll: code(row.get("roll")?)?,
            signer: signer(conn, &event)?,
            is_overdue: row.get("overdue")?,
            readings: readings(conn, event.no, gauge)?,
            doubts: doubts(conn, event.no)?,
            rows: super::sheet::rows_of(conn, &event)?,
        });
    }
    Ok(found)
}

fn readings(
    conn: &Connection,
    event: i64,
    gauge: ThingNo,
) -> Result<Vec<(String, String, String)>> {
    let mut stmt = conn.prepare_cached(
        "SELECT path, text, unit FROM reading WHERE event = ?1 AND gauge = ?2 ORDER BY path",
    )?;
    let rows = stmt.query_map(params![event, gauge.0], |row| {
        Ok((row.get(0)?, row.get(1)?, row.get(2)?))
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn doubts(conn: &Connection, event: i64) -> Result<Vec<(String, i64, String)>> {
    let mut stmt = conn.prepare_cached(
        "SELECT about, item, verdict FROM verdict
         WHERE event = ?1 AND verdict NOT IN ('pass', 'not_applicable') ORDER BY about, item",
    )?;
    let rows = stmt.query_map([event], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn event(conn: &Connection, no: i64) -> Result<Event> {
    let sql = format!("SELECT {EVENT_COLUMNS} FROM event WHERE no = ?1");
    Ok(conn.prepare_cached(&sql)?.query_row([no], event_from_row)?)
}

/// Who signed an event; empty where nobody did.
fn signer(conn: &Connection, event: &Event) -> Result<String> {
    let Some(person) = event.person else {
        return Ok(String::new());
    };
    let no = conn
        .prepare_cached("SELECT no FROM event WHERE origin = ?1 AND seq = ?2")?
        .query_row(params![person.origin.0, person.seq], |row| row.get(0))
        .optional()?;
    no.map_or(Ok(String::new()), |no| code_of(conn, ThingNo(no)))
}
