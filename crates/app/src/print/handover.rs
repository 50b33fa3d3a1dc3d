//! What the next shift has to know: what is late, begun, held or coming, and what was entered since the last one.

use report::{Cell, Column, Mark, Paper, Part, Piece, Table};
use store::draft::{self, DraftLine};
use store::note::ShiftNote;
use store::query::{self, JournalFilter, Today};
use store::sheet::{Facts, Section, assess};
use store::{Connection, Stamp};

use super::imprint::{NO_RELEASE, imprint, to_sign};
use super::{PrintJob, Result, counted, events};
use crate::win::screens::today::lines::{Group, Line, headline, lines};

/// The document; what was entered after `since_ms` is new.
pub(super) fn paper(conn: &Connection, since_ms: i64, job: &PrintJob) -> Result<Paper> {
    let (now, show) = (job.now, job.show);
    let mut today = query::today(conn, now, since_ms, show)?;
    // The page shows the newest entries only; a hand-over leaves none out.
    let all = query::journal(conn, &JournalFilter::default(), show)?;
    today.changes = all
        .into_iter()
        .filter(|line| line.entered.ms > since_ms && line.entered.ms <= now.ms)
        .collect();
    // On paper the wear of the shop is worked out at once: a print has a thread of its own.
    let wear = query::shop_wear(conn, None)?;
    match &wear {
        Ok(wear) => {
            today.likely = query::likely_limits(conn, now, wear)?;
            today.expected = query::expected_limits(conn, wear)?;
            today.questions = wear.questions();
        }
        Err(none) => today.questions = none.questions(),
    }
    let told = lines(&today, None, now, show);
    let (number, others) = headline(&today);
    let since = Stamp::second(since_ms, now.offset_min).date_time();
    let mut parts: Vec<Part> = Group::ALL
        .into_iter()
        .map(|group| Part::Table(group_table(group, &told)))
        .collect();
    if let Some(note) = &today.note {
        parts.insert(0, Part::Table(note_table(note)));
    }
    for line in &today.drafts {
        parts.push(Part::Table(draft_table(conn, line, job)?));
    }
    parts.push(Part::Events {
        title: format!("Entered since {since}"),
        note: format!("{} entered", today.changes.len()),
        lines: today.changes.iter().rev().map(events::plain).collect(),
    });
    let mut imprint = imprint(conn, job, &[], &[NO_RELEASE])?;
    imprint.signature_lines = to_sign(&[
        ("", "handed over: name, time"),
        ("", "taken over: name, time"),
    ]);
    Ok(Paper {
        title_line: format!("Hand-over, {}", now.date_time()),
        name: format!("hand-over {}", now.date_time()),
        counts: counts(&today, told.len()),
        headline: number,
        summary: others,
        parts,
        imprint,
        ..Paper::default()
    })
}

fn counts(today: &Today, lines: usize) -> String {
    [
        counted(lines, "line"),
        counted(today.drafts.len(), "draft"),
        format!("{} entered since", today.changes.len()),
    ]
    .join(", ")
}

fn group_table(group: Group, all: &[Line]) -> Table {
    let rows = all.iter().filter(|line| line.group == group).map(|line| {
        let pieces = line.words.iter().map(|(is_strong, text)| {
            if *is_strong {
                Piece::bold(text)
            } else {
                Piece::plain(text)
            }
        });
        let what = Cell {
            pieces: pieces.collect(),
            under: line.note.clone(),
            mark: None,
        };
        let mark = line.mark.map_or_else(Cell::default, |mark| Cell {
            mark: Some(printed(mark)),
            ..Cell::text(word(mark))
        });
        vec![mark, what, Cell::default()]
    });
    Table {
        title: group.title().into(),
        note: String::new(),
        columns: vec![
            Column::text(""),
            Column::wide("what"),
            Column::text("done by whom and when"),
        ],
        rows: rows.collect(),
        half: false,
    }
}

/// The note in words; it is signed by nobody.
fn note_table(note: &ShiftNote) -> Table {
    let who = if note.who.is_empty() {
        "somebody"
    } else {
        &note.who
    };
    Table {
        title: "Note for the next shift".into(),
        note: format!(
            "{who}, {}; no part of the signed record",
            note.at.date_time()
        ),
        columns: vec![Column::wide("note")],
        rows: vec![vec![Cell::text(&note.text)]],
        half: false,
    }
}

/// A line that is no verdict has a word of its own beside the shape.
fn word(mark: draw::Mark) -> &'static str {
    match mark {
        draw::Mark::Fail => "late",
        draw::Mark::FailInDoubt | draw::Mark::PassInDoubt => "look at it",
        draw::Mark::Missing => "begun",
        draw::Mark::Pass => "done",
        draw::Mark::NotApplicable => "",
    }
}

fn printed(mark: draw::Mark) -> Mark {
    match mark {
        draw::Mark::Pass => Mark::Pass,
        draw::Mark::PassInDoubt => Mark::PassInDoubt,
        draw::Mark::FailInDoubt => Mark::FailInDoubt,
        draw::Mark::Fail => Mark::Fail,
        draw::Mark::Missing => Mark::Missing,
        draw::Mark::NotApplicable => Mark::NotApplicable,
    }
}

/// How far a draft is, a row a section, with what stands against signing.
fn draft_table(conn: &Connection, line: &DraftLine, job: &PrintJob) -> Result<Table> {
    let kept = draft::read(conn, line.id)?;
    let facts = Facts::load(conn, &kept.fields, kept.started)?;
    let assessment = assess(&kept.fields, &facts, job.show.unit);
    let named = job.show.rows.of(assessment.rows);
    let rows = Section::ALL
        .iter()
        .zip(&assessment.sections)
        .map(|(section, state)| {
            let mark = super::mark(state.mark.as_str());
            let word = match mark {
                Mark::Pass => "done",
                _ if state.blockers.is_empty() => "not yet",
                _ => "open",
            };
            vec![
                Cell::text(format!("{} {}", section.number(), section.title())),
                Cell {
                    mark: Some(mark),
                    ..Cell::text(word)
                },
                Cell::reading(named.told(&state.blockers.join("; ")), &state.note),
            ]
        });
    let what = [&line.chock, &line.bearing]
        .into_iter()
        .find(|code| !code.is_empty())
        .map_or("a sheet", String::as_str);
    let who = if line.person_name.is_empty() {
        "nobody"
    } else {
        &line.person_name
    };
    Ok(Table {
        title: format!("Draft: teardown of {what}"),
        note: format!("{who}, begun {}", line.started.date_time()),
        columns: vec![
            Column::text("section"),
            Column::text("state"),
            Column::wide("still to do"),
        ],
        rows: rows.collect(),
        half: false,
    })
}
