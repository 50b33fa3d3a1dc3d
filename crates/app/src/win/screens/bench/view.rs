//! The page: the list of calculations, and one or two of them.

use calc::method::{Method, by_name, methods};
use draw::Token;
use draw::tokens::{height, space};
use egui::{CentralPanel, Frame, Rect, ScrollArea, Sense, Ui, UiBuilder, pos2, vec2};
use store::entry::Show;

use super::form_view::{self, Left};
use super::pane::Pane;
use super::shelf::Shelf;
use super::{paper, result_view};
use crate::bench::Form;
use crate::ui::frames::{Choosable, choices};
use crate::ui::keys::Action;
use crate::ui::text::{self, Face};
use crate::ui::widgets::{self, Button, Kind};
use crate::ui::{focus, theme};
use crate::win::command::Command;
use crate::win::screens::Cx;
use crate::win::screens::bearings::save::Saving;

/// The first calculation that is opened, ever.
const FIRST: &str = "fit";
/// From this width on the result stands beside the fields instead of below them.
const WIDE: f32 = 860.0;
const MARGIN: f32 = 20.0;
const FOOT: f32 = 60.0;
pub(super) const SIDES: [&str; 2] = ["left", "right"];

/// Everything that the page remembers.
#[derive(Debug)]
pub(super) struct BenchView {
    shelf: Shelf,
    /// One or two.
    pub(super) panes: Vec<Pane>,
    /// The one that the keyboard is in.
    active: usize,
    /// The side whose buttons get the keyboard.
    to_buttons: Option<usize>,
    /// The line of the list that gets it.
    to_list: Option<usize>,
    /// The method whose line in the list comes into view.
    to_show: Option<&'static str>,
    /// The first field of the active side gets it.
    to_first: bool,
    /// The method that a key of the page asks for.
    asked: Option<&'static Method>,
    is_print_asked: bool,
    pub(super) saving: Option<(usize, Saving)>,
    is_changed: bool,
}

impl BenchView {
    /// The bench as it was left.
    pub(super) fn new(shelf: Shelf, show: Show) -> Self {
        let mut view = Self {
            panes: Vec::new(),
            active: 0,
            to_buttons: None,
            to_list: None,
            to_show: None,
            to_first: false,
            asked: None,
            is_print_asked: false,
            saving: None,
            is_changed: false,
            shelf,
        };
        let open: Vec<&Method> = view
            .shelf
            .open
            .iter()
            .filter_map(|name| by_name(name))
            .collect();
        let first = by_name(FIRST).or_else(|| methods().first().copied());
        for (side, method) in open.into_iter().take(2).enumerate() {
            view.open(side, method, None, show);
        }
        if let (true, Some(first)) = (view.panes.is_empty(), first) {
            view.open(0, first, None, show);
        }
        view.is_changed = false;
        view.activate(0);
        view
    }

    /// Opens a method on a side: with the form given, else with what was typed there, else with its example.
    pub(super) fn open(
        &mut self,
        side: usize,
        method: &'static Method,
        form: Option<Form>,
        show: Show,
    ) {
        let form = form
            .or_else(|| self.shelf.get(side, method.name).cloned())
            .unwrap_or_else(|| Form::example(method, show));
        let pane = Pane::new(method, form, show);
        let side = side.min(self.panes.len());
        match self.panes.get_mut(side) {
            None => self.panes.push(pane),
            Some(there) => {
                let before = std::mem::replace(there, pane);
                self.shelf.put(side, before.method.name, before.form);
            }
        }
        self.is_changed = true;
        self.to_show = Some(method.name);
        self.activate(side);
    }

    /// Closes the right one; what is typed there waits.
    pub(super) fn close_second(&mut self) {
        if self.panes.len() > 1 {
            let gone = self.panes.remove(1);
            self.shelf.put(1, gone.method.name, gone.form);
            self.is_changed = true;
            self.activate(0);
        }
    }

    /// Sends the keyboard to a side; its first field gets it.
    pub(super) fn activate(&mut self, side: usize) {
        self.active = side.min(self.panes.len().saturating_sub(1));
        self.to_first = true;
    }

