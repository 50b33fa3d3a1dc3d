//! Which readings stand behind a verdict, how an error of theirs moves its value, and what would then have been said.

use std::collections::BTreeMap;

use calc::conformity::Limits;
use calc::found_out;
use calc::quantity::{nanometres, to_nanometres};

use super::{ImpactLine, ImpactReading};
use crate::payload::Judgement;
use crate::sheet::field::radial::RadialCell;
use crate::sheet::field::{self, Cell};
use crate::sheet::{self, Sureness};

/// What a reading has to do with a verdict: nothing, or with which sign it is in its value.
///
/// End play is spacer minus mean gap; after grinding the new spacer minus the gap as found. A size is in the mean and
/// the extremes of its seat, and cancels out of ovality and taper.
fn part(about: &str, item: i64, path: &str) -> Option<i64> {
    if is_warmth_of(about, path) {
        return Some(0);
    }
    if let Some(sign) = super::others::part(about, item, path) {
        return Some(sign);
    }
    let is_pair = |pair: usize| i64::try_from(pair) == Ok(item);
    match (about, field::grid(path)?) {
        ("clearance" | "clearance_after", Cell::Gap { pair, .. }) if is_pair(pair) => Some(-1),
        ("clearance", Cell::Spacer { pair } | Cell::SpacerAt { pair, .. })
        | ("clearance_after", Cell::After { pair } | Cell::AfterAt { pair, .. })
            if is_pair(pair) =>
        {
            Some(1)
        }
        (_, Cell::Size { seat, .. }) => {
            let rest = about.strip_prefix(seat.prefix())?;
            matches!(rest, "_mean" | "_smallest" | "_largest").then_some(1)
        }
        // What its error does there is a matter of all readings of the row.
        ("clearance" | "clearance_row", Cell::Radial(cell)) => {
            (item == 0 || cell.row().is_some_and(is_pair)).then_some(1)
        }
        _ => None,
    }
}

/// Whether a size rests on this temperature. Part and gauge are read on one thermometer and taken to expand alike, so that
/// a constant error of it cancels out of the size at 20 C (first order of JCGM 100:2008, example H.1).
fn is_warmth_of(about: &str, path: &str) -> bool {
    let Some((seat, end)) = path.split_once('.') else {
        return false;
    };
    let is_warmth = matches!(end, "temp" | "temp_first" | "temp_last" | "temp_gauge");
    let is_its = match about {
        "interference" => ["neck", "ring"].contains(&seat),
        _ => about
            .strip_prefix(seat)
            .is_some_and(|rest| matches!(rest, "_mean" | "_smallest" | "_largest")),
    };
    is_warmth && is_its
}

/// What was read on a sheet, and what of it with the gauge that was found out.
pub(super) struct Taken<'a> {
    /// Every reading of the sheet.
    pub(super) all: BTreeMap<&'a str, i64>,
    /// Those taken with the gauge.
    pub(super) read: &'a BTreeMap<&'a str, i64>,
    /// Its error.
    pub(super) error: i64,
}

