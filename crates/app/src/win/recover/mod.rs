//! The way back from trouble, in three steps: which backup, where to put it, open it. Or, from a file that is damaged,
//! what can still be read of it into a new one. Never over a file, and nothing is deleted.

mod view;

use std::path::{Path, PathBuf};

use egui::Context;
use store::Stamp;
use store::backup::{Backup, Restored, Salvaged, list, restore, salvage};

pub use view::list_ui;

use super::choose::{Chooser, Wanted};
use super::command::sentence;
use super::work::Job;
use super::worker::Wake;

/// The end of a logbook's name.
const END: &str = ".chockbook";

/// The logbook that the way back is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lost {
    /// Where it is.
    pub path: PathBuf,
    /// What is compared with: the same, or what could be read of it.
    pub readable: PathBuf,
    /// Where its backups are kept, as far as is known.
    pub folder: Option<PathBuf>,
    /// The time on its clock.
    pub now: Stamp,
}

/// What comes of the dialog.
#[derive(Debug, PartialEq, Eq)]
pub enum Out {
    /// It was closed.
    Close,
    /// The new logbook is to be opened.
    Open(PathBuf),
}

/// Where one is in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Step {
    /// Which backup.
    Which,
    /// Where to put it.
    Where,
    /// It is there.
    Done,
}

/// What is done once it is known where to.
#[derive(Debug, Clone, PartialEq, Eq)]
enum From {
    Backup(Box<Backup>),
    Damaged,
}

/// What was made.
#[derive(Debug, Clone)]
enum Made {
    Restored(Restored),
    Salvaged(Salvaged),
}

type Making = Job<store::Result<Option<Made>>>;

/// The dialog.
pub struct Recover {
    lost: Lost,
    wake: Wake,
    step: Step,
    from: Option<From>,
    folder: String,
    listing: Option<Job<store::Result<Vec<Backup>>>>,
    backups: Option<Vec<Backup>>,
    to: String,
    making: Option<Making>,
    made: Option<Made>,
    trouble: String,
    chooser: Chooser,
}

impl std::fmt::Debug for Recover {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Recover")
            .field("lost", &self.lost)
            .field("step", &self.step)
            .finish_non_exhaustive()
    }
}

impl Recover {
    /// The steps from a backup to a logbook.
    pub fn restore(lost: Lost, wake: Wake) -> Self {
        let folder = lost.folder.as_ref();
        let folder = folder.map(|folder| folder.display().to_string());
        let mut dialog = Self::new(lost, wake, Step::Which);
        dialog.folder = folder.unwrap_or_default();
        dialog.look();
        dialog
    }

    /// The steps from a damaged file to a new one.
    pub fn salvage(lost: Lost, wake: Wake) -> Self {
        let mut dialog = Self::new(lost, wake, Step::Where);
        dialog.from = Some(From::Damaged);
        dialog.to = proposed(&dialog.lost, "saved");
        dialog
    }

    fn new(lost: Lost, wake: Wake, step: Step) -> Self {
        Self {
            lost,
            wake,
            step,
            from: None,
            folder: String::new(),
            listing: None,
            backups: None,
            to: String::new(),
            making: None,
            made: None,
            trouble: String::new(),
            chooser: Chooser::default(),
        }
    }

    /// Stops all that is under way, and waits until it has let go of its files. Not for a frame.
    pub fn end(self) {
        self.listing.into_iter().for_each(Job::end);
        self.making.into_iter().for_each(Job::end);
    }

    /// True while something is under way.
    pub fn is_busy(&self) -> bool {
        self.listing.is_some() || self.making.is_some()
    }

    /// One frame; what came of it, once something has.
    pub fn ui(&mut self, ctx: &Context) -> Option<Out> {
        self.take_chosen();
        self.take_list();
        self.take_made();
        let mut out = None;
        let act = view::recover_ui(ctx, self);
        match act {
            Some(view::Act::Close) => {
                // A file that is half made goes away with its thread.
                if let Some(making) = &self.making {
                    making.stop();
                }
                out = Some(Out::Close);
            }
            Some(view::Act::Look) => self.look(),
            Some(view::Act::Choose(index)) => self.choose(index),
            Some(view::Act::Back) => self.step = Step::Which,
            Some(view::Act::Make) => self.make(),
            Some(view::Act::Stop) => self.making.iter().for_each(Job::stop),
            Some(view::Act::FindFolder) => {
                self.chooser
                    .open("Where are the backups?", Wanted::Folder, &self.wake);
            }
            Some(view::Act::FindPlace) => {
                let name = Path::new(&self.to).file_name().unwrap_or_default();
                let wanted = Wanted::NewFile(name.to_string_lossy().into_owned());
                self.chooser
                    .open("Where to put the logbook?", wanted, &self.wake);
            }
            Some(view::Act::Open) => out = self.made.as_ref().map(|made| Out::Open(made.path())),
            None => {}
        }
        if act.is_some() {
            ctx.request_repaint();
        }
        out
    }

