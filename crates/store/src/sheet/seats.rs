//! Chock bore and roll neck: readings to sizes at 20 C, geometry and verdicts.

use calc::conformity::{Verdict, conformity};
use calc::disposition::{SeatKind, SeatState};
use calc::quantity::{Length, celsius, nanometres, per_kelvin, to_nanometres};
use calc::seat::{Correction, Geometry, SeatCriterion, SeatLimits, geometry, judge};

use super::assess::Values;
use super::clearance::judgement;
use super::facts::{Facts, GaugeFacts, TypeFacts};
use super::field::{self, PLANES, PLANES_USUAL, SEAT_DEGREES, SeatName};
use super::sureness::{LimitOf, Sureness};
use crate::payload::{Judgement, Outcome};

/// Expansion of steel parts and of the steel setting ring, 1/K: JCGM 100:2008 example H.1 (gauge block steel).
/// Chock and neck are taken alike; their difference (about 0.2e-6) moves 600 mm by 0.001 mm at 8 K.
pub const EXPANSION_PER_K: f64 = 11.5e-6;

/// What one seat says.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatView {
    /// Which seat.
    pub seat: SeatName,
    /// Nominal size that deviations are shown from, nm.
    pub nominal_nm: Option<i64>,
    /// In how many planes it is measured.
    pub planes: usize,
    /// Sizes at 20 C by plane and direction, nm; nothing beyond its planes.
    pub sizes_nm: [[Option<i64>; 4]; PLANES.len()],
    /// False where this bearing leaves nothing of it to be measured: a ring stays on the neck.
    pub is_needed: bool,
    /// Values still to be read, temperatures included; none where nothing is to be measured.
    pub missing: usize,
    /// Mean of all, nm at 20 C; only from a whole grid.
    pub mean_nm: Option<i64>,
    /// Smallest two-point size, nm.
    pub min_nm: Option<i64>,
    /// Largest two-point size, nm.
    pub max_nm: Option<i64>,
    /// Ovality of each whole plane, nm.
    pub ovality_nm: [Option<i64>; PLANES.len()],
    /// Difference of the means of first and last plane, nm.
    pub taper_nm: Option<i64>,
    /// The verdicts.
    pub checks: Vec<SeatCheckView>,
    /// U of a size at k = 2, nm.
    pub expanded_uncertainty_nm: Option<i64>,
    /// What the gauge read on its standard before use, less the standard's value, nm.
    pub check_off_nm: Option<i64>,
    /// True where the register has a thermometer: the one that the temperatures were read on is named.
    pub asks_thermometer: bool,
    pub(super) states: Vec<SeatState>,
}

/// One line of the results.
#[derive(Debug, Clone, PartialEq)]
pub struct SeatCheckView {
    /// `bore_mean`, `bore_ovality`, `bore_taper`, `bore_smallest`, `bore_largest`, `neck_smallest`, `neck_largest`, `neck_ovality`,
    /// `neck_taper`, `chock_shoulder`, `chock_cover_face`, `chock_width`.
    pub about: &'static str,
    /// Plane from 1; 0 for the whole.
    pub plane: usize,
    /// In words.
    pub title: &'static str,
    /// Value found, nm: a deviation from nominal for sizes of the bore.
    pub value_nm: i64,
    /// Lower limit of that value, nm.
    pub lower_nm: Option<i64>,
    /// Upper limit, nm.
    pub upper_nm: Option<i64>,
    /// True where value and limits are deviations from nominal.
    pub is_deviation: bool,
    /// U of the value at k = 2, nm: that of the gauge it was read on.
    pub expanded_uncertainty_nm: Option<i64>,
    /// The verdict.
    pub verdict: Verdict,
    /// Probability of conformity.
    pub probability: Option<f64>,
    /// How sure the verdict has to be.
    pub asked: Sureness,
}

impl SeatCheckView {
    /// True for shoulder, cover face and width over the liners: read as they are, not from the grid.
    pub fn is_face(&self) -> bool {
        self.about.starts_with("chock_")
    }

    /// Distance to the nearest limit, nm; negative = beyond it.
    pub fn margin_nm(&self) -> Option<i64> {
        let below = self.upper_nm.map(|upper| upper - self.value_nm);
        let above = self.lower_nm.map(|lower| self.value_nm - lower);
        below.into_iter().chain(above).min()
    }
}

impl SeatView {
    /// True where nothing has been typed yet.
    pub fn is_empty(&self) -> bool {
        self.sizes_nm.iter().flatten().all(Option::is_none)
    }

    /// The worst of its verdicts.
    pub fn verdict(&self) -> Verdict {
        if !self.is_needed {
            Verdict::NotApplicable
        } else if self.missing > 0 {
            Verdict::Missing
        } else {
            Verdict::worst(self.checks.iter().map(|c| c.verdict))
        }
    }
}

