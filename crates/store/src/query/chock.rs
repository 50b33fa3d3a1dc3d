//! Chocks: the register table and the page of one.

use calc::conformity::Verdict;
use rusqlite::Connection;

use super::back::last_return;
use super::corrections::{Document, documents_of};
use super::journal::{JournalFilter, JournalLine, journal};
use super::sheet::{SheetDetail, sheet_detail};
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::Judgement;
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
    /// Mill time after which the bearing in its main seat is to be looked at, s.
    pub interval_run_s: Option<i64>,
    /// Until when that stay was extended.
    pub extended_ms: Option<i64>,
    /// Day of the last bore check.
    pub last_bore: Option<Stamp>,
    /// Worst verdict of the last bore check, as in the file; empty = none.
    pub bore_verdict: String,
    /// Why it is on hold.
    pub held: Option<String>,
}

/// What a sheet says of a chock: its bore where that was measured whole, its faces and liners.
#[derive(Debug, Clone, PartialEq)]
pub struct ChockCheck {
    /// The sheet, with gauge, temperatures and verdicts as signed.
    pub sheet: SheetDetail,
    /// The limits as they were on that day.
    pub limits: TypeFacts,
    /// The bore; none where its grid was not whole.
    pub bore: Option<BoreCheck>,
    /// True for the first bore after a return from outside work.
    pub is_after_repair: bool,
}

impl ChockCheck {
    /// The event of the sheet.
    pub fn event(&self) -> i64 {
        self.sheet.event.no
    }

    /// The day.
    pub fn at(&self) -> Stamp {
        self.sheet.event.at
    }

    /// The verdicts on the chock, with their place among those of the sheet.
    pub fn verdicts(&self) -> impl Iterator<Item = (usize, &Judgement)> {
        let all = self.sheet.body.verdicts.iter().enumerate();
        all.filter(|(_, v)| v.about.starts_with(BORE) || v.about.starts_with(FACES))
    }

    /// True where the bore was machined before: what was measured earlier is another surface.
    pub fn is_after_repair(&self) -> bool {
        self.is_after_repair
    }
}

/// What verdicts and results of the bore begin with.
const BORE: &str = "bore_";
/// What verdicts of shoulder, cover face and liners begin with.
const FACES: &str = "chock_";

/// A bore as measured.
#[derive(Debug, Clone, PartialEq)]
pub struct BoreCheck {
    /// Sizes at 20 C, plane by direction, nm.
    pub sizes_nm: Vec<i64>,
    /// Mean deviation, nm.
    pub mean_nm: i64,
    /// Ovality of each plane, nm.
    pub ovality_nm: Vec<i64>,
    /// Taper, nm.
    pub taper_nm: Option<i64>,
}

