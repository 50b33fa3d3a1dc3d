//! The bench: every calculation alone, or two side by side. Nothing is written to the log; what is typed is kept as a
//! setting of this copy.
//!
//! - `pane`: one calculation: its method, what is typed, its result.
//! - `shelf`: what is typed for the others, and how all of it is kept.
//! - `view`: the page; `form_view` its fields, `field` one of them, `objects_view` those of several objects,
//!   `result_view` what comes out.
//! - `paper`: copy and print.

mod field;
mod form_view;
mod objects_view;
mod pane;
mod paper;
mod result_view;
mod shelf;
mod view;

#[cfg(test)]
mod tests;

use calc::method::by_name;
use egui::Ui;
use store::entry::Show;

pub(super) use self::result_view::source_words;
use self::shelf::Shelf;
use self::view::{BenchView, bench_ui};
use super::{Cx, Heading, Screen};
use crate::bench::Form;
use crate::ui::keys::Action;
use crate::win::command::{Command, WhatIf};
use crate::win::help::{self, Page};
use crate::win::snapshot::Settings;
use crate::win::worker::{Answer, Progress, Worker};

/// Name of the setting that keeps what is typed.
const SETTING: &str = "bench";
/// So long after a change it is kept, s.
const KEEP_AFTER_S: f64 = 1.0;

type Kept = Answer<store::Result<(Option<String>, Show)>>;

/// The bench.
#[derive(Debug, Default)]
pub struct BenchScreen {
    asked: Option<Kept>,
    view: Option<BenchView>,
    what_if: Option<WhatIf>,
    /// Clock of the window at the first change that is not kept yet, s.
    changed: Option<f64>,
}

impl BenchScreen {
    /// Takes what was kept, once it is there.
    fn load(&mut self, worker: &Worker) {
        let asked = self.asked.get_or_insert_with(|| {
            worker.ask(|logbook| {
                let show = Settings::read(logbook)?.show;
                Ok((logbook.setting(SETTING)?, show))
            })
        });
        let (kept, show) = match asked.look() {
            Progress::Waiting => return,
            Progress::Here(Ok(kept)) => kept,
            // What was typed before cannot be read; the bench works without.
            Progress::Here(Err(_)) | Progress::Stopped => (None, Show::default()),
        };
        let shelf = kept.and_then(|text| Shelf::read(&text)).unwrap_or_default();
        self.view = Some(BenchView::new(shelf, show));
    }

    fn keep(&mut self, worker: &Worker) {
        if self.changed.take().is_none() {
            return;
        }
        let Some(text) = self.view.as_mut().map(BenchView::kept) else {
            return;
        };
        // A reader that may not write keeps it as long as the window is open.
        let _done = worker.ask(move |logbook| {
            if let Err(e) = logbook.set_setting(SETTING, &text) {
                log::info!("what is typed on the bench is not kept: {e}");
            }
        });
    }

    fn take_what_if(&mut self, show: Show) {
        let Some(view) = &mut self.view else { return };
        let Some(what_if) = self.what_if.take() else {
            return;
        };
        // One alone, so that its result stands beside its fields; the others wait in the list.
        view.close_second();
        for (name, input) in what_if.inputs.iter().rev() {
            if let Some(method) = by_name(name) {
                let mut form = Form::filled(method, input, show);
                form.origin.clone_from(&what_if.origin);
                view.open(0, method, Some(form), show);
            }
        }
    }
}

impl Screen for BenchScreen {
    fn refresh(&mut self, worker: &Worker, time: f64) -> Option<f64> {
        let Some(view) = &mut self.view else {
            self.load(worker);
            return None;
        };
        if view.take_changed() && self.changed.is_none() {
            self.changed = Some(time);
        }
        let left = self.changed.map(|since| since + KEEP_AFTER_S - time)?;
        if left > 0.0 {
            return Some(left);
        }
        self.keep(worker);
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        Heading::new(
            "Bench",
            "one calculation, or two side by side; nothing here is written to the log",
        )
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        self.take_what_if(cx.show);
        if let Some(view) = &mut self.view {
            bench_ui(ui, cx, view, commands);
        }
    }

    fn act(&mut self, action: Action, _commands: &mut Vec<Command>) {
        if let Some(view) = &mut self.view {
            view.act(action);
        }
    }

    fn help(&self) -> Option<Page> {
        self.view
            .as_ref()
            .map(|view| help::of_method(view.method()))
    }

    fn try_out(&mut self, what_if: &WhatIf) {
        self.what_if = Some(what_if.clone());
    }

    fn leave(&mut self, worker: &Worker) {
        if self.view.as_mut().is_some_and(BenchView::take_changed) {
            self.changed = Some(0.0);
        }
        self.keep(worker);
        // Whoever comes back finds the caret where it was put first.
        if let Some(view) = &mut self.view {
            view.activate_again();
        }
    }
}
