//! The new logbook: the kept events, everything that follows from them, and the unsigned sheets.

use std::path::Path;

use rusqlite::{
    Connection, ErrorCode, Transaction, TransactionBehavior, named_params, params_from_iter,
};

use super::Prefix;
use super::read::Events;
use crate::error::{Result, StoreError};
use crate::event::Event;
use crate::id::EventId;
use crate::logbook::{configure, set};
use crate::{schema, state};

/// Writes the file. Where an event names one that is lost, its chain is cut before it. Answers how many unsigned
/// sheets came over; None where `progress` stopped it.
pub(super) fn build(
    path: &Path,
    prefixes: &mut [Prefix],
    read: &Events,
    progress: &mut dyn FnMut(i64, i64) -> bool,
) -> Result<Option<i64>> {
    let mut conn = Connection::open(path)?;
    configure(&conn, false)?;
    // Waited for once, before the file gets its name.
    conn.pragma_update(None, "synchronous", "OFF")?;
    schema::create(&mut conn)?;
    // Each turn cuts at least one event off, so this ends.
    loop {
        let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let kept_numbers = write_events(&tx, prefixes)?;
        let mut at = None;
        match state::derive(&tx, progress, &mut at) {
            Ok(false) => return Ok(None),
            Ok(true) => {
                write_settings(&tx, prefixes, read)?;
                tx.commit()?;
                let drafts = if kept_numbers {
                    write_drafts(&mut conn, read)?
                } else {
                    0
                };
                conn.close().map_err(|(_, e)| e)?;
                return Ok(Some(drafts));
            }
            Err(e) => cut(prefixes, at, e)?,
        }
    }
}

/// Cuts the chain before an event that does not give a state; any other trouble is an error.
fn cut(prefixes: &mut [Prefix], at: Option<EventId>, e: StoreError) -> Result<()> {
    let is_of_event = match &e {
        StoreError::Sql(e) => e.sqlite_error_code() == Some(ErrorCode::ConstraintViolation),
        StoreError::Input { .. } | StoreError::Refused(_) | StoreError::Unknown { .. } => true,
        _ => false,
    };
    let found = at.and_then(|id| {
        let prefix = prefixes.iter_mut().find(|p| p.told.origin == id.origin)?;
        Some((id, prefix))
    });
    match found {
        Some((id, prefix)) if is_of_event && prefix.told.kept_to >= id.seq => {
            prefix.cut(id.seq, format!("event {} names what is lost: {e}", id.seq));
            Ok(())
        }
        _ => Err(e),
    }
}

/// The events in their order of arrival. True where each has the number that it had.
fn write_events(tx: &Transaction<'_>, prefixes: &[Prefix]) -> Result<bool> {
    let mut order: Vec<(i64, &Event)> = Vec::new();
    for prefix in prefixes {
        // The number is no part of what was signed: where damage changed it, the chain still tells the order.
        let mut highest = 0;
        for event in &prefix.events {
            highest = event.no.max(highest);
            order.push((highest, event));
        }
    }
    order.sort_by_key(|(no, event)| (*no, event.id));
    let is_kept = order.iter().all(|(no, event)| *no == event.no && *no >= 1)
        && order.windows(2).all(|pair| pair[0].0 < pair[1].0);
    let sql = "INSERT INTO event (no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms,
                   entered_offset_min, person_origin, person_seq, payload, prev_hash, hash)
               VALUES (:no, :origin, :seq, :kind, :version, :at, :offset, :precision, :entered, :entered_offset,
                   :person_origin, :person_seq, :payload, :prev, :hash)";
    let mut insert = tx.prepare(sql)?;
    for (i, (no, event)) in order.into_iter().enumerate() {
        let no = if is_kept { no } else { i as i64 + 1 };
        insert.execute(named_params! {
            ":no": no, ":origin": event.id.origin.0, ":seq": event.id.seq, ":kind": event.kind,
            ":version": event.kind_version, ":at": event.at.ms, ":offset": event.at.offset_min,
            ":precision": event.at.precision.as_str(), ":entered": event.entered.ms,
            ":entered_offset": event.entered.offset_min, ":person_origin": event.person.map(|p| p.origin.0),
            ":person_seq": event.person.map(|p| p.seq), ":payload": event.payload, ":prev": event.prev_hash,
            ":hash": event.hash,
        })?;
    }
    Ok(is_kept)
}

/// The origin that wrote last, and the folder for backups. No home: whoever writes starts an origin of their own.
fn write_settings(tx: &Transaction<'_>, prefixes: &[Prefix], read: &Events) -> Result<()> {
    for (name, value) in &read.settings {
        set(tx, name, value)?;
    }
    set(tx, "min_reader", &schema::FORMAT.to_string())?;
    let kept = |prefix: &&Prefix| !prefix.events.is_empty();
    let named = read.settings.iter().find(|(name, _)| *name == "origin");
    let is_here = |text: &str| {
        let mut kept = prefixes.iter().filter(kept);
        kept.any(|prefix| prefix.told.origin.hex() == text)
    };
    if !named.is_some_and(|(_, text)| is_here(text))
        && let Some(last) = prefixes.iter().rfind(kept)
    {
        set(tx, "origin", &last.told.origin.hex())?;
    }
    Ok(())
}

/// The unsigned sheets, as far as their rows are sound. They name people by number, so they come over only where the
/// numbers do.
///
/// In a transaction of their own: the one that derives the state looks at references at its end only, and one row
/// without its sheet would then take everything with it.
fn write_drafts(conn: &mut Connection, read: &Events) -> Result<i64> {
    let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
    for (table, rows) in &read.drafts {
        for row in rows {
            let marks = vec!["?"; row.len()].join(", ");
            let values = params_from_iter(row.iter().cloned());
            match tx.execute(&format!("INSERT INTO {table} VALUES ({marks})"), values) {
                // A row that damage made impossible is lost; the others are not.
                Err(e) if e.sqlite_error_code() != Some(ErrorCode::DiskFull) => {}
                done => drop(done?),
            }
        }
    }
    let count = tx.query_row("SELECT count(*) FROM draft", [], |row| row.get(0))?;
    tx.commit()?;
    Ok(count)
}

/// Pictures and papers, as far as SQLite still finds them and they fit their hash; `verify` names what is missing.
pub(super) fn take_attachments(damaged: &Path, to: &Path) {
    let taken = || -> Result<()> {
        let from = crate::reach::Reach::apart(damaged)?.connect()?;
        let to = Connection::open(to)?;
        crate::logbook::configure(&to, false)?;
        crate::attachment::take_over(&from, &to)
    };
    // What cannot be read is lost; everything else of the new file stands already.
    let _as_far_as_it_goes = taken();
}
