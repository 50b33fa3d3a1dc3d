//! Salvage: whatever is wrong with a file, what can be read of it goes into a new one, and the rest is told.
#![allow(clippy::unwrap_used)]

mod common;

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use common::{Shop, dump, findings, hands, log_as, number, strings, tamper, verify};
use proptest::prelude::*;
use rusqlite::Connection;
use store::backup::{Salvaged, salvage};
use store::draft::Source;
use store::{Logbook, StoreError};

fn salvaged(damaged: &Path, to: &Path) -> store::Result<Salvaged> {
    let before = std::fs::read(damaged).unwrap();
    let done = salvage(damaged, to, &mut |_, _| true).map(Option::unwrap);
    assert!(
        before == std::fs::read(damaged).unwrap(),
        "the damaged file was changed"
    );
    done
}

const EVENTS: &str = "SELECT hex(origin) || seq || ' ' || no || ' ' || hex(hash) || payload FROM event ORDER BY origin, seq";

fn events(path: &Path) -> Vec<String> {
    strings(&Connection::open(path).unwrap(), EVENTS)
}

/// A closed logbook with some work, a sheet that is not signed, and enough events for many pages.
fn worked() -> (tempfile::TempDir, PathBuf) {
    let mut shop = Shop::new();
    shop.work();
    for i in 0..150 {
        let kind = ["hold", "released"][i % 2];
        let long = if i == 75 {
            "x".repeat(9_000)
        } else {
            String::new()
        };
        shop.log(&format!(
            r#"{{"kind":"{kind}","thing":"WC-18","reason":"turn {i} {long}"}}"#
        ))
        .unwrap();
    }
    let person = Some(shop.engineer.no);
    let draft = shop.logbook.start_draft("teardown_sheet", person).unwrap();
    let fields = [("identify.chock", "WC-17", Source::Typed)];
    shop.logbook.keep_draft(draft, &fields, "").unwrap();
    let (dir, path, _) = shop.close();
    (dir, path)
}

fn shared() -> &'static (tempfile::TempDir, PathBuf, Vec<String>) {
    static MADE: OnceLock<(tempfile::TempDir, PathBuf, Vec<String>)> = OnceLock::new();
    MADE.get_or_init(|| {
        let (dir, path) = worked();
        let events = events(&path);
        (dir, path, events)
    })
}

#[test]
fn from_a_sound_file_all_comes_over_and_whoever_writes_goes_on_as_an_own_origin() {
    let (_dir, path, all) = shared();
    let dir = tempfile::tempdir().unwrap();
    let to = dir.path().join("new.chockbook");
    let done = salvaged(path, &to).unwrap();
    assert_eq!(done.events, 181);
    assert_eq!((done.unreadable_rows, done.drafts), (0, 1));
    assert_eq!(done.findings, []);
    assert_eq!(done.chains.len(), 1);
    let chain = &done.chains[0];
    assert_eq!(
        (chain.kept_to, chain.seen_to, chain.left_out),
        (181, 181, 0)
    );
    assert_eq!(chain.why, None);
    assert_eq!(&events(&to), all);
    let (old, new) = (
        Connection::open(path).unwrap(),
        Connection::open(&to).unwrap(),
    );
    assert_eq!(dump(&old), dump(&new));
    assert_eq!(number(&new, "SELECT count(*) FROM draft_field"), 1);
    drop((old, new));
    assert!(matches!(
        salvaged(path, &to),
        Err(StoreError::Exists { .. })
    ));

    let clock = common::TestClock::new();
    clock.forward_ms(40 * store::time::DAY_MS);
    let mut logbook = Logbook::open(&to, hands(&clock, 100)).unwrap();
    let old = logbook.current_origin().unwrap();
    let engineer = logbook.sign_in("Engineer", common::PIN).unwrap();
    let line = r#"{"kind":"hold","thing":"WC-42","reason":"x"}"#;
    log_as(&mut logbook, &engineer, line).unwrap();
    assert_ne!(logbook.current_origin().unwrap(), old);
    drop(logbook);
    let report = verify(&to, None);
    assert!(report.holds(), "{}", findings(&report));
    assert_eq!(report.events, 183);
}

