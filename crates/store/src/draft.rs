//! Drafts: sheets that are not signed yet. What was typed is on disk after each [`Logbook::keep_draft`], so a draft
//! survives a crash; signing deletes it in the transaction of its event.

use std::collections::BTreeMap;

use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use rusqlite::{Connection, OptionalExtension, Transaction, named_params, params};
use serde::{Deserialize, Serialize};

use crate::error::{Result, StoreError};
use crate::id::ThingNo;
use crate::logbook::Logbook;
use crate::time::Stamp;

/// Where a text comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Source {
    /// Somebody typed it.
    Typed,
    /// A gauge typed it.
    Gauge,
    /// It was pasted.
    Pasted,
    /// It came from a file.
    Imported,
}

impl Source {
    /// All sources.
    pub const ALL: [Self; 4] = [Self::Typed, Self::Gauge, Self::Pasted, Self::Imported];

    /// The word in the file.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Typed => "typed",
            Self::Gauge => "gauge",
            Self::Pasted => "pasted",
            Self::Imported => "imported",
        }
    }

    /// Reads the word in the file.
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|s| s.as_str() == text)
    }
}

impl ToSql for Source {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        self.as_str().to_sql()
    }
}

impl FromSql for Source {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Self::parse(value.as_str()?).ok_or(FromSqlError::InvalidType)
    }
}

/// One field of a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftField {
    /// As typed.
    pub text: String,
    /// Where it comes from.
    pub source: Source,
}

/// The fields of a sheet by path (`clearance.gap.1.0`).
pub type Fields = BTreeMap<String, DraftField>;

/// A draft in this file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct DraftId(pub i64);

/// A draft as it was kept last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// Its number.
    pub id: DraftId,
    /// Kind of the event that it will be signed as.
    pub kind: String,
    /// Who has it.
    pub person: Option<ThingNo>,
    /// When it was begun.
    pub started: Stamp,
    /// When it was kept last, ms UTC.
    pub kept_ms: i64,
    /// Path of the field that had the caret.
    pub caret: String,
    /// What is filled in.
    pub fields: Fields,
}

/// A draft in the list of open ones.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DraftLine {
    /// Its number.
    pub id: DraftId,
    /// Kind of the event that it will be signed as.
    pub kind: String,
    /// Who has it.
    pub person: Option<ThingNo>,
    /// Their name; empty where nobody has it.
    pub person_name: String,
    /// When it was begun.
    pub started: Stamp,
    /// When it was kept last, ms UTC.
    pub kept_ms: i64,
    /// Number of fields filled in.
    pub filled: i64,
    /// Bearing as typed; empty where it is not yet.
    pub bearing: String,
    /// Chock as typed; empty where it is not yet.
    pub chock: String,
}

/// What happened to a draft.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trace {
    /// When, ms UTC.
    pub at_ms: i64,
    /// Who has had it since.
    pub person: ThingNo,
    /// What happened, in words.
    pub what: String,
}

impl Logbook {
    /// Begins an empty draft of a sheet of `kind`.
    pub fn start_draft(&mut self, kind: &str, person: Option<ThingNo>) -> Result<DraftId> {
        self.transact_aside(|tx, now| {
            tx.prepare_cached(
                "INSERT INTO draft (kind, started_ms, started_offset_min, person, caret, kept_ms)
                 VALUES (:kind, :now, :offset, :person, '', :now)",
            )?
            .execute(named_params! {
                ":kind": kind, ":now": now.ms, ":offset": now.offset_min, ":person": person.map(|p| p.0),
            })?;
            Ok(DraftId(tx.last_insert_rowid()))
        })
    }

    /// Keeps what was typed: (path, text, source) of each field that changed, and where the caret is. An empty text
    /// removes the field. All of it is on disk when this returns, or nothing.
    pub fn keep_draft(
        &mut self,
        id: DraftId,
        changed: &[(&str, &str, Source)],
        caret: &str,
    ) -> Result<()> {
        self.transact_aside(|tx, now| {
            touch(tx, id, caret, now)?;
            for &(path, text, source) in changed {
                if text.is_empty() {
                    tx.prepare_cached("DELETE FROM draft_field WHERE draft = ?1 AND path = ?2")?
                        .execute(params![id.0, path])?;
                    continue;
                }
                tx.prepare_cached(
                    "INSERT INTO draft_field (draft, path, text, source) VALUES (?1, ?2, ?3, ?4)
                     ON CONFLICT (draft, path) DO UPDATE SET text = excluded.text, source = excluded.source",
                )?
                .execute(params![id.0, path, text, source])?;
            }
            Ok(())
        })
    }

    /// Notes where the caret is.
    pub fn set_draft_caret(&mut self, id: DraftId, caret: &str) -> Result<()> {
        self.transact_aside(|tx, now| touch(tx, id, caret, now))
    }

