//! The fields of a calculation, in a grid of columns; what is wrong stands under its row.

use calc::method::Kind;
use draw::tokens::{height, space};
use draw::{Align, Token};
use egui::{Rect, Ui, UiBuilder, pos2, vec2};
use store::entry::{LengthUnit, Show};

use super::field::segments_width;
use super::objects_view::objects_ui;
use super::pane::Pane;
use crate::bench::{Block, Cell, Unit};
use crate::ui::focus;
use crate::ui::text::{self, Face};
use crate::ui::widgets;

/// Least width of a column.
const COLUMN: f32 = 92.0;
const GAP: f32 = 14.0;
/// Caption and field.
const CAPTION: f32 = 20.0;
/// A line of a caption more.
const LINE: f32 = 17.0;

/// Where the keyboard left the fields.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Left {
    /// After the last one.
    Past,
    /// Before the first one.
    Before,
}

/// What the fields of one calculation share while they are drawn.
pub(super) struct Fields<'a> {
    pub(super) pane: &'a mut Pane,
    pub(super) show: Show,
    pub(super) side: usize,
    pub(super) order: &'a [String],
    pub(super) left: Option<Left>,
}

/// Paths of the fields of a side in the order of typing.
pub(super) fn order(side: &str, pane: &Pane) -> Vec<String> {
    pane.cells()
        .iter()
        .map(|cell| path_of(side, &cell.path))
        .collect()
}

pub(super) fn path_of(side: &str, path: &str) -> String {
    format!("bench/{side}/{path}")
}

/// All fields; where the keyboard left them.
pub(super) fn form_ui(
    ui: &mut Ui,
    show: Show,
    pane: &mut Pane,
    side: usize,
    order: &[String],
) -> Option<Left> {
    let blocks = pane.blocks();
    let cells = pane.cells();
    let mut fields = Fields {
        pane,
        show,
        side,
        order,
        left: None,
    };
    let mut row: Vec<Cell> = Vec::new();
    for block in &blocks {
        match block {
            Block::Cell(cell) => {
                row.push(cell.clone());
                row.extend(crate::bench::lower_of(cell, &fields.pane.form));
            }
            other => {
                fields.flow(ui, &std::mem::take(&mut row));
                fields.several(ui, other);
            }
        }
    }
    fields.flow(ui, &row);
    let left = fields.left;
    remark(ui, show, pane, order, &cells);
    left
}

/// What the field with the keyboard takes; without one, what the calculation answers.
fn remark(ui: &mut Ui, show: Show, pane: &Pane, order: &[String], cells: &[Cell]) {
    let current = focus::current(ui.ctx(), order).and_then(|at| cells.get(at));
    let words = current.map_or_else(|| pane.method.summary.to_owned(), |cell| hint(cell, show));
    let words = crate::bench::typeset(&words);
    // The longest text keeps its lines free, so that nothing below moves when the caret does.
    let summary = text::width(ui, Face::NOTE, pane.method.summary);
    let lines = (1.1 * summary / ui.available_width()).ceil().max(2.0);
    let (_, rect) = ui.allocate_space(vec2(ui.available_width(), 8.0 + 18.0 * lines));
    let inner = Rect::from_min_max(rect.min + vec2(0.0, 2.0), rect.max);
    text::note(&mut within(ui, "remark", inner), &words);
}

/// A place of the page to draw in; nothing is allocated, so that what follows stays where it is.
pub(super) fn within(ui: &mut Ui, salt: impl egui::AsIdSalt, place: Rect) -> Ui {
    let mut child = ui.new_child(UiBuilder::new().id_salt(salt).max_rect(place));
    child.spacing_mut().item_spacing.y = 0.0;
    child
}

fn hint(cell: &Cell, show: Show) -> String {
    let param = cell.param;
    let unit = if show.unit == LengthUnit::Inch
        && matches!(param.unit, "mm" | "um")
        && param.range.contains(|c: char| c.is_ascii_digit())
    {
        format!(" ({})", param.unit)
    } else {
        String::new()
    };
    let need = if param.required {
        ""
    } else {
        "; may be left empty"
    };
    if param.kind == Kind::Deviations {
        let (name, sign) = (&cell.label, Unit::Small.sign(show.unit));
        return format!(
            "{name}: a class such as H7 or f6, or a number for the upper deviation in {sign}"
        );
    }
    format!(
        "{}: {}{unit}{need}",
        cell.name,
        range_words(param.meaning, param.range)
    )
}

