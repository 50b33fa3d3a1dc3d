//! A signed sheet to read: every reading as typed and at 20 C, results, verdicts with their reasons, decision, who
//! signed; in the order of the work. Nothing of a sheet is left out: what has no place of its own is listed by name.

mod parts;
mod result;
mod seats;

use draw::tokens::space;
use draw::{Pair, Token};
use egui::{Rect, Ui};
use store::draft::{DraftField, Fields, Source};
use store::entry::{LengthUnit, Show};
use store::payload::Reading;
use store::query::{SheetDetail, decided_words, sheet_detail, type_of_sheet, zone_numeral};
use store::sheet::field::{self, FieldKind, GAP_DEGREES, PAIRS, SeatName, Section};
use store::sheet::{Facts, TypeFacts, findings};
use store::{Logbook, ThingNo};

use self::parts::{fact, length_or_dash, typed};
use super::verdicts::{Judged, why_badge, why_ui};
use crate::ui::frames;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Col, Columns, Row};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::Cx;
use crate::win::screens::event::pictures::{Pictures, pictures_ui};
use crate::win::screens::gauge::suspect_line;
use crate::win::screens::log::small;
use crate::win::snapshot::Settings;

/// A signed sheet with the things it names and the limits of its day.
#[derive(Debug, Clone)]
pub struct SignedModel {
    /// The sheet.
    pub detail: SheetDetail,
    /// Limits as they were on that day; none where the sheet names no bearing type.
    pub bearing_type: Option<TypeFacts>,
    /// The bearing's number here.
    pub bearing: Option<ThingNo>,
    /// The chock's number here.
    pub chock: Option<ThingNo>,
}

impl SignedModel {
    /// Reads it; none where the event is no sheet.
    ///
    /// # Errors
    /// What the store says.
    pub fn read(logbook: &Logbook, event: i64) -> store::Result<Option<Self>> {
        let conn = logbook.connection();
        let Some(detail) = sheet_detail(conn, event, Settings::read(logbook)?.show)? else {
            return Ok(None);
        };
        let mut fields = Fields::new();
        for (path, code) in [
            ("identify.bearing", &detail.bearing),
            ("identify.chock", &detail.chock),
        ] {
            // A chock measured after outside work is named by its entry alone.
            let text = if code.is_empty() {
                detail.entry(path).unwrap_or_default()
            } else {
                code
            };
            if !text.is_empty() {
                fields.insert(
                    path.into(),
                    DraftField {
                        text: text.into(),
                        source: Source::Typed,
                    },
                );
            }
        }
        let facts =
            Facts::load(conn, &fields, detail.event.at)?.as_entered(conn, detail.event.entered)?;
        Ok(Some(Self {
            bearing: facts.bearing.map(|b| b.no),
            chock: facts.chock.map(|c| c.no),
            bearing_type: match facts.bearing_type {
                Some(of) => Some(of),
                None => type_of_sheet(conn, event)?
                    .map(|no| TypeFacts::load(conn, no, detail.event.at.ms))
                    .transpose()?,
            },
            detail,
        }))
    }

    /// What it is: `Teardown of TH-4T-031`.
    pub fn title(&self) -> String {
        match &self.detail.teardown {
            Some(_) => format!("Teardown of {}", self.detail.bearing),
            None if self.detail.event.kind == "seat_check" => {
                let of = [&self.detail.roll, &self.detail.chock];
                let code = of.into_iter().find(|c| !c.is_empty());
                let side = match self.detail.side_words() {
                    "" => String::new(),
                    side => format!(", {side}"),
                };
                let code = code.map_or("", String::as_str);
                format!("{} of {code}{side}", self.detail.what())
            }
            None => format!("Measured on return: {}", self.chock_code()),
        }
    }

    /// When and where from.
    pub fn detail(&self) -> String {
        let d = &self.detail;
        let mut words = vec![d.event.at.date_time()];
        words.extend((!d.chock.is_empty()).then(|| format!("out of {}", d.chock)));
        words.extend((!d.position.is_empty()).then(|| format!("off {}", d.position)));
        words.extend((!d.inner_half.is_empty()).then(|| format!("over {}", d.inner_half)));
        words.push("signed".into());
        words.join(" \u{b7} ")
    }

