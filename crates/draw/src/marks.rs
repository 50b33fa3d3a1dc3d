//! Small marks used everywhere, also alone: verdict badges, the shapes of row pairs, and the signs
//! the typeface does not have. Each is a list of shapes around a centre.

use crate::scene::{Pos, Scene, Shape, Stroke, pos};
use crate::tokens::Token;

/// A verdict as it is shown; shape and colour say the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mark {
    /// Filled circle with a tick.
    Pass,
    /// Circle in outline with a plus-minus.
    PassInDoubt,
    /// Square in outline with a plus-minus.
    FailInDoubt,
    /// Filled square with a cross.
    Fail,
    /// Dashed circle.
    Missing,
    /// A dash.
    NotApplicable,
}

impl Mark {
    /// Every mark, from good to bad, then those without a verdict.
    pub const ALL: [Self; 6] = [
        Self::Pass,
        Self::PassInDoubt,
        Self::FailInDoubt,
        Self::Fail,
        Self::Missing,
        Self::NotApplicable,
    ];
    /// Width and height of the square every mark fits into, px at scale 1.
    pub const SIZE: f32 = 18.0;

    /// Its colour, and that of the word beside it.
    pub const fn token(self) -> Token {
        match self {
            Self::Pass => Token::Pass,
            Self::PassInDoubt | Self::FailInDoubt => Token::Doubt,
            Self::Fail => Token::Fail,
            Self::Missing => Token::Missing,
            Self::NotApplicable => Token::Na,
        }
    }

    /// The fill of an area that carries this verdict.
    pub const fn tint(self) -> Token {
        match self {
            Self::Pass => Token::PassTint,
            Self::PassInDoubt | Self::FailInDoubt => Token::DoubtTint,
            Self::Fail => Token::FailTint,
            Self::Missing => Token::MissingTint,
            Self::NotApplicable => Token::Sheet,
        }
    }

    /// The badge around a centre; scale 1 stands beside words of 16 px.
    pub fn shapes(self, centre: Pos, scale: f32) -> Vec<Shape> {
        let token = self.token();
        let at = |x: f32, y: f32| pos(centre.x + x * scale, centre.y + y * scale);
        let line = |width: f32, token| Stroke::new(width * scale, token);
        let square = |half: f32, fill, stroke| Shape::Rect {
            min: at(-half, -half),
            max: at(half, half),
            corner: scale,
            fill,
            stroke,
        };
        let circle = |r: f32, fill, stroke| Shape::Circle {
            centre,
            radius: r * scale,
            fill,
            stroke,
        };
        let plus_minus = || {
            let bar = |x1, y1, x2, y2| Shape::Line {
                from: at(x1, y1),
                to: at(x2, y2),
                stroke: line(1.6, token),
            };
            [
                bar(-3.4, -1.2, 3.4, -1.2),
                bar(0.0, -4.4, 0.0, 2.0),
                bar(-3.4, 4.0, 3.4, 4.0),
            ]
        };
        match self {
            Self::Pass => {
                let points = vec![at(-3.6, 0.2), at(-1.0, 2.9), at(3.8, -2.7)];
                let tick = Shape::Polyline {
                    points,
                    stroke: line(2.0, Token::OnAccent),
                };
                vec![circle(8.0, Some(token), None), tick]
            }
            Self::Fail => {
                let bar = |x: f32, y: f32| Shape::Line {
                    from: at(-x, -y),
                    to: at(x, y),
                    stroke: line(2.0, Token::OnAccent),
                };
                vec![
                    square(7.5, Some(token), None),
                    bar(3.0, 3.0),
                    bar(3.0, -3.0),
                ]
            }
            Self::PassInDoubt => std::iter::once(circle(7.2, None, Some(line(1.6, token))))
                .chain(plus_minus())
                .collect(),
            Self::FailInDoubt => std::iter::once(square(6.7, None, Some(line(1.6, token))))
                .chain(plus_minus())
                .collect(),
            Self::Missing => vec![circle(
                7.2,
                None,
                Some(line(1.6, token).dashed(3.4 * scale, 2.9 * scale)),
            )],
            Self::NotApplicable => vec![Shape::Line {
                from: at(-7.0, 0.0),
                to: at(7.0, 0.0),
                stroke: line(2.0, token),
            }],
        }
    }
}

/// Two neighbouring rows of rollers with the spacer between them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Pair {
    /// Rows 1 and 2: a dot.
    P1,
    /// Rows 2 and 3: a square.
    P2,
    /// Rows 3 and 4: a triangle.
    P3,
}

