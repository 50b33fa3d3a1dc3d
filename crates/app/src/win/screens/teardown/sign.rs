//! Signing: the whole sheet at a glance, what stands against it, and who says so with which PIN.

use draw::Token;
use draw::tokens::space;
use egui::Ui;
use store::payload::Role;
use store::sheet::Section;
use store::sheet::field;

use super::fields::{Sheet, forget_typed, labelled, mark};
use super::order::{self, ENGINEER, ENGINEER_PIN, PIN, target};
use super::seats::{full_title, limit_words, number};
use super::typed::with_units;
use crate::drawings::PAIR_NAMES;
use crate::ui::focus::{self, Step};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{
    self, Button, Choice, CodeField, Coded, Col, Columns, Kind, Outcome, PinField, Row,
};
use crate::win::command::{Command, SheetToSign};

/// Where the answer to signing belongs.
pub const PLACE: &str = "sheet/sign";
const FIELD: f32 = 190.0;

/// The section.
pub fn sign_ui(ui: &mut Ui, sheet: &mut Sheet) {
    widgets::section_title(
        ui,
        Some(Section::Sign.number()),
        Section::Sign.title(),
        "a signed sheet is never changed: read it once more",
    );
    summary(ui, sheet);
    ui.add_space(space::L);
    let blockers: Vec<(Section, String)> = sheet
        .a
        .blockers()
        .filter(|(section, _)| *section != Section::Sign)
        .map(|(s, why)| (s, why.to_owned()))
        .collect();
    against(ui, sheet, &blockers);
    if !sheet.a.engineer_because.is_empty() {
        text::strong(ui, "The engineer signs too, because");
        for why in &sheet.a.engineer_because {
            text::say(ui, Face::BODY.muted(), &format!("\u{2013} {why}"));
        }
        ui.add_space(space::M);
    }
    who(ui, sheet);
    ui.add_space(space::L);
    act(ui, sheet, blockers.is_empty());
    ui.add_space(space::L);
}

/// Numbers, verdicts and the decision.
fn summary(ui: &mut Ui, sheet: &Sheet) {
    let show = sheet.show();
    let rest = Col::rest("");
    let columns = Columns::new(vec![
        Col::left("", 236.0),
        Col::right("found", 110.0),
        Col::right("limit", 130.0),
        Col::left("verdict", 150.0),
        rest,
    ]);
    columns.header(ui);
    for (index, pair) in sheet.a.clearance.pairs.iter().enumerate() {
        let Some(nm) = pair.end_play_nm.filter(|_| pair.is_complete) else {
            continue;
        };
        let name = match sheet.a.clearance.radial {
            Some(_) => sheet.facts().family().clearance().to_owned(),
            None => format!("End play {}", PAIR_NAMES[index]),
        };
        columns.row(ui, &Row::reading(name.clone()), |cells| {
            cells.text(&name).value(&show.length(nm)).text(
                &pair
                    .limit_nm
                    .map_or_else(|| "none".into(), |l| show.length(l)),
            );
            cells.badge(mark(pair.verdict), pair.verdict.word());
            let after = sheet.a.clearance.after.end_play_nm[index];
            cells
                .note(&after.map_or_else(String::new, |nm| format!("ground: {}", show.length(nm))));
        });
    }
    for view in [&sheet.a.bore, &sheet.a.neck] {
        for check in &view.checks {
            let name = format!(
                "{}, {}",
                view.seat.title(),
                full_title(check).to_lowercase()
            );
            columns.row(ui, &Row::reading(name.clone()), |cells| {
                cells
                    .text(&name)
                    .value(&number(sheet, check, check.value_nm))
                    .text(&limit_words(sheet, check));
                cells.badge(mark(check.verdict), check.verdict.word());
            });
        }
    }
    for path in ["skip.clearance", "skip.bore", "skip.neck", "skip.grease"] {
        let reason = sheet.view.committed(path);
        if !reason.is_empty() {
            ui.add_space(space::XS);
            text::body(
                ui,
                &format!(
                    "{}: {reason}",
                    field::label(path).trim_end_matches(", because")
                ),
            );
        }
    }
    ui.add_space(space::S);
    let decided = sheet
        .a
        .decided
        .map_or("nothing yet", calc::disposition::Disposition::words);
    let mut parts = vec![(Face::BODY.muted(), "Decided"), (Face::STRONG, decided)];
    let zone = sheet
        .a
        .zone_chosen
        .filter(|_| sheet.a.is_reassembled)
        .map(|zone| format!("zone {} up", zone.as_str()));
    let into = sheet.view.committed("reassemble.chock").to_owned();
    if let Some(zone) = &zone {
        parts.push((Face::BODY, zone));
    }
    if sheet.a.is_reassembled && !into.is_empty() {
        parts.extend([
            (Face::BODY.muted(), "back into"),
            (Face::BODY, into.as_str()),
        ]);
    }
    text::line(ui, &parts);
}

