//! The teardown sheet of a bearing of any family: a map from field path to what was typed, what that means, and
//! how it becomes a signed event.
//!
//! - [`field`] names every field: path, label, kind, section, and the order of measuring.
//! - [`Facts`] is what the logbook knows about the things named on the sheet.
//! - [`assess`] is a pure function of both: values, results, verdicts, recommendation, what is missing.
//! - [`sign`] turns an assessment into the signed payload, [`amend`] what was typed wrongly into an amendment of it.
//!
//! Window, command line and demo all go this way, so they cannot disagree.

mod amend;
mod amend_seat;
mod apart;
mod assess;
mod clearance;
mod closing;
mod doubt;
mod engineer;
mod evidence;
mod facts;
mod family;
pub mod field;
pub mod findings;
mod foreseen;
mod questions;
mod radial;
mod ring;
mod seat_alone;
mod seats;
mod sections;
mod shop;
mod sign;
mod signs;
mod sureness;
pub(crate) mod taper;
#[cfg(test)]
mod tests;
mod unsaid;
mod worn;

pub use amend::{amend, is_fixed, place_words, value_words};
pub(crate) use amend_seat::amend_seat;
pub(crate) use apart::{REWORK_LEVEL, result_name};
pub use apart::{at_upper, deciding_row, quantity_of, upper_word, whole};
pub(crate) use assess::Values;
pub use assess::{Assessment, FieldState, Problem, SectionState, assess};
pub(crate) use clearance::SPACERS_UNLIKE_NM;
pub use clearance::{AfterView, ClearanceView, How, PairView, ShimView, method_name};
pub use closing::{ClosingView, Target, asks_pack};
pub(crate) use closing::{
    NEAR_PACK_NM, TORQUE_SHARE, grease_row as grease_wanted, pack as pack_for,
    torque as torque_wanted,
};
pub(crate) use closing::{is_approved, not_approved};
pub(crate) use doubt::state as field_state;
pub(crate) use evidence::tested_or_why;
pub use evidence::wanted_as_found;
pub use facts::thing_by_code;
pub use facts::{
    BearingFacts, ChockFacts, Facts, GaugeFacts, LastClearance, LastSeat, ShopFacts, StayFacts,
    TypeFacts,
};
pub(crate) use facts::{found_by_pair, gauges_at, gauges_known_at, outcome_by_pair};
pub use family::Family;
pub use field::{FieldKind, Section};
pub use foreseen::{Foreseen, Outlook};
pub(crate) use questions::{off_standard, put as put_questions, question, seat_jumped};
pub(crate) use radial::clearance_of_rows;
pub use radial::{RadialView, RowView, gauge_measures, gauge_paths, gauges_for};
pub use ring::{RingView, size as ring_size};
pub use seat_alone::{SeatAlone, judged_by, planes_of_chock, seat_alone};
pub use seats::{EXPANSION_PER_K, SeatCheckView, SeatView};
pub(crate) use seats::{outcomes as seat_outcomes, view as seat_view};
pub use sign::{SignTeardown, SignedSheet, gauge_field, returned_body, seat_body, sign};
pub(crate) use sureness::LimitOf;
pub use sureness::Sureness;
pub use taper::{TaperLine, TaperView};
pub use unsaid::{barred, gauges_unnamed};
pub use worn::Worn;
