//! One field of a calculation: its control by kind, and what the keyboard does in it.

use calc::method::Kind;
use egui::{Rect, Ui};

use super::form_view::{Fields, Left, order, path_of, within};
use super::view::SIDES;
use crate::bench::Cell;
use crate::ui::focus::{self, Step};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{
    Choice, CodeField, Coded, FieldState, Outcome, Segments, TextField, ValueField,
};

impl Fields<'_> {
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
            Kind::Text | Kind::Texts => TextField::new(&path, &name)
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
pub(super) fn segments_width(ui: &Ui, words: &[&str], is_optional: bool) -> (f32, f32) {
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
