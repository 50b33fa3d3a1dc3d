//! Opening: beside a writer, after a kill, where nothing can be written, and what is no logbook or torn.
#![allow(clippy::unwrap_used)]

mod common;

use std::path::Path;

use common::{PIN, Shop, TestClock, hands, log_as, number, tamper, verify};
use rusqlite::Connection;
use store::{Access, Logbook, StoreError};

type IsExpected<'a> = &'a dyn Fn(&StoreError) -> bool;

fn open(path: &Path) -> store::Result<Logbook> {
    Logbook::open(path, hands(&TestClock::new(), 200))
}

fn why(logbook: &Logbook) -> &str {
    match logbook.access() {
        Access::Write => panic!("it may be written"),
        Access::Read { why } => why,
    }
}

#[test]
fn a_second_program_opens_for_reading_and_is_told_who_writes() {
    let mut shop = Shop::new();
    shop.work();
    let mut second = open(&shop.path).unwrap();
    assert!(
        why(&second).contains(&format!("process {}", std::process::id())),
        "{}",
        why(&second)
    );
    let engineer = shop.engineer.clone();
    let refused = log_as(
        &mut second,
        &engineer,
        r#"{"kind":"hold","thing":"WC-17","reason":"x"}"#,
    );
    assert!(matches!(refused, Err(StoreError::ReadOnly { .. })));
    assert!(matches!(
        second.start_draft("teardown_sheet", None),
        Err(StoreError::ReadOnly { .. })
    ));
    assert!(matches!(
        second.rebuild(&mut |_, _| true),
        Err(StoreError::ReadOnly { .. })
    ));
    // What is written meanwhile is seen.
    shop.log(r#"{"kind":"hold","thing":"WC-17","reason":"x"}"#)
        .unwrap();
    assert_eq!(number(second.connection(), "SELECT count(*) FROM hold"), 1);
    assert_eq!(
        number(&second.reader().unwrap(), "SELECT count(*) FROM hold"),
        1
    );
    drop(second);
    let (_dir, path, _) = shop.close();
    assert_eq!(
        open(&path).unwrap().access(),
        &Access::Write,
        "the writer has closed"
    );
}

#[test]
fn what_a_lock_file_says_does_not_bind_when_nobody_holds_it() {
    let shop = Shop::new();
    let (_dir, path, _) = shop.close();
    std::fs::write(
        store::lock::path_of(&path),
        "somebody on another PC, process 1, since 1999",
    )
    .unwrap();
    assert_eq!(open(&path).unwrap().access(), &Access::Write);
}

#[test]
fn a_connection_for_reading_does_not_write() {
    let shop = Shop::new();
    let reader = shop.logbook.reader().unwrap();
    assert!(reader.execute("DELETE FROM thing", []).is_err());
}

#[test]
fn what_is_no_logbook_is_refused_by_name_and_left_as_it_was() {
    let dir = tempfile::tempdir().unwrap();
    let shop = Shop::new();
    let (logbook_dir, logbook, _) = shop.close();
    let whole = std::fs::read(&logbook).unwrap();

    assert!(matches!(
        open(&dir.path().join("none.chockbook")),
        Err(StoreError::NotFound { .. })
    ));
    assert!(
        matches!(open(dir.path()), Err(StoreError::NotFound { .. })),
        "a folder"
    );

    let foreign = dir.path().join("foreign.db");
    Connection::open(&foreign)
        .unwrap()
        .execute_batch("CREATE TABLE t (x); INSERT INTO t VALUES (1)")
        .unwrap();
    let foreign = std::fs::read(foreign).unwrap();
    let newer = {
        let path = logbook_dir.path().join("newer.chockbook");
        std::fs::copy(&logbook, &path).unwrap();
        let conn = Connection::open(&path).unwrap();
        conn.pragma_update(None, "user_version", 2_000_000).unwrap();
        let sql = "UPDATE setting SET value = '2000000' WHERE name = 'min_reader'";
        conn.execute(sql, []).unwrap();
        drop(conn);
        std::fs::read(path).unwrap()
    };
    let mut no_first_page = whole.clone();
    no_first_page[100..4096].fill(0xaa);
    let mut holes = whole.clone();
    let half = holes.len() / 8192 * 4096;
    holes[4096..half].fill(0);
    let not_a_logbook = |e: &StoreError| matches!(e, StoreError::NotALogbook { .. });
    let damaged = |e: &StoreError| matches!(e, StoreError::Damaged { .. });
    let rows: [(&str, Vec<u8>, IsExpected<'_>); 9] = [
        ("empty", Vec::new(), &not_a_logbook),
        ("text", b"SQLite format 3".to_vec(), &not_a_logbook),
        ("noise", vec![0xa5; 20_000], &not_a_logbook),
        ("foreign", foreign, &not_a_logbook),
        ("newer", newer, &|e| {
            matches!(
                e,
                StoreError::OtherFormat {
                    found: 2_000_000,
                    ..
                }
            )
        }),
        ("cut to its header", whole[..100].to_vec(), &damaged),
        (
            "cut in the middle",
            whole[..whole.len() / 2].to_vec(),
            &damaged,
        ),
        ("first page lost", no_first_page, &damaged),
        ("pages lost", holes, &damaged),
    ];
    for (name, bytes, is_expected) in rows {
        let path = dir.path().join(format!("{name}.chockbook"));
        std::fs::write(&path, &bytes).unwrap();
        let error = open(&path).unwrap_err();
        assert!(is_expected(&error), "{name}: {error:?}");
        assert!(
            error.to_string().contains(name),
            "{name} is not named: {error}"
        );
        assert!(std::fs::read(&path).unwrap() == bytes, "{name} was changed");
    }
    let in_folder = std::fs::read_dir(dir.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap());
    let locks: Vec<_> = in_folder
        .filter(|name| name.starts_with("foreign.chockbook-") || name.starts_with("text."))
        .collect();
    assert_eq!(
        locks,
        ["text.chockbook"],
        "a lock was left beside a file that is no logbook"
    );
}

#[test]
fn an_altered_event_near_the_end_is_found_at_opening() {
    let mut shop = Shop::new();
    shop.work();
    let (_dir, path, _) = shop.close();
    tamper(
        &path,
        "UPDATE event SET payload = replace(payload, 'crate dry', 'crate wet') WHERE kind = 'received'",
    );
    let error = open(&path).unwrap_err();
    assert!(
        matches!(&error, StoreError::Damaged { why, .. } if why.contains(":23")),
        "{error}"
    );
}

#[test]
fn derived_tables_of_another_version_are_derived_anew() {
    let mut shop = Shop::new();
    shop.work();
    let state = shop.dump();
    let (_dir, path, _) = shop.close();
    tamper(
        &path,
        "UPDATE state SET value = 0; DELETE FROM run; UPDATE stay SET run_s = 7",
    );
    let logbook = open(&path).unwrap();
    assert_eq!(common::dump(logbook.connection()), state);
    drop(logbook);
    assert!(verify(&path, None).holds());
}

#[cfg(unix)]
mod other_processes {
    use std::io::{BufRead, BufReader};
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;
    use std::path::PathBuf;
    use std::process::{Child, Command, Stdio};

    use store::draft::{self, Source};

    use super::*;

    const PATH: &str = "CHOCKBOOK_TEST_PATH";

    /// This test program once more, running one test of this module as the other process.
    fn again(test: &str, path: &Path) -> Command {
        let mut command = Command::new(std::env::current_exe().unwrap());
        command
            .args([
                "--exact",
                &format!("other_processes::{test}"),
                "--nocapture",
            ])
            .env(PATH, path);
        command.stdout(Stdio::piped()).stderr(Stdio::piped());
        command
    }

    /// Waits for a line that the other process prints.
    fn wait_for(child: &mut Child, word: &str) {
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let seen = lines.map_while(Result::ok).any(|line| line.contains(word));
        assert!(seen, "the other process ended without saying {word:?}");
    }

    /// Any SQLite tool may read a logbook while it is being written: when it closes it must not take itself for the last
    /// one, or the log with all that was written since goes with it.
    #[test]
    fn a_tool_that_reads_and_closes_takes_nothing_away() {
        if let Some(path) = std::env::var_os(PATH) {
            let conn = rusqlite::Connection::open(path).unwrap();
            let count = "SELECT count(*) FROM event";
            let events: i64 = conn.query_row(count, [], |row| row.get(0)).unwrap();
            println!("read {events}");
            return;
        }
        let mut shop = Shop::new();
        let path = shop.path.clone();
        let log = {
            let mut name = path.clone().into_os_string();
            name.push("-wal");
            PathBuf::from(name)
        };
        for n in 0..3 {
            let hold = format!(
                r#"{{"kind":"register_change","entity":"seal_batch","code":"SB-{n}","name":"neck seals"}}"#
            );
            shop.log(&hold).unwrap();
            shop.logbook.look().unwrap();
            // Another program of ours looks at the file, too.
            assert_eq!(why(&open(&path).unwrap()), why(&open(&path).unwrap()));
            let inode = |path: &Path| {
                std::os::unix::fs::MetadataExt::ino(&std::fs::metadata(path).unwrap())
            };
            let before = inode(&log);
            let done = again("a_tool_that_reads_and_closes_takes_nothing_away", &path)
                .output()
                .unwrap();
            let said = String::from_utf8_lossy(&done.stdout).into_owned();
            assert!(done.status.success() && said.contains("read "), "{said}");
            assert_eq!(
                inode(&log),
                before,
                "the log that is written to is still there"
            );
            // An older SQLite takes it away, if only the lock of this one is gone.
            let locks = std::fs::read_to_string("/proc/locks").unwrap();
            let of_file = format!(":{} ", inode(&path));
            let own = format!(" {} ", std::process::id());
            let is_held = |line: &str| line.contains(&of_file) && line.contains(&own);
            assert!(locks.lines().any(is_held), "{of_file}{own}\n{locks}");
        }
        let count = |logbook: &Logbook| {
            let sql = "SELECT count(*) FROM event WHERE payload LIKE '%SB-%'";
            logbook
                .connection()
                .query_row(sql, [], |row| row.get::<_, i64>(0))
                .unwrap()
        };
        assert_eq!(count(&shop.logbook), 3);
        let (_dir, path, _) = shop.close();
        assert_eq!(count(&open(&path).unwrap()), 3);
    }

    #[test]
    fn a_killed_writer_does_not_bind_and_what_it_kept_is_there() {
        if let Some(path) = std::env::var_os(PATH) {
            return writes_until_killed(Path::new(&path));
        }
        let shop = Shop::new();
        let (_dir, path, _) = shop.close();
        let mut child = again(
            "a_killed_writer_does_not_bind_and_what_it_kept_is_there",
            &path,
        )
        .spawn()
        .unwrap();
        wait_for(&mut child, "kept");
        assert!(why(&open(&path).unwrap()).contains(&format!("process {}", child.id())));
        child.kill().unwrap();
        child.wait().unwrap();

        let logbook = open(&path).unwrap();
        assert_eq!(logbook.access(), &Access::Write);
        let list = draft::list(logbook.connection()).unwrap();
        assert_eq!(list.len(), 1);
        let draft = draft::read(logbook.connection(), list[0].id).unwrap();
        assert_eq!(draft.fields["clearance.gap.1.0"].text, "23,372");
        assert_eq!(draft.fields["clearance.gap.1.0"].source, Source::Gauge);
        assert_eq!(draft.caret, "clearance.gap.1.90");
        assert_eq!(number(logbook.connection(), "SELECT count(*) FROM hold"), 1);
        drop(logbook);
        assert!(verify(&path, None).holds());
    }

    fn writes_until_killed(path: &Path) {
        let mut logbook = open(path).unwrap();
        let engineer = logbook.sign_in("Engineer", PIN).unwrap();
        log_as(
            &mut logbook,
            &engineer,
            r#"{"kind":"hold","thing":"WC-17","reason":"x"}"#,
        )
        .unwrap();
        let id = logbook.start_draft("teardown_sheet", None).unwrap();
        let typed = [("clearance.gap.1.0", "23,372", Source::Gauge)];
        logbook
            .keep_draft(id, &typed, "clearance.gap.1.90")
            .unwrap();
        println!("kept");
        loop {
            std::thread::park();
        }
    }

    /// A logbook in a folder where nobody may write, last written by a program that was killed if `with_log`.
    fn in_unwritable_folder(with_log: bool) -> (tempfile::TempDir, PathBuf) {
        let mut shop = Shop::new();
        shop.work();
        let outer = tempfile::tempdir().unwrap();
        std::fs::set_permissions(outer.path(), PermissionsExt::from_mode(0o755)).unwrap();
        let folder = outer.path().join("share 100%");
        std::fs::create_dir(&folder).unwrap();
        let to = folder.join("plant.chockbook");
        if with_log {
            // Copied while it is open: the newest events are in the log only.
            let end = |end: &str| format!("{}{end}", shop.path.display());
            std::fs::copy(&shop.path, &to).unwrap();
            std::fs::copy(end("-wal"), folder.join("plant.chockbook-wal")).unwrap();
        } else {
            let (_dir, path, _) = shop.close();
            std::fs::copy(path, &to).unwrap();
        }
        for file in std::fs::read_dir(&folder).unwrap() {
            std::fs::set_permissions(file.unwrap().path(), PermissionsExt::from_mode(0o444))
                .unwrap();
        }
        std::fs::set_permissions(&folder, PermissionsExt::from_mode(0o555)).unwrap();
        (outer, to)
    }

    /// Runs a test as somebody who is bound by permissions, which the administrator is not.
    fn as_nobody(test: &str, path: &Path) {
        let mut command = again(test, path);
        let probe = path.with_file_name("probe");
        if std::fs::write(&probe, "x").is_ok() {
            std::fs::remove_file(&probe).unwrap();
            command.uid(65_534).gid(65_534);
        }
        let output = command.output().unwrap();
        let said = String::from_utf8_lossy(&output.stdout).into_owned()
            + &String::from_utf8_lossy(&output.stderr);
        assert!(
            output.status.success() && said.contains("read everything"),
            "{said}"
        );
    }

    fn reads_everything(path: &Path, says: &str) {
        let logbook = open(path).unwrap();
        assert!(
            why(&logbook).contains("cannot be written") && why(&logbook).contains(says),
            "{}",
            why(&logbook)
        );
        assert_eq!(number(logbook.connection(), "SELECT count(*) FROM run"), 2);
        assert_eq!(
            number(&logbook.reader().unwrap(), "SELECT count(*) FROM event"),
            31
        );
        let report = verify(path, None);
        assert!(
            report.holds() && report.events == 31,
            "{}",
            common::findings(&report)
        );
        drop(logbook);
        println!("read everything");
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut names: Vec<_> = std::fs::read_dir(folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn in_an_unwritable_folder_the_file_is_read_as_it_stands() {
        if let Some(path) = std::env::var_os(PATH) {
            return reads_everything(Path::new(&path), "");
        }
        let (_outer, path) = in_unwritable_folder(false);
        as_nobody(
            "in_an_unwritable_folder_the_file_is_read_as_it_stands",
            &path,
        );
        assert_eq!(names(path.parent().unwrap()), ["plant.chockbook"]);
    }

    #[test]
    fn in_an_unwritable_folder_with_unfinished_work_a_copy_is_read_and_said_to_be_one() {
        if let Some(path) = std::env::var_os(PATH) {
            reads_everything(Path::new(&path), "is a copy made when it was opened");
            let left = names(&std::env::temp_dir());
            let ours = format!("chockbook-{}-", std::process::id());
            assert!(
                !left.iter().any(|name| name.starts_with(&ours)),
                "a copy was left behind: {left:?}"
            );
            return;
        }
        let (_outer, path) = in_unwritable_folder(true);
        as_nobody(
            "in_an_unwritable_folder_with_unfinished_work_a_copy_is_read_and_said_to_be_one",
            &path,
        );
        assert_eq!(
            names(path.parent().unwrap()),
            ["plant.chockbook", "plant.chockbook-wal"]
        );
    }

    #[test]
    fn a_file_that_may_not_be_written_is_opened_for_reading() {
        if let Some(path) = std::env::var_os(PATH) {
            return reads_everything(Path::new(&path), "");
        }
        let (_outer, path) = in_unwritable_folder(false);
        std::fs::set_permissions(path.parent().unwrap(), PermissionsExt::from_mode(0o777)).unwrap();
        let before = std::fs::read(&path).unwrap();
        // The folder is open to all here, so that the probe of `as_nobody` says nothing: ask the file instead.
        let mut command = again(
            "a_file_that_may_not_be_written_is_opened_for_reading",
            &path,
        );
        if std::fs::OpenOptions::new().append(true).open(&path).is_ok() {
            command.uid(65_534).gid(65_534);
        }
        let output = command.output().unwrap();
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stdout)
        );
        assert!(String::from_utf8_lossy(&output.stdout).contains("read everything"));
        assert!(std::fs::read(&path).unwrap() == before);
    }
}
