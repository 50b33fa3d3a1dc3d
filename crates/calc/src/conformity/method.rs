//! `conformity`: verdict and probability of a value as a described method.

use serde_json::Value;

use super::conformity_of_numbers;
use crate::method::{
    Bounds, InputError, Method, Object, Output, Param, object, optional_number, renamed,
};

/// `conformity`: does a value conform, given its uncertainty?
pub const METHOD: Method = Method {
    name: "conformity",
    title: "Conformity with uncertainty",
    summary: "Probability that the true value lies inside the limits, and the verdict that follows.",
    inputs: &[
        Param {
            key: "value",
            unit: "",
            meaning: "measured value, in any unit",
            range: "finite",
            required: true,
        },
        Param {
            key: "expanded_uncertainty",
            unit: "",
            meaning: "U at k = 2 in the same unit; null: not known, then at best in doubt; 0: the value decides exactly",
            range: "0 or more, or null",
            required: true,
        },
        Param {
            key: "lower",
            unit: "",
            meaning: "lower limit",
            range: "finite; one limit at least",
            required: false,
        },
        Param {
            key: "upper",
            unit: "",
            meaning: "upper limit",
            range: "not below lower",
            required: false,
        },
    ],
    outputs: &[
        Output {
            key: "verdict",
            unit: "",
            meaning: "pass, pass_in_doubt, fail_in_doubt or fail",
        },
        Output {
            key: "probability",
            unit: "",
            meaning: "probability of conformity, 0 to 1; null where U is not known",
        },
    ],
    formula: "u = U/2; p = Phi((upper - value)/u) - Phi((lower - value)/u); p >= 0.95 pass, >= 0.50 pass in doubt, \
              > 0.05 fail in doubt, else fail; U = 0: a value on the limit conforms",
    source: "ISO 14253-1:2017 and JCGM 106:2012 (memory)",
    cautions: &[
        "Where U is large against the tolerance no value passes: the gauge cannot decide it.",
        "In doubt: measure again, a second person, or the engineer's signature.",
    ],
    run,
};

fn run(input: &Value) -> Result<Value, InputError> {
    let input = Object::root(input)?;
    let value = input.number("value", &Bounds::ANY)?;
    let lower = input.optional_number("lower", &Bounds::ANY)?;
    let upper = input.optional_number("upper", &Bounds::ANY)?;
    let uncertainty = input.number_or_null("expanded_uncertainty", &Bounds::NOT_NEGATIVE)?;
    input.finish()?;
    let result = conformity_of_numbers(value, lower, upper, uncertainty)
        .map_err(|error| renamed(&error, &[]))?;
    Ok(object([
        ("verdict", Value::from(result.verdict.as_str())),
        (
            "probability",
            optional_number("probability", result.probability)?,
        ),
    ]))
}
