//! The clearance of a whole bearing by keyboard: raceway and rollers, feeler, indicator; in mm and in inch.

use std::collections::BTreeMap;
use std::sync::Arc;

use calc::conformity::Verdict;
use egui::{Key, Modifiers};
use store::sheet::{Facts, Section, TypeFacts};

use crate::win::screens::sheet::Pages;
use crate::win::screens::teardown::view::SheetView;

use super::bench::{Bench, Shop, facts, fields, inch};

/// The bearing of the bench as one of another family: limits in mm by name.
fn of(kind: &str, code: &str, values: &[(&str, i64)]) -> Facts {
    let mut facts = facts();
    let values: BTreeMap<(String, i64), i64> = values
        .iter()
        .map(|(name, value)| (((*name).to_owned(), 0), *value))
        .collect();
    facts.bearing_type = Some(TypeFacts {
        kind: kind.into(),
        code: code.into(),
        values,
        ..facts.bearing_type.clone().unwrap_or_default()
    });
    facts
}

fn cylindrical() -> Facts {
    let values = [
        ("bore_nm", 760_000_000),
        ("outside_nm", 1_080_000_000),
        ("rows_count", 4),
        ("clearance_min_nm", 360_000),
        ("watch_nm", 600_000),
        ("rework_nm", 750_000),
    ];
    of("four_row_cylindrical", "N4C-760/1080-790", &values)
}

fn spherical() -> Facts {
    let values = [
        ("bore_nm", 180_000_000),
        ("outside_nm", 300_000_000),
        ("rows_count", 2),
        ("clearance_min_nm", 140_000),
        ("watch_nm", 260_000),
        ("rework_nm", 340_000),
    ];
    of("two_row_spherical", "N2S-180/300-96", &values)
}

fn bench(facts: Facts, caret: &str) -> Shop {
    let mut shop = Shop::new(fields(&[("identify.chock", "KC-01")]), caret);
    shop.facts = Arc::new(facts);
    shop
}

#[test]
fn raceway_and_rollers_are_read_row_by_row_and_come_to_one_clearance() {
    let mut bench = Bench::new(bench(cylindrical(), "radial.method"));
    assert_eq!(bench.shop().view.section(), Section::Clearance);
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.enter("");
    assert_eq!(bench.text("radial.method"), "diameters");
    assert_eq!(bench.caret(), "radial.raceway.1.0");
    for row in 1..=4 {
        assert_eq!(bench.caret(), format!("radial.raceway.{row}.0"));
        bench.enter_all(&["840,100", "840.100", "840.520", "840520000nm"]);
        if row == 1 {
            assert!(bench.has("4 to read"), "the next row waits");
        }
    }
    assert_eq!(bench.caret(), "radial.gauge");
    bench.enter("OM-07");
    bench.enter_at("radial.gauge_rollers", "BG-03");
    let a = bench.assessment();
    assert_eq!(a.clearance.pairs[0].end_play_nm, Some(420_000));
    // OM-07 is overdue on these facts: at best in doubt.
    assert_eq!(a.clearance.pairs[0].verdict, Verdict::PassInDoubt);
    bench.key(Modifiers::SHIFT, Key::Enter);
    assert_eq!(bench.shop().view.section(), Section::Clearance);
    bench.click("radial clearance: pass in doubt; why?");
    assert!(
        bench.has("mean of the rows"),
        "the panel says how it came out"
    );
}

#[test]
fn leaves_in_inch_are_kept_as_typed_and_a_contradiction_is_named() {
    let mut bench = Bench::new(inch(bench(spherical(), "radial.method")));
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.enter("");
    assert_eq!(bench.text("radial.method"), "feeler");
    assert_eq!(bench.caret(), "radial.passes.1.0");
    // 0.0060 in passes, 0.0070 in is refused; one place is enough.
    bench.enter("0.0060");
    bench.enter_all(&["", "", ""]);
    bench.enter_at("radial.refused.1.0", "0.0070");
    bench.enter_all(&["", "", ""]);
    bench.enter_at("radial.passes.2.0", "0.0070");
    bench.enter_all(&["", "", ""]);
    bench.enter_at("radial.refused.2.0", "0.0060");
    assert!(bench.has("row 2 at 0 degrees"), "refused before it passes");
    bench.key(Modifiers::SHIFT, Key::Enter);
    bench.enter_at("radial.refused.2.0", "0.0080");
    bench.enter_all(&["", "", ""]);
    bench.enter_at("radial.gauge", "GB-01");
    let a = bench.assessment();
    // (0.0065 + 0.0075) / 2 in = 0.1778 mm.
    assert_eq!(a.clearance.pairs[0].end_play_nm, Some(177_800));
    assert_eq!(bench.text("radial.passes.1.0"), "0.0060in");
}

#[test]
fn a_thrust_bearing_asks_for_four_places_and_no_seat() {
    let values = [("rework_nm", 900_000), ("clearance_min_nm", 300_000)];
    let facts = of("two_row_thrust", "N2X-600/800-140", &values);
    let mut bench = Bench::new(bench(facts, "axial.0"));
    bench.enter_all(&["0.42", "0.44", "0.44", "0.42"]);
    bench.enter_at("radial.gauge", "HG-02");
    let a = bench.assessment();
    assert_eq!(a.clearance.pairs[0].end_play_nm, Some(430_000));
    assert_eq!(a.clearance.pairs[0].verdict, Verdict::Pass);
    assert!(!a.bore.is_needed && !a.neck.is_needed);
}

#[test]
fn a_neck_under_its_inner_half_is_passed_over_and_says_why() {
    let mut shop = bench(cylindrical(), "skip.bore");
    shop.view = SheetView::new(
        fields(&[("identify.chock", "KC-01"), ("found.inner", "tight")]),
        "skip.bore",
    );
    let mut bench = Bench::new(shop);
    bench.enter_at("skip.bore", "measured last week");
    assert_eq!(bench.caret(), "decision.choice");
    // Back again, still past the neck.
    bench.key(Modifiers::SHIFT, Key::Enter);
    assert_eq!(bench.caret(), "skip.bore");

    let mut shop = self::bench(cylindrical(), "neck.1.0");
    shop.view = SheetView::new(fields(&[("identify.chock", "KC-01")]), "neck.1.0");
    assert!(Bench::new(shop).has("Nothing is measured here."));
}
