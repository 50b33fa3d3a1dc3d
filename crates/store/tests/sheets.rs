//! Sheets signed into a small shop: who, when, where the bearing goes, and what the logbook knew that day.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Shop, number, strings};
use store::draft::{DraftField, Fields, Source};
use store::entry::LengthUnit;
use store::payload::Role;
use store::sheet::{Facts, SignTeardown, SignedSheet, sign};
use store::{Signer, Stamp, StoreError};

/// A chock with two bearings abreast beside those of the common register, gauges, and the hours of one campaign.
const MORE: [&str; 13] = [
    r#"{"kind":"register_change","entity":"bearing_type","code":"N4T-480","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"outside_mm":620,"clearance_min_mm":[0.27,0.27,0.27],"clearance_max_mm":[0.33,0.33,0.33],"rework_mm":[0.6,0.6,0.6],"target_min_mm":[0.27,0.27,0.27],"target_max_mm":[0.33,0.33,0.33],"spacer_mm":[24,30,24],"spacer_min_mm":[22,28,22],"grind_step_mm":0.01,"seating_spread_mm":0.05,"rework_factor":2}}"#,
    r#"{"kind":"register_change","entity":"chock_type","code":"twin","seats":{"main":"N4T-480","main2":"N4T-480"},"shim_place":"between","fits":["W-T-O"]}"#,
    r#"{"kind":"register_change","entity":"chock","code":"WC-50","chock_type":"twin"}"#,
    r#"{"kind":"register_change","entity":"chock","code":"WC-51","chock_type":"twin"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4T-050","bearing_type":"N4T-480"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4T-051","bearing_type":"N4T-480"}"#,
    r#"{"kind":"register_change","entity":"gauge","code":"GB-01","gauge_kind":"gap blocks","measures":"gap","resolution_um":1,"expanded_uncertainty_um":12,"certificate":"C-1","due":"2026-01-20"}"#,
    r#"{"kind":"register_change","entity":"gauge","code":"HG-02","gauge_kind":"height gauge","measures":"width","resolution_um":1,"expanded_uncertainty_um":9,"certificate":"C-2","due":"2027-01-20"}"#,
    r#"{"kind":"received","at":"2026-01-06T06:00","bearing":"TH-4T-050","as_set_mm":[0.3,0.3,0.3]}"#,
    r#"{"kind":"received","at":"2026-01-06T06:00","bearing":"TH-4T-051","as_set_mm":[0.3,0.3,0.3]}"#,
    r#"{"kind":"assembled","at":"2026-01-07T06:00","bearing":"TH-4T-050","chock":"WC-50","seat":"main","zone":1}"#,
    r#"{"kind":"assembled","at":"2026-01-07T06:00","bearing":"TH-4T-051","chock":"WC-50","seat":"main2","zone":1}"#,
    r#"{"kind":"campaign","at":"2026-01-12T06:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-50","chock_d":"WC-42","from":"2026-01-10T06:00","hours":40,"tonnes":5000}"#,
];

