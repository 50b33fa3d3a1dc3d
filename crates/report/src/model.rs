//! What the documents say, in words ready to print: the history of one bearing, a calculation, and beside them the
//! documents made of parts, labels and blank sheets.
//!
//! Every value is a text that the caller has formatted: units, dates, decimal sign and rounding are decided where the
//! numbers are known. An empty text or list means "nothing to say" and takes no room on paper, unless noted.
//! User text goes in as it is: nothing here is read as markup.

mod blank;
mod labels;
mod paper;

pub use blank::{Blank, BlankField, BlankPart, BlankSection};
pub use labels::{Label, LabelGrid, Labels};
pub use paper::{Imprint, Paper, Part, SheetPart};

use serde::{Deserialize, Serialize};

/// The whole document: the history of one bearing.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct History {
    /// The plant, at the top of every page.
    pub plant: String,
    /// The serial of the bearing; names the document where a reader lists it.
    pub serial: String,
    /// Title of every page, "History of bearing TH-4T-044".
    pub title_line: String,
    /// The state in one line, "In revision 2, in service, no finding open".
    pub headline: String,
    /// Two or three sentences for somebody who was not there.
    pub summary: String,
    /// What was left out of this print by wish, in a sentence; empty where nothing was.
    pub left_out: String,
    /// Word and mark beside the headline, "accepted" with `Mark::Pass`.
    pub state: Marked,
    /// Left table of the first page: type, sizes, spacers, certificates, origin.
    pub identity: Vec<Labelled>,
    /// Right table of the first page: limits, their origin and version.
    pub limits: Vec<Labelled>,
    /// All findings on the unrolled rings.
    pub ring_map_svg: Option<Drawing>,
    /// Growth of the clearance over the whole life.
    pub growth_svg: Option<Drawing>,
    /// What is told below the growth, each under its title: exposure, rating life.
    pub notes: Vec<Noted>,
    /// Every event, oldest first.
    pub events: Vec<EventLine>,
    /// Every signed sheet, oldest first; each starts a page.
    pub sheets: Vec<SheetDetail>,
    /// Every correction; shown on its sheet and again in one list at the end.
    pub corrections: Vec<Correction>,
    /// The anchor as the program prints it; empty where nothing is signed yet.
    pub anchor: String,
    /// What the check of the chain said when this was printed.
    pub chain_check: Marked,
    /// When it was printed, as text for people.
    pub printed_at: String,
    /// The same moment for the properties of the file.
    pub printed_utc: UtcMoment,
    /// For whom it was printed, "the Auditor".
    pub printed_for: String,
    /// Name and version of the program, "Chockbook 0.1.0".
    pub program: String,
    /// True for a demo logbook: said on every page.
    pub demo: bool,
    /// Short cautions that belong to what is told here.
    pub cautions: Vec<String>,
    /// Lines to sign by hand; three lines without a name where empty.
    pub signature_lines: Vec<SignatureLine>,
}

/// The six states of a verdict. Each is told by shape, word and colour.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mark {
    /// Conforms.
    Pass,
    /// Conforms, but the measurement cannot be sure.
    PassInDoubt,
    /// Does not conform, but the measurement cannot be sure.
    FailInDoubt,
    /// Does not conform.
    Fail,
    /// Not measured, so not known.
    Missing,
    /// The question does not arise.
    #[default]
    NotApplicable,
}

impl Mark {
    /// All six, from best to worst, then the two that say nothing.
    pub const ALL: [Self; 6] = [
        Self::Pass,
        Self::PassInDoubt,
        Self::FailInDoubt,
        Self::Fail,
        Self::Missing,
        Self::NotApplicable,
    ];

    /// The word that stands beside the shape.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::PassInDoubt => "pass in doubt",
            Self::FailInDoubt => "fail in doubt",
            Self::Fail => "fail",
            Self::Missing => "missing",
            Self::NotApplicable => "not applicable",
        }
    }
}

/// A text with a verdict mark before it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Marked {
    /// The word or sentence.
    pub text: String,
    /// The mark.
    pub mark: Mark,
}

/// A label and its value.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Labelled {
    /// What it is.
    pub label: String,
    /// What it says.
    pub value: String,
}

/// Sentences under a title.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Noted {
    /// Title.
    pub title: String,
    /// Sentences, each a line.
    pub lines: Vec<String>,
}

/// A vector drawing with its title.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Drawing {
    /// Section title above it.
    pub title: String,
    /// How to read it, at the right of the title: "unrolled from the zone-I line, clockwise seen from outboard".
    pub note: String,
    /// The SVG; its text in "Open Sans". It is scaled to the width of the page.
    pub svg: String,
    /// What it shows, in words, for readers who do not see it. Must not be empty.
    pub alt: String,
    /// Explanations under the drawing.
    pub key: Vec<KeyLine>,
}

/// One explanation under a drawing: "b  2025-07-29  etched lines at roller pitch".
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeyLine {
    /// The letter or number in the drawing.
    pub sign: String,
    /// What it stands for.
    pub text: String,
    /// Gives the sign its colour.
    pub mark: Mark,
}

/// How a piece of text is shown.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Tone {
    /// As the rest.
    #[default]
    Plain,
    /// Semibold: what counts now.
    Bold,
    /// Struck through and still readable: what was recorded first.
    Struck,
    /// Set back: a remark of the program.
    Muted,
}

/// A piece of text in one tone.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Piece {
    /// The text, with its own spaces.
    pub text: String,
    /// How it is shown.
    pub tone: Tone,
}

