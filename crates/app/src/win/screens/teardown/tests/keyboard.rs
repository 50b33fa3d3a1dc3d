//! Two sheets of the demo plant by keyboard alone.

use calc::conformity::Verdict;
use calc::disposition::Disposition;
use egui::{Event, Key, Modifiers};
use store::entry::Show;
use store::payload::Role;
use store::sheet::{Section, ShimView};

use super::bench::{Bench, Shop, fields};
use crate::win::command::Command;
use crate::win::screens::sheet::Pages;

/// The bench of teardown 5, row by row, with commas and another unit among them.
const BENCH: [&str; 15] = [
    "23.372", "23,366", "23.378", "23372um", "24.012", "29.424", "29.418", "29.430", "29.424",
    "30.004", "23.378", "23.370", "23.384", "23.380", "24.008",
];

#[test]
fn teardown_5_of_story_c_is_entered_and_signed_by_keyboard_alone() {
    let mut bench = Bench::at(&[], "");
    let mm = |nm: Option<i64>| Show::default().length(nm.unwrap());
    bench.enter_at("identify.chock", "WC-40");
    assert_eq!(bench.caret(), "identify.roll", "the logbook knows the rest");
    bench.enter("R-118");
    assert_eq!(bench.shop().view.section(), Section::AsFound);
    assert_eq!(bench.caret(), "identify.zone");
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.enter("");
    assert_eq!(bench.text("identify.zone"), "II");
    for path in ["seal", "grease", "water", "rotation", "bolts", "chips"] {
        assert_eq!(bench.caret(), format!("found.{path}"));
        bench.key(Modifiers::NONE, Key::ArrowRight);
        bench.enter("");
    }
    bench.enter_at("shim.found", "1.20");
    assert_eq!(bench.shop().view.section(), Section::Clean);
    for path in ["state", "agent", "dried", "preserved"] {
        assert_eq!(bench.caret(), format!("clean.{path}"));
        bench.key(Modifiers::NONE, Key::ArrowRight);
        bench.enter("");
    }
    assert_eq!(bench.shop().view.section(), Section::Findings);
    assert_eq!(bench.caret(), "findings.none");
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.enter("");
    assert_eq!(bench.caret(), "findings.cracks");
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.enter("");

    assert_eq!(bench.shop().view.section(), Section::Clearance);
    assert_eq!(bench.caret(), "clearance.gap.1.0");
    bench.enter_all(&BENCH[..7]);
    assert!(
        bench.has("2 places") || bench.has("3 values"),
        "a pair half read says what is missing"
    );
    let a = bench.assessment();
    assert_eq!(
        a.clearance.pairs[1].verdict,
        Verdict::Missing,
        "half a reading is no verdict"
    );
    bench.enter_all(&BENCH[7..]);
    bench.enter_at("clearance.gauge_gap", "gb-01");
    bench.enter_at("clearance.gauge_width", "HG-02");
    let a = bench.assessment();
    let pairs = &a.clearance.pairs;
    assert_eq!(
        ["0.640", "0.580", "0.630"],
        [0, 1, 2]
            .map(|i| mm(pairs[i].end_play_nm))
            .each_ref()
            .map(String::as_str)
    );
    assert_eq!(
        ["0.340", "0.280", "0.330"],
        [0, 1, 2]
            .map(|i| mm(pairs[i].grind_nm))
            .each_ref()
            .map(String::as_str)
    );
    assert_eq!(
        ["23.672", "29.724", "23.678"],
        [0, 1, 2]
            .map(|i| mm(pairs[i].new_spacer_nm))
            .each_ref()
            .map(String::as_str)
    );
    assert_eq!(pairs[0].verdict, Verdict::Fail);
    assert!((pairs[0].times.unwrap() - 2.13).abs() < 0.005);

    // Neither seat is measured: the reason comes after the last of its fields.
    assert_eq!(bench.caret(), "bore.gauge");
    bench.enter_all(&[""; 16]);
    bench.enter_at("skip.bore", "measured in May");
    assert_eq!(bench.caret(), "neck.gauge");
    bench.enter_all(&[""; 16]);
    bench.enter_at("skip.neck", "roll still in the mill");

    assert_eq!(bench.caret(), "decision.choice");
    assert!(bench.has("Regrind spacers"));
    for _ in 0..3 {
        bench.key(Modifiers::NONE, Key::ArrowRight);
    }
    let a = bench.assessment();
    assert_eq!(a.decided, Some(Disposition::RegrindSpacers));
    assert!(!a.engineer_because.is_empty());
    bench.enter("");

    bench.enter_at("after.1", "23.674");
    bench.enter_at("after.2", "29.726");
    bench.enter_at("after.3", "23.682");
    assert_eq!(bench.caret(), "retention.checked");
    bench.key(Modifiers::NONE, Key::End);
    bench.enter("");
    let a = bench.assessment();
    let after = &a.clearance.after;
    assert_eq!(
        ["0.302", "0.302", "0.304"],
        after.end_play_nm.map(mm).each_ref().map(String::as_str)
    );
    assert_eq!(after.shim, ShimView::New(536_000));
    assert_eq!(
        (after.outer_nm, after.inner_nm),
        (Some(-664_000), Some(-278_000))
    );
    assert!(bench.has("0.536 mm"));
    bench.press("r");
    assert_eq!(bench.text("parts.order"), "as_marked");
    bench.press("c");
    bench.enter_at("seals.batch", "SB-57");
    assert_eq!(bench.caret(), "zone.choice");
    bench.key(Modifiers::NONE, Key::End);
    bench.enter("");
    assert_eq!(bench.text("zone.choice"), "IV");
    bench.press("a");
    bench.enter_at("reassemble.chock", "WC-40");
    bench.enter_at("grease.kind", "GR-1");
    bench.enter_all(&["310", "310", "310", "0.31kg"]);
    assert_eq!(bench.caret(), "cover.gap.0");
    bench.enter_all(&["0.53", "0.540", "0.54", "0.53"]);
    assert!(bench.has("pack 0.535 mm"));
    bench.enter_at("shim.fitted", "0.536");
    bench.enter_at("bolts.torque", "680");
    bench.press("c");
    bench.enter_at("bolts.wrench", "TW-02");
    bench.press("c");

    assert_eq!(bench.shop().view.section(), Section::Sign);
    let a = bench.assessment();
    assert_eq!(a.blockers().collect::<Vec<_>>(), []);
    bench.enter_at("sign.fitter", "Fitter 4");
    bench.enter_at("sign.engineer", "Roll-shop Engineer");
    bench.enter_at("sign.engineer_pin", "2222");
    bench.enter_at("sign.pin", "1111");
    bench.enter("");
    let signed = bench.shop().commands.iter().find_map(|c| {
        if let Command::SignSheet(s) = c {
            Some(s.clone())
        } else {
            None
        }
    });
    let signed = signed.unwrap();
    assert_eq!(
        (signed.pin.as_str(), signed.engineer),
        ("1111", Some(("Roll-shop Engineer".into(), "2222".into())))
    );
    assert_eq!(
        signed.fields["clearance.gap.1.90"].text, "23,366",
        "as typed"
    );
    assert_eq!(signed.fields["sign.fitter"].text, "Fitter 4");
    assert!(
        signed.fields.keys().all(|path| !path.contains("pin")),
        "no PIN goes on the sheet"
    );
    assert!(!bench.has("Signed"), "only the worker's answer says so");
}

