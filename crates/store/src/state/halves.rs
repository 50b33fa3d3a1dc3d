//! The two halves of a cylindrical bearing: the outer one in a chock, the inner one on a neck, paired for a time.

use calc::finding::{Mode, Part};
use rusqlite::{OptionalExtension, params};

use super::Applying;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{FindingSeen, Paired, SheetBody, Unpaired};

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
        self.must_not_run_apart(outer, inner)?;
        self.conn.execute(
            "INSERT INTO pair (no, outer_half, inner_half) VALUES (?1, ?2, ?3)",
            params![self.event.no, outer.0, inner.0],
        )?;
        Ok(())
    }

    pub(super) fn unpaired(&self, p: &Unpaired) -> Result<()> {
        // Either half may be named: it is told from the page of the one that lies at hand.
        let half = self.thing(&p.outer)?;
        match self.open_pair(half)? {
            None => self.conflict(&format!("{} is paired with nothing", self.code(half)?)),
            Some((_, outer, inner)) => {
                self.note_thing(outer)?;
                self.note_thing(inner)?;
                if let Some((chock, _)) = self.in_mill_over(outer)? {
                    self.conflict(&format!(
                        "{} runs over {} in {}, which is in the mill: enter that it came off first",
                        self.code(outer)?,
                        self.code(inner)?,
                        self.code(chock)?
                    ))?;
                }
                self.end_pair(half)
            }
        }
    }

    /// Halves that are paired now run together, where one of them is in the mill.
    fn must_not_run_apart(&self, outer: ThingNo, inner: ThingNo) -> Result<()> {
        let over = self.in_mill_over(outer)?;
        let under = self.in_mill_under(inner)?;
        let words = match (over, under) {
            (Some((_, Some(other))), _) if other != inner => format!(
                "{} runs over {} in the mill: enter that it came off first",
                self.code(outer)?,
                self.code(other)?
            ),
            (Some((chock, None)), _) => format!(
                "{} is in {}, which is in the mill on another neck: enter that it came off first",
                self.code(outer)?,
                self.code(chock)?
            ),
            (None, Some(chock)) => format!(
                "{} is in the mill under {}, and {} is not in it: enter that it came off first",
                self.code(inner)?,
                self.code(chock)?,
                self.code(outer)?
            ),
            _ => return Ok(()),
        };
        self.conflict(&words)
    }

    /// The chock with which an outer half is in the mill, and the inner half that it runs over there.
    fn in_mill_over(&self, outer: ThingNo) -> Result<Option<(ThingNo, Option<ThingNo>)>> {
        let sql = "SELECT s.chock, p.roll, p.position FROM stay s JOIN place p ON p.thing = s.chock
                   WHERE s.bearing = ?1 AND s.to_event IS NULL AND p.place = 'mill'";
        let at: Option<(i64, i64, i64)> = self
            .conn
            .prepare_cached(sql)?
            .query_row([outer.0], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
            .optional()?;
        match at {
            Some((chock, roll, position)) => Ok(Some((
                ThingNo(chock),
                self.half_on_neck(ThingNo(roll), ThingNo(position))?,
            ))),
            None => Ok(None),
        }
    }

    /// The chock in the mill on the neck that an inner half sits on.
    fn in_mill_under(&self, inner: ThingNo) -> Result<Option<ThingNo>> {
        let sql = "SELECT p.thing FROM stay s JOIN place p ON p.roll = s.chock JOIN position at ON at.no = p.position
                   WHERE s.bearing = ?1 AND s.to_event IS NULL AND s.seat = 'neck_' || lower(at.side) AND p.place = 'mill'";
        let chock = self
            .conn
            .prepare_cached(sql)?
            .query_row([inner.0], |row| row.get(0).map(ThingNo));
        Ok(chock.optional()?)
    }

    /// The inner half on the neck of a roll that lies in a position.
    pub(super) fn half_on_neck(&self, roll: ThingNo, position: ThingNo) -> Result<Option<ThingNo>> {
        let sql = "SELECT s.bearing FROM stay s, position p WHERE s.chock = ?1 AND p.no = ?2
                     AND s.seat = 'neck_' || lower(p.side) AND s.to_event IS NULL";
        let half = self
            .conn
            .prepare_cached(sql)?
            .query_row(params![roll.0, position.0], |row| row.get(0).map(ThingNo));
        Ok(half.optional()?)
    }

    /// The inner halves that a sheet of an outer half is about: what is on the neck it ran on, else what it is paired with.
    /// They are looked at together, and the sheet is told in the history of both.
    pub(super) fn inner_halves(
        &self,
        bearing: ThingNo,
        roll: Option<ThingNo>,
        position: Option<ThingNo>,
    ) -> Result<Vec<ThingNo>> {
        let sql = "SELECT s.bearing FROM stay s JOIN position p ON p.no = ?2
                   WHERE s.chock = ?1 AND s.seat = 'neck_' || lower(p.side) AND s.to_event IS NULL
                     AND EXISTS (SELECT 1 FROM bearing b JOIN bearing_type t ON t.no = b.bearing_type
                       WHERE b.no = ?3 AND t.kind = 'four_row_cylindrical')";
        let mut stmt = self.conn.prepare_cached(sql)?;
        let [roll, position] = [roll, position].map(|thing| thing.map(|t| t.0));
        let found = stmt.query_map(params![roll, position, bearing.0], |row| {
            row.get(0).map(ThingNo)
        })?;
        let on_neck = found.collect::<rusqlite::Result<Vec<_>>>()?;
        if !on_neck.is_empty() {
            return Ok(on_neck);
        }
        let pair = self.open_pair(bearing)?;
        let inner = pair.filter(|(_, outer, _)| *outer == bearing);
        Ok(inner.map(|(_, _, inner)| inner).into_iter().collect())
    }

    /// An inner half that is cracked never goes back into the mill: it waits until it is scrapped, or the engineer says
    /// otherwise.
    pub(super) fn hold_cracked_inner(&self, inner: &[ThingNo], body: &SheetBody) -> Result<()> {
        let mut tests = body.entries.iter();
        let is_tested = tests.any(|e| e.path == "ring.cracks" && e.text.ends_with("_crack"));
        let is_seen = |seen: &FindingSeen| {
            let part = seen.part.parse::<Part>();
            let mode = Mode::of(&seen.mode);
            part.is_ok_and(Part::is_of_inner_half) && mode.is_some_and(|mode| mode.is_in("5.6"))
        };
        let why = if is_tested {
            "the crack test of the inner ring shows a crack"
        } else if body.findings.iter().any(is_seen) {
            "it was found cracked"
        } else {
            return Ok(());
        };
        for half in inner {
            if !self.is_gone(*half)? {
                self.held(*half, why)?;
            }
        }
        Ok(())
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
    pub(super) fn halves_must_meet(&self, chock: ThingNo, on_neck: Option<ThingNo>) -> Result<()> {
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
