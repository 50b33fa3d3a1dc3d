//! Is the record what was signed? Reads a logbook without writing it and says what does not hold.
//!
//! - `chain`: each origin's events without holes, each hash recomputed, each payload true to its columns.
//! - `tables`: the tables and triggers of this format, and the derived rows as the events give them.
//! - `files`: pictures and papers by their hashes.
//! - `anchor`: one printed code against the chain.
//! - `backups`: the ends of the backups in reach against the chain.

mod anchor;
mod backups;
mod chain;
mod files;
mod tables;

use std::path::{Path, PathBuf};

use rusqlite::Connection;

use crate::error::{Result, StoreError};
use crate::id::{EventId, Origin};
use crate::logbook;
use crate::reach::Reach;
use crate::schema;

/// Something that does not hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The event that it concerns, where it is one.
    pub event: Option<EventId>,
    /// Its number in this file.
    pub no: Option<i64>,
    /// What does not hold, in words.
    pub what: String,
}

impl Finding {
    fn of_file(what: impl Into<String>) -> Self {
        Self {
            event: None,
            no: None,
            what: what.into(),
        }
    }
}

/// The end of one origin's chain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// Which copy of the logbook wrote it.
    pub origin: Origin,
    /// Its last event.
    pub seq: i64,
    /// That event as an anchor code, to be written down outside the file.
    pub anchor: String,
}

/// What was checked and what came out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// The file.
    pub path: PathBuf,
    /// Number of events read.
    pub events: i64,
    /// The end of each origin's chain, in the order of arrival.
    pub heads: Vec<Head>,
    /// What does not hold; empty where everything does.
    pub findings: Vec<Finding>,
    /// What was checked, in words.
    pub checked: Vec<String>,
    /// What this does not prove, in words.
    pub limits: Vec<String>,
}

impl Report {
    /// True where nothing was found.
    pub fn holds(&self) -> bool {
        self.findings.is_empty()
    }
}

/// Told events done and events to do (each is read once for the chain and once for the tables); answers false to stop.
pub type Progress<'a> = &'a mut dyn FnMut(i64, i64) -> bool;

/// What no chain without a key can prove (record format 7).
const LIMITS: [&str; 2] = [
    "The chain has no key: whoever rewrites all of it, or cuts off its end, leaves a chain that holds. That shows only \
     against an anchor on a print, a backup or another copy: compare with one that was kept elsewhere.",
    "A PIN keeps people apart on a shared PC; it does not prove who sat there. That a value was signed does not make it \
     true.",
];

/// Checks a whole logbook, also one that is torn or altered; with `anchor_code`, the chain against a printed anchor
/// too. Where the logbook has a backup folder that can be reached, the chain is compared with every backup in it.
/// The file is opened for reading only and stays as it is. None where `progress` stopped the work.
///
/// # Errors
/// Where there is nothing to check: no file, no logbook, another format, an anchor that is none.
pub fn verify_file(
    path: &Path,
    anchor_code: Option<&str>,
    progress: Progress<'_>,
) -> Result<Option<Report>> {
    check(path, anchor_code, true, progress)
}

/// As [`verify_file`], without a look at the backups: for a file that is meant to be another one than the newest.
pub(crate) fn verify_alone(path: &Path, progress: Progress<'_>) -> Result<Option<Report>> {
    check(path, None, false, progress)
}

/// The first thing that does not hold in the pages and chains of a file, of whatever format.
pub(crate) fn first_break(conn: &Connection) -> Option<String> {
    let chain = chain::check(conn, &mut |_| true);
    let findings = tables::database(conn).into_iter();
    let mut findings = findings.chain(chain.into_iter().flat_map(|chain| chain.findings));
    findings.next().map(|finding| finding.what)
}

fn check(
    path: &Path,
    anchor_code: Option<&str>,
    is_compared: bool,
    progress: Progress<'_>,
) -> Result<Option<Report>> {
    if !path.is_file() {
        return Err(StoreError::NotFound { path: path.into() });
    }
    let wanted = anchor_code.map(anchor::Anchor::parse).transpose()?;
    let mut findings = Vec::new();
    match schema::check_header(path) {
        // A file that was cut is still read as far as it goes.
        Err(e @ StoreError::Damaged { .. }) => findings.push(Finding::of_file(e.to_string())),
        other => other?,
    }
    let reach = Reach::checker(path)?;
    let conn = reach.connect()?;
    logbook::configure(&conn, false)?;
    schema::check(&conn, path)?;
    // One state of the file, whatever a writer does meanwhile.
    conn.execute_batch("BEGIN")?;
    let mut report = verify_with(&conn, path, wanted.as_ref(), findings, progress)?;
    if is_compared && let Some(report) = &mut report {
        backups::check(&conn, report);
    }
    Ok(report)
}

fn verify_with(
    conn: &Connection,
    path: &Path,
    wanted: Option<&anchor::Anchor>,
    mut findings: Vec<Finding>,
    progress: Progress<'_>,
) -> Result<Option<Report>> {
    let count: Option<i64> = conn
        .query_row("SELECT count(*) FROM event", [], |row| row.get(0))
        .ok();
    let total = count.unwrap_or(0);
    if !progress(0, 2 * total) {
        return Ok(None);
    }
    let mut checked = vec![
        "The database is whole: every page, index and reference between tables.".to_owned(),
        "Tables and triggers are those of this format; the triggers that refuse to change or delete an event stand."
            .to_owned(),
    ];
    findings.extend(tables::database(conn));
    findings.extend(tables::objects(conn)?);

    let Some(chain) = chain::check(conn, &mut |done| progress(done, 2 * total)) else {
        return Ok(None);
    };
    checked.push(format!(
        "{} events in {} chains: numbered without holes, each naming the hash of the one before, each hash recomputed.",
        chain.events,
        chain.origins.len()
    ));
    checked.push("Each event's text agrees with its columns, is of a kind this program reads, and has no decimals.".into());

    let mut after = |done: i64| progress(total + done, 2 * total);
    let Some(derived) = tables::derived(conn, &mut after)? else {
        return Ok(None);
    };
    checked.push("Every derived table is what the events give, row by row.".into());

    match files::check(conn, path) {
        Ok((found, words)) => {
            findings.extend(found);
            checked.push(words);
        }
        Err(e) => findings.push(Finding::of_file(format!(
            "the attachments cannot be read: {e}"
        ))),
    }
    checked.push(tables::conflicts(conn));
    findings.extend(tables::settings(conn, &chain));
    if let Some(wanted) = wanted {
        match wanted.check(&chain) {
            Ok(confirmed) => checked.push(confirmed),
            Err(finding) => findings.push(finding),
        }
    }
    let heads = chain.heads();
    findings.extend(chain.findings);
    findings.extend(derived);
    Ok(Some(Report {
        path: path.into(),
        events: chain.events,
        heads,
        findings,
        checked,
        limits: LIMITS.map(str::to_owned).into(),
    }))
}
