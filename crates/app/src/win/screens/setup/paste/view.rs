//! Shows a pasted table: what is wrong with it, cell by cell, and the ways on.

use std::sync::Arc;

use draw::Token;
use draw::tokens::{height, space};
use egui::{CentralPanel, Event, Frame, Margin, Panel, Ui};

use super::check::{Checked, Row};
use super::columns::known;
use super::{PLACE, Paste};
use crate::print::counted;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Col, Columns, Kind, Outcome, TextField};
use crate::ui::{focus, theme};
use crate::win::command::Command;
use crate::win::screens::Cx;
use crate::win::screens::log::small;
use crate::win::screens::setup::field_view::capital;
use crate::win::screens::setup::form::Kind as FieldKind;
use crate::win::screens::setup::form_view::{Pressed, head};
use crate::win::screens::setup::model::Model;
use crate::win::screens::setup::page::Page;
use crate::win::screens::setup::type_values;
use crate::win::worker::Wake;

/// Path of the field for a file.
pub const FILE: &str = "setup/paste-file";
const MEND: &str = "setup/paste-line";

/// What was pasted with the keys while this page is open: several lines or cells at once.
pub fn pasted(ui: &Ui) -> Option<String> {
    ui.input_mut(|input| {
        let mut found = None;
        input.events.retain(|event| match event {
            Event::Paste(text) if text.contains(['\n', '\t']) => {
                found = Some(text.clone());
                false
            }
            _ => true,
        });
        found
    })
}

/// The page of a pasted table; true once it is closed.
pub fn paste_ui(
    ui: &mut Ui,
    cx: &Cx,
    (page, model): (Page, &Arc<Model>),
    paste: &mut Paste,
    wake: Option<&Wake>,
    commands: &mut Vec<Command>,
) -> bool {
    if let Some(pasted) = pasted(ui) {
        paste.add(&pasted);
    }
    paste.refresh(page, model, (cx.show, cx.now), wake);
    let margin = Margin {
        left: 24,
        right: 24,
        top: 0,
        bottom: 12,
    };
    let frame = Frame::new()
        .fill(theme::color(ui, Token::Sheet))
        .inner_margin(margin);
    let shown = CentralPanel::default().frame(frame).show(ui, |ui| {
        let title = format!("Paste {}", page.name().to_lowercase());
        let is_closed = head(ui, &title) == Some(Pressed::Close);
        ui.spacing_mut().item_spacing.y = space::XS;
        ui.add_space(space::S);
        if paste.is_kept() {
            table_ui(ui, cx, (page, model), paste, wake, commands);
        } else {
            empty_ui(ui, page, paste, wake);
        }
        is_closed
    });
    shown.inner
}

fn empty_ui(ui: &mut Ui, page: Page, paste: &mut Paste, wake: Option<&Wake>) {
    ui.set_max_width(720.0);
    text::body(
        ui,
        "Copy rows with their heads in a table program, and press Ctrl+V here. Tabs, semicolons or commas may part the \
         cells. Nothing is written before you have seen what each row means.",
    );
    ui.add_space(space::M);
    widgets::heading(ui, "Columns", "in any order");
    widgets::rule(ui);
    ui.add_space(space::XS);
    for field in known(page)
        .iter()
        .filter(|field| field.paths.len() != 1 || !type_values::is_of_pair(&field.paths[0]))
    {
        let words = match field.kind {
            FieldKind::OneOf(words) => {
                let words: Vec<&str> = words.iter().map(|(_, word)| *word).collect();
                words.join(", ")
            }
            FieldKind::Number(_) if field.paths.len() > 1 => {
                "a number, one for all; or a column each with \u{201c}, S1\u{201d}, \u{201c}, S2\u{201d}, \u{201c}, S3\u{201d} after it, from the barrel".into()
            }
            FieldKind::Number(_) => "a number; its unit may stand in the head, as in [mm]".into(),
            FieldKind::Thing(_) => "a code that is in the register".into(),
            FieldKind::Words | FieldKind::Pin => String::new(),
        };
        text::line(
            ui,
            &[
                (Face::STRONG, &capital(&field.label)),
                (Face::NOTE, &format!("   {words}")),
            ],
        );
    }
    if page == Page::People {
        text::note(
            ui,
            "A PIN is never in a table: each person gets one here afterwards, and signs from then on.",
        );
    }
    ui.add_space(space::M);
    widgets::caption(ui, "Or the path of a CSV file");
    ui.horizontal(|ui| {
        ui.set_row_height(height::TOUCH);
        let field = TextField::new(FILE, "Path of the CSV file").width(520.0);
        let outcome = field.show(ui, &mut paste.path);
        let is_entered = matches!(outcome, Outcome::Commit(_));
        if Button::new(Kind::Second, "Read")
            .name("Read the file")
            .show(ui)
            .clicked()
            || is_entered
        {
            paste.read_file(wake);
        }
    });
    failed_ui(ui, paste);
}

