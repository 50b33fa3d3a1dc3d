//! Pieces of the reading page: a fact in a line, a reading as typed, the gauges of a section.

use draw::Token;
use egui::Ui;
use store::Stamp;
use store::entry::Show;
use store::payload::Reading;

use super::{SignedModel, is_usual};
use crate::ui::text::Face;
use crate::ui::widgets::{Cells, Col, Columns, Row};

/// Beside a drawing there is room for short labels only.
fn is_narrow(ui: &Ui) -> bool {
    ui.available_width() < 800.0
}

/// A label with its words, in a line.
pub(super) fn fact(ui: &mut Ui, label: &str, words: &str) {
    let share = if is_narrow(ui) { 110.0 } else { 320.0 };
    let columns = Columns::new(vec![Col::left("", share), Col::rest("")]);
    columns.row(ui, &Row::reading(format!("{label}: {words}")), |cells| {
        cells.put(Face::BODY.muted(), label).text(words);
    });
}

/// A reading as it was typed; the unit where it was another than mm, or always.
pub(super) fn typed(reading: &Reading, with_unit: bool) -> String {
    let text = reading.text.trim();
    let has_own = text.chars().any(char::is_alphabetic);
    let unit = match reading.unit.as_str() {
        "C" => "\u{b0}C",
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

/// Whether an entry names a gauge, and is told by [`gauges`].
pub(super) fn is_gauge(path: &str) -> bool {
    path.contains(".gauge")
}

/// The gauges that fields beginning with `prefix` name, and how they stood on that day.
pub(super) fn gauges(ui: &mut Ui, model: &SignedModel, prefix: &str, show: Show) {
    let d = &model.detail;
    for entry in d
        .body
        .entries
        .iter()
        .filter(|e| e.path.starts_with(prefix) && is_gauge(&e.path))
    {
        let gauge = d
            .gauges
            .values()
            .find(|g| g.code.eq_ignore_ascii_case(entry.text.trim()));
        let Some(gauge) = gauge else {
            fact(ui, &model.detail.label(&entry.path, show), &entry.text);
            continue;
        };
        let due = Stamp::second(gauge.due_ms, d.event.at.offset_min).date();
        let status = match gauge.other_doubt() {
            Some(doubt) => format!("{doubt}, valid to"),
            None if gauge.is_overdue => "was overdue since".to_owned(),
            None => "valid to".to_owned(),
        };
        let doubt = gauge.expanded_uncertainty_nm.map_or_else(
            || "U not known".into(),
            |u| format!("U {} at k = 2", show.length_unit(u)),
        );
        if is_narrow(ui) {
            let words = format!(
                "{}, {doubt}, {status} {due}, {}",
                gauge.code, gauge.certificate
            );
            fact(ui, "Gauge", &words);
        } else {
            let (code, kind) = (&gauge.code, &gauge.kind);
            let words = format!(
                "{code}, {kind}, {doubt}, {status} {due}, {}",
                gauge.certificate
            );
            fact(ui, &model.detail.label(&entry.path, show), &words);
        }
    }
}
