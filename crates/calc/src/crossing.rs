//! Where a line through the readings of one segment meets a limit, with its interval: plain facts to show beside the
//! readings. Plain numbers, in whatever units x and y have.
//!
//! Such a line knows nothing of the other bearings, and its interval is too narrow where wear is uneven: it is shown as
//! what the readings alone say, never as the forecast. The estimate from two readings is
//! [`crate::growth::straight_estimate`].

use crate::{
    error::{CalcError, all_finite, contradiction, missing, same_length, within},
    uncertainty::coverage_factor,
};

/// How the scatter of the readings is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Scatter {
    /// The standard deviation of a reading is known beforehand, as from the uncertainty of the gauge.
    Known(f64),
    /// It is estimated from the residuals, three readings or more.
    Estimated,
}

/// A straight line by least squares, and what its intervals are made from.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Number of readings.
    pub points: usize,
    /// Mean of x.
    pub x_mean: f64,
    /// Mean of y, the height of the line there.
    pub y_mean: f64,
    /// `Sxy/Sxx`.
    pub slope: f64,
    /// Sum of the squared distances from the mean of x.
    pub sxx: f64,
    /// Standard deviation of a reading about the line, known or estimated.
    pub sd: f64,
    /// Degrees of freedom of `sd`; none where it is known.
    pub degrees_of_freedom: Option<f64>,
}

/// A value with its interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// The value.
    pub mean: f64,
    /// Lower end.
    pub lower: f64,
    /// Upper end.
    pub upper: f64,
}

/// Where the line meets a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// Where the line itself meets it; none where it does not rise.
    pub middle: Option<f64>,
    /// The early end; none where the readings do not even exclude the middle of their own range.
    pub early: Option<f64>,
    /// The late end; none: no upper bound, the readings do not exclude that the line never gets there.
    pub late: Option<f64>,
}

impl Line {
    /// Least squares through the readings.
    ///
    /// `b = Sxy/Sxx`, `a0 = mean(y)` at `mean(x)`, `s² = SSR/(n - 2)`. Range: three readings and more, with a known
    /// scatter two; not all of one x. Source: N. R. Draper, H. Smith, "Applied regression analysis" (1998), chapter 1
    /// (memory); checked by statsmodels in `shared/reference/trend`.
    ///
    /// # Errors
    /// `Missing` for too few readings, `Unequal`, `NotFinite`, `Contradiction` for equal x, `OutOfRange` for a known
    /// scatter that is negative.
    pub fn through(x: &[f64], y: &[f64], scatter: Scatter) -> Result<Self, CalcError> {
        same_length("y", y.len(), x.len())?;
        all_finite("x", x)?;
        all_finite("y", y)?;
        let least = match scatter {
            Scatter::Known(sd) => {
                within("scatter", sd, &(0.0..=f64::MAX), "")?;
                2
            }
            Scatter::Estimated => 3,
        };
        if x.len() < least {
            return Err(missing("x", format!("{least} readings or more")));
        }
        let n = x.len() as f64;
        let mean = |values: &[f64]| values.iter().sum::<f64>() / n;
        let (x_mean, y_mean) = (mean(x), mean(y));
        let off = || {
            x.iter()
                .map(|x| x - x_mean)
                .zip(y.iter().map(|y| y - y_mean))
        };
        let sxx: f64 = off().map(|(dx, _)| dx * dx).sum();
        if sxx <= 0.0 {
            return Err(contradiction("x", "at least two of them must differ"));
        }
        let slope = off().map(|(dx, dy)| dx * dy).sum::<f64>() / sxx;
        let residual = |(dx, dy): (f64, f64)| dy - slope * dx;
        let (sd, degrees_of_freedom) = match scatter {
            Scatter::Known(sd) => (sd, None),
            Scatter::Estimated => {
                let squares: f64 = off().map(residual).map(|r| r * r).sum();
                ((squares / (n - 2.0)).sqrt(), Some(n - 2.0))
            }
        };
        Ok(Self {
            points: x.len(),
            x_mean,
            y_mean,
            slope,
            sxx,
            sd,
            degrees_of_freedom,
        })
    }

    /// Height of the line.
    pub fn at(&self, x: f64) -> f64 {
        self.y_mean + self.slope * (x - self.x_mean)
    }

