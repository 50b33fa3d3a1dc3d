//! What comes: chocks whose interval ends soon, bearings whose wear may come first, those over their watch level. Many of
//! a sort are one line with a list.

use calc::wear::chance_words;
use draw::Mark;
use store::Stamp;
use store::entry::Show;
use store::query::{DueLine, ExpectedLimit, Today};

use super::lines::{Counted, Group, Line, estimate, of_interval, planned, where_it_is};
use crate::print::counted;
use crate::win::route::Route;
use crate::win::screens::bearings::forecast;

/// Bearings in the mill that may pass a limit before their next teardown, later than what is likely soon.
pub(super) fn expected(today: &Today, show: Show) -> Vec<Line> {
    let is_told = |bearing: store::ThingNo| today.likely.iter().any(|l| l.bearing.0 == bearing);
    let others = today.expected.iter().filter(|e| !is_told(e.bearing.0));
    let mut others: Vec<&ExpectedLimit> = others.collect();
    let left = |e: &ExpectedLimit| e.crossing_h[1].unwrap_or(f64::INFINITY) - e.now_h;
    others.sort_by(|a, b| left(a).total_cmp(&left(b)));
    if others.len() <= SOON_MAX {
        return others.into_iter().map(|e| expected_one(e, show)).collect();
    }
    let list = others.iter().map(|e| Counted {
        name: format!("{} in {} at {}", e.bearing.1, e.chock, e.position),
        words: format!("{}, {}", chance_words(e.chance), around(e, show)),
        route: Route::Bearing(e.bearing.0),
    });
    let count = counted(others.len(), "bearing");
    let words = [
        "",
        &count,
        " may pass a limit later, before their next teardown.",
    ];
    vec![
        Line::new(Group::Coming, None, words)
            .note("as their wear says, more than 1 in 6 each")
            .counts(list.collect()),
    ]
}

fn expected_one(e: &ExpectedLimit, show: Show) -> Line {
    let start = format!(
        "{} in {} at {} may pass a limit: ",
        e.bearing.1, e.chock, e.position
    );
    let chance = chance_words(e.chance);
    Line::new(
        Group::Coming,
        Some(Mark::PassInDoubt),
        [&start, &chance, "."],
    )
    .note(format!("before its next teardown, {}", around(e, show)))
    .opens("See forecast", Route::Bearing(e.bearing.0))
}

/// "around 10,900 h, 9 in 10 between 10,600 and 11,300; now 10,600 h".
fn around(e: &ExpectedLimit, show: Show) -> String {
    let hours = |h: Option<f64>| h.map_or_else(|| "later".to_owned(), |h| forecast::hours(h, show));
    let [early, middle, late] = e.crossing_h.map(hours);
    format!(
        "around {middle} h, 9 in 10 between {early} and {late}; now {} h",
        forecast::hours(e.now_h, show)
    )
}

/// Many that come due are one line; the page of the stands has them all.
const SOON_MAX: usize = 3;

pub(super) fn soon(coming: &[&DueLine], likely: &[DueLine], now: Stamp, show: Show) -> Vec<Line> {
    let mut coming: Vec<&DueLine> = coming.to_vec();
    coming.sort_by_key(|line| line.due.days);
    let mut lines = Vec::new();
    if coming.len() <= SOON_MAX {
        lines.extend(coming.into_iter().map(|line| due_soon(line, now, show)));
    } else {
        lines.push(many_due(&coming, show));
    }
    if likely.len() <= SOON_MAX {
        lines.extend(likely.iter().map(|line| by_forecast(line, now, show)));
    } else {
        lines.push(many_forecast(likely));
    }
    lines
}

/// Many that come due, in one line.
fn many_due(due: &[&DueLine], show: Show) -> Line {
    let count = counted(due.len(), "chock");
    let mut by_line: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    for line in due {
        *by_line.entry(&line.line).or_default() += 1;
    }
    let parts: Vec<String> = by_line
        .into_iter()
        .map(|(code, n)| match code {
            "" => format!("{n} that never ran"),
            _ => format!("{n} at {code}"),
        })
        .collect();
    let first = due.first().map_or_else(String::new, |line| {
        format!("; first {} in about {}", line.chock.1, days(line.due.days))
    });
    let end = format!(" are due within {} days.", store::query::AHEAD_DAYS);
    let list = due.iter().map(|line| Counted {
        name: where_it_is(line),
        words: format!(
            "in about {}: {}",
            days(line.due.days),
            of_interval(line, show)
        ),
        route: Route::Chock(line.chock.0),
    });
    Line::new(Group::Coming, None, ["", &count, &end])
        .note(parts.join(", ") + &first)
        .counts(list.collect())
}

