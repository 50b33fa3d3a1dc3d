//! The drawings of the print: those of the window, in the day theme, sized for the page.

use draw::ring_map::{FindingState, RingFinding};
use draw::{BoreMap, Scene, Theme, pos};
use report::{Drawing, KeyLine, Mark};
use store::Stamp;
use store::entry::Show;
use store::query::{BearingPage, ChockPage, GrowthPoint, SheetDetail};
use store::sheet::TypeFacts;
use store::sheet::field::{self, GAP_DEGREES, SeatName};
use store::sheet::findings::Seen;

use super::facts::pair_results;
use super::three;
use crate::drawings::{self, Axis, GapState, SeatSizes};

/// Width of the text on paper in the px that drawings are made in.
pub(super) const PAGE: f32 = 782.0;

/// The same of a drawing on a sheet, which is set at 74 % of the width: so that its words are as large as the notes.
const SHEET: f32 = 700.0;

pub(super) fn drawing(title: &str, note: &str, scene: &Scene, alt: String) -> Drawing {
    let svg = scene.to_svg(Theme::Day);
    Drawing {
        title: title.into(),
        note: note.into(),
        svg,
        alt,
        key: Vec::new(),
    }
}

/// The outer rings with hours per zone, what was found on them in the whole life of the bearing, and under them what
/// every sheet says in words; none for what has no outer rings, or where nothing of them is known.
pub(super) fn rings(page: &BearingPage, show: Show) -> Option<Drawing> {
    let mut map = drawings::ring_map(page, show);
    let renewed_ms = (page.revision > 1)
        .then(|| page.growth.iter().rfind(|p| is_baseline(page, p)))
        .flatten()
        .map(|p| p.at.ms);
    let rows = drawings::rows_of(&page.bearing_type);
    map.findings.clear();
    map.rows = rows;
    map.row_names.truncate(rows);
    let mut key = Vec::new();
    for (sheet, number) in page.sheets.iter().zip(1..) {
        let is_before = renewed_ms.is_some_and(|ms| sheet.event.at.ms < ms);
        let state = if is_before {
            FindingState::Earlier
        } else {
            FindingState::Found
        };
        let of_sheet = sheet
            .body
            .findings
            .iter()
            .filter_map(store::payload::FindingSeen::finding);
        let label = number.to_string();
        let marks = of_sheet.filter_map(|f| drawings::ring_finding(&f, rows, state, &label));
        map.findings.extend(marks.flatten());
        key.extend(told(sheet, number, show));
    }
    let has_hours = page.zone_run_s.iter().any(|run_s| *run_s > 0);
    if page.bearing_type.kind.contains("inner") || (!has_hours && key.is_empty()) {
        return None;
    }
    if !has_hours {
        map.hours = None;
        map.note_left = String::new();
    }
    if map
        .findings
        .iter()
        .any(|f| f.state == FindingState::Earlier)
    {
        map.note_left += " Dashed: before the last reconditioning.";
    }
    share_labels(&mut map.findings);
    map = drawings::with_outside(map);
    if let Some(loaded) = &mut map.loaded {
        // Said once, where there is room for it whatever the zone.
        map.note_right = std::mem::take(&mut loaded.label);
    }
    let hours = page.zone_run_s.map(|run_s| show.hours(run_s)).join(" / ");
    let tonnes = page
        .zone_rolled_kg
        .map(|kg| show.kilotonnes(kg))
        .join(" / ");
    let words: Vec<&str> = key.iter().map(|line| line.text.as_str()).collect();
    let alt = format!(
        "Outer rings unrolled. Hours of zones I / II / III / IV in the load: {hours}; thousand tonnes: {tonnes}. {}",
        words.join("; ")
    );
    let note = "unrolled from the zone-I line, clockwise seen from the outboard end";
    let title = "Outer rings and all findings";
    let mut drawing = drawing(title, note, &map.scene(PAGE), alt);
    drawing.key = key;
    Some(drawing)
}

