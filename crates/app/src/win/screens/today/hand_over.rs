//! What the next shift has to know, beside the list: drafts, holds, gauges, what the mill was asked, a note in words,
//! and what was entered in the last hours.

use draw::Align;
use draw::tokens::space;
use egui::{Ui, pos2};
use store::query::{JournalLine, Today};

use crate::print::{What, counted};
use crate::ui::focus;
use crate::ui::frames;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind, Outcome, TextField};
use crate::win::command::Command;
use crate::win::route::Route;
use crate::win::screens::Cx;
use crate::win::screens::log::event_line::{pieces, sentence, target};
use crate::win::screens::log::small;

/// Path of the field for the note.
pub const NOTE: &str = "today/note";
/// At most so many lines of a sort; the list beside it has all.
const LINES_MAX: usize = 3;

/// What only the panel remembers.
#[derive(Debug, Default)]
pub struct NoteView {
    /// The note as typed.
    text: String,
    /// The note that it began with.
    begun: Option<String>,
}

/// The panel.
pub fn hand_over_panel(
    ui: &mut Ui,
    cx: &Cx,
    today: &Today,
    view: &mut NoteView,
    commands: &mut Vec<Command>,
) {
    let next = super::shift::Shift::at(cx.now).map_or("next", |shift| shift.next().word());
    frames::side_panel(ui, &format!("Hand over to the {next} shift"), |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        section(ui, "Drafts open", drafts(today));
        section(ui, "On hold", holds(today));
        section(ui, "Gauges", gauges(today));
        section(ui, "Asked of the mill", jobs(today));
        note(ui, cx, today, view, commands);
        let width = ui.available_width();
        let print = Button::new(Kind::Second, "Print the hand-over").width(width);
        if print.show(ui).clicked() {
            commands.push(Command::Go(Route::Documents(What::Handover, None)));
        }
        ui.add_space(space::L);
        widgets::heading(ui, "Entered in the last 8 h", "");
        widgets::rule(ui);
        changes(ui, today, commands);
    });
}

fn section(ui: &mut Ui, title: &str, lines: Vec<String>) {
    let head = text::strip(ui, 28.0);
    let at = pos2(head.left(), head.top() + 20.0);
    text::at(ui, at, Align::Left, Face::NOTE_STRONG.muted(), title);
    let more = lines.len().saturating_sub(LINES_MAX);
    if lines.is_empty() {
        text::say(ui, Face::BODY, "None.");
    }
    for line in lines.into_iter().take(LINES_MAX) {
        text::say(ui, Face::BODY, &line);
    }
    if more > 0 {
        text::note(ui, &format!("and {more} more in the list"));
    }
    ui.add_space(space::S);
    widgets::rule(ui);
}

fn drafts(today: &Today) -> Vec<String> {
    let words = |draft: &store::draft::DraftLine| {
        let what = [&draft.chock, &draft.bearing];
        let what = what.into_iter().find(|code| !code.is_empty());
        let what = what.map_or("No chock named yet", String::as_str);
        let filled = counted(usize::try_from(draft.filled).unwrap_or(0), "value");
        let whose = match draft.person_name.as_str() {
            "" => "Nobody has it.".to_owned(),
            name => format!("{name} has it."),
        };
        format!("{what}: {filled}. {whose}")
    };
    today.drafts.iter().map(words).collect()
}

/// What is away on a hold is told once, with where it is.
fn holds(today: &Today) -> Vec<String> {
    let away = |no| today.work.away.iter().find(|away| away.thing.0 == no);
    let own = today.holds.iter().filter(|hold| !hold.is_by_sheet);
    own.map(|hold| {
        if let Some(away) = away(hold.thing.0) {
            let since = away.since.date();
            return format!("{}: at {} since {since}.", hold.thing.1, away.to);
        }
        let end = if hold.reason.ends_with('.') { "" } else { "." };
        format!("{}: {}{end}", hold.thing.1, hold.reason)
    })
    .collect()
}

fn gauges(today: &Today) -> Vec<String> {
    let days = |n: i64| counted(usize::try_from(n).unwrap_or(0), "day");
    let words = |gauge: &store::query::GaugeDue| {
        let code = &gauge.gauge.1;
        if gauge.days < 0 {
            let past = days(-gauge.days);
            format!("{code} overdue by {past}: readings are flagged, the engineer releases.")
        } else {
            format!("{code} is due in {}.", days(gauge.days))
        }
    };
    today.gauges.iter().map(words).collect()
}

