//! The sheets of the other families in the real window, by keyboard alone: a four-row cylindrical bearing with its inner
//! half and its thrust bearing, and two spherical ones abreast on a taper. What was typed is on the pages and on paper.
#![allow(clippy::unwrap_used)]

use std::process::Command;

use whole_program::regrind::sign_in_foreman;
use whole_program::window::Window;
use whole_program::{Bench, ENGINEER, ENGINEER_PIN, FOREMAN_PIN, data, is_quick};

/// The small shop with the other families.
fn shop(bench: &Bench) -> String {
    let file = bench.path("shop.chockbook").to_str().unwrap().to_owned();
    let pin = [("CHOCKBOOK_PIN", ENGINEER_PIN)];
    let plant = "Tarnhollow Rolling Works";
    let new = ["new", &file, "--plant", plant, "--engineer", ENGINEER];
    bench.run(&new, "", &pin).expect(0);
    let lines = data("families.jsonl");
    let from = lines.to_str().unwrap();
    let log = ["log", &file, "--from", from, "--person", ENGINEER];
    bench.run(&log, "", &pin).expect(0);
    file
}

/// The history of a bearing as it is printed.
fn history(bench: &Bench, file: &str, serial: &str) -> String {
    let pdf = bench.path(&format!("{serial}.pdf"));
    let to = pdf.to_str().unwrap();
    let words = ["print", file, "history", "--bearing", serial, "--to", to];
    bench.run(&words, "", &[]).expect(0);
    let run = Command::new("pdftotext")
        .args(["-layout", to, "-"])
        .output();
    let run = run.expect("pdftotext is needed: ./tests/run installs it");
    assert!(run.status.success(), "{run:?}");
    String::from_utf8(run.stdout).unwrap()
}

/// Begins a teardown sheet and goes through it up to the clearance.
fn begin(window: &Window, chock: &str, roll: &str, is_half: bool) {
    window.wait_for("New teardown");
    window.keys(&["ctrl+n"]);
    sign_in_foreman(window);
    window.wait_caret("Chock");
    window.enter(&[chock]);
    window.wait_for("beside it");
    window.wait_caret("Roll that the neck belongs to");
    window.enter(&[roll]);
    window.wait_caret("Load zone up as found");
    window.type_in("1");
    window.wait_caret("Neck seal");
    window.type_in("+");
    if is_half {
        window.wait_caret("Inner half on the neck");
        window.keys(&["Right", "Return"]);
    }
    for name in ["Before cleaning", "Washed with", "Dried", "Preserved with"] {
        window.wait_caret(name);
        window.keys(&["Right", "Return"]);
    }
    window.wait_caret("Nothing found on any part");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Crack test of the rings");
    window.keys(&["Right", "Return"]);
    window.wait_caret("How the clearance is read");
    window.keys(&["Right", "Return"]);
}

/// Leaves a seat out with a reason, past all its fields.
fn leave_out(window: &Window, first: &str, reason: &str) {
    window.wait_caret(first);
    window.keys(&["Return"; 16]);
    window.wait(&format!("{reason}, because"), |all| {
        let field = all.iter().find(|c| c.is_field() && c.is_focused());
        field.is_some_and(|c| c.name == reason)
    });
    window.enter(&["measured last week"]);
}

/// Back into its chock as it is, zone I up; the caret is in the grease.
fn decide(window: &Window) {
    window.wait_caret("Decision");
    let all = window.controls();
    assert!(
        !all.iter().any(|c| c.name.contains("Regrind")),
        "no spacers, nothing to regrind"
    );
    window.type_in("1");
    window.wait_caret("Why otherwise than recommended");
    window.enter(&["seats were measured last week"]);
    // Enter opens the section at the first field that its sheet needs.
    window.wait_caret("Turn to load zone");
    window.type_in("+");
    window.wait_caret("Back into chock");
    window.type_in("+");
    window.wait_caret("Grease");
}

