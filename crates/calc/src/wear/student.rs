//! Student's distribution with a whole number of degrees of freedom, exact far out in its tails.
//!
//! `P(T > t) = ½ I_x(ν/2, ½)`, `x = ν/(ν + t²)`, with the incomplete beta function by its continued fraction
//! (Abramowitz and Stegun 26.7.1, 26.5.8; memory). Checked against the finite sums of `uncertainty` and a normal tail.

/// Above this the distribution is the normal one to six digits.
const DEGREES_MAX: u32 = 1_000_000;

/// Probability of a value above `t`.
pub(super) fn upper_tail(t: f64, degrees: u32) -> f64 {
    let nu = f64::from(degrees.clamp(1, DEGREES_MAX));
    if t == 0.0 {
        return 0.5;
    }
    let tail = 0.5 * incomplete_beta(nu / (nu + t * t), t * t / (nu + t * t), nu / 2.0, 0.5);
    if t > 0.0 { tail } else { 1.0 - tail }
}

/// Probability of a value up to `t`.
pub(super) fn below(t: f64, degrees: u32) -> f64 {
    upper_tail(-t, degrees)
}

/// The value that is not exceeded with probability `p`, 0 < p < 1.
pub(super) fn quantile(p: f64, degrees: u32) -> f64 {
    if p < 0.5 {
        return -quantile(1.0 - p, degrees);
    }
    let tail = 1.0 - p;
    let (mut low, mut high) = (0.0, 2.0);
    while upper_tail(high, degrees) > tail && high < 1e12 {
        high *= 2.0;
    }
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if middle == low || middle == high {
            break;
        }
        if upper_tail(middle, degrees) > tail {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Regularised incomplete beta function `I_x(a, b)`; `y = 1 − x` is handed in so that it keeps its digits.
fn incomplete_beta(x: f64, y: f64, a: f64, b: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if y <= 0.0 {
        return 1.0;
    }
    let log_front = a * libm::log(x) + b * libm::log(y) + libm::lgamma(a + b)
        - libm::lgamma(a)
        - libm::lgamma(b);
    let front = libm::exp(log_front);
    if x < (a + 1.0) / (a + b + 2.0) {
        front * fraction(x, a, b) / a
    } else {
        1.0 - front * fraction(y, b, a) / b
    }
}

/// Continued fraction of the incomplete beta function by the modified Lentz method (memory).
fn fraction(x: f64, a: f64, b: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let away = |v: f64| if v.abs() < TINY { TINY } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / away(1.0 - (a + b) * x / (a + 1.0));
    let mut value = d;
    for m in 1..10_000 {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / away(1.0 + even * d);
        c = away(1.0 + even / c);
        value *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / away(1.0 + odd * d);
        c = away(1.0 + odd / c);
        value *= d * c;
        if (d * c - 1.0).abs() < 1e-15 {
            break;
        }
    }
    value
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::uncertainty::coverage_factor;

    #[test]
    fn quantiles_are_those_of_the_finite_sums() {
        for degrees in [1, 2, 4, 5, 17, 18, 50, 399] {
            for within in [0.5, 0.9, 0.95, 0.998] {
                let sums = coverage_factor(within, Some(f64::from(degrees))).unwrap();
                let got = quantile(0.5 + within / 2.0, degrees);
                assert!(
                    (got / sums - 1.0).abs() < 1e-10,
                    "{degrees} {within}: {got} {sums}"
                );
                assert!((quantile(0.5 - within / 2.0, degrees) + got).abs() < 1e-10);
                assert!((below(got, degrees) - 0.5 - within / 2.0).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn far_tails_keep_their_digits() {
        // ν = 2 in closed form: P(T > t) = ½ (1 − t/√(2 + t²)) = 1/((2 + t²)(1 + t/√(2 + t²))).
        for t in [0.1_f64, 3.0, 50.0, 1e4] {
            let s = t * t + 2.0;
            let exact = 1.0 / (s * (1.0 + t / s.sqrt()));
            assert!((upper_tail(t, 2) / exact - 1.0).abs() < 1e-12, "{t}");
        }
        let normal = 0.5 * libm::erfc(6.0 / std::f64::consts::SQRT_2);
        assert!((upper_tail(6.0, DEGREES_MAX) / normal - 1.0).abs() < 1e-3);
    }
}
