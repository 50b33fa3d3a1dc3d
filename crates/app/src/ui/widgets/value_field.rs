//! The measuring field: one reading, 88 x 44, digits of 20 px.
//!
//! It keeps the text as typed, with a decimal comma or point; what it means is the page's business.

use draw::tokens::{height, size, space};
use draw::{Align, Token};
use egui::{Align2, Rect, Ui, pos2, vec2};

use super::button::{Button, Kind};
use super::edit::{Edit, Look, Outcome, locked};
use crate::ui::focus;
use crate::ui::text::{self, Face};

/// What is known about the value in a field.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FieldState<'a> {
    /// Nothing against it.
    #[default]
    Plain,
    /// Signed; to be read only.
    Locked,
    /// Not possible, and not kept.
    Refused {
        /// Why, one sentence.
        reason: &'a str,
        /// More, such as what it could have been.
        detail: &'a str,
        /// Words of a button that mends it.
        offer: Option<&'a str>,
    },
    /// Possible but improbable: kept, and asked about once.
    Asked {
        /// What is odd about it, one sentence.
        question: &'a str,
        /// More, such as a likely slip.
        detail: &'a str,
        /// What may have been meant instead, to be taken.
        offer: Option<&'a str>,
    },
}

impl FieldState<'_> {
    fn look(&self) -> Look {
        let tinted = |fill, edge| Look {
            fill,
            edge,
            edge_width: 2.0,
        };
        match self {
            Self::Plain => Look::PLAIN,
            Self::Locked => Look::LOCKED,
            Self::Refused { .. } => tinted(Token::FailTint, Token::Fail),
            Self::Asked { .. } => tinted(Token::DoubtTint, Token::Doubt),
        }
    }

    fn sentence(&self) -> (&str, &str) {
        match self {
            Self::Plain | Self::Locked => ("", ""),
            Self::Refused { reason, detail, .. } => (reason, detail),
            Self::Asked {
                question, detail, ..
            } => (question, detail),
        }
    }
}

/// A field for one measured value.
#[must_use]
pub struct ValueField<'a> {
    path: &'a str,
    name: &'a str,
    unit: &'a str,
    state: FieldState<'a>,
    width: f32,
}

impl<'a> ValueField<'a> {
    /// A field with its path and its full name, such as `Gap of rows 1–2 at 90 degrees, mm`.
    pub fn new(path: &'a str, name: &'a str) -> Self {
        Self {
            path,
            name,
            unit: "",
            state: FieldState::Plain,
            width: 88.0,
        }
    }

    /// A unit inside, on the right.
    pub fn unit(mut self, unit: &'a str) -> Self {
        self.unit = unit;
        self
    }

    /// What is known about the value.
    pub fn state(mut self, state: FieldState<'a>) -> Self {
        self.state = state;
        self
    }

    /// Another width.
    pub fn width(mut self, width: f32) -> Self {
        self.width = width;
        self
    }

    /// Shows the field alone, in the flow.
    pub fn show(self, ui: &mut Ui, buffer: &mut String) -> Outcome {
        let size = vec2(self.width, height::TOUCH);
        let (_, rect) = ui.allocate_space(size);
        self.place(ui, rect, buffer)
    }

