//! One stand in a period: what ran there, what was torn down out of it, what was found, how clearances grew.

use rusqlite::{Connection, OptionalExtension, params};

use super::code_of;
use crate::error::Result;
use crate::id::ThingNo;
use crate::sheet::outcome_by_pair;
use crate::state::{event_columns, event_from_row};
use crate::time::Stamp;

/// A stand in a period.
#[derive(Debug, Clone, PartialEq)]
pub struct StandReview {
    /// Its code.
    pub code: String,
    /// Its mill line.
    pub line: String,
    /// Two-high, four-high, six-high.
    pub build: String,
    /// Its positions, by code.
    pub positions: Vec<PositionRun>,
    /// Sheets of bearings that came from it, oldest first.
    pub teardowns: Vec<StandTeardown>,
    /// What was seen, the most frequent first.
    pub findings: Vec<FindingCount>,
}

/// What ran in one position.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PositionRun {
    /// Its number here.
    pub no: ThingNo,
    /// Its code.
    pub code: String,
    /// Campaigns that ended in the period.
    pub campaigns: i64,
    /// Mill time, s.
    pub run_s: i64,
    /// Rolled, kg.
    pub rolled_kg: i64,
    /// Different chocks.
    pub chocks: i64,
    /// Different rolls.
    pub rolls: i64,
    /// Some of it is an estimate.
    pub has_estimate: bool,
}

/// A bearing that came out of a position.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StandTeardown {
    /// The event.
    pub event: i64,
    /// Its name, for people.
    pub id: String,
    /// The day.
    pub at: Stamp,
    /// The position.
    pub position: String,
    /// The bearing.
    pub bearing: String,
    /// Its type.
    pub type_code: String,
    /// The chock.
    pub chock: String,
    /// Mill time of the stay, s.
    pub run_s: i64,
    /// Of it, mill time at this stand, s.
    pub here_run_s: i64,
    /// Clearance of the row pairs as found, nm.
    pub found_nm: [Option<i64>; 3],
    /// Growth of each since it was set or read before, nm.
    pub grown_nm: [Option<i64>; 3],
    /// What was decided, as in the file.
    pub decided: String,
    /// Findings on the sheet.
    pub findings: i64,
    /// Verdicts that fail.
    pub fails: i64,
    /// Verdicts in doubt.
    pub doubts: i64,
}

/// How often something was seen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FindingCount {
    /// Clause of ISO 15243:2017, or a word of our own.
    pub mode: String,
    /// Part.
    pub part: String,
    /// How often.
    pub count: i64,
    /// Worst severity, 0 to 3.
    pub severity: i64,
    /// On so many bearings.
    pub bearings: i64,
    /// Positions that they came from, parted by blanks.
    pub positions: String,
}

/// Reads a stand from `from_ms` up to `until_ms`; none where there is no such stand.
pub fn stand_review(
    conn: &Connection,
    stand: ThingNo,
    from_ms: i64,
    until_ms: i64,
) -> Result<Option<StandReview>> {
    let head = conn
        .prepare_cached(
            "SELECT s.code, l.code AS line, s.build FROM stand s JOIN line l ON l.no = s.line WHERE s.no = ?1",
        )?
        .query_row([stand.0], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))
        .optional()?;
    let Some((code, line, build)) = head else {
        return Ok(None);
    };
    Ok(Some(StandReview {
        code,
        line,
        build,
        positions: positions(conn, stand, from_ms, until_ms)?,
        teardowns: teardowns(conn, stand, from_ms, until_ms)?,
        findings: findings(conn, stand, from_ms, until_ms)?,
    }))
}

