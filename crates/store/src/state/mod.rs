//! Derived state: what follows from the events. A total function: events that cannot all be true give a state and
//! a list of conflicts. Nothing here calls a calculation; verdicts and results stand in the signed payloads.
//!
//! Order: things are registered in the order (entry time, origin, seq); everything else happens in the order (event
//! time, origin, seq), the campaigns after the moves. Both are the same in every copy. An event that arrives in that order is applied at once; after a
//! late one the moves are derived anew, and only after one that changes what earlier events mean everything is.

mod copies;
mod corrections;
mod found;
mod halves;
mod known;
mod moves;
mod notes;
mod places;
mod register;
mod returns;
mod sheets;
mod whereabouts;

pub(crate) use corrections::changed;

use rusqlite::{Connection, OptionalExtension, Row, Transaction, named_params, params};

use crate::error::{Result, StoreError};
use crate::event::{Event, Hash};
use crate::id::{EventId, Origin, Ref, ThingNo};
use crate::payload::Payload;
use crate::schema;
use crate::time::{Precision, Stamp};

/// Columns of an event in the order that [`event_from_row`] names.
pub(crate) const EVENT_COLUMNS: &str = "no, origin, seq, kind, kind_version, at_ms, at_offset_min, at_precision, \
    entered_ms, entered_offset_min, person_origin, person_seq, payload, prev_hash, hash";

/// [`EVENT_COLUMNS`] of the table that a query calls so.
pub(crate) fn event_columns(alias: &str) -> String {
    let columns = EVENT_COLUMNS.split(", ");
    let named: Vec<String> = columns.map(|c| format!("{alias}.{}", c.trim())).collect();
    named.join(", ")
}

/// Reads one event row.
pub(crate) fn event_from_row(row: &Row<'_>) -> rusqlite::Result<Event> {
    let precision: String = row.get("at_precision")?;
    let person_origin: Option<[u8; 16]> = row.get("person_origin")?;
    let person_seq: Option<i64> = row.get("person_seq")?;
    Ok(Event {
        no: row.get("no")?,
        id: EventId {
            origin: Origin(row.get("origin")?),
            seq: row.get("seq")?,
        },
        kind: row.get("kind")?,
        kind_version: row.get("kind_version")?,
        at: Stamp {
            ms: row.get("at_ms")?,
            offset_min: row.get("at_offset_min")?,
            precision: Precision::parse(&precision).unwrap_or(Precision::Second),
        },
        entered: Stamp::second(row.get("entered_ms")?, row.get("entered_offset_min")?),
        person: person_origin.zip(person_seq).map(|(origin, seq)| EventId {
            origin: Origin(origin),
            seq,
        }),
        payload: row.get("payload")?,
        prev_hash: row.get::<_, Hash>("prev_hash")?,
        hash: row.get::<_, Hash>("hash")?,
    })
}

/// One event while it is applied.
pub(crate) struct Applying<'a> {
    conn: &'a Connection,
    event: &'a Event,
}

impl Applying<'_> {
    /// The number here of an event that the payload names, noting that this event concerns it.
    fn thing(&self, name: &Ref) -> Result<ThingNo> {
        let thing = find(self.conn, name, self.event.id.origin)?;
        self.note_thing(thing)?;
        Ok(thing)
    }

    /// Notes that this event concerns a thing.
    fn note_thing(&self, thing: ThingNo) -> Result<()> {
        let mut stmt = self.conn.prepare_cached(
            "INSERT OR IGNORE INTO thing_event (thing, event) SELECT no, ?2 FROM thing WHERE no = ?1",
        )?;
        stmt.execute(params![thing.0, self.event.no])?;
        Ok(())
    }

    fn thing_opt(&self, name: Option<&Ref>) -> Result<Option<ThingNo>> {
        name.map(|name| self.thing(name)).transpose()
    }

    fn conflict(&self, what: &str) -> Result<()> {
        let sql = "INSERT INTO conflict (event, what) VALUES (?1, ?2)";
        self.conn
            .prepare_cached(sql)?
            .execute(params![self.event.no, what])?;
        Ok(())
    }
}

/// The number here of the thing named by a payload of `own`, under the entry that it goes on as.
pub(crate) fn find(conn: &Connection, name: &Ref, own: Origin) -> Result<ThingNo> {
    copies::kept(conn, find_event(conn, name, own)?)
}

