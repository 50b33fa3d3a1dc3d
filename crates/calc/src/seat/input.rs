//! How temperatures and expansions of part and gauge are asked for and read, by every method that corrects to 20 °C.

use super::{Correction, EXPANSION_RANGE_PER_K, TEMPERATURE_RANGE_C};
use crate::{
    method::{Bounds, InputError, Object, Param},
    quantity::{celsius, per_kelvin},
};

/// Temperature of the part.
pub(crate) const PART_TEMPERATURE: Param =
    Param::number("part_temp_c", "°C", "temperature of the part", "-50 to 200");

/// Temperature of the gauge.
pub(crate) const GAUGE_TEMPERATURE: Param = Param::number(
    "gauge_temp_c",
    "°C",
    "temperature of the gauge; comparator: of its setting ring",
    "-50 to 200",
);

/// Expansion of the part.
pub(crate) const PART_EXPANSION: Param = Param::number(
    "expansion_part_per_k",
    "1/K",
    "expansion of the part, for example 11.7e-6",
    "0 to 1e-4",
);

/// Expansion of the gauge.
pub(crate) const GAUGE_EXPANSION: Param = Param::number(
    "expansion_gauge_per_k",
    "1/K",
    "expansion of the gauge; comparator: of its setting ring",
    "0 to 1e-4",
);

/// The correction that the four inputs give.
pub(crate) fn read_correction(input: &Object<'_>) -> Result<Correction, InputError> {
    let temperature = Bounds::within(TEMPERATURE_RANGE_C);
    let expansion = Bounds::within(EXPANSION_RANGE_PER_K);
    Ok(Correction {
        part: celsius(input.number("part_temp_c", &temperature)?),
        gauge: celsius(input.number("gauge_temp_c", &temperature)?),
        expansion_part: per_kelvin(input.number("expansion_part_per_k", &expansion)?),
        expansion_gauge: per_kelvin(input.number("expansion_gauge_per_k", &expansion)?),
    })
}
