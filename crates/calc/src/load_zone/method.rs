//! `load_zone`: the zone to turn up next, as a described method.

use serde_json::Value;

use super::{Arc, DEFAULT_ARC_TENTHS, Zone, ZoneOption, choose, options};
use crate::{
    error::CalcError,
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, number,
        object, renamed, wrong,
    },
    quantity::as_hours,
};

/// `load_zone`: which load zone to turn up.
pub const METHOD: Method = Method {
    name: "load_zone",
    title: "Load zone",
    summary: "The zone with the least hours in the load whose whole loaded arc is clear of findings on every outer ring.",
    inputs: &[
        Param::of(
            Kind::Numbers,
            "hours",
            "hours in the load of zones I, II, III, IV",
            "four values, 0 or more",
        )
        .unit("h"),
        Param::number(
            "loaded_arc_deg",
            "°",
            "loaded part of the ring, centred on the zone that is up",
            "0.1 to 360, default 150",
        )
        .optional(),
        Param::of(
            Kind::Objects,
            "findings",
            "findings on any outer ring of the set, each an object of the keys below",
            "any number",
        )
        .optional(),
        Param::number(
            "findings[].from_deg",
            "°",
            "start, from the zone-I line clockwise seen from outboard",
            "0 to 360",
        ),
        Param::number(
            "findings[].to_deg",
            "°",
            "end; below the start where it passes the zone-I line",
            "0 to 360",
        ),
    ],
    outputs: &[
        Output::new(
            "zone",
            "",
            "zone to turn up; null: no zone is clear, the engineer chooses",
        ),
        Output::new("zones[].zone", "", "I, II, III, IV"),
        Output::new("zones[].hours", "h", "hours in the load"),
        Output::new(
            "zones[].from_deg",
            "°",
            "start of the arc that would be loaded",
        ),
        Output::new("zones[].to_deg", "°", "end of it"),
        Output::new(
            "zones[].findings",
            "",
            "findings in that arc, counted from 1",
        ),
    ],
    formula: "loaded arc = zone centre +- arc/2; clear where no finding shares a place with it; of the clear zones the one \
              with the least hours, ties in the order I, II, III, IV",
    source: "zones: shared/reference/rollneck_practice.toml; rule and arc: common practice, no source",
    cautions: &[
        "All outer rings of a set are turned together: findings of every ring count.",
        "A damaged place in the unloaded arc still needs a decision; turning does not mend it.",
        "Turning rings that hang or stand: the site's lifting procedure, never hands between rings.",
    ],
    example: r#"{"hours": [1005, 995, 1020, 0], "loaded_arc_deg": 150, "findings": [{"from_deg": 175, "to_deg": 230}]}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let hours_read = input.numbers("hours", &Bounds::within(0.0..=1e9))?;
    let hours: [f64; 4] = hours_read.try_into().map_err(|read: Vec<f64>| {
        let problem = format!("has {} values, four are expected", read.len());
        wrong("hours", problem)
    })?;
    let hours = hours.map(crate::quantity::hours);
    let width = input.optional_number("loaded_arc_deg", &Bounds::within(0.1..=360.0))?;
    let width = width.map_or(DEFAULT_ARC_TENTHS, |degrees| {
        (degrees * 10.0).round() as i64
    });
    let findings: Vec<Arc> = match input.optional("findings") {
        None => Vec::new(),
        Some(_) => input.list("findings", read_finding)?,
    };
    input.finish()?;
    let options = options(&hours, width, &findings).map_err(|error| named(&error))?;
    let zone = choose(&hours, width, &findings).map_err(|error| named(&error))?;
    let degrees = |tenths: i64| tenths as f64 / 10.0;
    let zones = options
        .iter()
        .map(|option| {
            Ok(object([
                ("zone", Value::from(option.zone.as_str())),
                ("hours", number("hours", as_hours(option.hours))?),
                (
                    "from_deg",
                    number("from_deg", degrees(option.arc.from_tenths()))?,
                ),
                ("to_deg", number("to_deg", degrees(option.arc.to_tenths()))?),
                (
                    "findings",
                    option.obstructed_by.iter().map(|place| place + 1).collect(),
                ),
            ]))
        })
        .collect::<Result<Vec<Value>, InputError>>()?;
    let output = object([
        ("zone", Value::from(zone.map(Zone::as_str))),
        ("zones", Value::from(zones)),
    ]);
    let steps = steps(&options, zone);
    Ok(Worked { output, steps })
}

fn read_finding(value: &Value, path: String) -> Result<Arc, InputError> {
    let finding = Object::inner(value, path)?;
    let angle = Bounds::within(0.0..=360.0);
    let (from, to) = (
        finding.number("from_deg", &angle)?,
        finding.number("to_deg", &angle)?,
    );
    let (from_path, to_path) = (finding.path("from_deg"), finding.path("to_deg"));
    finding.finish()?;
    Arc::degrees(from, to)
        .map_err(|error| renamed(&error, &[("from", &from_path), ("to", &to_path)]))
}

fn steps(options: &[ZoneOption; 4], zone: Option<Zone>) -> Vec<Step> {
    let degrees = |tenths: i64| Part::number(tenths as f64 / 10.0, "°", 1);
    let mut steps: Vec<Step> = options
        .iter()
        .map(|option| {
            let found = option.obstructed_by.len();
            Step::new(
                &format!("zone {}: {{}} to {{}}, {{}}", option.zone.as_str()),
                [
                    degrees(option.arc.from_tenths()),
                    degrees(option.arc.to_tenths()),
                    Part::number(as_hours(option.hours), "h", 0),
                ],
                match found {
                    0 => Part::text("clear"),
                    1 => Part::text("1 finding"),
                    _ => Part::text(format!("{found} findings")),
                },
                "arc that would be loaded",
            )
        })
        .collect();
    steps.push(match zone {
        Some(zone) => Step::new(
            "least hours of the clear zones",
            [],
            Part::text(format!("zone {}", zone.as_str())),
            "ties in the order I, II, III, IV",
        ),
        None => Step::new(
            "no zone is clear",
            [],
            Part::text("the engineer chooses"),
            "with a reason",
        ),
    });
    steps
}

fn named(error: &CalcError) -> InputError {
    renamed(error, &[("loaded_arc", "loaded_arc_deg")])
}
