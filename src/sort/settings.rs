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
    /// The same as `under` for singles, twins, triplets, and four or more; where the list ends early its last
    /// figure stands for the rest. Empty: `under` for all.
    pub under_by_litter: Vec<f64>,
    /// The same as `over`, by litter size.
    pub over_by_litter: Vec<f64>,
    /// What else counts, and for how much.
    pub soft: Soft,
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
    /// Sets of ewes that must share a pen, by tag.
    pub together: Vec<Vec<String>>,
    /// Sets of ewes of whom no two may share a pen, by tag.
    pub apart: Vec<Vec<String>>,
    /// Pens that are not to be used, by name.
    pub out_of_use: Vec<String>,
}

/// Soft terms of the objective: each is off at 0. No published weight was found for any of them.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(default, deny_unknown_fields)]
pub struct Soft {
    /// What a gram of metabolisable protein below need counts for beside `under` MJ of energy: the second need.
    /// About 0.125 puts both on one footing, since a ewe needs some 8 g a MJ.
    pub protein_mj_per_g: f64,
    /// What a ewe more or fewer than an even filling of all pens would put into a pen counts for.
    pub even_filling_mj_per_ewe: f64,
    /// What a kilogram between a ewe and her pen's median weight counts for (bullying at the trough).
    pub body_size_mj_per_kg: f64,
    /// What a day between a ewe's lambing and her pen's median counts for.
    pub lambing_spread_mj_per_day: f64,
}

impl Settings {
    /// What a MJ below need and a MJ above it count for, for a ewe with so many lambs.
    pub fn slopes(&self, lambs: u8) -> [f64; 2] {
        let of = |list: &[f64], all: f64| {
            list.get(usize::from(lambs.max(1)) - 1).or(list.last()).copied().unwrap_or(all)
        };
        [of(&self.under_by_litter, self.under), of(&self.over_by_litter, self.over)]
    }

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
            under_by_litter: Vec::new(),
            over_by_litter: Vec::new(),
            soft: Soft::default(),
            diet_me_mj_per_kg_dm: 11.5,
            horned_trough_percent: 0.0,
            min_head: 4,
            ewe_lambs_apart: true,
            keep: Vec::new(),
            together: Vec::new(),
            apart: Vec::new(),
            out_of_use: Vec::new(),
        }
    }
}
