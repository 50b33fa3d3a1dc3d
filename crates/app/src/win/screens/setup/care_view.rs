//! Backups and the check of the record: where backups are kept, what lies there, and the ways to act at once.

use draw::tokens::space;
use egui::Ui;

use super::page::Page;
use crate::ui::widgets::{self, Button, Kind, Outcome, TextField};
use crate::ui::{frames, text};
use crate::win::choose::{Chooser, Wanted};
use crate::win::command::{Care, Command, Place, Said};
use crate::win::health::{CheckState, HealthLine, Listed, Urgency};
use crate::win::recover::list_ui;
use crate::win::screens::Cx;
use crate::win::worker::Wake;

/// Where the answer to choosing a folder belongs.
const FOLDER: Place = "setup/backup folder";
const WIDTH_MAX: f32 = 860.0;
/// So many findings are shown; more of them say nothing new here.
const FINDINGS_MAX: usize = 30;

/// What is typed for the folder.
#[derive(Debug, Default)]
pub(super) struct Typed {
    folder: String,
    /// The field for another folder is open.
    is_open: bool,
    chooser: Chooser,
}

/// The page.
pub(super) fn care_ui(
    ui: &mut Ui,
    cx: &Cx,
    typed: &mut Typed,
    wake: Option<&Wake>,
    commands: &mut Vec<Command>,
) {
    frames::page_body(ui, |ui| {
        ui.set_max_width(WIDTH_MAX);
        widgets::page_title(ui, Page::Care.name(), Page::Care.about());
        ui.add_space(space::S);
        backup_ui(ui, cx, typed, wake, commands);
        check_ui(ui, cx, commands);
    });
}

fn backup_ui(
    ui: &mut Ui,
    cx: &Cx,
    typed: &mut Typed,
    wake: Option<&Wake>,
    commands: &mut Vec<Command>,
) {
    let backup = &cx.health.backup;
    widgets::heading(ui, "Backups", "kept: the last of 14 days and of 24 months");
    widgets::rule(ui);
    if let Some(folder) = &backup.folder {
        let about = "Made when the logbook is closed, and daily while it stays open; each is verified after writing.";
        widgets::key_value(ui, "folder", &folder.display().to_string(), about);
    } else {
        let words =
            "Nowhere yet. Choose a folder on another disk or computer than the logbook\u{2019}s.";
        widgets::key_value(ui, "folder", words, "");
    }
    if let Some(line) = backup.line(cx.now) {
        line_ui(ui, "state", "Backups need care", &line);
    }
    ui.add_space(space::S);
    if let Some((done, all)) = backup.running {
        if widgets::progress(ui, done as _, all as _, "%") {
            commands.push(Command::Care(Care::StopBackup));
        }
    } else {
        buttons_ui(ui, cx, typed, commands);
    }
    if cx.read_only.is_none() && (typed.is_open || backup.folder.is_none()) {
        folder_ui(ui, cx, typed, wake, commands);
    }
    match &backup.list {
        Listed::Here(list) if !list.is_empty() => {
            ui.add_space(space::S);
            let newest_first: Vec<_> = list.iter().rev().cloned().collect();
            list_ui(ui, &newest_first, false);
        }
        _ => {}
    }
    ui.add_space(space::L);
}

fn buttons_ui(ui: &mut Ui, cx: &Cx, typed: &mut Typed, commands: &mut Vec<Command>) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        let has_folder = cx.health.backup.folder.is_some();
        let now = Button::new(Kind::Primary, "Back up now").enabled(has_folder);
        if now.show(ui).clicked() {
            commands.push(Command::Care(Care::BackUp));
        }
        if widgets::second(ui, "Restore a backup").clicked() {
            commands.push(Command::Care(Care::Restore));
        }
        if has_folder
            && cx.read_only.is_none()
            && !typed.is_open
            && widgets::quiet(ui, "Change folder").clicked()
        {
            typed.is_open = true;
        }
    });
}

/// The field for another folder.
fn folder_ui(
    ui: &mut Ui,
    cx: &Cx,
    typed: &mut Typed,
    wake: Option<&Wake>,
    commands: &mut Vec<Command>,
) {
    if let Some(path) = typed.chooser.take() {
        typed.folder = path.display().to_string();
    }
    ui.add_space(space::S);
    widgets::caption(ui, "Folder for backups");
    let mut is_entered = false;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        let width = (ui.available_width() - 304.0).max(160.0);
        let field = TextField::new("setup/backup folder", "Folder for backups")
            .hint("/media/backup")
            .width(width);
        is_entered |= matches!(field.show(ui, &mut typed.folder), Outcome::Commit(_));
        let is_ready = !typed.folder.trim().is_empty() && !cx.answers.is_waiting(FOLDER);
        let chosen = Button::new(Kind::Second, "Use this folder").enabled(is_ready);
        is_entered |= chosen.show(ui).clicked();
        let choose = Button::new(Kind::Quiet, "Choose a folder")
            .enabled(wake.is_some() && !typed.chooser.is_open());
        if choose.show(ui).clicked()
            && let Some(wake) = wake
        {
            typed
                .chooser
                .open("Where to keep backups?", Wanted::Folder, wake);
        }
    });
    if is_entered && !typed.folder.trim().is_empty() {
        let folder = typed.folder.trim().trim_matches(['"', '\'']).into();
        commands.push(Command::Care(Care::UseFolder(FOLDER, folder)));
    }
    match cx.answers.get(FOLDER) {
        Some(Said::Refused(why)) => {
            ui.add_space(space::S);
            widgets::error_box(ui, "This folder cannot be used", why);
        }
        Some(Said::Done(_)) => {
            typed.is_open = false;
            typed.folder.clear();
        }
        _ => {}
    }
}

/// What the last check found, and the way to check again.
fn check_ui(ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
    widgets::heading(ui, "The record", "checked after each opening");
    widgets::rule(ui);
    let check = &cx.health.check;
    if let Some(line) = check.line() {
        line_ui(ui, "check", "The record needs care", &line);
    }
    if let CheckState::Done(report, _) = check {
        for finding in report.findings.iter().take(FINDINGS_MAX) {
            let about = finding.event.map(|event| format!("entry {event}"));
            widgets::key_value(ui, "finding", &finding.what, &about.unwrap_or_default());
        }
        let more = report.findings.len().saturating_sub(FINDINGS_MAX);
        if more > 0 {
            let words = format!("and {more} more; `chockbook verify` lists them all");
            widgets::key_value(ui, "", &words, "");
        }
        ui.add_space(space::S);
        for limit in &report.limits {
            text::note(ui, limit);
        }
    }
    ui.add_space(space::S);
    if let CheckState::Running(done, all) = check {
        if widgets::progress(ui, *done as _, *all as _, "steps") {
            commands.push(Command::Care(Care::StopCheck));
        }
    } else if widgets::second(ui, "Check the whole record").clicked() {
        commands.push(Command::Care(Care::Check));
    }
    ui.add_space(space::L);
}

fn line_ui(ui: &mut Ui, key: &str, title: &str, line: &HealthLine) {
    if line.urgency == Urgency::Quiet {
        widgets::key_value(ui, key, &line.sentence, "");
        return;
    }
    ui.add_space(space::S);
    if line.urgency == Urgency::Wrong {
        widgets::error_box(ui, title, &line.sentence);
    } else {
        widgets::caution(ui, title, &line.sentence);
    }
}
