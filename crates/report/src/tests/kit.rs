//! What the tests of whole documents share: a document in which no field is empty, hostile words, the runs of text on pages.

use super::super::*;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;
use typst::layout::{Frame, FrameItem, Point, Transform};
use typst_layout::PagedDocument;

/// Room between the printed text and the edge of the sheet, points.
pub(super) const EDGE_PT: f64 = 24.0;
/// Fields that hold a name of a kind or a drawing instead of words.
pub(super) const NO_WORDS: [&str; 7] = ["mark", "verdict", "tone", "align", "svg", "alt", "part"];

pub(super) const SQUARE: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"8\" height=\"8\"><path d=\"M0 0h8v8z\"/></svg>";

/// A history in which no field is empty.
pub(super) fn full() -> History {
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
pub(super) fn one_of_each() -> History {
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
pub(super) fn worded<M: Serialize + DeserializeOwned>(
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
pub(super) struct Run {
    pub(super) at: Point,
    pub(super) end: Point,
    pub(super) text: String,
}

pub(super) fn runs_of(frame: &Frame, origin: Transform, runs: &mut Vec<Run>) {
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

pub(super) fn runs(document: &PagedDocument) -> Vec<Vec<Run>> {
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

pub(super) fn without_spaces(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// What each page says, without spaces, for lines end anywhere.
pub(super) fn said(document: &PagedDocument) -> Vec<String> {
    let page =
        |runs: Vec<Run>| without_spaces(&runs.into_iter().map(|run| run.text).collect::<String>());
    runs(document).into_iter().map(page).collect()
}

#[track_caller]
pub(super) fn assert_nothing_runs_off(document: &PagedDocument) {
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
