//! Draws the log.

use draw::Mark;
use draw::tokens::{height, space};
use egui::{ScrollArea, Ui};
use store::Stamp;
use store::draft::DraftLine;
use store::entry::Show;
use store::query::JournalLine;

use super::event_line::{pieces, sentence, target};
use super::list::{Chosen, Keys, List};
use super::model::{CAMPAIGNS_MAX, LogModel, Sort};
use crate::print;
use crate::ui::focus::Step;
use crate::ui::frames;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Col, Columns, Kind, Outcome, Row, TextField, badge_at};
use crate::win::command::Command;
use crate::win::route::{Route, SetupPage};
use crate::win::screens::Cx;

/// Path of the search field.
pub const SEARCH: &str = "log/search";

/// What only the log remembers.
#[derive(Debug, Default)]
pub struct LogView {
    /// Which events.
    pub sort: Sort,
    /// What was typed into the search.
    pub search: String,
    /// The row chosen by keyboard.
    pub chosen: Chosen,
}

/// The log.
pub fn log_ui(
    ui: &mut Ui,
    cx: &Cx,
    model: &LogModel,
    view: &mut LogView,
    commands: &mut Vec<Command>,
) {
    frames::page_body(ui, |ui| {
        if !model.drafts.is_empty() {
            drafts(ui, cx, &model.drafts, commands);
            ui.add_space(space::L);
        }
        if model.events.iter().all(|e| e.kind == "logbook_started") && view.sort != Sort::Campaigns
        {
            empty(ui, cx, commands);
            return;
        }
        events(ui, cx, model, view, commands);
    });
}

/// Nothing has happened yet: what will stand here, and what comes first.
fn empty(ui: &mut Ui, cx: &Cx, commands: &mut Vec<Command>) {
    let is_bare = !cx
        .snapshot
        .things
        .iter()
        .any(|t| t.entity == "bearing" || t.entity == "chock");
    let sentence = "Nothing has happened yet.";
    if is_bare {
        let words = "Every sheet and every move will stand here, newest first. First register the mill\u{2019}s \
                     stands, chocks and bearings; to look around instead, close this logbook and open a demo.";
        if widgets::empty_page(ui, sentence, words, Some("Open Setup")) {
            commands.push(Command::Go(Route::Setup(SetupPage::Stands, None)));
        }
    } else {
        let words = "Every sheet and every move will stand here, newest first.";
        if widgets::empty_page(
            ui,
            sentence,
            words,
            cx.may_enter().then_some("New teardown"),
        ) {
            commands.push(Command::NewSheet { known: Vec::new() });
        }
    }
}

fn drafts(ui: &mut Ui, cx: &Cx, drafts: &[DraftLine], commands: &mut Vec<Command>) {
    let count = print::counted(drafts.len(), "sheet");
    widgets::heading(
        ui,
        "Not signed yet",
        &format!("{count} \u{b7} what was typed is kept"),
    );
    let columns = Columns::new(vec![
        Col::left("", 200.0),
        Col::left("", 190.0),
        Col::left("", 150.0),
        Col::rest(""),
        Col::right("", 120.0),
    ]);
    let spacing = std::mem::replace(&mut ui.spacing_mut().item_spacing.y, 0.0);
    widgets::rule(ui);
    // Many drafts scroll by themselves: the events below keep their room and their heads.
    let room = (ui.clip_rect().height() * 0.3 / height::BUTTON_ROW)
        .floor()
        .max(2.0)
        + 0.5;
    let area = ScrollArea::vertical()
        .id_salt("drafts")
        .auto_shrink([false, true])
        .max_height(room * height::BUTTON_ROW);
    area.show(ui, |ui| {
        for draft in drafts {
            draft_row(ui, cx, &columns, draft, commands);
        }
    });
    ui.spacing_mut().item_spacing.y = spacing;
}

