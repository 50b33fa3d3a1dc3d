//! Shoulder, cover face and width over the liners: the last reading of each with its verdict, and the ones before.

use egui::Ui;
use store::entry::Show;
use store::query::{ChockCheck, ChockPage};

use super::page::{PageView, Why};
use crate::ui::widgets::{self, Col, Columns, Row};
use crate::win::screens::bearings::verdicts::{Judged, why_badge};

/// What is judged, as the record calls it.
const FACES: [&str; 3] = ["chock_shoulder", "chock_cover_face", "chock_width"];

/// Where a reading of a face stands: its sheet, and its place among the verdicts there.
pub(super) fn readings<'p>(
    page: &'p ChockPage,
    about: &'static str,
) -> impl DoubleEndedIterator<Item = (&'p ChockCheck, usize)> {
    page.checks.iter().filter_map(move |check| {
        let (index, _) = check.verdicts().find(|(_, v)| v.about == about)?;
        Some((check, index))
    })
}

/// The table, where anything was measured.
pub(super) fn faces(ui: &mut Ui, show: Show, page: &ChockPage, view: &mut PageView) {
    if FACES
        .iter()
        .all(|about| readings(page, about).next().is_none())
    {
        return;
    }
    let unit = show.unit.sign();
    widgets::heading(
        ui,
        &format!("Faces and liners, {unit}"),
        "last reading of each",
    );
    let columns = Columns::new(vec![
        Col::left("what", 236.0),
        Col::left("on", 84.0),
        Col::right("found", 90.0),
        Col::left("limit", 124.0),
        Col::left("verdict", 136.0),
        Col::rest("before"),
    ]);
    columns.header(ui);
    for about in FACES {
        let Some((check, index)) = readings(page, about).next_back() else {
            continue;
        };
        let Some(judged) = Judged::of_sheet(&check.sheet, Some(&check.limits), index, show) else {
            continue;
        };
        let before: Vec<String> = readings(page, about)
            .rev()
            .skip(1)
            .filter_map(|(check, index)| {
                let value = check.sheet.body.verdicts.get(index)?.value_nm?;
                Some(format!("{} {}", check.at().date(), show.length(value)))
            })
            .collect();
        let name = format!(
            "{}: {}, {}",
            judged.title,
            judged.value(show),
            judged.verdict.word()
        );
        columns.row(ui, &Row::reading(name), |cells| {
            cells
                .text(&judged.title)
                .note(&check.at().date())
                .value(&judged.value(show))
                .note(&judged.limit(show));
            if let Some(beside) = why_badge(cells, &judged) {
                view.why = Some(Why {
                    event: check.event(),
                    index,
                    beside,
                });
            }
            cells.note(&before.join(" \u{b7} "));
        });
    }
}
