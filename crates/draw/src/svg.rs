//! A scene as SVG text: one element a shape, numbers with at most two decimals so that the same
//! scene gives the same bytes on every machine.

use std::fmt::Write;

use crate::font::{self, Weight};
use crate::scene::{Align, Pos, Scene, Shape, Stroke, Text, arc_points};
use crate::tokens::{Theme, Token, rgb};

pub(crate) fn write(scene: &Scene, theme: Theme) -> String {
    let (w, h, title) = (
        number(scene.width),
        number(scene.height),
        escaped(&scene.title),
    );
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" \
         role=\"img\" aria-label=\"{title}\" font-family=\"{}\">\n<title>{title}</title>\n",
        font::FAMILY
    );
    // What only answers to a pointer leaves no mark on paper.
    let is_seen = |shape: &Shape| {
        !matches!(
            shape,
            Shape::Circle {
                fill: None,
                stroke: None,
                ..
            }
        )
    };
    for item in scene.items.iter().filter(|item| is_seen(&item.shape)) {
        match &item.hit {
            None => shape(&mut out, &item.shape, theme),
            Some(hit) => {
                out.push_str("<g><title>");
                out.push_str(&escaped(&hit.label));
                out.push_str("</title>");
                shape(&mut out, &item.shape, theme);
                out.push_str("</g>");
            }
        }
        out.push('\n');
    }
    out.push_str("</svg>\n");
    out
}

fn shape(out: &mut String, shape: &Shape, theme: Theme) {
    let element = match shape {
        Shape::Line { from, to, stroke } => {
            let ends = format!(
                "x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"",
                number(from.x),
                number(from.y),
                number(to.x),
                number(to.y)
            );
            format!("<line {ends}{}/>", paint(None, Some(*stroke), theme))
        }
        Shape::Polyline { points, stroke } => {
            format!(
                "<polyline points=\"{}\"{}/>",
                list(points),
                paint(None, Some(*stroke), theme)
            )
        }
        Shape::Polygon {
            points,
            fill,
            stroke,
        } => {
            format!(
                "<polygon points=\"{}\"{}/>",
                list(points),
                paint(*fill, *stroke, theme)
            )
        }
        Shape::Circle {
            centre,
            radius,
            fill,
            stroke,
        } => {
            let (x, y, r) = (number(centre.x), number(centre.y), number(*radius));
            format!(
                "<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"{}/>",
                paint(*fill, *stroke, theme)
            )
        }
        Shape::Rect {
            min,
            max,
            corner,
            fill,
            stroke,
        } => rect(*min, *max, *corner, &paint(*fill, *stroke, theme)),
        Shape::Arc {
            centre,
            radius,
            from_deg,
            to_deg,
            stroke,
        } => {
            let points = arc_points(*centre, *radius, *from_deg, *to_deg);
            format!(
                "<polyline points=\"{}\"{}/>",
                list(&points),
                paint(None, Some(*stroke), theme)
            )
        }
        Shape::Text(line) => text(line, theme),
    };
    out.push_str(&element);
}

