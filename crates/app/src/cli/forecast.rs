//! `chockbook forecast`: when each row pair reaches its limit, and what is out of the ordinary.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

use calc::CalcError;
use calc::wear::{
    self, Acceleration, BearingType, Contrast, Event, Gauge, Pool, Reading, Review, RowForecast,
    Settings, Target, Why,
};

use super::args::{Args, Opt, Shape};
use super::table::{Row, Table, cell};
use super::{Ending, Stop, Verb, World};
use crate::hands::write_whole;

pub(super) const VERB: Verb = Verb {
    name: "forecast",
    shape: Shape {
        names: &["[FILE]"],
        options: &[
            Opt::needed("--to", "DIR"),
            Opt::may("--as-of", "DATE..."),
            Opt::may("--table", "LOGBOOK.csv"),
            Opt::may("--types", "TYPES.csv"),
            Opt::may("--snapshots", "SNAPSHOTS.csv"),
        ],
        switches: &[],
    },
    about: "forecast when each row pair reaches its limit, from a logbook or from plain tables",
    details: "
FILE                        a logbook; each --as-of DATE (today where none is given) is a snapshot of that name and uses
                            only what happened up to that day
or, without FILE, all three of:
--table LOGBOOK.csv         row_id,bearing,type,stand,date,hours,row_pair,clearance_um,event (set, inspect, regrind)
--types TYPES.csv           type,nominal_set_um,tol_um,limit_factor,limit_abs_um,gauge_U_k2_um,step_um; row_pairs where known
--snapshots SNAPSHOTS.csv   snapshot,date,horizon_hours; each uses only the lines up to its date
                            (a line of the logbook without clearance_um was not measured: a setting or regrind
                            begins anew there all the same, and its hours count in its stand)
--to DIR                    forecasts.csv and alarms.csv are written there, each whole or not at all

forecasts.csv: counter hours at which the limit is reached with 5, 50 and 95 in 100; empty = not within 30,000 h.
alarms.csv: accel (wears faster than before), stand (wears faster there), entry (an improbable reading, left out of the
fit), limit (more than 1 in 6 to pass the limit within horizon_hours).
",
    run,
};

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    let is_table = ["--table", "--types", "--snapshots"].map(|name| args.option(name).is_some());
    if !args.name(0).is_empty() {
        if is_table.contains(&true) {
            return Err(Stop::because("name a logbook, or tables, not both"));
        }
        return of_logbook(args, world);
    }
    if is_table.contains(&false) {
        return Err(Stop::because(
            "name a logbook, or all of --table, --types and --snapshots",
        ));
    }
    of_tables(args, world)
}

/// Snapshots of a logbook, each named by its date.
fn of_logbook(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    let logbook = world.open(args.name(0))?;
    let today = logbook.now().date();
    let mut dates = args.many("--as-of");
    if dates.is_empty() {
        dates.push(&today);
    }
    let mut out = Written::new();
    for (done, date) in (0_i64..).zip(&dates) {
        world.progress("forecast", done, dates.len() as i64);
        let day = chrono::NaiveDate::parse_from_str(date, "%Y-%m-%d").map_err(|_| {
            Stop::because(format!("--as-of {date}: write a day such as 2026-10-30"))
        })?;
        let days = day
            .signed_duration_since(chrono::NaiveDate::default())
            .num_days() as i32;
        let words = |(serial, pair, event): (&str, u32, i64)| {
            [serial.to_owned(), pair.to_string(), event.to_string()]
        };
        match store::query::shop_wear(logbook.connection(), Some(days))? {
            Ok(wear) => {
                write_forecasts(&mut out.forecasts, date, &wear.review);
                let source = |reading: usize| wear.source(reading).map(words);
                let is_limit =
                    |row: &RowForecast| wear.chance(row) > Settings::default().alarm_chance;
                write_alarms(&mut out.alarms, date, &wear.review, &is_limit, &source);
            }
            Err(none) => {
                let refused: Vec<[String; 3]> = none.refused().map(words).collect();
                out.refused(date, none.why, &refused);
            }
        }
    }
    out.write(args, world)
}

