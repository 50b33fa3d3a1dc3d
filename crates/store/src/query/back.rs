//! Chocks and rolls that came back from outside work, and whether anybody has measured since what was done to them.

use rusqlite::{Connection, OptionalExtension, params};

use super::stamp_from_row;
use crate::error::Result;
use crate::id::ThingNo;
use crate::time::Stamp;

/// A return from outside work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Back {
    /// When.
    pub(crate) at: Stamp,
    /// True where a certificate came with it.
    pub(crate) is_certified: bool,
}

/// A thing that came back and lies where it was put, not measured yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BackLine {
    /// What.
    pub thing: (ThingNo, String),
    /// `chock` or `roll`.
    pub entity: String,
    /// Since when.
    pub since: Stamp,
}

/// The newest return of a thing up to then; one that was withdrawn is none.
pub(crate) fn last_return(conn: &Connection, thing: ThingNo, at_ms: i64) -> Result<Option<Back>> {
    let sql = "SELECT e.at_ms, e.at_offset_min, e.at_precision,
                 trim(coalesce(f.payload, e.payload) ->> 'certificate') <> '' AS is_certified
               FROM thing_event te JOIN event e ON e.no = te.event LEFT JOIN effective f ON f.event = e.no
               WHERE te.thing = ?1 AND e.kind = 'returned' AND e.at_ms <= ?2
                 AND (f.event IS NULL OR f.payload IS NOT NULL)
               ORDER BY e.at_ms DESC, e.no DESC LIMIT 1";
    let back = conn
        .prepare_cached(sql)?
        .query_row(params![thing.0, at_ms], |row| {
            Ok(Back {
                at: stamp_from_row(row)?,
                is_certified: row.get("is_certified")?,
            })
        });
    Ok(back.optional()?)
}

/// The newest return of a chock or a roll after which nobody has measured its bore or its necks; of a roll one neck alone
/// may be asked about, `O` or `D`.
pub(crate) fn unmeasured_since(
    conn: &Connection,
    thing: ThingNo,
    neck: Option<&str>,
    at_ms: i64,
) -> Result<Option<Back>> {
    let Some(back) = last_return(conn, thing, at_ms)? else {
        return Ok(None);
    };
    let sql = "SELECT EXISTS (SELECT 1 FROM sheet s JOIN event m ON m.no = s.event JOIN reading r ON r.event = s.event
                 WHERE ((s.chock = ?1 AND r.path LIKE 'bore.%') OR (s.roll = ?1 AND r.path LIKE 'neck.%'))
                   AND m.at_ms BETWEEN ?2 AND ?3 AND (?4 IS NULL OR s.side IS NULL OR s.side = ?4))
               OR NOT EXISTS (SELECT 1 FROM thing WHERE no = ?1 AND entity IN ('chock', 'roll'))";
    let is_measured: bool = conn
        .prepare_cached(sql)?
        .query_row(params![thing.0, back.at.ms, at_ms, neck], |row| row.get(0))?;
    Ok((!is_measured).then_some(back))
}

/// What lies where it was put when it came back, and nobody has measured it, the longest first.
pub(super) fn unmeasured(conn: &Connection, now: Stamp) -> Result<Vec<BackLine>> {
    let mut stmt = conn.prepare_cached(
        "SELECT t.no, t.code, t.entity, e.at_ms, e.at_offset_min, e.at_precision
         FROM place p JOIN thing t ON t.no = p.thing JOIN event e ON e.no = p.since_event
         WHERE e.kind = 'returned' AND t.entity IN ('chock', 'roll') ORDER BY e.at_ms, t.code",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(BackLine {
            thing: (ThingNo(row.get("no")?), row.get("code")?),
            entity: row.get("entity")?,
            since: stamp_from_row(row)?,
        })
    })?;
    let mut all = Vec::new();
    for line in rows {
        let line = line?;
        if unmeasured_since(conn, line.thing.0, None, now.ms)?.is_some() {
            all.push(line);
        }
    }
    Ok(all)
}
