//! What is asked for a document, under the names of the command line and of the page Documents.

/// What is asked for a document: a text, or a yes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Key {
    /// Serial of a bearing.
    Bearing,
    /// Mark of a chock.
    Chock,
    /// Mark of a gauge.
    Gauge,
    /// Name of a stand.
    Stand,
    /// Designation of a bearing type.
    Type,
    /// Record of a sheet, `ORIGIN:SEQ`.
    Event,
    /// Day of a sheet.
    Date,
    /// Begin of a period.
    From,
    /// End of a period.
    Until,
    /// From when on something is new.
    Since,
    /// Sort of things.
    Kind,
    /// Marks of things, parted by commas.
    Of,
    /// Size of a label sheet.
    Page,
    /// Columns and rows of a label sheet.
    Grid,
    /// Size of a label.
    Label,
    /// Left and upper margin of a label sheet.
    Margin,
    /// Gaps between labels.
    Gap,
    /// Labels that are used already.
    Skip,
    /// What was paid is printed too.
    Costs,
    /// Raw readings are left out.
    NoReadings,
    /// Pictures are left out.
    NoPhotos,
    /// Mark of a thing on hold.
    Thing,
    /// The mounting sheet instead of the teardown sheet.
    Mounting,
    /// From the sheet that is not signed yet.
    Open,
}

impl Key {
    /// The option of the command line.
    pub const fn option(self) -> &'static str {
        match self {
            Self::Bearing => "--bearing",
            Self::Chock => "--chock",
            Self::Gauge => "--gauge",
            Self::Stand => "--stand",
            Self::Type => "--type",
            Self::Event => "--event",
            Self::Date => "--date",
            Self::From => "--from",
            Self::Until => "--until",
            Self::Since => "--since",
            Self::Kind => "--kind",
            Self::Of => "--of",
            Self::Page => "--page",
            Self::Grid => "--grid",
            Self::Label => "--label",
            Self::Margin => "--margin",
            Self::Gap => "--gap",
            Self::Skip => "--skip",
            Self::Costs => "--costs",
            Self::NoReadings => "--no-readings",
            Self::NoPhotos => "--no-photos",
            Self::Thing => "--thing",
            Self::Mounting => "--mounting",
            Self::Open => "--open",
        }
    }

    /// Its name on the page.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Bearing => "Bearing",
            Self::Chock => "Chock",
            Self::Gauge => "Gauge",
            Self::Stand => "Stand",
            Self::Type => "Bearing type",
            Self::Event => "Or its record",
            Self::Date => "Day of the sheet",
            Self::From => "From",
            Self::Until => "Until",
            Self::Since => "Since",
            Self::Kind => "All of a kind",
            Self::Of => "Or these marks",
            Self::Page => "Sheet, mm",
            Self::Grid => "Columns x rows",
            Self::Label => "Label, mm",
            Self::Margin => "Left x top, mm",
            Self::Gap => "Gaps, mm",
            Self::Skip => "Used already",
            Self::Costs => "What was paid too",
            Self::NoReadings => "Without raw readings",
            Self::NoPhotos => "Without pictures",
            Self::Thing => "Thing on hold",
            Self::Mounting => "The mounting sheet",
            Self::Open => "From the sheet still open",
        }
    }

    /// The sort of thing whose mark it is; none for another text.
    pub const fn entity(self) -> Option<&'static str> {
        match self {
            Self::Bearing => Some("bearing"),
            Self::Chock => Some("chock"),
            Self::Gauge => Some("gauge"),
            Self::Stand => Some("stand"),
            Self::Type => Some("bearing_type"),
            _ => None,
        }
    }

    /// True for a size of a label sheet, which is short.
    pub const fn is_short(self) -> bool {
        matches!(
            self,
            Self::Page | Self::Label | Self::Grid | Self::Skip | Self::Margin | Self::Gap
        )
    }

    /// True for a yes or no.
    pub const fn is_switch(self) -> bool {
        matches!(
            self,
            Self::Costs | Self::NoReadings | Self::NoPhotos | Self::Open | Self::Mounting
        )
    }
}

/// Sorts of things that have labels.
pub const KINDS: [&str; 8] = [
    "chock",
    "bearing",
    "gauge",
    "person",
    "roll",
    "position",
    "grease",
    "seal_batch",
];
