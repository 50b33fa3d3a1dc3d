//! What is refused at entry: who signs what (`signers`), what goes together (`together`, `parts`), what the register cannot
//! hold (`register`), and what cannot be whatever else happened (a time, a size).
//!
//! Places and holds are judged where the state is derived (`state/`): an event that does not fit
//! the day it names is refused with the words of its conflict; one that comes in by another way is kept, and its conflict listed.

pub(crate) mod asks;
mod baseline;
mod corrections;
mod filled;
mod found;
mod notes;
mod parts;
mod register;
mod signers;
mod together;

pub(crate) use corrections::is_amended;
pub(crate) use together::{fits, goes_together};

use rusqlite::{Connection, OptionalExtension};

use self::signers::may_sign;

use crate::error::{Result, StoreError};
use crate::id::{Origin, Ref, ThingNo};
use crate::logbook::NewEvent;
use crate::payload::{BatchBlocked, Campaign, Payload, Returned, SeatCheck, ThingsJoined};
use crate::people::Signer;
use crate::state;
use crate::time::{DAY_MS, Stamp};

/// Before 1900 no roll shop kept this book.
const FIRST_MS: i64 = -2_208_988_800_000;
/// Twenty years, s: no mill time of one thing is longer.
const RUN_S_MAX: i64 = 20 * 366 * 86_400;
/// Of a gauge, in its own unit (nm, mK, mN m).
const UNCERTAINTY_MAX: i64 = 1_000_000_000;
/// A million tonnes, kg: no campaign rolls more.
const ROLLED_KG_MAX: i64 = 1_000_000_000;
/// The largest force on a chock that is believed, N.
const FORCE_N_MAX: i64 = 100_000_000;
/// The fastest roll that is believed, thousandths of 1/min.
const SPEED_MRPM_MAX: i64 = 10_000_000;

/// Refuses an event that the rules of the shop forbid.
pub(crate) fn check(
    conn: &Connection,
    own: Origin,
    new: &NewEvent,
    signer: Option<&Signer>,
    entered: Stamp,
) -> Result<()> {
    may_sign(conn, &new.payload, signer)?;
    is_possible(new.at.ms, entered)?;
    Entry { conn, own }.content(new, signer, entered)
}

impl Entry<'_> {
    /// What cannot be, whoever says it.
    fn content(&self, new: &NewEvent, signer: Option<&Signer>, entered: Stamp) -> Result<()> {
        let on = self;
        match &new.payload {
            Payload::RegisterChange(p) => on.register_change(p),
            Payload::Received(p) => on.as_set(&p.bearing, &p.as_set_nm, new.at, signer),
            Payload::Returned(p) => on.returned(p, new.at, signer),
            Payload::Campaign(p) => campaign(p, new.at, entered),
            Payload::GaugeCalibrated(p)
                if !(0..=UNCERTAINTY_MAX).contains(&p.expanded_uncertainty) =>
            {
                Err(refused(
                    "U of a certificate is not negative, and not over 1,000 mm, K or N m",
                ))
            }
            Payload::Scrapped(p) => on.scrapped(p, signer),
            Payload::ConditionReading(p) => notes::condition(p),
            Payload::MillIncident(p) => notes::incident(p),
            Payload::Extension(p) => notes::extension(p, new.at),
            Payload::TeardownPlanned(p) => notes::planned(p, new.at),
            Payload::BatchBlocked(p) => on.batch(p),
            Payload::Cost(p) if p.amount_minor == 0 || p.text.trim().is_empty() => {
                Err(refused("a cost has an amount, and says what for"))
            }
            Payload::InspectedAtReceipt(p) if p.condition.trim().is_empty() => Err(refused(
                "an inspection says what was seen: packing, faces, preservative",
            )),
            Payload::InspectedAtReceipt(p) if p.is_accepted => on.accepted(&p.bearing, signer),
            Payload::ThingsJoined(p) => on.things_joined(p),
            Payload::ImportBatch(p) => notes::batch(p),
            Payload::Paired(p) => on.paired(p),
            Payload::Unpaired(p) if p.reason.trim().is_empty() => {
                Err(refused("say why the two halves go together no longer"))
            }
            Payload::SpacersReground(p) => on.spacers_reground(p, new.at),
            Payload::ZoneTurned(p) if !(1..=4).contains(&p.zone) => {
                Err(refused("a load zone is 1 to 4"))
            }
            Payload::ZoneTurned(p) => on.in_its_interval(&p.bearing, new.at, signer),
            Payload::Mounted(p) => on.mounted_in_interval(&p.chock, new.at, signer),
            Payload::MountingSheet(p) => parts::mounting(p, signer),
            Payload::Greased(p) => on.greased(p, new.at),
            Payload::PositionWork(p) => notes::position_work(p),
            Payload::GaugeFoundOut(p) => notes::found_out(p),
            Payload::Attached(p) => notes::attached(p),
            Payload::Amendment(p) => on.amendment(p, new.at, signer),
            Payload::Countersigned(p) => on.countersigned(p, signer),
            Payload::SheetReopened(p) if p.reason.trim().is_empty() => {
                Err(refused("say why the sheet is open again"))
            }
            Payload::ConflictResolved(p) if p.how.trim().is_empty() => {
                Err(refused("a conflict is settled with words: what was true"))
            }
            Payload::Assembled(p) => {
                on.assembled(p)?;
                on.in_its_interval(&p.bearing, new.at, signer)
            }
            Payload::SeatCheck(p) => on.seat_check(p),
            Payload::FoundHere(p) => on.found_here(p),
            _ => Ok(()),
        }
    }
}

