//! Copies of one logbook that went their own ways, and come together again.
#![allow(clippy::unwrap_used)]

mod common;

use std::path::{Path, PathBuf};

use common::{Shop, dump, findings, hands, log_as, number, strings, verify};
use proptest::prelude::*;
use store::merge::{Brought, merge};
use store::payload::Role;
use store::time::HOUR_MS;
use store::{Logbook, Signer, StoreError};

/// Another copy of the shop's logbook, open for writing as an origin of its own.
fn copy(shop: &Shop, name: &str, seed: u8) -> (PathBuf, Logbook, Signer) {
    let path = shop.dir.path().join(name);
    shop.logbook.write_compact(&path).unwrap();
    let mut logbook = Logbook::open(&path, hands(&shop.clock, seed)).unwrap();
    let engineer = logbook.sign_in("Engineer", common::PIN).unwrap();
    (path, logbook, engineer)
}

fn take(logbook: &mut Logbook, other: &Path) -> Brought {
    merge(logbook, other, &mut |_, _| true).unwrap().unwrap()
}

/// The state in words that do not depend on numbers of this file.
fn story(logbook: &Logbook) -> Vec<String> {
    let conn = logbook.connection();
    let mut all = Vec::new();
    for sql in [
        "SELECT b.code || ' in ' || c.code || ' ' || s.seat || ' ' || s.zone || ' ' || s.from_ms || ' ' || coalesce(s.to_ms, 'now')
           || ' ' || s.run_s || ' ' || s.campaigns
         FROM stay s JOIN thing b ON b.no = s.bearing JOIN thing c ON c.no = s.chock ORDER BY 1",
        "SELECT t.code || ' ' || p.place || ' ' || coalesce(o.code, '-') || ' ' || p.note FROM place p
         JOIN thing t ON t.no = p.thing LEFT JOIN thing o ON o.no = p.position ORDER BY 1",
        "SELECT t.code || ' ran ' || r.from_ms || ' ' || r.run_s FROM run r JOIN thing t ON t.no = r.chock ORDER BY 1",
        "SELECT t.code || ' held ' || h.reason || ' ' || (h.released_event IS NULL) FROM hold h
         JOIN thing t ON t.no = h.thing ORDER BY 1",
        "SELECT entity || ' ' || code FROM thing ORDER BY 1",
        "SELECT hex(e.origin) || e.seq || ' ' || c.what || ' ' || (c.resolved_event IS NULL) FROM conflict c
         JOIN event e ON e.no = c.event ORDER BY 1",
    ] {
        all.extend(strings(conn, sql));
    }
    all
}

