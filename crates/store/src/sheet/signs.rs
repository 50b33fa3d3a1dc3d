//! What was found, as the rules of decision and the patterns of the trade take it.

use calc::conformity::{Limits, Verdict};
use calc::disposition::{
    CheckState, Checked, Inputs, OffDesign, PairState, Rows, SeatKind, ZoneAdvice,
};
use calc::finding::Finding;
use calc::pattern::Signs;
use calc::quantity::{Length, nanometres};
use calc::seat::SeatCriterion;

use super::assess::{Values, gauge_paths};
use super::clearance::{self, ClearanceView};
use super::evidence::is_inner_crack;
use super::facts::Facts;
use super::findings::Seen;
use super::radial::RowView;
use super::ring::{RingView, is_cracked};
use super::seats::SeatView;
use super::taper::TaperView;
use super::worn::wear_now;

/// What was found, section by section.
pub(super) struct Found<'a> {
    pub(super) clearance: &'a ClearanceView,
    /// Chock bore and roll neck.
    pub(super) seats: [&'a SeatView; 2],
    pub(super) ring: Option<&'a RingView>,
    pub(super) taper: Option<&'a TaperView>,
    pub(super) findings: &'a [Seen],
    pub(super) zone: ZoneAdvice,
}

impl Found<'_> {
    /// A ring that was tight by design was found loose, or less tight.
    fn is_fit_lost(&self) -> bool {
        self.taper.is_some_and(TaperView::is_loose) || self.ring.is_some_and(RingView::is_loose)
    }
}

/// What is not measured, in words, with the reason where one is given: missing bars release either way.
fn missing(values: &Values<'_>, clearance: &ClearanceView, seats: [&SeatView; 2]) -> Vec<String> {
    let mut missing = Vec::new();
    let to_read = |count: usize, what: &str| {
        if count == 1 {
            format!("1 value of the {what}")
        } else {
            format!("{count} values of the {what}")
        }
    };
    let mut add = |count: usize, what: &str, skip: &str| {
        if count > 0 {
            missing.push(match values.text(skip) {
                Some(reason) => format!("{what} ({reason})"),
                None => to_read(count, what),
            });
        }
    };
    add(clearance.to_read(), "clearance", "skip.clearance");
    for view in seats {
        let skip = format!("skip.{}", view.seat.prefix());
        add(view.missing, &view.seat.title().to_lowercase(), &skip);
    }
    for (skip, what) in [
        ("skip.findings", "parts not looked over"),
        ("skip.cracks", "rings not crack tested"),
        ("skip.neck_cracks", "neck not crack tested"),
        ("skip.ring_cracks", "inner ring not crack tested"),
    ] {
        missing.extend(values.text(skip).map(|why| format!("{what} ({why})")));
    }
    missing
}

/// What the rules of decision take.
pub(super) fn inputs(facts: &Facts, values: &Values<'_>, found: &Found<'_>) -> Inputs {
    let nm = |value: Option<i64>| value.map(nanometres);
    let view = found.clearance;
    let wear = wear_now(facts, view);
    // U of a difference of two clearances that were measured alike.
    let grown_u = view
        .expanded_uncertainty_nm
        .map(|u| nanometres((u as f64 * std::f64::consts::SQRT_2).round() as i64));
    let state = |(index, pair): (usize, &clearance::PairView)| PairState {
        rows: if view.radial.is_some() {
            Rows::All
        } else {
            Rows::Pair(index)
        },
        clearance: nm(pair.end_play_nm.filter(|_| pair.is_complete)),
        as_set: nm(pair.as_set_nm),
        is_unlike: pair.is_unlike,
        times_as_set: pair.times,
        watch: nm(pair.watch_nm),
        rework: nm(pair.limit_nm),
        drawing_min: nm(pair.drawing_min_nm),
        drawing_max: nm(pair.drawing_max_nm),
        rework_verdict: pair.rework_verdict,
        minimum_verdict: pair.minimum_verdict,
        plan: pair.plan,
        grown: grown(pair),
        grown_uncertainty: grown_u,
        wear: wear.pairs[index],
    };
    let mut gauges_overdue: Vec<String> = gauge_paths()
        .iter()
        .filter_map(|path| values.gauge(facts, path))
        .filter(|g| g.is_overdue)
        .map(|g| g.code.clone())
        .collect();
    gauges_overdue.dedup();
    let seen = found.findings.iter().filter_map(|seen| seen.finding);
    let (of_inner, findings): (Vec<Finding>, Vec<Finding>) =
        seen.partition(|finding| is_inner_crack(facts.family(), finding));
    Inputs {
        findings,
        pairs: view
            .pairs
            .iter()
            .enumerate()
            // A pair that is half read is missing as values of the clearance, not again as a pair.
            .filter(|(_, pair)| pair.is_complete && pair.end_play_nm.is_some())
            .map(state)
            .chain(rows_alone(view))
            .collect(),
        seats: found
            .seats
            .iter()
            .flat_map(|seat| seat.states.iter().copied())
            .collect(),
        checks: checks(facts, values, found),
        unlimited: unlimited(facts, found),
        gauges_overdue,
        missing: missing(values, view, found.seats),
        zone: found.zone,
        exchanged: view.exchanged,
        is_neck_cracked: is_cracked(values.text("neck.cracks")),
        is_inner_cracked: !of_inner.is_empty() || is_cracked(values.text("ring.cracks")),
        off_design: off_design(facts, found.seats),
        faster_since: wear.faster_since,
        loud_place: wear.loud_place,
    }
}

