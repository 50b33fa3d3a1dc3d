//! What is asked for a document, beside its pages.

use draw::Token;
use draw::tokens::space;
use egui::{CentralPanel, Frame, Margin, Panel, ScrollArea, Ui, UiBuilder};

use super::acts::{self, Paper, Then};
use super::{Typed, View};
use crate::print::{KINDS, Key, What, counted};
use crate::ui::focus::{self, Step};
use crate::ui::frames::{Choosable, choices};
use crate::ui::text::{self, Face};
use crate::ui::theme;
use crate::ui::widgets::{self, Button, Choice, CodeField, Coded, Kind, Outcome, TextField};
use crate::win::command::Command;
use crate::win::screens::Cx;
use crate::win::screens::bearings::save::{Saving, save_ui};

const WIDTH: f32 = 300.0;
const MANY: &str = "Many histories";
const MARKS: &str = "documents/marks";
const FOLDER: &str = "documents/folder";

/// The path of the field for a key.
pub(super) fn path(key: Key) -> String {
    format!("documents{}", key.option())
}

/// The page.
pub(super) fn documents_ui(
    ui: &mut Ui,
    cx: &Cx,
    paper: Option<&Paper>,
    view: &mut View,
    commands: &mut Vec<Command>,
) {
    list(ui, view);
    let frame = Frame::new()
        .fill(theme::color(ui, Token::Sheet))
        .inner_margin(Margin::symmetric(20, 0));
    let panel = Panel::left("form")
        .exact_size(WIDTH)
        .resizable(false)
        .show_separator_line(false)
        .frame(frame);
    panel.show(ui, |ui| {
        let edge = theme::stroke(ui, 1.0, Token::Rule);
        let outer = ui.max_rect().right() + 19.5;
        ui.painter().vline(outer, ui.clip_rect().y_range(), edge);
        ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
            ui.set_max_width(WIDTH - 52.0);
            ui.spacing_mut().item_spacing.y = 0.0;
            ui.add_space(space::M);
            if view.typed.is_many {
                many_ui(ui, cx, paper, view, commands);
            } else {
                form_ui(ui, cx, paper, view, commands);
            }
            ui.add_space(space::L);
        });
    });
    let frame = Frame::new().fill(theme::color(ui, Token::Ground));
    CentralPanel::default()
        .frame(frame)
        .show(ui, |ui| pages_ui(ui, view));
    saving(ui, cx, paper, view, commands);
}

fn list(ui: &mut Ui, view: &mut View) {
    let typed = &view.typed;
    let items: Vec<Choosable> = What::ALL
        .iter()
        .map(|what| Choosable {
            name: what.title(),
            about: what.about(),
            open: (!typed.is_many && typed.what == *what).then_some(""),
            is_new: false,
        })
        .collect();
    let chosen = choices(ui, &items, MANY, view.to_list.take());
    if let Some(line) = chosen.line {
        view.choose(What::ALL[line]);
    }
    if chosen.foot {
        view.typed.is_many = true;
        focus::ask(ui.ctx(), MARKS);
    }
}

