//! How good forecasts are: coverage of the 90 % interval, pinball loss, overruns called, alarms.

use std::collections::{BTreeMap, BTreeSet};

use calc::wear::{Acceleration, Contrast, HORIZON_H, Review, Settings};

use super::simulate::{Shop, Truth};

/// Sums over forecasts.
#[derive(Default, Clone)]
pub struct Score {
    pub forecasts: usize,
    pub covered: usize,
    pub width_h: Vec<f64>,
    pub error_h: f64,
    pub pinball_h: f64,
    pub overruns: usize,
    pub overruns_called: usize,
    pub quiet: usize,
    pub quiet_called: usize,
    /// Bearings with measured growth that do not wear faster, each counted at each look.
    pub bearings_sound: usize,
    pub bearings_sound_alarmed: usize,
    /// Bearings that wear faster at one look or more.
    pub bearings_faster: usize,
    pub bearings_faster_alarmed: usize,
    /// Hours from the first true alarm of a bearing to its first crossing.
    pub lead_h: Vec<f64>,
    pub readings: usize,
    pub wrong: usize,
    pub wrong_found: usize,
    pub right_refused: usize,
    pub stand_rows: usize,
    pub stand_rows_alarmed: usize,
    pub shops_misaligned: usize,
    pub shops_misaligned_found: usize,
}

/// Bearings of one shop that wore faster at a look, with the hours from the first alarm to the crossing.
pub type Faster = BTreeMap<String, Option<f64>>;

impl Score {
    /// Counts one forecast against the true crossing.
    pub fn forecast(
        &mut self,
        last_h: f64,
        crossing_h: [Option<f64>; 3],
        truth_h: f64,
        chance: f64,
        settings: &Settings,
    ) {
        let [p5, p50, p95] = crossing_h.map(|h| h.unwrap_or(last_h + HORIZON_H));
        let truth_h = truth_h.min(last_h + HORIZON_H);
        assert!(p5 <= p50 && p50 <= p95, "{p5} {p50} {p95}");
        self.forecasts += 1;
        self.covered += usize::from(p5 <= truth_h && truth_h <= p95);
        self.width_h.push(p95 - p5);
        self.error_h += (p50 - truth_h).abs();
        let pinball = |p: f64, q: f64| {
            if truth_h >= q {
                p * (truth_h - q)
            } else {
                (1.0 - p) * (q - truth_h)
            }
        };
        self.pinball_h += (pinball(0.05, p5) + pinball(0.5, p50) + pinball(0.95, p95)) / 3.0;
        let is_called = chance > settings.alarm_chance;
        if truth_h <= last_h + settings.ahead_h {
            self.overruns += 1;
            self.overruns_called += usize::from(is_called);
        } else {
            self.quiet += 1;
            self.quiet_called += usize::from(is_called);
        }
    }

    /// Counts all that a review says of a simulated shop at a day.
    pub fn review(
        &mut self,
        shop: &Shop,
        review: &Review,
        settings: &Settings,
        faster: &mut Faster,
    ) {
        let day = settings.as_of_day.unwrap_or(shop.last_day);
        let mut bearings: BTreeSet<&str> = BTreeSet::new();
        for row in &review.rows {
            let of_row =
                |t: &&Truth| t.bearing == row.bearing && t.row_pair == row.row_pair && t.day <= day;
            // The last one of a day is that after a regrind.
            let Some(truth) = shop.truths.iter().rfind(of_row).filter(|t| !t.is_retired) else {
                continue;
            };
            assert!(
                (truth.counter_h - row.state.counter_h).abs() < 1e-6,
                "{} {}",
                row.bearing,
                row.row_pair
            );
            if truth.readings > 1 {
                self.forecast(
                    truth.counter_h,
                    row.crossing_h,
                    truth.crossing_h,
                    row.chance,
                    settings,
                );
            }
            if bearings.insert(&row.bearing) {
                let is_alarmed = row
                    .acceleration
                    .as_ref()
                    .is_some_and(Acceleration::is_alarm);
                let of_bearing = |t: &&Truth| t.bearing == row.bearing && t.day <= day;
                let last_h = truth.counter_h;
                let mut now = shop
                    .truths
                    .iter()
                    .filter(of_bearing)
                    .filter(|t| t.counter_h == last_h);
                if now.clone().any(|t| t.is_accelerated) {
                    let first = faster.entry(row.bearing.clone()).or_insert(None);
                    let crossing_h = now.by_ref().map(|t| t.crossing_h).fold(f64::MAX, f64::min);
                    *first = first.or(is_alarmed.then_some(crossing_h - last_h));
                } else if truth.readings > 1 {
                    self.bearings_sound += 1;
                    self.bearings_sound_alarmed += usize::from(is_alarmed);
                }
            }
        }
        if day == shop.last_day {
            let refused: BTreeSet<usize> = review.improbable.iter().map(|i| i.reading).collect();
            self.readings += shop.pool.readings().len();
            self.wrong += shop.wrong.len();
            self.wrong_found += shop.wrong.iter().filter(|i| refused.contains(i)).count();
            self.right_refused += refused.iter().filter(|i| !shop.wrong.contains(i)).count();
            let is_meant = |c: &&Contrast| {
                let misaligned = shop.misaligned.as_ref();
                misaligned.is_some_and(|(stand, row)| c.stand == *stand && c.row_pair == Some(*row))
            };
            let rows: Vec<&Contrast> = review
                .contrasts
                .iter()
                .filter(|c| c.row_pair.is_some())
                .collect();
            self.stand_rows += rows.iter().filter(|c| !is_meant(c)).count();
            self.stand_rows_alarmed += rows.iter().filter(|c| !is_meant(c) && c.is_alarm()).count();
            if shop.misaligned.is_some() {
                self.shops_misaligned += 1;
                self.shops_misaligned_found +=
                    usize::from(rows.iter().any(|c| is_meant(c) && c.is_alarm()));
            }
        }
    }

