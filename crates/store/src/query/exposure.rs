//! What a bearing ran, and exposure that went from one bearing to another, because a campaign was corrected or withdrawn after it was entered.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, params};

use super::journal::JournalLine;
use super::words::Piece;
use super::{code_of, stamp_from_row};
use crate::entry::Show;
use crate::error::Result;
use crate::event::Event;
use crate::id::ThingNo;
use crate::payload::{Campaign, Payload};
use crate::state::{self, find};
use crate::time::{DAY_MS, Stamp};

/// What a bearing ran: hours, tonnes, campaigns and days, each from its chocks' campaigns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Exposure {
    /// Mill time, s.
    pub run_s: i64,
    /// Rolled, kg.
    pub rolled_kg: i64,
    /// Campaigns.
    pub campaigns: i64,
    /// Time in chocks, ms.
    pub in_chock_ms: i64,
    /// Some of it is an estimate.
    pub has_estimate: bool,
}

impl Exposure {
    /// Whole days in chocks.
    pub fn days(&self) -> i64 {
        self.in_chock_ms.div_euclid(DAY_MS)
    }

    fn add(&mut self, other: &Self) {
        self.run_s += other.run_s;
        self.rolled_kg += other.rolled_kg;
        self.campaigns += other.campaigns;
        self.in_chock_ms += other.in_chock_ms;
        self.has_estimate |= other.has_estimate;
    }
}

/// The exposure of a bearing: as a whole, since it was put in, and by the load zone that was up.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Exposures {
    /// In this logbook as a whole.
    pub whole: Exposure,
    /// Since it was put into the chock it is in; none where it is in none.
    pub stay: Option<Exposure>,
    /// With each zone up.
    pub zones: [Exposure; 4],
}

/// Reads the exposure of a bearing as of a time.
pub fn exposures(conn: &Connection, bearing: ThingNo, now_ms: i64) -> Result<Exposures> {
    let mut stmt = conn.prepare_cached(
        "SELECT zone, run_s, rolled_kg, campaigns, has_estimate, from_ms, to_ms FROM stay WHERE bearing = ?1
         ORDER BY from_ms, no",
    )?;
    let mut rows = stmt.query([bearing.0])?;
    let mut all = Exposures::default();
    while let Some(row) = rows.next()? {
        let (from_ms, to_ms): (i64, Option<i64>) = (row.get("from_ms")?, row.get("to_ms")?);
        let one = Exposure {
            run_s: row.get("run_s")?,
            rolled_kg: row.get("rolled_kg")?,
            campaigns: row.get("campaigns")?,
            in_chock_ms: (to_ms.unwrap_or(now_ms) - from_ms).max(0),
            has_estimate: row.get("has_estimate")?,
        };
        all.whole.add(&one);
        let zone = usize::try_from(row.get::<_, i64>("zone")? - 1).ok();
        if let Some(of_zone) = zone.and_then(|zone| all.zones.get_mut(zone)) {
            of_zone.add(&one);
        }
        all.stay = to_ms.is_none().then_some(one);
    }
    Ok(all)
}

/// What one correction did to the exposure of one bearing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MovedExposure {
    /// The amendment; of several events of one entry the first.
    pub amendment: i64,
    /// When it was entered.
    pub at: Stamp,
    /// Who signed it.
    pub by: String,
    /// Why.
    pub reason: String,
    /// Days of the campaigns, first and last.
    pub days: (String, String),
    /// Campaigns that were corrected.
    pub campaigns: usize,
    /// Mill time that came (above zero) or went, s.
    pub run_s: i64,
    /// Tonnes that came or went, kg.
    pub rolled_kg: i64,
    /// Campaigns that came or went.
    pub count: i64,
    /// The other bearings that it came from or went to, by serial.
    pub others: Vec<String>,
}

/// The corrections of campaigns that changed what a bearing ran, oldest first.
pub fn moved_exposure(conn: &Connection, bearing: ThingNo) -> Result<Vec<MovedExposure>> {
    let sql = "SELECT f.event, e.no, e.entered_ms AS at_ms, e.entered_offset_min AS at_offset_min,
                 'second' AS at_precision, e.person_origin, e.person_seq,
                 coalesce((SELECT min(a.reason) FROM amended a WHERE a.amendment = f.amendment AND a.reason <> ''), '') AS why,
                 coalesce((SELECT p.name FROM person p JOIN event r ON r.no = p.no
                   WHERE r.origin = e.person_origin AND r.seq = e.person_seq), '') AS signer
               FROM effective f JOIN event c ON c.no = f.event JOIN event e ON e.no = f.amendment
               WHERE c.kind = 'campaign' ORDER BY e.entered_ms, e.no, c.at_ms";
    let mut stmt = conn.prepare_cached(sql)?;
    let mut rows = stmt.query([])?;
    let mut moved: BTreeMap<(i64, String), (MovedExposure, BTreeSet<String>)> = BTreeMap::new();
    while let Some(row) = rows.next()? {
        let event = state::event(conn, ThingNo(row.get("event")?))?;
        let was = campaign(Payload::read(
            &event.kind,
            event.kind_version,
            &event.payload,
        )?);
        let now = state::what_counts(conn, &event)?.and_then(campaign);
        let before = of(conn, &event, was.as_ref())?;
        let after = of(conn, &event, now.as_ref())?;
        let sum = |all: &[Share]| {
            let own = all.iter().filter(|share| share.bearing == bearing);
            own.fold((0, 0, 0), |(s, kg, n), share| {
                (s + share.run_s, kg + share.rolled_kg, n + 1)
            })
        };
        let (from, to) = (sum(&before), sum(&after));
        if from == to {
            continue;
        }
        let at = stamp_from_row(row)?;
        let why: String = row.get("why")?;
        let day = event.at.date();
        // What was signed together for one reason is one line.
        let (line, others) = moved.entry((at.ms, why.clone())).or_insert_with(|| {
            let line = MovedExposure {
                amendment: 0,
                at,
                by: String::new(),
                reason: why,
                days: (day.clone(), day.clone()),
                campaigns: 0,
                run_s: 0,
                rolled_kg: 0,
                count: 0,
                others: Vec::new(),
            };
            (line, BTreeSet::new())
        });
        if line.campaigns == 0 {
            line.amendment = row.get("no")?;
            line.by = row.get("signer")?;
        }
        line.campaigns += 1;
        line.days.0 = line.days.0.clone().min(day.clone());
        line.days.1 = line.days.1.clone().max(day);
        line.run_s += to.0 - from.0;
        line.rolled_kg += to.1 - from.1;
        line.count += to.2 - from.2;
        let (was_in, is_in): (BTreeSet<ThingNo>, BTreeSet<ThingNo>) = (
            before.iter().map(|share| share.bearing).collect(),
            after.iter().map(|share| share.bearing).collect(),
        );
        for other in was_in.symmetric_difference(&is_in) {
            if *other != bearing {
                others.insert(code_of(conn, *other)?);
            }
        }
    }
    let lines = moved.into_values().map(|(line, others)| MovedExposure {
        others: others.into_iter().collect(),
        ..line
    });
    let mut lines: Vec<MovedExposure> = lines.collect();
    lines.sort_by_key(|line| (line.at.ms, line.amendment));
    Ok(lines)
}

