//! The history of one bearing.

use serde::{Deserialize, Serialize};

use super::{
    Correction, Drawing, Labelled, Marked, Noted, Piece, SheetDetail, SignatureLine, UtcMoment,
};

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