#[test]
fn unfinished_work_beside_the_file_is_read_and_left_as_it_is() {
    let mut shop = Shop::new();
    shop.work();
    let dir = tempfile::tempdir().unwrap();
    let copy = dir.path().join("plant.chockbook");
    let beside = |path: &Path, end: &str| PathBuf::from(format!("{}{end}", path.display()));
    std::fs::copy(&shop.path, &copy).unwrap();
    std::fs::copy(beside(&shop.path, "-wal"), beside(&copy, "-wal")).unwrap();
    let log = std::fs::read(beside(&copy, "-wal")).unwrap();
    assert!(log.len() > 10_000, "the work is in the log only");
    let done = salvaged(&copy, &dir.path().join("new.chockbook")).unwrap();
    assert_eq!(done.events, 31);
    assert!(log == std::fs::read(beside(&copy, "-wal")).unwrap());
    assert!(!beside(&copy, "-shm").exists());
}

#[test]
fn what_stands_in_the_log_behind_a_lost_page_is_seen() {
    let mut shop = Shop::new();
    shop.work();
    shop.logbook
        .connection()
        .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
        .unwrap();
    shop.log(r#"{"kind":"hold","thing":"WC-17","reason":"x"}"#)
        .unwrap();
    let mut file = std::fs::read(&shop.path).unwrap();
    let log = std::fs::read(format!("{}-wal", shop.path.display())).unwrap();
    // The leaf of the table of events that has this payload: neither the first one nor the last.
    let payload = b"\"code\":\"BG-03\"";
    let is_lost = |page: &&mut [u8]| page[0] == 0x0d && page.windows(14).any(|w| w == payload);
    let lost = file.chunks_mut(4096).find(is_lost).unwrap();
    lost.fill(0);
    let dir = tempfile::tempdir().unwrap();
    let damaged = dir.path().join("damaged.chockbook");
    std::fs::write(&damaged, &file).unwrap();
    std::fs::write(dir.path().join("damaged.chockbook-wal"), log).unwrap();
    let done = salvaged(&damaged, &dir.path().join("new.chockbook")).unwrap();
    let chain = &done.chains[0];
    assert!((2..22).contains(&chain.kept_to), "{chain:?}");
    assert_eq!(chain.seen_to, 32, "the newest is in the log only");
}

#[test]
fn without_its_first_page_a_file_gives_every_event_all_the_same() {
    let (_dir, path, all) = shared();
    let dir = tempfile::tempdir().unwrap();
    let damaged = dir.path().join("damaged.chockbook");
    let to = dir.path().join("new.chockbook");
    let mut bytes = std::fs::read(path).unwrap();
    bytes[..4096].fill(0xa5);
    std::fs::write(&damaged, &bytes).unwrap();
    let done = salvaged(&damaged, &to).unwrap();
    assert_eq!(done.events, 181);
    assert_eq!(done.findings, []);
    assert_eq!(&events(&to), all);
}

#[test]
fn a_chain_stops_where_it_is_torn_and_what_came_after_is_counted() {
    let (_dir, path, all) = shared();
    let dir = tempfile::tempdir().unwrap();
    let damaged = dir.path().join("damaged.chockbook");
    std::fs::copy(path, &damaged).unwrap();
    tamper(
        &damaged,
        "UPDATE event SET payload = payload || ' ' WHERE seq = 100",
    );
    let to = dir.path().join("new.chockbook");
    let done = salvaged(&damaged, &to).unwrap();
    let chain = &done.chains[0];
    assert_eq!((chain.kept_to, chain.seen_to), (99, 181));
    assert_eq!(chain.left_out, 81);
    assert_eq!(chain.why.as_deref(), Some("event 100 cannot be read"));
    assert_eq!(done.unreadable_rows, 1);
    assert_eq!(events(&to), all[..99]);
    assert_eq!(done.findings, []);
}

#[test]
fn a_lost_sheet_takes_no_event_with_it() {
    let (_dir, path, all) = shared();
    let dir = tempfile::tempdir().unwrap();
    let damaged = dir.path().join("damaged.chockbook");
    std::fs::copy(path, &damaged).unwrap();
    tamper(&damaged, "DELETE FROM draft");
    let to = dir.path().join("new.chockbook");
    let done = salvaged(&damaged, &to).unwrap();
    assert_eq!((done.events, done.drafts), (181, 0));
    assert_eq!(&events(&to), all);
    assert!(verify(&to, None).holds());
}

#[test]
fn of_several_origins_each_gives_its_prefix_and_what_names_a_lost_event_stops_there() {
    let (_dir, path, _) = shared();
    let dir = tempfile::tempdir().unwrap();
    let copy = dir.path().join("copy.chockbook");
    std::fs::copy(path, &copy).unwrap();
    let clock = common::TestClock::new();
    clock.forward_ms(40 * store::time::DAY_MS);
    let mut logbook = Logbook::open(&copy, hands(&clock, 100)).unwrap();
    let engineer = logbook.sign_in("Engineer", common::PIN).unwrap();
    for thing in ["WC-17", "WC-41", "WC-42"] {
        let line = format!(r#"{{"kind":"hold","thing":"{thing}","reason":"x"}}"#);
        log_as(&mut logbook, &engineer, &line).unwrap();
    }
    drop(logbook);
    // WC-41 was registered by event 17 of the first origin, WC-17 by 15.
    tamper(
        &copy,
        "UPDATE event SET payload = payload || ' ' WHERE seq = 17 AND no = 17",
    );
    let to = dir.path().join("new.chockbook");
    let done = salvaged(&copy, &to).unwrap();
    let told: Vec<_> = done
        .chains
        .iter()
        .map(|chain| (chain.kept_to, chain.seen_to, chain.left_out))
        .collect();
    assert_eq!(told, [(16, 181, 164), (2, 4, 2)]);
    let why = done.chains[1].why.as_deref().unwrap();
    assert!(why.contains("event 3 names what is lost"), "{why}");
    assert!(
        findings(&verify(&to, None)).contains("the older chain was cut"),
        "the new file does not hide that something is missing"
    );
    assert_eq!(done.findings, verify(&to, None).findings);
}

#[test]
fn where_nothing_can_be_read_that_is_said_and_no_file_is_made() {
    let dir = tempfile::tempdir().unwrap();
    let damaged = dir.path().join("damaged.chockbook");
    let to = dir.path().join("new.chockbook");
    for bytes in [
        b"".as_slice(),
        b"x",
        &[0; 14_000],
        &[0x0d; 14_000],
        &[0xff; 8192],
    ] {
        std::fs::write(&damaged, bytes).unwrap();
        let said = salvaged(&damaged, &to).unwrap_err();
        assert!(matches!(said, StoreError::Damaged { .. }), "{said}");
        assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 1);
    }
    std::fs::remove_file(&damaged).unwrap();
    assert!(matches!(
        salvage(&damaged, &to, &mut |_, _| true),
        Err(StoreError::NotFound { .. })
    ));
    let (_dir, path, _) = shared();
    for stop_at in 0..4 {
        let mut asked = 0;
        let done = salvage(path, &to, &mut |_, _| {
            asked += 1;
            asked <= stop_at
        });
        assert_eq!(done.unwrap(), None);
        assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 0);
    }
}

