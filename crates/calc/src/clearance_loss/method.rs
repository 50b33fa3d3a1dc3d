//! `clearance_loss`: radial clearance left after mounting and warming up, as a described method.

use serde_json::Value;

use super::{
    EXPANSION_RANGE_PER_K, INNER_HEIGHT_SHARE, INNER_RULE, Mounting, Residual, STEEL_PER_K,
    WARMER_RANGE_K, clearance_loss, estimated_inner_raceway,
    input::{HOUSING_OUTSIDE, INTERFERENCE_INNER, INTERFERENCE_OUTER, SHAFT_BORE},
};
use crate::{
    method::{
        Bounds, InputError, Method, Object, Output, Param, Part, Step, Worked, number, object,
        renamed, um,
    },
    quantity::{as_kelvins, as_per_kelvin, kelvins, micrometres, per_kelvin},
};

/// `clearance_loss`: what tight rings and warmth leave of a clearance.
pub const METHOD: Method = Method {
    name: "clearance_loss",
    title: "Mounted clearance",
    summary: "Radial clearance that is left after tight fits of inner and outer ring and a difference of temperature.",
    inputs: &[
        Param::number(
            "clearance_um",
            "um",
            "radial internal clearance before mounting",
            "-100000 to 100000",
        ),
        Param::number("bore_mm", "mm", "bore of the bearing", "above 0"),
        Param::number("outside_mm", "mm", "outside diameter", "above bore_mm"),
        INTERFERENCE_INNER,
        INTERFERENCE_OUTER,
        Param::number(
            "inner_raceway_mm",
            "mm",
            "effective raceway diameter of the inner ring; none = bore + 0.25 (outside - bore)",
            "between bore_mm and outside_mm",
        )
        .optional(),
        Param::number(
            "outer_raceway_mm",
            "mm",
            "effective raceway diameter of the outer ring; needed where that is tight",
            "between bore_mm and outside_mm",
        )
        .optional(),
        SHAFT_BORE,
        HOUSING_OUTSIDE,
        Param::number(
            "inner_warmer_k",
            "K",
            "how much warmer the inner ring runs than the outer; none = 0",
            "-200 to 200",
        )
        .optional(),
        Param::number(
            "expansion_per_k",
            "1/K",
            "expansion of the rings; none = 11e-6",
            "1e-6 to 1e-4",
        )
        .optional(),
    ],
    outputs: &[
        Output::new(
            "residual_um",
            "um",
            "clearance that is left; negative = preload",
        ),
        Output::new("loss_inner_um", "um", "loss by the inner ring"),
        Output::new("loss_outer_um", "um", "loss by the outer ring"),
        Output::new(
            "loss_temperature_um",
            "um",
            "loss by the difference of temperature; negative = gain",
        ),
        Output::new(
            "share_inner",
            "",
            "share of its interference by which the inner raceway grows",
        ),
        Output::new(
            "share_outer",
            "",
            "share of its interference by which the outer raceway shrinks",
        ),
    ],
    formula: "residual = clearance - share_i x interference_i - share_o x interference_o - expansion x (bore + outside)/2 x warmer; \
              share_i = (d/F) (1 - (s/d)^2) / (1 - (s/d)^2 (d/F)^2), share_o = (E/D) (1 - (D/H)^2) / (1 - (E/D)^2 (D/H)^2)",
    source: "NTN CAT. No. 2203/E, tables 8.3, 8.5, eq. (8.4), shared/reference/clearance_reduction.csv; raceway estimate: SKF 17000/1 EN, p. 146; temperature: Schaeffler HR 1, p. 98, shared/reference/thermal_expansion.toml; rule of thumb beside it: Timken Engineering Manual, p. 83",
    cautions: &[
        "All parts of steel. Effective interference: smoothing of rough seats already taken off.",
        "Zero or negative is preload: stop, check fit and spacers before the bearing runs.",
        "A tight ring is heated or pressed: see the cautions there, the site's own procedure first.",
    ],
    example: r#"{"clearance_um": 630, "bore_mm": 760, "outside_mm": 1030, "interference_inner_um": 310, "inner_raceway_mm": 828, "shaft_bore_mm": 200, "inner_warmer_k": 10}"#,
    run,
};

