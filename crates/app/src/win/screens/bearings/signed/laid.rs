//! Where each thing of a signed sheet stands on its page. What has no drawing or table of its own is listed by its full
//! name, so that no reading, entry, verdict or reason can be lost whatever the family of the bearing.

use std::collections::BTreeMap;

use report::Table;
use store::entry::Show;
use store::payload::{Entry, Judgement};
use store::query::{SheetDetail, zone_numeral};
use store::sheet::field::{self, FieldKind, GAP_DEGREES, PAIRS, PLANES, SEAT_DEGREES, SeatName};
use store::sheet::{Section, findings};

use super::parts::typed;
use crate::print::{Form, ON_TAPER};

/// What one section shows beside its own drawings, in this order.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Part {
    /// What was left out, and why.
    pub left_out: Vec<String>,
    /// Readings in rows or round a ring.
    pub tables: Vec<Table>,
    /// Verdicts, by their index on the sheet.
    pub verdicts: Vec<usize>,
    /// Label and words of all that is said in a line.
    pub facts: Vec<(String, String)>,
    /// Fields of the gauges.
    pub gauges: Vec<String>,
}

/// The whole page.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Laid {
    parts: BTreeMap<Section, Part>,
    /// The stack of a four-row tapered bearing was read.
    pub has_stack: bool,
    /// Spacers were measured after grinding.
    pub has_ground: bool,
    /// Seats that were measured.
    pub seats: Vec<SeatName>,
}

impl Laid {
    /// Lays a sheet out.
    pub fn of(detail: &SheetDetail, show: Show) -> Self {
        let mut form = Form::new(detail, show);
        let mut laid = Self::default();
        laid.drawn(&mut form);
        form.place_checks();
        laid.tables(&mut form);
        // Every row is judged by itself; what the bearing is known by is their mean.
        let has_rows = detail.result("row_clearance_nm", 1).is_some();
        if let Some(mean) = detail.result("clearance_nm", 1).filter(|_| has_rows) {
            let fact = ("Mean of the rows".to_owned(), show.length_unit(mean));
            laid.part(Section::Clearance).facts.push(fact);
        }
        if let Some(loss) = detail.result("taper_expected_nm", 0) {
            let label = "Loss that the push-up says".to_owned();
            let fact = (label, show.length_unit(loss));
            laid.part(Section::Clearance).facts.push(fact);
        }
        let mut said: Vec<(&str, String)> = Vec::new();
        for reading in form.left() {
            // A finding says what was read of it.
            if findings::parse(&reading.path).is_none() {
                said.push((&reading.path, typed(reading, true)));
            }
        }
        for entry in &detail.body.entries {
            if is_gauge(&entry.path) {
                let gauges = &mut laid.part(section_of(&entry.path)).gauges;
                gauges.push(entry.path.clone());
            } else if !is_told(detail, entry) {
                said.push((&entry.path, words(entry)));
            }
        }
        // In the order of the work.
        said.sort_by_cached_key(|(path, _)| field::rank(path));
        for (path, words) in said {
            let fact = (detail.label(path, show), words);
            laid.part(section_of(path)).facts.push(fact);
        }
        for (index, verdict) in detail.body.verdicts.iter().enumerate() {
            if !laid.is_drawn(verdict) {
                laid.part(judged_in(&verdict.about)).verdicts.push(index);
            }
        }
        for left in &detail.body.not_measured {
            let path = format!("skip.{}", left.what);
            let section = field::section(&path)
                .or_else(|| field::section(&left.what))
                .unwrap_or(Section::Sign);
            let what = match field::kind(&path) {
                Some(_) => format!("{} {}", detail.label(&path, show), left.reason),
                None => format!("{}: {}", left.what, left.reason),
            };
            laid.part(section).left_out.push(what);
        }
        laid
    }

    /// What a section shows beside its drawings; none where it is empty.
    pub fn get(&self, section: Section) -> Option<&Part> {
        self.parts.get(&section)
    }

    fn part(&mut self, section: Section) -> &mut Part {
        self.parts.entry(section).or_default()
    }

