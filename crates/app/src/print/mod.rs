//! From what the logbook knows of one bearing to the document that proves it: the same for the window and the
//! command line.
//!
//! - `facts`: the first page: what it is, what limits hold, the story in two or three sentences.
//! - `events`: what happened, oldest first.
//! - `sheet`: one signed sheet with every reading; its `findings`, its `readings` in the order of measuring, its
//!   `verdicts`.
//! - `pictures`: the drawings; `photos`: what was photographed; `corrections`: what was amended later.
//! - `wish`: what was typed, on the command line or on the page Documents, as a document to print.
//! - `document`: all that can be printed, and of which thing; the others beside the history stand in a file each.
//! - `imprint`: what every document says about itself.
//! - `calculation`: a page of the bench, which is no part of the record.
//!
//! The only clock is the time that the job carries. Nothing of a sheet is left out: an entry that has no place of
//! its own in the form is listed under its own name.

mod blank;
mod calculation;
mod chock;
mod corrections;
mod document;
mod events;
mod facts;
mod findings;
mod gauge;
mod grind;
mod handover;
mod history;
pub(crate) mod impact;
mod imprint;
mod intervals;
mod labels;
pub(crate) mod life;
mod mounting;
mod one_sheet;
mod packet;
mod photos;
mod pictures;
mod readings;
mod sheet;
mod stand;
mod tag;
#[cfg(test)]
mod tests;
mod verdicts;
mod wish;

pub use calculation::{CalculationJob, calculation_pdf};
pub use document::Document;
pub use grind::OrderOf;
pub use history::{HistoryParts, history, history_pdf};

pub use labels::Wanted;
pub use packet::Sent;
pub(crate) use readings::{Form, ON_TAPER, check, typed_in};
pub use report::LabelGrid;
pub(crate) use verdicts::{about, about_words, title};
pub use wish::{KINDS, Key, What, Wish};

use std::path::{Path, PathBuf};

use report::{Labelled, Mark};
use store::entry::Show;
use store::{Stamp, StoreError};

/// What a print is asked for.
#[derive(Debug, Clone)]
pub struct PrintJob {
    /// The time that the print carries.
    pub now: Stamp,
    /// For whom it is printed, "the Auditor"; may be empty.
    pub for_whom: String,
    /// Unit of lengths and decimal mark.
    pub show: Show,
    /// Name and version of the program.
    pub program: String,
    /// True for a demo logbook: said on every page.
    pub is_demo: bool,
    /// The end of the chain, as [`store::Logbook::anchor`] gives it; empty where nothing is signed.
    pub anchor: String,
}

/// Why nothing was printed.
#[derive(Debug, thiserror::Error)]
pub enum PrintError {
    /// No such thing.
    #[error("there is no {0} with this number in the logbook")]
    NoSuch(&'static str),
    /// The sheet of this program is for other bearings.
    #[error("{0} is no four-row tapered bearing: the sheet is for those")]
    NoSheetFor(String),
    /// A tag is for what waits.
    #[error("{0} is not on hold: there is nothing to say on a tag")]
    NotHeld(String),
    /// The gauge has never been found out.
    #[error("{0} has not been found to read wrongly: there is no impact to list")]
    NeverFoundOut(String),
    /// The sheet asks for no grinding.
    #[error("no spacer of {0} is to be ground by this sheet: there is no order to print")]
    NothingToGrind(String),
    /// Nothing was chosen for labels.
    #[error("no label to print: {0}")]
    NoLabels(String),
    /// The logbook could not be read.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The page could not be set.
    #[error("the page could not be set: {0}")]
    Report(#[from] report::ReportError),
    /// The file could not be written.
    #[error("cannot write {}: {source}. Nothing was left behind; choose another folder or name", path.display())]
    Write {
        /// Which file.
        path: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
}

/// Result of a print.
pub type Result<T> = std::result::Result<T, PrintError>;

/// Writes a file whole or not at all: beside it first, then in its place.
///
/// # Errors
/// What the file system says; a file that stood there is then untouched.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<()> {
    use std::io::Write;
    let mut name = path.as_os_str().to_owned();
    name.push(format!(".{}.part", std::process::id()));
    let part = PathBuf::from(name);
    let written = std::fs::File::create(&part)
        .and_then(|mut file| file.write_all(bytes).and_then(|()| file.sync_all()))
        .and_then(|()| std::fs::rename(&part, path));
    written.map_err(|source| {
        // The first error is the one to report; a part that was never made cannot be removed.
        let _removed = std::fs::remove_file(&part);
        PrintError::Write {
            path: path.into(),
            source,
        }
    })
}

/// A label with its value.
fn labelled(label: impl Into<String>, value: impl Into<String>) -> Labelled {
    Labelled {
        label: label.into(),
        value: value.into(),
    }
}

/// "1 sheet", "2 sheets".
pub(crate) fn counted(count: usize, what: &str) -> String {
    if count == 1 {
        format!("1 {what}")
    } else {
        format!("{count} {what}s")
    }
}

/// Three values of the row pairs as the plant counts them, "0.640 / 0.580 / 0.630"; none where no pair has one.
fn three(values: [Option<i64>; 3], show: Show) -> Option<String> {
    values.iter().any(Option::is_some).then(|| {
        let each = values.map(|v| v.map_or_else(|| "\u{2013}".into(), |nm| show.length(nm)));
        show.in_order(each.into()).join(" / ")
    })
}

/// The mark of a verdict as the file names it.
fn mark(verdict: &str) -> Mark {
    Mark::ALL
        .into_iter()
        .find(|m| m.word().replace(' ', "_") == verdict)
        .unwrap_or(Mark::NotApplicable)
}
