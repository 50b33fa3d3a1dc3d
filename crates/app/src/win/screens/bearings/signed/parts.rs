//! Pieces of the reading page: a fact in a line, a reading as typed, the gauges of a section.

use draw::Token;
use draw::tokens::space;
use egui::Ui;
use store::entry::{LengthUnit, Show};
use store::payload::Reading;

use super::SignedModel;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Cells, Col, Columns, Row};
use crate::win::screens::bearings::verdicts::gauge_words;

/// Beside a drawing there is room for short labels only.
fn is_narrow(ui: &Ui) -> bool {
    ui.available_width() < 800.0
}

/// A label with its words, in a line, or in as many as the words need: nothing is cut off.
pub(super) fn fact(ui: &mut Ui, label: &str, words: &str) {
    let share = if is_narrow(ui) { 110.0 } else { 320.0 };
    let name = format!("{label}: {words}");
    let room = ui.available_width() - share - 16.0;
    if text::width(ui, Face::BODY, words) <= room {
        let columns = Columns::new(vec![Col::left("", share), Col::rest("")]);
        columns.row(ui, &Row::reading(name), |cells| {
            cells.put(Face::BODY.muted(), label).text(words);
        });
        return;
    }
    ui.add_space(space::XS);
    let shown = ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 16.0;
        ui.scope(|ui| {
            ui.set_width(share);
            text::say(ui, Face::BODY.muted(), label);
        });
        ui.vertical(|ui| {
            ui.set_width(room.max(60.0));
            text::body(ui, words);
        });
    });
    shown
        .response
        .widget_info(|| egui::WidgetInfo::labeled(egui::Role::Row, true, &name));
    ui.add_space(space::XS);
    widgets::rule(ui);
}

/// A reading as it was typed; the unit where it was another than mm, or always.
pub(super) fn typed(reading: &Reading, with_unit: bool) -> String {
    let text = reading.text.trim();
    let has_own = text.chars().any(char::is_alphabetic);
    let unit = match reading.unit.as_str() {
        "C" => "\u{b0}C",
        "Nm" => "N m",
        other => other,
    };
    if has_own || unit.is_empty() || (!with_unit && is_usual(&reading.unit)) {
        text.to_owned()
    } else {
        format!("{text} {unit}")
    }
}

/// A reading as typed in the next cell; in doubt where its gauge was overdue.
pub(super) fn reading_cell(cells: &mut Cells, reading: Option<&Reading>) {
    match reading {
        None => cells.note("\u{2013}"),
        Some(r) if r.is_gauge_overdue => {
            cells.put(Face::BODY.token(Token::Doubt), &typed(r, false))
        }
        Some(r) => cells.text(&typed(r, false)),
    };
}

pub(super) fn length_or_dash(nm: Option<i64>, show: Show) -> String {
    nm.map_or_else(|| "\u{2013}".into(), |nm| show.length(nm))
}

/// The gauges that these fields name, how they stood on that day, and what they read on their standard.
pub(super) fn gauges<'a>(
    ui: &mut Ui,
    model: &SignedModel,
    fields: impl Iterator<Item = &'a String>,
    show: Show,
) {
    let d = &model.detail;
    for path in fields {
        let Some(code) = d.entry(path) else { continue };
        let mut words = gauge_words(d, code, show).join(", ");
        words.truncate(words.trim_end_matches(", ").len());
        if let Some(check) = crate::print::check(d, path, show) {
            words = format!("{words}; on its standard: {check}");
        }
        let label = if is_narrow(ui) {
            "Gauge".to_owned()
        } else {
            d.label(path, show)
        };
        fact(ui, &label, &words);
    }
}

/// The unit that a bare number had.
fn is_usual(unit: &str) -> bool {
    unit.is_empty() || unit == LengthUnit::Millimetre.sign()
}
