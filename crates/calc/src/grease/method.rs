//! `grease`: free volume, fill, split per row and replenishment quantity, as a described method.

use serde_json::Value;

use super::{
    FRACTION_RANGE, Feed, GREASE_G_PER_CM3, GreaseFill, ROWS_MAX, STEEL_G_PER_CM3, envelope,
    grease, replenishment,
};
use crate::{
    method::{
        Bounds, InputError, Method, Object, Output, Param, Part, Step, Worked, number, object,
        renamed, wrong,
    },
    quantity::{as_cubic_centimetres, as_grams, as_kilograms, kilograms},
};

/// `grease`: how much grease goes into a bearing.
pub const METHOD: Method = Method {
    name: "grease",
    title: "Grease quantity",
    summary: "Free volume of the bearing itself, its fill per row, and the quantity to replenish.",
    inputs: &[
        Param::number("bore_mm", "mm", "bore of the bearing", "above 0"),
        Param::number("outside_mm", "mm", "outside diameter", "above bore_mm"),
        Param::number("width_mm", "mm", "width over all rows", "above 0"),
        Param::number(
            "mass_kg",
            "kg",
            "mass of the bearing",
            "0 up to below that of a solid ring",
        ),
        Param::number("rows", "", "rows of rolling elements", "1 to 12, whole"),
        Param::number(
            "fill_fraction",
            "",
            "share of the free volume to fill, as the type says",
            "0 to 1",
        ),
    ],
    outputs: &[
        Output::new(
            "free_volume_cm3",
            "cm3",
            "free volume of the bearing itself",
        ),
        Output::new("fill_cm3", "cm3", "volume of the fill"),
        Output::new("fill_g", "g", "mass of the fill, 0.9 g/cm3"),
        Output::new("per_row_cm3", "cm3", "volume for each row"),
        Output::new("per_row_g", "g", "mass for each row, 0.9 g/cm3"),
        Output::new(
            "replenish_g",
            "g",
            "quantity to replenish from the side: general machinery, not the first fill of a roll neck",
        ),
    ],
    formula: "free = pi/4 x width x (outside^2 - bore^2) / 1000 - mass / 0.0078; fill = fraction x free; 0.9 g/cm3; replenish = 0.005 x outside x width",
    source: "SKF, Rolling bearings, 17000/1 EN (2018), pp. 112-113, shared/reference/grease.toml",
    cautions: &[
        "The type's approved scheme goes first: grease, grams per row, seal cavities, neck bore and cover. Never mix greases without approval.",
        "Replenishing 0.005 D B is a rule of general machinery, not the first fill of a roll neck.",
        "Grease under pressure goes through the skin: keep hands off the nozzle; an injection is an emergency even when it looks small.",
        "Gloves, clean tools, spills wiped up at once; the site's own procedure and the safety data sheet first.",
    ],
    example: r#"{"bore_mm": 480, "outside_mm": 620, "width_mm": 336, "mass_kg": 270, "rows": 4, "fill_fraction": 0.35}"#,
    run,
};

const KEYS: [(&str, &str); 4] = [
    ("bore", "bore_mm"),
    ("outside", "outside_mm"),
    ("width", "width_mm"),
    ("mass", "mass_kg"),
];

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let bore = input.length("bore_mm", &Bounds::LENGTH_MM)?;
    let outside = input.length("outside_mm", &Bounds::LENGTH_MM)?;
    let width = input.length("width_mm", &Bounds::LENGTH_MM)?;
    let mass = kilograms(input.number("mass_kg", &Bounds::within(0.0..=1e9))?);
    let rows = input.number("rows", &Bounds::within(1.0..=f64::from(ROWS_MAX)))?;
    if rows.fract() != 0.0 {
        return Err(wrong("rows", "a whole number is expected".to_owned()));
    }
    let fill_fraction = input.number("fill_fraction", &Bounds::within(FRACTION_RANGE))?;
    input.finish()?;
    let bearing = GreaseFill {
        bore,
        outside,
        width,
        mass,
        rows: rows as u8,
        fill_fraction,
    };
    let greased = grease(&bearing).map_err(|error| renamed(&error, &KEYS))?;
    let replenish =
        replenishment(outside, width, Feed::FromSide).map_err(|error| renamed(&error, &KEYS))?;
    let length = Part::Length;
    let cm3 = |volume| Part::number(as_cubic_centimetres(volume), "cm³", 1);
    let g = |mass| Part::number(as_grams(mass), "g", 1);
    let density = Part::number(GREASE_G_PER_CM3, "g/cm³", 1);
    let steps = vec![
        Step::new(
            "pi/4 x {} x ({}² - {}²)",
            [length(width), length(outside), length(bore)],
            cm3(envelope(&bearing)),
            "space between bore and outside",
        ),
        Step::new(
            "{} - {} / {}",
            [
                cm3(envelope(&bearing)),
                Part::number(as_kilograms(mass), "kg", 2),
                Part::number(STEEL_G_PER_CM3, "g/cm³", 1),
            ],
            cm3(greased.free),
            "less the steel: free volume of the bearing itself",
        ),
        Step::new(
            "{} x {} x {}",
            [
                Part::number(fill_fraction, "", 3),
                cm3(greased.free),
                density.clone(),
            ],
            g(greased.fill_mass),
            "fill",
        ),
        Step::new(
            "{} / {}",
            [g(greased.fill_mass), Part::number(rows, "", 0)],
            g(greased.per_row_mass),
            "for each row",
        ),
        Step::new(
            "0.005 x {} x {}",
            [length(outside), length(width)],
            g(replenish),
            "to replenish from the side; general machinery, not the first fill of a roll neck",
        ),
    ];
    let volume = |key, volume| number(key, as_cubic_centimetres(volume));
    let mass = |key, mass| number(key, as_grams(mass));
    let output = object([
        ("free_volume_cm3", volume("free_volume_cm3", greased.free)?),
        ("fill_cm3", volume("fill_cm3", greased.fill)?),
        ("fill_g", mass("fill_g", greased.fill_mass)?),
        ("per_row_cm3", volume("per_row_cm3", greased.per_row)?),
        ("per_row_g", mass("per_row_g", greased.per_row_mass)?),
        ("replenish_g", mass("replenish_g", replenish)?),
    ]);
    Ok(Worked { output, steps })
}
