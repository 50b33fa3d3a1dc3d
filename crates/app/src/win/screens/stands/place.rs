//! What is known of one place, beside the plots: its growth, what those stays have in common that wore fast, what the
//! mill was asked and did, and the way on to a job for the mill.

use std::collections::BTreeSet;

use calc::wear::{Contrast, chance_words};
use draw::tokens::space;
use egui::Ui;
use store::payload::{MillJob, Payload, Role};

use super::StandsModel;
use super::common::common;
use super::growth::rate;
use super::headline::{contrast_words, loud};
use super::known::Known;
use super::lost::lost;
use crate::print::{What, counted};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind, Outcome, TextField};
use crate::ui::{focus, frames};
use crate::win::command::{Command, Events, Place};
use crate::win::route::Route;
use crate::win::screens::Cx;
use crate::win::screens::log::small;

/// Where the answer belongs.
const JOB: Place = "stands/job";
/// Path of the field for the job.
pub const WHAT: &str = "stands/job/what";
/// At most so many of a kind are named.
pub(super) const NAMED_MAX: usize = 4;

/// What only the panel remembers.
#[derive(Debug, Default)]
pub struct PlaceView {
    /// The place that was chosen by hand.
    pub code: Option<String>,
    /// The lines for a job are open: for one that is done, or one that is asked for.
    job: Option<bool>,
    what: String,
    is_sent: bool,
    /// Somebody signs in for it: the caret comes back to its words.
    is_signing: bool,
}

impl PlaceView {
    /// Turns to a place.
    pub fn choose(&mut self, code: &str) {
        *self = Self {
            code: Some(code.to_owned()),
            ..Self::default()
        };
    }

    /// The place that is shown: the one chosen, else the first that stands out.
    pub fn shown<'a>(&'a self, model: &'a StandsModel) -> Option<&'a str> {
        self.code
            .as_deref()
            .or_else(|| loud(model).first().map(|c| c.stand.as_str()))
    }
}

/// The panel.
pub fn place_panel(
    ui: &mut Ui,
    cx: &Cx,
    model: &StandsModel,
    view: &mut PlaceView,
    commands: &mut Vec<Command>,
) {
    if view.is_sent && !cx.answers.is_waiting(JOB) && cx.answers.refusal(JOB).is_none() {
        (view.job, view.is_sent) = (None, false);
        view.what.clear();
    }
    let code = view.shown(model).map(str::to_owned);
    let head = code.as_deref().unwrap_or("One place");
    frames::side_panel(ui, head, |ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        let known = code
            .as_deref()
            .and_then(|code| Known::of(model, code, cx.now.ms));
        let Some(known) = known else {
            let words = "Press a stand for its places, and a place for what is known of it: its stays, what they have in \
                         common, and what the mill was asked.";
            text::say(ui, Face::BODY.muted(), words);
            return;
        };
        found(ui, cx, model, &known);
        way_on(ui, cx, model, &known, view, commands);
        common(ui, cx.show, &known);
        suspect(ui, model, &known);
        if let Some(wear) = model.wear() {
            lost(ui, cx, wear, &known);
        }
        told(ui, cx, model, &known, commands);
    });
}

/// What was measured, and how sure that is.
fn found(ui: &mut Ui, cx: &Cx, model: &StandsModel, known: &Known<'_>) {
    let (show, place) = (cx.show, known.place);
    let unit = show.unit.sign();
    if let Some(pair) = &place.pairs[known.pair] {
        text::line(
            ui,
            &[
                (Face::BIG, &rate(show, pair.mean)),
                (Face::BODY, &format!("{unit} per 1,000 h")),
            ],
        );
        let within = pair.interval.map_or_else(
            || "one stay, so no interval".to_owned(),
            |(low, high)| {
                format!(
                    "95 in 100 between {} and {}",
                    rate(show, low),
                    rate(show, high)
                )
            },
        );
        let words = format!(
            "Mean of {} in 12 months, {}; {within}. All stays of the type: {}.",
            counted(place.stays, "stay"),
            known.rows(cx.show),
            rate(show, known.of_type.mean)
        );
        ui.add_space(space::XS);
        text::say(ui, Face::BODY, &words);
    }
    let contrasts = model.wear().into_iter().flat_map(|w| &w.review.contrasts);
    let own: Vec<&Contrast> = contrasts
        .filter(|c| c.stand == place.code && c.is_reported())
        .collect();
    ui.add_space(space::XS);
    let words = if own.is_empty() {
        "Fitted to all readings, it differs from the other places by no more than chance."
            .to_owned()
    } else {
        let each: Vec<String> = own.iter().map(|c| contrast_words(c, cx.show)).collect();
        let chance = own.iter().map(|c| c.p_holm).fold(0.0, f64::max);
        format!(
            "Fitted to all readings, few stays drawn towards the mean: {}. By chance, all places counted: {}.",
            each.join(", "),
            chance_words(chance)
        )
    };
    text::note(ui, &words);
    left_out(ui, model, known);
    ui.add_space(space::L);
}

