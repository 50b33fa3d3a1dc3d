//! The section of the findings: what was typed for each, what it means, and what is still missing.
//!
//! Ring angles run from the zone-I line clockwise seen from the outboard end; what is read from the inboard end is
//! mirrored here, and what was typed is kept.

use calc::finding::{Finding, Mode, Part, UNKNOWN};
use calc::load_zone::Arc;
use rusqlite::{Connection, params};

use super::assess::Values;
use super::field::{Choice, FieldKind};
use crate::entry::Quantity;
use crate::error::Result;
use crate::id::ThingNo;
use crate::payload::FindingSeen;
use crate::time::Stamp;

/// More findings than this are a photo and words.
pub const FINDINGS_MAX: usize = 24;
const TURN_DDEG: i64 = 3_600;

/// A field of one finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// On which part.
    Part,
    /// In which row.
    Row,
    /// Mode of damage.
    Mode,
    /// Severity.
    Severity,
    /// Angle where it begins.
    From,
    /// Angle where it ends.
    To,
    /// Largest extent.
    Size,
    /// Words.
    Note,
}

impl Key {
    /// In the order of entry.
    pub const ALL: [Self; 8] = [
        Self::Part,
        Self::Row,
        Self::Mode,
        Self::Severity,
        Self::From,
        Self::To,
        Self::Size,
        Self::Note,
    ];

    /// The end of its path.
    pub fn name(self) -> &'static str {
        match self {
            Self::Part => "part",
            Self::Row => "row",
            Self::Mode => "mode",
            Self::Severity => "severity",
            Self::From => "from",
            Self::To => "to",
            Self::Size => "size",
            Self::Note => "note",
        }
    }

    /// What a person calls it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Part => "part",
            Self::Row => "row",
            Self::Mode => "what it is",
            Self::Severity => "severity",
            Self::From => "from angle",
            Self::To => "to angle",
            Self::Size => "size",
            Self::Note => "remark",
        }
    }

    /// What it holds.
    pub fn kind(self) -> FieldKind {
        match self {
            Self::Part => FieldKind::Choice(Choice::Part),
            Self::Row => FieldKind::Choice(Choice::Row),
            Self::Mode => FieldKind::Choice(Choice::Mode),
            Self::Severity => FieldKind::Choice(Choice::Severity),
            Self::From | Self::To => FieldKind::Number(Quantity::Angle),
            Self::Size => FieldKind::Number(Quantity::Length),
            Self::Note => FieldKind::Words,
        }
    }
}

/// Path of a field of a finding; findings are numbered from 1.
pub fn path(number: usize, key: Key) -> String {
    format!("finding.{number}.{}", key.name())
}

/// Number and key of such a path.
pub fn parse(path: &str) -> Option<(usize, Key)> {
    let (number, name) = path.strip_prefix("finding.")?.split_once('.')?;
    let known = (1..=FINDINGS_MAX).find(|n| number == n.to_string())?;
    let key = Key::ALL.into_iter().find(|key| key.name() == name)?;
    Some((known, key))
}

/// A finding as the sheet has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// Its number on the sheet.
    pub number: usize,
    /// What it says, where enough is said.
    pub finding: Option<Finding>,
    /// What is still missing or cannot be, in words.
    pub missing: Option<String>,
    /// Largest extent, nm.
    pub size_nm: Option<i64>,
    /// Remark.
    pub note: String,
}

/// The findings of a sheet, by number.
pub(super) fn seen(values: &Values<'_>) -> Vec<Seen> {
    let is_begun = |number: &usize| {
        Key::ALL
            .into_iter()
            .any(|key| values.text(&path(*number, key)).is_some())
    };
    (1..=FINDINGS_MAX)
        .filter(is_begun)
        .map(|number| one(values, number))
        .collect()
}

impl Seen {
    /// As it is signed; none where it is not whole.
    pub(super) fn signed(&self) -> Option<FindingSeen> {
        let finding = self.finding?;
        Some(FindingSeen {
            number: i64::try_from(self.number).ok()?,
            part: finding.part.words().into(),
            row: finding.row.map(i64::from),
            mode: finding.mode.code.into(),
            severity: finding.severity.into(),
            from_ddeg: finding.arc.map(|arc| arc.from_tenths()),
            to_ddeg: finding.arc.map(|arc| arc.to_tenths()),
            size_nm: self.size_nm,
            note: self.note.clone(),
        })
    }
}

/// A finding of an earlier sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct EarlierFinding {
    /// The sheet.
    pub event: i64,
    /// When the bearing was torn down.
    pub at: Stamp,
    /// What was seen.
    pub finding: Finding,
    /// Largest extent, nm.
    pub size_nm: Option<i64>,
    /// Remark.
    pub note: String,
}

