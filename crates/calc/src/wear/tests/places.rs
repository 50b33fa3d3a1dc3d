//! Where a bearing ran, and where it goes on; settings that nobody measured, or whose counter is wrong.

use std::collections::BTreeMap;

use super::super::*;
use super::shop::{kind, reading};

const HOURS: f64 = 1_000.0;

fn stands(told: &[(&str, f64)]) -> Stands {
    told.iter()
        .map(|(name, h)| ((*name).to_owned(), *h))
        .collect()
}

/// Twelve bearings with three stays of 1,000 h: in each the hours of two stands. 20 µm in 1,000 h anywhere, but 60 at S2.
fn two_stands_a_stay() -> Vec<Reading> {
    let mut readings = Vec::new();
    for bearing in 0..12 {
        let mut read_um = 250.0;
        for stay in 0..4 {
            let (first, second) = match (bearing + stay) % 4 {
                0 => (("S1", 600.0), ("S2", 400.0)),
                1 => (("S1", 600.0), ("S3", 400.0)),
                2 => (("S3", 700.0), ("S1", 300.0)),
                _ => (("S3", 600.0), ("S2", 400.0)),
            };
            let ran = if stay == 0 {
                vec![]
            } else {
                vec![first, second]
            };
            let grown = |(stand, h): &(&str, f64)| if *stand == "S2" { 0.06 * h } else { 0.02 * h };
            read_um += ran.iter().map(grown).sum::<f64>();
            let event = if stay == 0 {
                Event::Set
            } else {
                Event::Inspect
            };
            for row_pair in [1, 2] {
                readings.push(Reading {
                    stands: stands(&ran),
                    ..reading(
                        &format!("{bearing:02}"),
                        stay * 100,
                        f64::from(stay) * HOURS,
                        row_pair,
                        read_um,
                        event,
                    )
                });
            }
        }
    }
    readings
}

#[test]
fn hours_count_at_the_place_at_which_they_were_run() {
    let pool = Pool::new(vec![kind("A")], two_stands_a_stay()).unwrap();
    let told = review(&pool, &Settings::default()).unwrap();
    let accused: Vec<&str> = told
        .contrasts
        .iter()
        .filter(|c| c.is_alarm())
        .map(|c| c.stand.as_str())
        .collect();
    assert_eq!(accused, ["S2"], "{:?}", told.contrasts);
    let guilty = told
        .contrasts
        .iter()
        .find(|c| c.stand == "S2" && c.row_pair.is_none());
    let guilty = guilty.unwrap();
    assert!(
        (guilty.ratio.unwrap() - 3.0).abs() < 0.3,
        "60 by 20: {guilty:?}"
    );
    // The same with all hours of a stay at the place of most of them: nobody ran at S2.
    let by_most = two_stands_a_stay().into_iter().map(|mut r| {
        r.stands.truncate(1);
        r
    });
    let pool = Pool::new(vec![kind("A")], by_most.collect()).unwrap();
    let told = review(&pool, &Settings::default()).unwrap();
    assert!(told.contrasts.iter().all(|c| c.stand != "S2"));
}

#[test]
fn only_the_proportion_of_the_hours_counts_and_the_counter_says_how_many() {
    let readings = two_stands_a_stay();
    let twice = readings.clone().into_iter().map(|mut r| {
        r.stands.iter_mut().for_each(|(_, h)| *h *= 2.0);
        r
    });
    let of = |readings: Vec<Reading>| {
        let pool = Pool::new(vec![kind("A")], readings).unwrap();
        review(&pool, &Settings::default()).unwrap()
    };
    assert_eq!(of(twice.collect()), of(readings));
}

