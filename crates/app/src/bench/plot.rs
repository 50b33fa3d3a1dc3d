//! The drawing of points with their line: what was typed, and what the calculation made of it.

use calc::weibull::{Life, Weibull, plotting_positions};
use draw::Pair;
use draw::growth::Xy;
use draw::scatter::{Axis, Dot, Line, Role, Scale, Scatter};
use serde_json::Value;
use store::entry::Show;

/// Groups whose lines are named; of more the names would cover one another.
const NAMED_MAX: usize = 8;
/// Points along a curve.
const CURVE: usize = 60;

fn numbers(value: &Value, key: &str) -> Option<Vec<f64>> {
    value
        .get(key)?
        .as_array()?
        .iter()
        .map(Value::as_f64)
        .collect()
}

fn number(value: &Value, key: &str) -> Option<f64> {
    value.get(key)?.as_f64()
}

fn span(values: &[f64]) -> [f64; 2] {
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    [low, high]
}

fn line(role: Role, [from, to]: [f64; 2], steps: usize, y: impl Fn(f64) -> f64) -> Line {
    let x = |i: usize| from + (to - from) * i as f64 / steps as f64;
    let points = (0..=steps).map(|i| Xy {
        x: x(i),
        y: y(x(i)),
    });
    Line {
        points: points.collect(),
        role,
        label: String::new(),
    }
}

fn plain(dots: Vec<Dot>, lines: Vec<Line>, title: &str, show: Show) -> Scatter {
    let axis = |label: &str| Axis {
        label: label.into(),
        scale: Scale::Even,
    };
    Scatter {
        x: axis("x"),
        y: axis("y"),
        dots,
        lines,
        has_comma: show.comma,
        title: title.into(),
    }
}

fn dots(x: &[f64], y: &[f64], group: impl Fn(usize) -> Pair) -> Vec<Dot> {
    let points = x.iter().zip(y).enumerate();
    points
        .map(|(i, (&x, &y))| Dot {
            at: Xy { x, y },
            group: group(i),
        })
        .collect()
}

/// A line or curve of powers.
pub(super) fn powers(input: &Value, output: &Value, show: Show) -> Option<Scatter> {
    let (x, y) = (numbers(input, "x")?, numbers(input, "y")?);
    let coefficients = numbers(output, "coefficients")?;
    let is_through_origin = input.get("through_origin").and_then(Value::as_bool) == Some(true);
    let height = |x: f64| {
        let sum = coefficients.iter().rev().fold(0.0, |sum, b| sum * x + b);
        if is_through_origin { sum * x } else { sum }
    };
    let steps = if coefficients.len() > 2 { CURVE } else { 1 };
    let fit = line(Role::Fit, span(&x), steps, height);
    let title = "Points with the line of least squares";
    Some(plain(dots(&x, &y, |_| Pair::P1), vec![fit], title, show))
}

/// The line by medians, and the steepest and flattest of its interval through the same middle.
pub(super) fn medians(input: &Value, output: &Value, show: Show) -> Option<Scatter> {
    let (x, y) = (numbers(input, "x")?, numbers(input, "y")?);
    let (slope, intercept) = (number(output, "slope")?, number(output, "intercept")?);
    let mut sorted = x.clone();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    let middle = if sorted.len() % 2 == 1 {
        sorted[half]
    } else {
        f64::midpoint(sorted[half - 1], sorted[half])
    };
    let height = intercept + slope * middle;
    let ends = ["slope_lower", "slope_upper"].map(|key| number(output, key));
    let mut lines: Vec<Line> = ends
        .into_iter()
        .flatten()
        .map(|end| line(Role::Guide, span(&x), 1, |x| height + end * (x - middle)))
        .collect();
    lines.push(line(Role::Fit, span(&x), 1, |x| intercept + slope * x));
    let title = "Points with the line by medians and the ends of its slope";
    Some(plain(dots(&x, &y, |_| Pair::P1), lines, title, show))
}

/// The lines of the groups and the one they have in common.
pub(super) fn groups(input: &Value, output: &Value, show: Show) -> Option<Scatter> {
    let (x, y) = (numbers(input, "x")?, numbers(input, "y")?);
    let (names, lines) = (
        input.get("group")?.as_array()?,
        output.get("groups")?.as_array()?,
    );
    let place = |name: &Value| {
        lines
            .iter()
            .position(|line| line.get("group") == Some(name))
    };
    let places: Vec<usize> = names.iter().map(place).collect::<Option<_>>()?;
    let pair = |place: usize| Pair::ALL[place % Pair::ALL.len()];
    let mut drawn = Vec::new();
    for (place, own) in lines.iter().enumerate() {
        let (intercept, slope) = (number(own, "intercept")?, number(own, "slope")?);
        let of_it = x.iter().zip(&places).filter(|(_, at)| **at == place);
        let own_x: Vec<f64> = of_it.map(|(x, _)| *x).collect();
        let role = Role::Group(pair(place));
        let mut own_line = line(role, span(&own_x), 1, |x| intercept + slope * x);
        if lines.len() <= NAMED_MAX {
            own_line.label = match own.get("group") {
                Some(Value::String(name)) => name.chars().take(12).collect(),
                Some(name) => name.to_string(),
                None => String::new(),
            };
        }
        drawn.push(own_line);
    }
    let (intercept, slope) = (number(output, "intercept")?, number(output, "slope")?);
    drawn.push(line(Role::Fit, span(&x), 1, |x| intercept + slope * x));
    let title = "Readings with the line of each group and, in ink, the one in common";
    Some(plain(dots(&x, &y, |i| pair(places[i])), drawn, title, show))
}

/// Weibull's paper, on which the fit is straight, and how B10 is read off it.
pub(super) fn life(input: &Value, output: &Value, show: Show) -> Option<Scatter> {
    let times = numbers(input, "times")?;
    let failed = input.get("failed")?.as_array()?;
    let entry = numbers(input, "entry").unwrap_or_else(|| vec![0.0; times.len()]);
    let lives: Vec<Life> = times
        .iter()
        .zip(failed)
        .zip(&entry)
        .map(|((&time, failed), &entry)| Life {
            time,
            failed: failed.as_bool() == Some(true),
            entry,
        })
        .collect();
    let fit = Weibull {
        shape: number(output, "shape")?,
        scale: number(output, "scale")?,
        failures: 0,
        log_likelihood: 0.0,
        intervals: None,
    };
    let dots: Vec<Dot> = plotting_positions(&lives)
        .into_iter()
        .map(|(x, y)| Dot {
            at: Xy { x, y },
            group: Pair::P1,
        })
        .collect();
    let at = |x: f64, y: f64| Xy { x, y };
    let b10 = fit.b10();
    // From beyond the left edge to the line, and down beyond the lower one.
    let guide = Line {
        points: vec![at(b10 * 1e-6, 0.1), at(b10, 0.1), at(b10, 1e-9)],
        role: Role::Guide,
        label: String::new(),
    };
    let last = dots.iter().map(|dot| dot.at.y).fold(0.9, f64::max);
    let line = Line {
        points: [0.05, last]
            .map(|share| at(fit.quantile(share), share))
            .to_vec(),
        role: Role::Fit,
        label: String::new(),
    };
    Some(Scatter {
        x: Axis {
            label: "running time".into(),
            scale: Scale::Log,
        },
        y: Axis {
            label: "failed".into(),
            scale: Scale::Weibull,
        },
        dots,
        lines: vec![guide, line],
        has_comma: show.comma,
        title: "Probability plot: failures with the fitted line, and B10 read off it".into(),
    })
}
