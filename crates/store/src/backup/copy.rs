//! A whole copy of a logbook: written beside its name, waited for until it is on disk, then renamed.

use std::fs::OpenOptions;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::time::Duration;

use rusqlite::{Connection, ErrorCode, OptionalExtension, TransactionBehavior};

use crate::error::{Result, StoreError};
use crate::logbook::{configure, set};
use crate::reach::{Reach, has_log};
use crate::{attachment, schema, state};

/// What `progress` is told as the whole work.
pub(super) const WHOLE: i64 = 1000;

/// Gives a step of the work its share of the whole.
pub(super) fn share(
    progress: &mut dyn FnMut(i64, i64) -> bool,
    from: i64,
    to: i64,
) -> impl FnMut(i64, i64) -> bool {
    move |done, total| {
        let part = (to - from) * done.clamp(0, total.max(0)) / total.max(1);
        progress(from + part, WHOLE)
    }
}

/// SQLite takes names as UTF-8.
pub(super) fn utf8(path: &Path) -> Result<&str> {
    path.to_str().ok_or_else(|| {
        let why = "the name has letters that are no Unicode: choose another folder";
        StoreError::input(path.display().to_string(), why)
    })
}

/// A file being written. Goes away again unless it is published.
#[derive(Debug)]
pub(super) struct Part {
    path: PathBuf,
    is_published: bool,
}

impl Part {
    /// End of the name while the file is being written.
    pub(super) const END: &str = "-part";

    /// Makes the empty file beside `target`; None where one is there already.
    pub(super) fn reserve(target: &Path) -> io::Result<Option<Self>> {
        let path = with_end(target, Self::END);
        match OpenOptions::new().write(true).create_new(true).open(&path) {
            Ok(_) => Ok(Some(Self {
                path,
                is_published: false,
            })),
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => Ok(None),
            Err(e) => Err(e),
        }
    }

    /// Where to write.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Begins anew.
    pub(super) fn empty(&self) -> Result<()> {
        let journal = with_end(&self.path, "-journal");
        let gone = match std::fs::remove_file(&journal) {
            Err(e) if e.kind() != io::ErrorKind::NotFound => Err(e),
            _ => std::fs::File::create(&self.path).map(drop),
        };
        gone.map_err(|source| StoreError::Io {
            what: format!("cannot write {}", self.path.display()),
            source,
        })
    }

    /// Gives the file its name, once it is on disk; the name is on disk too when this returns.
    pub(super) fn publish(mut self, target: &Path) -> Result<()> {
        let done = sync(&self.path)
            .and_then(|()| std::fs::rename(&self.path, target))
            .and_then(|()| {
                self.is_published = true;
                sync_folder_of(target)
            });
        done.map_err(|source| StoreError::Io {
            what: format!("cannot finish {}", target.display()),
            source,
        })
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        if !self.is_published {
            remove_part(&self.path);
        }
    }
}

/// Takes away a part and what SQLite left beside it.
pub(super) fn remove_part(path: &Path) {
    for end in ["-journal", "-wal", "-shm", ""] {
        // Mostly there is none, and one that cannot be removed never gets the name of a backup.
        let _removed = std::fs::remove_file(with_end(path, end));
    }
}

pub(super) fn with_end(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    name.into()
}

fn sync(path: &Path) -> io::Result<()> {
    // Windows waits only on a handle that may write.
    OpenOptions::new().write(true).open(path)?.sync_all()
}

fn sync_folder_of(path: &Path) -> io::Result<()> {
    #[cfg(unix)]
    if let Some(folder) = std::path::absolute(path)?.parent() {
        std::fs::File::open(folder)?.sync_all()?;
    }
    #[cfg(not(unix))]
    let _no_folder_handles_here = path;
    Ok(())
}

/// Size and time of a file that nobody has open; None where somebody has, or where the file cannot be seen.
pub(super) fn at_rest(path: &Path) -> Option<(u64, std::time::SystemTime)> {
    let meta = std::fs::metadata(path).ok()?;
    (!has_log(path)).then(|| Some((meta.len(), meta.modified().ok()?)))?
}

/// Copies the logbook behind `source` into `part` in one read transaction and makes it a copy that has no home.
/// With `backed_up` it is marked as a backup of that time, and its attachments go into the folder beside it. False where `progress` stopped it.
pub(super) fn write(
    source: &Reach,
    logbook: &Path,
    part: &Part,
    backed_up: Option<&str>,
    progress: &mut dyn FnMut(i64, i64) -> bool,
) -> Result<bool> {
    let conn = source.connect_reading()?;
    conn.busy_timeout(Duration::from_secs(5))?;
    schema::check(&conn, logbook)?;
    if !pages(conn, part.path(), progress).map_err(|e| explain(e, logbook, part.path()))? {
        return Ok(false);
    }
    let mut copy = Connection::open(part.path())?;
    configure(&copy, false)?;
    let mut is_whole = settle(&mut copy, backed_up, progress);
    if backed_up.is_some()
        && matches!(is_whole, Ok(true))
        && let Some(folder) = part.path().parent()
        && let Err(e) = attachment::move_out(&copy, folder)
    {
        is_whole = Err(e);
    }
    let closed = copy.close().map_err(|(_, e)| e.into());
    let is_whole = is_whole.and_then(|is_whole| closed.map(|()| is_whole));
    is_whole.map_err(|e| explain(e, logbook, part.path()))
}

