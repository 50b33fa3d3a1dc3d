//! The fit found against the fit designed, and how warm the ring has to be.

use calc::clearance_loss::{INNER_HEIGHT_SHARE, estimated_inner_raceway, inner_share};
use calc::conformity::Verdict;
use calc::fit_found::{AtFault, FitPart, fit_found};
use calc::heating::{Heating, OPEN_BEARING_C_MAX, heating as needed};
use calc::iso286::Deviations;
use calc::quantity::{as_celsius, celsius, nanometres, per_kelvin, to_nanometres};

use super::assess::{MountAssessment, mean, ring_sizes};
use super::check::{Check, Derived, ToJudge};
use super::facts::MountFacts;
use super::field::{Family, Section};
use crate::entry::{Quantity, Show};
use crate::sheet::{EXPANSION_PER_K, LimitOf, TypeFacts, Values};

/// Room to slide where the sheet names none, nm. Common practice, no source.
pub(super) const MARGIN_NM: i64 = 200_000;

/// What the type says of a fit, nm.
struct Design {
    nominal: i64,
    neck: (i64, i64),
    ring: (i64, i64),
}

impl Design {
    fn of(t: &TypeFacts) -> Option<Self> {
        let nominal = t.whole("bore_nm")?;
        let ring = |name: &str| Some(nominal + t.whole(name)?);
        Some(Self {
            nominal,
            neck: (t.whole("neck_min_nm")?, t.whole("neck_max_nm")?),
            ring: (ring("ring_bore_lower_nm")?, ring("ring_bore_upper_nm")?),
        })
    }

    /// True for a ring that is tight on its neck by design.
    fn is_tight(&self) -> bool {
        self.neck.0 > self.ring.1
    }
}

/// Whether the type of the bearing says what its fit is to be.
pub(super) fn is_designed(facts: &MountFacts) -> bool {
    let bearing_type = facts.base.bearing_type.as_ref();
    bearing_type.and_then(Design::of).is_some()
}

/// Mean size of the neck, nm: measured on this sheet, else on an earlier one; true where earlier.
fn neck_of(a: &MountAssessment, facts: &MountFacts, design: &Design) -> Option<(i64, bool)> {
    match (a.neck.mean_nm, &facts.last_neck) {
        (Some(mean), _) => Some((mean, false)),
        (None, Some(last)) => Some((design.nominal + last.mean_nm, true)),
        (None, None) => None,
    }
}

/// Interference or clearance found against designed, the part at fault, and what the fit takes of the clearance.
pub(super) fn fit(a: &mut MountAssessment, values: &Values<'_>, facts: &MountFacts) {
    let Some(t) = &facts.base.bearing_type else {
        return;
    };
    let Some(design) = Design::of(t) else { return };
    let ring = ring_sizes(values);
    let ring_mean = (ring.len() == 4).then(|| mean(&ring));
    let Some((neck, is_earlier)) = neck_of(a, facts, &design) else {
        return;
    };
    let is_tight = design.is_tight();
    let bore = ring_mean.unwrap_or_else(|| i64::midpoint(design.ring.0, design.ring.1));
    // Tight fits are told as interference, loose ones as clearance: neither is ever negative in a sound fit.
    let found = |neck: i64| if is_tight { neck - bore } else { bore - neck };
    let (one, other) = (found(design.neck.0), found(design.neck.1));
    let gauges = vec![
        values.gauge(&facts.base, "neck.gauge"),
        values.gauge(&facts.base, "mount.ring.gauge"),
    ];
    let uncertainty = |i: usize| gauges[i].and_then(|g| g.expanded_uncertainty_nm);
    let both = match (uncertainty(0), uncertainty(1), ring_mean) {
        (Some(neck), Some(ring), Some(_)) => Some(root(neck, ring)),
        (Some(neck), _, None) => Some(neck),
        _ => None,
    };
    let about = if is_tight {
        "interference"
    } else {
        "clearance"
    };
    let check = ToJudge {
        about: if is_tight {
            "mount_interference"
        } else {
            "mount_clearance"
        },
        item: 0,
        section: Section::Fit,
        title: format!("{}{} found", about[..1].to_uppercase(), &about[1..]),
        value: found(neck),
        limits: (Some(one.min(other)), Some(one.max(other))),
        asked: t.asked(LimitOf::RingFit).into(),
        uncertainty: both,
        gauges,
        origin: format!(
            "neck of {}, with {}",
            t.code,
            if ring_mean.is_some() {
                "this ring"
            } else {
                "a ring in the middle of its tolerance"
            }
        ),
        method: "fit found: mean sizes at 20 \u{b0}C",
        first: "mount.ring.1",
    };
    let mut check = check.judge();
    if let Some(check) = &mut check {
        let mut notes = vec![std::mem::take(&mut check.note)];
        if is_earlier {
            check.verdict = check.verdict.if_gauge_overdue();
            let at = facts.last_neck.as_ref().map(|last| last.at.date());
            notes.push(format!("neck from the sheet of {}", at.unwrap_or_default()));
        }
        if ring_mean.is_none() {
            check.verdict = check.verdict.if_gauge_overdue();
            notes.push("ring bore not measured".into());
        }
        notes.retain(|note| !note.is_empty());
        check.note = notes.join("; ");
    }
    a.checks.extend(check);
    fault(a, &design, &ring, is_earlier.then_some(neck));
    let interference = neck - bore;
    if facts.family == Family::Cylindrical && interference > 0 {
        loss(a, t, interference);
    }
}

