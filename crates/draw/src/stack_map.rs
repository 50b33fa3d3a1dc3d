//! Half section of a four-row tapered roller bearing, to scale, with the places of its spacers.

use crate::font::{self, Weight};
use crate::hatch::{Lean, hatch};
use crate::marks::{Glyph, Pair, Towards};
use crate::scene::{Align, Hit, Pos, Scene, Shape, Stroke, Text, crisp, pos};
use crate::tokens::{Token, size, space};

/// What the drawing shows of one row pair and its place.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PairNote {
    /// What is measured here, "gap 1".
    pub name: String,
    /// The value, "23.372"; "not read" if there is none.
    pub value: String,
    /// Whether the value is a measured one; others are set in grey.
    pub is_read: bool,
    /// What else belongs to the value, "from 2 of 4 places"; may be empty.
    pub note: String,
    /// What the place answers to a pointer.
    pub hit: Option<Hit>,
}

/// The stack: only these sizes are the type's own, the profile between them is drawn in proportion.
#[derive(Clone, Debug, PartialEq)]
pub struct StackMap {
    /// Bore of the inner rings, mm.
    pub bore_mm: f64,
    /// Outside diameter of the outer rings, mm.
    pub outside_mm: f64,
    /// Width over all, mm.
    pub width_mm: f64,
    /// Widths of spacers S1 (outer rings), S2 (inner rings), S3 (outer rings), mm.
    pub spacers_mm: [f64; 3],
    /// The pair being measured.
    pub lit: Option<Pair>,
    /// Pairs 1-2, 2-3, 3-4.
    pub pairs: [PairNote; 3],
    /// The word for the side of the barrel, left.
    pub barrel: String,
    /// The word for the outboard side, right.
    pub outboard: String,
    /// Note below, left: "half section, to scale".
    pub note_left: String,
    /// Note below, right: "mm, at 20 °C".
    pub note_right: String,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

/// The four rows, A and B, and what lies between, in the proportions of the drawing of 336 mm width.
const INNER: [(f64, f64); 12] = [
    (0.0, 240.0),
    (0.0, 265.0),
    (13.0, 265.0),
    (13.0, 262.0),
    (59.0, 270.5),
    (59.0, 277.0),
    (94.0, 277.0),
    (94.0, 270.5),
    (140.0, 262.0),
    (140.0, 265.0),
    (153.0, 265.0),
    (153.0, 240.0),
];
const ROLLER: [(f64, f64); 4] = [(13.0, 262.0), (59.0, 270.5), (59.0, 300.5), (13.0, 289.0)];
const INNER_WIDTH: f64 = 153.0;
/// Share of one outer single ring in the width of all outer rings.
const OUTER_SHARE: f64 = 68.0 / 288.0;
/// How far the raceway of the double outer ring reaches past its rollers, as the inner ring is scaled.
const RACEWAY_PAST: f64 = 10.0;
const PROFILE_BORE_R: f64 = 240.0;
const PROFILE_HEIGHT: f64 = 70.0;
/// Radial height of the places of spacers, in the profile: outer S1 and S3, inner S2.
const OUTER_PLACE_R: f64 = 302.4;
const INNER_PLACE_R: f64 = 258.0;
/// Clear strip between rollers and rings, so that both outlines can be seen, mm of the profile.
const ROLLER_INSET: f64 = 0.55;

const SIDE: f32 = 26.0;
const TOP: f32 = 42.0;
const BELOW: f32 = 46.0;
const DIMENSION_OFF: f32 = 12.0;
const HATCH_PITCH: f32 = 7.0;

/// A corner in mm: along the axis from the barrel side, and from the axis outwards.
type Corner = (f64, f64);

/// The parts of the stack in mm.
#[derive(Debug)]
struct Section {
    inner: [Vec<Corner>; 2],
    outer: [Vec<Corner>; 3],
    rollers: [Vec<Corner>; 4],
    places: [[Corner; 2]; 3],
}

impl StackMap {
    /// The drawing in a given width; its height follows from the scale.
    pub fn scene(&self, width: f32) -> Scene {
        let Some(section) = self.section() else {
            let mut scene = Scene::new(width, TOP + BELOW, &self.title);
            scene.text(Text::note(pos(SIDE, TOP), &self.note_left, Token::Muted));
            return scene;
        };
        let scale = self.scale(width);
        let x0 = ((width - self.width_mm as f32 * scale) / 2.0).round();
        let bottom = TOP + ((self.outside_mm - self.bore_mm) / 2.0) as f32 * scale;
        let mut scene = Scene::new(width, (bottom + BELOW).ceil(), &self.title);
        let place = |(z, r): Corner| {
            pos(
                x0 + z as f32 * scale,
                TOP + (self.outside_mm / 2.0 - r) as f32 * scale,
            )
        };
        let outline = |part: &[Corner], stroke: f32| -> Vec<Pos> {
            let snap = |p: Pos| pos(crisp(p.x, stroke), crisp(p.y, stroke));
            part.iter().map(|&corner| snap(place(corner))).collect()
        };
        let rings = section.outer.iter().map(|ring| (ring, Lean::Backslash));
        for (ring, lean) in rings.chain(section.inner.iter().map(|ring| (ring, Lean::Slash))) {
            metal(&mut scene, outline(ring, 1.0), lean);
        }
        for (i, roller) in section.rollers.iter().enumerate() {
            let lit = self
                .lit
                .filter(|pair| i == pair.index() || i == pair.index() + 1);
            let points = outline(roller, if lit.is_some() { 2.0 } else { 1.0 });
            self::roller(&mut scene, points, i + 1, lit);
        }
        for pair in Pair::ALL {
            let corners = section.places[pair.index()].map(place);
            self.place(&mut scene, pair, corners);
        }
        self.words(
            &mut scene,
            x0,
            bottom,
            section
                .places
                .map(|[a, b]| f32::midpoint(place(a).x, place(b).x)),
        );
        scene
    }

