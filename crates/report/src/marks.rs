//! Colours of the page and the six verdict marks as small drawings.
//!
//! Both come from the crate `draw`, so that the print shows what the window shows. A mark is told by shape and word as
//! well as colour, so that it survives a grey printer.

use draw::{Scene, Theme, Token, pos};
use serde_json::{Map, Value, json};

use crate::Mark;

impl Mark {
    /// The name of a mark in files and in the data of the template.
    fn name(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::PassInDoubt => "pass_in_doubt",
            Self::FailInDoubt => "fail_in_doubt",
            Self::Fail => "fail",
            Self::Missing => "missing",
            Self::NotApplicable => "not_applicable",
        }
    }

    fn drawn(self) -> draw::Mark {
        match self {
            Self::Pass => draw::Mark::Pass,
            Self::PassInDoubt => draw::Mark::PassInDoubt,
            Self::FailInDoubt => draw::Mark::FailInDoubt,
            Self::Fail => draw::Mark::Fail,
            Self::Missing => draw::Mark::Missing,
            Self::NotApplicable => draw::Mark::NotApplicable,
        }
    }

    /// The shape in a square.
    fn svg(self) -> String {
        let side = draw::Mark::SIZE;
        let mut scene = Scene::new(side, side, self.word());
        scene.add_all(self.drawn().shapes(pos(side / 2.0, side / 2.0), 1.0));
        scene.to_svg(Theme::Day)
    }
}

/// Colours by name, for the template.
pub(crate) fn colours() -> Value {
    json!({
        "ink": hex(Token::Ink),
        "muted": hex(Token::Muted),
        "rule": hex(Token::Rule),
        "doubt": hex(Token::Doubt),
    })
}

/// Every mark by its name: its drawing, word and colour.
pub(crate) fn all() -> Value {
    let marks = Mark::ALL.map(|mark| {
        let told =
            json!({ "svg": mark.svg(), "word": mark.word(), "colour": hex(mark.drawn().token()) });
        (mark.name().to_owned(), told)
    });
    Value::Object(Map::from_iter(marks))
}

fn hex(token: Token) -> String {
    let [r, g, b] = draw::tokens::rgb(token, Theme::Day);
    format!("#{r:02X}{g:02X}{b:02X}")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn a_mark_is_known_by_the_name_that_the_model_writes() {
        for mark in Mark::ALL {
            assert_eq!(
                serde_json::to_value(mark).unwrap(),
                Value::from(mark.name())
            );
        }
    }

    #[test]
    fn no_two_marks_share_shape_or_word() {
        // Without its words and colour: what a grey printer leaves of the shape.
        let grey = |mark: Mark| {
            mark.svg()
                .replace(mark.word(), "")
                .replace(&hex(mark.drawn().token()), "#000000")
        };
        let shapes: BTreeSet<String> = Mark::ALL.iter().map(|&mark| grey(mark)).collect();
        let words: BTreeSet<&str> = Mark::ALL.iter().map(|mark| mark.word()).collect();
        assert_eq!(
            (shapes.len(), words.len()),
            (Mark::ALL.len(), Mark::ALL.len())
        );
    }
}
