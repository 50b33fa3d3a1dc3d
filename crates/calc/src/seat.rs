//! Seats (chock bore, roll neck): correction to 20 °C, geometry of the grid, verdicts.
//!
//! A grid is a list of axial planes, each a list of two-point sizes in the same directions. A two-point
//! gauge cannot see a form with three lobes (geometry).

pub(crate) mod input;
mod judge;
mod method;

pub use judge::{SeatCheck, SeatCriterion, SeatLimits, judge};
pub use method::METHOD;

use crate::{
    conformity::{Conformity, Limits, Verdict, conformity},
    error::{CalcError, missing, positive, within},
    quantity::{
        Length, TemperatureCoefficient, ThermodynamicTemperature, as_celsius, as_micrometres,
        as_per_kelvin, celsius, micrometres, per_kelvin,
    },
};

/// Reference temperature of geometrical specification, °C. Source: ISO 1:2022 (memory).
pub const REFERENCE_CELSIUS: f64 = 20.0;
/// Temperatures at which a size is measured in a shop, °C; beyond this something else was typed.
pub(crate) const TEMPERATURE_RANGE_C: std::ops::RangeInclusive<f64> = -50.0..=200.0;
/// Expansion of any shop material, 1/K; `12.5` typed for `12.5e-6` lies far outside.
pub(crate) const EXPANSION_RANGE_PER_K: std::ops::RangeInclusive<f64> = 0.0..=1e-4;

/// What a reading needs to be stated at 20 °C.
///
/// For a comparator the gauge values are those of its setting ring or standard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Correction {
    /// Temperature of the part.
    pub part: ThermodynamicTemperature,
    /// Temperature of the gauge.
    pub gauge: ThermodynamicTemperature,
    /// Expansion of the part.
    pub expansion_part: TemperatureCoefficient,
    /// Expansion of the gauge.
    pub expansion_gauge: TemperatureCoefficient,
}

impl Correction {
    /// Everything at 20 °C: nothing to correct.
    pub fn none() -> Self {
        let (reference, steel) = (celsius(REFERENCE_CELSIUS), per_kelvin(11.5e-6));
        Self {
            part: reference,
            gauge: reference,
            expansion_part: steel,
            expansion_gauge: steel,
        }
    }

    /// The size at 20 °C of a part that read `reading`.
    ///
    /// `L₂₀ = L · (1 + α_gauge (T_gauge − 20)) / (1 + α_part (T_part − 20))`, the exact form; the gauge is
    /// longer than its marks when warm, the part larger than at 20 °C.
    /// Range: −50 to 200 °C, 0 to 1e-4 per kelvin. Source: ISO 1:2022 (reference temperature, memory);
    /// linear expansion as in `shared/reference/thermal_expansion.toml`.
    ///
    /// # Errors
    /// `OutOfRange` or `NotFinite` for a temperature, an expansion or the reading.
    pub fn at_20_c(&self, reading: Length) -> Result<Length, CalcError> {
        positive("readings", reading)?;
        Ok(micrometres(as_micrometres(reading) * self.factor()?))
    }

    /// What a part of this size at 20 °C reads: the inverse of [`Correction::at_20_c`], for setting a gauge or for
    /// turning a seat that is still warm.
    ///
    /// `L = L₂₀ · (1 + α_part (T_part − 20)) / (1 + α_gauge (T_gauge − 20))`; range and source as there.
    ///
    /// # Errors
    /// `OutOfRange` or `NotFinite` for a temperature, an expansion or the size.
    pub fn reading_of(&self, size: Length) -> Result<Length, CalcError> {
        positive("size", size)?;
        Ok(micrometres(as_micrometres(size) / self.factor()?))
    }

    /// What a reading is multiplied by.
    pub(crate) fn factor(&self) -> Result<f64, CalcError> {
        let growth = |part: &str, temperature, expansion| {
            let t = within(
                &format!("{part}_temp"),
                as_celsius(temperature),
                &TEMPERATURE_RANGE_C,
                "°C",
            )?;
            let alpha = within(
                &format!("expansion_{part}"),
                as_per_kelvin(expansion),
                &EXPANSION_RANGE_PER_K,
                "1/K",
            )?;
            Ok::<_, CalcError>(1.0 + alpha * (t - REFERENCE_CELSIUS))
        };
        let gauge = growth("gauge", self.gauge, self.expansion_gauge)?;
        let part = growth("part", self.part, self.expansion_part)?;
        Ok(gauge / part)
    }
}

