//! What came back from outside work and is measured afterwards: that ends what a sheet held it for, as a return with its
//! own measurement does.

use rusqlite::params;

use super::Applying;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::SeatCheck;
use crate::query::{Back, unmeasured_since};

impl Applying<'_> {
    /// The first check of a seat after its return with a certificate: where it passes in every point, what sheets held
    /// the thing for before it left is over. A doubt is left to the engineer, and so is what a person held.
    pub(super) fn measured_after_return(&self, thing: ThingNo, p: &SeatCheck) -> Result<()> {
        let neck = (!p.neck.is_empty()).then_some(p.neck.as_str());
        let back = unmeasured_since(self.conn, thing, neck, self.event.at.ms)?;
        let Some(Back { at, .. }) = back.filter(|back| back.is_certified && is_sound(p)) else {
            return Ok(());
        };
        self.conn
            .prepare_cached(
                "UPDATE hold SET released_event = ?2 WHERE thing = ?1 AND released_event IS NULL
                   AND event IN (SELECT s.event FROM sheet s JOIN event e ON e.no = s.event
                     WHERE (s.chock = ?1 OR s.roll = ?1) AND e.at_ms < ?3 AND (?4 IS NULL OR s.side IS ?4))",
            )?
            .execute(params![thing.0, self.event.no, at.ms, neck])?;
        Ok(())
    }
}

/// Every verdict of the seat passes, and of a neck the crack test is clear.
fn is_sound(p: &SeatCheck) -> bool {
    let seat = if p.neck.is_empty() { "bore" } else { "neck" };
    let mut own = p
        .body
        .verdicts
        .iter()
        .filter(|v| v.about.starts_with(seat) && v.verdict != "not_applicable")
        .peekable();
    let is_clear = p.neck.is_empty()
        || p.body
            .entries
            .iter()
            .any(|e| e.path == "neck.cracks" && e.text.ends_with("_clear"));
    own.peek().is_some() && own.all(|v| v.verdict == "pass") && is_clear
}
