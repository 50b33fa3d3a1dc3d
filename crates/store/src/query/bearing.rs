//! Bearings: the register table and the page of one.

use rusqlite::{Connection, OptionalExtension, params};

use super::corrections::{Document, documents_of};
use super::exposure::{Exposures, MovedExposure, exposures, moved_exposure, told_together};
use super::halves::{Halves, halves, partners};
use super::journal::{JournalFilter, JournalLine, journal};
use super::life::{LifeUsed, life_used};
use super::sheet::{SheetDetail, sheets_of_bearing};
use crate::entry::Show;
use crate::error::Result;
use crate::id::ThingNo;
use crate::sheet::TypeFacts;
use crate::sheet::findings::{self, EarlierFinding};
use crate::time::{DAY_MS, Stamp};

/// Where a bearing is and how it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BearingState {
    /// In a chock in the mill.
    InMill,
    /// In a chock, not in the mill.
    InChock,
    /// An inner half on the neck of a roll.
    OnNeck,
    /// In the shop, in no chock.
    InShop,
    /// New in stores.
    InStores,
    /// Away for outside work.
    Away,
    /// Gone for good.
    Scrapped,
    /// Nobody wrote down where.
    Unknown,
}

impl BearingState {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::InMill => "in the mill",
            Self::InChock => "in a ready chock",
            Self::OnNeck => "on a neck",
            Self::InShop => "in the shop",
            Self::InStores => "new in stores",
            Self::Away => "away",
            Self::Scrapped => "scrapped",
            Self::Unknown => "not known",
        }
    }
}

/// One line of the register of bearings.
#[derive(Debug, Clone, PartialEq)]
pub struct BearingLine {
    /// Its number here.
    pub no: ThingNo,
    /// Its serial.
    pub serial: String,
    /// Its type.
    pub type_code: String,
    /// Kind of bearing.
    pub kind: String,
    /// Where it is.
    pub state: BearingState,
    /// Chock it is in.
    pub chock: Option<(ThingNo, String)>,
    /// Position of that chock, or whom it is away at.
    pub place: String,
    /// Load zone up, 0 for none.
    pub zone: i64,
    /// Mill time in all, s.
    pub total_run_s: i64,
    /// Mill time since it was put into this chock, s.
    pub stay_run_s: i64,
    /// Interval of its type, s of mill time.
    pub interval_run_s: Option<i64>,
    /// Until when its stay was extended.
    pub extended_ms: Option<i64>,
    /// Day of the last sheet.
    pub last_sheet: Option<Stamp>,
    /// Clearance as it is now by the last sheet (as left where reground), nm.
    pub clearance_nm: [Option<i64>; 3],
    /// Worst verdict of the last sheet on clearance, as in the file; empty = none.
    pub verdict: String,
    /// Why it is on hold.
    pub held: Option<String>,
}

/// All bearings by serial.
pub fn bearings(conn: &Connection) -> Result<Vec<BearingLine>> {
    lines(conn, None)
}

