//! One gauge: what its errors touched, and its calibrations with what was read up to the next one.

#[cfg(test)]
mod tests;
mod view;

pub use view::{GaugeView, gauge_ui, suspect_line};

use egui::Ui;
use store::ThingNo;
use store::query::{GaugePage, Impact, gauge_page, held, impacts};

use super::bearings::gone;
use super::log::nothing_yet;
use super::{Cx, Heading, Screen};
use crate::print::What;
use crate::ui::keys::Action;
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::snapshot::Settings;
use crate::win::worker::{Topic, Worker};

/// What is told of a gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeModel {
    /// Its record and calibrations.
    pub page: GaugePage,
    /// Each time that it was found out, newest first.
    pub impacts: Vec<Impact>,
    /// True while it is on hold: a tag hangs on it.
    pub is_held: bool,
}

impl GaugeModel {
    /// The document that says it on paper.
    pub fn print(&self) -> Command {
        let what = if self.impacts.is_empty() {
            What::Gauge
        } else {
            What::Impact
        };
        Command::Go(Route::Documents(what, Some(self.page.no)))
    }
}

/// One gauge.
#[derive(Debug)]
pub struct GaugeScreen {
    no: ThingNo,
    model: Topic<ThingNo, Option<GaugeModel>>,
    view: GaugeView,
}

impl GaugeScreen {
    /// The gauge of this number here.
    pub fn new(no: ThingNo) -> Self {
        Self {
            no,
            model: Topic::default(),
            view: GaugeView::default(),
        }
    }
}

impl Screen for GaugeScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.model.refresh(worker, &self.no, |logbook, no| {
            let show = Settings::read(logbook)?.show;
            let conn = logbook.connection();
            let Some(page) = gauge_page(conn, *no, None, logbook.now())? else {
                return Ok(None);
            };
            Ok(Some(GaugeModel {
                page,
                impacts: impacts(conn, *no, show)?,
                is_held: held(conn, *no)?.is_some(),
            }))
        });
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        match self.model.value().map(AsRef::as_ref) {
            Some(Some(model)) => {
                let record = &model.page.record;
                Heading::new(&record.code, format!("{}, {}", record.kind, record.range))
            }
            _ => Heading::new("Gauge", ""),
        }
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match self.model.value().map(AsRef::as_ref) {
            Some(Some(model)) => gauge_ui(ui, cx, model, &mut self.view, commands),
            Some(None) => gone(ui, "There is no such gauge in this logbook."),
            None => nothing_yet(ui, self.model.load()),
        }
    }

    fn act(&mut self, action: Action, commands: &mut Vec<Command>) {
        if let (Action::Print, Some(Some(model))) = (action, self.model.value().map(AsRef::as_ref))
        {
            commands.push(model.print());
        }
    }
}
