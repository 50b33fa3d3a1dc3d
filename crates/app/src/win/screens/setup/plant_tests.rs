//! A new plant of two stands and ten bearings, from an empty logbook to the last scrapped bearing, by keyboard: its
//! register pasted, its moves told with two keys each.
#![allow(clippy::unwrap_used)]

use std::fmt::Write as _;

use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::Queryable;
use store::query::{BearingState, bearings, chocks, journal, register_table};

use super::tell::tests::tell;
use super::tests::{ask, has, press, save, setup};
use crate::win::tests::Bench;

/// Goes on to a page with the keys alone.
fn turn_to(b: &mut Bench, page: &str) {
    for _ in 0..16 {
        if has(b, &format!("Find in {}", page.to_lowercase())) || has(b, &format!("{page}, page")) {
            return;
        }
        let is_here =
            b.h.query_by_label_contains(&format!("No {}", singular(page)))
                .is_some();
        if is_here {
            return;
        }
        press(b, Modifiers::COMMAND, Key::PageDown);
        b.settle();
    }
    panic!("{page} was not reached");
}

fn singular(page: &str) -> String {
    let small = page.to_lowercase();
    let noun = small.strip_suffix('s').unwrap_or(&small);
    format!(
        "{} yet",
        if small == "seal batches" {
            "seal batch"
        } else {
            noun
        }
    )
}

/// Pastes a table into a page and saves it, with keys.
fn paste(b: &mut Bench, page: &str, table: &str) {
    turn_to(b, page);
    b.h.event(Event::Paste(table.to_owned()));
    until(b, "all right");
    assert!(!has(b, "not right"), "{page}: the table is not right");
    let count = table.lines().count() - 1;
    b.click(&format!(
        "Save {count} {}",
        if count == 1 {
            singular(page).replace(" yet", "")
        } else {
            page.to_lowercase()
        }
    ));
    until(b, "What was pasted is in the register");
}

