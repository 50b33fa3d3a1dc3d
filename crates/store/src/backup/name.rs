//! Names of backups: `NAME-20261030T143205Z.chockbook`, in UTC, so that they sort by time also when clocks are changed.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use chrono::{DateTime, NaiveDateTime};

use super::copy::Part;
use crate::error::{Result, StoreError};
use crate::time::Stamp;

/// End of the name of every logbook.
const END: &str = ".chockbook";
/// How the time stands in a name.
const FORMAT: &str = "%Y%m%dT%H%M%SZ";
/// Word in the name of a copy that did not verify.
const SPOILT: &str = "-does-not-hold";

/// What the name of a file in the folder says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Name {
    /// The logbook's name without its end.
    pub stem: String,
    /// Milliseconds since 1970, UTC.
    pub ms: i64,
    /// False while it is being written.
    pub is_whole: bool,
}

impl Name {
    /// Reads a file name; None for what is no backup.
    pub(super) fn parse(file_name: &str) -> Option<Self> {
        let (text, is_whole) = match file_name.strip_suffix(Part::END) {
            Some(text) => (text, false),
            None => (file_name, true),
        };
        let (stem, time) = text.strip_suffix(END)?.rsplit_once('-')?;
        let at = NaiveDateTime::parse_from_str(time, FORMAT).ok()?.and_utc();
        let parsed = Self {
            stem: stem.into(),
            ms: at.timestamp_millis(),
            is_whole,
        };
        // One spelling only: what reads the same but is written otherwise was not named here.
        (time_in_name(parsed.ms).as_deref() == Some(time) && !stem.is_empty()).then_some(parsed)
    }
}

fn time_in_name(ms: i64) -> Option<String> {
    let text = DateTime::from_timestamp_millis(ms)?
        .format(FORMAT)
        .to_string();
    (text.len() == "20261030T143205Z".len()).then_some(text)
}

/// The logbook's name without its end.
pub(super) fn stem(logbook: &Path) -> String {
    let name = logbook
        .file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    name.strip_suffix(END).map(str::to_owned).unwrap_or(name)
}

/// The name for a copy that does not hold.
pub(super) fn spoilt(target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    let base = name.strip_suffix(END).unwrap_or(&name);
    target.with_file_name(format!("{base}{SPOILT}{END}"))
}

/// Takes a name in the folder that nobody has: that of this second, or of the next free one. Two programs never get
/// the same, since each makes the file it writes to first and looks for the finished one then.
pub(super) fn reserve(logbook: &Path, folder: &Path, now: Stamp) -> Result<(Part, PathBuf, Stamp)> {
    let stem = stem(logbook);
    for later in 0..600 {
        let at = now.plus_ms(1000 * later);
        let Some(time) = time_in_name(at.ms) else {
            return Err(StoreError::input(
                "clock",
                "the year is not between 0 and 9999: set the clock of this computer",
            ));
        };
        let target = folder.join(format!("{stem}-{time}{END}"));
        let part = Part::reserve(&target).map_err(|source| StoreError::Io {
            what: format!(
                "cannot write a backup into {}; plug the drive in, or choose another folder in Setup",
                folder.display()
            ),
            source,
        })?;
        if let Some(part) = part
            && !target.exists()
            && !spoilt(&target).exists()
        {
            return Ok((part, target, at));
        }
    }
    Err(StoreError::Exists {
        path: folder.join(OsString::from(stem)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_read_as_it_was_made_and_nothing_else_is_a_backup() {
        let ms = 1_793_370_725_000;
        assert_eq!(time_in_name(ms).unwrap(), "20261030T143205Z");
        let name = Name::parse("mill 1-x-20261030T143205Z.chockbook").unwrap();
        assert_eq!(
            (name.stem.as_str(), name.ms, name.is_whole),
            ("mill 1-x", ms, true)
        );
        assert!(
            !Name::parse("p-20261030T143205Z.chockbook-part")
                .unwrap()
                .is_whole
        );
        let bad = spoilt(Path::new("p-20261030T143205Z.chockbook"));
        for other in [
            "",
            "plant.chockbook",
            "plant-20261030T1432.chockbook",
            "plant-20261330T143205Z.chockbook",
            "plant-2026103T0143205Z.chockbook",
            "-20261030T143205Z.chockbook",
            "p-20261030T143205Z.chockbook-wal",
            "p-20261030T143205Z.chockbook-part-journal",
            "p-20261030T143205Z",
            bad.to_str().unwrap(),
        ] {
            assert_eq!(Name::parse(other), None, "{other}");
        }
        assert_eq!(stem(Path::new("/a/plant.chockbook")), "plant");
        assert_eq!(time_in_name(i64::MAX), None);
        assert_eq!(time_in_name(400_000_000_000_000), None);
    }
}
