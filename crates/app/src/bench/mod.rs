//! A calculation as a person uses it: what is typed, what it means, and the result in words.
//!
//! Everything comes from the description of the method ([`calc::method::Method`]), so that a new method needs no line
//! here. No window is known: the page, the copy and the print share it.
//!
//! - `unit`: from the units of a method to those of the reader and back.
//! - `fields`: the fields that a method asks for, as they stand on the page.
//! - `form`: what is typed, and the input of the method that it gives.
//! - `answer`: result and derivation in words; `headline` picks the one line to show large.
//! - `picture`: the drawing, where one helps; `plot` those of points with their line.
//! - `from_bearing`: values of a bearing, to play with.

mod answer;
mod fields;
mod form;
mod from_bearing;
mod headline;
mod picture;
mod plot;
mod unit;

#[cfg(test)]
mod tests;

pub use answer::{Answer, Line, StepLine, step_line, told, typeset};
pub use fields::{
    Block, Cell, ROW_PAIR, blocks, cells, is_class, lower_of, one_of, plural, singular,
};
pub use form::{Form, Given, Problems, given};
pub use from_bearing::from_bearing;
pub use picture::{Picture, picture};
pub use unit::Unit;

/// What a text names, without what explains it further.
fn name_of(meaning: &str) -> &str {
    let end = meaning.find([';', ',', ':']).unwrap_or(meaning.len());
    meaning[..end].trim()
}
