//! Lines of hatching inside an outline, cut by the even-odd rule so that concave rings stay clean.

use crate::scene::{Pos, pos};

/// Which way the 45-degree lines lean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lean {
    /// Like a slash.
    Slash,
    /// Like a backslash.
    Backslash,
}

/// The pieces of 45-degree lines, `pitch` px apart along x, that lie inside the outline.
pub(crate) fn hatch(outline: &[Pos], pitch: f32, lean: Lean) -> Vec<[Pos; 2]> {
    // Along a slash x + y is constant, along a backslash x - y.
    let sign = if lean == Lean::Slash { 1.0 } else { -1.0 };
    let across = |p: Pos| p.x + sign * p.y;
    let (low, high) = outline
        .iter()
        .map(|&p| across(p))
        .fold((f32::INFINITY, f32::NEG_INFINITY), |(low, high), c| {
            (low.min(c), high.max(c))
        });
    if !(high - low).is_finite() || pitch <= 0.0 {
        return Vec::new();
    }
    let count = ((high - low) / pitch).floor().min(10_000.0) as u16;
    let first = (low / pitch).ceil() * pitch;
    let mut pieces = Vec::new();
    for i in 0..=count {
        let c = first + pitch * f32::from(i);
        let mut cuts: Vec<f32> = (0..outline.len())
            .map(|k| (outline[k], outline[(k + 1) % outline.len()]))
            .filter(|&(a, b)| (across(a) < c) != (across(b) < c))
            .map(|(a, b)| a.x + (b.x - a.x) * (c - across(a)) / (across(b) - across(a)))
            .collect();
        cuts.sort_by(f32::total_cmp);
        let at = |x: f32| pos(x, sign * (c - x));
        let seen = cuts.chunks_exact(2).filter(|pair| pair[1] - pair[0] > 0.1);
        pieces.extend(seen.map(|pair| [at(pair[0]), at(pair[1])]));
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hatch_line_leaves_out_the_notch_of_a_concave_outline() {
        // A U, 30 wide and 30 deep, with a notch 10 wide and 20 deep from above.
        let u = [
            (0, 0),
            (10, 0),
            (10, 20),
            (20, 20),
            (20, 0),
            (30, 0),
            (30, 30),
            (0, 30),
        ];
        let outline: Vec<Pos> = u
            .iter()
            .map(|&(x, y): &(u8, u8)| pos(f32::from(x), f32::from(y)))
            .collect();
        for lean in [Lean::Slash, Lean::Backslash] {
            let pieces = hatch(&outline, 4.0, lean);
            assert!(pieces.len() > 15, "{}", pieces.len());
            for [a, b] in pieces {
                let middle = pos(f32::midpoint(a.x, b.x), f32::midpoint(a.y, b.y));
                assert!(
                    (a.x - b.x).abs() - (a.y - b.y).abs() < 1e-3,
                    "not at 45 degrees"
                );
                let in_notch = middle.x > 10.0 && middle.x < 20.0 && middle.y < 20.0;
                assert!(
                    !in_notch && middle.y > 0.0 && middle.y < 30.0,
                    "{lean:?} {middle:?}"
                );
            }
        }
        assert!(hatch(&[], 7.0, Lean::Slash).is_empty());
    }
}
