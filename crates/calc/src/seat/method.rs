//! `seat`: a measured seat corrected to 20 °C and judged, as a described method.

use serde_json::Value;

use super::{Correction, EXPANSION_RANGE_PER_K, SeatReadings, TEMPERATURE_RANGE_C, seat};
use crate::{
    conformity::Limits,
    method::{Bounds, InputError, Method, Object, Output, Param, lengths, number, object, renamed},
    quantity::{Length, as_micrometres, as_millimetres, celsius, micrometres, per_kelvin},
};

/// `seat`: size and form of a seat from its grid.
pub const METHOD: Method = Method {
    name: "seat",
    title: "Seat: chock bore or roll neck",
    summary: "Two-point sizes at 20 degrees Celsius, mean, ovality per plane, taper, and the verdict on the extreme sizes.",
    inputs: &[
        param(
            "readings_mm",
            "mm",
            "sizes: a list of planes, each a list of directions",
            "above 0; planes of equal length",
        ),
        param("lower_mm", "mm", "smallest allowed size", "above 0"),
        param(
            "upper_mm",
            "mm",
            "largest allowed size",
            "not below lower_mm",
        ),
        param(
            "part_temp_c",
            "degrees C",
            "temperature of the part",
            "-50 to 200",
        ),
        param(
            "gauge_temp_c",
            "degrees C",
            "temperature of the gauge; comparator: of its setting ring",
            "-50 to 200",
        ),
        param(
            "expansion_part_per_k",
            "1/K",
            "expansion of the part, for example 11.7e-6",
            "0 to 1e-4",
        ),
        param(
            "expansion_gauge_per_k",
            "1/K",
            "expansion of the gauge; comparator: of its setting ring",
            "0 to 1e-4",
        ),
        param(
            "expanded_uncertainty_um",
            "um",
            "U of a size at k = 2; null: not known, then at best in doubt",
            "0 or more, or null",
        ),
    ],
    outputs: &[
        Output {
            key: "mean_mm",
            unit: "mm",
            meaning: "mean of all sizes at 20 degrees C",
        },
        Output {
            key: "min_mm",
            unit: "mm",
            meaning: "smallest size at 20 degrees C",
        },
        Output {
            key: "max_mm",
            unit: "mm",
            meaning: "largest size at 20 degrees C",
        },
        Output {
            key: "ovality_um",
            unit: "um",
            meaning: "largest minus smallest size, per plane",
        },
        Output {
            key: "taper_um",
            unit: "um",
            meaning: "|mean of first plane - mean of last plane|",
        },
        Output {
            key: "verdict",
            unit: "",
            meaning: "worse of conformity(smallest) and conformity(largest)",
        },
    ],
    formula: "at 20 C: size x (1 + a_gauge (T_gauge - 20)) / (1 + a_part (T_part - 20)); verdict see conformity",
    source: "ISO 1:2022 (memory), ISO 14405-1 two-point size (memory); conformity: ISO 14253-1:2017 (memory)",
    cautions: &[
        "A two-point gauge cannot see a form with three lobes.",
        "Part and gauge must have had time to settle: a skin temperature is not the temperature of the part.",
    ],
    run,
};

const fn param(
    key: &'static str,
    unit: &'static str,
    meaning: &'static str,
    range: &'static str,
) -> Param {
    Param {
        key,
        unit,
        meaning,
        range,
        required: true,
    }
}

fn run(input: &Value) -> Result<Value, InputError> {
    let input = Object::root(input)?;
    let readings: Vec<Vec<Length>> = input.list("readings_mm", |plane, path| {
        lengths(plane, &path, &Bounds::LENGTH_MM)
    })?;
    let lower = input.length("lower_mm", &Bounds::LENGTH_MM)?;
    let upper = input.length("upper_mm", &Bounds::LENGTH_MM)?;
    let temperature = Bounds::within(TEMPERATURE_RANGE_C);
    let expansion = Bounds::within(EXPANSION_RANGE_PER_K);
    let correction = Correction {
        part: celsius(input.number("part_temp_c", &temperature)?),
        gauge: celsius(input.number("gauge_temp_c", &temperature)?),
        expansion_part: per_kelvin(input.number("expansion_part_per_k", &expansion)?),
        expansion_gauge: per_kelvin(input.number("expansion_gauge_per_k", &expansion)?),
    };
    let expanded_uncertainty = input
        .number_or_null("expanded_uncertainty_um", &Bounds::NOT_NEGATIVE)?
        .map(micrometres);
    input.finish()?;
    let limits = Limits::between(lower, upper);
    let seat = seat(&SeatReadings {
        readings,
        correction,
        limits,
        expanded_uncertainty,
    })
    .map_err(|error| {
        renamed(
            &error,
            &[
                ("readings", "readings_mm"),
                ("lower", "lower_mm"),
                ("upper", "upper_mm"),
            ],
        )
    })?;
    let mm = |key, length| number(key, as_millimetres(length));
    let um = |key, length| number(key, as_micrometres(length));
    let ovality: Vec<Value> = seat
        .geometry
        .ovality
        .iter()
        .map(|&length| um("ovality_um", length))
        .collect::<Result<_, _>>()?;
    Ok(object([
        ("mean_mm", mm("mean_mm", seat.geometry.mean)?),
        ("min_mm", mm("min_mm", seat.geometry.min)?),
        ("max_mm", mm("max_mm", seat.geometry.max)?),
        ("ovality_um", Value::Array(ovality)),
        ("taper_um", um("taper_um", seat.geometry.taper)?),
        ("verdict", Value::from(seat.verdict.as_str())),
    ]))
}
