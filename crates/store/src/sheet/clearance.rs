//! The bench: gaps and spacers to clearance, verdict, grinding plan; and the stack after grinding.

mod after;
mod how;
mod judgements;

use calc::conformity::{AtUpper, Limits, Verdict, conformity};
use calc::disposition::may_stay;
use calc::growth::{Reading, times_as_set};
use calc::quantity::{Length, micrometres, nanometres, to_nanometres};
use calc::stack::{self, PairReading, StackPair};

use super::assess::Values;
use super::facts::{BearingFacts, Facts, GaugeFacts, TypeFacts};
use super::family::Family;
use super::field::{self, GAP_DEGREES, PAIRS};
use super::radial::{self, RadialView};
use super::sureness::{LimitOf, Sureness};
use after::after_view;
pub use how::How;
use how::last_alike;
pub use judgements::method_name;
pub(super) use judgements::{judgement, judgements};

/// What the bench says.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearanceView {
    /// What was read of the whole bearing, where the clearance is not one of row pairs: then the first pair stands for
    /// it and the others are not applicable.
    pub radial: Option<RadialView>,
    /// The three row pairs from the barrel.
    pub pairs: [PairView; 3],
    /// U of an end play at k = 2, nm: root of the squares of both gauges; none where one is not known.
    pub expanded_uncertainty_nm: Option<i64>,
    /// U of a spacer width at k = 2, nm.
    pub width_uncertainty_nm: Option<i64>,
    /// How sure a verdict on the faces of a spacer has to be.
    pub faces_asked: Sureness,
    /// Change of the outer stack by the planned grinding, nm; negative = shorter.
    pub planned_outer_nm: Option<i64>,
    /// Change of the inner stack by the planned grinding, nm.
    pub planned_inner_nm: Option<i64>,
    /// Words where two spacers look exchanged.
    pub swapped: Option<String>,
    /// Which two, from 0: the small and the large one.
    pub exchanged: Option<[usize; 2]>,
    /// After grinding.
    pub after: AfterView,
}

/// One row pair.
#[derive(Debug, Clone, PartialEq)]
pub struct PairView {
    /// Places read, of four.
    pub places: usize,
    /// Mean of the gaps read so far, nm.
    pub mean_gap_nm: Option<i64>,
    /// Largest less smallest gap, nm.
    pub spread_nm: Option<i64>,
    /// False where the spread says: not seated, turn and repeat.
    pub is_seated: bool,
    /// The usual largest spread, nm, where the type names none: common practice, no source.
    pub usual_spread_nm: Option<i64>,
    /// Width of the spacer, nm: the mean of its places.
    pub spacer_nm: Option<i64>,
    /// Places that the spacer was measured at, of four.
    pub spacer_places: usize,
    /// Largest less smallest width of the spacer, nm; from two places on.
    pub parallel_nm: Option<i64>,
    /// That against the type's limit.
    pub parallel_verdict: Verdict,
    /// Probability of conformity to it.
    pub parallel_probability: Option<f64>,
    /// As it was left at the sheet before, or as set where there is none, nm; from like methods only.
    pub last_nm: Option<i64>,
    /// Sets that were read before and do not count, nm, in order of degrees.
    pub earlier: Vec<[Option<i64>; 4]>,
    /// Clearance from what is there so far, nm; a verdict comes only from all five values.
    pub end_play_nm: Option<i64>,
    /// All five values are there.
    pub is_complete: bool,
    /// This bearing's own value as set, nm.
    pub as_set_nm: Option<i64>,
    /// Measured by another method or under another load than the value as set and the limits are meant for: no verdict
    /// says that it is sound, and no grinding is planned by it.
    pub is_unlike: bool,
    /// Times as set, from like methods only.
    pub times: Option<f64>,
    /// Limit of the pair, nm.
    pub limit_nm: Option<i64>,
    /// Watch level, nm.
    pub watch_nm: Option<i64>,
    /// Drawing minimum, nm.
    pub drawing_min_nm: Option<i64>,
    /// Drawing maximum, nm.
    pub drawing_max_nm: Option<i64>,
    /// How sure it has to be that the drawing minimum and the limit are kept.
    pub asked: Sureness,
    /// Against the rework limit.
    pub rework_verdict: Verdict,
    /// Against the drawing minimum.
    pub minimum_verdict: Verdict,
    /// Both together.
    pub verdict: Verdict,
    /// Probability of conformity to the limit that decides: the lower one of both.
    pub probability: Option<f64>,
    /// Amount to grind, nm; none where nothing can be said yet or it is refused.
    pub grind_nm: Option<i64>,
    /// Width after that, nm.
    pub new_spacer_nm: Option<i64>,
    /// Target after grinding, nm.
    pub target_nm: Option<(i64, i64)>,
    /// The plan as calculated.
    pub plan: Option<stack::PairPlan>,
}

