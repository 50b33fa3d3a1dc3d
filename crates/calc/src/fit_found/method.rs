//! `fit_found`: the fit found against the fit designed, as a described method.

use serde_json::Value;

use super::{Excess, FitPart, FoundFit, fit_found};
use crate::{
    fit::{Fit, NOMINAL_MM, deviations, said},
    iso286::Deviations,
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object,
        renamed, whole_nm_um, wrong,
    },
    quantity::Length,
};

/// `fit_found`: the fit found against the fit designed.
pub const METHOD: Method = Method {
    name: "fit_found",
    title: "Fit found against designed",
    summary: "The fit of measured parts beside the designed one, and which part is outside its own limits by how much. \
              Where a part was not measured its tolerance limits stand.",
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
            "hole as designed: a class such as \"G7\", or {lower_um, upper_um}",
            "a hole class, or lower not above upper",
        ),
        Param::of(
            Kind::Deviations,
            "shaft",
            "shaft as designed: a class such as \"f6\", or {lower_um, upper_um}",
            "a shaft class, or lower not above upper",
        ),
        Param::of(
            Kind::Numbers,
            "hole_sizes_mm",
            "two-point sizes of the hole at 20 degrees C; left out: not measured",
            "above 0, one at least; hole or shaft must be measured",
        )
        .unit("mm")
        .optional(),
        Param::of(
            Kind::Numbers,
            "shaft_sizes_mm",
            "two-point sizes of the shaft at 20 degrees C; left out: not measured",
            "above 0, one at least",
        )
        .unit("mm")
        .optional(),
    ],
    outputs: &[
        Output::new("kind", "", "found: clearance, transition or interference"),
        Output::new(
            "clearance_min_um",
            "um",
            "smallest clearance found, diametral; negative = interference",
        ),
        Output::new(
            "clearance_max_um",
            "um",
            "largest clearance found, diametral; negative = interference",
        ),
        Output::new(
            "at_fault",
            "",
            "part outside its own limits: none, hole, shaft or both",
        ),
        Output::new(
            "as_designed",
            "",
            "whether the fit found lies inside the designed one",
        ),
        Output::new("designed_kind", "", "kind as designed"),
        Output::new(
            "designed_clearance_min_um",
            "um",
            "smallest clearance as designed",
        ),
        Output::new(
            "designed_clearance_max_um",
            "um",
            "largest clearance as designed",
        ),
        Output::new(
            "hole_below_um",
            "um",
            "hole under its lower limit by; null: not measured",
        ),
        Output::new(
            "hole_above_um",
            "um",
            "hole over its upper limit by; null: not measured",
        ),
        Output::new(
            "shaft_below_um",
            "um",
            "shaft under its lower limit by; null: not measured",
        ),
        Output::new(
            "shaft_above_um",
            "um",
            "shaft over its upper limit by; null: not measured",
        ),
    ],
    formula: "clearance_min = smallest hole - largest shaft, clearance_max = largest hole - smallest shaft; \
              below = lower limit - smallest size, above = largest size - upper limit, 0 where not outside",
    source: "ISO 286-1:2010, clause 3 (memory); classes see tolerance",
    cautions: &[
        "Sizes at 20 degrees Celsius; see reference_temperature.",
        "No uncertainty is counted here: near a limit see conformity.",
        "A part can be out of its limits while the fit is as designed: the next partner will not make up for it.",
    ],
    example: r#"{"nominal_mm": 480, "hole": {"lower_um": -45, "upper_um": 0}, "shaft": "f6", "hole_sizes_mm": [479.97, 479.982], "shaft_sizes_mm": [479.86, 479.875]}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let given = input;
    let input = Object::root(input)?;
    let nominal = input.length("nominal_mm", &NOMINAL_MM)?;
    let part = |key, sizes_key| {
        let designed = deviations(&input, key, nominal)?;
        let sizes = input.optional_lengths(sizes_key, &Bounds::LENGTH_MM)?;
        if sizes.as_ref().is_some_and(Vec::is_empty) {
            let problem = "one size at least is expected; leave the key out if not measured";
            return Err(wrong(sizes_key, problem.to_owned()));
        }
        let sizes = sizes.unwrap_or_default();
        Ok(FitPart { designed, sizes })
    };
    let hole = part("hole", "hole_sizes_mm")?;
    let shaft = part("shaft", "shaft_sizes_mm")?;
    input.finish()?;
    let keys = [
        ("hole_sizes", "hole_sizes_mm"),
        ("shaft_sizes", "shaft_sizes_mm"),
        ("nominal", "nominal_mm"),
        ("lower", "lower_um"),
        ("upper", "upper_um"),
    ];
    let result = fit_found(nominal, &hole, &shaft).map_err(|error| renamed(&error, &keys))?;
    let excess = |excess: Option<Excess>, end: fn(&Excess) -> Length| {
        excess.map_or(Value::Null, |excess| whole_nm_um(end(&excess)))
    };
    let (found, designed) = (&result.found, &result.designed);
    let output = object([
        ("kind", Value::from(found.kind.as_str())),
        ("clearance_min_um", whole_nm_um(found.clearance_min)),
        ("clearance_max_um", whole_nm_um(found.clearance_max)),
        ("at_fault", Value::from(result.at_fault().as_str())),
        ("as_designed", Value::from(result.is_as_designed())),
        ("designed_kind", Value::from(designed.kind.as_str())),
        (
            "designed_clearance_min_um",
            whole_nm_um(designed.clearance_min),
        ),
        (
            "designed_clearance_max_um",
            whole_nm_um(designed.clearance_max),
        ),
        ("hole_below_um", excess(result.hole_excess, |e| e.below)),
        ("hole_above_um", excess(result.hole_excess, |e| e.above)),
        ("shaft_below_um", excess(result.shaft_excess, |e| e.below)),
        ("shaft_above_um", excess(result.shaft_excess, |e| e.above)),
    ]);
    let said = |key| said(given, key);
    let mut steps = vec![
        limits_step("hole", &hole.designed, said("hole")),
        limits_step("shaft", &shaft.designed, said("shaft")),
        clearance_step(designed, "designed"),
    ];
    steps.extend(part_steps("hole", &result.hole, result.hole_excess));
    steps.extend(part_steps("shaft", &result.shaft, result.shaft_excess));
    steps.extend(found_steps(&result));
    Ok(Worked { output, steps })
}