    /// Sends the keyboard to the side where it was.
    pub(super) fn activate_again(&mut self) {
        self.activate(self.active);
    }

    /// The method that the keyboard is in.
    pub(super) fn method(&self) -> &'static Method {
        self.panes
            .get(self.active)
            .map_or(methods()[0], |pane| pane.method)
    }

    /// A key of the page.
    pub(super) fn act(&mut self, action: Action) {
        match action {
            Action::Print => self.is_print_asked = true,
            Action::NextSection | Action::PreviousSection => {
                let all = methods();
                let step = if action == Action::NextSection {
                    1
                } else {
                    all.len() - 1
                };
                let from = self.asked.unwrap_or_else(|| self.method());
                let here = all.iter().position(|m| m.name == from.name);
                self.asked = here.map(|here| all[(here + step) % all.len()]);
            }
            _ => {}
        }
    }

    /// Whether something was changed since the last look.
    pub(super) fn take_changed(&mut self) -> bool {
        let mut is_changed = std::mem::take(&mut self.is_changed);
        for pane in &mut self.panes {
            is_changed |= std::mem::take(&mut pane.is_changed);
        }
        is_changed
    }

    /// All that is typed, as text.
    pub(super) fn kept(&mut self) -> String {
        self.shelf.open = self
            .panes
            .iter()
            .map(|pane| pane.method.name.to_owned())
            .collect();
        for (side, pane) in self.panes.iter().enumerate() {
            self.shelf.put(side, pane.method.name, pane.form.clone());
        }
        self.shelf.text()
    }
}

/// The page.
pub(super) fn bench_ui(ui: &mut Ui, cx: &Cx, view: &mut BenchView, commands: &mut Vec<Command>) {
    if let Some(method) = view.asked.take() {
        view.open(view.active, method, None, cx.show);
    }
    list(ui, cx, view);
    let frame = Frame::new().fill(theme::color(ui, Token::Sheet));
    CentralPanel::default().frame(frame).show(ui, |ui| {
        let rect = ui.max_rect();
        let count = view.panes.len().max(1);
        let width = (rect.width() / count as f32).floor();
        for side in 0..view.panes.len() {
            let left = rect.left() + width * side as f32;
            let right = if side + 1 == count {
                rect.right()
            } else {
                left + width
            };
            let place = Rect::from_min_max(pos2(left, rect.top()), pos2(right, rect.bottom()));
            if side > 0 {
                let edge = theme::stroke(ui, 1.0, Token::Rule);
                ui.painter().vline(left + 0.5, rect.y_range(), edge);
            }
            let builder = UiBuilder::new().id_salt(("pane", side)).max_rect(place);
            ui.scope_builder(builder, |ui| pane_ui(ui, cx, view, side));
        }
    });
    paper::dialogs(ui, cx, view, commands);
}

fn list(ui: &mut Ui, cx: &Cx, view: &mut BenchView) {
    let is_double = view.panes.len() > 1;
    let shown = view.to_show.take();
    let items: Vec<Choosable> = methods()
        .iter()
        .map(|method| {
            let at = |pane: &Pane| pane.method.name == method.name;
            let open = match (
                view.panes.first().is_some_and(at),
                view.panes.get(1).is_some_and(at),
            ) {
                (false, false) => None,
                _ if !is_double => Some(""),
                (true, true) => Some("both"),
                (true, false) => Some(SIDES[0]),
                (false, true) => Some(SIDES[1]),
            };
            Choosable {
                name: method.title,
                about: method.summary,
                open,
                is_new: shown == Some(method.name),
            }
        })
        .collect();
    let foot = if is_double {
        "One only"
    } else {
        "Side by side"
    };
    let focus = view.to_list.take();
    let chosen = choices(ui, &items, foot, focus);
    if let Some(line) = chosen.line {
        let side = if chosen.is_beside { 1 } else { view.active };
        view.open(side, methods()[line], None, cx.show);
    }
    if chosen.foot && is_double {
        view.close_second();
    } else if chosen.foot {
        let here = methods()
            .iter()
            .position(|m| m.name == view.method().name)
            .unwrap_or(0);
        view.open(1, methods()[(here + 1) % methods().len()], None, cx.show);
    }
}

