//! A bearing that is taken out of its chock and put back has not been looked at: its interval runs on.
#![allow(clippy::unwrap_used)]

mod common;

use common::{Shop, log_as};
use store::entry::Show;
use store::payload::Role;
use store::query::{Standing, due_lines, today};

#[test]
fn past_its_interval_a_bearing_goes_back_by_the_engineers_word_only() {
    let mut shop = Shop::new();
    shop.log(
        r#"{"kind":"register_change","at":"2026-01-05T20:00","entity":"bearing_type","code":"N4T","change":true,"reason":"by the mill","bearing_kind":"four_row_tapered","values":{"bore_mm":480,"interval_run_hours":10}}"#,
    )
    .unwrap();
    shop.work();
    let fitter = shop.person("Fitter", Role::Fitter);
    let run = |day: &str| {
        format!(
            r#"{{"kind":"campaign","at":"2026-01-{day}T14:00","roll":"R-101","position_o":"F3-W-T-O","position_d":"F3-W-T-D","chock_o":"WC-17","chock_d":"WC-41","from":"2026-01-{day}T06:00","hours":5.5,"tonnes":5000}}"#
        )
    };
    let out = |day: &str| {
        format!(
            r#"{{"kind":"taken_out","at":"2026-01-{day}T18:00","bearing":"TH-4T-001","reason":"seal"}}"#
        )
    };
    let back = |day: &str| {
        format!(
            r#"{{"kind":"assembled","at":"2026-01-{day}T20:00","bearing":"TH-4T-001","chock":"WC-17","zone":2}}"#
        )
    };
    let sum = |shop: &Shop| {
        let lines = due_lines(shop.logbook.connection(), shop.logbook.now(), 14, None).unwrap();
        let own = lines.iter().find(|line| line.bearing.1 == "TH-4T-001");
        own.map(|line| (line.due.done / 3_600, line.due.standing))
    };
    // 5.5 h of 10 h: a fitter puts it back, and that begins no new interval.
    log_as(&mut shop.logbook, &fitter, &back("09")).unwrap();
    shop.log(&run("10")).unwrap();
    shop.log(&out("10")).unwrap();
    let why = log_as(&mut shop.logbook, &fitter, &back("10"))
        .unwrap_err()
        .to_string();
    assert!(
        why.contains("TH-4T-001 is past its interval: 11 h of 10 h")
            && why.contains("a teardown sheet comes first, or the engineer enters this"),
        "{why}"
    );
    // A cobble asks for it early, too; putting it back ends neither.
    shop.log(
        r#"{"kind":"mill_incident","at":"2026-01-10T13:00","position":"F3-W-T-O","chocks":["WC-17"],"what":"cobble","early_teardown":true}"#,
    )
    .unwrap();
    assert_eq!(sum(&shop), None, "out of its chock it is not due");
    // The engineer's word ends both.
    shop.log(&back("10")).unwrap();
    assert_eq!(sum(&shop), None);
    let now = shop.logbook.now();
    let early = today(shop.logbook.connection(), now, 0, Show::default())
        .unwrap()
        .early;
    assert_eq!(early, []);
    for day in ["12", "13"] {
        shop.log(&run(day)).unwrap();
    }
    assert_eq!(sum(&shop), Some((11, Standing::Overdue)));
    // To turn it is to open it, too.
    let turn = r#"{"kind":"zone_turned","at":"2026-01-14T08:00","bearing":"TH-4T-001","zone":3}"#;
    assert!(log_as(&mut shop.logbook, &fitter, turn).is_err());
    // Nor does its chock go on another roll without a sheet.
    let mount = r#"{"kind":"mounted","at":"2026-01-14T08:30","chock":"WC-17","roll":"R-101","position":"F3-W-T-O"}"#;
    let why = log_as(&mut shop.logbook, &fitter, mount).unwrap_err();
    assert!(why.to_string().contains("past its interval"), "{why}");
    // Where the engineer lets the chock run on it may be put back meanwhile.
    shop.log(
        r#"{"kind":"extension","at":"2026-01-14T09:00","chock":"WC-17","until":"2026-01-20","reason":"temperature watched"}"#,
    )
    .unwrap();
    shop.log(&out("14")).unwrap();
    log_as(&mut shop.logbook, &fitter, &back("14")).unwrap();
    // The last word counts, also where it is the shorter one: after its day the chock goes on no roll.
    shop.log(
        r#"{"kind":"extension","at":"2026-01-14T21:00","chock":"WC-17","until":"2026-01-16","reason":"it grew warm"}"#,
    )
    .unwrap();
    let mount = |day: &str| {
        format!(
            r#"{{"kind":"mounted","at":"2026-01-{day}T08:30","chock":"WC-17","roll":"R-101","position":"F3-W-T-O"}}"#
        )
    };
    let why = log_as(&mut shop.logbook, &fitter, &mount("18")).unwrap_err();
    assert!(why.to_string().contains("past its interval"), "{why}");
    log_as(&mut shop.logbook, &fitter, &mount("16")).unwrap();
}
