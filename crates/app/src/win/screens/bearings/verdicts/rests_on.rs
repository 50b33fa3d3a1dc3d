//! What a signed verdict rests on: how its value came out, and the gauges it was read on as they stood on that day.

use store::Stamp;
use store::entry::{Quantity, Show};
use store::payload::{Judgement, Reading};
use store::query::SheetDetail;
use store::sheet::GaugeFacts;
use store::sheet::field::radial::RadialCell;
use store::sheet::field::{self, Cell, SEAT_DEGREES, SeatName};

/// The gauges that its readings were taken with, each with its calibration.
pub(super) fn gauges(sheet: &SheetDetail, judgement: &Judgement, show: Show) -> Vec<[String; 2]> {
    let mut fields: Vec<&str> = Vec::new();
    for reading in readings(sheet, judgement) {
        let named = if sheet.mounting.is_some() {
            store::mounting::field::gauge_of(&reading.path)
        } else {
            store::sheet::gauge_field(&reading.path)
        };
        fields.extend(named.filter(|field| !fields.contains(field)));
    }
    let codes = fields.into_iter().filter_map(|field| sheet.entry(field));
    let mut told: Vec<[String; 2]> = codes.map(|code| gauge_words(sheet, code, show)).collect();
    // One gauge may have read both.
    told.dedup();
    told
}

/// A gauge of a sheet by its code: which it is, and its doubt and calibration on that day.
pub fn gauge_words(sheet: &SheetDetail, code: &str, show: Show) -> [String; 2] {
    let mut known = sheet.gauges.values();
    let Some(g) = known.find(|g| g.code.eq_ignore_ascii_case(code.trim())) else {
        return [code.to_owned(), String::new()];
    };
    let due = Stamp::second(g.due_ms, sheet.event.at.offset_min).date();
    let status = match g.other_doubt() {
        Some(doubt) => format!("not to be relied on then: {doubt}"),
        None if g.is_overdue => format!("was overdue since {due}"),
        None => format!("in calibration until {due}"),
    };
    let told = |words: &[&str]| {
        let told = words.iter().filter(|words| !words.is_empty());
        told.copied().collect::<Vec<_>>().join(", ")
    };
    [
        told(&[&g.code, &g.kind]),
        told(&[&doubt_words(g, show), &status, &g.certificate]),
    ]
}

/// U of a gauge in the unit of what it measures.
fn doubt_words(g: &GaugeFacts, show: Show) -> String {
    let quantity = match g.measures.as_str() {
        "temperature" => Quantity::Temperature,
        "torque" => Quantity::Torque,
        _ => Quantity::Length,
    };
    g.expanded_uncertainty_nm.map_or_else(
        || "U not known".into(),
        |u| format!("U {} at k = 2", show.with_unit(quantity, u)),
    )
}

/// The readings that a verdict rests on.
fn readings<'a>(sheet: &'a SheetDetail, judgement: &Judgement) -> Vec<&'a Reading> {
    let (about, item) = (judgement.about.as_str(), judgement.item);
    let own = |path: &str| is_behind(about, item, path);
    sheet
        .body
        .readings
        .iter()
        .filter(|r| own(&r.path))
        .collect()
}

/// Whether a verdict rests on the reading of this path.
fn is_behind(about: &str, item: i64, path: &str) -> bool {
    let one = usize::try_from(item).unwrap_or(0);
    let of_row = |cell: RadialCell| item == 0 || cell.row() == Some(one);
    let is_size =
        |of: SeatName| matches!(field::grid(path), Some(Cell::Size { seat, .. }) if seat == of);
    let is_ring = store::mounting::field::RING.contains(&path);
    let numbered = |stem: &str| path == format!("{stem}.{one}");
    match (about, field::grid(path)) {
        ("clearance", Some(Cell::Radial(_))) => item == 0,
        ("clearance_row" | "taper_reduction", Some(Cell::Radial(cell))) => of_row(cell),
        ("clearance" | "clearance_after", Some(Cell::Gap { pair, .. }))
        | (
            "clearance" | "spacer_parallel",
            Some(Cell::Spacer { pair } | Cell::SpacerAt { pair, .. }),
        ) => pair == one,
        (_, Some(Cell::After { pair } | Cell::AfterAt { pair, .. })) => {
            about.ends_with("_after") && pair == one
        }
        ("interference", Some(Cell::Ring { .. })) => true,
        ("bore_ovality" | "neck_ovality", Some(Cell::Size { seat, plane, .. })) => {
            about.starts_with(seat.prefix()) && plane == one
        }
        ("bore_ovality" | "neck_ovality", _) => false,
        ("taper_reduction", _) => numbered("taper.mounted"),
        ("taper_push_up", _) => path == "taper.push",
        ("chock_shoulder" | "chock_cover_face" | "chock_width", _) => {
            path.strip_prefix("chock.") == about.strip_prefix("chock_")
        }
        ("mount_interference" | "mount_clearance", _) => is_size(SeatName::Neck) || is_ring,
        ("interference", _) => is_size(SeatName::Neck),
        ("mount_heating", _) => path == "mount.heat.ring",
        ("mount_ring_gap", _) => path.starts_with("mount.seat."),
        ("mount_end_play", _) => numbered("mount.play"),
        ("mount_radial", _) if item == 0 => path.starts_with("mount.radial."),
        ("mount_radial", _) => numbered("mount.radial"),
        ("mount_reduction", _) => numbered("mount.before") || numbered("mount.radial"),
        ("mount_push_up", _) => path == "mount.push",
        ("mount_thrust", _) => path == "mount.thrust",
        ("mount_bolt_torque", _) => path == "mount.bolt.torque",
        ("mount_shim", _) => path == "mount.shim" || path.starts_with("mount.cover."),
        ("mount_cover_spread", _) => path.starts_with("mount.cover."),
        _ if about.starts_with("bore_") => is_size(SeatName::Bore),
        _ if about.starts_with("neck_") => is_size(SeatName::Neck),
        _ => false,
    }
}