fn pane_ui(ui: &mut Ui, cx: &Cx, view: &mut BenchView, side: usize) {
    let rect = ui.max_rect();
    if ui.input(|i| {
        i.pointer.any_pressed() && i.pointer.interact_pos().is_some_and(|at| rect.contains(at))
    }) {
        view.active = side;
    }
    let order: Vec<String> = form_view::order(SIDES[side], &view.panes[side]);
    if !view.to_first && focus::current(ui.ctx(), &order).is_some() {
        view.active = side;
    }
    if view.active == side
        && std::mem::take(&mut view.to_first)
        && let Some(first) = order.first()
    {
        focus::ask(ui.ctx(), first);
    }
    let whole = Rect::from_min_max(rect.min, pos2(rect.right(), rect.bottom() - FOOT));
    let pinned = view.panes[side].pinned.unwrap_or(0.0);
    let body = Rect::from_min_max(rect.min, pos2(rect.right(), whole.bottom() - pinned));
    let mut left = None;
    let mut headline = None;
    ui.scope_builder(UiBuilder::new().id_salt("body").max_rect(body), |ui| {
        let name = view.panes[side].method.name;
        let scroll = ScrollArea::vertical().id_salt(name).auto_shrink(false);
        scroll.show(ui, |ui| {
            let width = ui.available_width();
            let inner = Rect::from_min_max(
                ui.cursor().min + vec2(MARGIN, 0.0),
                pos2(
                    ui.cursor().left() + width - MARGIN,
                    ui.cursor().top() + 4_000.0,
                ),
            );
            let pane = &mut view.panes[side];
            let mut child = ui.new_child(UiBuilder::new().id_salt("inner").max_rect(inner));
            child.spacing_mut().item_spacing.y = 0.0;
            (left, headline) = contents(&mut child, cx, pane, side, &order);
            let used = child.min_rect().bottom() + space::L - ui.cursor().top();
            ui.allocate_exact_size(vec2(width, used), Sense::hover());
        });
    });
    let pane = &mut view.panes[side];
    if pane.pinned.is_some() {
        let place = Rect::from_min_max(
            pos2(rect.left() + MARGIN, body.bottom()),
            pos2(rect.right() - MARGIN, whole.bottom()),
        );
        let builder = UiBuilder::new().id_salt("pinned").max_rect(place);
        ui.scope_builder(builder, |ui| result_view::pinned_ui(ui, cx.show, pane));
    }
    let is_out = |place: &Rect| place.bottom() > whole.bottom() || place.top() < whole.top();
    let wanted = headline.filter(is_out).map(|place: Rect| place.height());
    if pane.pinned != wanted {
        pane.pinned = wanted;
        ui.ctx().request_repaint();
    }
    match left {
        None => {}
        Some(Left::Past) => view.to_buttons = Some(side),
        Some(Left::Before) => {
            let name = view.panes[side].method.name;
            view.to_list = methods().iter().position(|m| m.name == name);
        }
    }
    foot(ui, cx, view, side);
}

