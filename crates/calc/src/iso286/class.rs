//! A tolerance class (letter and grade) and the rules that turn table values into its limits.

use super::tables::{GRADES, Size};

/// Hole (capital letter) or shaft.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Hole,
    Shaft,
}

/// A parsed class, such as `H7`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Class {
    pub side: Side,
    /// The letter in small letters.
    letter: String,
    grade: u8,
}

pub(super) const SHAFT_LETTERS: [&str; 13] = [
    "d", "e", "f", "g", "h", "js", "j", "k", "m", "n", "p", "r", "s",
];
pub(super) const HOLE_LETTERS: [&str; 13] = [
    "D", "E", "F", "G", "H", "JS", "J", "K", "M", "N", "P", "R", "S",
];
/// Above this nominal size (µm) other rules hold.
const LARGE_UM: f64 = 500_000.0;

impl Class {
    /// Letters all capital or all small, then the grade without sign or leading zero.
    pub(super) fn parse(text: &str) -> Option<Self> {
        let split = text.find(|c: char| c.is_ascii_digit())?;
        let (letters, digits) = text.split_at(split);
        let side = if letters.chars().all(|c| c.is_ascii_uppercase()) {
            Side::Hole
        } else if letters.chars().all(|c| c.is_ascii_lowercase()) {
            Side::Shaft
        } else {
            return None;
        };
        let grade: u8 = digits.parse().ok()?;
        let is_plain = !letters.is_empty() && grade.to_string() == digits;
        is_plain.then(|| Self {
            side,
            letter: letters.to_ascii_lowercase(),
            grade,
        })
    }

    /// Lower and upper limit deviation in nm; `None` where the class is not defined at this size.
    pub(super) fn limits_nm(&self, size: &Size<'_>) -> Option<(i64, i64)> {
        let it = size.grade(self.grade)?;
        let letter = self.letter.as_str();
        if letter == "js" {
            return Some((-it / 2, it / 2)); // all grades are whole or half micrometres, so nm halve exactly
        }
        match (self.side, letter) {
            (Side::Shaft, "d" | "e" | "f" | "g" | "h") => {
                size.shaft(letter).map(|es| (es - it, es))
            }
            (Side::Shaft, _) => self.shaft_lower(size).map(|ei| (ei, ei + it)),
            (Side::Hole, "d" | "e" | "f" | "g" | "h") => {
                size.shaft(letter).map(|es| (-es, -es + it))
            }
            (Side::Hole, _) => self.hole_upper(size).map(|es| (es - it, es)),
        }
    }

    fn shaft_lower(&self, size: &Size<'_>) -> Option<i64> {
        if self.letter == "j" {
            return size.j_lower(self.grade);
        }
        // The k column holds for grades 4 to 7 up to 500 mm; the table has 0 above.
        if self.letter == "k" && !(4..=7).contains(&self.grade) {
            return Some(0);
        }
        size.shaft(&self.letter)
    }

    fn hole_upper(&self, size: &Size<'_>) -> Option<i64> {
        let (grade, nominal_um) = (self.grade, size.nominal_um);
        let is_large = nominal_um > LARGE_UM;
        let with_delta = |limit: u8| if grade <= limit { size.delta(grade) } else { 0 };
        if self.letter == "j" {
            return size.j_upper(grade);
        }
        let ei = size.shaft(&self.letter)?;
        match self.letter.as_str() {
            "k" if grade > 8 => None, // K above IT8 is not used
            // Special case: ES of M6 in 250 to 315 mm is -9, not -11.
            "m" if grade == 6 && nominal_um > 250_000.0 && nominal_um <= 315_000.0 => Some(-9_000),
            "n" if grade > 8 && nominal_um <= 1_000.0 => None, // N9 and coarser are not used up to 1 mm
            "n" if grade > 8 && nominal_um > 3_000.0 && !is_large => Some(0),
            "k" | "m" | "n" => Some(-ei + with_delta(8)),
            _ => Some(-ei + with_delta(7)), // P to S
        }
    }
}

/// The classes that are defined at a size, as `d e f g h js k m n p r s 3 to 11; ...`.
pub(super) fn defined_at(size: &Size<'_>) -> String {
    let classes = |letters: &[&str]| {
        let ranges = letters.iter().filter_map(|letter| grades_of(letter, size));
        ranges.collect::<Vec<_>>().join(", ")
    };
    format!(
        "shafts {}; holes {}",
        classes(&SHAFT_LETTERS),
        classes(&HOLE_LETTERS)
    )
}

fn grades_of(letter: &str, size: &Size<'_>) -> Option<String> {
    let is_defined = |grade: &u8| {
        let class = Class::parse(&format!("{letter}{grade}"));
        class.is_some_and(|class| class.limits_nm(size).is_some())
    };
    // Every letter is defined for one run of grades.
    let grades: Vec<u8> = GRADES.filter(is_defined).collect();
    let (first, last) = grades.first().zip(grades.last())?;
    Some(format!("{letter}{first}-{last}"))
}
