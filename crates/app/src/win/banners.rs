//! Thin bars under the top strip: demo, read only, trouble with reading, long work, and what is to be said.

use draw::Token;
use draw::tokens::space;
use egui::{Frame, Margin, Panel, Ui};
use store::Damage;

use super::command::{Care, Command, Notice, sentence};
use super::health::{Offer, Urgency, entries};
use super::screens::Cx;
use super::snapshot::{Demo, DemoPin, Fixed};
use super::work::Running;
use crate::ui::text::{self, Face};
use crate::ui::{theme, widgets};

/// Shows the bars that there is a reason for.
pub fn banners_ui(
    ui: &mut Ui,
    fixed: &Fixed,
    cx: &Cx,
    trouble: Option<&str>,
    running: Option<&Running>,
    notice: &mut Option<Notice>,
    commands: &mut Vec<Command>,
) {
    if let Some(demo) = &fixed.demo {
        let words = demo_words(demo);
        bar(ui, "demo", Token::DoubtTint, |ui| {
            text::say(ui, Face::NOTE.token(Token::Ink), &words)
        });
    }
    if let Some(damage) = &fixed.damage {
        damage_ui(ui, damage, commands);
    } else if let Some(why) = &fixed.read_only {
        read_only_ui(ui, fixed, why, commands);
    }
    if let Some(why) = trouble.filter(|_| !fixed.is_lost) {
        let pressed = bar(ui, "trouble", Token::FailTint, |ui| {
            offered(ui, why, Some("Restore a backup"))
        });
        if pressed {
            commands.push(Command::Care(Care::Restore));
        }
    }
    let lines = cx.health.lines(cx.now);
    for line in lines.iter().filter(|l| l.urgency == Urgency::Wrong) {
        let pressed = bar(ui, "health", Token::FailTint, |ui| {
            offered(ui, &line.sentence, line.offer.map(Offer::words))
        });
        if pressed && let Some(offer) = line.offer {
            commands.push(offer.command());
        }
    }
    if let Some(running) = running {
        let stop = bar(ui, "work", Token::Ground, |ui| {
            text::strong(ui, &running.title);
            let (done, all) = running.far();
            if all > 0 {
                return widgets::progress(ui, done as _, all as _, running.unit);
            }
            widgets::quiet(ui, "Stop").clicked()
        });
        if stop {
            commands.push(Command::StopWork);
        }
    }
    if let Some(said) = notice.clone() {
        let fill = if said.is_error {
            Token::FailTint
        } else {
            Token::Sel
        };
        let close = bar(ui, "notice", fill, |ui| {
            said_with(ui, &said.text, |ui| {
                let close = widgets::Button::new(widgets::Kind::Quiet, "Close");
                close.name("Close the message").show(ui).clicked()
            })
        });
        if close {
            *notice = None;
        }
    }
}

/// Why nothing can be entered, and the way on where there is one.
fn read_only_ui(ui: &mut Ui, fixed: &Fixed, why: &str, commands: &mut Vec<Command>) {
    if fixed.is_lost {
        let pressed = bar(ui, "read only", Token::FailTint, |ui| {
            offered(ui, &sentence(why), Some("Restore a backup"))
        });
        commands.extend(pressed.then_some(Command::Care(Care::Restore)));
    } else if fixed.is_free {
        let words = "For reading only: another program wrote this logbook, and has closed it.";
        let pressed = bar(ui, "read only", Token::MissingTint, |ui| {
            offered(ui, words, Some("Write here"))
        });
        let again = Care::Open(fixed.path.clone());
        commands.extend(pressed.then_some(Command::Care(again)));
    } else {
        let words = format!("For reading only: {why}.");
        bar(ui, "read only", Token::MissingTint, |ui| {
            text::say(ui, Face::NOTE.token(Token::Ink), &words)
        });
    }
}

/// What is wrong with the file, and the two ways on.
fn damage_ui(ui: &mut Ui, damage: &Damage, commands: &mut Vec<Command>) {
    bar(ui, "damage", Token::FailTint, |ui| {
        let words = damage_words(damage);
        said_with(ui, &words, |ui| {
            ui.spacing_mut().item_spacing.x = space::S;
            if widgets::second(ui, "Save what can be read").clicked() {
                commands.push(Command::Care(Care::Salvage));
            }
            if widgets::primary(ui, "Restore a backup").clicked() {
                commands.push(Command::Care(Care::Restore));
            }
        });
    });
}

