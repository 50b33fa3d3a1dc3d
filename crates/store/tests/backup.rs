//! Backups: made beside a writer, verified, thinned out, restored, and compared with by `verify`.
#![allow(clippy::unwrap_used)]

mod common;

use std::path::{Path, PathBuf};

use common::{PIN, Shop, findings, hands, log_as, number, tamper, verify};
use rusqlite::Connection;
use store::backup::{Backup, Relation, back_up, last_good, list, prune, restore};
use store::time::{DAY_MS, HOUR_MS};
use store::{Logbook, Stamp, StoreError};

/// A shop and a folder for its backups.
fn shop() -> (Shop, tempfile::TempDir) {
    let mut shop = Shop::new();
    let folder = tempfile::tempdir().unwrap();
    shop.logbook.set_backup_folder(Some(folder.path())).unwrap();
    (shop, folder)
}

fn made(path: &Path, folder: &Path, now: Stamp) -> Backup {
    back_up(path, folder, now, &mut |_, _| true)
        .unwrap()
        .unwrap()
}

fn back_up_shop(shop: &Shop, folder: &Path) -> Backup {
    made(&shop.path, folder, shop.logbook.now())
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

fn hold(thing: &str, reason: &str) -> String {
    format!(r#"{{"kind":"hold","thing":"{thing}","reason":"{reason}"}}"#)
}

fn restored(backup: &Path, to: &Path) -> store::Result<store::backup::Restored> {
    restore(backup, to, None, &mut |_, _| true).map(Option::unwrap)
}

#[test]
fn a_backup_beside_the_writer_holds_one_state_and_goes_by_its_time() {
    let (mut shop, folder) = shop();
    shop.work();
    // Half a job in another connection: not signed, so not in the backup.
    let half = Connection::open(&shop.path).unwrap();
    half.execute_batch("BEGIN IMMEDIATE; INSERT INTO setting VALUES ('half', 'done')")
        .unwrap();
    let mut told = Vec::new();
    let backup = back_up(
        &shop.path,
        folder.path(),
        shop.logbook.now(),
        &mut |done, total| {
            told.push((done, total));
            true
        },
    );
    let backup = backup.unwrap().unwrap();
    half.execute_batch("COMMIT").unwrap();
    assert_eq!(told.first(), Some(&(0, 1000)));
    assert_eq!(told.last(), Some(&(1000, 1000)));
    assert!(told.is_sorted(), "{told:?}");

    assert_eq!(names(folder.path()), ["plant-20260125T060000Z.chockbook"]);
    assert_eq!(backup.events, 31);
    assert_eq!(backup.relation, Relation::Prefix { behind: 0 });
    assert_eq!(backup.bytes, std::fs::metadata(&backup.path).unwrap().len());
    let head = backup.head().unwrap();
    assert_eq!(head.id.origin, shop.logbook.current_origin().unwrap());
    assert_eq!(
        store::event::anchor(head.id, &head.hash),
        shop.logbook.anchor().unwrap().unwrap()
    );
    let inside = Connection::open(&backup.path).unwrap();
    assert_eq!(common::dump(&inside), shop.dump());
    let settings = common::strings(&inside, "SELECT name FROM setting ORDER BY name");
    assert_eq!(
        settings,
        [
            "backed_up",
            "backup_folder",
            "backup_home",
            "min_reader",
            "origin"
        ]
    );
    drop(inside);

    // A second one in the same second takes the next.
    shop.log(&hold("WC-17", "x")).unwrap();
    let second = back_up_shop(&shop, folder.path());
    assert!(second.path > backup.path);
    let all = list(&shop.path, folder.path()).unwrap();
    assert_eq!(
        all.iter().map(|b| &b.relation).collect::<Vec<_>>(),
        [
            &Relation::Prefix { behind: 1 },
            &Relation::Prefix { behind: 0 }
        ]
    );
    assert_eq!(all[1], second);
    assert_eq!(
        last_good(&shop.path, folder.path()).unwrap(),
        Some(second.clone())
    );
    assert!(verify(&second.path, None).holds());
    assert!(
        verify(&backup.path, None).holds(),
        "an older backup lacks nothing that it should have"
    );
}

#[test]
fn a_closed_logbook_is_backed_up_and_left_as_it_was() {
    let (mut shop, folder) = shop();
    shop.work();
    let now = shop.logbook.now();
    let (dir, path, clock) = shop.close();
    let before = std::fs::read(&path).unwrap();
    made(&path, folder.path(), now);
    assert!(before == std::fs::read(&path).unwrap());
    assert_eq!(
        names(dir.path()),
        ["plant.chockbook", "plant.chockbook-lock"]
    );
    Logbook::open(&path, hands(&clock, 9)).unwrap();
}

#[test]
fn a_logbook_that_is_opened_and_written_during_its_backup_gives_one_state_all_the_same() {
    let (mut shop, folder) = shop();
    shop.work();
    let now = shop.logbook.now();
    let engineer = shop.engineer.clone();
    let (_dir, path, clock) = shop.close();
    let mut writer = None;
    let backup = back_up(&path, folder.path(), now, &mut |_, _| {
        if writer.is_none() {
            let mut logbook = Logbook::open(&path, hands(&clock, 9)).unwrap();
            log_as(&mut logbook, &engineer, &hold("WC-17", "x")).unwrap();
            writer = Some(logbook);
        }
        true
    });
    let backup = backup.unwrap().unwrap();
    assert_eq!(
        backup.events, 32,
        "the copy was made again beside the writer"
    );
    assert!(verify(&backup.path, None).holds());
}

#[test]
fn the_wall_clock_of_a_backup_is_that_of_its_shop() {
    let (shop, folder) = shop();
    let now = Stamp::parse("2026-10-30T23:59", -330).unwrap();
    let backup = made(&shop.path, folder.path(), now);
    assert_eq!(names(folder.path()), ["plant-20261031T052900Z.chockbook"]);
    assert_eq!(backup.at.date_time(), "2026-10-30 23:59");
    let listed = list(&shop.path, folder.path()).unwrap();
    assert_eq!(listed[0].at.date_time(), "2026-10-30 23:59");
}

#[test]
fn a_backup_that_is_stopped_leaves_nothing_wherever_it_is_stopped() {
    let (mut shop, folder) = shop();
    shop.work();
    let now = shop.logbook.now();
    for stop_at in 0.. {
        let mut asked = 0;
        let done = back_up(&shop.path, folder.path(), now, &mut |_, _| {
            asked += 1;
            asked <= stop_at
        });
        if done.unwrap().is_some() {
            assert!(stop_at >= 3, "it asked {stop_at} times only");
            break;
        }
        assert_eq!(
            names(folder.path()),
            Vec::<String>::new(),
            "stopped at {stop_at}"
        );
    }
}

#[test]
fn a_long_copy_is_stopped_while_it_is_written() {
    let (shop, folder) = shop();
    let sql = "WITH RECURSIVE n (i) AS (VALUES (1) UNION ALL SELECT i + 1 FROM n WHERE i < 200)
        INSERT INTO setting SELECT 'pad ' || i, hex(randomblob(200000)) FROM n";
    shop.logbook.connection().execute_batch(sql).unwrap();
    let mut told = Vec::new();
    let done = back_up(
        &shop.path,
        folder.path(),
        shop.logbook.now(),
        &mut |done, _| {
            told.push(done);
            told.len() < 2
        },
    );
    assert_eq!(done.unwrap(), None);
    assert_eq!(
        told.len(),
        2,
        "it asks no more once it is told to stop: {told:?}"
    );
    assert_eq!(names(folder.path()), Vec::<String>::new());
}

#[test]
fn the_folder_is_a_setting_of_this_copy() {
    let (mut shop, folder) = shop();
    let events = number(shop.logbook.connection(), "SELECT count(*) FROM event");
    assert_eq!(
        shop.logbook.backup_folder().unwrap().as_deref(),
        Some(folder.path())
    );
    shop.logbook.set_backup_folder(None).unwrap();
    assert_eq!(shop.logbook.backup_folder().unwrap(), None);
    assert_eq!(
        number(shop.logbook.connection(), "SELECT count(*) FROM event"),
        events
    );
    // A folder that is not there is not made: it may be a drive that is not plugged in.
    let gone = folder.path().join("usb");
    let said = back_up(&shop.path, &gone, shop.logbook.now(), &mut |_, _| true).unwrap_err();
    assert!(said.to_string().contains("plug the drive in"), "{said}");
    assert!(!gone.exists());
    assert!(list(&shop.path, &gone).is_err());
}

#[test]
fn a_backup_that_does_not_hold_says_so_in_its_name_and_never_counts() {
    let (mut shop, folder) = shop();
    shop.work();
    let good = back_up_shop(&shop, folder.path());
    shop.clock.forward_ms(2 * HOUR_MS);
    shop.log(&hold("WC-17", "x")).unwrap();
    let now = shop.logbook.now();
    let (_dir, path, _) = shop.close();
    tamper(
        &path,
        "UPDATE event SET payload = payload || ' ' WHERE seq = 7",
    );
    let said = back_up(&path, folder.path(), now, &mut |_, _| true).unwrap_err();
    assert!(matches!(said, StoreError::BadBackup { .. }), "{said}");
    assert!(said.to_string().contains("not what was signed"), "{said}");
    assert_eq!(
        names(folder.path()),
        [
            "plant-20260125T060000Z.chockbook",
            "plant-20260125T080000Z-does-not-hold.chockbook"
        ]
    );
    let last = last_good(&path, folder.path()).unwrap().unwrap();
    assert_eq!(last.path, good.path);
}

#[test]
fn a_restored_backup_goes_on_as_an_origin_of_its_own_also_at_the_old_path() {
    let (mut shop, folder) = shop();
    shop.work();
    let backup = back_up_shop(&shop, folder.path());
    let old = shop.logbook.current_origin().unwrap();
    let dump = shop.dump();
    let engineer = shop.engineer.clone();
    let (_dir, path, clock) = shop.close();
    let elsewhere = folder.path().join("elsewhere.chockbook");
    for (i, to) in [&elsewhere, &path].into_iter().enumerate() {
        let _gone = std::fs::remove_file(to);
        let done = restored(&backup.path, to).unwrap();
        assert_eq!((done.events, done.missing.as_ref()), (31, None));
        assert_eq!(done.ends, backup.ends);
        let start = 100 + 50 * i as u8;
        let mut logbook = Logbook::open(to, hands(&clock, start)).unwrap();
        assert_eq!(common::dump(logbook.connection()), dump);
        log_as(&mut logbook, &engineer, &hold("WC-18", "x")).unwrap();
        let fresh = logbook.current_origin().unwrap();
        assert_ne!(fresh, old, "{}", to.display());
        let sql = "SELECT payload ->> '$.previous.seq' || ' ' || (payload ->> '$.previous.head') FROM event
            WHERE kind = 'logbook_started' ORDER BY no DESC LIMIT 1";
        let named = format!("31 {}", hex(&backup.head().unwrap().hash));
        assert_eq!(common::strings(logbook.connection(), sql), [named]);
        drop(logbook);
        let report = verify(to, None);
        assert!(report.holds(), "{}", findings(&report));
        assert_eq!(report.heads.len(), 2);
    }
}

fn hex(bytes: &[u8]) -> String {
    store::id::hex(bytes)
}

#[test]
fn a_restore_writes_over_nothing_and_tells_what_it_has_not() {
    let (mut shop, folder) = shop();
    shop.work();
    let backup = back_up_shop(&shop, folder.path());
    for reason in ["x", "y", "z"] {
        shop.log(&hold("WC-17", reason)).unwrap();
    }
    let (dir, path, _) = shop.close();
    assert!(matches!(
        restored(&backup.path, &path),
        Err(StoreError::Exists { .. })
    ));
    // Unfinished work of a file that is gone would be mixed into the restored one.
    let to = dir.path().join("new.chockbook");
    let left = dir.path().join("new.chockbook-wal");
    std::fs::write(&left, "x").unwrap();
    assert!(
        matches!(restored(&backup.path, &to), Err(StoreError::Exists { path }) if path == left)
    );
    std::fs::remove_file(&left).unwrap();

    let run = |current: &Path| {
        let done = restore(&backup.path, &to, Some(current), &mut |_, _| true);
        std::fs::remove_file(&to).unwrap();
        done.unwrap().unwrap()
    };
    let done = run(&path);
    assert_eq!(done.missing_count(), Some(3));
    assert_eq!(done.missing.as_ref().unwrap()[0].from.seq, 32);
    assert_eq!(run(&backup.path).missing_count(), Some(0));
    // The damaged file is counted as far as it can be read, and stays as it is.
    let mut bytes = std::fs::read(&path).unwrap();
    bytes[..100].fill(0);
    std::fs::write(&path, &bytes).unwrap();
    assert_eq!(run(&path).missing_count(), Some(3));
    std::fs::write(&path, "nothing is left of it").unwrap();
    assert_eq!(run(&path).missing_count(), None);
    assert_eq!(
        std::fs::read(&path).unwrap(),
        b"nothing is left of it".as_slice()
    );

    // Stopped anywhere, it leaves nothing.
    for stop_at in 0.. {
        let mut asked = 0;
        let done = restore(&backup.path, &to, Some(&path), &mut |_, _| {
            asked += 1;
            asked <= stop_at
        });
        if done.unwrap().is_some() {
            break;
        }
        assert!(!names(dir.path()).iter().any(|n| n.starts_with("new")));
    }
    std::fs::remove_file(&to).unwrap();
    // A backup that went bad on its disk is refused, and no file is made.
    tamper(
        &backup.path,
        "UPDATE event SET payload = payload || ' ' WHERE seq = 7",
    );
    assert!(matches!(
        restored(&backup.path, &to),
        Err(StoreError::Damaged { .. })
    ));
    assert!(!names(dir.path()).iter().any(|n| n.starts_with("new")));
}

#[test]
fn a_backup_by_an_older_program_is_restored_with_the_state_derived_anew() {
    let (mut shop, folder) = shop();
    shop.work();
    let backup = back_up_shop(&shop, folder.path());
    Connection::open(&backup.path)
        .unwrap()
        .execute_batch("UPDATE state SET value = 1; DELETE FROM run")
        .unwrap();
    let to = folder.path().join("new.chockbook");
    restored(&backup.path, &to).unwrap();
    assert!(verify(&to, None).holds());
}

#[test]
fn thinning_out_touches_only_what_this_logbook_proves_to_be_its_own() {
    let (mut shop, folder) = shop();
    let start = shop.logbook.now();
    for day in 0..20 {
        for hour in [0, 5] {
            made(
                &shop.path,
                folder.path(),
                start.plus_ms(day * DAY_MS + hour * HOUR_MS),
            );
        }
    }
    let now = start.plus_ms(20 * DAY_MS);
    let at = |day: i64| start.plus_ms(day * DAY_MS + HOUR_MS);
    let put = |name: &str, bytes: &[u8]| std::fs::write(folder.path().join(name), bytes).unwrap();
    // Not this logbook's, or not proven to be: another plant of the same name, no database, notes, a fresh part.
    let mut other = shop_of_another_plant();
    other.work();
    let foreign = made(&other.path, folder.path(), at(1));
    put("plant-20260126T070001Z.chockbook", b"no database");
    put("notes.txt", b"kept");
    put("plant-20260212T070000Z.chockbook-part", b"");
    put("plant-20260212T070000Z.chockbook-part-journal", b"");
    put("plant-20260214T060000Z.chockbook-part", b"being written");
    // One that has more than this logbook: written by it, before its end was cut off.
    shop.log(&hold("WC-17", "x")).unwrap();
    let ahead = made(&shop.path, folder.path(), at(2));
    let (_dir, path, _) = shop.close();
    tamper(
        &path,
        "DELETE FROM thing_event WHERE event = 23; DELETE FROM hold; DELETE FROM event WHERE seq = 23",
    );

    let before = names(folder.path());
    let deleted = prune(&path, folder.path(), now).unwrap();
    let after = names(folder.path());
    assert_eq!(
        before.len(),
        after.len() + deleted.len() + 1,
        "a journal goes with its part"
    );
    for kept in [
        foreign.path.file_name().unwrap().to_str().unwrap(),
        ahead.path.file_name().unwrap().to_str().unwrap(),
        "plant-20260126T070001Z.chockbook",
        "notes.txt",
        "plant-20260214T060000Z.chockbook-part",
        // The newest of the last fourteen days, and that of January.
        "plant-20260213T110000Z.chockbook",
        "plant-20260131T110000Z.chockbook",
    ] {
        assert!(after.iter().any(|name| name == kept), "{kept}: {after:?}");
    }
    assert_eq!(after.len(), 14 + 5, "{after:?}");
    assert_eq!(
        prune(&path, folder.path(), now).unwrap(),
        Vec::<PathBuf>::new()
    );
}

/// The same name and folder, but another chain.
fn shop_of_another_plant() -> Shop {
    let dir = tempfile::tempdir().unwrap();
    let clock = common::TestClock::new();
    let path = dir.path().join("plant.chockbook");
    let mut logbook = Logbook::create(&path, hands(&clock, 77), "Another").unwrap();
    logbook
        .register_person(None, None, "Engineer", store::payload::Role::Engineer, PIN)
        .unwrap();
    let engineer = logbook.sign_in("Engineer", PIN).unwrap();
    let mut shop = Shop {
        dir,
        path,
        clock,
        logbook,
        engineer,
    };
    for record in common::REGISTER {
        shop.log(&format!(r#"{{"kind":"register_change",{}"#, &record[1..]))
            .unwrap();
    }
    shop.clock.forward_ms(20 * DAY_MS);
    shop
}

const CUT: &str =
    "DELETE FROM thing_event WHERE event = 31; UPDATE stay SET to_event = NULL, to_ms = NULL
    WHERE to_event = 31; UPDATE place SET since_event = 25, note = '' WHERE since_event = 31;
    DELETE FROM whereabouts WHERE event = 31; UPDATE whereabouts SET to_ms = NULL WHERE event = 25;
    DELETE FROM event WHERE seq = 31";

#[test]
fn verify_finds_a_cut_tail_by_the_backups_in_reach() {
    let (mut shop, folder) = shop();
    shop.work();
    let backup = back_up_shop(&shop, folder.path());
    back_up_shop(&shop, folder.path());
    let report = verify(&shop.path, None);
    assert!(report.holds());
    assert!(
        report
            .checked
            .iter()
            .any(|line| line.contains(": 2 of 2 hold nothing but")),
        "{:?}",
        report.checked
    );
    let now = shop.logbook.now();
    let (_dir, path, clock) = shop.close();
    tamper(&path, CUT);
    let report = verify(&path, None);
    let said = findings(&report);
    assert_eq!(report.findings.len(), 1, "{said}");
    assert_eq!(report.findings[0].event.unwrap().seq, 31);
    for part in [
        "plant-20260125T060001Z.chockbook",
        "ends at 30: its end was cut off",
        "(and 1 older backups say the same)",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    // No backup of the cut file counts, and the good one is not taken for one of it.
    assert!(matches!(
        back_up(&path, folder.path(), now, &mut |_, _| true),
        Err(StoreError::BadBackup { .. })
    ));
    assert_eq!(last_good(&path, folder.path()).unwrap(), None);
    // Out of reach, it is told that nothing was compared.
    std::fs::rename(&backup.path, path.with_file_name("aside.chockbook")).unwrap();
    for name in names(folder.path()) {
        std::fs::remove_file(folder.path().join(name)).unwrap();
    }
    let report = verify(&path, None);
    assert!(report.holds());
    assert!(
        report
            .limits
            .last()
            .unwrap()
            .contains("has none of this logbook")
    );
    std::fs::remove_dir(folder.path()).unwrap();
    assert!(
        verify(&path, None)
            .limits
            .last()
            .unwrap()
            .contains("Plug the drive in")
    );
    // Without a folder, nothing is said about backups at all.
    let mut logbook = Logbook::open(&path, hands(&clock, 9)).unwrap();
    logbook.set_backup_folder(None).unwrap();
    drop(logbook);
    let report = verify(&path, None);
    assert_eq!((report.checked.len(), report.limits.len()), (7, 2));
}

#[test]
fn verify_finds_a_rewritten_chain_by_the_backups_in_reach() {
    let (mut shop, folder) = shop();
    shop.work();
    back_up_shop(&shop, folder.path());
    let mut again = Shop::new();
    again
        .logbook
        .set_backup_folder(Some(folder.path()))
        .unwrap();
    for line in common::WORK {
        again.log(&line.replace("crate dry", "crate wet")).unwrap();
    }
    let report = verify(&again.path, None);
    let said = findings(&report);
    assert_eq!(report.findings.len(), 1, "{said}");
    assert_eq!(
        report.findings[0].event.unwrap().seq,
        23,
        "the first that differs: {said}"
    );
    assert!(
        said.contains("is another event there: the chain was rewritten"),
        "{said}"
    );
}

#[test]
fn a_copy_that_went_another_way_is_told_and_no_finding() {
    let (mut shop, folder) = shop();
    shop.work();
    let early = back_up_shop(&shop, folder.path());
    shop.clock.forward_ms(2 * HOUR_MS);
    shop.log(&hold("WC-17", "x")).unwrap();
    back_up_shop(&shop, folder.path());
    let engineer = shop.engineer.clone();
    let (dir, path, clock) = shop.close();
    let to = dir.path().join("from early.chockbook");
    restored(&early.path, &to).unwrap();
    assert!(
        !verify(&to, None).holds(),
        "not written yet, it just ends too soon"
    );
    let mut logbook = Logbook::open(&to, hands(&clock, 100)).unwrap();
    log_as(&mut logbook, &engineer, &hold("WC-18", "x")).unwrap();
    drop(logbook);
    let report = verify(&to, None);
    assert!(report.holds(), "{}", findings(&report));
    assert!(
        report
            .checked
            .last()
            .unwrap()
            .contains("events that are not here: 1;")
    );
    let later = Stamp::second(clock.ms() + HOUR_MS, 0);
    let own = made(&to, folder.path(), later);
    assert_eq!(
        last_good(&to, folder.path()).unwrap().unwrap().path,
        own.path
    );
    // The one at home sees a backup of a copy, with events of its own, and takes no offence.
    let report = verify(&path, None);
    assert!(report.holds(), "{}", findings(&report));
    assert!(matches!(
        list(&path, folder.path()).unwrap()[2].relation,
        Relation::Ahead {
            is_explained: true,
            ..
        }
    ));
}

#[cfg(unix)]
mod other_processes {
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;
    use std::process::Command;

    use super::*;

    const PATH: &str = "CHOCKBOOK_TEST_PATH";

    /// This test program once more behind a line of shell, running one test of this module.
    fn again(shell: &str, test: &str, path: &Path) -> Command {
        let mut command = Command::new("sh");
        let run = format!("{shell} exec \"$0\" --exact other_processes::{test} --nocapture");
        command
            .args(["-c", &run])
            .arg(std::env::current_exe().unwrap());
        command.env(PATH, path);
        command
    }

    fn said(command: &mut Command) -> String {
        let output = command.output().unwrap();
        String::from_utf8_lossy(&output.stdout).into_owned()
            + &String::from_utf8_lossy(&output.stderr)
    }

    /// Where this process is the other one: makes a backup and says how it went.
    fn child() -> bool {
        let Some(path) = std::env::var_os(PATH).map(PathBuf::from) else {
            return false;
        };
        let folder = path.with_file_name("backups");
        let now = Stamp::second(common::START_MS, 0);
        match back_up(&path, &folder, now, &mut |_, _| true) {
            Ok(_) => println!("backed up"),
            Err(e) => println!("refused: {e}"),
        }
        true
    }

    fn closed_shop() -> (tempfile::TempDir, PathBuf, PathBuf) {
        let mut shop = Shop::new();
        shop.work();
        let (dir, path, _) = shop.close();
        let folder = dir.path().join("backups");
        std::fs::create_dir(&folder).unwrap();
        (dir, path, folder)
    }

    #[test]
    fn a_full_disk_leaves_no_half_backup() {
        if child() {
            return;
        }
        let (_dir, path, folder) = closed_shop();
        // A limit on the size of files, in blocks of 512 bytes, stands for the full disk.
        let test = "a_full_disk_leaves_no_half_backup";
        for blocks in [0, 8, 60, 200] {
            let limit = format!("trap '' XFSZ; ulimit -f {blocks};");
            let said = said(&mut again(&limit, test, &path));
            assert!(said.contains("refused: "), "{blocks}: {said}");
            assert_eq!(names(&folder), Vec::<String>::new(), "{blocks}");
        }
        assert!(said(&mut again("", test, &path)).contains("backed up"));
        assert_eq!(names(&folder).len(), 1);
    }

    #[test]
    fn a_killed_backup_leaves_a_part_that_never_counts() {
        if child() {
            return;
        }
        let (_dir, path, folder) = closed_shop();
        let test = "a_killed_backup_leaves_a_part_that_never_counts";
        // The system kills the process where a file grows over the limit.
        let said = said(&mut again("ulimit -c 0; ulimit -f 60;", test, &path));
        assert!(
            !said.contains("refused") && !said.contains("backed up"),
            "{said}"
        );
        assert!(names(&folder).iter().all(|name| name.contains("-part")));
        assert!(!names(&folder).is_empty());
        assert!(list(&path, &folder).unwrap().is_empty());
        let now = Stamp::second(common::START_MS, 0);
        let next = made(&path, &folder, now);
        assert_eq!(last_good(&path, &folder).unwrap(), Some(next.clone()));
        prune(&path, &folder, now.plus_ms(DAY_MS + HOUR_MS)).unwrap();
        assert_eq!(
            names(&folder),
            [next.path.file_name().unwrap().to_str().unwrap()]
        );
    }

    #[test]
    fn a_folder_that_may_not_be_written_is_told() {
        if child() {
            return;
        }
        let (dir, path, folder) = closed_shop();
        std::fs::set_permissions(dir.path(), PermissionsExt::from_mode(0o755)).unwrap();
        std::fs::set_permissions(&path, PermissionsExt::from_mode(0o644)).unwrap();
        std::fs::set_permissions(&folder, PermissionsExt::from_mode(0o555)).unwrap();
        let mut command = again("", "a_folder_that_may_not_be_written_is_told", &path);
        let probe = folder.join("probe");
        if std::fs::write(&probe, "x").is_ok() {
            std::fs::remove_file(&probe).unwrap();
            command.uid(65_534).gid(65_534);
        }
        let said = said(&mut command);
        assert!(said.contains("cannot write a backup into"), "{said}");
        std::fs::set_permissions(&folder, PermissionsExt::from_mode(0o755)).unwrap();
        assert_eq!(names(&folder), Vec::<String>::new());
    }
}
