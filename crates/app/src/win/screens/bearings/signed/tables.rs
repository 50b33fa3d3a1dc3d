//! Tables of the reading page: readings as they stand on paper, and verdicts with the way to what stands behind them.

use draw::tokens::space;
use draw::{Align, Token};
use egui::{Ui, pos2};
use report::{Cell, Table, Tone};
use store::entry::Show;

use super::{SignedModel, SignedView};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Cells, Col, Columns, Row};
use crate::win::screens::bearings::verdicts::{Judged, why_badge};

/// Room for what a row is, and for one number.
const LEAD: f32 = 150.0;
const NUMBER: f32 = 124.0;
/// From here on a verdict has its whole title, and further on it tells where its limit comes from as well.
const WIDE: f32 = 980.0;
const WIDEST: f32 = 1_300.0;

/// A table of readings.
pub(super) fn table_ui(ui: &mut Ui, table: &Table) {
    widgets::heading(ui, &table.title, &table.note);
    let is_number = |at: usize| {
        let column = table.columns.get(at);
        column.is_some_and(|column| column.align == report::Align::Right)
    };
    let heads = table.columns.iter().enumerate().map(|(at, column)| {
        if is_number(at) {
            Col::right(&column.head, NUMBER)
        } else if column.wide {
            Col::rest(&column.head)
        } else {
            Col::left(&column.head, LEAD)
        }
    });
    let columns = Columns::new(heads.collect());
    columns.header(ui);
    for (number, cells) in (1..).zip(&table.rows) {
        let name = match cells.first() {
            Some(first) if !is_number(0) => format!("{}, {}", table.title, plain(first)),
            _ => format!("{}, line {number}", table.title),
        };
        let has_under = cells.iter().any(|cell| !cell.under.is_empty());
        let row = if has_under {
            Row::action(name)
        } else {
            Row::reading(name)
        };
        columns.row(ui, &row, |out| {
            for (at, cell) in cells.iter().enumerate() {
                cell_ui(out, cell, is_number(at));
            }
        });
    }
    ui.add_space(space::M);
}

fn plain(cell: &Cell) -> String {
    cell.pieces
        .iter()
        .map(|piece| piece.text.as_str())
        .collect()
}

/// What was typed, what was amended of it struck before it, and below it what that is at 20 C.
fn cell_ui(out: &mut Cells, cell: &Cell, is_number: bool) {
    let is_one = cell.pieces.len() <= 1;
    if is_one && cell.under.is_empty() {
        out.text(&plain(cell));
        return;
    }
    out.ui(|ui| {
        let rect = ui.max_rect();
        let middle = rect.center().y - if cell.under.is_empty() { -6.0 } else { 2.0 };
        let face = |tone: Tone| match tone {
            Tone::Struck => Face::NOTE.struck(),
            Tone::Bold => Face::STRONG,
            _ => Face::BODY,
        };
        if is_number {
            let mut right = rect.right();
            for piece in cell.pieces.iter().rev() {
                let (face, words) = (face(piece.tone), piece.text.trim());
                if !words.is_empty() {
                    let at = pos2(right, middle);
                    right = text::at(ui, at, Align::Right, face, words).left() - space::S;
                }
            }
            let below = pos2(rect.right(), middle + 19.0);
            if !cell.under.is_empty() {
                text::at(ui, below, Align::Right, Face::NOTE, &cell.under);
            }
        } else {
            let at = pos2(rect.left(), middle);
            text::at_most(ui, at, rect.width(), Face::BODY, &plain(cell));
        }
    });
}

/// Verdicts, a line each, with what stands behind each of them at its badge.
pub(super) fn verdicts_ui(
    ui: &mut Ui,
    show: Show,
    model: &SignedModel,
    indexes: &[usize],
    view: &mut SignedView,
) {
    let limits = model.bearing_type.as_ref();
    let judged = indexes
        .iter()
        .filter_map(|&index| Some((index, Judged::of_sheet(&model.detail, limits, index, show)?)));
    let judged: Vec<_> = judged.collect();
    if judged.is_empty() {
        return;
    }
    let is_wide = ui.available_width() >= WIDE;
    let numbers = [
        Col::right("found", 96.0),
        Col::left("limit", 150.0),
        Col::right("", 116.0),
        Col::left("verdict", 140.0),
    ];
    let has_origin = ui.available_width() >= WIDEST;
    let lead = if is_wide {
        Col::left("what", 380.0)
    } else {
        Col::rest("what")
    };
    let end = has_origin.then(|| Col::rest("limit from"));
    let columns = Columns::new([lead].into_iter().chain(numbers).chain(end).collect());
    columns.header(ui);
    for (index, judged) in judged {
        columns.row(ui, &Row::result(judged.title.clone()), |cells| {
            // Under the title of its seat a line needs no more than what is its own.
            let short = match judged.title.split_once(", ") {
                Some((_, short)) if !is_wide => short,
                _ => &judged.title,
            };
            cells
                .text(short)
                .value(&judged.value(show))
                .note(&judged.limit(show))
                .note(&judged.margin(show));
            if let Some(beside) = why_badge(cells, &judged) {
                view.why = Some((index, beside));
            }
            if has_origin {
                let face = Face::NOTE.token(Token::Muted);
                cells.put(face, &judged.origin);
            }
        });
    }
    ui.add_space(space::S);
}
