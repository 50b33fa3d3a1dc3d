//! `ring`: limit deviations of a bearing ring as a described method.

use serde_json::Value;

use super::{RingKind, RingLimits, RingSurface, ring};
use crate::{
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object,
        renamed, um, wrong,
    },
    quantity::Length,
};

/// `ring`: limit deviations of the bore or outside diameter of a bearing ring.
pub const METHOD: Method = Method {
    name: "ring",
    title: "Ring limits",
    summary: "Limit deviations of the mean bore or outside diameter of a bearing ring at its nominal size.",
    inputs: &[
        Param::of(
            Kind::Choice(&["radial", "tapered_metric", "tapered_inch"]),
            "kind",
            "family of the bearing",
            "radial (all but tapered roller), tapered_metric or tapered_inch",
        ),
        Param::of(
            Kind::Text,
            "class",
            "tolerance class",
            "radial: Normal, 6, 5; tapered_metric: Normal, 5; tapered_inch: 4, 2, 3",
        ),
        Param::number(
            "bore_mm",
            "mm",
            "nominal bore of the inner ring; either this or outside_mm",
            "over 50 up to 2000, tapered_inch above 0; not every class reaches so far",
        )
        .optional(),
        Param::number(
            "outside_mm",
            "mm",
            "nominal outside diameter of the outer ring; either this or bore_mm",
            "over 80 up to 2500, tapered_inch above 0; not every class reaches so far",
        )
        .optional(),
    ],
    outputs: &[
        Output::new(
            "lower_um",
            "um",
            "lower limit deviation of the mean diameter",
        ),
        Output::new(
            "upper_um",
            "um",
            "upper limit deviation of the mean diameter",
        ),
    ],
    formula: "the row of the table that holds at the nominal size: over, up to and including",
    source: "ISO 492 as printed in SKF, Rolling bearings, 17000/1 EN (2018), tables 2-4 (radial), and in GOST 520-2011, \
             tables 16, 17, 23, 24 (metric tapered); ABMA 19.2 as printed in Timken Engineering Manual, tables 28, 29",
    cautions: &[
        "The limits hold for the mean diameter in one plane, not for a single two-point size: a thin ring may be out of round before it is mounted.",
        "Inch tapered roller bearings have plus tolerances, metric ones minus tolerances.",
    ],
    example: r#"{"kind": "tapered_metric", "class": "Normal", "bore_mm": 420}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let kind = input.choice("kind", &RingKind::ALL, RingKind::as_str)?;
    let class = input.text("class")?;
    let bore = input.optional_length("bore_mm", &Bounds::LENGTH_MM)?;
    let outside = input.optional_length("outside_mm", &Bounds::LENGTH_MM)?;
    input.finish()?;
    let (surface, size) = match (bore, outside) {
        (Some(size), None) => (RingSurface::Bore, size),
        (None, Some(size)) => (RingSurface::Outside, size),
        (Some(_), Some(_)) => {
            let problem = "give either bore_mm or outside_mm, not both";
            return Err(wrong("outside_mm", problem.to_owned()));
        }
        (None, None) => {
            let problem = "missing; give bore_mm or outside_mm";
            return Err(wrong("bore_mm", problem.to_owned()));
        }
    };
    let keys = [("bore", "bore_mm"), ("outside", "outside_mm")];
    let limits = ring(kind, class, surface, size).map_err(|error| renamed(&error, &keys))?;
    let output = object([
        ("lower_um", um("lower_um", limits.deviations.lower)?),
        ("upper_um", um("upper_um", limits.deviations.upper)?),
    ]);
    let steps = steps(kind, class, (surface, size), &limits);
    Ok(Worked { output, steps })
}

fn steps(
    kind: RingKind,
    class: &str,
    (surface, size): (RingSurface, Length),
    limits: &RingLimits,
) -> Vec<Step> {
    let name = match surface {
        RingSurface::Bore => "mean bore",
        RingSurface::Outside => "mean outside diameter",
    };
    let (lower, upper) = (limits.deviations.lower, limits.deviations.upper);
    let limit = |pattern, deviation, which| {
        Step::new(
            pattern,
            [Part::Length(size), Part::Small(deviation)],
            Part::Length(size + deviation),
            format!("{name}: nominal + {which} deviation"),
        )
    };
    let row = format!(
        "{}, class {class}, {name}; width of the zone",
        kind.standard()
    );
    let mut steps = vec![
        limits.range.step(Part::Small(upper - lower), row),
        limit("smallest: {} + ({})", lower, "lower"),
        limit("largest: {} + ({})", upper, "upper"),
    ];
    steps.extend(limits.standing.step(kind.standard(), &limits.range));
    steps
}
