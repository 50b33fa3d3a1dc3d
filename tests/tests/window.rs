//! The foreman's task in the real window, with the keyboard alone.
#![allow(clippy::unwrap_used)]

use whole_program::window::Window;
use whole_program::{Bench, ENGINEER, ENGINEER_PIN, FOREMAN_PIN, is_quick};

/// The bench of story C with the gauges; one value with a comma, one in micrometres.
const BENCH: [&str; 17] = [
    "23.372", "23,366", "23.378", "23372um", "24.012", "29.424", "29.418", "29.430", "29.424",
    "30.004", "23.378", "23.370", "23.384", "23.380", "24.008", "GB-01", "HG-02",
];

fn sign_in(window: &Window) {
    window.wait_for("Who is at work?");
    window.keys(&["Down"]);
    window.enter(&[FOREMAN_PIN]);
}

/// Opens a sheet for WC-37 and goes to the bench.
fn to_the_bench(window: &Window) {
    window.wait_for("New teardown");
    window.keys(&["ctrl+n"]);
    sign_in(window);
    window.wait_caret("Chock");
    window.enter(&["WC-37"]);
    window.wait_for("off F6-W-T-D");
    window.keys(&["ctrl+Next"]);
    window.wait_caret("Gap 1 at 0 degrees, mm");
}

#[test]
fn a_regrind_goes_from_an_empty_sheet_to_signed_and_printed_by_keyboard_alone() {
    if is_quick("a regrind in the real window") {
        return;
    }
    let bench = Bench::new();
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    let window = Window::open(&bench, "1280x800", &[file], &[]);
    to_the_bench(&window);
    window.enter(&BENCH);
    window.wait_caret("Chock temperature, first, °C");
    // Past every field of the seats to the reason why not.
    for reason in ["sleeved last week", "roll is on the grinder"] {
        window.keys(&["Return"; 16]);
        window.enter(&[reason]);
    }
    window.wait_for("Regrind spacers");
    window.keys(&["Right", "Right", "Right", "Return"]);
    window.wait_caret("Spacer S1 width after grinding, mm");
    window.enter(&["23.674", "29.726", "23.682", "1.20"]);
    let shown = window.wait_for("0.536 mm");
    for words in [
        "outer stack 0.664 mm shorter",
        "inner stack 0.278 mm shorter",
    ] {
        assert!(
            shown.iter().any(|c| c.name == words),
            "{words} is not shown"
        );
    }
    window.keys(&["Right", "Return"]); // axial retention checked
    window.keys(&["Right", "Right", "Return"]); // zone II
    window.wait_caret("Back into chock");
    window.enter(&["WC-37", "GR-1", "310", "310", "310", "310"]);
    window.wait_caret("Fitter");
    window.enter(&["Fitter 4", ENGINEER, ENGINEER_PIN, FOREMAN_PIN]);
    window.picture("sign");
    window.keys(&["Return"]);
    window.wait_for("Signed as");
    window.wait_for("TH-4T-101");
    window.picture("signed");
    drop(window);

    let verified = bench.run(&["verify", file], "", &[]).expect(0).out;
    assert!(
        verified.contains("Everything that was checked holds"),
        "{verified}"
    );
    let pdf = bench.path("history.pdf");
    let words = [
        "print",
        file,
        "history",
        "--bearing",
        "TH-4T-101",
        "--to",
        pdf.to_str().unwrap(),
    ];
    bench.run(&words, "", &[]).expect(0);
    let text = std::process::Command::new("pdftotext")
        .args(["-layout"])
        .arg(&pdf)
        .arg("-")
        .output();
    let text = String::from_utf8_lossy(
        &text
            .expect("pdftotext is needed: ./tests/run installs it")
            .stdout,
    )
    .into_owned();
    for value in [
        "0.640",
        "0.580",
        "0.630",
        "0.302",
        "0.304",
        "23372um",
        "23,366",
        "sleeved last week",
        "Fitter 4",
    ] {
        assert!(text.contains(value), "{value} is not in the print:\n{text}");
    }
}

