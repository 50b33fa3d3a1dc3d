//! The register: things and their records. A change carries the whole record anew.

use serde::{Deserialize, Serialize};

use crate::id::Ref;

/// A thing is registered (`thing` empty: its id is this event), or its record is changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RegisterChange {
    /// The thing to change; none for a new one.
    pub thing: Option<Ref>,
    /// The whole record.
    pub record: Record,
    /// Why it changes; required for a change of limits.
    pub reason: String,
}

/// The record of one thing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "entity", rename_all = "snake_case")]
pub enum Record {
    /// Somebody who works with the logbook.
    Person(Person),
    /// A mill line.
    Line(Line),
    /// A stand of a line.
    Stand(Stand),
    /// A place for a chock in a stand.
    Position(Position),
    /// A roll with its two necks.
    Roll(Roll),
    /// Chocks that are alike.
    ChockType(ChockType),
    /// A chock.
    Chock(Chock),
    /// Bearings that are alike, with their limits.
    BearingType(BearingType),
    /// A bearing set.
    Bearing(Bearing),
    /// A gauge, standard, wrench or thermometer.
    Gauge(Gauge),
    /// Seals delivered together.
    SealBatch(SealBatch),
    /// A grease.
    Grease(Grease),
}

impl Record {
    /// The word in the file.
    pub fn entity(&self) -> &'static str {
        match self {
            Self::Person(_) => "person",
            Self::Line(_) => "line",
            Self::Stand(_) => "stand",
            Self::Position(_) => "position",
            Self::Roll(_) => "roll",
            Self::ChockType(_) => "chock_type",
            Self::Chock(_) => "chock",
            Self::BearingType(_) => "bearing_type",
            Self::Bearing(_) => "bearing",
            Self::Gauge(_) => "gauge",
            Self::SealBatch(_) => "seal_batch",
            Self::Grease(_) => "grease",
        }
    }

    /// The code or serial that people use.
    pub fn code(&self) -> &str {
        match self {
            Self::Person(r) => &r.name,
            Self::Line(r) => &r.code,
            Self::Stand(r) => &r.code,
            Self::Position(r) => &r.code,
            Self::Roll(r) => &r.code,
            Self::ChockType(r) => &r.code,
            Self::Chock(r) => &r.code,
            Self::BearingType(r) => &r.code,
            Self::Bearing(r) => &r.serial,
            Self::Gauge(r) => &r.code,
            Self::SealBatch(r) => &r.code,
            Self::Grease(r) => &r.code,
        }
    }
}

/// What somebody may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Fills and executes.
    Fitter,
    /// Signs sheets.
    Foreman,
    /// Orders regrinds, releases doubt and holds, accepts deviations, changes limits.
    Engineer,
    /// Reads, verifies, prints; writes nothing.
    Auditor,
    /// Receives, witnesses scrapping.
    Storekeeper,
    /// Keeps gauges.
    Metrology,
}

impl Role {
    /// All roles in the order of the register.
    pub const ALL: [Self; 6] = [
        Self::Foreman,
        Self::Fitter,
        Self::Engineer,
        Self::Metrology,
        Self::Storekeeper,
        Self::Auditor,
    ];

    /// The word in the file and, without underscore, on the screen.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Fitter => "fitter",
            Self::Foreman => "foreman",
            Self::Engineer => "engineer",
            Self::Auditor => "auditor",
            Self::Storekeeper => "storekeeper",
            Self::Metrology => "metrology",
        }
    }

    /// Reads the word in the file.
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|r| r.as_str() == text)
    }
}

/// Somebody who works with the logbook.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Person {
    /// How they are called here.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// argon2id hash of the PIN (PHC string). Keeps honest people apart; it is no lock.
    pub pin_hash: String,
    /// False once they have left.
    pub is_active: bool,
}

/// A mill line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Line {
    /// Short code.
    pub code: String,
    /// What it rolls.
    pub name: String,
}

/// A stand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stand {
    /// Short code.
    pub code: String,
    /// Its line.
    pub line: Ref,
    /// Two-high, four-high, six-high ...
    pub build: String,
}

/// A place for a chock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Position {
    /// `stand-role-level-side`.
    pub code: String,
    /// Its stand.
    pub stand: Ref,
    /// `W` work, `I` intermediate, `K` backup, `R` bar roll.
    pub role: String,
    /// `T` top, `B` bottom.
    pub level: String,
    /// `O` operator, `D` drive.
    pub side: String,
    /// True where the chock holds the roll axially.
    pub is_fixed: bool,
    /// Load direction on a clock face seen from outboard, 0.1 degree from 12 clockwise.
    pub load_angle_ddeg: i64,
    /// False for an oil-film bearing or the like.
    pub is_rolling_bearing: bool,
}

