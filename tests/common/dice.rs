//! A generator of the tests' own.
#![allow(dead_code, missing_docs, unreachable_pub)]

/// splitmix64, so that the cases do not depend on the engine's own generators.
pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, most: usize) -> usize {
        (self.next() % most as u64) as usize
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}
