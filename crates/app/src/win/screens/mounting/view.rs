//! What the screen of a mounting sheet remembers: the fields as typed, the open section, where the caret is.

use std::sync::Arc;

use egui::{Context, Rect};
use store::draft::Fields;
use store::entry::{LengthUnit, Show};
use store::mounting::{Family, MountAssessment, MountFacts, Section, assess, field};

use crate::ui::focus::{self, Step};
use crate::win::screens::teardown::order::{ENGINEER, ENGINEER_PIN, PIN, has};
use crate::win::screens::teardown::typed::with_units;
use crate::win::screens::teardown::view::{SheetView, Signing};

/// Where the caret is to go in the next frame.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Wanted {
    First,
    FirstEmpty,
    Last,
    Field(String),
    Undo,
    Move(Step),
}

struct Assessed {
    revision: u64,
    facts: Arc<MountFacts>,
    unit: LengthUnit,
    assessment: Arc<MountAssessment>,
}

/// What the screen remembers.
pub struct MountView {
    /// What is typed and committed, and how to take it back.
    pub(super) sheet: SheetView,
    pub(super) section: Section,
    caret: String,
    /// The verdict whose reasons are open.
    pub(super) why: Option<(usize, Rect)>,
    pub(super) signing: Signing,
    wanted: Option<Wanted>,
    is_opened: bool,
    assessed: Option<Assessed>,
}

impl MountView {
    /// A sheet as it was kept last, with the caret where it was.
    pub fn new(fields: Fields, caret: &str) -> Self {
        let section = section_of(caret);
        let is_secret = [PIN, ENGINEER, ENGINEER_PIN].contains(&caret);
        Self {
            sheet: SheetView::new(fields, ""),
            section: section.unwrap_or(Section::Identify),
            caret: if section.is_some() && !is_secret {
                caret.to_owned()
            } else {
                String::new()
            },
            why: None,
            signing: Signing::default(),
            wanted: None,
            is_opened: false,
            assessed: None,
        }
    }

    /// The path of the field that has the caret, or had it last.
    pub fn caret(&self) -> &str {
        &self.caret
    }

    /// What the sheet says of what is committed.
    pub fn assess(&mut self, facts: &Arc<MountFacts>, unit: LengthUnit) -> Arc<MountAssessment> {
        let revision = self.sheet.revision();
        if let Some(known) = &self.assessed
            && known.revision == revision
            && known.unit == unit
            && Arc::ptr_eq(&known.facts, facts)
        {
            return Arc::clone(&known.assessment);
        }
        let fields = with_units(self.sheet.fields(), unit);
        let assessment = Arc::new(assess(&fields, facts, unit));
        let known = Assessed {
            revision,
            facts: Arc::clone(facts),
            unit,
            assessment,
        };
        Arc::clone(&self.assessed.insert(known).assessment)
    }

    /// Takes back the last step; in the next frame.
    pub fn undo(&mut self) {
        self.wanted = Some(Wanted::Undo);
    }

    /// Opens the next or previous section; in the next frame.
    pub fn turn_page(&mut self, step: Step) {
        self.wanted = Some(Wanted::Move(step));
    }

    /// The page is left: when it is shown again the caret goes where it was.
    pub fn reopen(&mut self) {
        self.is_opened = false;
        self.why = None;
    }

    /// Opens a section with the caret where the next value goes.
    pub(super) fn open(&mut self, section: Section) {
        self.section = section;
        self.why = None;
        self.wanted = Some(Wanted::FirstEmpty);
    }

    /// Sends the caret to a field, wherever it is.
    pub(super) fn go(&mut self, section: Section, path: Option<String>) {
        self.section = section;
        self.why = None;
        self.wanted = Some(path.map_or(Wanted::FirstEmpty, Wanted::Field));
    }

    /// The fields of the open section in order, those of the signature among them.
    pub(super) fn order(&self, family: Family, asks_engineer: bool) -> Vec<String> {
        let mut order = field::order(self.section, family, self.sheet.fields());
        if self.section == Section::Sign {
            if asks_engineer {
                order.extend([ENGINEER.to_owned(), ENGINEER_PIN.to_owned()]);
            }
            order.push(PIN.to_owned());
        }
        order
    }

