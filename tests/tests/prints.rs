//! Documents as somebody gets them years later: their text holds what the database holds, and they say that they are
//! for archives. No validator of that format is to be had as a package: `qpdf` and `pdftotext` read the files, and the
//! typesetter refuses what the format forbids.
#![allow(clippy::unwrap_used)]

use std::path::Path;
use std::process::Command;

use rusqlite::Connection;
use whole_program::{Bench, ENGINEER, ENGINEER_PIN, FOREMAN_PIN, data};

/// The text of a PDF, without spaces: lines end anywhere.
fn said(pdf: &Path) -> String {
    let run = Command::new("pdftotext")
        .args(["-raw", pdf.to_str().unwrap(), "-"])
        .output()
        .expect("pdftotext is needed: ./tests/run installs it");
    assert!(run.status.success(), "{}: {run:?}", pdf.display());
    let text = String::from_utf8(run.stdout).unwrap();
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// A shop with the regrind signed.
fn shop(bench: &Bench) -> String {
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap().to_owned();
    let sheet = data("regrind.jsonl");
    let both = [
        ("CHOCKBOOK_PIN", FOREMAN_PIN),
        ("CHOCKBOOK_ORDER_PIN", ENGINEER_PIN),
    ];
    let words = [
        "log",
        &file,
        "--from",
        sheet.to_str().unwrap(),
        "--person",
        "Foreman A",
        "--ordered-by",
        ENGINEER,
    ];
    bench.run(&words, "", &both).expect(0);
    file
}

/// What the database holds in one column.
fn column(file: &str, sql: &str) -> Vec<String> {
    let conn = Connection::open(file).unwrap();
    let mut stmt = conn.prepare(sql).unwrap();
    let rows = stmt.query_map([], |row| row.get(0)).unwrap();
    rows.map(Result::unwrap).collect()
}

#[test]
fn the_text_of_history_sheet_and_gauge_holds_every_reading_of_the_database() {
    let bench = Bench::new();
    let file = shop(&bench);
    let print = |what: &str, rest: &[&str]| {
        let to = bench.path(&format!("{what}.pdf"));
        let mut words = vec!["print", &file, what, "--to", to.to_str().unwrap()];
        words.extend(rest);
        bench.run(&words, "", &[]).expect(0);
        said(&to)
    };
    let all = "SELECT text FROM reading ORDER BY path";
    let readings = column(&file, all);
    assert!(readings.len() > 20, "{}", readings.len());
    let history = print("history", &["--bearing", "TH-4T-101"]);
    let sheet = print("sheet", &["--bearing", "TH-4T-101"]);
    for reading in &readings {
        let reading: String = reading.split_whitespace().collect();
        assert!(
            history.contains(&reading),
            "{reading} is not in the history"
        );
        assert!(sheet.contains(&reading), "{reading} is not on the sheet");
    }
    let of_gauge =
        "SELECT r.text FROM reading r JOIN gauge g ON g.no = r.gauge WHERE g.code = 'GB-01'";
    let readings = column(&file, of_gauge);
    assert_eq!(readings.len(), 12);
    let gauge = print("gauge", &["--gauge", "GB-01", "--since", "2026-01-01"]);
    for reading in &readings {
        assert!(gauge.contains(reading), "{reading} is not with its gauge");
    }
    // Everybody and everything that is scanned has a label.
    let marks = column(&file, "SELECT code FROM thing WHERE entity = 'gauge'");
    let labels = print("labels", &["--kind", "gauge"]);
    for mark in &marks {
        assert!(labels.contains(mark), "{mark} has no label");
    }
}

#[test]
fn documents_are_for_archives_whole_and_the_same_each_time() {
    let bench = Bench::new();
    let file = shop(&bench);
    let all: [&[&str]; 10] = [
        &["history", "--bearing", "TH-4T-101"],
        &["sheet", "--bearing", "TH-4T-101"],
        &["blank", "--type", "N4T-480/620-336"],
        &["chock", "--chock", "WC-37"],
        &["gauge", "--gauge", "GB-01"],
        &["grind", "--bearing", "TH-4T-101"],
        &["packet", "--chock", "WC-37"],
        &["stand", "--stand", "F6", "--from", "2026-01-01"],
        &["handover"],
        &["labels", "--kind", "person"],
    ];
    for rest in all {
        let to = bench.path(&format!("{}.pdf", rest[0]));
        let mut words = vec!["print", &file];
        words.extend(rest);
        words.extend(["--to", to.to_str().unwrap(), "--at", "2026-10-30T14:02"]);
        bench.run(&words, "", &[]).expect(0);
        let first = std::fs::read(&to).unwrap();
        bench.run(&words, "", &[]).expect(0);
        assert!(
            std::fs::read(&to).unwrap() == first,
            "{}: other bytes",
            rest[0]
        );
        let text = String::from_utf8_lossy(&first);
        for claim in ["pdfaid:part", "pdfaid:conformance", "pdfuaid:part"] {
            assert!(text.contains(claim), "{}: {claim}", rest[0]);
        }
        let told = said(&to);
        if rest[0] != "labels" {
            for words in [
                "page1of",
                "printed2026-10-3014:02",
                "Chockbook",
                "doesnotreleasemachinery",
            ] {
                assert!(told.contains(words), "{}: {words} in {told}", rest[0]);
            }
        }
        if !["labels", "blank"].contains(&rest[0]) {
            assert!(told.contains("Endofrecord"), "{}", rest[0]);
            assert!(told.contains("anchor"), "{}", rest[0]);
        }
        let run = Command::new("qpdf")
            .arg("--check")
            .arg(&to)
            .output()
            .expect("qpdf is needed: ./tests/run installs it");
        assert!(run.status.success(), "{}: {run:?}", rest[0]);
    }
}

#[test]
fn what_cannot_be_printed_says_what_there_is() {
    let bench = Bench::new();
    let file = shop(&bench);
    let to = bench.path("x.pdf");
    let cases: [(&[&str], &str); 7] = [
        (&["chock"], "--chock: which chock is missing"),
        (
            &["chock", "--chock", "WC-99"],
            "\"WC-99\" is not in the register",
        ),
        (
            &["chock", "--chock", "WC-37", "--gauge", "GB-01"],
            "--gauge is nothing for chock, which takes --chock",
        ),
        (&["stand", "--stand", "F6"], "--from: a day is missing"),
        (
            &["sheet"],
            "--bearing: which bearing, or the record of a sheet, is missing",
        ),
        (
            &["labels", "--kind", "gauge", "--grid", "30x9"],
            "a label has",
        ),
        (
            &["handover", "--since", "noon"],
            "--since \"noon\" is no time",
        ),
    ];
    for (rest, told) in cases {
        let mut words = vec!["print", &file];
        words.extend(rest);
        words.extend(["--to", to.to_str().unwrap()]);
        let run = bench.run(&words, "", &[]).expect(2);
        assert!(run.err.contains(told), "{rest:?}: {}", run.err);
        assert!(!to.exists(), "{rest:?} left a file");
    }
}
