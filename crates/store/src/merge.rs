//! Taking in what another copy of the logbook has written (record format 6).

use std::collections::BTreeMap;
use std::path::Path;

use rusqlite::{Connection, OptionalExtension, Transaction, params};

use crate::append::{head, insert, keep};
use crate::error::{Result, StoreError};
use crate::event::{Hash, NO_HASH};
use crate::id::{EventId, Origin, hex};
use crate::logbook::{Logbook, NewEvent, configure};
use crate::payload::{Merged, Payload, Previous};
use crate::reach::Reach;
use crate::state::{EVENT_COLUMNS, event_from_row};
use crate::{schema, state};

/// What a merge brought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Brought {
    /// Events taken in.
    pub events: i64,
    /// The chains that they belong to, with the first and the last of each.
    pub origins: Vec<(Origin, i64, i64)>,
    /// Conflicts that are open now.
    pub conflicts: i64,
}

/// Takes in every event of another copy that is not here yet, unaltered, and derives everything anew. The other file is
/// only read. Nothing new there: nothing is written here. None where `progress` stopped it; then nothing has changed.
///
/// # Errors
/// Where the other file is no logbook, is damaged, or has another event under a name that is here already.
pub fn merge(
    logbook: &mut Logbook,
    other: &Path,
    progress: &mut dyn FnMut(i64, i64) -> bool,
) -> Result<Option<Brought>> {
    if !other.is_file() {
        return Err(StoreError::NotFound { path: other.into() });
    }
    schema::check_header(other)?;
    let reach = Reach::checker(other)?;
    let theirs = reach.connect()?;
    configure(&theirs, false)?;
    schema::check(&theirs, other)?;
    theirs.execute_batch("BEGIN")?;
    let done = logbook.transact(|tx, own, now| {
        let ends = common_ends(tx, &theirs, other)?;
        let origins = take_in(tx, &theirs, other, &ends)?;
        let events = origins
            .iter()
            .map(|(_, first, last)| last - first + 1)
            .sum();
        if events > 0 {
            crate::attachment::take_over(&theirs, tx)?;
            let heads = origins
                .iter()
                .map(|(origin, ..)| previous(tx, *origin))
                .collect::<Result<_>>()?;
            let payload = Payload::Merged(Merged { heads });
            insert(tx, own, &NewEvent { at: now, payload }, None, now)?;
            if !progress(0, events) || !state::rebuild(tx, progress)? {
                return Err(StoreError::Refused(STOPPED.into()));
            }
        }
        let sql = "SELECT count(DISTINCT event) FROM conflict WHERE resolved_event IS NULL";
        let conflicts = tx.query_row(sql, [], |row| row.get(0))?;
        Ok(Brought {
            events,
            origins,
            conflicts,
        })
    });
    match done {
        Ok(brought) => Ok(Some(brought)),
        Err(StoreError::Refused(why)) if why == STOPPED => Ok(None),
        Err(error) => Err(error),
    }
}

/// Says inside the transaction that it is to be rolled back.
const STOPPED: &str = "the merge was stopped";

fn refused(other: &Path, why: impl std::fmt::Display) -> StoreError {
    StoreError::Refused(format!(
        "{} cannot be merged: {why}. Nothing was changed; keep both files and run `chockbook verify` on each",
        other.display()
    ))
}

/// How far each chain of the other file is here already. One name for two events stops the merge.
fn common_ends(
    ours: &Connection,
    theirs: &Connection,
    other: &Path,
) -> Result<BTreeMap<Origin, i64>> {
    let mut stmt = theirs.prepare("SELECT origin, max(seq) FROM event GROUP BY origin")?;
    let rows = stmt.query_map([], |row| Ok((Origin(row.get(0)?), row.get::<_, i64>(1)?)))?;
    let mut ends = BTreeMap::new();
    for row in rows {
        let (origin, last) = row?;
        let here = head(ours, origin)?.map_or(0, |(id, _)| id.seq);
        let common = here.min(last);
        // A hash holds all before it: where the last common ones agree, all do.
        if common > 0 && hash_of(ours, origin, common)? != hash_of(theirs, origin, common)? {
            let mut seq = 1;
            while hash_of(ours, origin, seq)? == hash_of(theirs, origin, seq)? {
                seq += 1;
            }
            let id = EventId { origin, seq };
            return Err(refused(
                other,
                format!("two different events are called {id}, one in each file"),
            ));
        }
        ends.insert(origin, here);
    }
    Ok(ends)
}

fn hash_of(conn: &Connection, origin: Origin, seq: i64) -> Result<Option<Hash>> {
    let sql = "SELECT hash FROM event WHERE origin = ?1 AND seq = ?2";
    let hash = conn
        .prepare_cached(sql)?
        .query_row(params![origin.0, seq], |row| row.get(0));
    Ok(hash.optional()?)
}

/// Inserts what is missing in the order of its arrival there; each event is proven before it is kept.
fn take_in(
    tx: &Transaction<'_>,
    theirs: &Connection,
    other: &Path,
    ends: &BTreeMap<Origin, i64>,
) -> Result<Vec<(Origin, i64, i64)>> {
    let mut stmt = theirs.prepare(&format!("SELECT {EVENT_COLUMNS} FROM event ORDER BY no"))?;
    let mut rows = stmt.query([])?;
    let mut chains: BTreeMap<Origin, (i64, i64, Hash)> = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let event = event_from_row(row)?;
        let origin = event.id.origin;
        let here = ends.get(&origin).copied().unwrap_or(0);
        if event.id.seq <= here {
            continue;
        }
        let (first, last, hash) = match chains.get(&origin) {
            Some(chain) => *chain,
            None => (
                here + 1,
                here,
                hash_of(tx, origin, here)?.unwrap_or(NO_HASH),
            ),
        };
        let holds = event.id.seq == last + 1
            && event.prev_hash == hash
            && event.hash == event.expected_hash();
        if !holds {
            return Err(refused(
                other,
                format!("event {} is not what was signed", event.id),
            ));
        }
        Payload::read(&event.kind, event.kind_version, &event.payload)?;
        keep(tx, &event)?;
        chains.insert(origin, (first, event.id.seq, event.hash));
    }
    Ok(chains
        .into_iter()
        .map(|(origin, (first, last, _))| (origin, first, last))
        .collect())
}

fn previous(tx: &Connection, origin: Origin) -> Result<Previous> {
    let (id, hash) = head(tx, origin)?
        .ok_or_else(|| StoreError::input("merge", "a chain that was just taken in is not there"))?;
    Ok(Previous {
        origin: origin.hex(),
        seq: id.seq,
        head: hex(&hash),
    })
}
