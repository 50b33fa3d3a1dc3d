//! Register, page and signed sheet on models of the demo plant.

use std::collections::BTreeMap;

use draw::growth::XScale;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use store::entry::{LengthUnit, Show};
use store::event::Event;
use store::payload::{
    Decision, Entry, Judgement, NotMeasured, Outcome, Reading, SheetBody, TeardownSheet,
};
use store::query::{
    BearingLine, BearingPage, BearingState, GrowthPoint, NoWear, PairNow, Piece, SheetDetail, Turn,
};
use store::sheet::TypeFacts;
use store::{EventId, Origin, Ref, Stamp, ThingNo};

use super::forecast::Worked;
use super::headline;
use super::page::{PageModel, PageView, bearing_ui};
use super::plot::{self, Axis};
use super::register::{By, RegisterView, bearings_ui, overdue_s};
use super::signed::{Laid, SignedModel, SignedView, signed_ui};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::log::tests::{Page, event, page_of, press, routes, sees};

const SIZE: [f32; 2] = [1168.0, 752.0];

fn day(text: &str) -> Stamp {
    Stamp::parse(text, 60).unwrap()
}

fn line(no: i64, serial: &str, state: BearingState, hours: i64) -> BearingLine {
    let is_in = matches!(state, BearingState::InMill | BearingState::InChock);
    BearingLine {
        no: ThingNo(no),
        serial: serial.into(),
        type_code: "N4T-480/620-336".into(),
        kind: "four_row_tapered".into(),
        state,
        chock: is_in.then(|| (ThingNo(100 + no), format!("WC-{no:02}"))),
        place: if state == BearingState::InMill {
            "F6-W-T-O".into()
        } else {
            String::new()
        },
        zone: 2,
        total_run_s: (4_030 + hours) * 3600,
        stay_run_s: hours * 3600,
        interval_run_s: Some(1_000 * 3600),
        extended_ms: None,
        last_sheet: None,
        clearance_nm: [Some(300_000 + no * 1_000), None, None],
        verdict: if no == 3 {
            "fail".into()
        } else {
            "pass".into()
        },
        held: (no == 3).then(|| "spall, at North Yard".into()),
    }
}

fn register() -> Vec<BearingLine> {
    vec![
        line(1, "TH-4T-001", BearingState::InChock, 390),
        line(2, "TH-4T-030", BearingState::InMill, 1_142),
        line(3, "TH-4T-015", BearingState::Away, 0),
        line(4, "TH-4T-012", BearingState::Scrapped, 0),
    ]
}

#[test]
fn overdue_is_counted_from_the_interval_and_only_for_what_is_in_a_chock() {
    let lines = register();
    let overdue: Vec<_> = lines.iter().map(overdue_s).collect();
    assert_eq!(overdue, [None, Some(142 * 3600), None, None]);
    let mut due = line(5, "TH-4T-099", BearingState::InMill, 1_000);
    assert_eq!(
        overdue_s(&due),
        None,
        "at the interval it is due, not overdue"
    );
    due.interval_run_s = None;
    assert_eq!(overdue_s(&due), None);
}

#[test]
fn the_register_is_searched_narrowed_and_put_in_order() {
    let lines = register();
    let mut view = RegisterView::default();
    assert_eq!(view.shown(&lines), [0, 3, 2, 1], "by serial");
    view.search = "overdue f6".into();
    assert_eq!(view.shown(&lines), [1]);
    view.search.clear();
    view.state = Some(BearingState::Away);
    assert_eq!(view.shown(&lines), [2]);
    assert_eq!(view.account(&lines)[0], (None, 4));
    assert_eq!(
        view.account(&lines).len(),
        5,
        "all, and the four states that have any"
    );
    view.state = None;
    view.order_by(By::Since);
    assert_eq!(view.shown(&lines).last(), Some(&1));
    view.order_by(By::Since);
    assert_eq!(
        view.shown(&lines).first(),
        Some(&1),
        "once more turns it round"
    );
    view.order_by(By::Verdict);
    assert_eq!(view.shown(&lines).first(), Some(&2), "the worst first");
    view.order_by(By::Note);
    assert_eq!(view.shown(&lines)[..2], [2, 1], "on hold, then overdue");
}

