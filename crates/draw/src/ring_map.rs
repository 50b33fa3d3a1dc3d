//! The outer rings of a bearing unrolled: rows down, the circumference across, load zones, findings,
//! and the hours each zone has carried.

mod finding;

use crate::font;
use crate::scene::{Align, Hit, Scene, Shape, Stroke, Text, crisp, pos};
use crate::tokens::{Token, size};

/// What a mark on a ring stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FindingKind {
    /// Stains, etching or dents at roller pitch: upright lines in a box.
    AtRollerPitch,
    /// Spalls or pits: dots.
    Spalls,
    /// A path or any other area: a plain box.
    Area,
}

/// How a finding stands to the sheet that shows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FindingState {
    /// Entered on this sheet.
    Found,
    /// From an earlier sheet: dashed.
    Earlier,
    /// Being edited: accent outline with handles at both ends.
    Edited,
}

/// A mark on a ring.
#[derive(Clone, Debug, PartialEq)]
pub struct RingFinding {
    /// Row, 1 and up.
    pub row: usize,
    /// Where it begins, degrees clockwise from the zone-I line.
    pub from_deg: f64,
    /// Where it ends; smaller than `from_deg` if it passes 360.
    pub to_deg: f64,
    /// What it is.
    pub kind: FindingKind,
    /// How it stands to this sheet.
    pub state: FindingState,
    /// Words beside it, "stains 2024-11-26"; may be empty.
    pub label: String,
    /// What it answers to a pointer.
    pub hit: Option<Hit>,
}

/// The arc that carries the load.
#[derive(Clone, Debug, PartialEq)]
pub struct LoadedArc {
    /// Where it begins, degrees.
    pub from_deg: f64,
    /// Where it ends; smaller than `from_deg` if it passes 360.
    pub to_deg: f64,
    /// "loaded arc as found 195°-345°"; may be empty.
    pub label: String,
}

/// Hours a zone has carried.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ZoneHours {
    /// For the height of its box.
    pub hours: f64,
    /// "1,015".
    pub text: String,
    /// What stands under its box, such as "290.4 kt"; may be empty.
    pub below: String,
}

/// The rings of one bearing.
#[derive(Clone, Debug, PartialEq)]
pub struct RingMap {
    /// Number of rows, 1 to 4, and one more where the outside diameter has a line under them.
    pub rows: usize,
    /// What the rows are called, from the barrel on; a row without a name goes by its number.
    pub row_names: Vec<String>,
    /// Height of a row, px: 24 on a page, 33 where findings are entered.
    pub row_height: f32,
    /// The zone that is up, 0 to 3.
    pub zone_up: Option<usize>,
    /// The loaded arc, if known.
    pub loaded: Option<LoadedArc>,
    /// Hours of zones I to IV, if they are to be shown.
    pub hours: Option<[ZoneHours; 4]>,
    /// Unit of the hours, "h".
    pub hours_unit: String,
    /// Marks, painted in this order.
    pub findings: Vec<RingFinding>,
    /// Note below, left.
    pub note_left: String,
    /// Note below, right.
    pub note_right: String,
    /// What the drawing shows, for those who cannot see it.
    pub title: String,
}

/// Where things stand in the drawing, so that a pointer can place a mark.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingLayout {
    /// x of 0 degrees.
    pub left: f32,
    /// x of 360 degrees.
    pub right: f32,
    /// Top of the first row.
    pub top: f32,
    /// Height of a row.
    pub row_height: f32,
    /// Gap between rows.
    pub row_gap: f32,
    /// Number of rows.
    pub rows: usize,
}

const LEFT: f32 = 26.0;
const STRIP: f32 = 24.0;
/// Room for the bar of the loaded arc between strip and rows.
const LOADED: f32 = 22.0;
const GAP: f32 = 6.0;
const HOURS_BOX: f32 = 30.0;

/// Zones by index with their numerals and pieces in ring degrees; zone I lies across 0.
const ZONES: [&str; 4] = ["I", "II", "III", "IV"];
const PIECES: [(usize, f64, f64); 5] = [
    (0, 0.0, 45.0),
    (1, 45.0, 135.0),
    (2, 135.0, 225.0),
    (3, 225.0, 315.0),
    (0, 315.0, 360.0),
];

