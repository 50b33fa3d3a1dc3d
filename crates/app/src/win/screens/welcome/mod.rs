//! The window without a logbook: the ones opened last, another one, a new one.

mod recent;
mod view;

use std::path::{Path, PathBuf};
use std::sync::mpsc;

use egui::Ui;
use store::{Hands, Logbook, StoreError};

pub use recent::Recent;

use crate::hands::HandsMaker;
use crate::ui::keys::{self, Action};
use crate::win::app::Start;
use crate::win::command::sentence;
use crate::win::worker::{Answer, Progress, STOPPED, Wake};

/// The end of a logbook's name.
pub const ENDING: &str = "chockbook";

/// The window without a logbook.
pub struct Welcome {
    hands: HandsMaker,
    wake: Wake,
    recent: Recent,
    form: Form,
    opening: Option<(PathBuf, Answer<Result<Logbook, String>>)>,
    choosing: Option<(Choosing, Answer<Option<PathBuf>>)>,
    opened: Option<Logbook>,
    is_help_open: bool,
}

/// What was typed, and what went wrong with it.
#[derive(Debug, Default)]
struct Form {
    open_path: String,
    open_trouble: String,
    plant: String,
    new_path: String,
    /// The path was typed or chosen, and no longer follows the name of the plant.
    is_path_own: bool,
    new_trouble: String,
    /// The trouble of what is being opened belongs to the form for a new one.
    is_making: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Choosing {
    Open,
    New,
}

/// What a person did with the screen.
#[derive(Debug, PartialEq, Eq)]
enum Act {
    Open(PathBuf),
    Make { plant: String, path: PathBuf },
    Choose(Choosing),
    Forget(PathBuf),
}

impl std::fmt::Debug for Welcome {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Welcome")
            .field("form", &self.form)
            .finish_non_exhaustive()
    }
}

impl Welcome {
    /// The screen with the list of logbooks opened last.
    pub fn new(start: &Start) -> Self {
        Self {
            hands: start.hands.clone(),
            wake: start.wake.clone(),
            recent: Recent::at(start.config.as_deref()),
            form: Form::default(),
            opening: None,
            choosing: None,
            opened: None,
            is_help_open: false,
        }
    }

    /// Begins to open a logbook, on another thread: an old one is derived anew, which takes its time.
    pub fn open(&mut self, path: &Path) {
        self.form.open_path = path.display().to_string();
        self.form.is_making = false;
        self.begin(path, Logbook::open);
    }

    fn make(&mut self, plant: String, path: &Path) {
        self.form.is_making = true;
        self.begin(path, move |path, hands| {
            Logbook::create(path, hands, plant.trim())
        });
    }

    fn begin(
        &mut self,
        path: &Path,
        open: impl FnOnce(&Path, Hands) -> store::Result<Logbook> + Send + 'static,
    ) {
        self.form.open_trouble.clear();
        self.form.new_trouble.clear();
        let (hands, wake) = (self.hands.clone(), self.wake.clone());
        let (send, opened) = mpsc::channel();
        let at = path.to_owned();
        let body = move || {
            // The window may have been closed meanwhile.
            let _unwanted = send.send(open(&at, hands()).map_err(|e| words(&e)));
            wake();
        };
        match std::thread::Builder::new()
            .name("chockbook-open".into())
            .spawn(body)
        {
            Ok(_) => self.opening = Some((path.to_owned(), Answer::of(opened))),
            Err(e) => self.refuse(&format!("no thread to open it: {e}")),
        }
    }

    /// Why the logbook could not be opened, beside where it was named.
    pub fn refuse(&mut self, why: &str) {
        if self.form.is_making {
            self.form.new_trouble = sentence(why);
        } else {
            self.form.open_trouble = sentence(why);
        }
    }

    /// The logbook, once it is open.
    pub fn opened(&mut self) -> Option<Logbook> {
        if let Some((_, answer)) = &self.opening {
            let opened = match answer.look() {
                Progress::Waiting => return None,
                Progress::Here(opened) => opened,
                Progress::Stopped => Err(STOPPED.into()),
            };
            self.opening = None;
            match opened {
                Ok(logbook) => self.opened = Some(logbook),
                Err(why) => self.refuse(&why),
            }
        }
        self.opened.take()
    }

    /// True while a logbook is being opened.
    pub fn is_opening(&self) -> bool {
        self.opening.is_some()
    }

