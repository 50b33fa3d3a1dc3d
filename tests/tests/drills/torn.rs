//! Torn writes: what a power cut may leave of the file and of its log (`-wal`), and what it may not: cut, scrambled,
//! or caught in the middle of writing the log back.
//!
//! The log is complete up to the acknowledged offset, so whatever becomes of the bytes behind it, the signature stays.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::Stdio;

use whole_program::{Bench, ENGINEER_PIN, Run, is_quick};

use super::{Dice, Event, events, first_seed, hold, log_words, rounds, shop, watched};

const PAGE: usize = 4096;
const LINES: usize = 40;

/// What a killed program left, with how far its log was at each acknowledgement.
struct Left {
    database: Vec<u8>,
    log: Vec<u8>,
    /// The database after the log was written back.
    settled: Vec<u8>,
    /// Events of the database alone.
    before: usize,
    /// All events, in order.
    events: Vec<Event>,
    /// Length of the log at each acknowledgement, with the number of events then.
    ends: Vec<(usize, usize)>,
}

impl Left {
    /// Signs line after line and notes the length of the log each time, then kills the program.
    fn make(bench: &Bench, base: &Path) -> Self {
        let file = bench.path("left.chockbook");
        let wal = bench.path("left.chockbook-wal");
        std::fs::copy(base, &file).unwrap();
        let before = events(&file).unwrap().len();
        let mut child = bench
            .command(&log_words(&file))
            .env("CHOCKBOOK_PIN", ENGINEER_PIN)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut stdin = child.stdin.take().unwrap();
        let mut stdout = BufReader::new(child.stdout.take().unwrap());
        let (mut acknowledged, mut ends) = (Vec::new(), Vec::new());
        for no in 0..LINES {
            stdin
                .write_all(hold(&"brown tint ".repeat(1 + no * 10)).as_bytes())
                .unwrap();
            let mut line = String::new();
            stdout.read_line(&mut line).unwrap();
            acknowledged.push(Event::signed(&line));
            let length = std::fs::metadata(&wal).unwrap().len() as usize;
            // The first line of a copy brings the event that says where it comes from.
            ends.push((length, before + 1 + acknowledged.len()));
        }
        child.kill().unwrap();
        child.wait().unwrap();
        let (database, log) = (std::fs::read(&file).unwrap(), std::fs::read(&wal).unwrap());
        let events = events(&file).unwrap();
        assert_eq!(events[before + 1..], acknowledged, "nothing is torn yet");
        watched(bench, &log_words(&file), "").expect(0); // closing writes the log back
        assert!(!wal.exists());
        let settled = std::fs::read(&file).unwrap();
        assert_eq!(
            database,
            std::fs::read(base).unwrap(),
            "the log was not written back before"
        );
        Self {
            database,
            log,
            settled,
            before,
            events,
            ends,
        }
    }

    /// How many events are safe where the log is whole up to `offset`.
    fn safe(&self, offset: usize) -> usize {
        let ends = self.ends.iter().rev().find(|(end, _)| *end <= offset);
        ends.map_or(self.before, |(_, events)| *events)
    }
}

/// A way to tear the files, and how many events must then be there; none where the damage may be beyond mending.
fn tear(left: &Left, dice: &mut Dice) -> (Vec<u8>, Vec<u8>, Option<usize>, String) {
    let (mut database, mut log) = (left.database.clone(), left.log.clone());
    match dice.below(9) {
        0 | 1 => {
            let at = dice.below(log.len() + 1);
            log.truncate(at);
            (
                database,
                log,
                Some(left.safe(at)),
                format!("log cut at {at}"),
            )
        }
        2 | 3 => {
            let what = scramble(&mut log, dice);
            let first = log.iter().zip(&left.log).position(|(a, b)| a != b);
            let safe = left.safe(first.unwrap_or(log.len()));
            (database, log, Some(safe), format!("log: {what}"))
        }
        4 => {
            // The power goes while the log is written back: each sector is old or new, and the log is still there.
            database.resize(left.settled.len(), 0);
            for (at, sector) in database.chunks_mut(512).enumerate() {
                if dice.below(2) == 0 {
                    sector.copy_from_slice(&left.settled[at * 512..at * 512 + sector.len()]);
                }
            }
            (
                database,
                log,
                Some(left.events.len()),
                "half written back".into(),
            )
        }
        5 => {
            // A log of an earlier time beside a file that is further on, as a careless restore leaves them.
            let at = dice.below(log.len() + 1);
            log.truncate(at);
            let what = format!("log cut at {at} beside the closed database");
            (left.settled.clone(), log, None, what)
        }
        6 => {
            let what = scramble(&mut log, dice) + " and " + &scramble(&mut database, dice);
            (database, log, None, format!("log and database: {what}"))
        }
        7 => {
            let what = scramble(&mut database, dice);
            (database, log, None, format!("database: {what}"))
        }
        _ => {
            let mut database = left.settled.clone();
            let what = scramble(&mut database, dice);
            (
                database,
                Vec::new(),
                None,
                format!("closed database: {what}"),
            )
        }
    }
}