    /// Counts the bearings of a shop that wore faster, after its last look.
    pub fn faster(&mut self, faster: &Faster) {
        self.bearings_faster += faster.len();
        self.bearings_faster_alarmed += faster.values().flatten().count();
        self.lead_h.extend(faster.values().flatten());
    }

    pub fn add(&mut self, other: &Self) {
        self.lead_h.extend(&other.lead_h);
        self.width_h.extend(&other.width_h);
        self.error_h += other.error_h;
        self.pinball_h += other.pinball_h;
        for (sum, part) in self.counts().into_iter().zip(other.clone().counts()) {
            *sum += *part;
        }
    }

    fn counts(&mut self) -> [&mut usize; 18] {
        [
            &mut self.forecasts,
            &mut self.covered,
            &mut self.overruns,
            &mut self.overruns_called,
            &mut self.quiet,
            &mut self.quiet_called,
            &mut self.bearings_sound,
            &mut self.bearings_sound_alarmed,
            &mut self.bearings_faster,
            &mut self.bearings_faster_alarmed,
            &mut self.readings,
            &mut self.wrong,
            &mut self.wrong_found,
            &mut self.right_refused,
            &mut self.stand_rows,
            &mut self.stand_rows_alarmed,
            &mut self.shops_misaligned,
            &mut self.shops_misaligned_found,
        ]
    }

    pub fn coverage(&self) -> f64 {
        self.covered as f64 / self.forecasts as f64
    }

    /// Mean loss over the three quantiles, 1,000 h.
    pub fn pinball_kh(&self) -> f64 {
        self.pinball_h / self.forecasts as f64 / 1000.0
    }

    pub fn called(&self) -> f64 {
        self.overruns_called as f64 / self.overruns as f64
    }

    pub fn called_falsely(&self) -> f64 {
        self.quiet_called as f64 / self.quiet as f64
    }

    pub const HEADER: &str = "                     n  cover  width    MAE pinball  overruns called/false  cost  faster: false/found    lead  entry: found/false   stand rows";

    /// What the design of the method gives for shops of its own, in the columns of [`Score::line`].
    pub const DESIGN: &str = "       the design 16914  88.3%   6.29   1.83   0.482  9.6%  89   %   4.1 %   8.9          0.8 %   57  25   %   745          84   %   0.4 %     0.4 % 6/6
 its clean shops        90.8%                 0.443";

    /// One line of the table.
    pub fn line(&self, name: &str) -> String {
        let middle = |values: &[f64]| {
            let mut values = values.to_vec();
            values.sort_by(f64::total_cmp);
            values.get(values.len() / 2).copied().unwrap_or(0.0)
        };
        let percent = |part: usize, of: usize| {
            if of == 0 {
                "-".to_owned()
            } else {
                format!("{:.1} %", 100.0 * part as f64 / of as f64)
            }
        };
        format!(
            "{name:>17} {:5} {:5.1}% {:6.2} {:6.2} {:7.3} {:>4.1}% {:>7} {:>7} {:5.1}   {:>5} {:>7} {:>4} {:>7} {:5.0}   {:>4} {:>7} {:>7}   {:>7} {}/{}",
            self.forecasts,
            100.0 * self.coverage(),
            middle(&self.width_h) / 1000.0,
            self.error_h / self.forecasts as f64 / 1000.0,
            self.pinball_kh(),
            100.0 * self.overruns as f64 / self.forecasts as f64,
            percent(self.overruns_called, self.overruns),
            percent(self.quiet_called, self.quiet),
            self.cost(),
            self.bearings_sound,
            percent(self.bearings_sound_alarmed, self.bearings_sound),
            self.bearings_faster,
            percent(self.bearings_faster_alarmed, self.bearings_faster),
            middle(&self.lead_h),
            self.wrong,
            percent(self.wrong_found, self.wrong),
            percent(self.right_refused, self.readings),
            percent(self.stand_rows_alarmed, self.stand_rows),
            self.shops_misaligned_found,
            self.shops_misaligned,
        )
    }

    /// Cost of 100 forecasts where an overrun that nobody called costs five times a false call.
    pub fn cost(&self) -> f64 {
        let missed = self.overruns - self.overruns_called;
        100.0 * (5 * missed + self.quiet_called) as f64 / self.forecasts as f64
    }
}
