//! From what was typed on a mounting sheet to what it says: pure, and quick enough for every keystroke.

use std::collections::BTreeMap;

use calc::conformity::{AtUpper, Verdict};
use calc::quantity::{celsius, nanometres, to_nanometres};

use super::check::{Check, Derived, ToJudge};
use super::facts::MountFacts;
use super::field::{Asked, Family, RING, RING_GAUGE, SEAT, Section, ZONES};
use super::{clearance, cover, engineer, fit, questions, sections, taper};
use crate::draft::Fields;
use crate::entry::{LengthUnit, Quantity};
use crate::sheet::field::SeatName;
use crate::sheet::{self, FieldState, SeatView, SectionState, Sureness, Values};

/// Ring faces lie on each other once the ring has cooled. Common practice, no source.
const RING_GAP_NM_MAX: i64 = 0;

/// Everything that a mounting sheet says.
#[derive(Debug, Clone, PartialEq)]
pub struct MountAssessment {
    /// Every field that has text.
    pub fields: BTreeMap<String, FieldState>,
    /// Sort of bearing.
    pub family: Family,
    /// The neck.
    pub neck: SeatView,
    /// Values of the neck still to be read: a mounting asks for it whatever the bearing.
    pub neck_missing: usize,
    /// What is judged, in the order of the sections.
    pub checks: Vec<Check>,
    /// What is computed beside it.
    pub derived: Vec<Derived>,
    /// What the sheet says in words: which part is at fault, what to do again.
    pub says: Vec<(Section, String)>,
    /// The sections of this family with their states.
    pub sections: Vec<(Section, SectionState)>,
    /// Whether the grease is another than the one that is approved for the bearing.
    pub is_other_grease: bool,
    /// Whether the zones that are up want a word: they differ, or the record says another.
    pub is_other_zone: bool,
    /// What was decided: mounted or not; none yet.
    pub is_mounted: Option<bool>,
    /// Why the engineer has to sign too; empty where not.
    pub engineer_because: Vec<String>,
}

impl MountAssessment {
    /// How far a section is; none where this family has none of it.
    pub fn section(&self, section: Section) -> Option<&SectionState> {
        let mut all = self.sections.iter();
        all.find(|(s, _)| *s == section).map(|(_, state)| state)
    }

    /// What the rows of its sections depend on.
    pub fn asked<'a>(&self, fields: &'a Fields) -> Asked<'a> {
        Asked {
            family: self.family,
            fields,
            is_other_grease: self.is_other_grease,
            is_other_zone: self.is_other_zone,
        }
    }

    /// What stands against signing, with its section.
    pub fn blockers(&self) -> impl Iterator<Item = (Section, &str)> {
        self.sections.iter().flat_map(|(section, state)| {
            state.blockers.iter().map(|text| (*section, text.as_str()))
        })
    }

    /// The worst of the verdicts of a section; none where nothing is judged there.
    pub fn worst(&self, section: Section) -> Option<Verdict> {
        let mut all = self
            .checks
            .iter()
            .filter(|c| c.section == section)
            .peekable();
        all.peek()?;
        Some(Verdict::worst(all.map(|c| c.verdict)))
    }
}