    fn chock_code(&self) -> &str {
        let code = self.detail.chock.as_str();
        if code.is_empty() {
            self.detail.entry("identify.chock").unwrap_or_default()
        } else {
            code
        }
    }

    fn reading(&self, path: &str) -> Option<&Reading> {
        self.detail.body.readings.iter().find(|r| r.path == path)
    }

    /// The index of a verdict among those of the sheet.
    fn verdict(&self, about: &str, item: usize) -> Option<usize> {
        self.detail
            .body
            .verdicts
            .iter()
            .position(|v| v.about == about && v.item == item as i64)
    }
}

/// What only the page remembers.
#[derive(Debug, Default)]
pub struct SignedView {
    /// The verdict whose reasons are shown, and where its badge stands.
    pub why: Option<(usize, Rect)>,
    pictures: Pictures,
}

/// A bearing type in a line: `N4T-480/620-336 · 480 × 620 × 336`.
pub fn type_words(t: &TypeFacts, show: Show) -> String {
    let sizes: Option<Vec<String>> = ["bore_nm", "outside_nm", "width_nm"]
        .map(|name| t.whole(name).map(|nm| plain(nm, show)))
        .into_iter()
        .collect();
    let mut words = vec![t.code.clone()];
    words.extend(sizes.map(|sizes| format!("{} {}", sizes.join(" \u{d7} "), show.unit.sign())));
    words.extend(
        t.whole("mass_g")
            .map(|g| format!("{} kg", show.grouped((g + 500) / 1_000))),
    );
    words.join(" \u{b7} ")
}

/// A nominal size without its trailing zeros.
fn plain(nm: i64, show: Show) -> String {
    let text = show.length(nm);
    if !text.contains(['.', ',']) {
        return text;
    }
    text.trim_end_matches('0')
        .trim_end_matches(['.', ','])
        .to_owned()
}

/// A signed sheet.
pub fn signed_ui(
    ui: &mut Ui,
    cx: &Cx,
    model: &SignedModel,
    view: &mut SignedView,
    commands: &mut Vec<Command>,
) {
    frames::page_body(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ways(ui, model, commands);
        result::result_ui(ui, &model.detail, commands);
        if model.detail.is_withdrawn {
            ui.horizontal(|ui| {
                ui.set_row_height(32.0);
                ui.spacing_mut().item_spacing.x = space::M;
                widgets::badge(ui, draw::Mark::Fail, "withdrawn");
                text::say(
                    ui,
                    Face::BODY,
                    "It counts no more, and stands here as it was written.",
                );
            });
        }
        for suspect in &model.detail.suspects {
            suspect_line(ui, cx.show, suspect, commands);
        }
        if !model.detail.note.is_empty() {
            text::say(ui, Face::BODY, &format!("Noted: {}", model.detail.note));
        }
        for section in Section::ALL {
            if !has_anything(model, section) {
                continue;
            }
            let number = Section::ALL
                .iter()
                .position(|s| *s == section)
                .map_or(0, |i| i as u32 + 1);
            widgets::section_title(ui, Some(number), section.title(), "");
            left_out(ui, model, section);
            match section {
                Section::Identify => identify(ui, cx.show, model),
                Section::AsFound | Section::Clean => {}
                Section::Findings => {
                    told_findings(ui, cx.show, model);
                    if !model.detail.documents.is_empty() {
                        let all = &model.detail.documents;
                        pictures_ui(ui, cx, all, &mut view.pictures, commands);
                    }
                }
                Section::Clearance => clearance(ui, cx.show, model, view),
                Section::Seats => {
                    for seat in [SeatName::Bore, SeatName::Neck] {
                        seats::seat(ui, cx.show, model, seat, view);
                    }
                }
                Section::Decision => decision(ui, cx.show, model),
                Section::Reassemble => reassemble(ui, cx.show, model, view),
                Section::Sign => sign(ui, model),
            }
            others(ui, cx.show, model, section);
            ui.add_space(space::M);
        }
    });
    if let Some((index, beside)) = view.why {
        let judged = Judged::of_sheet(&model.detail, model.bearing_type.as_ref(), index, cx.show);
        if judged.is_none_or(|judged| why_ui(ui, &judged, beside, cx.show)) {
            view.why = None;
        }
    }
}

