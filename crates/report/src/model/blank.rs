//! A sheet to be filled by hand.

use serde::{Deserialize, Serialize};

use super::{Drawing, Imprint};

/// A sheet with a box for every field.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Blank {
    /// Title of every page, "Teardown sheet, N4T-480/620-336".
    pub title_line: String,
    /// What to mind when it is filled.
    pub summary: String,
    /// The sections in the order of the screen.
    pub sections: Vec<BlankSection>,
    /// What it says about itself.
    #[serde(flatten)]
    pub imprint: Imprint,
}

/// A section of the sheet.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct BlankSection {
    /// Its number on the screen.
    pub number: u32,
    /// Its name on the screen.
    pub title: String,
    /// At the right of the title.
    pub note: String,
    /// What is to be filled, in order.
    pub parts: Vec<BlankPart>,
}

/// What is to be filled.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "part", rename_all = "snake_case")]
pub enum BlankPart {
    /// Boxes side by side.
    Fields {
        /// The boxes.
        fields: Vec<BlankField>,
    },
    /// Words to tick.
    Choice {
        /// What is asked.
        label: String,
        /// The words.
        words: Vec<String>,
    },
    /// A grid of boxes.
    Table {
        /// Title above it.
        title: String,
        /// At the right of the title.
        note: String,
        /// Heads of the columns, the first above the names of the rows.
        heads: Vec<String>,
        /// Names of the rows; may be empty texts.
        rows: Vec<String>,
        /// The names of the rows need room.
        first_wide: bool,
    },
    /// A drawing to mark on.
    Drawing(Drawing),
    /// A remark of the sheet.
    Note {
        /// What it says.
        text: String,
    },
}

/// A box with its name.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct BlankField {
    /// Its name on the screen.
    pub label: String,
    /// The unit at its end; may be empty.
    pub unit: String,
    /// Lines of writing that it holds.
    pub lines: u32,
    /// Its share of the width beside the others.
    pub share: u32,
}
