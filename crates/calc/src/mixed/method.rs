//! `mixed_growth`: the lines of several groups at once, as a described method.

use serde_json::Value;

use super::{Mixed, Readings, mixed};
use crate::error::same_length;
use crate::method::{
    Bounds, InputError, Kind, Method, Object, Output, Param, Part, Step, Worked, number, object,
    optional_number, renamed, wrong,
};

/// Readings that one call takes.
const READINGS_MAX: usize = 2_000;

/// `mixed_growth`: what several bearings have in common, and each its own.
pub const METHOD: Method = Method {
    name: "mixed_growth",
    title: "Lines of several",
    summary: "Straight lines of several bearings or row pairs at once: the line they have in common, how far they differ, and \
              for each the line that its own readings and the others together make likely.",
    inputs: &[
        Param::of(
            Kind::Texts,
            "group",
            "group names",
            "a word or number for each reading, two groups or more",
        ),
        Param::of(
            Kind::Numbers,
            "x",
            "x values",
            "as many, up to 2,000; at least two groups with two different ones",
        ),
        Param::of(Kind::Numbers, "y", "y values", "as many"),
        Param::number(
            "measurement_sd",
            "",
            "standard deviation of a reading, where it is known",
            "above 0; left out: from the readings",
        )
        .optional(),
    ],
    outputs: &[
        Output::new("intercept", "", "of the line in common, at x = 0"),
        Output::new("slope", "", "of the line in common"),
        Output::new("intercept_se", "", "its standard error"),
        Output::new("slope_se", "", "its standard error"),
        Output::new(
            "sd_intercept",
            "",
            "standard deviation of the intercepts between groups",
        ),
        Output::new(
            "sd_slope",
            "",
            "standard deviation of the slopes between groups",
        ),
        Output::new(
            "correlation",
            "",
            "of intercept and slope between groups; null where one of them does not differ",
        ),
        Output::new(
            "sd_residual",
            "",
            "standard deviation of a reading about the line of its group",
        ),
        Output::new(
            "reml",
            "",
            "criterion at its lowest, -2 times the restricted log-likelihood",
        ),
        Output::new(
            "groups[].group",
            "",
            "as given, in the order of their first reading",
        ),
        Output::new("groups[].intercept", "", "of the line of this group"),
        Output::new("groups[].slope", "", "of the line of this group"),
    ],
    formula: "y = (b0 + u0) + (b1 + u1) x + e; u of each group normal with covariance s^2 L L', e normal with s; minimised over L: \
              -2 l = (n - p)(1 + ln(2 pi PRSS/(n - p))) + ln|L'Z'ZL + I| + ln|Rx|^2; s known: (n - p) ln(2 pi s^2) + PRSS/s^2 instead",
    source: "D. Bates, M. Maechler, B. Bolker, S. Walker, J. Stat. Software 67(1) (2015) (memory); \
             shared/reference/lme4_sleepstudy.toml, lme4_dyestuff_rail.toml and trend/*/expected_lmm.json",
    cautions: &[
        "The textbook model: it counts wear as even in time and readings as independent, and its intervals are too narrow for \
         a forecast.",
        "With few groups a spread between them often comes out as 0, which is no proof that they are alike.",
        "All groups must be of one kind: types, stands or operators of their own want lines of their own.",
    ],
    example: r#"{"group": ["A", "A", "A", "A", "B", "B", "B", "B", "C", "C", "C", "C", "D", "D", "D", "D"], "x": [0, 2.1, 4.0, 6.2, 0, 1.8, 4.4, 5.9, 0, 2.5, 4.2, 6.0, 0, 2.2, 3.9, 6.1], "y": [260, 290, 330, 350, 240, 300, 370, 420, 270, 310, 340, 400, 230, 290, 300, 360]}"#,
    run,
};