/// Rows that were read one by one: each lies within the limits of the bearing, not their mean alone. A row that is
/// judged as the whole is says nothing more.
fn rows_alone(view: &ClearanceView) -> impl Iterator<Item = PairState> + '_ {
    let whole = &view.pairs[0];
    let nm = |value: Option<i64>| value.map(nanometres);
    let rows = view
        .radial
        .iter()
        .flat_map(|radial| radial.rows.iter().enumerate());
    // One row alone is the whole.
    let several = view
        .radial
        .as_ref()
        .is_some_and(|radial| radial.rows.len() > 1);
    let says_more =
        |of_row: Verdict, of_whole: Verdict| of_row != of_whole && of_row != Verdict::Pass;
    let says_more = move |row: &RowView| {
        says_more(row.rework_verdict, whole.rework_verdict)
            || says_more(row.minimum_verdict, whole.minimum_verdict)
    };
    rows.filter(move |(_, row)| several && row.clearance_nm.is_some() && says_more(row))
        .map(move |(index, row)| PairState {
            rows: Rows::One(index),
            clearance: nm(row.clearance_nm),
            as_set: None,
            is_unlike: false,
            times_as_set: None,
            watch: nm(whole.watch_nm),
            rework: nm(whole.limit_nm),
            drawing_min: nm(whole.drawing_min_nm),
            drawing_max: nm(whole.drawing_max_nm),
            rework_verdict: row.rework_verdict,
            minimum_verdict: row.minimum_verdict,
            plan: None,
            grown: None,
            grown_uncertainty: None,
            wear: None,
        })
}

/// Growth of a pair since it was left last, by a like method.
fn grown(pair: &clearance::PairView) -> Option<Length> {
    let now = pair.end_play_nm.filter(|_| pair.is_complete)?;
    pair.last_nm.map(|last| nanometres(now - last))
}

/// What is judged beside the grids of the seats and the clearance.
fn checks(facts: &Facts, values: &Values<'_>, found: &Found<'_>) -> Vec<CheckState> {
    let check = |what, value_nm, [lower, upper]: [Option<i64>; 2], verdict, is_certain_how| {
        let limits = Limits {
            lower: lower.map(nanometres),
            upper: upper.map(nanometres),
            ..Limits::default()
        };
        CheckState {
            what,
            value: nanometres(value_nm),
            limits,
            verdict,
            is_certain_how,
        }
    };
    let mut all = Vec::new();
    for face in found.seats.iter().flat_map(|seat| &seat.checks) {
        let what = match face.about {
            "chock_shoulder" => Checked::Shoulder,
            "chock_cover_face" => Checked::CoverFace,
            "chock_width" => Checked::LinerWidth,
            _ => continue,
        };
        let limits = [face.lower_nm, face.upper_nm];
        let is_certain = face.expanded_uncertainty_nm.is_some();
        all.push(check(what, face.value_nm, limits, face.verdict, is_certain));
    }
    if let Some(ring) = found.ring
        && let Some((value, (least, most))) = ring.interference_nm.zip(ring.designed_nm)
    {
        // Against a ring of the drawing, not against this one: only its own size ends the doubt.
        let is_certain = ring.mean_nm.is_some() && ring.expanded_uncertainty_nm.is_some();
        let limits = [Some(least), Some(most)];
        all.push(check(
            Checked::RingFit,
            value,
            limits,
            ring.verdict,
            is_certain,
        ));
    }
    for line in found.taper.iter().flat_map(|taper| &taper.lines) {
        let what = match line.row.checked_sub(1) {
            Some(row) => Checked::TaperLoss { row },
            None => Checked::PushUp,
        };
        let limits = [line.lower_nm, line.upper_nm];
        let is_certain = line.expanded_uncertainty_nm.is_some();
        all.push(check(what, line.value_nm, limits, line.verdict, is_certain));
    }
    let t = facts.bearing_type.as_ref();
    let most = t.and_then(|t| t.whole("spacer_parallel_nm"));
    let gauge = values.gauge(facts, "clearance.gauge_width");
    let is_certain = gauge.is_some_and(|g| g.expanded_uncertainty_nm.is_some());
    for (pair, view) in found.clearance.pairs.iter().enumerate() {
        let spread = view.parallel_nm.filter(|_| most.is_some());
        all.extend(spread.map(|nm| {
            let what = Checked::SpacerFaces { pair };
            check(what, nm, [None, most], view.parallel_verdict, is_certain)
        }));
    }
    all
}

