//! What a bearing is judged by from then on: the clearance as set, how it was left by a regrind, its acceptance.

use rusqlite::OptionalExtension;

use super::{Entry, refused};
use crate::entry::Show;
use crate::error::Result;
use crate::id::{Ref, ThingNo};
use crate::payload::{Role, SpacersReground};
use crate::people::Signer;
use crate::sheet::{Family, TypeFacts};
use crate::time::Stamp;

impl Entry<'_> {
    /// The type of a bearing as it was valid then; none where the register does not say.
    fn type_of(&self, bearing: &Ref, at: Stamp) -> Result<Option<TypeFacts>> {
        let no = self.find(bearing)?;
        let of: Option<Option<i64>> = self
            .conn
            .prepare_cached("SELECT bearing_type FROM bearing WHERE no = ?1")?
            .query_row([no.0], |row| row.get(0))
            .optional()?;
        let load = |no| TypeFacts::load(self.conn, ThingNo(no), at.ms);
        of.flatten().map(load).transpose()
    }

    /// Clearance as set: of all three row pairs of a tapered bearing, one of any other, or not known. Every limit rests
    /// on it: outside the drawing only the engineer enters it.
    pub(super) fn as_set(
        &self,
        bearing: &Ref,
        as_set_nm: &[i64],
        at: Stamp,
        signer: Option<&Signer>,
    ) -> Result<()> {
        let of_type = self.type_of(bearing, at)?;
        let kind = of_type.as_ref().map(|t| t.kind.as_str());
        match kind.and_then(Family::of) {
            Some(family) if family.clearances() == 1 => one_clearance(as_set_nm)?,
            _ => three_clearances(as_set_nm)?,
        }
        let Some(t) = of_type else { return Ok(()) };
        if signer.is_none_or(|s| s.role == Role::Engineer) {
            return Ok(());
        }
        for (pair, nm) in (1..).zip(as_set_nm) {
            let low = t.pair("clearance_min_nm", pair).filter(|low| nm < low);
            let high = t.pair("clearance_max_nm", pair).filter(|high| nm > high);
            if let Some(limit) = low.or(high) {
                let show = Show::default();
                return Err(refused(format!(
                    "as set {} mm lies outside the drawing of {}, which ends at {} mm: is the unit right? The \
                     engineer enters it where it is true",
                    show.length(*nm),
                    t.code,
                    show.length(limit)
                )));
            }
        }
        Ok(())
    }

    /// What was not accepted before is accepted by the engineer alone.
    pub(super) fn accepted(&self, bearing: &Ref, signer: Option<&Signer>) -> Result<()> {
        if signer.is_none_or(|s| s.role == Role::Engineer) {
            return Ok(());
        }
        let no = self.find(bearing)?;
        let sql = "SELECT 1 FROM hold h JOIN event e ON e.no = h.event WHERE h.thing = ?1
                     AND h.released_event IS NULL AND e.kind = 'inspected_at_receipt'";
        if self.conn.prepare_cached(sql)?.exists([no.0])? {
            return Err(refused(
                "it was not accepted at its first inspection: the engineer accepts it now",
            ));
        }
        Ok(())
    }

    /// Widths and clearances that can be, and that the drawing allows.
    pub(super) fn spacers_reground(&self, p: &SpacersReground, at: Stamp) -> Result<()> {
        let of_type = self.type_of(&p.bearing, at)?;
        let family = of_type.as_ref().and_then(|t| Family::of(&t.kind));
        if family.is_some_and(|family| family != Family::Tapered) {
            return Err(refused(format!(
                "{} has no spacers between row pairs: only a four-row tapered bearing is reground so",
                self.code(self.find(&p.bearing)?)?
            )));
        }
        can_be(p)?;
        let Some(t) = of_type else {
            return Ok(());
        };
        let show = Show::default();
        for (number, nm) in (1..).zip(&p.spacer_nm) {
            if let Some(least) = t.pair("spacer_min_nm", number).filter(|least| nm < least) {
                return Err(refused(format!(
                    "spacer S{number} of {} mm is under its smallest width {} mm: it needs a new spacer",
                    show.length(*nm),
                    show.length(least)
                )));
            }
        }
        for (number, nm) in (1..).zip(&p.clearance_nm) {
            let low = t.pair("clearance_min_nm", number).filter(|low| nm < low);
            let high = t.pair("clearance_max_nm", number).filter(|high| nm > high);
            if let Some(limit) = low.or(high) {
                return Err(refused(format!(
                    "rows {} were left with {} mm, outside the drawing, which ends at {} mm: grind again, or a new spacer",
                    calc::disposition::pair_rows(number - 1),
                    show.length(*nm),
                    show.length(limit)
                )));
            }
        }
        Ok(())
    }
}

fn is_clearance(nm: i64) -> bool {
    (1..=10_000_000).contains(&nm)
}

/// Of all three row pairs, or not known.
fn three_clearances(nm: &[i64]) -> Result<()> {
    if nm.is_empty() || (nm.len() == 3 && nm.iter().copied().all(is_clearance)) {
        return Ok(());
    }
    Err(refused(
        "the clearance as set is one value for each of the three row pairs, above 0 and not over 10 mm, or none",
    ))
}

/// Of the whole bearing, or not known.
fn one_clearance(nm: &[i64]) -> Result<()> {
    if nm.is_empty() || (nm.len() == 1 && nm.iter().copied().all(is_clearance)) {
        return Ok(());
    }
    Err(refused(
        "the clearance as set of this bearing is one value, above 0 and not over 10 mm, or none",
    ))
}

/// Three widths and the clearance of every pair.
fn can_be(p: &SpacersReground) -> Result<()> {
    let possible = |nm: &i64| (1..=1_000_000_000).contains(nm);
    if p.spacer_nm.len() != 3 || !p.spacer_nm.iter().all(possible) {
        return Err(refused(
            "after a regrind the widths of the three spacers are measured: S1, S2, S3 from the barrel",
        ));
    }
    if p.clearance_nm.is_empty() {
        return Err(refused(
            "after a regrind the clearance of each row pair is known",
        ));
    }
    three_clearances(&p.clearance_nm)
}
