//! Backups: whole copies of the logbook file in a folder of the user's choice (record format 11), the way back from
//! one, and what can be saved from a file that is damaged.
//!
//! # The folder
//! ```text
//! FOLDER/
//!     plant-20261030T143205Z.chockbook                  one backup: time of its making in UTC, so that names sort by time
//!     plant-20261031T143205Z-does-not-hold.chockbook    a copy that did not verify after writing; it never counts
//!     plant-20261101T143205Z.chockbook-part             being written now, or left by a program that was killed
//!     objects/                                          contents of attachments, one file each, named by the SHA-256
//!                                                       of its bytes and shared by all backups of the folder
//! ```
//! A backup is a logbook file without the contents of attachments. It opens like any logbook and is read by any
//! SQLite tool. Two settings are its own: `backed_up` (when) and `backup_home` (which copy of the logbook it is of).
//! `home` is taken out of it, so that whoever writes in it goes on as an origin of their own (record format 6), also
//! where it is put back at the old path.
//!
//! # Rules
//! Written beside and renamed, so whole or not at all. Verified after writing. Only what is proven to be a part of
//! the open logbook is ever deleted, and never the newest. A damaged logbook is read and left as it is.

mod care;
mod copy;
mod keep;
mod list;
mod name;
mod restore;
mod salvage;

use std::path::{Path, PathBuf};

use rusqlite::Connection;

pub use care::{Kept, back_up_and_prune, back_up_if_due, check_folder};
pub use keep::{is_due, kept, prune};
pub(crate) use list::compare;
pub use list::{Gap, Relation, last_good, list};
pub use restore::{Restored, restore};
pub use salvage::{Chain, Salvaged, salvage};

use crate::error::{Result, StoreError};
use crate::event::Hash;
use crate::id::EventId;
use crate::logbook::{Logbook, get, set};
use crate::reach::Reach;
use crate::schema;
use crate::time::Stamp;
use crate::verify::{Progress, verify_file};

/// Name of the setting that says where this copy of the logbook is backed up to.
pub(crate) const FOLDER: &str = "backup_folder";

/// A backup as it lies in its folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Backup {
    /// The file.
    pub path: PathBuf,
    /// When it was made.
    pub at: Stamp,
    /// Size of the file.
    pub bytes: u64,
    /// Number of events in it.
    pub events: i64,
    /// The last event of each origin in it; the origin that wrote last comes last.
    pub ends: Vec<End>,
    /// When its newest event was entered.
    pub last_entered: Option<Stamp>,
    /// How it stands to the logbook.
    pub relation: Relation,
}

impl Backup {
    /// Its newest event, where it could be read.
    pub fn head(&self) -> Option<End> {
        self.ends.last().copied()
    }

    /// True for a backup that was verified when it was made, can be read, and is of this logbook as far as is known.
    pub fn is_good(&self) -> bool {
        matches!(self.relation, Relation::Prefix { .. } | Relation::Unknown)
    }
}

/// The last event of one origin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct End {
    /// Which event.
    pub id: EventId,
    /// Its hash, which stands for all before it.
    pub hash: Hash,
}

impl Logbook {
    /// Where this copy of the logbook is backed up to, if somebody chose a folder.
    pub fn backup_folder(&self) -> Result<Option<PathBuf>> {
        let text = get(&self.conn, FOLDER)?;
        Ok(text.filter(|text| !text.is_empty()).map(PathBuf::from))
    }

    /// Chooses the folder for backups, or none. A setting of this copy, no event.
    pub fn set_backup_folder(&mut self, folder: Option<&Path>) -> Result<()> {
        let text = folder.map_or(Ok(""), copy::utf8)?.to_owned();
        self.transact_aside(|tx, _| set(tx, FOLDER, &text))
    }
}

/// Makes a backup of `logbook` in `folder` and verifies it. It sees one state of the logbook, whatever a writer does
/// meanwhile. None where `progress` stopped it; then nothing is left in the folder.
///
/// The folder must exist: one that is made anew where a drive is not plugged in would be a backup on the same disk.
///
/// # Errors
/// `BadBackup` where the copy does not hold; it is then kept under a name that says so and never counts as a backup.
pub fn back_up(
    logbook: &Path,
    folder: &Path,
    now: Stamp,
    progress: Progress<'_>,
) -> Result<Option<Backup>> {
    if !logbook.is_file() {
        return Err(StoreError::NotFound {
            path: logbook.into(),
        });
    }
    let (part, target, at) = name::reserve(logbook, folder, now)?;
    let made_at = format!("{} {}", at.ms, at.offset_min);
    let mut copy = |source: Reach| {
        let mut copying = copy::share(progress, 0, 300);
        copy::write(&source, logbook, &part, Some(&made_at), &mut copying)
    };
    // A file that nobody has open is read as it stands, so that nothing is left beside it. Should somebody open it
    // meanwhile, that copy is worth nothing, whatever came of it; the next is made beside them.
    let before = copy::at_rest(logbook);
    let mut is_whole = copy(Reach::checker(logbook)?);
    if before.is_some() && before != copy::at_rest(logbook) {
        part.empty()?;
        is_whole = copy(Reach::reader(logbook)?);
    }
    if !is_whole? {
        return Ok(None);
    }
    let report = verify_file(
        part.path(),
        None,
        &mut copy::share(progress, 300, copy::WHOLE),
    )?;
    let Some(report) = report else {
        return Ok(None);
    };
    if let Some(finding) = report.findings.first() {
        let path = name::spoilt(&target);
        part.publish(&path)?;
        return Err(StoreError::BadBackup {
            path,
            why: finding.what.clone(),
        });
    }
    part.publish(&target)?;
    let here = list::open(logbook).ok();
    // As the name says it: to the second.
    Ok(Some(list::read(
        &target,
        Stamp::second(at.ms / 1000 * 1000, at.offset_min),
        here.as_ref().map(|h| &h.conn),
    )))
}

/// Copies a logbook of any format as it is, for whoever is about to change that: `NAME-as-format-1-TIME.chockbook`. It
/// never counts as a backup of the changed file, and is never deleted.
pub(crate) fn copy_as_it_is(
    conn: &Connection,
    logbook: &Path,
    folder: &Path,
    now: Stamp,
) -> Result<PathBuf> {
    let found = conn.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let format = schema::format_words(found).replace(' ', "-");
    let named = folder.join(format!("{}-as-{format}", name::stem(logbook)));
    let (part, target, _) = name::reserve(&named, folder, now)?;
    copy::write_as_it_is(conn, logbook, &part)?;
    part.publish(&target)?;
    Ok(target)
}
