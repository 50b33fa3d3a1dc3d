//! The two halves of a cylindrical bearing: the outer one in a chock, the inner one on a neck, paired for a time.

use rusqlite::{OptionalExtension, params};

use super::Applying;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{Paired, Unpaired};

impl Applying<'_> {
    pub(super) fn paired(&self, p: &Paired) -> Result<()> {
        let (outer, inner) = (self.thing(&p.outer)?, self.thing(&p.inner)?);
        if self.is_gone(outer)? || self.is_gone(inner)? {
            return Ok(());
        }
        for half in [outer, inner] {
            if let Some((_, o, i)) = self.open_pair(half)? {
                self.conflict(&format!(
                    "{} and {} are paired: enter first that they go together no longer",
                    self.code(o)?,
                    self.code(i)?
                ))?;
                self.end_pair(half)?;
            }
        }
        self.conn.execute(
            "INSERT INTO pair (no, outer_half, inner_half) VALUES (?1, ?2, ?3)",
            params![self.event.no, outer.0, inner.0],
        )?;
        Ok(())
    }

    pub(super) fn unpaired(&self, p: &Unpaired) -> Result<()> {
        let outer = self.thing(&p.outer)?;
        match self.open_pair(outer)? {
            None => self.conflict(&format!("{} is paired with nothing", self.code(outer)?)),
            Some((_, _, inner)) => {
                self.note_thing(inner)?;
                self.end_pair(outer)
            }
        }
    }

    /// The pair that a half is in: its number, the outer and the inner half.
    pub(super) fn open_pair(&self, half: ThingNo) -> Result<Option<(i64, ThingNo, ThingNo)>> {
        let sql = "SELECT no, outer_half, inner_half FROM pair
                   WHERE (outer_half = ?1 OR inner_half = ?1) AND to_event IS NULL";
        let pair = self.conn.prepare_cached(sql)?.query_row([half.0], |row| {
            Ok((row.get(0)?, ThingNo(row.get(1)?), ThingNo(row.get(2)?)))
        });
        Ok(pair.optional()?)
    }

    /// Ends the pair that a half is in, if any.
    pub(super) fn end_pair(&self, half: ThingNo) -> Result<()> {
        let sql = "UPDATE pair SET to_event = ?2
                   WHERE (outer_half = ?1 OR inner_half = ?1) AND to_event IS NULL";
        self.conn
            .prepare_cached(sql)?
            .execute(params![half.0, self.event.no])?;
        Ok(())
    }

    /// An outer half goes only over the inner half that it is paired with, and the other way round.
    pub(super) fn halves_must_meet(
        &self,
        chock: ThingNo,
        roll: ThingNo,
        position: ThingNo,
    ) -> Result<()> {
        let sql = "SELECT s.bearing FROM stay s, position p WHERE s.chock = ?1 AND p.no = ?2
                     AND s.seat = 'neck_' || lower(p.side) AND s.to_event IS NULL";
        let on_neck: Option<ThingNo> = self
            .conn
            .prepare_cached(sql)?
            .query_row(params![roll.0, position.0], |row| row.get(0).map(ThingNo))
            .optional()?;
        let inside = self.bearings_in(chock)?;
        for half in inside.iter().copied().chain(on_neck) {
            let Some((_, outer, inner)) = self.open_pair(half)? else {
                continue;
            };
            if !inside.contains(&outer) || on_neck != Some(inner) {
                self.conflict(&format!(
                    "{} and {} are paired, and here they do not meet: parts of two sets are never mixed",
                    self.code(outer)?,
                    self.code(inner)?
                ))?;
            }
        }
        Ok(())
    }
}
