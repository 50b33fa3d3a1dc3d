//! What the bench of the plant shows: how clearances grow, what gauges read, with their scatter. Sizes in um.

use store::draft::{DraftField, Fields, Source};
use store::sheet::field::{self, GAP_DEGREES, PAIRS, PLANES, SEAT_DEGREES, SeatName};

use crate::data::{Growth, Kind};
use crate::dice::Dice;

/// Expansion of chock, neck and gauge, 1/K, as the sheet corrects with (see `store::sheet`).
const EXPANSION_PER_K: f64 = 11.5e-6;
/// Standard uncertainties of a mean gap and of a spacer width: half of U of GB-01 and HG-02.
const GAP_SD_UM: f64 = 6.0;
const WIDTH_SD_UM: f64 = 4.5;
/// Running-in: so much more end play in the first hours of a bearing's life.
const RUNNING_IN_UM: f64 = 20.0;
const RUNNING_IN_H: f64 = 500.0;

/// A four-row tapered bearing as it really is.
pub(crate) struct Set {
    pub(crate) as_set_um: [i64; 3],
    pub(crate) end_play_um: [f64; 3],
    pub(crate) spacer_um: [f64; 3],
    /// How much faster than its peers its end play grows, um per 1,000 h.
    pub(crate) faster_um: f64,
    life_h: f64,
    /// Mill time before the logbook, h.
    pub(crate) prior_h: i64,
}

impl Set {
    /// A set as it comes new; `used` = with a life behind it, in which it wore as fast as it does now. Of two sets that
    /// share a place the second wears as much slower than the stand as the first wears faster (`opposite`): what the
    /// stands differ by is then their own wear, not the luck of the two sets that live there.
    pub(crate) fn new(
        kind: &Kind,
        used: bool,
        growth_um: f64,
        opposite: Option<f64>,
        dice: &mut Dice,
    ) -> Self {
        let nominal = |name: &str, pair| kind.value(name, pair).unwrap_or(0) as f64 / 1000.0;
        let band = (nominal("clearance_max_nm", 1) - nominal("clearance_min_nm", 1)) / 2.0;
        let as_set_um: [i64; 3] = PAIRS.map(|pair| {
            let off = dice.normal(band / 4.0).clamp(-band / 2.0, band / 2.0);
            (nominal("clearance_nominal_nm", pair) + off).round() as i64
        });
        let spacer_um = PAIRS.map(|pair| (nominal("spacer_nm", pair) + dice.normal(3.0)).round());
        let own_um = dice.normal(12.0).clamp(-24.0, 24.0);
        let faster_um = opposite.map_or(own_um, |um| -um);
        let to_rework = nominal("rework_nm", 1) - nominal("clearance_nominal_nm", 1);
        let grown = if used {
            dice.between(0.05, 0.75) * to_rework
        } else {
            0.0
        };
        let end_play_um =
            as_set_um.map(|um| um as f64 + grown + if used { dice.normal(8.0) } else { 0.0 });
        let prior_h = hours_for(grown, growth_um + faster_um).round() as i64;
        Self {
            as_set_um,
            end_play_um,
            spacer_um,
            faster_um,
            life_h: prior_h as f64,
            prior_h,
        }
    }

    /// The values of a bearing that comes in with its certificate, new or reconditioned.
    pub(crate) fn renew(&mut self, as_set_um: [i64; 3], spacer_um: [i64; 3]) {
        self.as_set_um = as_set_um;
        self.end_play_um = as_set_um.map(|um| um as f64);
        self.spacer_um = spacer_um.map(|um| um as f64);
        self.life_h = 0.0;
    }

    /// Runs so many hours where end play grows `stand_um` per 1,000 h, or as a story tells.
    pub(crate) fn run(&mut self, hours: f64, stand_um: f64, story: Option<&Growth>) {
        let in_first = (RUNNING_IN_H - self.life_h).clamp(0.0, hours);
        for (pair, um) in self.end_play_um.iter_mut().enumerate() {
            *um += match story {
                Some(growth) => hours / 1000.0 * (growth.um[pair] + 0.3 * self.faster_um),
                None => {
                    hours / 1000.0 * (stand_um + self.faster_um)
                        + in_first / RUNNING_IN_H * RUNNING_IN_UM
                }
            };
        }
        self.life_h += hours;
    }
}

/// Mill hours after which so much has grown at a rate per 1,000 h, the running-in included.
fn hours_for(grown_um: f64, rate_um: f64) -> f64 {
    let in_first = RUNNING_IN_UM + rate_um * RUNNING_IN_H / 1000.0;
    if grown_um < in_first {
        grown_um / in_first * RUNNING_IN_H
    } else {
        RUNNING_IN_H + (grown_um - in_first) / rate_um * 1000.0
    }
}

/// A text as a person types it.
pub(crate) fn put(fields: &mut Fields, path: &str, text: impl Into<String>) {
    fields.insert(
        path.to_owned(),
        DraftField {
            text: text.into(),
            source: Source::Typed,
        },
    );
}

/// Micrometres as millimetres with three decimals.
pub(crate) fn mm(um: i64) -> String {
    format!("{}.{:03}", um / 1000, um % 1000)
}