fn rect(min: Pos, max: Pos, corner: f32, paint: &str) -> String {
    let (x, y, w, h) = (
        number(min.x),
        number(min.y),
        number(max.x - min.x),
        number(max.y - min.y),
    );
    let round = if corner > 0.0 {
        format!(" rx=\"{}\"", number(corner))
    } else {
        String::new()
    };
    format!("<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"{round}{paint}/>")
}

fn text(line: &Text, theme: Theme) -> String {
    let mut out = String::new();
    if let Some(backing) = line.backing {
        let (min, max) = line.bounds();
        let (min, max) = (
            Pos {
                x: min.x - 2.0,
                y: min.y - 2.0,
            },
            Pos {
                x: max.x + 2.0,
                y: max.y + 2.0,
            },
        );
        out.push_str(&rect(min, max, 0.0, &paint(Some(backing), None, theme)));
    }
    let anchor = match line.align {
        Align::Left => "start",
        Align::Centre => "middle",
        Align::Right => "end",
    };
    let weight = match line.weight {
        Weight::Regular => 400,
        Weight::Semibold => 600,
    };
    let (x, y, size) = (number(line.at.x), number(line.at.y), number(line.size));
    let (fill, words) = (hex(line.token, theme), escaped(&line.text));
    let _ = write!(
        out,
        "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" font-weight=\"{weight}\" text-anchor=\"{anchor}\" \
         fill=\"{fill}\" xml:space=\"preserve\">{words}</text>"
    );
    out
}

fn paint(fill: Option<Token>, stroke: Option<Stroke>, theme: Theme) -> String {
    let mut out = match fill {
        Some(token) => format!(" fill=\"{}\"", hex(token, theme)),
        None => " fill=\"none\"".to_owned(),
    };
    if let Some(stroke) = stroke {
        let _ = write!(
            out,
            " stroke=\"{}\" stroke-width=\"{}\"",
            hex(stroke.token, theme),
            number(stroke.width)
        );
        if let Some([dash, gap]) = stroke.dash {
            let _ = write!(
                out,
                " stroke-dasharray=\"{} {}\"",
                number(dash),
                number(gap)
            );
        }
    }
    out
}

fn hex(token: Token, theme: Theme) -> String {
    let [r, g, b] = rgb(token, theme);
    format!("#{r:02X}{g:02X}{b:02X}")
}

fn list(points: &[Pos]) -> String {
    let pairs: Vec<String> = points
        .iter()
        .map(|p| format!("{},{}", number(p.x), number(p.y)))
        .collect();
    pairs.join(" ")
}

/// At most two decimals, no needless zeros, no negative zero. What is not a number becomes 0, for a
/// picture must stay readable whatever went wrong before it.
fn number(value: f32) -> String {
    let hundredths = if value.is_finite() {
        (f64::from(value) * 100.0).round() as i64
    } else {
        0
    };
    let (sign, rest) = (
        if hundredths < 0 { "-" } else { "" },
        hundredths.unsigned_abs(),
    );
    let (whole, part) = (rest / 100, rest % 100);
    match part {
        0 => format!("{sign}{whole}"),
        p if p % 10 == 0 => format!("{sign}{whole}.{}", p / 10),
        p => format!("{sign}{whole}.{p:02}"),
    }
}

fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' => out.push(' '),
            c if c.is_control() => {} // XML 1.0 allows none of them
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::{Hit, pos};

    #[test]
    fn numbers_have_at_most_two_decimals_and_no_negative_zero() {
        let rows = [
            (0.0, "0"),
            (-0.001, "0"),
            (1.5, "1.5"),
            (2.005_1, "2.01"),
            (-3.25, "-3.25"),
            (7.1, "7.1"),
            (f32::NAN, "0"),
        ];
        for (value, expected) in rows {
            assert_eq!(number(value), expected, "{value}");
        }
    }

    #[test]
    fn words_are_escaped_and_a_hit_becomes_a_title() {
        let mut scene = Scene::new(10.0, 20.0, "rows \"1\" & 2");
        let hit = Hit {
            key: 4,
            label: "0.38 < 0.60".to_owned(),
        };
        scene.add_hit(
            Some(&hit),
            [Shape::Text(
                Text::note(pos(1.0, 2.0), "a<b", Token::Ink).on(Token::Sheet),
            )],
        );
        let svg = scene.to_svg(Theme::Day);
        assert!(
            svg.contains("aria-label=\"rows &quot;1&quot; &amp; 2\""),
            "{svg}"
        );
        assert!(
            svg.contains("<title>0.38 &lt; 0.60</title>") && svg.contains(">a&lt;b</text>"),
            "{svg}"
        );
        assert!(svg.contains("#1B2224") && scene.to_svg(Theme::Night).contains("#E9EBE6"));
    }
}
