//! One bearing looked at again by what is known of its peers.

use super::super::*;
use super::cases;
use super::shop::{kind, reading};
use crate::CalcError;

/// The readings of each bearing as they count; what the gate left out is an event without a reading.
fn of_bearings(pool: &Pool, review: &Review) -> Vec<Vec<Reading>> {
    let left_out = |at: &usize| {
        review.backwards.contains(at) || review.improbable.iter().any(|i| i.reading == *at)
    };
    let mut all: Vec<Reading> = Vec::new();
    for (at, reading) in pool.readings().iter().enumerate() {
        let mut reading = reading.clone();
        if left_out(&at) {
            reading.clearance_um = None;
        }
        all.push(reading);
    }
    all.sort_by(|a, b| a.bearing.cmp(&b.bearing));
    let same = |a: &Reading, b: &Reading| a.bearing == b.bearing;
    all.chunk_by(same).map(<[Reading]>::to_vec).collect()
}

#[test]
fn a_bearing_with_the_readings_that_it_had_is_where_the_review_put_it() {
    for case in cases() {
        let review = super::super::review(&case.pool, &Settings::default()).unwrap();
        let mut count = 0;
        for readings in of_bearings(&case.pool, &review) {
            let name = readings[0].bearing.clone();
            let again = review.peers.look_at(readings, None, 2_500.0).unwrap();
            let before = review.rows.iter().filter(|row| row.bearing == name);
            let before: Vec<RowForecast> = before.cloned().collect();
            assert_eq!(again.len(), before.len(), "{} {name}", case.name);
            for (again, before) in again.into_iter().zip(before) {
                // To the last digit; only what was refused is not told again.
                let before = RowForecast {
                    readings_excluded: 0,
                    ..before
                };
                assert_eq!(again, before, "{}", case.name);
                count += 1;
            }
        }
        assert!(count > 20, "{}", case.name);
    }
}

/// Bearings that grow by 20 µm in 1,000 h times a factor of their own, torn down every 2,000 h.
fn shop_of(factors: &[f64]) -> Vec<Reading> {
    let mut readings = Vec::new();
    for (bearing, factor) in factors.iter().enumerate() {
        for n in 0..4 {
            let event = if n == 0 { Event::Set } else { Event::Inspect };
            let hours = f64::from(n) * 2_000.0;
            let name = format!("{bearing:02}");
            let um = 250.0 + factor * hours / 50.0;
            readings.push(reading(&name, n * 100, hours, 1, um, event));
        }
    }
    readings
}

#[test]
fn a_reading_more_moves_its_own_bearing_as_a_new_review_would() {
    let factors = [0.9, 1.0, 1.1, 0.95, 1.05, 1.0, 1.0, 1.0];
    let readings = shop_of(&factors);
    let pool = Pool::new(vec![kind("A")], readings.clone()).unwrap();
    let review = super::super::review(&pool, &Settings::default()).unwrap();
    let own: Vec<Reading> = readings
        .iter()
        .filter(|r| r.bearing == "07")
        .cloned()
        .collect();
    let look = |um: f64| {
        let mut own = own.clone();
        own.push(reading("07", 400, 8_000.0, 1, um, Event::Inspect));
        review.peers.look_at(own, None, 2_500.0).unwrap().remove(0)
    };
    // As before 410 µm would be read; a limit of 500 µm is then 4,500 h away.
    let even = look(410.0);
    assert!(even.chance < 0.05, "{}", even.chance);
    assert!(even.acceleration.is_none_or(|found| !found.is_watched()));
    let fast = look(470.0);
    assert!(fast.chance > ALARM_CHANCE, "{}", fast.chance);
    assert!(fast.acceleration.is_some_and(|found| found.is_alarm()));
    assert!(fast.state.factor > even.state.factor);
    assert!(fast.state.chance_faster(0.0) > even.state.chance_faster(0.0));
    assert!(fast.state.chance_faster(0.2) < fast.state.chance_faster(0.0));
    // The larger it is read, the nearer its limit.
    let mut before = 0.0;
    for um in [350.0, 400.0, 430.0, 460.0, 490.0, 520.0] {
        let chance = look(um).chance;
        assert!(chance > before, "{um}: {chance}");
        before = chance;
    }
    // A review of all with the same spread says nearly the same: one reading hardly moves the fit.
    for um in [405.0, 425.0] {
        let mut all = readings.clone();
        all.push(reading("07", 400, 8_000.0, 1, um, Event::Inspect));
        let pool = Pool::new(vec![kind("A")], all).unwrap();
        let settings = Settings {
            spread: Spread::Known(review.theta),
            ..Settings::default()
        };
        let anew = super::super::review(&pool, &settings).unwrap();
        let anew = anew.rows.iter().find(|row| row.bearing == "07").unwrap();
        let quick = look(um);
        let (a, b) = (quick.state.factor, anew.state.factor);
        assert!((a / b - 1.0).abs() < 0.03, "{um}: {a} {b}");
        assert!((quick.chance - anew.chance).abs() < 0.03, "{um}");
    }
}

#[test]
fn readings_of_other_bearings_or_types_are_refused_and_a_new_stand_is_unknown() {
    let readings = shop_of(&[1.0, 1.1, 0.9]);
    let pool = Pool::new(vec![kind("A")], readings.clone()).unwrap();
    let peers = super::super::review(&pool, &Settings::default())
        .unwrap()
        .peers;
    assert!(peers.knows("A") && !peers.knows("B"));
    assert_eq!(peers.look_at(Vec::new(), None, 1.0), Ok(Vec::new()));
    let refused = peers.look_at(readings.clone(), None, 1.0).unwrap_err();
    assert!(matches!(refused, CalcError::Contradiction { .. }));
    let mut other = readings[0].clone();
    other.bearing_type = "B".to_owned();
    let refused = peers.look_at(vec![other], None, 1.0).unwrap_err();
    assert!(matches!(refused, CalcError::Unknown { .. }));
    let moved = |stand: &str| {
        let mut own: Vec<Reading> = readings[..4].to_vec();
        own[3].stands = vec![(stand.to_owned(), 1.0)];
        peers.look_at(own, None, 2_500.0).unwrap().remove(0)
    };
    let (known, new) = (moved("S1"), moved("S9"));
    assert_eq!(new.stand, None);
    assert!(new.state.factor_variance > known.state.factor_variance);
}
