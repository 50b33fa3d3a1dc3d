//! `roundness`: least-squares circle of a section as a described method.

use serde_json::Value;

use super::section;
use crate::{
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object,
        optional_number, renamed, um,
    },
    quantity::{Length, as_micrometres, micrometres},
};

/// `roundness`: how round a section is.
pub const METHOD: Method = Method {
    name: "roundness",
    title: "Roundness",
    summary: "Roundness about the least-squares circle from readings of a dial gauge while the part turns, and the part of \
              the form that a two-point gauge cannot see.",
    inputs: &[Param::of(
        Kind::Numbers,
        "readings_um",
        "radial readings at equal angles round the section",
        "four or more, -1e6 to 1e6",
    )
    .unit("um")],
    outputs: &[
        Output::new("roundness_um", "um", "RONt, least-squares circle"),
        Output::new("radius_um", "um", "mean radius from the zero of the gauge"),
        Output::new("centre_x_um", "um", "centre towards the first reading"),
        Output::new("centre_y_um", "um", "centre a quarter turn further"),
        Output::new(
            "unseen_um",
            "um",
            "largest radial deviation that two-point sizes cannot see; null for an odd number of readings",
        ),
    ],
    formula: "R = mean r, a = 2/n sum(r cos), b = 2/n sum(r sin), d = r - R - a cos - b sin; RONt = max d - min d; \
              unseen = max |d(here) - d(opposite)| / 2",
    source: "ISO 12181-1 (memory); shared/reference/roundness.toml; opposite points: geometry (memory)",
    cautions: &[
        "Few readings miss narrow lobes: twelve or more show three, five and seven lobes.",
        "The part turns about its own axis or the runout of the table is in the readings.",
    ],
    example: r#"{"readings_um": [12, 3, -8, 2, 11, 1, -9, 4, 13, 2, -7, 3]}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let readings: Vec<Length> = input
        .numbers("readings_um", &Bounds::within(-1e6..=1e6))?
        .into_iter()
        .map(micrometres)
        .collect();
    input.finish()?;
    let found =
        section(&readings).map_err(|error| renamed(&error, &[("readings", "readings_um")]))?;
    let small = Part::Small;
    let mut steps = vec![
        Step::new(
            "mean of {} readings",
            [Part::number(readings.len() as f64, "", 0)],
            small(found.radius),
            "radius of the circle",
        ),
        Step::new(
            "centre {}, {}",
            [small(found.centre_x), small(found.centre_y)],
            Part::text("taken off"),
            "least-squares circle",
        ),
        Step::new(
            "largest - smallest deviation",
            [],
            small(found.roundness),
            "RONt, ISO 12181-1",
        ),
    ];
    if let Some(unseen) = found.unseen {
        steps.push(Step::new(
            "half the difference of opposite deviations",
            [],
            small(unseen),
            "odd lobes: not seen by a two-point gauge",
        ));
    }
    let output = object([
        ("roundness_um", um("roundness_um", found.roundness)?),
        ("radius_um", um("radius_um", found.radius)?),
        ("centre_x_um", um("centre_x_um", found.centre_x)?),
        ("centre_y_um", um("centre_y_um", found.centre_y)?),
        (
            "unseen_um",
            optional_number("unseen_um", found.unseen.map(as_micrometres))?,
        ),
    ]);
    Ok(Worked { output, steps })
}
