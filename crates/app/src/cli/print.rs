//! `chockbook print`: a document as a PDF.

use std::path::Path;

use store::query::{FoundThing, find_sheets, find_things, sheets_of_bearing};
use store::time::{DAY_MS, HOUR_MS};
use store::{Logbook, Stamp, ThingNo};

use super::args::{Args, Opt, Shape};
use super::{Ending, Stop, Verb, World};
use crate::print::{Document, HistoryParts, LabelGrid, PrintJob, Wanted, write_whole};
use crate::win::snapshot::Settings;

pub(super) const VERB: Verb = Verb {
    name: "print",
    shape: Shape {
        names: &["FILE", "WHAT"],
        options: &[
            Opt::needed("--to", "OUT.pdf"),
            Opt::may("--at", "TIME"),
            Opt::may("--for", "WHOM"),
            Opt::may("--bearing", "SERIAL"),
            Opt::may("--chock", "MARK"),
            Opt::may("--gauge", "MARK"),
            Opt::may("--stand", "NAME"),
            Opt::may("--type", "DESIGNATION"),
            Opt::may("--event", "ORIGIN:SEQ"),
            Opt::may("--date", "DAY"),
            Opt::may("--from", "DAY"),
            Opt::may("--until", "DAY"),
            Opt::may("--since", "TIME"),
            Opt::may("--kind", "KIND"),
            Opt::may("--of", "MARK,MARK"),
            Opt::may("--page", "WxH"),
            Opt::may("--grid", "COLUMNSxROWS"),
            Opt::may("--label", "WxH"),
            Opt::may("--margin", "LEFTxTOP"),
            Opt::may("--gap", "ACROSSxDOWN"),
            Opt::may("--skip", "COUNT"),
        ],
        switches: &["--costs", "--no-readings"],
    },
    about: "print a document as PDF/A: history, sheet, blank, chock, gauge, stand, handover, labels",
    details: "
history   --bearing SERIAL [--from DAY] [--until DAY] [--no-readings] [--costs]
          all that happened to a bearing, with every reading; --costs: what was paid too
sheet     --event ORIGIN:SEQ, or --bearing SERIAL [--date DAY]
          one sheet as it was signed; by its bearing the newest, or that of the day
blank     --type DESIGNATION
          the teardown sheet to be filled by hand, in the order of the screen
chock     --chock MARK
          the history of a chock: bearings in it, its bore over time, what happened
gauge     --gauge MARK [--since TIME]
          its calibrations, and every reading taken with it since the newest or since TIME
stand     --stand NAME --from DAY [--until DAY]
          what ran, was torn down and found in a period, and how clearances grew; without --until up to now
handover  [--since TIME]
          what is late, begun, held or coming, and what was entered since TIME; without it in the last 8 hours
labels    --kind KIND, or --of MARK,MARK
          labels with a code to scan; KIND is chock, bearing, gauge, person, roll, position, grease or seal_batch
          --page 210x297 --grid 3x8 --label 70x37 --margin 0x0.5 --gap 0x0 --skip 0
          sizes in mm, these where nothing is said; --grid without --label fills the sheet; --skip passes over used ones

--to OUT.pdf        written whole or not at all
--at TIME           the time that the print carries, 2026-10-30T14:02; without it the logbook's clock
--for WHOM          for whom it is printed, told at the top of each page
DAY is 2026-10-30, TIME that or 2026-10-30T14:02; marks in capitals or not.
",
    run,
};

/// A shift, ms: what was entered before has been handed over.
const SHIFT_MS: i64 = 8 * HOUR_MS;

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    const ALL: [&str; 8] = [
        "history", "sheet", "blank", "chock", "gauge", "stand", "handover", "labels",
    ];
    let what = args.name(1);
    if !ALL.contains(&what) {
        return Err(Stop::Failed(format!(
            "{what:?} cannot be printed; there is {}",
            ALL.join(", ")
        )));
    }
    let logbook = world.open(args.name(0))?;
    let now = time(args, "--at", logbook.now())?.unwrap_or(logbook.now());
    let asked = Asked {
        args,
        logbook: &logbook,
        things: find_things(logbook.connection())?,
        now,
    };
    let document = asked.document(what)?;
    let job = PrintJob {
        now,
        for_whom: args.option("--for").unwrap_or_default().to_owned(),
        show: Settings::read(&logbook)?.show,
        program: crate::hands::program(),
        is_demo: logbook.is_demo(),
        anchor: logbook.anchor()?.unwrap_or_default(),
    };
    let to = Path::new(args.needed("--to"));
    let pdf = document
        .pdf(logbook.connection(), &job)
        .map_err(|e| Stop::because(e.to_string()))?;
    write_whole(to, &pdf).map_err(|e| Stop::because(e.to_string()))?;
    let anchor = match document {
        Document::Blank(_) | Document::Labels { .. } => String::new(),
        _ => format!(", anchor {}", job.anchor),
    };
    writeln!(
        world.out,
        "{} written, {} bytes{anchor}",
        to.display(),
        pdf.len()
    )?;
    Ok(Ending::Done)
}

