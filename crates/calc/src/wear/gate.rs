//! Entry gate: readings that the others make improbable, and what they may have been meant to be.
//!
//! In the order of time the whitened residuals of a bearing are its standardised one-step-ahead prediction errors.
//! Nothing is corrected silently: what does not pass is left out of the fit, stays visible, and a person decides.

use super::block::Block;
use super::linalg::{cholesky, dot, inverse, solve_lower};
use super::model::{Model, Solution};
use super::segments::{Bearing, Shop};
use super::table::BearingType;

/// A correction is offered where it would pass with this much (own simulation).
const OFFER_BELOW: f64 = 2.0;
/// Readings in a segment from which on another reading than the failing one may be to blame.
const BLAME_FROM: usize = 3;

/// A reading that did not pass.
#[derive(Debug, Clone, PartialEq)]
pub struct Improbable {
    /// Place of the reading in the pool.
    pub reading: usize,
    /// How many standard deviations the prediction was missed by where it showed.
    pub z: f64,
    /// What the other readings expect here, µm.
    pub expected_um: f64,
    /// Standard deviation of that, the reading's own included, µm.
    pub expected_sd_um: f64,
    /// What may have been meant, the likeliest first.
    pub offers: Vec<Offer>,
}

/// A value that may have been meant.
#[derive(Debug, Clone, PartialEq)]
pub struct Offer {
    /// The value, µm.
    pub clearance_um: f64,
    /// What would have gone wrong.
    pub slip: Slip,
}

/// What goes wrong when a reading is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Slip {
    /// Typed in another unit: the value times this makes µm.
    Unit(Factor),
    /// Two neighbouring digits stand in the wrong order.
    DigitsSwapped,
    /// A digit is missing.
    DigitMissing,
    /// A digit stands twice.
    DigitDoubled,
    /// The value of another row pair of the same teardown.
    OtherRow(u32),
}

/// Factor between what was typed and what was meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Factor {
    /// mm in a µm field.
    Thousand,
    /// Hundredths of a millimetre typed as µm, by a hundred.
    Hundred,
    /// Hundredths of a millimetre typed as µm.
    Ten,
    /// Thousandths of an inch in a µm field.
    Inch,
    /// One zero too many.
    Tenth,
}

impl Factor {
    /// As a number.
    pub fn value(self) -> f64 {
        match self {
            Self::Thousand => 1000.0,
            Self::Hundred => 100.0,
            Self::Ten => 10.0,
            Self::Inch => 25.4,
            Self::Tenth => 0.1,
        }
    }
}

/// What is left out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rule {
    /// Standard deviations by which a prediction may be missed.
    pub(super) level: f64,
    /// With fewer readings of the segment up to the failing one, itself included, that one is to blame. 1 lets the readings
    /// after it say whether the one before it is.
    pub(super) suspects_min: usize,
}

impl Rule {
    pub(super) fn beyond(level: f64) -> Self {
        Self {
            level,
            suspects_min: 1,
        }
    }
}

/// Leaves out of each bearing what misses its prediction by too much; all others count.
pub(super) fn pass(
    types: &[BearingType],
    shop: &mut Shop,
    model: &Model,
    fit: &Solution,
    rule: &Rule,
) -> Vec<Improbable> {
    let mut found = Vec::new();
    for bearing in &mut shop.bearings {
        readmit(bearing);
        let kind = &types[bearing.kind];
        let start = found.len();
        while let Some(((segment, obs), z)) = blamed(bearing, kind, model, fit, rule) {
            let obs = &mut bearing.segments[segment].obs[obs];
            obs.is_used = false;
            found.push((obs.reading, segment, z));
            if found.len() > start + 1000 {
                break;
            }
        }
    }
    let mut improbable = Vec::with_capacity(found.len());
    for (reading, segment, z) in found {
        let at =
            |s: &super::segments::RowSegment| s.obs.iter().position(|obs| obs.reading == reading);
        let of = shop.bearings.iter_mut().find_map(|bearing| {
            let obs = at(bearing.segments.get(segment)?)?;
            Some((bearing, obs))
        });
        if let Some((bearing, obs)) = of {
            let kind = &types[bearing.kind];
            improbable.extend(expectation(bearing, (segment, obs), kind, model, fit).map(
                |(mean_um, sd_um)| {
                    let rows = neighbours(bearing, (segment, obs));
                    let typed_um = bearing.segments[segment].obs[obs].y_um;
                    Improbable {
                        reading,
                        z,
                        expected_um: mean_um,
                        expected_sd_um: sd_um,
                        offers: offers(typed_um, mean_um, sd_um, &rows),
                    }
                },
            ));
        }
    }
    improbable
}

