//! The foreman's task in the real window, with the keyboard alone, and what becomes of it when the program is killed.
#![allow(clippy::unwrap_used)]

use std::path::Path;
use std::process::Command;

use whole_program::mounting::{add_gauges, mount};
use whole_program::regrind::{fill_regrind, new_sheet, sign_in_foreman};
use whole_program::window::{Control, Window, caret};
use whole_program::{Bench, ENGINEER, ENGINEER_PIN, FOREMAN_PIN, is_quick};

/// What the history of that sheet says: end plays as found and after grinding, readings as typed, words.
const IN_HISTORY: [&str; 10] = [
    "0.640",
    "0.580",
    "0.630",
    "0.302",
    "0.304",
    "23372um",
    "23,366",
    "sleeved last week",
    "roll is on the grinder",
    "Fitter 4",
];

/// What it says of the mounting after it.
const IN_MOUNTING: [&str; 8] = [
    "479,733",
    "479732um",
    "479.974",
    "A B C D E",
    "304um",
    "OM-02",
    "BG-05",
    "680 N m",
];

/// The text of a printed document.
fn printed(pdf: &Path) -> String {
    let run = Command::new("pdftotext")
        .arg("-layout")
        .arg(pdf)
        .arg("-")
        .output()
        .expect("pdftotext is needed: ./tests/run installs it");
    assert!(run.status.success(), "{}: {run:?}", pdf.display());
    String::from_utf8(run.stdout).unwrap()
}

/// Insists that the history on the command line holds the sheet, and that the logbook verifies.
fn history(bench: &Bench, file: &str) -> String {
    let verified = bench.run(&["verify", file], "", &[]).expect(0).out;
    assert!(
        verified.contains("Everything that was checked holds"),
        "{verified}"
    );
    let pdf = bench.path("history.pdf");
    let to = pdf.to_str().unwrap();
    let words = ["print", file, "history", "--bearing", "TH-4T-101", "--to"];
    let words: Vec<&str> = words.into_iter().chain([to]).collect();
    bench.run(&words, "", &[]).expect(0);
    let text = printed(&pdf);
    for value in IN_HISTORY {
        assert!(text.contains(value), "{value} is not in the print:\n{text}");
    }
    text
}

#[test]
fn a_regrind_and_its_mounting_go_from_empty_sheets_to_signed_and_printed_by_keyboard_alone() {
    if is_quick("a regrind in the real window") {
        return;
    }
    let bench = Bench::new();
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    add_gauges(&bench, file);
    let window = Window::open(&bench, "1280x800", &[file], &[]);
    new_sheet(&window);
    fill_regrind(&window);
    window.picture("sign");
    window.keys(&["Return"]);
    window.wait_for("Signed as");
    let page = window.wait_for("rows 3–4: now");
    for (row, now) in [
        ("rows 1–2", "0.302"),
        ("rows 2–3", "0.302"),
        ("rows 3–4", "0.304"),
    ] {
        let words = format!("{row}: now {now}");
        assert!(
            page.iter().any(|c| c.name.starts_with(&words)),
            "{words} is not on the page of the bearing"
        );
    }
    window.picture("signed");
    mount(&window);
    window.picture("mounted");
    // From its event to the page of the bearing.
    window.keys(&["ctrl+f"]);
    window.enter(&["TH-4T-101"]);
    window.wait_for("rows 3–4: now");

    window.keys(&["ctrl+p"]);
    window.wait_caret("File to write");
    window.keys(&["ctrl+a"]);
    let own = bench.path("from-the-window.pdf");
    window.enter(&[own.to_str().unwrap()]);
    window.wait_for("The history is written to");
    drop(window);
    let by_window = printed(&own);
    for value in IN_HISTORY {
        assert!(
            by_window.contains(value),
            "{value} is not in the print of the window:\n{by_window}"
        );
    }
    let text = history(&bench, file);
    // The text of a page does not keep the gaps between single letters.
    let bare = |text: &str| text.replace(char::is_whitespace, "");
    for value in IN_MOUNTING {
        assert!(
            bare(&text).contains(&bare(value)),
            "{value} is not in the print:\n{text}"
        );
    }
}

/// What a hand does in one field of the sheet.
#[derive(Clone, Copy)]
enum Act {
    /// A value and Enter.
    Value(&'static str),
    /// Keys, the last of which goes on.
    Keys(&'static [&'static str]),
}

