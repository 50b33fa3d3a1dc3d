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

#[test]
fn a_roll_and_a_position_say_where_they_are_and_what_is_there() {
    let mut b = Bench::with_lines(&[
        r#"{"kind":"register_change","entity":"line","code":"FT","name":"strip"}"#,
        r#"{"kind":"register_change","entity":"stand","code":"F4","line":"FT","build":"four-high"}"#,
        r#"{"kind":"register_change","entity":"position","code":"F4-W-B-O","stand":"F4","role":"W","level":"B","side":"O","fixed":true,"load_angle_deg":0}"#,
        r#"{"kind":"register_change","entity":"roll","code":"R-101","line":"FT","role":"W"}"#,
        r#"{"kind":"register_change","entity":"bearing_type","code":"N4T","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"outside_mm":620,"width_mm":336,"rows_count":4}}"#,
        r#"{"kind":"register_change","entity":"chock_type","code":"W","seats":{"main":"N4T"},"shim_place":"under_flange","fits":["W-B-O"]}"#,
        r#"{"kind":"register_change","entity":"chock","code":"WC-32","chock_type":"W"}"#,
        r#"{"kind":"register_change","entity":"roll","code":"R-102","line":"FT","role":"W"}"#,
        r#"{"kind":"mounted","at":"2026-10-29T06:00","chock":"WC-32","roll":"R-101","position":"F4-W-B-O","note":"trial"}"#,
    ]);
    let of = |b: &mut Bench, entity: &'static str, code: &'static str| {
        b.ask(move |logbook| {
            let found = store::sheet::thing_by_code(logbook.connection(), entity, code);
            found.unwrap().unwrap().0
        })
    };
    let (roll, other) = (of(&mut b, "roll", "R-101"), of(&mut b, "roll", "R-102"));
    let place = of(&mut b, "position", "F4-W-B-O");
    b.command(Command::Go(Route::Thing(roll)));
    assert!(b.has("With WC-32 at F4-W-B-O."));
    b.command(Command::Go(Route::Thing(other)));
    assert!(b.has("In the shop: no chock is on it."));
    b.command(Command::Go(Route::Thing(place)));
    assert!(b.has("WC-32 on R-101 has been there since 2026-10-29."));
}
