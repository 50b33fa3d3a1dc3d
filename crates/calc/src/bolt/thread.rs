//! Threads, heads and property classes, read from the reference table.

use std::{collections::BTreeMap, f64::consts::PI, sync::OnceLock};

use crate::{
    error::CalcError,
    quantity::{
        Area, Length, Pressure, as_millimetres, megapascals, millimetres, square_millimetres,
    },
};

const TABLE: &str = include_str!("../../../../shared/reference/bolts_vdi2230.toml");

/// Fine pitches (mm) by nominal diameter (mm), those of ISO 261 (from memory); the head is that of the coarse bolt.
const FINE_PITCHES: [(f64, &[f64]); 15] = [
    (12.0, &[1.5, 1.25, 1.0]),
    (14.0, &[1.5, 1.25, 1.0]),
    (16.0, &[1.5, 1.0]),
    (18.0, &[2.0, 1.5, 1.0]),
    (20.0, &[2.0, 1.5, 1.0]),
    (22.0, &[2.0, 1.5, 1.0]),
    (24.0, &[2.0, 1.5, 1.0]),
    (27.0, &[2.0, 1.5, 1.0]),
    (30.0, &[3.0, 2.0, 1.5, 1.0]),
    (33.0, &[3.0, 2.0, 1.5]),
    (36.0, &[3.0, 2.0, 1.5]),
    (39.0, &[3.0, 2.0, 1.5]),
    (42.0, &[4.0, 3.0, 2.0, 1.5]),
    (45.0, &[4.0, 3.0, 2.0, 1.5]),
    (48.0, &[4.0, 3.0, 2.0, 1.5]),
];

/// Up to this diameter (mm) class 8.8 has its lower strengths. Source: ISO 898-1:2013 (memory).
const SMALL_MM: f64 = 16.0;

#[derive(serde::Deserialize)]
struct Table {
    strength: BTreeMap<String, StrengthRow>,
    thread_head: BTreeMap<String, Head>,
}

#[derive(serde::Deserialize)]
struct StrengthRow {
    #[serde(rename = "Sp")]
    proof: f64,
    #[serde(rename = "Rp02")]
    yield_02: f64,
    #[serde(rename = "Rm")]
    tensile: f64,
}

#[derive(serde::Deserialize)]
struct Head {
    #[serde(rename = "P")]
    pitch: f64,
    dw: f64,
    dh: f64,
}

/// The table, parsed at first use.
///
/// # Panics
/// Never with the table that is compiled in: a test reads every row of it.
fn table() -> &'static Table {
    static TABLE_ONCE: OnceLock<Table> = OnceLock::new();
    TABLE_ONCE.get_or_init(|| toml::from_str(TABLE).expect("bolts_vdi2230.toml is compiled in"))
}

/// A metric thread with the hexagon head and clearance hole of its size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread {
    /// Nominal diameter, d.
    pub nominal: Length,
    /// Pitch, P.
    pub pitch: Length,
    /// Outside of the bearing face of the head, d_w. Source: ISO 4014 (memory).
    pub head_bearing: Length,
    /// Clearance hole, d_h. Source: ISO 273, medium (memory).
    pub hole: Length,
}

impl Thread {
    /// A thread by its designation: `M24`, `M24x2`; the coarse pitch may be written out.
    ///
    /// # Errors
    /// `Unknown` with the sizes that are known.
    pub fn parse(designation: &str) -> Result<Self, CalcError> {
        Self::find(designation).ok_or_else(|| CalcError::Unknown {
            input: "size".to_owned(),
            word: designation.to_owned(),
            known: Self::known().join(", "),
        })
    }

    fn find(designation: &str) -> Option<Self> {
        let (size, fine) = match designation.trim().split_once(['x', 'X', '×']) {
            Some((size, pitch)) => (size.trim(), Some(pitch.trim().parse::<f64>().ok()?)),
            None => (designation.trim(), None),
        };
        let head = table().thread_head.get(size)?;
        let nominal = nominal_mm(size)?;
        let pitch = fine.unwrap_or(head.pitch);
        let is_known = pitch == head.pitch || fine_pitches(nominal).contains(&pitch);
        is_known.then(|| Self {
            nominal: millimetres(nominal),
            pitch: millimetres(pitch),
            head_bearing: millimetres(head.dw),
            hole: millimetres(head.dh),
        })
    }

