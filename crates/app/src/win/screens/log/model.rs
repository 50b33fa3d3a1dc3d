//! What the log shows: open drafts, and the events that a filter and a search leave.

use store::Logbook;
use store::draft::{self, DraftLine};
use store::query::{Campaigns, JournalFilter, JournalLine, journal};

use crate::win::snapshot::Settings;

/// At most so many campaigns are read: there are tens of thousands a year.
pub const CAMPAIGNS_MAX: i64 = 5_000;

/// How many lines are read at first, so that something stands on the page at once.
const FIRST: i64 = 200;

/// How much of the log to read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Extent {
    /// The newest few.
    #[default]
    First,
    /// All but campaigns.
    All,
    /// Campaigns alone.
    Campaigns,
}

/// Which events to show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sort {
    /// All but campaigns.
    #[default]
    All,
    /// Sheets.
    Teardowns,
    /// Things that came, went, or changed places.
    Moves,
    /// Things registered or changed, gauges calibrated.
    Register,
    /// Rolls that ran with their chocks.
    Campaigns,
}

impl Sort {
    /// In the order of the page.
    pub const ALL: [Self; 5] = [
        Self::All,
        Self::Teardowns,
        Self::Moves,
        Self::Register,
        Self::Campaigns,
    ];

    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::All => "All",
            Self::Teardowns => "Teardowns",
            Self::Moves => "Moves",
            Self::Register => "Register",
            Self::Campaigns => "Campaigns",
        }
    }

    /// Whether it takes events of this kind.
    pub fn takes(self, kind: &str) -> bool {
        match self {
            Self::All => kind != "campaign",
            Self::Teardowns => kind == "teardown_sheet",
            Self::Moves => matches!(
                kind,
                "received"
                    | "assembled"
                    | "taken_out"
                    | "mounted"
                    | "dismounted"
                    | "sent_out"
                    | "returned"
                    | "scrapped"
            ),
            Self::Register => matches!(
                kind,
                "register_change" | "gauge_calibrated" | "logbook_started"
            ),
            Self::Campaigns => kind == "campaign",
        }
    }
}

/// The log as read.
#[derive(Debug, Clone, Default)]
pub struct LogModel {
    /// Sheets that are not signed.
    pub drafts: Vec<DraftLine>,
    /// Events, newest first.
    pub events: Vec<JournalLine>,
    /// What is searched, in small letters, an entry for each event.
    haystack: Vec<String>,
    /// True where older events were left out.
    pub is_cut: bool,
}

impl LogModel {
    /// Prepares the search.
    pub fn new(drafts: Vec<DraftLine>, events: Vec<JournalLine>) -> Self {
        let haystack = events
            .iter()
            .map(|e| format!("{} {} {}", e.text(), e.id, e.conflict).to_lowercase());
        Self {
            drafts,
            haystack: haystack.collect(),
            events,
            is_cut: false,
        }
    }

    /// Reads it.
    ///
    /// # Errors
    /// What the store says.
    pub fn read(logbook: &Logbook, extent: Extent) -> store::Result<Self> {
        let conn = logbook.connection();
        let limit = match extent {
            Extent::First => FIRST,
            Extent::All => 0,
            Extent::Campaigns => CAMPAIGNS_MAX,
        };
        let filter = JournalFilter {
            campaigns: match extent {
                Extent::Campaigns => Campaigns::Only,
                Extent::First | Extent::All => Campaigns::Without,
            },
            with_register: true,
            limit,
            ..JournalFilter::default()
        };
        let events = journal(conn, &filter, Settings::read(logbook)?.show)?;
        let is_cut = limit > 0 && events.len() as i64 == limit;
        Ok(Self {
            is_cut,
            ..Self::new(draft::list(conn)?, events)
        })
    }

    /// The events to show, by index: those of a sort that contain every word of `search`.
    pub fn shown(&self, sort: Sort, search: &str) -> Vec<usize> {
        let search = search.to_lowercase();
        let words: Vec<&str> = search.split_whitespace().collect();
        let fits = |index: &usize| {
            let text = &self.haystack[*index];
            sort.takes(&self.events[*index].kind) && words.iter().all(|word| text.contains(word))
        };
        (0..self.events.len()).filter(fits).collect()
    }
}
