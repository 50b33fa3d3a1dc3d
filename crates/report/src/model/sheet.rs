//! One signed sheet with all that was read, judged and decided.

use serde::{Deserialize, Serialize};

use super::{Drawing, Labelled, Mark, Table};

/// One signed sheet with all that was read.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SheetDetail {
    /// "Sheet 1: teardown".
    pub title: String,
    /// Identity of the record, "0671:1204".
    pub record: String,
    /// Day of the work.
    pub date: String,
    /// When it was entered and whether that was late.
    pub entered: String,
    /// Entered later than the work was done.
    pub late: bool,
    /// "off F1-W-T-O after 1,005 h".
    pub place: String,
    /// The chock.
    pub chock: String,
    /// The roll and neck.
    pub roll: String,
    /// Who measured, signed, countersigned.
    pub signers: Vec<SignatureLine>,
    /// The as-found rows, cleaning, preservation, parts replaced.
    pub found: Vec<Labelled>,
    /// Findings and readings.
    pub tables: Vec<Table>,
    /// Ring map, bore map.
    pub drawings: Vec<Drawing>,
    /// Pictures, small.
    pub photos: Vec<Photo>,
    /// Gauges with their status on that day.
    pub gauges: Vec<GaugeLine>,
    /// What the limits of that day said.
    pub verdicts: Vec<VerdictLine>,
    /// What was decided.
    pub decision: Option<Decision>,
    /// What was not measured, with the reason.
    pub not_measured: Vec<Labelled>,
    /// Remarks, one paragraph each.
    pub notes: Vec<String>,
}

/// A picture of a sheet.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Photo {
    /// What it shows, "finding 1: ring.jpg"; read aloud too.
    pub caption: String,
    /// SHA-256 of what is kept, hexadecimal.
    pub hash: String,
    /// The picture (JPEG or PNG); one that cannot be read is named, and its place says so.
    #[serde(skip)]
    pub bytes: Vec<u8>,
}

/// A name and what it stands for: "Foreman A", "signed 2024-11-26".
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SignatureLine {
    /// Who.
    pub who: String,
    /// For what, and when.
    pub what: String,
}

/// A gauge as it stood on the day of the reading.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct GaugeLine {
    /// Its code.
    pub code: String,
    /// Its kind and what it was used for.
    pub kind: String,
    /// Expanded uncertainty with unit and k.
    pub uncertainty: String,
    /// Certificate number and date.
    pub certificate: String,
    /// The setting ring or standard it was checked on.
    pub standard: String,
    /// Calibration due date that held then.
    pub due: String,
    /// "valid", "overdue by 12 days", "later found out".
    pub status: String,
    /// The mark before the status.
    pub mark: Mark,
}

/// One verdict with all that is needed to follow it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct VerdictLine {
    /// What was judged.
    pub about: String,
    /// The value with unit.
    pub value: String,
    /// Its expanded uncertainty.
    pub uncertainty: String,
    /// The limit.
    pub limit: String,
    /// Where the limit comes from, with its version and valid-from.
    pub origin: String,
    /// The rule of decision, with the probability.
    pub rule: String,
    /// The method and its version.
    pub method: String,
    /// The verdict; its word is printed beside the mark.
    pub verdict: Mark,
}

/// What was recommended and decided.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Decision {
    /// What the program recommended.
    pub recommended: String,
    /// What a person decided.
    pub decided: String,
    /// Shown before what was decided.
    pub mark: Mark,
    /// The reasons, in order of weight.
    pub reasons: Vec<String>,
    /// Why it was decided otherwise than recommended.
    pub departure: String,
    /// Who ordered it, when.
    pub ordered_by: String,
}

/// A correction: both values stay on every print.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Correction {
    /// Its letter on this print, "A".
    pub code: String,
    /// When it was made.
    pub date: String,
    /// Index in `sheets` of the sheet it belongs to.
    pub sheet: Option<usize>,
    /// What was corrected, "angle of findings 1 and 2".
    pub what: String,
    /// The value that was recorded.
    pub old: String,
    /// The value that counts.
    pub new: String,
    /// Why.
    pub reason: String,
    /// Who signed the correction.
    pub signer: String,
    /// What it changed, "verdict and decision of the sheet did not change".
    pub effect: String,
}
