//! Polar outline of a bore or a neck, plane by plane, its deviations magnified.

use crate::font::{self, Weight};
use crate::scene::{Align, Hit, Item, Pos, Scene, Shape, Stroke, Text, clock_point, crisp, pos};
use crate::ticks;
use crate::tokens::{Token, size};

/// One plane of two-point sizes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plane {
    /// "plane 1".
    pub name: String,
    /// Deviations from nominal, mm, at 0, 45, 90 and 135 degrees; none where not read.
    pub deviations_mm: [Option<f64>; 4],
    /// What the four readings answer to a pointer.
    pub hits: [Option<Hit>; 4],
}

/// A line the size must not pass.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitLine {
    /// Deviation from nominal, mm.
    pub deviation_mm: f64,
    /// "+0.120, mean".
    pub label: String,
}

/// The tolerance of the seat.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerance {
    /// Lower deviation, mm; may be negative.
    pub lower_mm: f64,
    /// Upper deviation, mm.
    pub upper_mm: f64,
    /// "0 to +0.070".
    pub label: String,
}

/// A seat, round its axis; works for a bore and for a neck.
#[derive(Clone, Debug, PartialEq)]
pub struct BoreMap {
    /// Nominal diameter, mm.
    pub nominal_mm: f64,
    /// The planes in order; the first is drawn strongest.
    pub planes: Vec<Plane>,
    /// Tolerance ring, if the drawing gives one.
    pub tolerance: Option<Tolerance>,
    /// Limits for rework, if any.
    pub limits: Vec<LimitLine>,
    /// How many times deviations are enlarged; none: what fits, from a row of round numbers.
    pub magnification: Option<u32>,
    /// True where the reader's language has a decimal comma.
    pub has_comma: bool,
    /// Lines in the middle, "nominal 620", "seen from outboard".
    pub notes: Vec<String>,
    /// The word before the magnification, "deviation".
    pub deviation: String,
    /// The four directions, "0°" ...
    pub directions: [String; 4],
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

/// Enlargements to choose from.
const MAGNIFICATIONS: [u32; 10] = [10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000];
/// Width of the drawing per radius of the nominal circle.
const WIDTH_PER_RADIUS: f32 = 3.6;
/// A deviation reaches at most this share of the radius, outwards or inwards.
const REACH: f32 = 0.45;
const OUTLINE_POINTS: u16 = 120;
const LEGEND_ROW: f32 = 20.0;
const SAMPLE: f32 = 20.0;

/// The outline through four two-point sizes: `v(t) = a0 + a1 cos 2t + b1 sin 2t + a2 cos 4t`.
///
/// The four sizes fix the four terms; a two-point gauge cannot see odd lobes, so there are none.
fn outline(v: [f64; 4]) -> impl Fn(f64) -> f64 {
    let a0 = (v[0] + v[1] + v[2] + v[3]) / 4.0;
    let a1 = (v[0] - v[2]) / 2.0;
    let b1 = (v[1] - v[3]) / 2.0;
    let a2 = (v[0] - v[1] + v[2] - v[3]) / 4.0;
    move |t| a0 + a1 * libm::cos(2.0 * t) + b1 * libm::sin(2.0 * t) + a2 * libm::cos(4.0 * t)
}

impl Plane {
    /// All four readings, if there are four.
    fn complete(&self) -> Option<[f64; 4]> {
        let [Some(a), Some(b), Some(c), Some(d)] = self.deviations_mm else {
            return None;
        };
        [a, b, c, d]
            .iter()
            .all(|v| v.is_finite())
            .then_some([a, b, c, d])
    }
}

impl BoreMap {
    /// The drawing in a given width; its height follows.
    pub fn scene(&self, width: f32) -> Scene {
        let radius = (width / WIDTH_PER_RADIUS).clamp(50.0, 140.0).round();
        let centre = pos(
            (width / 2.0).round(),
            (radius * (1.0 + REACH)).round() + 20.0,
        );
        let round_bottom = centre.y + radius * (1.0 + REACH) + 6.0;
        let legend = self.legend(width, round_bottom + 10.0);
        let rows_bottom = legend
            .iter()
            .map(|item| item.shape.bounds().1.y)
            .fold(round_bottom, f32::max);
        let mut scene = Scene::new(width, rows_bottom.ceil() + 4.0, &self.title);
        let magnification = self.magnification_shown();
        self.round(&mut scene, centre, radius);
        self.directions_and_notes(&mut scene, centre, radius, magnification);
        scene.items.extend(legend);
        scene
    }

