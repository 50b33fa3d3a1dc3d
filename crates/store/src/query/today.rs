//! What asks for somebody today: late, unfinished, coming; and what changed since the last shift.

use rusqlite::{Connection, named_params, params};

use super::bearing::{growth, pair_now};
use super::due::Standing;
use super::due_lines::{DueLine, due_lines};
use super::expected::ExpectedLimit;
use super::journal::{JournalFilter, JournalLine, journal};
use super::looked_at::{ALL, since};
use super::stands::{SpareLine, spares};
use super::wear::{Question, ShopWear};
use super::work::{InWork, in_work};
use crate::draft::{self, DraftLine};
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::note::{ShiftNote, shift_note};
use crate::sheet::TypeFacts;
use crate::time::{DAY_MS, Stamp};

/// How far ahead is told what comes due.
pub const AHEAD_DAYS: i64 = 14;

/// Everything on the page.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Today {
    /// Events that cannot all be true, and nobody has settled it yet.
    pub conflicts: Vec<OpenConflict>,
    /// Bearings past their interval or soon there, the furthest first.
    pub due: Vec<DueLine>,
    /// Bearings whose wear may come before their interval ends, the soonest first; filled with the wear of the shop.
    pub likely: Vec<DueLine>,
    /// Chocks that are to be torn down early, the longest waiting first.
    pub early: Vec<EarlyTeardown>,
    /// Chocks in the mill that have no bearing by the record, the longest there first.
    pub empty: Vec<EmptyChock>,
    /// Bearings in chocks with a clearance at or over its watch level, the nearest to its limit first.
    pub near: Vec<NearLimit>,
    /// Bearings in the mill that may pass a limit before their next teardown, the likeliest first; empty until the wear of
    /// the shop is worked out.
    pub expected: Vec<ExpectedLimit>,
    /// Gauges overdue or soon due, the longest overdue first.
    pub gauges: Vec<GaugeDue>,
    /// Types of which fewer new bearings are in stores than there should be.
    pub short: Vec<ShortStock>,
    /// What is on hold, the longest first.
    pub holds: Vec<HoldLine>,
    /// Sheets that are not signed yet.
    pub drafts: Vec<DraftLine>,
    /// What the shift before wants the next to know.
    pub note: Option<ShiftNote>,
    /// Chocks that stand open, things away, work asked of the mill, sheets opened again.
    pub work: InWork,
    /// Bearings with readings that do not fit; empty until the wear of the shop is worked out.
    pub questions: Vec<Question>,
    /// What happened since the time asked for, newest first.
    pub changes: Vec<JournalLine>,
}

/// Events that cannot all be true.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenConflict {
    /// The event that does not fit.
    pub event: i64,
    /// When it happened.
    pub at: Stamp,
    /// Why it does not fit.
    pub what: String,
    /// The bearing or chock it is about, to open its page.
    pub thing: Option<(ThingNo, String)>,
    /// The entry of the register that has the same code: the two may be one thing.
    pub twin: Option<ThingNo>,
}

/// A chock that is to be torn down before it is due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EarlyTeardown {
    /// The chock.
    pub chock: (ThingNo, String),
    /// Why.
    pub why: String,
    /// Since when, ms UTC.
    pub at_ms: i64,
}

/// A chock that runs without a bearing, by the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EmptyChock {
    /// The chock.
    pub chock: (ThingNo, String),
    /// Code of its position.
    pub position: String,
    /// What was said when it was mounted.
    pub why: String,
    /// Since when.
    pub since: Stamp,
}

/// A clearance over its watch level.
#[derive(Debug, Clone, PartialEq)]
pub struct NearLimit {
    /// The bearing.
    pub bearing: (ThingNo, String),
    /// Row pair from 1.
    pub pair: usize,
    /// Clearance, nm.
    pub now_nm: i64,
    /// Limit, nm.
    pub limit_nm: i64,
}

