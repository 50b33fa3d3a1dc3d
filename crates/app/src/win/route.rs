//! Where one is in the window, and the way back.

use store::ThingNo;
use store::draft::DraftId;

use super::screens::setup::Act;
use crate::print::What;

/// A page of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Route {
    /// What asks for somebody.
    Today,
    /// All events, and the open drafts.
    Log,
    /// What happened outside a sheet, told with two keys.
    Tell,
    /// One act that a thing waits for, its form open.
    TellOf(Act, ThingNo),
    /// The register of bearings.
    Bearings,
    /// One bearing.
    Bearing(ThingNo),
    /// The register of chocks.
    Chocks,
    /// One chock.
    Chock(ThingNo),
    /// A thing that has no page of its own kind.
    Thing(ThingNo),
    /// Calibrations and uses of a gauge, and what its errors touched.
    Gauge(ThingNo),
    /// The stands beside each other.
    Stands,
    /// Every calculation alone.
    Bench,
    /// What is printed: a document, with the thing or the event that it is about where another page sent one here.
    Documents(What, Option<ThingNo>),
    /// The register of everything else, people, limits, settings; `line` is the one to show.
    Setup(SetupPage, Option<ThingNo>),
    /// A signed sheet, by the number of its event here.
    Signed(i64),
    /// Any event, by its number here.
    Event(i64),
    /// A sheet that is not signed yet.
    Sheet(DraftId),
}

/// A page of the setup.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SetupPage {
    /// Units, numbers, theme.
    Show,
    /// Who works with the logbook.
    People,
    /// Stands and positions.
    Stands,
    /// Rolls.
    Rolls,
    /// Chocks and their types.
    ChockTypes,
    /// Bearing types with their limits.
    BearingTypes,
    /// Gauges.
    Gauges,
    /// Greases and seal batches.
    Supplies,
    /// Backups, and the check of the record.
    Care,
}

impl SetupPage {
    /// In the order of the page.
    pub const ALL: [Self; 9] = [
        Self::People,
        Self::Stands,
        Self::Rolls,
        Self::ChockTypes,
        Self::BearingTypes,
        Self::Gauges,
        Self::Supplies,
        Self::Show,
        Self::Care,
    ];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Show => "Units and theme",
            Self::People => "People",
            Self::Stands => "Stands",
            Self::Rolls => "Rolls",
            Self::ChockTypes => "Chock types",
            Self::BearingTypes => "Bearing types",
            Self::Gauges => "Gauges",
            Self::Supplies => "Greases and seals",
            Self::Care => "Backups and check",
        }
    }
}

impl Route {
    /// The pages of the rail, in order. A page that does not exist yet is not among them.
    pub const RAIL: [Self; 8] = [
        Self::Today,
        Self::Log,
        Self::Bearings,
        Self::Chocks,
        Self::Stands,
        Self::Bench,
        Self::Documents(What::History, None),
        Self::Setup(SetupPage::People, None),
    ];

    /// Which page of the rail it belongs to; none for a sheet, which hides the rail.
    pub fn rail(self) -> Option<usize> {
        match self {
            Self::Today => Some(0),
            Self::Log | Self::Tell | Self::TellOf(..) | Self::Event(_) => Some(1),
            Self::Bearings | Self::Bearing(_) | Self::Signed(_) => Some(2),
            Self::Chocks | Self::Chock(_) => Some(3),
            Self::Stands => Some(4),
            Self::Bench => Some(5),
            Self::Documents(..) => Some(6),
            Self::Setup(..) | Self::Thing(_) | Self::Gauge(_) => Some(7),
            Self::Sheet(_) => None,
        }
    }

    /// Its name on the rail and in the help.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Today => "Today",
            Self::Log => "Log",
            Self::Tell | Self::TellOf(..) => "What happened",
            Self::Bearings => "Bearings",
            Self::Bearing(_) => "Bearing",
            Self::Chocks => "Chocks",
            Self::Chock(_) => "Chock",
            Self::Thing(_) => "Thing",
            Self::Gauge(_) => "Gauge",
            Self::Stands => "Stands",
            Self::Bench => "Bench",
            Self::Documents(..) => "Documents",
            Self::Setup(..) => "Setup",
            Self::Signed(_) => "Signed sheet",
            Self::Event(_) => "Entry",
            Self::Sheet(_) => "Teardown sheet",
        }
    }

    /// The page that opens the thing of an entity; none for what has no page.
    pub fn of_thing(entity: &str, no: ThingNo) -> Option<Self> {
        match entity {
            "bearing" => Some(Self::Bearing(no)),
            "chock" => Some(Self::Chock(no)),
            "roll" | "gauge" | "position" | "stand" | "seal_batch" | "grease" => {
                Some(Self::Thing(no))
            }
            _ => Self::register_of(entity, no),
        }
    }

    /// Where a thing is changed, and where what happened to it is told.
    pub fn register_of(entity: &str, no: ThingNo) -> Option<Self> {
        let setup = |page| Some(Self::Setup(page, Some(no)));
        match entity {
            "person" => setup(SetupPage::People),
            "stand" | "position" => setup(SetupPage::Stands),
            "roll" => setup(SetupPage::Rolls),
            "chock" | "chock_type" => setup(SetupPage::ChockTypes),
            "bearing" | "bearing_type" => setup(SetupPage::BearingTypes),
            "gauge" => setup(SetupPage::Gauges),
            "grease" | "seal_batch" => setup(SetupPage::Supplies),
            _ => None,
        }
    }
}
