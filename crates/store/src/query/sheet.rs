//! One signed sheet in full: for its own view and for the print.

use std::collections::BTreeMap;

use rusqlite::{Connection, OptionalExtension, params};

use super::code_of;
use super::corrections::{
    AmendedPlace, Document, SheetMark, amended_places, documents_with, sheet_marks,
};
use super::impact::{Suspect, suspects_of};
use crate::entry::Show;
use crate::error::Result;
use crate::event::Event;
use crate::id::{Ref, ThingNo};
use crate::payload::{MountingSheet, Payload, SheetBody, TeardownSheet};
use crate::rows::Rows;
use crate::sheet::field::{self, PLANES_USUAL, SeatName};
use crate::sheet::{Family, GaugeFacts, TypeFacts};
use crate::state::{EVENT_COLUMNS, event_from_row};

/// A signed sheet with the names behind its references.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetDetail {
    /// The event.
    pub event: Event,
    /// What was signed; a measurement after outside work has only `body`.
    pub teardown: Option<TeardownSheet>,
    /// What was signed as a mounting.
    pub mounting: Option<MountingSheet>,
    /// Readings, results, verdicts.
    pub body: SheetBody,
    /// Rows of the bearing.
    pub rows: usize,
    /// Bearing, chock, roll, position, in words; empty where there is none.
    pub bearing: String,
    /// Chock.
    pub chock: String,
    /// Roll.
    pub roll: String,
    /// Inner half on that neck, where the bearing has halves.
    pub inner_half: String,
    /// Position it came from.
    pub position: String,
    /// Chock it went back into.
    pub back_into: String,
    /// Who signed.
    pub signer: String,
    /// The fitter.
    pub fitter: String,
    /// The engineer who ordered.
    pub ordered_by: String,
    /// Mill time on the bearing's counter then, s.
    pub total_run_s: i64,
    /// Mill time of the stay that ended, s.
    pub stay_run_s: i64,
    /// The gauges used, with their status on that day, by code.
    pub gauges: BTreeMap<String, GaugeFacts>,
    /// Code of the gauge by event number, for the readings.
    pub gauge_codes: BTreeMap<i64, String>,
    /// What was amended of it; the sheet above is what counts.
    pub amended: Vec<AmendedPlace>,
    /// Openings and countersignatures.
    pub marks: Vec<SheetMark>,
    /// Its pictures.
    pub documents: Vec<Document>,
    /// True where it was withdrawn and counts no more; it is told as it was written.
    pub is_withdrawn: bool,
    /// Gauges that it was read on and that were found out later.
    pub suspects: Vec<Suspect>,
    /// Which neck of the roll, `O` or `D`; empty where that is not known.
    pub side: String,
    /// What was noted with a seat that was measured alone.
    pub note: String,
}

impl SheetDetail {
    /// What it is, before the name of what it is about: "Teardown", "Neck check".
    pub fn what(&self) -> &'static str {
        match (&self.teardown, self.event.kind.as_str()) {
            (Some(_), _) => "Teardown",
            (None, "mounting_sheet") => "Mounting sheet",
            (None, "seat_check") if self.side.is_empty() => "Bore check",
            (None, "seat_check") => "Neck check",
            _ => "Measurement after outside work",
        }
    }

    /// The side of the neck in words; empty where that is not known.
    pub fn side_words(&self) -> &'static str {
        match self.side.as_str() {
            "O" => "operator side",
            "D" => "drive side",
            _ => "",
        }
    }
}

impl SheetDetail {
    /// A result by name and item.
    pub fn result(&self, name: &str, item: i64) -> Option<i64> {
        self.body
            .results
            .iter()
            .find(|o| o.name == name && o.item == item)
            .map(|o| o.value)
    }

    /// The rows of its bearing, as the plant counts them.
    pub fn named_rows(&self, show: Show) -> Rows {
        show.rows.of(self.rows)
    }

    /// What people call a field of it.
    pub fn label(&self, path: &str, show: Show) -> String {
        self.named_rows(show).told(&field::label(path))
    }

    /// Sizes of a seat at 20 C, plane by direction, nm; empty where its grid was not whole.
    pub fn sizes_nm(&self, seat: SeatName) -> Vec<i64> {
        let name = format!("{}_size_nm", seat.prefix());
        let sizes = self.body.results.iter().filter(|o| o.name == name);
        sizes.map(|o| o.value).collect()
    }

    /// Text of an entry that is not a number.
    pub fn entry(&self, path: &str) -> Option<&str> {
        self.body
            .entries
            .iter()
            .find(|e| e.path == path)
            .map(|e| e.text.as_str())
    }
}

/// All sheets of a bearing, oldest first.
pub fn sheets_of_bearing(
    conn: &Connection,
    bearing: ThingNo,
    show: Show,
) -> Result<Vec<SheetDetail>> {
    let sql = "SELECT s.event FROM sheet s JOIN event e ON e.no = s.event WHERE s.bearing = ?1 ORDER BY e.at_ms, e.no";
    of_bearing(conn, sql, bearing, show)
}

