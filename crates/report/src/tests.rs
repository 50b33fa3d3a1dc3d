//! Whole documents: every text arrives, nothing runs off the page, equal input gives equal bytes.
#![allow(clippy::unwrap_used)]

mod calculation;
mod cost;
mod papers;

use std::collections::BTreeSet;

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use typst::layout::{Frame, FrameItem, Point, Transform};
use typst_layout::PagedDocument;

use super::*;

/// Room between the printed text and the edge of the sheet, points.
const EDGE_PT: f64 = 24.0;
/// Fields that hold a name of a kind or a drawing instead of words.
const NO_WORDS: [&str; 7] = ["mark", "verdict", "tone", "align", "svg", "alt", "part"];

const SQUARE: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"8\" height=\"8\"><path d=\"M0 0h8v8z\"/></svg>";

/// A history in which no field is empty.
fn full() -> History {
    let s = || String::from("x");
    let labelled = || {
        vec![
            Labelled {
                label: s(),
                value: s()
            };
            2
        ]
    };
    let signature_lines = || {
        vec![
            SignatureLine {
                who: s(),
                what: s()
            };
            4
        ]
    };
    let pieces = || {
        vec![
            Piece::plain("x"),
            Piece::bold("x"),
            Piece::struck("x"),
            Piece::muted("x"),
        ]
    };
    let drawing = || Drawing {
        title: s(),
        note: s(),
        svg: SQUARE.into(),
        alt: s(),
        key: vec![
            KeyLine {
                sign: s(),
                text: s(),
                mark: Mark::Fail
            };
            2
        ],
    };
    let cell = |mark| Cell {
        pieces: pieces(),
        under: s(),
        mark,
    };
    let sheet = || SheetDetail {
        title: s(),
        record: s(),
        date: s(),
        entered: s(),
        late: true,
        place: s(),
        chock: s(),
        roll: s(),
        signers: signature_lines(),
        found: labelled(),
        tables: vec![Table {
            title: s(),
            note: s(),
            columns: vec![Column::text("x"), Column::wide("x"), Column::number("x")],
            rows: vec![
                vec![cell(None), cell(Some(Mark::Pass)), cell(None)],
                vec![cell(Some(Mark::Missing))],
            ],
            half: false,
        }],
        drawings: vec![drawing()],
        photos: vec![Photo {
            caption: s(),
            hash: s(),
            bytes: Vec::new(),
        }],
        gauges: vec![GaugeLine {
            code: s(),
            kind: s(),
            uncertainty: s(),
            certificate: s(),
            standard: s(),
            due: s(),
            status: s(),
            mark: Mark::PassInDoubt,
        }],
        verdicts: Mark::ALL
            .map(|verdict| VerdictLine {
                about: s(),
                value: s(),
                uncertainty: s(),
                limit: s(),
                origin: s(),
                rule: s(),
                method: s(),
                verdict,
            })
            .to_vec(),
        decision: Some(Decision {
            recommended: s(),
            decided: s(),
            mark: Mark::FailInDoubt,
            reasons: vec![s(), s()],
            departure: s(),
            ordered_by: s(),
        }),
        not_measured: labelled(),
        notes: vec![s(), s()],
    };
    let correction = |sheet| Correction {
        code: s(),
        date: s(),
        sheet,
        what: s(),
        old: s(),
        new: s(),
        reason: s(),
        signer: s(),
        effect: s(),
    };
    History {
        plant: s(),
        serial: s(),
        title_line: s(),
        headline: s(),
        summary: s(),
        left_out: s(),
        state: Marked {
            text: s(),
            mark: Mark::Pass,
        },
        identity: labelled(),
        limits: labelled(),
        ring_map_svg: Some(drawing()),
        growth_svg: Some(drawing()),
        notes: vec![Noted {
            title: s(),
            lines: vec![s()],
        }],
        events: vec![
            EventLine {
                date: s(),
                place: s(),
                hours: s(),
                found: pieces(),
                done: s(),
                signer: s(),
                entered: s(),
                late: true,
                amended: true,
            };
            3
        ],
        sheets: vec![sheet(), sheet()],
        corrections: vec![correction(Some(1)), correction(None)],
        anchor: s(),
        chain_check: Marked {
            text: s(),
            mark: Mark::Fail,
        },
        printed_at: s(),
        printed_utc: UtcMoment {
            year: 2026,
            month: 10,
            day: 30,
            hour: 14,
            minute: 2,
            second: 0,
        },
        printed_for: s(),
        program: s(),
        demo: true,
        cautions: vec![s(), s()],
        signature_lines: signature_lines(),
    }
}

