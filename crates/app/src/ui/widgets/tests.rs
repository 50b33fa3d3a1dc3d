//! The controls as a person without a pointer or without sight meets them: by name and by keyboard.
#![allow(clippy::unwrap_used)]

use draw::{Mark, Theme};
use egui::{Key, Modifiers, Ui};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use super::*;
use crate::ui::focus::{self, Step};
use crate::ui::{frames, keys, theme};

/// A harness that shows `show` in the day theme.
fn harness<'a, S: 'a>(state: S, mut show: impl FnMut(&mut Ui, &mut S) + 'a) -> Harness<'a, S> {
    let setup = |ctx: &egui::Context| {
        theme::install(ctx);
        theme::set(ctx, Theme::Day);
    };
    let builder = Harness::builder()
        .with_size([800.0, 600.0])
        .with_theme(egui::Theme::Light)
        .with_context_setup(setup);
    builder.build_ui_state(move |ui, state| show(ui, state), state)
}

/// Three fields whose order of measuring is not that of drawing: a, c, b.
struct Grid {
    values: [String; 3],
    log: Vec<Outcome>,
    asked: bool,
}

const ORDER: [&str; 3] = ["a", "c", "b"];

fn grid<'a>() -> Harness<'a, Grid> {
    let grid = Grid {
        values: Default::default(),
        log: Vec::new(),
        asked: false,
    };
    let mut harness = harness(grid, |ui, grid: &mut Grid| {
        if !grid.asked {
            focus::ask(ui.ctx(), "a");
            grid.asked = true;
        }
        for (path, buffer) in ["a", "b", "c"].iter().zip(&mut grid.values) {
            let name = format!("Gap {path}, mm");
            let outcome = ValueField::new(path, &name).unit("mm").show(ui, buffer);
            if let Outcome::Commit(step) = outcome {
                focus::step(ui.ctx(), &ORDER, path, step);
            }
            if !matches!(outcome, Outcome::Nothing | Outcome::Changed) {
                grid.log.push(outcome);
            }
        }
    });
    harness.run_steps(2);
    harness
}

fn focused(harness: &Harness<Grid>) -> Vec<&'static str> {
    ["a", "b", "c"]
        .into_iter()
        .filter(|path| {
            harness
                .get_by_label(&format!("Gap {path}, mm"))
                .is_focused()
        })
        .collect()
}

fn type_in<S>(harness: &mut Harness<S>, text: &str) {
    harness.event(egui::Event::Text(text.to_owned()));
    harness.run_steps(1);
}

fn press<S>(harness: &mut Harness<S>, modifiers: Modifiers, key: Key) {
    harness.key_press_modifiers(modifiers, key);
    harness.run_steps(3);
}

#[test]
fn enter_and_tab_follow_the_order_of_measuring_and_shift_goes_back() {
    let mut h = grid();
    assert_eq!(
        focused(&h),
        ["a"],
        "the caret is where the next number goes"
    );
    type_in(&mut h, "23,372");
    press(&mut h, Modifiers::NONE, Key::Enter);
    assert_eq!(h.state().log, [Outcome::Commit(Step::Forward)]);
    assert_eq!(focused(&h), ["c"]);
    type_in(&mut h, "23.366");
    press(&mut h, Modifiers::NONE, Key::Tab);
    assert_eq!(focused(&h), ["b"]);
    press(&mut h, Modifiers::SHIFT, Key::Enter);
    assert_eq!(focused(&h), ["c"]);
    press(&mut h, Modifiers::SHIFT, Key::Tab);
    assert_eq!(focused(&h), ["a"]);
    assert_eq!(
        h.state().values,
        ["23,372", "", "23.366"],
        "what was typed stays as typed"
    );
    assert_eq!(
        h.get_by_label("Gap a, mm").value().as_deref(),
        Some("23,372")
    );
}

#[test]
fn tab_in_the_very_frame_after_the_caret_arrived_keeps_to_the_order() {
    let mut h = grid();
    for _ in 0..2 {
        h.key_press(Key::Tab);
        h.run_steps(2);
    }
    assert_eq!(focused(&h), ["b"]);
    press(&mut h, Modifiers::NONE, Key::Tab);
    assert_eq!(focused(&h), ["b"], "at the end the page decides");
}

