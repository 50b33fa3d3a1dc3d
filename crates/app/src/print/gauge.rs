//! A gauge: its calibrations, and every reading that was taken with it.

use report::{Cell, Column, Labelled, Mark, Marked, Paper, Part, Table};
use store::draft::Fields;
use store::entry::Show;
use store::query::{self, Calibration, GaugePage, GaugeUse, JournalFilter};
use store::rows::Rows;
use store::sheet::Facts;
use store::sheet::field::{self, Cell as Place, SeatName};
use store::time::DAY_MS;
use store::{Connection, Stamp, ThingNo};

use super::imprint::{NO_RELEASE, imprint};
use super::readings::typed_in;
use super::verdicts::about_words;
use super::{PrintError, PrintJob, Result, counted, events, labelled, mark};

/// The document; readings from `since_ms` on, or since the newest calibration.
pub(super) fn paper(
    conn: &Connection,
    gauge: ThingNo,
    since_ms: Option<i64>,
    job: &PrintJob,
) -> Result<Paper> {
    let show = job.show;
    let page =
        query::gauge_page(conn, gauge, since_ms, job.now)?.ok_or(PrintError::NoSuch("gauge"))?;
    let newest = newest(&page, job.now);
    let filter = JournalFilter {
        thing: Some(gauge),
        with_register: true,
        ..JournalFilter::default()
    };
    let journal = query::journal(conn, &filter, show)?;
    let code = &page.record.code;
    let since = match (since_ms, newest) {
        (Some(ms), _) => format!("since {}", Stamp::second(ms, job.now.offset_min).date()),
        (None, Some(last)) => format!("since its calibration of {}", last.at.date()),
        (None, None) => "of the whole logbook: no calibration is entered".into(),
    };
    let readings: usize = page.uses.iter().map(|u| u.readings.len()).sum();
    let summary = format!(
        "{} on {} {since}. If the next calibration finds it out, these are the readings to look at again; those before \
         stand with their own calibration below.",
        counted(readings, "reading"),
        counted(page.uses.len(), "sheet"),
    );
    Ok(Paper {
        title_line: format!("Gauge {code}"),
        name: code.clone(),
        counts: [
            counted(page.calibrations.len(), "calibration"),
            counted(readings, "reading"),
        ]
        .join(", "),
        headline: format!("{}, {}", page.record.kind, page.record.range),
        state: state(newest, doubt_now(conn, code, job.now)?, job.now),
        summary,
        left: identity(&page, show),
        right: newest
            .map(|last| last_facts(last, &page, job.now, show))
            .unwrap_or_default(),
        parts: vec![
            Part::Table(calibrations(&page, job.now, show)),
            Part::Table(uses(&page, show, &since)),
            Part::Events {
                title: "What was said about it".into(),
                note: "oldest first".into(),
                lines: journal.iter().rev().map(events::plain).collect(),
            },
        ],
        imprint: imprint(conn, job, &[], &[NO_RELEASE])?,
    })
}

/// The calibration that holds now.
fn newest(page: &GaugePage, now: Stamp) -> Option<&Calibration> {
    page.calibrations.iter().rev().find(|c| c.at.ms <= now.ms)
}

/// What speaks against it now besides its date, such as that it was found to read wrongly.
fn doubt_now(conn: &Connection, code: &str, now: Stamp) -> Result<String> {
    let facts = Facts::load(conn, &Fields::new(), now)?;
    Ok(facts
        .gauges
        .get(code)
        .map(|gauge| gauge.doubt.clone())
        .unwrap_or_default())
}

fn state(newest: Option<&Calibration>, doubt: String, now: Stamp) -> Marked {
    let is_overdue = newest.is_some_and(|last| last.due_ms < now.ms);
    if !doubt.is_empty() && !is_overdue {
        return Marked {
            text: doubt,
            mark: Mark::Fail,
        };
    }
    let (text, mark) = match newest {
        None => ("no calibration entered".into(), Mark::Missing),
        Some(last) if last.due_ms < now.ms => {
            let days = usize::try_from((now.ms - last.due_ms) / DAY_MS).unwrap_or(0);
            let text = if days == 0 {
                "overdue".into()
            } else {
                format!("overdue by {}", counted(days, "day"))
            };
            (text, Mark::FailInDoubt)
        }
        Some(_) => ("in calibration".into(), Mark::Pass),
    };
    Marked { text, mark }
}

fn identity(page: &GaugePage, show: Show) -> Vec<Labelled> {
    let record = &page.record;
    let mut rows = vec![
        labelled("kind", record.kind.clone()),
        labelled("measures", record.measures.replace('_', " ")),
        labelled("range", record.range.clone()),
        labelled(
            "smallest step",
            in_its_unit(record.resolution, &record.measures, show),
        ),
    ];
    if !record.standard.is_empty() {
        rows.push(labelled("set on", record.standard.clone()));
    }
    rows
}

fn last_facts(last: &Calibration, page: &GaugePage, now: Stamp, show: Show) -> Vec<Labelled> {
    vec![
        labelled("calibrated", last.at.date()),
        labelled("certificate", last.certificate.clone()),
        labelled("due", Stamp::second(last.due_ms, now.offset_min).date()),
        labelled("U (k = 2)", doubt(last, page, show)),
    ]
}

