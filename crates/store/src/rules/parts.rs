//! What goes into what: seats and necks, the halves of a cylindrical bearing, grease.

use rusqlite::OptionalExtension;

use super::{Entry, refused};
use crate::error::Result;
use crate::id::{Ref, ThingNo};
use crate::payload::{Assembled, Greased, MountingSheet, Paired, Role};
use crate::people::Signer;
use crate::query::{past_interval, past_interval_in};
use crate::time::Stamp;

/// Kind of the bearing types whose bearings live in a chock, and of those that live on a neck.
pub(super) const OUTER_HALF: &str = "four_row_cylindrical";
const INNER_HALF: &str = "four_row_cylindrical_inner";

/// Refuses what is past its interval.
fn comes_first(past: Option<String>) -> Result<()> {
    match past {
        Some(why) => Err(refused(format!(
            "{why}: a teardown sheet comes first, or the engineer enters this"
        ))),
        None => Ok(()),
    }
}

impl Entry<'_> {
    /// Kind of a bearing's type, and its bore.
    fn sort_of_bearing(&self, bearing: ThingNo) -> Result<(String, Option<i64>)> {
        let sql = "SELECT t.kind, (SELECT v.value FROM type_value v WHERE v.bearing_type = t.no AND v.name = 'bore_nm'
                     ORDER BY v.version DESC LIMIT 1)
                   FROM bearing b JOIN bearing_type t ON t.no = b.bearing_type WHERE b.no = ?1";
        let found = self
            .conn
            .prepare_cached(sql)?
            .query_row([bearing.0], |row| Ok((row.get(0)?, row.get(1)?)));
        Ok(found.optional()?.unwrap_or_default())
    }

    /// Chocks have seats, rolls have necks; inner halves go on necks and nothing else does.
    pub(super) fn assembled(&self, p: &Assembled) -> Result<()> {
        if !(0..=4).contains(&p.zone) {
            return Err(refused(
                "a load zone is 1 to 4, or 0 for a bearing without marks",
            ));
        }
        let into = self.find(&p.chock)?;
        let is_neck = matches!(p.seat.as_str(), "neck_o" | "neck_d");
        let is_roll = self.entity(into)?.as_deref() == Some("roll");
        let bearing = self.find(&p.bearing)?;
        let (kind, _) = self.sort_of_bearing(bearing)?;
        let is_inner = kind == INNER_HALF;
        if is_neck && is_roll && is_inner {
            return Ok(());
        }
        if !is_neck && !is_roll && !is_inner {
            return Ok(());
        }
        Err(refused(format!(
            "{} goes {}: the inner half of a cylindrical bearing on a neck of a roll (neck_o, neck_d), everything else \
             in a seat of a chock",
            self.code(bearing)?,
            if is_inner {
                "on no chock"
            } else {
                "on no neck"
            },
        )))
    }

    /// A bearing past its interval goes on after a teardown sheet, or by the engineer's word.
    pub(super) fn in_its_interval(
        &self,
        bearing: &Ref,
        at: Stamp,
        signer: Option<&Signer>,
    ) -> Result<()> {
        if signer.is_some_and(|s| s.role == Role::Engineer) {
            return Ok(());
        }
        comes_first(past_interval(self.conn, self.find(bearing)?, at)?)
    }

    /// The bearings in a chock that goes on a roll without a sheet: as the sheet asks.
    pub(super) fn mounted_in_interval(
        &self,
        chock: &Ref,
        at: Stamp,
        signer: Option<&Signer>,
    ) -> Result<()> {
        if signer.is_some_and(|s| s.role == Role::Engineer) {
            return Ok(());
        }
        comes_first(past_interval_in(self.conn, self.find(chock)?, at)?)
    }

    /// An outer and an inner half of one size.
    pub(super) fn paired(&self, p: &Paired) -> Result<()> {
        let (outer, inner) = (self.find(&p.outer)?, self.find(&p.inner)?);
        let (outer_sort, inner_sort) = (self.sort_of_bearing(outer)?, self.sort_of_bearing(inner)?);
        if outer_sort.0 == OUTER_HALF && inner_sort.0 == INNER_HALF && outer_sort.1 == inner_sort.1
        {
            return Ok(());
        }
        Err(refused(format!(
            "{} and {} are not the outer and the inner half of one size of cylindrical bearing",
            self.code(outer)?,
            self.code(inner)?
        )))
    }

    /// An amount of a grease that may be used.
    pub(super) fn greased(&self, p: &Greased, at: Stamp) -> Result<()> {
        if !(1..=1_000_000_000).contains(&p.amount_mg) {
            return Err(refused("grease is weighed: above 0, up to 1 t"));
        }
        let grease = self.find(&p.grease)?;
        if self.entity(grease)?.as_deref() != Some("grease") {
            return Err(refused("that is no grease of the register"));
        }
        // What was used before it was blocked may be entered late, and amended.
        let sql =
            "SELECT reason FROM blocked WHERE thing = ?1 AND at_ms <= ?2 ORDER BY at_ms LIMIT 1";
        let blocked: Option<String> = self
            .conn
            .prepare_cached(sql)?
            .query_row([grease.0, at.ms], |row| row.get(0))
            .optional()?;
        match blocked {
            Some(why) => Err(refused(format!("{} is blocked: {why}", self.code(grease)?))),
            None => Ok(()),
        }
    }
}

/// Readings that can be, or words why there are none; over the heating limit the engineer signs.
pub(super) fn mounting(p: &MountingSheet, signer: Option<&Signer>) -> Result<()> {
    if p.is_mounted && (p.roll.is_none() || p.position.is_none()) {
        return Err(refused(
            "a mounting names the roll and the position; where it did not come to one, say so",
        ));
    }
    let body = &p.body;
    if body.readings.is_empty() && body.not_measured.is_empty() {
        return Err(refused(
            "a mounting sheet says what was measured, or why nothing was",
        ));
    }
    let is_too_hot = body
        .verdicts
        .iter()
        .any(|v| v.about == "mount_heating" && v.verdict == "fail");
    let is_engineer = signer.is_some_and(|s| s.role == Role::Engineer);
    if is_too_hot && !is_engineer && p.ordered_by.is_none() {
        return Err(refused(
            "the ring was heated over its limit: the engineer signs, the bearing is looked at first",
        ));
    }
    Ok(())
}
