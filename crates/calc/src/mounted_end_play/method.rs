//! `mounted_end_play`: end play that tight rings leave, as a described method.

use serde_json::Value;

use super::{K_RANGE, ROWS_RANGE, Tight, end_play_loss};
use crate::{
    clearance_loss::input::{HOUSING_OUTSIDE, INTERFERENCE_INNER, INTERFERENCE_OUTER, SHAFT_BORE},
    method::{
        Bounds, InputError, Method, Object, Output, Param, Part, Step, Worked, mm, object, renamed,
        wrong,
    },
    quantity::{Length, micrometres},
};

/// `mounted_end_play`: bench end play less the effect of tight fits.
pub const METHOD: Method = Method {
    name: "mounted_end_play",
    title: "Mounted end play",
    summary: "End play of tapered rows that is left of the bench end play when the inner or the outer rings sit tight.",
    inputs: &[
        Param::number(
            "bench_end_play_mm",
            "mm",
            "end play on the bench",
            "-100000 to 100000",
        ),
        Param::number("k_factor", "", "K factor of a row", "0.2 to 5"),
        Param::number("bore_mm", "mm", "bore", "above 0"),
        Param::number(
            "inner_race_mm",
            "mm",
            "mean race diameter of the inner ring",
            "above bore_mm",
        ),
        INTERFERENCE_INNER,
        Param::number(
            "rows",
            "",
            "rows that share the end play; none = 2",
            "1 or 2",
        )
        .optional(),
        SHAFT_BORE,
        Param::number(
            "outside_mm",
            "mm",
            "outside diameter, with a tight outer ring",
            "above outer_race_mm",
        )
        .optional(),
        Param::number(
            "outer_race_mm",
            "mm",
            "mean race diameter of the outer ring, with a tight outer ring",
            "above 0",
        )
        .optional(),
        INTERFERENCE_OUTER,
        HOUSING_OUTSIDE,
    ],
    outputs: &[
        Output::new(
            "mounted_end_play_mm",
            "mm",
            "end play when mounted; negative = preload",
        ),
        Output::new("loss_inner_mm", "mm", "taken by the inner rings"),
        Output::new("loss_outer_mm", "mm", "taken by the outer rings"),
    ],
    formula: "mounted = bench - rows x 0.5 x (K/0.39) x (share_i x interference_i + share_o x interference_o), shares as of clearance_loss",
    source: "Timken Engineering Manual, pp. 79-81, shared/reference/interference_rules.toml; page 81 prints D/Do for the outer ring, Do/D of page 79 is used, as Lame gives",
    cautions: &[
        "Zero or negative is preload: stop, check spacers and fits before the bearing runs.",
        "Loose rings take nothing: four-row bearings that are loose on the neck keep their bench end play. One temperature.",
        "A tight ring is heated or pressed: see the cautions there, the site's own procedure first.",
    ],
    example: r#"{"bench_end_play_mm": 0.5, "k_factor": 1.68, "bore_mm": 300, "inner_race_mm": 345, "interference_inner_um": 80, "shaft_bore_mm": 100}"#,
    run,
};

const KEYS: [(&str, &str); 9] = [
    ("bore", "bore_mm"),
    ("inner_raceway", "inner_race_mm"),
    ("shaft_bore", "shaft_bore_mm"),
    ("interference_inner", "interference_inner_um"),
    ("outside", "outside_mm"),
    ("outer_raceway", "outer_race_mm"),
    ("housing_outside", "housing_outside_mm"),
    ("interference_outer", "interference_outer_um"),
    ("k_factor", "k_factor"),
];

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let bench = input.length("bench_end_play_mm", &Bounds::DIFFERENCE_MM)?;
    let k_factor = input.number("k_factor", &Bounds::within(K_RANGE))?;
    let inner = Tight::Inner {
        bore: input.length("bore_mm", &Bounds::LENGTH_MM)?,
        race: input.length("inner_race_mm", &Bounds::LENGTH_MM)?,
        shaft_bore: input
            .optional_length("shaft_bore_mm", &Bounds::LENGTH_OR_NONE_MM)?
            .unwrap_or_default(),
    };
    let interference_inner =
        micrometres(input.number("interference_inner_um", &Bounds::DIFFERENCE_UM)?);
    let rows = input
        .optional_number("rows", &Bounds::within(ROWS_RANGE))?
        .unwrap_or(2.0);
    let outside = input.optional_length("outside_mm", &Bounds::LENGTH_MM)?;
    let outer_race = input.optional_length("outer_race_mm", &Bounds::LENGTH_MM)?;
    let housing_outside = input.optional_length("housing_outside_mm", &Bounds::LENGTH_MM)?;
    let interference_outer = micrometres(
        input
            .optional_number("interference_outer_um", &Bounds::DIFFERENCE_UM)?
            .unwrap_or(0.0),
    );
    input.finish()?;
    if rows.fract() != 0.0 {
        return Err(wrong("rows", "1 or 2 is expected".to_owned()));
    }
    let loss = |ring: &Tight, interference: Length| {
        let row = end_play_loss(k_factor, ring, interference);
        row.map(|row| row * rows)
            .map_err(|error| renamed(&error, &KEYS))
    };
    let loss_inner = loss(&inner, interference_inner)?;
    let loss_outer = match (outside, outer_race) {
        (Some(outside), Some(race)) => loss(
            &Tight::Outer {
                outside,
                race,
                housing_outside,
            },
            interference_outer,
        )?,
        _ if interference_outer <= micrometres(0.0) => micrometres(0.0),
        (None, _) => {
            return Err(wrong(
                "outside_mm",
                "missing, the outer ring is tight".to_owned(),
            ));
        }
        (_, None) => {
            return Err(wrong(
                "outer_race_mm",
                "missing, the outer ring is tight".to_owned(),
            ));
        }
    };
    let mounted = bench - loss_inner - loss_outer;
    let (length, um) = (Part::Length, Part::Small);
    let slope = Part::number(0.5 * k_factor / super::K_BASE * rows, "", 4);
    let steps = vec![
        Step::new(
            "{} x 0.5 x {} / 0.39",
            [Part::number(rows, "rows", 0), Part::number(k_factor, "", 3)],
            slope.clone(),
            "axial for diametral",
        ),
        Step::new(
            "{} x share x {}",
            [slope.clone(), um(interference_inner)],
            length(loss_inner),
            "inner rings; loose ones take nothing",
        ),
        Step::new(
            "{} x share x {}",
            [slope, um(interference_outer)],
            length(loss_outer),
            "outer rings; loose ones take nothing",
        ),
        Step::new(
            "{} - {} - {}",
            [length(bench), length(loss_inner), length(loss_outer)],
            length(mounted),
            if mounted > micrometres(0.0) {
                "end play when mounted"
            } else {
                "no end play left: preload, stop and check"
            },
        ),
    ];
    let output = object([
        ("mounted_end_play_mm", mm("mounted_end_play_mm", mounted)?),
        ("loss_inner_mm", mm("loss_inner_mm", loss_inner)?),
        ("loss_outer_mm", mm("loss_outer_mm", loss_outer)?),
    ]);
    Ok(Worked { output, steps })
}
