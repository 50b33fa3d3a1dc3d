//! The page of a thing that has no page of its own kind: roll, gauge, position, stand, seal batch, grease.

use rusqlite::{Connection, OptionalExtension, params};

use super::corrections::{Document, documents_of};
use super::held::held;
use super::journal::{JournalFilter, JournalLine, journal};
use super::places::{StandPlaces, stand_places};
use super::register::register_table;
use super::thing_use;
use super::words::error_words;
use super::{code_of, entity_words};
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::time::Stamp;

/// What a thing is, where it is, and what happened to it.
#[derive(Debug, Clone, PartialEq)]
pub struct ThingPage {
    /// Its number here.
    pub no: ThingNo,
    /// What sort of thing, as in the file.
    pub entity: String,
    /// The same in words.
    pub sort: String,
    /// Its code.
    pub code: String,
    /// Its row of the register: head and cell.
    pub facts: Vec<(String, String)>,
    /// Where it is, what is on it, what speaks against it: sentences.
    pub state: Vec<String>,
    /// True where one of those sentences stops it from being used.
    pub is_stopped: bool,
    /// True for a gauge whose readings stay in doubt.
    pub is_in_doubt: bool,
    /// True while it is on hold: a tag hangs on it.
    pub is_held: bool,
    /// What is beside it: chocks on a roll, what ran in a position.
    pub beside: Vec<(ThingNo, String, String)>,
    /// Its stand with all positions, for a position or a stand.
    pub stand: Option<StandPlaces>,
    /// Its pictures and papers.
    pub documents: Vec<Document>,
    /// What happened, newest first.
    pub journal: Vec<JournalLine>,
}

