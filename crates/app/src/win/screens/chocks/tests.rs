//! Register and page of chocks on models of the demo plant.

use std::collections::BTreeMap;

use egui_kittest::Harness;
use store::entry::{LengthUnit, Show};
use store::payload::{Entry, Judgement, Outcome};
use store::query::{BoreCheck, ChockCheck, ChockLine, ChockPage};
use store::sheet::TypeFacts;
use store::{Ref, Stamp, ThingNo};

use super::page::{PageView, chock_ui, leading, number};
use super::register::{By, RegisterView, chocks_ui, place_words};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::bearings::tests::{judgement, sheet};
use crate::win::screens::bearings::verdicts::Judged;
use crate::win::screens::log::tests::{Page, page_of, press, routes, sees};

const SIZE: [f32; 2] = [1168.0, 1600.0];

fn line(no: i64, code: &str, place: &str, note: &str) -> ChockLine {
    ChockLine {
        no: ThingNo(no),
        code: code.into(),
        type_code: "WC top O".into(),
        place: place.into(),
        place_note: note.into(),
        roll: if place == "mill" {
            "R-118".into()
        } else {
            String::new()
        },
        bearings: vec![(ThingNo(8), "TH-4T-008".into(), "main".into())],
        stay_run_s: 344 * 3600,
        interval_run_s: Some(1_000 * 3600),
        extended_ms: None,
        last_bore: Stamp::parse("2026-03-24", 60),
        bore_verdict: if code == "WC-17" {
            "fail".into()
        } else {
            "pass".into()
        },
        held: (code == "WC-44").then(|| "waiting for liner".into()),
    }
}

fn verdict(about: &str, plane: i64, verdict: &str, um: [i64; 2], ppm: i64) -> Judgement {
    let nm = [um[0] * 1_000, um[1] * 1_000, 10_000];
    Judgement {
        limit_version: Some(Ref::Own(4)),
        ..judgement(about, plane, verdict, nm, ppm)
    }
}

fn bearing_type() -> TypeFacts {
    let values = [
        ("chock_bore_lower_nm", 0),
        ("chock_bore_upper_nm", 70_000),
        ("chock_bore_mean_max_nm", 120_000),
    ];
    let values = values.into_iter().chain([("outside_nm", 620_000_000)]);
    TypeFacts {
        code: "N4T-480/620-336".into(),
        version: ThingNo(4),
        valid_from_ms: Stamp::parse("2024-11-01", 60).unwrap().ms,
        values: values
            .map(|(name, value)| ((name.to_owned(), 0), value))
            .collect::<BTreeMap<_, _>>(),
        ..TypeFacts::default()
    }
}

/// The bore of WC-17 (scenario, story B): um above 620 mm, planes by direction.
fn check(event: i64, day: &str, sizes_um: &[i64], verdicts: Vec<Judgement>) -> ChockCheck {
    let planes: Vec<&[i64]> = sizes_um.chunks(4).collect();
    let spread = |plane: &&[i64]| plane.iter().max().unwrap() - plane.iter().min().unwrap();
    let mut detail = sheet(event);
    detail.event.at = Stamp::parse(day, 60).unwrap();
    let outcome = |name: &str, item: i64, value| Outcome {
        name: format!("bore_{name}_nm"),
        item,
        value,
    };
    let sizes_nm: Vec<i64> = sizes_um.iter().map(|um| 620_000_000 + um * 1_000).collect();
    detail.body.results = (1..)
        .zip(&sizes_nm)
        .map(|(item, nm)| outcome("size", item, *nm))
        .collect();
    detail.body.verdicts = verdicts;
    detail.body.entries.push(Entry {
        path: "bore.gauge".into(),
        text: "BG-03".into(),
    });
    ChockCheck {
        is_after_repair: false,
        limits: bearing_type(),
        bore: Some(BoreCheck {
            sizes_nm,
            mean_nm: sizes_um.iter().sum::<i64>() * 1_000 / sizes_um.len() as i64,
            ovality_nm: planes.iter().map(|plane| spread(plane) * 1_000).collect(),
            taper_nm: Some(35_000),
        }),
        sheet: detail,
    }
}

