//! The clearance of a whole bearing: how it is read, row by row, and what it comes to.

use draw::tokens::{height, space};
use draw::{Align, Mark};
use egui::{Ui, pos2};
use store::draft::Fields;
use store::rows::Rows;
use store::sheet::field::halves;
use store::sheet::field::radial::{RadialCell, Way, lines};
use store::sheet::field::{self, FieldKind};
use store::sheet::{
    Assessment, RadialView, RowView, Section, gauge_measures, gauge_paths, gauges_for,
};

use super::clearance::foot;
use super::fields::{Sheet, badge_at, field_at, labelled, mark, strip};
use super::gauge::gauge_line;
use super::order::add_skip;
use super::view::Why;
use crate::drawings::section;
use crate::ui::text::{self, Face};
use crate::ui::{paint, widgets};

/// Left edge of the first field, and from one to the next.
const FIRST: f32 = 132.0;
const PITCH: f32 = 98.0;
/// Room for the choice of the way; how wide the section is drawn at most.
const METHOD: f32 = 400.0;
const WIDEST: f32 = 420.0;
/// Right end of the values, and left end of the badges, from the last field on.
const VALUE: f32 = 92.0;
const BADGE: f32 = 116.0;

/// The fields of the section in order.
pub fn order(a: &Assessment, radial: &RadialView, fields: &Fields) -> Vec<String> {
    let mut order = Vec::new();
    if radial.way != Some(Way::Axial) {
        order.push("radial.method".to_owned());
    }
    if let Some(way) = radial.way {
        let cells = lines(way, radial.rows.len()).into_iter().flatten();
        order.extend(cells.map(RadialCell::path));
        order.extend(gauge_paths(way).iter().map(|path| (*path).to_owned()));
    }
    if let (Some(taper), Some(_)) = (&a.taper, radial.way) {
        order.extend(halves::TAPER.map(str::to_owned));
        add_skip(&mut order, "skip.taper", taper.missing == 0, fields);
    }
    let is_read = a.clearance.pairs[0].is_complete;
    add_skip(&mut order, "skip.clearance", is_read, fields);
    order
}

/// The section.
pub fn radial_ui(ui: &mut Ui, sheet: &mut Sheet, radial: &RadialView) {
    let family = sheet.facts().family();
    let how = radial.way.map_or("", Way::method);
    let title = Section::Clearance;
    widgets::section_title(ui, Some(title.number()), title.title(), how);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        if !family.ways().is_empty() {
            ui.vertical(|ui| {
                ui.set_width(METHOD);
                method(ui, sheet, family.ways());
            });
        }
        drawing(ui, sheet);
    });
    if let Some(way) = radial.way {
        rows(ui, sheet, radial, way);
        ui.add_space(space::S);
        widgets::rule(ui);
        for (path, label) in gauges_for(way) {
            gauge_line(ui, sheet, path, label, gauge_measures(way, path));
        }
        whole(ui, sheet, radial);
        super::taper::taper_ui(ui, sheet);
    }
    let is_read = sheet.a.clearance.pairs[0].is_complete;
    let hint = match radial.way {
        None => "Choose how it is read: only clearances read alike are compared.",
        Some(Way::Leaves) => {
            "Over three rollers, never rolled through under one. One place of a row is enough, up to four are kept."
        }
        Some(_) => {
            "Enter, Tab or the gauge\u{2019}s line end goes on to the next place; Shift Enter goes back."
        }
    };
    foot(
        ui,
        sheet,
        hint,
        ("skip.clearance", "Not measured\u{2026}", is_read),
    );
}

/// The bearing in section, as large as the place beside the choice is.
fn drawing(ui: &mut Ui, sheet: &Sheet) {
    let Some(t) = &sheet.facts().bearing_type else {
        return;
    };
    let width = (ui.available_width() - space::S).min(WIDEST);
    if let Some(section) = section(t, sheet.show()) {
        paint::scene(ui, &section.scene(width));
    }
}

/// The ways of this family only.
fn method(ui: &mut Ui, sheet: &mut Sheet, ways: &[&str]) {
    let path = "radial.method";
    let Some(FieldKind::Choice(list)) = field::kind(path) else {
        return;
    };
    let words: Vec<&str> = ways.iter().filter_map(|way| list.shown(way)).collect();
    labelled(ui, &sheet.label(path), |ui| {
        sheet.choice(ui, path, &words, ways, 200.0);
    });
    ui.add_space(space::M);
}

/// What stands over the fields of a line.
fn heads(way: Way) -> Vec<&'static str> {
    match way {
        Way::Diameters => vec!["raceway 0\u{b0}", "90\u{b0}", "rollers 0\u{b0}", "90\u{b0}"],
        Way::ThinRing => vec!["one side", "open place", "other side"],
        Way::Leaves | Way::Axial => vec!["0\u{b0}", "90\u{b0}", "180\u{b0}", "270\u{b0}"],
    }
}

