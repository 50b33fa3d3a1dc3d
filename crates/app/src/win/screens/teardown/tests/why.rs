//! What stands behind a badge: every line once, the derivation from the methods, and nothing outside the window.

use std::sync::Arc;

use draw::Theme;
use egui::{Key, Modifiers, Rect, vec2};
use egui_kittest::kittest::Queryable;
use store::sheet::field::{SEAT_DEGREES, SeatName, size};

use super::bench::{Bench, READ, Shop, fields, inch};
use crate::win::screens::teardown::view::section_of;

/// Story B: sizes of the chock bore at 20 degrees, plane by plane.
const BORE: [&str; 12] = [
    "620.062", "620.118", "620.214", "620.126", "620.055", "620.101", "620.188", "620.109",
    "620.049", "620.088", "620.151", "620.093",
];

/// Teardown 5 of story C with the bore of story B, measured warm, and spacers ground.
fn all_read() -> Shop {
    let mut all: Vec<(String, String)> = READ
        .iter()
        .filter(|(path, _)| !path.starts_with("skip."))
        .map(|(path, text)| ((*path).to_owned(), (*text).to_owned()))
        .collect();
    let mut put = |path: &str, text: &str| all.push((path.into(), text.into()));
    for (at, text) in BORE.iter().enumerate() {
        put(
            &size(SeatName::Bore, at / 4 + 1, SEAT_DEGREES[at % 4]),
            text,
        );
        put(
            &size(SeatName::Neck, at / 4 + 1, SEAT_DEGREES[at % 4]),
            "479.742",
        );
    }
    for seat in ["bore", "neck"] {
        put(&format!("{seat}.temp_first"), "23");
        put(&format!("{seat}.temp_gauge"), "22");
        put(&format!("{seat}.temp_last"), "24");
    }
    put("bore.gauge", "BG-03");
    put("neck.gauge", "OM-07");
    for (pair, width) in ["23.674", "29.726", "23.682"].iter().enumerate() {
        put(&format!("after.{}", pair + 1), width);
    }
    // At its four places spacer S1 keeps its mean.
    for (degrees, width) in [("90", "24.014"), ("180", "24.010"), ("270", "24.012")] {
        put(&format!("clearance.spacer.1.{degrees}"), width);
    }
    put("decision.choice", "regrind_spacers");
    let all: Vec<(&str, &str)> = all.iter().map(|(p, t)| (p.as_str(), t.as_str())).collect();
    let mut shop = Shop::new(fields(&all), "");
    let limits = Arc::make_mut(&mut shop.facts).bearing_type.as_mut();
    if let Some(limits) = limits {
        let limit = ("spacer_parallel_nm".to_owned(), 0);
        limits.values.insert(limit, 20_000);
    }
    shop
}

/// A badge, the section it stands in by the field opened, the title of its panel, and what the panel says.
const BADGES: [(&str, &str, &str, &[&str]); 6] = [
    (
        "clearance.gap.1.0",
        "End play of rows 1\u{2013}2: fail; why?",
        "Why: end play, rows 1\u{2013}2",
        &[
            "0.640 mm",
            "24.012 \u{2212} 23.372, spacer \u{2212} mean gap = clearance; \u{d7}2.13 as set in revision 1: 0.300 mm",
            "u = 0.015 / 2 = 0.0075 mm, U at k = 2; GB-01 in calibration, HG-02 in calibration",
            "below 0.600 mm",
            "N4T-480/620-336, rework level, version of 2024-11-01",
            "\u{2212}0.040 mm, 5.3 u",
            "Stack (clearance 1)",
            "gaps 23.372  23.366  23.378  23.372",
            "spacer S1 24.012; bench, stacked without spacers, four places per gap",
        ],
    ),
    (
        "clearance.spacer.1.90",
        "Faces of S1: pass; why?",
        "Why: faces of spacer S1",
        &[
            "0.004 mm",
            "at most 0.020 mm",
            "u = 0.009 / 2",
            "HG-02 in calibration",
            "widths 24.012  24.014  24.010  24.012",
            "(spacer_parallel 1)",
        ],
    ),
    (
        "after.1",
        "End play of rows 1\u{2013}2 after grinding: pass; why?",
        "Why: end play after grinding, rows 1\u{2013}2",
        &[
            "0.302 mm",
            "23.674 \u{2212} 23.372, spacer \u{2212} mean gap = clearance",
            "0.270 to 0.330 mm",
            "Stack (clearance_after 1)",
        ],
    ),
    (
        "bore.temp_first",
        "Mean size: pass; why?",
        "Why: mean size, chock bore",
        &[
            "U 0.010 mm",
            "at most +0.120 mm",
            "12 sizes, factor 0.9999828",
            "chock 23 to 24 \u{b0}C, gauge 22 \u{b0}C, factor to 20 \u{b0}C, ISO 1; 3 planes of 4",
            "Seat (bore_mean 1)",
        ],
    ),
    (
        "bore.temp_first",
        "Ovality, plane 1: fail; why?",
        "Why: ovality, plane 1, chock bore",
        &["0.152 mm", "ovality of plane 1, largest \u{2212} smallest"],
    ),
    (
        "neck.temp_first",
        "Smallest size: pass in doubt; why?",
        "Why: smallest size, roll neck",
        &[
            "smallest size, at 20 \u{b0}C",
            "at least 479.660 mm",
            "u = 0.008 / 2 = 0.004 mm, U at k = 2; OM-07 overdue since 2026-05-28",
        ],
    ),
];

const KEYS: [&str; 7] = [
    "value",
    "uncertainty",
    "limit",
    "margin",
    "rule",
    "method",
    "inputs",
];