/// Assesses a mounting sheet. `unit` is the logbook's unit of length, for numbers typed without one.
pub fn assess(fields: &Fields, facts: &MountFacts, unit: LengthUnit) -> MountAssessment {
    let states = fields
        .iter()
        .filter(|(path, field)| !field.text.trim().is_empty() && !path.starts_with("kept."))
        .map(|(path, field)| {
            let text = field.text.trim();
            let mut state = sheet::field_state(path, text, fields, &facts.base, unit);
            if path == "mount.seal.batch" {
                state = seal(text, facts);
            }
            (path.clone(), state)
        })
        .collect();
    let values = Values {
        fields,
        states,
        unit,
    };
    let neck = sheet::seat_view(&values, &facts.base, SeatName::Neck);
    let mut a = MountAssessment {
        fields: BTreeMap::new(),
        family: facts.family,
        checks: Vec::new(),
        derived: Vec::new(),
        says: Vec::new(),
        sections: Vec::new(),
        is_other_grease: values
            .text("grease.kind")
            .is_some_and(|code| !sheet::is_approved(facts.scheme(), code)),
        is_other_zone: is_other_zone(&values, facts),
        is_mounted: match values.text("mount.outcome") {
            Some("mounted") => Some(true),
            Some("not_mounted") => Some(false),
            _ => None,
        },
        engineer_because: Vec::new(),
        neck_missing: if neck.is_needed {
            neck.missing
        } else {
            sheet::field::seat_order(SeatName::Neck).len()
        },
        neck,
    };
    size_of_neck(&mut a, facts, &values);
    fit::fit(&mut a, &values, facts);
    if facts.family != Family::Tapered {
        fit::heating(&mut a, &values, facts);
        seating(&mut a, &values, facts);
    }
    clearance::clearance(&mut a, &values, facts);
    taper::taper(&mut a, &values, facts);
    cover::cover(&mut a, &values, facts);
    gauge_checks(&mut a, &values);
    a.sections = Section::of(facts.family)
        .into_iter()
        .map(|section| (section, sections::state(section, &a, &values, facts)))
        .collect();
    a.engineer_because = engineer::engineer_because(&a, &values, facts);
    a.fields = values.states;
    questions::ask(&mut a, fields, facts, unit);
    a
}

/// What the gauges read on their standards before use, less the value of the standard.
fn gauge_checks(a: &mut MountAssessment, values: &Values<'_>) {
    let ring = ring_check_off(values);
    for (name, section, title, off) in [
        (
            "neck_check_off_nm",
            Section::Neck,
            "Neck gauge off on its standard",
            a.neck.check_off_nm,
        ),
        (
            "mount_ring_check_off_nm",
            Section::Fit,
            "Ring gauge off on its standard",
            ring,
        ),
    ] {
        a.derived.extend(off.map(|value| Derived {
            name,
            section,
            title,
            value,
            note: "read less standard; the sizes are not corrected by it".into(),
        }));
    }
}

/// What the gauge of the ring bore reads on its standard, less the value of the standard, nm.
pub(super) fn ring_check_off(values: &Values<'_>) -> Option<i64> {
    let read = values.number(RING_GAUGE[1])?;
    Some(read - values.number(RING_GAUGE[2])?)
}

/// A seal batch of the register that is not blocked.
fn seal(text: &str, facts: &MountFacts) -> FieldState {
    let known = facts
        .seals
        .iter()
        .find(|(code, _)| code.eq_ignore_ascii_case(text));
    let why = match known {
        None => format!("{text:?} is not in the register of seal batches"),
        Some((code, Some(why))) => format!("{code} is blocked: {why}"),
        Some((_, None)) => return FieldState::default(),
    };
    FieldState {
        problem: Some(sheet::Problem {
            is_refusal: true,
            text: why,
            hint: None,
            instead: None,
        }),
        ..FieldState::default()
    }
}

/// The neck's own limits, as the teardown sheet judges them.
fn size_of_neck(a: &mut MountAssessment, facts: &MountFacts, values: &Values<'_>) {
    let code = facts.base.bearing_type.as_ref().map_or("", |t| &t.code);
    let gauge = values.gauge(&facts.base, "neck.gauge");
    for check in a.neck.checks.clone() {
        a.checks.push(Check {
            about: check.about,
            item: check.plane,
            section: Section::Neck,
            title: of_neck(check.title, check.plane),
            value: check.value_nm,
            lower: check.lower_nm,
            upper: check.upper_nm,
            at_upper: AtUpper::Conforms,
            expanded_uncertainty: a.neck.expanded_uncertainty_nm,
            quantity: Quantity::Length,
            verdict: check.verdict,
            probability: check.probability,
            limit_origin: format!("limits of {code}"),
            asked: check.asked,
            method: "seat: two-point sizes at 20 \u{b0}C",
            note: gauge
                .filter(|g| g.is_overdue)
                .map_or_else(String::new, |g| g.doubt.clone()),
            first: "neck.1.0",
        });
    }
}

