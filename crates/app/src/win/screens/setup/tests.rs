//! The setup as a person uses it: by key and by name, with a real logbook behind.
#![allow(clippy::unwrap_used)]

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use store::entry::LengthUnit;
use store::payload::{Record, Role};
use store::query::{BearingState, bearings, find_things, record};
use store::{Logbook, ThingNo};

use crate::win::command::Command;
use crate::win::desk::Desk;
use crate::win::route::{Route, SetupPage};
use crate::win::screens::setup::Act;
use crate::win::snapshot::Setting;
use crate::win::tests::Bench;
use crate::win::worker::Progress;

/// A logbook with an engineer at work, on a page of the setup.
pub(super) fn setup(page: &str) -> Bench {
    let mut b = Bench::with_people();
    sign_in(&mut b, "Roll-shop Engineer", "2222");
    b.command(Command::Go(Route::Setup(SetupPage::People, None)));
    go(&mut b, page);
    b
}

pub(super) fn sign_in(b: &mut Bench, name: &str, pin: &str) {
    b.command(Command::SignIn {
        name: name.into(),
        pin: pin.into(),
    });
    assert_eq!(b.person().as_deref(), Some(name));
}

pub(super) fn go(b: &mut Bench, page: &str) {
    b.click(&format!("Setup: {page}"));
}

pub(super) fn has(b: &Bench, words: &str) -> bool {
    b.h.query_all_by_label_contains(words).next().is_some()
}

/// A key for the fields alone, without waiting for the logbook.
pub(super) fn press(b: &mut Bench, modifiers: Modifiers, key: Key) {
    b.h.key_press_modifiers(modifiers, key);
    b.h.run_steps(2);
}

/// Types into one field after the other from where the caret is; `>2` is twice the arrow to the right.
pub(crate) fn type_on(b: &mut Bench, texts: &[&str]) {
    for text in texts {
        if let Some(count) = text.strip_prefix('>') {
            for _ in 0..count.parse::<usize>().unwrap() {
                press(b, Modifiers::NONE, Key::ArrowRight);
            }
        } else if !text.is_empty() {
            b.h.event(egui::Event::Text((*text).to_owned()));
            b.h.run_steps(1);
        }
        press(b, Modifiers::NONE, Key::Enter);
    }
}

/// Saves by keyboard: the caret came to the button from the last field.
pub(super) fn save(b: &mut Bench) {
    press(b, Modifiers::NONE, Key::Enter);
    b.settle();
}

/// Adds a thing by keyboard alone.
pub(super) fn add(b: &mut Bench, noun: &str, texts: &[&str]) {
    b.click(&format!("Add a {noun}"));
    type_on(b, texts);
    save(b);
    assert!(!has(b, &format!("New {noun}")), "the {noun} was not saved");
}

pub(super) fn fill(b: &mut Bench, label: &str, text: &str) {
    b.h.get_by_label(label).focus();
    b.h.run_steps(2);
    press(b, Modifiers::COMMAND, Key::A);
    b.h.event(egui::Event::Text(text.to_owned()));
    b.h.run_steps(2);
}

pub(super) fn ask<T: Send + 'static>(
    b: &mut Bench,
    work: impl FnOnce(&Logbook) -> T + Send + 'static,
) -> T {
    let answer =
        b.h.state()
            .desk()
            .unwrap()
            .worker()
            .ask(|logbook| work(logbook));
    b.settle();
    let Progress::Here(value) = answer.look() else {
        panic!("no answer")
    };
    value
}

fn record_of(b: &mut Bench, code: &str) -> (ThingNo, Record) {
    let code = code.to_owned();
    ask(b, move |logbook| {
        let conn = logbook.connection();
        let found = find_things(conn)
            .unwrap()
            .into_iter()
            .find(|t| t.code == code)
            .unwrap();
        (found.no, record(conn, found.no).unwrap().unwrap().0)
    })
}