pub(crate) fn view(values: &Values<'_>, facts: &Facts, seat: SeatName) -> SeatView {
    let t = facts.bearing_type.clone().unwrap_or_default();
    let gauge = values.gauge(facts, &format!("{}.gauge", seat.prefix()));
    let temperature = |end: &str| values.number(&format!("{}.{end}", seat.prefix()));
    let temperatures = [
        temperature("temp_first"),
        temperature("temp_last"),
        temperature("temp_gauge"),
    ];
    let planes = match (seat, &facts.chock) {
        (SeatName::Bore, Some(chock)) => chock.bore_planes.clamp(2, PLANES.len()),
        _ => PLANES_USUAL,
    };
    let read = |p: usize, d: usize| {
        let path = field::size(seat, PLANES[p], SEAT_DEGREES[d]);
        (p < planes).then(|| values.number(&path)).flatten()
    };
    let raw: [[Option<i64>; 4]; PLANES.len()] =
        std::array::from_fn(|p| std::array::from_fn(|d| read(p, d)));
    let correction = correction(temperatures);
    let sizes_nm = raw.map(|plane| {
        plane
            .map(|size| size.map(|nm| correction.at_20_c(nanometres(nm)).map_or(nm, to_nanometres)))
    });
    let sizes = || raw.iter().take(planes).flatten();
    let missing = sizes().filter(|v| v.is_none()).count()
        + temperatures.iter().filter(|t| t.is_none()).count();
    let all = sizes().count() + temperatures.len();
    let is_needed = facts.family().has_seat(seat, values.text("found.inner"));
    let mut view = SeatView {
        seat,
        nominal_nm: nominal(&t, seat),
        planes,
        sizes_nm,
        is_needed: is_needed || missing < all,
        missing: if is_needed || missing < all {
            missing
        } else {
            0
        },
        mean_nm: None,
        min_nm: None,
        max_nm: None,
        ovality_nm: sizes_nm.map(ovality),
        taper_nm: None,
        checks: Vec::new(),
        expanded_uncertainty_nm: gauge.and_then(|g| g.expanded_uncertainty_nm),
        check_off_nm: values
            .number(&format!("{}.check.read", seat.prefix()))
            .zip(values.number(&format!("{}.check.standard", seat.prefix())))
            .map(|(read, standard)| read - standard),
        asks_thermometer: facts.has_thermometer(),
        states: Vec::new(),
    };
    if missing == 0 && view.is_needed {
        let grid: Vec<Vec<Length>> = sizes_nm
            .iter()
            .take(planes)
            .map(|plane| plane.iter().flatten().copied().map(nanometres).collect())
            .collect();
        if let Ok(geometry) = geometry(&grid) {
            let thermometer = values.gauge(facts, &format!("{}.thermometer", seat.prefix()));
            let is_overdue = gauge.into_iter().chain(thermometer).any(|g| g.is_overdue);
            judge_seat(&mut view, &geometry, &t, is_overdue);
        }
    }
    if seat == SeatName::Bore {
        let checks = faces(values, &t, values.gauge(facts, "chock.gauge"));
        view.checks.extend(checks);
    }
    view
}

fn ovality(plane: [Option<i64>; 4]) -> Option<i64> {
    let sizes: Option<Vec<i64>> = plane.into_iter().collect();
    let sizes = sizes?;
    Some(sizes.iter().max()? - sizes.iter().min()?)
}

fn nominal(t: &TypeFacts, seat: SeatName) -> Option<i64> {
    match seat {
        SeatName::Bore => t
            .whole("chock_bore_nominal_nm")
            .or_else(|| t.whole("outside_nm")),
        SeatName::Neck => t.whole("bore_nm"),
    }
}

/// Correction to 20 C from the mean of first and last part temperature; missing ones correct nothing yet.
fn correction([first, last, gauge]: [Option<i64>; 3]) -> Correction {
    let known: Vec<f64> = [first, last]
        .into_iter()
        .flatten()
        .map(|mk| mk as f64 / 1000.0)
        .collect();
    if known.is_empty() || gauge.is_none() {
        return Correction::none();
    }
    let part = known.iter().sum::<f64>() / known.len() as f64;
    Correction {
        part: celsius(part),
        gauge: celsius(gauge.unwrap_or(20_000) as f64 / 1000.0),
        expansion_part: per_kelvin(EXPANSION_PER_K),
        expansion_gauge: per_kelvin(EXPANSION_PER_K),
    }
}

