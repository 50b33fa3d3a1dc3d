//! Writing events: one after the other into the chain of this copy, checked and applied in the same transaction.

use rusqlite::{Connection, OptionalExtension, Transaction, params};

use crate::error::{Result, StoreError};
use crate::event::{Event, Hash, NO_HASH};
use crate::id::{EventId, Origin, Ref, ThingNo, hex};
use crate::logbook::{NewEvent, Signed, get, plant, set};
use crate::payload::{LogbookStarted, Payload, Previous};
use crate::people::Signer;
use crate::time::Stamp;
use crate::{rules, state};

/// Appends events inside a transaction.
pub(crate) fn write_events(
    tx: &Transaction<'_>,
    origin: Origin,
    events: &[NewEvent],
    signer: Option<&Signer>,
    entered: Stamp,
) -> Result<Vec<Signed>> {
    write_told(tx, origin, events, (signer, entered), &mut |_, _| true)
}

/// As [`write_events`]; `progress` is told events written and events in all, and stops the work by answering false: it
/// is then an error, and the caller's transaction is rolled back.
pub(crate) fn write_told(
    tx: &Transaction<'_>,
    origin: Origin,
    events: &[NewEvent],
    (signer, entered): (Option<&Signer>, Stamp),
    progress: &mut dyn FnMut(i64, i64) -> bool,
) -> Result<Vec<Signed>> {
    // Entry times are kept to the second and read back so; another precision would not hash the same again.
    let entered = Stamp::second(entered.ms, entered.offset_min);
    let mut signed = Vec::with_capacity(events.len());
    let mut late = None;
    let mut amended = Vec::new();
    let is_calm = state::is_calm(tx)?;
    let all = i64::try_from(events.len()).unwrap_or(i64::MAX);
    for (done, new) in (0..).zip(events) {
        if done % 20 == 0 && !progress(done, all) {
            return Err(StoreError::Refused("it was stopped".into()));
        }
        let at = new.at.as_of(entered);
        let settled = (at != new.at).then(|| NewEvent {
            at,
            payload: new.payload.clone(),
        });
        let new = settled.as_ref().unwrap_or(new);
        rules::check(tx, origin, new, signer, entered)?;
        if let Payload::Amendment(p) = &new.payload {
            let target = state::find_event(tx, &p.event, origin)?;
            amended.extend(conflict_of(tx, target.0)?.is_none().then_some(target));
        }
        let newest = newest(tx, &new.payload)?;
        let event = insert(tx, origin, new, signer.map(|s| s.id), entered)?;
        let its_ms = if is_register(&new.payload) {
            event.entered.ms
        } else {
            event.at.ms
        };
        let in_order = newest.is_none_or(|newest| newest < (its_ms, event.id.origin, event.id.seq));
        // The words of a conflict hold codes of the register.
        let rewords = matches!(&new.payload, Payload::RegisterChange(p) if p.thing.is_some())
            && has_conflict(tx)?;
        let is_free = is_calm && state::is_order_free(&new.payload);
        // It may settle what a campaign of the days before bears as a conflict.
        let looks_back = !is_calm && state::looks_back(&new.payload, at.precision);
        if !rewords && !looks_back && !state::is_about_all(&new.payload) && (in_order || is_free) {
            state::apply(tx, &event, &new.payload)?;
            fits(tx, origin, event.no, &new.payload)?;
        } else {
            let again =
                if is_calm && !is_register(&new.payload) && touches_moves_only(tx, origin, new)? {
                    Again::Moves
                } else {
                    Again::All
                };
            late = late.max(Some(again));
        }
        signed.push(Signed {
            no: event.no,
            id: event.id,
            hash: event.hash,
        });
    }
    if let Some(again) = late {
        match again {
            Again::Moves => state::rebuild_moves(tx)?,
            Again::All => state::rebuild(tx, &mut |_, _| true).map(drop)?,
        }
        for (signed, new) in signed.iter().zip(events) {
            fits(tx, origin, signed.no, &new.payload)?;
        }
    }
    for target in amended {
        let event = state::event(tx, target)?;
        if let Some(payload) = state::what_counts(tx, &event)? {
            fits(tx, event.id.origin, event.no, &payload)?;
        }
    }
    Ok(signed)
}

/// True where an event says nothing about the register, about campaigns, or about what is noted beside the moves.
fn touches_moves_only(tx: &Transaction<'_>, own: Origin, new: &NewEvent) -> Result<bool> {
    let Payload::Amendment(p) = &new.payload else {
        return Ok(!state::is_about_all(&new.payload));
    };
    let target = state::find_event(tx, &p.event, own)?;
    let sql = format!(
        "SELECT kind NOT IN ({}, 'campaign') FROM event WHERE no = ?1",
        state::KINDS_APART
    );
    Ok(tx.query_row(&sql, [target.0], |row| row.get(0))?)
}

fn conflict_of(tx: &Transaction<'_>, event: i64) -> Result<Option<String>> {
    let sql = "SELECT what FROM conflict WHERE event = ?1 ORDER BY rowid LIMIT 1";
    let what = tx.prepare_cached(sql)?.query_row([event], |row| row.get(0));
    Ok(what.optional()?)
}

fn has_conflict(tx: &Transaction<'_>) -> Result<bool> {
    let sql = "SELECT EXISTS (SELECT 1 FROM conflict)";
    Ok(tx.prepare_cached(sql)?.query_row([], |row| row.get(0))?)
}

