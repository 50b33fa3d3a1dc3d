//! Sees that the file is still the one that was opened, and as this program left it.
//!
//! Somebody may move another file to its path, or write over it in place, as `cp backup plant.chockbook` does. SQLite
//! notices neither: it would go on with the pages that it remembers. So the file is known by a print that changes only
//! when this program writes its log back, which it does by hand. Where the print differs, nothing is committed and the
//! file is left alone.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

use rusqlite::Connection;
use rusqlite::config::DbConfig;

use super::{Access, Logbook, configure};
use crate::error::{Result, StoreError};
use crate::lock::WriterLock;
use crate::peek::{self, FileIdentity, identity};
use crate::reach::log_of;
use crate::verify::verify_alone;

/// The log is written back once it is so long, bytes: what SQLite does by itself at 1000 pages.
const LOG_MAX: u64 = 4_000_000;

/// What a file is known by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Print {
    identity: FileIdentity,
    length: u64,
    modified: Option<SystemTime>,
    header: Vec<u8>,
}

impl Print {
    pub(super) fn of(path: &Path) -> Option<Self> {
        let about = std::fs::metadata(path).ok()?;
        // One that is shorter than a header is known by its length.
        let (mut header, _) = peek::opened(path).ok()?.start(100).ok()?;
        if header.len() < 100 {
            header.clear();
        }
        Some(Self {
            identity: identity(&about),
            length: about.len(),
            modified: about.modified().ok(),
            header,
        })
    }
}

/// What a look at the file from time to time shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Seen {
    /// Another number as soon as somebody else has written.
    pub version: i64,
    /// Why this program may not write (any more).
    pub read_only: Option<String>,
    /// Who wrote it has gone: whoever opens it anew may write.
    pub is_free: bool,
}

impl Logbook {
    /// Looks at the file: what others wrote, whether they have gone, and whether it still is the file that was opened.
    ///
    /// # Errors
    /// `Replaced` or `Overwritten`, from then on always.
    pub fn look(&mut self) -> Result<Seen> {
        self.check_file()?;
        let version = self
            .conn
            .pragma_query_value(None, "data_version", |row| row.get(0))?;
        let read_only = match &self.access {
            Access::Write => None,
            Access::Read { why } => Some(why.clone()),
        };
        Ok(Seen {
            version,
            read_only,
            is_free: self.is_held && WriterLock::is_free(&self.path),
        })
    }

    pub(super) fn may_write(&mut self) -> Result<()> {
        if let Access::Read { why } = &self.access {
            return Err(StoreError::ReadOnly { why: why.clone() });
        }
        self.check_file()
    }

    /// Remembers how this program leaves the file, and writes the log back where it has become long.
    pub(super) fn committed(&mut self) -> Result<()> {
        self.end = self.anchor()?;
        let length = std::fs::metadata(log_of(&self.path)).map_or(0, |log| log.len());
        if length > LOG_MAX {
            // What a reader still needs stays in the log; the next one takes it along.
            self.conn
                .query_row("PRAGMA wal_checkpoint(PASSIVE)", [], |_| Ok(()))?;
            self.print = Print::of(&self.path);
        }
        Ok(())
    }

    /// Insists that the file is as this program left it.
    fn check_file(&mut self) -> Result<()> {
        if self.access != Access::Write || Print::of(&self.path) == self.print {
            return Ok(());
        }
        let is_same_file = self.is_same_file();
        if is_same_file && self.is_whole_all_the_same() {
            return self.begin_anew();
        }
        Err(self.let_go(is_same_file))
    }

    /// A transaction met a file that has changed meanwhile, and was rolled back.
    pub(super) fn changed_under_us(&mut self) -> StoreError {
        match self.check_file() {
            Err(e) => e,
            Ok(()) => StoreError::Refused(
                "not saved: another program touched the file at that moment; do it again".into(),
            ),
        }
    }

    fn is_same_file(&self) -> bool {
        let identity = |print: &Option<Print>| print.as_ref().map(|print| print.identity);
        identity(&Print::of(&self.path)) == identity(&self.print)
    }

    /// A file that was only touched, or worked on with another tool, still has every event up to the newest, and all
    /// that follows from them.
    fn is_whole_all_the_same(&self) -> bool {
        let report = verify_alone(&self.path, &mut |_, _| true);
        let Ok(Some(report)) = report else {
            return false;
        };
        let is_end = |anchor: &String| report.heads.iter().any(|head| head.anchor == *anchor);
        report.holds() && self.end.as_ref().is_none_or(is_end)
    }

    /// Goes on with the file as it is now, and with nothing that is remembered of it.
    fn begin_anew(&mut self) -> Result<()> {
        let conn = self.reach.connect()?;
        configure(&conn, true)?;
        // Opened in earnest before the other is closed: the last one to close would write the log back.
        conn.query_row("SELECT count(*) FROM event", [], |_| Ok(()))?;
        self.conn = conn;
        self.print = Print::of(&self.path);
        Ok(())
    }

    /// Parts with a file that is another one now. What was committed to it is kept where somebody can find it, and is
    /// never mixed into the other one.
    fn let_go(&mut self, is_same_file: bool) -> StoreError {
        let path = self.path.clone();
        let error = if is_same_file {
            let kept = self.keep_log();
            StoreError::Overwritten { path, kept }
        } else {
            // The log is written back into the file that it belongs to and emptied, so that it is never taken for the
            // other one's.
            let emptied = self
                .conn
                .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0));
            let kept = (emptied != Ok(0)).then(|| log_of(&path));
            StoreError::Replaced { path, kept }
        };
        self.access = Access::Read {
            why: error.to_string(),
        };
        error
    }

    /// Moves the log aside: the file that it belongs to is not there any more. From then on nothing can be read here.
    fn keep_log(&mut self) -> Option<PathBuf> {
        // Else closing would write the log into the other file. Every SQLite since 3.16 knows the setting.
        let _is_set = self
            .conn
            .set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true);
        let log = log_of(&self.path);
        let has_work = std::fs::metadata(&log).is_ok_and(|log| log.len() > 0);
        let mut aside = self.path.as_os_str().to_owned();
        aside.push(format!("-log-of-{}", self.now().ms));
        let aside = PathBuf::from(aside);
        let is_kept = has_work && std::fs::rename(&log, &aside).is_ok();
        let mut index = self.path.as_os_str().to_owned();
        index.push("-shm");
        for path in [log, PathBuf::from(index)] {
            // What stays here would be taken for the other file's.
            let _removed = std::fs::remove_file(path);
        }
        if let Ok(nothing) = Connection::open_in_memory() {
            self.conn = nothing;
        }
        is_kept.then_some(aside)
    }
}

impl Drop for Logbook {
    fn drop(&mut self) {
        // Closing writes the log back: not into another file.
        if self.access == Access::Write && self.damage.is_none() {
            let _told = self.check_file();
        }
    }
}