/// The line of a bearing with its corrected campaigns told together: one entry an amendment would hide everything else.
pub(super) fn told_together(
    conn: &Connection,
    lines: &mut Vec<JournalLine>,
    moved: &[MovedExposure],
    show: Show,
) -> Result<()> {
    let mut stmt = conn.prepare_cached(
        "SELECT DISTINCT a.amendment FROM amended a JOIN event c ON c.no = a.event WHERE c.kind = 'campaign'",
    )?;
    let rows = stmt.query_map([], |row| row.get(0))?;
    let of_campaigns: BTreeSet<i64> = rows.collect::<rusqlite::Result<_>>()?;
    let told = |no: i64| moved.iter().find(|line| line.amendment == no);
    lines.retain(|line| !of_campaigns.contains(&line.no) || told(line.no).is_some());
    for line in lines {
        let Some(moved) = told(line.no) else { continue };
        let (word, link) = if moved.run_s < 0 {
            ("Exposure taken off", "to")
        } else {
            ("Exposure added", "from")
        };
        let campaigns = match moved.campaigns {
            1 => "1 campaign".to_owned(),
            n => format!("{n} campaigns"),
        };
        word.clone_into(&mut line.title);
        let mut pieces = vec![
            Piece::strong(format!("{} h", show.amount(moved.run_s.abs(), 3_600, 1))),
            Piece::plain(format!("{} kt", show.kilotonnes(moved.rolled_kg.abs()))),
            Piece::plain(campaigns),
        ];
        if !moved.others.is_empty() {
            pieces.push(Piece::plain(format!("{link} {}", moved.others.join(", "))));
        }
        pieces.push(Piece::muted(&moved.reason));
        line.pieces = pieces;
    }
    Ok(())
}

/// What one bearing ran in a campaign.
struct Share {
    bearing: ThingNo,
    run_s: i64,
    rolled_kg: i64,
}

fn campaign(payload: Payload) -> Option<Campaign> {
    match payload {
        Payload::Campaign(campaign) => Some(campaign),
        _ => None,
    }
}

/// The bearings that were in its chocks and on its roll, by the stays as they are now.
fn of(conn: &Connection, event: &Event, campaign: Option<&Campaign>) -> Result<Vec<Share>> {
    let Some(p) = campaign else {
        return Ok(Vec::new());
    };
    let own = event.id.origin;
    let mut shares = Vec::new();
    let mut stmt = conn.prepare_cached(
        "SELECT bearing FROM stay WHERE chock = ?1 AND from_ms <= ?2 AND (to_ms IS NULL OR to_ms > ?2)",
    )?;
    let on_necks = (!p.is_estimate).then_some(&p.roll);
    for name in [&p.chock_o, &p.chock_d].into_iter().chain(on_necks) {
        let carrier = find(conn, name, own)?;
        let bearings = stmt.query_map(params![carrier.0, p.from_ms], |row| row.get(0))?;
        for bearing in bearings {
            shares.push(Share {
                bearing: ThingNo(bearing?),
                run_s: p.run_s,
                rolled_kg: p.rolled_kg,
            });
        }
    }
    Ok(shares)
}

/// The bearings whose exposure an amendment of a campaign changes, in the order of their numbers; empty for another event.
pub(crate) fn touched(conn: &Connection, target: ThingNo) -> Result<Vec<ThingNo>> {
    let kind: Option<String> = conn
        .prepare_cached("SELECT kind FROM event WHERE no = ?1")?
        .query_row([target.0], |row| row.get(0))
        .optional()?;
    if kind.as_deref() != Some("campaign") {
        return Ok(Vec::new());
    }
    let event = state::event(conn, target)?;
    let was = campaign(Payload::read(
        &event.kind,
        event.kind_version,
        &event.payload,
    )?);
    let now = state::what_counts(conn, &event)?.and_then(campaign);
    let mut all = of(conn, &event, was.as_ref())?;
    all.extend(of(conn, &event, now.as_ref())?);
    let all: BTreeSet<ThingNo> = all.into_iter().map(|share| share.bearing).collect();
    Ok(all.into_iter().collect())
}