/// Which part lies outside its own limits, and by how much.
fn fault(a: &mut MountAssessment, design: &Design, ring: &[i64], earlier: Option<i64>) {
    let neck: Vec<i64> = match earlier {
        Some(mean) => vec![mean],
        None => a
            .neck
            .sizes_nm
            .iter()
            .flatten()
            .flatten()
            .copied()
            .collect(),
    };
    let deviations = |limits: (i64, i64)| Deviations {
        lower: nanometres(limits.0 - design.nominal),
        upper: nanometres(limits.1 - design.nominal),
    };
    let part = |limits, sizes: &[i64]| FitPart {
        designed: deviations(limits),
        sizes: sizes.iter().copied().map(nanometres).collect(),
    };
    let ring = if ring.len() == 4 { ring } else { &[] };
    let found = fit_found(
        nanometres(design.nominal),
        &part(design.ring, ring),
        &part(design.neck, &neck),
    );
    let Ok(found) = found else { return };
    let excess = |what: &str, excess: Option<calc::fit_found::Excess>| {
        let excess = excess?;
        let um = |l| to_nanometres(l) as f64 / 1_000.0;
        let mut told = Vec::new();
        if um(excess.below) > 0.0 {
            told.push(format!(
                "up to {:.0} \u{b5}m under its limits",
                um(excess.below)
            ));
        }
        if um(excess.above) > 0.0 {
            told.push(format!(
                "up to {:.0} \u{b5}m over its limits",
                um(excess.above)
            ));
        }
        (!told.is_empty()).then(|| format!("{what} is {}", told.join(" and ")))
    };
    let told: Vec<String> = [
        excess("the ring bore", found.hole_excess),
        excess("the neck", found.shaft_excess),
    ]
    .into_iter()
    .flatten()
    .collect();
    if found.at_fault() != AtFault::None {
        a.says
            .push((Section::Fit, format!("At fault: {}.", told.join("; "))));
    }
}

/// What the interference takes of the radial clearance.
fn loss(a: &mut MountAssessment, t: &TypeFacts, interference: i64) {
    let (Some(bore), Some(outside)) = (t.whole("bore_nm"), t.whole("outside_nm")) else {
        return;
    };
    let (bore, outside) = (nanometres(bore), nanometres(outside));
    let share = estimated_inner_raceway(bore, outside, INNER_HEIGHT_SHARE)
        .and_then(|raceway| inner_share(bore, raceway, nanometres(0)));
    let Ok(share) = share else { return };
    a.derived.push(Derived {
        name: "mount_loss_nm",
        section: Section::Fit,
        title: "Loss of clearance by the fit",
        value: (interference as f64 * share).round() as i64,
        note: format!("{:.0} % of the interference, by Lam\u{e9}", share * 100.0),
    });
}

