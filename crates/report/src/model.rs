//! What the documents say, in words ready to print: the history of one bearing, a calculation, and beside them the
//! documents made of parts, labels and blank sheets.
//!
//! Every value is a text that the caller has formatted: units, dates, decimal sign and rounding are decided where the
//! numbers are known. An empty text or list means "nothing to say" and takes no room on paper, unless noted.
//! User text goes in as it is: nothing here is read as markup.

mod blank;
mod calculation;
mod history;
mod labels;
mod paper;
mod sheet;
mod table;
mod words;

pub use blank::{Blank, BlankField, BlankPart, BlankSection};
pub use calculation::{Calculation, CalculationStep, CalculationTable};
pub use history::{EventLine, History};
pub use labels::{Label, LabelGrid, Labels};
pub use paper::{Imprint, Paper, Part, SheetPart};
pub use sheet::{Correction, Decision, GaugeLine, Photo, SheetDetail, SignatureLine, VerdictLine};
pub use table::{Align, Cell, Column, Table};
pub use words::{Drawing, KeyLine, Labelled, Mark, Marked, Noted, Piece, Tone, UtcMoment};