fn rows(ui: &mut Ui, sheet: &mut Sheet, radial: &RadialView, way: Way) {
    let head = strip(ui, 24.0);
    let at = pos2(head.left(), head.top() + 17.0);
    let unit = sheet.show().unit.sign();
    text::at(ui, at, Align::Left, Face::NOTE, unit);
    for (at, words) in (0_u8..).zip(heads(way)) {
        let x = head.left() + FIRST + PITCH * f32::from(at) + 44.0;
        let at = pos2(x, head.top() + 17.0);
        text::at(ui, at, Align::Centre, Face::NOTE, words);
    }
    for line in lines(way, radial.rows.len()) {
        let rect = strip(ui, height::FIELD_ROW);
        let (Some(first), top) = (line.first().copied(), rect.top() + 10.0) else {
            continue;
        };
        let middle = top + height::TOUCH / 2.0;
        let at = pos2(rect.left(), text::baseline(middle, Face::STRONG.size));
        text::at(
            ui,
            at,
            Align::Left,
            Face::STRONG,
            &name(first, sheet.rows()),
        );
        let mut right = rect.left() + FIRST;
        for (at, cell) in (0_u8..).zip(&line) {
            let x = rect.left() + FIRST + PITCH * f32::from(at);
            sheet.number(ui, &cell.path(), field_at(x, top), "");
            right = x + 88.0;
        }
        // Of a row with two lines the second carries what it comes to.
        if matches!(first, RadialCell::Passes { .. }) {
            continue;
        }
        let row = first.row().map_or(0, |row| row - 1);
        if let Some(view) = radial.rows.get(row) {
            result(ui, sheet, (row, view), right, middle);
        }
    }
}

fn name(cell: RadialCell, rows: Rows) -> String {
    match cell {
        RadialCell::Passes { row, .. } => format!("row {} passes", rows.row(row)),
        RadialCell::Refused { .. } => "refused".to_owned(),
        RadialCell::Axial { .. } => "to and fro".to_owned(),
        other => other
            .row()
            .map_or_else(String::new, |row| format!("row {}", rows.row(row))),
    }
}

/// Clearance and mark of one row, with what stands behind it.
fn result(ui: &mut Ui, sheet: &mut Sheet, (row, view): (usize, &RowView), right: f32, middle: f32) {
    let value = view.clearance_nm.map(|nm| sheet.show().length(nm));
    let face = Face::SECTION;
    let at = pos2(right + VALUE, text::baseline(middle, face.size));
    text::at(
        ui,
        at,
        Align::Right,
        face,
        value.as_deref().unwrap_or("\u{2013}"),
    );
    let left = right + BADGE;
    if view.clearance_nm.is_none() {
        let word = format!("{} to read", view.missing);
        widgets::badge_at(ui, pos2(left, middle), Mark::Missing, &word);
        return;
    }
    let (sign, word) = (mark(view.verdict), view.verdict.word());
    let number = sheet.rows().row(row + 1);
    let name = format!("row {number}: {word}; why?");
    if let Some(beside) = badge_at(ui, left, middle, sign, word, &name) {
        sheet.view.why = Some((Why::Row(row), beside));
    }
}

/// The clearance of the bearing with its verdict; a contradiction in place of it.
fn whole(ui: &mut Ui, sheet: &mut Sheet, radial: &RadialView) {
    if let Some(words) = radial.rows.iter().find_map(|row| row.contradiction.clone()) {
        ui.add_space(space::S);
        widgets::error_box(ui, "Not possible", &sheet.told(&words));
        return;
    }
    let pair = sheet.a.clearance.pairs[0].clone();
    let Some(nm) = pair.end_play_nm else { return };
    let rect = strip(ui, height::TOUCH);
    let middle = rect.center().y;
    let what = sheet.facts().family().clearance();
    let words = if radial.rows.len() > 1 {
        format!("{what}, mean of the rows")
    } else {
        what.to_owned()
    };
    let at = pos2(rect.left(), text::baseline(middle, Face::STRONG.size));
    text::at(ui, at, Align::Left, Face::STRONG, &words);
    let right = rect.left() + FIRST + 3.0 * PITCH + 88.0;
    let at = pos2(right + VALUE, text::baseline(middle, Face::BIG.size));
    text::at(ui, at, Align::Right, Face::BIG, &sheet.show().length(nm));
    let word = pair.verdict.word();
    let name = format!("{what}: {word}; why?");
    if let Some(beside) = badge_at(ui, right + BADGE, middle, mark(pair.verdict), word, &name) {
        sheet.view.why = Some((Why::Pair(0), beside));
    }
}
