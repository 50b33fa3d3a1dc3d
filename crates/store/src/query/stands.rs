//! All stands beside each other: what ran there, what was found where, how long bearings last, what is in stock.

use std::collections::BTreeMap;

use calc::common_factor::{Exposure, Level, holm, stands_out};
use calc::finding::Mode;
use rusqlite::Connection;

use super::field_life::{LifeLine, lives};
use super::work::{PlaceWork, place_work};
use crate::error::Result;
use crate::id::ThingNo;
use crate::sheet::TypeFacts;
use crate::time::Stamp;

/// Of one kind of damage so many are counted before anything is said about where (assumed).
const FOUND_MIN: usize = 3;
/// Said only where chance alone does this at most so often.
const CHANCE: f64 = 0.05;

/// Everything that the page of the stands shows besides the wear.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StandsPage {
    /// The positions of the stands, by code.
    pub stands: Vec<StandLine>,
    /// Damage with a common factor, the least by chance first.
    pub factors: Vec<FactorLine>,
    /// Kinds of damage that were looked at for one.
    pub modes_seen: usize,
    /// How often something common was looked for: kinds of damage by factors. The chances are corrected for it.
    pub looks: usize,
    /// Field life by bearing type.
    pub lives: Vec<LifeLine>,
    /// Spares by bearing type.
    pub spares: Vec<SpareLine>,
    /// What was spent; none where nothing was entered.
    pub cost: Option<Cost>,
    /// What the mill was asked or did at any position, newest first.
    pub work: Vec<PlaceWork>,
}

/// What was spent, and what it stands against.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Cost {
    /// Hundredths of the money unit.
    pub spent_minor: i64,
    /// Mill time of all campaigns, s.
    pub run_s: i64,
    /// Rolled, kg.
    pub rolled_kg: i64,
    /// The places at which that was counted, one of each line.
    pub counted_at: Vec<String>,
}

/// A position of a stand.
#[derive(Debug, Clone, PartialEq)]
pub struct StandLine {
    /// Its number here.
    pub no: ThingNo,
    /// Its code.
    pub code: String,
    /// Its stand.
    pub stand: String,
    /// Role of its roll, `T` or `B`, `O` or `D`, as registered.
    pub seat: [String; 3],
    /// Mill time of its chocks, s.
    pub run_s: i64,
    /// Bearings torn down that came from it.
    pub teardowns: i64,
    /// Of those with a finding of severity 2 or 3.
    pub damaged: i64,
    /// The chock that is there now; empty where none is.
    pub chock: String,
}

/// The same damage, and what it has in common.
#[derive(Debug, Clone, PartialEq)]
pub struct FactorLine {
    /// The damage.
    pub mode: String,
    /// `stand`, `position`, `chock`, `bearing`, `roll` or `seal batch`.
    pub factor: &'static str,
    /// The one that stands out.
    pub code: String,
    /// Teardowns with that damage there, and all teardowns there.
    pub here: (u32, u32),
    /// The same everywhere else.
    pub elsewhere: (u32, u32),
    /// Chance that any of them stands out as much, corrected for all kinds of damage and factors looked at.
    pub chance: f64,
}

/// What is there of a type.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SpareLine {
    /// Its number here.
    pub type_no: ThingNo,
    /// The type.
    pub bearing_type: String,
    /// New in stores.
    pub new: i64,
    /// In the shop, free to be used.
    pub ready: i64,
    /// On hold.
    pub held: i64,
    /// Away for outside work.
    pub away: i64,
    /// An inner half, which stands on the neck of a roll instead of in a chock.
    pub is_inner: bool,
    /// In chocks, in the mill or not; inner halves on necks.
    pub at_work: i64,
    /// Of those in the mill.
    pub in_mill: i64,
    /// Of those in chocks that stand on hold: no spare either.
    pub in_held: i64,
    /// Nobody knows where: never entered, or something else was found in its place.
    pub unknown: i64,
    /// The least number of new ones.
    pub least: Option<i64>,
}

impl SpareLine {
    /// In closed chocks beside the mill: to look at first. What of them is due or late is told where it is due.
    pub fn in_ready_chocks(&self) -> i64 {
        (self.at_work - self.in_mill - self.in_held).max(0)
    }
}

/// Reads the page.
pub fn stands_page(conn: &Connection, now: Stamp) -> Result<StandsPage> {
    let (factors, modes_seen, looks) = factors(conn)?;
    Ok(StandsPage {
        stands: stands(conn)?,
        factors,
        modes_seen,
        looks,
        lives: lives(conn)?,
        spares: spares(conn, now)?,
        cost: cost(conn)?,
        work: place_work(conn)?,
    })
}

