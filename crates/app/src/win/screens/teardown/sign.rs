//! Signing: the whole sheet at a glance, what stands against it, and who says so with which PIN.

use std::sync::Arc;

use draw::tokens::space;
use egui::Ui;
use store::payload::Role;
use store::sheet::Section;

use super::fields::{Sheet, labelled, mark};
use super::order;
use super::seats::{full_title, limit_words, number};
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Col, Columns, Row};
use crate::win::command::Command;
use crate::win::screens::sheet::sign::FIELD;

/// Where the answer to signing belongs.
pub const PLACE: &str = "sheet/sign";

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
    let a = Arc::clone(&sheet.a);
    let blockers: Vec<(Section, &str)> = a
        .blockers()
        .filter(|(section, _)| *section != Section::Sign)
        .collect();
    let lines: Vec<String> = blockers
        .iter()
        .map(|(section, why)| format!("{}: {why}", section.title()))
        .collect();
    let pressed = sheet.against(ui, "What stands against signing", &lines);
    if let Some((section, why)) = pressed.and_then(|at| blockers.get(at)) {
        let on = order::Sheet {
            assessment: &a,
            fields: sheet.view.entries.fields(),
            asks_engineer: sheet.asks_engineer,
        };
        let (section, seat, path) = order::target(*section, why, &on);
        sheet.view.go(section, seat, path);
    }
    sheet.because(ui);
    sheet.who(ui, |ui, sheet| {
        let fitters = sheet
            .model
            .people(&[Role::Fitter, Role::Foreman, Role::Engineer]);
        labelled(ui, "Fitter who did the work", |ui| {
            sheet.code(ui, "sign.fitter", "who?", FIELD, &fitters);
        });
    });
    ui.add_space(space::L);
    if let Some(signed) = sheet.sign(ui, PLACE, blockers.is_empty()) {
        sheet.commands.push(Command::SignSheet(signed));
    }
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
            None => format!("End play {}", show.pair_name(index + 1)),
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
        let reason = sheet.view.entries.committed(path);
        if !reason.is_empty() {
            ui.add_space(space::XS);
            text::body(
                ui,
                &format!(
                    "{}: {reason}",
                    sheet.label(path).trim_end_matches(", because")
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
    let into = sheet.view.entries.committed("reassemble.chock").to_owned();
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
