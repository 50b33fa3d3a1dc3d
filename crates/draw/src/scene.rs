//! What a drawing is made of: a few flat shapes in order of painting, positions in px, y downwards.

use crate::font::{self, Weight};
pub use crate::geometry::{arc_points, clock_point, crisp, dashes, triangulate};
use crate::tokens::{Theme, Token};

/// A point in px, y downwards.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pos {
    /// To the right.
    pub x: f32,
    /// Downwards.
    pub y: f32,
}

/// Short for a [`Pos`].
pub const fn pos(x: f32, y: f32) -> Pos {
    Pos { x, y }
}

impl Pos {
    fn plus(self, offset: Self) -> Self {
        pos(self.x + offset.x, self.y + offset.y)
    }
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Width, px.
    pub width: f32,
    /// Colour.
    pub token: Token,
    /// Lengths of dash and gap, px; none for a full line.
    pub dash: Option<[f32; 2]>,
}

impl Stroke {
    /// A full line.
    pub const fn new(width: f32, token: Token) -> Self {
        Self {
            width,
            token,
            dash: None,
        }
    }

    /// The same line, dashed.
    #[must_use]
    pub const fn dashed(mut self, dash: f32, gap: f32) -> Self {
        self.dash = Some([dash, gap]);
        self
    }
}

/// Which end of a text stands at its position.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Align {
    /// The text begins there.
    #[default]
    Left,
    /// The text is centred there.
    Centre,
    /// The text ends there.
    Right,
}

/// One line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// The baseline, at the end that `align` names.
    pub at: Pos,
    /// The words; already [`font::readable`].
    pub text: String,
    /// One of [`crate::tokens::size`].
    pub size: f32,
    /// Regular or semibold.
    pub weight: Weight,
    /// What `at` is.
    pub align: Align,
    /// Colour.
    pub token: Token,
    /// A rectangle of this colour goes behind, where lines would cross the words.
    pub backing: Option<Token>,
}

impl Text {
    /// A note in regular weight that begins at the position.
    pub fn note(at: Pos, text: &str, token: Token) -> Self {
        let text = font::readable(text).into_owned();
        let (size, weight, align) = (crate::tokens::size::NOTE, Weight::Regular, Align::Left);
        Self {
            at,
            text,
            size,
            weight,
            align,
            token,
            backing: None,
        }
    }

    /// The same text, placed by another end.
    #[must_use]
    pub fn aligned(mut self, align: Align) -> Self {
        self.align = align;
        self
    }

    /// The same text in semibold.
    #[must_use]
    pub fn semibold(mut self) -> Self {
        self.weight = Weight::Semibold;
        self
    }

    /// The same text in another size.
    #[must_use]
    pub fn sized(mut self, size: f32) -> Self {
        self.size = size;
        self
    }

    /// The same text with a rectangle behind it.
    #[must_use]
    pub fn on(mut self, backing: Token) -> Self {
        self.backing = Some(backing);
        self
    }

    /// Left and right end of the words.
    pub fn span(&self) -> (f32, f32) {
        let width = font::width(&self.text, self.size, self.weight);
        let left = match self.align {
            Align::Left => self.at.x,
            Align::Centre => self.at.x - width / 2.0,
            Align::Right => self.at.x - width,
        };
        (left, left + width)
    }

    /// Corners of the space the words take, which with 2 px more is the backing rectangle.
    pub fn bounds(&self) -> (Pos, Pos) {
        let (left, right) = self.span();
        let (above, below) = font::extent(self.size);
        (pos(left, self.at.y - above), pos(right, self.at.y + below))
    }
}

/// A flat shape.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A straight line.
    Line {
        /// One end.
        from: Pos,
        /// The other end.
        to: Pos,
        /// How it is drawn.
        stroke: Stroke,
    },
    /// An open line through points.
    Polyline {
        /// The points in order.
        points: Vec<Pos>,
        /// How it is drawn.
        stroke: Stroke,
    },
    /// A closed outline, possibly concave; [`triangulate`] serves painters that fill convex ones only.
    Polygon {
        /// The corners in order, the first not repeated.
        points: Vec<Pos>,
        /// Colour inside.
        fill: Option<Token>,
        /// The outline.
        stroke: Option<Stroke>,
    },
    /// A circle.
    Circle {
        /// Its centre.
        centre: Pos,
        /// Its radius, px.
        radius: f32,
        /// Colour inside.
        fill: Option<Token>,
        /// The outline.
        stroke: Option<Stroke>,
    },
    /// A rectangle.
    Rect {
        /// Upper left corner.
        min: Pos,
        /// Lower right corner.
        max: Pos,
        /// Radius of the corners, px.
        corner: f32,
        /// Colour inside.
        fill: Option<Token>,
        /// The outline.
        stroke: Option<Stroke>,
    },
    /// A part of a circle line; angles as on a clock face, 0 upwards, clockwise.
    Arc {
        /// The centre of the circle.
        centre: Pos,
        /// Its radius, px.
        radius: f32,
        /// Where it begins, degrees.
        from_deg: f32,
        /// Where it ends, degrees, beyond `from_deg`.
        to_deg: f32,
        /// How it is drawn.
        stroke: Stroke,
    },
    /// A line of text.
    Text(Text),
}

impl Shape {
    fn moved(&mut self, by: Pos) {
        match self {
            Self::Line { from, to, .. } => (*from, *to) = (from.plus(by), to.plus(by)),
            Self::Polyline { points, .. } | Self::Polygon { points, .. } => {
                for point in points {
                    *point = point.plus(by);
                }
            }
            Self::Circle { centre, .. } | Self::Arc { centre, .. } => *centre = centre.plus(by),
            Self::Rect { min, max, .. } => (*min, *max) = (min.plus(by), max.plus(by)),
            Self::Text(text) => text.at = text.at.plus(by),
        }
    }

