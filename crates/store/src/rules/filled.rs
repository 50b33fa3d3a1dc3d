//! A chock goes into the mill with a bearing in it, and an outer half over an inner one, or with words why not.

use rusqlite::{OptionalExtension, params};

use super::{Entry, refused};
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::Mounted;

impl Entry<'_> {
    /// The chock held a bearing when it was mounted, or the entry says why it went in empty: asked once, here. A place
    /// without rolling bearings holds none.
    pub(super) fn is_filled(&self, p: &Mounted, event: i64) -> Result<()> {
        if !p.note.trim().is_empty() {
            return Ok(());
        }
        let (chock, position) = (self.find(&p.chock)?, self.find(&p.position)?);
        let sql = "SELECT NOT EXISTS (SELECT 1 FROM position WHERE no = ?2 AND is_rolling_bearing = 0)
                     AND NOT EXISTS (SELECT 1 FROM stay s WHERE s.chock = ?1 AND s.from_ms <= e.at_ms
                       AND (s.to_ms IS NULL OR s.to_ms > e.at_ms))
                   FROM event e WHERE e.no = ?3";
        let is_empty: bool = self
            .conn
            .prepare_cached(sql)?
            .query_row(params![chock.0, position.0, event], |row| row.get(0))?;
        if is_empty {
            return Err(refused(format!(
                "by the record {} has no bearing in it: enter first which one was put in, or say in the remark why it goes in \
                 without",
                self.code(chock)?
            )));
        }
        self.is_over_inner_half(p, event)
    }

    /// An outer half runs over an inner one on that neck, as the mounting sheet asks too.
    fn is_over_inner_half(&self, p: &Mounted, event: i64) -> Result<()> {
        let (chock, roll) = (self.find(&p.chock)?, self.find(&p.roll)?);
        let position = self.find(&p.position)?;
        let sql = "SELECT o.bearing, lower(p.side) FROM event e JOIN position p ON p.no = ?3
                     JOIN stay o ON o.chock = ?1 AND o.from_ms <= e.at_ms AND (o.to_ms IS NULL OR o.to_ms > e.at_ms)
                     JOIN bearing b ON b.no = o.bearing JOIN bearing_type t ON t.no = b.bearing_type AND t.kind = ?5
                   WHERE e.no = ?4 AND NOT EXISTS (SELECT 1 FROM stay i WHERE i.chock = ?2
                     AND i.seat = 'neck_' || lower(p.side) AND i.from_ms <= e.at_ms
                     AND (i.to_ms IS NULL OR i.to_ms > e.at_ms))
                   ORDER BY o.bearing LIMIT 1";
        let bare: Option<(i64, String)> = self
            .conn
            .prepare_cached(sql)?
            .query_row(
                params![chock.0, roll.0, position.0, event, super::parts::OUTER_HALF],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        let Some((outer, side)) = bare else {
            return Ok(());
        };
        Err(refused(format!(
            "by the record no inner half is on the {} side neck of {}, and {} is an outer half: enter first which one was put \
             on, or say in the remark why it goes in without",
            if side == "o" { "operator" } else { "drive" },
            self.code(roll)?,
            self.code(ThingNo(outer))?
        )))
    }
}
