//! The verbs as another program or a person without a screen uses them.
#![allow(clippy::unwrap_used)]

use whole_program::{Bench, ENGINEER, ENGINEER_PIN, FOREMAN_PIN, data};

const PIN: [(&str, &str); 1] = [("CHOCKBOOK_PIN", ENGINEER_PIN)];

#[test]
fn a_regrind_is_logged_signed_verified_and_printed() {
    let bench = Bench::new();
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    let sheet = data("regrind.jsonl");
    let sheet = sheet.to_str().unwrap();

    // The foreman alone may not: a regrind is the engineer's order.
    let foreman = [("CHOCKBOOK_PIN", FOREMAN_PIN)];
    let refused = bench
        .run(
            &["log", file, "--from", sheet, "--person", "Foreman A"],
            "",
            &foreman,
        )
        .expect(2);
    assert!(refused.out.is_empty(), "{}", refused.out);
    assert!(refused.err.contains("engineer"), "{}", refused.err);

    let both = [
        ("CHOCKBOOK_PIN", FOREMAN_PIN),
        ("CHOCKBOOK_ORDER_PIN", ENGINEER_PIN),
    ];
    let words = [
        "log",
        file,
        "--from",
        sheet,
        "--person",
        "Foreman A",
        "--ordered-by",
        ENGINEER,
    ];
    let signed = bench.run(&words, "", &both).expect(0);
    let line = signed.out.lines().next().unwrap();
    let parts: Vec<&str> = line.split(' ').collect();
    assert_eq!((parts[0], parts.len()), ("signed", 3), "{line}");
    let (origin, seq) = parts[1].split_once(':').unwrap();
    assert_eq!((origin.len(), parts[2].len()), (32, 64), "{line}");
    assert!(seq.parse::<u32>().unwrap() > 1);

    bench.run(&["verify", file], "", &[]).expect(0);
    let pdf = bench.path("history.pdf");
    let words = [
        "print",
        file,
        "history",
        "--bearing",
        "TH-4T-101",
        "--to",
        pdf.to_str().unwrap(),
        "--at",
        "2026-03-22T08:00",
    ];
    bench.run(&words, "", &[]).expect(0);
    let first = std::fs::read(&pdf).unwrap();
    assert!(first.starts_with(b"%PDF"), "no PDF");
    bench.run(&words, "", &[]).expect(0);
    assert_eq!(
        std::fs::read(&pdf).unwrap(),
        first,
        "the same print at the same time has the same bytes"
    );
}

#[test]
fn a_wrong_line_is_named_and_what_came_before_it_stays() {
    let bench = Bench::new();
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    let lines = "{\"kind\":\"hold\",\"thing\":\"TH-4T-101\",\"reason\":\"brown tint\"}\n\
                 {\"kind\":\"mounted\",\"chock\":\"WC-99\",\"roll\":\"R-101\",\"position\":\"F6-W-T-D\"}\n";
    let run = bench
        .run(
            &["log", file, "--from", "-", "--person", ENGINEER],
            lines,
            &PIN,
        )
        .expect(2);
    assert_eq!(run.out.matches("signed ").count(), 1, "{}", run.out);
    for word in ["line 2", "WC-99"] {
        assert!(run.err.contains(word), "{word} is not in: {}", run.err);
    }
    bench.run(&["verify", file], "", &[]).expect(0);
}

