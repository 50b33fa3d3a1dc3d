//! How moves become places, stays and runs.

use rusqlite::{OptionalExtension, params};

use super::Applying;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{
    Assembled, Campaign, Dismounted, Hold, Mounted, Received, Released, Returned, Scrapped,
    SentOut, TakenOut,
};

impl Applying<'_> {
    /// Puts a thing somewhere else than into a chock.
    fn put(
        &self,
        thing: ThingNo,
        place: &str,
        position: Option<ThingNo>,
        roll: Option<ThingNo>,
        note: &str,
    ) -> Result<()> {
        self.conn
            .prepare_cached(
                "INSERT OR REPLACE INTO place (thing, place, position, roll, since_event, note)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            )?
            .execute(params![
                thing.0,
                place,
                position.map(|t| t.0),
                roll.map(|t| t.0),
                self.event.no,
                note
            ])?;
        Ok(())
    }

    /// Ends the stay that a bearing is in, if any; answers its number.
    pub(super) fn end_stay(&self, bearing: ThingNo) -> Result<Option<i64>> {
        let open: Option<i64> = self
            .conn
            .prepare_cached("SELECT no FROM stay WHERE bearing = ?1 AND to_event IS NULL")?
            .query_row([bearing.0], |row| row.get(0))
            .optional()?;
        if let Some(stay) = open {
            self.conn
                .prepare_cached("UPDATE stay SET to_event = ?2, to_ms = ?3 WHERE no = ?1")?
                .execute(params![stay, self.event.no, self.event.at.ms])?;
        }
        Ok(open)
    }

    /// Begins a stay; the event is its name. A seat that is taken is a conflict, and the older stay ends.
    pub(super) fn begin_stay(
        &self,
        bearing: ThingNo,
        chock: ThingNo,
        seat: &str,
        zone: i64,
    ) -> Result<()> {
        if self.end_stay(bearing)?.is_some() {
            self.conflict("the bearing was still in another chock")?;
        }
        let ended = self
            .conn
            .prepare_cached("UPDATE stay SET to_event = ?3, to_ms = ?4 WHERE chock = ?1 AND seat = ?2 AND to_event IS NULL")?
            .execute(params![chock.0, seat, self.event.no, self.event.at.ms])?;
        if ended > 0 {
            self.conflict("another bearing was still in this seat of the chock")?;
        }
        self.conn
            .prepare_cached(
                "INSERT INTO stay (no, bearing, chock, seat, zone, from_ms, run_s, rolled_kg, campaigns, has_estimate)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, 0, 0, 0, 0)",
            )?
            .execute(params![self.event.no, bearing.0, chock.0, seat, zone.clamp(0, 4), self.event.at.ms])?;
        self.put(bearing, "shop", None, None, "")?;
        // Campaigns may have arrived before the stay they belong to.
        self.conn
            .prepare_cached(
                "UPDATE stay SET (run_s, rolled_kg, campaigns) =
                   (SELECT coalesce(sum(run_s), 0), coalesce(sum(rolled_kg), 0), count(*)
                    FROM run WHERE chock = ?2 AND from_ms >= ?3)
                 WHERE no = ?1",
            )?
            .execute(params![self.event.no, chock.0, self.event.at.ms])?;
        Ok(())
    }

    /// A new baseline of the bearing.
    pub(super) fn baseline(&self, bearing: ThingNo, as_set_nm: &[i64]) -> Result<()> {
        let revision: i64 = self.conn.query_row(
            "SELECT coalesce(max(revision), 0) + 1 FROM baseline WHERE bearing = ?1",
            [bearing.0],
            |row| row.get(0),
        )?;
        for (pair, value) in (1..).zip(as_set_nm.iter().take(3)) {
            self.conn.execute(
                "INSERT INTO baseline (bearing, event, at_ms, revision, pair, value_nm) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![bearing.0, self.event.no, self.event.at.ms, revision, pair, value],
            )?;
        }
        Ok(())
    }

    pub(super) fn received(&self, p: &Received) -> Result<()> {
        let bearing = self.thing(&p.bearing)?;
        self.put(bearing, "stores", None, None, &p.note)?;
        self.baseline(bearing, &p.as_set_nm)
    }

    pub(super) fn assembled(&self, p: &Assembled) -> Result<()> {
        let (bearing, chock) = (self.thing(&p.bearing)?, self.thing(&p.chock)?);
        self.begin_stay(bearing, chock, &p.seat, p.zone)
    }

    pub(super) fn taken_out(&self, p: &TakenOut) -> Result<()> {
        let bearing = self.thing(&p.bearing)?;
        if self.end_stay(bearing)?.is_none() {
            self.conflict("the bearing was in no chock")?;
        }
        self.put(bearing, "shop", None, None, &p.reason)
    }

    pub(super) fn mounted(&self, p: &Mounted) -> Result<()> {
        let (chock, roll, position) = (
            self.thing(&p.chock)?,
            self.thing(&p.roll)?,
            self.thing(&p.position)?,
        );
        let taken: Option<i64> = self
            .conn
            .prepare_cached("SELECT thing FROM place WHERE position = ?1 AND thing <> ?2")?
            .query_row(params![position.0, chock.0], |row| row.get(0))
            .optional()?;
        if let Some(other) = taken {
            self.conflict("another chock was still in this position")?;
            self.put(ThingNo(other), "shop", None, None, "found elsewhere")?;
        }
        self.put(chock, "mill", Some(position), Some(roll), "")
    }

    pub(super) fn dismounted(&self, p: &Dismounted) -> Result<()> {
        let chock = self.thing(&p.chock)?;
        self.put(chock, "shop", None, None, "")
    }

    pub(super) fn campaign(&self, p: &Campaign) -> Result<()> {
        // A campaign is found through its chocks; it is not listed with each thing it names (tens of thousands).
        let find = |name| super::find(self.conn, name, self.event.id.origin);
        let roll = find(&p.roll)?;
        for (chock, position) in [(&p.chock_o, &p.position_o), (&p.chock_d, &p.position_d)] {
            let (chock, position) = (find(chock)?, find(position)?);
            self.conn
                .prepare_cached(
                    "INSERT INTO run (campaign, chock, position, roll, from_ms, to_ms, run_s, rolled_kg)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                )?
                .execute(params![
                    self.event.no,
                    chock.0,
                    position.0,
                    roll.0,
                    p.from_ms,
                    self.event.at.ms.max(p.from_ms),
                    p.run_s,
                    p.rolled_kg
                ])?;
            self.conn
                .prepare_cached(
                    "UPDATE stay SET run_s = run_s + ?3, rolled_kg = rolled_kg + ?4, campaigns = campaigns + 1,
                        has_estimate = max(has_estimate, ?5)
                     WHERE chock = ?1 AND from_ms <= ?2 AND (to_ms IS NULL OR to_ms > ?2)",
                )?
                .execute(params![chock.0, p.from_ms, p.run_s, p.rolled_kg, p.is_estimate])?;
        }
        Ok(())
    }

    pub(super) fn sent_out(&self, p: &SentOut) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        self.end_stay(thing)?;
        self.put(thing, "away", None, None, &p.to)
    }

    pub(super) fn returned(&self, p: &Returned) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        self.put(thing, "shop", None, None, &p.note)?;
        if !p.as_set_nm.is_empty() {
            self.baseline(thing, &p.as_set_nm)?;
        }
        if let Some(body) = &p.body {
            self.returned_sheet(thing, body)?;
        }
        Ok(())
    }

    pub(super) fn hold(&self, p: &Hold) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        self.conn.execute(
            "INSERT INTO hold (thing, event, reason) VALUES (?1, ?2, ?3)",
            params![thing.0, self.event.no, p.reason],
        )?;
        Ok(())
    }

    pub(super) fn released(&self, p: &Released) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        let ended = self.conn.execute(
            "UPDATE hold SET released_event = ?2 WHERE thing = ?1 AND released_event IS NULL",
            params![thing.0, self.event.no],
        )?;
        if ended == 0 {
            self.conflict("there was no hold to end")
        } else {
            Ok(())
        }
    }

    pub(super) fn scrapped(&self, p: &Scrapped) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        self.end_stay(thing)?;
        self.put(thing, "scrapped", None, None, &p.reason)
    }
}