#[test]
fn what_is_typed_is_handed_over_while_typing_and_when_committed() {
    let mut bench = Bench::at(&[("identify.chock", "WC-40")], "clearance.gap.1.0");
    drop(bench.shop().view.entries.take_changes());
    bench.type_in("23.3");
    let changes = bench.shop().view.entries.take_changes();
    assert!(
        changes.iter().any(|c| c.text == "23.3" && !c.is_committed),
        "{changes:?}"
    );
    assert_eq!(bench.text("clearance.gap.1.0"), "", "not committed");
    bench.enter("72");
    let changes = bench.shop().view.entries.take_changes();
    assert!(
        changes.iter().any(|c| c.text == "23.372" && c.is_committed),
        "{changes:?}"
    );
    assert_eq!(bench.caret(), "clearance.gap.1.90");
}

/// Story B on 2026-03-24: sizes at 20 degrees, plane by plane.
const BORE: [&str; 12] = [
    "620.062", "620.118", "620.214", "620.126", "620.055", "620.101", "620.188", "620.109",
    "620.049", "620.088", "620.151", "620.093",
];

#[test]
fn the_bore_of_story_b_fails_by_ovality_and_its_mean_is_in_doubt() {
    let mut bench = Bench::at(&[("identify.chock", "WC-17")], "bore.gauge");
    // In the order of the work: the gauge, its standard, then what is read with it.
    bench.enter_at("bore.gauge", "BG-03");
    bench.enter_at("bore.check.read", "620.001");
    bench.enter_at("bore.check.standard", "620.000");
    assert_eq!(bench.caret(), "bore.temp_first");
    bench.enter_all(&["20", "20"]);
    assert_eq!(bench.caret(), "bore.1.0");
    bench.enter_all(&BORE);
    bench.enter_at("bore.temp_last", "20");
    let a = bench.assessment();
    let verdicts: Vec<(&str, usize, Verdict)> = a
        .bore
        .checks
        .iter()
        .map(|c| (c.title, c.plane, c.verdict))
        .collect();
    assert_eq!(
        verdicts,
        [
            ("Mean size", 0, Verdict::PassInDoubt),
            ("Ovality", 1, Verdict::Fail),
            ("Ovality", 2, Verdict::Fail),
            ("Ovality", 3, Verdict::Pass),
            ("Taper", 0, Verdict::Pass),
            ("Smallest size", 0, Verdict::Pass),
        ]
    );
    assert_eq!(
        bench.caret(),
        "neck.gauge",
        "the other seat opens by itself"
    );
    bench
        .shop()
        .view
        .open_seat(store::sheet::field::SeatName::Bore);
    bench.h.run_steps(3);
    assert!(bench.has("+0.001 off, U 0.010 mm"));
    assert!(
        bench.has("0.152 mm") && bench.has("2026-07-07 0.152"),
        "the number, and the bar of today"
    );
    assert!(bench.has("cannot see a bore with three lobes"));
    bench.click("Mean size: pass in doubt; why?");
    for words in [
        "Why: mean size, chock bore",
        "+0.113 mm",
        "U 0.010 mm",
        "at most +0.120 mm",
        "chance that it conforms",
        "room below the upper limit",
    ] {
        assert!(bench.has(words), "{words}");
    }
    bench.key(Modifiers::NONE, Key::Escape);
    assert!(!bench.has("Why: mean size"));
}

