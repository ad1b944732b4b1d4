//! A pen as it stands in the shed: what it offers and whom it takes. No policy.

use crate::flock::AgeClass;
use crate::quantity::{Metre, SquareMetre};
use serde::{Deserialize, Serialize};

/// How feed is offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Feeding {
    /// All must eat at once: concentrate in a trough, or a restricted mixed ration.
    Restricted,
    /// Feed is always there, so they take turns.
    Always,
}

/// What they stand on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Floor {
    /// Bedded on straw.
    Straw,
    /// On slats.
    Slats,
}

/// The feed face, measured or counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Face {
    /// Length of trough, before blocked corners are taken off.
    Trough(Metre),
    /// Single feeding places.
    Places(u32),
}

/// One pen.
#[derive(Debug, Clone, PartialEq)]
pub struct Pen {
    /// Its name: usually a letter.
    pub name: String,
    /// The feed face.
    pub face: Face,
    /// Floor area for lying and standing.
    pub area: SquareMetre,
    /// How feed is offered.
    pub feeding: Feeding,
    /// What they stand on.
    pub floor: Floor,
    /// Corners where a walk-through trough cannot be used.
    pub blocked_corners: u32,
    /// The age classes it takes, where it takes only some.
    pub only: Vec<AgeClass>,
    /// The age classes it never takes.
    pub not: Vec<AgeClass>,
    /// The most head its owner wants in it.
    pub max_head: Option<u32>,
    /// The line of the file that it came from; the header is row 1.
    pub row: u32,
}

impl Pen {
    /// Whether the pen takes ewes of this class.
    pub fn takes(&self, age: AgeClass) -> bool {
        (self.only.is_empty() || self.only.contains(&age)) && !self.not.contains(&age)
    }
}
