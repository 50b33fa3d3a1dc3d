//! A logbook of one bearing: what Stands, Today and its own page say after none, one, two and three teardowns, and the
//! job for the mill that is raised at its place.
#![allow(clippy::unwrap_used)]

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use store::Logbook;
use store::draft::{DraftField, Fields, Source};
use store::entry::LengthUnit;
use store::query::find_things;
use store::sheet::{SignTeardown, sign};

use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::tests::Bench;

const REGISTER: [&str; 15] = [
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"line","code":"FT","name":"train"}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"stand","code":"F3","line":"FT","build":"four-high"}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"position","code":"F3-W-T-O","stand":"F3","role":"W","level":"T","side":"O","load_angle_deg":0}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"position","code":"F3-W-T-D","stand":"F3","role":"W","level":"T","side":"D","load_angle_deg":0}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"roll","code":"R-1","line":"FT","role":"W"}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"bearing_type","code":"N4T-480","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"outside_mm":620,"clearance_min_mm":[0.27,0.27,0.27],"clearance_max_mm":[0.33,0.33,0.33],"rework_mm":[0.6,0.6,0.6],"spacer_mm":[24,30,24],"seating_spread_mm":0.05,"rework_factor":2}}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"chock_type","code":"top O","seats":{"main":"N4T-480"},"shim_place":"between","fits":["W-T-O"]}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"chock_type","code":"top D","seats":{"main":"N4T-480"},"shim_place":"between","fits":["W-T-D"]}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"chock","code":"WC-50","chock_type":"top O"}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"chock","code":"WC-51","chock_type":"top D"}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"bearing","serial":"TH-4T-050","bearing_type":"N4T-480"}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"gauge","code":"GB-01","gauge_kind":"gap blocks","measures":"gap","resolution_um":1,"expanded_uncertainty_um":12,"certificate":"C-1","due":"2027-01-20"}"#,
    r#"{"kind":"register_change","at":"2026-01-05T06:00","entity":"gauge","code":"HG-02","gauge_kind":"height gauge","measures":"width","resolution_um":1,"expanded_uncertainty_um":9,"certificate":"C-2","due":"2027-01-20"}"#,
    r#"{"kind":"received","at":"2026-01-06T06:00","bearing":"TH-4T-050","as_set_mm":[0.3,0.3,0.3]}"#,
    r#"{"kind":"assembled","at":"2026-01-07T06:00","bearing":"TH-4T-050","chock":"WC-50","zone":1}"#,
];

/// What is typed on the sheet of that time, with the end play of rows 1 and 2, mm.
fn fields(at: &str, end_play: f64) -> Fields {
    let mut fields = Fields::new();
    let mut put = |path: &str, text: &str| {
        let (text, source) = (text.into(), Source::Typed);
        fields.insert(path.to_owned(), DraftField { text, source });
    };
    for (path, text) in [
        ("identify.bearing", "TH-4T-050"),
        ("identify.chock", "WC-50"),
        ("identify.at", at),
        ("found.seal", "sound"),
        ("found.grease", "normal"),
        ("found.water", "none"),
        ("found.rotation", "free"),
        ("found.bolts", "tight"),
        ("clean.state", "used"),
        ("clean.agent", "solvent"),
        ("clean.preserved", "oil"),
        ("findings.none", "yes"),
        ("findings.cracks", "dye_clear"),
        ("skip.found", "marks of the zones worn off"),
        ("shim.found", "1.20"),
        ("clearance.gauge_gap", "GB-01"),
        ("clearance.gauge_width", "HG-02"),
        ("skip.bore", "sleeved last week"),
        ("skip.neck", "roll is on the grinder"),
        ("skip.grease", "oil lubricated"),
        ("parts.order", "as_marked"),
        ("seals.done", "kept"),
        ("zone.rings", "alike"),
        ("skip.cover", "shims as they were"),
        ("skip.bolts", "closed by the next shift"),
        ("protect.with", "textile"),
        ("decision.choice", "return_to_service"),
        ("decision.reason", "seats measured last month"),
        ("zone.choice", "II"),
        ("zone.reason", "mark worn off"),
        ("reassemble.chock", "WC-50"),
    ] {
        put(path, text);
    }
    for (pair, spacer) in [(1, 24.0), (2, 30.0), (3, 24.0)] {
        put(&format!("clearance.spacer.{pair}"), &spacer.to_string());
        for degrees in [0, 90, 180, 270] {
            let gap = format!("{:.3}", spacer - end_play);
            put(&format!("clearance.gap.{pair}.{degrees}"), &gap);
        }
    }
    fields
}

fn log(logbook: &mut Logbook, line: &str) {
    let engineer = logbook.sign_in("Roll-shop Engineer", "2222").unwrap();
    let store::line::Line::Event(event) = store::line::read(logbook, line).unwrap() else {
        panic!("{line} is no event");
    };
    logbook.append(Some(&engineer), &[event]).unwrap();
}

/// A campaign of 230 h and the teardown after it.
fn tear_down(logbook: &mut Logbook, reading: (u32, f64)) {
    tear_down_and(logbook, reading, "return_to_service");
}