/// One calculation from its title to its source: where the keyboard left the fields, and the place of the headline.
fn contents(
    ui: &mut Ui,
    cx: &Cx,
    pane: &mut Pane,
    side: usize,
    order: &[String],
) -> (Option<Left>, Option<Rect>) {
    let top = text::strip(ui, 46.0);
    let title = text::at(
        ui,
        pos2(top.left(), top.top() + 32.0),
        draw::Align::Left,
        Face::SECTION,
        pane.method.title,
    );
    let note = pane.form.origin.clone();
    let room = top.right() - title.right() - space::L;
    let width = text::width(ui, Face::NOTE, &note).min(room);
    if !note.is_empty() && room > 40.0 {
        text::at_most(
            ui,
            pos2(top.right() - width, top.top() + 32.0),
            width + 1.0,
            Face::NOTE,
            &note,
        );
    }
    widgets::rule(ui);
    ui.add_space(space::S);
    let area = ui.available_rect_before_wrap();
    if area.width() < WIDE {
        let left = form_view::form_ui(ui, cx.show, pane, side, order);
        let headline = result_view::answer_ui(ui, cx.show, pane);
        result_view::cautions_ui(ui, pane);
        result_view::derivation_ui(ui, cx.show, pane);
        return (left, headline);
    }
    let half = ((area.width() - 40.0) / 2.0).floor();
    let column = |ui: &mut Ui, salt: &str, from: f32| {
        let rect = Rect::from_min_size(pos2(from, area.top()), vec2(half, area.height()));
        let mut child = ui.new_child(UiBuilder::new().id_salt(salt).max_rect(rect));
        child.spacing_mut().item_spacing.y = 0.0;
        child
    };
    let mut fields = column(ui, "fields", area.left());
    let left = form_view::form_ui(&mut fields, cx.show, pane, side, order);
    result_view::cautions_ui(&mut fields, pane);
    let mut result = column(ui, "result", area.right() - half);
    let headline = result_view::answer_ui(&mut result, cx.show, pane);
    result_view::derivation_ui(&mut result, cx.show, pane);
    let whole = fields.min_rect().union(result.min_rect());
    ui.allocate_rect(whole, Sense::hover());
    (left, headline)
}

/// The buttons of a calculation.
fn foot(ui: &mut Ui, cx: &Cx, view: &mut BenchView, side: usize) {
    let rect = ui.max_rect();
    let line = Rect::from_min_max(pos2(rect.left(), rect.bottom() - FOOT), rect.max);
    ui.painter().hline(
        line.left() + 1.0..=line.right(),
        line.top() + 0.5,
        theme::stroke(ui, 1.0, Token::Rule),
    );
    let is_done = matches!(view.panes[side].state, super::pane::State::Done(_));
    let mut x = line.left() + MARGIN;
    let mut button = |ui: &mut Ui, kind: Kind, words: &str, is_on: bool| {
        let padding = if kind == Kind::Quiet {
            space::S
        } else {
            space::L
        };
        let width = (text::width(ui, Face::STRONG, words) + 2.0 * padding).ceil();
        let place = Rect::from_min_size(pos2(x, line.top() + space::S), vec2(width, height::TOUCH));
        x = place.right() + space::S;
        let name = format!("{words}, {}", SIDES[side]);
        let name = if view.panes.len() > 1 {
            name.as_str()
        } else {
            words
        };
        Button::new(kind, words)
            .enabled(is_on)
            .name(name)
            .place(ui, place)
    };
    let print = button(ui, Kind::Second, "Print", is_done);
    let copy = button(ui, Kind::Quiet, "Copy as text", is_done);
    let example = button(ui, Kind::Quiet, "Example", true);
    let clear = button(ui, Kind::Quiet, "Clear", true);
    if view.to_buttons == Some(side) {
        view.to_buttons = None;
        let first = if is_done { &print } else { &example };
        first.request_focus();
    }
    let is_print_asked = view.active == side && std::mem::take(&mut view.is_print_asked);
    if is_done && (print.clicked() || is_print_asked) {
        let saving = paper::ask(ui.ctx(), cx, view.panes[side].method);
        view.saving = Some((side, saving));
    }
    let pane = &mut view.panes[side];
    if copy.clicked() {
        ui.ctx().copy_text(paper::copy(pane, cx.show));
        pane.is_copied = true;
    }
    if pane.is_copied {
        let at = pos2(
            x + space::S,
            text::baseline(line.top() + space::S + 22.0, Face::NOTE.size),
        );
        text::at(ui, at, draw::Align::Left, Face::NOTE, "copied");
    }
    if example.clicked() {
        pane.form = Form::example(pane.method, cx.show);
        pane.changed(cx.show.unit);
        view.activate(side);
    } else if clear.clicked() {
        pane.form.clear();
        pane.changed(cx.show.unit);
        view.activate(side);
    }
}