fn positions(
    conn: &Connection,
    stand: ThingNo,
    from_ms: i64,
    until_ms: i64,
) -> Result<Vec<PositionRun>> {
    let mut stmt = conn.prepare_cached(
        "SELECT p.no, p.code, count(r.campaign) AS campaigns, coalesce(sum(r.run_s), 0) AS run_s,
             coalesce(sum(r.rolled_kg), 0) AS rolled_kg, count(DISTINCT r.chock) AS chocks,
             count(DISTINCT r.roll) AS rolls, coalesce(max(r.is_estimate), 0) AS has_estimate
         FROM position p LEFT JOIN run r ON r.position = p.no AND r.to_ms >= ?2 AND r.to_ms < ?3
         WHERE p.stand = ?1 GROUP BY p.no ORDER BY p.code",
    )?;
    let rows = stmt.query_map(params![stand.0, from_ms, until_ms], |row| {
        Ok(PositionRun {
            no: ThingNo(row.get("no")?),
            code: row.get("code")?,
            campaigns: row.get("campaigns")?,
            run_s: row.get("run_s")?,
            rolled_kg: row.get("rolled_kg")?,
            chocks: row.get("chocks")?,
            rolls: row.get("rolls")?,
            has_estimate: row.get("has_estimate")?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

fn teardowns(
    conn: &Connection,
    stand: ThingNo,
    from_ms: i64,
    until_ms: i64,
) -> Result<Vec<StandTeardown>> {
    let columns = event_columns("e");
    let sql = format!(
        "SELECT {columns}, p.code AS position, s.bearing, s.chock, s.decided, st.run_s, st.from_ms, st.to_ms,
             (SELECT coalesce(sum(r.run_s), 0) FROM run r JOIN position x ON x.no = r.position
              WHERE r.chock = s.chock AND x.stand = ?1 AND r.to_ms > st.from_ms AND r.to_ms <= e.at_ms) AS here_run_s,
             (SELECT count(*) FROM finding f WHERE f.event = e.no) AS findings,
             (SELECT count(*) FROM verdict v WHERE v.event = e.no AND v.verdict = 'fail') AS fails,
             (SELECT count(*) FROM verdict v WHERE v.event = e.no AND v.verdict LIKE '%_in_doubt') AS doubts
         FROM sheet s JOIN event e ON e.no = s.event JOIN position p ON p.no = s.position
         LEFT JOIN stay st ON st.no = s.stay
         WHERE p.stand = ?1 AND s.kind <> 'mounting_sheet' AND e.at_ms >= ?2 AND e.at_ms < ?3 ORDER BY e.at_ms, e.no"
    );
    let mut stmt = conn.prepare_cached(&sql)?;
    let mut rows = stmt.query(params![stand.0, from_ms, until_ms])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let event = event_from_row(row)?;
        let bearing: Option<i64> = row.get("bearing")?;
        let chock: Option<i64> = row.get("chock")?;
        let code = |no: Option<i64>| no.map_or(Ok(String::new()), |no| code_of(conn, ThingNo(no)));
        let found_nm = crate::sheet::found_by_pair(conn, event.no)?;
        let before = match bearing {
            Some(bearing) => before(conn, bearing, event.no, event.at.ms)?,
            None => [None; 3],
        };
        found.push(StandTeardown {
            event: event.no,
            id: event.id.to_string(),
            at: event.at,
            position: row.get("position")?,
            bearing: code(bearing)?,
            type_code: type_of(conn, bearing)?,
            chock: code(chock)?,
            run_s: row.get::<_, Option<i64>>("run_s")?.unwrap_or(0),
            here_run_s: row.get("here_run_s")?,
            grown_nm: std::array::from_fn(|i| Some(found_nm[i]? - before[i]?)),
            found_nm,
            decided: row.get::<_, Option<String>>("decided")?.unwrap_or_default(),
            findings: row.get("findings")?,
            fails: row.get("fails")?,
            doubts: row.get("doubts")?,
        });
    }
    Ok(found)
}

fn type_of(conn: &Connection, bearing: Option<i64>) -> Result<String> {
    let sql =
        "SELECT t.code FROM bearing b JOIN bearing_type t ON t.no = b.bearing_type WHERE b.no = ?1";
    let code = conn
        .prepare_cached(sql)?
        .query_row([bearing], |row| row.get(0))
        .optional()?;
    Ok(code.unwrap_or_default())
}

/// The clearances that a bearing went into its stay with: as left or found by the sheet before, or as set where that
/// is newer.
fn before(conn: &Connection, bearing: i64, event: i64, at_ms: i64) -> Result<[Option<i64>; 3]> {
    let last: Option<(i64, i64)> = conn
        .prepare_cached(
            "SELECT s.event, e.at_ms FROM sheet s JOIN event e ON e.no = s.event
             WHERE s.bearing = ?1 AND s.event <> ?2 AND (e.at_ms < ?3 OR (e.at_ms = ?3 AND e.no < ?2))
             ORDER BY e.at_ms DESC, e.no DESC LIMIT 1",
        )?
        .query_row(params![bearing, event, at_ms], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    let sheet_ms = last.map_or(i64::MIN, |(_, at_ms)| at_ms);
    let mut stmt = conn.prepare_cached(
        // How a bearing was set before its hours of an old record says nothing about its first stay here.
        "SELECT pair, value_nm FROM baseline WHERE bearing = ?1 AND at_ms < ?2 AND at_ms >= ?3
           AND NOT (revision = 1 AND (SELECT prior_run_s FROM bearing WHERE no = ?1) > 0)
         ORDER BY at_ms, event",
    )?;
    let mut values = match last {
        Some((sheet, _)) => {
            let found = crate::sheet::found_by_pair(conn, sheet)?;
            let left = outcome_by_pair(conn, sheet, "end_play_after_nm")?;
            std::array::from_fn(|i| left[i].or(found[i]))
        }
        None => [None; 3],
    };
    let rows = stmt.query_map(params![bearing, at_ms, sheet_ms], |row| {
        Ok((row.get::<_, i64>(0)?, row.get::<_, i64>(1)?))
    })?;
    for row in rows {
        let (pair, value) = row?;
        if let Some(slot) = usize::try_from(pair - 1)
            .ok()
            .and_then(|i| values.get_mut(i))
        {
            *slot = Some(value);
        }
    }
    Ok(values)
}

fn findings(
    conn: &Connection,
    stand: ThingNo,
    from_ms: i64,
    until_ms: i64,
) -> Result<Vec<FindingCount>> {
    let mut stmt = conn.prepare_cached(
        "SELECT f.mode, f.part, count(*) AS count, max(f.severity) AS severity,
             count(DISTINCT s.bearing) AS bearings,
             (SELECT group_concat(code, ' ') FROM (SELECT DISTINCT x.code FROM finding g
                  JOIN sheet t ON t.event = g.event JOIN event d ON d.no = g.event JOIN position x ON x.no = t.position
                  WHERE x.stand = ?1 AND d.at_ms >= ?2 AND d.at_ms < ?3 AND g.mode = f.mode AND g.part = f.part
                  ORDER BY x.code)) AS positions
         FROM finding f JOIN sheet s ON s.event = f.event JOIN event e ON e.no = f.event
         JOIN position p ON p.no = s.position
         WHERE p.stand = ?1 AND e.at_ms >= ?2 AND e.at_ms < ?3
         GROUP BY f.mode, f.part ORDER BY count DESC, severity DESC, f.mode, f.part",
    )?;
    let rows = stmt.query_map(params![stand.0, from_ms, until_ms], |row| {
        Ok(FindingCount {
            mode: row.get("mode")?,
            part: row.get("part")?,
            count: row.get("count")?,
            severity: row.get("severity")?,
            bearings: row.get("bearings")?,
            positions: row
                .get::<_, Option<String>>("positions")?
                .unwrap_or_default(),
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}
