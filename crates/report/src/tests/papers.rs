//! The documents beside the history: every text arrives, nothing runs off the page, nothing is read as markup.

use super::*;

fn s() -> String {
    "x".into()
}

fn imprint() -> Imprint {
    let full = full();
    Imprint {
        plant: s(),
        anchor: s(),
        // Said only where there is no anchor: a document of its own below.
        standing: String::new(),
        chain_check: full.chain_check,
        printed_at: s(),
        printed_utc: full.printed_utc,
        printed_for: s(),
        program: s(),
        demo: true,
        cautions: full.cautions,
        signature_lines: full.signature_lines,
    }
}

/// A document with every sort of part.
fn paper() -> Paper {
    let full = full();
    let sheet = full.sheets[0].clone();
    Paper {
        title_line: s(),
        name: s(),
        counts: s(),
        headline: s(),
        state: full.state,
        summary: s(),
        left: full.identity.clone(),
        right: full.limits,
        parts: vec![
            Part::Facts {
                title: s(),
                note: s(),
                rows: full.identity,
            },
            Part::Notes {
                title: s(),
                lines: vec![s(), s()],
            },
            Part::Events {
                title: s(),
                note: s(),
                lines: full.events,
            },
            Part::Table(sheet.tables[0].clone()),
            Part::Drawing(sheet.drawings[0].clone()),
            Part::Gauges {
                lines: sheet.gauges.clone(),
            },
            Part::NewPage,
            Part::Sheet(Box::new(SheetPart {
                sheet,
                corrections: full.corrections,
            })),
        ],
        imprint: imprint(),
    }
}

fn blank() -> Blank {
    let field = |lines, share| BlankField {
        label: s(),
        unit: s(),
        lines,
        share,
    };
    Blank {
        title_line: s(),
        summary: s(),
        sections: vec![BlankSection {
            number: 1,
            title: s(),
            note: s(),
            parts: vec![
                BlankPart::Fields {
                    fields: vec![field(1, 1), field(1, 2)],
                },
                BlankPart::Choice {
                    label: s(),
                    words: vec![s(), s()],
                },
                BlankPart::Table {
                    title: s(),
                    note: s(),
                    heads: vec![s(), s(), s()],
                    rows: vec![s(), s()],
                    first_wide: false,
                },
                BlankPart::Drawing(Drawing {
                    key: Vec::new(),
                    ..full().sheets[0].drawings[0].clone()
                }),
                BlankPart::Note { text: s() },
            ],
        }],
        imprint: Imprint {
            anchor: String::new(),
            chain_check: Marked::default(),
            standing: s(),
            ..imprint()
        },
    }
}

fn labels(count: usize) -> Labels {
    Labels {
        title_line: s(),
        grid: LabelGrid::default(),
        labels: vec![
            Label {
                mark: "WC-17".into(),
                kind: s(),
                detail: s(),
                owner: s(),
            };
            count
        ],
        printed_utc: UtcMoment::default(),
        program: "Chockbook".into(),
    }
}

#[track_caller]
fn assert_told(document: &PagedDocument, words: &[String]) {
    let pages = said(document);
    let told = pages.concat();
    let is_lost = |word: &&String| !told.contains(&without_spaces(word));
    let lost: Vec<&String> = words.iter().filter(is_lost).collect();
    // The end of a page may stand in the middle of a long text, and its foot then too.
    assert!(lost.len() < pages.len(), "not printed: {lost:?}");
    let letters = |text: &str| text.chars().filter(|c| *c == 'W').count();
    assert!(
        letters(&told) >= letters(&words.concat()),
        "letters are lost"
    );
}

/// Words that could be read as markup, right-to-left letters, letters without a glyph, long ones.
fn hostile(at: usize) -> String {
    let words = [
        "#panic()",
        "$x^2$",
        "*b* _i_",
        "@ref <l>",
        "[a] \\u{41}",
        "// c ~ - x",
        "= h `r`",
        "שלום",
        "軸受",
    ];
    format!(
        "{}{at}. {}",
        words[at % words.len()],
        "W".repeat(at % 7 * 4)
    )
}

