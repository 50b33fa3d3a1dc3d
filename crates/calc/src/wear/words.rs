//! How a forecast is told, so that it promises nothing: rounded, never certain, and with what it rests on.

use super::forecast::State;
use super::review::RowForecast;

/// What the readings of a segment allow to say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Knowledge {
    /// Only as set: no growth measured, similar bearings speak.
    OnlySimilar,
    /// One growth, smaller than its reading error: not yet distinguishable from it.
    WithinReadingError,
    /// One growth: mostly from similar bearings.
    MostlySimilar,
    /// Two: its own line too, but nothing about acceleration.
    OwnLine,
    /// Three or more.
    Full,
}

impl RowForecast {
    /// What may be said, by the number of readings.
    pub fn knowledge(&self) -> Knowledge {
        let grown = self
            .last_um
            .zip(self.as_set_um)
            .map(|(last, set)| last - set);
        // ± 2 √(2 s²): the reading error of a difference at k = 2.
        let error_um = 2.0 * std::f64::consts::SQRT_2 * self.reading_sd_um;
        match self.readings_used {
            0 | 1 => Knowledge::OnlySimilar,
            2 if grown.is_some_and(|grown| grown < error_um) => Knowledge::WithinReadingError,
            2 => Knowledge::MostlySimilar,
            3 => Knowledge::OwnLine,
            _ => Knowledge::Full,
        }
    }
}

impl State {
    /// "1.2 times as fast as its peers", with one digit behind the point; "hardly" where next to nothing is worn.
    pub fn factor_words(&self) -> String {
        if self.factor < 0.05 {
            return "hardly wears at all".to_owned();
        }
        format!("wears {:.1} times as fast as its peers", self.factor)
    }
}

/// A chance as it is told: "about 1 in 4", "about 65 in 100", never 0 or 100.
pub fn chance_words(chance: f64) -> String {
    if chance < 0.01 {
        "less than 1 in 100".to_owned()
    } else if chance > 0.99 {
        "more than 99 in 100".to_owned()
    } else if chance < 0.3 {
        let n = 1.0 / chance;
        // Beyond 20 the odds are not known that well.
        let n = if n > 20.0 {
            (n / 10.0).round() * 10.0
        } else {
            n.round()
        };
        format!("about 1 in {n:.0}")
    } else {
        format!(
            "about {:.0} in 100",
            ((chance * 20.0).round() * 5.0).min(95.0)
        )
    }
}

/// Hours as they are told: to 100 h.
pub fn told_hours(h: f64) -> f64 {
    (h / 100.0).round() * 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chance_is_never_certain_and_never_too_exact() {
        for (chance, words) in [
            (0.0, "less than 1 in 100"),
            (0.012, "about 1 in 80"),
            (0.26, "about 1 in 4"),
            (0.17, "about 1 in 6"),
            (0.62, "about 60 in 100"),
            (0.985, "about 95 in 100"),
            (1.0, "more than 99 in 100"),
        ] {
            assert_eq!(chance_words(chance), words, "{chance}");
        }
        assert_eq!(told_hours(14_649.0), 14_600.0);
    }
}