    /// px per mm, as large as the width allows.
    fn scale(&self, width: f32) -> f32 {
        ((width - 2.0 * SIDE) / self.width_mm as f32).max(0.1)
    }

    /// The parts in mm; none if the sizes cannot be those of such a bearing.
    fn section(&self) -> Option<Section> {
        let [s1, s2, s3] = self.spacers_mm;
        let sizes = [self.bore_mm, self.outside_mm, self.width_mm, s1, s2, s3];
        let inner_width = (self.width_mm - s2) / 2.0;
        let single = (self.width_mm - s1 - s3) * OUTER_SHARE;
        let (stretch, reach) = (
            inner_width / INNER_WIDTH,
            (self.outside_mm - self.bore_mm) / 2.0,
        );
        let roller_end = stretch * ROLLER[1].0;
        let fits = single > roller_end && single + s1.max(s3) < inner_width - roller_end;
        if sizes.iter().any(|v| !v.is_finite() || *v <= 0.0) || reach <= 0.0 || !fits {
            return None;
        }
        let radius = |r: f64| self.bore_mm / 2.0 + (r - PROFILE_BORE_R) / PROFILE_HEIGHT * reach;
        let inner_a: Vec<Corner> = INNER
            .iter()
            .map(|&(z, r)| (z * stretch, radius(r)))
            .collect();
        let inner_b = inner_a
            .iter()
            .map(|&(z, r)| (z + inner_width + s2, r))
            .collect();

        let inset = ROLLER_INSET / PROFILE_HEIGHT * reach;
        let row1: Vec<Corner> = ROLLER
            .iter()
            .enumerate()
            .map(|(i, &(z, r))| (z * stretch, radius(r) + if i < 2 { inset } else { -inset }))
            .collect();
        let mirrored = |row: &[Corner], about: f64| {
            row.iter()
                .map(|&(z, r)| (2.0 * about - z, r))
                .collect::<Vec<_>>()
        };
        let row2 = mirrored(&row1, inner_width / 2.0);
        let middle = self.width_mm / 2.0;
        let (row3, row4) = (mirrored(&row2, middle), mirrored(&row1, middle));

        // The raceways of the outer rings are the outer sides of the rollers, drawn out.
        let slope =
            (radius(ROLLER[2].1) - radius(ROLLER[3].1)) / (stretch * (ROLLER[2].0 - ROLLER[3].0));
        let raceway1 = |z: f64| radius(ROLLER[3].1) + slope * (z - stretch * ROLLER[3].0);
        let raceway2 = |z: f64| raceway1(inner_width - z);
        let top = self.outside_mm / 2.0;
        let outer_a = vec![
            (0.0, top),
            (0.0, raceway1(0.0)),
            (single, raceway1(single)),
            (single, top),
        ];
        let outer_c = mirrored(&outer_a, middle);
        let (from, to) = (single + s1, self.width_mm - single - s3);
        let flat = inner_width - stretch * (ROLLER[3].0 - RACEWAY_PAST);
        let outer_b = vec![
            (from, top),
            (from, raceway2(from)),
            (flat, raceway2(flat)),
            (self.width_mm - flat, raceway2(flat)),
            (to, raceway2(self.width_mm - to)),
            (to, top),
        ];
        let (outer_r, inner_r) = (radius(OUTER_PLACE_R), radius(INNER_PLACE_R));
        let places = [
            [(single, top), (single + s1, outer_r)],
            [
                (inner_width, inner_r),
                (inner_width + s2, self.bore_mm / 2.0),
            ],
            [(to, top), (to + s3, outer_r)],
        ];
        Some(Section {
            inner: [inner_a, inner_b],
            outer: [outer_a, outer_b, outer_c],
            rollers: [row1, row2, row3, row4],
            places,
        })
    }

