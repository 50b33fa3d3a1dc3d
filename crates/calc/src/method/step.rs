//! One line of a derivation: the numbers put in, what comes out, and why. The reader's unit and decimal sign are
//! the business of whoever shows it.

use crate::quantity::Length;

/// A part of a line.
#[derive(Debug, Clone, PartialEq)]
pub enum Part {
    /// Words and signs as they are.
    Text(String),
    /// A length or a difference of lengths, shown in the reader's unit (mm or inch).
    Length(Length),
    /// A small length, shown in the small unit of the reader (um or thousandths of an inch).
    Small(Length),
    /// Any other number with its unit, to so many decimals at most.
    Number {
        /// The number.
        value: f64,
        /// Its unit; empty for none.
        unit: &'static str,
        /// Decimals to show at most.
        decimals: u8,
    },
}

impl Part {
    /// A number with its unit, to so many decimals at most.
    pub const fn number(value: f64, unit: &'static str, decimals: u8) -> Self {
        Self::Number {
            value,
            unit,
            decimals,
        }
    }

    /// Words.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }
}

/// One line of a derivation.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What is put together, for example `0.445 / (α · 760)`.
    pub expression: Vec<Part>,
    /// What comes out.
    pub result: Part,
    /// Why: the rule, the table, its row.
    pub note: String,
}

impl Step {
    /// A line from a pattern in which each `{}` stands for the next part. Parts that no `{}` asks for follow at the
    /// end, so that nothing is lost.
    pub fn new(
        pattern: &str,
        parts: impl IntoIterator<Item = Part>,
        result: Part,
        note: impl Into<String>,
    ) -> Self {
        let mut parts = parts.into_iter();
        let mut expression = Vec::new();
        for (index, words) in pattern.split("{}").enumerate() {
            if index > 0 {
                expression.extend(parts.next());
            }
            if !words.is_empty() {
                expression.push(Part::text(words));
            }
        }
        expression.extend(parts);
        Self {
            expression,
            result,
            note: note.into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::millimetres;

    #[test]
    fn a_pattern_takes_its_parts_in_order_and_loses_none() {
        let length = |mm| Part::Length(millimetres(mm));
        let step = Step::new("{} - {}", [length(3.0), length(1.0)], length(2.0), "why");
        let expected = [length(3.0), Part::text(" - "), length(1.0)];
        assert_eq!(step.expression, expected);
        let more = Step::new("{}", [length(3.0), length(1.0)], length(2.0), "");
        assert_eq!(more.expression, [length(3.0), length(1.0)]);
    }
}
