//! Today: what is late, short, not finished or coming, each with one button; and what changed since the last shift.

mod coming;
mod drafts;
mod hand_over;
pub(crate) mod lines;
mod plan;
mod shift;
mod view;
pub(crate) mod work;

#[cfg(test)]
pub(crate) mod tests;

use std::sync::Arc;

use egui::Ui;
use store::query::{
    DueLine, ExpectedLimit, Question, Today, expected_limits, likely_limits, today,
};
use store::time::HOUR_MS;

use self::view::{TodayView, today_ui};
use super::log::nothing_yet;
use super::{Cx, Heading, Screen};
use crate::print::What;
use crate::ui::keys::Action;
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::snapshot::Settings;
use crate::win::wear::WearKey;
use crate::win::worker::{Topic, Worker};

/// A shift, ms: what is older has been handed over before.
const SHIFT_MS: i64 = 8 * HOUR_MS;

/// The readings behind what is shown.
type Read = (Arc<Today>, Option<Arc<Forecast>>);

/// What the wear of the whole shop says: bearings that may pass their limit, and what comes due with that known.
#[derive(Debug, Clone, Default)]
struct Forecast {
    expected: Vec<ExpectedLimit>,
    likely: Vec<DueLine>,
    questions: Vec<Question>,
}

/// The page of today.
#[derive(Debug, Default)]
pub struct TodayScreen {
    model: Topic<(), Today>,
    /// What the wear of the whole shop says; it takes longer, and the page does not wait for it.
    expected: Topic<WearKey, Forecast>,
    forecast: Option<Arc<Forecast>>,
    /// What was read last, to stay on the page while it is read anew, and what it was made from.
    last: Option<Arc<Today>>,
    shown: Option<Read>,
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
            let wear = WearKey(worker.wear());
            if wear.0.is_some() {
                self.expected.refresh(worker, &wear, |logbook, wear| {
                    let conn = logbook.connection();
                    Ok(Forecast {
                        likely: match wear.wear() {
                            Some(wear) => likely_limits(conn, logbook.now(), wear)?,
                            None => Vec::new(),
                        },
                        expected: match wear.wear() {
                            Some(wear) => expected_limits(conn, wear)?,
                            None => Vec::new(),
                        },
                        questions: wear.questions(),
                    })
                });
            }
            // While a newer one is read, the last one stands.
            if let Some(forecast) = self.expected.value() {
                self.forecast = Some(Arc::clone(forecast));
            }
            let read = (Arc::clone(model), self.forecast.clone());
            let is_shown = self.shown.as_ref().is_some_and(|(today, expected)| {
                let same = match (expected, &read.1) {
                    (Some(a), Some(b)) => Arc::ptr_eq(a, b),
                    (a, b) => a.is_none() && b.is_none(),
                };
                same && Arc::ptr_eq(today, &read.0)
            });
            if !is_shown {
                let mut whole = Today::clone(model);
                if let Some(forecast) = &read.1 {
                    whole.expected.clone_from(&forecast.expected);
                    whole.likely.clone_from(&forecast.likely);
                    whole.questions.clone_from(&forecast.questions);
                }
                self.last = Some(Arc::new(whole));
                self.shown = Some(read);
            }
        }
        None
    }

    fn heading(&self, cx: &Cx) -> Heading {
        let day = format!("{} {}", cx.now.weekday(), cx.now.date());
        let detail = match shift::Shift::at(cx.now) {
            Some(shift) => format!("{day} \u{b7} {} shift", shift.word()),
            None => day,
        };
        Heading::new("Today", detail)
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