    /// The place of a spacer with its dimension, outside the rings.
    fn place(&self, scene: &mut Scene, pair: Pair, [min, max]: [Pos; 2]) {
        let is_lit = self.lit == Some(pair);
        let width = if is_lit { 2.0 } else { 1.0 };
        let snap = |p: Pos| pos(crisp(p.x, width), crisp(p.y, width));
        let (min, max) = (snap(min), snap(max));
        let stroke = Stroke::new(width, pair.token());
        let stroke = if is_lit {
            stroke
        } else {
            stroke.dashed(4.0, 3.0)
        };
        let fill = Some(if is_lit { pair.tint() } else { Token::Sheet });
        let hit = self.pairs[pair.index()].hit.as_ref();
        scene.add_hit(
            hit,
            [Shape::Rect {
                min,
                max,
                corner: 0.0,
                fill,
                stroke: Some(stroke),
            }],
        );

        let (y, end) = if pair == Pair::P2 {
            (crisp(max.y + DIMENSION_OFF, 1.0), max.y)
        } else {
            (crisp(min.y - DIMENSION_OFF, 1.0), min.y)
        };
        let beyond = y + (y - end).signum() * 5.0;
        let thin = Stroke::new(1.0, pair.token());
        let (left, right) = (crisp(min.x, 1.0), crisp(max.x, 1.0));
        for x in [left, right] {
            scene.line(pos(x, end + (y - end).signum() * 2.0), pos(x, beyond), thin);
        }
        scene.line(pos(left, y), pos(right, y), thin);
        for (tip, inwards) in [(left, 6.0), (right, -6.0)] {
            let points = vec![
                pos(tip, y),
                pos(tip + inwards, y - 2.5),
                pos(tip + inwards, y + 2.5),
            ];
            scene.add(Shape::Polygon {
                points,
                fill: Some(pair.token()),
                stroke: None,
            });
        }
    }

    /// Everything that is written: values at their places, sides, notes. What does not fit beside a
    /// value gives way to it.
    fn words(&self, scene: &mut Scene, x0: f32, bottom: f32, centres: [f32; 3]) {
        let (left, right) = (x0, scene.width - x0);
        let above = TOP - 25.0;
        let below = bottom + 38.0;
        let mut taken = Vec::new();
        for pair in Pair::ALL {
            let y = if pair == Pair::P2 { below } else { above };
            let line = self.value_line(pair, centres[pair.index()], y, scene.width);
            taken.extend(line.iter().map(Text::bounds));
            let hit = self.pairs[pair.index()].hit.as_ref();
            scene.add_hit(hit, line.into_iter().map(Shape::Text));
        }
        let arrow = |scene: &mut Scene, x: f32, to: Towards| {
            scene.add_all(Glyph::Arrow(to).shapes(pos(x, above - 4.5), 20.0, Token::Muted));
        };
        let clear = |text: &Text, room: f32| {
            let (from, to) = text.span();
            taken.iter().all(|(min, max)| {
                (min.y - text.at.y).abs() > 20.0
                    || max.x + 8.0 < from - room
                    || min.x - 8.0 > to + room
            })
        };
        let barrel = Text::note(pos(left + 30.0, above), &self.barrel, Token::Muted);
        if !self.barrel.is_empty() && clear(&barrel, 0.0) {
            arrow(scene, left + 11.0, Towards::Left);
            scene.text(barrel);
        }
        let outboard = Text::note(pos(right - 30.0, above), &self.outboard, Token::Muted)
            .aligned(Align::Right);
        if !self.outboard.is_empty() && clear(&outboard, 0.0) {
            arrow(scene, right - 11.0, Towards::Right);
            scene.text(outboard);
        }
        let notes = [
            (left, &self.note_left, Align::Left),
            (right, &self.note_right, Align::Right),
        ];
        for (x, words, align) in notes {
            let note = Text::note(pos(x, below), words, Token::Muted).aligned(align);
            if !words.is_empty() && clear(&note, 0.0) {
                scene.text(note);
            }
        }
    }