#[test]
fn wrong_use_says_what_where_and_what_to_do() {
    let bench = Bench::new();
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    let cases: [(&[&str], &str); 8] = [
        (&["frobnicate"], "help"),
        (&["new", file], "exists"),
        (&["verify", "missing.chockbook"], "missing.chockbook"),
        (&["log", file, "--from", "-"], "--person"),
        (
            &[
                "print",
                file,
                "history",
                "--bearing",
                "TH-4T-999",
                "--to",
                "x.pdf",
            ],
            "TH-4T-999",
        ),
        (
            &["print", file, "history", "--bearing", "TH-4T-101"],
            "--to",
        ),
        (&["calc", "nothing"], "nothing"),
        (&["verify", file, "--anchor", "ABC"], "ABC"),
    ];
    for (words, hint) in cases {
        let run = bench.run(words, "", &PIN).expect(2);
        assert!(
            run.err.contains(hint),
            "{words:?}: {hint:?} is not in: {}",
            run.err
        );
    }
    let wrong = bench.run(
        &["log", file, "--from", "-", "--person", ENGINEER],
        "",
        &[("CHOCKBOOK_PIN", "0000")],
    );
    assert!(wrong.expect(2).err.contains("PIN"));
    let auditor = [("CHOCKBOOK_PIN", "9753")];
    let hold = "{\"kind\":\"hold\",\"thing\":\"TH-4T-101\",\"reason\":\"x\"}\n";
    let run = bench
        .run(
            &["log", file, "--from", "-", "--person", "Auditor"],
            hold,
            &auditor,
        )
        .expect(2);
    assert!(run.err.contains("auditor"), "{}", run.err);
}

#[test]
fn the_stack_of_the_demo_is_calculated_as_written() {
    let bench = Bench::new();
    let input = r#"{"pairs":[
        {"spacer_mm":24.012,"gaps_mm":[23.372,23.366,23.378,23.372],"target_min_mm":0.27,"target_max_mm":0.33,"min_spacer_mm":22},
        {"spacer_mm":30.004,"gaps_mm":[29.424,29.418,29.430,29.424],"target_min_mm":0.27,"target_max_mm":0.33,"min_spacer_mm":28},
        {"spacer_mm":24.008,"gaps_mm":[23.378,23.370,23.384,23.380],"target_min_mm":0.27,"target_max_mm":0.33,"min_spacer_mm":22}],
        "step_mm":0.01}"#;
    let run = bench.run(&["calc", "stack"], input, &[]).expect(0);
    let got: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    let grind: Vec<f64> = (0..3)
        .map(|i| got["pairs"][i]["grind_mm"].as_f64().unwrap())
        .collect();
    assert_eq!(grind, [0.34, 0.28, 0.33]);
    assert_eq!(got["outer_stack_change_mm"].as_f64(), Some(-0.67));
    let wrong = bench
        .run(
            &["calc", "stack"],
            r#"{"pairs":[{"spacer":1}],"step_mm":0.01}"#,
            &[],
        )
        .expect(2);
    assert!(wrong.err.contains("spacer"), "{}", wrong.err);
    let list = bench.run(&["calc", "--list"], "", &[]).expect(0).out;
    for name in ["tolerance", "fit", "seat", "conformity", "stack"] {
        assert!(list.contains(name), "{name} is not listed");
        assert!(
            bench
                .run(&["calc", name, "--help"], "", &[])
                .expect(0)
                .out
                .contains("ource"),
            "{name} names no source"
        );
    }
}

#[test]
fn an_anchor_confirms_an_unchanged_file_and_shows_a_changed_one() {
    let bench = Bench::new();
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    let printed = bench.run(&["verify", file], "", &[]).expect(0).out;
    let code = printed
        .split_whitespace()
        .find(|word| word.matches('-').count() == 6 && word.len() > 30)
        .unwrap_or_else(|| panic!("no anchor in: {printed}"))
        .trim_matches(|c: char| !c.is_ascii_alphanumeric())
        .to_owned();
    bench
        .run(&["verify", file, "--anchor", &code], "", &[])
        .expect(0);
    let mut other = code.clone();
    let last = if other.pop() == Some('0') { '1' } else { '0' };
    other.push(last);
    bench
        .run(&["verify", file, "--anchor", &other], "", &[])
        .expect(1);

    let mut bytes = std::fs::read(&shop).unwrap();
    let at = bytes.windows(9).position(|w| w == b"TH-4T-101").unwrap();
    bytes[at] = b'X';
    std::fs::write(&shop, bytes).unwrap();
    assert_ne!(
        bench.run(&["verify", file], "", &[]).code,
        Some(0),
        "a changed serial must show"
    );
}