#[test]
fn after_a_kill_behind_each_field_every_committed_value_and_the_caret_are_back() {
    if is_quick("kill drill in the real window") {
        return;
    }
    let bench = Bench::new();
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    let mut window = Window::open(&bench, "1280x800", &[file], &[]);
    to_the_bench(&window);
    let fields = |window: &Window| -> Vec<(String, String)> {
        let all = window
            .controls()
            .into_iter()
            .filter(|c| c.role == "entry" && c.name != "Find or scan");
        all.map(|c| (c.name, c.value)).collect()
    };
    for (count, value) in (1..).zip(BENCH) {
        window.enter(&[value]);
        // Kept: the note is there and the caret has gone on.
        let before = window.wait("the value to be kept", |all| {
            let filled = all
                .iter()
                .filter(|c| c.role == "entry" && !c.value.is_empty())
                .count();
            let noted = all.iter().any(|c| c.name.starts_with("draft kept"));
            noted && (filled == count || count >= 17)
        });
        let caret = before
            .iter()
            .find(|c| c.is_focused && c.role == "entry")
            .map(|c| c.name.clone());
        let typed = fields(&window);
        window.kill(file);

        window = Window::open(&bench, "1280x800", &[file], &[]);
        window.wait_for("Open the draft of WC-37");
        window.press("Open the draft of WC-37");
        let there = window.wait("the sheet, or the question who is at work", |all| {
            all.iter()
                .any(|c| c.name == "Who is at work?" || c.name == "What the sheet says")
        });
        if there.iter().any(|c| c.name == "Who is at work?") {
            sign_in(&window);
        }
        let caret = caret.expect("no field had the caret");
        window.wait_caret(&caret);
        assert_eq!(fields(&window), typed, "after {value} and a kill");
    }
}

#[test]
fn an_empty_logbook_makes_its_first_engineer_and_a_second_program_only_reads() {
    if is_quick("first engineer in the real window") {
        return;
    }
    let bench = Bench::new();
    let file = bench.path("new.chockbook");
    let file = file.to_str().unwrap();
    bench
        .run(
            &["new", file, "--plant", "Tarnhollow Rolling Works"],
            "",
            &[],
        )
        .expect(0);
    let window = Window::open(&bench, "1280x800", &[file], &[]);
    window.wait_for("first engineer");
    window.picture("first-engineer");
    window.enter(&[ENGINEER, ENGINEER_PIN, ENGINEER_PIN]);
    window.keys(&["Return"]);
    window.wait_for(&format!("At work: {ENGINEER}"));
    let second = Window::open(&bench, "1280x800", &[file], &[]);
    second.wait_for("writes it");
    second.picture("read-only");
    drop(window);
    drop(second);
    bench.run(&["verify", file], "", &[]).expect(0);
}

#[test]
fn the_demo_opens_at_both_sizes_in_both_themes() {
    if is_quick("pictures of the real window") {
        return;
    }
    let bench = Bench::new();
    let file = bench.path("demo.chockbook");
    let file = file.to_str().unwrap();
    bench.run(&["demo", file], "", &[]).expect(0);
    for (size, theme) in [("1280x800", "day"), ("1920x1080", "night")] {
        let window = Window::open(
            &bench,
            size,
            &[file],
            &[&format!("CHOCKBOOK_THEME={theme}")],
        );
        let (width, height) = size.split_once('x').unwrap();
        window.act(&["resize", width, height]);
        window.wait_for("New teardown");
        for (code, shown) in [
            ("TH-4T-031", "Growth of end play"),
            ("WC-17", "Bore checks"),
        ] {
            window.keys(&["ctrl+f"]);
            window.enter(&[code]);
            let controls = window.wait_for(shown);
            assert!(
                !controls.iter().any(|c| c.name.contains("[U+")),
                "a character has no glyph"
            );
            window.picture(&format!("{code}-{size}-{theme}"));
        }
    }
}