/// What a check of the neck is called on a sheet that has other sizes, too.
fn of_neck(title: &str, plane: usize) -> String {
    let mut letters = title.chars();
    let first: String = letters
        .next()
        .into_iter()
        .flat_map(char::to_lowercase)
        .collect();
    let plane = match plane {
        0 => String::new(),
        plane => format!(" of plane {plane}"),
    };
    format!("Neck, {first}{}{plane}", letters.as_str())
}

/// Numbers of these fields that are read.
pub(super) fn read(values: &Values<'_>, paths: &[&str]) -> Vec<i64> {
    paths
        .iter()
        .filter_map(|path| values.number(path))
        .collect()
}

/// Ring faces after cooling.
fn seating(a: &mut MountAssessment, values: &Values<'_>, facts: &MountFacts) {
    let gaps = read(values, &SEAT);
    let Some(largest) = gaps.iter().max().copied() else {
        return;
    };
    if gaps.len() == SEAT.len() || largest > RING_GAP_NM_MAX {
        // A leaf that does not enter has no scale to be uncertain of: the integers decide, where the feeler is known.
        let feeler = values.gauge(&facts.base, "mount.seat.gauge");
        let check = ToJudge {
            about: "mount_ring_gap",
            item: 0,
            section: Section::Seating,
            title: "Largest gap at ring faces".into(),
            value: largest,
            limits: (None, Some(RING_GAP_NM_MAX)),
            asked: Sureness::default(),
            uncertainty: feeler.and_then(|g| g.expanded_uncertainty_nm).map(|_| 0),
            gauges: vec![feeler],
            origin: "ring faces lie on each other (common practice, no source)".into(),
            method: "largest of the four places",
            first: "mount.seat.0",
        };
        a.checks.extend(check.judge());
    }
    if largest > RING_GAP_NM_MAX {
        let words = "The ring stands off: press it home while it is warm, turn, and gauge again.";
        a.says.push((Section::Seating, words.into()));
    }
}

/// Mean of readings, nm, half away from zero.
pub(super) fn mean(values: &[i64]) -> i64 {
    let count = i64::try_from(values.len()).unwrap_or(1).max(1);
    let sum: i64 = values.iter().sum();
    (sum + sum.signum() * count / 2) / count
}

/// Whether the outer rings stand unlike, or in another zone than the record says is up.
fn is_other_zone(values: &Values<'_>, facts: &MountFacts) -> bool {
    let zones = zones(values, facts.family);
    let up = up(facts);
    zones
        .iter()
        .any(|zone| *zone != zones[0] || (up > 0 && *zone != up))
}

/// The zone that is up by the record; 0 where it knows none.
pub(super) fn up(facts: &MountFacts) -> i64 {
    let bearing = facts.base.bearing.as_ref();
    bearing.and_then(|b| b.stay.as_ref()).map_or(0, |s| s.zone)
}

/// Zones up that were read back, of this family's outer rings.
pub(super) fn zones(values: &Values<'_>, family: Family) -> Vec<i64> {
    ZONES[..family.outer_rings()]
        .iter()
        .filter_map(|path| values.text(path)?.parse::<calc::load_zone::Zone>().ok())
        .map(|zone| zone.index() as i64 + 1)
        .collect()
}

/// Sizes of the ring bore at 20 C that are read, nm.
pub(super) fn ring_sizes(values: &Values<'_>) -> Vec<i64> {
    let temperature = |path| values.number(path).map(|mk: i64| mk as f64 / 1_000.0);
    let (ring, gauge) = (
        temperature("mount.ring.temp"),
        temperature("mount.ring.temp_gauge"),
    );
    let correction = match (ring, gauge) {
        (Some(ring), Some(gauge)) => calc::seat::Correction {
            part: celsius(ring),
            gauge: celsius(gauge),
            expansion_part: calc::quantity::per_kelvin(sheet::EXPANSION_PER_K),
            expansion_gauge: calc::quantity::per_kelvin(sheet::EXPANSION_PER_K),
        },
        _ => calc::seat::Correction::none(),
    };
    let at_20 = |nm: i64| correction.at_20_c(nanometres(nm)).map_or(nm, to_nanometres);
    read(values, &RING).into_iter().map(at_20).collect()
}
