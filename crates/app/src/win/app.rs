//! The program's window: the welcome screen, or the desk with an open logbook.

use std::path::PathBuf;

use draw::Theme;
use egui::{Context, Ui};

use super::closing::{Closing, Troubles};
use super::command::Command;
use super::desk::Desk;
use super::route::Route;
use super::screens::welcome::{Recent, Welcome};
use super::worker::Wake;
use crate::hands::HandsMaker;
use crate::ui::theme;

/// The program's window.
#[derive(Debug)]
pub struct App {
    start: Start,
    stage: Stage,
    /// The page to open once the logbook is.
    go_to: Option<Route>,
}

/// What the window starts with.
#[derive(Clone)]
pub struct Start {
    /// The logbook to open at once.
    pub file: Option<PathBuf>,
    /// Makes clock, entropy and the rest for a logbook.
    pub hands: HandsMaker,
    /// Asks for a frame, from any thread.
    pub wake: Wake,
    /// Where the list of logbooks opened last is kept; none: it is not.
    pub config: Option<PathBuf>,
    /// A theme whatever the logbook says, for pictures.
    pub theme: Option<Theme>,
    /// Logbooks being closed and their backups: who shows the window waits for them when it is gone.
    pub closing: Closing,
}

impl std::fmt::Debug for Start {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Start")
            .field("file", &self.file)
            .field("theme", &self.theme)
            .finish_non_exhaustive()
    }
}

#[derive(Debug)]
enum Stage {
    Welcome(Box<Welcome>),
    Desk(Box<Desk>),
    /// The window closes.
    Gone,
}

impl App {
    /// The window, opening the logbook that was named.
    ///
    /// Its context has its fonts and styles by [`theme::install`] before the first frame.
    pub fn new(start: Start) -> Self {
        let mut welcome = Welcome::new(&start);
        if let Some(file) = &start.file {
            welcome.open(file);
        }
        Self {
            start,
            stage: Stage::Welcome(Box::new(welcome)),
            go_to: None,
        }
    }

    /// The desk, where a logbook is open.
    pub fn desk(&self) -> Option<&Desk> {
        if let Stage::Desk(desk) = &self.stage {
            Some(desk)
        } else {
            None
        }
    }

    /// The same, to carry out commands on.
    pub fn desk_mut(&mut self) -> Option<&mut Desk> {
        if let Stage::Desk(desk) = &mut self.stage {
            Some(desk)
        } else {
            None
        }
    }

    /// The backups that are made after closing.
    pub fn closing(&self) -> &Closing {
        &self.start.closing
    }

    /// Whether a logbook is being opened.
    pub fn is_opening(&self) -> bool {
        matches!(&self.stage, Stage::Welcome(welcome) if welcome.is_opening())
    }

    /// Before the frame; paints nothing.
    pub fn logic(&mut self, ctx: &Context) {
        match &mut self.stage {
            Stage::Welcome(welcome) => {
                theme::set(ctx, self.start.theme.unwrap_or(Theme::Day));
                if let Some(logbook) = welcome.opened() {
                    let path = logbook.path().to_owned();
                    match Desk::new(logbook, self.start.wake.clone(), self.start.theme) {
                        Ok(mut desk) => {
                            Recent::at(self.start.config.as_deref()).add(&path);
                            desk.keep_notes(Troubles::at(self.start.config.as_deref()));
                            if let Some(route) = self.go_to.take() {
                                desk.run_commands(ctx, vec![Command::Go(route)]);
                            }
                            self.stage = Stage::Desk(Box::new(desk));
                        }
                        Err(why) => welcome.refuse(&why),
                    }
                }
            }
            Stage::Desk(desk) => {
                if desk.is_closing() {
                    let next = desk.take_next();
                    self.close_desk();
                    let mut welcome = Welcome::new(&self.start);
                    if let Some((path, route)) = next {
                        welcome.open(&path);
                        self.go_to = Some(route);
                    }
                    self.stage = Stage::Welcome(Box::new(welcome));
                }
            }
            Stage::Gone => {}
        }
        if let Stage::Desk(desk) = &mut self.stage {
            desk.logic(ctx);
        }
    }

    /// One frame.
    pub fn ui(&mut self, ui: &mut Ui) {
        match &mut self.stage {
            Stage::Welcome(welcome) => welcome.ui(ui),
            Stage::Desk(desk) => desk.ui(ui),
            Stage::Gone => {}
        }
    }

    /// The window closes: what was typed is handed over, and waited for; a backup that is due is begun.
    pub fn close(&mut self) {
        if let Stage::Desk(desk) = &mut self.stage {
            desk.flush();
            desk.worker().settle();
        }
        self.close_desk();
    }

    /// Closes the logbook, and makes the backup of it that is due, while the window goes on.
    fn close_desk(&mut self) {
        if let Stage::Desk(desk) = std::mem::replace(&mut self.stage, Stage::Gone) {
            self.start.closing.begin(desk.into_rest());
        }
    }
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &Context, _frame: &mut eframe::Frame) {
        App::logic(self, ctx);
    }

    fn ui(&mut self, ui: &mut Ui, _frame: &mut eframe::Frame) {
        App::ui(self, ui);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.close();
    }
}
