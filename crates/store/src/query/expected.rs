//! The bearings that may pass a limit before their next teardown, by their wear.

use calc::wear::Settings;
use rusqlite::Connection;

use super::wear::ShopWear;
use crate::error::Result;
use crate::id::ThingNo;

/// A bearing in the mill that may pass a limit before its next teardown.
#[derive(Debug, Clone, PartialEq)]
pub struct ExpectedLimit {
    /// The bearing.
    pub bearing: (ThingNo, String),
    /// The chock.
    pub chock: String,
    /// Where it runs.
    pub position: String,
    /// The row pair that comes first, from 1; 0 where the clearance is that of the whole bearing.
    pub pair: u32,
    /// Chance of passing its limit before the next teardown.
    pub chance: f64,
    /// Counter hours at which the limit is passed with 5, 50 and 95 in 100.
    pub crossing_h: [Option<f64>; 3],
    /// The counter now, h.
    pub now_h: f64,
}

/// The bearings in the mill whose chance is over the alarm of the model, the likeliest first.
pub fn expected_limits(conn: &Connection, wear: &ShopWear) -> Result<Vec<ExpectedLimit>> {
    let mut stmt = conn.prepare_cached(
        "SELECT b.serial, c.code, p.code, t.kind = 'four_row_tapered' FROM stay s JOIN bearing b ON b.no = s.bearing
         JOIN bearing_type t ON t.no = b.bearing_type JOIN chock c ON c.no = s.chock
         JOIN place pl ON pl.thing = s.chock JOIN position p ON p.no = pl.position
         WHERE s.to_event IS NULL AND s.seat IN ('main', 'main2') ORDER BY c.code, b.serial",
    )?;
    let mut rows = stmt.query([])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let serial: String = row.get(0)?;
        let (Some(no), Some(now_h)) = (wear.bearings.get(&serial), wear.counter_h.get(&serial))
        else {
            continue;
        };
        let first = wear
            .of(&serial)
            .max_by(|a, b| wear.chance(a).total_cmp(&wear.chance(b)));
        let Some(first) = first.filter(|row| wear.chance(row) > Settings::default().alarm_chance)
        else {
            continue;
        };
        found.push(ExpectedLimit {
            chance: wear.chance(first),
            pair: if row.get(3)? { first.row_pair } else { 0 },
            crossing_h: first.crossing_h,
            now_h: *now_h,
            chock: row.get(1)?,
            position: row.get(2)?,
            bearing: (*no, serial.clone()),
        });
    }
    found.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    Ok(found)
}