impl RingMap {
    /// The drawing in a given width; its height follows.
    pub fn scene(&self, width: f32) -> Scene {
        let layout = self.layout(width);
        let rows_bottom = layout.top_of(self.rows.max(1)) + self.row_height;
        let mut scene = Scene::new(width, 0.0, &self.title);
        self.strip(&mut scene, &layout);
        self.rings(&mut scene, &layout);
        axis(&mut scene, &layout, rows_bottom);
        let mut bottom = rows_bottom + 26.0;
        if let Some(hours) = &self.hours {
            bottom += 58.0;
            self.hours(&mut scene, &layout, hours, bottom);
            if hours.iter().any(|zone| !zone.below.is_empty()) {
                bottom += 17.0;
            }
        }
        if !(self.note_left.is_empty() && self.note_right.is_empty()) {
            let left = Text::note(pos(0.0, bottom + 20.0), &self.note_left, Token::Muted);
            let mut right = Text::note(pos(width, bottom + 20.0), &self.note_right, Token::Muted)
                .aligned(Align::Right);
            if left.span().1 + 8.0 > right.span().0 {
                right.at.y += 18.0;
            }
            bottom = right.at.y + 4.0;
            scene.text(left);
            scene.text(right);
        }
        scene.height = bottom.ceil() + 2.0;
        scene
    }

    /// Where the rows stand in the drawing of this width.
    pub fn layout(&self, width: f32) -> RingLayout {
        let row_gap = if self.row_height >= 30.0 { 7.0 } else { 5.0 };
        let top = STRIP + if self.loaded.is_some() { LOADED } else { GAP };
        let widest = (1..=self.rows)
            .map(|row| {
                let name = self.row_name(row);
                let (from, to) = Text::note(pos(0.0, 0.0), &name, Token::Muted)
                    .semibold()
                    .span();
                to - from
            })
            .fold(0.0, f32::max);
        RingLayout {
            left: LEFT.max((widest + 11.0).ceil()),
            right: width - 1.0,
            top,
            row_height: self.row_height,
            row_gap,
            rows: self.rows,
        }
    }

    /// The strip of zone numerals, and the bar of the loaded arc.
    fn strip(&self, scene: &mut Scene, layout: &RingLayout) {
        let rule = Stroke::new(1.0, Token::Rule);
        for (zone, from, to) in PIECES {
            let is_up = self.zone_up == Some(zone);
            let (left, right) = (crisp(layout.x_of(from), 1.0), crisp(layout.x_of(to), 1.0));
            let fill = if is_up { Token::Sel } else { Token::Ground };
            let (min, max) = (pos(left, 0.5), pos(right, STRIP - 0.5));
            scene.add(Shape::Rect {
                min,
                max,
                corner: 0.0,
                fill: Some(fill),
                stroke: Some(rule),
            });
            let at = pos(
                f32::midpoint(left, right),
                font::baseline(STRIP / 2.0, size::NOTE),
            );
            let token = if is_up { Token::Ink } else { Token::Muted };
            scene.text(
                Text::note(at, ZONES[zone], token)
                    .semibold()
                    .aligned(Align::Centre),
            );
        }
        for (_, from, _) in &PIECES[1..] {
            let x = crisp(layout.x_of(*from), 1.0);
            scene.line(pos(x, 0.0), pos(x, STRIP), Stroke::new(1.0, Token::Edge));
        }
        let Some(loaded) = &self.loaded else { return };
        let y = STRIP + 11.0;
        let ink = Stroke::new(2.0, Token::Ink);
        let pieces = pieces_of(loaded.from_deg, loaded.to_deg);
        let longest = pieces
            .iter()
            .copied()
            .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
        let words = longest
            .filter(|_| !loaded.label.is_empty())
            .and_then(|(from, to)| {
                let (left, right) = (layout.x_of(from), layout.x_of(to));
                let at = pos(f32::midpoint(left, right), font::baseline(y, size::NOTE));
                let text = Text::note(at, &loaded.label, Token::Ink)
                    .semibold()
                    .aligned(Align::Centre);
                let (from, to) = text.span();
                (from - 20.0 > left && to + 20.0 < right).then_some(text)
            });
        let gap = words
            .as_ref()
            .map(|text| (text.span().0 - 7.0, text.span().1 + 7.0));
        for &(from, to) in &pieces {
            let (left, right) = (layout.x_of(from), layout.x_of(to));
            match gap.filter(|gap| gap.0 > left && gap.1 < right) {
                Some((from, to)) => {
                    scene.line(pos(left, y), pos(from, y), ink);
                    scene.line(pos(to, y), pos(right, y), ink);
                }
                None => scene.line(pos(left, y), pos(right, y), ink),
            }
        }
        if let (Some(&(from, _)), Some(&(_, to))) = (pieces.first(), pieces.last()) {
            for deg in [from, to] {
                let x = crisp(layout.x_of(deg), 2.0);
                scene.line(pos(x, y - 5.0), pos(x, y + 5.0), ink);
            }
        }
        if let Some(text) = words {
            scene.text(text);
        }
    }

