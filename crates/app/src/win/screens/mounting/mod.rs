//! The mounting sheet, from identifying to signing, for every family of bearing: the rows of its sections, its panel, its
//! signature. Typing, taking back and the caret are those of every sheet.

mod fields;
mod panel;
mod sections;
mod sign;
pub mod view;

#[cfg(test)]
mod tests;

use std::sync::Arc;

use egui::Ui;
use store::draft::{DraftId, Fields};
use store::mounting::MountFacts;

use super::sheet::Kept;
use super::sheet::model::SheetModel;
use super::{Cx, Heading, Screen};
use crate::ui::keys::Action;
use crate::win::command::Command;
use crate::win::help;
use crate::win::worker::{Topic, Worker};
use view::{MountView, facts_key};

/// Kind of the drafts of mounting sheets.
pub const KIND: &str = "mounting_sheet";

/// A mounting sheet that is not signed yet.
pub struct MountingScreen {
    kept: Kept<MountView>,
    facts: Topic<Fields, MountFacts>,
    /// The facts shown: the last ones until newer are there.
    known: Option<Arc<MountFacts>>,
}

impl MountingScreen {
    /// The sheet of this draft.
    pub fn new(draft: DraftId) -> Self {
        Self {
            kept: Kept::new(draft),
            facts: Topic::default(),
            known: None,
        }
    }
}

impl Screen for MountingScreen {
    fn refresh(&mut self, worker: &Worker, time: f64) -> Option<f64> {
        self.kept.read(worker);
        if let Some(view) = &self.kept.view {
            let read = |logbook: &store::Logbook, key: &Fields| {
                MountFacts::load(logbook.connection(), key, logbook.now())
            };
            self.facts
                .refresh(worker, &facts_key(view.entries.fields()), read);
            if let Some(facts) = self.facts.value() {
                self.known = Some(Arc::clone(facts));
            }
        }
        self.kept.poll(worker, time)
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        let detail = self.known.as_ref().map(|facts| detail(facts));
        self.kept.heading("Mounting", detail.unwrap_or_default())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        let time = ui.input(|i| i.time);
        let draft = self.kept.id();
        let (Some(view), Some(facts)) = (&mut self.kept.view, &self.known) else {
            let trouble = self.facts.load().error();
            self.kept.empty_ui(ui, "Mounting", trouble);
            return;
        };
        let model = SheetModel::new(cx, draft, &facts.base);
        sections::sheet_ui(ui, &model, facts, view, commands);
        self.kept.hand_over(time);
    }

    fn act(&mut self, action: Action, _commands: &mut Vec<Command>) {
        self.kept.act(action);
    }

    fn help(&self) -> Option<help::Page> {
        Some(help::mounting())
    }

    fn is_opening(&self) -> bool {
        self.kept.is_opening(self.facts.load().error())
    }

    fn is_blank(&self) -> bool {
        self.kept.is_blank()
    }

    fn leave(&mut self, worker: &Worker) {
        self.kept.leave(worker);
    }
}

/// The line of the top strip: chock, bearing, where to.
fn detail(facts: &MountFacts) -> String {
    let base = &facts.base;
    let mut parts = Vec::new();
    parts.extend(base.chock.as_ref().map(|c| c.code.clone()));
    parts.extend(base.bearing.as_ref().map(|b| b.serial.clone()));
    parts.extend(facts.inner.as_ref().map(|(_, serial)| serial.clone()));
    parts.extend(base.roll.as_ref().map(|(_, code)| format!("on {code}")));
    parts.join(" \u{b7} ")
}
