//! The sorts of documents, and what is asked for each.

use super::Key;

/// The sorts of documents.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum What {
    /// The history of a bearing.
    #[default]
    History,
    /// One signed sheet.
    Sheet,
    /// A sheet to be filled by hand.
    Blank,
    /// The history of a chock.
    Chock,
    /// The calibrations and uses of a gauge.
    Gauge,
    /// What a gauge that was found out has touched.
    Impact,
    /// The order to grind the spacers of a bearing.
    Grind,
    /// What goes with a chock or a bearing to a repair shop.
    Packet,
    /// A stand in a period.
    Stand,
    /// What the next shift has to know.
    Handover,
    /// Labels with codes.
    Labels,
    /// The tag of a thing on hold.
    Tag,
}

impl What {
    /// In the order of the page.
    pub const ALL: [Self; 12] = [
        Self::History,
        Self::Sheet,
        Self::Blank,
        Self::Chock,
        Self::Gauge,
        Self::Impact,
        Self::Grind,
        Self::Packet,
        Self::Stand,
        Self::Handover,
        Self::Labels,
        Self::Tag,
    ];

    /// The word of the command line.
    pub fn word(self) -> &'static str {
        match self {
            Self::History => "history",
            Self::Sheet => "sheet",
            Self::Blank => "blank",
            Self::Chock => "chock",
            Self::Gauge => "gauge",
            Self::Impact => "impact",
            Self::Grind => "grind",
            Self::Packet => "packet",
            Self::Stand => "stand",
            Self::Handover => "handover",
            Self::Labels => "labels",
            Self::Tag => "tag",
        }
    }

    /// Its name on the page.
    pub fn title(self) -> &'static str {
        match self {
            Self::History => "Bearing history",
            Self::Sheet => "Signed sheet",
            Self::Blank => "Blank sheet",
            Self::Chock => "Chock history",
            Self::Gauge => "Gauge",
            Self::Impact => "Gauge impact note",
            Self::Grind => "Spacer grind order",
            Self::Packet => "Repair packet",
            Self::Stand => "Stand review",
            Self::Handover => "Hand-over",
            Self::Labels => "Labels",
            Self::Tag => "Hold tag",
        }
    }

    /// What it is for, in a sentence.
    pub fn about(self) -> &'static str {
        match self {
            Self::History => {
                "All that happened to one bearing, with every reading, gauge, limit and signature."
            }
            Self::Sheet => "One teardown or mounting sheet as it was signed.",
            Self::Blank => {
                "The teardown or the mounting sheet to be filled by hand while the PC is down, in the order of the screen."
            }
            Self::Chock => {
                "The bearings that were in a chock, its bore over time, and what happened to it."
            }
            Self::Gauge => "Calibrations of a gauge, and every reading that was taken with it.",
            Self::Grind => {
                "Which spacer is ground to which width, with the stack, from a signed or a begun sheet."
            }
            Self::Packet => {
                "What goes with a chock or a bearing to a repair shop: findings, tables, pictures, what is asked for."
            }
            Self::Impact => {
                "What a gauge that was found out has touched: as recorded and fully corrected, and which verdicts change."
            }
            Self::Stand => {
                "What ran at a stand in a period, what was torn down and found, and how clearances grew."
            }
            Self::Handover => {
                "What is late, begun, held or coming, and what was entered since the last shift."
            }
            Self::Labels => "Labels with a code to scan, for any office label sheet.",
            Self::Tag => "A tag for a thing on hold: why, by whom, since when, what to do.",
        }
    }

    /// What is asked for, in order; true for what it cannot do without.
    pub fn asks(self) -> &'static [(Key, bool)] {
        match self {
            Self::History => &[
                (Key::Bearing, true),
                (Key::From, false),
                (Key::Until, false),
                (Key::NoReadings, false),
                (Key::NoPhotos, false),
                (Key::Costs, false),
            ],
            Self::Sheet => &[
                (Key::Bearing, false),
                (Key::Date, false),
                (Key::Event, false),
            ],
            Self::Blank => &[(Key::Type, true), (Key::Mounting, false)],
            Self::Tag => &[(Key::Thing, true)],
            Self::Chock => &[(Key::Chock, true)],
            Self::Gauge => &[(Key::Gauge, true), (Key::Since, false)],
            Self::Impact => &[(Key::Gauge, true)],
            Self::Grind => &[
                (Key::Bearing, false),
                (Key::Date, false),
                (Key::Event, false),
                (Key::Open, false),
            ],
            Self::Packet => &[
                (Key::Bearing, false),
                (Key::Chock, false),
                (Key::Date, false),
            ],
            Self::Stand => &[(Key::Stand, true), (Key::From, true), (Key::Until, false)],
            Self::Handover => &[(Key::Since, false)],
            Self::Labels => &[
                (Key::Kind, false),
                (Key::Of, false),
                (Key::Page, false),
                (Key::Label, false),
                (Key::Grid, false),
                (Key::Skip, false),
                (Key::Margin, false),
                (Key::Gap, false),
            ],
        }
    }
}
