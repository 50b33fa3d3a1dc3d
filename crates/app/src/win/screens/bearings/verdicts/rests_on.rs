//! What a signed verdict rests on: how its value came out, and the gauge it was read on as it stood on that day.

use store::Stamp;
use store::entry::Show;
use store::payload::Judgement;
use store::query::SheetDetail;
use store::sheet::field::{SEAT_DEGREES, SeatName};

/// The gauge behind a verdict of a seat or a face, with its calibration; empty where none was named.
pub(super) fn gauge(sheet: &SheetDetail, about: &str) -> String {
    let path = match about.split('_').next() {
        Some("bore") => "bore.gauge",
        Some("neck") => "neck.gauge",
        Some("chock") => "chock.gauge",
        _ => return String::new(),
    };
    let Some(code) = sheet.entry(path) else {
        return String::new();
    };
    let mut known = sheet.gauges.values();
    let used = known.find(|g| g.code.eq_ignore_ascii_case(code));
    used.map_or_else(
        || code.to_owned(),
        |g| {
            let due = Stamp::second(g.due_ms, sheet.event.at.offset_min).date();
            let status = if g.is_overdue {
                format!("not to be relied on then: {}", g.doubt)
            } else {
                format!("in calibration until {due}")
            };
            format!("{}, {}, {status}", g.code, g.kind)
        },
    )
}

/// How a value came out, in words.
pub(super) fn inputs(sheet: &SheetDetail, judgement: &Judgement, show: Show) -> String {
    let about = judgement.about.as_str();
    match about {
        "clearance" => clearance(sheet, judgement.item, show),
        "chock_shoulder" => typed(sheet, "chock.shoulder").unwrap_or_default(),
        "chock_cover_face" => typed(sheet, "chock.cover_face").unwrap_or_default(),
        "chock_width" => typed(sheet, "chock.width").unwrap_or_default(),
        _ => seat(sheet, about, judgement.item),
    }
}

/// A reading as it was typed.
fn typed(sheet: &SheetDetail, path: &str) -> Option<String> {
    let reading = sheet.body.readings.iter().find(|r| r.path == path)?;
    Some(format!("{} {} as typed", reading.text, reading.unit))
}

fn clearance(sheet: &SheetDetail, pair: i64, show: Show) -> String {
    let path = format!("clearance.spacer.{pair}");
    let spacer = sheet.body.readings.iter().find(|r| r.path == path);
    match (spacer, sheet.result("mean_gap_nm", pair)) {
        (Some(spacer), Some(gap)) => format!(
            "spacer {} less mean gap {}",
            show.length(spacer.value),
            show.length(gap)
        ),
        _ => String::new(),
    }
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
