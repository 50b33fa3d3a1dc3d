//! A sheet that was signed is on disk before anybody says so: watched at the system calls, and shown to go red.
#![allow(clippy::unwrap_used)]

use std::io::{BufRead, BufReader, Write};
use std::process::{Command, Stdio};

use whole_program::{Bench, ENGINEER, ENGINEER_PIN, binary, is_quick};

const HOLD: &str = "{\"kind\":\"hold\",\"thing\":\"TH-4T-101\",\"reason\":\"brown tint\"}\n";

/// The system calls of one `chockbook log`, in order.
fn trace(bench: &Bench, file: &str, drill: &str) -> Vec<String> {
    let out = bench.path("trace");
    let mut child = Command::new("strace")
        .args([
            "-f",
            "-y",
            "-s",
            "64",
            "-e",
            "trace=write,pwrite64,writev,fdatasync,fsync",
            "-o",
        ])
        .arg(&out)
        .arg(binary())
        .args(["log", file, "--from", "-", "--person", ENGINEER])
        .env("CHOCKBOOK_PIN", ENGINEER_PIN)
        .env("XDG_CONFIG_HOME", bench.path("config"))
        .env("CHOCKBOOK_DRILL", drill)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("strace is needed: ./tests/run installs it");
    child
        .stdin
        .take()
        .unwrap()
        .write_all(HOLD.as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success(), "{output:?}");
    std::fs::read_to_string(out)
        .unwrap()
        .lines()
        .map(str::to_owned)
        .collect()
}

/// True where the log of the database was synced between its last write and the word "signed".
fn is_synced_before_signed(calls: &[String]) -> bool {
    let signed = calls
        .iter()
        .position(|c| c.contains("\"signed "))
        .expect("the program never said signed");
    let wrote = calls[..signed]
        .iter()
        .rposition(|c| c.contains("-wal>") && c.contains("write"))
        .expect("nothing was written to the log of the database");
    calls[wrote..signed]
        .iter()
        .any(|c| c.contains("-wal>") && (c.contains("fdatasync(") || c.contains("fsync(")))
}

#[test]
fn the_word_signed_comes_after_the_sync_and_the_check_can_go_red() {
    if is_quick("system calls of a signature") {
        return;
    }
    let bench = Bench::new();
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    let calls = trace(&bench, file, "");
    assert!(is_synced_before_signed(&calls), "{}", calls.join("\n"));
    let release = "{\"kind\":\"released\",\"thing\":\"TH-4T-101\",\"reason\":\"wiped off\"}\n";
    bench
        .run(
            &["log", file, "--from", "-", "--person", ENGINEER],
            release,
            &[("CHOCKBOOK_PIN", ENGINEER_PIN)],
        )
        .expect(0);
    let weaker = trace(&bench, file, "synchronous-normal");
    assert!(
        !is_synced_before_signed(&weaker),
        "the check does not see the weaker setting"
    );
}

#[test]
fn what_was_signed_survives_a_killed_program() {
    let bench = Bench::new();
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    let mut child = bench
        .command(&["log", file, "--from", "-", "--person", ENGINEER])
        .env("CHOCKBOOK_PIN", ENGINEER_PIN)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    input.write_all(HOLD.as_bytes()).unwrap();
    input.flush().unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.take().unwrap())
        .read_line(&mut line)
        .unwrap();
    assert!(line.starts_with("signed "), "{line}");
    child.kill().unwrap();
    child.wait().unwrap();
    let verified = bench.run(&["verify", file], "", &[]).expect(0).out;
    let seq = line.split([' ', ':']).nth(2).unwrap();
    assert!(verified.contains(seq), "event {seq} is not in: {verified}");
    // The lock of the killed program does not bind.
    let release = "{\"kind\":\"released\",\"thing\":\"TH-4T-101\",\"reason\":\"wiped off\"}\n";
    bench
        .run(
            &["log", file, "--from", "-", "--person", ENGINEER],
            release,
            &[("CHOCKBOOK_PIN", ENGINEER_PIN)],
        )
        .expect(0);
}

#[test]
fn a_full_disk_loses_nothing_that_was_signed() {
    if is_quick("full disk") {
        return;
    }
    let bench = Bench::new();
    let shop = bench.small_shop();
    // A file system of 2 MB in memory; only root may make one.
    let disk = bench.path("disk");
    std::fs::create_dir(&disk).unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=2m", "tmpfs"])
        .arg(&disk)
        .output();
    if !mounted.is_ok_and(|out| out.status.success()) {
        println!(
            "left out: this user may not mount a small file system; the store's own tests fill a file instead"
        );
        return;
    }
    let outcome = std::panic::catch_unwind(|| {
        let file = disk.join("shop.chockbook");
        std::fs::copy(&shop, &file).unwrap();
        let file = file.to_str().unwrap().to_owned();
        let lines: Vec<String> = (0..4000)
            .map(|i| {
                let reason = format!("{i} {}", "x".repeat(400));
                format!("{{\"kind\":\"hold\",\"thing\":\"TH-4T-101\",\"reason\":\"{reason}\"}}\n")
            })
            .collect();
        let lines = lines.concat();
        let run = bench.run(
            &["log", &file, "--from", "-", "--person", ENGINEER],
            &lines,
            &[("CHOCKBOOK_PIN", ENGINEER_PIN)],
        );
        assert_eq!(run.code, Some(2), "{}", run.err);
        assert!(run.err.contains("disk is full"), "{}", run.err);
        let signed = run.out.matches("signed ").count();
        assert!(signed > 0, "nothing was signed before the disk was full");
        let after = bench.path("after.chockbook");
        std::fs::copy(&file, &after).unwrap();
        let wal = format!("{file}-wal");
        if std::path::Path::new(&wal).exists() {
            std::fs::copy(&wal, bench.path("after.chockbook-wal")).unwrap();
        }
        let verified = bench
            .run(&["verify", after.to_str().unwrap()], "", &[])
            .expect(0)
            .out;
        let last = run
            .out
            .lines()
            .last()
            .unwrap()
            .split([' ', ':'])
            .nth(2)
            .unwrap()
            .to_owned();
        assert!(
            verified.contains(&last),
            "the last signed event {last} is not in: {verified}"
        );
    });
    Command::new("umount").arg(&disk).status().unwrap();
    outcome.unwrap();
}