const TYPE: [(&str, &str); 22] = [
    ("bore d, mm", "480"),
    ("outside diameter D, mm", "620"),
    ("width B over all, mm", "336"),
    ("rows", "4"),
    ("mass, kg", "268"),
    ("spacer width, new, S1, mm", "24"),
    ("spacer width, new, S2, mm", "30"),
    ("spacer width, new, S3, mm", "24"),
    ("clearance, drawing minimum, rows 1–2, mm", "0.270"),
    ("clearance, drawing minimum, rows 2–3, mm", "0,270"),
    ("clearance, drawing minimum, rows 3–4, mm", "0.270"),
    ("clearance, drawing maximum, rows 1–2, mm", "0.330"),
    ("clearance, drawing maximum, rows 2–3, mm", "0.330"),
    ("clearance, drawing maximum, rows 3–4, mm", "0.330"),
    ("rework level, rows 1–2, mm", "0.600"),
    ("rework level, rows 2–3, mm", "600um"),
    ("rework level, rows 3–4, mm", "0.600"),
    ("neck, drawing minimum, mm", "479.700"),
    ("neck, drawing maximum, mm", "479.760"),
    ("chock bore, nominal, mm", "620"),
    ("interval, mill time, h", "1000"),
    ("interval, days", "150"),
];

/// Everything up to the bearing type.
pub(super) fn with_type(b: &mut Bench) {
    go(b, "Bearing types");
    b.click("Add a bearing type");
    type_on(b, &["N4T-480/620-336", ">1"]);
    for (label, text) in TYPE {
        fill(b, &format!("Bearing type: {label}"), text);
    }
    b.click("Save bearing type");
    assert!(!has(b, "New bearing type"), "the type was not saved");
}

fn values(b: &mut Bench, code: &str) -> Vec<(String, i64, i64)> {
    let Record::BearingType(found) = record_of(b, code).1 else {
        panic!("no bearing type")
    };
    found
        .values
        .into_iter()
        .map(|v| (v.name, v.item, v.value))
        .collect()
}

#[test]
fn an_empty_logbook_is_brought_to_its_first_teardown_with_the_window_alone() {
    let mut b = setup("Lines");
    assert!(has(&b, "No line yet."));
    assert!(
        has(&b, "lines, stands, positions, bearing types, chock types"),
        "the best order is told"
    );
    add(&mut b, "line", &["FT", "hot strip"]);
    assert!(
        b.h.query_by_label("Open FT").is_some(),
        "the table shows it"
    );
    go(&mut b, "Stands");
    add(&mut b, "stand", &["F4", "FT", "four-high"]);
    go(&mut b, "Positions");
    add(
        &mut b,
        "position",
        &["F4", ">1", ">1", ">1", "", ">1", "6", ""],
    );
    add(
        &mut b,
        "position",
        &["F4", ">1", ">1", ">2", "", ">2", "6", ""],
    );
    assert!(
        b.h.query_by_label("Open F4-W-T-O").is_some(),
        "the code was made from its parts"
    );
    with_type(&mut b);
    go(&mut b, "Chock types");
    add(
        &mut b,
        "chock type",
        &["WT", "N4T-480/620-336", "", "", ">1", "", "w-t-o W-T-D"],
    );
    go(&mut b, "Chocks");
    add(&mut b, "chock", &["WC-01", "WT"]);
    add(&mut b, "chock", &["WC-02", "WT"]);
    go(&mut b, "Rolls");
    add(&mut b, "roll", &["R-101", "FT", ">1"]);
    go(&mut b, "Bearings");
    add(&mut b, "bearing", &["TH-4T-001", "N4T-480/620-336", "", ""]);

    b.click("Open TH-4T-001");
    assert!(has(&b, "Where it is was never entered") || has(&b, "It is"));
    b.click("Received");
    let set = [
        "0.300",
        "0.300",
        "0.305",
        "24.000",
        "30.000",
        "24.000",
        "C-1",
        "",
        "2026-10-18",
    ];
    type_on(&mut b, &set);
    save(&mut b);
    b.click("Put into chock");
    type_on(&mut b, &["WC-01", "", ">1", "", "2026-10-19"]);
    save(&mut b);
    assert!(has(&b, "In WC-01, not in the mill."));
    go(&mut b, "Chocks");
    b.click("Open WC-01");
    b.click("Mounted");
    type_on(&mut b, &["R-101", "F4-W-T-O", "", "2026-10-20 08:00"]);
    save(&mut b);
    assert!(has(
        &b,
        "In the mill at F4-W-T-O on roll R-101, with TH-4T-001 in its main seat."
    ));
    b.click("Came off");
    type_on(&mut b, &["2026-10-20 18:00"]);
    save(&mut b);
    b.click("Ran in the mill");
    let ran = [
        "R-101",
        "WC-01",
        "F4-W-T-O",
        "WC-02",
        "F4-W-T-D",
        "2026-10-20 08:00",
        "2026-10-20 18:00",
        "9.5",
        "3100",
        "",
        "",
        "",
        "",
    ];
    type_on(&mut b, &ran);
    save(&mut b);

    let line = ask(&mut b, |logbook| {
        bearings(logbook.connection()).unwrap().remove(0)
    });
    assert_eq!(line.chock.map(|(_, code)| code).as_deref(), Some("WC-01"));
    assert_eq!(
        (line.state, line.zone, line.stay_run_s),
        (BearingState::InChock, 1, 34_200)
    );
}

