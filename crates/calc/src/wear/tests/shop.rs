//! Segments, facts, exposure, and what a shop may look like that is not in order.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::super::*;
use super::cases;
use crate::CalcError;

#[test]
fn plain_facts_of_each_segment_agree() {
    for case in cases() {
        let facts = segment_facts(&case.pool, None);
        assert_eq!(facts.len(), case.segments.len(), "{}", case.name);
        let mut by_name: BTreeMap<(String, usize, u32), SegmentFacts> = BTreeMap::new();
        for fact in facts {
            by_name.insert((fact.bearing.clone(), fact.segment, fact.row_pair), fact);
        }
        let mut crossings = 0;
        for row in &case.segments {
            let key = (
                row.text("bearing").to_owned(),
                row.number("seg") as usize,
                row.number("row_pair") as u32,
            );
            let fact = &by_name[&key];
            assert_eq!(fact.readings.len(), row.number("n") as usize, "{key:?}");
            assert_eq!(fact.limit_um, row.number("limit_um"), "{key:?}");
            if let Some(ratio) = row.optional("ratio_last_to_set") {
                assert!(
                    (fact.times_as_set.unwrap() / ratio - 1.0).abs() < 6e-9,
                    "{key:?}"
                );
            }
            if let Some(h) = row.optional("ratio_cross_h") {
                assert!(
                    (fact.straight_h.unwrap() / h - 1.0).abs() < 6e-9,
                    "{key:?} {fact:?} {h}"
                );
                crossings += 1;
            }
        }
        assert!(crossings > 30, "{}", case.name);
    }
}

pub(super) fn kind(name: &str) -> BearingType {
    BearingType {
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
    }
}

pub(super) fn reading(
    bearing: &str,
    day: i32,
    counter_h: f64,
    row_pair: u32,
    clearance_um: f64,
    event: Event,
) -> Reading {
    Reading {
        bearing: bearing.to_owned(),
        bearing_type: "A".to_owned(),
        stands: super::stands(if event == Event::Inspect { "S1" } else { "" }),
        day,
        counter_h,
        counter_t: Some(counter_h * 700.0),
        row_pair,
        clearance_um: Some(clearance_um),
        bound: None,
        event,
        target: None,
        limit_um: None,
        gauge: None,
    }
}

/// One bearing that grows by 20 µm in 1,000 h.
fn grown(bearing: &str) -> Vec<Reading> {
    let mut readings = Vec::new();
    for n in 0..5 {
        let event = if n == 0 { Event::Set } else { Event::Inspect };
        for row_pair in [1, 2] {
            readings.push(reading(
                bearing,
                n * 100,
                f64::from(n) * 2000.0,
                row_pair,
                250.0 + 40.0 * f64::from(n),
                event,
            ));
        }
    }
    readings
}

#[test]
fn a_small_pool_says_that_its_spread_is_assumed_and_an_empty_one_says_nothing() {
    let pool = Pool::new(vec![kind("A")], grown("1")).unwrap();
    let review = super::super::review(&pool, &Settings::default()).unwrap();
    assert!(review.is_assumed);
    assert_eq!(review.theta, Theta::ASSUMED);
    assert_eq!(review.rows.len(), 2);
    let row = &review.rows[0];
    let [p5, p50, p95] = row.crossing_h.map(Option::unwrap);
    // 90 µm to go at 20 µm in 1,000 h from 8,000 h on.
    assert!(
        p5 < p50 && p50 < p95 && (p50 - 12_500.0).abs() < 300.0,
        "{:?}",
        row.crossing_h
    );
    assert!(
        (0.3..1.0).contains(&row.state.own_share()),
        "{}",
        row.state.own_share()
    );
    assert_eq!(row.knowledge(), Knowledge::Full);
    // The band meets the limit where the forecast says.
    assert!((row.state.band_um(p50)[1] - 500.0).abs() < 1e-6);
    assert!((row.state.band_um(p5)[2] - 500.0).abs() < 1e-6);
    assert!((row.state.chance_within(p95 - 8000.0) - 0.95).abs() < 1e-9);

    let only_set = grown("1")
        .into_iter()
        .filter(|r| r.event == Event::Set)
        .collect();
    let pool = Pool::new(vec![kind("A")], only_set).unwrap();
    let why = |pool: &Pool| super::super::review(pool, &Settings::default()).unwrap_err();
    assert_eq!(why(&pool).why, Why::NothingGrown);
    let none = Pool::new(Vec::new(), Vec::new()).unwrap();
    assert_eq!(why(&none).why, Why::NothingGrown);
}

