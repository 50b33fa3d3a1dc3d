//! How moves become places, stays and runs.

use rusqlite::{OptionalExtension, params};

use super::Applying;
use super::whereabouts::Ran;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{
    Assembled, Campaign, Dismounted, Hold, Mounted, MountingSheet, Received, Released, Returned,
    Scrapped, SentOut, TakenOut, ZoneTurned,
};

impl Applying<'_> {
    /// Puts a thing somewhere else than into a chock.
    pub(super) fn put(
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
        self.arrives(thing, place, position, roll, note)
    }

    /// The open stay of a bearing: its number, chock and seat.
    pub(super) fn open_stay(&self, bearing: ThingNo) -> Result<Option<(i64, ThingNo, String)>> {
        let stay = self
            .conn
            .prepare_cached(
                "SELECT no, chock, seat FROM stay WHERE bearing = ?1 AND to_event IS NULL",
            )?
            .query_row([bearing.0], |row| {
                Ok((row.get(0)?, ThingNo(row.get(1)?), row.get(2)?))
            });
        Ok(stay.optional()?)
    }

    /// Ends the stay that a bearing is in, if any, which concerns the chock too: unless the bearing was found elsewhere, for
    /// then nobody saw the chock. Answers its number.
    pub(super) fn end_stay(&self, bearing: ThingNo) -> Result<Option<i64>> {
        let Some((stay, chock, _)) = self.open_stay(bearing)? else {
            return Ok(None);
        };
        if self.event.kind != "found_here" {
            self.note_thing(chock)?;
        }
        self.conn
            .prepare_cached("UPDATE stay SET to_event = ?2, to_ms = ?3 WHERE no = ?1")?
            .execute(params![stay, self.event.no, self.event.at.ms])?;
        Ok(Some(stay))
    }

    /// Begins a stay; the event is its name. A seat that is taken is a conflict, and the older stay ends.
    pub(super) fn begin_stay(
        &self,
        bearing: ThingNo,
        chock: ThingNo,
        seat: &str,
        zone: i64,
    ) -> Result<()> {
        self.must_be_free(bearing)?;
        self.must_be_free(chock)?;
        if self.end_stay(bearing)?.is_some() {
            self.conflict(&format!(
                "{} is in a chock already: enter that it was taken out first",
                self.code(bearing)?
            ))?;
        }
        let taken: Option<i64> = self
            .conn
            .prepare_cached(
                "SELECT bearing FROM stay WHERE chock = ?1 AND seat = ?2 AND to_event IS NULL",
            )?
            .query_row(params![chock.0, seat], |row| row.get(0))
            .optional()?;
        if let Some(other) = taken {
            self.conflict(&format!(
                "{} is still in the {seat} seat of {}: one bearing a seat",
                self.code(ThingNo(other))?,
                self.code(chock)?
            ))?;
            self.end_stay(ThingNo(other))?;
        }
        self.insert_stay(bearing, chock, seat, zone)
    }

    /// The stay itself, whatever else was true.
    pub(super) fn insert_stay(
        &self,
        bearing: ThingNo,
        chock: ThingNo,
        seat: &str,
        zone: i64,
    ) -> Result<()> {
        self.conn
            .prepare_cached(
                "INSERT INTO stay (no, bearing, chock, seat, zone, from_ms, run_s, rolled_kg, campaigns, has_estimate)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, 0, 0, 0, 0)",
            )?
            .execute(params![self.event.no, bearing.0, chock.0, seat, zone.clamp(0, 4), self.event.at.ms])?;
        self.put(bearing, "shop", None, None, "")?;
        // Campaigns may have arrived before the stay they belong to. A sum of many weeks names a roll only by way of
        // example: it adds nothing to what sits on a neck.
        let sql = if seat.starts_with("neck") {
            "UPDATE stay SET (run_s, rolled_kg, campaigns) =
               (SELECT coalesce(sum(r.run_s), 0), coalesce(sum(r.rolled_kg), 0), count(*)
                FROM run r JOIN position p ON p.no = r.position
                WHERE r.roll = ?2 AND r.is_estimate = 0 AND r.from_ms >= ?3 AND 'neck_' || lower(p.side) = stay.seat)
             WHERE no = ?1"
        } else {
            "UPDATE stay SET (run_s, rolled_kg, campaigns) =
               (SELECT coalesce(sum(run_s), 0), coalesce(sum(rolled_kg), 0), count(*)
                FROM run WHERE chock = ?2 AND from_ms >= ?3)
             WHERE no = ?1"
        };
        self.conn.prepare_cached(sql)?.execute(params![
            self.event.no,
            chock.0,
            self.event.at.ms
        ])?;
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
        if self.is_gone(bearing)? {
            return Ok(());
        }
        if self.place(bearing)?.is_some() {
            return self.conflict(&format!(
                "{} was received already or is in use: a new value as set comes with its return from outside work",
                self.code(bearing)?
            ));
        }
        self.put(bearing, "stores", None, None, &p.note)?;
        self.baseline(bearing, &p.as_set_nm)
    }

    pub(super) fn assembled(&self, p: &Assembled) -> Result<()> {
        let (bearing, chock) = (self.thing(&p.bearing)?, self.thing(&p.chock)?);
        if self.is_gone(bearing)? || self.is_gone(chock)? {
            return Ok(());
        }
        self.must_be_here(bearing)?;
        self.must_be_here(chock)?;
        self.begin_stay(bearing, chock, &p.seat, p.zone)
    }

    pub(super) fn taken_out(&self, p: &TakenOut) -> Result<()> {
        let bearing = self.thing(&p.bearing)?;
        if self.is_gone(bearing)? {
            return Ok(());
        }
        self.chock_must_be_here(bearing)?;
        if self.end_stay(bearing)?.is_none() {
            return self.in_no_chock(bearing);
        }
        self.put(bearing, "shop", None, None, &p.reason)
    }

    /// The rings of a bearing in its chock were turned: a stay ends, and another begins in the same seat.
    pub(super) fn zone_turned(&self, p: &ZoneTurned) -> Result<()> {
        let bearing = self.thing(&p.bearing)?;
        if self.is_gone(bearing)? {
            return Ok(());
        }
        self.chock_must_be_here(bearing)?;
        let Some((_, chock, seat)) = self.open_stay(bearing)? else {
            return self.in_no_chock(bearing);
        };
        self.note_thing(chock)?;
        self.end_stay(bearing)?;
        self.begin_stay(bearing, chock, &seat, p.zone)
    }

    pub(super) fn in_no_chock(&self, bearing: ThingNo) -> Result<()> {
        self.conflict(&format!(
            "{} is in no chock on {}: enter first where it was put in",
            self.code(bearing)?,
            self.event.at.date()
        ))
    }

    pub(super) fn mounted(&self, p: &Mounted) -> Result<()> {
        let (chock, roll, position) = (
            self.thing(&p.chock)?,
            self.thing(&p.roll)?,
            self.thing(&p.position)?,
        );
        if self.is_gone(chock)? || self.is_gone(roll)? {
            return Ok(());
        }
        self.must_be_here(chock)?;
        self.must_be_here(roll)?;
        let on_neck = self.half_on_neck(roll, position)?;
        let mut all = vec![chock, roll];
        all.extend(self.bearings_in(chock)?);
        all.extend(on_neck);
        for thing in all {
            self.must_be_free(thing)?;
        }
        self.halves_must_meet(chock, on_neck)?;
        self.must_find_room(chock, roll, position)?;
        let taken: Option<i64> = self
            .conn
            .prepare_cached("SELECT thing FROM place WHERE position = ?1 AND thing <> ?2")?
            .query_row(params![position.0, chock.0], |row| row.get(0))
            .optional()?;
        if let Some(other) = taken {
            self.put(ThingNo(other), "shop", None, None, "found elsewhere")?;
        }
        self.put(chock, "mill", Some(position), Some(roll), &p.note)
    }

    /// A mounting with its measurements: the same move, where it came to one.
    pub(super) fn mounting_sheet(&self, p: &MountingSheet) -> Result<()> {
        let chock = self.thing(&p.chock)?;
        self.thing_opt(p.bearing.as_ref())?;
        self.thing_opt(p.inner.as_ref())?;
        self.thing_opt(p.fitter.as_ref())?;
        let roll = self.thing_opt(p.roll.as_ref())?;
        let position = self.thing_opt(p.position.as_ref())?;
        // The bearing is not torn down by it: its column stays empty, so that no clearance of a bench is read from it.
        self.conn.execute(
            "INSERT INTO sheet (event, kind, chock, roll, position, recommended, decided, side)
             VALUES (?1, 'mounting_sheet', ?2, ?3, ?4, '', ?5, (SELECT side FROM position WHERE no = ?4))",
            params![
                self.event.no,
                chock.0,
                roll.map(|t| t.0),
                position.map(|t| t.0),
                if p.is_mounted {
                    "mounted"
                } else {
                    "not_mounted"
                },
            ],
        )?;
        self.body(&p.body, None)?;
        match (&p.roll, &p.position) {
            (Some(roll), Some(position)) if p.is_mounted => self.mounted(&Mounted {
                chock: p.chock.clone(),
                roll: roll.clone(),
                position: position.clone(),
                note: String::new(),
            }),
            _ => Ok(()),
        }?;
        // After the move, so that an amendment that tells a crack does not make its own mounting untrue.
        self.hold_cracked(roll, &p.body)
    }

    pub(super) fn dismounted(&self, p: &Dismounted) -> Result<()> {
        let chock = self.thing(&p.chock)?;
        match self.place(chock)? {
            Some(at) if at.kind == "mill" => self.put(chock, "shop", None, None, ""),
            _ => self.conflict(&format!("{} is not in the mill", self.code(chock)?)),
        }
    }

    pub(super) fn campaign(&self, p: &Campaign) -> Result<()> {
        // A campaign is found through its chocks; it is not listed with each thing it names (tens of thousands).
        let find = |name| super::find(self.conn, name, self.event.id.origin);
        let roll = find(&p.roll)?;
        let (chock_o, chock_d) = (find(&p.chock_o)?, find(&p.chock_d)?);
        let (position_o, position_d) = (find(&p.position_o)?, find(&p.position_d)?);
        if chock_o == chock_d {
            return self.conflict("a roll has a chock on each side, and they are two");
        }
        let to_ms = self.event.at.ms.max(p.from_ms);
        // A sum of many weeks names a roll and a position only by way of example.
        if !p.is_estimate {
            self.must_have_been_free("roll", roll, p.from_ms, to_ms)?;
        }
        self.was_gone(roll, p.from_ms)?;
        for (chock, position) in [(chock_o, position_o), (chock_d, position_d)] {
            self.must_have_been_free("chock", chock, p.from_ms, to_ms)?;
            if !p.is_estimate {
                self.must_have_been_free("position", position, p.from_ms, to_ms)?;
            }
            self.was_gone(chock, p.from_ms)?;
        }
        for (chock, position) in [(chock_o, position_o), (chock_d, position_d)] {
            self.conn
                .prepare_cached(
                    "INSERT INTO run (campaign, chock, position, roll, from_ms, to_ms, run_s, rolled_kg, is_estimate,
                        radial_n, axial_n, speed_mrpm)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)",
                )?
                .execute(params![
                    self.event.no,
                    chock.0,
                    position.0,
                    roll.0,
                    p.from_ms,
                    to_ms,
                    p.run_s,
                    p.rolled_kg,
                    p.is_estimate,
                    p.radial_n,
                    p.axial_n,
                    p.speed_mrpm
                ])?;
            self.conn
                .prepare_cached(
                    "UPDATE stay SET run_s = run_s + ?3, rolled_kg = rolled_kg + ?4, campaigns = campaigns + 1,
                        has_estimate = max(has_estimate, ?5)
                     WHERE chock = ?1 AND from_ms <= ?2 AND (to_ms IS NULL OR to_ms > ?2)",
                )?
                .execute(params![chock.0, p.from_ms, p.run_s, p.rolled_kg, p.is_estimate])?;
        }
        if !p.is_estimate {
            self.conn
                .prepare_cached(
                    "UPDATE stay SET run_s = run_s + ?3, rolled_kg = rolled_kg + ?4, campaigns = campaigns + 1
                     WHERE chock = ?1 AND seat LIKE 'neck%' AND from_ms <= ?2 AND (to_ms IS NULL OR to_ms > ?2)",
                )?
                .execute(params![roll.0, p.from_ms, p.run_s, p.rolled_kg])?;
        }
        self.must_have_been_there(&Ran {
            chocks: [(chock_o, position_o), (chock_d, position_d)],
            roll,
            from_ms: p.from_ms,
            to_ms,
            is_estimate: p.is_estimate,
        })
    }

    /// No other campaign had it at that time. `column` is `chock`, `roll` or `position`.
    fn must_have_been_free(
        &self,
        column: &str,
        thing: ThingNo,
        from_ms: i64,
        to_ms: i64,
    ) -> Result<()> {
        let measured = if column == "chock" {
            ""
        } else {
            "AND is_estimate = 0"
        };
        let sql = format!(
            "SELECT campaign FROM (SELECT campaign, to_ms FROM run WHERE {column} = ?1 {measured} AND from_ms < ?3
             ORDER BY from_ms DESC LIMIT 1) WHERE to_ms > ?2"
        );
        let overlap: Option<i64> = self
            .conn
            .prepare_cached(&sql)?
            .query_row(params![thing.0, from_ms, to_ms], |row| row.get(0))
            .optional()?;
        if overlap.is_none() {
            return Ok(());
        }
        self.conflict(&format!(
            "{} was in another campaign at that time: one place at a time",
            self.code(thing)?
        ))
    }

    pub(super) fn sent_out(&self, p: &SentOut) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        if self.is_gone(thing)? {
            return Ok(());
        }
        self.must_be_here(thing)?;
        self.must_be_bare(thing, true)?;
        self.end_stay(thing)?;
        self.put(thing, "away", None, None, &p.to)
    }

    pub(super) fn returned(&self, p: &Returned) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        if self.is_gone(thing)? {
            return Ok(());
        }
        if self.place(thing)?.is_none_or(|at| at.kind != "away") {
            return self.conflict(&format!(
                "{} is not away: enter that it was sent out first",
                self.code(thing)?
            ));
        }
        self.put(thing, "shop", None, None, &p.note)?;
        // What a sheet held for outside work is free again once it is certified and measured; what a person held stays
        // held.
        let is_accepted =
            !p.certificate.trim().is_empty() && (!p.as_set_nm.is_empty() || p.body.is_some());
        if is_accepted {
            self.conn.execute(
                "UPDATE hold SET released_event = ?2 WHERE thing = ?1 AND released_event IS NULL
                    AND (event IN (SELECT event FROM sheet WHERE decided = 'recondition')
                        OR event IN (SELECT event FROM sheet WHERE roll = ?1 OR chock = ?1))",
                params![thing.0, self.event.no],
            )?;
        }
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
        if self.is_gone(thing)? {
            return Ok(());
        }
        self.held(thing, &p.reason)
    }

    pub(super) fn held(&self, thing: ThingNo, reason: &str) -> Result<()> {
        self.conn.execute(
            "INSERT INTO hold (thing, event, reason) VALUES (?1, ?2, ?3)",
            params![thing.0, self.event.no, reason],
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
            self.conflict(&format!("{} is not on hold", self.code(thing)?))
        } else {
            Ok(())
        }
    }

    pub(super) fn scrapped(&self, p: &Scrapped) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        if self.is_gone(thing)? {
            return Ok(());
        }
        self.must_be_here(thing)?;
        self.must_be_bare(thing, false)?;
        self.end_stay(thing)?;
        self.end_pair(thing)?;
        // Nothing waits for a thing that is gone.
        self.conn.execute(
            "UPDATE hold SET released_event = ?2 WHERE thing = ?1 AND released_event IS NULL",
            params![thing.0, self.event.no],
        )?;
        self.put(thing, "scrapped", None, None, &p.reason)
    }
}
