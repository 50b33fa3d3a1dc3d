//! Draws one event: its places in a table, amended values struck beside what counts, and the ways to put it right.

use std::collections::BTreeMap;

use draw::Mark;
use draw::tokens::space;
use egui::{Rect, Ui};
use store::amending::{self, Place};
use store::payload::{Countersigned, Payload, Role, SheetReopened};
use store::query::{AmendedPlace, EventPage};
use store::{NewEvent, ThingNo};

use super::pictures::{Pictures, pictures_ui};
use super::verdicts::{verdict_why, verdicts_ui};
use crate::print::What;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Col, Columns, Kind, Outcome, Row, TextField};
use crate::ui::{focus, frames};
use crate::win::command::{Command, Events, Place as AnswerPlace, Said};
use crate::win::route::Route;
use crate::win::screens::Cx;
use crate::win::screens::gauge::suspect_line;
use crate::win::screens::log::event_line::{pieces, remark};
use crate::win::screens::log::small;

/// Where the answer to a correction belongs.
const CORRECT: AnswerPlace = "event/correct";
const REASON: &str = "event/reason";

/// What is being done about the event.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Amend,
    Withdraw,
    Reopen,
    Countersign,
}

impl Way {
    const fn button(self) -> &'static str {
        match self {
            Self::Amend => "Amend",
            Self::Withdraw => "Withdraw",
            Self::Reopen => "Reopen the sheet",
            Self::Countersign => "Countersign",
        }
    }

    const fn asks(self) -> &'static str {
        match self {
            Self::Amend => "How that is known",
            Self::Withdraw => "Why it never happened",
            Self::Reopen => "Why the sheet is open again",
            Self::Countersign => "What was looked at again",
        }
    }

    const fn says(self) -> &'static str {
        match self {
            Self::Amend => {
                "Type what is true. The entry stays as it was written; both values are kept and shown, and all that \
                 follows from a reading is judged anew by the limits of that day."
            }
            Self::Withdraw => {
                "The entry stays in the record, struck through, and counts no more: where things are is worked out \
                 without it."
            }
            Self::Reopen => {
                "The bearing waits on hold until the sheet was amended and somebody else has countersigned it."
            }
            Self::Countersign => "You stand for this sheet beside the person who signed it.",
        }
    }

    const fn sign(self) -> &'static str {
        match self {
            Self::Amend => "Sign the amendment",
            Self::Withdraw => "Sign the withdrawal",
            Self::Reopen => "Sign the reopening",
            Self::Countersign => "Sign beside it",
        }
    }
}

/// What only the page remembers.
#[derive(Debug, Default)]
pub struct EventView {
    way: Option<Way>,
    typed: BTreeMap<String, String>,
    reason: String,
    is_sent: bool,
    pictures: Pictures,
    /// The verdict whose reasons are shown, and where its badge stands.
    why: Option<(usize, Rect)>,
}

impl EventView {
    /// Leaves what was begun; false where nothing was.
    pub fn close(&mut self) -> bool {
        let was = self.way.take().is_some();
        self.typed.clear();
        self.reason.clear();
        was
    }
}

/// One event.
pub fn event_ui(
    ui: &mut Ui,
    cx: &Cx,
    page: &EventPage,
    view: &mut EventView,
    commands: &mut Vec<Command>,
) {
    if view.is_sent && !cx.answers.is_waiting(CORRECT) {
        view.is_sent = false;
        if let Some(Said::Done(_)) = cx.answers.get(CORRECT) {
            view.close();
        }
    }
    frames::page_body(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        ways(ui, page, commands);
        ui.add_space(space::M);
        let (rect, _) =
            ui.allocate_exact_size(egui::vec2(ui.available_width(), 32.0), egui::Sense::hover());
        pieces(ui, rect, "", &page.line.pieces);
        state(ui, page);
        for suspect in &page.suspects {
            suspect_line(ui, cx.show, suspect, commands);
        }
        ui.add_space(space::S);
        buttons(ui, cx, page, view);
        if let Some(way) = view.way {
            form(ui, cx, page, view, way, commands);
        }
        verdicts_ui(ui, cx, page, &mut view.why);
        if view.way != Some(Way::Amend) {
            places(ui, page);
        }
        amended(ui, &page.amended);
        if !page.documents.is_empty() {
            widgets::heading(
                ui,
                "Pictures and papers",
                "kept by the hash of their content",
            );
            pictures_ui(ui, cx, &page.documents, &mut view.pictures, commands);
        }
        origin(ui, page);
    });
    verdict_why(ui, cx, page, &mut view.why);
}

