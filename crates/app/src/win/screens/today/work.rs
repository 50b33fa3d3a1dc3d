//! Lines of what is begun, open, away or asked, between the shifts.

use std::fmt::Write as _;

use draw::Mark;
use store::Stamp;
use store::entry::Show;
use store::query::{HoldLine, Today};
use store::time::DAY_MS;

use super::lines::{Counted, Group, Line};
use crate::print::counted;
use crate::win::route::Route;

/// At most so many are named in one line; the page behind the button has all.
const NAMED_MAX: usize = 6;

/// Codes with commas between, and how many more.
fn named(codes: &[&str]) -> String {
    let more = codes.len().saturating_sub(NAMED_MAX);
    let mut words = codes
        .iter()
        .take(NAMED_MAX)
        .copied()
        .collect::<Vec<_>>()
        .join(", ");
    if more > 0 {
        let _ = write!(words, " and {more} more");
    }
    words
}

fn open_chock((no, code): &(store::ThingNo, String)) -> Counted {
    Counted {
        name: code.clone(),
        words: "no bearing in it, or not closed".to_owned(),
        route: Route::Chock(*no),
    }
}

/// The holds that stand for themselves: what a sheet sent away is told among what is away.
pub(super) fn held(today: &Today) -> impl Iterator<Item = &HoldLine> {
    let away = &today.work.away;
    today.holds.iter().filter(move |hold| {
        let is_away = away.iter().any(|away| away.thing.0 == hold.thing.0);
        !(hold.is_by_sheet && is_away)
    })
}

/// Begun sheets, open chocks, chocks that run empty, holds, things away, work asked of the mill.
pub fn unfinished(today: &Today) -> Vec<Line> {
    let mut lines: Vec<Line> = super::drafts::lines(today).collect();
    let work = &today.work;
    if !work.open_chocks.is_empty() {
        let count = counted(work.open_chocks.len(), "chock");
        let verb = if work.open_chocks.len() == 1 {
            "stands"
        } else {
            "stand"
        };
        let codes: Vec<&str> = work
            .open_chocks
            .iter()
            .map(|(_, code)| code.as_str())
            .collect();
        let end = format!(" {verb} open in the shop.");
        let line = Line::new(Group::Unfinished, None, ["", &count, &end]);
        let line = line.note(named(&codes));
        lines.push(match work.open_chocks.as_slice() {
            [(no, _)] => line.opens("Open", Route::Chock(*no)),
            all => line.counts(all.iter().map(open_chock).collect()),
        });
    }
    for empty in &today.empty {
        let start = format!(
            "{} is in the mill at {} with ",
            empty.chock.1, empty.position
        );
        let words = [start.as_str(), "no bearing", " in it by the record."];
        let said = if empty.why.is_empty() {
            String::new()
        } else {
            format!("; {}", empty.why)
        };
        lines.push(
            Line::new(Group::Unfinished, Some(Mark::Missing), words)
                .note(format!("since {}{said}", empty.since.date_time()))
                .opens("Open", Route::Chock(empty.chock.0)),
        );
    }
    for hold in held(today) {
        let start = format!("{} is on hold: ", hold.thing.1);
        let end = if hold.reason.ends_with('.') { "" } else { "." };
        let route = Route::of_thing(&hold.entity, hold.thing.0).unwrap_or(Route::Log);
        lines.push(
            Line::new(Group::Unfinished, None, [&start, &hold.reason, end])
                .note(format!(
                    "since {}; the engineer releases it",
                    hold.since.date()
                ))
                .opens("Open", route),
        );
    }
    for back in &work.unmeasured {
        let seat = if back.entity == "roll" {
            "necks"
        } else {
            "bore"
        };
        let end = format!(", and its {seat} is not measured yet.");
        let end = if back.entity == "roll" {
            end.replace(" is not", " are not")
        } else {
            end
        };
        let route = Route::of_thing(&back.entity, back.thing.0).unwrap_or(Route::Log);
        let words = [back.thing.1.as_str(), " came back from outside work", &end];
        lines.push(
            Line::new(Group::Unfinished, Some(Mark::Missing), words)
                .note(format!("since {}", back.since.date()))
                .opens("Open", route),
        );
    }
    for job in &work.jobs {
        let start = format!("Asked of the mill at {}: ", job.position.1);
        let end = if job.text.ends_with('.') { "" } else { "." };
        lines.push(
            Line::new(Group::Unfinished, None, [&start, &job.text, end])
                .note(format!("since {}, not told as done", job.since.date()))
                .opens("Open", Route::Event(job.event)),
        );
    }
    if !work.away.is_empty() {
        let list = work.away.iter().filter_map(|line| {
            Some(Counted {
                name: line.thing.1.clone(),
                words: format!("at {} since {}", line.to, line.since.date()),
                route: Route::of_thing(&line.entity, line.thing.0)?,
            })
        });
        let list: Vec<Counted> = list.collect();
        let count = match work.away.len() {
            1 => "1 thing".to_owned(),
            n => format!("{n} things"),
        };
        let verb = if work.away.len() == 1 { "is" } else { "are" };
        let told: Vec<String> = work
            .away
            .iter()
            .map(|line| {
                format!(
                    "{} at {} since {}",
                    line.thing.1,
                    line.to,
                    line.since.date()
                )
            })
            .collect();
        let told: Vec<&str> = told.iter().map(String::as_str).collect();
        let end = format!(" {verb} away for outside work.");
        let line = Line::new(Group::Unfinished, None, ["", &count, &end]);
        let line = line.note(named(&told));
        lines.push(match list.as_slice() {
            [one] => line.opens("Open", one.route),
            _ => line.counts(list),
        });
    }
    lines
}

/// What somebody has to answer: readings that do not fit, sheets opened again.
pub fn asked(today: &Today, show: Show) -> Vec<Line> {
    let mut lines = Vec::new();
    for sheet in &today.work.reopened {
        let start = format!("The sheet of {} was ", sheet.of);
        lines.push(
            Line::new(
                Group::Asked,
                Some(Mark::Missing),
                [
                    &start,
                    "opened again",
                    ", and nobody has stood for it since.",
                ],
            )
            .note(format!(
                "since {}; correct it, or have it countersigned",
                sheet.since.date()
            ))
            .opens("Open", Route::Event(sheet.sheet)),
        );
    }
    for question in &today.questions {
        let expected = show.length((question.expected_um * 1_000.0) as i64);
        let (start, strong) = match question.count {
            1 => (
                format!("{}: ", question.serial),
                "one reading does not fit".to_owned(),
            ),
            n => (
                format!("{}: ", question.serial),
                format!("{n} readings do not fit"),
            ),
        };
        lines.push(
            Line::new(
                Group::Asked,
                Some(Mark::PassInDoubt),
                [&start, &strong, " its others: check the entry."],
            )
            .note(format!(
                "{}about {expected} {} was expected; left out of the comparison",
                match question.pair {
                    0 => String::new(),
                    pair => format!("{}, ", show.pair_name(pair as usize)),
                },
                show.unit.sign()
            ))
            .opens("Open entry", Route::Event(question.event)),
        );
    }
    lines
}

/// Whether a line of what comes due belongs to the shift that comes: due within a day, or planned until then.
pub fn is_next_shift(line: &store::query::DueLine, now: Stamp) -> bool {
    let planned = line.plan.as_ref().and_then(|plan| plan.planned_ms);
    line.due.days <= 1 || planned.is_some_and(|ms| ms <= now.ms + DAY_MS)
}