    /// One frame.
    pub fn ui(&mut self, ui: &mut Ui) {
        self.take_chosen();
        if keys::triggered(ui.ctx()).contains(&Action::Help) {
            self.is_help_open = !self.is_help_open;
        }
        let mut acts = Vec::new();
        let opening = self.opening.as_ref().map(|(path, _)| path.as_path());
        view::welcome_ui(
            ui,
            &self.recent,
            opening,
            self.choosing.is_some(),
            &mut self.form,
            &mut acts,
        );
        if self.is_help_open {
            self.is_help_open = !crate::win::help::welcome().show(ui.ctx());
        }
        for act in acts {
            ui.request_repaint();
            match act {
                Act::Open(path) => self.open(&path),
                Act::Make { plant, path } => self.make(plant, &path),
                Act::Choose(what) => self.choose(what),
                Act::Forget(path) => self.recent.forget(&path),
            }
        }
    }

    /// The system's dialog runs on its own thread; where there is none it answers at once, as if it were closed.
    fn choose(&mut self, what: Choosing) {
        let (send, chosen) = mpsc::channel();
        let wake = self.wake.clone();
        let name = file_name(&self.form.plant);
        let body = move || {
            let dialog = rfd::FileDialog::new().add_filter("Logbook", &[ENDING]);
            let path = match what {
                Choosing::Open => dialog.set_title("Open a logbook").pick_file(),
                Choosing::New => dialog
                    .set_title("Make a logbook")
                    .set_file_name(name)
                    .save_file(),
            };
            let _unwanted = send.send(path);
            wake();
        };
        match std::thread::Builder::new()
            .name("chockbook-choose".into())
            .spawn(body)
        {
            Ok(_) => self.choosing = Some((what, Answer::of(chosen))),
            Err(e) => self.refuse(&format!("no thread for the dialog: {e}")),
        }
    }

    fn take_chosen(&mut self) {
        let Some((what, answer)) = &self.choosing else {
            return;
        };
        let (what, chosen) = match answer.look() {
            Progress::Waiting => return,
            Progress::Here(chosen) => (*what, chosen),
            Progress::Stopped => (*what, None),
        };
        self.choosing = None;
        match (what, chosen) {
            (Choosing::Open, Some(path)) => self.open(&path),
            (Choosing::New, Some(path)) => {
                self.form.new_path = path.display().to_string();
                self.form.is_path_own = true;
            }
            (_, None) => {}
        }
    }
}

/// What went wrong, for somebody who looks at this screen and not at a command line.
fn words(error: &StoreError) -> String {
    match error {
        StoreError::NotFound { path } => {
            let path = path.display();
            format!("there is no logbook at {path}: check the name, or make a new one below")
        }
        other => other.to_string(),
    }
}

/// `Tarnhollow.chockbook`: the plant's name without what a file name may not hold.
fn file_name(plant: &str) -> String {
    let kept: String = plant
        .trim()
        .chars()
        .map(|c| {
            if c.is_alphanumeric() || c == '-' {
                c
            } else {
                ' '
            }
        })
        .collect();
    let words: Vec<&str> = kept.split_whitespace().collect();
    let name = if words.is_empty() {
        "logbook".to_owned()
    } else {
        words.join("-")
    };
    format!("{name}.{ENDING}")
}

/// A typed path: without quotes and spaces around it, `~` as the home folder.
fn typed_path(text: &str) -> Option<PathBuf> {
    let text = text.trim().trim_matches(['"', '\'']);
    if text.is_empty() {
        return None;
    }
    match text.strip_prefix("~/") {
        Some(rest) => std::env::home_dir().map(|home| home.join(rest)),
        None => Some(PathBuf::from(text)),
    }
}

/// A typed path for a new logbook, with the ending that marks one.
fn new_path(text: &str) -> Option<PathBuf> {
    let mut path = typed_path(text)?;
    path.file_name()?;
    if path.extension().is_none_or(|ending| ending != ENDING) {
        let mut name = path.into_os_string();
        name.push(format!(".{ENDING}"));
        path = PathBuf::from(name);
    }
    Some(path)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_logbook_gets_a_name_that_a_file_can_have() {
        assert_eq!(
            file_name("  Tarnhollow Hot/Strip: 2 "),
            "Tarnhollow-Hot-Strip-2.chockbook"
        );
        assert_eq!(file_name(" / "), "logbook.chockbook");
        assert_eq!(new_path("a/b"), Some("a/b.chockbook".into()));
        assert_eq!(new_path("\"a/b.chockbook\" "), Some("a/b.chockbook".into()));
        assert_eq!(new_path("a/mill.2"), Some("a/mill.2.chockbook".into()));
        assert_eq!(new_path("  "), None);
    }
}