/// How a value came out, in words.
pub(super) fn inputs(sheet: &SheetDetail, judgement: &Judgement, show: Show) -> String {
    let about = judgement.about.as_str();
    match about {
        "clearance" if judgement.item == 0 => radial(sheet, judgement, show),
        "clearance" => stack(sheet, judgement, "spacer", show),
        "clearance_after" => stack(sheet, judgement, "spacer ground to", show),
        "interference" | "mount_interference" | "mount_clearance" => fit(sheet, judgement),
        "clearance_row" => typed(sheet, judgement) + &way_words(sheet),
        _ if about.starts_with("bore_") || about.starts_with("neck_") => {
            seat(sheet, about, judgement.item)
        }
        _ => typed(sheet, judgement),
    }
}

/// Its readings as they were typed, side by side.
fn typed(sheet: &SheetDetail, judgement: &Judgement) -> String {
    let all = readings(sheet, judgement);
    let Some(unit) = all.first().map(|r| r.unit.as_str()) else {
        return String::new();
    };
    let words: Vec<String> = all
        .iter()
        .map(|r| crate::print::typed_in(&r.text, &r.unit, unit))
        .collect();
    let unit = match unit {
        "C" => "\u{b0}C",
        "Nm" => "N m",
        other => other,
    };
    format!("{} {unit} as typed", words.join("  "))
}

/// How the clearance of a whole bearing was read.
fn way_words(sheet: &SheetDetail) -> String {
    let cell = sheet.body.readings.iter();
    let mut cells = cell.filter_map(|r| RadialCell::parse(&r.path));
    let way = cells.next().map(RadialCell::way);
    way.map_or_else(String::new, |way| format!("; {}", way.method()))
}

/// The rows of a whole bearing, and the one that decides.
fn radial(sheet: &SheetDetail, judgement: &Judgement, show: Show) -> String {
    let named = sheet.named_rows(show);
    let rows: Vec<String> = sheet
        .body
        .results
        .iter()
        .filter(|o| o.name == "row_clearance_nm")
        .map(|o| {
            let row = usize::try_from(o.item).unwrap_or(0);
            format!("row {} {}", named.row(row), show.length(o.value))
        })
        .collect();
    if rows.is_empty() {
        return format!("mean of {}{}", typed(sheet, judgement), way_words(sheet));
    }
    let mean = judgement
        .value_nm
        .map_or_else(String::new, |nm| format!(", mean {}", show.length_unit(nm)));
    let rows = rows.join(", ");
    format!("{rows}{mean}; every row has to hold{}", way_words(sheet))
}

/// What a spacer leaves of its gap; of one that was measured at four places their mean counts.
fn stack(sheet: &SheetDetail, judgement: &Judgement, spacer: &str, show: Show) -> String {
    let gap = sheet.result("mean_gap_nm", judgement.item);
    judgement
        .value_nm
        .zip(gap)
        .map_or_else(String::new, |(play, gap)| {
            let (width, gap) = (show.length(play + gap), show.length(gap));
            format!("{spacer} {width} less mean gap {gap}")
        })
}

/// How many sizes of neck and ring a fit was found from.
fn fit(sheet: &SheetDetail, judgement: &Judgement) -> String {
    let all = readings(sheet, judgement);
    let neck = all.iter().filter(|r| r.path.starts_with("neck.")).count();
    let ring = all.len() - neck;
    let told = [(neck, "of the neck"), (ring, "of the ring bore")];
    let told = told.into_iter().filter(|(count, _)| *count > 0);
    let told: Vec<String> = told
        .map(|(count, of)| format!("{count} two-point sizes {of}"))
        .collect();
    if told.is_empty() {
        return String::new();
    }
    format!("{}, at 20 \u{b0}C", told.join(" and "))
}

/// A value of a bore or a neck: from which sizes, at which temperatures.
fn seat(sheet: &SheetDetail, about: &str, plane: i64) -> String {
    let (seat, part) = match about.split('_').next() {
        Some("bore") => (SeatName::Bore, "chock"),
        Some("neck") => (SeatName::Neck, "neck"),
        _ => return String::new(),
    };
    let count = sheet.sizes_nm(seat).len();
    let planes = count / SEAT_DEGREES.len();
    let how = match about.split_once('_').map_or("", |(_, what)| what) {
        "mean" => "mean of all sizes, from nominal".to_owned(),
        "ovality" => format!("largest less smallest size of plane {plane}"),
        "taper" => format!("mean of plane 1 against mean of plane {planes}"),
        "largest" => "largest of all sizes".to_owned(),
        _ => "smallest of all sizes".to_owned(),
    };
    let end = |end: &str| {
        let path = format!("{}.{end}", seat.prefix());
        let reading = sheet.body.readings.iter().find(|r| r.path == path)?;
        Some(reading.text.clone())
    };
    let warmth = end("temp_first")
        .zip(end("temp_last"))
        .zip(end("temp_gauge"));
    let warmth = warmth.map_or_else(String::new, |((first, last), gauge)| {
        format!("; {part} {first} to {last} \u{b0}C, gauge {gauge} \u{b0}C")
    });
    format!(
        "{how}; {count} two-point sizes at 20 \u{b0}C, {planes} planes of {}{warmth}",
        SEAT_DEGREES.len()
    )
}