/// The same back from its text.
pub(crate) fn um(fields: &Fields, path: &str) -> Option<i64> {
    let mm: f64 = fields.get(path)?.text.parse().ok()?;
    Some((mm * 1_000.0).round() as i64)
}

fn celsius(tenths: i64) -> String {
    format!("{}.{}", tenths / 10, tenths % 10)
}

/// Gaps and spacers of a set, read with the scatter of the gauges.
pub(crate) fn read_stack(fields: &mut Fields, set: &Set, dice: &mut Dice) {
    for (index, pair) in PAIRS.into_iter().enumerate() {
        let width = set.spacer_um[index];
        let gap = width - set.end_play_um[index] + dice.normal(GAP_SD_UM);
        let scatter: [f64; 4] = std::array::from_fn(|_| dice.normal(4.0));
        let middle = scatter.iter().sum::<f64>() / 4.0;
        for (degrees, off) in GAP_DEGREES.into_iter().zip(scatter) {
            put(
                fields,
                &field::gap(pair, degrees),
                mm((gap + off - middle).round() as i64),
            );
        }
        let read = (width + dice.normal(WIDTH_SD_UM)).round() as i64;
        put_places(fields, read, |degrees| field::spacer_at(pair, degrees));
    }
}

/// Gaps and spacers exactly as a story has them.
pub(crate) fn tell_stack(fields: &mut Fields, gaps_um: [[i64; 4]; 3], spacers_um: [i64; 3]) {
    for (index, pair) in PAIRS.into_iter().enumerate() {
        for (degrees, um) in GAP_DEGREES.into_iter().zip(gaps_um[index]) {
            put(fields, &field::gap(pair, degrees), mm(um));
        }
        let read = spacers_um[index];
        put_places(fields, read, |degrees| field::spacer_at(pair, degrees));
    }
}

/// A width at four places whose mean it is; the faces are parallel within 0.004 mm.
pub(crate) fn put_places(fields: &mut Fields, um: i64, path: impl Fn(i64) -> String) {
    // Where it is widest differs from ring to ring and from grind to grind; at 0 degrees it is the mean.
    const ROUND: [[i64; 4]; 4] = [[0, 2, -2, 0], [0, -1, 2, -1], [0, -2, 1, 1], [0, 0, -2, 2]];
    let which = usize::try_from(um.rem_euclid(ROUND.len() as i64)).unwrap_or(0);
    for (degrees, off) in GAP_DEGREES.into_iter().zip(ROUND[which]) {
        put(fields, &path(degrees), mm(um + off));
    }
}

/// Gaps round the ring whose mean gives an end play to the micrometre.
pub(crate) fn gaps_for(end_play_um: [i64; 3], spacers_um: [i64; 3]) -> [[i64; 4]; 3] {
    const ROUND: [[i64; 4]; 5] = [
        [0, -6, 4, 2],
        [3, 1, -5, 1],
        [-2, 6, -1, -3],
        [5, -4, 2, -3],
        [-4, 0, 3, 1],
    ];
    std::array::from_fn(|i| {
        let gap = spacers_um[i] - end_play_um[i];
        let which = usize::try_from(gap.rem_euclid(ROUND.len() as i64)).unwrap_or(0);
        ROUND[which].map(|off| gap + off)
    })
}

/// Temperatures of a part and its gauge, 0.1 C.
#[derive(Clone, Copy)]
pub(crate) struct Warmth {
    first: i64,
    last: i64,
    gauge: i64,
}

impl Warmth {
    /// As on any day of the shop.
    pub(crate) fn any(dice: &mut Dice) -> Self {
        let first = dice.whole(212, 248);
        Self {
            first,
            last: first + 2 * dice.whole(0, 2),
            gauge: dice.whole(206, 228),
        }
    }

    /// As a story has them: the part, first and last, and the gauge.
    pub(crate) fn of([first, last, gauge]: [i64; 3]) -> Self {
        Self { first, last, gauge }
    }

    /// The part lay beside its gauge until both had the same temperature: nothing is corrected.
    pub(crate) fn alike() -> Self {
        Self {
            first: 220,
            last: 220,
            gauge: 220,
        }
    }

    /// The part 1.4 K warmer than the gauge: for 620 mm the correction is then 0.010 mm to within 0.02 um.
    pub(crate) fn story() -> Self {
        Self {
            first: 232,
            last: 236,
            gauge: 220,
        }
    }

    /// What the gauge reads, um, where the size at 20 C is `um`.
    fn raw(self, um: f64) -> i64 {
        let growth = |tenths: f64| 1.0 + EXPANSION_PER_K * (tenths / 10.0 - 20.0);
        let part = (self.first + self.last) as f64 / 2.0;
        (um * growth(part) / growth(self.gauge as f64)).round() as i64
    }
}

/// What the warmth of a seat and of its gauge is read on.
pub(crate) const THERMOMETER: &str = "TC-03";