#[test]
fn the_first_key_overwrites_what_stood_in_the_field() {
    let mut h = grid();
    type_in(&mut h, "1");
    press(&mut h, Modifiers::NONE, Key::Enter);
    press(&mut h, Modifiers::SHIFT, Key::Enter);
    type_in(&mut h, "2");
    assert_eq!(h.state().values[0], "2");
    h.get_by_label("Gap b, mm").click();
    h.run_steps(3);
    type_in(&mut h, "7");
    h.get_by_label("Gap a, mm").click();
    h.run_steps(3);
    type_in(&mut h, "8");
    assert_eq!(h.state().values[0], "8", "by pointer too");
    assert!(
        h.state().log.contains(&Outcome::Left),
        "the pointer leaving a changed field is told"
    );
}

#[test]
fn two_readings_of_a_fast_gauge_in_one_frame_go_into_two_fields() {
    let mut h = grid();
    let key = |pressed| egui::Event::Key {
        key: Key::Enter,
        physical_key: None,
        pressed,
        repeat: false,
        modifiers: Modifiers::NONE,
    };
    for text in ["23.372", "23.366", "23.378"] {
        let events = [egui::Event::Text(text.to_owned()), key(true), key(false)];
        h.input_mut().events.extend(events);
    }
    h.run_steps(6);
    assert_eq!(h.state().values, ["23.372", "23.378", "23.366"]);
}

#[test]
fn keys_behind_a_line_end_in_one_frame_are_typed_once() {
    let mut h = harness(
        [String::new(), String::new()],
        |ui, buffers: &mut [String; 2]| {
            for (path, buffer) in ["mass", "width"].into_iter().zip(buffers) {
                let outcome = TextField::new(path, path).show(ui, buffer);
                if let Outcome::Commit(step) = outcome {
                    focus::step(ui.ctx(), &["mass", "width"], path, step);
                }
            }
        },
    );
    focus::ask(&h.ctx, "mass");
    h.run_steps(2);
    let enter = egui::Event::Key {
        key: Key::Enter,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::NONE,
    };
    let typed = |text: &str| egui::Event::Text(text.to_owned());
    h.input_mut()
        .events
        .extend([typed("480 kg"), enter, typed("620")]);
    h.run_steps(4);
    assert_eq!(h.state(), &["480 kg", "620"]);
}

#[test]
fn a_pasted_column_is_handed_over_whole_and_a_single_value_commits() {
    let mut h = grid();
    h.event(egui::Event::Paste("23,372\r\n23,366\r\n".to_owned()));
    h.run_steps(2);
    let column = Outcome::Column(vec!["23,372".to_owned(), "23,366".to_owned()]);
    assert_eq!(h.state().log, [column]);
    assert_eq!(
        h.state().values[0],
        "",
        "filling down is the page's business"
    );
    h.event(egui::Event::Paste("23.372\n".to_owned()));
    h.run_steps(3);
    assert_eq!(h.state().values[0], "23.372");
    assert_eq!(focused(&h), ["c"]);
}

#[test]
fn the_answers_to_a_question_and_the_reason_of_a_refusal_have_names() {
    let state = (String::from("620.310"), String::from("18.886"), Vec::new());
    let mut h = harness(
        state,
        |ui, (asked, refused, log): &mut (String, String, Vec<Outcome>)| {
            let question = FieldState::Asked {
                question: "Improbable: +0.310.",
                detail: "Digits exchanged?",
                offer: Some("620.130"),
            };
            log.push(
                ValueField::new("asked", "Bore, mm")
                    .state(question)
                    .show_whole(ui, asked),
            );
            let reason = FieldState::Refused {
                reason: "Not possible.",
                detail: "Inch?",
                offer: Some("Take as inch"),
            };
            log.push(
                ValueField::new("refused", "Neck, mm")
                    .state(reason)
                    .show_whole(ui, refused),
            );
        },
    );
    h.run();
    let mut answer = |name: &str| {
        h.state_mut().2.clear();
        h.get_by_label(name).click();
        h.run_steps(3);
        h.state()
            .2
            .iter()
            .find(|outcome| **outcome != Outcome::Nothing)
            .cloned()
    };
    assert_eq!(answer("Take 620.130: Bore, mm"), Some(Outcome::Offer));
    assert_eq!(answer("Keep: Bore, mm"), Some(Outcome::Keep));
    assert_eq!(answer("Change: Bore, mm"), Some(Outcome::Change));
    assert_eq!(answer("Take as inch: Neck, mm"), Some(Outcome::Offer));
    assert!(h.query_by_label("Not possible.").is_some());
    let field = h.get_by_label("Neck, mm");
    assert_eq!(
        field.accesskit_node().data().description(),
        Some("Not possible. Inch?")
    );
    assert!(h.get_by_label("Bore, mm").is_focused() || h.query_by_label("Bore, mm").is_some());
}