#[test]
fn the_account_stands_above_the_register_and_a_row_opens_its_bearing() {
    let mut h = page_of::<_, RegisterView>(register(), Show::default(), SIZE, |ui, cx, m, v, c| {
        bearings_ui(ui, cx, m, v, c);
    });
    assert!(sees(&h, "State: 4 bearings"));
    assert!(sees(&h, "State: 1 in ready chocks"));
    assert!(sees(&h, "overdue"));
    h.event(egui::Event::Text("030".into()));
    h.run_steps(3);
    assert!(sees(&h, "1 of 4 shown"), "typing searches at once");
    h.key_press(egui::Key::Enter);
    h.run_steps(3);
    assert_eq!(
        routes(&h.state().pushed),
        [Route::Bearing(ThingNo(2))],
        "what is left alone is opened by Enter"
    );
    press(&mut h, "State: 1 scrapped");
    assert!(sees(&h, "No bearing has these words."));
}

#[test]
fn a_head_puts_the_rows_in_order() {
    let mut h = page_of::<_, RegisterView>(register(), Show::default(), SIZE, |ui, cx, m, v, c| {
        bearings_ui(ui, cx, m, v, c);
    });
    press(&mut h, "Order by h in all");
    press(&mut h, "Ordered by h in all, rising");
    assert!(h.state().view.is_falling);
    assert_eq!(h.state().view.shown(&h.state().model)[0], 1);
}

pub(super) fn bearing_type() -> TypeFacts {
    let values = [
        ("bore_nm", 480_000_000),
        ("outside_nm", 620_000_000),
        ("width_nm", 336_000_000),
        ("mass_g", 268_000),
    ];
    let values = values.map(|(name, value)| ((name.to_owned(), 0), value));
    TypeFacts {
        code: "N4T-480/620-336".into(),
        values: BTreeMap::from(values),
        ..TypeFacts::default()
    }
}

/// TH-4T-031 after teardown 4 (scenario, story C).
fn page() -> BearingPage {
    let rows = [
        ("2024-11-12", 0, [300, 300, 300]),
        ("2025-03-11", 1_015, [380, 370, 375]),
        ("2025-07-08", 2_005, [440, 420, 435]),
        ("2025-11-04", 3_025, [510, 480, 505]),
        ("2026-03-10", 4_030, [575, 530, 570]),
    ];
    let growth = (0..).zip(rows).flat_map(|(index, (date, hours, um))| {
        um.into_iter()
            .enumerate()
            .map(move |(pair, um)| GrowthPoint {
                event: 10 + index,
                at: day(date),
                run_s: hours * 3600,
                rolled_kg: hours * 300_000,
                pair: pair + 1,
                value_nm: um * 1_000,
                expanded_uncertainty_nm: (index > 0).then_some(15_000),
                segment: 0,
                is_setting: index == 0,
                is_baseline: index == 0,
            })
    });
    let pair = |um: i64, rate| PairNow {
        now_nm: Some(um * 1_000),
        as_set_nm: Some(300_000),
        times: Some(um as f64 / 300.0),
        per_1000_h_nm: Some(rate),
        limit_nm: Some(600_000),
        watch_nm: Some(450_000),
    };
    let mut line = line(31, "TH-4T-031", BearingState::InChock, 0);
    line.total_run_s = 4_030 * 3600;
    let teardown = event(14, "2026-03-10", "teardown_sheet", "Teardown", Vec::new());
    BearingPage {
        halves: None,
        life: store::query::LifeUsed::default(),
        moved: Vec::new(),
        exposure: store::query::Exposures::default(),
        documents: Vec::new(),
        findings: Vec::new(),
        line,
        bearing_type: bearing_type(),
        revision: 1,
        zone_run_s: [1_015 * 3600, 990 * 3600, 1_020 * 3600, 1_005 * 3600],
        growth: growth.collect(),
        turns: rows
            .into_iter()
            .zip([1, 2, 3, 4, 2])
            .map(|((date, hours, _), zone)| Turn {
                at: day(date),
                run_s: hours * 3600,
                rolled_kg: hours * 300_000,
                zone,
            })
            .collect(),
        zone_rolled_kg: [304_500_000, 297_000_000, 306_000_000, 301_500_000],
        total_rolled_kg: 4_030 * 300_000,
        first_in: Some(day("2024-11-12")),
        findings_before: Vec::new(),
        pairs: [pair(575, 64_700), pair(530, 49_800), pair(570, 64_700)],
        journal: vec![teardown],
        sheets: vec![sheet(14)],
    }
}

