//! What the person asking may set; everything else has a default with its source.

use crate::day::Day;
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

/// The order of day and month in dates such as 03/04/2027.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum DateOrder {
    /// Day first: 3 April.
    Dmy,
    /// Month first: 4 March.
    Mdy,
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
    /// Ewes kept in a pen by hand.
    pub keep: Vec<Keep>,
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
            keep: Vec::new(),
        }
    }
}
