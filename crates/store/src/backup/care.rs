//! Keeping a logbook backed up: looks whether a backup is due, makes it, thins out the folder.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use rusqlite::Connection;

use super::copy::with_end;
use super::{Backup, Relation, back_up, is_due, last_good, prune};
use crate::error::{Result, StoreError};
use crate::time::Stamp;
use crate::verify::Progress;

/// What became of a backup that might have been due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Kept {
    /// Nothing changed since the last good one, or that is young enough.
    NotDue,
    /// `progress` stopped it; nothing was left in the folder.
    Stopped,
    /// It was made and verified.
    Made {
        /// The new backup.
        backup: Box<Backup>,
        /// Old ones that were deleted.
        deleted: Vec<PathBuf>,
        /// Why the old ones could not be thinned out. The new one is good all the same.
        untidy: Option<String>,
    },
}

/// Makes a backup where one is due: something changed since the last good one, and that is older than `after_ms`.
///
/// # Errors
/// As [`back_up`]; also where the folder cannot be read.
pub fn back_up_if_due(
    logbook: &Path,
    folder: &Path,
    after_ms: i64,
    now: Stamp,
    progress: Progress<'_>,
) -> Result<Kept> {
    let last = last_good(logbook, folder)?;
    let changed = match &last {
        Some(last) => has_changed_since(logbook, last),
        None => true,
    };
    if !is_due(last.map(|last| last.at), changed, after_ms, now) {
        return Ok(Kept::NotDue);
    }
    back_up_and_prune(logbook, folder, now, progress)
}

/// Makes a backup whatever the last one is, and thins out the old ones afterwards.
///
/// # Errors
/// As [`back_up`].
pub fn back_up_and_prune(
    logbook: &Path,
    folder: &Path,
    now: Stamp,
    progress: Progress<'_>,
) -> Result<Kept> {
    let Some(backup) = back_up(logbook, folder, now, progress)? else {
        return Ok(Kept::Stopped);
    };
    let (deleted, untidy) = match prune(logbook, folder, now) {
        Ok(deleted) => (deleted, None),
        Err(e) => (Vec::new(), Some(e.to_string())),
    };
    Ok(Kept::Made {
        backup: Box::new(backup),
        deleted,
        untidy,
    })
}

/// True where the logbook has events or unsigned sheets that the backup has not. What cannot be read counts as
/// changed: the backup then says what is wrong.
fn has_changed_since(logbook: &Path, last: &Backup) -> bool {
    if !matches!(last.relation, Relation::Prefix { behind: 0 }) {
        return true;
    }
    let both = super::list::open(logbook)
        .and_then(|here| Ok((drafts(&here.conn)?, super::list::open(&last.path)?)))
        .and_then(|(here, there)| Ok(here != drafts(&there.conn)?));
    both.unwrap_or(true)
}

/// The unsigned sheets, each with when it was kept last.
fn drafts(conn: &Connection) -> Result<Vec<(i64, i64)>> {
    let mut stmt = conn.prepare("SELECT id, kept_ms FROM draft ORDER BY id")?;
    let rows = stmt.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// Whether backups can be written into a folder, tried with a small file.
///
/// # Errors
/// What is wrong with it and what to do: it is not there, it is a file, it cannot be written, its disk is full.
pub fn check_folder(folder: &Path) -> Result<()> {
    let wrong = |why: &str| Err(StoreError::input(folder.display().to_string(), why));
    if !folder.is_absolute() {
        return wrong("give the whole path of the folder, from the drive or / on");
    }
    match std::fs::metadata(folder) {
        Ok(about) if about.is_dir() => {}
        Ok(_) => return wrong("this is a file; choose a folder"),
        Err(e) if e.kind() == io::ErrorKind::NotFound => {
            return wrong("there is no such folder: plug the drive in, or make the folder first");
        }
        Err(source) => {
            let what = format!("cannot look at {}", folder.display());
            return Err(StoreError::Io { what, source });
        }
    }
    super::copy::utf8(folder)?;
    let probe = with_end(
        &folder.join("chockbook-probe"),
        &std::process::id().to_string(),
    );
    // More than a disk block, so that a full disk says so.
    let written = std::fs::File::create(&probe).and_then(|mut file| {
        file.write_all(&vec![0; 65_536])
            .and_then(|()| file.sync_all())
    });
    // Where it was not made there is nothing to take away; the first error is the one to report.
    let _removed = std::fs::remove_file(&probe);
    match written {
        Ok(()) => super::list::names(folder).map(drop),
        Err(e) if e.kind() == io::ErrorKind::StorageFull => {
            wrong("its disk is full: make room there, or choose another folder")
        }
        Err(source) => {
            let what = format!(
                "nothing can be written into {}; choose another folder, or ask for the right to write there",
                folder.display()
            );
            Err(StoreError::Io { what, source })
        }
    }
}
