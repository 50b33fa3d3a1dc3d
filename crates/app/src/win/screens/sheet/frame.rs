//! One frame of a sheet: what holds during it, the sections at the left, back and next below.

use std::sync::Arc;

use egui::Ui;
use store::entry::Show;
use store::payload::Role;
use store::sheet::SectionState;

use super::model::{SheetModel, section_mark};
use super::pages::Pages;
use super::quick;
use crate::ui::focus::{self, Step};
use crate::ui::frames;
use crate::win::command::Command;

/// What holds during one frame.
#[derive(Debug)]
pub struct Frame<A> {
    /// What the sheet says.
    pub assessment: Arc<A>,
    /// Whether an engineer signs besides the person at work.
    pub asks_engineer: bool,
    /// How numbers are shown.
    pub show: Show,
    /// Time of the window, s.
    pub time: f64,
}

/// One frame of a sheet.
pub struct On<'a, V: Pages> {
    /// What it is told.
    pub model: &'a SheetModel<'a>,
    /// What the logbook knows.
    pub facts: &'a Arc<V::Facts>,
    /// What it remembers.
    pub view: &'a mut V,
    /// What it said at the beginning of the frame.
    pub a: Arc<V::Says>,
    /// What is to be done after the frame.
    pub commands: &'a mut Vec<Command>,
    /// Time of the window, s.
    pub time: f64,
    /// Whether an engineer signs besides the person at work.
    pub asks_engineer: bool,
}

impl<'a, V: Pages> On<'a, V> {
    /// Begins a frame: the caret goes where it was wished to.
    pub fn begin(
        ui: &Ui,
        model: &'a SheetModel<'a>,
        facts: &'a Arc<V::Facts>,
        view: &'a mut V,
        commands: &'a mut Vec<Command>,
    ) -> Self {
        let time = ui.input(|i| i.time);
        quick::drop_line_end(ui, view.entries_mut(), time);
        let assessment = view.assess(facts, model.show.unit);
        let is_engineer = model.person.is_some_and(|(_, role)| role == Role::Engineer);
        let asks_engineer = !is_engineer && !V::engineer_because(&assessment).is_empty();
        let frame = Frame {
            assessment,
            asks_engineer,
            show: model.show,
            time,
        };
        view.follow(ui.ctx(), &frame);
        // What was wished for may have changed what the sheet says.
        let a = view.assess(facts, model.show.unit);
        Self {
            model,
            facts,
            view,
            a,
            commands,
            time,
            asks_engineer,
        }
    }

    /// Ends a frame: remembers where the caret is, and commits what lost it.
    pub fn end(&mut self, ui: &Ui) {
        let order = self.order();
        if let Some(path) = focus::current(ui.ctx(), &order).and_then(|at| order.get(at)) {
            self.view.caret().clone_from(path);
        }
        // The press that chooses from a list takes the caret out of its field first.
        if !ui.input(|i| i.pointer.any_down() || i.pointer.any_released()) {
            let (show, time) = (self.model.show, self.time);
            self.view.entries_mut().commit_left(ui.ctx(), show, time);
        }
    }

    fn frame(&self, assessment: Arc<V::Says>) -> Frame<V::Says> {
        Frame {
            assessment,
            asks_engineer: self.asks_engineer,
            show: self.model.show,
            time: self.time,
        }
    }

    /// What holds now, with what was committed in this frame.
    pub fn now(&mut self) -> Frame<V::Says> {
        let assessment = self.view.assess(self.facts, self.model.show.unit);
        self.frame(assessment)
    }

    /// The fields of what is open, in order.
    pub fn order(&self) -> Vec<String> {
        self.view.order(&self.frame(Arc::clone(&self.a)))
    }

    /// Sends the caret on from a field.
    pub fn step(&mut self, ui: &Ui, path: &str, step: Step) {
        // What was committed in this frame may have brought fields or taken some away.
        let now = self.now();
        self.view.step(ui.ctx(), &now, path, step);
    }

    /// The sections at the left; answers the one that was pressed.
    pub fn sections(
        &mut self,
        ui: &mut Ui,
        all: &[(&'static str, &SectionState)],
        open: usize,
    ) -> Option<usize> {
        let items: Vec<frames::Section> = all
            .iter()
            .enumerate()
            .zip(1..)
            .map(|((at, (name, state)), number)| frames::Section {
                number,
                name,
                sub: &state.note,
                mark: section_mark(state, at == open),
            })
            .collect();
        let pressed = frames::sections(ui, &items, open)?;
        self.view
            .entries_mut()
            .commit_all(self.model.show, self.time);
        ui.ctx().request_repaint();
        Some(pressed)
    }

    /// Back and next, by the names of what comes before and after.
    pub fn footer(&mut self, ui: &mut Ui, before: Option<&str>, after: Option<&str>) {
        let (back, next) = (
            before.map(|name| format!("Back: {name}")),
            after.map(|name| format!("Next: {name}")),
        );
        let footer = frames::Footer {
            back: back.as_deref(),
            next: next.as_deref(),
            next_enabled: true,
            note: "",
        };
        if let Some(step) = frames::footer(ui, footer) {
            self.view.turn_page(step);
            ui.ctx().request_repaint();
        }
    }
}