/// What explains a name further, then the range.
fn range_words(meaning: &str, range: &str) -> String {
    let range = grouped(range);
    match meaning.split_once([';', ',', ':']) {
        Some((_, more)) => format!("{}; {range}", more.trim()),
        None => range,
    }
}

/// The numbers of a range as they are read: a true minus, large ones in groups.
fn grouped(range: &str) -> String {
    let words = range.split(' ').map(|word| match word.parse::<f64>() {
        Ok(number) if number.abs() >= 10_000.0 && number.fract() == 0.0 => {
            let whole = Show::default().grouped(number.abs() as i64);
            let sign = if number < 0.0 { "\u{2212}" } else { "" };
            format!("{sign}{whole}")
        }
        Ok(_) => word.replace('-', "\u{2212}"),
        Err(_) => word.to_owned(),
    });
    words.collect::<Vec<_>>().join(" ")
}

impl Fields<'_> {
    /// Fields one after the other, as many a row as there is room for: one row if they fit, else in even columns.
    pub(super) fn flow(&mut self, ui: &mut Ui, cells: &[Cell]) {
        let width = ui.available_width();
        let wants: Vec<(f32, f32)> = cells.iter().map(|cell| self.wants(ui, cell)).collect();
        let all: f32 = wants
            .iter()
            .map(|(caption, own)| caption.max(*own) + GAP)
            .sum();
        if all <= width + GAP {
            let stretch = (width + GAP - all) / cells.len().max(1) as f32;
            let stretch = stretch.clamp(0.0, 48.0).floor();
            let row = cells
                .iter()
                .zip(&wants)
                .map(|(cell, (caption, own))| (cell, caption.max(*own) + stretch));
            self.flow_row(ui, &row.collect::<Vec<_>>());
            return;
        }
        // In several rows a caption may have two lines, and only a choice may be wider than the columns.
        let needs = cells.iter().zip(&wants).map(|(cell, (_, own))| {
            let own = if matches!(cell.param.kind, Kind::Choice(_)) {
                0.0
            } else {
                *own
            };
            two_lines(ui, &self.caption(cell)).max(own)
        });
        let columns = ((width + GAP) / (needs.fold(COLUMN, f32::max) + GAP))
            .floor()
            .max(1.0);
        let even = ((width + GAP) / columns).floor() - GAP;
        let mut row: Vec<(&Cell, f32)> = Vec::new();
        for (cell, (_, own)) in cells.iter().zip(&wants) {
            let wide = own.max(even);
            let used: f32 = row.iter().map(|(_, wide)| wide + GAP).sum();
            if !row.is_empty() && used + wide > width {
                self.flow_row(ui, &std::mem::take(&mut row));
            }
            row.push((cell, wide));
        }
        self.flow_row(ui, &row);
    }

    /// Fields side by side, each with its width, captions above them.
    fn flow_row(&mut self, ui: &mut Ui, row: &[(&Cell, f32)]) {
        if row.is_empty() {
            return;
        }
        let words: Vec<String> = row.iter().map(|(cell, _)| self.caption(cell)).collect();
        let is_long = |words: &str, wide: f32| text::width(ui, Face::NOTE, words) > wide;
        let long: Vec<bool> = words
            .iter()
            .zip(row)
            .map(|(words, (_, wide))| is_long(words, *wide))
            .collect();
        let more = if long.contains(&true) { LINE } else { 0.0 };
        let caption = CAPTION + more;
        let (_, place) = ui.allocate_space(vec2(
            ui.available_width(),
            caption + height::TOUCH + space::S,
        ));
        let mut x = place.left();
        for (((cell, wide), words), is_long) in row.iter().zip(&words).zip(long) {
            let top = place.top() + if is_long { 0.0 } else { more };
            let above = Rect::from_min_size(pos2(x, top), vec2(*wide, caption));
            text::note(&mut within(ui, ("caption", &cell.path), above), words);
            let below =
                Rect::from_min_size(pos2(x, place.top() + caption), vec2(*wide, height::TOUCH));
            self.field(ui, below, cell, true);
            x += wide + GAP;
        }
        let cells: Vec<Cell> = row.iter().map(|(cell, _)| (*cell).clone()).collect();
        self.errors(ui, &cells);
    }

    /// How wide a field wants to be: for its caption, and for its words or the number in it with its unit.
    fn wants(&self, ui: &Ui, cell: &Cell) -> (f32, f32) {
        let caption = text::width(ui, Face::NOTE, &self.caption(cell)) + 2.0;
        let own = match cell.param.kind {
            Kind::Choice(words) => {
                let all = segments_width(ui, words, !cell.param.required).1;
                if all <= ui.available_width() {
                    all
                } else {
                    200.0
                }
            }
            Kind::Text => 168.0,
            _ => {
                let typed = self.pane.form.shown(cell, self.show);
                let sign = text::width(ui, Face::NOTE, self.sign(cell, &typed));
                (text::width(ui, Face::VALUE, &typed) + sign + 30.0).max(COLUMN)
            }
        };
        let most = ui.available_width();
        (caption.min(most).ceil(), own.min(most).ceil())
    }

    /// What stands above a field: which of two deviations it is, once that is known.
    fn caption(&self, cell: &Cell) -> String {
        let is_upper = crate::bench::lower_of(cell, &self.pane.form)
            .is_some_and(|lower| lower.path != cell.path);
        let is_lower = cell.path.ends_with(".lower_um");
        if is_upper && !is_lower {
            format!("{}, upper", cell.label)
        } else {
            cell.label.clone()
        }
    }

    /// A list, a grid, or several objects.
    fn several(&mut self, ui: &mut Ui, block: &Block) {
        match block {
            Block::Cell(cell) => self.flow(ui, std::slice::from_ref(cell)),
            Block::List { path, label, cells } => {
                widgets::caption(ui, &self.with_unit(label, cells.first()));
                for cells in cells.chunks(per_row(ui)) {
                    self.row(ui, cells);
                }
                self.resize(ui, &[(path, label, cells.len())]);
            }
            Block::Grid { path, label, rows } => {
                widgets::caption(ui, &self.with_unit(label, rows.iter().flatten().next()));
                for cells in rows {
                    for cells in cells.chunks(per_row(ui)) {
                        self.row(ui, cells);
                    }
                }
                let columns = format!("{path}[]");
                let wide = rows.first().map_or(0, Vec::len);
                self.resize(
                    ui,
                    &[(path, "rows", rows.len()), (&columns, "columns", wide)],
                );
            }
            Block::Objects {
                path,
                label,
                objects,
            } => objects_ui(ui, self, path, label, objects),
        }
    }

    /// Fields without captions.
    fn row(&mut self, ui: &mut Ui, cells: &[Cell]) {
        let count = per_row(ui);
        let width = ui.available_width();
        let column = ((width + space::S) / count as f32).floor();
        let (_, row) = ui.allocate_space(vec2(width, height::TOUCH + space::S));
        for (i, cell) in cells.iter().enumerate() {
            let min = pos2(row.left() + column * i as f32, row.top());
            let place = Rect::from_min_size(min, vec2(column - space::S, height::TOUCH));
            self.field(ui, place, cell, false);
        }
        self.errors(ui, cells);
    }

    /// Buttons that make lists longer and shorter, with how long they are.
    pub(super) fn resize(&mut self, ui: &mut Ui, lists: &[(&str, &str, usize)]) {
        let mut changed = None;
        let size = vec2(ui.available_width(), height::TOUCH);
        let mut row = ui.allocate_space(size).1;
        let mut x = row.left();
        for (path, what, count) in lists {
            let said = format!("{count} {what}");
            let wide = 2.0 * 36.0 + text::width(ui, Face::NOTE, &said);
            if x > row.left() && x + wide > row.right() {
                row = ui.allocate_space(size).1;
                x = row.left();
            }
            let button = |ui: &mut Ui, x: f32, sign: &str, word: &str, is_on: bool| {
                let place = Rect::from_min_size(pos2(x, row.top()), vec2(32.0, height::TOUCH));
                let name = format!("{word}: {what}");
                let button = widgets::Button::new(widgets::Kind::Quiet, sign)
                    .enabled(is_on)
                    .name(&name);
                button.place(ui, place).clicked()
            };
            let mut wanted = *count;
            if button(ui, x, "\u{2212}", "Fewer", *count > 1) {
                wanted = count - 1;
            }
            let at = pos2(
                x + 36.0,
                text::baseline(row.top() + height::TOUCH / 2.0, Face::NOTE.size),
            );
            let words = text::at(ui, at, Align::Left, Face::NOTE, &said);
            if button(ui, words.right() + 4.0, "+", "More", true) {
                wanted = count + 1;
            }
            x = words.right() + 4.0 + 32.0 + space::M;
            if wanted != *count {
                changed = Some(((*path).to_owned(), wanted));
            }
        }
        ui.add_space(space::S);
        if let Some((path, count)) = changed {
            self.resize_to(&path, count);
        }
    }

    /// Makes a list so long; those of other objects, which share its rows, too.
    fn resize_to(&mut self, path: &str, count: usize) {
        let form = &mut self.pane.form;
        match path.split_once("[0].") {
            None => form.set_count(path, count),
            Some((objects, own)) => {
                for i in 0..form.count(objects, 1) {
                    form.set_count(&format!("{objects}[{i}].{own}"), count);
                }
            }
        }
        self.pane.changed(self.show.unit);
    }

    /// A name with the unit of its fields, which are too narrow to carry it.
    pub(super) fn with_unit(&self, label: &str, cell: Option<&Cell>) -> String {
        let sign = cell.map_or("", |cell| Unit::of(cell.param.unit).sign(self.show.unit));
        if sign.is_empty() {
            label.to_owned()
        } else {
            format!("{label}, {sign}")
        }
    }

    /// What is wrong with fields, under them.
    pub(super) fn errors(&self, ui: &mut Ui, cells: &[Cell]) {
        let mut is_any = false;
        for cell in cells {
            if let Some(why) = self.pane.wrong(&cell.path) {
                let words = format!("{}: {why}", cell.name);
                text::say(ui, Face::NOTE_STRONG.token(Token::Fail), &words);
                is_any = true;
            }
        }
        if is_any {
            ui.add_space(space::S);
        }
    }

    /// The unit that stands in a field; none beside a class.
    pub(super) fn sign(&self, cell: &Cell, text: &str) -> &'static str {
        match cell.param.kind {
            Kind::Deviations if text.is_empty() || crate::bench::is_class(text) => "",
            Kind::Deviations => Unit::Small.sign(self.show.unit),
            _ => Unit::of(cell.param.unit).sign(self.show.unit),
        }
    }
}