/// Readings of a seat whose sizes at 20 C are known, um by plane and direction.
pub(crate) fn read_seat(
    fields: &mut Fields,
    seat: SeatName,
    gauge: &str,
    sizes_um: &[[f64; 4]],
    warmth: Warmth,
) {
    let named = |end: &str| format!("{}.{end}", seat.prefix());
    put(fields, &named("gauge"), gauge);
    if seat == SeatName::Neck {
        put(fields, &named("cracks"), "magnetic_clear");
    }
    if seat == SeatName::Neck {
        put(fields, &named("cracks"), "magnetic_clear");
    }
    // The setting ring next to the size, and what the gauge shows on it: within 0.001 mm.
    let standard_um = (sizes_um[0][0] / 1_000.0).round() as i64 * 1_000;
    let off_um = sizes_um[0][0].round() as i64 % 3 - 1;
    put(fields, &named("check.read"), mm(standard_um + off_um));
    put(fields, &named("check.standard"), mm(standard_um));
    put(fields, &named("thermometer"), THERMOMETER);
    put(fields, &named("temp_first"), celsius(warmth.first));
    put(fields, &named("temp_last"), celsius(warmth.last));
    put(fields, &named("temp_gauge"), celsius(warmth.gauge));
    for (plane, sizes) in PLANES.into_iter().zip(sizes_um) {
        for (degrees, um) in SEAT_DEGREES.into_iter().zip(*sizes) {
            put(
                fields,
                &field::size(seat, plane, degrees),
                mm(warmth.raw(um)),
            );
        }
    }
}

/// A chock bore as it really is: deviation from nominal, ovality, taper, um.
pub(crate) struct Bore {
    mean: f64,
    ovality: f64,
    taper: f64,
}

impl Bore {
    pub(crate) fn new(dice: &mut Dice) -> Self {
        Self {
            mean: dice.between(28.0, 50.0),
            ovality: dice.between(8.0, 28.0),
            taper: dice.between(-10.0, 10.0),
        }
    }

    /// Wears slowly; a worn bore is put right before it comes near its limits.
    pub(crate) fn run(&mut self, hours: f64) {
        self.mean = (self.mean + hours / 1000.0 * 1.2).min(62.0);
        self.ovality = (self.ovality + hours / 1000.0 * 1.5).min(60.0);
    }

    /// Sizes at 20 C; the bore stretches across the load.
    pub(crate) fn sizes_um(
        &self,
        nominal_um: f64,
        planes: usize,
        dice: &mut Dice,
    ) -> Vec<[f64; 4]> {
        let ends = (0..planes).map(|plane| 0.5 - plane as f64 / (planes.max(2) - 1) as f64);
        ends.map(|end| {
            [-0.5, -0.05, 0.5, 0.05].map(|across| {
                nominal_um + self.mean + end * self.taper + across * self.ovality + dice.normal(1.0)
            })
        })
        .collect()
    }
}

/// Deviations of a story as sizes.
pub(crate) fn told_bore(nominal_um: f64, grid_um: [[i64; 4]; 3]) -> [[f64; 4]; 3] {
    grid_um.map(|plane| plane.map(|um| nominal_um + um as f64))
}

/// A neck inside its drawing band, the same for the same roll and side every time but for the reading.
pub(crate) fn neck_sizes_um(
    kind: &Kind,
    seed: u64,
    roll: &str,
    side: usize,
    dice: &mut Dice,
) -> [[f64; 4]; 3] {
    let limit = |name: &str| kind.value(name, 0).unwrap_or(0) as f64 / 1000.0;
    let mut own = Dice::of(seed, roll, side as i64);
    let size = own.between(limit("neck_min_nm") + 8.0, limit("neck_max_nm") - 8.0);
    let oval = own.between(0.0, 3.0);
    std::array::from_fn(|_| [0.0, 0.5, 1.0, 0.5].map(|part| size + part * oval + dice.normal(1.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_typed_with_three_decimals() {
        assert_eq!(
            (mm(23_372).as_str(), mm(620_045).as_str(), mm(302).as_str()),
            ("23.372", "620.045", "0.302")
        );
        assert_eq!(celsius(232), "23.2");
    }

    #[test]
    fn the_hours_before_the_logbook_are_those_of_its_own_wear() {
        assert!((hours_for(47.5, 55.0) - 500.0).abs() < 1e-9);
        assert!((hours_for(102.5, 55.0) - 1_500.0).abs() < 1e-9);
        assert!((hours_for(0.0, 55.0)).abs() < 1e-9);
    }

    #[test]
    fn a_told_end_play_is_met_to_the_micrometre() {
        let gaps = gaps_for([480, 350, 405], [24_003, 30_006, 23_998]);
        for (gap, (end_play, spacer)) in
            gaps.iter()
                .zip([(480, 24_003), (350, 30_006), (405, 23_998)])
        {
            assert_eq!(4 * spacer - gap.iter().sum::<i64>(), 4 * end_play);
        }
    }

    #[test]
    fn the_warmth_of_a_story_shifts_every_size_by_ten_micrometres() {
        for um in [620_019.0, 620_105.0, 620_214.0] {
            assert_eq!(Warmth::story().raw(um), um as i64 + 10);
        }
    }
}
