//! A sheet that is being opened: what is scanned meanwhile, and what becomes of one in which nothing stands.
#![allow(clippy::unwrap_used)]

use egui::{Event, Key, Modifiers};
use store::draft::{list, read};

use super::command::Command;
use super::route::Route;
use super::tests::Bench;

/// A scanner that is faster than the page: the keys follow the shortcut in the same frame and in those after it.
fn scan_at_once(b: &mut Bench, key: Key, code: &str) {
    b.h.key_press_modifiers(Modifiers::COMMAND, key);
    let (first, rest) = code.split_at(2);
    b.h.event(Event::Text(first.into()));
    b.h.run_steps(1);
    b.h.event(Event::Text(rest.into()));
    b.h.key_press_modifiers(Modifiers::NONE, Key::Enter);
    b.settle();
}

#[test]
fn a_scan_while_a_sheet_opens_goes_into_its_first_field() {
    let mut b = Bench::with_people();
    b.sign_in("Foreman A", "1111");
    for key in [Key::N, Key::M] {
        scan_at_once(&mut b, key, "WR-B-07");
        let Route::Sheet(draft) = b.route() else {
            panic!("no sheet but {:?}", b.route())
        };
        b.wait_s(1.0);
        let kept = b.ask(move |logbook| read(logbook.connection(), draft).unwrap());
        let chock = kept.fields.get("identify.chock").map(|f| f.text.as_str());
        assert_eq!(chock, Some("WR-B-07"), "{key:?}: {:?}", kept.fields);
        b.command(Command::Go(Route::Today));
    }
}

#[test]
fn a_key_pressed_twice_begins_one_sheet() {
    let mut b = Bench::with_people();
    b.sign_in("Foreman A", "1111");
    for (key, count) in [(Key::M, 1), (Key::N, 2)] {
        b.h.key_press_modifiers(Modifiers::COMMAND, key);
        b.h.key_press_modifiers(Modifiers::COMMAND, key);
        b.h.run_steps(1);
        b.h.key_press_modifiers(Modifiers::COMMAND, key);
        b.settle();
        // Something stands in it: it is kept when another one begins.
        b.type_in("WR-B-07");
        b.h.key_press_modifiers(Modifiers::NONE, Key::Enter);
        b.wait_s(1.0);
        let drafts = b.ask(|logbook| list(logbook.connection()).unwrap().len());
        assert_eq!(drafts, count, "{key:?}");
    }
}

#[test]
fn a_sheet_left_with_nothing_in_it_is_thrown_away_and_one_begun_is_named_by_its_kind() {
    let mut b = Bench::with_people();
    b.sign_in("Foreman A", "1111");
    let drafts = |b: &mut Bench| b.ask(|logbook| list(logbook.connection()).unwrap().len());
    b.key(Modifiers::COMMAND, Key::N);
    assert!(matches!(b.route(), Route::Sheet(_)));
    b.click("Back to Today");
    assert_eq!((b.route(), drafts(&mut b)), (Route::Today, 0));
    // Two of which only a remark is typed: no chock tells them apart.
    for key in [Key::N, Key::M] {
        b.key(Modifiers::COMMAND, key);
        let Route::Sheet(draft) = b.route() else {
            panic!("no sheet but {:?}", b.route())
        };
        b.command(Command::Go(Route::Today));
        assert_eq!(drafts(&mut b), usize::from(key == Key::M), "{draft:?}");
        b.ask(move |logbook| {
            let person = logbook.sign_in("Foreman A", "1111").unwrap().no;
            let kind = if key == Key::N {
                "teardown_sheet"
            } else {
                crate::win::screens::mounting::KIND
            };
            logbook.start_draft(kind, Some(person)).unwrap();
        });
    }
    // Written behind the back of the window.
    b.h.state().desk().unwrap().worker().raise();
    b.settle();
    for words in [
        "Teardown begun ",
        "Mounting begun ",
        ", no chock named yet.",
    ] {
        assert!(b.has(words), "{words}");
    }
}
