//! The invented demo farm, carried in the engine so that the page needs no file to show it.

use crate::day::Day;
use crate::farm::settings::Settings;
use crate::farm::{FaultyRows, Files, Prepared, prepare};
use crate::io::pen_list;
use crate::sort::shortfall::count_words;
use crate::sort::{Outcome, PlannedEwe, into_pens};
use serde::Serialize;

/// One ewe in so many changed places with another in the invented old pens (invented, like the pens).
const CHANGED_ONE_IN: usize = 11;

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

impl DemoFiles {
    /// Feeds in store there, as invented as the rest; the command line's examples use the same file.
    pub fn feeds() -> &'static str {
        include_str!("../../data/demo/feeds.csv")
    }

    /// The same as bytes.
    pub fn as_files(&self) -> Files<'_> {
        Files {
            flock: self.flock.as_bytes(),
            pens: self.pens.as_bytes(),
            groups: Some(self.groups.as_bytes()),
        }
    }
}

impl Default for DemoFiles {
    fn default() -> Self {
        Self::new()
    }
}

/// Where the demo's ewes may have stood before, as invented as they are.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct DemoOldPens {
    /// What to call it on screen.
    pub name: String,
    /// How it was made.
    pub words: String,
    /// The list: tag and pen, CSV.
    pub list: String,
}

impl DemoOldPens {
    /// Today's sort with some ewes changed over in pairs, within the limits. Nothing where the demo cannot be
    /// sorted.
    pub fn new() -> Option<Self> {
        let files = DemoFiles::new();
        let settings = Settings { on: Day::from_iso(&files.on)?, ..Settings::default() };
        let Prepared { plan, .. } = prepare(files.as_files(), &settings, FaultyRows::SetAside).ok()?;
        let Outcome::Sorted(sorted) = into_pens(&plan) else { return None };
        let mut pens = sorted.assignment;
        let mut changed = 0;
        for one in (0..pens.len()).step_by(CHANGED_ONE_IN) {
            let other = (one + 1..pens.len()).find(|&other| {
                let mut tried = pens.clone();
                tried.swap(one, other);
                pens[one] != pens[other] && plan.instance.is_feasible(&tried)
            });
            if let Some(other) = other {
                pens.swap(one, other);
                changed += 1;
            }
        }
        let row = |(ewe, &pen): (&PlannedEwe, &usize)| vec![ewe.ewe.tag.clone(), plan.pens[pen].name.clone()];
        let rows: Vec<_> = plan.ewes.iter().zip(&pens).map(row).collect();
        Some(Self {
            name: "The demo's old pens (invented)".to_owned(),
            words: format!(
                "Invented: the demo flock as it is sorted, with {} changed over, as after a gate left open.",
                count_words(changed, "pair")
            ),
            list: pen_list::write(&["tag", "pen"], &rows),
        })
    }
}
