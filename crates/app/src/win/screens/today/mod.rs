//! Today: what is late, short, not finished or coming, each with one button; and what changed since the last shift.

pub(crate) mod lines;
mod view;

#[cfg(test)]
mod tests;

use std::sync::Arc;

use egui::Ui;
use store::query::{Today, today};
use store::time::HOUR_MS;

use self::view::{TodayView, today_ui};
use super::log::nothing_yet;
use super::{Cx, Heading, Screen};
use crate::print::What;
use crate::ui::keys::Action;
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::snapshot::Settings;
use crate::win::worker::{Topic, Worker};

/// A shift, ms: what is older has been handed over before.
const SHIFT_MS: i64 = 8 * HOUR_MS;

/// The page of today.
#[derive(Debug, Default)]
pub struct TodayScreen {
    model: Topic<(), Today>,
    /// What was read last, to stay on the page while it is read anew.
    last: Option<Arc<Today>>,
    view: TodayView,
}

impl Screen for TodayScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.model.refresh(worker, &(), |logbook, ()| {
            let now = logbook.now();
            let show = Settings::read(logbook)?.show;
            today(logbook.connection(), now, now.ms - SHIFT_MS, show)
        });
        if let Some(model) = self.model.value() {
            self.last = Some(Arc::clone(model));
        }
        None
    }

    fn heading(&self, cx: &Cx) -> Heading {
        Heading::new("Today", cx.now.date())
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match &self.last {
            Some(model) => today_ui(ui, cx, model, &mut self.view, commands),
            None => nothing_yet(ui, self.model.load()),
        }
    }

    fn act(&mut self, action: Action, commands: &mut Vec<Command>) {
        if action == Action::Print {
            commands.push(Command::Go(Route::Documents(What::Handover, None)));
        }
    }
}