fn lines(conn: &Connection, only: Option<ThingNo>) -> Result<Vec<BearingLine>> {
    let sql = "SELECT b.no, b.serial, t.code AS type_code, t.kind, b.prior_run_s, s.chock, s.seat, c.code AS chock_code, rl.code AS roll_code,
            s.zone, s.run_s AS stay_run_s, pl.place, pl.note, cp.place AS chock_place, pos.code AS position_code,
            (SELECT coalesce(sum(run_s), 0) FROM stay WHERE bearing = b.no) AS run_s,
            (SELECT sh.event FROM sheet sh JOIN event e ON e.no = sh.event WHERE sh.bearing = b.no
             ORDER BY e.at_ms DESC, e.no DESC LIMIT 1) AS last_sheet,
            (SELECT value FROM type_value v WHERE v.bearing_type = t.no AND v.name = 'interval_run_s'
             ORDER BY v.valid_from_ms DESC LIMIT 1) AS interval_run_s,
            (SELECT group_concat(reason, '; ') FROM (SELECT h.reason FROM hold h
               WHERE h.thing = b.no AND h.released_event IS NULL ORDER BY h.event DESC)) AS held,
            (SELECT x.until_ms FROM extension x WHERE x.chock = s.chock AND x.at_ms >= s.from_ms
             ORDER BY x.at_ms DESC, x.event DESC LIMIT 1) AS extended_ms
        FROM bearing b JOIN bearing_type t ON t.no = b.bearing_type
        LEFT JOIN stay s ON s.bearing = b.no AND s.to_event IS NULL
        LEFT JOIN chock c ON c.no = s.chock
        LEFT JOIN roll rl ON rl.no = s.chock
        LEFT JOIN place pl ON pl.thing = b.no
        LEFT JOIN place cp ON cp.thing = s.chock
        LEFT JOIN position pos ON pos.no = cp.position
        WHERE ?1 IS NULL OR b.no = ?1 ORDER BY b.serial";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query([only.map(|t| t.0)])?;
    let mut lines = Vec::new();
    while let Some(row) = rows.next()? {
        let chock: Option<i64> = row.get("chock")?;
        let chock_code: Option<String> = row.get("chock_code")?;
        let place: Option<String> = row.get("place")?;
        let chock_place: Option<String> = row.get("chock_place")?;
        let position: Option<String> = row.get("position_code")?;
        let note: Option<String> = row.get("note")?;
        let roll: Option<String> = row.get("roll_code")?;
        let seat: Option<String> = row.get("seat")?;
        let state = match (place.as_deref(), chock, chock_place.as_deref()) {
            (Some("scrapped"), ..) => BearingState::Scrapped,
            (Some("away"), ..) => BearingState::Away,
            (_, Some(_), _) if roll.is_some() => BearingState::OnNeck,
            (_, Some(_), Some("mill")) => BearingState::InMill,
            (_, Some(_), _) => BearingState::InChock,
            (Some("stores"), ..) => BearingState::InStores,
            (Some(_), ..) => BearingState::InShop,
            (None, ..) => BearingState::Unknown,
        };
        let last_sheet: Option<i64> = row.get("last_sheet")?;
        let prior: i64 = row.get("prior_run_s")?;
        let run: i64 = row.get("run_s")?;
        let mut line = BearingLine {
            no: ThingNo(row.get("no")?),
            serial: row.get("serial")?,
            type_code: row.get("type_code")?,
            kind: row.get("kind")?,
            state,
            chock: chock.map(ThingNo).zip(chock_code),
            place: match state {
                BearingState::InMill => position.unwrap_or_default(),
                BearingState::Away => note.unwrap_or_default(),
                BearingState::OnNeck => {
                    let side = match seat.as_deref() {
                        Some("neck_o") => "operator side",
                        _ => "drive side",
                    };
                    format!("{}, {side}", roll.unwrap_or_default())
                }
                _ => String::new(),
            },
            zone: row.get::<_, Option<i64>>("zone")?.unwrap_or(0),
            total_run_s: prior + run,
            stay_run_s: row.get::<_, Option<i64>>("stay_run_s")?.unwrap_or(0),
            interval_run_s: row.get("interval_run_s")?,
            extended_ms: row.get("extended_ms")?,
            last_sheet: None,
            clearance_nm: [None; 3],
            verdict: String::new(),
            held: row.get("held")?,
        };
        if let Some(event) = last_sheet {
            line.last_sheet = Some(
                conn.prepare_cached(
                    "SELECT at_ms, at_offset_min, at_precision FROM event WHERE no = ?1",
                )?
                .query_row([event], super::stamp_from_row)?,
            );
            let found = crate::sheet::found_by_pair(conn, event)?;
            let left = crate::sheet::outcome_by_pair(conn, event, "end_play_after_nm")?;
            line.clearance_nm = std::array::from_fn(|i| left[i].or(found[i]));
            line.verdict = worst_clearance(conn, event)?;
        }
        lines.push(line);
    }
    Ok(lines)
}

/// Worst verdict of a sheet on the clearance as it was left.
fn worst_clearance(conn: &Connection, event: i64) -> Result<String> {
    let mut stmt = conn.prepare_cached("SELECT about, verdict FROM verdict WHERE event = ?1 AND about IN ('clearance', 'clearance_after')")?;
    let rows = stmt.query_map([event], |row| {
        Ok((row.get::<_, String>(0)?, row.get::<_, String>(1)?))
    })?;
    let all: Vec<(String, String)> = rows.collect::<rusqlite::Result<_>>()?;
    let is_ground = all.iter().any(|(about, _)| about == "clearance_after");
    let wanted = if is_ground {
        "clearance_after"
    } else {
        "clearance"
    };
    let verdicts = all
        .iter()
        .filter(|(about, _)| about == wanted)
        .filter_map(|(_, verdict)| verdict.parse().ok());
    let verdicts: Vec<calc::conformity::Verdict> = verdicts.collect();
    if verdicts.is_empty() {
        Ok(String::new())
    } else {
        Ok(calc::conformity::Verdict::worst(verdicts)
            .as_str()
            .to_owned())
    }
}

