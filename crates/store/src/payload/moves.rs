//! What moves a thing or judges it outside a sheet.

use serde::{Deserialize, Serialize};

use super::SheetBody;
use crate::id::Ref;

/// A bearing enters the shop, with the values of its certificate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Received {
    /// Which bearing.
    pub bearing: Ref,
    /// Clearance of each row pair as set, nm; the baseline that "doubled" is judged by. Empty = not known.
    pub as_set_nm: Vec<i64>,
    /// Widths of the spacers as delivered, nm. Empty = not known.
    pub spacer_nm: Vec<i64>,
    /// Number of the certificate.
    pub certificate: String,
    /// What was seen at receipt.
    pub note: String,
}

/// What was looked at when a bearing came.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct InspectedAtReceipt {
    /// The bearing.
    pub bearing: Ref,
    /// Packing and what was seen.
    pub condition: String,
    /// True where it may be used; where not it waits on hold.
    pub is_accepted: bool,
    /// What is claimed from the supplier.
    pub claim: String,
}

/// A bearing is put into a seat of a chock; the inner half of a cylindrical one on a neck of a roll.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Assembled {
    /// Which bearing.
    pub bearing: Ref,
    /// Into which chock, or on which roll.
    pub chock: Ref,
    /// Which seat: `main`, `main2` or `thrust` of a chock, `neck_o` or `neck_d` of a roll.
    pub seat: String,
    /// Load zone that is up, 1 to 4; 0 for a bearing without marks.
    pub zone: i64,
    /// What else is worth knowing.
    pub note: String,
}

/// A bearing is taken out of its chock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TakenOut {
    /// Which bearing.
    pub bearing: Ref,
    /// Why.
    pub reason: String,
}

/// A thing was found in another place than the record has it; since when is not known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FoundHere {
    /// What was found.
    pub thing: Ref,
    /// In which chock, or on which roll; none where it was found loose in the shop.
    pub on: Option<Ref>,
    /// In which seat: as of [`Assembled`]; empty for a chock, a roll or a gauge.
    pub seat: String,
    /// In which position, for a chock that was found in the mill.
    pub position: Option<Ref>,
    /// Load zone that is up, 1 to 4; 0 where there is none, or it was not seen.
    pub zone: i64,
    /// How that is known.
    pub reason: String,
}

/// A chock goes on a neck and into the mill.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mounted {
    /// Which chock.
    pub chock: Ref,
    /// On which roll; the side follows from the position.
    pub roll: Ref,
    /// Where.
    pub position: Ref,
    /// What else is worth knowing; why a chock without a bearing went in.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
}

/// A chock was mounted, and how; or it was to be, and what was found spoke against it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MountingSheet {
    /// Which chock.
    pub chock: Ref,
    /// The bearing in its main seat.
    pub bearing: Option<Ref>,
    /// The inner half on the neck, where the bearing has one.
    pub inner: Option<Ref>,
    /// On which roll.
    pub roll: Option<Ref>,
    /// Where.
    pub position: Option<Ref>,
    /// True where it went on; false where it did not, and the sheet says why.
    pub is_mounted: bool,
    /// Readings, results, verdicts.
    pub body: SheetBody,
    /// Who did the work.
    pub fitter: Option<Ref>,
    /// The engineer who released a doubt.
    pub ordered_by: Option<Ref>,
}

/// A chock comes off.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Dismounted {
    /// Which chock.
    pub chock: Ref,
}

/// One roll with its two chocks in the mill, from `from_ms` to the event's own time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Campaign {
    /// The roll.
    pub roll: Ref,
    /// Position of the chock on the operator side.
    pub position_o: Ref,
    /// Position of the chock on the drive side.
    pub position_d: Ref,
    /// The chock on the operator side.
    pub chock_o: Ref,
    /// The chock on the drive side.
    pub chock_d: Ref,
    /// When the roll went in, ms UTC.
    pub from_ms: i64,
    /// Mill time, s.
    pub run_s: i64,
    /// Rolled, kg.
    pub rolled_kg: i64,
    /// True where hours or tonnes are an estimate.
    pub is_estimate: bool,
    /// Mean radial force on each chock, N; none where nobody wrote it down.
    pub radial_n: Option<i64>,
    /// Mean axial force, taken by the chock that holds the roll, N.
    pub axial_n: Option<i64>,
    /// Mean speed of the roll, thousandths of a turn a minute.
    pub speed_mrpm: Option<i64>,
    /// The import that it came with; none where it was entered by itself.
    pub batch: Option<Ref>,
}