impl Pair {
    /// The pairs in the order of measuring.
    pub const ALL: [Self; 3] = [Self::P1, Self::P2, Self::P3];

    /// 0, 1 or 2.
    pub const fn index(self) -> usize {
        match self {
            Self::P1 => 0,
            Self::P2 => 1,
            Self::P3 => 2,
        }
    }

    /// Its colour.
    pub const fn token(self) -> Token {
        match self {
            Self::P1 => Token::P1,
            Self::P2 => Token::P2,
            Self::P3 => Token::P3,
        }
    }

    /// The fill of what belongs to it.
    pub const fn tint(self) -> Token {
        match self {
            Self::P1 => Token::P1Tint,
            Self::P2 => Token::P2Tint,
            Self::P3 => Token::P3Tint,
        }
    }

    /// Its shape, about `size` px wide (10 beside words, 9 in plots).
    pub fn shapes(self, centre: Pos, size: f32) -> Vec<Shape> {
        let fill = Some(self.token());
        let half = size / 2.0;
        let at = |x: f32, y: f32| pos(centre.x + x * half, centre.y + y * half);
        vec![match self {
            Self::P1 => Shape::Circle {
                centre,
                radius: half,
                fill,
                stroke: None,
            },
            Self::P2 => Shape::Rect {
                min: at(-0.9, -0.9),
                max: at(0.9, 0.9),
                corner: 0.0,
                fill,
                stroke: None,
            },
            Self::P3 => {
                let points = vec![at(0.0, -1.1), at(1.1, 0.9), at(-1.1, 0.9)];
                Shape::Polygon {
                    points,
                    fill,
                    stroke: None,
                }
            }
        }]
    }
}

/// Where an arrow points.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Towards {
    /// Up.
    Up,
    /// Right.
    Right,
    /// Down.
    Down,
    /// Left.
    Left,
}

/// A sign the typeface does not have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Glyph {
    /// Done.
    Tick,
    /// Remove, close.
    Cross,
    /// An arrow with a shaft.
    Arrow(Towards),
    /// An open angle, as for "back" or for a list that folds.
    Chevron(Towards),
    /// A small filled triangle: the next field in the order of measuring, the open section.
    Step(Towards),
    /// Caution: a triangle with an exclamation mark.
    Warning,
    /// Find.
    Search,
    /// Diameter.
    Diameter,
    /// An amendment in a list of events.
    Amended,
    /// An event.
    Event,
    /// The first event.
    First,
    /// A regrind: a line with a wedge on top.
    Regrind,
}

impl Glyph {
    /// One of each, arrows to the right.
    pub const ALL: [Self; 12] = [
        Self::Tick,
        Self::Cross,
        Self::Arrow(Towards::Right),
        Self::Chevron(Towards::Right),
        Self::Step(Towards::Right),
        Self::Warning,
        Self::Search,
        Self::Diameter,
        Self::Amended,
        Self::Event,
        Self::First,
        Self::Regrind,
    ];

