//! What is noted about a thing without moving it: readings of its condition, incidents at the mill, a later day for its
//! inspection, a batch that is not to be used, what was spent on it, its papers and pictures.

use serde::{Deserialize, Serialize};

use crate::id::Ref;

/// A chock was felt, heard or measured at work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ConditionReading {
    /// Which chock.
    pub chock: Ref,
    /// `temperature`, `vibration`, `noise` or `seal_leakage`.
    pub what: String,
    /// The reading: mK above 0 C, nm/s, 0.01 dB; none where it is told in words only.
    pub value: Option<i64>,
    /// What stood out, in words.
    pub text: String,
    /// True where the chock is to be torn down early.
    pub is_early_teardown: bool,
}

/// Something went wrong at the mill that bearings feel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MillIncident {
    /// Where.
    pub position: Ref,
    /// `cobble`, `strip_break`, `emergency_stop`, `overload` or `other`.
    pub what: String,
    /// Largest rolling force, N; none where nobody knows.
    pub force_n: Option<i64>,
    /// The chocks that were there.
    pub chocks: Vec<Ref>,
    /// In words.
    pub text: String,
    /// True where those chocks are to be torn down early.
    pub is_early_teardown: bool,
}

/// The engineer allows a bearing in its chock to run on past its interval.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Extension {
    /// The chock that runs on.
    pub chock: Ref,
    /// Until when, ms UTC.
    pub until_ms: i64,
    /// Why, and what is watched meanwhile.
    pub reason: String,
}

/// When a chock is to be torn down, and why not now: who is past an interval runs on with a name behind it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TeardownPlanned {
    /// The chock.
    pub chock: Ref,
    /// The day, ms UTC; none where there is no day yet.
    pub planned_ms: Option<i64>,
    /// Why not now.
    pub reason: String,
}

/// Seals or grease of a batch are not to be used any more.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BatchBlocked {
    /// Seal batch or grease.
    pub batch: Ref,
    /// Why.
    pub reason: String,
}

/// Money spent on a thing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cost {
    /// On what.
    pub thing: Ref,
    /// How much, in hundredths of the plant's money unit.
    pub amount_minor: i64,
    /// What for.
    pub text: String,
}

/// Work at a position of a stand that changes what its chocks feel.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PositionWork {
    /// Where.
    pub position: Ref,
    /// `liners`, `keeper`, `screw_down` or `other`.
    pub what: String,
    /// Widths measured afterwards, nm: of the liners or of the window.
    pub width_nm: Vec<i64>,
    /// What was done.
    pub text: String,
}

/// A gauge was found to read wrongly.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct GaugeFoundOut {
    /// Which gauge.
    pub gauge: Ref,
    /// Its error, indication minus reference, in the gauge's unit (nm, mK, mN m).
    pub error: i64,
    /// How it was found, on which standard.
    pub text: String,
}

/// A paper or a picture is kept with a thing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Attached {
    /// With which thing.
    pub thing: Ref,
    /// `photo`, `certificate`, `drawing` or `other`.
    pub what: String,
    /// What it shows.
    pub text: String,
    /// The file.
    pub file: KeptFile,
}

/// A file that the logbook keeps by the hash of its content.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptFile {
    /// SHA-256 of what is kept, hexadecimal.
    pub hash: String,
    /// Its name when it came.
    pub name: String,
    /// `image/jpeg`, `application/pdf` or `text/plain`.
    pub media: String,
    /// Size of what is kept, bytes.
    pub bytes: i64,
    /// SHA-256 of the file as it came; the same hash where it was kept as it was.
    pub original_hash: String,
    /// SHA-256 of the small picture kept with it; empty where there is none.
    pub thumbnail_hash: String,
}
