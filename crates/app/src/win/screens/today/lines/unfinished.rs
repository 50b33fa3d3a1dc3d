//! What is begun, not known or held: drafts, chocks that run without a bearing, holds.

use draw::Mark;
use store::query::Today;

use super::{Act, Group, Line};
use crate::print::counted;
use crate::win::route::Route;

pub(super) fn lines(today: &Today) -> Vec<Line> {
    let mut lines = Vec::new();
    for (index, draft) in today.drafts.iter().enumerate() {
        let what = [&draft.chock, &draft.bearing]
            .into_iter()
            .find(|code| !code.is_empty())
            .map_or("A sheet", String::as_str);
        let start = format!("{what} teardown stands at ");
        let filled = counted(usize::try_from(draft.filled).unwrap_or(0), "value");
        let who = if draft.person_name.is_empty() {
            "nobody".to_owned()
        } else {
            format!("draft of {}", draft.person_name)
        };
        let line = Line::new(
            Group::Unfinished,
            Some(Mark::Missing),
            [&start, &filled, "."],
        )
        .note(format!("{who}, begun {}", draft.started.date_time()));
        lines.push(Line {
            button: "Go on",
            act: Act::Draft(index),
            name: Some(format!("Open the draft of {what}")),
            ..line
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
    for hold in &today.holds {
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
    lines
}