#[test]
fn a_review_does_not_depend_on_the_order_of_the_readings_nor_on_later_ones() {
    for case in cases() {
        let settings = Settings::default();
        let review = |readings: Vec<Reading>, settings: &Settings| {
            let pool = Pool::new(case.pool.types().to_vec(), readings).unwrap();
            let mut review = super::super::review(&pool, settings).unwrap();
            review.improbable.clear();
            review
        };
        let forward = case.pool.readings().to_vec();
        let backward: Vec<Reading> = forward.iter().rev().cloned().collect();
        assert_eq!(
            review(forward.clone(), &settings),
            review(backward, &settings),
            "{}",
            case.name
        );
        let day = forward[forward.len() / 2].day;
        let early = Settings {
            as_of_day: Some(day),
            ..settings
        };
        let earlier: Vec<Reading> = forward.iter().filter(|r| r.day <= day).cloned().collect();
        assert_eq!(
            review(forward, &early),
            review(earlier, &settings),
            "{}",
            case.name
        );
    }
}

#[test]
fn a_counter_that_runs_backwards_leaves_that_teardown_out() {
    let mut readings = grown("1");
    for reading in &mut readings[4..6] {
        reading.counter_h = 40_000.0;
    }
    let pool = Pool::new(vec![kind("A")], readings).unwrap();
    let review = super::super::review(&pool, &Settings::default()).unwrap();
    assert_eq!(review.backwards, [4, 5]);
    assert_eq!(review.rows[0].readings_used, 4);
}

#[test]
fn a_row_pair_without_its_reading_as_set_and_one_older_than_the_logbook_are_told_apart() {
    let mut readings = grown("1");
    readings.remove(1);
    let old = grown("2").into_iter().filter(|r| r.event == Event::Inspect);
    readings.extend(old);
    let pool = Pool::new(vec![kind("A")], readings).unwrap();
    let facts = segment_facts(&pool, None);
    let told: Vec<(bool, f64, usize)> = facts
        .iter()
        .map(|f| (f.is_truncated, f.readings[0].1, f.readings.len()))
        .collect();
    // In order of their beginnings: row 1 as set; row 2 from its first teardown, hours from the setting all the same.
    assert_eq!(
        told,
        [
            (false, 0.0, 5),
            (false, 2000.0, 4),
            (true, 0.0, 4),
            (true, 0.0, 4)
        ]
    );
    let limits: Vec<f64> = facts.iter().map(|f| f.limit_um).collect();
    assert_eq!(limits, [500.0; 4]);
}

#[test]
fn a_bounded_reading_says_little_and_a_limit_of_the_logbook_stands() {
    let review = |change: &dyn Fn(&mut Reading)| {
        let mut readings = grown("1");
        readings
            .iter_mut()
            .filter(|r| r.counter_h == 8000.0)
            .for_each(change);
        let pool = Pool::new(vec![kind("A")], readings).unwrap();
        super::super::review(&pool, &Settings::default())
            .unwrap()
            .rows[0]
            .state
    };
    let exact = review(&|_| ());
    let bounded = review(&|r| r.bound = Some(Bound::Above));
    assert!(bounded.clearance_variance > 2.0 * exact.clearance_variance);
    assert_eq!(review(&|r| r.limit_um = Some(440.0)).limit_um, 440.0);
}

