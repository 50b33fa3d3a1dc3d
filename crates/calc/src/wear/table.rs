//! What the wear model is told: bearing types and clearance readings, as plain numbers in µm and hours.

use std::collections::BTreeMap;

use crate::error::{CalcError, within};

/// How a reading came to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Event {
    /// Found at a teardown.
    Inspect,
    /// As set when the bearing was new, or came back from outside.
    Set,
    /// As left after its spacers were reground.
    Regrind,
}

impl Event {
    /// Whether a stretch between two settings begins here.
    pub fn is_start(self) -> bool {
        self != Self::Inspect
    }
}

/// What is known of the instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    /// Expanded uncertainty at k = 2, µm.
    pub expanded_uncertainty_um: f64,
    /// Smallest step it shows, µm.
    pub step_um: f64,
}

impl Gauge {
    /// Variance of one reading, µm²: `(U/2)² + step²/12`.
    ///
    /// The second term is the resolution, JCGM 100:2008, F.2.2.1 (memory). Four points of a feeler gauge do not
    /// divide the uncertainty: it is mostly common to all four.
    pub fn variance_um2(self) -> f64 {
        let half = self.expanded_uncertainty_um / 2.0;
        half * half + self.step_um * self.step_um / 12.0
    }
}

/// A clearance that was only bounded: the true one lies beyond.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// Larger than the thickest blade.
    Above,
    /// No blade enters.
    Below,
}

/// What a setting aims at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Aim, µm.
    pub nominal_um: f64,
    /// Half width of its tolerance, µm.
    pub tolerance_um: f64,
}

/// A bearing type.
#[derive(Debug, Clone, PartialEq)]
pub struct BearingType {
    /// Its name.
    pub name: String,
    /// Clearance as set by the drawing.
    pub set: Target,
    /// Limit as a multiple of the clearance as set; 2 is common practice, no source.
    pub limit_factor: Option<f64>,
    /// Limit of its own, µm; with a factor too, the smaller of both holds.
    pub limit_um: Option<f64>,
    /// Instrument of a reading that names none.
    pub gauge: Gauge,
}

/// Places with the hours that a bearing ran in each, in the order in which it left them.
pub type Stands = Vec<(String, f64)>;

/// Where a bearing is after its last reading, as a logbook knows it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Present {
    /// Where it ran since its last reading.
    pub since: Stands,
    /// Stand it runs in now; `None` in the shop: nobody knows where it goes next.
    pub stand: Option<String>,
}

/// One row pair at one teardown or setting.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// Serial of the bearing.
    pub bearing: String,
    /// Name of its type.
    pub bearing_type: String,
    /// Stands in which it ran since the event before, each with its hours; the counter says how many hours there were in
    /// all, these in which proportion they go to which stand. Empty where that is not known, or where it did not run.
    pub stands: Stands,
    /// Day, counted from any one day.
    pub day: i32,
    /// The bearing's own counter, mill hours.
    pub counter_h: f64,
    /// The bearing's own counter, tonnes rolled.
    pub counter_t: Option<f64>,
    /// Number of the row pair, counted from the barrel.
    pub row_pair: u32,
    /// The reading (mean of the places), µm; of a bounded one the bound. `None` where it was not measured: then only the
    /// event counts, and the hours it ends.
    pub clearance_um: Option<f64>,
    /// Whether the clearance was only bounded.
    pub bound: Option<Bound>,
    /// How it came to be.
    pub event: Event,
    /// What a setting or regrind aimed at; without it the drawing value of the type.
    pub target: Option<Target>,
    /// Limit of this row pair, where a logbook knows it; without it the type says.
    pub limit_um: Option<f64>,
    /// Instrument; without it that of the type.
    pub gauge: Option<Gauge>,
}

/// Readings of one shop with the types they belong to; checked when it is made.
#[derive(Debug, Clone, PartialEq)]
pub struct Pool {
    types: Vec<BearingType>,
    readings: Vec<Reading>,
    /// Where each bearing is now; a plain table does not know.
    present: BTreeMap<String, Present>,
}