/// Every field of the sheet as a hand meets it, and the field that has the caret afterwards.
const SHEET: [(Act, &str); 64] = {
    use Act::{Keys, Value};
    [
        (Value("WC-37"), "identify.roll"),
        (Keys(&["ctrl+Next", "Right", "Return"]), "found.seal"),
        (
            Keys(&[
                "Right", "Return", "Right", "Return", "Right", "Return", "Right", "Return",
                "Right", "Return", "Return",
            ]),
            "shim.found",
        ),
        (Value("1.20"), "clean.state"),
        (
            Keys(&[
                "Right", "Return", "Right", "Return", "Return", "Right", "Return",
            ]),
            "findings.none",
        ),
        (Keys(&["Right", "Right", "Return"]), "finding.1.part"),
        (Value("outer raceway"), "finding.1.row"),
        (Keys(&["Right", "Return"]), "finding.1.mode"),
        (Value("5.5.3"), "finding.1.severity"),
        (Keys(&["Right", "Right", "Return"]), "finding.1.from"),
        (Value("270"), "finding.1.to"),
        (Value("300"), "finding.1.size"),
        (Keys(&["Return", "Return"]), "finding.2.part"),
        (Keys(&["Return", "Right", "Return"]), "clearance.gap.1.0"),
        (Value("23.372"), "clearance.gap.1.90"),
        (Value("23,366"), "clearance.gap.1.180"),
        (Value("23.378"), "clearance.gap.1.270"),
        (Value("23372um"), "clearance.spacer.1"),
        (Value("24.012"), "clearance.gap.2.0"),
        (Value("29.424"), "clearance.gap.2.90"),
        (Value("29.418"), "clearance.gap.2.180"),
        (Value("29.430"), "clearance.gap.2.270"),
        (Value("29.424"), "clearance.spacer.2"),
        (Value("30.004"), "clearance.gap.3.0"),
        (Value("23.378"), "clearance.gap.3.90"),
        (Value("23.370"), "clearance.gap.3.180"),
        (Value("23.384"), "clearance.gap.3.270"),
        (Value("23.380"), "clearance.spacer.3"),
        (Value("24.008"), "clearance.gauge_gap"),
        (Value("GB-01"), "clearance.gauge_width"),
        (Value("HG-02"), "bore.gauge"),
        (Keys(&["Return"]), "bore.temp_first"),
        (Value("21.5"), "bore.temp_gauge"),
        (Value("21"), "bore.1.0"),
        (Value("620.062"), "bore.1.45"),
        (Keys(&["Return"; 12]), "skip.bore"),
        (Value("sleeved last week"), "neck.gauge"),
        (Keys(&["Return"]), "neck.temp_first"),
        (Value("22"), "neck.temp_gauge"),
        (Keys(&["Return"; 14]), "skip.neck"),
        (Value("roll is on the grinder"), "decision.choice"),
        (Keys(&["Right", "Right", "Right", "Return"]), "after.1"),
        (Value("23.674"), "after.2"),
        (Value("29.726"), "after.3"),
        (Value("23.682"), "retention.checked"),
        (Keys(&["Right", "Return"]), "parts.order"),
        (Keys(&["Right", "Return"]), "seals.done"),
        (Keys(&["Right", "Right", "Return"]), "zone.choice"),
        (Keys(&["Right", "Right", "Return"]), "zone.rings"),
        (Keys(&["Right", "Return"]), "reassemble.chock"),
        (Value("WC-37"), "grease.kind"),
        (Value("GR-1"), "grease.row.1"),
        (Value("310"), "grease.row.2"),
        (Value("310"), "grease.row.3"),
        (Value("310"), "grease.row.4"),
        (Value("310"), "cover.gap.0"),
        (Value("0.530"), "cover.gap.90"),
        (Value("0.540"), "cover.gap.180"),
        (Value("0.540"), "cover.gap.270"),
        (Value("0.530"), "shim.fitted"),
        (Value("0.536"), "bolts.torque"),
        (Keys(&["Return"; 3]), "skip.bolts"),
        (Value("closed by the next shift"), "protect.with"),
        (Keys(&["Right", "Return"]), "sign.fitter"),
    ]
};

/// Whether these words stand in the logbook on disk: in the file, or in the log that belongs to it.
fn is_on_disk(file: &str, words: &str) -> bool {
    [file.to_owned(), format!("{file}-wal")].iter().any(|path| {
        std::fs::read(path).is_ok_and(|bytes| {
            bytes
                .windows(words.len())
                .any(|window| window == words.as_bytes())
        })
    })
}

