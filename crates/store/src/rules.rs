//! What is refused at entry: who signs what, and what cannot be whatever else happened (a time, a size, a code).
//!
//! What goes together is judged by the register of today. Places and holds are judged where the state is derived (`state/`): an event that does not fit the day it names is
//! refused with the words of its conflict; one that comes in by another way is kept, and its conflict listed.

pub(crate) mod asks;
mod baseline;
mod corrections;
mod filled;
mod found;
mod notes;
mod parts;

pub(crate) use corrections::is_amended;

use rusqlite::{Connection, OptionalExtension, params};

use crate::error::{Result, StoreError};
use crate::id::{Origin, Ref, ThingNo};
use crate::logbook::NewEvent;
use crate::payload::{
    BatchBlocked, BearingType, Campaign, ChockType, Payload, Position, Record, RegisterChange,
    Returned, Role, Scrapped, SeatCheck, TYPE_VALUES, ThingsJoined,
};
use crate::people::{Signer, has_no_engineer};
use crate::state;
use crate::time::{DAY_MS, Stamp};

/// Before 1900 no roll shop kept this book.
const FIRST_MS: i64 = -2_208_988_800_000;
/// Twenty years, s: no mill time of one thing is longer.
const RUN_S_MAX: i64 = 20 * 366 * 86_400;
/// Of a gauge, in its own unit (nm, mK, mN m).
const UNCERTAINTY_MAX: i64 = 1_000_000_000;
/// Letters of a code or serial: more fits on no plate and no label.
const CODE_MAX: usize = 60;
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
            Payload::Greased(p) => on.greased(p),
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

/// Refuses what does not go together by the register of today: type and seat, chock and position, roll and stand. Asked
/// once the event is applied, for the seat may be one that it only keeps. Later changes of the register do not touch
/// what was entered before them.
pub(crate) fn goes_together(
    conn: &Connection,
    own: Origin,
    event: i64,
    payload: &Payload,
) -> Result<()> {
    let on = Entry { conn, own };
    match payload {
        Payload::Assembled(_) | Payload::TeardownSheet(_) => on.belongs(event),
        Payload::Mounted(p) => {
            on.fits(&p.chock, &p.roll, &p.position)?;
            on.is_filled(p, event)
        }
        Payload::MountingSheet(p) => match (&p.roll, &p.position) {
            (Some(roll), Some(position)) if p.is_mounted => on.fits(&p.chock, roll, position),
            _ => Ok(()),
        },
        Payload::FoundHere(p) => match (&p.on, &p.position) {
            (Some(roll), Some(position)) => on.fits(&p.thing, roll, position),
            _ => on.belongs(event),
        },
        Payload::Campaign(p) => {
            on.faces(&p.position_o, &p.position_d)?;
            on.fits(&p.chock_o, &p.roll, &p.position_o)?;
            on.fits(&p.chock_d, &p.roll, &p.position_d)
        }
        _ => Ok(()),
    }
}

