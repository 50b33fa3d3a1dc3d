//! The places of events as a person amends them: nobody types a verdict, every number says its unit, and what a list left
//! empty has a name.
#![allow(clippy::unwrap_used)]

mod common;

use common::sheet::with_register;
use common::{Shop, log_as, number, strings};
use store::amending::{Place, amend, withdraw};
use store::entry::{Currency, LengthUnit, Show};
use store::payload::{Payload, Role};
use store::query::{amended_places, event_page};
use store::{NewEvent, Signed, Signer, ThingNo};

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

/// A shop with limits of a bore, a gauge for it, a grease and somebody of the stores.
fn shop() -> Shop {
    let mut shop = with_register();
    for line in [
        r#"{"kind":"register_change","at":"2026-01-05T07:00","entity":"bearing_type","code":"N4T-480","change":true,"reason":"bore of the chock","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"outside_mm":620,"chock_bore_nominal_mm":620,"chock_bore_lower_mm":0,"chock_bore_upper_mm":0.07,"chock_bore_mean_max_mm":0.12,"chock_ovality_max_mm":0.12,"chock_taper_max_mm":0.06}}"#,
        r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"gauge","code":"BG-50","gauge_kind":"bore gauge","measures":"bore","resolution_um":1,"expanded_uncertainty_um":10,"certificate":"C-4","due":"2027-01-20"}"#,
        r#"{"kind":"register_change","entity":"gauge","code":"TC-09","gauge_kind":"thermometer","measures":"temperature","resolution_k":"0.1","due":"2027-01-20"}"#,
        r#"{"kind":"register_change","entity":"gauge","code":"TW-04","gauge_kind":"torque wrench","measures":"torque","resolution_newton_m":1,"due":"2027-01-20"}"#,
        r#"{"kind":"register_change","entity":"grease","code":"G-1","name":"lithium complex"}"#,
    ] {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    shop
}

fn bore_check(shop: &mut Shop, signer: &Signer, mm: &str) -> Signed {
    let line = format!(
        r#"{{"kind":"seat_check","at":"2026-01-12T14:00","chock":"WC-50","bearing_type":"N4T-480","fields":{{{},"bore.gauge":"BG-50"}},"note":"bell-mouthed?"}}"#,
        sizes("bore", mm)
    );
    log_as(&mut shop.logbook, signer, &line).unwrap()
}

fn held(shop: &Shop) -> Vec<String> {
    let sql = "SELECT t.code || ': ' || h.reason FROM hold h JOIN thing t ON t.no = h.thing WHERE released_event IS NULL";
    strings(shop.logbook.connection(), sql)
}

fn edit(
    shop: &mut Shop,
    signer: &Signer,
    of: &Signed,
    edits: &[(&str, &str)],
) -> store::Result<()> {
    let edits: Vec<(String, String)> = edits
        .iter()
        .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
        .collect();
    let why = "read again";
    let amendment = amend(&shop.logbook, ThingNo(of.no), &edits, why, Show::default())?;
    let event = NewEvent {
        at: shop.logbook.now(),
        payload: Payload::Amendment(amendment),
    };
    shop.logbook.append(Some(signer), &[event]).map(drop)
}

fn places_of(shop: &Shop, of: &Signed, show: Show) -> Vec<Place> {
    let page = event_page(shop.logbook.connection(), of.no, show).unwrap();
    page.unwrap().places
}

