//! From what the logbook knows of one bearing to the document that proves it: the same for the window and the
//! command line.
//!
//! - `facts`: the first page: what it is, what limits hold, the story in two or three sentences.
//! - `events`: what happened, oldest first.
//! - `sheet`: one signed sheet with every reading; its `readings` in the order of measuring, its `verdicts`.
//! - `pictures`: the drawings.
//! - `calculation`: a page of the bench, which is no part of the record.
//!
//! The only clock is the time that the job carries. Nothing of a sheet is left out: an entry that has no place of
//! its own in the form is listed under its own name.

mod calculation;
mod events;
mod facts;
mod pictures;
mod readings;
mod sheet;
#[cfg(test)]
mod tests;
mod verdicts;

pub use calculation::{CalculationJob, calculation_pdf};
pub(crate) use verdicts::about;

use std::path::{Path, PathBuf};

use report::{History, Labelled, Mark, Marked, UtcMoment};
use store::entry::Show;
use store::query::BearingPage;
use store::sheet::TypeFacts;
use store::{Stamp, StoreError, ThingNo};

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
    /// No such bearing.
    #[error("there is no bearing with this number in the logbook")]
    NoBearing,
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

/// Everything that the logbook knows of a bearing, in words ready to print.
///
/// # Errors
/// [`PrintError::NoBearing`] or what reading the logbook said.
pub fn history(conn: &store::Connection, bearing: ThingNo, job: &PrintJob) -> Result<History> {
    let show = job.show;
    let page =
        store::query::bearing_page(conn, bearing, job.now, show)?.ok_or(PrintError::NoBearing)?;
    let record = match store::query::record(conn, bearing)? {
        Some((store::payload::Record::Bearing(record), _)) => Some(record),
        _ => None,
    };
    let mut standards = sheet::Standards::new();
    for gauge in page.sheets.iter().flat_map(|s| s.gauges.values()) {
        if let Some((store::payload::Record::Gauge(record), _)) =
            store::query::record(conn, gauge.no)?
        {
            standards.insert(gauge.no, record.standard);
        }
    }
    let mut sheets = Vec::with_capacity(page.sheets.len());
    for (index, detail) in page.sheets.iter().enumerate() {
        // The limits of that day, not of today.
        let limits = TypeFacts::load(conn, page.bearing_type.no, detail.event.at.ms)?;
        sheets.push(sheet::sheet(index + 1, detail, &limits, &standards, show));
    }
    Ok(History {
        plant: store::logbook::plant(conn)?,
        serial: page.line.serial.clone(),
        title_line: format!("History of bearing {}", page.line.serial),
        headline: facts::headline(&page),
        summary: facts::summary(&page, show),
        state: facts::state(&page),
        identity: facts::identity(&page, record.as_ref(), show),
        limits: facts::limits(&page, job.now, show),
        ring_map_svg: Some(pictures::rings(&page, show)),
        growth_svg: pictures::growth(&page, show),
        events: events::events(&page, show),
        sheets,
        corrections: Vec::new(),
        anchor: job.anchor.clone(),
        chain_check: chain_check(&page),
        printed_at: job.now.date_time(),
        printed_utc: utc(job.now),
        printed_for: job.for_whom.clone(),
        program: job.program.clone(),
        demo: job.is_demo,
        cautions: CAUTIONS.map(str::to_owned).into(),
        signature_lines: facts::signature_lines(&page, job),
    })
}

/// The history of a bearing as the bytes of a PDF.
///
/// # Errors
/// As [`history`], or the page could not be set.
pub fn history_pdf(conn: &store::Connection, bearing: ThingNo, job: &PrintJob) -> Result<Vec<u8>> {
    Ok(report::history_pdf(&history(conn, bearing, job)?)?)
}

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

/// What every print carries about work that can hurt (common practice; the air limit is that of US 29 CFR
/// 1910.242(b), 30 psi).
const CAUTIONS: [&str; 7] = [
    "Lock out and make safe before entering a stand. Stay clear of suspended loads; no hands between roll, chock and \
     window. Certified lifting gear; chocks are tilted in a tilter only.",
    "Mark hot parts HOT with the time. Heater at most 120 \u{b0}C, lower where the type says; never a flame.",
    "Oil injection: rated parts only, stop nut left on, stand aside.",
    "Compressed air under 30 psi (0.2 MPa) with guards and eye protection; never spin a bearing with air. Solvents: \
     ventilation, gloves, no ignition.",
    "Never cut a tight ring without a shield and a procedure; never cut or strike a stuck load under crane tension.",
    "Spalls and sharp edges: gloves. Grinding: guards, noise and eye protection.",
    "This record does not release machinery; a competent person does. The site\u{2019}s procedures, local law and the \
     makers\u{2019} documents come first.",
];

/// What can be said of the chain while printing: each sheet on this print is hashed anew.
fn chain_check(page: &BearingPage) -> Marked {
    let torn: Vec<String> = page
        .sheets
        .iter()
        .filter(|s| s.event.hash != s.event.expected_hash())
        .map(|s| s.event.id.to_string())
        .collect();
    if !torn.is_empty() {
        let text = format!(
            "Not what was signed: {}. Run chockbook verify.",
            torn.join(", ")
        );
        return Marked {
            text,
            mark: Mark::Fail,
        };
    }
    let sheets = match page.sheets.len() {
        0 => "The".to_owned(),
        count => format!("{} on this print and the", counted(count, "sheet")),
    };
    let text = format!(
        "{sheets} newest 100 entries of the logbook were hashed anew and hold. The whole chain is checked by \
         chockbook verify."
    );
    Marked {
        text,
        mark: Mark::Pass,
    }
}

fn utc(now: Stamp) -> UtcMoment {
    let (year, month, day, hour, minute, second) = Stamp::second(now.ms, 0).parts();
    let small = |value: u32| u8::try_from(value).unwrap_or(0);
    UtcMoment {
        year: u16::try_from(year).unwrap_or(1970),
        month: small(month),
        day: small(day),
        hour: small(hour),
        minute: small(minute),
        second: small(second),
    }
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

/// Three values of the row pairs, "0.640 / 0.580 / 0.630"; none where no pair has one.
fn three(values: [Option<i64>; 3], show: Show) -> Option<String> {
    values.iter().any(Option::is_some).then(|| {
        let text = values.map(|v| v.map_or_else(|| "\u{2013}".into(), |nm| show.length(nm)));
        text.join(" / ")
    })
}

/// The mark of a verdict as the file names it.
fn mark(verdict: &str) -> Mark {
    Mark::ALL
        .into_iter()
        .find(|m| m.word().replace(' ', "_") == verdict)
        .unwrap_or(Mark::NotApplicable)
}