/// One item of every list of the full history: every field once, which is enough where texts are long.
fn one_of_each() -> History {
    let mut history = full();
    history.identity.truncate(1);
    history.limits.truncate(1);
    history.events.truncate(1);
    history.sheets.truncate(1);
    history.corrections.truncate(1);
    history.corrections[0].sheet = Some(0);
    history.cautions.truncate(1);
    history.signature_lines.truncate(1);
    let sheet = &mut history.sheets[0];
    sheet.signers.truncate(1);
    sheet.found.truncate(1);
    sheet.tables[0].rows.truncate(1);
    sheet.verdicts.truncate(1);
    sheet.not_measured.truncate(1);
    sheet.notes.truncate(1);
    history
}

/// The model with other words in every field; also the words, in order.
fn worded<M: Serialize + DeserializeOwned>(
    model: &M,
    words_of: &mut dyn FnMut(usize) -> String,
) -> (M, Vec<String>) {
    fn fill(value: &mut Value, words_of: &mut dyn FnMut(usize) -> String, words: &mut Vec<String>) {
        match value {
            Value::String(s) => {
                *s = words_of(words.len());
                words.push(s.clone());
            }
            Value::Array(items) => items
                .iter_mut()
                .for_each(|item| fill(item, words_of, words)),
            Value::Object(fields) => {
                for (_, field) in fields
                    .iter_mut()
                    .filter(|(name, _)| !NO_WORDS.contains(&name.as_str()))
                {
                    fill(field, words_of, words);
                }
            }
            _ => {}
        }
    }
    let mut value = serde_json::to_value(model).unwrap();
    let mut words = Vec::new();
    fill(&mut value, words_of, &mut words);
    (serde_json::from_value(value).unwrap(), words)
}

/// A run of text on a page: where it begins and ends, and what it says.
struct Run {
    at: Point,
    end: Point,
    text: String,
}

fn runs_of(frame: &Frame, origin: Transform, runs: &mut Vec<Run>) {
    for (at, item) in frame.items() {
        let here = origin.pre_concat(Transform::translate(at.x, at.y));
        match item {
            FrameItem::Group(group) => {
                runs_of(&group.frame, here.pre_concat(group.transform), runs);
            }
            FrameItem::Text(text) => runs.push(Run {
                at: Point::zero().transform(here),
                end: Point::with_x(text.width()).transform(here),
                text: text.text.to_string(),
            }),
            _ => {}
        }
    }
}

fn runs(document: &PagedDocument) -> Vec<Vec<Run>> {
    let of_page = |frame: &Frame| {
        let mut runs = Vec::new();
        runs_of(frame, Transform::identity(), &mut runs);
        runs
    };
    document
        .pages()
        .iter()
        .map(|page| of_page(&page.frame))
        .collect()
}

