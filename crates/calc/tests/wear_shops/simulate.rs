//! A simulated roll shop whose truth is not the model: log-normal factors, gamma-process wear, monthly severity of the
//! mill, and a gauge that reads in steps. All numbers are invented; hours a month, stays, replacements and what ends faster
//! wear are like those of the logbooks in `shared/reference/trend`.

use calc::wear::{BearingType, Event, Pool, Reading, Target};

use super::kinds::{Kind, MONTHS};
use super::random::Random;

const DAYS_PER_MONTH: i32 = 30;
const STANDS: usize = 6;
/// Variance of wear per µm worn.
const UNEVEN_UM: f64 = 2.0;
/// Weibull life of a bearing, h: when it ends, another takes its place.
const LIFE_H: f64 = 15_000.0;
const LIFE_SHAPE: f64 = 3.0;

/// What is true of a running row pair after a teardown.
pub struct Truth {
    pub bearing: String,
    pub row_pair: u32,
    pub day: i32,
    pub counter_h: f64,
    /// Readings in the segment.
    pub readings: usize,
    /// True counter hours at which the limit is passed, if it stays in its stand; before `counter_h` where it is passed
    /// unseen.
    pub crossing_h: f64,
    /// Whether it wears faster already.
    pub is_accelerated: bool,
    /// Whether its bearing was scrapped at this teardown.
    pub is_retired: bool,
}

/// A simulated shop.
pub struct Shop {
    pub pool: Pool,
    pub truths: Vec<Truth>,
    /// Readings that were entered wrongly.
    pub wrong: Vec<usize>,
    /// (stand, row pair) that is misaligned.
    pub misaligned: Option<(String, u32)>,
    pub last_day: i32,
}

struct Bearing {
    name: String,
    kind: usize,
    factor: f64,
    rows: Vec<Row>,
    counter_h: f64,
    stand: usize,
    /// Counter hours at which it is worn out, seen at the next teardown.
    life_h: f64,
    faster: Option<Faster>,
}

struct Row {
    factor: f64,
    segment_factor: f64,
    clearance_um: f64,
    limit_um: f64,
    readings: usize,
    /// Counter hours at which the limit was passed.
    passed_h: Option<f64>,
}

#[derive(Clone, Copy)]
struct Faster {
    onset_h: f64,
    factor: f64,
    row: Option<usize>,
}

struct Mill {
    kind: Kind,
    types: Vec<BearingType>,
    rows_of: Vec<usize>,
    rates: Vec<f64>,
    stands: Vec<f64>,
    stand_rows: Vec<[f64; 4]>,
}

impl Mill {
    fn new(kind: Kind, random: &mut Random) -> Self {
        let pairs: [(f64, usize); 3] = if kind.is_radial {
            [(160.0, 4), (220.0, 4), (130.0, 2)]
        } else {
            [(250.0, 2), (360.0, 4), (200.0, 3)]
        };
        let types = pairs
            .iter()
            .zip(["A", "B", "C"])
            .map(|((nominal_um, _), name)| BearingType {
                name: name.to_owned(),
                set: Target {
                    nominal_um: *nominal_um,
                    tolerance_um: if kind.is_radial {
                        0.15 * nominal_um
                    } else {
                        0.1 * nominal_um
                    },
                },
                limit_factor: (!kind.is_radial).then_some(2.0),
                limit_um: kind.is_radial.then_some(1.8 * nominal_um),
                gauge: kind.gauge,
            });
        let s = kind.spread;
        let stands = (0..STANDS).map(|_| random.factor(0.2 * s)).collect();
        let mut stand_rows: Vec<[f64; 4]> = (0..STANDS)
            .map(|_| [(); 4].map(|()| random.factor(0.08 * s)))
            .collect();
        if kind.is_misaligned {
            stand_rows[MISALIGNED.0][MISALIGNED.1] *= 1.7;
        }
        Self {
            kind,
            types: types.collect(),
            rows_of: pairs.iter().map(|(_, rows)| *rows).collect(),
            rates: pairs
                .iter()
                .map(|(nominal_um, _)| nominal_um * random.between(0.06, 0.09) / 1000.0)
                .collect(),
            stands,
            stand_rows,
        }
    }

    /// Wear of a row pair in some hours, µm.
    fn wear(
        &self,
        bearing: &Bearing,
        row: usize,
        hours: f64,
        severity: f64,
        counter_h: f64,
        random: &mut Random,
    ) -> f64 {
        let of = &bearing.rows[row];
        let faster = bearing
            .faster
            .filter(|f| counter_h >= f.onset_h && f.row.is_none_or(|r| r == row));
        let factor = bearing.factor
            * of.factor
            * of.segment_factor
            * self.stands[bearing.stand]
            * self.stand_rows[bearing.stand][row]
            * faster.map_or(1.0, |f| f.factor);
        let mean = self.rates[bearing.kind] * hours * severity * factor;
        random.gamma(mean, UNEVEN_UM * mean)
    }