    /// Hands a draft to another person and notes from whom it came.
    pub fn take_over_draft(&mut self, id: DraftId, person: ThingNo) -> Result<()> {
        self.transact_aside(|tx, now| {
            let from: Option<(Option<i64>, String)> = tx
                .query_row(
                    "SELECT d.person, coalesce(p.name, 'nobody') FROM draft d LEFT JOIN person p ON p.no = d.person
                     WHERE d.id = ?1",
                    [id.0],
                    |row| Ok((row.get(0)?, row.get(1)?)),
                )
                .optional()?;
            let (owner, from) = from.ok_or_else(is_gone)?;
            if owner == Some(person.0) {
                return Ok(());
            }
            tx.execute("UPDATE draft SET person = ?2 WHERE id = ?1", params![id.0, person.0])?;
            tx.execute(
                "INSERT INTO draft_trace (draft, at_ms, person, what) VALUES (?1, ?2, ?3, ?4)",
                params![id.0, now.ms, person.0, format!("taken over from {from}")],
            )?;
            Ok(())
        })
    }

    /// Throws a draft away, with all that was typed.
    pub fn discard_draft(&mut self, id: DraftId) -> Result<()> {
        self.transact_aside(|tx, _| discard_in(tx, id))
    }
}

fn touch(tx: &Transaction<'_>, id: DraftId, caret: &str, now: Stamp) -> Result<()> {
    let touched = tx
        .prepare_cached("UPDATE draft SET caret = ?2, kept_ms = ?3 WHERE id = ?1")?
        .execute(params![id.0, caret, now.ms])?;
    if touched == 0 { Err(is_gone()) } else { Ok(()) }
}

fn is_gone() -> StoreError {
    StoreError::Refused("this draft is not here any more: it was signed or thrown away".into())
}

/// Deletes a draft inside a transaction: it was signed or thrown away. Its fields and traces go with it.
pub(crate) fn discard_in(tx: &Transaction<'_>, id: DraftId) -> Result<()> {
    for table in ["draft_field", "draft_trace"] {
        tx.execute(&format!("DELETE FROM {table} WHERE draft = ?1"), [id.0])?;
    }
    let gone = tx.execute("DELETE FROM draft WHERE id = ?1", [id.0])?;
    if gone == 0 {
        return Err(is_gone());
    }
    crate::attachment::forget_unused(tx)
}

/// One draft, as it was kept last.
pub fn read(conn: &Connection, id: DraftId) -> Result<Draft> {
    let mut stmt =
        conn.prepare_cached("SELECT path, text, source FROM draft_field WHERE draft = ?1")?;
    let fields = stmt.query_map([id.0], |row| {
        let field = DraftField {
            text: row.get("text")?,
            source: row.get("source")?,
        };
        Ok((row.get("path")?, field))
    })?;
    let fields: Fields = fields.collect::<rusqlite::Result<_>>()?;
    let sql = "SELECT kind, person, started_ms, started_offset_min, kept_ms, caret FROM draft WHERE id = ?1";
    let draft = conn.prepare_cached(sql)?.query_row([id.0], |row| {
        Ok(Draft {
            id,
            kind: row.get("kind")?,
            person: row.get::<_, Option<i64>>("person")?.map(ThingNo),
            started: Stamp::second(row.get("started_ms")?, row.get("started_offset_min")?),
            kept_ms: row.get("kept_ms")?,
            caret: row.get("caret")?,
            fields,
        })
    });
    draft.optional()?.ok_or_else(is_gone)
}

/// The open drafts, the one kept last first.
pub fn list(conn: &Connection) -> Result<Vec<DraftLine>> {
    let mut stmt = conn.prepare_cached(
        "SELECT d.id, d.kind, d.person, coalesce(p.name, '') AS person_name, d.started_ms, d.started_offset_min,
             d.kept_ms, (SELECT count(*) FROM draft_field f WHERE f.draft = d.id) AS filled,
             coalesce((SELECT text FROM draft_field f WHERE f.draft = d.id AND f.path = 'identify.bearing'), '')
                 AS bearing,
             coalesce((SELECT text FROM draft_field f WHERE f.draft = d.id AND f.path = 'identify.chock'), '')
                 AS chock
         FROM draft d LEFT JOIN person p ON p.no = d.person ORDER BY d.kept_ms DESC, d.id DESC",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(DraftLine {
            id: DraftId(row.get("id")?),
            kind: row.get("kind")?,
            person: row.get::<_, Option<i64>>("person")?.map(ThingNo),
            person_name: row.get("person_name")?,
            started: Stamp::second(row.get("started_ms")?, row.get("started_offset_min")?),
            kept_ms: row.get("kept_ms")?,
            filled: row.get("filled")?,
            bearing: row.get("bearing")?,
            chock: row.get("chock")?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// Who took a draft over, oldest first.
pub fn traces(conn: &Connection, id: DraftId) -> Result<Vec<Trace>> {
    let sql = "SELECT at_ms, person, what FROM draft_trace WHERE draft = ?1 ORDER BY at_ms, rowid";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map([id.0], |row| {
        Ok(Trace {
            at_ms: row.get("at_ms")?,
            person: ThingNo(row.get("person")?),
            what: row.get("what")?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
