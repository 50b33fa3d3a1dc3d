//! The stands beside each other: which wears faster than its peers and in which row pair, what damage has in common,
//! how long bearings last, what is in stock, and what comes due at a shutdown.

mod growth;
mod view;

#[cfg(test)]
mod tests;

use egui::Ui;
use store::query::{
    DueLine, Growths, ShopWear, StandsPage, due_lines, growth_by_stand, shop_wear, stands_page,
};

use self::view::{StandsView, stands_ui};
use super::log::nothing_yet;
use super::{Cx, Heading, Screen};
use crate::win::command::Command;
use crate::win::worker::{Topic, Worker};

/// How far a shutdown is looked ahead for.
const YEAR_DAYS: i64 = 366;

/// What the page shows.
#[derive(Debug, Clone, Default)]
pub struct StandsModel {
    /// Stands, damage, lives, spares.
    pub page: StandsPage,
    /// The wear of the shop; none where nothing has grown yet.
    pub wear: Option<ShopWear>,
    /// What each stand's bearings grew by in the last twelve months.
    pub growth: Growths,
    /// What comes due within a year.
    pub due: Vec<DueLine>,
}

/// The stands.
#[derive(Debug, Default)]
pub struct StandsScreen {
    model: Topic<(), StandsModel>,
    view: StandsView,
}

impl Screen for StandsScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.model.refresh(worker, &(), |logbook, ()| {
            let conn = logbook.connection();
            let now = logbook.now();
            let wear = shop_wear(conn, None)?;
            Ok(StandsModel {
                page: stands_page(conn)?,
                growth: match &wear {
                    Some(wear) => growth_by_stand(conn, wear, now.ms)?,
                    None => Growths::new(),
                },
                due: due_lines(conn, now, YEAR_DAYS, wear.as_ref())?,
                wear,
            })
        });
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        Heading::new(
            "Stands",
            "which stand wears its bearings, and what comes next",
        )
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match self.model.value() {
            Some(model) => stands_ui(ui, cx, model, &mut self.view, commands),
            None => nothing_yet(ui, self.model.load()),
        }
    }
}