    fn read(&self, clearance_um: f64, random: &mut Random) -> f64 {
        let gauge = self.kind.gauge;
        let indicated = clearance_um + gauge.expanded_uncertainty_um / 2.0 * random.normal();
        ((indicated / gauge.step_um).round() * gauge.step_um).max(0.0)
    }

    /// Counter hours at which a row pair passes its limit if nothing changes.
    fn crossing_h(&self, bearing: &Bearing, row: usize, random: &mut Random) -> f64 {
        if let Some(passed_h) = bearing.rows[row].passed_h {
            return passed_h;
        }
        let step_h = 50.0;
        let mut counter_h = bearing.counter_h;
        let mut clearance_um = bearing.rows[row].clearance_um;
        let mut severity = 1.0;
        let mut steps = 0;
        while clearance_um < bearing.rows[row].limit_um && counter_h < bearing.counter_h + 60_000.0
        {
            if steps % 6 == 0 {
                severity = random.factor(0.15 * self.kind.spread);
            }
            steps += 1;
            let worn = self.wear(bearing, row, step_h, severity, counter_h, random);
            let left = bearing.rows[row].limit_um - clearance_um;
            counter_h += if worn > left {
                step_h * left / worn
            } else {
                step_h
            };
            clearance_um += worn;
        }
        counter_h
    }
}

const MISALIGNED: (usize, usize) = (3, 1);

/// A shop of a kind.
pub fn simulate(kind: Kind, seed: u64) -> Shop {
    let mut random = Random::new(seed);
    let mill = Mill::new(kind, &mut random);
    let severity: Vec<f64> = (0..MONTHS)
        .map(|_| random.factor(0.15 * kind.spread))
        .collect();
    let first_month = MONTHS - kind.months;
    let mut shop = Writer {
        readings: Vec::new(),
        truths: Vec::new(),
        wrong: Vec::new(),
        first_day: first_month as i32 * DAYS_PER_MONTH,
    };
    for number in 0..kind.bearings {
        one_bearing(
            &mill,
            number,
            first_month,
            &severity,
            &mut shop,
            &mut random,
        );
    }
    Shop {
        pool: Pool::new(mill.types, shop.readings).unwrap(),
        truths: shop.truths,
        wrong: shop.wrong,
        misaligned: kind
            .is_misaligned
            .then(|| (format!("S{}", MISALIGNED.0 + 1), MISALIGNED.1 as u32 + 1)),
        last_day: MONTHS as i32 * DAYS_PER_MONTH,
    }
}

struct Writer {
    readings: Vec<Reading>,
    truths: Vec<Truth>,
    wrong: Vec<usize>,
    first_day: i32,
}

fn one_bearing(
    mill: &Mill,
    number: usize,
    first_month: usize,
    severity: &[f64],
    shop: &mut Writer,
    random: &mut Random,
) {
    let kind = number % mill.types.len();
    let name = format!("{}{number:02}", mill.types[kind].name);
    let mut bearing = new_bearing(mill, name, kind, random);
    // Of a logbook that began in mid-life half the bearings were in use before.
    let is_old = mill.kind.is_truncated && random.happens(0.5);
    let begins = if is_old {
        first_month
    } else {
        first_month + random.below(7)
    };
    if is_old {
        for row in &mut bearing.rows {
            row.segment_factor = random.factor(0.08 * mill.kind.spread);
            row.clearance_um = mill.types[kind].set.nominal_um * random.between(1.0, 1.7);
            row.limit_um = 2.0 * mill.types[kind].set.nominal_um;
        }
        write(mill, &mut bearing, shop, begins, Event::Inspect, random);
    } else {
        set(mill, &mut bearing, shop, begins, Event::Set, random);
    }
    let mut next = begins + stay_months(random);
    for (month, severity) in severity.iter().enumerate().skip(begins) {
        let hours = random.between(250.0, 450.0);
        for row in 0..bearing.rows.len() {
            let worn = mill.wear(&bearing, row, hours, *severity, bearing.counter_h, random);
            let of = &mut bearing.rows[row];
            let left = of.limit_um - of.clearance_um;
            if of.passed_h.is_none() && worn >= left {
                of.passed_h = Some(bearing.counter_h + hours * left / worn);
            }
            of.clearance_um += worn;
        }
        bearing.counter_h += hours;
        if month + 1 < next {
            continue;
        }
        let seen = write(mill, &mut bearing, shop, month + 1, Event::Inspect, random);
        if bearing.counter_h >= bearing.life_h {
            let name = format!("{}-2", bearing.name);
            bearing = new_bearing(mill, name, kind, random);
            set(mill, &mut bearing, shop, month + 1, Event::Set, random);
        } else if seen
            .iter()
            .zip(&bearing.rows)
            .any(|(um, row)| *um >= row.limit_um)
        {
            set(mill, &mut bearing, shop, month + 1, Event::Regrind, random);
        }
        if random.happens(0.5) {
            bearing.stand = random.below(STANDS);
        }
        next = month + 1 + stay_months(random);
    }
}

