//! Verify: every way of altering a logbook that is known here is found and named, and what is untouched holds.
#![allow(clippy::unwrap_used)]

mod common;

use std::path::{Path, PathBuf};

use common::{Shop, findings, tamper, verify};
use proptest::prelude::*;
use rusqlite::Connection;
use store::StoreError;
use store::verify::verify_file;

/// A closed logbook with some work in it.
fn worked() -> (tempfile::TempDir, PathBuf) {
    let mut shop = Shop::new();
    shop.work();
    let (dir, path, _) = shop.close();
    (dir, path)
}

fn anchor_of(path: &Path) -> String {
    verify(path, None).heads[0].anchor.clone()
}

#[test]
fn an_untouched_logbook_holds_and_says_what_was_checked() {
    let (_dir, path) = worked();
    let mut told = Vec::new();
    let report = verify_file(&path, None, &mut |done, total| {
        told.push((done, total));
        true
    });
    let report = report.unwrap().unwrap();
    assert!(report.holds(), "{}", findings(&report));
    assert_eq!(report.events, 1 + 1 + 20 + 9);
    assert_eq!(report.heads.len(), 1);
    assert_eq!(report.heads[0].seq, report.events);
    assert_eq!(report.checked.len(), 7);
    assert!(report.limits[0].contains("no key"));
    assert_eq!(
        (told.first(), told.last()),
        (Some(&(0, 62)), Some(&(62, 62)))
    );
    assert!(
        verify_file(&path, None, &mut |_, _| false)
            .unwrap()
            .is_none(),
        "it can be stopped"
    );
    for beside in ["plant.chockbook-wal", "plant.chockbook-shm"] {
        assert!(!path.with_file_name(beside).exists(), "{beside} was left");
    }
}

