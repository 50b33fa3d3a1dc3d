//! What a gauge that was found out has touched: every reading since its last good calibration, as recorded and fully
//! corrected, what was said of it and what would have been said, and what was done about it since.
//!
//! Nothing is changed by it: the sheets stay as they were signed. Ovality and taper are differences of readings of one
//! gauge, so that an error which is the same everywhere leaves them as they are; they are not listed.

mod judging;
mod others;

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, Row, params};

use super::code_of;
use super::words::{describe, error_words};
use crate::entry::Show;
use crate::error::Result;
use crate::event::Event;
use crate::id::{EventId, ThingNo};
use crate::payload::{Payload, SheetBody};
use crate::state::{self, EVENT_COLUMNS, event_from_row};
use crate::time::Stamp;
use calc::conformity::Verdict;
use calc::found_out::Change;

/// A gauge found out, with everything that was read on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Impact {
    /// The event that tells of it.
    pub fault: i64,
    /// Its name, for people.
    pub id: String,
    /// When it was found.
    pub at: Stamp,
    /// Who entered it.
    pub signer: String,
    /// The gauge.
    pub gauge: ThingNo,
    /// Its code.
    pub code: String,
    /// What it measures.
    pub measures: String,
    /// Error, indication minus reference (nm, mK, mN m).
    pub error: i64,
    /// How it was found.
    pub text: String,
    /// Its last good calibration and when that ran out; none where none is entered.
    pub good: Option<(Stamp, String, Stamp)>,
    /// What was read, oldest first.
    pub lines: Vec<ImpactLine>,
}

impl Impact {
    /// Lines whose verdict would be another.
    pub fn changed(&self) -> usize {
        self.lines
            .iter()
            .filter(|l| l.change.is_some_and(Change::is_changed))
            .count()
    }

    /// Checks without the release that they need.
    pub fn unreleased(&self) -> usize {
        let mut events: Vec<i64> = self
            .lines
            .iter()
            .filter(|l| l.release == Release::Missing)
            .map(|l| l.event)
            .collect();
        events.dedup();
        events.len()
    }

    /// The error in words, "+24 \u{b5}m".
    pub fn error_words(&self, show: Show) -> String {
        error_words(self.error, &self.measures, show)
    }
}

/// One thing that was judged, or only read, with the gauge.
#[derive(Debug, Clone, PartialEq)]
pub struct ImpactLine {
    /// The sheet.
    pub event: i64,
    /// Its name, for people.
    pub id: String,
    /// When.
    pub at: Stamp,
    /// Who signed.
    pub signer: String,
    /// Of what, "R-121, operator side", "WC-17", "TH-4T-031, rows 1-2".
    pub of: String,
    /// The thing whose history it belongs to, with its sort.
    pub thing: Option<(ThingNo, String)>,
    /// What was judged, as in the file; empty where there is no verdict.
    pub about: String,
    /// Row pair or plane; 0 for the whole.
    pub item: i64,
    /// The readings taken with it that stand behind this, in the order of the sheet.
    pub readings: Vec<ImpactReading>,
    /// Value judged as recorded, nm; for what is only read and not judged, none.
    pub recorded: Option<i64>,
    /// The same fully corrected.
    pub corrected: Option<i64>,
    /// Lower limit of that day.
    pub lower: Option<i64>,
    /// Upper limit of that day.
    pub upper: Option<i64>,
    /// U at k = 2 of that day.
    pub expanded_uncertainty: Option<i64>,
    /// Verdict as signed.
    pub signed: Option<Verdict>,
    /// Verdict of the corrected value.
    pub if_corrected: Option<Verdict>,
    /// Probability of conformity of the corrected value.
    pub probability: Option<f64>,
    /// How the signed verdict stands.
    pub change: Option<Change>,
    /// What was ground off the spacer by it, and what would have been, nm: a setting that was decided from the reading.
    pub ground: Option<(i64, i64)>,
    /// What was said to the warning that the gauge was overdue.
    pub said: String,
    /// The engineer's release of a reading on a doubtful gauge.
    pub release: Release,
    /// The same, measured again on another gauge.
    pub again: Option<Again>,
    /// What was done about the thing since it was found out.
    pub done: Vec<Act>,
}