/// Spoils some bytes, and says how.
fn scramble(bytes: &mut Vec<u8>, dice: &mut Dice) -> String {
    let at = dice.below(bytes.len());
    match dice.below(5) {
        0 => {
            let bit = dice.below(8);
            bytes[at] ^= 1 << bit;
            format!("bit {bit} of byte {at} flipped")
        }
        1 => {
            let start = at / 512 * 512;
            let end = bytes.len().min(start + 512);
            bytes[start..end].fill_with(|| dice.next() as u8);
            format!("noise in the sector at {start}")
        }
        2 => {
            let start = at / PAGE * PAGE;
            let end = bytes.len().min(start + PAGE);
            bytes[start..end].fill(0);
            format!("zeros in the page at {start}")
        }
        3 => {
            let (from, count) = (dice.below(bytes.len() / PAGE) * PAGE, bytes.len() / PAGE);
            let to = dice.below(count) * PAGE;
            bytes.copy_within(from..from + PAGE, to);
            format!("the page at {from} written to {to}")
        }
        _ => {
            bytes.truncate(at);
            format!("cut at {at}")
        }
    }
}

#[test]
fn torn_files_keep_what_was_signed_or_say_that_they_are_torn() {
    if is_quick("torn files") {
        return;
    }
    let (bench, base) = shop();
    let left = Left::make(&bench, &base);
    let cases = rounds(250, 10_000);
    let (mut kept, mut told, mut harmless) = (0, 0, 0);
    for seed in first_seed()..first_seed() + cases {
        let (database, log, expected, what) = tear(&left, &mut Dice(seed));
        let about = format!("CHOCKBOOK_SEED={seed}: {what}");
        let holds = holds(&bench, &left, &database, &log, &about);
        match (holds, expected) {
            (Some(events), Some(expected)) => {
                assert_eq!(events, expected, "{about}");
                kept += 1;
            }
            (None, Some(_)) => panic!("{about}: what was acknowledged cannot be read"),
            (Some(_), None) => harmless += 1,
            (None, None) => told += 1,
        }
    }
    println!(
        "torn files: {cases}; kept every event up to the tear: {kept}; beyond that, named as torn: {told}, \
         an unharmed beginning of the chain: {harmless}"
    );
    assert!(
        kept > 0 && told > 0,
        "one of the two was never put to the test"
    );
}

/// Checks, opens for writing and checks again. Answers with the number of events where all of them are as they were
/// signed, with none where the program says that they are not.
fn holds(bench: &Bench, left: &Left, database: &[u8], log: &[u8], about: &str) -> Option<usize> {
    let file = bench.path("torn.chockbook");
    for old in super::beside(&file) {
        std::fs::remove_file(old).unwrap();
    }
    std::fs::write(&file, database).unwrap();
    if !log.is_empty() {
        std::fs::write(bench.path("torn.chockbook-wal"), log).unwrap();
    }
    let first = verified(bench, left, &file, about);
    let opened = watched(bench, &log_words(&file), "");
    match opened.code {
        Some(0) => {
            let again = verified(bench, left, &file, &format!("{about}, after it was opened"));
            assert_eq!(first, again, "{about}: opening it changed what it says");
        }
        Some(2) => {
            assert_eq!(
                first, None,
                "{about}: it is whole and does not open: {}",
                opened.err
            );
            says_why(&opened, about);
        }
        _ => panic!("{about}: {opened:?}"),
    }
    first
}

/// What `verify` says of a file, held against the record itself.
fn verified(bench: &Bench, left: &Left, file: &Path, about: &str) -> Option<usize> {
    let run = watched(bench, &["verify", file.to_str().unwrap()], "");
    match run.code {
        Some(0) => {
            let found = events(file)
                .unwrap_or_else(|e| panic!("{about}: it holds and cannot be read: {e}"));
            assert!(
                found.len() >= left.before,
                "{about}: {} events are left",
                found.len()
            );
            assert_eq!(
                found,
                left.events[..found.len()],
                "{about}: it holds, and is another record"
            );
            Some(found.len())
        }
        Some(1) => {
            assert!(run.out.contains("does not hold:"), "{about}: {run:?}");
            None
        }
        Some(2) => {
            says_why(&run, about);
            None
        }
        _ => panic!("{about}: {run:?}"),
    }
}

/// A refusal has words, and none of an answer.
fn says_why(run: &Run, about: &str) {
    let is_refusal = run.err.starts_with("chockbook ") && run.err.len() > 30 && run.out.is_empty();
    assert!(is_refusal, "{about}: {run:?}");
}
