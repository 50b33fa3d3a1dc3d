//! What somebody wishes to have printed, as it was typed: on the command line or on the page Documents.

use store::query::{FoundThing, find_sheets, find_things, sheets_of_bearing};
use store::time::{DAY_MS, HOUR_MS, Precision};
use store::{Connection, Stamp, ThingNo};

use super::{Document, HistoryParts, LabelGrid, OrderOf, Sent, Wanted};

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

/// A shift, ms: what was entered before has been handed over.
const SHIFT_MS: i64 = 8 * HOUR_MS;

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
            Self::Open => "From the sheet that is not signed yet",
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

/// A wish: what was typed for each key.
pub struct Wish<'a> {
    /// Which document.
    pub what: What,
    /// What was typed; a switch that is on has any text.
    pub text: &'a dyn Fn(Key) -> Option<String>,
    /// How a key is called where it was typed: [`Key::option`] or [`Key::label`].
    pub name: fn(Key) -> &'static str,
}

/// What was wished, or what is wrong with it and what to do.
type Read<T> = Result<T, String>;

impl Wish<'_> {
    /// The document, with its thing looked up; `now` is the time of the print.
    ///
    /// # Errors
    /// A sentence for people: what is wrong, where, what to do.
    pub fn document(&self, conn: &Connection, now: Stamp) -> Read<Document> {
        let asked = Asked {
            wish: self,
            conn,
            things: find_things(conn).map_err(|e| e.to_string())?,
            now,
        };
        asked.document()
    }
}

/// A wish with the logbook that knows the things.
struct Asked<'a> {
    wish: &'a Wish<'a>,
    conn: &'a Connection,
    things: Vec<FoundThing>,
    now: Stamp,
}

