//! What only the engineer may say: that a thing held back is free again, and a clearance that the drawing does not know.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Shop, log_as, number};
use store::payload::Role;

/// A bearing of which the drawing is known.
const BEARING: &str = r#"{"kind":"register_change","entity":"bearing","serial":"TH-4T-050","bearing_type":"N4T-480"}"#;
const TYPE: &str = r#"{"kind":"register_change","entity":"bearing_type","code":"N4T-480","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"clearance_min_mm":[0.27,0.27,0.27],"clearance_max_mm":[0.33,0.33,0.33],"spacer_min_mm":[22,28,22]}}"#;

fn why(shop: &mut Shop, signer: &store::Signer, line: &str) -> String {
    let done = log_as(&mut shop.logbook, signer, line);
    done.expect_err(line).to_string()
}

#[test]
fn who_held_a_thing_does_not_take_that_back_alone() {
    let mut shop = Shop::new();
    let fitter = shop.person("Fitter 1", Role::Fitter);
    let hold = r#"{"kind":"hold","at":"2026-01-08T06:00","thing":"TH-4T-001","reason":"blue tint on a rib"}"#;
    let held = log_as(&mut shop.logbook, &fitter, hold).unwrap();
    let back = format!(
        r#"{{"kind":"amendment","event":"{}:{}","withdrawn_because":"looks fine"}}"#,
        held.id.origin.hex(),
        held.id.seq
    );
    assert!(why(&mut shop, &fitter, &back).contains("amended by the engineer"));
    shop.log(&back).unwrap();
}

#[test]
fn what_was_not_accepted_is_accepted_by_the_engineer_alone() {
    let mut shop = Shop::new();
    let keeper = shop.person("Storekeeper", Role::Storekeeper);
    let looked = |day: &str, accepted: bool| {
        format!(
            r#"{{"kind":"inspected_at_receipt","at":"2026-01-{day}T06:00","bearing":"TH-4T-001","condition":"crate wet","accepted":{accepted}}}"#
        )
    };
    shop.log(r#"{"kind":"received","at":"2026-01-06T06:00","bearing":"TH-4T-001"}"#)
        .unwrap();
    log_as(&mut shop.logbook, &keeper, &looked("07", false)).unwrap();
    assert!(why(&mut shop, &keeper, &looked("08", true)).contains("the engineer accepts it now"));
    shop.log(&looked("08", true)).unwrap();
    let open = "SELECT count(*) FROM hold WHERE released_event IS NULL";
    assert_eq!(number(shop.logbook.connection(), open), 0);
}

#[test]
fn every_limit_rests_on_the_clearance_as_set() {
    let mut shop = Shop::new();
    let keeper = shop.person("Storekeeper", Role::Storekeeper);
    shop.log(TYPE).unwrap();
    shop.log(BEARING).unwrap();
    // Inches among millimetres, or a digit lost.
    for as_set in ["0.0118", "0.03", "3.0"] {
        let line = format!(
            r#"{{"kind":"received","at":"2026-01-06T06:00","bearing":"TH-4T-050","as_set_mm":[0.3,{as_set},0.3]}}"#
        );
        let why = why(&mut shop, &keeper, &line);
        assert!(why.contains("outside the drawing of N4T-480"), "{why}");
    }
    let line = r#"{"kind":"received","at":"2026-01-06T06:00","bearing":"TH-4T-050","as_set_mm":[0.3,0.27,0.33]}"#;
    log_as(&mut shop.logbook, &keeper, line).unwrap();
}

#[test]
fn a_regrind_ends_inside_the_drawing_or_is_none() {
    let mut shop = Shop::new();
    shop.log(TYPE).unwrap();
    shop.log(BEARING).unwrap();
    let ground = |spacers: &str, clearances: &str| {
        format!(
            r#"{{"kind":"spacers_reground","at":"2026-01-08T06:00","bearing":"TH-4T-050","spacer_mm":[{spacers}],"clearance_mm":[{clearances}],"reason":"doubled"}}"#
        )
    };
    let good = r#""23.6","29.7","23.6""#;
    for (spacers, clearances, said) in [
        (
            r#""5","29.7","23.6""#,
            r#""0.3","0.3","0.3""#,
            "S1 of 5.000 mm is under its smallest width 22.000 mm",
        ),
        (
            good,
            r#""0.3","0.001","0.3""#,
            "rows 2\u{2013}3 were left with 0.001 mm",
        ),
        (
            good,
            r#""0.3","0.3","9.9""#,
            "rows 3\u{2013}4 were left with 9.900 mm",
        ),
    ] {
        let why = shop
            .log(&ground(spacers, clearances))
            .unwrap_err()
            .to_string();
        assert!(why.contains(said), "{why}");
    }
    shop.log(&ground(good, r#""0.3","0.3","0.3""#)).unwrap();
}
