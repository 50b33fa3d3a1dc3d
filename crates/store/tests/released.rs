//! A logbook of each released format is opened, verified and written to by this program; drafts of a format are refused
//! by name. They are kept in `tests/data` as the text of their tables and events, made by the program that released the
//! format; the built program prints them in `tests/tests/released.rs`.
#![allow(clippy::unwrap_used)]

mod common;

use std::path::{Path, PathBuf};

use common::{TestClock, hands, log_as, number, strings, verify};
use store::{Access, Logbook, StoreError};

/// Format, its text, events in it.
const KEPT: [(i64, &str, i64); 1] = [(1_000, "format-1.sql", 72)];

/// Makes the file that the text tells of.
fn made(folder: &Path, name: &str) -> PathBuf {
    let text = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data");
    let text = std::fs::read_to_string(text.join(name)).unwrap();
    let path = folder.join(name).with_extension("chockbook");
    let conn = rusqlite::Connection::open(&path).unwrap();
    conn.execute_batch(&text).unwrap();
    path
}

#[test]
fn every_released_format_opens_verifies_and_goes_on() {
    for (format, name, events) in KEPT {
        let dir = tempfile::tempdir().unwrap();
        let path = made(dir.path(), name);
        let version = {
            let conn = rusqlite::Connection::open(&path).unwrap();
            number(&conn, "SELECT user_version FROM pragma_user_version")
        };
        assert_eq!(
            version, format,
            "{name} is of the format that it is kept for"
        );
        let clock = TestClock::new();
        // Some days after the last event of the file.
        clock.forward_ms(400 * 24 * 3_600_000);
        let mut logbook = Logbook::open(&path, hands(&clock, 3)).unwrap();
        assert!(
            matches!(logbook.access(), Access::Write),
            "{:?}",
            logbook.access()
        );
        let conn = logbook.connection();
        assert_eq!(number(conn, "SELECT count(*) FROM event"), events);
        assert_eq!(number(conn, "SELECT count(*) FROM conflict"), 0);
        // A sheet of each family, and what it came to, under its own name.
        assert_eq!(
            strings(
                conn,
                "SELECT t.kind FROM sheet s JOIN bearing b ON b.no = s.bearing JOIN bearing_type t ON t.no = b.bearing_type
                 JOIN outcome o ON o.event = s.event AND o.name IN ('end_play_nm', 'clearance_nm') AND o.item = 1
                 WHERE s.kind = 'teardown_sheet' ORDER BY t.kind"
            ),
            [
                "four_row_cylindrical",
                "four_row_tapered",
                "two_row_spherical",
                "two_row_thrust"
            ]
        );
        assert_eq!(
            number(
                conn,
                "SELECT count(*) FROM sheet WHERE kind = 'mounting_sheet'"
            ),
            1
        );
        assert_eq!(number(conn, "SELECT count(*) FROM gauge_fault"), 1);
        // What is written now stands beside what was written then, in a chain of this copy.
        let engineer = logbook.sign_in("Roll-shop Engineer", "4711").unwrap();
        let line = r#"{"kind":"hold","thing":"WC-17","reason":"read again after years"}"#;
        log_as(&mut logbook, &engineer, line).unwrap();
        let more = number(logbook.connection(), "SELECT count(*) FROM event");
        assert!(more > events);
        assert!(logbook.rebuild(&mut |_, _| true).unwrap());
        drop(logbook);
        let report = verify(&path, None);
        assert!(report.holds(), "{:?}", report.findings);
    }
}

#[test]
fn a_draft_of_a_released_format_is_refused_by_name_and_left_alone() {
    let dir = tempfile::tempdir().unwrap();
    let path = made(dir.path(), "format-1.sql");
    let conn = rusqlite::Connection::open(&path).unwrap();
    conn.pragma_update(None, "user_version", 1_008).unwrap();
    drop(conn);
    let before = std::fs::read(&path).unwrap();
    let error = Logbook::open(&path, hands(&TestClock::new(), 3)).unwrap_err();
    assert!(
        matches!(error, StoreError::OtherFormat { found: 1_008, .. }),
        "{error:?}"
    );
    let words = error.to_string();
    assert!(
        words.contains("before the format was fixed (draft 8 of format 1)"),
        "{words}"
    );
    assert!(
        words.contains("Open it with the program that wrote it"),
        "{words}"
    );
    assert!(before == std::fs::read(&path).unwrap(), "it was changed");
}
