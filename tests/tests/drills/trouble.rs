//! Other troubles of a shop PC: a folder where nobody may write, a file that nobody may read, a clock that was set
//! back, a file that is replaced while the program has it open.

use std::io::{BufRead, BufReader, Read, Write};
use std::os::unix::fs::PermissionsExt;
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::Stdio;

use rusqlite::Connection;
use whole_program::{Bench, ENGINEER, ENGINEER_PIN, Run, is_quick};

use super::{Event, events, expect_whole, hold, log_words, names, shop, watched};

/// Runs the program as somebody who is bound by permissions, which the administrator is not.
#[track_caller]
fn as_nobody(bench: &Bench, words: &[&str], input: &str) -> Run {
    let mut command = bench.command(words);
    command.env("CHOCKBOOK_PIN", ENGINEER_PIN);
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let probe = bench.path("locked/probe");
    if std::fs::write(&probe, "x").is_ok() {
        std::fs::remove_file(&probe).unwrap();
        command.uid(65_534).gid(65_534);
    }
    let mut child = command.spawn().unwrap();
    // A refusal closes the input early.
    let _refused = child.stdin.take().unwrap().write_all(input.as_bytes());
    Run::of(&child.wait_with_output().unwrap())
}

fn set_mode(path: &Path, mode: u32) {
    std::fs::set_permissions(path, PermissionsExt::from_mode(mode)).unwrap();
}

/// The shop in a folder where nobody may write.
fn locked_shop() -> (Bench, PathBuf) {
    let (bench, base) = shop();
    let folder = bench.path("locked");
    std::fs::create_dir(&folder).unwrap();
    let file = folder.join("shop.chockbook");
    std::fs::copy(base, &file).unwrap();
    set_mode(&bench.path("."), 0o755);
    set_mode(&file, 0o444);
    set_mode(&folder, 0o555);
    (bench, file)
}

#[test]
fn a_folder_where_nobody_may_write_is_read_and_written_nowhere() {
    if is_quick("a folder where nobody may write") {
        return;
    }
    let (bench, file) = locked_shop();
    let name = file.to_str().unwrap();
    let folder = file.parent().unwrap();
    let inside = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    let (pdf, new, demo) = (
        inside("a.pdf"),
        inside("new.chockbook"),
        inside("demo.chockbook"),
    );
    as_nobody(&bench, &["verify", name], "").expect(0);
    let refused: [(&[&str], &str); 4] = [
        (&log_words(&file), "cannot be written here"),
        (
            &[
                "print",
                name,
                "history",
                "--bearing",
                "TH-4T-101",
                "--to",
                &pdf,
            ],
            "choose another folder",
        ),
        (
            &["new", &new, "--plant", "Tarnhollow", "--engineer", ENGINEER],
            "cannot make",
        ),
        (&["demo", &demo], "cannot make"),
    ];
    for (words, says) in refused {
        let run = as_nobody(&bench, words, &hold("x")).expect(2);
        assert!(
            run.out.is_empty() && run.err.contains(says),
            "{words:?}: {run:?}"
        );
        assert!(
            run.err.contains("Permission denied") && run.err.contains("locked"),
            "{words:?}: {run:?}"
        );
    }
    assert_eq!(names(folder), ["shop.chockbook"]);
    let open = bench.path("open");
    std::fs::create_dir(&open).unwrap();
    set_mode(&open, 0o777);
    let pdf = open.join("a.pdf");
    let words = [
        "print",
        name,
        "history",
        "--bearing",
        "TH-4T-101",
        "--to",
        pdf.to_str().unwrap(),
    ];
    as_nobody(&bench, &words, "").expect(0);
    assert_eq!(names(&open), ["a.pdf"]);
    set_mode(folder, 0o755);
}

#[test]
fn a_file_that_may_not_be_read_is_named() {
    if is_quick("a file that may not be read") {
        return;
    }
    let (bench, file) = locked_shop();
    set_mode(&file, 0o000);
    for words in [&["verify", file.to_str().unwrap()][..], &log_words(&file)] {
        let run = as_nobody(&bench, words, "").expect(2);
        let says = format!("cannot read {}: Permission denied", file.display());
        assert!(
            run.out.is_empty() && run.err.contains(&says),
            "{words:?}: {run:?}"
        );
    }
    set_mode(file.parent().unwrap(), 0o755);
}