/// The number here of the event named by a payload of `own`.
pub(crate) fn find_event(conn: &Connection, name: &Ref, own: Origin) -> Result<ThingNo> {
    let broken = || {
        StoreError::input(
            "event",
            format!("it names an event that is not here: {name:?}"),
        )
    };
    let id = name.resolve(own).ok_or_else(broken)?;
    let mut stmt = conn.prepare_cached("SELECT no FROM event WHERE origin = ?1 AND seq = ?2")?;
    let no: Option<i64> = stmt
        .query_row(params![id.origin.0, id.seq], |row| row.get(0))
        .optional()?;
    no.map(ThingNo).ok_or_else(broken)
}

/// One event by its number here.
pub(crate) fn event(conn: &Connection, no: ThingNo) -> Result<Event> {
    let sql = format!("SELECT {EVENT_COLUMNS} FROM event WHERE no = ?1");
    Ok(conn
        .prepare_cached(&sql)?
        .query_row([no.0], event_from_row)?)
}

/// What an event says as it counts now: with its amendments; nothing where it was withdrawn.
pub(crate) fn what_counts(conn: &Connection, event: &Event) -> Result<Option<Payload>> {
    let sql = "SELECT payload FROM effective WHERE event = ?1";
    let now: Option<Option<String>> = conn
        .prepare_cached(sql)?
        .query_row([event.no], |row| row.get(0))
        .optional()?;
    let text = match &now {
        None => Some(&event.payload),
        Some(text) => text.as_ref(),
    };
    text.map(|text| Payload::read(&event.kind, event.kind_version, text))
        .transpose()
}

/// Applies one event to the derived tables.
pub(crate) fn apply(conn: &Connection, event: &Event, payload: &Payload) -> Result<()> {
    let on = Applying { conn, event };
    match payload {
        Payload::RegisterChange(change) => on.register_change(change),
        Payload::Received(p) => on.received(p),
        Payload::InspectedAtReceipt(p) => on.inspected_at_receipt(p),
        Payload::Assembled(p) => on.assembled(p),
        Payload::TakenOut(p) => on.taken_out(p),
        Payload::FoundHere(p) => on.found_here(p),
        Payload::Mounted(p) => on.mounted(p),
        Payload::MountingSheet(p) => on.mounting_sheet(p),
        Payload::Dismounted(p) => on.dismounted(p),
        Payload::Campaign(p) => on.campaign(p),
        Payload::TeardownSheet(p) => on.teardown_sheet(p),
        Payload::Paired(p) => on.paired(p),
        Payload::Unpaired(p) => on.unpaired(p),
        Payload::SpacersReground(p) => on.spacers_reground(p),
        Payload::ZoneTurned(p) => on.zone_turned(p),
        Payload::Greased(p) => on.greased(p),
        Payload::SentOut(p) => on.sent_out(p),
        Payload::Returned(p) => on.returned(p),
        Payload::Hold(p) => on.hold(p),
        Payload::Released(p) => on.released(p),
        Payload::DeviationAccepted(p) => on.thing(&p.thing).map(drop),
        Payload::MillJob(p) => on.thing(&p.position).map(drop),
        Payload::GaugeCalibrated(p) => on.gauge_calibrated(p),
        Payload::Scrapped(p) => on.scrapped(p),
        Payload::ConditionReading(p) => on.condition_reading(p),
        Payload::MillIncident(p) => on.mill_incident(p),
        Payload::Extension(p) => on.extension(p),
        Payload::TeardownPlanned(p) => on.teardown_planned(p),
        Payload::BatchBlocked(p) => on.batch_blocked(p),
        Payload::Cost(p) => on.cost(p),
        Payload::PositionWork(p) => on.thing(&p.position).map(drop),
        Payload::GaugeFoundOut(p) => on.gauge_found_out(p),
        Payload::Attached(p) => on.attached(p),
        Payload::Amendment(p) => on.amendment(p),
        Payload::Countersigned(p) => on.countersigned(p),
        Payload::SheetReopened(p) => on.sheet_reopened(p),
        Payload::LogbookStarted(_) | Payload::Merged(_) | Payload::ImportBatch(_) => Ok(()),
        Payload::ThingsJoined(p) => on.things_joined(p),
        Payload::ConflictResolved(p) => on.conflict_resolved(p),
        Payload::SeatCheck(p) => on.seat_check(p),
    }
}

