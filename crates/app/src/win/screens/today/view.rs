//! Draws the page of today.

use std::collections::BTreeSet;

use draw::tokens::space;
use draw::{Align, Mark, Token};
use egui::{Rect, Ui, pos2, vec2};
use store::ThingNo;
use store::payload::{ConflictResolved, Payload, Role, ThingsJoined};
use store::query::Today;

use super::hand_over::{NoteView, hand_over_panel};
use super::lines::{Act, Group, Line, headline, is_bare, lines};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Col, Columns, Kind, Outcome, Row, TextField};
use crate::ui::{focus, frames, paint, theme};
use crate::win::command::{Command, Events, Place};
use crate::win::route::{Route, SetupPage};
use crate::win::screens::Cx;
use crate::win::screens::log::small;
use crate::win::screens::log::view::opening;

/// Where the answer to settling belongs.
const SETTLE: Place = "today/settle";
/// Path of the field that says how a conflict is settled.
pub const HOW: &str = "today/how";
const ROW: f32 = 57.0;
const BUTTON: f32 = 150.0;

/// What only the page remembers.
#[derive(Debug, Default)]
pub struct TodayView {
    /// The conflict that is being settled.
    pub settling: Option<i64>,
    /// How, as typed.
    pub how: String,
    /// The chock whose teardown is being planned.
    pub plan: super::plan::PlanView,
    /// The note for the next shift.
    pub note: NoteView,
    /// The lines whose lists are open, by what their buttons are called.
    open: BTreeSet<String>,
}

/// The page.
pub fn today_ui(
    ui: &mut Ui,
    cx: &Cx,
    today: &Today,
    view: &mut TodayView,
    commands: &mut Vec<Command>,
) {
    hand_over_panel(ui, cx, today, &mut view.note, commands);
    let lines = lines(today, Some(cx.health), cx.now, cx.show);
    frames::page_body(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        if is_bare(today, &cx.snapshot.things) {
            let words = "What is overdue, held, short, or not finished will stand here, each with what to do. First \
                         register the mill\u{2019}s stands, chocks and bearings.";
            if widgets::empty_page(ui, "Nothing is registered yet.", words, Some("Open Setup")) {
                commands.push(Command::Go(Route::Setup(SetupPage::Stands, None)));
            }
            ui.add_space(space::L);
        } else {
            title(ui, cx, today, commands);
            if lines.is_empty() {
                ui.add_space(space::L);
                let words = "What is overdue, held, short, or not finished will stand here, each with what to do.";
                widgets::empty_page(ui, "Nothing waits.", words, None);
            }
        }
        // On a bare page the one filled button is that of the way on.
        let mut is_first = !is_bare(today, &cx.snapshot.things);
        for group in Group::ALL {
            let mut of_group = lines.iter().filter(|line| line.group == group).peekable();
            if of_group.peek().is_none() {
                continue;
            }
            let head = text::strip(ui, 34.0);
            let at = pos2(head.left(), head.top() + 22.0);
            text::at(
                ui,
                at,
                Align::Left,
                Face::NOTE_STRONG.muted(),
                group.title(),
            );
            widgets::rule(ui);
            for line in of_group {
                row(
                    ui,
                    (cx, today),
                    line,
                    std::mem::take(&mut is_first),
                    view,
                    commands,
                );
                if let Act::Settle(event) = line.act
                    && view.settling == Some(event)
                {
                    let conflict = today.conflicts.iter().find(|c| c.event == event);
                    let twin = conflict.and_then(|c| c.twin);
                    settle(ui, cx, (event, twin), view, commands);
                }
                if let Act::Plan(chock) = line.act
                    && view.plan.chock == Some(chock)
                {
                    super::plan::plan_ui(ui, cx, &mut view.plan, commands);
                }
                widgets::rule(ui);
                if view.open.contains(&line.button_name()) {
                    list(ui, line, commands);
                }
            }
            ui.add_space(space::S);
        }
    });
}

