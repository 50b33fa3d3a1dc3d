//! The page of an event by label and keyboard: amended, withdrawn, both values shown.

#![allow(clippy::unwrap_used)]

use store::query::{JournalFilter, bearings, journal};

use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::setup::tests::type_on;
use crate::win::tests::Bench;

fn reasons(b: &mut Bench) -> Vec<String> {
    b.ask(|logbook| {
        bearings(logbook.connection())
            .unwrap()
            .into_iter()
            .filter_map(|line| line.held)
            .collect()
    })
}

/// The page of a hold with a misspelt reason, the engineer at work.
fn opened() -> Bench {
    let mut b = Bench::with_lines(&[
        r#"{"kind":"register_change","entity":"bearing_type","code":"N4T","bearing_kind":"four_row_tapered","values":{"bore_mm":480}}"#,
        r#"{"kind":"register_change","entity":"bearing","serial":"TH-4T-001","bearing_type":"N4T"}"#,
        r#"{"kind":"hold","thing":"TH-4T-001","reason":"brwon tint"}"#,
    ]);
    b.command(Command::SignIn {
        name: "Roll-shop Engineer".into(),
        pin: "2222".into(),
    });
    let event = b.ask(|logbook| {
        let filter = JournalFilter::default();
        let lines = journal(logbook.connection(), &filter, store::entry::Show::default()).unwrap();
        lines.iter().find(|l| l.kind == "hold").unwrap().no
    });
    b.command(Command::Go(Route::Event(event)));
    b
}

#[test]
fn a_value_is_amended_and_both_stand_on_the_page() {
    let mut b = opened();
    assert!(b.has("reason: brwon tint"));
    b.click("Amend");
    // The thing, the reason, and how that is known; the last Enter signs.
    type_on(&mut b, &["", "brown tint", "misspelt"]);
    b.settle();
    assert!(b.has("reason: brown tint"));
    assert!(
        b.has("reason: brwon tint is brown tint"),
        "what was amended is listed"
    );
    assert_eq!(reasons(&mut b), ["brown tint"]);
}

#[test]
fn what_never_happened_is_withdrawn_with_a_reason_only() {
    let mut b = opened();
    b.click("Withdraw");
    type_on(&mut b, &[""]);
    b.settle();
    assert_eq!(
        reasons(&mut b).len(),
        1,
        "without a reason nothing is signed"
    );
    type_on(&mut b, &["another bearing"]);
    b.settle();
    assert_eq!(reasons(&mut b), Vec::<String>::new());
    assert!(b.has("It counts no more."));
    assert!(!b.has("Amend"), "nothing more can be done about it");
}