impl Pool {
    /// A pool of readings, in any order. Results name a reading by its place in this list.
    ///
    /// # Errors
    /// `Unknown` for a type that is not in the list, `Contradiction` for a type that is there twice or a bearing of two
    /// types, `OutOfRange` and `NotFinite` for numbers that no clearance, counter or gauge has.
    pub fn new(types: Vec<BearingType>, readings: Vec<Reading>) -> Result<Self, CalcError> {
        for (i, kind) in types.iter().enumerate() {
            check_type(kind).map_err(|error| error.at(&format!("types[{i}]")))?;
            if types[..i].iter().any(|other| other.name == kind.name) {
                return Err(CalcError::Contradiction {
                    input: format!("types[{i}].name"),
                    why: format!("type {} stands twice", kind.name),
                });
            }
        }
        let mut type_of: BTreeMap<&str, &str> = BTreeMap::new();
        for (i, reading) in readings.iter().enumerate() {
            let at = |error: CalcError| error.at(&format!("readings[{i}]"));
            check_reading(reading).map_err(at)?;
            if !types.iter().any(|kind| kind.name == reading.bearing_type) {
                let known: Vec<&str> = types.iter().map(|kind| &*kind.name).collect();
                return Err(at(CalcError::Unknown {
                    input: "bearing_type".to_owned(),
                    word: reading.bearing_type.clone(),
                    known: known.join(", "),
                }));
            }
            let first = type_of
                .entry(&reading.bearing)
                .or_insert(&reading.bearing_type);
            if *first != reading.bearing_type {
                return Err(at(CalcError::Contradiction {
                    input: "bearing_type".to_owned(),
                    why: format!("bearing {} is of type {first} elsewhere", reading.bearing),
                }));
            }
        }
        Ok(Self {
            types,
            readings,
            present: BTreeMap::new(),
        })
    }

    /// The same with where its bearings are now. A bearing that is not named is taken to stay where it ran last.
    ///
    /// # Errors
    /// `NotFinite` and `OutOfRange` for hours that no bearing ran.
    pub fn with_present(mut self, present: BTreeMap<String, Present>) -> Result<Self, CalcError> {
        for (bearing, at) in &present {
            check_stands(&at.since)
                .map_err(|error| error.at(&format!("present[{bearing}].since")))?;
        }
        self.present = present;
        Ok(self)
    }

    /// Where a bearing is now, if that is known.
    pub fn present(&self, bearing: &str) -> Option<&Present> {
        self.present.get(bearing)
    }

    /// The types.
    pub fn types(&self) -> &[BearingType] {
        &self.types
    }

    /// The readings, in the order in which they were handed in.
    pub fn readings(&self) -> &[Reading] {
        &self.readings
    }
}

/// Beyond a metre no clearance lies, whatever was typed.
const CLEARANCE_UM_MAX: f64 = 1e6;
/// A thousand years.
const COUNTER_H_MAX: f64 = 1e7;

fn check_type(kind: &BearingType) -> Result<(), CalcError> {
    let above_0 = 1e-3..=CLEARANCE_UM_MAX;
    within("nominal_um", kind.set.nominal_um, &above_0, "um")?;
    let not_below = 0.0..=CLEARANCE_UM_MAX;
    within("tolerance_um", kind.set.tolerance_um, &not_below, "um")?;
    if let Some(factor) = kind.limit_factor {
        within("limit_factor", factor, &(1.0..=100.0), "")?;
    }
    if let Some(limit_um) = kind.limit_um {
        within("limit_um", limit_um, &above_0, "um")?;
    }
    check_gauge(kind.gauge)
}

fn check_gauge(gauge: Gauge) -> Result<(), CalcError> {
    let range = 0.0..=CLEARANCE_UM_MAX;
    let uncertainty = within(
        "expanded_uncertainty_um",
        gauge.expanded_uncertainty_um,
        &range,
        "um",
    )?;
    let step = within("step_um", gauge.step_um, &range, "um")?;
    if gauge.variance_um2() < 1e-6 {
        return Err(CalcError::OutOfRange {
            input: "expanded_uncertainty_um".to_owned(),
            value: uncertainty.max(step),
            unit: "um",
            allowed: "above 0, or a step above 0: no gauge is exact".to_owned(),
        });
    }
    Ok(())
}

fn check_stands(stands: &Stands) -> Result<(), CalcError> {
    let hours = 0.0..=COUNTER_H_MAX;
    for (_, h) in stands {
        within("stands", *h, &hours, "h")?;
    }
    Ok(())
}

fn check_reading(reading: &Reading) -> Result<(), CalcError> {
    if let Some(clearance_um) = reading.clearance_um {
        let clearance = -CLEARANCE_UM_MAX..=CLEARANCE_UM_MAX;
        within("clearance_um", clearance_um, &clearance, "um")?;
    }
    check_stands(&reading.stands)?;
    within("counter_h", reading.counter_h, &(0.0..=COUNTER_H_MAX), "h")?;
    if let Some(tonnes) = reading.counter_t {
        within("counter_t", tonnes, &(0.0..=1e12), "t")?;
    }
    let above_0 = 1e-3..=CLEARANCE_UM_MAX;
    if let Some(target) = reading.target {
        within("target.nominal_um", target.nominal_um, &above_0, "um")?;
        let tolerance = 0.0..=CLEARANCE_UM_MAX;
        within("target.tolerance_um", target.tolerance_um, &tolerance, "um")?;
    }
    if let Some(limit_um) = reading.limit_um {
        within("limit_um", limit_um, &above_0, "um")?;
    }
    reading.gauge.map_or(Ok(()), check_gauge)
}
