//! What is to be done today, in sentences: one a line, with a verb and one button, in the order of urgency.

use draw::Mark;
use store::Stamp;
use store::entry::Show;
use store::query::{Clock, DueLine, SpareLine, Standing, Today};

use crate::print::counted;
use crate::win::command::{Command, sentence};
use crate::win::health::{Health, Urgency};
use crate::win::route::{Route, SetupPage};
use crate::win::screens::setup::Act as Tell;

use super::coming::{due_soon, expected, soon, watched};
use super::work::{asked, is_next_shift, unfinished};

/// How soon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// Late, short, or not true.
    Late,
    /// Begun or held.
    Unfinished,
    /// Somebody has to answer.
    Asked,
    /// Until the end of the next shift.
    Shift,
    /// In the next days.
    Coming,
}

impl Group {
    /// In the order of the page.
    pub const ALL: [Self; 5] = [
        Self::Late,
        Self::Unfinished,
        Self::Asked,
        Self::Shift,
        Self::Coming,
    ];

    /// Its name on the page.
    pub fn title(self) -> &'static str {
        match self {
            Self::Late => "Late or short",
            Self::Unfinished => "Not finished",
            Self::Asked => "Questions open",
            Self::Shift => "In the next shift",
            Self::Coming => "Coming",
        }
    }
}

/// One line of the page.
#[derive(Debug)]
pub struct Line {
    /// How soon.
    pub group: Group,
    /// Its mark; none: a dot.
    pub mark: Option<Mark>,
    /// The sentence in pieces; true for the one that is strong.
    pub words: Vec<(bool, String)>,
    /// What stands below it.
    pub note: String,
    /// Words of its button.
    pub button: &'static str,
    /// Its whole name, where its words and the sentence are not that.
    pub name: Option<String>,
    /// What the button does.
    pub act: Act,
    /// What the line counts, each by name, folded until it is asked for.
    pub list: Vec<Counted>,
}

/// One of many that a line counts.
#[derive(Debug, PartialEq)]
pub struct Counted {
    /// Its name.
    pub name: String,
    /// How it stands.
    pub words: String,
    /// Its page.
    pub route: Route,
}

/// What the button of a line does.
#[derive(Debug)]
pub enum Act {
    /// This.
    Do(Command),
    /// Opens the settling of a conflict below the line.
    Settle(i64),
    /// Opens the planning of a chock's teardown below the line.
    Plan(store::ThingNo),
    /// Opens the list of what the line counts below it.
    List,
    /// Opens one of the drafts, by its place among them; whose it is decides how.
    Draft(usize),
}

impl Line {
    pub(super) fn new(group: Group, mark: Option<Mark>, words: [&str; 3]) -> Self {
        let [before, strong, after] = words;
        let pieces = [(false, before), (true, strong), (false, after)];
        Self {
            group,
            mark,
            words: pieces
                .map(|(is_strong, text)| (is_strong, text.to_owned()))
                .into(),
            note: String::new(),
            button: "Open",
            name: None,
            act: Act::Do(Command::Go(Route::Log)),
            list: Vec::new(),
        }
    }

    /// Counts these; the button opens them below the line.
    pub(super) fn counts(self, list: Vec<Counted>) -> Self {
        Self {
            button: "See list",
            act: Act::List,
            list,
            ..self
        }
    }

    pub(super) fn note(self, note: impl Into<String>) -> Self {
        Self {
            note: note.into(),
            ..self
        }
    }

    pub(super) fn plans(self, button: &'static str, chock: store::ThingNo) -> Self {
        Self {
            button,
            act: Act::Plan(chock),
            ..self
        }
    }

    pub(super) fn opens(self, button: &'static str, route: Route) -> Self {
        Self {
            button,
            act: Act::Do(Command::Go(route)),
            ..self
        }
    }

    /// What its button is called in full.
    pub fn button_name(&self) -> String {
        let whole = || format!("{}: {}", self.button, self.sentence());
        self.name.clone().unwrap_or_else(whole)
    }

    /// The sentence as one text.
    pub fn sentence(&self) -> String {
        self.words.iter().map(|(_, text)| text.as_str()).collect()
    }
}

