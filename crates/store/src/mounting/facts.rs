//! What the logbook knows of the things on a mounting sheet, beside what every sheet knows.

use std::collections::BTreeMap;
use std::sync::Arc;

use rusqlite::{Connection, OptionalExtension, params};

use super::field::Family;
use crate::draft::Fields;
use crate::error::Result;
use crate::id::{Origin, Ref, ThingNo};
use crate::query::past_interval_in;
use crate::sheet::{Facts, LastSeat, TypeFacts, thing_by_code};
use crate::time::Stamp;

/// Everything that the assessment of a mounting sheet needs from the logbook.
#[derive(Debug, Clone, PartialEq)]
pub struct MountFacts {
    /// What every sheet knows; its bearing is the one in the chock.
    pub base: Arc<Facts>,
    /// Sort of bearing.
    pub family: Family,
    /// True where no mounting sheet is for this bearing.
    pub is_other: bool,
    /// The inner half on the neck that the chock goes onto.
    pub inner: Option<(ThingNo, String)>,
    /// Since when that half stays there, where it has been run on this neck before: nothing of the ring is measured again.
    pub stays_since: Option<Stamp>,
    /// The thrust bearing in the chock with its type.
    pub thrust: Option<(String, TypeFacts)>,
    /// The neck as it was measured last.
    pub last_neck: Option<LastSeat>,
    /// Clearance of the row pairs as left on the last sheet, with its day.
    pub last_play: Option<(Stamp, [Option<i64>; 3])>,
    /// What the place rules will say against it.
    pub against: Vec<String>,
    /// What is worth knowing beforehand, and does not stand against it.
    pub remarks: Vec<String>,
    /// Why the bearing is to be looked at before it runs on; none within its interval.
    pub past_interval: Option<String>,
    /// Seal batches by code, with why one is blocked.
    pub seals: BTreeMap<String, Option<String>>,
}

impl MountFacts {
    /// Reads what the logbook knows; `now` is the time of the work where the sheet names none.
    pub fn load(conn: &Connection, fields: &Fields, now: Stamp) -> Result<Self> {
        let base = Facts::load(conn, fields, now)?;
        let position = named(conn, fields, "identify.position", "position")?;
        let at_ms = base.at.ms;
        let side = position
            .map(|no| -> Result<String> {
                let sql = "SELECT lower(side) FROM position WHERE no = ?1";
                Ok(conn.query_row(sql, [no.0], |row| row.get(0))?)
            })
            .transpose()?;
        let roll = base.roll.as_ref().map(|(no, _)| *no);
        let inner = match (roll, &side) {
            (Some(roll), Some(side)) => on_neck(conn, roll, side, at_ms)?,
            _ => None,
        };
        let stays_since = match (&inner, roll, &side) {
            (Some((no, _)), Some(roll), Some(side)) => run_over(conn, *no, (roll, side), base.at)?,
            _ => None,
        };
        let kind = base.bearing_type.as_ref().map(|t| t.kind.as_str());
        let family = kind.and_then(Family::of);
        let chock = base.chock.as_ref().map(|c| c.no);
        let thrust = chock
            .map(|chock| thrust(conn, chock, at_ms))
            .transpose()?
            .flatten();
        // Where it goes has to be told: the sheet does not guess the side.
        let last_neck = base.last_neck.clone().filter(|_| position.is_some());
        let last_play = base.bearing.as_ref().and_then(|b| {
            let last = b.history.last()?;
            let play = std::array::from_fn(|i| last.left_nm[i].or(last.found_nm[i]));
            Some((last.at, play))
        });
        let mut all = Self {
            family: family.unwrap_or_default(),
            is_other: kind.is_some() && family.is_none(),
            inner,
            stays_since,
            thrust,
            last_neck,
            last_play,
            against: Vec::new(),
            remarks: Vec::new(),
            past_interval: match chock {
                Some(chock) => past_interval_in(conn, chock, base.at)?,
                None => None,
            },
            seals: seals(conn, at_ms)?,
            base: Arc::new(base),
        };
        all.places(conn, roll, position)?;
        Ok(all)
    }

    /// The lubrication that is approved for the bearing; empty where any is.
    pub(super) fn scheme(&self) -> &str {
        let bearing_type = self.base.bearing_type.as_ref();
        bearing_type.map_or("", |t| &t.lubrication)
    }

