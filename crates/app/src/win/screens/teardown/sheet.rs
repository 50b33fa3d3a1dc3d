//! The frame of the sheet: sections at the left, what it says at the right, back and next below, the section between.

use std::sync::Arc;

use egui::Ui;
use store::sheet::Section;
use store::sheet::field::SeatName;

use super::fields::Sheet;
use super::view::SheetView;
use super::{
    clearance, decision, evidence, findings, identify, panel, reassemble, seats, sign, why,
};
use crate::ui::focus::Step;
use crate::ui::frames;
use crate::win::command::Command;
use crate::win::screens::sheet::model::SheetModel;

/// Draws the sheet and takes what is entered.
pub fn sheet_ui(
    ui: &mut Ui,
    model: &SheetModel,
    view: &mut SheetView,
    commands: &mut Vec<Command>,
) {
    let mut sheet = Sheet::begin(ui, model, model.facts, view, commands);
    sections(ui, &mut sheet);
    frames::side_panel(ui, "What the sheet says", |ui| {
        panel::panel_ui(ui, &mut sheet);
    });
    footer(ui, &mut sheet);
    let part = match sheet.view.section {
        Section::Seats => sheet.view.seat.title(),
        section => section.title(),
    };
    frames::sheet_body(ui, part, |ui| {
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
    sheet.end(ui);
}

fn sections(ui: &mut Ui, sheet: &mut Sheet) {
    let a = Arc::clone(&sheet.a);
    let all: Vec<_> = Section::ALL
        .iter()
        .map(|section| section.title())
        .zip(&a.sections)
        .collect();
    let open = sheet.view.section as usize;
    if let Some(section) = sheet
        .sections(ui, &all, open)
        .and_then(|at| Section::ALL.get(at))
    {
        sheet.view.open(*section);
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
    let to = |step| neighbour(sheet.view.section, sheet.view.seat, step);
    let (before, after) = (to(Step::Back), to(Step::Forward));
    sheet.footer(ui, before, after);
}
