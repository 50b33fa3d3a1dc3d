//! The frame of a plot: scales, ticks, and what is cut off at its edges.

use crate::font;
use crate::scene::{Align, Pos, Scene, Stroke, Text, crisp, pos};
use crate::ticks::{self, Tick};
use crate::tokens::{Token, size};

/// A rectangle with two scales.
#[derive(Clone, Debug)]
pub(crate) struct Frame {
    /// Upper left corner, px.
    pub(crate) min: Pos,
    /// Lower right corner, px.
    pub(crate) max: Pos,
    /// Values at the left and right edge.
    pub(crate) x: (f64, f64),
    /// Values at the lower and upper edge.
    pub(crate) y: (f64, f64),
    pub(crate) x_ticks: Vec<Tick>,
    pub(crate) y_ticks: Vec<Tick>,
}

impl Frame {
    pub(crate) fn x_of(&self, value: f64) -> f32 {
        let share = (value - self.x.0) / (self.x.1 - self.x.0);
        self.min.x + (self.max.x - self.min.x) * share as f32
    }

    pub(crate) fn y_of(&self, value: f64) -> f32 {
        let share = (value - self.y.0) / (self.y.1 - self.y.0);
        self.max.y - (self.max.y - self.min.y) * share as f32
    }

    /// Both scales with their ticks.
    pub(crate) fn axes(&self, scene: &mut Scene) {
        for tick in &self.y_ticks {
            let y = crisp(self.y_of(tick.value), 1.0);
            scene.line(
                pos(self.min.x, y),
                pos(self.max.x, y),
                Stroke::new(1.0, Token::Rule),
            );
            let at = pos(self.min.x - 8.0, font::baseline(y, size::NOTE));
            scene.text(Text::note(at, &tick.label, Token::Muted).aligned(Align::Right));
        }
        let edge = Stroke::new(1.0, Token::Edge);
        for tick in &self.x_ticks {
            let x = crisp(self.x_of(tick.value), 1.0);
            scene.line(pos(x, self.max.y), pos(x, self.max.y + 5.0), edge);
            let at = pos(x, self.max.y + 19.0);
            scene.text(Text::note(at, &tick.label, Token::Muted).aligned(Align::Centre));
        }
        scene.line(
            pos(self.min.x, self.min.y),
            pos(self.min.x, self.max.y),
            edge,
        );
        scene.line(
            pos(self.min.x, self.max.y),
            pos(self.max.x, self.max.y),
            edge,
        );
    }

    /// The part of an area inside the frame. Method: I. E. Sutherland, G. W. Hodgman, "Reentrant
    /// polygon clipping", Communications of the ACM 17 (1974).
    pub(crate) fn clip_area(&self, area: &[Pos]) -> Vec<Pos> {
        let along_x = |p: Pos| p.x;
        let along_y = |p: Pos| p.y;
        let area = cut_side(area, along_x, self.min.x, 1.0);
        let area = cut_side(&area, along_x, self.max.x, -1.0);
        let area = cut_side(&area, along_y, self.min.y, 1.0);
        cut_side(&area, along_y, self.max.y, -1.0)
    }

    /// The parts of a line inside the frame, each as one polyline so that dashes run on.
    pub(crate) fn clipped_lines(&self, points: &[Pos], mut each: impl FnMut(Vec<Pos>)) {
        let mut run: Vec<Pos> = Vec::new();
        for pair in points.windows(2) {
            match self.clip(pair[0], pair[1]) {
                Some((from, to)) => {
                    if run.last() != Some(&from) {
                        if run.len() > 1 {
                            each(std::mem::take(&mut run));
                        }
                        run = vec![from];
                    }
                    run.push(to);
                }
                None if run.len() > 1 => each(std::mem::take(&mut run)),
                None => run.clear(),
            }
        }
        if run.len() > 1 {
            each(run);
        }
    }

    /// The part of a straight line inside the frame. Method: Y.-D. Liang, B. A. Barsky, "A new
    /// concept and method for line clipping", ACM Transactions on Graphics 3 (1984).
    fn clip(&self, from: Pos, to: Pos) -> Option<(Pos, Pos)> {
        let (dx, dy) = (to.x - from.x, to.y - from.y);
        let sides = [
            (-dx, from.x - self.min.x),
            (dx, self.max.x - from.x),
            (-dy, from.y - self.min.y),
            (dy, self.max.y - from.y),
        ];
        let (mut enters, mut leaves) = (0.0_f32, 1.0_f32);
        for (p, q) in sides {
            if p == 0.0 && q < 0.0 {
                return None;
            }
            if p < 0.0 {
                enters = enters.max(q / p);
            } else if p > 0.0 {
                leaves = leaves.min(q / p);
            }
        }
        let at = |t: f32| pos(from.x + dx * t, from.y + dy * t);
        let start = if enters > 0.0 { at(enters) } else { from };
        let end = if leaves < 1.0 { at(leaves) } else { to };
        (enters <= leaves).then_some((start, end))
    }
}