/// What is written in the end.
struct Written {
    forecasts: String,
    alarms: String,
    /// Snapshots without a forecast, and why.
    empty: Vec<String>,
}

impl Written {
    fn new() -> Self {
        Self {
            forecasts: "snapshot,bearing,row_pair,p5,p50,p95\n".to_owned(),
            alarms: "snapshot,kind,bearing,row_pair,stand,row_id\n".to_owned(),
            empty: Vec::new(),
        }
    }

    /// A snapshot of which nothing can be forecast; what was refused is named all the same.
    fn refused(&mut self, snapshot: &str, why: Why, refused: &[[String; 3]]) {
        for found in refused {
            write_entry(&mut self.alarms, snapshot, found);
        }
        let why = match (why, refused.is_empty()) {
            (Why::NotFitted, _) => "the wear could not be worked out",
            (Why::AllRefused, _) => "every growth measured up to its date was refused",
            (Why::NothingGrown, true) => "no bearing has a measured growth up to its date",
            (Why::NothingGrown, false) => {
                "no bearing has a measured growth up to its date on a counter that runs forwards"
            }
        };
        let named = match refused.len() {
            0 => String::new(),
            count => format!(
                " (alarms.csv names {} under entry)",
                crate::print::counted(count, "reading")
            ),
        };
        self.empty.push(format!("{snapshot}: {why}{named}"));
    }

    fn write(self, args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
        world.progress_done();
        let folder = Path::new(args.needed("--to"));
        let failed = |path: &Path, error: std::io::Error| {
            Stop::because(format!("{}: cannot be written: {error}", path.display()))
        };
        if folder.is_file() {
            return Err(Stop::because(format!(
                "--to {}: is a file: name a folder",
                folder.display()
            )));
        }
        std::fs::create_dir_all(folder).map_err(|error| failed(folder, error))?;
        for (name, text) in [
            ("forecasts.csv", &self.forecasts),
            ("alarms.csv", &self.alarms),
        ] {
            let path = folder.join(name);
            write_whole(&path, text).map_err(|error| failed(&path, error))?;
            writeln!(
                world.out,
                "{} written, {} lines",
                path.display(),
                text.lines().count() - 1
            )?;
        }
        for said in self.empty {
            writeln!(world.err, "snapshot {said}, so there is no forecast")?;
        }
        Ok(Ending::Done)
    }
}

fn of_tables(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
    let types = Table::read(
        args.needed("--types"),
        &[
            "type",
            "nominal_set_um",
            "tol_um",
            "limit_factor",
            "limit_abs_um",
            "gauge_U_k2_um",
            "step_um",
        ],
    )?;
    let logbook = Table::read(
        args.needed("--table"),
        &[
            "row_id",
            "bearing",
            "type",
            "stand",
            "date",
            "hours",
            "row_pair",
            "clearance_um",
            "event",
        ],
    )?;
    let snapshots = Table::read(
        args.needed("--snapshots"),
        &["snapshot", "date", "horizon_hours"],
    )?;
    types.not_empty("bearing type")?;
    snapshots.not_empty("snapshot")?;
    // Alarms name a reading by its row, forecasts a date by its snapshot.
    logbook.each_its_own("row_id")?;
    snapshots.each_its_own("snapshot")?;
    let kinds = types
        .rows()
        .map(|row| bearing_type(&row))
        .collect::<Result<Vec<_>, Stop>>()?;
    // A line without a clearance was not measured; without a counter, too, a teardown says nothing.
    let says_nothing = |row: &Row<'_>| {
        let is_empty = |column| row.text(column).is_empty();
        is_empty("clearance_um") && is_empty("hours") && row.text("event") == "inspect"
    };
    let lines: Vec<Row<'_>> = logbook.rows().filter(|row| !says_nothing(row)).collect();
    let mut pairs = BTreeMap::new();
    for row in types.rows() {
        pairs.insert(row.text("type"), row_pairs(&row)?);
    }
    let readings = lines
        .iter()
        .map(|row| reading(row, pairs.get(row.text("type")).copied()))
        .collect::<Result<Vec<_>, Stop>>()?;
    let pool = Pool::new(kinds, readings).map_err(|error| in_table(&error, &types, &lines))?;
    let dates = snapshots
        .rows()
        .map(|row| snapshot(&row))
        .collect::<Result<Vec<_>, Stop>>()?;

    let mut out = Written::new();
    for (done, (name, settings)) in (0_i64..).zip(&dates) {
        world.progress("forecast", done, dates.len() as i64);
        let source = |reading: usize| {
            let row = lines.get(reading)?;
            Some(["bearing", "row_pair", "row_id"].map(|column| row.text(column).to_owned()))
        };
        match wear::review(&pool, settings) {
            Ok(review) => {
                write_forecasts(&mut out.forecasts, name, &review);
                let is_limit = |row: &RowForecast| row.chance > settings.alarm_chance;
                write_alarms(&mut out.alarms, name, &review, &is_limit, &source);
            }
            Err(none) => {
                let improbable = none.improbable.iter().map(|found| found.reading);
                let all = improbable.chain(none.backwards.iter().copied());
                let refused: Vec<[String; 3]> = all.filter_map(source).collect();
                out.refused(name, none.why, &refused);
            }
        }
    }
    out.write(args, world)
}

