//! The page of today by label: what it says of the demo plant's day, and where its buttons lead.

use egui_kittest::Harness;
use store::draft::{DraftId, DraftLine};
use store::entry::{LengthUnit, Show};
use store::query::{
    Clock, Due, DueLine, EarlyTeardown, EmptyChock, GaugeDue, HoldLine, NearLimit, OpenConflict,
    Plan, ShortStock, SpareLine, Standing, Today,
};
use store::{Stamp, ThingNo};

use super::lines::{Group, headline, lines};
use super::view::{TodayView, today_ui};
use crate::win::command::Command;
use crate::win::health::{CheckState, Health};
use crate::win::route::{Route, SetupPage};
use crate::win::screens::log::tests::{Page, event, page_of, press, routes, sees};
use crate::win::screens::setup::Act;

const SIZE: [f32; 2] = [1168.0, 1400.0];

fn thing(no: i64, code: &str) -> (ThingNo, String) {
    (ThingNo(no), code.to_owned())
}

/// A line of what is due, at F6-W-T-O.
pub(crate) fn due(chock: &str, clock: Clock, done: i64, limit: i64, days: i64) -> DueLine {
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
            account: SpareLine {
                bearing_type: "N4T-480/620-336".into(),
                new: 1,
                ready: 4,
                away: 3,
                at_work: 46,
                in_mill: 24,
                ..SpareLine::default()
            },
        }],
        holds: vec![HoldLine {
            thing: thing(44, "WC-44"),
            entity: "chock".into(),
            reason: "waiting for a liner".into(),
            is_by_sheet: false,
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
        (Group::Late, "TH-4T-007: rows 1\u{2013}2 stand at 0.612 mm."),
        (Group::Late, "FG-05 is 3 days past its calibration."),
        (
            Group::Late,
            "N4T-480/620-336: 1 new in stores, the minimum is 2.",
        ),
        (
            Group::Late,
            "KC-11 with TH-4T-030 at F6-W-T-O has run 3,060 of 3,000 h.",
        ),
        (
            Group::Late,
            "BC-10 with TH-4T-030 at F6-W-T-O has run 320 of 310 campaigns.",
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
            "1 bearing in chocks stands over the watch level.",
        ),
    ];
    assert_eq!(told, wanted.map(|(group, words)| (group, words.to_owned())));
    let told = lines(&model(), Some(&Health::default()), now, Show::default());
    let note = |of: usize| told[of].note.as_str();
    assert_eq!(note(2), "no reason, no extension");
    assert_eq!(
        note(6),
        "extension signed to 2026-11-10: watched each shift"
    );
    assert_eq!(
        note(7),
        "planned for 2026-11-10: no spare until then (Foreman A)"
    );
    assert_eq!(
        note(5),
        "22 in ready chocks, 4 in the shop, 3 away, 24 in the mill"
    );
    let inch = Show {
        unit: LengthUnit::Inch,
        comma: true,
        ..Show::default()
    };
    let inch = lines(&model(), Some(&Health::default()), now, inch);
    assert_eq!(
        inch[3].sentence(),
        "TH-4T-007: rows 1\u{2013}2 stand at 0,02409 in."
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
            Route::TellOf(Act::Calibrated, ThingNo(5)),
            Route::Chock(ThingNo(44)),
        ]
    );
    // What could go in tonight is told below the line.
    press(
        &mut h,
        "See account: N4T-480/620-336: 1 new in stores, the minimum is 2.",
    );
    assert!(sees(
        &h,
        "22 in ready chocks: to go in first, unless due or late"
    ));
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
fn many_of_a_sort_are_one_line_with_a_list_the_soonest_first() {
    let coming = [("WC-1", 9), ("WC-2", 3), ("WC-3", 12), ("WC-4", 7)];
    let each = coming.map(|(chock, days)| due(chock, Clock::Run, 900 * 3600, 1_000 * 3600, days));
    let likely = each.clone().map(|mut line| {
        line.due.standing = Standing::Forecast;
        line.due.days -= 3;
        line
    });
    let today = Today {
        due: each.into(),
        likely: likely.into(),
        ..Today::default()
    };
    let mut h = page_of(today, Show::default(), SIZE, today_ui);
    assert!(sees(&h, "4 at FT; first WC-2 in about 3 days"));
    assert!(!sees(
        &h,
        "WC-2 with TH-4T-030 at F6-W-T-O: in about 3 days"
    ));
    press(&mut h, "See list: 4 chocks are due within 14 days.");
    press(
        &mut h,
        "WC-2 with TH-4T-030 at F6-W-T-O: in about 3 days: 900 of 1,000 h",
    );
    assert_eq!(routes(&h.state().pushed), [Route::Chock(ThingNo(14))]);
    press(
        &mut h,
        "See list: 4 bearings may pass a limit before their interval ends.",
    );
    assert!(sees(&h, "a limit may be passed now"));
    assert!(sees(&h, "a limit may be passed in about 4 days"));
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
