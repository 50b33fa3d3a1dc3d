//! `grease_interval`: running time until grease is replenished, as a described method.

use serde_json::Value;

use super::{
    CLASSIC_C_MAX, Elements, RELIABLE_HOURS_MAX, SPEED_RANGE_RPM, TEMPERATURE_RANGE_C, Warmth,
    classic_interval, is_reliable,
};
use crate::{
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, number,
        object, renamed, wrong,
    },
    quantity::{as_hours, celsius, hours, revolutions_per_minute},
};

/// `grease_interval`: how long grease lasts.
pub const METHOD: Method = Method {
    name: "grease_interval",
    title: "Grease interval",
    summary: "Running time after which a grease lubricated bearing of general machinery is replenished, shorter when warm.",
    inputs: &[
        Param::of(
            Kind::Choice(&["ball", "cylindrical", "tapered", "spherical"]),
            "elements",
            "kind of rolling elements",
            "ball, cylindrical, tapered or spherical",
        ),
        Param::number("bore_mm", "mm", "bore of the bearing", "above 0"),
        Param::number("speed_rpm", "1/min", "running speed", "0.1 to 100000"),
        Param::number(
            "temp_c",
            "°C",
            "temperature of the outer ring when running; none = up to 70",
            "-50 to 200",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("interval_h", "h", "running time to the next replenishment"),
        Output::new("base_h", "h", "the same up to 70 degrees Celsius"),
        Output::new(
            "reliable",
            "",
            "false above 30,000 h, which is not to be relied upon",
        ),
    ],
    formula: "base = k x (14e6 / (n x sqrt(d)) - 4 d) with k = 10 ball, 5 cylindrical, 1 tapered and spherical; halved for every 15 K above 70 degrees Celsius",
    source: "formula: older handbooks (from memory); halving and 30,000 h: SKF, Rolling bearings, 17000/1 EN (2018), pp. 112 and 115, shared/reference/grease.toml",
    cautions: &[
        "General machinery, clean and dry: water, scale and shock of a mill shorten it, often to every roll change. The type's interval goes first.",
        "Another published rule (NTN CAT. No. 2203/E, 11.3.3) leaves more when warm: two thirds for every 10 K above 80. The stricter one is used here.",
        "Guards stay on while grease is pumped; the site's own procedure first.",
    ],
    example: r#"{"elements": "cylindrical", "bore_mm": 300, "speed_rpm": 200, "temp_c": 85}"#,
    run,
};

const KEYS: [(&str, &str); 3] = [
    ("bore", "bore_mm"),
    ("speed", "speed_rpm"),
    ("temperature", "temp_c"),
];

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let word = input.text("elements")?;
    let elements = Elements::ALL.into_iter().find(|kind| kind.as_str() == word);
    let Some(elements) = elements else {
        let known = Elements::ALL.map(Elements::as_str).join(", ");
        return Err(wrong(
            "elements",
            format!("'{word}' is not known here; known: {known}"),
        ));
    };
    let bore = input.length("bore_mm", &Bounds::LENGTH_MM)?;
    let speed_rpm = input.number("speed_rpm", &Bounds::within(SPEED_RANGE_RPM))?;
    let temp_c = input
        .optional_number("temp_c", &Bounds::within(TEMPERATURE_RANGE_C))?
        .unwrap_or(CLASSIC_C_MAX);
    input.finish()?;
    let base = classic_interval(elements, bore, revolutions_per_minute(speed_rpm))
        .map_err(|error| renamed(&error, &KEYS))?;
    let share = Warmth::HalvedEvery15Above70
        .share_left(celsius(temp_c))
        .map_err(|error| renamed(&error, &KEYS))?;
    let interval = hours(as_hours(base) * share);
    let shown = |time| Part::number(as_hours(time), "h", 0);
    let mut steps = vec![
        Step::new(
            "{} x (14e6 / ({} x sqrt({})) - 4 x {})",
            [
                Part::number(elements.factor(), "", 0),
                Part::number(speed_rpm, "1/min", 1),
                Part::Length(bore),
                Part::Length(bore),
            ],
            shown(base),
            "up to 70 °C, bore in mm",
        ),
        Step::new(
            "{} x {} at {}",
            [
                shown(base),
                Part::number(share, "", 3),
                Part::number(temp_c, "°C", 1),
            ],
            shown(interval),
            "halved for every 15 K above 70 °C",
        ),
    ];
    if !is_reliable(interval) {
        steps.push(Step::new(
            "{} is above {}",
            [shown(interval), Part::number(RELIABLE_HOURS_MAX, "h", 0)],
            Part::text("not to be relied upon"),
            "SKF 17000/1 EN, p. 112",
        ));
    }
    let output = object([
        ("interval_h", number("interval_h", as_hours(interval))?),
        ("base_h", number("base_h", as_hours(base))?),
        ("reliable", Value::from(is_reliable(interval))),
    ]);
    Ok(Worked { output, steps })
}