/// Form and size of a seat from its grid of two-point sizes.
#[derive(Debug, Clone, PartialEq)]
pub struct Geometry {
    /// Smallest two-point size.
    pub min: Length,
    /// Largest two-point size.
    pub max: Length,
    /// Mean of all sizes.
    pub mean: Length,
    /// Mean of each plane.
    pub plane_means: Vec<Length>,
    /// Ovality of each plane: largest minus smallest size in it.
    pub ovality: Vec<Length>,
    /// Taper: |mean of the first plane − mean of the last plane|; 0 for a single plane.
    pub taper: Length,
}

/// Geometry of a grid of sizes at one temperature.
///
/// Size: two-point size (ISO 14405-1, memory). Ovality here is diametral, the difference of the largest and
/// smallest size of one plane; taper the difference of the mean sizes of first and last plane (both: common
/// practice, no source for the name). Range: sizes above 0, any number of planes and directions.
///
/// # Errors
/// `Missing` for no plane or an empty plane, `Unequal` for planes of unequal length, `OutOfRange` or
/// `NotFinite` for a size.
pub fn geometry(sizes: &[Vec<Length>]) -> Result<Geometry, CalcError> {
    let directions = sizes.first().map(Vec::len).unwrap_or_default();
    for (plane, row) in sizes.iter().enumerate() {
        let input = format!("readings[{plane}]");
        if row.len() != directions {
            return Err(CalcError::Unequal {
                input,
                expected: directions,
                found: row.len(),
            });
        }
        for (direction, &size) in row.iter().enumerate() {
            positive(&format!("{input}[{direction}]"), size)?;
        }
    }
    if directions == 0 {
        return Err(missing("readings", "at least one plane with one size"));
    }
    let sizes_um: Vec<Vec<f64>> = sizes
        .iter()
        .map(|row| row.iter().map(|&l| as_micrometres(l)).collect())
        .collect();
    let all_um: Vec<f64> = sizes_um.concat();
    let means_um: Vec<f64> = sizes_um.iter().map(|row| mean(row)).collect();
    let taper_um = (means_um[0] - means_um[means_um.len() - 1]).abs();
    Ok(Geometry {
        min: micrometres(smallest(&all_um)),
        max: micrometres(largest(&all_um)),
        mean: micrometres(mean(&all_um)),
        plane_means: means_um.into_iter().map(micrometres).collect(),
        ovality: sizes_um
            .iter()
            .map(|row| micrometres(largest(row) - smallest(row)))
            .collect(),
        taper: micrometres(taper_um),
    })
}

/// Mean, taken from the first value so that small differences of large sizes keep their digits.
fn mean(values: &[f64]) -> f64 {
    values[0] + values.iter().map(|value| value - values[0]).sum::<f64>() / values.len() as f64
}

fn smallest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::INFINITY, f64::min)
}

fn largest(values: &[f64]) -> f64 {
    values.iter().copied().fold(f64::NEG_INFINITY, f64::max)
}

/// A grid as read, with what is needed to judge it.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatReadings {
    /// Readings per plane, the same directions in each.
    pub readings: Vec<Vec<Length>>,
    /// Temperatures and expansions.
    pub correction: Correction,
    /// Limits of size.
    pub limits: Limits,
    /// Expanded uncertainty of a size (k = 2); `None` if unknown.
    pub expanded_uncertainty: Option<Length>,
}

/// A seat at 20 °C and what its size limits say.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// Every size at 20 °C, as the readings are arranged.
    pub corrected: Vec<Vec<Length>>,
    /// Geometry of the corrected sizes.
    pub geometry: Geometry,
    /// Conformity of the smallest size.
    pub at_min: Conformity,
    /// Conformity of the largest size.
    pub at_max: Conformity,
    /// The worse of both.
    pub verdict: Verdict,
}

/// Corrects a grid to 20 °C and judges its extreme two-point sizes.
///
/// The verdict is the worse of conformity(smallest) and conformity(largest) with the uncertainty as given;
/// see [`Correction::at_20_c`], [`geometry`] and [`conformity`] for formulas and sources.
///
/// # Errors
/// Those of the three.
pub fn seat(input: &SeatReadings) -> Result<Seat, CalcError> {
    geometry(&input.readings)?; // names the reading that is wrong before the correction moves it
    let factor = input.correction.factor()?;
    let corrected: Vec<Vec<Length>> = input
        .readings
        .iter()
        .map(|row| {
            row.iter()
                .map(|&reading| micrometres(as_micrometres(reading) * factor))
                .collect()
        })
        .collect();
    let geometry = geometry(&corrected)?;
    let at_min = conformity(geometry.min, &input.limits, input.expanded_uncertainty)?;
    let at_max = conformity(geometry.max, &input.limits, input.expanded_uncertainty)?;
    let verdict = Verdict::worst([at_min.verdict, at_max.verdict]);
    Ok(Seat {
        corrected,
        geometry,
        at_min,
        at_max,
        verdict,
    })
}

#[cfg(test)]
mod tests;
