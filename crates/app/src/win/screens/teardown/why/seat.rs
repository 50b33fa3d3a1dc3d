//! A criterion of a seat: size or form of the chock bore or the roll neck.

use calc::seat;
use serde_json::{Value, json};
use store::sheet::field::{self, PLANES, SEAT_DEGREES, SeatName};
use store::sheet::{EXPANSION_PER_K, SeatCheckView, SeatView, method_name};

use super::super::fields::Sheet;
use super::super::seats::{full_title, number};
use super::list::origin;
use super::{Case, Limit, step};

/// A line of the results of a seat.
pub(super) fn check(sheet: &Sheet, seat: SeatName, index: usize) -> Option<Case> {
    let view = if seat == SeatName::Bore {
        &sheet.a.bore
    } else {
        &sheet.a.neck
    };
    let check = view.checks.get(index)?;
    if check.is_face() {
        return Some(face(sheet, check));
    }
    let input = input(sheet, view)?;
    let size = field::size(seat, check.plane.max(1), SEAT_DEGREES[0]);
    // Nothing but a deviation from nominal can be below zero.
    let is_bounded = !check.is_deviation || check.lower_nm.is_some();
    let allowed = check.upper_nm.map(|upper| (check.lower_nm, upper));
    Some(Case {
        title: format!(
            "{}, {}",
            full_title(check).to_lowercase(),
            seat.title().to_lowercase()
        ),
        verdict: check.verdict,
        probability: check.probability,
        value_nm: check.value_nm,
        is_deviation: check.is_deviation,
        value_from: from_seat(sheet, view, check, &input)?,
        limit: limit(sheet, check),
        allowed_nm: allowed.filter(|_| is_bounded),
        asked: check.asked,
        uncertainty_nm: check.expanded_uncertainty_nm,
        gauges: ["gauge", "thermometer"]
            .map(|end| format!("{}.{end}", seat.prefix()))
            .into(),
        method: &seat::METHOD,
        version: method_name(check.about),
        inputs: inputs(sheet, view, &input)?,
        first: size,
    })
}

/// Shoulder, cover face or width over the liners: read as it is, not from the grid.
fn face(sheet: &Sheet, check: &SeatCheckView) -> Case {
    let path = match check.about {
        "chock_shoulder" => "chock.shoulder",
        "chock_cover_face" => "chock.cover_face",
        _ => "chock.width",
    };
    let typed = sheet.view.entries.committed(path).to_owned();
    Case {
        title: check.title.to_lowercase(),
        verdict: check.verdict,
        probability: check.probability,
        value_nm: check.value_nm,
        is_deviation: false,
        value_from: "as read, nothing is computed from it".into(),
        limit: limit(sheet, check),
        // A face cannot be better than flat or square.
        allowed_nm: check.upper_nm.map(|upper| (check.lower_nm, upper)),
        asked: check.asked,
        uncertainty_nm: check.expanded_uncertainty_nm,
        gauges: vec!["chock.gauge".into()],
        method: &calc::conformity::METHOD,
        version: method_name(check.about),
        inputs: [
            format!("1 reading, typed {typed}"),
            "the largest found round the face, or the smallest width over the liners".into(),
        ],
        first: path.into(),
    }
}

/// What was read, as `seat` takes it.
fn input(sheet: &Sheet, view: &SeatView) -> Option<Value> {
    let value = |path: &str| sheet.a.fields.get(path)?.value;
    let readings: Option<Vec<Vec<f64>>> = PLANES
        .iter()
        .take(view.planes)
        .map(|plane| {
            let sizes = SEAT_DEGREES.iter().map(|degrees| {
                let nm = value(&field::size(view.seat, *plane, *degrees))?;
                Some(nm as f64 / 1e6)
            });
            sizes.collect()
        })
        .collect();
    let celsius = |end: &str| {
        let mk = value(&format!("{}.{end}", view.seat.prefix()))?;
        Some(mk as f64 / 1e3)
    };
    let part = f64::midpoint(celsius("temp_first")?, celsius("temp_last")?);
    // Limits and U are those of each line of the results; here only sizes are asked for.
    Some(json!({
        "readings_mm": readings?,
        "lower_mm": view.min_nm? as f64 / 1e6,
        "upper_mm": view.max_nm? as f64 / 1e6,
        "part_temp_c": part,
        "gauge_temp_c": celsius("temp_gauge")?,
        "expansion_part_per_k": EXPANSION_PER_K,
        "expansion_gauge_per_k": EXPANSION_PER_K,
        "expanded_uncertainty_um": null,
    }))
}

/// How `seat` comes from the grid to this value.
fn from_seat(
    sheet: &Sheet,
    view: &SeatView,
    check: &SeatCheckView,
    input: &Value,
) -> Option<String> {
    let begins = match check.about {
        "bore_mean" => "mean of".to_owned(),
        "bore_ovality" | "neck_ovality" => format!("ovality of plane {}", check.plane),
        "bore_taper" | "neck_taper" => "taper".to_owned(),
        "bore_largest" | "neck_largest" => "largest size".to_owned(),
        _ => "smallest size".to_owned(),
    };
    let step = step(&seat::METHOD, input, &begins, sheet)?;
    let (what, note) = (&step.expression, &step.note);
    Some(match view.nominal_nm.filter(|_| check.is_deviation) {
        Some(nominal) => {
            let nominal = sheet.show().length(nominal);
            format!("{what} {} {note}, from nominal {nominal}", step.result)
        }
        None => format!("{what}, {note}"),
    })
}

fn limit(sheet: &Sheet, check: &SeatCheckView) -> Option<Limit> {
    let (nm, is_upper) = match (check.upper_nm, check.lower_nm) {
        (Some(upper), _) => (upper, true),
        (None, lower) => (lower?, false),
    };
    let words = if is_upper { "at most" } else { "at least" };
    Some(Limit {
        nm,
        is_upper,
        words: format!("{words} {} {}", number(sheet, check, nm), sheet.unit()),
        origin: origin(sheet, "register of types"),
    })
}

/// How many sizes, and what brings them to 20 degrees.
fn inputs(sheet: &Sheet, view: &SeatView, input: &Value) -> Option<[String; 2]> {
    let seat = view.seat;
    let factor = step(&seat::METHOD, input, "part ", sheet)?;
    let celsius = |end: &str| {
        let text = sheet
            .view
            .entries
            .committed(&format!("{}.{end}", seat.prefix()));
        text.to_owned()
    };
    let part = if seat == SeatName::Bore {
        "chock"
    } else {
        "neck"
    };
    Some([
        format!("{} sizes, factor {}", 4 * view.planes, factor.result),
        format!(
            "{part} {} to {} \u{b0}C, gauge {} \u{b0}C, {}; {} planes of 4",
            celsius("temp_first"),
            celsius("temp_last"),
            celsius("temp_gauge"),
            factor.note,
            view.planes
        ),
    ])
}
