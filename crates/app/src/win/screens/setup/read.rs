//! Reading a form: from what was typed to the event that is appended, or what is wrong with it.

mod acts;

use store::payload::{
    Bearing, BearingType, Chock, ChockType, Gauge, Grease, Line, Payload, Position, Record,
    RegisterChange, Roll, SealBatch, Seat, Stand, TypeValue,
};
use store::{NewEvent, Ref, Stamp, ThingNo};

use super::fields::{LEVELS, ROLES, SIDES, gauge_unit};
use super::form::{Form, Subject, Wrong};
use super::model::Model;
use super::page::Page;
use super::type_values;
use super::unit::Unit;

/// How things are named in a payload: by the logbook when the event is made, by anything while typing.
pub type Namer<'a> = &'a dyn Fn(ThingNo) -> store::Result<Ref>;

/// What a form means; the people have a way of their own (`people`).
///
/// # Errors
/// Everything that is wrong, field by field.
pub fn event(form: &Form, model: &Model, now: Stamp, name: Namer) -> Result<NewEvent, Vec<Wrong>> {
    let mut reader = Reader {
        form,
        model,
        now,
        name,
        wrongs: Vec::new(),
    };
    let (at, payload) = match form.subject {
        Subject::New(page) | Subject::Edit(page, _) => {
            // Limits hold from the day that the new version names.
            let from = reader.time("from");
            (from.unwrap_or(now), reader.change(page))
        }
        Subject::Act(_, act, no) => {
            let at = reader.time("when");
            (
                at.unwrap_or(now),
                Some(reader.act(act, no, at.unwrap_or(now))),
            )
        }
    };
    match payload {
        Some(payload) if reader.wrongs.is_empty() => Ok(NewEvent { at, payload }),
        _ => Err(reader.wrongs),
    }
}

/// What is wrong with a form as it stands.
pub fn wrongs(form: &Form, model: &Model, now: Stamp) -> Vec<Wrong> {
    event(form, model, now, &|no| Ok(Ref::Own(no.0)))
        .err()
        .unwrap_or_default()
}

struct Reader<'a> {
    form: &'a Form,
    model: &'a Model,
    now: Stamp,
    name: Namer<'a>,
    wrongs: Vec<Wrong>,
}