/// Fitter, engineer and foreman sign.
fn sign(window: &Window) {
    window.wait_caret("Fitter");
    window.enter(&["Fitter 4"]);
    window.wait_caret("Engineer");
    window.enter(&[ENGINEER, ENGINEER_PIN, FOREMAN_PIN]);
    window.wait_caret("Sign for good");
    window.keys(&["Return"]);
    window.wait_for("Signed as");
}

#[test]
fn a_cylindrical_bearing_is_torn_down_and_mounted_with_its_inner_half_by_keyboard_alone() {
    if is_quick("a cylindrical bearing in the real window") {
        return;
    }
    let bench = Bench::new();
    let file = shop(&bench);
    let window = Window::open(&bench, "1280x800", &[&file], &[]);
    begin(&window, "KC-25", "K-07", true);
    window.wait_caret("Inner raceway, row 1 at 0 degrees, mm");
    let row = ["950.100", "950,102", "950.520", "950522um"];
    window.enter(&row.repeat(4));
    window.wait_caret("Gauge for the clearance");
    window.enter(&["OM-04", "BG-04"]);
    leave_out(
        &window,
        "Gauge for the chock bore",
        "Chock bore not measured, because",
    );
    decide(&window);
    window.keys(&["Return"; 5]);
    window.wait_caret("Not greased, because");
    window.enter(&["oil mist"]);
    window.wait_caret("Cover bolts not tightened, because");
    window.keys(&["Return"]);
    sign(&window);
    window.wait_for("all rows: now 0.420");
    window.picture("families-cylindrical");

    // Onto the neck where its inner half was put anew: neck, fit, heating and seating are asked.
    window.keys(&["ctrl+m"]);
    window.wait_caret("Chock");
    window.enter(&["KC-25", "K-07", "F2-K-T-D"]);
    window.wait_caret("Mounted on");
    window.wait_for("TH-4CI-17");
    window.keys(&["Return", "Return"]);
    window.wait_caret("Gauge for the roll neck");
    window.enter(&["OM-04", "760.000", "760.000"]);
    window.wait_caret("Neck temperature, first, \u{b0}C");
    window.enter(&["22", "22"]);
    window.enter(&["760.350"; 12]);
    window.enter(&["22"]);
    window.wait_caret("Crack test of the neck");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Gauge for the ring bore");
    window.enter(&["BG-04", "760.000", "760.000"]);
    window.wait_caret("Ring temperature, \u{b0}C");
    window.enter(&["22", "22", "759.962", "759.963", "759.961", "759.962"]);
    window.wait_caret("Heated by");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Neck temperature at heating, \u{b0}C");
    window.enter(&["22", "0.125", "75", "TC-03"]);
    window.wait_caret("Demagnetised");
    window.wait_for("Not warm enough yet: 75.0");
    window.picture("families-heating");
    window.keys(&["shift+Return", "shift+Return"]);
    window.wait_caret("Ring temperature reached, \u{b0}C");
    window.enter(&["85"]);
    window.keys(&["Return"]);
    window.wait_caret("Demagnetised");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Gap at the ring faces at 0 degrees, mm");
    window.enter(&["0", "0", "0", "0", "FG-05"]);
    window.wait_caret("Parts by mark, from the barrel");
    window.keys(&["ctrl+Prior"]);
    window.wait_for("FG-05: overdue since 2026-01-01");
    window.picture("families-seating");
    window.keys(&["ctrl+Next"]);
    window.wait_caret("Parts by mark, from the barrel");
    window.enter(&["A B C D"]);
    for ring in 1..=4 {
        window.wait_caret(&format!("Zone up, outer ring {ring} from the barrel"));
        window.type_in("1");
    }
    window.wait_caret("Radial play mounted, place 1, mm");
    window.enter(&["0.42", "0.42", "0.43", "FG-06", "0.41", "HG-02"]);
    window.wait_caret("Grease");
    window.keys(&["Return"; 6]);
    window.wait_caret("Lip looks");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Not greased, because");
    window.enter(&["oil mist"]);
    window.wait_caret("Cover gap at 0 degrees, mm");
    window.keys(&["Return"; 5]);
    window.wait_caret("Cover gap not measured, because");
    window.enter(&["drawn up by hand"]);
    window.wait_caret("Shims put in, mm");
    window.enter(&["1.20", "680", "TW-02"]);
    window.wait_caret("Tightened");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Covered with");
    window.keys(&["Right", "Return"]);
    window.wait_caret("What comes of it");
    window.keys(&["Right", "Return"]);
    window.wait_for("FG-05 was out of calibration when read");
    sign(&window);
    window.picture("families-mounted");
    drop(window);

    bench.run(&["verify", &file], "", &[]).expect(0);
    let text = history(&bench, &file, "TH-4C-009");
    for words in [
        "0.420",
        "950,102",
        "TH-4CI-17",
        "K-07",
        "0.388",
        "drawn up by hand",
        "FG-05",
    ] {
        assert!(text.contains(words), "{words} is not printed:\n{text}");
    }
    // Once it ran on that neck nothing of the ring is asked again.
    let pin = [("CHOCKBOOK_PIN", ENGINEER_PIN)];
    let off = r#"{"kind":"dismounted","chock":"KC-25"}"#;
    let log = ["log", &file, "--from", "-", "--person", ENGINEER];
    bench.run(&log, off, &pin).expect(0);
    let window = Window::open(&bench, "1280x800", &[&file], &[]);
    window.wait_for("New teardown");
    window.keys(&["ctrl+m"]);
    sign_in_foreman(&window);
    window.wait_caret("Chock");
    window.enter(&["KC-25", "K-07", "F2-K-T-D"]);
    window.wait_caret("Mounted on");
    window.wait_for("where it ran before");
    window.keys(&["Return", "Return"]);
    window.wait_caret("Parts by mark, from the barrel");
}