/// What happens to a file: so many bytes are other ones, one page is lost, the end is gone.
#[derive(Debug, Clone)]
enum Damage {
    Bytes(Vec<(prop::sample::Index, u8)>),
    Pages(Vec<(prop::sample::Index, u8)>),
    Swap(prop::sample::Index, prop::sample::Index),
    Cut(prop::sample::Index),
}

fn damage() -> impl Strategy<Value = Damage> {
    let at = any::<prop::sample::Index>;
    prop_oneof![
        proptest::collection::vec((at(), any::<u8>()), 1..200).prop_map(Damage::Bytes),
        proptest::collection::vec((at(), any::<u8>()), 1..6).prop_map(Damage::Pages),
        (at(), at()).prop_map(|(a, b)| Damage::Swap(a, b)),
        at().prop_map(Damage::Cut),
    ]
}

fn spoil(bytes: &mut Vec<u8>, damage: &Damage) {
    const PAGE: usize = 4096;
    let pages = bytes.len() / PAGE;
    match damage {
        _ if pages == 0 => {}
        Damage::Bytes(spots) => {
            for (at, byte) in spots {
                let at = at.index(bytes.len());
                bytes[at] = *byte;
            }
        }
        Damage::Pages(spots) => {
            for (at, byte) in spots {
                let at = at.index(pages) * PAGE;
                bytes[at..at + PAGE].fill(*byte);
            }
        }
        Damage::Swap(a, b) => {
            let (a, b) = (a.index(pages) * PAGE, b.index(pages) * PAGE);
            let one = bytes[a..a + PAGE].to_vec();
            bytes.copy_within(b..b + PAGE, a);
            bytes[b..b + PAGE].copy_from_slice(&one);
        }
        Damage::Cut(at) => bytes.truncate(at.index(bytes.len())),
    }
}

/// `origin`, `seq` and the hash of an event with its payload, without the number in the file.
fn without_number(line: &str) -> String {
    let mut parts = line.splitn(3, ' ');
    let id = parts.next().unwrap();
    format!("{id} {}", parts.nth(1).unwrap())
}

