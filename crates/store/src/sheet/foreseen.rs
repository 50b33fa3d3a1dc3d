//! What the wear of the shop expects of the clearance that is being measured, so that a slip is asked about while the
//! bearing still lies on the bench.

use calc::wear::{Offer, Settings, Slip, offers};

use super::assess::Problem;
use super::clearance::root_of_squares;
use super::doubt::is_plain;
use super::facts::Facts;
use super::family::Family;
use super::field::radial::{RadialCell, Way, lines};
use super::field::{self, Cell, GAP_DEGREES, PAIRS};
use super::radial::{self, gauge_paths};
use super::worn::Worn;
use crate::draft::Fields;
use crate::entry::{self, LengthUnit, Quantity, Show};
use crate::form::body::gauge_in;
use crate::query::{OwnWear, ShopWear};

/// U of a clearance, all readings together, where its gauges are not known yet, nm at k = 2 (assumed).
const EXPANDED_UNCERTAINTY_NM: i64 = 20_000;
/// A correction is offered where it would pass with this much (own simulation).
const OFFER_BELOW: f64 = 2.0;
/// So much a reading is moved to see what the clearance makes of it, nm.
const MOVED_NM: i64 = 8_000;

/// What its wear lets expect of a clearance before it is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outlook {
    /// Expected, µm.
    pub mean_um: f64,
    /// Its standard deviation without that of the reading, µm.
    pub sd_um: f64,
    /// Too few bearings have been measured to say how much they differ: that is assumed.
    pub is_assumed: bool,
}

/// What the wear of the shop lets expect of the bearing on the bench.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Foreseen {
    /// Of each row pair before it is read; of a clearance of the whole bearing as the first.
    pub outlook: [Option<Outlook>; 3],
    /// What the model is told of this bearing; none where it was never measured.
    pub own: Option<OwnWear>,
    /// The same beside its peers, once they are known.
    pub worn: Option<Worn>,
}

impl Facts {
    /// Fills in what its own readings and its peers let expect of the bearing.
    pub fn foresee(&mut self, wear: &ShopWear) {
        self.foreseen.outlook = [None; 3];
        let own = self.foreseen.own.clone();
        self.foreseen.worn = own.and_then(|own| Worn::new(own, wear));
        let (Some(worn), Some(bearing)) = (&self.foreseen.worn, &self.bearing) else {
            return;
        };
        let counter_h = bearing.total_run_s as f64 / 3_600.0;
        for row in worn.before() {
            let (mean_um, sd_um) = row.so_far.expected_um(counter_h);
            if let Some(slot) = self.foreseen.outlook.get_mut(row.row_pair as usize - 1) {
                *slot = Some(Outlook {
                    mean_um,
                    sd_um,
                    is_assumed: row.is_assumed,
                });
            }
        }
    }
}

/// A clearance with the fields that it is read from.
struct Clearance<'a> {
    fields: &'a Fields,
    unit: LengthUnit,
    rows: usize,
    /// The way it is read in; none for the end play of a row pair.
    way: Option<Way>,
    /// The row pair, from 1.
    pair: usize,
}