fn without_spaces(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// What each page says, without spaces, for lines end anywhere.
fn said(document: &PagedDocument) -> Vec<String> {
    let page =
        |runs: Vec<Run>| without_spaces(&runs.into_iter().map(|run| run.text).collect::<String>());
    runs(document).into_iter().map(page).collect()
}

#[track_caller]
fn assert_nothing_runs_off(document: &PagedDocument) {
    for (page, runs) in document.pages().iter().zip(runs(document)) {
        let size = page.frame.size();
        for run in runs {
            let inside = run.at.x.to_pt() >= EDGE_PT
                && run.end.x.to_pt() <= size.x.to_pt() - EDGE_PT
                && run.at.y.to_pt() >= EDGE_PT
                && run.at.y.to_pt() <= size.y.to_pt() - EDGE_PT;
            assert!(
                inside,
                "page {}: \"{}\" stands from {:?} to {:?}",
                page.number, run.text, run.at, run.end
            );
        }
    }
}

#[test]
fn every_text_of_the_model_is_printed() {
    let (history, words) = worded(&full(), &mut |at| format!("w{at}w"));
    assert!(words.len() > 200, "only {} texts were filled", words.len());
    let document = history_pages(&history).unwrap();
    let told = said(&document).concat();
    let lost: Vec<&String> = words
        .iter()
        .filter(|word| !told.contains(word.as_str()))
        .collect();
    assert!(lost.is_empty(), "not printed: {lost:?}");
    assert_nothing_runs_off(&document);
}

#[test]
fn texts_that_look_like_markup_stay_text() {
    let markup = [
        "#panic()", "$x^2$", "*bold*", "_it_", "@ref", "[a]", "= h", "- x", "`r`", "<l>",
        "\\u{41}", "//c", "~",
    ];
    let (history, words) = worded(&full(), &mut |at| {
        format!(
            "{}{at}. {}",
            markup[at % markup.len()],
            markup[(at + 5) % 13]
        )
    });
    let told = said(&history_pages(&history).unwrap()).concat();
    for word in words {
        assert!(told.contains(&without_spaces(&word)), "{word} was changed");
    }
}

#[test]
fn five_hundred_characters_without_a_space_are_broken_and_none_is_lost() {
    let (history, words) = worded(&one_of_each(), &mut |_| "W".repeat(500));
    let document = history_pages(&history).unwrap();
    let told = said(&document).concat();
    assert!(
        told.matches('W').count() >= words.len() * 500,
        "letters of {} texts are lost",
        words.len()
    );
    assert_nothing_runs_off(&document);
}

#[test]
fn a_character_without_glyph_is_named_in_every_field_and_makes_a_valid_file() {
    let (history, words) = worded(&full(), &mut |at| format!("中{at}\u{202E}\u{7}"));
    let pages = said(&history_pages(&history).unwrap());
    let told = pages.concat();
    let named = |at: &usize| told.contains(&format!("[U+4E2D]{at}[U+202E][U+0007]"));
    let lost: Vec<usize> = (0..words.len()).filter(|at| !named(at)).collect();
    // In a narrow column the end of a page may stand in the middle of a word.
    assert!(lost.len() < pages.len(), "not named: {lost:?}");
    for sign in ["[U+4E2D]", "[U+202E]", "[U+0007]"] {
        assert!(
            told.matches(sign).count() > words.len() - pages.len(),
            "{sign} is missing"
        );
    }
    // PDF/A refuses a file in which a glyph is missing.
    history_pdf(&history).unwrap();
}

#[test]
fn sixty_events_and_their_head_on_every_page() {
    let line = |at: usize| EventLine {
        date: format!("e{at}e"),
        found: vec![Piece::plain(
            "End play 0.510 / 0.480 / 0.505 mm; watch level passed on all pairs, zone turned.",
        )],
        ..EventLine::default()
    };
    let history = History {
        events: (0..60).map(line).collect(),
        ..History::default()
    };
    let document = history_pages(&history).unwrap();
    let pages = said(&document);
    let of_events = |page: &&String| (0..60).any(|at| page.contains(&format!("e{at}e")));
    assert!(
        pages.iter().filter(of_events).count() >= 2,
        "60 events on {} pages",
        pages.len()
    );
    for page in pages.iter().filter(of_events) {
        assert!(
            page.contains("datewhere,hoursfounddone"),
            "no head on: {page}"
        );
    }
    for at in 0..60 {
        assert!(
            pages.concat().contains(&format!("e{at}e")),
            "event {at} is lost"
        );
    }
    assert_nothing_runs_off(&document);
}

#[test]
fn every_page_says_its_number_the_anchor_and_when_it_was_printed() {
    let mut history = full();
    history.anchor = String::from("0671 8D1F");
    history.printed_at = String::from("2026-10-30 14:02");
    let pages = said(&history_pages(&history).unwrap());
    let count = pages.len();
    assert!(
        count >= 4,
        "an overview, two sheets and the end need four pages, there are {count}"
    );
    for (at, page) in pages.iter().enumerate() {
        for told in [
            format!("page{}of{count}", at + 1),
            "anchor06718D1F".into(),
            "printed2026-10-3014:02".into(),
        ] {
            assert!(page.contains(&told), "{told} is not on page {}", at + 1);
        }
    }
    assert!(pages[count - 1].contains("Endofrecord"));
}

#[test]
fn a_demo_logbook_says_so_on_every_page_and_a_real_one_on_none() {
    for demo in [true, false] {
        let pages = said(&history_pages(&History { demo, ..full() }).unwrap());
        assert!(
            pages
                .iter()
                .all(|page| page.contains("demologbook") == demo),
            "demo: {demo}"
        );
    }
}

#[test]
fn an_empty_history_says_that_it_is_empty() {
    let pages = said(&history_pages(&History::default()).unwrap());
    assert_eq!(pages.len(), 1);
    for told in [
        "Nothingisrecordedyet",
        "Nothingissignedyet",
        "Nocorrectionwasmade",
        "0events,0sheets",
        "Endofrecord",
    ] {
        assert!(pages[0].contains(told), "{told}: {}", pages[0]);
    }
    history_pdf(&History::default()).unwrap();
}

#[test]
fn a_reading_is_printed_as_typed_and_at_20_degrees() {
    let mut history = full();
    history.sheets[0].tables[0].rows[0][0] = Cell::reading("479,742", "479.698");
    let told = said(&history_pages(&history).unwrap()).concat();
    assert!(told.contains("479,742479.698"));
}

#[test]
fn the_file_is_for_archives_and_for_reading_aloud_and_its_bytes_depend_on_the_model_only() {
    let history = full();
    let first = history_pdf(&history).unwrap();
    assert!(first.starts_with(b"%PDF-1.7"));
    let text = String::from_utf8_lossy(&first);
    for claim in ["pdfaid:part", "pdfaid:conformance", "pdfuaid:part"] {
        assert!(text.contains(claim), "{claim} is not in the file");
    }
    assert_eq!(first, history_pdf(&history).unwrap());
    let later = UtcMoment {
        minute: 3,
        ..history.printed_utc
    };
    assert_ne!(
        first,
        history_pdf(&History {
            printed_utc: later,
            ..history
        })
        .unwrap()
    );
}

#[test]
fn the_words_of_the_six_marks_are_printed() {
    let told = said(&history_pages(&full()).unwrap()).concat();
    let words: BTreeSet<String> = Mark::ALL
        .iter()
        .map(|mark| without_spaces(mark.word()))
        .collect();
    assert!(words.iter().all(|word| told.contains(word)), "{words:?}");
}

#[test]
fn what_cannot_be_printed_whole_is_refused_by_name() {
    let refused = |change: &dyn Fn(&mut History)| {
        let mut history = full();
        change(&mut history);
        history_pdf(&history).unwrap_err()
    };
    assert_eq!(
        refused(&|h| h.sheets[1].drawings[0].alt = String::from(" ")),
        ReportError::NoDescription { title: "x".into() }
    );
    assert_eq!(
        refused(&|h| h.sheets[0].tables[0].rows[1] = vec![Cell::default(); 4]),
        ReportError::LongRow {
            table: "x".into(),
            row: 2,
            cells: 4,
            columns: 3
        }
    );
    assert_eq!(
        refused(&|h| h.corrections[0].sheet = Some(2)),
        ReportError::NoSheet {
            code: "x".into(),
            sheet: 2
        }
    );
    let never = UtcMoment {
        month: 2,
        day: 30,
        ..UtcMoment::default()
    };
    assert_eq!(
        refused(&|h| h.printed_utc = never),
        ReportError::NoDate(never)
    );
    assert_eq!(
        refused(&|h| h.anchor = "x".repeat(3_000)),
        ReportError::LongAnchor(3_000)
    );
    assert!(matches!(
        refused(&|h| h.growth_svg.as_mut().unwrap().svg.clear()),
        ReportError::Typeset(_)
    ));
}
