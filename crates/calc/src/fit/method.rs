//! `fit`: kind and clearances of a fit as a described method.

use serde_json::Value;

use super::fit;
use crate::{
    iso286::{Deviations, is_hole_class, tolerance},
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object,
        renamed, um, wrong,
    },
    quantity::{Length, micrometres},
};

/// `fit`: the fit of a hole and a shaft.
pub const METHOD: Method = Method {
    name: "fit",
    title: "Fit",
    summary: "Kind of the fit and its smallest and largest clearance, from classes or from deviations.",
    inputs: &[
        Param::number(
            "nominal_mm",
            "mm",
            "nominal size of both",
            "above 0 up to 3150",
        ),
        Param::of(
            Kind::Deviations,
            "hole",
            "hole: a class such as \"G7\", or {lower_um, upper_um}",
            "a hole class, or lower not above upper",
        ),
        Param::of(
            Kind::Deviations,
            "shaft",
            "shaft: a class such as \"f6\", or {lower_um, upper_um}",
            "a shaft class, or lower not above upper",
        ),
    ],
    outputs: &[
        Output::new("kind", "", "clearance, transition or interference"),
        Output::new(
            "clearance_min_um",
            "um",
            "smallest clearance, diametral; negative = interference",
        ),
        Output::new(
            "clearance_max_um",
            "um",
            "largest clearance, diametral; negative = interference",
        ),
    ],
    formula: "clearance_min = lower(hole) - upper(shaft), clearance_max = upper(hole) - lower(shaft); \
              clearance if min >= 0, else interference if max <= 0, else transition",
    source: "ISO 286-1:2010, clause 3 (memory); classes see tolerance",
    cautions: &["Sizes at 20 degrees Celsius; a warm part fits differently."],
    example: r#"{"nominal_mm": 650, "hole": "G7", "shaft": "g6"}"#,
    run,
};

/// Nominal sizes of ISO 286.
pub(crate) const NOMINAL_MM: Bounds = Bounds::above(0.0..=3_150.0);

fn run(input: &Value) -> Result<Worked, InputError> {
    let input_value = input;
    let input = Object::root(input)?;
    let nominal = input.length("nominal_mm", &NOMINAL_MM)?;
    let hole = deviations(&input, "hole", nominal)?;
    let shaft = deviations(&input, "shaft", nominal)?;
    input.finish()?;
    let fit = fit(&hole, &shaft)
        .map_err(|error| renamed(&error, &[("lower", "lower_um"), ("upper", "upper_um")]))?;
    let small = Part::Small;
    let steps = vec![
        Step::new(
            "hole: {} / {}",
            [small(hole.lower), small(hole.upper)],
            small(hole.grade()),
            said(input_value, "hole"),
        ),
        Step::new(
            "shaft: {} / {}",
            [small(shaft.lower), small(shaft.upper)],
            small(shaft.grade()),
            said(input_value, "shaft"),
        ),
        Step::new(
            "smallest: {} - ({})",
            [small(hole.lower), small(shaft.upper)],
            small(fit.clearance_min),
            "hole lower - shaft upper",
        ),
        Step::new(
            "largest: {} - ({})",
            [small(hole.upper), small(shaft.lower)],
            small(fit.clearance_max),
            "hole upper - shaft lower",
        ),
    ];
    let output = object([
        ("kind", Value::from(fit.kind.as_str())),
        (
            "clearance_min_um",
            um("clearance_min_um", fit.clearance_min)?,
        ),
        (
            "clearance_max_um",
            um("clearance_max_um", fit.clearance_max)?,
        ),
    ]);
    Ok(Worked { output, steps })
}

/// Where the deviations of a part come from.
pub(crate) fn said(input: &Value, key: &str) -> String {
    match input.get(key).and_then(Value::as_str) {
        Some(class) => format!("{class}, ISO 286-1; width of the zone"),
        None => "as given; width of the zone".to_owned(),
    }
}

/// A class of the right kind, or both deviations; the key is `hole` or `shaft`.
pub(crate) fn deviations(
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
