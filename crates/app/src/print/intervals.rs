//! How fast clearances grew at the places of a stand, as intervals: what the plain table beside them tells in numbers.

use std::collections::BTreeMap;

use calc::wear::{MeanRate, mean_rate};
use draw::intervals::{Interval, IntervalRow, Intervals};
use report::Drawing;
use store::entry::Show;
use store::query::{StandReview, StandTeardown};

use super::pictures::{self, PAGE};

/// An interval for each place, bearing type and row pair; none where nothing grew.
pub(super) fn drawing(review: &StandReview, show: Show) -> Option<Drawing> {
    let mut groups: BTreeMap<(&str, &str), Vec<&StandTeardown>> = BTreeMap::new();
    for teardown in &review.teardowns {
        let key = (teardown.position.as_str(), teardown.type_code.as_str());
        groups.entry(key).or_default().push(teardown);
    }
    let types: Vec<&str> = groups.keys().map(|(_, type_code)| *type_code).collect();
    let is_one_type = types.windows(2).all(|two| two[0] == two[1]);
    let mut rows = Vec::new();
    let mut told = Vec::new();
    for ((position, type_code), teardowns) in &groups {
        let pairs: [Option<MeanRate>; 3] = std::array::from_fn(|pair| rate(teardowns, pair));
        if pairs.iter().all(Option::is_none) {
            continue;
        }
        let label = if is_one_type {
            (*position).to_owned()
        } else {
            format!("{position}, {type_code}")
        };
        told.push(format!("{label}: {}", words(&pairs, show)));
        rows.push(IntervalRow {
            label,
            count: super::counted(teardowns.len(), "stay"),
            marks: pairs.map(|pair| pair.map(|rate| mark(&rate, show))),
        });
    }
    if rows.is_empty() {
        return None;
    }
    // Unlike bearings are never put together: one line for all only where there is one type.
    let all: Vec<&StandTeardown> = review.teardowns.iter().collect();
    let means = std::array::from_fn(|pair| {
        let rate = rate(&all, pair).filter(|_| is_one_type)?;
        Some(in_unit(rate.mean, show))
    });
    let unit = show.unit.sign();
    let plot = Intervals {
        heads: [1, 2, 3].map(|pair| show.pair_name(pair)),
        rows,
        means,
        axis: format!("{unit} per 1,000 h"),
        has_comma: show.comma,
        title: format!("Growth of the clearances at stand {}", review.code),
    };
    let alt = format!("{}, {unit} per 1,000 h. {}.", plot.title, told.join("; "));
    let note = if is_one_type {
        "mark and bar: mean and 95 % interval of the stays measured; upright line: mean of all of them"
    } else {
        "mark and bar: mean and 95 % interval; what has one clearance stands in the first column"
    };
    Some(pictures::drawing(
        "Growth by place",
        note,
        &plot.scene(PAGE),
        alt,
    ))
}

fn rate(teardowns: &[&StandTeardown], pair: usize) -> Option<MeanRate> {
    let stays: Vec<(f64, f64)> = teardowns
        .iter()
        .filter(|t| t.run_s > 0)
        .filter_map(|t| Some((t.grown_nm[pair]? as f64 / 1e3, t.run_s as f64 / 3_600.0)))
        .collect();
    mean_rate(&stays)
}

fn in_unit(um: f64, show: Show) -> f64 {
    crate::drawings::in_unit((um * 1e3).round() as i64, show.unit)
}

fn mark(rate: &MeanRate, show: Show) -> Interval {
    Interval {
        mean: in_unit(rate.mean, show),
        ends: rate
            .interval
            .map(|(low, high)| (in_unit(low, show), in_unit(high, show))),
    }
}

/// The same in words, for readers who do not see it.
fn words(pairs: &[Option<MeanRate>; 3], show: Show) -> String {
    let length = |um: f64| show.length((um * 1e3).round() as i64);
    let each = (1..).zip(pairs).filter_map(|(number, pair)| {
        let rate = pair.as_ref()?;
        let within = rate.interval.map_or_else(
            || "one stay".to_owned(),
            |(low, high)| format!("{} to {}", length(low), length(high)),
        );
        Some(format!(
            "{} {} ({within})",
            show.pair_name(number),
            length(rate.mean)
        ))
    });
    each.collect::<Vec<_>>().join(", ")
}