fn jobs(today: &Today) -> Vec<String> {
    let words = |job: &store::query::JobLine| format!("{}: {}", job.position.1, job.text);
    today.work.jobs.iter().map(words).collect()
}

/// The note: what no entry says.
fn note(ui: &mut Ui, cx: &Cx, today: &Today, view: &mut NoteView, commands: &mut Vec<Command>) {
    let kept = today.note.as_ref().map_or("", |note| note.text.as_str());
    // What was kept meanwhile, here or before, is what is gone on from; what is being typed is not touched.
    if view.begun.as_deref() != Some(kept) {
        let is_touched = view.begun.as_ref().is_some_and(|begun| *begun != view.text);
        if !is_touched {
            kept.clone_into(&mut view.text);
        }
        view.begun = Some(kept.to_owned());
    }
    let head = text::strip(ui, 28.0);
    let at = pos2(head.left(), head.top() + 20.0);
    text::at(ui, at, Align::Left, Face::NOTE_STRONG.muted(), "Your note");
    let outcome = TextField::new(NOTE, "Note for the next shift")
        .hint("What must the next shift know?")
        .lines(4)
        .locked(!cx.may_enter())
        .show(ui, &mut view.text);
    if let Outcome::Commit(step) = outcome {
        focus::pass_on(ui.ctx(), NOTE, step);
    }
    ui.add_space(space::XS);
    let is_new = view.text.trim() != kept.trim();
    let words = match &today.note {
        _ if is_new => "Not kept yet.".to_owned(),
        None => "Printed on the hand-over; kept in this copy, not in the signed record.".to_owned(),
        Some(note) => {
            let who = if note.who.is_empty() {
                "Somebody"
            } else {
                &note.who
            };
            format!(
                "{who}, {}. Printed on the hand-over, no part of the signed record.",
                note.at.date_time()
            )
        }
    };
    text::note(ui, &words);
    ui.add_space(space::S);
    let keep = Button::new(Kind::Second, "Keep note").width(ui.available_width());
    if keep.enabled(is_new && cx.may_enter()).show(ui).clicked() {
        commands.push(Command::LeaveNote(view.text.trim().to_owned()));
    }
    ui.add_space(space::S);
}

/// What happened since the last shift.
fn changes(ui: &mut Ui, today: &Today, commands: &mut Vec<Command>) {
    if today.changes.is_empty() {
        text::note(
            ui,
            "Nothing was entered in the last 8 hours. Campaigns are not listed.",
        );
        return;
    }
    ui.spacing_mut().item_spacing.y = 0.0;
    // What moves by the dozen is told in one line.
    let is_move = |line: &&JournalLine| matches!(&*line.kind, "mounted" | "dismounted");
    let moves = today.changes.iter().filter(is_move).count();
    for line in today.changes.iter().filter(|line| !is_move(line)) {
        let rect = text::strip(ui, 24.0);
        // When it was entered; what is from another day says so.
        let time = line.entered.date_time();
        let title = if line.at.date() == line.entered.date() {
            line.title.clone()
        } else {
            format!("{} of {}", line.title, line.at.date())
        };
        let at = pos2(rect.left(), rect.top() + 16.0);
        let end = text::at(
            ui,
            at,
            Align::Left,
            Face::NOTE,
            time.get(11..).unwrap_or(&time),
        )
        .right();
        let name = format!("Open {}", sentence(line));
        let at = pos2(end + space::S, at.y);
        if small::link_at(ui, at, Face::NOTE_STRONG, &title, &name).clicked() {
            commands.push(Command::Go(target(line)));
        }
        let body = text::strip(ui, 22.0);
        pieces(ui, body, "", &line.pieces);
        ui.add_space(space::XS);
        widgets::rule(ui);
    }
    if moves > 0 {
        ui.add_space(space::S);
        let words = format!("{} went on a roll or came off.", counted(moves, "chock"));
        if small::link(ui, &words, "Open the log for the moves").clicked() {
            commands.push(Command::Go(Route::Log));
        }
    }
}