/// Reads the page of a thing; none where there is none.
pub fn thing_page(
    conn: &Connection,
    no: ThingNo,
    now: Stamp,
    show: Show,
) -> Result<Option<ThingPage>> {
    let found: Option<(String, String)> = conn
        .prepare_cached("SELECT entity, code FROM thing WHERE no = ?1")?
        .query_row([no.0], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    let Some((entity, code)) = found else {
        return Ok(None);
    };
    let table = register_table(conn, &entity, now, show)?;
    let row = table.rows.into_iter().find(|row| row.no == no);
    let heads = table.columns.iter().map(|head| (*head).to_owned());
    let facts = heads.zip(row.map(|row| row.cells).unwrap_or_default());
    let mut facts: Vec<_> = facts.filter(|(_, cell)| !cell.is_empty()).collect();
    let (mut state, is_stopped) = stopped(conn, no, now)?;
    let mut beside = Vec::new();
    let mut is_in_doubt = false;
    match entity.as_str() {
        "roll" => {
            on_roll(conn, no, show, &mut state, &mut beside)?;
            facts.extend(thing_use::necks(conn, no, now, show)?);
        }
        "position" => in_position(conn, no, show, &mut state, &mut beside)?,
        "seal_batch" => thing_use::sealed(conn, &code, now, &mut state, &mut beside)?,
        "grease" => thing_use::greased(conn, &code, now, &mut state, &mut beside)?,
        "gauge" => is_in_doubt = used(conn, no, now, show, &mut state)?,
        _ => {}
    }
    let filter = JournalFilter {
        thing: Some(no),
        with_register: true,
        ..JournalFilter::default()
    };
    Ok(Some(ThingPage {
        sort: entity_words(&entity),
        stand: stand_of(conn, no, &entity)?,
        documents: documents_of(conn, no)?,
        journal: journal(conn, &filter, show)?,
        no,
        entity,
        code,
        facts,
        state,
        is_stopped,
        is_in_doubt,
        is_held: held(conn, no)?.is_some(),
        beside,
    }))
}

/// The stand that a thing is, or is a position of.
fn stand_of(conn: &Connection, no: ThingNo, entity: &str) -> Result<Option<StandPlaces>> {
    if !matches!(entity, "stand" | "position") {
        return Ok(None);
    }
    let is_of = |stand: &StandPlaces| {
        stand.no == no || stand.places.iter().any(|place| place.no == Some(no))
    };
    Ok(stand_places(conn)?.into_iter().find(is_of))
}

/// Away, scrapped, on hold, blocked.
fn stopped(conn: &Connection, no: ThingNo, now: Stamp) -> Result<(Vec<String>, bool)> {
    let mut all = Vec::new();
    let sql = "SELECT place, note FROM place WHERE thing = ?1 AND place IN ('away', 'scrapped', 'unknown')";
    let place: Option<(String, String)> = conn
        .prepare_cached(sql)?
        .query_row([no.0], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    all.extend(place.map(|(place, note)| match place.as_str() {
        "away" => format!("Away at {note}."),
        "unknown" => format!("Where it is is not known: {note}."),
        _ => format!("Scrapped: {note}."),
    }));
    for (sql, words) in [
        (
            "SELECT reason FROM hold WHERE thing = ?1 AND released_event IS NULL AND ?2 > 0 ORDER BY event DESC",
            "On hold",
        ),
        (
            "SELECT reason FROM blocked WHERE thing = ?1 AND at_ms <= ?2 LIMIT 1",
            "Blocked",
        ),
    ] {
        let mut stmt = conn.prepare_cached(sql)?;
        let rows = stmt.query_map(params![no.0, now.ms], |row| row.get::<_, String>(0))?;
        for why in rows {
            all.push(format!("{words}: {}.", why?.trim_end_matches('.')));
        }
    }
    let is_stopped = !all.is_empty();
    Ok((all, is_stopped))
}

type Beside = Vec<(ThingNo, String, String)>;

/// Chocks and inner halves on its necks, and what it ran.
fn on_roll(
    conn: &Connection,
    roll: ThingNo,
    show: Show,
    state: &mut Vec<String>,
    beside: &mut Beside,
) -> Result<()> {
    let sql = "SELECT p.thing, coalesce(q.code, 'in the shop') FROM place p LEFT JOIN position q ON q.no = p.position
               WHERE p.roll = ?1 ORDER BY 2";
    let mut stmt = conn.prepare_cached(sql)?;
    for row in stmt.query_map([roll.0], |row| {
        Ok((ThingNo(row.get(0)?), row.get::<_, String>(1)?))
    })? {
        let (chock, at) = row?;
        beside.push((
            chock,
            "chock".into(),
            format!("{} at {at}", code_of(conn, chock)?),
        ));
    }
    // Where it is otherwise was said before.
    let sql = "SELECT EXISTS (SELECT 1 FROM place WHERE thing = ?1 AND place IN ('away', 'scrapped', 'unknown'))";
    let is_elsewhere: bool = conn.query_row(sql, [roll.0], |row| row.get(0))?;
    let on: Vec<&str> = beside.iter().map(|(_, _, words)| words.as_str()).collect();
    match on.as_slice() {
        [] if is_elsewhere => {}
        [] => state.push("In the shop: no chock is on it.".into()),
        all => state.push(format!("With {}.", all.join(" and "))),
    }
    let sql = "SELECT bearing, seat FROM stay WHERE chock = ?1 AND to_event IS NULL ORDER BY seat";
    let mut stmt = conn.prepare_cached(sql)?;
    for row in stmt.query_map([roll.0], |row| {
        Ok((ThingNo(row.get(0)?), row.get::<_, String>(1)?))
    })? {
        let (bearing, seat) = row?;
        let side = if seat == "neck_o" {
            "operator"
        } else {
            "drive"
        };
        let words = format!("{} on the {side} neck", code_of(conn, bearing)?);
        beside.push((bearing, "bearing".into(), words));
    }
    let sql = "SELECT count(DISTINCT campaign), coalesce(sum(run_s), 0) / 2 FROM run WHERE roll = ?1 AND is_estimate = 0";
    let (runs, run_s): (i64, i64) =
        conn.query_row(sql, [roll.0], |row| Ok((row.get(0)?, row.get(1)?)))?;
    state.push(match runs {
        0 => "No campaign of it is entered.".into(),
        1 => format!("1 campaign, {} h in the mill.", show.hours(run_s)),
        n => format!(
            "{} campaigns, {} h in the mill.",
            show.grouped(n),
            show.hours(run_s)
        ),
    });
    Ok(())
}

/// The chock that is there, and those that were there last.
fn in_position(
    conn: &Connection,
    position: ThingNo,
    show: Show,
    state: &mut Vec<String>,
    beside: &mut Beside,
) -> Result<()> {
    let sql = "SELECT p.thing, r.code, e.at_ms, e.at_offset_min FROM place p JOIN event e ON e.no = p.since_event
               LEFT JOIN thing r ON r.no = p.roll WHERE p.position = ?1";
    let now = conn
        .prepare_cached(sql)?
        .query_row([position.0], |row| {
            let roll: Option<String> = row.get("code")?;
            let since = Stamp::second(row.get("at_ms")?, row.get("at_offset_min")?);
            Ok((ThingNo(row.get("thing")?), roll, since))
        })
        .optional()?;
    let now = if let Some((chock, roll, since)) = now {
        let code = code_of(conn, chock)?;
        let on = roll.map_or_else(String::new, |roll| format!(" on {roll}"));
        state.push(format!("{code}{on} has been there since {}.", since.date()));
        beside.push((chock, "chock".into(), format!("{code} is there now")));
        Some(chock)
    } else {
        state.push("No chock is there now.".into());
        None
    };
    let sql = "SELECT chock, max(to_ms) AS last, sum(run_s) FROM run WHERE position = ?1 AND is_estimate = 0
               GROUP BY chock ORDER BY last DESC LIMIT 8";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map([position.0], |row| {
        Ok((
            ThingNo(row.get(0)?),
            row.get::<_, i64>(1)?,
            row.get::<_, i64>(2)?,
        ))
    })?;
    for row in rows {
        let (chock, last, run_s) = row?;
        if Some(chock) != now {
            let day = Stamp::second(last, 0).date();
            let words = format!(
                "{} until {day}, {} h in all",
                code_of(conn, chock)?,
                show.hours(run_s)
            );
            beside.push((chock, "chock".into(), words));
        }
    }
    Ok(())
}