fn judge_seat(view: &mut SeatView, geometry: &Geometry, t: &TypeFacts, is_overdue: bool) {
    view.mean_nm = Some(to_nanometres(geometry.mean));
    view.min_nm = Some(to_nanometres(geometry.min));
    view.max_nm = Some(to_nanometres(geometry.max));
    view.taper_nm = Some(to_nanometres(geometry.taper));
    let nominal = view.nominal_nm.unwrap_or(0);
    let ends = |ends: [Option<i64>; 2], of| {
        let asked = Sureness::from(t.asked(of));
        let is_limited = ends.iter().any(Option::is_some);
        is_limited.then(|| asked.limits(ends[0], ends[1]))
    };
    let most = |name: &str, from: i64, of| ends([None, t.whole(name).map(|l| from + l)], of);
    let limits = match view.seat {
        SeatName::Bore => SeatLimits {
            size: ends(
                [
                    t.whole("chock_bore_lower_nm").map(|off| nominal + off),
                    t.whole("chock_bore_largest_max_nm")
                        .map(|off| nominal + off),
                ],
                LimitOf::Bore,
            ),
            mean: most("chock_bore_mean_max_nm", nominal, LimitOf::BoreMean),
            ovality: most("chock_ovality_max_nm", 0, LimitOf::BoreOvality),
            taper: most("chock_taper_max_nm", 0, LimitOf::BoreTaper),
        },
        // A neck is not smaller than its rework size and not larger than its drawing allows.
        SeatName::Neck => SeatLimits {
            size: ends(
                [t.whole("neck_rework_nm"), t.whole("neck_max_nm")],
                LimitOf::Neck,
            ),
            mean: None,
            ovality: most("neck_ovality_max_nm", 0, LimitOf::NeckOvality),
            taper: most("neck_taper_max_nm", 0, LimitOf::NeckTaper),
        },
    };
    let uncertainty = view.expanded_uncertainty_nm.map(nanometres);
    let Ok(mut checks) = judge(geometry, &limits, uncertainty) else {
        return;
    };
    // Most types give a bore no upper limit of a single size: bell-mouth is judged by taper, wear by the mean.
    if view.seat == SeatName::Bore && t.whole("chock_bore_largest_max_nm").is_none() {
        checks.retain(|check| check.criterion != SeatCriterion::LargestSize);
    }
    if is_overdue {
        for check in &mut checks {
            check.conformity.verdict = check.conformity.verdict.if_gauge_overdue();
        }
    }
    view.checks = checks
        .iter()
        .map(|check| SeatCheckView {
            expanded_uncertainty_nm: view.expanded_uncertainty_nm,
            ..check_view(view.seat, nominal, check)
        })
        .collect();
    view.checks
        .sort_by_key(|check| CHECK_ORDER.iter().position(|name| *name == check.about));
    let kind = if view.seat == SeatName::Bore {
        SeatKind::ChockBore
    } else {
        SeatKind::RollNeck
    };
    view.states = checks
        .into_iter()
        .map(|check| SeatState { seat: kind, check })
        .collect();
}

/// Shoulder, cover face and width over the liners, where they were measured and the type limits them.
fn faces(values: &Values<'_>, t: &TypeFacts, gauge: Option<&GaugeFacts>) -> Vec<SeatCheckView> {
    const FACES: [(&str, &str, &str, &str, LimitOf, bool); 3] = [
        (
            "chock_shoulder",
            "Shoulder, out of square",
            "chock.shoulder",
            "chock_shoulder_max_nm",
            LimitOf::Shoulder,
            true,
        ),
        (
            "chock_cover_face",
            "Cover face, out of flat",
            "chock.cover_face",
            "chock_cover_face_max_nm",
            LimitOf::CoverFace,
            true,
        ),
        (
            "chock_width",
            "Width over the liners",
            "chock.width",
            "chock_liner_width_min_nm",
            LimitOf::LinerWidth,
            false,
        ),
    ];
    let mut all = Vec::new();
    for (about, title, path, limit, of, is_most) in FACES {
        let (Some(value_nm), Some(limit)) = (values.number(path), t.whole(limit)) else {
            continue;
        };
        let (lower_nm, upper_nm) = ((!is_most).then_some(limit), is_most.then_some(limit));
        let asked = Sureness::from(t.asked(of));
        let limits = asked.limits(lower_nm, upper_nm);
        let uncertainty = gauge
            .and_then(|g| g.expanded_uncertainty_nm)
            .map(nanometres);
        let Ok(found) = conformity(nanometres(value_nm), &limits, uncertainty) else {
            continue;
        };
        let verdict = if gauge.is_some_and(|g| g.is_overdue) {
            found.verdict.if_gauge_overdue()
        } else {
            found.verdict
        };
        all.push(SeatCheckView {
            about,
            plane: 0,
            title,
            value_nm,
            lower_nm,
            upper_nm,
            is_deviation: false,
            expanded_uncertainty_nm: uncertainty.map(to_nanometres),
            verdict,
            probability: found.probability,
            asked,
        });
    }
    all
}

