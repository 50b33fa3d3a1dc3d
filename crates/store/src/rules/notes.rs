//! What is noted beside the moves: sorts, sizes and words that can be.

use super::{UNCERTAINTY_MAX, refused};
use crate::error::Result;
use crate::payload::{
    Attached, ConditionReading, Extension, GaugeFoundOut, ImportBatch, MillIncident, PositionWork,
    TeardownPlanned,
};
use crate::time::{DAY_MS, Stamp};

/// A reading of a chock at work: one of the sorts, and a value that can be.
pub(super) fn condition(p: &ConditionReading) -> Result<()> {
    let (low, high, words) = match p.what.as_str() {
        "temperature" => (-50_000, 400_000, "-50 to 400 \u{b0}C"),
        "vibration" => (0, 1_000_000_000, "0 to 1,000 mm/s"),
        "noise" => (0, 20_000, "0 to 200 dB"),
        "seal_leakage" => (0, 0, "told in words"),
        other => {
            return Err(refused(format!(
                "{other:?} is no reading of a condition: temperature, vibration, noise or seal_leakage"
            )));
        }
    };
    match p.value {
        Some(value) if !(low..=high).contains(&value) => Err(refused(format!(
            "that {} cannot be: {words}",
            p.what.replace('_', " ")
        ))),
        None if p.text.trim().is_empty() => Err(refused("a reading has a value, or words")),
        _ => Ok(()),
    }
}

pub(super) fn incident(p: &MillIncident) -> Result<()> {
    const SORTS: [&str; 5] = [
        "cobble",
        "strip_break",
        "emergency_stop",
        "overload",
        "other",
    ];
    if !SORTS.contains(&p.what.as_str()) {
        return Err(refused(format!(
            "{:?} is no incident: {}",
            p.what,
            SORTS.join(", ")
        )));
    }
    if p.is_early_teardown && p.chocks.is_empty() {
        return Err(refused("which chocks are to be torn down early?"));
    }
    match p.force_n {
        Some(force) if !(1..=200_000_000).contains(&force) => Err(refused(
            "that rolling force cannot be: above 0, up to 200 MN",
        )),
        _ => Ok(()),
    }
}

/// An extension ends after it was given, within a year.
pub(super) fn extension(p: &Extension, at: Stamp) -> Result<()> {
    if p.reason.trim().is_empty() {
        return Err(refused(
            "an extension has a reason, and says what is watched meanwhile",
        ));
    }
    if (at.ms + 1..=at.ms.saturating_add(366 * DAY_MS)).contains(&p.until_ms) {
        Ok(())
    } else {
        Err(refused("an extension ends on a later day, within a year"))
    }
}

/// A teardown is planned for a day of the next year, and the plan says why not now.
pub(super) fn planned(p: &TeardownPlanned, at: Stamp) -> Result<()> {
    if p.reason.trim().is_empty() {
        return Err(refused("say why it is not torn down now"));
    }
    let days = at.ms - DAY_MS..=at.ms.saturating_add(366 * DAY_MS);
    match p.planned_ms {
        Some(day) if !days.contains(&day) => Err(refused(
            "a teardown is planned for today or a later day, within a year",
        )),
        _ => Ok(()),
    }
}

pub(super) fn batch(p: &ImportBatch) -> Result<()> {
    let is_hash = p.file_hash.len() == 64 && p.file_hash.chars().all(|c| c.is_ascii_hexdigit());
    if is_hash && p.rows > 0 && !p.file.trim().is_empty() && !p.name.trim().is_empty() {
        return Ok(());
    }
    Err(refused(
        "an import has a name, its file with SHA-256 in 64 hexadecimal digits, and at least one row",
    ))
}

pub(super) fn position_work(p: &PositionWork) -> Result<()> {
    const SORTS: [&str; 4] = ["liners", "keeper", "screw_down", "other"];
    if !SORTS.contains(&p.what.as_str()) {
        return Err(refused(format!(
            "{:?} is no work at a position: {}",
            p.what,
            SORTS.join(", ")
        )));
    }
    if p.text.trim().is_empty() {
        return Err(refused("say what was done at the position"));
    }
    if p.width_nm
        .iter()
        .any(|nm| !(1..=10_000_000_000).contains(nm))
    {
        return Err(refused("a width there is above 0, and not over 10 m"));
    }
    Ok(())
}

pub(super) fn found_out(p: &GaugeFoundOut) -> Result<()> {
    if p.error == 0 || p.error.abs() > UNCERTAINTY_MAX {
        return Err(refused(
            "the error found is not 0, and not over 1,000 mm, K or N m: indication minus reference",
        ));
    }
    if p.text.trim().is_empty() {
        return Err(refused("say how it was found: on which standard"));
    }
    Ok(())
}

pub(super) fn attached(p: &Attached) -> Result<()> {
    const SORTS: [&str; 4] = ["photo", "certificate", "drawing", "other"];
    if SORTS.contains(&p.what.as_str()) {
        return Ok(());
    }
    Err(refused(format!(
        "{:?} is no sort of document: {}",
        p.what,
        SORTS.join(", ")
    )))
}
