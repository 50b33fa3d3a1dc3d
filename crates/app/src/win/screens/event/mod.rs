//! One event: what it says, what was said about it later, and how it is put right.

pub mod pictures;
mod verdicts;
mod view;

#[cfg(test)]
mod tests;

use egui::Ui;
use store::query::{EventPage, event_page};

use self::view::{EventView, event_ui};
use super::bearings::gone;
use super::log::nothing_yet;
use super::{Cx, Heading, Screen};
use crate::ui::keys::Action;
use crate::win::command::Command;
use crate::win::snapshot::Settings;
use crate::win::worker::{Topic, Worker};

/// One event.
#[derive(Debug)]
pub struct EventScreen {
    event: i64,
    model: Topic<i64, Option<EventPage>>,
    view: EventView,
}

impl EventScreen {
    /// The event of this number here.
    pub fn new(event: i64) -> Self {
        Self {
            event,
            model: Topic::default(),
            view: EventView::default(),
        }
    }
}

impl Screen for EventScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.model.refresh(worker, &self.event, |logbook, event| {
            event_page(logbook.connection(), *event, Settings::read(logbook)?.show)
        });
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        match self.model.value().map(AsRef::as_ref) {
            Some(Some(page)) => Heading::new(
                page.line.title.clone(),
                format!("{} \u{b7} entry {}", page.line.at.date_time(), page.line.id),
            ),
            _ => Heading::new("Entry", ""),
        }
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match self.model.value().map(AsRef::as_ref) {
            Some(Some(page)) => event_ui(ui, cx, page, &mut self.view, commands),
            Some(None) => gone(ui, "There is no such entry in this logbook."),
            None => nothing_yet(ui, self.model.load()),
        }
    }

    fn act(&mut self, action: Action, commands: &mut Vec<Command>) {
        if action == Action::Close && !self.view.close() {
            commands.push(Command::Back);
        }
    }
}
