//! The chain of each origin, event by event.

use std::collections::{BTreeMap, HashMap, HashSet};

use rusqlite::Connection;
use serde_json::Value;

use super::{Finding, Head};
use crate::event::{Event, Hash, NO_HASH, anchor};
use crate::id::{EventId, Origin, from_hex};
use crate::payload::{Payload, Previous, Record, RegisterChange, has_float};
use crate::state::{EVENT_COLUMNS, event_from_row};

/// What the events of a file say about themselves.
#[derive(Debug, Default)]
pub(super) struct Chain {
    /// Number of events read.
    pub events: i64,
    /// The origins in the order of arrival, each with its events' hashes.
    pub origins: BTreeMap<Origin, Links>,
    /// What does not hold.
    pub findings: Vec<Finding>,
}

/// The events of one origin.
#[derive(Debug, Default)]
pub(super) struct Links {
    /// Number of the first event in this file.
    first_no: i64,
    /// Hash of each event by seq, as recomputed.
    pub hashes: BTreeMap<i64, Hash>,
    /// The end of another chain that the first event names.
    pub previous: Option<Previous>,
    /// The first event where the chain does not hold.
    pub broken_at: Option<i64>,
}

impl Chain {
    /// The end of each chain, in the order of arrival.
    pub(super) fn heads(&self) -> Vec<Head> {
        let mut heads: Vec<(i64, Head)> = Vec::new();
        for (&origin, links) in &self.origins {
            if let Some((&seq, hash)) = links.hashes.last_key_value() {
                let anchor = anchor(EventId { origin, seq }, hash);
                heads.push((
                    links.first_no,
                    Head {
                        origin,
                        seq,
                        anchor,
                    },
                ));
            }
        }
        heads.sort_by_key(|(no, _)| *no);
        heads.into_iter().map(|(_, head)| head).collect()
    }

    fn finding(&mut self, event: &Event, what: impl Into<String>) {
        self.findings.push(Finding {
            event: Some(event.id),
            no: Some(event.no),
            what: what.into(),
        });
    }

    /// A finding after which nothing later in this chain is proven.
    fn broken(&mut self, event: &Event, what: impl Into<String>) {
        self.finding(event, what);
        let links = self.origins.entry(event.id.origin).or_default();
        links.broken_at = links.broken_at.or(Some(event.id.seq));
    }
}

/// Reads every event. None where `progress` stopped it.
pub(super) fn check(conn: &Connection, progress: &mut dyn FnMut(i64) -> bool) -> Option<Chain> {
    let mut chain = Chain::default();
    let mut people = HashSet::new();
    let mut signed: HashMap<EventId, EventId> = HashMap::new();
    match read(conn, &mut chain, &mut people, &mut signed, progress) {
        Ok(true) => {}
        Ok(false) => return None,
        Err(e) => chain.findings.push(Finding::of_file(format!(
            "the table of events cannot be read to its end: {e}"
        ))),
    }
    let mut strangers: Vec<_> = signed
        .into_iter()
        .filter(|(_, person)| !people.contains(person))
        .collect();
    strangers.sort_unstable();
    for (event, person) in strangers {
        let what = format!("it is signed by {person}, who is no person of this logbook");
        chain.findings.push(Finding {
            event: Some(event),
            no: None,
            what,
        });
    }
    check_previous(&mut chain);
    Some(chain)
}

fn read(
    conn: &Connection,
    chain: &mut Chain,
    people: &mut HashSet<EventId>,
    signed: &mut HashMap<EventId, EventId>,
    progress: &mut dyn FnMut(i64) -> bool,
) -> rusqlite::Result<bool> {
    let mut stmt = conn.prepare(&format!(
        "SELECT {EVENT_COLUMNS} FROM event ORDER BY origin, seq"
    ))?;
    let mut rows = stmt.query([])?;
    let mut before: Option<Event> = None;
    while let Some(row) = rows.next()? {
        chain.events += 1;
        if chain.events % 500 == 0 && !progress(chain.events) {
            return Ok(false);
        }
        let event = match event_from_row(row) {
            Ok(event) => event,
            Err(e) => {
                let no = row.get("no").ok();
                chain.findings.push(Finding {
                    event: None,
                    no,
                    what: format!("this row is no event: {e}"),
                });
                continue;
            }
        };
        if let Some(person) = event.person {
            signed.insert(event.id, person);
        }
        link(
            chain,
            before.as_ref().filter(|b| b.id.origin == event.id.origin),
            &event,
        );
        if let Some(payload) = content(chain, &event) {
            if is_person(&payload) {
                people.insert(event.id);
            }
            let is_start = matches!(payload, Payload::LogbookStarted(_));
            if is_start != (event.id.seq == 1) {
                chain.broken(
                    &event,
                    "the first event of a copy, and no other, says where it comes from",
                );
            }
            if let Payload::LogbookStarted(start) = payload {
                chain.origins.entry(event.id.origin).or_default().previous = start.previous;
            }
        }
        before = Some(event);
    }
    Ok(true)
}

