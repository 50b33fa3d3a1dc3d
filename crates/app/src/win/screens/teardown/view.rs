//! What the screen of a sheet remembers: the fields as committed, what is being typed, where the caret is, and how
//! to undo. It changes nothing by itself on disk: [`SheetView::take_changes`] is handed to the keeper.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::{Context, Rect};
use store::draft::{DraftField, Fields, Source};
use store::entry::{LengthUnit, Show};
use store::sheet::field::{self, FieldKind, SeatName};
use store::sheet::{Assessment, Facts, Section, assess};

use super::order::{self, has};
use super::pictures::Pictures;
use super::typed::{shown, source, stored, with_units};
use crate::ui::focus::{self, Step};

/// What a field holds now, to be kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The field.
    pub path: String,
    /// Its text; empty where it is emptied.
    pub text: String,
    /// Where that comes from.
    pub source: Source,
    /// False while it is still being typed.
    pub is_committed: bool,
}

/// What is being typed into a field.
#[derive(Debug, Clone)]
struct Typing {
    text: String,
    /// When its first key came, s.
    since: f64,
}

/// The verdict whose reasons are open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Why {
    /// A row pair from 0.
    Pair(usize),
    /// A row pair after grinding, from 0.
    After(usize),
    /// A line of the results of a seat.
    Check(SeatName, usize),
    /// The inner ring on the neck.
    Ring,
    /// A line of the taper, from 0.
    Taper(usize),
}

/// A field and what it held or is to hold.
type Put = (String, Option<DraftField>);

struct Assessed {
    revision: u64,
    facts: Arc<Facts>,
    unit: LengthUnit,
    assessment: Arc<Assessment>,
}

/// Names and PINs for the signature; never kept.
#[derive(Default)]
pub struct Signing {
    /// PIN of the person at work.
    pub pin: String,
    /// The engineer who signs too.
    pub engineer: String,
    /// Their PIN.
    pub engineer_pin: String,
    /// The caret is to go to the button that signs, or to the first line that stands against it.
    pub wants_button: bool,
}

/// When the caret went on by itself.
#[derive(Debug, Clone, Copy)]
pub(super) struct WentOn {
    /// Time of the window, s.
    pub(super) time: f64,
    /// Frames since then.
    pub(super) frames: u32,
}

/// Fields of the signature that are not kept.
const SECRET: [&str; 3] = [order::PIN, order::ENGINEER, order::ENGINEER_PIN];

impl Signing {
    /// The first field of the signature that is still empty.
    pub(in crate::win::screens) fn missing(&self, asks_engineer: bool) -> Option<&'static str> {
        let engineer = [
            (order::ENGINEER, &self.engineer),
            (order::ENGINEER_PIN, &self.engineer_pin),
        ];
        let engineer = engineer.into_iter().filter(|_| asks_engineer);
        let mut all = engineer.chain([(order::PIN, &self.pin)]);
        all.find(|(_, text)| text.trim().is_empty())
            .map(|(path, _)| path)
    }
}

/// What the screen of a sheet remembers.
pub struct SheetView {
    pub(super) fields: Fields,
    typing: BTreeMap<String, Typing>,
    pub(super) section: Section,
    pub(super) seat: SeatName,
    pub(super) caret: String,
    undo: Vec<Vec<Put>>,
    changes: Vec<Change>,
    /// The field whose question or refusal is shown first.
    pub(in crate::win::screens) remark: Option<String>,
    pub(super) why: Option<(Why, Rect)>,
    pub(super) signing: Signing,
    /// The caret went on by itself: a line end that follows at once belongs to what was typed before.
    pub(super) went_on: Option<WentOn>,
    pub(super) pictures: Pictures,
    is_opened: bool,
    /// Opening a section whose fields depend on what changed in this frame waits for the next.
    wanted: Option<Wanted>,
    revision: u64,
    assessed: Option<Assessed>,
}

impl std::fmt::Debug for SheetView {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("SheetView")
            .field("section", &self.section)
            .field("caret", &self.caret)
            .finish_non_exhaustive()
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
enum Wanted {
    First,
    FirstEmpty,
    Last,
    Field(String),
    Undo,
    Move(Step),
}

impl SheetView {
    /// A sheet as it was kept last, with the caret where it was.
    pub fn new(fields: Fields, caret: &str) -> Self {
        let mut view = Self {
            fields,
            typing: BTreeMap::new(),
            section: Section::Identify,
            seat: SeatName::Bore,
            caret: String::new(),
            undo: Vec::new(),
            changes: Vec::new(),
            remark: None,
            why: None,
            signing: Signing::default(),
            went_on: None,
            pictures: Pictures::default(),
            is_opened: false,
            wanted: None,
            revision: 0,
            assessed: None,
        };
        view.show_field(caret);
        if SECRET.contains(&caret) {
            // Who signs is not kept: it begins anew.
            view.caret.clear();
        }
        view
    }