fn doubt(calibration: &Calibration, page: &GaugePage, show: Show) -> String {
    calibration.expanded_uncertainty.map_or_else(
        || "not known".into(),
        |value| in_its_unit(value, &page.record.measures, show),
    )
}

/// A value in the unit of the gauge: nm, mK or mN m as it is kept.
pub(super) fn in_its_unit(value: i64, measures: &str, show: Show) -> String {
    match measures {
        "temperature" => format!("{} \u{b0}C", show.decimals(value, 1_000, 1)),
        "torque" => format!("{} N m", show.amount(value, 1_000, 1)),
        _ => show.length_unit(value),
    }
}

fn calibrations(page: &GaugePage, now: Stamp, show: Show) -> Table {
    let rows = page.calibrations.iter().map(|c| {
        let late = if c.entered.ms - c.at.ms >= DAY_MS {
            format!("entered {}", c.entered.date())
        } else {
            String::new()
        };
        let overdue = if c.overdue > 0 {
            Cell {
                mark: Some(Mark::FailInDoubt),
                ..Cell::text(counted(usize::try_from(c.overdue).unwrap_or(0), "reading"))
            }
        } else {
            Cell::text("none")
        };
        let signer = if c.signer.is_empty() {
            "\u{2013}"
        } else {
            &c.signer
        };
        vec![
            Cell::reading(c.at.date(), late),
            Cell::reading(&c.certificate, doubt(c, page, show)),
            Cell::text(Stamp::second(c.due_ms, now.offset_min).date()),
            Cell::text(c.readings.to_string()),
            Cell::text(c.sheets.to_string()),
            overdue,
            Cell::reading(signer, format!("record {}", c.id)),
        ]
    });
    Table {
        title: "Calibrations".into(),
        note: "with the readings up to the next one".into(),
        columns: vec![
            Column::text("date"),
            Column::text("certificate, U (k = 2)"),
            Column::text("due"),
            Column::number("readings"),
            Column::number("sheets"),
            Column::text("when overdue"),
            Column::wide("entered by"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

fn uses(page: &GaugePage, show: Show, since: &str) -> Table {
    let rows = page.uses.iter().map(|one| {
        let on: Vec<&str> = [&one.bearing, &one.chock, &one.roll]
            .into_iter()
            .filter(|code| !code.is_empty())
            .map(String::as_str)
            .collect();
        let verdicts: Vec<String> = one
            .doubts
            .iter()
            .map(|(about, item, verdict)| {
                format!(
                    "{}: {}",
                    about_words(about, *item, show.rows.of(one.rows)),
                    mark(verdict).word()
                )
            })
            .collect();
        vec![
            Cell::reading(one.at.date(), &one.id),
            Cell::reading(on.join(", "), &one.signer),
            Cell::reading(told(one, show), verdicts.join("; ")),
            if one.is_overdue {
                Cell {
                    mark: Some(Mark::FailInDoubt),
                    ..Cell::text("overdue")
                }
            } else {
                Cell::default()
            },
        ]
    });
    Table {
        title: "Where it was used".into(),
        note: format!("{since}; readings as typed, {}", show.unit.sign()),
        columns: vec![
            Column::text("date, record"),
            Column::text("on, signed by"),
            Column::wide("readings; below: what was in doubt or failed on the sheet"),
            Column::text("gauge then"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

/// Every reading of a sheet in the order of measuring, those of one row or plane together.
fn told(one: &GaugeUse, show: Show) -> String {
    let order: Vec<String> = [SeatName::Bore, SeatName::Neck]
        .into_iter()
        .flat_map(|seat| field::planes_order(seat, field::PLANES.len()))
        .chain(field::clearance_order())
        .collect();
    let mut readings: Vec<_> = one.readings.iter().collect();
    readings.sort_by_key(|(path, ..)| order.iter().position(|of| of == path).unwrap_or(usize::MAX));
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for (path, text, unit) in readings {
        let (head, value) = (
            head(path, show.rows.of(one.rows)),
            typed_in(text, unit, show.unit.sign()),
        );
        match groups.last_mut().filter(|(last, _)| *last == head) {
            Some((_, values)) => values.push(value),
            None => groups.push((head, vec![value])),
        }
    }
    let groups: Vec<String> = groups
        .into_iter()
        .map(|(head, values)| format!("{head} {}", values.join(" ")))
        .collect();
    groups.join("; ")
}

pub(super) fn head(path: &str, rows: Rows) -> String {
    match field::grid(path) {
        Some(Place::Gap { pair, .. }) => format!("gap {}:", rows.pair_rows(pair)),
        Some(Place::Earlier { pair, set, .. }) => {
            format!("gap {}, set {set}:", rows.pair_rows(pair))
        }
        Some(Place::Spacer { pair } | Place::SpacerAt { pair, .. }) => {
            format!("{}:", rows.spacer(pair))
        }
        Some(Place::After { pair } | Place::AfterAt { pair, .. }) => {
            format!("{} after grinding:", rows.spacer(pair))
        }
        Some(Place::Size { seat, plane, .. }) => format!("{} plane {plane}:", seat.prefix()),
        Some(Place::Radial(_) | Place::Ring { .. }) | None => {
            format!("{}:", rows.told(&field::label(path)))
        }
    }
}
