//! The invented demo farm, carried in the engine so that the page needs no file to show it.

use crate::day::Day;
use crate::farm::settings::Settings;
use crate::farm::{FaultyRows, Files, Prepared, prepare};
use crate::flock::Score;
use crate::io::pen_list;
use crate::sort::{Outcome, into_pens, plan};
use serde::Serialize;

/// How long before the demo's day the invented old pens were filled.
const OLD_DAYS: i32 = 21;

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

/// Where the demo's ewes stood three weeks before, as invented as they are.
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
    /// Sorts the demo flock as it may have been three weeks before: one ewe in three had another score then, by
    /// turns half a point more and half a point less. Nothing where the demo cannot be sorted.
    pub fn new() -> Option<Self> {
        let files = DemoFiles::new();
        let on = Day::from_iso(&files.on)?;
        let settings = Settings { on, ..Settings::default() };
        let Prepared { plan: now, .. } = prepare(files.as_files(), &settings, FaultyRows::SetAside).ok()?;
        let mut ewes: Vec<_> = now.ewes.into_iter().map(|planned| planned.ewe).collect();
        for (turn, ewe) in ewes.iter_mut().step_by(3).enumerate() {
            let by = if turn % 2 == 0 { 0.5 } else { -0.5 };
            let other = ewe.condition.and_then(|score| Score::of(score.units() + by));
            ewe.condition = other.or(ewe.condition);
        }
        let then = plan(ewes, now.pens, &Settings { on: on.plus(-OLD_DAYS), ..settings });
        let Outcome::Sorted(sorted) = into_pens(&then) else { return None };
        let row = |(ewe, &pen): (&crate::sort::PlannedEwe, &usize)| {
            vec![ewe.ewe.tag.clone(), then.pens[pen].name.clone()]
        };
        let rows: Vec<_> = then.ewes.iter().zip(&sorted.assignment).map(row).collect();
        Some(Self {
            name: "The demo's old pens (invented)".to_owned(),
            words: format!(
                "Invented: the demo flock sorted as it may have been on {}, with other scores for one ewe in three.",
                on.plus(-OLD_DAYS).in_words()
            ),
            list: pen_list::write(&["tag", "pen"], &rows),
        })
    }
}