/// Copies every page in use. SQLite does this in one statement, so it runs on a thread of its own while this one
/// looks how far the file has grown and asks whether to go on.
fn pages(conn: Connection, to: &Path, progress: &mut dyn FnMut(i64, i64) -> bool) -> Result<bool> {
    let absolute = std::path::absolute(to).unwrap_or_else(|_| to.into());
    let name = utf8(&absolute)?;
    let pragma = |name: &str| conn.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
    let total = pragma("page_count")? * pragma("page_size")?;
    if !progress(0, total) {
        return Ok(false);
    }
    let stop = conn.get_interrupt_handle();
    let mut is_stopped = false;
    let copied = std::thread::scope(|scope| {
        let (tell, told) = mpsc::channel();
        let worker = scope.spawn(move || {
            let copied = conn.execute("VACUUM INTO ?1", [name]);
            // Nobody listens any more only where the thread that waits is gone, and the copy with it.
            let _heard = tell.send(());
            copied
        });
        while told.recv_timeout(Duration::from_millis(40)) == Err(RecvTimeoutError::Timeout) {
            let done = std::fs::metadata(to).map_or(0, |meta| meta.len() as i64);
            is_stopped = is_stopped || !progress(done, total);
            if is_stopped {
                stop.interrupt();
            }
        }
        worker.join()
    });
    if is_stopped {
        return Ok(false);
    }
    match copied {
        Ok(copied) => copied?,
        Err(panic) => std::panic::resume_unwind(panic),
    };
    Ok(progress(total, total))
}

/// What makes a copy of its own of the copied file, and state of this program's version.
fn settle(
    copy: &mut Connection,
    backed_up: Option<&str>,
    progress: &mut dyn FnMut(i64, i64) -> bool,
) -> Result<bool> {
    let tx = copy.transaction_with_behavior(TransactionBehavior::Immediate)?;
    tx.execute(
        "UPDATE OR REPLACE setting SET name = 'backup_home' WHERE name = 'home'",
        [],
    )?;
    tx.execute("DELETE FROM setting WHERE name = 'backed_up'", [])?;
    if let Some(time) = backed_up {
        set(&tx, "backed_up", time)?;
    }
    let sql = "SELECT value FROM state WHERE name = 'state_version'";
    let version: Option<i64> = tx.query_row(sql, [], |row| row.get(0)).optional()?;
    if version.is_some_and(|version| version != schema::STATE_VERSION)
        && !state::rebuild(&tx, &mut |_, _| progress(1, 1))?
    {
        return Ok(false);
    }
    tx.commit()?;
    Ok(true)
}

/// Says which of the two files the trouble is with.
fn explain(e: StoreError, logbook: &Path, part: &Path) -> StoreError {
    match e.in_file(logbook) {
        StoreError::DiskFull => {
            let folder = part.parent().unwrap_or(part).display();
            StoreError::Io {
                what: format!(
                    "the disk of {folder} is full; make room there, or choose another folder"
                ),
                source: io::ErrorKind::StorageFull.into(),
            }
        }
        StoreError::Sql(e) if e.sqlite_error_code() == Some(ErrorCode::SystemIoFailure) => {
            StoreError::Io {
                what: format!(
                    "cannot copy {} to {}; see that the drive is there and has room",
                    logbook.display(),
                    part.display()
                ),
                source: io::Error::other(e),
            }
        }
        other => other,
    }
}

/// A copy of a logbook of any format, as it is: for whoever is about to change that.
pub(super) fn write_as_it_is(conn: &Connection, logbook: &Path, part: &Part) -> Result<()> {
    let absolute = std::path::absolute(part.path()).unwrap_or_else(|_| part.path().into());
    let copied = conn.execute("VACUUM INTO ?1", [utf8(&absolute)?]);
    copied.map_err(|e| explain(e.into(), logbook, part.path()))?;
    let copy = Connection::open(part.path())?;
    let why = crate::verify::first_break(&copy);
    copy.close().map_err(|(_, e)| e)?;
    match why {
        Some(why) => Err(StoreError::Damaged {
            path: logbook.into(),
            why,
        }),
        None => Ok(()),
    }
}
