//! Grease of a bearing: free volume, fill, split per row, replenishment quantity.
//!
//! Source: SKF, Rolling bearings, 17000/1 EN (2018), pp. 112 to 113, as in `shared/reference/grease.toml`.

use std::{f64::consts::PI, ops::RangeInclusive};

mod method;
pub use method::METHOD;

use crate::{
    error::{CalcError, contradiction, positive, within},
    quantity::{
        Length, Mass, Volume, as_cubic_centimetres, as_grams, as_millimetres, cubic_centimetres,
        grams,
    },
};

/// Density of the steel of a bearing with a metal cage, g/cm3. Source: module.
pub const STEEL_G_PER_CM3: f64 = 7.8;
/// Density of an ordinary grease, g/cm3; fluorinated greases about 2. Source: module.
pub const GREASE_G_PER_CM3: f64 = 0.9;

/// Masses (g) of any bearing.
const MASS_RANGE_G: RangeInclusive<f64> = 0.0..=1e12;
/// Share of the free volume.
pub(crate) const FRACTION_RANGE: RangeInclusive<f64> = 0.0..=1.0;
/// Most rows that a bearing can have here.
pub(crate) const ROWS_MAX: u8 = 12;

/// A bearing and how full it shall be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GreaseFill {
    /// Bore, d.
    pub bore: Length,
    /// Outside diameter, D.
    pub outside: Length,
    /// Width, B; of tapered bearings the whole width.
    pub width: Length,
    /// Mass of the bearing with its spacers.
    pub mass: Mass,
    /// Rows of rolling elements.
    pub rows: u8,
    /// Share of the free volume that is filled.
    pub fill_fraction: f64,
}

/// How much grease.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Greased {
    /// Free volume of the bearing itself.
    pub free: Volume,
    /// Volume of the fill.
    pub fill: Volume,
    /// Mass of the fill.
    pub fill_mass: Mass,
    /// Volume for each row.
    pub per_row: Volume,
    /// Mass for each row.
    pub per_row_mass: Mass,
}

/// Free volume of a bearing and its fill with ordinary grease.
///
/// `V = π/4 B (D² − d²) · 10⁻³ − M / 7.8·10⁻³` (mm, kg, cm³), fill = fraction · V, mass 0.9 g/cm³, the same for
/// each row. The volume is that of the bearing itself; neck bore, seals and cover come on top. Range: D > d, 1 to 12
/// rows, fraction 0 to 1. Source: module.
///
/// # Errors
/// `OutOfRange`, `NotFinite`; `Contradiction` for an outside not above the bore or a mass that leaves no room.
pub fn grease(bearing: &GreaseFill) -> Result<Greased, CalcError> {
    positive("bore", bearing.bore)?;
    positive("outside", bearing.outside)?;
    positive("width", bearing.width)?;
    if bearing.outside <= bearing.bore {
        return Err(contradiction("outside", "not above the bore"));
    }
    let mass_g = within("mass", as_grams(bearing.mass), &MASS_RANGE_G, "g")?;
    within("fill_fraction", bearing.fill_fraction, &FRACTION_RANGE, "")?;
    let rows = f64::from(bearing.rows);
    within("rows", rows, &(1.0..=f64::from(ROWS_MAX)), "")?;
    let free_cm3 = as_cubic_centimetres(envelope(bearing)) - mass_g / STEEL_G_PER_CM3;
    if free_cm3 <= 0.0 {
        return Err(contradiction(
            "mass",
            "a solid ring of these sizes is lighter, no room for grease is left",
        ));
    }
    let fill_cm3 = bearing.fill_fraction * free_cm3;
    let fill_g = GREASE_G_PER_CM3 * fill_cm3;
    Ok(Greased {
        free: cubic_centimetres(free_cm3),
        fill: cubic_centimetres(fill_cm3),
        fill_mass: grams(fill_g),
        per_row: cubic_centimetres(fill_cm3 / rows),
        per_row_mass: grams(fill_g / rows),
    })
}

/// The space between bore and outside over the width.
fn envelope(bearing: &GreaseFill) -> Volume {
    let (d, outside, b) = (
        as_millimetres(bearing.bore),
        as_millimetres(bearing.outside),
        as_millimetres(bearing.width),
    );
    cubic_centimetres(PI / 4.0 * b * (outside - d) * (outside + d) / 1_000.0)
}

/// Where the grease comes in when replenished.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feed {
    /// From the side of the bearing.
    FromSide,
    /// Through a ring, between the rows.
    ThroughRing,
}

impl Feed {
    /// Grams per mm² of D · B. Source: module.
    pub fn factor(self) -> f64 {
        match self {
            Self::FromSide => 0.005,
            Self::ThroughRing => 0.002,
        }
    }
}

/// Quantity to replenish: `0.005 D B` from the side, `0.002 D B` through a ring (g, mm; of tapered bearings the whole
/// width). A rule for general machinery, not the first fill of a roll neck. Source: module.
///
/// # Errors
/// `OutOfRange` for a size of zero or less, `NotFinite`.
pub fn replenishment(outside: Length, width: Length, feed: Feed) -> Result<Mass, CalcError> {
    positive("outside", outside)?;
    positive("width", width)?;
    Ok(grams(
        feed.factor() * as_millimetres(outside) * as_millimetres(width),
    ))
}

#[cfg(test)]
mod tests;
