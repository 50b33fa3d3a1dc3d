//! What a copy of the logbook knew when it wrote: its own chain, and the chains that it goes on from or took in.

use std::collections::BTreeMap;

use rusqlite::Connection;

use super::{EVENT_COLUMNS, event_from_row};
use crate::error::Result;
use crate::id::{EventId, Origin};
use crate::payload::{Payload, Previous};

/// The events that brought others into a chain: of each origin its event, and how far it brought which other origin.
pub(super) struct Known(BTreeMap<Origin, Vec<(i64, Origin, i64)>>);

impl Known {
    pub(super) fn read(conn: &Connection) -> Result<Self> {
        let sql = format!(
            "SELECT {EVENT_COLUMNS} FROM event WHERE kind IN ('logbook_started', 'merged')"
        );
        let mut stmt = conn.prepare(&sql)?;
        let mut rows = stmt.query([])?;
        let mut known: BTreeMap<Origin, Vec<(i64, Origin, i64)>> = BTreeMap::new();
        while let Some(row) = rows.next()? {
            let event = event_from_row(row)?;
            let ends: Vec<Previous> =
                match Payload::read(&event.kind, event.kind_version, &event.payload)? {
                    Payload::LogbookStarted(p) => p.previous.into_iter().collect(),
                    Payload::Merged(p) => p.heads,
                    _ => continue,
                };
            let of = known.entry(event.id.origin).or_default();
            of.extend(ends.iter().filter_map(|end| {
                let origin = Origin::parse(&end.origin)?;
                Some((event.id.seq, origin, end.seq))
            }));
        }
        Ok(Self(known))
    }

    /// True where `other` was there when `event` was written.
    pub(super) fn had(&self, event: EventId, other: EventId) -> bool {
        let mut reach = BTreeMap::from([(event.origin, event.seq - 1)]);
        let mut to_do = vec![event.origin];
        while let Some(origin) = to_do.pop() {
            let end = reach.get(&origin).copied().unwrap_or(0);
            let brought = self.0.get(&origin).into_iter().flatten();
            for (_, from, seq) in brought.filter(|(at, ..)| *at <= end) {
                let known = reach.entry(*from).or_insert(0);
                if *known < *seq {
                    *known = *seq;
                    to_do.push(*from);
                }
            }
        }
        reach
            .get(&other.origin)
            .is_some_and(|end| other.seq <= *end)
    }
}
