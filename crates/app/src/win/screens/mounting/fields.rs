//! One frame of a mounting sheet, and its fields: what the hand does with them becomes a committed text, a question, and
//! the next place.

use std::sync::Arc;

use draw::Align;
use draw::tokens::{height, space};
use egui::{Key, Modifiers, Ui, pos2, vec2};
use store::entry::{Quantity, Show};
use store::mounting::{MountAssessment, MountFacts};
use store::sheet::{FieldKind, Problem, field};

use super::view::MountView;
use crate::ui::focus::{self, Step};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{
    self, Choice, CodeField, Coded, FieldState, Outcome, Segments, TextField, ValueField,
};
use crate::win::command::Command;
use crate::win::screens::teardown::fields::{forget_typed, labelled, state_of};
use crate::win::screens::teardown::identify::ZONES;
use crate::win::screens::teardown::model::SheetModel;

/// Width of a measuring field, of a field for a code, of a choice for each of its words.
const NUMBER: f32 = 88.0;
const CODE: f32 = 200.0;
const WORD: f32 = 108.0;

/// One frame of the sheet.
pub struct On<'a> {
    pub(super) model: &'a SheetModel<'a>,
    pub(super) facts: &'a Arc<MountFacts>,
    pub(super) view: &'a mut MountView,
    pub(super) a: Arc<MountAssessment>,
    pub(super) commands: &'a mut Vec<Command>,
    pub(super) time: f64,
    pub(super) asks_engineer: bool,
}

