//! `fit`: kind and clearances of a fit as a described method.

use serde_json::Value;

use super::fit;
use crate::{
    iso286::{Deviations, is_hole_class, tolerance},
    method::{Bounds, InputError, Method, Object, Output, Param, number, object, renamed, wrong},
    quantity::{Length, as_micrometres, micrometres, millimetres},
};

/// `fit`: the fit of a hole and a shaft.
pub const METHOD: Method = Method {
    name: "fit",
    title: "Fit of hole and shaft",
    summary: "Kind of the fit and its smallest and largest clearance, from classes or from deviations.",
    inputs: &[
        Param {
            key: "nominal_mm",
            unit: "mm",
            meaning: "nominal size of both",
            range: "above 0 up to 3150",
            required: true,
        },
        Param {
            key: "hole",
            unit: "um",
            meaning: "hole: a class such as \"G7\", or {lower_um, upper_um}",
            range: "a hole class, or lower not above upper",
            required: true,
        },
        Param {
            key: "shaft",
            unit: "um",
            meaning: "shaft: a class such as \"f6\", or {lower_um, upper_um}",
            range: "a shaft class, or lower not above upper",
            required: true,
        },
    ],
    outputs: &[
        Output {
            key: "kind",
            unit: "",
            meaning: "clearance, transition or interference",
        },
        Output {
            key: "clearance_min_um",
            unit: "um",
            meaning: "smallest clearance, diametral; negative = interference",
        },
        Output {
            key: "clearance_max_um",
            unit: "um",
            meaning: "largest clearance, diametral; negative = interference",
        },
    ],
    formula: "clearance_min = lower(hole) - upper(shaft), clearance_max = upper(hole) - lower(shaft); \
              clearance if min >= 0, else interference if max <= 0, else transition",
    source: "ISO 286-1:2010, clause 3 (memory); classes see tolerance",
    cautions: &["Sizes at 20 degrees Celsius; a warm part fits differently."],
    run,
};

fn run(input: &Value) -> Result<Value, InputError> {
    let input = Object::root(input)?;
    let nominal = millimetres(input.number("nominal_mm", &Bounds::above(0.0..=3_150.0))?);
    let hole = deviations(&input, "hole", nominal)?;
    let shaft = deviations(&input, "shaft", nominal)?;
    input.finish()?;
    let fit = fit(&hole, &shaft)
        .map_err(|error| renamed(&error, &[("lower", "lower_um"), ("upper", "upper_um")]))?;
    Ok(object([
        ("kind", Value::from(fit.kind.as_str())),
        (
            "clearance_min_um",
            number("clearance_min_um", as_micrometres(fit.clearance_min))?,
        ),
        (
            "clearance_max_um",
            number("clearance_max_um", as_micrometres(fit.clearance_max))?,
        ),
    ]))
}

/// A class of the right kind, or both deviations.
fn deviations(
    input: &Object<'_>,
    key: &'static str,
    nominal: Length,
) -> Result<Deviations, InputError> {
    let value = input.required(key)?;
    if let Some(class) = value.as_str() {
        if is_hole_class(class).is_some_and(|is_hole| is_hole != (key == "hole")) {
            return Err(wrong(key, format!("class '{class}' is not one of a {key}")));
        }
        return tolerance(nominal, class)
            .map_err(|error| renamed(&error, &[("class", key), ("nominal", "nominal_mm")]));
    }
    if !value.is_object() {
        return Err(wrong(
            key,
            "a class or an object with lower_um and upper_um is expected".to_owned(),
        ));
    }
    let given = Object::inner(value, key.to_owned())?;
    let lower = micrometres(given.number("lower_um", &Bounds::ANY)?);
    let upper = micrometres(given.number("upper_um", &Bounds::ANY)?);
    given.finish()?;
    Ok(Deviations { lower, upper })
}