/// The fields of the document, and what can be done with it.
fn form_ui(
    ui: &mut Ui,
    cx: &Cx,
    paper: Option<&Paper>,
    view: &mut View,
    commands: &mut Vec<Command>,
) {
    let what = view.typed.what;
    text::say(ui, Face::BODY.muted(), what.about());
    ui.add_space(space::M);
    let order: Vec<String> = what
        .asks()
        .iter()
        .filter(|(key, _)| !key.is_switch())
        .map(|(key, _)| path(*key))
        .collect();
    if std::mem::take(&mut view.to_first)
        && let Some(first) = order.first()
    {
        focus::ask(ui.ctx(), first);
    }
    let mut is_past = false;
    let mut left = |ui: &Ui, key: Key, step: Option<Step>, to_list: &mut Option<usize>| {
        let Some(step) = step else { return };
        let next = focus::step(ui.ctx(), &order, &path(key), step);
        is_past |= next.is_none() && step == Step::Forward;
        if next.is_none() && step == Step::Back {
            *to_list = What::ALL.iter().position(|other| *other == what);
        }
    };
    for keys in abreast(what) {
        if let [key] = keys.as_slice() {
            let step = field_ui(ui, cx, &mut view.typed, *key);
            left(ui, *key, step, &mut view.to_list);
            continue;
        }
        ui.columns(keys.len(), |columns| {
            for (ui, key) in columns.iter_mut().zip(keys) {
                let step = field_ui(ui, cx, &mut view.typed, key);
                left(ui, key, step, &mut view.to_list);
            }
        });
    }
    ui.add_space(space::S);
    let missing = view.typed.missing();
    let is_ready = missing.is_none() && paper.is_some() && view.making.is_none();
    let width = ui.available_width();
    let button = |ui: &mut Ui, kind, words| {
        let button = Button::new(kind, words).enabled(is_ready).width(width);
        let response = button.show(ui);
        ui.add_space(space::S);
        response
    };
    let show = button(ui, Kind::Primary, "Show the pages");
    let mut then = show.clicked().then_some(Then::Show);
    if is_past {
        show.request_focus();
    }
    let is_asked = std::mem::take(&mut view.is_print_asked);
    if button(ui, Kind::Second, "Save as PDF").clicked() || (is_asked && is_ready) {
        let stem = acts::stem(&view.typed);
        let title = "Save the document";
        view.saving = Some(Saving::beside(
            ui.ctx(),
            cx.path,
            &stem,
            "pdf",
            title,
            "Save",
        ));
    }
    for (words, act) in [
        ("Open in a viewer", Then::Open),
        ("Send to the printer", Then::Print),
    ] {
        if button(ui, Kind::Second, words).clicked() {
            then = Some(act);
        }
    }
    if let Some(missing) = missing {
        text::note(ui, &format!("Still needed: {}.", missing.to_lowercase()));
    }
    if is_ready && std::mem::take(&mut view.is_show_asked) {
        then = Some(Then::Show);
    }
    if let Some(then) = then {
        commands.extend(view.start(cx, paper, then));
    }
}

/// The keys of a document, short ones two abreast.
fn abreast(what: What) -> Vec<Vec<Key>> {
    let mut rows: Vec<Vec<Key>> = Vec::new();
    for (key, _) in what.asks() {
        match rows.last_mut() {
            Some(row) if key.is_short() && row.len() == 1 && row[0].is_short() => row.push(*key),
            _ => rows.push(vec![*key]),
        }
    }
    rows
}

/// One field; the step that was taken out of it.
fn field_ui(ui: &mut Ui, cx: &Cx, typed: &mut Typed, key: Key) -> Option<Step> {
    let label = key.label();
    if key.is_switch() {
        let mut is_on = !typed.text(key).is_empty();
        if widgets::checkbox(ui, label, &mut is_on) {
            typed
                .texts
                .insert(key, if is_on { "yes".into() } else { String::new() });
        }
        return None;
    }
    widgets::caption(ui, label);
    let path = path(key);
    let mut buffer = typed.text(key).to_owned();
    let choices: Option<Vec<Choice>> = match (key.entity(), key) {
        (Some(entity), _) => {
            let of = cx.snapshot.things.iter().filter(|t| t.entity == entity);
            Some(
                of.map(|t| Choice {
                    code: &t.code,
                    detail: &t.detail,
                })
                .collect(),
            )
        }
        (None, Key::Kind) => Some(KINDS.map(|code| Choice { code, detail: "" }).into()),
        _ => None,
    };
    let step = match choices {
        Some(choices) => {
            let field = CodeField::new(&path, label)
                .hint(hint(key))
                .width(ui.available_width());
            match field.show(ui, &mut buffer, &choices) {
                Coded::Chosen(_) | Coded::Entered(_) => Some(Step::Forward),
                Coded::Leave(step) => Some(step),
                Coded::Nothing | Coded::Changed => None,
            }
        }
        None => match TextField::new(&path, label)
            .hint(hint(key))
            .show(ui, &mut buffer)
        {
            Outcome::Commit(step) => Some(step),
            _ => None,
        },
    };
    if buffer != typed.text(key) {
        typed.texts.insert(key, buffer);
    }
    ui.add_space(space::S);
    step
}