fn page() -> ChockPage {
    let first = [34, 46, 68, 48, 30, 41, 60, 43, 27, 35, 49, 36];
    let worn = [62, 118, 214, 126, 55, 101, 188, 109, 49, 88, 151, 93];
    let verdicts = vec![
        verdict("bore_mean", 0, "pass_in_doubt", [113, 120], 919_243),
        verdict("bore_ovality", 1, "fail", [152, 120], 0),
        verdict("bore_ovality", 2, "fail", [133, 120], 4_661),
        verdict("bore_ovality", 3, "pass", [102, 120], 999_841),
        verdict("bore_taper", 0, "pass", [35, 60], 1_000_000),
    ];
    let faces = [
        ("chock_shoulder", "pass", [21, 50]),
        ("chock_cover_face", "fail", [61, 50]),
    ];
    let before = vec![
        verdict("bore_mean", 0, "pass", [43, 120], 1_000_000),
        verdict("chock_shoulder", 0, "pass", [12, 50], 1_000_000),
    ];
    let faces = faces.map(|(about, word, um)| verdict(about, 0, word, um, 900_000));
    ChockPage {
        documents: Vec::new(),
        line: line(17, "WC-17", "mill", "F3-W-T-O"),
        bearing_type: bearing_type(),
        checks: vec![
            check(1, "2024-12-03", &first, before),
            check(
                2,
                "2026-03-24",
                &worn,
                verdicts.into_iter().chain(faces).collect(),
            ),
        ],
        total_run_s: 6_333 * 3600,
        journal: Vec::new(),
    }
}

#[test]
fn the_one_number_is_the_criterion_furthest_beyond_its_limit() {
    let page = page();
    assert_eq!(leading(&page.checks[1]), Some(1));
    let (number_mm, words) = number(page.checks.last(), Show::default());
    assert_eq!(number_mm, "0.152 mm");
    assert!(
        words.starts_with("ovality of plane 1, at most 0.120 allowed: 0.032 beyond"),
        "{words}"
    );
    let inch = Show {
        unit: LengthUnit::Inch,
        ..Show::default()
    };
    assert_eq!(number(page.checks.last(), inch).0, "0.00598 in");
    assert_eq!(number(None, inch).0, "No bore check yet");
}

#[test]
fn limits_and_margins_are_said_in_words() {
    let check = &page().checks[1];
    let show = Show {
        comma: true,
        ..Show::default()
    };
    let of = |index| Judged::of_sheet(&check.sheet, Some(&check.limits), index, show);
    let judged: Vec<Judged> = (0..5).filter_map(of).collect();
    assert_eq!(judged[0].value(show), "+0,113");
    assert_eq!(judged[0].limit(show), "at most +0,120");
    assert_eq!(judged[0].margin(show), "0,007 to go");
    assert_eq!(judged[1].margin(show), "0,032 beyond");
    let on = Judged {
        value: Some(120_000),
        ..judged[1].clone()
    };
    assert_eq!(on.margin(show), "on the limit");
    let both = Judged {
        lower: Some(-5_000),
        ..judged[0].clone()
    };
    assert_eq!(both.limit(show), "\u{2212}0,005 to +0,120");
    assert!(of(19).is_none());
}

fn shown() -> Harness<'static, Page<ChockPage, PageView>> {
    page_of(page(), Show::default(), SIZE, chock_ui)
}

#[test]
fn the_page_of_a_chock_shows_its_bore_and_leads_to_bearing_and_sheet() {
    let mut h = shown();
    for words in [
        "0.152 mm",
        "in the mill, F3-W-T-O",
        "on roll R-118",
        "Bore on 2026-03-24",
        "Bore of chock WC-17 on 2026-03-24",
        "Largest ovality of a plane: 2024-12-03 0.034, 2026-03-24 0.152",
        "Mean deviation: 2024-12-03 +0.043, 2026-03-24 +0.113",
        "pass in doubt",
    ] {
        assert!(sees(&h, words), "{words}");
    }
    press(&mut h, "Open bearing TH-4T-008, seat main");
    press(&mut h, "Open the sheet of this check");
    assert_eq!(
        routes(&h.state().pushed),
        [Route::Bearing(ThingNo(8)), Route::Signed(2)]
    );
    press(&mut h, "New teardown");
    let Some(Command::NewSheet { known }) = h.state().pushed.last() else {
        panic!("no sheet was begun")
    };
    assert_eq!(known[0], ("identify.chock".into(), "WC-17".into()));
}

