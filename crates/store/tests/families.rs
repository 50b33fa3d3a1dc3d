//! Teardown sheets of the families that have one clearance for the whole bearing: four-row cylindrical with its thrust
//! bearing, two-row spherical. Numbers of the shop are invented; the rules of reading are those of `calc::feeler`.
#![allow(clippy::unwrap_used)]

mod common;

use calc::conformity::Verdict;
use calc::disposition::Disposition;
use common::{Shop, number, strings};
use store::draft::{DraftField, Fields, Source};
use store::entry::{LengthUnit, Show};
use store::query::{BearingPage, bearing_page};
use store::sheet::{Assessment, Facts, SignTeardown, SignedSheet, assess, sign};
use store::{Signed, Stamp, StoreError, ThingNo};

fn refused(result: store::Result<Signed>) -> String {
    result.unwrap_err().to_string()
}

const MORE: [&str; 18] = [
    r#"{"kind":"register_change","entity":"bearing_type","code":"N4C-760","bearing_kind":"four_row_cylindrical","values":{"bore_mm":760,"outside_mm":1080,"width_mm":790,"rows_count":4,"clearance_min_mm":0.36,"clearance_max_mm":0.46,"watch_mm":0.6,"rework_mm":0.75,"neck_min_mm":760.31,"neck_max_mm":760.39,"neck_rework_mm":760.28}}"#,
    r#"{"kind":"register_change","entity":"bearing_type","code":"N4C-760 inner half","bearing_kind":"four_row_cylindrical_inner","values":{"bore_mm":760}}"#,
    r#"{"kind":"register_change","entity":"bearing_type","code":"N2X-600","bearing_kind":"two_row_thrust","values":{"bore_mm":600,"outside_mm":800,"clearance_min_mm":0.3,"clearance_max_mm":0.5,"watch_mm":0.7,"rework_mm":0.9}}"#,
    r#"{"kind":"register_change","entity":"bearing_type","code":"N2S-180","bearing_kind":"two_row_spherical","values":{"bore_mm":180,"outside_mm":300,"rows_count":2,"clearance_min_mm":0.14,"clearance_max_mm":0.19,"watch_mm":0.26,"rework_mm":0.34}}"#,
    r#"{"kind":"register_change","entity":"chock_type","code":"backup","seats":{"main":"N4C-760","thrust":"N2X-600"},"shim_place":"between","fits":["W-T-O"]}"#,
    r#"{"kind":"register_change","entity":"chock_type","code":"bar","seats":{"main":"N2S-180","main2":"N2S-180"},"shim_place":"between","fits":["W-T-O"]}"#,
    r#"{"kind":"register_change","entity":"chock","code":"KC-01","chock_type":"backup"}"#,
    r#"{"kind":"register_change","entity":"chock","code":"BC-01","chock_type":"bar"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4C-001","bearing_type":"N4C-760"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-2X-001","bearing_type":"N2X-600"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-2S-001","bearing_type":"N2S-180"}"#,
    r#"{"kind":"register_change","entity":"gauge","code":"FG-01","gauge_kind":"feeler set","measures":"gap","resolution_um":10,"expanded_uncertainty_um":10,"certificate":"C-1","due":"2027-01-20"}"#,
    r#"{"kind":"register_change","entity":"gauge","code":"OM-01","gauge_kind":"outside micrometer","measures":"neck","resolution_um":1,"expanded_uncertainty_um":6,"certificate":"C-2","due":"2027-01-20"}"#,
    r#"{"kind":"register_change","entity":"gauge","code":"IM-01","gauge_kind":"inside micrometer","measures":"bore","resolution_um":1,"expanded_uncertainty_um":8,"certificate":"C-3","due":"2027-01-20"}"#,
    r#"{"kind":"register_change","entity":"gauge","code":"DI-01","gauge_kind":"dial indicator","measures":"width","resolution_um":1,"expanded_uncertainty_um":6,"certificate":"C-4","due":"2027-01-20"}"#,
    r#"{"kind":"received","at":"2026-01-06T06:00","bearing":"TH-2S-001","as_set_mm":[0.165]}"#,
    r#"{"kind":"assembled","at":"2026-01-07T06:00","bearing":"TH-4C-001","chock":"KC-01","seat":"main","zone":1}"#,
    r#"{"kind":"assembled","at":"2026-01-07T06:00","bearing":"TH-2X-001","chock":"KC-01","seat":"thrust","zone":0}"#,
];

