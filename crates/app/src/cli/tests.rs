//! Verbs run in memory: what they say, where, and with which exit code.

use std::io::Write;

use super::shop::{BOTH, ENGINEER, PIN, Shop};
use super::*;

#[test]
fn help_names_every_verb_that_is_built_and_no_other() {
    let shop = Shop::bare();
    let help = shop.run(&["--help"], "", &[]);
    assert_eq!((help.code, help.err.as_str()), (0, ""));
    for verb in ["new", "log", "print", "forecast", "verify", "calc", "demo"] {
        assert!(help.out.contains(&format!("chockbook {verb} ")), "{verb}");
        let told = shop.run(&["help", verb], "", &[]);
        assert!(
            told.out.starts_with(&format!("usage: chockbook {verb} ")),
            "{}",
            told.out
        );
        assert_eq!(shop.run(&[verb, "--help"], "", &[]).out, told.out);
    }
    for verb in ["import", "export"] {
        assert!(!help.out.contains(verb), "{verb} is not built");
        assert_eq!(shop.run(&[verb], "", &[]).code, 2);
    }
    let version = shop.run(&["--version"], "", &[]);
    assert_eq!(version.out, format!("{}\n", crate::hands::program()));
}

#[test]
fn wrong_use_exits_2_and_says_what_there_is() {
    let shop = Shop::bare();
    let cases: [(&[&str], &str); 9] = [
        (
            &["frobnicate"],
            "The verbs are new, log, print, forecast, verify, backup, merge, calc, demo",
        ),
        (&["help", "frobnicate"], "\"frobnicate\" is no verb"),
        (&["new"], "FILE is missing"),
        (
            &["new", "x", "--colour", "red"],
            "--colour is no option here; there is --plant, --engineer",
        ),
        (&["log", "x", "--from", "-"], "--person NAME is missing"),
        (
            &["print", "x", "poem", "--bearing", "a", "--to", "b"],
            "\"poem\" cannot be printed; there is history, sheet, blank, chock",
        ),
        (
            &["verify", "/nowhere/x.chockbook"],
            "there is no logbook at /nowhere/x.chockbook",
        ),
        (
            &["demo", "x", "--years", "99"],
            "--years \"99\": a whole number from 2 to 20",
        ),
        (&["calc"], "There is tolerance"),
    ];
    for (args, said) in cases {
        let run = shop.run(args, "", &[]);
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{args:?}");
        assert!(run.err.starts_with("chockbook"), "{}", run.err);
        assert!(run.err.contains(said), "{args:?}: {}", run.err);
    }
}

#[test]
fn a_new_logbook_has_its_plant_and_engineer_and_overwrites_nothing() {
    let shop = Shop::bare();
    let args = ["new", &shop.file, "--engineer", "Engineer"];
    let no_pin = shop.run(&args, "", &[]);
    assert_eq!(no_pin.code, 2);
    assert!(no_pin.err.contains("CHOCKBOOK_PIN"), "{}", no_pin.err);
    let short = shop.run(&args, "", &[("CHOCKBOOK_PIN", "12")]);
    assert_eq!(short.code, 2);
    assert!(short.err.contains("four characters"), "{}", short.err);
    assert!(!Path::new(&shop.file).exists(), "whole or not at all");
    let made = shop.run(&args, "", &PIN);
    assert_eq!(made.code, 0, "{}", made.err);
    assert_eq!(
        store::logbook::plant(shop.open().connection()).unwrap(),
        "shop",
        "the file's name where none is given"
    );
    let again = shop.run(&args, "", &PIN);
    assert_eq!(again.code, 2);
    assert!(again.err.contains("exists already"), "{}", again.err);
    let other = shop.path("other.chockbook");
    assert!(
        shop.run(&["new", &other], "", &[])
            .out
            .contains("the first engineer is made in the window")
    );
}

const HOLD: &str = "{\"kind\":\"hold\",\"thing\":\"TH-4T-101\",\"reason\":\"brown tint\"}";