#[test]
fn a_locked_field_shows_its_value_and_takes_no_typing() {
    let mut h = harness(String::from("23.674"), |ui, value: &mut String| {
        ValueField::new("locked", "Gap 1, mm")
            .state(FieldState::Locked)
            .show(ui, value);
    });
    h.run();
    h.get_by_label("Gap 1, mm").click();
    h.run_steps(2);
    type_in(&mut h, "9");
    assert_eq!(h.state(), "23.674");
    let field = h.get_by_label("Gap 1, mm");
    assert!(field.accesskit_node().is_disabled());
    assert_eq!(field.value().as_deref(), Some("23.674"));
}

#[test]
fn arrows_move_a_segmented_choice_and_stay_inside_it() {
    let mut h = harness(
        (None, String::new()),
        |ui, (zone, _): &mut (Option<usize>, String)| {
            ui.horizontal(|ui| {
                primary(ui, "Before");
                Segments::new("Zone up", &["I", "II", "III", "IV"])
                    .path("zone")
                    .show(ui, zone);
                primary(ui, "After");
            });
        },
    );
    focus::ask(&h.ctx.clone(), "zone");
    h.run_steps(2);
    for (key, expected) in [
        (Key::ArrowRight, Some(0)),
        (Key::ArrowRight, Some(1)),
        (Key::ArrowDown, Some(2)),
        (Key::ArrowLeft, Some(1)),
        (Key::End, Some(3)),
        (Key::ArrowRight, Some(3)),
        (Key::Home, Some(0)),
        (Key::ArrowLeft, Some(0)),
    ] {
        press(&mut h, Modifiers::NONE, key);
        assert_eq!(h.state().0, expected, "{key:?}");
        assert!(h.get_by_label("Zone up").is_focused(), "{key:?}");
    }
    h.get_by_label("Zone up: III").click();
    h.run_steps(2);
    assert_eq!(h.state().0, Some(2));
    press(&mut h, Modifiers::NONE, Key::Tab);
    assert!(h.get_by_label("After").is_focused(), "one stop for Tab");
}

const CHOICES: [Choice<'static>; 3] = [
    Choice {
        code: "WR-B-07",
        detail: "bottom",
    },
    Choice {
        code: "WR-B-08",
        detail: "bottom",
    },
    Choice {
        code: "WC-17",
        detail: "held",
    },
];

fn code<'a>() -> Harness<'a, (String, Vec<Coded>)> {
    let mut harness = harness(
        (String::new(), Vec::new()),
        |ui, (text, log): &mut (String, Vec<Coded>)| {
            let coded = CodeField::new("chock", "Chock").show(ui, text, &CHOICES);
            if !matches!(coded, Coded::Nothing | Coded::Changed) {
                log.push(coded);
            }
        },
    );
    focus::ask(&harness.ctx.clone(), "chock");
    harness.run_steps(2);
    harness
}

#[test]
fn a_number_is_chosen_by_typing_and_enter() {
    let mut h = code();
    type_in(&mut h, "wc");
    press(&mut h, Modifiers::NONE, Key::Enter);
    assert_eq!(h.state().1, [Coded::Chosen(2)]);
    assert_eq!(h.state().0, "WC-17");
    assert!(h.query_by_label("WC-17 held").is_none(), "the list is gone");
}

#[test]
fn several_matches_are_chosen_among_by_arrows_or_pointer() {
    let mut h = code();
    type_in(&mut h, "wr");
    h.run_steps(1);
    assert!(
        h.query_by_label("WR-B-07 bottom").is_some() && h.query_by_label("WC-17 held").is_none()
    );
    press(&mut h, Modifiers::NONE, Key::ArrowDown);
    press(&mut h, Modifiers::NONE, Key::ArrowDown);
    assert!(h.get_by_label("Chock").is_focused());
    press(&mut h, Modifiers::NONE, Key::Enter);
    assert_eq!(h.state().1, [Coded::Chosen(1)]);

    let mut h = code();
    type_in(&mut h, "wr");
    h.run_steps(1);
    h.get_by_label("WR-B-07 bottom").click();
    h.run_steps(3);
    assert_eq!(h.state().1, [Coded::Chosen(0)]);
    assert_eq!(h.state().0, "WR-B-07");
}

#[test]
fn an_unknown_scan_is_handed_to_the_page() {
    let mut h = code();
    type_in(&mut h, "WR-X-99");
    press(&mut h, Modifiers::NONE, Key::Enter);
    assert_eq!(h.state().1, [Coded::Entered("WR-X-99".to_owned())]);
}

