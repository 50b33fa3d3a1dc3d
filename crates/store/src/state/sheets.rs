//! How signed sheets become sheets, readings, outcomes and verdicts.

use calc::conformity::Verdict;
use calc::load_zone::Zone;
use rusqlite::params;

use super::Applying;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{
    Judgement, MountingSheet, SeatCheck, SheetBody, SpacersReground, TeardownSheet,
};

/// Where the sheets say what the crack test of a roll neck showed.
const CRACK_TESTS: [&str; 2] = ["neck.cracks", "mount.neck.cracks"];

impl Applying<'_> {
    pub(super) fn teardown_sheet(&self, p: &TeardownSheet) -> Result<()> {
        let (bearing, chock) = (self.thing(&p.bearing)?, self.thing(&p.chock)?);
        let roll = self.thing_opt(p.roll.as_ref())?;
        let position = self.thing_opt(p.position.as_ref())?;
        let inner = self.inner_halves(bearing, roll, position)?;
        for half in &inner {
            self.note_thing(*half)?;
        }
        let is_gone = self.is_gone(bearing)?;
        self.chock_must_be_here(bearing)?;
        let open = self.open_stay(bearing)?;
        match &open {
            None => self.in_no_chock(bearing)?,
            Some((_, found, _)) if *found != chock => self.conflict(&format!(
                "{} is in {}, not in {}",
                self.code(bearing)?,
                self.code(*found)?,
                self.code(chock)?
            ))?,
            Some(_) => {}
        }
        let stay = self.end_stay(bearing)?;
        self.zone_was(stay, &p.body)?;
        self.conn.execute(
            "INSERT INTO sheet (event, kind, bearing, chock, roll, position, stay, recommended, decided, zone, side)
             VALUES (?1, 'teardown_sheet', ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9,
               (SELECT side FROM position WHERE no = ?5))",
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
        self.body(&p.body, Some(bearing))?;
        self.hold_cracked(roll, &p.body)?;
        self.hold_cracked_inner(&inner, &p.body)?;
        // Put back into the same chock, the engineer has signed for its bore.
        let into = p.reassembly.as_ref().map(|again| &again.chock);
        if self.thing_opt(into)? != Some(chock) {
            self.hold_unfit(Some(chock), &p.body)?;
        }
        if is_gone {
            return Ok(());
        }
        let decided = &p.decision.decided;
        self.put(bearing, "shop", None, None, decided)?;
        // What a sheet does not send back to work stays out of it until the engineer or its return says otherwise.
        if let Some(again) = &p.reassembly {
            let chock = self.thing(&again.chock)?;
            if self.is_gone(chock)? {
                return Ok(());
            }
            self.must_be_here(chock)?;
            let seat = open.map_or_else(|| "main".to_owned(), |(_, _, seat)| seat);
            self.begin_stay(bearing, chock, &seat, again.zone)
        } else {
            self.held(
                bearing,
                &format!("decided on the sheet: {}", words(decided)),
            )
        }
    }

    /// A zone that was found up and noted is the one that the stay ran with, whatever was written when it began: rings do
    /// not turn in the mill. `zone_found` alone does not say so, since it repeats the record where nobody noted anything.
    fn zone_was(&self, stay: Option<i64>, body: &SheetBody) -> Result<()> {
        let noted = body.entries.iter().find(|e| e.path == "identify.zone");
        let zone = noted.and_then(|e| e.text.parse::<Zone>().ok());
        if let (Some(stay), Some(zone)) = (stay, zone) {
            self.conn
                .prepare_cached("UPDATE stay SET zone = ?2 WHERE no = ?1")?
                .execute(params![stay, zone.index() as i64 + 1])?;
        }
        Ok(())
    }

    /// A roll whose neck shows a crack waits until it is back from repair, or the engineer says otherwise; whichever
    /// sheet found it.
    pub(super) fn hold_cracked(&self, roll: Option<ThingNo>, body: &SheetBody) -> Result<()> {
        let is_cracked = body
            .entries
            .iter()
            .any(|e| CRACK_TESTS.contains(&e.path.as_str()) && e.text.ends_with("_crack"));
        match roll {
            Some(roll) if is_cracked && !self.is_gone(roll)? => {
                self.held(roll, "the crack test of its neck shows a crack")
            }
            _ => Ok(()),
        }
    }

    /// A chock that fails waits until it is back from repair, or the engineer says otherwise.
    fn hold_unfit(&self, chock: Option<ThingNo>, body: &SheetBody) -> Result<()> {
        let fails = |about: &str| {
            let failed = body.verdicts.iter();
            let about = about.to_owned();
            failed
                .filter(move |v| v.about.starts_with(&about) && v.verdict == Verdict::Fail.as_str())
        };
        let bore: Vec<String> = fails("bore_")
            .map(|v| match v.about.as_str() {
                "bore_ovality" => format!("ovality of plane {}", v.item),
                "bore_mean" => "mean size".into(),
                "bore_smallest" => "smallest size".into(),
                "bore_largest" => "largest size".into(),
                other => other.trim_start_matches("bore_").replace('_', " "),
            })
            .collect();
        let mut told = Vec::new();
        if !bore.is_empty() {
            told.push(format!("its bore fails: {}", bore.join(", ")));
        }
        told.extend(fails("chock_").map(|v| match v.about.as_str() {
            "chock_shoulder" => "its shoulder is out of square".into(),
            "chock_cover_face" => "its cover face is out of flat".into(),
            "chock_width" => "its liners are worn".into(),
            other => format!(
                "its {} fails",
                other.trim_start_matches("chock_").replace('_', " ")
            ),
        }));
        match chock {
            Some(chock) if !told.is_empty() && !self.is_gone(chock)? => {
                self.held(chock, &told.join("; "))
            }
            _ => Ok(()),
        }
    }

    /// A sheet that let its bearing go and, as amended, would not have: the bearing waits until the engineer has looked
    /// at it.
    pub(super) fn barred_anew(&self, written: &TeardownSheet, now: &TeardownSheet) -> Result<()> {
        let bearing = self.thing(&now.bearing)?;
        if now.reassembly.is_none() || self.is_gone(bearing)? {
            return Ok(());
        }
        match worse(written, now) {
            Some(why) => self.held(bearing, &format!("its sheet was amended: {why}")),
            None => Ok(()),
        }
    }

    /// The same of a mounting: a chock that, as amended, would not have gone on comes off when the engineer says so, and
    /// does not go on again before.
    pub(super) fn unmounted_anew(
        &self,
        written: &MountingSheet,
        now: &MountingSheet,
    ) -> Result<()> {
        let chock = self.thing(&now.chock)?;
        let failed = fails_anew([&written.body, &now.body], |_| true);
        match failed {
            Some(why) if now.is_mounted && !self.is_gone(chock)? => {
                self.held(chock, &format!("its mounting was amended: {why}"))
            }
            _ => Ok(()),
        }
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
        self.hold_unfit((entity == "chock").then_some(thing), body)?;
        self.body(body, Some(thing))
    }

    /// A neck or a bore that was measured apart from a teardown; it moves nothing.
    pub(super) fn seat_check(&self, p: &SeatCheck) -> Result<()> {
        let thing = self.thing(&p.thing)?;
        self.thing(&p.bearing_type)?;
        self.measured_after_return(thing, p)?;
        let is_neck = !p.neck.is_empty();
        self.conn.execute(
            "INSERT INTO sheet (event, kind, chock, roll, recommended, decided, side)
             VALUES (?1, 'seat_check', ?2, ?3, '', '', ?4)",
            params![
                self.event.no,
                (!is_neck).then_some(thing.0),
                is_neck.then_some(thing.0),
                is_neck.then_some(&p.neck),
            ],
        )?;
        self.hold_cracked(is_neck.then_some(thing), &p.body)?;
        self.hold_unfit((!is_neck).then_some(thing), &p.body)?;
        self.body(&p.body, Some(thing))
    }

    /// Spacers that were reground outside a sheet: what was measured afterwards.
    pub(super) fn spacers_reground(&self, p: &SpacersReground) -> Result<()> {
        let bearing = self.thing(&p.bearing)?;
        if self.is_gone(bearing)? {
            return Ok(());
        }
        self.must_be_here(bearing)?;
        self.conn.execute(
            "INSERT INTO sheet (event, kind, bearing, recommended, decided)
             VALUES (?1, 'spacers_reground', ?2, '', 'regrind_spacers')",
            params![self.event.no, bearing.0],
        )?;
        for (name, values) in [
            ("spacer_after_nm", &p.spacer_nm),
            ("end_play_after_nm", &p.clearance_nm),
        ] {
            for (item, value) in (1_i64..).zip(values) {
                self.conn
                    .prepare_cached(
                        "INSERT INTO outcome (event, name, item, value) VALUES (?1, ?2, ?3, ?4)",
                    )?
                    .execute(params![self.event.no, name, item, value])?;
            }
        }
        Ok(())
    }

    pub(super) fn body(&self, body: &SheetBody, thing: Option<ThingNo>) -> Result<()> {
        let event = self.event.no;
        for (item, photo) in (1_i64..).zip(&body.photos) {
            self.document(item, thing, photo.finding, "photo", &photo.file, "")?;
        }
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
        for f in &body.findings {
            self.conn
                .prepare_cached(
                    "INSERT OR REPLACE INTO finding (event, item, part, row, mode, severity, from_ddeg, to_ddeg, size_nm, note)
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
                )?
                .execute(params![
                    event, f.number, f.part, f.row, f.mode, f.severity, f.from_ddeg, f.to_ddeg, f.size_nm, f.note
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

/// A disposition in words, as it stands in a reason.
fn words(decided: &str) -> String {
    decided.replace('_', " ")
}

/// What an amended sheet says against its bearing that it did not say before.
fn worse(written: &TeardownSheet, now: &TeardownSheet) -> Option<String> {
    const BARS: [&str; 4] = [
        "hold_for_engineer",
        "recondition",
        "scrap",
        "regrind_spacers",
    ];
    let advised = &now.decision.recommended;
    if *advised != written.decision.recommended
        && *advised != now.decision.decided
        && BARS.contains(&advised.as_str())
    {
        return Some(format!("it says {} now", words(advised)));
    }
    // What was found before a regrind fails as a rule; what it was left with does not.
    let is_reground = now.decision.decided == "regrind_spacers";
    let before = ["clearance", "spacer_parallel"];
    let counts = |v: &Judgement| !(is_reground && before.contains(&v.about.as_str()));
    fails_anew([&written.body, &now.body], counts)
}

/// The first verdict that fails on an amended sheet and did not before, of those that count.
fn fails_anew(
    [written, now]: [&SheetBody; 2],
    counts: impl Fn(&Judgement) -> bool,
) -> Option<String> {
    let fails = |v: &Judgement| v.verdict == Verdict::Fail.as_str();
    let failed = |v: &Judgement| {
        let mut all = written.verdicts.iter();
        all.any(|old| old.about == v.about && old.item == v.item && fails(old))
    };
    let mut all = now.verdicts.iter();
    let new = all.find(|v| fails(v) && counts(v) && !failed(v))?;
    let about = words(new.about.trim_start_matches("mount_"));
    Some(match new.item {
        0 => format!("{about} fails now"),
        item => format!("{about} {item} fails now"),
    })
}
