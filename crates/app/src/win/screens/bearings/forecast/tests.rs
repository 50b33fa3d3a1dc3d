//! The band, the sentences, and which line goes on after an alarm.
#![allow(clippy::unwrap_used)]

use calc::wear::{BearingType, Event, Gauge, Pool, Reading, Settings, Target, review};

use super::*;

/// Eight bearings of three row pairs that grow by 40 um in 2,000 h; from 4,000 h on those of one grow by more.
fn reviewed(faster_um_per_h: [f64; 3]) -> Vec<RowForecast> {
    let kind = BearingType {
        name: "A".into(),
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
    };
    let reading = |(bearing, n, pair): (usize, i32, usize)| {
        let counter_h = f64::from(n) * 2_000.0;
        let more_h = if bearing == 3 {
            (counter_h - 4_000.0).max(0.0)
        } else {
            0.0
        };
        Reading {
            bearing: bearing.to_string(),
            bearing_type: "A".into(),
            stands: Vec::new(),
            day: n * 100,
            counter_h,
            counter_t: None,
            row_pair: pair as u32 + 1,
            clearance_um: Some(250.0 + 0.02 * counter_h + faster_um_per_h[pair] * more_h),
            bound: None,
            event: if n == 0 { Event::Set } else { Event::Inspect },
            target: None,
            limit_um: None,
            gauge: None,
        }
    };
    let all = (0..8).flat_map(|b| (0..5).flat_map(move |n| (0..3).map(move |p| (b, n, p))));
    let pool = Pool::new(vec![kind], all.map(reading).collect()).unwrap();
    let settings = Settings {
        gate: None,
        ..Settings::default()
    };
    let rows = review(&pool, &settings).unwrap().rows;
    rows.into_iter().filter(|row| row.bearing == "3").collect()
}

#[test]
fn the_second_line_is_that_of_the_row_pair_that_wears_faster() {
    for accused in 0..3 {
        let mut faster = [0.0; 3];
        faster[accused] = 0.03;
        let rows = reviewed(faster);
        let rows: Vec<&RowForecast> = rows.iter().collect();
        let found = rows[0].acceleration.unwrap();
        assert!(found.is_alarm(), "{found:?}");
        assert_eq!(found.row_pair, Some(accused as u32 + 1));
        let told = if_it_goes_on(&rows, &found).unwrap();
        assert_eq!(Some(told), rows[accused].if_it_goes_on);
        for (pair, row) in rows.iter().enumerate() {
            let drawn = drawn(row, 2_500.0, false, Show::default());
            assert_eq!(drawn.faster.is_empty(), pair != accused, "{pair}");
            if let (Some(line), Some(faster)) = (drawn.line.last(), drawn.faster.last()) {
                assert!(faster.y > line.y && (faster.x - line.x).abs() < 1e-9);
            }
        }
    }
}

#[test]
fn where_all_row_pairs_wear_faster_the_first_to_reach_its_limit_is_told() {
    let rows = reviewed([0.03, 0.034, 0.03]);
    let rows: Vec<&RowForecast> = rows.iter().collect();
    let found = rows[0].acceleration.unwrap();
    assert_eq!((found.is_alarm(), found.row_pair), (true, None));
    let told = if_it_goes_on(&rows, &found).unwrap();
    assert_eq!(Some(told), rows[1].if_it_goes_on);
}

#[test]
fn what_is_left_is_counted_from_now_and_an_interval_that_lies_behind_says_so() {
    let told = |crossing_h| left(crossing_h, 7_000.0, Show::default());
    let hours = |text: &str| Some(Left::Hours(text.to_owned()));
    for (crossing_h, expected) in [
        (
            [Some(7_270.0), Some(7_500.0), Some(7_640.0)],
            hours("250 to 650 h"),
        ),
        (
            [Some(9_000.0), Some(12_000.0), None],
            hours("More than 2,000 h"),
        ),
        (
            [Some(6_300.0), Some(7_100.0), Some(8_260.0)],
            hours("Under 1,300 h"),
        ),
        (
            [Some(6_300.0), Some(6_900.0), Some(7_040.0)],
            hours("Under 100 h"),
        ),
        (
            [Some(6_300.0), Some(6_400.0), Some(6_500.0)],
            Some(Left::Behind),
        ),
        ([None, None, None], None),
    ] {
        assert_eq!(told(crossing_h), expected, "{crossing_h:?}");
    }
}