const KEYS: [(&str, &str); 11] = [
    ("clearance", "clearance_um"),
    ("bore", "bore_mm"),
    ("outside", "outside_mm"),
    ("inner_raceway", "inner_raceway_mm"),
    ("outer_raceway", "outer_raceway_mm"),
    ("shaft_bore", "shaft_bore_mm"),
    ("housing_outside", "housing_outside_mm"),
    ("interference_inner", "interference_inner_um"),
    ("interference_outer", "interference_outer_um"),
    ("inner_warmer", "inner_warmer_k"),
    ("expansion", "expansion_per_k"),
];

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let mounting = Mounting {
        clearance: micrometres(input.number("clearance_um", &Bounds::DIFFERENCE_UM)?),
        bore: input.length("bore_mm", &Bounds::LENGTH_MM)?,
        outside: input.length("outside_mm", &Bounds::LENGTH_MM)?,
        interference_inner: micrometres(
            input.number("interference_inner_um", &Bounds::DIFFERENCE_UM)?,
        ),
        interference_outer: micrometres(
            input
                .optional_number("interference_outer_um", &Bounds::DIFFERENCE_UM)?
                .unwrap_or(0.0),
        ),
        inner_raceway: input.optional_length("inner_raceway_mm", &Bounds::LENGTH_MM)?,
        outer_raceway: input.optional_length("outer_raceway_mm", &Bounds::LENGTH_MM)?,
        shaft_bore: input
            .optional_length("shaft_bore_mm", &Bounds::LENGTH_OR_NONE_MM)?
            .unwrap_or_default(),
        housing_outside: input.optional_length("housing_outside_mm", &Bounds::LENGTH_MM)?,
        inner_warmer: kelvins(
            input
                .optional_number("inner_warmer_k", &Bounds::within(WARMER_RANGE_K))?
                .unwrap_or(0.0),
        ),
        expansion: per_kelvin(
            input
                .optional_number("expansion_per_k", &Bounds::within(EXPANSION_RANGE_PER_K))?
                .unwrap_or(STEEL_PER_K),
        ),
    };
    input.finish()?;
    let residual = clearance_loss(&mounting).map_err(|error| renamed(&error, &KEYS))?;
    let output = object([
        ("residual_um", um("residual_um", residual.clearance)?),
        ("loss_inner_um", um("loss_inner_um", residual.loss_inner)?),
        ("loss_outer_um", um("loss_outer_um", residual.loss_outer)?),
        (
            "loss_temperature_um",
            um("loss_temperature_um", residual.loss_temperature)?,
        ),
        ("share_inner", number("share_inner", residual.share_inner)?),
        ("share_outer", number("share_outer", residual.share_outer)?),
    ]);
    let steps = steps(&mounting, &residual)?;
    Ok(Worked { output, steps })
}

fn steps(mounting: &Mounting, residual: &Residual) -> Result<Vec<Step>, InputError> {
    let (length, small) = (Part::Length, Part::Small);
    let zero = micrometres(0.0);
    let share = |value| Part::number(value, "", 4);
    let (raceway, word) = match mounting.inner_raceway {
        Some(raceway) => (raceway, "as given"),
        None => (
            estimated_inner_raceway(mounting.bore, mounting.outside, INNER_HEIGHT_SHARE)
                .map_err(|error| renamed(&error, &KEYS))?,
            "estimated, SKF 17000/1 EN, p. 146",
        ),
    };
    let inner = mounting.interference_inner.max(zero);
    let outer = mounting.interference_outer.max(zero);
    Ok(vec![
        Step::new(
            "inner ring {} / {}, neck bore {}",
            [
                length(mounting.bore),
                length(raceway),
                length(mounting.shaft_bore),
            ],
            share(residual.share_inner),
            format!("share of the interference that reaches the raceway ({word})"),
        ),
        Step::new(
            "{} x {}",
            [share(residual.share_inner), small(inner)],
            small(residual.loss_inner),
            "loss by the inner ring; a loose ring takes nothing",
        ),
        Step::new(
            "{} x {}",
            [Part::number(INNER_RULE, "", 2), small(inner)],
            small(inner * INNER_RULE),
            "for comparison: rule of thumb, solid shaft (Timken Engineering Manual, p. 83); too small for thin rings",
        ),
        Step::new(
            "{} x {}",
            [share(residual.share_outer), small(outer)],
            small(residual.loss_outer),
            "loss by the outer ring; a loose ring takes nothing",
        ),
        Step::new(
            "{} x ({} + {}) / 2 x {}",
            [
                Part::number(as_per_kelvin(mounting.expansion) * 1e6, "1e-6/K", 2),
                length(mounting.bore),
                length(mounting.outside),
                Part::number(as_kelvins(mounting.inner_warmer), "K", 1),
            ],
            small(residual.loss_temperature),
            "loss by the warmer inner ring",
        ),
        Step::new(
            "{} - {} - {} - ({})",
            [
                small(mounting.clearance),
                small(residual.loss_inner),
                small(residual.loss_outer),
                small(residual.loss_temperature),
            ],
            small(residual.clearance),
            if residual.clearance > zero {
                "clearance that is left"
            } else {
                "no clearance left: preload, stop and check"
            },
        ),
    ])
}