#[test]
fn nobody_types_a_verdict_over_a_seat_check() {
    let mut shop = shop();
    let (foreman, engineer) = (
        shop.person("Foreman Z", Role::Foreman),
        shop.engineer.clone(),
    );
    let check = bore_check(&mut shop, &foreman, "620.180");
    assert_eq!(held(&shop), ["WC-50: its bore fails: mean size"]);
    // What can be typed are the fields of the measurement, and the words beside it.
    let all = places_of(&shop, &check, Show::default());
    let paths: Vec<&str> = all.iter().map(|place| place.path.as_str()).collect();
    assert!(
        paths.contains(&"bore.1.0") && paths.contains(&"/note"),
        "{paths:?}"
    );
    assert!(
        paths.iter().all(|path| !path.starts_with("/body")),
        "{paths:?}"
    );
    let of = all
        .iter()
        .find(|place| place.path == "/bearing_type")
        .unwrap();
    assert_eq!((of.text.as_str(), of.is_fixed), ("N4T-480", false));
    assert!(
        all.iter()
            .any(|place| place.path == "/thing" && place.is_fixed)
    );
    for (path, text) in [
        ("/body/verdicts/0/verdict", "pass"),
        ("/body/results/0/value", "1"),
        ("/body/readings/0/value", "1"),
        ("/thing", "WC-17"),
    ] {
        assert!(
            edit(&mut shop, &engineer, &check, &[(path, text)]).is_err(),
            "{path}"
        );
    }
    // Nor by a line with pointers, whoever signs it.
    let id = check.id.to_string();
    let verdicts = number(
        shop.logbook.connection(),
        &format!(
            "SELECT json_array_length(payload, '$.body.verdicts') FROM event WHERE no = {}",
            check.no
        ),
    );
    for at in 0..verdicts {
        let line = format!(
            r#"{{"kind":"amendment","event":"{id}","changes":[{{"path":"/body/verdicts/{at}/verdict","old":"fail","new":"pass","reason":"x"}}]}}"#
        );
        let said = shop.log(&line).unwrap_err().to_string();
        assert!(said.contains("follows from the readings"), "{said}");
    }
    let line = format!(
        r#"{{"kind":"amendment","event":"{id}","changes":[{{"path":"/body/readings/0/value","old":620180000,"new":620040000,"reason":"x"}}]}}"#
    );
    assert!(
        shop.log(&line)
            .unwrap_err()
            .to_string()
            .contains("follows from the readings")
    );
    // The foreman who signed it neither amends it nor takes it back: either would end the hold.
    let said = edit(&mut shop, &foreman, &check, &[("bore.1.0", "620.040")]).unwrap_err();
    assert!(
        said.to_string().contains("amended by the engineer"),
        "{said}"
    );
    let back =
        Payload::Amendment(withdraw(&shop.logbook, ThingNo(check.no), "wrong chock").unwrap());
    let event = NewEvent {
        at: shop.logbook.now(),
        payload: back,
    };
    let said = shop.logbook.append(Some(&foreman), &[event]).unwrap_err();
    assert!(
        said.to_string().contains("amended by the engineer"),
        "{said}"
    );
    assert_eq!(held(&shop).len(), 1);
}

#[test]
fn a_reading_of_a_seat_check_is_amended_and_its_verdict_follows() {
    let mut shop = shop();
    let (foreman, engineer) = (
        shop.person("Foreman Z", Role::Foreman),
        shop.engineer.clone(),
    );
    let check = bore_check(&mut shop, &foreman, "620.180");
    let right: Vec<(String, String)> = [1, 2, 3]
        .iter()
        .flat_map(|plane| {
            ["0", "45", "90", "135"].map(|at| (format!("bore.{plane}.{at}"), "620.080".to_owned()))
        })
        .collect();
    let right: Vec<(&str, &str)> = right
        .iter()
        .map(|(p, t)| (p.as_str(), t.as_str()))
        .collect();
    let said = edit(&mut shop, &engineer, &check, &[("bore.1.0", "abc")]).unwrap_err();
    assert!(said.to_string().contains("not a number"), "{said}");
    edit(&mut shop, &engineer, &check, &right).unwrap();
    assert_eq!(held(&shop), Vec::<String>::new(), "no bore fails any more");
    let verdict = "SELECT verdict FROM verdict WHERE about = 'bore_mean'";
    assert_eq!(strings(shop.logbook.connection(), verdict), ["pass"]);
    let told = amended_places(shop.logbook.connection(), check.no, Show::default()).unwrap();
    assert_eq!(
        told.iter().filter(|place| !place.is_consequence).count(),
        12
    );
    assert!(
        told.iter()
            .any(|place| place.is_consequence && place.old == "fail" && place.new == "pass")
    );
    // The other way: what passed fails, and the chock waits.
    edit(
        &mut shop,
        &engineer,
        &check,
        &[("bore.1.90", "620.280"), ("/note", "bell-mouthed")],
    )
    .unwrap();
    assert_eq!(held(&shop).len(), 1, "{:?}", held(&shop));
    let said = edit(&mut shop, &engineer, &check, &[("bore.1.90", "620.280")]).unwrap_err();
    assert!(said.to_string().contains("nothing changes"), "{said}");
    let before = shop.dump();
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(shop.dump(), before);
}

