//! Which readings stand behind a verdict, how an error of theirs moves its value, and what would then have been said.

use std::collections::BTreeMap;

use calc::conformity::{AtUpper, Limits};
use calc::found_out;
use calc::quantity::{nanometres, to_nanometres};

use super::{ImpactLine, ImpactReading};
use crate::payload::Judgement;
use crate::sheet::field::radial::RadialCell;
use crate::sheet::field::{self, Cell};

/// What a reading has to do with a verdict: nothing, or with which sign it is in its value.
///
/// End play is spacer minus mean gap; after grinding the new spacer minus the gap as found. A size is in the mean and
/// the extremes of its seat, and cancels out of ovality and taper.
fn part(about: &str, item: i64, path: &str) -> Option<i64> {
    if let Some(sign) = super::others::part(about, item, path) {
        return Some(sign);
    }
    let is_pair = |pair: usize| i64::try_from(pair) == Ok(item);
    match (about, field::grid(path)?) {
        ("clearance" | "clearance_after", Cell::Gap { pair, .. }) if is_pair(pair) => Some(-1),
        ("clearance", Cell::Spacer { pair }) | ("clearance_after", Cell::After { pair })
            if is_pair(pair) =>
        {
            Some(1)
        }
        (_, Cell::Size { seat, .. }) => {
            let rest = about.strip_prefix(seat.prefix())?;
            matches!(rest, "_mean" | "_smallest" | "_largest").then_some(1)
        }
        // Clearance by diameters is that under the rollers less that over the raceway; leaves and indicators read it.
        ("clearance" | "clearance_row", Cell::Radial(cell)) => {
            let is_its_row = item == 0 || cell.row().is_some_and(is_pair);
            is_its_row.then_some(if matches!(cell, RadialCell::Raceway { .. }) {
                -1
            } else {
                1
            })
        }
        _ => None,
    }
}

/// How many times the error of the gauge is in the value of a verdict; none where nothing of it was read on the gauge.
pub(super) fn shift(about: &str, item: i64, read: &BTreeMap<&str, i64>) -> Option<i64> {
    let mut signs: Vec<i64> = read
        .keys()
        .filter_map(|path| part(about, item, path))
        .collect();
    signs.sort_unstable();
    signs.dedup();
    (!signs.is_empty()).then(|| signs.iter().sum())
}

/// The readings behind a verdict in the order of measuring, as recorded and without the error.
pub(super) fn readings(
    about: &str,
    item: i64,
    read: &BTreeMap<&str, i64>,
    error: i64,
) -> Vec<ImpactReading> {
    let mut all: Vec<ImpactReading> = read
        .iter()
        .filter(|(path, _)| part(about, item, path).is_some())
        .map(|(path, value)| ImpactReading {
            path: (*path).to_owned(),
            recorded: *value,
            corrected: value - error,
        })
        .collect();
    all.sort_by_key(|r| place(&r.path));
    all
}

/// Plane or row pair, then direction: `neck.1.45` before `neck.1.135`.
fn place(path: &str) -> Vec<i64> {
    path.split('.')
        .filter_map(|part| part.parse().ok())
        .collect()
}

/// Judges a line: its value as signed, and with `error` taken out of it.
pub(super) fn judge(line: &mut ImpactLine, signed: &Judgement, error: i64) {
    line.recorded = signed.value_nm;
    line.corrected = signed.value_nm.map(|nm| nm - error);
    line.lower = signed.lower_nm;
    line.upper = signed.upper_nm;
    line.expanded_uncertainty = signed.expanded_uncertainty_nm;
    line.signed = signed.verdict.parse().ok();
    let (Some(value), Some(verdict)) = (signed.value_nm, line.signed) else {
        return;
    };
    let limits = Limits {
        lower: signed.lower_nm.map(nanometres),
        upper: signed.upper_nm.map(nanometres),
        // A rework level of clearance is reached at equality; every other limit still conforms there.
        at_upper: if matches!(signed.about.as_str(), "clearance" | "clearance_row") {
            AtUpper::Reached
        } else {
            AtUpper::Conforms
        },
        ..Limits::default()
    };
    let uncertainty = signed.expanded_uncertainty_nm.map(nanometres);
    // Without a limit there was no verdict to change.
    if let Ok(found) = found_out::judge(
        nanometres(value),
        nanometres(error),
        &limits,
        uncertainty,
        verdict,
    ) {
        line.corrected = Some(to_nanometres(found.value));
        line.if_corrected = Some(found.conformity.verdict);
        line.probability = found.conformity.probability;
        line.change = Some(found.change);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_error_moves_a_value_by_the_part_that_its_readings_have_in_it() {
        let of = |paths: &[&'static str]| -> BTreeMap<&'static str, i64> {
            paths.iter().map(|path| (*path, 0)).collect()
        };
        let gaps = of(&[
            "clearance.gap.1.0",
            "clearance.gap.1.90",
            "clearance.gap.2.0",
        ]);
        assert_eq!(
            shift("clearance", 1, &gaps),
            Some(-1),
            "a gap read too large hides clearance"
        );
        assert_eq!(shift("clearance_after", 2, &gaps), Some(-1));
        assert_eq!(
            shift("clearance", 3, &gaps),
            None,
            "nothing of this pair was read on it"
        );
        let widths = of(&["clearance.spacer.1", "after.1"]);
        assert_eq!(shift("clearance", 1, &widths), Some(1));
        let both = of(&["clearance.spacer.1", "clearance.gap.1.0"]);
        assert_eq!(
            shift("clearance", 1, &both),
            Some(0),
            "the same error in both cancels out"
        );
        let bore = of(&["bore.1.0", "bore.3.135"]);
        assert_eq!(shift("bore_mean", 0, &bore), Some(1));
        assert_eq!(shift("bore_ovality", 1, &bore), None);
        let raceway = of(&["radial.raceway.1.0", "radial.raceway.2.90"]);
        assert_eq!(shift("clearance", 0, &raceway), Some(-1));
        assert_eq!(shift("clearance_row", 2, &raceway), Some(-1));
        assert_eq!(shift("clearance_row", 3, &raceway), None);
        assert_eq!(shift("clearance", 0, &of(&["radial.passes.1.0"])), Some(1));
        assert_eq!(shift("neck_smallest", 0, &bore), None);
    }
}
