//! What is known about feeds: plain records and what follows from them by formula, no policy.
//!
//! | file | what |
//! |---|---|
//! | `class` | what kind of feed it is, and what that implies |
//! | `values` | what an analysis tells |
//! | `protein` | fermentable energy, rumen-degradable and bypass protein by AFRC (1993) |
//! | `stocked` | a feed on a farm: price, stock, own analysis |

mod class;
pub mod protein;
mod stocked;
mod values;

pub use class::Class;
pub use stocked::{Analysis, Stocked};
pub use values::Values;

use crate::quantity::{KgPerDay, MjPerKgDm};

/// A feed of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Feed {
    /// Its short name in files: `gs_good`.
    pub id: String,
    /// Its name in words.
    pub name: String,
    /// What kind of feed it is.
    pub class: Class,
    /// What it holds.
    pub values: Values,
    /// What of it alone a ewe eats, % of live weight as DM; forages only.
    pub appetite: Option<f64>,
    /// How much that moves with a MJ of energy density; energy is never changed without it.
    pub appetite_per_mj: f64,
    /// The most a ewe is given a day, where advice has a limit.
    pub most: Option<KgPerDay>,
    /// Why sheep do not get it unless more is known.
    pub blocked: Option<Block>,
    /// Where its figures come from.
    pub source: Source,
    /// What a person feeding it should know.
    pub note: String,
}

/// Why a feed is not given to sheep in lamb.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Block {
    /// Its copper may kill; an analysis of the load may clear it.
    Copper,
    /// Urea: off for ewes in lamb, whatever an analysis says.
    Urea,
}

/// Where a feed's figures come from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Columns whose figure lies at or beside one that was read in the publications named.
    pub near_read: Vec<String>,
    /// What was read there, as noted.
    pub read_as: String,
    /// The publications.
    pub named: String,
}

/// Least that another energy can make of an appetite, % of live weight: wheat straw is 0.85 in the table; fitted.
const LEAST_APPETITE: f64 = 0.8;
/// Most: good hay is 2.2 in the table; fitted.
const MOST_APPETITE: f64 = 2.2;

impl Feed {
    /// Moves its appetite to its energy, which was `before`. Energy is never changed without appetite: a richer silage,
    /// eaten no more than before, would ask for more nuts.
    pub fn appetite_follows(&mut self, before: MjPerKgDm) {
        if let Some(appetite) = self.appetite {
            let moved = appetite + self.appetite_per_mj * (self.values.me.value() - before.value());
            self.appetite = Some(moved.clamp(LEAST_APPETITE.min(appetite), MOST_APPETITE.max(appetite)));
        }
    }

    /// Whether a figure, by its column in `data/feeds.csv`, was read in print; otherwise it is from memory.
    pub fn was_read(&self, column: &str) -> bool {
        self.source.near_read.iter().any(|read| read == column)
    }
}