    /// What the place rules say, before the sheet is filled in.
    fn places(
        &mut self,
        conn: &Connection,
        roll: Option<ThingNo>,
        position: Option<ThingNo>,
    ) -> Result<()> {
        let chock = self.base.chock.as_ref().map(|c| (c.no, c.code.clone()));
        let rolls = self.base.roll.clone();
        for (no, code) in chock.iter().chain(&rolls) {
            let sql = "SELECT p.place, coalesce(x.code, '') FROM place p LEFT JOIN position x ON x.no = p.position
                       WHERE p.thing = ?1";
            let place: Option<(String, String)> = conn
                .prepare_cached(sql)?
                .query_row([no.0], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()?;
            match place {
                Some((place, _)) if place == "away" => {
                    self.against
                        .push(format!("{code} is away for outside work"));
                }
                Some((place, _)) if place == "scrapped" => {
                    self.against.push(format!("{code} is scrapped"));
                }
                Some((place, at)) if place == "mill" && !at.is_empty() => {
                    self.remarks.push(format!(
                        "{code} is in the mill at {at}: with this sheet it counts as moved from there"
                    ));
                }
                _ => {}
            }
        }
        let bearing = self.base.bearing.as_ref().map(|b| (b.no, b.serial.clone()));
        for (no, code) in chock
            .iter()
            .chain(&rolls)
            .chain(&bearing)
            .chain(&self.inner)
        {
            let sql = "SELECT reason FROM hold WHERE thing = ?1 AND released_event IS NULL";
            let held: Option<String> = conn
                .prepare_cached(sql)?
                .query_row([no.0], |row| row.get(0))
                .optional()?;
            if let Some(why) = held {
                self.against.push(format!(
                    "{code} is on hold ({why}): the engineer releases it first"
                ));
            }
        }
        let (Some((chock, _)), Some(roll), Some(position)) = (chock, roll, position) else {
            return Ok(());
        };
        let name =
            |no: ThingNo| -> Result<Ref> { Ok(Ref::full(crate::append::event_id(conn, no)?)) };
        let fits = crate::rules::fits(
            conn,
            Origin([0; 16]),
            &name(chock)?,
            &name(roll)?,
            &name(position)?,
        );
        match fits {
            Err(crate::StoreError::Refused(why)) => self.against.push(why),
            other => other?,
        }
        let sql = "SELECT t.code FROM place p JOIN thing t ON t.no = p.thing JOIN chock c ON c.no = p.thing
                   WHERE p.position = ?1 AND p.thing <> ?2";
        let other: Option<String> = conn
            .prepare_cached(sql)?
            .query_row(params![position.0, chock.0], |row| row.get(0))
            .optional()?;
        self.remarks.extend(other.map(|code| {
            format!("{code} stands there by the record: with this sheet it counts as taken off")
        }));
        Ok(())
    }
}

fn named(conn: &Connection, fields: &Fields, path: &str, entity: &str) -> Result<Option<ThingNo>> {
    let text = fields.get(path).map_or("", |f| f.text.trim());
    if text.is_empty() {
        return Ok(None);
    }
    Ok(thing_by_code(conn, entity, text)?.map(|(no, _)| no))
}

fn on_neck(
    conn: &Connection,
    roll: ThingNo,
    side: &str,
    at_ms: i64,
) -> Result<Option<(ThingNo, String)>> {
    let sql = "SELECT b.no, b.serial FROM stay s JOIN bearing b ON b.no = s.bearing
               WHERE s.chock = ?1 AND s.seat = 'neck_' || ?2 AND s.from_ms <= ?3 AND (s.to_ms IS NULL OR s.to_ms > ?3)
               ORDER BY s.from_ms DESC LIMIT 1";
    let found = conn
        .prepare_cached(sql)?
        .query_row(params![roll.0, side, at_ms], |row| {
            Ok((ThingNo(row.get(0)?), row.get(1)?))
        });
    Ok(found.optional()?)
}

/// Since when the inner half is on its neck, where a chock was over it there before.
fn run_over(
    conn: &Connection,
    inner: ThingNo,
    (roll, side): (ThingNo, &str),
    at: Stamp,
) -> Result<Option<Stamp>> {
    let sql = "SELECT s.from_ms FROM stay s WHERE s.bearing = ?1 AND s.chock = ?2 AND s.from_ms <= ?4
                 AND (s.to_ms IS NULL OR s.to_ms > ?4) AND EXISTS (SELECT 1 FROM whereabouts w
                   JOIN position p ON p.no = w.position JOIN chock c ON c.no = w.thing
                   WHERE w.roll = ?2 AND lower(p.side) = ?3 AND w.from_ms >= s.from_ms AND w.from_ms < ?4)
               ORDER BY s.from_ms DESC LIMIT 1";
    let found = conn
        .prepare_cached(sql)?
        .query_row(params![inner.0, roll.0, side, at.ms], |row| row.get(0))
        .optional()?;
    Ok(found.map(|ms| Stamp::second(ms, at.offset_min)))
}

fn thrust(conn: &Connection, chock: ThingNo, at_ms: i64) -> Result<Option<(String, TypeFacts)>> {
    let sql = "SELECT b.serial, b.bearing_type FROM stay s JOIN bearing b ON b.no = s.bearing
               WHERE s.chock = ?1 AND s.seat = 'thrust' AND s.from_ms <= ?2 AND (s.to_ms IS NULL OR s.to_ms > ?2)
               ORDER BY s.from_ms DESC LIMIT 1";
    let found: Option<(String, i64)> = conn
        .prepare_cached(sql)?
        .query_row(params![chock.0, at_ms], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })
        .optional()?;
    found
        .map(|(serial, no)| Ok((serial, TypeFacts::load(conn, ThingNo(no), at_ms)?)))
        .transpose()
}

fn seals(conn: &Connection, at_ms: i64) -> Result<BTreeMap<String, Option<String>>> {
    let sql = "SELECT s.code, (SELECT b.reason FROM blocked b WHERE b.thing = s.no AND b.at_ms <= ?1 LIMIT 1)
               FROM seal_batch s";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map([at_ms], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
