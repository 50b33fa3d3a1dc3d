//! A sheet as signed: what was typed, what it means, what follows, and who decided.
//!
//! A sheet is a map from field path to typed text (`clearance.gap.1.0` = `23.372`). The signed payload keeps that
//! text with its meaning in integers, the results computed from it, and the verdicts with limit and method of the
//! day, so that the record never needs a calculation to be read.

use calc::finding::{Finding, Mode};
use calc::load_zone::Arc;
use serde::{Deserialize, Serialize};

use super::KeptFile;
use crate::id::Ref;

/// A teardown as signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TeardownSheet {
    /// The bearing torn down.
    pub bearing: Ref,
    /// The chock it came out of.
    pub chock: Ref,
    /// The roll whose neck was measured.
    pub roll: Option<Ref>,
    /// Where it ran last.
    pub position: Option<Ref>,
    /// Load zone that was up as found, 1 to 4.
    pub zone_found: Option<i64>,
    /// Readings, results, verdicts.
    pub body: SheetBody,
    /// What the rules of the trade recommend, and what was decided.
    pub decision: Decision,
    /// How it was put together again; none where it was not.
    pub reassembly: Option<Reassembly>,
    /// The fitter who did the work.
    pub fitter: Option<Ref>,
    /// The engineer who ordered a regrind or released a doubt.
    pub ordered_by: Option<Ref>,
}

/// Readings, results and verdicts of any sheet.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct SheetBody {
    /// Every field that carries a number.
    pub readings: Vec<Reading>,
    /// Every other field: choices, codes, words.
    pub entries: Vec<Entry>,
    /// What was seen on the parts.
    pub findings: Vec<FindingSeen>,
    /// What was computed from the readings.
    pub results: Vec<Outcome>,
    /// The badges.
    pub verdicts: Vec<Judgement>,
    /// What was left out, and why.
    pub not_measured: Vec<NotMeasured>,
    /// Pictures.
    pub photos: Vec<Photo>,
}

/// A picture on a sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Photo {
    /// Number of the finding that it shows; 0 for the whole.
    pub finding: i64,
    /// The picture.
    pub file: KeptFile,
}

/// One reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reading {
    /// Field path.
    pub path: String,
    /// As typed.
    pub text: String,
    /// Unit as typed, or the logbook's where none was.
    pub unit: String,
    /// nm, mK, mg or 0.1 degree, rounded once, half away from zero.
    pub value: i64,
    /// `typed`, `gauge`, `pasted` or `imported`.
    pub source: String,
    /// The gauge it was read on.
    pub gauge: Option<Ref>,
    /// True where the gauge's calibration was overdue on that day.
    pub is_gauge_overdue: bool,
}

/// One field without a number.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Field path.
    pub path: String,
    /// As typed or chosen.
    pub text: String,
}

/// Something seen on a part, as it is judged; the fields as typed stand among readings and entries.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FindingSeen {
    /// Number on the sheet, from 1.
    pub number: i64,
    /// Part, a word of [`calc::finding::Part`].
    pub part: String,
    /// Row from the barrel, from 1; none for every row.
    pub row: Option<i64>,
    /// Clause of ISO 15243:2017, or a word of our own.
    pub mode: String,
    /// 0 to 3.
    pub severity: i64,
    /// Where it begins: ring angle from the zone-I line clockwise seen from outboard, 0.1 degree; none = not told.
    pub from_ddeg: Option<i64>,
    /// Where it ends.
    pub to_ddeg: Option<i64>,
    /// Largest extent, nm.
    pub size_nm: Option<i64>,
    /// Remark.
    pub note: String,
}

impl FindingSeen {
    /// What it says; none where it names a part or mode that this program does not know.
    pub fn finding(&self) -> Option<Finding> {
        let ends = self.from_ddeg.zip(self.to_ddeg);
        Some(Finding {
            part: self.part.parse().ok()?,
            row: self.row.and_then(|row| u8::try_from(row).ok()),
            mode: Mode::of(&self.mode)?,
            severity: u8::try_from(self.severity).ok()?,
            arc: ends.and_then(|(from, to)| Arc::tenths(from, to).ok()),
        })
    }
}

/// One computed value.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Outcome {
    /// Name; its end is the unit: `end_play_nm`, `bore_mean_nm` ...
    pub name: String,
    /// Row pair, plane or place, from 1; 0 for the whole.
    pub item: i64,
    /// The value.
    pub value: i64,
}

/// A verdict with everything that stood behind it on that day.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Judgement {
    /// What was judged: `clearance`, `bore_mean`, `bore_ovality`, `bore_taper`, `neck` ...
    pub about: String,
    /// Row pair or plane, from 1; 0 for the whole.
    pub item: i64,
    /// `pass`, `pass_in_doubt`, `fail_in_doubt`, `fail`, `missing`, `not_applicable`.
    pub verdict: String,
    /// The value judged, nm.
    pub value_nm: Option<i64>,
    /// Expanded uncertainty at k = 2, nm; none = not known.
    pub expanded_uncertainty_nm: Option<i64>,
    /// Lower limit, nm.
    pub lower_nm: Option<i64>,
    /// Upper limit, nm.
    pub upper_nm: Option<i64>,
    /// Where the limit comes from, in words.
    pub limit_origin: String,
    /// The event that set this version of the limits.
    pub limit_version: Option<Ref>,
    /// Probability of conformity, ppm.
    pub probability_ppm: Option<i64>,
    /// Rule of decision.
    pub rule: String,
    /// Method and its version.
    pub method: String,
    /// Gauge status and other remarks that bear on it.
    pub note: String,
}

/// What was recommended and what was decided.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Decision {
    /// `return_to_service`, `return_after_turning`, `regrind_spacers`, `recondition`, `scrap`, `hold_for_engineer`.
    pub recommended: String,
    /// Why, weightiest first, in words.
    pub reasons: Vec<String>,
    /// What the signs together may point to, with what to check, in words; never stated as fact.
    pub causes: Vec<String>,
    /// What was decided.
    pub decided: String,
    /// Why otherwise than recommended.
    pub departure: String,
}

/// How the bearing was put together again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reassembly {
    /// Into which chock.
    pub chock: Ref,
    /// Load zone that is up now, 1 to 4.
    pub zone: i64,
    /// Why another zone than the one with the least hours.
    pub zone_reason: String,
}

/// Something left out.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct NotMeasured {
    /// Section or field.
    pub what: String,
    /// Why.
    pub reason: String,
}