/// One clearance in the growth plot.
#[derive(Debug, Clone, PartialEq)]
pub struct GrowthPoint {
    /// The event it comes from, to open it.
    pub event: i64,
    /// The day.
    pub at: Stamp,
    /// Mill time on the bearing's own counter, s.
    pub run_s: i64,
    /// Rolled while the bearing was in, since this logbook counts, kg.
    pub rolled_kg: i64,
    /// Row pair, 1 to 3.
    pub pair: usize,
    /// Clearance, nm.
    pub value_nm: i64,
    /// U at k = 2, nm.
    pub expanded_uncertainty_nm: Option<i64>,
    /// Which stretch of its row pair between two settings, from 0; a regrind or a new baseline begins the next.
    pub segment: usize,
    /// True for a setting (new, reconditioned, reground), false for a reading.
    pub is_setting: bool,
    /// True for a setting as new or as reconditioned outside: it was set to the drawing, not to the target of a regrind.
    pub is_baseline: bool,
}

/// One row pair as it stands.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PairNow {
    /// Last clearance (as left), nm.
    pub now_nm: Option<i64>,
    /// As set, nm.
    pub as_set_nm: Option<i64>,
    /// Times as set.
    pub times: Option<f64>,
    /// Growth per 1,000 h between the last two readings of this stretch, nm.
    pub per_1000_h_nm: Option<i64>,
    /// Limit, nm.
    pub limit_nm: Option<i64>,
    /// Watch level, nm.
    pub watch_nm: Option<i64>,
}

/// Where the counters of a bearing stood when another load zone came up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Turn {
    /// The day.
    pub at: Stamp,
    /// Mill time on the bearing's own counter, s.
    pub run_s: i64,
    /// Rolled by then, kg.
    pub rolled_kg: i64,
    /// The zone that came up, 1 to 4.
    pub zone: i64,
}

/// Everything on the page of one bearing.
#[derive(Debug, Clone, PartialEq)]
pub struct BearingPage {
    /// Its line in the register.
    pub line: BearingLine,
    /// Its type with the values valid now.
    pub bearing_type: TypeFacts,
    /// Revision: 1 new, 2 after the first reconditioning.
    pub revision: i64,
    /// Mill time that each zone has had up, s.
    pub zone_run_s: [i64; 4],
    /// What was rolled while each zone was up, kg.
    pub zone_rolled_kg: [i64; 4],
    /// Rolled while it was in a chock, since this logbook counts, kg.
    pub total_rolled_kg: i64,
    /// When it first went into a chock.
    pub first_in: Option<Stamp>,
    /// The growth plot, oldest first.
    pub growth: Vec<GrowthPoint>,
    /// Turnings, oldest first.
    pub turns: Vec<Turn>,
    /// What was seen on its parts since it was new or reconditioned, oldest first.
    pub findings: Vec<EarlierFinding>,
    /// What was seen before it was reconditioned last, oldest first: on raceways that are not there any more.
    pub findings_before: Vec<EarlierFinding>,
    /// The three row pairs.
    pub pairs: [PairNow; 3],
    /// What happened, newest first.
    pub journal: Vec<JournalLine>,
    /// All its sheets, oldest first.
    pub sheets: Vec<SheetDetail>,
    /// Its pictures and papers, newest first.
    pub documents: Vec<Document>,
    /// The halves of a cylindrical bearing: what it goes and went together with.
    pub halves: Option<Halves>,
    /// What it has used of its rating life.
    pub life: LifeUsed,
    /// Exposure that corrections brought it or took from it, oldest first.
    pub moved: Vec<MovedExposure>,
    /// Hours, tonnes, campaigns and days: whole, this stay, each zone.
    pub exposure: Exposures,
}