fn ways(ui: &mut Ui, page: &EventPage, commands: &mut Vec<Command>) {
    let code = |no: Option<ThingNo>, sort: &str| no.map(|no| (no, sort.to_owned()));
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::XL;
        if small::link(ui, "Back", "Back").clicked() {
            commands.push(Command::Back);
        }
        if page.mounting.is_some()
            && small::link(ui, "Print it", "Print the mounting sheet").clicked()
        {
            let event = Some(ThingNo(page.line.no));
            commands.push(Command::Go(Route::Documents(What::Sheet, event)));
        }
        if page.line.is_sheet && small::link(ui, "The sheet", "Open the sheet").clicked() {
            commands.push(Command::Go(Route::Signed(page.line.no)));
        }
        if let Some((no, words)) = code(page.line.bearing, "Its bearing")
            && small::link(ui, &words, &words).clicked()
        {
            commands.push(Command::Go(Route::Bearing(no)));
        }
        if let Some((no, words)) = code(page.line.chock, "Its chock")
            && small::link(ui, &words, &words).clicked()
        {
            commands.push(Command::Go(Route::Chock(no)));
        }
    });
}

/// Withdrawn, open again, countersigned, late, in conflict: each in a line.
fn state(ui: &mut Ui, page: &EventPage) {
    if page.is_withdrawn() {
        line(ui, Mark::Fail, "withdrawn", "It counts no more.");
    }
    if !page.line.conflict.is_empty() {
        line(ui, Mark::Fail, "does not fit", &page.line.conflict);
    } else if page.line.is_late {
        text::note(ui, &remark(&page.line));
    }
    for mark in &page.marks {
        let what = if mark.is_reopened {
            "Reopened"
        } else {
            "Countersigned"
        };
        let words = format!("{what} by {} on {}: {}", mark.by, mark.at.date(), mark.text);
        text::say(ui, Face::BODY, &words);
    }
    if page.is_reopened() {
        line(
            ui,
            Mark::PassInDoubt,
            "open again",
            "Its bearing waits on hold.",
        );
    }
}

fn line(ui: &mut Ui, mark: Mark, word: &str, words: &str) {
    ui.horizontal(|ui| {
        ui.set_row_height(32.0);
        ui.spacing_mut().item_spacing.x = space::M;
        widgets::badge(ui, mark, word);
        text::say(ui, Face::BODY, words);
    });
}

/// What may be done about it by whoever is at work; without anybody at work, signing asks who.
fn buttons(ui: &mut Ui, cx: &Cx, page: &EventPage, view: &mut EventView) {
    if !page.may_be_amended || page.is_withdrawn() || view.way.is_some() {
        return;
    }
    let mut all = vec![Way::Amend];
    if page.is_teardown {
        if !page.is_reopened() {
            all.push(Way::Reopen);
        }
        all.push(Way::Countersign);
    }
    all.push(Way::Withdraw);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        for way in all {
            let may = cx.may_enter()
                && (way != Way::Reopen || cx.person.is_none() || cx.is_role(&[Role::Engineer]));
            let button = Button::new(Kind::Second, way.button()).enabled(may);
            if button.show(ui).clicked() {
                view.way = Some(way);
                let first = match way {
                    Way::Amend => open_places(page).next().map(|p| field_path(&p.path)),
                    _ => None,
                };
                focus::ask(ui.ctx(), first.as_deref().unwrap_or(REASON));
            }
        }
    });
}