/// One of every kind with numbers beside its words.
const NUMBERS: [&str; 17] = [
    r#"{"kind":"received","at":"2026-01-06","bearing":"TH-4T-001","as_set_mm":[0.3,0.3005,0.3],"spacer_mm":[24.012,30.004,24.0125]}"#,
    r#"{"kind":"assembled","at":"2026-01-07T06:00","bearing":"TH-4T-001","chock":"WC-17","zone":2}"#,
    r#"{"kind":"mounted","at":"2026-01-08T06:00","chock":"WC-17","roll":"R-101","position":"F3-W-T-O"}"#,
    r#"{"kind":"mounted","at":"2026-01-08T06:00","chock":"WC-41","roll":"R-101","position":"F3-W-T-D","note":"a trial"}"#,
    r#"{"kind":"campaign","at":"2026-01-08T12:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-01-08T06:30","hours":"3.3333","tonnes":"4120.55","radial_kn":512,"axial_kn":"18.5","rpm":92.5}"#,
    r#"{"kind":"condition_reading","at":"2026-01-08T10:00","chock":"WC-17","what":"temperature","temp_c":"96"}"#,
    r#"{"kind":"mill_incident","at":"2026-01-08T11:00","position":"F3-W-T-O","what":"cobble","force_mn":31,"text":"bang","early_teardown":false}"#,
    r#"{"kind":"extension","at":"2026-01-08T13:00","chock":"WC-17","until":"2026-02-10","reason":"watched"}"#,
    r#"{"kind":"teardown_planned","at":"2026-01-08T13:30","chock":"WC-17","planned":"2026-02-02","reason":"no spare"}"#,
    r#"{"kind":"dismounted","at":"2026-01-09T06:00","chock":"WC-17"}"#,
    r#"{"kind":"greased","at":"2026-01-09T12:00","bearing":"TH-4T-001","grease":"G-1","amount_g":"1840"}"#,
    r#"{"kind":"cost","at":"2026-01-09T15:00","thing":"TH-4T-001","amount":"11400.50","text":"new"}"#,
    r#"{"kind":"position_work","at":"2026-01-09T13:00","position":"F3-W-T-O","what":"liners","width_mm":["820.10"],"text":"exit side"}"#,
    r#"{"kind":"gauge_calibrated","at":"2026-01-10","gauge":"BG-50","certificate":"C-131","due":"2027-09-23","expanded_uncertainty_um":"8"}"#,
    r#"{"kind":"gauge_found_out","at":"2026-01-10T10:00","gauge":"BG-50","error_um":"-12.5","text":"on SR-02"}"#,
    r#"{"kind":"spacers_reground","at":"2026-01-11T11:00","bearing":"TH-4T-001","spacer_mm":["23.10","23.05","23.12"],"clearance_mm":["0.30","0.30","0.29"],"reason":"ordered"}"#,
    r#"{"kind":"import_batch","at":"2026-01-11T12:00","name":"January","file":"jan.csv","file_hash":"0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f0f","rows":412}"#,
];

/// Counts and marks: numbers without a unit.
const BARE: [&str; 2] = ["/zone", "/rows"];

