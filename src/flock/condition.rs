//! Body condition score: felt over the loin behind the last rib, 1 (emaciated) to 5 (obese).
//!
//! Scale: Russel, Doney and Gunn 1969, J. agric. Sci. 72:451-454 (volume and pages from memory); quarter
//! and half steps as experienced scorers use them (Teagasc).

use serde::{Deserialize, Serialize};
use std::fmt;

/// A condition score, kept in whole quarters so that it compares and adds exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[cfg_attr(target_arch = "wasm32", tsify(type = "number"))]
#[serde(try_from = "f64", into = "f64")]
pub struct Score(u8);

impl Score {
    /// The score of `units` where it is a whole number of quarters from 1 to 5.
    pub fn of(units: f64) -> Option<Self> {
        let quarters = units * 4.0;
        ((4.0..=20.0).contains(&quarters) && quarters.fract() == 0.0).then_some(Self(quarters as u8))
    }

    /// In units of the scale: 2.75.
    pub fn units(self) -> f64 {
        f64::from(self.0) / 4.0
    }

    /// Whether it lies on a half step, as most shepherds score.
    pub const fn on_a_half(self) -> bool {
        self.0.is_multiple_of(2)
    }
}

impl fmt::Display for Score {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let decimals = if self.on_a_half() { 1 } else { 2 };
        write!(f, "{:.decimals$}", self.units())
    }
}

impl TryFrom<f64> for Score {
    type Error = String;
    fn try_from(units: f64) -> Result<Self, String> {
        Self::of(units).ok_or_else(|| format!("{units} is not a score from 1 to 5 in quarters"))
    }
}

impl From<Score> for f64 {
    fn from(score: Score) -> f64 {
        score.units()
    }
}
