//! Why the engineer signs a mounting sheet too: what fails or is in doubt, what is left out, what nothing judges.

use std::collections::BTreeSet;

use calc::conformity::Verdict;

use super::assess::{MountAssessment, read};
use super::facts::MountFacts;
use super::field::{Family, RING, Section, play};
use crate::sheet::Values;
use crate::sheet::field::{FieldKind, kind};

/// What a mounting leaves out: the foreman says why, the engineer signs for it.
const SKIPS: [&str; 11] = [
    "skip.neck",
    "skip.mount.cracks",
    "skip.mount.ring",
    "skip.mount.heat",
    "skip.mount.seat",
    "skip.mount.parts",
    "skip.mount.play",
    "skip.mount.thrust",
    "skip.grease",
    "skip.mount.cover",
    "skip.bolts",
];

/// Why the engineer has to sign too.
pub(super) fn engineer_because(
    a: &MountAssessment,
    values: &Values<'_>,
    facts: &MountFacts,
) -> Vec<String> {
    let mut because = Vec::new();
    for check in &a.checks {
        let is_too_hot = check.about == "mount_heating" && check.verdict == Verdict::Fail;
        if is_too_hot {
            because
                .push("the ring was heated over its limit: the bearing is looked at first".into());
        } else if a.is_mounted == Some(true) && check.verdict.is_in_doubt() {
            because.push(format!("in doubt: {}", lower(&check.title)));
        } else if a.is_mounted == Some(true) && check.verdict == Verdict::Fail {
            because.push(format!("it fails: {}", lower(&check.title)));
        }
    }
    let is_gauge = |path: &str| kind(path) == Some(FieldKind::Code("gauge"));
    let named = values.states.keys().filter(|path| is_gauge(path));
    let used = named.filter_map(|path| values.gauge(&facts.base, path));
    let codes: BTreeSet<&str> = used
        .filter(|g| g.is_overdue)
        .map(|g| g.code.as_str())
        .collect();
    let in_doubt = codes.into_iter().filter(|_| a.is_mounted == Some(true));
    because.extend(in_doubt.map(|code| format!("{code} was out of calibration when read")));
    if a.is_mounted == Some(true) {
        let left_out = SKIPS.iter().filter(|path| values.text(path).is_some());
        because.extend(left_out.map(|path| {
            let told = crate::sheet::field::label(path);
            lower(told.trim_end_matches(", because"))
        }));
    }
    if a.is_mounted == Some(true) {
        let open = unlimited(a, values, facts).into_iter();
        because.extend(open.map(|(_, what)| format!("{NO_LIMIT} for {what}")));
    }
    let past = facts.past_interval.iter();
    because.extend(past.filter(|_| a.is_mounted == Some(true)).cloned());
    because
}

fn lower(title: &str) -> String {
    let mut letters = title.chars();
    let first: String = letters
        .next()
        .map(|c| c.to_lowercase().collect())
        .unwrap_or_default();
    first + letters.as_str()
}

/// What is said where nothing judges a measurement.
pub(super) const NO_LIMIT: &str = "no limit in the register";

/// What was measured and is judged by nothing: it is not sound for that, and the engineer says whether it may run. As on
/// the teardown sheet a neck wants its smallest size, and a play its level of wear or the largest of the drawing.
pub(super) fn unlimited(
    a: &MountAssessment,
    values: &Values<'_>,
    facts: &MountFacts,
) -> Vec<(Section, String)> {
    // The drawing says how large a neck may be; how small, only its rework size.
    let is_judged = |about: &str| {
        let mut all = a.checks.iter().filter(|c| c.about == about);
        all.any(|c| c.lower.is_some())
    };
    let bounded = |about: &str| {
        let all = a.checks.iter().filter(|c| c.about == about);
        all.filter(|c| c.upper.is_some()).count()
    };
    let is_read = |paths: &[&str]| read(values, paths).len() == paths.len();
    let is_on_taper = super::taper::of(facts).is_some();
    let mut open = Vec::new();
    if a.neck.mean_nm.is_some() && !is_judged("neck_smallest") {
        open.push((Section::Neck, "the size of the roll neck".to_owned()));
    }
    // On a taper the push-up says how tight the ring sits.
    if is_read(&RING) && !is_on_taper && !super::fit::is_designed(facts) {
        open.push((Section::Fit, "the fit of the ring on the neck".to_owned()));
    }
    // Every pair, the mean of the places, every row.
    let (about, count) = match a.family {
        _ if is_on_taper => ("mount_reduction", 2),
        Family::Tapered => ("mount_end_play", 3),
        Family::Cylindrical => ("mount_radial", 1),
        Family::Spherical => ("mount_radial", 2),
    };
    if is_read(play(a.family)) && bounded(about) < count {
        open.push((Section::Clearance, "the play".to_owned()));
    }
    let thrust = values.number("mount.thrust").and(facts.thrust.as_ref());
    if let Some((serial, _)) = thrust
        && bounded("mount_thrust") == 0
    {
        open.push((Section::Clearance, format!("the axial play of {serial}")));
    }
    open
}
