//! What the logbook knows about the things named on a sheet, as of the day of the teardown.

mod read;

use std::collections::BTreeMap;

use rusqlite::{Connection, OptionalExtension, params};

use calc::quantity::{nanometres, to_nanometres};
use calc::stack::ShimPlace;

use super::clearance::How;
use super::family::Family;
use super::field::radial::Way;
use super::findings::EarlierFinding;
use super::foreseen::Foreseen;
pub use super::shop::ShopFacts;
use crate::draft::Fields;
use crate::error::Result;
use crate::id::ThingNo;
use crate::query::OwnWear;
use crate::time::Stamp;
pub(super) use read::codes;
pub use read::thing_by_code;
use read::{
    auditors, bearing_facts, blocked, chock_facts, last_bores, last_neck, last_run, stay_at,
};
pub(crate) use read::{found_by_pair, gauges_at, gauges_known_at, outcome_by_pair};

/// Everything that the assessment of a sheet needs from the logbook.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// When the bearing was torn down.
    pub at: Stamp,
    /// The bearing, where it is known.
    pub bearing: Option<BearingFacts>,
    /// Its type with the values valid on that day.
    pub bearing_type: Option<TypeFacts>,
    /// The chock.
    pub chock: Option<ChockFacts>,
    /// The roll whose neck is measured.
    pub roll: Option<(ThingNo, String)>,
    /// Where the chock is in the mill, or else ran last.
    pub position: Option<(ThingNo, String)>,
    /// The chock that the bearing goes back into, if it is another one.
    pub back_into: Option<(ThingNo, String)>,
    /// The roll that it is on in the mill, or else ran on last, to be offered.
    pub last_roll: Option<String>,
    /// Earlier bore checks of the chock, oldest first.
    pub last_bores: Vec<LastSeat>,
    /// The neck of the roll as it was measured last on this side: on a sheet, by itself, or when the roll came back.
    pub last_neck: Option<LastSeat>,
    /// All gauges with their status on that day, by code.
    pub gauges: BTreeMap<String, GaugeFacts>,
    /// All greases by code.
    pub greases: BTreeMap<String, ThingNo>,
    /// Greases and seal batches that are blocked, by code, and why.
    pub blocked: BTreeMap<String, String>,
    /// All people by name.
    pub people: BTreeMap<String, ThingNo>,
    /// Those of them who audit, and do no work on bearings.
    pub auditors: Vec<String>,
    /// What its wear lets expect; see [`Facts::foresee`].
    pub foreseen: Foreseen,
    /// Codes typed that the register does not know: path and why.
    pub unknown: BTreeMap<String, String>,
    /// What the shop did last time.
    pub shop: ShopFacts,
}

/// The bearing.
#[derive(Debug, Clone, PartialEq)]
pub struct BearingFacts {
    /// Its number here.
    pub no: ThingNo,
    /// Its serial.
    pub serial: String,
    /// Mill time on its own counter, s.
    pub total_run_s: i64,
    /// Clearance of each row pair as set; none where nobody wrote it down.
    pub as_set_nm: [Option<i64>; 3],
    /// Revision: 1 new, 2 after the first reconditioning.
    pub revision: i64,
    /// Mill time that each load zone has had up, s.
    pub zone_run_s: [i64; 4],
    /// Where it is now.
    pub stay: Option<StayFacts>,
    /// Earlier clearances, oldest first.
    pub history: Vec<LastClearance>,
    /// What was seen on it before, since it was new or reconditioned, oldest first.
    pub findings: Vec<EarlierFinding>,
    /// Why it is on hold, if it is.
    pub held: Option<String>,
}

impl BearingFacts {
    /// The width of each spacer as it was left last, nm; none where nobody measured it.
    pub fn last_width_nm(&self) -> [Option<i64>; 3] {
        let last = |pair: usize| self.history.iter().rev().find_map(|l| l.width_nm[pair]);
        [0, 1, 2].map(last)
    }
}

/// The stay that the teardown ends.
#[derive(Debug, Clone, PartialEq)]
pub struct StayFacts {
    /// Which chock.
    pub chock: ThingNo,
    /// Its code.
    pub chock_code: String,
    /// Since when.
    pub from_ms: i64,
    /// Load zone up, 1 to 4, 0 for none.
    pub zone: i64,
    /// Mill time, s.
    pub run_s: i64,
    /// Rolled, kg.
    pub rolled_kg: i64,
}

/// Clearance at an earlier sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct LastClearance {
    /// The day.
    pub at: Stamp,
    /// Mill time on the bearing's counter, s.
    pub run_s: i64,
    /// As found, nm.
    pub found_nm: [Option<i64>; 3],
    /// As left after a regrind, nm.
    pub left_nm: [Option<i64>; 3],
    /// Widths of the spacers as it was left, nm: after grinding, else as found.
    pub width_nm: [Option<i64>; 3],
    /// How the clearance of row pairs was measured.
    pub how: How,
    /// How a clearance of the whole bearing was read; none for row pairs, and where a half was changed since.
    pub way: Option<Way>,
}

