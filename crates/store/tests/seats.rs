//! A seat that was measured by itself: the newest reading of a neck is what a mounting starts from, and a chock whose bore
//! fails waits.
#![allow(clippy::unwrap_used)]

mod common;

use common::sheet::with_register;
use common::{Shop, log_as, strings};
use store::draft::{DraftField, Fields, Source};
use store::entry::Show;
use store::mounting::MountFacts;
use store::payload::{Payload, Role};
use store::query::{ChockCheck, chock_page, chocks, holds, today};
use store::{NewEvent, ThingNo};

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

/// With the limits and the gauge that a bore is judged by.
fn with_bore() -> Shop {
    let mut shop = with_register();
    for line in [
        r#"{"kind":"register_change","at":"2026-01-05T07:00","entity":"bearing_type","code":"N4T-480","change":true,"reason":"bore of the chock","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"outside_mm":620,"chock_bore_nominal_mm":620,"chock_bore_lower_mm":0,"chock_bore_upper_mm":0.07,"chock_bore_mean_max_mm":0.12,"chock_ovality_max_mm":0.12,"chock_taper_max_mm":0.06}}"#,
        r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"gauge","code":"BG-50","gauge_kind":"bore gauge","measures":"bore","resolution_um":1,"expanded_uncertainty_um":10,"certificate":"C-4","due":"2027-01-20"}"#,
        r#"{"kind":"taken_out","at":"2026-01-10T06:00","bearing":"TH-4T-050","reason":"bore measured"}"#,
    ] {
        shop.log(line).unwrap();
    }
    shop
}

fn bore_of_50(shop: &mut Shop, mm: &str, day: &str) {
    shop.log(&format!(
        r#"{{"kind":"seat_check","at":"2026-01-{day}T14:00","chock":"WC-50","bearing_type":"N4T-480","fields":{{{},"bore.gauge":"BG-50"}},"note":"sleeved?"}}"#,
        sizes("bore", mm)
    ))
    .unwrap();
}

fn held(shop: &Shop) -> Vec<String> {
    let sql = "SELECT t.code || ': ' || h.reason FROM hold h JOIN thing t ON t.no = h.thing WHERE released_event IS NULL ORDER BY 1";
    strings(shop.logbook.connection(), sql)
}

const AWAY: &str = r#"{"kind":"sent_out","at":"2026-01-12","thing":"WC-50","to":"North Yard"}"#;

/// It came back without a measurement: somebody is asked for it, and the first check after it is of another bore.
#[test]
fn a_chock_that_came_back_is_measured_before_it_is_used() {
    for (certificate, size, left) in [
        ("NY-1", "620.040", vec![]),
        (
            "NY-1",
            "620.180",
            vec!["WC-50: its bore fails: mean size"; 2],
        ),
        ("", "620.040", vec!["WC-50: its bore fails: mean size"]),
    ] {
        let mut shop = with_bore();
        bore_of_50(&mut shop, "620.180", "11");
        shop.log(AWAY).unwrap();
        shop.log(&format!(
            r#"{{"kind":"returned","at":"2026-01-14","thing":"WC-50","certificate":"{certificate}","note":"sleeved"}}"#
        ))
        .unwrap();
        let waits = |shop: &Shop| {
            let now = shop.logbook.now();
            let today = today(shop.logbook.connection(), now, 0, Show::default()).unwrap();
            today
                .work
                .unmeasured
                .iter()
                .map(|line| line.thing.1.clone())
                .collect::<Vec<_>>()
        };
        assert_eq!(waits(&shop), ["WC-50"]);
        bore_of_50(&mut shop, size, "15");
        assert_eq!(held(&shop), left, "{certificate:?} {size}");
        assert_eq!(waits(&shop), Vec::<String>::new());
        let page = chock_page(
            shop.logbook.connection(),
            thing(&shop, "WC-50"),
            shop.logbook.now(),
            Show::default(),
        );
        let checks = page.unwrap().unwrap().checks;
        let after: Vec<bool> = checks.iter().map(ChockCheck::is_after_repair).collect();
        assert_eq!(after, [false, true]);
        let before = shop.dump();
        assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
        assert_eq!(shop.dump(), before);
    }
}

#[test]
fn a_chock_back_and_not_measured_is_asked_about_and_one_release_names_every_hold() {
    let mut shop = with_bore();
    shop.log(AWAY).unwrap();
    shop.log(r#"{"kind":"returned","at":"2026-01-14","thing":"WC-50","certificate":"","note":""}"#)
        .unwrap();
    let put = NewEvent {
        at: shop.logbook.now(),
        payload: Payload::Assembled(store::payload::Assembled {
            bearing: shop.logbook.name(thing(&shop, "TH-4T-050")).unwrap(),
            chock: shop.logbook.name(thing(&shop, "WC-50")).unwrap(),
            seat: "main".into(),
            zone: 1,
            note: String::new(),
        }),
    };
    let engineer = shop.engineer.clone();
    let said = shop.logbook.foretell(&engineer, &[put]).unwrap();
    assert_eq!(
        said.questions,
        ["WC-50 came back on 2026-01-14, and its bore has not been measured since."]
    );
    let release = |shop: &Shop| NewEvent {
        at: shop.logbook.now(),
        payload: Payload::Released(store::payload::Released {
            thing: shop.logbook.name(thing(shop, "WC-50")).unwrap(),
            reason: "liner is in".into(),
        }),
    };
    for (why, questions) in [
        ("liner missing", vec![]),
        (
            "cover bolt hole cracked",
            vec![
                "This ends all 2 holds of WC-50: liner missing (since 2026-01-16); cover bolt hole cracked (since 2026-01-16).",
            ],
        ),
    ] {
        shop.log(&format!(
            r#"{{"kind":"hold","at":"2026-01-16","thing":"WC-50","reason":"{why}"}}"#
        ))
        .unwrap();
        let event = release(&shop);
        let said = shop.logbook.foretell(&engineer, &[event]).unwrap();
        assert_eq!(said.questions, questions);
    }
    // Every page says both.
    let conn = shop.logbook.connection();
    let both = "cover bolt hole cracked; liner missing";
    let line = chocks(conn)
        .unwrap()
        .into_iter()
        .find(|chock| chock.code == "WC-50");
    assert_eq!(line.unwrap().held.as_deref(), Some(both));
    let now = shop.logbook.now();
    let today = today(conn, now, 0, Show::default()).unwrap();
    assert_eq!(today.holds.len(), 1);
    assert_eq!(
        (today.holds[0].reason.as_str(), today.holds[0].is_by_sheet),
        (both, false)
    );
    let all = holds(conn, thing(&shop, "WC-50")).unwrap();
    assert_eq!(all.len(), 2);
    assert_eq!(
        (all[0].by.as_str(), all[0].reason.as_str()),
        ("Engineer", "cover bolt hole cracked")
    );
}

fn thing(shop: &Shop, code: &str) -> ThingNo {
    let sql = format!("SELECT no FROM thing WHERE code = '{code}'");
    ThingNo(common::number(shop.logbook.connection(), &sql))
}
