//! Documents as somebody gets them years later: their text holds what the database holds, and they are what they say:
//! PDF/A-2a and PDF/UA-1. An independent validator judges that (`tests/pdfa`, a program of its own that is built here).
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};
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

/// An independent validator finds every document to be PDF/A-2a and PDF/UA-1, and `qpdf` finds it whole.
#[track_caller]
fn assert_for_archives(files: &[PathBuf]) {
    let tool = Path::new(env!("CARGO_MANIFEST_DIR")).join("pdfa/Cargo.toml");
    // Beside what the workspace builds, so that it is built once.
    let target = whole_program::binary().parent().unwrap().join("../pdfa");
    let run = Command::new(env!("CARGO"))
        .args(["run", "--quiet", "--locked", "--manifest-path"])
        .arg(tool)
        .arg("--target-dir")
        .arg(target)
        .arg("--")
        .args(files)
        .output()
        .unwrap();
    let told = String::from_utf8_lossy(&run.stdout);
    assert!(
        run.status.success(),
        "{told}{}",
        String::from_utf8_lossy(&run.stderr)
    );
    assert_eq!(
        told.matches("rules hold").count(),
        2 * files.len(),
        "{told}"
    );
    for file in files {
        let run = Command::new("qpdf")
            .arg("--check")
            .arg(file)
            .output()
            .expect("qpdf is needed: ./tests/run installs it");
        assert!(run.status.success(), "{}: {run:?}", file.display());
    }
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
fn everything_entered_on_a_filled_mounting_sheet_is_in_its_print() {
    let bench = Bench::new();
    let file = shop(&bench);
    let log = |line: &str, person: &str, pin: &str| {
        let words = ["log", &file, "--from", "-", "--person", person];
        let mut words = words.to_vec();
        words.extend(["--ordered-by", ENGINEER]);
        let pins = [
            ("CHOCKBOOK_PIN", pin),
            ("CHOCKBOOK_ORDER_PIN", ENGINEER_PIN),
        ];
        bench.run(&words, line, &pins).expect(0)
    };
    let things = concat!(
        r#"{"kind":"register_change","entity":"gauge","code":"OM-02","gauge_kind":"outside micrometer","measures":"neck","resolution_um":1,"expanded_uncertainty_um":8,"due":"2031-03-01"}"#,
        "\n",
        r#"{"kind":"register_change","entity":"grease","code":"GR-7","name":"winter grease"}"#,
        "\n",
        r#"{"kind":"register_change","entity":"seal_batch","code":"SB-26-02","name":"neck seals"}"#,
    );
    log(things, ENGINEER, ENGINEER_PIN);
    // A field, what is typed into it, and what the paper says of it.
    let typed = [
        ("identify.chock", "WC-37", "WC-37"),
        ("identify.roll", "R-101", "R-101"),
        ("identify.position", "F6-W-T-D", "F6-W-T-D"),
        ("mount.note", "dry day, doors shut", "dry day, doors shut"),
        ("neck.temp_first", "20.3", "20.3"),
        ("neck.temp_gauge", "20.4", "20.4"),
        ("neck.temp_last", "20.6", "20.6"),
        ("neck.1.0", "479.731", "479.731"),
        ("neck.1.45", "479.732", "479.732"),
        ("neck.1.90", "479,733", "479,733"),
        ("neck.1.135", "479.734", "479.734"),
        ("neck.2.0", "479.735", "479.735"),
        ("neck.2.45", "479.736", "479.736"),
        ("neck.2.90", "479.737", "479.737"),
        ("neck.2.135", "479.738", "479.738"),
        ("neck.3.0", "479.726", "479.726"),
        ("neck.3.45", "479.727", "479.727"),
        ("neck.3.90", "479.728", "479.728"),
        ("neck.3.135", "479.729", "479.729"),
        ("neck.gauge", "OM-02", "OM-02"),
        ("neck.check.read", "480.001", "480.001"),
        ("neck.check.standard", "480.002", "480.002"),
        ("mount.neck.cracks", "dye_clear", "dye: clear"),
        ("mount.ring.temp", "20.7", "20.7"),
        ("mount.ring.temp_gauge", "20.8", "20.8"),
        ("mount.ring.1", "479.981", "479.981"),
        ("mount.ring.2", "479.982", "479.982"),
        ("mount.ring.3", "479.983", "479.983"),
        ("mount.ring.4", "479.984", "479.984"),
        ("mount.ring.gauge", "BG-03", "BG-03"),
        ("mount.ring.check.read", "480.003", "480.003"),
        ("mount.ring.check.standard", "480.004", "480.004"),
        (
            "mount.parts.order",
            "A to E by their marks",
            "A to E by their marks",
        ),
        ("mount.parts.zone.1", "II", "Zone up, outer ring 1"),
        ("mount.parts.zone.2", "III", "Zone up, outer ring 2"),
        ("mount.parts.zone.3", "IV", "Zone up, outer ring 3"),
        (
            "mount.parts.reason",
            "stagger tried once",
            "stagger tried once",
        ),
        ("mount.play.1", "0.301", "0.301"),
        ("mount.play.2", "0.302", "0.302"),
        ("mount.play.3", "0.303", "0.303"),
        ("mount.play.gauge", "GB-01", "GB-01"),
        ("grease.kind", "GR-7", "GR-7"),
        ("grease.row.1", "311", "311"),
        ("grease.row.2", "312", "312"),
        ("grease.row.3", "313", "313"),
        ("grease.row.4", "314", "314"),
        ("lube.approval", "LA-12 of the maker", "LA-12 of the maker"),
        ("mount.seal.batch", "SB-26-02", "SB-26-02"),
        ("mount.seal.lip", "sound", "sound"),
        ("mount.cover.0", "0.531", "0.531"),
        ("mount.cover.90", "0.532", "0.532"),
        ("mount.cover.180", "0.533", "0.533"),
        ("mount.cover.270", "0.534", "0.534"),
        ("mount.cover.gauge", "HG-02", "HG-02"),
        ("mount.shim", "0.535", "0.535"),
        ("mount.bolt.torque", "681", "681"),
        ("mount.bolt.wrench", "TW-02", "TW-02"),
        (
            "mount.bolt.pattern",
            "crosswise_steps",
            "crosswise, in steps",
        ),
        ("mount.protect", "textile", "clean textile"),
        ("mount.outcome", "mounted", "mounted"),
        ("sign.fitter", "Fitter 4", "Fitter 4"),
    ];
    let fields: Vec<String> = typed
        .iter()
        .map(|(path, text, _)| format!("{path:?}:{text:?}"))
        .collect();
    let line = format!(
        r#"{{"kind":"mounting_sheet","at":"2026-03-22T09:00","fields":{{{}}},"skip":{{}}}}"#,
        fields.join(",")
    );
    let signed = log(&line, "Foreman A", FOREMAN_PIN);
    let event = signed.out.split_whitespace().nth(1).unwrap().to_owned();
    let to = bench.path("mounting.pdf");
    let words = ["print", &file, "sheet", "--event", &event, "--to"];
    let words = [&words[..], &[to.to_str().unwrap()]].concat();
    bench.run(&words, "", &[]).expect(0);
    let told = said(&to);
    let is_told = |words: &str| told.contains(&words.split_whitespace().collect::<String>());
    let left_out: Vec<_> = typed.iter().filter(|(.., words)| !is_told(words)).collect();
    assert!(left_out.is_empty(), "{left_out:?} in {told}");
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
    let mut files = Vec::new();
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
        files.push(to);
    }
    assert_for_archives(&files);
}

