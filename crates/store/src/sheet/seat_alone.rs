//! A neck or a bore that is measured apart from a teardown: what it says while it is typed.

use rusqlite::{Connection, OptionalExtension};

use super::assess::Problem;
use super::facts::{GaugeFacts, TypeFacts};
use super::field::SeatName;
use super::seats::SeatView;
use super::sign::seats_assessed;
use crate::draft::Fields;
use crate::entry::LengthUnit;
use crate::error::Result;
use crate::id::ThingNo;
use crate::logbook::Logbook;
use crate::time::Stamp;

/// What the readings of one seat say.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatAlone {
    /// Sizes at 20 C, geometry, verdicts.
    pub view: SeatView,
    /// The limits that it is judged by, of that day.
    pub limits: TypeFacts,
    /// What is odd or not possible, by the path of the field.
    pub problems: Vec<(String, Problem)>,
    /// The gauge, as it stood on that day.
    pub gauge: Option<GaugeFacts>,
}

/// Judges what was typed so far for one seat, from the same fields as the sheet.
///
/// # Errors
/// What the store says.
pub fn seat_alone(
    logbook: &Logbook,
    fields: &Fields,
    at: Stamp,
    unit: LengthUnit,
    (seat, bearing_type): (SeatName, ThingNo),
) -> Result<SeatAlone> {
    let (facts, assessment) = seats_assessed(logbook, fields, at, unit, Some(bearing_type))?;
    let named = fields.get(&format!("{}.gauge", seat.prefix()));
    let gauge = named.and_then(|field| {
        let mut all = facts.gauges.values();
        all.find(|g| g.code.eq_ignore_ascii_case(field.text.trim()))
    });
    let problems = assessment
        .fields
        .iter()
        .filter_map(|(path, state)| Some((path.clone(), state.problem.clone()?)))
        .collect();
    Ok(SeatAlone {
        gauge: gauge.cloned(),
        limits: facts.bearing_type.clone().unwrap_or_default(),
        problems,
        view: match seat {
            SeatName::Bore => assessment.bore,
            SeatName::Neck => assessment.neck,
        },
    })
}

/// In how many planes the bore of a chock is measured, by its type; none where the thing is no chock.
///
/// # Errors
/// What the store says.
pub fn planes_of_chock(conn: &Connection, thing: ThingNo) -> Result<Option<usize>> {
    let sql = "SELECT t.bore_planes FROM chock c JOIN chock_type t ON t.no = c.chock_type WHERE c.no = ?1";
    let planes: Option<u16> = conn
        .prepare_cached(sql)?
        .query_row([thing.0], |row| row.get(0))
        .optional()?;
    Ok(planes.map(usize::from))
}

/// The bearing type whose limits a seat is judged by where nobody says another one: of a chock the one of its main seat,
/// of a roll the one of the chock that ran on it last, else of the chocks for rolls of its sort, where they have one only.
///
/// # Errors
/// What the store says.
pub fn judged_by(conn: &Connection, thing: ThingNo) -> Result<Option<String>> {
    for sql in [
        "SELECT t.code FROM chock c JOIN chock_seat s ON s.chock_type = c.chock_type AND s.name = 'main'
           JOIN bearing_type t ON t.no = s.bearing_type WHERE c.no = ?1",
        "SELECT t.code FROM run r JOIN chock c ON c.no = r.chock
           JOIN chock_seat s ON s.chock_type = c.chock_type AND s.name = 'main' JOIN bearing_type t ON t.no = s.bearing_type
         WHERE r.roll = ?1 AND r.is_estimate = 0 ORDER BY r.from_ms DESC, r.chock LIMIT 1",
        "SELECT min(t.code) FROM roll l JOIN chock_type ct ON (' ' || ct.fits) LIKE ('% ' || l.role || '-%')
           JOIN chock_seat s ON s.chock_type = ct.no AND s.name = 'main' JOIN bearing_type t ON t.no = s.bearing_type
         WHERE l.no = ?1 HAVING count(DISTINCT t.no) = 1",
    ] {
        let found: Option<String> = conn
            .prepare_cached(sql)?
            .query_row([thing.0], |row| row.get(0))
            .optional()?;
        if found.is_some() {
            return Ok(found);
        }
    }
    Ok(None)
}