/// The stack after grinding, from measured widths.
#[derive(Debug, Clone, PartialEq)]
pub struct AfterView {
    /// Widths measured, nm: the mean of their places.
    pub spacer_nm: [Option<i64>; 3],
    /// Places that each was measured at, of four.
    pub places: [usize; 3],
    /// Largest less smallest width of each, nm.
    pub parallel_nm: [Option<i64>; 3],
    /// That against the type's limit; missing until all four places are measured.
    pub parallel_verdict: [Verdict; 3],
    /// Probability of conformity to it.
    pub parallel_probability: [Option<f64>; 3],
    /// Clearance that follows, nm.
    pub end_play_nm: [Option<i64>; 3],
    /// Inside the target?
    pub verdict: [Verdict; 3],
    /// How sure that has to be.
    pub asked: Sureness,
    /// Probability of that.
    pub probability: [Option<f64>; 3],
    /// Outer stack, nm; negative = shorter. From the widths measured so far.
    pub outer_nm: Option<i64>,
    /// Inner stack, nm.
    pub inner_nm: Option<i64>,
    /// The cover shims.
    pub shim: ShimView,
}

/// The pack of shims under or behind the cover.
#[derive(Debug, Clone, PartialEq)]
pub enum ShimView {
    /// Nothing was ground: the pack stays.
    Same,
    /// Widths or the pack found are missing.
    NotKnown,
    /// The new pack, nm.
    New(i64),
    /// Below zero: the cover has to be machined by this much, nm.
    MachineCover(i64),
}

fn nm(value: Option<i64>) -> Option<Length> {
    value.map(nanometres)
}

pub(super) fn gauges<'a>(values: &Values<'a>, facts: &'a Facts) -> [Option<&'a GaugeFacts>; 2] {
    [
        values.gauge(facts, "clearance.gauge_gap"),
        values.gauge(facts, "clearance.gauge_width"),
    ]
}

pub(super) fn view(values: &Values<'_>, facts: &Facts) -> ClearanceView {
    let family = facts.family();
    if family != Family::Tapered {
        return radial::view(values, facts, family);
    }
    let bearing_type = facts.bearing_type.clone().unwrap_or_default();
    let used = gauges(values, facts);
    let expanded_uncertainty_nm =
        root_of_squares(used.map(|g| g.and_then(|g| g.expanded_uncertainty_nm)));
    let is_overdue = used.iter().flatten().any(|g| g.is_overdue);
    let mut pairs = PAIRS.map(|pair| {
        let mut view = read_pair(values, &bearing_type, facts.bearing.as_ref(), pair);
        judge(&mut view, expanded_uncertainty_nm, is_overdue);
        view
    });
    let width_u = used[1].and_then(|g| g.expanded_uncertainty_nm);
    for pair in &mut pairs {
        (pair.parallel_verdict, pair.parallel_probability) =
            parallel(pair.parallel_nm, &bearing_type, width_u, is_overdue);
    }
    let (planned_outer_nm, planned_inner_nm) = plan(&mut pairs, &bearing_type);
    let widths = pairs.each_ref().map(|pair| nm(pair.spacer_nm));
    let last = facts.bearing.as_ref().map(BearingFacts::last_width_nm);
    let last = last.unwrap_or_default().map(nm);
    let bounds = (
        nanometres(width_near(width_u)),
        nanometres(SPACERS_UNLIKE_NM),
    );
    let exchanged = suspect(&pairs).or_else(|| stack::exchanged_widths(&last, &widths, bounds));
    let after = after_view(
        values,
        &pairs,
        facts.chock.as_ref(),
        &bearing_type,
        (expanded_uncertainty_nm, width_u, is_overdue),
    );
    ClearanceView {
        radial: None,
        pairs,
        expanded_uncertainty_nm,
        width_uncertainty_nm: width_u,
        faces_asked: bearing_type.asked(LimitOf::SpacerFaces).into(),
        planned_outer_nm,
        planned_inner_nm,
        swapped: exchanged.map(|[small, large]| {
            let (small, large) = (small + 1, large + 1);
            format!("Spacer S{small} too small and spacer S{large} too large, their sum normal: spacers S{small} and S{large} exchanged?")
        }),
        exchanged,
        after,
    }
}

