//! The documents of a chock, a gauge, a stand, a shift, and labels.

use report::Part;
use store::sheet::Section;

use super::papers::{no, sheets, shop, table, wished, words};
use super::*;
use crate::print::{Key, What};

#[test]
fn a_chock_tells_its_stays_its_bore_with_every_reading_and_its_events() {
    let shop = shop();
    let chock = no(&shop, "chock", "WC-37");
    let logbook = shop.open();
    let paper =
        crate::print::chock::paper(logbook.connection(), chock, &job(Show::default())).unwrap();
    assert_eq!(paper.title_line, "History of chock WC-37");
    let stays = table(&paper, "Bearings in it");
    assert_eq!(words(stays, 0)[2..4], ["TH-4T-101", "main"]);
    assert_eq!(words(stays, 0)[5], "1,005");
    let bores = table(&paper, "Bore over time");
    assert_eq!(bores.rows.len(), 1);
    assert!(
        words(bores, 0)[2].starts_with("0.152 / "),
        "{:?}",
        words(bores, 0)
    );
    let checks = sheets(&paper);
    assert_eq!(checks.len(), 1);
    let bore = &checks[0].sheet;
    let all = format!("{bore:?}");
    for size in ["620.062", "620,118", "620.214", "620.093"] {
        assert!(all.contains(size), "{size}");
    }
    assert!(!all.contains("23.304"), "gaps are no part of the bore");
    assert_eq!(bore.gauges.len(), 1);
    assert!(
        bore.verdicts
            .iter()
            .all(|v| v.about.starts_with("Chock bore"))
    );
    assert_eq!(bore.drawings.len(), 1);
    assert!(bore.notes[0].contains("Foreman A"));
}

#[test]
fn a_gauge_tells_every_reading_since_its_calibration_in_the_order_of_measuring() {
    let shop = shop();
    let gauge = no(&shop, "gauge", "GB-01");
    let of = |since_ms| {
        let logbook = shop.open();
        let job = job(Show::default());
        crate::print::gauge::paper(logbook.connection(), gauge, since_ms, &job).unwrap()
    };
    let whole = of(Some(0));
    let uses = table(&whole, "Where it was used");
    assert_eq!(uses.rows.len(), 2, "two sheets");
    let first = words(uses, 0);
    assert!(first[1].starts_with("TH-4T-101, WC-37"), "{first:?}");
    assert!(
        first[2].contains("gap 1–2: 23.372 23,366 23.378 23.372; gap 2–3: "),
        "{first:?}"
    );
    assert_eq!(whole.counts.split(", ").nth(1), Some("24 readings"));

    // A calibration in between: the readings before it are counted with the one before.
    let due = "{\"kind\":\"gauge_calibrated\",\"at\":\"2026-06-01\",\"gauge\":\"GB-01\",\"certificate\":\"C-9\",\"due\":\"2027-06-01\",\"expanded_uncertainty_um\":\"12\"}\n";
    shop.log(due, ENGINEER, &PIN);
    let newer = of(Stamp::parse("2026-06-01", 60).map(|at| at.ms));
    assert_eq!(table(&newer, "Where it was used").rows.len(), 1);
    assert!(
        newer
            .summary
            .contains("12 readings on 1 sheet since 2026-06-01"),
        "{}",
        newer.summary
    );
    let calibrations = table(&newer, "Calibrations");
    let rows = (0..calibrations.rows.len()).map(|at| words(calibrations, at));
    let row = rows
        .into_iter()
        .find(|row| row[1].starts_with("C-9 | 0.012 mm"));
    assert_eq!(row.unwrap()[3..5], ["12", "1"]);
    // Found out: said on its first page, with what was said about it.
    let bad = "{\"kind\":\"gauge_found_out\",\"gauge\":\"GB-01\",\"error_um\":\"24\",\"text\":\"reads large on its block\"}\n";
    shop.log(bad, ENGINEER, &PIN);
    let found_out = of(None);
    assert_eq!(found_out.state.mark, Mark::Fail, "{:?}", found_out.state);
    let said = format!("{:?}", found_out.parts);
    assert!(
        said.contains("Gauge found out") && said.contains("+24 \u{b5}m"),
        "{said}"
    );
    // The gauge was registered after that work: nothing has been read with it since.
    assert!(
        of(None)
            .summary
            .starts_with("0 readings on 0 sheets since its calibration of 2026-10-30")
    );
}