    fn row_name(&self, row: usize) -> String {
        let name = self.row_names.get(row - 1).cloned();
        name.unwrap_or_else(|| row.to_string())
    }

    fn rings(&self, scene: &mut Scene, layout: &RingLayout) {
        let (left, right) = (crisp(layout.left, 1.0), crisp(layout.right, 1.0));
        let loaded = self
            .loaded
            .as_ref()
            .map_or_else(Vec::new, |arc| pieces_of(arc.from_deg, arc.to_deg));
        for row in 1..=self.rows {
            let (top, bottom) = (
                crisp(layout.top_of(row), 1.0),
                crisp(layout.top_of(row) + self.row_height - 1.0, 1.0),
            );
            let bar = |left, right, fill, stroke| Shape::Rect {
                min: pos(left, top),
                max: pos(right, bottom),
                corner: 0.0,
                fill,
                stroke,
            };
            scene.add(bar(left, right, Some(Token::Metal), None));
            for &(from, to) in &loaded {
                scene.add(bar(
                    layout.x_of(from),
                    layout.x_of(to),
                    Some(Token::Metal2),
                    None,
                ));
            }
            for (_, from, _) in &PIECES[1..] {
                let x = crisp(layout.x_of(*from), 1.0);
                scene.line(
                    pos(x, top),
                    pos(x, bottom),
                    Stroke::new(1.0, Token::Edge).dashed(2.0, 3.0),
                );
            }
            let at = pos(
                left - 10.5,
                font::baseline(f32::midpoint(top, bottom), size::NOTE),
            );
            scene.text(
                Text::note(at, &self.row_name(row), Token::Muted)
                    .semibold()
                    .aligned(Align::Right),
            );
            scene.add(bar(left, right, None, Some(Stroke::new(1.0, Token::Edge))));
            self.findings_of(scene, layout, row);
        }
    }

    fn findings_of(&self, scene: &mut Scene, layout: &RingLayout, row: usize) {
        let mut in_row: Vec<&RingFinding> = self
            .findings
            .iter()
            .filter(|finding| finding.row == row)
            .collect();
        let spans = |finding: &RingFinding| {
            let pieces = pieces_of(finding.from_deg, finding.to_deg);
            pieces
                .into_iter()
                .map(|(from, to)| (layout.x_of(from), layout.x_of(to)))
                .collect::<Vec<_>>()
        };
        let mut taken: Vec<(f32, f32)> = in_row.iter().flat_map(|finding| spans(finding)).collect();
        for finding in &in_row {
            scene.add_hit(finding.hit.as_ref(), finding.shapes(layout));
        }
        // What is being edited is named first. A label without room is left out: the mark says its
        // words under the pointer.
        in_row.sort_by_key(|finding| finding.state != FindingState::Edited);
        for finding in in_row
            .into_iter()
            .filter(|finding| !finding.label.is_empty())
        {
            let spans = spans(finding);
            let (Some(&(from, _)), Some(&(_, to))) = (spans.first(), spans.last()) else {
                continue;
            };
            let room = if finding.state == FindingState::Edited {
                16.0
            } else {
                7.0
            };
            let y = font::baseline(layout.top_of(row) + self.row_height / 2.0, size::NOTE);
            let right_of = Text::note(pos(to + room, y), &finding.label, finding.token());
            let right_of = if finding.state == FindingState::Edited {
                right_of.semibold()
            } else {
                right_of
            };
            let left_of = Text {
                at: pos(from - room, y),
                align: Align::Right,
                ..right_of.clone()
            };
            let is_free = |text: &Text| {
                let (a, b) = text.span();
                a > layout.left
                    && b < layout.right
                    && taken.iter().all(|&(c, d)| b + 4.0 < c || a - 4.0 > d)
            };
            if let Some(mut text) = [right_of, left_of].into_iter().find(is_free) {
                let (a, b) = text.span();
                taken.push((a, b));
                text.backing = self.metal_between(layout, a, b);
                scene.text(text);
            }
        }
    }

    /// The colour of the ring between two x, if it is one.
    fn metal_between(&self, layout: &RingLayout, left: f32, right: f32) -> Option<Token> {
        let Some(arc) = &self.loaded else {
            return Some(Token::Metal);
        };
        let pieces = pieces_of(arc.from_deg, arc.to_deg);
        let (left, right) = (left - 2.0, right + 2.0);
        let span = |&(from, to): &(f64, f64)| (layout.x_of(from), layout.x_of(to));
        if pieces
            .iter()
            .map(span)
            .any(|(a, b)| a <= left && right <= b)
        {
            return Some(Token::Metal2);
        }
        pieces
            .iter()
            .map(span)
            .all(|(a, b)| right <= a || b <= left)
            .then_some(Token::Metal)
    }

