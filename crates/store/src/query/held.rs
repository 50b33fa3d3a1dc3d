//! Why a thing waits, for its tag.

use rusqlite::{Connection, OptionalExtension};

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

/// The newest hold of a thing that is not released; none where it is free.
pub fn held(conn: &Connection, thing: ThingNo) -> Result<Option<Held>> {
    let sql = "SELECT t.code, t.entity, h.reason, e.no AS event, e.at_ms, e.at_offset_min, e.at_precision,
                 coalesce((SELECT p.name FROM person p JOIN event r ON r.no = p.no
                           WHERE r.origin = e.person_origin AND r.seq = e.person_seq), '') AS by_name
               FROM hold h JOIN thing t ON t.no = h.thing JOIN event e ON e.no = h.event
               WHERE h.thing = ?1 AND h.released_event IS NULL ORDER BY e.at_ms DESC, e.no DESC LIMIT 1";
    let found = conn
        .prepare_cached(sql)?
        .query_row([thing.0], |row| {
            let held = Held {
                code: row.get("code")?,
                entity: row.get("entity")?,
                reason: row.get("reason")?,
                by: row.get("by_name")?,
                since: stamp_from_row(row)?,
                record: String::new(),
            };
            Ok((held, ThingNo(row.get("event")?)))
        })
        .optional()?;
    let Some((held, event)) = found else {
        return Ok(None);
    };
    let record = crate::append::event_id(conn, event)?.to_string();
    Ok(Some(Held { record, ..held }))
}
