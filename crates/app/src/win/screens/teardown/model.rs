//! What the top strip says of a teardown sheet, and whether it is begun.

use store::entry::Show;
use store::sheet::{Assessment, Facts};

/// The line of the top strip: bearing, type, where it came from.
pub fn heading(facts: &Facts, show: Show) -> String {
    let mut parts = Vec::new();
    let Some(bearing) = &facts.bearing else {
        return facts
            .chock
            .as_ref()
            .map_or_else(String::new, |c| c.code.clone());
    };
    parts.push(bearing.serial.clone());
    if let Some(t) = &facts.bearing_type {
        parts.push(t.code.clone());
    }
    let run = bearing
        .stay
        .as_ref()
        .map(|stay| format!("after {} h", show.hours(stay.run_s)));
    let from = match (&facts.position, &facts.chock) {
        (Some((_, position)), _) => Some(format!("off {position}")),
        (None, Some(chock)) => Some(format!("out of {}", chock.code)),
        (None, None) => None,
    };
    parts.extend([[from, run]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" ")]);
    parts.retain(|part| !part.is_empty());
    parts.join(" \u{b7} ")
}

/// Whether anything was measured yet.
pub fn is_begun(a: &Assessment) -> bool {
    a.findings.iter().any(|seen| seen.finding.is_some())
        || a.clearance.is_begun()
        || a.clearance
            .pairs
            .iter()
            .any(|p| p.places > 0 || p.spacer_nm.is_some())
        || !a.bore.is_empty()
        || !a.neck.is_empty()
}