/// Whether chock, roll and position go together, before anything is entered.
pub(crate) fn fits(
    conn: &Connection,
    own: Origin,
    chock: &Ref,
    roll: &Ref,
    position: &Ref,
) -> Result<()> {
    Entry { conn, own }.fits(chock, roll, position)
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

/// Who signs what (product.md).
fn may_sign(conn: &Connection, payload: &Payload, signer: Option<&Signer>) -> Result<()> {
    use Role::{Auditor, Engineer, Fitter, Foreman, Metrology, Storekeeper};
    let Some(signer) = signer else {
        let first_engineer = matches!(payload, Payload::RegisterChange(RegisterChange { thing: None, record: Record::Person(p), .. })
            if p.role == Engineer && has_no_engineer(conn)?);
        return if first_engineer {
            Ok(())
        } else {
            Err(refused("sign in first: this needs a name and a PIN"))
        };
    };
    let roles: &[Role] = match payload {
        Payload::LogbookStarted(_) | Payload::Merged(_) => &[],
        Payload::RegisterChange(change) => match &change.record {
            Record::Gauge(_) => &[Engineer, Metrology],
            Record::SealBatch(_) | Record::Grease(_) => &[Engineer, Storekeeper, Foreman],
            // Its type and the hours of an old record decide on verdicts.
            Record::Bearing(_) if change.thing.is_none() => &[Engineer, Storekeeper],
            _ => &[Engineer],
        },
        Payload::Received(_) | Payload::InspectedAtReceipt(_) | Payload::Cost(_) => {
            &[Storekeeper, Engineer]
        }
        Payload::GaugeCalibrated(_) | Payload::GaugeFoundOut(_) => &[Metrology, Engineer],
        Payload::TeardownSheet(_)
        | Payload::MountingSheet(_)
        | Payload::TeardownPlanned(_)
        | Payload::SeatCheck(_)
        | Payload::Countersigned(_) => &[Foreman, Engineer],
        Payload::Released(_)
        | Payload::Extension(_)
        | Payload::BatchBlocked(_)
        | Payload::DeviationAccepted(_)
        | Payload::Scrapped(_)
        | Payload::ThingsJoined(_)
        | Payload::SpacersReground(_)
        | Payload::SheetReopened(_)
        | Payload::ConflictResolved(_) => &[Engineer],
        Payload::Attached(_) | Payload::ImportBatch(_) => {
            &[Foreman, Engineer, Storekeeper, Metrology]
        }
        // Who may amend what depends on the event: see `amendment`.
        Payload::Amendment(_) => &[Fitter, Foreman, Engineer, Storekeeper, Metrology],
        Payload::Returned(_) | Payload::SentOut(_) => &[Engineer, Storekeeper, Foreman],
        _ => &[Fitter, Foreman, Engineer],
    };
    if signer.role == Auditor {
        return Err(refused(
            "the auditor reads, verifies and prints; sign in as somebody else to write",
        ));
    }
    if roles.contains(&signer.role) {
        return Ok(());
    }
    let who = roles
        .iter()
        .map(|r| r.as_str())
        .collect::<Vec<_>>()
        .join(" or ");
    Err(refused(format!(
        "{} may not sign this: it needs the {who}",
        signer.name
    )))
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

    /// The bearing of a stay that the event began belongs in that seat.
    fn belongs(&self, event: i64) -> Result<()> {
        let sql = "SELECT s.bearing, s.chock, s.seat, cs.bearing_type = b.bearing_type FROM stay s
                     JOIN chock c ON c.no = s.chock JOIN bearing b ON b.no = s.bearing
                     LEFT JOIN chock_seat cs ON cs.chock_type = c.chock_type AND cs.name = s.seat WHERE s.no = ?1";
        let stay: Option<(i64, i64, String, Option<bool>)> = self
            .conn
            .prepare_cached(sql)?
            .query_row([event], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
            })
            .optional()?;
        match stay {
            None | Some((.., Some(true))) => Ok(()),
            Some((bearing, chock, seat, Some(false))) => Err(refused(format!(
                "{} does not belong in the {seat} seat of {}",
                self.code(ThingNo(bearing))?,
                self.code(ThingNo(chock))?
            ))),
            Some((_, chock, seat, None)) => Err(refused(format!(
                "{} has no seat {seat}",
                self.code(ThingNo(chock))?
            ))),
        }
    }

    /// A chock goes only where its type fits, a roll only where its line and its role are.
    fn fits(&self, chock: &Ref, roll: &Ref, position: &Ref) -> Result<()> {
        let (chock, roll) = (self.find(chock)?, self.find(roll)?);
        let position = self.find(position)?;
        let holds = |sql: &str, thing: ThingNo| -> Result<bool> {
            let answer = self
                .conn
                .prepare_cached(sql)?
                .query_row(params![thing.0, position.0], |row| row.get(0));
            Ok(answer.optional()?.unwrap_or(false))
        };
        if !holds(
            "SELECT (' ' || t.fits || ' ') LIKE ('% ' || p.role || '-' || p.level || '-' || p.side || ' %')
             FROM chock c JOIN chock_type t ON t.no = c.chock_type, position p WHERE c.no = ?1 AND p.no = ?2",
            chock,
        )? {
            return Err(refused(format!(
                "{} does not fit {}: check number, side, top or bottom",
                self.code(chock)?,
                self.code(position)?
            )));
        }
        if !holds(
            "SELECT r.role = p.role AND r.line = s.line FROM roll r, position p JOIN stand s ON s.no = p.stand
             WHERE r.no = ?1 AND p.no = ?2",
            roll,
        )? {
            return Err(refused(format!(
                "{} is no roll for {}: check the number of the roll",
                self.code(roll)?,
                self.code(position)?
            )));
        }
        Ok(())
    }

    /// The two necks of one roll lie on both sides of one place in a stand.
    fn faces(&self, position_o: &Ref, position_d: &Ref) -> Result<()> {
        let (o, d) = (self.find(position_o)?, self.find(position_d)?);
        let sql = "SELECT o.side = 'O' AND d.side = 'D' AND o.stand = d.stand AND o.role = d.role AND o.level = d.level
                   FROM position o, position d WHERE o.no = ?1 AND d.no = ?2";
        let faces = self
            .conn
            .prepare_cached(sql)?
            .query_row(params![o.0, d.0], |row| row.get(0));
        if faces.optional()?.unwrap_or(false) {
            return Ok(());
        }
        Err(refused(format!(
            "{} and {} are not the operator and the drive side of one roll",
            self.code(o)?,
            self.code(d)?
        )))
    }

    fn register_change(&self, p: &RegisterChange) -> Result<()> {
        let code = p.record.code().trim();
        if code.is_empty() {
            return Err(refused("a thing in the register has a code or a serial"));
        }
        if code.chars().count() > CODE_MAX {
            return Err(refused(format!(
                "a code has at most {CODE_MAX} letters: what else is to be said belongs in the name or the note"
            )));
        }
        if let Some(hidden) = code.chars().find(|c| is_hidden(*c)) {
            return Err(refused(format!(
                "{code:?}: a code holds no invisible character, this one has U+{:04X}",
                u32::from(hidden)
            )));
        }
        let no = p.thing.as_ref().map(|name| self.find(name)).transpose()?;
        if let Some(no) = no
            && self.entity(no)?.as_deref() != Some(p.record.entity())
        {
            return Err(refused(format!(
                "{code}: what is changed is no {}",
                p.record.entity()
            )));
        }
        let sql =
            "SELECT no FROM thing WHERE entity = ?1 AND code = ?2 COLLATE NOCASE AND no <> ?3";
        let other: Option<i64> = self
            .conn
            .prepare_cached(sql)?
            .query_row(
                params![p.record.entity(), code, no.map_or(0, |t| t.0)],
                |row| row.get(0),
            )
            .optional()?;
        if other.is_some() {
            return Err(refused(format!(
                "{code} is in the register already: open it there, or choose another code"
            )));
        }
        match &p.record {
            Record::BearingType(t) => {
                if no.is_some() && p.reason.trim().is_empty() {
                    return Err(refused(
                        "a change of limits needs a reason; sheets signed before keep the old ones",
                    ));
                }
                type_values(t)?;
            }
            Record::Position(position) => self.is_one_place(no, position)?,
            Record::Gauge(gauge)
                if gauge.resolution < 0
                    || gauge
                        .expanded_uncertainty
                        .is_some_and(|u| !(0..=UNCERTAINTY_MAX).contains(&u)) =>
            {
                return Err(refused(format!(
                    "{code}: resolution and U are not negative, and not over 1,000 mm, K or N m"
                )));
            }
            Record::Bearing(b) if !(0..=RUN_S_MAX).contains(&b.prior_run_s) => {
                return Err(refused(format!(
                    "{code}: hours before this logbook are 0 to 175,000"
                )));
            }
            _ => {}
        }
        match no {
            None => Ok(()),
            Some(no) => self.change(no, p),
        }
    }

    /// One position a place in a stand; and what ran there keeps its place.
    fn is_one_place(&self, no: Option<ThingNo>, p: &Position) -> Result<()> {
        let stand = self.find(&p.stand)?;
        let no = no.map_or(0, |no| no.0);
        let sql = "SELECT code FROM position WHERE stand = ?1 AND role = ?2 AND level = ?3 AND side = ?4 AND no <> ?5";
        let twin: Option<String> = self
            .conn
            .query_row(sql, params![stand.0, p.role, p.level, p.side, no], |row| {
                row.get(0)
            })
            .optional()?;
        if let Some(twin) = twin {
            return Err(refused(format!(
                "{} would be the same place as {twin}: one position a place",
                p.code
            )));
        }
        let sql = "SELECT EXISTS (SELECT 1 FROM position WHERE no = ?5
                     AND (stand <> ?1 OR role <> ?2 OR level <> ?3 OR side <> ?4))
                   AND (EXISTS (SELECT 1 FROM run WHERE position = ?5) OR EXISTS (SELECT 1 FROM thing_event t
                     JOIN event e ON e.no = t.event WHERE t.thing = ?5 AND e.kind = 'mounted'))";
        let moves: bool =
            self.conn
                .query_row(sql, params![stand.0, p.role, p.level, p.side, no], |row| {
                    row.get(0)
                })?;
        if moves {
            return Err(refused(format!(
                "{}: chocks have run there; where it is does not change, register another position",
                p.code
            )));
        }
        Ok(())
    }

    /// The seats of a type still take what is in them.
    fn keeps_seats(&self, no: ThingNo, t: &ChockType) -> Result<()> {
        let sql = "SELECT c.code, s.seat, b.bearing_type FROM stay s JOIN chock c ON c.no = s.chock
                   JOIN bearing b ON b.no = s.bearing WHERE c.chock_type = ?1 AND s.to_event IS NULL";
        let mut stmt = self.conn.prepare(sql)?;
        let mut rows = stmt.query([no.0])?;
        while let Some(row) = rows.next()? {
            let (code, seat, sort): (String, String, i64) = (row.get(0)?, row.get(1)?, row.get(2)?);
            let mut takes = false;
            for s in &t.seats {
                takes |= s.name == seat && self.find(&s.bearing_type)?.0 == sort;
            }
            if !takes {
                return Err(refused(format!(
                    "{code} has a bearing in its {seat} seat that this would not take: take it out first"
                )));
            }
        }
        Ok(())
    }

    /// What a change of a record may not do.
    fn change(&self, no: ThingNo, p: &RegisterChange) -> Result<()> {
        let code = p.record.code();
        let (sql, sort) = match &p.record {
            Record::Bearing(b) => (
                "SELECT bearing_type <> ?2 AND EXISTS
                   (SELECT 1 FROM stay WHERE bearing = ?1 AND to_event IS NULL) FROM bearing WHERE no = ?1",
                self.find(&b.bearing_type)?,
            ),
            Record::Chock(c) => (
                "SELECT chock_type <> ?2 AND EXISTS
                   (SELECT 1 FROM stay WHERE chock = ?1 AND to_event IS NULL) FROM chock WHERE no = ?1",
                self.find(&c.chock_type)?,
            ),
            Record::ChockType(t) => return self.keeps_seats(no, t),
            Record::Person(person) => {
                if person.role == Role::Engineer && person.is_active {
                    return Ok(());
                }
                let others: i64 = self.conn.query_row(
                    "SELECT count(*) FROM person WHERE role = 'engineer' AND is_active = 1 AND no <> ?1",
                    [no.0],
                    |row| row.get(0),
                )?;
                return if others > 0 {
                    Ok(())
                } else {
                    Err(refused(
                        "somebody has to be the engineer: register another one first",
                    ))
                };
            }
            _ => return Ok(()),
        };
        let breaks: bool = self
            .conn
            .query_row(sql, params![no.0, sort.0], |row| row.get(0))?;
        if breaks {
            return Err(refused(format!(
                "{code} is assembled: take the bearing out before another type is written down"
            )));
        }
        Ok(())
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

    /// Somebody else saw it destroyed.
    fn scrapped(&self, p: &Scrapped, signer: Option<&Signer>) -> Result<()> {
        let witness = self.find(&p.witness)?;
        let found: Option<(String, bool)> = self
            .conn
            .query_row(
                "SELECT role, is_active FROM person WHERE no = ?1",
                [witness.0],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        let Some((role, is_active)) = found else {
            return Err(refused(
                "the witness of a scrapping is somebody of the register",
            ));
        };
        let signs = match signer {
            Some(signer) => self.find(&Ref::new(signer.id, self.own))? == witness,
            None => false,
        };
        if signs || role == Role::Auditor.as_str() || !is_active {
            return Err(refused(
                "the witness of a scrapping is somebody at work here who neither signs it nor audits: \
                 as a rule the storekeeper",
            ));
        }
        Ok(())
    }
}

fn is_hidden(c: char) -> bool {
    (c.is_whitespace() && c != ' ')
        || c.is_control()
        || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2064}' | '\u{feff}')
}

