//! A few numbers of one kind as bars: hours per zone, a deviation at each sheet.

use draw::{Align, Scene, Shape, Stroke, Text, Token, pos, tokens::size};
use egui::Ui;

use crate::ui::paint;

const ROW: f32 = 22.0;
const BAR_HEIGHT: f32 = 10.0;

/// One bar.
#[derive(Clone, Debug)]
pub struct Bar<'a> {
    /// What it belongs to, such as `II`.
    pub label: &'a str,
    /// Its length, in the unit of the others.
    pub value: f64,
    /// The value in words, such as `990 h`.
    pub text: &'a str,
    /// The one that is spoken of: semibold, in the accent colour unless `token` says otherwise.
    pub lit: bool,
    /// Another colour, such as that of a verdict.
    pub token: Option<Token>,
}

/// Bars below one another.
#[derive(Clone, Debug)]
pub struct Bars<'a> {
    /// What they show, for those who cannot see them.
    pub title: &'a str,
    /// From above.
    pub rows: &'a [Bar<'a>],
    /// A dashed line at this value.
    pub limit: Option<f64>,
    /// The value of the longest possible bar.
    pub max: f64,
    /// Room for the labels, px.
    pub label_width: f32,
}

impl Bars<'_> {
    /// Shows them as wide as there is room.
    pub fn show(&self, ui: &mut Ui) {
        let scene = self.scene(ui.available_width());
        paint::scene(ui, &scene);
    }

    /// The drawing, with those bars hatched that do not count.
    pub fn hatched(&self, width: f32, barred: &[bool]) -> Scene {
        let mut scene = self.scene(width);
        let x = self.places(width);
        for (index, row) in self.rows.iter().enumerate() {
            if !barred.get(index).is_some_and(|barred| *barred) {
                continue;
            }
            let centre = ROW * index as f32 + ROW / 2.0;
            let (top, bottom) = (centre - BAR_HEIGHT / 2.0, centre + BAR_HEIGHT / 2.0);
            let right = x(row.value);
            let mut left = self.label_width;
            while left + BAR_HEIGHT / 2.0 < right {
                let reach = (right - left).min(BAR_HEIGHT);
                scene.line(
                    pos(left, bottom),
                    pos(left + reach, bottom - reach),
                    Stroke::new(2.0, Token::Ground),
                );
                left += 6.0;
            }
            let edge = Stroke::new(1.0, Token::Edge);
            scene.line(pos(self.label_width, top), pos(right, top), edge);
            scene.line(pos(self.label_width, bottom), pos(right, bottom), edge);
        }
        scene
    }

    /// Where a value ends, px.
    fn places(&self, width: f32) -> impl Fn(f64) -> f32 {
        let values = self
            .rows
            .iter()
            .map(|row| draw::font::width(row.text, size::NOTE, draw::Weight::Semibold));
        let text_width = values.fold(0.0, f32::max);
        let room = (width - self.label_width - text_width - 16.0).max(20.0);
        let (left, max) = (self.label_width, self.max);
        move |value: f64| {
            let share = if max > 0.0 {
                (value / max).clamp(0.0, 1.0) as f32
            } else {
                0.0
            };
            (left + room * share).round()
        }
    }

    /// The drawing.
    pub fn scene(&self, width: f32) -> Scene {
        let x = self.places(width);
        let said: Vec<String> = self
            .rows
            .iter()
            .map(|row| format!("{} {}", row.label, row.text))
            .collect();
        let title = format!("{}: {}", self.title, said.join(", "));
        let mut scene = Scene::new(width, ROW * self.rows.len() as f32, &title);
        for (index, row) in self.rows.iter().enumerate() {
            let centre = ROW * index as f32 + ROW / 2.0;
            let baseline = draw::font::baseline(centre, size::NOTE).round();
            let token = row
                .token
                .unwrap_or(if row.lit { Token::Accent } else { Token::Edge });
            let words = |at, text, token| {
                let text = Text::note(at, text, token);
                if row.lit { text.semibold() } else { text }
            };
            let ink = if row.lit { Token::Ink } else { Token::Muted };
            scene.text(words(pos(0.0, baseline), row.label, ink));
            scene.add(Shape::Rect {
                min: pos(self.label_width, centre - BAR_HEIGHT / 2.0),
                max: pos(x(row.value), centre + BAR_HEIGHT / 2.0),
                corner: 0.0,
                fill: Some(token),
                stroke: None,
            });
            scene.text(words(pos(width, baseline), row.text, ink).aligned(Align::Right));
        }
        if let Some(limit) = self.limit {
            let at = x(limit) + 0.5;
            let stroke = Stroke::new(1.0, Token::Fail).dashed(4.0, 3.0);
            scene.line(pos(at, 0.0), pos(at, scene.height), stroke);
        }
        scene
    }
}
