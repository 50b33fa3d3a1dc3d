//! Half section of a roll-neck bearing of any kind, to scale, from the sizes of its type as far as they are typed. A
//! size that is not typed yet is assumed in the proportions of its kind, drawn and said so.

use crate::hatch::Lean;
use crate::marks::Pair;
use crate::scene::{Align, Pos, Scene, Shape, Stroke, Text, crisp, pos};
use crate::stack_map::{PairNote, StackMap, metal, roller};
use crate::tokens::{Token, size};

/// How a bearing is built.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Build {
    /// Four rows of tapered rollers, with spacers between the rings.
    FourRowTapered,
    /// Four rows of cylindrical rollers.
    FourRowCylindrical,
    /// Its inner half alone.
    InnerHalf,
    /// Two rows of spherical rollers.
    TwoRowSpherical,
    /// Two rows between washers, for axial load.
    TwoRowThrust,
}

/// What is known of a type, mm; none where it is not typed, or makes no sense.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sizes {
    /// Bore.
    pub bore_mm: Option<f64>,
    /// Outside diameter.
    pub outside_mm: Option<f64>,
    /// Width over all.
    pub width_mm: Option<f64>,
    /// Spacers S1 to S3, of a four-row tapered bearing.
    pub spacers_mm: [Option<f64>; 3],
}

/// A section.
#[derive(Clone, Debug, PartialEq)]
pub struct BearingSection {
    /// How it is built.
    pub build: Build,
    /// Its sizes.
    pub sizes: Sizes,
    /// The words of the sizes, as typed: bore, outside diameter, width. Empty ones are drawn as assumed.
    pub words: [String; 3],
    /// How many rows of rollers, where the build leaves it open.
    pub rows: usize,
    /// What is written at the spacers of a four-row tapered bearing.
    pub pairs: [PairNote; 3],
    /// The row pair that is being typed.
    pub lit: Option<Pair>,
    /// The word for the side of the barrel, left.
    pub barrel: String,
    /// The word for the outboard side, right.
    pub outboard: String,
    /// What stands at an assumed size: "assumed".
    pub assumed: String,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

const SIDE: f32 = 76.0;
const TOP: f32 = 44.0;
const BELOW: f32 = 40.0;
/// No drawing is higher than this, px.
const TALLEST: f32 = 300.0;

/// A corner in shares: along the axis from the barrel side in mm, and from the bore (0) to the outside (1).
type Corner = (f64, f64);

/// The parts of a section.
#[derive(Default)]
struct Parts {
    inner: Vec<Vec<Corner>>,
    outer: Vec<Vec<Corner>>,
    rollers: Vec<[Corner; 4]>,
}

impl Sizes {
    /// Bore, outside and width; what is not typed, or cannot be drawn beside the others, is assumed in the proportions
    /// that such bearings have.
    pub fn whole(&self, build: Build) -> [f64; 3] {
        // Outside to bore, width to bore.
        let (wide, deep) = match build {
            Build::FourRowTapered => (1.3, 0.7),
            Build::FourRowCylindrical | Build::InnerHalf => (1.42, 1.03),
            Build::TwoRowSpherical => (1.66, 0.53),
            Build::TwoRowThrust => (1.33, 0.24),
        };
        let right = |size: Option<f64>| size.filter(|mm| mm.is_finite() && *mm > 0.0);
        let bore = right(self.bore_mm)
            .or_else(|| right(self.outside_mm).map(|outside| outside / wide))
            .or_else(|| right(self.width_mm).map(|width| width / deep))
            .unwrap_or(400.0);
        // A number that is half typed is no size yet.
        let within = |size: Option<f64>, low: f64, high: f64| {
            right(size).filter(|mm| (low..high).contains(&(mm / bore)))
        };
        [
            bore,
            within(self.outside_mm, 1.02, 3.0).unwrap_or(bore * wide),
            within(self.width_mm, deep * 0.3, deep * 3.0).unwrap_or(bore * deep),
        ]
    }

