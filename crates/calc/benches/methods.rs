//! Time per call of each method's worked example, and of the wear model on a whole mill, as a ratio to a fixed piece of work measured in the same run.
//!
//! The ratio travels between machines better than a time; nothing is asserted. `cargo bench -p calc` measures; any
//! other way of starting it makes one call each.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::fmt::Write as _;
use std::{
    collections::BTreeMap,
    hint::black_box,
    time::{Duration, Instant},
};

use calc::method::methods;
use calc::mixed::{Readings, mixed};
use calc::theil_sen::theil_sen;
use calc::wear::{BearingType, Event, Gauge, Pool, Reading, Settings, Target, review};
use serde_json::Value;

/// How long one thing is measured.
const AT_LEAST: Duration = Duration::from_millis(100);

fn main() {
    let is_measured = std::env::args().any(|argument| argument == "--bench");
    let baseline_ns = time_per_call_ns(is_measured, baseline);
    println!("baseline: 1000 exponentials, {:.2} us", baseline_ns / 1e3);
    println!("{:>10}  {:>10}  method", "us/call", "baselines");
    for method in methods() {
        let example: Value = serde_json::from_str(method.example).unwrap();
        let ns = time_per_call_ns(is_measured, || {
            let worked = (method.run)(black_box(&example));
            black_box(worked.is_ok());
        });
        println!(
            "{:>10.2}  {:>10.3}  {}",
            ns / 1e3,
            ns / baseline_ns,
            method.name
        );
    }
    let mill = mill();
    // Seconds, not microseconds: called once or twice.
    let calls = if is_measured { 2 } else { 1 };
    let ns = (0..calls)
        .map(|_| wear_ns(&mill))
        .fold(f64::INFINITY, f64::min);
    println!(
        "{:>10.0}  {:>10.0}  wear model, {} readings of 400 bearings",
        ns / 1e3,
        ns / baseline_ns,
        mill.readings().len()
    );
    for (name, reference) in [
        (
            "textbook mixed model, random line of each row pair (REML)",
            reml as fn(&Pool),
        ),
        (
            "Theil-Sen, a line of each row pair",
            theil_sen_all as fn(&Pool),
        ),
    ] {
        let reference_ns = (0..calls)
            .map(|_| {
                let start = Instant::now();
                reference(black_box(&mill));
                start.elapsed().as_secs_f64() * 1e9
            })
            .fold(f64::INFINITY, f64::min);
        println!(
            "{:>10.0}  {:>10.0}  {name}, the same readings; the wear model takes {:.1} times as long",
            reference_ns / 1e3,
            reference_ns / baseline_ns,
            ns / reference_ns
        );
    }
    outside(&mill, ns);
}

/// Fits of the same readings by lme4 (R), in the same run; where it is not on the machine, how to get it.
fn outside(mill: &Pool, ns: f64) {
    let here = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let table = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("mill.csv");
    std::fs::write(&table, as_table(mill)).unwrap();
    let run = std::process::Command::new("Rscript")
        .arg("--vanilla")
        .arg(here.join("benches/lme4.R"))
        .arg(&table)
        .output();
    let said = match run {
        Ok(run) if run.status.success() => String::from_utf8_lossy(&run.stdout).into_owned(),
        Ok(run) => {
            let why = String::from_utf8_lossy(&run.stderr);
            println!(
                "lme4 did not fit ({}): Debian's package r-cran-lme4 has it",
                why.lines().next_back().unwrap_or_default()
            );
            return;
        }
        Err(_) => {
            println!("no lme4 to compare with: apt-get install r-cran-lme4, and run again");
            return;
        }
    };
    for line in said.lines() {
        let mut parts = line.splitn(3, ' ');
        let mut number = || parts.next().and_then(|part| part.parse::<f64>().ok());
        let (Some(seconds), Some(criterion)) = (number(), number()) else {
            println!("lme4 said: {line}");
            continue;
        };
        println!(
            "{:>10.0}              lme4, {} (REML criterion {criterion}), the same readings; the wear model takes {:.2} times as long",
            seconds * 1e6,
            parts.next().unwrap_or_default(),
            ns / 1e9 / seconds
        );
    }
}

/// The readings as a table for other programs.
fn as_table(mill: &Pool) -> String {
    let mut table = "bearing,type,row_pair,unit,kh,y\n".to_owned();
    for reading in mill.readings() {
        let (bearing, pair) = (&reading.bearing, reading.row_pair);
        // Writing into a text does not fail.
        let _written = writeln!(
            table,
            "{bearing},{},{pair},{bearing}/{pair},{},{}",
            reading.bearing_type,
            reading.counter_h / 1_000.0,
            reading.clearance_um.unwrap_or(f64::NAN)
        );
    }
    table
}

