//! Means with their intervals: a row a place, a column a row pair, all columns on one scale. Plain enough for a grey
//! printer: each pair has a shape of its own, the mean of all is an upright line.

use crate::font;
use crate::marks::Pair;
use crate::scene::{Align, Scene, Shape, Stroke, Text, crisp, pos};
use crate::ticks;
use crate::tokens::{Token, size};

/// A mean and the interval that holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// The mean.
    pub mean: f64,
    /// The interval; none from a single value.
    pub ends: Option<(f64, f64)>,
}

/// A row of the plot.
#[derive(Clone, Debug, PartialEq)]
pub struct IntervalRow {
    /// What it is about.
    pub label: String,
    /// How many values are behind it, in words.
    pub count: String,
    /// One for each row pair.
    pub marks: [Option<Interval>; 3],
}

/// The plot.
#[derive(Clone, Debug, PartialEq)]
pub struct Intervals {
    /// Above the columns.
    pub heads: [String; 3],
    /// From the top.
    pub rows: Vec<IntervalRow>,
    /// The mean of all rows in each column, where there is one.
    pub means: [Option<f64>; 3],
    /// Quantity and unit of the axis.
    pub axis: String,
    /// Numbers with a decimal comma.
    pub has_comma: bool,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

/// Room for place and count at the left, at least; and between them.
const LABEL: f32 = 170.0;
const APART: f32 = 16.0;
const GAP: f32 = 40.0;
const HEAD: f32 = 26.0;
const ROW: f32 = 24.0;
const MARK: f32 = 9.0;

/// Where a column stands, and how far its axis goes.
#[derive(Clone, Copy)]
struct Column {
    left: f32,
    right: f32,
    low: f64,
    high: f64,
}

impl Column {
    fn x(self, value: f64) -> f32 {
        let share = ((value - self.low) / (self.high - self.low)).clamp(0.0, 1.0);
        self.left + share as f32 * (self.right - self.left)
    }
}

impl Intervals {
    /// The drawing in a given width; its height follows.
    pub fn scene(&self, width: f32) -> Scene {
        let bottom = HEAD + ROW * self.rows.len() as f32;
        let mut scene = Scene::new(width, bottom + 44.0, &self.title);
        let (low, high, step) = self.scale();
        let label = self.label().min(width * 0.5);
        let room = ((width - label) / 3.0 - GAP).max(40.0);
        let columns: [Column; 3] = std::array::from_fn(|i| {
            let left = label + (room + GAP) * i as f32;
            let right = left + room;
            Column {
                left,
                right,
                low,
                high,
            }
        });
        for (i, row) in self.rows.iter().enumerate() {
            let y = HEAD + ROW * i as f32;
            let line = crisp(y, 1.0);
            let (from, to) = (pos(0.0, line), pos(width, line));
            scene.line(from, to, Stroke::new(1.0, Token::Rule));
            let baseline = font::baseline(y + ROW / 2.0, size::NOTE);
            scene.text(Text::note(pos(0.0, baseline), &row.label, Token::Ink));
            let count = Text::note(pos(label - APART, baseline), &row.count, Token::Muted);
            scene.text(count.aligned(Align::Right));
        }
        for ((pair, column), head) in Pair::ALL.into_iter().zip(columns).zip(&self.heads) {
            let title = Text::note(pos(column.left, 16.0), head, pair.token()).semibold();
            scene.text(title);
            self.axis(&mut scene, column, step, bottom);
            if let Some(mean) = self.means[pair.index()] {
                let x = crisp(column.x(mean), 1.5);
                let ink = Stroke::new(1.5, Token::Ink);
                scene.line(pos(x, HEAD), pos(x, bottom), ink);
            }
            for (i, row) in self.rows.iter().enumerate() {
                let y = (HEAD + ROW * (i as f32 + 0.5)).round();
                if let Some(found) = row.marks[pair.index()] {
                    mark(&mut scene, pair, column, found, y);
                }
            }
        }
        let words = Text::note(pos(width, bottom + 38.0), &self.axis, Token::Muted);
        scene.text(words.aligned(Align::Right));
        scene
    }

    /// Room that the longest place needs beside its count.
    fn label(&self) -> f32 {
        let width = |text: &str| font::width(text, size::NOTE, font::Weight::Regular);
        let rows = self.rows.iter();
        rows.map(|row| width(&row.label) + width(&row.count) + 2.0 * APART)
            .fold(LABEL, f32::max)
            .ceil()
    }