fn cut_side(area: &[Pos], along: impl Fn(Pos) -> f32, edge: f32, keep: f32) -> Vec<Pos> {
    let mut out = Vec::with_capacity(area.len() + 2);
    for i in 0..area.len() {
        let (a, b) = (area[i], area[(i + 1) % area.len()]);
        let (da, db) = (keep * (along(a) - edge), keep * (along(b) - edge));
        if da >= 0.0 {
            out.push(a);
        }
        if (da >= 0.0) != (db >= 0.0) {
            let t = da / (da - db);
            out.push(pos(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t));
        }
    }
    out
}

/// Lowest and highest of the values that are numbers.
pub(crate) fn range(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values
        .filter(|v| v.is_finite())
        .fold(None, |range, v| match range {
            None => Some((v, v)),
            Some((low, high)) => Some((v.min(low), v.max(high))),
        })
}

/// Ticks and span of an upright axis: some room above and below, ends on half steps.
pub(crate) fn y_axis(low: f64, high: f64, height: f32) -> (Vec<Tick>, (f64, f64)) {
    let least = (low.abs().max(high.abs()) * 0.02).max(1e-4); // a single value must not blow up to nothing
    let range = (high - low).max(least);
    let step = ticks::round_step(1.2 * range / f64::from((height / 56.0).clamp(2.0, 5.5)));
    let half = step / 2.0;
    let from = ((low - 0.1 * range) / half).floor() * half;
    let to = ((low + 1.2 * range) / half).ceil() * half;
    let decimals = if step < 1.0 {
        ticks::decimals_of(step).max(2)
    } else {
        ticks::decimals_of(step)
    };
    (
        labelled(ticks::multiples(from, to, step), decimals),
        (from, to),
    )
}

/// How far a counting axis goes while nothing has been counted.
const COUNT_LEAST: f64 = 10.0;

/// Ticks and span of a level axis that counts something. A single count is seen from 0, and 0 alone has an axis too.
pub(crate) fn number_axis(low: f64, high: f64, width: f32) -> (Vec<Tick>, (f64, f64)) {
    let is_one = high - low <= 1e-3 * high.abs();
    let low = if low >= 0.0 && (is_one || low < 0.3 * high) {
        0.0
    } else {
        low
    };
    let high = if high - low < 1e-6 {
        low + COUNT_LEAST
    } else {
        high
    };
    let range = high - low;
    let step = ticks::round_step(range / f64::from((width / 84.0).clamp(2.0, 8.0)));
    let half = step / 2.0;
    let from = (low / half).floor() * half;
    let to = ((high / half).ceil() * half).max(from + step);
    (
        labelled(ticks::multiples(from, to, step), ticks::decimals_of(step)),
        (from, to),
    )
}

fn labelled(values: Vec<f64>, decimals: usize) -> Vec<Tick> {
    values
        .into_iter()
        .map(|value| Tick {
            value,
            label: ticks::number(value, decimals),
        })
        .collect()
}

