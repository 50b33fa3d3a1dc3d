//! A logbook of each released format, kept as text in `data`: the built program verifies it, prints from it and writes to
//! it, and refuses a draft by name.
#![allow(clippy::unwrap_used)]

use std::path::PathBuf;
use std::process::Command;

use whole_program::{Bench, data};

/// The logbook that the text tells of.
fn made(bench: &Bench, name: &str) -> PathBuf {
    let path = bench.path(name).with_extension("chockbook");
    let conn = rusqlite::Connection::open(&path).unwrap();
    let text = std::fs::read_to_string(data(name)).unwrap();
    conn.execute_batch(&text).unwrap();
    path
}

#[test]
fn a_logbook_of_format_1_is_printed_verified_and_written_to() {
    let bench = Bench::new();
    let path = made(&bench, "format-1.sql");
    let file = path.to_str().unwrap();
    for (serial, words) in [
        ("TH-4T-008", ["0.400", "WC-17", "SB-52"]),
        ("TH-4C-009", ["0.420", "TH-4CI-17", "KC-25"]),
        ("TH-2X-009", ["0.430", "KC-25", "HG-02"]),
        ("TH-2S-013", ["0.168", "BC-01", "FG-05"]),
    ] {
        let pdf = bench.path(&format!("{serial}.pdf"));
        let to = pdf.to_str().unwrap();
        let print = ["print", file, "history", "--bearing", serial, "--to", to];
        bench.run(&print, "", &[]).expect(0);
        let run = Command::new("pdftotext")
            .args(["-layout", to, "-"])
            .output();
        let text = String::from_utf8(run.unwrap().stdout).unwrap();
        for word in words {
            assert!(
                text.contains(word),
                "{serial}: {word} is not printed:\n{text}"
            );
        }
    }
    // Its derived tables were of an older version: opened once, they are derived anew.
    let verified = bench.run(&["verify", file], "", &[]).expect(0).out;
    assert!(
        verified.contains("Everything that was checked holds"),
        "{verified}"
    );
    let pdf = bench.path("impact.pdf");
    let impact = [
        "print",
        file,
        "impact",
        "--gauge",
        "OM-02",
        "--to",
        pdf.to_str().unwrap(),
    ];
    bench.run(&impact, "", &[]).expect(0);
    let log = ["log", file, "--from", "-", "--person", "Roll-shop Engineer"];
    let line = r#"{"kind":"hold","thing":"WC-17","reason":"read again after years"}"#;
    bench
        .run(&log, line, &[("CHOCKBOOK_PIN", "4711")])
        .expect(0);
    bench.run(&["verify", file], "", &[]).expect(0);
}

#[test]
fn a_draft_of_format_1_is_refused_by_name_with_what_to_do() {
    let bench = Bench::new();
    let path = made(&bench, "format-1.sql");
    let conn = rusqlite::Connection::open(&path).unwrap();
    conn.pragma_update(None, "user_version", 1_008).unwrap();
    drop(conn);
    let refused = bench
        .run(&["verify", path.to_str().unwrap()], "", &[])
        .expect(2);
    for words in [
        "draft 8 of format 1",
        "Open it with the program that wrote it",
        "chockbook demo",
    ] {
        assert!(refused.err.contains(words), "{}", refused.err);
    }
}
