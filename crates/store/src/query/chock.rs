//! Chocks: the register table and the page of one.

use rusqlite::{Connection, params};

use super::corrections::{Document, documents_of};
use super::journal::{JournalFilter, JournalLine, journal};
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::sheet::TypeFacts;
use crate::time::{DAY_MS, Stamp};

/// One line of the register of chocks.
#[derive(Debug, Clone, PartialEq)]
pub struct ChockLine {
    /// Its number here.
    pub no: ThingNo,
    /// Its code.
    pub code: String,
    /// Its type.
    pub type_code: String,
    /// Where it is: `mill`, `shop`, `away`, `scrapped`.
    pub place: String,
    /// Position in the mill, or whom it is away at.
    pub place_note: String,
    /// Roll it is on.
    pub roll: String,
    /// Bearings in it: number, serial, seat.
    pub bearings: Vec<(ThingNo, String, String)>,
    /// Mill time since the main bearing was put in, s.
    pub stay_run_s: i64,
    /// Day of the last bore check.
    pub last_bore: Option<Stamp>,
    /// Worst verdict of the last bore check, as in the file; empty = none.
    pub bore_verdict: String,
    /// Why it is on hold.
    pub held: Option<String>,
}

/// A check of the bore.
#[derive(Debug, Clone, PartialEq)]
pub struct BoreCheck {
    /// The event.
    pub event: i64,
    /// The day.
    pub at: Stamp,
    /// Sizes at 20 C, plane by direction, nm; empty where the grid was not whole.
    pub sizes_nm: Vec<i64>,
    /// Mean deviation, nm.
    pub mean_nm: i64,
    /// Ovality of each plane, nm.
    pub ovality_nm: Vec<i64>,
    /// Taper, nm.
    pub taper_nm: Option<i64>,
    /// Verdicts as signed: what, plane, verdict, value, lower, upper, U.
    pub verdicts: Vec<BoreVerdict>,
}

/// A verdict of a bore check as signed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoreVerdict {
    /// `bore_mean`, `bore_ovality`, `bore_taper`, `bore_smallest`.
    pub about: String,
    /// Plane from 1, 0 for the whole.
    pub plane: i64,
    /// The verdict, as in the file.
    pub verdict: String,
    /// Value, nm.
    pub value_nm: Option<i64>,
    /// Lower limit, nm.
    pub lower_nm: Option<i64>,
    /// Upper limit, nm.
    pub upper_nm: Option<i64>,
    /// U at k = 2, nm.
    pub expanded_uncertainty_nm: Option<i64>,
    /// Probability of conformity, ppm.
    pub probability_ppm: Option<i64>,
}

/// Everything on the page of one chock.
#[derive(Debug, Clone, PartialEq)]
pub struct ChockPage {
    /// Its line in the register.
    pub line: ChockLine,
    /// The bearing type of its main seat, with the limits of the bore.
    pub bearing_type: TypeFacts,
    /// Bore checks, oldest first.
    pub bores: Vec<BoreCheck>,
    /// Mill time in all, s.
    pub total_run_s: i64,
    /// What happened, newest first.
    pub journal: Vec<JournalLine>,
    /// Its pictures and papers, newest first.
    pub documents: Vec<Document>,
}

/// All chocks by code.
pub fn chocks(conn: &Connection) -> Result<Vec<ChockLine>> {
    lines(conn, None)
}

fn lines(conn: &Connection, only: Option<ThingNo>) -> Result<Vec<ChockLine>> {
    let sql = "SELECT c.no, c.code, t.code AS type_code, coalesce(pl.place, 'shop') AS place, pl.note,
            pos.code AS position_code, r.code AS roll_code,
            (SELECT s.run_s FROM stay s WHERE s.chock = c.no AND s.to_event IS NULL AND s.seat = 'main') AS stay_run_s,
            (SELECT sh.event FROM sheet sh JOIN event e ON e.no = sh.event JOIN outcome o ON o.event = sh.event
               AND o.name = 'bore_mean_nm' WHERE sh.chock = c.no ORDER BY e.at_ms DESC, e.no DESC LIMIT 1) AS last_bore,
            (SELECT reason FROM hold h WHERE h.thing = c.no AND h.released_event IS NULL LIMIT 1) AS held
        FROM chock c JOIN chock_type t ON t.no = c.chock_type
        LEFT JOIN place pl ON pl.thing = c.no
        LEFT JOIN position pos ON pos.no = pl.position
        LEFT JOIN roll r ON r.no = pl.roll
        WHERE ?1 IS NULL OR c.no = ?1 ORDER BY c.code";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query([only.map(|t| t.0)])?;
    let mut lines = Vec::new();
    while let Some(row) = rows.next()? {
        let no = ThingNo(row.get("no")?);
        let place: String = row.get("place")?;
        let position: Option<String> = row.get("position_code")?;
        let note: Option<String> = row.get("note")?;
        let last_bore: Option<i64> = row.get("last_bore")?;
        let mut line = ChockLine {
            no,
            code: row.get("code")?,
            type_code: row.get("type_code")?,
            place_note: if place == "mill" { position } else { note }.unwrap_or_default(),
            place,
            roll: row
                .get::<_, Option<String>>("roll_code")?
                .unwrap_or_default(),
            bearings: seated(conn, no)?,
            stay_run_s: row.get::<_, Option<i64>>("stay_run_s")?.unwrap_or(0),
            last_bore: None,
            bore_verdict: String::new(),
            held: row.get("held")?,
        };
        if let Some(event) = last_bore {
            let check = bore_check(conn, event)?;
            let verdicts: Vec<calc::conformity::Verdict> = check
                .verdicts
                .iter()
                .filter_map(|v| v.verdict.parse().ok())
                .collect();
            if !verdicts.is_empty() {
                calc::conformity::Verdict::worst(verdicts)
                    .as_str()
                    .clone_into(&mut line.bore_verdict);
            }
            line.last_bore = Some(check.at);
        }
        lines.push(line);
    }
    Ok(lines)
}