#[test]
fn a_forecast_goes_on_where_the_bearing_is_now() {
    type Now<'a> = (&'a [(&'a str, f64)], Option<&'a str>);
    let of = |present: Option<Now<'_>>| {
        let pool = Pool::new(vec![kind("A")], two_stands_a_stay()).unwrap();
        let present = present.map(|(since, stand)| {
            let at = Present {
                since: stands(since),
                stand: stand.map(str::to_owned),
            };
            ("00".to_owned(), at)
        });
        let pool = pool
            .with_present(present.into_iter().collect::<BTreeMap<_, _>>())
            .unwrap();
        let settings = Settings {
            spread: Spread::Assumed,
            ..Settings::default()
        };
        review(&pool, &settings).unwrap().rows.remove(0)
    };
    let table = of(None);
    assert_eq!(
        table.stand.as_deref(),
        Some("S2"),
        "a table takes it to stay"
    );
    assert_eq!(table.so_far, table.state);
    let same = of(Some((&[], Some("S2"))));
    assert_eq!(same.state, table.state);
    let slow = of(Some((&[("S2", 500.0)], Some("S1"))));
    assert_eq!(slow.stand.as_deref(), Some("S1"));
    assert_eq!(slow.so_far, table.state, "it ran on at S2 so far");
    assert!(
        slow.crossing_h[1].unwrap() > table.crossing_h[1].unwrap() + 500.0,
        "{:?} {:?}",
        slow.crossing_h,
        table.crossing_h
    );
    // In the shop: as fast as the mean place, and as uncertain as places differ (0.20 and 0.15 assumed).
    let shop = of(Some((&[("S2", 500.0)], None)));
    assert_eq!(shop.stand, None);
    let places = 0.2 * 0.2 + 0.15 * 0.15;
    assert!(shop.state.factor < table.state.factor);
    assert!(shop.state.factor_variance > places && shop.state.pool_variance > places);
    // Where nothing was measured yet it is no better known.
    let new = of(Some((&[], Some("S9"))));
    assert_eq!((new.state, new.stand), (shop.state, None));
    // Half of the hours since at each of two places: the mean of both.
    let both = of(Some((&[("S1", 300.0), ("S2", 300.0)], Some("S1"))));
    let mean = f64::midpoint(slow.state.factor, table.state.factor);
    assert!((both.so_far.factor - mean).abs() < 1e-12);
    let wrong = Present {
        since: stands(&[("S1", f64::NAN)]),
        stand: None,
    };
    let pool = Pool::new(vec![kind("A")], two_stands_a_stay()).unwrap();
    let error = pool.with_present(BTreeMap::from([("00".to_owned(), wrong)]));
    assert_eq!(error.unwrap_err().input(), "present[00].since.stands");
}

#[test]
fn what_the_gate_refused_is_told_where_it_refused_every_growth() {
    let readings = vec![
        reading("1", 0, 0.0, 1, 250.0, Event::Set),
        reading("1", 100, 2_000.0, 1, 0.26, Event::Inspect),
    ];
    let pool = Pool::new(vec![kind("A")], readings).unwrap();
    let none = review(&pool, &Settings::default()).unwrap_err();
    assert_eq!(none.why, Why::AllRefused);
    let refused: Vec<usize> = none.improbable.iter().map(|i| i.reading).collect();
    assert_eq!(refused, [1]);
    assert!(
        none.improbable[0]
            .offers
            .iter()
            .any(|o| o.clearance_um == 260.0)
    );
    let readings = vec![
        reading("1", 0, 500.0, 1, 250.0, Event::Set),
        reading("1", 100, 400.0, 1, 290.0, Event::Inspect),
    ];
    let pool = Pool::new(vec![kind("A")], readings).unwrap();
    let none = review(&pool, &Settings::default()).unwrap_err();
    assert_eq!((none.why, none.backwards), (Why::NothingGrown, vec![1]));
}

/// One bearing that grows by 40 µm in 2,000 h, is reground to 250 after 4,000 h and grows on; its regrind as given.
fn reground(change: impl Fn(&mut Reading)) -> Vec<Reading> {
    let mut readings = Vec::new();
    for row_pair in [1, 2] {
        for (n, counter_h, read_um, event) in [
            (0, 0.0, 250.0, Event::Set),
            (1, 2_000.0, 290.0, Event::Inspect),
            (2, 4_000.0, 330.0, Event::Inspect),
            (2, 4_000.0, 250.0, Event::Regrind),
            (3, 6_000.0, 290.0, Event::Inspect),
        ] {
            let mut one = reading("1", n * 100, counter_h, row_pair, read_um, event);
            if event == Event::Regrind {
                change(&mut one);
            }
            readings.push(one);
        }
    }
    readings
}

#[test]
fn a_setting_without_a_reading_begins_a_segment_all_the_same() {
    let pool = Pool::new(vec![kind("A")], reground(|r| r.clearance_um = None)).unwrap();
    let facts = segment_facts(&pool, None);
    let told: Vec<(usize, bool, Vec<f64>, f64)> = facts
        .iter()
        .map(|f| {
            let hours = f.readings.iter().map(|(_, h)| *h).collect();
            (f.segment, f.is_truncated, hours, f.limit_um)
        })
        .collect();
    // The limit of the second is twice the nominal clearance: there is no reading as set to double.
    let (first, second) = (vec![0.0, 2_000.0, 4_000.0], vec![2_000.0]);
    assert_eq!(
        told,
        [
            (0, false, first.clone(), 500.0),
            (0, false, first, 500.0),
            (1, false, second.clone(), 500.0),
            (1, false, second, 500.0),
        ]
    );
    let told = review(&pool, &Settings::default()).unwrap();
    let row = &told.rows[0];
    assert_eq!(
        (row.segment, row.readings_used, row.readings_excluded),
        (1, 1, 0)
    );
    assert_eq!((row.as_set_um, row.state.set_h), (None, 4_000.0));
    // 210 µm to go at 20 µm in 1,000 h, from 6,000 h on.
    let p50 = row.crossing_h[1].unwrap();
    assert!((p50 - 16_500.0).abs() < 1_500.0, "{p50}");
    assert_eq!(remarks(&pool, None), []);
    // Nothing but a setting that nobody measured: the forecast begins there.
    let mut readings = reground(|r| r.clearance_um = None);
    readings.retain(|r| r.counter_h < 6_000.0);
    let pool = Pool::new(vec![kind("A")], readings).unwrap();
    let told = review(&pool, &Settings::default()).unwrap();
    let row = &told.rows[0];
    assert_eq!((row.segment, row.state.clearance_um), (1, 250.0));
    assert_eq!((row.last_um, row.state.counter_h), (None, 4_000.0));
}