fn opened(bench: &mut Bench, path: &str, badge: &str) {
    let seat = if path.starts_with("neck") {
        SeatName::Neck
    } else {
        SeatName::Bore
    };
    let section = section_of(path).unwrap();
    bench.shop().view.go(section, seat, Some(path.to_owned()));
    bench.h.run_steps(4);
    // Through the accessibility interface: in a narrow window the sheet may have to be scrolled to it.
    bench.h.get_by_label(badge).click_accesskit();
    bench.h.run_steps(8);
}

#[test]
fn behind_each_badge_stands_one_list_from_the_value_to_what_was_read() {
    let mut bench = Bench::new(all_read());
    for (path, badge, title, said) in BADGES {
        opened(&mut bench, path, badge);
        assert!(bench.has(title), "{title}");
        for words in said {
            assert!(bench.has(words), "{title}: {words}");
        }
        for key in KEYS {
            let left = bench.h.get_by_label("value").rect().left();
            let all = bench.h.query_all_by_label(key);
            let count = all.filter(|node| node.rect().left() == left).count();
            assert_eq!(count, 1, "{title}: {key}");
        }
        assert!(bench.has("ISO 14253-1:2017 and JCGM 106:2012"), "{title}");
        bench.key(Modifiers::NONE, Key::Escape);
        assert!(!bench.has(title));
    }
}

#[test]
fn the_panel_stays_in_the_window_with_its_buttons_in_view_and_the_keyboard_on_the_first() {
    for size in [[1280.0, 800.0], [1024.0, 700.0]] {
        for shop in [all_read(), inch(all_read())] {
            let mut bench = Bench::sized(shop, size, Theme::Night);
            let window = Rect::from_min_size(egui::Pos2::ZERO, vec2(size[0], size[1]));
            for (path, badge, title, _) in BADGES {
                opened(&mut bench, path, badge);
                let buttons = ["Measure again", "Copy as text"].map(|name| {
                    let node = bench.h.get_by_label(name);
                    (node.rect(), node.is_focused())
                });
                for (rect, _) in buttons {
                    let place = rect.expand2(vec2(24.0, 24.0));
                    assert!(window.contains_rect(place), "{size:?} {title}: {rect:?}");
                }
                assert!(buttons[0].1, "{size:?} {title}: no keyboard");
                let top = bench.h.get_by_label("value").rect().top();
                let last = bench.h.get_by_label("inputs").rect().bottom();
                bench.key(Modifiers::NONE, Key::PageDown);
                bench.h.run_steps(20);
                let moved = bench.h.get_by_label("inputs").rect().bottom();
                let end = buttons[0].0.top();
                assert!(
                    moved <= last && moved < end,
                    "{size:?} {title}: {moved} {end}"
                );
                if last > end {
                    assert!(bench.h.get_by_label("value").rect().top() < top);
                }
                bench.key(Modifiers::NONE, Key::Enter);
                assert!(!bench.has(title), "measured again: it closes");
            }
        }
    }
}

/// Guard factors of `shared/reference/conformity.toml`, rounded up.
#[test]
fn a_panel_says_what_the_type_asks_of_the_limit_that_decides() {
    let shop = |asked: Option<(&str, i64)>| {
        let mut shop = all_read();
        let mut facts = (*shop.facts).clone();
        let t = facts.bearing_type.as_mut().unwrap();
        t.values
            .extend(asked.map(|(name, ppm)| ((name.to_owned(), 0), ppm)));
        shop.facts = std::sync::Arc::new(facts);
        shop
    };
    for (asked, badge, told, clear) in [
        (
            None,
            BADGES[0].1,
            "pass from 0.95, in doubt from 0.50, fail to 0.05; ISO",
            "clear from 1.65 u",
        ),
        (
            Some(("rework_conformity_ppm", 990_000)),
            BADGES[0].1,
            "pass from 0.99, in doubt from 0.50, fail to 0.01 as N4T-480/620-336 asks; ISO",
            "clear from 2.33 u",
        ),
        (
            Some(("rework_conformity_ppm", 500_000)),
            BADGES[0].1,
            "pass from 0.50, else fail as N4T-480/620-336 asks; ISO",
            "clear on either side of the limit",
        ),
        // The minimum plays no part where the rework level decides.
        (
            Some(("clearance_conformity_ppm", 990_000)),
            BADGES[0].1,
            "pass from 0.95, in doubt from 0.50, fail to 0.05; ISO",
            "clear from 1.65 u",
        ),
    ] {
        let mut bench = Bench::new(shop(asked));
        opened(&mut bench, BADGES[0].0, badge);
        let sees = |words: &str| bench.h.query_all_by_label_contains(words).next().is_some();
        assert!(sees(told), "{asked:?}: {told}");
        assert!(sees(clear), "{asked:?}: {clear}");
    }
}

#[test]
fn a_gauge_whose_doubt_is_as_wide_as_what_is_allowed_is_said_to_decide_nothing() {
    const WORDS: &str = "this gauge cannot decide it";
    let mut shop = all_read();
    let mut facts = (*shop.facts).clone();
    let gauge = facts.gauges.get_mut("GB-01").unwrap();
    gauge.expanded_uncertainty_nm = Some(60_000);
    shop.facts = std::sync::Arc::new(facts);
    let mut bench = Bench::new(shop);
    opened(
        &mut bench,
        "after.1",
        "End play of rows 1\u{2013}2 after grinding: pass in doubt; why?",
    );
    assert!(bench.has(WORDS));
    let mut bench = Bench::new(all_read());
    opened(&mut bench, BADGES[1].0, BADGES[1].1);
    assert!(!bench.has(WORDS));
}
