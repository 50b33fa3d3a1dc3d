//! End play of tapered rows once mounted: what tight rings take from the end play of the bench.
//!
//! Source: Timken Engineering Manual, pp. 79 to 81, as in `shared/reference/interference_rules.toml`
//! (`timken_trb_fit_effect`). Page 81 prints D/Do for the outer ring; Do/D of page 79 is the one that Lamé gives, and
//! the one used here.

use std::ops::RangeInclusive;

mod method;
pub use method::METHOD;

use crate::{
    clearance_loss::{inner_share, outer_share},
    error::{CalcError, finite, within},
    quantity::{Length, as_micrometres, micrometres},
};

/// K of a row is 0.39 times the cotangent of half its included outer ring angle. Source: module.
const K_BASE: f64 = 0.39;
/// K factors of tapered rows: 0.2 of a very steep one to 5 of a very flat one.
pub(crate) const K_RANGE: RangeInclusive<f64> = 0.2..=5.0;
/// Rows that share one end play.
pub(crate) const ROWS_RANGE: RangeInclusive<f64> = 1.0..=2.0;

/// A tight ring of a tapered row: its seat, its race, and what is behind the seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tight {
    /// An inner ring on its neck.
    Inner {
        /// Bore, d.
        bore: Length,
        /// Mean race diameter, do.
        race: Length,
        /// Bore of the neck; zero = solid.
        shaft_bore: Length,
    },
    /// An outer ring in its chock.
    Outer {
        /// Outside diameter, D.
        outside: Length,
        /// Mean race diameter, Do.
        race: Length,
        /// Outside of the housing; none = thick.
        housing_outside: Option<Length>,
    },
}

/// What a tight ring takes from the end play of its row.
///
/// `ΔS = 0.5 (K/0.39) λ δ`, λ the share of the interference that reaches the race, see
/// [`inner_share`] and [`outer_share`]; an interference of zero or less takes nothing. Source: module.
///
/// # Errors
/// `OutOfRange`, `NotFinite`, `Contradiction` as of the shares.
pub fn end_play_loss(
    k_factor: f64,
    ring: &Tight,
    interference: Length,
) -> Result<Length, CalcError> {
    within("k_factor", k_factor, &K_RANGE, "")?;
    let (name, share) = match *ring {
        Tight::Inner {
            bore,
            race,
            shaft_bore,
        } => ("interference_inner", inner_share(bore, race, shaft_bore)?),
        Tight::Outer {
            outside,
            race,
            housing_outside,
        } => (
            "interference_outer",
            outer_share(outside, race, housing_outside)?,
        ),
    };
    let interference_um = as_micrometres(finite(name, interference)?).max(0.0);
    Ok(micrometres(
        0.5 * k_factor / K_BASE * share * interference_um,
    ))
}

#[cfg(test)]
mod tests;
