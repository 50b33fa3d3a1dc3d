//! Refusals, questions, undo, the caret that comes back, and what stands against signing.

use draw::Theme;
use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use store::draft::Source;
use store::sheet::Section;

use super::bench::{Bench, READ, Shop, fields, inch};
use crate::ui::focus::Step;
use crate::win::screens::sheet::Pages;

#[test]
fn an_impossible_value_is_refused_in_place_and_may_be_taken_as_inch() {
    let mut bench = Bench::at(&[("identify.chock", "WC-40")], "neck.1.0");
    bench.enter("18.886");
    assert_eq!(bench.caret(), "neck.1.0", "the caret stays");
    assert!(bench.has("Inch? 18.886 in = 479.704 mm"));
    bench.click("Take as inch: Roll neck plane 1 at 0 degrees");
    assert_eq!(bench.text("neck.1.0"), "18.886in");
    assert_eq!(
        bench.shown("Roll neck plane 1 at 0 degrees, mm"),
        "479.704",
        "in the logbook's unit"
    );
    assert_eq!(bench.caret(), "neck.1.45");
    assert!(!bench.has("Inch?"));
    bench.enter("18.886");
    bench.key(Modifiers::COMMAND, Key::Enter);
    assert_eq!(bench.text("neck.1.45"), "18.886in", "the same by keyboard");
    bench.enter("12a");
    bench.enter("");
    assert_eq!(
        bench.caret(),
        "neck.1.135",
        "a second Enter leaves what is refused for later"
    );
    let a = bench.assessment();
    assert_eq!(a.neck.sizes_nm[0][2], None, "and it does not count");
    assert!(
        a.blockers()
            .any(|(_, why)| why.contains("Roll neck plane 1 at 90 degrees"))
    );
}

#[test]
fn an_improbable_value_is_asked_about_once_and_the_caret_goes_on() {
    let mut bench = Bench::at(&[("identify.chock", "WC-40")], "bore.1.45");
    bench.enter("620.310");
    assert_eq!(bench.caret(), "bore.1.90", "nothing is blocked");
    assert!(bench.has("Improbable for this bore: 620.310 mm."));
    bench.click("Keep: Chock bore plane 1 at 45 degrees");
    assert!(!bench.has("Improbable"));
    assert_eq!(bench.text("kept.bore.1.45"), "620.310");
    bench.click("Chock bore plane 1 at 90 degrees, mm");
    bench.enter("620.320");
    bench.click("Change: Chock bore plane 1 at 90 degrees");
    assert_eq!(bench.caret(), "bore.1.90");
    bench.enter("620.032");
    assert!(!bench.has("Improbable"));
    // Enter on an odd value that was not changed keeps it too.
    bench.enter("620.330");
    bench.key(Modifiers::SHIFT, Key::Enter);
    bench.enter("");
    assert_eq!(bench.text("kept.bore.1.135"), "620.330");
    assert!(!bench.has("Improbable"));
}

#[test]
fn undo_takes_back_the_last_field_and_goes_there() {
    let mut bench = Bench::at(&[("identify.chock", "WC-40")], "clearance.gap.1.0");
    bench.enter_all(&["23.372", "23.366"]);
    bench.shop().view.turn_page(Step::Forward);
    bench.h.run_steps(3);
    assert_eq!(bench.caret(), "bore.gauge");
    bench.shop().view.undo();
    bench.h.run_steps(3);
    assert_eq!(
        (
            bench.caret().as_str(),
            bench.text("clearance.gap.1.90").as_str()
        ),
        ("clearance.gap.1.90", "")
    );
    bench.shop().view.undo();
    bench.h.run_steps(3);
    assert_eq!(bench.text("clearance.gap.1.0"), "");
    bench.enter("23.374");
    assert_eq!(
        bench.text("clearance.gap.1.0"),
        "23.374",
        "the caret is there"
    );
}

#[test]
fn a_pasted_column_fills_down_as_one_step() {
    let mut bench = Bench::at(&[("identify.chock", "WC-40")], "clearance.gap.1.0");
    bench.h.event(Event::Paste(
        "23,372\n23,366\n23,378\n23,372\n24,012\n29,424\n".into(),
    ));
    bench.h.run_steps(3);
    assert_eq!(bench.text("clearance.gap.2.0"), "29,424");
    assert_eq!(
        bench.shop().view.entries.fields()["clearance.gap.2.0"].source,
        Source::Pasted
    );
    assert_eq!(bench.caret(), "clearance.gap.2.90");
    bench.shop().view.undo();
    bench.h.run_steps(3);
    assert_eq!(bench.text("clearance.gap.1.0"), "");
    assert_eq!(bench.caret(), "clearance.gap.1.0");
}

