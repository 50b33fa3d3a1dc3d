//! How one row pair is drawn: band, lines, marks with their bars, and where it meets the limit.

use super::{BandPoint, Crossing, Reading, Series, Xy};
use crate::font::{self, Weight};
use crate::marks::Pair;
use crate::plot::Frame;
use crate::scene::{Align, Pos, Scene, Shape, Stroke, Text, crisp, pos};
use crate::tokens::{Token, size};

const BAND_EDGE: [f32; 2] = [2.0, 3.0];

impl Series {
    /// All points that were set or read.
    pub(super) fn points(&self) -> impl Iterator<Item = &Reading> {
        let all = self
            .segments
            .iter()
            .flat_map(|segment| segment.set.iter().chain(&segment.readings));
        all.filter(|reading| reading.at.is_finite())
    }

    pub(super) fn y_values(&self) -> impl Iterator<Item = f64> {
        self.points()
            .flat_map(|reading| [reading.at.y - reading.half(), reading.at.y + reading.half()])
    }

    /// Where its line ends.
    pub(super) fn end(&self) -> Option<Xy> {
        let forecast = self
            .forecast
            .as_ref()
            .and_then(|forecast| forecast.line.last().copied());
        let last = self.segments.last();
        let fit = last.and_then(|segment| segment.fit.last().copied());
        let read = self.points().last().map(|reading| reading.at);
        forecast.or(fit).or(read).filter(|point| point.is_finite())
    }

    pub(super) fn band(&self, scene: &mut Scene, frame: &Frame) {
        let Some(forecast) = &self.forecast else {
            return;
        };
        let edge = |value: fn(&BandPoint) -> f64| -> Vec<Pos> {
            forecast
                .band
                .iter()
                .map(|p| pos(frame.x_of(p.x), frame.y_of(value(p))))
                .collect()
        };
        let (low, high) = (edge(|p| p.low), edge(|p| p.high));
        if low.len() < 2
            || low
                .iter()
                .chain(&high)
                .any(|p| !p.x.is_finite() || !p.y.is_finite())
        {
            return;
        }
        let area: Vec<Pos> = high
            .iter()
            .copied()
            .chain(low.iter().rev().copied())
            .collect();
        let area = frame.clip_area(&area);
        if area.len() >= 3 {
            scene.add(Shape::Polygon {
                points: area,
                fill: Some(self.pair.tint()),
                stroke: None,
            });
        }
        let stroke = Stroke {
            width: 1.0,
            token: self.pair.token(),
            dash: Some(BAND_EDGE),
        };
        for edge in [high, low] {
            frame.clipped_lines(&edge, |points| {
                scene.add(Shape::Polyline { points, stroke });
            });
        }
    }

    pub(super) fn lines(&self, scene: &mut Scene, frame: &Frame) {
        let token = self.pair.token();
        let mut draw = |points: &[Xy], stroke: Stroke| {
            let places: Vec<Pos> = points
                .iter()
                .filter(|p| p.is_finite())
                .map(|p| place(frame, *p))
                .collect();
            frame.clipped_lines(&places, |points| {
                scene.add(Shape::Polyline { points, stroke });
            });
        };
        for segment in &self.segments {
            let read: Vec<Xy> = segment.readings.iter().map(|reading| reading.at).collect();
            let line = if segment.fit.is_empty() {
                &read
            } else {
                &segment.fit
            };
            draw(line, Stroke::new(1.5, token));
            if let (Some(set), Some(first)) = (&segment.set, line.first()) {
                draw(&[set.at, *first], Stroke::new(1.2, token).dashed(1.5, 2.5));
            }
        }
        if let Some(forecast) = &self.forecast {
            draw(&forecast.line, Stroke::new(1.2, token).dashed(6.0, 3.0));
            draw(&forecast.faster, Stroke::new(1.2, token).dashed(2.5, 3.5));
        }
    }

