//! The file under an open logbook: written over in place, touched, on a network drive, and the writer who goes away.
#![allow(clippy::unwrap_used)]

mod common;

use std::path::{Path, PathBuf};

use common::{Shop, hands, log_as, number, verify};
use store::backup::back_up;
use store::{Access, Hands, Logbook, StoreError};

const HOLD: &str = r#"{"kind":"hold","thing":"WC-17","reason":"x"}"#;

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// A backup of the shop, as somebody would copy it over the open file.
fn backup_of(shop: &Shop) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let made = back_up(
        &shop.path,
        folder.path(),
        shop.logbook.now(),
        &mut |_, _| true,
    );
    let path = made.unwrap().unwrap().path;
    (folder, path)
}

/// Writes over a file in place, as `cat` and `cp` do.
fn write_over(path: &Path, bytes: &[u8]) {
    std::fs::write(path, bytes).unwrap();
}

#[test]
fn a_file_written_over_in_place_is_left_alone_and_what_was_signed_last_is_kept() {
    for meanwhile in ["a write", "a look", "closing"] {
        let mut shop = Shop::new();
        shop.work();
        let (_folder, backup) = backup_of(&shop);
        written_back(&mut shop);
        shop.log(HOLD).unwrap();
        let signed = shop.logbook.anchor().unwrap().unwrap();
        let other = std::fs::read(&backup).unwrap();
        write_over(&shop.path, &other);
        let told = match meanwhile {
            "a write" => Some(shop.log(HOLD).map(drop).unwrap_err()),
            "a look" => Some(shop.logbook.look().map(drop).unwrap_err()),
            _ => None,
        };
        if let Some(told) = &told {
            assert!(
                matches!(told, StoreError::Overwritten { kept: Some(_), .. }),
                "{told}"
            );
            assert!(told.to_string().contains("restore a backup"), "{told}");
            assert!(shop.log(HOLD).is_err(), "nothing is written from then on");
            assert!(shop.logbook.look().unwrap().read_only.is_some());
        }
        let (dir, path, _) = shop.close();
        assert!(
            std::fs::read(&path).unwrap() == other,
            "{meanwhile}: something was mixed in"
        );
        let left = names(dir.path());
        assert!(
            left.iter()
                .all(|name| !name.ends_with("-wal") && !name.ends_with("-shm")),
            "{left:?}"
        );
        // The log holds the event: whoever needs it finds the reason's words and its seq in plain text.
        let log = left.iter().find(|name| name.contains("-log-of-")).unwrap();
        let log = std::fs::read(dir.path().join(log)).unwrap();
        let words = br#""reason":"x""#;
        assert!(
            log.windows(words.len()).any(|w| w == words),
            "{meanwhile}: {signed} is not in {left:?}, {} bytes",
            log.len()
        );
        assert!(verify(&path, None).holds());
        let opened = Logbook::open(&path, hands(&common::TestClock::new(), 90)).unwrap();
        assert_eq!(opened.access(), &Access::Write);
    }
}

/// Closes and opens the logbook, so that all of it stands in the file.
fn written_back(shop: &mut Shop) {
    let elsewhere = shop.dir.path().join("elsewhere.chockbook");
    let spare = Logbook::create(&elsewhere, hands(&shop.clock, 30), "spare").unwrap();
    drop(std::mem::replace(&mut shop.logbook, spare));
    let own = Logbook::open(&shop.path, hands(&shop.clock, 40)).unwrap();
    drop(std::mem::replace(&mut shop.logbook, own));
    shop.engineer = shop.logbook.sign_in("Engineer", common::PIN).unwrap();
}

