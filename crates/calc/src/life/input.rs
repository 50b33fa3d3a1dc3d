//! Reading the inputs of `life`.

use super::{Edition, Element, Lubrication, Running, fatigue_load_limit, reliability_factor};
use crate::{
    error::CalcError,
    method::{Bounds, InputError, Object, renamed, wrong},
    quantity::{Force, newtons, revolutions_per_minute},
};

/// Ratings and loads, N: between the weight of a hair and more than any mill has.
pub(super) const FORCE: Bounds = Bounds::within(1e-3..=1e12);

/// What is asked for beyond the basic life.
pub(super) struct Adjustment {
    pub(super) a1: f64,
    pub(super) reliability: Option<(f64, Edition)>,
    pub(super) lubrication: Option<Lubrication>,
}

/// Load and speed, or the parts of a spectrum.
pub(super) fn read_spectrum(input: &Object<'_>) -> Result<Vec<Running>, InputError> {
    let load = input.optional_number("p_n", &FORCE)?;
    let speed = input.optional_number("rpm", &Bounds::within(1e-3..=1e6))?;
    if input.optional("spectrum").is_none() {
        return match (load, speed) {
            (Some(load), Some(speed)) => Ok(vec![Running {
                load: newtons(load),
                speed: revolutions_per_minute(speed),
                share: 1.0,
            }]),
            (None, _) => Err(wrong(
                "p_n",
                "missing; p_n and rpm, or spectrum, are needed".to_owned(),
            )),
            (_, None) => Err(wrong("rpm", "missing beside p_n".to_owned())),
        };
    }
    for (key, given) in [("p_n", load), ("rpm", speed)] {
        if given.is_some() {
            return Err(wrong(
                key,
                "given beside spectrum; only one of both".to_owned(),
            ));
        }
    }
    input.list("spectrum", |part, path| {
        let part = Object::inner(part, path)?;
        let running = Running {
            load: newtons(part.number("p_n", &Bounds::within(0.0..=1e12))?),
            speed: revolutions_per_minute(part.number("rpm", &Bounds::within(0.0..=1e6))?),
            share: part.number("share", &Bounds::above(0.0..=1.0))?,
        };
        part.finish()?;
        Ok(running)
    })
}

/// Reliability and lubrication, if any.
pub(super) fn read_adjustment(
    input: &Object<'_>,
    element: Element,
) -> Result<Option<Adjustment>, InputError> {
    let edition = match input
        .optional("a1_edition")
        .map(|_| input.text("a1_edition"))
    {
        None => Edition::E2007,
        Some(text) => match text? {
            "2007" => Edition::E2007,
            "1990" => Edition::E1990,
            _ => return Err(wrong("a1_edition", "2007 or 1990 is expected".to_owned())),
        },
    };
    let reliability = input.optional_number(
        "reliability",
        &Bounds::within(0.9..=edition.reliability_max()),
    )?;
    let kappa = input.optional_number("kappa", &Bounds::within(0.1..=1e6))?;
    let contamination = input.optional_number("contamination", &Bounds::within(0.0..=1.0))?;
    let limit = read_fatigue_limit(input, element)?;
    let a1 = reliability.map_or(Ok(1.0), |s| reliability_factor(s, edition));
    let a1 = a1.map_err(|error| named(&error))?;
    let lubrication = match (kappa, contamination, limit) {
        (Some(kappa), Some(contamination), Some(fatigue_limit)) => Some(Lubrication {
            kappa,
            contamination,
            fatigue_limit,
        }),
        (None, None, None) => None,
        (kappa, contamination, _) => {
            let missing = match (kappa, contamination) {
                (None, _) => "kappa",
                (_, None) => "contamination",
                _ => "cu_n",
            };
            let problem = "missing; kappa, contamination and cu_n belong together".to_owned();
            return Err(wrong(missing, problem));
        }
    };
    let is_asked = reliability.is_some() || lubrication.is_some();
    Ok(is_asked.then_some(Adjustment {
        a1,
        reliability: reliability.map(|s| (s, edition)),
        lubrication,
    }))
}

fn read_fatigue_limit(input: &Object<'_>, element: Element) -> Result<Option<Force>, InputError> {
    let given = input.optional_number("cu_n", &FORCE)?;
    let static_rating = input.optional_number("c0_n", &FORCE)?;
    let diameter = input.optional_length("mean_diameter_mm", &Bounds::LENGTH_MM)?;
    match (given, static_rating, diameter) {
        (Some(limit), None, None) => Ok(Some(newtons(limit))),
        (None, None, None) => Ok(None),
        (None, Some(rating), Some(diameter)) => {
            let limit = fatigue_load_limit(element, newtons(rating), diameter);
            limit.map(Some).map_err(|error| named(&error))
        }
        (Some(_), Some(_), _) => Err(wrong(
            "c0_n",
            "given beside cu_n; only one of both".to_owned(),
        )),
        (Some(_), None, Some(_)) => Err(wrong(
            "mean_diameter_mm",
            "given beside cu_n; it belongs to c0_n".to_owned(),
        )),
        (None, None, Some(_)) => Err(wrong("c0_n", "missing beside mean_diameter_mm".to_owned())),
        (None, Some(_), None) => Err(wrong("mean_diameter_mm", "missing beside c0_n".to_owned())),
    }
}

/// Errors of the typed functions under the keys of the method.
pub(super) fn named(error: &CalcError) -> InputError {
    renamed(
        error,
        &[
            ("rating", "c_n"),
            ("load", "p_n"),
            ("speed", "rpm"),
            ("fatigue_limit", "cu_n"),
            ("static_rating", "c0_n"),
            ("mean_diameter", "mean_diameter_mm"),
        ],
    )
}