    pub(super) fn marks(&self, scene: &mut Scene, frame: &Frame, dodge: f32) {
        let token = self.pair.token();
        for segment in &self.segments {
            for reading in segment
                .readings
                .iter()
                .filter(|reading| reading.at.is_finite())
            {
                let centre = place(frame, reading.at);
                let centre = pos(centre.x + dodge, centre.y);
                if reading.half() > 0.0 {
                    bar(scene, frame, centre.x, reading, token);
                }
                scene.add_hit(reading.hit.as_ref(), self.pair.shapes(centre, 9.0));
            }
            if let Some(set) = segment.set.as_ref().filter(|set| set.at.is_finite()) {
                scene.add_hit(
                    set.hit.as_ref(),
                    self.pair.shapes(place(frame, set.at), 8.0),
                );
            }
        }
    }
}

impl Xy {
    fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite()
    }
}

impl Reading {
    /// Half the length of its bar; a doubt that is no number draws none.
    fn half(&self) -> f64 {
        if self.u.is_finite() {
            self.u.max(0.0)
        } else {
            0.0
        }
    }
}

fn place(frame: &Frame, at: Xy) -> Pos {
    pos(frame.x_of(at.x), frame.y_of(at.y))
}

/// A bar of plus and minus U with its two stops.
fn bar(scene: &mut Scene, frame: &Frame, x: f32, reading: &Reading, token: Token) {
    let end = |y: f64| frame.y_of(y).clamp(frame.min.y, frame.max.y);
    let (top, bottom) = (
        end(reading.at.y + reading.half()),
        end(reading.at.y - reading.half()),
    );
    let stroke = Stroke::new(1.5, token);
    scene.line(pos(x, top), pos(x, bottom), stroke);
    for y in [top, bottom] {
        scene.line(pos(x - 3.0, y), pos(x + 3.0, y), stroke);
    }
}

/// The interval on the limit with its middle, and above it a bracket with the words.
pub(super) fn crossing_shapes(scene: &mut Scene, frame: &Frame, pair: Pair, crossing: &Crossing) {
    let (early, late) = (frame.x_of(crossing.early), frame.x_of(crossing.late));
    let y = frame.y_of(crossing.level);
    if ![early, late, y].iter().all(|v| v.is_finite()) || early > frame.max.x || late < frame.min.x
    {
        return;
    }
    let token = pair.token();
    let inside = |x: f32| x.clamp(frame.min.x, frame.max.x);
    let (left, right) = (inside(early), inside(late));
    let line = |from, to, width| Shape::Line {
        from,
        to,
        stroke: Stroke::new(width, token),
    };
    let mut shapes = vec![line(pos(left, y), pos(right, y), 5.0)];
    let has_room = y - frame.min.y > 62.0;
    let arm = if has_room { -41.0 } else { 41.0 };
    let top = crisp(y + arm, 1.0);
    for (x, is_end) in [(left, early >= frame.min.x), (right, late <= frame.max.x)] {
        let x = crisp(x, 1.0);
        if is_end {
            shapes.push(line(pos(x, y - 7.0), pos(x, y + 7.0), 2.0));
            shapes.push(line(pos(x, y), pos(x, top), 1.0));
        }
    }
    shapes.push(line(
        pos(crisp(left, 1.0), top),
        pos(crisp(right, 1.0), top),
        1.0,
    ));
    let middle = frame.x_of(crossing.middle);
    if middle.is_finite() && middle >= left && middle <= right {
        let (fill, stroke) = (Some(Token::Sheet), Some(Stroke::new(2.0, token)));
        shapes.push(Shape::Circle {
            centre: pos(middle, y),
            radius: 4.5,
            fill,
            stroke,
        });
    }
    let words_y = if has_room { top - 8.0 } else { top + 17.0 };
    let half = font::width(&crossing.label, size::NOTE, Weight::Semibold) / 2.0;
    let x = f32::midpoint(left, right)
        .min(frame.max.x - half)
        .max(frame.min.x + half);
    let text = Text::note(pos(x, words_y), &crossing.label, token)
        .semibold()
        .aligned(Align::Centre);
    shapes.push(Shape::Text(text.on(Token::Sheet)));
    scene.add_hit(crossing.hit.as_ref(), shapes);
}
