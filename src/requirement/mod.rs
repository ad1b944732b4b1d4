//! What a ewe needs each day, by a published feeding standard.
//!
//! A standard is a value that implements [`Standard`]; to add one, add a file named author-year, one
//! line in [`standard`], and its published cells in `tests/golden`.
//!
//! | file | what |
//! |---|---|
//! | `state` | the inputs of the equations, checked against the range in which they hold |
//! | `afrc_1993` | energy and metabolisable protein by AFRC (1993) |
//! | `litter_weight` | weight of the litter at birth by Donald and Russell (1970) |
//! | `condition` | target condition, and what closing the gap takes |
//! | `intake` | dry matter that a ewe can eat |
//! | `working` | a figure opened: formula, values, result, source |

mod afrc_1993;
pub mod condition;
pub mod intake;
pub mod litter_weight;
mod state;
mod working;

pub use afrc_1993::Afrc1993;
pub use state::{OutOfRange, State, TERM_DAYS};
pub use working::WorkingLine;

use crate::quantity::{GramPerDay, MjPerDay};

/// What a ewe needs on one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// Metabolisable energy.
    pub me: MjPerDay,
    /// Metabolisable protein.
    pub mp: GramPerDay,
}

/// A feeding standard: equations that turn a ewe's state into her daily need.
pub trait Standard {
    /// The name on the command line and in documents: `afrc1993`.
    fn id(&self) -> &'static str;

    /// The name in words, with its year.
    fn name(&self) -> &'static str;

    /// What a person choosing it should know.
    fn caveat(&self) -> &'static str;

    /// What the ewe needs. Condition is not in it; see [`condition`].
    fn need(&self, state: &State) -> Need;

    /// The same, opened line by line.
    fn explain(&self, state: &State) -> Vec<WorkingLine>;
}

/// The ids of the standards there are; each file names its source (AFRC 1993).
pub const STANDARD_IDS: &[&str] = &["afrc1993"];

/// The standard of that id.
pub fn standard(id: &str) -> Option<&'static dyn Standard> {
    match id {
        "afrc1993" => Some(&Afrc1993),
        _ => None,
    }
}
