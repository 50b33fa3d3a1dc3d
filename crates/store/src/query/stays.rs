//! The stays of bearings in one chock.

use rusqlite::Connection;

use crate::error::Result;
use crate::id::ThingNo;

/// A bearing in a seat of a chock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChockStay {
    /// The bearing.
    pub bearing: (ThingNo, String),
    /// Seat of the chock.
    pub seat: String,
    /// Load zone that was up when it went in, 1 to 4, 0 without marks.
    pub zone: i64,
    /// Begin, ms UTC.
    pub from_ms: i64,
    /// End, ms UTC; none while it lasts.
    pub to_ms: Option<i64>,
    /// Mill time, s.
    pub run_s: i64,
    /// Rolled, kg.
    pub rolled_kg: i64,
    /// Campaigns.
    pub campaigns: i64,
    /// Some of it is an estimate.
    pub has_estimate: bool,
    /// Positions that the chock ran in meanwhile, parted by blanks.
    pub positions: String,
}

/// The stays in a chock, oldest first.
pub fn stays_of_chock(conn: &Connection, chock: ThingNo) -> Result<Vec<ChockStay>> {
    let mut stmt = conn.prepare_cached(
        "SELECT s.bearing, b.serial, s.seat, s.zone, s.from_ms, s.to_ms, s.run_s, s.rolled_kg, s.campaigns,
             s.has_estimate,
             (SELECT group_concat(code, ' ') FROM (SELECT DISTINCT p.code FROM run r JOIN position p ON p.no = r.position
                  WHERE r.chock = s.chock AND r.to_ms > s.from_ms AND (s.to_ms IS NULL OR r.to_ms <= s.to_ms)
                  ORDER BY p.code)) AS positions
         FROM stay s JOIN bearing b ON b.no = s.bearing WHERE s.chock = ?1 ORDER BY s.from_ms, s.no",
    )?;
    let rows = stmt.query_map([chock.0], |row| {
        Ok(ChockStay {
            bearing: (ThingNo(row.get("bearing")?), row.get("serial")?),
            seat: row.get("seat")?,
            zone: row.get("zone")?,
            from_ms: row.get("from_ms")?,
            to_ms: row.get("to_ms")?,
            run_s: row.get("run_s")?,
            rolled_kg: row.get("rolled_kg")?,
            campaigns: row.get("campaigns")?,
            has_estimate: row.get("has_estimate")?,
            positions: row
                .get::<_, Option<String>>("positions")?
                .unwrap_or_default(),
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
