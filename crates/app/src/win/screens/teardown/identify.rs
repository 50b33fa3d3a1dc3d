//! Which bearing, chock and roll, and how the stack was found. Chock or bearing is enough; the other is found.

use draw::Token;
use draw::tokens::space;
use egui::Ui;
use store::sheet::Section;
use store::sheet::field;

use super::fields::{Sheet, labelled};
use crate::ui::focus::Step;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind};
use crate::win::command::Command;

/// The four load zones, as they are kept too.
pub const ZONES: [&str; 4] = ["I", "II", "III", "IV"];
const FIELD: f32 = 240.0;

/// The section.
pub fn identify_ui(ui: &mut Ui, sheet: &mut Sheet) {
    widgets::section_title(
        ui,
        Some(Section::Identify.number()),
        Section::Identify.title(),
        "scan or type: chock or bearing, either is enough",
    );
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::XL;
        thing(ui, sheet, "identify.chock", "chock", "scan or type");
        thing(ui, sheet, "identify.bearing", "bearing", "scan or type");
    });
    refusal(ui, sheet, &["identify.chock", "identify.bearing"]);
    found(ui, sheet);
    unrun(ui, sheet);
    ui.add_space(space::L);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::XL;
        let known = sheet
            .facts()
            .position
            .as_ref()
            .map_or("scan or type".to_owned(), |(_, p)| {
                format!("{p} by the log")
            });
        thing(ui, sheet, "identify.position", "position", &known);
        thing(ui, sheet, "identify.roll", "roll", "scan or type");
        last_roll(ui, sheet);
    });
    refusal(ui, sheet, &["identify.position", "identify.roll"]);
    ui.add_space(space::L);
    let now = format!("now: {}", sheet.model.now.date_time());
    labelled(ui, &sheet.label("identify.at"), |ui| {
        sheet.words(ui, "identify.at", &now, FIELD);
    });
    refusal(ui, sheet, &["identify.at"]);
    ui.add_space(space::L);
    let width = ui.available_width();
    labelled(ui, &sheet.label("identify.note"), |ui| {
        sheet.words(
            ui,
            "identify.note",
            "seals, grease, water, marks on rings and rollers",
            width,
        );
    });
    ui.add_space(space::L);
}

fn thing(ui: &mut Ui, sheet: &mut Sheet, path: &str, entity: &str, hint: &str) {
    let choices = sheet.model.choices(entity);
    let label = sheet.label(path);
    labelled(ui, &label, |ui| sheet.code(ui, path, hint, FIELD, &choices));
}

/// The roll that the log has the chock on, offered and not filled in.
fn last_roll(ui: &mut Ui, sheet: &mut Sheet) {
    let Some(roll) = sheet
        .facts()
        .last_roll
        .clone()
        .filter(|_| sheet.view.entries.committed("identify.roll").is_empty())
    else {
        return;
    };
    labelled(ui, "its roll by the log", |ui| {
        if Button::new(Kind::Second, &format!("Take {roll}"))
            .show(ui)
            .clicked()
        {
            sheet.view.entries.choose("identify.roll", &roll);
            sheet.step(ui, "identify.roll", Step::Forward);
        }
    });
}

/// A chock that was put together and has not run is mounted, not torn down.
fn unrun(ui: &mut Ui, sheet: &mut Sheet) {
    let facts = sheet.facts();
    let stay = facts.bearing.as_ref().and_then(|b| b.stay.as_ref());
    let Some(stay) = stay.filter(|stay| stay.run_s == 0) else {
        return;
    };
    let chock = stay.chock_code.clone();
    let since = store::Stamp::second(stay.from_ms, facts.at.offset_min).date();
    ui.add_space(space::S);
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::L;
        let words = format!("{chock} was put together on {since} and has not run since.");
        text::say(ui, Face::STRONG, &words);
        if widgets::second(ui, "Its mounting sheet: Ctrl M").clicked() {
            let known = vec![("identify.chock".to_owned(), chock)];
            sheet.commands.push(Command::NewMounting { known });
        }
    });
}