#[test]
fn each_line_gets_one_signed_line_that_the_logbook_confirms() {
    let shop = Shop::new();
    let run = shop.log(&format!("\u{feff}# a remark\n\n{HOLD}\r\n"), ENGINEER, &PIN);
    let words: Vec<&str> = run.out.split_whitespace().collect();
    let [signed, id, hash] = words.as_slice() else {
        panic!("{}", run.out)
    };
    let logbook = shop.open();
    let (origin, seq) = id.split_once(':').unwrap();
    assert_eq!(*signed, "signed");
    assert_eq!(origin, logbook.current_origin().unwrap().hex());
    let anchor = logbook.anchor().unwrap().unwrap();
    let of_hash = anchor.split('-').skip(2).collect::<String>().to_lowercase();
    assert!(
        hash.starts_with(&of_hash),
        "{hash} is not the head {anchor}"
    );
    assert_eq!(anchor.split('-').nth(1), Some(seq));
    assert_eq!(run.err, "");
}

#[test]
fn a_line_that_cannot_be_signed_stops_the_work_and_says_what_stands() {
    let shop = Shop::new();
    let args = ["log", &shop.file, "--from", "-", "--person", ENGINEER];
    let before = shop.open().anchor().unwrap();
    let cases = [
        (
            "{\"kind\":\"mounted\",\"chock\":\"WC-99\",\"roll\":\"R-101\",\"position\":\"F6-W-T-D\"}",
            "WC-99",
        ),
        (
            "{\"kind\":\"hold\",\"thing\":\"TH-4T-101\",\"reeson\":\"x\"}",
            "reason",
        ),
        ("{\"kind\":\"poem\"}", "\"poem\" is no kind of line"),
        ("not JSON", "JSON"),
    ];
    for (line, what) in cases {
        let run = shop.run(&args, &format!("# remark\n{line}\n{HOLD}\n"), &PIN);
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{line}");
        for said in [
            "standard input, line 2",
            what,
            "nothing was signed before it",
        ] {
            assert!(
                run.err.contains(said),
                "{line}: {said} is not in: {}",
                run.err
            );
        }
    }
    assert_eq!(shop.open().anchor().unwrap(), before);
    let file = shop.path("lines.jsonl");
    std::fs::write(
        &file,
        format!("{HOLD}\n")
            .into_bytes()
            .into_iter()
            .chain(*b"\xff\xfe\n")
            .collect::<Vec<_>>(),
    )
    .unwrap();
    let run = shop.run(
        &["log", &shop.file, "--from", &file, "--person", ENGINEER],
        "",
        &PIN,
    );
    assert_eq!(run.code, 2);
    assert_eq!(run.out.matches("signed ").count(), 1);
    for said in ["lines.jsonl, line 2", "UTF-8", "1 line signed before it"] {
        assert!(run.err.contains(said), "{said} is not in: {}", run.err);
    }
}

#[test]
fn a_wrong_pin_signs_nothing() {
    let shop = Shop::new();
    let args = ["log", &shop.file, "--from", "-", "--person", ENGINEER];
    let run = shop.run(&args, HOLD, &[("CHOCKBOOK_PIN", "0000")]);
    assert_eq!((run.code, run.out.as_str()), (2, ""));
    assert!(
        run.err
            .contains("this PIN does not belong to Roll-shop Engineer"),
        "{}",
        run.err
    );
    shop.wait_ms(60_000);
    assert_eq!(shop.run(&args, HOLD, &PIN).code, 0);
}

#[test]
fn explain_tells_the_verdicts_reasons_and_decision_of_a_teardown() {
    let shop = Shop::new();
    let lines = include_str!("../../../../tests/data/regrind.jsonl");
    let args = ["log", &shop.file, "--from", "-", "--person", "Foreman A"];
    let refused = shop.run(&args, lines, &BOTH);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("engineer"), "{}", refused.err);
    let args = [args.as_slice(), &["--ordered-by", ENGINEER, "--explain"]].concat();
    let run = shop.run(&args, lines, &BOTH);
    assert_eq!(run.code, 0, "{}", run.err);
    for said in [
        "\n  End play, rows 1\u{2013}2: 0.640 mm, fail\n",
        "\n  End play, rows 2\u{2013}3: 0.580 mm, pass\n",
        "\n  End play after grinding, rows 3\u{2013}4: 0.304 mm, pass\n",
        "\n  recommended: Regrind spacers\n",
        "\n  because: ",
        "\n  decided: Regrind spacers\n",
    ] {
        assert!(run.out.contains(said), "{said} is not in: {}", run.out);
    }
}