    fn hours(&self, scene: &mut Scene, layout: &RingLayout, hours: &[ZoneHours; 4], base: f32) {
        let base = crisp(base, 1.0);
        let most = hours
            .iter()
            .map(|zone| zone.hours)
            .filter(|h| h.is_finite())
            .fold(0.0, f64::max);
        let unit = pos(
            layout.left - 10.5,
            font::baseline(base - HOURS_BOX / 2.0, size::NOTE),
        );
        scene.text(Text::note(unit, &self.hours_unit, Token::Muted).aligned(Align::Right));
        for (i, &(zone, from, to)) in PIECES.iter().enumerate() {
            let is_up = self.zone_up == Some(zone);
            let share = if most > 0.0 {
                (hours[zone].hours / most).clamp(0.0, 1.0)
            } else {
                0.0
            };
            let lid = (base - HOURS_BOX * share as f32).round().min(base - 1.0);
            let (left, right) = (
                layout.x_of(from) + if i == 0 { 0.5 } else { 1.0 },
                layout.x_of(to) - 1.0,
            );
            let fill = Some(if is_up { Token::Sel } else { Token::Metal });
            scene.add(Shape::Rect {
                min: pos(left, lid),
                max: pos(right, base),
                corner: 0.0,
                fill,
                stroke: None,
            });
            let token = if is_up { Token::Accent } else { Token::Edge };
            scene.line(pos(left, lid), pos(right, lid), Stroke::new(2.0, token));
            if i < 4 {
                let at = pos(f32::midpoint(left, right), lid - 6.0);
                let text = Text::note(
                    at,
                    &hours[zone].text,
                    if is_up { Token::Ink } else { Token::Muted },
                );
                scene.text(if is_up { text.semibold() } else { text }.aligned(Align::Centre));
                let at = pos(f32::midpoint(left, right), base + 15.0);
                let below = Text::note(at, &hours[zone].below, Token::Muted);
                scene.text(below.aligned(Align::Centre));
            }
        }
        let edge = Stroke::new(1.0, Token::Edge);
        scene.line(pos(layout.left, base), pos(layout.right, base), edge);
    }
}

/// An arc as one piece, or two if it passes 360; nothing if an angle is no number.
fn pieces_of(from_deg: f64, to_deg: f64) -> Vec<(f64, f64)> {
    if !from_deg.is_finite() || !to_deg.is_finite() {
        return Vec::new();
    }
    let whole = to_deg - from_deg >= 360.0;
    let from = from_deg.rem_euclid(360.0);
    let to = to_deg.rem_euclid(360.0);
    if whole {
        vec![(0.0, 360.0)]
    } else if to >= from {
        vec![(from, to)]
    } else if to == 0.0 {
        vec![(from, 360.0)]
    } else {
        vec![(from, 360.0), (0.0, to)]
    }
}

/// Ticks every 45 degrees; where the labels would touch, every second one is written.
fn axis(scene: &mut Scene, layout: &RingLayout, bottom: f32) {
    let is_narrow = layout.right - layout.left < 330.0;
    for i in 0..=8_u8 {
        let deg = 45.0 * f64::from(i);
        let x = crisp(layout.x_of(deg), 1.0);
        scene.line(
            pos(x, bottom),
            pos(x, bottom + 5.0),
            Stroke::new(1.0, Token::Edge),
        );
        let align = match i {
            0 => Align::Left,
            8 => Align::Right,
            _ => Align::Centre,
        };
        if !is_narrow || i % 2 == 0 {
            let at = pos(x, bottom + 19.0);
            scene.text(Text::note(at, &format!("{deg:.0}°"), Token::Muted).aligned(align));
        }
    }
}

impl RingLayout {
    /// x of an angle between 0 and 360.
    pub fn x_of(&self, deg: f64) -> f32 {
        self.left + (self.right - self.left) * (deg / 360.0) as f32
    }

    /// Angle under a pointer, if it stands over the rings.
    pub fn deg_at(&self, x: f32) -> Option<f64> {
        (x >= self.left && x <= self.right)
            .then(|| f64::from((x - self.left) / (self.right - self.left)) * 360.0)
    }

    /// Row under a pointer, 1 and up.
    pub fn row_at(&self, y: f32) -> Option<usize> {
        let is_over = |row: &usize| (0.0..self.row_height).contains(&(y - self.top_of(*row)));
        (1..=self.rows).find(is_over)
    }

    /// Top of a row.
    pub fn top_of(&self, row: usize) -> f32 {
        self.top + row.saturating_sub(1) as f32 * (self.row_height + self.row_gap)
    }
}