fn bearing_type(row: &Row<'_>) -> Result<BearingType, Stop> {
    Ok(BearingType {
        name: row.needed("type")?.to_owned(),
        set: Target {
            nominal_um: row.needed_number("nominal_set_um")?,
            tolerance_um: row.needed_number("tol_um")?,
        },
        limit_factor: row.number("limit_factor")?,
        limit_um: row.number("limit_abs_um")?,
        gauge: Gauge {
            expanded_uncertainty_um: row.needed_number("gauge_U_k2_um")?,
            step_um: row.needed_number("step_um")?,
        },
    })
}

/// No bearing of a roll neck has more row pairs.
const ROW_PAIRS_MAX: u32 = 8;

/// Row pairs of a type, where the table says how many.
fn row_pairs(row: &Row<'_>) -> Result<u32, Stop> {
    match row.text("row_pairs") {
        "" => Ok(ROW_PAIRS_MAX),
        text => text
            .parse()
            .ok()
            .filter(|pairs| (1..=ROW_PAIRS_MAX).contains(pairs))
            .ok_or_else(|| {
                let why = format!("{text:?} is no number of row pairs: 1 to {ROW_PAIRS_MAX}");
                row.wrong("row_pairs", &why)
            }),
    }
}

/// A line of the logbook; `pairs` is how many row pairs its type has.
fn reading(row: &Row<'_>, pairs: Option<u32>) -> Result<Reading, Stop> {
    let pair = row.needed("row_pair")?;
    let most = pairs.unwrap_or(ROW_PAIRS_MAX);
    let row_pair = pair.parse().ok().filter(|pair| (1..=most).contains(pair));
    let clearance_um = row.number("clearance_um")?;
    // What is too small for its bearing is left to the entry gate.
    if let Some(clearance_um) = clearance_um.filter(|um| *um < 0.0) {
        let why = format!("{clearance_um} \u{b5}m is no clearance: 0 or more");
        return Err(row.wrong("clearance_um", &why));
    }
    Ok(Reading {
        bearing: row.needed("bearing")?.to_owned(),
        bearing_type: row.needed("type")?.to_owned(),
        stands: match row.text("stand") {
            "" => wear::Stands::new(),
            // All the hours since the event before, however many they are.
            stand => vec![(stand.to_owned(), 1.0)],
        },
        day: row.day("date")?,
        counter_h: row.needed_number("hours")?,
        counter_t: row.number("tonnes")?,
        row_pair: row_pair.ok_or_else(|| {
            row.wrong(
                "row_pair",
                &format!("{pair:?} is no row pair of this type: they are counted 1 to {most} from the barrel"),
            )
        })?,
        clearance_um,
        bound: None,
        event: match row.needed("event")? {
            "set" => Event::Set,
            "inspect" => Event::Inspect,
            "regrind" => Event::Regrind,
            other => {
                return Err(row.wrong(
                    "event",
                    &format!("{other:?} is no event: write set, inspect or regrind"),
                ));
            }
        },
        target: None,
        limit_um: None,
        gauge: None,
    })
}

