//! Findings: what was seen on a part, where on it, how bad, and what the rules of the trade make of it.
//!
//! Modes of damage: ISO 15243:2017 (`shared/reference/iso15243_tree.csv`, compared by a test), with two words of our
//! own for what the standard has no clause for. Rules: common practice, no source. A damage is not yet a failure: what
//! no rule speaks of is recorded, and a person decides.

use serde::{Deserialize, Serialize};

use crate::load_zone::Arc;

/// A part of a bearing that is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Raceway of an outer ring.
    OuterRaceway,
    /// Raceway of an inner ring.
    InnerRaceway,
    /// Rollers, their ends too.
    Rollers,
    /// Rib that guides the roller ends.
    Rib,
    /// Cage.
    Cage,
    /// Outside diameter of an outer ring.
    OutsideDiameter,
    /// Bore of an inner ring.
    RingBore,
    /// Side face of a ring.
    RingFace,
    /// Spacer.
    Spacer,
}

impl Part {
    /// All parts in the order of looking.
    pub const ALL: [Self; 9] = [
        Self::OuterRaceway,
        Self::InnerRaceway,
        Self::Rollers,
        Self::Rib,
        Self::Cage,
        Self::OutsideDiameter,
        Self::RingBore,
        Self::RingFace,
        Self::Spacer,
    ];

    /// Its name, in files too.
    pub fn words(self) -> &'static str {
        match self {
            Self::OuterRaceway => "outer raceway",
            Self::InnerRaceway => "inner raceway",
            Self::Rollers => "rollers",
            Self::Rib => "rib",
            Self::Cage => "cage",
            Self::OutsideDiameter => "outside diameter",
            Self::RingBore => "ring bore",
            Self::RingFace => "ring face",
            Self::Spacer => "spacer",
        }
    }

    /// Whether angles on it run from the zone-I line: outer rings stand still, the others turn.
    pub fn has_angles(self) -> bool {
        matches!(self, Self::OuterRaceway | Self::OutsideDiameter)
    }

    /// Whether it belongs to the inner half where the two halves of a bearing are things of their own.
    pub fn is_of_inner_half(self) -> bool {
        matches!(self, Self::InnerRaceway | Self::RingBore)
    }

    /// Whether rollers run on it or it runs itself.
    fn is_running(self) -> bool {
        matches!(
            self,
            Self::OuterRaceway | Self::InnerRaceway | Self::Rollers | Self::Rib
        )
    }

    fn is_ring(self) -> bool {
        !matches!(self, Self::Rollers | Self::Cage | Self::Spacer)
    }
}

impl std::str::FromStr for Part {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let found = Self::ALL
            .into_iter()
            .find(|part| part.words().eq_ignore_ascii_case(text));
        found.ok_or_else(|| format!("{text:?} is no part that is looked at"))
    }
}

/// A mode of damage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mode {
    /// Clause of ISO 15243:2017; a word of our own where there is none.
    pub code: &'static str,
    /// Its name.
    pub name: &'static str,
}

/// Heat tint: the standard tells it only as a sign of other modes; the trade judges it for itself.
pub const HEAT_TINT: Mode = mode("tint", "Heat tint or softening");
/// Seen, and not known what it is.
pub const UNKNOWN: Mode = mode("unknown", "Not known what");

const fn mode(code: &'static str, name: &'static str) -> Mode {
    Mode { code, name }
}

/// Every mode: the tree of the standard, then our own.
pub const MODES: [Mode; 23] = [
    mode("5.1", "Rolling contact fatigue"),
    mode("5.1.2", "Subsurface initiated fatigue"),
    mode("5.1.3", "Surface initiated fatigue"),
    mode("5.2", "Wear"),
    mode("5.2.2", "Abrasive wear"),
    mode("5.2.3", "Adhesive wear"),
    mode("5.3", "Corrosion"),
    mode("5.3.2", "Moisture corrosion"),
    mode("5.3.3", "Frictional corrosion"),
    mode("5.3.3.2", "Fretting corrosion"),
    mode("5.3.3.3", "False brinelling"),
    mode("5.4", "Electrical erosion"),
    mode("5.4.2", "Excessive current erosion"),
    mode("5.4.3", "Current leakage erosion"),
    mode("5.5", "Plastic deformation"),
    mode("5.5.2", "Overload deformation"),
    mode("5.5.3", "Indentations from particles"),
    mode("5.6", "Cracking and fracture"),
    mode("5.6.2", "Forced fracture"),
    mode("5.6.3", "Fatigue fracture"),
    mode("5.6.4", "Thermal cracking"),
    HEAT_TINT,
    UNKNOWN,
];

