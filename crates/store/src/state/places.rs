//! One thing in one place: what an event has to find on its day, and the conflict where it does not.
//!
//! These are the place rules of the shop, once: an entry that breaks one is refused with the words of the conflict;
//! an event that came in by another way is kept, and its conflict listed for the engineer.

use rusqlite::{OptionalExtension, params};

use super::Applying;
use crate::error::Result;
use crate::id::ThingNo;

/// Where a thing is while the event is applied.
pub(super) struct Place {
    /// `stores`, `shop`, `mill`, `away` or `scrapped`.
    pub(super) kind: String,
    note: String,
    since_ms: i64,
}

impl Applying<'_> {
    pub(super) fn code(&self, thing: ThingNo) -> Result<String> {
        let code = self
            .conn
            .prepare_cached("SELECT code FROM thing WHERE no = ?1")?
            .query_row([thing.0], |row| row.get(0));
        Ok(code.optional()?.unwrap_or_else(|| "it".into()))
    }

    pub(super) fn place(&self, thing: ThingNo) -> Result<Option<Place>> {
        let sql = "SELECT p.place, p.note, e.at_ms FROM place p JOIN event e ON e.no = p.since_event WHERE p.thing = ?1";
        let place = self.conn.prepare_cached(sql)?.query_row([thing.0], |row| {
            Ok(Place {
                kind: row.get(0)?,
                note: row.get(1)?,
                since_ms: row.get(2)?,
            })
        });
        Ok(place.optional()?)
    }

    /// True where the thing was scrapped: nothing happens to it any more, and that is a conflict.
    pub(super) fn is_gone(&self, thing: ThingNo) -> Result<bool> {
        match self.place(thing)? {
            Some(at) if at.kind == "scrapped" => {
                let why = format!(
                    "{} was scrapped ({}); scrapped stays scrapped",
                    self.code(thing)?,
                    at.note
                );
                self.conflict(&why)?;
                Ok(true)
            }
            _ => Ok(false),
        }
    }

    /// The same for what lasted from `from_ms` on, whatever happened later.
    pub(super) fn was_gone(&self, thing: ThingNo, from_ms: i64) -> Result<bool> {
        match self.place(thing)? {
            Some(at) if at.kind == "scrapped" && at.since_ms <= from_ms => self.is_gone(thing),
            _ => Ok(false),
        }
    }

    /// In the shop or the stores: neither away nor in the mill, by itself or with its chock.
    pub(super) fn must_be_here(&self, thing: ThingNo) -> Result<()> {
        let code = self.code(thing)?;
        match self.place(thing)? {
            Some(at) if at.kind == "away" => self.conflict(&format!(
                "{code} is away at {}: enter its return first",
                at.note
            )),
            Some(at) if at.kind == "mill" => self.conflict(&format!(
                "{code} is in the mill: enter that it came off first"
            )),
            _ => self.chock_must_be_here(thing),
        }
    }

    /// A bearing goes where its chock goes.
    pub(super) fn chock_must_be_here(&self, bearing: ThingNo) -> Result<()> {
        let sql = "SELECT s.chock FROM stay s WHERE s.bearing = ?1 AND s.to_event IS NULL AND EXISTS
                     (SELECT 1 FROM place p WHERE p.place = 'mill' AND (p.thing = s.chock OR p.roll = s.chock))";
        if let Some(chock) = self.one(sql, bearing)? {
            let (bearing, chock) = (self.code(bearing)?, self.code(chock)?);
            return self.conflict(&format!(
                "{bearing} is in {chock}, which is in the mill: enter that it came off first"
            ));
        }
        let sql = "SELECT s.chock FROM stay s JOIN place p ON p.thing = s.chock
                   WHERE s.bearing = ?1 AND s.to_event IS NULL AND p.place = 'away'";
        let Some(roll) = self.one(sql, bearing)? else {
            return Ok(());
        };
        let (bearing, roll) = (self.code(bearing)?, self.code(roll)?);
        self.conflict(&format!(
            "{bearing} is on {roll}, which is away: enter its return first"
        ))
    }

    /// Nothing is on it or in it that would have to go along: no bearing in a chock, no chock on a roll. Inner halves
    /// on its necks go with a roll that comes back.
    pub(super) fn must_be_bare(&self, thing: ThingNo, comes_back: bool) -> Result<()> {
        let sql = if comes_back {
            "SELECT bearing FROM stay WHERE chock = ?1 AND to_event IS NULL AND seat NOT LIKE 'neck%'"
        } else {
            "SELECT bearing FROM stay WHERE chock = ?1 AND to_event IS NULL"
        };
        let inside = self.one(sql, thing)?;
        if let Some(bearing) = inside {
            let (bearing, chock) = (self.code(bearing)?, self.code(thing)?);
            self.conflict(&format!(
                "{bearing} is still in {chock}: enter that it was taken out first"
            ))?;
        }
        if let Some(chock) = self.one("SELECT thing FROM place WHERE roll = ?1", thing)? {
            let (chock, roll) = (self.code(chock)?, self.code(thing)?);
            self.conflict(&format!(
                "{chock} is still on {roll}: enter that it came off first"
            ))?;
        }
        Ok(())
    }

    /// Not held by anybody.
    pub(super) fn must_be_free(&self, thing: ThingNo) -> Result<()> {
        let sql = "SELECT reason FROM hold WHERE thing = ?1 AND released_event IS NULL ORDER BY event LIMIT 1";
        let why: Option<String> = self
            .conn
            .prepare_cached(sql)?
            .query_row([thing.0], |row| row.get(0))
            .optional()?;
        match why {
            None => Ok(()),
            Some(why) => self.conflict(&format!(
                "{} is on hold ({why}): the engineer releases it first",
                self.code(thing)?
            )),
        }
    }

    /// The bearings in a chock.
    pub(super) fn bearings_in(&self, chock: ThingNo) -> Result<Vec<ThingNo>> {
        let sql = "SELECT bearing FROM stay WHERE chock = ?1 AND to_event IS NULL ORDER BY bearing";
        let mut stmt = self.conn.prepare_cached(sql)?;
        let rows = stmt.query_map([chock.0], |row| row.get(0).map(ThingNo))?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }

    /// Free are the position and this neck of the roll, and the roll's other neck lies in the same stand.
    pub(super) fn must_find_room(
        &self,
        chock: ThingNo,
        roll: ThingNo,
        position: ThingNo,
    ) -> Result<()> {
        let sql = "SELECT pl.thing, CASE
                     WHEN pl.position = ?1 THEN 'is in this position'
                     WHEN at.side = here.side THEN 'is on this neck of the roll'
                     ELSE 'holds the roll in another place' END
                   FROM place pl JOIN position at ON at.no = pl.position JOIN position here ON here.no = ?1
                   WHERE pl.thing <> ?3 AND (pl.position = ?1 OR (pl.roll = ?2 AND
                     (at.side = here.side OR at.stand <> here.stand OR at.role <> here.role OR at.level <> here.level)))
                   ORDER BY pl.thing";
        let clash: Option<(i64, String)> = self
            .conn
            .prepare_cached(sql)?
            .query_row(params![position.0, roll.0, chock.0], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })
            .optional()?;
        match clash {
            None => Ok(()),
            Some((other, why)) => self.conflict(&format!(
                "{} {why}: enter that it came off first",
                self.code(ThingNo(other))?
            )),
        }
    }

    /// The first number that a query of one thing gives.
    fn one(&self, sql: &str, thing: ThingNo) -> Result<Option<ThingNo>> {
        let found = self
            .conn
            .prepare_cached(sql)?
            .query_row([thing.0], |row| row.get(0).map(ThingNo));
        Ok(found.optional()?)
    }
}
