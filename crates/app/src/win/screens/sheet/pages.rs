//! What a sheet says of itself, and where its caret goes.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::{Context, Event, Key};
use store::draft::Fields;
use store::entry::LengthUnit;
use store::sheet::{FieldState, field};

use super::entries::{Entries, has};
use super::frame::{Frame, On};
use super::quick;
use super::sign::Signing;
use super::typed::with_units;
use crate::ui::focus::{self, Step};

/// Where the caret is to go in the next frame.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wanted {
    /// To the first field of what is open.
    First,
    /// To the first one that Enter stops at.
    FirstNeeded,
    /// To the first one that is still empty.
    FirstEmpty,
    /// To the last one.
    Last,
    /// To this one.
    Field(String),
    /// To this one again, where it was left.
    Left(String),
    /// Where the last step is taken back.
    Undo,
    /// To the next or previous section.
    Move(Step),
}

impl Wanted {
    /// To this field, or where the next value goes.
    pub fn or_empty(path: Option<String>) -> Self {
        path.map_or(Self::FirstEmpty, Self::Field)
    }
}

/// What is wished for the caret until all is assessed.
#[derive(Debug, Default)]
pub struct Wishes {
    /// Opening a section whose fields depend on what changed in this frame waits for the next.
    pub wanted: Option<Wanted>,
    /// False until the caret is where it was when the page was left.
    pub is_opened: bool,
}

/// What a sheet says of what is committed, until that or what it rests on changes.
pub struct Assessed<F, A> {
    revision: u64,
    facts: Arc<F>,
    unit: LengthUnit,
    says: Arc<A>,
}

/// The pages of a sheet.
pub trait Pages: Sized {
    /// What the logbook knows.
    type Facts;
    /// What the sheet says.
    type Says;

    /// A sheet as it was kept last, with the caret where it was.
    fn new(fields: Fields, caret: &str) -> Self;
    /// What stands in the fields.
    fn entries(&self) -> &Entries;
    /// To change it.
    fn entries_mut(&mut self) -> &mut Entries;
    /// The path of the field that has the caret, or had it last.
    fn caret(&mut self) -> &mut String;
    /// What is wished for the caret.
    fn wishes(&mut self) -> &mut Wishes;
    /// Names and PINs for the signature.
    fn signing(&mut self) -> &mut Signing;
    /// What it said last.
    fn assessed(&mut self) -> &mut Option<Assessed<Self::Facts, Self::Says>>;
    /// Whether the caret is in its fields.
    fn is_opened(&self) -> bool;
    /// Closes the reasons that are open.
    fn close_why(&mut self);

    /// What the sheet says of these fields.
    fn judge(fields: &Fields, facts: &Self::Facts, unit: LengthUnit) -> Self::Says;
    /// What it says of each field.
    fn states(says: &Self::Says) -> &BTreeMap<String, FieldState>;
    /// Rows of the bearing on the sheet.
    fn rows(facts: &Self::Facts) -> usize;
    /// Why the engineer signs too.
    fn engineer_because(says: &Self::Says) -> &[String];
    /// The fields of what is open, in order.
    fn order(&self, frame: &Frame<Self::Says>) -> Vec<String>;
    /// Whether Enter passes over a field.
    fn is_optional(&self, _path: &str, _frame: &Frame<Self::Says>) -> bool {
        false
    }
    /// Whether the first section is open.
    fn is_first(&self) -> bool;
    /// Whether the signature is open.
    fn is_sign(&self) -> bool;
    /// Opens the next or previous section.
    fn turn(&mut self, frame: &Frame<Self::Says>, step: Step);
    /// Opens the section of a field, with the caret on it.
    fn show_field(&mut self, path: &str);

    /// The full name of a field on this sheet.
    fn label(path: &str) -> String {
        field::label(path)
    }