fn shown(words: &[String]) -> Vec<String> {
    words
        .iter()
        .map(|word| readable::text(word).into_owned())
        .collect()
}

#[test]
fn every_text_of_a_document_of_parts_is_printed() {
    let (paper, words) = worded(&paper(), &mut |at| format!("w{at}w"));
    assert!(words.len() > 150, "only {} texts were filled", words.len());
    let document = paper_pages(&paper).unwrap();
    assert_told(&document, &words);
    assert_nothing_runs_off(&document);
    paper_pdf(&paper).unwrap();
}

#[test]
fn hostile_words_of_a_document_of_parts_stay_words() {
    let (paper, words) = worded(&paper(), &mut hostile);
    let document = paper_pages(&paper).unwrap();
    assert_told(&document, &shown(&words));
    assert_nothing_runs_off(&document);
    paper_pdf(&paper).unwrap();
}

#[test]
fn every_word_of_a_blank_sheet_is_printed_whatever_it_is() {
    let words_of: [fn(usize) -> String; 2] = [|at| format!("w{at}w"), hostile];
    for mut words_of in words_of {
        let (mut blank, mut words) = worded(&blank(), &mut words_of);
        // It has no anchor, and so nothing to check.
        let anchor = std::mem::take(&mut blank.imprint.anchor);
        let unsaid = [anchor, blank.imprint.chain_check.text.clone()];
        words.retain(|word| !unsaid.contains(word));
        let document = blank_pages(&blank).unwrap();
        assert_told(&document, &shown(&words));
        assert_nothing_runs_off(&document);
        blank_pdf(&blank).unwrap();
    }
}

#[test]
fn a_document_says_page_anchor_time_and_end() {
    let mut paper = paper();
    paper.imprint.anchor = "0671 8D1F".into();
    paper.imprint.printed_at = "2026-10-30 14:02".into();
    paper.name = "WC-17".into();
    let pages = said(&paper_pages(&paper).unwrap());
    let count = pages.len();
    assert!(count > 1);
    for (at, page) in pages.iter().enumerate() {
        for told in [
            format!("page{}of{count}", at + 1),
            "anchor06718D1F".into(),
            "printed2026-10-3014:02".into(),
        ] {
            assert!(page.contains(&told), "{told} is not on page {}", at + 1);
        }
    }
    assert!(pages[count - 1].contains("EndofrecordWC-17"));
}

#[test]
fn empty_documents_are_printed_too() {
    let pages = said(&paper_pages(&Paper::default()).unwrap());
    assert_eq!(pages.len(), 1);
    assert!(pages[0].contains("noanchor:nothingissignedyet"));
    paper_pdf(&Paper::default()).unwrap();
    blank_pdf(&Blank::default()).unwrap();
    labels_pdf(&Labels::default()).unwrap();
}

#[test]
fn two_halves_stand_side_by_side_and_a_third_below() {
    let half = Table {
        title: "half".into(),
        columns: vec![Column::wide("plane"), Column::number("0")],
        half: true,
        ..Table::default()
    };
    let paper = Paper {
        parts: vec![Part::Sheet(Box::new(SheetPart {
            sheet: SheetDetail {
                tables: vec![half.clone(), half.clone(), half],
                ..SheetDetail::default()
            },
            ..SheetPart::default()
        }))],
        ..Paper::default()
    };
    let runs = runs(&paper_pages(&paper).unwrap()).remove(0);
    let at: Vec<(i64, i64)> = runs
        .iter()
        .filter(|run| run.text == "half")
        .map(|run| (run.at.x.to_pt() as i64, run.at.y.to_pt() as i64))
        .collect();
    assert_eq!(at.len(), 3);
    assert!(at[0].1 == at[1].1 && at[0].0 < at[1].0, "{at:?}");
    assert!(at[2].1 > at[1].1 && at[2].0 == at[0].0, "{at:?}");
}

