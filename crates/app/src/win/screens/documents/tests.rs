//! The page as a person uses it: by keyboard, from the choice to the pages and the file.

use std::time::Duration;

use egui::{Key, Modifiers};

use crate::print::What;
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::tests::Bench;

/// The page of a logbook with two people.
fn page() -> Bench {
    let mut b = Bench::with_people();
    b.command(Command::Go(Route::Documents(What::History, None)));
    b
}

/// Runs frames until these words are in view: documents are made on a thread of their own.
fn wait_for(b: &mut Bench, words: &str) {
    for _ in 0..1_500 {
        if b.has(words) {
            return;
        }
        std::thread::sleep(Duration::from_millis(20));
        b.h.run_steps(1);
    }
    panic!("{words} did not come");
}

fn enter(b: &mut Bench) {
    b.key(Modifiers::NONE, Key::Enter);
}

#[test]
fn a_hand_over_is_chosen_shown_and_saved_by_keyboard_alone() {
    let mut b = page();
    assert!(b.has("No document is shown."));
    // The caret stands in the field of the first document; the third from the end is the hand-over.
    for _ in 0..3 {
        b.key(Modifiers::COMMAND, Key::PageUp);
    }
    assert!(b.has("Hand-over"));
    enter(&mut b);
    enter(&mut b);
    wait_for(&mut b, "Page 1 of 1");
    assert!(b.has("Hand-over: 1 page, made just now."));
    b.key(Modifiers::COMMAND, Key::P);
    assert!(b.has("Save the document"));
    enter(&mut b);
    wait_for(&mut b, "1 page written to");
    let written = b.path.with_file_name("handover.pdf");
    assert!(std::fs::read(written).unwrap().starts_with(b"%PDF"));
}

#[test]
fn what_is_still_needed_is_said_and_an_unknown_thing_is_told_by_name() {
    let mut b = page();
    assert!(b.has("Still needed: bearing."));
    b.type_in("TH-4T-999");
    enter(&mut b);
    enter(&mut b);
    enter(&mut b);
    assert!(!b.has("Still needed"));
    enter(&mut b);
    wait_for(&mut b, "\"TH-4T-999\" is not in the register");
    assert!(b.has("No document is shown."));
}

#[test]
fn what_was_typed_stays_while_another_document_is_chosen_and_old_pages_are_told() {
    let mut b = page();
    b.click("Labels");
    b.type_in("person");
    b.click("Show the pages");
    wait_for(&mut b, "Page 1 of 1");
    b.click("Chock history");
    assert!(b.has("not what is chosen now"));
    b.click("Labels");
    assert!(!b.has("not what is chosen now") && !b.has("Still needed"));
}

#[test]
fn histories_of_many_are_written_into_a_folder_and_none_without_a_bearing() {
    let mut b = Bench::new(crate::win::tests::with_bearings);
    b.command(Command::Go(Route::Documents(What::History, None)));
    b.click("Many histories");
    b.type_in("TH-4T-9*");
    assert!(b.has("0 such bearings in the register"));
    b.key(Modifiers::COMMAND, Key::A);
    b.type_in("th-4t-0*");
    assert!(b.has("2 such bearings in the register"));
    enter(&mut b);
    enter(&mut b);
    enter(&mut b);
    wait_for(&mut b, "All 2 are written to");
    let folder = b.path.with_file_name("histories");
    for serial in ["TH-4T-031", "TH-4T-032"] {
        let written = folder.join(format!("{serial}-history.pdf"));
        assert!(std::fs::read(written).unwrap().starts_with(b"%PDF"));
    }
}

#[test]
fn a_page_sends_its_thing_here_and_the_document_is_shown_at_once() {
    let mut b = Bench::new(crate::win::tests::with_bearings);
    let bearing = b.ask(|logbook| {
        let things = store::query::find_things(logbook.connection()).unwrap();
        things.iter().find(|t| t.code == "TH-4T-031").unwrap().no
    });
    b.command(Command::Go(Route::Documents(What::History, Some(bearing))));
    wait_for(&mut b, "Page 1 of");
    assert!(!b.has("not what is chosen now"));
    // Of the page of today Ctrl+P is the hand-over.
    b.command(Command::Go(Route::Today));
    b.key(Modifiers::COMMAND, Key::P);
    assert_eq!(b.route(), Route::Documents(What::Handover, None));
    wait_for(&mut b, "Hand-over: 1 page");
}
