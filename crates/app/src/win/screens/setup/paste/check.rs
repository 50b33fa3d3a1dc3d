//! What a pasted table means for the register: a form a row, and every cell that is not right by row and column.

use std::collections::HashMap;

use store::entry::Show;
use store::{NewEvent, Ref, Stamp, ThingNo};

use super::super::fill::new_form;
use super::super::form::{Form, Kind, Subject};
use super::super::model::Model;
use super::super::page::Page;
use super::super::people;
use super::super::read::{self, position_code};
use super::super::unit::Unit;
use super::columns::{Column, columns, known};
use super::text::{self, Cell, Line};

/// What came of a table.
#[derive(Debug, Clone, Default)]
pub struct Checked {
    /// Its columns.
    pub columns: Vec<Column>,
    /// The line of the heads.
    pub head_line: usize,
    /// What is wrong with the table as a whole: columns that are missing.
    pub missing: Vec<String>,
    /// Columns that no field is called like, or whose unit is another.
    pub odd: Vec<String>,
    /// Its rows.
    pub rows: Vec<Row>,
}

/// A row.
#[derive(Debug, Clone)]
pub struct Row {
    /// Its line in the text, from 1.
    pub line: usize,
    /// Its cells as they stand.
    pub cells: Vec<String>,
    /// What was made of it.
    pub form: Form,
    /// The cells that are not right.
    pub wrongs: Vec<Bad>,
}

/// A cell that is not right.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bad {
    /// Its column; none where there is no such column.
    pub column: Option<usize>,
    /// What it is called.
    pub name: String,
    /// What is wrong, and what to do.
    pub why: String,
}

impl Checked {
    /// Rows that can be saved.
    pub fn good(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().filter(|row| row.wrongs.is_empty())
    }

    /// How many rows are not right.
    pub fn bad_count(&self) -> usize {
        self.rows.len() - self.good().count()
    }

    /// The table itself can be taken: every column that is needed is there, and none is strange.
    pub fn is_whole(&self) -> bool {
        self.missing.is_empty() && self.odd.is_empty()
    }
}

/// Checks a text for a page. `leaves_out` passes over columns that are not known; `progress` is told rows done and rows
/// in all, and stops the work by answering false.
pub fn check(
    (page, text): (Page, &str),
    leaves_out: bool,
    model: &Model,
    (show, now): (Show, Stamp),
    progress: &dyn Fn(usize, usize) -> bool,
) -> Option<Checked> {
    let Some(sheet) = text::read(text) else {
        return Some(Checked::default());
    };
    let mut columns = columns(page, &sheet.heads);
    let mut odd = Vec::new();
    for column in &mut columns {
        odd.extend(odd_words(page, column));
    }
    if leaves_out {
        odd.retain(|_| false);
    }
    let given: Vec<&String> = columns
        .iter()
        .filter_map(|c| c.known.as_ref())
        .flat_map(|k| &k.paths)
        .collect();
    let needed = needed(page, model, show, now);
    let lacks = |path: &String| !given.contains(&path);
    let missing_paths: Vec<String> = needed.into_iter().filter(lacks).collect();
    let fields = known(page);
    let label = |path: &String| {
        let field = fields.iter().find(|f| f.paths.contains(path));
        field.map_or_else(|| path.clone(), |f| f.label.clone())
    };
    let missing: Vec<String> = missing_paths
        .iter()
        .map(|path| {
            let label = label(path);
            format!("Column missing: {label}. Add a column with this head, or name the one that holds it so.")
        })
        .collect();
    let mut rows = Vec::with_capacity(sheet.rows.len());
    let mut seen: HashMap<String, usize> = HashMap::new();
    for (done, line) in sheet.rows.iter().enumerate() {
        if done % 64 == 0 && !progress(done, sheet.rows.len()) {
            return None;
        }
        let (form, mut wrongs) = form_of(page, &columns, line, show);
        let all = if page == Page::People {
            without_pin(&form, model)
        } else {
            read::wrongs(&form, model, now)
        };
        for wrong in all {
            let column = column_of(&columns, &wrong.path);
            let is_told = wrongs
                .iter()
                .any(|bad| bad.column.is_some() && bad.column == column)
                || missing_paths.contains(&wrong.path);
            if !is_told {
                let name = column.map_or_else(|| label(&wrong.path), |at| columns[at].head.clone());
                wrongs.push(Bad {
                    column,
                    name,
                    why: wrong.why,
                });
            }
        }
        twice(page, &columns, &form, line.line, &mut seen, &mut wrongs);
        let cells = line.cells.iter().map(|cell| cell.text.clone()).collect();
        rows.push(Row {
            line: line.line,
            cells,
            form,
            wrongs,
        });
    }
    progress(sheet.rows.len(), sheet.rows.len());
    Some(Checked {
        columns,
        head_line: sheet.head_line,
        missing,
        odd,
        rows,
    })
}

/// What is strange about a column: no such field, or a unit that its field does not take.
fn odd_words(page: Page, column: &mut Column) -> Option<String> {
    let head = &column.head;
    let Some(known) = &column.known else {
        let names: Vec<String> = known(page).into_iter().map(|k| k.label).take(12).collect();
        return Some(format!(
            "Column {head:?} is not known, or is there twice. Known are: {}. Rename it, or leave it out.",
            names.join("; ")
        ));
    };
    match known.kind {
        Kind::Number(unit) if !column.unit.is_empty() && !is_of(page, unit, &column.unit) => {
            let why = format!(
                "Column {head:?} is in {}, which {} does not come in. Change the unit in the head.",
                column.unit, known.label
            );
            Some(why)
        }
        _ => None,
    }
}

