//! The budget of a diameter read by a two-point gauge and stated at 20 °C.

use super::{
    COVERAGE_FACTOR, Combined, Contribution, combine, rectangular, repeatability, resolution,
};
use crate::{
    error::{CalcError, not_negative, within},
    quantity::{
        Length, TemperatureCoefficient, TemperatureInterval, as_celsius, as_kelvins,
        as_micrometres, as_per_kelvin, micrometres,
    },
    seat::{Correction, EXPANSION_RANGE_PER_K, REFERENCE_CELSIUS},
};

/// A diameter reading with everything that makes it doubtful.
#[derive(Debug, Clone, PartialEq)]
pub struct DiameterReading {
    /// The diameter as read.
    pub diameter: Length,
    /// Temperatures and expansions of part and gauge (for a comparator: of its setting ring).
    pub correction: Correction,
    /// Expanded uncertainty of the gauge from its certificate, k = 2.
    pub gauge_expanded: Length,
    /// The same of the setting ring or standard; zero where none is used.
    pub setting_expanded: Length,
    /// The temperature of the part lies within ± this of the one read.
    pub part_temperature: TemperatureInterval,
    /// The same for the gauge.
    pub gauge_temperature: TemperatureInterval,
    /// The expansion coefficient of the part lies within ± this.
    pub part_expansion: TemperatureCoefficient,
    /// The same for the gauge.
    pub gauge_expansion: TemperatureCoefficient,
    /// Readings repeated at one place, two at least.
    pub repeats: Vec<Length>,
    /// How many readings are averaged in the result.
    pub averaged: usize,
    /// Step of the display or scale.
    pub resolution: Length,
    /// Form that a two-point gauge cannot see lies within ± this; zero where it does not matter.
    pub unseen_form: Length,
}

/// What a contribution comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contributor {
    /// Calibration of the gauge.
    Gauge,
    /// Calibration of the setting ring or standard.
    Setting,
    /// Temperature of the part.
    PartTemperature,
    /// Temperature of the gauge.
    GaugeTemperature,
    /// Expansion coefficient of the part, times its distance from 20 °C.
    PartExpansion,
    /// Expansion coefficient of the gauge, times its distance from 20 °C.
    GaugeExpansion,
    /// Both of the part at once: what is left at 20 °C.
    PartSecondOrder,
    /// Both of the gauge at once.
    GaugeSecondOrder,
    /// Scatter of repeated readings.
    Repeatability,
    /// Step of the reading.
    Resolution,
    /// Form with an odd number of lobes.
    UnseenForm,
}

impl Contributor {
    /// The name in files.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Gauge => "gauge",
            Self::Setting => "setting",
            Self::PartTemperature => "part_temperature",
            Self::GaugeTemperature => "gauge_temperature",
            Self::PartExpansion => "part_expansion",
            Self::GaugeExpansion => "gauge_expansion",
            Self::PartSecondOrder => "part_second_order",
            Self::GaugeSecondOrder => "gauge_second_order",
            Self::Repeatability => "repeatability",
            Self::Resolution => "resolution",
            Self::UnseenForm => "unseen_form",
        }
    }
}

/// Doubts of a temperature up to this (K) are meant; beyond it something else was typed.
pub(super) const TEMPERATURE_DOUBT_K: std::ops::RangeInclusive<f64> = 0.0..=100.0;

/// Budget of a diameter at 20 °C: its contributions in this order and what they come to.
///
/// Model as in [`Correction::at_20_c`]: `D₂₀ = D (1 + α_g ΔT_g) / (1 + α_p ΔT_p)`, to first order in αΔT. Sensitivities
/// `D α` for a temperature, `D ΔT` for a coefficient; the product of both doubts, `D u(α) u(T)`, is kept, since at
/// 20 °C the first-order term of the coefficient vanishes (as in JCGM 100:2008, H.1.7, memory). Certificates: `U/2`;
/// limits ± a: `a/√3`. Uncorrelated: temperatures read with one thermometer are not quite, the budget is then on the
/// safe side where part and gauge are of like material.
/// Source: JCGM 100:2008, clauses 4 and 5 (memory).
///
/// # Errors
/// `OutOfRange`, `Missing` or `NotFinite`, naming the input.
pub fn diameter_budget(
    reading: &DiameterReading,
) -> Result<(Vec<(Contributor, Contribution)>, Combined), CalcError> {
    let correction = &reading.correction;
    let diameter_um = as_micrometres(correction.at_20_c(reading.diameter)?);
    let thermal = |part: &str, temperature, alpha, doubt_k, doubt_alpha| {
        let third = 3.0_f64.sqrt();
        let name = format!("{part}_temperature");
        let u_t = within(&name, as_kelvins(doubt_k), &TEMPERATURE_DOUBT_K, "K")? / third;
        let name = format!("{part}_expansion");
        let doubt = as_per_kelvin(doubt_alpha);
        let u_alpha = within(&name, doubt, &EXPANSION_RANGE_PER_K, "1/K")? / third;
        let off_k = (as_celsius(temperature) - REFERENCE_CELSIUS).abs();
        let known = |u: f64| Contribution::known(micrometres(diameter_um * u));
        Ok::<_, CalcError>([
            known(as_per_kelvin(alpha) * u_t),
            known(off_k * u_alpha),
            known(u_alpha * u_t),
        ])
    };
    let [part_t, part_alpha, part_both] = thermal(
        "part",
        correction.part,
        correction.expansion_part,
        reading.part_temperature,
        reading.part_expansion,
    )?;
    let [gauge_t, gauge_alpha, gauge_both] = thermal(
        "gauge",
        correction.gauge,
        correction.expansion_gauge,
        reading.gauge_temperature,
        reading.gauge_expansion,
    )?;
    let certificate = |input, expanded| {
        let expanded = not_negative(input, expanded)?;
        Ok::<_, CalcError>(Contribution::known(expanded / COVERAGE_FACTOR))
    };
    let step = not_negative("resolution", reading.resolution)?;
    let form = not_negative("unseen_form", reading.unseen_form)?;
    let rows = vec![
        (
            Contributor::Gauge,
            certificate("gauge_expanded", reading.gauge_expanded)?,
        ),
        (
            Contributor::Setting,
            certificate("setting_expanded", reading.setting_expanded)?,
        ),
        (Contributor::PartTemperature, part_t),
        (Contributor::GaugeTemperature, gauge_t),
        (Contributor::PartExpansion, part_alpha),
        (Contributor::GaugeExpansion, gauge_alpha),
        (Contributor::PartSecondOrder, part_both),
        (Contributor::GaugeSecondOrder, gauge_both),
        (
            Contributor::Repeatability,
            repeatability(&reading.repeats, reading.averaged)?,
        ),
        (
            Contributor::Resolution,
            Contribution::known(resolution(step)),
        ),
        (
            Contributor::UnseenForm,
            Contribution::known(rectangular(form)),
        ),
    ];
    let contributions: Vec<Contribution> = rows.iter().map(|row| row.1).collect();
    let combined = combine(&contributions)?;
    Ok((rows, combined))
}
