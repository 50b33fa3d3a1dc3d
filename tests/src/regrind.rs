//! A foreman's regrind, typed into the real window of the small shop by keyboard alone.

use crate::window::Window;
use crate::{ENGINEER, ENGINEER_PIN, FOREMAN_PIN};

/// The bench of story C with the gauges; one value with a comma, one in micrometres.
const BENCH: [&str; 17] = [
    "23.372", "23,366", "23.378", "23372um", "24.012", "29.424", "29.418", "29.430", "29.424",
    "30.004", "23.378", "23.370", "23.384", "23.380", "24.008", "GB-01", "HG-02",
];

/// Chooses the foreman and types their PIN.
#[track_caller]
pub fn sign_in_foreman(window: &Window) {
    window.wait_caret("PIN");
    window.keys(&["Down"]);
    window.enter(&[FOREMAN_PIN]);
}

/// Begins a sheet and leaves the caret in its first field.
#[track_caller]
pub fn new_sheet(window: &Window) {
    window.wait_for("New teardown");
    window.keys(&["ctrl+n"]);
    sign_in_foreman(window);
    window.wait_caret("Chock");
}

/// Fills a new sheet in, up to the button that signs it, and looks at what the window says on the way.
#[track_caller]
pub fn fill_regrind(window: &Window) {
    window.enter(&["WC-37"]);
    window.wait_for("off F6-W-T-D");
    window.keys(&["ctrl+Next"]);
    for name in [
        "Load zone up as found",
        "Neck seal",
        "Grease",
        "Water inside",
        "Turned by hand",
        "Cover bolts",
        "Metal in the grease",
    ] {
        window.wait_caret(name);
        window.keys(&["Right", "Return"]);
    }
    // What need not be noted is passed over by Enter.
    window.wait_caret("Cover shims found, mm");
    window.enter(&["1.20"]);
    for name in ["Before cleaning", "Washed with", "Dried", "Preserved with"] {
        window.wait_caret(name);
        window.keys(&["Right", "Return"]);
    }
    window.wait_caret("Nothing found on any part");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Crack test of the rings");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Gap of rows 1–2 at 0 degrees, mm");
    window.enter(&BENCH);
    window.wait_caret("Gauge for the chock bore");
    // Past every field of the seats to the reason why not.
    for (first, last, reason) in [
        (
            "Gauge for the chock bore",
            "Chock bore not measured, because",
            "sleeved last week",
        ),
        (
            "Gauge for the roll neck",
            "Roll neck not measured, because",
            "roll is on the grinder",
        ),
    ] {
        window.wait_caret(first);
        window.keys(&["Return"; 16]);
        window.wait_caret(last);
        window.enter(&[reason]);
    }
    window.wait_caret("Decision");
    window.keys(&["Right", "Right", "Right"]);
    window.wait("the regrind to be chosen", |all| {
        all.iter()
            .any(|c| c.name == "Decision: Regrind" && c.has("checked"))
    });
    window.keys(&["Return"]);
    window.wait_caret("Spacer S1 width after grinding, mm");
    window.enter(&["23.674", "29.726", "23.682"]);
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
    window.wait_caret("Axial retention on the neck checked");
    window.keys(&["Right", "Return"]);
    // One letter chooses, and goes on.
    for (name, letter) in [("Order of the parts", "r"), ("Neck seals", "k")] {
        window.wait_caret(name);
        window.keys(&[letter]);
    }
    window.wait_caret("Turn to load zone");
    window.keys(&["Right", "Right", "Return"]);
    window.wait_caret("Zone up on the outer rings");
    window.keys(&["a"]);
    window.wait_caret("Back into chock");
    window.enter(&["WC-37", "GR-1", "310", "310", "310", "310"]);
    window.wait_caret("Cover gap at 0 degrees, mm");
    window.enter(&["0.530", "0.540", "0.540", "0.530"]);
    window.wait_caret("Cover shims put in, mm");
    window.enter(&["0.536"]);
    window.wait_caret("Torque of the cover bolts, N m");
    window.enter(&["680"]);
    window.wait_caret("Cover bolts tightened");
    window.keys(&["c"]);
    window.wait_caret("Torque wrench");
    window.enter(&["TW-02"]);
    window.wait_caret("Protected until closed by");
    window.keys(&["c"]);
    window.wait_caret("Fitter");
    window.enter(&["Fitter 4", ENGINEER, ENGINEER_PIN, FOREMAN_PIN]);
    window.wait_caret("Sign for good");
}
