//! Closing the chock: the grease wanted for each row, the pack of shims that the gaps ask for against the one put in, and the torque of the bolts.

use calc::quantity::{nanometres, to_nanometres};
use calc::stack::ShimPlace;

use super::assess::{MountAssessment, mean, read};
use super::check::{Check, Derived, ToJudge, difference_u};
use super::facts::MountFacts;
use super::field::{COVER, COVER_GAUGE, Section};
use crate::entry::Quantity;
use crate::sheet::{
    ChockFacts, LimitOf, NEAR_PACK_NM, Sureness, TORQUE_SHARE, TypeFacts, Values, grease_wanted,
    pack_for, torque_wanted,
};

/// A cover that is drawn up evenly gaps alike all round. Common practice, no source.
const COVER_SPREAD_NM_MAX: i64 = 50_000;

/// The pack of shims from the gaps round the cover, and what was put in.
pub(super) fn cover(a: &mut MountAssessment, values: &Values<'_>, facts: &MountFacts) {
    let t = facts.base.bearing_type.clone().unwrap_or_default();
    if let Some(pack) = pack(a, values, facts, &t) {
        shims(a, values, facts, pack);
    }
    torque(a, values, facts, &t);
    a.derived.extend(grease_wanted(&t).map(|wanted| Derived {
        name: "mount_grease_row_mg",
        section: Section::Grease,
        title: "Grease wanted for each row",
        value: wanted.value,
        note: wanted.origin,
    }));
}

/// What the gaps ask for, nm; none before all are read.
fn pack(
    a: &mut MountAssessment,
    values: &Values<'_>,
    facts: &MountFacts,
    t: &TypeFacts,
) -> Option<i64> {
    let gaps = read(values, &COVER);
    if gaps.len() < COVER.len() {
        return None;
    }
    let lengths: Vec<_> = gaps.iter().copied().map(nanometres).collect();
    let spread = calc::stack::gap_spread(&lengths).map_or(0, to_nanometres);
    let gap = calc::stack::mean_gap(&lengths).map_or_else(|_| mean(&gaps), to_nanometres);
    let chock = facts.base.chock.as_ref();
    let pack = pack_for(gap, t, chock);
    let hold = values.show().length_unit((pack - gap).abs());
    let note = match chock.map_or(ShimPlace::UnderFlange, ChockFacts::shims) {
        ShimPlace::BetweenCoverAndRing if pack == gap => {
            "between cover and outer ring: the mean gap".to_owned()
        }
        ShimPlace::UnderFlange if pack == gap => "under the flange: the mean gap".to_owned(),
        ShimPlace::BetweenCoverAndRing => format!(
            "between cover and outer ring: mean gap and {hold} by which the cover holds the rings"
        ),
        ShimPlace::UnderFlange => {
            format!("under the flange: mean gap less {hold} by which the cover holds the rings")
        }
    };
    a.derived.push(Derived {
        name: "mount_shim_nm",
        section: Section::Cover,
        title: "Shim pack from the gaps",
        value: pack,
        note,
    });
    let gauge = values.gauge(&facts.base, COVER_GAUGE);
    let check = ToJudge {
        about: "mount_cover_spread",
        item: 0,
        section: Section::Cover,
        title: "Spread of the cover gap".into(),
        value: spread,
        limits: (None, Some(COVER_SPREAD_NM_MAX)),
        asked: Sureness::default(),
        // U of a difference of two readings of one gauge.
        uncertainty: gauge
            .and_then(|g| g.expanded_uncertainty_nm)
            .map(difference_u),
        gauges: vec![gauge],
        origin: "drawn up evenly (common practice, no source)".into(),
        method: "largest less smallest of the four places",
        first: "mount.cover.0",
    };
    a.checks.extend(check.judge());
    if spread > COVER_SPREAD_NM_MAX {
        let words = "The cover stands askew: slacken, draw up evenly crosswise, gauge again.";
        a.says.push((Section::Cover, words.into()));
    }
    Some(pack)
}

/// The pack put in against the one that the gaps ask for.
fn shims(a: &mut MountAssessment, values: &Values<'_>, facts: &MountFacts, pack: i64) {
    if pack < 0 {
        let words = "The gaps ask for a pack below zero: the cover has to be machined.";
        a.says.push((Section::Cover, words.into()));
    }
    let Some(value) = values.number("mount.shim") else {
        return;
    };
    let check = ToJudge {
        about: "mount_shim",
        item: 0,
        section: Section::Cover,
        title: "Shims put in".into(),
        value,
        limits: (
            Some((pack - NEAR_PACK_NM).max(0)),
            Some((pack + NEAR_PACK_NM).max(0)),
        ),
        asked: Sureness::default(),
        // Leaves are marked with their thickness: a pack is counted, not measured. What it is counted against was.
        uncertainty: Some(0),
        gauges: vec![values.gauge(&facts.base, COVER_GAUGE)],
        origin: "pack from the gaps, to one leaf of 0.05 mm (common practice, no source)".into(),
        method: "mean cover gap and what the cover holds by",
        first: "mount.shim",
    };
    a.checks.extend(check.judge());
}

/// The torque of the cover bolts against the one of the type, or the one calculated for its bolts.
fn torque(a: &mut MountAssessment, values: &Values<'_>, facts: &MountFacts, t: &TypeFacts) {
    let Some(wanted) = torque_wanted(t) else {
        return;
    };
    a.derived.push(Derived {
        name: "mount_bolt_wanted_mnm",
        section: Section::Cover,
        title: "Torque wanted",
        value: wanted.value,
        note: format!("{}; crosswise in steps", wanted.origin),
    });
    let Some(value) = values.number("mount.bolt.torque") else {
        return;
    };
    let room = wanted.value * TORQUE_SHARE / 100;
    let wrench = values.gauge(&facts.base, "mount.bolt.wrench");
    let check = ToJudge {
        about: "mount_bolt_torque",
        item: 0,
        section: Section::Cover,
        title: "Torque of the cover bolts".into(),
        value,
        limits: (Some(wanted.value - room), Some(wanted.value + room)),
        asked: t.asked(LimitOf::CoverBolts).into(),
        uncertainty: wrench.and_then(|g| g.expanded_uncertainty_nm),
        gauges: vec![wrench],
        origin: format!(
            "{} {}, {TORQUE_SHARE} % either way (common practice, no source)",
            wanted.origin, t.code
        ),
        method: "bolt: as set on the wrench",
        first: "mount.bolt.torque",
    };
    a.checks.extend(check.judge().map(|check| Check {
        quantity: Quantity::Torque,
        ..check
    }));
}