impl On<'_> {
    pub(super) fn show(&self) -> Show {
        self.model.show
    }

    pub(super) fn step(&mut self, ui: &Ui, path: &str, step: Step) {
        // What was committed in this frame may have brought fields or taken some away.
        let a = self.view.assess(self.facts, self.model.show.unit);
        self.view
            .step(ui.ctx(), a.family, self.asks_engineer, path, step);
    }

    /// Draws a field by what it holds, in the flow.
    pub(super) fn field(&mut self, ui: &mut Ui, path: &str) {
        let label = short(path);
        let has_caret = focus::has(ui.ctx(), path);
        let rect = labelled(ui, &label, |ui| {
            match field::kind(path) {
                Some(FieldKind::Number(quantity)) => self.number(ui, path, quantity),
                Some(FieldKind::Code(entity)) => self.code(ui, path, entity),
                Some(FieldKind::Zone) => self.choice(ui, path, &ZONES, &ZONES, 72.0),
                Some(FieldKind::Choice(list)) => {
                    let (texts, words): (Vec<&str>, Vec<&str>) = list.words().into_iter().unzip();
                    // As wide as the longest word wants, chosen or not.
                    let longest = words
                        .iter()
                        .map(|word| text::width(ui, Face::SECTION, word));
                    let wanted = longest.fold(WORD, f32::max) + 2.0 * space::M;
                    let room = ui.available_width() / words.len().max(1) as f32;
                    let width = wanted.min(room).max(72.0);
                    self.choice(ui, path, &words, &texts, width);
                }
                Some(FieldKind::Time) => {
                    let hint = format!("now: {}", self.model.now.date_time());
                    self.words(ui, path, &hint, 240.0);
                }
                _ => {
                    let width = ui.available_width();
                    self.words(ui, path, "", width);
                }
            }
            ui.min_rect()
        });
        // The caret may have come to a field below the edge.
        if has_caret && self.view.caret() != path {
            ui.scroll_to_rect(rect.expand(space::XL), None);
        }
        if has_caret {
            self.view.note_caret(path);
        }
    }

    fn problem(&self, path: &str) -> Option<Problem> {
        if self.view.sheet.is_typing(path) {
            return None;
        }
        self.a.fields.get(path)?.problem.clone()
    }

    fn number(&mut self, ui: &mut Ui, path: &str, quantity: Quantity) {
        let unit = match quantity {
            Quantity::Length => self.model.show.unit.sign(),
            Quantity::Temperature => "\u{b0}C",
            Quantity::Mass => "g",
            Quantity::Angle => "\u{b0}",
            Quantity::Torque => "N m",
            Quantity::Load => "kg",
        };
        // In a row of like readings the unit stands in the name alone.
        let (inside, width) = if in_grid(path) {
            ("", NUMBER)
        } else {
            (unit, 120.0)
        };
        let name = format!("{}, {unit}", field::label(path));
        let problem = self.problem(path);
        let state = if self.model.is_locked {
            FieldState::Locked
        } else {
            state_of(problem.as_ref())
        };
        let mut buffer = self.view.sheet.text(path, self.show());
        let (_, rect) = ui.allocate_space(vec2(width, height::TOUCH));
        let outcome = ValueField::new(path, &name)
            .unit(inside)
            .state(state)
            .width(width)
            .place(ui, rect, &mut buffer);
        self.took(ui, path, buffer, outcome);
    }

    fn words(&mut self, ui: &mut Ui, path: &str, hint: &str, width: f32) {
        let name = field::label(path);
        let mut buffer = self.view.sheet.text(path, self.show());
        let field = TextField::new(path, &name)
            .hint(hint)
            .width(width)
            .locked(self.model.is_locked);
        let outcome = field.show(ui, &mut buffer);
        self.took(ui, path, buffer, outcome);
    }

    fn code(&mut self, ui: &mut Ui, path: &str, entity: &str) {
        use store::payload::Role;
        let choices = match entity {
            "gauge" => {
                let measures = if path == "neck.gauge" {
                    &["neck"][..]
                } else {
                    store::mounting::field::measures(path)
                };
                measures
                    .iter()
                    .flat_map(|what| self.model.gauges(what))
                    .collect()
            }
            "person" => self
                .model
                .people(&[Role::Fitter, Role::Foreman, Role::Engineer]),
            _ => self.model.choices(entity),
        };
        let name = field::label(path);
        let mut buffer = self.view.sheet.text(path, self.show());
        let choices: Vec<Choice> = choices
            .iter()
            .map(|(code, detail)| Choice { code, detail })
            .collect();
        let field = CodeField::new(path, &name)
            .hint("scan or type")
            .width(CODE)
            .locked(self.model.is_locked);
        match field.show(ui, &mut buffer, &choices) {
            Coded::Nothing => {}
            Coded::Changed => self
                .view
                .sheet
                .type_in(path, buffer, self.model.show, self.time),
            Coded::Chosen(_) | Coded::Entered(_) => {
                self.took(ui, path, buffer, Outcome::Commit(Step::Forward));
            }
            Coded::Leave(step) => self.took(ui, path, buffer, Outcome::Commit(step)),
        }
    }

    fn choice(&mut self, ui: &mut Ui, path: &str, words: &[&str], texts: &[&str], width: f32) {
        let name = field::label(path);
        let left = focus::leaves(ui, path);
        let mut chosen = texts
            .iter()
            .position(|t| *t == self.view.sheet.committed(path));
        let segments = Segments::new(&name, words)
            .path(path)
            .width(width)
            .enabled(!self.model.is_locked);
        if segments.show(ui, &mut chosen)
            && let Some(text) = chosen.and_then(|i| texts.get(i))
        {
            self.view.sheet.choose(path, text);
        }
        if let Some(step) = left {
            self.step(ui, path, step);
        }
    }

    /// What was done with a field of text.
    fn took(&mut self, ui: &Ui, path: &str, buffer: String, outcome: Outcome) {
        let show = self.model.show;
        if matches!(outcome, Outcome::Commit(_) | Outcome::Column(_)) {
            forget_typed(ui);
        }
        match outcome {
            Outcome::Nothing => {}
            Outcome::Changed => self.view.sheet.type_in(path, buffer, show, self.time),
            Outcome::Commit(step) => {
                self.view.sheet.type_in(path, buffer, show, self.time);
                self.commit(ui, path, Some(step));
            }
            Outcome::Left => {
                self.view.sheet.type_in(path, buffer, show, self.time);
                self.commit(ui, path, None);
            }
            Outcome::Column(lines) => {
                let order = self.view.order(self.a.family, self.asks_engineer);
                if let Some(last) = self.view.sheet.fill(path, &lines, &order, show.unit) {
                    self.step(ui, &last, Step::Forward);
                }
            }
            Outcome::Keep => self.view.sheet.keep(path),
            Outcome::Change => self.view.sheet.remark = Some(path.to_owned()),
            Outcome::Offer => {
                if let Some(instead) = self.problem(path).and_then(|p| p.instead) {
                    self.view.sheet.choose(path, &instead);
                    self.step(ui, path, Step::Forward);
                }
            }
        }
    }

    /// Takes a field's text: refused ones keep the caret, once; odd ones are asked about while the caret goes on.
    fn commit(&mut self, ui: &Ui, path: &str, step: Option<Step>) {
        let is_changed = self.view.sheet.commit(path, self.model.show, self.time);
        let now = self.view.assess(self.facts, self.model.show.unit);
        let problem = now.fields.get(path).and_then(|s| s.problem.as_ref());
        if problem.is_some() && is_changed {
            self.view.sheet.remark = Some(path.to_owned());
        }
        let Some(step) = step else { return };
        let is_refused = problem.is_some_and(|p| p.is_refusal);
        if is_refused && is_changed && step == Step::Forward {
            focus::ask(ui.ctx(), path);
            return;
        }
        if problem.is_some_and(|p| !p.is_refusal) && !is_changed && step == Step::Forward {
            self.view.sheet.keep(path);
        }
        self.step(ui, path, step);
    }

    /// The question or refusal of one of these fields with its answers; Ctrl Enter answers too.
    pub(super) fn remark(&mut self, ui: &mut Ui, paths: &[String]) {
        let last = self
            .view
            .sheet
            .remark
            .iter()
            .filter(|path| paths.contains(path));
        let found = last
            .chain(paths)
            .find_map(|path| Some((path.clone(), self.problem(path)?)));
        let Some((path, problem)) = found else { return };
        let label = field::label(&path);
        let has_answer = !problem.is_refusal || problem.instead.is_some();
        let told = Problem {
            text: format!("{label}. {}", problem.text),
            ..problem.clone()
        };
        let by_key = has_answer && ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Enter));
        let by_pointer = ui
            .horizontal(|ui| {
                ui.spacing_mut().item_spacing.x = space::L;
                let answer = widgets::remark(ui, &path, &label, &state_of(Some(&told)));
                if has_answer {
                    text::note(ui, "Ctrl Enter answers");
                }
                answer
            })
            .inner;
        let outcome = match (by_key, problem.is_refusal) {
            (true, true) => Outcome::Offer,
            (true, false) => Outcome::Keep,
            _ => by_pointer,
        };
        self.took(ui, &path, String::new(), outcome);
    }

    /// A title at the left of a row, with its fields beside it.
    pub(super) fn row(&mut self, ui: &mut Ui, title: &str, paths: &[String]) {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = space::L;
            if !title.is_empty() {
                let (_, rect) = ui.allocate_space(vec2(112.0, 64.0));
                let at = pos2(rect.left(), text::baseline(rect.top() + 46.0, 16.0));
                text::at(ui, at, Align::Left, Face::BODY, title);
            }
            for path in paths {
                self.field(ui, path);
            }
        });
        ui.add_space(space::S);
    }
}

/// A reading in a row of like ones.
fn in_grid(path: &str) -> bool {
    let last = path.rsplit('.').next().unwrap_or_default();
    last.parse::<i64>().is_ok()
}

/// The name of a field in its row: places and rows in short, all else whole.
fn short(path: &str) -> String {
    let last = path.rsplit('.').next().unwrap_or_default();
    let Ok(number) = last.parse::<usize>() else {
        return store::mounting::field::name(path);
    };
    if path.starts_with("neck.")
        || path.starts_with("mount.seat")
        || path.starts_with("mount.cover")
    {
        return format!("{number}\u{b0}");
    }
    if path.starts_with("mount.ring") {
        return format!("{}\u{b0}", (number.max(1) - 1) * 45);
    }
    if path.starts_with("mount.play") {
        return format!("rows {}", calc::disposition::pair_rows(number.max(1) - 1));
    }
    if path.starts_with("mount.parts.zone") {
        return field::label(path);
    }
    format!(
        "{} {number}",
        if path.starts_with("mount.radial") {
            "place"
        } else {
            "row"
        }
    )
}