const CHECK_ORDER: [&str; 9] = [
    "bore_mean",
    "bore_ovality",
    "bore_taper",
    "bore_smallest",
    "bore_largest",
    "neck_smallest",
    "neck_largest",
    "neck_ovality",
    "neck_taper",
];

fn check_view(seat: SeatName, nominal: i64, check: &calc::seat::SeatCheck) -> SeatCheckView {
    let (about, title, plane, is_size) = match (seat, check.criterion) {
        (SeatName::Bore, SeatCriterion::Mean) => ("bore_mean", "Mean size", 0, true),
        (SeatName::Bore, SeatCriterion::Ovality { plane }) => {
            ("bore_ovality", "Ovality", plane + 1, false)
        }
        (SeatName::Neck, SeatCriterion::Ovality { plane }) => {
            ("neck_ovality", "Ovality", plane + 1, false)
        }
        (SeatName::Bore, SeatCriterion::Taper) => ("bore_taper", "Taper", 0, false),
        (SeatName::Neck, SeatCriterion::Taper) => ("neck_taper", "Taper", 0, false),
        (SeatName::Neck, SeatCriterion::LargestSize) => ("neck_largest", "Largest size", 0, false),
        (SeatName::Bore, SeatCriterion::LargestSize) => ("bore_largest", "Largest size", 0, true),
        (SeatName::Bore, _) => ("bore_smallest", "Smallest size", 0, true),
        (SeatName::Neck, _) => ("neck_smallest", "Smallest size", 0, false),
    };
    // Each end of the sizes is shown with the limit on its own side.
    let limits = &check.limits;
    let (lower, upper) = match check.criterion {
        SeatCriterion::SmallestSize => (
            limits.lower,
            limits.upper.filter(|_| limits.lower.is_none()),
        ),
        SeatCriterion::LargestSize => (
            limits.lower.filter(|_| limits.upper.is_none()),
            limits.upper,
        ),
        _ => (limits.lower, limits.upper),
    };
    let base = if is_size { nominal } else { 0 };
    SeatCheckView {
        about,
        plane,
        title,
        value_nm: to_nanometres(check.value) - base,
        lower_nm: lower.map(|l| to_nanometres(l) - base),
        upper_nm: upper.map(|l| to_nanometres(l) - base),
        is_deviation: is_size,
        expanded_uncertainty_nm: None,
        verdict: check.conformity.verdict,
        probability: check.conformity.probability,
        asked: limits.thresholds.into(),
    }
}

/// The verdicts of a seat as they are signed; `note` on its own gauge, `note_faces` on that of the faces.
pub(super) fn judgements(
    view: &SeatView,
    facts: &Facts,
    note: &str,
    note_faces: &str,
) -> Vec<Judgement> {
    let code = facts.bearing_type.as_ref().map_or("", |t| &t.code);
    view.checks
        .iter()
        .map(|check| {
            judgement(
                check.about,
                check.plane,
                (check.verdict, check.probability),
                Some(check.value_nm),
                check.expanded_uncertainty_nm,
                if check.is_face() { note_faces } else { note },
            )
            .limits(
                check.lower_nm,
                check.upper_nm,
                format!("limits of {code}"),
                check.asked,
            )
        })
        .collect()
}

/// The computed values of a seat as they are signed.
pub(crate) fn outcomes(view: &SeatView) -> Vec<Outcome> {
    let prefix = view.seat.prefix();
    let nominal = view.nominal_nm.unwrap_or(0);
    let one = |name: &str, item: i64, value: i64| Outcome {
        name: format!("{prefix}_{name}_nm"),
        item,
        value,
    };
    let mut all = Vec::new();
    if let Some(mean) = view.mean_nm {
        all.push(one("mean", 0, mean - nominal));
    }
    for (name, value) in [("smallest", view.min_nm), ("largest", view.max_nm)] {
        all.extend(value.map(|v| one(name, 0, v - nominal)));
    }
    all.extend(view.taper_nm.map(|v| one("taper", 0, v)));
    for (item, value) in (1..).zip(view.ovality_nm) {
        all.extend(value.map(|v| one("ovality", item, v)));
    }
    // Sizes at 20 C, plane and direction counted through: 1 to 12 for three planes.
    if view.missing == 0 {
        for (item, size) in (1..).zip(view.sizes_nm.iter().flatten()) {
            all.extend(size.map(|v| one("size", item, v)));
        }
    }
    all
}