#[test]
fn a_gauge_that_types_is_told_from_a_hand() {
    let mut bench = Bench::at(&[("identify.chock", "WC-40")], "clearance.gap.1.0");
    bench.h.event(Event::Text("23.372".into()));
    bench.h.key_press(Key::Enter);
    bench.h.event(Event::Text("23.366".into()));
    bench.h.key_press(Key::Enter);
    bench.h.run_steps(4);
    assert_eq!(bench.text("clearance.gap.1.90"), "23.366");
    assert_eq!(
        bench.shop().view.entries.fields()["clearance.gap.1.0"].source,
        Source::Gauge
    );
    for c in "23.378".chars() {
        bench.type_in(&c.to_string());
        bench.h.run_steps(8);
    }
    bench.enter("");
    assert_eq!(
        bench.shop().view.entries.fields()["clearance.gap.1.180"].source,
        Source::Typed
    );
}

#[test]
fn a_draft_opens_where_it_was_left() {
    let mut bench = Bench::at(
        &[("identify.chock", "WC-40"), ("neck.1.0", "479.720")],
        "neck.1.45",
    );
    assert_eq!(bench.shop().view.section(), Section::Seats);
    bench.enter("479.721");
    assert_eq!(bench.text("neck.1.45"), "479.721");
    let bench = Bench::at(&[], "no.such.field");
    assert_eq!(bench.caret(), "identify.chock");
}

#[test]
fn an_unseated_gap_asks_for_a_repeat_and_can_be_kept() {
    let all = [
        ("identify.chock", "WC-40"),
        ("clearance.gap.1.0", "23.40"),
        ("clearance.gap.1.90", "23.41"),
        ("clearance.gap.1.180", "23.52"),
    ];
    let mut bench = Bench::at(&all, "clearance.gap.1.270");
    bench.enter("23.41");
    assert!(bench.has("Gap of rows 1–2: spread 0.120 mm, not seated."));
    bench.click("Repeat");
    assert_eq!(bench.caret(), "clearance.gap.1.0");
    assert_eq!(bench.text("clearance.gap.1.180"), "");
    assert!(bench.has("Gap of rows 1–2, set 1, not counting: 23.40  23.41  23.52  23.41"));
    bench.enter_all(&["23.403", "23.406", "23.411", "23.405"]);
    assert_eq!(
        bench.text("repeat.why.1"),
        "not seated: turned and read again"
    );
    bench.click("Let set 1 of the gap of rows 1–2 count");
    assert_eq!(bench.text("clearance.gap.1.180"), "23.52");
    assert!(bench.has("Gap of rows 1–2: spread 0.120 mm, not seated."));
    bench.click("Keep the spread");
    assert!(!bench.has("Turn the rings by hand"));
    let a = bench.assessment();
    assert!(!a.blockers().any(|(_, why)| why.contains("not seated")));
}

#[test]
fn what_stands_against_signing_leads_to_its_field() {
    let mut bench = Bench::at(&READ[..28], "sign.fitter");
    let button = |bench: &Bench| {
        bench
            .h
            .get_by_label("Sign for good")
            .accesskit_node()
            .is_disabled()
    };
    assert!(button(&bench));
    bench.click("Clearance: 13 of 15 values are read; the rest, or why not");
    assert_eq!(bench.caret(), "clearance.gap.3.270");
    bench.shop().view.open(Section::Sign);
    bench.h.run_steps(3);
    bench.click("Decision: decide what to do with the bearing");
    assert_eq!(bench.caret(), "decision.choice");

    let mut all = READ.to_vec();
    all.extend([
        ("decision.choice", "return_to_service"),
        ("zone.choice", "II"),
    ]);
    let mut bench = Bench::at(&all, "sign.fitter");
    for words in [
        "Decision: say why not",
        "why another zone",
        "which chock",
        "grease and grams",
    ] {
        assert!(bench.has(words), "{words}");
    }
    assert!(
        bench.has("a clearance is at its limit and is not reground"),
        "why the engineer signs too"
    );
    for (line, caret) in [
        (
            "Reassemble: say why another zone than the one with the least hours",
            "zone.reason",
        ),
        (
            "Reassemble: which chock does it go back into?",
            "reassemble.chock",
        ),
        (
            "Reassemble: grease and grams for each row, or why not",
            "grease.kind",
        ),
    ] {
        bench.click(line);
        assert_eq!(bench.caret(), caret);
        bench.shop().view.open(Section::Sign);
        bench.h.run_steps(3);
    }
}

#[test]
fn what_does_not_go_back_says_so_and_asks_for_nothing() {
    let mut all = READ.to_vec();
    all.push(("decision.choice", "scrap"));
    all.push(("decision.reason", "ring B cracked"));
    let mut bench = Bench::at(&all, "decision.reason");
    bench.enter("");
    // The section that asks for nothing is passed over, and says why when it is opened.
    assert_eq!(bench.shop().view.section(), Section::Sign);
    assert_eq!(bench.caret(), "sign.fitter");
    bench.shop().view.open(Section::Reassemble);
    bench.h.run_steps(3);
    assert!(bench.has("Scrap: it does not go back."));
    bench.shop().view.turn_page(Step::Forward);
    bench.h.run_steps(3);
    assert_eq!(bench.caret(), "sign.fitter");
    let a = bench.assessment();
    assert_eq!(a.blockers().count(), 0);
    assert_eq!(a.engineer_because, ["the engineer decides on scrapping"]);
}

