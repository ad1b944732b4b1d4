//! The invented demo farm, carried in the engine so that the page needs no file to show it.

use serde::Serialize;

/// The invented demo farm's files.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct DemoFiles {
    /// What to call it on screen.
    pub name: String,
    /// The flock list, CSV.
    pub flock: String,
    /// The pens, CSV.
    pub pens: String,
    /// The mating groups, CSV.
    pub groups: String,
    /// The day on which to sort it.
    pub on: String,
}

impl DemoFiles {
    /// The files, as they stand in `data/example`.
    pub fn new() -> Self {
        Self {
            name: "Demo flock (invented)".to_owned(),
            flock: include_str!("../../data/example/flock.csv").to_owned(),
            pens: include_str!("../../data/example/pens.csv").to_owned(),
            groups: include_str!("../../data/example/groups.csv").to_owned(),
            on: "2027-02-01".to_owned(),
        }
    }
}

impl Default for DemoFiles {
    fn default() -> Self {
        Self::new()
    }
}
