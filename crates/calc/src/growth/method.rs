//! `growth_ratio`: times as set and the limit of a row pair, as a described method.

use serde_json::Value;

use super::{REGRIND_FACTOR, Reading, pair_limit, times_as_set};
use crate::{
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object,
        optional_mm, optional_number, renamed, wrong,
    },
    quantity::to_nanometres,
};

/// `growth_ratio`: how far a clearance has grown.
pub const METHOD: Method = Method {
    name: "growth_ratio",
    title: "Times as set",
    summary: "Clearance now as a multiple of this bearing's own value as set, and the level at which its spacers are reground.",
    inputs: &[
        Param::number("clearance_mm", "mm", "clearance now", "-100000 to 100000"),
        Param::number(
            "as_set_mm",
            "mm",
            "clearance as set of this serial",
            "above 0",
        ),
        Param::number("rework_mm", "mm", "rework value of the type", "above 0").optional(),
        Param::number(
            "factor",
            "",
            "factor on the value as set",
            "above 1 up to 10, default 2",
        )
        .optional(),
        Param::of(
            Kind::Text,
            "method",
            "how the clearance was measured",
            "text, with as_set_method",
        )
        .optional(),
        Param::of(
            Kind::Text,
            "as_set_method",
            "how the value as set was measured",
            "text, with method",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("times_as_set", "", "ratio; null where measured another way"),
        Output::new(
            "limit_mm",
            "mm",
            "smaller of rework value and factor x as set; null where measured another way",
        ),
        Output::new(
            "reached",
            "",
            "true at the limit or above; null where measured another way",
        ),
    ],
    formula: "times_as_set = clearance / as set; limit = min(rework, factor x as set); reached if clearance >= limit",
    source: "regrind threshold of shared/reference/bench_four_row_trb.toml; ratio: common practice, no source",
    cautions: &[
        "The ratio is formed between like methods only: bench readings under weight and mounted readings differ.",
    ],
    example: r#"{"clearance_mm": 0.54, "as_set_mm": 0.3, "rework_mm": 0.6}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let now = input.length("clearance_mm", &Bounds::DIFFERENCE_MM)?;
    let as_set = input.length("as_set_mm", &Bounds::LENGTH_MM)?;
    let rework = input.optional_length("rework_mm", &Bounds::LENGTH_MM)?;
    let factor = input
        .optional_number("factor", &Bounds::above(1.0..=10.0))?
        .unwrap_or(REGRIND_FACTOR);
    let (method, as_set_method) = match (input.optional("method"), input.optional("as_set_method"))
    {
        (None, None) => (None, None),
        (Some(_), Some(_)) => (
            Some(input.text("method")?),
            Some(input.text("as_set_method")?),
        ),
        (Some(_), None) => return Err(wrong("as_set_method", "missing beside method".to_owned())),
        (None, Some(_)) => return Err(wrong("method", "missing beside as_set_method".to_owned())),
    };
    input.finish()?;
    let keys = [
        ("clearance", "clearance_mm"),
        ("as_set", "as_set_mm"),
        ("rework", "rework_mm"),
    ];
    let now_reading = Reading {
        clearance: now,
        method,
    };
    let ratio = times_as_set(
        &now_reading,
        &Reading {
            clearance: as_set,
            method: as_set_method,
        },
    )
    .map_err(|error| renamed(&error, &keys))?;
    let limit = pair_limit(rework, factor, Some(as_set)).map_err(|error| renamed(&error, &keys))?;
    let limit = limit.filter(|_| ratio.is_some());
    let reached = limit.map(|limit| to_nanometres(now) >= to_nanometres(limit));
    let length = Part::Length;
    let mut steps = Vec::new();
    match ratio {
        Some(ratio) => steps.push(Step::new(
            "{} / {}",
            [length(now), length(as_set)],
            Part::number(ratio, "", 3),
            "times as set",
        )),
        None => steps.push(Step::new(
            "measured another way",
            [],
            Part::text("no ratio"),
            "only like methods are compared",
        )),
    }
    if let Some(limit) = limit {
        steps.push(Step::new(
            "{} x {}",
            [Part::number(factor, "", 2), length(as_set)],
            length(as_set * factor),
            "factor on the value as set",
        ));
        let against = rework.map_or(Part::text("no rework value"), length);
        steps.push(Step::new(
            "the smaller of it and {}",
            [against],
            length(limit),
            "limit, reached at equality",
        ));
    }
    let output = object([
        ("times_as_set", optional_number("times_as_set", ratio)?),
        ("limit_mm", optional_mm(limit)),
        ("reached", Value::from(reached)),
    ]);
    Ok(Worked { output, steps })
}