#[test]
fn numbers_are_kept_as_integers_of_the_record_whatever_the_unit_typed() {
    let mut b = setup("Bearing types");
    with_type(&mut b);
    let values = values(&mut b, "N4T-480/620-336");
    for wanted in [
        ("bore_nm", 0, 480_000_000),
        ("mass_g", 0, 268_000),
        ("clearance_min_nm", 2, 270_000),
        ("rework_nm", 2, 600_000),
        ("interval_run_s", 0, 3_600_000),
        ("interval_day_count", 0, 150),
        ("loaded_arc_ddeg", 0, 1500),
        ("rework_factor_ppm", 0, 2_000_000),
    ] {
        let wanted = (wanted.0.to_owned(), wanted.1, wanted.2);
        assert!(
            values.contains(&wanted),
            "{wanted:?} is not among {values:?}"
        );
    }
}

#[test]
fn a_change_of_limits_needs_a_reason_and_says_that_old_sheets_keep_theirs() {
    let mut b = setup("Bearing types");
    with_type(&mut b);
    b.click("Open N4T-480/620-336");
    assert!(has(&b, "Sheets signed before keep the old limits."));
    fill(&mut b, "Bearing type: rework level, rows 1–2, mm", "0.550");
    b.click("Save bearing type");
    assert!(has(&b, "missing: why the type changes") || has(&b, "One field is not right yet."));
    assert!(has(&b, "rows 1–2 was 0.600"));
    fill(
        &mut b,
        "Bearing type: why the type changes",
        "own experience at F4",
    );
    b.click("Save bearing type");
    assert!(
        b.h.query_by_label("Save bearing type").is_none(),
        "it is saved and closed"
    );
    let values = values(&mut b, "N4T-480/620-336");
    assert!(values.contains(&("rework_nm".into(), 1, 550_000)));
    assert!(values.contains(&("rework_nm".into(), 2, 600_000)));
}

#[test]
fn how_sure_a_verdict_has_to_be_is_asked_in_percent_and_told_with_its_version() {
    let mut b = setup("Bearing types");
    with_type(&mut b);
    b.click("Open N4T-480/620-336");
    assert!(has(&b, "How sure a verdict has to be"));
    fill(
        &mut b,
        "Bearing type: conformity asked, rework level, %",
        "42",
    );
    fill(
        &mut b,
        "Bearing type: conformity asked, neck size, %",
        "99,5",
    );
    fill(
        &mut b,
        "Bearing type: why the type changes",
        "the neck decides what a ring costs",
    );
    b.click("Save bearing type");
    assert!(has(&b, "not possible: from 50 to 99.9 %"));
    // Enter goes on to the next limit, and what is typed there counts.
    fill(
        &mut b,
        "Bearing type: conformity asked, rework level, %",
        "99",
    );
    type_on(&mut b, &["", "90 %"]);
    b.click("Save bearing type");
    assert!(
        b.h.query_by_label("Save bearing type").is_none(),
        "it is saved and closed"
    );
    let values = values(&mut b, "N4T-480/620-336");
    for (name, ppm) in [
        ("rework_conformity_ppm", 990_000),
        ("target_conformity_ppm", 900_000),
        ("neck_conformity_ppm", 995_000),
    ] {
        assert!(values.contains(&(name.into(), 0, ppm)), "{values:?}");
    }
    b.click("Open N4T-480/620-336");
    assert!(has(&b, "conformity asked, rework level: none to 99 %"));
    assert!(has(&b, "conformity asked, neck size: none to 99.5 %"));
}

