//! Lines of `chockbook log`: each documented example works, and each mistake is named.
#![allow(clippy::unwrap_used)]

mod common;

use common::{PIN, Shop, hands, log_as, number};
use store::line::{self, Line};
use store::payload::{Payload, Role};
use store::{Logbook, NewEvent, Stamp, StoreError};

/// The examples of the documentation, which tell one story in order.
fn examples() -> Vec<String> {
    let text = include_str!("../src/line/mod.rs");
    text.lines()
        .filter_map(|line| line.strip_prefix("//! {"))
        .map(|rest| format!("{{{rest}"))
        .collect()
}

#[test]
fn every_example_of_the_documentation_is_accepted_in_its_order() {
    let dir = tempfile::tempdir().unwrap();
    let clock = common::TestClock::new();
    clock.forward_ms(300 * 86_400_000);
    let path = dir.path().join("plant.chockbook");
    let mut logbook = Logbook::create(&path, hands(&clock, 0), "Tarnhollow Rolling Works").unwrap();
    logbook
        .register_person(None, None, "Engineer", Role::Engineer, PIN)
        .unwrap();
    let engineer = logbook.sign_in("Engineer", PIN).unwrap();
    let mut kinds: Vec<String> = Vec::new();
    for example in examples() {
        match line::read(&mut logbook, &example).unwrap_or_else(|e| panic!("{example}: {e}")) {
            Line::Event(event) => {
                kinds.push(event.payload.write().unwrap().0);
                logbook
                    .append(Some(&engineer), &[event])
                    .unwrap_or_else(|e| panic!("{example}: {e}"));
            }
            Line::WithFile { .. } => panic!("no example of this story names a file"),
            Line::Mounting { at, fields } => {
                kinds.push("mounting_sheet".into());
                let sheet = store::mounting::SignMounting {
                    fields: &fields,
                    draft: None,
                    at: Some(at),
                    entered: None,
                    signer: &engineer,
                    engineer: None,
                    unit: store::entry::LengthUnit::Millimetre,
                    wear: None,
                };
                let signed = store::mounting::sign(&mut logbook, &sheet);
                signed.unwrap_or_else(|e| panic!("{example}: {e}"));
            }
            Line::Teardown { at, fields } => {
                kinds.push("teardown_sheet".into());
                assert_eq!(at.to_string(), "2026-09-04T08:00+00:00");
                assert_eq!(fields["clearance.gap.1.0"].text, "23.372");
                assert_eq!(fields["skip.bore"].text, "gauge away for calibration");
                assert_eq!(fields.len(), 4);
            }
        }
    }
    kinds.sort();
    kinds.dedup();
    assert_eq!(
        kinds.len(),
        34,
        "all kinds but those that name events or files, and the one that opens a logbook: {kinds:?}"
    );
    let conn = logbook.connection();
    let sql = "SELECT count(DISTINCT entity) FROM thing";
    assert_eq!(number(conn, sql), 12, "all sorts of things");
    assert_eq!(number(conn, "SELECT run_s FROM run LIMIT 1"), 12_600);
    assert_eq!(number(conn, "SELECT rolled_kg FROM run LIMIT 1"), 4_120_500);
    assert_eq!(
        number(
            conn,
            "SELECT value FROM type_value WHERE name = 'rework_nm' AND item = 2"
        ),
        600_000
    );
    assert_eq!(
        number(
            conn,
            "SELECT value FROM type_value WHERE name = 'rework_factor_ppm'"
        ),
        2_000_000
    );
    assert_eq!(
        number(
            conn,
            "SELECT value FROM type_value WHERE name = 'interval_run_s'"
        ),
        7_200_000
    );
    assert_eq!(
        number(
            conn,
            "SELECT value FROM type_value WHERE name = 'grease_row_mg'"
        ),
        1_200_000
    );
    assert_eq!(
        number(conn, "SELECT value_nm FROM baseline WHERE pair = 2"),
        305_000
    );
    assert_eq!(
        number(conn, "SELECT prior_run_s FROM bearing"),
        2_010 * 3600
    );
    assert_eq!(
        number(
            conn,
            "SELECT count(*) FROM calibration WHERE expanded_uncertainty = 10000"
        ),
        2
    );
    assert!(
        logbook.sign_in("Storekeeper", "4711").is_ok(),
        "the PIN was kept through the change"
    );
}