fn run(input: &Value) -> Result<Worked, InputError> {
    let input = Object::root(input)?;
    let names = input.list("group", |value, path| name(value, &path))?;
    let x = input.numbers_up_to("x", READINGS_MAX, &Bounds::ANY)?;
    let y = input.numbers_up_to("y", READINGS_MAX, &Bounds::ANY)?;
    let known_sd = input.optional_number("measurement_sd", &Bounds::above(0.0..=1e12))?;
    input.finish()?;
    for (key, length) in [("group", names.len()), ("y", y.len())] {
        same_length(key, length, x.len()).map_err(|error| renamed(&error, &[]))?;
    }
    let mut groups: Vec<&Value> = Vec::new();
    let mut places = std::collections::HashMap::new();
    let mut group = Vec::with_capacity(names.len());
    for (key, given) in &names {
        let place = *places.entry(key.as_str()).or_insert_with(|| {
            groups.push(given);
            groups.len() - 1
        });
        group.push(place);
    }
    let line = [vec![1.0; x.len()], x.clone()];
    let fit = mixed(&Readings {
        group: &group,
        y: &y,
        fixed: &line,
        random: &line,
        known_sd,
    })
    .map_err(|error| {
        renamed(
            &error,
            &[
                ("fixed", "x"),
                ("random", "x"),
                ("known_sd", "measurement_sd"),
            ],
        )
    })?;
    let output = output(&fit, &groups)?;
    let steps = steps(&fit, y.len(), known_sd.is_some());
    Ok(Worked { output, steps })
}

/// A group's name as one compares it, and as it was given.
fn name(value: &Value, path: &str) -> Result<(String, Value), InputError> {
    let key = match value {
        Value::String(text) => Some(format!("text {text}")),
        Value::Number(number) => number.as_f64().map(|number| format!("number {number}")),
        _ => None,
    };
    key.map(|key| (key, value.clone()))
        .ok_or_else(|| wrong(path, "a word or a number is expected".to_owned()))
}

fn output(fit: &Mixed, groups: &[&Value]) -> Result<Value, InputError> {
    let each: Vec<Value> = groups
        .iter()
        .zip(&fit.groups)
        .map(|(&name, own)| {
            Ok(object([
                ("group", name.clone()),
                ("intercept", number("groups", fit.fixed[0] + own[0])?),
                ("slope", number("groups", fit.fixed[1] + own[1])?),
            ]))
        })
        .collect::<Result<_, InputError>>()?;
    Ok(object([
        ("intercept", number("intercept", fit.fixed[0])?),
        ("slope", number("slope", fit.fixed[1])?),
        (
            "intercept_se",
            number("intercept_se", fit.standard_errors[0])?,
        ),
        ("slope_se", number("slope_se", fit.standard_errors[1])?),
        ("sd_intercept", number("sd_intercept", fit.random_sd(0))?),
        ("sd_slope", number("sd_slope", fit.random_sd(1))?),
        (
            "correlation",
            optional_number("correlation", fit.correlation())?,
        ),
        ("sd_residual", number("sd_residual", fit.residual_sd)?),
        ("reml", number("reml", fit.reml)?),
        ("groups", Value::from(each)),
    ]))
}

fn steps(fit: &Mixed, readings: usize, is_known: bool) -> Vec<Step> {
    let plain = |value| Part::number(value, "", 4);
    let whole = |count: usize| Part::number(count as f64, "", 0);
    let scatter = if is_known {
        "as given"
    } else {
        "from the readings"
    };
    let slopes = [
        fit.fixed[1] - fit.random_sd(1),
        fit.fixed[1] + fit.random_sd(1),
    ];
    vec![
        Step::new(
            "{} readings of {} groups",
            [whole(readings), whole(fit.groups.len())],
            plain(fit.reml),
            "-2 l at its lowest",
        ),
        Step::new(
            "scatter of a reading about the line of its group",
            [],
            plain(fit.residual_sd),
            format!("s, {scatter}"),
        ),
        Step::new(
            "line in common: {} + {} x",
            [plain(fit.fixed[0]), plain(fit.fixed[1])],
            plain(fit.fixed[1]),
            "generalised least squares",
        ),
        Step::new(
            "two groups in three have a slope from {} to",
            [plain(slopes[0])],
            plain(slopes[1]),
            "slope -/+ its standard deviation between groups",
        ),
    ]
}
