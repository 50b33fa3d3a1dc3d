//! How sure a verdict is: the normal curve of a measured value against its limit.

use draw::{Align, Scene, Shape, Stroke, Text, Token, Weight, pos, tokens::size};

const TOP: f32 = 36.0;
const CURVE: f32 = 104.0;
const BASE: f32 = TOP + CURVE;
/// Half the width shown, in standard uncertainties.
const REACH_U: f64 = 4.64;

/// A value with its standard uncertainty, and the limit it is held against. All words are the page's.
#[derive(Clone, Debug)]
pub struct BellModel<'a> {
    /// What was found.
    pub value: f64,
    /// Its standard uncertainty, in the same unit, above 0.
    pub u: f64,
    /// The limit, in the same unit.
    pub limit: f64,
    /// Whether the limit is an upper one.
    pub upper: bool,
    /// Such as `found +0.113`.
    pub found_text: &'a str,
    /// Such as `limit +0.120`.
    pub limit_text: &'a str,
    /// The chance, such as `0.92`.
    pub chance_text: &'a str,
    /// Two short lines under it.
    pub chance_note: [&'a str; 2],
    /// Such as `0.08 beyond`.
    pub beyond_text: &'a str,
    /// Values on the axis with their words.
    pub ticks: &'a [(f64, &'a str)],
    /// The colour of the chance, that of the verdict.
    pub token: Token,
    /// The fill below the curve inside the limit, that of the verdict.
    pub tint: Token,
}

