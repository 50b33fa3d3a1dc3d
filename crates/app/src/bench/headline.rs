//! The one line of a result to show large: what somebody would say aloud. Known by the keys of the outputs, so that
//! two methods that answer alike read alike; anything else shows its first output.

use calc::method::{Method, Output};
use serde_json::Value;
use store::entry::Show;

use super::answer::{label, value_words};
use super::unit::{Unit, decimals};

/// What is said large, what stands beside it, and the keys of the outputs that it tells.
pub(super) struct Headline {
    pub(super) big: String,
    pub(super) beside: String,
    pub(super) told: Vec<&'static str>,
}

pub(super) fn headline(method: &Method, input: &Value, output: &Value, show: Show) -> Headline {
    let number = |key: &str| output.get(key).and_then(Value::as_f64);
    if let (Some(kind), Some(min), Some(max)) = (
        output.get("kind").and_then(Value::as_str),
        number("clearance_min_um"),
        number("clearance_max_um"),
    ) {
        return fit(kind, min, max, show);
    }
    if let Some((lower, upper)) = number("lower_um").zip(number("upper_um")) {
        let big = format!("{} to {}", signed(lower, show), signed(upper, show));
        let sign = Unit::Small.sign(show.unit);
        let beside = "deviations from the nominal size".into();
        return Headline {
            big: format!("{big} {sign}"),
            beside,
            told: vec!["lower_um", "upper_um"],
        };
    }
    if let Some((min, max)) = number("min_um").zip(number("max_um")) {
        let big = format!(
            "{} to {}",
            Unit::Small.show(min, show),
            Unit::Small.show_with(max, show)
        );
        return Headline {
            big,
            beside: "smallest to largest".into(),
            told: vec!["min_um", "max_um"],
        };
    }
    if let Some((b10, shape)) = number("b10").zip(number("shape")) {
        return life(b10, shape, show);
    }
    if let Some(headline) = line(output, show) {
        return headline;
    }
    let limit = input.get("limit_c").and_then(Value::as_f64);
    if let Some((needed, limit)) = number("temp_c").zip(limit) {
        return heating(needed, limit, show);
    }
    match method
        .outputs
        .iter()
        .find(|output| !output.key.ends_with("verdict"))
    {
        Some(first) => plain(method, first, output, show),
        None => Headline {
            big: String::new(),
            beside: String::new(),
            told: Vec::new(),
        },
    }
}

fn plain(method: &Method, first: &'static Output, output: &Value, show: Show) -> Headline {
    // Where something is to be done about it, that is said first.
    let act = method
        .outputs
        .iter()
        .find(|output| output.key == "pairs[].grind_mm");
    let shown = act.unwrap_or(first);
    let beside = label(shown);
    Headline {
        big: value_words(output, shown, show),
        beside,
        told: vec![shown.key],
    }
}

fn fit(kind: &str, min: f64, max: f64, show: Show) -> Headline {
    let told = vec!["kind", "clearance_min_um", "clearance_max_um"];
    let range = |from: f64, to: f64| {
        format!(
            "{} to {}",
            Unit::Small.show(from, show),
            Unit::Small.show_with(to, show)
        )
    };
    let (big, beside) = match kind {
        "clearance" => (range(min, max), "clearance, always loose"),
        "interference" => (range(0.0 - max, 0.0 - min), "interference, always tight"),
        _ => (range(min, max), "clearance, where negative tight"),
    };
    Headline {
        big,
        beside: beside.into(),
        told,
    }
}

fn heating(needed: f64, limit: f64, show: Show) -> Headline {
    let room = (limit - needed).abs();
    let side = if needed > limit { "over" } else { "under" };
    Headline {
        big: format!("heat to {}", Unit::Celsius.show_with(needed.ceil(), show)),
        beside: format!(
            "{} {side} the limit",
            Unit::Other("K").show_with(room.floor(), show)
        ),
        told: vec!["temp_c"],
    }
}

fn life(b10: f64, shape: f64, show: Show) -> Headline {
    let plain = |value: f64| Unit::Other("").show(value, show);
    let kind = match shape {
        shape if shape < 0.95 => "early failures",
        shape if shape > 1.05 => "wear",
        _ => "chance",
    };
    Headline {
        big: format!("B10 {}", plain(b10)),
        beside: format!("shape {}: {kind}", decimals(shape, 2, show)),
        told: vec!["b10", "shape"],
    }
}

/// A line as one writes it, from a constant and a slope or from the coefficients of powers.
fn line(output: &Value, show: Show) -> Option<Headline> {
    let number = |key: &str| output.get(key).and_then(Value::as_f64);
    let of_line = number("intercept").zip(number("slope"));
    let beside = match of_line {
        Some(_) if output.get("sd_slope").is_some() => "in common",
        Some(_) => "by medians",
        None => "least squares",
    };
    let (constant, slope, told) = match of_line {
        Some((constant, slope)) => (constant, slope, vec!["intercept", "slope"]),
        None => match output.get("coefficients")?.as_array()?.as_slice() {
            [constant, slope] => (constant.as_f64()?, slope.as_f64()?, vec!["coefficients"]),
            _ => return None,
        },
    };
    let plain = |value: f64| Unit::Other("").show(value, show);
    let sign = if slope < 0.0 { '\u{2212}' } else { '+' };
    Some(Headline {
        big: format!("y = {} {sign} {} x", plain(constant), plain(slope.abs())),
        beside: beside.into(),
        told,
    })
}

/// A deviation with its sign.
pub(super) fn signed(um: f64, show: Show) -> String {
    let text = Unit::Small.show(um, show);
    if um > 0.0 { format!("+{text}") } else { text }
}
