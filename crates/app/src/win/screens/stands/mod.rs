//! The stands beside each other: which wears faster than its peers and in which row pair, what damage has in common,
//! how long bearings last, what is in stock, and what comes due at a shutdown.

mod common;
mod growth;
mod headline;
mod known;
mod lost;
mod place;
mod shutdown;
mod view;

#[cfg(test)]
mod one_bearing_tests;
#[cfg(test)]
mod tests;

use std::sync::Arc;

use egui::Ui;
use store::query::{
    DueLine, Growths, NoWear, ShopWear, StandsPage, due_lines, growth_by_stand, stands_page,
};

use self::view::{StandsView, stands_ui};
use super::log::nothing_yet;
use super::{Cx, Heading, Screen};
use crate::win::command::Command;
use crate::win::wear::WearKey;
use crate::win::worker::{Topic, Worker};

/// How far a shutdown is looked ahead for.
const YEAR_DAYS: i64 = 366;

/// What the page shows.
#[derive(Debug, Clone, Default)]
pub struct StandsModel {
    /// Stands, damage, lives, spares.
    pub page: Arc<StandsPage>,
    /// What the wear of the shop adds; none until it is worked out.
    pub worn: Option<Arc<Worn>>,
}

/// What is known with the wear of the shop.
#[derive(Debug, Clone, Default)]
pub struct Worn {
    wear: WearKey,
    /// What each stand's bearings grew by in the last twelve months.
    pub growth: Growths,
    /// What comes due within a year.
    pub due: Vec<DueLine>,
}

impl StandsModel {
    /// The wear of the shop; none where nothing has grown yet, or while it is worked out.
    pub fn wear(&self) -> Option<&ShopWear> {
        self.worn.as_ref()?.wear.wear()
    }

    /// Why nothing is said of the wear, once that was tried.
    pub fn no_wear(&self) -> Option<&NoWear> {
        self.worn.as_ref()?.wear.none()
    }
}

/// The stands.
#[derive(Debug, Default)]
pub struct StandsScreen {
    page: Topic<(), StandsPage>,
    worn: Topic<WearKey, Worn>,
    /// What is shown; while it is read anew, the last of each stands.
    model: Option<StandsModel>,
    view: StandsView,
}

impl Screen for StandsScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.page.refresh(worker, &(), |logbook, ()| {
            stands_page(logbook.connection(), logbook.now())
        });
        let wear = WearKey(worker.wear());
        if wear.0.is_some() {
            self.worn.refresh(worker, &wear, |logbook, key| {
                let (conn, now) = (logbook.connection(), logbook.now());
                Ok(Worn {
                    growth: match key.wear() {
                        Some(wear) => growth_by_stand(conn, wear, now.ms)?,
                        None => Growths::new(),
                    },
                    due: due_lines(conn, now, YEAR_DAYS, key.wear())?,
                    wear: key.clone(),
                })
            });
        }
        if let Some(page) = self.page.value() {
            let last = self.model.take().and_then(|model| model.worn);
            self.model = Some(StandsModel {
                page: Arc::clone(page),
                worn: self.worn.value().cloned().or(last),
            });
        }
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        Heading::new(
            "Stands",
            "which stand wears its bearings, and what comes next",
        )
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match &self.model {
            Some(model) => stands_ui(ui, cx, model, &mut self.view, commands),
            None => nothing_yet(ui, self.page.load()),
        }
    }
}
