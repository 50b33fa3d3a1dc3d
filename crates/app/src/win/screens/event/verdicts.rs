//! The verdicts of a mounting sheet as they were signed, each with what stands behind it.

use draw::tokens::space;
use egui::{Rect, Ui};
use store::query::EventPage;

use crate::ui::widgets::{self, Col, Columns, Row};
use crate::win::screens::Cx;
use crate::win::screens::bearings::verdicts::{Judged, why_badge, why_ui};

/// The table; a badge that is pressed opens its panel.
pub(super) fn verdicts_ui(ui: &mut Ui, cx: &Cx, page: &EventPage, why: &mut Option<(usize, Rect)>) {
    let Some(sheet) = page.mounting.as_ref().filter(|_| !page.is_withdrawn()) else {
        return;
    };
    if sheet.body.verdicts.is_empty() {
        return;
    }
    ui.add_space(space::M);
    widgets::heading(ui, "Verdicts", "by the limits and gauges of that day");
    let columns = Columns::new(vec![
        Col::left("what", 270.0),
        Col::right("found", 110.0),
        Col::left("limit", 150.0),
        Col::left("", 92.0),
        Col::left("verdict", 140.0),
        Col::rest("limit from"),
    ]);
    columns.header(ui);
    for index in 0..sheet.body.verdicts.len() {
        let Some(judged) = judged(cx, page, index) else {
            continue;
        };
        let unit = cx.show.sign_of(judged.quantity);
        let value = match judged.value {
            Some(_) => format!("{} {unit}", judged.value(cx.show)),
            None => judged.value(cx.show),
        };
        let origin = match judged.note.as_str() {
            "" => judged.origin.clone(),
            note => format!("{}; {note}", judged.origin),
        };
        columns.row(
            ui,
            &Row::result(format!("{}, {value}", judged.title)),
            |cells| {
                cells
                    .text(&judged.title)
                    .value(&value)
                    .note(&judged.limit(cx.show))
                    .note(&judged.margin(cx.show));
                if let Some(beside) = why_badge(cells, &judged) {
                    *why = Some((index, beside));
                }
                cells.note(&origin);
            },
        );
    }
}

/// The panel of the verdict that was asked about.
pub(super) fn verdict_why(ui: &mut Ui, cx: &Cx, page: &EventPage, why: &mut Option<(usize, Rect)>) {
    let Some((index, beside)) = *why else { return };
    let judged = judged(cx, page, index);
    if judged.is_none_or(|judged| why_ui(ui, &judged, beside, cx.show)) {
        *why = None;
    }
}

fn judged(cx: &Cx, page: &EventPage, index: usize) -> Option<Judged> {
    let sheet = page.mounting.as_ref()?;
    Judged::of_sheet(sheet, page.limits.as_ref(), index, cx.show)
}
