//! The anchor as a QR code, so that it need not be typed.

use std::fmt::Write;

use qrcode::{Color, EcLevel, QrCode};

use crate::ReportError;

/// Width of the light zone that a reader needs around a code, modules (ISO/IEC 18004; from memory).
pub(crate) const LIGHT_ZONE: usize = 4;

/// A QR code as SVG: one module is one unit; `zone` modules around it stay light. Where the form keeps the white of the
/// page free around it, none are needed.
pub(crate) fn svg(text: &str, zone: usize) -> Result<String, ReportError> {
    let code = QrCode::with_error_correction_level(text, EcLevel::M)
        .map_err(|_| ReportError::LongAnchor(text.len()))?;
    let width = code.width();
    let modules = code.into_colors();
    let mut path = String::new();
    for (y, line) in modules.chunks(width).enumerate() {
        let mut x = 0;
        while x < width {
            // One rectangle a run: neighbours drawn alone would show hairlines.
            let run = line[x..]
                .iter()
                .take_while(|&&module| module == Color::Dark)
                .count();
            if run > 0 {
                // Writing to a String cannot fail.
                let _ = write!(path, "M{x} {y}h{run}v1h-{run}z");
            }
            x += run.max(1);
        }
    }
    let side = width + 2 * zone;
    Ok(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{side}\" height=\"{side}\" viewBox=\"-{zone} -{zone} {side} {side}\">\
         <path fill=\"#000000\" d=\"{path}\"/></svg>"
    ))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn an_anchor_is_a_small_code_with_three_finders() {
        let svg = svg("0671 8D1F A6AA 1483 F96D 9C86", 0).unwrap();
        // 29 characters of the alphanumeric set fit in version 2 at level M: 25 modules.
        assert!(svg.contains("viewBox=\"-0 -0 25 25\""), "{svg}");
        for finder in ["M0 0h7v1h-7z", "M18 0h7v1h-7z", "M0 18h7v1h-7z"] {
            assert!(svg.contains(finder), "no finder pattern at {finder}");
        }
    }

    #[test]
    fn a_light_zone_lies_around_the_code_on_every_side() {
        let svg = svg("WC-17", LIGHT_ZONE).unwrap();
        // Five characters fit in version 1: 21 modules and four on each side.
        assert!(
            svg.contains("width=\"29\" height=\"29\" viewBox=\"-4 -4 29 29\""),
            "{svg}"
        );
    }

    #[test]
    fn an_anchor_beyond_the_largest_code_is_refused() {
        assert!(svg(&"x".repeat(2_331), 0).is_ok());
        assert_eq!(
            svg(&"x".repeat(2_332), 0),
            Err(ReportError::LongAnchor(2_332))
        );
    }
}
