//! Fields of several objects as a table: a column each, as a sheet of measurements has it.

use draw::Align;
use draw::tokens::{height, space};
use egui::{Rect, Ui, pos2, vec2};

use super::form_view::{Fields, row_height, row_label};
use crate::bench::{Block, Cell, ROW_PAIR, one_of, plural, singular};
use crate::ui::text::{self, Face};

const LABEL: f32 = 136.0;
const COLUMN: f32 = 84.0;

/// All objects, as many abreast as there is room for.
pub(super) fn objects_ui(
    ui: &mut Ui,
    fields: &mut Fields,
    path: &str,
    label: &str,
    objects: &[Vec<Block>],
) {
    let width = ui.available_width();
    let abreast = ((width - LABEL) / COLUMN).floor().max(1.0) as usize;
    if singular(label) == ROW_PAIR {
        text::note(ui, "Rows are counted from the barrel here.");
    }
    let mut first = 0;
    for group in objects.chunks(abreast) {
        let column = ((width - LABEL) / abreast.min(objects.len().max(2)) as f32).floor();
        let column = column.min(180.0);
        heads(ui, label, first, group.len(), column);
        for row in rows(group) {
            let first = row.iter().flatten().next();
            let words = first.map_or_else(String::new, |cell| fields.with_unit(&cell.label, first));
            let high = row_height(ui, LABEL - space::S, &words);
            let (_, place) = ui.allocate_space(vec2(width, high));
            row_label(ui, place, LABEL - space::S, &words);
            for (i, cell) in row.iter().enumerate() {
                let Some(cell) = cell else { continue };
                let min = pos2(place.left() + LABEL + column * i as f32, place.top());
                let place = Rect::from_min_size(min, vec2(column - space::S, height::TOUCH));
                fields.field(ui, place, cell, false);
            }
            let cells: Vec<Cell> = row.into_iter().flatten().collect();
            fields.errors(ui, &cells);
        }
        first += group.len();
    }
    let mut resized = vec![(path, plural(label), objects.len())];
    // Lists of all objects share their rows: those of the first stand for the others.
    let lists = lists(objects.first());
    resized.extend(
        lists
            .iter()
            .map(|(path, what, count)| (*path, *what, *count)),
    );
    fields.resize(ui, &resized);
}

fn heads(ui: &mut Ui, label: &str, first: usize, count: usize, column: f32) {
    let (_, head) = ui.allocate_space(vec2(ui.available_width(), 24.0));
    for i in 0..count {
        let words = one_of(label, first + i);
        let centre = head.left() + LABEL + column * i as f32 + (column - space::S) / 2.0;
        text::at(
            ui,
            pos2(centre, head.top() + 15.0),
            Align::Centre,
            Face::NOTE_STRONG,
            &words,
        );
    }
}

/// The fields of a group side by side; none where an object has a shorter list.
fn rows(group: &[Vec<Block>]) -> Vec<Vec<Option<Cell>>> {
    let Some(first) = group.first() else {
        return Vec::new();
    };
    let mut rows = Vec::new();
    for at in 0..first.len() {
        let columns: Vec<Vec<Cell>> = group.iter().map(|object| flat(object.get(at))).collect();
        let height = columns.iter().map(Vec::len).max().unwrap_or(0);
        rows.extend((0..height).map(|row| {
            columns
                .iter()
                .map(|cells| cells.get(row).cloned())
                .collect()
        }));
    }
    rows
}

fn flat(block: Option<&Block>) -> Vec<Cell> {
    match block {
        None => Vec::new(),
        Some(Block::Cell(cell)) => vec![cell.clone()],
        Some(Block::List { cells, .. }) => cells.clone(),
        Some(Block::Grid { rows, .. }) => rows.concat(),
        Some(Block::Objects { objects, .. }) => objects
            .concat()
            .iter()
            .flat_map(|block| flat(Some(block)))
            .collect(),
    }
}

/// The lists inside an object: path, name, length.
fn lists(object: Option<&Vec<Block>>) -> Vec<(&str, &str, usize)> {
    let all = object
        .into_iter()
        .flatten()
        .filter_map(|block| match block {
            Block::List { path, label, cells } => {
                Some((path.as_str(), label.as_str(), cells.len()))
            }
            _ => None,
        });
    all.collect()
}