#[test]
fn the_one_number_is_that_of_the_pair_nearest_to_its_limit() {
    let page = page();
    assert_eq!(headline::leading(&page.pairs), Some(0));
    let (number, words) = headline::number(&page, &Worked::Nothing, Show::default());
    assert_eq!(number, "0.575 mm");
    assert!(
        words.starts_with("rows 1\u{2013}2, 1.92 times as set, 0.025 under the limit of 0.600"),
        "{words}"
    );
    let mut over = page.clone();
    over.pairs[2].now_nm = Some(630_000);
    assert_eq!(headline::leading(&over.pairs), Some(2));
    assert!(
        headline::number(&over, &Worked::Nothing, Show::default())
            .1
            .contains("0.030 over the limit of 0.600")
    );
    over.pairs[2].now_nm = Some(600_000);
    assert!(
        headline::number(&over, &Worked::Nothing, Show::default())
            .1
            .contains("at the limit of 0.600")
    );
    over.pairs[2].now_nm = None;
    over.pairs[0].now_nm = Some(373_500);
    let (number, words) = headline::number(&over, &Worked::Nothing, Show::default());
    assert_eq!(number, "0.530 mm", "pair 2 leads now: {words}");
    over.pairs[1].now_nm = None;
    let (number, words) = headline::number(&over, &Worked::Nothing, Show::default());
    assert_eq!(number, "0.374 mm");
    assert!(
        words.contains("0.226 under the limit of 0.600"),
        "what is shown adds up: {words}"
    );
    over.pairs = [PairNow::default(), PairNow::default(), PairNow::default()];
    assert_eq!(
        headline::number(&over, &Worked::Nothing, Show::default()).0,
        "No reading yet"
    );
    let state = headline::state(&page, Show::default());
    assert!(
        state
            .iter()
            .any(|(_, words)| words == "over the watch level 0.450"),
        "{state:?}"
    );
}

#[test]
fn a_scrapped_bearing_says_when_and_why_and_has_no_verdict_left() {
    let mut page = page();
    page.line.state = BearingState::Scrapped;
    page.line.chock = None;
    page.line.place = String::new();
    page.line.verdict = "pass".into();
    let end = vec![
        Piece::plain("TH-4T-031"),
        Piece::muted("axial crack"),
        Piece::muted("witness Storekeeper"),
    ];
    page.journal
        .insert(0, event(19, "2026-08-01", "scrapped", "Scrapped", end));
    let words = headline::state(&page, Show::default());
    assert!(
        words
            .iter()
            .any(|(_, w)| w == "scrapped 2026-08-01: axial crack"),
        "{words:?}"
    );
    let model = PageModel {
        page: page.clone(),
        anchor: String::new(),
        is_demo: false,
    };
    let h = page_of::<_, PageView>(model, Show::default(), [1168.0, 752.0], bearing_ui);
    assert!(
        h.query_by_label("pass").is_none(),
        "it is no verdict of today"
    );
    let h = page_of::<_, RegisterView>(
        vec![page.line],
        Show::default(),
        [1168.0, 752.0],
        |ui, cx, lines: &Vec<_>, view, commands| bearings_ui(ui, cx, lines, view, commands),
    );
    assert!(h.query_by_label("pass").is_none());
}