impl Clearance<'_> {
    /// The fields, in the order of measuring.
    fn paths(&self) -> Vec<String> {
        match self.way {
            None => GAP_DEGREES
                .into_iter()
                .map(|degrees| field::gap(self.pair, degrees))
                .chain([field::spacer(self.pair)])
                .collect(),
            Some(way) => lines(way, self.rows)
                .into_iter()
                .flatten()
                .map(RadialCell::path)
                .collect(),
        }
    }

    fn number(&self, path: &str) -> Option<i64> {
        let typed = self.fields.get(path)?;
        let read = entry::read(typed.text.trim(), Quantity::Length, self.unit);
        read.ok().map(|read| read.value)
    }

    /// What the readings come to, nm, one of them perhaps another; none before all that is needed is there.
    fn value(&self, changed: Option<(&str, i64)>) -> Option<i64> {
        let number = |path: &str| match changed {
            Some((other, value)) if other == path => Some(value),
            _ => self.number(path),
        };
        if let Some(way) = self.way {
            return radial::whole(way, self.rows, |cell| number(&cell.path()));
        }
        let mut sum = 0_i64;
        for degrees in GAP_DEGREES {
            sum = sum.checked_add(number(&field::gap(self.pair, degrees))?)?;
        }
        let mean = sum / i64::try_from(GAP_DEGREES.len()).ok()?;
        number(&field::spacer(self.pair))?.checked_sub(mean)
    }

    /// U of the reading by the gauges that the sheet names, nm.
    fn expanded_uncertainty_nm(&self, facts: &Facts) -> Option<i64> {
        let of = |path: &str| {
            gauge_in(self.fields, path, facts.gauges.values())?.expanded_uncertainty_nm
        };
        match self.way.map(gauge_paths) {
            None => root_of_squares(["clearance.gauge_gap", "clearance.gauge_width"].map(of)),
            Some([one]) => of(one),
            Some([a, b]) => root_of_squares([of(a), of(b)]),
            Some(_) => None,
        }
    }

    /// The same reading in the other rows, which may have been typed here.
    fn neighbours(&self, path: &str) -> Vec<(u32, i64)> {
        let other: Vec<(usize, String)> = match field::grid(path) {
            Some(Cell::Spacer { .. }) => PAIRS.map(|pair| (pair, field::spacer(pair))).into(),
            Some(Cell::Gap { degrees, .. }) => {
                PAIRS.map(|pair| (pair, field::gap(pair, degrees))).into()
            }
            Some(Cell::Radial(cell)) => (1..=self.rows)
                .filter_map(|row| Some((row, cell.in_row(row)?.path())))
                .collect(),
            _ => Vec::new(),
        };
        let other = other.into_iter().filter(|(_, other)| other != path);
        other
            .filter_map(|(row, other)| Some((u32::try_from(row).ok()?, self.number(&other)?)))
            .collect()
    }
}

/// What may have been meant by one reading.
struct Meant {
    path: String,
    nm: i64,
    slip: Slip,
    /// Standard deviations from what is expected.
    z: f64,
}

/// Asks about a clearance that the wear of this bearing makes improbable, at the reading that completes it.
pub(super) fn doubt(
    path: &str,
    fields: &Fields,
    facts: &Facts,
    unit: LengthUnit,
) -> Option<Problem> {
    let clearance = completed_by(path, fields, facts, unit)?;
    let outlook = facts
        .foreseen
        .outlook
        .get(clearance.pair.checked_sub(1)?)
        .copied()??;
    let gate = Settings::default().gate?;
    let read_nm = clearance.value(None)?;
    let u_nm = clearance.expanded_uncertainty_nm(facts);
    let half_um = u_nm.unwrap_or(EXPANDED_UNCERTAINTY_NM) as f64 / 2_000.0;
    let sd_um = (outlook.sd_um * outlook.sd_um + half_um * half_um).sqrt();
    let miss = |nm: i64| (nm as f64 / 1_000.0 - outlook.mean_um) / sd_um;
    if miss(read_nm).abs() <= gate {
        return None;
    }
    let show = Show {
        unit,
        ..Show::default()
    };
    let nm = |um: f64| (um * 1_000.0).round() as i64;
    let what = match facts.family().clearance() {
        "end play" => "End play",
        _ => "Radial clearance",
    };
    let [low, high] = [-gate, gate].map(|z| nm(outlook.mean_um + z * sd_um));
    let assumed = if outlook.is_assumed {
        " Few bearings have been measured yet: how much they differ is assumed."
    } else {
        ""
    };
    let text = format!(
        "{what} {}: improbable, {} to {} expected by its wear and that of its peers.{assumed}",
        show.length_unit(read_nm),
        show.length(low.max(0)),
        show.length_unit(high)
    );
    let meant = |path: &str| meant(&clearance, path, read_nm, outlook.mean_um, sd_um, facts);
    let (hint, instead) = if let Some(own) = meant(path) {
        let text = show.length(own.nm);
        (slip_words(own.slip, &text, show), Some(text))
    } else {
        let paths = clearance.paths();
        let others = paths.iter().filter_map(|path| meant(path));
        let hint = others.min_by(|a, b| a.z.total_cmp(&b.z)).map_or_else(
            || "Look at all its readings once more, and at the gauge.".to_owned(),
            |other| {
                let words = slip_words(other.slip, &show.length(other.nm), show);
                format!("{}: {words}", field::label(&other.path))
            },
        );
        (hint, None)
    };
    Some(Problem {
        is_refusal: false,
        text,
        hint: Some(hint),
        instead,
    })
}