/// Every line, in order; without a health, nothing is said of the file itself.
pub fn lines(today: &Today, health: Option<&Health>, now: Stamp, show: Show) -> Vec<Line> {
    let mut lines = of_health(health, now, true);
    lines.extend(conflicts(today));
    let (late, coming): (Vec<&DueLine>, Vec<&DueLine>) =
        today.due.iter().partition(|line| line.is_late());
    lines.extend(today.early.iter().map(|e| {
        let start = format!("{} is to be torn down early: ", e.chock.1);
        let end = if e.why.ends_with('.') { "" } else { "." };
        Line::new(Group::Late, Some(Mark::Fail), [&start, &e.why, end])
            .note(format!(
                "since {}",
                Stamp::second(e.at_ms, now.offset_min).date_time()
            ))
            .plans("Plan teardown", e.chock.0)
    }));
    // Whoever has said why, or may run on, waits until everything else that is late is seen to.
    let (told, untold): (Vec<&DueLine>, Vec<&DueLine>) = late.into_iter().partition(|line| {
        line.plan.is_some() || matches!(line.due.standing, Standing::Extended | Standing::Explained)
    });
    lines.extend(untold.into_iter().map(|line| overdue(line, now, show)));
    lines.extend(
        today
            .near
            .iter()
            .filter(|n| n.now_nm >= n.limit_nm)
            .map(|n| {
                let value = format!("{} {}", show.length(n.now_nm), show.unit.sign());
                let limit = format!("the limit is {}", show.length(n.limit_nm));
                let start = match n.pair.checked_sub(1) {
                    Some(pair) => {
                        let rows = show.pair_rows(pair + 1);
                        format!("{}: rows {rows} stand at ", n.bearing.1)
                    }
                    None => format!("{}: its clearance stands at ", n.bearing.1),
                };
                Line::new(Group::Late, Some(Mark::Fail), [&start, &value, "."])
                    .note(limit)
                    .opens("Open", Route::Bearing(n.bearing.0))
            }),
    );
    let (gone, to_come): (Vec<_>, Vec<_>) = today.gauges.iter().partition(|g| g.days < 0);
    lines.extend(gone.into_iter().map(|g| {
        let days = counted(usize::try_from(-g.days).unwrap_or(0), "day");
        let start = format!("{} is ", g.gauge.1);
        Line::new(
            Group::Late,
            Some(Mark::Fail),
            [&start, &days, " past its calibration."],
        )
        .note(format!(
            "{}; readings are kept and flagged, release needs the engineer",
            g.kind
        ))
        .opens("Calibrate", Route::TellOf(Tell::Calibrated, g.gauge.0))
    }));
    lines.extend(today.short.iter().map(|s| {
        let start = format!("{}: ", s.bearing_type.1);
        let new = format!("{} new", s.new);
        let end = format!(" in stores, the minimum is {}.", s.least);
        account(
            Line::new(Group::Late, Some(Mark::Fail), [&start, &new, &end]),
            &s.account,
        )
    }));
    lines.extend(told.into_iter().map(|line| overdue(line, now, show)));
    lines.extend(unfinished(today));
    lines.extend(of_health(health, now, false));
    lines.extend(asked(today, show));
    let (next, coming): (Vec<&DueLine>, Vec<&DueLine>) = coming
        .into_iter()
        .partition(|line| is_next_shift(line, now));
    lines.extend(next.into_iter().map(|line| Line {
        group: Group::Shift,
        ..due_soon(line, now, show)
    }));
    lines.extend(to_come.into_iter().map(|g| {
        let days = counted(usize::try_from(g.days).unwrap_or(0), "day");
        let start = format!("{} is due for calibration in ", g.gauge.1);
        Line::new(Group::Coming, None, [&start, &days, "."])
            .note(g.kind.as_str())
            .opens("Open", Route::Setup(SetupPage::Gauges, Some(g.gauge.0)))
    }));
    lines.extend(soon(&coming, &today.likely, now, show));
    lines.extend(expected(today, show));
    lines.extend(watched(today, show));
    lines
}

/// Where all bearings of a type are: what could go in tonight first.
fn account(line: Line, spare: &SpareLine) -> Line {
    let all = [
        (
            "in ready chocks",
            spare.in_ready_chocks(),
            "to go in first, unless due or late",
        ),
        ("in the shop", spare.ready, "goes into a chock first"),
        ("new in stores", spare.new, "goes into a chock first"),
        (
            "on hold",
            spare.held + spare.in_held,
            "the engineer releases it",
        ),
        ("away", spare.away, "for outside work"),
        ("in the mill", spare.in_mill, "at work"),
        (
            "not known where",
            spare.unknown,
            "found again, it is entered",
        ),
    ];
    let some = || all.iter().filter(|(_, count, _)| *count > 0);
    let told = some().filter(|(place, ..)| *place != "new in stores");
    let told: Vec<String> = told
        .map(|(place, count, _)| format!("{count} {place}"))
        .collect();
    let list = some().map(|(place, count, words)| Counted {
        name: format!("{count} {place}"),
        words: (*words).to_owned(),
        route: Route::Stands,
    });
    Line {
        button: "See account",
        ..line.note(told.join(", ")).counts(list.collect())
    }
}

/// What was found out about the file itself: the wrong first, the merely to be known not at all.
fn of_health(health: Option<&Health>, now: Stamp, is_wrong: bool) -> Vec<Line> {
    let wanted = health
        .map(|health| health.lines(now))
        .unwrap_or_default()
        .into_iter()
        .filter(|line| match line.urgency {
            Urgency::Wrong => is_wrong,
            Urgency::Warning => !is_wrong,
            Urgency::Quiet => false,
        });
    wanted
        .map(|line| {
            let (group, mark) = if is_wrong {
                (Group::Late, Mark::Fail)
            } else {
                (Group::Unfinished, Mark::FailInDoubt)
            };
            let offer = line
                .offer
                .unwrap_or(crate::win::health::Offer::OpenSetup("Open"));
            Line {
                button: offer.words(),
                act: Act::Do(offer.command()),
                ..Line::new(group, Some(mark), [&line.sentence, "", ""])
            }
        })
        .collect()
}

