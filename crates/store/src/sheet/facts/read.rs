//! What the facts of a sheet are read from.

use std::collections::BTreeMap;

use calc::quantity::{nanometres, to_nanometres};
use calc::stack::mean_gap;
use rusqlite::{Connection, OptionalExtension, named_params, params};

use super::{BearingFacts, ChockFacts, GaugeFacts, LastClearance, LastSeat, PAST_DUE, StayFacts};
use crate::error::{Result, StoreError};
use crate::id::ThingNo;
use crate::sheet::clearance::How;
use crate::sheet::field::radial::{RadialCell, Way};
use crate::sheet::field::{self, Cell};
use crate::sheet::findings;
use crate::time::{DAY_MS, Stamp};

/// A thing by its code, whatever the case of the letters.
pub fn thing_by_code(
    conn: &Connection,
    entity: &str,
    code: &str,
) -> Result<Option<(ThingNo, String)>> {
    let sql = "SELECT no, code FROM thing WHERE entity = ?1 AND code = ?2 COLLATE NOCASE ORDER BY code = ?2 DESC, no LIMIT 1";
    let found = conn
        .prepare_cached(sql)?
        .query_row(params![entity, code.trim()], |row| {
            Ok((ThingNo(row.get(0)?), row.get(1)?))
        });
    Ok(found.optional()?)
}