/// The way back, and to what the sheet is about.
fn ways(ui: &mut Ui, model: &SignedModel, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::XL;
        if small::link(ui, "Back", "Back").clicked() {
            commands.push(Command::Back);
        }
        if small::link(ui, "Amend, countersign", "Amend or countersign this sheet").clicked() {
            commands.push(Command::Go(Route::Event(model.detail.event.no)));
        }
        if let Some(no) = model.bearing.filter(|_| !model.detail.bearing.is_empty()) {
            let words = format!("Bearing {}", model.detail.bearing);
            if small::link(ui, &words, &words).clicked() {
                commands.push(Command::Go(Route::Bearing(no)));
            }
        }
        if let Some(no) = model.chock {
            let words = format!("Chock {}", model.chock_code());
            if small::link(ui, &words, &words).clicked() {
                commands.push(Command::Go(Route::Chock(no)));
            }
        }
    });
}

fn has_anything(model: &SignedModel, section: Section) -> bool {
    let is_teardown = model.detail.teardown.is_some();
    match section {
        Section::Identify | Section::Sign => true,
        Section::Decision => is_teardown,
        Section::Reassemble => model
            .detail
            .teardown
            .as_ref()
            .is_some_and(|t| t.reassembly.is_some()),
        Section::AsFound
        | Section::Clean
        | Section::Findings
        | Section::Clearance
        | Section::Seats => {
            let body = &model.detail.body;
            let paths = body
                .readings
                .iter()
                .map(|r| &r.path)
                .chain(body.entries.iter().map(|e| &e.path));
            let is_read = paths
                .into_iter()
                .any(|path| field::section(path) == Some(section));
            let has_pictures = section == Section::Findings && !body.photos.is_empty();
            is_read
                || has_pictures
                || body
                    .not_measured
                    .iter()
                    .any(|n| part_of(&n.what) == Some(section))
        }
    }
}

/// The section that something left out belongs to.
fn part_of(what: &str) -> Option<Section> {
    field::section(&format!("skip.{what}")).or_else(|| field::section(what))
}

/// What was not measured, and why.
fn left_out(ui: &mut Ui, model: &SignedModel, section: Section) {
    for one in model
        .detail
        .body
        .not_measured
        .iter()
        .filter(|n| part_of(&n.what) == Some(section))
    {
        ui.horizontal(|ui| {
            widgets::badge(ui, draw::Mark::Missing, "not measured");
            text::body(ui, &format!("{}: {}", one.what, one.reason));
        });
        ui.add_space(space::S);
    }
}

/// Readings and entries of a section that have no place of their own, by their full names.
fn others(ui: &mut Ui, show: Show, model: &SignedModel, section: Section) {
    let body = &model.detail.body;
    for reading in body
        .readings
        .iter()
        .filter(|r| field::section(&r.path) == Some(section))
    {
        let is_seat = section == Section::Seats && seats::is_told(&reading.path);
        let is_finding = findings::parse(&reading.path).is_some();
        if field::grid(&reading.path).is_none() && !is_seat && !is_finding {
            fact(
                ui,
                &model.detail.label(&reading.path, show),
                &typed(reading, true),
            );
        }
    }
    for entry in body
        .entries
        .iter()
        .filter(|e| field::section(&e.path) == Some(section))
    {
        let is_code =
            matches!(field::kind(&entry.path), Some(FieldKind::Code(of)) if of != "grease");
        let is_told = is_code
            || findings::parse(&entry.path).is_some()
            || matches!(
                &*entry.path,
                "decision.choice" | "decision.reason" | "zone.choice"
            );
        if !is_told && !parts::is_gauge(&entry.path) {
            let zone = matches!(field::kind(&entry.path), Some(FieldKind::Zone));
            let number: Option<i64> = entry.text.parse().ok().filter(|_| zone);
            let chosen = match field::kind(&entry.path) {
                Some(FieldKind::Choice(list)) => list.shown(&entry.text),
                _ => None,
            };
            let words = match number {
                Some(number) => zone_numeral(number),
                None => chosen.unwrap_or(&entry.text),
            };
            fact(ui, &model.detail.label(&entry.path, show), words);
        }
    }
}

