//! `tolerance`: limit deviations of a class as a described method.

use serde_json::Value;

use super::tolerance;
use crate::method::{
    Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object, renamed,
    um,
};

/// `tolerance`: limit deviations of a tolerance class.
pub const METHOD: Method = Method {
    name: "tolerance",
    title: "Tolerance",
    summary: "Limit deviations of a hole or shaft class of ISO 286 at a nominal size.",
    inputs: &[
        Param::number(
            "nominal_mm",
            "mm",
            "nominal size",
            "above 0 up to 3150; a border size belongs to the lower range",
        ),
        Param::of(
            Kind::Text,
            "class",
            "tolerance class, capital letter for a hole",
            "grades 3 to 11; shafts d e f g h js j k m n p r s, holes D E F G H JS J K M N P R S",
        ),
    ],
    outputs: &[
        Output::new("lower_um", "um", "lower limit deviation"),
        Output::new("upper_um", "um", "upper limit deviation"),
        Output::new("grade_um", "um", "standard tolerance: upper minus lower"),
    ],
    formula: "shaft d to h: es from the table, ei = es - IT; j to s: ei from the table, es = ei + IT; \
              hole D to H: EI = -es; K to S: ES = -ei + Delta where the rules say so; js and JS: IT/2 each way",
    source: "ISO 286-1:2010, Tables 1 to 5 (from memory, checked against the sources named in the tables)",
    cautions: &["Odd grades of js and JS are halved exactly, not rounded to whole micrometres."],
    example: r#"{"nominal_mm": 420, "class": "H7"}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let nominal = input.length("nominal_mm", &Bounds::ANY)?;
    let class = input.text("class")?;
    input.finish()?;
    let limits =
        tolerance(nominal, class).map_err(|error| renamed(&error, &[("nominal", "nominal_mm")]))?;
    let (lower, upper) = (limits.lower, limits.upper);
    let steps = vec![
        Step::new(
            "IT of {} at {}",
            [Part::text(class), Part::Length(nominal)],
            Part::Small(limits.grade()),
            "standard tolerance, ISO 286-1",
        ),
        Step::new(
            "lower limit: {} + {}",
            [Part::Length(nominal), Part::Small(lower)],
            Part::Length(nominal + lower),
            "nominal + lower deviation",
        ),
        Step::new(
            "upper limit: {} + {}",
            [Part::Length(nominal), Part::Small(upper)],
            Part::Length(nominal + upper),
            "nominal + upper deviation",
        ),
    ];
    let output = object([
        ("lower_um", um("lower_um", limits.lower)?),
        ("upper_um", um("upper_um", limits.upper)?),
        ("grade_um", um("grade_um", limits.grade())?),
    ]);
    Ok(Worked { output, steps })
}
