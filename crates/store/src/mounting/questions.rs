//! Questions that need more than one field of a mounting sheet: a gauge that is off on its standard, a neck that jumped,
//! spacers that look exchanged. Each is asked once and blocks nothing.

use calc::quantity::{Length, nanometres};
use calc::stack::{AssembledPair, default_ring, exchanged_since, suspect_swapped};

use super::assess::MountAssessment;
use super::facts::MountFacts;
use super::field::{Family, NECK_GAUGE, PLAY, RING_GAUGE};
use crate::draft::Fields;
use crate::entry::{LengthUnit, Show};
use crate::sheet::{
    BearingFacts, GaugeFacts, SPACERS_UNLIKE_NM, off_standard, put_questions, question, seat_jumped,
};

/// A play on the roll lies so near to what the bench left that the same spacers are in (common practice, no source).
const NEAR_NM: i64 = 30_000;

/// Adds what is asked to the fields it is asked at.
pub(super) fn ask(a: &mut MountAssessment, fields: &Fields, facts: &MountFacts, unit: LengthUnit) {
    let show = Show {
        unit,
        ..Show::default()
    };
    let ring_u = gauge(fields, facts, RING_GAUGE[0]).and_then(|g| g.expanded_uncertainty_nm);
    let ring_off = a
        .derived
        .iter()
        .find(|d| d.name == "mount_ring_check_off_nm");
    let ring_off = ring_off.map(|d| d.value);
    let neck_u = a.neck.expanded_uncertainty_nm;
    let mut all = Vec::new();
    all.extend(off_standard(
        NECK_GAUGE[1],
        a.neck.check_off_nm,
        neck_u,
        show,
    ));
    all.extend(off_standard(RING_GAUGE[1], ring_off, ring_u, show));
    all.extend(seat_jumped(&a.neck, facts.last_neck.as_ref(), show));
    if let Some([small, large]) = exchanged(a, facts) {
        let (tight, loose) = (small + 1, large + 1);
        let words = format!(
            "Spacer S{tight} too small and spacer S{loose} too large, their sum normal: spacers S{tight} and S{loose} exchanged?"
        );
        let hint = "Read the marks of the spacers.";
        all.push(question(PLAY[small], words, hint));
    }
    put_questions(&mut a.fields, fields, all);
}

fn gauge<'f>(fields: &Fields, facts: &'f MountFacts, path: &str) -> Option<&'f GaugeFacts> {
    let gauges = facts.base.gauges.values();
    crate::form::body::gauge_in(fields, path, gauges)
}

/// Two spacers that look exchanged: by the drawing, or by how the bench left the pairs.
fn exchanged(a: &MountAssessment, facts: &MountFacts) -> Option<[usize; 2]> {
    if facts.family != Family::Tapered {
        return None;
    }
    let nm = |value: Option<i64>| value.map(nanometres);
    let value = |path: &str| {
        let state = a.fields.get(path)?;
        let is_refused = state.problem.as_ref().is_some_and(|p| p.is_refusal);
        nm(state.value.filter(|_| !is_refused))
    };
    let now: [Option<Length>; 3] = PLAY.map(value);
    let bearing = facts.base.bearing.as_ref();
    let width = bearing.map(BearingFacts::last_width_nm).unwrap_or_default();
    let t = facts.base.bearing_type.as_ref()?;
    let by_drawing = || {
        let pair = |i: usize| {
            Some(AssembledPair {
                ring: default_ring(i),
                spacer: nm(width[i]),
                clearance: now[i]?,
                target_min: nm(t.pair("clearance_min_nm", i + 1))?,
                target_max: nm(t.pair("clearance_max_nm", i + 1))?,
            })
        };
        let all: Option<Vec<AssembledPair>> = [0, 1, 2].into_iter().map(pair).collect();
        let swapped = suspect_swapped(&all?)?;
        Some([swapped.small, swapped.large])
    };
    let as_left = || {
        let (_, play) = facts.last_play.as_ref()?;
        let last = [0, 1, 2].map(|i| (nm(play[i]), nm(width[i])));
        exchanged_since(
            &last,
            &now,
            (nanometres(NEAR_NM), nanometres(SPACERS_UNLIKE_NM)),
        )
    };
    by_drawing().or_else(as_left)
}
