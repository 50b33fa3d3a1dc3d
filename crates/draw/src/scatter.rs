//! Points with the lines fitted to them, on even scales or on those of a probability plot.

use crate::font::{self, Weight};
use crate::growth::Xy;
use crate::marks::Pair;
use crate::plot::{Frame, number_axis, range, spread};
use crate::scene::{Align, Pos, Scene, Shape, Stroke, Text, crisp, pos};
use crate::ticks::{self, Tick};
use crate::tokens::{Token, size};

/// How a scale runs.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Scale {
    /// Evenly.
    #[default]
    Even,
    /// By the logarithm; values above 0.
    Log,
    /// Shares of 0 to 1 by `ln(-ln(1 - share))`, on which a Weibull distribution over logarithms of time is a straight
    /// line (W. Weibull's paper).
    Weibull,
}

/// A scale with its words.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Axis {
    /// What it counts, with its unit.
    pub label: String,
    /// How it runs.
    pub scale: Scale,
}

/// A point with the look of its group.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dot {
    /// Where it stands.
    pub at: Xy,
    /// Gives colour and shape.
    pub group: Pair,
}

/// What a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The fit.
    Fit,
    /// That of one group.
    Group(Pair),
    /// An end of an interval, or a guide to read off a value.
    Guide,
}

/// A line through two points or more.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its points in order; what leaves the frame is cut off.
    pub points: Vec<Xy>,
    /// What it is.
    pub role: Role,
    /// Its name, to the right of the frame; empty for none.
    pub label: String,
}

/// The plot.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scatter {
    /// The level scale.
    pub x: Axis,
    /// The upright scale.
    pub y: Axis,
    /// Points; they and the lines that are no guides set the scales.
    pub dots: Vec<Dot>,
    /// Lines, drawn under the points in this order.
    pub lines: Vec<Line>,
    /// True where the reader's language has a decimal comma.
    pub has_comma: bool,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

const TOP: f32 = 26.0;
const BOTTOM: f32 = 42.0;
const HEIGHT: f32 = 280.0;
const DOT: f32 = 9.0;
const LABEL_PITCH: f32 = 17.0;
/// A number axis makes a tick every 84 px; upright they may stand closer.
const UPRIGHT: f32 = 1.6;
/// Shares that a probability plot names.
const SHARES: [f64; 9] = [0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 0.9, 0.99];

impl Scatter {
    /// The drawing in a given width.
    pub fn scene(&self, width: f32) -> Scene {
        let mut scene = Scene::new(width, HEIGHT, &self.title);
        scene.text(Text::note(pos(0.0, 13.0), &self.y.label, Token::Muted));
        let frame = self.frame(width);
        frame.axes(&mut scene);
        let x_label = Text::note(pos(frame.max.x, HEIGHT - 4.0), &self.x.label, Token::Muted);
        scene.text(x_label.aligned(Align::Right));
        for line in &self.lines {
            let points: Vec<Pos> = line
                .points
                .iter()
                .filter_map(|point| self.place(&frame, *point))
                .collect();
            let stroke = line.role.stroke();
            frame.clipped_lines(&points, |points| {
                scene.add(Shape::Polyline { points, stroke });
            });
        }
        for dot in &self.dots {
            if let Some(at) = self.place(&frame, dot.at) {
                scene.add_all(dot.group.shapes(at, DOT));
            }
        }
        self.end_labels(&mut scene, &frame);
        scene
    }

    /// Names of lines to the right, each as near to the end of its line as the others allow.
    fn end_labels(&self, scene: &mut Scene, frame: &Frame) {
        let ends = self.lines.iter().filter(|line| !line.label.is_empty());
        let mut ends: Vec<(f32, &Line)> = ends
            .filter_map(|line| Some((self.place(frame, *line.points.last()?)?.y, line)))
            .collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        let wanted: Vec<(f32, f32)> = ends.iter().map(|(y, _)| (*y, 1.0)).collect();
        let placed = spread(&wanted, LABEL_PITCH, (frame.min.y, frame.max.y));
        for (y, (_, line)) in placed.into_iter().zip(ends) {
            let at = pos(frame.max.x + 8.0, font::baseline(y, size::NOTE));
            let token = line.role.stroke().token;
            scene.text(Text::note(at, &line.label, token).semibold());
        }
    }

    fn place(&self, frame: &Frame, at: Xy) -> Option<Pos> {
        let (x, y) = (self.x.scale.of(at.x), self.y.scale.of(at.y));
        (x.is_finite() && y.is_finite()).then(|| pos(frame.x_of(x), frame.y_of(y)))
    }

