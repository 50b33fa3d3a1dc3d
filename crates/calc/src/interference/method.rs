//! `interference`: what a tight inner ring needs, as a described method.

use serde_json::Value;

use super::{
    CAREFUL_RATIO_MAX, DIFFERENCE_RANGE_K, HEAVY_SHARE, LOAD_RANGE_N, Load, Seat, apparent,
    for_load, for_temperature,
};
use crate::{
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, object,
        renamed, um, wrong,
    },
    press_fit::INTERFERENCE_RATIO_MAX,
    quantity::{kelvins, newtons},
};

/// `interference`: the interference that an inner ring needs.
pub const METHOD: Method = Method {
    name: "interference",
    title: "Needed interference",
    summary: "Interference that keeps a tight inner ring from creeping under its load and warmth, as measured before smoothing.",
    inputs: &[
        Param::number("bore_mm", "mm", "bore of the bearing", "above 0"),
        Param::number("width_mm", "mm", "width of the inner ring", "above 0"),
        Param::number("load_n", "N", "radial load", "0 to 1e9"),
        Param::number(
            "static_rating_n",
            "N",
            "static load rating; above 0.3 of it a load is heavy",
            "above 0 up to 1e9",
        ),
        Param::number(
            "warmer_k",
            "K",
            "how much warmer the bearing runs than its surroundings; none = 0",
            "0 to 300",
        )
        .optional(),
        Param::of(
            Kind::Choice(&["ground", "turned"]),
            "seat",
            "how the seat is made; none = ground",
            "ground or turned",
        )
        .optional(),
    ],
    outputs: &[
        Output::new(
            "needed_um",
            "um",
            "interference needed, diametral, as measured",
        ),
        Output::new("effective_um", "um", "of it effective after smoothing"),
        Output::new("load_um", "um", "taken away by the load"),
        Output::new("temperature_um", "um", "taken away by warmth"),
        Output::new("largest_um", "um", "1/1000 of the bore, not to be passed"),
    ],
    formula: "load: 0.08 sqrt(d F/B) up to 0.3 C0, above it 0.02 F/B; warmth: 0.0015 d dT; needed = sum x (d + 2)/d ground, (d + 3)/d turned (um; mm, N, K)",
    source: "NTN CAT. No. 2203/E, eq. (7.1)-(7.3) and 7.3; smoothing: NSK Rolling Bearings, eq. (9.4), (9.5) (formula from memory); shared/reference/interference_rules.toml",
    cautions: &[
        "For a solid steel neck under a rotating load. The drawing's fit goes first.",
        "More interference takes clearance and stresses the ring: see press_fit and clearance_loss.",
    ],
    example: r#"{"bore_mm": 760, "width_mm": 520, "load_n": 2500000, "static_rating_n": 30000000, "warmer_k": 30}"#,
    run,
};

const KEYS: [(&str, &str); 4] = [
    ("bore", "bore_mm"),
    ("width", "width_mm"),
    ("load", "load_n"),
    ("warmer", "warmer_k"),
];

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let bore = input.length("bore_mm", &Bounds::LENGTH_MM)?;
    let width = input.length("width_mm", &Bounds::LENGTH_MM)?;
    let load_n = input.number("load_n", &Bounds::within(LOAD_RANGE_N))?;
    let rating_n = input.number("static_rating_n", &Bounds::above(LOAD_RANGE_N))?;
    let warmer_k = input
        .optional_number("warmer_k", &Bounds::within(DIFFERENCE_RANGE_K))?
        .unwrap_or(0.0);
    let seat = match input
        .optional("seat")
        .map(|seat| seat.as_str().unwrap_or(""))
    {
        None | Some("ground") => Seat::Ground,
        Some("turned") => Seat::Turned,
        Some(_) => return Err(wrong("seat", "ground or turned is expected".to_owned())),
    };
    input.finish()?;
    let named = |error| renamed(&error, &KEYS);
    let load = Load::of(newtons(load_n), newtons(rating_n));
    let by_load = for_load(bore, width, newtons(load_n), load).map_err(named)?;
    let by_warmth = for_temperature(bore, kelvins(warmer_k)).map_err(named)?;
    let effective = by_load + by_warmth;
    let needed = apparent(bore, effective, &seat).map_err(named)?;
    let largest = bore * INTERFERENCE_RATIO_MAX;
    let (length, small) = (Part::Length, Part::Small);
    let kilonewtons = |newtons: f64| Part::number(newtons / 1_000.0, "kN", 1);
    let load_step = match load {
        Load::Normal => Step::new(
            "0.08 x sqrt({} x {} / {})",
            [length(bore), kilonewtons(load_n), length(width)],
            small(by_load),
            format!("load up to {HEAVY_SHARE} of the static rating, in N and mm"),
        ),
        Load::Heavy => Step::new(
            "0.02 x {} / {}",
            [kilonewtons(load_n), length(width)],
            small(by_load),
            format!("load above {HEAVY_SHARE} of the static rating, in N and mm"),
        ),
    };
    let word = if needed > largest {
        "passed: this fit cannot hold the load"
    } else if needed > bore * CAREFUL_RATIO_MAX {
        "kept, but above 0.7/1000 (NSK Rolling Bearings, p. A83)"
    } else {
        "kept"
    };
    let steps = vec![
        load_step,
        Step::new(
            "0.0015 x {} x {}",
            [length(bore), Part::number(warmer_k, "K", 1)],
            small(by_warmth),
            "warmth, in mm",
        ),
        Step::new(
            "({} + {}) before smoothing",
            [small(by_load), small(by_warmth)],
            small(needed),
            match seat {
                Seat::Turned => "x (d + 3)/d, turned seat",
                _ => "x (d + 2)/d, ground seat",
            },
        ),
        Step::new(
            "1/1000 of {}",
            [length(bore)],
            small(largest),
            format!("largest interference (NTN CAT. No. 2203/E, 7.3), {word}"),
        ),
    ];
    let output = object([
        ("needed_um", um("needed_um", needed)?),
        ("effective_um", um("effective_um", effective)?),
        ("load_um", um("load_um", by_load)?),
        ("temperature_um", um("temperature_um", by_warmth)?),
        ("largest_um", um("largest_um", largest)?),
    ]);
    Ok(Worked { output, steps })
}
