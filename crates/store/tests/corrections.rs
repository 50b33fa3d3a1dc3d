//! What was signed and turns out wrong: amended, withdrawn, opened again, confirmed by a second person. And the two
//! halves of a cylindrical bearing.
#![allow(clippy::unwrap_used)]

mod common;

use std::collections::BTreeMap;

use common::sheet::{sign_again, with_sheet};
use common::{Shop, dump, findings, hands, log_as, number, strings, verify};
use store::entry::Show;
use store::merge::merge;
use store::payload::{Payload, Role};
use store::query::{
    Amended, JournalFilter, Tone, amended_places, journal, sheet_detail, sheet_marks,
};
use store::sheet::amend;
use store::{Logbook, NewEvent, Signed, ThingNo};

fn no_of(signed: &Signed) -> String {
    signed.id.to_string()
}

fn refused(result: store::Result<Signed>) -> String {
    result.unwrap_err().to_string()
}

#[test]
fn a_note_is_amended_and_both_texts_stay() {
    let mut shop = Shop::new();
    let hold = shop
        .log(r#"{"kind":"hold","at":"2026-01-10","thing":"TH-4T-001","reason":"brwon tint"}"#)
        .unwrap();
    let id = no_of(&hold);
    let text = format!(
        r#"{{"kind":"amendment","event":"{id}","changes":[{{"path":"/reason","old":"brwon tint","new":"brown tint","reason":"misspelt"}}]}}"#
    );
    shop.log(&text).unwrap();
    let conn = shop.logbook.connection();
    assert_eq!(strings(conn, "SELECT reason FROM hold"), ["brown tint"]);
    let places = amended_places(conn, hold.no, Show::default()).unwrap();
    assert_eq!(places.len(), 1);
    assert_eq!(places[0].old, "brwon tint");
    assert_eq!(places[0].new, "brown tint");
    assert_eq!(places[0].by, "Engineer");
    let lines = journal(conn, &JournalFilter::default(), Show::default()).unwrap();
    let line = lines.iter().find(|l| l.no == hold.no).unwrap();
    assert_eq!(line.amended, Amended::Changed);
    let struck: Vec<&str> = line
        .pieces
        .iter()
        .filter(|p| p.tone == Tone::Struck)
        .map(|p| p.text.as_str())
        .collect();
    assert_eq!(struck, ["brwon tint"]);
    assert!(line.text().contains("brown tint"));
    // What stands there now is what is amended next.
    let again = refused(shop.log(&text));
    assert!(again.contains("/reason"), "{again}");
    let before = shop.dump();
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(shop.dump(), before);
}

#[test]
fn a_withdrawn_move_never_happened_but_stays_on_the_line() {
    let mut shop = Shop::new();
    shop.log(
        r#"{"kind":"received","at":"2026-01-06","bearing":"TH-4T-001","as_set_mm":[0.3,0.3,0.3]}"#,
    )
    .unwrap();
    let put = shop
        .log(r#"{"kind":"assembled","at":"2026-01-07","bearing":"TH-4T-001","chock":"WC-17","zone":1}"#)
        .unwrap();
    let text = format!(
        r#"{{"kind":"amendment","event":"{}","withdrawn_because":"that was WC-18"}}"#,
        no_of(&put)
    );
    let withdrawn = shop.log(&text).unwrap();
    let conn = shop.logbook.connection();
    assert_eq!(number(conn, "SELECT count(*) FROM stay"), 0);
    let sql = format!(
        "SELECT t.code FROM thing_event te JOIN thing t ON t.no = te.thing WHERE te.event = {} ORDER BY 1",
        withdrawn.no
    );
    assert_eq!(strings(conn, &sql), ["TH-4T-001", "WC-17"]);
    let lines = journal(conn, &JournalFilter::default(), Show::default()).unwrap();
    let line = lines.iter().find(|l| l.no == put.no).unwrap();
    assert_eq!(line.amended, Amended::Withdrawn);
    assert!(refused(shop.log(&text)).contains("withdrawn before"));
    // The seat is free again, and the truth can be entered for the day it happened.
    shop.log(r#"{"kind":"assembled","at":"2026-01-07T08:00","bearing":"TH-4T-001","chock":"WC-18","zone":1}"#)
        .unwrap();
    let (_dir, path, _) = shop.close();
    let report = verify(&path, None);
    assert_eq!(findings(&report), "");
}

#[test]
fn an_amendment_may_not_make_the_event_untrue_and_some_are_never_amended() {
    let mut shop = Shop::new();
    shop.work();
    let conn = shop.logbook.connection();
    let name = |kind: &str, which: i64| {
        let sql = format!(
            "SELECT lower(hex(substr(origin, 1, 4))) || ':' || seq FROM event WHERE kind = '{kind}' ORDER BY no LIMIT 1 OFFSET {which}"
        );
        strings(conn, &sql)[0].clone()
    };
    let put = name("assembled", 1);
    let registered = name("register_change", 3);
    let seat = number(
        conn,
        "SELECT payload ->> 'chock' FROM event WHERE kind = 'assembled' ORDER BY no LIMIT 1",
    );
    let other = number(
        conn,
        "SELECT payload ->> 'chock' FROM event WHERE kind = 'assembled' ORDER BY no DESC LIMIT 1",
    );
    let before = shop.dump();
    for (line, why) in [
        (
            format!(
                r#"{{"kind":"amendment","event":"{put}","changes":[{{"path":"/chock","old":{other},"new":{seat},"reason":"x"}}]}}"#
            ),
            "WC-17",
        ),
        (
            format!(
                r#"{{"kind":"amendment","event":"{put}","changes":[{{"path":"/zone","old":2,"new":9,"reason":"x"}}]}}"#
            ),
            "load zone",
        ),
        (
            format!(
                r#"{{"kind":"amendment","event":"{put}","changes":[{{"path":"/zone","old":2,"new":3,"reason":" "}}]}}"#
            ),
            "say how that is known",
        ),
        (
            format!(
                r#"{{"kind":"amendment","event":"{put}","changes":[{{"path":"/zone","old":2,"new":"two","reason":"x"}}]}}"#
            ),
            "invalid type",
        ),
        (
            format!(
                r#"{{"kind":"amendment","event":"{put}","changes":[{{"path":"/kind","old":"assembled","new":"hold","reason":"x"}}]}}"#
            ),
            "cannot be amended",
        ),
        (
            format!(r#"{{"kind":"amendment","event":"{put}","changes":[]}}"#),
            "changes something",
        ),
        (
            format!(
                r#"{{"kind":"amendment","event":"{put}","at":"2026-01-01","withdrawn_because":"x"}}"#
            ),
            "comes after",
        ),
        (
            format!(r#"{{"kind":"amendment","event":"{registered}","withdrawn_because":"x"}}"#),
            "Setup",
        ),
    ] {
        let said = refused(shop.log(&line));
        assert!(said.contains(why), "{line}: {said}");
    }
    assert_eq!(shop.dump(), before, "nothing is written");
    // Who signed an event amends it; others do not.
    let fitter = shop.person("Fitter 1", Role::Fitter);
    let line = format!(r#"{{"kind":"amendment","event":"{put}","withdrawn_because":"x"}}"#);
    let said = refused(log_as(&mut shop.logbook, &fitter, &line));
    assert!(said.contains("whoever signed it"), "{said}");
    let own = log_as(
        &mut shop.logbook,
        &fitter,
        r#"{"kind":"condition_reading","chock":"WC-41","what":"noise","text":"hums"}"#,
    )
    .unwrap();
    let line = format!(
        r#"{{"kind":"amendment","event":"{}","withdrawn_because":"the fan hummed"}}"#,
        no_of(&own)
    );
    log_as(&mut shop.logbook, &fitter, &line).unwrap();
    assert_eq!(
        number(shop.logbook.connection(), "SELECT count(*) FROM condition"),
        0
    );
}

#[test]
fn an_import_is_withdrawn_with_all_its_campaigns() {
    let mut shop = Shop::new();
    shop.work();
    let batch = shop
        .log(&format!(
            r#"{{"kind":"import_batch","name":"January","file":"jan.csv","file_hash":"{}","rows":2}}"#,
            "0f".repeat(32)
        ))
        .unwrap();
    for day in [10, 11] {
        shop.log(&format!(
            r#"{{"kind":"campaign","at":"2026-01-{day}T12:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-01-{day}T06:00","hours":5,"tonnes":4000,"batch":"{}"}}"#,
            no_of(&batch)
        ))
        .unwrap();
    }
    let runs = "SELECT count(*) FROM run";
    assert_eq!(number(shop.logbook.connection(), runs), 6);
    shop.log(&format!(
        r#"{{"kind":"amendment","event":"{}","withdrawn_because":"the table was of another line"}}"#,
        no_of(&batch)
    ))
    .unwrap();
    assert_eq!(number(shop.logbook.connection(), runs), 2);
    let before = shop.dump();
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(shop.dump(), before);
}

/// A late move after an amendment derives the moves anew; what was amended stays amended.
#[test]
fn a_late_entry_keeps_what_was_amended() {
    let mut shop = Shop::new();
    shop.work();
    let hold = shop
        .log(r#"{"kind":"hold","at":"2026-01-12","thing":"TH-4T-003","reason":"stain"}"#)
        .unwrap();
    shop.log(&format!(
        r#"{{"kind":"amendment","event":"{}","withdrawn_because":"another bearing"}}"#,
        no_of(&hold)
    ))
    .unwrap();
    shop.log(r#"{"kind":"received","at":"2026-01-06T12:00","bearing":"TH-4T-003","as_set_mm":[0.3,0.3,0.3]}"#)
        .unwrap();
    let before = shop.dump();
    assert_eq!(
        number(shop.logbook.connection(), "SELECT count(*) FROM hold"),
        0
    );
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(shop.dump(), before);
}

#[test]
fn two_copies_that_amend_one_place_are_a_conflict_in_both() {
    let mut shop = Shop::new();
    shop.work();
    let hold = shop
        .log(r#"{"kind":"hold","at":"2026-01-12","thing":"TH-4T-003","reason":"stain"}"#)
        .unwrap();
    let id = no_of(&hold);
    let path = shop.dir.path().join("north.chockbook");
    shop.logbook.write_compact(&path).unwrap();
    let mut other = Logbook::open(&path, hands(&shop.clock, 100)).unwrap();
    let engineer = other.sign_in("Engineer", common::PIN).unwrap();
    let change = |new: &str| {
        format!(
            r#"{{"kind":"amendment","event":"{id}","changes":[{{"path":"/reason","old":"stain","new":"{new}","reason":"seen again"}}]}}"#
        )
    };
    shop.log(&change("rust")).unwrap();
    shop.clock.forward_ms(60_000);
    log_as(&mut other, &engineer, &change("brown tint")).unwrap();
    merge(&mut shop.logbook, &path, &mut |_, _| true).unwrap();
    merge(&mut other, &shop.path, &mut |_, _| true).unwrap();
    for logbook in [&shop.logbook, &other] {
        let conn = logbook.connection();
        assert_eq!(strings(conn, "SELECT reason FROM hold"), ["rust"]);
        let open = strings(
            conn,
            "SELECT what FROM conflict WHERE resolved_event IS NULL",
        );
        assert_eq!(
            open,
            ["what it amends at /reason was amended before, by another copy of the logbook"]
        );
    }
}

fn edits(gap: &str) -> BTreeMap<String, String> {
    [0, 90, 180, 270]
        .map(|degrees| (format!("clearance.gap.2.{degrees}"), gap.to_owned()))
        .into()
}

/// 30 - 29.38 = 0.62 mm, over the rework level of 0.60: what was a pass is none.
#[test]
fn readings_of_a_sheet_are_amended_and_all_that_follows_is_judged_anew() {
    let (mut shop, _, sheet) = with_sheet();
    let before = sheet_detail(shop.logbook.connection(), sheet.no, Show::default())
        .unwrap()
        .unwrap();
    assert_eq!(before.result("end_play_nm", 2), Some(320_000));
    let amendment = amend(
        &shop.logbook,
        ThingNo(sheet.no),
        &edits("29.38"),
        "digits exchanged",
    )
    .unwrap();
    assert_eq!(amendment.changes.len(), 4, "four readings were typed anew");
    assert!(
        amendment
            .follows
            .iter()
            .any(|c| c.path.starts_with("/body/results"))
    );
    assert!(
        amendment
            .follows
            .iter()
            .any(|c| c.path.starts_with("/body/verdicts"))
    );
    let event = NewEvent {
        at: shop.logbook.now(),
        payload: Payload::Amendment(amendment),
    };
    let engineer = shop.engineer.clone();
    shop.logbook.append(Some(&engineer), &[event]).unwrap();
    let conn = shop.logbook.connection();
    let after = sheet_detail(conn, sheet.no, Show::default())
        .unwrap()
        .unwrap();
    assert_eq!(after.result("end_play_nm", 2), Some(620_000));
    let verdict = |detail: &store::query::SheetDetail| {
        let found = detail
            .body
            .verdicts
            .iter()
            .find(|v| v.about == "clearance" && v.item == 2);
        found.unwrap().verdict.clone()
    };
    assert_eq!(verdict(&before), "pass");
    assert!(verdict(&after).starts_with("fail"), "{}", verdict(&after));
    assert_eq!(
        after.teardown.as_ref().unwrap().decision.recommended,
        "regrind_spacers"
    );
    assert_eq!(
        after.teardown.as_ref().unwrap().decision.decided,
        "return_to_service"
    );
    assert_eq!(
        number(
            conn,
            "SELECT value FROM outcome WHERE name = 'end_play_nm' AND item = 2"
        ),
        620_000
    );
    // A sheet that would not have let the bearing go holds it, and the engineer ends that.
    let held = "SELECT t.code || ': ' || h.reason FROM hold h JOIN thing t ON t.no = h.thing
                WHERE h.released_event IS NULL";
    assert_eq!(
        strings(conn, held),
        ["TH-4T-050: its sheet was amended: it says regrind spacers now"]
    );
    let gap = after
        .amended
        .iter()
        .find(|p| p.place == "Gap of rows 2–3 at 0 degrees")
        .unwrap();
    assert_eq!(
        (gap.old.as_str(), gap.new.as_str()),
        ("29.68 mm", "29.38 mm")
    );
    assert!(!gap.is_consequence && gap.reason == "digits exchanged");
    let sum = dump(conn);
    assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
    assert_eq!(shop.dump(), sum);
    let said = amend(&shop.logbook, ThingNo(sheet.no), &edits("29.38"), "again").unwrap_err();
    assert!(said.to_string().contains("nothing changes"), "{said}");
    let other = BTreeMap::from([("identify.chock".to_owned(), "WC-17".to_owned())]);
    let said = amend(&shop.logbook, ThingNo(sheet.no), &other, "x").unwrap_err();
    assert!(said.to_string().contains("withdraw the sheet"), "{said}");
    let bad = BTreeMap::from([("clearance.gap.1.0".to_owned(), "abc".to_owned())]);
    assert!(amend(&shop.logbook, ThingNo(sheet.no), &bad, "x").is_err());
    // The same by a line.
    let line = format!(
        r#"{{"kind":"amendment","event":"{}","fields":{{"clearance.gap.1.0":"23.67"}},"reason":"read again"}}"#,
        no_of(&sheet)
    );
    shop.log(&line).unwrap();
    let detail = sheet_detail(shop.logbook.connection(), sheet.no, Show::default())
        .unwrap()
        .unwrap();
    assert_eq!(detail.result("mean_gap_nm", 1), Some(23_677_500));
    let (_dir, path, _) = shop.close();
    assert_eq!(findings(&verify(&path, None)), "");
}

/// One width was read in inch and says so: nothing of the others is read in inch because of it.
#[test]
fn an_amendment_reads_what_it_does_not_touch_as_it_was_signed() {
    let (mut shop, _, _) = with_sheet();
    let sheet = sign_again(&mut shop, &[("clearance.spacer.1", "0.94488in")]);
    let amendment = amend(&shop.logbook, ThingNo(sheet.no), &edits("29.67"), "misread").unwrap();
    assert_eq!(amendment.changes.len(), 4, "{:?}", amendment.changes);
    let results = amendment.follows.iter().map(|c| c.path.as_str());
    assert!(
        results.clone().all(|path| path.starts_with("/body/")),
        "{:?}",
        amendment.follows
    );
    let in_inch = BTreeMap::from([("clearance.gap.1.0".to_owned(), "0.9323 in".to_owned())]);
    let amendment = amend(&shop.logbook, ThingNo(sheet.no), &in_inch, "misread").unwrap();
    assert_eq!(amendment.changes[0].new["value"], 23_680_420);
    // A gauge that is called otherwise by now would take its readings with it: that field is amended too.
    shop.log(r#"{"kind":"register_change","entity":"gauge","code":"HG-02","gauge_kind":"height gauge","measures":"neck","resolution_um":1,"expanded_uncertainty_um":9,"certificate":"C-2","due":"2027-01-20","change":true,"reason":"was wrong"}"#)
        .unwrap();
    let said = amend(&shop.logbook, ThingNo(sheet.no), &edits("29.66"), "misread").unwrap_err();
    assert!(said.to_string().contains("amend it too"), "{said}");
}

#[test]
fn a_sheet_is_opened_again_amended_by_the_foreman_and_countersigned_by_another() {
    let (mut shop, foreman, sheet) = with_sheet();
    let id = no_of(&sheet);
    let line = format!(
        r#"{{"kind":"amendment","event":"{id}","fields":{{"clearance.gap.1.0":"23.67"}},"reason":"read again"}}"#
    );
    let said = refused(log_as(&mut shop.logbook, &foreman, &line));
    assert!(said.contains("reopened"), "{said}");
    shop.log(&format!(
        r#"{{"kind":"sheet_reopened","sheet":"{id}","reason":"gauge read in inch"}}"#
    ))
    .unwrap();
    let held = "SELECT reason FROM hold WHERE released_event IS NULL";
    assert_eq!(
        strings(shop.logbook.connection(), held),
        ["its sheet was reopened: gauge read in inch"]
    );
    log_as(&mut shop.logbook, &foreman, &line).unwrap();
    let done =
        format!(r#"{{"kind":"countersigned","sheet":"{id}","text":"gap S1 measured again"}}"#);
    let said = refused(log_as(&mut shop.logbook, &foreman, &done));
    assert!(said.contains("somebody else"), "{said}");
    let second = shop.person("Foreman B", Role::Foreman);
    log_as(&mut shop.logbook, &second, &done).unwrap();
    let conn = shop.logbook.connection();
    assert_eq!(strings(conn, held), Vec::<String>::new());
    let marks = sheet_marks(conn, sheet.no).unwrap();
    assert_eq!(marks.len(), 2);
    assert!(marks[0].is_reopened && !marks[1].is_reopened);
    assert_eq!(marks[1].by, "Foreman B");
    let said = refused(log_as(
        &mut shop.logbook,
        &foreman,
        &line.replace("23.67", "23.66"),
    ));
    assert!(said.contains("reopened"), "closed again: {said}");
    let no_sheet = r#"{"kind":"sheet_reopened","sheet":"00010203:2","reason":"x"}"#;
    assert!(shop.log(no_sheet).is_err());
}
