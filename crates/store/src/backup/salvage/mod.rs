//! What can be saved from a damaged logbook, into a new one. The damaged file is read and left as it is.
//!
//! - `read`: every event that can still be read, through SQLite and past it.
//! - `carve`: the pages of the file one by one, where SQLite finds no way.
//! - `build`: the new logbook.
//!
//! An event counts only if its hash fits its content. Of each origin the events from the first on are kept, each
//! naming the hash of the one before: what comes after a hole may be authentic, but nobody can prove what was before.

mod build;
mod carve;
mod read;

use std::path::{Path, PathBuf};

pub(super) use read::read_events;

use super::copy::{WHOLE, share};
use super::restore::{publish, reserve};
use crate::error::{Result, StoreError};
use crate::event::{Event, NO_HASH};
use crate::id::Origin;
use crate::verify::{Finding, Progress, verify_alone};
use read::Events;

/// A logbook made of what could be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Salvaged {
    /// The new file.
    pub path: PathBuf,
    /// Number of events in it.
    pub events: i64,
    /// What became of each origin, the one that wrote last in the end.
    pub chains: Vec<Chain>,
    /// Rows of the damaged file that are no events any more. Rows on pages that cannot be read are not among them.
    pub unreadable_rows: i64,
    /// Unsigned sheets that came over.
    pub drafts: i64,
    /// What `verify` has against the new file: a chain that goes on from one that was cut, a person who is lost.
    pub findings: Vec<Finding>,
}

/// What became of one origin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chain {
    /// Which.
    pub origin: Origin,
    /// Events 1 to this one are in the new file; 0 where none is.
    pub kept_to: i64,
    /// The last event of which anything could be read; there may have been later ones.
    pub seen_to: i64,
    /// So many events were read but not kept, since one before them is lost or what they name is.
    pub left_out: i64,
    /// Why the chain stops before what was seen.
    pub why: Option<String>,
}

/// The events of one origin that are kept, oldest first, and what is told of it.
struct Prefix {
    events: Vec<Event>,
    told: Chain,
}

impl Prefix {
    /// Cuts it before `seq`.
    fn cut(&mut self, seq: i64, why: String) {
        let keep = usize::try_from(seq - 1).unwrap_or(0);
        self.told.left_out += self.events.len().saturating_sub(keep) as i64;
        self.events.truncate(keep);
        self.told.kept_to = self.events.len() as i64;
        self.told.why = Some(why);
    }
}

/// Reads what can be read of `damaged`, and writes the longest clean prefix of each origin into the new logbook
/// `to`. None where `progress` stopped it; then no file was made.
///
/// Whoever writes in it goes on as an origin of their own that names where the salvaged chain ends (record format 6).
///
/// # Errors
/// `Damaged` where no event at all can be read. `Exists` where `to` or the unfinished work of it is there.
pub fn salvage(damaged: &Path, to: &Path, progress: Progress<'_>) -> Result<Option<Salvaged>> {
    if !damaged.is_file() {
        return Err(StoreError::NotFound {
            path: damaged.into(),
        });
    }
    let part = reserve(to)?;
    let Some(events) = read_events(damaged, &mut share(progress, 0, 400))? else {
        return Ok(None);
    };
    let mut prefixes = prefixes(&events);
    let mut building = share(progress, 400, 700);
    let drafts = build::build(part.path(), &mut prefixes, &events, &mut building)?;
    let Some(drafts) = drafts else {
        return Ok(None);
    };
    drop(building);
    build::take_attachments(damaged, part.path());
    let kept: i64 = prefixes.iter().map(|prefix| prefix.told.kept_to).sum();
    if kept == 0 {
        return Err(StoreError::Damaged {
            path: damaged.into(),
            why: "no event can be read from its first on".into(),
        });
    }
    let report = verify_alone(part.path(), &mut share(progress, 700, WHOLE))?;
    let Some(report) = report else {
        return Ok(None);
    };
    publish(part, to)?;
    Ok(Some(Salvaged {
        path: to.into(),
        events: kept,
        chains: prefixes.into_iter().map(|prefix| prefix.told).collect(),
        unreadable_rows: events.unreadable_rows(),
        drafts,
        findings: report.findings,
    }))
}

/// The longest clean prefix of each origin, in the order of arrival of their last events.
fn prefixes(events: &Events) -> Vec<Prefix> {
    let mut prefixes: Vec<Prefix> = events.origins().map(|o| prefix(events, o)).collect();
    prefixes.sort_by_key(|prefix| prefix.events.last().map(|event| event.no));
    prefixes
}

fn prefix(events: &Events, origin: Origin) -> Prefix {
    let mut kept: Vec<Event> = Vec::new();
    loop {
        let before = kept.last().map_or(NO_HASH, |event| event.hash);
        let seq = kept.len() as i64 + 1;
        // Of several that fit, which takes a page that was in use before, the one that the next event names.
        let fitting = |event: &&Event| event.prev_hash == before;
        let mut fit = events.at(origin, seq).iter().filter(fitting);
        let after = events.at(origin, seq + 1);
        let named = fit
            .clone()
            .find(|event| after.iter().any(|next| next.prev_hash == event.hash));
        match named.or_else(|| fit.next()) {
            Some(event) => kept.push(event.clone()),
            None => break,
        }
    }
    let (seen_to, read) = events.seen(origin);
    let kept_to = kept.len() as i64;
    let why = (kept_to < seen_to).then(|| {
        if events.at(origin, kept_to + 1).is_empty() {
            format!("event {} cannot be read", kept_to + 1)
        } else {
            format!("event {} does not follow on the one before", kept_to + 1)
        }
    });
    Prefix {
        told: Chain {
            origin,
            kept_to,
            seen_to,
            left_out: read - kept_to,
            why,
        },
        events: kept,
    }
}