/// Every reading of a bearing counts again.
fn readmit(bearing: &mut Bearing) {
    for obs in bearing
        .segments
        .iter_mut()
        .flat_map(|segment| &mut segment.obs)
    {
        obs.is_used = obs.is_measured;
    }
}

/// The reading to leave out next, and by how much its prediction was missed.
fn blamed(
    bearing: &Bearing,
    kind: &BearingType,
    model: &Model,
    fit: &Solution,
    rule: &Rule,
) -> Option<((usize, usize), f64)> {
    let block = Block::new(bearing, kind, model.rates[bearing.kind], &model.columns);
    let n = block.len();
    let residuals = block.residuals(fit);
    let covariance = block.wide_covariance(fit);
    let mut factor = covariance.clone();
    cholesky(&mut factor, n)?;
    let mut innovations = residuals.clone();
    solve_lower(&factor, n, &mut innovations, 1);
    let failing = innovations.iter().position(|z| z.abs() > rule.level)?;
    let z = innovations[failing];
    let segment = block.places[failing].0;
    let suspects: Vec<usize> = (0..=failing)
        .filter(|i| block.places[*i].0 == segment)
        .collect();
    let in_segment = block.places.iter().filter(|(s, _)| *s == segment).count();
    if in_segment < BLAME_FROM || suspects.len() < rule.suspects_min {
        return Some((block.places[failing], z));
    }
    let inverse = inverse(&factor, n);
    let left_out = |i: usize| {
        let weighted = dot(&inverse[i * n..(i + 1) * n], &residuals);
        (weighted / inverse[i * n + i].sqrt()).abs()
    };
    let worst = suspects
        .into_iter()
        .max_by(|a, b| left_out(*a).total_cmp(&left_out(*b)))?;
    Some((block.places[worst], z))
}

/// What the readings that count expect of one that does not: mean and standard deviation, µm.
fn expectation(
    bearing: &mut Bearing,
    (segment, obs): (usize, usize),
    kind: &BearingType,
    model: &Model,
    fit: &Solution,
) -> Option<(f64, f64)> {
    bearing.segments[segment].obs[obs].is_used = true;
    let block = Block::new(bearing, kind, model.rates[bearing.kind], &model.columns);
    bearing.segments[segment].obs[obs].is_used = false;
    let n = block.len();
    let at = block
        .places
        .iter()
        .position(|place| *place == (segment, obs))?;
    let mut factor = block.wide_covariance(fit);
    cholesky(&mut factor, n)?;
    let inverse = inverse(&factor, n);
    // Leave-one-out error of a normal vector: (V⁻¹ r)ᵢ/(V⁻¹)ᵢᵢ with variance 1/(V⁻¹)ᵢᵢ.
    let precision = inverse[at * n + at];
    let error = dot(&inverse[at * n..(at + 1) * n], &block.residuals(fit)) / precision;
    Some((
        bearing.segments[segment].obs[obs].y_um - error,
        1.0 / precision.sqrt(),
    ))
}

/// Values of the other row pairs at the same event.
fn neighbours(bearing: &Bearing, (segment, obs): (usize, usize)) -> Vec<(u32, f64)> {
    let of = &bearing.segments[segment];
    let event = of.obs[obs].event;
    let others = bearing
        .segments
        .iter()
        .filter(|other| other.row_pair != of.row_pair);
    others
        .flat_map(|other| other.obs.iter().map(|obs| (other.row_pair, obs)))
        .filter(|(_, obs)| obs.event == event && obs.is_measured)
        .map(|(row_pair, obs)| (row_pair, obs.y_um))
        .collect()
}

