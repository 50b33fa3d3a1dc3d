//! Draws the three steps.

use draw::Token;
use draw::tokens::space;
use egui::{Context, Ui};
use store::backup::{Backup, Relation, Salvaged};

use super::{From, Made, Recover, Step};
use crate::ui::frames;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Col, Columns, Kind, Outcome, Row, TextField};
use crate::win::health::{entries, missing};
use crate::win::screens::setup::size_words;

const WIDTH: f32 = 860.0;
const LIST_HEIGHT: f32 = 300.0;

/// What was done in the dialog.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Act {
    Close,
    Look,
    FindFolder,
    Choose(usize),
    Back,
    FindPlace,
    Make,
    Stop,
    Open,
}

pub(super) fn recover_ui(ctx: &Context, dialog: &mut Recover) -> Option<Act> {
    let title = match dialog.from {
        Some(From::Damaged) => "Save what can be read",
        _ => "Restore a backup",
    };
    let mut act = None;
    let is_closed = frames::dialog(ctx, "recover", title, WIDTH, |ui| {
        steps_ui(ui, dialog);
        act = match dialog.step {
            Step::Which => which_ui(ui, dialog),
            Step::Where => where_ui(ui, dialog),
            Step::Done => done_ui(ui, dialog),
        };
        if !dialog.trouble.is_empty() {
            ui.add_space(space::S);
            widgets::error_box(ui, "Not done", &dialog.trouble);
        }
    });
    // While the file is made Esc would leave a question open: it is stopped by its button.
    let is_closed = is_closed && dialog.making.is_none();
    act.or(is_closed.then_some(Act::Close))
}

fn steps_ui(ui: &mut Ui, dialog: &Recover) {
    let steps: &[(Step, &str)] = match dialog.from {
        Some(From::Damaged) => &[
            (Step::Where, "1 Where to put it"),
            (Step::Done, "2 Open it"),
        ],
        _ => &[
            (Step::Which, "1 Which backup"),
            (Step::Where, "2 Where to put it"),
            (Step::Done, "3 Open it"),
        ],
    };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::XL;
        for (step, words) in steps {
            let face = if *step == dialog.step {
                Face::STRONG.token(Token::Accent)
            } else {
                Face::BODY.muted()
            };
            text::say(ui, face, words);
        }
    });
    ui.add_space(space::M);
}

fn which_ui(ui: &mut Ui, dialog: &mut Recover) -> Option<Act> {
    let mut act = None;
    widgets::caption(ui, "Folder with the backups");
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        let width = (ui.available_width() - 276.0).max(200.0);
        let field = TextField::new("recover/folder", "Folder with the backups").width(width);
        if let Outcome::Commit(_) = field.show(ui, &mut dialog.folder) {
            act = Some(Act::Look);
        }
        if widgets::second(ui, "Look there").clicked() {
            act = Some(Act::Look);
        }
        let choose = Button::new(Kind::Quiet, "Choose a folder").enabled(!dialog.chooser.is_open());
        if choose.show(ui).clicked() {
            act = Some(Act::FindFolder);
        }
    });
    ui.add_space(space::M);
    match &dialog.backups {
        None if dialog.listing.is_some() => {
            text::body(ui, "Reading the backups");
        }
        None => {
            text::say(
                ui,
                Face::BODY.muted(),
                "Name the folder where the backups are kept.",
            );
        }
        Some(backups) if backups.is_empty() => {
            let words = "There is no backup of this logbook in the folder.";
            text::say(ui, Face::BODY.muted(), words);
        }
        Some(backups) => {
            if let Some(index) = list_ui(ui, backups, true) {
                act = Some(Act::Choose(index));
            }
            ui.add_space(space::S);
            let words =
                "Choose one. What it holds becomes a new file; the present file stays as it is.";
            text::note(ui, words);
        }
    }
    act
}

/// The list of backups, newest first; which one was pressed. Only a good one can be, and only where it `is_to_choose`.
pub fn list_ui(ui: &mut Ui, backups: &[Backup], is_to_choose: bool) -> Option<usize> {
    let columns = Columns::new(vec![
        Col::left("made", 136.0),
        Col::right("entries", 72.0),
        Col::left("last entry", 136.0),
        Col::rest("beside the present file"),
        Col::right("size", 80.0),
    ]);
    let row = |index: usize| {
        let backup = &backups[index];
        let of = backup.at.date_time();
        let row = if is_to_choose {
            Row::gauge(format!("Restore the backup of {of}"))
        } else {
            Row::reading(format!("Backup of {of}"))
        };
        row.clickable(is_to_choose && may_restore(backup))
    };
    let pressed = columns.rows(
        ui,
        "backups",
        LIST_HEIGHT,
        backups.len(),
        row,
        |index, cells| {
            let backup = &backups[index];
            let last = backup.last_entered.map(store::Stamp::date_time);
            cells
                .value(&backup.at.date_time())
                .text(&match backup.events {
                    0 => String::new(),
                    count => count.to_string(),
                })
                .text(&last.unwrap_or_default())
                .text(&standing(backup))
                .text(&size_words(backup.bytes, false));
        },
    );
    pressed.filter(|index| is_to_choose && may_restore(&backups[*index]))
}

fn may_restore(backup: &Backup) -> bool {
    !matches!(backup.relation, Relation::Unreadable { .. })
}

