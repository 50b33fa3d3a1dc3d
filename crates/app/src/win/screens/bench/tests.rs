//! The bench as a person uses it, by keyboard and by label, in both unit systems.
#![allow(clippy::unwrap_used)]

use calc::method::methods;
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use store::entry::LengthUnit;

use crate::win::command::{Command, WhatIf};
use crate::win::route::Route;
use crate::win::snapshot::Setting;
use crate::win::tests::Bench;

/// The bench, opened from the rail.
fn bench() -> Bench {
    let mut b = Bench::with_people();
    b.click("Bench");
    assert_eq!(b.route(), Route::Bench);
    b
}

fn has(b: &Bench, label: &str) -> bool {
    b.h.query_all_by_label_contains(label).next().is_some()
}

fn enter(b: &mut Bench, text: &str) {
    b.key(Modifiers::COMMAND, Key::A);
    b.type_in(text);
    b.key(Modifiers::NONE, Key::Enter);
}

/// Chooses a calculation wherever it stands in the list.
fn open(b: &mut Bench, method: &str) {
    b.h.get_by_label(method).click_accesskit();
    b.h.run_steps(6);
}

/// Whether the control with this label has the keyboard.
fn is_at(b: &Bench, label: &str) -> bool {
    b.h.query_all_by_label(label).any(|node| node.is_focused())
}

/// Presses Enter on what has the keyboard; what that frame put into the clipboard.
fn copied(b: &mut Bench) -> String {
    // The press alone: a frame for the release would hide what came out of it.
    b.h.event(egui::Event::Key {
        key: Key::Enter,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::NONE,
    });
    b.h.step();
    let commands = &b.h.output().platform_output.commands;
    let text = commands.iter().find_map(|command| match command {
        egui::OutputCommand::CopyText(text) => Some(text.clone()),
        _ => None,
    });
    text.unwrap()
}

#[test]
fn a_fit_is_typed_by_keyboard_alone_in_mm() {
    let mut b = bench();
    assert!(
        is_at(&b, "nominal size of both, mm"),
        "the caret waits in the first field"
    );
    for text in ["480", "0", "-45", "f6"] {
        enter(&mut b, text);
    }
    assert!(has(&b, "23 to 108 \u{b5}m") && has(&b, "clearance, always loose"));
    assert!(has(&b, "How it comes out") && has(&b, "smallest: \u{2212}45 \u{2212} (\u{2212}68)"));
    assert!(has(&b, "ISO 286-1"), "with its source");
    assert!(has(
        &b,
        "Tolerance zones to scale: hole 0/\u{2212}45, shaft \u{2212}68/\u{2212}108"
    ));
    assert!(
        is_at(&b, "Print"),
        "after the last field the buttons follow"
    );
    b.key(Modifiers::NONE, Key::Tab);
    assert!(is_at(&b, "Copy as text"));
    let text = copied(&mut b);
    for words in [
        "Fit",
        "hole: 0 / -45 \u{b5}m",
        "Result: 23 to 108 \u{b5}m",
        "Source: ISO 286-1",
    ] {
        assert!(text.contains(words), "{words} is not in {text}");
    }
}

#[test]
fn a_fit_and_a_stack_are_typed_in_inch() {
    let mut b = bench();
    b.command(Command::Set(Setting::Unit(LengthUnit::Inch)));
    assert!(has(&b, "nominal size of both, in"));
    b.click("Fit");
    for text in ["18.897638", "0", "-1.7717", "f6"] {
        enter(&mut b, text);
    }
    assert!(has(&b, "0.91 to 4.25 thou"));
    b.click("Stack");
    assert!(
        is_at(&b, "grinding step, in"),
        "what stands alone comes first"
    );
    enter(&mut b, "0.0004");
    assert!(is_at(&b, "rows 1–2, spacer width, in"));
    // 0.04 in less a mean gap of 0.02 in; aimed at the middle of 0.0106 and 0.0130, by steps of 0.0004: 0.0080.
    for text in [
        "0.9400", "0.9200", "0.9200", "0.9200", "0.9200", "", "0.0106", "0.0130", "0.9",
    ] {
        enter(&mut b, text);
    }
    assert!(has(&b, "0.0080 / "), "what is to be ground off");
}

#[test]
fn what_is_wrong_is_said_at_its_field_once_it_is_done_and_what_is_missing_calmly() {
    let mut b = bench();
    b.key(Modifiers::COMMAND, Key::A);
    b.type_in("48x");
    assert!(!has(&b, "is not a unit"), "not while it is being typed");
    b.key(Modifiers::NONE, Key::Enter);
    assert!(has(
        &b,
        "nominal size of both: \"x\" is not a unit of this field"
    ));
    b.click("Clear");
    assert!(has(
        &b,
        "Still to fill in: nominal size of both, hole, shaft."
    ));
    assert!(!has(&b, "is not a unit"));
    b.click("Example");
    assert!(has(&b, "clearance, always loose"));
}

#[test]
fn two_stand_side_by_side_and_all_of_it_is_there_after_closing() {
    let mut b = bench();
    enter(&mut b, "400");
    b.click("Side by side");
    assert!(has(&b, "Print, left") && has(&b, "Print, right"));
    b.click("Seat");
    assert!(
        is_at(&b, "smallest allowed size, mm"),
        "the keyboard is in the second"
    );
    b.click("Fit");
    assert_eq!(b.h.get_all_by_label("nominal size of both, mm").count(), 2);
    enter(&mut b, "500");
    let mut b = b.reopen();
    b.click("Bench");
    let typed: Vec<_> =
        b.h.get_all_by_label("nominal size of both, mm")
            .filter_map(|node| node.value())
            .collect();
    assert_eq!(typed, ["400", "500"]);
    b.click("One only");
    assert_eq!(b.h.get_all_by_label("nominal size of both, mm").count(), 1);
}