#[test]
fn an_overdue_gauge_says_since_when_and_leaves_the_neck_in_doubt() {
    let mut bench = Bench::at(&[("identify.chock", "WC-40")], "neck.gauge");
    bench.enter_at("neck.gauge", "OM-07");
    bench.enter_at("neck.check.read", "");
    bench.enter_at("neck.check.standard", "");
    bench.enter_all(&["31", "23"]);
    bench.enter_all(&["479.742"; 12]);
    assert!(
        bench.has("479.698"),
        "the size at 20 degrees stands under the field"
    );
    assert_eq!(
        bench.shown("Roll neck plane 1 at 0 degrees, mm"),
        "479.742",
        "the field keeps what was typed"
    );
    bench.enter_at("neck.temp_last", "31");
    assert_eq!(bench.caret(), "neck.cracks");
    let a = bench.assessment();
    assert_eq!(a.neck.checks[0].verdict, Verdict::PassInDoubt);
    assert!(bench.has("overdue since 2026-05-28"));
}

#[test]
fn findings_are_entered_by_keyboard_and_bar_what_they_must() {
    let mut bench = Bench::at(&[("identify.chock", "WC-40")], "findings.none");
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.enter("");
    bench.enter_at("finding.1.part", "outer raceway");
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.enter("");
    bench.enter_at("finding.1.mode", "5.1.3");
    for _ in 0..3 {
        bench.key(Modifiers::NONE, Key::ArrowRight);
    }
    bench.enter("");
    assert!(bench.has("Still open: where on the ring? From 0 to 360 is all round"));
    bench.enter_at("finding.1.from", "200");
    bench.enter_at("finding.1.to", "228\u{b0}");
    bench.enter_at("finding.1.size", "6");
    bench.enter_at("finding.1.note", "grows from etched lines");
    assert_eq!(bench.caret(), "finding.2.part");
    assert!(bench.has(
        "outer raceway, row 1, 200 to 228 degrees: surface initiated fatigue (5.1.3), severity 2"
    ));
    let a = bench.assessment();
    assert_eq!(a.recommendation.disposition, Disposition::Recondition);
    assert_eq!(a.section(Section::Findings).mark, Verdict::Fail);

    bench.enter_at("finding.2.part", "inner raceway");
    bench.enter("");
    bench.enter_at("finding.2.mode", "5.6.2");
    bench.key(Modifiers::NONE, Key::ArrowRight);
    bench.enter_all(&["", "", "", "", ""]);
    let a = bench.assessment();
    assert_eq!(a.recommendation.disposition, Disposition::Scrap);
    bench.click("Take finding 2 away");
    let a = bench.assessment();
    assert_eq!(
        a.recommendation.disposition,
        Disposition::Recondition,
        "taken away"
    );
    bench.shop().view.undo();
    bench.h.run_steps(3);
    assert_eq!(
        bench.assessment().recommendation.disposition,
        Disposition::Scrap,
        "and back"
    );
}