/// Spacers that differ by less may change places: nobody would feel it (common practice, no source).
pub(crate) const SPACERS_UNLIKE_NM: i64 = 50_000;

/// How far a width may be from what it was and still be the same, nm: U of the difference of two measurements, or
/// 0.010 mm where the gauge is not named yet (assumed).
pub(super) fn width_near(uncertainty_nm: Option<i64>) -> i64 {
    let twice = root_of_squares([uncertainty_nm; 2]);
    twice.unwrap_or(10_000)
}

/// U of a difference of two readings: root of the sum of squares (JCGM 100:2008, 5.1.2, uncorrelated).
pub(super) fn root_of_squares(parts: [Option<i64>; 2]) -> Option<i64> {
    let [a, b] = parts;
    let (a, b) = (a? as f64, b? as f64);
    Some((a * a + b * b).sqrt().round() as i64)
}

/// Mean and spread of the widths of a spacer, and how many were read.
fn width(values: &Values<'_>, path: impl Fn(i64) -> String) -> (Option<i64>, Option<i64>, usize) {
    let read: Vec<Length> = GAP_DEGREES
        .iter()
        .filter_map(|degrees| values.number(&path(*degrees)))
        .map(nanometres)
        .collect();
    let mean = stack::mean_gap(&read).ok().map(to_nanometres);
    let spread = stack::gap_spread(&read).ok().filter(|_| read.len() > 1);
    (mean, spread.map(to_nanometres), read.len())
}

/// Faces of a spacer against the type's limit; not applicable where it gives none.
fn parallel(
    spread_nm: Option<i64>,
    t: &TypeFacts,
    uncertainty_nm: Option<i64>,
    is_overdue: bool,
) -> (Verdict, Option<f64>) {
    match (spread_nm, t.whole("spacer_parallel_nm")) {
        (_, None) => (Verdict::NotApplicable, None),
        (None, _) => (Verdict::Missing, None),
        (Some(spread), Some(limit)) => {
            let limits = Sureness::from(t.asked(LimitOf::SpacerFaces)).limits(None, Some(limit));
            judged(spread, &limits, uncertainty_nm, is_overdue)
        }
    }
}

/// The sets of gaps that a pair keeps besides the one that counts.
fn earlier(values: &Values<'_>, pair: usize) -> Vec<[Option<i64>; 4]> {
    (1..=field::SETS_MAX)
        .map(|set| GAP_DEGREES.map(|d| values.number(&field::earlier_gap(pair, set, d))))
        .filter(|set| set.iter().any(Option::is_some))
        .collect()
}

