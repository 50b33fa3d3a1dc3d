//! The likelihood of the lives, with times as shares of the longest so that no power leaves the range of numbers.

use super::Life;

/// Bounds of the shape that is looked for.
const SHAPES: [f64; 2] = [1e-4, 1e4];
/// Steps over the shape in which the ends of the scale are looked for, before they are narrowed down.
const STEPS: usize = 40;

/// Steps of the golden section then; the lowest value itself is flat and needs no more.
const GOLDEN_STEPS: usize = 24;

/// Logarithms of times and entries as shares of the longest time.
pub(super) struct Lives {
    /// `(ln t, ln entry)`; the entry of a new bearing is minus infinity.
    spans: Vec<(f64, f64)>,
    failures: f64,
    /// `Σ ln t` over the failures.
    failed: f64,
    longest: f64,
}

impl Lives {
    pub(super) fn of(lives: &[Life]) -> Self {
        let longest = lives.iter().map(|life| life.time).fold(0.0, f64::max);
        let ln = |time: f64| libm::log(time / longest);
        let failed = || lives.iter().filter(|life| life.failed);
        Self {
            spans: lives
                .iter()
                .map(|life| (ln(life.time), ln(life.entry)))
                .collect(),
            failures: failed().count() as f64,
            failed: failed().map(|life| ln(life.time)).sum(),
            longest,
        }
    }

    /// `S = Σ (t^b - entry^b)`, and its first and second derivative.
    fn sums(&self, b: f64) -> [f64; 3] {
        let mut sums = [0.0; 3];
        for &(t, entry) in &self.spans {
            let power = libm::exp(b * t);
            let before = libm::exp(b * entry);
            sums[0] += if b * (t - entry) < 1.0 {
                // The difference of two powers that are nearly one.
                before * libm::expm1(b * (t - entry))
            } else {
                power - before
            };
            sums[1] += power * t;
            sums[2] += power * t * t;
            if entry > f64::NEG_INFINITY {
                sums[1] -= before * entry;
                sums[2] -= before * entry * entry;
            }
        }
        sums
    }

    /// The equation of the shape and its slope in ln b.
    fn equation(&self, b: f64) -> (f64, f64) {
        let [s, s1, s2] = self.sums(b);
        let value = s1 / s - 1.0 / b - self.failed / self.failures;
        let slope = s2 / s - (s1 / s) * (s1 / s) + 1.0 / (b * b);
        (value, slope * b)
    }

    /// The shape: Newton's steps in ln b, halving the bracket wherever they would leave it. None without a root.
    pub(super) fn shape(&self) -> Option<f64> {
        let [mut low, mut high] = SHAPES.map(libm::log);
        let value = |u: f64| self.equation(libm::exp(u));
        if !(value(low).0 < 0.0 && value(high).0 > 0.0) {
            return None;
        }
        let mut u = 0.0;
        for _ in 0..200 {
            let (f, slope) = value(u);
            if f > 0.0 {
                high = u;
            } else {
                low = u;
            }
            let newton = u - f / slope;
            let next = if newton > low && newton < high {
                newton
            } else {
                f64::midpoint(low, high)
            };
            if (next - u).abs() <= 1e-15 || high - low <= 1e-15 {
                u = next;
                break;
            }
            u = next;
        }
        Some(libm::exp(u))
    }

    /// `scale = (S/d)^(1/b)`.
    pub(super) fn scale(&self, b: f64) -> f64 {
        self.longest * libm::exp(libm::log(self.sums(b)[0] / self.failures) / b)
    }

    /// The highest log-likelihood at a shape, that is at the scale best for it; in the unit of the times.
    pub(super) fn log_likelihood(&self, b: f64) -> f64 {
        self.profile(b) - self.failures * libm::log(self.longest)
    }

    /// The same, times as shares of the longest: `d ln b - d ln(S/d) + (b - 1) Σ ln t - d`.
    fn profile(&self, b: f64) -> f64 {
        self.profile_with(b, self.sums(b)[0])
    }

