//! Every event that can still be read from a file, whatever is wrong with it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use rusqlite::types::Value;
use rusqlite::{Connection, Row};

use super::carve::carve;
use crate::backup::{End, FOLDER, Gap};
use crate::error::{Result, StoreError};
use crate::event::Event;
use crate::id::{EventId, Origin};
use crate::logbook::{configure, get};
use crate::reach::Reach;
use crate::state::{EVENT_COLUMNS, event_from_row};

/// What was read. Only events whose hash fits their content are in it.
#[derive(Debug, Default)]
pub(in crate::backup) struct Events {
    /// Mostly one each; two where an old page of the file tells another one.
    by_id: BTreeMap<EventId, Vec<Event>>,
    /// Numbers of rows that are no events.
    spoilt: BTreeSet<i64>,
    /// The settings worth keeping that could be read.
    pub settings: Vec<(&'static str, String)>,
    /// The rows of the unsigned sheets, table by table.
    pub drafts: Vec<(&'static str, Vec<Vec<Value>>)>,
}

impl Events {
    /// True where nothing was read.
    pub fn is_empty(&self) -> bool {
        self.by_id.is_empty()
    }

    /// The origins of which anything was read.
    pub fn origins(&self) -> impl Iterator<Item = Origin> {
        let origins: BTreeSet<Origin> = self.by_id.keys().map(|id| id.origin).collect();
        origins.into_iter()
    }

    /// What was read of one event.
    pub fn at(&self, origin: Origin, seq: i64) -> &[Event] {
        let id = EventId { origin, seq };
        self.by_id.get(&id).map_or(&[], Vec::as_slice)
    }

    /// The last event that was read of an origin, and how many were.
    pub fn seen(&self, origin: Origin) -> (i64, i64) {
        self.from(origin, 1)
            .fold((0, 0), |(_, count), id| (id.seq, count + 1))
    }

    /// Events that are not in a file with these ends.
    pub fn beyond(&self, ends: &[End]) -> Vec<Gap> {
        let gap = |origin| {
            let end = ends.iter().find(|end| end.id.origin == origin);
            let mut more = self.from(origin, end.map_or(1, |end| end.id.seq + 1));
            let from = *more.next()?;
            let count = 1 + more.count() as i64;
            Some(Gap { from, count })
        };
        self.origins().filter_map(gap).collect()
    }

    /// Rows that are no events and do not stand for one that was read elsewhere.
    pub fn unreadable_rows(&self) -> i64 {
        let read: BTreeSet<i64> = self.by_id.values().flatten().map(|e| e.no).collect();
        self.spoilt.difference(&read).count() as i64
    }

    fn from(&self, origin: Origin, seq: i64) -> impl Iterator<Item = &EventId> {
        let end = EventId {
            origin,
            seq: i64::MAX,
        };
        self.by_id
            .range(EventId { origin, seq }..=end)
            .map(|(id, _)| id)
    }

    fn add(&mut self, event: Event) {
        if event.id.seq < 1 || event.hash != event.expected_hash() {
            self.spoilt.insert(event.no);
            return;
        }
        let known = self.by_id.entry(event.id).or_default();
        if known.iter().all(|other| other.hash != event.hash) {
            known.push(event);
        }
    }
}

/// Reads all of `path`, first as SQLite sees it (with the work that was not merged into the file yet), then page by
/// page. Damage is no error. None where `progress` stopped it.
///
/// # Errors
/// Where the file system does not give the file.
pub(in crate::backup) fn read_events(
    path: &Path,
    progress: &mut dyn FnMut(i64, i64) -> bool,
) -> Result<Option<Events>> {
    let read = crate::peek::opened(path).and_then(|file| file.whole());
    let bytes = read.map_err(|source| StoreError::Io {
        what: format!("cannot read {}", path.display()),
        source,
    })?;
    let mut events = Events::default();
    if !progress(0, 2) {
        return Ok(None);
    }
    // Apart: where work is left unfinished, SQLite would put it in order on the file itself.
    if let Ok(reach) = Reach::apart(path)
        && let Ok(conn) = reach.connect()
        && configure(&conn, false).is_ok()
    {
        scan(&conn, &mut events);
    }
    if !progress(1, 2) {
        return Ok(None);
    }
    for event in carve(&bytes) {
        // A page that was in use before may hold a row as it was before it was finished: no loss, so not counted.
        if event.hash == event.expected_hash() {
            events.add(event);
        }
    }
    Ok(progress(2, 2).then_some(events))
}

/// From the first row to where it breaks, then from the last.
fn scan(conn: &Connection, events: &mut Events) {
    for order in ["ASC", "DESC"] {
        let sql = format!("SELECT {EVENT_COLUMNS} FROM event ORDER BY no {order}");
        let is_whole = rows(conn, &sql, &mut |row| match event_from_row(row) {
            Ok(event) => events.add(event),
            Err(_) => {
                events.spoilt.extend(row.get::<_, i64>("no").ok());
            }
        });
        if is_whole {
            break;
        }
    }
    for name in ["origin", FOLDER] {
        if let Ok(Some(value)) = get(conn, name) {
            events.settings.push((name, value));
        }
    }
    for table in ["draft", "draft_field", "draft_trace"] {
        let mut all = Vec::new();
        rows(conn, &format!("SELECT * FROM {table}"), &mut |row| {
            let width = row.as_ref().column_count();
            all.extend(
                (0..width)
                    .map(|i| row.get(i))
                    .collect::<rusqlite::Result<Vec<_>>>(),
            );
        });
        events.drafts.push((table, all));
    }
}

/// Tells each row that can be reached; true where that was the end and no damage.
fn rows(conn: &Connection, sql: &str, tell: &mut dyn FnMut(&Row<'_>)) -> bool {
    let Ok(mut stmt) = conn.prepare(sql) else {
        return false;
    };
    let Ok(mut rows) = stmt.query([]) else {
        return false;
    };
    loop {
        match rows.next() {
            Ok(Some(row)) => tell(row),
            Ok(None) => return true,
            Err(_) => return false,
        }
    }
}
