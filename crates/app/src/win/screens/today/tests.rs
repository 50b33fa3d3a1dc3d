//! The page of today by label: what it says of the demo plant's day, and where its buttons lead.

use egui_kittest::Harness;
use store::draft::{DraftId, DraftLine};
use store::entry::{LengthUnit, Show};
use store::query::{
    Clock, Due, DueLine, EarlyTeardown, EmptyChock, GaugeDue, HoldLine, NearLimit, OpenConflict,
    Plan, ShortStock, Standing, Today,
};
use store::{Stamp, ThingNo};

use super::lines::{Group, headline, lines};
use super::view::{TodayView, today_ui};
use crate::win::command::Command;
use crate::win::health::{CheckState, Health};
use crate::win::route::{Route, SetupPage};
use crate::win::screens::log::tests::{Page, event, page_of, press, routes, sees};

const SIZE: [f32; 2] = [1168.0, 1400.0];

fn thing(no: i64, code: &str) -> (ThingNo, String) {
    (ThingNo(no), code.to_owned())
}

fn due(chock: &str, clock: Clock, done: i64, limit: i64, days: i64) -> DueLine {
    DueLine {
        bearing: thing(30, "TH-4T-030"),
        chock: thing(14, chock),
        position: "F6-W-T-O".into(),
        line: "FT".into(),
        due: Due {
            clock,
            done,
            limit,
            days,
            standing: match chock {
                "KC-11" => Standing::Extended,
                "BC-10" => Standing::Explained,
                _ if done > limit => Standing::Overdue,
                _ => Standing::Coming,
            },
        },
        plan: (chock == "BC-10").then(|| Plan {
            planned_ms: Some(1_794_268_800_000),
            reason: "no spare until then".into(),
            who: "Foreman A".into(),
        }),
        has_estimate: false,
        extension: (chock == "KC-11").then(|| (1_794_268_800_000, "watched each shift".into())),
    }
}

fn gauge(no: i64, code: &str, kind: &str, days: i64) -> GaugeDue {
    GaugeDue {
        gauge: thing(no, code),
        kind: kind.into(),
        due_ms: 0,
        days,
    }
}

/// The day of the demo plant (scenario, section 5), in short.
fn model() -> Today {
    let at = |day: &str| Stamp::parse(day, 60).unwrap();
    let near = |serial: &str, um: i64| NearLimit {
        bearing: thing(11, serial),
        pair: 1,
        now_nm: um * 1_000,
        limit_nm: 600_000,
    };
    Today {
        expected: Vec::new(),
        likely: Vec::new(),
        note: None,
        work: store::query::InWork::default(),
        questions: Vec::new(),
        conflicts: vec![OpenConflict {
            twin: None,
            event: 77,
            at: at("2025-11-11"),
            what: "WC-22 was at F5-W-T-O".into(),
            thing: Some(thing(22, "WC-22")),
        }],
        due: vec![
            due("WC-14", Clock::Run, 1_142 * 3600, 1_000 * 3600, 0),
            due("KC-11", Clock::Run, 3_060 * 3600, 3_000 * 3600, 0),
            due("BC-10", Clock::Campaigns, 320, 310, 0),
            due("WC-18", Clock::Days, 144, 150, 6),
        ],
        empty: vec![EmptyChock {
            chock: thing(31, "WC-31"),
            position: "F2-W-T-O".into(),
            why: "a dummy for the trial".into(),
            since: at("2026-10-29"),
        }],
        early: vec![EarlyTeardown {
            chock: thing(38, "WC-38"),
            why: "cobble".into(),
            at_ms: 0,
        }],
        near: vec![near("TH-4T-007", 612), near("TH-4T-011", 590)],
        gauges: vec![
            gauge(5, "FG-05", "feeler set", -3),
            gauge(2, "HG-02", "height gauge", 9),
        ],
        short: vec![ShortStock {
            bearing_type: thing(1, "N4T-480/620-336"),
            new: 1,
            least: 2,
        }],
        holds: vec![HoldLine {
            thing: thing(44, "WC-44"),
            entity: "chock".into(),
            reason: "waiting for a liner".into(),
            since: at("2026-10-19"),
        }],
        drafts: vec![DraftLine {
            id: DraftId(9),
            kind: "teardown_sheet".into(),
            person: None,
            person_name: "Foreman B".into(),
            started: at("2026-10-29T21:10"),
            kept_ms: 0,
            filled: 18,
            bearing: String::new(),
            chock: "WC-21".into(),
        }],
        changes: vec![
            event(3, "2026-10-30", "mounted", "Mounted", Vec::new()),
            event(2, "2026-10-30", "teardown_sheet", "Teardown", Vec::new()),
        ],
    }
}

fn shown() -> Harness<'static, Page<Today, TodayView>> {
    page_of(model(), Show::default(), SIZE, today_ui)
}

