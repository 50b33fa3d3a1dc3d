//! One event whole: what it says place by place, what was amended, who stands for it, and its pictures.

use rusqlite::{Connection, OptionalExtension};

use super::corrections::{
    AmendedPlace, Document, SheetMark, amended_places, documents_with, sheet_marks,
};
use super::impact::{Suspect, suspects_of};
use super::journal::{Amended, JournalLine, line};
use super::sheet::{SheetDetail, sheet_detail, type_of_sheet};
use crate::amending::{self, Place};
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::sheet::TypeFacts;
use crate::state;

/// The page of one event.
#[derive(Debug, Clone, PartialEq)]
pub struct EventPage {
    /// The event as a line.
    pub line: JournalLine,
    /// Where and when it was written, for people.
    pub hash: String,
    /// What it says, place by place.
    pub places: Vec<Place>,
    /// What was amended of it.
    pub amended: Vec<AmendedPlace>,
    /// Openings and countersignatures of a sheet.
    pub marks: Vec<SheetMark>,
    /// Its pictures and papers.
    pub documents: Vec<Document>,
    /// The sheet, where it is a mounting sheet: its verdicts, and what they rested on.
    pub mounting: Option<SheetDetail>,
    /// The limits of the bearing's type on that day.
    pub limits: Option<TypeFacts>,
    /// Gauges that it was read on and that were found out later.
    pub suspects: Vec<Suspect>,
    /// True where it is a teardown sheet.
    pub is_teardown: bool,
    /// False where another event of its own kind corrects it.
    pub may_be_amended: bool,
}

impl EventPage {
    /// True while the sheet is open again.
    pub fn is_reopened(&self) -> bool {
        self.marks.last().is_some_and(|mark| mark.is_reopened)
    }

    /// True where it does not count.
    pub fn is_withdrawn(&self) -> bool {
        self.line.amended == Amended::Withdrawn
    }
}

/// Reads the page of an event; none where there is no such event.
pub fn event_page(conn: &Connection, no: i64, show: Show) -> Result<Option<EventPage>> {
    let sql = "SELECT coalesce((SELECT p.name FROM person p JOIN event r ON r.no = p.no
                   WHERE r.origin = e.person_origin AND r.seq = e.person_seq), ''),
                 coalesce((SELECT group_concat(what, '; ') FROM conflict c
                   WHERE c.event = e.no AND c.resolved_event IS NULL), '')
               FROM event e WHERE e.no = ?1";
    let found: Option<(String, String)> = conn
        .prepare_cached(sql)?
        .query_row([no], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    let Some((signer, conflict)) = found else {
        return Ok(None);
    };
    let event = state::event(conn, ThingNo(no))?;
    let may_be_amended = crate::rules::is_amended(&event.kind);
    let mounting = match event.kind.as_str() {
        "mounting_sheet" => sheet_detail(conn, no, show)?,
        _ => None,
    };
    let limits = match (&mounting, type_of_sheet(conn, no)?) {
        (Some(_), Some(of)) => Some(TypeFacts::load(conn, of, event.at.ms)?),
        _ => None,
    };
    Ok(Some(EventPage {
        line: line(conn, &event, signer, conflict, show)?,
        hash: crate::id::hex(&event.hash),
        places: amending::places(conn, &event, show)?,
        amended: amended_places(conn, no, show)?,
        marks: sheet_marks(conn, no)?,
        documents: documents_with(conn, no)?,
        mounting,
        limits,
        suspects: suspects_of(conn, no)?,
        is_teardown: event.kind == "teardown_sheet",
        may_be_amended,
    }))
}