/// What a line counts, one below the other; each leads to its page.
fn list(ui: &mut Ui, line: &Line, commands: &mut Vec<Command>) {
    let columns = Columns::new(vec![Col::left("", 16.0), Col::rest(""), Col::rest("")]);
    for one in &line.list {
        let name = format!("{}: {}", one.name, one.words);
        let row = Row::reading(name).clickable(true);
        let shown = columns.row(ui, &row, |cells| {
            cells.skip().value(&one.name).text(&one.words);
        });
        if shown.clicked() {
            commands.push(Command::Go(one.route));
        }
    }
}

/// The number of the page, what else there is, and the way to a new sheet.
fn title(ui: &mut Ui, cx: &Cx, today: &Today, commands: &mut Vec<Command>) {
    let (number, rest) = headline(today);
    let rect = text::strip(ui, 44.0);
    let at = pos2(rect.left(), rect.top() + 28.0);
    let end = text::at(ui, at, Align::Left, Face::BIG, &number).right();
    let new = "New teardown";
    let width = (text::width(ui, Face::STRONG, new) + 2.0 * space::L).ceil();
    let button = Rect::from_min_size(pos2(rect.right() - width, rect.top()), vec2(width, 44.0));
    if Button::new(Kind::Second, new)
        .enabled(cx.may_enter())
        .place(ui, button)
        .clicked()
    {
        commands.push(Command::NewSheet { known: Vec::new() });
    }
    let room = button.left() - end - 2.0 * space::L;
    if text::width(ui, Face::BODY, &rest) <= room {
        text::at_most(ui, pos2(end + space::L, at.y), room, Face::BODY, &rest);
    } else if !rest.is_empty() {
        // Each of these counts: none is cut away.
        ui.add_space(space::XS);
        text::say(ui, Face::BODY, &rest);
    }
    ui.add_space(space::S);
    widgets::rule(ui);
}

fn row(
    ui: &mut Ui,
    (cx, today): (&Cx, &Today),
    line: &Line,
    is_first: bool,
    view: &mut TodayView,
    commands: &mut Vec<Command>,
) {
    let rect = text::strip(ui, ROW);
    let middle = rect.center().y;
    let mark_at = pos2(rect.left() + 8.0, middle).round();
    match line.mark {
        Some(mark) => paint::shapes(ui, mark_at, &mark.shapes(draw::pos(0.0, 0.0), 1.0)),
        None => {
            ui.painter()
                .circle_filled(mark_at, 3.0, theme::color(ui, Token::Muted));
        }
    }
    let button = Rect::from_min_size(
        pos2(rect.right() - BUTTON, middle - 22.0),
        vec2(BUTTON, 44.0),
    );
    let (mut x, right) = (rect.left() + 32.0, button.left() - space::M);
    let baseline = if line.note.is_empty() {
        middle + 6.0
    } else {
        middle - 4.0
    };
    for (is_strong, words) in line.words.iter().filter(|(_, words)| !words.is_empty()) {
        let face = if *is_strong { Face::STRONG } else { Face::BODY };
        // A blank at an end of a piece is part of the sentence.
        let width = text::width(ui, face, words);
        if right - x > 24.0 {
            text::silent_at_most(ui, pos2(x, baseline), right - x, face, words);
        }
        x += width;
    }
    let name = match line.mark {
        Some(mark) => format!("{}: {}", word_of(mark), line.sentence()),
        None => line.sentence(),
    };
    let id = ui.next_auto_id();
    ui.skip_ahead_auto_ids(1);
    let words = Rect::from_min_max(
        pos2(rect.left() + 32.0, rect.top()),
        pos2(right, rect.bottom()),
    );
    let response = ui.interact(words, id, egui::Sense::hover());
    response.widget_info(|| egui::WidgetInfo::labeled(egui::Role::Label, true, &name));
    if x > right {
        response.on_hover_text(&name);
    }
    if !line.note.is_empty() {
        let at = pos2(rect.left() + 32.0, middle + 17.0);
        text::at_most(ui, at, right - at.x, Face::NOTE, &line.note);
    }
    let kind = if is_first {
        Kind::Primary
    } else {
        Kind::Second
    };
    let full = line.button_name();
    let words = match line.act {
        Act::List if view.open.contains(&full) => "Hide list",
        _ => line.button,
    };
    if Button::new(kind, words)
        .name(&full)
        .salt(id)
        .place(ui, button)
        .clicked()
    {
        match &line.act {
            Act::Do(command) => commands.extend(again(command)),
            Act::Draft(index) => {
                commands.extend(today.drafts.get(*index).map(|draft| opening(cx, draft).1));
            }
            Act::Plan(chock) => view.plan.toggle(ui, *chock),
            Act::List => {
                if !view.open.remove(&full) {
                    view.open.insert(full);
                }
            }
            Act::Settle(event) => {
                view.settling = (view.settling != Some(*event)).then_some(*event);
                view.how.clear();
                focus::ask(ui.ctx(), HOW);
            }
        }
    }
}