fn read_pair(
    values: &Values<'_>,
    t: &TypeFacts,
    bearing: Option<&BearingFacts>,
    pair: usize,
) -> PairView {
    let gaps: Vec<Length> = GAP_DEGREES
        .iter()
        .filter_map(|d| values.number(&field::gap(pair, *d)))
        .map(nanometres)
        .collect();
    let mean = stack::mean_gap(&gaps).ok();
    let spread = stack::gap_spread(&gaps).ok();
    let (spacer_nm, parallel_nm, spacer_places) =
        width(values, |degrees| field::spacer_at(pair, degrees));
    let end_play = mean
        .zip(nm(spacer_nm))
        .map(|(gap, spacer)| stack::end_play(spacer, gap));
    let as_set_nm = bearing.and_then(|b| b.as_set_nm[pair - 1]);
    let is_complete = gaps.len() == GAP_DEGREES.len() && spacer_nm.is_some();
    let how = How::of(values);
    let is_unlike = !how.is_like(&How::usual(), t);
    let times = end_play.zip(nm(as_set_nm)).and_then(|(now, as_set)| {
        let reading = |clearance, method| Reading { clearance, method };
        let ratio = times_as_set(&reading(now, is_unlike), &reading(as_set, false));
        ratio.ok().flatten()
    });
    let last_nm = last_alike(&how, bearing, t, pair - 1);
    let usual = micrometres(stack::USUAL_SPREAD_UM);
    // Where the drawing gives no minimum, the target does.
    let drawing_min_nm = t
        .pair("clearance_min_nm", pair)
        .or_else(|| t.pair("target_min_nm", pair));
    let own_spread = t.whole("seating_spread_nm").map(nanometres);
    PairView {
        places: gaps.len(),
        mean_gap_nm: mean.map(to_nanometres),
        spread_nm: spread.filter(|_| gaps.len() > 1).map(to_nanometres),
        is_seated: spread
            .is_none_or(|spread| stack::is_seated(spread, own_spread.unwrap_or(usual))),
        usual_spread_nm: own_spread.is_none().then(|| to_nanometres(usual)),
        spacer_nm,
        spacer_places,
        parallel_nm,
        parallel_verdict: Verdict::NotApplicable,
        parallel_probability: None,
        last_nm,
        earlier: earlier(values, pair),
        end_play_nm: end_play.map(to_nanometres),
        is_complete,
        as_set_nm,
        is_unlike,
        times,
        limit_nm: t.limit_nm(pair, as_set_nm),
        watch_nm: t.pair("watch_nm", pair),
        drawing_min_nm,
        drawing_max_nm: t.pair("clearance_max_nm", pair),
        asked: asked_of(t, drawing_min_nm),
        rework_verdict: Verdict::Missing,
        minimum_verdict: Verdict::Missing,
        verdict: Verdict::Missing,
        probability: None,
        grind_nm: None,
        new_spacer_nm: None,
        target_nm: t
            .pair("target_min_nm", pair)
            .zip(t.pair("target_max_nm", pair)),
        plan: None,
    }
}

/// What is asked of the drawing minimum and of the limit. That a bearing without clearance does not turn is no limit of
/// its type: the default holds for it.
pub(super) fn asked_of(t: &TypeFacts, drawing_min_nm: Option<i64>) -> Sureness {
    let usual = Sureness::default();
    Sureness {
        lower: drawing_min_nm.map_or(usual.lower, |_| t.asked(LimitOf::Clearance)),
        upper: t.asked(LimitOf::Rework),
    }
}

impl PairView {
    /// The limit that must not be reached, and the least that a clearance has to be.
    pub(super) fn limits(&self, value_nm: i64) -> [Option<Limits>; 2] {
        let reached = |limit| Limits {
            at_upper: AtUpper::Reached,
            ..self.asked.limits(None, Some(limit))
        };
        // Without a drawing minimum there is still one: a bearing without clearance does not turn.
        let minimum = self.drawing_min_nm.or((value_nm <= 0).then_some(1));
        [
            self.limit_nm.map(reached),
            minimum.map(|least| self.asked.limits(Some(least), None)),
        ]
    }
}

pub(super) fn judge(view: &mut PairView, uncertainty_nm: Option<i64>, is_overdue: bool) {
    let Some(value) = view.end_play_nm.filter(|_| view.is_complete) else {
        return;
    };
    let decide = |limits: Option<Limits>| {
        let Some(limits) = limits else {
            return (Verdict::NotApplicable, None);
        };
        judged(value, &limits, uncertainty_nm, is_overdue)
    };
    // Another way of measuring may read too much: what it says against the pair counts, what it says for it does not.
    let alike = |found: (Verdict, Option<f64>)| match found.0 {
        Verdict::Fail | Verdict::FailInDoubt => found,
        _ if view.is_unlike => (Verdict::Missing, None),
        _ => found,
    };
    let [rework, minimum] = view.limits(value);
    let rework = if view.is_unlike {
        (Verdict::Missing, None)
    } else {
        decide(rework)
    };
    let minimum = alike(decide(minimum));
    (view.rework_verdict, view.minimum_verdict) = (rework.0, minimum.0);
    view.verdict = Verdict::worst([rework.0, minimum.0]);
    view.probability = rework.1.into_iter().chain(minimum.1).reduce(f64::min);
}