    /// Standard error of the slope, `s/√Sxx`.
    pub fn slope_error(&self) -> f64 {
        self.sd / self.sxx.sqrt()
    }

    /// Standard error of the height of the line, `s √(1/n + (x - mean)²/Sxx)`; at x = 0 that of the constant.
    pub fn error_at(&self, x: f64) -> f64 {
        let distance = x - self.x_mean;
        self.sd * (1.0 / self.points as f64 + distance * distance / self.sxx).sqrt()
    }

    /// Interval of the slope, `b ± t s/√Sxx`.
    ///
    /// # Errors
    /// `OutOfRange` for the confidence.
    pub fn slope_interval(&self, confidence: f64) -> Result<Expected, CalcError> {
        let half = self.factor(confidence)? * self.slope_error();
        Ok(around(self.slope, half))
    }

    /// Interval of a new reading at x, `line ± t s √(1 + 1/n + (x - mean)²/Sxx)`.
    ///
    /// # Errors
    /// `OutOfRange` for the confidence.
    pub fn new_reading(&self, x: f64, confidence: f64) -> Result<Expected, CalcError> {
        let of_line = self.error_at(x);
        let half = self.factor(confidence)? * (self.sd * self.sd + of_line * of_line).sqrt();
        Ok(around(self.at(x), half))
    }

    /// Where the line meets a limit.
    ///
    /// All x at which the interval of the line's height holds the limit: with `D = x - mean(x)` and `d = L - mean(y)`
    /// the roots of `(b² - t²s²/Sxx) D² - 2 b d D + d² - t²s²/n = 0`. Where the first factor is not above zero, or the
    /// line does not rise, there is no upper bound. Source: E. C. Fieller, "Some problems in interval estimation",
    /// J. R. Stat. Soc. B 16 (1954) (memory); checked in `shared/reference/trend` (mean interval of statsmodels turned
    /// round).
    ///
    /// # Errors
    /// `OutOfRange` for the confidence, `NotFinite` for the limit.
    pub fn crossing(&self, limit: f64, confidence: f64) -> Result<Crossing, CalcError> {
        let t = self.factor(confidence)?;
        all_finite("limit", &[limit])?;
        let (b, d) = (self.slope, limit - self.y_mean);
        let half_b = t * self.slope_error();
        let half_a = t * self.sd / (self.points as f64).sqrt();
        let first = (b - half_b) * (b + half_b);
        let last = (d - half_a) * (d + half_a);
        let rises = b > 0.0;
        let is_bounded = first > 0.0;
        // b²d² - first·last without the difference of large numbers.
        let under_root = half_b * half_b * d * d + half_a * half_a * first;
        let roots = (under_root >= 0.0)
            .then(|| quadratic(first, b * d, last, under_root.sqrt()))
            .filter(|roots| roots.iter().all(|root| root.is_finite()));
        let early = match roots {
            Some([low, _]) if is_bounded => Some(low),
            // Outside its roots the band holds the limit; forward that begins at the later one.
            Some([_, high]) if d > 0.0 && last > 0.0 => Some(high),
            _ => None,
        };
        let late = roots.filter(|_| is_bounded && rises).map(|[_, high]| high);
        let middle = rises.then_some(d / b);
        let from_mean = |distance: Option<f64>| {
            distance
                .map(|distance| self.x_mean + distance)
                .filter(|x| x.is_finite())
        };
        Ok(Crossing {
            middle: from_mean(middle),
            early: from_mean(early),
            late: from_mean(late),
        })
    }

    fn factor(&self, confidence: f64) -> Result<f64, CalcError> {
        coverage_factor(confidence, self.degrees_of_freedom)
    }
}

fn around(mean: f64, half: f64) -> Expected {
    Expected {
        mean,
        lower: mean - half,
        upper: mean + half,
    }
}

/// The roots of `a D² - 2 h D + c = 0` in order; `root` is `√(h² - a c)`. The one that would lose digits comes from the
/// product of both.
fn quadratic(a: f64, h: f64, c: f64, root: f64) -> [f64; 2] {
    let sum = if h < 0.0 { h - root } else { h + root };
    let (one, other) = (sum / a, c / sum);
    [one.min(other), one.max(other)]
}

#[cfg(test)]
mod tests;