fn stands(conn: &Connection) -> Result<Vec<StandLine>> {
    let mut stmt = conn.prepare(
        "SELECT p.no, p.code, n.code AS stand, p.role, p.level, p.side,
           (SELECT coalesce(sum(r.run_s), 0) FROM run r WHERE r.position = p.no) AS run_s,
           (SELECT count(*) FROM sheet s WHERE s.position = p.no AND s.kind = 'teardown_sheet') AS teardowns,
           (SELECT count(*) FROM sheet s WHERE s.position = p.no
              AND EXISTS (SELECT 1 FROM finding f WHERE f.event = s.event AND f.severity >= 2)) AS damaged,
           (SELECT coalesce(max(c.code), '') FROM place pl JOIN chock c ON c.no = pl.thing WHERE pl.position = p.no) AS here
         FROM position p JOIN stand n ON n.no = p.stand WHERE p.is_rolling_bearing = 1 ORDER BY p.code",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(StandLine {
            no: ThingNo(row.get("no")?),
            code: row.get("code")?,
            stand: row.get("stand")?,
            seat: [row.get("role")?, row.get("level")?, row.get("side")?],
            run_s: row.get("run_s")?,
            teardowns: row.get("teardowns")?,
            damaged: row.get("damaged")?,
            chock: row.get("here")?,
        })
    })?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// A teardown: what may be common, and what was seen. The seals of a stay are those that came out of it, or else those
/// that went in when the bearing was put together last.
struct Seen {
    of: [Option<String>; 6],
    modes: Vec<String>,
}

const FACTORS: [&str; 6] = [
    "stand",
    "position",
    "chock",
    "bearing",
    "roll",
    "seal batch",
];

fn factors(conn: &Connection) -> Result<(Vec<FactorLine>, usize, usize)> {
    let mut stmt = conn.prepare(
        "SELECT n.code, p.code, c.code, b.serial, r.code,
           (SELECT group_concat(DISTINCT f.mode) FROM finding f WHERE f.event = s.event AND f.severity >= 1),
           (SELECT b.code FROM sheet o JOIN event e ON e.no = o.event, json_each(e.payload, '$.body.entries') j
              JOIN seal_batch b ON b.code = j.value ->> 'text' COLLATE NOCASE
            WHERE o.bearing = s.bearing AND (
                (o.event = s.event AND j.value ->> 'path' = 'found.seal_batch')
                OR (j.value ->> 'path' = 'seals.batch' AND e.at_ms < se.at_ms))
            ORDER BY o.event = s.event DESC, e.at_ms DESC, e.no DESC LIMIT 1)
         FROM sheet s JOIN event se ON se.no = s.event JOIN chock c ON c.no = s.chock JOIN bearing b ON b.no = s.bearing
           LEFT JOIN position p ON p.no = s.position LEFT JOIN stand n ON n.no = p.stand
           LEFT JOIN roll r ON r.no = s.roll WHERE s.kind = 'teardown_sheet' ORDER BY s.event",
    )?;
    let rows = stmt.query_map([], |row| {
        let modes: Option<String> = row.get(5)?;
        Ok(Seen {
            of: [
                row.get(0)?,
                row.get(1)?,
                row.get(2)?,
                row.get(3)?,
                row.get(4)?,
                row.get(6)?,
            ],
            modes: modes.map_or_else(Vec::new, |m| m.split(',').map(str::to_owned).collect()),
        })
    })?;
    let all: Vec<Seen> = rows.collect::<rusqlite::Result<_>>()?;
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for mode in all.iter().flat_map(|seen| &seen.modes) {
        *counts.entry(mode).or_default() += 1;
    }
    let modes: Vec<&str> = counts
        .into_iter()
        .filter(|(_, count)| *count >= FOUND_MIN)
        .map(|(mode, _)| mode)
        .collect();
    // Every kind of damage with every factor is one look for something that stands out: all are counted together.
    let found: Vec<FactorLine> = modes
        .iter()
        .flat_map(|mode| (0..FACTORS.len()).map(move |factor| (mode, factor)))
        .filter_map(|(mode, factor)| of_factor(&all, mode, factor))
        .collect();
    let looks = found.len();
    let chances: Vec<f64> = found.iter().map(|line| line.chance).collect();
    let corrected = holm(&chances).unwrap_or(chances);
    let told = found.into_iter().zip(corrected);
    let mut lines: Vec<FactorLine> = told
        .filter(|(_, chance)| *chance < CHANCE)
        .map(|(line, chance)| FactorLine { chance, ..line })
        .collect();
    lines.sort_by(|a, b| a.chance.total_cmp(&b.chance));
    Ok((lines, modes.len(), looks))
}

/// The level of one factor that stands out most with one kind of damage.
fn of_factor(all: &[Seen], mode: &str, factor: usize) -> Option<FactorLine> {
    let mut levels: BTreeMap<&str, (u32, u32)> = BTreeMap::new();
    for seen in all {
        let Some(code) = &seen.of[factor] else {
            continue;
        };
        let (found, looked) = levels.entry(code).or_default();
        *looked += 1;
        *found += u32::from(seen.modes.iter().any(|m| m == mode));
    }
    let counted: Vec<Level> = levels
        .values()
        .map(|(found, looked)| Level {
            found: *found,
            exposure: Exposure::Seen(*looked),
        })
        .collect();
    if counted.len() < 2 {
        return None;
    }
    let most = stands_out(&counted).ok().flatten()?;
    let (code, here) = levels.iter().nth(most.level)?;
    let sum = levels
        .values()
        .fold((0, 0), |(a, b), (found, looked)| (a + found, b + looked));
    Some(FactorLine {
        mode: Mode::of(mode).map_or_else(|| mode.to_owned(), |m| m.name.to_owned()),
        factor: FACTORS[factor],
        code: (*code).to_owned(),
        here: *here,
        elsewhere: (sum.0 - here.0, sum.1 - here.1),
        chance: most.p_factor,
    })
}