fn draft_row(
    ui: &mut Ui,
    cx: &Cx,
    columns: &Columns,
    draft: &DraftLine,
    commands: &mut Vec<Command>,
) {
    let what = what_of(draft);
    let kept = Stamp::second(draft.kept_ms, draft.started.offset_min);
    let who = if draft.person_name.is_empty() {
        "nobody"
    } else {
        draft.person_name.as_str()
    };
    let filled = print::counted(usize::try_from(draft.filled).unwrap_or(0), "value") + " filled in";
    let when = format!(
        "begun {}, kept {}",
        draft.started.date_time(),
        kept.date_time()
    );
    let name = format!("Draft of {what}, {who}, {filled}");
    ui.push_id(draft.id.0, |ui| {
        columns.row(ui, &Row::action(name), |cells| {
            cells.value(&what).text(who).text(&filled).note(&when);
            cells.ui(|ui| open_button(ui, cx, draft, &what, commands));
        });
    });
}

/// What a draft is about, as far as it is typed.
fn what_of(draft: &DraftLine) -> String {
    let named: Vec<&str> = [draft.chock.as_str(), draft.bearing.as_str()]
        .into_iter()
        .filter(|t| !t.is_empty())
        .collect();
    let what = if named.is_empty() {
        "no chock named yet".to_owned()
    } else {
        named.join(", ")
    };
    if draft.kind == crate::win::screens::mounting::KIND {
        format!("mounting, {what}")
    } else {
        what
    }
}

/// How a draft is opened by whoever is at work, and the words for it.
pub fn opening(cx: &Cx, draft: &DraftLine) -> (&'static str, Command) {
    let person = cx.person.map(|p| p.no);
    let is_own = person.is_some() && person == draft.person;
    // Without a person at work the dialog asks who; a sheet of somebody else is then taken over, with its trace.
    match person {
        None => ("Open", Command::TakeOver(draft.id)),
        Some(_) if is_own => ("Open", Command::Go(Route::Sheet(draft.id))),
        Some(_) if draft.person.is_none() => ("Open", Command::TakeOver(draft.id)),
        Some(_) => ("Take over", Command::TakeOver(draft.id)),
    }
}

fn open_button(ui: &mut Ui, cx: &Cx, draft: &DraftLine, what: &str, commands: &mut Vec<Command>) {
    let (words, command) = opening(cx, draft);
    let name = format!("{words} the draft of {what}");
    let button = Button::new(Kind::Second, words)
        .name(&name)
        .enabled(cx.may_enter());
    if button.show(ui).clicked() {
        commands.push(command);
    }
}

fn events(ui: &mut Ui, cx: &Cx, model: &LogModel, view: &mut LogView, commands: &mut Vec<Command>) {
    let keys = Keys::read(ui, SEARCH);
    let mut is_other = false;
    ui.horizontal(|ui| {
        let mut sort = Sort::ALL.iter().position(|s| *s == view.sort).unwrap_or(0);
        if widgets::tabs(ui, "Show", &Sort::ALL.map(Sort::name), &mut sort) {
            view.sort = Sort::ALL[sort];
            is_other = true;
        }
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if Button::new(Kind::Primary, "New teardown")
                .enabled(cx.may_enter())
                .show(ui)
                .clicked()
            {
                commands.push(Command::NewSheet { known: Vec::new() });
            }
            ui.add_space(space::XS);
            let about = "Ctrl E, then a letter: received, put in, mounted, came off, hold, and all else that happened";
            let tell = Button::new(Kind::Second, "What happened").enabled(cx.may_enter());
            if tell.show(ui).on_hover_text(about).clicked() {
                commands.push(Command::Go(Route::Tell));
            }
            ui.add_space(space::S);
            if Button::new(Kind::Second, "New mounting")
                .enabled(cx.may_enter())
                .show(ui)
                .clicked()
            {
                commands.push(Command::NewMounting { known: Vec::new() });
            }
            ui.add_space(space::S);
            let width = (ui.available_width() - space::L).clamp(140.0, 360.0);
            let field = TextField::new(SEARCH, "Search the log")
                .hint("Search all words")
                .width(width);
            let outcome = field.show(ui, &mut view.search);
            is_other |= searched(ui, &outcome, keys);
        });
    });
    if is_other {
        view.chosen.clear();
    }
    let shown = model.shown(view.sort, &view.search);
    ui.add_space(space::XS);
    text::note(ui, &counted(cx.show, model, view, shown.len()));
    let columns = Columns::new(vec![
        Col::left("date", 84.0),
        Col::left("what", 144.0),
        Col::rest("which"),
        Col::right("signed by", 140.0),
    ]);
    columns.header(ui);
    if shown.is_empty() {
        ui.add_space(space::M);
        text::say(ui, Face::BODY.muted(), "No entry has these words.");
        return;
    }
    let list = List {
        salt: "events",
        columns: &columns,
        height: room_below(ui),
        row_height: height::READING_ROW,
        count: shown.len(),
        keys,
    };
    let line = |index: usize| &model.events[shown[index]];
    let row = |index: usize| row_of(line(index));
    let opened = list.show(ui, &mut view.chosen, row, |index, cells| {
        let line = line(index);
        cells
            .put(Face::BODY.muted(), &line.at.date())
            .text(&line.title);
        cells.ui(|ui| {
            let mut rect = ui.max_rect();
            rect.max.x -= marks(ui, rect, line);
            pieces(ui, rect, "", &line.pieces);
        });
        cells.note(&line.signer);
    });
    commands.extend(opened.map(|index| Command::Go(target(line(index)))));
}

