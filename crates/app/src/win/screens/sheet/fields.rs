//! The fields of a sheet: what the hand does with them becomes a committed text, a question, and the next place.

use draw::tokens::space;
use egui::{Event, Key, Layout, Modifiers, Rect, Ui, vec2};
use store::draft::{DraftField, Source};
use store::entry::Show;
use store::form::Choice as Of;
use store::rows::Rows;
use store::sheet::{FieldKind, Problem, field};

pub use super::frame::On;
use super::pages::Pages;
use super::quick::unit_of;
use super::typed::{stored, with_units};
use crate::ui::focus::{self, Step};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{
    self, Choice, CodeField, Coded, FieldState, Outcome, Segments, TextField, ValueField,
};

impl<V: Pages> On<'_, V> {
    /// Unit and decimal mark.
    pub fn show(&self) -> Show {
        self.model.show
    }

    /// The sign of the unit of length.
    pub fn unit(&self) -> &'static str {
        self.model.show.unit.sign()
    }

    /// The rows of the bearing on the sheet, as the plant counts them.
    pub fn rows(&self) -> Rows {
        self.show().rows.of(V::rows(self.facts))
    }

    /// A sentence of the sheet, as the plant counts rows.
    pub fn told(&self, text: &str) -> String {
        self.rows().told(text)
    }

    /// The full name of a field, as the plant counts rows.
    pub fn label(&self, path: &str) -> String {
        self.told(&V::label(path))
    }

    /// What is wrong or odd with a field, while it is not being typed into.
    fn problem(&self, path: &str) -> Option<Problem> {
        if self.view.entries().is_typing(path) {
            return None;
        }
        let problem = V::states(&self.a).get(path)?.problem.clone()?;
        let problem = Problem {
            text: self.told(&problem.text),
            hint: problem.hint.as_deref().map(|hint| self.told(hint)),
            ..problem
        };
        Some(self.or_millimetres(path, problem))
    }

    /// What would be wrong or odd with this text in a field.
    pub fn problem_of(&self, path: &str, text: &str) -> Option<Problem> {
        let mut trial = self.view.entries().fields().clone();
        let field = DraftField {
            text: stored(path, text, self.show().unit),
            source: Source::Typed,
        };
        trial.insert(path.to_owned(), field);
        let trial = with_units(&trial, self.show().unit);
        let says = V::judge(&trial, self.facts, self.show().unit);
        V::states(&says).get(path)?.problem.clone()
    }

    /// In a logbook in inch a refused number may have been meant in mm.
    fn or_millimetres(&self, path: &str, problem: Problem) -> Problem {
        let text = self.view.entries().committed(path);
        let Some(number) = text
            .strip_suffix("in")
            .filter(|_| problem.is_refusal && problem.instead.is_none())
        else {
            return problem;
        };
        let mut trial = self.view.entries().fields().clone();
        let field = DraftField {
            text: format!("{number}mm"),
            source: Source::Typed,
        };
        let instead = field.text.clone();
        trial.insert(path.to_owned(), field);
        let says = V::judge(&trial, self.facts, self.model.show.unit);
        let state = V::states(&says).get(path);
        let is_refused =
            |s: &store::sheet::FieldState| s.problem.as_ref().is_some_and(|p| p.is_refusal);
        match state.and_then(|s| s.value.filter(|_| !is_refused(s))) {
            Some(nm) => Problem {
                hint: Some(format!("mm? {number} mm = {} in", self.show().length(nm))),
                instead: Some(instead),
                ..problem
            },
            None => problem,
        }
    }

    /// A field for a number, in its place; without a unit in it where like ones stand in a row.
    pub fn number(&mut self, ui: &mut Ui, path: &str, rect: Rect, unit: &str) {
        let own = match field::kind(path) {
            Some(FieldKind::Number(quantity)) if unit.is_empty() => unit_of(quantity, self.unit()),
            _ => unit,
        };
        let name = format!("{}, {own}", self.label(path));
        let problem = self.problem(path);
        let state = if self.model.is_locked {
            FieldState::Locked
        } else {
            state_of(problem.as_ref())
        };
        let mut buffer = self.view.entries().text(path, self.show());
        let outcome = ValueField::new(path, &name)
            .unit(unit)
            .state(state)
            .width(rect.width())
            .place(ui, rect, &mut buffer);
        let typed = (outcome == Outcome::Changed).then(|| buffer.trim().to_owned());
        self.took(ui, path, buffer, outcome);
        if let Some(text) = typed {
            self.go_on_if_whole(ui, path, &text);
        }
    }

    /// A field for words in the flow, `width` wide.
    pub fn words(&mut self, ui: &mut Ui, path: &str, hint: &str, width: f32) {
        let name = self.label(path);
        let mut buffer = self.view.entries().text(path, self.show());
        let field = TextField::new(path, &name)
            .hint(hint)
            .width(width)
            .locked(self.model.is_locked);
        let outcome = field.show(ui, &mut buffer);
        self.took(ui, path, buffer, outcome);
    }

    /// A field for the code of a thing in the flow.
    pub fn code(
        &mut self,
        ui: &mut Ui,
        path: &str,
        hint: &str,
        width: f32,
        choices: &[(String, String)],
    ) {
        let name = self.label(path);
        let mut buffer = self.view.entries().text(path, self.show());
        let choices: Vec<Choice> = choices
            .iter()
            .map(|(code, detail)| Choice { code, detail })
            .collect();
        let hint = self.hint(path, hint);
        let field = CodeField::new(path, &name)
            .hint(&hint)
            .width(width)
            .locked(self.model.is_locked);
        match field.show(ui, &mut buffer, &choices) {
            Coded::Nothing => {}
            Coded::Changed if self.plus(ui, path, &buffer) => {}
            Coded::Changed => {
                self.view
                    .entries_mut()
                    .type_in(path, buffer, self.model.show, self.time);
            }
            Coded::Chosen(_) | Coded::Entered(_) => {
                self.took(ui, path, buffer, Outcome::Commit(Step::Forward));
            }
            Coded::Leave(step) => self.took(ui, path, buffer, Outcome::Commit(step)),
        }
    }

    /// A choice of a few words, each with the text that is kept for it.
    pub fn choice(&mut self, ui: &mut Ui, path: &str, words: &[&str], texts: &[&str], width: f32) {
        let name = self.label(path);
        // What was pressed before Enter still belongs to this choice, what came after it to the next field.
        let left = focus::leaves(ui, path);
        let said = match self.view.entries().committed(path) {
            "" => V::unsaid(path),
            said => said,
        };
        let mut chosen = texts.iter().position(|t| *t == said);
        let segments = Segments::new(&name, words)
            .path(path)
            .width(width)
            .enabled(!self.model.is_locked);
        if segments.show(ui, &mut chosen)
            && let Some(text) = chosen.and_then(|i| texts.get(i))
        {
            self.view.entries_mut().choose(path, text);
        }
        match left {
            Some(step) => self.step(ui, path, step),
            None if !self.model.is_locked => self.choose_by_key(ui, path, words, texts),
            None => {}
        }
    }

    /// A choice of the words that its field may say.
    pub fn one_of(&mut self, ui: &mut Ui, path: &str, width: f32) {
        let Some(FieldKind::Choice(list)) = field::kind(path) else {
            return;
        };
        if list == Of::Row {
            return self.bearing_row(ui, path, width);
        }
        let (texts, words): (Vec<&str>, Vec<&str>) = list.words().into_iter().unzip();
        self.choice(ui, path, &words, &texts, width);
    }

    /// A row of the bearing: chosen as the plant counts, kept as the record does.
    fn bearing_row(&mut self, ui: &mut Ui, path: &str, width: f32) {
        let rows = self.rows();
        let mut all: Vec<(&str, String)> = Of::Row
            .words()
            .into_iter()
            .map(|(text, word)| {
                let number = text.parse().map(|number| rows.row(number).to_string());
                (text, number.unwrap_or_else(|_| word.to_owned()))
            })
            .collect();
        all.sort_by(|a, b| a.1.cmp(&b.1));
        let texts: Vec<&str> = all.iter().map(|(text, _)| *text).collect();
        let words: Vec<&str> = all.iter().map(|(_, word)| word.as_str()).collect();
        self.choice(ui, path, &words, &texts, width);
    }

    /// A long list of words that a field may say, to type or choose from.
    pub fn listed(&mut self, ui: &mut Ui, path: &str, hint: &str, width: f32) {
        let Some(FieldKind::Choice(list)) = field::kind(path) else {
            return;
        };
        let all: Vec<(String, String)> = list
            .words()
            .into_iter()
            .map(|(word, words)| {
                let detail = if word == words { "" } else { words };
                (word.to_owned(), detail.to_owned())
            })
            .collect();
        self.code(ui, path, hint, width, &all);
    }

    /// What was done with a field of text.
    fn took(&mut self, ui: &Ui, path: &str, buffer: String, outcome: Outcome) {
        let show = self.model.show;
        if matches!(outcome, Outcome::Commit(_) | Outcome::Column(_)) {
            forget_typed(ui);
        }
        match outcome {
            Outcome::Nothing => {}
            Outcome::Changed => self
                .view
                .entries_mut()
                .type_in(path, buffer, show, self.time),
            Outcome::Commit(step) => {
                self.view
                    .entries_mut()
                    .type_in(path, buffer, show, self.time);
                self.commit(ui, path, Some(step));
            }
            Outcome::Left => {
                self.view
                    .entries_mut()
                    .type_in(path, buffer, show, self.time);
                self.commit(ui, path, None);
            }
            Outcome::Column(lines) => self.column(ui, path, &lines),
            Outcome::Keep => self.view.entries_mut().keep(path),
            Outcome::Change => self.view.entries_mut().remark = Some(path.to_owned()),
            Outcome::Offer => self.take_offer(ui, path),
        }
    }

    /// Takes a field's text: refused ones keep the caret, once; odd ones are asked about while the caret goes on.
    fn commit(&mut self, ui: &Ui, path: &str, step: Option<Step>) {
        let is_changed = self
            .view
            .entries_mut()
            .commit(path, self.model.show, self.time);
        let now = self.now();
        let states = V::states(&now.assessment);
        let problem = states.get(path).and_then(|s| s.problem.as_ref());
        let is_refused = problem.is_some_and(|p| p.is_refusal);
        if problem.is_some() && is_changed {
            self.view.entries_mut().remark = Some(path.to_owned());
        }
        let Some(step) = step else { return };
        if is_refused && is_changed && step == Step::Forward {
            focus::ask(ui.ctx(), path);
            return;
        }
        // Enter on an odd value, unchanged, says that it is right.
        if problem.is_some_and(|p| !p.is_refusal) && !is_changed && step == Step::Forward {
            self.view.entries_mut().keep(path);
        }
        self.step(ui, path, step);
    }

    fn column(&mut self, ui: &Ui, path: &str, lines: &[String]) {
        let order = self.order();
        if let Some(last) = self
            .view
            .entries_mut()
            .fill(path, lines, &order, self.model.show.unit)
        {
            let now = self.now();
            let states = V::states(&now.assessment);
            let is_odd = |p: &&String| states.get(*p).is_some_and(|s| s.problem.is_some());
            self.view.entries_mut().remark = order.iter().find(is_odd).cloned();
            self.step(ui, &last, Step::Forward);
        }
    }

    fn take_offer(&mut self, ui: &Ui, path: &str) {
        let Some(instead) = self.problem(path).and_then(|p| p.instead) else {
            return;
        };
        self.view.entries_mut().choose(path, &instead);
        self.view.entries_mut().remark = None;
        self.step(ui, path, Step::Forward);
    }

    /// The field of these whose question or refusal is to be shown: the last one committed, else the first.
    pub fn remarked(&self, paths: &[String]) -> Option<(String, Problem)> {
        let last = self
            .view
            .entries()
            .remark
            .iter()
            .filter(|path| paths.contains(path));
        last.chain(paths)
            .find_map(|path| Some((path.clone(), self.problem(path)?)))
    }

    /// The question or refusal of one of these fields with its answers, in the middle of the room there is. True if
    /// there is one.
    pub fn remark(&mut self, ui: &mut Ui, paths: &[String]) -> bool {
        self.remark_in(ui, paths, ui.available_height())
    }

    /// The question or refusal of one of these fields, `height` high; Ctrl Enter answers too, and Ctrl
    /// Shift Enter takes what may have been meant.
    pub fn remark_in(&mut self, ui: &mut Ui, paths: &[String], height: f32) -> bool {
        let Some((path, problem)) = self.remarked(paths) else {
            return false;
        };
        let label = self.label(&path);
        let has_answer = !problem.is_refusal || problem.instead.is_some();
        let told = Problem {
            text: format!("{label}. {}", problem.text),
            ..problem.clone()
        };
        // With Shift first: without it the same keys would count as those without.
        let offers = !problem.is_refusal && problem.instead.is_some();
        let takes = offers
            && ui.input_mut(|i| i.consume_key(Modifiers::COMMAND | Modifiers::SHIFT, Key::Enter));
        let by_key = has_answer && ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Enter));
        let size = vec2(ui.available_width(), height);
        let by_pointer = ui
            .allocate_ui_with_layout(size, Layout::left_to_right(egui::Align::Center), |ui| {
                ui.spacing_mut().item_spacing.x = space::L;
                let by_key = match (has_answer, problem.is_refusal) {
                    (false, _) => "",
                    (true, true) => "Ctrl Enter takes it",
                    (true, false) if offers => "Ctrl Shift Enter takes it, Ctrl Enter keeps",
                    (true, false) => "Ctrl Enter keeps it",
                };
                let beside = text::width(ui, Face::NOTE, by_key).ceil() + space::L;
                let answer = ui
                    .scope(|ui| {
                        ui.set_max_width(ui.available_width() - beside);
                        widgets::remark(ui, &path, &label, &state_of(Some(&told)))
                    })
                    .inner;
                if has_answer {
                    text::note(ui, by_key);
                }
                answer
            })
            .inner;
        let outcome = match (by_key, problem.is_refusal) {
            _ if takes => Outcome::Offer,
            (true, true) => Outcome::Offer,
            (true, false) => Outcome::Keep,
            _ => by_pointer,
        };
        self.took(ui, &path, String::new(), outcome);
        true
    }
}

/// Takes the keys that the field has had out of the input. The next field may get the caret in this very frame, and
/// would take them once more; what came after the line end is kept for it elsewhere.
pub fn forget_typed(ui: &Ui) {
    ui.input_mut(|i| {
        i.events
            .retain(|e| !matches!(e, Event::Text(_) | Event::Key { .. } | Event::Paste(_)));
    });
}

/// How a field with this problem looks.
pub fn state_of(problem: Option<&Problem>) -> FieldState<'_> {
    let Some(problem) = problem else {
        return FieldState::Plain;
    };
    let detail = problem.hint.as_deref().unwrap_or("");
    if problem.is_refusal {
        let offer = problem.instead.as_deref().map(|text| {
            if text.ends_with("mm") {
                "Take as mm"
            } else {
                "Take as inch"
            }
        });
        FieldState::Refused {
            reason: &problem.text,
            detail,
            offer,
        }
    } else {
        FieldState::Asked {
            question: &problem.text,
            detail,
            offer: problem.instead.as_deref(),
        }
    }
}
