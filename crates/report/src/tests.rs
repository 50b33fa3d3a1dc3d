//! Whole documents: every text arrives, nothing runs off the page, equal input gives equal bytes.
#![allow(clippy::unwrap_used)]

mod calculation;
mod cost;
mod kit;
mod papers;

use std::collections::BTreeSet;

use kit::*;

use super::*;

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
