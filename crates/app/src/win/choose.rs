//! The system's dialogs for a file or folder. They run on a thread of their own; where the system has none they answer
//! at once as if they were closed, so that a typed path is always the way out.

use std::path::PathBuf;
use std::sync::Arc;

use super::worker::{Answer, Progress, Wake};

/// What is to be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wanted {
    /// A folder that is there.
    Folder,
    /// A file that is there.
    File,
    /// A new file with this name proposed.
    NewFile(String),
}

/// A dialog that is open, or none.
#[derive(Debug, Default)]
pub struct Chooser(Option<Answer<Option<PathBuf>>>);

impl Chooser {
    /// Opens the dialog.
    pub fn open(&mut self, title: &'static str, wanted: Wanted, wake: &Wake) {
        let (send, chosen) = std::sync::mpsc::channel();
        let wake = Arc::clone(wake);
        let body = move || {
            let dialog = rfd::FileDialog::new().set_title(title);
            let path = match wanted {
                Wanted::Folder => dialog.pick_folder(),
                Wanted::File => dialog.pick_file(),
                Wanted::NewFile(name) => dialog.set_file_name(name).save_file(),
            };
            let _unwanted = send.send(path);
            wake();
        };
        let thread = std::thread::Builder::new().name("chockbook-choose".into());
        // Without a thread there is no dialog, as on a system that has none: the path is typed.
        self.0 = thread.spawn(body).is_ok().then(|| Answer::of(chosen));
    }

    /// True while a dialog is open.
    pub fn is_open(&self) -> bool {
        self.0.is_some()
    }

    /// What was chosen, once.
    pub fn take(&mut self) -> Option<PathBuf> {
        let chosen = match self.0.as_ref()?.look() {
            Progress::Waiting => return None,
            Progress::Here(chosen) => chosen,
            Progress::Stopped => None,
        };
        self.0 = None;
        chosen
    }
}
