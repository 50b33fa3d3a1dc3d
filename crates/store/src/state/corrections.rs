//! What counts of an event that was amended, and what a second person or a reopening says about a sheet.

use std::collections::BTreeMap;

use rusqlite::{Connection, OptionalExtension, params};
use serde_json::Value;

use super::known::Known;
use super::{Applying, EVENT_COLUMNS, apply, event_from_row, find_event};
use crate::error::Result;
use crate::event::Event;
use crate::id::ThingNo;
use crate::payload::{Amendment, Change, Countersigned, Payload, SheetReopened, has_float};

/// What counts instead of the events that were amended; none where one was withdrawn.
pub(super) type Effective = BTreeMap<i64, Option<String>>;

/// Reads every amendment, in the order in which they were entered, before anything else is derived: it changes what the
/// amended events mean.
pub(super) fn amend_all(conn: &Connection) -> Result<Effective> {
    conn.execute_batch("DELETE FROM amended; DELETE FROM effective")?;
    let sql = format!(
        "SELECT {EVENT_COLUMNS} FROM event WHERE kind = 'amendment' ORDER BY entered_ms, origin, seq"
    );
    let mut stmt = conn.prepare(&sql)?;
    let mut rows = stmt.query([])?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        let event = event_from_row(row)?;
        if let Payload::Amendment(p) =
            Payload::read(&event.kind, event.kind_version, &event.payload)?
        {
            let target = find_event(conn, &p.event, event.id.origin)?.0;
            all.push((event, p, target));
        }
    }
    let against = against(conn, &all)?;
    let mut effective = Effective::new();
    for (i, (event, p, target)) in all.iter().enumerate() {
        if against.iter().any(|(a, b)| i == *a.max(b)) {
            let on = Applying { conn, event };
            on.conflict(if is_withdrawal(p) {
                "another copy of the logbook amended what it withdraws: it counts as amended until that is settled"
            } else {
                "another copy of the logbook withdrew what it amends: it counts as amended until that is settled"
            })?;
        }
        if !against.iter().any(|(withdrawal, _)| *withdrawal == i) {
            amend(conn, event, p, *target, &mut effective)?;
        }
    }
    Ok(effective)
}

fn is_withdrawal(p: &Amendment) -> bool {
    !p.withdrawn_because.is_empty()
}

/// The withdrawals that another copy's amendment of the same event stands against, each with the amendment: neither knew
/// the other, so that nobody has weighed them. Whatever the order of the two, such an event is not withdrawn.
fn against(conn: &Connection, all: &[(Event, Amendment, i64)]) -> Result<Vec<(usize, usize)>> {
    let mut found = Vec::new();
    let known = Known::read(conn)?;
    for (i, (withdrawal, _, target)) in (0..).zip(all).filter(|(_, (_, p, _))| is_withdrawal(p)) {
        let mut gone = campaigns_of(conn, *target)?;
        gone.push(*target);
        for (k, (amendment, p, of)) in (0..).zip(all) {
            if !is_withdrawal(p)
                && gone.contains(of)
                && !known.had(withdrawal.id, amendment.id)
                && !known.had(amendment.id, withdrawal.id)
            {
                found.push((i, k));
            }
        }
    }
    Ok(found)
}