    /// Name, value and note of a pair in one line, centred on its place but inside the drawing.
    fn value_line(&self, pair: Pair, centre: f32, y: f32, width: f32) -> Vec<Text> {
        let note = &self.pairs[pair.index()];
        let token = if note.is_read {
            pair.token()
        } else {
            Token::Muted
        };
        let weight = if note.is_read {
            Weight::Semibold
        } else {
            Weight::Regular
        };
        let parts = [
            (&note.name, Token::Muted, Weight::Regular),
            (&note.value, token, weight),
            (&note.note, Token::Muted, Weight::Regular),
        ];
        let parts: Vec<_> = parts
            .into_iter()
            .filter(|(words, ..)| !words.is_empty())
            .collect();
        let total: f32 = parts
            .iter()
            .map(|(words, _, weight)| font::width(words, size::BODY, *weight))
            .sum();
        let total = total + space::S * parts.len().saturating_sub(1) as f32;
        let mut x = (centre - total / 2.0).min(width - total - 2.0).max(2.0);
        let mut line = Vec::new();
        for (words, token, weight) in parts {
            let mut text = Text::note(pos(x, y), words, token).sized(size::BODY);
            text.weight = weight;
            x = text.span().1 + space::S;
            line.push(text);
        }
        line
    }
}

/// The long and short dashes of an axis.
fn chain_line(scene: &mut Scene, from: Pos, to: Pos, stroke: Stroke) {
    let length = libm::hypotf(to.x - from.x, to.y - from.y);
    let at = |run: f32| {
        let share = (run / length.max(0.1)).min(1.0);
        pos(
            from.x + (to.x - from.x) * share,
            from.y + (to.y - from.y) * share,
        )
    };
    let mut run = 0.0;
    for dash in [12.0, 2.0].into_iter().cycle() {
        if run >= length {
            break;
        }
        scene.line(at(run), at(run + dash), stroke);
        run += dash + 3.5;
    }
}

/// A cut ring: filled, hatched, outlined.
pub(crate) fn metal(scene: &mut Scene, points: Vec<Pos>, lean: Lean) {
    scene.add(Shape::Polygon {
        points: points.clone(),
        fill: Some(Token::Metal),
        stroke: None,
    });
    for [from, to] in hatch(&points, HATCH_PITCH, lean) {
        scene.line(from, to, Stroke::new(1.0, Token::Rule));
    }
    scene.add(Shape::Polygon {
        points,
        fill: None,
        stroke: Some(Stroke::new(1.0, Token::Edge)),
    });
}

/// A roller with its axis and the number of its row; corners begin at the barrel side below, against the clock.
pub(crate) fn roller(scene: &mut Scene, points: Vec<Pos>, row: usize, lit: Option<Pair>) {
    let between = |a: Pos, b: Pos| pos(f32::midpoint(a.x, b.x), f32::midpoint(a.y, b.y));
    let (near, far) = (between(points[0], points[3]), between(points[1], points[2]));
    let (fill, token, width) = match lit {
        Some(pair) => (pair.tint(), pair.token(), 2.0),
        None => (Token::Sheet, Token::Edge, 1.0),
    };
    scene.add(Shape::Polygon {
        points,
        fill: Some(fill),
        stroke: Some(Stroke::new(width, token)),
    });
    let grow = 6.0 / libm::hypotf(far.x - near.x, far.y - near.y).max(1.0);
    let out = |a: Pos, b: Pos| pos(a.x - (b.x - a.x) * grow, a.y - (b.y - a.y) * grow);
    let axis_token = lit.map_or(Token::Edge, Pair::token);
    chain_line(
        scene,
        out(near, far),
        out(far, near),
        Stroke::new(1.0, axis_token),
    );
    let centre = between(near, far);
    let token = lit.map_or(Token::Muted, Pair::token);
    let at = pos(centre.x, font::baseline(centre.y, size::BODY));
    let number = Text::note(at, &row.to_string(), token)
        .sized(size::BODY)
        .semibold();
    scene.text(number.aligned(Align::Centre).on(fill));
}
