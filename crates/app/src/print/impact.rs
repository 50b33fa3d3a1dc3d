//! The impact note of a gauge that was found out: every reading since its last good calibration, as recorded and fully
//! corrected, which verdicts change, what was said at the time, and what was done since.

use calc::conformity::AtUpper;
use calc::found_out::Change;
use report::{Cell, Column, Labelled, Mark, Marked, Paper, Part, Table};
use store::entry::{Quantity, Show};
use store::query::{self, Impact, ImpactLine, ImpactReading, Release};
use store::{Connection, ThingNo};

use super::gauge::{head, in_its_unit};
use super::imprint::{NO_RELEASE, imprint, to_sign};
use super::verdicts::about_words;
use super::{PrintError, PrintJob, Result, counted, labelled, mark};

/// What this document can say and what it cannot.
const READ_IT_SO: [&str; 4] = [
    "Fully corrected = as recorded \u{2212} error, where the error is indication \u{2212} reference. The error was found \
     at the end of this time; when it began nobody knows, so that the truth may lie anywhere between the two values.",
    "The corrected value is judged by the limits and the uncertainty of the day of the reading (ISO 14253-1:2017, with \
     95 % where no other probability was asked). Ovality and taper are differences of readings of one gauge: an error that is the same \
     everywhere leaves them as they are, and they are not listed.",
    "No original is changed: each sheet stays as it was signed and carries the mark suspect gauge with the name of this \
     record. A gauge found unfit asks whether earlier results are affected, and for action on what is (ISO 9001:2015, \
     7.1.5.2).",
    "An error is given as one number. Where it differs over the range of the gauge, read the corrected values as a guide \
     and measure again. A gauge that was set on a standard reads wrongly by the error of the standard: the size marked on it \
     less its true size.",
];

/// The note: each time that the gauge was found out, newest first.
pub(super) fn paper(conn: &Connection, gauge: ThingNo, job: &PrintJob) -> Result<Paper> {
    let show = job.show;
    let page = query::gauge_page(conn, gauge, None, job.now)?.ok_or(PrintError::NoSuch("gauge"))?;
    let code = page.record.code.clone();
    let impacts = query::impacts(conn, gauge, show)?;
    let Some(newest) = impacts.first() else {
        return Err(PrintError::NeverFoundOut(code));
    };
    let mut parts = Vec::new();
    for (index, impact) in impacts.iter().enumerate() {
        if index > 0 {
            parts.push(Part::NewPage);
            parts.push(Part::Facts {
                title: format!("Found out on {}", impact.at.date()),
                note: String::new(),
                rows: found(impact, show)
                    .into_iter()
                    .chain(good(impact))
                    .collect(),
            });
        }
        parts.extend(told(impact, show));
    }
    parts.push(Part::Notes {
        title: "How to read this".into(),
        lines: READ_IT_SO.map(str::to_owned).into(),
    });
    let mut left = vec![labelled("gauge", format!("{code}, {}", page.record.kind))];
    left.extend(found(newest, show));
    let lines: usize = impacts.iter().map(|i| i.lines.len()).sum();
    let mut imprint = imprint(conn, job, &[], &[NO_RELEASE])?;
    imprint.signature_lines = to_sign(&[
        ("", "assessed, metrology: name, date"),
        ("", "decided, engineer: name, date"),
        ("", "seen: name, date"),
    ]);
    Ok(Paper {
        title_line: format!("Gauge impact note {code}"),
        name: newest.id.clone(),
        counts: counted(lines, "line"),
        headline: format!("{code} {}", newest.says(show)),
        state: state(newest),
        summary: summary(newest),
        left,
        right: good(newest),
        parts,
        imprint,
    })
}

fn state(impact: &Impact) -> Marked {
    match impact.changed() {
        0 => Marked {
            text: "no verdict changes".into(),
            mark: Mark::Pass,
        },
        n => Marked {
            text: format!(
                "{} change{}",
                counted(n, "verdict"),
                if n == 1 { "s" } else { "" }
            ),
            mark: Mark::Fail,
        },
    }
}

