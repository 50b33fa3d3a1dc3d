//! The growth plot of a page: against mill hours, tonnes or the date, and its readings as text.

use draw::growth::Growth;
use store::Stamp;
use store::entry::Show;
use store::query::{BearingPage, GrowthPoint, ShopWear};

use super::forecast;
use crate::drawings;
pub use crate::drawings::Axis;

/// The growth of a bearing against an axis, with what the wear of the whole shop lets expect.
pub fn growth(
    page: &BearingPage,
    wear: Option<&ShopWear>,
    show: Show,
    axis: Axis,
    now: Stamp,
) -> Growth {
    let mut growth = drawings::growth(page, show);
    // Right after a reading there is nothing to say about now, and its words would cover the reading.
    let last = page.growth.iter().map(|p| p.run_s).max().unwrap_or(0);
    if page.line.total_run_s - last < last / 20 {
        growth.now = None;
    }
    if let Some(wear) = wear {
        forecast::add(&mut growth, wear, &page.line.serial, show);
    }
    axis.move_onto(&mut growth, page, now, show);
    growth
}

/// The readings, newest first, those of one sheet in the order of the row pairs; for the table beside the plot.
pub fn readings(page: &BearingPage) -> Vec<&GrowthPoint> {
    let of_one =
        |a: &GrowthPoint, b: &GrowthPoint| a.event == b.event && a.is_setting == b.is_setting;
    page.growth.chunk_by(of_one).rev().flatten().collect()
}

/// What a point is, in words.
pub fn what(page: &BearingPage, point: &GrowthPoint) -> &'static str {
    let is_sheet = is_sheet(page, point.event);
    match (point.is_setting, is_sheet, point.segment) {
        (false, ..) => "read",
        (true, true, _) => "set by regrinding",
        (true, false, 0) => "as set",
        (true, false, _) => "new baseline",
    }
}

/// Whether an event is one of the bearing's sheets.
pub fn is_sheet(page: &BearingPage, event: i64) -> bool {
    page.sheets.iter().any(|sheet| sheet.event.no == event)
}

/// All readings as a table of text, oldest first, for a spreadsheet.
pub fn as_text(page: &BearingPage, show: Show) -> String {
    let unit = show.unit.sign();
    let word = drawings::clearance_word(&page.bearing_type.kind);
    let mut text =
        format!("bearing\tdate\tmill hours\tkt\trows\t{word}, {unit}\tU, {unit}\twhat\n");
    for point in &page.growth {
        let doubt = point
            .expanded_uncertainty_nm
            .map_or_else(String::new, |u| show.length(u));
        let line = [
            page.line.serial.clone(),
            point.at.date(),
            show.decimals(point.run_s, 3600, 1),
            show.decimals(point.rolled_kg, 1_000_000, 1),
            drawings::rows_short(&page.bearing_type.kind, point.pair, show),
            show.length(point.value_nm),
            doubt,
            what(page, point).to_owned(),
        ];
        text.push_str(&line.join("\t"));
        text.push('\n');
    }
    text
}