    /// What may be taken by one key.
    fn offer(_on: &On<Self>, _path: &str) -> Option<String> {
        None
    }
    /// The fields that one plus answers together.
    fn together(_path: &str) -> &[&str] {
        &[]
    }
    /// The word of a choice that counts while none is made; empty where none does.
    fn unsaid(_path: &str) -> &'static str {
        ""
    }
    /// Whether the caret goes on by itself once a reading has all its decimals.
    fn goes_on(_path: &str) -> bool {
        false
    }

    /// What the sheet says of what is committed.
    fn assess(&mut self, facts: &Arc<Self::Facts>, unit: LengthUnit) -> Arc<Self::Says> {
        let revision = self.entries().revision();
        if let Some(known) = self.assessed()
            && known.revision == revision
            && known.unit == unit
            && Arc::ptr_eq(&known.facts, facts)
        {
            return Arc::clone(&known.says);
        }
        let fields = with_units(self.entries().fields(), unit);
        let says = Arc::new(Self::judge(&fields, facts, unit));
        *self.assessed() = Some(Assessed {
            revision,
            facts: Arc::clone(facts),
            unit,
            says: Arc::clone(&says),
        });
        says
    }

    /// Sends the caret somewhere in the next frame.
    fn want(&mut self, wanted: Wanted) {
        self.wishes().wanted = Some(wanted);
    }

    /// Takes back the last step and goes where it was; in the next frame.
    fn undo(&mut self) {
        self.want(Wanted::Undo);
    }

    /// Opens the next or previous section; in the next frame.
    fn turn_page(&mut self, step: Step) {
        self.want(Wanted::Move(step));
    }

    /// The page is left: when it is shown again the caret goes where it was.
    fn reopen(&mut self) {
        self.wishes().is_opened = false;
        self.close_why();
    }

    /// What was wished for in the frame before, now that all is assessed.
    fn follow(&mut self, ctx: &Context, frame: &Frame<Self::Says>) {
        let caret = self.caret().clone();
        let wishes = self.wishes();
        let wanted = match wishes.wanted.take() {
            Some(wanted) => wanted,
            None if wishes.is_opened => return,
            None if caret.is_empty() => Wanted::FirstEmpty,
            None => Wanted::Left(caret),
        };
        wishes.is_opened = true;
        self.entries_mut().commit_all(frame.show, frame.time);
        match wanted {
            Wanted::Undo => {
                if let Some(path) = self.entries_mut().take_back_step() {
                    self.show_field(&path);
                    focus::ask(ctx, &path);
                }
                ctx.request_repaint();
            }
            Wanted::Move(step) => {
                self.turn(frame, step);
                self.arrive(ctx, frame, &Wanted::FirstEmpty);
            }
            wanted => self.arrive(ctx, frame, &wanted),
        }
    }

    /// Puts the caret where it is wanted among the fields of what is open.
    fn arrive(&mut self, ctx: &Context, frame: &Frame<Self::Says>, wanted: &Wanted) {
        let order = self.order(frame);
        let is_needed = |path: &&String| !self.is_optional(path, frame);
        let is_open = |path: &&String| !has(self.entries().fields(), path) && is_needed(path);
        let needed = order.iter().find(is_needed).or(order.first());
        let path = match wanted {
            Wanted::Field(path) | Wanted::Left(path) if order.contains(path) => Some(path),
            Wanted::First => order.first(),
            Wanted::FirstNeeded => needed,
            Wanted::Last => order.last(),
            _ => order.iter().find(is_open).or(needed),
        };
        match path.cloned() {
            Some(path) => {
                // A reading that was left half typed is typed on, a whole one typed over.
                let text = self.entries().committed(&path);
                let is_whole = [LengthUnit::Millimetre, LengthUnit::Inch]
                    .into_iter()
                    .any(|unit| quick::is_whole(text, unit));
                match wanted {
                    Wanted::Left(left) if *left == path && !is_whole => {
                        focus::ask_at_end(ctx, &path);
                    }
                    _ => focus::ask(ctx, &path),
                }
                *self.caret() = path;
            }
            None => focus::leave(ctx),
        }
    }

    /// Sends the caret on from a field; past the end the next section opens.
    fn step(&mut self, ctx: &Context, frame: &Frame<Self::Says>, at: &str, step: Step) {
        let mut order = self.order(frame);
        // Tab stops at every field, Enter at those that the sheet needs.
        let by_tab = ctx.input(|i| i.raw.events.iter().any(is_tab));
        if step == Step::Forward && !by_tab && !self.is_optional(at, frame) {
            order.retain(|path| path == at || !self.is_optional(path, frame));
        }
        if let Some(next) = focus::step(ctx, &order, at, step) {
            *self.caret() = next;
            return;
        }
        if self.is_sign() && step == Step::Forward {
            match self.signing().missing(frame.asks_engineer) {
                Some(path) if path != at => focus::ask(ctx, path),
                _ => {
                    focus::leave(ctx);
                    self.signing().wants_button = true;
                }
            }
            return;
        }
        if self.is_first() && step == Step::Back {
            focus::ask(ctx, at);
            return;
        }
        self.turn(frame, step);
        self.want(match step {
            Step::Forward if by_tab => Wanted::First,
            Step::Forward => Wanted::FirstNeeded,
            Step::Back => Wanted::Last,
        });
        ctx.request_repaint();
    }
}

fn is_tab(event: &Event) -> bool {
    matches!(
        event,
        Event::Key {
            key: Key::Tab,
            pressed: true,
            ..
        }
    )
}
