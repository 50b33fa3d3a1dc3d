//! A seat that was measured by itself: the newest reading of a neck is what a mounting starts from, and a chock whose bore
//! fails waits.
#![allow(clippy::unwrap_used)]

mod common;

use common::sheet::with_register;
use common::{Shop, log_as, strings};
use store::draft::{DraftField, Fields, Source};
use store::mounting::MountFacts;
use store::payload::Role;

/// Sizes of one seat in three planes, all alike.
fn sizes(seat: &str, mm: &str) -> String {
    let mut all: Vec<String> = [1, 2, 3]
        .iter()
        .flat_map(|plane| {
            ["0", "45", "90", "135"].map(|at| format!(r#""{seat}.{plane}.{at}":"{mm}""#))
        })
        .collect();
    for temperature in ["temp_first", "temp_gauge", "temp_last"] {
        all.push(format!(r#""{seat}.{temperature}":"20""#));
    }
    all.join(",")
}

#[test]
fn the_newest_reading_of_the_neck_on_that_side_counts() {
    let mut shop = Shop::new();
    shop.work();
    let mut check = |day: &str, neck: &str, mm: &str| {
        shop.log(&format!(
            r#"{{"kind":"seat_check","at":"2026-01-{day}T14:00","roll":"R-102","neck":"{neck}","bearing_type":"N4T","fields":{{{}}},"note":"after grinding"}}"#,
            sizes("neck", mm)
        ))
        .unwrap();
    };
    check("11", "O", "479.720");
    check("12", "O", "479.702");
    check("13", "D", "479.730");
    let fields: Fields = [
        ("identify.chock", "WC-17"),
        ("identify.roll", "R-102"),
        ("identify.position", "F3-W-T-O"),
    ]
    .map(|(path, text)| {
        let (text, source) = (text.to_owned(), Source::Typed);
        (path.to_owned(), DraftField { text, source })
    })
    .into_iter()
    .collect();
    let known = MountFacts::load(shop.logbook.connection(), &fields, shop.logbook.now()).unwrap();
    let neck = known.last_neck.unwrap();
    assert_eq!(
        (neck.at.date().as_str(), neck.mean_nm),
        ("2026-01-12", -298_000)
    );
}

#[test]
fn a_chock_whose_bore_fails_waits_for_the_engineer() {
    let mut shop = with_register();
    shop.log(r#"{"kind":"register_change","at":"2026-01-05T07:00","entity":"bearing_type","code":"N4T-480","change":true,"reason":"bore of the chock","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"outside_mm":620,"chock_bore_nominal_mm":620,"chock_bore_lower_mm":0,"chock_bore_upper_mm":0.07,"chock_bore_mean_max_mm":0.12,"chock_ovality_max_mm":0.12,"chock_taper_max_mm":0.06,"chock_shoulder_max_mm":0.05}}"#)
        .unwrap();
    shop.log(r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"gauge","code":"BG-50","gauge_kind":"bore gauge","measures":"bore","resolution_um":1,"expanded_uncertainty_um":10,"certificate":"C-4","due":"2027-01-20"}"#)
        .unwrap();
    let foreman = shop.person("Foreman Z", Role::Foreman);
    let check = |mm: &str, day: &str| {
        format!(
            r#"{{"kind":"seat_check","at":"2026-01-{day}T14:00","chock":"WC-50","bearing_type":"N4T-480","fields":{{{},"bore.gauge":"BG-50"}},"note":"bell-mouthed?"}}"#,
            sizes("bore", mm)
        )
    };
    let held = |shop: &Shop| {
        let sql = "SELECT t.code || ': ' || h.reason FROM hold h JOIN thing t ON t.no = h.thing WHERE released_event IS NULL";
        strings(shop.logbook.connection(), sql)
    };
    log_as(&mut shop.logbook, &foreman, &check("620.040", "11")).unwrap();
    assert_eq!(held(&shop), Vec::<String>::new());
    // 0.120 is the most that the mean may be over nominal.
    log_as(&mut shop.logbook, &foreman, &check("620.180", "12")).unwrap();
    assert_eq!(held(&shop), ["WC-50: its bore fails: mean size"]);
    shop.log(r#"{"kind":"released","at":"2026-01-13T08:00","thing":"WC-50","reason":"gauge was set wrongly"}"#)
        .unwrap();
    assert_eq!(held(&shop), Vec::<String>::new());
    shop.log(r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"gauge","code":"DG-51","gauge_kind":"dial gauge","measures":"other","resolution_um":1,"expanded_uncertainty_um":10,"certificate":"C-5","due":"2027-01-20"}"#)
        .unwrap();
    // What is no size of its bore holds it as well: the bearing stands against the shoulder.
    let crooked = check("620.040", "14").replace(
        "},\"note\"",
        ",\"chock.shoulder\":\"0.080\",\"chock.gauge\":\"DG-51\"},\"note\"",
    );
    log_as(&mut shop.logbook, &foreman, &crooked).unwrap();
    assert_eq!(held(&shop), ["WC-50: its shoulder is out of square"]);
}
