//! The two halves of a cylindrical bearing: which outer half ran over which inner half, when and how long. The clearance
//! as mounted belongs to the two together.

use rusqlite::{Connection, OptionalExtension, params};

use super::code_of;
use crate::error::Result;
use crate::id::ThingNo;

/// What a half goes, and went, together with.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Halves {
    /// True for the half that lives on a neck.
    pub is_inner: bool,
    /// The other half that it is entered to stay with; none where it goes with any.
    pub kept: Option<(ThingNo, String)>,
    /// Times together, newest first.
    pub together: Vec<Together>,
}

/// A time in which two halves ran together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Together {
    /// The other half.
    pub with: (ThingNo, String),
    /// The roll on whose neck the inner half sat.
    pub roll: String,
    /// The chock that the outer half lay in.
    pub chock: String,
    /// First day, ms UTC.
    pub from_ms: i64,
    /// End of the last campaign, ms UTC.
    pub to_ms: i64,
    /// Mill time together, s.
    pub run_s: i64,
    /// Campaigns together.
    pub campaigns: i64,
    /// Clearance of the two as measured last in that time, nm, with its sheet.
    pub clearance: Option<(i64, i64)>,
}

const OUTER: &str = "four_row_cylindrical";
const INNER: &str = "four_row_cylindrical_inner";

/// The campaigns of an outer half, each with the inner half on the neck.
const OF_OUTER: &str = "SELECT r.from_ms, r.to_ms, r.run_s, i.bearing, i.chock AS roll, o.chock
    FROM stay o JOIN run r ON r.chock = o.chock AND r.from_ms >= o.from_ms AND (o.to_ms IS NULL OR r.from_ms < o.to_ms)
    JOIN position p ON p.no = r.position
    JOIN stay i ON i.chock = r.roll AND i.seat = 'neck_' || lower(p.side)
      AND i.from_ms <= r.from_ms AND (i.to_ms IS NULL OR i.to_ms > r.from_ms)
    WHERE o.bearing = ?1 AND r.is_estimate = 0 AND r.from_ms < ?2 ORDER BY r.from_ms";

/// The campaigns of an inner half, each with the outer half in the chock.
const OF_INNER: &str = "SELECT r.from_ms, r.to_ms, r.run_s, o.bearing, i.chock AS roll, o.chock
    FROM stay i JOIN run r ON r.roll = i.chock AND r.is_estimate = 0 AND r.from_ms >= i.from_ms
      AND (i.to_ms IS NULL OR r.from_ms < i.to_ms)
    JOIN position p ON p.no = r.position AND i.seat = 'neck_' || lower(p.side)
    JOIN stay o ON o.chock = r.chock AND o.seat = 'main'
      AND o.from_ms <= r.from_ms AND (o.to_ms IS NULL OR o.to_ms > r.from_ms)
    WHERE i.bearing = ?1 AND r.from_ms < ?2 ORDER BY r.from_ms";

/// The halves of a bearing; none where it has none.
pub fn halves(conn: &Connection, bearing: ThingNo) -> Result<Option<Halves>> {
    let kind = kind_of(conn, bearing)?;
    let is_inner = match kind.as_str() {
        OUTER => false,
        INNER => true,
        _ => return Ok(None),
    };
    let sql = if is_inner {
        "SELECT outer_half FROM pair WHERE inner_half = ?1 AND to_event IS NULL"
    } else {
        "SELECT inner_half FROM pair WHERE outer_half = ?1 AND to_event IS NULL"
    };
    let kept: Option<ThingNo> = conn
        .prepare_cached(sql)?
        .query_row([bearing.0], |row| row.get(0).map(ThingNo))
        .optional()?;
    let kept = kept
        .map(|no| Ok::<_, crate::StoreError>((no, code_of(conn, no)?)))
        .transpose()?;
    let mut together: Vec<Together> = Vec::new();
    let mut stmt = conn.prepare_cached(if is_inner { OF_INNER } else { OF_OUTER })?;
    let mut rows = stmt.query(params![bearing.0, i64::MAX])?;
    while let Some(row) = rows.next()? {
        let other = ThingNo(row.get("bearing")?);
        let run_s: i64 = row.get("run_s")?;
        let to_ms = row.get("to_ms")?;
        let (roll, chock) = (ThingNo(row.get("roll")?), ThingNo(row.get("chock")?));
        let (roll, chock) = (code_of(conn, roll)?, code_of(conn, chock)?);
        match together.last_mut() {
            Some(last) if last.with.0 == other && last.roll == roll && last.chock == chock => {
                last.to_ms = to_ms;
                last.run_s += run_s;
                last.campaigns += 1;
            }
            _ => together.push(Together {
                with: (other, code_of(conn, other)?),
                roll,
                chock,
                from_ms: row.get("from_ms")?,
                to_ms,
                run_s,
                campaigns: 1,
                clearance: None,
            }),
        }
    }
    for at in 0..together.len() {
        // Up to the next time with another half: the sheet comes after the last campaign.
        let until_ms = together.get(at + 1).map_or(i64::MAX, |next| next.from_ms);
        let one = &together[at];
        let outer = if is_inner { one.with.0 } else { bearing };
        let clearance = clearance(conn, outer, one.from_ms, until_ms)?;
        together[at].clearance = clearance;
    }
    together.reverse();
    Ok(Some(Halves {
        is_inner,
        kept,
        together,
    }))
}

/// The clearance measured last on the sheets of an outer half in a time, with the sheet.
fn clearance(
    conn: &Connection,
    outer: ThingNo,
    from_ms: i64,
    until_ms: i64,
) -> Result<Option<(i64, i64)>> {
    let sql = "SELECT o.value, s.event FROM sheet s JOIN event e ON e.no = s.event
               JOIN outcome o ON o.event = s.event AND o.name = 'clearance_nm'
               WHERE s.bearing = ?1 AND e.at_ms >= ?2 AND e.at_ms < ?3 ORDER BY e.at_ms DESC, e.no DESC LIMIT 1";
    let found = conn
        .prepare_cached(sql)?
        .query_row(params![outer.0, from_ms, until_ms], |row| {
            Ok((row.get(0)?, row.get(1)?))
        });
    Ok(found.optional()?)
}

fn kind_of(conn: &Connection, bearing: ThingNo) -> Result<String> {
    let sql =
        "SELECT t.kind FROM bearing b JOIN bearing_type t ON t.no = b.bearing_type WHERE b.no = ?1";
    let kind = conn
        .prepare_cached(sql)?
        .query_row([bearing.0], |row| row.get(0));
    Ok(kind.optional()?.unwrap_or_default())
}

/// The other halves that an outer half ran over, with the begin of each time, oldest first; empty for every other bearing.
pub(super) fn partners(conn: &Connection, bearing: ThingNo) -> Result<Vec<(i64, ThingNo)>> {
    if kind_of(conn, bearing)? != OUTER {
        return Ok(Vec::new());
    }
    let mut found: Vec<(i64, ThingNo)> = Vec::new();
    let mut stmt = conn.prepare_cached(OF_OUTER)?;
    let mut rows = stmt.query(params![bearing.0, i64::MAX])?;
    while let Some(row) = rows.next()? {
        let other = ThingNo(row.get("bearing")?);
        if found.last().is_none_or(|(_, last)| *last != other) {
            found.push((row.get("from_ms")?, other));
        }
    }
    Ok(found)
}
