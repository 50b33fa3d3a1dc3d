//! A signed sheet to read: every reading as typed and at 20 C, results, verdicts with their reasons, decision, who
//! signed; in the order of the work. Nothing of a sheet is left out: what has no place of its own is listed by name.

mod laid;
mod model;
mod parts;
mod result;
mod seats;
mod stack;
mod tables;
#[cfg(test)]
mod tests;
mod told;

use draw::tokens::space;
use egui::{Rect, Ui};
use store::sheet::Section;
use store::sheet::field::SeatName;

pub use self::laid::Laid;
use self::laid::Part;
pub use self::model::SignedModel;
pub use self::told::type_words;
use super::verdicts::{Judged, why_ui};
use crate::ui::frames;
use crate::ui::text::{self, Face};
use crate::ui::widgets;
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::Cx;
use crate::win::screens::event::pictures::{Pictures, pictures_ui};
use crate::win::screens::gauge::suspect_line;
use crate::win::screens::log::small;

/// What only the page remembers.
#[derive(Debug, Default)]
pub struct SignedView {
    /// The verdict whose reasons are shown, and where its badge stands.
    pub why: Option<(usize, Rect)>,
    pictures: Pictures,
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
        result::result_ui(ui, &model.detail, view, commands);
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
            if let Some(part) = model.laid.get(section) {
                left_out(ui, part);
            }
            match section {
                Section::Identify => told::identify(ui, cx.show, model),
                Section::AsFound | Section::Clean => {}
                Section::Findings => {
                    told::told_findings(ui, cx.show, model);
                    if !model.detail.documents.is_empty() {
                        let all = &model.detail.documents;
                        pictures_ui(ui, cx, all, &mut view.pictures, commands);
                    }
                }
                Section::Clearance => stack::clearance(ui, cx.show, model, view),
                Section::Seats => {
                    for seat in [SeatName::Bore, SeatName::Neck] {
                        seats::seat(ui, cx.show, model, seat, view);
                    }
                }
                Section::Decision => told::decision(ui, cx.show, model),
                Section::Reassemble => stack::reassemble(ui, cx.show, model, view),
                Section::Sign => told::sign(ui, model),
            }
            rest(ui, cx, model, section, view);
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
    let detail = &model.detail;
    let is_drawn = match section {
        Section::Identify | Section::Sign => true,
        Section::Decision => detail.teardown.is_some(),
        Section::Reassemble => {
            let again = detail.teardown.as_ref().map(|t| t.reassembly.is_some());
            again == Some(true) || model.laid.has_ground
        }
        Section::Findings => !detail.body.photos.is_empty() || !detail.body.findings.is_empty(),
        Section::Clearance => model.laid.has_stack,
        Section::Seats => !model.laid.seats.is_empty(),
        Section::AsFound | Section::Clean => false,
    };
    is_drawn || model.laid.get(section).is_some()
}

/// What was left out, and why.
fn left_out(ui: &mut Ui, part: &Part) {
    for words in &part.left_out {
        ui.horizontal(|ui| {
            widgets::badge(ui, draw::Mark::Missing, "left out");
            text::body(ui, words);
        });
        ui.add_space(space::S);
    }
}

/// Tables, verdicts, lines and gauges of a section beside its drawings.
fn rest(ui: &mut Ui, cx: &Cx, model: &SignedModel, section: Section, view: &mut SignedView) {
    let Some(part) = model.laid.get(section) else {
        return;
    };
    for table in &part.tables {
        tables::table_ui(ui, table);
    }
    tables::verdicts_ui(ui, cx.show, model, &part.verdicts, view);
    for (label, words) in &part.facts {
        parts::fact(ui, label, words);
    }
    // A seat that is drawn names its own gauge beside its sizes.
    let is_shown = |path: &String| {
        let mut seats = model.laid.seats.iter();
        seats.any(|seat| path.starts_with(seat.prefix()))
    };
    let left = part.gauges.iter().filter(|path| !is_shown(path));
    parts::gauges(ui, model, left, cx.show);
}