impl Piece {
    /// A piece as the rest.
    pub fn plain(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            tone: Tone::Plain,
        }
    }

    /// What counts now.
    pub fn bold(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            tone: Tone::Bold,
        }
    }

    /// What was recorded first and no longer counts.
    pub fn struck(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            tone: Tone::Struck,
        }
    }

    /// A remark.
    pub fn muted(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            tone: Tone::Muted,
        }
    }
}

/// One row of "What happened".
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct EventLine {
    /// Day of the event.
    pub date: String,
    /// Position, chock, shop or firm.
    pub place: String,
    /// Hours with their unit.
    pub hours: String,
    /// What was found, with struck and new values.
    pub found: Vec<Piece>,
    /// What was done.
    pub done: String,
    /// Who signed.
    pub signer: String,
    /// When it was entered; shown where `late`.
    pub entered: String,
    /// Entered later than it happened.
    pub late: bool,
    /// A correction belongs to it.
    pub amended: bool,
}

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

/// A table of findings or readings.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Table {
    /// Title above it.
    pub title: String,
    /// At the right of the title: method, temperatures, "as typed; below it at 20 °C".
    pub note: String,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows; a row shorter than the columns is filled up, longer is an error.
    pub rows: Vec<Vec<Cell>>,
    /// Narrow enough to stand beside another half on a sheet.
    pub half: bool,
}

/// The side on which a column is set.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Align {
    /// Text.
    #[default]
    Left,
    /// Numbers.
    Right,
    /// Signs.
    Center,
}

/// A column of a table.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Column {
    /// Its heading, with the unit.
    pub head: String,
    /// Its side.
    pub align: Align,
    /// Takes what room is left; where no column does, all share it.
    pub wide: bool,
}

impl Column {
    /// A column of text.
    pub fn text(head: impl Into<String>) -> Self {
        Self {
            head: head.into(),
            align: Align::Left,
            wide: false,
        }
    }

    /// A column of text that takes what room is left.
    pub fn wide(head: impl Into<String>) -> Self {
        Self {
            head: head.into(),
            align: Align::Left,
            wide: true,
        }
    }

    /// A column of numbers.
    pub fn number(head: impl Into<String>) -> Self {
        Self {
            head: head.into(),
            align: Align::Right,
            wide: false,
        }
    }
}

/// A cell of a table.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cell {
    /// The text; for a reading, as it was typed, with its unit where that differs from the column's.
    pub pieces: Vec<Piece>,
    /// Second line: the same reading at 20 °C.
    pub under: String,
    /// Verdict before the text.
    pub mark: Option<Mark>,
}

impl Cell {
    /// A cell of plain text.
    pub fn text(text: impl Into<String>) -> Self {
        Self {
            pieces: vec![Piece::plain(text)],
            ..Self::default()
        }
    }

    /// A reading as typed, and under it at 20 °C.
    pub fn reading(typed: impl Into<String>, at_20_c: impl Into<String>) -> Self {
        Self {
            pieces: vec![Piece::plain(typed)],
            under: at_20_c.into(),
            mark: None,
        }
    }

    /// A value that was corrected: the old one struck, the new one bold.
    pub fn corrected(old: impl Into<String>, new: impl Into<String>) -> Self {
        Self {
            pieces: vec![Piece::struck(old), Piece::plain(" "), Piece::bold(new)],
            ..Self::default()
        }
    }

    /// A verdict with its own word.
    pub fn verdict(mark: Mark) -> Self {
        Self {
            pieces: vec![Piece::plain(mark.word())],
            under: String::new(),
            mark: Some(mark),
        }
    }
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

/// A moment in UTC for the properties of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct UtcMoment {
    /// Year.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month.
    pub day: u8,
    /// Hour, 0 to 23.
    pub hour: u8,
    /// Minute.
    pub minute: u8,
    /// Second.
    pub second: u8,
}

impl Default for UtcMoment {
    /// The first moment of 1970: a valid date, so that a model can be filled step by step.
    fn default() -> Self {
        Self {
            year: 1970,
            month: 1,
            day: 1,
            hour: 0,
            minute: 0,
            second: 0,
        }
    }
}

/// A calculation of the bench on one page; no part of the record.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Calculation {
    /// The plant, at the top.
    pub plant: String,
    /// Title of the method, and of the file.
    pub title: String,
    /// What it answers.
    pub summary: String,
    /// Where the values come from, `last sheet of TH-4T-031`; empty where they were typed.
    pub origin: String,
    /// What was put in.
    pub inputs: Vec<Labelled>,
    /// What was put in of several alike, such as row pairs.
    pub tables: Vec<CalculationTable>,
    /// The answer, large.
    pub answer: String,
    /// What it is, beside it.
    pub beside: String,
    /// The verdict, if there is one.
    pub verdict: Option<Marked>,
    /// The other results.
    pub outputs: Vec<Labelled>,
    /// The drawing, if one helps; its title may be empty.
    pub drawing: Option<Drawing>,
    /// How it comes out.
    pub steps: Vec<CalculationStep>,
    /// The formula.
    pub formula: String,
    /// Where formula and tables come from.
    pub source: String,
    /// What to mind.
    pub cautions: Vec<String>,
    /// When it was printed, as text for people.
    pub printed_at: String,
    /// The same moment for the properties of the file.
    pub printed_utc: UtcMoment,
    /// For whom it was printed; may be empty.
    pub printed_for: String,
    /// Name and version of the program.
    pub program: String,
}

/// Values of several alike; each row begins with what it is.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct CalculationTable {
    /// What stands above the columns; empty above what the rows are.
    pub heads: Vec<String>,
    /// The rows, each as long as the heads.
    pub rows: Vec<Vec<String>>,
}

/// A line of a derivation.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct CalculationStep {
    /// The numbers put in.
    pub expression: String,
    /// What comes out.
    pub result: String,
    /// Why.
    pub note: String,
}