#[test]
fn two_copies_that_exchange_their_events_reach_the_same_state() {
    let mut shop = Shop::new();
    shop.work();
    let (path, mut other, engineer) = copy(&shop, "north.chockbook", 100);
    shop.log(r#"{"kind":"dismounted","at":"2026-01-10T06:00","chock":"WC-41"}"#)
        .unwrap();
    log_as(
        &mut other,
        &engineer,
        r#"{"kind":"hold","at":"2026-01-10T07:00","thing":"TH-4T-003","reason":"stain"}"#,
    )
    .unwrap();
    log_as(
        &mut other,
        &engineer,
        r#"{"kind":"register_change","entity":"roll","code":"R-200","line":"FT","role":"W"}"#,
    )
    .unwrap();
    let brought = take(&mut shop.logbook, &path);
    assert_eq!(
        (brought.events, brought.conflicts),
        (3, 0),
        "the first event of the copy, and its two"
    );
    let brought = take(&mut other, &shop.path);
    assert_eq!(brought.origins.len(), 1);
    assert_eq!(story(&shop.logbook), story(&other));
    assert_eq!(
        take(&mut shop.logbook, &path).events,
        1,
        "the note of the merge there"
    );
    assert_eq!(
        take(&mut shop.logbook, &path).events,
        0,
        "nothing new, nothing written"
    );
    for file in [&shop.path, &path] {
        let report = verify(file, None);
        assert!(report.holds(), "{}", findings(&report));
    }
}

/// One copy amends a hold and the other withdraws it, in every order: neither knew the other, so that it stays on hold until
/// somebody who knows both has settled it.
#[test]
fn what_one_copy_amends_and_the_other_withdraws_is_a_conflict_in_every_order() {
    for (is_amended_first, is_here) in [(true, true), (true, false), (false, true), (false, false)]
    {
        let mut shop = Shop::new();
        let hold = shop
            .log(r#"{"kind":"hold","at":"2026-01-12","thing":"TH-4T-003","reason":"stain"}"#)
            .unwrap();
        let id = hold.id.to_string();
        let (path, mut other, engineer) = copy(&shop, "north.chockbook", 100);
        let amended = format!(
            r#"{{"kind":"amendment","event":"{id}","changes":[{{"path":"/reason","old":"stain","new":"rust","reason":"seen again"}}]}}"#
        );
        let withdrawn = format!(
            r#"{{"kind":"amendment","event":"{id}","withdrawn_because":"another bearing"}}"#
        );
        let mut lines = [&amended, &withdrawn];
        if !is_amended_first {
            lines.reverse();
        }
        for (line, is_here) in lines.into_iter().zip([is_here, !is_here]) {
            shop.clock.forward_ms(60_000);
            if is_here {
                shop.log(line).unwrap();
            } else {
                log_as(&mut other, &engineer, line).unwrap();
            }
        }
        take(&mut shop.logbook, &path);
        take(&mut other, &shop.path);
        let open = "SELECT c.what FROM conflict c WHERE resolved_event IS NULL";
        for logbook in [&shop.logbook, &other] {
            let conn = logbook.connection();
            let case = format!("amended first {is_amended_first}, here first {is_here}");
            assert_eq!(strings(conn, "SELECT reason FROM hold"), ["rust"], "{case}");
            let said = strings(conn, open);
            assert_eq!(said.len(), 1, "{case}: {said:?}");
            assert!(
                said[0].contains("until that is settled"),
                "{case}: {said:?}"
            );
        }
        // Whoever knows both may withdraw it for good.
        shop.clock.forward_ms(60_000);
        let conn = shop.logbook.connection();
        let odd = strings(
            conn,
            "SELECT lower(hex(e.origin)) || ':' || e.seq FROM conflict c JOIN event e ON e.no = c.event",
        );
        shop.log(&format!(
            r#"{{"kind":"conflict_resolved","event":"{}","how":"it was TH-4T-002"}}"#,
            odd[0]
        ))
        .unwrap();
        shop.log(&withdrawn).unwrap();
        let conn = shop.logbook.connection();
        assert_eq!(number(conn, "SELECT count(*) FROM hold"), 0);
        assert_eq!(strings(conn, open), Vec::<String>::new());
        let before = shop.dump();
        assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
        assert_eq!(shop.dump(), before);
    }
}

#[test]
fn what_cannot_be_true_together_is_listed_and_settled_by_the_engineer() {
    let mut shop = Shop::new();
    shop.work();
    let (path, mut other, engineer) = copy(&shop, "north.chockbook", 100);
    let put = |chock: &str, hour: i64| {
        format!(
            r#"{{"kind":"assembled","at":"2026-01-10T0{hour}:00","bearing":"TH-4T-003","chock":"{chock}","zone":1}}"#
        )
    };
    shop.log(&put("WC-17", 6)).unwrap();
    log_as(&mut other, &engineer, &put("WC-18", 7)).unwrap();
    assert_eq!(take(&mut shop.logbook, &path).conflicts, 1);
    let open = "SELECT what FROM conflict WHERE resolved_event IS NULL";
    assert_eq!(
        strings(shop.logbook.connection(), open),
        ["TH-4T-003 is in a chock already: enter that it was taken out first"]
    );
    let name = strings(
        shop.logbook.connection(),
        "SELECT lower(hex(e.origin)) || ':' || e.seq FROM conflict c JOIN event e ON e.no = c.event",
    );
    let settle = format!(
        r#"{{"kind":"conflict_resolved","event":"{}","how":"it was WC-18, the number was misread"}}"#,
        name[0]
    );
    let foreman = shop.person("Foreman A", Role::Foreman);
    let refused = log_as(&mut shop.logbook, &foreman, &settle).unwrap_err();
    assert!(
        refused.to_string().contains("needs the engineer"),
        "{refused}"
    );
    shop.log(&settle).unwrap();
    assert_eq!(strings(shop.logbook.connection(), open), [""; 0]);
    let again = shop.log(&settle).unwrap_err();
    assert!(again.to_string().contains("no open conflict"), "{again}");
    let state = shop.dump();
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(shop.dump(), state);
    let report = verify(&shop.path, None);
    assert!(report.holds(), "{}", findings(&report));
}

#[test]
fn one_thing_that_two_copies_registered_is_joined() {
    let mut shop = Shop::new();
    shop.work();
    let (path, mut other, engineer) = copy(&shop, "north.chockbook", 100);
    let register = r#"{"kind":"register_change","entity":"bearing","serial":"TH-4T-090","bearing_type":"N4T"}"#;
    shop.log(register).unwrap();
    shop.clock.forward_ms(HOUR_MS);
    log_as(&mut other, &engineer, register).unwrap();
    let receive =
        r#"{"kind":"received","at":"2026-01-20","bearing":"TH-4T-090","as_set_mm":[0.3,0.3,0.3]}"#;
    log_as(&mut other, &engineer, receive).unwrap();
    assert_eq!(take(&mut shop.logbook, &path).conflicts, 1);
    let conn = shop.logbook.connection();
    let found = strings(conn, "SELECT what FROM conflict");
    assert!(
        found[0].contains("TH-4T-090 stands in the register twice"),
        "{found:?}"
    );
    let names = strings(
        conn,
        "SELECT lower(hex(origin)) || ':' || seq FROM thing t JOIN event e ON e.no = t.no WHERE code = 'TH-4T-090' ORDER BY t.no",
    );
    let join = |kept: &str, joined: &str| {
        format!(
            r#"{{"kind":"things_joined","kept":"{kept}","joined":"{joined}","reason":"one ring, one serial"}}"#
        )
    };
    let roll = strings(
        conn,
        "SELECT lower(hex(origin)) || ':' || seq FROM roll r JOIN event e ON e.no = r.no LIMIT 1",
    );
    let wrong = shop.log(&join(&names[0], &roll[0])).unwrap_err();
    assert!(wrong.to_string().contains("of one sort"), "{wrong}");
    shop.log(&join(&names[0], &names[1])).unwrap();
    let conn = shop.logbook.connection();
    assert_eq!(
        number(conn, "SELECT count(*) FROM thing WHERE code = 'TH-4T-090'"),
        1
    );
    assert_eq!(
        number(
            conn,
            "SELECT count(*) FROM baseline b JOIN thing t ON t.no = b.bearing WHERE t.code = 'TH-4T-090'"
        ),
        3,
        "what was written of the joined one belongs to the kept one"
    );
    assert_eq!(number(conn, "SELECT count(*) FROM conflict"), 0);
    // The other copy hears of it and comes to the same.
    take(&mut other, &shop.path);
    assert_eq!(story(&shop.logbook), story(&other));
    let report = verify(&shop.path, None);
    assert!(report.holds(), "{}", findings(&report));
}

#[test]
fn one_name_for_two_events_stops_the_merge_and_says_which() {
    let mut shop = Shop::new();
    shop.work();
    // A file copied under the feet of the program: it goes on under the same name in both places.
    let path = shop.dir.path().join("plant2.chockbook");
    shop.logbook.write_compact(&path).unwrap();
    shop.log(r#"{"kind":"dismounted","at":"2026-01-10T06:00","chock":"WC-41"}"#)
        .unwrap();
    let forked = shop.dir.path().join("kept.chockbook");
    shop.logbook.write_compact(&forked).unwrap();
    let elsewhere = shop.dir.path().join("other.chockbook");
    shop.logbook = Logbook::create(&elsewhere, hands(&shop.clock, 50), "x").unwrap();
    for end in ["-wal", "-shm"] {
        let mut name = shop.path.clone().into_os_string();
        name.push(end);
        let _gone = std::fs::remove_file(name);
    }
    std::fs::rename(&path, &shop.path).unwrap();
    let mut logbook = Logbook::open(&shop.path, hands(&shop.clock, 7)).unwrap();
    let engineer = logbook.sign_in("Engineer", common::PIN).unwrap();
    log_as(
        &mut logbook,
        &engineer,
        r#"{"kind":"hold","thing":"TH-4T-003","reason":"x"}"#,
    )
    .unwrap();
    let before = dump(logbook.connection());
    match merge(&mut logbook, &forked, &mut |_, _| true) {
        Err(StoreError::Refused(why)) => assert!(
            why.contains("two different events are called 01020304:32"),
            "{why}"
        ),
        other => panic!("{other:?}"),
    }
    assert_eq!(dump(logbook.connection()), before);
}

#[test]
fn an_altered_copy_is_not_taken_in_and_a_stopped_merge_changes_nothing() {
    let mut shop = Shop::new();
    shop.work();
    let (path, mut other, engineer) = copy(&shop, "north.chockbook", 100);
    log_as(
        &mut other,
        &engineer,
        r#"{"kind":"hold","at":"2026-01-10T07:00","thing":"TH-4T-003","reason":"stain"}"#,
    )
    .unwrap();
    let before = shop.dump();
    assert!(
        merge(&mut shop.logbook, &path, &mut |_, _| false)
            .unwrap()
            .is_none()
    );
    assert_eq!(shop.dump(), before);
    other
        .connection()
        .execute_batch(
            "DROP TRIGGER event_no_update;
             UPDATE event SET payload = replace(payload, 'stain', 'crack') WHERE kind = 'hold'",
        )
        .unwrap();
    drop(other);
    match merge(&mut shop.logbook, &path, &mut |_, _| true) {
        Err(StoreError::Refused(why)) => assert!(why.contains("is not what was signed"), "{why}"),
        Err(StoreError::Damaged { .. }) => {}
        other => panic!("{other:?}"),
    }
    assert_eq!(shop.dump(), before);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn whatever_two_copies_write_they_agree_after_an_exchange(
        here in proptest::collection::vec((0..3_usize, 0..4_usize, 0..4_usize, 1..48_i64), 1..12),
        there in proptest::collection::vec((0..3_usize, 0..4_usize, 0..4_usize, 1..48_i64), 1..12),
    ) {
        let mut shop = Shop::new();
        let (path, mut other, engineer) = copy(&shop, "north.chockbook", 100);
        let line = |(bearing, chock, what, hours): (usize, usize, usize, i64), now: store::Stamp| {
            let (bearing, chock) = (["TH-4T-001", "TH-4T-002", "TH-4T-003"][bearing], ["WC-17", "WC-18", "WC-41", "WC-42"][chock]);
            let at = now.plus_ms(-hours * HOUR_MS);
            match what {
                0 => format!(r#"{{"kind":"assembled","at":"{at}","bearing":"{bearing}","chock":"{chock}","zone":1}}"#),
                1 => format!(r#"{{"kind":"taken_out","at":"{at}","bearing":"{bearing}","reason":"x"}}"#),
                2 => format!(r#"{{"kind":"hold","at":"{at}","thing":"{bearing}","reason":"x"}}"#),
                _ => format!(r#"{{"kind":"sent_out","at":"{at}","thing":"{bearing}","to":"North Yard"}}"#),
            }
        };
        for step in here {
            // Refused here and there; what was taken counts.
            let _answer = shop.log(&line(step, shop.logbook.now()));
            shop.clock.forward_ms(HOUR_MS);
        }
        for step in there {
            let text = line(step, other.now());
            let _answer = log_as(&mut other, &engineer, &text);
            shop.clock.forward_ms(HOUR_MS);
        }
        take(&mut shop.logbook, &path);
        take(&mut other, &shop.path);
        prop_assert_eq!(story(&shop.logbook), story(&other));
        for file in [&shop.path, &path] {
            let report = verify(file, None);
            prop_assert!(report.holds(), "{}", findings(&report));
        }
    }
}
