//! What the sheet is told in a frame; read only.

use std::sync::Arc;

use calc::conformity::Verdict;
use draw::Mark;
use store::Stamp;
use store::draft::DraftId;
use store::entry::Show;
use store::payload::Role;
use store::people::PersonLine;
use store::query::FoundThing;
use store::sheet::{Facts, SectionState};

use crate::ui::frames::SectionMark;
use crate::win::command::Answers;
use crate::win::screens::Cx;
use crate::win::wear::WearKey;
use crate::win::worker::Wake;

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
    /// The wear of the shop that the facts rest on.
    pub wear: WearKey,
}

impl<'a> SheetModel<'a> {
    /// What the window tells any sheet.
    pub fn new(cx: &'a Cx, draft: DraftId, facts: &'a Arc<Facts>) -> Self {
        Self {
            draft,
            facts,
            show: cx.show,
            now: cx.now,
            people: &cx.snapshot.people,
            things: &cx.snapshot.things,
            person: cx.person.map(|p| (p.name.as_str(), p.role)),
            is_locked: !cx.may_enter(),
            answers: cx.answers,
            photos: &[],
            wake: None,
            wear: WearKey::default(),
        }
    }

    /// Things of one entity as choices.
    pub fn choices(&self, entity: &str) -> Vec<(String, String)> {
        let wanted = self.things.iter().filter(|thing| thing.entity == entity);
        wanted
            .map(|thing| (thing.code.clone(), thing.detail.clone()))
            .collect()
    }

    /// Gauges that measure one of these words, as choices.
    pub fn gauges(&self, measures: &str) -> Vec<(String, String)> {
        let wanted = self
            .facts
            .gauges
            .values()
            .filter(|g| measures.split(' ').any(|word| word == g.measures));
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

/// The mark of a verdict.
pub fn mark(verdict: Verdict) -> Mark {
    match verdict {
        Verdict::Pass => Mark::Pass,
        Verdict::PassInDoubt => Mark::PassInDoubt,
        Verdict::FailInDoubt => Mark::FailInDoubt,
        Verdict::Fail => Mark::Fail,
        Verdict::Missing => Mark::Missing,
        Verdict::NotApplicable => Mark::NotApplicable,
    }
}
