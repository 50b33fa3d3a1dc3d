//! What is noted about a thing without moving it, and receipt: what it leads to, and what is refused.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Shop, number};

const STORY: [&str; 10] = [
    r#"{"kind":"register_change","entity":"grease","code":"G-1","name":"lithium complex"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4T-053","bearing_type":"N4T"}"#,
    r#"{"kind":"received","at":"2026-01-05","bearing":"TH-4T-053","note":"packing torn"}"#,
    r#"{"kind":"inspected_at_receipt","at":"2026-01-05T10:00","bearing":"TH-4T-053","condition":"rust spots outside","accepted":false,"claim":"C-12"}"#,
    r#"{"kind":"mill_incident","at":"2026-01-10T04:00","position":"F3-W-T-O","what":"cobble","force_mn":31,"chocks":["WC-17"],"early_teardown":true}"#,
    r#"{"kind":"condition_reading","at":"2026-01-11T06:00","chock":"WC-17","what":"temperature","temp_c":"96","text":"own baseline 58","early_teardown":true}"#,
    r#"{"kind":"extension","at":"2026-01-12T08:00","chock":"WC-17","until":"2026-01-20","reason":"watched each shift"}"#,
    r#"{"kind":"teardown_planned","at":"2026-01-12T08:30","chock":"WC-17","reason":"no spare until Friday"}"#,
    r#"{"kind":"cost","at":"2026-01-12T09:00","thing":"TH-4T-053","amount":"114.50","text":"freight"}"#,
    r#"{"kind":"batch_blocked","at":"2026-01-12T10:00","thing":"G-1","reason":"water in the drum"}"#,
];

fn story() -> Shop {
    let mut shop = Shop::new();
    for line in STORY {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    shop
}

#[test]
fn what_is_noted_stands_in_the_state_and_survives_a_rebuild() {
    let mut shop = story();
    let check = |shop: &Shop| {
        let conn = shop.logbook.connection();
        let sql = "SELECT reason FROM hold WHERE released_event IS NULL";
        let reason: String = conn.query_row(sql, [], |row| row.get(0)).unwrap();
        assert_eq!(
            reason,
            "not accepted at receipt: rust spots outside; claim: C-12"
        );
        assert_eq!(number(conn, "SELECT count(*) FROM early_teardown"), 2);
        assert_eq!(number(conn, "SELECT value FROM condition"), 96_000);
        assert_eq!(number(conn, "SELECT amount_minor FROM cost"), 11_450);
        assert_eq!(number(conn, "SELECT count(*) FROM extension"), 1);
        assert_eq!(number(conn, "SELECT count(*) FROM teardown_plan"), 1);
        assert_eq!(number(conn, "SELECT count(*) FROM blocked"), 1);
        assert_eq!(number(conn, "SELECT count(*) FROM conflict"), 0);
    };
    check(&shop);
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    check(&shop);
    shop.log(
        r#"{"kind":"inspected_at_receipt","at":"2026-01-19","bearing":"TH-4T-053","condition":"cleaned, outside faces only","accepted":true}"#,
    )
    .unwrap();
    let open = "SELECT count(*) FROM hold WHERE released_event IS NULL";
    assert_eq!(
        number(shop.logbook.connection(), open),
        0,
        "accepted after all"
    );
}

#[test]
fn a_bearing_that_is_not_accepted_goes_into_no_chock() {
    let mut shop = story();
    shop.log(r#"{"kind":"register_change","entity":"chock","code":"WC-58","chock_type":"top O"}"#)
        .unwrap();
    let into = r#"{"kind":"assembled","at":"2026-01-06T10:00","bearing":"TH-4T-053","chock":"WC-58","seat":"main","zone":1}"#;
    let why = shop.log(into).unwrap_err().to_string();
    assert!(why.contains("on hold"), "{why}");
}

#[test]
fn what_cannot_be_is_refused_with_a_reason() {
    let mut shop = Shop::new();
    for (line, words) in [
        (
            r#"{"kind":"condition_reading","chock":"WC-17","what":"colour","text":"blue"}"#,
            "no reading of a condition",
        ),
        (
            r#"{"kind":"condition_reading","chock":"WC-17","what":"temperature","temp_c":"960"}"#,
            "cannot be: -50 to 400",
        ),
        (
            r#"{"kind":"condition_reading","chock":"WC-17","what":"noise"}"#,
            "a value, or words",
        ),
        (
            r#"{"kind":"mill_incident","position":"F3-W-T-O","what":"cobble","early_teardown":true}"#,
            "which chocks",
        ),
        (
            r#"{"kind":"mill_incident","position":"F3-W-T-O","what":"fire"}"#,
            "is no incident",
        ),
        (
            r#"{"kind":"extension","at":"2026-01-12T08:00","chock":"WC-17","until":"2026-01-10","reason":"x"}"#,
            "ends on a later day",
        ),
        (
            r#"{"kind":"teardown_planned","chock":"WC-17","reason":"  "}"#,
            "reason: is missing",
        ),
        (
            r#"{"kind":"batch_blocked","thing":"WC-17","reason":"x"}"#,
            "only a seal batch or a grease",
        ),
        (
            r#"{"kind":"cost","thing":"WC-17","amount":"0","text":"x"}"#,
            "a cost has an amount",
        ),
    ] {
        let why = shop.log(line).unwrap_err().to_string();
        assert!(why.contains(words), "{line}: {why}");
    }
}
