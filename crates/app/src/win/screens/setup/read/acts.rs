//! What happened to a thing: from what was typed to what is entered.

use store::entry::{self, Quantity};
use store::payload::{
    Assembled, Attached, BatchBlocked, Campaign, ConditionReading, Cost, DeviationAccepted,
    Dismounted, Extension, FoundHere, GaugeCalibrated, GaugeFoundOut, Greased, Hold,
    InspectedAtReceipt, KeptFile, MillIncident, MillJob, Mounted, Paired, Payload, PositionWork,
    Received, Released, Returned, Scrapped, SeatCheck, SentOut, SheetBody, SpacersReground,
    TakenOut, TeardownPlanned, Unpaired, ZoneTurned,
};
use store::{Ref, Stamp, ThingNo};

use super::{Reader, gauge_measures};
use crate::win::screens::setup::fields::{gauge_unit, money_hint};
use crate::win::screens::setup::form::Act;
use crate::win::screens::setup::page::Page;
use crate::win::screens::setup::seat_check::SIZES;
use crate::win::screens::setup::type_values::limit_words;
use crate::win::screens::setup::unit::Unit;

impl Reader<'_> {
    pub(super) fn act(&mut self, act: Act, no: ThingNo, at: Stamp) -> Payload {
        let own = self.named("when", no);
        match act {
            Act::Received => Payload::Received(Received {
                bearing: own,
                as_set_nm: self.three("set", 5_000_000),
                spacer_nm: self.three("spacer", 500_000_000),
                certificate: self.words("certificate"),
                note: self.words("note"),
            }),
            Act::PutIn => Payload::Assembled(Assembled {
                bearing: own,
                chock: self.thing_needed("chock", "chock"),
                seat: self.one_of("seat", "missing: which seat"),
                zone: self
                    .one_of("zone", "missing: the load zone that is up")
                    .parse()
                    .unwrap_or(0),
                note: self.words("note"),
            }),
            Act::Inspected => Payload::InspectedAtReceipt(InspectedAtReceipt {
                bearing: own,
                condition: self.words_needed("condition", "missing: what was seen"),
                is_accepted: self.yes("accepted", "missing: whether it is accepted"),
                claim: self.words("claim"),
            }),
            Act::Hold => Payload::Hold(Hold {
                thing: own,
                reason: self.words_needed("reason", "missing: why, and what for"),
            }),
            Act::Released => Payload::Released(Released {
                thing: own,
                reason: self.words_needed("reason", "missing: why it may go on"),
            }),
            Act::Deviation => Payload::DeviationAccepted(DeviationAccepted {
                thing: own,
                code: self.words_needed("code", "missing: number of the deviation"),
                text: self.words_needed("text", "missing: what is accepted, until when"),
            }),
            Act::SentOut => Payload::SentOut(SentOut {
                thing: own,
                to: self.words_needed("to", "missing: to whom"),
                packet: self.words("packet"),
            }),
            Act::Returned => Payload::Returned(Returned {
                thing: own,
                certificate: self.words("certificate"),
                note: self.words("note"),
                as_set_nm: self.three("set", 5_000_000),
                body: None,
            }),
            Act::Scrapped => Payload::Scrapped(Scrapped {
                thing: own,
                reason: self.words_needed("reason", "missing: why"),
                witness: self.thing_needed("witness", "person"),
            }),
            Act::Cost => Payload::Cost(Cost {
                thing: own,
                amount_minor: self.money("amount"),
                text: self.words_needed("text", "missing: what for"),
            }),
            Act::Condition => Payload::ConditionReading(self.condition(own)),
            Act::Extension => Payload::Extension(Extension {
                chock: own,
                until_ms: self.until(),
                reason: self.words_needed("reason", "missing: why, and what is watched"),
            }),
            Act::Planned => Payload::TeardownPlanned(TeardownPlanned {
                chock: own,
                planned_ms: self.planned(),
                reason: self.words_needed("reason", "missing: why it is not torn down yet"),
            }),
            Act::Blocked => Payload::BatchBlocked(BatchBlocked {
                batch: own,
                reason: self.words_needed("reason", "missing: why"),
            }),
            Act::TakenOut => Payload::TakenOut(TakenOut {
                bearing: own,
                reason: self.words_needed("reason", "missing: why"),
            }),
            Act::Mounted => Payload::Mounted(Mounted {
                chock: own,
                roll: self.thing_needed("roll", "roll"),
                position: self.thing_needed("position", "position"),
                note: self.words("note"),
            }),
            Act::FoundHere => Payload::FoundHere(self.found(own)),
            Act::SeatChecked => Payload::SeatCheck(self.seat_check(own)),
            Act::CameOff => Payload::Dismounted(Dismounted { chock: own }),
            Act::Campaign => Payload::Campaign(self.campaign(at)),
            Act::OnNeck => Payload::Assembled(Assembled {
                bearing: own,
                chock: self.thing_needed("roll", "roll"),
                seat: self.one_of("neck", "missing: which neck"),
                zone: 0,
                note: self.words("note"),
            }),
            Act::Paired => Payload::Paired(Paired {
                outer: own,
                inner: self.thing_needed("inner", "bearing"),
            }),
            Act::Unpaired => Payload::Unpaired(Unpaired {
                outer: own,
                reason: self.words_needed("reason", "missing: why"),
            }),
            Act::Turned => Payload::ZoneTurned(ZoneTurned {
                bearing: own,
                zone: self
                    .one_of("zone", "missing: the load zone that is up")
                    .parse()
                    .unwrap_or(0),
                reason: self.words("reason"),
            }),
            Act::Reground => Payload::SpacersReground(SpacersReground {
                bearing: own,
                spacer_nm: self.three_needed("spacer", 500_000_000),
                clearance_nm: self.three_needed("set", 5_000_000),
                reason: self.words_needed("reason", "missing: who ordered it, and why"),
            }),
            Act::Greased => Payload::Greased(Greased {
                bearing: own,
                grease: self.thing_needed("grease", "grease"),
                amount_mg: self.scaled_needed("amount", 1_000, "missing: what the scales say, g"),
                note: self.words("note"),
            }),
            Act::Attached => Payload::Attached(Attached {
                thing: own,
                what: self.one_of("what", "missing: what it is"),
                text: self.words("text"),
                file: self.file(),
            }),
            Act::FoundOut => Payload::GaugeFoundOut(GaugeFoundOut {
                gauge: own,
                error: self.number_needed(
                    "error",
                    gauge_unit(gauge_measures(self.model)),
                    "missing: what it shows minus what is true",
                ),
                text: self.words_needed("text", "missing: on which standard it was found"),
            }),
            Act::Incident => {
                let force_n = (!self.words("force").is_empty())
                    .then(|| self.scaled_needed("force", 1_000_000, ""));
                Payload::MillIncident(MillIncident {
                    position: own,
                    what: self.one_of("what", "missing: what happened"),
                    force_n,
                    chocks: self.things("chocks", "chock"),
                    text: self.words("text"),
                    is_early_teardown: self
                        .yes("early", "missing: whether they are torn down early"),
                })
            }
            Act::Worked => Payload::PositionWork(PositionWork {
                position: own,
                what: self.one_of("what", "missing: what was worked on"),
                width_nm: self.three("width", 5_000_000_000),
                text: self.words_needed("text", "missing: what was done"),
            }),
            Act::MillJob => Payload::MillJob(MillJob {
                position: own,
                text: self.words_needed("text", "missing: what is wrong, or was done"),
                is_done: self.yes("done", "missing: whether it is done"),
            }),
            Act::Calibrated => {
                let unit = gauge_unit(gauge_measures(self.model));
                if self.words("uncertainty").is_empty() {
                    self.wrong("uncertainty", "missing: U of the certificate");
                }
                Payload::GaugeCalibrated(GaugeCalibrated {
                    gauge: own,
                    certificate: self
                        .words_needed("certificate", "missing: the number of the certificate"),
                    due_ms: self.due(),
                    expanded_uncertainty: self.uncertainty(unit).unwrap_or(0),
                })
            }
        }
    }

    /// A neck or a bore with its readings as they are typed; the logbook judges them when the form is signed.
    fn seat_check(&mut self, thing: Ref) -> SeatCheck {
        let page = self.form.subject.page();
        let neck = if page == Page::Rolls {
            self.one_of("neck", "missing: which neck")
        } else {
            String::new()
        };
        let bearing_type = self.thing_needed("type", "bearing_type");
        self.thing_needed("gauge", "gauge");
        self.thing("thermometer", "gauge");
        for path in ["check_standard", "check_read"] {
            self.number(path, Unit::Length);
        }
        for path in ["temp_first", "temp_gauge", "temp_last"] {
            self.number(path, Unit::Celsius);
        }
        let mut sizes = 0;
        for field in SIZES.iter().flatten() {
            sizes += usize::from(!self.words(field.path).is_empty());
            self.number(field.path, Unit::Length);
        }
        if sizes == 0 {
            self.wrong(SIZES[0][0].path, "missing: nothing is measured yet");
        }
        SeatCheck {
            thing,
            neck,
            bearing_type,
            body: SheetBody::default(),
            note: self.words_needed("note", "missing: why it was measured"),
        }
    }

    /// A bearing in a chock, on a neck or loose; a chock in the mill or in the shop.
    fn found(&mut self, thing: Ref) -> FoundHere {
        let (chock, roll) = (self.thing("chock", "chock"), self.thing("roll", "roll"));
        let position = self.thing("position", "position");
        let is_bearing = self.form.subject.page() == Page::Bearings;
        if chock.is_some() && roll.is_some() {
            self.wrong("roll", "one place at a time: in a chock, or on a neck");
        }
        if !is_bearing && roll.is_some() != position.is_some() {
            let path = if roll.is_some() { "position" } else { "roll" };
            self.wrong(path, "missing: a chock in the mill is on a roll and in a position; both empty: in the shop");
        }
        let seat = match (&chock, &roll) {
            (Some(_), _) => self.one_of("seat", "missing: which seat"),
            (None, Some(_)) if is_bearing => self.one_of("neck", "missing: which neck"),
            _ => String::new(),
        };
        let zone = if chock.is_some() {
            self.one_of("zone", "missing: the load zone that is up")
        } else {
            String::new()
        };
        FoundHere {
            thing,
            on: chock.or(roll),
            seat,
            position,
            zone: zone.parse().unwrap_or(0),
            reason: self.words_needed("reason", "missing: who saw it, and where"),
        }
    }

    /// Three values, none missing.
    fn three_needed(&mut self, stem: &str, max: i64) -> Vec<i64> {
        let values = self.three(stem, max);
        if values.len() < 3 {
            let first = format!("{stem}{}", values.len() + 1);
            self.wrong(&first, "missing: all three are measured");
        }
        values
    }

    /// A number of people's unit, as the record has it.
    fn scaled_needed(&mut self, path: &str, per_one: i64, missing: &str) -> i64 {
        let text = self.words(path);
        if text.is_empty() {
            self.wrong(path, missing);
            return 0;
        }
        let is_comma = self.form.show.comma;
        entry::amount(&text, per_one, is_comma).unwrap_or_else(|why| {
            self.wrong(path, why.to_string());
            0
        })
    }

    /// Things of one sort by their codes, with spaces or commas between.
    fn things(&mut self, path: &str, entity: &str) -> Vec<Ref> {
        let codes = self.words(path);
        let mut all = Vec::new();
        for code in codes.split([' ', ',', ';']).filter(|code| !code.is_empty()) {
            match self.model.find(entity, code).map(|thing| thing.no) {
                Some(no) => all.push(self.named(path, no)),
                None => self.wrong(path, format!("{code:?} is not in the register")),
            }
        }
        all
    }

    /// The file of a document: it is read when the form is signed; until then only its name is known.
    fn file(&mut self) -> KeptFile {
        let name = self.words_needed("file", "missing: which file");
        KeptFile {
            hash: String::new(),
            name,
            media: String::new(),
            bytes: 0,
            original_hash: String::new(),
            thumbnail_hash: String::new(),
        }
    }

    /// Up to three values from the barrel; none missing between them.
    fn three(&mut self, stem: &str, max: i64) -> Vec<i64> {
        let mut values = Vec::new();
        for pair in 1..=3 {
            let path = format!("{stem}{pair}");
            let Some(value) = self.number(&path, Unit::Length) else {
                continue;
            };
            if !(0..=max).contains(&value) {
                let most = limit_words(max, self.form.show);
                self.wrong(&path, format!("not possible: this goes from 0 to {most}"));
            }
            if values.len() + 1 < pair {
                self.wrong(&path, "the values before this one are missing");
            }
            values.push(value);
        }
        values
    }

    fn campaign(&mut self, at: Stamp) -> Campaign {
        let from = self.time("from");
        if self.words("from").is_empty() {
            self.wrong("from", "missing: when the roll went in");
        } else if from.is_some_and(|from| from.ms >= at.ms) {
            self.wrong("when", "it came out after it went in");
        }
        let run_s = self.number_needed("hours", Unit::Hours, "missing: mill hours, by the counter");
        let rolled_kg = self.number("rolled", Unit::Tonnes).unwrap_or(0);
        if let Some(from) = from
            && at.ms > from.ms
            && run_s > (at.ms - from.ms) / 1000 + 60
        {
            self.wrong("hours", "more hours than lie between in and out");
        }
        let radial_n = self.number("radial", Unit::Kilonewton);
        let axial_n = self.number("axial", Unit::Kilonewton);
        let speed_mrpm = self.number("speed", Unit::PerMinute);
        for (path, value) in [
            ("hours", run_s),
            ("rolled", rolled_kg),
            ("radial", radial_n.unwrap_or(0)),
            ("axial", axial_n.unwrap_or(0)),
            ("speed", speed_mrpm.unwrap_or(0)),
        ] {
            if value < 0 {
                self.wrong(path, "not possible below zero");
            }
        }
        if radial_n.is_some() != speed_mrpm.is_some() {
            let path = if radial_n.is_some() {
                "speed"
            } else {
                "radial"
            };
            self.wrong(path, "missing: force and speed say something together only");
        }
        Campaign {
            roll: self.thing_needed("roll", "roll"),
            position_o: self.thing_needed("position_o", "position"),
            position_d: self.thing_needed("position_d", "position"),
            chock_o: self.thing_needed("chock_o", "chock"),
            chock_d: self.thing_needed("chock_d", "chock"),
            from_ms: from.map_or(0, |at| at.ms),
            run_s,
            rolled_kg,
            is_estimate: self.yes(
                "estimate",
                "missing: whether hours or tonnes are an estimate",
            ),
            radial_n,
            axial_n,
            speed_mrpm,
            batch: None,
        }
    }

    /// A reading in the unit of what was read; leakage is told in words.
    fn condition(&mut self, chock: Ref) -> ConditionReading {
        let what = self.one_of("what", "missing: what was read");
        let text = self.words("value");
        let value = match what.as_str() {
            "temperature" if !text.is_empty() => {
                match entry::read(&text, Quantity::Temperature, self.form.show.unit) {
                    Ok(typed) => Some(typed.value),
                    Err(why) => {
                        self.wrong("value", why.to_string());
                        None
                    }
                }
            }
            "vibration" | "noise" if !text.is_empty() => {
                let (per_one, sign) = if what == "vibration" {
                    (1_000_000, "mm/s")
                } else {
                    (100, "dB")
                };
                let number = text.strip_suffix(sign).unwrap_or(&text).trim_end();
                match entry::amount(number, per_one, self.form.show.comma) {
                    Ok(value) => Some(value),
                    Err(why) => {
                        self.wrong("value", why.to_string());
                        None
                    }
                }
            }
            _ => None,
        };
        let words = self.words("text");
        if value.is_none() && words.is_empty() {
            self.wrong("value", "missing: a value, or words below");
        }
        ConditionReading {
            chock,
            what,
            value,
            text: words,
            is_early_teardown: self.yes("early", "missing: whether it is torn down early"),
        }
    }

    /// The day a teardown is planned for; none where there is none yet.
    fn planned(&mut self) -> Option<i64> {
        self.time("planned").map(|at| at.ms)
    }

    /// The end of an extension: that whole day.
    fn until(&mut self) -> i64 {
        let until = self.time("until").map(|at| at.ms);
        if until.is_none() {
            self.wrong("until", "missing: until which day, such as 2031-03-14");
        }
        until.unwrap_or(0)
    }

    /// Money, in hundredths.
    fn money(&mut self, path: &str) -> i64 {
        let text = self.words(path);
        let comma = self.form.show.comma;
        if text.is_empty() {
            let hint = money_hint(comma);
            self.wrong(path, format!("missing: an amount, {hint}"));
            return 0;
        }
        entry::amount(&text, 100, comma).unwrap_or_else(|why| {
            self.wrong(path, why.to_string());
            0
        })
    }
}
