//! Pushed up on a taper: how much of the clearance that took, how far it went, and whether both fit together.

use super::assess::MountAssessment;
use super::check::{Derived, ToJudge, difference_u};
use super::facts::MountFacts;
use super::field::{BEFORE, Family, RADIAL, Section};
use crate::sheet::Values;
use crate::sheet::taper::{Allowed, Taper};

/// The taper of the bearing on the sheet; none where its bore is cylindrical.
pub(super) fn of(facts: &MountFacts) -> Option<Taper> {
    let t = facts.base.bearing_type.as_ref()?;
    (facts.family == Family::Spherical)
        .then(|| Taper::of(t))
        .flatten()
}

/// Judges loss of clearance and push-up, and says how far it should be pushed.
pub(super) fn taper(a: &mut MountAssessment, values: &Values<'_>, facts: &MountFacts) {
    let Some(taper) = of(facts) else { return };
    let gauge = values.gauge(&facts.base, "mount.play.gauge");
    let doubt = gauge
        .and_then(|g| g.expanded_uncertainty_nm)
        .map(difference_u);
    let mut reductions = Vec::new();
    let mut checks = Vec::new();
    for (index, (before, after)) in BEFORE.into_iter().zip(RADIAL).enumerate() {
        let Some((before, left)) = values.number(before).zip(values.number(after)) else {
            continue;
        };
        reductions.push(before - left);
        let Allowed {
            low,
            high,
            origin,
            asked,
        } = taper.reduction.clone();
        checks.push(ToJudge {
            about: "mount_reduction",
            item: index + 1,
            section: Section::Clearance,
            title: format!("Loss of clearance, row {}", index + 1),
            value: before - left,
            limits: (low, high),
            asked,
            uncertainty: doubt,
            gauges: vec![gauge],
            origin,
            method: "push_up: before less mounted",
            first: BEFORE[index],
        });
    }
    let pushed = values.number("mount.push");
    if let Some(value) = pushed {
        let gauge = values.gauge(&facts.base, "mount.push.gauge");
        let Allowed {
            low,
            high,
            origin,
            asked,
        } = taper.push_up.clone();
        checks.push(ToJudge {
            about: "mount_push_up",
            item: 0,
            section: Section::Clearance,
            title: "Push-up".into(),
            value,
            limits: (low, high),
            asked,
            uncertainty: gauge.and_then(|g| g.expanded_uncertainty_nm),
            gauges: vec![gauge],
            origin,
            method: "push_up: as measured",
            first: "mount.push",
        });
    }
    a.checks
        .extend(checks.into_iter().filter_map(ToJudge::judge));
    a.derived.extend(taper.needed_nm().map(|value| Derived {
        name: "mount_push_needed_nm",
        section: Section::Clearance,
        title: "Push-up to measure from",
        value,
        note: "for the middle of the allowed loss of clearance, by Lam\u{e9}".into(),
    }));
    let said = pushed.and_then(|nm| taper.reduction_nm(nm));
    a.derived.extend(said.map(|value| Derived {
        name: "mount_push_says_nm",
        section: Section::Clearance,
        title: "Loss by the push-up",
        value,
        note: "computed; what is measured counts".into(),
    }));
    let words = taper.misfit(&reductions, pushed);
    a.says
        .extend(words.map(|words| (Section::Clearance, words)));
}
