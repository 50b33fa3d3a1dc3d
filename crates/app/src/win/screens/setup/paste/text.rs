//! Text of a table program as rows of cells: separated by tabs, semicolons or commas, with its heads in the first
//! line. Pure: nothing of the register is known here.

/// A table as it was pasted.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sheet {
    /// The line of the heads, counted from 1.
    pub head_line: usize,
    /// The heads.
    pub heads: Vec<String>,
    /// The rows below; empty lines are left out.
    pub rows: Vec<Line>,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// Its line in the text, counted from 1.
    pub line: usize,
    /// Its cells.
    pub cells: Vec<Cell>,
}

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Cell {
    /// What stands in it.
    pub text: String,
    /// A quotation mark opens it and closes nowhere in the line.
    pub is_torn: bool,
}

/// Reads a text; none where nothing stands in it.
pub fn read(text: &str) -> Option<Sheet> {
    let text = text.trim_start_matches('\u{feff}');
    let mut lines = lines(text)
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty());
    let (head, heads) = lines.next()?;
    let separator = separator(heads);
    let heads = cells(heads, separator).into_iter().map(|c| c.text);
    let row = |(at, line): (usize, &str)| Line {
        line: at + 1,
        cells: cells(line, separator),
    };
    Some(Sheet {
        head_line: head + 1,
        heads: heads.collect(),
        // A row of separators alone is what a table program makes of an empty one.
        rows: lines
            .map(row)
            .filter(|row| row.cells.iter().any(|cell| !cell.text.is_empty()))
            .collect(),
    })
}

/// The lines of a text, whichever system ended them.
pub fn lines(text: &str) -> impl Iterator<Item = &str> {
    text.split('\n').map(|line| line.trim_end_matches('\r'))
}

/// A text as a file holds it: with or without a mark of its encoding, or in the letters of an older one.
pub fn decode(bytes: &[u8]) -> String {
    let wide = |pair: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes[2..]
            .chunks_exact(2)
            .map(|two| pair([two[0], two[1]]))
            .collect();
        String::from_utf16_lossy(&units)
    };
    match bytes {
        [0xff, 0xfe, ..] => wide(u16::from_le_bytes),
        [0xfe, 0xff, ..] => wide(u16::from_be_bytes),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => text.trim_start_matches('\u{feff}').to_owned(),
            Err(_) => bytes.iter().map(|byte| char::from(*byte)).collect(),
        },
    }
}

/// What parts the cells, told from the heads: a tab where there is one, else a semicolon, else a comma.
fn separator(heads: &str) -> char {
    let bare: String = heads.split('"').step_by(2).collect();
    ['\t', ';']
        .into_iter()
        .find(|c| bare.contains(*c))
        .unwrap_or(',')
}

/// The cells of a line. A cell in quotation marks may hold the separator, and its own mark doubled.
fn cells(line: &str, separator: char) -> Vec<Cell> {
    let mut cells = Vec::new();
    let mut rest = line;
    loop {
        let (cell, after) = match quoted(rest, separator) {
            Some(found) => found,
            None => {
                let end = rest.find(separator);
                let text = &rest[..end.unwrap_or(rest.len())];
                let cell = Cell {
                    text: text.trim().to_owned(),
                    is_torn: text.trim_start().starts_with('"'),
                };
                (cell, end.map(|end| &rest[end + separator.len_utf8()..]))
            }
        };
        cells.push(cell);
        match after {
            Some(after) => rest = after,
            None => return cells,
        }
    }
}

/// A cell in quotation marks and what follows it; none where it is not one, or is torn.
fn quoted(rest: &str, separator: char) -> Option<(Cell, Option<&str>)> {
    let inside = rest.trim_start_matches(' ').strip_prefix('"')?;
    let mut text = String::new();
    let mut from = inside;
    loop {
        let end = from.find('"')?;
        text.push_str(&from[..end]);
        from = &from[end + 1..];
        if let Some(more) = from.strip_prefix('"') {
            text.push('"');
            from = more;
            continue;
        }
        let after = from.trim_start_matches(' ');
        let cell = Cell {
            text: text.trim().to_owned(),
            is_torn: false,
        };
        return match after.strip_prefix(separator) {
            Some(after) => Some((cell, Some(after))),
            None => after.trim_end().is_empty().then_some((cell, None)),
        };
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    fn rows(text: &str) -> Vec<Vec<String>> {
        let sheet = read(text).unwrap();
        let row = |row: Line| row.cells.into_iter().map(|c| c.text).collect();
        sheet.rows.into_iter().map(row).collect()
    }

    #[test]
    fn tabs_semicolons_and_commas_part_cells_whatever_ends_the_lines() {
        for text in [
            "code\tline\r\nR-1\tFT\r\nR-2\tPL\r\n",
            "\u{feff}code;line\nR-1;FT\n\n;\nR-2;PL",
            "code,line\nR-1, FT \n\"R-2\" ,\"PL\"\n",
        ] {
            assert_eq!(rows(text), [["R-1", "FT"], ["R-2", "PL"]], "{text:?}");
        }
        assert_eq!(read(" \r\n\r\n"), None);
        let late = read("\n\ncode;x\n\nR-1;2").unwrap();
        assert_eq!((late.head_line, late.rows[0].line), (3, 5));
    }

    #[test]
    fn quotation_marks_hold_separators_and_a_torn_one_costs_one_cell_only() {
        let text = "code,name,line\n\"R-1\",\"a \"\"b\"\", c\",FT\nR-2,\"torn,FT\nR-3,ok,FT\n";
        let sheet = read(text).unwrap();
        assert_eq!(sheet.rows[0].cells[1].text, "a \"b\", c");
        assert!(sheet.rows[1].cells[1].is_torn);
        assert_eq!(sheet.rows[1].cells[2].text, "FT");
        assert!(sheet.rows[2].cells.iter().all(|cell| !cell.is_torn));
        assert!(read("a;b\n\"x\"y;2").unwrap().rows[0].cells[0].is_torn);
    }

    #[test]
    fn a_decimal_comma_stands_between_semicolons() {
        assert_eq!(rows("serial;hours\nT-1;1010,5\n"), [["T-1", "1010,5"]]);
    }

    #[test]
    fn files_of_older_programs_are_read_too() {
        assert_eq!(decode("\u{feff}a;\u{e4}".as_bytes()), "a;\u{e4}");
        assert_eq!(decode(&[b'a', b';', 0xe4]), "a;\u{e4}");
        assert_eq!(decode(&[0xff, 0xfe, b'a', 0, 0xe4, 0]), "a\u{e4}");
        assert_eq!(decode(&[0xfe, 0xff, 0, b'a', 0, 0xe4]), "a\u{e4}");
    }
}