/// Heights at least `pitch` apart, inside `limits` if there is room, moved as little as possible.
///
/// `wanted` holds height and weight, in rising order: least squares under an order, solved by
/// pooling neighbours that are too close (M. Ayer et al., Annals of Mathematical Statistics 26 (1955)).
pub(crate) fn spread(wanted: &[(f32, f32)], pitch: f32, limits: (f32, f32)) -> Vec<f32> {
    let mut pools: Vec<(f32, f32, usize)> = Vec::new(); // mean of height less its offset, weight, members
    for (i, &(y, weight)) in wanted.iter().enumerate() {
        pools.push((y - pitch * i as f32, weight, 1));
        while let [.., (before, w0, n0), (mean, w1, n1)] = pools[..] {
            if before <= mean {
                break;
            }
            pools.truncate(pools.len() - 2);
            pools.push(((before * w0 + mean * w1) / (w0 + w1), w0 + w1, n0 + n1));
        }
    }
    let flat = pools
        .iter()
        .flat_map(|&(mean, _, members)| std::iter::repeat_n(mean, members));
    // Held inside both limits, from below and from above, without coming closer to each other.
    let last = wanted.len().saturating_sub(1) as f32;
    flat.enumerate()
        .map(|(i, mean)| mean.min(limits.1 - pitch * last).max(limits.0) + pitch * i as f32)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame() -> Frame {
        let (min, max) = (pos(0.0, 0.0), pos(100.0, 50.0));
        Frame {
            min,
            max,
            x: (0.0, 1000.0),
            y: (0.2, 0.7),
            x_ticks: Vec::new(),
            y_ticks: Vec::new(),
        }
    }

    #[test]
    fn the_scales_are_linear_and_the_y_axis_points_up() {
        let frame = frame();
        assert_eq!(
            (frame.x_of(0.0), frame.x_of(500.0), frame.x_of(1000.0)),
            (0.0, 50.0, 100.0)
        );
        assert_eq!((frame.y_of(0.2), frame.y_of(0.7)), (50.0, 0.0));
    }

    #[test]
    fn lines_and_areas_end_at_the_frame() {
        let frame = frame();
        let mut pieces = Vec::new();
        let zigzag = [
            pos(-10.0, 25.0),
            pos(50.0, 25.0),
            pos(50.0, 75.0),
            pos(80.0, 75.0),
            pos(80.0, 10.0),
        ];
        frame.clipped_lines(&zigzag, |points| pieces.push(points));
        assert_eq!(
            pieces,
            [
                vec![pos(0.0, 25.0), pos(50.0, 25.0), pos(50.0, 50.0)],
                vec![pos(80.0, 50.0), pos(80.0, 10.0)]
            ]
        );
        let area = frame.clip_area(&[pos(50.0, -50.0), pos(150.0, 25.0), pos(50.0, 25.0)]);
        assert!(
            area.iter()
                .all(|p| p.x <= 100.0 && p.y >= 0.0 && p.y <= 50.0)
                && area.len() >= 4,
            "{area:?}"
        );
        assert!(
            frame
                .clip_area(&[pos(200.0, 1.0), pos(220.0, 1.0), pos(210.0, 9.0)])
                .is_empty()
        );
    }

    #[test]
    fn crowded_labels_are_pushed_apart_around_where_they_want_to_be() {
        let placed = spread(&[(10.0, 1.0), (12.0, 1.0), (60.0, 1.0)], 17.0, (0.0, 100.0));
        assert_eq!(placed, [2.5, 19.5, 60.0]);
        let heavy = spread(&[(50.0, 8.0), (52.0, 1.0)], 17.0, (0.0, 100.0));
        assert!(
            (heavy[0] - 50.0).abs() < 2.0 && heavy[1] - heavy[0] > 16.99,
            "{heavy:?}"
        );
        for limits in [(0.0, 100.0), (20.0, 70.0)] {
            let placed = spread(&[(5.0, 1.0), (6.0, 1.0), (95.0, 1.0)], 17.0, limits);
            assert!(
                placed.windows(2).all(|p| p[1] - p[0] >= 16.999),
                "{placed:?}"
            );
            assert!(
                placed.iter().all(|y| *y >= limits.0 && *y <= limits.1),
                "{placed:?}"
            );
        }
    }

    #[test]
    fn axes_of_mm_and_of_inch_have_round_ticks() {
        let labels = |axis: (Vec<Tick>, (f64, f64))| {
            axis.0
                .into_iter()
                .map(|tick| tick.label)
                .collect::<Vec<_>>()
        };
        let (_, span) = y_axis(0.285, 0.600, 286.0);
        assert!(
            (span.0 - 0.25).abs() < 1e-9 && (span.1 - 0.70).abs() < 1e-9,
            "{span:?}"
        );
        assert_eq!(
            labels(y_axis(0.285, 0.600, 286.0)),
            ["0.30", "0.40", "0.50", "0.60", "0.70"]
        );
        assert_eq!(
            labels(y_axis(0.0112, 0.0236, 286.0)),
            ["0.010", "0.015", "0.020", "0.025"]
        );
        for (low, high, expected) in [
            (0.0, 0.0, ["0", "5", "10"].as_slice()),
            (1010.0, 1010.0, &["0", "500", "1,000"]),
        ] {
            let (ticks, span) = number_axis(low, high, 200.0);
            assert!(span.0 <= low && span.1 >= high, "{span:?}");
            assert_eq!(labels((ticks, span)), expected);
        }
        assert_eq!(
            labels(number_axis(0.0, 6000.0, 544.0)),
            ["0", "1,000", "2,000", "3,000", "4,000", "5,000", "6,000"]
        );
        assert!(
            !labels(y_axis(0.3, 0.3, 286.0)).is_empty()
                && !labels(number_axis(0.0, 0.0, 544.0)).is_empty()
        );
    }
}
