//! The inner ring of a cylindrical bearing that came off its neck, or turned on it: the interference that is left
//! against the one designed, and which part is at fault.
//!
//! A ring that is less tight than designed can creep: it turns slowly on its neck, wears it and heats it. That the
//! designed interference is the least that keeps it from creeping is common practice, no source.

use calc::conformity::{Verdict, conformity};
use calc::fit_found::{Excess, FitPart, fit_found};
use calc::iso286::Deviations;
use calc::quantity::{celsius, nanometres, per_kelvin, to_nanometres};
use calc::seat::Correction;

use super::assess::{Assessment, Values};
use super::clearance::judgement;
use super::evidence::tested_or_why;
use super::facts::{Facts, TypeFacts};
use super::family::Family;
use super::field::halves::ring as path;
use super::field::{self, PAIRS, SEAT_DEGREES};
use super::seats::{EXPANSION_PER_K, SeatView};
use super::sureness::{LimitOf, Sureness};
use crate::entry::Show;
use crate::payload::{Judgement, Outcome};

/// Its name in the record.
const ABOUT: &str = "interference";

/// Fields of the gauges that an interference rests on: of neck and ring, and what their temperatures were read on.
pub(super) const GAUGES: [&str; 4] = [
    "neck.gauge",
    "ring.gauge",
    "neck.thermometer",
    "ring.thermometer",
];

/// What the inner ring says.
#[derive(Debug, Clone, PartialEq)]
pub struct RingView {
    /// Sizes at 20 C by plane and direction, nm.
    pub sizes_nm: [[Option<i64>; 4]; 3],
    /// Values still to be read, temperatures included.
    pub missing: usize,
    /// Mean size, nm; only from all of them.
    pub mean_nm: Option<i64>,
    /// Neck less ring, nm: negative where the ring is loose.
    pub interference_nm: Option<i64>,
    /// What the drawing asks for with this ring, or with one of its tolerance, nm.
    pub designed_nm: Option<(i64, i64)>,
    /// U of the interference at k = 2, nm.
    pub expanded_uncertainty_nm: Option<i64>,
    /// Interference against design.
    pub verdict: Verdict,
    /// Probability of conformity.
    pub probability: Option<f64>,
    /// What it means, in words; empty for nothing.
    pub words: String,
    /// Where the limits come from.
    pub origin: String,
    /// How sure the verdict has to be.
    pub asked: Sureness,
}

/// What a crack test says that shows one.
pub(super) fn is_cracked(tested: Option<&str>) -> bool {
    tested.is_some_and(|word| word.ends_with("_crack"))
}

/// Root of the sum of squares, nm.
fn root(one: i64, other: i64) -> i64 {
    let sum = one as f64 * one as f64 + other as f64 * other as f64;
    sum.sqrt().round() as i64
}

/// Size of the inner ring's bore at a place, nm at 20 C.
pub fn size(view: &RingView, plane: usize, direction: usize) -> Option<i64> {
    *view.sizes_nm.get(plane)?.get(direction)?
}

/// What the sheet says of the inner ring; none where it stays on its neck.
pub(super) fn view(values: &Values<'_>, facts: &Facts, neck: &SeatView) -> Option<RingView> {
    let is_asked = facts.family() == Family::Cylindrical
        && matches!(values.text("found.inner"), Some("off" | "turned"));
    if !is_asked {
        return None;
    }
    let t = facts.bearing_type.clone().unwrap_or_default();
    let temperatures = [values.number("ring.temp"), values.number("ring.temp_gauge")];
    let correction = match temperatures {
        [Some(ring), Some(gauge)] => Correction {
            part: celsius(ring as f64 / 1000.0),
            gauge: celsius(gauge as f64 / 1000.0),
            expansion_part: per_kelvin(EXPANSION_PER_K),
            expansion_gauge: per_kelvin(EXPANSION_PER_K),
        },
        _ => Correction::none(),
    };
    let at_20 = |nm: i64| correction.at_20_c(nanometres(nm)).map_or(nm, to_nanometres);
    let sizes_nm = PAIRS
        .map(|plane| SEAT_DEGREES.map(|degrees| values.number(&path(plane, degrees)).map(at_20)));
    let read: Vec<i64> = sizes_nm.iter().flatten().flatten().copied().collect();
    let missing = sizes_nm.iter().flatten().count() - read.len()
        + temperatures.iter().filter(|t| t.is_none()).count();
    let mean_nm = (missing == 0).then(|| mean(&read));
    let mut view = RingView {
        sizes_nm,
        missing,
        mean_nm,
        interference_nm: None,
        designed_nm: None,
        expanded_uncertainty_nm: None,
        verdict: Verdict::Missing,
        probability: None,
        words: String::new(),
        origin: String::new(),
        asked: t.asked(LimitOf::RingFit).into(),
    };
    let gauges = GAUGES.map(|path| values.gauge(facts, path));
    let [of_neck, of_ring, ..] = gauges.map(|g| g.and_then(|g| g.expanded_uncertainty_nm));
    let is_overdue = gauges.iter().flatten().any(|g| g.is_overdue);
    judge(&mut view, &t, neck, [of_neck, of_ring], is_overdue);
    Some(view)
}

