//! `theil_sen`: the line by medians as a described method.

use serde_json::Value;

use super::{CONFIDENCE, EXACT_MAX, TheilSen, theil_sen};
use crate::method::{
    Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, number, object,
    optional_number, renamed,
};

/// Points that one call takes: all their pairs are looked at.
const POINTS_MAX: usize = 2_000;

/// `theil_sen`: a line that no single bad reading can turn.
pub const METHOD: Method = Method {
    name: "theil_sen",
    title: "Line by medians",
    summary: "A straight line through points by the median of the slopes of all pairs: a few bad readings cannot turn it. \
              Its interval needs no normal scatter.",
    inputs: &[
        Param::of(
            Kind::Numbers,
            "x",
            "x values",
            "2 to 2,000 numbers, not all alike",
        ),
        Param::of(Kind::Numbers, "y", "y values", "as many"),
        Param::number(
            "confidence",
            "",
            "confidence of the interval",
            "0.5 to 0.999",
        ),
    ],
    outputs: &[
        Output::new(
            "slope",
            "",
            "median of the slopes of all pairs that differ in x",
        ),
        Output::new("intercept", "", "median of y less slope times median of x"),
        Output::new(
            "slope_lower",
            "",
            "lower end of the interval; null where so few points have none of this confidence",
        ),
        Output::new("slope_upper", "", "upper end; null as the lower"),
    ],
    formula: "slope = median of (yj - yi)/(xj - xi); interval from S(k+1) to S(N-k) of the N sorted slopes, k the largest \
              with P(D <= k) <= (1 - confidence)/2; D: falling pairs by chance, exact up to 200 points, normal above",
    source: "P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379-1389 (memory); M. G. Kendall, Biometrika 30 (1938) (memory); \
             intercept by W. J. Conover (memory); shared/reference/theil_sen.toml",
    cautions: &[
        "Three points have no interval at 90 percent, four reach 91.7 percent at best.",
        "The true confidence is at least the one asked for: only whole counts of pairs can be left out.",
        "Readings that are equal by rounding make the interval wider than need be.",
    ],
    example: r#"{"x": [0, 0.8, 3.7, 6.0, 8.1, 9.7, 12.3], "y": [260, 290, 380, 440, 470, 480, 540], "confidence": 0.9}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let x = input.numbers_up_to("x", POINTS_MAX, &Bounds::ANY)?;
    let y = input.numbers_up_to("y", POINTS_MAX, &Bounds::ANY)?;
    let confidence = input.number("confidence", &Bounds::within(CONFIDENCE))?;
    input.finish()?;
    let found = theil_sen(&x, &y, confidence).map_err(|error| renamed(&error, &[]))?;
    let end = |key, pick: fn(&super::Interval) -> f64| {
        optional_number(key, found.interval.as_ref().map(pick))
    };
    let output = object([
        ("slope", number("slope", found.slope)?),
        ("intercept", number("intercept", found.intercept)?),
        (
            "slope_lower",
            end("slope_lower", |interval| interval.lower)?,
        ),
        (
            "slope_upper",
            end("slope_upper", |interval| interval.upper)?,
        ),
    ]);
    let steps = steps(&found, x.len(), confidence);
    Ok(Worked { output, steps })
}

fn steps(found: &TheilSen, points: usize, confidence: f64) -> Vec<Step> {
    let plain = |value| Part::number(value, "", 4);
    let whole = |count: usize| Part::number(count as f64, "", 0);
    let mut steps = vec![
        Step::new(
            "pairs of {} points that differ in x",
            [whole(points)],
            whole(found.pairs),
            "N, each has a slope",
        ),
        Step::new("median of the slopes", [], plain(found.slope), "slope"),
        Step::new(
            "median(y) - {} x median(x)",
            [plain(found.slope)],
            plain(found.intercept),
            "intercept, Conover",
        ),
    ];
    let Some(interval) = &found.interval else {
        steps.push(Step::new(
            "no interval at a confidence of {}",
            [Part::number(confidence, "", 3)],
            Part::text("none"),
            "even all slopes together cover less",
        ));
        return steps;
    };
    let how = if points > EXACT_MAX {
        "normal"
    } else {
        "exact"
    };
    steps.push(Step::new(
        "{} slopes left out at either end",
        [whole(interval.left_out)],
        Part::number(interval.reached, "", 4),
        format!("confidence that is really reached, {how}"),
    ));
    let ends = [
        (interval.left_out + 1, interval.lower, "lower end"),
        (found.pairs - interval.left_out, interval.upper, "upper end"),
    ];
    for (place, value, note) in ends {
        let parts = [whole(place), whole(found.pairs)];
        steps.push(Step::new(
            "slope {} of the {} sorted",
            parts,
            plain(value),
            note,
        ));
    }
    steps
}
