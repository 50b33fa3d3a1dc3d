//! How the file is reached: for writing, for reading beside a writer, or where SQLite cannot put its helper files
//! beside it (record format 10).

use std::path::{Path, PathBuf};

use rusqlite::{Connection, ErrorCode, OpenFlags};

use crate::backup::{Salvaged, salvage};
use crate::error::{Result, StoreError};
use crate::id::hex;

/// How SQLite may treat the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Mode {
    /// Reads and writes.
    Write,
    /// Reads beside a writer.
    Read,
    /// Reads a file that nobody writes, and puts nothing beside it.
    Frozen,
}

/// A way to the file; as many connections as wanted go along it.
#[derive(Debug)]
pub(crate) struct Reach {
    file: PathBuf,
    mode: Mode,
    copy: Option<TempFolder>,
}

impl Reach {
    /// For the one writer.
    pub(crate) fn writer(path: &Path) -> Self {
        Self {
            file: path.into(),
            mode: Mode::Write,
            copy: None,
        }
    }

    /// For reading: beside a writer where that works, else the file as it stands, else a copy of it.
    pub(crate) fn reader(path: &Path) -> Result<Self> {
        let beside = Self {
            file: path.into(),
            mode: Mode::Read,
            copy: None,
        };
        match beside.connect().and_then(|conn| first_read(&conn)) {
            Err(StoreError::Sql(e)) if e.sqlite_error_code() == Some(ErrorCode::CannotOpen) => {
                Self::apart(path)
            }
            Err(StoreError::ReadOnly { .. }) => Self::apart(path),
            // Any other trouble comes back at the first real reading, with its own words.
            _ => Ok(beside),
        }
    }

    /// For `verify`: leaves no trace beside a file that nobody has open.
    pub(crate) fn checker(path: &Path) -> Result<Self> {
        if has_log(path) {
            Self::reader(path)
        } else {
            Self::apart(path)
        }
    }

    /// Without a log of unfinished work the file stands for itself; with one, both are copied and read there.
    pub(crate) fn apart(path: &Path) -> Result<Self> {
        if has_log(path) {
            return Self::copied(path);
        }
        Ok(Self {
            file: path.into(),
            mode: Mode::Frozen,
            copy: None,
        })
    }

    /// To a copy of file and log.
    pub(crate) fn copied(path: &Path) -> Result<Self> {
        let folder = TempFolder::new()?;
        let file = folder.0.join("copy.chockbook");
        copy_steady(path, &file)?;
        Ok(Self {
            file,
            mode: Mode::Read,
            copy: Some(folder),
        })
    }

    /// To a copy with what can still be read of a damaged file. None where `progress` stopped it.
    pub(crate) fn to_rest_of(
        path: &Path,
        progress: &mut dyn FnMut(i64, i64) -> bool,
    ) -> Result<Option<(Self, Salvaged)>> {
        let folder = TempFolder::new()?;
        // Under its own name, by which its backups are found.
        let file = folder.0.join(path.file_name().unwrap_or_default());
        let Some(read) = salvage(path, &file, progress)? else {
            return Ok(None);
        };
        let reach = Self {
            file,
            mode: Mode::Frozen,
            copy: Some(folder),
        };
        Ok(Some((reach, read)))
    }

    /// The file that is read.
    pub(crate) fn file(&self) -> &Path {
        &self.file
    }

    /// True where a copy is read, which does not see what is written to the file from now on.
    pub(crate) fn is_copy(&self) -> bool {
        self.copy.is_some()
    }

    /// A new connection.
    pub(crate) fn connect(&self) -> Result<Connection> {
        self.connect_as(self.mode)
    }

    /// A new connection that only reads.
    pub(crate) fn connect_reading(&self) -> Result<Connection> {
        self.connect_as(if self.mode == Mode::Write {
            Mode::Read
        } else {
            self.mode
        })
    }