/// The time of an option; a day alone stands for its noon.
fn time(args: &Args, option: &str, now: Stamp) -> Result<Option<Stamp>, Stop> {
    let Some(text) = args.option(option) else {
        return Ok(None);
    };
    let read = Stamp::parse(text, now.offset_min);
    read.map(Some).ok_or_else(|| {
        Stop::Failed(format!(
            "{option} {text:?} is no time: write 2026-10-30 or 2026-10-30T14:02"
        ))
    })
}

/// What was asked for, and the logbook that knows the things.
struct Asked<'a> {
    args: &'a Args,
    logbook: &'a Logbook,
    things: Vec<FoundThing>,
    now: Stamp,
}

impl Asked<'_> {
    fn document(&self, what: &str) -> Result<Document, Stop> {
        Ok(match what {
            "sheet" => Document::Sheet(self.sheet()?),
            "blank" => Document::Blank(self.thing("--type", "bearing_type")?),
            "chock" => Document::Chock(self.thing("--chock", "chock")?),
            "gauge" => Document::Gauge {
                gauge: self.thing("--gauge", "gauge")?,
                since_ms: self.begin("--since")?,
            },
            "stand" => Document::Stand {
                stand: self.thing("--stand", "stand")?,
                from_ms: self.begin("--from")?.ok_or_else(|| missing("--from DAY"))?,
                until_ms: self.end("--until")?.unwrap_or(self.now.ms + 1),
            },
            "handover" => Document::Handover {
                since_ms: self.begin("--since")?.unwrap_or(self.now.ms - SHIFT_MS),
            },
            "labels" => Document::Labels {
                of: self.wanted()?,
                grid: self.grid()?,
            },
            _ => Document::History {
                bearing: self.thing("--bearing", "bearing")?,
                parts: HistoryParts {
                    from_ms: self.begin("--from")?,
                    until_ms: self.end("--until")?,
                    has_readings: !self.args.has("--no-readings"),
                    has_costs: self.args.has("--costs"),
                },
            },
        })
    }

    /// The thing that an option names.
    fn thing(&self, option: &str, entity: &str) -> Result<ThingNo, Stop> {
        let words = entity.replace('_', " ");
        let Some(code) = self.args.option(option) else {
            return Err(missing(&format!("{option}, which {words}")));
        };
        let mut all = self.things.iter().filter(|t| t.entity == entity);
        let count = all.clone().count();
        let found = all.find(|t| t.code.eq_ignore_ascii_case(code));
        found.map(|t| t.no).ok_or_else(|| {
            Stop::Failed(format!(
                "{words} {code:?} is not in the register of {} ({count} {words}s): check the name",
                self.args.name(0)
            ))
        })
    }

    /// A time from which on; a day begins with its first moment.
    fn begin(&self, option: &str) -> Result<Option<i64>, Stop> {
        Ok(time(self.args, option, self.now)?.map(|at| at.ms - first_of_day(at)))
    }

    /// A time up to which; a day ends with its last moment.
    fn end(&self, option: &str) -> Result<Option<i64>, Stop> {
        Ok(
            time(self.args, option, self.now)?.map(|at| match at.precision {
                store::time::Precision::Day => at.ms - first_of_day(at) + DAY_MS,
                _ => at.ms,
            }),
        )
    }

    /// The sheet that is named by its record, or by its bearing and day.
    fn sheet(&self) -> Result<i64, Stop> {
        let conn = self.logbook.connection();
        if let Some(record) = self.args.option("--event") {
            return match find_sheets(conn, record)?.as_slice() {
                [event] => Ok(*event),
                [] => Err(Stop::Failed(format!(
                    "no sheet has the record {record:?}: it stands on every print as ORIGIN:SEQ"
                ))),
                many => Err(Stop::Failed(format!(
                    "{} sheets begin with {record:?}: write more digits of the origin",
                    many.len()
                ))),
            };
        }
        if self.args.option("--bearing").is_none() {
            return Err(missing("--event ORIGIN:SEQ or --bearing SERIAL"));
        }
        let bearing = self.thing("--bearing", "bearing")?;
        let sheets = sheets_of_bearing(conn, bearing, store::entry::Show::default())?;
        let day = time(self.args, "--date", self.now)?.map(Stamp::date);
        let mut of_day = sheets
            .iter()
            .rev()
            .filter(|sheet| day.as_ref().is_none_or(|day| sheet.event.at.date() == *day));
        let found = of_day.next().ok_or_else(|| {
            let days: Vec<String> = sheets.iter().map(|s| s.event.at.date()).collect();
            Stop::Failed(if days.is_empty() {
                "this bearing has no signed sheet yet".to_owned()
            } else {
                format!("no sheet of that day: there is {}", days.join(", "))
            })
        })?;
        match of_day.next().filter(|_| day.is_some()) {
            None => Ok(found.event.no),
            Some(other) => Err(Stop::Failed(format!(
                "several sheets of that day: name one by --event {} or {}",
                other.event.id, found.event.id
            ))),
        }
    }

    fn wanted(&self) -> Result<Wanted, Stop> {
        match (self.args.option("--kind"), self.args.option("--of")) {
            (Some(kind), None) => Ok(Wanted::All(kind.to_owned())),
            (None, Some(marks)) => Ok(Wanted::Named(
                marks
                    .split(',')
                    .map(|mark| mark.trim().to_owned())
                    .filter(|mark| !mark.is_empty())
                    .collect(),
            )),
            (None, None) => Err(missing("--kind KIND or --of MARK,MARK")),
            (Some(_), Some(_)) => Err(Stop::because("--kind and --of: one of them, not both")),
        }
    }

    fn grid(&self) -> Result<LabelGrid, Stop> {
        let mut grid = LabelGrid::default();
        let sizes = |option: &str| self.pair(option, 1_000, "mm, such as 70x37 or 63.5x38.1");
        if let Some((width, height)) = sizes("--page")? {
            (grid.page_width_um, grid.page_height_um) = (width, height);
        }
        if let Some((left, top)) = sizes("--margin")? {
            (grid.margin_left_um, grid.margin_top_um) = (left, top);
        }
        if let Some((across, down)) = sizes("--gap")? {
            (grid.gap_across_um, grid.gap_down_um) = (across, down);
        }
        if let Some((columns, rows)) = self.pair("--grid", 1, "whole numbers, such as 3x8")? {
            (grid.columns, grid.rows) = (columns, rows);
        }
        let is_other = ["--page", "--margin", "--gap", "--grid"];
        match sizes("--label")? {
            Some((width, height)) => (grid.label_width_um, grid.label_height_um) = (width, height),
            // Another sheet has labels of another size: what it leaves.
            None if is_other.iter().any(|o| self.args.option(o).is_some()) => {
                (grid.label_width_um, grid.label_height_um) = (0, 0);
            }
            None => {}
        }
        if let Some(text) = self.args.option("--skip") {
            grid.skipped = text
                .parse()
                .map_err(|_| Stop::Failed(format!("--skip {text:?} is no whole number")))?;
        }
        Ok(grid)
    }

    /// Two numbers with an x between them, in so many parts of one.
    fn pair(&self, option: &str, per_one: i64, want: &str) -> Result<Option<(u32, u32)>, Stop> {
        let Some(text) = self.args.option(option) else {
            return Ok(None);
        };
        let number = |part: &str| {
            if per_one == 1 {
                return part.trim().parse().ok();
            }
            let scaled = store::entry::scaled(part.trim(), per_one).ok()?;
            u32::try_from(scaled).ok()
        };
        let read = text
            .split_once(['x', 'X', '\u{d7}'])
            .and_then(|(one, other)| Some((number(one)?, number(other)?)));
        read.map(Some)
            .ok_or_else(|| Stop::Failed(format!("{option} {text:?}: two {want}")))
    }
}

/// How long after the first moment of its day a time is that stands for a whole day, ms.
fn first_of_day(at: Stamp) -> i64 {
    match at.precision {
        store::time::Precision::Day => DAY_MS / 2,
        _ => 0,
    }
}

fn missing(what: &str) -> Stop {
    Stop::Failed(format!("{what} is missing; see `chockbook help print`"))
}