fn failed_ui(ui: &mut Ui, paste: &Paste) {
    if let Some(why) = &paste.failed {
        widgets::error_box(ui, "Not read", why);
    }
}

fn table_ui(
    ui: &mut Ui,
    cx: &Cx,
    (page, model): (Page, &Arc<Model>),
    paste: &mut Paste,
    wake: Option<&Wake>,
    commands: &mut Vec<Command>,
) {
    foot(ui, cx, (page, model), paste, wake, commands);
    let Some(checked) = paste.checked.clone() else {
        text::note(ui, "The rows are being checked.");
        return;
    };
    summary_ui(ui, paste, &checked);
    rows_ui(ui, paste, &checked);
}

/// What is wrong with the table as a whole, and how many rows are.
fn summary_ui(ui: &mut Ui, paste: &mut Paste, checked: &Checked) {
    for words in checked.missing.iter().chain(&checked.odd) {
        text::say(ui, Face::STRONG.token(Token::Fail), words);
    }
    let is_strange = checked.columns.iter().any(|column| column.known.is_none());
    ui.horizontal(|ui| {
        ui.set_row_height(height::TOUCH);
        if !checked.is_whole()
            && Button::new(Kind::Second, "Mend the heads")
                .show(ui)
                .clicked()
        {
            mend(ui, paste, checked.head_line);
        }
        if is_strange && !checked.odd.is_empty() {
            let button = Button::new(Kind::Second, "Leave unknown columns out");
            if button.show(ui).clicked() {
                paste.leaves_out = true;
                paste.changed();
            }
        }
        let (bad, all) = (checked.bad_count(), checked.rows.len());
        let rows = counted(all, "row");
        let (is_right, words) = match (checked.is_whole(), bad) {
            (false, _) => (false, format!("{rows}, and columns that are missing")),
            (true, 0) => (true, format!("{rows}, all right")),
            (true, bad) => (false, format!("{rows}, {bad} not right")),
        };
        let token = if is_right { Token::Pass } else { Token::Fail };
        super::super::field_view::beside(ui, Face::STRONG.token(token), &words);
        if bad > 0 {
            ui.add_space(space::L);
            let mut chosen = usize::from(paste.only_bad);
            if small::choose(ui, "Show", &["all rows", "what is not right"], &mut chosen) {
                paste.only_bad = chosen == 1;
            }
        }
    });
}

fn rows_ui(ui: &mut Ui, paste: &mut Paste, checked: &Checked) {
    let shown: Vec<&Row> = checked
        .rows
        .iter()
        .filter(|row| !paste.only_bad || !row.wrongs.is_empty())
        .collect();
    if shown.is_empty() {
        return;
    }
    let has_bad = checked.bad_count() > 0;
    let room = ui.available_width() - 56.0 - if has_bad { 300.0 } else { 80.0 };
    let width = 128.0;
    let fit = ((room / (width + 16.0)) as usize).clamp(1, checked.columns.len());
    let mut heads = vec![Col::right("line", 40.0)];
    heads.extend(
        checked.columns[..fit]
            .iter()
            .map(|column| Col::left(&column.head, width)),
    );
    heads.push(Col::rest(if has_bad { "what is not right" } else { "" }));
    let mending = paste.mend.as_ref().map(|(line, _)| *line);
    let row = |index: usize| {
        let row = shown[index];
        let name = format!("Line {}: {}", row.line, said(row));
        widgets::Row::reading(name)
            .clickable(true)
            .chosen(mending == Some(row.line))
    };
    let height = (ui.available_height() - 30.0).max(90.0);
    let clicked = Columns::new(heads).rows(
        ui,
        "pasted rows",
        height,
        shown.len(),
        row,
        |index, cells| {
            let row = shown[index];
            cells.put(Face::NOTE, &row.line.to_string());
            for column in 0..fit {
                let is_bad = row.wrongs.iter().any(|bad| bad.column == Some(column));
                let face = if is_bad {
                    Face::STRONG.token(Token::Fail)
                } else {
                    Face::BODY
                };
                let text = row.cells.get(column).map_or("", String::as_str);
                cells.put(
                    face,
                    if is_bad && text.is_empty() {
                        "empty"
                    } else {
                        text
                    },
                );
            }
            let face = if row.wrongs.is_empty() {
                Face::NOTE
            } else {
                Face::NOTE_STRONG.token(Token::Fail)
            };
            cells.put(face, &said(row));
        },
    );
    if let Some(index) = clicked {
        let line = shown[index].line;
        mend(ui, paste, line);
    }
}