impl Mode {
    /// The mode with this code.
    pub fn of(code: &str) -> Option<Self> {
        MODES.into_iter().find(|mode| mode.code == code)
    }

    /// How deep it lies in the tree: 0 for a clause of two numbers and for our own words.
    pub fn depth(self) -> usize {
        self.code.matches('.').count().saturating_sub(1)
    }

    /// Whether it is this clause or one below it.
    pub fn is_in(self, clause: &str) -> bool {
        self.code == clause || self.code.starts_with(&format!("{clause}."))
    }
}

/// What the four steps of severity mean, from 0 (common practice, no source).
pub const SEVERITY: [&str; 4] = [
    "mark without depth",
    "light: can be seen, hardly felt",
    "marked: can be felt",
    "heavy: deep or wide",
];

/// What was seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Finding {
    /// On which part.
    pub part: Part,
    /// In which row, from the barrel from 1; none for the whole part.
    pub row: Option<u8>,
    /// What it is.
    pub mode: Mode,
    /// 0 to 3, see [`SEVERITY`].
    pub severity: u8,
    /// Where on the ring; none for all round or not told.
    pub arc: Option<Arc>,
}

/// What a finding asks for, the lightest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Asks {
    /// It is written down.
    Nothing,
    /// Look at it again at the next teardown.
    Watch,
    /// Sent out for reconditioning: the part is not returned as it is.
    Recondition,
    /// The engineer decides, or it is scrapped.
    Engineer,
    /// Destroyed.
    Scrap,
}

impl Finding {
    /// What the rules of the trade make of it (common practice, no source):
    /// - a cracked or broken ring or rib is scrapped, a cracked roller or cage changed outside; neither goes back;
    /// - heat tint or softening is not returned: the engineer decides;
    /// - fatigue, corrosion and electrical erosion of running surfaces: from severity 2 reconditioned, 3 scrapped;
    /// - wear and dents of running surfaces: at severity 3 reconditioned;
    /// - anything else from severity 2 is looked at again.
    pub fn asks(&self) -> Asks {
        let (part, mode) = (self.part, self.mode);
        if self.is_crack() {
            return match part {
                part if part.is_ring() => Asks::Scrap,
                Part::Spacer => Asks::Engineer,
                _ => Asks::Recondition,
            };
        }
        if mode == HEAT_TINT {
            return if part.is_running() || part == Part::RingBore {
                Asks::Engineer
            } else {
                Asks::Watch
            };
        }
        let spreads = ["5.1", "5.3", "5.4"]
            .iter()
            .any(|clause| mode.is_in(clause));
        match (part.is_running(), spreads, self.severity) {
            (true, true, 3..) => Asks::Scrap,
            (true, true, 2) | (true, false, 3..) => Asks::Recondition,
            (_, _, 2..) => Asks::Watch,
            _ => Asks::Nothing,
        }
    }

    /// Whether a bearing that goes with this has failed, as field life counts (common practice, no source): cracked or broken
    /// anywhere but at a spacer, fatigue of a running surface that can be felt, or seized, which is heavy adhesive wear
    /// of one. What goes for anything else was still running.
    pub fn is_failure(&self) -> bool {
        let is_seized = self.mode.is_in("5.2.3") && self.severity >= 3;
        let is_spalled = self.mode.is_in("5.1") && self.severity >= 2;
        if self.is_crack() {
            return self.part != Part::Spacer;
        }
        self.part.is_running() && (is_spalled || is_seized)
    }

    /// Whether the part is cracked or broken.
    pub fn is_crack(&self) -> bool {
        self.mode.is_in("5.6")
    }

    /// Whether its place is kept out of the load: on an outer raceway, and more than a mark.
    pub fn is_kept_out_of_load(&self) -> bool {
        self.part == Part::OuterRaceway && self.severity >= 1
    }

    /// Where and what in words: `outer raceway, row 1, 200 to 228 degrees: surface initiated fatigue (5.1.3), severity 2`.
    pub fn words(&self) -> String {
        let row = self
            .row
            .map(|row| format!(", row {row}"))
            .unwrap_or_default();
        let arc = self
            .arc
            .map(|arc| format!(", {}", arc.words()))
            .unwrap_or_default();
        let clause = if self.mode.code.starts_with('5') {
            format!(" ({})", self.mode.code)
        } else {
            String::new()
        };
        format!(
            "{}{row}{arc}: {}{clause}, severity {}",
            self.part.words(),
            self.mode.name.to_lowercase(),
            self.severity
        )
    }
}

#[cfg(test)]
mod tests;