/// What was seen on the parts, a line each.
fn told_findings(ui: &mut Ui, show: Show, model: &SignedModel) {
    for seen in &model.detail.body.findings {
        let words = seen.finding().map_or_else(
            || seen.part.clone(),
            |finding| model.detail.named_rows(show).told(&finding.words()),
        );
        let size = seen
            .size_nm
            .map(|nm| format!("; {} {}", show.length(nm), show.unit.sign()));
        let note = Some(format!("; {}", seen.note)).filter(|_| !seen.note.is_empty());
        let words = words + &size.unwrap_or_default() + &note.unwrap_or_default();
        fact(ui, &format!("Finding {}", seen.number), &words);
    }
}

fn identify(ui: &mut Ui, show: Show, model: &SignedModel) {
    let d = &model.detail;
    let told = [
        ("Bearing", &d.bearing),
        ("Chock", &d.chock),
        ("Roll", &d.roll),
        ("Came from", &d.position),
    ];
    for (label, words) in told.into_iter().filter(|(_, words)| !words.is_empty()) {
        fact(ui, label, words);
    }
    if let Some(t) = &model.bearing_type {
        fact(ui, "Bearing type", &type_words(t, show));
    }
    if d.teardown.is_some() {
        let hours = format!(
            "{} h in this chock, {} h in all",
            show.hours(d.stay_run_s),
            show.hours(d.total_run_s)
        );
        fact(ui, "Mill time", &hours);
    }
}

fn clearance(ui: &mut Ui, show: Show, model: &SignedModel, view: &mut SignedView) {
    let mut heads = vec![Col::left("gap of rows", 84.0)];
    heads.extend(
        [
            "0\u{b0}",
            "90\u{b0}",
            "180\u{b0}",
            "270\u{b0}",
            "mean gap",
            "spacer",
            "end play",
        ]
        .map(Col::rest_right),
    );
    heads.extend([Col::left("limit", 150.0), Col::left("verdict", 140.0)]);
    if PAIRS.iter().any(|p| {
        GAP_DEGREES
            .iter()
            .any(|d| model.reading(&field::gap(*p, *d)).is_some())
    }) {
        let columns = Columns::new(heads);
        columns.header(ui);
        for pair in PAIRS {
            let end_play = model.detail.result("end_play_nm", pair as i64);
            let name = format!(
                "{}, as found: end play {}",
                show.pair_name(pair),
                length_or_dash(end_play, show)
            );
            columns.row(ui, &Row::result(name), |cells| {
                cells.pair(Pair::ALL[pair - 1], &show.pair_rows(pair));
                for degrees in GAP_DEGREES {
                    parts::reading_cell(cells, model.reading(&field::gap(pair, degrees)));
                }
                cells.text(&length_or_dash(
                    model.detail.result("mean_gap_nm", pair as i64),
                    show,
                ));
                parts::reading_cell(cells, model.reading(&field::spacer(pair)));
                cells.value(&length_or_dash(end_play, show));
                verdict_cells(cells, model, model.verdict("clearance", pair), view, show);
            });
        }
        ui.add_space(space::S);
    }
    parts::gauges(ui, model, "clearance.", show);
}

