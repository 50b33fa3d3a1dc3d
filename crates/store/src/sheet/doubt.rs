//! A field's text: what it means, what is impossible, what is merely improbable.
//!
//! Impossible is refused and does not count; improbable is kept and asked about once.

use calc::load_zone::Zone;

use super::assess::{FieldState, Problem};
use super::facts::{Facts, GaugeFacts, TypeFacts};
use super::field::radial::RadialCell;
use super::field::{self, Cell, FieldKind, SeatName};
use super::foreseen;
use crate::draft::Fields;
use crate::entry::{self, LengthUnit, Quantity, Show};

/// What a field's text means, and what is wrong with it.
pub(crate) fn state(
    path: &str,
    text: &str,
    fields: &Fields,
    facts: &Facts,
    unit: LengthUnit,
) -> FieldState {
    let refused = |text: String| FieldState {
        problem: Some(Problem {
            is_refusal: true,
            text,
            hint: None,
            instead: None,
        }),
        ..FieldState::default()
    };
    match field::kind(path) {
        Some(FieldKind::Number(quantity)) => match entry::read(text, quantity, unit) {
            Ok(typed) => {
                let is_kept = fields
                    .get(&format!("kept.{path}"))
                    .is_some_and(|kept| kept.text.trim() == text);
                let problem = doubt(path, quantity, typed.value, facts, unit)
                    .or_else(|| foreseen::doubt(path, fields, facts, unit))
                    .or_else(|| out_of_range(path, quantity, typed.value, fields, facts))
                    .filter(|p| p.is_refusal || !is_kept);
                FieldState {
                    value: Some(typed.value),
                    unit: typed.unit,
                    problem,
                }
            }
            Err(why) => refused(why.to_string()),
        },
        Some(FieldKind::Choice(list)) if list.shown(text).is_none() => {
            let words = list.words();
            let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            refused(format!("{text:?} is none of {}", words.join(", ")))
        }
        Some(FieldKind::Zone) if text.parse::<Zone>().is_err() => {
            refused(format!("{text:?} is no load zone: I, II, III or IV"))
        }
        Some(FieldKind::Code("gauge")) => match facts
            .gauges
            .values()
            .find(|g| g.code.eq_ignore_ascii_case(text))
        {
            None => refused(format!("{text:?} is not in the register of gauges")),
            Some(gauge) => wrong_gauge(path, gauge).map_or_else(FieldState::default, refused),
        },
        Some(FieldKind::Code("grease"))
            if !facts.greases.keys().any(|g| g.eq_ignore_ascii_case(text)) =>
        {
            refused(format!("{text:?} is not in the register of greases"))
        }
        Some(FieldKind::Code("grease")) => facts
            .blocked
            .iter()
            .find(|(code, _)| code.eq_ignore_ascii_case(text))
            .map_or_else(FieldState::default, |(code, why)| {
                refused(format!("{code} is blocked: {why}"))
            }),
        Some(FieldKind::Code("seal_batch")) => {
            seal_batch(path, text, facts).map_or_else(FieldState::default, refused)
        }
        Some(FieldKind::Code("person"))
            if !facts.people.keys().any(|p| p.eq_ignore_ascii_case(text)) =>
        {
            refused(format!("{text:?} is not in the register of people"))
        }
        Some(FieldKind::Code("person"))
            if facts.auditors.iter().any(|a| a.eq_ignore_ascii_case(text)) =>
        {
            refused(format!("{text} audits: who did the work is somebody else"))
        }
        _ => facts
            .unknown
            .get(path)
            .cloned()
            .map_or_else(FieldState::default, refused),
    }
}

/// A seal batch that the register does not know, or that is blocked and would go in.
fn seal_batch(path: &str, text: &str, facts: &Facts) -> Option<String> {
    let mut known = facts.shop.seal_batches.keys();
    if !known.any(|code| code.eq_ignore_ascii_case(text)) {
        return Some(format!("{text:?} is not in the register of seal batches"));
    }
    // What comes off is what it is, blocked or not.
    let mut blocked = facts.blocked.iter().filter(|_| path == "seals.batch");
    blocked
        .find(|(code, _)| code.eq_ignore_ascii_case(text))
        .map(|(code, why)| format!("{code} is blocked: {why}"))
}