#[test]
fn a_badge_says_its_word_and_opens_by_key() {
    let mut h = harness(0, |ui, opened: &mut i32| {
        badge(ui, Mark::Fail, "fail");
        if badge_button(
            ui,
            Mark::PassInDoubt,
            "pass in doubt",
            "Mean size: pass in doubt; why?",
        )
        .clicked()
        {
            *opened += 1;
        }
    });
    h.run();
    assert!(h.query_by_label("fail").is_some());
    h.get_by_label("Mean size: pass in doubt; why?").focus();
    h.run_steps(2);
    press(&mut h, Modifiers::NONE, Key::Enter);
    assert_eq!(*h.state(), 1);
}

#[test]
fn a_disabled_button_is_said_to_be_and_does_nothing() {
    let mut h = harness(0, |ui, pressed: &mut i32| {
        if Button::new(Kind::Primary, "Sign")
            .enabled(false)
            .show(ui)
            .clicked()
        {
            *pressed += 1;
        }
    });
    h.run();
    assert!(h.get_by_label("Sign").accesskit_node().is_disabled());
    h.get_by_label("Sign").click();
    h.run_steps(2);
    assert_eq!(*h.state(), 0);
}

#[test]
fn a_row_is_found_by_name_and_opened_by_key() {
    let mut h = harness(None, |ui, opened: &mut Option<usize>| {
        let columns = Columns::new(vec![Col::left("number", 120.0), Col::right("hours", 80.0)]);
        let row = |i| Row::reading(format!("Bearing {i}")).clickable(true);
        let clicked = columns.rows(ui, "bearings", 200.0, 1000, row, |i, cells| {
            cells.text(&format!("TH-{i}")).value("990");
        });
        *opened = clicked.or(*opened);
    });
    h.run();
    assert!(
        h.query_by_label("Bearing 900").is_none(),
        "only rows in view are built"
    );
    h.get_by_label("Bearing 3").focus();
    h.run_steps(2);
    press(&mut h, Modifiers::NONE, Key::Enter);
    assert_eq!(*h.state(), Some(3));
}

#[test]
fn esc_closes_what_floats_before_anything_else() {
    let mut h = harness(
        (true, Vec::new()),
        |ui, (open, log): &mut (bool, Vec<keys::Action>)| {
            log.extend(keys::triggered(ui.ctx()));
            if *open {
                let beside =
                    egui::Rect::from_min_size(egui::pos2(700.0, 300.0), egui::vec2(80.0, 24.0));
                let head = WhyHead {
                    title: "Why: mean size",
                    mark: Mark::Fail,
                    word: "fail",
                    beside,
                    buttons: &["Copy as text"],
                };
                *open = why_panel(ui, head, |_| {}).is_none();
            }
        },
    );
    h.run_steps(3);
    assert!(h.query_by_label("Copy as text").is_some());
    press(&mut h, Modifiers::NONE, Key::Escape);
    assert!(!h.state().0 && h.state().1.is_empty());
    press(&mut h, Modifiers::NONE, Key::Escape);
    assert_eq!(h.state().1, [keys::Action::Close]);
}