#[test]
fn a_clock_that_was_set_back_is_told_and_breaks_no_chain() {
    if is_quick("a clock set back") {
        return;
    }
    let (bench, file) = shop();
    let before = events(&file).unwrap().len();
    // A logbook may carry its own clock, as a demo does: here it stands at 2020-01-01, years before its last entry.
    // Settings are no part of the record.
    let conn = Connection::open(&file).unwrap();
    let sql = "INSERT INTO setting (name, value) VALUES ('demo_clock', '1577836800000 0')";
    assert_eq!(conn.execute(sql, []).unwrap(), 1);
    drop(conn);
    let dated = hold("found on its day").replace("\"kind\"", "\"at\":\"2026-03-21\",\"kind\"");
    let run = watched(&bench, &log_words(&file), &dated).expect(2);
    assert!(
        run.err.contains("has not come yet, it is 2020-01-01"),
        "{}",
        run.err
    );
    assert!(
        run.err.contains("the clock of this computer"),
        "{}",
        run.err
    );
    // What happens now can be signed: the shop goes on, and the chain goes by number, not by the clock.
    let run = watched(&bench, &log_words(&file), &hold("brown tint").repeat(3)).expect(0);
    expect_whole(&bench, &file, &Event::all_signed(&run.out));
    let conn = Connection::open(&file).unwrap();
    assert_eq!(
        conn.execute("DELETE FROM setting WHERE name = 'demo_clock'", [])
            .unwrap(),
        1
    );
    drop(conn);
    let run = watched(&bench, &log_words(&file), &hold("the clock is right again")).expect(0);
    let count = expect_whole(&bench, &file, &Event::all_signed(&run.out));
    assert_eq!(count, before + 4);
}

#[test]
fn a_file_that_is_replaced_under_the_program_is_not_signed_into_thin_air() {
    if is_quick("a file replaced under the program") {
        return;
    }
    for replace in [
        "an older copy",
        "another logbook",
        "nothing",
        "an older copy in place",
        "another logbook in place",
    ] {
        let is_in_place = replace.ends_with("in place");
        let (bench, file) = shop();
        let (_other_bench, other) = shop();
        let spare = bench.path("spare.chockbook");
        std::fs::copy(
            if replace.starts_with("another logbook") {
                &other
            } else {
                &file
            },
            &spare,
        )
        .unwrap();
        // Some work that the older copy does not know, written back.
        watched(&bench, &log_words(&file), &hold("brown tint").repeat(30)).expect(0);
        let mut child = bench
            .command(&log_words(&file))
            .env("CHOCKBOOK_PIN", ENGINEER_PIN)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let mut stdin = child.stdin.take().unwrap();
        let mut stdout = BufReader::new(child.stdout.take().unwrap());
        stdin.write_all(hold("before").as_bytes()).unwrap();
        let mut first = String::new();
        stdout.read_line(&mut first).unwrap();
        Event::signed(&first);
        let expected = if replace == "nothing" {
            std::fs::remove_file(&file).unwrap();
            Vec::new()
        } else {
            let expected = events(&spare).unwrap();
            for left in super::beside(&spare) {
                std::fs::remove_file(left).unwrap(); // reading the spare put it there
            }
            if is_in_place {
                std::fs::copy(&spare, &file).unwrap();
            } else {
                std::fs::rename(&spare, &file).unwrap();
            }
            expected
        };
        // The program may have ended at the sight of it.
        let _ended = stdin.write_all(hold("after").as_bytes());
        drop(stdin);
        let mut said = String::new();
        stdout.read_to_string(&mut said).unwrap();
        let run = Run::of(&child.wait_with_output().unwrap());
        assert_eq!(
            said, "",
            "{replace}: this was signed, and is in no file that anybody can open"
        );
        assert_eq!(run.code, Some(2), "{replace}: {run:?}");
        assert!(
            run.err.contains(file.to_str().unwrap()),
            "{replace}: the file is not named: {}",
            run.err
        );
        if !expected.is_empty() {
            // The log of the old file must not be taken for that of the new one.
            expect_whole(&bench, &file, &[]);
            assert_eq!(
                events(&file).unwrap(),
                expected,
                "{replace}: the new file was changed"
            );
        }
        if is_in_place {
            assert!(run.err.contains("wrote over"), "{replace}: {}", run.err);
            let left = names(file.parent().unwrap());
            let is_kept = left.iter().any(|name| name.contains("-log-of-"));
            assert!(is_kept, "{replace}: what was signed last is gone: {left:?}");
        }
    }
}

#[test]
fn on_a_network_drive_nothing_is_written_and_the_way_on_is_told() {
    if is_quick("a network drive") {
        return;
    }
    let (bench, file) = shop();
    let (_other_bench, other) = shop();
    let before = std::fs::read(&file).unwrap();
    let name = file.to_str().unwrap();
    let new = bench.path("new.chockbook");
    let on = |words: &[&str], kind: &str| {
        let mut command = bench.command(words);
        command
            .env("CHOCKBOOK_PIN", ENGINEER_PIN)
            .env("CHOCKBOOK_DRILL", format!("drive-{kind}"));
        super::finished(&command, &hold("x"))
    };
    for kind in ["nfs4", "cifs", "smb3", "9p"] {
        let words = format!("network drive ({kind})");
        let refused: [&[&str]; 3] = [
            &log_words(&file),
            &["merge", name, other.to_str().unwrap()],
            &["new", new.to_str().unwrap(), "--plant", "Tarnhollow"],
        ];
        for verb in refused {
            let run = on(verb, kind).expect(2);
            assert!(
                run.out.is_empty() && run.err.contains(&words),
                "{verb:?}: {run:?}"
            );
            assert!(
                run.err.contains("a disk of this computer"),
                "{verb:?}: {run:?}"
            );
        }
        on(&["verify", name], kind).expect(0);
    }
    assert!(!new.exists());
    assert!(std::fs::read(&file).unwrap() == before);
    watched(&bench, &log_words(&file), &hold("on a disk")).expect(0);
}