    /// What must be inside the frame.
    fn shown(&self) -> impl Iterator<Item = Xy> {
        let lines = self.lines.iter().filter(|line| line.role != Role::Guide);
        let of_lines = lines.flat_map(|line| line.points.iter().copied());
        self.dots.iter().map(|dot| dot.at).chain(of_lines)
    }

    fn frame(&self, width: f32) -> Frame {
        let height = HEIGHT - TOP - BOTTOM;
        let y_span = range(self.shown().map(|at| self.y.scale.of(at.y)));
        let (mut y_ticks, y) = self.y.scale.ticks(y_span, height * UPRIGHT);
        self.in_language(&mut y_ticks);
        let widest = y_ticks
            .iter()
            .map(|tick| font::width(&tick.label, size::NOTE, Weight::Regular))
            .fold(20.0, f32::max);
        let left = crisp(widest + 14.0, 1.0);
        let named = self.lines.iter().map(|line| line.label.as_str());
        let room = named
            .map(|words| font::width(words, size::NOTE, Weight::Semibold) + 10.0)
            .fold(24.0, f32::max);
        let right = crisp((width - room).max(left + 40.0), 1.0);
        let x_span = range(self.shown().map(|at| self.x.scale.of(at.x)));
        let (mut x_ticks, x) = self.x.scale.ticks(x_span, right - left);
        self.in_language(&mut x_ticks);
        Frame {
            min: pos(left, TOP + 0.5),
            max: pos(right, crisp(HEIGHT - BOTTOM, 1.0)),
            x,
            y,
            x_ticks,
            y_ticks,
        }
    }

    fn in_language(&self, ticks: &mut [Tick]) {
        for tick in ticks {
            tick.label = ticks::in_language(&tick.label, self.has_comma);
        }
    }
}

impl Scale {
    /// Where a value stands on a ruler.
    fn of(self, value: f64) -> f64 {
        match self {
            Self::Even => value,
            Self::Log => libm::log(value),
            Self::Weibull => libm::log(-libm::log1p(-value)),
        }
    }

    /// Ticks, and the places at both ends: a little room around what is shown.
    fn ticks(self, span: Option<(f64, f64)>, length: f32) -> (Vec<Tick>, (f64, f64)) {
        let (low, high) = span.unwrap_or((0.0, 1.0));
        let room = 0.04 * (high - low).max(0.5);
        match self {
            Self::Even => {
                let room = 0.03 * (high - low);
                let from = if low == 0.0 { low } else { low - room };
                number_axis(from, high + room, length)
            }
            Self::Log => {
                let ticks = round_times(low, high);
                let ends = ticks.iter().map(|tick| tick.value).chain([low, high]);
                let (low, high) = range(ends).unwrap_or((low, high));
                (ticks, (low - room, high + room))
            }
            Self::Weibull => {
                let is_near = |share: &&f64| (low - 0.7..=high + 0.7).contains(&self.of(**share));
                let ticks = SHARES.iter().filter(is_near).map(|share| Tick {
                    value: self.of(*share),
                    label: format!(
                        "{} %",
                        ticks::number(share * 100.0, usize::from(*share < 0.01))
                    ),
                });
                let ticks: Vec<Tick> = ticks.collect();
                let ends = ticks.iter().map(|tick| tick.value).chain([low, high]);
                let (low, high) = range(ends).unwrap_or((low, high));
                (ticks, (low - room, high + room))
            }
        }
    }
}

/// Round times between two logarithms: the closer these, the more of each power of ten.
fn round_times(low: f64, high: f64) -> Vec<Tick> {
    let power = |ln: f64| ln / std::f64::consts::LN_10;
    let (first, last) = (
        libm::floor(power(low)) as i32,
        libm::ceil(power(high)) as i32,
    );
    let steps: &[f64] = match power(high) - power(low) {
        wide if wide > 3.5 => &[1.0],
        wide if wide > 0.8 => &[1.0, 2.0, 5.0],
        _ => &[1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0],
    };
    let every = 1 + (last - first) / 10;
    let times = (first..=last)
        .filter(|power| (power - first) % every == 0)
        .flat_map(|power| {
            steps
                .iter()
                .map(move |step| (power, step * libm::exp10(f64::from(power))))
        });
    let room = 0.1 * (high - low).max(0.5);
    times
        .map(|(power, time)| Tick {
            value: libm::log(time),
            label: ticks::number(time, (-power).max(0) as usize),
        })
        .filter(|tick| tick.value >= low - room && tick.value <= high + room)
        .collect()
}

impl Role {
    fn stroke(self) -> Stroke {
        match self {
            Self::Fit => Stroke::new(2.0, Token::Ink),
            Self::Group(pair) => Stroke::new(1.5, pair.token()),
            Self::Guide => Stroke::new(1.0, Token::Muted).dashed(4.0, 3.0),
        }
    }
}