/// Marks and names of the small shop, and what stands in their place: markup of the typesetter, letters from right to
/// left, letters that no font has, words without an end.
const HOSTILE: [(&str, &str); 9] = [
    ("WC-37", "WC #x[*37*] $a$ \u{6f22}\u{5b57}"),
    (
        "TH-4T-101",
        "#panic() \u{5e9}\u{5dc}\u{5d5}\u{5dd} `r` @q <l> 101",
    ),
    (
        "N4T-480/620-336",
        "_N4T_ = 480 // \u{1f600} WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW",
    ),
    ("GB-01", "GB*_`$#01 \u{645}\u{642}"),
    ("F6-W-T-D", "F6-~W~-T-\u{2192}-D"),
    ("R-101", "R-#let x = 1; 101"),
    (
        "Foreman A",
        "#Foreman [A] \u{4e2d}\u{6587} with a name that is very long",
    ),
    ("work top D", "work / top * D #"),
    ("light stains", "#strike[light] $stains$ \\\\ \u{5d0}"),
];

/// The text with every hostile word in its place.
fn hostile(text: &str) -> String {
    let with = |text: String, (plain, hostile): &(&str, &str)| text.replace(plain, hostile);
    HOSTILE.iter().fold(text.to_owned(), with)
}

/// Every sort of document, of a shop whose every mark and name is hostile, and of one in which nothing happened.
#[test]
fn hostile_words_and_an_empty_logbook_print_in_every_document() {
    let bench = Bench::new();
    let engineer = [("CHOCKBOOK_PIN", ENGINEER_PIN)];
    let both = [
        ("CHOCKBOOK_PIN", FOREMAN_PIN),
        ("CHOCKBOOK_ORDER_PIN", ENGINEER_PIN),
    ];
    let shop = std::fs::read_to_string(data("shop.jsonl")).unwrap();
    let register: String = shop
        .lines()
        .filter(|line| line.starts_with('#') || line.contains("register_change"))
        .fold(String::new(), |all, line| all + line + "\n");
    let regrind = std::fs::read_to_string(data("regrind.jsonl")).unwrap();
    let found_out = "{\"kind\":\"gauge_found_out\",\"at\":\"2026-09-25T08:00\",\"gauge\":\"GB-01\",\"error_um\":\"12\",\"text\":\"light stains\"}\n";
    let hold = "{\"kind\":\"hold\",\"at\":\"2026-09-26\",\"thing\":\"TH-4T-101\",\"reason\":\"light stains\"}\n";
    let log = |file: &str, lines: &str, person: &str, pins: &[(&str, &str)]| {
        let words = [
            "log",
            file,
            "--from",
            "-",
            "--person",
            person,
            "--ordered-by",
            ENGINEER,
        ];
        let words = if pins.len() == 1 {
            &words[..6]
        } else {
            &words[..]
        };
        bench.run(words, lines, pins).expect(0);
    };
    let mut files = Vec::new();
    for is_hostile in [true, false] {
        let told = |text: &str| {
            if is_hostile {
                hostile(text)
            } else {
                text.to_owned()
            }
        };
        let file = bench.path(if is_hostile {
            "hostile.chockbook"
        } else {
            "empty.chockbook"
        });
        let file = file.to_str().unwrap();
        let plant = told(
            "light stains at a plant whose name is far too long for the head of a page of paper",
        );
        let words = ["new", file, "--plant", &plant, "--engineer", ENGINEER];
        bench.run(&words, "", &engineer).expect(0);
        log(
            file,
            &told(if is_hostile { &shop } else { &register }),
            ENGINEER,
            &engineer,
        );
        if is_hostile {
            log(file, &told(&regrind), &told("Foreman A"), &both);
            log(file, &told(found_out), ENGINEER, &engineer);
            log(file, &told(hold), ENGINEER, &engineer);
        }
        let bearing = told("TH-4T-101");
        let (chock, gauge, of_type) = (told("WC-37"), told("GB-01"), told("N4T-480/620-336"));
        // What there is nothing of in an empty logbook is refused, in words, by the other test.
        let all: [(&str, &[&str], bool); 14] = [
            ("history", &["--bearing", &bearing], true),
            ("chock", &["--chock", &chock], true),
            ("gauge", &["--gauge", &gauge], true),
            ("packet", &["--bearing", &bearing], true),
            ("packet", &["--chock", &chock], true),
            ("stand", &["--stand", "F6", "--from", "2026-01-01"], true),
            ("handover", &[], true),
            ("blank", &["--type", &of_type], true),
            ("blank", &["--type", &of_type, "--mounting"], true),
            ("labels", &["--kind", "bearing"], true),
            ("sheet", &["--bearing", &bearing], false),
            ("grind", &["--bearing", &bearing], false),
            ("impact", &["--gauge", &gauge], false),
            ("tag", &["--thing", &bearing], false),
        ];
        for (at, (what, rest, is_there)) in all.into_iter().enumerate() {
            if !is_there && !is_hostile {
                continue;
            }
            let to = bench.path(&format!("{what}-{at}-{is_hostile}.pdf"));
            let mut words = vec!["print", file, what, "--to", to.to_str().unwrap()];
            words.extend(rest);
            words.extend(["--for", &plant, "--at", "2026-10-30T14:02"]);
            bench.run(&words, "", &[]).expect(0);
            let text = said(&to);
            // Letters that the font has stand as they are, the others under their code.
            let names: [(&str, &str); 3] = [
                (
                    &bearing,
                    "#panic()[U+05E9][U+05DC][U+05D5][U+05DD]`r`@q<l>101",
                ),
                (&chock, "WC#x[*37*]$a$[U+6F22][U+5B57]"),
                (&gauge, "GB*_`$#01[U+0645][U+0642]"),
            ];
            for (name, shown) in names {
                if is_hostile && rest.contains(&name) {
                    assert!(text.contains(shown), "{what} does not say {shown}: {text}");
                }
            }
            files.push(to);
        }
    }
    assert_for_archives(&files);
}

#[test]
fn what_cannot_be_printed_says_what_there_is() {
    let bench = Bench::new();
    let file = shop(&bench);
    let to = bench.path("x.pdf");
    let cases: [(&[&str], &str); 8] = [
        (&["chock"], "--chock: which chock is missing"),
        (
            &[
                "stand",
                "--stand",
                "F6",
                "--from",
                "2026-03-01",
                "--until",
                "2026-02-01",
            ],
            "--from: it begins after --until",
        ),
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
