//! `heating`: how warm a ring must be to slide on its neck, as a described method.

use serde_json::Value;

use super::{EXPANSION_RANGE_PER_K, Heating, LIMIT_RANGE_C, NECK_RANGE_C, heating};
use crate::{
    method::{
        Bounds, InputError, Method, Object, Output, Param, Part, Step, Worked, number, object,
        renamed,
    },
    quantity::{as_kelvins, celsius, micrometres, per_kelvin},
};

/// `heating`: temperature of a ring for mounting.
pub const METHOD: Method = Method {
    name: "heating",
    title: "Heating a ring",
    summary: "Temperature at which a ring with interference slides on its neck with a margin, and whether the limit allows it.",
    inputs: &[
        Param::number("bore_mm", "mm", "bore of the ring", "above 0"),
        Param::number(
            "interference_um",
            "um",
            "largest interference on the neck, diametral",
            "0 to 100000",
        ),
        Param::number(
            "margin_um",
            "um",
            "clearance wanted while it slides on, diametral",
            "0 to 100000",
        ),
        Param::number(
            "ambient_c",
            "°C",
            "temperature of the neck, measured on it",
            "-50 to 200",
        ),
        Param::number(
            "expansion_per_k",
            "1/K",
            "expansion of the ring, bearing steel 12.5e-6",
            "1e-6 to 1e-4",
        ),
        Param::number(
            "limit_c",
            "°C",
            "highest temperature allowed, open bearings 120, with grease 80, or what the type says",
            "0 to 400",
        ),
    ],
    outputs: &[
        Output::new("temp_c", "°C", "temperature of the ring"),
        Output::new("verdict", "", "fail above the limit, else pass"),
        Output::new("rise_k", "K", "how much warmer than the neck"),
    ],
    formula: "temp = ambient + (interference + margin) / (expansion x bore)",
    source: "shared/reference/interference_rules.toml, mounting temperature; limits: SKF 17000/1 EN, mounting (120, with grease 80); Koyo CAT. No. 203, p. A25 (oil bath 100, hardness falls above 120); Timken Engineering Manual, p. 91 (oil bath 121, induction 93)",
    cautions: &[
        "The site's own procedure comes first; this is a figure, not a permission.",
        "Never a flame: it overheats in spots, softens and cracks the ring. Measure the ring, not the heater.",
        "Hot parts burn: dry, clean heat-proof gloves; mark them HOT with the time. No oil bath near water or a source of ignition.",
        "Nobody under or beside a hanging ring; rated lifting gear that stands the heat.",
        "Induction: demagnetise afterwards; nobody with a pacemaker or implant near it, no watches or rings.",
        "Push home in one go and press the rings together while they cool, then check the gap at the faces when cold.",
    ],
    example: r#"{"bore_mm": 760, "interference_um": 320, "margin_um": 125, "ambient_c": 22, "expansion_per_k": 12.5e-6, "limit_c": 120}"#,
    run,
};

const KEYS: [(&str, &str); 6] = [
    ("bore", "bore_mm"),
    ("interference", "interference_um"),
    ("margin", "margin_um"),
    ("neck", "ambient_c"),
    ("expansion", "expansion_per_k"),
    ("limit", "limit_c"),
];

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let small = Bounds::within(0.0..=1e5);
    let bore = input.length("bore_mm", &Bounds::LENGTH_MM)?;
    let interference = micrometres(input.number("interference_um", &small)?);
    let margin = micrometres(input.number("margin_um", &small)?);
    let ambient_c = input.number("ambient_c", &Bounds::within(NECK_RANGE_C))?;
    let alpha = input.number("expansion_per_k", &Bounds::within(EXPANSION_RANGE_PER_K))?;
    let limit_c = input.number("limit_c", &Bounds::within(LIMIT_RANGE_C))?;
    input.finish()?;
    let heated = heating(&Heating {
        bore,
        interference,
        margin,
        neck: celsius(ambient_c),
        expansion: per_kelvin(alpha),
        limit: celsius(limit_c),
    })
    .map_err(|error| renamed(&error, &KEYS))?;
    let rise_k = as_kelvins(heated.rise);
    // Not by way of kelvin: the sum of the numbers typed and found keeps their last digit.
    let temp_c = ambient_c + rise_k;
    let (rise, temp) = (Part::number(rise_k, "K", 1), Part::number(temp_c, "°C", 1));
    let degrees = |value| Part::number(value, "°C", 1);
    let word = format!(
        "left to the limit, which may be reached: {}",
        heated.verdict.word()
    );
    let steps = vec![
        Step::new(
            "{} + {}",
            [Part::Small(interference), Part::Small(margin)],
            Part::Small(interference + margin),
            "interference + margin: how much wider the bore must be",
        ),
        Step::new(
            "{} / ({} x {})",
            [
                Part::Small(interference + margin),
                Part::number(alpha * 1e6, "1e-6/K", 2),
                Part::Length(bore),
            ],
            rise.clone(),
            "over the neck",
        ),
        Step::new(
            "{} + {}",
            [degrees(ambient_c), rise],
            temp.clone(),
            "neck + rise: temperature of the ring",
        ),
        Step::new(
            "limit {} - {}",
            [degrees(limit_c), temp],
            Part::number(limit_c - temp_c, "K", 1),
            word,
        ),
    ];
    let output = object([
        ("temp_c", number("temp_c", temp_c)?),
        ("verdict", Value::from(heated.verdict.as_str())),
        ("rise_k", number("rise_k", rise_k)?),
    ]);
    Ok(Worked { output, steps })
}