fn mean(values: &[i64]) -> i64 {
    let (sum, count) = (values.iter().sum::<i64>(), values.len().max(1) as i64);
    (2 * sum + sum.signum() * count) / (2 * count)
}

fn judge(
    view: &mut RingView,
    t: &TypeFacts,
    neck: &SeatView,
    [of_neck, of_ring]: [Option<i64>; 2],
    is_overdue: bool,
) {
    let (Some(bore), Some(neck_mean)) = (t.whole("bore_nm"), neck.mean_nm) else {
        return;
    };
    let ring = |name: &str| t.whole(name).map(|off| bore + off);
    let limits = ring("ring_bore_lower_nm").zip(ring("ring_bore_upper_nm"));
    let middle = limits.map(|(low, high)| i64::midpoint(low, high));
    let Some(size) = view.mean_nm.or(middle) else {
        return;
    };
    let found = neck_mean - size;
    view.interference_nm = Some(found);
    view.expanded_uncertainty_nm = match (of_neck, of_ring, view.mean_nm) {
        (Some(neck), Some(ring), Some(_)) => Some(root(neck, ring)),
        (Some(neck), _, None) => Some(neck),
        _ => None,
    };
    let Some((low, high)) = t.whole("neck_min_nm").zip(t.whole("neck_max_nm")) else {
        view.verdict = Verdict::NotApplicable;
        return;
    };
    let (least, most) = (low - size, high - size);
    view.designed_nm = Some((least, most));
    let with = if view.mean_nm.is_some() {
        "this ring"
    } else {
        "a ring in the middle of its tolerance"
    };
    view.origin = format!("neck of {}, with {with}", t.code);
    let limits = view.asked.limits(Some(least), Some(most));
    let doubt = view.expanded_uncertainty_nm.map(nanometres);
    let Ok(judged) = conformity(nanometres(found), &limits, doubt) else {
        return;
    };
    view.verdict = if is_overdue || view.mean_nm.is_none() {
        judged.verdict.if_gauge_overdue()
    } else {
        judged.verdict
    };
    view.probability = judged.probability;
    view.words = words(view, t, neck, (found, least, most));
}

/// What is told of the interference: creep, a part at fault.
fn words(
    view: &RingView,
    t: &TypeFacts,
    neck: &SeatView,
    (found, least, most): (i64, i64, i64),
) -> String {
    let length = |nm: i64| Show::default().length_unit(nm);
    let mut told = Vec::new();
    if found <= 0 {
        told.push("the ring is loose on its neck: it creeps".to_owned());
    } else if found < least {
        told.push(format!(
            "{} less than designed: the ring can creep",
            length(least - found)
        ));
    } else if found > most {
        told.push(format!(
            "{} more than designed: the ring can crack",
            length(found - most)
        ));
    }
    told.extend(fault(view, t, neck));
    told.join("; ")
}

/// Which part lies outside its own limits, and by how much.
fn fault(view: &RingView, t: &TypeFacts, neck: &SeatView) -> Vec<String> {
    let bore = t.whole("bore_nm").unwrap_or(0);
    let part = |lower: Option<i64>, upper: Option<i64>, sizes: Vec<i64>| {
        Some(FitPart {
            designed: Deviations {
                lower: nanometres(lower?),
                upper: nanometres(upper?),
            },
            sizes: sizes.into_iter().map(nanometres).collect(),
        })
    };
    let ring: Vec<i64> = view.sizes_nm.iter().flatten().flatten().copied().collect();
    let ring = if view.mean_nm.is_some() {
        ring
    } else {
        Vec::new()
    };
    let on_neck = neck.sizes_nm.iter().flatten().flatten().copied().collect();
    let parts = part(
        t.whole("ring_bore_lower_nm"),
        t.whole("ring_bore_upper_nm"),
        ring,
    )
    .zip(part(
        t.whole("neck_min_nm").map(|nm| nm - bore),
        t.whole("neck_max_nm").map(|nm| nm - bore),
        on_neck,
    ));
    let Some((hole, shaft)) = parts else {
        return Vec::new();
    };
    let Ok(found) = fit_found(nanometres(bore), &hole, &shaft) else {
        return Vec::new();
    };
    let length = |l| Show::default().length_unit(to_nanometres(l));
    let excess = |what: &str, excess: Option<Excess>| {
        let excess = excess?;
        let mut told = Vec::new();
        if to_nanometres(excess.below) > 0 {
            told.push(format!("up to {} under its limits", length(excess.below)));
        }
        if to_nanometres(excess.above) > 0 {
            told.push(format!("up to {} over its limits", length(excess.above)));
        }
        (!told.is_empty()).then(|| format!("{what} is {}", told.join(" and ")))
    };
    [
        excess("the neck", found.shaft_excess),
        excess("the ring bore", found.hole_excess),
    ]
    .into_iter()
    .flatten()
    .collect()
}

