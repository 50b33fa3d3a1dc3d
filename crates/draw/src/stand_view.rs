//! A stand seen from its operator side: rolls over each other, their chocks, which side holds the rolls axially, and
//! from where each chock is loaded. Not to scale: only the order of the rolls is the stand's own.

use crate::font;
use crate::marks::{Glyph, Towards};
use crate::scene::{Align, Hit, Pos, Scene, Shape, Stroke, Text, crisp, pos};
use crate::tokens::{Token, size};

/// What a roll does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Takes the bending of the one inside it.
    Backup,
    /// Between the two.
    Intermediate,
    /// Touches what is rolled.
    Work,
}

/// One chock place of a roll.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Side {
    /// Its code; empty where no such position is in the register.
    pub code: String,
    /// It holds the roll axially.
    pub is_fixed: bool,
    /// Where the load comes from, clock degrees, 0 at 12 o'clock; none where it is not known.
    pub load_deg: Option<f64>,
    /// It has a rolling bearing.
    pub is_rolling: bool,
    /// What is in it now: chock and bearing, in words; may be empty.
    pub held: String,
    /// The one that the page is about.
    pub is_lit: bool,
    /// What it answers to a pointer.
    pub hit: Option<Hit>,
}

/// A roll with its two chock places.
#[derive(Clone, Debug, PartialEq)]
pub struct RollView {
    /// What it does.
    pub role: Role,
    /// In the upper half of the stand.
    pub is_top: bool,
    /// What it is called: "work roll, top".
    pub name: String,
    /// Operator side, then drive side.
    pub sides: [Side; 2],
}

/// The stand.
#[derive(Clone, Debug, PartialEq)]
pub struct StandView {
    /// Its rolls, in any order.
    pub rolls: Vec<RollView>,
    /// The words for the two sides: "operator side", "drive side".
    pub sides: [String; 2],
    /// What the fixed side is called: "fixed".
    pub fixed: String,
    /// The line below: what the arrows mean, and from where a clock face is seen.
    pub note: String,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

const TOP: f32 = 30.0;
const GAP: f32 = 14.0;
/// The strip between the two rolls that touch what is rolled.
const PASS: f32 = 10.0;
const BELOW: f32 = 34.0;
/// The widest that a chock is drawn.
const CHOCK: f32 = 112.0;
const CHOCK_WIDE: f32 = 176.0;
/// Beside a chock: the keeper and its word.
const MARGIN: f32 = 34.0;

impl StandView {
    /// The drawing in a given width; its height follows.
    pub fn scene(&self, width: f32) -> Scene {
        let mut rolls: Vec<&RollView> = self.rolls.iter().collect();
        // From the top: backup, intermediate, work, then the same the other way round.
        rolls.sort_by_key(|roll| {
            let depth = roll.role as i32;
            if roll.is_top { depth - 10 } else { 10 - depth }
        });
        let heights: Vec<f32> = rolls.iter().map(|roll| height(roll.role)).collect();
        let strip = |i: usize| {
            let is_pass = i > 0 && rolls[i - 1].is_top && !rolls[i].is_top;
            if i == 0 {
                0.0
            } else if is_pass {
                GAP + PASS
            } else {
                GAP
            }
        };
        let all: f32 = heights.iter().sum::<f32>() + (0..rolls.len()).map(strip).sum::<f32>();
        let mut scene = Scene::new(width, TOP + all + BELOW, &self.title);
        let chock = Self::chock_width(width);
        let left = chock / 2.0 + MARGIN;
        let right = width - left;
        for (x, words) in [(left, &self.sides[0]), (right, &self.sides[1])] {
            let text = Text::note(pos(x, 16.0), words, Token::Muted).aligned(Align::Centre);
            scene.text(text);
        }
        let mut y = TOP;
        for (i, roll) in rolls.iter().enumerate() {
            if strip(i) > GAP {
                let line = crisp(y + f32::midpoint(GAP, PASS), 2.0);
                let (from, to) = (left + chock / 2.0 + 22.0, right - chock / 2.0 - 22.0);
                scene.line(
                    pos(from, line),
                    pos(to, line),
                    Stroke::new(2.0, Token::Accent),
                );
            }
            y += strip(i);
            let tall = heights[i];
            self.roll(&mut scene, roll, (left, right), (y, tall));
            y += tall;
        }
        let note = Text::note(pos(2.0, scene.height - 8.0), &self.note, Token::Muted);
        scene.text(note);
        scene
    }

    fn chock_width(width: f32) -> f32 {
        // Where there is room, wide enough for chock and bearing in one line.
        (width * 0.25)
            .min(CHOCK)
            .max((width * 0.19).min(CHOCK_WIDE))
    }

