//! How sure a verdict has to be is a limit of its day: signed, amended and told of a gauge by what was asked then.
#![allow(clippy::unwrap_used)]

mod common;

use calc::conformity::Verdict;
use calc::found_out::Change;
use common::sheet::{fields, signed, with_register};
use common::{Shop, log_as};
use store::entry::Show;
use store::payload::{Judgement, Payload, Role};
use store::query::{impacts, sheet_detail};
use store::sheet::{amend, thing_by_code};
use store::{NewEvent, ThingNo};

/// The type with its rework level at 0.335 mm, and what it asks.
fn of_type(at: &str, asked: &str) -> String {
    format!(
        r#"{{"kind":"register_change","at":"{at}","entity":"bearing_type","code":"N4T-480","change":true,"reason":"sure enough?","bearing_kind":"four_row_tapered","values":{{"bore_mm":480,"outside_mm":620,"clearance_min_mm":[0.27,0.27,0.27],"clearance_max_mm":[0.33,0.33,0.33],"rework_mm":[0.335,0.335,0.335],"spacer_mm":[24,30,24],"seating_spread_mm":0.05{asked}}}}}"#
    )
}

fn first(shop: &Shop, event: i64) -> Judgement {
    let detail = sheet_detail(shop.logbook.connection(), event, Show::default());
    let verdicts = detail.unwrap().unwrap().body.verdicts;
    let found = verdicts
        .iter()
        .find(|v| v.about == "clearance" && v.item == 1);
    found.unwrap().clone()
}

/// 0.320 against 0.335 with U = 0.015 is 2.0 u, p 0.9772; 0.319 is 2.13 u; 0.318 is 2.27 u, all short of 2.33 u.
#[test]
fn a_verdict_is_signed_amended_and_doubted_by_what_was_asked_on_its_day() {
    const BOTH: &str = "ISO 14253-1:2017, 95 % at the lower limit, 99 % at the upper limit";
    for (asked, verdict, rule, change) in [
        ("", "pass", "ISO 14253-1:2017", Change::Stands),
        (
            r#","rework_conformity":0.99"#,
            "pass_in_doubt",
            BOTH,
            Change::InDoubt,
        ),
        (
            r#","rework_conformity_ppm":990000,"clearance_conformity":"0,99""#,
            "pass_in_doubt",
            "ISO 14253-1:2017, 99 %",
            Change::InDoubt,
        ),
    ] {
        let mut shop = with_register();
        let foreman = shop.person("Foreman Z", Role::Foreman);
        shop.log(&of_type("2026-01-08T06:00", asked)).unwrap();
        let sheet = signed(&mut shop, &foreman, &fields("2026-01-14 09:30")).no;
        let found = first(&shop, sheet);
        assert_eq!((&*found.verdict, &*found.rule), (verdict, rule));
        // The register asks otherwise since: the sheet keeps what it was judged by, and so does its amendment.
        shop.log(&of_type("2026-01-18T06:00", r#","rework_conformity":0.5"#))
            .unwrap();
        assert_eq!(first(&shop, sheet), found);
        let gaps = [0, 90, 180, 270].map(|at| (format!("clearance.gap.1.{at}"), "23.681".into()));
        let amendment = amend(&shop.logbook, ThingNo(sheet), &gaps.into(), "misread").unwrap();
        let event = NewEvent {
            at: shop.logbook.now(),
            payload: Payload::Amendment(amendment),
        };
        let engineer = shop.engineer.clone();
        shop.logbook.append(Some(&engineer), &[event]).unwrap();
        let amended = first(&shop, sheet);
        assert_eq!(amended.value_nm, Some(319_000));
        assert_eq!((&*amended.verdict, &*amended.rule), (verdict, rule));
        // A gap gauge that read 0.002 too small made 0.318 look like 0.320.
        shop.log(r#"{"kind":"gauge_found_out","at":"2026-01-20T10:00","gauge":"GB-01","error_um":"-2","text":"worn"}"#)
            .unwrap();
        let conn = shop.logbook.connection();
        let gauge = thing_by_code(conn, "gauge", "GB-01").unwrap().unwrap().0;
        let impact = impacts(conn, gauge, Show::default()).unwrap().remove(0);
        let line = impact.lines.iter().find(|l| l.item == 2).unwrap();
        assert_eq!(line.corrected, Some(318_000));
        assert_eq!(line.change, Some(change), "{asked}");
        let expected = if asked.is_empty() {
            Verdict::Pass
        } else {
            Verdict::PassInDoubt
        };
        assert_eq!(line.if_corrected, Some(expected));
        let before = shop.dump();
        assert!(shop.logbook.rebuild(&mut |_, _| true).unwrap());
        assert_eq!(shop.dump(), before);
    }
}

/// What is no probability that can be asked is refused, and only the engineer changes what is asked.
#[test]
fn what_is_asked_is_a_limit_that_the_engineer_changes_with_a_reason() {
    let mut shop = with_register();
    for asked in ["0.49", "0.9995", "1", "99"] {
        let line = of_type(
            "2026-01-08T06:00",
            &format!(r#","rework_conformity":{asked}"#),
        );
        let said = shop.log(&line).unwrap_err().to_string();
        assert!(said.contains("50 to 99.9 %"), "{said}");
    }
    let line = of_type("2026-01-08T06:00", r#","rework_conformity":0.999"#);
    let foreman = shop.person("Foreman Z", Role::Foreman);
    log_as(&mut shop.logbook, &foreman, &line).unwrap_err();
    let said = shop.log(&line.replace("sure enough?", "")).unwrap_err();
    assert!(said.to_string().contains("reason"), "{said}");
    shop.log(&line).unwrap();
    let per_pair = of_type("2026-01-09T06:00", r#","rework_conformity":[0.9,0.9]"#);
    shop.log(&per_pair).unwrap_err();
}