fn conflicts(today: &Today) -> impl Iterator<Item = Line> {
    today.conflicts.iter().map(|c| {
        let of = c
            .thing
            .as_ref()
            .map_or("An entry", |(_, code)| code.as_str());
        let (start, what) = (format!("{of}: "), sentence(&c.what));
        Line {
            button: "Settle",
            act: Act::Settle(c.event),
            ..Line::new(Group::Late, Some(Mark::Fail), [&start, &what, ""])
        }
        .note(format!(
            "entry of {}; the engineer settles it",
            c.at.date_time()
        ))
    })
}

/// So much of so much, in the unit of the clock.
pub(super) fn of_interval(line: &DueLine, show: Show) -> String {
    let due = &line.due;
    match due.clock {
        Clock::Run | Clock::Forecast => {
            format!("{} of {} h", show.hours(due.done), show.hours(due.limit))
        }
        Clock::Campaigns => format!(
            "{} of {} campaigns",
            show.grouped(due.done),
            show.grouped(due.limit)
        ),
        Clock::Days => format!("{} of {} days", due.done, due.limit),
        Clock::Rolled => format!(
            "{} of {} kt",
            show.kilotonnes(due.done),
            show.kilotonnes(due.limit)
        ),
    }
}

pub(super) fn where_it_is(line: &DueLine) -> String {
    let place = if line.position.is_empty() {
        String::new()
    } else {
        format!(" at {}", line.position)
    };
    format!("{} with {}{place}", line.chock.1, line.bearing.1)
}

pub(super) fn estimate(line: &DueLine) -> &'static str {
    if line.has_estimate {
        "; some of the mill time is an estimate"
    } else {
        ""
    }
}

fn overdue(line: &DueLine, now: Stamp, show: Show) -> Line {
    let start = format!("{} has run ", where_it_is(line));
    let is_bare = line.due.standing == Standing::Overdue && line.plan.is_none();
    let end = if is_bare {
        ", and nobody has said why."
    } else {
        "."
    };
    let words = [&start, &*of_interval(line, show), end];
    let date = |ms| Stamp::second(ms, now.offset_min).date();
    let mark = match line.due.standing {
        Standing::Extended | Standing::Explained => Mark::FailInDoubt,
        _ => Mark::Fail,
    };
    let extension = match &line.extension {
        None if is_bare => Some("no reason, no extension".to_owned()),
        None => None,
        Some((until, why)) if line.is_extended() => {
            Some(format!("extension signed to {}: {why}", date(*until)))
        }
        Some((until, _)) => Some(format!("its extension ended on {}", date(*until))),
    };
    let notes: Vec<String> = extension.into_iter().chain(planned(line, now)).collect();
    Line::new(Group::Late, Some(mark), words)
        .note(notes.join("; ") + estimate(line))
        .plans(
            if is_bare {
                "Give reason"
            } else {
                "Plan teardown"
            },
            line.chock.0,
        )
}

/// "planned for 2026-11-02: no spare until then (Foreman A)".
pub(super) fn planned(line: &DueLine, now: Stamp) -> Option<String> {
    let plan = line.plan.as_ref()?;
    let day = plan.planned_ms.map_or_else(String::new, |ms| {
        format!("planned for {}: ", Stamp::second(ms, now.offset_min).date())
    });
    Some(format!("{day}{} ({})", plan.reason, plan.who))
}

/// The number of the page, and what else there is.
pub fn headline(today: &Today) -> (String, String) {
    let late = today.due.iter().filter(|line| line.is_late()).count();
    let gauges = today.gauges.iter().filter(|g| g.days < 0).count();
    let parts: Vec<String> = [
        (today.conflicts.len(), "conflict"),
        (gauges, "gauge overdue"),
        (today.short.len(), "stock alarm"),
        (today.drafts.len(), "draft"),
        (super::work::held(today).count(), "hold"),
    ]
    .into_iter()
    .filter(|(count, _)| *count > 0)
    .map(|(count, what)| match what {
        "gauge overdue" => format!("{} overdue", counted(count, "gauge")),
        _ => counted(count, what),
    })
    .collect();
    let number = match late {
        0 => "Nothing overdue".to_owned(),
        1 => "1 chock overdue".to_owned(),
        n => format!("{n} chocks overdue"),
    };
    (number, parts.join(" \u{b7} "))
}

/// Whether the logbook has nothing yet that could ever come due, and nothing is begun.
pub fn is_bare(today: &Today, things: &[store::query::FoundThing]) -> bool {
    let is_told =
        |thing: &store::query::FoundThing| matches!(&*thing.entity, "bearing" | "chock" | "gauge");
    let is_empty = today.due.is_empty() && headline(today).1.is_empty();
    is_empty && !things.iter().any(is_told)
}