/// The story in three sentences.
pub(crate) fn summary(impact: &Impact) -> String {
    let judged = impact.lines.iter().filter(|l| l.change.is_some()).count();
    let doubtful = impact
        .lines
        .iter()
        .filter(|l| l.change == Some(Change::InDoubt))
        .count();
    let mut all = vec![match impact.lines.len() {
        0 => "Nothing was read on it since its last good calibration.".to_owned(),
        _ => format!(
            "{} rest on it since its last good calibration; fully corrected {} would be another and {} in doubt.",
            counted(judged, "verdict"),
            impact.changed(),
            doubtful,
        ),
    }];
    match impact.unreleased() {
        0 => {}
        1 => all.push(
            "One sheet was read on it while it was overdue and has no release by the engineer."
                .into(),
        ),
        n => all.push(format!(
            "{n} sheets were read on it while it was overdue and have no release by the engineer."
        )),
    }
    let open = impact.lines.iter().filter(|l| is_open(l)).count();
    if open > 0 {
        all.push(format!(
            "{} not measured again and not acted on.",
            counted(open, "changed verdict")
        ));
    }
    all.join(" ")
}

/// A verdict that changes, and about which nothing has been done.
fn is_open(line: &ImpactLine) -> bool {
    line.change.is_some_and(Change::is_changed) && line.again.is_none() && line.done.is_empty()
}

/// Of a standard: what its error does to the gauges that are set on it.
pub fn of_standard(impact: &Impact) -> Option<String> {
    let set = impact.set_on_it.join(", ");
    let does = if impact.error > 0 { "large" } else { "small" };
    (!set.is_empty())
        .then(|| format!("Set on it: {set}. What was set on it reads as much too {does}."))
}

fn found(impact: &Impact, show: Show) -> Vec<Labelled> {
    let less = match of_standard(impact) {
        Some(words) => format!("marked size less true size. {words}"),
        None => "indication less reference".to_owned(),
    };
    vec![
        labelled("error", format!("{}, {less}", impact.error_words(show))),
        labelled(
            "found",
            format!("{} by {}", impact.at.date_time(), impact.signer),
        ),
        labelled("how", impact.text.clone()),
        labelled("record", impact.id.clone()),
    ]
}

fn good(impact: &Impact) -> Vec<Labelled> {
    let mut rows = match &impact.good {
        Some((at, certificate, due)) => vec![
            labelled("last good", at.date()),
            labelled("certificate", certificate.clone()),
            labelled("ran out", due.date()),
        ],
        None => vec![labelled("last good", "no calibration before is entered")],
    };
    let mut sheets: Vec<i64> = impact.lines.iter().map(|l| l.event).collect();
    sheets.dedup();
    rows.push(labelled("read on it", counted(sheets.len(), "sheet")));
    rows
}

fn told(impact: &Impact, show: Show) -> Vec<Part> {
    let mut parts = vec![Part::Table(lines(impact, show))];
    let touched: Vec<&ImpactLine> = impact
        .lines
        .iter()
        .filter(|l| l.change.is_some_and(|c| c != Change::Stands))
        .collect();
    if !touched.is_empty() {
        parts.push(Part::Table(acted(&touched, show)));
    }
    if impact
        .lines
        .iter()
        .any(|l| l.release != Release::NotNeeded || !l.said.is_empty())
    {
        parts.push(Part::Table(warnings(impact)));
    }
    if !impact.lines.is_empty() {
        parts.push(Part::Table(readings(impact, show)));
    }
    parts
}