    /// Shows the field with the answers beside it and the sentence below.
    pub fn show_whole(self, ui: &mut Ui, buffer: &mut String) -> Outcome {
        let (path, state, name) = (self.path, self.state, self.name);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing = vec2(space::S, space::XS);
            let typed = ui
                .horizontal(|ui| {
                    let typed = self.show(ui, buffer);
                    let pressed = answers(ui, path, name, &state);
                    if pressed == Outcome::Nothing {
                        typed
                    } else {
                        pressed
                    }
                })
                .inner;
            sentences(ui, &state);
            typed
        })
        .inner
    }

    /// Shows the field in a place of the page; allocates nothing.
    pub fn place(self, ui: &mut Ui, rect: Rect, buffer: &mut String) -> Outcome {
        let id = focus::id(self.path);
        let rect = rect.round();
        let focused = ui.memory(|memory| memory.has_focus(id));
        self.state.look().paint(ui, rect, focused);
        let unit_width = self.paint_unit(ui, rect);
        // egui centres the whole line; one pixel up, the digits are centred as everywhere else.
        let mut inner = rect.shrink2(vec2(6.0, 2.0)).translate(vec2(0.0, -1.0));
        let digits = text::width(ui, Face::VALUE, buffer);
        if digits / 2.0 > rect.width() / 2.0 - unit_width - 8.0 {
            inner.max.x -= unit_width; // no room for both when centred in the whole field
        }
        if self.state == FieldState::Locked {
            locked(ui, id, rect, self.name, buffer);
            let at = pos2(
                inner.center().x,
                text::baseline(rect.center().y, size::VALUE),
            );
            text::silent(ui, at, Align::Centre, Face::VALUE.token(Token::Na), buffer);
            return Outcome::Nothing;
        }
        let (reason, detail) = self.state.sentence();
        let description = [reason, detail].join(" ");
        let mut edit = Edit::new(id, self.name, size::VALUE);
        edit.align = Align2::CENTER_CENTER;
        edit.description = description.trim();
        edit.invalid = matches!(self.state, FieldState::Refused { .. });
        edit.show(ui, inner, buffer)
    }

    fn paint_unit(&self, ui: &Ui, rect: Rect) -> f32 {
        if self.unit.is_empty() {
            return 0.0;
        }
        let at = pos2(
            rect.right() - 10.0,
            text::baseline(rect.center().y, size::NOTE),
        );
        text::silent(ui, at, Align::Right, Face::NOTE, self.unit).width() + 10.0
    }
}

/// The sentence about a value with its answers, where the page wants it instead of at the field.
///
/// `path` and `name` are those of the field.
pub fn remark(ui: &mut Ui, path: &str, name: &str, state: &FieldState) -> Outcome {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = space::S;
        // The answers are always to be seen: the sentence breaks before it pushes them out.
        let room = ui.available_width() - answers_width(ui, state) - space::S;
        ui.vertical(|ui| {
            ui.set_max_width(room.max(120.0));
            ui.spacing_mut().item_spacing.y = 2.0;
            sentences(ui, state);
        });
        answers(ui, path, name, state)
    })
    .inner
}

fn sentences(ui: &mut Ui, state: &FieldState) {
    let token = match state {
        FieldState::Plain | FieldState::Locked => return,
        FieldState::Refused { .. } => Token::Fail,
        FieldState::Asked { .. } => Token::Doubt,
    };
    let (first, second) = state.sentence();
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing.y = 0.0;
        text::say(ui, Face::NOTE_STRONG.token(token), first);
        if !second.is_empty() {
            text::say(ui, Face::NOTE.token(token), second);
        }
    });
}

/// What the answers take at the right of the sentence.
fn answers_width(ui: &Ui, state: &FieldState) -> f32 {
    let words = match state {
        FieldState::Asked { offer, .. } => {
            let plain = ["Keep", "Change"].map(str::to_owned);
            offer.map(take).into_iter().chain(plain).collect()
        }
        FieldState::Refused {
            offer: Some(offer), ..
        } => vec![(*offer).to_owned()],
        _ => Vec::new(),
    };
    let width = |word: &String| (text::width(ui, Face::STRONG, word) + 2.0 * space::S).ceil();
    words.iter().map(width).sum()
}

/// The button that takes what may have been meant.
fn take(offer: &str) -> String {
    format!("Take {offer}")
}

fn answers(ui: &mut Ui, path: &str, name: &str, state: &FieldState) -> Outcome {
    ui.spacing_mut().item_spacing.x = 0.0; // the words stand 16 px apart by their own padding
    let mut pressed = |words: &str| {
        let full = format!("{words}: {name}");
        Button::new(Kind::Quiet, words)
            .name(&full)
            .show(ui)
            .clicked()
    };
    match state {
        FieldState::Asked { offer, .. } => {
            if offer.is_some_and(|offer| pressed(&take(offer))) {
                return Outcome::Offer;
            }
            let keep = pressed("Keep");
            let change = pressed("Change");
            if change {
                focus::ask(ui.ctx(), path);
            }
            if keep {
                Outcome::Keep
            } else if change {
                Outcome::Change
            } else {
                Outcome::Nothing
            }
        }
        FieldState::Refused {
            offer: Some(offer), ..
        } if pressed(offer) => Outcome::Offer,
        _ => Outcome::Nothing,
    }
}
