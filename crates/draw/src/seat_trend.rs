//! How the sizes of one plane of a seat went from check to check, one line a direction.

use crate::font::{self, Weight};
use crate::growth::Reading;
use crate::plot::{Frame, spread, y_axis};
use crate::scene::{Align, Pos, Scene, Shape, Stroke, Text, crisp, pos};
use crate::ticks;
use crate::tokens::{Token, size};

/// A direction of measuring.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Direction {
    /// "90°", at the end of its line.
    pub label: String,
    /// Deviations at each check, x in days; a new stretch where the seat was machined between.
    pub stretches: Vec<Vec<Reading>>,
}

/// Something done to the seat.
#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    /// Day, as for the readings.
    pub x: f64,
    /// "bored".
    pub label: String,
}

/// The plot of one plane.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SeatTrend {
    /// "plane 1, deviation from 620, mm".
    pub y_label: String,
    /// Up to four directions.
    pub directions: Vec<Direction>,
    /// Tolerance of the drawing, unit of the y axis.
    pub tolerance: Option<(f64, f64)>,
    /// Where it was machined.
    pub repairs: Vec<Repair>,
    /// Lowest and highest value that has to be shown, so that planes beside each other have one scale.
    pub y: (f64, f64),
    /// First and last day.
    pub x: (f64, f64),
    /// True where the reader's language has a decimal comma.
    pub has_comma: bool,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

const TOP: f32 = 32.0;
const BOTTOM: f32 = 28.0;
const DOT: f32 = 3.0;
const LABEL_PITCH: f32 = 16.0;

impl SeatTrend {
    /// The drawing in a given size.
    pub fn scene(&self, width: f32, height: f32) -> Scene {
        let mut scene = Scene::new(width, height, &self.title);
        scene.text(Text::note(pos(0.0, 13.0), &self.y_label, Token::Muted));
        let frame = self.frame(width, height);
        if let Some((low, high)) = self.tolerance {
            let (top, bottom) = (frame.y_of(high), frame.y_of(low));
            scene.add(Shape::Rect {
                min: pos(frame.min.x, top.max(frame.min.y)),
                max: pos(frame.max.x, bottom.min(frame.max.y)),
                corner: 0.0,
                fill: Some(Token::PassTint),
                stroke: None,
            });
        }
        frame.axes(&mut scene);
        for repair in self.repairs.iter().filter(|r| r.x.is_finite()) {
            let x = crisp(frame.x_of(repair.x), 1.0);
            let stroke = Stroke::new(1.0, Token::Ink);
            scene.line(pos(x, frame.min.y), pos(x, frame.max.y), stroke);
            let text = Text::note(pos(x + 6.0, frame.min.y - 4.0), &repair.label, Token::Ink);
            let fits = text.span().1 <= width;
            scene.text(if fits {
                text
            } else {
                Text {
                    align: Align::Right,
                    at: pos(x - 6.0, frame.min.y - 4.0),
                    ..text
                }
            });
        }
        for (index, direction) in self.directions.iter().enumerate().rev() {
            let stroke = stroke_of(index);
            for stretch in &direction.stretches {
                let points: Vec<Pos> = stretch.iter().map(|r| place(&frame, r)).collect();
                frame.clipped_lines(&points, |points| {
                    scene.add(Shape::Polyline { points, stroke });
                });
                for reading in stretch {
                    let dot = Shape::Circle {
                        centre: place(&frame, reading),
                        radius: DOT,
                        fill: Some(stroke.token),
                        stroke: None,
                    };
                    scene.add_hit(reading.hit.as_ref(), [dot]);
                }
            }
        }
        self.end_labels(&mut scene, &frame);
        scene
    }

    fn frame(&self, width: f32, height: f32) -> Frame {
        let (mut y_ticks, y) = y_axis(self.y.0, self.y.1, (height - TOP - BOTTOM).max(40.0));
        for tick in &mut y_ticks {
            tick.label = ticks::in_language(&tick.label, self.has_comma);
        }
        let widest = |words: &mut dyn Iterator<Item = &str>| {
            words
                .map(|words| font::width(words, size::NOTE, Weight::Semibold))
                .fold(20.0, f32::max)
        };
        let left = crisp(
            widest(&mut y_ticks.iter().map(|t| t.label.as_str())) + 14.0,
            1.0,
        );
        let ends = widest(&mut self.directions.iter().map(|d| d.label.as_str()));
        let right = crisp((width - ends - 10.0).max(left + 40.0), 1.0);
        let room = ((self.x.1 - self.x.0) * 0.04).max(10.0);
        let x = (self.x.0 - room, self.x.1 + room);
        Frame {
            min: pos(left, TOP + 0.5),
            max: pos(right, crisp(height - BOTTOM, 1.0)),
            x,
            y,
            x_ticks: ticks::months(x.0, x.1, ((right - left) / 76.0) as u16),
            y_ticks,
        }
    }

