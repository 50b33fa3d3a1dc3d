//! The two simulated logbooks of `shared/reference/trend`, looked at as they stood at six dates.

use std::collections::HashMap;
use std::path::Path;

use calc::wear::{BearingType, Event, Gauge, Pool, Reading, Settings, Target, review};

use super::score::Score;

/// Rows of a table by column name.
fn rows(folder: &str, file: &str) -> Vec<HashMap<String, String>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../shared/reference/trend")
        .join(folder)
        .join(file);
    let text = std::fs::read_to_string(path).unwrap();
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let header: Vec<&str> = lines.next().unwrap().split(',').collect();
    let row = |line: &str| {
        header
            .iter()
            .zip(line.split(','))
            .map(|(name, cell)| ((*name).to_owned(), cell.to_owned()))
            .collect()
    };
    lines.map(row).collect()
}

/// A number of days that orders dates.
fn day(date: &str) -> i32 {
    let parts: Vec<i32> = date.split('-').map(|part| part.parse().unwrap()).collect();
    372 * parts[0] + 31 * parts[1] + parts[2]
}

/// Score of the forecasts of a logbook.
pub fn score(folder: &str) -> Score {
    let number = |text: &String| text.parse::<f64>().unwrap();
    let optional = |text: &String| text.parse::<f64>().ok();
    let types = rows(folder, "types.csv")
        .iter()
        .map(|row| BearingType {
            name: row["type"].clone(),
            set: Target {
                nominal_um: number(&row["nominal_set_um"]),
                tolerance_um: number(&row["tol_um"]),
            },
            limit_factor: optional(&row["limit_factor"]),
            limit_um: optional(&row["limit_abs_um"]),
            gauge: Gauge {
                expanded_uncertainty_um: number(&row["gauge_U_k2_um"]),
                step_um: number(&row["step_um"]),
            },
        })
        .collect();
    let readings = rows(folder, "logbook.csv")
        .iter()
        .map(|row| Reading {
            bearing: row["bearing"].clone(),
            bearing_type: row["type"].clone(),
            stands: match &*row["stand"] {
                "" => Vec::new(),
                stand => vec![(stand.to_owned(), 1.0)],
            },
            day: day(&row["date"]),
            counter_h: number(&row["hours"]),
            counter_t: None,
            row_pair: row["row_pair"].parse().unwrap(),
            clearance_um: Some(number(&row["clearance_um"])),
            bound: None,
            event: match &*row["event"] {
                "set" => Event::Set,
                "regrind" => Event::Regrind,
                _ => Event::Inspect,
            },
            target: None,
            limit_um: None,
            gauge: None,
        })
        .collect();
    let pool = Pool::new(types, readings).unwrap();
    let truths = rows(folder, "truth_cross.csv");
    let mut score = Score::default();
    for snapshot in rows(folder, "snapshots.csv") {
        let settings = Settings {
            as_of_day: Some(day(&snapshot["date"])),
            ahead_h: number(&snapshot["horizon_hours"]),
            ..Settings::default()
        };
        let review = review(&pool, &settings).unwrap();
        for truth in truths
            .iter()
            .filter(|truth| truth["snapshot"] == snapshot["snapshot"])
        {
            let pair: u32 = truth["row_pair"].parse().unwrap();
            let row = review
                .rows
                .iter()
                .find(|row| row.bearing == truth["bearing"] && row.row_pair == pair)
                .unwrap();
            let last_h = number(&truth["last_hours"]);
            assert!(
                (row.state.counter_h - last_h).abs() < 1.0,
                "{} {}",
                row.state.counter_h,
                last_h
            );
            score.forecast(
                last_h,
                row.crossing_h,
                number(&truth["true_cross_hours"]),
                row.chance,
                &settings,
            );
        }
    }
    score
}