/// What was measured and is judged by nothing, beside the clearance: the sizes that a fit rests on.
fn unlimited(facts: &Facts, found: &Found<'_>) -> Vec<String> {
    let t = facts.bearing_type.as_ref();
    let has = |name: &str| t.is_some_and(|t| t.whole(name).is_some());
    let [bore, neck] = found.seats.map(|seat| seat.mean_nm.is_some());
    let ring = found.ring.is_some_and(|ring| {
        ring.interference_nm.is_some() && ring.verdict == Verdict::NotApplicable
    });
    [
        (
            bore && !has("chock_bore_mean_max_nm"),
            "the size of the chock bore",
        ),
        (neck && !has("neck_rework_nm"), "the size of the roll neck"),
        (ring, "the fit of the inner ring on the neck"),
    ]
    .into_iter()
    .filter(|(is_open, _)| *is_open)
    .map(|(_, what)| what.to_owned())
    .collect()
}

/// A seat inside its wear limits and outside the size that the fit was designed for: which one, and by how much.
fn off_design(facts: &Facts, [bore, neck]: [&SeatView; 2]) -> Vec<OffDesign> {
    let all = [bore_off_design(facts, bore), neck_off_design(facts, neck)];
    all.into_iter().flatten().collect()
}

/// That its limits are broken is said by the check.
fn is_beyond(seat: &SeatView, about: &str) -> bool {
    let mut checks = seat.checks.iter();
    checks.any(|check| check.about == about && check.verdict == Verdict::Fail)
}

/// A bore that has grown beyond the fit of the drawing: its mean, as its wear limit is one of the mean.
fn bore_off_design(facts: &Facts, bore: &SeatView) -> Option<OffDesign> {
    let t = facts.bearing_type.as_ref()?;
    let most = bore.nominal_nm? + t.whole("chock_bore_upper_nm")?;
    let mean = bore.mean_nm.filter(|mean| *mean > most)?;
    (!is_beyond(bore, "bore_mean")).then(|| OffDesign {
        seat: SeatKind::ChockBore,
        value: nanometres(mean),
        limit: nanometres(most),
    })
}

/// A neck that has worn below the fit of the drawing.
fn neck_off_design(facts: &Facts, neck: &SeatView) -> Option<OffDesign> {
    let least = facts.bearing_type.as_ref()?.whole("neck_min_nm")?;
    let small = neck.min_nm.filter(|size| *size < least)?;
    (!is_beyond(neck, "neck_smallest")).then(|| OffDesign {
        seat: SeatKind::RollNeck,
        value: nanometres(small),
        limit: nanometres(least),
    })
}

/// What the patterns of the trade are looked for in.
pub(super) fn signs(facts: &Facts, values: &Values<'_>, found: &Found<'_>) -> Signs {
    let is = |path, words: &[&str]| values.text(path).is_some_and(|text| words.contains(&text));
    let fails = |seat: usize, is_it: fn(SeatCriterion) -> bool| {
        let mut states = found.seats[seat].states.iter();
        states.any(|state| {
            is_it(state.check.criterion) && state.check.conformity.verdict == Verdict::Fail
        })
    };
    let grown: Option<Vec<Length>> = found.clearance.pairs.iter().map(grown).collect();
    Signs {
        findings: found
            .findings
            .iter()
            .filter_map(|seen| seen.finding)
            .collect(),
        is_wet: is("found.water", &["drops", "standing"])
            || is("found.grease", &["milky", "washed_out"]),
        is_grease_spent: is("found.grease", &["dark", "little"]),
        is_seal_bad: is("found.seal", &["worn", "cut", "folded", "missing"]),
        is_bore_oval: fails(0, |c| matches!(c, SeatCriterion::Ovality { .. })),
        is_neck_off: found.is_fit_lost()
            || neck_off_design(facts, found.seats[1]).is_some()
            || fails(1, |c| matches!(c, SeatCriterion::Taper)),
        grown: grown.unwrap_or_default(),
    }
}