    /// Which of bore, outside and width are drawn as they are typed.
    pub fn is_drawn(&self, build: Build) -> [bool; 3] {
        let whole = self.whole(build).map(Some);
        let typed = [self.bore_mm, self.outside_mm, self.width_mm];
        std::array::from_fn(|i| typed[i] == whole[i])
    }

    /// The spacers likewise, as shares of the width.
    pub fn whole_spacers(&self, width_mm: f64) -> [f64; 3] {
        let shares = [0.071, 0.089, 0.071];
        std::array::from_fn(|i| {
            self.spacers_mm[i]
                .filter(|mm| (0.01..0.16).contains(&(mm / width_mm)))
                .unwrap_or(width_mm * shares[i])
        })
    }
}

impl BearingSection {
    /// The drawing in a given width; its height follows from the scale.
    pub fn scene(&self, width: f32) -> Scene {
        if self.build == Build::FourRowTapered {
            return self.stack().scene(width);
        }
        let [bore, outside, wide] = self.sizes.whole(self.build);
        let reach = (outside - bore) / 2.0;
        let scale = ((width - 2.0 * SIDE) / wide as f32)
            .min(TALLEST / reach as f32)
            .max(0.01);
        let x0 = ((width - wide as f32 * scale) / 2.0).round();
        let height = reach as f32 * scale;
        let mut scene = Scene::new(width, (TOP + height + BELOW).ceil(), &self.title);
        let place = |(z, r): Corner| {
            let at = pos(x0 + z as f32 * scale, TOP + height * (1.0 - r as f32));
            pos(crisp(at.x, 1.0), crisp(at.y, 1.0))
        };
        let parts = self.parts(wide, reach);
        for ring in &parts.outer {
            metal(
                &mut scene,
                ring.iter().copied().map(place).collect(),
                Lean::Backslash,
            );
        }
        for ring in &parts.inner {
            metal(
                &mut scene,
                ring.iter().copied().map(place).collect(),
                Lean::Slash,
            );
        }
        for (row, corners) in parts.rollers.iter().enumerate() {
            roller(
                &mut scene,
                corners.iter().copied().map(place).collect(),
                row + 1,
                None,
            );
        }
        self.dimensions(&mut scene, x0, height, wide as f32 * scale);
        scene
    }

    /// What is written at bore, outside and width.
    fn said(&self) -> [String; 3] {
        let drawn = self.sizes.is_drawn(self.build);
        std::array::from_fn(|i| {
            let (sign, words) = (["d", "D", "B"][i], &self.words[i]);
            match (drawn[i], words.is_empty()) {
                (true, _) => format!("{sign} {words}"),
                (false, true) => format!("{sign} {}", self.assumed),
                (false, false) => format!("{sign} {words}, {}", self.assumed),
            }
        })
    }

    /// A four-row tapered bearing is drawn as everywhere, with its spacers.
    fn stack(&self) -> StackMap {
        let [bore_mm, outside_mm, width_mm] = self.sizes.whole(self.build);
        let spacers_mm = self.sizes.whole_spacers(width_mm);
        let [bore, outside, width] = self.said();
        StackMap {
            bore_mm,
            outside_mm,
            width_mm,
            spacers_mm,
            lit: self.lit,
            pairs: self.pairs.clone(),
            barrel: self.barrel.clone(),
            outboard: self.outboard.clone(),
            note_left: format!("{bore}, {outside}"),
            note_right: width,
            title: self.title.clone(),
        }
    }

    fn parts(&self, width: f64, reach: f64) -> Parts {
        match self.build {
            Build::FourRowTapered => Parts::default(),
            Build::FourRowCylindrical => cylindrical(width, self.rows.clamp(1, 8)),
            Build::InnerHalf => Parts {
                inner: vec![inner_ring(width)],
                ..Parts::default()
            },
            Build::TwoRowSpherical => spherical(width, reach, self.sizes.whole(self.build)[0]),
            Build::TwoRowThrust => thrust(width),
        }
    }