fn snapshot<'a>(row: &Row<'a>) -> Result<(&'a str, Settings), Stop> {
    let settings = Settings::default();
    let ahead_h = row.number("horizon_hours")?.unwrap_or(settings.ahead_h);
    if ahead_h <= 0.0 {
        return Err(row.wrong("horizon_hours", "hours to look ahead: above 0"));
    }
    let as_of_day = Some(row.day("date")?);
    Ok((
        row.needed("snapshot")?,
        Settings {
            as_of_day,
            ahead_h,
            ..settings
        },
    ))
}

/// Says of an error of the pool in which line and column it stands.
fn in_table(error: &CalcError, types: &Table, measured: &[Row<'_>]) -> Stop {
    let (place, input) = error
        .input()
        .split_once("].")
        .unwrap_or(("", error.input()));
    let at = |prefix: &str| {
        place
            .strip_prefix(prefix)
            .and_then(|at| at.parse::<usize>().ok())
    };
    let problem = error.problem();
    let row = match (at("readings["), at("types[")) {
        (Some(at), _) => measured.get(at).copied(),
        (_, Some(at)) => types.row(at),
        _ => None,
    };
    let column = match input {
        "bearing_type" | "name" => "type",
        "counter_h" => "hours",
        "counter_t" => "tonnes",
        "nominal_um" => "nominal_set_um",
        "tolerance_um" => "tol_um",
        "limit_um" => "limit_abs_um",
        "expanded_uncertainty_um" => "gauge_U_k2_um",
        other => other,
    };
    row.map_or_else(
        || Stop::because(error.to_string()),
        |row| row.wrong(column, &problem),
    )
}

fn write_forecasts(to: &mut String, snapshot: &str, review: &Review) {
    for row in &review.rows {
        let [p5, p50, p95] = row
            .crossing_h
            .map(|h| h.map_or_else(String::new, |h| format!("{h:.1}")));
        line(
            to,
            format_args!(
                "{},{},{},{p5},{p50},{p95}",
                cell(snapshot),
                cell(&row.bearing),
                row.row_pair
            ),
        );
    }
}

fn write_alarms(
    to: &mut String,
    snapshot: &str,
    review: &Review,
    is_limit: &dyn Fn(&RowForecast) -> bool,
    source: &dyn Fn(usize) -> Option<[String; 3]>,
) {
    let name = snapshot;
    let snapshot = cell(name);
    let pair = |pair: Option<u32>| pair.map_or_else(String::new, |pair| pair.to_string());
    let mut warned: Option<&str> = None;
    for row in &review.rows {
        let alarm = row.acceleration.filter(Acceleration::is_alarm);
        if let Some(alarm) = alarm.filter(|_| warned != Some(&row.bearing)) {
            warned = Some(&row.bearing);
            line(
                to,
                format_args!(
                    "{snapshot},accel,{},{},,",
                    cell(&row.bearing),
                    pair(alarm.row_pair)
                ),
            );
        }
    }
    for contrast in review.contrasts.iter().filter(|c| Contrast::is_alarm(c)) {
        line(
            to,
            format_args!(
                "{snapshot},stand,,{},{},",
                pair(contrast.row_pair),
                cell(&contrast.stand)
            ),
        );
    }
    let refused = review
        .improbable
        .iter()
        .map(|improbable| improbable.reading)
        .chain(review.backwards.iter().copied());
    for found in refused.filter_map(source) {
        write_entry(to, name, &found);
    }
    for row in review.rows.iter().filter(|row| is_limit(row)) {
        line(
            to,
            format_args!("{snapshot},limit,{},{},,", cell(&row.bearing), row.row_pair),
        );
    }
}

/// A reading that was refused: bearing, row pair, line of the table or event.
fn write_entry(to: &mut String, snapshot: &str, found: &[String; 3]) {
    let snapshot = cell(snapshot);
    let [bearing, pair, id] = found.each_ref().map(|text| cell(text));
    line(to, format_args!("{snapshot},entry,{bearing},{pair},,{id}"));
}

fn line(to: &mut String, text: std::fmt::Arguments<'_>) {
    // Writing to a text cannot fail.
    let _written = writeln!(to, "{text}");
}

#[cfg(test)]
mod tests;
