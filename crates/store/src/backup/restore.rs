//! The way back: a backup becomes a logbook again, and says what it has not.

use std::path::{Path, PathBuf};

use super::copy::{Part, WHOLE, share, with_end, write};
use super::list::{Gap, ends, open};
use super::salvage::read_events;
use super::{End, copy};
use crate::error::{Result, StoreError};
use crate::reach::Reach;
use crate::verify::{Progress, verify_alone};

/// A logbook made from a backup.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// The new file.
    pub path: PathBuf,
    /// Number of events in it.
    pub events: i64,
    /// The last event of each origin in it.
    pub ends: Vec<End>,
    /// Events of the file that it was compared with and that are not in it, by origin; empty where it has them all.
    /// None where there was nothing to compare with, or nothing of it could be read.
    pub missing: Option<Vec<Gap>>,
}

impl Restored {
    /// How many events of the compared file are not in the restored one.
    pub fn missing_count(&self) -> Option<i64> {
        let gaps = self.missing.as_ref()?;
        Some(gaps.iter().map(|gap| gap.count).sum())
    }
}

/// Makes the logbook `to` from `backup` and verifies it; never over a file. `current` is the logbook that it stands in
/// for, also a damaged one: what can be read there and is not in the backup is counted. None where `progress` stopped
/// it; then no file was made.
///
/// Whoever writes in it goes on as an origin of their own that names the backup's end (record format 6).
///
/// # Errors
/// `Exists` for a file that is there, or for the unfinished work (`-wal`) of one that was there: SQLite would mix it
/// into the restored file. `Damaged` for a backup that does not hold.
pub fn restore(
    backup: &Path,
    to: &Path,
    current: Option<&Path>,
    progress: Progress<'_>,
) -> Result<Option<Restored>> {
    if !backup.is_file() {
        return Err(StoreError::NotFound {
            path: backup.into(),
        });
    }
    crate::schema::check_header(backup)?;
    let part = reserve(to)?;
    let source = Reach::checker(backup)?;
    if !write(&source, backup, &part, None, &mut share(progress, 0, 300))? {
        return Ok(None);
    }
    if let Some(folder) = backup.parent() {
        crate::attachment::move_in(&open_for_writing(part.path())?, folder)?;
    }
    // Alone: that it has not what a newer backup has is said below, and no reason to refuse.
    let report = verify_alone(part.path(), &mut share(progress, 300, 900))?;
    let Some(report) = report else {
        return Ok(None);
    };
    if let Some(finding) = report.findings.first() {
        return Err(StoreError::Damaged {
            path: backup.into(),
            why: finding.what.clone(),
        });
    }
    let ends = ends(&open(part.path())?.conn)?;
    let missing = match current {
        Some(current) => {
            let Some(read) = read_events(current, &mut share(progress, 900, WHOLE))? else {
                return Ok(None);
            };
            (!read.is_empty()).then(|| read.beyond(&ends))
        }
        None => None,
    };
    publish(part, to)?;
    Ok(Some(Restored {
        path: to.into(),
        events: report.events,
        ends,
        missing,
    }))
}

fn open_for_writing(path: &Path) -> Result<rusqlite::Connection> {
    let conn = rusqlite::Connection::open(path)?;
    crate::logbook::configure(&conn, false)?;
    Ok(conn)
}

/// A part beside a new logbook, where there is none and nothing is left of one.
pub(super) fn reserve(to: &Path) -> Result<Part> {
    refuse_existing(to)?;
    copy::utf8(to)?;
    let part = Part::reserve(to).map_err(|source| StoreError::Io {
        what: format!("cannot make {}", to.display()),
        source,
    })?;
    part.ok_or_else(|| StoreError::Exists {
        path: with_end(to, Part::END),
    })
}

/// Gives the new logbook its name, if that is still free.
pub(super) fn publish(part: Part, to: &Path) -> Result<()> {
    refuse_existing(to)?;
    part.publish(to)
}

fn refuse_existing(to: &Path) -> Result<()> {
    for end in ["", "-wal", "-shm", "-journal"] {
        let path = with_end(to, end);
        if path.exists() {
            return Err(StoreError::Exists { path });
        }
    }
    Ok(())
}