    /// All designations, each coarse thread before its fine ones.
    pub fn known() -> Vec<String> {
        let mut sizes: Vec<(f64, &String)> = table()
            .thread_head
            .keys()
            .filter_map(|size| Some((nominal_mm(size)?, size)))
            .collect();
        sizes.sort_by(|a, b| a.0.total_cmp(&b.0));
        let designations = sizes.into_iter().flat_map(|(nominal, size)| {
            let fine = fine_pitches(nominal)
                .iter()
                .map(move |pitch| format!("{size}x{pitch}"));
            std::iter::once(size.clone()).chain(fine)
        });
        designations.collect()
    }

    /// Pitch diameter: `d₂ = d − 0.64951905 P`. Source: ISO 724 (memory).
    pub fn pitch_diameter(&self) -> Length {
        self.nominal - self.pitch * 0.649_519_05
    }

    /// Diameter of the stress cross-section: `d_s = (d₂ + d₃) / 2`, `d₃ = d − 1.22686935 P`. Source: ISO 898-1 (memory).
    pub fn stress_diameter(&self) -> Length {
        (self.pitch_diameter() + self.nominal - self.pitch * 1.226_869_35) / 2.0
    }

    /// Stress area: `A_s = π/4 d_s²`.
    pub fn stress_area(&self) -> Area {
        let ds = as_millimetres(self.stress_diameter());
        square_millimetres(PI / 4.0 * ds * ds)
    }

    /// Mean diameter of friction under the head: `D_Km = (d_w + d_h) / 2`. Source: VDI 2230 Part 1 (memory).
    pub fn head_friction_diameter(&self) -> Length {
        (self.head_bearing + self.hole) / 2.0
    }
}

fn nominal_mm(size: &str) -> Option<f64> {
    size.strip_prefix('M')?.parse().ok()
}

fn fine_pitches(nominal_mm: f64) -> &'static [f64] {
    let row = FINE_PITCHES
        .iter()
        .find(|(nominal, _)| *nominal == nominal_mm);
    row.map_or(&[], |(_, pitches)| pitches)
}

/// A property class of ISO 898-1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PropertyClass {
    /// 8.8
    C8_8,
    /// 10.9
    C10_9,
    /// 12.9
    C12_9,
}

/// Smallest strengths of a property class.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strength {
    /// Proof stress, S_p.
    pub proof: Pressure,
    /// Stress at 0.2 % lasting stretch, R_p0.2.
    pub yield_02: Pressure,
    /// Tensile strength, R_m.
    pub tensile: Pressure,
}

impl PropertyClass {
    /// All classes, weakest first.
    pub const ALL: [Self; 3] = [Self::C8_8, Self::C10_9, Self::C12_9];

    /// As it is stamped on the head.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::C8_8 => "8.8",
            Self::C10_9 => "10.9",
            Self::C12_9 => "12.9",
        }
    }

    /// A class by its name.
    ///
    /// # Errors
    /// `Unknown` with the classes that are known.
    pub fn parse(name: &str) -> Result<Self, CalcError> {
        let found = Self::ALL
            .into_iter()
            .find(|class| class.as_str() == name.trim());
        found.ok_or_else(|| CalcError::Unknown {
            input: "class".to_owned(),
            word: name.to_owned(),
            known: Self::ALL.map(Self::as_str).join(", "),
        })
    }

    /// Smallest strengths at a nominal diameter. Source: ISO 898-1:2013, Table 3 (memory).
    ///
    /// # Panics
    /// Never with the table that is compiled in: a test asks for every class.
    pub fn strength(self, nominal: Length) -> Strength {
        let key = match self {
            Self::C8_8 if as_millimetres(nominal) <= SMALL_MM => "8.8_d_le_16",
            Self::C8_8 => "8.8_d_gt_16",
            Self::C10_9 | Self::C12_9 => self.as_str(),
        };
        let row = &table().strength[key];
        Strength {
            proof: megapascals(row.proof),
            yield_02: megapascals(row.yield_02),
            tensile: megapascals(row.tensile),
        }
    }
}
