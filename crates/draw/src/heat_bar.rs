//! A temperature to reach on a bar, against the limit that must not be passed.

use crate::font::{self, Weight};
use crate::hatch::{Lean, hatch};
use crate::scene::{Align, Scene, Shape, Stroke, Text, crisp, pos};
use crate::ticks;
use crate::tokens::{Token, size};

/// From the room to the temperature needed, and the limit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HeatBar {
    /// Where heating begins, in the unit of the axis.
    pub from: f64,
    /// What is needed.
    pub needed: f64,
    /// "68.8 needed".
    pub needed_label: String,
    /// What must not be passed.
    pub limit: f64,
    /// "120 limit".
    pub limit_label: String,
    /// Unit of the axis, "°C".
    pub unit: String,
    /// True where the reader's language has a decimal comma.
    pub has_comma: bool,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

const ROW: f32 = 18.0;
const BAR: f32 = 16.0;
const HATCH_PITCH: f32 = 7.0;

impl HeatBar {
    /// The drawing in a given width; one row higher where the labels would meet.
    pub fn scene(&self, width: f32) -> Scene {
        let values =
            [self.from, self.needed, self.limit].map(|v| if v.is_finite() { v } else { 0.0 });
        let [from, needed, limit] = values;
        let least = values.into_iter().fold(f64::INFINITY, f64::min);
        let most = values.into_iter().fold(f64::NEG_INFINITY, f64::max);
        let step =
            ticks::round_step(((most - least) * 1.15 / f64::from(width / 70.0).max(2.0)).max(1e-3));
        let low = (least / step).floor() * step;
        let high = ((most + 0.1 * (most - least)) / step).ceil() * step;
        let high = if high > low { high } else { low + step };
        let x = |v: f64| ((v - low) / (high - low)) as f32 * (width - 2.0) + 1.0;

        let label = |words: &str, at: f32, token| {
            let half = font::width(words, size::NOTE, Weight::Semibold) / 2.0 + 1.0;
            let centre = at.clamp(half.min(width / 2.0), (width - half).max(width / 2.0));
            Text::note(pos(centre, 14.0), words, token)
                .semibold()
                .aligned(Align::Centre)
        };
        let token = if needed > limit {
            Token::Fail
        } else {
            Token::Accent
        };
        let mut needed_text = label(&self.needed_label, x(needed), token);
        let mut limit_text = label(&self.limit_label, x(limit), Token::Fail);
        let ((a0, a1), (b0, b1)) = (needed_text.span(), limit_text.span());
        let mut top = ROW + 4.0;
        if a0 < b1 + 10.0 && b0 < a1 + 10.0 {
            // The limit keeps the row at its line; what is needed moves up.
            limit_text.at.y += ROW;
            top += ROW;
        } else {
            needed_text.at.y = limit_text.at.y;
        }
        let bottom = top + BAR;
        let mut scene = Scene::new(width, bottom + 24.0, &self.title);
        let (top, bottom) = (crisp(top, 1.0), crisp(bottom, 1.0));
        let band = |from: f32, to: f32, fill| Shape::Rect {
            min: pos(from, top),
            max: pos(to, bottom),
            corner: 0.0,
            fill: Some(fill),
            stroke: None,
        };
        scene.add(band(1.0, width - 1.0, Token::Ground));
        let end = crisp(x(limit), 1.0);
        let beyond = [
            pos(end, top),
            pos(width - 1.0, top),
            pos(width - 1.0, bottom),
            pos(end, bottom),
        ];
        scene.add(band(end, width - 1.0, Token::FailTint));
        for [a, b] in hatch(&beyond, HATCH_PITCH, Lean::Slash) {
            scene.line(a, b, Stroke::new(1.0, Token::Fail));
        }
        let (a, b) = (x(from), x(needed));
        scene.add(band(a.min(b), a.max(b), token));
        let frame = Shape::Rect {
            min: pos(1.0, top),
            max: pos(width - 1.0, bottom),
            corner: 0.0,
            fill: None,
            stroke: Some(Stroke::new(1.0, Token::Edge)),
        };
        scene.add(frame);
        scene.line(
            pos(end, top - 5.0),
            pos(end, bottom + 5.0),
            Stroke::new(2.0, Token::Fail),
        );
        self.axis(&mut scene, bottom, (low, high, step), x);
        scene.text(needed_text);
        scene.text(limit_text);
        scene
    }

    fn axis(
        &self,
        scene: &mut Scene,
        bottom: f32,
        (low, high, step): (f64, f64, f64),
        x: impl Fn(f64) -> f32,
    ) {
        let decimals = ticks::decimals_of(step);
        let values = ticks::multiples(low, high, step);
        let last = values.len().saturating_sub(1);
        for (i, value) in values.into_iter().enumerate() {
            let at = crisp(x(value), 1.0).clamp(0.5, scene.width - 0.5);
            scene.line(
                pos(at, bottom),
                pos(at, bottom + 4.0),
                Stroke::new(1.0, Token::Edge),
            );
            let number = ticks::in_language(&ticks::number(value, decimals), self.has_comma);
            let (words, align) = match i {
                0 => (format!("{number} {}", self.unit), Align::Left),
                _ if i == last => (format!("{number} {}", self.unit), Align::Right),
                _ => (number, Align::Centre),
            };
            let edge = match align {
                Align::Left => 0.0,
                Align::Centre => at,
                Align::Right => scene.width,
            };
            let baseline = font::baseline(bottom + 14.0, size::NOTE);
            scene.text(Text::note(pos(edge, baseline), &words, Token::Muted).aligned(align));
        }
    }
}