/// One reading, as recorded and fully corrected, in the gauge's unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImpactReading {
    /// Field of the sheet.
    pub path: String,
    /// As recorded.
    pub recorded: i64,
    /// Without the error.
    pub corrected: i64,
}

/// Whether the engineer released what was read on a gauge in doubt.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Release {
    /// The gauge was in order, as far as anybody knew.
    NotNeeded,
    /// It is missing to this day.
    Missing,
    /// Who, and on which day.
    By(String, Stamp),
}

/// A later measurement of the same thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Again {
    /// The sheet.
    pub event: i64,
    /// Its name.
    pub id: String,
    /// When.
    pub at: Stamp,
    /// The gauge used.
    pub gauge: String,
    /// Value, nm.
    pub value: Option<i64>,
    /// Verdict.
    pub verdict: Option<Verdict>,
}

/// Something that was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Act {
    /// The event.
    pub event: i64,
    /// Its name.
    pub id: String,
    /// When.
    pub at: Stamp,
    /// In words.
    pub text: String,
}

/// A gauge that a sheet was read on, and that was found out later.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suspect {
    /// The gauge.
    pub gauge: ThingNo,
    /// Its code.
    pub code: String,
    /// What it measures.
    pub measures: String,
    /// Its error.
    pub error: i64,
    /// The event that tells of it.
    pub fault: EventId,
    /// When it was found.
    pub at: Stamp,
}

/// The time that a fault throws doubt on: from the last calibration before its day to the next one.
const WINDOWS: &str = "SELECT f.event, f.gauge, f.error, f.what, g.code, g.measures,
    coalesce((SELECT max(c.at_ms) FROM calibration c WHERE c.gauge = f.gauge
      AND c.at_ms < f.at_ms - (f.at_ms + e.at_offset_min * 60000) % 86400000), -9223372036854775807) AS from_ms,
    coalesce((SELECT min(c.at_ms) FROM calibration c WHERE c.gauge = f.gauge AND c.at_ms >= f.at_ms),
      CASE WHEN EXISTS (SELECT 1 FROM calibration c WHERE c.gauge = f.gauge AND c.at_ms < f.at_ms
        AND c.at_ms >= f.at_ms - (f.at_ms + e.at_offset_min * 60000) % 86400000)
      THEN f.at_ms ELSE 9223372036854775807 END) AS until_ms
  FROM gauge_fault f JOIN event e ON e.no = f.event JOIN gauge g ON g.no = f.gauge";

/// Kinds of events that are read on gauges. For SQL.
const READ_ON: &str = "('teardown_sheet', 'returned', 'seat_check', 'mounting_sheet')";

/// The gauges of an event that were found out later.
pub fn suspects_of(conn: &Connection, event: i64) -> Result<Vec<Suspect>> {
    let sql = format!(
        "SELECT w.* FROM ({WINDOWS}) w JOIN thing_event t ON t.thing = w.gauge JOIN event s ON s.no = t.event
         WHERE t.event = ?1 AND s.kind IN {READ_ON} AND s.at_ms >= w.from_ms AND s.at_ms < w.until_ms
           AND (s.kind = 'mounting_sheet' OR EXISTS (SELECT 1 FROM reading r WHERE r.event = s.no AND r.gauge = w.gauge))
         ORDER BY w.code, w.event"
    );
    let mut stmt = conn.prepare_cached(&sql)?;
    let mut rows = stmt.query([event])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        let fault = state::event(conn, ThingNo(row.get("event")?))?;
        found.push(Suspect {
            gauge: ThingNo(row.get("gauge")?),
            code: row.get("code")?,
            measures: row.get("measures")?,
            error: row.get("error")?,
            fault: fault.id,
            at: fault.at,
        });
    }
    Ok(found)
}

/// The same for a line of a journal.
pub(super) fn suspect_words(conn: &Connection, event: i64) -> Result<Option<String>> {
    let mut codes: Vec<String> = suspects_of(conn, event)?
        .into_iter()
        .map(|s| s.code)
        .collect();
    codes.dedup();
    Ok((!codes.is_empty()).then(|| format!("suspect gauge {}", codes.join(", "))))
}

