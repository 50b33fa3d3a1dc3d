//! Reads the first bytes of a logbook without taking its locks away.
//!
//! On POSIX systems a process that closes any handle of a file gives up every lock that it holds on that file, those of
//! SQLite's connection among them (sqlite.org/howtocorrupt.html, 2.2). The next program that reads the logbook then
//! takes itself for the last one and removes the log beside it, with all that was written since. So this program opens
//! each logbook beside SQLite once, and keeps that handle until nobody here needs the file any more.

use std::fs::{File, OpenOptions};
use std::io::{Read, Result, Seek, SeekFrom};
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, Weak};

/// Device and number of a file: the same as long as it is the same file, whatever stands at its path.
pub(crate) type FileIdentity = (u64, u64);

/// A file that stays open while somebody holds this.
#[derive(Debug)]
pub(crate) struct Opened {
    identity: FileIdentity,
    file: Mutex<File>,
    /// Others of the same file: they may not be closed before it either.
    others: Mutex<Vec<File>>,
}

/// The files that are open here.
static OPEN: Mutex<Vec<Weak<Opened>>> = Mutex::new(Vec::new());

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Where the system cannot tell, it does not let an open file be replaced either, and its locks are those of handles
/// (Windows).
#[cfg(unix)]
pub(crate) fn identity(about: &std::fs::Metadata) -> FileIdentity {
    use std::os::unix::fs::MetadataExt;
    (about.dev(), about.ino())
}

#[cfg(not(unix))]
pub(crate) fn identity(_about: &std::fs::Metadata) -> FileIdentity {
    (0, 0)
}

/// Opens a file, or answers the handle that is open here already.
pub(crate) fn opened(path: &Path) -> Result<Arc<Opened>> {
    let mut open = held(&OPEN);
    open.retain(|file| file.strong_count() > 0);
    let find = |open: &[Weak<Opened>], identity: FileIdentity| {
        let mut all = open.iter().filter_map(Weak::upgrade);
        all.find(|file| cfg!(unix) && file.identity == identity)
    };
    if let Some(file) = find(&open, identity(&std::fs::metadata(path)?)) {
        return Ok(file);
    }
    let file = File::open(path)?;
    let identity = identity(&file.metadata()?);
    // Another file may have come to this path in between.
    if let Some(there) = find(&open, identity) {
        held(&there.others).push(file);
        return Ok(there);
    }
    let file = Arc::new(Opened {
        identity,
        file: Mutex::new(file),
        others: Mutex::new(Vec::new()),
    });
    open.push(Arc::downgrade(&file));
    Ok(file)
}

impl Opened {
    /// Its first bytes, and its length; fewer bytes where it has no more.
    pub(crate) fn start(&self, count: usize) -> Result<(Vec<u8>, u64)> {
        let mut file = held(&self.file);
        file.seek(SeekFrom::Start(0))?;
        let mut bytes = Vec::with_capacity(count);
        let length = file.metadata()?.len();
        (&mut *file).take(count as u64).read_to_end(&mut bytes)?;
        Ok((bytes, length))
    }

    /// All of it.
    pub(crate) fn whole(&self) -> Result<Vec<u8>> {
        let mut file = held(&self.file);
        file.seek(SeekFrom::Start(0))?;
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    /// Whether the file can be opened for writing.
    pub(crate) fn check_writable(&self, path: &Path) -> Result<()> {
        let file = OpenOptions::new().write(true).open(path)?;
        held(&self.others).push(file);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_opened_once_as_long_as_it_is_held() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        std::fs::write(&path, b"12345").unwrap();
        let first = opened(&path).unwrap();
        let again = opened(&path).unwrap();
        assert_eq!(Arc::ptr_eq(&first, &again), cfg!(unix));
        assert_eq!(first.start(3).unwrap(), (b"123".to_vec(), 5));
        assert_eq!(first.start(100).unwrap(), (b"12345".to_vec(), 5));
        // Another file at the same path is another file; the old one is what it was.
        let moved = folder.path().join("b");
        std::fs::write(&moved, b"other").unwrap();
        std::fs::rename(&moved, &path).unwrap();
        let other = opened(&path).unwrap();
        assert_eq!(other.start(5).unwrap().0, b"other");
        assert_eq!(first.start(5).unwrap().0, b"12345");
        other.check_writable(&path).unwrap();
        assert!(opened(&folder.path().join("none")).is_err());
    }
}
