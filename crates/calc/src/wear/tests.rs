//! The model against expected values of two simulated logbooks: `shared/reference/trend`.
#![allow(clippy::unwrap_used)]

mod peers;
mod places;
mod published;
mod shop;

use serde_json::Value;

use super::table::{BearingType, Event, Gauge, Pool, Reading, Stands, Target};
use crate::test_table::{Row, rows};

/// A logbook with what is expected of it.
pub(super) struct Case {
    pub(super) name: &'static str,
    pub(super) pool: Pool,
    /// Row number in the file of each reading.
    pub(super) row_ids: Vec<u32>,
    pub(super) expected: Value,
    pub(super) no_gate: Vec<Row>,
    pub(super) gate: Vec<Row>,
    pub(super) fitted: Vec<Row>,
    pub(super) segments: Vec<Row>,
}

macro_rules! case {
    ($name:literal) => {{
        macro_rules! file {
            ($file:literal) => {
                include_str!(concat!(
                    "../../../../shared/reference/trend/",
                    $name,
                    "/",
                    $file
                ))
            };
        }
        let (pool, row_ids) = pool(file!("types.csv"), file!("logbook.csv"));
        Case {
            name: $name,
            pool,
            row_ids,
            expected: serde_json::from_str(file!("expected_pwf.json")).unwrap(),
            no_gate: rows(file!("expected_pwf_fixed_hyp_no_gate.csv")),
            gate: rows(file!("expected_pwf_fixed_hyp_gate4.csv")),
            fitted: rows(file!("expected_pwf_map_gate4.csv")),
            segments: rows(file!("expected_segments.csv")),
        }
    }};
}

/// Both logbooks.
pub(super) fn cases() -> [Case; 2] {
    [case!("pub1_benign"), case!("pub2_mixed")]
}

fn pool(types: &'static str, logbook: &'static str) -> (Pool, Vec<u32>) {
    let types = rows(types).into_iter().map(|row| BearingType {
        name: row.text("type").to_owned(),
        set: Target {
            nominal_um: row.number("nominal_set_um"),
            tolerance_um: row.number("tol_um"),
        },
        limit_factor: row.optional("limit_factor"),
        limit_um: row.optional("limit_abs_um"),
        gauge: Gauge {
            expanded_uncertainty_um: row.number("gauge_U_k2_um"),
            step_um: row.number("step_um"),
        },
    });
    let types = types.collect();
    let logbook = rows(logbook);
    let text = |row: &Row, column: &str| row.text(column).to_owned();
    let readings = logbook.iter().map(|row| Reading {
        bearing: text(row, "bearing"),
        bearing_type: text(row, "type"),
        stands: stands(row.text("stand")),
        day: day(row.text("date")),
        counter_h: row.number("hours"),
        counter_t: row.optional("tonnes"),
        row_pair: row.number("row_pair") as u32,
        clearance_um: Some(row.number("clearance_um")),
        bound: None,
        event: match row.text("event") {
            "set" => Event::Set,
            "regrind" => Event::Regrind,
            _ => Event::Inspect,
        },
        target: None,
        limit_um: None,
        gauge: None,
    });
    let pool = Pool::new(types, readings.collect()).unwrap();
    (
        pool,
        logbook
            .iter()
            .map(|row| row.number("row_id") as u32)
            .collect(),
    )
}

/// All hours in one stand; none where it is not named.
fn stands(name: &str) -> Stands {
    let named = (!name.is_empty()).then(|| (name.to_owned(), 1.0));
    named.into_iter().collect()
}

/// A number of days that orders dates and keeps their distance (months taken from March; memory).
fn day(date: &str) -> i32 {
    let parts: Vec<i32> = date.split('-').map(|part| part.parse().unwrap()).collect();
    let (year, month) = if parts[1] > 2 {
        (parts[0], parts[1] - 3)
    } else {
        (parts[0] - 1, parts[1] + 9)
    };
    365 * year + year / 4 - year / 100 + year / 400 + (153 * month + 2) / 5 + parts[2]
}