#[test]
fn spherical_bearings_abreast_are_read_by_feeler_on_their_taper_by_keyboard_alone() {
    if is_quick("spherical bearings in the real window") {
        return;
    }
    let bench = Bench::new();
    let file = shop(&bench);
    let window = Window::open(&bench, "1280x800", &[&file], &["CHOCKBOOK_THEME=night"]);
    begin(&window, "BC-01", "BR-01", false);
    window.wait_caret("Row 1 at 0 degrees, leaf passes, mm");
    // Row 1 in inch: 0.0075 in passes, 0.0079 in is refused; of row 2 one place.
    window.enter(&[
        "0.0075in", "0.19", "0.18", "0.19", "0.0079in", "0.21", "0.21", "0.20",
    ]);
    window.enter(&["0.19", "", "", "", "0.20", "", "", ""]);
    window.wait_caret("Gauge for the clearance");
    window.enter(&["FG-05"]);
    window.wait_caret("Clearance on the taper, row 1, mm");
    window.wait_for("overdue since 2026-01-01");
    window.enter(&["0.11", "0.11", "FG-06"]);
    leave_out(
        &window,
        "Gauge for the chock bore",
        "Chock bore not measured, because",
    );
    leave_out(
        &window,
        "Gauge for the roll neck",
        "Roll neck not measured, because",
    );
    window.wait_for("FG-05 was overdue when read");
    decide(&window);
    window.enter(&["G-1", "30", "30"]);
    window.wait_caret("Cover bolts not tightened, because");
    window.keys(&["Return"]);
    window.wait_for("FG-05 was out of calibration when read");
    sign(&window);
    window.wait_for("all rows: now 0.195");
    window.picture("families-spherical");
    drop(window);

    bench.run(&["verify", &file], "", &[]).expect(0);
    let text = history(&bench, &file, "TH-2S-013");
    for words in ["0.0075in", "0.195", "0.085", "BC-01", "measured last week"] {
        assert!(text.contains(words), "{words} is not printed:\n{text}");
    }
}