/// A chock.
#[derive(Debug, Clone, PartialEq)]
pub struct ChockFacts {
    /// Its number here.
    pub no: ThingNo,
    /// Its code.
    pub code: String,
    /// `under_flange` or `between`.
    pub shim_place: String,
    /// In how many axial planes its bore is measured, 2 to 4.
    pub bore_planes: usize,
}

impl ChockFacts {
    /// Where the shims of its cover lie.
    pub fn shims(&self) -> ShimPlace {
        match self.shim_place.as_str() {
            "between" => ShimPlace::BetweenCoverAndRing,
            _ => ShimPlace::UnderFlange,
        }
    }
}

/// An earlier check of a seat.
#[derive(Debug, Clone, PartialEq)]
pub struct LastSeat {
    /// The day.
    pub at: Stamp,
    /// Mean deviation from nominal, nm.
    pub mean_nm: i64,
    /// Ovality of each plane, nm.
    pub ovality_nm: Vec<i64>,
}

/// A gauge on the day of the teardown.
#[derive(Debug, Clone, PartialEq)]
pub struct GaugeFacts {
    /// Its number here.
    pub no: ThingNo,
    /// Its code.
    pub code: String,
    /// What it is.
    pub kind: String,
    /// `bore`, `neck`, `gap`, `width`, `temperature`, `torque`, `other`.
    pub measures: String,
    /// Range as printed on it.
    pub span: String,
    /// U at k = 2, nm.
    pub expanded_uncertainty_nm: Option<i64>,
    /// Number of its certificate.
    pub certificate: String,
    /// Next calibration.
    pub due_ms: i64,
    /// True where that day has passed, or where something else speaks against it: its readings decide nothing alone.
    pub is_overdue: bool,
    /// What speaks against it, in words.
    pub doubt: String,
}

/// What speaks against a gauge past its day.
const PAST_DUE: &str = "calibration overdue";

impl GaugeFacts {
    /// What else than its date speaks against it: it was found to read wrongly, is on hold, scrapped or away.
    pub fn other_doubt(&self) -> Option<&str> {
        let doubt = self.doubt.as_str();
        (!doubt.is_empty() && doubt != PAST_DUE).then_some(doubt)
    }
}

/// A bearing type with the values valid on a day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TypeFacts {
    /// Its number here.
    pub no: ThingNo,
    /// Designation.
    pub code: String,
    /// Kind.
    pub kind: String,
    /// Approved scheme.
    pub lubrication: String,
    /// The event that set this version.
    pub version: ThingNo,
    /// Since when it is valid.
    pub valid_from_ms: i64,
    /// Values by name and row pair.
    pub values: BTreeMap<(String, i64), i64>,
}

impl TypeFacts {
    /// A value of the whole bearing.
    pub fn whole(&self, name: &str) -> Option<i64> {
        self.values.get(&(name.to_owned(), 0)).copied()
    }

    /// A value of a row pair, or of the whole bearing where pairs do not differ.
    pub fn pair(&self, name: &str, pair: usize) -> Option<i64> {
        self.values
            .get(&(name.to_owned(), pair as i64))
            .copied()
            .or_else(|| self.whole(name))
    }

    /// Limit of a row pair of one bearing: its rework level, or so many times its own value as set, whichever is smaller.
    /// The limits of the other families are absolute.
    pub fn limit_nm(&self, pair: usize, as_set_nm: Option<i64>) -> Option<i64> {
        let own = as_set_nm.filter(|_| self.rework_factor().is_some());
        let factor = self.rework_factor().unwrap_or(calc::growth::REGRIND_FACTOR);
        let limit = calc::growth::pair_limit(
            self.pair("rework_nm", pair).map(nanometres),
            factor,
            own.map(nanometres),
        );
        limit.ok().flatten().map(to_nanometres)
    }

    /// How many times its value as set a tapered bearing may grow to; none of another family.
    pub fn rework_factor(&self) -> Option<f64> {
        let is_tapered = Family::of(&self.kind).is_none_or(|family| family == Family::Tapered);
        let told = self.whole("rework_factor_ppm");
        is_tapered.then(|| told.map_or(calc::growth::REGRIND_FACTOR, |ppm| ppm as f64 / 1e6))
    }

    /// Reads a type as valid at `at_ms`; before its first version the first one counts.
    pub fn load(conn: &Connection, no: ThingNo, at_ms: i64) -> Result<Self> {
        let mut facts = conn.query_row(
            "SELECT code, kind, lubrication FROM bearing_type WHERE no = ?1",
            [no.0],
            |row| {
                Ok(Self {
                    no,
                    code: row.get(0)?,
                    kind: row.get(1)?,
                    lubrication: row.get(2)?,
                    ..Self::default()
                })
            },
        )?;
        let sql = "SELECT version, valid_from_ms FROM type_value WHERE bearing_type = ?1
                   ORDER BY valid_from_ms <= ?2 DESC,
                       CASE WHEN valid_from_ms <= ?2 THEN -valid_from_ms ELSE valid_from_ms END, version DESC LIMIT 1";
        let version = conn
            .prepare_cached(sql)?
            .query_row(params![no.0, at_ms], |row| Ok((row.get(0)?, row.get(1)?)));
        if let Some((version, valid_from_ms)) = version.optional()? {
            facts.version = ThingNo(version);
            facts.valid_from_ms = valid_from_ms;
        }
        let sql =
            "SELECT name, item, value FROM type_value WHERE bearing_type = ?1 AND version = ?2";
        let mut stmt = conn.prepare_cached(sql)?;
        let mut rows = stmt.query(params![no.0, facts.version.0])?;
        while let Some(row) = rows.next()? {
            facts
                .values
                .insert((row.get("name")?, row.get("item")?), row.get("value")?);
        }
        Ok(facts)
    }
}

