//! Coverage factor for few degrees of freedom: the quantile of Student's distribution.

use crate::error::{CalcError, within};

/// Probability that a normally distributed value lies within two standard deviations: why 95.45 % goes with k = 2.
pub const PROBABILITY_AT_2: f64 = 0.954_499_736_103_641_6;

/// Above this many degrees of freedom the series around the normal distribution is exact to nine digits.
const MANY: f64 = 400.0;

/// Coverage factor `t_p(ν)`: a value lies within ± t standard uncertainties with probability `p`.
///
/// `ν` is cut to a whole number (JCGM 100:2008, G.4.1, memory); `None`: unlimited, the normal distribution.
/// The probability within ± t is a finite sum for a whole ν (Abramowitz and Stegun 26.7.3 and 26.7.4, memory);
/// above 400 the expansion 26.7.5 (memory). Range: p from 0.5 to 0.999, ν from 1.
///
/// # Errors
/// `OutOfRange` or `NotFinite` for the probability or the degrees of freedom.
pub fn coverage_factor(probability: f64, degrees: Option<f64>) -> Result<f64, CalcError> {
    let p = within("probability", probability, &(0.5..=0.999), "")?;
    let Some(degrees) = degrees else {
        return Ok(normal(p));
    };
    let degrees = within("degrees_of_freedom", degrees, &(1.0..=f64::MAX), "")?;
    let whole = degrees.floor().max(1.0);
    if whole > MANY {
        return Ok(far(normal(p), whole));
    }
    let n = whole as u32;
    Ok(bisect(|t| student_within(t, n) < p))
}

/// Quantile of the normal distribution, two-sided.
fn normal(p: f64) -> f64 {
    bisect(|z| libm::erf(z / std::f64::consts::SQRT_2) < p)
}

/// The largest `x` for which `is_below` holds; 1000 is beyond the quantile of one degree of freedom at 0.999.
fn bisect(is_below: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (0.0, 1000.0);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if is_below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Probability within ± t for a whole number of degrees of freedom (26.7.3 odd, 26.7.4 even).
fn student_within(t: f64, n: u32) -> f64 {
    let root = f64::from(n).sqrt();
    let theta = libm::atan(t / root);
    let (sin, cos) = (libm::sin(theta), libm::cos(theta));
    let is_odd = n % 2 == 1;
    // Odd: cos + 2/3 cos³ + 2·4/(3·5) cos⁵ …, even: 1 + 1/2 cos² + 1·3/(2·4) cos⁴ …, up to cos^(n-2).
    let mut term = if is_odd { cos } else { 1.0 };
    let mut sum = 0.0;
    let mut power = u32::from(is_odd);
    while power + 2 <= n {
        sum += term;
        let k = f64::from(power);
        term *= cos * cos * (k + 1.0) / (k + 2.0);
        power += 2;
    }
    if is_odd {
        std::f64::consts::FRAC_2_PI * (theta + sin * sum)
    } else {
        sin * sum
    }
}

/// Student's quantile from the normal one for many degrees of freedom (26.7.5).
fn far(z: f64, n: f64) -> f64 {
    let z2 = z * z;
    let g1 = (z2 + 1.0) * z / 4.0;
    let g2 = ((5.0 * z2 + 16.0) * z2 + 3.0) * z / 96.0;
    let g3 = (((3.0 * z2 + 19.0) * z2 + 17.0) * z2 - 15.0) * z / 384.0;
    z + g1 / n + g2 / (n * n) + g3 / (n * n * n)
}
