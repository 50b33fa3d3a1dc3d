//! What is asked once before an entry is signed: it may be so, but somebody has to have seen what follows from it.

use std::collections::BTreeSet;

use rusqlite::{Connection, OptionalExtension, params};

use super::Entry;
use crate::error::Result;
use crate::id::{Origin, ThingNo};
use crate::logbook::{NewEvent, Signed};
use crate::payload::{Payload, Record};
use crate::query::unmeasured_since;
use crate::time::Stamp;

/// Conflicts that nobody has settled: the event, and why it does not fit.
pub(crate) type Conflicts = BTreeSet<(i64, String)>;

/// Those of now.
pub(crate) fn conflicts(conn: &Connection) -> Result<Conflicts> {
    let sql = "SELECT event, what FROM conflict WHERE resolved_event IS NULL";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// What to ask about events that were written on trial; `before` are the conflicts without them.
pub(crate) fn questions(
    conn: &Connection,
    own: Origin,
    events: &[NewEvent],
    signed: &[Signed],
    before: &Conflicts,
) -> Result<Vec<String>> {
    let mut all = Vec::new();
    for (event, what) in conflicts(conn)?.difference(before) {
        if signed.iter().all(|signed| signed.no != *event) {
            let (ms, offset_min) = conn.query_row(
                "SELECT at_ms, at_offset_min FROM event WHERE no = ?1",
                [event],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )?;
            all.push(format!(
                "With this, what was entered for {} is not true any more: {what}. It is kept, and stands on Today until it is \
                 settled.",
                Stamp::second(ms, offset_min).date_time()
            ));
        }
    }
    let on = Entry { conn, own };
    for (new, signed) in events.iter().zip(signed) {
        all.extend(on.judged_before(new)?);
        all.extend(on.ends_all(new, signed)?);
        all.extend(on.not_measured_yet(new)?);
    }
    Ok(all)
}

impl Entry<'_> {
    /// Every hold that a release ends: whoever signs it has seen them all.
    fn ends_all(&self, new: &NewEvent, signed: &Signed) -> Result<Option<String>> {
        let Payload::Released(p) = &new.payload else {
            return Ok(None);
        };
        let sql =
            "SELECT h.reason, e.at_ms, e.at_offset_min FROM hold h JOIN event e ON e.no = h.event
                   WHERE h.released_event = ?1 ORDER BY e.at_ms, e.no";
        let mut stmt = self.conn.prepare_cached(sql)?;
        let rows = stmt.query_map([signed.no], |row| {
            let since = Stamp::second(row.get(1)?, row.get(2)?).date();
            Ok(format!("{} (since {since})", row.get::<_, String>(0)?))
        })?;
        let all: Vec<String> = rows.collect::<rusqlite::Result<_>>()?;
        if all.len() < 2 {
            return Ok(None);
        }
        Ok(Some(format!(
            "This ends all {} holds of {}: {}.",
            all.len(),
            self.code(self.find(&p.thing)?)?,
            all.join("; ")
        )))
    }

    /// A chock or a roll that came back from outside work, and nobody has measured what was done to it.
    fn not_measured_yet(&self, new: &NewEvent) -> Result<Option<String>> {
        let used = match &new.payload {
            Payload::Assembled(p) => vec![&p.chock],
            Payload::Mounted(p) => vec![&p.chock, &p.roll],
            _ => Vec::new(),
        };
        let mut words = Vec::new();
        for name in used {
            let thing = self.find(name)?;
            if let Some(back) = unmeasured_since(self.conn, thing, None, new.at.ms)? {
                let seat = match self.entity(thing)?.as_deref() {
                    Some("roll") => "necks have",
                    _ => "bore has",
                };
                words.push(format!(
                    "{} came back on {}, and its {seat} not been measured since.",
                    self.code(thing)?,
                    back.at.date()
                ));
            }
        }
        Ok((!words.is_empty()).then(|| words.join(" ")))
    }

    /// Sheets that were judged by the limits which a new version reaches back over.
    fn judged_before(&self, new: &NewEvent) -> Result<Option<String>> {
        let Payload::RegisterChange(p) = &new.payload else {
            return Ok(None);
        };
        let (Some(thing), Record::BearingType(_)) = (&p.thing, &p.record) else {
            return Ok(None);
        };
        let bearing_type = self.find(thing)?;
        let sql = "SELECT s.event, e.at_ms, e.at_offset_min FROM sheet s JOIN event e ON e.no = s.event
                   WHERE e.at_ms >= ?2 AND EXISTS (SELECT 1 FROM thing_event te LEFT JOIN bearing b ON b.no = te.thing
                     WHERE te.event = s.event AND (te.thing = ?1 OR b.bearing_type = ?1))
                   ORDER BY e.at_ms DESC, e.no DESC";
        let mut stmt = self.conn.prepare_cached(sql)?;
        let rows = stmt.query_map(params![bearing_type.0, new.at.ms], |row| {
            Ok((row.get(0)?, Stamp::second(row.get(1)?, row.get(2)?)))
        })?;
        let found: Vec<(i64, Stamp)> = rows.collect::<rusqlite::Result<_>>()?;
        let Some((newest, at)) = found.first() else {
            return Ok(None);
        };
        let of = self.whose(*newest)?;
        let sheets = match found.len() {
            1 => format!("One sheet ({of} on {}) was", at.date()),
            n => format!("{n} sheets, the newest of {of} on {}, were", at.date()),
        };
        Ok(Some(format!(
            "{sheets} judged by the limits before, on or after {}. What was signed keeps its verdict; an amendment of it would be \
             judged by these. To leave it in peace, let them hold from a later day.",
            new.at.date()
        )))
    }

    /// The bearing of a sheet, else what it is about.
    fn whose(&self, event: i64) -> Result<String> {
        let sql = "SELECT te.thing FROM thing_event te JOIN thing t ON t.no = te.thing WHERE te.event = ?1
                   ORDER BY t.no IS NOT (SELECT bearing FROM sheet WHERE event = ?1), t.entity <> 'bearing',
                     t.entity NOT IN ('chock', 'roll'), t.no LIMIT 1";
        let thing: Option<i64> = self
            .conn
            .prepare_cached(sql)?
            .query_row([event], |row| row.get(0))
            .optional()?;
        self.code(ThingNo(thing.unwrap_or_default()))
    }
}