impl Facts {
    /// Whether the register has a thermometer, so that a seat names the one its temperatures were read on.
    pub fn has_thermometer(&self) -> bool {
        let mut gauges = self.gauges.values();
        gauges.any(|g| g.measures == "temperature")
    }

    /// The same with the gauges as they were known when a sheet of this day was entered: what was signed on them stays as
    /// it was, whatever has been found out since.
    ///
    /// # Errors
    /// What the database says.
    pub fn as_entered(mut self, conn: &Connection, entered: Stamp) -> Result<Self> {
        self.gauges = gauges_known_at(conn, self.at, entered.ms)?;
        Ok(self)
    }

    /// Reads what the logbook knows of the things that the sheet names; either chock or bearing is enough.
    /// `now` is the time of the teardown where the sheet names none.
    pub fn load(conn: &Connection, fields: &Fields, now: Stamp) -> Result<Self> {
        let text = |path: &str| {
            fields
                .get(path)
                .map(|f| f.text.trim())
                .filter(|t| !t.is_empty())
        };
        let mut unknown = BTreeMap::new();
        let at = match text("identify.at") {
            None => now,
            Some(typed) => Stamp::parse(typed, now.offset_min).unwrap_or_else(|| {
                unknown.insert(
                    "identify.at".into(),
                    format!("{typed:?} is no date: type it as 2031-03-14 or 2031-03-14 09:30"),
                );
                now
            }),
        };
        let mut find = |path: &str, entity: &'static str| -> Result<Option<(ThingNo, String)>> {
            let Some(code) = text(path) else {
                return Ok(None);
            };
            let found = thing_by_code(conn, entity, code)?;
            if found.is_none() {
                unknown.insert(path.to_owned(), format!("{code:?} is not in the register"));
            }
            Ok(found)
        };
        let mut bearing = find("identify.bearing", "bearing")?.map(|(no, _)| no);
        let mut chock = find("identify.chock", "chock")?.map(|(no, _)| no);
        let roll = find("identify.roll", "roll")?;
        let mut position = find("identify.position", "position")?;
        let back_into = find("reassemble.chock", "chock")?;
        if bearing.is_none()
            && let Some(chock) = chock
        {
            bearing = stay_at(conn, "chock", chock, at.ms)?.map(|(bearing, _)| bearing);
        }
        if chock.is_none()
            && let Some(bearing) = bearing
        {
            chock = stay_at(conn, "bearing", bearing, at.ms)?.map(|(_, stay)| stay.chock);
        }
        let last_run = chock
            .map(|chock| last_run(conn, chock, at.ms))
            .transpose()?
            .flatten();
        let last_roll = last_run.as_ref().map(|(_, roll)| roll.clone());
        if position.is_none() {
            position = last_run.map(|(position, _)| position);
        }
        let bearing = bearing
            .map(|no| bearing_facts(conn, no, at.ms))
            .transpose()?;
        let bearing_type = match &bearing {
            Some(b) => {
                let no = conn.query_row(
                    "SELECT bearing_type FROM bearing WHERE no = ?1",
                    [b.no.0],
                    |row| row.get(0),
                )?;
                Some(TypeFacts::load(conn, ThingNo(no), at.ms)?)
            }
            None => None,
        };
        let last_neck = match (&roll, &position) {
            (Some((roll, _)), Some((position, _))) => last_neck(conn, *roll, *position, at.ms)?,
            _ => None,
        };
        let own = match &bearing {
            Some(b) => OwnWear::read(conn, b.no, at.ms)?,
            None => None,
        };
        let shop = ShopFacts::load(conn, bearing_type.as_ref().map(|t| t.no), chock, at)?;
        Ok(Self {
            at,
            bearing,
            bearing_type,
            chock: chock.map(|no| chock_facts(conn, no)).transpose()?,
            roll,
            position,
            back_into,
            last_roll,
            last_bores: chock
                .map(|no| last_bores(conn, no, at.ms))
                .transpose()?
                .unwrap_or_default(),
            last_neck,
            gauges: gauges_at(conn, at)?,
            greases: codes(conn, "grease")?,
            blocked: blocked(conn, at.ms)?,
            people: codes(conn, "person")?,
            auditors: auditors(conn)?,
            foreseen: Foreseen {
                own,
                ..Foreseen::default()
            },
            unknown,
            shop,
        })
    }
}
