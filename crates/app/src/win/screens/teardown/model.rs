//! What the sheet is told in a frame; read only.

use std::sync::Arc;

use calc::conformity::Verdict;
use store::Stamp;
use store::draft::DraftId;
use store::entry::Show;
use store::payload::Role;
use store::people::PersonLine;
use store::query::FoundThing;
use store::sheet::{Assessment, Facts, SectionState};

use crate::ui::frames::SectionMark;
use crate::win::command::Answers;
use crate::win::worker::Wake;

use super::fields::mark;

/// What the sheet is told in a frame.
pub struct SheetModel<'a> {
    /// The draft.
    pub draft: DraftId,
    /// What the logbook knows of the things named on the sheet.
    pub facts: &'a Arc<Facts>,
    /// Unit and decimal mark.
    pub show: Show,
    /// The time on the logbook's clock.
    pub now: Stamp,
    /// Everybody in the register.
    pub people: &'a [PersonLine],
    /// Things that can be named.
    pub things: &'a [FoundThing],
    /// Who is at work: name and role.
    pub person: Option<(&'a str, Role)>,
    /// Whether nothing can be entered.
    pub is_locked: bool,
    /// What became of the commands of this page.
    pub answers: &'a Answers,
    /// Small pictures by the hash of what they show.
    pub photos: &'a [(String, Vec<u8>)],
    /// Asks for a frame when a dialog of the system is closed; none where there are no dialogs.
    pub wake: Option<&'a Wake>,
}

impl SheetModel<'_> {
    /// Things of one entity as choices.
    pub fn choices(&self, entity: &str) -> Vec<(String, String)> {
        let wanted = self.things.iter().filter(|thing| thing.entity == entity);
        wanted
            .map(|thing| (thing.code.clone(), thing.detail.clone()))
            .collect()
    }

    /// Gauges that measure one of these, as choices.
    pub fn gauges(&self, measures: &str) -> Vec<(String, String)> {
        let wanted = self
            .facts
            .gauges
            .values()
            .filter(|g| g.measures == measures);
        wanted
            .map(|g| {
                (
                    g.code.clone(),
                    [g.kind.as_str(), &g.span].join(" ").trim().to_owned(),
                )
            })
            .collect()
    }

    /// People with one of these roles who are still there, as choices.
    pub fn people(&self, roles: &[Role]) -> Vec<(String, String)> {
        let wanted = self
            .people
            .iter()
            .filter(|p| p.is_active && roles.contains(&p.role));
        wanted
            .map(|p| (p.name.clone(), p.role.as_str().to_owned()))
            .collect()
    }
}

/// A section's mark in the list at the left.
pub fn section_mark(state: &SectionState, is_open: bool) -> SectionMark {
    match state.mark {
        Verdict::Missing if is_open => SectionMark::Open,
        Verdict::Pass => SectionMark::Done,
        verdict => SectionMark::Verdict(mark(verdict)),
    }
}

/// The line of the top strip: bearing, type, where it came from.
pub fn heading(facts: &Facts, show: Show) -> String {
    let mut parts = Vec::new();
    let Some(bearing) = &facts.bearing else {
        return facts
            .chock
            .as_ref()
            .map_or_else(String::new, |c| c.code.clone());
    };
    parts.push(bearing.serial.clone());
    if let Some(t) = &facts.bearing_type {
        parts.push(t.code.clone());
    }
    let run = bearing
        .stay
        .as_ref()
        .map(|stay| format!("after {} h", show.hours(stay.run_s)));
    let from = match (&facts.position, &facts.chock) {
        (Some((_, position)), _) => Some(format!("off {position}")),
        (None, Some(chock)) => Some(format!("out of {}", chock.code)),
        (None, None) => None,
    };
    parts.extend([[from, run]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(" ")]);
    parts.retain(|part| !part.is_empty());
    parts.join(" \u{b7} ")
}

/// Whether anything was measured yet.
pub fn is_begun(a: &Assessment) -> bool {
    a.findings.iter().any(|seen| seen.finding.is_some())
        || a.clearance.is_begun()
        || a.clearance
            .pairs
            .iter()
            .any(|p| p.places > 0 || p.spacer_nm.is_some())
        || !a.bore.is_empty()
        || !a.neck.is_empty()
}