impl Reader<'_> {
    fn wrong(&mut self, path: &str, why: impl Into<String>) {
        self.wrongs.push(Wrong {
            path: path.into(),
            why: why.into(),
        });
    }

    fn words(&self, path: &str) -> String {
        self.form.text(path).trim().to_owned()
    }

    fn words_needed(&mut self, path: &str, why: &str) -> String {
        let words = self.words(path);
        if words.is_empty() {
            self.wrong(path, why);
        }
        words
    }

    /// A code that no other thing of this sort has.
    fn code(&mut self, page: Page) -> String {
        let code = self.words("code");
        self.is_free(page, "code", &code);
        code
    }

    fn is_free(&mut self, page: Page, path: &str, code: &str) {
        if code.is_empty() {
            self.wrong(path, format!("missing: what the {} is called", page.noun()));
        } else if let Some(other) = self.model.find(page.entity().unwrap_or_default(), code)
            && Some(other.no) != self.form.subject.thing()
        {
            let why = format!(
                "{} is in the register already: open it there, or choose another code",
                other.code
            );
            self.wrong(path, why);
        }
    }

    fn named(&mut self, path: &str, no: ThingNo) -> Ref {
        (self.name)(no).unwrap_or_else(|e| {
            self.wrong(path, e.to_string());
            Ref::Own(0)
        })
    }

    fn thing(&mut self, path: &str, entity: &str) -> Option<Ref> {
        let code = self.words(path);
        if code.is_empty() {
            return None;
        }
        let Some(thing) = self.model.find(entity, &code) else {
            let noun = Page::of_entity(entity).map_or("thing", Page::noun);
            self.wrong(
                path,
                format!(
                    "{code} is no {noun} of the register: choose one from the list, or add it first"
                ),
            );
            return None;
        };
        let no = thing.no;
        Some(self.named(path, no))
    }

    fn thing_needed(&mut self, path: &str, entity: &str) -> Ref {
        let before = self.wrongs.len();
        if let Some(name) = self.thing(path, entity) {
            return name;
        }
        if self.wrongs.len() == before {
            let noun = Page::of_entity(entity).map_or("thing", Page::noun);
            self.wrong(path, format!("missing: which {noun}"));
        }
        Ref::Own(0)
    }

    fn number(&mut self, path: &str, unit: Unit) -> Option<i64> {
        if let Some(value) = self.form.number_before(path) {
            return Some(value);
        }
        let text = self.words(path);
        if text.is_empty() {
            return None;
        }
        unit.read(&text, self.form.show)
            .map_err(|why| self.wrong(path, why))
            .ok()
    }

    fn number_needed(&mut self, path: &str, unit: Unit, why: &str) -> i64 {
        if self.words(path).is_empty() {
            self.wrong(path, why);
        }
        self.number(path, unit).unwrap_or(0)
    }

    fn one_of(&mut self, path: &str, why: &str) -> String {
        self.words_needed(path, why)
    }

    fn yes(&mut self, path: &str, why: &str) -> bool {
        self.one_of(path, why) == "yes"
    }

    fn time(&mut self, path: &str) -> Option<Stamp> {
        let text = self.words(path);
        if text.is_empty() || text == "now" {
            return None;
        }
        let at = Stamp::parse(&text, self.now.offset_min);
        let is_ahead = matches!(path, "due" | "until" | "planned");
        match at {
            None => self.wrong(
                path,
                format!("{text:?} is no day or time: type it as 2031-03-14 or 2031-03-14 09:30"),
            ),
            Some(at) if !is_ahead && at.ms > self.now.ms && at.date() != self.now.date() => {
                self.wrong(
                    path,
                    "this lies ahead: what happens later is entered when it has happened",
                );
            }
            Some(_) => {}
        }
        // A day alone stands for its noon; on the day itself that may not have come yet.
        at.map(|at| {
            if !is_ahead && at.ms > self.now.ms {
                self.now
            } else {
                at
            }
        })
    }

    fn due(&mut self) -> i64 {
        if self.words("due").is_empty() {
            self.wrong("due", "missing: the day of the next calibration");
        }
        self.time("due").map_or(0, |at| at.ms)
    }

    fn change(&mut self, page: Page) -> Option<Payload> {
        let record = self.record(page)?;
        let no = self.form.subject.thing();
        let thing = no.map(|no| self.named("code", no));
        let mut reason = self.words("reason");
        if page == Page::BearingTypes && thing.is_some() {
            reason = self.words_needed(
                "reason",
                "missing: why the type changes; sheets signed before keep the old limits",
            );
        }
        Some(Payload::RegisterChange(RegisterChange {
            thing,
            record,
            reason,
        }))
    }

    fn record(&mut self, page: Page) -> Option<Record> {
        Some(match page {
            Page::Lines => Record::Line(Line {
                code: self.code(page),
                name: self.words("name"),
            }),
            Page::Stands => Record::Stand(Stand {
                code: self.code(page),
                line: self.thing_needed("line", "line"),
                build: self.words("build"),
            }),
            Page::Positions => Record::Position(self.position()),
            Page::Rolls => Record::Roll(Roll {
                code: self.code(page),
                line: self.thing_needed("line", "line"),
                role: self.one_of("role", "missing: what sort of roll"),
            }),
            Page::ChockTypes => Record::ChockType(self.chock_type()),
            Page::Chocks => Record::Chock(Chock {
                code: self.code(page),
                chock_type: self.thing_needed("type", "chock_type"),
            }),
            Page::BearingTypes => Record::BearingType(self.bearing_type()),
            Page::Bearings => Record::Bearing(self.bearing()),
            Page::Gauges => Record::Gauge(self.gauge()),
            Page::SealBatches => Record::SealBatch(SealBatch {
                code: self.code(page),
                name: self.words("name"),
            }),
            Page::Greases => Record::Grease(Grease {
                code: self.code(page),
                name: self.words("name"),
            }),
            Page::People | Page::Logbook | Page::Care => return None,
        })
    }

    fn position(&mut self) -> Position {
        let stand = self.thing_needed("stand", "stand");
        let role = self.one_of("role", "missing: work, intermediate, backup or bar roll");
        let level = self.one_of("level", "missing: top or bottom");
        let side = self.one_of("side", "missing: operator or drive side");
        let code = position_code(self.form);
        self.is_free(Page::Positions, "code", &code);
        let load = self.number_needed(
            "load",
            Unit::Clock,
            "missing: 6 for a load from below, 12 from above",
        );
        if !(0..=3600).contains(&load) {
            self.wrong("load", "not possible: a clock face goes from 0 to 12");
        }
        Position {
            code,
            stand,
            role,
            level,
            side,
            is_fixed: self.yes("fixed", "missing: whether this side holds the roll axially"),
            load_angle_ddeg: load % 3600,
            is_rolling_bearing: self
                .yes("rolling", "missing: no for an oil-film bearing or the like"),
        }
    }

    fn chock_type(&mut self) -> ChockType {
        let code = self.code(Page::ChockTypes);
        let mut seats = vec![Seat {
            name: "main".into(),
            bearing_type: self.thing_needed("main", "bearing_type"),
        }];
        for seat in ["main2", "thrust"] {
            if let Some(bearing_type) = self.thing(seat, "bearing_type") {
                seats.push(Seat {
                    name: seat.into(),
                    bearing_type,
                });
            }
        }
        let shim_place = self.one_of(
            "shims",
            "missing: under the flange, or between cover and outer ring",
        );
        let fits = self.words_needed("fits", "missing: the positions it fits, such as W-T-O");
        let fits: Vec<String> = fits
            .split([' ', ',', ';'])
            .filter(|f| !f.is_empty())
            .map(str::to_uppercase)
            .collect();
        if let Some(odd) = fits.iter().find(|place| !is_place(place)) {
            self.wrong("fits", format!("{odd} is no place: type role, top or bottom, side, such as W-T-O for work, top, operator"));
        }
        let bore_planes = match self.words("planes").as_str() {
            "" | "3" => 3,
            "2" => 2,
            "4" => 4,
            _ => {
                self.wrong("planes", "2, 3 or 4 planes");
                3
            }
        };
        ChockType {
            code,
            seats,
            shim_place,
            bore_planes,
            fits,
        }
    }

    fn bearing_type(&mut self) -> BearingType {
        let code = self.code(Page::BearingTypes);
        let kind = self.one_of("kind", "missing: what sort of bearing");
        let mut values = Vec::new();
        for (path, meaning, item) in type_values::all() {
            if let Some(value) = self.number(&path, type_values::unit(meaning)) {
                values.push(TypeValue {
                    name: meaning.name.into(),
                    item,
                    value,
                });
            }
        }
        for name in ["bore_nm", "outside_nm", "width_nm", "rows_count"] {
            let path = type_values::path_of(name, 0);
            if self.words(&path).is_empty() {
                self.wrong(&path, "missing");
            }
        }
        self.wrongs
            .extend(type_values::impossible(&values, self.form.show));
        BearingType {
            code,
            kind,
            values,
            lubrication: self.words("lubrication"),
        }
    }

    fn bearing(&mut self) -> Bearing {
        let serial = self.code(Page::Bearings);
        let prior_run_s = self.number("prior", Unit::Hours).unwrap_or(0);
        if prior_run_s < 0 {
            self.wrong("prior", "not possible below zero");
        }
        let mut prior_note = self.words("prior_note");
        if prior_run_s > 0 {
            prior_note = self.words_needed(
                "prior_note",
                "missing: where the hours come from, such as the old card index",
            );
        }
        Bearing {
            serial,
            bearing_type: self.thing_needed("type", "bearing_type"),
            prior_run_s,
            prior_note,
        }
    }

    fn gauge(&mut self) -> Gauge {
        let measures = self.one_of("measures", "missing: what it measures");
        let unit = gauge_unit(&measures);
        let resolution =
            self.number_needed("resolution", unit, "missing: the smallest step it shows");
        let expanded_uncertainty = self.uncertainty(unit);
        if resolution < 0 {
            self.wrong("resolution", "not possible below zero");
        }
        Gauge {
            code: self.code(Page::Gauges),
            kind: self.words_needed("kind", "missing: what it is, such as a bore gauge"),
            measures,
            range: self.words("range"),
            resolution,
            expanded_uncertainty,
            certificate: self.words("certificate"),
            due_ms: self.due(),
            standard: self.words("standard"),
        }
    }

    fn uncertainty(&mut self, unit: Unit) -> Option<i64> {
        let value = self.number("uncertainty", unit)?;
        if value < 0 || (unit == Unit::Length && value > 5_000_000) {
            let most = type_values::limit_words(5_000_000, self.form.show);
            self.wrong(
                "uncertainty",
                format!("not possible: U goes from 0 to {most}"),
            );
        }
        Some(value)
    }
}

/// What the gauge that is open measures.
pub fn gauge_measures(model: &Model) -> &str {
    match model.opened.as_ref().map(|o| &o.record) {
        Some(Record::Gauge(gauge)) => &gauge.measures,
        _ => "",
    }
}

/// The code of a position: as typed, else made from its parts.
pub fn position_code(form: &Form) -> String {
    let typed = form.text("code").trim();
    let parts = ["stand", "role", "level", "side"].map(|path| form.text(path).trim());
    if typed.is_empty() && parts.iter().all(|p| !p.is_empty()) {
        parts.join("-")
    } else {
        typed.to_owned()
    }
}

/// `W-T-O` and the like.
fn is_place(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let known = |list: &[(&str, &str)], part: &str| list.iter().any(|(value, _)| *value == part);
    matches!(parts[..], [role, level, side] if known(ROLES, role) && known(LEVELS, level) && known(SIDES, side))
}