/// A gauge and its calibration.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GaugeDue {
    /// The gauge.
    pub gauge: (ThingNo, String),
    /// What it is.
    pub kind: String,
    /// Next calibration, ms UTC.
    pub due_ms: i64,
    /// Whole days until then; below zero: past it.
    pub days: i64,
}

/// A type of which too few are in stores.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShortStock {
    /// The type.
    pub bearing_type: (ThingNo, String),
    /// New ones in stores.
    pub new: i64,
    /// How many there should be.
    pub least: i64,
    /// Where all of the type are.
    pub account: SpareLine,
}

/// Something on hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HoldLine {
    /// What.
    pub thing: (ThingNo, String),
    /// `bearing`, `chock` ...
    pub entity: String,
    /// Why: of several holds every reason, newest first.
    pub reason: String,
    /// True where nothing but sheets holds it, each by its decision.
    pub is_by_sheet: bool,
    /// Since when: the newest of them.
    pub since: Stamp,
}

/// Reads the page as of `now`; `since_ms` is when the last shift ended.
pub fn today(conn: &Connection, now: Stamp, since_ms: i64, show: Show) -> Result<Today> {
    let drafts = draft::list(conn)?;
    let all = journal(
        conn,
        &JournalFilter {
            limit: 200,
            ..JournalFilter::default()
        },
        show,
    )?;
    Ok(Today {
        conflicts: conflicts(conn)?,
        due: due_of_today(conn, now)?,
        likely: Vec::new(),
        early: early(conn, now)?,
        empty: empty(conn)?,
        expected: Vec::new(),
        near: near(conn, now)?,
        gauges: gauges(conn, now)?,
        short: short(conn, now)?,
        holds: holds(conn)?,
        drafts,
        note: shift_note(conn)?,
        work: in_work(conn, now)?,
        questions: Vec::new(),
        changes: all
            .into_iter()
            .filter(|line| line.entered.ms > since_ms)
            .collect(),
    })
}

/// What is past its interval or comes due soon; early teardowns stand in a list of their own, and a chock whose teardown
/// is begun is told there, not among those still to come.
fn due_of_today(conn: &Connection, now: Stamp) -> Result<Vec<DueLine>> {
    let mut due = due_lines(conn, now, AHEAD_DAYS, None)?;
    let drafts = draft::list(conn)?;
    let is_begun = |line: &DueLine| {
        let mut own = drafts.iter().filter(|d| d.kind == "teardown_sheet");
        own.any(|d| d.chock.eq_ignore_ascii_case(&line.chock.1))
    };
    due.retain(|line| line.due.standing != Standing::Early && (line.is_late() || !is_begun(line)));
    Ok(due)
}

/// Bearings whose wear says that a limit may be passed within the days that are looked ahead, and before their interval
/// ends: the soonest first. What comes due by its interval is counted there too.
pub fn likely_limits(conn: &Connection, now: Stamp, wear: &ShopWear) -> Result<Vec<DueLine>> {
    let mut likely = due_lines(conn, now, AHEAD_DAYS, Some(wear))?;
    likely.retain(|line| line.due.standing == Standing::Forecast);
    likely.sort_by_key(|line| line.due.days);
    Ok(likely)
}

fn named(no: Option<i64>, code: Option<String>) -> Option<(ThingNo, String)> {
    no.map(ThingNo).zip(code)
}

