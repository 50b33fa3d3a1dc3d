//! A gauge found out, by label and by keyboard: from its page to the list, one row in full, and from the sheet back.
#![allow(clippy::unwrap_used)]

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;

use crate::print::What;
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::tests::Bench;

const STORY: [&str; 6] = [
    r#"{"kind":"register_change","entity":"line","code":"FT","name":"finishing train"}"#,
    r#"{"kind":"register_change","entity":"roll","code":"R-121","line":"FT","role":"W"}"#,
    r#"{"kind":"register_change","entity":"bearing_type","code":"N4T-480","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"neck_min_mm":"479.700","neck_max_mm":"479.760","neck_rework_mm":"479.660"}}"#,
    r#"{"kind":"register_change","entity":"gauge","code":"OM-07","gauge_kind":"outside micrometer","measures":"neck","range":"400-500","resolution_um":1,"expanded_uncertainty_um":8,"certificate":"C-1","due":"2039-01-01"}"#,
    r#"{"kind":"seat_check","roll":"R-121","neck":"O","bearing_type":"N4T-480","fields":{"neck.gauge":"OM-07","neck.temp_first":"20","neck.temp_last":"20","neck.temp_gauge":"20","neck.1.0":"479.679","neck.1.45":"479.681","neck.1.90":"479.680","neck.1.135":"479.682","neck.2.0":"479.677","neck.2.45":"479.678","neck.2.90":"479.676","neck.2.135":"479.679","neck.3.0":"479.678","neck.3.45":"479.680","neck.3.90":"479.679","neck.3.135":"479.681"},"note":"before grinding"}"#,
    r#"{"kind":"gauge_found_out","at":"2026-10-31T08:00","gauge":"OM-07","error_um":"24","text":"on the setting rod"}"#,
];

fn bench() -> Bench {
    let mut b = Bench::with_lines(&STORY);
    let no = b.ask(|logbook| {
        let conn = logbook.connection();
        store::sheet::thing_by_code(conn, "gauge", "OM-07")
            .unwrap()
            .unwrap()
            .0
    });
    b.command(Command::Go(Route::Thing(no)));
    b
}

/// Clicks what is called so among other words.
fn press(b: &mut Bench, part: &str) {
    b.h.query_all_by_label_contains(part)
        .next()
        .unwrap()
        .click();
    b.settle();
}

#[test]
fn what_the_error_of_a_gauge_touched_is_one_link_from_its_page_and_each_row_opens() {
    let mut b = bench();
    b.click("What its error touched");
    assert!(b.has("1 verdict would change"));
    assert!(b.has("Reads +24 \u{b5}m"));
    let row = "R-121, operator side read on";
    assert!(b.has(row), "a row a verdict");
    press(&mut b, row);
    assert!(b.has("479.652"), "fully corrected");
    assert!(b.has("not measured again"));
    b.click("Open R-121");
    assert!(b.has("suspect gauge OM-07"), "its history says so");
    b.command(Command::Back);
    if !b.has("Open the sheet of") {
        press(&mut b, row);
    }
    press(&mut b, "Open the sheet of");
    assert!(b.has("Neck check of R-121, operator side"));
    assert!(b.has("before grinding"));
    b.click("Impact list of OM-07");
    assert!(matches!(b.route(), Route::Gauge(_)));
    b.click("Print impact note");
    assert!(matches!(b.route(), Route::Documents(What::Impact, Some(_))));
}

#[test]
fn a_held_gauge_and_a_held_roll_lead_to_the_tag_that_hangs_on_them() {
    let hold = [
        r#"{"kind":"hold","at":"2026-10-31T09:00","thing":"OM-07","reason":"found to read too large"}"#,
        r#"{"kind":"hold","at":"2026-10-31T09:10","thing":"R-121","reason":"neck to be measured again"}"#,
    ];
    let lines: Vec<&str> = STORY.into_iter().chain(hold).collect();
    let mut b = Bench::with_lines(&lines);
    for (entity, code) in [("gauge", "OM-07"), ("roll", "R-121")] {
        let no = b.ask(move |logbook| {
            let conn = logbook.connection();
            store::sheet::thing_by_code(conn, entity, code)
                .unwrap()
                .unwrap()
                .0
        });
        b.command(Command::Go(Route::Thing(no)));
        b.click("Print its hold tag");
        assert_eq!(b.route(), Route::Documents(What::Tag, Some(no)));
        if entity == "gauge" {
            b.command(Command::Go(Route::Gauge(no)));
            b.click("Print its hold tag");
            assert_eq!(b.route(), Route::Documents(What::Tag, Some(no)));
        }
    }
}

#[test]
fn the_row_opens_by_the_keyboard() {
    let mut b = bench();
    b.click("What its error touched");
    let row =
        b.h.query_all_by_label_contains("R-121, operator side read on");
    row.last().unwrap().focus();
    b.settle();
    b.key(Modifiers::NONE, Key::Enter);
    assert!(b.has("not measured again"));
}
