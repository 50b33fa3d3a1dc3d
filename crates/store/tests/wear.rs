//! What the wear model is told of a logbook: hours place by place, where a bearing is now, settings of both kinds.
#![allow(clippy::unwrap_used)]

mod common;

use calc::wear::Why;
use common::sheet::{fields, put, sign_again, signed, with_register};
use common::{Shop, number};
use store::ThingNo;
use store::draft::Fields;
use store::entry::{LengthUnit, Show};
use store::query::{ShopWear, expected_limits, shop_wear};
use store::sheet::{Facts, SignTeardown, assess, sign};

fn log(shop: &mut Shop, lines: &[&str]) {
    for line in lines {
        shop.log(line).unwrap_or_else(|e| panic!("{line}: {e}"));
    }
}

fn wear(shop: &Shop, day: Option<i32>) -> ShopWear {
    shop_wear(shop.logbook.connection(), day).unwrap().unwrap()
}

/// A stay of 60 h at F3 and 70 h at F4 before the teardown.
const TWO_PLACES: [&str; 8] = [
    r#"{"kind":"mounted","at":"2026-01-08T06:00","chock":"WC-50","roll":"R-101","position":"F3-W-T-O","note":"as it stood"}"#,
    r#"{"kind":"mounted","at":"2026-01-08T06:01","chock":"WC-41","roll":"R-101","position":"F3-W-T-D","note":"as it stood"}"#,
    r#"{"kind":"campaign","at":"2026-01-11T06:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-50","chock_d":"WC-41","from":"2026-01-08T06:10","hours":60,"tonnes":20000}"#,
    r#"{"kind":"dismounted","at":"2026-01-11T08:00","chock":"WC-50"}"#,
    r#"{"kind":"mounted","at":"2026-01-11T09:00","chock":"WC-50","roll":"R-102","position":"F4-W-T-O","note":"as it stood"}"#,
    r#"{"kind":"mounted","at":"2026-01-11T09:01","chock":"WC-42","roll":"R-102","position":"F4-W-T-D","note":"as it stood"}"#,
    r#"{"kind":"campaign","at":"2026-01-14T09:00","roll":"R-102","position_o":"F4-W-T-O","position_d":"F4-W-T-D","chock_o":"WC-50","chock_d":"WC-42","from":"2026-01-11T09:10","hours":70,"tonnes":20000}"#,
    r#"{"kind":"dismounted","at":"2026-01-14T10:00","chock":"WC-50"}"#,
];

#[test]
fn hours_go_to_each_place_and_the_forecast_goes_on_where_the_bearing_is() {
    let mut shop = with_register();
    log(&mut shop, &TWO_PLACES);
    sign_again(&mut shop, &[]);
    let now = wear(&shop, None);
    let places: Vec<&str> = now
        .review
        .contrasts
        .iter()
        .filter(|c| c.row_pair.is_none())
        .map(|c| c.stand.as_str())
        .collect();
    assert_eq!(
        places,
        ["F3-W-T-O", "F4-W-T-O"],
        "both places had their hours"
    );
    // Torn down and put back into its chock it stands in the shop: nobody knows where it runs next.
    let row = &now.review.rows[0];
    assert_eq!(
        (row.bearing.as_str(), row.stand.as_deref()),
        ("TH-4T-050", None)
    );
    shop.clock.forward_ms(10 * 86_400_000);
    log(
        &mut shop,
        &[
            r#"{"kind":"dismounted","at":"2026-01-16T08:00","chock":"WC-42"}"#,
            r#"{"kind":"mounted","at":"2026-01-24T06:00","chock":"WC-50","roll":"R-102","position":"F3-W-T-O","note":"in again"}"#,
        ],
    );
    let later = wear(&shop, None);
    assert_eq!(later.review.rows[0].stand.as_deref(), Some("F3-W-T-O"));
    assert!(
        later.review.rows[0].state.factor_variance < row.state.factor_variance,
        "where it runs is known"
    );
    // As it was known four days before (days since 1970-01-01).
    let then = wear(&shop, Some(20_473));
    assert_eq!(then.review.rows[0].stand, None);
    assert_eq!(then.review.rows[0].state, row.state);
}