/// Verdict and probability of one value against one pair of limits, whatever the gauge was worth.
fn judged(
    value: i64,
    limits: &Limits,
    uncertainty_nm: Option<i64>,
    is_overdue: bool,
) -> (Verdict, Option<f64>) {
    let Ok(found) = conformity(nanometres(value), limits, nm(uncertainty_nm)) else {
        return (Verdict::Missing, None);
    };
    let verdict = if is_overdue {
        found.verdict.if_gauge_overdue()
    } else {
        found.verdict
    };
    (verdict, found.probability)
}

/// Fills the grinding plan where all three pairs can be planned; answers the changes of the outer and inner stack.
fn plan(pairs: &mut [PairView; 3], t: &TypeFacts) -> (Option<i64>, Option<i64>) {
    let step = nanometres(t.whole("grind_step_nm").unwrap_or(1_000).max(1));
    let stack_pairs: Vec<Option<StackPair>> = pairs
        .iter()
        .enumerate()
        .map(|(index, view)| {
            let (target_min, target_max) = view.target_nm.filter(|_| !view.is_unlike)?;
            Some(StackPair {
                spacer: nanometres(view.spacer_nm?),
                reading: PairReading::Clearance(nanometres(
                    view.end_play_nm.filter(|_| view.is_complete)?,
                )),
                target_min: nanometres(target_min),
                target_max: nanometres(target_max),
                min_spacer: nanometres(t.pair("spacer_min_nm", index + 1).unwrap_or(0)),
                ring: stack::default_ring(index),
            })
        })
        .collect();
    for (view, pair) in pairs.iter_mut().zip(&stack_pairs) {
        let Some(plan) = pair
            .as_ref()
            .and_then(|pair| stack::stack(std::slice::from_ref(pair), step).ok())
        else {
            continue;
        };
        let Some(plan) = plan.pairs.into_iter().next() else {
            continue;
        };
        view.grind_nm = plan.grind.map(to_nanometres);
        view.new_spacer_nm = plan.new_spacer.map(to_nanometres);
        view.plan = Some(plan);
    }
    // A pair that stays as it is takes nothing off its stack.
    let change = |ring: stack::StackRing| {
        let of_ring = (0..).zip(pairs.iter());
        let of_ring = of_ring.filter(|(index, _)| stack::default_ring(*index) == ring);
        let ground: Option<Vec<i64>> = of_ring.map(|(_, view)| view.to_grind_nm()).collect();
        ground.map(|ground| -ground.iter().sum::<i64>())
    };
    (
        change(stack::StackRing::Outer),
        change(stack::StackRing::Inner),
    )
}

impl AfterView {
    /// Whether the faces of a spacer, from 0, are ground and limited by the type, and not yet measured all round.
    pub fn is_face_open(&self, index: usize) -> bool {
        self.spacer_nm[index].is_some() && self.parallel_verdict[index] == Verdict::Missing
    }
}

impl PairView {
    /// What is ground off its spacer in a regrind of the stack; none where it is refused or nothing can be said yet.
    pub fn to_grind_nm(&self) -> Option<i64> {
        if self.stays() { Some(0) } else { self.grind_nm }
    }

    /// No grinding sets the pair, and none is needed: see [`may_stay`].
    pub fn stays(&self) -> bool {
        let refusal = self.plan.and_then(|plan| plan.refusal);
        let limits = [self.drawing_min_nm, self.drawing_max_nm, self.limit_nm].map(nm);
        refusal
            .zip(nm(self.end_play_nm))
            .is_some_and(|(refusal, value)| may_stay(refusal, value, limits))
    }
}

fn suspect(pairs: &[PairView; 3]) -> Option<[usize; 2]> {
    let assembled: Option<Vec<stack::AssembledPair>> = pairs
        .iter()
        .enumerate()
        .map(|(index, view)| {
            Some(stack::AssembledPair {
                ring: stack::default_ring(index),
                spacer: nm(view.spacer_nm),
                clearance: nanometres(view.end_play_nm.filter(|_| view.is_complete)?),
                target_min: nanometres(view.drawing_min_nm?),
                target_max: nanometres(view.drawing_max_nm?),
            })
        })
        .collect();
    let swapped = stack::suspect_swapped(&assembled?)?;
    Some([swapped.small, swapped.large])
}
