//! What the person asking may set; everything else has a default with its source.

use crate::day::{DateOrder, Day};
use serde::{Deserialize, Serialize};

/// The kind of farm, which decides target condition and floor space.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum System {
    /// Lowland ewes.
    #[default]
    Lowland,
    /// Upland ewes.
    Upland,
    /// Hill ewes.
    Hill,
}

/// A ewe kept in a pen by hand, whatever the sort would do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Keep {
    /// Her tag, exactly as in the file.
    pub tag: String,
    /// The pen's name, exactly as in the file.
    pub pen: String,
}

/// The settings of a sort.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(default, deny_unknown_fields)]
pub struct Settings {
    /// The first day of the feeding period.
    #[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
    pub on: Day,
    /// Days in the feeding period; absent: to the first lambing, at most 21. 0 and 1 mean `on` alone.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub period_days: Option<u32>,
    /// How to read dates whose day and month could be either way round.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub dates: Option<DateOrder>,
    /// Kind of farm.
    pub system: System,
    /// What a MJ below need counts for, against `over`.
    pub under: f64,
    /// What a MJ above need counts for.
    pub over: f64,
    /// Energy density of the diet on which efficiencies are reckoned, MJ ME a kg DM.
    pub diet_me_mj_per_kg_dm: f64,
    /// More trough for horned ewes, in percent; no published figure was found, so it is 0 until set.
    pub horned_trough_percent: f64,
    /// The fewest head in a pen that is used, so that none stands alone.
    pub min_head: u32,
    /// Whether ewe lambs are kept from the rest.
    pub ewe_lambs_apart: bool,
    /// Ewes kept in a pen by hand.
    pub keep: Vec<Keep>,
}

impl Settings {
    /// The seed of every search: fixed, so that the same files give the same sort.
    pub const SEED: u64 = 1;
    /// Days of the feeding period where nobody says: to the first lambing, at most this (three weeks).
    pub const USUAL_DAYS: u32 = 21;
    /// The longest period that may be asked for.
    pub const MOST_DAYS: u32 = 147;
    /// The least and greatest density that a ration may have, MJ ME a kg DM, until the feeds in store are
    /// known: straw with a little hay, to a ration as rich as is safe (common practice, no source).
    pub const LEVEL_LIMITS: [f64; 2] = [8.0, 12.5];
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            on: Day::of(2027, 2, 1).expect("1 February 2027 is in the calendar"),
            period_days: None,
            dates: None,
            system: System::Lowland,
            under: 4.0,
            over: 1.0,
            diet_me_mj_per_kg_dm: 11.5,
            horned_trough_percent: 0.0,
            min_head: 4,
            ewe_lambs_apart: true,
            keep: Vec::new(),
        }
    }
}
