//! What somebody wishes to have printed, as it was typed: on the command line or on the page Documents.

use store::query::{FoundThing, find_sheets, find_things, sheets_of_bearing};
use store::time::{DAY_MS, HOUR_MS, Precision};
use store::{Connection, Stamp, ThingNo};

mod key;
mod what;

pub use key::{KINDS, Key};
pub use what::What;

use super::{Document, HistoryParts, LabelGrid, OrderOf, Sent, Wanted};

/// A shift, ms: what was entered before has been handed over.
const SHIFT_MS: i64 = 8 * HOUR_MS;

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
