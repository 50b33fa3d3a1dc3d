//! `cover_shim`: the shim pack of the cover after spacers were ground, as a described method.

use serde_json::Value;

use super::{
    ShimPlace, SpacerChange, cover_shim_after, default_ring, method::read_ring, stack_change,
};
use crate::{
    conformity::Verdict,
    error::CalcError,
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object,
        optional_mm, renamed, whole_nm_mm, wrong,
    },
    quantity::{Length, nanometres},
};

/// `cover_shim`: the cover shims after a regrind.
pub const METHOD: Method = Method {
    name: "cover_shim",
    title: "Cover shims",
    summary: "New thickness of the shim pack from the widths of the spacers before and after grinding, and what to take off \
              the cover where no pack is thin enough.",
    inputs: &[
        Param::number("old_shim_mm", "mm", "shim pack before", "0 or more"),
        Param::of(
            Kind::Choice(&["under_flange", "between_cover_and_ring"]),
            "place",
            "where the shims lie",
            "under_flange, between_cover_and_ring",
        ),
        Param::of(
            Kind::Objects,
            "spacers",
            "spacers from the barrel, each an object of the keys below",
            "at least one",
        ),
        Param::number(
            "spacers[].before_mm",
            "mm",
            "width before, measured",
            "above 0",
        ),
        Param::number(
            "spacers[].after_mm",
            "mm",
            "width after, measured",
            "above 0",
        ),
        Param::of(
            Kind::Choice(&["outer", "inner"]),
            "spacers[].ring",
            "outer or inner: between which rings the spacer lies",
            "outer, inner; default outer, inner, outer",
        )
        .optional(),
    ],
    outputs: &[
        Output::new(
            "new_shim_mm",
            "mm",
            "shim pack after; null where it would be below zero",
        ),
        Output::new("verdict", "", "pass; fail: machine the cover"),
        Output::new(
            "machine_cover_mm",
            "mm",
            "to take off the cover so that no shim is needed; 0 where none",
        ),
        Output::new(
            "outer_stack_change_mm",
            "mm",
            "change of the outer stack, negative = shorter",
        ),
        Output::new(
            "inner_stack_change_mm",
            "mm",
            "the same for the inner stack",
        ),
    ],
    formula: "change = sum(after - before) of the outer spacers; under the flange: new = old + change; between cover and \
              ring: new = old - change; below zero: machine the cover by the rest",
    source: "common practice, no source (geometry)",
    cautions: &[
        "Widths measured after grinding count, not those that were ordered.",
        "The gap under the cover, measured at four places, decides in the end.",
        "A shorter inner stack needs its axial retention on the neck checked.",
    ],
    example: r#"{"old_shim_mm": 1.2, "place": "under_flange", "spacers": [{"before_mm": 24.012, "after_mm": 23.674}, {"before_mm": 30.004, "after_mm": 29.726}, {"before_mm": 24.008, "after_mm": 23.682}]}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let old = input.length("old_shim_mm", &Bounds::LENGTH_OR_NONE_MM)?;
    let places = [ShimPlace::UnderFlange, ShimPlace::BetweenCoverAndRing];
    let place = input.choice("place", &places, |place| match place {
        ShimPlace::UnderFlange => "under_flange",
        ShimPlace::BetweenCoverAndRing => "between_cover_and_ring",
    })?;
    let mut index = 0;
    let spacers: Vec<SpacerChange> = input.list("spacers", |value, path| {
        let spacer = Object::inner(value, path)?;
        let read = SpacerChange {
            ring: read_ring(&spacer, default_ring(index))?,
            before: spacer.length("before_mm", &Bounds::LENGTH_MM)?,
            after: spacer.length("after_mm", &Bounds::LENGTH_MM)?,
        };
        spacer.finish()?;
        index += 1;
        Ok(read)
    })?;
    input.finish()?;
    if spacers.is_empty() {
        return Err(wrong("spacers", "at least one spacer is needed".to_owned()));
    }
    let change = stack_change(&spacers);
    let (new, missing) = match cover_shim_after(old, change.outer, place) {
        Ok(new) => (Some(new), nanometres(0)),
        Err(CalcError::MachineCover { missing, .. }) => (None, missing),
        Err(error) => {
            let keys = [("old_shim", "old_shim_mm"), ("outer_change", "spacers")];
            return Err(renamed(&error, &keys));
        }
    };
    let verdict = Verdict::pass_if(new.is_some());
    let output = object([
        ("new_shim_mm", optional_mm(new)),
        ("verdict", Value::from(verdict.as_str())),
        ("machine_cover_mm", whole_nm_mm(missing)),
        ("outer_stack_change_mm", whole_nm_mm(change.outer)),
        ("inner_stack_change_mm", whole_nm_mm(change.inner)),
    ]);
    let mut steps = spacer_steps(&spacers);
    steps.extend(shim_steps(old, change.outer, place, new, missing));
    Ok(Worked { output, steps })
}

fn spacer_steps(spacers: &[SpacerChange]) -> Vec<Step> {
    let line = |(place, spacer): (usize, &SpacerChange)| {
        let ring = match spacer.ring {
            super::StackRing::Outer => "outer stack",
            super::StackRing::Inner => "inner stack",
        };
        Step::new(
            &format!("spacer {}: {{}} - {{}}", place + 1),
            [Part::Length(spacer.after), Part::Length(spacer.before)],
            Part::Length(spacer.after - spacer.before),
            ring,
        )
    };
    spacers.iter().enumerate().map(line).collect()
}

fn shim_steps(
    old: Length,
    outer_change: Length,
    place: ShimPlace,
    new: Option<Length>,
    missing: Length,
) -> Vec<Step> {
    let length = Part::Length;
    let (pattern, note) = match place {
        ShimPlace::UnderFlange => (
            "{} + ({})",
            "under the flange: a shorter stack needs a thinner pack",
        ),
        ShimPlace::BetweenCoverAndRing => (
            "{} - ({})",
            "between cover and ring: a shorter stack needs a thicker pack",
        ),
    };
    let mut steps = vec![Step::new(
        pattern,
        [length(old), length(outer_change)],
        new.map_or(length(nanometres(0) - missing), length),
        note,
    )];
    if new.is_none() {
        steps.push(Step::new(
            "below zero",
            [],
            length(missing),
            "machine the cover by this, no shim",
        ));
    }
    steps
}
