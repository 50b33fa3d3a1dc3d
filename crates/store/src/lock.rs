//! One writer: a lock file beside the logbook says who writes (record format 10).
//!
//! The operating system holds the lock and drops it with the process, so a lock left by a crash does not bind.

use std::fs::{File, OpenOptions};
use std::io::{Read, Seek, Write};
use std::path::{Path, PathBuf};

use crate::time::Stamp;

/// Held as long as this program may write.
#[derive(Debug)]
pub struct WriterLock {
    file: File,
}

/// Why there is no lock.
#[derive(Debug)]
pub enum NoLock {
    /// Somebody else writes; their line in the lock file.
    Held(String),
    /// The folder cannot be written.
    Unwritable(std::io::Error),
}

/// `NAME.chockbook-lock` beside `NAME.chockbook`.
pub fn path_of(logbook: &Path) -> PathBuf {
    let mut name = logbook.file_name().unwrap_or_default().to_owned();
    name.push("-lock");
    logbook.with_file_name(name)
}

impl WriterLock {
    /// True where nobody holds the lock of a logbook. Takes it for a moment to find out.
    pub fn is_free(logbook: &Path) -> bool {
        match File::open(path_of(logbook)) {
            Ok(file) => file.try_lock().is_ok(),
            Err(e) => e.kind() == std::io::ErrorKind::NotFound,
        }
    }

    /// Takes the lock, or says who holds it.
    pub fn take(logbook: &Path, now: Stamp) -> Result<Self, NoLock> {
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false);
        let mut file = options.open(path_of(logbook)).map_err(NoLock::Unwritable)?;
        if !is_taken(&file) {
            let mut holder = String::new();
            // Who holds it is a courtesy; the refusal stands without it.
            if file.read_to_string(&mut holder).is_err() || holder.trim().is_empty() {
                "another program".clone_into(&mut holder);
            }
            return Err(NoLock::Held(holder.trim().to_owned()));
        }
        let host = std::fs::read_to_string("/etc/hostname").unwrap_or_default();
        let user = std::env::var("USER")
            .or_else(|_| std::env::var("USERNAME"))
            .unwrap_or_else(|_| "somebody".into());
        let line = format!(
            "{user} on {}, process {}, since {now}",
            or(host.trim(), "this computer"),
            std::process::id()
        );
        let written = file
            .set_len(0)
            .and_then(|()| file.rewind())
            .and_then(|()| file.write_all(line.as_bytes()))
            .and_then(|()| file.flush());
        written.map_err(NoLock::Unwritable)?;
        Ok(Self { file })
    }
}

/// Tries more than once: somebody may have looked at that moment whether the lock is free.
fn is_taken(file: &File) -> bool {
    (0..3).any(|attempt| {
        if attempt > 0 {
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
        file.try_lock().is_ok()
    })
}

fn or<'a>(text: &'a str, other: &'a str) -> &'a str {
    if text.is_empty() { other } else { text }
}

impl Drop for WriterLock {
    fn drop(&mut self) {
        // The system drops the lock with the handle; emptying the line is only tidy.
        if self.file.set_len(0).is_ok() {
            let _unlocked = self.file.unlock();
        }
    }
}
