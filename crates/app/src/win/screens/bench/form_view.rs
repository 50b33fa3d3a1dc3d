//! The fields of a calculation, in a grid of columns; what is wrong stands under its row.

use calc::method::Kind;
use draw::tokens::{height, space};
use draw::{Align, Token};
use egui::{Rect, Ui, UiBuilder, pos2, vec2};
use store::entry::{LengthUnit, Show};

use super::objects_view::objects_ui;
use super::pane::Pane;
use super::view::SIDES;
use crate::bench::{Block, Cell, Unit};
use crate::ui::focus::{self, Step};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{
    self, Choice, CodeField, Coded, FieldState, Outcome, Segments, TextField, ValueField,
};

/// Least width of a column.
const COLUMN: f32 = 92.0;
const GAP: f32 = 14.0;
/// Caption and field.
const CAPTION: f32 = 20.0;

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
    side: usize,
    order: &'a [String],
    left: Option<Left>,
}

/// Paths of the fields of a side in the order of typing.
pub(super) fn order(side: &str, pane: &Pane) -> Vec<String> {
    pane.cells()
        .iter()
        .map(|cell| path_of(side, &cell.path))
        .collect()
}

fn path_of(side: &str, path: &str) -> String {
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
    // Two lines are kept free, so that nothing below moves when the caret does.
    let (_, rect) = ui.allocate_space(vec2(ui.available_width(), 44.0));
    let inner = Rect::from_min_max(rect.min + vec2(0.0, 2.0), rect.max);
    text::note(&mut within(ui, "remark", inner), &words);
}

/// A place of the page to draw in; nothing is allocated, so that what follows stays where it is.
fn within(ui: &mut Ui, salt: impl egui::AsIdSalt, place: Rect) -> Ui {
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
    match meaning.split_once([';', ',', ':']) {
        Some((_, more)) => format!("{}; {range}", more.trim()),
        None => range.to_owned(),
    }
}