    /// Width above, bore and outside at the sides, each with its words; what is assumed in grey and dashed.
    fn dimensions(&self, scene: &mut Scene, x0: f32, height: f32, wide: f32) {
        let (left, right) = (crisp(x0, 1.0), crisp(x0 + wide, 1.0));
        let (top, bottom) = (crisp(TOP, 1.0), crisp(TOP + height, 1.0));
        let [bore, outside, width] = self.sizes.is_drawn(self.build);
        let [bore_said, outside_said, width_said] = self.said();
        let ink = |is_drawn: bool| if is_drawn { Token::Ink } else { Token::Muted };
        let line = |is_drawn: bool| {
            let stroke = Stroke::new(1.0, Token::Edge);
            if is_drawn {
                stroke
            } else {
                stroke.dashed(4.0, 3.0)
            }
        };
        let y = crisp(TOP - 12.0, 1.0);
        scene.line(pos(left, y), pos(right, y), line(width));
        for x in [left, right] {
            scene.line(pos(x, y - 5.0), pos(x, TOP - 2.0), line(width));
        }
        let middle = f32::midpoint(left, right);
        let text = Text::note(pos(middle, y - 6.0), &width_said, ink(width));
        scene.text(text.aligned(Align::Centre));
        // Outside diameter and bore reach to the axis, which lies below the drawing.
        for (x, level, said, is_drawn) in [
            (right + 14.0, top, outside_said, outside),
            (left - 14.0, bottom, bore_said, bore),
        ] {
            let x = crisp(x, 1.0);
            let is_right = x > right;
            let edge = if is_right { right } else { left };
            let foot = scene.height - 16.0;
            scene.line(
                pos(x.min(edge), level),
                pos(x.max(edge), level),
                line(is_drawn),
            );
            scene.line(pos(x, level), pos(x, foot), line(is_drawn));
            arrow(scene, pos(x, level), ink(is_drawn));
            let align = if is_right { Align::Right } else { Align::Left };
            let at = if is_right { scene.width - 2.0 } else { 2.0 };
            let text = Text::note(pos(at, scene.height - 6.0), &said, ink(is_drawn));
            scene.text(text.aligned(align));
        }
        let sides = [
            (2.0, &self.barrel, Align::Left),
            (scene.width - 2.0, &self.outboard, Align::Right),
        ];
        for (x, words, align) in sides {
            let at = pos(x, size::NOTE);
            scene.text(Text::note(at, words, Token::Muted).aligned(align));
        }
    }
}

/// The tip of a dimension that points up.
fn arrow(scene: &mut Scene, tip: Pos, token: Token) {
    let points = vec![
        tip,
        pos(tip.x - 2.5, tip.y + 6.0),
        pos(tip.x + 2.5, tip.y + 6.0),
    ];
    scene.add(Shape::Polygon {
        points,
        fill: Some(token),
        stroke: None,
    });
}

fn inner_ring(width: f64) -> Vec<Corner> {
    vec![(0.0, 0.0), (0.0, 0.27), (width, 0.27), (width, 0.0)]
}

/// Rows between the ribs of one outer ring, over a plain inner ring.
fn cylindrical(width: f64, rows: usize) -> Parts {
    const RACEWAY: f64 = 0.75;
    const RIB: f64 = 0.62;
    let pitch = width / rows as f64;
    let rib = pitch * 0.08;
    let mut outer = vec![(0.0, 1.0)];
    let mut rollers = Vec::new();
    for row in 0..rows {
        let from = row as f64 * pitch;
        let (left, right) = (from + rib, from + pitch - rib);
        outer.extend([
            (from, RIB),
            (left, RIB),
            (left, RACEWAY),
            (right, RACEWAY),
            (right, RIB),
        ]);
        if row + 1 == rows {
            outer.push((width, RIB));
        }
        let play = pitch * 0.02;
        let (left, right) = (left + play, right - play);
        rollers.push([(left, 0.28), (right, 0.28), (right, 0.74), (left, 0.74)]);
    }
    outer.push((width, 1.0));
    // A rib between two rows has no step in its middle.
    outer.dedup();
    Parts {
        inner: vec![inner_ring(width)],
        outer: vec![outer],
        rollers,
    }
}

/// Two rows that roll in one sphere about the middle of the bearing.
fn spherical(width: f64, reach: f64, bore: f64) -> Parts {
    let middle = width / 2.0;
    // Everything in mm here: the sphere is round only there.
    let share = |(z, r): (f64, f64)| (z, (r - bore / 2.0) / reach);
    let (offset, half) = (0.25 * width, 0.19 * width);
    let centre_r = bore / 2.0 + 0.53 * reach;
    let lean = libm::atan2(offset, centre_r);
    let thick = 0.22 * reach;
    let radius = libm::hypot(offset, centre_r) + thick;
    let on_sphere = |z: f64| libm::sqrt((radius * radius - (z - middle) * (z - middle)).max(0.0));
    let steps = 24;
    let mut outer = vec![share((0.0, bore / 2.0 + reach))];
    outer.extend((0..=steps).map(|i| {
        let z = width * f64::from(i) / f64::from(steps);
        share((z, on_sphere(z)))
    }));
    outer.push(share((width, bore / 2.0 + reach)));
    // A roller leans by the angle at which the sphere meets it.
    let corner = |side: f64, along: f64, across: f64| {
        let (sin, cos) = (libm::sin(lean), libm::cos(lean));
        (
            middle + side * (offset + along * cos + across * sin),
            centre_r - along * sin + across * cos,
        )
    };
    let rollers = [-1.0, 1.0].map(|side| {
        let quad = [
            (-half, -thick),
            (half, -thick),
            (half, thick),
            (-half, thick),
        ];
        let barrel = |(along, across): (f64, f64)| share(corner(side, along, across * 0.93));
        let quad = quad.map(barrel);
        // Corners begin at the barrel side below, whichever row it is.
        if side < 0.0 {
            [quad[1], quad[0], quad[3], quad[2]]
        } else {
            quad
        }
    });
    let mut inner = vec![share((0.0, bore / 2.0))];
    let seat = |side: f64, along: f64, more: f64| share(corner(side, along, -thick * 0.97 + more));
    inner.push((0.0, seat(-1.0, half, 0.05 * reach).1));
    inner.extend([
        seat(-1.0, half + 0.02 * width, 0.05 * reach),
        seat(-1.0, half, 0.0),
        seat(-1.0, -half, 0.0),
        seat(-1.0, -half - 0.01 * width, 0.14 * reach),
        seat(1.0, -half - 0.01 * width, 0.14 * reach),
        seat(1.0, -half, 0.0),
        seat(1.0, half, 0.0),
        seat(1.0, half + 0.02 * width, 0.05 * reach),
    ]);
    inner.push((width, seat(1.0, half, 0.05 * reach).1));
    inner.push(share((width, bore / 2.0)));
    for corner in &mut inner {
        *corner = (corner.0.clamp(0.0, width), corner.1.max(0.0));
    }
    Parts {
        inner: vec![inner],
        outer: vec![outer],
        rollers: rollers.to_vec(),
    }
}

/// A shaft washer between two rows, and a housing washer outside each.
fn thrust(width: f64) -> Parts {
    let washer = |from: f64, to: f64, low: f64, high: f64| {
        let (from, to) = (from * width, to * width);
        vec![(from, high), (from, low), (to, low), (to, high)]
    };
    let row = |from: f64, to: f64| {
        let (from, to) = (from * width, to * width);
        [(from, 0.24), (to, 0.24), (to, 0.82), (from, 0.82)]
    };
    Parts {
        inner: vec![washer(0.41, 0.59, 0.0, 0.9)],
        outer: vec![washer(0.0, 0.18, 0.12, 1.0), washer(0.82, 1.0, 0.12, 1.0)],
        rollers: vec![row(0.19, 0.40), row(0.60, 0.81)],
    }
}
