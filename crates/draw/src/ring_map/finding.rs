//! How a finding is drawn on its row.

use super::{FindingKind, FindingState, RingFinding, RingLayout, pieces_of};
use crate::scene::{Pos, Shape, Stroke, crisp, pos};
use crate::tokens::Token;

/// Lines inside a mark at roller pitch stand this far apart: a sign, not a count of rollers.
const PITCH_DEG: f64 = 6.0;

impl RingFinding {
    /// The colour of its words.
    pub(super) fn token(&self) -> Token {
        match self.state {
            FindingState::Earlier => Token::Missing,
            FindingState::Found => Token::Ink,
            FindingState::Edited => Token::Accent,
        }
    }
    pub(super) fn shapes(&self, layout: &RingLayout) -> Vec<Shape> {
        let (top, height) = (layout.top_of(self.row), layout.row_height);
        let inset = if self.state == FindingState::Edited {
            2.0
        } else {
            5.0
        };
        let (y0, y1) = (
            crisp(top + inset, 1.0),
            crisp(top + height - inset - 1.0, 1.0),
        );
        let (token, width) = match (self.state, self.kind) {
            (FindingState::Earlier, _) => (Token::Missing, 1.0),
            (FindingState::Edited, _) => (Token::Accent, 2.0),
            (FindingState::Found, FindingKind::Spalls) => (Token::Fail, 1.0),
            (FindingState::Found, _) => (Token::Ink, 1.0),
        };
        let is_earlier = self.state == FindingState::Earlier;
        let pen = Stroke::new(width, token);
        let pen = if is_earlier {
            pen.dashed(4.0, 3.0)
        } else {
            pen
        };
        let mut shapes = Vec::new();
        for (from, to) in pieces_of(self.from_deg, self.to_deg) {
            let (left, right) = (
                crisp(layout.x_of(from), width),
                crisp(layout.x_of(to).max(layout.x_of(from) + 3.0), width),
            );
            let fill = (self.kind == FindingKind::Spalls).then_some(Token::FailTint);
            let (min, max) = (pos(left, y0), pos(right.min(layout.right), y1));
            shapes.push(Shape::Rect {
                min,
                max,
                corner: 0.0,
                fill,
                stroke: Some(pen),
            });
            match self.kind {
                FindingKind::AtRollerPitch => {
                    let count = (((to - from) / PITCH_DEG).ceil() as u16).saturating_sub(1);
                    shapes.extend((1..=count).map(|i| {
                        let x = crisp(layout.x_of(from + PITCH_DEG * f64::from(i)), 1.0);
                        Shape::Line {
                            from: pos(x, y0),
                            to: pos(x, y1),
                            stroke: Stroke { width: 1.0, ..pen },
                        }
                    }));
                }
                FindingKind::Spalls => shapes.extend(dots(min, max, is_earlier)),
                FindingKind::Area => {}
            }
        }
        if self.state == FindingState::Edited {
            let middle = top + height / 2.0;
            let pieces = pieces_of(self.from_deg, self.to_deg);
            let ends = [
                pieces.first().map(|piece| piece.0),
                pieces.last().map(|piece| piece.1),
            ];
            for deg in ends.into_iter().flatten() {
                let x = crisp(layout.x_of(deg).min(layout.right - 4.0), 2.0);
                let (min, max) = (
                    pos(x - 4.0, middle.round() - 10.0),
                    pos(x + 4.0, middle.round() + 10.0),
                );
                shapes.push(Shape::Rect {
                    min,
                    max,
                    corner: 2.0,
                    fill: Some(Token::Sheet),
                    stroke: Some(pen),
                });
            }
        }
        shapes
    }
}

/// Dots strewn evenly but not in rows, the same for the same box.
fn dots(min: Pos, max: Pos, is_earlier: bool) -> Vec<Shape> {
    let (width, height) = (max.x - min.x - 8.0, max.y - min.y - 8.0);
    if width <= 0.0 || height <= 0.0 {
        return Vec::new();
    }
    let count = (width * height / 110.0).clamp(1.0, 60.0) as u16;
    let fill = Some(if is_earlier {
        Token::Missing
    } else {
        Token::Fail
    });
    (0..count)
        .map(|i| {
            // Steps of the golden ratio leave no two dots close (equidistribution of multiples of an irrational).
            let (x, y) = (
                (f32::from(i) + 0.5) / f32::from(count),
                (0.35 + 0.618_034 * f32::from(i)).fract(),
            );
            let radius = 2.4 + 1.2 * (0.755 * f32::from(i)).fract();
            let centre = pos(min.x + 4.0 + width * x, min.y + 4.0 + height * y);
            Shape::Circle {
                centre,
                radius,
                fill,
                stroke: None,
            }
        })
        .collect()
}
