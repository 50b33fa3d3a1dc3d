//! A chock goes into the mill with a bearing in it, or with words why not.

use rusqlite::params;

use super::{Entry, refused};
use crate::error::Result;
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
        if !is_empty {
            return Ok(());
        }
        Err(refused(format!(
            "by the record {} has no bearing in it: enter first which one was put in, or say in the remark why it goes in \
             without",
            self.code(chock)?
        )))
    }
}