/// A roll.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Roll {
    /// Number on its end face.
    pub code: String,
    /// Its line.
    pub line: Ref,
    /// `W`, `I`, `K` or `R`.
    pub role: String,
}

/// Chocks that are alike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ChockType {
    /// Short code.
    pub code: String,
    /// Its seats and what belongs in each.
    pub seats: Vec<Seat>,
    /// Where the shims lie: `under_flange` or `between`.
    pub shim_place: String,
    /// In how many axial planes the bore is measured, 2 to 4.
    pub bore_planes: i64,
    /// Which positions it fits: `role-level-side` codes such as `W-T-O`.
    pub fits: Vec<String>,
}

/// A seat of a chock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seat {
    /// `main`, `main2` or `thrust`.
    pub name: String,
    /// What belongs in it.
    pub bearing_type: Ref,
}

/// A chock.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Chock {
    /// Number cast or painted on it.
    pub code: String,
    /// What it is like.
    pub chock_type: Ref,
}

/// Bearings that are alike: a kind and a set of named values, versioned by the event that changed them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BearingType {
    /// Designation.
    pub code: String,
    /// `four_row_tapered`, `four_row_cylindrical`, `two_row_spherical` or `two_row_thrust`.
    pub kind: String,
    /// Named values; [`TYPE_VALUES`] says what each means.
    pub values: Vec<TypeValue>,
    /// Approved greases and scheme, with the approval's reference.
    pub lubrication: String,
}

/// One value of a bearing type.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct TypeValue {
    /// Its name, one of [`TYPE_VALUES`].
    pub name: String,
    /// Row pair, 1 from the barrel; 0 where it holds for the whole bearing.
    pub item: i64,
    /// Integer in the unit that ends the name.
    pub value: i64,
}

/// What a value of a bearing type means.
#[derive(Debug, Clone, Copy)]
pub struct TypeValueMeaning {
    /// Name in the record; its end is the unit.
    pub name: &'static str,
    /// What it is, for people.
    pub title: &'static str,
    /// True where each row pair has its own.
    pub per_pair: bool,
}

impl TypeValueMeaning {
    /// What is possible at all, and how to say it.
    fn possible(&self) -> (i64, i64, &'static str) {
        const MM: i64 = 1_000_000;
        let is = |words: &[&str]| words.iter().any(|word| self.name.contains(word));
        match self.name.rsplit('_').next().unwrap_or("") {
            "nm" if is(&["lower", "upper", "mean_max"]) => (-10 * MM, 10 * MM, "-10 to 10 mm"),
            "nm" if is(&["grind_step"]) => (1, MM, "above 0, up to 1 mm"),
            "nm" if is(&[
                "clearance",
                "watch",
                "target",
                "spread",
                "ovality",
                "taper",
                "parallel",
                "shoulder",
                "face",
                "clamp",
            ]) =>
            {
                (0, 50 * MM, "0 to 50 mm")
            }
            "nm" if self.name == "rework_nm" => (1, 50 * MM, "above 0, up to 50 mm"),
            "nm" => (1, 10_000 * MM, "above 0, up to 10 m"),
            "ppm" if is(&["conformity"]) => (500_000, 999_000, "50 to 99.9 %"),
            "ppm" if is(&["axial_e"]) => (10_000, 3 * MM, "0.01 to 3"),
            "ppm" if is(&["viscosity"]) => (100_000, 100 * MM, "0.1 to 100"),
            "ppm" if is(&["contamination"]) => (0, MM, "0 to 1"),
            "ppm" if is(&["reliability"]) => (900_000, 999_500, "0.9 to 0.9995"),
            "ppm" => (1_000_001, 10_000_000, "above 1, up to 10 times"),
            "count" => (0, 100_000, "0 to 100,000"),
            "g" => (0, 100_000_000, "0 to 100 t"),
            "mg" => (0, 1_000_000_000, "0 to 1 t"),
            "kg" => (0, 1_000_000_000_000, "0 to 1,000 million t"),
            "s" => (0, 20 * 366 * 86_400, "0 to 20 years"),
            "n" if is(&["rating", "fatigue"]) => (1_000, 100_000_000, "1 to 100,000 kN"),
            "n" => (0, 10_000_000, "0 to 10 MN"),
            "mnm" => (1, 50_000_000, "above 0, up to 50,000 N m"),
            "mk" => (0, 400_000, "0 to 400 \u{b0}C"),
            _ => (1, 3_600, "above 0, up to 360 degrees"),
        }
    }

