//! Drills: what happens to a shop PC, done to the real program, hundreds of times, each time from a seed.
//!
//! The suite runs the short forms. The long ones, the same tests with more rounds, up to an hour each on two cores:
//!
//! ```text
//! CHOCKBOOK_LONG=1 cargo test -p whole-program --test drills kill -- --nocapture      5,000 kills
//! CHOCKBOOK_LONG=1 cargo test -p whole-program --test drills window -- --nocapture    100 kills in the window
//! CHOCKBOOK_LONG=1 cargo test -p whole-program --test drills closing -- --nocapture   60 kills of a closing window
//! CHOCKBOOK_LONG=1 cargo test -p whole-program --test drills torn -- --nocapture      10,000 torn files
//! CHOCKBOOK_LONG=1 cargo test -p store --test tamper -- --nocapture                   every byte, every row
//! ```
//!
//! A failure names the seed it began with; `CHOCKBOOK_SEED=n` begins there. What a seed decides are lines, bytes and
//! counts; how far the program has come by then is the machine's, as it is when the power goes.
#![allow(clippy::unwrap_used)]

mod closing;
mod disk;
mod kill;
mod torn;
mod trouble;
mod two;
mod window;

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use rusqlite::{Connection, OpenFlags};
use whole_program::{Bench, ENGINEER, ENGINEER_PIN, Run};

/// How many rounds: so many in the suite, more where the long form is asked for.
fn rounds(short: u64, long: u64) -> u64 {
    if std::env::var_os("CHOCKBOOK_LONG").is_some() {
        long
    } else {
        short
    }
}

/// The seed of the first round.
fn first_seed() -> u64 {
    let text = std::env::var("CHOCKBOOK_SEED");
    text.map_or(1, |text| text.parse().unwrap())
}

/// Numbers that follow from a seed (SplitMix64, Steele, Lea and Flood 2014, from memory; any good mixer would do).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to one below `end`.
    fn below(&mut self, end: usize) -> usize {
        (self.next() % end as u64) as usize
    }
}

/// An event as the program acknowledged it, or as it stands in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Event {
    origin: String,
    seq: i64,
    hash: String,
}

impl Event {
    /// Reads `signed ORIGIN:SEQ HASH`.
    fn signed(line: &str) -> Self {
        let parts: Vec<&str> = line.trim_end().split([' ', ':']).collect();
        let &["signed", origin, seq, hash] = parts.as_slice() else {
            panic!("{line:?} is no acknowledgement");
        };
        assert_eq!((origin.len(), hash.len()), (32, 64), "{line:?}");
        Self {
            origin: origin.into(),
            seq: seq.parse().unwrap(),
            hash: hash.into(),
        }
    }

    /// All of an output; a line that was cut off acknowledges nothing.
    fn all_signed(out: &str) -> Vec<Self> {
        let whole = out.rfind('\n').map_or("", |end| &out[..end]);
        whole.lines().map(Self::signed).collect()
    }

    /// Its anchor code, as a print carries it.
    fn anchor(&self) -> String {
        format!("{}-{}-{}", &self.origin[..8], self.seq, &self.hash[..20])
    }
}