    /// From where to where the axis of every column goes, and its step: zero is always on it.
    fn scale(&self) -> (f64, f64, f64) {
        let found = self.rows.iter().flat_map(|row| row.marks.iter().flatten());
        let ends = found.flat_map(|i| {
            let (low, high) = i.ends.unwrap_or((i.mean, i.mean));
            // A wild interval of two values does not squeeze the others: it is cut at the frame.
            let reach = 2.0 * i.mean.abs();
            [low.max(i.mean - reach), high.min(i.mean + reach), i.mean]
        });
        let means = self.means.iter().flatten().copied();
        let (mut low, mut high) = (0.0_f64, 0.0_f64);
        for value in ends.chain(means).filter(|value| value.is_finite()) {
            low = low.min(value);
            high = high.max(value);
        }
        let span = high - low;
        let step = ticks::round_step(if span > 0.0 { span / 4.0 } else { 1.0 });
        let low = (low / step - 1e-9).floor() * step;
        let high = ((high / step + 1e-9).ceil() * step).max(low + step);
        (low, high, step)
    }

    fn axis(&self, scene: &mut Scene, column: Column, step: f64, bottom: f32) {
        let line = crisp(bottom, 1.0);
        let (from, to) = (pos(column.left, line), pos(column.right, line));
        scene.line(from, to, Stroke::new(1.0, Token::Edge));
        let decimals = ticks::decimals_of(step);
        for value in ticks::multiples(column.low, column.high, step) {
            let x = crisp(column.x(value), 1.0);
            let faint = Stroke::new(1.0, Token::Rule);
            scene.line(pos(x, HEAD), pos(x, bottom), faint);
            let number = ticks::in_language(&ticks::number(value, decimals), self.has_comma);
            let text = Text::note(pos(x, bottom + 18.0), &number, Token::Muted);
            scene.text(text.aligned(Align::Centre));
        }
    }
}

fn mark(scene: &mut Scene, pair: Pair, column: Column, found: Interval, y: f32) {
    if let Some((low, high)) = found.ends {
        let (left, right) = (column.x(low), column.x(high));
        let bar = Stroke::new(1.5, pair.token());
        scene.line(pos(left, y), pos(right, y), bar);
        // No end stop where the bar goes on past the frame.
        for (value, x) in [(low, left), (high, right)] {
            if (column.low..=column.high).contains(&value) {
                scene.line(pos(x, y - 4.0), pos(x, y + 4.0), bar);
            }
        }
    }
    let centre = pos(column.x(found.mean), y);
    scene.add_all(
        pair.shapes(centre, MARK)
            .into_iter()
            .collect::<Vec<Shape>>(),
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plot(rows: Vec<IntervalRow>) -> Intervals {
        Intervals {
            heads: ["rows 1–2", "rows 2–3", "rows 3–4"].map(str::to_owned),
            rows,
            means: [Some(0.06), None, Some(0.05)],
            axis: "mm per 1,000 h".into(),
            has_comma: false,
            title: "growth".into(),
        }
    }

    fn row(label: &str, mean: f64, ends: Option<(f64, f64)>) -> IntervalRow {
        let mark = Some(Interval { mean, ends });
        IntervalRow {
            label: label.into(),
            count: "7 stays".into(),
            marks: [mark, None, mark],
        }
    }

    #[test]
    fn everything_stays_inside_whatever_the_interval() {
        for rows in [
            Vec::new(),
            vec![row("F4-W-B-O", 0.13, Some((0.08, 0.18)))],
            vec![
                row("a", 0.05, None),
                row("b", -0.02, Some((-4.0, 9.0))),
                row("c", 0.0, Some((0.0, 0.0))),
            ],
        ] {
            let scene = plot(rows).scene(782.0);
            for item in &scene.items {
                let (min, max) = item.shape.bounds();
                let is_inside = min.x >= -1.0 && max.x <= scene.width + 1.0;
                assert!(is_inside && max.y <= scene.height, "{:?}", item.shape);
            }
        }
    }

    #[test]
    fn places_and_numbers_of_the_axis_are_written_in_the_language_of_the_reader() {
        let mut plot = plot(vec![row("F4-W-B-O", 0.13, Some((0.08, 0.18)))]);
        plot.has_comma = true;
        let scene = plot.scene(782.0);
        let texts: Vec<&str> = scene.texts().map(|text| text.text.as_str()).collect();
        for told in ["F4-W-B-O", "7 stays", "0,10", "mm per 1,000 h"] {
            assert!(texts.contains(&told), "{told} in {texts:?}");
        }
    }
}
