//! Plain drawings that show where the real ones will stand.

use std::fmt::Write;

const OPEN: &str =
    "<svg xmlns=\"http://www.w3.org/2000/svg\" font-family=\"Open Sans\" font-size=\"13\"";

/// A finding on the unrolled rings: row, from and to in degrees, colour, letter.
pub(crate) type Arc = (u8, f32, f32, &'static str, &'static str);

/// Four unrolled rings with the findings.
pub(crate) fn ring_map(arcs: &[Arc]) -> String {
    let x_of = |deg: f32| 22.5 + deg / 360.0 * 759.0;
    let mut svg = format!("{OPEN} width=\"782\" height=\"192\" viewBox=\"0 0 782 192\">");
    for (from, to, zone) in [
        (0.0, 45.0, "I"),
        (45.0, 135.0, "II"),
        (135.0, 225.0, "III"),
        (225.0, 315.0, "IV"),
        (315.0, 360.0, "I"),
    ] {
        let (x, width) = (x_of(from), x_of(to) - x_of(from));
        let _ = write!(
            svg,
            "<rect x=\"{x}\" y=\"0.5\" width=\"{width}\" height=\"24\" fill=\"none\" stroke=\"#7F8583\"/>\
             <text x=\"{}\" y=\"17\" text-anchor=\"middle\" font-weight=\"600\" fill=\"#5A6467\">{zone}</text>",
            x + width / 2.0
        );
    }
    for row in 1..=4_u8 {
        let y = 30.5 + f32::from(row - 1) * 35.0;
        let _ = write!(
            svg,
            "<rect x=\"22.5\" y=\"{y}\" width=\"759\" height=\"30\" fill=\"#ECE9E1\" stroke=\"#7F8583\"/>\
             <text x=\"4\" y=\"{}\" font-size=\"16\" font-weight=\"600\" fill=\"#5A6467\">{row}</text>",
            y + 21.0
        );
    }
    for &(row, from, to, colour, letter) in arcs {
        let y = 35.5 + f32::from(row - 1) * 35.0;
        let (x, width) = (x_of(from), x_of(to) - x_of(from));
        let _ = write!(
            svg,
            "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"20\" fill=\"none\" stroke=\"{colour}\" \
             stroke-width=\"1.5\"/><text x=\"{}\" y=\"{}\" font-weight=\"600\" fill=\"{colour}\">{letter}</text>",
            x + width + 6.0,
            y + 15.0
        );
    }
    for deg in [
        0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0, 360.0_f32,
    ] {
        let anchor = if deg >= 360.0 { "end" } else { "start" };
        let _ = write!(
            svg,
            "<text x=\"{}\" y=\"186\" text-anchor=\"{anchor}\" fill=\"#5A6467\">{deg}°</text>",
            x_of(deg)
        );
    }
    svg + "</svg>"
}

/// A row pair: its name, its colour, and the points of each stretch.
pub(crate) type Pair<'a> = (&'a str, &'a str, &'a [&'a [(f32, f32)]]);

/// End play against hours: one line a row pair, from points (hours, mm); a new segment starts where hours stand still.
pub(crate) fn growth(pairs: &[Pair<'_>]) -> String {
    let x_of = |hours: f32| 44.0 + hours / 6_000.0 * 620.0;
    let y_of = |mm: f32| 230.0 - (mm - 0.25) / 0.45 * 220.0;
    let mut svg = format!("{OPEN} width=\"782\" height=\"270\" viewBox=\"0 0 782 270\">");
    for (mm, colour, dash, name) in [
        (0.3, "#D9D6CC", "", ""),
        (0.4, "#D9D6CC", "", ""),
        (0.45, "#8A5E00", "2 3", "0.450 watch"),
        (0.5, "#D9D6CC", "", ""),
        (0.6, "#B02A1E", "7 3", "0.600 rework"),
    ] {
        let y = y_of(mm);
        let _ = write!(
            svg,
            "<path d=\"M44 {y}H664\" stroke=\"{colour}\" stroke-width=\"1.3\" stroke-dasharray=\"{dash}\"/>\
             <text x=\"672\" y=\"{0}\" font-weight=\"600\" fill=\"{colour}\">{name}</text>\
             <text x=\"36\" y=\"{0}\" text-anchor=\"end\" fill=\"#5A6467\">{mm:.2}</text>",
            y + 4.6
        );
    }
    for hours in [
        0.0,
        1_000.0,
        2_000.0,
        3_000.0,
        4_000.0,
        5_000.0,
        6_000.0_f32,
    ] {
        let _ = write!(
            svg,
            "<text x=\"{}\" y=\"250\" text-anchor=\"middle\" fill=\"#5A6467\">{hours}</text>",
            x_of(hours)
        );
    }
    let _ = write!(
        svg,
        "<path d=\"M44 4V230H664\" fill=\"none\" stroke=\"#1B2224\"/>"
    );
    let _ = write!(
        svg,
        "<text x=\"664\" y=\"266\" text-anchor=\"end\" fill=\"#5A6467\">mill hours</text>"
    );
    for (at, (name, colour, segments)) in pairs.iter().enumerate() {
        for segment in *segments {
            let points: Vec<String> = segment
                .iter()
                .map(|&(hours, mm)| format!("{},{}", x_of(hours), y_of(mm)))
                .collect();
            let _ = write!(
                svg,
                "<polyline points=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"1.5\"/>",
                points.join(" ")
            );
            for &(hours, mm) in *segment {
                let _ = write!(
                    svg,
                    "<circle cx=\"{}\" cy=\"{}\" r=\"4\" fill=\"{colour}\"/>",
                    x_of(hours),
                    y_of(mm)
                );
            }
        }
        let y = 160 + at * 20;
        let _ = write!(
            svg,
            "<text x=\"672\" y=\"{y}\" font-weight=\"600\" fill=\"{colour}\">{name}</text>"
        );
    }
    svg + "</svg>"
}
