//! Prints: a plain model in, the bytes of a PDF out.
//!
//! The caller hands over texts that are ready to print ([`History`] and its parts); this crate owns layout only. It
//! reads no file, no clock and no database, and equal input gives equal bytes. The file is PDF/A-2a and PDF/UA-1, so
//! that it opens in twenty years and can be read aloud; the fonts are inside.

mod marks;
mod model;
mod qr;
mod readable;
mod typeset;

pub use model::{
    Align, Calculation, CalculationStep, CalculationTable, Cell, Column, Correction, Decision,
    Drawing, EventLine, GaugeLine, History, KeyLine, Labelled, Mark, Marked, Piece, SheetDetail,
    SignatureLine, Table, Tone, UtcMoment, VerdictLine,
};

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
    /// The model cannot be written as data for the template.
    #[error("the report cannot be written as data: {0}")]
    Data(String),
    /// The typesetter refused the document, for instance because a drawing is not valid SVG.
    #[error("the report cannot be set: {0}")]
    Typeset(String),
}

/// The history of one bearing as a PDF.
///
/// # Errors
/// See [`ReportError`]. No part of a history is left out silently: what cannot be printed is an error.
pub fn history_pdf(history: &History) -> Result<Vec<u8>, ReportError> {
    let document = history_pages(history)?;
    typeset::to_pdf(
        &document,
        &typeset::Properties {
            ident: format!(
                "{} {} {}",
                history.serial, history.anchor, history.printed_at
            ),
            creator: readable::text(&history.program).into_owned(),
            moment: history.printed_utc,
        },
    )
}

fn history_pages(history: &History) -> Result<PagedDocument, ReportError> {
    check(history)?;
    let mut told =
        serde_json::to_value(history).map_err(|error| ReportError::Data(error.to_string()))?;
    readable::every_text(&mut told);
    let data = json!({
        "history": told,
        "marks": marks::all(),
        "colours": marks::colours(),
        "qr": if history.anchor.is_empty() { Value::Null } else { Value::from(qr::svg(&history.anchor)?) },
    });
    let template = concat!(
        include_str!("../templates/form.typ"),
        include_str!("../templates/history.typ")
    );
    typeset::pages(template, data.to_string())
}

/// A calculation of the bench as a PDF.
///
/// # Errors
/// See [`ReportError`].
pub fn calculation_pdf(calculation: &Calculation) -> Result<Vec<u8>, ReportError> {
    let document = calculation_pages(calculation)?;
    typeset::to_pdf(
        &document,
        &typeset::Properties {
            ident: format!(
                "{} {} {}",
                calculation.title, calculation.answer, calculation.printed_at
            ),
            creator: readable::text(&calculation.program).into_owned(),
            moment: calculation.printed_utc,
        },
    )
}

fn calculation_pages(calculation: &Calculation) -> Result<PagedDocument, ReportError> {
    if let Some(drawing) = &calculation.drawing
        && drawing.alt.trim().is_empty()
    {
        return Err(ReportError::NoDescription {
            title: calculation.title.clone(),
        });
    }
    let mut told =
        serde_json::to_value(calculation).map_err(|error| ReportError::Data(error.to_string()))?;
    readable::every_text(&mut told);
    let data = json!({ "calculation": told, "marks": marks::all(), "colours": marks::colours() });
    let template = concat!(
        include_str!("../templates/form.typ"),
        include_str!("../templates/calculation.typ")
    );
    typeset::pages(template, data.to_string())
}

/// Finds what would be lost or refused on paper, and says where it is.
fn check(history: &History) -> Result<(), ReportError> {
    let of_sheets = history.sheets.iter().flat_map(|sheet| &sheet.drawings);
    for drawing in history
        .ring_map_svg
        .iter()
        .chain(&history.growth_svg)
        .chain(of_sheets)
    {
        if drawing.alt.trim().is_empty() {
            return Err(ReportError::NoDescription {
                title: drawing.title.clone(),
            });
        }
    }
    for table in history.sheets.iter().flat_map(|sheet| &sheet.tables) {
        let columns = table.columns.len();
        if let Some((at, row)) = table
            .rows
            .iter()
            .enumerate()
            .find(|(_, row)| row.len() > columns)
        {
            return Err(ReportError::LongRow {
                table: table.title.clone(),
                row: at + 1,
                cells: row.len(),
                columns,
            });
        }
    }
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

#[cfg(test)]
mod tests;