#[test]
fn a_teardown_that_was_not_measured_says_where_the_hours_were_run() {
    let mut readings = two_stands_a_stay();
    // The first teardown of each bearing was not measured; what it says of its stands counts.
    let is_first = |r: &Reading| r.counter_h == HOURS;
    let mut unmeasured = readings.clone();
    for r in unmeasured.iter_mut().filter(|r| is_first(r)) {
        r.clearance_um = None;
    }
    readings.retain(|r| !is_first(r));
    let accused = |readings: Vec<Reading>| {
        let pool = Pool::new(vec![kind("A")], readings).unwrap();
        let told = review(&pool, &Settings::default()).unwrap();
        let guilty = told
            .contrasts
            .iter()
            .find(|c| c.stand == "S2" && c.row_pair.is_none());
        (guilty.unwrap().ratio.unwrap() - 3.0).abs()
    };
    let (with, without) = (accused(unmeasured), accused(readings));
    assert!(with < 0.3 && with < without, "{with} {without}");
}

#[test]
fn after_a_regrind_whose_counter_is_wrong_nobody_knows_where_the_clearance_began() {
    let pool = Pool::new(vec![kind("A")], reground(|r| r.counter_h = 400.0)).unwrap();
    let facts = segment_facts(&pool, None);
    let told: Vec<(usize, bool, usize)> = facts
        .iter()
        .map(|f| (f.segment, f.is_truncated, f.readings.len()))
        .collect();
    assert_eq!(
        told,
        [(0, false, 3), (0, false, 3), (1, true, 1), (1, true, 1)]
    );
    // A row pair that was not ground goes on in its segment.
    let mut readings = reground(|r| r.counter_h = 400.0);
    readings.retain(|r| r.event != Event::Regrind || r.row_pair == 1);
    for r in readings.iter_mut().filter(|r| r.row_pair == 2) {
        r.clearance_um = Some(250.0 + 0.02 * r.counter_h);
    }
    let pool = Pool::new(vec![kind("A")], readings).unwrap();
    let facts = segment_facts(&pool, None);
    let told: Vec<(u32, bool, usize)> = facts
        .iter()
        .map(|f| (f.row_pair, f.is_truncated, f.readings.len()))
        .collect();
    assert_eq!(told, [(1, false, 3), (2, false, 4), (1, true, 1)]);
}

/// Twelve bearings with three stays of 1,000 h at S1, the last of six of them at S2, where the first row pair of some of
/// these wears three times as fast.
fn three_at_a_loud_place(loud: usize) -> Vec<Reading> {
    let mut readings = Vec::new();
    for bearing in 0..12_usize {
        let serial = format!("{bearing:02}");
        for row_pair in [1, 2] {
            let wave = ((bearing * 2 + row_pair as usize) * 7 % 5) as f64 - 2.0;
            for stay in 0..4 {
                let is_there = stay == 3 && bearing < 6;
                let faster = row_pair == 1 && bearing < loud && is_there;
                let worn = 60.0 * f64::from(stay) + if faster { 120.0 } else { 0.0 };
                let event = if stay == 0 {
                    Event::Set
                } else {
                    Event::Inspect
                };
                let place = if is_there { "S2" } else { "S1" };
                let hours = if stay == 0 {
                    vec![]
                } else {
                    vec![(place, HOURS)]
                };
                readings.push(Reading {
                    stands: stands(&hours),
                    ..reading(
                        &serial,
                        stay * 100,
                        f64::from(stay) * HOURS,
                        row_pair,
                        250.0 + worn + 2.0 * wave,
                        event,
                    )
                });
            }
        }
    }
    readings
}

#[test]
fn what_wore_fast_in_one_place_in_most_bearings_is_the_place_and_no_slip() {
    let told = |loud: usize| {
        let pool = Pool::new(vec![kind("A")], three_at_a_loud_place(loud)).unwrap();
        let review = review(&pool, &Settings::default()).unwrap();
        let place = |c: &&Contrast| c.is_alarm() && c.stand == "S2" && c.row_pair == Some(1);
        let is_named = review.contrasts.iter().filter(place).count() == 1;
        (review.improbable.len(), is_named)
    };
    // One of six there: its reading is asked about. Five of six: the place is named, and nobody is asked.
    assert_eq!(told(1), (1, false));
    assert_eq!(told(5), (0, true));
}