#[test]
fn ctrl_z_belongs_to_the_field_while_typing_and_to_the_draft_after() {
    let mut h = harness(
        (String::new(), 0),
        |ui, (text, undone): &mut (String, i32)| {
            let actions = keys::triggered(ui.ctx());
            *undone += i32::from(actions.contains(&keys::Action::Undo));
            TextField::new("remark", "Remark").show(ui, text);
        },
    );
    focus::ask(&h.ctx.clone(), "remark");
    h.run_steps(2);
    type_in(&mut h, "worn");
    press(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(h.state().1, 0);
    press(&mut h, Modifiers::NONE, Key::Enter);
    press(&mut h, Modifiers::COMMAND, Key::Z);
    assert_eq!(h.state().1, 1);
}

#[test]
fn a_scan_outside_a_field_lands_in_the_search_field() {
    let mut h = harness(
        (String::new(), Vec::new()),
        |ui, (text, log): &mut (String, Vec<Outcome>)| {
            if let Some(scan) = keys::scanned(ui.ctx()) {
                *text = scan;
                focus::ask_at_end(ui.ctx(), SearchField::PATH);
            }
            let strip = frames::Strip {
                left: frames::Left::Plant("Tarnhollow"),
                title: "Today",
                detail: "",
                note: "",
                person: "Fitter 4",
            };
            log.push(frames::top_strip(ui, &strip, text).find);
        },
    );
    h.run();
    for part in ["WR", "-B", "-07"] {
        type_in(&mut h, part);
    }
    press(&mut h, Modifiers::NONE, Key::Enter);
    assert_eq!(h.state().0, "WR-B-07");
    assert!(h.state().1.contains(&Outcome::Commit(Step::Forward)));
}

#[test]
fn the_help_sheet_lists_every_action() {
    let mut h = harness(true, |ui, open: &mut bool| {
        if *open {
            let part = frames::HelpPart {
                head: "Today",
                text: "What is urgent.",
            };
            *open = !frames::help_sheet(ui.ctx(), "Today", &[part]);
        }
    });
    h.run_steps(3);
    for action in keys::Action::ALL {
        assert!(h.query_by_label(action.help()).is_some(), "{action:?}");
    }
    press(&mut h, Modifiers::NONE, Key::Escape);
    assert!(!h.state());
}

#[test]
fn a_tick_box_is_changed_by_space() {
    let mut h = harness(false, |ui, ticked: &mut bool| {
        checkbox(ui, "Cage is whole", ticked);
    });
    h.run();
    h.get_by_label("Cage is whole").focus();
    h.run_steps(2);
    press(&mut h, Modifiers::NONE, Key::Space);
    assert!(*h.state());
}

#[test]
fn a_long_task_says_how_far_it_is_and_can_be_stopped() {
    let mut h = harness(false, |ui, stopped: &mut bool| {
        *stopped |= progress(ui, 438, 640, "records");
    });
    h.run();
    assert!(
        !h.query_all_by_label("438 of 640 records")
            .collect::<Vec<_>>()
            .is_empty()
    );
    h.get_by_label("Stop this task").click();
    h.run_steps(2);
    assert!(*h.state());
}

#[test]
fn the_frames_of_a_sheet_are_found_by_name() {
    #[derive(Default)]
    struct Seen {
        back: bool,
        section: Option<usize>,
        step: Option<Step>,
    }
    let mut h = harness(Seen::default(), |ui, seen: &mut Seen| {
        let strip = frames::Strip {
            left: frames::Left::Back("Log"),
            title: "Teardown",
            detail: "TH-4T-031",
            note: "",
            person: "Fitter 4",
        };
        seen.back |= frames::top_strip(ui, &strip, &mut String::new()).back;
        let mark = frames::SectionMark::Verdict(Mark::Fail);
        let section = |number, name, sub| frames::Section {
            number,
            name,
            sub,
            mark,
        };
        let items = [
            section(5, "Clearance", ""),
            section(6, "Seats", "2 of 5 fail"),
        ];
        seen.section = frames::sections(ui, &items, 0).or(seen.section);
        frames::side_panel(ui, "What the sheet says", |_| {});
        let words = frames::Footer {
            back: Some("Back: Findings"),
            next: Some("Next: Seats"),
            ..Default::default()
        };
        seen.step = frames::footer(ui, words).or(seen.step);
        frames::sheet_body(ui, "", |ui| section_title(ui, Some(5), "Clearance", ""));
    });
    h.run();
    h.get_by_label("Next: Seats").click();
    h.run_steps(2);
    assert_eq!(
        h.state().step,
        None,
        "the next section cannot be opened yet"
    );
    for name in [
        "Back to Log",
        "6 Seats, 2 of 5 fail, fail",
        "Back: Findings",
    ] {
        h.get_by_label(name).click();
        h.run_steps(2);
    }
    let seen = h.state();
    assert!(seen.back);
    assert_eq!(seen.section, Some(1));
    assert_eq!(seen.step, Some(Step::Back));
}

#[test]
fn a_drawing_has_a_title_and_tells_which_mark_was_clicked() {
    let mut scene = draw::Scene::new(100.0, 100.0, "Growth of end play");
    let hit = draw::Hit {
        key: 7,
        label: "0.575 mm at 4,030 h".to_owned(),
    };
    let centre = draw::pos(50.0, 50.0);
    let fill = Some(draw::Token::P1);
    scene.add_hit(
        Some(&hit),
        [draw::Shape::Circle {
            centre,
            radius: 4.0,
            fill,
            stroke: None,
        }],
    );
    let mut h = harness(
        (None, None),
        move |ui, seen: &mut (Option<u64>, Option<u64>)| {
            let shown = crate::ui::paint::scene(ui, &scene);
            seen.0 = shown.hovered;
            seen.1 = shown.clicked.or(seen.1);
        },
    );
    h.run();
    let at = h.get_by_label("Growth of end play").rect().center();
    h.hover_at(at + egui::vec2(30.0, 0.0));
    h.run_steps(2);
    assert_eq!(*h.state(), (None, None));
    h.get_by_label("Growth of end play").click();
    h.run_steps(3);
    assert_eq!(*h.state(), (Some(7), Some(7)));
}