#[test]
fn labels_fill_the_places_of_the_sheet_and_pass_over_the_used_ones() {
    let mut labels = labels(25);
    let document = labels_pages(&labels).unwrap();
    assert_eq!(document.pages().len(), 2, "24 on a sheet");
    labels.labels.truncate(1);
    labels.grid.skipped = 4;
    let place = |labels: &Labels| {
        let runs = runs(&labels_pages(labels).unwrap()).remove(0);
        let mark = runs.into_iter().find(|run| run.text == "WC-17").unwrap();
        (mark.at.x.to_mm(), mark.at.y.to_mm())
    };
    let (x, y) = place(&labels);
    // The fifth place: second column, second row.
    assert!(
        (70.0..140.0).contains(&x) && (37.5..74.5).contains(&y),
        "{x} {y}"
    );
}

#[test]
fn a_label_keeps_all_its_words_however_long_and_names_what_no_font_has() {
    let mut labels = labels(1);
    let label = &mut labels.labels[0];
    label.mark = "M".repeat(120);
    label.kind = "#panic() 中".into();
    label.detail = "d".repeat(300);
    let document = labels_pages(&labels).unwrap();
    let told = said(&document).concat();
    assert_eq!(told.matches('M').count(), 120);
    assert_eq!(told.matches('d').count(), 300);
    assert!(told.contains("#panic()[U+4E2D]"));
    for run in runs(&document).into_iter().flatten() {
        let (x, y) = (run.end.x.to_mm(), run.at.y.to_mm());
        assert!(x <= 70.0 && y <= 37.5, "{} ends at {x} {y}", run.text);
    }
    labels_pdf(&labels).unwrap();
}

#[test]
fn what_cannot_be_printed_is_refused_by_name() {
    let mut paper = paper();
    paper.parts = vec![Part::Drawing(Drawing::default())];
    assert!(matches!(
        paper_pdf(&paper),
        Err(ReportError::NoDescription { .. })
    ));
    paper.parts = vec![Part::Table(Table {
        rows: vec![vec![Cell::default()]],
        ..Table::default()
    })];
    assert!(matches!(
        paper_pdf(&paper),
        Err(ReportError::LongRow { row: 1, .. })
    ));
    let mut labels = labels(1);
    labels.grid.columns = 4;
    assert!(matches!(labels_pdf(&labels), Err(ReportError::Grid(_))));
    labels.grid.columns = 3;
    labels.labels[0].mark = "x".repeat(3_000);
    assert_eq!(labels_pdf(&labels), Err(ReportError::LongAnchor(3_000)));
}

#[test]
fn pictures_are_shown_and_a_broken_one_is_named_where_it_should_stand() {
    let mut bytes = std::io::Cursor::new(Vec::new());
    image::RgbImage::from_pixel(8, 6, image::Rgb([200, 30, 30]))
        .write_to(&mut bytes, image::ImageFormat::Jpeg)
        .unwrap();
    let good = bytes.into_inner();
    let photo = |caption: &str, bytes: &[u8]| Photo {
        caption: caption.into(),
        hash: "0f".repeat(32),
        bytes: bytes.to_vec(),
    };
    let mut history = full();
    history.sheets[0].photos = vec![
        photo("ring", &good),
        photo("torn", &good[..good.len() / 3]),
        photo("../../etc/passwd", &[]),
    ];
    let document = history_pages(&history).unwrap();
    let told = said(&document).concat();
    for words in ["ring", "torn", "../../etc/passwd"] {
        assert!(told.contains(words), "{words}");
    }
    // The two here and the one of the second sheet, which has no bytes at all.
    assert_eq!(told.matches("cannotbeshown").count(), 3);
    assert_eq!(
        told.matches(&"0f".repeat(32)).count(),
        3,
        "the hash is told whole"
    );
    assert_nothing_runs_off(&document);
    history_pdf(&history).unwrap();
}