/// Hours (thousands) and clearances of a row pair.
type Line = (Vec<f64>, Vec<f64>);

/// The row pairs of a mill.
fn lines_of(mill: &Pool) -> Vec<Line> {
    let mut lines: BTreeMap<(&str, u32), Line> = BTreeMap::new();
    for reading in mill.readings() {
        let line = lines
            .entry((&reading.bearing, reading.row_pair))
            .or_default();
        line.0.push(reading.counter_h / 1_000.0);
        line.1.push(reading.clearance_um.unwrap_or(f64::NAN));
    }
    lines.into_values().collect()
}

/// No library of Rust fits mixed models: the reference is the textbook one of this crate, whose results hold against
/// published fits of other programs (`mixed`, its tests).
fn reml(mill: &Pool) {
    let lines = lines_of(mill);
    let group: Vec<usize> = lines
        .iter()
        .enumerate()
        .flat_map(|(i, (x, _))| vec![i; x.len()])
        .collect();
    let x: Vec<f64> = lines.iter().flat_map(|(x, _)| x.clone()).collect();
    let y: Vec<f64> = lines.iter().flat_map(|(_, y)| y.clone()).collect();
    let columns = [vec![1.0; x.len()], x];
    let fitted = mixed(&Readings {
        group: &group,
        y: &y,
        fixed: &columns,
        random: &columns,
        known_sd: None,
    });
    assert!(
        fitted.is_ok(),
        "the readings of the mill have a random line"
    );
    black_box(fitted.is_ok());
}

/// The plainest fit there is of the same readings, without anything in common.
fn theil_sen_all(mill: &Pool) {
    for (x, y) in lines_of(mill) {
        black_box(theil_sen(&x, &y, 0.9).is_ok());
    }
}

/// Time of one review.
fn wear_ns(mill: &Pool) -> f64 {
    let start = Instant::now();
    let review = review(black_box(mill), &Settings::default());
    black_box(review.is_ok());
    start.elapsed().as_secs_f64() * 1e9
}

/// A whole mill: 400 bearings of 3 row pairs, 12 readings each, in 6 stands. Invented, and the same in each run.
fn mill() -> Pool {
    let types = ["A", "B", "C"].map(|name| BearingType {
        name: name.to_owned(),
        set: Target {
            nominal_um: 250.0,
            tolerance_um: 25.0,
        },
        limit_factor: Some(2.0),
        limit_um: None,
        gauge: Gauge {
            expanded_uncertainty_um: 15.0,
            step_um: 10.0,
        },
    });
    let wave = |n: usize| libm::sin(n as f64 * 12.9898);
    let mut readings = Vec::new();
    for bearing in 0..400 {
        for teardown in 0..12_usize {
            for row_pair in 1..=3_usize {
                let counter_h = 1500.0 * teardown as f64;
                let factor = 1.0 + 0.25 * wave(bearing) + 0.12 * wave(bearing * 3 + row_pair);
                let read_um = 250.0
                    + 0.015 * factor * counter_h
                    + 7.0 * wave(bearing * 36 + teardown * 3 + row_pair);
                readings.push(Reading {
                    bearing: format!("{bearing:03}"),
                    bearing_type: types[bearing % 3].name.clone(),
                    stands: match teardown {
                        0 => Vec::new(),
                        _ => vec![(format!("S{}", (bearing + teardown) % 6), 1.0)],
                    },
                    day: 70 * teardown as i32,
                    counter_h,
                    counter_t: None,
                    row_pair: row_pair as u32,
                    clearance_um: Some((read_um / 10.0).round() * 10.0),
                    bound: None,
                    event: if teardown == 0 {
                        Event::Set
                    } else {
                        Event::Inspect
                    },
                    target: None,
                    limit_um: None,
                    gauge: None,
                });
            }
        }
    }
    Pool::new(types.to_vec(), readings).unwrap()
}

/// A fixed piece of arithmetic: what the methods are measured against.
fn baseline() {
    let sum: f64 = (0..1000).map(|n| libm::exp(-f64::from(n) / 100.0)).sum();
    black_box(sum);
}

/// The least of five rounds: what disturbs a round only makes it longer.
fn time_per_call_ns(is_measured: bool, call: impl Fn()) -> f64 {
    let round = |calls: u32| {
        let start = Instant::now();
        for _ in 0..calls {
            call();
        }
        start.elapsed()
    };
    if !is_measured {
        return round(1).as_secs_f64() * 1e9;
    }
    let mut calls = 1;
    while round(calls) < AT_LEAST / 5 {
        calls *= 2;
    }
    let least = (0..5).map(|_| round(calls)).min().unwrap_or_default();
    least.as_secs_f64() * 1e9 / f64::from(calls)
}
