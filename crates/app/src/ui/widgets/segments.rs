//! Choosing one of a few: segments side by side, tabs under a title, a box to tick.

use draw::tokens::{height, space};
use draw::{Align, Glyph, Token, pos};
use egui::{
    EventFilter, FocusDirection, Key, Modifiers, Rect, Response, Role, Sense, StrokeKind, Ui,
    WidgetInfo, pos2, vec2,
};

use super::focus_ring;
use crate::ui::text::{self, Face};
use crate::ui::{focus, paint, theme};

/// A choice of one among a few short words, 44 high. Arrows move it; it is one stop for Tab.
#[must_use]
pub struct Segments<'a> {
    name: &'a str,
    words: &'a [&'a str],
    path: Option<&'a str>,
    width: f32,
    enabled: bool,
}

impl<'a> Segments<'a> {
    /// A choice with its name, such as `Zone up`, and its words.
    pub fn new(name: &'a str, words: &'a [&'a str]) -> Self {
        Self {
            name,
            words,
            path: None,
            width: 72.0,
            enabled: true,
        }
    }

    /// Its path, so that [`focus::ask`] finds it.
    pub fn path(mut self, path: &'a str) -> Self {
        self.path = Some(path);
        self
    }

    /// Width of one segment.
    pub fn width(mut self, width: f32) -> Self {
        self.width = width;
        self
    }

    /// To be read only.
    pub fn enabled(mut self, enabled: bool) -> Self {
        self.enabled = enabled;
        self
    }

    /// Shows it; true if another one was chosen.
    pub fn show(self, ui: &mut Ui, chosen: &mut Option<usize>) -> bool {
        let count = self.words.len();
        let id = self
            .path
            .map_or_else(|| ui.make_persistent_id(self.name), focus::id);
        let (_, rect) = ui.allocate_space(vec2(self.width * count as f32, height::TOUCH));
        let before = *chosen;
        if self.enabled {
            let _ = focus::take(ui, id);
            move_by_arrows(ui, id, count, chosen);
        }
        let sense = if self.enabled {
            Sense::focusable_noninteractive()
        } else {
            Sense::hover()
        };
        let group = ui.interact(rect, id, sense);
        if group.gained_focus() {
            group.scroll_to_me(None);
        }
        group.widget_info(|| {
            let mut info = WidgetInfo::labeled(Role::RadioGroup, self.enabled, self.name);
            info.current_text_value = chosen
                .and_then(|i| self.words.get(i))
                .map(|word| (*word).to_owned());
            info
        });
        let edge = theme::stroke(
            ui,
            1.0,
            if self.enabled {
                Token::Edge
            } else {
                Token::Rule
            },
        );
        let fill = theme::color(
            ui,
            if self.enabled {
                Token::Sheet
            } else {
                Token::Ground
            },
        );
        ui.painter()
            .rect(rect, theme::CORNER, fill, edge, StrokeKind::Inside);
        for index in 0..count {
            if self.segment(ui, id, rect, index, *chosen) {
                *chosen = Some(index);
                group.request_focus();
            }
        }
        if group.has_focus() {
            focus_ring(ui, rect);
        }
        *chosen != before
    }

    fn segment(
        &self,
        ui: &Ui,
        id: egui::Id,
        all: Rect,
        index: usize,
        chosen: Option<usize>,
    ) -> bool {
        let min = pos2(all.left() + self.width * index as f32, all.top());
        let rect = Rect::from_min_size(min, vec2(self.width, all.height()));
        // Reached by the pointer and by readers; the keyboard moves inside the group.
        let response = ui.interact(
            rect,
            id.with(index),
            if self.enabled {
                Sense::CLICK
            } else {
                Sense::hover()
            },
        );
        let is_chosen = chosen == Some(index);
        let name = format!("{}: {}", self.name, self.words[index]);
        response.widget_info(|| {
            WidgetInfo::selected(Role::RadioButton, self.enabled, is_chosen, &name)
        });
        let fill = match (self.enabled, is_chosen) {
            (true, true) => Some((rect, Token::Accent)),
            (true, false) if response.hovered() => Some((rect.shrink(1.0), Token::Sel)),
            (false, true) => Some((rect, Token::Rule)),
            _ => None,
        };
        if let Some((rect, token)) = fill {
            ui.painter()
                .rect_filled(rect, theme::CORNER, theme::color(ui, token));
        }
        let is_beside_chosen = chosen.is_some_and(|chosen| chosen + 1 == index);
        if index > 0 && !is_chosen && !is_beside_chosen {
            let edge = theme::stroke(
                ui,
                1.0,
                if self.enabled {
                    Token::Edge
                } else {
                    Token::Rule
                },
            );
            ui.painter().vline(rect.left() + 0.5, rect.y_range(), edge);
        }
        let face = match (self.enabled, is_chosen) {
            (true, true) => Face::SECTION.token(Token::OnAccent),
            (true, false) => Face::VALUE,
            (false, _) => Face::VALUE.token(Token::Muted),
        };
        // All words of a choice are of one size; signs such as zones are as large as values.
        let face = if self.words.iter().any(|word| word.chars().count() > 3) {
            Face {
                size: Face::BODY.size,
                ..face
            }
        } else {
            face
        };
        let at = pos2(rect.center().x, text::baseline(rect.center().y, face.size));
        text::silent(ui, at, Align::Centre, face, self.words[index]);
        response.clicked()
    }
}

/// Arrows, Home and End move the choice while the group has the focus; egui must not move the focus.
fn move_by_arrows(ui: &Ui, id: egui::Id, count: usize, chosen: &mut Option<usize>) {
    if !ui.memory(|memory| memory.has_focus(id)) || count == 0 {
        return;
    }
    let arrows = EventFilter {
        horizontal_arrows: true,
        vertical_arrows: true,
        ..EventFilter::default()
    };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, arrows));
    let pressed = |keys: [Key; 2]| {
        ui.input_mut(|input| {
            keys.into_iter()
                .map(|key| input.count_and_consume_key(Modifiers::NONE, key))
                .sum()
        })
    };
    let back: usize = pressed([Key::ArrowLeft, Key::ArrowUp]);
    let on: usize = pressed([Key::ArrowRight, Key::ArrowDown]);
    let home = pressed([Key::Home, Key::Home]) > 0;
    let end = pressed([Key::End, Key::End]) > 0;
    if back + on > 0 {
        ui.memory_mut(|memory| memory.move_focus(FocusDirection::None));
    }
    let last = count - 1;
    if home {
        *chosen = Some(0);
    } else if chosen.is_none() && back + on > 0 {
        // The first press only enters the group.
        *chosen = Some(on.saturating_sub(1).min(last));
    } else if end {
        *chosen = Some(last);
    } else if let Some(index) = *chosen {
        *chosen = Some((index + on).saturating_sub(back).min(last));
    }
}