/// A bearing as it comes, not yet set.
fn new_bearing(mill: &Mill, name: String, kind: usize, random: &mut Random) -> Bearing {
    let s = mill.kind.spread;
    let faster = random.happens(mill.kind.accelerated).then(|| Faster {
        onset_h: random.between(3000.0, 12_000.0),
        factor: random.between(1.8, 3.0),
        row: random
            .happens(0.5)
            .then(|| random.below(mill.rows_of[kind])),
    });
    Bearing {
        name,
        kind,
        factor: random.factor(0.25 * s),
        rows: (0..mill.rows_of[kind])
            .map(|_| Row {
                factor: random.factor(0.1 * s),
                segment_factor: 1.0,
                clearance_um: 0.0,
                limit_um: 0.0,
                readings: 0,
                passed_h: None,
            })
            .collect(),
        counter_h: 0.0,
        stand: random.below(STANDS),
        life_h: random.weibull(LIFE_H, LIFE_SHAPE),
        faster,
    }
}

/// Months until the next teardown; one in eight is left out.
fn stay_months(random: &mut Random) -> usize {
    let months = 3 + random.below(4);
    if random.happens(0.125) {
        2 * months
    } else {
        months
    }
}

/// Sets all row pairs anew and writes it down.
fn set(
    mill: &Mill,
    bearing: &mut Bearing,
    shop: &mut Writer,
    month: usize,
    event: Event,
    random: &mut Random,
) {
    let target = mill.types[bearing.kind].set;
    // What made it wear faster is put right with the setting.
    bearing.faster = bearing.faster.filter(|f| bearing.counter_h < f.onset_h);
    for row in &mut bearing.rows {
        row.segment_factor = random.factor(0.08 * mill.kind.spread);
        row.clearance_um = target.nominal_um + target.tolerance_um * random.between(-1.0, 1.0);
        row.readings = 0;
        row.passed_h = None;
    }
    write(mill, bearing, shop, month, event, random);
}

/// Writes what is read at a teardown, and what is true there; gives the readings without slips.
fn write(
    mill: &Mill,
    bearing: &mut Bearing,
    shop: &mut Writer,
    month: usize,
    event: Event,
    random: &mut Random,
) -> Vec<f64> {
    let day = month as i32 * DAYS_PER_MONTH;
    let kind = &mill.types[bearing.kind];
    let mut seen = Vec::new();
    for row in 0..bearing.rows.len() {
        let read_um = mill.read(bearing.rows[row].clearance_um, random);
        seen.push(read_um);
        let mut typed_um = read_um;
        if random.happens(mill.kind.typed_wrong) {
            typed_um = slipped(read_um, random);
        } else if random.happens(mill.kind.wrong_unit) {
            typed_um = read_um * [10.0, 0.1, 1.0 / 25.4, 0.001][random.below(4)];
        }
        if (typed_um - read_um).abs() > 1e-9 {
            shop.wrong.push(shop.readings.len());
        }
        if event.is_start() {
            bearing.rows[row].limit_um = kind.limit_um.unwrap_or(2.0 * read_um);
        }
        bearing.rows[row].readings += 1;
        shop.readings.push(Reading {
            bearing: bearing.name.clone(),
            bearing_type: kind.name.clone(),
            stands: match event {
                Event::Inspect => vec![(format!("S{}", bearing.stand + 1), 1.0)],
                _ => Vec::new(),
            },
            day,
            counter_h: bearing.counter_h,
            counter_t: None,
            row_pair: row as u32 + 1,
            clearance_um: Some(typed_um),
            bound: None,
            event,
            target: None,
            limit_um: None,
            gauge: None,
        });
    }
    assert!(day >= shop.first_day);
    for row in 0..bearing.rows.len() {
        let crossing_h = mill.crossing_h(bearing, row, random);
        let is_retired = event == Event::Inspect && bearing.counter_h >= bearing.life_h;
        shop.truths.push(Truth {
            bearing: bearing.name.clone(),
            row_pair: row as u32 + 1,
            day,
            counter_h: bearing.counter_h,
            readings: bearing.rows[row].readings,
            crossing_h,
            is_accelerated: bearing
                .faster
                .is_some_and(|f| bearing.counter_h > f.onset_h && f.row.is_none_or(|r| r == row)),
            is_retired,
        });
    }
    seen
}

/// Two digits swapped, one doubled, missing or wrong.
fn slipped(read_um: f64, random: &mut Random) -> f64 {
    let mut digits: Vec<u8> = format!("{read_um:.0}").into_bytes();
    let at = random.below(digits.len().max(2) - 1);
    match random.below(4) {
        0 if digits.len() > 1 => digits.swap(at, at + 1),
        1 if digits.len() > 1 => {
            digits.remove(at);
        }
        2 => {
            let other = 1 + random.below(9) as u8;
            digits[at] = b'0' + (digits[at] - b'0' + other) % 10;
        }
        _ => digits.insert(at, digits[at]),
    }
    digits
        .iter()
        .fold(0.0, |sum, digit| 10.0 * sum + f64::from(digit - b'0'))
}
