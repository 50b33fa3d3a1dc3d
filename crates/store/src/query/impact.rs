//! What a gauge that was found out has touched: every reading since its last good calibration, as recorded and fully
//! corrected, what was said of it and what would have been said, and what was done about it since.
//!
//! Nothing is changed by it: the sheets stay as they were signed. Ovality and taper are differences of readings of one
//! gauge, so that an error which is the same everywhere leaves them as they are; they are not listed.
//!
//! A gauge that was set on a standard reads wrongly by the error of the standard, with the same sign. The error of a
//! standard is the size marked on it less its true size, as that of a gauge is what it says less what is there: marked M,
//! truly M - e, it makes the gauge say M where M - e stands. A ring that is too small for its mark (e over 0) makes what
//! was set on it read too large; one that is too large (e under 0) makes it read too small (common practice, no source;
//! the certificate of a ring tells true size less marked size, which is the opposite sign). The readings of what was set
//! on it are on the list of the standard.

mod after;
mod judging;
mod others;
mod windows;

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, Row, params};

use super::code_of;
use super::words::error_words;
use crate::entry::Show;
use crate::error::Result;
use crate::event::Event;
use crate::id::ThingNo;
use crate::payload::{Payload, SheetBody};
use crate::rows::{RowOrder, Rows};
use crate::sheet::Sureness;
use crate::state::{self, event_columns, event_from_row};
use crate::time::Stamp;
use calc::conformity::{AtUpper, Verdict};
use calc::found_out::Change;
pub(crate) use windows::found_out_at;
pub(super) use windows::suspect_words;
use windows::{READ_ON, WINDOWS};
pub use windows::{Suspect, suspects_of};

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
    /// Gauges that are set on it, by code: it is a standard then.
    pub set_on_it: Vec<String>,
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

    /// What is wrong with it, "reads +24 \u{b5}m", "is marked 40 \u{b5}m larger than it is".
    pub fn says(&self, show: Show) -> String {
        if self.set_on_it.is_empty() {
            return format!("reads {}", self.error_words(show));
        }
        let by = error_words(self.error.abs(), &self.measures, show);
        let than = if self.error > 0 { "larger" } else { "smaller" };
        format!("is marked {} {than} than it is", by.trim_start_matches('+'))
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
    /// The rows of the bearing, as the plant counts them.
    pub rows: Rows,
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
    /// What a value on it means.
    pub at_upper: AtUpper,
    /// U at k = 2 of that day.
    pub expanded_uncertainty: Option<i64>,
    /// How sure the verdict had to be on that day.
    pub asked: Sureness,
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
        set_on_it: Vec::new(),
        good: good(conn, gauge, window.0, fault.at.offset_min)?,
        lines: Vec::new(),
    };
    let set: Vec<(ThingNo, String)> = windows::set_on(conn, &impact.code)?;
    impact.set_on_it = set.iter().map(|(_, code)| code.clone()).collect();
    let own = (gauge, String::new());
    for (used, code) in [own]
        .iter()
        .chain(set.iter().filter(|(no, _)| *no != gauge))
    {
        for event in read_on(conn, *used, window)? {
            let start = impact.lines.len();
            lines_of(conn, &event, *used, &mut impact)?;
            let rows = show.rows.of(super::sheet::rows_of(conn, &event)?);
            for line in &mut impact.lines[start..] {
                line.of = rows.told(&line.of);
                line.rows = rows;
            }
            for line in impact
                .lines
                .iter_mut()
                .skip(start)
                .filter(|_| !code.is_empty())
            {
                line.of = format!("{}, {code} set on {}", line.of, impact.code);
            }
        }
    }
    impact.lines.sort_by_key(|line| (line.at.ms, line.event));
    let Impact { lines, at, .. } = &mut impact;
    for line in lines {
        line.again = after::again(conn, line, gauge, window)?;
        if line.change.is_some_and(|change| change != Change::Stands) {
            line.done = after::done(conn, line, *at, show)?;
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
    let columns = event_columns("e");
    let sql = format!(
        "SELECT {columns} FROM thing_event t JOIN event e ON e.no = t.event WHERE t.thing = ?1 AND e.kind IN {READ_ON}
           AND e.at_ms >= ?2 AND e.at_ms < ?3 ORDER BY e.at_ms, e.no"
    );
    let mut stmt = conn.prepare(&sql)?;
    let rows = stmt.query_map(params![gauge.0, from, until], event_from_row)?;
    Ok(rows.collect::<rusqlite::Result<_>>()?)
}

/// The lines of one sheet: one for each verdict that the gauge has a part in, else one for what was only read.
fn lines_of(conn: &Connection, event: &Event, gauge: ThingNo, impact: &mut Impact) -> Result<()> {
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
    let mine = mine(conn, event, &body, gauge)?;
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
    let taken = judging::Taken {
        all: body
            .readings
            .iter()
            .map(|r| (r.path.as_str(), r.value))
            .collect(),
        read: &read,
        error: impact.error,
    };
    let mut told: Vec<&str> = Vec::new();
    let start = impact.lines.len();
    for verdict in &body.verdicts {
        let Some(shift) = taken.error_in(&verdict.about, verdict.item) else {
            continue;
        };
        let mut line = empty(conn, event, impact)?;
        (line.of, line.thing) = place.told(&verdict.about, verdict.item);
        line.about.clone_from(&verdict.about);
        line.item = verdict.item;
        line.readings = taken.readings(&verdict.about, verdict.item);
        told.extend(
            read.keys()
                .copied()
                .filter(|p| line.readings.iter().any(|r| r.path == *p)),
        );
        let verdict = crate::sheet::whole(verdict, &body);
        judging::judge(&mut line, &verdict, shift);
        if verdict.about == "clearance" {
            line.ground = others::ground(verdict.item, &body.results, shift);
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
        rows: RowOrder::FromBarrel.four(),
        readings: Vec::new(),
        recorded: None,
        corrected: None,
        lower: None,
        upper: None,
        at_upper: AtUpper::Conforms,
        expanded_uncertainty: None,
        asked: Sureness::default(),
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
            || about.starts_with("mount_bolt")
            || about.starts_with("mount_cover")
            || about.starts_with("mount_shim")
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
                format!(", rows {item}\u{2013}{}", item + 1),
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
