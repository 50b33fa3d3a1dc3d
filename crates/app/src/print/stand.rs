//! A stand in a period: what ran, what was torn down and found, how the clearances grew.

use std::collections::BTreeMap;

use calc::finding::Mode;
use report::{Cell, Column, Mark, Marked, Paper, Part, Table};
use store::entry::Show;
use store::query::{self, JournalFilter, JournalLine, StandReview, StandTeardown, decided_words};
use store::{Connection, Stamp, ThingNo};

use super::imprint::{NO_RELEASE, imprint};
use super::{PrintError, PrintJob, Result, counted, events, intervals, labelled, three};

/// The document.
pub(super) fn paper(
    conn: &Connection,
    stand: ThingNo,
    from_ms: i64,
    until_ms: i64,
    job: &PrintJob,
) -> Result<Paper> {
    let show = job.show;
    let review =
        query::stand_review(conn, stand, from_ms, until_ms)?.ok_or(PrintError::NoSuch("stand"))?;
    let day = |ms| Stamp::second(ms, job.now.offset_min).date();
    let period = format!("{} to {}", day(from_ms), day(until_ms - 1));
    let happened = happened(conn, stand, &review, from_ms, until_ms, show)?;
    let run_s: i64 = review.positions.iter().map(|p| p.run_s).sum();
    Ok(Paper {
        title_line: format!("Stand {}, {period}", review.code),
        name: format!("{}, {period}", review.code),
        counts: [
            counted(review.teardowns.len(), "teardown"),
            counted(
                review.findings.iter().map(|f| f.count).sum::<i64>() as usize,
                "finding",
            ),
        ]
        .join(", "),
        headline: format!("{} of line {}", review.build, review.line),
        state: state(&review),
        summary: summary(&review, show),
        left: vec![
            labelled("period", period),
            labelled(
                "mill time",
                format!("{} h over all positions", show.hours(run_s)),
            ),
        ],
        right: vec![
            labelled("positions", review.positions.len().to_string()),
            labelled("teardowns", review.teardowns.len().to_string()),
        ],
        parts: parts(&review, &happened, show),
        imprint: imprint(conn, job, &[], &[NO_RELEASE])?,
    })
}

fn parts(review: &StandReview, happened: &[JournalLine], show: Show) -> Vec<Part> {
    let mut parts = vec![Part::Table(ran(review, show))];
    parts.extend(intervals::drawing(review, show).map(Part::Drawing));
    parts.extend([
        Part::Table(growth(review, show)),
        Part::Table(found(review)),
        Part::Table(teardowns(review, show)),
        Part::Events {
            title: "Jobs and incidents".into(),
            note: "entries that name the stand or one of its positions".into(),
            lines: happened.iter().map(events::plain).collect(),
        },
    ]);
    parts
}

fn state(review: &StandReview) -> Marked {
    let fails: i64 = review.teardowns.iter().map(|t| t.fails).sum();
    let doubts: i64 = review.teardowns.iter().map(|t| t.doubts).sum();
    let mark = match (review.teardowns.len(), fails, doubts) {
        (0, ..) => Mark::Missing,
        (_, 0, 0) => Mark::Pass,
        (_, 0, _) => Mark::PassInDoubt,
        _ => Mark::Fail,
    };
    let text = match mark {
        Mark::Missing => "no teardown".into(),
        Mark::Pass => "all verdicts pass".into(),
        _ => format!("{fails} fail, {doubts} in doubt"),
    };
    Marked { text, mark }
}

