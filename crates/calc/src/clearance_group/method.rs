//! `clearance_group`: radial internal clearance of a group as a described method.

use serde_json::Value;

use super::{Group, RollerKind, SeatForm, clearance_group};
use crate::method::{
    Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object, renamed,
    um,
};

/// `clearance_group`: radial internal clearance of a group.
pub const METHOD: Method = Method {
    name: "clearance_group",
    title: "Clearance group",
    summary: "Limits of the radial internal clearance of an unmounted roller bearing by its group.",
    inputs: &[
        Param::of(
            Kind::Choice(&["cylindrical", "spherical"]),
            "kind",
            "kind of roller bearing",
            "cylindrical or spherical",
        ),
        Param::number(
            "bore_mm",
            "mm",
            "nominal bore",
            "cylindrical: above 0 up to 1250; spherical: over 18 up to 1250, tapered seat over 40 up to 1000",
        ),
        Param::of(
            Kind::Choice(&["C2", "CN", "C3", "C4", "C5"]),
            "group",
            "clearance group",
            "C2, CN (normal), C3, C4 or C5",
        ),
        Param::of(
            Kind::Choice(&["cylindrical", "tapered"]),
            "seat",
            "form of the seat of the inner ring; left out: cylindrical",
            "cylindrical; tapered for spherical roller bearings only",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("min_um", "um", "smallest radial internal clearance"),
        Output::new("max_um", "um", "largest radial internal clearance"),
    ],
    formula: "the row of the table that holds at the bore: over, up to and including",
    source: "ISO 5753-1 as printed in SKF, Rolling bearings, 17000/1 EN (2018), chapter 6 table 3, chapter 9 tables 4 and 5",
    cautions: &[
        "Unmounted and without load: an interference fit and a warm inner ring take clearance away.",
    ],
    example: r#"{"kind": "cylindrical", "bore_mm": 480, "group": "C3"}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let kind = input.choice("kind", &RollerKind::ALL, RollerKind::as_str)?;
    let bore = input.length("bore_mm", &Bounds::LENGTH_MM)?;
    let group = input.choice("group", &Group::ALL, Group::as_str)?;
    let seat = match input.optional("seat").filter(|seat| !seat.is_null()) {
        None => SeatForm::Cylindrical,
        Some(_) => input.choice("seat", &SeatForm::ALL, SeatForm::as_str)?,
    };
    input.finish()?;
    let limits = clearance_group(kind, seat, bore, group)
        .map_err(|error| renamed(&error, &[("bore", "bore_mm")]))?;
    let row = format!(
        "ISO 5753-1, {} roller bearings, {} bore, {}: ",
        kind.as_str(),
        seat.as_str(),
        group.as_str()
    );
    let mut steps: Vec<Step> = [("smallest", limits.min), ("largest", limits.max)]
        .into_iter()
        .map(|(which, value)| {
            limits
                .range
                .step(Part::Small(value), format!("{row}{which}"))
        })
        .collect();
    steps.push(Step::new(
        "{} - {}",
        [Part::Small(limits.max), Part::Small(limits.min)],
        Part::Small(limits.max - limits.min),
        "width of the group",
    ));
    steps.extend(limits.standing.step("ISO 5753-1", &limits.range));
    let output = object([
        ("min_um", um("min_um", limits.min)?),
        ("max_um", um("max_um", limits.max)?),
    ]);
    Ok(Worked { output, steps })
}
