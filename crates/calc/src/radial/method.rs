//! `radial_from_axial`: radial clearance from end play as a described method.

use serde_json::Value;

use super::{CONTACT_ANGLE_DEG, group_of, radial_from_axial};
use crate::{
    error::CalcError,
    method::{
        Bounds, InputError, Method, Object, Output, Param, Part, Step, Worked, object,
        optional_number, renamed, um,
    },
    quantity::{as_micrometres, degrees},
};

/// `radial_from_axial`: the diametral clearance behind an end play.
pub const METHOD: Method = Method {
    name: "radial_from_axial",
    title: "End play to radial",
    summary: "Diametral clearance of a tapered roller row pair from its end play and contact angle, and the clearance \
              group it lies in.",
    inputs: &[
        Param::number(
            "end_play_mm",
            "mm",
            "end play of the row pair; negative = preload",
            "-100000 to 100000",
        ),
        Param::number(
            "contact_angle_deg",
            "°",
            "contact angle at the outer raceway",
            "1 to 60",
        ),
        Param::number(
            "bore_mm",
            "mm",
            "bore, for the clearance group",
            "above 14 up to 900",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("clearance_um", "um", "diametral clearance"),
        Output::new(
            "group",
            "",
            "C1, C2, CN, C3 or C4; null without bore or outside all groups",
        ),
        Output::new(
            "group_min_um",
            "um",
            "lower limit of the group; null without one",
        ),
        Output::new(
            "group_max_um",
            "um",
            "upper limit of the group; null without one",
        ),
    ],
    formula: "clearance = end play x tan(contact angle)",
    source: "geometry (memory); groups: one maker's table, shared/reference/trb_radial_clearance.csv",
    cautions: &[
        "Groups hold for the bearing before mounting; a tight fit takes clearance away.",
        "The table is one maker's; the drawing or the type's own value comes first.",
        "End play is measured; the radial value follows from a nominal angle and is only as good as that.",
    ],
    example: r#"{"end_play_mm": 0.42, "contact_angle_deg": 15, "bore_mm": 340}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let end_play = input.length("end_play_mm", &Bounds::DIFFERENCE_MM)?;
    let angle = input.number("contact_angle_deg", &Bounds::within(CONTACT_ANGLE_DEG))?;
    let bore = input.optional_length("bore_mm", &Bounds::above(0.0..=100_000.0))?;
    input.finish()?;
    let clearance = radial_from_axial(end_play, degrees(angle)).map_err(|error| named(&error))?;
    let group = bore.map(|bore| group_of(clearance, bore)).transpose();
    let group = group.map_err(|error| named(&error))?.flatten();
    let mut steps = vec![Step::new(
        "{} x tan({})",
        [Part::Length(end_play), Part::number(angle, "°", 2)],
        Part::Small(clearance),
        "diametral clearance",
    )];
    if let Some(bore) = bore {
        let found = group.as_ref();
        steps.push(Step::new(
            "bore {}",
            [Part::Length(bore)],
            Part::text(found.map_or("outside all groups", |group| group.name)),
            "clearance group, a maker's table",
        ));
    }
    let limit = |key, length: Option<_>| optional_number(key, length.map(as_micrometres));
    let output = object([
        ("clearance_um", um("clearance_um", clearance)?),
        ("group", Value::from(group.as_ref().map(|group| group.name))),
        (
            "group_min_um",
            limit("group_min_um", group.as_ref().map(|group| group.min))?,
        ),
        (
            "group_max_um",
            limit("group_max_um", group.as_ref().map(|group| group.max))?,
        ),
    ]);
    Ok(Worked { output, steps })
}

fn named(error: &CalcError) -> InputError {
    renamed(
        error,
        &[
            ("end_play", "end_play_mm"),
            ("contact_angle", "contact_angle_deg"),
            ("bore", "bore_mm"),
        ],
    )
}