#[test]
fn every_number_shows_its_unit_and_its_shown_text_changes_nothing() {
    let mut shop = shop();
    let mut signed = Vec::new();
    for line in NUMBERS {
        signed.push(shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}")));
    }
    for (gauge, unit) in [("TC-09", "k"), ("TW-04", "newton_m")] {
        for line in [
            format!(
                r#"{{"kind":"gauge_calibrated","at":"2026-01-10","gauge":"{gauge}","certificate":"C-9","due":"2027-09-23","expanded_uncertainty_{unit}":"0.5"}}"#
            ),
            format!(
                r#"{{"kind":"gauge_found_out","at":"2026-01-10T10:00","gauge":"{gauge}","error_{unit}":"3","text":"in the bath"}}"#
            ),
        ] {
            signed.push(shop.log(&line).unwrap_or_else(|e| panic!("{line}: {e}")));
        }
    }
    for (what, value) in [("vibration", 4_200_000), ("noise", 8_250)] {
        let chock = shop.logbook.name(thing(&shop, "WC-17")).unwrap();
        let event = NewEvent {
            at: shop.logbook.now(),
            payload: Payload::ConditionReading(store::payload::ConditionReading {
                chock,
                what: what.into(),
                value: Some(value),
                text: String::new(),
                is_early_teardown: false,
            }),
        };
        let engineer = shop.engineer.clone();
        signed.extend(shop.logbook.append(Some(&engineer), &[event]).unwrap());
    }
    let mut numbers = 0;
    for show in [
        Show::default(),
        Show {
            comma: true,
            currency: Currency::read("EUR"),
            ..Show::default()
        },
        Show {
            unit: LengthUnit::Inch,
            ..Show::default()
        },
    ] {
        for of in &signed {
            let event = store::query::event_page(shop.logbook.connection(), of.no, show)
                .unwrap()
                .unwrap();
            let text: String = shop
                .logbook
                .connection()
                .query_row("SELECT payload FROM event WHERE no = ?1", [of.no], |row| {
                    row.get(0)
                })
                .unwrap();
            let json: serde_json::Value = serde_json::from_str(&text).unwrap();
            for place in event.places.iter().filter(|place| !place.text.is_empty()) {
                let named = format!("{} {} {:?}", json["kind"], place.path, place.text);
                let is_number = json
                    .pointer(&place.path)
                    .is_some_and(serde_json::Value::is_number);
                let is_name = !place
                    .text
                    .starts_with(|c: char| c.is_ascii_digit() || c == '\u{2212}');
                let is_day = place.text.len() >= 10 && place.text[4..].starts_with('-');
                if is_number && !is_name && !is_day && !BARE.contains(&place.path.as_str()) {
                    numbers += 1;
                    let is_money = place.path == "/amount_minor" && show.currency.is_none();
                    assert!(!place.unit.is_empty() || is_money, "{named}: in what?");
                }
                let same = [(place.path.clone(), place.text.clone())];
                let said = amend(&shop.logbook, ThingNo(of.no), &same, "x", show).unwrap_err();
                assert!(
                    said.to_string().contains("nothing changes"),
                    "{named}: {said}"
                );
            }
        }
    }
    assert!(numbers >= 90, "{numbers}");
}

fn thing(shop: &Shop, code: &str) -> ThingNo {
    let sql = format!("SELECT no FROM thing WHERE code = '{code}'");
    ThingNo(number(shop.logbook.connection(), &sql))
}

#[test]
fn what_is_typed_is_read_in_the_unit_that_stands_beside_it() {
    let mut shop = shop();
    let engineer = shop.engineer.clone();
    let hot = shop.log(NUMBERS[5]).unwrap();
    let place = places_of(&shop, &hot, Show::default());
    let value = place.iter().find(|place| place.path == "/value").unwrap();
    assert_eq!(
        (value.text.as_str(), value.unit.as_str()),
        ("96", "\u{b0}C")
    );
    edit(&mut shop, &engineer, &hot, &[("/value", "92")]).unwrap();
    assert_eq!(
        number(shop.logbook.connection(), "SELECT value FROM condition"),
        92_000
    );
    let told = amended_places(shop.logbook.connection(), hot.no, Show::default()).unwrap();
    assert_eq!(
        (told[0].old.as_str(), told[0].new.as_str()),
        ("96 \u{b0}C", "92 \u{b0}C")
    );
    // What was read is not exchanged under the number.
    let said = edit(&mut shop, &engineer, &hot, &[("/what", "vibration")]).unwrap_err();
    assert!(said.to_string().contains("in another unit"), "{said}");
    let sure = shop.log(NUMBERS[13]).unwrap();
    let said = edit(&mut shop, &engineer, &sure, &[("/gauge", "TC-09")]).unwrap_err();
    assert!(said.to_string().contains("in another unit"), "{said}");
    let place = places_of(&shop, &sure, Show::default());
    let value = place
        .iter()
        .find(|place| place.path == "/expanded_uncertainty")
        .unwrap();
    assert_eq!((value.text.as_str(), value.unit.as_str()), ("0.008", "mm"));
    edit(
        &mut shop,
        &engineer,
        &sure,
        &[("/expanded_uncertainty", "0.010")],
    )
    .unwrap();
    let sql = "SELECT expanded_uncertainty FROM calibration c JOIN gauge g ON g.no = c.gauge WHERE g.code = 'BG-50' AND c.certificate = 'C-131'";
    assert_eq!(number(shop.logbook.connection(), sql), 10_000);
    // A comma between thousands is asked about, here as in every form.
    let cost = shop.log(NUMBERS[11]).unwrap();
    let said = edit(&mut shop, &engineer, &cost, &[("/amount_minor", "11,400")]).unwrap_err();
    assert!(said.to_string().contains("may be 11400 or 11,4"), "{said}");
}