#[test]
fn a_second_thing_of_one_code_is_refused_at_its_field() {
    let mut b = setup("Lines");
    add(&mut b, "line", &["FT", ""]);
    b.click("Add a line");
    type_on(&mut b, &["ft", "another"]);
    save(&mut b);
    assert!(has(&b, "FT is in the register already"));
    assert_eq!(
        b.h.get_by_label("Line: what it rolls").value().as_deref(),
        Some("another"),
        "nothing typed is lost"
    );
    fill(&mut b, "Line: code", "PL");
    b.click("Save line");
    assert!(b.h.query_by_label("Open PL").is_some());
}

#[test]
fn a_wrong_unit_and_an_impossible_size_are_refused_in_place() {
    let mut b = setup("Bearing types");
    b.click("Add a bearing type");
    fill(&mut b, "Bearing type: bore d, mm", "480 kg");
    fill(&mut b, "Bearing type: outside diameter D, mm", "62000");
    fill(&mut b, "Bearing type: rows", "4");
    assert!(has(&b, "\"kg\" is not a unit of this field: it takes mm"));
    assert!(has(&b, "not possible: sizes go from 10 mm to 3,150 mm"));
    assert_eq!(
        b.h.get_by_label("Bearing type: bore d, mm")
            .value()
            .as_deref(),
        Some("480 kg")
    );
    b.click("Save bearing type");
    assert!(has(&b, "fields are not right yet."));
    let none = ask(&mut b, |logbook| find_things(logbook.connection()).unwrap());
    assert!(
        none.iter().all(|t| t.entity != "bearing_type"),
        "nothing was written"
    );
}

#[test]
fn an_inch_logbook_takes_and_shows_inches() {
    let mut b = setup("Bearing types");
    b.command(Command::Set(Setting::Unit(LengthUnit::Inch)));
    b.click("Add a bearing type");
    type_on(&mut b, &["N2S-X", ">3"]);
    let sizes = [
        ("bore d, in", "7.0866"),
        ("outside diameter D, in", "300mm"),
        ("width B over all, in", "3.7795"),
        ("rows", "2"),
    ];
    for (label, text) in sizes {
        fill(&mut b, &format!("Bearing type: {label}"), text);
    }
    b.click("Save bearing type");
    let found = values(&mut b, "N2S-X");
    assert!(
        found.contains(&("bore_nm".into(), 0, 179_999_640)),
        "{found:?}"
    );
    assert!(found.contains(&("outside_nm".into(), 0, 300_000_000)));
    b.click("Open N2S-X");
    assert_eq!(
        b.h.get_by_label("Bearing type: outside diameter D, in")
            .value()
            .as_deref(),
        Some("11.81102")
    );
    fill(
        &mut b,
        "Bearing type: why the type changes",
        "checked against the drawing",
    );
    b.click("Save bearing type");
    let again = values(&mut b, "N2S-X");
    assert_eq!(found, again, "what nobody touched is not rounded anew");
}

#[test]
fn a_closed_form_keeps_what_was_typed_until_it_is_discarded() {
    let mut b = setup("Lines");
    b.click("Add a line");
    type_on(&mut b, &["FT"]);
    b.key(Modifiers::NONE, Key::Escape);
    b.key(Modifiers::NONE, Key::Escape);
    assert!(has(&b, "Typed and not saved: New line"));
    go(&mut b, "Rolls");
    go(&mut b, "Lines");
    b.click("Go on with New line");
    assert_eq!(
        b.h.get_by_label("Line: code").value().as_deref(),
        Some("FT")
    );
    b.click("Discard what was typed");
    assert!(!has(&b, "Typed and not saved"));
    b.click("Add a line");
    assert_eq!(
        b.h.get_by_label("Line: code").value().unwrap_or_default(),
        ""
    );
    b.key(Modifiers::NONE, Key::Escape);
    b.key(Modifiers::NONE, Key::Escape);
    assert!(!has(&b, "Typed and not saved"), "an empty form is not kept");
}