/// Upper margin of a page, px.
const PAGE_TOP: f32 = 14.0;

/// How much room there is for a list down to the end of the page, whose lower margin stays free, px.
pub fn room_below(ui: &Ui) -> f32 {
    // Counted from the top of the page, not of the window: a page that is scrolled gives its list no more.
    let above = ui.cursor().top() - ui.min_rect().top() + PAGE_TOP;
    (ui.clip_rect().height() - above - space::XXL).max(180.0)
}

/// What the caret's leaving a search field means; true where other rows are to be shown.
pub fn searched(ui: &Ui, outcome: &Outcome, keys: Keys) -> bool {
    match outcome {
        Outcome::Changed | Outcome::Left => true,
        // Enter opens a row; Tab goes on as everywhere.
        Outcome::Commit(step) if !keys.opens() => {
            let way = match step {
                Step::Forward => egui::FocusDirection::Next,
                Step::Back => egui::FocusDirection::Previous,
            };
            ui.memory_mut(|memory| memory.move_focus(way));
            false
        }
        _ => false,
    }
}

fn row_of(line: &JournalLine) -> Row {
    let name = format!("{} {}", line.at.date(), sentence(line));
    Row::reading(name).clickable(true)
}

/// Late or in conflict, in word and mark, at the right end; how much room that takes.
fn marks(ui: &mut Ui, rect: egui::Rect, line: &JournalLine) -> f32 {
    if !line.conflict.is_empty() {
        let why = format!("Does not fit: {}", line.conflict);
        let at = rect.right_center() - egui::vec2(CONFLICT, 0.0);
        let badge = badge_at(ui, at, Mark::Fail, "conflict");
        let id = ui.make_persistent_id("conflict");
        ui.interact(badge, id, egui::Sense::hover())
            .on_hover_text(why);
        CONFLICT + space::M
    } else if line.is_late {
        let at = egui::pos2(
            rect.right(),
            text::baseline(rect.center().y, Face::NOTE.size),
        );
        let words = format!("entered {}", line.entered.date());
        text::at(ui, at, draw::Align::Right, Face::NOTE, &words).width() + space::M
    } else {
        0.0
    }
}

/// Room of the word for a conflict with its mark, px.
const CONFLICT: f32 = 92.0;

fn counted(show: Show, model: &LogModel, view: &LogView, shown: usize) -> String {
    let words = |count: usize| show.grouped(i64::try_from(count).unwrap_or(i64::MAX));
    let all = model.shown(view.sort, "").len();
    let said: String = match (shown == all, all) {
        (true, 1) => "1 entry".into(),
        (true, _) => format!("{} entries, newest first", words(all)),
        (false, _) => format!("{} of {} entries, newest first", words(shown), words(all)),
    };
    let rest = match (model.is_cut, view.sort) {
        (true, Sort::Campaigns) => {
            format!(
                " \u{b7} the newest {} campaigns",
                show.grouped(CAMPAIGNS_MAX)
            )
        }
        (true, _) => " \u{b7} older ones are being read".into(),
        (false, _) => String::new(),
    };
    said + &rest
}
