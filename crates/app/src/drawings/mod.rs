//! From what the logbook knows to drawings: the same models for the window's pages and for the print.
//!
//! Every function is pure: a plain model of the store in, a model of `draw` out, all words and numbers in the
//! logbook's own unit and language. What answers to a pointer carries a key that its function describes.

mod axis;
mod bore_trend;
mod growth;
mod rings;
mod seat;
mod section;
mod stack;
mod stand;

pub use axis::Axis;
pub use bore_trend::{bore_trends, outline_of, outlines, whole_checks};
pub use growth::{clearance_word, growth, rows_name, rows_short, series};
pub use rings::{finding_map, ring_finding, ring_map, rows_of, with_outside};
pub use seat::{SeatSizes, bore_map};
pub use section::section;
pub use stack::{GapState, stack_map, stack_of};
pub use stand::{place_words, stand_scene, stand_view};

/// nm as a number in the unit of length that is shown.
pub(crate) fn in_unit(nm: i64, unit: store::entry::LengthUnit) -> f64 {
    nm as f64
        / match unit {
            store::entry::LengthUnit::Millimetre => 1e6,
            store::entry::LengthUnit::Inch => 25.4e6,
        }
}

/// nm as mm, which is what sizes to scale are drawn from.
pub(crate) fn mm(nm: i64) -> f64 {
    nm as f64 / 1e6
}

/// Seconds of mill time as hours.
pub(crate) fn hours(run_s: i64) -> f64 {
    run_s as f64 / 3600.0
}

#[cfg(test)]
mod tests;
