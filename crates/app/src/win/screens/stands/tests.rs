//! The page of the stands by label: an empty logbook, and one with a position and nothing measured.
#![allow(clippy::unwrap_used)]

use crate::win::command::Command;
use crate::win::route::{Route, SetupPage};
use crate::win::tests::Bench;

#[test]
fn an_empty_logbook_says_what_comes_first() {
    let mut b = Bench::with_people();
    b.command(Command::Go(Route::Stands));
    assert!(b.has("No stand is registered yet."));
    b.click("Open Setup");
    assert_eq!(b.route(), Route::Setup(SetupPage::Stands, None));
}

#[test]
fn a_position_without_readings_is_shown_and_compared_with_nothing() {
    let mut b = Bench::with_lines(&[
        r#"{"kind":"register_change","entity":"line","code":"FT","name":"train"}"#,
        r#"{"kind":"register_change","entity":"stand","code":"F3","line":"FT","build":"four-high"}"#,
        r#"{"kind":"register_change","entity":"position","code":"F3-W-T-O","stand":"F3","role":"W","level":"T","side":"O","load_angle_deg":0}"#,
        r#"{"kind":"register_change","entity":"roll","code":"R-1","line":"FT","role":"W"}"#,
        r#"{"kind":"register_change","entity":"bearing_type","code":"N4T","bearing_kind":"four_row_tapered","values":{"bore_mm":480}}"#,
        r#"{"kind":"register_change","entity":"chock_type","code":"top","seats":{"main":"N4T"},"shim_place":"between","fits":["W-T-O"]}"#,
        r#"{"kind":"register_change","entity":"chock","code":"WC-1","chock_type":"top"}"#,
        r#"{"kind":"mounted","chock":"WC-1","roll":"R-1","position":"F3-W-T-O","note":"as it stood"}"#,
    ]);
    b.command(Command::Go(Route::Stands));
    assert!(b.has("Nothing has been measured twice yet"));
    assert!(b.has("1 position without a bearing torn down from there yet"));
    assert!(b.has("Nothing stands out beyond chance."));
}
