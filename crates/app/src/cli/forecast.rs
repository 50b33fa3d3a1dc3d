//! `chockbook forecast`: when each row pair reaches its limit, and what is out of the ordinary, from plain tables.

use std::fmt::Write as _;
use std::path::Path;

use calc::CalcError;
use calc::wear::{
    self, Acceleration, BearingType, Contrast, Event, Gauge, Pool, Reading, Review, Settings,
    Target,
};

use super::args::{Args, Opt, Shape};
use super::table::{Row, Table, cell};
use super::{Ending, Stop, Verb, World};
use crate::hands::write_whole;

pub(super) const VERB: Verb = Verb {
    name: "forecast",
    shape: Shape {
        names: &[],
        options: &[
            Opt::needed("--table", "LOGBOOK.csv"),
            Opt::needed("--types", "TYPES.csv"),
            Opt::needed("--snapshots", "SNAPSHOTS.csv"),
            Opt::needed("--to", "DIR"),
        ],
        switches: &[],
    },
    about: "forecast when each row pair reaches its limit, from plain tables",
    details: "
--table LOGBOOK.csv         row_id,bearing,type,stand,date,hours,row_pair,clearance_um,event (set, inspect, regrind)
--types TYPES.csv           type,nominal_set_um,tol_um,limit_factor,limit_abs_um,gauge_U_k2_um,step_um
--snapshots SNAPSHOTS.csv   snapshot,date,horizon_hours; each uses only the lines up to its date
--to DIR                    forecasts.csv and alarms.csv are written there, each whole or not at all

forecasts.csv: counter hours at which the limit is reached with 5, 50 and 95 in 100; empty = not within 30,000 h.
alarms.csv: accel (wears faster than before), stand (wears faster there), entry (an improbable reading, left out of the
fit), limit (more than 1 in 6 to pass the limit within horizon_hours).
",
    run,
};

fn run(args: &Args, world: &mut World<'_>) -> Result<Ending, Stop> {
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
    let kinds = types
        .rows()
        .map(|row| bearing_type(&row))
        .collect::<Result<Vec<_>, Stop>>()?;
    // A line without a clearance was not measured: it says nothing about wear.
    let measured: Vec<Row<'_>> = logbook
        .rows()
        .filter(|row| !row.text("clearance_um").is_empty())
        .collect();
    let readings = measured
        .iter()
        .map(reading)
        .collect::<Result<Vec<_>, Stop>>()?;
    let pool = Pool::new(kinds, readings).map_err(|error| in_table(&error, &types, &measured))?;
    let dates = snapshots
        .rows()
        .map(|row| snapshot(&row))
        .collect::<Result<Vec<_>, Stop>>()?;

    let mut forecasts = String::from("snapshot,bearing,row_pair,p5,p50,p95\n");
    let mut alarms = String::from("snapshot,kind,bearing,row_pair,stand,row_id\n");
    let mut empty = Vec::new();
    for (done, (name, settings)) in (0_i64..).zip(&dates) {
        world.progress("forecast", done, dates.len() as i64);
        match wear::review(&pool, settings) {
            Some(review) => {
                write_forecasts(&mut forecasts, name, &review);
                write_alarms(&mut alarms, name, &review, settings, &measured);
            }
            None => empty.push(*name),
        }
    }
    world.progress_done();
    let folder = Path::new(args.needed("--to"));
    let failed = |path: &Path, error: std::io::Error| {
        Stop::because(format!("{}: cannot be written: {error}", path.display()))
    };
    std::fs::create_dir_all(folder).map_err(|error| failed(folder, error))?;
    for (name, text) in [("forecasts.csv", &forecasts), ("alarms.csv", &alarms)] {
        let path = folder.join(name);
        write_whole(&path, text).map_err(|error| failed(&path, error))?;
        writeln!(
            world.out,
            "{} written, {} lines",
            path.display(),
            text.lines().count() - 1
        )?;
    }
    for name in empty {
        writeln!(
            world.err,
            "snapshot {name}: no bearing has a measured growth up to its date, so there is no forecast"
        )?;
    }
    Ok(Ending::Done)
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

fn reading(row: &Row<'_>) -> Result<Reading, Stop> {
    let pair = row.needed("row_pair")?;
    Ok(Reading {
        bearing: row.needed("bearing")?.to_owned(),
        bearing_type: row.needed("type")?.to_owned(),
        stand: Some(row.text("stand").to_owned()).filter(|stand| !stand.is_empty()),
        day: row.day("date")?,
        counter_h: row.needed_number("hours")?,
        counter_t: row.number("tonnes")?,
        row_pair: pair.parse().map_err(|_| {
            row.wrong(
                "row_pair",
                &format!("{pair:?} is no row pair: they are counted 1, 2, 3 from the barrel"),
            )
        })?,
        clearance_um: row.needed_number("clearance_um")?,
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
    settings: &Settings,
    measured: &[Row<'_>],
) {
    let snapshot = cell(snapshot);
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
    for row in refused.filter_map(|reading| measured.get(reading)) {
        let [bearing, pair, id] =
            ["bearing", "row_pair", "row_id"].map(|column| cell(row.text(column)));
        line(to, format_args!("{snapshot},entry,{bearing},{pair},,{id}"));
    }
    for row in review
        .rows
        .iter()
        .filter(|row| row.chance > settings.alarm_chance)
    {
        line(
            to,
            format_args!("{snapshot},limit,{},{},,", cell(&row.bearing), row.row_pair),
        );
    }
}

fn line(to: &mut String, text: std::fmt::Arguments<'_>) {
    // Writing to a text cannot fail.
    let _written = writeln!(to, "{text}");
}