/// The same with what is decided.
fn tear_down_and(logbook: &mut Logbook, (month, end_play): (u32, f64), decided: &str) {
    log(
        logbook,
        &format!(
            r#"{{"kind":"campaign","at":"2026-{month:02}-20T06:00","roll":"R-1","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-50","chock_d":"WC-51","from":"2026-{month:02}-10T06:00","hours":230,"tonnes":40000}}"#
        ),
    );
    let engineer = logbook.sign_in("Roll-shop Engineer", "2222").unwrap();
    let mut fields = fields(&format!("2026-{month:02}-22 09:30"), end_play);
    if let Some(choice) = fields.get_mut("decision.choice") {
        choice.text = decided.into();
    }
    let sheet = SignTeardown {
        fields: &fields,
        draft: None,
        at: None,
        entered: None,
        signer: &engineer,
        engineer: Some(&engineer),
        unit: LengthUnit::Millimetre,
        wear: None,
    };
    sign(logbook, &sheet).unwrap();
}

#[test]
fn one_bearing_is_told_honestly_after_none_to_three_teardowns_and_a_job_is_raised() {
    let mut b = Bench::with_people();
    let worker = |b: &mut Bench, work: Box<dyn FnOnce(&mut Logbook) + Send>| {
        let _written = b.h.state().desk().unwrap().worker().write(work);
        b.settle();
    };
    worker(
        &mut b,
        Box::new(|logbook| REGISTER.iter().for_each(|line| log(logbook, line))),
    );
    b.command(Command::Go(Route::Stands));
    assert!(b.has("Nothing has been measured twice yet"));
    assert!(b.has("No clearance was read twice in the last 12 months"));
    let bearing = b.ask(|logbook| {
        let things = find_things(logbook.connection()).unwrap();
        things.iter().find(|t| t.code == "TH-4T-050").unwrap().no
    });
    for (count, sheet) in [(3, 0.32), (5, 0.335), (7, 0.352)].into_iter().enumerate() {
        worker(&mut b, Box::new(move |logbook| tear_down(logbook, sheet)));
        b.command(Command::Go(Route::Stands));
        let stays = crate::print::counted(count + 1, "stay");
        assert!(b.has(&format!("F3: {stays}, rows 1\u{2013}2")), "{count}");
        assert!(
            b.has("No stand, no row pair and no bearing differs"),
            "{count}"
        );
        b.command(Command::Go(Route::Bearing(bearing)));
        assert!(
            b.has("Too few bearings have been measured: how much they differ is assumed."),
            "{count}"
        );
        assert!(b.has("9 times in 10"), "{count}");
    }
    b.command(Command::Go(Route::Stands));
    assert!(b.has("Press a stand for its places, and a place"));
    let row = |b: &Bench, start: &str| {
        let mut all = b.h.query_all_by_label_contains(start);
        all.next().unwrap().accesskit_node().label().unwrap()
    };
    let stand = row(&b, "F3: 3 stays");
    b.click(&stand);
    let place = row(&b, "F3-W-T-O: 3 stays");
    b.click(&place);
    assert!(b.has("Mean of 3 stays in 12 months"));
    assert!(b.has("it differs from the other places by no more than chance"));
    assert!(b.has("0 of 3"));
    b.click("Raise a mill job");
    assert!(b.has("A fitter, a foreman or the engineer signs it: sign in."));
    b.sign_in("Roll-shop Engineer", "2222");
    // By keyboard from here on: Tab leads from the words to the button.
    b.click("What is asked of the mill");
    b.type_in("look at the keeper plate");
    b.key(Modifiers::NONE, Key::Tab);
    b.key(Modifiers::NONE, Key::Enter);
    assert!(b.has("look at the keeper plate"));
    assert!(b.has("Tell the job as done"));
    b.command(Command::Go(Route::Today));
    assert!(b.has("Asked of the mill at F3-W-T-O: look at the keeper plate."));
    // The note for the next shift, by hand and by keyboard.
    b.click("Note for the next shift");
    b.type_in("R-1 waits for its neck check");
    b.key(Modifiers::NONE, Key::Tab);
    b.key(Modifiers::NONE, Key::Enter);
    assert!(b.has("Roll-shop Engineer, 2026-10-30 14:00."));
    b.key(Modifiers::CTRL, Key::P);
    let note = b.ask(|logbook| store::note::shift_note(logbook.connection()).unwrap());
    assert_eq!(note.unwrap().text, "R-1 waits for its neck check");
}

#[test]
fn a_growth_that_cannot_be_is_asked_about_and_not_said_to_be_unmeasured() {
    let mut b = Bench::with_people();
    let _written = b.h.state().desk().unwrap().worker().write(|logbook| {
        for line in REGISTER {
            log(logbook, line);
        }
        // Set at 0.300: no wear makes 0.050 of it.
        tear_down_and(logbook, (3, 0.05), "hold_for_engineer");
    });
    b.settle();
    b.command(Command::Go(Route::Stands));
    assert!(b.has("No growth that was measured fits what is expected of its type"));
    assert!(b.has("3 readings of TH-4T-050 do not fit its others"));
    assert!(b.has("Open the entry of TH-4T-050, rows"));
    assert!(b.has("No growth counts so far"));
    assert!(!b.has("Nothing has been measured twice yet"));
    b.command(Command::Go(Route::Today));
    assert!(b.has("TH-4T-050: 3 readings do not fit its others"));
    let bearing = b.ask(|logbook| {
        let things = find_things(logbook.connection()).unwrap();
        things.iter().find(|t| t.code == "TH-4T-050").unwrap().no
    });
    b.command(Command::Go(Route::Bearing(bearing)));
    assert!(b.has("What was read of this bearing does not fit what is expected"));
}