impl Asked<'_> {
    fn document(&self) -> Read<Document> {
        Ok(match self.wish.what {
            What::History => {
                let (from_ms, until_ms) = (self.begin(Key::From)?, self.end(Key::Until)?);
                if let Some((from, until)) = from_ms.zip(until_ms) {
                    self.is_a_time(from, until)?;
                }
                Document::History {
                    bearing: self.thing(Key::Bearing)?,
                    parts: HistoryParts {
                        from_ms,
                        until_ms,
                        has_readings: self.text(Key::NoReadings).is_none(),
                        has_photos: self.text(Key::NoPhotos).is_none(),
                        has_costs: self.text(Key::Costs).is_some(),
                    },
                }
            }
            What::Sheet => Document::Sheet(self.sheet()?),
            What::Blank if self.text(Key::Mounting).is_some() => {
                Document::BlankMounting(self.thing(Key::Type)?)
            }
            What::Blank => Document::Blank(self.thing(Key::Type)?),
            What::Tag => Document::Tag(self.any_thing()?),
            What::Chock => Document::Chock(self.thing(Key::Chock)?),
            What::Gauge => Document::Gauge {
                gauge: self.thing(Key::Gauge)?,
                since_ms: self.begin(Key::Since)?,
            },
            What::Impact => Document::Impact(self.thing(Key::Gauge)?),
            What::Grind => Document::Grind(self.order()?),
            What::Packet => Document::Packet {
                sent: self.sent()?,
                until_ms: self.end(Key::Date)?,
            },
            What::Stand => {
                let from_ms = self
                    .begin(Key::From)?
                    .ok_or_else(|| self.missing(Key::From, "a day"))?;
                let until_ms = self.end(Key::Until)?.unwrap_or(self.now.ms + 1);
                self.is_a_time(from_ms, until_ms)?;
                Document::Stand {
                    stand: self.thing(Key::Stand)?,
                    from_ms,
                    until_ms,
                }
            }
            What::Handover => Document::Handover {
                since_ms: self.begin(Key::Since)?.unwrap_or(self.now.ms - SHIFT_MS),
            },
            What::Labels => Document::Labels {
                of: self.wanted()?,
                grid: self.grid()?,
            },
        })
    }

    fn text(&self, key: Key) -> Option<String> {
        (self.wish.text)(key)
            .map(|text| text.trim().to_owned())
            .filter(|text| !text.is_empty())
    }

    fn name(&self, key: Key) -> &'static str {
        (self.wish.name)(key)
    }

    fn missing(&self, key: Key, what: &str) -> String {
        format!("{}: {what} is missing", self.name(key))
    }

    /// The thing whose mark was typed.
    fn thing(&self, key: Key) -> Read<ThingNo> {
        let entity = key.entity().unwrap_or_default();
        let words = entity.replace('_', " ");
        let Some(code) = self.text(key) else {
            return Err(self.missing(key, &format!("which {words}")));
        };
        let mut all = self.things.iter().filter(|t| t.entity == entity);
        let count = all.clone().count();
        let found = all.find(|t| t.code.eq_ignore_ascii_case(&code));
        found.map(|t| t.no).ok_or_else(|| {
            format!("{words} {code:?} is not in the register ({count} {words}s): check the name")
        })
    }

    /// The thing of any sort whose mark was typed.
    fn any_thing(&self) -> Read<ThingNo> {
        let code = self
            .text(Key::Thing)
            .ok_or_else(|| self.missing(Key::Thing, "which thing"))?;
        let mut all = self.things.iter();
        let found = all.find(|t| t.code.eq_ignore_ascii_case(&code));
        found
            .map(|t| t.no)
            .ok_or_else(|| format!("{code:?} is not in the register: check the name"))
    }

    /// A time; a day alone stands for its noon.
    fn time(&self, key: Key) -> Read<Option<Stamp>> {
        let Some(text) = self.text(key) else {
            return Ok(None);
        };
        let read = Stamp::parse(&text, self.now.offset_min);
        read.map(Some).ok_or_else(|| {
            format!(
                "{} {text:?} is no time: write 2026-10-30 or 2026-10-30T14:02",
                self.name(key)
            )
        })
    }

    /// A time from which on; a day begins with its first moment.
    fn begin(&self, key: Key) -> Read<Option<i64>> {
        Ok(self.time(key)?.map(|at| at.ms - since_midnight(at)))
    }

    /// A time up to which; a day ends with its last moment.
    fn end(&self, key: Key) -> Read<Option<i64>> {
        Ok(self.time(key)?.map(|at| match at.precision {
            Precision::Day => at.ms - since_midnight(at) + DAY_MS,
            _ => at.ms,
        }))
    }

    /// Refuses a time that ends before it begins: nothing can have happened in it.
    fn is_a_time(&self, from_ms: i64, until_ms: i64) -> Read<()> {
        if from_ms < until_ms {
            return Ok(());
        }
        Err(format!(
            "{}: it begins after {} or after now: exchange them",
            self.name(Key::From),
            self.name(Key::Until)
        ))
    }

    /// A signed sheet, or the open one of the bearing.
    fn order(&self) -> Read<OrderOf> {
        if self.text(Key::Open).is_none() {
            return self.sheet().map(OrderOf::Signed);
        }
        let Some(serial) = self.text(Key::Bearing) else {
            return Err(self.missing(Key::Bearing, "which bearing"));
        };
        let open = store::draft::list(self.conn).map_err(|e| e.to_string())?;
        let found = open
            .iter()
            .rev()
            .find(|draft| draft.bearing.eq_ignore_ascii_case(&serial));
        found.map(|draft| OrderOf::Open(draft.id)).ok_or_else(|| {
            format!("no sheet of {serial} is open: begin one, or print from a signed one")
        })
    }

    /// Either a bearing or a chock.
    fn sent(&self) -> Read<Sent> {
        match (self.text(Key::Bearing), self.text(Key::Chock)) {
            (Some(_), None) => Ok(Sent::Bearing(self.thing(Key::Bearing)?)),
            (None, Some(_)) => Ok(Sent::Chock(self.thing(Key::Chock)?)),
            (None, None) => Err(self.missing(Key::Bearing, "which bearing or chock")),
            (Some(_), Some(_)) => Err(format!(
                "{} and {}: one of them, not both",
                self.name(Key::Bearing),
                self.name(Key::Chock)
            )),
        }
    }

    /// The sheet that is named by its record, or by its bearing and day.
    fn sheet(&self) -> Read<i64> {
        if let Some(record) = self.text(Key::Event) {
            let found = find_sheets(self.conn, &record).map_err(|e| e.to_string())?;
            return match found.as_slice() {
                [event] => Ok(*event),
                [] => Err(format!(
                    "no sheet has the record {record:?}: it stands on every print as ORIGIN:SEQ"
                )),
                many => Err(format!(
                    "{} sheets begin with {record:?}: write more digits of the origin",
                    many.len()
                )),
            };
        }
        if self.text(Key::Bearing).is_none() {
            return Err(self.missing(Key::Bearing, "which bearing, or the record of a sheet,"));
        }
        let bearing = self.thing(Key::Bearing)?;
        let sheets = sheets_of_bearing(self.conn, bearing, store::entry::Show::default())
            .map_err(|e| e.to_string())?;
        let day = self.time(Key::Date)?.map(Stamp::date);
        let of_day: Vec<_> = sheets
            .iter()
            .rev()
            .filter(|sheet| day.as_ref().is_none_or(|day| sheet.event.at.date() == *day))
            .collect();
        match (of_day.as_slice(), &day) {
            ([only], _) => Ok(only.event.no),
            ([newest, ..], None) => Ok(newest.event.no),
            ([], _) if sheets.is_empty() => Err("this bearing has no signed sheet yet".into()),
            ([], _) => {
                let days: Vec<String> = sheets.iter().map(|s| s.event.at.date()).collect();
                Err(format!(
                    "no sheet of that day: there is {}",
                    days.join(", ")
                ))
            }
            (several, Some(_)) => {
                let records: Vec<String> = several.iter().map(|s| s.event.id.to_string()).collect();
                Err(format!(
                    "several sheets of that day: name one by its record, {}",
                    records.join(" or ")
                ))
            }
        }
    }

    fn wanted(&self) -> Read<Wanted> {
        let marks = self.text(Key::Of).map(|marks| {
            let marks = marks
                .split([',', ';', '\n'])
                .map(|mark| mark.trim().to_owned());
            marks.filter(|mark| !mark.is_empty()).collect()
        });
        match (self.text(Key::Kind), marks) {
            (None, Some(marks)) => Ok(Wanted::Named(marks)),
            (Some(kind), None) => Ok(Wanted::All(kind)),
            (None, None) => Err(self.missing(Key::Kind, "of which things")),
            (Some(_), Some(_)) => Err(format!(
                "{} and {}: one of them, not both",
                self.name(Key::Kind),
                self.name(Key::Of)
            )),
        }
    }

    fn grid(&self) -> Read<LabelGrid> {
        let mut grid = LabelGrid::default();
        if let Some((width, height)) = self.sizes(Key::Page)? {
            (grid.page_width_um, grid.page_height_um) = (width, height);
        }
        if let Some((left, top)) = self.sizes(Key::Margin)? {
            (grid.margin_left_um, grid.margin_top_um) = (left, top);
        }
        if let Some((across, down)) = self.sizes(Key::Gap)? {
            (grid.gap_across_um, grid.gap_down_um) = (across, down);
        }
        if let Some((columns, rows)) =
            self.pair(Key::Grid, "whole numbers, such as 3x8", |part| {
                part.parse().ok()
            })?
        {
            (grid.columns, grid.rows) = (columns, rows);
        }
        let others = [Key::Page, Key::Margin, Key::Gap, Key::Grid];
        match self.sizes(Key::Label)? {
            Some((width, height)) => (grid.label_width_um, grid.label_height_um) = (width, height),
            // Another sheet has labels of another size: what it leaves.
            None if others.into_iter().any(|key| self.text(key).is_some()) => {
                (grid.label_width_um, grid.label_height_um) = (0, 0);
            }
            None => {}
        }
        if let Some(text) = self.text(Key::Skip) {
            let name = self.name(Key::Skip);
            grid.skipped = text
                .parse()
                .map_err(|_| format!("{name} {text:?} is no whole number"))?;
        }
        Ok(grid)
    }

    /// Two lengths in mm as thousandths of a mm.
    fn sizes(&self, key: Key) -> Read<Option<(u32, u32)>> {
        self.pair(key, "numbers in mm, such as 70x37 or 63.5x38.1", |part| {
            u32::try_from(store::entry::scaled(part, 1_000).ok()?).ok()
        })
    }

    /// Two numbers with an x between them.
    fn pair(
        &self,
        key: Key,
        want: &str,
        number: impl Fn(&str) -> Option<u32>,
    ) -> Read<Option<(u32, u32)>> {
        let Some(text) = self.text(key) else {
            return Ok(None);
        };
        let read = text
            .split_once(['x', 'X', '\u{d7}'])
            .and_then(|(one, other)| Some((number(one.trim())?, number(other.trim())?)));
        read.map(Some)
            .ok_or_else(|| format!("{} {text:?}: two {want}", self.name(key)))
    }
}

/// How long after the first moment of its day a time is that stands for a whole day, ms.
fn since_midnight(at: Stamp) -> i64 {
    match at.precision {
        Precision::Day => DAY_MS / 2,
        _ => 0,
    }
}
