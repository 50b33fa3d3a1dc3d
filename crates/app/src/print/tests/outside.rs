//! The documents for what goes wrong or goes out: impact note, grind order, repair packet, a sheet that was withdrawn.

use report::Part;
use store::sheet::field;

use super::papers::{FOUND_OUT, no, sheets, shop, table, wished, words};
use super::*;
use crate::print::{Key, What};

#[test]
fn the_impact_note_lists_what_was_read_on_the_gauge_as_recorded_and_corrected() {
    let shop = shop();
    let nothing = wished(&shop, What::Impact, &[(Key::Gauge, "GB-01")]).unwrap();
    let why = nothing.pdf(shop.open().connection(), &job(Show::default()));
    let why = why.unwrap_err().to_string();
    assert!(why.contains("has not been found to read wrongly"), "{why}");

    shop.log(FOUND_OUT, ENGINEER, &PIN);
    let gauge = no(&shop, "gauge", "GB-01");
    let logbook = shop.open();
    let paper = impact::paper(logbook.connection(), gauge, &job(Show::default())).unwrap();
    assert_eq!(paper.headline, "GB-01 reads +12 \u{b5}m");
    let judged = table(&paper, "What was judged on it");
    let first: Vec<String> = words(judged, 0);
    assert!(
        first[1].contains("TH-4T-101, rows 1–2 | End play"),
        "{first:?}"
    );
    assert_eq!(
        first[2..4],
        ["0.640", "0.652"],
        "a gap read too large hides clearance"
    );
    let readings = table(&paper, "The readings behind it");
    assert_eq!(
        words(readings, 0)[1],
        "gap 1–2: 23.372 23.366 23.378 23.372"
    );
    assert_eq!(
        words(readings, 0)[2],
        "gap 1–2: 23.360 23.354 23.366 23.360"
    );
    let history = printed(&shop, Show::default());
    let suspect = |sheet: &report::SheetDetail| {
        sheet
            .notes
            .iter()
            .any(|n| n.starts_with("Suspect gauge GB-01"))
    };
    assert!(
        history.sheets.iter().all(suspect),
        "each sheet of the history says so"
    );
    assert!(
        history.events.iter().any(|e| e
            .found
            .iter()
            .any(|p| p.text.contains("suspect gauge GB-01"))),
        "and the list of events"
    );
}

#[test]
fn the_grind_order_gives_the_widths_of_the_signed_sheet_and_what_follows() {
    let shop = shop();
    let of = [(Key::Bearing, "TH-4T-101"), (Key::Date, "2026-03-21")];
    let Document::Grind(of) = wished(&shop, What::Grind, &of).unwrap() else {
        panic!("another document")
    };
    let logbook = shop.open();
    let paper = grind::paper(logbook.connection(), of, &job(Show::default())).unwrap();
    assert!(
        paper.summary.starts_with(
            "Grind S1 by 0.340 mm to 23.672 mm, S2 by 0.280 mm to 29.724 mm, S3 by 0.330 mm to 23.678 mm."
        ),
        "{}",
        paper.summary
    );
    let ground = table(&paper, "To grind");
    assert_eq!(
        words(ground, 1)[..2],
        ["S2 | inner rings", "rows 2\u{2013}3"]
    );
    let follows = paper.parts.iter().find_map(|part| match part {
        Part::Facts { title, rows, .. } if title == "What follows" => Some(rows),
        _ => None,
    });
    let told: Vec<&str> = follows
        .unwrap()
        .iter()
        .map(|row| row.value.as_str())
        .collect();
    assert_eq!(
        told[0],
        "shorter by 0.670 mm as ordered, by 0.664 mm as measured"
    );
    assert!(
        paper
            .parts
            .iter()
            .any(|part| matches!(part, Part::Drawing(_))),
        "the stack is drawn"
    );

    let second = wished(&shop, What::Grind, &[(Key::Bearing, "TH-4T-101")]).unwrap();
    let why = second
        .pdf(logbook.connection(), &job(Show::default()))
        .unwrap_err();
    assert!(
        why.to_string()
            .contains("no spacer of TH-4T-101 is to be ground"),
        "{why}"
    );
    let open = [(Key::Bearing, "TH-4T-101"), (Key::Open, "yes")];
    let why = wished(&shop, What::Grind, &open).unwrap_err();
    assert!(why.contains("no sheet of TH-4T-101 is open"), "{why}");
}

#[test]
fn a_grind_order_is_printed_from_a_sheet_that_is_not_signed_yet() {
    let shop = shop();
    let mut logbook = shop.open();
    let draft = logbook.start_draft("teardown_sheet", None).unwrap();
    let mut typed = vec![
        ("identify.bearing".to_owned(), "TH-4T-101"),
        ("identify.chock".to_owned(), "WC-37"),
    ];
    for (pair, (gap, spacer)) in [
        ("23.000", "23.674"),
        ("29.100", "29.726"),
        ("23.008", "23.682"),
    ]
    .into_iter()
    .enumerate()
    {
        typed.extend([0, 90, 180, 270].map(|d| (field::gap(pair + 1, d), gap)));
        typed.push((field::spacer(pair + 1), spacer));
    }
    let typed: Vec<_> = typed
        .iter()
        .map(|(path, text)| (path.as_str(), *text, store::draft::Source::Typed))
        .collect();
    logbook.keep_draft(draft, &typed, "").unwrap();
    let paper = grind::paper(
        logbook.connection(),
        grind::OrderOf::Open(draft),
        &job(Show::default()),
    )
    .unwrap();
    assert_eq!(
        (paper.state.text.as_str(), paper.state.mark),
        ("not signed yet", Mark::Missing)
    );
    assert!(
        paper.summary.contains("S1 by 0.370 mm to 23.304 mm"),
        "{}",
        paper.summary
    );
}