/// Root of the sum of squares of two uncertainties, nm.
fn root(one: i64, other: i64) -> i64 {
    let sum = one as f64 * one as f64 + other as f64 * other as f64;
    sum.sqrt().round() as i64
}

/// How warm the ring has to be, and whether it was too warm.
pub(super) fn heating(a: &mut MountAssessment, values: &Values<'_>, facts: &MountFacts) {
    let Some(t) = &facts.base.bearing_type else {
        return;
    };
    let limit = t.whole("heating_limit_mk");
    let limit_mk = limit.unwrap_or((OPEN_BEARING_C_MAX * 1_000.0) as i64);
    let origin = match limit {
        Some(_) => format!("heating limit of {}", t.code),
        None => "open bearings: SKF 17000/1 EN, mounting; Koyo CAT. No. 203, p. A25".into(),
    };
    let reached = values.number("mount.heat.ring");
    if let Some(design) = Design::of(t).filter(Design::is_tight) {
        let ring = ring_sizes(values);
        let bore = ring.iter().min().copied().unwrap_or(design.ring.0);
        let neck = match (a.neck.max_nm, &facts.last_neck) {
            (Some(max), _) => max,
            (None, Some(last)) => design.nominal + last.mean_nm,
            (None, None) => design.neck.1,
        };
        let temperature = ["mount.heat.neck", "neck.temp_last", "neck.temp_first"]
            .iter()
            .find_map(|path| values.number(path));
        let margin = values.number("mount.heat.margin").unwrap_or(MARGIN_NM);
        let asked = Heating {
            bore: nanometres(bore),
            interference: nanometres((neck - bore).max(0)),
            margin: nanometres(margin),
            neck: celsius(temperature.unwrap_or(20_000) as f64 / 1_000.0),
            expansion: per_kelvin(EXPANSION_PER_K),
            limit: celsius(limit_mk as f64 / 1_000.0),
        };
        if let Ok(heated) = needed(&asked) {
            let mk = (as_celsius(heated.ring) * 1_000.0).round() as i64;
            let from = if temperature.is_some() {
                ""
            } else {
                "; neck taken at 20 \u{b0}C"
            };
            a.derived.push(Derived {
                name: "mount_needed_mk",
                section: Section::Heating,
                title: "Ring temperature needed",
                value: mk,
                note: format!(
                    "for {:.3} mm and {:.3} mm room{from}",
                    (neck - bore).max(0) as f64 / 1e6,
                    margin as f64 / 1e6
                ),
            });
            if let Some(reached) = reached.filter(|reached| *reached < mk) {
                let celsius = |mk: i64| Show::default().decimals(mk, 1_000, 1);
                let words = format!(
                    "Not warm enough yet: {} \u{b0}C of {} \u{b0}C. A ring that is put on too cold seizes halfway.",
                    celsius(reached),
                    celsius(mk)
                );
                a.says.push((Section::Heating, words));
            }
            if heated.verdict == Verdict::Fail {
                let words = "The ring would have to be warmer than its limit: less room to slide, a warmer neck is no \
                             way out; ask the engineer.";
                a.says.push((Section::Heating, words.into()));
            }
        }
    }
    let Some(reached) = reached else {
        return;
    };
    let gauge = values.gauge(&facts.base, "mount.heat.gauge");
    let check = ToJudge {
        about: "mount_heating",
        item: 0,
        section: Section::Heating,
        title: "Ring temperature reached".into(),
        value: reached,
        limits: (None, Some(limit_mk)),
        asked: t.asked(LimitOf::Heating).into(),
        uncertainty: gauge.and_then(|g| g.expanded_uncertainty_nm),
        gauges: vec![gauge],
        origin,
        method: "heating: as read on the ring",
        first: "mount.heat.ring",
    };
    a.checks.extend(check.judge().map(|check| Check {
        quantity: Quantity::Temperature,
        ..check
    }));
}