    /// The values that are possible at all.
    pub fn range(&self) -> std::ops::RangeInclusive<i64> {
        let (low, high, _) = self.possible();
        low..=high
    }

    /// The same in words.
    pub fn range_words(&self) -> &'static str {
        self.possible().2
    }
}

const fn meaning(name: &'static str, title: &'static str, per_pair: bool) -> TypeValueMeaning {
    TypeValueMeaning {
        name,
        title,
        per_pair,
    }
}

/// How sure a verdict by one of the limits has to be: the conformance probability; 95 % where there is none.
const fn asked(name: &'static str, title: &'static str) -> TypeValueMeaning {
    meaning(name, title, false)
}

/// The values a bearing type may have, in the order of the register page. The unit ends the name: `nm`, `g`, `ms`
/// (time), `s`, `kg`, `mk` (mK), `ppm`, `ddeg` (0.1 degree), `count`, `mg`.
pub const TYPE_VALUES: [TypeValueMeaning; 81] = [
    meaning("bore_nm", "bore d", false),
    meaning("outside_nm", "outside diameter D", false),
    meaning("width_nm", "width B over all", false),
    meaning("rows_count", "rows", false),
    meaning("mass_g", "mass", false),
    meaning("clearance_min_nm", "clearance, drawing minimum", true),
    meaning("clearance_max_nm", "clearance, drawing maximum", true),
    meaning("clearance_nominal_nm", "clearance, nominal as set", true),
    meaning("watch_nm", "watch level", true),
    meaning("rework_nm", "rework level", true),
    meaning(
        "rework_factor_ppm",
        "rework at this many times as set",
        false,
    ),
    meaning("target_min_nm", "regrind target, minimum", true),
    meaning("target_max_nm", "regrind target, maximum", true),
    meaning("spacer_nm", "spacer width, new", true),
    meaning("spacer_min_nm", "spacer width, minimum", true),
    meaning("grind_step_nm", "grinding step", false),
    meaning("seating_spread_nm", "largest spread of one gap", false),
    meaning("ring_bore_lower_nm", "ring bore, lower deviation", false),
    meaning("ring_bore_upper_nm", "ring bore, upper deviation", false),
    meaning("neck_min_nm", "neck, drawing minimum", false),
    meaning("neck_max_nm", "neck, drawing maximum", false),
    meaning("neck_rework_nm", "neck, rework below", false),
    meaning("chock_bore_nominal_nm", "chock bore, nominal", false),
    meaning("chock_bore_lower_nm", "chock bore, lower deviation", false),
    meaning("chock_bore_upper_nm", "chock bore, upper deviation", false),
    meaning(
        "chock_bore_mean_max_nm",
        "chock bore, mean deviation at most",
        false,
    ),
    meaning(
        "chock_bore_largest_max_nm",
        "chock bore, deviation of the largest size at most",
        false,
    ),
    meaning("chock_ovality_max_nm", "chock bore, ovality at most", false),
    meaning("chock_taper_max_nm", "chock bore, taper at most", false),
    meaning("loaded_arc_ddeg", "loaded arc", false),
    meaning("interval_run_s", "interval, mill time", false),
    meaning("interval_day_count", "interval, days", false),
    meaning("interval_rolled_kg", "interval, rolled", false),
    meaning("interval_campaign_count", "interval, campaigns", false),
    meaning("grease_row_mg", "grease per row", false),
    meaning("heating_limit_mk", "heating limit above 0 C", false),
    meaning("stock_min_count", "least stock of new ones", false),
    meaning("spacer_parallel_nm", "spacer faces parallel within", false),
    meaning(
        "seating_load_n",
        "seating load of the clearance as set",
        false,
    ),
    meaning("neck_ovality_max_nm", "neck, ovality at most", false),
    meaning("neck_taper_max_nm", "neck, taper at most", false),
    meaning(
        "chock_shoulder_max_nm",
        "chock shoulder, out of square at most",
        false,
    ),
    meaning(
        "chock_cover_face_max_nm",
        "cover face, out of flat at most",
        false,
    ),
    meaning(
        "chock_liner_width_min_nm",
        "chock width over the liners, at least",
        false,
    ),
    meaning("cover_clamp_nm", "cover holds the outer rings by", false),
    meaning("cover_bolt_nm", "cover bolts, thread", false),
    meaning(
        "cover_bolt_class_count",
        "cover bolts, property class (88 for 8.8)",
        false,
    ),
    meaning("cover_bolt_torque_mnm", "cover bolts, torque", false),
    meaning("grease_seal_mg", "grease at the seals", false),
    meaning("bore_taper_count", "tapered bore, 1 in", false),
    meaning("push_up_min_nm", "push-up on the taper, minimum", false),
    meaning("push_up_max_nm", "push-up on the taper, maximum", false),
    meaning(
        "reduction_min_nm",
        "loss of clearance on the taper, minimum",
        false,
    ),
    meaning(
        "reduction_max_nm",
        "loss of clearance on the taper, maximum",
        false,
    ),
    meaning(
        "residual_min_nm",
        "clearance left on the taper, minimum",
        false,
    ),
    meaning("dynamic_rating_n", "dynamic load rating C", false),
    meaning("fatigue_limit_n", "fatigue load limit C_u", false),
    meaning(
        "axial_e_ppm",
        "e: axial to radial force from which the other factors hold",
        false,
    ),
    meaning(
        "viscosity_ratio_ppm",
        "viscosity ratio kappa at work",
        false,
    ),
    meaning(
        "contamination_ppm",
        "contamination factor e_C, 1 clean to 0",
        false,
    ),
    meaning("reliability_ppm", "reliability wanted of the life", false),
    asked(
        "clearance_conformity_ppm",
        "conformity asked, clearance by the drawing",
    ),
    asked("rework_conformity_ppm", "conformity asked, rework level"),
    asked("target_conformity_ppm", "conformity asked, regrind target"),
    asked(
        "spacer_parallel_conformity_ppm",
        "conformity asked, spacer faces",
    ),
    asked("fit_conformity_ppm", "conformity asked, ring on the neck"),
    asked("neck_conformity_ppm", "conformity asked, neck size"),
    asked(
        "neck_ovality_conformity_ppm",
        "conformity asked, neck ovality",
    ),
    asked("neck_taper_conformity_ppm", "conformity asked, neck taper"),
    asked(
        "chock_bore_conformity_ppm",
        "conformity asked, chock bore sizes",
    ),
    asked(
        "chock_bore_mean_conformity_ppm",
        "conformity asked, chock bore mean",
    ),
    asked(
        "chock_ovality_conformity_ppm",
        "conformity asked, chock bore ovality",
    ),
    asked(
        "chock_taper_conformity_ppm",
        "conformity asked, chock bore taper",
    ),
    asked(
        "chock_shoulder_conformity_ppm",
        "conformity asked, chock shoulder",
    ),
    asked(
        "chock_cover_face_conformity_ppm",
        "conformity asked, cover face",
    ),
    asked(
        "chock_liner_width_conformity_ppm",
        "conformity asked, width over the liners",
    ),
    asked("push_up_conformity_ppm", "conformity asked, push-up"),
    asked(
        "reduction_conformity_ppm",
        "conformity asked, loss of clearance on the taper",
    ),
    asked(
        "residual_conformity_ppm",
        "conformity asked, clearance left on the taper",
    ),
    asked("heating_conformity_ppm", "conformity asked, heating limit"),
    asked(
        "cover_bolt_conformity_ppm",
        "conformity asked, torque of the cover bolts",
    ),
];

