//! What is refused at entry: who signs what, one thing in one place, scrapped stays scrapped.
//!
//! These rules hold at entry only. Events that arrive by another way are all kept; what does not fit together
//! becomes a conflict for the engineer.

use rusqlite::{Connection, OptionalExtension, params};

use crate::error::{Result, StoreError};
use crate::id::{Origin, Ref, ThingNo};
use crate::logbook::NewEvent;
use crate::payload::{
    Assembled, Campaign, Mounted, Payload, Record, RegisterChange, Role, TakenOut, TeardownSheet,
};
use crate::people::{Signer, has_no_engineer};
use crate::state;
use crate::time::Stamp;

/// Refuses an event that the rules of the shop forbid.
pub(crate) fn check(
    conn: &Connection,
    own: Origin,
    new: &NewEvent,
    signer: Option<&Signer>,
) -> Result<()> {
    let on = Entry {
        conn,
        own,
        at: new.at,
    };
    may_sign(conn, &new.payload, signer)?;
    match &new.payload {
        Payload::RegisterChange(p) => on.register_change(p),
        Payload::Received(p) => on.is_not_scrapped(&p.bearing),
        Payload::Assembled(p) => on.assembled(p),
        Payload::TakenOut(p) => on.taken_out(p),
        Payload::Mounted(p) => on.mounted(p),
        Payload::Dismounted(p) => on.dismounted(&p.chock),
        Payload::Campaign(p) => on.campaign(p),
        Payload::TeardownSheet(p) => on.teardown(p),
        Payload::SentOut(p) => on.is_movable(&p.thing),
        Payload::Returned(p) => on.is_away(&p.thing),
        Payload::Hold(p) => on.is_not_scrapped(&p.thing),
        Payload::Released(p) => on.is_held(&p.thing),
        Payload::Scrapped(p) => on.is_movable(&p.thing),
        Payload::LogbookStarted(_)
        | Payload::DeviationAccepted(_)
        | Payload::MillJob(_)
        | Payload::GaugeCalibrated(_) => Ok(()),
    }
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
        Payload::LogbookStarted(_) => &[],
        Payload::RegisterChange(change) => match change.record {
            Record::Gauge(_) => &[Engineer, Metrology],
            Record::SealBatch(_) | Record::Grease(_) => &[Engineer, Storekeeper, Foreman],
            Record::Bearing(_) => &[Engineer, Storekeeper],
            _ => &[Engineer],
        },
        Payload::Received(_) => &[Storekeeper, Engineer],
        Payload::GaugeCalibrated(_) => &[Metrology, Engineer],
        Payload::TeardownSheet(_) => &[Foreman, Engineer],
        Payload::Released(_) | Payload::DeviationAccepted(_) | Payload::Scrapped(_) => &[Engineer],
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
    at: Stamp,
}

