//! Reading a table of plain text (CSV): strict, and each complaint names file, line, column and the way out.

use std::collections::BTreeMap;
use std::path::Path;

use super::Stop;

/// A table with a header line.
pub(super) struct Table {
    /// Name of the file, for complaints.
    name: String,
    header: Vec<String>,
    rows: Vec<Line>,
}

/// A line of data.
struct Line {
    number: usize,
    cells: Vec<String>,
}

/// A row of a table.
#[derive(Clone, Copy)]
pub(super) struct Row<'a> {
    table: &'a Table,
    line: &'a Line,
}

impl Table {
    /// Reads a file; the columns named must be there, others may.
    pub(super) fn read(path: &str, columns: &[&str]) -> Result<Self, Stop> {
        let bytes = std::fs::read(Path::new(path))
            .map_err(|error| Stop::because(format!("{path}: cannot be read: {error}")))?;
        let text = String::from_utf8(bytes).map_err(|_| {
            Stop::because(format!("{path}: is no UTF-8 text: save it as CSV in UTF-8"))
        })?;
        Self::parse(path, &text, columns).map_err(Stop::Failed)
    }

    /// The same from a text.
    fn parse(name: &str, text: &str, columns: &[&str]) -> Result<Self, String> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut lines = (1..)
            .zip(text.lines())
            .filter(|(_, line)| !line.trim().is_empty());
        // Remarks stand above the header only: below it a line that begins with # is one of data.
        let (number, first) = lines
            .find(|(_, line)| !line.starts_with('#'))
            .ok_or_else(|| format!("{name}: is empty: the first line names the columns"))?;
        let header = cells(first).map_err(|what| format!("{name}, line {number}: {what}"))?;
        if let Some(column) = columns
            .iter()
            .find(|column| !header.iter().any(|h| h == *column))
        {
            return Err(format!(
                "{name}, line {number}: there is no column {column}; needed are {}, separated by commas",
                columns.join(", ")
            ));
        }
        let mut rows = Vec::new();
        for (number, line) in lines {
            let cells = cells(line).map_err(|what| format!("{name}, line {number}: {what}"))?;
            if cells.len() != header.len() {
                return Err(format!(
                    "{name}, line {number}: has {} values where the header has {} columns: a decimal comma or a missing comma?",
                    cells.len(),
                    header.len()
                ));
            }
            rows.push(Line { number, cells });
        }
        Ok(Self {
            name: name.to_owned(),
            header,
            rows,
        })
    }

    /// Its rows.
    pub(super) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|line| Row { table: self, line })
    }

    /// Complains where there is nothing under the header.
    pub(super) fn not_empty(&self, what: &str) -> Result<(), Stop> {
        if self.rows.is_empty() {
            return Err(Stop::because(format!(
                "{}: has no line under its header: write one for each {what}",
                self.name
            )));
        }
        Ok(())
    }

    /// Complains of a value that names two lines; an empty one names none.
    pub(super) fn each_its_own(&self, column: &str) -> Result<(), Stop> {
        let mut lines: BTreeMap<&str, usize> = BTreeMap::new();
        for row in self.rows().filter(|row| !row.text(column).is_empty()) {
            if let Some(first) = lines.insert(row.text(column), row.line.number) {
                let why = format!(
                    "{:?} stands in line {first} already: each line needs one of its own",
                    row.text(column)
                );
                return Err(row.wrong(column, &why));
            }
        }
        Ok(())
    }

    /// A row by its place.
    pub(super) fn row(&self, at: usize) -> Option<Row<'_>> {
        self.rows.get(at).map(|line| Row { table: self, line })
    }
}