impl RingView {
    /// Whether a value of it is read.
    pub fn is_begun(&self) -> bool {
        self.sizes_nm.iter().flatten().any(Option::is_some)
    }

    /// Less tight than designed, beyond doubt or in it.
    pub fn is_loose(&self) -> bool {
        let least = self.designed_nm.map(|(least, _)| least);
        self.interference_nm
            .zip(least)
            .is_some_and(|(found, least)| found < least)
    }

    /// What stands against signing, and the mark.
    pub(super) fn section(
        &self,
        a: &Assessment,
        values: &Values<'_>,
        blockers: &mut Vec<String>,
    ) -> Verdict {
        let read = self.sizes(values, a.neck.asks_thermometer, blockers);
        let tests = ["ring.cracks", "skip.ring_cracks"];
        blockers.extend(tested_or_why(values, "Inner ring: crack test", tests));
        if !is_cracked(values.text("ring.cracks")) {
            return read;
        }
        let mut found = a.findings.iter().filter_map(|seen| seen.finding);
        if !found.any(|finding| finding.is_crack() && finding.part.is_of_inner_half()) {
            blockers.push(
                "Inner ring: crack test shows a crack, enter where: a finding of the inner raceway or the ring bore"
                    .into(),
            );
        }
        Verdict::Fail
    }

    /// What its sizes say, and what stands against signing them.
    fn sizes(
        &self,
        values: &Values<'_>,
        asks_thermometer: bool,
        blockers: &mut Vec<String>,
    ) -> Verdict {
        let is_skipped = values.text("skip.ring").is_some();
        if self.missing > 0 {
            if !is_skipped {
                let values = if self.missing == 1 { "value" } else { "values" };
                blockers.push(format!(
                    "Inner ring: {} {values} to read, or why not",
                    self.missing
                ));
                return Verdict::Missing;
            }
            return Verdict::worst([self.verdict, Verdict::Missing]);
        }
        if is_skipped {
            blockers.push("Inner ring: everything is read, take the reason why not away".into());
        }
        if values.text("ring.gauge").is_none() {
            blockers.push(format!("{}: which one?", field::label("ring.gauge")));
        }
        if asks_thermometer && values.text("ring.thermometer").is_none() {
            blockers.push("Inner ring: which thermometer?".into());
        }
        self.verdict
    }

    /// The verdict as it is signed.
    pub(super) fn judgement(&self, note: &str) -> Option<Judgement> {
        let found = self.interference_nm?;
        let mut notes = vec![self.words.clone(), note.to_owned()];
        notes.retain(|note| !note.is_empty());
        let (least, most) = match self.designed_nm {
            Some((least, most)) => (Some(least), Some(most)),
            None => (None, None),
        };
        Some(
            judgement(
                ABOUT,
                0,
                (self.verdict, self.probability),
                Some(found),
                self.expanded_uncertainty_nm,
                &notes.join("; "),
            )
            .limits(least, most, self.origin.clone(), self.asked),
        )
    }

    /// Computed values as they are signed.
    pub(super) fn outcomes(&self) -> Vec<Outcome> {
        let one = |name: &str, item: i64, value: Option<i64>| {
            value.map(|value| Outcome {
                name: name.into(),
                item,
                value,
            })
        };
        let sizes = (1..).zip(self.sizes_nm.iter().flatten());
        let sizes = sizes.filter_map(|(item, size)| one("ring_size_nm", item, *size));
        let whole = [
            one("ring_mean_nm", 0, self.mean_nm),
            one("interference_nm", 0, self.interference_nm),
        ];
        sizes.chain(whole.into_iter().flatten()).collect()
    }
}