    /// The outlines alone, as small as a stamp: to be seen beside others with the same enlargement.
    pub fn stamp(&self, width: f32) -> Scene {
        let radius = (width / (2.0 * (1.0 + REACH)) - 2.0).max(8.0).floor();
        let side = (2.0 * radius * (1.0 + REACH)).ceil() + 4.0;
        let mut scene = Scene::new(width, side, &self.title);
        let centre = pos((width / 2.0).round(), (side / 2.0).round());
        self.round(&mut scene, centre, radius);
        scene
    }

    /// Tolerance, directions, nominal circle, limits, outlines.
    fn round(&self, scene: &mut Scene, centre: Pos, radius: f32) {
        let magnification = self.magnification_shown();
        let k = f64::from(radius) * f64::from(magnification) / self.nominal_mm.max(1e-6); // px per mm of diameter
        let out = |deviation_mm: f64| (radius + (k * deviation_mm) as f32).max(0.0);

        if let Some(tolerance) = &self.tolerance {
            let (inner, outer) = (out(tolerance.lower_mm), out(tolerance.upper_mm));
            let stroke = Stroke::new((outer - inner).abs(), Token::PassTint);
            scene.add(Shape::Circle {
                centre,
                radius: f32::midpoint(inner, outer),
                fill: None,
                stroke: Some(stroke),
            });
        }
        for direction in 0..8_u8 {
            let deg = 45.0 * f32::from(direction);
            let (from, to) = (
                clock_point(centre, radius * 0.92, deg),
                clock_point(centre, radius * 1.4, deg),
            );
            scene.line(from, to, Stroke::new(1.0, Token::Rule));
        }
        let nominal = Some(Stroke::new(1.0, Token::Edge));
        scene.add(Shape::Circle {
            centre,
            radius,
            fill: None,
            stroke: nominal,
        });
        for limit in &self.limits {
            let radius = out(limit.deviation_mm);
            scene.add(Shape::Circle {
                centre,
                radius,
                fill: None,
                stroke: Some(LIMIT),
            });
        }
        for (i, plane) in self.planes.iter().enumerate().rev() {
            plane_shapes(scene, plane, i, |t, v| clock_point(centre, out(v), t));
        }
    }

    /// The enlargement that is drawn: the one asked for, or the largest that fits, whichever is less.
    pub fn magnification_shown(&self) -> u32 {
        let readings = self
            .planes
            .iter()
            .flat_map(|plane| plane.deviations_mm)
            .flatten();
        let limits = self.limits.iter().map(|limit| limit.deviation_mm);
        let tolerance = self.tolerance.iter().flat_map(|t| [t.lower_mm, t.upper_mm]);
        let largest = readings
            .chain(limits)
            .chain(tolerance)
            .filter(|v| v.is_finite())
            .fold(0.0, |m: f64, v| m.max(v.abs()));
        let room = f64::from(REACH) * self.nominal_mm;
        let fits = |m: &&u32| f64::from(**m) * largest <= room;
        let fitting = MAGNIFICATIONS.iter().rev().find(fits).copied().unwrap_or(1);
        let empty = if largest > 0.0 { fitting } else { 1_000 };
        self.magnification
            .map_or(empty, |asked| asked.clamp(1, empty))
    }

    fn directions_and_notes(
        &self,
        scene: &mut Scene,
        centre: Pos,
        radius: f32,
        magnification: u32,
    ) {
        let places = [
            (0.0, 0.0, Align::Centre),
            (45.0, 4.0, Align::Left),
            (90.0, 2.0, Align::Left),
            (135.0, 4.0, Align::Left),
        ];
        for (words, (deg, right, align)) in self.directions.iter().zip(places) {
            let reach = radius * (1.0 + REACH) + if deg == 0.0 { 6.0 } else { 0.0 };
            let at = clock_point(centre, reach, deg);
            let at = pos(at.x + right, font::baseline(at.y, size::NOTE));
            scene.text(Text::note(at, words, Token::Muted).aligned(align));
        }
        let enlarged = format!(
            "{} × {}",
            self.deviation,
            ticks::in_language(&ticks::number(f64::from(magnification), 0), self.has_comma)
        );
        let lines: Vec<&str> = self
            .notes
            .iter()
            .map(String::as_str)
            .chain([enlarged.as_str()])
            .collect();
        let first = centre.y - 9.0 * (lines.len() - 1) as f32;
        for (i, words) in lines.iter().enumerate() {
            let at = pos(
                centre.x,
                font::baseline(first + 18.0 * i as f32, size::NOTE),
            );
            let words = Text::note(at, words, Token::Muted).aligned(Align::Centre);
            scene.text(words.on(Token::Sheet));
        }
    }