/// Every time that a gauge was found out, newest first, with what it touched.
pub fn impacts(conn: &Connection, gauge: ThingNo, show: Show) -> Result<Vec<Impact>> {
    let sql = format!("SELECT * FROM ({WINDOWS}) WHERE gauge = ?1 ORDER BY event DESC");
    let mut stmt = conn.prepare(&sql)?;
    let mut rows = stmt.query([gauge.0])?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        all.push(impact(conn, gauge, row, show)?);
    }
    all.sort_by_key(|i| std::cmp::Reverse((i.at.ms, i.fault)));
    Ok(all)
}

fn impact(conn: &Connection, gauge: ThingNo, row: &Row<'_>, show: Show) -> Result<Impact> {
    let fault = state::event(conn, ThingNo(row.get("event")?))?;
    let window = (row.get("from_ms")?, row.get("until_ms")?);
    let mut impact = Impact {
        fault: fault.no,
        id: fault.id.to_string(),
        at: fault.at,
        signer: signer_of(conn, &fault)?,
        gauge,
        code: row.get("code")?,
        measures: row.get("measures")?,
        error: row.get("error")?,
        text: row.get("what")?,
        good: good(conn, gauge, window.0, fault.at.offset_min)?,
        lines: Vec::new(),
    };
    for event in read_on(conn, gauge, window)? {
        lines_of(conn, &event, &mut impact)?;
    }
    let Impact { lines, at, .. } = &mut impact;
    for line in lines {
        line.again = again(conn, line, gauge, window)?;
        if line.change.is_some_and(|change| change != Change::Stands) {
            line.done = done(conn, line, *at, show)?;
        }
    }
    Ok(impact)
}

fn good(
    conn: &Connection,
    gauge: ThingNo,
    at_ms: i64,
    offset_min: i64,
) -> Result<Option<(Stamp, String, Stamp)>> {
    let sql = "SELECT at_ms, certificate, due_ms FROM calibration WHERE gauge = ?1 AND at_ms = ?2 ORDER BY event DESC LIMIT 1";
    let found = conn
        .prepare_cached(sql)?
        .query_row(params![gauge.0, at_ms], |row| {
            let stamp = |ms| Stamp::second(ms, offset_min);
            Ok((stamp(row.get(0)?), row.get(1)?, stamp(row.get(2)?)))
        });
    Ok(found.optional()?)
}