    fn connect_as(&self, mode: Mode) -> Result<Connection> {
        let flags = OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let conn = match mode {
            Mode::Write => {
                Connection::open_with_flags(&self.file, flags | OpenFlags::SQLITE_OPEN_READ_WRITE)
            }
            Mode::Read => {
                Connection::open_with_flags(&self.file, flags | OpenFlags::SQLITE_OPEN_READ_ONLY)
            }
            Mode::Frozen => Connection::open_with_flags(
                frozen_uri(&self.file),
                flags | OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI,
            ),
        }?;
        Ok(conn)
    }
}

fn first_read(conn: &Connection) -> Result<()> {
    Ok(conn.query_row("SELECT count(*) FROM sqlite_master", [], |_| Ok(()))?)
}

/// `-wal` beside the file.
pub(crate) fn log_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    name.into()
}

/// True where somebody has the file open, or left it without closing.
pub(crate) fn has_log(path: &Path) -> bool {
    log_of(path).exists()
}

/// `file:///path?immutable=1`, with every byte that a URI gives a meaning written as `%xx`.
fn frozen_uri(path: &Path) -> String {
    let absolute = std::path::absolute(path).unwrap_or_else(|_| path.into());
    let text = absolute.to_string_lossy().replace('\\', "/");
    let mut uri = String::from(if text.starts_with('/') {
        "file://"
    } else {
        "file:///"
    });
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"/-._~:".contains(&byte) {
            uri.push(char::from(byte));
        } else {
            uri.push('%');
            uri.push_str(&hex(&[byte]).to_uppercase());
        }
    }
    uri + "?immutable=1"
}

/// Copies file and log while neither changes.
fn copy_steady(from: &Path, to: &Path) -> Result<()> {
    let failed = |source| StoreError::Io {
        what: format!("cannot copy {} to read it", from.display()),
        source,
    };
    let state = |path: &Path| std::fs::metadata(path).and_then(|m| Ok((m.len(), m.modified()?)));
    let pairs = [
        (from.to_path_buf(), to.to_path_buf()),
        (log_of(from), log_of(to)),
    ];
    for _try in 0..5 {
        let before = pairs.each_ref().map(|(path, _)| state(path).ok());
        for (source, target) in &pairs {
            let copy = crate::peek::opened(source)
                .and_then(|file| file.whole())
                .and_then(|bytes| std::fs::write(target, bytes));
            match copy {
                // The log may go while it is looked at: its writer has closed.
                Err(e) if e.kind() == std::io::ErrorKind::NotFound && source != from => {}
                done => drop(done.map_err(failed)?),
            }
        }
        if before == pairs.each_ref().map(|(path, _)| state(path).ok()) {
            return Ok(());
        }
    }
    Err(StoreError::Io {
        what: format!("cannot copy {} to read it", from.display()),
        source: std::io::Error::new(
            std::io::ErrorKind::ResourceBusy,
            "somebody is writing it; try again",
        ),
    })
}

/// A folder of ours for a copy, taken away with it.
#[derive(Debug)]
struct TempFolder(PathBuf);

impl TempFolder {
    fn new() -> Result<Self> {
        let failed = |source| StoreError::Io {
            what: "cannot make a folder for a copy".into(),
            source,
        };
        let mut builder = std::fs::DirBuilder::new();
        #[cfg(unix)]
        std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
        for n in 0..1000 {
            let path = std::env::temp_dir().join(format!("chockbook-{}-{n}", std::process::id()));
            match builder.create(&path) {
                Ok(()) => return Ok(Self(path)),
                Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {}
                Err(e) => return Err(failed(e)),
            }
        }
        Err(failed(std::io::ErrorKind::AlreadyExists.into()))
    }
}

impl Drop for TempFolder {
    fn drop(&mut self) {
        // A copy left behind is only untidy; there is nobody to tell.
        let _removed = std::fs::remove_dir_all(&self.0);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_with_signs_of_a_uri_is_still_that_path() {
        let uri = frozen_uri(Path::new("/tmp/50 % ?#é.chockbook"));
        assert_eq!(
            uri,
            "file:///tmp/50%20%25%20%3F%23%C3%A9.chockbook?immutable=1"
        );
    }
}