/// A time of this world that has come already.
fn is_possible(at_ms: i64, entered: Stamp) -> Result<()> {
    if at_ms < FIRST_MS {
        return Err(refused("that is before 1900: check the date"));
    }
    if at_ms > entered.ms.saturating_add(DAY_MS) {
        return Err(refused(format!(
            "that day has not come yet, it is {}: check the date and the clock of this computer",
            entered.date()
        )));
    }
    Ok(())
}

fn refused(why: impl Into<String>) -> StoreError {
    StoreError::Refused(why.into())
}

struct Entry<'a> {
    conn: &'a Connection,
    own: Origin,
}

impl Entry<'_> {
    fn find(&self, name: &Ref) -> Result<ThingNo> {
        state::find(self.conn, name, self.own)
    }

    fn entity(&self, thing: ThingNo) -> Result<Option<String>> {
        let sql = "SELECT entity FROM thing WHERE no = ?1";
        let entity = self
            .conn
            .prepare_cached(sql)?
            .query_row([thing.0], |row| row.get(0));
        Ok(entity.optional()?)
    }

    fn batch(&self, p: &BatchBlocked) -> Result<()> {
        let entity = self.entity(self.find(&p.batch)?)?;
        if p.reason.trim().is_empty() {
            return Err(refused("say why the batch is blocked"));
        }
        match entity.as_deref() {
            Some("seal_batch" | "grease") => Ok(()),
            _ => Err(refused("only a seal batch or a grease can be blocked")),
        }
    }

    fn code(&self, thing: ThingNo) -> Result<String> {
        let sql = "SELECT code FROM thing WHERE no = ?1";
        let code = self
            .conn
            .prepare_cached(sql)?
            .query_row([thing.0], |row| row.get(0));
        Ok(code.optional()?.unwrap_or_else(|| "it".into()))
    }

    fn returned(&self, p: &Returned, at: Stamp, signer: Option<&Signer>) -> Result<()> {
        let thing = self.find(&p.thing)?;
        if !p.as_set_nm.is_empty() && self.entity(thing)?.as_deref() != Some("bearing") {
            return Err(refused("only a bearing has a clearance as set"));
        }
        self.as_set(&p.thing, &p.as_set_nm, at, signer)
    }

    /// A neck of a roll or the bore of a chock, and a word to every warning about the gauge.
    fn seat_check(&self, p: &SeatCheck) -> Result<()> {
        let entity = self.entity(self.find(&p.thing)?)?;
        match (entity.as_deref(), p.neck.as_str()) {
            (Some("roll"), "O" | "D") | (Some("chock"), "") => {}
            (Some("roll"), _) => {
                return Err(refused(
                    "say which neck of the roll: O operator or D drive side",
                ));
            }
            _ => {
                return Err(refused(
                    "a neck of a roll or the bore of a chock is measured",
                ));
            }
        }
        if p.body.readings.is_empty() {
            return Err(refused("nothing was measured"));
        }
        if p.note.trim().is_empty() && p.body.readings.iter().any(|r| r.is_gauge_overdue) {
            return Err(refused(
                "the gauge is in doubt: say in the note why it was used all the same",
            ));
        }
        Ok(())
    }

    /// Two entries of one sort.
    fn things_joined(&self, p: &ThingsJoined) -> Result<()> {
        let (kept, joined) = (self.find(&p.kept)?, self.find(&p.joined)?);
        let sorts = (self.entity(kept)?, self.entity(joined)?);
        if sorts.0.is_none() || sorts.0 != sorts.1 || kept == joined {
            return Err(refused(
                "only two entries of the register that are of one sort can be one thing",
            ));
        }
        if sorts.0.as_deref() == Some("person") {
            return Err(refused(
                "people are not joined: what each signed stays under its own entry",
            ));
        }
        Ok(())
    }
}

fn campaign(p: &Campaign, at: Stamp, entered: Stamp) -> Result<()> {
    is_possible(p.from_ms, entered)?;
    if p.from_ms >= at.ms || p.run_s < 0 || p.rolled_kg < 0 {
        return Err(refused(
            "a campaign ends after it begins and has no negative hours or tonnes",
        ));
    }
    if p.run_s > (at.ms - p.from_ms) / 1000 + 60 {
        return Err(refused(
            "a campaign has no more mill time than lies between in and out",
        ));
    }
    if p.run_s > RUN_S_MAX || p.rolled_kg > ROLLED_KG_MAX {
        return Err(refused(
            "not possible for one campaign: over 20 years or a million tonnes",
        ));
    }
    for (value, most, why) in [
        (
            p.radial_n,
            FORCE_N_MAX,
            "a radial force goes from 0 to 100,000 kN",
        ),
        (
            p.axial_n,
            FORCE_N_MAX,
            "an axial force goes from 0 to 100,000 kN",
        ),
        (
            p.speed_mrpm,
            SPEED_MRPM_MAX,
            "a roll turns from 0 to 10,000 1/min",
        ),
    ] {
        if value.is_some_and(|value| !(0..=most).contains(&value)) {
            return Err(refused(format!("not possible: {why}")));
        }
    }
    Ok(())
}
