//! Two programs and one file: a writer and its readers, and two that both want to write.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::Stdio;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

use whole_program::{Bench, ENGINEER_PIN, is_quick};

use super::{Event, expect_whole, hold, log_words, rounds, shop, watched};

/// Lines that are sent before their answers are awaited.
const BATCH: usize = 50;

#[test]
fn readers_beside_a_writer_see_a_whole_record_and_are_told_who_writes() {
    if is_quick("a writer and its readers") {
        return;
    }
    let (bench, file) = shop();
    let lines = rounds(2000, 20_000) as usize;
    let mut child = bench
        .command(&log_words(&file))
        .env("CHOCKBOOK_PIN", ENGINEER_PIN)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let mut stdout = BufReader::new(child.stdout.take().unwrap());
    let writer = format!("process {}", child.id());
    let acknowledged = Mutex::new(Vec::new());
    let is_done = AtomicBool::new(false);
    let mut sign = |count: usize| {
        stdin
            .write_all(hold("brown tint").repeat(count).as_bytes())
            .unwrap();
        for _ in 0..count {
            let mut line = String::new();
            stdout.read_line(&mut line).unwrap();
            acknowledged.lock().unwrap().push(Event::signed(&line));
        }
    };
    sign(1);
    let reads = std::thread::scope(|scope| {
        let reader = scope.spawn(|| {
            let mut reads = 0;
            // Once more after the last line, and often enough on a slow machine too.
            loop {
                let was_done = is_done.load(Ordering::SeqCst);
                let so_far = acknowledged.lock().unwrap().clone();
                read_beside(&bench, &file, &so_far, &writer, reads % 12 == 0);
                reads += 1;
                if was_done && reads >= 12 {
                    return reads;
                }
            }
        });
        for _ in 0..lines / BATCH {
            sign(BATCH);
            if reader.is_finished() {
                break; // it failed; its words come with the join
            }
        }
        is_done.store(true, Ordering::SeqCst);
        reader.join().unwrap()
    });
    drop(stdin);
    assert!(child.wait().unwrap().success());
    let acknowledged = acknowledged.into_inner().unwrap();
    let events = expect_whole(&bench, &file, &acknowledged);
    println!(
        "two programs: {} lines signed beside {reads} rounds of reading; {events} events",
        acknowledged.len()
    );
    assert_eq!(acknowledged.len(), lines + 1);
}

/// One round of reading: everything that was acknowledged until now is there, and nobody else writes.
fn read_beside(bench: &Bench, file: &Path, so_far: &[Event], writer: &str, prints: bool) {
    let name = file.to_str().unwrap();
    let anchor = so_far.last().unwrap().anchor();
    watched(bench, &["verify", name, "--anchor", &anchor], "").expect(0);
    let refused = watched(bench, &log_words(file), &hold("from elsewhere")).expect(2);
    assert_eq!(refused.out, "");
    assert!(
        refused.err.contains(writer) && refused.err.contains("writes it"),
        "{}",
        refused.err
    );
    if prints {
        let pdf = bench.path("beside.pdf");
        let to = pdf.to_str().unwrap();
        watched(
            bench,
            &[
                "print",
                name,
                "history",
                "--bearing",
                "TH-4T-101",
                "--to",
                to,
            ],
            "",
        )
        .expect(0);
        assert!(std::fs::read(&pdf).unwrap().starts_with(b"%PDF"));
    }
}

#[test]
fn two_that_both_want_to_write_take_turns_and_lose_nothing() {
    if is_quick("two writers") {
        return;
    }
    let (bench, file) = shop();
    let turns = rounds(25, 500);
    let before = expect_whole(&bench, &file, &[]);
    let run = || {
        let mut acknowledged = Vec::new();
        let (mut taken, mut refused) = (0, 0);
        while taken < turns {
            let run = watched(&bench, &log_words(&file), &hold("brown tint").repeat(20));
            match run.code {
                Some(0) => taken += 1,
                Some(2) if run.out.is_empty() && run.err.contains("writes it") => refused += 1,
                _ => panic!("{run:?}"),
            }
            acknowledged.extend(Event::all_signed(&run.out));
            assert!(refused < 400 * turns, "it never comes to its turn");
        }
        (acknowledged, refused)
    };
    let [(mut all, here), (other, there)] = std::thread::scope(|scope| {
        [scope.spawn(run), scope.spawn(run)].map(|writer| writer.join().unwrap())
    });
    all.extend(other);
    assert_eq!(all.len() as u64, 2 * 20 * turns);
    let events = expect_whole(&bench, &file, &[]);
    let found = super::events(&file).unwrap();
    assert_eq!(
        events,
        before + all.len(),
        "as many events as acknowledgements"
    );
    assert!(all.iter().all(|event| found.contains(event)));
    println!(
        "two writers: {} events in {} turns, {} times told to wait",
        all.len(),
        2 * turns,
        here + there
    );
}
