//! Whether a bearing has run past its interval since it was looked at last. Taking it out of its chock and putting it
//! back begins a new stay, and no new interval: only a teardown sheet or a new value as set does.

use rusqlite::{Connection, named_params};

use super::due::{Clock, Counts, Due, Said, Standing, Stay};
use super::due_lines::intervals;
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::time::Stamp;

const SINCE: &str = "
    WITH looked AS (
        SELECT coalesce(max(at_ms), 0) AS at_ms FROM (
            SELECT e.at_ms FROM sheet h JOIN event e ON e.no = h.event
            WHERE h.bearing = :bearing AND h.kind = 'teardown_sheet' AND e.at_ms <= :now
            UNION ALL SELECT b.at_ms FROM baseline b WHERE b.bearing = :bearing AND b.at_ms <= :now))
    SELECT coalesce(sum(s.run_s), 0) AS run_s, coalesce(sum(s.rolled_kg), 0) AS rolled_kg,
        coalesce(sum(s.campaigns), 0) AS campaigns,
        coalesce(sum(min(coalesce(s.to_ms, :now), :now) - s.from_ms), 0) AS stood_ms,
        (SELECT max(x.until_ms) FROM extension x JOIN stay o ON o.chock = x.chock
            WHERE o.bearing = :bearing AND x.at_ms BETWEEN o.from_ms AND min(coalesce(o.to_ms, :now), :now)) AS until_ms,
        (SELECT bearing_type FROM bearing WHERE no = :bearing) AS bearing_type,
        (SELECT serial FROM bearing WHERE no = :bearing) AS serial
    FROM stay s, looked
    WHERE s.bearing = :bearing AND s.seat NOT LIKE 'neck%' AND s.from_ms >= looked.at_ms AND s.from_ms < :now";

/// Why a bearing is to be looked at before it goes on; none within its interval, or where the engineer let it run on.
pub(crate) fn past_interval(
    conn: &Connection,
    bearing: ThingNo,
    at: Stamp,
) -> Result<Option<String>> {
    let mut stmt = conn.prepare_cached(SINCE)?;
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
            extended_to_ms: row.get("until_ms")?,
            ..Said::default()
        };
        let of_type: Option<i64> = row.get("bearing_type")?;
        let serial: Option<String> = row.get("serial")?;
        Ok((stay, said, of_type.zip(serial)))
    });
    let (stay, said, Some((of_type, serial))) = read? else {
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