#[test]
fn every_axis_has_every_mark_where_it_was() {
    let page = page();
    let now = day("2026-10-30");
    let growth = |axis| plot::growth(&page, None, Show::default(), axis, now);
    let (hours, tonnes, dates) = (
        growth(Axis::Hours),
        growth(Axis::Tonnes),
        growth(Axis::Date),
    );
    assert_eq!(
        (hours.x_scale, dates.x_scale),
        (XScale::Number, XScale::Days)
    );
    let read = |g: &draw::Growth| {
        g.series[0].segments[0]
            .readings
            .iter()
            .map(|r| r.at.x)
            .collect::<Vec<_>>()
    };
    assert_eq!(read(&hours), [1_015.0, 2_005.0, 3_025.0, 4_030.0]);
    let days = read(&dates);
    assert!(
        (days[1] - days[0] - 119.0).abs() < 1e-9,
        "2025-03-11 to 2025-07-08: {days:?}"
    );
    assert_eq!(
        read(&tonnes),
        [304.5, 601.5, 907.5, 1_209.0],
        "300 t an hour, in thousand tonnes"
    );
    assert_eq!(tonnes.turns[3].x, 907.5);
    assert_eq!(dates.turns.len(), 5);
    assert_eq!(dates.turns[1].x, days[0], "turned when it was read");
}

#[test]
fn readings_are_copied_as_a_table_in_the_unit_shown() {
    let show = Show {
        unit: LengthUnit::Inch,
        ..Show::default()
    };
    let text = plot::as_text(&page(), show);
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines.len(), 1 + 15);
    assert_eq!(
        lines[0],
        "bearing\tdate\tmill hours\tkt\trows\tend play, in\tU, in\twhat"
    );
    assert_eq!(
        lines[1],
        "TH-4T-031\t2024-11-12\t0.0\t0.0\t1\u{2013}2\t0.01181\t\tas set"
    );
    assert_eq!(
        lines[13],
        "TH-4T-031\t2026-03-10\t4030.0\t1209.0\t1\u{2013}2\t0.02264\t0.00059\tread"
    );
}

fn bearing_page() -> Harness<'static, Page<PageModel, PageView>> {
    let model = PageModel {
        page: page(),
        anchor: String::new(),
        is_demo: false,
    };
    page_of(model, Show::default(), SIZE, bearing_ui)
}

#[test]
fn the_page_of_a_bearing_shows_state_number_pairs_and_the_way_to_each_sheet() {
    let mut h = bearing_page();
    for words in [
        "0.575 mm",
        "in a ready chock WC-31",
        "Outer rings of TH-4T-031",
        "What happened",
    ] {
        assert!(sees(&h, words), "{words}");
    }
    assert!(sees(
        &h,
        "rows 1\u{2013}2: now 0.575, 1.92 times as set, 0.065 per 1,000 h"
    ));
    // While the wear is worked out its room is kept; afterwards nothing is said where there is none.
    assert!(sees(&h, "The wear of the shop is being worked out ..."));
    h.state_mut().view.wear = Some(std::sync::Arc::new(Err(NoWear::nothing_grown())));
    h.run_steps(2);
    press(&mut h, "Readings as a table");
    press(&mut h, "2026-03-10 rows 1\u{2013}2, 0.575 read");
    assert_eq!(routes(&h.state().pushed), [Route::Signed(14)]);
    press(&mut h, "Growth against: tonnes");
    assert_eq!(h.state().view.axis, Axis::Tonnes);
    // By keyboard: the choice beside it.
    h.get_by_label("Growth against: date").focus();
    h.run_steps(2);
    h.key_press(egui::Key::Enter);
    h.run_steps(3);
    assert_eq!(h.state().view.axis, Axis::Date);
    press(&mut h, "New teardown");
    let Some(Command::NewSheet { known }) = h.state().pushed.last() else {
        panic!("no sheet was begun")
    };
    assert_eq!(known[0], ("identify.bearing".into(), "TH-4T-031".into()));
    assert_eq!(known[1], ("identify.chock".into(), "WC-31".into()));
}