/// Limit and badge of a verdict in the next two cells.
fn verdict_cells(
    cells: &mut widgets::Cells,
    model: &SignedModel,
    index: Option<usize>,
    view: &mut SignedView,
    show: Show,
) {
    let found = index.and_then(|index| Some((index, model.detail.body.verdicts.get(index)?)));
    let Some((index, judgement)) = found else {
        cells.skip().skip();
        return;
    };
    let judged = Judged::of(judgement, model.detail.named_rows(show));
    cells.note(&judged.limit(show));
    if let Some(beside) = why_badge(cells, &judged) {
        view.why = Some((index, beside));
    }
}

fn decision(ui: &mut Ui, show: Show, model: &SignedModel) {
    let Some(decision) = model.detail.teardown.as_ref().map(|t| &t.decision) else {
        return;
    };
    fact(ui, "Recommended", &decided_words(&decision.recommended));
    ui.add_space(space::S);
    for (number, reason) in (1..).zip(&decision.reasons) {
        widgets::numbered(ui, number, &model.detail.named_rows(show).told(reason));
    }
    ui.add_space(space::S);
    fact(ui, "Decided", &decided_words(&decision.decided));
    if !decision.departure.is_empty() {
        fact(ui, "Otherwise, because", &decision.departure);
    }
}

fn reassemble(ui: &mut Ui, show: Show, model: &SignedModel, view: &mut SignedView) {
    let d = &model.detail;
    if PAIRS
        .iter()
        .any(|p| d.result("end_play_after_nm", *p as i64).is_some())
    {
        let mut heads = vec![Col::left("spacer", 84.0)];
        heads.extend(
            ["ground off", "to width", "measured", "end play as left"].map(Col::rest_right),
        );
        heads.extend([Col::left("target", 150.0), Col::left("verdict", 140.0)]);
        let columns = Columns::new(heads);
        columns.header(ui);
        for pair in PAIRS {
            let item = pair as i64;
            columns.row(
                ui,
                &Row::result(format!("Spacer {} after grinding", show.spacer(pair))),
                |cells| {
                    cells.pair(Pair::ALL[pair - 1], &show.spacer(pair));
                    cells.text(&length_or_dash(d.result("grind_nm", item), show));
                    cells.text(&length_or_dash(d.result("new_spacer_nm", item), show));
                    parts::reading_cell(cells, model.reading(&field::after(pair)));
                    cells.value(&length_or_dash(d.result("end_play_after_nm", item), show));
                    verdict_cells(
                        cells,
                        model,
                        model.verdict("clearance_after", pair),
                        view,
                        show,
                    );
                },
            );
        }
        ui.add_space(space::S);
        let stacks = [
            ("outer_stack_nm", "Outer stack changed by"),
            ("inner_stack_nm", "Inner stack changed by"),
            ("cover_shim_nm", "Cover shims now"),
        ];
        for (name, label) in stacks {
            if let Some(nm) = d.result(name, 0) {
                fact(ui, label, &show.length_unit(nm));
            }
        }
    }
    if let Some(again) = d.teardown.as_ref().and_then(|t| t.reassembly.as_ref()) {
        fact(ui, "Back into chock", &d.back_into);
        fact(ui, "Load zone up now", zone_numeral(again.zone));
    }
}

fn sign(ui: &mut Ui, model: &SignedModel) {
    let d = &model.detail;
    let told = [
        ("Signed by", &d.signer),
        ("Fitter", &d.fitter),
        ("Ordered by", &d.ordered_by),
    ];
    for (label, words) in told.into_iter().filter(|(_, words)| !words.is_empty()) {
        fact(ui, label, words);
    }
    fact(ui, "Entered", &d.event.entered.date_time());
    let holds = d.event.hash == d.event.expected_hash();
    fact(ui, "Event", &d.event.id.to_string());
    ui.add_space(space::S);
    if holds {
        text::note(ui, "Hashed anew just now: it is what was signed.");
    } else {
        let face = Face::STRONG.token(Token::Fail);
        text::say(
            ui,
            face,
            "This is not what was signed: its hash does not hold. Run chockbook verify.",
        );
    }
}

/// The unit that a bare number had.
fn is_usual(unit: &str) -> bool {
    unit.is_empty() || unit == LengthUnit::Millimetre.sign()
}
