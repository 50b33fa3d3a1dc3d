//! `tolerance`: limit deviations of a class as a described method.

use serde_json::Value;

use super::tolerance;
use crate::{
    method::{Bounds, InputError, Method, Object, Output, Param, number, object, renamed},
    quantity::{as_micrometres, millimetres},
};

/// `tolerance`: limit deviations of a tolerance class.
pub const METHOD: Method = Method {
    name: "tolerance",
    title: "Tolerance of a size",
    summary: "Limit deviations of a hole or shaft class of ISO 286 at a nominal size.",
    inputs: &[
        Param {
            key: "nominal_mm",
            unit: "mm",
            meaning: "nominal size",
            range: "above 0 up to 3150; a border size belongs to the lower range",
            required: true,
        },
        Param {
            key: "class",
            unit: "",
            meaning: "tolerance class, capital letter for a hole",
            range: "grades 3 to 11; shafts d e f g h js k m n p r s, holes D E F G H JS J K M N P R S",
            required: true,
        },
    ],
    outputs: &[
        Output {
            key: "lower_um",
            unit: "um",
            meaning: "lower limit deviation",
        },
        Output {
            key: "upper_um",
            unit: "um",
            meaning: "upper limit deviation",
        },
        Output {
            key: "grade_um",
            unit: "um",
            meaning: "standard tolerance: upper minus lower",
        },
    ],
    formula: "shaft d to h: es from the table, ei = es - IT; k to s: ei from the table, es = ei + IT; \
              hole D to H: EI = -es; K to S: ES = -ei + Delta where the rules say so; js and JS: IT/2 each way",
    source: "ISO 286-1:2010, Tables 1 to 5 (from memory, checked against the sources named in the tables)",
    cautions: &["Odd grades of js and JS are halved exactly, not rounded to whole micrometres."],
    run,
};

fn run(input: &Value) -> Result<Value, InputError> {
    let input = Object::root(input)?;
    let nominal_mm = input.number("nominal_mm", &Bounds::ANY)?;
    let class = input.text("class")?;
    input.finish()?;
    let limits = tolerance(millimetres(nominal_mm), class)
        .map_err(|error| renamed(&error, &[("nominal", "nominal_mm")]))?;
    Ok(object([
        (
            "lower_um",
            number("lower_um", as_micrometres(limits.lower))?,
        ),
        (
            "upper_um",
            number("upper_um", as_micrometres(limits.upper))?,
        ),
        (
            "grade_um",
            number("grade_um", as_micrometres(limits.grade()))?,
        ),
    ]))
}