#[test]
fn every_kind_that_is_told_is_read_and_a_cold_chock_is_below_zero() {
    let mut shop = Shop::new();
    for kind in line::KINDS {
        let said = line::read(&mut shop.logbook, &format!(r#"{{"kind":"{kind}"}}"#)).unwrap_err();
        assert!(
            matches!(&said, StoreError::Input { at, .. } if at != "kind"),
            "{kind}: {said}"
        );
    }
    for example in examples() {
        let example: serde_json::Value = serde_json::from_str(&example).unwrap();
        let kind = example["kind"].as_str().unwrap();
        assert!(line::KINDS.contains(&kind), "{kind}");
    }
    shop.log(r#"{"kind":"condition_reading","chock":"WC-41","what":"temperature","temp_c":"-12.5","text":"yard"}"#)
        .unwrap();
    let sql = "SELECT payload ->> 'value' FROM event WHERE kind = 'condition_reading'";
    assert_eq!(number(shop.logbook.connection(), sql), -12_500);
    let said = shop
        .log(r#"{"kind":"condition_reading","chock":"WC-41","what":"temperature","temp_c":"-51"}"#)
        .unwrap_err();
    assert!(said.to_string().contains("-50 to 400"), "{said}");
}

#[test]
fn a_mistake_is_named_by_its_key() {
    let mut shop = Shop::new();
    shop.work();
    let campaign = |key: &str, value: &str| {
        let line = r#"{"kind":"campaign","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-01-08T06:10","hours":5.5,"tonnes":5000}"#;
        let mut map: serde_json::Map<String, serde_json::Value> =
            serde_json::from_str(line).unwrap();
        map.insert(key.into(), serde_json::from_str(value).unwrap());
        serde_json::to_string(&map).unwrap()
    };
    let rows: Vec<(String, &str, &str)> = vec![
        ("not json".into(), "line", "one JSON object"),
        (campaign("hours", r#""2,010""#), "hours", "may be 2010 or 2,01"),
        (campaign("tonnes", r#""1,142""#), "tonnes", "may be 1142"),
        (
            r#"{"kind":"cost","thing":"TH-4T-001","amount":"3,100","text":"x"}"#.into(),
            "amount",
            "may be 3100",
        ),
        (
            r#"{"kind":"condition_reading","chock":"WC-41","what":"temperature","vibration_mm_per_s":"0.09"}"#.into(),
            "vibration_mm_per_s",
            "temp_c",
        ),
        (
            r#"{"kind":"condition_reading","chock":"WC-41","what":"noise","temp_c":"60","noise_db":"70"}"#.into(),
            "temp_c",
            "noise_db",
        ),
        ("[1]".into(), "line", "one JSON object"),
        ("{}".into(), "kind", "missing"),
        (r#"{"kind":"polished"}"#.into(), "kind", "no kind of line"),
        (r#"{"kind":"logbook_started"}"#.into(), "kind", "no kind of line"),
        (r#"{"kind":"dismounted"}"#.into(), "chock", "missing"),
        (r#"{"kind":"dismounted","chock":null}"#.into(), "chock", "missing"),
        (r#"{"kind":"dismounted","chock":["WC-17"]}"#.into(), "chock", "is a text"),
        (r#"{"kind":"dismounted","chock":"WC-17","side":"O"}"#.into(), "side", "it has kind, at, chock"),
        (r#"{"kind":"dismounted","at":"30.10.2026","chock":"WC-17"}"#.into(), "at", "is no time"),
        (r#"{"kind":"assembled","bearing":"TH-4T-001","chock":"WC-17","zone":5}"#.into(), "zone", "0 to 4"),
        (r#"{"kind":"assembled","bearing":"TH-4T-001","chock":"WC-17"}"#.into(), "zone", "missing"),
        (r#"{"kind":"received","bearing":"TH-4T-001","as_set_mm":0.3}"#.into(), "as_set_mm", "is a list"),
        (r#"{"kind":"received","bearing":"TH-4T-001","as_set_mm":["1.2.3"]}"#.into(), "as_set_mm", "decimal marks"),
        (campaign("hours", "-1"), "hours", "negative"),
        (campaign("hours", "\"five\""), "hours", "not a number"),
        (campaign("tonnes", "null"), "tonnes", "missing"),
        (campaign("from", "\"soon\""), "from", "is no time"),
        (campaign("estimate", "1"), "estimate", "true or false"),
        (r#"{"kind":"hold","reason":"x"}"#.into(), "thing", "missing"),
        (r#"{"kind":"hold","bearing":"TH-4T-001","chock":"WC-17","reason":"x"}"#.into(), "chock", "one thing"),
        (r#"{"kind":"hold","thing":"TH-4T-001","reason":" "}"#.into(), "reason", "missing"),
        (r#"{"kind":"gauge_calibrated","gauge":"BG-03","certificate":"C","due":"2027-01-01"}"#.into(), "expanded_uncertainty_um", "missing"),
        (r#"{"kind":"teardown_sheet"}"#.into(), "fields", "missing"),
        (r#"{"kind":"teardown_sheet","fields":{"identify.colour":"red"}}"#.into(), "identify.colour", "no field"),
        (r#"{"kind":"teardown_sheet","fields":{},"skip":{"lunch":"late"}}"#.into(), "skip.lunch", "no field"),
        (r#"{"kind":"register_change","entity":"roll","code":"R-101","line":"FT","role":"W"}"#.into(), "code", "\"change\":true"),
        (r#"{"kind":"register_change","entity":"roll","code":"R-101","line":"FT","role":"W","change":true}"#.into(), "reason", "missing"),
        (r#"{"kind":"register_change","entity":"roll","code":"R-900","line":"FT","role":"W","change":true,"reason":"x"}"#.into(), "change", "no roll R-900"),
        (r#"{"kind":"register_change","entity":"roll","code":"R-900","line":"FT","role":"V"}"#.into(), "role", "none of W"),
        (r#"{"kind":"register_change","entity":"crane","code":"1"}"#.into(), "entity", "no sort of thing"),
        (r#"{"kind":"register_change","entity":"person","name":"Foreman A","role":"foreman"}"#.into(), "pin", "missing"),
        (r#"{"kind":"register_change","entity":"person","name":"Foreman A","role":"king","pin":"1234"}"#.into(), "role", "none of"),
        (r#"{"kind":"register_change","entity":"bearing_type","code":"X","bearing_kind":"four_row_tapered","values":{"colour":1}}"#.into(), "values.colour", "no value"),
        (r#"{"kind":"register_change","entity":"bearing_type","code":"X","bearing_kind":"four_row_tapered","values":{"bore_mm":1,"bore_nm":1}}"#.into(), "values.bore_nm", "twice"),
        (r#"{"kind":"register_change","entity":"bearing_type","code":"X","bearing_kind":"four_row_tapered","values":{"rework_mm":0.6}}"#.into(), "values.rework_mm", "each row pair"),
        (r#"{"kind":"register_change","entity":"gauge","code":"X","gauge_kind":"x","measures":"bore","resolution_k":1,"due":"2027-01-01"}"#.into(), "resolution_k", "not the unit"),
    ];
    let before = shop.dump();
    for (line, key, words) in &rows {
        match line::read(&mut shop.logbook, line) {
            Err(StoreError::Input { at, why }) => {
                assert_eq!(at, *key, "{line}: {why}");
                assert!(why.contains(words), "{line}: {why}");
            }
            other => panic!("{line}: {other:?}"),
        }
    }
    assert_eq!(rows.len(), 42);
    assert_eq!(shop.dump(), before);
}

#[test]
fn codes_are_looked_up_and_those_of_two_things_are_refused() {
    let mut shop = Shop::new();
    match line::read(
        &mut shop.logbook,
        r#"{"kind":"dismounted","chock":"WC-99"}"#,
    ) {
        Err(StoreError::Unknown {
            what: "chock",
            code,
            ..
        }) => assert_eq!(code, "WC-99"),
        other => panic!("{other:?}"),
    }
    shop.log(r#"{"kind":"register_change","entity":"roll","code":"WC-17","line":"FT","role":"W"}"#)
        .unwrap();
    let error = line::read(
        &mut shop.logbook,
        r#"{"kind":"hold","thing":"wc-17","reason":"x"}"#,
    )
    .unwrap_err()
    .to_string();
    assert!(
        error.contains(r#""chock":"WC-17""#) && error.contains(r#""roll":"WC-17""#),
        "{error}"
    );
    shop.log(r#"{"kind":"hold","chock":" wc-17 ","reason":"x"}"#)
        .unwrap();
    let held = "SELECT t.entity = 'chock' FROM hold h JOIN thing t ON t.no = h.thing";
    assert_eq!(number(shop.logbook.connection(), held), 1);
}

#[test]
fn a_line_without_a_time_happens_now_and_one_without_an_offset_on_the_wall_clock_of_the_logbook() {
    let mut shop = Shop::new();
    let at = |shop: &mut Shop, line: &str| match line::read(&mut shop.logbook, line).unwrap() {
        Line::Event(NewEvent {
            at,
            payload: Payload::Hold(_),
        }) => at,
        other => panic!("{other:?}"),
    };
    let now = at(&mut shop, r#"{"kind":"hold","thing":"WC-17","reason":"x"}"#);
    assert_eq!(now, Stamp::second(shop.clock.ms(), 0));
    let given = at(
        &mut shop,
        r#"{"kind":"hold","at":"2026-01-05T06:10+01:00","thing":"WC-17","reason":"x"}"#,
    );
    assert_eq!(given.to_string(), "2026-01-05T06:10+01:00");
}

#[test]
fn a_copied_logbook_names_its_things_in_full_before_its_first_write() {
    let shop = Shop::new();
    let (dir, path, clock) = shop.close();
    let copy = dir.path().join("copy.chockbook");
    std::fs::copy(&path, &copy).unwrap();
    let mut logbook = Logbook::open(&copy, hands(&clock, 100)).unwrap();
    let engineer = logbook.sign_in("Engineer", PIN).unwrap();
    log_as(
        &mut logbook,
        &engineer,
        r#"{"kind":"hold","thing":"WC-17","reason":"x"}"#,
    )
    .unwrap();
    log_as(
        &mut logbook,
        &engineer,
        r#"{"kind":"hold","thing":"WC-18","reason":"x"}"#,
    )
    .unwrap();
    let held = common::strings(
        logbook.connection(),
        "SELECT t.code FROM hold h JOIN thing t ON t.no = h.thing ORDER BY 1",
    );
    assert_eq!(held, ["WC-17", "WC-18"]);
}