#[test]
fn a_stand_tells_what_ran_and_how_clearances_grew_in_the_period_alone() {
    let shop = shop();
    let stand = no(&shop, "stand", "F6");
    let ms = |day: &str| Stamp::parse(day, 60).unwrap().ms;
    let of = |from: &str, until: &str| {
        let logbook = shop.open();
        crate::print::stand::paper(
            logbook.connection(),
            stand,
            ms(from),
            ms(until),
            &job(Show::default()),
        )
        .unwrap()
    };
    let paper = of("2025-01-01", "2026-12-31");
    let teardowns = table(&paper, "Teardowns");
    assert!(!teardowns.rows.is_empty());
    let first = words(teardowns, 0);
    // By hand: 0.640 - 0.300 and so on over the stay of 1,005 h.
    assert_eq!(first[3].split(" | ").next(), Some("1,005"), "{first:?}");
    assert_eq!(
        first[4],
        "0.640 / 0.580 / 0.630 | grown 0.340 / 0.280 / 0.330"
    );
    let growth = table(&paper, "Growth as found");
    let row = words(growth, 0);
    let per_1000_h = (0.340_f64 / 1.005 * 1000.0).round() / 1000.0;
    assert_eq!(row[4], format!("{per_1000_h:.3} | from 1"), "{row:?}");
    let drawn = paper.parts.iter().find_map(|part| match part {
        Part::Drawing(drawing) => Some(drawing),
        _ => None,
    });
    let told = format!("rows 1\u{2013}2 {per_1000_h:.3} (one stay)");
    assert!(
        drawn.is_some_and(|d| d.alt.contains(&told)),
        "{told}: {drawn:?}"
    );
    let before = of("2020-01-01", "2020-12-31");
    assert!(
        !before
            .parts
            .iter()
            .any(|part| matches!(part, Part::Drawing(_)))
    );
    assert!(table(&before, "Teardowns").rows.is_empty());
    assert_eq!(before.state.text, "no teardown");
}

#[test]
fn a_hand_over_tells_what_was_entered_since_and_what_a_draft_still_lacks() {
    let shop = shop();
    let mut logbook = shop.open();
    let draft = logbook.start_draft("teardown_sheet", None).unwrap();
    let typed = store::draft::Source::Typed;
    logbook
        .keep_draft(
            draft,
            &[("identify.chock", "WC-37", typed)],
            "identify.chock",
        )
        .unwrap();
    let job = PrintJob {
        now: logbook.now(),
        ..job(Show::default())
    };
    let entered = |since_ms: i64| {
        let paper = crate::print::handover::paper(logbook.connection(), since_ms, &job).unwrap();
        let lines = paper.parts.iter().find_map(|part| match part {
            Part::Events { lines, .. } => Some(lines.len()),
            _ => None,
        });
        (paper.clone(), lines.unwrap())
    };
    let (paper, all) = entered(0);
    assert!(all > 2, "{all} entries");
    assert_eq!(entered(job.now.ms).1, 0);
    let of_draft = table(&paper, "Draft: teardown of WC-37");
    assert_eq!(of_draft.rows.len(), Section::ALL.len());
    let clearance = words(of_draft, Section::Clearance as usize);
    assert_eq!(clearance[1], "open");
    assert_eq!(paper.imprint.signature_lines.len(), 2);
}

#[test]
fn labels_carry_marks_of_a_kind_or_those_named_in_their_order() {
    let shop = Shop::new();
    let labels = |texts: &[(Key, &str)]| {
        let document = wished(&shop, What::Labels, texts)?;
        let Document::Labels { of, grid } = &document else {
            panic!("{document:?}")
        };
        let logbook = shop.open();
        crate::print::labels::labels(logbook.connection(), of, *grid, &job(Show::default()))
            .map_err(|e| e.to_string())
    };
    let named = labels(&[
        (Key::Of, "wc-37, GB-01 ,TH-4T-101,Foreman A"),
        (Key::Grid, "2x5"),
        (Key::Margin, "8x12.5"),
        (Key::Skip, "3"),
    ])
    .unwrap();
    let marks: Vec<&str> = named.labels.iter().map(|l| l.mark.as_str()).collect();
    assert_eq!(marks, ["WC-37", "GB-01", "TH-4T-101", "Foreman A"]);
    assert_eq!(
        (named.grid.columns, named.grid.rows, named.grid.skipped),
        (2, 5, 3)
    );
    assert_eq!(
        (named.grid.margin_top_um, named.grid.label_width_um),
        (12_500, 0)
    );
    let all = labels(&[(Key::Kind, "gauge")]).unwrap();
    assert!(all.labels.len() > 1 && all.labels.iter().all(|l| l.kind == "gauge"));
    assert_eq!(all.grid, LabelGrid::default());
    for (texts, said) in [
        (
            &[(Key::Of, "WC-99")][..],
            "\"WC-99\" is not in the register",
        ),
        (&[(Key::Kind, "poem")][..], "the register has no poem"),
        (&[][..], "--kind: of which things is missing"),
        (
            &[(Key::Kind, "chock"), (Key::Of, "WC-37")][..],
            "one of them, not both",
        ),
        (
            &[(Key::Kind, "chock"), (Key::Grid, "3")][..],
            "--grid \"3\": two whole numbers",
        ),
        (
            &[(Key::Kind, "chock"), (Key::Label, "axb")][..],
            "--label \"axb\": two numbers in mm",
        ),
        (
            &[(Key::Kind, "chock"), (Key::Skip, "one")][..],
            "--skip \"one\" is no whole number",
        ),
    ] {
        let why = labels(texts).unwrap_err();
        assert!(why.contains(said), "{why}");
    }
}
