//! Clearance against running: readings with their doubt, fit, regrinds, turns, limits, forecast.

mod series;

use crate::font::{self, Weight};
use crate::growth::series::crossing_shapes;
use crate::marks::Pair;
use crate::plot::{Frame, number_axis, range, spread, y_axis};
use crate::scene::{Align, Hit, Pos, Scene, Shape, Stroke, Text, crisp, pos};
use crate::ticks;
use crate::tokens::{Token, size};

/// What the x axis counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum XScale {
    /// Hours or tonnes.
    #[default]
    Number,
    /// Days since 1970-01-01, labelled with months.
    Days,
}

/// A point in the units of the axes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Xy {
    /// In the unit of the x axis.
    pub x: f64,
    /// In the unit of the y axis.
    pub y: f64,
}

/// One reading.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Reading {
    /// Where it stands.
    pub at: Xy,
    /// Expanded uncertainty, unit of the y axis; 0 draws no bar.
    pub u: f64,
    /// What it answers to a pointer.
    pub hit: Option<Hit>,
}

/// Readings between two resettings of the clearance.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Segment {
    /// Where it was set when new or after a regrind; dotted from here to the first reading.
    pub set: Option<Reading>,
    /// The readings in order.
    pub readings: Vec<Reading>,
    /// The fitted line, two points or more; empty: readings are joined directly.
    pub fit: Vec<Xy>,
}

/// Where a band stands at one x.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BandPoint {
    /// In the unit of the x axis.
    pub x: f64,
    /// Lower edge.
    pub low: f64,
    /// Upper edge.
    pub high: f64,
}

/// Where a forecast meets a limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossing {
    /// The limit it meets, unit of the y axis.
    pub level: f64,
    /// The early end of the interval.
    pub early: f64,
    /// The middle.
    pub middle: f64,
    /// The late end.
    pub late: f64,
    /// "4,280 to 4,680 h".
    pub label: String,
    /// What it answers to a pointer.
    pub hit: Option<Hit>,
}

/// What is expected after the last reading.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Forecast {
    /// The expected line, dashed.
    pub line: Vec<Xy>,
    /// The line if wear that has become faster goes on, in short dashes; empty where it has not.
    pub faster: Vec<Xy>,
    /// The band around it; usually for the leading pair only.
    pub band: Vec<BandPoint>,
    /// Where it meets the limit.
    pub crossing: Option<Crossing>,
}

/// One row pair.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// Gives colour and shape.
    pub pair: Pair,
    /// "rows 1-2", at the end of its line.
    pub label: String,
    /// Readings between regrinds, in order.
    pub segments: Vec<Segment>,
    /// What is expected next.
    pub forecast: Option<Forecast>,
}

/// A horizontal line with a meaning.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// Height, unit of the y axis.
    pub value: f64,
    /// "0.600 rework".
    pub label: String,
    /// Whether it is the limit itself (else a level to watch).
    pub is_limit: bool,
}

/// Something that happened at one x.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// In the unit of the x axis.
    pub x: f64,
    /// Zone numeral of a turn, or words of a regrind.
    pub label: String,
    /// What it answers to a pointer.
    pub hit: Option<Hit>,
}

/// The plot of one bearing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Growth {
    /// Hours, tonnes or dates.
    pub x_scale: XScale,
    /// "mill hours on the bearing's own counter".
    pub x_label: String,
    /// "end play, mm".
    pub y_label: String,
    /// Row pairs.
    pub series: Vec<Series>,
    /// Limit and watch levels.
    pub levels: Vec<Level>,
    /// Resettings of the clearance.
    pub regrinds: Vec<Event>,
    /// Turns of the outer rings to another zone.
    pub turns: Vec<Event>,
    /// Upright line at the day of the sheet, with its words.
    pub now: Option<(f64, String)>,
    /// True where the reader's language has a decimal comma.
    pub has_comma: bool,
    /// What an empty plot says it will show.
    pub empty: String,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

const TOP: f32 = 32.0;
const BOTTOM: f32 = 42.0;
/// Marks of different pairs stand this far apart, so that their bars do not cover each other.
const DODGE: f32 = 6.0;
const LABEL_PITCH: f32 = 17.0;

