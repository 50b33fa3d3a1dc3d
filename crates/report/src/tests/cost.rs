//! What a long history costs: as a multiple of what the typesetter needs for the same words in a plain table, in the
//! same run, so that the machine does not matter. And that a very long one is printed at all.

use std::time::{Duration, Instant};

use super::*;

/// A history costs at most so many times the plain table: its rows are laid out cell by cell, with words that may be
/// cut and marks beside them.
const TIMES_MOST: f64 = 8.0;

fn line(at: usize) -> EventLine {
    EventLine {
        date: format!("2026-{:02}-{:02}", at % 12 + 1, at % 28 + 1),
        place: format!("F{}-W-T-O", at % 6 + 1),
        hours: format!("{} h", 900 + at % 100),
        found: vec![
            Piece::plain(format!("Teardown out of WC-17, sheet {at}: end play ")),
            Piece::bold("0.510 / 0.480 / 0.505 mm"),
            Piece::plain("; watch level passed on all pairs"),
        ],
        done: "Return after turning; zone III up".into(),
        signer: "Foreman A".into(),
        ..EventLine::default()
    }
}

fn history(events: usize) -> History {
    History {
        title_line: "History of bearing TH-4T-008".into(),
        serial: "TH-4T-008".into(),
        anchor: "0671 8D1F".into(),
        events: (0..events).map(line).collect(),
        ..History::default()
    }
}

/// The same words in a table of the typesetter without anything of ours.
fn plain(events: &[EventLine]) -> PagedDocument {
    let rows: Vec<Vec<String>> = events
        .iter()
        .map(|line| {
            let found: String = line.found.iter().map(|p| p.text.as_str()).collect();
            let place = format!("{} {}", line.place, line.hours);
            let done = format!("{} {}", line.done, line.signer);
            vec![line.date.clone(), place, found, done]
        })
        .collect();
    let template = "#set text(font: \"Open Sans\", size: 8.5pt, fallback: false)\n\
        #let rows = json(\"data.json\")\n\
        #table(columns: (66pt, 78pt, 1fr, 132pt), stroke: none, ..rows.flatten())";
    typeset::pages(template, serde_json::to_string(&rows).unwrap()).unwrap()
}

fn timed<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let from = Instant::now();
    let done = work();
    (done, from.elapsed())
}

#[test]
fn a_history_of_300_events_costs_a_few_times_a_plain_table_of_the_same_words() {
    // What is made once for a program is not counted.
    plain(&history(1).events);
    history_pages(&history(1)).unwrap();
    let history = history(300);
    let (bare, bare_time) = timed(|| plain(&history.events));
    let (ours, our_time) = timed(|| history_pages(&history).unwrap());
    let times = our_time.as_secs_f64() / bare_time.as_secs_f64();
    println!(
        "300 events: {our_time:.2?} on {} pages, plain table {bare_time:.2?} on {}, {times:.1} times",
        ours.pages().len(),
        bare.pages().len()
    );
    assert!(times < TIMES_MOST, "{times:.1} times the plain table");
}

/// With `CHOCKBOOK_LONG=1` ten thousand, else one.
#[test]
fn a_history_of_thousands_of_events_is_printed_and_none_is_lost() {
    let count = if std::env::var_os("CHOCKBOOK_LONG").is_some() {
        10_000
    } else {
        1_000
    };
    let history = history(count);
    let (document, time) = timed(|| history_pages(&history).unwrap());
    let pages = said(&document);
    println!("{count} events: {time:.2?} on {} pages", pages.len());
    let told = pages.concat();
    for at in [0, 1, count / 2, count - 1] {
        let words = format!("sheet{at}:endplay");
        assert!(told.contains(&words), "event {at} is lost");
    }
    assert_eq!(told.matches("TeardownoutofWC-17").count(), count);
    assert!(pages[pages.len() - 1].contains(&format!("{count}events")));
}

/// The most memory that this process ever held, bytes; none where the system does not tell it.
fn peak() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: u64 = line.trim().trim_end_matches("kB").trim().parse().ok()?;
    Some(kilobytes * 1024)
}

/// A table takes so much memory for each of its rows at the most: what is kept of a row does not grow with their number.
const ROW_BYTES: u64 = 400_000;

/// With `CHOCKBOOK_LONG=1` ten thousand lines, else one: the impact list of a gauge that was used for years.
#[test]
fn a_list_of_thousands_of_lines_is_printed_whole_in_bounded_memory() {
    let count: usize = if std::env::var_os("CHOCKBOOK_LONG").is_some() {
        10_000
    } else {
        1_000
    };
    let row = |at: usize| {
        vec![
            Cell::reading("2025-10-02", format!("e7adf5e3:{at}")),
            Cell::reading(format!("line{at}end"), "Roll neck, smallest size"),
            Cell::text("479.676"),
            Cell::verdict(Mark::PassInDoubt),
        ]
    };
    let paper = Paper {
        title_line: "Gauge impact note OM-07".into(),
        parts: vec![Part::Table(Table {
            title: "What was judged on it".into(),
            columns: vec![
                Column::text("date, record"),
                Column::wide("of, what"),
                Column::number("recorded"),
                Column::text("if corrected"),
            ],
            rows: (0..count).map(row).collect(),
            ..Table::default()
        })],
        ..Paper::default()
    };
    let before = peak();
    let (pdf, time) = timed(|| paper_pdf(&paper).unwrap());
    let grown = peak().zip(before).map(|(after, before)| after - before);
    println!(
        "{count} lines: {time:.2?}, {} bytes of PDF, {grown:?} bytes of memory",
        pdf.len()
    );
    // Other tests of this process may take theirs meanwhile; the bound leaves them room.
    assert!(grown.is_none_or(|bytes| bytes < 1_000_000_000 + ROW_BYTES * count as u64));
    let told = said(&paper_pages(&paper).unwrap()).concat();
    for at in 0..count {
        assert!(told.contains(&format!("line{at}end")), "line {at} is lost");
    }
}
