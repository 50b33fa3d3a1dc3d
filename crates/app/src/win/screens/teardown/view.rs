//! What the screen of a teardown sheet remembers: the section and seat that are open, and what every sheet remembers.

use std::collections::BTreeMap;

use egui::Rect;
use store::draft::Fields;
use store::entry::LengthUnit;
use store::sheet::field::{self, SeatName};
use store::sheet::{Assessment, Facts, FieldState, Section, assess};

use super::fields::Sheet;
use super::pictures::Pictures;
use super::{order, quick};
use crate::ui::focus::Step;
use crate::win::screens::sheet::entries::Entries;
use crate::win::screens::sheet::pages::{Assessed, Wishes};
use crate::win::screens::sheet::sign::{SECRET, Signing};
use crate::win::screens::sheet::{self, Pages, Wanted};

/// The verdict whose reasons are open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Why {
    /// A row pair from 0.
    Pair(usize),
    /// A row pair after grinding, from 0.
    After(usize),
    /// The faces of a spacer after grinding, from 0.
    FacesAfter(usize),
    /// A row of a bearing whose clearance belongs to the whole, from 0.
    Row(usize),
    /// The faces of a spacer as found, from 0.
    Faces(usize),
    /// A line of the results of a seat.
    Check(SeatName, usize),
    /// The inner ring on the neck.
    Ring,
    /// A line of the taper, from 0.
    Taper(usize),
}

/// What holds during one frame.
type Frame = sheet::Frame<Assessment>;

/// What the screen of a sheet remembers.
pub struct SheetView {
    /// What stands in its fields.
    pub entries: Entries,
    pub(super) section: Section,
    pub(super) seat: SeatName,
    pub(super) caret: String,
    pub(super) why: Option<(Why, Rect)>,
    pub(super) signing: Signing,
    pub(super) pictures: Pictures,
    wishes: Wishes,
    assessed: Option<Assessed<Facts, Assessment>>,
}

impl std::fmt::Debug for SheetView {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("SheetView")
            .field("section", &self.section)
            .field("caret", &self.caret)
            .finish_non_exhaustive()
    }
}

impl SheetView {
    /// The section that is open.
    pub fn section(&self) -> Section {
        self.section
    }

    /// Opens a section with the caret where the next value goes.
    pub(super) fn open(&mut self, section: Section) {
        (self.section, self.seat) = (section, SeatName::Bore);
        self.want(Wanted::FirstEmpty);
    }

    /// Opens one of the seats.
    pub(super) fn open_seat(&mut self, seat: SeatName) {
        self.seat = seat;
        self.want(Wanted::FirstEmpty);
    }

    /// Sends the caret to a field, wherever it is.
    pub(super) fn go(&mut self, section: Section, seat: SeatName, path: Option<String>) {
        (self.section, self.seat) = (section, seat);
        self.want(Wanted::or_empty(path));
    }

    fn on<'a>(&'a self, frame: &'a Frame) -> order::Sheet<'a> {
        order::Sheet {
            assessment: &frame.assessment,
            fields: self.entries.fields(),
            asks_engineer: frame.asks_engineer,
        }
    }

    /// The next or previous section, or seat.
    fn turn_once(&mut self, step: Step) {
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

impl Pages for SheetView {
    type Facts = Facts;
    type Says = Assessment;

    fn new(fields: Fields, caret: &str) -> Self {
        let mut view = Self {
            entries: Entries::new(fields),
            section: Section::Identify,
            seat: SeatName::Bore,
            caret: String::new(),
            why: None,
            signing: Signing::default(),
            pictures: Pictures::default(),
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

    fn is_opened(&self) -> bool {
        self.wishes.is_opened
    }

    fn signing(&mut self) -> &mut Signing {
        &mut self.signing
    }

    fn assessed(&mut self) -> &mut Option<Assessed<Facts, Assessment>> {
        &mut self.assessed
    }

    fn close_why(&mut self) {
        self.why = None;
    }

    fn rows(facts: &Facts) -> usize {
        facts.rows()
    }

    fn judge(fields: &Fields, facts: &Facts, unit: LengthUnit) -> Assessment {
        assess(fields, facts, unit)
    }

    fn states(says: &Assessment) -> &BTreeMap<String, FieldState> {
        &says.fields
    }

    fn engineer_because(says: &Assessment) -> &[String] {
        &says.engineer_because
    }

    fn order(&self, frame: &Frame) -> Vec<String> {
        order::order(self.section, self.seat, &self.on(frame))
    }

    fn is_optional(&self, path: &str, frame: &Frame) -> bool {
        order::is_optional(path, &self.on(frame))
    }

    fn is_first(&self) -> bool {
        self.section == Section::Identify
    }

    fn is_sign(&self) -> bool {
        self.section == Section::Sign
    }

    /// A seat of which nothing is to be measured is passed over, and what is not put together: without a field the caret
    /// would have no place.
    fn turn(&mut self, frame: &Frame, step: Step) {
        self.turn_once(step);
        while matches!(self.section, Section::Seats | Section::Reassemble)
            && self.order(frame).is_empty()
        {
            self.turn_once(step);
        }
    }

    fn show_field(&mut self, path: &str) {
        // The pack that was found is asked for again where a regrind needs it.
        let decided = self.entries.fields().get("decision.choice");
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

    fn offer(on: &Sheet, path: &str) -> Option<String> {
        quick::offer(on, path)
    }

    fn together(path: &str) -> &[&str] {
        quick::together(path)
    }

    fn unsaid(path: &str) -> &'static str {
        quick::unsaid(path)
    }

    fn goes_on(path: &str) -> bool {
        quick::goes_on(path)
    }
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
