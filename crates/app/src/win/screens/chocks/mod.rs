//! The register of chocks, and the page of one chock.

mod bore;
mod faces;
mod over_time;
pub mod page;
pub mod register;

#[cfg(test)]
mod tests;

use egui::Ui;
use store::ThingNo;
use store::query::{ChockLine, ChockPage, chock_page, chocks};

use self::page::{PageView, chock_ui};
use self::register::{RegisterView, chocks_ui};
use super::bearings::gone;
use super::log::nothing_yet;
use super::{Cx, Heading, Screen};
use crate::print::What;
use crate::ui::keys::Action;
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::snapshot::Settings;
use crate::win::worker::{Topic, Worker};

/// The register of chocks.
#[derive(Debug, Default)]
pub struct ChocksScreen {
    lines: Topic<(), Vec<ChockLine>>,
    view: RegisterView,
}

impl Screen for ChocksScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.lines
            .refresh(worker, &(), |logbook, ()| chocks(logbook.connection()));
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        Heading::new("Chocks", "where each is and how its bore stands")
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match self.lines.value() {
            Some(lines) => chocks_ui(ui, cx, lines, &mut self.view, commands),
            None => nothing_yet(ui, self.lines.load()),
        }
    }
}

/// One chock.
#[derive(Debug)]
pub struct ChockScreen {
    no: ThingNo,
    page: Topic<ThingNo, Option<ChockPage>>,
    view: PageView,
}

impl ChockScreen {
    /// The page of this chock.
    pub fn new(no: ThingNo) -> Self {
        Self {
            no,
            page: Topic::default(),
            view: PageView::default(),
        }
    }
}

impl Screen for ChockScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.page.refresh(worker, &self.no, |logbook, no| {
            let show = Settings::read(logbook)?.show;
            chock_page(logbook.connection(), *no, logbook.now(), show)
        });
        None
    }

    fn heading(&self, cx: &Cx) -> Heading {
        if let Some(Some(page)) = self.page.value().map(AsRef::as_ref) {
            let detail = format!("{} for {}", page.line.type_code, page.bearing_type.code);
            return Heading::new(&page.line.code, detail);
        }
        let thing = cx.snapshot.things.iter().find(|t| t.no == self.no);
        thing.map_or_else(
            || Heading::new("Chock", ""),
            |t| Heading::new(&t.code, &t.detail),
        )
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match self.page.value().map(AsRef::as_ref) {
            Some(Some(page)) => chock_ui(ui, cx, page, &mut self.view, commands),
            Some(None) => gone(ui, "There is no such chock in this logbook."),
            None => nothing_yet(ui, self.page.load()),
        }
    }

    fn known(&self, sheet: Action) -> Vec<(String, String)> {
        match self.page.value().map(AsRef::as_ref) {
            Some(Some(page)) => page::known(page, sheet),
            _ => Vec::new(),
        }
    }

    fn act(&mut self, action: Action, commands: &mut Vec<Command>) {
        if action == Action::Print {
            let route = Route::Documents(What::Chock, Some(self.no));
            commands.push(Command::Go(route));
        }
    }
}
