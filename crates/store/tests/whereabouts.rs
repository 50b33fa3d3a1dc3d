//! Where chocks were, and what a campaign says against it; chocks that go in empty; what is asked before it is signed.
#![allow(clippy::unwrap_used)]

mod common;

use common::Shop;
use store::line::{self, Line};
use store::payload::Role;
use store::query::{stands_page, today};
use store::{Foretold, StoreError};

/// A campaign of R-101 in F3 with two chocks, one of them in question.
fn campaign(from: &str, to: &str, chock_o: &str, more: &str) -> String {
    format!(
        r#"{{"kind":"campaign","at":"{to}","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"{chock_o}","chock_d":"WC-42","from":"{from}","hours":1,"tonnes":900{more}}}"#
    )
}

#[track_caller]
fn refused(shop: &mut Shop, line: &str, words: &str) {
    let before = shop.dump();
    match shop.log(line) {
        Err(StoreError::Refused(why)) => assert!(why.contains(words), "{line}: {why}"),
        other => panic!("{line}: {other:?}"),
    }
    assert_eq!(shop.dump(), before, "a refusal changed something");
}

#[track_caller]
fn is_as_rebuilt(shop: &mut Shop) {
    let state = shop.dump();
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(shop.dump(), state);
}

fn foretold(shop: &mut Shop, text: &str) -> Foretold {
    let Line::Event(event) = line::read(&mut shop.logbook, text).unwrap() else {
        panic!("{text} is a sheet")
    };
    let engineer = shop.engineer.clone();
    shop.logbook.foretell(&engineer, &[event]).unwrap()
}

#[test]
fn a_campaign_of_a_chock_that_was_elsewhere_or_away_is_refused_and_says_where_it_was() {
    let mut shop = Shop::new();
    for line in [
        r#"{"kind":"mounted","at":"2026-01-08T06:00","chock":"WC-17","roll":"R-102","position":"F4-W-T-O","note":"a trial"}"#,
        r#"{"kind":"dismounted","at":"2026-01-08T12:00","chock":"WC-17"}"#,
        r#"{"kind":"sent_out","at":"2026-01-10T06:00","thing":"WC-17","to":"North Yard"}"#,
        r#"{"kind":"returned","at":"2026-01-12T06:00","thing":"WC-17"}"#,
    ] {
        shop.log(line).unwrap();
    }
    let in_f4 = "WC-17 was in F4-W-T-O on R-102 from 2026-01-08 06:00 to 2026-01-08 12:00";
    refused(
        &mut shop,
        &campaign("2026-01-08T11:00", "2026-01-08T14:00", "WC-17", ""),
        in_f4,
    );
    refused(
        &mut shop,
        &campaign("2026-01-11T08:00", "2026-01-11T10:00", "WC-17", ""),
        "WC-17 was away at North Yard from 2026-01-10 06:00 on",
    );
    // A sum of many weeks names a position by way of example; away all the time it ran nowhere.
    let estimate = r#","estimate":true"#;
    refused(
        &mut shop,
        &campaign("2026-01-11T08:00", "2026-01-11T10:00", "WC-17", estimate),
        "away at North Yard",
    );
    for (from, to, more) in [
        ("2026-01-08T05:00", "2026-01-08T06:00", ""),
        ("2026-01-08T12:00", "2026-01-08T14:00", ""),
        ("2026-01-09T08:00", "2026-01-10T08:00", estimate),
        ("2026-01-12T06:00", "2026-01-12T08:00", ""),
    ] {
        shop.log(&campaign(from, to, "WC-17", more)).unwrap();
    }
    is_as_rebuilt(&mut shop);
    // A move that is entered late makes the campaign of its time untrue: kept, and listed there.
    let late = r#"{"kind":"sent_out","at":"2026-01-12T05:30","thing":"WC-42","to":"North Yard"}"#;
    assert_eq!(foretold(&mut shop, late).questions.len(), 1);
    shop.log(late).unwrap();
    let listed = common::strings(shop.logbook.connection(), "SELECT what FROM conflict");
    assert_eq!(listed.len(), 1, "{listed:?}");
    assert!(
        listed[0].starts_with("WC-42 was away at North Yard from 2026-01-"),
        "{listed:?}"
    );
    is_as_rebuilt(&mut shop);
    // It was there after all: what is found looks back, and the conflict is none any more.
    shop.log(r#"{"kind":"found_here","at":"2026-01-12T09:00","thing":"WC-42","reason":"number read on it"}"#)
        .unwrap();
    is_as_rebuilt(&mut shop);
}

#[test]
fn a_day_alone_leaves_half_a_day_open_and_what_is_found_elsewhere_was_not_surely_there() {
    let mut shop = Shop::new();
    for line in [
        r#"{"kind":"mounted","at":"2026-01-08","chock":"WC-17","roll":"R-102","position":"F4-W-T-O","note":"a trial"}"#,
        r#"{"kind":"dismounted","at":"2026-01-09","chock":"WC-17"}"#,
        r#"{"kind":"mounted","at":"2026-01-10T06:00","chock":"WC-18","roll":"R-102","position":"F4-W-T-O","note":"a trial"}"#,
        r#"{"kind":"found_here","at":"2026-01-12T06:00","thing":"WC-18","on":"R-101","position":"F3-W-T-O","reason":"number read on it"}"#,
    ] {
        let line = line.replace(
            r#""on":"R-101","position":"F3-W-T-O""#,
            r#""on_roll":"R-101","at_position":"F3-W-T-O""#,
        );
        shop.log(&line).unwrap();
    }
    for (from, to, chock) in [
        ("2026-01-08T14:00", "2026-01-08T16:00", "WC-17"),
        ("2026-01-11T08:00", "2026-01-11T10:00", "WC-18"),
    ] {
        shop.log(&campaign(from, to, chock, "")).unwrap();
    }
    is_as_rebuilt(&mut shop);
}

#[test]
fn a_chock_goes_in_with_a_bearing_or_with_words_why_not_and_stands_on_today() {
    let mut shop = Shop::new();
    let mount = r#"{"kind":"mounted","at":"2026-01-08T06:00","chock":"WC-17","roll":"R-101","position":"F3-W-T-O"}"#;
    refused(&mut shop, mount, "WC-17 has no bearing in it");
    shop.log(&mount.replace(
        r#""F3-W-T-O""#,
        r#""F3-W-T-O","note":"dummy for the roll change trial""#,
    ))
    .unwrap();
    let empty = |shop: &Shop| {
        let show = store::entry::Show::default();
        today(shop.logbook.connection(), shop.logbook.now(), 0, show)
            .unwrap()
            .empty
    };
    let found = empty(&shop);
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].chock.1.as_str(), found[0].position.as_str()),
        ("WC-17", "F3-W-T-O")
    );
    assert_eq!(found[0].why, "dummy for the roll change trial");
    // What was in it all the time is told later, with the day that it went in.
    shop.log(r#"{"kind":"assembled","at":"2026-01-07T06:00","bearing":"TH-4T-001","chock":"WC-17","zone":1}"#)
        .unwrap();
    assert!(empty(&shop).is_empty());
    is_as_rebuilt(&mut shop);
}

