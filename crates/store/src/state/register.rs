//! How register changes become register tables.

use rusqlite::params;

use super::Applying;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{BearingType, ChockType, GaugeCalibrated, Record, RegisterChange};

impl Applying<'_> {
    pub(super) fn register_change(&self, change: &RegisterChange) -> Result<()> {
        let no = match &change.thing {
            Some(name) => super::find(self.conn, name, self.event.id.origin)?,
            None => super::copies::kept(self.conn, ThingNo(self.event.no))?,
        };
        let record = &change.record;
        self.conn
            .prepare_cached(
                "INSERT INTO thing (no, entity, code, version) VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (no) DO UPDATE SET code = excluded.code, version = excluded.version",
            )?
            .execute(params![no.0, record.entity(), record.code(), self.event.no])?;
        self.conn
            .prepare_cached("INSERT OR IGNORE INTO thing_event (thing, event) VALUES (?1, ?2)")?
            .execute(params![no.0, self.event.no])?;
        self.is_alone(no, record)?;
        self.record(no, record)
    }

    /// Two copies may have registered one thing each for itself.
    fn is_alone(&self, no: ThingNo, record: &Record) -> Result<()> {
        let sql = "SELECT count(*) FROM thing WHERE entity = ?1 AND code = ?2 COLLATE NOCASE AND no <> ?3";
        let others: i64 = self
            .conn
            .prepare_cached(sql)?
            .query_row(params![record.entity(), record.code(), no.0], |row| {
                row.get(0)
            })?;
        if others > 0 {
            let code = record.code();
            self.conflict(&format!(
                "{code} stands in the register twice: join the two entries, or give one another code"
            ))?;
        }
        Ok(())
    }

    fn record(&self, no: ThingNo, record: &Record) -> Result<()> {
        let conn = self.conn;
        match record {
            Record::Person(r) => conn
                .prepare_cached(
                    "INSERT OR REPLACE INTO person (no, name, role, pin_hash, is_active) VALUES (?1, ?2, ?3, ?4, ?5)",
                )?
                .execute(params![no.0, r.name, r.role.as_str(), r.pin_hash, r.is_active])?,
            Record::Line(r) => conn
                .prepare_cached("INSERT OR REPLACE INTO line (no, code, name) VALUES (?1, ?2, ?3)")?
                .execute(params![no.0, r.code, r.name])?,
            Record::Stand(r) => {
                let line = self.named(&r.line)?;
                conn.prepare_cached("INSERT OR REPLACE INTO stand (no, code, line, build) VALUES (?1, ?2, ?3, ?4)")?
                    .execute(params![no.0, r.code, line, r.build])?
            }
            Record::Position(r) => {
                let stand = self.named(&r.stand)?;
                conn.prepare_cached(
                    "INSERT OR REPLACE INTO position
                     (no, code, stand, role, level, side, is_fixed, load_angle_ddeg, is_rolling_bearing)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
                )?
                .execute(params![
                    no.0, r.code, stand, r.role, r.level, r.side, r.is_fixed, r.load_angle_ddeg, r.is_rolling_bearing
                ])?
            }
            Record::Roll(r) => {
                let line = self.named(&r.line)?;
                conn.prepare_cached("INSERT OR REPLACE INTO roll (no, code, line, role) VALUES (?1, ?2, ?3, ?4)")?
                    .execute(params![no.0, r.code, line, r.role])?
            }
            Record::ChockType(r) => return self.chock_type(no, r),
            Record::Chock(r) => {
                let chock_type = self.named(&r.chock_type)?;
                conn.prepare_cached("INSERT OR REPLACE INTO chock (no, code, chock_type) VALUES (?1, ?2, ?3)")?
                    .execute(params![no.0, r.code, chock_type])?
            }
            Record::BearingType(r) => return self.bearing_type(no, r),
            Record::Bearing(r) => {
                let bearing_type = self.named(&r.bearing_type)?;
                conn.prepare_cached(
                    "INSERT OR REPLACE INTO bearing (no, serial, bearing_type, prior_run_s, prior_note)
                     VALUES (?1, ?2, ?3, ?4, ?5)",
                )?
                .execute(params![no.0, r.serial, bearing_type, r.prior_run_s, r.prior_note])?
            }
            Record::Gauge(r) => {
                conn.prepare_cached(
                    "INSERT OR REPLACE INTO gauge (no, code, kind, measures, span, resolution, standard)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                )?
                .execute(params![no.0, r.code, r.kind, r.measures, r.range, r.resolution, r.standard])?;
                return self.calibration_told(no, &r.certificate, r.due_ms, r.expanded_uncertainty);
            }
            Record::SealBatch(r) => conn
                .prepare_cached("INSERT OR REPLACE INTO seal_batch (no, code, name) VALUES (?1, ?2, ?3)")?
                .execute(params![no.0, r.code, r.name])?,
            Record::Grease(r) => conn
                .prepare_cached("INSERT OR REPLACE INTO grease (no, code, name) VALUES (?1, ?2, ?3)")?
                .execute(params![no.0, r.code, r.name])?,
        };
        Ok(())
    }

    fn named(&self, name: &crate::id::Ref) -> Result<i64> {
        Ok(super::find(self.conn, name, self.event.id.origin)?.0)
    }

    fn chock_type(&self, no: ThingNo, r: &ChockType) -> Result<()> {
        self.conn
            .execute("DELETE FROM chock_seat WHERE chock_type = ?1", [no.0])?;
        self.conn.execute(
            "INSERT OR REPLACE INTO chock_type (no, code, shim_place, bore_planes, fits) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![no.0, r.code, r.shim_place, r.bore_planes, r.fits.join(" ")],
        )?;
        for seat in &r.seats {
            let bearing_type = self.named(&seat.bearing_type)?;
            self.conn.execute(
                "INSERT INTO chock_seat (chock_type, name, bearing_type) VALUES (?1, ?2, ?3)",
                params![no.0, seat.name, bearing_type],
            )?;
        }
        Ok(())
    }

    fn bearing_type(&self, no: ThingNo, r: &BearingType) -> Result<()> {
        self.conn.execute(
            "INSERT OR REPLACE INTO bearing_type (no, code, kind, lubrication) VALUES (?1, ?2, ?3, ?4)",
            params![no.0, r.code, r.kind, r.lubrication],
        )?;
        for value in &r.values {
            self.conn.execute(
                "INSERT INTO type_value (bearing_type, version, valid_from_ms, name, item, value)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![
                    no.0,
                    self.event.no,
                    self.event.at.ms,
                    value.name,
                    value.item,
                    value.value
                ],
            )?;
        }
        Ok(())
    }

    pub(super) fn gauge_calibrated(&self, p: &GaugeCalibrated) -> Result<()> {
        let gauge = self.thing(&p.gauge)?;
        let told = params![
            gauge.0,
            self.event.at.ms,
            p.certificate,
            p.due_ms,
            Some(p.expanded_uncertainty)
        ];
        // A record changed since then that says the same tells of this calibration, not of another one.
        let sql = "DELETE FROM calibration WHERE gauge = ?1 AND at_ms >= ?2 AND certificate = ?3 AND due_ms = ?4
                     AND expanded_uncertainty IS ?5
                     AND event IN (SELECT no FROM event WHERE kind = 'register_change')";
        self.conn.prepare_cached(sql)?.execute(told)?;
        self.calibration(
            gauge,
            &p.certificate,
            p.due_ms,
            Some(p.expanded_uncertainty),
        )
    }

    /// The calibration that a record tells of: none where an earlier entry says the same, and something else was changed.
    fn calibration_told(
        &self,
        gauge: ThingNo,
        certificate: &str,
        due_ms: i64,
        uncertainty: Option<i64>,
    ) -> Result<()> {
        let sql = "SELECT EXISTS (SELECT 1 FROM calibration WHERE gauge = ?1 AND at_ms <= ?2 AND certificate = ?3
                     AND due_ms = ?4 AND expanded_uncertainty IS ?5)";
        let is_known: bool = self.conn.prepare_cached(sql)?.query_row(
            params![gauge.0, self.event.at.ms, certificate, due_ms, uncertainty],
            |row| row.get(0),
        )?;
        if is_known {
            return Ok(());
        }
        self.calibration(gauge, certificate, due_ms, uncertainty)
    }

    fn calibration(
        &self,
        gauge: ThingNo,
        certificate: &str,
        due_ms: i64,
        uncertainty: Option<i64>,
    ) -> Result<()> {
        self.conn.execute(
            "INSERT INTO calibration (gauge, event, at_ms, certificate, due_ms, expanded_uncertainty)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![gauge.0, self.event.no, self.event.at.ms, certificate, due_ms, uncertainty],
        )?;
        Ok(())
    }
}