/// A gauge that does not measure what the field asks for.
fn wrong_gauge(path: &str, gauge: &GaugeFacts) -> Option<String> {
    let wanted: &[&str] = match path {
        _ if crate::mounting::field::is_own(path) => crate::mounting::field::measures(path),
        "bore.gauge" | "radial.gauge_rollers" | "ring.gauge" => &["bore"],
        "neck.gauge" => &["neck"],
        "bore.thermometer" | "neck.thermometer" | "ring.thermometer" => &["temperature"],
        "clearance.gauge_gap" => &["gap"],
        // Which of them depends on how the clearance is read.
        "radial.gauge" => &["gap", "neck", "width", "other"],
        "taper.gauge" | "taper.push_gauge" => &["gap", "width", "other"],
        "bolts.wrench" => &["torque"],
        "chock.gauge" => &["width", "gap", "other"],
        _ => &["width"],
    };
    if wanted.contains(&gauge.measures.as_str()) {
        return None;
    }
    Some(format!(
        "{} is a {}: it does not measure this",
        gauge.code, gauge.kind
    ))
}

/// A reading that lies outside what is printed on its gauge: one of the two is another.
fn out_of_range(
    path: &str,
    quantity: Quantity,
    value: i64,
    fields: &Fields,
    facts: &Facts,
) -> Option<Problem> {
    let by = crate::mounting::field::gauge_of(path).or_else(|| super::sign::gauge_field(path))?;
    let gauge = crate::form::body::gauge_in(fields, by, facts.gauges.values())?;
    let (low, high) = entry::range(&gauge.span, quantity)?;
    if (low..=high).contains(&value) {
        return None;
    }
    Some(Problem {
        is_refusal: false,
        text: format!(
            "{} goes from {}: was it read on another gauge?",
            gauge.code,
            gauge.span.replacen(['-', '\u{2013}'], " to ", 1)
        ),
        hint: None,
        instead: None,
    })
}

/// What a length is expected to be: the middle, how far it may be off, how far it is still possible.
struct Expected {
    what: &'static str,
    low: i64,
    high: i64,
    possible_low: i64,
    possible_high: i64,
}

/// Additions stop at the end of the numbers: a size that came in by another way may be anything.
fn expected(path: &str, facts: &Facts) -> Option<Expected> {
    let expected = like_grid(of_which(path)?, facts)?;
    // A setting ring need not have the size of the seat.
    Some(if path.contains(".check.") {
        Expected {
            what: "standard",
            low: expected.possible_low,
            high: expected.possible_high,
            ..expected
        }
    } else {
        expected
    })
}

fn like_grid(cell: Cell, facts: &Facts) -> Option<Expected> {
    const MM: i64 = 1_000_000;
    let t = facts.bearing_type.as_ref()?;
    let pair_spacer = |pair| t.pair("spacer_nm", pair);
    Some(match cell {
        Cell::Radial(cell) => radial_expected(cell, t)?,
        Cell::Gap { pair, .. } | Cell::Earlier { pair, .. } => {
            let new = pair_spacer(pair)?;
            Expected {
                what: "gap",
                low: new.saturating_sub(2 * MM),
                high: new,
                possible_low: new / 2,
                possible_high: new.saturating_add(new / 2),
            }
        }
        Cell::Spacer { pair }
        | Cell::After { pair }
        | Cell::SpacerAt { pair, .. }
        | Cell::AfterAt { pair, .. } => {
            let new = pair_spacer(pair)?;
            let least = t
                .pair("spacer_min_nm", pair)
                .unwrap_or(new.saturating_sub(2 * MM));
            Expected {
                what: "spacer",
                low: least.saturating_sub(MM / 2),
                high: new.saturating_add(MM / 4),
                possible_low: new / 2,
                possible_high: new.saturating_add(new / 2),
            }
        }
        Cell::Size {
            seat: SeatName::Bore,
            ..
        } => {
            let nominal = t
                .whole("chock_bore_nominal_nm")
                .or_else(|| t.whole("outside_nm"))?;
            let mean_max = t.whole("chock_bore_mean_max_nm").unwrap_or(MM / 5);
            let wide = mean_max.saturating_add(3 * MM / 20);
            Expected {
                what: "bore",
                low: nominal.saturating_sub(MM / 10),
                high: nominal.saturating_add(wide),
                possible_low: nominal - nominal / 100,
                possible_high: nominal.saturating_add(nominal / 100),
            }
        }
        Cell::Ring { .. } => {
            let nominal = t.whole("bore_nm")?;
            let ring = |name: &str| t.whole(name).unwrap_or(0);
            Expected {
                what: "inner ring",
                low: nominal + ring("ring_bore_lower_nm") - MM / 5,
                high: nominal + ring("ring_bore_upper_nm") + MM / 5,
                possible_low: nominal - nominal / 100,
                possible_high: nominal.saturating_add(nominal / 100),
            }
        }
        Cell::Size {
            seat: SeatName::Neck,
            ..
        } => {
            let nominal = t.whole("bore_nm")?;
            let low = t
                .whole("neck_rework_nm")
                .unwrap_or(nominal.saturating_sub(MM))
                .saturating_sub(3 * MM / 20);
            let high = t
                .whole("neck_max_nm")
                .unwrap_or(nominal.saturating_add(MM / 2))
                .saturating_add(MM / 10);
            Expected {
                what: "neck",
                low,
                high,
                possible_low: nominal - nominal / 100,
                possible_high: nominal.saturating_add(nominal / 100),
            }
        }
    })
}