#[test]
fn a_hold_dated_before_a_mounting_and_limits_dated_before_a_sheet_are_asked_about_first() {
    let mut shop = Shop::new();
    shop.work();
    let hold =
        |at: &str| format!(r#"{{"kind":"hold","at":"{at}","thing":"WC-17","reason":"liner"}}"#);
    assert_eq!(
        foretold(&mut shop, &hold("2026-01-08T13:00")),
        Foretold::default()
    );
    let asked = foretold(&mut shop, &hold("2026-01-08T05:59"));
    assert_eq!(asked.refusal, None);
    let [question] = asked.questions.as_slice() else {
        panic!("{asked:?}")
    };
    assert!(
        question.contains(
            "what was entered for 2026-01-08 06:00 is not true any more: WC-17 is on hold (liner)"
        ),
        "{question}"
    );
    let before = common::number(shop.logbook.connection(), "SELECT count(*) FROM hold");
    assert_eq!(before, 0, "nothing was written");

    let fields: String = ["0", "45", "90", "135"]
        .map(|d| format!(r#""neck.1.{d}":"479.702""#))
        .join(",");
    shop.log(&format!(
        r#"{{"kind":"seat_check","at":"2026-01-12T14:00","roll":"R-101","neck":"O","bearing_type":"N4T","fields":{{{fields}}},"note":"after grinding"}}"#
    ))
    .unwrap();
    let limits = |at: &str| {
        format!(
            r#"{{"kind":"register_change","at":"{at}","entity":"bearing_type","code":"N4T","bearing_kind":"four_row_tapered","values":{{"bore_mm":480,"outside_mm":620}},"change":true,"reason":"new drawing"}}"#
        )
    };
    assert_eq!(
        foretold(&mut shop, &limits("2026-01-13")),
        Foretold::default()
    );
    let asked = foretold(&mut shop, &limits("2026-01-10"));
    assert_eq!(asked.questions.len(), 1, "{asked:?}");
    assert!(
        asked.questions[0]
            .starts_with("One sheet (R-101 on 2026-01-12) was judged by the limits before"),
        "{asked:?}"
    );
}

#[test]
fn a_bearing_that_nobody_knows_the_place_of_is_no_spare_and_is_counted() {
    let mut shop = Shop::new();
    shop.person("Stores", Role::Storekeeper);
    shop.work();
    // The third was never received; the first lies in the shop, the second in a chock.
    let line = |shop: &Shop| {
        stands_page(shop.logbook.connection(), shop.logbook.now())
            .unwrap()
            .spares
            .remove(0)
    };
    let spares = line(&shop);
    assert_eq!((spares.ready, spares.at_work, spares.unknown), (1, 1, 1));
    assert_eq!(spares.in_mill + spares.in_ready_chocks(), 1);
    // Another one is found in its seat: where the second is now, nobody knows.
    shop.log(r#"{"kind":"found_here","at":"2026-01-20T06:00","thing":"TH-4T-001","in_chock":"WC-41","seat":"main","zone":1,"reason":"serial read on the ring"}"#)
        .unwrap();
    let spares = line(&shop);
    assert_eq!((spares.ready, spares.at_work, spares.unknown), (0, 1, 2));
    // A chock on hold is no spare, whatever is in it; beside the mill it is no longer counted as ready.
    shop.log(r#"{"kind":"dismounted","at":"2026-01-20T12:00","chock":"WC-41"}"#)
        .unwrap();
    assert_eq!(line(&shop).in_ready_chocks(), 1);
    shop.log(r#"{"kind":"hold","at":"2026-01-21T06:00","thing":"WC-41","reason":"liner worn"}"#)
        .unwrap();
    let spares = line(&shop);
    assert_eq!((spares.in_held, spares.in_ready_chocks()), (1, 0));
    // On hold itself too, it is still one bearing.
    shop.log(r#"{"kind":"hold","at":"2026-01-21T07:00","thing":"TH-4T-001","reason":"spall"}"#)
        .unwrap();
    let spares = line(&shop);
    assert_eq!((spares.held, spares.in_held), (0, 1));
}

#[test]
fn a_key_that_stands_twice_and_a_serial_that_no_plate_takes_are_refused_at_the_door() {
    let mut shop = Shop::new();
    let twice = r#"{"kind":"hold","thing":"WC-17","reason":"a","reason":"b"}"#;
    let why = line::read(&mut shop.logbook, twice)
        .unwrap_err()
        .to_string();
    assert!(why.contains("reason"), "{why}");
    let long = "T".repeat(61);
    refused(
        &mut shop,
        &format!(
            r#"{{"kind":"register_change","entity":"bearing","serial":"{long}","bearing_type":"N4T"}}"#
        ),
        "at most 60 letters",
    );
}

#[test]
fn a_tonne_counts_once_for_the_mill_and_the_least_stock_is_that_of_the_day() {
    let mut shop = Shop::new();
    shop.work();
    // 5,000 t ran between two chocks at F3 so far; the same strip runs on through F4.
    for (bearing, chock) in [("TH-4T-001", "WC-18"), ("TH-4T-003", "WC-42")] {
        shop.log(&format!(
            r#"{{"kind":"assembled","at":"2026-01-10T06:00","bearing":"{bearing}","chock":"{chock}","zone":1}}"#
        ))
        .unwrap();
    }
    shop.log(r#"{"kind":"campaign","at":"2026-01-11T12:00","roll":"R-102","position_o":"F4-W-T-O","position_d":"F4-W-T-D","chock_o":"WC-18","chock_d":"WC-42","from":"2026-01-11T06:10","hours":4.5,"tonnes":4000}"#)
        .unwrap();
    let page = |shop: &Shop| {
        let now = shop.logbook.now();
        stands_page(shop.logbook.connection(), now).unwrap()
    };
    assert_eq!(page(&shop).cost, None);
    shop.log(r#"{"kind":"cost","thing":"TH-4T-001","amount":"114.50","text":"freight"}"#)
        .unwrap();
    let cost = page(&shop).cost.unwrap();
    assert_eq!((cost.spent_minor, cost.run_s), (11_450, 10 * 3_600));
    assert_eq!(cost.rolled_kg, 5_000_000);
    assert_eq!(cost.counted_at, ["F3-W-T-D"]);
    // The version entered last is of an earlier day: what holds today was entered before it.
    for (day, count) in [("2026-01-12T06:00", 3), ("2026-01-08T06:00", 9)] {
        shop.log(&format!(
            r#"{{"kind":"register_change","at":"{day}","entity":"bearing_type","code":"N4T","change":true,"reason":"by the stores","bearing_kind":"four_row_tapered","values":{{"bore_mm":480,"stock_min_count":{count}}}}}"#
        ))
        .unwrap();
    }
    assert_eq!(page(&shop).spares[0].least, Some(3));
}
