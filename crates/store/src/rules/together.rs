//! What goes together by the register of today: type and seat, chock and position, roll and stand, the two necks of a roll.

use rusqlite::{Connection, OptionalExtension, params};

use super::{Entry, refused};
use crate::error::Result;
use crate::id::{Origin, Ref, ThingNo};
use crate::payload::Payload;

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

impl Entry<'_> {
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
}