    /// The directions to the right, each as near to its line as the others allow.
    fn end_labels(&self, scene: &mut Scene, frame: &Frame) {
        let ends = self.directions.iter().enumerate();
        let mut ends: Vec<(f32, usize, &str)> = ends
            .filter_map(|(index, direction)| {
                let last = direction.stretches.iter().flatten().last()?;
                Some((place(frame, last).y, index, direction.label.as_str()))
            })
            .collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        let wanted: Vec<(f32, f32)> = ends.iter().map(|(y, ..)| (*y, 1.0)).collect();
        let placed = spread(&wanted, LABEL_PITCH, (frame.min.y, frame.max.y));
        for (y, (_, index, words)) in placed.into_iter().zip(ends) {
            let at = pos(frame.max.x + 8.0, font::baseline(y, size::NOTE));
            scene.text(Text::note(at, words, stroke_of(index).token).semibold());
        }
    }
}

fn place(frame: &Frame, reading: &Reading) -> Pos {
    pos(frame.x_of(reading.at.x), frame.y_of(reading.at.y))
}

/// The two directions of the axes are strong, those between them are light.
fn stroke_of(index: usize) -> Stroke {
    match index {
        0 => Stroke::new(2.0, Token::Ink),
        1 => Stroke::new(1.2, Token::Muted).dashed(2.0, 3.0),
        2 => Stroke::new(2.0, Token::Ink).dashed(7.0, 3.0),
        _ => Stroke::new(1.2, Token::Muted).dashed(5.0, 2.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::growth::Xy;
    use crate::scene::Hit;

    fn trend() -> SeatTrend {
        let line = |label: &str, um: [f64; 3]| Direction {
            label: label.into(),
            stretches: vec![
                (0..2)
                    .map(|i| Reading {
                        at: Xy {
                            x: 20_000.0 + 200.0 * f64::from(i),
                            y: um[i as usize] / 1000.0,
                        },
                        u: 0.0,
                        hit: Some(Hit {
                            key: 7,
                            label: label.into(),
                        }),
                    })
                    .collect(),
                vec![Reading {
                    at: Xy {
                        x: 20_500.0,
                        y: um[2] / 1000.0,
                    },
                    u: 0.0,
                    hit: None,
                }],
            ],
        };
        SeatTrend {
            y_label: "plane 1".into(),
            directions: vec![
                line("0°", [34.0, 62.0, 21.0]),
                line("90°", [68.0, 214.0, 26.0]),
            ],
            tolerance: Some((0.0, 0.07)),
            repairs: vec![Repair {
                x: 20_450.0,
                label: "bored".into(),
            }],
            y: (0.0, 0.214),
            x: (20_000.0, 20_500.0),
            ..SeatTrend::default()
        }
    }

    #[test]
    fn lines_end_where_the_seat_was_machined_and_ends_do_not_cover_each_other() {
        let scene = trend().scene(360.0, 220.0);
        let lines = scene
            .items
            .iter()
            .filter(|item| matches!(item.shape, Shape::Polyline { .. }));
        assert_eq!(
            lines.count(),
            2,
            "a single reading after the repair is no line"
        );
        let ends: Vec<f32> = scene
            .texts()
            .filter(|text| text.text.ends_with('°'))
            .map(|text| text.at.y)
            .collect();
        assert!((ends[0] - ends[1]).abs() >= LABEL_PITCH - 0.01, "{ends:?}");
        assert!(scene.texts().any(|text| text.text == "bored"));
        for item in &scene.items {
            let (min, max) = item.shape.bounds();
            assert!(
                min.x >= -0.5 && max.x <= 361.0 && max.y <= 221.0,
                "{item:?}"
            );
        }
    }
}
