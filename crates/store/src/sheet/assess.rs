//! From what was typed and what is known to what it says: pure, and quick enough for every keystroke.

use std::collections::BTreeMap;

use calc::conformity::Verdict;
use calc::disposition::{self, Disposition, Recommendation, ZoneAdvice};
use calc::load_zone::{self, Zone};
use calc::quantity::seconds;

use super::clearance::{self, ClearanceView};
use super::closing::{self, ClosingView};
use super::facts::{Facts, GaugeFacts};
use super::family::Family;
use super::field::{SeatName, Section};
use super::findings::{self, Seen};
use super::ring::{self, RingView};
use super::seats::{self, SeatView};
use super::taper::{self, TaperView};
use super::{doubt, engineer, questions, sections, signs, unsaid};
use crate::draft::Fields;
use crate::entry::{LengthUnit, Show};

/// What a field means.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FieldState {
    /// nm, mK or mg; none where the text is no value.
    pub value: Option<i64>,
    /// Unit as typed.
    pub unit: &'static str,
    /// What is wrong or improbable.
    pub problem: Option<Problem>,
}

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// True: refused, does not count. False: improbable, asked about once, and kept.
    pub is_refusal: bool,
    /// What is wrong, in words of the trade.
    pub text: String,
    /// What may have been meant.
    pub hint: Option<String>,
    /// Text to take instead.
    pub instead: Option<String>,
}

/// How far a section is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SectionState {
    /// Its mark: pass = done, fail = something fails or blocks, missing = not done.
    pub mark: Verdict,
    /// What to say under its name; empty for nothing.
    pub note: String,
    /// What stands against signing.
    pub blockers: Vec<String>,
}

/// Everything that the sheet says.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// Every field that has text.
    pub fields: BTreeMap<String, FieldState>,
    /// Its family.
    pub family: Family,
    /// Rows of the bearing.
    pub rows: usize,
    /// What was seen on the parts.
    pub findings: Vec<Seen>,
    /// The bench.
    pub clearance: ClearanceView,
    /// The chock bore.
    pub bore: SeatView,
    /// The roll neck.
    pub neck: SeatView,
    /// The inner ring against the neck; only where the inner half is off or has turned.
    pub ring: Option<RingView>,
    /// What a tapered bore took of the clearance; only where the bore is tapered.
    pub taper: Option<TaperView>,
    /// What is recommended, and why.
    pub recommendation: Recommendation,
    /// What the signs together may point to; never a fact.
    pub patterns: Vec<calc::pattern::Pattern>,
    /// How it is closed: what is wanted, and what the cover gap says.
    pub closing: ClosingView,
    /// What was decided; none yet.
    pub decided: Option<Disposition>,
    /// Mill time with each load zone up, s: the stay that ends counts for the zone that was found up.
    pub zone_run_s: [i64; 4],
    /// The zone to turn to, with reasons in the recommendation.
    pub zone_advice: ZoneAdvice,
    /// The zone chosen.
    pub zone_chosen: Option<Zone>,
    /// True where the bearing goes back into a chock.
    pub is_reassembled: bool,
    /// Sections in order.
    pub sections: [SectionState; 9],
    /// Why the engineer has to sign too; empty where not.
    pub engineer_because: Vec<String>,
}

impl Assessment {
    /// How far a section is.
    pub fn section(&self, section: Section) -> &SectionState {
        &self.sections[section as usize]
    }

    /// What stands against signing, with its section.
    pub fn blockers(&self) -> impl Iterator<Item = (Section, &str)> {
        Section::ALL
            .into_iter()
            .zip(&self.sections)
            .flat_map(|(section, state)| {
                state
                    .blockers
                    .iter()
                    .map(move |text| (section, text.as_str()))
            })
    }

