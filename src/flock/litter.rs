//! Lambs carried, as scanned.

use serde::{Deserialize, Serialize};

/// The number of lambs a ewe carries: 0 (barren) to 5.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(try_from = "u8", into = "u8")]
#[cfg_attr(target_arch = "wasm32", tsify(type = "number"))]
pub struct Litter(u8);

impl Litter {
    /// The most lambs that the tables reach.
    pub const MOST: u8 = 5;

    /// No lambs.
    pub const BARREN: Self = Self(0);

    /// A litter of `lambs`, or `None` above five.
    pub const fn of(lambs: u8) -> Option<Self> {
        if lambs <= Self::MOST { Some(Self(lambs)) } else { None }
    }

    /// How many lambs.
    pub const fn lambs(self) -> u8 {
        self.0
    }

    /// So many ewes carrying it: `1 single`, `12 twins`.
    pub fn of_ewes(self, count: usize) -> String {
        let (one, more) = match self.0 {
            0 => ("barren", "barren"),
            1 => ("single", "singles"),
            2 => ("twin", "twins"),
            3 => ("triplet", "triplets"),
            4 => ("quad", "quads"),
            _ => ("quin", "quins"),
        };
        format!("{count} {}", if count == 1 { one } else { more })
    }

    /// In words: `barren`, `single`, `twins`, `triplets`, `quads`, `quins`.
    pub const fn in_words(self) -> &'static str {
        match self.0 {
            0 => "barren",
            1 => "single",
            2 => "twins",
            3 => "triplets",
            4 => "quads",
            _ => "quins",
        }
    }
}

impl TryFrom<u8> for Litter {
    type Error = String;
    fn try_from(lambs: u8) -> Result<Self, String> {
        Self::of(lambs).ok_or_else(|| format!("{lambs} lambs; 0 to {} are possible", Self::MOST))
    }
}

impl From<Litter> for u8 {
    fn from(litter: Litter) -> u8 {
        litter.0
    }
}