/// What stands against signing; each line leads to its field.
fn against(ui: &mut Ui, sheet: &mut Sheet, blockers: &[(Section, String)]) {
    if blockers.is_empty() {
        return;
    }
    text::say(ui, Face::STRONG, "What stands against signing");
    ui.add_space(space::XS);
    for (index, (section, why)) in blockers.iter().enumerate() {
        let words = format!("{}: {why}", section.title());
        let button = Button::new(Kind::Quiet, &words).show(ui);
        if index == 0 && std::mem::take(&mut sheet.view.signing.wants_button) {
            button.request_focus();
        }
        if button.clicked() {
            let on = order::Sheet {
                assessment: &sheet.a,
                fields: sheet.view.fields(),
                asks_engineer: sheet.asks_engineer,
            };
            let (section, seat, path) = target(*section, why, &on);
            sheet.view.go(section, seat, path);
            ui.ctx().request_repaint();
        }
    }
    ui.add_space(space::M);
}

/// Whether this role signs a sheet.
fn signs(role: Role) -> bool {
    matches!(role, Role::Foreman | Role::Engineer)
}

fn who(ui: &mut Ui, sheet: &mut Sheet) {
    let fitters = sheet
        .model
        .people(&[Role::Fitter, Role::Foreman, Role::Engineer]);
    let signer = sheet.model.person.filter(|(_, role)| signs(*role));
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        labelled(ui, "Fitter who did the work", |ui| {
            sheet.code(ui, "sign.fitter", "who?", FIELD, &fitters);
        });
        if sheet.asks_engineer {
            let engineers = sheet.model.people(&[Role::Engineer]);
            labelled(ui, "Engineer", |ui| engineer(ui, sheet, &engineers));
            labelled(ui, "PIN of the engineer", |ui| {
                let mut pin = std::mem::take(&mut sheet.view.signing.engineer_pin);
                let outcome = PinField::new(ENGINEER_PIN, "PIN of the engineer").show(ui, &mut pin);
                sheet.view.signing.engineer_pin = pin;
                pin_step(ui, sheet, ENGINEER_PIN, &outcome);
            });
        }
        if let Some((name, _)) = signer {
            labelled(ui, &format!("PIN of {name}"), |ui| {
                let mut pin = std::mem::take(&mut sheet.view.signing.pin);
                let outcome = PinField::new(PIN, "PIN of the signer").show(ui, &mut pin);
                sheet.view.signing.pin = pin;
                pin_step(ui, sheet, PIN, &outcome);
            });
        }
    });
    let stranger = sheet.view.signing.engineer.trim();
    if sheet.asks_engineer && !stranger.is_empty() && !is_engineer(sheet, stranger) {
        let face = Face::NOTE_STRONG.token(Token::Fail);
        ui.add_space(space::XS);
        text::say(
            ui,
            face,
            &format!("Engineer: {stranger:?} is no engineer in the register"),
        );
    }
    if signer.is_none() {
        ui.add_space(space::L);
        let words = sheet.model.person.map_or_else(
            || "Nobody is at work. A foreman or the engineer signs.".to_owned(),
            |(name, _)| format!("{name} is at work. A foreman or the engineer signs."),
        );
        text::body(ui, &words);
        ui.add_space(space::S);
        if widgets::second(ui, "Sign in to sign").clicked() {
            sheet.commands.push(Command::AskSignIn { then: None });
        }
    }
}