/// Greases and seal batches that were blocked by then.
pub(super) fn blocked(conn: &Connection, at_ms: i64) -> Result<BTreeMap<String, String>> {
    let mut stmt = conn.prepare_cached(
        "SELECT t.code, b.reason FROM blocked b JOIN thing t ON t.no = b.thing WHERE b.at_ms <= ?1",
    )?;
    let rows = stmt.query_map([at_ms], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

pub(super) fn auditors(conn: &Connection) -> Result<Vec<String>> {
    let mut stmt = conn.prepare_cached("SELECT name FROM person WHERE role = 'auditor'")?;
    let rows = stmt.query_map([], |row| row.get(0))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

pub(in crate::sheet) fn codes(
    conn: &Connection,
    entity: &str,
) -> Result<BTreeMap<String, ThingNo>> {
    let mut stmt =
        conn.prepare_cached("SELECT code, no FROM thing WHERE entity = ?1 ORDER BY code")?;
    let rows = stmt.query_map([entity], |row| Ok((row.get(0)?, ThingNo(row.get(1)?))))?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// The bearing in the main seat of a chock, or the stay of a bearing, at a time.
pub(super) fn stay_at(
    conn: &Connection,
    by: &str,
    thing: ThingNo,
    at_ms: i64,
) -> Result<Option<(ThingNo, StayFacts)>> {
    let sql = if by == "chock" {
        "SELECT s.*, c.code, (SELECT coalesce(sum(r.run_s), 0) FROM run r WHERE r.chock = s.chock AND r.from_ms >= s.from_ms
           AND r.from_ms < ?2) AS run_then_s,
           (SELECT coalesce(sum(r.rolled_kg), 0) FROM run r WHERE r.chock = s.chock AND r.from_ms >= s.from_ms
           AND r.from_ms < ?2) AS rolled_then_kg
         FROM stay s JOIN chock c ON c.no = s.chock WHERE s.chock = ?1 AND s.seat = 'main'
         AND s.from_ms <= ?2 AND (s.to_ms IS NULL OR s.to_ms > ?2) ORDER BY s.from_ms DESC LIMIT 1"
    } else {
        "SELECT s.*, c.code, (SELECT coalesce(sum(r.run_s), 0) FROM run r WHERE r.chock = s.chock AND r.from_ms >= s.from_ms
           AND r.from_ms < ?2) AS run_then_s,
           (SELECT coalesce(sum(r.rolled_kg), 0) FROM run r WHERE r.chock = s.chock AND r.from_ms >= s.from_ms
           AND r.from_ms < ?2) AS rolled_then_kg
         FROM stay s JOIN chock c ON c.no = s.chock WHERE s.bearing = ?1
         AND s.from_ms <= ?2 AND (s.to_ms IS NULL OR s.to_ms > ?2) ORDER BY s.from_ms DESC LIMIT 1"
    };
    let stay = conn
        .prepare_cached(sql)?
        .query_row(params![thing.0, at_ms], |row| {
            let stay = StayFacts {
                chock: ThingNo(row.get("chock")?),
                chock_code: row.get("code")?,
                from_ms: row.get("from_ms")?,
                zone: row.get("zone")?,
                run_s: row.get("run_then_s")?,
                rolled_kg: row.get("rolled_then_kg")?,
            };
            Ok((ThingNo(row.get("bearing")?), stay))
        });
    Ok(stay.optional()?)
}

/// Position and roll that the chock was mounted at by then, else those of its last campaign.
pub(super) fn last_run(
    conn: &Connection,
    chock: ThingNo,
    at_ms: i64,
) -> Result<Option<((ThingNo, String), String)>> {
    let mounted = "SELECT p.no, p.code, r.code FROM place x JOIN event e ON e.no = x.since_event
               JOIN position p ON p.no = x.position JOIN roll r ON r.no = x.roll
               WHERE x.thing = ?1 AND x.place = 'mill' AND e.at_ms <= ?2";
    let ran = "SELECT p.no, p.code, r.code FROM run JOIN position p ON p.no = run.position JOIN roll r ON r.no = run.roll
               WHERE run.chock = ?1 AND run.from_ms <= ?2 ORDER BY run.from_ms DESC LIMIT 1";
    for sql in [mounted, ran] {
        let found = conn
            .prepare_cached(sql)?
            .query_row(params![chock.0, at_ms], |row| {
                Ok(((ThingNo(row.get(0)?), row.get(1)?), row.get(2)?))
            });
        if let Some(found) = found.optional()? {
            return Ok(Some(found));
        }
    }
    Ok(None)
}

pub(super) fn chock_facts(conn: &Connection, no: ThingNo) -> Result<ChockFacts> {
    let sql = "SELECT c.code, t.shim_place, t.bore_planes FROM chock c JOIN chock_type t ON t.no = c.chock_type WHERE c.no = ?1";
    Ok(conn.query_row(sql, [no.0], |row| {
        Ok(ChockFacts {
            no,
            code: row.get(0)?,
            shim_place: row.get(1)?,
            bore_planes: row.get::<_, u16>(2)?.into(),
        })
    })?)
}

pub(super) fn bearing_facts(conn: &Connection, no: ThingNo, at_ms: i64) -> Result<BearingFacts> {
    let (serial, prior_run_s): (String, i64) = conn.query_row(
        "SELECT serial, prior_run_s FROM bearing WHERE no = ?1",
        [no.0],
        |row| Ok((row.get(0)?, row.get(1)?)),
    )?;
    let mut facts = BearingFacts {
        no,
        serial,
        total_run_s: prior_run_s,
        as_set_nm: [None; 3],
        revision: 0,
        zone_run_s: [0; 4],
        stay: stay_at(conn, "bearing", no, at_ms)?.map(|(_, stay)| stay),
        history: history(conn, no, at_ms)?,
        findings: findings::earlier(conn, no, at_ms)?,
        held: None,
    };
    // Only what ran before: a sheet that is entered late must not know the hours after it.
    let mut stmt = conn.prepare_cached(
        "SELECT s.zone, sum(r.run_s) FROM stay s JOIN run r ON r.chock = s.chock AND r.from_ms >= s.from_ms
           AND (s.to_ms IS NULL OR r.from_ms < s.to_ms)
         WHERE s.bearing = ?1 AND r.from_ms < ?2 GROUP BY s.zone",
    )?;
    for row in stmt.query_map(params![no.0, at_ms], |row| {
        Ok((row.get::<_, i64>(0)?, row.get::<_, i64>(1)?))
    })? {
        let (zone, run_s) = row?;
        facts.total_run_s += run_s;
        if let Some(hours) = usize::try_from(zone - 1)
            .ok()
            .and_then(|z| facts.zone_run_s.get_mut(z))
        {
            *hours += run_s;
        }
    }
    let sql = "SELECT revision, pair, value_nm FROM baseline WHERE bearing = ?1 AND event =
                 (SELECT event FROM baseline WHERE bearing = ?1 AND at_ms <= ?2 ORDER BY at_ms DESC, revision DESC LIMIT 1)";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query(params![no.0, at_ms])?;
    while let Some(row) = rows.next()? {
        facts.revision = row.get("revision")?;
        let pair: i64 = row.get("pair")?;
        if let Some(value) = usize::try_from(pair - 1)
            .ok()
            .and_then(|p| facts.as_set_nm.get_mut(p))
        {
            *value = Some(row.get("value_nm")?);
        }
    }
    let sql = "SELECT h.reason FROM hold h JOIN event e ON e.no = h.event LEFT JOIN event r ON r.no = h.released_event
               WHERE h.thing = ?1 AND e.at_ms <= ?2 AND (r.at_ms IS NULL OR r.at_ms > ?2) ORDER BY e.at_ms LIMIT 1";
    facts.held = conn
        .query_row(sql, params![no.0, at_ms], |row| row.get(0))
        .optional()?;
    Ok(facts)
}

/// Clearances of the sheets before `at_ms`, oldest first: since it was set anew, where it was reconditioned.
pub(super) fn history(
    conn: &Connection,
    bearing: ThingNo,
    at_ms: i64,
) -> Result<Vec<LastClearance>> {
    let sql = "SELECT e.no, e.at_ms, e.at_offset_min, e.at_precision, sheet.decided = 'regrind_spacers' AS is_ground,
                 (SELECT b.prior_run_s + coalesce(sum(s.run_s), 0) FROM stay s WHERE s.bearing = b.no AND s.from_ms < e.at_ms) AS run_s
               FROM sheet JOIN event e ON e.no = sheet.event JOIN bearing b ON b.no = sheet.bearing
               WHERE sheet.bearing = :bearing AND e.at_ms < :at
                 AND e.at_ms >= coalesce((SELECT max(at_ms) FROM baseline WHERE bearing = :bearing AND at_ms < :at), e.at_ms)
               ORDER BY e.at_ms, e.no";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query(named_params! {":bearing": bearing.0, ":at": at_ms})?;
    let mut history = Vec::new();
    while let Some(row) = rows.next()? {
        let no: i64 = row.get("no")?;
        history.push(LastClearance {
            at: crate::query::stamp_from_row(row)?,
            run_s: row.get("run_s")?,
            found_nm: found_by_pair(conn, no)?,
            left_nm: outcome_by_pair(conn, no, "end_play_after_nm")?,
            width_nm: widths(conn, no, row.get("is_ground")?)?,
            how: how(conn, no)?,
            way: way(conn, no, bearing)?,
        });
    }
    Ok(history)
}

/// Widths of the spacers as a sheet left them: the mean of the places after grinding, else of those as found.
fn widths(conn: &Connection, event: i64, is_ground: bool) -> Result<[Option<i64>; 3]> {
    let mut found: [Vec<i64>; 3] = Default::default();
    let mut ground = found.clone();
    let sql = "SELECT path, value FROM reading WHERE event = ?1 AND (path GLOB 'clearance.spacer.*' OR path GLOB 'after.*')";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query([event])?;
    while let Some(row) = rows.next()? {
        let path: String = row.get("path")?;
        let of = match field::grid(&path) {
            Some(Cell::Spacer { pair } | Cell::SpacerAt { pair, .. }) => found.get_mut(pair - 1),
            Some(Cell::After { pair } | Cell::AfterAt { pair, .. }) if is_ground => {
                ground.get_mut(pair - 1)
            }
            _ => None,
        };
        if let Some(of) = of {
            of.push(row.get("value")?);
        }
    }
    let mean = |all: &[i64]| {
        let lengths: Vec<_> = all.iter().copied().map(nanometres).collect();
        mean_gap(&lengths).ok().map(to_nanometres)
    };
    // Spacers that were ground outside a sheet.
    let told = outcome_by_pair(conn, event, "spacer_after_nm")?;
    Ok([0, 1, 2].map(|i| mean(&ground[i]).or(told[i]).or_else(|| mean(&found[i]))))
}

/// How the clearance of row pairs was measured on a sheet.
fn how(conn: &Connection, event: i64) -> Result<How> {
    let sql = "SELECT (SELECT value FROM reading WHERE event = ?1 AND path = 'clearance.load') AS load_n,
                 (SELECT trim(j.value ->> '$.text') FROM json_each(coalesce(f.payload, e.payload), '$.body.entries') j
                  WHERE j.value ->> '$.path' = 'clearance.method') AS method
               FROM event e LEFT JOIN effective f ON f.event = e.no WHERE e.no = ?1";
    let said = conn
        .prepare_cached(sql)?
        .query_row([event], |row| Ok((row.get("method")?, row.get("load_n")?)))
        .optional()?;
    let usual = How::usual();
    let (method, load_n): (Option<String>, Option<i64>) = said.unwrap_or_default();
    Ok(How {
        method: method.unwrap_or(usual.method),
        load_n,
    })
}

/// How the clearance of a whole bearing was read on a sheet; none where its halves were paired anew since.
fn way(conn: &Connection, event: i64, bearing: ThingNo) -> Result<Option<Way>> {
    let sql = "SELECT r.path FROM reading r JOIN event e ON e.no = r.event
               WHERE r.event = ?1 AND (r.path GLOB 'radial.*' OR r.path GLOB 'axial.*') AND NOT EXISTS
                 (SELECT 1 FROM pair p JOIN event k ON k.no IN (p.no, p.to_event)
                  WHERE p.outer_half = ?2 AND k.at_ms > e.at_ms) LIMIT 1";
    let path: Option<String> = conn
        .prepare_cached(sql)?
        .query_row(params![event, bearing.0], |row| row.get(0))
        .optional()?;
    Ok(path
        .and_then(|path| RadialCell::parse(&path))
        .map(RadialCell::way))
}

/// Clearance as found: the end play of each row pair, or in the first place the one clearance of the whole bearing.
pub(crate) fn found_by_pair(conn: &Connection, event: i64) -> Result<[Option<i64>; 3]> {
    let pairs = outcome_by_pair(conn, event, "end_play_nm")?;
    if pairs.iter().any(Option::is_some) {
        return Ok(pairs);
    }
    outcome_by_pair(conn, event, "clearance_nm")
}

pub(crate) fn outcome_by_pair(
    conn: &Connection,
    event: i64,
    name: &str,
) -> Result<[Option<i64>; 3]> {
    let mut values = [None; 3];
    let mut stmt =
        conn.prepare_cached("SELECT item, value FROM outcome WHERE event = ?1 AND name = ?2")?;
    for row in stmt.query_map(params![event, name], |row| {
        Ok((row.get::<_, i64>(0)?, row.get(1)?))
    })? {
        let (item, value) = row?;
        if let Some(slot) = usize::try_from(item - 1)
            .ok()
            .and_then(|i| values.get_mut(i))
        {
            *slot = Some(value);
        }
    }
    Ok(values)
}

/// Earlier bore checks of a chock, oldest first.
pub(super) fn last_bores(conn: &Connection, chock: ThingNo, at_ms: i64) -> Result<Vec<LastSeat>> {
    let sql = "SELECT e.no, e.at_ms, e.at_offset_min, e.at_precision, o.value FROM sheet
               JOIN event e ON e.no = sheet.event JOIN outcome o ON o.event = e.no AND o.name = 'bore_mean_nm'
               WHERE sheet.chock = ?1 AND e.at_ms < ?2 ORDER BY e.at_ms, e.no";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query(params![chock.0, at_ms])?;
    let mut bores = Vec::new();
    while let Some(row) = rows.next()? {
        let no: i64 = row.get("no")?;
        let ovality = outcome_by_pair(conn, no, "bore_ovality_nm")?;
        bores.push(LastSeat {
            at: crate::query::stamp_from_row(row)?,
            mean_nm: row.get("value")?,
            ovality_nm: ovality.into_iter().flatten().collect(),
        });
    }
    Ok(bores)
}

/// The neck of a roll on the side of a position as it was measured last: on a sheet, by itself, or when the roll came back.
/// What came back names no side; it counts for both.
pub(super) fn last_neck(
    conn: &Connection,
    roll: ThingNo,
    position: ThingNo,
    at_ms: i64,
) -> Result<Option<LastSeat>> {
    let sql = "SELECT e.no, e.at_ms, e.at_offset_min, e.at_precision, o.value FROM sheet s
               JOIN event e ON e.no = s.event JOIN outcome o ON o.event = e.no AND o.name = 'neck_mean_nm'
               JOIN position q ON q.no = ?2
               WHERE s.roll = ?1 AND coalesce(s.side, q.side) = q.side AND e.at_ms < ?3
               ORDER BY e.at_ms DESC, e.no DESC LIMIT 1";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query(params![roll.0, position.0, at_ms])?;
    let Some(row) = rows.next()? else {
        return Ok(None);
    };
    let ovality = outcome_by_pair(conn, row.get("no")?, "neck_ovality_nm")?;
    Ok(Some(LastSeat {
        at: crate::query::stamp_from_row(row)?,
        mean_nm: row.get("value")?,
        ovality_nm: ovality.into_iter().flatten().collect(),
    }))
}

/// All gauges with their status for a reading at a time, by what is known now: one that was found out later was no better
/// then.
pub(crate) fn gauges_at(conn: &Connection, at: Stamp) -> Result<BTreeMap<String, GaugeFacts>> {
    gauges_known_at(conn, at, i64::MAX)
}

/// The same by what had been entered by `entered_ms`: what a sheet was signed on stays as it was.
pub(crate) fn gauges_known_at(
    conn: &Connection,
    at: Stamp,
    entered_ms: i64,
) -> Result<BTreeMap<String, GaugeFacts>> {
    let faults = crate::query::found_out_at(conn, at.ms, entered_ms)?;
    let sql = "SELECT g.*, c.certificate, c.due_ms, c.expanded_uncertainty,
                 s.no AS standard_no, s.code AS standard_code,
                 EXISTS (SELECT 1 FROM place p JOIN event e ON e.no = p.since_event
                         WHERE p.thing = g.no AND p.place IN ('scrapped', 'away') AND e.at_ms <= ?1) AS is_gone,
                 EXISTS (SELECT 1 FROM hold h JOIN event e ON e.no = h.event LEFT JOIN event r ON r.no = h.released_event
                         WHERE h.thing = g.no AND e.at_ms <= ?1 AND (r.no IS NULL OR r.at_ms > ?1)) AS is_held
               FROM gauge g
               LEFT JOIN gauge s ON s.no = (SELECT min(o.no) FROM gauge o WHERE o.code = g.standard COLLATE NOCASE AND o.no <> g.no)
               JOIN calibration c ON c.gauge = g.no AND c.event =
                 (SELECT event FROM calibration WHERE gauge = g.no
                  ORDER BY at_ms <= ?1 DESC, CASE WHEN at_ms <= ?1 THEN -at_ms ELSE at_ms END, event DESC LIMIT 1)";
    let mut stmt = conn.prepare_cached(sql)?;
    let (at_ms, offset_min) = (at.ms, at.offset_min);
    // A calibration holds to the end of its last day, as that day is counted where the reading was taken.
    let day = |ms: i64| (ms + offset_min * 60_000).div_euclid(DAY_MS);
    let rows = stmt.query_map([at_ms], |row| {
        let due_ms: i64 = row.get("due_ms")?;
        let found_out = |no: i64| {
            let day = Stamp::second(*faults.get(&no)?, offset_min).date();
            Some(format!("found to read wrongly on {day}"))
        };
        let standard: Option<i64> = row.get("standard_no")?;
        let doubt = if let Some(found) = found_out(row.get("no")?) {
            found
        } else if let Some(found) = standard.and_then(found_out) {
            let code: String = row.get("standard_code")?;
            format!("set on {code}, {found}")
        } else if row.get("is_gone")? {
            "scrapped or away".to_owned()
        } else if row.get("is_held")? {
            "on hold".to_owned()
        } else if day(due_ms) < day(at_ms) {
            PAST_DUE.to_owned()
        } else {
            String::new()
        };
        Ok(GaugeFacts {
            no: ThingNo(row.get("no")?),
            code: row.get("code")?,
            kind: row.get("kind")?,
            measures: row.get("measures")?,
            span: row.get("span")?,
            expanded_uncertainty_nm: row.get("expanded_uncertainty")?,
            certificate: row.get("certificate")?,
            due_ms,
            is_overdue: !doubt.is_empty(),
            doubt,
        })
    })?;
    let gauges: Vec<GaugeFacts> = rows
        .collect::<rusqlite::Result<_>>()
        .map_err(StoreError::from)?;
    Ok(gauges.into_iter().map(|g| (g.code.clone(), g)).collect())
}
