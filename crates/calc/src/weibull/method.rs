//! `weibull`: field life as a described method.

use serde_json::Value;

use super::{FAILURES_FOR_INTERVALS, Intervals, Life, Weibull, weibull};
use crate::{
    error::same_length,
    method::{
        Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, number,
        object, renamed, wrong,
    },
};

/// Lives that one call takes.
const LIVES_MAX: usize = 10_000;

/// `weibull`: life of bearings in the field.
pub const METHOD: Method = Method {
    name: "weibull",
    title: "Field life",
    summary: "The Weibull distribution of the life of bearings of one kind, from those that failed and those that did not: \
              shape, characteristic life and the life that nine in ten reach.",
    inputs: &[
        Param::of(
            Kind::Numbers,
            "times",
            "running times, at failure, or now, or when it went for another reason",
            "above 0, up to 10,000 of them, one unit for all",
        ),
        Param::of(
            Kind::YesNos,
            "failed",
            "failed or not, yes where it failed at that time",
            "one for each time; at least one yes",
        ),
        Param::of(
            Kind::Numbers,
            "entry",
            "running times at entry, when the record of each began",
            "one for each time, 0 or more, below it; left out: all new",
        )
        .optional(),
    ],
    outputs: &[
        Output::new(
            "shape",
            "",
            "below 1 early failures, 1 by chance, above 1 wear",
        ),
        Output::new(
            "scale",
            "",
            "characteristic life, by which 63.2 percent failed, unit of the times",
        ),
        Output::new(
            "shape_ci",
            "",
            "low and high end, 95 percent; null with fewer than 3 failures or where the record sets no bound",
        ),
        Output::new(
            "scale_ci",
            "",
            "low and high end, 95 percent; null as before",
        ),
        Output::new("b10", "", "life that nine in ten reach, unit of the times"),
        Output::new("b10_ci", "", "low and high end, 95 percent; null as before"),
        Output::new(
            "log_likelihood",
            "",
            "natural logarithm of the likelihood at the fit",
        ),
    ],
    formula: "F(t) = 1 - exp(-(t/eta)^b); S(b) = sum over all of t^b - entry^b; S'/S - 1/b - mean of ln t of the d failures = 0; \
              eta = (S/d)^(1/b); B10 = eta (-ln 0.9)^(1/b); intervals: profile log-likelihood down by 1.9207",
    source: "NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3 (memory): shared/reference/weibull_nist_censored.toml; \
             J. F. Lawless, Statistical models and methods for lifetime data (1982) (memory): \
             shared/reference/weibull_lieblein_zelen.toml",
    cautions: &[
        "A bearing that still runs or was scrapped for another reason counts too: leaving it out makes life look short.",
        "One kind of bearing and one way of failing at a time; a mixture has no shape.",
        "With one or two failures the points are hardly more than a guess, and no interval is told.",
        "It tells of many bearings, never when the next one fails.",
    ],
    example: r#"{"times": [16100, 10100, 13200, 5400, 6400, 4500, 8100, 11100, 12600, 10700], "failed": [false, true, true, true, true, false, true, false, true, true]}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let times = input.numbers_up_to("times", LIVES_MAX, &Bounds::above(0.0..=1e12))?;
    let failed = input.yes_nos("failed")?;
    let entry = match input.optional("entry").filter(|entry| !entry.is_null()) {
        None => vec![0.0; times.len()],
        Some(_) => input.numbers("entry", &Bounds::NOT_NEGATIVE)?,
    };
    input.finish()?;
    for (key, length) in [("failed", failed.len()), ("entry", entry.len())] {
        same_length(key, length, times.len()).map_err(|error| renamed(&error, &[]))?;
    }
    if times.is_empty() {
        return Err(wrong("times", "at least one is needed".to_owned()));
    }
    let lives: Vec<Life> = times
        .iter()
        .zip(&failed)
        .zip(&entry)
        .map(|((&time, &failed), &entry)| Life {
            time,
            failed,
            entry,
        })
        .collect();
    let fit = weibull(&lives).map_err(|error| renamed(&error, &[]))?;
    let interval = |key, pick: fn(&Intervals) -> [f64; 2]| match &fit.intervals {
        None => Ok(Value::Null),
        Some(intervals) => pick(intervals)
            .map(|end| number(key, end))
            .into_iter()
            .collect(),
    };
    let output = object([
        ("shape", number("shape", fit.shape)?),
        ("scale", number("scale", fit.scale)?),
        (
            "shape_ci",
            interval("shape_ci", |intervals| intervals.shape)?,
        ),
        (
            "scale_ci",
            interval("scale_ci", |intervals| intervals.scale)?,
        ),
        ("b10", number("b10", fit.b10())?),
        ("b10_ci", interval("b10_ci", |intervals| intervals.b10)?),
        (
            "log_likelihood",
            number("log_likelihood", fit.log_likelihood)?,
        ),
    ]);
    let steps = steps(&fit, &lives);
    Ok(Worked { output, steps })
}

fn steps(fit: &Weibull, lives: &[Life]) -> Vec<Step> {
    let plain = |value| Part::number(value, "", 4);
    let whole = |count: usize| Part::number(count as f64, "", 0);
    let running: f64 = lives.iter().map(|life| life.time - life.entry).sum();
    let mut steps = vec![
        Step::new(
            "{} bearings, {} of them failed",
            [whole(lives.len()), whole(fit.failures)],
            Part::number(running, "", 0),
            "running time in all",
        ),
        Step::new(
            "root of S'/S - 1/b - mean of ln t",
            [],
            plain(fit.shape),
            "shape b",
        ),
        Step::new(
            "(S / {})^(1 / {})",
            [whole(fit.failures), plain(fit.shape)],
            Part::number(fit.scale, "", 1),
            "characteristic life, eta",
        ),
        Step::new(
            "{} x (-ln 0.9)^(1 / {})",
            [Part::number(fit.scale, "", 1), plain(fit.shape)],
            Part::number(fit.b10(), "", 1),
            "B10",
        ),
    ];
    if fit.intervals.is_none() {
        let words = if fit.failures < FAILURES_FOR_INTERVALS {
            "fewer than 3 failures"
        } else {
            "the record sets no bound"
        };
        steps.push(Step::new(
            words,
            [],
            Part::text("no interval"),
            "95 percent",
        ));
    }
    steps
}
