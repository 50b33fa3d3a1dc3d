//! The frame of the sheet: sections at the left, what it says at the right, back and next below, the section between.

use std::sync::Arc;

use egui::Ui;
use store::payload::Role;
use store::sheet::Section;
use store::sheet::field::SeatName;

use super::fields::Sheet;
use super::model::{SheetModel, section_mark};
use super::view::{Frame, SheetView};
use super::{
    clearance, decision, evidence, findings, identify, panel, quick, reassemble, seats, sign, why,
};
use crate::ui::focus::{self, Step};
use crate::ui::frames;
use crate::win::command::Command;

/// Draws the sheet and takes what is entered.
pub fn sheet_ui(
    ui: &mut Ui,
    model: &SheetModel,
    view: &mut SheetView,
    commands: &mut Vec<Command>,
) {
    let time = ui.input(|i| i.time);
    quick::drop_line_end(ui, view, time);
    let a = view.assess(model.facts, model.show.unit);
    let is_engineer = model.person.is_some_and(|(_, role)| role == Role::Engineer);
    let asks_engineer = !is_engineer && !a.engineer_because.is_empty();
    let frame = Frame {
        assessment: Arc::clone(&a),
        asks_engineer,
        show: model.show,
        time,
    };
    view.follow(ui.ctx(), &frame);
    // What was wished for may have changed what the sheet says.
    let a = view.assess(model.facts, model.show.unit);
    let mut sheet = Sheet {
        model,
        view,
        a,
        commands,
        time,
        asks_engineer,
    };
    sections(ui, &mut sheet);
    frames::side_panel(ui, "What the sheet says", |ui| {
        panel::panel_ui(ui, &mut sheet);
    });
    footer(ui, &mut sheet);
    frames::sheet_body(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        match sheet.view.section {
            Section::Identify => identify::identify_ui(ui, &mut sheet),
            Section::AsFound => evidence::as_found_ui(ui, &mut sheet),
            Section::Clean => evidence::clean_ui(ui, &mut sheet),
            Section::Findings => findings::findings_ui(ui, &mut sheet),
            Section::Clearance => clearance::clearance_ui(ui, &mut sheet),
            Section::Seats => seats::seats_ui(ui, &mut sheet),
            Section::Decision => decision::decision_ui(ui, &mut sheet),
            Section::Reassemble => reassemble::reassemble_ui(ui, &mut sheet),
            Section::Sign => sign::sign_ui(ui, &mut sheet),
        }
    });
    why::why_ui(ui, &mut sheet);
    note_caret(ui, &mut sheet);
}

/// Remembers where the caret is, and commits what lost it.
fn note_caret(ui: &Ui, sheet: &mut Sheet) {
    let order = sheet.order();
    if let Some(path) = focus::current(ui.ctx(), &order).and_then(|at| order.get(at)) {
        sheet.view.caret.clone_from(path);
    }
    // The press that chooses from a list takes the caret out of its field first.
    let is_pressing = ui.input(|i| i.pointer.any_down() || i.pointer.any_released());
    if !is_pressing {
        sheet
            .view
            .commit_left(ui.ctx(), sheet.model.show, sheet.time);
    }
}

fn sections(ui: &mut Ui, sheet: &mut Sheet) {
    let current = Section::ALL
        .iter()
        .position(|s| *s == sheet.view.section)
        .unwrap_or(0);
    let items: Vec<frames::Section> = Section::ALL
        .iter()
        .zip(&sheet.a.sections)
        .zip(1..)
        .map(|((section, state), number)| frames::Section {
            number,
            name: section.title(),
            sub: &state.note,
            mark: section_mark(state, *section == sheet.view.section),
        })
        .collect();
    if let Some(pressed) = frames::sections(ui, &items, current)
        && let Some(section) = Section::ALL.get(pressed)
    {
        sheet.view.commit_all(sheet.model.show, sheet.time);
        sheet.view.open(*section);
        ui.ctx().request_repaint();
    }
}

/// What comes after or before the open section, in words.
fn neighbour(section: Section, seat: SeatName, step: Step) -> Option<&'static str> {
    match (section, seat, step) {
        (Section::Seats, SeatName::Bore, Step::Forward) => return Some(SeatName::Neck.title()),
        (Section::Seats, SeatName::Neck, Step::Back) => return Some(SeatName::Bore.title()),
        _ => {}
    }
    let here = Section::ALL.iter().position(|s| *s == section)?;
    let there = if step == Step::Forward {
        here + 1
    } else {
        here.checked_sub(1)?
    };
    Section::ALL.get(there).map(|s| s.title())
}

fn footer(ui: &mut Ui, sheet: &mut Sheet) {
    let words = |prefix: &str, step| {
        neighbour(sheet.view.section, sheet.view.seat, step).map(|name| format!("{prefix}: {name}"))
    };
    let (back, next) = (words("Back", Step::Back), words("Next", Step::Forward));
    let footer = frames::Footer {
        back: back.as_deref(),
        next: next.as_deref(),
        next_enabled: true,
        note: "",
    };
    if let Some(step) = frames::footer(ui, footer) {
        sheet.view.turn_page(step);
        ui.ctx().request_repaint();
    }
}