#[test]
fn what_no_reading_can_be_is_refused_by_name() {
    let change = |change: &dyn Fn(&mut BearingType, &mut Vec<Reading>)| {
        let (mut kind, mut readings) = (kind("A"), grown("1"));
        change(&mut kind, &mut readings);
        Pool::new(vec![kind], readings).unwrap_err()
    };
    let cases: [(CalcError, &str); 6] = [
        (
            change(&|_, r| r[3].clearance_um = Some(f64::NAN)),
            "readings[3].clearance_um",
        ),
        (
            change(&|_, r| r[3].counter_h = -1.0),
            "readings[3].counter_h",
        ),
        (
            change(&|_, r| r[3].bearing_type = "X".to_owned()),
            "readings[3].bearing_type",
        ),
        (
            change(&|k, _| k.set.nominal_um = 0.0),
            "types[0].nominal_um",
        ),
        (
            change(&|k, _| k.limit_factor = Some(0.5)),
            "types[0].limit_factor",
        ),
        (
            change(&|k, _| {
                k.gauge = Gauge {
                    expanded_uncertainty_um: 0.0,
                    step_um: 0.0,
                }
            }),
            "types[0].expanded_uncertainty_um",
        ),
    ];
    for (error, input) in cases {
        assert_eq!(error.input(), input, "{error}");
    }
}

#[test]
fn hours_are_proposed_unless_another_measure_is_clearly_better() {
    let [benign, _] = cases();
    let fits = compare_exposure(&benign.pool, &Settings::default());
    assert_eq!(fits.len(), 3);
    let of = |exposure| {
        fits.iter()
            .find(|fit| fit.exposure == exposure)
            .unwrap()
            .minus_2l
    };
    // Its wear was simulated by hours (own simulation): calendar time is clearly worse, tonnes hardly differ.
    assert!(of(Exposure::Days) - of(Exposure::Hours) > 6.0, "{fits:?}");
    assert!(
        (of(Exposure::Tonnes) - of(Exposure::Hours)).abs() < 30.0,
        "{fits:?}"
    );
    let fit = |exposure, minus_2l| ExposureFit { exposure, minus_2l };
    let hours = fit(Exposure::Hours, 100.0);
    assert_eq!(
        proposed(&[hours, fit(Exposure::Tonnes, 95.0)]),
        Exposure::Hours
    );
    assert_eq!(
        proposed(&[hours, fit(Exposure::Tonnes, 93.0)]),
        Exposure::Tonnes
    );
    assert_eq!(proposed(&[]), Exposure::Hours);
}

#[test]
fn an_alarm_brings_a_second_forecast_that_is_sooner() {
    let mut readings: Vec<Reading> = (0..8).flat_map(|n| grown(&format!("{n}"))).collect();
    for reading in readings
        .iter_mut()
        .filter(|r| r.bearing == "3" && r.row_pair == 2 && r.counter_h > 4000.0)
    {
        let faster_um = 0.03 * (reading.counter_h - 4000.0);
        reading.clearance_um = reading.clearance_um.map(|um| um + faster_um);
    }
    let pool = Pool::new(vec![kind("A")], readings).unwrap();
    let review = super::super::review(
        &pool,
        &Settings {
            gate: None,
            ..Settings::default()
        },
    )
    .unwrap();
    let of = |bearing: &str, row_pair| {
        review
            .rows
            .iter()
            .find(|r| r.bearing == bearing && r.row_pair == row_pair)
            .unwrap()
    };
    let fast = of("3", 2);
    let alarm = fast.acceleration.unwrap();
    assert!(
        alarm.is_alarm() && alarm.row_pair == Some(2) && alarm.onset_h == 4000.0,
        "{alarm:?}"
    );
    let goes_on = fast.if_it_goes_on.unwrap();
    assert!(
        goes_on.factor > fast.state.factor + 0.2,
        "{} {}",
        goes_on.factor,
        fast.state.factor
    );
    assert!(goes_on.crossing_h(0.5).unwrap() < fast.crossing_h[1].unwrap());
    assert_eq!(of("3", 1).if_it_goes_on, None);
    assert!(!of("1", 2).acceleration.unwrap().is_watched());
}

