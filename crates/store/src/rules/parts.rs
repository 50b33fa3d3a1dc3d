//! What goes into what: seats and necks, the halves of a cylindrical bearing, grease.

use rusqlite::OptionalExtension;

use super::{Entry, refused};
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{Assembled, Greased, MountingSheet, Paired};
use crate::people::Signer;

/// Kind of the bearing types whose bearings live in a chock, and of those that live on a neck.
const OUTER_HALF: &str = "four_row_cylindrical";
const INNER_HALF: &str = "four_row_cylindrical_inner";

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

    /// Measurements that can be, or words why there are none; over the heating limit the engineer signs.
    pub(super) fn mounting(&self, p: &MountingSheet, signer: Option<&Signer>) -> Result<()> {
        let is_measured = p.ring_mk.is_some()
            || p.thrust_nm.is_some()
            || p.torque_mnm.is_some()
            || !p.ring_gap_nm.is_empty()
            || !p.cover_gap_nm.is_empty();
        if !is_measured && p.not_measured.trim().is_empty() {
            return Err(refused(
                "a mounting sheet says what was measured, or why nothing was",
            ));
        }
        let gaps = p
            .ring_gap_nm
            .iter()
            .chain(&p.cover_gap_nm)
            .chain(&p.shim_nm);
        if gaps
            .chain(&p.thrust_nm)
            .any(|nm| !(0..=50_000_000).contains(nm))
        {
            return Err(refused(
                "a gap, a clearance or a pack of shims is 0 to 50 mm",
            ));
        }
        let all = p.neck_mk.iter().chain(&p.ring_mk);
        if all.into_iter().any(|mk| !(-30_000..=400_000).contains(mk)) {
            return Err(refused("a temperature there is -30 to 400 \u{b0}C"));
        }
        if p.torque_mnm.is_some_and(|t| !(1..=50_000_000).contains(&t)) {
            return Err(refused("a torque is above 0, up to 50,000 N m"));
        }
        if p.zones.iter().any(|zone| !(1..=4).contains(zone)) {
            return Err(refused("a load zone is 1 to 4, for each outer ring"));
        }
        let Some(ring) = p.ring_mk else { return Ok(()) };
        let chock = self.find(&p.chock)?;
        let sql = "SELECT min(v.value) FROM stay s JOIN bearing b ON b.no = s.bearing
                     JOIN type_value v ON v.bearing_type = b.bearing_type AND v.name = 'heating_limit_mk'
                   WHERE s.chock = ?1 AND s.to_event IS NULL";
        let limit: Option<i64> = self
            .conn
            .prepare_cached(sql)?
            .query_row([chock.0], |row| row.get(0))?;
        let is_engineer = signer.is_some_and(|s| s.role == crate::payload::Role::Engineer);
        match limit {
            Some(limit) if ring > limit && !is_engineer => Err(refused(format!(
                "the ring was heated over its limit of {} \u{b0}C: the engineer signs, the bearing is looked at first",
                limit / 1_000
            ))),
            _ => Ok(()),
        }
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
    pub(super) fn greased(&self, p: &Greased) -> Result<()> {
        if !(1..=1_000_000_000).contains(&p.amount_mg) {
            return Err(refused("grease is weighed: above 0, up to 1 t"));
        }
        let grease = self.find(&p.grease)?;
        if self.entity(grease)?.as_deref() != Some("grease") {
            return Err(refused("that is no grease of the register"));
        }
        let sql = "SELECT reason FROM blocked WHERE thing = ?1 ORDER BY at_ms LIMIT 1";
        let blocked: Option<String> = self
            .conn
            .prepare_cached(sql)?
            .query_row([grease.0], |row| row.get(0))
            .optional()?;
        match blocked {
            Some(why) => Err(refused(format!("{} is blocked: {why}", self.code(grease)?))),
            None => Ok(()),
        }
    }
}
