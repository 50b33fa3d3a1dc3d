//! The window without a logbook: the ones opened last, another one, a new one.

mod recent;
mod view;

use std::path::{Path, PathBuf};
use std::sync::mpsc;

use egui::Ui;
use store::{Logbook, StoreError};

pub use recent::Recent;

use crate::hands::HandsMaker;
use crate::ui::keys::{self, Action};
use crate::win::app::Start;
use crate::win::command::sentence;
use crate::win::recover::{Lost, Out, Recover};
use crate::win::work::{Job, Pace};
use crate::win::worker::{Answer, Progress, Wake};

/// The end of a logbook's name.
pub const ENDING: &str = "chockbook";

/// The window without a logbook.
pub struct Welcome {
    hands: HandsMaker,
    wake: Wake,
    recent: Recent,
    form: Form,
    opening: Option<(PathBuf, Opening)>,
    /// The way back from trouble, where it is open.
    recover: Option<Recover>,
    choosing: Option<(Choosing, Answer<Option<PathBuf>>)>,
    opened: Option<Logbook>,
    is_help_open: bool,
}

type Opening = Job<Result<Logbook, Trouble>>;

/// Why a logbook could not be opened.
#[derive(Debug)]
struct Trouble {
    words: String,
    /// The file is damaged: a backup is the way on.
    is_damaged: bool,
}

/// What was typed, and what went wrong with it.
#[derive(Debug, Default)]
struct Form {
    open_path: String,
    open_trouble: String,
    /// What could not be opened is damaged, and a backup is the way on.
    is_damaged: bool,
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
    Restore,
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
            recover: None,
            choosing: None,
            opened: None,
            is_help_open: false,
        }
    }

    /// Begins to open a logbook, on another thread: an old one is derived anew, which takes its time. Of one that is
    /// damaged, what can be read is opened.
    pub fn open(&mut self, path: &Path) {
        self.form.open_path = path.display().to_string();
        self.form.is_making = false;
        self.begin(path, |path, hands, pace| {
            let error = match Logbook::open(path, hands()) {
                Ok(logbook) => return Ok(logbook),
                Err(error) => error,
            };
            let Some(why) = damage_of(path, &error) else {
                return Err(Trouble::new(&error, false));
            };
            let progress = &mut |done, all| pace.tell(done, all);
            match Logbook::open_damaged(path, hands(), why, progress) {
                Ok(Some(logbook)) => Ok(logbook),
                Ok(None) => Err(Trouble {
                    words: "Stopped; nothing was opened".into(),
                    is_damaged: true,
                }),
                Err(_) => Err(Trouble::new(
                    &error,
                    matches!(error, StoreError::Damaged { .. }),
                )),
            }
        });
    }

    fn make(&mut self, plant: String, path: &Path) {
        self.form.is_making = true;
        self.begin(path, move |path, hands, _| {
            let made = Logbook::create(path, hands(), plant.trim());
            made.map_err(|e| Trouble::new(&e, false))
        });
    }

    fn begin(
        &mut self,
        path: &Path,
        open: impl FnOnce(&Path, &HandsMaker, &Pace) -> Result<Logbook, Trouble> + Send + 'static,
    ) {
        self.form.open_trouble.clear();
        self.form.new_trouble.clear();
        self.form.is_damaged = false;
        let (hands, at) = (self.hands.clone(), path.to_owned());
        match Job::start("chockbook-open", &self.wake, move |pace| {
            open(&at, &hands, pace)
        }) {
            Ok(job) => self.opening = Some((path.to_owned(), job)),
            Err(why) => self.refuse(&why),
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
        if let Some((_, job)) = &self.opening {
            let opened = job.ended()?;
            self.opening = None;
            match opened {
                Ok(Ok(logbook)) => self.opened = Some(logbook),
                Ok(Err(trouble)) => {
                    self.refuse(&trouble.words);
                    self.form.is_damaged = trouble.is_damaged;
                }
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
        let opening = self.opening.as_ref();
        let opening = opening.map(|(path, job)| (path.as_path(), job.far()));
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
        match self
            .recover
            .as_mut()
            .and_then(|recover| recover.ui(ui.ctx()))
        {
            Some(Out::Close) => self.recover = None,
            Some(Out::Open(path)) => {
                self.recover = None;
                acts.push(Act::Open(path));
            }
            None => {}
        }
        for act in acts {
            ui.request_repaint();
            match act {
                Act::Open(path) => self.open(&path),
                Act::Make { plant, path } => self.make(plant, &path),
                Act::Choose(what) => self.choose(what),
                Act::Forget(path) => self.recent.forget(&path),
                Act::Restore => self.restore(),
            }
        }
    }

    /// The file cannot be read at all, so nobody knows where its backups are: the folder is asked for.
    fn restore(&mut self) {
        let Some(path) = typed_path(&self.form.open_path) else {
            return;
        };
        let lost = Lost {
            readable: path.clone(),
            path,
            folder: None,
            now: (self.hands)().clock.now(),
        };
        self.recover = Some(Recover::restore(lost, self.wake.clone()));
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

impl Trouble {
    fn new(error: &StoreError, is_damaged: bool) -> Self {
        Self {
            words: words(error),
            is_damaged,
        }
    }
}

/// What is wrong with a file of which there may be something left to read: a torn logbook, or one whose very beginning
/// is gone.
fn damage_of<'a>(path: &Path, error: &'a StoreError) -> Option<&'a str> {
    let is_named_so = path.extension().is_some_and(|ending| ending == ENDING);
    match error {
        StoreError::Damaged { why, .. } => Some(why),
        StoreError::NotALogbook { .. } if is_named_so => Some("its beginning cannot be read"),
        _ => None,
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