#[test]
fn a_baseline_from_outside_is_set_to_the_drawing_and_no_regrind() {
    let mut shop = with_register();
    log(&mut shop, &TWO_PLACES);
    // A regrind here aims elsewhere than the drawing.
    let aimed = common::sheet::MORE[0]
        .replace("2026-01-05T06:00", "2026-01-05T08:00")
        .replace(
            r#""rework_mm":"#,
            r#""target_min_mm":[0.5,0.5,0.5],"target_max_mm":[0.56,0.56,0.56],"rework_mm":"#,
        )
        .replace("}}", r#"},"change":true,"reason":"drawing"}"#);
    log(&mut shop, &[&aimed]);
    sign_again(&mut shop, &[]);
    shop.clock.forward_ms(20 * 86_400_000);
    log(
        &mut shop,
        &[
            r#"{"kind":"taken_out","at":"2026-01-25T06:00","bearing":"TH-4T-050","reason":"new rollers"}"#,
            r#"{"kind":"sent_out","at":"2026-01-26T06:00","thing":"TH-4T-050","to":"North Yard"}"#,
            r#"{"kind":"returned","at":"2026-02-05T06:00","thing":"TH-4T-050","as_set_mm":[0.3,0.3,0.3]}"#,
        ],
    );
    let wear = wear(&shop, None);
    assert_eq!(wear.review.improbable, [], "0.300 is what the drawing says");
    let rows: Vec<(usize, f64)> = wear
        .of("TH-4T-050")
        .map(|row| (row.segment, row.state.set_h))
        .collect();
    assert_eq!(rows.len(), 3);
    for (segment, set_h) in rows {
        assert_eq!(segment, 1);
        assert!((set_h - 130.0).abs() < 0.01, "its counter runs on: {set_h}");
    }
}

#[test]
fn a_row_pair_whose_spacer_was_left_goes_on_in_its_stretch() {
    let mut shop = with_register();
    log(&mut shop, &TWO_PLACES);
    let event = sign_again(&mut shop, &[]).no;
    let conn = shop.logbook.connection();
    let bearing = ThingNo(number(
        conn,
        "SELECT no FROM bearing WHERE serial = 'TH-4T-050'",
    ));
    let found: Vec<i64> = {
        let sql = format!(
            "SELECT value FROM outcome WHERE event = {event} AND name = 'end_play_nm' ORDER BY item"
        );
        let mut stmt = conn.prepare(&sql).unwrap();
        let rows = stmt.query_map([], |row| row.get(0)).unwrap();
        rows.map(Result::unwrap).collect()
    };
    let mm = |nm: i64| nm as f64 / 1e6;
    shop.clock.forward_ms(86_400_000);
    // Ground outside a sheet, the same day: row pair 1 only, the others as they were.
    let line = format!(
        r#"{{"kind":"spacers_reground","bearing":"TH-4T-050","spacer_mm":[23.9,30,24],"clearance_mm":[0.29,{},{}],"reason":"doubled"}}"#,
        mm(found[1]),
        mm(found[2])
    );
    log(&mut shop, &[&line]);
    let page = store::query::bearing_page(
        shop.logbook.connection(),
        bearing,
        shop.logbook.now(),
        store::entry::Show::default(),
    );
    let page = page.unwrap().unwrap();
    let last = |pair: usize| {
        let of = page.growth.iter().rfind(|p| p.pair == pair).unwrap();
        (of.segment, of.is_setting, of.is_baseline)
    };
    assert_eq!(last(1), (1, true, false));
    for pair in [2, 3] {
        assert_eq!(last(pair), (0, false, false), "S{pair}");
        assert!(page.pairs[pair - 1].per_1000_h_nm.is_some());
    }
}

#[test]
fn where_every_growth_is_refused_the_readings_are_asked_about_all_the_same() {
    let mut shop = with_register();
    let none = shop_wear(shop.logbook.connection(), None)
        .unwrap()
        .unwrap_err();
    assert_eq!(none.why, Why::NothingGrown);
    assert_eq!(none.refused().count(), 0);
    log(&mut shop, &TWO_PLACES);
    // Far below what it was set to, in all row pairs: no wear does that.
    let gaps: Vec<(String, &str)> = [(1, "23.95"), (2, "29.95"), (3, "23.95")]
        .into_iter()
        .flat_map(|(pair, gap)| {
            [0, 90, 180, 270].map(|degrees| (format!("clearance.gap.{pair}.{degrees}"), gap))
        })
        .collect();
    let mut edits: Vec<(&str, &str)> = gaps
        .iter()
        .map(|(path, gap)| (path.as_str(), *gap))
        .collect();
    edits.push(("decision.choice", "hold_for_engineer"));
    let event = sign_again(&mut shop, &edits).no;
    let none = shop_wear(shop.logbook.connection(), None)
        .unwrap()
        .unwrap_err();
    assert_eq!(none.why, Why::AllRefused);
    let refused: Vec<(&str, u32, i64)> = none.refused().collect();
    assert_eq!(
        refused,
        [1, 2, 3].map(|pair| ("TH-4T-050", pair, event)),
        "{refused:?}"
    );
    let asked = none.questions();
    assert_eq!((asked.len(), asked[0].count, asked[0].pair), (1, 3, 3));
}

#[test]
fn the_second_bearing_abreast_may_pass_a_limit_too() {
    let mut shop = with_register();
    log(&mut shop, &TWO_PLACES);
    sign_again(&mut shop, &[]);
    shop.clock.forward_ms(10 * 86_400_000);
    log(
        &mut shop,
        &[
            r#"{"kind":"register_change","entity":"chock_type","code":"twin","seats":{"main":"N4T-480","main2":"N4T-480"},"shim_place":"between","fits":["W-T-O"]}"#,
            r#"{"kind":"register_change","entity":"chock","code":"WC-60","chock_type":"twin"}"#,
            r#"{"kind":"taken_out","at":"2026-01-20T06:00","bearing":"TH-4T-050","reason":"to the other chock"}"#,
            r#"{"kind":"assembled","at":"2026-01-21T06:00","bearing":"TH-4T-050","chock":"WC-60","seat":"main2","zone":1}"#,
            r#"{"kind":"dismounted","at":"2026-01-16T08:00","chock":"WC-42"}"#,
            r#"{"kind":"mounted","at":"2026-01-24T06:00","chock":"WC-60","roll":"R-102","position":"F3-W-T-O","note":"in again"}"#,
        ],
    );
    let wear = wear(&shop, None);
    let expected = expected_limits(shop.logbook.connection(), &wear).unwrap();
    let told: Vec<(&str, &str)> = expected
        .iter()
        .map(|e| (e.bearing.1.as_str(), e.position.as_str()))
        .collect();
    assert_eq!(told, [("TH-4T-050", "F3-W-T-O")]);
}

/// Days later it has run on at one place, and stands higher than it wore before.
fn run_on(shop: &mut Shop) {
    shop.clock.forward_ms(20 * 86_400_000);
    log(
        shop,
        &[
            r#"{"kind":"mounted","at":"2026-01-16T06:00","chock":"WC-50","roll":"R-101","position":"F3-W-T-O","note":"again"}"#,
            r#"{"kind":"campaign","at":"2026-01-28T06:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-50","chock_d":"WC-41","from":"2026-01-16T06:10","hours":280,"tonnes":20000}"#,
            r#"{"kind":"dismounted","at":"2026-01-28T08:00","chock":"WC-50"}"#,
        ],
    );
}

/// The sheet after that: rows 1 and 2 stand at 0.450, the others as before.
fn later_fields() -> Fields {
    let mut fields = fields("2026-01-28 09:30");
    for degrees in [0, 90, 180, 270] {
        put(&mut fields, &format!("clearance.gap.1.{degrees}"), "23.55");
    }
    fields
}

/// What is planned, and what a cause is looked for.
fn expected_of(reasons: &[String]) -> Vec<&String> {
    let words = [
        "before the next teardown",
        "as fast as",
        "faster than before",
    ];
    let told = |text: &&String| words.iter().any(|w| text.contains(w));
    reasons.iter().filter(told).collect()
}

#[test]
fn a_sheet_says_what_its_wear_lets_expect_and_signs_what_it_says() {
    let mut shop = with_register();
    log(&mut shop, &TWO_PLACES);
    sign_again(&mut shop, &[]);
    run_on(&mut shop);
    let fields = later_fields();
    let wear = wear(&shop, None);
    // As the window shows it.
    let now = shop.logbook.now();
    let mut facts = Facts::load(shop.logbook.connection(), &fields, now).unwrap();
    let shown =
        |facts: &Facts| assess(&fields, facts, LengthUnit::Millimetre).reasons(Show::default());
    assert_eq!(
        expected_of(&shown(&facts)),
        Vec::<&String>::new(),
        "nobody asked the model"
    );
    facts.foresee(&wear);
    let shown = shown(&facts);
    let told = expected_of(&shown);
    assert_eq!(told.len(), 2, "{shown:?}");
    let start = "Rows 1\u{2013}2 reach their limit before the next teardown (2,500 h) ";
    assert!(
        told[0].starts_with(start) && told[0].ends_with("is assumed."),
        "{told:?}"
    );
    let faster = "Since about 150 h on its counter rows 1\u{2013}2 may wear faster than before: look for the cause.";
    assert_eq!(told[1], faster);
    let engineer = shop.engineer.clone();
    let sheet = SignTeardown {
        fields: &fields,
        draft: None,
        at: None,
        entered: None,
        signer: &engineer,
        engineer: None,
        unit: LengthUnit::Millimetre,
        wear: Some(&wear),
    };
    let signed = sign(&mut shop.logbook, &sheet).unwrap();
    let decision = |shop: &Shop| {
        let conn = shop.logbook.connection();
        let detail = store::query::sheet_detail(conn, signed.signed.no, Show::default());
        detail.unwrap().unwrap().teardown.unwrap().decision.reasons
    };
    assert_eq!(decision(&shop), shown, "signed as it was shown");
    // A remark amended changes no reason; a reading that was typed wrongly takes the forecast with it.
    let amend = |shop: &mut Shop, edits: &[(&str, &str)]| {
        let edits = edits
            .iter()
            .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()));
        let amended = store::sheet::amend(
            &shop.logbook,
            ThingNo(signed.signed.no),
            &edits.collect(),
            "typed wrongly",
        );
        let event = store::NewEvent {
            at: shop.logbook.now(),
            payload: store::payload::Payload::Amendment(amended.unwrap()),
        };
        shop.logbook.append(Some(&engineer), &[event]).unwrap();
    };
    amend(&mut shop, &[("shim.found", "1.25")]);
    assert_eq!(decision(&shop), shown);
    let gaps = [0, 90, 180, 270].map(|degrees| format!("clearance.gap.1.{degrees}"));
    let as_before = gaps.each_ref().map(|path| (path.as_str(), "23.68"));
    amend(&mut shop, &as_before);
    // By the readings that are true it wore as before.
    let now = decision(&shop);
    let told = expected_of(&now);
    assert!(
        told.len() == 1 && told[0].contains("about 1 in 4: plan it within 2,150 h."),
        "{told:?}"
    );
}