impl Growth {
    /// The drawing in a given size.
    pub fn scene(&self, width: f32, height: f32) -> Scene {
        let mut scene = Scene::new(width, height, &self.title);
        scene.text(Text::note(pos(0.0, 13.0), &self.y_label, Token::Muted));
        let frame = self.frame(width, height);
        frame.axes(&mut scene);
        let x_label = Text::note(pos(frame.max.x, height - 4.0), &self.x_label, Token::Muted);
        scene.text(x_label.aligned(Align::Right));
        if !self.has_readings() {
            self.levels(&mut scene, &frame);
            self.end_labels(&mut scene, &frame);
            let at = pos(
                f32::midpoint(frame.min.x, frame.max.x),
                f32::midpoint(frame.min.y, frame.max.y),
            );
            let words = Text::note(at, &self.empty, Token::Muted)
                .sized(size::BODY)
                .aligned(Align::Centre);
            scene.text(words.on(Token::Sheet));
            return scene;
        }
        let by_rank: Vec<&Series> = self.series.iter().rev().collect(); // the first pair lies on top
        for series in &by_rank {
            series.band(&mut scene, &frame);
        }
        self.levels(&mut scene, &frame);
        self.now(&mut scene, &frame);
        self.events(&mut scene, &frame);
        for series in &by_rank {
            series.lines(&mut scene, &frame);
        }
        for series in &by_rank {
            series.marks(&mut scene, &frame, self.dodge(series.pair));
        }
        for crossing in by_rank
            .iter()
            .filter_map(|s| s.forecast.as_ref()?.crossing.as_ref().map(|c| (s.pair, c)))
        {
            crossing_shapes(&mut scene, &frame, crossing.0, crossing.1);
        }
        self.end_labels(&mut scene, &frame);
        scene
    }

    fn has_readings(&self) -> bool {
        self.series
            .iter()
            .any(|series| series.points().next().is_some())
    }

    fn dodge(&self, pair: Pair) -> f32 {
        if self.series.len() > 1 {
            DODGE * (pair.index() as f32 - 1.0)
        } else {
            0.0
        }
    }

    /// Ranges from all that is shown; forecasts may leave the frame, readings and levels do not.
    fn frame(&self, width: f32, height: f32) -> Frame {
        let labels = self
            .series
            .iter()
            .map(|s| &s.label)
            .chain(self.levels.iter().map(|l| &l.label));
        let right = labels
            .map(|words| font::width(words, size::NOTE, Weight::Semibold))
            .fold(24.0, f32::max);
        let ys = self.series.iter().flat_map(Series::y_values);
        let y_range = range(ys.chain(self.levels.iter().map(|level| level.value)));
        let x_range = self.x_range();
        let plot_height = (height - TOP - BOTTOM).max(40.0);

        let in_language = |mut ticks: Vec<ticks::Tick>| {
            for tick in &mut ticks {
                tick.label = ticks::in_language(&tick.label, self.has_comma);
            }
            ticks
        };
        let (y_ticks, y_span) = match y_range {
            Some((low, high)) => y_axis(low, high, plot_height),
            None => (Vec::new(), (0.0, 1.0)),
        };
        let y_ticks = in_language(y_ticks);
        let tick_width = y_ticks
            .iter()
            .map(|tick| font::width(&tick.label, size::NOTE, Weight::Regular))
            .fold(20.0, f32::max);
        let left = crisp(tick_width + 14.0, 1.0);
        let right = crisp((width - right - 10.0).max(left + 40.0), 1.0);
        let (x_ticks, x_span) = match (x_range, self.x_scale) {
            (None, _) => (Vec::new(), (0.0, 1.0)),
            (Some((low, high)), XScale::Number) => number_axis(low, high, right - left),
            (Some((low, high)), XScale::Days) => {
                let room = ((high - low) * 0.04).max(10.0);
                let span = (low - room / 2.0, high + room);
                (
                    ticks::months(span.0, span.1, ((right - left) / 76.0) as u16),
                    span,
                )
            }
        };
        let x_ticks = in_language(x_ticks);
        let (min, max) = (
            pos(left, TOP + 0.5),
            pos(right, crisp(height - BOTTOM, 1.0)),
        );
        Frame {
            min,
            max,
            x: x_span,
            y: y_span,
            x_ticks,
            y_ticks,
        }
    }

    /// All that happened, with room for the last mark, and the forecast to its end.
    fn x_range(&self) -> Option<(f64, f64)> {
        let read = self
            .series
            .iter()
            .flat_map(Series::points)
            .map(|reading| reading.at.x);
        let events = self.turns.iter().chain(&self.regrinds).map(|event| event.x);
        let (low, high) = range(read.chain(events).chain(self.now.iter().map(|(x, _)| *x)))?;
        let forecasts = self
            .series
            .iter()
            .filter_map(|series| series.forecast.as_ref());
        let expected = forecasts
            .flat_map(|forecast| &forecast.line)
            .map(|point| point.x);
        range(expected.chain([low, high + 0.02 * (high - low)]))
    }

    fn levels(&self, scene: &mut Scene, frame: &Frame) {
        for level in self.levels.iter().filter(|level| level.value.is_finite()) {
            let y = frame.y_of(level.value);
            let (width, dash) = if level.is_limit {
                (2.0, [7.0, 3.0])
            } else {
                (1.0, [3.0, 3.0])
            };
            let y = crisp(y, width);
            let stroke = Stroke {
                width: width.min(1.6),
                token: level.token(),
                dash: Some(dash),
            };
            scene.line(pos(frame.min.x, y), pos(frame.max.x, y), stroke);
        }
    }