/// The least width in which words stand in two lines.
fn two_lines(ui: &Ui, words: &str) -> f32 {
    let width = |part: &str| text::width(ui, Face::NOTE, part) + 2.0;
    let broken = words
        .match_indices(' ')
        .map(|(at, _)| width(&words[..at]).max(width(&words[at + 1..])));
    broken.fold(width(words), f32::min)
}

/// Fields without captions in a row.
fn per_row(ui: &Ui) -> usize {
    ((ui.available_width() + space::S) / (90.0 + space::S))
        .floor()
        .max(1.0) as usize
}

/// How high a row with these words at its left is.
pub(super) fn row_height(ui: &Ui, width: f32, words: &str) -> f32 {
    // Words break where they end: a line is never quite full.
    let lines = (text::width(ui, Face::NOTE, words) * 1.2 / width)
        .ceil()
        .max(1.0);
    (height::TOUCH + 6.0).max(18.0 * lines + 8.0)
}

/// Words at the left of a row, centred on its field; more than one line begins at its top.
pub(super) fn row_label(ui: &mut Ui, row: Rect, width: f32, words: &str) {
    if text::width(ui, Face::NOTE, words) <= width {
        let middle = row.top() + height::TOUCH / 2.0;
        let at = pos2(row.left(), text::baseline(middle, Face::NOTE.size));
        text::at(ui, at, Align::Left, Face::NOTE, words);
        return;
    }
    let rect = Rect::from_min_size(row.min + vec2(0.0, 3.0), vec2(width, row.height()));
    text::note(&mut within(ui, ("label", words), rect), words);
}