#[test]
fn keys_of_one_frame_go_to_the_choices_they_were_meant_for() {
    let mut bench = Bench::at(&[("identify.chock", "WC-40")], "found.seal");
    let keys = [
        Key::ArrowRight,
        Key::ArrowRight,
        Key::Enter,
        Key::ArrowRight,
        Key::Enter,
    ];
    let events = keys.map(|key| Event::Key {
        key,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::NONE,
    });
    bench.h.input_mut().events.extend(events);
    bench.h.run_steps(4);
    assert_eq!(bench.text("found.seal"), "worn", "two steps before Enter");
    assert_eq!(bench.text("found.grease"), "normal", "one step after it");
    assert_eq!(bench.caret(), "found.water");
}

#[test]
fn the_engineer_at_work_signs_alone() {
    let mut all: Vec<(&str, &str)> = super::bench::READ.to_vec();
    all.push(("decision.choice", "scrap"));
    let mut shop = Shop::new(fields(&all), "sign.fitter");
    shop.person = Some(("Roll-shop Engineer", Role::Engineer));
    let mut bench = Bench::new(shop);
    bench.shop().view.entries.fields();
    assert!(
        bench.has("Decision: say why not: Regrind spacers"),
        "scrapping is not what is recommended"
    );
    bench.enter("Fitter 4");
    assert_eq!(bench.caret(), "sign.pin", "no second engineer is asked for");
}

/// Keys as they come from a gauge or from a fast hand while a frame takes long: several in one frame, a value and
/// the beginning of the next among them.
#[test]
fn no_key_is_lost_where_a_frame_takes_long() {
    for keys_in_a_frame in [1, 2, 3, 5, 7, 11, 40] {
        let mut bench = Bench::at(&[("identify.chock", "WC-40")], "clearance.gap.1.0");
        let mut events = Vec::new();
        for text in BENCH {
            events.extend(text.chars().map(|c| Event::Text(c.to_string())));
            for pressed in [true, false] {
                events.push(Event::Key {
                    key: Key::Enter,
                    physical_key: None,
                    pressed,
                    repeat: false,
                    modifiers: Modifiers::NONE,
                });
            }
        }
        for chunk in events.chunks(keys_in_a_frame) {
            bench.h.input_mut().events.extend(chunk.iter().cloned());
            bench.h.step();
        }
        bench.h.run_steps(40);
        for (path, text) in store::sheet::field::clearance_order().iter().zip(BENCH) {
            assert_eq!(
                bench.text(path),
                text,
                "{path}, {keys_in_a_frame} keys in a frame"
            );
        }
        assert_eq!(bench.caret(), "clearance.gauge_gap");
    }
}

#[test]
fn a_sheet_is_taken_up_again_in_the_section_where_it_was_left() {
    for (decided, caret, section) in [
        ("", "shim.found", Section::AsFound),
        ("regrind_spacers", "shim.found", Section::Reassemble),
        ("", "neck.1.0", Section::Seats),
    ] {
        let mut bench = Bench::at(&[("decision.choice", decided)], caret);
        assert_eq!(bench.shop().view.section(), section, "{caret} {decided}");
        assert_eq!(bench.caret(), caret);
    }
}