impl BellModel<'_> {
    /// The drawing, 164 high.
    pub fn scene(&self, width: f32) -> Scene {
        let title = format!(
            "Normal curve of the value: {}, {}, {} {}, {}",
            self.found_text,
            self.limit_text,
            self.chance_text,
            self.chance_note.join(" "),
            self.beyond_text
        );
        let mut scene = Scene::new(width, BASE + 24.0, &title);
        let away_u = ((self.limit - self.value) / self.u).abs();
        let reach_u = REACH_U.max(away_u * 1.25); // the limit is always in view
        let scale = f64::from(width) / (2.0 * reach_u);
        let x =
            |value: f64| (f64::from(width) / 2.0 + (value - self.value) / self.u * scale) as f32;
        let y = |px: f32| {
            let t = (f64::from(px) - f64::from(width) / 2.0) / scale;
            BASE - CURVE * (-(t * t) as f32 / 2.0).exp()
        };
        let limit_x = x(self.limit).round();
        self.areas(&mut scene, limit_x, &y);
        let curve = |to: f32| {
            (0..=(to / 2.0) as u16)
                .map(|i| f32::from(i) * 2.0)
                .map(|px| pos(px, y(px)))
        };
        let points = curve(width).collect();
        scene.add(Shape::Polyline {
            points,
            stroke: Stroke::new(1.5, Token::Ink),
        });
        scene.line(
            pos(0.0, BASE + 0.5),
            pos(width, BASE + 0.5),
            Stroke::new(1.0, Token::Ink),
        );
        let found_x = x(self.value).floor() + 0.5;
        scene.line(
            pos(found_x, TOP),
            pos(found_x, BASE),
            Stroke::new(1.0, Token::Ink),
        );
        scene.line(
            pos(limit_x, TOP - 16.0),
            pos(limit_x, BASE + 6.0),
            Stroke::new(2.0, Token::Fail),
        );
        self.axis(&mut scene, width, &x);
        self.words(&mut scene, width, found_x, limit_x);
        scene
    }

    fn areas(&self, scene: &mut Scene, limit_x: f32, y: &impl Fn(f32) -> f32) {
        let width = scene.width;
        let (from, to) = if self.upper {
            (0.0, limit_x)
        } else {
            (limit_x, width)
        };
        let (from, to) = (from.clamp(0.0, width), to.clamp(0.0, width));
        let steps = ((to - from) / 2.0).ceil().max(1.0);
        let top = (0..=steps as u16)
            .map(|i| from + (to - from) * f32::from(i) / steps)
            .map(|px| pos(px, y(px)));
        let points = top.chain([pos(to, BASE), pos(from, BASE)]).collect();
        scene.add(Shape::Polygon {
            points,
            fill: Some(self.tint),
            stroke: None,
        });
        let (from, to) = if self.upper {
            (limit_x, width)
        } else {
            (0.0, limit_x)
        };
        let mut foot = from.max(0.0) - CURVE;
        while foot < to {
            // A hatch line rises at 45 degrees from the axis until it meets the curve.
            let inside = |rise: &f32| {
                let px = foot + rise;
                px >= from && px <= to && BASE - rise >= y(px)
            };
            // Where the curve is hollow the line leaves what is below it and comes back.
            let rises: Vec<f32> = (0..CURVE as u16).map(f32::from).filter(inside).collect();
            for run in rises.chunk_by(|a, b| b - a < 1.5) {
                let (low, high) = (run[0], run[run.len() - 1]);
                if high > low {
                    let stroke = Stroke::new(1.0, Token::Fail);
                    scene.line(
                        pos(foot + low, BASE - low),
                        pos(foot + high, BASE - high),
                        stroke,
                    );
                }
            }
            foot += 4.0;
        }
    }

    fn axis(&self, scene: &mut Scene, width: f32, x: &impl Fn(f64) -> f32) {
        for (value, words) in self.ticks {
            let at = x(*value).floor() + 0.5;
            if at > 0.0 && at < width {
                scene.line(
                    pos(at, BASE),
                    pos(at, BASE + 4.0),
                    Stroke::new(1.0, Token::Muted),
                );
            }
            let half = draw::font::width(words, size::NOTE, Weight::Regular) / 2.0;
            if at >= half && at + half <= width {
                scene.text(
                    Text::note(pos(at, BASE + 20.0), words, Token::Muted).aligned(Align::Centre),
                );
            }
        }
    }

    fn words(&self, scene: &mut Scene, width: f32, found_x: f32, limit_x: f32) {
        let (found, limit) = if self.upper {
            (Align::Right, Align::Left)
        } else {
            (Align::Left, Align::Right)
        };
        let aside = if self.upper { -8.0 } else { 8.0 };
        // A limit far off stands at the edge: its words then go to the other side of it.
        let room = draw::font::width(self.limit_text, size::NOTE, Weight::Semibold) + 8.0;
        let (limit, limit_aside) = match limit {
            Align::Left if limit_x + room > width => (Align::Right, aside),
            Align::Right if limit_x < room => (Align::Left, aside),
            kept => (kept, -aside),
        };
        scene.text(
            Text::note(pos(found_x + aside, TOP - 6.0), self.found_text, Token::Ink)
                .semibold()
                .aligned(found),
        );
        scene.text(
            Text::note(
                pos(limit_x + limit_aside, TOP - 6.0),
                self.limit_text,
                Token::Fail,
            )
            .semibold()
            .aligned(limit),
        );
        let (left, right) = ((0.0, Align::Left), (width, Align::Right));
        let (near, far) = if self.upper {
            (left, right)
        } else {
            (right, left)
        };
        // A limit at the near edge would run through the chance: both then stand at the far one.
        let chance_width = draw::font::width(self.chance_note[0], size::NOTE, Weight::Regular);
        let is_free = (limit_x - near.0).abs() > chance_width + 12.0;
        let ((near, near_end), beyond_y) = if is_free {
            (near, BASE - 24.0)
        } else {
            (far, TOP + 12.0)
        };
        let (far, far_end) = far;
        let chance =
            Text::note(pos(near, TOP + 45.0), self.chance_text, self.token).sized(size::NUMBER);
        scene.text(chance.semibold().aligned(near_end));
        for (line, words) in self.chance_note.iter().enumerate() {
            let at = pos(near, TOP + 66.0 + 16.0 * line as f32);
            scene.text(Text::note(at, words, Token::Muted).aligned(near_end));
        }
        let beyond = Text::note(pos(far, beyond_y), self.beyond_text, Token::Fail);
        scene.text(beyond.semibold().aligned(far_end));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_limit_stays_in_view_however_far_it_is() {
        for (limit, upper) in [(0.120, true), (0.5, true), (-0.3, false)] {
            let bell = BellModel {
                value: 0.113,
                u: 0.005,
                limit,
                upper,
                found_text: "found",
                limit_text: "limit",
                chance_text: "0.92",
                chance_note: ["chance that", "it conforms"],
                beyond_text: "0.08 beyond",
                ticks: &[(0.11, "+0.110")],
                token: Token::Doubt,
                tint: Token::DoubtTint,
            };
            let scene = bell.scene(464.0);
            let line = scene.items.iter().find_map(|item| match &item.shape {
                Shape::Line { from, stroke, .. } if stroke.width == 2.0 => Some(from.x),
                _ => None,
            });
            assert!(
                line.is_some_and(|x| x > 0.0 && x < 464.0),
                "{limit}: {line:?}"
            );
        }
    }
}
