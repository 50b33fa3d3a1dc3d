//! What can go wrong with a logbook, in a form that a screen can act on.

use std::path::{Path, PathBuf};

use crate::schema::{format_words, is_draft_before};

/// Result of everything in this crate.
pub type Result<T> = std::result::Result<T, StoreError>;

/// A reason why the logbook could not do what was asked. Nothing was written when one of these comes back.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// No file at this path.
    #[error("there is no logbook at {}: check the name, or make one with `chockbook new`", path.display())]
    NotFound {
        /// The path asked for.
        path: PathBuf,
    },
    /// A new logbook would overwrite a file.
    #[error("{} exists already: choose another name; nothing was overwritten", path.display())]
    Exists {
        /// The path asked for.
        path: PathBuf,
    },
    /// The file is no logbook of ours.
    #[error("{} is not a Chockbook logbook ({why})", path.display())]
    NotALogbook {
        /// The path asked for.
        path: PathBuf,
        /// What gave it away.
        why: String,
    },
    /// The file is a logbook but torn.
    #[error("the logbook {} is damaged: {why}; nothing was changed, restore a backup or ask for help", path.display())]
    Damaged {
        /// The path asked for.
        path: PathBuf,
        /// What does not hold.
        why: String,
    },
    /// A backup was written, but does not hold.
    #[error("the backup does not hold and does not count: {why}; it is kept as {}. Run `chockbook verify` on the logbook, and back up to another drive", path.display())]
    BadBackup {
        /// The copy, under a name that says so.
        path: PathBuf,
        /// The first thing that does not hold.
        why: String,
    },
    /// Written by a later program, or by one before the format was released.
    #[error("{}", other_format(path, *found, *supported))]
    OtherFormat {
        /// The path asked for.
        path: PathBuf,
        /// The format of the file.
        found: i64,
        /// The format of this program.
        supported: i64,
    },
    /// The file was moved, deleted or replaced while the program had it open.
    #[error("not saved: {} is not the file any more that was opened, somebody moved or replaced it; close the logbook, \
        see which file is the right one, and open that{}", path.display(), left(kept.as_deref()))]
    Replaced {
        /// The path that was opened.
        path: PathBuf,
        /// Where what was signed last may stand, if not in the file that was moved.
        kept: Option<PathBuf>,
    },
    /// Another program wrote over the file while this one had it open.
    #[error("not saved: another program wrote over {}, and it is not the logbook any more that was opened; nothing was \
        mixed into it. Close it, and restore a backup{}", path.display(), left(kept.as_deref()))]
    Overwritten {
        /// The path that was opened.
        path: PathBuf,
        /// Where what was signed last stands.
        kept: Option<PathBuf>,
    },
    /// Another program writes this logbook, or the file or folder cannot be written.
    #[error("the logbook is open for reading only: {why}")]
    ReadOnly {
        /// Who writes, or what cannot be written.
        why: String,
    },
    /// A rule of the shop forbids it: one thing in one place, scrapped stays scrapped, who signs what.
    #[error("{0}")]
    Refused(String),
    /// A name, code or serial that the register does not know, or knows twice.
    #[error("{what} {code:?} is not in the register{hint}")]
    Unknown {
        /// The sort of thing looked for.
        what: &'static str,
        /// What was typed.
        code: String,
        /// What to do, or nothing.
        hint: String,
    },
    /// What was handed in cannot be read.
    #[error("{at}: {why}")]
    Input {
        /// Where: a field path or line.
        at: String,
        /// What is wrong and what to do.
        why: String,
    },
    /// The PIN does not belong to the person.
    #[error("this PIN does not belong to {name}; wait {wait_s} s and type it again")]
    WrongPin {
        /// Whose PIN was asked for.
        name: String,
        /// Seconds until the next try.
        wait_s: i64,
    },
    /// The disk is full.
    #[error(
        "not saved: the disk is full. Make room, then do it again; what was kept before is safe"
    )]
    DiskFull,
    /// The disk did not take or give what was asked for, and did not say why.
    #[error(
        "not saved: the disk failed ({0}). Is it full, over a quota, or unplugged? What was kept before is safe; \
        mend it, open the logbook again and run `chockbook verify`"
    )]
    DiskFailed(String),
    /// The database said no.
    #[error("the database refused the operation: {0}")]
    Sql(rusqlite::Error),
    /// The file system said no.
    #[error("{what}: {source}")]
    Io {
        /// What was tried.
        what: String,
        /// Why it failed.
        source: std::io::Error,
    },
    /// A calculation refused its input.
    #[error("{0}")]
    Calc(#[from] calc::error::CalcError),
}

impl StoreError {
    /// A reading problem at `at`.
    pub fn input(at: impl Into<String>, why: impl Into<String>) -> Self {
        Self::Input {
            at: at.into(),
            why: why.into(),
        }
    }

    /// The same, naming the file where the database says only that it is torn or no database.
    pub(crate) fn in_file(self, path: &Path) -> Self {
        let code = if let Self::Sql(e) = &self {
            e.sqlite_error_code()
        } else {
            None
        };
        if let Self::Sql(
            rusqlite::Error::FromSqlConversionFailure(..)
            | rusqlite::Error::InvalidColumnType(..)
            | rusqlite::Error::IntegralValueOutOfRange(..)
            | rusqlite::Error::Utf8Error(..),
        ) = &self
        {
            return Self::Damaged {
                path: path.into(),
                why: "a row of it is not what this program writes".into(),
            };
        }
        match code {
            Some(rusqlite::ErrorCode::DatabaseCorrupt) => Self::Damaged {
                path: path.into(),
                why: "a part of it cannot be read".into(),
            },
            Some(rusqlite::ErrorCode::NotADatabase) => Self::NotALogbook {
                path: path.into(),
                why: "it is not a database".into(),
            },
            _ => self,
        }
    }
}

/// Where what was signed last may stand.
fn left(kept: Option<&Path>) -> String {
    kept.map_or(String::new(), |kept| {
        format!(
            ". What was signed last may stand in {}: keep that file",
            kept.display()
        )
    })
}

fn other_format(path: &Path, found: i64, supported: i64) -> String {
    let path = path.display();
    let (its, ours) = (format_words(found), format_words(supported));
    if found > supported && !is_draft_before(found, supported) {
        return format!(
            "{path} was written by a later program ({its}), and this one ({ours}) cannot show it; nothing was changed. \
             Update this program"
        );
    }
    format!(
        "{path} was written by a program from before the format was fixed ({its}), and this one has {ours}; nothing was \
         changed. Open it with the program that wrote it; a demo logbook is made anew by chockbook demo FILE"
    )
}

impl From<rusqlite::Error> for StoreError {
    fn from(e: rusqlite::Error) -> Self {
        match e.sqlite_error_code() {
            Some(rusqlite::ErrorCode::DiskFull) => Self::DiskFull,
            Some(rusqlite::ErrorCode::SystemIoFailure) => Self::DiskFailed(e.to_string()),
            Some(rusqlite::ErrorCode::ReadOnly) => Self::ReadOnly {
                why: "the file or its folder cannot be written".into(),
            },
            _ => Self::Sql(e),
        }
    }
}
