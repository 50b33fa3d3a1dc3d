//! No character vanishes: what the embedded fonts cannot show is written as its code point, `[U+4E2D]`.
//!
//! The same is done to characters that show nothing or turn the reading order round: in a record they can hide or
//! forge what was written.

use std::borrow::Cow;
use std::fmt::Write;

use serde_json::Value;

use crate::typeset;

/// The text with every unreadable character named.
pub(crate) fn text(text: &str) -> Cow<'_, str> {
    if text.chars().all(is_readable) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 16);
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '\t' => shown.push(' '),
            '\r' => {
                if chars.peek() != Some(&'\n') {
                    shown.push('\n');
                }
            }
            '\u{2028}' | '\u{2029}' => shown.push('\n'),
            c if is_readable(c) => shown.push(c),
            c => {
                // Writing to a String cannot fail.
                let _ = write!(shown, "[U+{:04X}]", u32::from(c));
            }
        }
    }
    Cow::Owned(shown)
}

/// Makes every text of the data readable; keys are ours and stay.
pub(crate) fn every_text(value: &mut Value) {
    match value {
        Value::String(s) => {
            if let Cow::Owned(shown) = text(s) {
                *s = shown;
            }
        }
        Value::Array(items) => items.iter_mut().for_each(every_text),
        Value::Object(fields) => fields.values_mut().for_each(every_text),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

fn is_readable(c: char) -> bool {
    c == '\n' || (!c.is_control() && !is_invisible(c) && typeset::has_glyph(c))
}

/// Format characters that a font may contain and that print as nothing or reorder what follows.
fn is_invisible(c: char) -> bool {
    matches!(
        c,
        '\u{00AD}'
            | '\u{034F}'
            | '\u{061C}'
            | '\u{115F}'..='\u{1160}'
            | '\u{17B4}'..='\u{17B5}'
            | '\u{180B}'..='\u{180F}'
            | '\u{200B}'..='\u{200F}'
            | '\u{2028}'..='\u{202E}'
            | '\u{2060}'..='\u{206F}'
            | '\u{3164}'
            | '\u{FE00}'..='\u{FE0F}'
            | '\u{FEFF}'
            | '\u{FFA0}'
            | '\u{FFF0}'..='\u{FFFC}'
            | '\u{E0000}'..='\u{E0FFF}'
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(written: &str, shown: &str) {
        assert_eq!(text(written), shown);
    }

    #[test]
    fn signs_of_the_trade_stay() {
        for kept in [
            "0.300 ±0.030 mm",
            "20 °C",
            "480 × 620",
            "µm ≤ ≥ − – — · “x” ½",
            "Größe, ζ, Ж",
            "#$*@[]\\",
        ] {
            assert!(
                matches!(text(kept), Cow::Borrowed(_)),
                "{kept} was changed to {}",
                text(kept)
            );
        }
    }

    #[test]
    fn what_no_font_has_is_named() {
        check("bearing 中", "bearing [U+4E2D]");
        check("→✓⌀", "[U+2192][U+2713][U+2300]");
        check("\u{1F600}", "[U+1F600]");
    }

    #[test]
    fn what_shows_nothing_or_turns_the_order_is_named() {
        check("a\u{0}b", "a[U+0000]b");
        check("0.3\u{202E}00", "0.3[U+202E]00");
        check("x\u{200B}y\u{FEFF}", "x[U+200B]y[U+FEFF]");
    }

    #[test]
    fn line_ends_of_every_system_become_one() {
        check("a\r\nb\rc\u{2028}d\te", "a\nb\nc\nd e");
    }
}