    fn roll(
        &self,
        scene: &mut Scene,
        roll: &RollView,
        (left, right): (f32, f32),
        (y, tall): (f32, f32),
    ) {
        let middle = y + tall / 2.0;
        let neck = (tall * 0.22).round();
        let edge = Some(Stroke::new(1.0, Token::Edge));
        let half = Self::chock_width(scene.width) / 2.0;
        let part = |min: Pos, max: Pos, fill: Token| Shape::Rect {
            min: pos(crisp(min.x, 1.0), crisp(min.y, 1.0)),
            max: pos(crisp(max.x, 1.0), crisp(max.y, 1.0)),
            corner: 0.0,
            fill: Some(fill),
            stroke: edge,
        };
        scene.add(part(
            pos(left, middle - neck),
            pos(right, middle + neck),
            Token::Metal,
        ));
        let barrel = (
            pos(left + half + 22.0, y),
            pos(right - half - 22.0, y + tall),
        );
        scene.add(part(barrel.0, barrel.1, Token::Metal));
        let at = pos(
            f32::midpoint(left, right),
            font::baseline(middle, size::NOTE),
        );
        scene.text(
            Text::note(
                at,
                &fitting(&roll.name, barrel.1.x - barrel.0.x - 8.0),
                Token::Ink,
            )
            .aligned(Align::Centre),
        );
        for (x, side, is_operator) in [(left, &roll.sides[0], true), (right, &roll.sides[1], false)]
        {
            self.chock(scene, side, (x, is_operator), (y, tall));
        }
    }

    fn chock(
        &self,
        scene: &mut Scene,
        side: &Side,
        (x, is_operator): (f32, bool),
        (y, tall): (f32, f32),
    ) {
        let half = Self::chock_width(scene.width) / 2.0;
        let (min, max) = (
            pos(crisp(x - half, 1.0), crisp(y, 1.0)),
            pos(crisp(x + half, 1.0), crisp(y + tall, 1.0)),
        );
        let stroke = match (side.code.is_empty(), side.is_lit) {
            (true, _) => Stroke::new(1.0, Token::Edge).dashed(4.0, 3.0),
            (_, true) => Stroke::new(2.0, Token::Accent),
            _ => Stroke::new(1.0, Token::Edge),
        };
        let fill = if side.is_lit {
            Token::Sel
        } else {
            Token::Sheet
        };
        let mut shapes = vec![Shape::Rect {
            min,
            max,
            corner: 0.0,
            fill: Some(fill),
            stroke: Some(stroke),
        }];
        let middle = y + tall / 2.0;
        let mut line = |at: f32, words: &str, token: Token, is_strong: bool| {
            let words = fitting(words, half * 2.0 - 40.0);
            let text = Text::note(pos(x, font::baseline(at, size::NOTE)), &words, token)
                .aligned(Align::Centre);
            shapes.push(Shape::Text(if is_strong { text.semibold() } else { text }));
        };
        if side.code.is_empty() {
            line(middle, "not entered", Token::Muted, false);
        } else if side.held.is_empty() {
            line(middle, &side.code, Token::Ink, side.is_lit);
        } else {
            line(middle - 8.0, &side.code, Token::Ink, side.is_lit);
            line(middle + 8.0, &side.held, Token::Muted, false);
        }
        scene.add_hit(side.hit.as_ref(), shapes);
        if side.code.is_empty() {
            return;
        }
        if side.is_fixed {
            self.keeper(scene, (x, is_operator), middle, tall);
        }
        if let Some(deg) = side.load_deg.filter(|_| side.is_rolling) {
            load(scene, (min, max), deg, is_operator);
        }
    }

    /// The keeper that holds a roll axially: a plate before the chock, and the word.
    fn keeper(&self, scene: &mut Scene, (x, is_operator): (f32, bool), middle: f32, tall: f32) {
        let out = if is_operator { -1.0 } else { 1.0 };
        let at = x + out * (Self::chock_width(scene.width) / 2.0 + 6.0);
        let (a, b) = (at.min(at + out * 5.0), at.max(at + out * 5.0));
        scene.add(Shape::Rect {
            min: pos(a, middle - tall * 0.3),
            max: pos(b, middle + tall * 0.3),
            corner: 0.0,
            fill: Some(Token::Ink),
            stroke: None,
        });
        let words_x = if is_operator { 2.0 } else { scene.width - 2.0 };
        let align = if is_operator {
            Align::Left
        } else {
            Align::Right
        };
        let below = pos(words_x, middle + tall * 0.3 + 13.0);
        scene.text(Text::note(below, &self.fixed, Token::Muted).aligned(align));
    }
}

fn height(role: Role) -> f32 {
    match role {
        Role::Backup => 76.0,
        Role::Intermediate => 56.0,
        Role::Work => 48.0,
    }
}

/// An arrow inside the chock from the side that the load comes from. On a clock face seen from outboard, the operator
/// side is seen as here, the drive side from behind.
fn load(scene: &mut Scene, (min, max): (Pos, Pos), deg: f64, is_operator: bool) {
    let deg = if is_operator { deg } else { 360.0 - deg };
    let turn = (deg.rem_euclid(360.0) / 90.0).round() as i32 % 4;
    let middle = pos(f32::midpoint(min.x, max.x), f32::midpoint(min.y, max.y));
    let (at, towards) = match turn {
        0 => (pos(max.x - 12.0, min.y + 11.0), Towards::Down),
        1 => (pos(max.x - 12.0, middle.y), Towards::Left),
        2 => (pos(max.x - 12.0, max.y - 11.0), Towards::Up),
        _ => (pos(min.x + 12.0, middle.y), Towards::Right),
    };
    scene.add_all(Glyph::Arrow(towards).shapes(at, 16.0, Token::Accent));
}

/// As much of the words as fits.
fn fitting(words: &str, room: f32) -> String {
    let mut words = words.to_owned();
    let wide = |words: &str| font::width(words, size::NOTE, font::Weight::Semibold);
    if wide(&words) <= room {
        return words;
    }
    while wide(&words) + 12.0 > room && words.pop().is_some() {}
    words + "\u{2026}"
}
