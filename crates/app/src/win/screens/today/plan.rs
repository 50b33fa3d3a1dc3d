//! Planning a teardown below its line: for which day, and why not now. Whoever is past an interval has a name behind it.

use draw::tokens::space;
use egui::{Rect, Ui, vec2};
use store::payload::{Payload, Role, TeardownPlanned};
use store::{Stamp, ThingNo};

use crate::ui::focus;
use crate::ui::text;
use crate::ui::widgets::{self, Button, Kind, Outcome, TextField};
use crate::win::command::{Command, Events, Place};
use crate::win::screens::Cx;

/// Where the answer belongs.
const PLAN: Place = "today/plan";
/// Path of the field for the day.
pub const DAY: &str = "today/plan/day";
/// Path of the field for the reason.
pub const WHY: &str = "today/plan/why";

/// What only the page remembers.
#[derive(Debug, Default)]
pub struct PlanView {
    /// The chock.
    pub chock: Option<ThingNo>,
    day: String,
    why: String,
    is_sent: bool,
    /// Somebody signs in for it: the caret comes back to the day.
    is_signing: bool,
}

impl PlanView {
    /// Opens the lines for a chock, or closes them.
    pub fn toggle(&mut self, ui: &Ui, chock: ThingNo) {
        let is_open = self.chock == Some(chock);
        *self = Self {
            chock: (!is_open).then_some(chock),
            ..Self::default()
        };
        focus::ask(ui.ctx(), DAY);
    }
}

/// The lines.
pub fn plan_ui(ui: &mut Ui, cx: &Cx, view: &mut PlanView, commands: &mut Vec<Command>) {
    let Some(chock) = view.chock else { return };
    if view.is_sent && !cx.answers.is_waiting(PLAN) && cx.answers.refusal(PLAN).is_none() {
        *view = PlanView::default();
        return;
    }
    if ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, egui::Key::Escape)) {
        *view = PlanView::default();
        return;
    }
    ui.add_space(space::XS);
    let rect = ui.available_rect_before_wrap();
    let inner = Rect::from_min_max(rect.min + vec2(32.0, 0.0), rect.max);
    ui.scope_builder(egui::UiBuilder::new().max_rect(inner), |ui| {
        ui.spacing_mut().item_spacing.y = space::XS;
        if !cx.is_role(&[Role::Foreman, Role::Engineer]) {
            text::note(ui, "A foreman or the engineer plans it: sign in.");
            if Button::new(Kind::Second, "Sign in")
                .name("Sign in to plan")
                .show(ui)
                .clicked()
            {
                view.is_signing = true;
                commands.push(Command::AskSignIn { then: None });
            }
            return;
        }
        if std::mem::take(&mut view.is_signing) {
            focus::ask(ui.ctx(), DAY);
        }
        widgets::caption(ui, "planned for");
        let outcome = TextField::new(DAY, "Planned for")
            .hint("day, such as 2031-03-14; empty: no day yet")
            .width(ui.available_width().min(420.0))
            .show(ui, &mut view.day);
        if let Outcome::Commit(step) = outcome
            && focus::step(ui.ctx(), &[DAY, WHY], DAY, step).is_none()
        {
            focus::pass_on(ui.ctx(), DAY, step);
        }
        widgets::caption(ui, "why not now");
        let outcome = TextField::new(WHY, "Why not now")
            .hint("such as: no spare until the set is back from outside")
            .width(ui.available_width().min(560.0))
            .show(ui, &mut view.why);
        let typed = view.day.trim();
        let day = Stamp::parse(typed, cx.now.offset_min);
        let is_day = typed.is_empty() || day.is_some();
        if !is_day {
            widgets::error_box(
                ui,
                "No such day",
                "Type it as 2031-03-14, or leave it empty.",
            );
        }
        let is_said = is_day && !view.why.trim().is_empty();
        if let Outcome::Commit(step) = outcome
            && focus::step(ui.ctx(), &[DAY, WHY], WHY, step).is_none()
        {
            focus::pass_on(ui.ctx(), WHY, step);
        }
        ui.horizontal(|ui| {
            let kept = Button::new(Kind::Primary, "Keep plan").enabled(is_said);
            if kept.show(ui).clicked() && !cx.answers.is_waiting(PLAN) {
                let reason = view.why.trim().to_owned();
                let planned_ms = day.map(|day| day.ms);
                view.is_sent = true;
                commands.push(Command::Append {
                    place: PLAN,
                    events: Events::made(move |logbook| {
                        let payload = Payload::TeardownPlanned(TeardownPlanned {
                            chock: logbook.name(chock)?,
                            planned_ms,
                            reason,
                        });
                        Ok(vec![store::NewEvent {
                            at: logbook.now(),
                            payload,
                        }])
                    }),
                });
            }
            ui.add_space(space::M);
            if Button::new(Kind::Second, "Begin the sheet now")
                .enabled(cx.may_enter())
                .show(ui)
                .clicked()
            {
                let code = cx.snapshot.things.iter().find(|t| t.no == chock);
                let known = code.map(|t| ("identify.chock".to_owned(), t.code.clone()));
                commands.push(Command::NewSheet {
                    known: known.into_iter().collect(),
                });
            }
        });
        if let Some(why) = cx.answers.refusal(PLAN) {
            widgets::error_box(ui, "Not kept", why);
        }
    });
    ui.add_space(space::S);
}