/// Marks that lie over each other in a row are named beside the first of them: there is no room between.
fn share_labels(marks: &mut [RingFinding]) {
    // What passes 360 degrees goes on from 0.
    let pieces = |one: &RingFinding| {
        if one.to_deg < one.from_deg {
            vec![(one.from_deg, 360.0), (0.0, one.to_deg)]
        } else {
            vec![(one.from_deg, one.to_deg)]
        }
    };
    for later in 1..marks.len() {
        let (before, rest) = marks.split_at_mut(later);
        let mark = &mut rest[0];
        let own = pieces(mark);
        let touches = |(from, to): (f64, f64)| own.iter().any(|(a, b)| from <= *b && *a <= to);
        let is_over = |one: &&mut RingFinding| {
            one.row == mark.row && !one.label.is_empty() && pieces(one).into_iter().any(touches)
        };
        if let Some(first) = before.iter_mut().find(is_over) {
            let label = std::mem::take(&mut mark.label);
            if !first.label.split(", ").any(|named| named == label) {
                first.label = format!("{}, {label}", first.label);
            }
        }
    }
}

/// A value that the bearing got when it was new or reconditioned, not on a sheet.
fn is_baseline(page: &BearingPage, point: &GrowthPoint) -> bool {
    point.is_setting && !page.sheets.iter().any(|s| s.event.no == point.event)
}

/// What a sheet found, under its number in the map.
fn told(sheet: &SheetDetail, number: usize, show: Show) -> Option<KeyLine> {
    let rows = sheet.named_rows(show);
    let seen = sheet.body.findings.iter().map(|f| {
        let words = f
            .finding()
            .map_or_else(|| f.part.clone(), |f| rows.told(&f.words()));
        [words, f.note.clone()]
            .into_iter()
            .filter(|text| !text.is_empty())
            .collect::<Vec<_>>()
            .join("; ")
    });
    let note = sheet.entry("identify.note").map(str::to_owned);
    let all: Vec<String> = note.into_iter().chain(seen).collect();
    (!all.is_empty()).then(|| KeyLine {
        sign: number.to_string(),
        text: format!("{}  {}", sheet.event.at.date(), all.join(" \u{b7} ")),
        mark: Mark::NotApplicable,
    })
}

/// The growth of the clearance; none before there is a value.
pub(super) fn growth(page: &BearingPage, now: Stamp, show: Show) -> Option<Drawing> {
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
    // Hours decide; below, the same against what was rolled and against the calendar.
    let (gap, height, small) = (16.0, 330.0, 230.0);
    let mut whole = Scene::new(PAGE, height + 12.0 + small, &alt);
    whole.append(&model.scene(PAGE, height), pos(0.0, 0.0));
    for (axis, left) in [(Axis::Tonnes, 0.0), (Axis::Date, f32::midpoint(PAGE, gap))] {
        let mut model = model.clone();
        axis.move_onto(&mut model, page, now, show);
        if axis == Axis::Tonnes {
            model.x_label = "kt rolled since this logbook counts".into();
        }
        let scene = model.scene((PAGE - gap) / 2.0, small);
        whole.append(&scene, pos(left, height + 12.0));
    }
    Some(drawing(
        &format!("Growth of {word}, whole history"),
        "bar: reading \u{b1} U; against mill hours, tonnes and the date",
        &whole,
        alt,
    ))
}

