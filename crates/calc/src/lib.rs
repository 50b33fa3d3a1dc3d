//! Pure functions of quantities for the roll shop: fits, seats, stacks, conformity, growth, decisions.
//!
//! No input or output, no clock, no globals but parsed published tables. Public edges speak quantities
//! ([`mod@quantity`]); each method of the trade states formula, range and source, and is described once for
//! window, command line and handbook in [`method`].

#[macro_use]
extern crate uom;

pub mod bolt;
pub mod clearance_group;
pub mod clearance_loss;
pub mod common_factor;
pub mod conformity;
pub mod crossing;
pub mod disposition;
pub mod error;
pub mod feeler;
pub mod finding;
pub mod fit;
pub mod fit_found;
pub mod found_out;
pub mod grease;
pub mod grease_interval;
pub mod growth;
pub mod heating;
pub mod interference;
pub mod iso286;
pub mod life;
mod linear;
pub mod linear_fit;
pub mod load_zone;
pub mod method;
pub mod mixed;
pub mod mounted_end_play;
pub mod pattern;
pub mod press_fit;
pub mod push_up;
pub mod quantity;
pub mod radial;
pub mod reference_temperature;
pub mod ring;
pub mod roundness;
pub mod seat;
pub mod size_table;
pub mod stack;
pub mod theil_sen;
pub mod uncertainty;
mod verdict;
pub mod wear;
pub mod weibull;

#[cfg(test)]
mod test_table;

pub use error::CalcError;