impl<'a> Row<'a> {
    /// What stands in a column; empty where there is no such column.
    pub(super) fn text(&self, column: &str) -> &'a str {
        let at = self.table.header.iter().position(|name| name == column);
        at.map_or("", |at| &self.line.cells[at])
    }

    /// A text that must be there.
    pub(super) fn needed(&self, column: &str) -> Result<&'a str, Stop> {
        match self.text(column) {
            "" => Err(self.wrong(column, "is empty: it is needed in each line")),
            text => Ok(text),
        }
    }

    /// A number, or nothing.
    pub(super) fn number(&self, column: &str) -> Result<Option<f64>, Stop> {
        let text = self.text(column);
        if text.is_empty() {
            return Ok(None);
        }
        let number = text.parse::<f64>().ok().filter(|number| number.is_finite());
        let number = number.ok_or_else(|| {
            self.wrong(
                column,
                &format!("{text:?} is no number: write it like 1234.5"),
            )
        });
        number.map(Some)
    }

    /// A number that must be there.
    pub(super) fn needed_number(&self, column: &str) -> Result<f64, Stop> {
        self.needed(column)?;
        self.number(column)?
            .ok_or_else(|| self.wrong(column, "is empty"))
    }

    /// A date, as a number of days.
    pub(super) fn day(&self, column: &str) -> Result<i32, Stop> {
        use chrono::Datelike;
        let text = self.needed(column)?;
        let date = chrono::NaiveDate::parse_from_str(text, "%Y-%m-%d");
        date.map(|date| date.num_days_from_ce()).map_err(|_| {
            self.wrong(
                column,
                &format!("{text:?} is no date: write it like 2026-10-30"),
            )
        })
    }

    /// A complaint about a cell.
    pub(super) fn wrong(&self, column: &str, what: &str) -> Stop {
        Stop::because(format!(
            "{}, line {}, column {column}: {what}",
            self.table.name, self.line.number
        ))
    }
}

/// The cells of a line; one with a comma in it stands in quotes, a quote in it is doubled.
fn cells(line: &str) -> Result<Vec<String>, String> {
    let mut cells = Vec::new();
    let mut rest = line;
    loop {
        let trimmed = rest.trim_start();
        if let Some(quoted) = trimmed.strip_prefix('"') {
            let mut cell = String::new();
            let mut chars = quoted.char_indices();
            let end = loop {
                match chars.next() {
                    None => {
                        return Err(
                            "a quote is opened and not closed in its line: write the value in one line, and a quote \
                             that belongs to it twice"
                                .to_owned(),
                        );
                    }
                    Some((at, '"')) if quoted[at + 1..].starts_with('"') => {
                        cell.push('"');
                        chars.next();
                    }
                    Some((at, '"')) => break at + 1,
                    Some((_, other)) => cell.push(other),
                }
            };
            cells.push(cell);
            rest = quoted[end..].trim_start();
            if !rest.is_empty() && !rest.starts_with(',') {
                return Err("text follows a closing quote: separate values by commas".to_owned());
            }
        } else {
            let end = rest.find(',').unwrap_or(rest.len());
            cells.push(rest[..end].trim().to_owned());
            rest = &rest[end..];
        }
        match rest.strip_prefix(',') {
            Some(more) => rest = more,
            None => return Ok(cells),
        }
    }
}

/// A cell as it is written: in quotes where it needs them.
pub(super) fn cell(text: &str) -> String {
    if text.contains([',', '"', '\n']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_spaces_and_comments_are_read() {
        let text =
            "\u{feff}# about\r\n\r\n# more\na, b,c\r\n1,\"x, \"\"y\"\"\" ,\r\n\r\n#17,2,3\r\n";
        let table = Table::parse("t.csv", text, &["a", "b"]).unwrap();
        let row = table.rows().next().unwrap();
        assert_eq!(
            (row.text("a"), row.text("b"), row.text("c"), row.text("d")),
            ("1", "x, \"y\"", "", "")
        );
        assert_eq!(cell(row.text("b")), "\"x, \"\"y\"\"\"");
        let first: Vec<&str> = table.rows().map(|row| row.text("a")).collect();
        assert_eq!(first, ["1", "#17"], "a serial may begin so");
    }

    #[test]
    fn what_is_wrong_is_named_with_file_and_line() {
        for (text, said) in [
            ("", "t.csv: is empty"),
            ("a\n1\n", "t.csv, line 1: there is no column b"),
            (
                "a,b\n1,2\n\n1,2,3\n",
                "t.csv, line 4: has 3 values where the header has 2 columns",
            ),
            (
                "a,b\n1,\"2\n",
                "t.csv, line 2: a quote is opened and not closed in its line",
            ),
            (
                "a,b\n1,\"2\n3\"\n",
                "t.csv, line 2: a quote is opened and not closed in its line: write the value in one line",
            ),
        ] {
            let error = Table::parse("t.csv", text, &["a", "b"]).err().unwrap();
            assert!(error.starts_with(said), "{error}");
        }
    }
}
