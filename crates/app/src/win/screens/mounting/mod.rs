//! The mounting sheet, from identifying to signing, for every family of bearing.
//!
//! What is typed, undone and kept is the business of the teardown sheet's `SheetView` and of the keeper, shared by
//! both; here is what a mounting sheet shows of it: the rows of its sections, its panel, its signature.

mod fields;
mod panel;
mod sections;
mod sign;
pub mod view;

#[cfg(test)]
mod tests;

use std::sync::Arc;

use egui::Ui;
use store::draft::{Draft, DraftId, Fields, read};
use store::mounting::MountFacts;

use super::teardown::TeardownScreen;
use super::teardown::model::SheetModel;
use super::{Cx, Heading, Screen};
use crate::ui::focus::Step;
use crate::ui::keys::Action;
use crate::ui::{frames, widgets};
use crate::win::command::Command;
use crate::win::help;
use crate::win::keeper::Keeper;
use crate::win::worker::{Topic, Wake, Worker};
use view::{MountView, facts_key};

/// A sheet that is not signed yet: which of the two it is stands in its draft.
pub struct DraftScreen {
    id: DraftId,
    draft: Topic<DraftId, Draft>,
    screen: Option<Box<dyn Screen>>,
}

impl DraftScreen {
    /// The sheet of this draft.
    pub fn new(id: DraftId) -> Self {
        Self {
            id,
            draft: Topic::default(),
            screen: None,
        }
    }
}

impl Screen for DraftScreen {
    fn refresh(&mut self, worker: &Worker, time: f64) -> Option<f64> {
        if self.screen.is_none() {
            self.draft.refresh(worker, &self.id, |logbook, id| {
                read(logbook.connection(), *id)
            });
            let kind = self.draft.value().map(|draft| draft.kind == KIND);
            self.screen = kind.map(|is_mounting| -> Box<dyn Screen> {
                if is_mounting {
                    Box::new(MountingScreen::new(self.id))
                } else {
                    Box::new(TeardownScreen::new(self.id))
                }
            });
        }
        self.screen.as_mut().and_then(|s| s.refresh(worker, time))
    }

    fn heading(&self, cx: &Cx) -> Heading {
        let screen = self.screen.as_ref();
        screen.map_or_else(|| Heading::new("Sheet", ""), |s| s.heading(cx))
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        if let Some(screen) = &mut self.screen {
            screen.ui(ui, cx, commands);
            return;
        }
        frames::sheet_body(ui, |ui| {
            widgets::section_title(ui, None, "Sheet", "");
            if let Some(why) = self.draft.load().error() {
                widgets::error_box(ui, "The sheet cannot be read", why);
            }
        });
    }

    fn act(&mut self, action: Action, commands: &mut Vec<Command>) {
        if let Some(screen) = &mut self.screen {
            screen.act(action, commands);
        }
    }

    fn help(&self) -> Option<help::Page> {
        self.screen.as_ref().and_then(|s| s.help())
    }

    fn leave(&mut self, worker: &Worker) {
        if let Some(screen) = &mut self.screen {
            screen.leave(worker);
        }
    }
}

/// Kind of the drafts of mounting sheets.
pub const KIND: &str = "mounting_sheet";

/// A mounting sheet that is not signed yet.
pub struct MountingScreen {
    draft: Topic<DraftId, Draft>,
    keeper: Keeper,
    view: Option<MountView>,
    facts: Topic<Fields, MountFacts>,
    /// The facts shown: the last ones until newer are there.
    known: Option<Arc<MountFacts>>,
    wake: Option<Wake>,
}

impl MountingScreen {
    /// The sheet of this draft.
    pub fn new(draft: DraftId) -> Self {
        Self {
            draft: Topic::default(),
            keeper: Keeper::new(draft, ""),
            view: None,
            facts: Topic::default(),
            known: None,
            wake: None,
        }
    }

    fn hand_over(&mut self, time: f64) {
        let Some(view) = &mut self.view else { return };
        for change in view.sheet.take_changes() {
            let (path, text) = (&change.path, &change.text);
            self.keeper
                .note(path, text, change.source, change.is_committed, time);
        }
        self.keeper.note_caret(view.caret(), time);
    }
}

impl Screen for MountingScreen {
    fn refresh(&mut self, worker: &Worker, time: f64) -> Option<f64> {
        self.wake.get_or_insert_with(|| worker.wake());
        let id = self.keeper.draft();
        if self.view.is_none() {
            self.draft
                .refresh(worker, &id, |logbook, id| read(logbook.connection(), *id));
            if let Some(draft) = self.draft.value() {
                self.keeper = Keeper::new(id, &draft.caret);
                self.view = Some(MountView::new(draft.fields.clone(), &draft.caret));
            }
        }
        if let Some(view) = &self.view {
            let read = |logbook: &store::Logbook, key: &Fields| {
                MountFacts::load(logbook.connection(), key, logbook.now())
            };
            self.facts
                .refresh(worker, &facts_key(view.sheet.fields()), read);
            if let Some(facts) = self.facts.value() {
                self.known = Some(Arc::clone(facts));
            }
        }
        self.keeper.poll(worker, time)
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        let detail = self
            .known
            .as_ref()
            .map(|facts| detail(facts))
            .unwrap_or_default();
        Heading {
            note: self.keeper.words(),
            ..Heading::new("Mounting", detail)
        }
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        let time = ui.input(|i| i.time);
        let trouble = self.draft.load().error().filter(|_| self.view.is_none());
        let trouble = trouble.or(self.facts.load().error()).map(str::to_owned);
        let (Some(view), Some(facts)) = (&mut self.view, &self.known) else {
            frames::sheet_body(ui, |ui| {
                widgets::section_title(ui, None, "Mounting", "");
                if let Some(why) = trouble {
                    widgets::error_box(ui, "The sheet cannot be read", &why);
                }
            });
            return;
        };
        let model = SheetModel {
            draft: self.keeper.draft(),
            facts: &facts.base,
            show: cx.show,
            now: cx.now,
            people: &cx.snapshot.people,
            things: &cx.snapshot.things,
            person: cx.person.map(|p| (p.name.as_str(), p.role)),
            is_locked: !cx.may_enter(),
            answers: cx.answers,
            photos: &[],
            wake: self.wake.as_ref(),
        };
        sections::sheet_ui(ui, &model, facts, view, commands);
        self.hand_over(time);
    }

    fn act(&mut self, action: Action, _commands: &mut Vec<Command>) {
        let Some(view) = &mut self.view else { return };
        match action {
            Action::Undo => view.undo(),
            Action::NextSection => view.turn_page(Step::Forward),
            Action::PreviousSection => view.turn_page(Step::Back),
            _ => {}
        }
    }

    fn help(&self) -> Option<help::Page> {
        Some(help::mounting())
    }

    fn leave(&mut self, worker: &Worker) {
        if let Some(view) = &mut self.view {
            view.reopen();
        }
        self.keeper.flush(worker);
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
