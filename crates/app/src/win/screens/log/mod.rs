//! The log: open drafts, and all events; any sheet is begun here.
//!
//! Small controls and the event line are here too, since the pages of bearings and chocks show the same events.

pub mod event_line;
pub mod list;
pub mod model;
pub mod small;
pub mod view;

#[cfg(test)]
pub(crate) mod tests;

use std::sync::Arc;

use egui::Ui;

use self::model::{Extent, LogModel, Sort};
use self::view::{LogView, log_ui};
use super::{Cx, Heading, Screen};
use crate::ui::{frames, text, widgets};
use crate::win::command::Command;
use crate::win::worker::{Load, Topic, Worker};

/// The log.
#[derive(Debug, Default)]
pub struct LogScreen {
    model: Topic<Extent, LogModel>,
    /// What was read last, to stay on the page while more is read.
    last: Option<Arc<LogModel>>,
    view: LogView,
}

impl Screen for LogScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        let extent = match (self.view.sort, &self.last) {
            (Sort::Campaigns, _) => Extent::Campaigns,
            (_, None) => Extent::First,
            (_, Some(_)) => Extent::All,
        };
        self.model.refresh(worker, &extent, |logbook, extent| {
            LogModel::read(logbook, *extent)
        });
        if let Some(model) = self.model.value() {
            self.last = Some(Arc::clone(model));
        }
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        Heading::new("Log", "what happened, newest first")
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match &self.last {
            Some(model) => log_ui(ui, cx, model, &mut self.view, commands),
            None => nothing_yet(ui, self.model.load()),
        }
    }
}

/// What stands on a page while it is read for the first time, or where that failed.
pub fn nothing_yet<T>(ui: &mut Ui, load: &Load<T>) {
    frames::page_body(ui, |ui| match load.error() {
        Some(why) => widgets::error_box(ui, "Not read", why),
        None => {
            text::say(ui, text::Face::BODY.muted(), "Reading \u{2026}");
        }
    });
}