/// How much is derived anew because of late events.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Again {
    /// What moves and sheets make; the register and the campaigns, nine tenths of all events, stay.
    Moves,
    /// Everything.
    All,
}

fn is_register(payload: &Payload) -> bool {
    matches!(payload, Payload::RegisterChange(_))
}

/// The newest event in the order that a payload is derived in. What may come at any time makes nothing late.
fn newest(tx: &Transaction<'_>, payload: &Payload) -> Result<Option<(i64, Origin, i64)>> {
    let sql = if is_register(payload) {
        "SELECT entered_ms, origin, seq FROM event WHERE kind = 'register_change'
         ORDER BY entered_ms DESC, origin DESC, seq DESC LIMIT 1"
            .to_owned()
    } else {
        format!(
            "SELECT at_ms, origin, seq FROM event WHERE kind NOT IN ({})
             ORDER BY at_ms DESC, origin DESC, seq DESC LIMIT 1",
            state::KINDS_APART
        )
    };
    let newest = tx.prepare_cached(&sql)?.query_row([], |row| {
        Ok((row.get(0)?, Origin(row.get(1)?), row.get(2)?))
    });
    Ok(newest.optional()?)
}

/// Refuses an event that cannot be true beside what was known of its day. What it makes untrue of later days is
/// kept and listed as a conflict of those.
fn fits(tx: &Transaction<'_>, own: Origin, event: i64, payload: &Payload) -> Result<()> {
    match conflict_of(tx, event)? {
        Some(what) => Err(StoreError::Refused(what)),
        None => rules::goes_together(tx, own, event, payload),
    }
}

/// The origin to write with: this file's own, or a fresh one where the file has been copied or restored.
pub(crate) fn settle(
    tx: &Transaction<'_>,
    home: &str,
    fresh: Origin,
    now: Stamp,
    program: &str,
) -> Result<Origin> {
    let text = get(tx, "origin")?.unwrap_or_default();
    let own = Origin::parse(&text)
        .ok_or_else(|| StoreError::input("logbook", "it does not name its origin"))?;
    if get(tx, "home")?.as_deref() == Some(home) {
        return Ok(own);
    }
    let previous = head(tx, own)?.map(|(id, hash)| Previous {
        origin: own.hex(),
        seq: id.seq,
        head: hex(&hash),
    });
    let plant = plant(tx)?;
    let started = Payload::LogbookStarted(LogbookStarted {
        plant,
        program: program.into(),
        previous,
    });
    insert(
        tx,
        fresh,
        &NewEvent {
            at: now,
            payload: started,
        },
        None,
        now,
    )?;
    set(tx, "origin", &fresh.hex())?;
    set(tx, "home", home)?;
    Ok(fresh)
}

/// Last event of an origin.
pub(crate) fn head(conn: &Connection, origin: Origin) -> Result<Option<(EventId, Hash)>> {
    let mut stmt = conn.prepare_cached(
        "SELECT seq, hash FROM event WHERE origin = ?1 ORDER BY seq DESC LIMIT 1",
    )?;
    let head = stmt.query_row([origin.0], |row| {
        Ok((
            EventId {
                origin,
                seq: row.get(0)?,
            },
            row.get(1)?,
        ))
    });
    Ok(head.optional()?)
}

pub(crate) fn insert(
    tx: &Transaction<'_>,
    origin: Origin,
    new: &NewEvent,
    person: Option<EventId>,
    entered: Stamp,
) -> Result<Event> {
    let (seq, prev_hash) = head(tx, origin)?.map_or((1, NO_HASH), |(id, hash)| (id.seq + 1, hash));
    let (kind, payload) = new.payload.write()?;
    let mut event = Event {
        no: 0,
        id: EventId { origin, seq },
        kind,
        kind_version: crate::payload::KIND_VERSION,
        at: new.at,
        entered,
        person,
        payload,
        prev_hash,
        hash: NO_HASH,
    };
    event.hash = event.expected_hash();
    keep(tx, &event)?;
    event.no = tx.last_insert_rowid();
    Ok(event)
}

/// Writes one event as it is.
pub(crate) fn keep(tx: &Transaction<'_>, event: &Event) -> Result<()> {
    let sql = "INSERT INTO event (origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, entered_ms,
                   entered_offset_min, person_origin, person_seq, payload, prev_hash, hash)
               VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)";
    tx.prepare_cached(sql)?.execute(params![
        event.id.origin.0,
        event.id.seq,
        event.kind,
        event.kind_version,
        event.at.ms,
        event.at.offset_min,
        event.at.precision.as_str(),
        event.entered.ms,
        event.entered.offset_min,
        event.person.map(|p| p.origin.0),
        event.person.map(|p| p.seq),
        event.payload,
        event.prev_hash,
        event.hash,
    ])?;
    Ok(())
}

/// Name of a thing as a payload of `own` gives it.
pub(crate) fn name_of(conn: &Connection, thing: ThingNo, own: Origin) -> Result<Ref> {
    Ok(Ref::new(event_id(conn, thing)?, own))
}

pub(crate) fn event_id(conn: &Connection, thing: ThingNo) -> Result<EventId> {
    let mut stmt = conn.prepare_cached("SELECT origin, seq FROM event WHERE no = ?1")?;
    Ok(stmt.query_row([thing.0], |row| {
        Ok(EventId {
            origin: Origin(row.get(0)?),
            seq: row.get(1)?,
        })
    })?)
}