#[test]
fn verify_says_what_holds_what_does_not_and_what_it_cannot_prove() {
    let shop = Shop::new();
    let good = shop.run(&["verify", &shop.file], "", &[]);
    assert_eq!(good.code, 0, "{}", good.out);
    let anchor = shop.open().anchor().unwrap().unwrap();
    for said in [
        "checked:",
        "cannot prove",
        anchor.as_str(),
        "Everything that was checked holds.",
    ] {
        assert!(good.out.contains(said), "{said} is not in: {}", good.out);
    }
    assert_eq!(
        shop.run(&["verify", &shop.file, "--anchor", &anchor], "", &[])
            .code,
        0
    );
    let mut other = anchor.clone();
    let last = if other.pop() == Some('0') { '1' } else { '0' };
    other.push(last);
    let altered = shop.run(&["verify", &shop.file, "--anchor", &other], "", &[]);
    assert_eq!(altered.code, 1, "{}", altered.out);
    assert!(altered.out.contains("does not hold:"), "{}", altered.out);
    let malformed = shop.run(&["verify", &shop.file, "--anchor", "ABC"], "", &[]);
    assert_eq!(malformed.code, 2);
    assert!(malformed.err.contains("ABC"), "{}", malformed.err);
}

#[test]
fn calc_reads_one_object_and_writes_one() {
    let shop = Shop::bare();
    // ISO 286-1:2010, table 1: IT7 over 500 to 630 mm is 70 um; H has its lower deviation at zero.
    let run = shop.run(
        &["calc", "tolerance"],
        "\u{feff}{\"nominal_mm\":620,\"class\":\"H7\"}",
        &[],
    );
    assert_eq!(run.code, 0, "{}", run.err);
    let got: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!(
        (got["lower_um"].as_f64(), got["upper_um"].as_f64()),
        (Some(0.0), Some(70.0))
    );
    let fail = shop.run(
        &["calc", "conformity"],
        "{\"value\":2,\"upper\":1,\"expanded_uncertainty\":0}",
        &[],
    );
    assert_eq!(fail.code, 0, "a verdict is no failure of the program");
    assert!(fail.out.contains("\"fail\""), "{}", fail.out);
    for (name, input, said) in [
        ("tolerance", "{\"nominal_mm\":620,\"clas\":\"H7\"}", "clas"),
        (
            "tolerance",
            "{\"nominal_mm\":-1,\"class\":\"H7\"}",
            "nominal_mm",
        ),
        ("tolerance", "[]", "one JSON object"),
        ("tolerance", "", "not JSON"),
        (
            "nothing",
            "{}",
            "\"nothing\" is no calculation; there is tolerance",
        ),
    ] {
        let run = shop.run(&["calc", name], input, &[]);
        assert_eq!((run.code, run.out.as_str()), (2, ""), "{input}");
        assert!(run.err.contains(said), "{said} is not in: {}", run.err);
    }
}

#[test]
fn every_calculation_is_listed_with_its_source_and_explains_itself() {
    let shop = Shop::bare();
    let list = shop.run(&["calc", "--list"], "", &[]).out;
    for method in ::calc::method::methods() {
        assert!(
            list.contains(&format!("{}  {}", method.name, method.title)),
            "{}",
            method.name
        );
        assert!(list.contains(method.source), "{}", method.name);
        let help = shop.run(&["calc", method.name, "--help"], "", &[]);
        assert_eq!(help.code, 0);
        for param in method.inputs {
            assert!(
                help.out.contains(param.key) && help.out.contains(param.meaning),
                "{} {}",
                method.name,
                param.key
            );
        }
    }
    assert!(
        shop.run(&["calc", "--help"], "", &[])
            .out
            .starts_with("usage: chockbook calc")
    );
}

