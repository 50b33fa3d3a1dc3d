//! Closing a logbook, and the backup after it. The window does not wait: both are done on a thread of their own, and
//! the program ends when that is done.
//!
//! Beside the list of logbooks opened last lies one small file for each logbook whose last backup was not made: it is
//! written before the work begins, so that a program that is killed meanwhile is told of as well, and it is taken away
//! when the backup is good. Whoever is at work holds a lock on it.

use std::fs::{File, OpenOptions};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::{Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;

use store::Stamp;
use store::backup::{Kept, back_up_if_due};
use store::time::HOUR_MS;

use super::command::sentence;
use super::desk::Rest;

/// Logbooks that are being closed, and backups under way after that.
#[derive(Debug, Clone, Default)]
pub struct Closing(Arc<Mutex<Vec<JoinHandle<()>>>>);

/// What to back up after closing.
#[derive(Debug, Clone)]
pub struct Closed {
    /// The logbook, closed.
    pub path: PathBuf,
    /// Where its backups are kept.
    pub folder: PathBuf,
    /// The time on its clock.
    pub now: Stamp,
}

impl Closing {
    /// Closes a logbook and makes a backup of it where one is due; comes back at once.
    pub fn begin(&self, rest: Rest) {
        let work = move || {
            if let Some((closed, troubles)) = rest.close() {
                back_up(&closed, &troubles);
            }
        };
        let thread = std::thread::Builder::new().name("chockbook-closing".into());
        match thread.spawn(work) {
            Ok(thread) => self.threads(|threads| threads.push(thread)),
            // The logbook is closed by that; the next opening finds the backup too old.
            Err(e) => log::error!("no thread for the backup: {e}"),
        }
    }

    /// Waits for all of them: the window is gone.
    pub fn finish(&self) {
        for thread in self.threads(std::mem::take) {
            // What goes wrong in it is in its file.
            let _ended = thread.join();
        }
    }

    fn threads<T>(&self, work: impl FnOnce(&mut Vec<JoinHandle<()>>) -> T) -> T {
        work(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

fn back_up(closed: &Closed, troubles: &Troubles) {
    let begun = format!(
        "The backup that was begun when this logbook was closed, {}, was not finished: the program was ended.",
        closed.now.date_time()
    );
    let note = troubles.begin(&closed.path, &begun);
    let made = back_up_if_due(
        &closed.path,
        &closed.folder,
        HOUR_MS,
        closed.now,
        &mut |_, _| true,
    );
    let trouble = match made {
        Ok(Kept::Made { .. }) => None,
        // What went wrong before has not gone away by that.
        Ok(Kept::NotDue | Kept::Stopped) => note.as_ref().and_then(|note| note.before.clone()),
        Err(e) => Some(not_made(closed.now, &e.to_string())),
    };
    if let Some(note) = note {
        note.end(trouble.as_deref());
    }
}

/// The sentence for a backup that could not be made.
pub fn not_made(at: Stamp, why: &str) -> String {
    let why = sentence(why);
    format!("The backup of {} was not made: {why}", at.date_time())
}

/// Where it is noted which backups were not made.
#[derive(Debug, Clone)]
pub struct Troubles(Option<PathBuf>);

/// The note on one logbook, locked while somebody is at work.
#[derive(Debug)]
struct Note {
    path: PathBuf,
    file: File,
    before: Option<String>,
}

impl Troubles {
    /// In this folder of the program; none: nothing is noted.
    pub fn at(config: Option<&Path>) -> Self {
        Self(config.map(|folder| folder.join("backups")))
    }

    /// Why the last backup of a logbook was not made.
    pub fn of(&self, logbook: &Path) -> Option<String> {
        let mut file = File::open(self.note(logbook)?).ok()?;
        // Held: a backup is being made just now.
        file.try_lock_shared().ok()?;
        read(&mut file)
    }

    /// The last backup of a logbook was made after all, or not made for this reason.
    pub fn put(&self, logbook: &Path, trouble: Option<&str>) {
        if trouble.is_some() || self.note(logbook).is_some_and(|note| note.exists()) {
            self.begin(logbook, "")
                .into_iter()
                .for_each(|note| note.end(trouble));
        }
    }

    fn note(&self, logbook: &Path) -> Option<PathBuf> {
        let logbook = std::fs::canonicalize(logbook).unwrap_or_else(|_| logbook.into());
        // Another name after an update of the program costs one note, no more.
        let mut hasher = DefaultHasher::new();
        logbook.hash(&mut hasher);
        let name = format!("{:016x}", hasher.finish());
        self.0.as_ref().map(|folder| folder.join(name))
    }

    /// None where it cannot be kept, or somebody is at work on the same logbook: a note is a courtesy.
    fn begin(&self, logbook: &Path, words: &str) -> Option<Note> {
        let path = self.note(logbook)?;
        std::fs::create_dir_all(path.parent()?).ok()?;
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        let mut file = options.open(&path).ok()?;
        file.try_lock().ok()?;
        let before = read(&mut file);
        write(&mut file, words).ok()?;
        Some(Note { path, file, before })
    }
}

impl Note {
    fn end(mut self, trouble: Option<&str>) {
        let done = match trouble {
            Some(words) => write(&mut self.file, words),
            None => std::fs::remove_file(&self.path),
        };
        if let Err(e) = done {
            log::warn!("{}: {e}", self.path.display());
        }
    }
}

fn read(file: &mut File) -> Option<String> {
    let mut words = String::new();
    file.rewind().ok()?;
    file.read_to_string(&mut words).ok()?;
    (!words.is_empty()).then_some(words)
}

fn write(file: &mut File, words: &str) -> std::io::Result<()> {
    file.set_len(0)?;
    file.rewind()?;
    file.write_all(words.as_bytes())?;
    file.sync_all()
}

#[cfg(test)]
mod tests {
    use store::Logbook;
    use store::backup::list;

    use super::*;
    use crate::hands::tests::fake;

    #[test]
    fn a_backup_that_fails_or_is_cut_short_is_told_until_the_next_good_one() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("mill.chockbook");
        let (hands, _) = fake();
        drop(Logbook::create(&path, hands(), "Tarnhollow").unwrap());
        let config = folder.path().join("config");
        let troubles = Troubles::at(Some(&config));
        assert_eq!(troubles.of(&path), None);

        let now = Stamp::parse("2026-10-30T14:00", 60).unwrap();
        let mut closed = Closed {
            path: path.clone(),
            folder: folder.path().join("usb"),
            now,
        };
        back_up(&closed, &troubles);
        let told = troubles.of(&path).unwrap();
        assert!(
            told.starts_with("The backup of 2026-10-30 14:00 was not made:"),
            "{told}"
        );
        assert!(told.contains("usb"), "{told}");

        // Killed: the note is there, and nobody holds it.
        let note = troubles.begin(&path, "begun").unwrap();
        assert_eq!(troubles.of(&path), None, "somebody is at work");
        drop(note);
        assert_eq!(troubles.of(&path).as_deref(), Some("begun"));

        std::fs::create_dir(&closed.folder).unwrap();
        back_up(&closed, &troubles);
        assert_eq!(troubles.of(&path), None);
        assert_eq!(
            std::fs::read_dir(config.join("backups")).unwrap().count(),
            0
        );
        assert_eq!(list(&path, &closed.folder).unwrap().len(), 1);

        // Nothing changed since: no other one, however late it is.
        closed.now = now.plus_ms(100 * HOUR_MS);
        back_up(&closed, &troubles);
        assert_eq!(list(&path, &closed.folder).unwrap().len(), 1);
        assert_eq!(troubles.of(&path), None);
    }
}