fn damage_words(damage: &Damage) -> String {
    let read = &damage.read;
    let lost: i64 = read
        .chains
        .iter()
        .map(|chain| chain.seen_to - chain.kept_to)
        .sum();
    let shown = if lost > 0 {
        format!(
            "Shown are {} from the first on; at least {lost} after them are lost here",
            entries(read.events)
        )
    } else {
        format!(
            "Shown are the {} that can be read; later ones may be lost",
            entries(read.events)
        )
    };
    format!(
        "This file is damaged: {}. {shown}. Nothing was changed; keep the file.",
        damage.why
    )
}

/// A sentence, and at its right what can be done about it; true if that was pressed.
fn offered(ui: &mut Ui, sentence: &str, words: Option<&str>) -> bool {
    said_with(ui, sentence, |ui| {
        words.is_some_and(|words| widgets::second(ui, words).clicked())
    })
}

/// A sentence with something at its right.
fn said_with<R>(ui: &mut Ui, sentence: &str, at_right: impl FnOnce(&mut Ui) -> R) -> R {
    let layout = egui::Layout::right_to_left(egui::Align::Center);
    let size = egui::vec2(ui.available_width(), 44.0);
    let said = ui.allocate_ui_with_layout(size, layout, |ui| {
        let done = at_right(ui);
        ui.with_layout(egui::Layout::top_down(egui::Align::Min), |ui| {
            // One line stands at the height of what is beside it; more of them begin at the top.
            if text::width(ui, Face::BODY, sentence) <= ui.available_width() {
                ui.add_space(11.0);
            }
            text::say(ui, Face::BODY, sentence);
        });
        done
    });
    said.inner
}

fn bar<R>(ui: &mut Ui, name: &str, fill: Token, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let frame = Frame::new()
        .fill(theme::color(ui, fill))
        .inner_margin(Margin::symmetric(space::L as i8, 6));
    let panel = Panel::top(egui::Id::unique(("banner", name)))
        .show_separator_line(false)
        .resizable(false)
        .frame(frame);
    let shown = panel.show(ui, contents);
    let rect = shown.response.rect;
    ui.painter().hline(
        rect.x_range(),
        rect.bottom() - 0.5,
        theme::stroke(ui, 1.0, Token::Rule),
    );
    shown.inner
}

/// The banner of a demo logbook, with the first of each role; the dialog for signing in shows all.
fn demo_words(demo: &Demo) -> String {
    let date = demo.clock.date();
    let mut words = format!("Demo logbook of {date}, an invented plant: try what you like.");
    let mut roles: Vec<&str> = Vec::new();
    for (index, person) in demo
        .pins
        .iter()
        .filter(|p| first_time(&mut roles, &p.role))
        .enumerate()
    {
        words.push_str(if index == 0 { " PINs: " } else { ", " });
        words.push_str(&person.name);
        words.push(' ');
        words.push_str(&person.pin);
    }
    words
}

fn first_time<'a>(seen: &mut Vec<&'a str>, role: &'a str) -> bool {
    let is_first = !seen.contains(&role);
    seen.push(role);
    is_first
}

#[derive(serde::Deserialize)]
struct People {
    person: Vec<DemoPin>,
}

/// Names and PINs of the demo plant.
pub fn demo_pins() -> Vec<DemoPin> {
    let people: Result<People, _> = toml::from_str(include_str!("../../../../demo/people.toml"));
    people.map(|people| people.person).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use store::Stamp;

    use super::*;

    #[test]
    fn the_demo_says_its_date_and_a_pin_of_each_role() {
        let pins = demo_pins();
        assert!(pins.len() > 5, "people of the demo lost");
        let words = demo_words(&Demo {
            clock: Stamp::parse("2026-10-30", 0).unwrap(),
            pins: pins.clone(),
        });
        assert!(words.starts_with("Demo logbook of 2026-10-30"), "{words}");
        for role in ["engineer", "foreman", "fitter", "auditor"] {
            let first = pins.iter().find(|p| p.role == role).unwrap();
            assert!(
                words.contains(&format!("{} {}", first.name, first.pin)),
                "{words}"
            );
        }
        assert!(!words.contains("Foreman B"), "{words}");
    }
}
