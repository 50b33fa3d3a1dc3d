//! A bearing from receipt to scrap, and a chock at work, told by keyboard in the setup.

use store::query::{BearingState, JournalFilter, bearings, journal, today};

use super::tests::{add, ask, go, has, save, setup, type_on, with_type};
use crate::win::tests::Bench;

/// A bearing and a chock of one type, registered.
pub(super) fn shop() -> Bench {
    let mut b = setup("Lines");
    add(&mut b, "line", &["FT", "hot strip"]);
    with_type(&mut b);
    go(&mut b, "Chock types");
    add(
        &mut b,
        "chock type",
        &["WT", "N4T-480/620-336", "", "", ">1", "", "W-T-O"],
    );
    go(&mut b, "Chocks");
    add(&mut b, "chock", &["WC-01", "WT"]);
    go(&mut b, "Bearings");
    add(&mut b, "bearing", &["TH-4T-001", "N4T-480/620-336", "", ""]);
    b
}

/// Tells one thing that happened to what is open.
fn tell(b: &mut Bench, act: &str, texts: &[&str]) {
    b.click(act);
    type_on(b, texts);
    save(b);
    assert!(!has(b, "Not saved"), "{act} was refused");
    assert!(!has(b, "not right yet"), "{act} is not whole");
}

fn held(b: &mut Bench) -> Option<String> {
    ask(b, |logbook| {
        bearings(logbook.connection()).unwrap().remove(0).held
    })
}