impl Fields<'_> {
    /// Fields one after the other, as many a row as there is room for: one row if they fit, else in even columns.
    pub(super) fn flow(&mut self, ui: &mut Ui, cells: &[Cell]) {
        let width = ui.available_width();
        let natural: Vec<f32> = cells
            .iter()
            .map(|cell| self.natural_width(ui, cell))
            .collect();
        let all = natural.iter().sum::<f32>() + GAP * natural.len() as f32;
        let is_one_row = all <= width + GAP;
        let widest = natural.iter().copied().fold(COLUMN, f32::max);
        let columns = ((width + GAP) / (widest + GAP)).floor().max(1.0);
        let even = ((width + GAP) / columns).floor() - GAP;
        let stretch = ((width + GAP - all) / natural.len().max(1) as f32)
            .clamp(0.0, 48.0)
            .floor();
        let per_row = if is_one_row {
            cells.len().max(1)
        } else {
            columns as usize
        };
        for (cells, widths) in cells.chunks(per_row).zip(natural.chunks(per_row)) {
            let (_, row) = ui.allocate_space(vec2(width, CAPTION + height::TOUCH + space::S));
            let mut x = row.left();
            for (cell, natural) in cells.iter().zip(widths) {
                let wide = if is_one_row { natural + stretch } else { even };
                text::at_most(
                    ui,
                    pos2(x, row.top() + 13.0),
                    wide,
                    Face::NOTE,
                    &self.caption(cell),
                );
                let place =
                    Rect::from_min_size(pos2(x, row.top() + CAPTION), vec2(wide, height::TOUCH));
                self.field(ui, place, cell, true);
                x += wide + GAP;
            }
            self.errors(ui, cells);
        }
    }

    /// How wide a field wants to be: for its caption, its words, or the number in it with its unit.
    fn natural_width(&self, ui: &Ui, cell: &Cell) -> f32 {
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
        caption.max(own).min(ui.available_width()).ceil()
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
        let (_, row) = ui.allocate_space(vec2(ui.available_width(), height::TOUCH + space::S));
        let mut x = row.left();
        for (path, what, count) in lists {
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
            let words = text::at(ui, at, Align::Left, Face::NOTE, &format!("{count} {what}"));
            if button(ui, words.right() + 4.0, "+", "More", true) {
                wanted = count + 1;
            }
            x = words.right() + 4.0 + 32.0 + space::M;
            if wanted != *count {
                changed = Some(((*path).to_owned(), wanted));
            }
        }
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

    /// One field in its place.
    pub(super) fn field(&mut self, ui: &mut Ui, place: Rect, cell: &Cell, has_unit: bool) {
        let path = path_of(SIDES[self.side], &cell.path);
        let before = self.pane.form.shown(cell, self.show);
        let mut text = before.clone();
        let sign = self.sign(cell, &text);
        let name = if sign.is_empty() {
            cell.name.clone()
        } else {
            format!("{}, {sign}", cell.name)
        };
        let wrong = self.pane.wrong(&cell.path).map(str::to_owned);
        let state = wrong
            .as_deref()
            .map_or(FieldState::Plain, |reason| FieldState::Refused {
                reason,
                detail: "",
                offer: None,
            });
        let mut inside = within(ui, &path, place);
        let outcome = match cell.param.kind {
            Kind::Choice(words) => choice(
                &mut inside,
                &path,
                &name,
                words,
                !cell.param.required,
                &mut text,
            ),
            Kind::YesNo | Kind::YesNos => yes_no(&mut inside, &path, &name, &mut text),
            Kind::Text => TextField::new(&path, &name)
                .width(place.width())
                .show(&mut inside, &mut text),
            _ => {
                let unit = if has_unit { sign } else { "" };
                ValueField::new(&path, &name)
                    .unit(unit)
                    .state(state)
                    .place(ui, place, &mut text)
            }
        };
        let is_choice = matches!(
            cell.param.kind,
            Kind::Choice(_) | Kind::YesNo | Kind::YesNos
        );
        if text != before {
            self.pane.typing = (!is_choice).then(|| cell.path.clone());
            self.pane.put(&cell.path, &text, self.show.unit);
        }
        match outcome {
            Outcome::Commit(step) => {
                self.pane.typing = None;
                self.go_on(ui, &path, step);
            }
            Outcome::Left => self.pane.typing = None,
            Outcome::Column(lines) => self.paste(ui, cell, &lines),
            _ => {}
        }
    }

    fn go_on(&mut self, ui: &Ui, path: &str, step: Step) {
        // A number for an upper deviation has just brought the field of the lower one.
        let order = order(SIDES[self.side], self.pane);
        if focus::step(ui.ctx(), &order, path, step).is_none() {
            self.left = Some(if step == Step::Forward {
                Left::Past
            } else {
                Left::Before
            });
        }
    }

    /// A column goes into this field and those after it; a list grows for it.
    fn paste(&mut self, ui: &Ui, cell: &Cell, lines: &[String]) {
        if let Some((list, number)) = cell.path.rsplit_once('[')
            && let Ok(at) = number.trim_end_matches(']').parse::<usize>()
            && matches!(cell.param.kind, Kind::Numbers)
        {
            let count = self.pane.form.count(list, 1).max(at + lines.len());
            self.pane.form.set_count(list, count);
        }
        let cells = self.pane.cells();
        let Some(first) = cells.iter().position(|other| other.path == cell.path) else {
            return;
        };
        let mut last = first;
        for (cell, line) in cells[first..].iter().zip(lines) {
            self.pane.form.put(&cell.path, line, self.show.unit);
            last += 1;
        }
        self.pane.typing = None;
        self.pane.changed(self.show.unit);
        if let Some(next) = self.order.get(last) {
            focus::ask(ui.ctx(), next);
        }
    }

    /// The unit that stands in a field; none beside a class.
    fn sign(&self, cell: &Cell, text: &str) -> &'static str {
        match cell.param.kind {
            Kind::Deviations if text.is_empty() || crate::bench::is_class(text) => "",
            Kind::Deviations => Unit::Small.sign(self.show.unit),
            _ => Unit::of(cell.param.unit).sign(self.show.unit),
        }
    }
}