/// The places that may be amended.
fn open_places(page: &EventPage) -> impl Iterator<Item = &Place> {
    page.places.iter().filter(|place| !place.is_fixed)
}

fn field_path(place: &str) -> String {
    format!("event/place{place}")
}

/// The fields of what is being done, and its signature.
fn form(
    ui: &mut Ui,
    cx: &Cx,
    page: &EventPage,
    view: &mut EventView,
    way: Way,
    commands: &mut Vec<Command>,
) {
    ui.add_space(space::S);
    widgets::heading(ui, way.button(), "");
    text::say(ui, Face::BODY.muted(), way.says());
    ui.add_space(space::S);
    let mut order: Vec<String> = Vec::new();
    if way == Way::Amend {
        order.extend(open_places(page).map(|p| field_path(&p.path)));
    }
    order.push(REASON.to_owned());
    if way == Way::Amend {
        for place in open_places(page) {
            // At once: what is typed on in this frame belongs to the next field.
            if let Some(step) = place_field(ui, place, &mut view.typed) {
                focus::step(ui.ctx(), &order, &field_path(&place.path), step);
            }
        }
        ui.add_space(space::S);
    }
    widgets::caption(ui, way.asks());
    let field = TextField::new(REASON, way.asks()).width(640.0);
    let mut wants_sign = false;
    match field.show(ui, &mut view.reason) {
        Outcome::Commit(focus::Step::Forward) => wants_sign = true,
        Outcome::Commit(step) => {
            focus::step(ui.ctx(), &order, REASON, step);
        }
        _ => {}
    }
    if let Some(why) = cx.answers.refusal(CORRECT) {
        ui.add_space(space::S);
        widgets::error_box(ui, "Not signed", why);
    }
    ui.add_space(space::S);
    let edits = edits(page, view);
    let is_ready = !view.reason.trim().is_empty()
        && (way != Way::Amend || !edits.is_empty())
        && !cx.answers.is_waiting(CORRECT);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        let sign = Button::new(Kind::Primary, way.sign()).enabled(is_ready);
        if (sign.show(ui).clicked() || wants_sign) && is_ready {
            view.is_sent = true;
            commands.push(command(cx, page, way, edits, view.reason.trim().to_owned()));
        }
        if widgets::quiet(ui, "Leave it").clicked() {
            view.close();
        }
    });
    ui.add_space(space::M);
}

/// A place as a field, with what was written before it; the step that the keyboard takes from it.
fn place_field(
    ui: &mut Ui,
    place: &Place,
    typed: &mut BTreeMap<String, String>,
) -> Option<focus::Step> {
    let mut step = None;
    ui.horizontal(|ui| {
        ui.set_row_height(48.0);
        ui.spacing_mut().item_spacing.x = space::M;
        let (rect, _) = ui.allocate_exact_size(egui::vec2(300.0, 48.0), egui::Sense::hover());
        let at = egui::pos2(
            rect.left(),
            text::baseline(rect.center().y, Face::BODY.size),
        );
        text::at_most(ui, at, 296.0, Face::BODY.muted(), &place.label);
        let text = typed
            .entry(place.path.clone())
            .or_insert_with(|| place.text.clone());
        let path = field_path(&place.path);
        let field = TextField::new(&path, &place.label).width(328.0);
        if let Outcome::Commit(to) = field.show(ui, text) {
            step = Some(to);
        }
        text::say(ui, Face::BODY.muted(), &place.unit);
        if text.trim() != place.text.trim() && !place.text.is_empty() {
            text::say(ui, Face::BODY.muted().struck(), &place.text);
        }
    });
    step
}

/// The places where something else was typed.
fn edits(page: &EventPage, view: &EventView) -> Vec<(String, String)> {
    let places = page.places.iter();
    places
        .filter_map(|place| {
            let typed = view.typed.get(&place.path)?;
            (typed.trim() != place.text.trim()).then(|| (place.path.clone(), typed.clone()))
        })
        .collect()
}