#[test]
fn print_and_drawing_ask_for_a_path_and_then_run() {
    let mut h = bearing_page();
    h.state_mut().view.is_print_asked = true;
    h.run_steps(4);
    let field = h.get_by_label("File to write");
    assert_eq!(
        field.value().as_deref(),
        Some("/nowhere/TH-4T-031-history.pdf")
    );
    press(&mut h, "Print");
    assert!(
        matches!(h.state().pushed.last(), Some(Command::Run(work)) if work.title.contains("history"))
    );
    press(&mut h, "Save the drawing as SVG");
    press(&mut h, "Cancel");
    press(&mut h, "Save the drawing as SVG");
    press(&mut h, "Save");
    assert!(
        matches!(h.state().pushed.last(), Some(Command::Run(work)) if work.title.contains("drawing"))
    );
    assert_eq!(h.state().pushed.len(), 2, "cancelled means nothing is done");
}

pub(super) fn reading(path: &str, text: &str, value: i64) -> Reading {
    let unit = if path.contains(".temp") { "C" } else { "mm" };
    Reading {
        path: path.into(),
        text: text.into(),
        unit: unit.into(),
        value,
        source: "typed".into(),
        gauge: None,
        is_gauge_overdue: false,
    }
}

pub(in crate::win::screens) fn judgement(
    about: &str,
    item: i64,
    verdict: &str,
    nm: [i64; 3],
    ppm: i64,
) -> Judgement {
    let [value, upper, u] = nm;
    Judgement {
        about: about.into(),
        item,
        verdict: verdict.into(),
        value_nm: Some(value),
        expanded_uncertainty_nm: Some(u),
        lower_nm: None,
        upper_nm: Some(upper),
        limit_origin: "limits of N4T-480/620-336".into(),
        limit_version: None,
        probability_ppm: Some(ppm),
        rule: "ISO 14253-1:2017, conformity from 0.95, in doubt to 0.05".into(),
        method: format!("{about} 1"),
        note: String::new(),
    }
}

/// A teardown with one gap row, one bore reading, a choice in words and something left out.
pub(in crate::win::screens) fn sheet(no: i64) -> SheetDetail {
    let origin = Origin([7; 16]);
    let at = day("2026-03-10");
    let body = SheetBody {
        findings: Vec::new(),
        readings: vec![
            reading("clearance.gap.1.0", "23.372", 23_372_000),
            reading("clearance.gap.1.90", "0.920 in", 23_368_000),
            reading("clearance.spacer.1", "24.012", 24_012_000),
            reading("bore.1.0", "620.072", 620_072_000),
            reading("bore.temp_first", "23.2", 23_200),
            reading("grease.row.1", "350", 350_000),
        ],
        entries: vec![
            Entry {
                path: "identify.note".into(),
                text: "looks crooked".into(),
            },
            Entry {
                path: "identify.zone".into(),
                text: "2".into(),
            },
            Entry {
                path: "clearance.gauge_gap".into(),
                text: "GB-01".into(),
            },
            Entry {
                path: "grease.kind".into(),
                text: "G-2".into(),
            },
        ],
        results: vec![
            Outcome {
                name: "end_play_nm".into(),
                item: 1,
                value: 640_000,
            },
            Outcome {
                name: "mean_gap_nm".into(),
                item: 1,
                value: 23_372_000,
            },
        ],
        verdicts: vec![
            judgement("clearance", 1, "fail", [640_000, 600_000, 15_000], 0),
            judgement(
                "bore_mean",
                0,
                "pass_in_doubt",
                [113_000, 120_000, 10_000],
                919_243,
            ),
        ],
        photos: Vec::new(),
        not_measured: vec![NotMeasured {
            what: "neck".into(),
            reason: "roll is in the mill".into(),
        }],
    };
    let decision = Decision {
        recommended: "regrind_spacers".into(),
        reasons: vec!["Rows 1\u{2013}2 are over the limit.".into()],
        causes: Vec::new(),
        decided: "hold_for_engineer".into(),
        departure: "grinder is down".into(),
    };
    let teardown = TeardownSheet {
        bearing: Ref::Own(1),
        chock: Ref::Own(2),
        roll: None,
        position: None,
        zone_found: Some(2),
        body: body.clone(),
        decision,
        reassembly: Some(store::payload::Reassembly {
            chock: Ref::Own(2),
            zone: 4,
            zone_reason: String::new(),
        }),
        fitter: None,
        ordered_by: None,
    };
    let mut event = Event {
        no,
        id: EventId { origin, seq: no },
        kind: "teardown_sheet".into(),
        kind_version: 1,
        at,
        entered: at,
        person: None,
        payload: "{}".into(),
        prev_hash: [0; 32],
        hash: [0; 32],
    };
    event.hash = event.expected_hash();
    SheetDetail {
        rows: 4,
        mounting: None,
        amended: Vec::new(),
        marks: Vec::new(),
        documents: Vec::new(),
        suspects: Vec::new(),
        is_withdrawn: false,
        side: String::new(),
        note: String::new(),
        event,
        teardown: Some(teardown),
        body,
        bearing: "TH-4T-031".into(),
        chock: "WC-31".into(),
        roll: String::new(),
        inner_half: String::new(),
        position: "F6-W-T-D".into(),
        back_into: "WC-31".into(),
        signer: "Foreman A".into(),
        fitter: String::new(),
        ordered_by: String::new(),
        total_run_s: 4_030 * 3600,
        stay_run_s: 1_005 * 3600,
        gauges: BTreeMap::new(),
        gauge_codes: BTreeMap::new(),
    }
}

