//! What is noted about a thing without moving it.

use rusqlite::params;

use super::Applying;
use crate::error::Result;
use crate::id::{Ref, ThingNo};
use crate::payload::{
    Attached, BatchBlocked, ConditionReading, Cost, Extension, GaugeFoundOut, Greased,
    InspectedAtReceipt, KeptFile, MillIncident, TeardownPlanned,
};

impl Applying<'_> {
    pub(super) fn condition_reading(&self, p: &ConditionReading) -> Result<()> {
        let chock = self.thing(&p.chock)?;
        self.conn.execute(
            "INSERT INTO condition (event, chock, what, value) VALUES (?1, ?2, ?3, ?4)",
            params![self.event.no, chock.0, p.what, p.value],
        )?;
        if p.is_early_teardown {
            self.early(&p.chock, &p.what, &p.text)?;
        }
        Ok(())
    }

    pub(super) fn mill_incident(&self, p: &MillIncident) -> Result<()> {
        self.thing(&p.position)?;
        for chock in &p.chocks {
            self.thing(chock)?;
            if p.is_early_teardown {
                self.early(chock, &p.what, &p.text)?;
            }
        }
        Ok(())
    }

    fn early(&self, chock: &Ref, what: &str, text: &str) -> Result<()> {
        let chock = self.thing(chock)?;
        let why = if text.is_empty() {
            what.replace('_', " ")
        } else {
            format!("{}: {text}", what.replace('_', " "))
        };
        self.conn.execute(
            "INSERT OR REPLACE INTO early_teardown (event, chock, at_ms, why) VALUES (?1, ?2, ?3, ?4)",
            params![self.event.no, chock.0, self.event.at.ms, why],
        )?;
        Ok(())
    }

    pub(super) fn extension(&self, p: &Extension) -> Result<()> {
        let chock = self.thing(&p.chock)?;
        self.conn.execute(
            "INSERT INTO extension (event, chock, at_ms, until_ms, reason) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![self.event.no, chock.0, self.event.at.ms, p.until_ms, p.reason],
        )?;
        Ok(())
    }

    pub(super) fn teardown_planned(&self, p: &TeardownPlanned) -> Result<()> {
        let chock = self.thing(&p.chock)?;
        self.conn.execute(
            "INSERT INTO teardown_plan (event, chock, at_ms, planned_ms, reason) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![self.event.no, chock.0, self.event.at.ms, p.planned_ms, p.reason],
        )?;
        Ok(())
    }

    pub(super) fn batch_blocked(&self, p: &BatchBlocked) -> Result<()> {
        let batch = self.thing(&p.batch)?;
        self.conn.execute(
            "INSERT INTO blocked (event, thing, at_ms, reason) VALUES (?1, ?2, ?3, ?4)",
            params![self.event.no, batch.0, self.event.at.ms, p.reason],
        )?;
        Ok(())
    }

    pub(super) fn cost(&self, p: &Cost) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        self.conn.execute(
            "INSERT INTO cost (event, thing, amount_minor, what) VALUES (?1, ?2, ?3, ?4)",
            params![self.event.no, thing.0, p.amount_minor, p.text],
        )?;
        Ok(())
    }

    pub(super) fn greased(&self, p: &Greased) -> Result<()> {
        self.thing(&p.grease)?;
        self.thing(&p.bearing).map(drop)
    }

    pub(super) fn gauge_found_out(&self, p: &GaugeFoundOut) -> Result<()> {
        let gauge = self.thing(&p.gauge)?;
        self.conn.execute(
            "INSERT INTO gauge_fault (event, gauge, at_ms, error, what) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![self.event.no, gauge.0, self.event.at.ms, p.error, p.text],
        )?;
        Ok(())
    }

    pub(super) fn attached(&self, p: &Attached) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        self.document(1, Some(thing), 0, &p.what, &p.file, &p.text)
    }

    /// A picture or a paper.
    pub(super) fn document(
        &self,
        item: i64,
        thing: Option<ThingNo>,
        finding: i64,
        what: &str,
        file: &KeptFile,
        note: &str,
    ) -> Result<()> {
        self.conn
            .prepare_cached(
                "INSERT INTO document (event, item, thing, finding, what, hash, name, media, bytes, note)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
            )?
            .execute(params![
                self.event.no,
                item,
                thing.map(|t| t.0),
                finding,
                what,
                file.hash,
                file.name,
                file.media,
                file.bytes,
                note
            ])?;
        Ok(())
    }

    /// What is not accepted waits on hold; what is accepted ends the holds of earlier inspections, no others.
    pub(super) fn inspected_at_receipt(&self, p: &InspectedAtReceipt) -> Result<()> {
        let bearing = self.thing(&p.bearing)?;
        if self.is_gone(bearing)? {
            return Ok(());
        }
        if p.is_accepted {
            self.conn.execute(
                "UPDATE hold SET released_event = ?2 WHERE thing = ?1 AND released_event IS NULL
                   AND event IN (SELECT no FROM event WHERE kind = 'inspected_at_receipt')",
                params![bearing.0, self.event.no],
            )?;
            return Ok(());
        }
        let claim = if p.claim.is_empty() {
            String::new()
        } else {
            format!("; claim: {}", p.claim)
        };
        self.held(
            bearing,
            &format!("not accepted at receipt: {}{claim}", p.condition),
        )
    }
}