/// How a backup stands to the present file, in words.
fn standing(backup: &Backup) -> String {
    match &backup.relation {
        Relation::Prefix { behind: 0 } => "holds every entry".into(),
        Relation::Prefix { behind } => format!("{} in it", missing(*behind)),
        Relation::Ahead { gaps, .. } => {
            let count = gaps.iter().map(|gap| gap.count).sum();
            format!("holds {} more", entries(count))
        }
        Relation::Rewritten { at } => format!("differs from entry {at} on"),
        Relation::Stranger => "of another logbook".into(),
        Relation::Unknown => "the present file cannot be compared".into(),
        Relation::Unreadable { .. } => "cannot be read, and does not count".into(),
    }
}

fn where_ui(ui: &mut Ui, dialog: &mut Recover) -> Option<Act> {
    if let Some(From::Backup(backup)) = &dialog.from {
        let made = format!("{}, {}", backup.at.date_time(), entries(backup.events));
        widgets::key_value(ui, "backup", &made, &backup.path.display().to_string());
        widgets::key_value(
            ui,
            "compared",
            &standing(backup),
            "Every later entry stays in the present file alone.",
        );
    } else {
        let words = "Every entry that can be proven, from the first on, goes into a new file, with the unsigned \
                         sheets. What cannot is told afterwards. The damaged file stays as it is: keep it.";
        text::body(ui, words);
    }
    let present = dialog.lost.path.display().to_string();
    widgets::key_value(
        ui,
        "present",
        &present,
        "Nothing is written over it, and nothing is deleted.",
    );
    ui.add_space(space::M);
    widgets::caption(ui, "The new file");
    let mut act = None;
    let is_free = dialog.making.is_none();
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        let width = (ui.available_width() - 150.0).max(200.0);
        let field = TextField::new("recover/to", "The new file")
            .width(width)
            .locked(!is_free);
        if let Outcome::Commit(_) = field.show(ui, &mut dialog.to) {
            act = Some(Act::Make);
        }
        let choose = Button::new(Kind::Quiet, "Choose a place")
            .enabled(is_free && !dialog.chooser.is_open());
        if choose.show(ui).clicked() {
            act = Some(Act::FindPlace);
        }
    });
    ui.add_space(space::S);
    if let Some(making) = &dialog.making {
        let (done, all) = making.far();
        return widgets::progress(ui, done as _, all as _, "%").then_some(Act::Stop);
    }
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        let words = match &dialog.from {
            Some(From::Damaged) => "Save what can be read",
            _ => "Restore",
        };
        let is_ready = !dialog.to.trim().is_empty();
        let make = Button::new(Kind::Primary, words)
            .enabled(is_ready)
            .name("Make the new file");
        if make.show(ui).clicked() {
            act = Some(Act::Make);
        }
        if dialog.from != Some(From::Damaged) && widgets::quiet(ui, "Another backup").clicked() {
            act = Some(Act::Back);
        }
    });
    act
}

fn done_ui(ui: &mut Ui, dialog: &Recover) -> Option<Act> {
    match &dialog.made {
        Some(Made::Restored(restored)) => {
            let made = format!("{}, verified", entries(restored.events));
            widgets::key_value(ui, "new file", &made, &restored.path.display().to_string());
            let lacking = match restored.missing_count() {
                Some(0) => "nothing: it has every entry of the present file".into(),
                Some(count) => format!("{} of the present file", entries(count)),
                None => "not known: nothing of the present file can be read".into(),
            };
            let from = restored.missing.iter().flatten().next();
            let from = from.map_or(String::new(), |gap| format!("from entry {} on", gap.from));
            widgets::key_value(ui, "has not", &lacking, &from);
        }
        Some(Made::Salvaged(salvaged)) => salvaged_ui(ui, salvaged),
        None => {}
    }
    ui.add_space(space::S);
    let words = "Whoever writes in the new file goes on as a copy of its own, and the record says where it comes from.";
    text::note(ui, words);
    ui.add_space(space::M);
    let mut act = None;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        if widgets::primary(ui, "Open the new file").clicked() {
            act = Some(Act::Open);
        }
        if widgets::quiet(ui, "Close").clicked() {
            act = Some(Act::Close);
        }
    });
    act
}

/// What came over, and what did not.
fn salvaged_ui(ui: &mut Ui, salvaged: &Salvaged) {
    let saved = entries(salvaged.events);
    widgets::key_value(ui, "saved", &saved, &salvaged.path.display().to_string());
    if salvaged.drafts > 0 {
        let words = format!("{} unsigned", salvaged.drafts);
        widgets::key_value(
            ui,
            "sheets",
            &words,
            "They came over as they were kept last.",
        );
    }
    for chain in salvaged.chains.iter().filter(|chain| chain.why.is_some()) {
        let lost = format!(
            "copy {}: entries after {}",
            chain.origin.short(),
            chain.kept_to
        );
        let why = chain.why.clone().unwrap_or_default();
        let seen = match chain.left_out {
            0 => String::new(),
            count => format!(
                "; {} read behind it, which nobody can prove",
                entries(count)
            ),
        };
        widgets::key_value(ui, "not saved", &lost, &format!("{why}{seen}"));
    }
    for finding in salvaged.findings.iter().take(5) {
        widgets::key_value(ui, "to know", &finding.what, "");
    }
}