    fn now(&self, scene: &mut Scene, frame: &Frame) {
        let Some((x, words)) = self.now.as_ref().filter(|(x, _)| x.is_finite()) else {
            return;
        };
        let x = crisp(frame.x_of(*x), 1.0);
        scene.line(
            pos(x, frame.min.y),
            pos(x, frame.max.y),
            Stroke::new(1.0, Token::Muted),
        );
        let at = |share: f32| {
            let y = frame.max.y - (frame.max.y - frame.min.y) * share;
            let text = Text::note(pos(x + 9.0, y), words, Token::Muted).on(Token::Sheet);
            if text.span().1 <= frame.max.x {
                text
            } else {
                Text {
                    at: pos(x - 9.0, y),
                    align: Align::Right,
                    ..text
                }
            }
        };
        // At the first height where no reading lies under the words.
        let heights = [0.2, 0.35, 0.5, 0.65, 0.8];
        let free = heights
            .into_iter()
            .map(at)
            .find(|text| !self.covers(frame, text));
        scene.text(free.unwrap_or_else(|| at(heights[0])));
    }

    /// Whether the words would lie on a reading.
    fn covers(&self, frame: &Frame, words: &Text) -> bool {
        let (min, max) = words.bounds();
        let room = 8.0;
        let is_under = |at: Pos| {
            (min.x - room..=max.x + room).contains(&at.x)
                && (min.y - room..=max.y + room).contains(&at.y)
        };
        self.series.iter().any(|series| {
            let shift = self.dodge(series.pair);
            let mut points = series.points();
            points.any(|r| is_under(pos(frame.x_of(r.at.x) + shift, frame.y_of(r.at.y))))
        })
    }

    /// Regrinds as full lines with a wedge on top, turns as short ticks with the zone.
    fn events(&self, scene: &mut Scene, frame: &Frame) {
        // Words that would run into the ones before are left out; the mark says them under the pointer.
        let mut free_from = f32::NEG_INFINITY;
        for event in self.regrinds.iter().filter(|event| event.x.is_finite()) {
            let x = crisp(frame.x_of(event.x), 1.0);
            let top = frame.min.y;
            let line = Shape::Line {
                from: pos(x, top),
                to: pos(x, frame.max.y),
                stroke: Stroke::new(1.0, Token::Ink),
            };
            let points = vec![
                pos(x - 5.0, top - 8.0),
                pos(x + 5.0, top - 8.0),
                pos(x, top),
            ];
            let wedge = Shape::Polygon {
                points,
                fill: Some(Token::Ink),
                stroke: None,
            };
            scene.add(line);
            scene.add_hit(event.hit.as_ref(), [wedge]);
            let text = Text::note(pos(x + 9.0, top - 2.5), &event.label, Token::Ink);
            let fits = text.span().1 <= scene.width;
            let at = pos(x - 9.0, text.at.y);
            let text = if fits {
                text
            } else {
                Text {
                    at,
                    align: Align::Right,
                    ..text
                }
            };
            if text.span().0 >= free_from {
                free_from = text.span().1 + 8.0;
                scene.text(text);
            }
        }
        let mut free_from = f32::NEG_INFINITY;
        for event in self.turns.iter().filter(|event| event.x.is_finite()) {
            let x = crisp(frame.x_of(event.x), 2.0);
            let tick = Shape::Line {
                from: pos(x, frame.max.y - 12.0),
                to: pos(x, frame.max.y),
                stroke: Stroke::new(2.0, Token::Ink),
            };
            scene.add_hit(event.hit.as_ref(), [tick]);
            let text =
                Text::note(pos(x + 6.0, frame.max.y - 5.0), &event.label, Token::Ink).semibold();
            let (from, to) = text.span();
            if from >= free_from && to <= scene.width {
                free_from = to + 6.0;
                scene.text(text);
            }
        }
    }

    /// Words at the right, each as near to its line as the others allow; levels give way last.
    fn end_labels(&self, scene: &mut Scene, frame: &Frame) {
        let series = self.series.iter().filter_map(|series| {
            let y = frame.y_of(series.end()?.y).clamp(frame.min.y, frame.max.y);
            Some((y, 1.0, series.label.as_str(), series.pair.token()))
        });
        let levels = self
            .levels
            .iter()
            .filter(|level| level.value.is_finite())
            .map(|level| {
                (
                    frame.y_of(level.value),
                    8.0,
                    level.label.as_str(),
                    level.token(),
                )
            });
        let mut labels: Vec<(f32, f32, &str, Token)> = series.chain(levels).collect();
        labels.sort_by(|a, b| a.0.total_cmp(&b.0));
        let wanted: Vec<(f32, f32)> = labels.iter().map(|&(y, weight, ..)| (y, weight)).collect();
        let placed = spread(&wanted, LABEL_PITCH, (frame.min.y, frame.max.y - 2.0));
        for (y, (_, _, words, token)) in placed.into_iter().zip(labels) {
            let at = pos(frame.max.x + 8.0, font::baseline(y, size::NOTE));
            scene.text(Text::note(at, words, token).semibold());
        }
    }
}

impl Level {
    fn token(&self) -> Token {
        if self.is_limit {
            Token::Fail
        } else {
            Token::Doubt
        }
    }
}
