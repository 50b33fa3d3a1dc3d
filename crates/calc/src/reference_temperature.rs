//! `reference_temperature`: a size stated at 20 °C, or what a part of that size reads, as a described method.
//!
//! The correction itself is [`crate::seat::Correction`], which the seats use too.

use serde_json::Value;

use crate::{
    method::{
        Bounds, InputError, Method, Object, Output, Param, Part, Step, Worked, mm, object, renamed,
        um, wrong,
    },
    quantity::{as_celsius, as_per_kelvin},
    seat::{
        Correction,
        input::{
            GAUGE_EXPANSION, GAUGE_TEMPERATURE, PART_EXPANSION, PART_TEMPERATURE, read_correction,
        },
    },
};

/// `reference_temperature`: the correction of a size to 20 °C and back.
pub const METHOD: Method = Method {
    name: "reference_temperature",
    title: "Size at 20 °C",
    summary: "States a reading at the reference temperature, or says what a part of a given size at 20 degrees Celsius reads now.",
    inputs: &[
        PART_TEMPERATURE,
        GAUGE_TEMPERATURE,
        PART_EXPANSION,
        GAUGE_EXPANSION,
        Param::number(
            "reading_mm",
            "mm",
            "size as read, to be stated at 20 degrees C; either this or size_mm",
            "above 0",
        )
        .optional(),
        Param::number(
            "size_mm",
            "mm",
            "size at 20 degrees C, to be turned into a reading; either this or reading_mm",
            "above 0",
        )
        .optional(),
    ],
    outputs: &[
        Output::new(
            "result_mm",
            "mm",
            "size at 20 degrees C of the reading, or reading of the size",
        ),
        Output::new("difference_um", "um", "result minus what was given"),
    ],
    formula: "size = reading x (1 + a_gauge (T_gauge - 20)) / (1 + a_part (T_part - 20)); reading: the same turned round",
    source: "ISO 1:2022 (reference temperature, memory); linear expansion",
    cautions: &[
        "Part and gauge must have had time to settle: a skin temperature is not the temperature of the part.",
        "A warm part can burn: the site's rules on hot parts hold.",
    ],
    example: r#"{"reading_mm": 420.15, "part_temp_c": 31, "gauge_temp_c": 20, "expansion_part_per_k": 11.6e-6, "expansion_gauge_per_k": 11.5e-6}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let correction = read_correction(&input)?;
    let reading = input.optional_length("reading_mm", &Bounds::LENGTH_MM)?;
    let size = input.optional_length("size_mm", &Bounds::LENGTH_MM)?;
    input.finish()?;
    let (given, result, pattern, note) = match (reading, size) {
        (Some(reading), None) => {
            let size = correction.at_20_c(reading);
            (reading, size, "{} x {}", "size at 20 °C")
        }
        (None, Some(size)) => {
            let reading = correction.reading_of(size);
            (size, reading, "{} / {}", "reading of this size")
        }
        (Some(_), Some(_)) => {
            let problem = "give either reading_mm or size_mm, not both";
            return Err(wrong("size_mm", problem.to_owned()));
        }
        (None, None) => {
            let problem = "missing; give reading_mm or size_mm";
            return Err(wrong("reading_mm", problem.to_owned()));
        }
    };
    let named = |error| renamed(&error, &[("readings", "reading_mm"), ("size", "size_mm")]);
    let result = result.map_err(named)?;
    let factor = correction.factor().map_err(named)?;
    let mut steps = growth_steps(&correction);
    let factor = Part::number(factor, "", 9);
    steps.push(Step::new(
        "gauge / part",
        [],
        factor.clone(),
        "factor to 20 °C, ISO 1",
    ));
    steps.push(Step::new(
        pattern,
        [Part::Length(given), factor],
        Part::Length(result),
        note,
    ));
    steps.push(Step::new(
        "{} - {}",
        [Part::Length(result), Part::Length(given)],
        Part::Small(result - given),
        "difference",
    ));
    let output = object([
        ("result_mm", mm("result_mm", result)?),
        ("difference_um", um("difference_um", result - given)?),
    ]);
    Ok(Worked { output, steps })
}

/// How much longer gauge and part are than at 20 °C.
fn growth_steps(correction: &Correction) -> Vec<Step> {
    let parts = [
        ("gauge", correction.gauge, correction.expansion_gauge),
        ("part", correction.part, correction.expansion_part),
    ];
    let step = |(name, temperature, expansion)| {
        let (t, alpha) = (as_celsius(temperature), as_per_kelvin(expansion));
        Step::new(
            &format!("{name}: 1 + {{}} x ({{}} - 20)"),
            [Part::number(alpha, "1/K", 8), Part::number(t, "°C", 2)],
            Part::number(1.0 + alpha * (t - 20.0), "", 9),
            "longer than at 20 °C by this factor",
        )
    };
    parts.into_iter().map(step).collect()
}

#[cfg(test)]
mod tests;
