//! The page of a gauge by label: what it is, what speaks against it, its papers, and what happened.
#![allow(clippy::unwrap_used)]

use crate::win::command::Command;
use crate::win::route::{Route, SetupPage};
use crate::win::tests::Bench;

#[test]
fn a_gauge_says_what_speaks_against_it_and_what_happened() {
    let mut b = Bench::with_lines(&[
        r#"{"kind":"register_change","entity":"gauge","code":"BG-03","gauge_kind":"bore gauge","measures":"bore","resolution_um":1,"expanded_uncertainty_um":10,"certificate":"C-1","due":"2027-01-01"}"#,
        r#"{"kind":"gauge_found_out","gauge":"BG-03","error_um":"12","text":"on SR-02"}"#,
    ]);
    let no = b.ask(|logbook| {
        store::sheet::thing_by_code(logbook.connection(), "gauge", "BG-03")
            .unwrap()
            .unwrap()
            .0
    });
    assert_eq!(Route::of_thing("gauge", no), Some(Route::Thing(no)));
    b.command(Command::Go(Route::Thing(no)));
    assert!(b.has("its readings stay in doubt until it is calibrated"));
    assert!(
        b.has("found to read wrongly on"),
        "the register does not call it overdue"
    );
    assert!(b.has("Found to read +12 \u{b5}m on"));
    assert!(b.has("Nothing was read on it since its last calibration."));
    assert!(b.has("Gauge found out"));
    b.click("Tell what happened, or change the record");
    assert_eq!(b.route(), Route::Setup(SetupPage::Gauges, Some(no)));
}
