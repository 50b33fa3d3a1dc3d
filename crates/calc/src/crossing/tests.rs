//! Checks of two points, least squares, Fieller and Theil-Sen on every row segment of two simulated logbooks against other
//! programs, and what must hold where there is no bound.
#![allow(clippy::unwrap_used)]

use std::collections::BTreeMap;

use super::*;
use crate::{
    growth::{Crossing as Straight, Point, straight_estimate},
    quantity::{as_hours, hours, micrometres},
    test_table::{Row, rows},
    theil_sen::theil_sen,
};

/// A logbook with its types and what is expected of its segments.
fn logbooks() -> [[Vec<Row>; 3]; 2] {
    [
        [
            include_str!("../../../../shared/reference/trend/pub1_benign/logbook.csv"),
            include_str!("../../../../shared/reference/trend/pub1_benign/types.csv"),
            include_str!("../../../../shared/reference/trend/pub1_benign/expected_segments.csv"),
        ],
        [
            include_str!("../../../../shared/reference/trend/pub2_mixed/logbook.csv"),
            include_str!("../../../../shared/reference/trend/pub2_mixed/types.csv"),
            include_str!("../../../../shared/reference/trend/pub2_mixed/expected_segments.csv"),
        ],
    ]
    .map(|texts| texts.map(rows))
}

#[derive(Default)]
struct Segment {
    hours: Vec<f64>,
    clearance_um: Vec<f64>,
    type_name: &'static str,
}

/// The readings of each row between two settings, hours since the first of them.
fn segments(logbook: &[Row]) -> BTreeMap<(&'static str, u32, &'static str), Segment> {
    let mut number: BTreeMap<(&str, &str), u32> = BTreeMap::new();
    let mut segments: BTreeMap<(&str, u32, &str), Segment> = BTreeMap::new();
    for row in logbook {
        let (bearing, pair) = (row.text("bearing"), row.text("row_pair"));
        let current = number.entry((bearing, pair)).or_default();
        *current += u32::from(row.text("event") == "regrind");
        let segment = segments.entry((bearing, *current, pair)).or_default();
        segment.hours.push(row.number("hours"));
        segment.clearance_um.push(row.number("clearance_um"));
        segment.type_name = row.text("type");
    }
    segments
}

/// Variance of a reading: `(U/2)² + step²/12`.
fn reading_sd(types: &[Row], name: &str) -> f64 {
    let row = types.iter().find(|row| row.text("type") == name).unwrap();
    let (u, step) = (row.number("gauge_U_k2_um") / 2.0, row.number("step_um"));
    (u * u + step * step / 12.0).sqrt()
}

/// The table gives nine digits.
fn assert_cell(row: &Row, column: &str, got: Option<f64>) {
    let expected = row.optional(column);
    let name = (row.text("bearing"), row.text("seg"), row.text("row_pair"));
    let is_same = match (expected, got) {
        (None, None) => true,
        (Some(expected), Some(got)) => (got - expected).abs() <= 3e-8 * expected.abs().max(1e-3),
        _ => false,
    };
    assert!(is_same, "{name:?} {column}: {got:?}, expected {expected:?}");
}

#[test]
fn every_segment_of_two_logbooks_comes_out_as_other_programs_have_it() {
    let (mut lines, mut bounds, mut unbounded) = (0, 0, 0);
    for [logbook, types, expected] in logbooks() {
        let segments = segments(&logbook);
        assert_eq!(segments.len(), expected.len());
        for row in &expected {
            let key = (
                row.text("bearing"),
                row.text("seg").parse().unwrap(),
                row.text("row_pair"),
            );
            let segment = &segments[&key];
            let (h, y) = (&segment.hours, &segment.clearance_um);
            let (n, limit) = (h.len(), row.number("limit_um"));
            assert_eq!(row.number("n"), n as f64);
            if n < 2 {
                continue;
            }
            let start = h[0];
            let since: Vec<f64> = h.iter().map(|h| h - start).collect();
            let sd = reading_sd(&types, segment.type_name);
            let known = Line::through(&since, y, Scatter::Known(sd)).unwrap();
            assert_cell(row, "slope_um_per_kh", Some(known.slope * 1e3));
            assert_cell(row, "intercept_um", Some(known.at(0.0)));
            let crossing = known.crossing(limit, 0.9).unwrap();
            assert_cell(row, "known_lo90_h", crossing.early);
            assert_cell(row, "cross_h", crossing.middle);
            assert_cell(row, "known_hi90_h", crossing.late);
            two_points(row, &since, y, limit);
            if n < 3 {
                continue;
            }
            lines += 1;
            let line = Line::through(&since, y, Scatter::Estimated).unwrap();
            let slope = line.slope_interval(0.9).unwrap();
            let x = row.number("pred_x_h");
            let reading = line.new_reading(x, 0.9).unwrap();
            let crossing = line.crossing(limit, 0.9).unwrap();
            for (column, got) in [
                ("s_um", line.sd),
                ("se_slope", line.slope_error() * 1e3),
                ("se_intercept", line.error_at(0.0)),
                ("slope_lo90", slope.lower * 1e3),
                ("slope_hi90", slope.upper * 1e3),
                ("pred_mean", reading.mean),
                ("pred_lo90", reading.lower),
                ("pred_hi90", reading.upper),
            ] {
                assert_cell(row, column, Some(got));
            }
            assert_cell(row, "fieller_lo90_h", crossing.early);
            assert_cell(row, "fieller_hi90_h", crossing.late);
            bounds += usize::from(crossing.late.is_some());
            unbounded += usize::from(crossing.late.is_none());

            let median = theil_sen(&since, y, 0.9).unwrap();
            let interval = median.interval.as_ref();
            assert_cell(row, "ts_slope", Some(median.slope * 1e3));
            assert_cell(row, "ts_lo_exact", interval.map(|i| i.lower * 1e3));
            assert_cell(row, "ts_hi_exact", interval.map(|i| i.upper * 1e3));
            assert_cell(row, "ts_exact_conf", interval.map(|i| i.reached));
        }
    }
    assert!(
        lines > 100 && bounds > 90 && unbounded > 10,
        "{lines} {bounds} {unbounded}"
    );
}

