//! Tolerance zones of a hole and a shaft, to scale, with their smallest and largest distance.

use crate::font;
use crate::hatch::{Lean, hatch};
use crate::scene::{Align, Pos, Scene, Shape, Stroke, Text, crisp, pos};
use crate::ticks;
use crate::tokens::{Token, size};

/// A zone between its limit deviations.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// Lower deviation, in the unit of the axis.
    pub lower: f64,
    /// Upper deviation.
    pub upper: f64,
    /// "hole +36/0".
    pub label: String,
}

/// One zone or the two of a fit.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToleranceZones {
    /// Unit and zero of the axis, "µm from 480.000".
    pub origin: String,
    /// Zone of the hole.
    pub hole: Option<Zone>,
    /// Zone of the shaft.
    pub shaft: Option<Zone>,
    /// Smallest clearance as written, "23"; shown between two zones.
    pub smallest: String,
    /// Largest clearance as written.
    pub largest: String,
    /// True where the reader's language has a decimal comma.
    pub has_comma: bool,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

const AXIS: f32 = 64.0;
const TOP: f32 = 46.0;
const PLOT: f32 = 210.0;
const BELOW: f32 = 22.0;
const HATCH_PITCH: f32 = 7.0;
/// Places of the zones and of the largest distance, in the drawing of 400 right of the axis.
const HOLE: (f32, f32) = (28.0, 132.0);
const SHAFT: (f32, f32) = (200.0, 304.0);
const BETWEEN: f32 = 166.0;
const WHOLE: f32 = 344.0;

/// From deviations to px.
struct Axis {
    low: f64,
    high: f64,
}

impl Axis {
    fn y(&self, value: f64) -> f32 {
        TOP + ((self.high - value) / (self.high - self.low)) as f32 * PLOT
    }
}

impl ToleranceZones {
    /// The drawing in a given width.
    pub fn scene(&self, width: f32) -> Scene {
        let mut scene = Scene::new(width, TOP + PLOT + BELOW, &self.title);
        scene.text(Text::note(pos(0.0, 14.0), &self.origin, Token::Muted));
        let zones = [&self.hole, &self.shaft].map(|zone| {
            zone.as_ref()
                .filter(|z| z.lower.is_finite() && z.upper.is_finite() && z.lower <= z.upper)
        });
        let axis = axis(&mut scene, zones, self.has_comma);
        let scale = ((width - AXIS) / 400.0).max(0.5);
        let x = |at: f32| crisp(AXIS + at * scale, 1.0);
        let middle = |zone: &Zone| f64::midpoint(zone.lower, zone.upper);
        let is_hole_above = match zones {
            [Some(hole), Some(shaft)] => middle(hole) >= middle(shaft),
            _ => true,
        };
        let places = [(HOLE, is_hole_above), (SHAFT, !is_hole_above)];
        for (index, (zone, (place, is_above))) in zones.into_iter().zip(places).enumerate() {
            let Some(zone) = zone else { continue };
            let is_above = is_above || zones.iter().flatten().count() == 1;
            let min = pos(x(place.0), crisp(axis.y(zone.upper), 1.0));
            let max = pos(x(place.1), crisp(axis.y(zone.lower), 1.0));
            draw_zone(&mut scene, [min, max], index == 1);
            let y = if is_above { min.y - 8.0 } else { max.y + 17.0 };
            let token = if index == 1 {
                Token::Accent
            } else {
                Token::Ink
            };
            let centre = pos(f32::midpoint(min.x, max.x), y);
            let label = Text::note(centre, &zone.label, token).semibold();
            scene.text(label.aligned(Align::Centre).on(Token::Sheet));
        }
        if let [Some(hole), Some(shaft)] = zones {
            let ends = |a: f64, b: f64| [a, b].map(|v| crisp(axis.y(v), 1.0));
            let near = [x(HOLE.1), x(SHAFT.0)];
            distance(
                &mut scene,
                x(BETWEEN),
                ends(hole.lower, shaft.upper),
                near,
                &self.smallest,
                false,
            );
            let far = [x(HOLE.1), x(SHAFT.1)];
            distance(
                &mut scene,
                x(WHOLE),
                ends(hole.upper, shaft.lower),
                far,
                &self.largest,
                true,
            );
        }
        scene
    }
}

