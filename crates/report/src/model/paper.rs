//! A document of the record that is made of parts: a sheet, a chock, a gauge, a stand, the hand-over list.

use serde::{Deserialize, Serialize};

use super::{
    Correction, Drawing, EventLine, GaugeLine, Labelled, Marked, SheetDetail, SignatureLine, Table,
    UtcMoment,
};

/// What every document says about itself, whatever it tells.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Imprint {
    /// The plant, at the top of every page.
    pub plant: String,
    /// The anchor as the program prints it; empty where nothing is signed, or the document is no part of the record.
    pub anchor: String,
    /// What stands in the foot where there is no anchor; empty: "no anchor: nothing is signed yet".
    pub standing: String,
    /// What the check of the chain said when this was printed.
    pub chain_check: Marked,
    /// When it was printed, as text for people.
    pub printed_at: String,
    /// The same moment for the properties of the file.
    pub printed_utc: UtcMoment,
    /// For whom it was printed, "the Auditor"; may be empty.
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

/// A document of the record.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Paper {
    /// Title of every page, "Chock WC-17".
    pub title_line: String,
    /// What is at its end, "End of record WC-17".
    pub name: String,
    /// How much there was of it, at its end: "12 events, 3 bore checks".
    pub counts: String,
    /// The state in one line; empty: the document begins with its first part.
    pub headline: String,
    /// Word and mark beside the headline.
    pub state: Marked,
    /// Two or three sentences for somebody who was not there.
    pub summary: String,
    /// Left table of the first page.
    pub left: Vec<Labelled>,
    /// Right table of the first page.
    pub right: Vec<Labelled>,
    /// What it tells, in order.
    pub parts: Vec<Part>,
    /// What it says about itself.
    #[serde(flatten)]
    pub imprint: Imprint,
}

/// A part of a document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "part", rename_all = "snake_case")]
pub enum Part {
    /// Labels and values in two columns.
    Facts {
        /// Title above them.
        title: String,
        /// At the right of the title.
        note: String,
        /// The pairs.
        rows: Vec<Labelled>,
    },
    /// Sentences, one paragraph each.
    Notes {
        /// Title above them.
        title: String,
        /// The paragraphs.
        lines: Vec<String>,
    },
    /// What happened, a row an event; the place of each is its record.
    Events {
        /// Title above them.
        title: String,
        /// At the right of the title.
        note: String,
        /// The events in order.
        lines: Vec<EventLine>,
    },
    /// A table.
    Table(Table),
    /// A drawing.
    Drawing(Drawing),
    /// Gauges as they stood on a day.
    Gauges {
        /// The gauges.
        lines: Vec<GaugeLine>,
    },
    /// A signed sheet.
    Sheet(Box<SheetPart>),
    /// What follows begins on a new page.
    NewPage,
}

/// A signed sheet with its corrections.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct SheetPart {
    /// The sheet.
    #[serde(flatten)]
    pub sheet: SheetDetail,
    /// What was corrected on it; `sheet` of each is not used here.
    pub corrections: Vec<Correction>,
}
