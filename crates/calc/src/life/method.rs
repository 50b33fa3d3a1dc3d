//! `life`: basic and adjusted rating life as a described method.

use serde_json::{Map, Value};

use super::{
    BasicLife, Edition, Element, Running, basic_life, damage_life,
    input::{Adjustment, FORCE, named, read_adjustment, read_spectrum},
    is_within_validity, life_modification,
};
use crate::{
    method::{InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, number, wrong},
    quantity::{Force, as_hours, as_newtons, as_revolutions_per_minute, newtons},
};

/// `life`: rating life of a bearing.
pub const METHOD: Method = Method {
    name: "life",
    title: "Life",
    summary: "Life that nine of ten equal bearings reach, from load and speed or from a spectrum of both; adjusted for \
              reliability, lubrication and contamination where these are given.",
    inputs: &[
        Param::of(
            Kind::Choice(&["roller", "ball"]),
            "kind",
            "rolling elements",
            "roller or ball",
        ),
        Param::number("c_n", "N", "basic dynamic load rating C", "0.001 to 1e12"),
        Param::number(
            "p_n",
            "N",
            "equivalent dynamic load P; this and rpm, or spectrum",
            "0.001 to 1e12",
        )
        .optional(),
        Param::number("rpm", "1/min", "speed", "0.001 to 1e6").optional(),
        Param::of(
            Kind::Objects,
            "spectrum",
            "parts of the running, each an object of the keys below",
            "shares add up to 1",
        )
        .optional(),
        Param::number("spectrum[].p_n", "N", "load of this part", "0 to 1e12"),
        Param::number("spectrum[].rpm", "1/min", "speed of this part", "0 to 1e6"),
        Param::number(
            "spectrum[].share",
            "",
            "share of the time",
            "above 0 up to 1",
        ),
        Param::number(
            "reliability",
            "",
            "wanted reliability",
            "0.90 to 0.9995 (1990: to 0.99)",
        )
        .optional(),
        Param::of(
            Kind::Choice(&["2007", "1990"]),
            "a1_edition",
            "edition of ISO 281 whose a1 counts",
            "2007 or 1990, default 2007",
        )
        .optional(),
        Param::number(
            "kappa",
            "",
            "viscosity ratio; with contamination and cu_n",
            "0.1 or more; above 4 counts as 4",
        )
        .optional(),
        Param::number(
            "contamination",
            "",
            "contamination factor e_C: 1 clean, 0 very severe; a number, since the standard's table of classes in words is not at hand",
            "0 to 1",
        )
        .optional(),
        Param::number(
            "cu_n",
            "N",
            "fatigue load limit C_u; or c0_n and mean_diameter_mm for an estimate",
            "0.001 to 1e12",
        )
        .optional(),
        Param::number("c0_n", "N", "basic static load rating C0", "0.001 to 1e12").optional(),
        Param::number(
            "mean_diameter_mm",
            "mm",
            "pitch diameter of the rolling elements",
            "above 0",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("l10_mrev", "1e6 rev", "basic rating life L10"),
        Output::new("l10_h", "h", "basic rating life L10h"),
        Output::new(
            "adjusted_h",
            "h",
            "a1 a_ISO L10h; only where reliability or lubrication is given",
        ),
        Output::new(
            "equivalent_load_n",
            "N",
            "single load that does the same damage",
        ),
        Output::new("mean_rpm", "1/min", "mean speed over time"),
        Output::new("a1", "", "factor for reliability, beside adjusted_h"),
        Output::new(
            "a_iso",
            "",
            "factor for lubrication and contamination over all, beside adjusted_h",
        ),
        Output::new(
            "notes",
            "",
            "what the result leaves the range of the standard by",
        ),
    ],
    formula: "L10 = (C/P)^p, p = 10/3 roller, 3 ball; L10h = 1e6 L10 / (60 n); spectrum: L = 1/sum(share_i / (a_i L_i)) \
              by time, P_m by revolutions; adjusted = a1 x a_ISO x L10h, a_ISO of each part of the spectrum",
    source: "ISO 281:2007; a1 tables of 2007 and 1990, Miner and mean load as printed in shared/reference/iso281.toml; \
             a_ISO (31) to (36) and the estimate of C_u (memory)",
    cautions: &[
        "Rating life is fatigue of the material. Roll-neck bearings mostly end by water, wear and overload: field life decides.",
        "The rating of a multi-row bearing is that of the bearing, the load the whole radial load on it.",
        "Contamination factors of a wet mill are estimates: calculate with the best and the worst that can be meant.",
    ],
    example: r#"{"kind": "roller", "c_n": 12700000, "spectrum": [{"p_n": 4200000, "rpm": 60, "share": 0.25}, {"p_n": 2600000, "rpm": 110, "share": 0.55}, {"p_n": 900000, "rpm": 140, "share": 0.2}], "reliability": 0.95, "kappa": 1.2, "contamination": 0.3, "cu_n": 1150000}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let element = match input.text("kind")? {
        "roller" => Element::Roller,
        "ball" => Element::Ball,
        _ => return Err(wrong("kind", "roller or ball is expected".to_owned())),
    };
    let rating = newtons(input.number("c_n", &FORCE)?);
    let spectrum = read_spectrum(&input)?;
    let adjustment = read_adjustment(&input, element)?;
    input.finish()?;

    let basic = basic_life(element, rating, &spectrum).map_err(|error| named(&error))?;
    let mut notes = Vec::new();
    if !spectrum
        .iter()
        .all(|part| is_within_validity(part.load, rating))
    {
        notes.push("a load is above half the rating: beyond the range of ISO 281");
    }
    let mut steps = basic_steps(element, rating, &spectrum, &basic);
    let mut output = Map::new();
    let mut put = |key: &str, value: f64| {
        output.insert(key.to_owned(), number(key, value)?);
        Ok::<_, InputError>(())
    };
    put("l10_mrev", basic.million_revolutions)?;
    put("l10_h", as_hours(basic.hours))?;
    let adjusted = adjustment
        .map(|adjustment| adjust(element, rating, &spectrum, &basic, &adjustment))
        .transpose()?;
    if let Some(adjusted) = &adjusted {
        put("adjusted_h", adjusted.life_h)?;
    }
    put("equivalent_load_n", as_newtons(basic.equivalent_load))?;
    put("mean_rpm", as_revolutions_per_minute(basic.mean_speed))?;
    if let Some(adjusted) = adjusted {
        put("a1", adjusted.a1)?;
        put("a_iso", adjusted.a_iso)?;
        steps.extend(adjusted.steps);
        notes.extend(adjusted.notes);
    }
    output.insert("notes".to_owned(), Value::from(notes));
    let output = Value::Object(output);
    Ok(Worked { output, steps })
}