/// A gauge may measure kelvins or newton metres: which, only its row tells.
fn is_of(page: Page, unit: Unit, word: &str) -> bool {
    unit.takes(word)
        || (page == Page::Gauges
            && [Unit::Kelvin, Unit::NewtonMetre]
                .iter()
                .any(|u| u.takes(word)))
}

/// The fields that have to be filled in: those that an empty form misses.
fn needed(page: Page, model: &Model, show: Show, now: Stamp) -> Vec<String> {
    let empty = new_form(page, show);
    let wrongs = if page == Page::People {
        without_pin(&empty, model)
    } else {
        read::wrongs(&empty, model, now)
    };
    // The code of a position is made from its parts.
    let mut paths: Vec<String> = wrongs.into_iter().map(|w| w.path).collect();
    paths.retain(|path| !(page == Page::Positions && path == "code"));
    paths
}

fn without_pin(form: &Form, model: &Model) -> Vec<super::super::form::Wrong> {
    let mut wrongs = people::wrongs(form, model);
    wrongs.retain(|wrong| !wrong.path.starts_with("pin"));
    wrongs
}

fn column_of(columns: &[Column], path: &str) -> Option<usize> {
    columns.iter().position(|column| {
        let known = column.known.as_ref();
        known.is_some_and(|known| known.paths.iter().any(|p| p == path))
    })
}

fn form_of(page: Page, columns: &[Column], line: &Line, show: Show) -> (Form, Vec<Bad>) {
    let mut form = new_form(page, show);
    let mut wrongs = Vec::new();
    if line.cells.len() > columns.len() {
        wrongs.push(Bad {
            column: None,
            name: "row".into(),
            why: format!(
                "it has {} cells and the heads are {}: put a text with a separator in it, such as a decimal comma, \
                 between quotation marks",
                line.cells.len(),
                columns.len()
            ),
        });
    }
    for (index, (column, cell)) in columns.iter().zip(&line.cells).enumerate() {
        let Some(known) = &column.known else { continue };
        match text_of(known.kind, column, cell, show) {
            Ok(text) => {
                for path in &known.paths {
                    form.set(path, text.clone());
                }
            }
            Err(why) => wrongs.push(Bad {
                column: Some(index),
                name: column.head.clone(),
                why,
            }),
        }
    }
    (form, wrongs)
}

/// A cell as the form has it.
fn text_of(kind: Kind, column: &Column, cell: &Cell, show: Show) -> Result<String, String> {
    let text = cell.text.trim();
    if cell.is_torn {
        return Err("a quotation mark opens here and closes nowhere in the row: add the other one, or take it out".into());
    }
    match kind {
        _ if text.is_empty() => Ok(String::new()),
        Kind::OneOf(words) => {
            let is = |word: &str| word.eq_ignore_ascii_case(text);
            let found = words.iter().find(|(value, word)| is(value) || is(word));
            let known: Vec<&str> = words.iter().map(|(_, word)| *word).collect();
            found
                .map(|(value, _)| (*value).to_owned())
                .ok_or_else(|| format!("{text:?} is none of these: {}", known.join(", ")))
        }
        Kind::Number(unit) if !column.unit.is_empty() => in_unit(text, unit, &column.unit, show),
        _ => Ok(text.to_owned()),
    }
}

/// A number in the unit of its head; one with another unit of its own is not guessed at.
fn in_unit(text: &str, unit: Unit, head: &str, show: Show) -> Result<String, String> {
    let own = text.trim_start_matches(|c: char| c.is_ascii_digit() || "+-,. \u{2212}".contains(c));
    if own.is_empty() {
        return Ok(format!("{text} {head}"));
    }
    if own.eq_ignore_ascii_case(head) {
        return Ok(text.to_owned());
    }
    let meant = unit.read(text, show).map(|value| unit.show(value, show));
    let hint = meant.map_or_else(
        |_| format!("write it in {head}"),
        |meant| {
            format!(
                "{text} is {meant} {}; write that, or leave the unit out of the head",
                unit.sign(show)
            )
        },
    );
    Err(format!("{own} stands in a column of {head}: {hint}"))
}

/// A code that stands in the table twice.
fn twice(
    page: Page,
    columns: &[Column],
    form: &Form,
    line: usize,
    seen: &mut HashMap<String, usize>,
    wrongs: &mut Vec<Bad>,
) {
    let path = if page == Page::People { "name" } else { "code" };
    let code = if page == Page::Positions {
        position_code(form)
    } else {
        form.text(path).trim().to_owned()
    };
    if code.is_empty() {
        return;
    }
    if let Some(before) = seen.get(&code.to_uppercase()) {
        let column = column_of(columns, path);
        let name = column.map_or_else(|| path.to_owned(), |at| columns[at].head.clone());
        let why = format!(
            "{code} stands in line {before} already: take one out, or give it another code"
        );
        wrongs.push(Bad { column, name, why });
    } else {
        seen.insert(code.to_uppercase(), line);
    }
}

/// The events of the rows that are right.
///
/// # Errors
/// What the logbook says, or a row that is not right any more.
pub fn events(
    rows: &[Form],
    model: &Model,
    now: Stamp,
    name: &dyn Fn(ThingNo) -> store::Result<Ref>,
) -> store::Result<Vec<NewEvent>> {
    let event = |form: &Form| match form.subject {
        Subject::New(Page::People) => people::registered_without_pin(form, now),
        _ => read::event(form, model, now, name).map_err(super::super::not_whole),
    };
    rows.iter().map(event).collect()
}

#[cfg(test)]
mod tests;
