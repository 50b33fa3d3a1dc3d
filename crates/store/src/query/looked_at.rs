//! Whether a bearing has run past its interval since it was looked at last. Taking it out of its chock and putting it
//! back begins a new stay, and no new interval: only a teardown sheet, a new value as set, or the engineer who puts it
//! in does.

use rusqlite::{Connection, OptionalExtension, named_params, params};

use super::due::{Clock, Counts, Due, Said, Standing, Stay};
use super::due_lines::intervals;
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::time::Stamp;

/// `looked`: when each bearing was looked at last. `since`: what it has done in chocks from then on. `whose` is a
/// condition on a column `bearing`, so that what is asked of one bearing reads that one alone.
pub(super) fn since(whose: &str) -> String {
    format!(
        "looked AS (
            SELECT bearing, max(at_ms) AS at_ms FROM (
                SELECT bearing, e.at_ms FROM sheet h JOIN event e ON e.no = h.event
                WHERE h.kind = 'teardown_sheet' AND {whose} AND e.at_ms <= :now
                UNION ALL SELECT bearing, at_ms FROM baseline WHERE {whose} AND at_ms <= :now
                UNION ALL SELECT y.bearing, y.from_ms FROM (SELECT * FROM stay WHERE {whose}) y
                    JOIN event w ON w.at_ms = y.from_ms AND w.kind = 'assembled' AND w.payload IS NOT NULL
                    JOIN event o ON o.origin = w.person_origin AND o.seq = w.person_seq
                    JOIN person p ON p.no = o.no AND p.role = 'engineer'
                    JOIN thing_event te ON te.event = w.no AND te.thing = y.bearing
                    WHERE y.from_ms <= :now)
            GROUP BY bearing),
        since AS (
            SELECT s.bearing, sum(s.run_s) AS run_s, sum(s.rolled_kg) AS rolled_kg, sum(s.campaigns) AS campaigns,
                max(s.has_estimate) AS has_estimate, min(s.from_ms) AS from_ms,
                sum(min(coalesce(s.to_ms, :now), :now) - s.from_ms) AS stood_ms
            FROM (SELECT * FROM stay WHERE {whose}) s LEFT JOIN looked k ON k.bearing = s.bearing
            WHERE s.seat NOT LIKE 'neck%' AND s.from_ms >= coalesce(k.at_ms, 0) AND s.from_ms <= :now
            GROUP BY s.bearing)"
    )
}

/// Of every bearing.
pub(super) const ALL: &str = "bearing IS NOT NULL";

/// The extension that counts for a bearing: the one signed last for the chock it was in then, since it was looked at. What
/// is signed later may be shorter.
pub(super) fn extension_of(bearing: &str, since: &str) -> String {
    format!(
        "(SELECT o.event FROM extension o JOIN stay y ON y.chock = o.chock
            WHERE y.bearing = {bearing} AND o.at_ms BETWEEN max(y.from_ms, {since}) AND min(coalesce(y.to_ms, :now), :now)
            ORDER BY o.at_ms DESC, o.event DESC LIMIT 1)"
    )
}

const ONE: &str = "
    SELECT n.run_s, n.rolled_kg, n.campaigns, n.stood_ms, b.bearing_type, b.serial, x.until_ms
    FROM bearing b JOIN since n ON n.bearing = b.no LEFT JOIN extension x ON x.event =";

/// Why a bearing is to be looked at before it goes on; none within its interval, or where the engineer let it run on.
pub(crate) fn past_interval(
    conn: &Connection,
    bearing: ThingNo,
    at: Stamp,
) -> Result<Option<String>> {
    let (since, extension) = (
        since("bearing = :bearing"),
        extension_of("b.no", "n.from_ms"),
    );
    let mut stmt = conn.prepare_cached(&format!(
        "WITH {since} {ONE} {extension} WHERE b.no = :bearing AND b.bearing_type IS NOT NULL"
    ))?;
    let known = named_params! { ":bearing": bearing.0, ":now": at.ms };
    let read = stmt.query_row(known, |row| {
        let stay = Stay {
            from_ms: at.ms - row.get::<_, i64>("stood_ms")?,
            done: Counts {
                run_s: row.get("run_s")?,
                rolled_kg: row.get("rolled_kg")?,
                campaigns: row.get("campaigns")?,
            },
            ..Stay::default()
        };
        let said = Said {
            extended_to_ms: row
                .get::<_, Option<i64>>("until_ms")?
                .map(|until| at.end_of_day(until)),
            ..Said::default()
        };
        Ok((
            stay,
            said,
            row.get("bearing_type")?,
            row.get::<_, String>("serial")?,
        ))
    });
    let Some((stay, said, of_type, serial)) = read.optional()? else {
        return Ok(None);
    };
    let intervals = intervals(conn, ThingNo(of_type), at)?;
    let due = Due::of(&stay, &intervals, &said, at.ms);
    Ok(due
        .filter(|due| due.standing == Standing::Overdue)
        .map(|due| {
            let (done, limit) = (words(due.clock, due.done), words(due.clock, due.limit));
            format!("{serial} is past its interval: {done} of {limit} since it was looked at last")
        }))
}

/// The same of a chock that goes on a roll: why one of the bearings in it is to be looked at first.
///
/// # Errors
/// What the store says.
pub fn past_interval_in(conn: &Connection, chock: ThingNo, at: Stamp) -> Result<Option<String>> {
    let sql =
        "SELECT bearing FROM stay WHERE chock = ?1 AND seat NOT LIKE 'neck%' AND from_ms <= ?2
                 AND (to_ms IS NULL OR to_ms > ?2)";
    let mut stmt = conn.prepare_cached(sql)?;
    let within = stmt.query_map(params![chock.0, at.ms], |row| row.get(0))?;
    for bearing in within.collect::<rusqlite::Result<Vec<i64>>>()? {
        let why = past_interval(conn, ThingNo(bearing), at)?;
        if why.is_some() {
            return Ok(why);
        }
    }
    Ok(None)
}

/// So much of what a clock counts, with its unit.
fn words(clock: Clock, count: i64) -> String {
    let show = Show::default();
    match clock {
        Clock::Run | Clock::Forecast => format!("{} h", show.hours(count)),
        Clock::Days => format!("{count} days"),
        Clock::Rolled => format!("{} kt", show.kilotonnes(count)),
        Clock::Campaigns => format!("{count} campaigns"),
    }
}