/// Gridlines with their numbers; the zero line is drawn stronger.
fn axis(scene: &mut Scene, zones: [Option<&Zone>; 2], has_comma: bool) -> Axis {
    let ends = zones.iter().flatten().flat_map(|z| [z.lower, z.upper]);
    let (low, high) = ends.fold((0.0_f64, 0.0_f64), |(low, high), v| {
        (low.min(v), high.max(v))
    });
    let step = ticks::round_step(((high - low) / 6.0).max(1e-3));
    let low = (low / step - 1e-6).floor() * step;
    let high = (high / step + 1e-6).ceil() * step;
    let axis = Axis {
        low,
        high: if high > low { high } else { low + step },
    };
    let decimals = ticks::decimals_of(step);
    for value in ticks::multiples(axis.low, axis.high, step) {
        let y = crisp(axis.y(value), 1.0);
        let is_zero = value.abs() < step * 1e-3;
        let token = if is_zero { Token::Ink } else { Token::Rule };
        scene.line(pos(AXIS, y), pos(scene.width, y), Stroke::new(1.0, token));
        let number = ticks::in_language(&ticks::number(value, decimals), has_comma);
        let at = pos(AXIS - 8.0, font::baseline(y, size::NOTE));
        scene.text(Text::note(at, &number, Token::Muted).aligned(Align::Right));
    }
    axis
}

fn draw_zone(scene: &mut Scene, [min, max]: [Pos; 2], is_shaft: bool) {
    let (fill, line, lean) = if is_shaft {
        (Token::Sel, Token::Accent, Lean::Backslash)
    } else {
        (Token::Metal, Token::Ink, Lean::Slash)
    };
    scene.add(Shape::Rect {
        min,
        max,
        corner: 0.0,
        fill: Some(fill),
        stroke: None,
    });
    let corners = [min, pos(max.x, min.y), max, pos(min.x, max.y)];
    let thin = Stroke::new(1.0, if is_shaft { Token::Accent } else { Token::Edge });
    for [from, to] in hatch(&corners, HATCH_PITCH, lean) {
        scene.line(from, to, thin);
    }
    let stroke = Some(Stroke::new(1.5, line));
    scene.add(Shape::Rect {
        min,
        max,
        corner: 0.0,
        fill: None,
        stroke,
    });
}

/// An upright arrow between two deviations, with lines from the zones that they belong to.
fn distance(
    scene: &mut Scene,
    x: f32,
    [a, b]: [f32; 2],
    from: [f32; 2],
    words: &str,
    is_beside: bool,
) {
    let thin = Stroke::new(1.0, Token::Ink);
    let (top, bottom) = (a.min(b), a.max(b));
    for (y, from) in [(a, from[0]), (b, from[1])] {
        let beyond = x + if from < x { 8.0 } else { -8.0 };
        scene.line(pos(from, y), pos(beyond, y), thin);
    }
    scene.line(pos(x, top), pos(x, bottom), thin);
    if bottom - top >= 14.0 {
        for (tip, inwards) in [(top, 6.0), (bottom, -6.0)] {
            let points = vec![
                pos(x, tip),
                pos(x - 2.5, tip + inwards),
                pos(x + 2.5, tip + inwards),
            ];
            scene.add(Shape::Polygon {
                points,
                fill: Some(Token::Ink),
                stroke: None,
            });
        }
    }
    let (at, align) = if is_beside {
        let middle = font::baseline(f32::midpoint(top, bottom), size::BODY);
        (pos(x + 8.0, middle), Align::Left)
    } else {
        (pos(x, top - 7.0), Align::Centre)
    };
    let text = Text::note(at, words, Token::Ink)
        .sized(size::BODY)
        .semibold();
    scene.text(text.aligned(align).on(Token::Sheet));
}