/// Everything that is not right in a row, in one line.
fn said(row: &Row) -> String {
    let words: Vec<String> = row
        .wrongs
        .iter()
        .map(|bad| format!("{}: {}", bad.name, bad.why))
        .collect();
    if words.is_empty() {
        "all right".into()
    } else {
        words.join("; ")
    }
}

fn mend(ui: &Ui, paste: &mut Paste, line: usize) {
    paste.mend = Some((line, paste.line(line).replace('\t', ";\u{2060}")));
    focus::ask_at_end(ui.ctx(), MEND);
}

/// The line that is mended, progress, and the buttons.
fn foot(
    ui: &mut Ui,
    cx: &Cx,
    (page, model): (Page, &Arc<Model>),
    paste: &mut Paste,
    wake: Option<&Wake>,
    commands: &mut Vec<Command>,
) {
    let frame = Frame::new()
        .fill(theme::color(ui, Token::Sheet))
        .inner_margin(Margin::symmetric(0, 6));
    let panel = Panel::bottom("setup paste foot")
        .resizable(false)
        .show_separator_line(false)
        .frame(frame);
    panel.show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = space::S;
        widgets::rule(ui);
        mend_ui(ui, paste);
        failed_ui(ui, paste);
        if let Some(why) = cx.answers.refusal(PLACE) {
            widgets::error_box(ui, "Nothing was written", why);
        }
        if let Some(saving) = &paste.saving {
            let (done, all) = saving.pace.far();
            if widgets::progress(ui, done.unsigned_abs(), all.unsigned_abs(), "rows written") {
                saving.pace.stop();
            }
            return;
        }
        if let Some(job) = &paste.checking {
            let (done, all) = job.far();
            if widgets::progress(ui, done.unsigned_abs(), all.unsigned_abs(), "rows checked") {
                job.stop();
            }
            return;
        }
        buttons(ui, cx, (page, model), paste, wake, commands);
    });
}

fn mend_ui(ui: &mut Ui, paste: &mut Paste) {
    let Some((line, mut typed)) = paste.mend.take() else {
        return;
    };
    widgets::caption(
        ui,
        &format!("Line {line} as it was pasted; Enter checks it again"),
    );
    let name = format!("Line {line}");
    let checked = paste.checked.clone();
    let row = checked
        .iter()
        .flat_map(|c| &c.rows)
        .find(|row| row.line == line);
    for bad in row.iter().flat_map(|row| &row.wrongs) {
        let words = format!("{}: {}", bad.name, bad.why);
        text::say(ui, Face::NOTE_STRONG.token(Token::Fail), &words);
    }
    match TextField::new(MEND, &name).show(ui, &mut typed) {
        Outcome::Commit(_) => {
            // A tab cannot be typed into a field: a mark stands for each while the line is mended.
            paste.replace(line, &typed.replace(";\u{2060}", "\t"));
        }
        _ => paste.mend = Some((line, typed)),
    }
}

fn buttons(
    ui: &mut Ui,
    cx: &Cx,
    (page, model): (Page, &Arc<Model>),
    paste: &mut Paste,
    wake: Option<&Wake>,
    commands: &mut Vec<Command>,
) {
    let (good, bad, is_whole) = paste.checked.as_ref().map_or((0, 0, false), |c| {
        (c.good().count(), c.bad_count(), c.is_whole())
    });
    ui.horizontal(|ui| {
        if cx.person.is_none() {
            if widgets::primary(ui, "Sign in to save").clicked() {
                commands.push(Command::AskSignIn { then: None });
            }
        } else {
            let all = format!("Save {good} {}", words_for(page, good));
            if bad == 0 && is_whole && good > 0 && std::mem::take(&mut paste.wants_save) {
                focus::ask_primary(ui.ctx());
            }
            if bad == 0 {
                let button = Button::new(Kind::Primary, &all).enabled(is_whole && good > 0);
                if button.show(ui).clicked() {
                    paste.save(model, wake, commands);
                }
            } else {
                let words = match good {
                    1 => "Save only the good row".to_owned(),
                    n => format!("Save only the {n} good rows"),
                };
                let button = Button::new(Kind::Second, &words).enabled(is_whole && good > 0);
                if button
                    .show(ui)
                    .on_hover_text("The others stay here to be mended.")
                    .clicked()
                {
                    paste.save(model, wake, commands);
                }
            }
        }
        let button = Button::new(Kind::Quiet, "Discard").name("Discard what was pasted");
        if button.show(ui).clicked() {
            *paste = Paste::default();
        }
    });
}

fn words_for(page: Page, count: usize) -> String {
    if count == 1 {
        page.noun().into()
    } else {
        page.name().to_lowercase()
    }
}