/// What stands in an empty field: what it does when it stays empty.
fn hint(key: Key) -> &'static str {
    match key {
        Key::From => "a day, as 2026-10-30",
        Key::Until => "empty: up to now",
        Key::Date => "the newest",
        Key::Event => "e7adf5e3:45319",
        Key::Since => "2026-10-30T06:00",
        Key::Of => "WC-17, WC-18",
        Key::Page => "210x297",
        Key::Grid => "3x8",
        Key::Label => "70x37",
        Key::Margin => "0x0.5",
        Key::Gap => "0x0",
        Key::Skip => "0",
        Key::Thing => "TH-4T-015",
        _ => "type or scan",
    }
}

/// Histories of many bearings, one file each.
fn many_ui(
    ui: &mut Ui,
    cx: &Cx,
    paper: Option<&Paper>,
    view: &mut View,
    commands: &mut Vec<Command>,
) {
    let order = [MARKS, FOLDER];
    let about =
        "The history of each bearing as a file of its own. A * in a mark stands for any letters.";
    text::say(ui, Face::BODY.muted(), about);
    ui.add_space(space::M);
    widgets::caption(ui, "Bearings");
    let field = TextField::new(MARKS, "Bearings").hint("TH-4T-0*, TH-4L-003");
    let mut is_past = false;
    if let Outcome::Commit(step) = field.show(ui, &mut view.typed.many) {
        focus::step(ui.ctx(), &order, MARKS, step);
    }
    let bearings = acts::many(&cx.snapshot.things, &view.typed.many);
    text::note(
        ui,
        &format!(
            "{} in the register",
            counted(bearings.len(), "such bearing")
        ),
    );
    ui.add_space(space::S);
    widgets::caption(ui, "Folder");
    if view.typed.folder.is_empty() {
        let beside = cx.path.parent().unwrap_or(cx.path).join("histories");
        view.typed.folder = beside.display().to_string();
    }
    if let Outcome::Commit(step) = TextField::new(FOLDER, "Folder").show(ui, &mut view.typed.folder)
    {
        is_past = focus::step(ui.ctx(), &order, FOLDER, step).is_none() && step == Step::Forward;
    }
    text::note(ui, "Files of the same name are replaced.");
    ui.add_space(space::M);
    let is_ready = !bearings.is_empty() && !view.typed.folder.trim().is_empty();
    let button = Button::new(Kind::Primary, "Print them all")
        .enabled(is_ready)
        .show(ui);
    if is_past {
        button.request_focus();
    }
    if let (true, Some(paper)) = (button.clicked(), paper) {
        let folder = view.typed.folder.trim().into();
        commands.push(Command::Run(acts::histories(cx, paper, bearings, folder)));
    }
}

/// The pages, or what will stand there.
fn pages_ui(ui: &mut Ui, view: &mut View) {
    let is_making = view.making.is_some();
    let Some((typed, pages)) = &mut view.pages else {
        let room = ui.max_rect().shrink(space::L);
        let mut ui = ui.new_child(UiBuilder::new().id_salt("empty").max_rect(room));
        let (sentence, detail) = if is_making {
            (
                "The pages are being set.",
                "A long history takes some seconds.",
            )
        } else {
            (
                "No document is shown.",
                "Its pages will stand here as they will be printed. Choose one at the left, say which thing, and show it.",
            )
        };
        widgets::empty_page(&mut ui, sentence, detail, None);
        return;
    };
    let note = if is_making {
        "new pages are being set"
    } else if *typed != view.typed {
        "not what is chosen now"
    } else {
        ""
    };
    pages.show(ui, note);
}

/// The dialog for the file while it is open, and the work once it is agreed to.
fn saving(ui: &Ui, cx: &Cx, paper: Option<&Paper>, view: &mut View, commands: &mut Vec<Command>) {
    let mut asked = view.saving.take();
    let agreed = save_ui(ui.ctx(), &mut asked);
    view.saving = asked;
    if let Some(path) = agreed {
        commands.extend(view.start(cx, paper, Then::Save(path)));
    }
}