fn shop() -> Shop {
    let mut shop = Shop::new();
    for line in MORE {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    shop
}

fn fields(bearing: &str, chock: &str, at: &str, more: &[(&str, &str)]) -> Fields {
    let mut all = Fields::new();
    let mut put = |path: &str, text: &str| {
        let field = DraftField {
            text: text.into(),
            source: Source::Typed,
        };
        all.insert(path.to_owned(), field);
    };
    put("identify.bearing", bearing);
    put("identify.chock", chock);
    put("identify.at", at);
    for (path, text) in [
        ("found.seal", "sound"),
        ("found.grease", "normal"),
        ("found.water", "none"),
        ("found.rotation", "free"),
        ("found.bolts", "tight"),
        ("clean.state", "used"),
        ("clean.agent", "solvent"),
        ("clean.preserved", "oil"),
        ("findings.none", "yes"),
        ("findings.cracks", "dye_clear"),
        ("skip.found", "marks of the zones worn off"),
        ("shim.found", "1.20"),
        ("parts.order", "as_marked"),
        ("seals.done", "kept"),
        ("zone.rings", "alike"),
        ("skip.cover", "shims as they were"),
        ("skip.bolts", "closed by the next shift"),
        ("protect.with", "textile"),
    ] {
        put(path, text);
    }
    put("clearance.gauge_gap", "GB-01");
    put("clearance.gauge_width", "HG-02");
    for (pair, gap, spacer) in [(1, "23.68", "24"), (2, "29.68", "30"), (3, "23.68", "24")] {
        put(&format!("clearance.spacer.{pair}"), spacer);
        for degrees in [0, 90, 180, 270] {
            put(&format!("clearance.gap.{pair}.{degrees}"), gap);
        }
    }
    put("skip.bore", "sleeved last week");
    put("skip.neck", "roll is on the grinder");
    put("skip.grease", "oil lubricated");
    put("decision.reason", "seats measured last month");
    for (path, text) in more {
        put(path, text);
    }
    all
}

/// Back to work in a chock.
fn back(chock: &str) -> [(&str, &str); 4] {
    [
        ("decision.choice", "return_to_service"),
        ("zone.choice", "II"),
        ("zone.reason", "mark worn off"),
        ("reassemble.chock", chock),
    ]
}

fn signed(shop: &mut Shop, fields: &Fields, engineer: bool) -> store::Result<SignedSheet> {
    let foreman: Signer = shop.logbook.sign_in("Foreman A", common::PIN).unwrap();
    let engineer = engineer.then(|| shop.engineer.clone());
    sign(
        &mut shop.logbook,
        &SignTeardown {
            fields,
            draft: None,
            at: None,
            entered: None,
            signer: &foreman,
            engineer: engineer.as_ref(),
            unit: LengthUnit::Millimetre,
            wear: None,
        },
    )
}

fn refused(result: store::Result<SignedSheet>) -> String {
    match result {
        Err(error @ (StoreError::Refused(_) | StoreError::Input { .. })) => error.to_string(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_bearing_goes_back_to_the_seat_that_it_came_from() {
    let mut shop = shop();
    shop.person("Foreman A", Role::Foreman);
    let sheet = fields("TH-4T-051", "WC-50", "2026-01-14T09:00", &back("WC-50"));
    assert!(refused(signed(&mut shop, &sheet, false)).contains("engineer signs too"));
    signed(&mut shop, &sheet, true).unwrap();
    let open = "SELECT b.serial || ' ' || s.seat FROM stay s JOIN bearing b ON b.no = s.bearing
                WHERE s.to_event IS NULL ORDER BY 1";
    assert_eq!(
        strings(shop.logbook.connection(), open),
        ["TH-4T-050 main", "TH-4T-051 main2"]
    );
}

#[test]
fn a_bearing_goes_only_where_it_belongs_and_where_there_is_room() {
    let mut shop = shop();
    shop.person("Foreman A", Role::Foreman);
    let mut again = |at: &str, chock: &str| {
        let sheet = fields("TH-4T-050", "WC-50", at, &back(chock));
        signed(&mut shop, &sheet, true)
    };
    assert!(
        refused(again("2026-01-14", "WC-17")).contains("does not belong in the main seat of WC-17")
    );
    // In the mill at that time? The campaign alone does not say so; a mounting does.
    shop.log(r#"{"kind":"mounted","at":"2026-01-13T06:00","chock":"WC-50","roll":"R-101","position":"F3-W-T-O","note":"as it stood"}"#)
        .unwrap();
    let sheet = fields("TH-4T-050", "WC-50", "2026-01-14", &back("WC-51"));
    let why = "WC-50 was in the mill at F3-W-T-O at that time: enter first that it came off";
    assert!(refused(signed(&mut shop, &sheet, true)).contains(why));
    // The day before it was in the shop: the sheet may be entered late, and then the chock went out without it.
    let sheet = fields("TH-4T-050", "WC-50", "2026-01-12T12:00", &back("WC-51"));
    signed(&mut shop, &sheet, true).unwrap();
}

#[test]
fn what_a_sheet_does_not_send_back_is_held_until_somebody_releases_it() {
    let mut shop = shop();
    shop.person("Foreman A", Role::Foreman);
    let sheet = fields(
        "TH-4T-050",
        "WC-50",
        "2026-01-14",
        &[("decision.choice", "recondition")],
    );
    signed(&mut shop, &sheet, true).unwrap();
    let assemble = r#"{"kind":"assembled","at":"2026-01-15","bearing":"TH-4T-050","chock":"WC-51","seat":"main","zone":1}"#;
    let why = shop.log(assemble).unwrap_err().to_string();
    assert!(
        why.contains("on hold (decided on the sheet: recondition)"),
        "{why}"
    );
    for line in [
        r#"{"kind":"sent_out","at":"2026-01-15T06:00","thing":"TH-4T-050","to":"North Yard"}"#,
        r#"{"kind":"returned","at":"2026-01-16T06:00","thing":"TH-4T-050","certificate":"C-9","as_set_mm":[0.3,0.3,0.3]}"#,
        r#"{"kind":"assembled","at":"2026-01-17","bearing":"TH-4T-050","chock":"WC-51","seat":"main","zone":1}"#,
    ] {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
}

/// 40 h in a stay that was entered with zone I up.
#[test]
fn a_stay_counts_for_the_zone_that_was_found_up_when_it_ended() {
    for (zone, why, expected) in [
        ("", "marks worn off", [40, 0, 0, 0]),
        ("I", "", [40, 0, 0, 0]),
        ("III", "", [0, 0, 40, 0]),
    ] {
        let mut shop = shop();
        shop.person("Foreman A", Role::Foreman);
        let mut more = back("WC-50").to_vec();
        more.extend([("identify.zone", zone), ("skip.found", why)]);
        let sheet = fields("TH-4T-050", "WC-50", "2026-01-14T09:00", &more);
        signed(&mut shop, &sheet, true).unwrap();
        let conn = shop.logbook.connection();
        let later = fields("TH-4T-050", "WC-50", "2026-01-20", &[]);
        let facts = Facts::load(conn, &later, Stamp::second(common::START_MS, 0)).unwrap();
        let bearing = facts.bearing.unwrap();
        assert_eq!(bearing.zone_run_s.map(|s| s / 3600), expected, "{zone}");
        assert_eq!(bearing.stay.unwrap().zone, 2, "and the next one as turned");
        let all = store::query::exposures(conn, bearing.no, i64::MAX).unwrap();
        assert_eq!(all.zones.map(|z| z.run_s / 3600), expected, "{zone}");
    }
}

#[test]
fn a_sheet_knows_what_was_known_on_its_day() {
    let shop = shop();
    let facts = |shop: &Shop, at: &str| {
        let sheet = fields("TH-4T-050", "WC-50", at, &[]);
        Facts::load(
            shop.logbook.connection(),
            &sheet,
            Stamp::second(common::START_MS, 0),
        )
        .unwrap()
    };
    let hours = |facts: &Facts| {
        let bearing = facts.bearing.as_ref().unwrap();
        let stay = bearing.stay.as_ref().unwrap();
        (
            bearing.total_run_s / 3600,
            stay.run_s / 3600,
            bearing.zone_run_s[0] / 3600,
        )
    };
    assert_eq!(
        hours(&facts(&shop, "2026-01-09T06:00")),
        (0, 0, 0),
        "before the campaign"
    );
    assert_eq!(hours(&facts(&shop, "2026-01-14T06:00")), (40, 40, 40));
    // A calibration holds to the end of its last day.
    for (at, is_overdue) in [
        ("2026-01-20T00:10", false),
        ("2026-01-20T23:50", false),
        ("2026-01-21T00:10", true),
    ] {
        assert_eq!(
            facts(&shop, at).gauges["GB-01"].is_overdue,
            is_overdue,
            "{at}"
        );
    }
    assert_eq!(
        number(shop.logbook.connection(), "SELECT count(*) FROM conflict"),
        0
    );
}

#[test]
fn somebody_who_is_not_in_the_register_did_not_do_it() {
    let mut shop = shop();
    shop.person("Foreman A", Role::Foreman);
    let more = [back("WC-50").as_slice(), &[("sign.fitter", "Nobody")]].concat();
    let sheet = fields("TH-4T-050", "WC-50", "2026-01-14", &more);
    assert!(refused(signed(&mut shop, &sheet, true)).contains("not in the register of people"));
}

#[test]
fn a_note_of_an_overdue_gauge_stands_at_the_verdicts_that_rest_on_it() {
    let mut shop = shop();
    shop.person("Foreman A", Role::Foreman);
    let sheet = fields("TH-4T-050", "WC-50", "2026-01-21T08:00", &back("WC-50"));
    signed(&mut shop, &sheet, true).unwrap();
    let payload = strings(
        shop.logbook.connection(),
        "SELECT payload FROM event WHERE kind = 'teardown_sheet'",
    );
    assert!(
        payload[0].contains("calibration overdue: GB-01"),
        "{}",
        payload[0]
    );
}

#[test]
fn what_comes_back_without_certificate_or_measurement_stays_on_hold() {
    let mut shop = shop();
    shop.person("Foreman A", Role::Foreman);
    let sheet = fields(
        "TH-4T-050",
        "WC-50",
        "2026-01-14",
        &[("decision.choice", "recondition")],
    );
    signed(&mut shop, &sheet, true).unwrap();
    for line in [
        r#"{"kind":"sent_out","at":"2026-01-15T06:00","thing":"TH-4T-050","to":"North Yard"}"#,
        r#"{"kind":"returned","at":"2026-01-16T06:00","thing":"TH-4T-050"}"#,
    ] {
        shop.log(line).unwrap();
    }
    let assemble = r#"{"kind":"assembled","at":"2026-01-17","bearing":"TH-4T-050","chock":"WC-51","seat":"main","zone":1}"#;
    assert!(
        shop.log(assemble)
            .unwrap_err()
            .to_string()
            .contains("on hold")
    );
}

#[test]
fn another_chock_and_a_thin_spacer_are_not_the_foremans_alone() {
    let mut shop = shop();
    shop.person("Foreman A", Role::Foreman);
    let sheet = fields("TH-4T-050", "WC-50", "2026-01-14", &back("WC-51"));
    let facts = Facts::load(
        shop.logbook.connection(),
        &sheet,
        Stamp::second(common::START_MS, 0),
    )
    .unwrap();
    let a = store::sheet::assess(&sheet, &facts, LengthUnit::Millimetre);
    assert!(
        a.engineer_because
            .iter()
            .any(|why| why.contains("WC-51, whose bore")),
        "{:?}",
        a.engineer_because
    );
    let thin = [
        back("WC-50").as_slice(),
        &[
            ("clearance.spacer.1", "21.7"),
            ("clearance.gap.1.0", "21.4"),
            ("clearance.gap.1.90", "21.4"),
            ("clearance.gap.1.180", "21.4"),
            ("clearance.gap.1.270", "21.4"),
        ],
    ]
    .concat();
    let sheet = fields("TH-4T-050", "WC-50", "2026-01-14", &thin);
    assert!(refused(signed(&mut shop, &sheet, true)).contains("smallest width"));
}

#[test]
fn a_gauge_stands_in_the_register_with_its_newest_calibration() {
    let mut shop = shop();
    shop.log(r#"{"kind":"register_change","entity":"gauge","code":"TW-1","gauge_kind":"torque wrench","measures":"torque","resolution_newton_m":1,"expanded_uncertainty_newton_m":8,"certificate":"C-3","due":"2026-01-20"}"#)
        .unwrap();
    shop.log(r#"{"kind":"gauge_calibrated","at":"2026-01-25T12:00","gauge":"TW-1","certificate":"C-4","due":"2027-01-20","expanded_uncertainty_newton_m":12}"#)
        .unwrap();
    let conn = shop.logbook.connection();
    let no = number(conn, "SELECT no FROM gauge WHERE code = 'TW-1'");
    let record = store::query::record(conn, store::ThingNo(no)).unwrap();
    let Some((store::payload::Record::Gauge(gauge), _)) = record else {
        panic!("{record:?}");
    };
    assert_eq!(
        (gauge.certificate.as_str(), gauge.expanded_uncertainty),
        ("C-4", Some(12_000))
    );
}

#[test]
fn the_register_keeps_its_engineer_its_types_and_possible_sizes() {
    let mut shop = shop();
    let storekeeper = shop.person("Stores", Role::Storekeeper);
    let mut refuses = |signer: Option<&Signer>, line: &str, words: &str| {
        let answer = match signer {
            None => shop.log(line),
            Some(signer) => common::log_as(&mut shop.logbook, signer, line),
        };
        let why = answer.unwrap_err().to_string();
        assert!(why.contains(words), "{line}: {why}");
    };
    let change = |rest: &str| format!(r#"{{"kind":"register_change","reason":"x",{rest}}}"#);
    let type_value = |value: &str| {
        change(&format!(
            r#""entity":"bearing_type","code":"N4T-9","bearing_kind":"four_row_tapered","values":{{{value}}}"#
        ))
    };
    for value in [
        r#""bore_mm":0"#,
        r#""bore_mm":-480"#,
        r#""chock_bore_nominal_mm":9000000000"#,
        r#""rework_factor":0"#,
        r#""rework_factor":1"#,
        r#""clearance_min_mm":[0.27,-0.27,0.27]"#,
    ] {
        refuses(None, &type_value(value), "is not possible");
    }
    refuses(
        None,
        &change(
            "\"entity\":\"bearing\",\"serial\":\"TH-4T-0\u{200b}50\",\"bearing_type\":\"N4T-480\"",
        ),
        "invisible",
    );
    refuses(
        None,
        &change(r#""entity":"bearing","change":true,"serial":"TH-4T-050","bearing_type":"N4T""#),
        "is assembled",
    );
    refuses(
        Some(&storekeeper),
        &change(
            r#""entity":"bearing","change":true,"serial":"TH-4T-051","bearing_type":"N4T-480","prior_hours":9000"#,
        ),
        "needs the engineer",
    );
    refuses(
        None,
        &change(
            r#""entity":"person","change":true,"name":"Engineer","role":"fitter","pin":"2468""#,
        ),
        "somebody has to be the engineer",
    );
    let scrap = |witness: &str| {
        format!(
            r#"{{"kind":"scrapped","at":"2026-01-15","thing":"TH-4T-003","reason":"x","witness":"{witness}"}}"#
        )
    };
    refuses(None, &scrap("Engineer"), "neither signs it nor audits");
    shop.person("Auditor", Role::Auditor);
    let why = shop.log(&scrap("Auditor")).unwrap_err().to_string();
    assert!(why.contains("neither signs it nor audits"), "{why}");
    shop.log(&scrap("Stores")).unwrap();
}

#[test]
fn a_roll_whose_neck_shows_a_crack_waits_and_so_does_nothing_else() {
    let mut shop = shop();
    shop.person("Foreman A", Role::Foreman);
    let cracked = [
        ("decision.choice", "hold_for_engineer"),
        ("identify.roll", "R-101"),
        ("neck.cracks", "magnetic_crack"),
    ];
    let mut sheet = fields("TH-4T-050", "WC-50", "2026-01-14T09:00", &cracked);
    sheet.remove("decision.reason");
    signed(&mut shop, &sheet, true).unwrap();
    let held = "SELECT t.code FROM hold h JOIN thing t ON t.no = h.thing WHERE h.released_event IS NULL ORDER BY 1";
    assert_eq!(
        strings(shop.logbook.connection(), held),
        ["R-101", "TH-4T-050"]
    );
    let mount = r#"{"kind":"mounted","at":"2026-01-14T12:00","chock":"WC-50","roll":"R-101","position":"F3-W-T-O"}"#;
    let why = shop.log(mount).unwrap_err().to_string();
    assert!(
        why.contains("R-101 is on hold (the crack test of its neck shows a crack)"),
        "{why}"
    );
}