    /// Samples with their words, in as many rows as the width needs.
    fn legend(&self, width: f32, top: f32) -> Vec<Item> {
        let mut entries: Vec<(Sample, &str, Token)> = Vec::new();
        for (i, plane) in self.planes.iter().enumerate() {
            let token = if i == 0 { Token::Ink } else { Token::Muted };
            entries.push((Sample::Line(plane_stroke(i)), &plane.name, token));
        }
        if let Some(tolerance) = &self.tolerance {
            entries.push((Sample::Area, &tolerance.label, Token::Muted));
        }
        for limit in &self.limits {
            entries.push((Sample::Line(LIMIT), &limit.label, Token::Fail));
        }
        let mut scene = Scene::new(width, 0.0, "");
        let (mut x, mut y) = (0.0_f32, top);
        for (sample, words, token) in entries {
            let words_width = font::width(words, size::NOTE, Weight::Regular);
            let entry_width = SAMPLE + 6.0 + words_width;
            if x > 0.0 && x + entry_width > width {
                (x, y) = (0.0, y + LEGEND_ROW);
            }
            let left = x;
            let at = pos(left + SAMPLE + 6.0, font::baseline(y, size::NOTE));
            let text = Text::note(at, words, token);
            let middle = crisp(y, 1.0);
            match sample {
                Sample::Line(stroke) => {
                    scene.line(pos(left, middle), pos(left + SAMPLE, middle), stroke);
                }
                Sample::Area => {
                    scene.add(Shape::Rect {
                        min: pos(left + 2.0, middle - 4.5),
                        max: pos(left + SAMPLE - 2.0, middle + 4.5),
                        corner: 0.0,
                        fill: Some(Token::PassTint),
                        stroke: Some(Stroke::new(1.0, Token::Rule)),
                    });
                }
            }
            x = left + entry_width + 12.0;
            scene.text(text);
        }
        scene.items
    }
}

enum Sample {
    Line(Stroke),
    Area,
}

const LIMIT: Stroke = Stroke::new(1.2, Token::Fail).dashed(5.0, 2.5);

fn plane_stroke(index: usize) -> Stroke {
    match index {
        0 => Stroke::new(2.5, Token::Ink),
        1 => Stroke::new(1.5, Token::Muted),
        2 => Stroke::new(1.5, Token::Muted).dashed(2.0, 3.0),
        _ => Stroke::new(1.5, Token::Muted).dashed(8.0, 3.0),
    }
}

/// The outline of a plane that is complete; dots at the readings of the first plane and of one that
/// is not complete. Every reading answers to a pointer at both ends of its diameter.
fn plane_shapes(scene: &mut Scene, plane: &Plane, index: usize, at: impl Fn(f32, f64) -> Pos) {
    let complete = plane.complete();
    let stroke = plane_stroke(index);
    if let Some(v) = complete {
        let value = outline(v);
        let points = (0..OUTLINE_POINTS).map(|i| {
            let deg = 360.0 * f32::from(i) / f32::from(OUTLINE_POINTS);
            at(deg, value(f64::from(deg).to_radians()))
        });
        scene.add(Shape::Polygon {
            points: points.collect(),
            fill: None,
            stroke: Some(stroke),
        });
    }
    let is_dotted = index == 0 || complete.is_none();
    for (i, deviation) in plane.deviations_mm.iter().enumerate() {
        let Some(v) = deviation.filter(|v| v.is_finite()) else {
            continue;
        };
        for deg in [45.0 * i as f32, 45.0 * i as f32 + 180.0] {
            let fill = is_dotted.then_some(stroke.token);
            let dot = Shape::Circle {
                centre: at(deg, v),
                radius: 3.0,
                fill,
                stroke: None,
            };
            if is_dotted || plane.hits[i].is_some() {
                scene.add_hit(plane.hits[i].as_ref(), [dot]);
            }
        }
    }
}