fn conflicts(conn: &Connection) -> Result<Vec<OpenConflict>> {
    let mut stmt = conn.prepare_cached(
        "SELECT c.event, c.what, e.at_ms, e.at_offset_min, e.at_precision, t.no AS thing, t.code,
           (SELECT o.no FROM thing own JOIN thing o ON o.entity = own.entity AND o.code = own.code COLLATE NOCASE
              AND o.no <> own.no WHERE own.no = c.event AND own.entity <> 'person' ORDER BY o.no LIMIT 1) AS twin
         FROM conflict c JOIN event e ON e.no = c.event
         LEFT JOIN thing t ON t.no = (SELECT te.thing FROM thing_event te JOIN thing x ON x.no = te.thing
             WHERE te.event = c.event AND x.entity IN ('bearing', 'chock')
             ORDER BY x.entity, x.no IS NOT (SELECT bearing FROM sheet WHERE event = c.event) LIMIT 1)
         WHERE c.resolved_event IS NULL ORDER BY e.at_ms, c.event",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(OpenConflict {
            event: row.get("event")?,
            at: super::stamp_from_row(row)?,
            what: row.get("what")?,
            thing: named(row.get("thing")?, row.get("code")?),
            twin: row.get::<_, Option<i64>>("twin")?.map(ThingNo),
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// Those whose bearing has not been looked at since, wherever it is now.
fn early(conn: &Connection, now: Stamp) -> Result<Vec<EarlyTeardown>> {
    let mut stmt = conn.prepare_cached(&format!(
        "WITH {}
         SELECT s.chock, c.code, e.why, min(e.at_ms) AS at_ms FROM early_teardown e
         JOIN stay o ON o.chock = e.chock AND o.seat IN ('main', 'main2')
            AND e.at_ms BETWEEN o.from_ms AND min(coalesce(o.to_ms, :now), :now)
         JOIN stay s ON s.bearing = o.bearing AND s.to_ms IS NULL
         JOIN chock c ON c.no = s.chock JOIN since n ON n.bearing = s.bearing AND n.from_ms <= e.at_ms
         GROUP BY s.chock ORDER BY min(e.at_ms), c.code",
        since(ALL)
    ))?;
    let rows = stmt.query_map(named_params! { ":now": now.ms }, |row| {
        Ok(EarlyTeardown {
            chock: (ThingNo(row.get("chock")?), row.get("code")?),
            why: row.get("why")?,
            at_ms: row.get("at_ms")?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// In a position with rolling bearings and nothing in any seat.
fn empty(conn: &Connection) -> Result<Vec<EmptyChock>> {
    let mut stmt = conn.prepare_cached(
        "SELECT c.no, c.code, p.code AS position, pl.note, e.at_ms, e.at_offset_min, e.at_precision
         FROM place pl JOIN chock c ON c.no = pl.thing JOIN position p ON p.no = pl.position JOIN event e ON e.no = pl.since_event
         WHERE pl.place = 'mill' AND p.is_rolling_bearing = 1
           AND NOT EXISTS (SELECT 1 FROM stay s WHERE s.chock = c.no AND s.to_event IS NULL)
         ORDER BY e.at_ms, c.code",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(EmptyChock {
            chock: (ThingNo(row.get("no")?), row.get("code")?),
            position: row.get("position")?,
            why: row.get("note")?,
            since: super::stamp_from_row(row)?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn near(conn: &Connection, now: Stamp) -> Result<Vec<NearLimit>> {
    let mut stmt = conn.prepare_cached(
        "SELECT s.bearing, b.serial, b.bearing_type,
           (SELECT kind FROM bearing_type t WHERE t.no = b.bearing_type) AS kind FROM stay s JOIN bearing b ON b.no = s.bearing
         WHERE s.to_ms IS NULL AND s.seat IN ('main', 'main2')",
    )?;
    let mut rows = stmt.query([])?;
    let mut types: std::collections::BTreeMap<i64, TypeFacts> = std::collections::BTreeMap::new();
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let of: i64 = row.get("bearing_type")?;
        if let std::collections::btree_map::Entry::Vacant(free) = types.entry(of) {
            free.insert(TypeFacts::load(conn, ThingNo(of), now.ms)?);
        }
        let facts = &types[&of];
        let (points, _, as_set) = growth(conn, ThingNo(row.get("bearing")?), 0)?;
        let pairs = (1..=3).filter_map(|pair| {
            let state = pair_now(&points, facts, as_set[pair - 1], pair);
            let (now_nm, limit_nm) = state.now_nm.zip(state.limit_nm)?;
            (now_nm >= state.watch_nm.unwrap_or(limit_nm)).then_some((pair, now_nm, limit_nm))
        });
        if let Some((pair, now_nm, limit_nm)) =
            pairs.max_by_key(|(_, now_nm, limit)| now_nm - limit)
        {
            let kind: String = row.get("kind")?;
            found.push(NearLimit {
                pair: if kind == "four_row_tapered" { pair } else { 0 },
                bearing: (ThingNo(row.get("bearing")?), row.get("serial")?),
                now_nm,
                limit_nm,
            });
        }
    }
    // Unlike bearings: by the share of its own limit.
    let share = |line: &NearLimit| line.now_nm as f64 / line.limit_nm as f64;
    found.sort_by(|a, b| share(b).total_cmp(&share(a)));
    Ok(found)
}

fn gauges(conn: &Connection, now: Stamp) -> Result<Vec<GaugeDue>> {
    let mut stmt = conn.prepare_cached(
        "SELECT g.no, g.code, g.kind, c.due_ms FROM gauge g JOIN calibration c ON c.gauge = g.no
         WHERE c.event = (SELECT event FROM calibration WHERE gauge = g.no AND at_ms <= ?1 ORDER BY at_ms DESC, event DESC LIMIT 1)
           AND c.due_ms < ?2
           AND NOT EXISTS (SELECT 1 FROM place p WHERE p.thing = g.no AND p.place IN ('scrapped', 'away'))
         ORDER BY c.due_ms, g.code",
    )?;
    let rows = stmt.query_map(params![now.ms, now.ms + AHEAD_DAYS * DAY_MS], |row| {
        let due_ms: i64 = row.get("due_ms")?;
        Ok(GaugeDue {
            gauge: (ThingNo(row.get("no")?), row.get("code")?),
            kind: row.get("kind")?,
            due_ms,
            days: (due_ms - now.ms).div_euclid(DAY_MS),
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn short(conn: &Connection, now: Stamp) -> Result<Vec<ShortStock>> {
    let mut found = Vec::new();
    for account in spares(conn, now)? {
        let no = account.type_no;
        let Some(least) = account.least else {
            continue;
        };
        if account.new < least {
            found.push(ShortStock {
                bearing_type: (no, account.bearing_type.clone()),
                new: account.new,
                least,
                account,
            });
        }
    }
    Ok(found)
}

fn holds(conn: &Connection) -> Result<Vec<HoldLine>> {
    let mut stmt = conn.prepare_cached(
        "SELECT h.thing, t.code, t.entity, e.at_ms, e.at_offset_min, e.at_precision,
           (SELECT group_concat(reason, '; ') FROM (SELECT x.reason FROM hold x
              WHERE x.thing = h.thing AND x.released_event IS NULL ORDER BY x.event DESC)) AS reason,
           NOT EXISTS (SELECT 1 FROM hold x WHERE x.thing = h.thing AND x.released_event IS NULL
             AND x.reason NOT LIKE 'decided on the sheet%') AS is_by_sheet
         FROM hold h JOIN thing t ON t.no = h.thing JOIN event e ON e.no = h.event
         WHERE h.released_event IS NULL
           AND h.event = (SELECT max(x.event) FROM hold x WHERE x.thing = h.thing AND x.released_event IS NULL)
           AND NOT EXISTS (SELECT 1 FROM place p WHERE p.thing = h.thing AND p.place = 'scrapped')
         ORDER BY e.at_ms, h.thing",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(HoldLine {
            thing: (ThingNo(row.get("thing")?), row.get("code")?),
            entity: row.get("entity")?,
            reason: row.get("reason")?,
            is_by_sheet: row.get("is_by_sheet")?,
            since: super::stamp_from_row(row)?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