    fn profile_with(&self, b: f64, s: f64) -> f64 {
        let d = self.failures;
        d * libm::log(b * d / s) + (b - 1.0) * self.failed - d
    }

    /// Ends of shape, scale and B10 at which the likelihood is `drop` below its top.
    pub(super) fn intervals(&self, shape: f64, drop: f64) -> Option<super::Intervals> {
        let target = self.profile(shape) - drop;
        let low = self.end(shape, SHAPES[0], target)?;
        let high = self.end(shape, SHAPES[1], target)?;
        // At each shape the likelihood as a function of w = d ln(...) of the scale drops as w - e^w + 1; the ends over
        // all shapes are those of the region above the target.
        let at = |u: f64| self.scale_ends(libm::exp(u), target);
        let span = [low, high].map(libm::log);
        let within = |more: &dyn Fn(f64) -> f64| {
            let lowest = extreme(span, |u| at(u)[0] + more(u));
            let highest = -extreme(span, |u| -at(u)[1] - more(u));
            [lowest, highest].map(|ln| self.longest * libm::exp(ln))
        };
        // At each shape a quantile is its own multiple of the scale: its ends are theirs.
        let ln_b10 = libm::log(-libm::log1p(-super::B10_SHARE));
        Some(super::Intervals {
            shape: [low, high],
            scale: within(&|_| 0.0),
            b10: within(&|u| ln_b10 / libm::exp(u)),
        })
    }

    /// Where the profile falls to the target between the top and an outer shape.
    fn end(&self, top: f64, outer: f64, target: f64) -> Option<f64> {
        let (mut inside, mut outside) = (libm::log(top), libm::log(outer));
        let is_inside = |u: f64| self.profile(libm::exp(u)) > target;
        if is_inside(outside) {
            return None;
        }
        for _ in 0..60 {
            let middle = f64::midpoint(inside, outside);
            if is_inside(middle) {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        Some(libm::exp(f64::midpoint(inside, outside)))
    }

    /// Logarithms of the scales at which a shape has the target likelihood: with `scale^-b = (d/S) e^w` it is
    /// `profile + d (w - e^w + 1)`.
    fn scale_ends(&self, b: f64, target: f64) -> [f64; 2] {
        let d = self.failures;
        let s = self.sums(b)[0];
        let room = ((self.profile_with(b, s) - target) / d).max(0.0);
        let best = libm::log(s / d);
        let root = |mut inside: f64, mut outside: f64| {
            for _ in 0..80 {
                let w = f64::midpoint(inside, outside);
                if libm::expm1(w) - w < room {
                    inside = w;
                } else {
                    outside = w;
                }
            }
            f64::midpoint(inside, outside)
        };
        // e^w - 1 - w is at least w²/2 above zero, and at least -w - 1 below.
        let above = root(0.0, (2.0 * room).sqrt());
        let below = root(0.0, -room - 1.0);
        [(best - above) / b, (best - below) / b]
    }
}

/// The lowest value over a span: by steps, then by the golden section around the best of them (J. Kiefer, "Sequential
/// minimax search for a maximum", Proc. Am. Math. Soc. 4 (1953)).
fn extreme([from, to]: [f64; 2], value: impl Fn(f64) -> f64) -> f64 {
    let step = (to - from) / STEPS as f64;
    let at = |i: usize| from + step * i as f64;
    let heights: Vec<f64> = (0..=STEPS).map(|i| value(at(i))).collect();
    let best = (0..=STEPS)
        .min_by(|&a, &b| heights[a].total_cmp(&heights[b]))
        .unwrap_or(0);
    let (mut low, mut high) = (at(best.saturating_sub(1)), at((best + 1).min(STEPS)));
    let golden = 0.5 * (5.0_f64.sqrt() - 1.0);
    for _ in 0..GOLDEN_STEPS {
        let (a, b) = (high - golden * (high - low), low + golden * (high - low));
        if value(a) < value(b) {
            high = b;
        } else {
            low = a;
        }
    }
    value(f64::midpoint(low, high))
}