    /// Corners of the space the shape takes, without the width of its stroke.
    pub fn bounds(&self) -> (Pos, Pos) {
        match self {
            Self::Line { from, to, .. } => around(&[*from, *to]),
            Self::Polyline { points, .. } | Self::Polygon { points, .. } => around(points),
            Self::Circle { centre, radius, .. } => (
                centre.plus(pos(-radius, -radius)),
                centre.plus(pos(*radius, *radius)),
            ),
            Self::Arc {
                centre,
                radius,
                from_deg,
                to_deg,
                ..
            } => around(&arc_points(*centre, *radius, *from_deg, *to_deg)),
            Self::Rect { min, max, .. } => (*min, *max),
            Self::Text(text) => text.bounds(),
        }
    }
}

/// Something a pointer can find: what to say over it, and a key for what a click opens.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hit {
    /// Given by the caller, who knows what it stands for.
    pub key: u64,
    /// The values shown on hover.
    pub label: String,
}

/// A shape, and what it stands for if a pointer may ask.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// What is drawn.
    pub shape: Shape,
    /// What it stands for.
    pub hit: Option<Hit>,
}

/// A finished drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scene {
    /// Width, px.
    pub width: f32,
    /// Height, px.
    pub height: f32,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
    /// The shapes, first painted first.
    pub items: Vec<Item>,
}

impl Scene {
    /// An empty drawing.
    pub fn new(width: f32, height: f32, title: &str) -> Self {
        Self {
            width,
            height,
            title: title.to_owned(),
            items: Vec::new(),
        }
    }

    /// Adds a shape on top.
    pub fn add(&mut self, shape: Shape) {
        self.items.push(Item { shape, hit: None });
    }

    /// Adds shapes on top.
    pub fn add_all(&mut self, shapes: impl IntoIterator<Item = Shape>) {
        self.items
            .extend(shapes.into_iter().map(|shape| Item { shape, hit: None }));
    }

    /// Adds shapes that answer to a pointer, if a hit is given.
    pub fn add_hit(&mut self, hit: Option<&Hit>, shapes: impl IntoIterator<Item = Shape>) {
        let items = shapes.into_iter().map(|shape| Item {
            shape,
            hit: hit.cloned(),
        });
        self.items.extend(items);
    }

    /// Adds a line.
    pub fn line(&mut self, from: Pos, to: Pos, stroke: Stroke) {
        self.add(Shape::Line { from, to, stroke });
    }

    /// Adds a text.
    pub fn text(&mut self, text: Text) {
        self.add(Shape::Text(text));
    }

    /// Adds another drawing with its upper left corner at `at`.
    pub fn append(&mut self, other: &Self, at: Pos) {
        for item in &other.items {
            let mut item = item.clone();
            item.shape.moved(at);
            self.items.push(item);
        }
    }

    /// What lies under the pointer, topmost first; small marks are given a little room.
    pub fn hit_at(&self, at: Pos) -> Option<&Hit> {
        self.items.iter().rev().find_map(|item| {
            let hit = item.hit.as_ref()?;
            let (min, max) = item.shape.bounds();
            let centre = pos(f32::midpoint(min.x, max.x), f32::midpoint(min.y, max.y));
            let (half_w, half_h) = ((max.x - min.x) / 2.0 + 3.0, (max.y - min.y) / 2.0 + 3.0);
            ((at.x - centre.x).abs() <= half_w.max(8.0)
                && (at.y - centre.y).abs() <= half_h.max(8.0))
            .then_some(hit)
        })
    }

    /// The texts of the drawing, in order of painting.
    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.items.iter().filter_map(|item| match &item.shape {
            Shape::Text(text) => Some(text),
            _ => None,
        })
    }

    /// The drawing as a stand-alone SVG picture in the colours of a theme.
    pub fn to_svg(&self, theme: Theme) -> String {
        crate::svg::write(self, theme)
    }
}

fn around(points: &[Pos]) -> (Pos, Pos) {
    let start = points.first().copied().unwrap_or_default();
    points.iter().fold((start, start), |(min, max), p| {
        (
            pos(min.x.min(p.x), min.y.min(p.y)),
            pos(max.x.max(p.x), max.y.max(p.y)),
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pointer_finds_the_topmost_mark_and_nothing_beside_it() {
        let mut scene = Scene::new(100.0, 100.0, "t");
        let hit = |key| Hit {
            key,
            label: format!("reading {key}"),
        };
        let dot = |x| Shape::Circle {
            centre: pos(x, 50.0),
            radius: 4.0,
            fill: Some(Token::P1),
            stroke: None,
        };
        scene.add_hit(Some(&hit(1)), [dot(50.0)]);
        scene.add_hit(Some(&hit(2)), [dot(54.0)]);
        assert_eq!(scene.hit_at(pos(54.0, 50.0)).map(|h| h.key), Some(2));
        assert_eq!(scene.hit_at(pos(43.0, 50.0)).map(|h| h.key), Some(1));
        assert_eq!(scene.hit_at(pos(70.0, 50.0)), None);
        let mut page = Scene::new(200.0, 200.0, "page");
        page.append(&scene, pos(100.0, 0.0));
        assert_eq!(page.hit_at(pos(154.0, 50.0)).map(|h| h.key), Some(2));
    }
}