/// Fields without captions in a row.
fn per_row(ui: &Ui) -> usize {
    ((ui.available_width() + space::S) / (90.0 + space::S))
        .floor()
        .max(1.0) as usize
}

fn yes_no(ui: &mut Ui, path: &str, name: &str, text: &mut String) -> Outcome {
    let mut chosen = Some(usize::from(text == "yes"));
    let wide = (ui.available_width() / 2.0).min(56.0);
    let is_changed = Segments::new(name, &["no", "yes"])
        .path(path)
        .width(wide)
        .show(ui, &mut chosen);
    *text = if chosen == Some(1) {
        "yes".into()
    } else {
        String::new()
    };
    if is_changed {
        Outcome::Changed
    } else {
        Outcome::Nothing
    }
}

const NOT_GIVEN: &str = "not given";

/// Width of a segment, and of all.
fn segments_width(ui: &Ui, words: &[&str], is_optional: bool) -> (f32, f32) {
    let shown = words
        .iter()
        .copied()
        .chain(is_optional.then_some(NOT_GIVEN));
    let widest = shown
        .clone()
        .map(|word| text::width(ui, Face::BODY, &word.replace('_', " ")))
        .fold(0.0, f32::max);
    let one = (widest + 20.0).ceil();
    (one, one * shown.count() as f32)
}

/// One of a few words: side by side where there is room, else in a list.
fn choice(
    ui: &mut Ui,
    path: &str,
    name: &str,
    words: &[&str],
    is_optional: bool,
    text: &mut String,
) -> Outcome {
    let (one, all) = segments_width(ui, words, is_optional);
    if all <= ui.available_width() {
        let spoken: Vec<String> = words.iter().map(|word| word.replace('_', " ")).collect();
        let none = is_optional.then_some(NOT_GIVEN);
        let shown: Vec<&str> = none
            .into_iter()
            .chain(spoken.iter().map(String::as_str))
            .collect();
        let shift = usize::from(is_optional);
        let at = words.iter().position(|word| word == text);
        let mut chosen = at.map(|at| at + shift).or(is_optional.then_some(0));
        let is_changed = Segments::new(name, &shown)
            .path(path)
            .width(one)
            .show(ui, &mut chosen);
        let word = chosen
            .and_then(|at| at.checked_sub(shift))
            .and_then(|at| words.get(at));
        *text = word.map_or_else(String::new, |word| (*word).to_owned());
        return if is_changed {
            Outcome::Changed
        } else {
            Outcome::Nothing
        };
    }
    let listed: Vec<Choice> = words
        .iter()
        .map(|code| Choice { code, detail: "" })
        .collect();
    let width = ui.available_width();
    match CodeField::new(path, name)
        .width(width)
        .show(ui, text, &listed)
    {
        Coded::Nothing => Outcome::Nothing,
        Coded::Changed => Outcome::Changed,
        Coded::Chosen(at) => {
            words.get(at).map_or("", |word| word).clone_into(text);
            Outcome::Commit(Step::Forward)
        }
        Coded::Entered(typed) => {
            *text = typed;
            Outcome::Commit(Step::Forward)
        }
        Coded::Leave(step) => Outcome::Commit(step),
    }
}

/// A word at the left of a row.
pub(super) fn row_label(ui: &mut Ui, row: Rect, width: f32, words: &str) {
    let fits = text::width(ui, Face::NOTE, words) <= width;
    if fits {
        let at = pos2(
            row.left(),
            text::baseline(row.top() + height::TOUCH / 2.0, Face::NOTE.size),
        );
        text::at(ui, at, Align::Left, Face::NOTE, words);
        return;
    }
    let rect = Rect::from_min_size(row.min + vec2(0.0, 3.0), vec2(width, height::TOUCH));
    text::note(&mut within(ui, ("label", words), rect), words);
}