/// The events that were read on a gauge in a time, oldest first.
fn read_on(conn: &Connection, gauge: ThingNo, (from, until): (i64, i64)) -> Result<Vec<Event>> {
    let columns = EVENT_COLUMNS
        .split(", ")
        .map(|c| format!("e.{}", c.trim()))
        .collect::<Vec<_>>();
    let sql = format!(
        "SELECT {} FROM thing_event t JOIN event e ON e.no = t.event WHERE t.thing = ?1 AND e.kind IN {READ_ON}
           AND e.at_ms >= ?2 AND e.at_ms < ?3 ORDER BY e.at_ms, e.no",
        columns.join(", ")
    );
    let mut stmt = conn.prepare(&sql)?;
    let rows = stmt.query_map(params![gauge.0, from, until], event_from_row)?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// The lines of one sheet: one for each verdict that the gauge has a part in, else one for what was only read.
fn lines_of(conn: &Connection, event: &Event, impact: &mut Impact) -> Result<()> {
    let Some(payload) = state::what_counts(conn, event)? else {
        return Ok(());
    };
    let mounted = match &payload {
        Payload::MountingSheet(p) => p.bearing.clone(),
        _ => None,
    };
    let (body, said, ordered_by) = match payload {
        Payload::TeardownSheet(p) => (p.body, String::new(), p.ordered_by),
        Payload::Returned(p) => (p.body.unwrap_or_default(), String::new(), None),
        Payload::SeatCheck(p) => (p.body, p.note, None),
        Payload::MountingSheet(p) => (p.body, String::new(), p.ordered_by),
        _ => return Ok(()),
    };
    let mine = mine(conn, event, &body, impact.gauge)?;
    if mine.is_empty() {
        return Ok(());
    }
    let is_overdue = mine.values().any(|(_, is_overdue)| *is_overdue);
    let release = match ordered_by {
        _ if !is_overdue => Release::NotNeeded,
        Some(name) => {
            let no = state::find(conn, &name, event.id.origin)?;
            Release::By(code_of(conn, no)?, event.at)
        }
        None => released(conn, event)?,
    };
    let mut place = Place::of(conn, event.no)?;
    if let Some(bearing) = mounted {
        let no = state::find(conn, &bearing, event.id.origin)?;
        place.bearing = Some((no, code_of(conn, no)?));
    }
    let read: BTreeMap<&str, i64> = mine
        .iter()
        .map(|(path, (value, _))| (path.as_str(), *value))
        .collect();
    let mut told: Vec<&str> = Vec::new();
    let start = impact.lines.len();
    for verdict in &body.verdicts {
        let Some(shift) = judging::shift(&verdict.about, verdict.item, &read) else {
            continue;
        };
        let mut line = empty(conn, event, impact)?;
        (line.of, line.thing) = place.told(&verdict.about, verdict.item);
        line.about.clone_from(&verdict.about);
        line.item = verdict.item;
        line.readings = judging::readings(&verdict.about, verdict.item, &read, impact.error);
        told.extend(
            read.keys()
                .copied()
                .filter(|p| line.readings.iter().any(|r| r.path == *p)),
        );
        let verdict = others::whole(verdict, &body.results);
        judging::judge(&mut line, &verdict, shift * impact.error);
        if verdict.about == "clearance" {
            line.ground = others::ground(verdict.item, &body.results, shift * impact.error);
        }
        (line.said, line.release) = (said.clone(), release.clone());
        impact.lines.push(line);
    }
    // Of one seat or pair the first verdict speaks for the others, unless one of them changes.
    let mut spoken = BTreeSet::new();
    let added = impact.lines.split_off(start);
    impact.lines.extend(added.into_iter().filter(|line| {
        let is_first = spoken.insert((line.of.clone(), is_setting(&line.about)));
        is_first || line.change != Some(Change::Stands)
    }));
    let rest: Vec<ImpactReading> = read
        .iter()
        .filter(|(path, _)| !told.contains(path))
        .map(|(path, value)| ImpactReading {
            path: (*path).to_owned(),
            recorded: *value,
            corrected: value - impact.error,
        })
        .collect();
    // A sheet that judged nothing, or readings that no verdict rests on.
    if !rest.is_empty() {
        let mut line = empty(conn, event, impact)?;
        (line.of, line.thing) = place.told(rest.first().map_or("", |r| r.path.as_str()), 0);
        line.readings = rest;
        (line.said, line.release) = (said, release);
        impact.lines.insert(start, line);
    }
    Ok(())
}

/// True for what a sheet sets and does not only find: it speaks for itself beside what was found.
fn is_setting(about: &str) -> bool {
    about == "clearance_after" || about.starts_with("mount_") || about == "interference"
}

/// The readings of a sheet that were taken with the gauge: value, and whether it was in doubt then.
fn mine(
    conn: &Connection,
    event: &Event,
    body: &SheetBody,
    gauge: ThingNo,
) -> Result<BTreeMap<String, (i64, bool)>> {
    let mut mine = BTreeMap::new();
    for r in &body.readings {
        if let Some(name) = &r.gauge
            && state::find(conn, name, event.id.origin)? == gauge
        {
            mine.insert(r.path.clone(), (r.value, r.is_gauge_overdue));
        }
    }
    Ok(mine)
}

fn empty(conn: &Connection, event: &Event, impact: &Impact) -> Result<ImpactLine> {
    let same = impact.lines.last().filter(|last| last.event == event.no);
    Ok(ImpactLine {
        event: event.no,
        id: event.id.to_string(),
        at: event.at,
        signer: match same {
            Some(last) => last.signer.clone(),
            None => signer_of(conn, event)?,
        },
        of: String::new(),
        thing: None,
        about: String::new(),
        item: 0,
        readings: Vec::new(),
        recorded: None,
        corrected: None,
        lower: None,
        upper: None,
        expanded_uncertainty: None,
        signed: None,
        if_corrected: None,
        probability: None,
        change: None,
        ground: None,
        said: String::new(),
        release: Release::NotNeeded,
        again: None,
        done: Vec::new(),
    })
}

/// The things of a sheet.
struct Place {
    bearing: Option<(ThingNo, String)>,
    chock: Option<(ThingNo, String)>,
    roll: Option<(ThingNo, String)>,
    side: Option<String>,
}

impl Place {
    fn of(conn: &Connection, event: i64) -> Result<Self> {
        let sql = "SELECT bearing, chock, roll, coalesce(side, (SELECT side FROM position WHERE no = sheet.position))
                   FROM sheet WHERE event = ?1";
        let (bearing, chock, roll, side): (Option<i64>, Option<i64>, Option<i64>, _) =
            conn.prepare_cached(sql)?.query_row([event], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
            })?;
        let named = |no: Option<i64>| -> Result<Option<(ThingNo, String)>> {
            no.map(|no| Ok((ThingNo(no), code_of(conn, ThingNo(no))?)))
                .transpose()
        };
        Ok(Self {
            bearing: named(bearing)?,
            chock: named(chock)?,
            roll: named(roll)?,
            side,
        })
    }

    /// Which thing a verdict is about, in words, with where its history stands.
    fn told(&self, about: &str, item: i64) -> (String, Option<(ThingNo, String)>) {
        let is_fit = matches!(
            about,
            "interference" | "mount_interference" | "mount_clearance"
        );
        let is_row = matches!(
            about,
            "clearance_row" | "mount_reduction" | "taper_reduction"
        ) || (about == "mount_radial" && item > 0);
        let is_of_chock = about.starts_with("bore")
            || about.starts_with("bolts.")
            || about.starts_with("mount.bolt")
            || about.starts_with("mount.cover")
            || about.starts_with("chock");
        let (found, sort, more) = if about.starts_with("neck") || is_fit {
            let side = match self.side.as_deref() {
                Some("O") => ", operator side",
                Some("D") => ", drive side",
                _ => "",
            };
            (&self.roll, "roll", side.to_owned())
        } else if is_of_chock {
            (&self.chock, "chock", String::new())
        } else if is_row {
            (&self.bearing, "bearing", format!(", row {item}"))
        } else if item > 0 {
            (
                &self.bearing,
                "bearing",
                format!(", rows {item}-{}", item + 1),
            )
        } else {
            (&self.bearing, "bearing", String::new())
        };
        let thing = found.as_ref().map(|(no, _)| (*no, sort.to_owned()));
        let code = found
            .as_ref()
            .map_or("not named", |(_, code)| code.as_str());
        (format!("{code}{more}"), thing)
    }
}

