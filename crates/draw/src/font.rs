//! The two typefaces of window and print, and what can be known of a text before it is drawn:
//! its width, and whether every character has a picture.
//!
//! Open Sans is kept in `assets/fonts` with its licence. Its digits are all of one width, so columns
//! of numbers align without further work. It has no arrows, ticks or diameter sign: see
//! [`crate::marks`].

use std::borrow::Cow;
use std::fmt::Write;
use std::sync::LazyLock;

use ttf_parser::Face;

/// Open Sans Regular, the file.
pub const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/OpenSans-Regular.ttf");
/// Open Sans Semibold, the file.
pub const SEMIBOLD: &[u8] = include_bytes!("../../../assets/fonts/OpenSans-Semibold.ttf");
/// The family name inside both files.
pub const FAMILY: &str = "Open Sans";

/// Of the whole family, only these two are used.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Weight {
    /// Running text.
    #[default]
    Regular,
    /// What must be found at a glance.
    Semibold,
}

static FACES: LazyLock<[Face<'static>; 2]> = LazyLock::new(|| {
    [REGULAR, SEMIBOLD].map(|file| Face::parse(file, 0).expect("the embedded typeface is whole"))
});

fn face(weight: Weight) -> &'static Face<'static> {
    let [regular, semibold] = &*FACES;
    match weight {
        Weight::Regular => regular,
        Weight::Semibold => semibold,
    }
}

/// Width of one line of text, px at `size` px, without kerning, as both renderers set it.
///
/// A character without a picture counts as the typeface's own box for missing ones.
pub fn width(text: &str, size: f32, weight: Weight) -> f32 {
    let face = face(weight);
    let units: u32 = text
        .chars()
        .map(|c| face.glyph_index(c).unwrap_or_default())
        .map(|glyph| u32::from(face.glyph_hor_advance(glyph).unwrap_or_default()))
        .sum();
    units as f32 * size / f32::from(face.units_per_em())
}

/// Whether the character can be shown in both weights.
pub fn has_glyph(c: char) -> bool {
    FACES.iter().all(|face| face.glyph_index(c).is_some())
}

/// The same text with every character that cannot be shown replaced by its code point in brackets,
/// `[U+4E2D]`, so that nothing vanishes or turns into an empty box. A new line stays.
pub fn readable(text: &str) -> Cow<'_, str> {
    let shown = |c: char| c == '\n' || (!c.is_control() && has_glyph(c));
    if text.chars().all(shown) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        if shown(c) {
            out.push(c);
        } else {
            let _ = write!(out, "[U+{:04X}]", u32::from(c));
        }
    }
    Cow::Owned(out)
}

/// The baseline of a line whose digits and capitals are centred on `centre_y`.
pub fn baseline(centre_y: f32, size: f32) -> f32 {
    centre_y + 0.357 * size // half the cap height of the typeface, 0.714 em
}

/// How far the letters reach above and below the baseline, px at `size` px.
pub fn extent(size: f32) -> (f32, f32) {
    (0.76 * size, 0.24 * size) // tall letters and descenders, measured on the typeface
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_digits_have_one_width_in_both_weights() {
        for weight in [Weight::Regular, Weight::Semibold] {
            let zero = width("0", 20.0, weight);
            assert!(zero > 11.0 && zero < 12.0, "{zero}"); // 0.572 em
            for digit in "123456789".chars() {
                assert_eq!(width(&digit.to_string(), 20.0, weight), zero, "{digit}");
            }
        }
    }

    #[test]
    fn width_adds_up_and_grows_with_size_and_weight() {
        let one = width("rows 1", 13.0, Weight::Regular);
        assert!((width("rows 1rows 1", 13.0, Weight::Regular) - 2.0 * one).abs() < 1e-3);
        assert!((width("rows 1", 26.0, Weight::Regular) - 2.0 * one).abs() < 1e-3);
        assert!(width("rows", 13.0, Weight::Semibold) > width("rows", 13.0, Weight::Regular));
        assert_eq!(width("", 13.0, Weight::Regular), 0.0);
    }

    #[test]
    fn every_sign_the_program_uses_has_a_glyph_and_arrows_have_none() {
        for c in "×±°−–·µαé’0123456789ÄÖÜäöüß".chars() {
            assert!(has_glyph(c), "{c}");
        }
        for c in "→✓⌀中".chars() {
            assert!(!has_glyph(c), "{c} has a glyph: it need not be drawn");
        }
    }

    #[test]
    fn a_text_that_cannot_be_shown_names_its_code_points() {
        assert_eq!(readable("ring A, 45°\nrow 2"), "ring A, 45°\nrow 2");
        assert!(matches!(readable("plain"), Cow::Borrowed(_)));
        assert_eq!(readable("a\u{4E2D}b"), "a[U+4E2D]b");
        assert_eq!(readable("a\u{7}\tb"), "a[U+0007][U+0009]b");
        assert_eq!(readable("\u{1F600}"), "[U+1F600]");
        assert!(
            readable("\u{4E2D}\u{202E}\u{7}")
                .chars()
                .all(|c| c != '\u{7}' && has_glyph(c))
        );
    }
}
