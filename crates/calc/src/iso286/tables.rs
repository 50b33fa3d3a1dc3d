//! Reading the ISO 286 tables, once. Values become integer nanometres: some are half micrometres.

use std::{collections::BTreeMap, sync::OnceLock};

use crate::{quantity::as_micrometres, size_table::SizeTable};

const IT: &str = include_str!("../../../../shared/reference/iso286_it.csv");
const SHAFT: &str = include_str!("../../../../shared/reference/iso286_shaft_fd.csv");
const SHAFT_J: &str = include_str!("../../../../shared/reference/iso286_shaft_j.csv");
const HOLE: &str = include_str!("../../../../shared/reference/iso286_hole_rules.toml");

/// Smallest and largest grade of the table.
pub(super) const GRADES: std::ops::RangeInclusive<u8> = 3..=11;

/// The parsed tables.
pub(super) struct Tables {
    grades: Csv,
    shafts: Csv,
    /// `j5`, `j6`, `j7`, up to 500 mm only.
    shafts_j: Csv,
    /// `J6`, `J7`, `J8` and `IT3` to `IT8` (Δ) over the same ranges; nanometres.
    holes: Csv,
}

/// Rows by the upper end of their range (µm), columns by name, values in nanometres.
struct Csv {
    rows: Vec<(f64, BTreeMap<String, i64>)>,
}

/// What the tables say at one nominal size.
pub(super) struct Size<'a> {
    pub nominal_um: f64,
    grades: &'a BTreeMap<String, i64>,
    shafts: &'a BTreeMap<String, i64>,
    shafts_j: Option<&'a BTreeMap<String, i64>>,
    holes: Option<&'a BTreeMap<String, i64>>,
}

/// The tables, parsed at first use.
///
/// # Panics
/// Never with the tables that are compiled in: a test reads every row of them.
pub(super) fn tables() -> &'static Tables {
    static TABLES: OnceLock<Tables> = OnceLock::new();
    TABLES.get_or_init(|| Tables {
        grades: Csv::parse(IT),
        shafts: Csv::parse(SHAFT),
        shafts_j: Csv::parse(SHAFT_J),
        holes: Csv::from_rules(HOLE),
    })
}

impl Tables {
    /// The rows for a nominal size; `None` outside 0 < size <= 3150 mm.
    pub(super) fn at(&self, nominal_um: f64) -> Option<Size<'_>> {
        let (grades, shafts) = (self.grades.at(nominal_um)?, self.shafts.at(nominal_um)?);
        // The hole table starts above 3 mm: up to there Δ is 0 and J is not given.
        let holes = if nominal_um > 3_000.0 {
            self.holes.at(nominal_um)
        } else {
            None
        };
        Some(Size {
            nominal_um,
            grades,
            shafts,
            shafts_j: self.shafts_j.at(nominal_um),
            holes,
        })
    }
}

impl Size<'_> {
    /// Standard tolerance of a grade, nm.
    pub(super) fn grade(&self, grade: u8) -> Option<i64> {
        self.grades.get(&format!("IT{grade}")).copied()
    }

    /// Fundamental deviation of a shaft letter as tabulated, nm.
    pub(super) fn shaft(&self, letter: &str) -> Option<i64> {
        self.shafts.get(letter).copied()
    }

    /// Lower deviation of j5, j6, j7, nm.
    pub(super) fn j_lower(&self, grade: u8) -> Option<i64> {
        self.shafts_j
            .and_then(|row| row.get(&format!("j{grade}")))
            .copied()
    }

    /// Δ of a grade, nm; 0 up to 3 mm and above 500 mm.
    pub(super) fn delta(&self, grade: u8) -> i64 {
        self.holes
            .and_then(|row| row.get(&format!("IT{grade}")))
            .copied()
            .unwrap_or_default()
    }

    /// Upper deviation of J6, J7, J8, nm.
    pub(super) fn j_upper(&self, grade: u8) -> Option<i64> {
        self.holes
            .and_then(|row| row.get(&format!("J{grade}")))
            .copied()
    }
}

impl Csv {
    fn parse(text: &'static str) -> Self {
        let table = SizeTable::parse(text);
        let rows = table.rows().map(|row| {
            let upto = row.range().upto.expect("every range of ISO 286 has an end");
            let values = row.numbers().skip(2); // after over_mm and upto_mm
            let values = values.map(|(name, um)| (name.to_owned(), nm(um)));
            (as_micrometres(upto), values.collect())
        });
        Self {
            rows: rows.collect(),
        }
    }

    fn from_rules(text: &str) -> Self {
        #[derive(serde::Deserialize)]
        struct Rules {
            #[serde(rename = "J_ES")]
            j: BTreeMap<String, Vec<f64>>,
            delta: BTreeMap<String, Vec<f64>>,
        }
        let rules: Rules = toml::from_str(text).expect("iso286_hole_rules.toml is compiled in");
        let ends = &rules.delta["ranges_upto"];
        assert_eq!(
            ends, &rules.j["ranges_upto"],
            "both tables of iso286_hole_rules.toml share their ranges"
        );
        let columns = || {
            rules
                .j
                .iter()
                .chain(&rules.delta)
                .filter(|(name, _)| *name != "ranges_upto")
        };
        let row = |place: usize| {
            columns()
                .map(|(name, values)| (name.clone(), nm(values[place])))
                .collect()
        };
        Self {
            rows: ends
                .iter()
                .enumerate()
                .map(|(place, end)| (end * 1_000.0, row(place)))
                .collect(),
        }
    }

    /// The row whose range holds the size: over the lower end, up to and including the upper.
    fn at(&self, nominal_um: f64) -> Option<&BTreeMap<String, i64>> {
        let row = self.rows.iter().find(|(upto, _)| nominal_um <= *upto);
        row.filter(|_| nominal_um > 0.0).map(|(_, values)| values)
    }
}

fn nm(um: f64) -> i64 {
    (um * 1_000.0).round() as i64
}