#[test]
fn what_strikes_about_a_reading_is_remarked() {
    let mut readings = grown("1");
    readings[2].clearance_um = Some(293.0);
    readings[5].clearance_um = Some(240.0);
    readings[6].counter_t = Some(5.0);
    readings[8].counter_h = 1.0;
    let pool = Pool::new(vec![kind("A")], readings).unwrap();
    let told = remarks(&pool, None);
    // Reading error of a difference: 2 √(2 (7.5² + 10²/12)) = 22.7 µm; 290 after 240 is no remark, 240 after 290 is.
    let error_um = 2.0 * (2.0 * (7.5_f64.powi(2) + 100.0 / 12.0)).sqrt();
    assert_eq!(
        told,
        [
            (2, Remark::OffStep { step_um: 10.0 }),
            (
                5,
                Remark::Shrunk {
                    by_um: 50.0,
                    error_um
                }
            ),
            (6, Remark::TonnesBackwards),
            (8, Remark::HoursBackwards),
        ]
    );
}

/// Any readings at all, sensible or not.
fn any_reading() -> impl Strategy<Value = Reading> {
    let clearance = prop_oneof![4 => (200.0..600.0_f64).prop_map(Some), 1 => Just(Some(0.0)), 1 => (-1e6..1e6_f64).prop_map(Some), 1 => Just(None)];
    let event =
        prop_oneof![4 => Just(Event::Inspect), 1 => Just(Event::Set), 1 => Just(Event::Regrind)];
    (
        0..6_u8,
        0..2000_i32,
        0.0..20_000.0_f64,
        1..4_u32,
        clearance,
        event,
        0..4_u8,
    )
        .prop_map(
            |(bearing, day, counter_h, row_pair, clearance_um, event, stand)| Reading {
                stands: (0..stand)
                    .map(|n| (format!("S{n}"), f64::from(stand)))
                    .collect(),
                bound: (stand == 3).then_some(Bound::Below),
                clearance_um,
                ..reading(
                    &bearing.to_string(),
                    day,
                    counter_h.round(),
                    row_pair,
                    0.0,
                    event,
                )
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]
    #[test]
    fn whatever_the_readings_are_a_review_is_numbers_in_order(readings in prop::collection::vec(any_reading(), 0..60)) {
        let count = readings.iter().filter(|r| r.clearance_um.is_some()).count();
        let is_somewhere = readings.len() % 2 == 0;
        let at = |n: i32| Present { since: super::stands("S1"), stand: (n > 2).then(|| format!("S{n}")) };
        let present = (0..6).filter(|_| is_somewhere).map(|n| (n.to_string(), at(n)));
        let pool = Pool::new(vec![kind("A")], readings).unwrap().with_present(present.collect()).unwrap();
        let facts = segment_facts(&pool, None);
        let placed: usize = facts.iter().map(|fact| fact.readings.len()).sum();
        let Ok(review) = super::super::review(&pool, &Settings::default()) else { return Ok(()) };
        prop_assert_eq!(placed + review.backwards.len(), count);
        prop_assert_eq!(review.rows.len(), facts.iter().filter(|fact| fact.is_live).count());
        for row in &review.rows {
            let [p5, p50, p95] = row.crossing_h.map(|h| h.unwrap_or(row.state.counter_h + HORIZON_H));
            prop_assert!(row.state.set_h <= p5 && p5 <= p50 && p50 <= p95, "{:?} {:?}", row.crossing_h, row.state);
            prop_assert!((0.0..=1.0).contains(&row.chance) && (0.0..=1.0).contains(&row.state.own_share()));
            prop_assert!(row.state.band_um(row.state.counter_h + 1000.0).iter().all(|um| um.is_finite()));
        }
        prop_assert!(review.contrasts.iter().all(|c| c.effect.is_finite() && (0.0..=1.0).contains(&c.p_holm)));
    }
}