#[test]
fn a_history_is_written_whole_or_not_at_all() {
    let shop = Shop::new();
    shop.regrind();
    let to = shop.path("history.pdf");
    let print = |to: &str, serial: &str, at: &str| {
        shop.run(
            &[
                "print",
                &shop.file,
                "history",
                "--bearing",
                serial,
                "--to",
                to,
                "--at",
                at,
            ],
            "",
            &[],
        )
    };
    let run = print(&to, "th-4t-101", "2026-10-30T14:02");
    assert_eq!(run.code, 0, "{}", run.err);
    let first = std::fs::read(&to).unwrap();
    assert!(first.starts_with(b"%PDF"));
    assert!(
        print(&to, "TH-4T-101", "2026-10-30T14:02").code == 0
            && std::fs::read(&to).unwrap() == first,
        "same bytes"
    );
    let lost = print(&shop.path("missing/history.pdf"), "TH-4T-101", "2026-10-30");
    assert_eq!(lost.code, 2);
    assert!(
        lost.err.contains("cannot write") && lost.err.contains("missing/history.pdf"),
        "{}",
        lost.err
    );
    assert!(
        print(&to, "TH-4T-999", "2026-10-30")
            .err
            .contains("\"TH-4T-999\" is not in the register")
    );
    assert!(
        print(&to, "TH-4T-101", "noon")
            .err
            .contains("--at \"noon\" is no time")
    );
    let parts = std::fs::read_dir(Path::new(&to).parent().unwrap()).unwrap();
    assert!(
        parts
            .map(|e| e.unwrap().file_name())
            .all(|n| !n.to_string_lossy().contains(".part"))
    );
}

/// A reader that has gone away.
struct Closed;

impl Write for Closed {
    fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
        Err(std::io::ErrorKind::BrokenPipe.into())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_reader_that_goes_away_is_no_error_but_stops_the_signing() {
    let shop = Shop::new();
    let run = |args: &[&str], input: &str| {
        let args: Vec<String> = args.iter().map(|arg| (*arg).to_owned()).collect();
        let mut err = Vec::new();
        let mut world = World {
            input: &mut input.as_bytes(),
            out: &mut Closed,
            err: &mut err,
            variable: &|_| Some("1470".into()),
            hands: crate::hands::tests::fake().0,
            is_watched: false,
        };
        (
            carry_out(&args, &mut world),
            String::from_utf8(err).unwrap(),
        )
    };
    assert_eq!(run(&["calc", "--list"], ""), (0, String::new()));
    let release = "{\"kind\":\"released\",\"thing\":\"TH-4T-101\",\"reason\":\"wiped off\"}";
    let (code, err) = run(
        &["log", &shop.file, "--from", "-", "--person", ENGINEER],
        &format!("{HOLD}\n{release}\n"),
    );
    assert_eq!(code, 2);
    assert!(err.contains("1 line signed before it"), "{err}");
}

#[test]
fn a_demo_overwrites_nothing() {
    let shop = Shop::new();
    let run = shop.run(&["demo", &shop.file], "", &[]);
    assert_eq!(run.code, 2);
    assert!(run.err.contains("exists already"), "{}", run.err);
}

#[test]
fn the_help_of_log_names_all_kinds_that_it_reads_and_no_other() {
    let shop = Shop::new();
    let help = shop.run(&["help", "log"], "", &[]).out;
    let kinds = help
        .split("Kinds: ")
        .nth(1)
        .and_then(|rest| rest.split("Example").next())
        .unwrap();
    let args = ["log", &shop.file, "--from", "-", "--person", ENGINEER];
    let named: Vec<&str> = kinds.split_whitespace().collect();
    assert_eq!(named, store::line::KINDS);
    for kind in kinds.split_whitespace() {
        let run = shop.run(&args, &format!("{{\"kind\":\"{kind}\"}}"), &PIN);
        assert_eq!(run.code, 2, "{kind} wants more keys");
        assert!(
            !run.err.contains("is no kind of line"),
            "{kind}: {}",
            run.err
        );
    }
}

#[test]
fn a_backup_is_a_checked_copy_with_nothing_new_to_merge() {
    let shop = Shop::new();
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().to_str().unwrap();
    let made = shop.run(&["backup", &shop.file, to], "", &[]);
    assert_eq!(made.code, 0, "{}", made.err);
    assert!(made.out.contains("verified"), "{}", made.out);
    let copy = made.out.split(": ").next().unwrap().to_owned();
    let nowhere = format!("{to}/missing");
    assert_eq!(shop.run(&["backup", &nowhere, to], "", &[]).code, 2);

    let same = shop.run(&["merge", &shop.file, &copy], "", &[]);
    assert_eq!(
        (same.code, same.out.contains("nothing new")),
        (0, true),
        "{}",
        same.err
    );
}
