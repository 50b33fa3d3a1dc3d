//! The pages of the setup, in the order in which a new logbook is best filled from the top.

use crate::win::route::SetupPage;

/// A page of the setup.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Page {
    /// Mill lines.
    Lines,
    /// Stands.
    Stands,
    /// Places for chocks.
    Positions,
    /// Rolls.
    Rolls,
    /// Chock types.
    ChockTypes,
    /// Chocks.
    Chocks,
    /// Bearing types with their limits.
    BearingTypes,
    /// Bearings.
    Bearings,
    /// Gauges.
    Gauges,
    /// Seal batches.
    SealBatches,
    /// Greases.
    Greases,
    /// People.
    People,
    /// What belongs to this file: units, theme, where it is.
    Logbook,
    /// Its backups, and the check of its record.
    Care,
}

/// The order in which one thing needs the other.
pub const ORDER: &str = "A new logbook is best filled in this order: lines, stands, positions, bearing types, chock types, \
    then chocks, bearings, rolls, gauges and people.";

impl Page {
    /// All, in the order of the list.
    pub const ALL: [Self; 14] = [
        Self::Lines,
        Self::Stands,
        Self::Positions,
        Self::Rolls,
        Self::ChockTypes,
        Self::Chocks,
        Self::BearingTypes,
        Self::Bearings,
        Self::Gauges,
        Self::SealBatches,
        Self::Greases,
        Self::People,
        Self::Logbook,
        Self::Care,
    ];

    /// Its name in the list.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Lines => "Lines",
            Self::Stands => "Stands",
            Self::Positions => "Positions",
            Self::Rolls => "Rolls",
            Self::ChockTypes => "Chock types",
            Self::Chocks => "Chocks",
            Self::BearingTypes => "Bearing types",
            Self::Bearings => "Bearings",
            Self::Gauges => "Gauges",
            Self::SealBatches => "Seal batches",
            Self::Greases => "Greases",
            Self::People => "People",
            Self::Logbook => "This logbook",
            Self::Care => "Backups and check",
        }
    }

    /// One of its things: `line`, for labels and sentences.
    pub const fn noun(self) -> &'static str {
        match self {
            Self::Lines => "line",
            Self::Stands => "stand",
            Self::Positions => "position",
            Self::Rolls => "roll",
            Self::ChockTypes => "chock type",
            Self::Chocks => "chock",
            Self::BearingTypes => "bearing type",
            Self::Bearings => "bearing",
            Self::Gauges => "gauge",
            Self::SealBatches => "seal batch",
            Self::Greases => "grease",
            Self::People => "person",
            Self::Logbook | Self::Care => "logbook",
        }
    }

    /// The word in the file; none for the pages about the file itself.
    pub const fn entity(self) -> Option<&'static str> {
        Some(match self {
            Self::Lines => "line",
            Self::Stands => "stand",
            Self::Positions => "position",
            Self::Rolls => "roll",
            Self::ChockTypes => "chock_type",
            Self::Chocks => "chock",
            Self::BearingTypes => "bearing_type",
            Self::Bearings => "bearing",
            Self::Gauges => "gauge",
            Self::SealBatches => "seal_batch",
            Self::Greases => "grease",
            Self::People => "person",
            Self::Logbook | Self::Care => return None,
        })
    }

    /// What the page shows, in a sentence.
    pub const fn about(self) -> &'static str {
        match self {
            Self::Lines => "A mill line, and what it rolls.",
            Self::Stands => "The stands of a line, and how they are built.",
            Self::Positions => {
                "Where a chock sits in a stand, which side is fixed, and from where the load comes."
            }
            Self::Rolls => "Rolls by the number on their end face.",
            Self::ChockTypes => {
                "Chocks that are alike: what belongs in each seat, and which positions they fit."
            }
            Self::Chocks => "Chocks by the number cast or painted on them.",
            Self::BearingTypes => {
                "Bearings that are alike: sizes, clearances, limits, intervals. Every verdict rests on them."
            }
            Self::Bearings => "Bearing sets by their serial.",
            Self::Gauges => "Gauges with their uncertainty and the day of the next calibration.",
            Self::SealBatches => "Seals delivered together, so that a bad batch is found.",
            Self::Greases => "Greases by their code.",
            Self::People => "Who works with the logbook, and what each may sign.",
            Self::Logbook => "How numbers are shown, and where the file is.",
            Self::Care => "Copies of the logbook kept elsewhere, and whether its record holds.",
        }
    }

    /// The page of a word in the file.
    pub fn of_entity(entity: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|page| page.entity() == Some(entity))
    }
}

impl Page {
    /// The group of pages that the route names.
    pub const fn group(self) -> SetupPage {
        match self {
            Self::Lines | Self::Stands | Self::Positions => SetupPage::Stands,
            Self::Rolls => SetupPage::Rolls,
            Self::ChockTypes | Self::Chocks => SetupPage::ChockTypes,
            Self::BearingTypes | Self::Bearings => SetupPage::BearingTypes,
            Self::Gauges => SetupPage::Gauges,
            Self::SealBatches | Self::Greases => SetupPage::Supplies,
            Self::People => SetupPage::People,
            Self::Logbook => SetupPage::Show,
            Self::Care => SetupPage::Care,
        }
    }
}

impl From<SetupPage> for Page {
    /// The route names groups of pages; this is the first of each.
    fn from(page: SetupPage) -> Self {
        match page {
            SetupPage::Show => Self::Logbook,
            SetupPage::Care => Self::Care,
            SetupPage::People => Self::People,
            SetupPage::Stands => Self::Stands,
            SetupPage::Rolls => Self::Rolls,
            SetupPage::ChockTypes => Self::ChockTypes,
            SetupPage::BearingTypes => Self::BearingTypes,
            SetupPage::Gauges => Self::Gauges,
            SetupPage::Supplies => Self::Greases,
        }
    }
}