/// Waits for a thread beside the window's.
fn until(b: &mut Bench, words: &str) {
    for _ in 0..400 {
        if has(b, words) {
            return;
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
        b.settle();
    }
    panic!("{words:?} never came");
}

fn count(b: &mut Bench, entity: &'static str) -> usize {
    ask(b, move |logbook| {
        let show = store::entry::Show::default();
        register_table(logbook.connection(), entity, logbook.now(), show)
            .unwrap()
            .rows
            .len()
    })
}

fn plant() -> Bench {
    let mut b = setup("Lines");
    paste(&mut b, "Lines", "line,name\nFT,hot strip\nBM,bar line\n");
    paste(
        &mut b,
        "Stands",
        "stand;line;build\nF1;FT;four-high\nF2;FT;four-high\n",
    );
    let mut positions = String::from("stand\trole\ttop or bottom\tside\tfixed\tload [o'clock]\n");
    for stand in ["F1", "F2"] {
        for side in ["operator", "drive"] {
            let fixed = if side == "operator" { "yes" } else { "no" };
            writeln!(positions, "{stand}\twork\ttop\t{side}\t{fixed}\t6").unwrap();
        }
    }
    paste(&mut b, "Positions", &positions);
    let rolls =
        "roll,line,role\nR-101,FT,work\nR-102,FT,W\nR-103,FT,work\nR-104,FT,work\nR-105,FT,work\n";
    paste(&mut b, "Rolls", rolls);
    let types = "designation;kind;rows;d;D;B;spacer width, new, S1;spacer width, new, S2;spacer width, new, S3;rework level\n\
                 N4T-480/620-336;four-row tapered;4;480;620;336;24,0;30,0;24,0;0,600\n";
    paste(&mut b, "Bearing types", types);
    let chock_types = "chock type,main seat,shims,fits\nWO,N4T-480/620-336,under the flange,W-T-O\nWD,N4T-480/620-336,between,W-T-D\n";
    paste(&mut b, "Chock types", chock_types);
    let mut chocks = String::from("chock,type\n");
    for i in 1..=5 {
        writeln!(chocks, "WO-{i},WO\nWD-{i},WD").unwrap();
    }
    paste(&mut b, "Chocks", &chocks);
    let mut serials = String::from("serial,type\n");
    for i in 1..=10 {
        writeln!(serials, "TH-{i:02},N4T-480/620-336").unwrap();
    }
    paste(&mut b, "Bearings", &serials);
    let gauges = "gauge;kind;measures;resolution [mm];U [mm];due\nBG-1;bore gauge;bore;0,001;0,010;2027-03-01\n";
    paste(&mut b, "Gauges", gauges);
    paste(&mut b, "Seal batches", "batch,seals\nSB-1,neck seals\n");
    paste(&mut b, "Greases", "grease,name\nG-1,lithium complex\n");
    paste(
        &mut b,
        "People",
        "name,role\nFitter 7,fitter\nWitness,storekeeper\n",
    );
    b
}

#[test]
fn a_new_plant_is_set_up_and_ten_bearings_live_their_whole_lives_by_keyboard() {
    let mut b = plant();
    assert_eq!(
        (
            count(&mut b, "stand"),
            count(&mut b, "bearing"),
            count(&mut b, "chock")
        ),
        (2, 10, 10)
    );
    let mut act = |letter: &str, texts: &[&str]| {
        tell(&mut b, letter, texts);
        assert!(!has(&b, "As it stands"), "{letter} {texts:?} does not go");
        save(&mut b);
        assert!(has(&b, "Signed:"), "{letter} {texts:?} was not signed");
    };
    // Each takes seconds of window: all ten with CHOCKBOOK_LONG=1, else the first two.
    let pairs = if std::env::var_os("CHOCKBOOK_LONG").is_some() {
        5
    } else {
        1
    };
    for pair in 1..=pairs {
        let (o, d) = (
            format!("TH-{:02}", pair * 2 - 1),
            format!("TH-{:02}", pair * 2),
        );
        let (chock_o, chock_d, roll) = (
            format!("WO-{pair}"),
            format!("WD-{pair}"),
            format!("R-10{pair}"),
        );
        let stand = if pair % 2 == 0 { "F2" } else { "F1" };
        let (position_o, position_d) = (format!("{stand}-W-T-O"), format!("{stand}-W-T-D"));
        for (bearing, chock) in [(&o, &chock_o), (&d, &chock_d)] {
            act(
                "r",
                &[
                    bearing, "0.300", "0.300", "0.300", "", "", "", "C-1", "", "",
                ],
            );
            act("i", &[bearing, "crate dry", ">1", "", ""]);
            act("p", &[bearing, chock, "", ">1", "", ""]);
        }
        act("m", &[&chock_o, &roll, &position_o, "", ""]);
        act("m", &[&chock_d, &roll, &position_d, "", ""]);
        // Roll, chocks and positions are known from where they are: the caret stands at the time it went in.
        let from = format!("2026-10-2{pair} 06:00");
        let to = format!("2026-10-2{pair} 11:00");
        act("c", &[&chock_o, &from, &to, "5", "4100", "", "", "", ""]);
        for (bearing, chock) in [(&o, &chock_o), (&d, &chock_d)] {
            act("o", &[chock, ""]);
            act("t", &[bearing, "looked at", ""]);
            act("h", &[bearing, "brown tint", ""]);
            act("l", &[bearing, "wiped off", ""]);
            act("s", &[bearing, "North Yard", "photos", ""]);
            act("b", &[bearing, "0.310", "0.305", "0.310", "NY-1", "", ""]);
            act("3", &[bearing, "3100", "reconditioning", ""]);
            act("x", &[bearing, "axial crack", "Witness", "2222", ""]);
        }
    }
    let (states, places, conflicts) = ask(&mut b, |logbook| {
        let conn = logbook.connection();
        let states: Vec<_> = bearings(conn)
            .unwrap()
            .into_iter()
            .map(|b| (b.state, b.total_run_s))
            .collect();
        let places: Vec<_> = chocks(conn).unwrap().into_iter().map(|c| c.place).collect();
        let filter = store::query::JournalFilter::default();
        let lines = journal(conn, &filter, store::entry::Show::default()).unwrap();
        let conflicts = lines
            .iter()
            .filter(|line| !line.conflict.is_empty())
            .count();
        (states, places, conflicts)
    });
    let scrapped = states
        .iter()
        .filter(|(state, _)| *state == BearingState::Scrapped);
    assert_eq!(scrapped.count(), pairs * 2, "{states:?}");
    assert!(places.iter().all(|place| place == "shop"), "{places:?}");
    assert_eq!(conflicts, 0);
}

#[test]
fn a_bad_paste_loses_nothing_and_the_good_rows_may_go_first() {
    let mut b = setup("Rolls");
    b.h.event(Event::Paste("roll,line,role\nR-1,FT,work\n".into()));
    until(&mut b, "1 row, 1 not right");
    assert!(has(&b, "FT is no line of the register"));
    press(&mut b, Modifiers::NONE, Key::Escape);
    b.settle();
    assert!(has(&b, "Pasted and not saved"), "it is kept");
    press(&mut b, Modifiers::COMMAND, Key::PageUp);
    press(&mut b, Modifiers::COMMAND, Key::PageUp);
    press(&mut b, Modifiers::COMMAND, Key::PageUp);
    b.settle();
    paste(&mut b, "Lines", "line,name\nFT,hot strip\n");
    turn_to_pasted(&mut b);
    b.click("Go on with the table");
    b.h.event(Event::Paste("R-2,FT,top\nR-4,FT,backup\n".into()));
    until(&mut b, "3 rows, 1 not right");
    b.click("Save only the 2 good rows");
    until(&mut b, "1 row, 1 not right");
    let line = b.h.query_all_by_label_contains("Line 2: ").next().unwrap();
    line.click();
    b.settle();
    press(&mut b, Modifiers::COMMAND, Key::A);
    b.h.event(Event::Text("R-3,FT,intermediate".into()));
    b.h.run_steps(2);
    press(&mut b, Modifiers::NONE, Key::Enter);
    until(&mut b, "all right");
    b.click("Save 1 roll");
    until(&mut b, "What was pasted is in the register");
    assert_eq!(count(&mut b, "roll"), 3);
}

fn turn_to_pasted(b: &mut Bench) {
    for _ in 0..16 {
        if has(b, "Pasted and not saved") {
            return;
        }
        press(b, Modifiers::COMMAND, Key::PageDown);
        b.settle();
    }
    panic!("the table is gone");
}

#[test]
fn ten_thousand_rows_go_in_at_once_and_a_stop_writes_none() {
    let mut b = setup("Lines");
    paste(&mut b, "Lines", "line,name\nFT,hot strip\n");
    let mut table = String::from("roll\tline\trole\r\n");
    for i in 0..10_000 {
        write!(table, "R-{i}\tFT\twork\r\n").unwrap();
    }
    let begun = std::time::Instant::now();
    paste(&mut b, "Rolls", &table);
    eprintln!("10,000 rows: {:?}", begun.elapsed());
    assert_eq!(count(&mut b, "roll"), 10_000);
    let stopped = ask_mut(&mut b);
    assert!(stopped.contains("stopped"), "{stopped}");
    assert_eq!(
        count(&mut b, "roll"),
        10_000,
        "nothing of a stopped table is written"
    );
}

/// Appends two hundred more and stops half way.
fn ask_mut(b: &mut Bench) -> String {
    let answer = b.h.state().desk().unwrap().worker().write(|logbook| {
        let signer = logbook.sign_in("Roll-shop Engineer", "2222").unwrap();
        let line = store::sheet::thing_by_code(logbook.connection(), "line", "FT")
            .unwrap()
            .unwrap()
            .0;
        let line = logbook.name(line).unwrap();
        let now = logbook.now();
        let roll = |i: usize| store::NewEvent {
            at: now,
            payload: store::payload::Payload::RegisterChange(store::payload::RegisterChange {
                thing: None,
                record: store::payload::Record::Roll(store::payload::Roll {
                    code: format!("X-{i}"),
                    line: line.clone(),
                    role: "W".into(),
                }),
                reason: String::new(),
            }),
        };
        let events: Vec<_> = (0..200).map(roll).collect();
        let done = logbook.append_told(&signer, &events, &mut |done, _| done < 100);
        done.unwrap_err().to_string()
    });
    b.settle();
    match answer.look() {
        crate::win::worker::Progress::Here(said) => said,
        _ => panic!("no answer"),
    }
}