/// What is there of each type, and what should be on a day.
pub(super) fn spares(conn: &Connection, now: Stamp) -> Result<Vec<SpareLine>> {
    let mut stmt = conn.prepare(
        "SELECT t.code,
           sum(pl.place = 'stores' AND NOT held AND stay IS NULL),
           sum(pl.place = 'shop' AND NOT held AND stay IS NULL),
           sum(held AND stay IS NULL AND pl.place IN ('shop', 'stores')),
           sum(coalesce(pl.place, '') = 'away'),
           sum(stay IS NOT NULL),
           sum(b.no IS NOT NULL AND coalesce(pl.place, 'unknown') = 'unknown' AND stay IS NULL),
           sum(EXISTS (SELECT 1 FROM stay s JOIN place x ON x.thing = s.chock OR x.roll = s.chock
                       WHERE s.no = b.stay AND x.place = 'mill')) AS in_mill,
           sum(EXISTS (SELECT 1 FROM stay s JOIN hold h ON h.thing IN (s.chock, s.bearing) AND h.released_event IS NULL
                       WHERE s.no = b.stay AND NOT EXISTS (SELECT 1 FROM place x
                         WHERE (x.thing = s.chock OR x.roll = s.chock) AND x.place = 'mill'))) AS in_held, t.no AS type_no,
           t.kind = 'four_row_cylindrical_inner' AS is_inner
         FROM bearing_type t LEFT JOIN (SELECT b.no, b.bearing_type,
                 EXISTS (SELECT 1 FROM hold h WHERE h.thing = b.no AND h.released_event IS NULL) AS held,
                 (SELECT s.no FROM stay s WHERE s.bearing = b.no AND s.to_event IS NULL) AS stay FROM bearing b) b
             ON b.bearing_type = t.no
           LEFT JOIN place pl ON pl.thing = b.no
         GROUP BY t.no ORDER BY t.code",
    )?;
    let rows = stmt.query_map([], |row| {
        Ok(SpareLine {
            type_no: ThingNo(row.get("type_no")?),
            is_inner: row.get("is_inner")?,
            bearing_type: row.get(0)?,
            new: row.get::<_, Option<i64>>(1)?.unwrap_or(0),
            ready: row.get::<_, Option<i64>>(2)?.unwrap_or(0),
            held: row.get::<_, Option<i64>>(3)?.unwrap_or(0),
            away: row.get::<_, Option<i64>>(4)?.unwrap_or(0),
            at_work: row.get::<_, Option<i64>>(5)?.unwrap_or(0),
            unknown: row.get::<_, Option<i64>>(6)?.unwrap_or(0),
            least: None,
            in_mill: row.get::<_, Option<i64>>("in_mill")?.unwrap_or(0),
            in_held: row.get::<_, Option<i64>>("in_held")?.unwrap_or(0),
        })
    })?;
    let mut lines: Vec<SpareLine> = rows.collect::<rusqlite::Result<_>>()?;
    for line in &mut lines {
        line.least = TypeFacts::load(conn, line.type_no, now.ms)?.whole("stock_min_count");
    }
    Ok(lines)
}

/// What was spent, and what it stands against: hours of every campaign, and tonnes. A tonne counts at every roll that it
/// runs between; for the mill it counts once, at the place of its line that rolled the most.
fn cost(conn: &Connection) -> Result<Option<Cost>> {
    let spent: Option<i64> =
        conn.query_row("SELECT sum(amount_minor) FROM cost", [], |row| row.get(0))?;
    let Some(spent_minor) = spent else {
        return Ok(None);
    };
    // Each campaign has two chocks: its hours count once.
    let run_s = conn.query_row("SELECT coalesce(sum(run_s), 0) / 2 FROM run", [], |row| {
        row.get(0)
    })?;
    let mut stmt = conn.prepare(
        "SELECT n.line, p.code, sum(r.rolled_kg) AS rolled_kg FROM run r
           JOIN position p ON p.no = r.position JOIN stand n ON n.no = p.stand
         GROUP BY p.no ORDER BY n.line, rolled_kg DESC, p.code",
    )?;
    let rows = stmt.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    let mut places: Vec<(i64, String, i64)> = rows.collect::<rusqlite::Result<_>>()?;
    places.dedup_by_key(|(line, ..)| *line);
    places.retain(|(.., rolled_kg)| *rolled_kg > 0);
    Ok(Some(Cost {
        spent_minor,
        run_s,
        rolled_kg: places.iter().map(|(.., rolled_kg)| rolled_kg).sum(),
        counted_at: places.into_iter().map(|(_, code, _)| code).collect(),
    }))
}
