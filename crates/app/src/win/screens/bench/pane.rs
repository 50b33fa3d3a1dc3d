//! One calculation: its method, what is typed, and what came out of it.

use calc::method::{Method, Worked};
use serde_json::Value;
use store::entry::{LengthUnit, Show};

use crate::bench::{Block, Cell, Form, Problems, blocks, cells, given};

/// What came out.
#[derive(Debug, Clone)]
pub(super) enum State {
    /// Something is missing or wrong.
    Waiting(Problems),
    /// The input with its result.
    Done(Box<(Value, Worked)>),
}

/// One calculation.
#[derive(Debug, Clone)]
pub(super) struct Pane {
    pub(super) method: &'static Method,
    pub(super) form: Form,
    pub(super) state: State,
    /// Path of the field that is being typed in: what is wrong with it is not said before it is done.
    pub(super) typing: Option<String>,
    pub(super) is_copied: bool,
    /// Height of the result's headline in its place, while that is out of view and the headline stands above the buttons.
    pub(super) pinned: Option<f32>,
    /// Something was typed since the last look.
    pub(super) is_changed: bool,
}

impl Pane {
    pub(super) fn new(method: &'static Method, form: Form, show: Show) -> Self {
        let mut pane = Self {
            method,
            form,
            state: State::Waiting(Problems::default()),
            typing: None,
            is_copied: false,
            pinned: None,
            is_changed: false,
        };
        pane.calculate(show.unit);
        pane
    }

    /// Takes a text, and calculates.
    pub(super) fn put(&mut self, path: &str, text: &str, unit: LengthUnit) {
        self.form.put(path, text, unit);
        self.changed(unit);
    }

    /// The form was changed: calculates anew.
    pub(super) fn changed(&mut self, unit: LengthUnit) {
        self.is_copied = false;
        self.is_changed = true;
        self.calculate(unit);
    }

    fn calculate(&mut self, unit: LengthUnit) {
        self.state = match given(self.method, &self.form) {
            Err(problems) => State::Waiting(problems),
            Ok(input) => match (self.method.run)(&input) {
                Ok(worked) => State::Done(Box::new((input, worked))),
                Err(e) => State::Waiting(Problems::refused(self.method, &self.form, &e, unit)),
            },
        };
    }

    pub(super) fn blocks(&self) -> Vec<Block> {
        blocks(self.method, &self.form)
    }

    /// All fields in the order of typing.
    pub(super) fn cells(&self) -> Vec<Cell> {
        cells(&self.blocks(), &self.form)
    }

    /// What is wrong with a field, if it is to be said.
    pub(super) fn wrong(&self, path: &str) -> Option<&str> {
        let State::Waiting(problems) = &self.state else {
            return None;
        };
        let wrong = problems.wrong.get(path)?;
        (self.typing.as_deref() != Some(path)).then_some(wrong)
    }
}
