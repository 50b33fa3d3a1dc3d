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
fn behind_each_row_stands_its_own_value_and_the_whole_names_the_row_that_decides() {
    let mut bench = Bench::new(bench(cylindrical(), "radial.method"));
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.enter("");
    // The third row has 0.780 where 0.750 is the limit; the mean of all, 0.510, is well below it.
    for rollers in ["840.520", "840.520", "840.880", "840.520"] {
        bench.enter_all(&["840.100", "840.100", rollers, rollers]);
    }
    bench.enter("OM-02");
    bench.enter_at("radial.gauge_rollers", "BG-03");
    let pair = bench.assessment().clearance.pairs[0].clone();
    assert_eq!(
        (pair.end_play_nm, pair.verdict),
        (Some(510_000), Verdict::Fail)
    );
    bench.key(Modifiers::SHIFT, Key::Enter);
    for (badge, wanted) in [
        (
            "radial clearance: fail; why?",
            [
                "Why: radial clearance, decided by row 3",
                "0.780 mm",
                "row 3 decides; row 1 0.420, row 2 0.420, row 3 0.780, row 4 0.420, mean 0.510 mm",
                "below 0.750 mm",
            ],
        ),
        (
            "row 3: fail; why?",
            [
                "Why: radial clearance, row 3",
                "0.780 mm",
                "840.100  840.100  840.880  840.880",
                "below 0.750 mm",
            ],
        ),
        (
            "row 1: pass; why?",
            [
                "Why: radial clearance, row 1",
                "0.420 mm",
                "840.100  840.100  840.520  840.520",
                "conform",
            ],
        ),
    ] {
        bench.click(badge);
        for words in wanted {
            assert!(bench.has(words), "{badge}: {words}");
        }
        bench.key(Modifiers::NONE, Key::Escape);
    }
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

/// The cylindrical one with the limits of its fit.
fn tight() -> Facts {
    let values = [
        ("bore_nm", 760_000_000),
        ("outside_nm", 1_080_000_000),
        ("rows_count", 4),
        ("clearance_min_nm", 360_000),
        ("rework_nm", 750_000),
        ("ring_bore_lower_nm", -75_000),
        ("ring_bore_upper_nm", 0),
        ("neck_min_nm", 760_310_000),
        ("neck_max_nm", 760_390_000),
        ("neck_rework_nm", 760_280_000),
    ];
    of("four_row_cylindrical", "N4C-760/1080-790", &values)
}

#[test]
fn an_inner_ring_that_turned_is_measured_after_its_neck_and_shows_what_is_left() {
    let mut shop = bench(tight(), "neck.gauge");
    shop.view = SheetView::new(
        fields(&[("identify.chock", "KC-01"), ("found.inner", "turned")]),
        "neck.gauge",
    );
    let mut bench = Bench::new(shop);
    bench.enter_at("neck.gauge", "OM-07");
    assert_eq!(bench.caret(), "neck.check.read", "asked of every family");
    bench.enter_all(&["", ""]);
    bench.enter_all(&["20", "20"]);
    bench.enter_all(&["760.041"; 12]);
    bench.enter("20");
    assert!(bench.has("Inner ring"));
    assert_eq!(bench.caret(), "neck.cracks");
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.enter("");
    // The gauge was not read on its standard before use: why.
    bench.enter_at("skip.neck_check", "standard is away");
    bench.enter_at("ring.temp", "20");
    assert_eq!(bench.caret(), "ring.temp_gauge");
    bench.enter("20");
    bench.enter_all(&["759.962"; 12]);
    assert_eq!(bench.caret(), "ring.gauge");
    bench.enter("BG-03");
    assert_eq!(bench.caret(), "ring.cracks");
    let ring = bench
        .assessment()
        .ring
        .clone()
        .unwrap_or_else(|| panic!("no ring"));
    assert_eq!(ring.interference_nm, Some(79_000));
    assert_eq!(ring.designed_nm, Some((348_000, 428_000)));
    assert!(ring.is_loose() && ring.words.contains("the ring can creep"));
    // The last field of the section: back to what it came to.
    bench.key(Modifiers::SHIFT, Key::Enter);
    assert!(bench.has("designed 0.348 to 0.428"));
    bench.click("Interference found: fail in doubt; why?");
    assert!(bench.has("0.079"), "what was found");
}

/// The spherical one with a bore of 1 in 12; its limits are a maker's guide values.
fn on_a_taper() -> Facts {
    let values = [
        ("bore_nm", 180_000_000),
        ("outside_nm", 300_000_000),
        ("rows_count", 2),
        ("clearance_min_nm", 140_000),
        ("watch_nm", 260_000),
        ("rework_nm", 340_000),
        ("bore_taper_count", 12),
    ];
    of("two_row_spherical", "N2S-180/300-96K", &values)
}

#[test]
fn a_tapered_bore_asks_what_was_left_on_the_taper_in_mm_and_in_inch() {
    for is_inch in [false, true] {
        let texts = if is_inch {
            // 0.0075 and 0.0079 in: 0.19558 mm off the taper; 0.0043 in on it.
            ["0.0075", "0.0079", "0.0043"]
        } else {
            ["0.19", "0.20", "0.11"]
        };
        let shop = bench(on_a_taper(), "radial.method");
        let mut bench = Bench::new(if is_inch { inch(shop) } else { shop });
        bench.key(Modifiers::NONE, Key::ArrowRight);
        bench.enter("");
        for row in 1..=2 {
            bench.enter_at(&format!("radial.passes.{row}.0"), texts[0]);
            bench.enter_all(&["", "", ""]);
            bench.enter_at(&format!("radial.refused.{row}.0"), texts[1]);
            bench.enter_all(&["", "", ""]);
        }
        assert_eq!(bench.caret(), "radial.gauge");
        bench.type_in("GB-01");
        // Enter passes over how far it was pushed, which not everybody measures; Tab stops at every field.
        bench.key(Modifiers::NONE, Key::Tab);
        assert!(bench.has("On the taper"));
        bench.enter_at("taper.push", if is_inch { "0.051" } else { "1.3" });
        bench.enter_at("taper.push_gauge", "HG-02");
        bench.enter_at("taper.mounted.1", texts[2]);
        bench.enter_at("taper.mounted.2", texts[2]);
        bench.enter_at("taper.gauge", "GB-01");
        let taper = bench
            .assessment()
            .taper
            .clone()
            .unwrap_or_else(|| panic!("no taper"));
        let of = |about: &str, row: usize| {
            let mut all = taper.lines.iter();
            all.find(|l| l.about == about && l.row == row)
                .map(|l| l.value_nm)
                .unwrap_or_default()
        };
        let expected = if is_inch {
            [86_360, 1_295_400]
        } else {
            [85_000, 1_300_000]
        };
        assert_eq!([of("taper_reduction", 2), of("taper_push_up", 0)], expected);
        assert_eq!(taper.missing, 0);
        bench.key(Modifiers::SHIFT, Key::Enter);
        bench.click("Push-up found: pass; why?");
        assert!(bench.has("as measured before it was driven off"));
    }
}
