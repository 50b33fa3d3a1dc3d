//! The normal curve of the value against its limit.

use egui::Ui;
use store::entry::LengthUnit;

use super::super::clearance::ratio;
use super::super::fields::{Sheet, mark};
use super::Case;
use crate::ui::paint;
use crate::ui::widgets::BellModel;

/// Draws it where there is a chance to show; whether it did.
pub(super) fn bell_ui(ui: &mut Ui, sheet: &Sheet, case: &Case) -> bool {
    let (Some(limit), Some(u2), Some(chance)) = (
        &case.limit,
        case.uncertainty_nm.filter(|u| *u > 0),
        case.probability,
    ) else {
        return false;
    };
    let (value_nm, upper, limit) = (case.value_nm, limit.is_upper, limit.nm);
    let inch = sheet.show().unit == LengthUnit::Inch;
    let unit = |nm: i64| nm as f64 / if inch { 25.4e6 } else { 1e6 };
    let words = |nm: i64| case.length(sheet, nm);
    let ticks: Vec<(f64, String)> = ticks(value_nm, u2, inch)
        .map(|nm| (unit(nm), words(nm)))
        .collect();
    let ticks: Vec<(f64, &str)> = ticks
        .iter()
        .map(|(at, text)| (*at, text.as_str()))
        .collect();
    let beyond = if chance < 0.995 {
        format!("{} beyond", ratio(sheet, 1.0 - chance))
    } else {
        String::new()
    };
    // A limit that is far off stands near the edge, where there is no room for its number; the list has it.
    let limit_text = if (limit - value_nm).abs() * 4 > u2 * 7 {
        "limit".to_owned()
    } else {
        format!("limit {}", words(limit))
    };
    let mark = mark(case.verdict);
    let model = BellModel {
        value: unit(value_nm),
        u: unit(u2) / 2.0,
        limit: unit(limit),
        upper,
        found_text: &format!("found {}", words(value_nm)),
        limit_text: &limit_text,
        chance_text: &ratio(sheet, chance),
        chance_note: ["chance that", "it conforms"],
        beyond_text: &beyond,
        ticks: &ticks,
        token: mark.token(),
        tint: mark.tint(),
    };
    paint::scene(ui, &model.scene(ui.available_width()));
    true
}

/// Places of the ticks, nm: every second of steps about one standard uncertainty wide, on round numbers.
fn ticks(value_nm: i64, u2_nm: i64, inch: bool) -> impl Iterator<Item = i64> {
    let per = if inch { 2_540 } else { 1_000 };
    let step = [1, 2, 5, 10, 20, 50, 100, 200, 500]
        .into_iter()
        .map(|k| k * per)
        .find(|step| *step >= u2_nm / 2)
        .unwrap_or(1_000 * per);
    let first = (value_nm - 3 * u2_nm).div_euclid(step) + 1;
    (first..first + 14)
        .filter(|k| k.rem_euclid(2) == 0)
        .map(move |k| k * step)
}
