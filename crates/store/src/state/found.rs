//! What was found in another place than the record has it: the honest way out where nobody knows when it went there.
//!
//! What was found is where it was found. Where it was before, and what stood in the record in its place, ends as unknown
//! since it was last seen: a row in `lost` each, and the hours of a stay that ended so are an estimate.

use rusqlite::{OptionalExtension, params};

use super::Applying;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::FoundHere;

/// Kinds by which somebody had a thing in hand. For SQL.
const SEEN: &str = "'received', 'assembled', 'taken_out', 'mounted', 'mounting_sheet', 'dismounted', 'teardown_sheet', \
    'zone_turned', 'sent_out', 'returned', 'found_here', 'spacers_reground'";

impl Applying<'_> {
    pub(super) fn found_here(&self, p: &FoundHere) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        let on = self.thing_opt(p.on.as_ref())?;
        let position = self.thing_opt(p.position.as_ref())?;
        if self.is_gone(thing)? {
            return Ok(());
        }
        if let Some(on) = on
            && self.is_gone(on)?
        {
            return Ok(());
        }
        self.lose(thing)?;
        match (on, position) {
            (Some(roll), Some(position)) => {
                for other in self.in_the_way(thing, roll, position)? {
                    self.lose(other)?;
                    self.put(other, "unknown", None, None, &p.reason)?;
                }
                self.put(thing, "mill", Some(position), Some(roll), &p.reason)
            }
            (Some(chock), None) => {
                let sql =
                    "SELECT bearing FROM stay WHERE chock = ?1 AND seat = ?2 AND to_event IS NULL";
                let taken: Option<ThingNo> = self
                    .conn
                    .prepare_cached(sql)?
                    .query_row(params![chock.0, p.seat], |row| row.get(0).map(ThingNo))
                    .optional()?;
                if let Some(other) = taken {
                    self.lose(other)?;
                    self.put(other, "unknown", None, None, &p.reason)?;
                }
                self.insert_stay(thing, chock, &p.seat, p.zone)
            }
            (None, _) => {
                // A roll in the shop is in no chocks that run.
                let sql = "SELECT thing FROM place WHERE roll = ?1 ORDER BY thing";
                let mut stmt = self.conn.prepare_cached(sql)?;
                let rows = stmt.query_map([thing.0], |row| row.get(0).map(ThingNo))?;
                for chock in rows.collect::<rusqlite::Result<Vec<_>>>()? {
                    self.lose(chock)?;
                    self.put(chock, "unknown", None, None, &p.reason)?;
                }
                self.put(thing, "shop", None, None, &p.reason)
            }
        }
    }

    /// The chocks that the record has where this one was found.
    fn in_the_way(&self, chock: ThingNo, roll: ThingNo, position: ThingNo) -> Result<Vec<ThingNo>> {
        let sql = "SELECT pl.thing FROM place pl JOIN position at ON at.no = pl.position JOIN position here ON here.no = ?1
                   WHERE pl.thing <> ?3 AND (pl.position = ?1 OR (pl.roll = ?2 AND
                     (at.side = here.side OR at.stand <> here.stand OR at.role <> here.role OR at.level <> here.level)))
                   ORDER BY pl.thing";
        let mut stmt = self.conn.prepare_cached(sql)?;
        let rows = stmt.query_map(params![position.0, roll.0, chock.0], |row| {
            row.get(0).map(ThingNo)
        })?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }

    /// Ends where the record has a thing, as unknown since it was last seen.
    fn lose(&self, thing: ThingNo) -> Result<()> {
        self.note_thing(thing)?;
        let stay = self.open_stay(thing)?;
        let holder = stay.as_ref().map(|(_, holder, _)| *holder);
        let sql = format!(
            "SELECT max(e.at_ms) FROM thing_event te JOIN event e ON e.no = te.event
             WHERE te.thing IN (?1, ?2) AND e.no <> ?3 AND e.at_ms <= ?4 AND e.kind IN ({SEEN})"
        );
        let since: Option<i64> = self.conn.prepare_cached(&sql)?.query_row(
            params![
                thing.0,
                holder.unwrap_or(thing).0,
                self.event.no,
                self.event.at.ms
            ],
            |row| row.get(0),
        )?;
        let sql = "SELECT place, coalesce(position, roll) FROM place WHERE thing = ?1";
        let place: Option<(String, Option<i64>)> = self
            .conn
            .prepare_cached(sql)?
            .query_row([thing.0], |row| Ok((row.get(0)?, row.get(1)?)))
            .optional()?;
        let was = match (holder, place) {
            (Some(holder), _) => Some(("seat".to_owned(), Some(holder.0))),
            (None, place) => place,
        };
        // What was never seen before has no place to lose.
        if let (Some((place, at)), Some(since)) = (was, since) {
            self.leaves(thing, since)?;
            self.conn
                .prepare_cached(
                    "INSERT INTO lost (event, thing, place, at_thing, since_ms) VALUES (?1, ?2, ?3, ?4, ?5)",
                )?
                .execute(params![self.event.no, thing.0, place, at, since])?;
        }
        if let Some((stay, ..)) = stay {
            self.end_stay(thing)?;
            self.conn
                .prepare_cached("UPDATE stay SET has_estimate = 1 WHERE no = ?1")?
                .execute([stay])?;
        }
        Ok(())
    }
}
