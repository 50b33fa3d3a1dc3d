//! Points along arcs, dashes, triangles: what painters need that know less than a scene does.

use crate::scene::{Pos, pos};

/// Where a line of this width is sharp: odd widths on half pixels, even ones on whole pixels.
pub fn crisp(value: f32, width: f32) -> f32 {
    if (width.round() as i32) % 2 == 1 {
        value.floor() + 0.5
    } else {
        value.round()
    }
}

/// The point at a clock angle: 0 degrees upwards, clockwise.
pub fn clock_point(centre: Pos, radius: f32, deg: f32) -> Pos {
    let t = deg.to_radians();
    pos(
        centre.x + radius * libm::sinf(t),
        centre.y - radius * libm::cosf(t),
    )
}

/// Points along an arc, close enough that their straight joins look round.
pub fn arc_points(centre: Pos, radius: f32, from_deg: f32, to_deg: f32) -> Vec<Pos> {
    let steps = ((to_deg - from_deg).abs() / 3.0).ceil().clamp(1.0, 360.0);
    let step_deg = (to_deg - from_deg) / steps;
    (0..=steps as u16)
        .map(|i| clock_point(centre, radius, from_deg + step_deg * f32::from(i)))
        .collect()
}

/// The full pieces of a dashed line, for painters that know no dashes.
pub fn dashes(points: &[Pos], dash: [f32; 2]) -> Vec<[Pos; 2]> {
    let [on, off] = dash.map(|length| length.max(0.1));
    let mut pieces = Vec::new();
    let (mut left, mut drawing) = (on, true);
    for pair in points.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let length = libm::hypotf(to.x - from.x, to.y - from.y);
        let at = |run: f32| {
            let share = if length > 0.0 { run / length } else { 0.0 };
            pos(
                from.x + (to.x - from.x) * share,
                from.y + (to.y - from.y) * share,
            )
        };
        let mut run = 0.0;
        while run < length {
            let step = left.min(length - run);
            if drawing {
                pieces.push([at(run), at(run + step)]);
            }
            run += step;
            left -= step;
            if left <= 1e-4 {
                drawing = !drawing;
                left = if drawing { on } else { off };
            }
        }
    }
    pieces
}

/// Splits a simple polygon, convex or not, into triangles of indices by cutting off ears.
///
/// A corner is an ear if it is convex and no other corner lies inside its triangle (the two-ears
/// theorem: G. H. Meisters, American Mathematical Monthly 82 (1975)). An outline that crosses
/// itself yields what could be cut.
pub fn triangulate(points: &[Pos]) -> Vec<[usize; 3]> {
    let cross = |a: Pos, b: Pos, c: Pos| (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    let area2: f32 = (0..points.len())
        .map(|i| (points[i], points[(i + 1) % points.len()]))
        .map(|(a, b)| a.x * b.y - b.x * a.y)
        .sum();
    let turn = if area2 < 0.0 { -1.0 } else { 1.0 };
    let mut left: Vec<usize> = (0..points.len()).collect();
    let mut triangles = Vec::with_capacity(points.len().saturating_sub(2));
    while left.len() >= 3 {
        let n = left.len();
        let corner = |i: usize| [left[(i + n - 1) % n], left[i], left[(i + 1) % n]];
        let is_ear = |&i: &usize| {
            let [a, b, c] = corner(i).map(|k| points[k]);
            turn * cross(a, b, c) > 1e-6
                && left.iter().filter(|k| !corner(i).contains(k)).all(|&k| {
                    let p = points[k];
                    !(turn * cross(a, b, p) >= 0.0
                        && turn * cross(b, c, p) >= 0.0
                        && turn * cross(c, a, p) >= 0.0)
                })
        };
        // Corners on a straight line bound no area and are dropped without a triangle.
        let is_flat = |&i: &usize| {
            let [a, b, c] = corner(i).map(|k| points[k]);
            cross(a, b, c).abs() <= 1e-6
        };
        if let Some(i) = (0..n).find(is_ear) {
            triangles.push(corner(i));
            left.remove(i);
        } else if let Some(i) = (0..n).find(is_flat) {
            left.remove(i);
        } else {
            break;
        }
    }
    triangles
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(points: &[Pos]) -> f32 {
        let ring = |i: usize| (points[i], points[(i + 1) % points.len()]);
        (0..points.len())
            .map(ring)
            .map(|(a, b)| a.x * b.y - b.x * a.y)
            .sum::<f32>()
            .abs()
            / 2.0
    }

    #[test]
    fn triangles_cover_a_concave_outline_exactly() {
        let step = [
            (0, 0),
            (4, 0),
            (4, 1),
            (1, 1),
            (1, 3),
            (4, 3),
            (4, 4),
            (0, 4),
        ];
        let bow = [(0, 0), (5, 3), (10, 0), (10, 6), (5, 9), (0, 6), (3, 3)];
        let flat = [(0, 0), (2, 0), (4, 0), (4, 4), (0, 4)];
        for outline in [&step[..], &bow[..], &flat[..]] {
            let mut points: Vec<Pos> = outline
                .iter()
                .map(|&(x, y): &(u8, u8)| pos(f32::from(x), f32::from(y)))
                .collect();
            for _ in 0..2 {
                let covered: f32 = triangulate(&points)
                    .iter()
                    .map(|t| area(&t.map(|k| points[k])))
                    .sum();
                assert!(
                    (covered - area(&points)).abs() < 1e-3,
                    "{covered} of {}",
                    area(&points)
                );
                points.reverse();
            }
        }
        assert!(
            triangulate(&[]).is_empty() && triangulate(&[pos(0.0, 0.0), pos(1.0, 1.0)]).is_empty()
        );
    }

    #[test]
    fn dashes_keep_their_rhythm_round_a_corner() {
        let pieces = dashes(&[pos(0.0, 0.0), pos(5.0, 0.0), pos(5.0, 5.0)], [3.0, 1.0]);
        let drawn: f32 = pieces
            .iter()
            .map(|[a, b]| libm::hypotf(b.x - a.x, b.y - a.y))
            .sum();
        assert!((drawn - 8.0).abs() < 1e-3, "{drawn}"); // 3 on, 1 off, 3 on, 1 off, 2 on
    }

    #[test]
    fn thin_lines_stand_on_half_pixels_and_double_ones_on_whole() {
        assert_eq!(crisp(10.2, 1.0), 10.5);
        assert_eq!(crisp(10.9, 1.0), 10.5);
        assert_eq!(crisp(10.6, 2.0), 11.0);
    }

    #[test]
    fn clock_angles_begin_above_and_run_clockwise() {
        let c = pos(10.0, 10.0);
        let near = |a: Pos, b: Pos| (a.x - b.x).abs() < 1e-4 && (a.y - b.y).abs() < 1e-4;
        assert!(near(clock_point(c, 5.0, 0.0), pos(10.0, 5.0)));
        assert!(near(clock_point(c, 5.0, 90.0), pos(15.0, 10.0)));
        let arc = arc_points(c, 5.0, 0.0, 90.0);
        assert!(arc.len() > 20 && near(arc[arc.len() - 1], pos(15.0, 10.0)));
    }
}