/// Diameters lie between bore and outside diameter; a clearance is a small part of them.
fn radial_expected(cell: RadialCell, t: &TypeFacts) -> Option<Expected> {
    const MM: i64 = 1_000_000;
    Some(match cell {
        RadialCell::Raceway { .. } | RadialCell::Rollers { .. } => {
            let (bore, outside) = (t.whole("bore_nm")?, t.whole("outside_nm")?);
            Expected {
                what: "diameter of raceway or rollers",
                low: bore,
                high: outside,
                possible_low: bore,
                possible_high: outside,
            }
        }
        RadialCell::Open { .. } | RadialCell::Side { .. } => Expected {
            what: "clearance of a thin ring",
            low: 0,
            high: 2 * t.whole("rework_nm").unwrap_or(MM),
            possible_low: 0,
            possible_high: 10 * MM,
        },
        RadialCell::Passes { .. } | RadialCell::Refused { .. } | RadialCell::Axial { .. } => {
            Expected {
                what: "clearance",
                low: t.whole("clearance_min_nm").unwrap_or(0) / 2,
                high: 2 * t.whole("rework_nm").unwrap_or(MM),
                possible_low: 1,
                possible_high: 10 * MM,
            }
        }
    })
}

/// The place on a grid that a length is like: a setting ring has about the size of its seat.
fn of_which(path: &str) -> Option<Cell> {
    let like = |seat| {
        Some(Cell::Size {
            seat,
            plane: 1,
            degrees: 0,
        })
    };
    match path {
        "bore.check.read" | "bore.check.standard" => like(SeatName::Bore),
        "neck.check.read" | "neck.check.standard" => like(SeatName::Neck),
        _ => field::grid(path),
    }
}

/// The largest size that a type may have.
const LENGTH_NM_MAX: i64 = 10_000_000_000;

/// Whether nobody would ask about this length by the sizes of its type.
pub(super) fn is_plain(path: &str, value: i64, facts: &Facts, unit: LengthUnit) -> bool {
    doubt(path, Quantity::Length, value, facts, unit).is_none()
}

