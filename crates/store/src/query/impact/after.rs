//! What was done since a gauge was found out: measured again, recalled, released, repaired.

use rusqlite::{Connection, OptionalExtension, params};

use super::{Act, Again, ImpactLine};
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::query::words::describe;
use crate::state::{self, event_columns, event_from_row};
use crate::time::Stamp;

/// The next measurement of the same seat or row pair that does not rest on this gauge while it read wrongly.
pub(super) fn again(
    conn: &Connection,
    line: &ImpactLine,
    gauge: ThingNo,
    (from, until): (i64, i64),
) -> Result<Option<Again>> {
    let Some((thing, sort)) = line.thing.as_ref().filter(|_| !line.about.is_empty()) else {
        return Ok(None);
    };
    // The column that names the thing: a fixed word, never a value.
    let column = match sort.as_str() {
        "roll" => "s.roll = ?1 AND s.side IS (SELECT side FROM sheet WHERE event = ?4)",
        "chock" => "s.chock = ?1",
        _ => "s.bearing = ?1",
    };
    let sql = format!(
        "SELECT e.no, v.verdict, v.value_nm FROM sheet s JOIN event e ON e.no = s.event
           JOIN verdict v ON v.event = s.event AND v.about = ?2 AND v.item = ?3 AND v.value_nm IS NOT NULL
         WHERE {column} AND e.at_ms > ?5 AND NOT (e.at_ms >= ?6 AND e.at_ms < ?7 AND
           EXISTS (SELECT 1 FROM reading r WHERE r.event = e.no AND (r.gauge = ?8 OR r.gauge IN
             (SELECT u.no FROM gauge u JOIN gauge g ON u.standard = g.code COLLATE NOCASE WHERE g.no = ?8)))) ORDER BY e.at_ms, e.no LIMIT 1"
    );
    let found: Option<(i64, String, Option<i64>)> = conn
        .prepare_cached(&sql)?
        .query_row(
            params![
                thing.0, line.about, line.item, line.event, line.at.ms, from, until, gauge.0
            ],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
        )
        .optional()?;
    let Some((event, verdict, value)) = found else {
        return Ok(None);
    };
    let event = state::event(conn, ThingNo(event))?;
    Ok(Some(Again {
        gauge: gauges_behind(conn, event.no, line)?,
        event: event.no,
        id: event.id.to_string(),
        at: event.at,
        value,
        verdict: verdict.parse().ok(),
    }))
}

/// The gauges on which the same fields of another sheet were read.
fn gauges_behind(conn: &Connection, event: i64, line: &ImpactLine) -> Result<String> {
    let sql = "SELECT DISTINCT g.code FROM reading r JOIN gauge g ON g.no = r.gauge WHERE r.event = ?1 AND r.path = ?2";
    let mut codes: Vec<String> = Vec::new();
    for reading in &line.readings {
        let code: Option<String> = conn
            .prepare_cached(sql)?
            .query_row(params![event, reading.path], |row| row.get(0))
            .optional()?;
        codes.extend(code.filter(|code| !codes.contains(code)));
    }
    Ok(codes.join(", "))
}

/// What was decided about the thing since the gauge was found out: recalled, released, repaired, accepted, scrapped.
pub(super) fn done(
    conn: &Connection,
    line: &ImpactLine,
    found: Stamp,
    show: Show,
) -> Result<Vec<Act>> {
    let Some((thing, _)) = &line.thing else {
        return Ok(Vec::new());
    };
    let columns = event_columns("e");
    let sql = format!(
        "SELECT {columns} FROM thing_event t JOIN event e ON e.no = t.event WHERE t.thing = ?1 AND e.at_ms >= ?2
           AND e.kind IN ('hold', 'released', 'deviation_accepted', 'sent_out', 'returned', 'scrapped')
         ORDER BY e.at_ms, e.no LIMIT 12"
    );
    let mut stmt = conn.prepare_cached(&sql)?;
    let mut rows = stmt.query(params![thing.0, found.ms])?;
    let mut acts = Vec::new();
    while let Some(row) = rows.next()? {
        let event = event_from_row(row)?;
        let Some(payload) = state::what_counts(conn, &event)? else {
            continue;
        };
        let (title, pieces) = describe(conn, &event, &payload, show)?;
        let words: Vec<&str> = pieces.iter().map(|p| p.text.as_str()).collect();
        acts.push(Act {
            event: event.no,
            id: event.id.to_string(),
            at: event.at,
            text: format!("{title}: {}", words.join(", ")),
        });
    }
    Ok(acts)
}
