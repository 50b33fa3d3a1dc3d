//! What happened, told from the log by keyboard alone.
#![allow(clippy::unwrap_used)]

use std::collections::BTreeSet;

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use store::query::{JournalFilter, journal};

use super::*;
use crate::win::screens::setup::life_tests::shop;
use crate::win::screens::setup::tests::{ask, has, press, save, type_on};
use crate::win::tests::Bench;

#[test]
fn every_act_has_a_letter_of_its_own_and_stands_in_one_group() {
    let listed: Vec<Act> = GROUPS
        .iter()
        .flat_map(|(_, acts)| acts.iter().copied())
        .collect();
    let letters: BTreeSet<char> = listed.iter().map(|act| act.letter()).collect();
    assert_eq!(letters.len(), listed.len());
    for page in Page::ALL {
        for act in Act::of(page) {
            assert!(listed.iter().filter(|a| *a == act).count() == 1, "{act:?}");
        }
    }
}

/// What product.md says may happen to each sort of thing, outside a sheet.
#[test]
fn every_page_offers_what_may_happen_to_its_things() {
    use Act::{
        Attached, Blocked, Calibrated, CameOff, Campaign, Condition, Cost, Deviation, Extension,
        FoundHere, FoundOut, Greased, Hold, Incident, Inspected, MillJob, Mounted, OnNeck, Paired,
        Planned, PutIn, Received, Reground, Released, Returned, Scrapped, SeatChecked, SentOut,
        TakenOut, Turned, Unpaired, Worked,
    };
    let held = [Hold, Released, Attached];
    let leaves = [SentOut, Returned, Scrapped, FoundHere];
    for (page, own) in [
        (
            Page::Bearings,
            vec![
                Received, Inspected, PutIn, OnNeck, TakenOut, Paired, Unpaired, Turned, Reground,
                Greased, Deviation, Cost,
            ],
        ),
        (
            Page::Chocks,
            vec![
                Mounted,
                CameOff,
                Campaign,
                Condition,
                Extension,
                Planned,
                SeatChecked,
                Deviation,
                Cost,
            ],
        ),
        (Page::Rolls, vec![Campaign, SeatChecked, Deviation, Cost]),
        (Page::Gauges, vec![Calibrated, FoundOut]),
    ] {
        let all: BTreeSet<Act> = own.into_iter().chain(held).chain(leaves).collect();
        let offered: BTreeSet<Act> = Act::of(page).iter().copied().collect();
        assert_eq!(offered, all, "{page:?}");
    }
    assert_eq!(
        Act::of(Page::Positions),
        [Incident, Worked, MillJob, Attached]
    );
    for page in [Page::SealBatches, Page::Greases] {
        assert_eq!(Act::of(page), [Blocked, Attached]);
    }
}

/// What is asked at a receipt, a return and a regrind, by the sort of thing.
#[test]
fn what_is_asked_is_what_the_thing_has() {
    use crate::win::screens::setup::fields::{Of, fields};
    use crate::win::screens::setup::form::Kind;
    let asked = |page, act, bearing| -> Vec<&str> {
        let of = Of {
            bearing,
            ..Of::default()
        };
        let all = fields(Subject::Act(page, act, store::ThingNo(1)), of);
        let sizes = all
            .iter()
            .filter(|field| matches!(field.kind, Kind::Number(_)));
        sizes.map(|field| field.label).collect()
    };
    let bearings = Page::Bearings;
    assert_eq!(asked(bearings, Act::Received, "four_row_tapered").len(), 6);
    assert_eq!(asked(bearings, Act::Returned, "four_row_tapered").len(), 3);
    for (kind, label) in [
        ("four_row_cylindrical", "radial clearance as set"),
        ("two_row_spherical", "radial clearance as set"),
        ("two_row_thrust", "axial clearance as set"),
    ] {
        assert_eq!(asked(bearings, Act::Received, kind), [label]);
        assert_eq!(
            asked(bearings, Act::Returned, kind),
            [format!("{label} now")]
        );
        assert!(!Act::Reground.suits(kind) && Act::Greased.suits(kind));
    }
    assert!(asked(bearings, Act::Received, "four_row_cylindrical_inner").is_empty());
    assert!(Act::Reground.suits("four_row_tapered"));
    for page in [Page::Chocks, Page::Rolls, Page::Gauges] {
        assert!(asked(page, Act::Returned, "").is_empty(), "{page:?}");
    }
}

