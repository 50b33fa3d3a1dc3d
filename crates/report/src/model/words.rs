//! Words, marks and drawings that every document is made of.

use serde::{Deserialize, Serialize};

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