/// Reads the page of one bearing; none where there is no such bearing.
pub fn bearing_page(
    conn: &Connection,
    bearing: ThingNo,
    now: Stamp,
    show: Show,
) -> Result<Option<BearingPage>> {
    let Some(line) = lines(conn, Some(bearing))?.into_iter().next() else {
        return Ok(None);
    };
    let type_no: i64 = conn.query_row(
        "SELECT bearing_type FROM bearing WHERE no = ?1",
        [bearing.0],
        |row| row.get(0),
    )?;
    let bearing_type = TypeFacts::load(conn, ThingNo(type_no), now.ms + DAY_MS)?;
    let prior: i64 = conn.query_row(
        "SELECT prior_run_s FROM bearing WHERE no = ?1",
        [bearing.0],
        |row| row.get(0),
    )?;
    let exposure = exposure(conn, bearing, prior, now.offset_min)?;
    let (growth, revision, as_set) = growth(conn, bearing, prior)?;
    let pairs = std::array::from_fn(|i| pair_now(&growth, &bearing_type, as_set[i], i + 1));
    let filter = JournalFilter {
        thing: Some(bearing),
        with_register: true,
        ..JournalFilter::default()
    };
    let moved = moved_exposure(conn, bearing)?;
    let mut journal = journal(conn, &filter, show)?;
    told_together(conn, &mut journal, &moved, show)?;
    Ok(Some(BearingPage {
        life: life_used(conn, bearing, &bearing_type, prior)?,
        moved,
        exposure: exposures(conn, bearing, now.ms)?,
        findings: findings::earlier(conn, bearing, i64::MAX)?,
        findings_before: findings::before_baseline(conn, bearing)?,
        line,
        bearing_type,
        revision,
        zone_run_s: exposure.zone_run_s,
        zone_rolled_kg: exposure.zone_rolled_kg,
        total_rolled_kg: exposure.rolled_kg,
        first_in: exposure.first_in,
        growth,
        turns: exposure.turns,
        pairs,
        journal,
        sheets: sheets_of_bearing(conn, bearing, show)?,
        documents: documents_of(conn, bearing)?,
        halves: halves(conn, bearing)?,
    }))
}

/// What a bearing has carried.
#[derive(Default)]
struct Exposure {
    zone_run_s: [i64; 4],
    zone_rolled_kg: [i64; 4],
    rolled_kg: i64,
    first_in: Option<Stamp>,
    turns: Vec<Turn>,
}

/// Its stays one after the other; `prior` is what its counter stood at before the first.
fn exposure(conn: &Connection, bearing: ThingNo, prior: i64, offset_min: i64) -> Result<Exposure> {
    let mut all = Exposure::default();
    let mut counter = prior;
    let sql =
        "SELECT zone, run_s, rolled_kg, from_ms FROM stay WHERE bearing = ?1 ORDER BY from_ms, no";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query([bearing.0])?;
    while let Some(row) = rows.next()? {
        let (zone, run_s): (i64, i64) = (row.get("zone")?, row.get("run_s")?);
        let rolled_kg: i64 = row.get("rolled_kg")?;
        let at = Stamp::second(row.get("from_ms")?, offset_min);
        all.first_in.get_or_insert(at);
        if zone > 0 && all.turns.last().is_none_or(|last| last.zone != zone) {
            all.turns.push(Turn {
                at,
                run_s: counter,
                rolled_kg: all.rolled_kg,
                zone,
            });
        }
        if let Some(index) = usize::try_from(zone - 1).ok().filter(|index| *index < 4) {
            all.zone_run_s[index] += run_s;
            all.zone_rolled_kg[index] += rolled_kg;
        }
        counter += run_s;
        all.rolled_kg += rolled_kg;
    }
    Ok(all)
}

pub(super) fn pair_now(
    growth: &[GrowthPoint],
    t: &TypeFacts,
    as_set_nm: Option<i64>,
    pair: usize,
) -> PairNow {
    use calc::growth::{Point, per_1000_hours};
    use calc::quantity::{nanometres, seconds, to_nanometres};
    let points: Vec<&GrowthPoint> = growth.iter().filter(|p| p.pair == pair).collect();
    let last = points.last();
    let before = last.and_then(|last| {
        points
            .iter()
            .rev()
            .skip(1)
            .find(|p| p.segment == last.segment)
    });
    let point = |p: &&GrowthPoint| Point {
        running: seconds(p.run_s),
        clearance: nanometres(p.value_nm),
    };
    let rate = last
        .zip(before)
        .and_then(|(last, before)| per_1000_hours(point(before), point(last)).ok());
    let now_nm = last.map(|p| p.value_nm);
    PairNow {
        now_nm,
        as_set_nm,
        times: now_nm
            .zip(as_set_nm)
            .filter(|(_, set)| *set > 0)
            .map(|(now, set)| now as f64 / set as f64),
        per_1000_h_nm: rate.map(to_nanometres),
        limit_nm: t.limit_nm(pair, as_set_nm),
        watch_nm: t.pair("watch_nm", pair),
    }
}

/// How a clearance was set.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Set {
    /// As new, or as it came back from outside.
    Baseline,
    /// By grinding its spacer here.
    Ground,
}

pub(super) type Growth = (Vec<GrowthPoint>, i64, [Option<i64>; 3]);