/// The sheets that a query finds for a bearing.
fn of_bearing(
    conn: &Connection,
    sql: &str,
    bearing: ThingNo,
    show: Show,
) -> Result<Vec<SheetDetail>> {
    let mut stmt = conn.prepare_cached(sql)?;
    let events: Vec<i64> = stmt
        .query_map([bearing.0], |row| row.get(0))?
        .collect::<rusqlite::Result<_>>()?;
    events
        .into_iter()
        .filter_map(|event| sheet_detail(conn, event, show).transpose())
        .collect()
}

/// The sheets whose record is named `ORIGIN:SEQ`, the origin with as many of its digits as tell it apart; more than one
/// where they do not.
pub fn find_sheets(conn: &Connection, record: &str) -> Result<Vec<i64>> {
    let Some((origin, seq)) = record.trim().split_once(':') else {
        return Ok(Vec::new());
    };
    let Ok(seq) = seq.parse::<i64>() else {
        return Ok(Vec::new());
    };
    let sql = "SELECT s.event FROM sheet s JOIN event e ON e.no = s.event
               WHERE e.seq = ?1 AND substr(lower(hex(e.origin)), 1, length(?2)) = lower(?2) ORDER BY s.event";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map(params![seq, origin], |row| row.get(0))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// In how many planes the bores of the chocks that take a bearing type in their main seat are measured, the most of them.
pub fn bore_planes(conn: &Connection, bearing_type: ThingNo) -> Result<usize> {
    let sql = "SELECT max(t.bore_planes) FROM chock_type t JOIN chock_seat s ON s.chock_type = t.no
               WHERE s.name LIKE 'main%' AND s.bearing_type = ?1";
    let most: Option<u16> = conn
        .prepare_cached(sql)?
        .query_row([bearing_type.0], |row| row.get(0))?;
    Ok(most.map_or(PLANES_USUAL, usize::from))
}

/// The bearing type whose limits a sheet was judged by: that of its bearing, else that of the main seat of its chock.
pub fn type_of_sheet(conn: &Connection, event: i64) -> Result<Option<ThingNo>> {
    // A seat measured alone names the type itself.
    let sql = "SELECT coalesce(b.bearing_type, t.bearing_type, (SELECT n.no FROM thing_event e
                 JOIN bearing_type n ON n.no = e.thing WHERE e.event = s.event)) FROM sheet s LEFT JOIN bearing b ON b.no = s.bearing
               LEFT JOIN chock c ON c.no = s.chock
               LEFT JOIN chock_seat t ON t.chock_type = c.chock_type AND t.name = 'main' WHERE s.event = ?1";
    let found: Option<Option<i64>> = conn
        .prepare_cached(sql)?
        .query_row([event], |row| row.get(0))
        .optional()?;
    Ok(found.flatten().map(ThingNo))
}

/// The sheets of a bearing that were withdrawn, oldest first.
pub fn withdrawn_sheets(
    conn: &Connection,
    bearing: ThingNo,
    show: Show,
) -> Result<Vec<SheetDetail>> {
    let sql = "SELECT e.no FROM thing_event t JOIN event e ON e.no = t.event
               JOIN effective f ON f.event = e.no AND f.payload IS NULL
               WHERE t.thing = ?1 AND e.kind IN ('teardown_sheet', 'returned') ORDER BY e.at_ms, e.no";
    of_bearing(conn, sql, bearing, show)
}

/// Rows of the bearing that a sheet is about; four where it names none.
pub(crate) fn rows_of(conn: &Connection, event: &Event) -> Result<usize> {
    Ok(match type_of_sheet(conn, event.no)? {
        Some(no) => TypeFacts::load(conn, no, event.at.ms)?.rows(),
        None => Family::Tapered.rows(),
    })
}

/// Bearing, stay, chock, roll and side of a sheet.
type SheetRow = (
    Option<i64>,
    Option<i64>,
    Option<i64>,
    Option<i64>,
    Option<String>,
);

/// The inner half that a sheet is told of as well as of its own bearing.
fn inner_half(conn: &Connection, event: i64, own: Option<i64>) -> Result<String> {
    let sql = "SELECT b.serial FROM thing_event e JOIN bearing b ON b.no = e.thing
               JOIN bearing_type t ON t.no = b.bearing_type AND t.kind = 'four_row_cylindrical_inner'
               WHERE e.event = ?1 AND b.no IS NOT ?2 ORDER BY b.no LIMIT 1";
    let mut stmt = conn.prepare_cached(sql)?;
    let found = stmt.query_row(params![event, own], |row| row.get(0));
    Ok(found.optional()?.unwrap_or_default())
}