impl Entry<'_> {
    fn find(&self, name: &Ref) -> Result<ThingNo> {
        state::find(self.conn, name, self.own)
    }

    fn code(&self, thing: ThingNo) -> Result<String> {
        let code = self
            .conn
            .prepare_cached("SELECT code FROM thing WHERE no = ?1")?
            .query_row([thing.0], |row| row.get(0));
        Ok(code.optional()?.unwrap_or_else(|| "it".into()))
    }

    fn place(&self, thing: ThingNo) -> Result<Option<(String, String)>> {
        let sql = "SELECT place, note FROM place WHERE thing = ?1";
        let place = self
            .conn
            .prepare_cached(sql)?
            .query_row([thing.0], |row| Ok((row.get(0)?, row.get(1)?)));
        Ok(place.optional()?)
    }

    fn register_change(&self, p: &RegisterChange) -> Result<()> {
        let code = p.record.code().trim();
        if code.is_empty() {
            return Err(refused("a thing in the register has a code or a serial"));
        }
        let no = p.thing.as_ref().map(|name| self.find(name)).transpose()?;
        if let Some(no) = no {
            let sql = "SELECT entity FROM thing WHERE no = ?1";
            let entity: Option<String> = self
                .conn
                .prepare_cached(sql)?
                .query_row([no.0], |row| row.get(0))
                .optional()?;
            if entity.as_deref() != Some(p.record.entity()) {
                return Err(refused(format!(
                    "{code}: what is changed is no {}",
                    p.record.entity()
                )));
            }
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
        if no.is_some() && matches!(p.record, Record::BearingType(_)) && p.reason.trim().is_empty()
        {
            return Err(refused(
                "a change of limits needs a reason; sheets signed before keep the old ones",
            ));
        }
        Ok(())
    }

    fn is_not_scrapped(&self, name: &Ref) -> Result<()> {
        let thing = self.find(name)?;
        if let Some((place, why)) = self.place(thing)?
            && place == "scrapped"
        {
            return Err(refused(format!(
                "{} was scrapped ({why}); scrapped stays scrapped",
                self.code(thing)?
            )));
        }
        Ok(())
    }

    /// Not scrapped, not away, and not in the mill.
    fn is_movable(&self, name: &Ref) -> Result<()> {
        self.is_not_scrapped(name)?;
        let thing = self.find(name)?;
        match self.place(thing)? {
            Some((place, to)) if place == "away" => Err(refused(format!(
                "{} is away at {to}: enter its return first",
                self.code(thing)?
            ))),
            Some((place, _)) if place == "mill" => Err(refused(format!(
                "{} is in the mill: enter that it came off first",
                self.code(thing)?
            ))),
            _ => self.chock_is_not_in_mill(thing),
        }
    }

    /// A bearing goes where its chock goes.
    fn chock_is_not_in_mill(&self, bearing: ThingNo) -> Result<()> {
        let sql = "SELECT s.chock FROM stay s JOIN place p ON p.thing = s.chock
                   WHERE s.bearing = ?1 AND s.to_event IS NULL AND p.place = 'mill'";
        let chock: Option<i64> = self
            .conn
            .prepare_cached(sql)?
            .query_row([bearing.0], |row| row.get(0))
            .optional()?;
        let Some(chock) = chock else { return Ok(()) };
        let (bearing, chock) = (self.code(bearing)?, self.code(ThingNo(chock))?);
        Err(refused(format!(
            "{bearing} is in {chock}, which is in the mill: enter that it came off first"
        )))
    }

    fn taken_out(&self, p: &TakenOut) -> Result<()> {
        self.stay(&p.bearing)?;
        self.chock_is_not_in_mill(self.find(&p.bearing)?)
    }

    fn is_away(&self, name: &Ref) -> Result<()> {
        let thing = self.find(name)?;
        match self.place(thing)? {
            Some((place, _)) if place == "away" => Ok(()),
            _ => Err(refused(format!(
                "{} is not away: enter that it was sent out first",
                self.code(thing)?
            ))),
        }
    }

    fn is_held(&self, name: &Ref) -> Result<()> {
        let thing = self.find(name)?;
        if self.held(thing)?.is_none() {
            return Err(refused(format!("{} is not on hold", self.code(thing)?)));
        }
        Ok(())
    }

    fn held(&self, thing: ThingNo) -> Result<Option<String>> {
        let sql = "SELECT reason FROM hold WHERE thing = ?1 AND released_event IS NULL";
        Ok(self
            .conn
            .prepare_cached(sql)?
            .query_row([thing.0], |row| row.get(0))
            .optional()?)
    }

    /// The chock that a bearing is in now.
    fn stay(&self, bearing: &Ref) -> Result<ThingNo> {
        let bearing = self.find(bearing)?;
        let sql = "SELECT chock FROM stay WHERE bearing = ?1 AND from_ms <= ?2 AND (to_ms IS NULL OR to_ms > ?2)";
        let chock: Option<i64> = self
            .conn
            .prepare_cached(sql)?
            .query_row(params![bearing.0, self.at.ms], |row| row.get(0))
            .optional()?;
        match chock {
            Some(chock) => Ok(ThingNo(chock)),
            None => Err(refused(format!(
                "{} is in no chock on {}: enter first where it was put in",
                self.code(bearing)?,
                self.at.date()
            ))),
        }
    }

    fn assembled(&self, p: &Assembled) -> Result<()> {
        self.is_movable(&p.bearing)?;
        self.is_movable(&p.chock)?;
        let (bearing, chock) = (self.find(&p.bearing)?, self.find(&p.chock)?);
        if let Some(why) = self.held(bearing)? {
            return Err(refused(format!(
                "{} is on hold ({why}): the engineer releases it first",
                self.code(bearing)?
            )));
        }
        let fits: Option<bool> = self
            .conn
            .prepare_cached(
                "SELECT s.bearing_type = b.bearing_type FROM chock c
                 JOIN chock_seat s ON s.chock_type = c.chock_type AND s.name = ?2, bearing b
                 WHERE c.no = ?1 AND b.no = ?3",
            )?
            .query_row(params![chock.0, p.seat, bearing.0], |row| row.get(0))
            .optional()?;
        match fits {
            Some(true) => {}
            Some(false) => {
                let why = format!(
                    "{} does not belong in the {} seat of {}",
                    self.code(bearing)?,
                    p.seat,
                    self.code(chock)?
                );
                return Err(refused(why));
            }
            None => {
                return Err(refused(format!(
                    "{} has no seat {}",
                    self.code(chock)?,
                    p.seat
                )));
            }
        }
        self.is_seat_free(bearing, chock, &p.seat)
    }

    fn is_seat_free(&self, bearing: ThingNo, chock: ThingNo, seat: &str) -> Result<()> {
        let sql = "SELECT bearing FROM stay WHERE to_event IS NULL AND ((chock = ?1 AND seat = ?2) OR bearing = ?3)";
        let taken: Option<i64> = self
            .conn
            .prepare_cached(sql)?
            .query_row(params![chock.0, seat, bearing.0], |row| row.get(0))
            .optional()?;
        match taken {
            None => Ok(()),
            Some(no) if no == bearing.0 => Err(refused(format!(
                "{} is in a chock already: enter that it was taken out first",
                self.code(bearing)?
            ))),
            Some(no) => Err(refused(format!(
                "{} is still in the {seat} seat of {}: one bearing a seat",
                self.code(ThingNo(no))?,
                self.code(chock)?
            ))),
        }
    }

    fn mounted(&self, p: &Mounted) -> Result<()> {
        self.is_movable(&p.chock)?;
        self.is_not_scrapped(&p.roll)?;
        let (chock, roll, position) = (
            self.find(&p.chock)?,
            self.find(&p.roll)?,
            self.find(&p.position)?,
        );
        let clash: Option<(i64, String)> = self
            .conn
            .prepare_cached(
                "SELECT pl.thing, 'is in this position' FROM place pl WHERE pl.position = ?1
                 UNION ALL
                 SELECT pl.thing, 'is on this neck of the roll' FROM place pl
                   JOIN position at ON at.no = pl.position JOIN position here ON here.no = ?1
                 WHERE pl.roll = ?2 AND at.side = here.side",
            )?
            .query_row(params![position.0, roll.0], |row| {
                Ok((row.get(0)?, row.get(1)?))
            })
            .optional()?;
        if let Some((other, why)) = clash {
            return Err(refused(format!(
                "{} {why}: enter that it came off first",
                self.code(ThingNo(other))?
            )));
        }
        self.fits_position(chock, position)
    }

    /// A chock goes only where its type fits.
    fn fits_position(&self, chock: ThingNo, position: ThingNo) -> Result<()> {
        let fits: bool = self
            .conn
            .prepare_cached(
                "SELECT (' ' || t.fits || ' ') LIKE ('% ' || p.role || '-' || p.level || '-' || p.side || ' %')
                 FROM chock c JOIN chock_type t ON t.no = c.chock_type, position p WHERE c.no = ?1 AND p.no = ?2",
            )?
            .query_row(params![chock.0, position.0], |row| row.get(0))
            .optional()?
            .unwrap_or(false);
        if fits {
            return Ok(());
        }
        Err(refused(format!(
            "{} does not fit {}: check number, side, top or bottom",
            self.code(chock)?,
            self.code(position)?
        )))
    }

    fn dismounted(&self, chock: &Ref) -> Result<()> {
        let chock = self.find(chock)?;
        match self.place(chock)? {
            Some((place, _)) if place == "mill" => Ok(()),
            _ => Err(refused(format!("{} is not in the mill", self.code(chock)?))),
        }
    }

    fn campaign(&self, p: &Campaign) -> Result<()> {
        if p.from_ms >= self.at.ms || p.run_s < 0 || p.rolled_kg < 0 {
            return Err(refused(
                "a campaign ends after it begins and has no negative hours or tonnes",
            ));
        }
        if p.run_s > (self.at.ms - p.from_ms) / 1000 + 60 {
            return Err(refused(
                "a campaign has no more mill time than lies between in and out",
            ));
        }
        for (chock, position, side) in [
            (&p.chock_o, &p.position_o, "O"),
            (&p.chock_d, &p.position_d, "D"),
        ] {
            let (chock, position) = (self.find(chock)?, self.find(position)?);
            let is_side: bool = self
                .conn
                .prepare_cached("SELECT side = ?2 FROM position WHERE no = ?1")?
                .query_row(params![position.0, side], |row| row.get(0))
                .optional()?
                .unwrap_or(false);
            if !is_side {
                return Err(refused(format!(
                    "{} is not on side {side}",
                    self.code(position)?
                )));
            }
            self.fits_position(chock, position)?;
            let overlap: Option<i64> = self
                .conn
                .prepare_cached(
                    "SELECT campaign FROM (SELECT campaign, to_ms FROM run WHERE chock = ?1 AND from_ms < ?3
                     ORDER BY from_ms DESC LIMIT 1) WHERE to_ms > ?2",
                )?
                .query_row(params![chock.0, p.from_ms, self.at.ms], |row| row.get(0))
                .optional()?;
            if overlap.is_some() {
                let why = format!(
                    "{} was in another campaign at that time: one place at a time",
                    self.code(chock)?
                );
                return Err(refused(why));
            }
        }
        Ok(())
    }

    fn teardown(&self, p: &TeardownSheet) -> Result<()> {
        self.is_not_scrapped(&p.bearing)?;
        let (chock, bearing) = (self.find(&p.chock)?, self.find(&p.bearing)?);
        let found = self.stay(&p.bearing)?;
        if found != chock {
            return Err(refused(format!(
                "{} is in {}, not in {}",
                self.code(bearing)?,
                self.code(found)?,
                self.code(chock)?
            )));
        }
        if let Some((place, _)) = self.place(chock)?
            && place == "mill"
        {
            return Err(refused(format!(
                "{} is in the mill: enter that it came off first",
                self.code(chock)?
            )));
        }
        let Some(again) = &p.reassembly else {
            return Ok(());
        };
        if let Some(why) = self.held(bearing)? {
            return Err(refused(format!(
                "{} is on hold ({why}): it cannot go back",
                self.code(bearing)?
            )));
        }
        let into = self.find(&again.chock)?;
        if into == chock {
            return Ok(());
        }
        self.is_movable(&again.chock)?;
        self.is_seat_free(ThingNo(-1), into, "main")
    }
}