#[test]
fn where_the_log_holds_the_whole_record_writing_over_the_file_costs_nothing() {
    let mut shop = Shop::new();
    shop.work();
    let (_folder, backup) = backup_of(&shop);
    // Nothing was written back yet.
    shop.log(HOLD).unwrap();
    write_over(&shop.path, &std::fs::read(&backup).unwrap());
    shop.log(r#"{"kind":"hold","thing":"WC-18","reason":"y"}"#)
        .unwrap();
    let (_dir, path, _) = shop.close();
    assert!(verify(&path, None).holds());
    let conn = rusqlite::Connection::open(&path).unwrap();
    assert_eq!(number(&conn, "SELECT count(*) FROM event"), 33);
}

#[test]
fn a_file_that_was_only_touched_goes_on() {
    let mut shop = Shop::new();
    shop.work();
    shop.log(HOLD).unwrap();
    for _ in 0..2 {
        let file = std::fs::OpenOptions::new()
            .append(true)
            .open(&shop.path)
            .unwrap();
        let past = std::time::SystemTime::UNIX_EPOCH + std::time::Duration::from_secs(1_000_000);
        file.set_modified(past).unwrap();
        drop(file);
        shop.log(r#"{"kind":"hold","thing":"WC-18","reason":"y"}"#)
            .unwrap();
        // Another tool writes the log back.
        let tool = rusqlite::Connection::open(&shop.path).unwrap();
        tool.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
            .unwrap();
        shop.log(HOLD).unwrap();
    }
    let (_dir, path, _) = shop.close();
    assert!(verify(&path, None).holds());
    let conn = rusqlite::Connection::open(&path).unwrap();
    assert_eq!(number(&conn, "SELECT count(*) FROM event"), 36);
}

#[test]
fn the_log_is_written_back_once_it_is_long() {
    let mut shop = Shop::new();
    let log = format!("{}-wal", shop.path.display());
    let long = format!(
        r#"{{"kind":"hold","thing":"WC-17","reason":"{}"}}"#,
        "x".repeat(40_000)
    );
    let mut longest = 0;
    for _ in 0..200 {
        shop.log(&long).unwrap();
        longest = longest.max(std::fs::metadata(&log).unwrap().len());
    }
    assert!(longest < 6_000_000, "{longest}");
    assert!(std::fs::metadata(&shop.path).unwrap().len() > 4_000_000);
}

#[test]
fn on_a_network_drive_nothing_is_written_and_the_way_on_is_told() {
    let mut shop = Shop::new();
    shop.work();
    let (dir, path, clock) = shop.close();
    let kinds: [fn(&Path) -> Option<String>; 3] = [
        |_| Some("nfs4".into()),
        |_| Some("cifs".into()),
        |_| Some("9p".into()),
    ];
    for drive in kinds {
        let on = || Hands {
            drive,
            ..hands(&clock, 40)
        };
        let before = names(dir.path());
        let mut logbook = Logbook::open(&path, on()).unwrap();
        let Access::Read { why } = logbook.access().clone() else {
            panic!("it may be written")
        };
        let kind = drive(&path).unwrap();
        assert!(why.contains(&format!("network drive ({kind})")), "{why}");
        assert!(
            why.contains("copy it to a disk") && why.contains("merging"),
            "{why}"
        );
        assert_eq!(
            number(logbook.connection(), "SELECT count(*) FROM event"),
            31
        );
        assert!(logbook.set_setting("show.unit", "inch").is_err());
        assert!(
            !logbook.look().unwrap().is_free,
            "no writer going away changes it"
        );
        drop(logbook);
        assert_eq!(names(dir.path()), before, "nothing is left beside it");
        let new = dir.path().join("new.chockbook");
        let refused = Logbook::create(&new, on(), "Tarnhollow")
            .unwrap_err()
            .to_string();
        assert!(refused.contains("on a disk of this computer"), "{refused}");
        assert!(!new.exists());
    }
}

#[test]
fn a_reader_sees_what_the_writer_writes_and_when_he_has_gone() {
    let mut shop = Shop::new();
    shop.work();
    let mut reader = Logbook::open(&shop.path, hands(&shop.clock, 60)).unwrap();
    let first = reader.look().unwrap();
    assert!(!first.is_free && first.read_only.is_some());
    assert_eq!(reader.look().unwrap(), first, "nothing happened");
    shop.log(HOLD).unwrap();
    let second = reader.look().unwrap();
    assert_ne!(second.version, first.version);
    assert_eq!(number(reader.connection(), "SELECT count(*) FROM hold"), 1);
    let engineer = shop.engineer.clone();
    let (_dir, path, clock) = shop.close();
    assert!(reader.look().unwrap().is_free);
    drop(reader);
    let mut next = Logbook::open(&path, hands(&clock, 70)).unwrap();
    log_as(&mut next, &engineer, HOLD).unwrap();
    // One's own writing is no news.
    let seen = next.look().unwrap();
    log_as(
        &mut next,
        &engineer,
        r#"{"kind":"hold","thing":"WC-18","reason":"x"}"#,
    )
    .unwrap();
    assert_eq!(next.look().unwrap(), seen);
    assert_eq!(seen.read_only, None);
}