/// The adjusted life, its factors and how it came out.
struct Adjusted {
    life_h: f64,
    a1: f64,
    a_iso: f64,
    steps: Vec<Step>,
    notes: Vec<&'static str>,
}

fn adjust(
    element: Element,
    rating: Force,
    spectrum: &[Running],
    basic: &BasicLife,
    adjustment: &Adjustment,
) -> Result<Adjusted, InputError> {
    let mut steps = Vec::new();
    let mut notes = Vec::new();
    let plain = |value| Part::number(value, "", 4);
    let modified = match &adjustment.lubrication {
        None => *basic,
        Some(lubrication) => {
            let mut factors = Vec::new();
            for (place, part) in spectrum.iter().enumerate() {
                // A part without load does no damage, whatever its factor.
                let factor = if as_newtons(part.load) > 0.0 {
                    life_modification(element, part.load, lubrication)
                        .map_err(|error| named(&error))?
                } else {
                    1.0
                };
                let ratio = lubrication.contamination * as_newtons(lubrication.fatigue_limit);
                steps.push(Step::new(
                    "part {}: kappa {}, e_C C_u / P = {} / {}",
                    [
                        Part::number((place + 1) as f64, "", 0),
                        plain(lubrication.kappa),
                        Part::number(ratio, "N", 0),
                        Part::number(as_newtons(part.load), "N", 0),
                    ],
                    plain(factor),
                    "a_ISO, ISO 281:2007 (31) to (36)",
                ));
                factors.push(factor);
            }
            if lubrication.kappa > 4.0 {
                notes.push("kappa above 4 counts as 4");
            }
            if factors.contains(&50.0) {
                notes.push("a_ISO is held at its largest value, 50");
            }
            damage_life(element, rating, spectrum, &factors).map_err(|error| named(&error))?
        }
    };
    let a_iso = as_hours(modified.hours) / as_hours(basic.hours);
    if let Some((reliability, edition)) = adjustment.reliability {
        let note = match edition {
            Edition::E2007 => "a1, ISO 281:2007",
            Edition::E1990 => "a1, ISO 281:1990",
        };
        steps.push(Step::new(
            "reliability {}",
            [plain(reliability)],
            plain(adjustment.a1),
            note,
        ));
    }
    let life_h = adjustment.a1 * as_hours(modified.hours);
    steps.push(Step::new(
        "{} x {} x {}",
        [
            plain(adjustment.a1),
            plain(a_iso),
            Part::number(as_hours(basic.hours), "h", 0),
        ],
        Part::number(life_h, "h", 0),
        "a1 x a_ISO x L10h",
    ));
    Ok(Adjusted {
        life_h,
        a1: adjustment.a1,
        a_iso,
        steps,
        notes,
    })
}

fn basic_steps(
    element: Element,
    rating: Force,
    spectrum: &[Running],
    basic: &BasicLife,
) -> Vec<Step> {
    let force = |force| Part::number(as_newtons(force), "N", 0);
    let mut steps = Vec::new();
    if spectrum.len() > 1 {
        let speed = Part::number(as_revolutions_per_minute(basic.mean_speed), "1/min", 1);
        steps.push(Step::new(
            "mean speed of {} parts",
            [Part::number(spectrum.len() as f64, "", 0)],
            speed,
            "by share of time",
        ));
        steps.push(Step::new(
            "mean load",
            [],
            force(basic.equivalent_load),
            "weighted by revolutions, to the power p",
        ));
    }
    let exponent = match element {
        Element::Roller => "10/3",
        Element::Ball => "3",
    };
    steps.push(Step::new(
        "({} / {})^{}",
        [
            force(rating),
            force(basic.equivalent_load),
            Part::text(exponent),
        ],
        Part::number(basic.million_revolutions, "1e6 rev", 2),
        "L10, ISO 281",
    ));
    steps.push(Step::new(
        "1e6 x {} / (60 x {})",
        [
            Part::number(basic.million_revolutions, "", 2),
            Part::number(as_revolutions_per_minute(basic.mean_speed), "1/min", 1),
        ],
        Part::number(as_hours(basic.hours), "h", 0),
        "L10h",
    ));
    steps
}
