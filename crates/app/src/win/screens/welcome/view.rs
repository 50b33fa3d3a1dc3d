//! Draws the welcome screen.

use std::path::Path;

use draw::tokens::space;
use egui::{Ui, vec2};

use super::{Act, Choosing, Form, Recent, file_name, new_path, typed_path};
use crate::ui::frames;
use crate::ui::text;
use crate::ui::widgets::{self, Button, Col, Columns, Kind, Outcome, Row, TextField};

const WIDTH: f32 = 760.0;

pub(super) fn welcome_ui(
    ui: &mut Ui,
    recent: &Recent,
    opening: Option<(&Path, (i64, i64))>,
    is_choosing: bool,
    form: &mut Form,
    acts: &mut Vec<Act>,
) {
    frames::page_body(ui, |ui| {
        let margin = ((ui.available_width() - WIDTH) / 2.0).max(0.0).round();
        ui.horizontal_top(|ui| {
            ui.add_space(margin);
            ui.vertical(|ui| {
                ui.set_max_width(WIDTH.min(ui.available_width()));
                widgets::page_title(
                    ui,
                    "Chockbook",
                    "the logbook of roll-neck bearings and chocks",
                );
                widgets::rule(ui);
                ui.add_space(space::M);
                let is_free = opening.is_none() && !is_choosing;
                if let Some((path, (done, all))) = opening {
                    let far = match all {
                        0 => String::new(),
                        all => format!(
                            ": it is damaged, reading what is left of it, {} %",
                            done * 100 / all
                        ),
                    };
                    text::strong(ui, &format!("Opening {}{far}", path.display()));
                    ui.add_space(space::M);
                }
                recent_ui(ui, recent, is_free, acts);
                open_ui(ui, is_free, form, acts);
                new_ui(ui, is_free, form, acts);
                ui.add_space(space::XL);
                widgets::heading(ui, "Look around first", "an invented plant");
                let demo = "On the command line, chockbook demo with the path of a new file makes a demo logbook with \
                            three years of work in it. Open it here then.";
                text::say(ui, text::Face::BODY.muted(), demo);
            });
        });
    });
}

fn recent_ui(ui: &mut Ui, recent: &Recent, is_free: bool, acts: &mut Vec<Act>) {
    if recent.paths().is_empty() {
        return;
    }
    widgets::heading(ui, "Opened last", "");
    let columns = Columns::new(vec![
        Col::left("", 240.0),
        Col::rest(""),
        Col::right("", 96.0),
    ]);
    for path in recent.paths() {
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        let folder = path
            .parent()
            .map(|folder| folder.display().to_string())
            .unwrap_or_default();
        let mut forget = false;
        let row = Row::action(format!("Open {}", path.display())).clickable(is_free);
        let response = columns.row(ui, &row, |cells| {
            cells.value(&name).note(&folder);
            forget = cells
                .ui(|ui| {
                    Button::new(Kind::Quiet, "Forget")
                        .name(&format!("Forget {}", path.display()))
                        .show(ui)
                })
                .is_some_and(|r| r.clicked());
        });
        if forget {
            acts.push(Act::Forget(path.clone()));
        } else if response.clicked() && is_free {
            acts.push(Act::Open(path.clone()));
        }
    }
    ui.add_space(space::XL);
}

fn open_ui(ui: &mut Ui, is_free: bool, form: &mut Form, acts: &mut Vec<Act>) {
    widgets::heading(ui, "Open a logbook", "");
    widgets::caption(ui, "Path of the file");
    let mut entered = false;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        let field =
            TextField::new("welcome/open", "Path of the logbook").hint("/shop/mill.chockbook");
        let outcome = field
            .width((ui.available_width() - 232.0).max(200.0))
            .show(ui, &mut form.open_path);
        entered = matches!(outcome, Outcome::Commit(_));
        let is_ready = is_free && typed_path(&form.open_path).is_some();
        entered |= Button::new(Kind::Second, "Open")
            .enabled(is_ready)
            .show(ui)
            .clicked();
        let choose = Button::new(Kind::Quiet, "Choose a file")
            .enabled(is_free)
            .name("Choose a logbook to open");
        if choose.show(ui).clicked() {
            acts.push(Act::Choose(Choosing::Open));
        }
    });
    if entered && is_free {
        acts.extend(typed_path(&form.open_path).map(Act::Open));
    }
    if !form.open_trouble.is_empty() {
        ui.add_space(space::S);
        widgets::error_box(ui, "Not opened", &form.open_trouble);
        if form.is_damaged {
            ui.add_space(space::S);
            if widgets::second(ui, "Restore a backup").clicked() {
                acts.push(Act::Restore);
            }
        }
    }
    ui.add_space(space::XL);
}

fn new_ui(ui: &mut Ui, is_free: bool, form: &mut Form, acts: &mut Vec<Act>) {
    widgets::heading(ui, "Make a new one", "an empty logbook for one roll shop");
    let mut entered = false;
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing = vec2(space::L, space::S);
        ui.vertical(|ui| {
            ui.set_width(240.0);
            widgets::caption(ui, "Name of the plant");
            let outcome =
                TextField::new("welcome/plant", "Name of the plant").show(ui, &mut form.plant);
            entered |= matches!(outcome, Outcome::Commit(_));
        });
        ui.vertical(|ui| {
            widgets::caption(ui, "Path of the new file");
            ui.horizontal_top(|ui| {
                ui.spacing_mut().item_spacing.x = space::S;
                if !form.is_path_own {
                    form.new_path = suggested(&form.plant);
                }
                let width = (ui.available_width() - 140.0).max(200.0);
                let field = TextField::new("welcome/new", "Path of the new logbook").width(width);
                let outcome = field.show(ui, &mut form.new_path);
                form.is_path_own |= outcome == Outcome::Changed;
                entered |= matches!(outcome, Outcome::Commit(_));
                let choose = Button::new(Kind::Quiet, "Choose a place").enabled(is_free);
                if choose
                    .name("Choose a place for the new logbook")
                    .show(ui)
                    .clicked()
                {
                    acts.push(Act::Choose(Choosing::New));
                }
            });
        });
    });
    ui.add_space(space::S);
    let path = new_path(&form.new_path).filter(|_| !form.plant.trim().is_empty());
    let is_ready = is_free && path.is_some();
    entered |= Button::new(Kind::Primary, "Make the logbook")
        .enabled(is_ready)
        .show(ui)
        .clicked();
    if entered
        && is_free
        && let Some(path) = path
    {
        acts.push(Act::Make {
            plant: form.plant.clone(),
            path,
        });
    }
    if !form.new_trouble.is_empty() {
        ui.add_space(space::S);
        widgets::error_box(ui, "Not made", &form.new_trouble);
    }
}

/// Beside the user's other documents, named after the plant.
fn suggested(plant: &str) -> String {
    if plant.trim().is_empty() {
        return String::new();
    }
    let home = std::env::home_dir().unwrap_or_default();
    home.join(file_name(plant)).display().to_string()
}
