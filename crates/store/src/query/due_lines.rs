//! The bearings in chocks that come due, with what was said about each: what [`Due::of`] is told of a logbook.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, Row, named_params};

use super::due::{Clock, Counts, Due, Intervals, Said, Standing, Stay};
use super::looked_at::{ALL, extension_of, since};
use super::wear::ShopWear;
use crate::error::Result;
use crate::id::ThingNo;
use crate::sheet::TypeFacts;
use crate::time::{DAY_MS, Stamp};

/// The pace of a chock is that of so many last days, or of those since its first campaign in them.
const PACE_DAYS: i64 = 90;
/// And of no fewer than this: the first campaigns of a new chock are no pace yet (assumed).
const PACE_DAYS_MIN: i64 = 7;

/// A bearing in a chock, and how far its interval has run.
#[derive(Debug, Clone, PartialEq)]
pub struct DueLine {
    /// The bearing.
    pub bearing: (ThingNo, String),
    /// The chock.
    pub chock: (ThingNo, String),
    /// Its position; empty where it is not in the mill.
    pub position: String,
    /// The mill line of the places that the chock fits, by the last it ran at; empty where it never ran.
    pub line: String,
    /// What decides.
    pub due: Due,
    /// Some of the mill time is an estimate.
    pub has_estimate: bool,
    /// Until when the engineer lets it run on, ms UTC, and why; none where nobody did.
    pub extension: Option<(i64, String)>,
    /// When it is to be torn down and why not now; none where nobody has said.
    pub plan: Option<Plan>,
}

/// When a chock is to be torn down.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// The day, ms UTC; none where there is no day yet.
    pub planned_ms: Option<i64>,
    /// Why not now.
    pub reason: String,
    /// Who says so.
    pub who: String,
}

impl DueLine {
    /// Whether it is past its interval.
    pub fn is_late(&self) -> bool {
        self.due.is_late()
    }

    /// Whether it may run on all the same.
    pub fn is_extended(&self) -> bool {
        self.due.standing == Standing::Extended
    }

    /// What decides.
    pub fn clock(&self) -> Clock {
        self.due.clock
    }
}

const LINES: &str = ",
    recent AS (
        SELECT chock, sum(run_s) AS run_s, sum(rolled_kg) AS rolled_kg, count(*) AS campaigns, min(from_ms) AS began_ms
        FROM run WHERE to_ms > :pace_from GROUP BY chock)
    SELECT s.bearing, b.serial, b.bearing_type, s.chock, c.code,
        coalesce(n.from_ms, s.from_ms) AS from_ms, coalesce(n.stood_ms, :now - s.from_ms) AS stood_ms,
        coalesce(n.run_s, s.run_s) AS run_s, coalesce(n.rolled_kg, s.rolled_kg) AS rolled_kg,
        coalesce(n.campaigns, s.campaigns) AS campaigns, coalesce(n.has_estimate, s.has_estimate) AS has_estimate, coalesce(p.code, '') AS position, r.run_s AS pace_s, r.rolled_kg AS pace_kg,
        r.campaigns AS pace_campaigns, r.began_ms AS pace_began,
        coalesce((SELECT l.code FROM run o JOIN position q ON q.no = o.position JOIN stand n ON n.no = q.stand
            JOIN line l ON l.no = n.line WHERE o.chock = s.chock ORDER BY o.to_ms DESC LIMIT 1), '') AS line,
        EXISTS (SELECT 1 FROM early_teardown e JOIN stay o ON o.chock = e.chock AND o.bearing = s.bearing
            AND e.at_ms BETWEEN o.from_ms AND min(coalesce(o.to_ms, :now), :now)
            WHERE e.at_ms >= coalesce(n.from_ms, s.from_ms)) AS is_early,
        x.until_ms, x.reason AS until_reason, t.planned_ms, t.reason AS why, w.name AS who
    FROM stay s JOIN bearing b ON b.no = s.bearing JOIN chock c ON c.no = s.chock
    LEFT JOIN since n ON n.bearing = s.bearing
    LEFT JOIN place pl ON pl.thing = s.chock LEFT JOIN position p ON p.no = pl.position
    LEFT JOIN recent r ON r.chock = s.chock
    LEFT JOIN extension x ON x.event = {extension}
    LEFT JOIN teardown_plan t ON t.event = (SELECT o.event FROM teardown_plan o WHERE o.chock = s.chock
        AND o.at_ms BETWEEN coalesce(n.from_ms, s.from_ms) AND :now ORDER BY o.at_ms DESC, o.event DESC LIMIT 1)
    LEFT JOIN event te ON te.no = t.event
    LEFT JOIN event we ON we.origin = te.person_origin AND we.seq = te.person_seq LEFT JOIN person w ON w.no = we.no
    WHERE s.to_ms IS NULL AND s.seat IN ('main', 'main2') AND coalesce(pl.place, 'shop') IN ('mill', 'shop', 'stores')
    ORDER BY c.code";