    /// Lists the backups in the folder that is typed.
    fn look(&mut self) {
        self.trouble.clear();
        self.backups = None;
        let folder = PathBuf::from(self.folder.trim());
        if folder.as_os_str().is_empty() {
            return;
        }
        let readable = self.lost.readable.clone();
        let job = Job::start("chockbook-backups", &self.wake, move |_| {
            list(&readable, &folder)
        });
        match job {
            Ok(job) => self.listing = Some(job),
            Err(why) => self.trouble = why,
        }
    }

    fn choose(&mut self, index: usize) {
        let backup = self.backups.as_ref().and_then(|all| all.get(index));
        if let Some(backup) = backup.cloned() {
            self.from = Some(From::Backup(Box::new(backup)));
            self.to = proposed(&self.lost, "restored");
            self.trouble.clear();
            self.step = Step::Where;
        }
    }

    fn make(&mut self) {
        let to = PathBuf::from(self.to.trim());
        let Some(from) = self.from.clone() else {
            return;
        };
        self.trouble.clear();
        let (path, readable) = (self.lost.path.clone(), self.lost.readable.clone());
        let job = Job::start("chockbook-restore", &self.wake, move |pace| {
            let progress = &mut |done, all| pace.tell(done, all);
            Ok(match from {
                From::Backup(backup) => {
                    restore(&backup.path, &to, Some(&readable), progress)?.map(Made::Restored)
                }
                From::Damaged => salvage(&path, &to, progress)?.map(Made::Salvaged),
            })
        });
        match job {
            Ok(job) => self.making = Some(job),
            Err(why) => self.trouble = why,
        }
    }

    fn take_chosen(&mut self) {
        let Some(path) = self.chooser.take() else {
            return;
        };
        let path = path.display().to_string();
        if self.step == Step::Which {
            self.folder = path;
            self.look();
        } else {
            self.to = path;
        }
    }

    fn take_list(&mut self) {
        let Some(ended) = self.listing.as_ref().and_then(Job::ended) else {
            return;
        };
        self.listing = None;
        match ended.map(|list| list.map_err(|e| e.to_string())) {
            Ok(Ok(mut list)) => {
                list.reverse();
                self.backups = Some(list);
            }
            Ok(Err(why)) | Err(why) => self.trouble = sentence(&why),
        }
    }

    fn take_made(&mut self) {
        let Some(ended) = self.making.as_ref().and_then(Job::ended) else {
            return;
        };
        self.making = None;
        match ended.map(|made| made.map_err(|e| e.to_string())) {
            Ok(Ok(Some(made))) => {
                self.made = Some(made);
                self.step = Step::Done;
            }
            Ok(Ok(None)) => self.trouble = "Stopped; no file was made.".into(),
            Ok(Err(why)) | Err(why) => self.trouble = sentence(&why),
        }
    }
}

impl Made {
    fn path(&self) -> PathBuf {
        match self {
            Self::Restored(restored) => restored.path.clone(),
            Self::Salvaged(salvaged) => salvaged.path.clone(),
        }
    }
}

/// A name beside the lost logbook that nobody has: `plant-restored-2026-10-30.chockbook`.
fn proposed(lost: &Lost, word: &str) -> String {
    let name = lost.path.file_name().unwrap_or_default().to_string_lossy();
    let stem = name.strip_suffix(END).unwrap_or(&name);
    let date = lost.now.date();
    let names = std::iter::once(format!("{stem}-{word}-{date}{END}"))
        .chain((2..100).map(|n| format!("{stem}-{word}-{date}-{n}{END}")));
    let mut paths = names.map(|name| lost.path.with_file_name(name));
    let free = paths.find(|path| !path.exists());
    free.map(|path| path.display().to_string())
        .unwrap_or_default()
}