fn lines(impact: &Impact, show: Show) -> Table {
    let rows = impact.lines.iter().map(|line| {
        let value =
            |nm: Option<i64>| nm.map_or_else(|| "\u{2013}".into(), |nm| length(line, nm, show));
        let about = if line.about.is_empty() {
            "read, not judged".into()
        } else {
            about_words(&line.about, line.item, line.rows)
        };
        let chance = line
            .probability
            .map_or_else(String::new, |p| format!("p {}", chance(p, show)));
        let if_corrected = match line.if_corrected {
            Some(verdict) => Cell {
                under: chance,
                ..Cell::verdict(mark(verdict.as_str()))
            },
            None => Cell::text("\u{2013}"),
        };
        let signed = line.signed.map_or_else(
            || Cell::text("\u{2013}"),
            |verdict| Cell::verdict(mark(verdict.as_str())),
        );
        let about = match ground_words(line, show) {
            Some(words) => format!("{about}; {words}"),
            None => about,
        };
        vec![
            Cell::reading(line.at.date(), &line.id),
            Cell::reading(&line.of, about),
            Cell::text(value(line.recorded)),
            Cell::text(value(line.corrected)),
            Cell {
                under: asked(line),
                ..Cell::text(limit(line, show))
            },
            signed,
            if_corrected,
        ]
    });
    Table {
        title: "What was judged on it".into(),
        note: format!("{}, oldest first", show.unit.sign()),
        columns: vec![
            Column::text("date, record"),
            Column::wide("of, what"),
            Column::number("recorded"),
            Column::number("corrected"),
            Column::text("limit"),
            Column::text("as signed"),
            Column::text("if corrected"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

/// A value of a line: sizes of a bore are deviations from nominal.
pub(crate) fn length(line: &ImpactLine, nm: i64, show: Show) -> String {
    let quantity = store::sheet::quantity_of(&line.about);
    if quantity != Quantity::Length {
        show.with_unit(quantity, nm)
    } else if matches!(
        line.about.as_str(),
        "bore_mean" | "bore_smallest" | "bore_largest"
    ) {
        show.deviation(nm)
    } else {
        show.length(nm)
    }
}

/// What was ground off by these readings, and what would have been: a setting that rests on them.
pub(crate) fn ground_words(line: &ImpactLine, show: Show) -> Option<String> {
    let (off, corrected) = line.ground?;
    Some(format!(
        "ground off {}, corrected {}",
        show.length(off),
        show.length(corrected)
    ))
}

/// The limit of that day, in few words.
pub(crate) fn limit(line: &ImpactLine, show: Show) -> String {
    let word = store::sheet::upper_word(line.at_upper);
    match (line.lower, line.upper) {
        (Some(low), Some(high)) if line.at_upper == AtUpper::Reached => format!(
            "{} to {word} {}",
            length(line, low, show),
            length(line, high, show)
        ),
        (Some(low), Some(high)) => format!(
            "{} to {}",
            length(line, low, show),
            length(line, high, show)
        ),
        (Some(low), None) => format!("at least {}", length(line, low, show)),
        (None, Some(high)) => format!("{word} {}", length(line, high, show)),
        (None, None) => "none".into(),
    }
}

/// The probability that was asked of the limit, where it is not the default.
pub(crate) fn asked(line: &ImpactLine) -> String {
    let (lower, upper) = (line.lower.is_some(), line.upper.is_some());
    match line.asked.named(lower, upper) {
        named if named.is_empty() => named,
        named => format!("asked {named}"),
    }
}

/// A probability; one that rounds to certainty is not called certain.
pub(crate) fn chance(p: f64, show: Show) -> String {
    let ppm = (p * 1e6).round() as i64;
    let three = |ppm| show.decimals(ppm, 1_000_000, 3);
    match ppm {
        ..500 => format!("under {}", three(1_000)),
        999_500.. => format!("over {}", three(999_000)),
        _ => three(ppm),
    }
}

/// How a verdict stands, in a narrow column.
fn change_word(change: Change) -> &'static str {
    match change {
        Change::Stands => "stands",
        Change::InDoubt => "in doubt",
        Change::NowFails => "would fail",
        Change::NowPasses => "would pass",
    }
}

/// What the release says.
pub(crate) fn release_words(release: &Release) -> String {
    match release {
        Release::NotNeeded => "not needed".into(),
        Release::Missing => "missing".into(),
        Release::By(who, at) => format!("{who}, {}", at.date()),
    }
}

/// What the later measurement found.
pub(crate) fn again_words(line: &ImpactLine, show: Show) -> String {
    match &line.again {
        None => "not measured again".into(),
        Some(again) => {
            let value = again
                .value
                .map_or_else(String::new, |nm| length(line, nm, show));
            let verdict = again.verdict.map_or("", calc::conformity::Verdict::word);
            format!("{value} on {}, {}, {verdict}", again.gauge, again.at.date())
        }
    }
}

fn acted(touched: &[&ImpactLine], show: Show) -> Table {
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for line in touched {
        let again = match &line.again {
            None => Cell::text("not yet"),
            Some(again) => Cell {
                mark: again.verdict.map(|verdict| mark(verdict.as_str())),
                ..Cell::reading(
                    again
                        .value
                        .map_or_else(String::new, |nm| length(line, nm, show)),
                    format!("{}, {}, {}", again.gauge, again.at.date(), again.id),
                )
            },
        };
        let change = line.change.map_or("", change_word);
        let is_changed = line.change.is_some_and(Change::is_changed);
        let told = Cell {
            mark: Some(if is_changed {
                Mark::Fail
            } else {
                Mark::PassInDoubt
            }),
            ..Cell::text(change)
        };
        // One act a line, so that a row is never parted from the neck or bore that it is about.
        let acts: Vec<String> = line
            .done
            .iter()
            .map(|act| format!("{}  {} ({})", act.at.date(), act.text, act.id))
            .collect();
        let done = match acts.as_slice() {
            [] => "nothing is recorded".to_owned(),
            acts => acts.join("\n"),
        };
        let of = Cell::reading(&line.of, line.at.date());
        rows.push(vec![of, told, again, Cell::text(done)]);
    }
    Table {
        title: "What changes, and what was done".into(),
        note: "a verdict that stands beyond doubt is left out".into(),
        columns: vec![
            Column::text("of, read on"),
            Column::text("the verdict"),
            Column::text("measured again"),
            Column::wide("was done since"),
        ],
        rows,
        half: false,
    }
}

fn warnings(impact: &Impact) -> Table {
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut last = 0;
    for line in impact
        .lines
        .iter()
        .filter(|l| l.release != Release::NotNeeded)
    {
        if std::mem::replace(&mut last, line.event) == line.event {
            continue;
        }
        let release = Cell::text(release_words(&line.release));
        let release = if line.release == Release::Missing {
            Cell {
                mark: Some(Mark::Missing),
                ..release
            }
        } else {
            release
        };
        rows.push(vec![
            Cell::reading(line.at.date(), &line.id),
            Cell::text(&line.of),
            Cell::reading(
                if line.said.is_empty() {
                    "nothing"
                } else {
                    &line.said
                },
                &line.signer,
            ),
            release,
        ]);
    }
    Table {
        title: "Read while its calibration was overdue".into(),
        note: "the program warns at each use".into(),
        columns: vec![
            Column::text("date, record"),
            Column::text("of"),
            Column::wide("what was said to the warning, signed by"),
            Column::text("release by the engineer"),
        ],
        rows,
        half: false,
    }
}

fn readings(impact: &Impact, show: Show) -> Table {
    let rows = impact.lines.iter().map(|line| {
        vec![
            Cell::reading(line.at.date(), &line.of),
            Cell::text(grouped(line, |r| r.recorded, impact, show)),
            Cell::text(grouped(line, |r| r.corrected, impact, show)),
        ]
    });
    Table {
        title: "The readings behind it".into(),
        note: format!("as the gauge showed them, {}", unit(impact, show)),
        columns: vec![
            Column::text("date, of"),
            Column::wide("as recorded"),
            Column::wide("fully corrected"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

fn unit(impact: &Impact, show: Show) -> &'static str {
    match impact.measures.as_str() {
        "temperature" => "\u{b0}C",
        "torque" => "N m",
        _ => show.unit.sign(),
    }
}

/// Readings of one plane or row pair together: "plane 1: 479.705 479.707 ...".
pub(crate) fn grouped(
    line: &ImpactLine,
    value: impl Fn(&ImpactReading) -> i64,
    impact: &Impact,
    show: Show,
) -> String {
    let mut groups: Vec<(String, Vec<String>)> = Vec::new();
    for reading in &line.readings {
        let name = head(&reading.path, line.rows);
        let text = in_its_unit(value(reading), &impact.measures, show);
        let text = text
            .rsplit_once(' ')
            .map_or(text.as_str(), |(number, _)| number)
            .to_owned();
        match groups.last_mut().filter(|(last, _)| *last == name) {
            Some((_, values)) => values.push(text),
            None => groups.push((name, vec![text])),
        }
    }
    let groups: Vec<String> = groups
        .into_iter()
        .map(|(name, values)| format!("{name} {}", values.join(" ")))
        .collect();
    groups.join("; ")
}