/// Applies an event as it counts: as it was written, or as it was amended.
fn apply_what_counts(
    conn: &Connection,
    event: &Event,
    effective: &corrections::Effective,
) -> Result<()> {
    if let Some(now) = effective.get(&event.no) {
        return corrections::apply_amended(conn, event, now.as_deref());
    }
    let payload = Payload::read(&event.kind, event.kind_version, &event.payload)?;
    apply(conn, event, &payload)
}

/// True where an event of this kind may be applied out of its order without changing what came after it.
pub(crate) fn is_order_free(payload: &Payload) -> bool {
    matches!(
        payload,
        Payload::LogbookStarted(_)
            | Payload::Campaign(_)
            | Payload::DeviationAccepted(_)
            | Payload::MillJob(_)
            | Payload::GaugeCalibrated(_)
            | Payload::ConditionReading(_)
            | Payload::MillIncident(_)
            | Payload::Extension(_)
            | Payload::TeardownPlanned(_)
            | Payload::BatchBlocked(_)
            | Payload::Cost(_)
            | Payload::Greased(_)
            | Payload::PositionWork(_)
            | Payload::GaugeFoundOut(_)
            | Payload::Attached(_)
            | Payload::ImportBatch(_)
            | Payload::Merged(_)
    )
}

/// True where an event of this kind changes what earlier ones mean, so that everything is derived anew.
pub(crate) fn is_about_all(payload: &Payload) -> bool {
    matches!(payload, Payload::ThingsJoined(_) | Payload::Amendment(_))
}

/// True where an event says until when a thing was surely where it was before, and that is earlier than the event.
pub(crate) fn looks_back(payload: &Payload, precision: Precision) -> bool {
    let moves = !is_order_free(payload) && !matches!(payload, Payload::RegisterChange(_));
    moves && (precision == Precision::Day || matches!(payload, Payload::FoundHere(_)))
}

/// Kinds that neither change nor are changed by what else happens, so that nothing is late because of them. For SQL.
pub(crate) const KINDS_APART: &str = "'logbook_started', 'register_change', 'deviation_accepted', 'mill_job', 'gauge_calibrated', 'condition_reading', 'mill_incident', 'extension', 'teardown_planned', 'batch_blocked', 'cost', 'greased', 'position_work', 'gauge_found_out', 'attached', 'import_batch', 'merged', 'things_joined'";

/// True where no campaign bears a conflict. Then campaigns can be taken in any order, and moves without them: a
/// campaign moves nothing, and what it adds to a stay is a sum.
pub(crate) fn is_calm(conn: &Connection) -> Result<bool> {
    let sql = "SELECT NOT EXISTS (SELECT 1 FROM conflict c CROSS JOIN event e ON e.no = c.event WHERE e.kind = 'campaign')";
    Ok(conn.prepare_cached(sql)?.query_row([], |row| row.get(0))?)
}