    /// The reasons of the recommendation in words. A doubt that comes from a gauge which is not named does not end by
    /// measuring again: see [`super::gauges_unnamed`].
    pub fn reasons(&self, show: Show) -> Vec<String> {
        let length = |l| show.length_unit(calc::quantity::to_nanometres(l));
        let times = |ratio: f64, decimals: usize| {
            show.decimals((ratio * 1e6).round() as i64, 1_000_000, decimals as u32)
        };
        let hours = |time| show.grouped(calc::quantity::as_hours(time).round() as i64);
        self.recommendation
            .reasons
            .iter()
            .map(|reason| {
                let text = reason.text(length, hours, times);
                let told = text.strip_suffix(calc::disposition::SECOND_LOOK);
                let text = match told.filter(|_| !unsaid::is_certain_how(self, reason.about)) {
                    Some(told) => told.trim_end(),
                    None => &text,
                };
                show.rows.of(self.rows).told(text)
            })
            .collect()
    }
}

/// The fields with their meaning while a sheet is assessed.
pub(crate) struct Values<'a> {
    pub(crate) fields: &'a Fields,
    pub(crate) states: BTreeMap<String, FieldState>,
    /// The unit in which it is said what is odd.
    pub(crate) unit: LengthUnit,
}

impl<'a> Values<'a> {
    /// How lengths are said.
    pub(crate) fn show(&self) -> Show {
        Show {
            unit: self.unit,
            ..Show::default()
        }
    }

    /// What was typed, without blanks around it; none where nothing was.
    pub(crate) fn text(&self, path: &str) -> Option<&'a str> {
        self.fields
            .get(path)
            .map(|f| f.text.trim())
            .filter(|t| !t.is_empty())
    }

    /// A number that is not refused.
    pub(crate) fn number(&self, path: &str) -> Option<i64> {
        let state = self.states.get(path)?;
        if state.problem.as_ref().is_some_and(|p| p.is_refusal) {
            None
        } else {
            state.value
        }
    }

    pub(crate) fn gauge<'f>(&self, facts: &'f Facts, path: &str) -> Option<&'f GaugeFacts> {
        let code = self.text(path)?;
        facts
            .gauges
            .values()
            .find(|g| g.code.eq_ignore_ascii_case(code))
    }
}

/// Assesses a sheet. `unit` is the logbook's unit of length, for numbers typed without one.
pub fn assess(fields: &Fields, facts: &Facts, unit: LengthUnit) -> Assessment {
    let states = fields
        .iter()
        .filter(|(path, field)| !field.text.trim().is_empty() && !path.starts_with("kept."))
        .map(|(path, field)| {
            (
                path.clone(),
                doubt::state(path, field.text.trim(), fields, facts, unit),
            )
        })
        .collect();
    let values = Values {
        fields,
        states,
        unit,
    };
    let clearance = clearance::view(&values, facts);
    let bore = seats::view(&values, facts, SeatName::Bore);
    let neck = seats::view(&values, facts, SeatName::Neck);
    let ring = ring::view(&values, facts, &neck);
    let taper = taper::view(&values, facts, &clearance);
    let findings = findings::seen(&values);
    let up = zone_up(facts, &values);
    let zone_run_s = zone_hours(facts, up);
    let zone_advice = zone_advice(facts, &findings, (up, zone_run_s));
    let closing = closing::view(&values, facts);
    let found = signs::Found {
        clearance: &clearance,
        seats: [&bore, &neck],
        findings: &findings,
        zone: zone_advice,
        ring: ring.as_ref(),
        taper: taper.as_ref(),
    };
    let recommendation = disposition::recommend(&signs::inputs(facts, &values, &found));
    let patterns = calc::pattern::patterns(&signs::signs(facts, &values, &found));
    let decided = values
        .text("decision.choice")
        .and_then(|text| text.parse().ok());
    let zone_chosen = values
        .text("zone.choice")
        .and_then(|text| text.parse().ok());
    let is_reassembled = decided.is_some_and(goes_back);
    let mut assessment = Assessment {
        fields: BTreeMap::new(),
        family: facts.family(),
        rows: facts.rows(),
        findings,
        clearance,
        bore,
        neck,
        ring,
        taper,
        recommendation,
        patterns,
        closing,
        decided,
        zone_run_s,
        zone_advice,
        zone_chosen,
        is_reassembled,
        sections: std::array::from_fn(|_| SectionState {
            mark: Verdict::Missing,
            note: String::new(),
            blockers: Vec::new(),
        }),
        engineer_because: Vec::new(),
    };
    assessment.engineer_because = engineer::engineer_because(&assessment, &values, facts);
    if values.text("found.inner") == Some("turned") {
        let because = "the inner half has turned on the neck";
        assessment.engineer_because.push(because.to_owned());
    }
    assessment.sections =
        Section::ALL.map(|section| sections::section_state(section, &assessment, &values, facts));
    assessment.fields = values.states;
    questions::ask(&mut assessment, fields, facts, unit);
    assessment
}

