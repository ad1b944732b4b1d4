//! What a ewe needs each day, by a published feeding standard.
//!
//! A standard is a value that implements [`Standard`]; to add one, add a file named author-year, one
//! line in [`standard`], and its published cells in `tests/golden`.
//!
//! | file | what |
//! |---|---|
//! | `state` | the inputs of the equations, checked against the range in which they hold |
//! | `afrc_1993` | energy and metabolisable protein by AFRC (1993) |
//! | `inra_2007` | UFL and PDI by INRA (2007), a system of its own |
//! | `csiro_2007`, `nrc_2007` | energy; they share AFRC's curve of the womb and differ in maintenance |
//! | `conceptus` | energy, protein and weight of the womb |
//! | `growth` | growth of ewe lambs in lamb |
//! | `setting` | a constant that nobody could confirm, with its range |
//! | `score` | a condition score as a measurement |
//! | `target` | target condition by body, system and stage |
//! | `gestation` | length of pregnancy and day due, with their spread |
//! | `litter_weight` | weight of the litter at birth by Donald and Russell (1970) |
//! | `condition` | target condition, and what closing the gap takes |
//! | `outlook` | what a ewe's condition asks of her until lambing |
//! | `intake`, `intake_sources` | dry matter that a ewe can eat: the model used, and what others print |
//! | `working` | a figure opened: formula, values, result, source |

mod afrc_1993;
pub mod conceptus;
pub mod condition;
mod csiro_2007;
pub mod gestation;
mod growth;
mod inra_2007;
pub mod intake;
pub mod intake_sources;
pub mod litter_weight;
mod nrc_2007;
pub mod outlook;
pub mod score;
mod setting;
mod state;
pub mod target;
mod working;

pub use afrc_1993::Afrc1993;
pub use csiro_2007::Csiro2007;
pub use inra_2007::Inra2007;
pub use nrc_2007::Nrc2007;
pub use setting::{Setting, Standing};
pub use state::{Housing, OutOfRange, State, TERM_DAYS, usual_years};
pub use working::WorkingLine;

use crate::quantity::{GramPerDay, MjPerDay};

/// What a ewe needs on one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// Metabolisable energy.
    pub me: MjPerDay,
    /// Metabolisable protein.
    pub mp: GramPerDay,
    /// The same in the standard's own units, where they are others.
    pub own: Option<OwnUnits>,
}

/// A need in a standard's own units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OwnUnits {
    /// Energy a day.
    pub energy: f64,
    /// Its unit.
    pub energy_unit: &'static str,
    /// Protein a day, where the standard has it.
    pub protein: Option<f64>,
    /// Its unit.
    pub protein_unit: &'static str,
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

    /// What it assumes that others do not, in a line, to stand beside its figure.
    fn assumes(&self) -> &'static str;

    /// Whether protein is its own; otherwise it is borrowed from AFRC (1993).
    fn protein_is_its_own(&self) -> bool {
        true
    }

    /// Its constants that are from memory or fitted, with how far each may lie.
    fn settings(&self) -> &'static [Setting];

    /// The need with one of [`settings`](Self::settings) moved, by its place in the list.
    fn need_moved(&self, state: &State, setting: usize, value: f64) -> Need;
}

/// Every standard there is, the default first; each file names its source.
pub fn standards() -> [&'static dyn Standard; 4] {
    [&Afrc1993, &Inra2007, &Csiro2007, &Nrc2007]
}

/// The ids of the standards there are; each file names its source (AFRC 1993).
pub const STANDARD_IDS: &[&str] = &["afrc1993", "inra2007", "csiro2007", "nrc2007"];

/// The standard of that id.
pub fn standard(id: &str) -> Option<&'static dyn Standard> {
    standards().into_iter().find(|standard| standard.id() == id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::flock::Litter;
    use crate::quantity::{Kg, MjPerKgDm};

    #[test]
    fn every_setting_moves_the_need_and_left_alone_leaves_it() {
        let state = State::housed(Kg::new(70.0), Litter::of(2).unwrap(), 14, MjPerKgDm::new(11.5));
        for (standard, id) in standards().into_iter().zip(STANDARD_IDS) {
            assert_eq!(standard.id(), *id);
            let need = standard.need(&state);
            for (place, setting) in standard.settings().iter().enumerate() {
                assert_eq!(standard.need_moved(&state, place, setting.value), need, "{}", setting.name);
                let [low, high] = setting.range;
                assert!((low..=high).contains(&setting.value) && low < high, "{}", setting.name);
                let moved = [low, high].map(|value| standard.need_moved(&state, place, value));
                assert_ne!(moved[0], moved[1], "{id}: {}", setting.name);
            }
        }
    }
}
