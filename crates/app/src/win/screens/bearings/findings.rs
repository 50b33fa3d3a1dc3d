//! Everything that was ever found on the parts of a bearing, newest first; a row opens its sheet.

use egui::Ui;
use store::entry::Show;
use store::query::BearingPage;
use store::sheet::findings::EarlierFinding;

use crate::ui::text::Face;
use crate::ui::widgets::{self, Col, Columns, Row};
use crate::win::route::Route;

/// The table, where anything was found; the sheet that is to be opened.
pub(super) fn findings(ui: &mut Ui, page: &BearingPage, show: Show) -> Option<Route> {
    let before = page.findings_before.iter().map(|f| (f, true));
    let now = page.findings.iter().map(|f| (f, false));
    let all: Vec<(&EarlierFinding, bool)> = before.chain(now).collect();
    if all.is_empty() {
        return None;
    }
    let rows = show.rows.of(page.bearing_type.rows());
    let note = if page.findings_before.is_empty() {
        "newest first"
    } else {
        "newest first; light: before it was reconditioned"
    };
    widgets::heading(ui, "Found on its parts", note);
    let columns = Columns::new(vec![
        Col::left("date", 90.0),
        Col::left("where", 290.0),
        Col::left("what", 230.0),
        Col::left("severity", 60.0),
        Col::right("size", 64.0),
        Col::rest("remark"),
    ]);
    columns.header(ui);
    let mut opened = None;
    for (index, (found, is_before)) in all.into_iter().rev().enumerate() {
        let finding = &found.finding;
        let mut place = finding.part.words().to_owned();
        if let Some(row) = finding.row {
            place = format!("{place}, row {}", rows.row(usize::from(row)));
        }
        if let Some(arc) = finding.arc {
            let degrees = |tenths: i64| show.decimals(tenths, 10, u32::from(tenths % 10 != 0));
            let (from, to) = (degrees(arc.from_tenths()), degrees(arc.to_tenths()));
            place = format!("{place}, {from}\u{b0} to {to}\u{b0}");
        }
        let face = if is_before {
            Face::BODY.muted()
        } else {
            Face::BODY
        };
        let date = found.at.date();
        let name = format!("{date} {}", rows.told(&finding.words()));
        let shown = ui.push_id(("finding", index), |ui| {
            columns.row(ui, &Row::reading(name).clickable(true), |cells| {
                cells
                    .put(Face::BODY.muted(), &date)
                    .put(face, &place)
                    .put(face, &finding.mode.name.to_lowercase())
                    .put(face, &finding.severity.to_string());
                let size = found.size_nm.map(|nm| show.length_unit(nm));
                cells.note(&size.unwrap_or_default()).note(&found.note);
            })
        });
        if shown.inner.clicked() {
            opened = Some(Route::Signed(found.event));
        }
    }
    opened
}