#[test]
fn an_earlier_check_can_be_looked_at_and_the_number_stays_that_of_the_last() {
    let mut h = shown();
    press(&mut h, "Check: 2024-12-03");
    assert!(sees(&h, "Bore on 2024-12-03"));
    assert!(sees(&h, "0.152 mm"));
    press(&mut h, "Show the bore of 2026-03-24");
    assert!(
        sees(&h, "Bore on 2026-03-24"),
        "the outline leads there too"
    );
}

#[test]
fn the_bore_is_shown_from_check_to_check_and_faces_and_liners_with_their_reasons() {
    let mut h = shown();
    for words in [
        "Bore from check to check",
        "every outline with its deviation \u{d7} 1,000",
        "Sizes of plane 1 of chock WC-17 over time: 2024-12-03 +0.034 +0.046 +0.068 +0.048; 2026-03-24 +0.062",
        "Sizes of plane 3 of chock WC-17 over time",
        "Chock shoulder, out of square: 0.021, pass",
        "2024-12-03 0.012",
    ] {
        assert!(sees(&h, words), "{words}");
    }
    press(&mut h, "Cover face, out of flat: fail; why?");
    for words in ["Why: Cover face, out of flat", "at most 0.050 mm"] {
        assert!(sees(&h, words), "{words}");
    }
}

#[test]
fn a_bore_of_four_planes_has_four_plots_and_an_outline_of_each() {
    let four = |event, day, first: i64| {
        let sizes: Vec<i64> = (0..16_i64).map(|i| first + i).collect();
        check(event, day, &sizes, Vec::new())
    };
    let checks = vec![four(1, "2025-01-10", 20), four(2, "2026-01-10", 40)];
    let h = page_of::<_, PageView>(
        ChockPage { checks, ..page() },
        Show::default(),
        SIZE,
        chock_ui,
    );
    assert!(sees(&h, "Sizes of plane 4 of chock WC-17 over time"));
}

#[test]
fn a_badge_says_why_and_esc_closes_it() {
    let mut h = shown();
    press(&mut h, "Chock bore, mean size: pass in doubt; why?");
    for words in [
        "Why: Chock bore, mean size",
        "found +0.113",
        "0.92",
        "0.08 beyond",
        "limits of N4T-480/620-336, version of 2024-11-01",
        "mean of all sizes, from nominal; 12 two-point sizes at 20 \u{b0}C, 3 planes of 4",
        "BG-03",
    ] {
        assert!(sees(&h, words), "{words}");
    }
    h.key_press(egui::Key::Escape);
    h.run_steps(3);
    assert!(!sees(&h, "Why: Chock bore, mean size"));
}

#[test]
fn a_chock_without_a_check_says_what_will_stand_there() {
    let h = page_of::<_, PageView>(
        ChockPage {
            checks: Vec::new(),
            ..page()
        },
        Show::default(),
        SIZE,
        chock_ui,
    );
    assert!(sees(&h, "The bore has not been checked yet."));
    assert!(sees(&h, "No bore check yet"));
}

#[test]
fn the_register_of_chocks_is_searched_and_put_in_order() {
    let lines = vec![
        line(1, "WC-44", "shop", "came back with a new liner"),
        line(2, "WC-17", "mill", "F3-W-T-O"),
        line(3, "WC-03", "away", "North Yard"),
    ];
    assert_eq!(
        place_words(&lines[0]),
        "in the shop",
        "in the shop a note tells of the past"
    );
    assert_eq!(place_words(&lines[2]), "away, North Yard");
    let mut view = RegisterView::default();
    assert_eq!(view.shown(&lines), [2, 1, 0]);
    view.search = "th-4t-008 north".into();
    assert_eq!(view.shown(&lines), [2]);
    view.search.clear();
    view.order_by(By::Verdict);
    assert_eq!(view.shown(&lines)[0], 1, "the worst first");
    view.order_by(By::Held);
    assert_eq!(view.shown(&lines)[0], 0);
    let mut h = page_of::<_, RegisterView>(lines, Show::default(), SIZE, |ui, cx, m, v, c| {
        chocks_ui(ui, cx, m, v, c);
    });
    assert!(sees(&h, "Place: 1 in the mill"));
    h.key_press(egui::Key::ArrowDown);
    h.run_steps(2);
    h.key_press(egui::Key::ArrowDown);
    h.run_steps(2);
    h.key_press(egui::Key::Enter);
    h.run_steps(3);
    assert_eq!(routes(&h.state().pushed), [Route::Chock(ThingNo(2))]);
}