fn amend(
    conn: &Connection,
    event: &Event,
    p: &Amendment,
    target: i64,
    effective: &mut Effective,
) -> Result<()> {
    let on = Applying { conn, event };
    let known = match effective.get(&target) {
        Some(None) => return on.conflict("the event that it amends was withdrawn before"),
        Some(Some(text)) => text.clone(),
        None => conn
            .prepare_cached("SELECT payload FROM event WHERE no = ?1")?
            .query_row([target], |row| row.get(0))?,
    };
    let now = if is_withdrawal(p) {
        for campaign in campaigns_of(conn, target)? {
            note(conn, campaign, None, event.no)?;
            effective.insert(campaign, None);
        }
        None
    } else {
        match changed(&known, &p.changes, &p.follows) {
            Ok(text) => Some(text),
            Err(path) => {
                return on.conflict(&format!(
                    "what it amends at {path} was amended before, by another copy of the logbook"
                ));
            }
        }
    };
    note(conn, target, now.as_deref(), event.no)?;
    effective.insert(target, now);
    let whole = Change {
        path: String::new(),
        old: Value::Null,
        new: Value::Null,
        reason: p.withdrawn_because.clone(),
    };
    let whole = is_withdrawal(p).then_some((&whole, false));
    let changes = p.changes.iter().map(|c| (c, false));
    let all = whole
        .into_iter()
        .chain(changes)
        .chain(p.follows.iter().map(|c| (c, true)));
    for (item, (change, is_consequence)) in (1_i64..).zip(all) {
        conn.prepare_cached(
            "INSERT INTO amended (amendment, item, event, path, old, new, reason, is_consequence)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        )?
        .execute(params![
            event.no,
            item,
            target,
            change.path,
            change.old.to_string(),
            change.new.to_string(),
            change.reason,
            is_consequence
        ])?;
    }
    Ok(())
}

fn note(conn: &Connection, event: i64, payload: Option<&str>, amendment: i64) -> Result<()> {
    conn.prepare_cached(
        "INSERT OR REPLACE INTO effective (event, payload, amendment) VALUES (?1, ?2, ?3)",
    )?
    .execute(params![event, payload, amendment])?;
    Ok(())
}

/// The campaigns that came with an import; a batch is named by its own origin only.
fn campaigns_of(conn: &Connection, batch: i64) -> Result<Vec<i64>> {
    let sql = "SELECT c.no FROM event b JOIN event c ON c.origin = b.origin AND c.kind = 'campaign'
                 AND c.payload ->> 'batch' = b.seq
               WHERE b.no = ?1 AND b.kind = 'import_batch' ORDER BY c.no";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map([batch], |row| row.get(0))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// A payload with changes made; the path of the first that does not find what it changes.
pub(crate) fn changed(
    payload: &str,
    changes: &[Change],
    follows: &[Change],
) -> std::result::Result<String, String> {
    let mut value: Value = serde_json::from_str(payload).map_err(|_| "its text".to_owned())?;
    for change in changes.iter().chain(follows) {
        match value.pointer_mut(&change.path) {
            Some(place) if *place == change.new => {}
            Some(place) if *place == change.old && !has_float(&change.new) => {
                *place = change.new.clone();
            }
            _ => return Err(change.path.clone()),
        }
    }
    Ok(value.to_string())
}

/// Applies an event that was amended: it stays on the line of all that it named, and counts as what it is now.
pub(super) fn apply_amended(conn: &Connection, event: &Event, now: Option<&str>) -> Result<()> {
    conn.execute_batch("SAVEPOINT as_written")?;
    let written = Payload::read(&event.kind, event.kind_version, &event.payload)?;
    apply(conn, event, &written)?;
    let mut stmt = conn.prepare_cached("SELECT thing FROM thing_event WHERE event = ?1")?;
    let things: Vec<i64> = stmt
        .query_map([event.no], |row| row.get(0))?
        .collect::<rusqlite::Result<_>>()?;
    drop(stmt);
    conn.execute_batch("ROLLBACK TO as_written; RELEASE as_written")?;
    if let Some(text) = now {
        let now = Payload::read(&event.kind, event.kind_version, text)?;
        apply(conn, event, &now)?;
        let on = Applying { conn, event };
        match (&written, &now) {
            (Payload::TeardownSheet(written), Payload::TeardownSheet(now)) => {
                on.barred_anew(written, now)?;
            }
            (Payload::MountingSheet(written), Payload::MountingSheet(now)) => {
                on.unmounted_anew(written, now)?;
            }
            _ => {}
        }
    }
    for thing in things {
        conn.prepare_cached("INSERT OR IGNORE INTO thing_event (thing, event) VALUES (?1, ?2)")?
            .execute([thing, event.no])?;
    }
    Ok(())
}

impl Applying<'_> {
    /// The amending itself was done before; here it only stands on the lines of what the event concerned.
    pub(super) fn amendment(&self, p: &Amendment) -> Result<()> {
        let target = find_event(self.conn, &p.event, self.event.id.origin)?;
        // A campaign stands on nobody's line; that it was corrected stands on those of the bearings it was moved between.
        for bearing in crate::query::touched_by(self.conn, target)? {
            self.note_thing(bearing)?;
        }
        self.beside(target)
    }

    /// This event concerns what another one did.
    pub(super) fn beside(&self, other: ThingNo) -> Result<()> {
        let sql = "INSERT OR IGNORE INTO thing_event (thing, event) SELECT thing, ?2 FROM thing_event WHERE event = ?1";
        self.conn
            .prepare_cached(sql)?
            .execute(params![other.0, self.event.no])?;
        Ok(())
    }

    /// The sheet that is meant, and its bearing.
    fn sheet(&self, name: &crate::id::Ref) -> Result<Option<(ThingNo, Option<ThingNo>)>> {
        let sheet = find_event(self.conn, name, self.event.id.origin)?;
        let bearing: Option<Option<i64>> = self
            .conn
            .prepare_cached("SELECT bearing FROM sheet WHERE event = ?1")?
            .query_row([sheet.0], |row| row.get(0))
            .optional()?;
        let Some(bearing) = bearing else {
            self.conflict("that event is no sheet, or it was withdrawn")?;
            return Ok(None);
        };
        self.beside(sheet)?;
        Ok(Some((sheet, bearing.map(ThingNo))))
    }

    fn mark(&self, sheet: ThingNo, what: &str) -> Result<()> {
        self.conn
            .prepare_cached("INSERT INTO sheet_mark (event, sheet, what) VALUES (?1, ?2, ?3)")?
            .execute(params![self.event.no, sheet.0, what])?;
        Ok(())
    }

    /// A bearing whose sheet is open again waits.
    pub(super) fn sheet_reopened(&self, p: &SheetReopened) -> Result<()> {
        let Some((sheet, bearing)) = self.sheet(&p.sheet)? else {
            return Ok(());
        };
        self.mark(sheet, "reopened")?;
        match bearing {
            Some(bearing) => self.held(bearing, &format!("its sheet was reopened: {}", p.reason)),
            None => Ok(()),
        }
    }

    /// The holds of its reopenings end.
    pub(super) fn countersigned(&self, p: &Countersigned) -> Result<()> {
        let Some((sheet, bearing)) = self.sheet(&p.sheet)? else {
            return Ok(());
        };
        self.mark(sheet, "countersigned")?;
        if let Some(bearing) = bearing {
            self.conn.execute(
                "UPDATE hold SET released_event = ?3 WHERE thing = ?1 AND released_event IS NULL
                   AND event IN (SELECT event FROM sheet_mark WHERE sheet = ?2 AND what = 'reopened')",
                params![bearing.0, sheet.0, self.event.no],
            )?;
        }
        Ok(())
    }
}
