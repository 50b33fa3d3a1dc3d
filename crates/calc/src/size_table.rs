//! Published tables whose rows hold over a range of size: "over, up to and including".
//!
//! The files of `shared/reference` open with comment lines (`#`: source and confidence), then a header, then one
//! row a line; an empty cell is a value that is not given there.

use crate::{
    error::{CalcError, out_of_range_mm},
    method::{Part, Step},
    quantity::{Length, as_millimetres, millimetres, to_nanometres},
};

/// The sizes over which a row holds; a border size belongs to the lower range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SizeRange {
    /// Sizes above this one.
    pub over: Length,
    /// Up to and including this one; `None` without an end.
    pub upto: Option<Length>,
}

impl SizeRange {
    /// Whether the row holds at this size, compared in whole nanometres.
    pub fn holds(&self, size: Length) -> bool {
        let nm = to_nanometres(size);
        nm > to_nanometres(self.over) && self.upto.is_none_or(|upto| nm <= to_nanometres(upto))
    }

    /// Such as `over 50 up to 80`, in mm.
    pub fn words_mm(&self) -> String {
        let over = as_millimetres(self.over);
        match self.upto {
            Some(upto) => format!("over {over} up to {}", as_millimetres(upto)),
            None => format!("over {over}"),
        }
    }

    /// The row as a line of a derivation.
    pub(crate) fn step(&self, result: Part, note: impl Into<String>) -> Step {
        let over = Part::Length(self.over);
        match self.upto {
            Some(upto) => Step::new(
                "row over {} up to {}",
                [over, Part::Length(upto)],
                result,
                note,
            ),
            None => Step::new("row over {}", [over], result, note),
        }
    }
}

/// What stands behind a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Inside the range of the standard named, and the open sources agree.
    Standard,
    /// The standard ends before this size: a bearing maker's value.
    BeyondStandard,
    /// The open sources agree less here than elsewhere in the table.
    LessCertain,
}

impl Standing {
    /// Said to the reader; `None` where there is nothing to say.
    pub fn words(self) -> Option<&'static str> {
        match self {
            Self::Standard => None,
            Self::BeyondStandard => Some("a bearing maker's value"),
            Self::LessCertain => Some("less certain"),
        }
    }

    /// A line of a derivation that warns; none inside the standard.
    pub(crate) fn step(self, standard: &str, range: &SizeRange) -> Option<Step> {
        let words = self.words()?;
        let note = match self {
            Self::BeyondStandard => {
                format!("{standard} ends before this size; the bearing's drawing decides")
            }
            _ => "fewer sources confirm this row; the bearing's drawing decides".to_owned(),
        };
        Some(range.step(Part::text(words), note))
    }
}

/// A table, rows in the order of the file.
pub(crate) struct SizeTable {
    header: Vec<&'static str>,
    rows: Vec<Vec<&'static str>>,
}

/// A row of a table.
#[derive(Clone, Copy)]
pub(crate) struct Row<'a> {
    header: &'a [&'static str],
    cells: &'a [&'static str],
}

impl SizeTable {
    pub(crate) fn parse(text: &'static str) -> Self {
        let mut lines = text
            .lines()
            .filter(|line| !line.starts_with('#') && !line.trim().is_empty())
            .map(|line| line.split(',').map(str::trim).collect());
        Self {
            header: lines.next().unwrap_or_default(),
            rows: lines.collect(),
        }
    }

    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        let header = &self.header;
        self.rows.iter().map(|cells| Row { header, cells })
    }
}

impl Row<'_> {
    /// The text of a column; empty where there is none.
    pub(crate) fn text(&self, column: &str) -> &'static str {
        let place = self.header.iter().position(|name| *name == column);
        place.and_then(|place| self.cells.get(place)).unwrap_or(&"")
    }

    /// The number of a column, if it holds one.
    pub(crate) fn number(&self, column: &str) -> Option<f64> {
        self.text(column).parse().ok()
    }

    /// The columns that hold a number, in their order.
    pub(crate) fn numbers(&self) -> impl Iterator<Item = (&'static str, f64)> {
        let cells = self.header.iter().zip(self.cells);
        cells.filter_map(|(name, cell)| Some((*name, cell.parse().ok()?)))
    }

    /// The range of the columns `over_mm` and `upto_mm`; an empty start is 0.
    pub(crate) fn range(&self) -> SizeRange {
        SizeRange {
            over: millimetres(self.number("over_mm").unwrap_or_default()),
            upto: self.number("upto_mm").map(millimetres),
        }
    }
}

/// The row that holds at a size, of rows in rising order.
///
/// # Errors
/// `OutOfRange` with the sizes at which a row holds.
pub(crate) fn row_at<'a>(
    rows: impl Iterator<Item = Row<'a>> + Clone,
    input: &str,
    size: Length,
) -> Result<Row<'a>, CalcError> {
    rows.clone()
        .find(|row| row.range().holds(size))
        .ok_or_else(|| out_of_range_mm(input, size, &covered(rows.map(|row| row.range()))))
}

/// The sizes that ranges in rising order cover, touching ones joined.
fn covered(ranges: impl Iterator<Item = SizeRange>) -> String {
    let mut joined: Vec<SizeRange> = Vec::new();
    for range in ranges {
        match joined.last_mut() {
            Some(last) if last.upto == Some(range.over) => last.upto = range.upto,
            _ => joined.push(range),
        }
    }
    let words: Vec<String> = joined.iter().map(SizeRange::words_mm).collect();
    words.join(", ")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::quantity::nanometres;

    const TEXT: &str =
        "# Source: none, made for this test\nover_mm,upto_mm,a\n0,76.2,1\n76.2,100,2\n\n200,,3\n";

    #[test]
    fn a_border_size_belongs_to_the_lower_range_to_the_nanometre() {
        let table = SizeTable::parse(TEXT);
        let at = |nm| {
            let row = row_at(
                table.rows().collect::<Vec<_>>().into_iter(),
                "bore",
                nanometres(nm),
            );
            row.map(|row| row.number("a").unwrap())
        };
        for (nm, expected) in [
            (1, 1.0),
            (76_200_000, 1.0),
            (76_200_001, 2.0),
            (100_000_000, 2.0),
            (200_000_001, 3.0),
            (9_000_000_000, 3.0),
        ] {
            assert_eq!(at(nm), Ok(expected), "{nm} nm");
        }
        for nm in [0, -1, 100_000_001, 200_000_000] {
            let error = at(nm).unwrap_err();
            assert_eq!(error.input(), "bore");
            let text = error.to_string();
            assert!(text.contains("over 0 up to 100, over 200"), "{text}");
        }
    }

    #[test]
    fn a_cell_that_is_not_there_is_empty() {
        let table = SizeTable::parse(TEXT);
        let row = table.rows().next().unwrap();
        assert_eq!((row.text("b"), row.number("b")), ("", None));
    }
}
