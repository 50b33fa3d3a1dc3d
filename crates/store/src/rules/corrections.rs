//! Who amends what, who confirms a sheet, and that what comes out of an amendment can be.

use rusqlite::OptionalExtension;

use super::{Entry, refused};
use crate::error::Result;
use crate::event::Event;
use crate::form;
use crate::id::{Ref, ThingNo};
use crate::logbook::NewEvent;
use crate::payload::{Amendment, Countersigned, Payload, Role};
use crate::people::Signer;
use crate::state;
use crate::time::Stamp;

/// What another event of its own kind puts right.
const NEVER: [&str; 6] = [
    "logbook_started",
    "register_change",
    "merged",
    "things_joined",
    "conflict_resolved",
    "amendment",
];

/// What judges a thing or a gauge: to take it back is to release.
const JUDGES: [&str; 6] = [
    "hold",
    "seat_check",
    "inspected_at_receipt",
    "batch_blocked",
    "gauge_calibrated",
    "gauge_found_out",
];

/// True for a kind of event that is put right by an amendment.
pub(crate) fn is_amended(kind: &str) -> bool {
    !NEVER.contains(&kind)
}

impl Entry<'_> {
    /// Whose signature stands under an event.
    fn signer_of(&self, event: ThingNo) -> Result<Option<ThingNo>> {
        let written = state::event(self.conn, event)?;
        let find = |id| self.find(&Ref::full(id));
        written.person.map(find).transpose()
    }

    fn is_reopened(&self, sheet: ThingNo) -> Result<bool> {
        let sql =
            "SELECT what = 'reopened' FROM sheet_mark WHERE sheet = ?1 ORDER BY event DESC LIMIT 1";
        let last = self
            .conn
            .prepare_cached(sql)?
            .query_row([sheet.0], |row| row.get(0));
        Ok(last.optional()?.unwrap_or(false))
    }

    /// Somebody else than the one who signed the sheet, and who amended it.
    pub(super) fn countersigned(&self, p: &Countersigned, signer: Option<&Signer>) -> Result<()> {
        if p.text.trim().is_empty() {
            return Err(refused("say what was looked at again"));
        }
        let sheet = state::find_event(self.conn, &p.sheet, self.own)?;
        let Some(signer) = signer else { return Ok(()) };
        let me = self.find(&Ref::full(signer.id))?;
        let mut before = vec![sheet];
        let mut stmt = self
            .conn
            .prepare_cached("SELECT DISTINCT amendment FROM amended WHERE event = ?1")?;
        let rows = stmt.query_map([sheet.0], |row| row.get(0).map(ThingNo))?;
        before.extend(rows.collect::<rusqlite::Result<Vec<_>>>()?);
        for event in before {
            if self.signer_of(event)? == Some(me) {
                return Err(refused(format!(
                    "{} has signed that sheet or amended it: somebody else countersigns",
                    signer.name
                )));
            }
        }
        Ok(())
    }

    /// What may be amended, by whom, and that what comes out can be.
    pub(super) fn amendment(
        &self,
        p: &Amendment,
        at: Stamp,
        signer: Option<&Signer>,
    ) -> Result<()> {
        let no = state::find_event(self.conn, &p.event, self.own)?;
        let event = state::event(self.conn, no)?;
        if !is_amended(&event.kind) {
            return Err(refused(
                "that is amended by another event of its own: change the record in Setup, or amend the amended event again",
            ));
        }
        if at.ms < event.at.ms {
            return Err(refused(
                "an amendment comes after what it amends: check the date",
            ));
        }
        self.may_amend(no, &event, signer)?;
        let Some(now) = state::what_counts(self.conn, &event)? else {
            return Err(refused("that event was withdrawn before"));
        };
        if !p.withdrawn_because.trim().is_empty() {
            return if p.changes.is_empty() && p.follows.is_empty() {
                Ok(())
            } else {
                Err(refused("an event that is withdrawn has no changes"))
            };
        }
        if p.changes.is_empty() {
            return Err(refused(
                "an amendment changes something, or withdraws the event",
            ));
        }
        if let Some(change) = p.changes.iter().find(|c| c.reason.trim().is_empty()) {
            return Err(refused(format!("{}: say how that is known", change.path)));
        }
        let (_, known) = now.write()?;
        let before: serde_json::Value =
            serde_json::from_str(&known).map_err(|e| refused(e.to_string()))?;
        if let Some(change) = p
            .changes
            .iter()
            .find(|c| form::amend::only_follows(&c.path))
        {
            return Err(refused(format!(
                "{}: that follows from the readings: amend the field that was misread, and it is judged anew",
                change.path
            )));
        }
        for change in p.changes.iter().chain(&p.follows) {
            let stands = before.pointer(&change.path);
            if stands != Some(&change.old) {
                return Err(refused(format!(
                    "{}: what stands there is not what would be amended",
                    change.path
                )));
            }
            if change.path.starts_with("/kind") || change.old == change.new {
                return Err(refused(format!("{}: that cannot be amended", change.path)));
            }
        }
        let text = state::changed(&known, &p.changes, &p.follows).map_err(|path| {
            refused(format!(
                "{path}: what stands there is not what would be amended"
            ))
        })?;
        let payload = Payload::read(&event.kind, event.kind_version, &text)?;
        let again = NewEvent {
            at: event.at,
            payload,
        };
        let on = Self {
            conn: self.conn,
            own: event.id.origin,
        };
        if is_left_alone(&now, &again.payload) {
            return Ok(());
        }
        on.content(&again, signer, event.entered)
    }

    /// The engineer amends everything; a foreman a sheet that was reopened; everybody what they signed themselves, but
    /// no sheet and nothing that judges.
    fn may_amend(&self, no: ThingNo, event: &Event, signer: Option<&Signer>) -> Result<()> {
        let Some(signer) = signer else {
            return Err(refused("sign in first: this needs a name and a PIN"));
        };
        let me = self.find(&Ref::full(signer.id))?;
        let is_own = self.signer_of(no)? == Some(me);
        let is_sheet = event.kind.ends_with("_sheet");
        let judges = JUDGES.contains(&event.kind.as_str()) || is_measured_return(self.conn, event)?;
        let may = match signer.role {
            Role::Engineer => true,
            Role::Foreman if is_sheet => self.is_reopened(no)?,
            Role::Auditor => false,
            _ => is_own && !is_sheet && !judges,
        };
        if may {
            return Ok(());
        }
        Err(refused(if judges {
            "what holds a thing back or sets it free, and what is said of a gauge, is amended by the engineer"
        } else if is_sheet {
            "a signed sheet is amended by the engineer, or by the foreman once the engineer has reopened it"
        } else {
            "an event is amended by whoever signed it, or by the engineer"
        }))
    }
}

/// True where the change touches nothing of what an event of this kind is asked about: it was right when it was signed,
/// whoever has left and whatever was drawn anew since.
fn is_left_alone(before: &Payload, after: &Payload) -> bool {
    match (before, after) {
        (Payload::Scrapped(a), Payload::Scrapped(b)) => a.witness == b.witness,
        (Payload::Received(a), Payload::Received(b)) => {
            (&a.bearing, &a.as_set_nm) == (&b.bearing, &b.as_set_nm)
        }
        (Payload::Returned(a), Payload::Returned(b)) => {
            (&a.thing, &a.as_set_nm) == (&b.thing, &b.as_set_nm)
        }
        _ => false,
    }
}

/// True for something that came back and was measured: its verdict holds it or sets it free.
fn is_measured_return(conn: &rusqlite::Connection, event: &Event) -> Result<bool> {
    Ok(match state::what_counts(conn, event)? {
        Some(Payload::Returned(p)) => p.body.is_some(),
        _ => false,
    })
}