    /// What was wished for in the frame before, now that all is assessed.
    pub(super) fn follow(
        &mut self,
        ctx: &Context,
        family: Family,
        asks_engineer: bool,
        show: Show,
        time: f64,
    ) {
        let wanted = match self.wanted.take() {
            Some(wanted) => wanted,
            None if !self.is_opened && self.caret.is_empty() => Wanted::FirstEmpty,
            None if !self.is_opened => Wanted::Field(self.caret.clone()),
            None => return,
        };
        self.is_opened = true;
        self.sheet.commit_all(show, time);
        match wanted {
            Wanted::Undo => {
                if let Some(path) = self.sheet.take_back_step() {
                    self.section = section_of(&path).unwrap_or(self.section);
                    focus::ask(ctx, &path);
                    self.caret = path;
                }
                ctx.request_repaint();
            }
            Wanted::Move(step) => {
                self.turn(family, step);
                self.arrive(ctx, family, asks_engineer, &Wanted::FirstEmpty);
            }
            wanted => self.arrive(ctx, family, asks_engineer, &wanted),
        }
    }

    fn arrive(&mut self, ctx: &Context, family: Family, asks_engineer: bool, wanted: &Wanted) {
        let order = self.order(family, asks_engineer);
        let is_open = |path: &&String| !has(self.sheet.fields(), path);
        let path = match wanted {
            Wanted::Field(path) if order.contains(path) => Some(path),
            Wanted::First => order.first(),
            Wanted::Last => order.last(),
            _ => order.iter().find(is_open).or(order.first()),
        };
        match path.cloned() {
            Some(path) => {
                focus::ask(ctx, &path);
                self.caret = path;
            }
            None => focus::leave(ctx),
        }
    }

    fn turn(&mut self, family: Family, step: Step) {
        let all = Section::of(family);
        let here = all.iter().position(|s| *s == self.section).unwrap_or(0);
        let there = match step {
            Step::Forward => (here + 1).min(all.len() - 1),
            Step::Back => here.saturating_sub(1),
        };
        self.section = all[there];
        self.why = None;
    }

    /// Sends the caret on from a field; past the end the next section opens.
    pub(super) fn step(
        &mut self,
        ctx: &Context,
        family: Family,
        asks_engineer: bool,
        at: &str,
        step: Step,
    ) {
        let order = self.order(family, asks_engineer);
        if let Some(next) = focus::step(ctx, &order, at, step) {
            self.caret = next;
            return;
        }
        if self.section == Section::Sign && step == Step::Forward {
            match self.signing.missing(asks_engineer) {
                Some(path) if path != at => focus::ask(ctx, path),
                _ => {
                    focus::leave(ctx);
                    self.signing.wants_button = true;
                }
            }
            return;
        }
        if self.section == Section::Identify && step == Step::Back {
            focus::ask(ctx, at);
            return;
        }
        self.turn(family, step);
        self.wanted = Some(if step == Step::Forward {
            Wanted::First
        } else {
            Wanted::Last
        });
        ctx.request_repaint();
    }

    /// Remembers where the caret is.
    pub(super) fn note_caret(&mut self, path: &str) {
        if self.caret != path {
            path.clone_into(&mut self.caret);
        }
    }
}

/// The section of a field, those of the signature among them.
fn section_of(path: &str) -> Option<Section> {
    if [PIN, ENGINEER, ENGINEER_PIN].contains(&path) {
        return Some(Section::Sign);
    }
    field::section(path)
}

/// The identifying fields: what the logbook knows depends on these alone.
pub fn facts_key(fields: &Fields) -> Fields {
    let known = |path: &str| path.starts_with("identify.");
    let wanted = fields.iter().filter(|(path, _)| known(path));
    wanted
        .map(|(path, field)| (path.clone(), field.clone()))
        .collect()
}
