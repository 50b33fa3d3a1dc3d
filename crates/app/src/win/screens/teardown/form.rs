//! Fields of any kind in rows that wrap: what a section asks besides its grids and drawings.

use draw::tokens::{height, space};
use egui::{Ui, vec2};
use store::sheet::field::{self, FieldKind};

use super::fields::{Sheet, labelled, room};
use super::identify::ZONES;
use crate::ui::text::{self, Face};
use crate::win::screens::sheet::unit_of;

const NUMBER: f32 = 112.0;
const CODE: f32 = 168.0;

/// The fields one after the other, each under its name; words take a line of their own.
pub(super) fn flow(ui: &mut Ui, sheet: &mut Sheet, paths: &[&str]) {
    let room = ui.available_width();
    let mut row: Vec<(&str, f32)> = Vec::new();
    let mut used = 0.0;
    for path in paths {
        let width = width(ui, path).min(room);
        if used + width > room || (is_words(path) && !row.is_empty()) {
            line(ui, sheet, &row);
            row.clear();
            used = 0.0;
        }
        row.push((path, width));
        used += width + space::L;
        if is_words(path) {
            used = room;
        }
    }
    line(ui, sheet, &row);
}

fn is_words(path: &str) -> bool {
    matches!(field::kind(path), Some(FieldKind::Words))
}

fn width(ui: &Ui, path: &str) -> f32 {
    let own = match field::kind(path) {
        Some(FieldKind::Number(_)) => NUMBER,
        Some(FieldKind::Choice(list)) => {
            let words = list.words();
            segment(ui, &words) * words.len() as f32
        }
        Some(FieldKind::Zone) => 56.0 * ZONES.len() as f32,
        Some(FieldKind::Words) => return f32::MAX,
        _ => CODE,
    };
    own.max(text::width(ui, Face::NOTE, &field::label(path)).ceil())
}

/// Room for the longest word of a choice.
fn segment(ui: &Ui, words: &[(&str, &str)]) -> f32 {
    let longest = words
        .iter()
        .map(|(_, word)| text::width(ui, Face::SECTION, word))
        .fold(0.0, f32::max);
    // Words of more than three letters are set in the size of the body.
    (longest * 0.84 + space::XL).ceil().max(96.0)
}

fn line(ui: &mut Ui, sheet: &mut Sheet, row: &[(&str, f32)]) {
    if row.is_empty() {
        return;
    }
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        for (path, width) in row {
            let label = sheet.label(path);
            ui.vertical(|ui| {
                ui.set_width(width.min(ui.available_width()));
                labelled(ui, &label, |ui| one(ui, sheet, path, *width));
            });
        }
    });
    ui.add_space(space::M);
}

fn one(ui: &mut Ui, sheet: &mut Sheet, path: &str, width: f32) {
    match field::kind(path) {
        Some(FieldKind::Number(quantity)) => {
            let unit = unit_of(quantity, sheet.unit());
            let (_, rect) = ui.allocate_space(vec2(NUMBER, height::TOUCH));
            room(ui, rect, |ui| sheet.number(ui, path, rect, unit));
        }
        Some(FieldKind::Choice(list)) => {
            let segment = segment(ui, &list.words());
            sheet.one_of(ui, path, segment);
        }
        Some(FieldKind::Zone) => sheet.choice(ui, path, &ZONES, &ZONES, 56.0),
        Some(FieldKind::Words) => {
            let width = ui.available_width().min(width);
            sheet.words(ui, path, "for those who were not there", width);
        }
        Some(FieldKind::Code(entity)) => {
            let choices = if entity == "gauge" {
                let measures: &[&str] = match path {
                    "bolts.wrench" => &["torque"],
                    _ => &["width", "gap", "other"],
                };
                measures
                    .iter()
                    .flat_map(|m| sheet.model.gauges(m))
                    .collect()
            } else {
                sheet.model.choices(entity)
            };
            sheet.code(ui, path, "which one?", CODE, &choices);
        }
        _ => {}
    }
}