#[test]
fn keys_go_through_the_calculations_and_f1_explains_the_one_that_is_open() {
    let mut b = bench();
    let fit = methods().iter().position(|m| m.name == "fit").unwrap();
    let before = methods()[fit - 1].title;
    b.key(Modifiers::COMMAND, Key::PageUp);
    b.key(Modifiers::NONE, Key::F1);
    assert!(has(&b, &format!("Help: {before}")) && has(&b, "What goes in"));
    b.key(Modifiers::NONE, Key::Escape);
    b.key(Modifiers::COMMAND, Key::PageDown);
    assert!(is_at(&b, "nominal size of both, mm"));
}

#[test]
fn each_page_of_the_rail_has_its_key_and_a_quick_hand_loses_no_step() {
    let mut b = Bench::with_people();
    let number = Route::RAIL.iter().position(|r| *r == Route::Bench).unwrap();
    let keys = [
        Key::Num1,
        Key::Num2,
        Key::Num3,
        Key::Num4,
        Key::Num5,
        Key::Num6,
        Key::Num7,
        Key::Num8,
    ];
    b.key(Modifiers::COMMAND, keys[number]);
    assert_eq!(b.route(), Route::Bench);
    b.settle();
    // Three presses in one frame, as a held key gives them.
    for pressed in [true, false, true, false, true, false] {
        b.h.event(egui::Event::Key {
            key: Key::PageUp,
            physical_key: None,
            pressed,
            repeat: false,
            modifiers: Modifiers::COMMAND,
        });
    }
    b.h.run_steps(3);
    assert!(is_at(&b, "nominal size, mm"), "fit, and three before it");
    b.key(Modifiers::COMMAND, keys[0]);
    assert_eq!(b.route(), Route::RAIL[0]);
}

#[test]
fn the_keyboard_goes_through_the_setup_to_the_choice_of_the_unit() {
    let mut b = Bench::with_people();
    b.click("Setup");
    for _ in 0..20 {
        if is_at(&b, "Lengths") {
            break;
        }
        b.key(Modifiers::COMMAND, Key::PageDown);
    }
    assert!(is_at(&b, "Lengths"));
    b.key(Modifiers::NONE, Key::ArrowRight);
    b.settle();
    b.click("Bench");
    assert!(has(&b, "nominal size of both, in"));
}

#[test]
fn a_result_below_the_fields_stays_in_view_above_the_buttons() {
    let mut b = bench();
    b.click("Side by side");
    for method in ["Stack", "Life"] {
        open(&mut b, method);
        let big = if method == "Stack" {
            "0.340 / 0.280 / 0.330 mm"
        } else {
            "151.04 million rev"
        };
        let buttons = b.h.get_by_label("Print, right").rect();
        let is_in_view = |place: egui::Rect| {
            place.bottom() < buttons.top() && place.left() > buttons.left() - 30.0
        };
        let mut all = b.h.get_all_by_label(big).map(|node| node.rect());
        assert!(all.any(is_in_view), "{method}");
    }
}

#[test]
fn what_an_example_fills_in_is_exact_in_whatever_unit_it_is_shown() {
    let mut b = bench();
    b.command(Command::Set(Setting::Unit(LengthUnit::Inch)));
    open(&mut b, "Grease");
    let shown = |b: &Bench, label: &str| b.h.get_by_label(label).value().unwrap_or_default();
    assert_eq!(shown(&b, "bore of the bearing, in"), "18.897638");
    b.command(Command::Set(Setting::Unit(LengthUnit::Millimetre)));
    assert_eq!(shown(&b, "bore of the bearing, mm"), "480");
}

#[test]
fn lengths_side_by_side_have_the_same_decimals() {
    let mut b = bench();
    b.command(Command::Set(Setting::Unit(LengthUnit::Inch)));
    b.click("Stack");
    assert!(has(&b, "0.02520 / 0.02283 / 0.02480 in"));
}

#[test]
fn values_of_a_bearing_are_filled_in_and_named() {
    let mut b = Bench::with_people();
    let input = serde_json::json!({"clearance_mm": 0.6, "as_set_mm": 0.25, "factor": 2.0});
    b.command(Command::TryOut(WhatIf {
        origin: "last sheet of TH-4T-031".into(),
        inputs: vec![("growth_ratio", input)],
    }));
    b.settle();
    assert_eq!(b.route(), Route::Bench);
    assert!(has(&b, "last sheet of TH-4T-031"));
    assert!(has(&b, "2.4"), "times as set");
}

#[test]
fn a_print_is_written_where_it_was_agreed_to() {
    let mut b = bench();
    b.key(Modifiers::COMMAND, Key::P);
    assert!(has(&b, "Print the calculation"));
    b.key(Modifiers::NONE, Key::Enter);
    let pdf = b.path.with_file_name("bench-fit.pdf");
    for _ in 0..400 {
        b.settle();
        if pdf.exists() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    let bytes = std::fs::read(&pdf).unwrap();
    assert!(bytes.starts_with(b"%PDF-"));
}