/// The event's place in its chain, and its hash.
fn link(chain: &mut Chain, before: Option<&Event>, event: &Event) {
    let (seq, prev_hash) = before.map_or((1, NO_HASH), |b| (b.id.seq + 1, b.hash));
    let links = chain.origins.entry(event.id.origin).or_default();
    if before.is_none() {
        links.first_no = event.no;
    }
    links.first_no = links.first_no.min(event.no);
    let hash = event.expected_hash();
    links.hashes.insert(event.id.seq, hash);
    if event.id.seq != seq {
        let missing = if event.id.seq == seq + 1 {
            seq.to_string()
        } else {
            format!("{seq} to {}", event.id.seq - 1)
        };
        let what = format!(
            "event {missing} of {} is missing before it",
            event.id.origin.short()
        );
        chain.broken(event, what);
    } else if event.prev_hash != prev_hash {
        chain.broken(
            event,
            "it does not follow on the event before it: one of the two was exchanged or altered",
        );
    }
    if event.hash != hash {
        chain.broken(
            event,
            "it is not what was signed: its hash does not fit its content",
        );
    }
}

/// The payload against its columns.
fn content(chain: &mut Chain, event: &Event) -> Option<Payload> {
    let value: Value = match serde_json::from_str(&event.payload) {
        Ok(value) => value,
        Err(e) => {
            chain.finding(event, format!("its payload is no JSON: {e}"));
            return None;
        }
    };
    if value["kind"].as_str() != Some(&event.kind)
        || value["kind_version"].as_i64() != Some(event.kind_version)
    {
        chain.finding(
            event,
            format!(
                "its payload is of another kind or version than its row ({})",
                event.kind
            ),
        );
    }
    if has_float(&value) {
        chain.finding(event, "its payload has a number with decimals");
    }
    match Payload::read(&event.kind, event.kind_version, &event.payload) {
        Ok(payload) => Some(payload),
        Err(e) => {
            chain.finding(event, format!("its payload cannot be read: {e}"));
            None
        }
    }
}

fn is_person(payload: &Payload) -> bool {
    matches!(
        payload,
        Payload::RegisterChange(RegisterChange {
            thing: None,
            record: Record::Person(_),
            ..
        })
    )
}

/// A chain that goes on from another one names its end; where that chain is here too, the two must agree.
fn check_previous(chain: &mut Chain) {
    let mut findings = Vec::new();
    for (&origin, links) in &chain.origins {
        let Some(previous) = &links.previous else {
            continue;
        };
        let event = EventId { origin, seq: 1 };
        let first_no = Some(links.first_no);
        let mut finding = |what: String| {
            findings.push(Finding {
                event: Some(event),
                no: first_no,
                what,
            });
        };
        let Some(named) = Origin::parse(&previous.origin) else {
            finding("it goes on from a chain whose name cannot be read".into());
            continue;
        };
        let found = chain
            .origins
            .get(&named)
            .and_then(|other| other.hashes.get(&previous.seq));
        let at = EventId {
            origin: named,
            seq: previous.seq,
        };
        match found {
            None => finding(format!(
                "it goes on from {at}, which is missing here: the older chain was cut"
            )),
            Some(hash) if from_hex(&previous.head).as_deref() != Some(hash) => {
                finding(format!("it goes on from {at}, which is another event here"));
            }
            Some(_) => {}
        }
    }
    chain.findings.extend(findings);
}