/// What may have been meant by a value, in µm or in whatever else makes its last digit a whole number: corrections that
/// lie within two standard deviations of what is expected, the nearest first. `rows` are the values of the neighbour
/// rows, which may have been typed here instead.
pub fn offers(typed_um: f64, mean_um: f64, sd_um: f64, rows: &[(u32, f64)]) -> Vec<Offer> {
    let mut candidates: Vec<(f64, Slip)> = [
        Factor::Thousand,
        Factor::Hundred,
        Factor::Ten,
        Factor::Inch,
        Factor::Tenth,
    ]
    .map(|factor| (typed_um * factor.value(), Slip::Unit(factor)))
    .to_vec();
    candidates.extend(respelled(typed_um, mean_um));
    candidates.extend(rows.iter().map(|(row, um)| (*um, Slip::OtherRow(*row))));
    let mut passing: Vec<(f64, Offer)> = candidates
        .into_iter()
        .map(|(clearance_um, slip)| {
            (
                ((clearance_um - mean_um) / sd_um).abs(),
                Offer { clearance_um, slip },
            )
        })
        .filter(|(z, offer)| *z < OFFER_BELOW && offer.clearance_um != typed_um)
        .collect();
    passing.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.slip.cmp(&b.1.slip)));
    let mut offers: Vec<Offer> = Vec::new();
    for (_, offer) in passing {
        if offers
            .iter()
            .all(|other| other.clearance_um != offer.clearance_um)
        {
            offers.push(offer);
        }
    }
    offers
}

/// The digits of a whole number of µm with one slip undone.
fn respelled(typed_um: f64, mean_um: f64) -> Vec<(f64, Slip)> {
    if typed_um < 0.0 || typed_um.fract() != 0.0 || typed_um >= 1e6 {
        return Vec::new();
    }
    let digits: Vec<u8> = format!("{typed_um:.0}").into_bytes();
    let number = |digits: &[u8]| {
        digits
            .iter()
            .fold(0.0, |sum, digit| 10.0 * sum + f64::from(digit - b'0'))
    };
    let mut found = Vec::new();
    for i in 0..digits.len().saturating_sub(1) {
        let mut swapped = digits.clone();
        swapped.swap(i, i + 1);
        found.push((number(&swapped), Slip::DigitsSwapped));
        if digits[i] == digits[i + 1] {
            let mut single = digits.clone();
            single.remove(i);
            found.push((number(&single), Slip::DigitDoubled));
        }
    }
    // Of the ten digits that may be missing at a place only the one that comes nearest is worth asking about.
    for i in 0..=digits.len() {
        let with = |digit: u8| {
            let mut longer = digits.clone();
            longer.insert(i, digit);
            number(&longer)
        };
        let nearest = (b'0'..=b'9')
            .map(with)
            .min_by(|a, b| (a - mean_um).abs().total_cmp(&(b - mean_um).abs()));
        found.extend(nearest.map(|um| (um, Slip::DigitMissing)));
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_correction_is_offered_only_where_it_would_pass() {
        let cases: [(f64, f64, f64, Slip); 6] = [
            (0.37, 368.0, 370.0, Slip::Unit(Factor::Thousand)),
            (37.0, 368.0, 370.0, Slip::Unit(Factor::Ten)),
            (3700.0, 368.0, 370.0, Slip::Unit(Factor::Tenth)),
            (15.0, 380.0, 381.0, Slip::Unit(Factor::Inch)),
            (730.0, 368.0, 370.0, Slip::DigitsSwapped),
            (3370.0, 368.0, 370.0, Slip::DigitDoubled),
        ];
        for (typed, mean, meant, slip) in cases {
            let offers = offers(typed, mean, 9.0, &[]);
            assert!(
                offers.contains(&Offer {
                    clearance_um: meant,
                    slip
                }),
                "{typed}: {offers:?}"
            );
        }
        assert!(offers(600.0, 368.0, 9.0, &[]).is_empty());
        let swapped = offers(600.0, 368.0, 9.0, &[(2, 370.0), (3, 500.0)]);
        assert_eq!(
            swapped,
            [Offer {
                clearance_um: 370.0,
                slip: Slip::OtherRow(2)
            }]
        );
    }
}