/// Further than this after the last reading the table tells no estimate from two points.
const HORIZON_H: f64 = 30_000.0;

/// The estimate from the first and the last reading.
fn two_points(row: &Row, h: &[f64], y: &[f64], limit: f64) {
    let point = |i: usize| Point {
        running: hours(h[i]),
        clearance: micrometres(y[i]),
    };
    let last = h.len() - 1;
    assert_cell(row, "ratio_last_to_set", Some(y[last] / y[0]));
    let at = straight_estimate(point(0), point(last), micrometres(limit)).unwrap();
    match at {
        Straight::At(time) => {
            let is_shown = as_hours(time) - h[last] <= HORIZON_H;
            assert_cell(row, "ratio_cross_h", is_shown.then_some(as_hours(time)));
        }
        Straight::NotGrowing => assert_cell(row, "ratio_cross_h", None),
        // The table draws the line back to where it was passed.
        Straight::AlreadyReached => {
            let passed = h[0] + (h[last] - h[0]) * (limit - y[0]) / (y[last] - y[0]);
            assert_cell(row, "ratio_cross_h", Some(passed));
            assert!(y[last] >= limit);
        }
    }
}

/// At both ends of the interval the band of the line's height meets the limit.
#[test]
fn the_band_of_the_line_meets_the_limit_at_both_ends() {
    let x = [0.0, 1.0, 2.0, 3.0, 5.0];
    let y = [10.0, 11.5, 12.0, 13.6, 15.5];
    let line = Line::through(&x, &y, Scatter::Estimated).unwrap();
    let t = coverage_factor(0.9, Some(3.0)).unwrap();
    let crossing = line.crossing(30.0, 0.9).unwrap();
    let (early, late) = (crossing.early.unwrap(), crossing.late.unwrap());
    assert!((line.at(early) + t * line.error_at(early) - 30.0).abs() < 1e-9);
    assert!((line.at(late) - t * line.error_at(late) - 30.0).abs() < 1e-9);
    assert!((line.at(crossing.middle.unwrap()) - 30.0).abs() < 1e-12);
}

#[test]
fn scattered_readings_have_no_upper_bound_and_a_level_line_no_crossing() {
    let x = [0.0, 1.0, 2.0];
    let line = Line::through(&x, &[10.0, 14.0, 11.0], Scatter::Estimated).unwrap();
    let crossing = line.crossing(100.0, 0.9).unwrap();
    assert!(crossing.middle.is_some() && crossing.early.is_some() && crossing.late.is_none());
    let level = Line::through(&x, &[10.0, 10.0, 10.0], Scatter::Known(0.0)).unwrap();
    let never = level.crossing(20.0, 0.9).unwrap();
    assert_eq!((never.middle, never.early, never.late), (None, None, None));
}

#[test]
fn what_is_no_line_is_refused_by_name() {
    let through = |x: &[f64], y: &[f64], scatter| Line::through(x, y, scatter).unwrap_err();
    let estimated = Scatter::Estimated;
    assert_eq!(through(&[0.0, 1.0], &[1.0, 2.0], estimated).input(), "x");
    assert_eq!(through(&[1.0; 3], &[1.0; 3], estimated).input(), "x");
    assert_eq!(through(&[1.0; 3], &[1.0; 2], estimated).input(), "y");
    let nan = [1.0, f64::NAN, 2.0];
    assert_eq!(through(&[0.0, 1.0, 2.0], &nan, estimated).input(), "y[1]");
    let negative = Scatter::Known(-1.0);
    assert_eq!(
        through(&[0.0, 1.0], &[1.0, 2.0], negative).input(),
        "scatter"
    );
    let line = Line::through(&[0.0, 1.0], &[1.0, 2.0], Scatter::Known(1.0)).unwrap();
    assert_eq!(
        line.crossing(f64::NAN, 0.9).unwrap_err().input(),
        "limit[0]"
    );
    assert_eq!(line.crossing(5.0, 1.0).unwrap_err().input(), "probability");
}