/// True where the bearing goes back to work.
fn goes_back(decided: Disposition) -> bool {
    matches!(
        decided,
        Disposition::ReturnToService
            | Disposition::ReturnAfterTurning
            | Disposition::RegrindSpacers
    )
}

/// The zone that was up in the stay that ends, 1 to 4; 0 where nobody knows. What was found counts, and not what was
/// written when it went in: rings do not turn in the mill.
fn zone_up(facts: &Facts, values: &Values<'_>) -> i64 {
    let stay = facts.bearing.as_ref().and_then(|b| b.stay.as_ref());
    let found: Option<Zone> = values
        .text("identify.zone")
        .and_then(|text| text.parse().ok());
    found.map_or_else(
        || stay.map_or(0, |stay| stay.zone),
        |zone| zone.index() as i64 + 1,
    )
}

/// Mill time with each zone up, s, with the stay that ends under the zone `up`.
fn zone_hours(facts: &Facts, up: i64) -> [i64; 4] {
    let Some(bearing) = &facts.bearing else {
        return [0; 4];
    };
    let mut hours = bearing.zone_run_s;
    let mut add = |zone: i64, run_s: i64| {
        let slot = usize::try_from(zone - 1).ok();
        if let Some(hours) = slot.and_then(|slot| hours.get_mut(slot)) {
            *hours += run_s;
        }
    };
    if let Some(stay) = &bearing.stay {
        add(stay.zone, -stay.run_s);
        add(up, stay.run_s);
    }
    hours
}

/// The zone with the least hours whose loaded arc is clear of what was seen now or before; told which zone was up, and
/// the hours by zone.
fn zone_advice(facts: &Facts, seen: &[Seen], (up, run_s): (i64, [i64; 4])) -> ZoneAdvice {
    if facts.bearing.is_none() || facts.bearing_type.is_none() {
        return ZoneAdvice::NotAsked;
    }
    if !facts.family().has_zones() {
        return ZoneAdvice::NotAsked;
    }
    let hours = run_s.map(seconds);
    let arc = unsaid::loaded_tenths(facts);
    let blocked: Vec<load_zone::Arc> = unsaid::kept_out(facts, seen)
        .filter_map(|finding| finding.arc)
        .collect();
    match load_zone::choose(&hours, arc, &blocked) {
        Ok(Some(to)) => {
            if up == to.index() as i64 + 1 {
                ZoneAdvice::Keep { zone: to }
            } else {
                ZoneAdvice::Turn {
                    to,
                    hours: hours[to.index()],
                }
            }
        }
        Ok(None) => ZoneAdvice::NoneClear,
        Err(_) => ZoneAdvice::NotAsked,
    }
}

/// Fields that name a gauge.
pub(super) fn gauge_paths() -> [&'static str; 13] {
    [
        "clearance.gauge_gap",
        "clearance.gauge_width",
        "radial.gauge",
        "radial.gauge_rollers",
        "bore.gauge",
        "bore.thermometer",
        "neck.gauge",
        "neck.thermometer",
        "chock.gauge",
        "ring.gauge",
        "ring.thermometer",
        "taper.gauge",
        "taper.push_gauge",
    ]
}
