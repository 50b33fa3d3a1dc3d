//! The chock as a clock face seen from the outboard end: the outer ring as it sits, its load zones,
//! the loaded arc, marks of findings, and where the load comes from.

use crate::font;
use crate::scene::{Align, Pos, Scene, Shape, Stroke, Text, arc_points, clock_point, pos};
use crate::tokens::{Token, size};

/// An arc of ring with a meaning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClockMark {
    /// Where it begins, ring degrees.
    pub from_deg: f64,
    /// Where it ends, ring degrees; smaller if it passes 360.
    pub to_deg: f64,
    /// Filled in full (in the load) or only tinted.
    pub is_strong: bool,
}

/// One ring in its chock.
#[derive(Clone, Debug, PartialEq)]
pub struct Clock {
    /// Where the load comes from, clock degrees, 0 at 12 o'clock.
    pub load_deg: f64,
    /// The zone in the load, 0 to 3.
    pub zone_up: usize,
    /// The loaded arc, ring degrees.
    pub loaded: Option<(f64, f64)>,
    /// Findings.
    pub marks: Vec<ClockMark>,
    /// "load".
    pub load: String,
    /// Note beside it, line by line: "as found,", "outboard".
    pub notes: Vec<String>,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

const OUTER: f32 = 74.0;
const INNER: f32 = 54.0;
const ZONES: [&str; 4] = ["I", "II", "III", "IV"];

impl Clock {
    /// The drawing in a given width; its height follows.
    pub fn scene(&self, width: f32) -> Scene {
        let centre = pos((width / 2.0).round(), OUTER + 28.0);
        let mut scene = Scene::new(width, 2.0 * (OUTER + 28.0), &self.title);
        let edge = Some(Stroke::new(1.0, Token::Edge));
        scene.add(Shape::Circle {
            centre,
            radius: OUTER,
            fill: Some(Token::Metal),
            stroke: None,
        });
        if let Some((from, to)) = self.loaded {
            scene.add(self.sector(
                centre,
                [INNER, OUTER],
                (from, to),
                Some(Token::Metal2),
                None,
            ));
        }
        scene.add(Shape::Circle {
            centre,
            radius: INNER,
            fill: Some(Token::Sheet),
            stroke: edge,
        });
        scene.add(Shape::Circle {
            centre,
            radius: OUTER,
            fill: None,
            stroke: edge,
        });
        for mark in &self.marks {
            let arc = (mark.from_deg, mark.to_deg);
            let line = Some(Stroke::new(1.0, Token::Fail));
            scene.add(if mark.is_strong {
                self.sector(
                    centre,
                    [INNER + 4.0, OUTER - 2.0],
                    arc,
                    Some(Token::Fail),
                    None,
                )
            } else {
                self.sector(
                    centre,
                    [OUTER - 12.0, OUTER - 2.0],
                    arc,
                    Some(Token::FailTint),
                    line,
                )
            });
        }
        for (i, zone) in ZONES.iter().enumerate() {
            let middle = 90.0 * i as f64;
            let border = self.clock_deg(middle + 45.0);
            let (from, to) = (
                clock_point(centre, INNER, border),
                clock_point(centre, OUTER, border),
            );
            scene.line(from, to, Stroke::new(1.0, Token::Edge));
            let at = clock_point(centre, INNER - 16.0, self.clock_deg(middle));
            let is_up = i == self.zone_up;
            let text = Text::note(
                pos(at.x, font::baseline(at.y, size::NOTE)),
                zone,
                if is_up { Token::Ink } else { Token::Muted },
            );
            scene.text(if is_up { text.semibold() } else { text }.aligned(Align::Centre));
        }
        self.load_arrow(&mut scene, centre);
        for (i, words) in self.notes.iter().enumerate() {
            scene.text(Text::note(
                pos(0.0, 14.0 + 17.0 * i as f32),
                words,
                Token::Muted,
            ));
        }
        scene
    }

    /// The ring is turned so that the middle of the zone in the load points to the load.
    fn clock_deg(&self, ring_deg: f64) -> f32 {
        (ring_deg - 90.0 * self.zone_up as f64 + self.load_deg) as f32
    }

    fn sector(
        &self,
        centre: Pos,
        radii: [f32; 2],
        arc: (f64, f64),
        fill: Option<Token>,
        stroke: Option<Stroke>,
    ) -> Shape {
        let (from, to) = arc;
        let sweep = if to - from >= 360.0 {
            360.0
        } else {
            (to - from).rem_euclid(360.0)
        };
        let (from, to) = (self.clock_deg(from), self.clock_deg(from + sweep));
        let mut points = arc_points(centre, radii[1], from, to);
        points.extend(arc_points(centre, radii[0], from, to).into_iter().rev());
        Shape::Polygon {
            points,
            fill,
            stroke,
        }
    }

    fn load_arrow(&self, scene: &mut Scene, centre: Pos) {
        let load = self.load_deg as f32;
        let at = |r: f32, off_deg: f32| clock_point(centre, r, load + off_deg);
        scene.line(
            at(OUTER + 22.0, 0.0),
            at(OUTER + 8.0, 0.0),
            Stroke::new(2.0, Token::Ink),
        );
        let points = vec![
            at(OUTER + 4.0, 0.0),
            at(OUTER + 12.0, 3.0),
            at(OUTER + 12.0, -3.0),
        ];
        scene.add(Shape::Polygon {
            points,
            fill: Some(Token::Ink),
            stroke: None,
        });
        let end = at(OUTER + 15.0, 0.0);
        let y = end.y.clamp(10.0, scene.height - 10.0);
        let word = Text::note(
            pos(end.x + 10.0, font::baseline(y, size::NOTE)),
            &self.load,
            Token::Ink,
        );
        // Where the load comes from the side there is no room beside the arrow, but below it.
        let below = Text {
            at: pos(scene.width, word.at.y + 18.0),
            align: Align::Right,
            ..word.clone()
        };
        scene.text(if word.span().1 <= scene.width {
            word
        } else {
            below
        });
    }
}