#[test]
fn an_open_logbook_is_verified_beside_its_writer() {
    let mut shop = Shop::new();
    shop.work();
    let anchor = shop.logbook.anchor().unwrap().unwrap();
    let report = verify(&shop.path, Some(&anchor));
    assert!(report.holds(), "{}", findings(&report));
    shop.log(r#"{"kind":"hold","thing":"WC-17","reason":"x"}"#)
        .unwrap();
    assert_eq!(verify(&shop.path, Some(&anchor)).events, report.events + 1);
}

#[test]
fn each_altered_row_is_found_and_named() {
    let (dir, path) = worked();
    // What is done to the file, and what the finding must say.
    let rows: [(&str, &str); 23] = [
        (
            "UPDATE event SET payload = replace(payload, 'crate dry', 'crate wet') WHERE kind = 'received'",
            ":23 it is not what was signed",
        ),
        (
            "UPDATE event SET payload = payload || ' ' WHERE seq = 7",
            ":7 it is not what was signed",
        ),
        (
            "UPDATE event SET hash = zeroblob(32) WHERE seq = 7",
            ":7 it is not what was signed",
        ),
        (
            "UPDATE event SET hash = zeroblob(32) WHERE seq = 7",
            ":8 it does not follow on the event before",
        ),
        (
            "UPDATE event SET prev_hash = zeroblob(32) WHERE seq = 7",
            ":7 it does not follow on the event before",
        ),
        (
            "UPDATE event SET at_ms = at_ms + 1 WHERE seq = 25",
            ":25 it is not what was signed",
        ),
        (
            "UPDATE event SET entered_offset_min = 60 WHERE seq = 25",
            ":25 it is not what was signed",
        ),
        (
            "UPDATE event SET person_origin = NULL, person_seq = NULL WHERE seq = 25",
            ":25 it is not what was signed",
        ),
        (
            "UPDATE event SET person_seq = 4 WHERE seq = 25",
            ":25 it is signed by",
        ),
        (
            "UPDATE event SET kind = 'mounted' WHERE seq = 25",
            ":25 its payload is of another kind",
        ),
        (
            "UPDATE event SET kind_version = 2 WHERE seq = 25",
            ":25 its payload cannot be read",
        ),
        (
            "UPDATE event SET payload = replace(payload, '300000', '300000.5') WHERE seq = 23",
            ":23 its payload has a number with decimals",
        ),
        (
            "PRAGMA ignore_check_constraints = ON; UPDATE event SET payload = '{' WHERE seq = 23",
            ":23 its payload is no JSON",
        ),
        (
            "PRAGMA ignore_check_constraints = ON; UPDATE event SET hash = x'00' WHERE seq = 23",
            "this row is no event",
        ),
        ("DELETE FROM event WHERE seq = 26", ":27 event 26 of"),
        (
            "DELETE FROM event WHERE seq BETWEEN 24 AND 26",
            ":27 event 24 to 26 of",
        ),
        ("DELETE FROM event WHERE seq = 1", ":2 event 1 of"),
        (
            "UPDATE stay SET run_s = run_s + 1 WHERE no = 25",
            "table stay is not what the events give",
        ),
        ("DELETE FROM run", "table run is not what the events give"),
        (
            "INSERT INTO conflict (event, what) VALUES (25, 'invented')",
            "table conflict is not what the events give",
        ),
        (
            "UPDATE place SET position = 999999 WHERE place = 'mill'",
            "names a row of thing that is not there",
        ),
        (
            "UPDATE setting SET value = 'f' WHERE name = 'origin'",
            "the setting origin names",
        ),
        (
            "DELETE FROM setting WHERE name = 'origin'",
            "the setting origin is missing",
        ),
    ];
    for (sql, said) in rows {
        let altered = dir.path().join("altered.chockbook");
        std::fs::copy(&path, &altered).unwrap();
        tamper(&altered, sql);
        let found = findings(&verify(&altered, None));
        assert!(found.contains(said), "{sql}\nfound only:\n{found}");
    }
}

#[test]
fn altered_tables_and_triggers_are_found() {
    let (dir, path) = worked();
    let rows = [
        (
            "DROP TRIGGER event_no_update",
            "trigger event_no_update is missing",
        ),
        (
            "DROP TRIGGER event_no_delete; CREATE TRIGGER event_no_delete BEFORE DELETE ON event BEGIN SELECT 1; END",
            "trigger event_no_delete was altered",
        ),
        ("DROP INDEX stay_chock", "index stay_chock is missing"),
        ("CREATE TABLE more (x)", "table more does not belong here"),
        (
            "ALTER TABLE roll ADD COLUMN colour TEXT",
            "table roll was altered",
        ),
        ("DROP TABLE conflict", "table conflict cannot be compared"),
        ("DROP TABLE setting", "the settings cannot be read"),
        (
            "PRAGMA foreign_keys = OFF; DROP TRIGGER event_no_update; DROP TRIGGER event_no_delete; DROP TABLE event",
            "table event is missing",
        ),
        ("UPDATE state SET value = 99", "another program's version"),
    ];
    for (sql, said) in rows {
        let altered = dir.path().join("altered.chockbook");
        std::fs::copy(&path, &altered).unwrap();
        Connection::open(&altered)
            .unwrap()
            .execute_batch(sql)
            .unwrap();
        let found = findings(&verify(&altered, None));
        assert!(found.contains(said), "{sql}\nfound only:\n{found}");
    }
}

#[test]
fn a_flipped_byte_in_the_file_is_found() {
    let (dir, path) = worked();
    let altered = dir.path().join("altered.chockbook");
    let mut bytes = std::fs::read(&path).unwrap();
    // In what was signed, not in a table that is derived from it.
    let at = bytes
        .windows(11)
        .position(|w| w == b"\"crate dry\"")
        .unwrap();
    bytes[at + 7] ^= 0x20;
    std::fs::write(&altered, &bytes).unwrap();
    let found = findings(&verify(&altered, None));
    assert!(found.contains(":23 it is not what was signed"), "{found}");
}

#[test]
fn anchors_confirm_the_chain_up_to_them_and_deny_another_one() {
    let (dir, path) = worked();
    let anchor = anchor_of(&path);
    for typed in [
        anchor.clone(),
        anchor.to_lowercase(),
        anchor.replace('-', " "),
    ] {
        let report = verify(&path, Some(&typed));
        assert!(report.holds(), "{}", findings(&report));
        assert!(
            report
                .checked
                .iter()
                .any(|line| line.contains("confirms every event up to")),
            "{typed}"
        );
    }
    let last = anchor.chars().last().unwrap();
    let other = if last == '0' { '1' } else { '0' };
    let forged = format!("{}{other}", &anchor[..anchor.len() - 1]);
    assert!(findings(&verify(&path, Some(&forged))).contains("the chain was rewritten"));
    let stranger = format!("FFFFFFFF{}", &anchor[8..]);
    assert!(findings(&verify(&path, Some(&stranger))).contains("of another logbook"));
    for text in ["", "nonsense", &anchor[..20]] {
        assert!(
            matches!(
                verify_file(&path, Some(text), &mut |_, _| true),
                Err(StoreError::Input { .. })
            ),
            "{text}"
        );
    }
    // A cut tail holds by itself, and is found by the anchor alone.
    let cut = dir.path().join("cut.chockbook");
    std::fs::copy(&path, &cut).unwrap();
    tamper(&cut, "DELETE FROM thing_event WHERE event = 31; UPDATE stay SET to_event = NULL, to_ms = NULL WHERE to_event = 31;
        UPDATE place SET since_event = 25, note = '' WHERE since_event = 31;
        DELETE FROM whereabouts WHERE event = 31; UPDATE whereabouts SET to_ms = NULL WHERE event = 25; DELETE FROM event WHERE seq = 31");
    assert!(
        verify(&cut, None).holds(),
        "{}",
        findings(&verify(&cut, None))
    );
    let found = findings(&verify(&cut, Some(&anchor)));
    assert!(
        found.contains("the chain here ends at 30: it was cut"),
        "{found}"
    );
    // An anchor does not cover for a break before it.
    let broken = dir.path().join("broken.chockbook");
    std::fs::copy(&path, &broken).unwrap();
    tamper(
        &broken,
        "UPDATE event SET payload = payload || ' ' WHERE seq = 7",
    );
    let found = findings(&verify(&broken, Some(&anchor)));
    assert!(
        found.contains("the chain before it is broken at") && found.contains(":7"),
        "{found}"
    );
}

#[test]
fn a_chain_that_was_wholly_rewritten_shows_only_against_the_anchor() {
    let (_dir, path) = worked();
    let anchor = anchor_of(&path);
    // The same plant, told otherwise: the same origin, other events.
    let mut shop = Shop::new();
    for line in common::WORK {
        shop.log(&line.replace("crate dry", "crate wet")).unwrap();
    }
    let (_other_dir, rewritten, _) = shop.close();
    assert!(verify(&rewritten, None).holds());
    let found = findings(&verify(&rewritten, Some(&anchor)));
    assert!(found.contains("the chain was rewritten"), "{found}");
}

#[test]
fn what_is_no_logbook_is_an_error_and_no_report() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("x.chockbook");
    let run = |path: &Path| verify_file(path, None, &mut |_, _| true);
    assert!(matches!(run(&path), Err(StoreError::NotFound { .. })));
    for bytes in [b"".as_slice(), b"hello", &[0xff; 5_000]] {
        std::fs::write(&path, bytes).unwrap();
        assert!(matches!(run(&path), Err(StoreError::NotALogbook { .. })));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]
    #[test]
    fn a_spoilt_file_never_stops_the_check_itself(
        spoil in proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..40),
        cut in proptest::option::of(any::<prop::sample::Index>()),
    ) {
        let (dir, path) = spoilable();
        let mut bytes = std::fs::read(path).unwrap();
        for (at, byte) in spoil {
            let at = 100 + at.index(bytes.len() - 100); // past the header, which decides whether it is ours
            bytes[at] = byte;
        }
        if let Some(cut) = cut {
            bytes.truncate(100 + cut.index(bytes.len() - 100));
        }
        let spoilt = dir.path().join(format!("spoilt-{:?}.chockbook", std::thread::current().id()));
        std::fs::write(&spoilt, &bytes).unwrap();
        match verify_file(&spoilt, Some("01020304-5-01020304050607080910"), &mut |_, _| true) {
            Ok(report) => prop_assert!(!report.unwrap().holds(), "the anchor at least is wrong"),
            Err(e) => prop_assert!(!e.to_string().is_empty()),
        }
        prop_assert!(std::fs::read(&spoilt).unwrap() == bytes, "verify wrote to the file");
    }
}

fn spoilable() -> &'static (tempfile::TempDir, PathBuf) {
    static MADE: std::sync::OnceLock<(tempfile::TempDir, PathBuf)> = std::sync::OnceLock::new();
    MADE.get_or_init(worked)
}
