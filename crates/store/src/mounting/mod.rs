//! The mounting sheet: the teardown sheet's other half, for putting a bearing to work.
//!
//! - [`field`] names every field and its place in the order of the work; the family of the bearing decides which there
//!   are.
//! - [`MountFacts`] is what the logbook knows, the place rules among it.
//! - [`assess`] is a pure function of both: `fit` for the neck, the ring and heat, `clearance` for the plays, `sections`
//!   for what stands against signing, `engineer` for what the engineer signs for, `doubt` for what cannot be,
//!   `questions` for what needs more than one field.
//! - [`sign`] turns an assessment into the signed payload, `amend` what was typed wrongly into an amendment of it.

mod amend;
mod assess;
mod check;
mod clearance;
mod cover;
mod doubt;
mod engineer;
mod facts;
pub mod field;
mod fit;
mod questions;
mod sections;
mod sign;
mod taper;
#[cfg(test)]
mod tests;

pub(crate) use amend::amend;
pub use assess::{MountAssessment, assess};
pub use check::{Check, Derived};
pub(crate) use doubt::doubt;
pub use facts::MountFacts;
pub use field::{Family, Section};
pub use sections::OF_THE_RING;
pub use sign::{SignMounting, SignedMounting, sign};