/// Readings that the comparison does not use.
fn left_out(ui: &mut Ui, model: &StandsModel, known: &Known<'_>) {
    let Some(wear) = model.wear() else { return };
    let here = known.stays.iter().filter(|s| known.is_here(s));
    let events: BTreeSet<i64> = here.map(|s| s.last.event).collect();
    let of = |found: &calc::wear::Improbable| wear.source(found.reading);
    let count = wear
        .review
        .improbable
        .iter()
        .filter(|found| of(found).is_some_and(|(_, _, event)| events.contains(&event)))
        .count();
    if count > 0 {
        ui.add_space(space::XS);
        let verb = if count == 1 { "does" } else { "do" };
        let words = format!(
            "{} here {verb} not fit the other stays of the bearing. The fit leaves them out, the mean above does not.",
            counted(count, "reading")
        );
        text::note(ui, &words);
    }
}

/// What it may be; said only where the place itself stands out.
fn suspect(ui: &mut Ui, model: &StandsModel, known: &Known<'_>) {
    let contrasts = model.wear().into_iter().flat_map(|w| &w.review.contrasts);
    let own: Vec<&Contrast> = contrasts
        .filter(|c| c.stand == known.place.code && c.is_alarm())
        .collect();
    let Some(pattern) = calc::pattern::PATTERNS
        .iter()
        .find(|p| p.name == "misalignment")
    else {
        return;
    };
    if own.is_empty() {
        return;
    }
    widgets::heading(ui, "Suspect, not proven", "");
    let mut elsewhere = known.stays.iter().filter(|s| !known.is_here(s));
    let is_acquitted = !elsewhere.any(|s| known.is_fast(s));
    let who = if is_acquitted {
        "The place: its bearings and chocks wore fast here and nowhere else."
    } else {
        "The place; some stays elsewhere wore fast too, so look at those bearings and chocks as well."
    };
    text::say(ui, Face::BODY, who);
    if own.iter().any(|c| c.row_pair.is_some()) {
        ui.add_space(space::XS);
        let words = format!(
            "One row pair out of step: may be {}. Check {}.",
            pattern.cause, pattern.check
        );
        text::say(ui, Face::BODY, &words);
    }
    ui.add_space(space::L);
}

/// What the mill was asked and did, and how the bearings wore that began after it.
fn told(ui: &mut Ui, cx: &Cx, model: &StandsModel, known: &Known<'_>, commands: &mut Vec<Command>) {
    let own = || {
        model
            .page
            .work
            .iter()
            .filter(|w| w.position == known.place.code)
    };
    if own().next().is_none() {
        return;
    }
    widgets::heading(ui, "Asked of the mill", "");
    widgets::rule(ui);
    for work in own().take(NAMED_MAX) {
        ui.add_space(space::XS);
        let state = if work.is_done { "done" } else { "asked" };
        let day = work.at.date();
        let words = format!("{day}, {state}");
        let name = format!("Open {state} {day}: {}", work.text);
        if small::link(ui, &words, &name).clicked() {
            commands.push(Command::Go(Route::Event(work.event)));
        }
        text::say(ui, Face::BODY, &work.text);
        ui.add_space(space::XS);
        widgets::rule(ui);
    }
    if let Some(done) = own().find(|w| w.is_done) {
        let after = known.stays.iter().filter(|s| known.is_here(s));
        let after: Vec<(f64, f64)> = after
            .filter(|s| s.last.began_ms >= done.at.ms)
            .filter_map(|s| s.pairs[known.pair].map(|g| (g.grown_um, g.hours)))
            .collect();
        let since = done.at.date();
        let words = match calc::wear::mean_rate(&after) {
            None => format!("No stay that began after {since} was torn down yet."),
            Some(mean) => format!(
                "Begun after {since}: {}, {} {} {} per 1,000 h.",
                counted(after.len(), "stay"),
                known.rows(cx.show),
                rate(cx.show, mean.mean),
                cx.show.unit.sign()
            ),
        };
        ui.add_space(space::XS);
        text::say(ui, Face::STRONG, &words);
    }
    ui.add_space(space::L);
}