/// The events of a file in the order of arrival, read with SQLite alone.
fn events(file: &Path) -> rusqlite::Result<Vec<Event>> {
    let conn = Connection::open_with_flags(file, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    let sql = "SELECT lower(hex(origin)), seq, lower(hex(hash)) FROM event ORDER BY no";
    let mut stmt = conn.prepare(sql)?;
    let rows = stmt.query_map([], |row| {
        Ok(Event {
            origin: row.get(0)?,
            seq: row.get(1)?,
            hash: row.get(2)?,
        })
    })?;
    rows.collect()
}

/// Insists on a whole record: every chain without holes, all that was acknowledged in it, nothing half done, and the
/// program's own check says the same. Answers with the number of events.
#[track_caller]
fn expect_whole(bench: &Bench, file: &Path, acknowledged: &[Event]) -> usize {
    let mut words = vec!["verify", file.to_str().unwrap()];
    let anchor = acknowledged.last().map(Event::anchor);
    words.extend(anchor.iter().flat_map(|code| ["--anchor", code]));
    watched(bench, &words, "").expect(0);
    let found = events(file).unwrap();
    let mut ends: HashMap<&str, i64> = HashMap::new();
    for event in &found {
        let end = ends.entry(event.origin.as_str()).or_insert(0);
        *end += 1;
        assert_eq!(event.seq, *end, "a hole before {event:?}");
    }
    for event in acknowledged {
        assert!(found.contains(event), "acknowledged and lost: {event:?}");
    }
    let conn = Connection::open_with_flags(file, OpenFlags::SQLITE_OPEN_READ_ONLY).unwrap();
    let sql = "SELECT (SELECT count(*) FROM draft) + (SELECT count(*) FROM draft_field)";
    let drafts: i64 = conn.query_row(sql, [], |row| row.get(0)).unwrap();
    assert_eq!(drafts, 0, "a draft was left by lines that were signed");
    found.len()
}

/// The same command, started by another program.
fn wrapped(by: &[&str], command: &Command) -> Command {
    let mut outer = Command::new(by[0]);
    outer
        .args(&by[1..])
        .arg(command.get_program())
        .args(command.get_args());
    outer.current_dir(command.get_current_dir().unwrap());
    for (name, value) in command.get_envs() {
        match value {
            Some(value) => outer.env(name, value),
            None => outer.env_remove(name),
        };
    }
    outer
}

/// Runs a command to its end with this on its standard input; insists that it neither panics nor hangs.
#[track_caller]
fn finished(command: &Command, input: &str) -> Run {
    let mut command = wrapped(&["timeout", "300"], command);
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let input = input.to_owned();
    // From a thread of its own: the program may answer more than a pipe holds before it has read all.
    let writer = std::thread::spawn(move || {
        // A program that refuses early closes its input; that is for the test to judge by the exit status.
        let _refused = std::io::Write::write_all(&mut stdin, input.as_bytes());
    });
    let run = Run::of(&child.wait_with_output().unwrap());
    writer.join().unwrap();
    assert_ne!(run.code, Some(124), "it hangs: {run:?}");
    assert_ne!(run.code, Some(101), "it panics: {run:?}");
    run
}

/// Runs the program with the engineer's PIN.
#[track_caller]
fn watched(bench: &Bench, words: &[&str], input: &str) -> Run {
    let mut command = bench.command(words);
    command.env("CHOCKBOOK_PIN", ENGINEER_PIN);
    finished(&command, input)
}

/// Words that let the engineer sign from standard input.
fn log_words(file: &Path) -> [&str; 6] {
    [
        "log",
        file.to_str().unwrap(),
        "--from",
        "-",
        "--person",
        ENGINEER,
    ]
}

/// A line that can be signed any number of times; the reason makes it longer.
fn hold(reason: &str) -> String {
    format!("{{\"kind\":\"hold\",\"thing\":\"TH-4T-102\",\"reason\":\"{reason}\"}}\n")
}

/// A small shop with a second bearing that nothing else depends on: `shop.chockbook`, closed.
fn shop() -> (Bench, PathBuf) {
    let bench = Bench::new();
    let file = bench.small_shop();
    let more = "{\"kind\":\"register_change\",\"entity\":\"bearing\",\"serial\":\"TH-4T-102\",\
                \"bearing_type\":\"N4T-480/620-336\"}\n";
    watched(&bench, &log_words(&file), more).expect(0);
    assert_eq!(beside(&file), Vec::<PathBuf>::new(), "it was not closed");
    (bench, file)
}

/// What SQLite keeps beside a file that is open, or was when its program was killed.
fn beside(file: &Path) -> Vec<PathBuf> {
    let end = |end: &str| PathBuf::from(format!("{}{end}", file.display()));
    let mut found = vec![end("-wal"), end("-shm")];
    found.retain(|path| path.exists());
    found
}

/// The names in a folder, sorted.
fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}