/// Settings and readings in their order, in stretches.
pub(super) fn growth(conn: &Connection, bearing: ThingNo, prior: i64) -> Result<Growth> {
    let sql = "SELECT e.no, e.at_ms, e.at_offset_min, e.at_precision, 'baseline' AS what,
            (SELECT coalesce(sum(run_s), 0) FROM stay WHERE bearing = ?1 AND from_ms < e.at_ms) AS run_s,
            (SELECT coalesce(sum(rolled_kg), 0) FROM stay WHERE bearing = ?1 AND from_ms < e.at_ms) AS rolled_kg
          FROM event e WHERE e.no IN (SELECT event FROM baseline WHERE bearing = ?1)
        UNION ALL
        SELECT e.no, e.at_ms, e.at_offset_min, e.at_precision, 'sheet',
            (SELECT coalesce(sum(run_s), 0) FROM stay WHERE bearing = ?1 AND from_ms < e.at_ms),
            (SELECT coalesce(sum(rolled_kg), 0) FROM stay WHERE bearing = ?1 AND from_ms < e.at_ms)
          FROM sheet s JOIN event e ON e.no = s.event WHERE s.bearing = ?1
        ORDER BY at_ms, 1";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query([bearing.0])?;
    let mut points: Vec<GrowthPoint> = Vec::new();
    let (mut revision, mut as_set, mut segments) = (0, [None; 3], [0; 3]);
    // The clearance of a cylindrical bearing is that of two halves: over another inner half it begins anew.
    let partners = partners(conn, bearing)?;
    let partner_at = |at_ms: i64| {
        let mut all = partners.iter().rev();
        all.find(|(from_ms, _)| *from_ms < at_ms).map(|(_, no)| *no)
    };
    let mut partner = None;
    while let Some(row) = rows.next()? {
        let event: i64 = row.get("no")?;
        let at = super::stamp_from_row(row)?;
        let run_s: i64 = prior + row.get::<_, i64>("run_s")?;
        let rolled_kg: i64 = row.get("rolled_kg")?;
        let what: String = row.get("what")?;
        let point = |pair: usize, value_nm, uncertainty, segment, set: Option<Set>| GrowthPoint {
            event,
            at,
            run_s,
            rolled_kg,
            pair,
            value_nm,
            expanded_uncertainty_nm: uncertainty,
            segment,
            is_setting: set.is_some(),
            is_baseline: set == Some(Set::Baseline),
        };
        if what == "baseline" {
            if !points.is_empty() {
                segments = segments.map(|segment| segment + 1);
            }
            let mut stmt = conn.prepare_cached("SELECT revision, pair, value_nm FROM baseline WHERE bearing = ?1 AND event = ?2 ORDER BY pair")?;
            let mut rows = stmt.query(params![bearing.0, event])?;
            while let Some(row) = rows.next()? {
                revision = row.get("revision")?;
                let pair = usize::try_from(row.get::<_, i64>("pair")?).unwrap_or(1);
                let value: i64 = row.get("value_nm")?;
                let at = pair.saturating_sub(1).min(2);
                as_set[at] = Some(value);
                points.push(point(pair, value, None, segments[at], Some(Set::Baseline)));
            }
            continue;
        }
        let uncertainty: Option<i64> = conn
            .prepare_cached("SELECT expanded_uncertainty_nm FROM verdict WHERE event = ?1 AND about = 'clearance' AND item <= 1")?
            .query_row([event], |row| row.get(0))
            .optional()?
            .flatten();
        let found = crate::sheet::found_by_pair(conn, event)?;
        let left = crate::sheet::outcome_by_pair(conn, event, "end_play_after_nm")?;
        if found.iter().any(Option::is_some) {
            let now = partner_at(at.ms);
            if now.is_some() && partner.is_some() && now != partner {
                segments = segments.map(|segment| segment + 1);
            }
            partner = now.or(partner);
        }
        for (pair, value) in (1..).zip(found) {
            points.extend(value.map(|v| point(pair, v, uncertainty, segments[pair - 1], None)));
        }
        // A row pair whose spacer was left as it was goes on in its stretch.
        for (at, left) in left.into_iter().enumerate() {
            let stands = points.iter().rfind(|p| p.pair == at + 1);
            let as_it_was = stands.filter(|p| p.run_s == run_s).map(|p| p.value_nm);
            if let Some(left) = left.filter(|_| left != as_it_was) {
                segments[at] += 1;
                let set = Some(Set::Ground);
                points.push(point(at + 1, left, uncertainty, segments[at], set));
            }
        }
    }
    Ok((points, revision, as_set))
}
