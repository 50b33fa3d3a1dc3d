//! Pure functions of quantities for the roll shop: fits, seats, stacks, conformity, growth, decisions.
//!
//! No input or output, no clock, no globals but parsed published tables. Public edges speak quantities
//! ([`mod@quantity`]); each method of the trade states formula, range and source, and is described once for
//! window, command line and handbook in [`method`].

#[macro_use]
extern crate uom;

pub mod conformity;
pub mod disposition;
pub mod error;
pub mod feeler;
pub mod fit;
pub mod growth;
pub mod iso286;
pub mod life;
pub mod load_zone;
pub mod method;
pub mod quantity;
pub mod radial;
pub mod roundness;
pub mod seat;
pub mod stack;
pub mod uncertainty;
mod verdict;

pub use error::CalcError;