/// Everything on the page of one chock.
#[derive(Debug, Clone, PartialEq)]
pub struct ChockPage {
    /// Its line in the register.
    pub line: ChockLine,
    /// The bearing type of its main seat, with the limits of the bore.
    pub bearing_type: TypeFacts,
    /// Checks of its bore, faces and liners, oldest first.
    pub checks: Vec<ChockCheck>,
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
            (SELECT group_concat(reason, '; ') FROM (SELECT h.reason FROM hold h
               WHERE h.thing = c.no AND h.released_event IS NULL ORDER BY h.event DESC)) AS held,
            (SELECT v.value FROM stay s JOIN bearing b ON b.no = s.bearing JOIN type_value v ON v.bearing_type = b.bearing_type
               WHERE s.chock = c.no AND s.to_event IS NULL AND s.seat = 'main' AND v.name = 'interval_run_s'
               ORDER BY v.valid_from_ms DESC LIMIT 1) AS interval_run_s,
            (SELECT x.until_ms FROM stay s JOIN extension x ON x.chock = s.chock AND x.at_ms >= s.from_ms
               WHERE s.chock = c.no AND s.to_event IS NULL AND s.seat = 'main'
               ORDER BY x.at_ms DESC, x.event DESC LIMIT 1) AS extended_ms
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
            interval_run_s: row.get("interval_run_s")?,
            extended_ms: row.get("extended_ms")?,
            last_bore: None,
            bore_verdict: String::new(),
            held: row.get("held")?,
        };
        if let Some(event) = last_bore {
            line.bore_verdict = worst_of_bore(conn, event)?;
            line.last_bore = Some(
                conn.prepare_cached(
                    "SELECT at_ms, at_offset_min, at_precision FROM event WHERE no = ?1",
                )?
                .query_row([event], super::stamp_from_row)?,
            );
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

/// Worst verdict of a sheet on the bore, as in the file; empty = none.
fn worst_of_bore(conn: &Connection, event: i64) -> Result<String> {
    let mut stmt = conn.prepare_cached(
        "SELECT verdict FROM verdict WHERE event = ?1 AND about LIKE 'bore_%' ORDER BY about, item",
    )?;
    let rows = stmt.query_map([event], |row| row.get::<_, String>(0))?;
    let all: Vec<String> = rows.collect::<rusqlite::Result<_>>()?;
    let verdicts: Vec<Verdict> = all.iter().filter_map(|v| v.parse().ok()).collect();
    Ok(if verdicts.is_empty() {
        String::new()
    } else {
        Verdict::worst(verdicts).as_str().to_owned()
    })
}

impl BoreCheck {
    /// The bore of a sheet; none where its grid was not whole.
    fn of(sheet: &SheetDetail) -> Option<Self> {
        let values = |name: &str| -> Vec<i64> {
            let name = format!("{BORE}{name}_nm");
            let all = sheet.body.results.iter().filter(|o| o.name == name);
            all.map(|o| o.value).collect()
        };
        Some(Self {
            mean_nm: *values("mean").first()?,
            sizes_nm: values("size"),
            ovality_nm: values("ovality"),
            taper_nm: values("taper").first().copied(),
        })
    }
}

/// Every sheet that says something of a chock.
fn checks(conn: &Connection, chock: ThingNo, of: ThingNo, show: Show) -> Result<Vec<ChockCheck>> {
    let sql = "SELECT sh.event FROM sheet sh JOIN event e ON e.no = sh.event WHERE sh.chock = ?1
                 AND (EXISTS (SELECT 1 FROM outcome o WHERE o.event = e.no AND o.name = 'bore_mean_nm')
                   OR EXISTS (SELECT 1 FROM verdict v WHERE v.event = e.no AND v.about GLOB 'chock_*'))
               ORDER BY e.at_ms, e.no";
    let mut stmt = conn.prepare_cached(sql)?;
    let events: Vec<i64> = stmt
        .query_map([chock.0], |row| row.get(0))?
        .collect::<rusqlite::Result<_>>()?;
    let mut all: Vec<ChockCheck> = Vec::new();
    let mut measured_ms = None;
    for event in events {
        let Some(sheet) = sheet_detail(conn, event, show)? else {
            continue;
        };
        let at_ms = sheet.event.at.ms;
        let bore = BoreCheck::of(&sheet);
        // Whether it was measured on its return or some day later: the first bore after it is another one.
        let back = last_return(conn, chock, at_ms)?;
        let is_other =
            back.is_some_and(|back| measured_ms.is_none_or(|before| before < back.at.ms));
        if bore.is_some() {
            measured_ms = Some(at_ms);
        }
        all.push(ChockCheck {
            limits: TypeFacts::load(conn, of, at_ms)?,
            is_after_repair: is_other && bore.is_some(),
            bore,
            sheet,
        });
    }
    Ok(all)
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
    let filter = JournalFilter {
        thing: Some(chock),
        with_register: true,
        ..JournalFilter::default()
    };
    Ok(Some(ChockPage {
        line,
        bearing_type: TypeFacts::load(conn, ThingNo(type_no), now.ms + DAY_MS)?,
        checks: checks(conn, chock, ThingNo(type_no), show)?,
        total_run_s: conn.query_row(
            "SELECT coalesce(sum(run_s), 0) FROM run WHERE chock = ?1",
            [chock.0],
            |row| row.get(0),
        )?,
        journal: journal(conn, &filter, show)?,
        documents: documents_of(conn, chock)?,
    }))
}