fn shop() -> Shop {
    let mut shop = Shop::new();
    for line in MORE {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    let line = r#"{"kind":"assembled","at":"2026-01-07T06:00","bearing":"TH-2S-001","chock":"BC-01","seat":"main","zone":1}"#;
    shop.log(line).unwrap();
    shop
}

fn fields(bearing: &str, more: &[(String, &str)]) -> Fields {
    let mut all = Fields::new();
    let mut put = |path: &str, text: &str| {
        let field = DraftField {
            text: text.into(),
            source: Source::Typed,
        };
        all.insert(path.to_owned(), field);
    };
    for (path, text) in [
        ("identify.bearing", bearing),
        ("identify.at", "2026-01-14T08:00"),
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
        ("identify.zone", "I"),
        ("skip.bore", "measured last week"),
        ("skip.neck", "roll is on the grinder"),
        ("skip.grease", "oil lubricated"),
        ("decision.choice", "return_to_service"),
        ("decision.reason", "seats measured last week"),
        ("zone.choice", "II"),
        ("zone.reason", "mark worn off"),
    ] {
        put(path, text);
    }
    for (path, text) in more {
        put(path, text);
    }
    all
}

fn own(pairs: &[(&'static str, &'static str)]) -> Vec<(String, &'static str)> {
    pairs.iter().map(|(p, t)| ((*p).to_owned(), *t)).collect()
}

/// Diameters of all four rows: two directions of the raceway, two under the rollers.
fn diameters() -> Vec<(String, &'static str)> {
    let mut all = own(&[
        ("radial.method", "diameters"),
        ("radial.gauge", "OM-01"),
        ("radial.gauge_rollers", "IM-01"),
        ("found.inner", "tight"),
        ("reassemble.chock", "KC-01"),
    ]);
    for row in 1..=4 {
        for (place, text) in [
            ("raceway", "840.100"),
            ("rollers", if row == 4 { "840.560" } else { "840.520" }),
        ] {
            for degrees in [0, 90] {
                all.push((format!("radial.{place}.{row}.{degrees}"), text));
            }
        }
    }
    all
}

fn told(shop: &Shop, fields: &Fields) -> Assessment {
    let now = Stamp::parse("2026-01-14T08:00", 60).unwrap();
    let facts = Facts::load(shop.logbook.connection(), fields, now).unwrap();
    assess(fields, &facts, LengthUnit::Millimetre)
}

fn signed(shop: &mut Shop, fields: &Fields) -> store::Result<SignedSheet> {
    let engineer = shop.engineer.clone();
    let sheet = SignTeardown {
        fields,
        draft: None,
        at: None,
        entered: None,
        signer: &engineer,
        engineer: None,
        unit: LengthUnit::Millimetre,
        wear: None,
    };
    sign(&mut shop.logbook, &sheet)
}

fn page(shop: &Shop, bearing: ThingNo) -> BearingPage {
    let (conn, now) = (shop.logbook.connection(), shop.logbook.now());
    bearing_page(conn, bearing, now, Show::default())
        .unwrap()
        .unwrap()
}

#[test]
fn a_cylindrical_bearing_has_one_clearance_from_raceway_and_rollers_and_goes_back() {
    let mut shop = shop();
    let fields = fields("TH-4C-001", &diameters());
    let a = told(&shop, &fields);
    // (3 x 0.420 + 0.460) / 4, each row within 0.36 and 0.75.
    assert_eq!(a.clearance.pairs[0].end_play_nm, Some(430_000));
    assert_eq!(a.clearance.pairs[0].verdict, Verdict::Pass);
    // Root of the squares of 6 and 8 um.
    assert_eq!(a.clearance.expanded_uncertainty_nm, Some(10_000));
    assert_eq!(a.clearance.pairs[1].verdict, Verdict::NotApplicable);
    let rows = &a.clearance.radial.as_ref().unwrap().rows;
    assert_eq!(rows[3].clearance_nm, Some(460_000));
    // The inner half stays on the neck: nothing of the neck can be measured, and nothing is asked for.
    assert!(!a.neck.is_needed);
    assert_eq!(a.blockers().collect::<Vec<_>>(), []);
    let done = signed(&mut shop, &fields).unwrap();
    let conn = shop.logbook.connection();
    let one = |sql: &str| strings(conn, sql).join(" ");
    let event = done.signed.no;
    assert_eq!(
        one(&format!(
            "SELECT name || ' ' || item || ' ' || value FROM outcome WHERE event = {event} AND name = 'clearance_nm'"
        )),
        "clearance_nm 1 430000"
    );
    assert_eq!(
        one(&format!(
            "SELECT about || item || ' ' || verdict FROM verdict WHERE event = {event} ORDER BY about, item"
        )),
        "clearance0 pass clearance_row1 pass clearance_row2 pass clearance_row3 pass clearance_row4 pass"
    );
    assert_eq!(
        number(
            conn,
            "SELECT count(*) FROM stay WHERE seat = 'main' AND zone = 2 AND to_event IS NULL"
        ),
        1
    );
    // It is found again as what the bearing stands at.
    let page = page(&shop, done.bearing);
    assert_eq!(page.pairs[0].now_nm, Some(430_000));
    assert_eq!(page.pairs[0].limit_nm, Some(750_000));
    assert_eq!(page.growth.len(), 1);
    let state = shop.dump();
    shop.logbook.rebuild(&mut |_, _| true).unwrap();
    assert_eq!(shop.dump(), state);
}

#[test]
fn one_row_over_the_limit_fails_though_the_mean_is_inside() {
    let shop = shop();
    let mut more = diameters();
    for (path, text) in &mut more {
        if path.starts_with("radial.rollers.4.") {
            *text = "840.860";
        }
    }
    let a = told(&shop, &fields("TH-4C-001", &more));
    assert_eq!(a.clearance.pairs[0].end_play_nm, Some(505_000));
    assert_eq!(
        a.clearance.radial.as_ref().unwrap().rows[3].verdict,
        Verdict::Fail
    );
    assert_eq!(a.clearance.pairs[0].verdict, Verdict::Fail);
    assert_eq!(a.recommendation.disposition, Disposition::Recondition);
    let because = |a: &Assessment| {
        let plain = |l| format!("{:.3}", calc::quantity::as_millimetres(l));
        let text =
            |r: &calc::disposition::Reason| r.text(plain, |_| String::new(), |_, _| String::new());
        a.recommendation
            .reasons
            .iter()
            .map(text)
            .collect::<Vec<_>>()
            .join(" ")
    };
    let words = because(&a);
    assert!(
        words.contains("Row 4 stands at 0.760, over the rework level 0.750"),
        "{words}"
    );
    // And one that hardly has any, beside three that are right.
    for (path, text) in &mut more {
        if path.starts_with("radial.rollers.4.") {
            *text = "840.200";
        }
    }
    let a = told(&shop, &fields("TH-4C-001", &more));
    assert_eq!(a.recommendation.disposition, Disposition::HoldForEngineer);
    let barred: Vec<String> = a.blockers().map(|(_, text)| text.to_owned()).collect();
    let row = "row 4 stands at 0.100 mm, below the drawing's minimum 0.360 mm: it cannot go back";
    assert!(barred.iter().any(|text| text.ends_with(row)), "{barred:?}");
}

#[test]
fn an_inner_half_that_turned_asks_for_the_neck_and_the_engineer() {
    let shop = shop();
    let mut more = diameters();
    more.push(("found.inner".into(), "turned"));
    let mut all = fields("TH-4C-001", &more);
    all.remove("skip.neck");
    let a = told(&shop, &all);
    assert!(a.neck.is_needed);
    let words: Vec<String> = a.blockers().map(|(_, text)| text.to_owned()).collect();
    assert!(
        words.iter().any(|w| w.starts_with("Roll neck: 15 values")),
        "{words:?}"
    );
    assert!(
        a.engineer_because
            .iter()
            .any(|w| w.contains("turned on the neck"))
    );
}

#[test]
fn how_the_inner_half_sits_on_its_neck_is_asked_before_the_sheet_is_signed() {
    let shop = shop();
    let mut more = diameters();
    more.retain(|(path, _)| path != "found.inner");
    let a = told(&shop, &fields("TH-4C-001", &more));
    let words: Vec<String> = a.blockers().map(|(_, text)| text.to_owned()).collect();
    assert_eq!(words, ["inner half on the neck: tight, turned, or off it?"]);
}

#[test]
fn half_read_it_waits_and_says_how_many_are_left() {
    let shop = shop();
    let mut more = diameters();
    more.retain(|(path, _)| !path.starts_with("radial.rollers.4."));
    let a = told(&shop, &fields("TH-4C-001", &more));
    assert_eq!(a.clearance.to_read(), 2);
    assert_eq!(a.clearance.pairs[0].verdict, Verdict::Missing);
    let words: Vec<String> = a.blockers().map(|(_, text)| text.to_owned()).collect();
    assert!(
        words.iter().any(|w| w.starts_with("2 to read")),
        "{words:?}"
    );
    // Without a word on how it is read, that is what is asked.
    more.retain(|(path, _)| path != "radial.method");
    let a = told(&shop, &fields("TH-4C-001", &more));
    let words: Vec<String> = a.blockers().map(|(_, text)| text.to_owned()).collect();
    assert!(
        words
            .iter()
            .any(|w| w.starts_with("say how the clearance is read")),
        "{words:?}"
    );
}

/// Thickest leaf that passes and thinnest that is refused, wherever round the row.
fn feeler(passes: &'static str, refused: &'static str) -> Vec<(String, &'static str)> {
    let mut all = own(&[
        ("radial.method", "feeler"),
        ("radial.gauge", "FG-01"),
        ("reassemble.chock", "BC-01"),
        ("radial.passes.1.0", "0.14"),
        ("radial.refused.1.0", "0.18"),
        ("radial.passes.1.90", "0.15"),
        ("radial.refused.1.90", "0.17"),
    ]);
    all.push(("radial.passes.2.0".into(), passes));
    all.push(("radial.refused.2.0".into(), refused));
    all
}

#[test]
fn a_spherical_bearing_is_read_with_leaves_and_every_place_is_kept() {
    let mut shop = shop();
    let all = fields("TH-2S-001", &feeler("0.16", "0.18"));
    let a = told(&shop, &all);
    let rows = &a.clearance.radial.as_ref().unwrap().rows;
    // Row 1: thickest that passes 0.15, thinnest that is refused 0.17.
    assert_eq!(
        (rows[0].largest_nm, rows[0].smallest_nm),
        (Some(150_000), Some(170_000))
    );
    assert_eq!(rows[0].clearance_nm, Some(160_000));
    assert_eq!(rows[1].clearance_nm, Some(170_000));
    assert_eq!(a.clearance.pairs[0].end_play_nm, Some(165_000));
    assert_eq!(a.clearance.pairs[0].verdict, Verdict::Pass);
    let done = signed(&mut shop, &all).unwrap();
    let kept = format!(
        "SELECT count(*) FROM reading WHERE event = {} AND path LIKE 'radial.%'",
        done.signed.no
    );
    assert_eq!(number(shop.logbook.connection(), &kept), 6);
    let page = page(&shop, done.bearing);
    assert_eq!(page.pairs[0].as_set_nm, Some(165_000), "one value as set");
}

#[test]
fn a_leaf_that_is_refused_and_thinner_than_one_that_passes_is_named() {
    let mut shop = shop();
    let all = fields("TH-2S-001", &feeler("0.18", "0.16"));
    match signed(&mut shop, &all) {
        Err(StoreError::Input { at, why }) => {
            assert_eq!(at, "Clearance");
            assert!(why.contains("row 2 at 0 degrees"), "{why}");
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_thin_ring_is_half_the_sum_of_its_three_places() {
    let shop = shop();
    let mut more = own(&[
        ("radial.method", "thin_ring"),
        ("radial.gauge", "FG-01"),
        ("reassemble.chock", "BC-01"),
    ]);
    for row in 1..=2 {
        more.push((format!("radial.side.{row}.1"), "0.05"));
        more.push((format!("radial.open.{row}"), "0.22"));
        more.push((format!("radial.side.{row}.2"), "0.06"));
    }
    let a = told(&shop, &fields("TH-2S-001", &more));
    assert_eq!(a.clearance.pairs[0].end_play_nm, Some(165_000));
}

#[test]
fn a_thrust_bearing_has_an_axial_clearance_no_zone_and_no_seat_to_measure() {
    let mut shop = shop();
    let mut all = fields(
        "TH-2X-001",
        &own(&[
            ("radial.gauge", "DI-01"),
            ("axial.0", "0.42"),
            ("axial.90", "0.44"),
            ("axial.180", "0.44"),
            ("axial.270", "0.42"),
            ("reassemble.chock", "KC-01"),
        ]),
    );
    for path in [
        "skip.bore",
        "skip.neck",
        "identify.zone",
        "zone.choice",
        "zone.reason",
    ] {
        all.remove(path);
    }
    let a = told(&shop, &all);
    assert_eq!(a.clearance.pairs[0].end_play_nm, Some(430_000));
    assert_eq!(a.blockers().collect::<Vec<_>>(), []);
    signed(&mut shop, &all).unwrap();
    let conn = shop.logbook.connection();
    assert_eq!(
        number(
            conn,
            "SELECT count(*) FROM stay WHERE seat = 'thrust' AND zone = 0 AND to_event IS NULL"
        ),
        1
    );
}

#[test]
fn the_clearance_as_set_has_as_many_values_as_the_family_has() {
    let mut shop = shop();
    for (serial, values, holds) in [
        ("TH-4C-001", "[0.4]", false),
        ("TH-4C-001", "[0.4,0.4,0.4]", false),
        ("TH-4T-003", "[0.3]", false),
        ("TH-4T-003", "[0.3,0.3,0.3]", true),
    ] {
        let line = format!(
            r#"{{"kind":"received","at":"2026-01-08T06:00","bearing":"{serial}","as_set_mm":{values}}}"#
        );
        // The cylindrical one is in use already: it is refused either way, by other words.
        assert_eq!(shop.log(&line).is_ok(), holds, "{line}");
    }
}

#[test]
fn an_inner_half_has_no_sheet_of_its_own() {
    let mut shop = shop();
    shop.log(r#"{"kind":"register_change","entity":"bearing","serial":"TH-4CI-01","bearing_type":"N4C-760 inner half"}"#)
        .unwrap();
    let a = told(&shop, &fields("TH-4CI-01", &[]));
    let words: Vec<String> = a.blockers().map(|(_, text)| text.to_owned()).collect();
    assert!(
        words.iter().any(|w| w.contains("is an inner half")),
        "{words:?}"
    );
}

const HALVES: [&str; 10] = [
    r#"{"kind":"register_change","entity":"position","code":"F3-K-T-O","stand":"F3","role":"K","level":"T","side":"O","load_angle_deg":0}"#,
    r#"{"kind":"register_change","entity":"roll","code":"K-07","line":"FT","role":"K"}"#,
    r#"{"kind":"register_change","entity":"bearing_type","code":"N4C","bearing_kind":"four_row_cylindrical","values":{"bore_mm":500}}"#,
    r#"{"kind":"register_change","entity":"bearing_type","code":"N4C inner","bearing_kind":"four_row_cylindrical_inner","values":{"bore_mm":500}}"#,
    r#"{"kind":"register_change","entity":"chock_type","code":"backup","seats":{"main":"N4C"},"shim_place":"between","fits":["K-T-O"]}"#,
    r#"{"kind":"register_change","entity":"chock","code":"KC-01","chock_type":"backup"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4C-009","bearing_type":"N4C"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4CI-31","bearing_type":"N4C inner"}"#,
    r#"{"kind":"register_change","entity":"bearing","serial":"TH-4CI-32","bearing_type":"N4C inner"}"#,
    r#"{"kind":"assembled","at":"2026-01-07","bearing":"TH-4C-009","chock":"KC-01","zone":1}"#,
];

#[test]
fn the_halves_of_a_cylindrical_bearing_live_apart_and_are_never_mixed() {
    let mut shop = Shop::new();
    for line in HALVES {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    for (line, why) in [
        (
            r#"{"kind":"assembled","at":"2026-01-08","bearing":"TH-4CI-31","chock":"KC-01","zone":0}"#,
            "on no chock",
        ),
        (
            r#"{"kind":"assembled","at":"2026-01-08","bearing":"TH-4C-009","roll":"K-07","seat":"neck_o","zone":0}"#,
            "on no neck",
        ),
        (
            r#"{"kind":"paired","at":"2026-01-08","outer":"TH-4CI-31","inner":"TH-4C-009"}"#,
            "not the outer and the inner",
        ),
        (
            r#"{"kind":"unpaired","at":"2026-01-08","outer":"TH-4C-009","reason":"x"}"#,
            "paired with nothing",
        ),
    ] {
        let said = refused(shop.log(line));
        assert!(said.contains(why), "{line}: {said}");
    }
    for line in [
        r#"{"kind":"assembled","at":"2026-01-08","bearing":"TH-4CI-31","roll":"K-07","seat":"neck_o","zone":0}"#,
        r#"{"kind":"paired","at":"2026-01-08T08:00","outer":"TH-4C-009","inner":"TH-4CI-32"}"#,
    ] {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    let mount = r#"{"kind":"mounted","at":"2026-01-09","chock":"KC-01","roll":"K-07","position":"F3-K-T-O"}"#;
    let said = refused(shop.log(mount));
    assert!(said.contains("never mixed"), "{said}");
    let said = refused(shop.log(
        r#"{"kind":"paired","at":"2026-01-08T09:00","outer":"TH-4C-009","inner":"TH-4CI-31"}"#,
    ));
    assert!(said.contains("are paired"), "{said}");
    for line in [
        r#"{"kind":"unpaired","at":"2026-01-08T09:00","outer":"TH-4C-009","reason":"32 is on another roll"}"#,
        r#"{"kind":"paired","at":"2026-01-08T10:00","outer":"TH-4C-009","inner":"TH-4CI-31"}"#,
        mount,
    ] {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    let said = refused(
        shop.log(r#"{"kind":"taken_out","at":"2026-01-10","bearing":"TH-4CI-31","reason":"x"}"#),
    );
    assert!(said.contains("in the mill"), "{said}");
    for line in [
        r#"{"kind":"dismounted","at":"2026-01-10","chock":"KC-01"}"#,
        r#"{"kind":"sent_out","at":"2026-01-11","thing":"K-07","to":"North Yard"}"#,
    ] {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
    let said = refused(
        shop.log(r#"{"kind":"taken_out","at":"2026-01-12","bearing":"TH-4CI-31","reason":"x"}"#),
    );
    assert!(said.contains("away"), "it went with its roll: {said}");
    let before = shop.dump();
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(shop.dump(), before);
}
