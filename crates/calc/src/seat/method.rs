//! `seat`: a measured seat corrected to 20 °C and judged, as a described method.

use serde_json::Value;

use super::{
    SeatReadings,
    input::{
        GAUGE_EXPANSION, GAUGE_TEMPERATURE, PART_EXPANSION, PART_TEMPERATURE, read_correction,
    },
    seat,
};
use crate::{
    conformity::Limits,
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, lengths, mm,
        object, renamed, um,
    },
    quantity::{Length, as_celsius, micrometres},
};

/// `seat`: size and form of a seat from its grid.
pub const METHOD: Method = Method {
    name: "seat",
    title: "Seat",
    summary: "Two-point sizes at 20 degrees Celsius, mean, ovality per plane, taper, and the verdict on the extreme sizes.",
    inputs: &[
        Param::of(
            Kind::Grid,
            "readings_mm",
            "sizes: a list of planes, each a list of directions",
            "above 0; planes of equal length",
        )
        .unit("mm"),
        Param::number("lower_mm", "mm", "smallest allowed size", "above 0"),
        Param::number(
            "upper_mm",
            "mm",
            "largest allowed size",
            "not below lower_mm",
        ),
        PART_TEMPERATURE,
        GAUGE_TEMPERATURE,
        PART_EXPANSION,
        GAUGE_EXPANSION,
        Param::number(
            "expanded_uncertainty_um",
            "um",
            "U of a size at k = 2; null: not known, then at best in doubt",
            "0 or more, or null",
        ),
    ],
    outputs: &[
        Output::new("mean_mm", "mm", "mean of all sizes at 20 degrees C"),
        Output::new("min_mm", "mm", "smallest size at 20 degrees C"),
        Output::new("max_mm", "mm", "largest size at 20 degrees C"),
        Output::new("ovality_um", "um", "largest minus smallest size, per plane"),
        Output::new(
            "taper_um",
            "um",
            "|mean of first plane - mean of last plane|",
        ),
        Output::new(
            "verdict",
            "",
            "worse of conformity(smallest) and conformity(largest)",
        ),
    ],
    formula: "at 20 C: size x (1 + a_gauge (T_gauge - 20)) / (1 + a_part (T_part - 20)); verdict see conformity",
    source: "ISO 1:2022 (memory), ISO 14405-1 two-point size (memory); conformity: ISO 14253-1:2017 (memory)",
    cautions: &[
        "A two-point gauge cannot see a form with three lobes.",
        "Part and gauge must have had time to settle: a skin temperature is not the temperature of the part.",
    ],
    example: r#"{"readings_mm": [[620.25, 620.5], [620.0, 620.125]], "lower_mm": 620, "upper_mm": 620.5, "part_temp_c": 22, "gauge_temp_c": 20, "expansion_part_per_k": 11.7e-6, "expansion_gauge_per_k": 11.5e-6, "expanded_uncertainty_um": 8}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let readings: Vec<Vec<Length>> = input.list("readings_mm", |plane, path| {
        lengths(plane, &path, &Bounds::LENGTH_MM)
    })?;
    let lower = input.length("lower_mm", &Bounds::LENGTH_MM)?;
    let upper = input.length("upper_mm", &Bounds::LENGTH_MM)?;
    let correction = read_correction(&input)?;
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
    let factor = correction.factor().map_err(|error| renamed(&error, &[]))?;
    let (part, gauge) = (correction.part, correction.gauge);
    let geometry = &seat.geometry;
    let degrees = |temperature| Part::number(as_celsius(temperature), "°C", 1);
    let mut steps = vec![
        Step::new(
            "part {}, gauge {}",
            [degrees(part), degrees(gauge)],
            Part::number(factor, "", 7),
            "factor to 20 °C, ISO 1",
        ),
        Step::new(
            "mean of {} sizes",
            [Part::number(
                seat.corrected.iter().map(Vec::len).sum::<usize>() as f64,
                "",
                0,
            )],
            Part::Length(geometry.mean),
            "at 20 °C",
        ),
        Step::new("smallest size", [], Part::Length(geometry.min), "at 20 °C"),
        Step::new("largest size", [], Part::Length(geometry.max), "at 20 °C"),
    ];
    for (plane, ovality) in geometry.ovality.iter().enumerate() {
        steps.push(Step::new(
            &format!("ovality of plane {}", plane + 1),
            [],
            Part::Small(*ovality),
            "largest - smallest",
        ));
    }
    steps.push(Step::new(
        "taper",
        [],
        Part::Small(geometry.taper),
        "mean of first plane - mean of last",
    ));
    for (name, conformity) in [("smallest", seat.at_min), ("largest", seat.at_max)] {
        steps.push(conformity.step(name, &limits.thresholds));
    }
    let ovality: Vec<Value> = seat
        .geometry
        .ovality
        .iter()
        .map(|&length| um("ovality_um", length))
        .collect::<Result<_, _>>()?;
    let output = object([
        ("mean_mm", mm("mean_mm", seat.geometry.mean)?),
        ("min_mm", mm("min_mm", seat.geometry.min)?),
        ("max_mm", mm("max_mm", seat.geometry.max)?),
        ("ovality_um", Value::Array(ovality)),
        ("taper_um", um("taper_um", seat.geometry.taper)?),
        ("verdict", Value::from(seat.verdict.as_str())),
    ]);
    Ok(Worked { output, steps })
}