impl Taken<'_> {
    /// How much of the value of a verdict is the error of the gauge; none where nothing of it was read on the gauge.
    pub(super) fn error_in(&self, about: &str, item: i64) -> Option<i64> {
        let paths = self.read.keys();
        let mut signs: Vec<i64> = paths.filter_map(|path| part(about, item, path)).collect();
        if matches!(about, "clearance" | "clearance_row") && self.is_of_rows(about, item) {
            return self.error_in_rows(item);
        }
        signs.sort_unstable();
        signs.dedup();
        (!signs.is_empty()).then(|| signs.iter().sum::<i64>() * self.error)
    }

    /// True where the verdict rests on rows of a whole bearing that were read on the gauge.
    fn is_of_rows(&self, about: &str, item: i64) -> bool {
        let mut of = self.read.keys().filter(|p| part(about, item, p).is_some());
        matches!(about, "clearance" | "clearance_row")
            && of.any(|path| matches!(field::grid(path), Some(Cell::Radial(_))))
    }

    /// The rows as read less the rows without the error: how a row is made of its readings is a matter of how it was read.
    fn error_in_rows(&self, item: i64) -> Option<i64> {
        // A leaf or a gap is above zero and may be thinner than the error: far from zero the difference is the same.
        const FAR_NM: i64 = 10_000_000;
        let row = usize::try_from(item).ok();
        let recorded = |cell: RadialCell| self.all.get(cell.path().as_str()).copied();
        let far = |cell: RadialCell| recorded(cell).map(|nm| nm + FAR_NM);
        let corrected = |cell: RadialCell| {
            let is_mine = self.read.contains_key(cell.path().as_str());
            far(cell).map(|nm| nm - if is_mine { self.error } else { 0 })
        };
        let of = |number: &dyn Fn(RadialCell) -> Option<i64>| sheet::clearance_of_rows(row, number);
        Some(of(&far)? - of(&corrected)?)
    }

    /// The readings behind a verdict in the order of measuring, as recorded and without the error.
    pub(super) fn readings(&self, about: &str, item: i64) -> Vec<ImpactReading> {
        let mut all: Vec<ImpactReading> = self
            .read
            .iter()
            .filter(|(path, _)| part(about, item, path).is_some())
            .map(|(path, value)| ImpactReading {
                path: (*path).to_owned(),
                recorded: *value,
                corrected: value - self.error,
            })
            .collect();
        all.sort_by_key(|r| place(&r.path));
        all
    }
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
    line.at_upper = crate::sheet::at_upper(signed);
    line.expanded_uncertainty = signed.expanded_uncertainty_nm;
    line.signed = signed.verdict.parse().ok();
    line.asked = Sureness::of_rule(&signed.rule);
    let (Some(value), Some(verdict)) = (signed.value_nm, line.signed) else {
        return;
    };
    // What cancels out of the value changes nothing that was said of it.
    if error == 0 {
        line.if_corrected = Some(verdict);
        line.probability = signed.probability_ppm.map(|ppm| ppm as f64 / 1e6);
        line.change = Some(found_out::Change::Stands);
        return;
    }
    let limits = Limits {
        at_upper: line.at_upper,
        ..line.asked.limits(signed.lower_nm, signed.upper_nm)
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

    fn error_in(
        about: &str,
        item: i64,
        mine: &[(&str, i64)],
        other: &[(&str, i64)],
    ) -> Option<i64> {
        let read: BTreeMap<&str, i64> = mine.iter().copied().collect();
        let taken = Taken {
            all: mine.iter().chain(other).copied().collect(),
            read: &read,
            error: 12_000,
        };
        taken.error_in(about, item)
    }

    #[test]
    fn an_error_moves_a_value_by_the_part_that_its_readings_have_in_it() {
        let gaps = [
            ("clearance.gap.1.0", 0),
            ("clearance.gap.1.90", 0),
            ("clearance.gap.2.0", 0),
        ];
        assert_eq!(
            error_in("clearance", 1, &gaps, &[]),
            Some(-12_000),
            "a gap read too large hides clearance"
        );
        assert_eq!(error_in("clearance_after", 2, &gaps, &[]), Some(-12_000));
        assert_eq!(
            error_in("clearance", 3, &gaps, &[]),
            None,
            "nothing of this pair was read on it"
        );
        let widths = [("clearance.spacer.1", 0), ("after.1", 0)];
        assert_eq!(error_in("clearance", 1, &widths, &[]), Some(12_000));
        let places = [("clearance.spacer.1.90", 0), ("clearance.spacer.1", 0)];
        assert_eq!(error_in("clearance", 1, &places, &[]), Some(12_000));
        let both = [("clearance.spacer.1", 0), ("clearance.gap.1.0", 0)];
        assert_eq!(
            error_in("clearance", 1, &both, &[]),
            Some(0),
            "the same error in both cancels out"
        );
        let bore = [("bore.1.0", 0), ("bore.3.135", 0)];
        assert_eq!(error_in("bore_mean", 0, &bore, &[]), Some(12_000));
        assert_eq!(error_in("bore_ovality", 1, &bore, &[]), None);
        assert_eq!(error_in("neck_smallest", 0, &bore, &[]), None);
    }

    /// Worked by hand: a row is half the sum of three leaves of a thin ring, the mean of two leaves over rollers, or the
    /// diameter under the rollers less that over the raceway (common practice, no source).
    #[test]
    fn an_error_moves_a_row_as_the_row_is_made_of_its_readings() {
        let thin = [
            ("radial.side.1.1", 80_000),
            ("radial.open.1", 200_000),
            ("radial.side.1.2", 80_000),
            ("radial.side.2.1", 8_000),
            ("radial.open.2", 20_000),
            ("radial.side.2.2", 8_000),
        ];
        // 0.5 (0.188 + 0.068 + 0.068) = 0.162 instead of 0.180.
        assert_eq!(error_in("clearance_row", 1, &thin, &[]), Some(18_000));
        assert_eq!(
            error_in("clearance_row", 2, &thin, &[]),
            Some(18_000),
            "thinner than the error"
        );
        assert_eq!(error_in("clearance", 0, &thin, &[]), Some(18_000));
        assert_eq!(error_in("clearance_row", 3, &thin, &[]), None);
        let leaves = [
            ("radial.passes.1.0", 150_000),
            ("radial.refused.1.0", 200_000),
        ];
        assert_eq!(error_in("clearance", 0, &leaves, &[]), Some(12_000));
        let raceway = [
            ("radial.raceway.1.0", 500_000_000),
            ("radial.raceway.1.90", 500_000_000),
        ];
        let rollers = [
            ("radial.rollers.1.0", 500_200_000),
            ("radial.rollers.1.90", 500_210_000),
        ];
        assert_eq!(error_in("clearance", 0, &raceway, &rollers), Some(-12_000));
        assert_eq!(
            error_in("clearance_row", 1, &rollers, &raceway),
            Some(12_000)
        );
        let axial = ["axial.0", "axial.90", "axial.180", "axial.270"].map(|path| (path, 300_000));
        assert_eq!(error_in("clearance", 0, &axial, &[]), Some(12_000));
        assert_eq!(
            error_in("clearance", 0, &axial[..1], &axial[1..]),
            Some(3_000),
            "one of four readings"
        );
    }
}
