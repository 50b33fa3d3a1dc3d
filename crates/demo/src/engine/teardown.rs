//! A teardown: read, assess, decide, sign. The sheet's own rules say what is recommended; the demo follows them
//! unless a story decides otherwise.

use calc::disposition::Disposition;
use store::Ref;
use store::draft::Fields;
use store::entry::LengthUnit;
use store::sheet::field::{self, PAIRS, SeatName};
use store::sheet::{Assessment, Facts, ShimView, SignTeardown, assess, sign};

use super::{Engine, closing};
use crate::DemoError;
use crate::bench::{self, Warmth, mm, put};
use crate::data::{Kind, Teardown, picture};
use crate::dice::Dice;
use crate::evidence::{self, Looked, Told};
use crate::plan::{ms, planes_of};
use crate::register::at_ms;

/// What a story types otherwise than it would be; an empty text leaves a field open.
fn type_over(fields: &mut Fields, typed: &std::collections::BTreeMap<String, String>) {
    for (path, text) in typed {
        if text.is_empty() {
            fields.remove(path);
        } else {
            put(fields, path, text);
        }
    }
}

impl Engine<'_> {
    pub(super) fn teardown(&mut self, t: &Teardown, now: i64) -> Result<(), DemoError> {
        self.flush()?;
        self.dice = Dice::of(self.seed, &t.chock, now);
        let at = at_ms(now);
        let kind = self.kind_in(&t.chock)?;
        if kind.family != "four_row_tapered" {
            return self.whole_teardown(t, now);
        }
        let serial = self
            .chocks
            .get(&t.chock)
            .and_then(|c| c.seats.get("main"))
            .cloned();
        let serial = serial.ok_or_else(|| DemoError::Plan {
            why: format!("{} is empty on {}", t.chock, at.date()),
        })?;
        let stained = self.seen_behind_leaky_seals(t);
        let t = stained.as_ref().unwrap_or(t);
        let mut fields = self.read(t, &serial, kind, now)?;
        let facts = Facts::load(self.logbook.connection(), &fields, at)?;
        if let Some(batch) = &facts.shop.seal_in {
            put(&mut fields, "found.seal_batch", batch.clone());
        }
        let found = assess(&fields, &facts, LengthUnit::Millimetre);
        let decided = self.decide(&mut fields, t, kind, &found);
        type_over(&mut fields, &t.fields);
        // Numbers of its own, so that what is measured does not depend on how the chock is closed.
        let mut dice = Dice::of(self.seed, &format!("closed {}", t.chock), now);
        if fields.contains_key("reassemble.chock") {
            let early = now < ms("2025-08-05")?;
            let leaky = self.gets_leaky_seals(&t.chock, kind, now)?;
            closing::close(&mut fields, kind, (early, leaky), &mut dice);
        }
        let is_late_wrench = self.takes_late_wrench(&mut fields, kind, now)?;
        // The decision names the chock that it goes back into.
        let facts = Facts::load(self.logbook.connection(), &fields, at)?;
        let whole = assess(&fields, &facts, LengthUnit::Millimetre);
        if decided == Disposition::RegrindSpacers
            && let ShimView::New(pack_nm) = whole.clearance.after.shim
        {
            closing::cover(&mut fields, pack_nm / 1000);
        }
        let foreman = t.foreman.as_deref().unwrap_or(Self::foreman(now));
        let engineer = self.signer("Roll-shop Engineer")?.clone();
        self.wear.refresh(self.logbook.connection())?;
        let sheet = SignTeardown {
            fields: &fields,
            draft: None,
            at: Some(at),
            entered: Some(match &t.entered {
                Some(text) => at_ms(ms(text)?),
                None => at.plus_ms(10 * 60_000),
            }),
            signer: &self.signer(foreman)?.clone(),
            engineer: (!whole.engineer_because.is_empty() || t.choice.is_some())
                .then_some(&engineer),
            unit: LengthUnit::Millimetre,
            wear: self.wear.wear(),
        };
        let signed = sign(&mut self.logbook, &sheet).map_err(|e| DemoError::Sheet {
            chock: t.chock.clone(),
            day: at.date(),
            source: Box::new(e),
        })?;
        self.events += 1;
        self.sheets += 1;
        let mut pack = ["shim.fitted", "shim.found"].into_iter();
        if let Some(um) = pack.find_map(|path| bench::um(&fields, path)) {
            self.packs.insert(t.chock.clone(), um);
        }
        if is_late_wrench {
            self.torqued.push(Ref::full(signed.signed.id));
        }
        self.sheet_of
            .insert(t.chock.clone(), (signed.signed, serial.clone()));
        self.leave(t, &serial, decided, &signed.assessment, now);
        Ok(())
    }

    /// The first chocks that are closed while a torque wrench is past its day get their torque from it.
    fn takes_late_wrench(
        &self,
        fields: &mut Fields,
        kind: &Kind,
        now: i64,
    ) -> Result<bool, DemoError> {
        let wrench = &self.data.stories.wrench;
        let is_late = (ms(&wrench.from)?..ms(&wrench.to)?).contains(&now)
            && self.torqued.len() < wrench.chocks
            && kind.value("bore_nm", 0) == Some(480_000_000)
            && fields.contains_key("bolts.wrench");
        if is_late {
            put(fields, "bolts.wrench", &wrench.code);
        }
        Ok(is_late)
    }

    /// Eight chocks that no story speaks of get seals of the batch SB-52, and the one of its story.
    fn gets_leaky_seals(&mut self, chock: &str, kind: &Kind, now: i64) -> Result<bool, DemoError> {
        let told = self.data.stories.step.iter();
        let is_told = told
            .filter_map(|step| step.what.taken_apart())
            .any(|c| c == chock);
        let is_of_story = chock == "WC-13" && now < ms("2025-07-01")? && now > ms("2025-02-01")?;
        let is_one_of_eight = self.leaked < 8
            && !is_told
            && kind.value("bore_nm", 0) == Some(480_000_000)
            && (ms("2024-12-10")?..ms("2025-03-10")?).contains(&now);
        if is_one_of_eight {
            self.leaked += 1;
            self.leaky.insert(chock.to_owned(), self.leaked);
        }
        Ok(is_of_story || is_one_of_eight)
    }

    /// Six of the eight have stains behind such seals, two have nothing; with the one of the story seven of nine.
    fn seen_behind_leaky_seals(&mut self, t: &Teardown) -> Option<Teardown> {
        let number = self.leaky.remove(&t.chock)?;
        let from = (number as i64) * 40 % 360;
        let stain = Told::new(
            "outer raceway",
            Some(1 + number as i64 % 4),
            "5.3.2",
            Some([from, (from + 30) % 360]),
        );
        Some(Teardown {
            findings: Some(if number % 4 == 3 {
                Vec::new()
            } else {
                vec![stain]
            }),
            ..t.clone()
        })
    }

    /// A sheet that is begun and left: the first fields in the order of the bench, the caret in the next.
    pub(super) fn leave_draft(
        &mut self,
        chock: &str,
        foreman: &str,
        filled: usize,
        now: i64,
    ) -> Result<(), DemoError> {
        self.flush()?;
        self.dice = Dice::of(self.seed, chock, now);
        let t = Teardown {
            chock: chock.to_owned(),
            ..Teardown::default()
        };
        let kind = self.kind_in(chock)?;
        let serial = self
            .chocks
            .get(chock)
            .and_then(|c| c.seats.get("main"))
            .cloned();
        let serial = serial.ok_or_else(|| DemoError::Plan {
            why: format!("{chock} is empty, and its sheet is begun"),
        })?;
        let fields = self.read(&t, &serial, kind, now)?;
        let mut order: Vec<String> = ["chock", "bearing", "roll", "position", "zone"]
            .map(|path| format!("identify.{path}"))
            .into();
        for pair in PAIRS {
            order.extend(field::GAP_DEGREES.map(|place| field::gap(pair, place)));
            order.push(field::spacer(pair));
        }
        let paths: Vec<&String> = order
            .iter()
            .filter(|path| fields.contains_key(*path))
            .collect();
        let (begun, rest) = paths.split_at(filled.min(paths.len()));
        let typed: Vec<_> = begun
            .iter()
            .map(|path| {
                (
                    path.as_str(),
                    fields[*path].text.as_str(),
                    fields[*path].source,
                )
            })
            .collect();
        let person = self.signer(foreman)?.no;
        let draft = self.logbook.start_draft("teardown_sheet", Some(person))?;
        let caret = rest.first().map_or("", |path| path.as_str());
        self.logbook.keep_draft(draft, &typed, caret)?;
        Ok(())
    }

    /// Everything that is read before anybody decides.
    fn read(
        &mut self,
        t: &Teardown,
        serial: &str,
        kind: &Kind,
        now: i64,
    ) -> Result<Fields, DemoError> {
        let mut fields = Fields::new();
        put(&mut fields, "identify.chock", &t.chock);
        put(&mut fields, "identify.bearing", serial);
        let untouched = &self.data.stories.untouched_rolls;
        let ran = self
            .chocks
            .get(&t.chock)
            .map(|c| &c.ran)
            .into_iter()
            .flatten();
        let roll = ran
            .clone()
            .rev()
            .find(|(roll, _)| !untouched.contains(roll))
            .map(|(roll, _)| roll.clone());
        if let Some(roll) = &roll {
            put(&mut fields, "identify.roll", roll);
        }
        if let Some((_, position)) = ran.last() {
            put(&mut fields, "identify.position", position);
        }
        let zone = self.zones.get(serial).copied().unwrap_or(0);
        put(
            &mut fields,
            "identify.zone",
            ["", "I", "II", "III", "IV"][zone.clamp(0, 4) as usize],
        );
        if let Some(note) = &t.note {
            put(&mut fields, "identify.note", note);
        }
        let day = at_ms(now).date();
        let remarks = self.data.stories.remarks.iter();
        let mut remarks = remarks.filter(|r| r.chock == t.chock && r.day == day);
        if let Some(remark) = remarks.next() {
            put(&mut fields, "identify.note", &remark.note);
        }
        let fitter = t
            .fitter
            .clone()
            .unwrap_or_else(|| format!("Fitter {}", self.dice.whole(1, 6)));
        put(&mut fields, "sign.fitter", fitter);
        self.look(&mut fields, t, zone, now);
        put(&mut fields, "shim.found", mm(self.pack_um(t)));
        if !t.fields.contains_key("skip.clearance") {
            self.read_stack(&mut fields, t, serial);
        }
        self.read_seats(&mut fields, t, kind, roll.as_deref(), now)?;
        type_over(&mut fields, &t.fields);
        self.show(&mut fields, t)?;
        Ok(fields)
    }

    /// The pack of shims that lies under the cover, um: as a story tells it, as it was left, or as the chock was built.
    fn pack_um(&self, t: &Teardown) -> i64 {
        let left = self.packs.get(&t.chock).copied();
        t.shim.or(left).unwrap_or_else(|| {
            let mut steps = self.data.stories.step.iter();
            let told = steps.find_map(|step| step.what.shim_of(&t.chock));
            let mut own = Dice::of(self.seed, &format!("pack {}", t.chock), 0);
            told.unwrap_or_else(|| 1_100 + 50 * own.whole(0, 16))
        })
    }

    /// Keeps the pictures of a sheet.
    fn show(&mut self, fields: &mut Fields, t: &Teardown) -> Result<(), DemoError> {
        for (finding, name) in &t.photos {
            let kept = store::attachment::prepare(picture(name)?, name)?;
            let text = serde_json::to_string(&kept.file).map_err(|e| DemoError::Data {
                file: "stories.toml",
                why: format!("{name}: {e}"),
            })?;
            self.logbook.keep_files(&[kept])?;
            put(fields, &format!("photo.{finding}.1"), text);
        }
        Ok(())
    }

    /// State as found, cleaning, findings.
    fn look(&mut self, fields: &mut Fields, t: &Teardown, zone: i64, now: i64) {
        let is_told =
            t.end_play.is_some() || t.gaps.is_some() || t.bore.is_some() || t.note.is_some();
        let nothing: &[Told] = &[];
        let told = t.findings.as_deref().or(is_told.then_some(nothing));
        let found: Vec<_> = t
            .found
            .iter()
            .map(|(what, word)| (what.clone(), word.clone()))
            .collect();
        let stand = fields
            .get("identify.position")
            .map(|f| f.text.clone())
            .unwrap_or_default();
        let stand = stand.split('-').next().unwrap_or_default();
        // Numbers of its own, so that what is measured does not depend on what is seen.
        let mut dice = Dice::of(self.seed, &format!("seen {}", t.chock), now);
        let looked = Looked {
            family: "four_row_tapered",
            stand,
            zone_up: zone,
        };
        evidence::look(fields, told, &found, &looked, &mut dice);
    }

    fn read_stack(&mut self, fields: &mut Fields, t: &Teardown, serial: &str) {
        let is_told = t.end_play.is_some() || t.gaps.is_some();
        let other = !is_told && self.dice.whole(1, 8) == 1;
        put(
            fields,
            "clearance.gauge_gap",
            if other { "GB-02" } else { "GB-01" },
        );
        put(
            fields,
            "clearance.gauge_width",
            if other { "HG-01" } else { "HG-02" },
        );
        let Some(set) = self.sets.get_mut(serial) else {
            return;
        };
        let spacers_um = t
            .spacers
            .unwrap_or(set.spacer_um.map(|um| um.round() as i64));
        if let Some(gaps_um) = t
            .gaps
            .or_else(|| t.end_play.map(|um| bench::gaps_for(um, spacers_um)))
        {
            bench::tell_stack(fields, gaps_um, spacers_um);
            for (i, um) in set.end_play_um.iter_mut().enumerate() {
                *um = spacers_um[i] as f64 - gaps_um[i].iter().sum::<i64>() as f64 / 4.0;
            }
            set.spacer_um = spacers_um.map(|um| um as f64);
        } else {
            bench::read_stack(fields, set, &mut self.dice);
        }
    }

    fn read_seats(
        &mut self,
        fields: &mut Fields,
        t: &Teardown,
        kind: &Kind,
        roll: Option<&str>,
        now: i64,
    ) -> Result<(), DemoError> {
        let nominal_um = kind.value("chock_bore_nominal_nm", 0).unwrap_or(0) as f64 / 1000.0;
        let (bore_gauge, neck_gauge) = self.seat_gauges(kind, now)?;
        let Some(chock) = self.chocks.get(&t.chock) else {
            return Ok(());
        };
        if let Some(grid) = t.bore {
            bench::read_seat(
                fields,
                SeatName::Bore,
                bore_gauge,
                &bench::told_bore(nominal_um, grid),
                Warmth::story(),
            );
        } else if chock.is_told {
            put(
                fields,
                "skip.bore",
                "bore of this chock is measured at every second teardown",
            );
        } else {
            let planes = planes_of(self.data, &t.chock);
            let sizes_um = chock.bore.sizes_um(nominal_um, planes, &mut self.dice);
            bench::read_seat(
                fields,
                SeatName::Bore,
                bore_gauge,
                &sizes_um,
                Warmth::any(&mut self.dice),
            );
        }
        let side = usize::from(
            self.slots
                .iter()
                .any(|((_, _, side), code)| *side == 1 && *code == t.chock),
        );
        if t.fields.contains_key("skip.neck") {
            return Ok(());
        }
        let Some(roll) = roll else {
            put(fields, "skip.neck", "the roll is on the grinder");
            return Ok(());
        };
        let sizes_um = bench::neck_sizes_um(kind, self.seed, roll, side, &mut self.dice);
        bench::read_seat(
            fields,
            SeatName::Neck,
            neck_gauge,
            &sizes_um,
            Warmth::any(&mut self.dice),
        );
        Ok(())
    }

    /// Gauges for bore and neck. OM-02 was away for calibration and repair in autumn 2025.
    fn seat_gauges(
        &mut self,
        kind: &Kind,
        now: i64,
    ) -> Result<(&'static str, &'static str), DemoError> {
        let is_second = self.dice.whole(1, 4) == 1;
        let is_away = (ms("2025-09-15")?..ms("2025-11-25")?).contains(&now);
        Ok(match kind.value("bore_nm", 0).unwrap_or(0) / 1_000_000 {
            480 => (
                "BG-03",
                if is_second || is_away {
                    "OM-06"
                } else {
                    "OM-02"
                },
            ),
            560 => ("BG-03", "OM-03"),
            _ => ("BG-02", "OM-01"),
        })
    }

    /// What the teardown leaves behind.
    fn leave(
        &mut self,
        t: &Teardown,
        serial: &str,
        decided: Disposition,
        a: &Assessment,
        now: i64,
    ) {
        if let Some(set) = self.sets.get_mut(serial)
            && decided == Disposition::RegrindSpacers
        {
            for i in 0..3 {
                if let Some(after_nm) = a.clearance.after.spacer_nm[i] {
                    let after_um = after_nm as f64 / 1000.0;
                    set.end_play_um[i] -= set.spacer_um[i] - after_um;
                    set.spacer_um[i] = after_um;
                }
            }
        }
        let into = t.into.as_deref().unwrap_or(&t.chock);
        if let Some(zone) = a.zone_chosen.filter(|_| a.is_reassembled) {
            self.zones
                .insert(serial.to_owned(), zone.index() as i64 + 1);
        }
        if into == t.chock && a.is_reassembled {
            self.plan_stay(into, now);
            return;
        }
        if let Some(chock) = self.chocks.get_mut(&t.chock) {
            chock.seats.clear();
            chock.is_pending = false;
        }
        self.last_out.insert(t.chock.clone(), serial.to_owned());
        if a.is_reassembled {
            if let Some(chock) = self.chocks.get_mut(into) {
                chock.seats.insert("main".into(), serial.to_owned());
            }
            self.plan_stay(into, now);
        }
    }
}