/// The engineer who signed or countersigned.
fn released(conn: &Connection, event: &Event) -> Result<Release> {
    let sql = "SELECT p.name, c.at_ms, c.at_offset_min FROM event c JOIN event r ON r.origin = c.person_origin AND r.seq = c.person_seq
               JOIN person p ON p.no = r.no AND p.role = 'engineer'
               WHERE c.no = ?1 OR c.no IN (SELECT event FROM sheet_mark WHERE sheet = ?1 AND what = 'countersigned')
               ORDER BY c.at_ms LIMIT 1";
    let found = conn.prepare_cached(sql)?.query_row([event.no], |row| {
        Ok(Release::By(
            row.get(0)?,
            Stamp::second(row.get(1)?, row.get(2)?),
        ))
    });
    Ok(found.optional()?.unwrap_or(Release::Missing))
}

/// The next measurement of the same seat or row pair that does not rest on this gauge while it read wrongly.
fn again(
    conn: &Connection,
    line: &ImpactLine,
    gauge: ThingNo,
    (from, until): (i64, i64),
) -> Result<Option<Again>> {
    let Some((thing, sort)) = line.thing.as_ref().filter(|_| !line.about.is_empty()) else {
        return Ok(None);
    };
    // The column that names the thing: a fixed word, never a value.
    let column = match sort.as_str() {
        "roll" => "s.roll = ?1 AND s.side IS (SELECT side FROM sheet WHERE event = ?4)",
        "chock" => "s.chock = ?1",
        _ => "s.bearing = ?1",
    };
    let sql = format!(
        "SELECT e.no, v.verdict, v.value_nm FROM sheet s JOIN event e ON e.no = s.event
           JOIN verdict v ON v.event = s.event AND v.about = ?2 AND v.item = ?3 AND v.value_nm IS NOT NULL
         WHERE {column} AND e.at_ms > ?5 AND NOT (e.at_ms >= ?6 AND e.at_ms < ?7 AND
           EXISTS (SELECT 1 FROM reading r WHERE r.event = e.no AND r.gauge = ?8)) ORDER BY e.at_ms, e.no LIMIT 1"
    );
    let found: Option<(i64, String, Option<i64>)> = conn
        .prepare_cached(&sql)?
        .query_row(
            params![
                thing.0, line.about, line.item, line.event, line.at.ms, from, until, gauge.0
            ],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
        )
        .optional()?;
    let Some((event, verdict, value)) = found else {
        return Ok(None);
    };
    let event = state::event(conn, ThingNo(event))?;
    Ok(Some(Again {
        gauge: gauges_behind(conn, event.no, line)?,
        event: event.no,
        id: event.id.to_string(),
        at: event.at,
        value,
        verdict: verdict.parse().ok(),
    }))
}