#[test]
fn the_same_chock_and_the_last_roll_are_offered_and_never_filled_in() {
    let mut all = READ.to_vec();
    all.push(("decision.choice", "regrind_spacers"));
    let mut bench = Bench::at(&all, "reassemble.chock");
    assert_eq!(bench.text("reassemble.chock"), "");
    bench.click("Back into WC-40");
    assert_eq!(bench.text("reassemble.chock"), "WC-40");
    assert_eq!(bench.caret(), "grease.kind");
    assert!(bench.has("about 310 g a row"));
    let mut bench = Bench::at(&[("identify.chock", "WC-40")], "identify.roll");
    assert_eq!(bench.text("identify.roll"), "");
    bench.click("Take R-118");
    assert_eq!(bench.text("identify.roll"), "R-118");
}

#[test]
fn a_reading_that_was_left_half_typed_is_typed_on() {
    let mut bench = Bench::at(&[("clearance.gap.1.0", "23.3")], "clearance.gap.1.0");
    assert_eq!(bench.caret(), "clearance.gap.1.0");
    bench.enter("72");
    assert_eq!(bench.text("clearance.gap.1.0"), "23.372");
}

#[test]
fn in_inch_the_same_sheet_says_the_same() {
    let mut bench = Bench::new(inch(Shop::new(fields(&READ), "clearance.gap.1.0")));
    assert_eq!(bench.shown("Gap of rows 1–2 at 0 degrees, in"), "0.92016");
    assert!(bench.has("0.02520"), "the end play");
    let a = bench.assessment();
    assert_eq!(
        a.clearance.pairs[0].end_play_nm,
        Some(640_000),
        "mm typed before stay mm"
    );
    bench.enter("0.9205");
    assert_eq!(bench.text("clearance.gap.1.0"), "0.9205in");
    assert_eq!(bench.shown("Gap of rows 1–2 at 0 degrees, in"), "0.9205");
    bench.shop().show.unit = store::entry::LengthUnit::Millimetre;
    bench.h.run_steps(2);
    assert_eq!(bench.shown("Gap of rows 1–2 at 0 degrees, mm"), "23.381");
    // A number in mm typed into a field in inch.
    bench.shop().show.unit = store::entry::LengthUnit::Inch;
    bench.h.run_steps(2);
    // The unit never changes under a caret in the real window: what it marks is as long as the text was in mm.
    bench.h.key_press_modifiers(Modifiers::COMMAND, Key::A);
    bench.h.run_steps(1);
    bench.enter("23.366");
    assert_eq!(bench.caret(), "clearance.gap.1.90");
    bench.click("Take as mm: Gap of rows 1–2 at 90 degrees");
    assert_eq!(bench.text("clearance.gap.1.90"), "23.366mm");
    assert_eq!(bench.caret(), "clearance.gap.1.180");
}

#[test]
fn nothing_is_wider_than_the_sheet_in_either_size_theme_and_unit() {
    let mut all = READ.to_vec();
    all.extend([
        ("decision.choice", "regrind_spacers"),
        ("bore.1.0", "620.062"),
        ("bore.gauge", "BG-03"),
    ]);
    for (size, panel) in [([1280.0, 800.0], 280.0), ([1920.0, 1080.0], 400.0)] {
        for theme in [Theme::Day, Theme::Night] {
            for is_inch in [false, true] {
                let shop = Shop::new(fields(&all), "clearance.gap.1.0");
                let mut bench = Bench::sized(if is_inch { inch(shop) } else { shop }, size, theme);
                for section in Section::ALL {
                    bench.shop().view.open(section);
                    bench.h.run_steps(3);
                    let right = size[0] - panel + 1.0;
                    for node in bench.h.root().children_recursive() {
                        let Some(rect) = node.accesskit_node().raw_bounds() else {
                            continue;
                        };
                        let (left, end) = (rect.x0 as f32, rect.x1 as f32);
                        let is_inside = end <= right || left >= right - 1.0 || left < 176.0;
                        let name = node.accesskit_node().label().unwrap_or_default();
                        assert!(
                            is_inside || name.is_empty(),
                            "{section:?} {size:?}: {name:?} {left} to {end}"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn who_signs_is_never_kept_and_a_missing_pin_gets_the_caret() {
    let mut all = READ.to_vec();
    all.extend([
        ("decision.choice", "scrap"),
        ("decision.reason", "ring B cracked"),
    ]);
    let mut bench = Bench::at(&all, "sign.pin");
    assert_eq!(
        bench.caret(),
        "sign.fitter",
        "a draft does not open at a PIN"
    );
    bench.enter("Fitter 4");
    bench.enter("");
    bench.enter("");
    bench.enter_at("sign.pin", "1111");
    bench.h.run_steps(2);
    assert_eq!(
        bench.caret(),
        "sign.engineer",
        "the engineer is still missing"
    );
    bench.enter("Fitter 4");
    assert_eq!(bench.caret(), "sign.engineer");
    assert!(bench.has("is no engineer in the register"));
    bench.enter_all(&["Roll-shop Engineer", "2222", "", ""]);
    assert!(!bench.shop().commands.is_empty(), "now it is signed");
}