fn limits_step(part: &str, limits: &Deviations, note: String) -> Step {
    Step::new(
        &format!("{part} designed: {{}} / {{}}"),
        [Part::Small(limits.lower), Part::Small(limits.upper)],
        Part::Small(limits.grade()),
        note,
    )
}

fn clearance_step(fit: &Fit, which: &str) -> Step {
    Step::new(
        &format!("{which}: {{}} / {{}}"),
        [
            Part::Small(fit.clearance_min),
            Part::Small(fit.clearance_max),
        ],
        Part::text(fit.kind.as_str()),
        "smallest and largest clearance, diametral",
    )
}

/// What was measured of a part and how far it is out; nothing where it was not measured.
fn part_steps(part: &str, found: &Deviations, excess: Option<Excess>) -> Vec<Step> {
    let Some(excess) = excess else {
        return Vec::new();
    };
    let out =
        |name, length| Step::new(name, [], Part::Small(length), format!("{part} at fault by"));
    let zero = Length::default();
    let mut steps = vec![Step::new(
        &format!("{part} found: {{}} / {{}}"),
        [Part::Small(found.lower), Part::Small(found.upper)],
        Part::Small(found.grade()),
        "smallest and largest size against nominal; their difference",
    )];
    if excess.below > zero {
        steps.push(out("below the lower limit", excess.below));
    }
    if excess.above > zero {
        steps.push(out("above the upper limit", excess.above));
    }
    steps
}

fn found_steps(result: &FoundFit) -> [Step; 3] {
    let (hole, shaft, found) = (&result.hole, &result.shaft, &result.found);
    [
        Step::new(
            "smallest: {} - ({})",
            [Part::Small(hole.lower), Part::Small(shaft.upper)],
            Part::Small(found.clearance_min),
            "hole lower - shaft upper, as found",
        ),
        Step::new(
            "largest: {} - ({})",
            [Part::Small(hole.upper), Part::Small(shaft.lower)],
            Part::Small(found.clearance_max),
            "hole upper - shaft lower, as found",
        ),
        clearance_step(found, "found"),
    ]
}
