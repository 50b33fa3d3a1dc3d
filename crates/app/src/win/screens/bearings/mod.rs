//! The register of bearings, the page of one bearing, and a signed sheet to read.

mod findings;
pub mod forecast;
pub mod halves;
pub mod headline;
pub mod life;
pub mod page;
pub mod plot;
pub mod register;
pub mod save;
pub mod signed;
pub mod since;
pub mod verdicts;

#[cfg(test)]
pub(in crate::win::screens) mod tests;

use egui::Ui;
use store::ThingNo;
use store::query::{BearingLine, bearings};

use self::page::{PageModel, PageView, bearing_ui};
use self::register::{RegisterView, bearings_ui};
use self::signed::{SignedModel, SignedView, signed_ui};
use super::log::nothing_yet;
use super::{Cx, Heading, Screen};
use crate::print::What;
use crate::ui::keys::Action;
use crate::ui::{frames, widgets};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::worker::{Topic, Worker};

/// The register of bearings.
#[derive(Debug, Default)]
pub struct BearingsScreen {
    lines: Topic<(), Vec<BearingLine>>,
    view: RegisterView,
}

impl Screen for BearingsScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.lines
            .refresh(worker, &(), |logbook, ()| bearings(logbook.connection()));
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        Heading::new("Bearings", "where each is and how it stands")
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match self.lines.value() {
            Some(lines) => bearings_ui(ui, cx, lines, &mut self.view, commands),
            None => nothing_yet(ui, self.lines.load()),
        }
    }
}

/// One bearing.
#[derive(Debug)]
pub struct BearingScreen {
    no: ThingNo,
    model: Topic<ThingNo, Option<PageModel>>,
    view: PageView,
}

impl BearingScreen {
    /// The page of this bearing.
    pub fn new(no: ThingNo) -> Self {
        Self {
            no,
            model: Topic::default(),
            view: PageView::default(),
        }
    }
}

impl Screen for BearingScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.model.refresh(worker, &self.no, |logbook, no| {
            PageModel::read(logbook, *no)
        });
        // The page stands first; what the whole shop says about it comes after.
        if self.model.value().is_some() {
            self.view.wear = worker.wear().or(self.view.wear.take());
        }
        None
    }

    fn heading(&self, cx: &Cx) -> Heading {
        if let Some(Some(model)) = self.model.value().map(AsRef::as_ref) {
            let t = &model.page.bearing_type;
            return Heading::new(&model.page.line.serial, signed::type_words(t, cx.show));
        }
        let thing = cx.snapshot.things.iter().find(|t| t.no == self.no);
        thing.map_or_else(
            || Heading::new("Bearing", ""),
            |t| Heading::new(&t.code, &t.detail),
        )
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match self.model.value().map(AsRef::as_ref) {
            Some(Some(model)) => bearing_ui(ui, cx, model, &mut self.view, commands),
            Some(None) => gone(ui, "There is no such bearing in this logbook."),
            None => nothing_yet(ui, self.model.load()),
        }
    }

    fn act(&mut self, action: Action, _commands: &mut Vec<Command>) {
        if action == Action::Print {
            self.view.is_print_asked = true;
        }
    }
}

/// A signed sheet, to read.
#[derive(Debug)]
pub struct SignedScreen {
    event: i64,
    model: Topic<i64, Option<SignedModel>>,
    view: SignedView,
}

impl SignedScreen {
    /// The sheet of this event.
    pub fn new(event: i64) -> Self {
        Self {
            event,
            model: Topic::default(),
            view: SignedView::default(),
        }
    }
}

impl Screen for SignedScreen {
    fn refresh(&mut self, worker: &Worker, _time: f64) -> Option<f64> {
        self.model.refresh(worker, &self.event, |logbook, event| {
            SignedModel::read(logbook, *event)
        });
        None
    }

    fn heading(&self, _cx: &Cx) -> Heading {
        match self.model.value().map(AsRef::as_ref) {
            Some(Some(model)) => Heading::new(model.title(), model.detail()),
            _ => Heading::new("Signed sheet", ""),
        }
    }

    fn ui(&mut self, ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
        match self.model.value().map(AsRef::as_ref) {
            Some(Some(model)) => signed_ui(ui, cx, model, &mut self.view, commands),
            Some(None) => gone(ui, "There is no such sheet in this logbook."),
            None => nothing_yet(ui, self.model.load()),
        }
    }

    fn act(&mut self, action: Action, commands: &mut Vec<Command>) {
        if action == Action::Print {
            let sheet = Some(ThingNo(self.event));
            commands.push(Command::Go(Route::Documents(What::Sheet, sheet)));
        }
    }
}

/// What was asked for is not in this logbook.
pub(in crate::win::screens) fn gone(ui: &mut Ui, sentence: &str) {
    frames::page_body(ui, |ui| {
        widgets::empty_page(ui, sentence, "It may be in another copy of it.", None);
    });
}