/// The same command once more; lines only hold such as can be.
fn again(command: &Command) -> Option<Command> {
    match command {
        Command::Go(route) => Some(Command::Go(*route)),
        Command::Care(care) => Some(Command::Care(care.clone())),
        _ => None,
    }
}

/// What the mark says, for readers.
fn word_of(mark: Mark) -> &'static str {
    match mark {
        Mark::Fail => "late",
        Mark::Missing => "not finished",
        _ => "to be seen to",
    }
}

/// How a conflict is settled: by the engineer, in words that stay beside both entries.
fn settle(
    ui: &mut Ui,
    cx: &Cx,
    (event, twin): (i64, Option<ThingNo>),
    view: &mut TodayView,
    commands: &mut Vec<Command>,
) {
    ui.add_space(space::XS);
    let rect = ui.available_rect_before_wrap();
    ui.scope_builder(
        egui::UiBuilder::new().max_rect(Rect::from_min_max(rect.min + vec2(32.0, 0.0), rect.max)),
        |ui| {
            ui.spacing_mut().item_spacing.y = space::XS;
            text::note(
                ui,
                "Both entries stay as they were signed. Say what was true; it is kept beside them, and the state \
                 follows the entries in their order.",
            );
            if small::link(ui, "Open the entry", "Open the entry that does not fit").clicked() {
                commands.push(Command::Go(Route::Event(event)));
            }
            if !cx.is_role(&[Role::Engineer]) {
                text::note(ui, "The engineer settles it: sign in as the engineer.");
                if Button::new(Kind::Second, "Sign in").name("Sign in to settle").show(ui).clicked() {
                    commands.push(Command::AskSignIn { then: None });
                }
                return;
            }
            let field = TextField::new(HOW, "What was true")
                .hint("such as: the number was misread, it was WC-41")
                .width(ui.available_width().min(560.0));
            let outcome = field.show(ui, &mut view.how);
            let is_said = !view.how.trim().is_empty();
            // On to the buttons: there are two, and neither is pressed unseen.
            if let Outcome::Commit(step) = outcome {
                focus::pass_on(ui.ctx(), HOW, step);
            }
            let pressed = Button::new(Kind::Second, "Settled").enabled(is_said).show(ui).clicked();
            if pressed && !cx.answers.is_waiting(SETTLE) {
                let how = view.how.trim().to_owned();
                commands.push(Command::Append {
                    place: SETTLE,
                    events: Events::made(move |logbook| {
                        let event = logbook.name(ThingNo(event))?;
                        let payload = Payload::ConflictResolved(ConflictResolved { event, how });
                        Ok(vec![store::NewEvent { at: logbook.now(), payload }])
                    }),
                });
            }
            if let Some(twin) = twin {
                text::note(
                    ui,
                    "Two copies of the logbook registered one code. Where it is one thing, join the entries: all that \
                     happened to either stands on one line from then on.",
                );
                let join = Button::new(Kind::Second, "They are one thing: join").enabled(is_said);
                if join.show(ui).clicked() && !cx.answers.is_waiting(SETTLE) {
                    let reason = view.how.trim().to_owned();
                    commands.push(Command::Append {
                        place: SETTLE,
                        events: Events::made(move |logbook| {
                            let payload = Payload::ThingsJoined(ThingsJoined {
                                kept: logbook.name(twin)?,
                                joined: logbook.name(ThingNo(event))?,
                                reason,
                            });
                            Ok(vec![store::NewEvent { at: logbook.now(), payload }])
                        }),
                    });
                }
            }
            if let Some(why) = cx.answers.refusal(SETTLE) {
                widgets::error_box(ui, "Not settled", why);
            }
        },
    );
    ui.add_space(space::S);
}
