//! How signed sheets become sheets, readings, outcomes and verdicts.

use rusqlite::params;

use super::Applying;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{SheetBody, TeardownSheet};

impl Applying<'_> {
    pub(super) fn teardown_sheet(&self, p: &TeardownSheet) -> Result<()> {
        let (bearing, chock) = (self.thing(&p.bearing)?, self.thing(&p.chock)?);
        let roll = self.thing_opt(p.roll.as_ref())?;
        let position = self.thing_opt(p.position.as_ref())?;
        let stay = self.end_stay(bearing)?;
        if stay.is_none() {
            self.conflict("the bearing was in no chock when it was torn down")?;
        }
        self.conn.execute(
            "INSERT INTO sheet (event, kind, bearing, chock, roll, position, stay, recommended, decided, zone)
             VALUES (?1, 'teardown_sheet', ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            params![
                self.event.no,
                bearing.0,
                chock.0,
                roll.map(|t| t.0),
                position.map(|t| t.0),
                stay,
                p.decision.recommended,
                p.decision.decided,
                p.reassembly.as_ref().map(|r| r.zone.clamp(0, 4)),
            ],
        )?;
        self.body(&p.body)?;
        let note = &p.decision.decided;
        self.conn.execute(
            "INSERT OR REPLACE INTO place (thing, place, since_event, note) VALUES (?1, 'shop', ?2, ?3)",
            params![bearing.0, self.event.no, note],
        )?;
        if let Some(again) = &p.reassembly {
            let chock = self.thing(&again.chock)?;
            self.begin_stay(bearing, chock, "main", again.zone)?;
        }
        Ok(())
    }

    /// The own shop's measurement of something that came back.
    pub(super) fn returned_sheet(&self, thing: ThingNo, body: &SheetBody) -> Result<()> {
        let entity: String =
            self.conn
                .query_row("SELECT entity FROM thing WHERE no = ?1", [thing.0], |row| {
                    row.get(0)
                })?;
        let as_entity = |name: &str| (entity == name).then_some(thing.0);
        self.conn.execute(
            "INSERT INTO sheet (event, kind, bearing, chock, roll, recommended, decided)
             VALUES (?1, 'returned', ?2, ?3, ?4, '', '')",
            params![
                self.event.no,
                as_entity("bearing"),
                as_entity("chock"),
                as_entity("roll")
            ],
        )?;
        self.body(body)
    }

    fn body(&self, body: &SheetBody) -> Result<()> {
        let event = self.event.no;
        for r in &body.readings {
            let gauge = self.thing_opt(r.gauge.as_ref())?;
            self.conn
                .prepare_cached(
                    "INSERT OR REPLACE INTO reading (event, path, text, unit, value, source, gauge, is_gauge_overdue)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                )?
                .execute(params![
                    event, r.path, r.text, r.unit, r.value, r.source, gauge.map(|t| t.0), r.is_gauge_overdue
                ])?;
        }
        for o in &body.results {
            self.conn
                .prepare_cached("INSERT OR REPLACE INTO outcome (event, name, item, value) VALUES (?1, ?2, ?3, ?4)")?
                .execute(params![event, o.name, o.item, o.value])?;
        }
        for v in &body.verdicts {
            self.conn
                .prepare_cached(
                    "INSERT OR REPLACE INTO verdict (event, about, item, verdict, value_nm, expanded_uncertainty_nm,
                        lower_nm, upper_nm, probability_ppm)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                )?
                .execute(params![
                    event,
                    v.about,
                    v.item,
                    v.verdict,
                    v.value_nm,
                    v.expanded_uncertainty_nm,
                    v.lower_nm,
                    v.upper_nm,
                    v.probability_ppm
                ])?;
        }
        Ok(())
    }
}
