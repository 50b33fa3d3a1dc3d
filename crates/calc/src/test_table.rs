//! Reading the tables of `shared/reference` in tests: cells by column name, tolerances from the printed digits. And
//! asking a described method.
#![allow(clippy::unwrap_used)]

use serde_json::Value;

use crate::method::{InputError, by_name};

/// What a method answers.
pub(crate) fn answer(name: &str, input: &Value) -> Result<Value, InputError> {
    (by_name(name).unwrap().run)(input).map(|worked| worked.output)
}

/// Asserts that each change of a key of the method's example is refused under the key named.
pub(crate) fn assert_refused(name: &str, changes: &[(&str, Value, &str)]) {
    let example: Value = serde_json::from_str(by_name(name).unwrap().example).unwrap();
    for (key, value, refused) in changes {
        let mut input = example.clone();
        input[*key] = value.clone();
        let error = answer(name, &input).expect_err(&format!("{name} {input}"));
        assert_eq!(error.key, *refused, "{name} {input}: {error}");
    }
}

/// A row of a table.
pub(crate) struct Row {
    header: Vec<&'static str>,
    cells: Vec<&'static str>,
}

impl Row {
    /// A cell as it is printed.
    pub(crate) fn text(&self, column: &str) -> &'static str {
        let place = self.header.iter().position(|name| *name == column);
        self.cells[place.unwrap_or_else(|| panic!("no column {column}"))]
    }

    /// A number; `None` where the cell is empty.
    pub(crate) fn optional(&self, column: &str) -> Option<f64> {
        let cell = self.text(column);
        (!cell.is_empty()).then(|| cell.parse().unwrap())
    }

    /// A number that must be there.
    pub(crate) fn number(&self, column: &str) -> f64 {
        self.optional(column).unwrap()
    }

    /// Asserts that `got` is the printed number to half its last digit.
    pub(crate) fn assert_printed(&self, column: &str, got: f64) {
        let cell = self.text(column);
        let printed: f64 = cell.parse().unwrap();
        let tolerance = half_last_digit(cell);
        assert!(
            (got - printed).abs() <= tolerance,
            "{}, {column}: got {got}, printed {printed} +- {tolerance}",
            self.cells.join(",")
        );
    }
}

/// The rows of a table; lines that open with `#` are its comments.
pub(crate) fn rows(text: &'static str) -> Vec<Row> {
    let mut lines = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty());
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    lines
        .map(|line| Row {
            header: header.clone(),
            cells: line.split(',').map(str::trim).collect(),
        })
        .collect()
}

/// Half the last digit of a number as printed, and a breath for the binary fraction.
fn half_last_digit(cell: &str) -> f64 {
    let decimals = cell.split_once('.').map_or(0, |(_, digits)| digits.len());
    0.5 * 10_f64.powi(-(decimals as i32)) * (1.0 + 1e-9)
}

#[test]
fn half_the_last_digit_is_read_from_the_text() {
    for (cell, expected) in [("7", 0.5), ("7.0", 0.05), ("-0.125", 0.000_5)] {
        assert!((half_last_digit(cell) - expected).abs() < 1e-8, "{cell}");
    }
}
