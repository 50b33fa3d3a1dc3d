//! `conformity`: verdict and probability of a value as a described method.

use serde_json::Value;

use super::{Conformity, Thresholds, conformity_of_numbers, guard_band, is_inside};
use crate::method::{
    Bounds, InputError, Method, Object, Output, Param, Part, Step, Worked, object, optional_number,
    renamed,
};
use crate::quantity::{Length, as_micrometres, micrometres};

/// `conformity`: does a value conform, given its uncertainty?
pub const METHOD: Method = Method {
    name: "conformity",
    title: "Conformity",
    summary: "Probability that the true value lies inside the limits, and the verdict that follows.",
    inputs: &[
        Param::number("value", "", "measured value, in any unit", "finite"),
        Param::number(
            "expanded_uncertainty",
            "",
            "U at k = 2 in the same unit; null: not known, then at best in doubt; 0: the value decides exactly",
            "0 or more, or null",
        ),
        Param::number("lower", "", "lower limit", "finite; one limit at least").optional(),
        Param::number("upper", "", "upper limit", "not below lower").optional(),
        Param::number(
            "asked",
            "",
            "conformance probability asked for a pass; 0.95 where no other is agreed",
            "0.5 to 0.999",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("verdict", "", "pass, pass_in_doubt, fail_in_doubt or fail"),
        Output::new(
            "probability",
            "",
            "probability of conformity, 0 to 1; null where U is not known",
        ),
        Output::new(
            "simple_acceptance",
            "",
            "true inside the limits, U not counted",
        ),
        Output::new("guard_band", "", "z U/2; null where U is not known"),
        Output::new(
            "acceptance_lower",
            "",
            "lower limit + guard band; null without limit or U, or where no value can be accepted",
        ),
        Output::new(
            "acceptance_upper",
            "",
            "upper limit - guard band; null without limit or U, or where no value can be accepted",
        ),
    ],
    formula: "u = U/2; p = Phi((upper - value)/u) - Phi((lower - value)/u); p >= asked pass, >= 0.50 pass in doubt, \
              > 1 - asked fail in doubt, else fail, with 0.95 asked where no other is; U = 0: a value on the limit \
              conforms; guard band g = z u with Phi(z) = asked, 1.6449 u for 0.95: accepted from lower + g to upper - g",
    source: "ISO 14253-1:2017 and JCGM 106:2012 (memory)",
    cautions: &[
        "Where U is large against the tolerance no value passes: the gauge cannot decide it.",
        "In doubt: measure again, a second person, or the engineer's signature.",
    ],
    example: r#"{"value": 420.06, "expanded_uncertainty": 0.008, "lower": 420.0, "upper": 420.063}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let value = input.number("value", &Bounds::ANY)?;
    let lower = input.optional_number("lower", &Bounds::ANY)?;
    let upper = input.optional_number("upper", &Bounds::ANY)?;
    let uncertainty = input.number_or_null("expanded_uncertainty", &Bounds::NOT_NEGATIVE)?;
    let asked = input.optional_number("asked", &Bounds::within(Thresholds::ASKED))?;
    input.finish()?;
    let thresholds = match asked {
        Some(asked) => Thresholds::asked(asked).map_err(|error| renamed(&error, &[]))?,
        None => Thresholds::default(),
    };
    let result = conformity_of_numbers(value, lower, upper, uncertainty, &thresholds)
        .map_err(|error| renamed(&error, &[]))?;
    let band = uncertainty.map(|uncertainty| guard_band(lower, upper, uncertainty, &thresholds));
    let accepting = band.filter(super::GuardBand::accepts_any);
    let judged = (&result, &thresholds);
    let mut steps = steps(value, [lower, upper], uncertainty, judged, |number| {
        Part::number(number, "", 6)
    });
    if let Some((band, uncertainty)) = band.zip(uncertainty) {
        let plain = |number| Part::number(number, "", 6);
        steps.push(Step::new(
            "guard band {} x {} / 2",
            [
                Part::number(thresholds.guard_factor(), "", 4),
                plain(uncertainty),
            ],
            plain(band.width),
            "JCGM 106",
        ));
    }
    let output = object([
        ("verdict", Value::from(result.verdict.as_str())),
        (
            "probability",
            optional_number("probability", result.probability)?,
        ),
        (
            "simple_acceptance",
            Value::from(is_inside(value, lower, upper)),
        ),
        (
            "guard_band",
            optional_number("guard_band", band.map(|band| band.width))?,
        ),
        (
            "acceptance_lower",
            optional_number(
                "acceptance_lower",
                accepting.and_then(|band| band.acceptance_lower),
            )?,
        ),
        (
            "acceptance_upper",
            optional_number(
                "acceptance_upper",
                accepting.and_then(|band| band.acceptance_upper),
            )?,
        ),
    ]);
    Ok(Worked { output, steps })
}

/// How the verdict on a length comes out, line by line: for whoever shows what stands behind a badge.
pub fn derivation(
    value: Length,
    limits: [Option<Length>; 2],
    expanded_uncertainty: Option<Length>,
    judged: (&Conformity, &Thresholds),
) -> Vec<Step> {
    steps(
        as_micrometres(value),
        limits.map(|limit| limit.map(as_micrometres)),
        expanded_uncertainty.map(as_micrometres),
        judged,
        |um| Part::Length(micrometres(um)),
    )
}

fn steps(
    value: f64,
    limits: [Option<f64>; 2],
    uncertainty: Option<f64>,
    (result, thresholds): (&Conformity, &Thresholds),
    plain: impl Fn(f64) -> Part,
) -> Vec<Step> {
    let mut steps = Vec::new();
    if let Some(uncertainty) = uncertainty {
        steps.push(Step::new(
            "u = {} / 2",
            [plain(uncertainty)],
            plain(uncertainty / 2.0),
            "U at k = 2",
        ));
    }
    let room = [
        (limits[0], "{} - {}", "room above the lower limit"),
        (limits[1], "{} - {}", "room below the upper limit"),
    ];
    for (is_upper, (limit, pattern, note)) in room.into_iter().enumerate() {
        let Some(limit) = limit else { continue };
        let (from, less) = if is_upper == 1 {
            (limit, value)
        } else {
            (value, limit)
        };
        steps.push(Step::new(
            pattern,
            [plain(from), plain(less)],
            plain(from - less),
            note,
        ));
    }
    steps.push(result.step("value", thresholds));
    steps
}

impl Conformity {
    /// The line of a derivation: probability and verdict of what is named.
    pub(crate) fn step(&self, name: &str, thresholds: &Thresholds) -> Step {
        let rule = match self.probability {
            None => "no uncertainty known: at best in doubt".to_owned(),
            Some(_) => format!("{}; ISO 14253-1", thresholds.words()),
        };
        let probability = match self.probability {
            Some(p) => Part::number(p, "", 4),
            None => Part::text("not known"),
        };
        Step::new(
            &format!("p of the {name}: {{}}"),
            [probability],
            Part::text(self.verdict.word()),
            &rule,
        )
    }
}

impl Thresholds {
    /// What parts the verdicts, in words: `pass from 0.95, in doubt from 0.50, fail to 0.05`.
    pub fn words(&self) -> String {
        let (pass, fail) = (plain(self.pass), plain(self.fail));
        if self.pass <= self.even {
            return format!("pass from {pass}, else fail");
        }
        format!(
            "pass from {pass}, in doubt from {}, fail to {fail}",
            plain(self.even)
        )
    }
}

/// A probability with as many digits as it has, two at least and four at most.
fn plain(probability: f64) -> String {
    let digits = format!("{probability:.4}");
    let short = digits.trim_end_matches('0');
    match short.len() {
        ..4 => digits[..4].to_owned(),
        _ => short.to_owned(),
    }
}
