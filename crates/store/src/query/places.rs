//! The positions of a stand with what is in them now, for its drawing.

use rusqlite::Connection;

use crate::error::Result;
use crate::id::ThingNo;

/// A stand with its positions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StandPlaces {
    /// Its number here.
    pub no: ThingNo,
    /// Its code.
    pub code: String,
    /// Two-high, four-high, six-high.
    pub build: String,
    /// Its positions, by code.
    pub places: Vec<StandPlace>,
}

/// A position.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct StandPlace {
    /// Its number here; none while it is being typed.
    pub no: Option<ThingNo>,
    /// Its code.
    pub code: String,
    /// W, I, K or R.
    pub role: String,
    /// T or B.
    pub level: String,
    /// O or D.
    pub side: String,
    /// It holds the roll axially.
    pub is_fixed: bool,
    /// Where the load comes from, 0.1 degree from 12 o'clock.
    pub load_angle_ddeg: Option<i64>,
    /// It has a rolling bearing.
    pub is_rolling: bool,
    /// The chock that is there now, and the bearing in its main seat.
    pub held: String,
}

/// All stands by code, each with its positions.
pub fn stand_places(conn: &Connection) -> Result<Vec<StandPlaces>> {
    let mut stmt = conn.prepare_cached("SELECT no, code, build FROM stand ORDER BY code")?;
    let rows = stmt.query_map([], |row| {
        Ok(StandPlaces {
            no: ThingNo(row.get(0)?),
            code: row.get(1)?,
            build: row.get(2)?,
            places: Vec::new(),
        })
    })?;
    let mut stands: Vec<StandPlaces> = rows.collect::<rusqlite::Result<_>>()?;
    let sql = "SELECT p.stand, p.no, p.code, p.role, p.level, p.side, p.is_fixed, p.load_angle_ddeg,
                 p.is_rolling_bearing,
                 (SELECT c.code || coalesce(' ' || b.serial, '') FROM place pl JOIN chock c ON c.no = pl.thing
                    LEFT JOIN stay s ON s.chock = c.no AND s.to_event IS NULL AND s.seat = 'main'
                    LEFT JOIN bearing b ON b.no = s.bearing WHERE pl.position = p.no LIMIT 1) AS held
               FROM position p ORDER BY p.code";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query([])?;
    while let Some(row) = rows.next()? {
        let stand = ThingNo(row.get("stand")?);
        let place = StandPlace {
            no: Some(ThingNo(row.get("no")?)),
            code: row.get("code")?,
            role: row.get("role")?,
            level: row.get("level")?,
            side: row.get("side")?,
            is_fixed: row.get("is_fixed")?,
            load_angle_ddeg: Some(row.get("load_angle_ddeg")?),
            is_rolling: row.get("is_rolling_bearing")?,
            held: row.get::<_, Option<String>>("held")?.unwrap_or_default(),
        };
        if let Some(of) = stands.iter_mut().find(|s| s.no == stand) {
            of.places.push(place);
        }
    }
    Ok(stands)
}