/// Many whose wear comes before their interval, in one line.
fn many_forecast(forecast: &[DueLine]) -> Line {
    let count = counted(forecast.len(), "bearing");
    let now = forecast.iter().filter(|line| line.due.days <= 0).count();
    let note = format!(
        "as their wear says, 1 in 6 or more: {now} by now, {} within {} days",
        forecast.len() - now,
        store::query::AHEAD_DAYS
    );
    let list = forecast.iter().map(|line| Counted {
        name: where_it_is(line),
        words: match line.due.days {
            ..=0 => "a limit may be passed now".to_owned(),
            n => format!("a limit may be passed in about {}", days(n)),
        },
        route: Route::Bearing(line.bearing.0),
    });
    let words = ["", &count, " may pass a limit before their interval ends."];
    Line::new(Group::Coming, Some(Mark::PassInDoubt), words)
        .note(note)
        .counts(list.collect())
}

fn days(days: i64) -> String {
    counted(usize::try_from(days).unwrap_or(0), "day")
}

/// The wear says that a limit may be passed before the interval ends.
fn by_forecast(line: &DueLine, now: Stamp, show: Show) -> Line {
    let start = format!("{}: a limit may be passed ", where_it_is(line));
    let when = match line.due.days {
        ..=0 => "now".to_owned(),
        n => format!("in about {}", days(n)),
    };
    let note = format!(
        "1 in 6 that a limit is passed after {} h without a teardown, as its wear says; {} h have run",
        show.hours(line.due.limit),
        show.hours(line.due.done)
    );
    let notes: Vec<String> = std::iter::once(note).chain(planned(line, now)).collect();
    Line::new(Group::Coming, Some(Mark::PassInDoubt), [&start, &when, "."])
        .note(notes.join("; ") + estimate(line))
        .plans("Plan teardown", line.chock.0)
}

pub(super) fn due_soon(line: &DueLine, now: Stamp, show: Show) -> Line {
    let when = days(line.due.days);
    let start = format!("{} is due in about ", where_it_is(line));
    let note = format!(
        "{} so far, at the pace of the last 90 days",
        of_interval(line, show)
    );
    let notes: Vec<String> = std::iter::once(note).chain(planned(line, now)).collect();
    Line::new(Group::Coming, None, [&start, &when, "."])
        .note(notes.join("; ") + estimate(line))
        .plans("Plan teardown", line.chock.0)
}

/// Those over the watch level and under the limit, in one line.
pub(super) fn watched(today: &Today, show: Show) -> Option<Line> {
    let under: Vec<_> = today
        .near
        .iter()
        .filter(|n| n.now_nm < n.limit_nm)
        .collect();
    let nearest = under.first()?;
    let count = counted(under.len(), "bearing");
    let verb = if under.len() == 1 { "stands" } else { "stand" };
    let note = format!(
        "nearest to its limit: {} at {} of {} {}",
        nearest.bearing.1,
        show.length(nearest.now_nm),
        show.length(nearest.limit_nm),
        show.unit.sign()
    );
    let words = [
        "",
        &count,
        &format!(" in chocks {verb} over the watch level."),
    ];
    let list = under.iter().map(|n| Counted {
        name: match n.pair.checked_sub(1) {
            Some(pair) => format!("{}, {}", n.bearing.1, show.pair_name(pair + 1)),
            None => n.bearing.1.clone(),
        },
        words: format!(
            "{} of {} {}",
            show.length(n.now_nm),
            show.length(n.limit_nm),
            show.unit.sign()
        ),
        route: Route::Bearing(n.bearing.0),
    });
    let line = Line::new(Group::Coming, None, words).note(note);
    Some(match under.len() {
        1 => line.opens("See nearest", Route::Bearing(nearest.bearing.0)),
        _ => line.counts(list.collect()),
    })
}
