//! What the program takes from the machine and hands to the store: clock, entropy, which installation this is, and
//! the folder where the program keeps what belongs to the user and to no logbook.
//!
//! Everything else is given [`Hands`], so that a demo or a test has its own.

use std::hash::{BuildHasher, Hasher, RandomState};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use store::{Clock, Entropy, Hands, Stamp};

/// Makes the hands for one logbook; the window opens several in a row.
pub type HandsMaker = Arc<dyn Fn() -> Hands + Send + Sync>;

/// Name and version of the program, as logbooks and prints carry it.
pub fn program() -> String {
    format!("Chockbook {}", env!("CARGO_PKG_VERSION"))
}

/// Hands with the clock and the entropy of this machine.
pub fn system() -> Hands {
    Hands {
        clock: Box::new(SystemClock),
        entropy: Box::new(OsEntropy),
        install: install(config_folder().as_deref(), &mut OsEntropy),
        program: program(),
        drive,
    }
}

/// On which network file system a file lies. A drill names one: `CHOCKBOOK_DRILL=drive-nfs4`.
fn drive(path: &Path) -> Option<String> {
    let drill = std::env::var("CHOCKBOOK_DRILL").unwrap_or_default();
    match drill.strip_prefix("drive-") {
        Some(kind) => Some(kind.to_owned()),
        None => store::drive::network(path),
    }
}

/// The machine's clock. The only place where it is read.
#[derive(Debug, Clone, Copy)]
pub struct SystemClock;

impl Clock for SystemClock {
    #[allow(clippy::disallowed_methods)] // the one place: from here the clock is handed in
    fn now(&self) -> Stamp {
        let now = chrono::Local::now();
        Stamp::second(
            now.timestamp_millis(),
            i64::from(now.offset().local_minus_utc() / 60),
        )
    }
}

/// Random bytes of the operating system.
#[derive(Debug, Clone, Copy)]
pub struct OsEntropy;

impl Entropy for OsEntropy {
    fn fill(&mut self, bytes: &mut [u8]) {
        if getrandom::fill(bytes).is_ok() {
            return;
        }
        // These bytes name copies and salt PINs; they keep no secret. Where the system has none to give, the
        // standard library's own keys, which differ with each process, are good enough.
        for chunk in bytes.chunks_mut(8) {
            let drawn = RandomState::new().build_hasher().finish().to_le_bytes();
            chunk.copy_from_slice(&drawn[..chunk.len()]);
        }
    }
}

/// Where the program keeps its own files: `$XDG_CONFIG_HOME/chockbook`, or the system's usual place.
pub fn config_folder() -> Option<PathBuf> {
    let set = |name| {
        std::env::var_os(name)
            .filter(|value| !value.is_empty())
            .map(PathBuf::from)
    };
    let base = set("XDG_CONFIG_HOME")
        .filter(|path| path.is_absolute())
        .or_else(|| if cfg!(windows) { set("APPDATA") } else { None })
        .or_else(|| set("HOME").map(|home| home.join(".config")));
    base.map(|base| base.join("chockbook"))
}

/// Which installation this is: 16 random bytes, made once for each user. Where they cannot be kept they hold for
/// this process; the next one then goes on as another copy, which loses nothing.
fn install(folder: Option<&Path>, entropy: &mut dyn Entropy) -> [u8; 16] {
    static OF_THIS_PROCESS: std::sync::OnceLock<[u8; 16]> = std::sync::OnceLock::new();
    let Some(folder) = folder else {
        return *OF_THIS_PROCESS.get_or_init(|| draw(entropy));
    };
    let path = folder.join("install");
    let read = |path: &Path| {
        let text = std::fs::read_to_string(path).ok()?;
        <[u8; 16]>::try_from(store::id::from_hex(text.trim())?).ok()
    };
    if let Some(kept) = read(&path) {
        return kept;
    }
    let made = *OF_THIS_PROCESS.get_or_init(|| draw(entropy));
    let kept =
        std::fs::create_dir_all(folder).and_then(|()| write_whole(&path, &store::id::hex(&made)));
    if let Err(error) = kept {
        log::warn!(
            "{}: {error}; this installation has no lasting name",
            path.display()
        );
    }
    made
}

