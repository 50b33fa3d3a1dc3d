//! Random numbers that repeat on every machine.
//!
//! SplitMix64, the polar method for normal, and Marsaglia and Tsang's method for gamma numbers (all from memory).

/// A source of random numbers.
pub struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Between 0 and 1.
    pub fn unit(&mut self) -> f64 {
        ((self.next() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// One of `n`.
    pub fn below(&mut self, n: usize) -> usize {
        (self.unit() * n as f64) as usize
    }

    pub fn happens(&mut self, chance: f64) -> bool {
        self.unit() < chance
    }

    pub fn normal(&mut self) -> f64 {
        loop {
            let (u, v) = (self.between(-1.0, 1.0), self.between(-1.0, 1.0));
            let s = u * u + v * v;
            if s > 0.0 && s < 1.0 {
                return u * (-2.0 * libm::log(s) / s).sqrt();
            }
        }
    }

    /// A factor with mean 1 and about this relative spread.
    pub fn factor(&mut self, spread: f64) -> f64 {
        libm::exp(spread * self.normal() - spread * spread / 2.0)
    }

    /// A Weibull number of this scale and shape.
    pub fn weibull(&mut self, scale: f64, shape: f64) -> f64 {
        scale * libm::pow(-libm::log(self.unit()), 1.0 / shape)
    }

    /// A gamma number of this mean and variance.
    pub fn gamma(&mut self, mean: f64, variance: f64) -> f64 {
        let shape = mean * mean / variance;
        let scale = variance / mean;
        if shape < 1.0 {
            let power = libm::pow(self.unit(), 1.0 / shape);
            return scale * power * self.standard_gamma(shape + 1.0);
        }
        scale * self.standard_gamma(shape)
    }

    fn standard_gamma(&mut self, shape: f64) -> f64 {
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / (9.0 * d).sqrt();
        loop {
            let x = self.normal();
            let v = 1.0 + c * x;
            if v <= 0.0 {
                continue;
            }
            let v = v * v * v;
            if libm::log(self.unit()) < 0.5 * x * x + d - d * v + d * libm::log(v) {
                return d * v;
            }
        }
    }
}
