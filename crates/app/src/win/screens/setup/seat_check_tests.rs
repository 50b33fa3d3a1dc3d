//! A neck measured apart from a teardown, what is asked before it is signed, and what a refused form hands on, by
//! keyboard.
#![allow(clippy::unwrap_used)]

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use store::query::{JournalFilter, journal};

use super::life_tests::shop;
use super::tell::tests::tell;
use super::tests::{add, ask, go, has, press, save, type_on};
use crate::win::tests::Bench;

/// The shop with a roll and a gauge for its necks.
fn with_roll() -> Bench {
    let mut b = shop();
    go(&mut b, "Rolls");
    add(&mut b, "roll", &["R-101", "FT", ">1"]);
    go(&mut b, "Gauges");
    add(
        &mut b,
        "gauge",
        &[
            "OM-02",
            "outside micrometer",
            ">2",
            "400-500",
            "0.001",
            "0.008",
            "C-1",
            "2027-01-01",
            "",
        ],
    );
    b
}

fn kinds(b: &mut Bench) -> Vec<String> {
    ask(b, |logbook| {
        let show = store::entry::Show::default();
        let lines = journal(logbook.connection(), &JournalFilter::default(), show).unwrap();
        lines.into_iter().map(|line| line.kind).collect()
    })
}

/// Everything but the sizes, up to the remark and the time.
fn measured(sizes: [&str; 12]) -> Vec<&str> {
    let before = [
        "R-101", ">1", "", "om-02", "480.000", "480.001", "", "20", "20",
    ];
    let after = ["20", "", "", "after grinding", ""];
    [&before[..], &sizes, &after].concat()
}

#[test]
fn a_neck_is_measured_alone_and_judged_while_it_is_typed() {
    let mut b = with_roll();
    let mut sizes = ["479.702"; 12];
    sizes[11] = "";
    tell(&mut b, "5", &measured(sizes));
    assert!(
        has(&b, "One value is not read"),
        "what is left out is asked about"
    );
    assert!(has(&b, "Sign all the same"));
    let mut b = with_roll();
    tell(&mut b, "5", &measured(["479.702"; 12]));
    assert!(!has(&b, "not read") && !has(&b, "not right yet"));
    assert!(
        has(&b, "Largest size"),
        "the verdict stands beside the form"
    );
    save(&mut b);
    assert_eq!(kinds(&mut b)[0], "seat_check");
    let (readings, words) = ask(&mut b, |logbook| {
        let conn = logbook.connection();
        let show = store::entry::Show::default();
        let lines = journal(conn, &JournalFilter::default(), show).unwrap();
        let line = lines
            .into_iter()
            .find(|line| line.kind == "seat_check")
            .unwrap();
        let detail = store::query::sheet_detail(conn, line.no, show)
            .unwrap()
            .unwrap();
        (detail.body.readings.len(), line.text())
    });
    assert_eq!(
        readings, 17,
        "twelve sizes, three temperatures, the check of the gauge"
    );
    assert!(
        words.contains("R-101") && words.contains("after grinding"),
        "{words}"
    );
}

/// A chock whose type asks for four planes, and a gauge and a thermometer for it.
fn with_four_planes() -> Bench {
    let mut b = shop();
    go(&mut b, "Chock types");
    let of_four = ["PT", "N4T-480/620-336", "", "", ">1", ">3", "W-T-O"];
    add(&mut b, "chock type", &of_four);
    go(&mut b, "Chocks");
    add(&mut b, "chock", &["PC-01", "PT"]);
    go(&mut b, "Gauges");
    let bore = [
        "BG-02",
        "own",
        ">1",
        "600-650",
        "0.001",
        "0.008",
        "C-1",
        "2027-01-01",
        "",
    ];
    add(&mut b, "gauge", &bore);
    b.click("Add a gauge");
    type_on(&mut b, &["TC-03", "own"]);
    // What it measures stands in rows of three: Tab goes on to the second.
    press(&mut b, Modifiers::NONE, Key::Tab);
    type_on(
        &mut b,
        &[">2", "0-150", "0.1", "0.5", "C-1", "2027-01-01", ""],
    );
    save(&mut b);
    assert!(!has(&b, "New gauge"), "it was not saved");
    b
}