/// The stack with its gaps as they were read; none where no gap was.
pub(super) fn stack(
    sheet: &SheetDetail,
    limits: &TypeFacts,
    show: Show,
    width: f32,
) -> Option<Drawing> {
    let gaps = [1, 2, 3].map(|pair| GapState {
        mean_nm: sheet.result("mean_gap_nm", pair),
        places: GAP_DEGREES
            .iter()
            .filter(|degrees| {
                let path = field::gap(pair as usize, **degrees);
                sheet.body.readings.iter().any(|r| r.path == path)
            })
            .count(),
    });
    if gaps.iter().all(|gap| gap.mean_nm.is_none()) {
        return None;
    }
    let map = drawings::stack_of(gaps, limits, None, show);
    let told = three(gaps.map(|gap| gap.mean_nm), show).unwrap_or_default();
    let alt = format!("{}: {told} {}.", map.title, show.unit.sign());
    Some(drawing(
        "Stack as measured",
        "without spacers, on the bench",
        &map.scene(width),
        alt,
    ))
}

/// What was found on the outer rings of one sheet; none where nothing was.
pub(super) fn found(sheet: &SheetDetail, limits: &TypeFacts, show: Show) -> Option<Drawing> {
    let seen: Vec<Seen> = sheet
        .body
        .findings
        .iter()
        .map(|one| Seen {
            number: usize::try_from(one.number).unwrap_or(0),
            finding: one.finding(),
            missing: None,
            size_nm: one.size_nm,
            note: one.note.clone(),
        })
        .collect();
    let is_outer = |one: &Seen| one.finding.as_ref().is_some_and(|f| f.part.has_angles());
    if !seen.iter().any(is_outer) {
        return None;
    }
    let zone = sheet.teardown.as_ref().and_then(|t| t.zone_found);
    let up = zone
        .and_then(|zone| usize::try_from(zone - 1).ok())
        .filter(|up| *up < 4);
    let mut map = drawings::finding_map(&seen, &[], Some(limits), up, None, show);
    map.note_right = String::new();
    let told = seen.iter().filter_map(|one| one.finding.as_ref());
    let rows = show.rows.of(sheet.rows);
    let words: Vec<String> = told.map(|f| rows.told(&f.words())).collect();
    let alt = format!("Outer rings unrolled: {}.", words.join("; "));
    Some(drawing(
        "Findings on the outer rings",
        "clockwise seen from the outboard end",
        &map.scene(SHEET),
        alt,
    ))
}

/// The bore of the chock alone.
pub(super) fn bore(sheet: &SheetDetail, limits: &TypeFacts, show: Show) -> Option<Drawing> {
    let map = seat_map(sheet, SeatName::Bore, limits, show)?;
    let alt = format!(
        "{}: outline of each plane at 20 \u{b0}C, its deviation enlarged.",
        map.title
    );
    let scene = map.scene((SHEET * 0.62).round());
    let mut page = Scene::new(SHEET, scene.height, &alt);
    page.append(&scene, pos(0.0, 0.0));
    Some(drawing(
        &map.title,
        "seen from outboard, at 20 \u{b0}C",
        &page,
        alt,
    ))
}

/// The bore of a chock from check to check: outlines with one enlargement, then the sizes of every plane; none before
/// there are two checks.
pub(super) fn bores_over_time(page: &ChockPage, show: Show) -> Option<Drawing> {
    const STAMPS: usize = 6;
    let (maps, enlarged) = drawings::outlines(page, STAMPS, show);
    if maps.len() < 2 {
        return None;
    }
    let (pitch, trends) = (PAGE / STAMPS as f32, drawings::bore_trends(page, show));
    let mut whole = Scene::new(PAGE, 0.0, "");
    let mut bottom = 0.0_f32;
    for (index, (check, map)) in maps.iter().enumerate() {
        let left = pitch * index as f32;
        let stamp = map.stamp(pitch - 12.0);
        whole.append(&stamp, pos(left, 0.0));
        let mut say = |line: f32, words: &str| {
            let at = pos(
                left + (pitch - 12.0) / 2.0,
                stamp.height + 14.0 + 16.0 * line,
            );
            let text = draw::Text::note(at, words, draw::Token::Ink);
            whole.text(text.aligned(draw::Align::Centre));
        };
        say(0.0, &check.at().date());
        if let Some(bore) = &check.bore {
            say(1.0, &format!("mean {}", show.deviation(bore.mean_nm)));
        }
        bottom = bottom.max(stamp.height + 14.0 + 24.0);
    }
    let across = if trends.len() == 4 { 2 } else { 3 };
    let (gap, height) = (16.0, 190.0);
    let width = (PAGE - gap * (across - 1) as f32) / across as f32;
    for row in trends.chunks(across) {
        for (index, plot) in row.iter().enumerate() {
            let left = (width + gap) * index as f32;
            whole.append(&plot.scene(width, height), pos(left, bottom + 8.0));
        }
        bottom += height + 8.0;
    }
    whole.height = bottom;
    let told: Vec<&str> = trends.iter().map(|plot| plot.title.as_str()).collect();
    let alt = told.join(". ");
    whole.title.clone_from(&alt);
    let note = format!(
        "outlines with their deviation \u{d7} {}, seen from outboard; below a line a direction; shaded: tolerance of the drawing",
        show.grouped(i64::from(enlarged))
    );
    Some(drawing("Bore from check to check", &note, &whole, alt))
}