fn draw(entropy: &mut dyn Entropy) -> [u8; 16] {
    let mut bytes = [0; 16];
    entropy.fill(&mut bytes);
    bytes
}

/// Writes a small file whole or not at all.
///
/// # Errors
/// What the file system says; the old file is then untouched.
pub fn write_whole(path: &Path, text: &str) -> std::io::Result<()> {
    use std::io::Write;
    let mut name = path.as_os_str().to_owned();
    name.push(format!(".{}.part", std::process::id()));
    let part = PathBuf::from(name);
    let written = std::fs::File::create(&part)
        .and_then(|mut file| {
            file.write_all(text.as_bytes())
                .and_then(|()| file.sync_all())
        })
        .and_then(|()| std::fs::rename(&part, path));
    if written.is_err() {
        // The first error is the one to report.
        let _removed = std::fs::remove_file(&part);
    }
    written
}

#[cfg(test)]
pub(crate) mod tests {
    use std::sync::atomic::{AtomicI64, Ordering};

    use super::*;

    /// A clock that a test sets, and bytes that repeat.
    #[derive(Clone)]
    pub(crate) struct FakeClock(pub(crate) Arc<AtomicI64>);

    impl Clock for FakeClock {
        fn now(&self) -> Stamp {
            Stamp::second(self.0.load(Ordering::SeqCst), 60)
        }
    }

    struct Counted(u8);

    impl Entropy for Counted {
        fn fill(&mut self, bytes: &mut [u8]) {
            for byte in bytes {
                self.0 = self.0.wrapping_add(17);
                *byte = self.0;
            }
        }
    }

    /// Hands that stand at 2026-10-30 14:00.
    pub(crate) fn fake() -> (HandsMaker, FakeClock) {
        let start = Stamp::parse("2026-10-30T14:00", 60).unwrap();
        let clock = FakeClock(Arc::new(AtomicI64::new(start.ms)));
        let handed = clock.clone();
        let maker = move || Hands {
            clock: Box::new(handed.clone()),
            entropy: Box::new(Counted(1)),
            install: [7; 16],
            program: "Chockbook test".into(),
            drive: |_| None,
        };
        (Arc::new(maker), clock)
    }

    #[test]
    fn the_installation_keeps_its_name() {
        let folder = tempfile::tempdir().unwrap();
        let below = folder.path().join("new");
        let first = install(Some(&below), &mut OsEntropy);
        assert_eq!(install(Some(&below), &mut OsEntropy), first);
        assert_eq!(
            std::fs::read_to_string(below.join("install"))
                .unwrap()
                .len(),
            32
        );
        std::fs::write(below.join("install"), "torn").unwrap();
        install(Some(&below), &mut OsEntropy);
        assert_eq!(
            std::fs::read_to_string(below.join("install"))
                .unwrap()
                .len(),
            32,
            "a torn name is made anew"
        );
    }

    #[test]
    fn an_installation_that_cannot_be_kept_holds_for_this_process() {
        let folder = tempfile::tempdir().unwrap();
        let blocked = folder.path().join("file");
        std::fs::write(&blocked, "").unwrap();
        let first = install(Some(&blocked), &mut OsEntropy);
        assert_ne!(first, [0; 16]);
        assert_eq!(install(Some(&blocked), &mut OsEntropy), first);
    }

    #[test]
    fn a_failed_write_leaves_the_old_file_and_no_part() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("recent");
        write_whole(&path, "one").unwrap();
        assert!(write_whole(&folder.path().join("missing").join("recent"), "two").is_err());
        write_whole(&path, "two").unwrap();
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "two");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}