#[test]
fn a_bearing_goes_from_receipt_to_scrap_by_keyboard_alone() {
    let mut b = shop();
    b.click("Open TH-4T-001");
    tell(
        &mut b,
        "Received",
        &[
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
    tell(
        &mut b,
        "Inspected",
        &["packing torn", ">2", "C-12", "2026-10-11"],
    );
    assert_eq!(
        held(&mut b).as_deref(),
        Some("not accepted at receipt: packing torn; claim: C-12")
    );
    tell(&mut b, "Inspected", &["cleaned", ">1", "", "2026-10-12"]);
    assert_eq!(held(&mut b), None);
    tell(
        &mut b,
        "Put into chock",
        &["WC-01", "", ">1", "", "2026-10-13"],
    );
    tell(&mut b, "Turned", &[">3", "least hours", "2026-10-13"]);
    tell(&mut b, "Taken out", &["brown tint seen", "2026-10-14"]);
    tell(
        &mut b,
        "Reground",
        &[
            "23.10",
            "23.05",
            "23.12",
            "0.30",
            "0.30",
            "0.29",
            "ordered by the engineer",
            "2026-10-14",
        ],
    );
    tell(&mut b, "Hold", &["brown tint on a rib", "2026-10-15"]);
    assert_eq!(held(&mut b).as_deref(), Some("brown tint on a rib"));
    tell(
        &mut b,
        "Deviation",
        &["DV-09", "light tint, outside repair first", "2026-10-15"],
    );
    tell(&mut b, "Sent out", &["North Yard", "photos", "2026-10-16"]);
    tell(
        &mut b,
        "Came back",
        &["0.310", "0.305", "0.310", "NY-1", "", "2026-10-17"],
    );
    tell(
        &mut b,
        "Release",
        &["reconditioned and measured", "2026-10-17"],
    );
    tell(&mut b, "Cost", &["3100", "reconditioning", "2026-10-17"]);

    b.click("Scrap for good");
    type_on(&mut b, &["axial crack", "Foreman A", "2222", "2026-10-18"]);
    save(&mut b);
    let (state, kinds) = ask(&mut b, |logbook| {
        let conn = logbook.connection();
        let line = bearings(conn).unwrap().remove(0);
        let filter = JournalFilter {
            thing: Some(line.no),
            ..JournalFilter::default()
        };
        let events = journal(conn, &filter, store::entry::Show::default()).unwrap();
        let kinds: Vec<String> = events.into_iter().map(|e| e.kind).collect();
        (line.state, kinds)
    });
    assert_eq!(state, BearingState::Scrapped);
    assert_eq!(kinds.first().map(String::as_str), Some("scrapped"));
    assert_eq!(
        kinds
            .iter()
            .filter(|k| *k == "inspected_at_receipt")
            .count(),
        2
    );
}

#[test]
fn what_a_chock_shows_at_work_and_an_extension_are_told_and_stand_on_today() {
    let mut b = shop();
    b.click("Open TH-4T-001");
    tell(
        &mut b,
        "Received",
        &[
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
    tell(
        &mut b,
        "Put into chock",
        &["WC-01", "", ">1", "", "2026-10-11"],
    );
    go(&mut b, "Chocks");
    b.click("Open WC-01");
    tell(
        &mut b,
        "Condition",
        &[">1", "96", "own baseline 58", ">1", "2026-10-20"],
    );
    tell(
        &mut b,
        "Extension",
        &["2026-11-20", "watched each shift", "2026-10-21"],
    );
    let early = ask(&mut b, |logbook| {
        let now = logbook.now();
        let page = today(logbook.connection(), now, 0, store::entry::Show::default()).unwrap();
        page.early
            .into_iter()
            .map(|e| (e.chock.1, e.why))
            .collect::<Vec<_>>()
    });
    assert_eq!(
        early,
        [(
            "WC-01".to_owned(),
            "temperature: own baseline 58".to_owned()
        )]
    );
    go(&mut b, "Bearings");
    b.click("Open TH-4T-001");
    tell(&mut b, "Taken out", &["cracked", "2026-10-22"]);
    b.click("Scrap for good");
    type_on(&mut b, &["axial crack", "Foreman A", "9999", "2026-10-23"]);
    save(&mut b);
    assert!(has(&b, "Not saved"), "a wrong PIN scraps nothing");
}

#[test]
fn a_certificate_is_kept_with_its_gauge_and_what_was_found_out_is_told() {
    let mut b = setup("Gauges");
    add(
        &mut b,
        "gauge",
        &[
            "BG-03",
            "bore gauge",
            ">1",
            "600-800",
            "0.001",
            "0.010",
            "C-1",
            "2027-01-01",
            "",
        ],
    );
    let folder = tempfile::tempdir().unwrap();
    let paper = folder.path().join("C-1.pdf");
    std::fs::write(&paper, b"%PDF-1.7 certificate").unwrap();
    b.click("Open BG-03");
    let path = paper.display().to_string();
    tell(&mut b, "Document", &[">2", &path, "calibration", ""]);
    tell(&mut b, "Found out", &["-0.012", "reads small on SR-02", ""]);
    let (documents, faults) = ask(&mut b, |logbook| {
        let conn = logbook.connection();
        let gauge = store::sheet::thing_by_code(conn, "gauge", "BG-03")
            .unwrap()
            .unwrap()
            .0;
        let documents = store::query::documents_of(conn, gauge).unwrap();
        let facts = store::sheet::Facts::load(conn, &store::draft::Fields::new(), logbook.now());
        (documents, facts.unwrap().gauges["BG-03"].clone())
    });
    assert_eq!(documents.len(), 1);
    assert!(documents[0].is_here && documents[0].name == "C-1.pdf");
    assert!(faults.is_overdue && faults.doubt.starts_with("found to read wrongly"));
    b.click("Document");
    type_on(&mut b, &[">2", "/nowhere/at/all.pdf", "", ""]);
    save(&mut b);
    assert!(has(&b, "Not saved"), "a file that is not there is named");
}

/// One release ends every hold, so that its form shows them all and asks; what may be thousands is asked about too.
#[test]
fn a_release_shows_every_hold_and_money_with_two_readings_is_not_taken() {
    let mut b = shop();
    b.click("Open TH-4T-001");
    tell(
        &mut b,
        "Received",
        &[
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
    tell(&mut b, "Hold", &["brown tint on a rib", "2026-10-15"]);
    tell(&mut b, "Hold", &["cage bent", "2026-10-16"]);
    assert_eq!(
        held(&mut b).as_deref(),
        Some("cage bent; brown tint on a rib")
    );
    b.click("Release");
    b.settle();
    for words in [
        "one release ends them all",
        "brown tint on a rib",
        "since 2026-10-16, signed by",
    ] {
        assert!(has(&b, words), "{words}");
    }
    type_on(&mut b, &["looked at, both are stains", "2026-10-18"]);
    b.settle();
    assert!(has(&b, "This ends all 2 holds of TH-4T-001"));
    save(&mut b);
    assert_eq!(held(&mut b), None);
    b.click("Cost");
    type_on(&mut b, &["11,400", "new set", "2026-10-17"]);
    save(&mut b);
    assert!(has(&b, "may be 11400 or 11,4"), "which is meant?");
}
