//! A calculation of the bench.

use serde::{Deserialize, Serialize};

use super::{Drawing, Labelled, Marked, UtcMoment};

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
