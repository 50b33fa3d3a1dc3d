//! Radial clearance read with feelers: two-row spherical and four-row cylindrical roller bearings, large thin rings.
//!
//! All in integer nanometres inside. Rules: makers' measuring instructions as the trade tells them, common practice
//! here, no source in the project's tables.

mod method;

pub use method::METHOD;

use crate::{
    conformity::{Conformity, Limits, Verdict, conformity},
    error::{CalcError, missing, positive},
    quantity::{Length, nanometres, to_nanometres},
};

/// What was read on one row.
#[derive(Debug, Clone, PartialEq)]
pub enum RowReading {
    /// Leaves over three consecutive rollers, wherever round the row they were tried.
    Leaves {
        /// Leaves that passed.
        passing: Vec<Length>,
        /// Leaves that were refused.
        refused: Vec<Length>,
    },
    /// A large thin ring that sags: the clearance at the open place and 90 degrees to either side of it.
    ThinRing {
        /// At the open place (c).
        open: Length,
        /// 90 degrees to either side (a and b).
        sides: [Length; 2],
    },
}

/// Clearance of one row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RowClearance {
    /// Largest value: the thickest leaf that passed; none for a thin ring.
    pub largest: Option<Length>,
    /// Smallest value: the thinnest leaf that was refused; none for a thin ring.
    pub smallest: Option<Length>,
    /// Clearance of the row, to the nanometre.
    pub clearance: Length,
}

/// Clearance of one row from its readings.
///
/// Leaves: mean of the thickest leaf that passes and the thinnest that is refused. The two may lie at different places:
/// the thickest that passes finds the loosest place, the thinnest that is refused the tightest.
/// Thin ring: `0.5 (a + b + c)`. Common practice, no source.
///
/// # Errors
/// `Missing` for no leaf of a kind, `OutOfRange` or `NotFinite` for one that is no length above 0; a clearance of a thin
/// ring may be zero.
pub fn row_clearance(reading: &RowReading) -> Result<RowClearance, CalcError> {
    match reading {
        RowReading::Leaves { passing, refused } => {
            let passing = checked("passing", passing)?;
            let refused = checked("refused", refused)?;
            let largest = passing.into_iter().max().unwrap_or_default();
            let smallest = refused.into_iter().min().unwrap_or_default();
            Ok(RowClearance {
                largest: Some(nanometres(largest)),
                smallest: Some(nanometres(smallest)),
                clearance: half(largest + smallest),
            })
        }
        RowReading::ThinRing { open, sides } => {
            let nm =
                |input: &str, length| crate::error::not_negative(input, length).map(to_nanometres);
            let sum = nm("open", *open)? + nm("sides[0]", sides[0])? + nm("sides[1]", sides[1])?;
            Ok(RowClearance {
                largest: None,
                smallest: None,
                clearance: half(sum),
            })
        }
    }
}

/// Half a sum of positive nanometres, rounded half away from zero.
fn half(sum: i64) -> Length {
    nanometres((sum + 1) / 2)
}

fn checked(input: &str, leaves: &[Length]) -> Result<Vec<i64>, CalcError> {
    if leaves.is_empty() {
        return Err(missing(input, "at least one leaf"));
    }
    let each = |(place, &leaf)| positive(&format!("{input}[{place}]"), leaf).map(to_nanometres);
    leaves.iter().enumerate().map(each).collect()
}

/// Clearance of a bearing by its rows, and what the limits say.
#[derive(Debug, Clone, PartialEq)]
pub struct Feeler {
    /// Each row with its conformity.
    pub rows: Vec<(RowClearance, Conformity)>,
    /// Mean of the rows: the value of the bearing.
    pub clearance: Length,
    /// Conformity of the mean.
    pub of_mean: Conformity,
    /// The worst of the rows and the mean.
    pub verdict: Verdict,
}

/// Clearance of a bearing: every row within the limits, the mean of the rows is the value of the bearing.
///
/// Common practice, no source; conformity: see [`conformity`].
///
/// # Errors
/// Those of [`row_clearance`], named `rows[1].passing[0]`, and of [`conformity`]; `Missing` for no row.
pub fn feeler(
    rows: &[RowReading],
    limits: &Limits,
    expanded_uncertainty: Option<Length>,
) -> Result<Feeler, CalcError> {
    if rows.is_empty() {
        return Err(missing("rows", "at least one row"));
    }
    let mut judged = Vec::new();
    let (mut sum, mut count) = (0, 0);
    for (place, reading) in rows.iter().enumerate() {
        let row = row_clearance(reading).map_err(|error| error.at(&format!("rows[{place}]")))?;
        sum += to_nanometres(row.clearance);
        count += 1;
        judged.push((
            row,
            conformity(row.clearance, limits, expanded_uncertainty)?,
        ));
    }
    let clearance = nanometres((2 * sum + count) / (2 * count));
    let of_mean = conformity(clearance, limits, expanded_uncertainty)?;
    let of_rows = judged.iter().map(|(_, conformity)| conformity.verdict);
    let verdict = Verdict::worst(of_rows.chain([of_mean.verdict]));
    Ok(Feeler {
        rows: judged,
        clearance,
        of_mean,
        verdict,
    })
}

#[cfg(test)]
mod tests;