/// The gauges on which the same fields of another sheet were read.
fn gauges_behind(conn: &Connection, event: i64, line: &ImpactLine) -> Result<String> {
    let sql = "SELECT DISTINCT g.code FROM reading r JOIN gauge g ON g.no = r.gauge WHERE r.event = ?1 AND r.path = ?2";
    let mut codes: Vec<String> = Vec::new();
    for reading in &line.readings {
        let code: Option<String> = conn
            .prepare_cached(sql)?
            .query_row(params![event, reading.path], |row| row.get(0))
            .optional()?;
        codes.extend(code.filter(|code| !codes.contains(code)));
    }
    Ok(codes.join(", "))
}

/// What was decided about the thing since the gauge was found out: recalled, released, repaired, accepted, scrapped.
fn done(conn: &Connection, line: &ImpactLine, found: Stamp, show: Show) -> Result<Vec<Act>> {
    let Some((thing, _)) = &line.thing else {
        return Ok(Vec::new());
    };
    let columns = EVENT_COLUMNS
        .split(", ")
        .map(|c| format!("e.{}", c.trim()))
        .collect::<Vec<_>>();
    let sql = format!(
        "SELECT {} FROM thing_event t JOIN event e ON e.no = t.event WHERE t.thing = ?1 AND e.at_ms >= ?2
           AND e.kind IN ('hold', 'released', 'deviation_accepted', 'sent_out', 'returned', 'scrapped')
         ORDER BY e.at_ms, e.no LIMIT 12",
        columns.join(", ")
    );
    let mut stmt = conn.prepare_cached(&sql)?;
    let mut rows = stmt.query(params![thing.0, found.ms])?;
    let mut acts = Vec::new();
    while let Some(row) = rows.next()? {
        let event = event_from_row(row)?;
        let Some(payload) = state::what_counts(conn, &event)? else {
            continue;
        };
        let (title, pieces) = describe(conn, &event, &payload, show)?;
        let words: Vec<&str> = pieces.iter().map(|p| p.text.as_str()).collect();
        acts.push(Act {
            event: event.no,
            id: event.id.to_string(),
            at: event.at,
            text: format!("{title}: {}", words.join(", ")),
        });
    }
    Ok(acts)
}

/// Who signed an event; empty where nobody did.
fn signer_of(conn: &Connection, event: &Event) -> Result<String> {
    let Some(person) = event.person else {
        return Ok(String::new());
    };
    let sql = "SELECT no FROM event WHERE origin = ?1 AND seq = ?2";
    let no: Option<i64> = conn
        .prepare_cached(sql)?
        .query_row(params![person.origin.0, person.seq], |row| row.get(0))
        .optional()?;
    no.map_or(Ok(String::new()), |no| code_of(conn, ThingNo(no)))
}
