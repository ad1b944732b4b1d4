//! What is known about the ewes: plain records, no policy.
//!
//! | file | what |
//! |---|---|
//! | `ewe` | one ewe as recorded: identity, age class, weight, fleece |
//! | `litter` | lambs scanned |
//! | `condition` | the condition score and its scale |
//! | `eid` | the electronic identifier |
//! | `due` | the day she is due, or the mating group that tells it |

mod condition;
mod due;
mod eid;
mod ewe;
mod litter;

pub use condition::Score;
pub use due::{DayOf, Due, MatingGroup};
pub use eid::{Eid, EidCode};
pub use ewe::{AgeClass, Ewe};
pub use litter::Litter;
