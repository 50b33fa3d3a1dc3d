//! Sheets that are begun and not signed: which of both, what it is about as far as it is typed, whose it is.

use draw::Mark;
use store::draft::DraftLine;
use store::query::Today;

use super::lines::{Act, Group, Line};
use crate::print::counted;
use crate::win::screens::mounting::KIND;

/// A line for each.
pub fn lines(today: &Today) -> impl Iterator<Item = Line> {
    let all = today.drafts.iter().enumerate();
    all.map(|(index, draft)| Line {
        act: Act::Draft(index),
        ..line(draft)
    })
}

fn line(draft: &DraftLine) -> Line {
    let kind = if draft.kind == KIND {
        "mounting"
    } else {
        "teardown"
    };
    let begun = draft.started.date_time();
    let filled = counted(usize::try_from(draft.filled).unwrap_or(0), "value");
    let whose = if draft.person_name.is_empty() {
        "nobody\u{2019}s draft".to_owned()
    } else {
        format!("draft of {}", draft.person_name)
    };
    let what = [&draft.chock, &draft.bearing];
    let mark = Some(Mark::Missing);
    let (line, name) = if let Some(what) = what.into_iter().find(|code| !code.is_empty()) {
        let start = format!("{what} {kind} stands at ");
        let line = Line::new(Group::Unfinished, mark, [&start, &filled, "."]);
        let name = format!("Open the draft of {what}");
        (line.note(format!("{whose}, begun {begun}")), name)
    } else {
        let clock = begun.get(11..).unwrap_or(&begun);
        let start = match kind {
            "mounting" => format!("Mounting begun {clock}, "),
            _ => format!("Teardown begun {clock}, "),
        };
        let words = [&*start, "no chock named yet", "."];
        let line = Line::new(Group::Unfinished, mark, words);
        let name = format!("Open the {kind} begun {begun}");
        (line.note(format!("{whose}, {filled}, begun {begun}")), name)
    };
    Line {
        button: "Go on",
        name: Some(name),
        ..line
    }
}