fn command(
    cx: &Cx,
    page: &EventPage,
    way: Way,
    edits: Vec<(String, String)>,
    reason: String,
) -> Command {
    let (no, show) = (ThingNo(page.line.no), cx.show);
    let events = Events::made(move |logbook| {
        let payload = match way {
            Way::Amend => Payload::Amendment(amending::amend(logbook, no, &edits, &reason, show)?),
            Way::Withdraw => Payload::Amendment(amending::withdraw(logbook, no, &reason)?),
            Way::Reopen => Payload::SheetReopened(SheetReopened {
                sheet: logbook.name(no)?,
                reason,
            }),
            Way::Countersign => Payload::Countersigned(Countersigned {
                sheet: logbook.name(no)?,
                text: reason,
            }),
        };
        let at = logbook.now();
        Ok(vec![NewEvent { at, payload }])
    });
    Command::Append {
        place: CORRECT,
        events,
    }
}

/// What it says, place by place.
fn places(ui: &mut Ui, page: &EventPage) {
    if page.places.is_empty() {
        return;
    }
    ui.add_space(space::M);
    widgets::heading(ui, "What it says", "");
    let columns = Columns::new(vec![
        Col::left("", 300.0),
        Col::left("", 260.0),
        Col::rest(""),
    ]);
    widgets::rule(ui);
    for place in page
        .places
        .iter()
        .filter(|p| !p.text.is_empty() || p.written.is_some())
    {
        let said = format!("{} {}", place.text, place.unit);
        let name = format!("{}: {}", place.label, said.trim());
        columns.row(ui, &Row::reading(name), |cells| {
            cells
                .put(Face::BODY.muted(), &place.label)
                .text(said.trim());
            match &place.written {
                Some(before) => cells.struck(&format!("{before} {}", place.unit)),
                None => cells.skip(),
            };
        });
    }
    ui.add_space(space::M);
}

/// Every place that was amended, with both values, who, when and why; what only follows comes after it.
fn amended(ui: &mut Ui, all: &[AmendedPlace]) {
    if all.is_empty() {
        return;
    }
    let count = match all.iter().filter(|p| !p.is_consequence).count() {
        1 => "1 place".to_owned(),
        n => format!("{n} places"),
    };
    widgets::heading(
        ui,
        "What was amended",
        &format!("{count}, and what follows from it"),
    );
    let columns = Columns::new(vec![
        Col::left("where", 260.0),
        Col::left("was", 150.0),
        Col::left("is", 150.0),
        Col::rest("how that is known"),
        Col::right("signed", 210.0),
    ]);
    columns.header(ui);
    for (i, place) in all.iter().enumerate() {
        let name = format!("{}: {} is {}", place.place, place.old, place.new);
        ui.push_id(i, |ui| {
            columns.row(ui, &Row::reading(name), |cells| {
                let face = if place.is_consequence {
                    Face::BODY.muted()
                } else {
                    Face::BODY
                };
                let reason = if place.is_consequence {
                    "follows"
                } else {
                    &place.reason
                };
                cells
                    .put(face, &place.place)
                    .struck(&place.old)
                    .text(&place.new)
                    .put(Face::BODY.muted(), reason)
                    .note(&format!("{}, {}", place.by, place.at.date()));
            });
        });
    }
    ui.add_space(space::M);
}

/// Who wrote it down, when, and where it stands in the chain.
fn origin(ui: &mut Ui, page: &EventPage) {
    widgets::heading(ui, "In the record", "");
    widgets::rule(ui);
    let signer = if page.line.signer.is_empty() {
        "nobody: the program wrote it"
    } else {
        &page.line.signer
    };
    widgets::key_value(ui, "signed by", signer, "");
    widgets::key_value(ui, "happened", &page.line.at.date_time(), "");
    widgets::key_value(ui, "entered", &page.line.entered.date_time(), "");
    widgets::key_value(ui, "entry", &page.line.id, &page.hash);
}