/// The clearance that a field completes: the width of a spacer, or the last reading of a whole bearing.
fn completed_by<'a>(
    path: &str,
    fields: &'a Fields,
    facts: &Facts,
    unit: LengthUnit,
) -> Option<Clearance<'a>> {
    let of = |way, pair| Clearance {
        fields,
        unit,
        rows: facts.rows(),
        way,
        pair,
    };
    match field::grid(path)? {
        Cell::Spacer { pair } => Some(of(None, pair)),
        Cell::Radial(cell) => {
            let told = fields.get("radial.method").map(|f| f.text.trim());
            let way = Way::of(facts.family(), told).filter(|way| *way == cell.way())?;
            // Only what is read alike and over the same half is comparable; a thrust bearing has no wear of this kind.
            let last = facts.bearing.as_ref()?.history.last()?;
            if facts.family() == Family::Thrust || last.way != Some(way) {
                return None;
            }
            let clearance = of(Some(way), 1);
            let paths = clearance.paths();
            let last = paths.iter().rfind(|path| clearance.number(path).is_some());
            last.is_some_and(|last| last == path).then_some(clearance)
        }
        _ => None,
    }
}

/// The correction of one reading after which the clearance would be as expected.
fn meant(
    clearance: &Clearance<'_>,
    path: &str,
    read_nm: i64,
    mean_um: f64,
    sd_um: f64,
    facts: &Facts,
) -> Option<Meant> {
    let typed = clearance.number(path)?;
    let moved = clearance.value(Some((path, typed.checked_add(MOVED_NM)?)))?;
    let slope = (moved - read_nm) as f64 / MOVED_NM as f64;
    if slope == 0.0 {
        return None;
    }
    // Where this reading alone would have to be, in units of the last digit as it is shown.
    let digit_nm = match clearance.unit {
        LengthUnit::Millimetre => 1_000.0,
        LengthUnit::Inch => 2_540.0,
    };
    let wanted_nm = typed as f64 + (mean_um * 1_000.0 - read_nm as f64) / slope;
    let rows: Vec<(u32, f64)> = clearance
        .neighbours(path)
        .into_iter()
        .map(|(row, nm)| (row, nm as f64 / digit_nm))
        .collect();
    let found = offers(
        typed as f64 / digit_nm,
        wanted_nm / digit_nm,
        sd_um * 1_000.0 / slope.abs() / digit_nm,
        &rows,
    );
    let passing = |Offer { clearance_um, slip }: Offer| {
        let nm = (clearance_um * digit_nm).round() as i64;
        let corrected = clearance.value(Some((path, nm)))?;
        let z = ((corrected as f64 / 1_000.0 - mean_um) / sd_um).abs();
        let is_right = z < OFFER_BELOW && is_plain(path, nm, facts, clearance.unit);
        is_right.then(|| Meant {
            path: path.to_owned(),
            nm,
            slip,
            z,
        })
    };
    found.into_iter().find_map(passing)
}

/// A question about a slip.
fn slip_words(slip: Slip, meant: &str, show: Show) -> String {
    let what = match slip {
        Slip::Unit(_) => "Another unit",
        Slip::DigitsSwapped => "Digits exchanged",
        Slip::DigitMissing => "A digit left out",
        Slip::DigitDoubled => "A digit twice",
        Slip::OtherRow(_) => "The value of a neighbour row",
    };
    format!("{what}? {meant} {}", show.unit.sign())
}
