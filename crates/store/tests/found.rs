//! Found here, unknown since: the honest way out, and what it leaves of the places before.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Shop, dump, findings, number, strings, verify};
use proptest::prelude::*;
use store::entry::Show;
use store::query::{JournalFilter, journal};
use store::time::HOUR_MS;

fn words(shop: &Shop) -> Vec<String> {
    let lines = journal(
        shop.logbook.connection(),
        &JournalFilter::default(),
        Show::default(),
    )
    .unwrap();
    lines
        .into_iter()
        .filter(|line| line.kind == "found_here")
        .map(|line| line.text())
        .collect()
}

fn rebuilt(shop: &mut Shop) -> Vec<String> {
    shop.logbook.rebuild(&mut |_, _| true).unwrap();
    shop.dump()
}

#[test]
fn what_is_found_is_there_and_what_was_before_ends_as_unknown() {
    let mut shop = Shop::new();
    shop.work();
    // WC-41 with TH-4T-002 is in the mill by the record; the serial is read on the bench in WC-42.
    shop.log(r#"{"kind":"found_here","at":"2026-01-12T07:00","thing":"TH-4T-002","in_chock":"WC-42","seat":"main","zone":3,"reason":"serial read on the ring"}"#)
        .unwrap();
    let conn = shop.logbook.connection();
    assert_eq!(
        number(conn, "SELECT count(*) FROM stay WHERE to_event IS NULL"),
        1
    );
    assert_eq!(
        strings(
            conn,
            "SELECT c.code || s.zone FROM stay s JOIN chock c ON c.no = s.chock WHERE s.to_event IS NULL"
        ),
        ["WC-423"]
    );
    assert_eq!(
        number(
            conn,
            "SELECT has_estimate FROM stay WHERE to_event IS NOT NULL AND bearing =
        (SELECT no FROM bearing WHERE serial = 'TH-4T-002')"
        ),
        1,
        "its hours are an estimate now"
    );
    assert!(words(&shop)[0].contains(
        "TH-4T-002 in WC-42 zone III up TH-4T-002 was in WC-41, unknown since 2026-01-08"
    ));
    // The chock itself stands in the shop.
    shop.log(r#"{"kind":"found_here","at":"2026-01-12T08:00","thing":"WC-41","reason":"stands at the wash"}"#)
        .unwrap();
    assert!(
        words(&shop)[0]
            .contains("WC-41 in the shop WC-41 was at F3-W-T-D, unknown since 2026-01-08")
    );
    let after = shop.dump();
    assert_eq!(rebuilt(&mut shop), after);
    let report = verify(&shop.path, None);
    assert_eq!(findings(&report), "");
}

#[test]
fn what_stood_in_the_way_gives_way_and_a_hold_or_a_return_that_was_forgotten_bars_nothing() {
    let mut shop = Shop::new();
    shop.work();
    shop.log(r#"{"kind":"mounted","at":"2026-01-10T06:00","chock":"WC-17","roll":"R-102","position":"F4-W-T-O","note":"as it stood"}"#)
        .unwrap();
    shop.log(r#"{"kind":"hold","at":"2026-01-10T07:00","thing":"WC-18","reason":"liner"}"#)
        .unwrap();
    shop.log(r#"{"kind":"found_here","at":"2026-01-11T06:00","thing":"WC-18","on_roll":"R-102","at_position":"F4-W-T-O","reason":"read in the stand"}"#)
        .unwrap();
    let conn = shop.logbook.connection();
    assert_eq!(
        strings(
            conn,
            "SELECT c.code || ' ' || p.place FROM place p JOIN chock c ON c.no = p.thing ORDER BY 1"
        ),
        ["WC-17 unknown", "WC-18 mill", "WC-41 mill"]
    );
    shop.log(
        r#"{"kind":"sent_out","at":"2026-01-11T08:00","thing":"TH-4T-001","to":"North Yard"}"#,
    )
    .unwrap();
    shop.log(r#"{"kind":"found_here","at":"2026-01-11T09:00","thing":"TH-4T-001","reason":"lies on bench 2"}"#).unwrap();
    shop.log(r#"{"kind":"found_here","at":"2026-01-11T10:00","thing":"R-102","reason":"lies in the rack"}"#).unwrap();
    let conn = shop.logbook.connection();
    assert_eq!(
        number(conn, "SELECT count(*) FROM place WHERE place = 'away'"),
        0
    );
    assert_eq!(
        number(conn, "SELECT count(*) FROM place WHERE place = 'mill'"),
        1
    );
    assert_eq!(number(conn, "SELECT count(*) FROM conflict"), 0);
    let after = shop.dump();
    assert_eq!(rebuilt(&mut shop), after);
}

#[test]
fn what_cannot_be_found_is_refused_with_words() {
    let mut shop = Shop::new();
    shop.work();
    for (line, why) in [
        (
            r#"{"kind":"found_here","thing":"TH-4T-001","reason":" "}"#,
            "needs it",
        ),
        (
            r#"{"kind":"found_here","thing":"F3-W-T-O","reason":"seen"}"#,
            "cannot be found there",
        ),
        (
            r#"{"kind":"found_here","thing":"WC-17","in_chock":"WC-18","reason":"seen"}"#,
            "cannot be found there",
        ),
        (
            r#"{"kind":"found_here","thing":"TH-4T-001","in_chock":"WC-18","seat":"thrust","reason":"seen"}"#,
            "no seat thrust",
        ),
        (
            r#"{"kind":"found_here","thing":"TH-4T-001","on_roll":"R-101","seat":"neck_o","reason":"seen"}"#,
            "on no neck",
        ),
        (
            r#"{"kind":"found_here","thing":"WC-17","on_roll":"R-101","at_position":"F3-W-T-D","reason":"seen"}"#,
            "does not fit",
        ),
    ] {
        let refused = shop.log(line).unwrap_err().to_string();
        assert!(refused.contains(why), "{line}: {refused}");
    }
    let engineer = shop.engineer.clone();
    let line = r#"{"kind":"dismounted","chock":"WC-17"}"#;
    let store::line::Line::Event(event) = store::line::read(&mut shop.logbook, line).unwrap()
    else {
        panic!("no event")
    };
    let before = shop.dump();
    let why = shop.logbook.foretell(&engineer, &[event]).unwrap().refusal;
    assert_eq!(
        why.as_deref(),
        Some("WC-17 is not in the mill"),
        "told before it is signed"
    );
    assert_eq!(shop.dump(), before, "and nothing is written");
    shop.log(r#"{"kind":"scrapped","bearing":"TH-4T-001","reason":"crack","witness":"Engineer"}"#)
        .unwrap_err();
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Whatever is entered and found, a thing has one place, and the state is that of all events in order.
    #[test]
    fn one_place_each_whatever_is_found(moves in proptest::collection::vec((0..9_usize, 0..3_usize, 0..4_usize, 0..2_usize, -20..40_i64), 1..40)) {
        let mut shop = Shop::new();
        shop.logbook.write_without_waiting().unwrap();
        shop.clock.forward_ms(2000 * HOUR_MS);
        let bearings = ["TH-4T-001", "TH-4T-002", "TH-4T-003"];
        let chocks = ["WC-17", "WC-18", "WC-41", "WC-42"];
        let places = ["F3-W-T-O", "F4-W-T-O", "F3-W-T-D", "F4-W-T-D"];
        let rolls = ["R-101", "R-102"];
        let mut at_ms = common::START_MS + 24 * HOUR_MS;
        for (kind, bearing, chock, roll, hours) in moves {
            at_ms += hours * HOUR_MS;
            let at = store::Stamp::second(at_ms, 0).date_time().replace(' ', "T");
            let (bearing, chock, place, roll) = (bearings[bearing], chocks[chock], places[chock], rolls[roll]);
            let rest = match kind {
                0 | 1 => format!(r#""kind":"assembled","bearing":"{bearing}","chock":"{chock}","zone":1"#),
                2 => format!(r#""kind":"taken_out","bearing":"{bearing}","reason":"looked at""#),
                3 | 4 => format!(r#""kind":"mounted","chock":"{chock}","roll":"{roll}","position":"{place}","note":"as it stood""#),
                5 => format!(r#""kind":"dismounted","chock":"{chock}""#),
                6 => format!(r#""kind":"found_here","thing":"{bearing}","in_chock":"{chock}","seat":"main","zone":2,"reason":"seen""#),
                7 => format!(r#""kind":"found_here","thing":"{chock}","on_roll":"{roll}","at_position":"{place}","reason":"seen""#),
                _ => format!(r#""kind":"found_here","thing":"{}","reason":"seen""#, if hours % 2 == 0 { bearing } else { chock }),
            };
            // Refusals are as they are; what is taken must leave one place each.
            let _refused = shop.log(&format!(r#"{{"at":"{at}",{rest}}}"#));
            let conn = shop.logbook.connection();
            for (what, sql) in [
                ("one stay a bearing", "SELECT count(*) FROM (SELECT 1 FROM stay WHERE to_event IS NULL GROUP BY bearing HAVING count(*) > 1)"),
                ("one bearing a seat", "SELECT count(*) FROM (SELECT 1 FROM stay WHERE to_event IS NULL GROUP BY chock, seat HAVING count(*) > 1)"),
                ("one chock a position", "SELECT count(*) FROM (SELECT 1 FROM place WHERE position IS NOT NULL GROUP BY position HAVING count(*) > 1)"),
            ] {
                prop_assert_eq!(number(conn, sql), 0, "{}", what);
            }
        }
        let now = dump(shop.logbook.connection());
        prop_assert_eq!(rebuilt(&mut shop), now);
    }
}
