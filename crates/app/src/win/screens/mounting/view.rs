//! What the screen of a mounting sheet remembers: the open section, and what every sheet remembers.

use std::collections::BTreeMap;

use calc::conformity::Verdict;
use egui::Rect;
use store::draft::Fields;
use store::entry::LengthUnit;
use store::mounting::{MountAssessment, MountFacts, OF_THE_RING, Section, assess, field};
use store::sheet::{FieldState, SectionState};

use crate::ui::focus::Step;
use crate::win::screens::sheet::entries::Entries;
use crate::win::screens::sheet::pages::{Assessed, Wishes};
use crate::win::screens::sheet::sign::{self, SECRET, Signing};
use crate::win::screens::sheet::{self, Pages, Wanted};

/// What holds during one frame.
type Frame = sheet::Frame<MountAssessment>;

/// What the screen remembers.
pub struct MountView {
    /// What stands in its fields.
    pub entries: Entries,
    pub(super) section: Section,
    pub(super) caret: String,
    /// The verdict whose reasons are open.
    pub(super) why: Option<(usize, Rect)>,
    signing: Signing,
    wishes: Wishes,
    assessed: Option<Assessed<MountFacts, MountAssessment>>,
}

impl MountView {
    /// Opens a section with the caret on a field, or where the next value goes.
    pub(super) fn go(&mut self, section: Section, path: Option<String>) {
        self.section = section;
        self.why = None;
        self.want(Wanted::or_empty(path));
    }
}

impl Pages for MountView {
    type Facts = MountFacts;
    type Says = MountAssessment;

    fn new(fields: Fields, caret: &str) -> Self {
        let mut view = Self {
            entries: Entries::new(fields),
            section: Section::Identify,
            caret: String::new(),
            why: None,
            signing: Signing::default(),
            wishes: Wishes::default(),
            assessed: None,
        };
        view.show_field(caret);
        if SECRET.contains(&caret) {
            // Who signs is not kept: it begins anew.
            view.caret.clear();
        }
        view
    }

    fn entries(&self) -> &Entries {
        &self.entries
    }

    fn entries_mut(&mut self) -> &mut Entries {
        &mut self.entries
    }

    fn caret(&mut self) -> &mut String {
        &mut self.caret
    }

    fn wishes(&mut self) -> &mut Wishes {
        &mut self.wishes
    }

    fn label(path: &str) -> String {
        store::mounting::field::name(path)
    }

    fn is_opened(&self) -> bool {
        self.wishes.is_opened
    }

    fn signing(&mut self) -> &mut Signing {
        &mut self.signing
    }

    fn assessed(&mut self) -> &mut Option<Assessed<MountFacts, MountAssessment>> {
        &mut self.assessed
    }

    fn close_why(&mut self) {
        self.why = None;
    }

    fn rows(facts: &MountFacts) -> usize {
        facts.base.rows()
    }

    fn judge(fields: &Fields, facts: &MountFacts, unit: LengthUnit) -> MountAssessment {
        assess(fields, facts, unit)
    }

    fn states(says: &MountAssessment) -> &BTreeMap<String, FieldState> {
        &says.fields
    }

    fn engineer_because(says: &MountAssessment) -> &[String] {
        &says.engineer_because
    }

    fn order(&self, frame: &Frame) -> Vec<String> {
        let asked = frame.assessment.asked(self.entries.fields());
        let mut order = field::order(self.section, &asked);
        if self.section == Section::Sign {
            order.extend(sign::order(frame.asks_engineer));
        }
        order
    }

    fn is_first(&self) -> bool {
        self.section == Section::Identify
    }

    fn is_sign(&self) -> bool {
        self.section == Section::Sign
    }

    fn turn(&mut self, frame: &Frame, step: Step) {
        let all = Section::of(frame.assessment.family);
        let here = all.iter().position(|s| *s == self.section).unwrap_or(0);
        self.section = match step {
            Step::Forward => next(&frame.assessment, self.section),
            Step::Back => all[here.saturating_sub(1)],
        };
        self.why = None;
    }

    fn show_field(&mut self, path: &str) {
        let section = if SECRET.contains(&path) {
            Some(Section::Sign)
        } else {
            field::section(path)
        };
        if let Some(section) = section {
            self.section = section;
            self.caret = path.into();
        }
    }
}

/// The section that follows: past those of a ring that stays on its neck. Going back leads into them all the same.
pub(super) fn next(a: &MountAssessment, from: Section) -> Section {
    let mut rest = a.sections.iter().skip_while(|(s, _)| *s != from).skip(1);
    let is_asked = |(section, state): &&(Section, SectionState)| {
        !OF_THE_RING.contains(section) || state.mark != Verdict::NotApplicable
    };
    rest.find(is_asked).map_or(from, |(section, _)| *section)
}

/// The identifying fields: what the logbook knows depends on these alone.
pub fn facts_key(fields: &Fields) -> Fields {
    let known = |path: &str| path.starts_with("identify.");
    let wanted = fields.iter().filter(|(path, _)| known(path));
    wanted
        .map(|(path, field)| (path.clone(), field.clone()))
        .collect()
}