    /// The fields as committed.
    pub fn fields(&self) -> &Fields {
        &self.fields
    }

    /// The section that is open.
    pub fn section(&self) -> Section {
        self.section
    }

    /// The path of the field that has the caret, or had it last.
    pub fn caret(&self) -> &str {
        &self.caret
    }

    /// What changed since this was asked last.
    pub fn take_changes(&mut self) -> Vec<Change> {
        std::mem::take(&mut self.changes)
    }

    /// What the sheet says of what is committed.
    pub fn assess(&mut self, facts: &Arc<Facts>, unit: LengthUnit) -> Arc<Assessment> {
        if let Some(known) = &self.assessed
            && known.revision == self.revision
            && known.unit == unit
            && Arc::ptr_eq(&known.facts, facts)
        {
            return Arc::clone(&known.assessment);
        }
        let assessment = Arc::new(assess(&with_units(&self.fields, unit), facts, unit));
        let known = Assessed {
            revision: self.revision,
            facts: Arc::clone(facts),
            unit,
            assessment,
        };
        Arc::clone(&self.assessed.insert(known).assessment)
    }

    // What stands in the fields.

    /// What a field shows: what is being typed, or what was committed, in the logbook's unit.
    pub(in crate::win::screens) fn text(&self, path: &str, show: Show) -> String {
        match self.typing.get(path) {
            Some(typing) => typing.text.clone(),
            None => self
                .fields
                .get(path)
                .map(|f| shown(path, &f.text, show))
                .unwrap_or_default(),
        }
    }

    /// What was committed, without blanks around it.
    pub(in crate::win::screens) fn committed(&self, path: &str) -> &str {
        self.fields.get(path).map_or("", |f| f.text.trim())
    }

    /// Whether a field is being typed into.
    pub(in crate::win::screens) fn is_typing(&self, path: &str) -> bool {
        self.typing.contains_key(path)
    }

    /// Takes what is typed so far; `time` is that of the window, s.
    pub(in crate::win::screens) fn type_in(
        &mut self,
        path: &str,
        text: String,
        show: Show,
        time: f64,
    ) {
        if text == self.text(path, show) && !self.is_typing(path) {
            return;
        }
        let since = self.typing.get(path).map_or(time, |t| t.since);
        let text_kept = stored(path, text.trim(), show.unit);
        self.changes.push(Change {
            path: path.into(),
            text: text_kept,
            source: Source::Typed,
            is_committed: false,
        });
        self.typing.insert(path.into(), Typing { text, since });
    }

    /// Commits what is typed into a field; true if that changed it.
    pub(in crate::win::screens) fn commit(&mut self, path: &str, show: Show, time: f64) -> bool {
        let Some(typing) = self.typing.remove(path) else {
            return false;
        };
        let typed = typing.text.trim();
        let before = self
            .fields
            .get(path)
            .map(|f| shown(path, &f.text, show))
            .unwrap_or_default();
        if typed == before {
            // What was kept while typing is put right.
            let (text, source) = self
                .fields
                .get(path)
                .map_or((String::new(), Source::Typed), |f| {
                    (f.text.clone(), f.source)
                });
            self.changes.push(Change {
                path: path.into(),
                text,
                source,
                is_committed: true,
            });
            return false;
        }
        let source = source(typed, time - typing.since);
        let new = (!typed.is_empty()).then(|| DraftField {
            text: stored(path, typed, show.unit),
            source,
        });
        self.put(vec![(path.into(), new)]);
        true
    }

    /// Commits whatever is being typed and has lost the caret.
    pub(in crate::win::screens) fn commit_left(&mut self, ctx: &Context, show: Show, time: f64) {
        let left: Vec<String> = self
            .typing
            .keys()
            .filter(|path| !focus::has(ctx, path))
            .cloned()
            .collect();
        for path in left {
            self.commit(&path, show, time);
        }
    }

    /// Commits whatever is being typed.
    pub(in crate::win::screens) fn commit_all(&mut self, show: Show, time: f64) {
        for path in self.typing.keys().cloned().collect::<Vec<_>>() {
            self.commit(&path, show, time);
        }
    }

    /// Puts texts into fields as one step that can be undone.
    pub(in crate::win::screens) fn put(&mut self, all: Vec<Put>) {
        let before = all
            .into_iter()
            .map(|(path, new)| self.set(path, new))
            .collect();
        self.undo.push(before);
    }