fn seat_map(
    sheet: &SheetDetail,
    seat: SeatName,
    limits: &TypeFacts,
    show: Show,
) -> Option<BoreMap> {
    let title = match seat {
        SeatName::Bore => format!("Bore of chock {}", sheet.chock),
        SeatName::Neck => format!("Neck of roll {}", sheet.roll),
    };
    let sizes = SeatSizes {
        seat,
        sizes_nm: SeatSizes::grid(&sheet.sizes_nm(seat)),
        bearing_type: limits,
        title,
    };
    let is_read = sizes.sizes_nm.iter().flatten().any(Option::is_some);
    (is_read && sizes.nominal_nm().is_some()).then(|| drawings::bore_map(&sizes, show))
}

/// Chock bore and roll neck side by side, those that were measured.
pub(super) fn seats(sheet: &SheetDetail, limits: &TypeFacts, show: Show) -> Option<Drawing> {
    let maps = [SeatName::Bore, SeatName::Neck].map(|seat| seat_map(sheet, seat, limits, show));
    let titles: Vec<String> = maps.iter().flatten().map(|m| m.title.clone()).collect();
    if titles.is_empty() {
        return None;
    }
    let alt = format!(
        "{}: outline of each plane at 20 \u{b0}C, its deviation enlarged.",
        titles.join("; ")
    );
    let half = SHEET / 2.0;
    let scenes = maps.map(|m| m.map(|m| m.scene(half - 16.0)));
    let height = scenes
        .iter()
        .flatten()
        .map(|s| s.height)
        .fold(0.0, f32::max);
    let mut whole = Scene::new(SHEET, height, &alt);
    for (scene, x) in scenes.iter().flatten().zip([0.0, half]) {
        whole.append(scene, pos(x, 0.0));
    }
    Some(drawing(
        &titles.join(" \u{b7} "),
        "seen from outboard, at 20 \u{b0}C",
        &whole,
        alt,
    ))
}

#[cfg(test)]
mod tests {
    use draw::ring_map::FindingKind;

    use super::*;

    #[test]
    fn only_marks_that_lie_over_each_other_in_a_row_share_a_label() {
        let mark = |row, from_deg, to_deg, label: &str| RingFinding {
            row,
            from_deg,
            to_deg,
            kind: FindingKind::Area,
            state: FindingState::Found,
            label: label.into(),
            hit: None,
        };
        let mut marks = [
            mark(1, 352.0, 44.0, "2"),
            mark(2, 352.0, 44.0, "2"),
            mark(1, 175.0, 230.0, "4"),
            mark(1, 200.0, 228.0, "5"),
            mark(1, 30.0, 60.0, "6"),
        ];
        share_labels(&mut marks);
        let labels = marks.map(|mark| mark.label);
        assert_eq!(labels, ["2, 6", "2", "4, 5", "", ""]);
    }
}
