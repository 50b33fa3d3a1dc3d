//! What was there before anything was washed, and how it was washed and preserved.

use draw::tokens::space;
use egui::Ui;
use store::sheet::{Family, Section, field};

use super::clearance::{asked_of, foot, hinted};
use super::fields::{Sheet, labelled};
use super::form::flow;
use super::identify::ZONES;
use super::order::{has, is_said_as_found};
use crate::ui::widgets;

/// Width of one word to choose, and of one zone.
const WORD: f32 = 128.0;
const ZONE: f32 = 72.0;

/// The state as found.
pub fn as_found_ui(ui: &mut Ui, sheet: &mut Sheet) {
    let hint = "before washing: it destroys the evidence";
    widgets::section_title(
        ui,
        Some(Section::AsFound.number()),
        Section::AsFound.title(),
        hint,
    );
    if sheet.a.family.has_zones() {
        labelled(ui, &sheet.label("identify.zone"), |ui| {
            sheet.choice(ui, "identify.zone", &ZONES, &ZONES, ZONE);
        });
        ui.add_space(space::S);
    }
    // What is asked of the zone stands beside it: the foot of the section is below the edge of a small window.
    let is_asked = asked_of(ui, sheet, &["identify.zone".to_owned()]);
    for path in [
        "found.seal",
        "found.grease",
        "found.water",
        "found.rotation",
        "found.bolts",
        "found.chips",
    ] {
        choice(ui, sheet, path);
    }
    if sheet.a.family == Family::Cylindrical {
        choice(ui, sheet, "found.inner");
    }
    flow(
        ui,
        sheet,
        &["found.seal_batch", "found.temperature", "shim.found"],
    );
    let is_said = is_said_as_found(&sheet.a, sheet.view.entries.fields());
    let hint = "Photograph first; leave the zone that is up. First letter or number chooses; + : nothing out of the ordinary.";
    let skip = ("skip.found", "Not noted\u{2026}", is_said);
    if is_asked {
        hinted(ui, sheet, hint, skip);
    } else {
        foot(ui, sheet, hint, skip);
    }
}

/// Cleaning and preservation.
pub fn clean_ui(ui: &mut Ui, sheet: &mut Sheet) {
    let hint = "a new bearing is not washed; what is washed is preserved at once";
    widgets::section_title(
        ui,
        Some(Section::Clean.number()),
        Section::Clean.title(),
        hint,
    );
    for path in sheet.order() {
        match path.as_str() {
            "clean.note" => {
                let width = ui.available_width();
                labelled(ui, &sheet.label(&path), |ui| {
                    sheet.words(ui, &path, "bath, time, what stayed on", width);
                });
                ui.add_space(space::M);
            }
            "skip.clean" => {}
            _ => choice(ui, sheet, &path),
        }
    }
    widgets::caution(
        ui,
        "Solvents and air",
        "Ventilation, gloves, eye protection, no ignition source. Air below 2 bar with guards, and never spin a bearing \
         with it. The site\u{2019}s own procedure holds.",
    );
    ui.add_space(space::S);
    let is_said = has(sheet.view.entries.fields(), "clean.state");
    let hint = "+ as last time. No abrasives by hand on working surfaces; what leaves a residue is not on the list.";
    foot(
        ui,
        sheet,
        hint,
        ("skip.clean", "Not cleaned\u{2026}", is_said),
    );
}

fn choice(ui: &mut Ui, sheet: &mut Sheet, path: &str) {
    labelled(ui, &sheet.label(path), |ui| {
        sheet.one_of(ui, path, width_of(ui, path));
    });
    ui.add_space(space::S);
}

/// Room for the longest list of the section.
fn width_of(ui: &Ui, path: &str) -> f32 {
    let count = match field::kind(path) {
        Some(field::FieldKind::Choice(list)) => list.words().len().max(1),
        _ => 1,
    };
    let longest = if path.starts_with("clean.") {
        1.5 * WORD
    } else {
        WORD
    };
    longest.min((ui.available_width() / count as f32).floor())
}
