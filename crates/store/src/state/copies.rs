//! One logbook out of several copies: entries of the register that are one thing, and conflicts that are settled.

use rusqlite::{Connection, OptionalExtension, params};

use super::{Applying, EVENT_COLUMNS, event_from_row, find_event};
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{ConflictResolved, Payload, ThingsJoined};

/// No chain of joined entries is longer; two that name each other end here.
const JOINS_MAX: usize = 16;

/// The entry that a thing goes on as: itself, unless it was joined.
pub(super) fn kept(conn: &Connection, thing: ThingNo) -> Result<ThingNo> {
    let mut thing = thing;
    for _ in 0..JOINS_MAX {
        let next: Option<i64> = conn
            .prepare_cached("SELECT kept FROM joined WHERE thing = ?1")?
            .query_row([thing.0], |row| row.get(0))
            .optional()?;
        match next {
            Some(next) => thing = ThingNo(next),
            None => break,
        }
    }
    Ok(thing)
}

/// Notes every joining before anything else is derived: it changes what the names in all other events mean.
pub(super) fn join_all(conn: &Connection) -> Result<()> {
    let sql = format!(
        "SELECT {EVENT_COLUMNS} FROM event WHERE kind = 'things_joined' ORDER BY at_ms, origin, seq"
    );
    let mut stmt = conn.prepare(&sql)?;
    let mut rows = stmt.query([])?;
    while let Some(row) = rows.next()? {
        let event = event_from_row(row)?;
        let payload = Payload::read(&event.kind, event.kind_version, &event.payload)?;
        let Payload::ThingsJoined(p) = payload else {
            continue;
        };
        let own = event.id.origin;
        let into = kept(conn, find_event(conn, &p.kept, own)?)?;
        let thing = kept(conn, find_event(conn, &p.joined, own)?)?;
        // Joined already, perhaps by both copies: nothing to add.
        if into != thing {
            conn.prepare_cached("INSERT INTO joined (thing, kept, event) VALUES (?1, ?2, ?3)")?
                .execute(params![thing.0, into.0, event.no])?;
        }
    }
    Ok(())
}

impl Applying<'_> {
    /// The joining itself was noted before; here it only stands on the thing's event line.
    pub(super) fn things_joined(&self, p: &ThingsJoined) -> Result<()> {
        self.thing(&p.kept).map(drop)
    }

    pub(super) fn conflict_resolved(&self, p: &ConflictResolved) -> Result<()> {
        let event = find_event(self.conn, &p.event, self.event.id.origin)?;
        let sql =
            "UPDATE conflict SET resolved_event = ?2 WHERE event = ?1 AND resolved_event IS NULL";
        let settled = self
            .conn
            .prepare_cached(sql)?
            .execute(params![event.0, self.event.no])?;
        if settled == 0 {
            return self.conflict("there is no open conflict at that event");
        }
        self.beside(event)
    }
}