/// Two keys for the act, then the thing and the fields.
pub(crate) fn tell(b: &mut Bench, letter: &str, texts: &[&str]) {
    b.command(Command::Go(Route::Log));
    press(b, Modifiers::COMMAND, Key::E);
    b.settle();
    b.h.event(egui::Event::Text(letter.to_owned()));
    b.settle();
    b.h.event(egui::Event::Text(texts[0].to_owned()));
    b.h.run_steps(2);
    press(b, Modifiers::NONE, Key::Enter);
    b.settle();
    type_on(b, &texts[1..]);
    b.settle();
}

fn kinds(b: &mut Bench) -> Vec<String> {
    ask(b, |logbook| {
        let lines = journal(
            logbook.connection(),
            &JournalFilter::default(),
            store::entry::Show::default(),
        );
        let kinds = lines.unwrap().into_iter().map(|line| line.kind);
        // The logbook was begun on the day of its clock, after what is told here.
        kinds.filter(|kind| kind != "logbook_started").collect()
    })
}

#[test]
fn two_keys_choose_the_act_and_the_rules_speak_before_it_is_signed() {
    let mut b = shop();
    tell(
        &mut b,
        "r",
        &[
            "TH-4T-001",
            "0.300",
            "0.300",
            "0.300",
            "",
            "",
            "",
            "C-1",
            "",
            "2026-10-10",
        ],
    );
    save(&mut b);
    assert_eq!(kinds(&mut b)[0], "received");
    // Taken out of a chock in which it is not: told before it is signed, with the way out.
    tell(&mut b, "t", &["th-4t-001", "looked at", "2026-10-11"]);
    assert!(
        has(&b, "is in no chock on 2026-10-11"),
        "the rule is told while typing"
    );
    b.click("Found here instead");
    type_on(
        &mut b,
        &[
            "WC-01",
            "",
            ">2",
            "",
            "",
            "serial read on the ring",
            "2026-10-12",
        ],
    );
    save(&mut b);
    assert_eq!(kinds(&mut b)[0], "found_here");
    tell(&mut b, "t", &["TH-4T-001", "looked at", "2026-10-13"]);
    assert!(!has(&b, "As it stands"), "now it fits");
    save(&mut b);
    assert_eq!(kinds(&mut b)[0], "taken_out");
}

#[test]
fn a_place_that_forbids_it_is_told_before_any_word_of_why() {
    let mut b = shop();
    tell(&mut b, "t", &["TH-4T-001"]);
    assert!(has(&b, "is in no chock"), "the place is told at once");
    // What was begun stands there still: the key leads back to the list first.
    press(&mut b, Modifiers::COMMAND, Key::E);
    b.settle();
    tell(&mut b, "x", &["WC-01"]);
    assert!(
        has(&b, "who saw it destroyed"),
        "the form of the act is open"
    );
    assert!(
        !has(&b, "As it stands"),
        "a witness is no word: nothing is foretold without one"
    );
}

#[test]
fn a_scan_that_ends_within_one_frame_goes_into_one_field_and_the_key_comes_back_to_the_list() {
    let mut b = shop();
    press(&mut b, Modifiers::COMMAND, Key::E);
    b.settle();
    b.h.event(egui::Event::Text("h".to_owned()));
    b.settle();
    b.h.event(egui::Event::Text("TH-".to_owned()));
    b.h.run_steps(1);
    let enter = egui::Event::Key {
        key: Key::Enter,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::NONE,
    };
    let rest = egui::Event::Text("4T-001".to_owned());
    b.h.input_mut().events.extend([rest, enter]);
    b.settle();
    let reason = b.h.get_by_label("Hold: why").value().unwrap_or_default();
    assert_eq!(
        reason, "",
        "what was scanned stands in the field of the thing alone"
    );
    assert!(
        has(&b, "Where it is was never entered"),
        "the form of the thing is open"
    );
    press(&mut b, Modifiers::COMMAND, Key::E);
    b.settle();
    assert!(has(&b, "Received, key R"), "Ctrl E goes back to the list");
}