#[test]
fn the_repair_packet_says_what_was_found_what_is_asked_for_and_what_it_must_be() {
    let shop = shop();
    shop.log(
        "{\"kind\":\"sent_out\",\"at\":\"2026-09-22\",\"thing\":\"TH-4T-101\",\"to\":\"North Yard\",\"packet\":\"grade 2, table enclosed\"}\n",
        ENGINEER,
        &PIN,
    );
    let logbook = shop.open();
    let bearing = no(&shop, "bearing", "TH-4T-101");
    let paper = packet::paper(
        logbook.connection(),
        packet::Sent::Bearing(bearing),
        None,
        &job(Show::default()),
    )
    .unwrap();
    let told = |title: &str| -> String {
        let rows = paper.parts.iter().find_map(|part| match part {
            Part::Facts {
                title: of, rows, ..
            } if of == title => Some(rows),
            _ => None,
        });
        let rows = rows.unwrap().iter();
        let told: Vec<String> = rows
            .map(|row| format!("{}: {}", row.label, row.value))
            .collect();
        told.join("; ")
    };
    assert!(
        told("What is asked for").contains("grade 2, table enclosed"),
        "{}",
        told("What is asked for")
    );
    assert!(told("What it must be when it comes back").contains("0.270 to 0.330 mm"));
    assert_eq!(sheets(&paper).len(), 1);
    let chock = no(&shop, "chock", "WC-37");
    let paper = packet::paper(
        logbook.connection(),
        packet::Sent::Chock(chock),
        None,
        &job(Show::default()),
    )
    .unwrap();
    assert_eq!(paper.state.text, "bore: fail");
    let bore = &sheets(&paper)[0].sheet;
    assert!(bore.tables.iter().any(|t| t.title == "Chock bore") && !bore.drawings.is_empty());
}

#[test]
fn a_withdrawn_sheet_stays_on_the_print_with_its_readings_struck_through() {
    let shop = shop();
    let logbook = shop.open();
    let sheet = store::query::sheets_of_bearing(
        logbook.connection(),
        no(&shop, "bearing", "TH-4T-101"),
        Show::default(),
    );
    let record = sheet.unwrap().last().unwrap().event.id.to_string();
    drop(logbook);
    let line = format!(
        "{{\"kind\":\"amendment\",\"event\":\"{record}\",\"withdrawn_because\":\"the wrong bearing lay on the bench\"}}\n"
    );
    shop.log(&line, ENGINEER, &PIN);
    let history = printed(&shop, Show::default());
    let gone = history.sheets.last().unwrap();
    assert_eq!(gone.title, "Withdrawn: teardown");
    assert!(
        gone.notes[0].contains("the wrong bearing lay on the bench"),
        "{:?}",
        gone.notes
    );
    let pieces = gone
        .tables
        .iter()
        .flat_map(|t| t.rows.iter().flatten())
        .flat_map(|cell| &cell.pieces);
    assert!(
        pieces.clone().count() > 12
            && pieces
                .clone()
                .all(|piece| piece.tone == report::Tone::Struck)
    );
    assert!(gone.verdicts.is_empty() && gone.decision.is_none());
    assert_eq!(history.sheets.len(), 2, "the other sheet stands as before");
    assert!(history.sheets[0].title.starts_with("Sheet 1"));
}

/// Markup of the typesetter, letters from right to left, letters that no font has, and words without an end.
const HOSTILE: &str = "#panic(1) $x$ \u{5d0}\u{5d1} \u{4e2d} WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW";

#[test]
fn what_people_write_about_a_gauge_or_a_repair_is_printed_as_words_and_gives_the_same_bytes() {
    let shop = shop();
    let told = HOSTILE.repeat(3);
    shop.log(
        &format!("{{\"kind\":\"gauge_found_out\",\"at\":\"2026-09-25T08:00\",\"gauge\":\"GB-01\",\"error_um\":\"-12\",\"text\":\"{told}\"}}\n"),
        ENGINEER,
        &PIN,
    );
    shop.log(
        &format!("{{\"kind\":\"sent_out\",\"at\":\"2026-09-26\",\"thing\":\"TH-4T-101\",\"to\":\"{HOSTILE}\",\"packet\":\"{told}\"}}\n"),
        ENGINEER,
        &PIN,
    );
    let logbook = shop.open();
    for (what, texts) in [
        (What::Impact, [(Key::Gauge, "GB-01")]),
        (What::Packet, [(Key::Bearing, "TH-4T-101")]),
    ] {
        let document = wished(&shop, what, &texts).unwrap();
        let pdf = || {
            document
                .pdf(logbook.connection(), &job(Show::default()))
                .unwrap()
        };
        let first = pdf();
        assert!(first.starts_with(b"%PDF") && first == pdf(), "{what:?}");
    }
    let gauge = no(&shop, "gauge", "GB-01");
    let paper = impact::paper(logbook.connection(), gauge, &job(Show::default())).unwrap();
    assert!(
        paper.left.iter().any(|row| row.value == told),
        "nothing of it is lost"
    );
    assert_eq!(paper.headline, "GB-01 reads \u{2212}12 \u{b5}m");
}
