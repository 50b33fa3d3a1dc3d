//! Time per call of each method's worked example, as a ratio to a fixed piece of work measured in the same run.
//!
//! The ratio travels between machines better than a time; nothing is asserted. `cargo bench -p calc` measures; any
//! other way of starting it makes one call each.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::{
    hint::black_box,
    time::{Duration, Instant},
};

use calc::method::methods;
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