#[test]
fn who_may_not_change_the_register_reads_why_where_the_button_is() {
    let mut b = Bench::with_people();
    b.command(Command::Go(Route::Setup(SetupPage::Stands, None)));
    go(&mut b, "Lines");
    b.click("Add a line");
    assert!(b.h.query_by_label("Save line").is_none());
    assert!(b.h.query_by_label("Sign in to change").is_some());
    sign_in(&mut b, "Foreman A", "1111");
    fill(&mut b, "Line: code", "FT");
    b.click("Save line");
    assert!(has(
        &b,
        "Foreman A may not sign this: it needs the engineer"
    ));
    assert_eq!(
        b.h.get_by_label("Line: code").value().as_deref(),
        Some("FT"),
        "nothing typed is lost"
    );
}

#[test]
fn a_person_is_registered_leaves_and_gets_a_new_pin() {
    let mut b = setup("People");
    b.click("Add a person");
    type_on(&mut b, &["Fitter 1", ">2", "3333", "3334"]);
    b.click("Save person");
    assert!(has(&b, "the two PINs differ"));
    fill(&mut b, "Person: PIN again", "3333");
    b.click("Save person");
    let signer = |b: &mut Bench, pin: &'static str| {
        let answer =
            b.h.state()
                .desk()
                .unwrap()
                .worker()
                .write(move |logbook| logbook.sign_in("Fitter 1", pin));
        b.settle();
        let Progress::Here(signer) = answer.look() else {
            panic!("no answer")
        };
        signer
    };
    assert_eq!(signer(&mut b, "3333").unwrap().role, Role::Fitter);
    b.click("Open Fitter 1");
    fill(&mut b, "Person: new PIN, empty: the old one holds", "5555");
    fill(&mut b, "Person: PIN again", "5555");
    b.click("Save person");
    assert!(signer(&mut b, "5555").is_ok(), "the new PIN holds");
    b.click("Open Fitter 1");
    b.click("Person: works here: no");
    b.click("Save person");
    assert!(
        signer(&mut b, "5555")
            .unwrap_err()
            .to_string()
            .contains("does not work here any more")
    );
    let Record::Person(person) = ({
        let no = ask(&mut b, |l| {
            store::people::people(l.connection())
                .unwrap()
                .into_iter()
                .find(|p| p.name == "Fitter 1")
        });
        ask(&mut b, move |l| {
            record(l.connection(), no.unwrap().no).unwrap().unwrap().0
        })
    }) else {
        panic!("no person")
    };
    assert!(!person.is_active);
}

#[test]
fn a_gauge_is_registered_and_calibrated_anew() {
    let mut b = setup("Gauges");
    let gauge = [
        "BG-03",
        "bore gauge",
        ">1",
        "600 to 800",
        "0.001",
        "0.010",
        "K-17",
        "2027-03-14",
        "SR-02",
    ];
    b.click("Add a gauge");
    type_on(&mut b, &gauge);
    save(&mut b);
    assert!(has(&b, "2027-03-14") && has(&b, "in calibration"));
    b.click("Open BG-03");
    b.click("Calibrated");
    type_on(&mut b, &["0.008", "K-18", "soon", ""]);
    save(&mut b);
    assert!(has(&b, "\"soon\" is no day or time"));
    fill(&mut b, "Calibrated: next calibration", "2027-09-30");
    b.click("Sign and save");
    assert_eq!(
        b.h.get_by_label("Gauge: next calibration")
            .value()
            .as_deref(),
        Some("2027-09-30")
    );
    assert_eq!(
        b.h.get_by_label("Gauge: expanded uncertainty U at k = 2, mm")
            .value()
            .as_deref(),
        Some("0.008")
    );
    b.click("Close the form");
    assert!(has(&b, "K-18") && has(&b, "2027-09-30") && has(&b, "0.008 mm"));
}

