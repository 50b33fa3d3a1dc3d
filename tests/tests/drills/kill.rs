//! Killed while it signs: whatever was acknowledged is there, and nothing is there by half.

use std::io::{BufRead, BufReader, Read, Write};
use std::os::unix::process::ExitStatusExt;
use std::path::Path;
use std::process::Stdio;

use whole_program::{Bench, ENGINEER_PIN, data, is_quick};

use super::{Dice, Event, expect_whole, first_seed, hold, log_words, rounds, shop};

/// So many kills in a row hit the same logbook, which thereby grows; then the next begins with a fresh copy.
const KILLS_PER_LOGBOOK: u64 = 25;
/// No round has more lines than this.
const LINES_MAX: usize = 48;

#[test]
fn every_acknowledged_signature_survives_a_kill() {
    if is_quick("kills while signing") {
        return;
    }
    let (bench, base) = shop();
    let kills = rounds(300, 5000);
    let (mut survived, mut acknowledged, mut unsaid) = (0, 0, 0);
    while survived < kills {
        let begun = first_seed() + survived;
        let count = KILLS_PER_LOGBOOK.min(kills - survived);
        let outcome = std::panic::catch_unwind(|| one_logbook(&bench, &base, begun, count));
        let (said, more) = outcome.unwrap_or_else(|why| {
            println!("one of the {count} kills that begin with CHOCKBOOK_SEED={begun}");
            std::panic::resume_unwind(why)
        });
        survived += count;
        acknowledged += said;
        unsaid += more;
    }
    println!(
        "kills survived: {survived}; events acknowledged and found: {acknowledged}; \
         events on disk that the kill left unsaid: {unsaid}"
    );
    assert!(
        acknowledged as u64 > kills,
        "the kills come too early to prove anything"
    );
}

/// Kills the signing of one logbook again and again. Answers with the events acknowledged, and those that were on
/// disk before the program could say so.
fn one_logbook(bench: &Bench, base: &Path, begun: u64, count: u64) -> (usize, usize) {
    let file = bench.path(&format!("killed-{begun}.chockbook"));
    std::fs::copy(base, &file).unwrap();
    let mut acknowledged = Vec::new();
    let mut known = super::events(&file).unwrap().len();
    let mut unsaid = 0;
    for round in 0..count {
        let seed = begun + round;
        let (said, sent) = sign_and_kill(bench, &file, seed, round as usize);
        let signed = said.len();
        // The first event of a copy says where it comes from, and comes with the first line.
        let start = usize::from(acknowledged.is_empty());
        acknowledged.extend(said);
        let found = expect_whole(bench, &file, &acknowledged);
        let new = found - known;
        assert!(
            new >= signed && new <= sent + start,
            "{new} new events from {sent} lines, {signed} acknowledged"
        );
        unsaid += new - signed;
        known = found;
    }
    for path in super::beside(&file).iter().chain([&file]) {
        std::fs::remove_file(path).unwrap();
    }
    (acknowledged.len(), unsaid)
}

/// One program, killed after a number of acknowledgements and of further bytes written to it. Answers with what it
/// acknowledged and the number of lines that it could have read.
fn sign_and_kill(bench: &Bench, file: &Path, seed: u64, round: usize) -> (Vec<Event>, usize) {
    let mut dice = Dice(seed);
    let count = 1 + dice.below(LINES_MAX);
    let lines: Vec<String> = (0..count)
        .map(|i| line(&mut dice, round * LINES_MAX + i))
        .collect();
    let wanted = dice.below(count);
    let text = lines.concat().into_bytes();
    // So much is there to be read when the last awaited acknowledgement comes; the rest follows byte by byte, so that
    // the program has time for some of it.
    let ahead = lines[..wanted].concat().len() + dice.below(2000);
    let (ahead, rest) = text.split_at(ahead.min(text.len()));
    let rest = &rest[..dice.below(6000).min(rest.len())];

    let mut child = bench
        .command(&log_words(file))
        .env("CHOCKBOOK_PIN", ENGINEER_PIN)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let mut stdout = BufReader::new(child.stdout.take().unwrap());
    // A program that ends by itself closes its input; its status tells below.
    let mut open = stdin.write_all(ahead).is_ok();
    let mut out = String::new();
    for _ in 0..wanted {
        stdout.read_line(&mut out).unwrap();
    }
    for byte in rest {
        open = open && stdin.write_all(&[*byte]).is_ok();
    }
    child.kill().unwrap();
    let status = child.wait().unwrap();
    let mut err = String::new();
    child
        .stderr
        .take()
        .unwrap()
        .read_to_string(&mut err)
        .unwrap();
    assert_eq!(
        status.signal(),
        Some(9),
        "it ended by itself: {status} {err}"
    );
    // What was said and not yet read counts too.
    stdout.read_to_string(&mut out).unwrap();
    let acknowledged = Event::all_signed(&out);
    assert!(acknowledged.len() >= wanted, "{out}");
    let read = String::from_utf8_lossy(&text[..ahead.len() + rest.len()]);
    let sent = read.matches('\n').count();
    (acknowledged, sent)
}

/// A line that can be signed whatever became of the lines before it; `no` is its own in its logbook.
fn line(dice: &mut Dice, no: usize) -> String {
    // One line an hour from 2026-04-01, so that no two campaigns or sheets stand in each other's way.
    let (day, hour) = (no / 24, no % 24);
    let at = format!("2026-{:02}-{:02}T{hour:02}", 4 + day / 28, 1 + day % 28);
    match dice.below(8) {
        0 => sheet(&format!("{at}:30")),
        1 | 2 => format!(
            "{{\"kind\":\"campaign\",\"at\":\"{at}:20\",\"roll\":\"R-101\",\"position_o\":\"F6-W-T-O\",\
             \"position_d\":\"F6-W-T-D\",\"chock_o\":\"WC-13\",\"chock_d\":\"WC-37\",\"from\":\"{at}:01\",\
             \"hours\":0.3,\"tonnes\":\"120\"}}\n"
        ),
        3 => format!(
            "{{\"kind\":\"register_change\",\"entity\":\"grease\",\"code\":\"TRIAL-{no}\",\"name\":\"on trial\"}}\n"
        ),
        // Longer than a page of the database now and then.
        4 => hold(&"brown tint ".repeat(1 + dice.below(600))),
        _ => hold("brown tint"),
    }
}

/// The teardown of the small shop at another time.
fn sheet(at: &str) -> String {
    let text = std::fs::read_to_string(data("regrind.jsonl")).unwrap();
    let sheet = text.lines().find(|line| line.starts_with('{')).unwrap();
    let zone = "\"zone.choice\":\"II\"";
    assert!(sheet.contains("2026-03-21T09:30") && sheet.contains(zone));
    // By then another zone has the least hours.
    let reason = format!("{zone},\"zone.reason\":\"mark worn off\"");
    let moved = sheet.replace("2026-03-21T09:30", at).replace(zone, &reason);
    moved + "\n"
}
