//! Prints: a plain model in, the bytes of a PDF out.
//!
//! The caller hands over texts that are ready to print ([`History`], [`Paper`], [`Blank`], [`Labels`] and their parts);
//! this crate owns layout only. It reads no file, no clock and no database, and equal input gives equal bytes. The
//! file is PDF/A-2a and PDF/UA-1, so that it opens in twenty years and can be read aloud; the fonts are inside.

mod endings;
mod marks;
mod model;
mod photos;
mod preview;
mod qr;
mod readable;
mod typeset;

pub use model::{
    Align, Blank, BlankField, BlankPart, BlankSection, Calculation, CalculationStep,
    CalculationTable, Cell, Column, Correction, Decision, Drawing, EventLine, GaugeLine, History,
    Imprint, KeyLine, Label, LabelGrid, Labelled, Labels, Mark, Marked, Noted, Paper, Part, Photo,
    Piece, SheetDetail, SheetPart, SignatureLine, Table, Tone, UtcMoment, VerdictLine,
};

pub use preview::{Picture, Preview};

use serde_json::{Value, json};
use typst_layout::PagedDocument;

/// Why a document could not be printed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ReportError {
    /// The print time is no date of the calendar.
    #[error("the print time {0:?} is not a date")]
    NoDate(UtcMoment),
    /// A drawing has no words for readers who do not see it.
    #[error("the drawing \"{title}\" has no description")]
    NoDescription {
        /// Title of the drawing.
        title: String,
    },
    /// A row has more cells than its table has columns, so something would be lost.
    #[error("row {row} of the table \"{table}\" has {cells} cells for {columns} columns")]
    LongRow {
        /// Title of the table.
        table: String,
        /// Number of the row, from 1.
        row: usize,
        /// Its cells.
        cells: usize,
        /// The columns of the table.
        columns: usize,
    },
    /// A correction names a sheet that is not in the document.
    #[error("correction {code} belongs to sheet {sheet}, which is not printed")]
    NoSheet {
        /// Code of the correction.
        code: String,
        /// The index it names.
        sheet: usize,
    },
    /// The anchor is longer than a QR code can hold.
    #[error("the anchor is too long for a QR code: {0} bytes")]
    LongAnchor(usize),
    /// The labels do not fit on their sheet.
    #[error("the labels do not fit: {0}")]
    Grid(String),
    /// The model cannot be written as data for the template.
    #[error("the report cannot be written as data: {0}")]
    Data(String),
    /// A PDF that is to be looked at cannot be read.
    #[error("the pages cannot be read: {0}")]
    Unreadable(String),
    /// The typesetter refused the document, for instance because a drawing is not valid SVG.
    #[error("the report cannot be set: {0}")]
    Typeset(String),
}

/// The history of one bearing as a PDF.
///
/// # Errors
/// See [`ReportError`]. No part of a history is left out silently: what cannot be printed is an error.
pub fn history_pdf(history: &History) -> Result<Vec<u8>, ReportError> {
    let ident = [&*history.serial, &history.anchor, &history.printed_at];
    let document = history_pages(history)?;
    written(&document, ident, &history.program, history.printed_utc)
}

fn history_pages(history: &History) -> Result<PagedDocument, ReportError> {
    check(history)?;
    set(
        concat!(
            include_str!("../templates/form.typ"),
            include_str!("../templates/parts.typ"),
            include_str!("../templates/history.typ")
        ),
        history,
        &history.anchor,
        |told, files| {
            let of_sheets = told["sheets"].as_array_mut().into_iter().flatten();
            for (sheet, told) in history.sheets.iter().zip(of_sheets) {
                photos::hand_over(&sheet.photos, &mut told["photos"], files);
            }
        },
    )
}

/// A document made of parts as a PDF.
///
/// # Errors
/// See [`ReportError`].
pub fn paper_pdf(paper: &Paper) -> Result<Vec<u8>, ReportError> {
    let imprint = &paper.imprint;
    let ident = [&*paper.title_line, &imprint.anchor, &imprint.printed_at];
    let document = paper_pages(paper)?;
    written(&document, ident, &imprint.program, imprint.printed_utc)
}

fn paper_pages(paper: &Paper) -> Result<PagedDocument, ReportError> {
    for part in &paper.parts {
        match part {
            Part::Table(table) => check_table(table)?,
            Part::Drawing(drawing) => check_drawing(drawing)?,
            Part::Sheet(sheet) => check_sheet(&sheet.sheet)?,
            Part::Facts { .. }
            | Part::Notes { .. }
            | Part::Events { .. }
            | Part::Gauges { .. }
            | Part::NewPage => {}
        }
    }
    set(
        concat!(
            include_str!("../templates/form.typ"),
            include_str!("../templates/parts.typ"),
            include_str!("../templates/paper.typ")
        ),
        paper,
        &paper.imprint.anchor,
        |told, files| {
            let of_parts = told["parts"].as_array_mut().into_iter().flatten();
            for (part, told) in paper.parts.iter().zip(of_parts) {
                if let Part::Sheet(part) = part {
                    photos::hand_over(&part.sheet.photos, &mut told["photos"], files);
                }
            }
        },
    )
}

/// A sheet to be filled by hand as a PDF.
///
/// # Errors
/// See [`ReportError`].
pub fn blank_pdf(blank: &Blank) -> Result<Vec<u8>, ReportError> {
    let imprint = &blank.imprint;
    let ident = [&*blank.title_line, "", &imprint.printed_at];
    let document = blank_pages(blank)?;
    written(&document, ident, &imprint.program, imprint.printed_utc)
}