#[test]
fn a_page_that_names_the_gauge_opens_the_form_of_its_calibration_and_is_there_again_afterwards() {
    let mut b = setup("Gauges");
    b.click("Add a gauge");
    let gauge = [
        "FG-05",
        "feeler set",
        ">1",
        "",
        "0.001",
        "0.010",
        "K-17",
        "2026-10-27",
        "",
    ];
    type_on(&mut b, &gauge);
    save(&mut b);
    let no = b.ask(|logbook| {
        let found = store::sheet::thing_by_code(logbook.connection(), "gauge", "FG-05");
        found.unwrap().unwrap().0
    });
    b.command(Command::Go(Route::Today));
    b.command(Command::Go(Route::TellOf(Act::Calibrated, no)));
    b.settle();
    // The gauge stands in its field, the caret in the first one below.
    type_on(&mut b, &["0.008", "K-18", "2027-09-30", ""]);
    b.click("Sign and save");
    assert_eq!(b.route(), Route::Today);
    b.command(Command::Go(Route::Setup(SetupPage::Gauges, Some(no))));
    assert!(has(&b, "K-18") && has(&b, "2027-09-30") && has(&b, "0.008 mm"));
}

#[test]
fn units_and_theme_of_this_logbook_act_at_once() {
    let mut b = setup("This logbook");
    b.click("Lengths: inch");
    b.click("Decimal mark: comma");
    b.click("Theme: night");
    let settings = b.h.state().desk().unwrap().settings();
    assert_eq!(
        (settings.show.unit, settings.show.comma),
        (LengthUnit::Inch, true)
    );
    assert_eq!(settings.theme, draw::Theme::Night);
    assert!(has(&b, "mill.chockbook") && has(&b, "Tarnhollow"));
}

#[test]
fn another_one_is_added_with_what_is_likely_to_be_alike_kept() {
    let mut b = setup("Lines");
    add(&mut b, "line", &["FT", ""]);
    go(&mut b, "Rolls");
    b.click("Add a roll");
    type_on(&mut b, &["R-101", "FT", ">1"]);
    b.click("Save, add another");
    assert!(b.h.query_by_label("Open R-101").is_some());
    assert_eq!(
        b.h.get_by_label("Roll: line").value().as_deref(),
        Some("FT")
    );
    type_on(&mut b, &["R-102", "", ""]);
    save(&mut b);
    assert!(b.h.query_by_label("Open R-102").is_some());
}

#[test]
fn a_read_only_logbook_shows_its_forms_and_saves_nothing() {
    let mut b = setup("Lines");
    add(&mut b, "line", &["FT", "hot strip"]);
    // The window of `b` still writes it.
    let (hands, _) = crate::hands::tests::fake();
    let second = Logbook::open(&b.path, hands()).unwrap();
    assert!(matches!(second.access(), store::Access::Read { .. }));
    let desk = Desk::new(second, std::sync::Arc::new(|| {}), None).unwrap();
    let frame = |ui: &mut egui::Ui, desk: &mut Desk| {
        desk.logic(&ui.ctx().clone());
        desk.ui(ui);
    };
    let mut h = egui_kittest::Harness::builder()
        .with_size([1280.0, 800.0])
        .with_context_setup(crate::ui::theme::install)
        .build_ui_state(frame, desk);
    let tab = egui::Role::Tab;
    let settle = |h: &mut egui_kittest::Harness<Desk>| {
        for _ in 0..4 {
            h.run_steps(2);
            h.state().worker().settle();
        }
        h.run_steps(2);
    };
    settle(&mut h);
    for page in ["Setup", "Setup: Lines"] {
        h.get_by_role_and_label(tab, page).click();
        settle(&mut h);
    }
    assert!(h.query_by_label("Add a line").is_none());
    h.get_by_label("Open FT").click();
    settle(&mut h);
    let why = "The logbook is open for reading only";
    assert!(h.query_all_by_label_contains(why).next().is_some());
    let field = h.get_by_label("Line: what it rolls");
    assert_eq!(field.value().as_deref(), Some("hot strip"));
    assert!(h.query_by_label("Save line").is_none());
}