fn is_engineer(sheet: &Sheet, name: &str) -> bool {
    let engineers = sheet.model.people(&[Role::Engineer]);
    engineers
        .iter()
        .any(|(code, _)| code.eq_ignore_ascii_case(name.trim()))
}

fn pin_step(ui: &Ui, sheet: &mut Sheet, path: &str, outcome: &Outcome) {
    if let Outcome::Commit(step) = outcome {
        forget_typed(ui);
        sheet.step(ui, path, *step);
    }
}

fn engineer(ui: &mut Ui, sheet: &mut Sheet, engineers: &[(String, String)]) {
    if let Some(step) = engineer_field(ui, &mut sheet.view.signing.engineer, engineers) {
        sheet.step(ui, ENGINEER, step);
    }
}

/// Who signs besides; answers where the caret goes when it leaves. A name that is no engineer's keeps it.
pub fn engineer_field(
    ui: &mut Ui,
    name: &mut String,
    engineers: &[(String, String)],
) -> Option<Step> {
    let choices: Vec<Choice> = engineers
        .iter()
        .map(|(code, detail)| Choice { code, detail })
        .collect();
    let coded = CodeField::new(ENGINEER, "Engineer")
        .hint("who?")
        .width(FIELD)
        .show(ui, name, &choices);
    if !matches!(coded, Coded::Nothing | Coded::Changed) {
        forget_typed(ui);
    }
    match coded {
        Coded::Chosen(_) => return Some(Step::Forward),
        Coded::Leave(step) => return Some(step),
        Coded::Entered(_) => focus::ask(ui.ctx(), ENGINEER),
        Coded::Nothing | Coded::Changed => {}
    }
    None
}

fn act(ui: &mut Ui, sheet: &mut Sheet, is_clear: bool) {
    if let Some(why) = sheet.model.answers.refusal(PLACE) {
        widgets::error_box(ui, "Not signed", why);
        ui.add_space(space::M);
    }
    let is_waiting = sheet.model.answers.is_waiting(PLACE);
    let signing = &sheet.view.signing;
    let engineer = sheet.asks_engineer.then(|| {
        (
            signing.engineer.trim().to_owned(),
            signing.engineer_pin.clone(),
        )
    });
    let has_engineer = engineer
        .as_ref()
        .is_none_or(|(name, pin)| is_engineer(sheet, name) && !pin.is_empty());
    let has_signer =
        sheet.model.person.is_some_and(|(_, role)| signs(role)) && !signing.pin.is_empty();
    let enabled = is_clear && has_signer && has_engineer && !is_waiting && !sheet.model.is_locked;
    let pressed = ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        let button = Button::new(Kind::Danger, "Sign for good")
            .enabled(enabled)
            .show(ui);
        if std::mem::take(&mut sheet.view.signing.wants_button) && enabled {
            button.request_focus();
        }
        let words = if is_waiting {
            "Being written to disk\u{2026}"
        } else if !is_clear {
            "Something stands against it, see above."
        } else if enabled {
            "It is on disk before the window says so."
        } else {
            "The PINs are missing."
        };
        text::say(ui, Face::NOTE.token(Token::Muted), words);
        button.clicked()
    });
    if pressed.inner && enabled {
        sheet.view.commit_all(sheet.model.show, sheet.time);
        let to_sign = SheetToSign {
            place: PLACE,
            draft: sheet.model.draft,
            fields: with_units(sheet.view.fields(), sheet.model.show.unit),
            pin: std::mem::take(&mut sheet.view.signing.pin),
            engineer,
        };
        sheet.view.signing.engineer_pin.clear();
        sheet.commands.push(Command::SignSheet(Box::new(to_sign)));
    }
}