/// A file that was not closed: most of its work stands in the log beside it.
fn unfinished() -> &'static (Vec<u8>, Vec<u8>, Vec<String>) {
    static MADE: OnceLock<(Vec<u8>, Vec<u8>, Vec<String>)> = OnceLock::new();
    MADE.get_or_init(|| {
        let mut shop = Shop::new();
        shop.logbook
            .connection()
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))
            .unwrap();
        shop.work();
        let file = std::fs::read(&shop.path).unwrap();
        let log = std::fs::read(format!("{}-wal", shop.path.display())).unwrap();
        (file, log, strings(shop.logbook.connection(), EVENTS))
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn whatever_happens_to_the_log_beside_a_file_what_was_merged_into_it_is_saved(
        in_file in proptest::option::weighted(0.3, damage()),
        in_log in damage(),
    ) {
        let (file, log, before) = unfinished();
        let (mut file, mut log) = (file.clone(), log.clone());
        spoil(&mut log, &in_log);
        if let Some(damage) = &in_file {
            spoil(&mut file, damage);
        }
        let dir = tempfile::tempdir().unwrap();
        let damaged = dir.path().join("damaged.chockbook");
        let to = dir.path().join("new.chockbook");
        std::fs::write(&damaged, &file).unwrap();
        std::fs::write(dir.path().join("damaged.chockbook-wal"), &log).unwrap();
        match salvaged(&damaged, &to) {
            Ok(done) => {
                prop_assert!(in_file.is_some() || done.events >= 22, "the register was in the file: {done:?}");
                let kept = events(&to);
                prop_assert_eq!(&kept[..], &before[..kept.len()]);
                prop_assert!(verify(&to, None).holds());
            }
            Err(e) => {
                prop_assert!(in_file.is_some(), "{}", e);
                prop_assert!(matches!(e, StoreError::Damaged { .. }), "{}", e);
            }
        }
        prop_assert!(std::fs::read(dir.path().join("damaged.chockbook-wal")).unwrap() == log);
    }

    #[test]
    fn bytes_of_any_sort_are_no_logbook_and_no_panic(
        bytes in proptest::collection::vec(any::<u8>(), 0..3000),
        page in 0_usize..600,
    ) {
        // Every page a leaf with cells anywhere: the reader of bare pages is led astray on purpose.
        let mut file = vec![0; 512 * 4];
        for (i, byte) in file.iter_mut().enumerate() {
            *byte = bytes.get(i % bytes.len().max(1)).copied().unwrap_or_default();
        }
        file[16..18].copy_from_slice(&[2, 0]);
        for start in (0..file.len()).step_by(512) {
            file[start] = 0x0d;
        }
        file.truncate(file.len() - page);
        let dir = tempfile::tempdir().unwrap();
        let damaged = dir.path().join("damaged.chockbook");
        std::fs::write(&damaged, &file).unwrap();
        let said = salvaged(&damaged, &dir.path().join("new.chockbook")).unwrap_err();
        prop_assert!(matches!(said, StoreError::Damaged { .. }), "{}", said);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 80, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn whatever_happens_to_a_file_what_comes_out_is_a_true_prefix(all in proptest::collection::vec(damage(), 1..4)) {
        let (_dir, path, events_before) = shared();
        let mut bytes = std::fs::read(path).unwrap();
        for damage in &all {
            spoil(&mut bytes, damage);
        }
        let dir = tempfile::tempdir().unwrap();
        let damaged = dir.path().join("damaged.chockbook");
        let to = dir.path().join("new.chockbook");
        std::fs::write(&damaged, &bytes).unwrap();
        match salvaged(&damaged, &to) {
            Ok(done) => {
                prop_assert_eq!(&done.findings, &[]);
                prop_assert_eq!(done.chains.len(), 1);
                let kept: Vec<String> = events(&to).iter().map(|line| without_number(line)).collect();
                prop_assert_eq!(kept.len() as i64, done.events);
                let before: Vec<String> = events_before.iter().map(|line| without_number(line)).collect();
                prop_assert_eq!(&kept[..], &before[..kept.len()]);
                let report = verify(&to, None);
                prop_assert!(report.holds(), "{}", findings(&report));
                let told = &done.chains[0];
                prop_assert!(told.kept_to == told.seen_to || told.why.is_some());
            }
            Err(e) => {
                prop_assert!(matches!(e, StoreError::Damaged { .. }), "{}", e);
                prop_assert!(!to.exists());
            }
        }
        prop_assert!(!dir.path().join("new.chockbook-part").exists());
    }
}
