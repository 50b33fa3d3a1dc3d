//! Numbers of twice the digits of `f64`: the unevaluated sum of two, about 31 decimal digits.
//!
//! Method: T. J. Dekker, "A floating-point technique for extending the available precision", Numerische Mathematik 18
//! (1971); Y. Hida, X. S. Li, D. H. Bailey, "Algorithms for quad-double precision floating point arithmetic", 15th IEEE
//! Symposium on Computer Arithmetic (2001) (memory).

use std::ops::{Add, Div, Mul, Neg, Sub};

use super::Real;

/// `high + low`, the second at most half the last digit of the first.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub(crate) struct Double {
    high: f64,
    low: f64,
}

/// Sum and its rounding error, both exact (Knuth).
fn two_sum(a: f64, b: f64) -> Double {
    let high = a + b;
    let of_b = high - a;
    let low = (a - (high - of_b)) + (b - of_b);
    Double { high, low }
}

/// The same where `a` is the larger one.
fn quick_two_sum(a: f64, b: f64) -> Double {
    let high = a + b;
    let low = b - (high - a);
    Double { high, low }
}

/// Product and its rounding error, both exact (Dekker); by halves of the digits, so that no machine needs a fused
/// multiplication.
fn two_product(a: f64, b: f64) -> Double {
    let halves = |x: f64| {
        let t = 134_217_729.0 * x; // 2^27 + 1
        let upper = t - (t - x);
        (upper, x - upper)
    };
    let high = a * b;
    let ((a1, a2), (b1, b2)) = (halves(a), halves(b));
    let low = ((a1 * b1 - high) + a1 * b2 + a2 * b1) + a2 * b2;
    Double { high, low }
}

impl Add for Double {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let high = two_sum(self.high, other.high);
        let low = two_sum(self.low, other.low);
        let sum = quick_two_sum(high.high, high.low + low.high);
        quick_two_sum(sum.high, sum.low + low.low)
    }
}

impl Neg for Double {
    type Output = Self;
    fn neg(self) -> Self {
        Self {
            high: -self.high,
            low: -self.low,
        }
    }
}

impl Sub for Double {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Mul for Double {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let product = two_product(self.high, other.high);
        let crossed = self.high * other.low + self.low * other.high;
        quick_two_sum(product.high, product.low + crossed)
    }
}

impl Div for Double {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        // Long division, a digit of 53 bits at a time.
        let first = self.high / other.high;
        let rest = self - other * Self::of(first);
        let second = rest.high / other.high;
        let rest = rest - other * Self::of(second);
        let third = rest.high / other.high;
        quick_two_sum(first, second) + Self::of(third)
    }
}

impl Real for Double {
    fn of(value: f64) -> Self {
        Self {
            high: value,
            low: 0.0,
        }
    }

    fn value(self) -> f64 {
        self.high + self.low
    }

    fn sqrt(self) -> Self {
        if self.high <= 0.0 {
            return Self::of(0.0);
        }
        // One step of Newton from the root in one precision (Karp).
        let guess = self.high.sqrt();
        let rest = self - Self::of(guess) * Self::of(guess);
        quick_two_sum(guess, rest.value() / (2.0 * guess))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_one_precision_loses_is_kept() {
        let (one, tiny) = (Double::of(1.0), Double::of(1e-25));
        assert_eq!(((one + tiny) - one).value(), 1e-25);
        let third = one / Double::of(3.0);
        let off = (third * Double::of(3.0) - one).value().abs();
        assert!(off < 1e-31, "{off}");
        let root = Double::of(2.0).sqrt();
        let off = (root * root - Double::of(2.0)).value().abs();
        assert!(off < 1e-30, "{off}");
        assert_eq!(Double::of(0.0).sqrt().value(), 0.0);
    }
}
