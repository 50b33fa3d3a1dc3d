//! The stack after grinding, and the shims that follow.

use super::{AfterView, PairView, ShimView, judged, parallel, width};
use crate::sheet::assess::Values;
use crate::sheet::facts::{ChockFacts, TypeFacts};
use crate::sheet::field::{self, GAP_DEGREES, PAIRS};
use crate::sheet::sureness::{LimitOf, Sureness};
use calc::conformity::Verdict;
use calc::quantity::{nanometres, to_nanometres};
use calc::stack::{self, SpacerChange};

pub(super) fn after_view(
    values: &Values<'_>,
    pairs: &[PairView; 3],
    chock: Option<&ChockFacts>,
    t: &TypeFacts,
    (uncertainty_nm, width_u, is_overdue): (Option<i64>, Option<i64>, bool),
) -> AfterView {
    let widths = PAIRS.map(|pair| width(values, |degrees| field::after_at(pair, degrees)));
    let spacer_nm = widths.map(|(mean, ..)| mean);
    let parallel_nm = widths.map(|(_, spread, _)| spread);
    let end_play_nm: [Option<i64>; 3] = std::array::from_fn(|i| {
        spacer_nm[i]
            .zip(pairs[i].mean_gap_nm.filter(|_| pairs[i].places == 4))
            .map(|(s, g)| s - g)
    });
    let asked = Sureness::from(t.asked(LimitOf::Target));
    let judged: [(Verdict, Option<f64>); 3] =
        std::array::from_fn(|i| match (end_play_nm[i], pairs[i].target_nm) {
            // The gaps say nothing of what is left, whatever was ground.
            (Some(_), _) if pairs[i].is_unlike => (Verdict::Missing, None),
            // The target is for what is ground.
            (Some(_), _) if pairs[i].stays() => (Verdict::NotApplicable, None),
            (Some(value), Some((lower, upper))) => {
                let limits = asked.limits(Some(lower), Some(upper));
                judged(value, &limits, uncertainty_nm, is_overdue)
            }
            (None, _) => (Verdict::Missing, None),
            (_, None) => (Verdict::NotApplicable, None),
        });
    // A spacer that is not ground keeps its width.
    let changes: Option<Vec<SpacerChange>> = (0..3)
        .map(|i| {
            let before = pairs[i].spacer_nm?;
            let after = if pairs[i].to_grind_nm() == Some(0) {
                spacer_nm[i].unwrap_or(before)
            } else {
                spacer_nm[i]?
            };
            Some(SpacerChange {
                ring: stack::default_ring(i),
                before: nanometres(before),
                after: nanometres(after),
            })
        })
        .collect();
    let change = changes.map(|changes| stack::stack_change(&changes));
    let outer_nm = change.map(|c| to_nanometres(c.outer));
    let shim = shim(
        values,
        chock,
        t,
        outer_nm,
        spacer_nm.iter().any(Option::is_some),
    );
    let places = widths.map(|(.., places)| places);
    let faces: [(Verdict, Option<f64>); 3] = std::array::from_fn(|i| {
        // Faces that lean can agree at two places.
        let all_round = parallel_nm[i].filter(|_| places[i] == GAP_DEGREES.len());
        parallel(all_round, t, width_u, is_overdue)
    });
    AfterView {
        spacer_nm,
        places,
        parallel_nm,
        parallel_verdict: faces.map(|f| f.0),
        parallel_probability: faces.map(|f| f.1),
        end_play_nm,
        verdict: judged.map(|j| j.0),
        asked,
        probability: judged.map(|j| j.1),
        outer_nm,
        inner_nm: change.map(|c| to_nanometres(c.inner)),
        shim,
    }
}

fn shim(
    values: &Values<'_>,
    chock: Option<&ChockFacts>,
    t: &TypeFacts,
    outer_nm: Option<i64>,
    is_ground: bool,
) -> ShimView {
    if !is_ground || t.code.is_empty() {
        return ShimView::Same;
    }
    let (Some(outer), Some(found), Some(chock)) = (outer_nm, values.number("shim.found"), chock)
    else {
        return ShimView::NotKnown;
    };
    match stack::cover_shim_after(nanometres(found), nanometres(outer), chock.shims()) {
        Ok(new) => ShimView::New(to_nanometres(new)),
        Err(calc::CalcError::MachineCover { missing, .. }) => {
            ShimView::MachineCover(to_nanometres(missing))
        }
        Err(_) => ShimView::NotKnown,
    }
}