    /// Puts a chosen text into a field; an empty one empties it.
    pub(in crate::win::screens) fn choose(&mut self, path: &str, text: &str) {
        if self.committed(path) != text {
            let new = (!text.is_empty()).then(|| DraftField {
                text: text.into(),
                source: Source::Typed,
            });
            self.put(vec![(path.into(), new)]);
        }
    }

    /// Pasted lines fill the fields from `path` on, as one step. Answers the last field filled.
    pub(in crate::win::screens) fn fill(
        &mut self,
        path: &str,
        lines: &[String],
        order: &[String],
        unit: LengthUnit,
    ) -> Option<String> {
        let from = order.iter().position(|p| p == path)?;
        let numbers = order[from..]
            .iter()
            .filter(|p| matches!(field::kind(p), Some(FieldKind::Number(_))));
        let all: Vec<Put> = numbers
            .zip(lines)
            .map(|(path, text)| {
                self.typing.remove(path);
                (
                    path.clone(),
                    Some(DraftField {
                        text: stored(path, text, unit),
                        source: Source::Pasted,
                    }),
                )
            })
            .collect();
        let last = all.last().map(|(path, _)| path.clone());
        self.put(all);
        last
    }

    /// Answers the question about a field with keep.
    pub(in crate::win::screens) fn keep(&mut self, path: &str) {
        let kept = self.fields.get(path).cloned();
        self.put(vec![(format!("kept.{path}"), kept)]);
        self.remark = None;
    }

    /// Takes back the last step; the first field of it, or none where there is nothing to take back.
    pub(in crate::win::screens) fn take_back_step(&mut self) -> Option<String> {
        let step = self.undo.pop()?;
        let first = step
            .first()
            .map(|(path, _)| path.strip_prefix("kept.").unwrap_or(path).to_owned());
        for (path, before) in step {
            self.set(path, before);
        }
        self.remark = None;
        first
    }

    /// Counts every change of what is committed.
    pub(in crate::win::screens) fn revision(&self) -> u64 {
        self.revision
    }

    fn set(&mut self, path: String, new: Option<DraftField>) -> Put {
        let (text, source) = new.as_ref().map_or((String::new(), Source::Typed), |f| {
            (f.text.clone(), f.source)
        });
        self.changes.push(Change {
            path: path.clone(),
            text,
            source,
            is_committed: true,
        });
        self.typing.remove(&path);
        self.revision += 1;
        let before = match new {
            Some(field) => self.fields.insert(path.clone(), field),
            None => self.fields.remove(&path),
        };
        (path, before)
    }

    // Where the caret goes.

    /// Takes back the last step and goes where it was; in the next frame.
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
        (self.section, self.seat) = (section, SeatName::Bore);
        self.wanted = Some(Wanted::FirstEmpty);
    }

    /// Opens one of the seats.
    pub(super) fn open_seat(&mut self, seat: SeatName) {
        self.seat = seat;
        self.wanted = Some(Wanted::FirstEmpty);
    }

    /// Sends the caret to a field, wherever it is.
    pub(super) fn go(&mut self, section: Section, seat: SeatName, path: Option<String>) {
        (self.section, self.seat) = (section, seat);
        self.wanted = Some(path.map_or(Wanted::FirstEmpty, Wanted::Field));
    }

    /// Opens the section of a field.
    fn show_field(&mut self, path: &str) {
        // The pack that was found is asked for again where a regrind needs it.
        let decided = self.fields.get("decision.choice");
        let is_regrind = decided.is_some_and(|f| f.text.trim() == "regrind_spacers");
        let section = match path {
            "shim.found" if is_regrind => Some(Section::Reassemble),
            _ => section_of(path),
        };
        if let Some(section) = section {
            self.section = section;
            self.seat = seat_of(path);
            self.caret = path.into();
        }
    }

    /// What was wished for in the frame before, now that all is assessed.
    pub(super) fn follow(&mut self, ctx: &Context, sheet: &Frame) {
        let wanted = match self.wanted.take() {
            Some(wanted) => wanted,
            None if !self.is_opened => {
                if self.caret.is_empty() {
                    Wanted::FirstEmpty
                } else {
                    Wanted::Field(self.caret.clone())
                }
            }
            None => return,
        };
        self.is_opened = true;
        self.commit_all(sheet.show, sheet.time);
        match wanted {
            Wanted::Undo => self.take_back(ctx),
            Wanted::Move(step) => {
                self.turn_on(sheet, step);
                self.wanted = None;
                self.arrive(ctx, sheet, &Wanted::FirstEmpty);
            }
            wanted => self.arrive(ctx, sheet, &wanted),
        }
    }

