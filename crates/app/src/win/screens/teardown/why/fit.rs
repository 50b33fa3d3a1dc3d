//! What sits on the neck: interference of an inner ring, loss of clearance and push-up on a taper.

use store::sheet::method_name;

use super::super::fields::Sheet;
use super::{Case, Limit};

/// The interference of the inner ring.
pub(super) fn ring(sheet: &Sheet) -> Option<Case> {
    let ring = sheet.a.ring.as_ref()?;
    let (found, limits) = (ring.interference_nm?, ring.designed_nm?);
    let length = |nm: i64| sheet.show().length(nm);
    let words = format!(
        "{} to {} {}",
        length(limits.0),
        length(limits.1),
        sheet.unit()
    );
    let neck = sheet.a.neck.mean_nm.map_or_else(String::new, length);
    let bore = match ring.mean_nm {
        Some(nm) => length(nm),
        None => "the middle of its tolerance".to_owned(),
    };
    Some(Case {
        title: "interference on the neck".into(),
        verdict: ring.verdict,
        probability: ring.probability,
        value_nm: found,
        is_deviation: false,
        value_from: format!("mean of the neck {neck} less mean of the ring bore {bore}"),
        limit: Some(Limit::nearest(limits, found, words, ring.origin.clone())),
        allowed_nm: Some((Some(limits.0), limits.1)),
        asked: ring.asked,
        uncertainty_nm: ring.expanded_uncertainty_nm,
        gauges: [
            "neck.gauge",
            "ring.gauge",
            "neck.thermometer",
            "ring.thermometer",
        ]
        .map(String::from)
        .into(),
        method: &calc::fit_found::METHOD,
        version: method_name("interference"),
        inputs: [
            "12 sizes of the neck, 12 of the ring bore".into(),
            "at 20 \u{b0}C, by the temperatures of part and gauge".into(),
        ],
        first: "ring.1.0".into(),
    })
}

/// A line of the taper.
pub(super) fn taper(sheet: &Sheet, index: usize) -> Option<Case> {
    let line = sheet.a.taper.as_ref()?.lines.get(index)?;
    let (low, high) = (line.lower_nm.unwrap_or(0), line.upper_nm?);
    let length = |nm: i64| sheet.show().length(nm);
    let words = format!("{} to {} {}", length(low), length(high), sheet.unit());
    let is_push = line.about == "taper_push_up";
    let (gauge, first) = if is_push {
        ("taper.push_gauge", "taper.push".to_owned())
    } else {
        ("taper.gauge", format!("taper.mounted.{}", line.row))
    };
    Some(Case {
        title: line.title.to_lowercase(),
        verdict: line.verdict,
        probability: line.probability,
        value_nm: line.value_nm,
        is_deviation: false,
        value_from: if is_push {
            "as measured before it was driven off".into()
        } else {
            "clearance of the row off the taper less that on it".into()
        },
        limit: Some(Limit::nearest(
            (low, high),
            line.value_nm,
            words,
            line.origin.clone(),
        )),
        allowed_nm: Some((line.lower_nm, high)),
        asked: line.asked,
        uncertainty_nm: line.expanded_uncertainty_nm,
        gauges: vec![gauge.into()],
        method: &calc::push_up::METHOD,
        version: method_name(line.about),
        inputs: ["as typed on the sheet".into(), String::new()],
        first,
    })
}
