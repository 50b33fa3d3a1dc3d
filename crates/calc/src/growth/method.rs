//! `growth_ratio`: times as set and the limit of a row pair, as a described method.

use serde_json::Value;

use super::{REGRIND_FACTOR, Reading, pair_limit, times_as_set};
use crate::{
    method::{
        Bounds, InputError, Method, Object, Output, Param, object, optional_mm, optional_number,
        renamed, wrong,
    },
    quantity::to_nanometres,
};

/// `growth_ratio`: how far a clearance has grown.
pub const METHOD: Method = Method {
    name: "growth_ratio",
    title: "Times as set",
    summary: "Clearance now as a multiple of this bearing's own value as set, and the level at which its spacers are reground.",
    inputs: &[
        Param {
            key: "clearance_mm",
            unit: "mm",
            meaning: "clearance now",
            range: "-100000 to 100000",
            required: true,
        },
        Param {
            key: "as_set_mm",
            unit: "mm",
            meaning: "clearance as set of this serial",
            range: "above 0",
            required: true,
        },
        Param {
            key: "rework_mm",
            unit: "mm",
            meaning: "rework value of the type",
            range: "above 0",
            required: false,
        },
        Param {
            key: "factor",
            unit: "",
            meaning: "factor on the value as set",
            range: "above 1 up to 10, default 2",
            required: false,
        },
        Param {
            key: "method",
            unit: "",
            meaning: "how the clearance was measured",
            range: "text, with as_set_method",
            required: false,
        },
        Param {
            key: "as_set_method",
            unit: "",
            meaning: "how the value as set was measured",
            range: "text, with method",
            required: false,
        },
    ],
    outputs: &[
        Output {
            key: "times_as_set",
            unit: "",
            meaning: "ratio; null where measured another way",
        },
        Output {
            key: "limit_mm",
            unit: "mm",
            meaning: "smaller of rework value and factor x as set; null where measured another way",
        },
        Output {
            key: "reached",
            unit: "",
            meaning: "true at the limit or above; null where measured another way",
        },
    ],
    formula: "times_as_set = clearance / as set; limit = min(rework, factor x as set); reached if clearance >= limit",
    source: "regrind threshold of shared/reference/bench_four_row_trb.toml; ratio: common practice, no source",
    cautions: &[
        "The ratio is formed between like methods only: bench readings under weight and mounted readings differ.",
    ],
    run,
};

fn run(input: &Value) -> Result<Value, InputError> {
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
    Ok(object([
        ("times_as_set", optional_number("times_as_set", ratio)?),
        ("limit_mm", optional_mm(limit)),
        ("reached", Value::from(reached)),
    ]))
}