/// One signed sheet; none where the event is no sheet.
pub fn sheet_detail(conn: &Connection, event: i64, show: Show) -> Result<Option<SheetDetail>> {
    let sql = format!("SELECT {EVENT_COLUMNS} FROM event WHERE no = ?1");
    let found = conn
        .prepare_cached(&sql)?
        .query_row([event], event_from_row)
        .optional()?;
    let Some(event) = found else { return Ok(None) };
    let mut note = String::new();
    let counts = crate::state::what_counts(conn, &event)?;
    let is_withdrawn = counts.is_none();
    // A withdrawn sheet is told as it was written: nothing that was signed disappears.
    let payload = match counts {
        Some(payload) => payload,
        None => Payload::read(&event.kind, event.kind_version, &event.payload)?,
    };
    let (teardown, mounting, body) = match payload {
        Payload::TeardownSheet(sheet) => (Some(sheet.clone()), None, sheet.body),
        Payload::MountingSheet(sheet) => (None, Some(sheet.clone()), sheet.body),
        Payload::Returned(returned) => match returned.body {
            Some(body) => (None, None, body),
            None => return Ok(None),
        },
        Payload::SeatCheck(check) => {
            note = check.note;
            (None, None, check.body)
        }
        _ => return Ok(None),
    };
    let own = event.id.origin;
    let code = |name: Option<&Ref>| -> Result<String> {
        name.map_or(Ok(String::new()), |name| {
            code_of(conn, crate::state::find(conn, name, own)?)
        })
    };
    let row: SheetRow = conn
        .prepare_cached("SELECT bearing, stay, chock, roll, side FROM sheet WHERE event = ?1")?
        .query_row([event.no], |row| {
            Ok((
                row.get(0)?,
                row.get(1)?,
                row.get(2)?,
                row.get(3)?,
                row.get(4)?,
            ))
        })
        .optional()?
        .unwrap_or_default();
    // A withdrawn sheet has no row: what it names stands in what was written.
    let named = |no: Option<i64>, name: Option<&Ref>| match no {
        Some(no) => code_of(conn, ThingNo(no)),
        None => code(name),
    };
    let total_run_s = match row.0 {
        Some(bearing) => conn
            .prepare_cached(
                "SELECT b.prior_run_s + (SELECT coalesce(sum(run_s), 0) FROM stay WHERE bearing = b.no AND from_ms < ?2)
                 FROM bearing b WHERE b.no = ?1",
            )?
            .query_row([bearing, event.at.ms], |row| row.get(0))?,
        None => 0,
    };
    let stay_run_s = match row.1 {
        Some(stay) => conn
            .prepare_cached("SELECT run_s FROM stay WHERE no = ?1")?
            .query_row([stay], |row| row.get(0))?,
        None => 0,
    };
    let mut gauge_codes = BTreeMap::new();
    for name in body.readings.iter().filter_map(|r| r.gauge.as_ref()) {
        let no = crate::state::find(conn, name, own)?;
        if let std::collections::btree_map::Entry::Vacant(slot) = gauge_codes.entry(no.0) {
            slot.insert(code_of(conn, no)?);
        }
    }
    let mut gauges = crate::sheet::gauges_known_at(conn, event.at, event.entered.ms)?;
    gauges.retain(|_, g| gauge_codes.contains_key(&g.no.0));
    let (t, m) = (teardown.as_ref(), mounting.as_ref());
    let signer = match event.person {
        Some(person) => code(Some(&Ref::new(person, own)))?,
        None => String::new(),
    };
    Ok(Some(SheetDetail {
        bearing: named(
            row.0,
            t.map(|t| &t.bearing).or(m.and_then(|m| m.bearing.as_ref())),
        )?,
        chock: named(row.2, t.map(|t| &t.chock).or(m.map(|m| &m.chock)))?,
        roll: named(
            row.3,
            t.and_then(|t| t.roll.as_ref())
                .or(m.and_then(|m| m.roll.as_ref())),
        )?,
        inner_half: inner_half(conn, event.no, row.0)?,
        position: code(
            t.and_then(|t| t.position.as_ref())
                .or(m.and_then(|m| m.position.as_ref())),
        )?,
        back_into: code(t.and_then(|t| t.reassembly.as_ref()).map(|r| &r.chock))?,
        fitter: code(
            t.and_then(|t| t.fitter.as_ref())
                .or(m.and_then(|m| m.fitter.as_ref())),
        )?,
        ordered_by: code(
            t.and_then(|t| t.ordered_by.as_ref())
                .or(m.and_then(|m| m.ordered_by.as_ref())),
        )?,
        signer,
        total_run_s,
        stay_run_s,
        gauges,
        gauge_codes,
        teardown,
        mounting,
        body,
        rows: rows_of(conn, &event)?,
        amended: amended_places(conn, event.no, show)?,
        marks: sheet_marks(conn, event.no)?,
        documents: documents_with(conn, event.no)?,
        suspects: suspects_of(conn, event.no)?,
        is_withdrawn,
        side: row.4.unwrap_or_default(),
        note,
        event,
    }))
}