    /// What the page draws: stack, spacers after grinding, seats.
    fn drawn(&mut self, form: &mut Form<'_>) {
        for pair in PAIRS {
            let gaps = GAP_DEGREES.map(|degrees| field::gap(pair, degrees));
            for path in gaps.into_iter().chain([field::spacer(pair)]) {
                self.has_stack |= form.reading(&path).is_some();
            }
            self.has_ground |= form.reading(&field::after(pair)).is_some();
        }
        for seat in [SeatName::Bore, SeatName::Neck] {
            let sizes = PLANES
                .into_iter()
                .flat_map(|plane| SEAT_DEGREES.map(|at| field::size(seat, plane, at)));
            let temperatures = ["first", "last", "gauge"];
            let temperatures = temperatures.map(|end| format!("{}.temp_{end}", seat.prefix()));
            let paths: Vec<String> = sizes.chain(temperatures).collect();
            let read = paths.iter().filter(|path| form.reading(path).is_some());
            if read.count() > 0 {
                self.seats.push(seat);
            }
        }
    }

    /// What stands in tables, as on paper.
    fn tables(&mut self, form: &mut Form<'_>) {
        let clearance = [form.earlier(), form.places(false)];
        let clearance = clearance.into_iter().flatten().chain(form.radial());
        let clearance: Vec<Table> = clearance.collect();
        self.add(Section::Clearance, clearance);
        // The ring belongs to its seat, what the taper left to the clearance.
        let (taper, ring) = form
            .fitted()
            .into_iter()
            .partition(|table| table.title == ON_TAPER);
        self.add(Section::Clearance, taper);
        self.add(Section::Seats, ring);
        let closing = [form.places(true), form.cover()];
        self.add(Section::Reassemble, closing.into_iter().flatten().collect());
    }

    fn add(&mut self, section: Section, tables: Vec<Table>) {
        if !tables.is_empty() {
            self.part(section).tables.extend(tables);
        }
    }

    /// Whether a verdict stands in a drawing of the page.
    fn is_drawn(&self, verdict: &Judgement) -> bool {
        let is_pair = PAIRS.iter().any(|pair| *pair as i64 == verdict.item);
        match verdict.about.as_str() {
            "clearance" => self.has_stack && is_pair,
            "clearance_after" => self.has_ground && is_pair,
            about => self.seats.iter().any(|seat| is_of(about, *seat)),
        }
    }
}

/// Whether a verdict is about a seat.
pub(super) fn is_of(about: &str, seat: SeatName) -> bool {
    let of = about.strip_prefix(seat.prefix());
    of.is_some_and(|rest| rest.starts_with('_'))
}

/// The section of a field; what this program does not know stands at the end.
fn section_of(path: &str) -> Section {
    field::section(path).unwrap_or(Section::Sign)
}

/// The section that a verdict belongs to.
fn judged_in(about: &str) -> Section {
    match about {
        "clearance" | "clearance_row" | "spacer_parallel" => Section::Clearance,
        _ if about.ends_with("_after") => Section::Reassemble,
        _ if about.starts_with("taper_") => Section::Clearance,
        _ => Section::Seats,
    }
}

/// Whether a field names a gauge.
pub(super) fn is_gauge(path: &str) -> bool {
    matches!(field::kind(path), Some(FieldKind::Code("gauge")))
}

/// Whether an entry is said elsewhere on the page, in words of its own.
fn is_told(detail: &SheetDetail, entry: &Entry) -> bool {
    let teardown = detail.teardown.as_ref();
    match entry.path.as_str() {
        "identify.bearing" => !detail.bearing.is_empty(),
        "identify.chock" => !detail.chock.is_empty(),
        "identify.roll" => !detail.roll.is_empty(),
        "identify.position" => !detail.position.is_empty(),
        "decision.choice" | "decision.reason" => teardown.is_some(),
        "zone.choice" | "reassemble.chock" => teardown.is_some_and(|t| t.reassembly.is_some()),
        "sign.fitter" => !detail.fitter.is_empty(),
        // A set that was read again stands in its table with its reason.
        path if path.starts_with("repeat.why.") => {
            let sets = path.replacen("why.", "", 1) + ".";
            let mut readings = detail.body.readings.iter();
            readings.any(|r| r.path.starts_with(&sets))
        }
        path => findings::parse(path).is_some(),
    }
}

/// An entry in words.
fn words(entry: &Entry) -> String {
    let number = entry.text.parse::<i64>().ok();
    match field::kind(&entry.path) {
        Some(FieldKind::Zone) => number.map_or(entry.text.clone(), |n| zone_numeral(n).to_owned()),
        Some(FieldKind::Choice(list)) => list.shown(&entry.text).unwrap_or(&entry.text).to_owned(),
        _ => entry.text.clone(),
    }
}