/// The findings of a bearing's sheets before a time, since it was new or reconditioned last.
pub fn earlier(conn: &Connection, bearing: ThingNo, before_ms: i64) -> Result<Vec<EarlierFinding>> {
    let since: Option<i64> = conn
        .prepare_cached("SELECT max(at_ms) FROM baseline WHERE bearing = ?1 AND at_ms < ?2")?
        .query_row(params![bearing.0, before_ms], |row| row.get(0))?;
    between(conn, bearing, since.unwrap_or(i64::MIN), before_ms)
}

/// The findings of a bearing's sheets before it was reconditioned last.
pub fn before_baseline(conn: &Connection, bearing: ThingNo) -> Result<Vec<EarlierFinding>> {
    let until: Option<i64> = conn
        .prepare_cached("SELECT max(at_ms) FROM baseline WHERE bearing = ?1")?
        .query_row(params![bearing.0], |row| row.get(0))?;
    until.map_or(Ok(Vec::new()), |until| {
        between(conn, bearing, i64::MIN, until)
    })
}

/// From a time on, and before another.
fn between(
    conn: &Connection,
    bearing: ThingNo,
    from_ms: i64,
    before_ms: i64,
) -> Result<Vec<EarlierFinding>> {
    let mut stmt = conn.prepare_cached(
        "SELECT e.no, e.at_ms, e.at_offset_min, f.part, f.row, f.mode, f.severity, f.from_ddeg, f.to_ddeg, f.size_nm,
           f.note
         FROM finding f JOIN sheet s ON s.event = f.event JOIN event e ON e.no = f.event
         WHERE s.bearing = ?1 AND e.at_ms >= ?2 AND e.at_ms < ?3
         ORDER BY e.at_ms, e.no, f.item",
    )?;
    let mut rows = stmt.query(params![bearing.0, from_ms, before_ms])?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        // A later program may know more parts and modes than this one.
        let Ok(part) = row.get::<_, String>("part")?.parse::<Part>() else {
            continue;
        };
        let mode = Mode::of(&row.get::<_, String>("mode")?).unwrap_or(UNKNOWN);
        let ends: (Option<i64>, Option<i64>) = (row.get("from_ddeg")?, row.get("to_ddeg")?);
        let arc = ends
            .0
            .zip(ends.1)
            .and_then(|(from, to)| Arc::tenths(from, to).ok());
        found.push(EarlierFinding {
            event: row.get("no")?,
            at: Stamp::second(row.get("at_ms")?, row.get("at_offset_min")?),
            finding: Finding {
                part,
                row: row.get("row")?,
                mode,
                severity: row.get::<_, i64>("severity")?.clamp(0, 3) as u8,
                arc,
            },
            size_nm: row.get("size_nm")?,
            note: row.get("note")?,
        });
    }
    Ok(found)
}

fn one(values: &Values<'_>, number: usize) -> Seen {
    let text = |key| values.text(&path(number, key));
    let mut seen = Seen {
        number,
        finding: None,
        missing: None,
        size_nm: values.number(&path(number, Key::Size)),
        note: text(Key::Note).unwrap_or_default().to_owned(),
    };
    match read(values, number) {
        Ok(finding) => seen.finding = Some(finding),
        Err(missing) => seen.missing = Some(missing),
    }
    seen
}

fn read(values: &Values<'_>, number: usize) -> std::result::Result<Finding, String> {
    let text = |key| values.text(&path(number, key));
    let part: Part = text(Key::Part)
        .and_then(|word| word.parse().ok())
        .ok_or("on which part?")?;
    let mode = text(Key::Mode).and_then(Mode::of).ok_or("what is it?")?;
    let severity = text(Key::Severity)
        .and_then(|word| word.parse().ok().filter(|severity| *severity <= 3))
        .ok_or("how bad, 0 to 3?")?;
    let row = text(Key::Row).and_then(|word| word.parse().ok());
    let angle = |key| values.number(&path(number, key));
    let arc = match (angle(Key::From), angle(Key::To)) {
        (None, None) => None,
        (Some(_), None) => return Err("to which angle? The same angle for a single place".into()),
        (None, Some(_)) => return Err("from which angle?".into()),
        (Some(from), Some(to)) => {
            let (from, to) = if values.text("findings.side") == Some("inboard") {
                (TURN_DDEG - to, TURN_DDEG - from)
            } else {
                (from, to)
            };
            Some(Arc::tenths(from, to).map_err(|error| error.to_string())?)
        }
    };
    if arc.is_none() && part == Part::OuterRaceway && severity > 0 {
        return Err("where on the ring? From 0 to 360 is all round".into());
    }
    Ok(Finding {
        part,
        row,
        mode,
        severity,
        arc,
    })
}