#[test]
fn what_came_later_says_nothing_of_a_sheet_of_an_earlier_day() {
    let mut shop = with_register();
    log(&mut shop, &TWO_PLACES);
    sign_again(&mut shop, &[]);
    run_on(&mut shop);
    let own = |shop: &Shop, fields: &Fields| {
        let facts = Facts::load(shop.logbook.connection(), fields, shop.logbook.now());
        facts.unwrap().foreseen.own.unwrap()
    };
    let before = own(&shop, &later_fields());
    assert_eq!(before.readings.len(), 6, "as set and the first sheet");
    let engineer = shop.engineer.clone();
    signed(&mut shop, &engineer, &later_fields());
    // The same sheet typed in once more: what was read that day does not count yet, nor what ran later.
    assert_eq!(own(&shop, &later_fields()), before);
    let mut later = later_fields();
    put(&mut later, "identify.at", "2026-01-29 09:30");
    let known = own(&shop, &later);
    assert_eq!(known.readings.len(), 9);
    assert_eq!(known.readings[6].clearance_um, Some(450.0));
    // A reading that the shop refuses is an event without a reading.
    let mut without = known.clone();
    without.leave_out(|serial, pair, _| serial == "TH-4T-050" && pair == 2);
    let left: Vec<u32> = without
        .readings
        .iter()
        .filter(|r| r.clearance_um.is_some())
        .map(|r| r.row_pair)
        .collect();
    assert_eq!(left, [1, 3, 1, 3, 1, 3]);
}