/// Derives anew what moves and sheets make, after a late one in a calm state; the register and the campaigns stay as
/// they are, and the sums of the stays are formed again from the runs.
pub(crate) fn rebuild_moves(tx: &Transaction<'_>) -> Result<()> {
    tx.pragma_update(None, "defer_foreign_keys", true)?;
    tx.execute_batch(
        "DELETE FROM conflict WHERE event NOT IN (SELECT no FROM event WHERE kind = 'register_change');
         UPDATE conflict SET resolved_event = NULL;
         DELETE FROM document WHERE event IN (SELECT event FROM sheet);
         DELETE FROM finding; DELETE FROM verdict; DELETE FROM outcome; DELETE FROM reading; DELETE FROM sheet_mark;
         DELETE FROM sheet; DELETE FROM baseline; DELETE FROM pair; DELETE FROM lost; DELETE FROM stay; DELETE FROM hold;
         DELETE FROM whereabouts; DELETE FROM place;",
    )?;
    let effective = corrections::amend_all(tx)?;
    let moves = format!("kind NOT IN ({KINDS_APART}, 'campaign')");
    tx.execute_batch(&format!(
        "DELETE FROM thing_event WHERE event IN (SELECT no FROM event WHERE {moves})"
    ))?;
    let sql = format!(
        "SELECT {EVENT_COLUMNS} FROM event WHERE {moves} ORDER BY kind = 'conflict_resolved', at_ms, origin, seq"
    );
    let mut stmt = tx.prepare(&sql)?;
    let mut rows = stmt.query([])?;
    while let Some(row) = rows.next()? {
        apply_what_counts(tx, &event_from_row(row)?, &effective)?;
    }
    tx.execute_batch(
        "UPDATE stay SET (run_s, rolled_kg, campaigns, has_estimate) =
           (SELECT coalesce(sum(r.run_s), 0), coalesce(sum(r.rolled_kg), 0), count(*),
              max(coalesce(max(r.is_estimate), 0),
                  EXISTS (SELECT 1 FROM lost l WHERE l.event = stay.to_event AND l.thing = stay.bearing))
            FROM run r WHERE r.chock = stay.chock AND r.from_ms >= stay.from_ms
              AND (stay.to_ms IS NULL OR r.from_ms < stay.to_ms))
           WHERE seat NOT LIKE 'neck%';
         UPDATE stay SET (run_s, rolled_kg, campaigns) =
           (SELECT coalesce(sum(r.run_s), 0), coalesce(sum(r.rolled_kg), 0), count(*)
            FROM run r JOIN position p ON p.no = r.position
            WHERE r.roll = stay.chock AND r.is_estimate = 0 AND 'neck_' || lower(p.side) = stay.seat
              AND r.from_ms >= stay.from_ms AND (stay.to_ms IS NULL OR r.from_ms < stay.to_ms))
           WHERE seat LIKE 'neck%'",
    )?;
    // A thing that turns out to have been scrapped before it ran, or elsewhere meanwhile: its campaigns bear that conflict.
    let ran_on: bool = tx.query_row(
        "SELECT EXISTS (SELECT 1 FROM place p JOIN event e ON e.no = p.since_event
           JOIN run r ON (r.chock = p.thing OR r.roll = p.thing) AND r.from_ms >= e.at_ms WHERE p.place = 'scrapped')",
        [],
        |row| row.get(0),
    )?;
    if ran_on || whereabouts::is_contradicted(tx)? {
        rebuild(tx, &mut |_, _| true)?;
    }
    Ok(())
}

/// Derives everything anew. `progress` is told events done and events in all, and stops the work by answering
/// false (the transaction is then rolled back by the caller).
pub(crate) fn rebuild(
    tx: &Transaction<'_>,
    progress: &mut dyn FnMut(i64, i64) -> bool,
) -> Result<bool> {
    derive(tx, progress, &mut None)
}

/// As [`rebuild`]; `at` is the event that was applied last, so that an error can be blamed on it.
pub(crate) fn derive(
    tx: &Transaction<'_>,
    progress: &mut dyn FnMut(i64, i64) -> bool,
    at: &mut Option<EventId>,
) -> Result<bool> {
    tx.pragma_update(None, "defer_foreign_keys", true)?;
    for table in schema::DERIVED {
        tx.execute_batch(&format!("DELETE FROM {table}"))?;
    }
    let total: i64 = tx.query_row("SELECT count(*) FROM event", [], |row| row.get(0))?;
    let mut done = 0;
    copies::join_all(tx)?;
    let effective = corrections::amend_all(tx)?;
    for pass in [
        "WHERE kind = 'register_change' ORDER BY entered_ms, origin, seq",
        "WHERE kind NOT IN ('register_change', 'logbook_started', 'campaign', 'conflict_resolved')
         ORDER BY at_ms, origin, seq",
        // Campaigns move nothing; where their things were is known once the moves are. A conflict is settled last.
        "WHERE kind IN ('campaign', 'conflict_resolved') ORDER BY at_ms, origin, seq",
    ] {
        let mut stmt = tx.prepare(&format!("SELECT {EVENT_COLUMNS} FROM event {pass}"))?;
        let mut rows = stmt.query([])?;
        while let Some(row) = rows.next()? {
            let event = event_from_row(row)?;
            *at = Some(event.id);
            apply_what_counts(tx, &event, &effective)?;
            done += 1;
            if done % 500 == 0 && !progress(done, total) {
                return Ok(false);
            }
        }
    }
    tx.execute(
        "UPDATE state SET value = :version WHERE name = 'state_version'",
        named_params! {":version": schema::STATE_VERSION},
    )?;
    progress(total, total);
    Ok(true)
}