fn summary(review: &StandReview, show: Show) -> String {
    let mut types: BTreeMap<&str, Vec<&StandTeardown>> = BTreeMap::new();
    for teardown in &review.teardowns {
        types.entry(&teardown.type_code).or_default().push(teardown);
    }
    // Row pair by row pair; what has one clearance has one number. Unlike bearings are never put together.
    let told: Vec<String> = types
        .iter()
        .filter_map(|(code, teardowns)| {
            let means = mean_growth(teardowns).map(|(mean, _)| mean);
            let text = match means {
                [Some(one), None, None] => Some(show.length(one)),
                means => three(means, show),
            };
            Some(format!("{code} {}", text?))
        })
        .collect();
    let grown = if told.is_empty() {
        "No growth can be told: no clearance was read before and after a stay.".to_owned()
    } else {
        format!(
            "Clearances grew, in {} per 1,000 h of mill time: {}.",
            show.unit.sign(),
            told.join("; ")
        )
    };
    format!(
        "{} out of this stand. {grown} Plain means of what was found; no forecast and no comparison with other stands.",
        counted(review.teardowns.len(), "teardown")
    )
}

/// Growth per 1,000 h of each row pair: all that grew over all hours, and from how many stays.
fn mean_growth(teardowns: &[&StandTeardown]) -> [(Option<i64>, usize); 3] {
    std::array::from_fn(|pair| {
        let told: Vec<(i64, i64)> = teardowns
            .iter()
            .filter(|t| t.run_s > 0)
            .filter_map(|t| Some((t.grown_nm[pair]?, t.run_s)))
            .collect();
        let hours: i128 = told.iter().map(|(_, run_s)| i128::from(*run_s)).sum();
        let grown: i128 = told.iter().map(|(nm, _)| i128::from(*nm)).sum();
        let mean = (hours > 0).then(|| {
            // Rounded half away from zero.
            let scaled = grown * 3_600_000;
            let half = if scaled < 0 { -hours / 2 } else { hours / 2 };
            (scaled + half) / hours
        });
        (mean.and_then(|nm| i64::try_from(nm).ok()), told.len())
    })
}

