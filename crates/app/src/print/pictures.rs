//! The drawings of the print: those of the window, in the day theme, sized for the page.

use draw::{Scene, Theme, pos};
use report::{Drawing, KeyLine, Mark};
use store::entry::Show;
use store::query::{BearingPage, SheetDetail};
use store::sheet::TypeFacts;
use store::sheet::field::SeatName;

use super::facts::pair_results;
use super::three;
use crate::drawings::{self, SeatSizes};

/// Width of the text on paper in the px that drawings are made in.
const PAGE: f32 = 782.0;

fn drawing(title: &str, note: &str, scene: &Scene, alt: String) -> Drawing {
    let svg = scene.to_svg(Theme::Day);
    Drawing {
        title: title.into(),
        note: note.into(),
        svg,
        alt,
        key: Vec::new(),
    }
}

/// The outer rings with hours per zone, and what every sheet says in words.
pub(super) fn rings(page: &BearingPage, show: Show) -> Drawing {
    let mut map = drawings::ring_map(page, show);
    if let Some(loaded) = &mut map.loaded {
        // Said once, where there is room for it whatever the zone.
        map.note_right = std::mem::take(&mut loaded.label);
    }
    let hours = page.zone_run_s.map(|run_s| show.hours(run_s)).join(" / ");
    let alt =
        format!("Outer rings unrolled. Hours of zones I / II / III / IV in the load: {hours}.");
    let note = "unrolled from the zone-I line, clockwise seen from the outboard end";
    let mut drawing = drawing("Outer rings and all findings", note, &map.scene(PAGE), alt);
    let said = page.sheets.iter().zip(1..).filter_map(|(sheet, number)| {
        let text = format!(
            "{}  {}",
            sheet.event.at.date(),
            sheet.entry("identify.note")?
        );
        Some(KeyLine {
            sign: format!("{number}"),
            text,
            mark: Mark::NotApplicable,
        })
    });
    drawing.key = said.collect();
    drawing
}

/// The growth of the clearance; none before there is a value.
pub(super) fn growth(page: &BearingPage, show: Show) -> Option<Drawing> {
    if page.growth.is_empty() {
        return None;
    }
    let word = drawings::clearance_word(&page.bearing_type.kind);
    let mut model = drawings::growth(page, show);
    // The axis says how far it has run; an upright line at the day of the print would say nothing more.
    model.now = None;
    let mut told: Vec<String> = Vec::new();
    for sheet in &page.sheets {
        if let Some(found) = three(pair_results(sheet, "end_play_nm"), show) {
            told.push(format!("{found} at {} h", show.hours(sheet.total_run_s)));
        }
        if let Some(left) = three(pair_results(sheet, "end_play_after_nm"), show) {
            told.push(format!("ground to {left}"));
        }
    }
    let alt = format!(
        "{} of the row pairs, {}: {}.",
        model.title,
        show.unit.sign(),
        told.join("; ")
    );
    Some(drawing(
        &format!("Growth of {word}, whole history"),
        "bar: reading \u{b1} U",
        &model.scene(PAGE, 330.0),
        alt,
    ))
}

/// Chock bore and roll neck side by side, those that were measured.
pub(super) fn seats(sheet: &SheetDetail, limits: &TypeFacts, show: Show) -> Option<Drawing> {
    let map = |seat: SeatName, what: String| {
        let sizes: Vec<i64> = (1..=12)
            .filter_map(|item| sheet.result(&format!("{}_size_nm", seat.prefix()), item))
            .collect();
        let sizes = SeatSizes {
            seat,
            sizes_nm: SeatSizes::grid(&sizes),
            bearing_type: limits,
            title: what,
        };
        let is_read = sizes.sizes_nm.iter().flatten().any(Option::is_some);
        (is_read && sizes.nominal_nm().is_some()).then(|| drawings::bore_map(&sizes, show))
    };
    let maps = [
        map(SeatName::Bore, format!("Bore of chock {}", sheet.chock)),
        map(SeatName::Neck, format!("Neck of roll {}", sheet.roll)),
    ];
    let titles: Vec<String> = maps.iter().flatten().map(|m| m.title.clone()).collect();
    if titles.is_empty() {
        return None;
    }
    let alt = format!(
        "{}: outline of each plane at 20 \u{b0}C, its deviation enlarged.",
        titles.join("; ")
    );
    let half = PAGE / 2.0;
    let scenes = maps.map(|m| m.map(|m| m.scene(half - 16.0)));
    let height = scenes
        .iter()
        .flatten()
        .map(|s| s.height)
        .fold(0.0, f32::max);
    let mut whole = Scene::new(PAGE, height, &alt);
    for (scene, x) in scenes.iter().zip([0.0, half]) {
        if let Some(scene) = scene {
            whole.append(scene, pos(x, 0.0));
        }
    }
    Some(drawing(
        &titles.join(" \u{b7} "),
        "seen from outboard, at 20 \u{b0}C",
        &whole,
        alt,
    ))
}
