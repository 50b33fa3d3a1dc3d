//! Tables of findings and readings.

use serde::{Deserialize, Serialize};

use super::{Mark, Piece};

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
