//! A foreman's mounting of a four-row tapered bearing, typed into the real window by keyboard alone.

use crate::window::Window;
use crate::{Bench, ENGINEER, ENGINEER_PIN, FOREMAN_PIN};

/// What is measured on a neck and in a ring of 480 mm.
const GAUGES: &str = r#"{"kind":"register_change","entity":"gauge","code":"OM-02","gauge_kind":"outside micrometer","measures":"neck","range":"400-500","resolution_um":1,"expanded_uncertainty_um":8,"certificate":"C-120","due":"2031-03-01","standard":""}
{"kind":"register_change","entity":"gauge","code":"BG-05","gauge_kind":"bore gauge","measures":"bore","range":"400-600","resolution_um":1,"expanded_uncertainty_um":8,"certificate":"C-121","due":"2031-03-01","standard":""}
"#;

/// Gives the small shop the gauges that a mounting takes.
pub fn add_gauges(bench: &Bench, file: &str) {
    let pin = [("CHOCKBOOK_PIN", ENGINEER_PIN)];
    let log = ["log", file, "--from", "-", "--person", ENGINEER];
    bench.run(&log, GAUGES, &pin).expect(0);
}

/// Mounts WC-37 at F6-W-T-D again, from a new sheet to its signature; nothing is left out.
#[track_caller]
pub fn mount(window: &Window) {
    window.keys(&["ctrl+m"]);
    window.wait_caret("Chock");
    window.enter(&["WC-37", "R-101", "F6-W-T-D"]);
    window.wait_caret("Mounted on");
    window.keys(&["Return", "Return"]);

    // A gauge is read on its standard before anything is measured with it.
    window.wait_caret("Gauge for the roll neck");
    window.enter(&["OM-02", "480.001", "480,000"]);
    window.wait_caret("Neck temperature, first, °C");
    window.enter(&["22", "22"]);
    window.enter(&["479.732", "479,733", "479.731", "479732um"].repeat(3));
    window.enter(&["22"]);
    window.wait_caret("Crack test of the neck");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Gauge for the ring bore");
    window.enter(&["BG-05", "480.000", "480.000"]);
    window.wait_caret("Ring temperature, °C");
    window.enter(&["22", "22", "479.972", "479.974", "479.971", "479.973"]);
    // The neck is judged before the parts go together.
    window.wait_caret("Parts by mark, from the barrel");
    window.wait_for("Neck, largest size");
    window.enter(&["A B C D E"]);
    for ring in 1..=3 {
        window.wait_caret(&format!("Zone up, outer ring {ring} from the barrel"));
        window.type_in("2");
    }
    window.wait_caret("End play, rows 1–2, mm");
    window.enter(&["0.302", "0,302", "304um", "GB-01"]);
    window.wait_caret("Grease");
    window.enter(&["GR-1", "310", "310", "310", "310"]);
    window.wait_caret("Seal batch");
    window.keys(&["Return"]);
    window.wait_caret("Lip looks");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Cover gap at 0 degrees, mm");
    window.enter(&["0.530", "0.540", "0.540", "0.530", "HG-02"]);
    window.wait_caret("Shims put in, mm");
    window.enter(&["0.536", "680", "TW-02"]);
    window.wait_caret("Tightened");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Covered with");
    window.keys(&["Right", "Return"]);
    window.wait_caret("What comes of it");
    window.keys(&["Right", "Return"]);
    window.wait_caret("Fitter");
    window.enter(&["Fitter 4", FOREMAN_PIN]);
    window.wait_caret("Sign for good");
    window.picture("mounting");
    window.keys(&["Return"]);
    window.wait_for("Signed as");
}