fn seated(conn: &Connection, chock: ThingNo) -> Result<Vec<(ThingNo, String, String)>> {
    let sql = "SELECT b.no, b.serial, s.seat FROM stay s JOIN bearing b ON b.no = s.bearing
               WHERE s.chock = ?1 AND s.to_event IS NULL ORDER BY s.seat";
    let mut stmt = conn.prepare_cached(sql)?;
    let rows = stmt.query_map([chock.0], |row| {
        Ok((ThingNo(row.get(0)?), row.get(1)?, row.get(2)?))
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn bore_check(conn: &Connection, event: i64) -> Result<BoreCheck> {
    let at = conn
        .prepare_cached("SELECT at_ms, at_offset_min, at_precision FROM event WHERE no = ?1")?
        .query_row([event], super::stamp_from_row)?;
    let values = |name: &str| -> Result<Vec<i64>> {
        let mut stmt = conn.prepare_cached(
            "SELECT value FROM outcome WHERE event = ?1 AND name = ?2 ORDER BY item",
        )?;
        let rows = stmt.query_map(params![event, name], |row| row.get(0))?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    };
    let mut stmt = conn.prepare_cached(
        "SELECT * FROM verdict WHERE event = ?1 AND about LIKE 'bore_%' ORDER BY about, item",
    )?;
    let verdicts = stmt.query_map([event], |row| {
        Ok(BoreVerdict {
            about: row.get("about")?,
            plane: row.get("item")?,
            verdict: row.get("verdict")?,
            value_nm: row.get("value_nm")?,
            lower_nm: row.get("lower_nm")?,
            upper_nm: row.get("upper_nm")?,
            expanded_uncertainty_nm: row.get("expanded_uncertainty_nm")?,
            probability_ppm: row.get("probability_ppm")?,
        })
    })?;
    Ok(BoreCheck {
        event,
        at,
        sizes_nm: values("bore_size_nm")?,
        mean_nm: values("bore_mean_nm")?.first().copied().unwrap_or(0),
        ovality_nm: values("bore_ovality_nm")?,
        taper_nm: values("bore_taper_nm")?.first().copied(),
        verdicts: verdicts.collect::<rusqlite::Result<_>>()?,
    })
}

/// Reads the page of one chock; none where there is no such chock.
pub fn chock_page(
    conn: &Connection,
    chock: ThingNo,
    now: Stamp,
    show: Show,
) -> Result<Option<ChockPage>> {
    let Some(line) = lines(conn, Some(chock))?.into_iter().next() else {
        return Ok(None);
    };
    let sql = "SELECT s.bearing_type FROM chock c JOIN chock_seat s ON s.chock_type = c.chock_type AND s.name = 'main' WHERE c.no = ?1";
    let type_no: i64 = conn.query_row(sql, [chock.0], |row| row.get(0))?;
    let sql = "SELECT sh.event FROM sheet sh JOIN event e ON e.no = sh.event JOIN outcome o ON o.event = sh.event
               AND o.name = 'bore_mean_nm' WHERE sh.chock = ?1 ORDER BY e.at_ms, e.no";
    let mut stmt = conn.prepare_cached(sql)?;
    let events: Vec<i64> = stmt
        .query_map([chock.0], |row| row.get(0))?
        .collect::<rusqlite::Result<_>>()?;
    let filter = JournalFilter {
        thing: Some(chock),
        with_register: true,
        ..JournalFilter::default()
    };
    Ok(Some(ChockPage {
        line,
        bearing_type: TypeFacts::load(conn, ThingNo(type_no), now.ms + DAY_MS)?,
        bores: events
            .into_iter()
            .map(|event| bore_check(conn, event))
            .collect::<Result<_>>()?,
        total_run_s: conn.query_row(
            "SELECT coalesce(sum(run_s), 0) FROM run WHERE chock = ?1",
            [chock.0],
            |row| row.get(0),
        )?,
        journal: journal(conn, &filter, show)?,
        documents: documents_of(conn, chock)?,
    }))
}
