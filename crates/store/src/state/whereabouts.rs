//! Where a thing has been, one place after the other, and what a campaign says against it.
//!
//! A row says how long a thing was surely in a place: a day alone as the time of a move leaves half a day on each side
//! open, and what was found elsewhere later was surely here only until it was last seen. Campaigns are held against
//! it once all moves are known, so that the order in which they are entered makes no difference.

use rusqlite::{Connection, OptionalExtension, named_params, params};

use super::Applying;
use crate::error::Result;
use crate::id::ThingNo;
use crate::time::{DAY_MS, Precision, Stamp};

/// True where a campaign does not go with where its chocks and its roll were: a measured one had a chock that was surely
/// away, in another position or on another roll for part of it, or a roll that was away; a sum of many weeks names roll
/// and position only by way of example, so it has to lie inside the time away as a whole.
pub(super) fn is_contradicted(conn: &Connection) -> Result<bool> {
    // From the few places away and in the mill to the many runs.
    let sql = "SELECT EXISTS (SELECT 1 FROM whereabouts w CROSS JOIN run r ON r.chock = w.thing
                   AND r.from_ms < coalesce(w.to_ms, 9223372036854775807) AND r.to_ms > w.from_ms
                 WHERE w.place IN ('away', 'mill') AND CASE
                   WHEN r.is_estimate THEN w.place = 'away' AND w.from_ms <= r.from_ms AND coalesce(w.to_ms, r.to_ms) >= r.to_ms
                   WHEN w.place = 'mill' THEN w.position <> r.position OR w.roll <> r.roll
                   ELSE 1 END)
               OR EXISTS (SELECT 1 FROM whereabouts w CROSS JOIN run r ON r.roll = w.thing AND r.is_estimate = 0
                   AND r.from_ms < coalesce(w.to_ms, 9223372036854775807) AND r.to_ms > w.from_ms
                 WHERE w.place = 'away')";
    Ok(conn.prepare_cached(sql)?.query_row([], |row| row.get(0))?)
}

/// What a campaign says of its things.
pub(super) struct Ran {
    /// Each chock with its position.
    pub(super) chocks: [(ThingNo, ThingNo); 2],
    pub(super) roll: ThingNo,
    pub(super) from_ms: i64,
    pub(super) to_ms: i64,
    pub(super) is_estimate: bool,
}

/// How far off the time of a move may be, ms.
const fn slack_ms(precision: Precision) -> i64 {
    match precision {
        Precision::Day => DAY_MS / 2,
        Precision::Minute | Precision::Second => 0,
    }
}

impl Applying<'_> {
    /// From now on a thing is in this place; where it was before ends.
    pub(super) fn arrives(
        &self,
        thing: ThingNo,
        place: &str,
        position: Option<ThingNo>,
        roll: Option<ThingNo>,
        note: &str,
    ) -> Result<()> {
        let slack = slack_ms(self.event.at.precision);
        self.leaves(thing, self.event.at.ms - slack)?;
        if place == "unknown" {
            return Ok(());
        }
        self.conn
            .prepare_cached(
                "INSERT OR REPLACE INTO whereabouts (thing, event, from_ms, place, position, roll, note)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            )?
            .execute(params![
                thing.0,
                self.event.no,
                self.event.at.ms + slack,
                place,
                position.map(|t| t.0),
                roll.map(|t| t.0),
                note
            ])?;
        Ok(())
    }

    /// A thing was surely where it was until then, and no longer.
    pub(super) fn leaves(&self, thing: ThingNo, until_ms: i64) -> Result<()> {
        let sql =
            "UPDATE whereabouts SET to_ms = max(from_ms, ?2) WHERE thing = ?1 AND to_ms IS NULL";
        self.conn
            .prepare_cached(sql)?
            .execute(params![thing.0, until_ms])?;
        Ok(())
    }

    /// The chocks and the roll of a campaign were where it says, as far as that is known; as in [`is_contradicted`].
    pub(super) fn must_have_been_there(&self, ran: &Ran) -> Result<()> {
        let [(chock_o, position_o), (chock_d, position_d)] = ran.chocks;
        let sql = "SELECT w.thing, w.place, w.note, w.to_ms, e.at_ms, p.code, l.code
                   FROM whereabouts w JOIN event e ON e.no = w.event
                     LEFT JOIN thing p ON p.no = w.position LEFT JOIN thing l ON l.no = w.roll
                   WHERE w.thing IN (:chock_o, :chock_d, :roll) AND w.from_ms < :to AND coalesce(w.to_ms, :to) > :from
                     AND CASE
                       WHEN :estimate THEN w.place = 'away' AND w.thing <> :roll AND w.from_ms <= :from
                         AND coalesce(w.to_ms, :to) >= :to
                       WHEN w.place = 'away' THEN 1
                       WHEN w.place = 'mill' THEN w.roll <> :roll
                         OR w.position <> CASE w.thing WHEN :chock_o THEN :position_o ELSE :position_d END
                       ELSE 0 END
                   ORDER BY w.thing = :roll, w.from_ms, w.thing LIMIT 1";
        let names = named_params! {
            ":chock_o": chock_o.0, ":position_o": position_o.0, ":chock_d": chock_d.0, ":position_d": position_d.0,
            ":roll": ran.roll.0, ":from": ran.from_ms, ":to": ran.to_ms, ":estimate": ran.is_estimate,
        };
        let found = self
            .conn
            .prepare_cached(sql)?
            .query_row(names, |row| {
                Ok((
                    ThingNo(row.get(0)?),
                    row.get::<_, String>(1)?,
                    row.get::<_, String>(2)?,
                    row.get::<_, Option<i64>>(3)?,
                    row.get::<_, i64>(4)?,
                    row.get::<_, Option<String>>(5)?.unwrap_or_default(),
                    row.get::<_, Option<String>>(6)?.unwrap_or_default(),
                ))
            })
            .optional()?;
        let Some((thing, place, note, to_ms, from_ms, position, roll)) = found else {
            return Ok(());
        };
        let words = |ms: i64| Stamp::second(ms, self.event.at.offset_min).date_time();
        let at = match place.as_str() {
            "away" if note.is_empty() => "away".to_owned(),
            "away" => format!("away at {note}"),
            _ => format!("in {position} on {roll}"),
        };
        // An end after the campaign is not told: it may be entered later, and these words stay as they are.
        let until = match to_ms.filter(|to_ms| *to_ms <= ran.to_ms) {
            Some(to_ms) => format!("to {}", words(to_ms)),
            None => "on".to_owned(),
        };
        self.conflict(&format!(
            "{} was {at} from {} {until}: check chock, roll and times, or enter first where it really was",
            self.code(thing)?,
            words(from_ms)
        ))
    }
}