/// The job for the mill, and the review to print.
fn way_on(
    ui: &mut Ui,
    cx: &Cx,
    model: &StandsModel,
    known: &Known<'_>,
    view: &mut PlaceView,
    commands: &mut Vec<Command>,
) {
    let of = |entity: &str, code: &str| {
        let mut things = cx.snapshot.things.iter();
        things
            .find(|t| t.entity == entity && t.code == code)
            .map(|t| t.no)
    };
    let width = ui.available_width();
    let Some(position) = of("position", &known.place.code) else {
        return;
    };
    if let Some(is_done) = view.job {
        job_ui(ui, cx, position, is_done, view, commands);
    } else {
        let mut own = model
            .page
            .work
            .iter()
            .filter(|w| w.position == known.place.code);
        let is_open = own.next().is_some_and(|w| !w.is_done);
        let (first, other) = ("Raise a mill job", "Tell the job as done");
        let raise = Button::new(Kind::Primary, if is_open { other } else { first });
        if raise
            .width(width)
            .enabled(cx.may_enter())
            .show(ui)
            .clicked()
        {
            view.job = Some(is_open);
            focus::ask(ui.ctx(), WHAT);
        }
    }
    ui.add_space(space::S);
    let review = Button::new(Kind::Second, "Print the stand review").width(width);
    let name = format!("Print the review of stand {}", known.stand);
    if let Some(no) = of("stand", known.stand)
        && review.name(&name).show(ui).clicked()
    {
        commands.push(Command::Go(Route::Documents(What::Stand, Some(no))));
    }
    ui.add_space(space::L);
}

fn job_ui(
    ui: &mut Ui,
    cx: &Cx,
    position: store::ThingNo,
    is_done: bool,
    view: &mut PlaceView,
    commands: &mut Vec<Command>,
) {
    if !cx.is_role(&[Role::Fitter, Role::Foreman, Role::Engineer]) {
        text::note(ui, "A fitter, a foreman or the engineer signs it: sign in.");
        let sign_in = Button::new(Kind::Primary, "Sign in").name("Sign in to raise a job");
        if sign_in.show(ui).clicked() {
            view.is_signing = true;
            commands.push(Command::AskSignIn { then: None });
        }
        return;
    }
    if std::mem::take(&mut view.is_signing) {
        focus::ask(ui.ctx(), WHAT);
    }
    let (caption, hint) = if is_done {
        ("what was done", "such as: liners renewed, 0.6 mm clearance")
    } else {
        (
            "what is wrong, what is wanted",
            "such as: measure the window liners",
        )
    };
    widgets::caption(ui, caption);
    let outcome = TextField::new(WHAT, "What is asked of the mill")
        .hint(hint)
        .lines(3)
        .show(ui, &mut view.what);
    if let Outcome::Commit(step) = outcome {
        focus::pass_on(ui.ctx(), WHAT, step);
    }
    ui.add_space(space::S);
    let is_said = !view.what.trim().is_empty();
    let words = if is_done {
        "Sign it as done"
    } else {
        "Sign the mill job"
    };
    let sign = Button::new(Kind::Primary, words).width(ui.available_width());
    if sign.enabled(is_said).show(ui).clicked() && !cx.answers.is_waiting(JOB) {
        let text = view.what.trim().to_owned();
        view.is_sent = true;
        commands.push(Command::Append {
            place: JOB,
            events: Events::made(move |logbook| {
                let payload = Payload::MillJob(MillJob {
                    position: logbook.name(position)?,
                    text,
                    is_done,
                });
                Ok(vec![store::NewEvent {
                    at: logbook.now(),
                    payload,
                }])
            }),
        });
    }
    if let Some(why) = cx.answers.refusal(JOB) {
        widgets::error_box(ui, "Not signed", why);
    }
}
