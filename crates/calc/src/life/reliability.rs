//! Life for a reliability above 90 percent: factor a1 of both editions of ISO 281, read from the printed table.

use std::{collections::BTreeMap, sync::OnceLock};

use crate::error::{CalcError, within};

const TABLE: &str = include_str!("../../../../shared/reference/iso281.toml");

/// Edition of ISO 281.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Edition {
    /// ISO 281:1990: two-parameter Weibull distribution, up to 99 percent.
    E1990,
    /// ISO 281:2007: three-parameter, up to 99.95 percent.
    #[default]
    E2007,
}

impl Edition {
    /// Largest reliability of its table.
    pub fn reliability_max(self) -> f64 {
        match self {
            Self::E1990 => 0.99,
            Self::E2007 => 0.9995,
        }
    }

    /// The formula that the printed table rounds.
    ///
    /// 1990: `a1 = x`, 2007: `a1 = 0.95 x + 0.05`, both with `x = (ln S / ln 0.9)^(2/3)`. Source: ISO/TR 1281-2
    /// (memory), in `iso281.toml`. A test holds table and formula against each other.
    pub fn formula(self, reliability: f64) -> f64 {
        let x = abscissa(reliability);
        match self {
            Self::E1990 => x,
            Self::E2007 => 0.95 * x + 0.05,
        }
    }
}

/// `(ln S / ln 0.9)^(2/3)`: over it a1 is a straight line in either edition.
fn abscissa(reliability: f64) -> f64 {
    libm::pow(libm::log(reliability) / libm::log(0.9), 2.0 / 3.0)
}

/// The two tables: reliability and factor, reliabilities rising.
struct Tables {
    e1990: Vec<(f64, f64)>,
    e2007: Vec<(f64, f64)>,
}

fn tables() -> &'static Tables {
    #[derive(serde::Deserialize)]
    struct File {
        a1_1990: BTreeMap<String, f64>,
        a1_2007: BTreeMap<String, f64>,
    }
    static TABLES: OnceLock<Tables> = OnceLock::new();
    TABLES.get_or_init(|| {
        let file: Option<File> = toml::from_str(TABLE).ok();
        let rows = |table: BTreeMap<String, f64>| {
            let mut rows: Vec<(f64, f64)> = table
                .iter()
                .filter_map(|(percent, &a1)| Some((percent.parse::<f64>().ok()? / 100.0, a1)))
                .collect();
            rows.sort_by(|a, b| a.0.total_cmp(&b.0));
            rows
        };
        file.map_or_else(
            || Tables {
                e1990: Vec::new(),
                e2007: Vec::new(),
            },
            |file| Tables {
                e1990: rows(file.a1_1990),
                e2007: rows(file.a1_2007),
            },
        )
    })
}

/// Life adjustment factor a1 for a reliability.
///
/// In a row of the table the printed value; between two rows a straight line over `(ln S / ln 0.9)^(2/3)`, in which
/// the formula of the table is one (see [`Edition::formula`]), so that a1 falls without a step.
/// Range: 0.90 to 0.99 (1990) or 0.9995 (2007). Source: ISO 281:1990 and ISO 281:2007, tables in `iso281.toml`.
///
/// # Errors
/// `OutOfRange` or `NotFinite` for a reliability.
pub fn reliability_factor(reliability: f64, edition: Edition) -> Result<f64, CalcError> {
    let range = 0.9..=edition.reliability_max();
    within("reliability", reliability, &range, "")?;
    let rows = match edition {
        Edition::E1990 => &tables().e1990,
        Edition::E2007 => &tables().e2007,
    };
    let is_row = |s: f64| (s - reliability).abs() < 1e-9; // 0.999 typed, 99.9 / 100 read
    if let Some(&(_, a1)) = rows.iter().find(|(s, _)| is_row(*s)) {
        return Ok(a1);
    }
    let bracket = rows.windows(2).find(|pair| reliability < pair[1].0);
    let a1 = bracket.map(|pair| {
        let [(from, a_from), (to, a_to)] = [pair[0], pair[1]];
        let (x_from, x_to) = (abscissa(from), abscissa(to));
        a_from + (a_to - a_from) * (abscissa(reliability) - x_from) / (x_to - x_from)
    });
    a1.ok_or_else(|| CalcError::OutOfRange {
        input: "reliability".to_owned(),
        value: reliability,
        unit: "",
        allowed: format!("{} to {}", range.start(), range.end()),
    })
}