/// Refuses what is impossible, asks about what is improbable.
fn doubt(
    path: &str,
    quantity: Quantity,
    value: i64,
    facts: &Facts,
    unit: LengthUnit,
) -> Option<Problem> {
    let refuse = |text: String| {
        Some(Problem {
            is_refusal: true,
            text,
            hint: None,
            instead: None,
        })
    };
    if crate::mounting::field::is_own(path) {
        let bore = facts.bearing_type.as_ref().and_then(|t| t.whole("bore_nm"));
        return crate::mounting::doubt(path, quantity, value, unit, bore);
    }
    match quantity {
        Quantity::Angle if !(0..=3_600).contains(&value) => {
            refuse("an angle on a ring goes from 0 to 360 degrees".into())
        }
        Quantity::Mass if value < 1 => {
            refuse("grease is weighed, above 0; where none went in, say why instead".into())
        }
        Quantity::Mass if value > 50_000_000 => {
            refuse("more than 50 kg in one row is not possible: grams?".into())
        }
        Quantity::Temperature if !(-30_000..=150_000).contains(&value) => {
            refuse("not possible for a part on the bench: in \u{b0}C?".into())
        }
        // A chock comes out of the mill warm; hot is the engineer's business.
        Quantity::Temperature if path == "found.temperature" && (0..=120_000).contains(&value) => {
            None
        }
        Quantity::Torque if !(1..=50_000_000).contains(&value) => {
            refuse("not possible for a bolt: above 0, up to 50,000 N m".into())
        }
        Quantity::Load if !(0..=10_000_000).contains(&value) => {
            refuse("not possible for weights on a bench: in kg?".into())
        }
        Quantity::Temperature if !(0..=45_000).contains(&value) => Some(Problem {
            is_refusal: false,
            text: "Improbable on the bench: let the part and the gauge take the same temperature."
                .into(),
            hint: None,
            instead: None,
        }),
        Quantity::Length if path.starts_with("shim.") || path.starts_with("cover.gap.") => {
            if (0..=50_000_000).contains(&value) {
                None
            } else {
                refuse("not possible for a pack of shims: 0 to 50 mm".into())
            }
        }
        Quantity::Length if path.starts_with("taper.") => {
            if (0..=50_000_000).contains(&value) {
                None
            } else {
                refuse("not possible on a taper: 0 to 50 mm".into())
            }
        }
        Quantity::Length if matches!(path, "chock.shoulder" | "chock.cover_face") => {
            if (0..=10_000_000).contains(&value) {
                None
            } else {
                refuse("not possible for a face: 0 to 10 mm".into())
            }
        }
        // The extent of a finding has no nominal.
        Quantity::Length if path.starts_with("finding.") => {
            if (0..=3_000_000_000).contains(&value) {
                None
            } else {
                refuse("not possible for a finding: 0 to 3 m".into())
            }
        }
        Quantity::Length => match expected(path, facts) {
            Some(expected) => length_doubt(&expected, value, unit),
            // Without a nominal size in the register there is still a shop around it.
            None if (1..=LENGTH_NM_MAX).contains(&value) => None,
            None => refuse("not possible for a size on the bench: above 0, up to 10 m".into()),
        },
        _ => None,
    }
}

fn length_doubt(expected: &Expected, value: i64, unit: LengthUnit) -> Option<Problem> {
    let show = Show {
        unit,
        ..Show::default()
    };
    let what = expected.what;
    if !(expected.possible_low..=expected.possible_high).contains(&value) {
        let other = value.checked_mul(254).map(|v| v / 10);
        let as_inch = other.filter(|v| {
            (expected.possible_low..=expected.possible_high).contains(v)
                && unit == LengthUnit::Millimetre
        });
        // As it was typed, to the last digit: what is offered is what will stand there.
        let inches = Show::default().decimals(value, 1_000_000, 6);
        let inches = inches.trim_end_matches('0').trim_end_matches('.');
        return Some(Problem {
            is_refusal: true,
            text: format!("Not possible for this {what}: {}.", show.length_unit(value)),
            hint: as_inch.map(|v| format!("Inch? {inches} in = {} mm", Show::default().length(v))),
            instead: as_inch.map(|_| format!("{inches}in")),
        });
    }
    if (expected.low..=expected.high).contains(&value) {
        return None;
    }
    let exchanged = exchanged_digits(&show.length(value))
        .into_iter()
        .find(|(_, nm)| {
            let nm = if unit == LengthUnit::Inch {
                nm * 254 / 10
            } else {
                *nm
            };
            (expected.low..=expected.high).contains(&nm)
        });
    Some(Problem {
        is_refusal: false,
        text: format!("Improbable for this {what}: {}.", show.length_unit(value)),
        hint: exchanged
            .as_ref()
            .map(|(text, _)| format!("Digits exchanged? {text}")),
        instead: exchanged.map(|(text, _)| text),
    })
}

/// The text with two neighbouring digits exchanged, every way, with what it then means in millionths.
fn exchanged_digits(text: &str) -> Vec<(String, i64)> {
    let places: Vec<usize> = text
        .char_indices()
        .filter(|(_, c)| c.is_ascii_digit())
        .map(|(i, _)| i)
        .collect();
    places
        .windows(2)
        .filter_map(|pair| {
            let mut bytes = text.as_bytes().to_vec();
            bytes.swap(*pair.first()?, *pair.last()?);
            let text = String::from_utf8(bytes).ok()?;
            let nm = entry::read(&text, Quantity::Length, LengthUnit::Millimetre)
                .ok()?
                .value;
            Some((text, nm))
        })
        .collect()
}
