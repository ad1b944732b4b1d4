//! What may be asked about one ewe.

use crate::day::Day;
use crate::farm::settings::System;
use crate::flock::AgeClass;
use crate::requirement::Housing;
use crate::requirement::condition::Costs;
use crate::requirement::intake_sources::Forage;
use serde::{Deserialize, Serialize};

/// Whether a live weight holds the lambs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum WeightTaken {
    /// Without them: at mating or scanning.
    #[default]
    Without,
    /// With them, on the day asked about: womb and lambs are taken off by the curve of the womb.
    With,
}

/// The question. Everything but the first three has a usual value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(default, deny_unknown_fields)]
pub struct NeedQuestion {
    /// Live weight, kg.
    pub weight_kg: f64,
    /// Lambs carried, 0 to 5.
    pub litter: u8,
    /// Days to lambing; not asked at litter 0, nor where `due` tells it.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub days_to_lambing: Option<u32>,
    /// Whether the weight holds the lambs.
    pub weight_taken: WeightTaken,
    /// Weight at condition 3, grown up, kg; otherwise reckoned from weight and condition.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub mature_weight_kg: Option<f64>,
    /// The standard's id.
    pub standard: String,
    /// Energy density of the diet, MJ ME a kg DM.
    pub diet_me_mj_per_kg_dm: f64,
    /// Growth wanted, g a day.
    pub growth_g_per_day: f64,
    /// Weight of the litter at birth where the farm knows its own, kg.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub litter_weight_kg: Option<f64>,
    /// Where she lives.
    pub housing: Housing,
    /// Shorn for housing. No equation here uses it; the answer says so.
    pub shorn: bool,
    /// Clean wool grown, g a day; otherwise the standard's own allowance.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub wool_g_per_day: Option<f64>,
    /// Age class.
    pub age: AgeClass,
    /// Age in years where it is known; otherwise usual for her class.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub age_years: Option<f64>,
    /// What she is fed on, for the table of intakes.
    pub forage: Forage,
    /// Her condition, where it is to be reckoned with.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub condition: Option<ConditionQuestion>,
    /// When she conceived, to reckon the day she is due.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub due: Option<DueQuestion>,
    /// Whether to show every standard side by side.
    pub compare: bool,
    /// Whether to show how far each uncertain figure moves the answer.
    pub sensitivity: bool,
}

/// Her condition.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(default, deny_unknown_fields)]
pub struct ConditionQuestion {
    /// Her score, 1 to 5 in quarters.
    pub score: f64,
    /// A second person's score of her on the same day.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub second_score: Option<f64>,
    /// Mean of her class, where known: the score is then drawn towards it by its error.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub class_mean: Option<f64>,
    /// Kind of farm, which decides the target.
    pub system: System,
    /// Whose target: `fas2024`.
    pub target_by: String,
    /// A target of one's own, in its place.
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub target: Option<f64>,
    /// kg for a whole score, as a share of the weight at score 3: 0.10 to 0.19 in print.
    pub kg_per_score_share: f64,
    /// MJ ME to gain a kg: 38 to 100 in print.
    pub mj_per_kg_gained: f64,
}

/// When she conceived, by one of three roads.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(deny_unknown_fields)]
pub struct DueQuestion {
    /// The day asked about.
    #[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
    pub on: Day,
    /// The day she was served, or scanned.
    #[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
    pub since: Day,
    /// The last day she may have been served, where only a window is known.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional, type = "string"))]
    pub until: Option<Day>,
    /// Days of pregnancy as the scanner put them on `since`.
    #[serde(default)]
    #[cfg_attr(target_arch = "wasm32", tsify(optional))]
    pub scanned_age_days: Option<u32>,
    /// Breed class: `usual`.
    pub breed: String,
}

impl NeedQuestion {
    /// The question with everything else as usual: housed, mature, AFRC (1993), 11.5 MJ a kg DM.
    pub fn new(weight_kg: f64, litter: u8, days_to_lambing: Option<u32>) -> Self {
        Self {
            weight_kg,
            litter,
            days_to_lambing,
            weight_taken: WeightTaken::Without,
            mature_weight_kg: None,
            standard: "afrc1993".to_owned(),
            diet_me_mj_per_kg_dm: 11.5,
            growth_g_per_day: 0.0,
            litter_weight_kg: None,
            housing: Housing::Housed,
            shorn: false,
            wool_g_per_day: None,
            age: AgeClass::Mature,
            age_years: None,
            forage: Forage::GoodSilage,
            condition: None,
            due: None,
            compare: false,
            sensitivity: false,
        }
    }
}

impl Default for NeedQuestion {
    fn default() -> Self {
        Self::new(70.0, 2, Some(21))
    }
}

impl ConditionQuestion {
    /// A score, with the rest as the sort takes it.
    pub fn new(score: f64) -> Self {
        Self {
            score,
            second_score: None,
            class_mean: None,
            system: System::Lowland,
            target_by: "fas2024".to_owned(),
            target: None,
            kg_per_score_share: Costs::USUAL.kg_per_score,
            mj_per_kg_gained: Costs::USUAL.mj_per_kg_gained,
        }
    }
}

impl Default for ConditionQuestion {
    fn default() -> Self {
        Self::new(3.0)
    }
}