/// Values of a bearing type that can be.
fn type_values(t: &BearingType) -> Result<()> {
    if t.values.is_empty() {
        return Err(refused(format!(
            "{}: a bearing type has values, at least its bore",
            t.code
        )));
    }
    let value = |name: &str, item: i64| {
        let found = t.values.iter().find(|v| v.name == name && v.item == item);
        found.map(|v| v.value)
    };
    for (low, high, words) in [
        (
            "bore_nm",
            "outside_nm",
            "the bore is not smaller than the outside diameter",
        ),
        (
            "clearance_min_nm",
            "clearance_max_nm",
            "the smallest clearance is over the largest",
        ),
        (
            "target_min_nm",
            "target_max_nm",
            "the smallest target is over the largest",
        ),
        (
            "spacer_min_nm",
            "spacer_nm",
            "the smallest spacer is wider than a new one",
        ),
        (
            "neck_min_nm",
            "neck_max_nm",
            "the smallest neck is over the largest",
        ),
    ] {
        for item in 0..=3 {
            if let (Some(low), Some(high)) = (value(low, item), value(high, item))
                && low > high
            {
                return Err(refused(format!("{}: {words}", t.code)));
            }
        }
    }
    for value in &t.values {
        let Some(meaning) = TYPE_VALUES.iter().find(|m| m.name == value.name) else {
            return Err(refused(format!(
                "{}: {} is no value of a bearing type",
                t.code, value.name
            )));
        };
        if !meaning.range().contains(&value.value) {
            return Err(refused(format!(
                "{}: {} is not possible: {}",
                t.code,
                meaning.title,
                meaning.range_words()
            )));
        }
        if !(0..=if meaning.per_pair { 9 } else { 0 }).contains(&value.item) {
            return Err(refused(format!(
                "{}: {} holds for the whole bearing",
                t.code, meaning.title
            )));
        }
    }
    Ok(())
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
