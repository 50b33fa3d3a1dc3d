//! What was said about an event after it was signed, and the pictures and papers of a thing.

use rusqlite::{Connection, params};
use serde_json::Value;

use super::stamp_from_row;
use super::words::change_words;
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::{Change, Payload};
use crate::sheet::value_words;
use crate::state;
use crate::time::Stamp;

/// One place of an event that was amended.
#[derive(Debug, Clone, PartialEq)]
pub struct AmendedPlace {
    /// Where, as a JSON pointer into the payload; empty where the whole event was withdrawn.
    pub path: String,
    /// The same in words.
    pub place: String,
    /// What stood there, in words.
    pub old: String,
    /// What counts, in words.
    pub new: String,
    /// How that is known; empty for what only follows.
    pub reason: String,
    /// True where it only follows from another change.
    pub is_consequence: bool,
    /// Who signed the amendment.
    pub by: String,
    /// When it was entered.
    pub at: Stamp,
    /// Name of the amendment.
    pub id: String,
}

/// Everything that was amended of an event, in the order of entry.
pub fn amended_places(conn: &Connection, event: i64, show: Show) -> Result<Vec<AmendedPlace>> {
    let written = state::event(conn, ThingNo(event))?;
    let payload: Value = serde_json::from_str(&written.payload).unwrap_or_default();
    let sql = "SELECT a.amendment, a.path, a.old, a.new, a.reason, a.is_consequence,
                 coalesce((SELECT p.name FROM person p JOIN event r ON r.no = p.no
                   WHERE r.origin = e.person_origin AND r.seq = e.person_seq), '') AS signer
               FROM amended a JOIN event e ON e.no = a.amendment WHERE a.event = ?1
               ORDER BY e.entered_ms, e.origin, e.seq, a.item";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query([event])?;
    let mut places = Vec::new();
    while let Some(row) = rows.next()? {
        let json = |text: String| serde_json::from_str(&text).unwrap_or(Value::Null);
        let change = Change {
            path: row.get("path")?,
            old: json(row.get("old")?),
            new: json(row.get("new")?),
            reason: row.get("reason")?,
        };
        let amendment = state::event(conn, ThingNo(row.get("amendment")?))?;
        let is_whole = change.path.is_empty();
        let (place, old, new) = if is_whole {
            let old = value_words(&change.old, show);
            ("the whole event".into(), old, "withdrawn".into())
        } else {
            change_words(conn, &written, &payload, &change, show)?
        };
        places.push(AmendedPlace {
            place,
            old,
            new,
            path: change.path,
            reason: change.reason,
            is_consequence: row.get("is_consequence")?,
            by: row.get("signer")?,
            at: amendment.entered,
            id: amendment.id.to_string(),
        });
    }
    Ok(places)
}

/// A sheet was opened again, or a second person stands for it.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetMark {
    /// True where it was opened again.
    pub is_reopened: bool,
    /// Why, or what was looked at.
    pub text: String,
    /// Who signed that.
    pub by: String,
    /// When.
    pub at: Stamp,
}

/// What was said about a sheet as a whole, oldest first.
pub fn sheet_marks(conn: &Connection, sheet: i64) -> Result<Vec<SheetMark>> {
    let sql = "SELECT e.no, e.at_ms, e.at_offset_min, e.at_precision,
                 coalesce((SELECT p.name FROM person p JOIN event r ON r.no = p.no
                   WHERE r.origin = e.person_origin AND r.seq = e.person_seq), '') AS signer
               FROM sheet_mark m JOIN event e ON e.no = m.event WHERE m.sheet = ?1 ORDER BY e.at_ms, e.origin, e.seq";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query([sheet])?;
    let mut marks = Vec::new();
    while let Some(row) = rows.next()? {
        let event = state::event(conn, ThingNo(row.get("no")?))?;
        let (is_reopened, text) = match state::what_counts(conn, &event)? {
            Some(Payload::SheetReopened(p)) => (true, p.reason),
            Some(Payload::Countersigned(p)) => (false, p.text),
            _ => continue,
        };
        marks.push(SheetMark {
            is_reopened,
            text,
            by: row.get("signer")?,
            at: stamp_from_row(row)?,
        });
    }
    Ok(marks)
}

/// A picture or a paper.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// The event that it came with.
    pub event: i64,
    /// When that happened.
    pub at: Stamp,
    /// `photo`, `certificate`, `drawing` or `other`.
    pub what: String,
    /// Number of the finding that it shows; 0 = the whole.
    pub finding: i64,
    /// Its name when it came.
    pub name: String,
    /// What sort of file.
    pub media: String,
    /// Size of what is kept, bytes.
    pub bytes: i64,
    /// What it shows.
    pub note: String,
    /// SHA-256 of what is kept.
    pub hash: String,
    /// A small picture (JPEG), where there is one.
    pub thumbnail: Option<Vec<u8>>,
    /// False where its content is not in this file, as in a backup.
    pub is_here: bool,
}

/// The pictures and papers of a thing, newest first.
pub fn documents_of(conn: &Connection, thing: ThingNo) -> Result<Vec<Document>> {
    documents(conn, "d.thing", thing.0)
}

/// The pictures and papers that came with one event.
pub fn documents_with(conn: &Connection, event: i64) -> Result<Vec<Document>> {
    documents(conn, "d.event", event)
}

fn documents(conn: &Connection, by: &str, no: i64) -> Result<Vec<Document>> {
    let sql = format!(
        "SELECT d.*, e.at_ms, e.at_offset_min, e.at_precision, a.thumbnail,
           EXISTS (SELECT 1 FROM attachment_content c WHERE c.hash = d.hash) AS is_here
         FROM document d JOIN event e ON e.no = d.event LEFT JOIN attachment a ON a.hash = d.hash
         WHERE {by} = ?1 ORDER BY e.at_ms DESC, e.no DESC, d.item"
    );
    let mut stmt = conn.prepare_cached(&sql)?;
    let rows = stmt.query_map(params![no], |row| {
        Ok(Document {
            event: row.get("event")?,
            at: stamp_from_row(row)?,
            what: row.get("what")?,
            finding: row.get("finding")?,
            name: row.get("name")?,
            media: row.get("media")?,
            bytes: row.get("bytes")?,
            note: row.get("note")?,
            hash: row.get("hash")?,
            thumbnail: row.get("thumbnail")?,
            is_here: row.get("is_here")?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