    /// The sign in a square of `size` px around a centre (16 beside body text, 24 in a caution).
    pub fn shapes(self, centre: Pos, size: f32, token: Token) -> Vec<Shape> {
        let unit = size / 16.0;
        let at = |x: f32, y: f32| pos(centre.x + x * unit, centre.y + y * unit);
        let stroke = Stroke::new((1.6 * unit).max(1.0), token);
        let bold = Stroke::new((2.0 * unit).max(1.0), token);
        let line = |x1, y1, x2, y2| Shape::Line {
            from: at(x1, y1),
            to: at(x2, y2),
            stroke,
        };
        let open = |points: Vec<Pos>| Shape::Polyline {
            points,
            stroke: bold,
        };
        let solid = |points: Vec<Pos>| Shape::Polygon {
            points,
            fill: Some(token),
            stroke: None,
        };
        let circle = |x: f32, y: f32, r: f32, filled: bool| Shape::Circle {
            centre: at(x, y),
            radius: r * unit,
            fill: filled.then_some(token),
            stroke: (!filled).then_some(stroke),
        };
        let turned = |to: Towards, x: f32, y: f32| match to {
            Towards::Right => at(x, y),
            Towards::Left => at(-x, -y),
            Towards::Down => at(-y, x),
            Towards::Up => at(y, -x),
        };
        match self {
            Self::Tick => vec![open(vec![at(-6.0, 0.3), at(-1.9, 4.4), at(6.2, -4.6)])],
            Self::Cross => vec![line(-5.0, -5.0, 5.0, 5.0), line(-5.0, 5.0, 5.0, -5.0)],
            Self::Arrow(to) => {
                let shaft = vec![turned(to, -8.0, 0.0), turned(to, 3.0, 0.0)];
                let head = vec![
                    turned(to, 8.0, 0.0),
                    turned(to, 2.0, 3.0),
                    turned(to, 2.0, -3.0),
                ];
                vec![
                    Shape::Polyline {
                        points: shaft,
                        stroke: Stroke::new(1.2 * unit, token),
                    },
                    solid(head),
                ]
            }
            Self::Chevron(to) => vec![open(vec![
                turned(to, -3.2, -6.4),
                turned(to, 3.2, 0.0),
                turned(to, -3.2, 6.4),
            ])],
            Self::Step(to) => vec![solid(vec![
                turned(to, 5.0, 0.0),
                turned(to, -5.0, 8.0),
                turned(to, -5.0, -8.0),
            ])],
            Self::Warning => {
                let points = vec![at(0.0, -7.0), at(7.8, 6.6), at(-7.8, 6.6)];
                let edge = Shape::Polygon {
                    points,
                    fill: None,
                    stroke: Some(stroke),
                };
                let bar = Shape::Line {
                    from: at(0.0, -2.6),
                    to: at(0.0, 2.4),
                    stroke: bold,
                };
                vec![edge, bar, circle(0.0, 4.5, 1.1, true)]
            }
            Self::Search => {
                let handle = Shape::Line {
                    from: at(2.2, 2.2),
                    to: at(7.0, 7.0),
                    stroke: bold,
                };
                vec![circle(-1.4, -1.4, 5.0, false), handle]
            }
            Self::Diameter => vec![circle(0.0, 0.0, 5.4, false), line(-6.8, 6.8, 6.8, -6.8)],
            Self::Amended => {
                let points = vec![at(0.0, -6.0), at(6.0, 0.0), at(0.0, 6.0), at(-6.0, 0.0)];
                vec![Shape::Polygon {
                    points,
                    fill: None,
                    stroke: Some(stroke),
                }]
            }
            Self::Event => vec![circle(0.0, 0.0, 5.4, true)],
            Self::First => vec![circle(0.0, 0.0, 4.6, false)],
            Self::Regrind => {
                vec![
                    solid(vec![at(-5.0, -8.0), at(5.0, -8.0), at(0.0, -1.0)]),
                    line(0.0, -2.0, 0.0, 8.0),
                ]
            }
        }
    }
}

/// Shapes alone in a square picture, for a printed sheet; the title says what they mean.
pub fn alone(shapes: impl FnOnce(Pos) -> Vec<Shape>, size: f32, title: &str) -> Scene {
    let mut scene = Scene::new(size, size, title);
    scene.add_all(shapes(pos(size / 2.0, size / 2.0)));
    scene
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fits(shapes: &[Shape], half: f32) -> bool {
        shapes.iter().all(|shape| {
            let (min, max) = shape.bounds();
            min.x >= -half && min.y >= -half && max.x <= half && max.y <= half
        })
    }

    #[test]
    fn every_badge_differs_from_the_others_in_shape_and_fits_its_square() {
        let drawn: Vec<Vec<Shape>> = Mark::ALL
            .iter()
            .map(|mark| mark.shapes(Pos::default(), 1.0))
            .collect();
        for (i, shapes) in drawn.iter().enumerate() {
            assert!(
                !shapes.is_empty() && fits(shapes, Mark::SIZE / 2.0),
                "{:?}",
                Mark::ALL[i]
            );
            assert!(
                !drawn[..i].contains(shapes),
                "{:?} looks like another",
                Mark::ALL[i]
            );
        }
    }

    #[test]
    fn every_sign_fits_the_square_it_was_given() {
        for glyph in Glyph::ALL {
            let shapes = glyph.shapes(Pos::default(), 16.0, Token::Ink);
            assert!(!shapes.is_empty() && fits(&shapes, 8.01), "{glyph:?}");
        }
        for pair in Pair::ALL {
            assert!(fits(&pair.shapes(Pos::default(), 10.0), 5.6), "{pair:?}");
        }
    }

    #[test]
    fn an_arrow_turned_points_where_it_says() {
        let tip = |to| match &Glyph::Step(to).shapes(Pos::default(), 16.0, Token::Ink)[0] {
            Shape::Polygon { points, .. } => points[0],
            other => panic!("{other:?}"),
        };
        assert!(tip(Towards::Right).x > 0.0 && tip(Towards::Left).x < 0.0);
        assert!(tip(Towards::Up).y < 0.0 && tip(Towards::Down).y > 0.0);
    }
}