fn ran(review: &StandReview, show: Show) -> Table {
    let rows = review.positions.iter().map(|p| {
        let hours = show.hours(p.run_s);
        vec![
            Cell::text(&p.code),
            Cell::text(show.grouped(p.campaigns)),
            Cell::text(if p.has_estimate {
                format!("{hours} est.")
            } else {
                hours
            }),
            Cell::text(show.kilotonnes(p.rolled_kg)),
            Cell::text(p.chocks.to_string()),
            Cell::text(p.rolls.to_string()),
        ]
    });
    Table {
        title: "What ran".into(),
        note: "campaigns that ended in the period; est.: some of it is an estimate".into(),
        columns: vec![
            Column::wide("position"),
            Column::number("campaigns"),
            Column::number("mill time, h"),
            Column::number("rolled, kt"),
            Column::number("chocks"),
            Column::number("rolls"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

/// Growth by position and type: unlike bearings are never put together.
fn growth(review: &StandReview, show: Show) -> Table {
    let mut groups: BTreeMap<(&str, &str), Vec<&StandTeardown>> = BTreeMap::new();
    for teardown in &review.teardowns {
        let key = (teardown.position.as_str(), teardown.type_code.as_str());
        groups.entry(key).or_default().push(teardown);
    }
    let rows = groups.iter().map(|((position, type_code), teardowns)| {
        let grown = mean_growth(teardowns);
        let hours: i64 = teardowns.iter().map(|t| t.run_s).sum();
        let mut row = vec![
            Cell::text(*position),
            Cell::text(*type_code),
            Cell::text(teardowns.len().to_string()),
            Cell::text(show.hours(hours)),
        ];
        row.extend(grown.map(|(mean, count)| {
            match mean {
                Some(nm) => Cell::reading(show.length(nm), format!("from {count}")),
                // A bearing with one clearance, or nothing to compare.
                None => Cell::default(),
            }
        }));
        row
    });
    let mut columns = vec![
        Column::text("position"),
        Column::wide("type"),
        Column::number("teardowns"),
        Column::number("h of stays"),
    ];
    columns.extend([1, 2, 3].map(|pair| Column::number(show.pair_name(pair))));
    Table {
        title: "Growth as found".into(),
        note: format!("{} per 1,000 h of the stay", show.unit.sign()),
        columns,
        rows: rows.collect(),
        half: false,
    }
}

fn found(review: &StandReview) -> Table {
    let rows = review.findings.iter().map(|f| {
        let words = Mode::of(&f.mode).map_or(f.mode.clone(), |mode| mode.name.to_owned());
        vec![
            Cell::reading(words, &f.mode),
            Cell::text(&f.part),
            Cell::text(f.count.to_string()),
            Cell::text(f.bearings.to_string()),
            Cell::text(f.severity.to_string()),
            Cell::text(&f.positions),
        ]
    });
    Table {
        title: "What was found".into(),
        note: "modes of ISO 15243:2017 or words of the sheet; severity 0 to 3".into(),
        columns: vec![
            Column::text("mode"),
            Column::text("part"),
            Column::number("times"),
            Column::number("bearings"),
            Column::number("worst severity"),
            Column::wide("out of"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

fn teardowns(review: &StandReview, show: Show) -> Table {
    let rows = review.teardowns.iter().map(|t| {
        let found = clearances(t.found_nm, show).unwrap_or_else(|| "not measured".into());
        let grown = clearances(t.grown_nm, show)
            .map(|text| format!("grown {text}"))
            .unwrap_or_default();
        let elsewhere = if t.here_run_s < t.run_s {
            format!("{} h of it here", show.hours(t.here_run_s))
        } else {
            String::new()
        };
        let verdict = match (t.fails, t.doubts) {
            (0, 0) => Cell::verdict(Mark::Pass),
            (0, doubts) => marked(Mark::PassInDoubt, format!("{doubts} in doubt")),
            (fails, _) => marked(Mark::Fail, format!("{fails} fail")),
        };
        vec![
            Cell::reading(t.at.date(), &t.id),
            Cell::reading(&t.position, &t.chock),
            Cell::reading(&t.bearing, &t.type_code),
            Cell::reading(show.hours(t.run_s), elsewhere),
            Cell::reading(found, grown),
            Cell::reading(
                decided_words(&t.decided),
                counted(usize::try_from(t.findings).unwrap_or(0), "finding"),
            ),
            verdict,
        ]
    });
    Table {
        title: "Teardowns".into(),
        note: format!("clearance as found, {}", show.unit.sign()),
        columns: vec![
            Column::text("date, record"),
            Column::text("out of, chock"),
            Column::text("bearing, type"),
            Column::number("h"),
            Column::text("clearance"),
            Column::wide("decided, found"),
            Column::text("verdicts"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

/// The clearances of the row pairs, or the one of a bearing that has one.
fn clearances(values: [Option<i64>; 3], show: Show) -> Option<String> {
    match values {
        [Some(one), None, None] => Some(show.length(one)),
        values => three(values, show),
    }
}

fn marked(mark: Mark, text: String) -> Cell {
    Cell {
        mark: Some(mark),
        ..Cell::text(text)
    }
}

/// Entries of the period that name the stand or one of its positions, oldest first; teardowns have their own table.
fn happened(
    conn: &Connection,
    stand: ThingNo,
    review: &StandReview,
    from_ms: i64,
    until_ms: i64,
    show: Show,
) -> Result<Vec<JournalLine>> {
    let things = review.positions.iter().map(|p| p.no).chain([stand]);
    let mut lines: Vec<JournalLine> = Vec::new();
    for thing in things {
        let filter = JournalFilter {
            thing: Some(thing),
            ..JournalFilter::default()
        };
        let of = query::journal(conn, &filter, show)?;
        lines.extend(of.into_iter().filter(|line| {
            let is_other = !line.is_sheet && !matches!(&*line.kind, "mounted" | "dismounted");
            is_other && (from_ms..until_ms).contains(&line.at.ms)
        }));
    }
    lines.sort_by_key(|line| (line.at.ms, line.no));
    lines.dedup_by_key(|line| line.no);
    Ok(lines)
}
