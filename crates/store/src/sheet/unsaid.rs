//! What a sheet knows beside its verdicts, for those who read them: what bars a load zone, which gauge is not named.

use calc::disposition::About;
use calc::finding::Finding;
use calc::load_zone;

use super::assess::Assessment;
use super::facts::Facts;
use super::findings::Seen;
use super::radial;

/// What keeps its place out of the load, seen now or before.
pub(super) fn kept_out<'a>(
    facts: &'a Facts,
    seen: &'a [Seen],
) -> impl Iterator<Item = Finding> + use<'a> {
    let now = seen.iter().filter_map(|seen| seen.finding);
    let bearing = facts.bearing.iter();
    let before = bearing.flat_map(|b| b.findings.iter().map(|earlier| earlier.finding));
    now.chain(before).filter(Finding::is_kept_out_of_load)
}

/// How much of the ring carries the load, tenths of a degree.
pub(super) fn loaded_tenths(facts: &Facts) -> i64 {
    let of_type = facts.bearing_type.as_ref();
    of_type
        .and_then(|t| t.whole("loaded_arc_ddeg"))
        .unwrap_or(load_zone::DEFAULT_ARC_TENTHS)
}

/// What lies in the arc that each load zone would put under the load; none where the zone is clear.
pub fn barred(a: &Assessment, facts: &Facts) -> [Option<Finding>; 4] {
    let all: Vec<Finding> = kept_out(facts, &a.findings).collect();
    load_zone::Zone::ALL.map(|zone| {
        let arc = load_zone::loaded_arc(zone, loaded_tenths(facts)).ok()?;
        let in_it = |f: &&Finding| f.arc.is_some_and(|found| found.overlaps(&arc));
        all.iter().find(in_it).copied()
    })
}

/// A measured part of which nothing says how well it was measured, and the field of its gauge.
pub fn gauges_unnamed(a: &Assessment) -> Vec<(&'static str, &'static str)> {
    let is_open = |path: &str| a.fields.get(path).is_none_or(|f| f.problem.is_some());
    let mut all = Vec::new();
    if a.clearance.is_begun() {
        match &a.clearance.radial {
            Some(whole) => {
                let way = whole.way.into_iter();
                all.extend(way.flat_map(radial::gauges_for));
            }
            None => all.extend([
                ("clearance.gauge_gap", "gaps"),
                ("clearance.gauge_width", "spacers"),
            ]),
        }
    }
    for (seat, path, what) in [
        (&a.bore, "bore.gauge", "bore"),
        (&a.neck, "neck.gauge", "neck"),
    ] {
        if !seat.is_empty() {
            all.push((path, what));
        }
    }
    all.retain(|(path, _)| is_open(path));
    all
}

/// Whether it is known how well that was measured which a reason is about.
pub(super) fn is_certain_how(a: &Assessment, about: About) -> bool {
    match about {
        About::Rows(_) => a.clearance.expanded_uncertainty_nm.is_some(),
        About::ChockBore => a.bore.expanded_uncertainty_nm.is_some(),
        About::RollNeck => a.neck.expanded_uncertainty_nm.is_some(),
        _ => true,
    }
}