/// What speaks against a gauge, and what was read on it since its last calibration.
fn used(
    conn: &Connection,
    gauge: ThingNo,
    now: Stamp,
    show: Show,
    state: &mut Vec<String>,
) -> Result<bool> {
    let gauges = crate::sheet::gauges_at(conn, now)?;
    let mut is_in_doubt = false;
    if let Some(facts) = gauges.values().find(|g| g.no == gauge) {
        is_in_doubt = facts.is_overdue;
        if facts.is_overdue {
            state.push(format!(
                "{}: its readings stay in doubt until it is calibrated.",
                sentence(&facts.doubt)
            ));
        } else {
            let due = Stamp::second(facts.due_ms, now.offset_min).date();
            state.push(format!("In calibration until {due}."));
        }
        let sql = "SELECT error, at_ms, what FROM gauge_fault WHERE gauge = ?1 ORDER BY at_ms DESC LIMIT 1";
        let fault: Option<(i64, i64, String)> = conn
            .prepare_cached(sql)?
            .query_row([gauge.0], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
            .optional()?;
        state.extend(fault.map(|(error, at, what)| {
            format!(
                "Found to read {} on {}: {what}.",
                error_words(error, &facts.measures, show),
                Stamp::second(at, now.offset_min).date()
            )
        }));
    }
    let sql =
        "SELECT count(*), count(DISTINCT r.event) FROM reading r JOIN event e ON e.no = r.event
               WHERE r.gauge = ?1 AND e.at_ms >= coalesce((SELECT max(at_ms) FROM calibration
                 WHERE gauge = ?1 AND at_ms <= ?2), 0)";
    let (readings, sheets): (i64, i64) = conn.query_row(sql, params![gauge.0, now.ms], |row| {
        Ok((row.get(0)?, row.get(1)?))
    })?;
    state.push(match readings {
        0 => "Nothing was read on it since its last calibration.".into(),
        n => format!(
            "{} readings on {} sheets since its last calibration.",
            show.grouped(n),
            show.grouped(sheets)
        ),
    });
    Ok(is_in_doubt)
}

fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