/// Every place of its grid, the remark and the reason.
fn four_planes(sizes: [&'static str; 16], why_not: &'static str) -> Vec<&'static str> {
    let before = [
        "PC-01", "", "bg-02", "620.000", "620.001", "tc-03", "20", "20",
    ];
    let after = ["20", why_not, "bore in doubt", ""];
    [&before[..], &sizes, &after].concat()
}

#[test]
fn a_bore_of_four_planes_is_measured_alone_in_all_of_them() {
    let signed = |b: &mut Bench| {
        ask(b, |logbook| {
            let conn = logbook.connection();
            let show = store::entry::Show::default();
            let lines = journal(conn, &JournalFilter::default(), show).unwrap();
            let line = lines.into_iter().find(|line| line.kind == "seat_check");
            let detail = store::query::sheet_detail(conn, line.unwrap().no, show);
            detail.unwrap().unwrap()
        })
    };
    let mut b = with_four_planes();
    tell(&mut b, "5", &four_planes(["620.040"; 16], ""));
    assert!(!has(&b, "not read") && !has(&b, "not right yet"));
    let whole = "the type names no limit of this seat";
    assert!(
        has(&b, whole),
        "nothing is missing, and the type has no limit of a bore"
    );
    save(&mut b);
    let detail = signed(&mut b);
    assert_eq!(
        detail.sizes_nm(store::sheet::field::SeatName::Bore).len(),
        16
    );
    assert_eq!(detail.body.readings.len(), 16 + 3 + 2);
    let warmth = detail
        .body
        .readings
        .iter()
        .filter(|r| r.path.contains("temp"));
    assert!(warmth.clone().count() == 3 && warmth.clone().all(|r| r.gauge.is_some()));
    assert!(detail.body.not_measured.is_empty());
    // Two places cannot be reached: asked about, unless it says why.
    let mut sizes = ["620.040"; 16];
    (sizes[14], sizes[15]) = ("", "");
    let mut b = with_four_planes();
    tell(&mut b, "5", &four_planes(sizes, ""));
    assert!(has(&b, "2 values are not read"));
    let mut b = with_four_planes();
    tell(&mut b, "5", &four_planes(sizes, "a lug in the way"));
    assert!(!has(&b, "are not read"));
    save(&mut b);
    let told = signed(&mut b).body.not_measured;
    let told: Vec<(&str, &str)> = told
        .iter()
        .map(|n| (n.what.as_str(), n.reason.as_str()))
        .collect();
    assert_eq!(told, [("bore", "a lug in the way")]);
    let mut b = with_four_planes();
    tell(
        &mut b,
        "5",
        &four_planes(["620.040"; 16], "a lug in the way"),
    );
    assert!(has(&b, "take the reason why not away"));
}

fn with_position() -> Bench {
    let mut b = with_roll();
    go(&mut b, "Stands");
    add(&mut b, "stand", &["F3", "FT", "four-high"]);
    go(&mut b, "Positions");
    add(
        &mut b,
        "position",
        &["F3", ">1", ">1", ">1", "", ">1", "6", ""],
    );
    b
}

#[test]
fn what_makes_a_later_entry_untrue_is_asked_first_and_a_refused_form_hands_its_places_on() {
    let mut b = with_position();
    // Empty: refused, with the way out, which keeps what was typed.
    tell(
        &mut b,
        "m",
        &["WC-01", "R-101", "F3-W-T-O", "", "2026-10-20 06:00"],
    );
    assert!(has(&b, "WC-01 has no bearing in it"));
    b.click("Found here instead");
    b.settle();
    let texts = [
        "Found here: on which roll",
        "Found here: in which position",
        "Found here: when",
    ];
    let values = texts.map(|label| b.h.get_by_label(label).value().unwrap_or_default());
    assert_eq!(values, ["R-101", "F3-W-T-O", "2026-10-20 06:00"]);
    // With a word to it, it goes.
    let mut b = with_position();
    let mount = ["WC-01", "R-101", "F3-W-T-O", "a trial", "2026-10-20 06:00"];
    tell(&mut b, "m", &mount);
    save(&mut b);
    assert!(kinds(&mut b).iter().any(|kind| kind == "mounted"));
    tell(&mut b, "h", &["WC-01", "liner", "2026-10-20 05:59"]);
    assert!(
        has(&b, "is not true any more"),
        "what it would break is told first"
    );
    assert!(has(&b, "Sign all the same"));
    save(&mut b);
    assert!(kinds(&mut b).iter().any(|kind| kind == "hold"));
}