/// Words under which a section has several sheets; true if another one was opened.
pub fn tabs(ui: &mut Ui, name: &str, words: &[&str], chosen: &mut usize) -> bool {
    let before = *chosen;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::XL;
        for (index, word) in words.iter().enumerate() {
            let is_chosen = *chosen == index;
            let face = if is_chosen {
                Face::STRONG
            } else {
                Face::BODY.muted()
            };
            let width = text::width(ui, Face::STRONG, word);
            let (rect, response) =
                ui.allocate_exact_size(vec2(width.ceil(), height::TOUCH), Sense::click());
            let full = format!("{name}: {word}");
            response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is_chosen, &full));
            let at = pos2(rect.center().x, text::baseline(rect.center().y, face.size));
            text::silent(ui, at, Align::Centre, face, word);
            if is_chosen || response.hovered() {
                let token = if is_chosen {
                    Token::Accent
                } else {
                    Token::Edge
                };
                let bar =
                    Rect::from_min_max(pos2(rect.left(), rect.bottom() - 3.0), rect.right_bottom());
                ui.painter().rect_filled(bar, 0.0, theme::color(ui, token));
            }
            if response.has_focus() {
                focus_ring(ui, rect);
            }
            if response
                .on_hover_cursor(egui::CursorIcon::PointingHand)
                .clicked()
            {
                *chosen = index;
            }
        }
    });
    *chosen != before
}

/// A box to tick with its words, 44 high; true if it was changed.
pub fn checkbox(ui: &mut Ui, words: &str, ticked: &mut bool) -> bool {
    let width = 20.0 + space::M + text::width(ui, Face::BODY, words);
    let width = width.ceil().min(ui.available_width());
    let (rect, response) = ui.allocate_exact_size(vec2(width, height::TOUCH), Sense::click());
    let changed = response.clicked();
    if changed {
        *ticked = !*ticked;
    }
    let is_ticked = *ticked;
    response
        .widget_info(|| WidgetInfo::selected(Role::CheckBox, ui.is_enabled(), is_ticked, words));
    let square =
        Rect::from_center_size(rect.left_center() + vec2(10.0, 0.0), vec2(20.0, 20.0)).round();
    draw_tick_box(ui, &response, square, is_ticked);
    let at = pos2(
        rect.left() + 20.0 + space::M,
        text::baseline(rect.center().y, Face::BODY.size),
    );
    text::silent_at_most(ui, at, rect.right() - at.x, Face::BODY, words);
    changed
}

fn draw_tick_box(ui: &Ui, response: &Response, square: Rect, ticked: bool) {
    let (fill, edge) = if ticked {
        (Token::Accent, Token::Accent)
    } else {
        (Token::Sheet, Token::Edge)
    };
    let fill = if !ticked && response.hovered() {
        Token::Sel
    } else {
        fill
    };
    let stroke = theme::stroke(ui, 1.0, edge);
    ui.painter().rect(
        square,
        theme::CORNER,
        theme::color(ui, fill),
        stroke,
        StrokeKind::Inside,
    );
    if ticked {
        let tick = Glyph::Tick.shapes(pos(0.0, 0.0), 14.0, Token::OnAccent);
        paint::shapes(ui, square.center(), &tick);
    }
    if response.has_focus() {
        focus_ring(ui, square);
    }
}
