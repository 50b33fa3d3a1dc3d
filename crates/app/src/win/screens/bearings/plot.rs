//! The growth plot of a page: against mill hours or the date, and its readings as text.

use std::collections::{BTreeMap, HashMap};

use draw::growth::{Growth, Reading, XScale};
use store::Stamp;
use store::entry::Show;
use store::query::{BearingPage, GrowthPoint};
use store::time::DAY_MS;

use crate::drawings;

/// What the clearance is drawn against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Axis {
    /// Hours on the bearing's own counter.
    #[default]
    Hours,
    /// The day of the reading.
    Date,
}

impl Axis {
    /// In the order of the page.
    pub const ALL: [Self; 2] = [Self::Hours, Self::Date];
    /// Their names.
    pub const NAMES: [&'static str; 2] = ["mill hours", "date"];
}

/// The growth of a bearing against an axis.
pub fn growth(page: &BearingPage, show: Show, axis: Axis, now: Stamp) -> Growth {
    let mut growth = drawings::growth(page, show);
    // Right after a reading there is nothing to say about now, and its words would cover the reading.
    let last = page.growth.iter().map(|p| p.run_s).max().unwrap_or(0);
    if page.line.total_run_s - last < last / 20 {
        growth.now = None;
    }
    if axis == Axis::Date {
        to_dates(&mut growth, page, now);
    }
    growth
}

/// The day on the wall clock, counted from 1970-01-01.
fn day(at: Stamp) -> f64 {
    (at.ms + at.offset_min * 60_000) as f64 / DAY_MS as f64
}

/// Moves everything from its hours to its day.
fn to_dates(growth: &mut Growth, page: &BearingPage, now: Stamp) {
    let days: HashMap<u64, f64> = page
        .growth
        .iter()
        .map(|p| (u64::try_from(p.event).unwrap_or(0), day(p.at)))
        .collect();
    // A turn happens where the clearance was read: it has the day of the last reading at its hours.
    let of_run: BTreeMap<i64, f64> = page.growth.iter().map(|p| (p.run_s, day(p.at))).collect();
    growth.x_scale = XScale::Days;
    growth.x_label = "date of the reading".into();
    let move_one = |reading: &mut Reading| {
        if let Some(day) = reading.hit.as_ref().and_then(|hit| days.get(&hit.key)) {
            reading.at.x = *day;
        }
    };
    for segment in growth
        .series
        .iter_mut()
        .flat_map(|series| &mut series.segments)
    {
        segment
            .set
            .iter_mut()
            .chain(&mut segment.readings)
            .for_each(move_one);
    }
    for event in &mut growth.regrinds {
        if let Some(day) = event.hit.as_ref().and_then(|hit| days.get(&hit.key)) {
            event.x = *day;
        }
    }
    let turns = std::mem::take(&mut growth.turns)
        .into_iter()
        .zip(&page.turns);
    growth.turns = turns
        .filter_map(|(turn, (run_s, _))| {
            of_run
                .get(run_s)
                .map(|day| draw::growth::Event { x: *day, ..turn })
        })
        .collect();
    if growth.now.is_some() {
        growth.now = Some((day(now), now.date()));
    }
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
    let mut text = format!("bearing\tdate\tmill hours\trows\t{word}, {unit}\tU, {unit}\twhat\n");
    for point in &page.growth {
        let doubt = point
            .expanded_uncertainty_nm
            .map_or_else(String::new, |u| show.length(u));
        let line = [
            page.line.serial.clone(),
            point.at.date(),
            show.decimals(point.run_s, 3600, 1),
            drawings::rows_name(&page.bearing_type.kind, point.pair)
                .trim_start_matches("rows ")
                .to_owned(),
            show.length(point.value_nm),
            doubt,
            what(page, point).to_owned(),
        ];
        text.push_str(&line.join("\t"));
        text.push('\n');
    }
    text
}
