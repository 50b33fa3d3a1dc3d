//! What the register refuses: codes that no plate holds, two things in one place, changes that would make what was entered untrue.

use rusqlite::{OptionalExtension, params};

use super::{Entry, RUN_S_MAX, UNCERTAINTY_MAX, refused};
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{BearingType, ChockType, Position, Record, RegisterChange, Role, TYPE_VALUES};

/// Letters of a code or serial: more fits on no plate and no label.
const CODE_MAX: usize = 60;

impl Entry<'_> {
    pub(super) fn register_change(&self, p: &RegisterChange) -> Result<()> {
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