pub(super) fn signed(detail: SheetDetail) -> Harness<'static, Page<SignedModel, SignedView>> {
    let model = SignedModel {
        laid: Laid::of(&detail, Show::default()),
        detail,
        bearing_type: Some(bearing_type()),
        bearing: Some(ThingNo(31)),
        chock: Some(ThingNo(131)),
    };
    page_of(model, Show::default(), [1168.0, 6_000.0], signed_ui)
}

#[test]
fn a_signed_sheet_leaves_nothing_out() {
    let h = signed(sheet(14));
    for words in [
        "23.372",
        "0.920 in",
        "24.012",
        "620.072",
        "chock first 23.2 \u{b0}C",
        "looks crooked",
        "Load zone up as found: II",
        "Gauge for the gaps: GB-01",
        "Grease, row 1: 350",
        "Grease: G-2",
        "left out",
        "Roll neck not measured, because roll is in the mill",
        "Rows 1\u{2013}2 are over the limit.",
        "Otherwise, because: grinder is down",
        "Load zone up now: IV",
        "Signed by: Foreman A",
        "it is what was signed",
    ] {
        assert!(sees(&h, words), "{words}");
    }
}

#[test]
fn a_verdict_says_why_and_the_links_lead_to_bearing_and_chock() {
    let mut h = signed(sheet(14));
    press(&mut h, "Chock bore, mean size: pass in doubt; why?");
    for words in [
        "Why: Chock bore, mean size",
        "0.92",
        "at most +0.120 mm",
        "ISO 14253-1:2017",
    ] {
        assert!(sees(&h, words), "{words}");
    }
    h.key_press(egui::Key::Escape);
    h.run_steps(3);
    assert!(h.state().view.why.is_none());
    press(&mut h, "Bearing TH-4T-031");
    press(&mut h, "Chock WC-31");
    assert_eq!(
        routes(&h.state().pushed),
        [Route::Bearing(ThingNo(31)), Route::Chock(ThingNo(131))]
    );
}

#[test]
fn a_sheet_that_was_altered_is_told() {
    let mut detail = sheet(14);
    detail.event.payload = "{\"changed\":1}".into();
    let h = signed(detail);
    assert!(sees(&h, "This is not what was signed"));
    assert!(!sees(&h, "it is what was signed."));
}
