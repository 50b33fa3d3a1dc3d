//! Clearance against mill time.

use draw::growth::{Event, Growth, Level, Reading, Segment, Series, XScale, Xy};
use draw::{Hit, Pair};
use store::entry::Show;
use store::query::{BearingPage, GrowthPoint, zone_numeral};

use super::{hours, in_unit};

/// What people call the rows of a clearance, pair from 1: only a tapered bearing has pairs.
pub fn rows_name(kind: &str, pair: usize, show: Show) -> String {
    match kind {
        "two_row_thrust" => "axial".to_owned(),
        _ if series(kind) == 1 => "all rows".to_owned(),
        _ => show.pair_name(pair.clamp(1, 3)),
    }
}

/// The same as it stands in a narrow column under `rows`.
pub fn rows_short(kind: &str, pair: usize, show: Show) -> String {
    let name = rows_name(kind, pair, show);
    name.replace("rows", "").trim().to_owned()
}

/// Clearances that a kind of bearing has.
pub fn series(kind: &str) -> usize {
    if matches!(
        kind,
        "four_row_cylindrical"
            | "four_row_cylindrical_inner"
            | "two_row_spherical"
            | "two_row_thrust"
    ) {
        1
    } else {
        3
    }
}

/// What the clearance of a kind of bearing is called: rows under thrust have end play.
pub fn clearance_word(kind: &str) -> &'static str {
    match kind {
        "four_row_cylindrical" | "four_row_cylindrical_inner" | "two_row_spherical" => {
            "radial clearance"
        }
        "two_row_thrust" => "axial clearance",
        _ => "end play",
    }
}

/// The growth of every row pair over the bearing's whole life: settings, readings with U, regrinds, turns, limits.
///
/// The key of a reading's and of a regrind's [`Hit`] is the number of its event, so that a click opens its sheet.
pub fn growth(page: &BearingPage, show: Show) -> Growth {
    let word = clearance_word(&page.bearing_type.kind);
    let last = page.growth.iter().map(|p| p.run_s).max().unwrap_or(0);
    let now = (!page.growth.is_empty() && page.line.total_run_s > last + 3600).then(|| {
        (
            hours(page.line.total_run_s),
            format!("now, {} h", show.hours(page.line.total_run_s)),
        )
    });
    Growth {
        has_comma: show.comma,
        x_scale: XScale::Number,
        x_label: "mill hours on the bearing\u{2019}s own counter".into(),
        y_label: format!("{word}, {}", show.unit.sign()),
        series: Pair::ALL[..series(&page.bearing_type.kind)]
            .iter()
            .map(|pair| one(page, *pair, show))
            .collect(),
        levels: levels(page, show),
        regrinds: settings(page),
        turns: page
            .turns
            .iter()
            .map(|turn| Event {
                x: hours(turn.run_s),
                label: zone_numeral(turn.zone).into(),
                hit: None,
            })
            .collect(),
        now,
        empty: format!("Here the {word} will be drawn against mill hours."),
        title: format!("Growth of {word} of {}", page.line.serial),
    }
}

fn one(page: &BearingPage, pair: Pair, show: Show) -> Series {
    let number = pair.index() + 1;
    let mut segments: Vec<(usize, Segment)> = Vec::new();
    for point in page.growth.iter().filter(|p| p.pair == number) {
        if segments
            .last()
            .is_none_or(|(segment, _)| *segment != point.segment)
        {
            segments.push((point.segment, Segment::default()));
        }
        let Some((_, segment)) = segments.last_mut() else {
            continue;
        };
        let reading = reading(point, &page.bearing_type.kind, show);
        // A new certificate for a bearing that has not run sets it once more: the last one counts.
        if point.is_setting {
            segment.set = Some(reading);
        } else {
            segment.readings.push(reading);
        }
    }
    Series {
        pair,
        label: rows_name(&page.bearing_type.kind, number, show),
        segments: segments.into_iter().map(|(_, segment)| segment).collect(),
        forecast: None,
    }
}

fn reading(point: &GrowthPoint, kind: &str, show: Show) -> Reading {
    let what = if point.is_setting { "set" } else { "read" };
    let doubt = point
        .expanded_uncertainty_nm
        .map(|u| format!(" \u{b1} {}", show.length(u)))
        .unwrap_or_default();
    let label = format!(
        "{}, {what} {}{doubt} {}, {} h, {}",
        rows_name(kind, point.pair, show),
        show.length(point.value_nm),
        show.unit.sign(),
        show.hours(point.run_s),
        point.at.date()
    );
    Reading {
        at: Xy {
            x: hours(point.run_s),
            y: in_unit(point.value_nm, show.unit),
        },
        u: point
            .expanded_uncertainty_nm
            .filter(|_| !point.is_setting)
            .map_or(0.0, |u| in_unit(u, show.unit)),
        hit: Some(Hit {
            key: u64::try_from(point.event).unwrap_or(0),
            label,
        }),
    }
}

/// Limit and watch levels; one line where the pairs do not differ.
fn levels(page: &BearingPage, show: Show) -> Vec<Level> {
    let mut levels = Vec::new();
    for (word, is_limit) in [("rework", true), ("watch", false)] {
        let values = page
            .pairs
            .each_ref()
            .map(|p| if is_limit { p.limit_nm } else { p.watch_nm });
        let mut distinct: Vec<i64> = values.iter().flatten().copied().collect();
        distinct.sort_unstable();
        distinct.dedup();
        for value in &distinct {
            let pairs = (0..3)
                .filter(|i| values[*i] == Some(*value))
                .map(|i| show.pair_rows(i + 1));
            let of = if distinct.len() > 1 {
                format!(" {}", pairs.collect::<Vec<_>>().join(", "))
            } else {
                String::new()
            };
            levels.push(Level {
                value: in_unit(*value, show.unit),
                label: format!("{} {word}{of}", show.length(*value)),
                is_limit,
            });
        }
    }
    levels
}

/// Where the clearance was set anew after the bearing had run.
fn settings(page: &BearingPage) -> Vec<Event> {
    let mut events: Vec<&GrowthPoint> = page
        .growth
        .iter()
        .filter(|p| p.is_setting && p.segment > 0)
        .collect();
    events.dedup_by_key(|p| p.event);
    events
        .into_iter()
        .map(|point| {
            let is_sheet = page.sheets.iter().any(|s| s.event.no == point.event);
            let what = if is_sheet { "regrind" } else { "new baseline" };
            let label = format!("{what} {}", point.at.date());
            let hit = Some(Hit {
                key: u64::try_from(point.event).unwrap_or(0),
                label: label.clone(),
            });
            Event {
                x: hours(point.run_s),
                label,
                hit,
            }
        })
        .collect()
}