fn blank_pages(blank: &Blank) -> Result<PagedDocument, ReportError> {
    for part in blank.sections.iter().flat_map(|section| &section.parts) {
        if let BlankPart::Drawing(drawing) = part {
            check_drawing(drawing)?;
        }
    }
    set(
        concat!(
            include_str!("../templates/form.typ"),
            include_str!("../templates/parts.typ"),
            include_str!("../templates/blank.typ")
        ),
        blank,
        "",
        |_, _| {},
    )
}

/// Labels as a PDF.
///
/// # Errors
/// [`ReportError::Grid`] where the labels do not fit on the sheet; see [`ReportError`] for the others.
pub fn labels_pdf(labels: &Labels) -> Result<Vec<u8>, ReportError> {
    let document = labels_pages(labels)?;
    let first = labels.labels.first().map_or("", |label| &label.mark);
    let ident = [&*labels.title_line, first, ""];
    written(&document, ident, &labels.program, labels.printed_utc)
}

fn labels_pages(labels: &Labels) -> Result<PagedDocument, ReportError> {
    let mut told = readable_value(labels)?;
    let grid = labels.grid.complete().map_err(ReportError::Grid)?;
    told["grid"] = serde_json::to_value(grid).map_err(|e| ReportError::Data(e.to_string()))?;
    // The code is made of what is scanned, not of what the font can show of it.
    for (shown, label) in told["labels"]
        .as_array_mut()
        .into_iter()
        .flatten()
        .zip(&labels.labels)
    {
        shown["qr"] = Value::from(qr::svg(&label.mark, qr::LIGHT_ZONE)?);
    }
    let data = json!({ "document": told, "marks": marks::all(), "colours": marks::colours() });
    let template = concat!(
        include_str!("../templates/form.typ"),
        include_str!("../templates/labels.typ")
    );
    typeset::pages(template, data.to_string())
}

/// A calculation of the bench as a PDF.
///
/// # Errors
/// See [`ReportError`].
pub fn calculation_pdf(calculation: &Calculation) -> Result<Vec<u8>, ReportError> {
    let c = calculation;
    let ident = [&*c.title, &c.answer, &c.printed_at];
    let document = calculation_pages(c)?;
    written(&document, ident, &c.program, c.printed_utc)
}

fn calculation_pages(calculation: &Calculation) -> Result<PagedDocument, ReportError> {
    if let Some(drawing) = &calculation.drawing
        && drawing.alt.trim().is_empty()
    {
        return Err(ReportError::NoDescription {
            title: calculation.title.clone(),
        });
    }
    set(
        concat!(
            include_str!("../templates/form.typ"),
            include_str!("../templates/calculation.typ")
        ),
        calculation,
        "",
        |_, _| {},
    )
}

/// The code of an anchor; nothing where there is none.
fn anchor_code(anchor: &str) -> Result<Value, ReportError> {
    if anchor.is_empty() {
        Ok(Value::Null)
    } else {
        Ok(Value::from(qr::svg(anchor, 0)?))
    }
}

/// The model as data of a template, every text readable.
fn readable_value(model: &impl serde::Serialize) -> Result<Value, ReportError> {
    let mut told =
        serde_json::to_value(model).map_err(|error| ReportError::Data(error.to_string()))?;
    readable::every_text(&mut told);
    Ok(told)
}

/// Sets a model with its template; the anchor becomes a code, `pictures` hands over what is no text.
fn set(
    template: &str,
    model: &impl serde::Serialize,
    anchor: &str,
    pictures: impl FnOnce(&mut Value, &mut typeset::Pictures),
) -> Result<PagedDocument, ReportError> {
    let mut told = readable_value(model)?;
    let mut files = typeset::Pictures::new();
    pictures(&mut told, &mut files);
    let data = json!({
        "document": told,
        "marks": marks::all(),
        "colours": marks::colours(),
        "qr": anchor_code(anchor)?,
    });
    typeset::pages_with(template, data.to_string(), files)
}

fn written(
    document: &PagedDocument,
    ident: [&str; 3],
    program: &str,
    moment: UtcMoment,
) -> Result<Vec<u8>, ReportError> {
    typeset::to_pdf(
        document,
        &typeset::Properties {
            ident: ident.join(" "),
            creator: readable::text(program).into_owned(),
            moment,
        },
    )
}

/// Finds what would be lost or refused on paper, and says where it is.
fn check(history: &History) -> Result<(), ReportError> {
    let drawings = history.ring_map_svg.iter().chain(&history.growth_svg);
    drawings.into_iter().try_for_each(check_drawing)?;
    history.sheets.iter().try_for_each(check_sheet)?;
    for correction in &history.corrections {
        if let Some(sheet) = correction.sheet
            && sheet >= history.sheets.len()
        {
            return Err(ReportError::NoSheet {
                code: correction.code.clone(),
                sheet,
            });
        }
    }
    Ok(())
}

fn check_sheet(sheet: &SheetDetail) -> Result<(), ReportError> {
    sheet.drawings.iter().try_for_each(check_drawing)?;
    sheet.tables.iter().try_for_each(check_table)
}

fn check_drawing(drawing: &Drawing) -> Result<(), ReportError> {
    if drawing.alt.trim().is_empty() {
        return Err(ReportError::NoDescription {
            title: drawing.title.clone(),
        });
    }
    Ok(())
}

fn check_table(table: &Table) -> Result<(), ReportError> {
    let columns = table.columns.len();
    let mut rows = (1..).zip(&table.rows);
    match rows.find(|(_, row)| row.len() > columns) {
        None => Ok(()),
        Some((row, cells)) => Err(ReportError::LongRow {
            table: table.title.clone(),
            row,
            cells: cells.len(),
            columns,
        }),
    }
}

#[cfg(test)]
mod tests;