/// What stands in the fields of the open section, and which choices are made.
fn filled(controls: &[Control]) -> Vec<String> {
    let is_field = |c: &&Control| c.role == "entry" && c.name != "Find or scan";
    let is_choice = |c: &&Control| c.role == "radio button" && c.has("checked");
    controls
        .iter()
        .filter(|c| is_field(c) || is_choice(c))
        .map(|c| format!("{} = {}", c.name, c.value))
        .collect()
}

/// Starts the killed program again, and opens the draft as its foreman.
fn draft_again(window: &Window) {
    window.again();
    window.press("Open the draft of WC-37");
    sign_in_foreman(window);
}

fn is_kept(controls: &[Control]) -> bool {
    controls.iter().any(|c| c.name.starts_with("draft kept"))
}

#[test]
fn after_a_kill_behind_each_field_every_committed_value_and_the_caret_are_back() {
    if is_quick("kill drill in the real window") {
        return;
    }
    let bench = Bench::new();
    let shop = bench.small_shop();
    let file = shop.to_str().unwrap();
    let window = Window::open(&bench, "1280x800", &[file], &[]);
    new_sheet(&window);
    let mut before = String::from("Chock");
    // A kill behind every field takes minutes: behind each with CHOCKBOOK_LONG=1, else behind every second one.
    let all_fields = std::env::var_os("CHOCKBOOK_LONG").is_some();
    for (place, (act, next)) in SHEET.into_iter().enumerate() {
        assert!(
            !is_on_disk(file, next),
            "{next} was there before: the drill would not see it kept"
        );
        match act {
            Act::Value(text) => window.enter(&[text]),
            Act::Keys(keys) => window.keys(keys),
        }
        // The caret has gone on, the window says that all is kept, and the file says so too.
        let kept = window.wait(&format!("{next} to be kept"), |all| {
            caret(all).is_some_and(|at| at != before) && is_kept(all) && is_on_disk(file, next)
        });
        let (was, at) = (filled(&kept), caret(&kept).unwrap());
        if all_fields || place % 2 == 1 {
            window.kill();
            draft_again(&window);
            let back = window.wait_caret(at);
            assert_eq!(filled(&back), was, "before {next}, after a kill");
        }
        at.clone_into(&mut before);
    }

    // Half a value, without Enter: the window says when it is kept, for the first time since it was opened.
    let before = window.wait_caret("Fitter");
    assert!(!is_kept(&before), "kept before anything changed");
    window.type_in("Fit");
    window.wait("half a name to be kept", is_kept);
    window.kill();
    draft_again(&window);
    window.wait("half a name", |all| {
        filled(all).contains(&"Fitter = Fit".to_owned())
    });

    // The sheet that was put together from so many pieces is whole.
    window.wait_caret("Fitter");
    window.keys(&["ctrl+a"]);
    window.enter(&["Fitter 4", ENGINEER, ENGINEER_PIN, FOREMAN_PIN]);
    window.wait_caret("Sign for good");
    window.keys(&["Return"]);
    window.wait_for("Signed as");
    window.kill();
    let text = history(&bench, file);
    for value in ["620.062", "23.674", "29.726", "23.682"] {
        assert!(text.contains(value), "{value} is not in the print:\n{text}");
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
    let new = ["new", file, "--plant", "Tarnhollow Rolling Works"];
    bench.run(&new, "", &[]).expect(0);
    let window = Window::open(&bench, "1280x800", &[file], &[]);
    window.wait_for("The first engineer");
    window.wait_caret("Name of the engineer");
    window.picture("first-engineer");
    window.enter(&[ENGINEER, ENGINEER_PIN, "1471"]);
    window.wait_for("The two PINs differ.");
    window.wait_caret("PIN again");
    window.keys(&["ctrl+a"]);
    window.enter(&[ENGINEER_PIN]);
    window.wait_for(&format!("At work: {ENGINEER}"));

    let second = Window::open(&bench, "1280x800", &[file], &[]);
    let said = second.wait_for("For reading only");
    let said = said
        .iter()
        .find(|c| c.name.starts_with("For reading only"))
        .unwrap();
    assert!(
        said.name.contains("process") && said.name.contains("writes it"),
        "who writes is not in: {}",
        said.name
    );
    second.keys(&["ctrl+n"]);
    second.wait_for("No sheet can be begun");
    second.picture("read-only");
    drop(second);
    drop(window);
    bench.run(&["verify", file], "", &[]).expect(0);
    let third = Window::open(&bench, "1280x800", &[file], &[]);
    let freed = third.wait_for("Open Setup");
    assert!(
        !freed.iter().any(|c| c.name.starts_with("For reading only")),
        "the lock outlived its program"
    );
}

#[test]
fn a_wrong_pin_says_so_and_the_right_one_still_signs_in() {
    if is_quick("a wrong PIN in the real window") {
        return;
    }
    let bench = Bench::new();
    let shop = bench.small_shop();
    let window = Window::open(&bench, "1280x800", &[shop.to_str().unwrap()], &[]);
    window.wait_for("New teardown");
    window.keys(&["ctrl+n"]);
    window.wait_caret("PIN");
    window.keys(&["Down"]);
    window.enter(&["1111"]);
    window.wait_for("This PIN does not belong to Foreman A");
    window.picture("wrong-pin");
    window.wait("the end of the wait", |all| {
        all.iter()
            .any(|c| c.name == "Sign in" && c.role == "push button")
    });
    window.wait_caret("PIN");
    window.enter(&[FOREMAN_PIN]);
    window.wait_caret("Chock");
    window.wait_for("At work: Foreman A");
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
    for size in ["1280x800", "1920x1080"] {
        for theme in ["day", "night"] {
            let theme_set = format!("CHOCKBOOK_THEME={theme}");
            let window = Window::open(&bench, size, &[file], &[&theme_set]);
            let (width, height) = size.split_once('x').unwrap();
            window.act(&["resize", width, height]);
            window.wait_for("New teardown");
            window.picture(&format!("log-{size}-{theme}"));
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
}

/// Opens a page by its number in the list at the left.
fn turn_to(window: &Window, page: &str) {
    let all = window.wait_for(page);
    let mut pages = all.iter().filter(|c| c.role == "page tab");
    let number = pages.position(|c| c.name == page).unwrap() + 1;
    window.keys(&[&format!("ctrl+{number}")]);
    window.wait(&format!("the page {page}"), |all| {
        all.iter().any(|c| c.name == page && c.has("checked"))
    });
}

/// Goes down the list of calculations to this one; its first field has the caret.
fn open_calculation(window: &Window, title: &str, first: &str) {
    let all = window.controls();
    let lists = all.iter().filter(|c| c.role == "page tab");
    // The list of pages comes before it, with the setup as its last.
    let list: Vec<&Control> = lists.skip_while(|c| c.name != "Setup").skip(1).collect();
    let here = list.iter().position(|c| c.has("checked")).unwrap();
    let there = list.iter().position(|c| c.name == title).unwrap();
    let steps = (there + list.len() - here) % list.len();
    window.keys(&vec!["ctrl+Next"; steps]);
    window.wait_caret(first);
}

/// Goes past the fields to the buttons and presses Clear: nothing is left of the example or of what was typed.
fn clear(window: &Window, first: &str) {
    let all = window.controls();
    let fields = all.iter().filter(|c| c.role == "entry").count() - 1; // less the search field
    window.keys(&vec!["Return"; fields]);
    window.wait_caret("Print");
    // One at a time: what comes in one frame moves the caret once.
    for _ in 0..6 {
        window.keys(&["Tab"]);
        window.settle();
        if caret(&window.controls()) == Some("Clear") {
            break;
        }
    }
    window.wait_caret("Clear");
    window.keys(&["Return"]);
    window.wait_caret(first);
    window.wait_for("Still to fill in");
}

/// Types a calculation whose first field has the caret, and waits for each thing that is said.
fn calculate(window: &Window, typed: &[&str], said: &[&str]) {
    window.enter(typed);
    window.wait_caret("Print");
    for words in said {
        window.wait_for(words);
    }
}

/// Bench of story C, teardown 5: step, then of each row pair width, four gaps, target, smallest width; the clearance
/// itself and the ring are left out.
const STACK: [&str; 31] = [
    "0.01", "24.012", "23.372", "23.366", "23.378", "23.372", "", "0.27", "0.33", "23", "",
    "30.004", "29.424", "29.418", "29.430", "29.424", "", "0.27", "0.33", "29", "", "24.008",
    "23.378", "23.370", "23.384", "23.380", "", "0.27", "0.33", "23", "",
];

/// Of the stack on paper: inputs, results, derivation, formula, source, caution.
const ON_PAPER: [&str; 14] = [
    "0.01 mm",
    "rows 3–4",
    "24.012 mm",
    "30.004 mm",
    "23.372 / 23.366 / 23.378",
    "0.340 / 0.280 / 0.330 mm",
    "0.640 / 0.580 / 0.630 mm",
    "23.672 / 29.724 / 23.678 mm",
    "\u{2212}0.670 mm",
    "rows 2–3: 30.004 \u{2212} 29.424",
    "clearance = spacer \u{2212} mean(gaps)",
    "All in whole nanometres",
    "rounding and refusals: common practice, no",
    "Lifting stacked rings: follow the site",
];

/// Chooses another unit of length, on the page of the setup that is about this logbook.
fn change_unit(window: &Window, key: &str, unit: &str) {
    turn_to(window, "Setup");
    for _ in 0..20 {
        window.keys(&["ctrl+Next"]);
        window.settle();
        if caret(&window.controls()) == Some("Lengths") {
            break;
        }
    }
    window.wait_caret("Lengths");
    window.keys(&[key]);
    window.wait("the other unit", |all| {
        let chosen = format!("Lengths: {unit}");
        all.iter().any(|c| c.name == chosen && c.has("checked"))
    });
    turn_to(window, "Bench");
}

#[test]
fn a_fit_a_stack_and_a_heating_are_worked_by_keyboard_alone_in_both_unit_systems() {
    if is_quick("calculations in the real window") {
        return;
    }
    let bench = Bench::new();
    let shop = bench.small_shop();
    let window = Window::open(&bench, "1280x800", &[shop.to_str().unwrap()], &[]);
    window.wait_for("New teardown");
    turn_to(&window, "Bench");
    let fit = "nominal size of both, mm";
    window.wait_caret(fit);
    clear(&window, fit);
    calculate(
        &window,
        &["480", "0", "-45", "f6"],
        &["23 to 108 \u{b5}m", "clearance, always loose"],
    );
    window.picture("bench-fit-mm");

    let step = "grinding step, mm";
    open_calculation(&window, "Stack", step);
    clear(&window, step);
    calculate(
        &window,
        &STACK,
        &[
            "0.340 / 0.280 / 0.330 mm",
            "0.640 / 0.580 / 0.630 mm",
            "23.672 / 29.724 / 23.678 mm",
            "\u{2212}0.670 mm",
        ],
    );
    window.picture("bench-stack-mm");
    window.keys(&["ctrl+p"]);
    window.wait_caret("File to write");
    window.keys(&["ctrl+a"]);
    let pdf = bench.path("stack.pdf");
    window.enter(&[pdf.to_str().unwrap()]);
    window.wait_for("The calculation is written to");
    let paper = printed(&pdf);
    for words in ON_PAPER {
        assert!(paper.contains(words), "{words} is not printed:\n{paper}");
    }

    let bore = "bore of the ring, mm";
    open_calculation(&window, "Heating", bore);
    clear(&window, bore);
    let heating = ["760", "320", "125", "22", "12.5", "120"];
    calculate(
        &window,
        &heating,
        &["heat to 69 \u{b0}C", "How it comes out"],
    );
    window.picture("bench-heating-mm");

    // The same in inch: what was typed before stays, and is shown in the other unit.
    change_unit(&window, "Right", "inch");
    open_calculation(&window, "Stack", "grinding step, in");
    for words in ["0.01339 / 0.01102 / 0.01299 in", "\u{2212}0.02638 in"] {
        window.wait_for(words);
    }
    window.picture("bench-stack-inch");
    let fit = "nominal size of both, in";
    open_calculation(&window, "Fit", fit);
    clear(&window, fit);
    calculate(
        &window,
        &["18.897638", "0", "-1.7717", "f6"],
        &["0.91 to 4.25 thou"],
    );
    window.picture("bench-fit-inch");
    let bore = "bore of the ring, in";
    open_calculation(&window, "Heating", bore);
    clear(&window, bore);
    let heating = ["29.92126", "12.6", "4.92", "22", "12.5", "120"];
    calculate(&window, &heating, &["heat to 69 \u{b0}C"]);
    window.picture("bench-heating-inch");

    // A second one beside it, from the list: back before the first field, and Ctrl with Enter.
    window.keys(&["ctrl+Next", "ctrl+Prior"]);
    window.wait_caret(bore);
    window.keys(&["shift+Return"]);
    window.wait("the keyboard in the list", |all| {
        all.iter().any(|c| c.name == "Heating" && c.is_focused())
    });
    window.keys(&["Down", "ctrl+Return"]);
    window.wait_for("Print, right");
    change_unit(&window, "Left", "mm");
    window.wait_for("heat to 69 \u{b0}C");
    window.picture("bench-two");
}