    fn take_back(&mut self, ctx: &Context) {
        if let Some(path) = self.take_back_step() {
            self.show_field(&path);
            focus::ask(ctx, &path);
        }
        ctx.request_repaint();
    }

    fn arrive(&mut self, ctx: &Context, sheet: &Frame, wanted: &Wanted) {
        let order = self.order(sheet);
        let on = self.on(sheet);
        let is_open = |path: &&String| !has(&self.fields, path) && !order::is_optional(path, &on);
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

    /// The fields of what is open, in order.
    pub(super) fn order(&self, sheet: &Frame) -> Vec<String> {
        order::order(self.section, self.seat, &self.on(sheet))
    }

    fn on<'a>(&'a self, sheet: &'a Frame) -> order::Sheet<'a> {
        order::Sheet {
            assessment: &sheet.assessment,
            fields: &self.fields,
            asks_engineer: sheet.asks_engineer,
        }
    }

    /// Sends the caret on from a field; past the end the next section opens.
    pub(super) fn step(&mut self, ctx: &Context, sheet: &Frame, at: &str, step: Step) {
        let mut order = self.order(sheet);
        // Tab stops at every field, Enter at those that the sheet needs.
        let by_tab = ctx.input(|i| i.raw.events.iter().any(is_tab));
        let on = self.on(sheet);
        if step == Step::Forward && !by_tab && !order::is_optional(at, &on) {
            order.retain(|path| path == at || !order::is_optional(path, &on));
        }
        if let Some(next) = focus::step(ctx, &order, at, step) {
            self.caret = next;
            return;
        }
        if self.section == Section::Sign && step == Step::Forward {
            match self.signing.missing(sheet.asks_engineer) {
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
        self.turn_on(sheet, step);
        self.wanted = Some(if step == Step::Forward {
            Wanted::First
        } else {
            Wanted::Last
        });
        ctx.request_repaint();
    }

    /// The next or previous section or seat; a seat of which nothing is to be measured is passed over.
    fn turn_on(&mut self, sheet: &Frame, step: Step) {
        self.turn(step);
        while self.section == Section::Seats && self.order(sheet).is_empty() {
            self.turn(step);
        }
    }

    /// The next or previous section, or seat.
    pub(super) fn turn(&mut self, step: Step) {
        let here = Section::ALL
            .iter()
            .position(|s| *s == self.section)
            .unwrap_or(0);
        match (self.section, self.seat, step) {
            (Section::Seats, SeatName::Bore, Step::Forward) => self.seat = SeatName::Neck,
            (Section::Seats, SeatName::Neck, Step::Back) => self.seat = SeatName::Bore,
            (_, _, Step::Forward) => {
                self.section = Section::ALL[(here + 1).min(Section::ALL.len() - 1)];
                self.seat = SeatName::Bore;
            }
            (_, _, Step::Back) => {
                self.section = Section::ALL[here.saturating_sub(1)];
                self.seat = if self.section == Section::Seats {
                    SeatName::Neck
                } else {
                    SeatName::Bore
                };
            }
        }
        self.why = None;
    }
}

fn is_tab(event: &egui::Event) -> bool {
    matches!(
        event,
        egui::Event::Key {
            key: egui::Key::Tab,
            pressed: true,
            ..
        }
    )
}

/// What holds during one frame.
#[derive(Debug, Clone)]
pub struct Frame {
    /// What the sheet says.
    pub assessment: Arc<Assessment>,
    /// Whether an engineer signs besides the person at work.
    pub asks_engineer: bool,
    /// How numbers are shown.
    pub show: Show,
    /// Time of the window, s.
    pub time: f64,
}

/// The section of a field, those of the signature among them.
pub fn section_of(path: &str) -> Option<Section> {
    if SECRET.contains(&path) {
        return Some(Section::Sign);
    }
    field::section(path)
}

fn seat_of(path: &str) -> SeatName {
    if path.trim_start_matches("skip.").starts_with("neck") {
        SeatName::Neck
    } else {
        SeatName::Bore
    }
}

/// The identifying fields: what the logbook knows depends on these alone.
pub fn facts_key(fields: &Fields) -> Fields {
    let known = |path: &str| {
        path.starts_with("identify.") && path != "identify.note" && path != "identify.zone"
    };
    let wanted = fields
        .iter()
        .filter(|(path, _)| known(path) || *path == "reassemble.chock");
    wanted
        .map(|(path, field)| (path.clone(), field.clone()))
        .collect()
}
