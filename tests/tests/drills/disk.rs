//! No room: a file that may not grow any further, and a disk that is full. What was signed stays, nothing is left by
//! half, and the logbook opens afterwards.

use std::path::Path;
use std::process::Command;

use whole_program::{Bench, ENGINEER, ENGINEER_PIN, is_quick};

use super::{
    Event, expect_whole, finished, first_seed, hold, log_words, names, rounds, shop, watched,
    wrapped,
};

/// The program, where no file may grow beyond so many blocks of 512 bytes; the system says so to the program, or with
/// `is_ended` ends it on the spot.
fn confined(command: &Command, blocks: usize, is_ended: bool) -> Command {
    let signal = if is_ended { "" } else { "trap '' XFSZ; " };
    let script = format!("{signal}ulimit -f {blocks}; exec \"$@\"");
    wrapped(&["sh", "-c", &script, "sh"], command)
}

#[test]
fn a_log_that_may_not_grow_stops_the_signing_and_loses_nothing() {
    if is_quick("files that may not grow") {
        return;
    }
    let (bench, base) = shop();
    let mut dice = super::Dice(first_seed());
    let (count, mut acknowledged, mut ended) = (rounds(30, 1000), 0, 0);
    for round in 0..count {
        let file = bench.path("confined.chockbook");
        std::fs::copy(&base, &file).unwrap();
        let blocks = 70 + dice.below(1400);
        let is_ended = round % 3 == 0;
        let mut log = bench.command(&log_words(&file));
        log.env("CHOCKBOOK_PIN", ENGINEER_PIN);
        let lines = hold(&"brown tint ".repeat(20)).repeat(400);
        let run = finished(&confined(&log, blocks, is_ended), &lines);
        let about = format!(
            "round {round} of CHOCKBOOK_SEED={}, {blocks} blocks: {run:?}",
            first_seed()
        );
        let signed = Event::all_signed(&run.out);
        if is_ended {
            // 25: SIGXFSZ. What waits for the program answers as a shell does.
            let is_by_signal = run.code.is_none() || run.code == Some(128 + 25);
            assert!(is_by_signal, "{about}");
            ended += 1;
        } else {
            assert_eq!(run.code, Some(2), "{about}");
            let stopped = format!("standard input, line {}: ", signed.len() + 1);
            assert!(
                run.err.contains(&stopped) && run.err.contains("disk"),
                "{about}"
            );
            assert!(
                run.err.contains("nothing of line") && run.err.contains("go on from there"),
                "{about}"
            );
        }
        expect_whole(&bench, &file, &signed);
        watched(&bench, &log_words(&file), &hold("room again")).expect(0);
        assert_eq!(super::beside(&file).len(), 0);
        acknowledged += signed.len();
    }
    println!(
        "files that may not grow: {count}, {ended} of them ended by the system; {acknowledged} events signed and kept"
    );
    assert!(acknowledged > 0);
}

#[test]
fn what_is_written_whole_leaves_nothing_where_it_may_not_grow() {
    if is_quick("outputs that may not grow") {
        return;
    }
    let (bench, file) = shop();
    let folder = bench.path("outputs");
    std::fs::create_dir(&folder).unwrap();
    let print = folder.join("history.pdf");
    std::fs::write(&print, "the print of last month").unwrap();
    for (words, blocks) in outputs(&file, &folder) {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let mut command = bench.command(&words);
        command.env("CHOCKBOOK_PIN", ENGINEER_PIN);
        let run = finished(&confined(&command, blocks, false), "");
        assert_eq!((run.code, run.out.as_str()), (Some(2), ""), "{run:?}");
        expect_as_before(&folder, &print, words[0]);
    }
    expect_whole(&bench, &file, &[]);
}

/// What writes a new file into a folder, with the blocks that are enough to open the logbook and too few for the rest.
fn outputs(file: &Path, folder: &Path) -> [(Vec<String>, usize); 3] {
    let path = |name: &str| folder.join(name).to_str().unwrap().to_owned();
    let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
    let name = file.to_str().unwrap();
    let pdf = path("history.pdf");
    [
        (
            words(&[
                "print",
                name,
                "history",
                "--bearing",
                "TH-4T-101",
                "--to",
                &pdf,
            ]),
            80,
        ),
        (words(&["demo", &path("demo.chockbook")]), 200),
        (
            words(&[
                "new",
                &path("new.chockbook"),
                "--plant",
                "Tarnhollow",
                "--engineer",
                ENGINEER,
            ]),
            20,
        ),
    ]
}

/// The old print as it was, and nothing beside it but the empty file that a writer's lock leaves.
#[track_caller]
fn expect_as_before(folder: &Path, print: &Path, verb: &str) {
    assert_eq!(
        std::fs::read(print).unwrap(),
        b"the print of last month",
        "{verb}"
    );
    let mut left = names(folder);
    left.retain(|name| !name.ends_with("-lock"));
    assert_eq!(left, ["history.pdf"], "{verb} left something behind");
}

#[test]
fn a_full_disk_is_named_and_nothing_is_left_by_half() {
    if is_quick("outputs on a full disk") {
        return;
    }
    let (bench, file) = shop();
    let disk = bench.path("disk");
    std::fs::create_dir(&disk).unwrap();
    let mut mount = Command::new("mount");
    mount
        .args(["-t", "tmpfs", "-o", "size=1m", "tmpfs"])
        .arg(&disk);
    if !mount.output().is_ok_and(|out| out.status.success()) {
        println!("left out: this user may not mount a small file system");
        return;
    }
    let outcome = std::panic::catch_unwind(|| on_a_full_disk(&bench, &file, &disk));
    Command::new("umount").arg(&disk).status().unwrap();
    outcome.unwrap();
}

fn on_a_full_disk(bench: &Bench, file: &Path, disk: &Path) {
    let print = disk.join("history.pdf");
    std::fs::write(&print, "the print of last month").unwrap();
    for (words, _) in outputs(file, disk) {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        // A demo fills the disk by itself.
        if words[0] != "demo" {
            // It is cut short where the disk ends.
            let _full = std::fs::write(disk.join("filler"), vec![0; 1 << 20]);
        }
        let run = watched(bench, &words, "").expect(2);
        let is_named = run.err.contains("disk is full") || run.err.contains("No space left");
        assert!(is_named && run.out.is_empty(), "{run:?}");
        if words[0] != "demo" {
            std::fs::remove_file(disk.join("filler")).unwrap();
        }
        expect_as_before(disk, &print, words[0]);
    }
}