#[test]
fn each_line_says_what_is_so_in_one_sentence() {
    let now = Stamp::parse("2026-10-30", 60).unwrap();
    let told: Vec<(Group, String)> =
        lines(&model(), Some(&Health::default()), now, Show::default())
            .iter()
            .map(|line| (line.group, line.sentence()))
            .collect();
    let wanted = [
        (Group::Late, "WC-22: WC-22 was at F5-W-T-O."),
        (Group::Late, "WC-38 is to be torn down early: cobble."),
        (
            Group::Late,
            "WC-14 with TH-4T-030 at F6-W-T-O has run 1,142 of 1,000 h, and nobody has said why.",
        ),
        (
            Group::Late,
            "KC-11 with TH-4T-030 at F6-W-T-O has run 3,060 of 3,000 h.",
        ),
        (
            Group::Late,
            "BC-10 with TH-4T-030 at F6-W-T-O has run 320 of 310 campaigns.",
        ),
        (Group::Late, "TH-4T-007: rows 1\u{2013}2 stand at 0.612 mm."),
        (Group::Late, "FG-05 is 3 days past its calibration."),
        (
            Group::Late,
            "N4T-480/620-336: 1 new in stores, the minimum is 2.",
        ),
        (Group::Unfinished, "WC-21 teardown stands at 18 values."),
        (
            Group::Unfinished,
            "WC-31 is in the mill at F2-W-T-O with no bearing in it by the record.",
        ),
        (Group::Unfinished, "WC-44 is on hold: waiting for a liner."),
        (Group::Coming, "HG-02 is due for calibration in 9 days."),
        (
            Group::Coming,
            "WC-18 with TH-4T-030 at F6-W-T-O is due in about 6 days.",
        ),
        (
            Group::Coming,
            "1 bearing at work stands over the watch level.",
        ),
    ];
    assert_eq!(told, wanted.map(|(group, words)| (group, words.to_owned())));
    let told = lines(&model(), Some(&Health::default()), now, Show::default());
    let note = |of: usize| told[of].note.as_str();
    assert_eq!(note(2), "no reason, no extension");
    assert_eq!(
        note(3),
        "extension signed to 2026-11-10: watched each shift"
    );
    assert_eq!(
        note(4),
        "planned for 2026-11-10: no spare until then (Foreman A)"
    );
    let inch = Show {
        unit: LengthUnit::Inch,
        comma: true,
        ..Show::default()
    };
    let inch = lines(&model(), Some(&Health::default()), now, inch);
    assert_eq!(
        inch[5].sentence(),
        "TH-4T-007: rows 1\u{2013}2 stand at 0,0241 in."
    );
    let (number, rest) = headline(&model());
    assert_eq!(number, "3 chocks overdue");
    assert_eq!(
        rest,
        "1 conflict \u{b7} 1 gauge overdue \u{b7} 1 stock alarm \u{b7} 1 draft \u{b7} 1 hold"
    );
}

#[test]
fn a_record_that_could_not_be_checked_is_told_with_a_way_on() {
    let health = Health {
        check: CheckState::Failed("the disk does not answer".into()),
        ..Health::default()
    };
    let now = Stamp::parse("2026-10-30", 60).unwrap();
    let lines = lines(&Today::default(), Some(&health), now, Show::default());
    assert_eq!(lines.len(), 1);
    assert!(lines[0].sentence().contains("The disk does not answer"));
    assert_eq!(lines[0].button, "Check now");
}

#[test]
fn buttons_lead_where_they_say() {
    let mut h = shown();
    press(
        &mut h,
        "Give reason: WC-14 with TH-4T-030 at F6-W-T-O has run 1,142 of 1,000 h, and nobody has said why.",
    );
    assert!(sees(&h, "A foreman or the engineer plans it: sign in."));
    press(&mut h, "Calibrate: FG-05 is 3 days past its calibration.");
    press(&mut h, "Open the draft of WC-21");
    press(&mut h, "Open: WC-44 is on hold: waiting for a liner.");
    assert_eq!(
        routes(&h.state().pushed),
        [
            Route::Setup(SetupPage::Gauges, Some(ThingNo(5))),
            Route::Chock(ThingNo(44)),
        ]
    );
    // Nobody is at work: who opens it takes it over, after signing in.
    let mut opened = h.state().pushed.iter();
    assert!(opened.any(|command| matches!(command, Command::TakeOver(DraftId(9)))));
    press(&mut h, "New teardown");
    assert!(matches!(
        h.state().pushed.last(),
        Some(Command::NewSheet { .. })
    ));
}

#[test]
fn a_conflict_is_settled_by_the_engineer_only() {
    let mut h = shown();
    press(&mut h, "Settle: WC-22: WC-22 was at F5-W-T-O.");
    assert!(sees(
        &h,
        "The engineer settles it: sign in as the engineer."
    ));
    press(&mut h, "Open the entry that does not fit");
    assert_eq!(routes(&h.state().pushed), [Route::Event(77)]);
    press(&mut h, "Sign in to settle");
    assert!(matches!(
        h.state().pushed.last(),
        Some(Command::AskSignIn { .. })
    ));
}

#[test]
fn moves_are_told_in_one_line_and_other_changes_by_themselves() {
    let h = shown();
    assert!(sees(&h, "Open Teardown"));
    assert!(sees(&h, "Open the log for the moves"));
    assert!(!sees(&h, "Open Mounted"));
}

#[test]
fn a_bare_logbook_says_what_will_stand_here() {
    let mut h = page_of(Today::default(), Show::default(), SIZE, today_ui);
    assert!(sees(&h, "Nothing is registered yet."));
    press(&mut h, "Open Setup");
    assert_eq!(
        routes(&h.state().pushed),
        [Route::Setup(SetupPage::Stands, None)]
    );
}