/// The bearings in chocks that come due within so many days, or are past it: the furthest first, one of each chock. Taking
/// a bearing out and putting it back, or turning it, begins no new interval: only looking at it does. Without the wear
/// of the shop nothing is forecast.
pub fn due_lines(
    conn: &Connection,
    now: Stamp,
    ahead_days: i64,
    wear: Option<&ShopWear>,
) -> Result<Vec<DueLine>> {
    let lines = LINES.replace(
        "{extension}",
        &extension_of("s.bearing", "coalesce(n.from_ms, s.from_ms)"),
    );
    let mut stmt = conn.prepare_cached(&format!("WITH {} {lines}", since(ALL)))?;
    let mut rows = stmt.query(named_params! {
        ":pace_from": now.ms - PACE_DAYS * DAY_MS,
        ":now": now.ms,
    })?;
    let mut types = Types::default();
    let mut lines = Vec::new();
    while let Some(row) = rows.next()? {
        let intervals = types.get(conn, ThingNo(row.get("bearing_type")?), now)?;
        let line = line(row, &intervals, wear, now)?;
        lines.extend(
            line.filter(|l| l.due.days <= ahead_days || l.due.standing < Standing::Forecast),
        );
    }
    lines.sort_by(|a, b| {
        let past = |line: &DueLine| !line.is_late();
        past(a)
            .cmp(&past(b))
            .then(b.due.share().total_cmp(&a.due.share()))
    });
    // Of two bearings abreast the one that is due first speaks for the chock.
    let mut told = BTreeSet::new();
    lines.retain(|line: &DueLine| told.insert(line.chock.0.0));
    Ok(lines)
}

fn line(
    row: &Row<'_>,
    intervals: &Intervals,
    wear: Option<&ShopWear>,
    now: Stamp,
) -> rusqlite::Result<Option<DueLine>> {
    let count =
        |name: &str| Ok::<_, rusqlite::Error>(row.get::<_, Option<i64>>(name)?.unwrap_or(0));
    let stay = Stay {
        from_ms: now.ms - row.get::<_, i64>("stood_ms")?,
        done: Counts {
            run_s: row.get("run_s")?,
            rolled_kg: row.get("rolled_kg")?,
            campaigns: row.get("campaigns")?,
        },
        lately: Counts {
            run_s: count("pace_s")?,
            rolled_kg: count("pace_kg")?,
            campaigns: count("pace_campaigns")?,
        },
        lately_days: pace_days(row.get("pace_began")?, now.ms),
    };
    let serial: String = row.get("serial")?;
    let extension = row
        .get::<_, Option<i64>>("until_ms")?
        .zip(row.get::<_, Option<String>>("until_reason")?);
    let why: Option<String> = row.get("why")?;
    let plan = match why {
        None => None,
        Some(reason) => Some(Plan {
            planned_ms: row.get("planned_ms")?,
            reason,
            who: row.get::<_, Option<String>>("who")?.unwrap_or_default(),
        }),
    };
    let said = Said {
        limit_run_s: wear.and_then(|wear| wear.limit_run_s(&serial, stay.done.run_s)),
        is_early: row.get("is_early")?,
        // To the end of its last day.
        extended_to_ms: extension.as_ref().map(|(until, _)| now.end_of_day(*until)),
        has_reason: plan.is_some(),
    };
    let Some(due) = Due::of(&stay, intervals, &said, now.ms) else {
        return Ok(None);
    };
    Ok(Some(DueLine {
        bearing: (ThingNo(row.get("bearing")?), serial),
        chock: (ThingNo(row.get("chock")?), row.get("code")?),
        position: row.get("position")?,
        line: row.get("line")?,
        due,
        has_estimate: row.get("has_estimate")?,
        extension,
        plan,
    }))
}

/// Days that the campaigns of late are spread over: a chock that is new here has not stood still before.
fn pace_days(began_ms: Option<i64>, now_ms: i64) -> i64 {
    let days = began_ms.map_or(PACE_DAYS, |began| (now_ms - began).div_euclid(DAY_MS));
    days.max(PACE_DAYS_MIN)
}

/// The intervals of a type on a day.
pub(super) fn intervals(conn: &Connection, no: ThingNo, now: Stamp) -> Result<Intervals> {
    let facts = TypeFacts::load(conn, no, now.ms)?;
    Ok(Intervals {
        run_s: facts.whole("interval_run_s"),
        days: facts.whole("interval_day_count"),
        rolled_kg: facts.whole("interval_rolled_kg"),
        campaigns: facts.whole("interval_campaign_count"),
    })
}

/// The intervals of each type, read once.
#[derive(Default)]
struct Types(BTreeMap<i64, Intervals>);

impl Types {
    fn get(&mut self, conn: &Connection, no: ThingNo, now: Stamp) -> Result<Intervals> {
        if let Some(known) = self.0.get(&no.0) {
            return Ok(*known);
        }
        let intervals = intervals(conn, no, now)?;
        self.0.insert(no.0, intervals);
        Ok(intervals)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Days until 1,000 h are run, by hand.
    #[test]
    fn a_chock_that_is_new_here_is_due_at_its_own_pace() {
        let now_ms = 1_000 * DAY_MS;
        let intervals = Intervals {
            run_s: Some(1_000 * 3_600),
            ..Intervals::default()
        };
        for (case, began_days, run_h, days) in [
            ("90 days at 10 h", 90, 900, 10),
            ("ten days at 20 h: 800 h left", 10, 200, 40),
            // No pace yet: 40 h in the week that it counts as.
            ("two days at 20 h", 2, 40, 168),
            ("one campaign of 100 days at 9 h", 100, 900, 12),
        ] {
            let run = Counts {
                run_s: run_h * 3_600,
                ..Counts::default()
            };
            let stay = Stay {
                from_ms: now_ms - began_days * DAY_MS,
                done: run,
                lately: run,
                lately_days: pace_days(Some(now_ms - began_days * DAY_MS), now_ms),
            };
            let due = Due::of(&stay, &intervals, &Said::default(), now_ms).unwrap();
            assert_eq!((due.clock, due.days), (Clock::Run, days), "{case}");
        }
        assert_eq!(pace_days(None, now_ms), PACE_DAYS);
    }
}