#[test]
fn a_certificate_that_comes_later_has_its_place() {
    let mut shop = shop();
    let engineer = shop.engineer.clone();
    let came = shop
        .log(r#"{"kind":"received","at":"2026-01-06","bearing":"TH-4T-001"}"#)
        .unwrap();
    let names: Vec<String> = places_of(&shop, &came, Show::default())
        .into_iter()
        .filter(|place| place.unit == "mm")
        .map(|place| place.label)
        .collect();
    assert_eq!(
        names,
        [
            "as set, rows 1\u{2013}2",
            "as set, rows 2\u{2013}3",
            "as set, rows 3\u{2013}4",
            "spacer S1",
            "spacer S2",
            "spacer S3"
        ]
    );
    let said = edit(&mut shop, &engineer, &came, &[("/as_set_nm/1", "0.300")]).unwrap_err();
    assert!(said.to_string().contains("before this one"), "{said}");
    let said = edit(&mut shop, &engineer, &came, &[("/as_set_nm/0", "0.300")]).unwrap_err();
    assert!(
        said.to_string().contains("each of the three row pairs"),
        "{said}"
    );
    edit(
        &mut shop,
        &engineer,
        &came,
        &[
            ("/as_set_nm/0", "0.300"),
            ("/as_set_nm/1", "0.305"),
            ("/as_set_nm/2", "0.295"),
            ("/certificate", "C-77"),
        ],
    )
    .unwrap();
    let sql = "SELECT value_nm FROM baseline b JOIN thing t ON t.no = b.bearing WHERE t.code = 'TH-4T-001' ORDER BY pair";
    let conn = shop.logbook.connection();
    let found: Vec<i64> = conn
        .prepare(sql)
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    assert_eq!(found, [300_000, 305_000, 295_000]);
    let told = amended_places(conn, came.no, Show::default()).unwrap();
    assert!(
        told.iter()
            .any(|place| place.old == "nothing" && place.new == "0.300, 0.305, 0.295 mm"),
        "{told:?}"
    );
    // Chocks that were forgotten.
    let bang = shop.log(NUMBERS[6]).unwrap();
    let said = edit(&mut shop, &engineer, &bang, &[("/chocks", "WC-99")]).unwrap_err();
    assert!(said.to_string().contains("not in the register"), "{said}");
    edit(&mut shop, &engineer, &bang, &[("/chocks", "WC-17 WC-41")]).unwrap();
    let place = places_of(&shop, &bang, Show::default());
    assert!(
        place
            .iter()
            .any(|place| place.path == "/chocks" && place.text == "WC-17 WC-41")
    );
}

#[test]
fn what_was_true_on_its_day_can_be_amended_though_it_would_be_refused_by_now() {
    let mut shop = shop();
    let engineer = shop.engineer.clone();
    shop.person("Keeper", Role::Storekeeper);
    let greased = |day: &str| {
        format!(
            r#"{{"kind":"greased","at":"2026-01-{day}","bearing":"TH-4T-050","grease":"G-1","amount_g":"1840"}}"#
        )
    };
    let early = shop.log(&greased("09")).unwrap();
    shop.log(r#"{"kind":"batch_blocked","at":"2026-01-12","thing":"G-1","reason":"water in it"}"#)
        .unwrap();
    shop.log(&greased("10")).unwrap();
    let said = shop.log(&greased("13")).unwrap_err().to_string();
    assert!(said.contains("G-1 is blocked"), "{said}");
    edit(&mut shop, &engineer, &early, &[("/amount_mg", "1850")]).unwrap();
    let scrapped = shop
        .log(r#"{"kind":"scrapped","at":"2026-01-14","thing":"TH-4T-003","reason":"cracekd","witness":"Keeper"}"#)
        .unwrap();
    shop.log(r#"{"kind":"register_change","entity":"person","name":"Keeper","role":"storekeeper","active":false,"change":true,"reason":"left"}"#)
        .unwrap();
    edit(&mut shop, &engineer, &scrapped, &[("/reason", "cracked")]).unwrap();
    // Another witness is asked about as at the scrapping.
    let said = edit(&mut shop, &engineer, &scrapped, &[("/witness", "Engineer")]).unwrap_err();
    assert!(said.to_string().contains("neither signs it"), "{said}");
    let all = places_of(&shop, &scrapped, Show::default());
    assert!(all.iter().any(|place| place.text == "cracked"));
}