/// Many campaigns came in from one table; they name this event as their batch.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ImportBatch {
    /// What the shop calls it.
    pub name: String,
    /// Name of the file.
    pub file: String,
    /// SHA-256 of the file, hexadecimal.
    pub file_hash: String,
    /// How many rows of it were taken.
    pub rows: i64,
}

/// The two halves of a cylindrical bearing go together for a time; their clearance belongs to the pair.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Paired {
    /// The half in the chock.
    pub outer: Ref,
    /// The half on the neck.
    pub inner: Ref,
}

/// They go together no longer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Unpaired {
    /// The half in the chock.
    pub outer: Ref,
    /// Why.
    pub reason: String,
}

/// Spacers were reground outside a sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SpacersReground {
    /// Which bearing.
    pub bearing: Ref,
    /// Widths measured after grinding, nm.
    pub spacer_nm: Vec<i64>,
    /// Clearance of each row pair as left, nm.
    pub clearance_nm: Vec<i64>,
    /// Who ordered it, and why.
    pub reason: String,
}

/// The outer rings of a bearing in its chock were turned.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ZoneTurned {
    /// Which bearing.
    pub bearing: Ref,
    /// Load zone that is up now, 1 to 4.
    pub zone: i64,
    /// Why now, and why this one.
    pub reason: String,
}

/// Grease went into a bearing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Greased {
    /// Which bearing.
    pub bearing: Ref,
    /// Which grease.
    pub grease: Ref,
    /// How much, mg.
    pub amount_mg: i64,
    /// What else is worth knowing.
    pub note: String,
}

/// A thing leaves for outside work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SentOut {
    /// The bearing, chock or roll.
    pub thing: Ref,
    /// To whom.
    pub to: String,
    /// What was found and what is asked for.
    pub packet: String,
}

/// It came back and was measured in the own shop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Returned {
    /// The bearing, chock or roll.
    pub thing: Ref,
    /// Number of the certificate that came with it.
    pub certificate: String,
    /// What was done.
    pub note: String,
    /// Clearance of each row pair as set outside, nm: a new baseline; empty for a chock or roll.
    pub as_set_nm: Vec<i64>,
    /// The own shop's measurement, where there is one.
    pub body: Option<SheetBody>,
}

/// A thing may not be used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Hold {
    /// Which thing.
    pub thing: Ref,
    /// Why.
    pub reason: String,
}

/// The hold ends.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Released {
    /// Which thing.
    pub thing: Ref,
    /// Why it may be used again.
    pub reason: String,
}

/// A departure accepted in writing by the engineer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DeviationAccepted {
    /// Which thing.
    pub thing: Ref,
    /// Number of the deviation.
    pub code: String,
    /// What is accepted, and under what conditions.
    pub text: String,
}

/// Work at a position of the mill.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MillJob {
    /// Where.
    pub position: Ref,
    /// What is wrong or was done.
    pub text: String,
    /// True once it is done.
    pub is_done: bool,
}

/// A gauge was calibrated.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct GaugeCalibrated {
    /// Which gauge.
    pub gauge: Ref,
    /// Number of the certificate.
    pub certificate: String,
    /// Next calibration, ms UTC.
    pub due_ms: i64,
    /// Expanded uncertainty at k = 2, in the gauge's unit (nm, mK, mN m).
    pub expanded_uncertainty: i64,
}

/// A thing is gone for good.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Scrapped {
    /// Which thing.
    pub thing: Ref,
    /// Why.
    pub reason: String,
    /// Who saw it destroyed.
    pub witness: Ref,
}
