//! The screens, a folder each: `model.rs` reads what it shows, `view.rs` draws it.

pub mod bearings;
pub mod bench;
pub mod chocks;
pub mod documents;
pub mod event;
pub mod gauge;
pub mod log;
pub mod mounting;
pub mod parts;
pub mod setup;
pub mod sheet;
pub mod stands;
pub mod teardown;
pub mod thing;
pub mod today;
pub mod welcome;

use std::path::Path;

use store::entry::Show;
use store::payload::Role;
use store::{Signer, Stamp};

use super::command::{Answers, Command, WhatIf};
use super::health::Health;
use super::help;
use super::route::Route;
use super::snapshot::{Settings, Snapshot};
use super::worker::Worker;
use crate::ui::keys::Action;

/// What every screen is told in a frame; read only.
#[derive(Debug)]
pub struct Cx<'a> {
    /// The time on the logbook's clock, to the minute.
    pub now: Stamp,
    /// Unit and decimal mark.
    pub show: Show,
    /// All settings.
    pub settings: Settings,
    /// Who is at work.
    pub person: Option<&'a Signer>,
    /// Why the logbook cannot be written; none where it can.
    pub read_only: Option<&'a str>,
    /// What became of this page's commands.
    pub answers: &'a Answers,
    /// Plant, people, things.
    pub snapshot: &'a Snapshot,
    /// The file.
    pub path: &'a Path,
    /// Its backups and the check of its record.
    pub health: &'a Health,
}

impl Cx<'_> {
    /// Whether the person at work has one of these roles.
    pub fn is_role(&self, roles: &[Role]) -> bool {
        self.person.is_some_and(|p| roles.contains(&p.role))
    }

    /// Whether something may be entered: the file can be written, and nobody is at work who only reads.
    pub fn may_enter(&self) -> bool {
        self.read_only.is_none() && !self.is_role(&[Role::Auditor])
    }
}

/// The words of the top strip.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Heading {
    /// Title of the page.
    pub title: String,
    /// A line about it.
    pub detail: String,
    /// Beside the find box: on a sheet, when the draft was kept.
    pub note: String,
}

impl Heading {
    /// A title with a line about it.
    pub fn new(title: impl Into<String>, detail: impl Into<String>) -> Self {
        Self {
            title: title.into(),
            detail: detail.into(),
            note: String::new(),
        }
    }
}

/// A page of the window.
pub trait Screen {
    /// Asks for what it shows ([`super::worker::Topic::refresh`]) and hands over what was typed
    /// ([`super::keeper::Keeper::poll`]); before each frame. `time` is that of the window, s. Answers when it must
    /// be asked again though nothing happens, s from now.
    fn refresh(&mut self, worker: &Worker, time: f64) -> Option<f64>;

    /// The words of the top strip.
    fn heading(&self, cx: &Cx) -> Heading;

    /// Draws it, in the room below the strip and beside the rail; a sheet has no rail and brings its sections.
    fn ui(&mut self, ui: &mut egui::Ui, cx: &Cx, commands: &mut Vec<Command>);

    /// Whether its fields are still being read; what is typed or scanned meanwhile is kept for the first of them.
    fn is_opening(&self) -> bool {
        false
    }

    /// Whether it is a sheet in which nothing stands: leaving it throws it away.
    fn is_blank(&self) -> bool {
        false
    }

    /// A key of the page: print, undo, next or previous section, close.
    fn act(&mut self, _action: Action, _commands: &mut Vec<Command>) {}

    /// What a sheet is about that is begun from here by its key: fields and their texts.
    fn known(&self, _sheet: Action) -> Vec<(String, String)> {
        Vec::new()
    }

    /// Its own page of the handbook, where that of its route does not say enough.
    fn help(&self) -> Option<help::Page> {
        None
    }

    /// Values from another page, by the name of the method they are for: only the bench takes them.
    fn try_out(&mut self, _what_if: &WhatIf) {}

    /// The page is left, or the window closes: hand over what is not kept yet.
    fn leave(&mut self, _worker: &Worker) {}
}

/// A new screen for a route.
pub fn screen_of(route: Route) -> Box<dyn Screen> {
    match route {
        Route::Today => Box::new(today::TodayScreen::default()),
        Route::Log => Box::new(log::LogScreen::default()),
        Route::Tell => Box::new(setup::tell::TellScreen::default()),
        Route::TellOf(act, no) => Box::new(setup::tell::TellScreen::of(act, no)),
        Route::Bearings => Box::new(bearings::BearingsScreen::default()),
        Route::Bearing(no) => Box::new(bearings::BearingScreen::new(no)),
        Route::Chocks => Box::new(chocks::ChocksScreen::default()),
        Route::Chock(no) => Box::new(chocks::ChockScreen::new(no)),
        Route::Stands => Box::new(stands::StandsScreen::default()),
        Route::Bench => Box::new(bench::BenchScreen::default()),
        Route::Documents(what, of) => Box::new(documents::DocumentsScreen::new(what, of)),
        Route::Thing(no) => Box::new(thing::ThingScreen::new(no)),
        Route::Gauge(no) => Box::new(gauge::GaugeScreen::new(no)),
        Route::Event(event) => Box::new(event::EventScreen::new(event)),
        Route::Signed(event) => Box::new(bearings::SignedScreen::new(event)),
        Route::Setup(page, line) => Box::new(setup::SetupScreen::new(page, line)),
        Route::Sheet(draft) => Box::new(sheet::DraftScreen::new(draft)),
    }
}