/// A bearing set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Bearing {
    /// Serial, the same on all its parts.
    pub serial: String,
    /// What it is like.
    pub bearing_type: Ref,
    /// Mill time before this logbook, s, from the old record, not verified.
    pub prior_run_s: i64,
    /// Where that figure comes from.
    pub prior_note: String,
}

/// A gauge, setting standard, wrench or thermometer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Gauge {
    /// Number on it.
    pub code: String,
    /// What it is: bore gauge, outside micrometer, gap blocks, height gauge ...
    pub kind: String,
    /// What it measures: `bore`, `neck`, `gap`, `width`, `temperature`, `torque`, `other`.
    pub measures: String,
    /// From where to where, as printed on it.
    pub range: String,
    /// Smallest step, in its unit (nm, mK, mN m).
    pub resolution: i64,
    /// Expanded uncertainty at k = 2, same unit; none known = empty.
    pub expanded_uncertainty: Option<i64>,
    /// Number of its certificate.
    pub certificate: String,
    /// Next calibration, ms UTC.
    pub due_ms: i64,
    /// Setting ring or standard it is checked on.
    pub standard: String,
}

/// Seals delivered together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SealBatch {
    /// Batch number.
    pub code: String,
    /// What they are.
    pub name: String,
}

/// A grease.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Grease {
    /// Short code.
    pub code: String,
    /// What it is.
    pub name: String,
}