/// Why one of these fields is refused.
fn refusal(ui: &mut Ui, sheet: &Sheet, paths: &[&str]) {
    for path in paths {
        let problem = sheet.a.fields.get(*path).and_then(|s| s.problem.as_ref());
        if let Some(problem) =
            problem.filter(|p| p.is_refusal && !sheet.view.entries.is_typing(path))
        {
            ui.add_space(space::XS);
            text::say(
                ui,
                Face::NOTE_STRONG.token(Token::Fail),
                &format!("{}: {}", sheet.label(path), problem.text),
            );
        }
    }
}

/// A size without the zeros behind its decimal mark.
fn plain(size: &str) -> String {
    size.trim_end_matches('0')
        .trim_end_matches(['.', ','])
        .to_owned()
}

/// What the logbook knows of them.
fn found(ui: &mut Ui, sheet: &Sheet) {
    ui.add_space(space::L);
    let facts = sheet.facts();
    let show = sheet.show();
    let state = sheet.a.section(Section::Identify);
    let Some(bearing) = &facts.bearing else {
        text::say(
            ui,
            Face::BODY.muted(),
            "What the logbook knows of it stands here then: type, place, hours, load zone.",
        );
        return;
    };
    widgets::rule(ui);
    if let Some(t) = &facts.bearing_type {
        let size = |name| {
            t.whole(name)
                .map_or_else(|| "?".to_owned(), |nm| plain(&show.length(nm)))
        };
        let sizes = format!(
            "{} \u{d7} {} \u{d7} {} {}",
            size("bore_nm"),
            size("outside_nm"),
            size("width_nm"),
            sheet.unit()
        );
        widgets::key_value(
            ui,
            "bearing",
            &format!("{}, {}", bearing.serial, t.code),
            &sizes,
        );
    }
    let others = facts.shop.in_chock.iter();
    for (serial, code) in others.filter(|(serial, _)| *serial != bearing.serial) {
        let words = format!("{serial}, {code}");
        widgets::key_value(
            ui,
            "beside it",
            &words,
            "in the same chock, on a sheet of its own",
        );
    }
    if let Some(stay) = &bearing.stay {
        let from = facts
            .position
            .as_ref()
            .map_or_else(String::new, |(_, p)| format!(", off {p}"));
        let since = store::Stamp::second(stay.from_ms, facts.at.offset_min).date();
        widgets::key_value(
            ui,
            "came out of",
            &format!("{}{from}", stay.chock_code),
            &format!("in it since {since}"),
        );
        let zone = usize::try_from(stay.zone - 1)
            .ok()
            .and_then(|z| ZONES.get(z));
        let up = match zone {
            Some(zone) => format!("zone {zone} up"),
            None if facts.family().has_zones() => "zone not recorded".to_owned(),
            None => String::new(),
        };
        let ran = format!(
            "{} h, {} kt rolled",
            show.hours(stay.run_s),
            show.kilotonnes(stay.rolled_kg)
        );
        widgets::key_value(ui, "this stay", &ran, &up);
    }
    let total = format!("{} h", show.hours(bearing.total_run_s));
    let revision = if bearing.revision > 1 {
        format!("revision {}: reconditioned", bearing.revision)
    } else {
        String::new()
    };
    widgets::key_value(ui, "in all", &total, &revision);
    if let Some(why) = &bearing.held {
        ui.add_space(space::S);
        widgets::caution(ui, "On hold", why);
    }
    // A refused field says so at its place.
    let at_field = |why: &&String| {
        sheet
            .order()
            .iter()
            .any(|path| why.starts_with(&field::label(path)))
    };
    for why in state.blockers.iter().filter(|why| !at_field(why)) {
        ui.add_space(space::S);
        widgets::error_box(ui, "These do not agree", why);
    }
}
