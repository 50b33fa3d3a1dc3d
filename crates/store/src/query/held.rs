//! Why a thing waits: for its tag, and before it is released.

use rusqlite::Connection;

use super::stamp_from_row;
use crate::error::Result;
use crate::id::ThingNo;
use crate::time::Stamp;

/// A thing on hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    /// Its code or serial.
    pub code: String,
    /// `bearing`, `chock` ...
    pub entity: String,
    /// Why.
    pub reason: String,
    /// Who said so; empty where nobody signed.
    pub by: String,
    /// Since when.
    pub since: Stamp,
    /// The record of the hold.
    pub record: String,
}

/// Every hold of a thing that is not released, newest first; empty where it is free. One release ends them all.
pub fn holds(conn: &Connection, thing: ThingNo) -> Result<Vec<Held>> {
    let sql = "SELECT t.code, t.entity, h.reason, e.no AS event, e.at_ms, e.at_offset_min, e.at_precision,
                 coalesce((SELECT p.name FROM person p JOIN event r ON r.no = p.no
                           WHERE r.origin = e.person_origin AND r.seq = e.person_seq), '') AS by_name
               FROM hold h JOIN thing t ON t.no = h.thing JOIN event e ON e.no = h.event
               WHERE h.thing = ?1 AND h.released_event IS NULL ORDER BY e.at_ms DESC, e.no DESC";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map([thing.0], |row| {
        let held = Held {
            code: row.get("code")?,
            entity: row.get("entity")?,
            reason: row.get("reason")?,
            by: row.get("by_name")?,
            since: stamp_from_row(row)?,
            record: String::new(),
        };
        Ok((held, ThingNo(row.get("event")?)))
    })?;
    let mut all = Vec::new();
    for row in rows {
        let (held, event) = row?;
        let record = crate::append::event_id(conn, event)?.to_string();
        all.push(Held { record, ..held });
    }
    Ok(all)
}

/// The newest hold of a thing that is not released; none where it is free.
pub fn held(conn: &Connection, thing: ThingNo) -> Result<Option<Held>> {
    Ok(holds(conn, thing)?.into_iter().next())
}
