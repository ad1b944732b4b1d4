//! What is answered about one ewe: figures with their words.

use crate::day::Day;
use crate::requirement::WorkingLine;
use serde::Serialize;

/// The answer, with the inputs assumed.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct NeedAnswer {
    /// The version of this document's shape.
    pub format: &'static str,
    /// One line of caution.
    pub caution: &'static str,
    /// The standard's id.
    pub standard: String,
    /// The standard in words.
    pub standard_name: String,
    /// What a person choosing the standard should know.
    pub caveat: String,
    /// Metabolisable energy, what condition adds included.
    pub me_mj_per_day: f64,
    /// Metabolisable protein.
    pub mp_g_per_day: f64,
    /// The standard whose protein that is.
    pub protein_standard: &'static str,
    /// The same in the standard's own units, condition left out; null where it uses MJ and g.
    pub own_units: Option<OwnUnitsAnswer>,
    /// Dry matter that she can eat, by the intake model.
    pub intake_kg_dm_per_day: f64,
    /// The inputs, given and assumed.
    pub inputs: NeedInputs,
    /// What condition asks; null where no score was given.
    pub condition: Option<ConditionAnswer>,
    /// The day she is due; null where it was not asked.
    pub due: Option<DueAnswer>,
    /// Worth knowing about this question.
    pub notes: Vec<String>,
    /// What several sources make of her intake.
    pub intake_sources: Vec<IntakeLine>,
    /// The same ewe under every standard; null where it was not asked.
    pub compare: Option<Vec<Compared>>,
    /// How far each uncertain figure moves the answer; null where it was not asked.
    pub sensitivity: Option<Vec<Moved>>,
    /// How it was worked out.
    pub working: Vec<WorkingLine>,
}

/// A need in a standard's own units.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct OwnUnitsAnswer {
    /// Energy a day.
    pub energy: f64,
    /// Its unit.
    pub energy_unit: &'static str,
    /// Protein a day.
    pub protein: Option<f64>,
    /// Its unit.
    pub protein_unit: &'static str,
}

/// The inputs of a need.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct NeedInputs {
    /// Live weight without the lambs.
    pub weight_kg: f64,
    /// What was taken off the weight given, for womb and lambs; null where it was given without.
    pub conceptus_kg: Option<f64>,
    /// Lambs carried.
    pub litter: u8,
    /// Days to lambing; null for a barren ewe.
    pub days_to_lambing: Option<u32>,
    /// Days from conception to term.
    pub term_days: u32,
    /// Weight of the litter at birth; null for a barren ewe.
    pub litter_weight_kg: Option<f64>,
    /// Energy density of the diet.
    pub diet_me_mj_per_kg_dm: f64,
    /// Growth.
    pub growth_g_per_day: f64,
    /// `housed`, `lowland` or `hill`.
    pub housing: &'static str,
    /// Age in years as used; CSIRO (2007) alone uses it.
    pub age_years: f64,
    /// Clean wool grown; null where the standard's own allowance is used.
    pub wool_g_per_day: Option<f64>,
    /// What condition adds or takes; 0 where no score was given.
    pub condition_term_mj_per_day: f64,
    /// The intake model.
    pub intake_model: &'static str,
}

/// What her condition asks.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct ConditionAnswer {
    /// The score reckoned with: as given, or drawn towards the class's mean, or of two people's.
    pub score: f64,
    /// Its standard deviation.
    pub score_sd: f64,
    /// Where she truly is, nine times in ten.
    pub score_edges: [f64; 2],
    /// The target at lambing.
    pub target: f64,
    /// Whose target.
    pub target_by: String,
    /// kg for a whole score.
    pub kg_per_score: f64,
    /// What she must gain until lambing.
    pub to_gain_kg: f64,
    /// The same each day.
    pub to_gain_g_per_day: f64,
    /// Added to or taken from her need.
    pub term_mj_per_day: f64,
    /// Her need without it.
    pub without_mj_per_day: f64,
    /// Her need at the edges of her score.
    pub need_edges_mj_per_day: [f64; 2],
    /// The whole in words.
    pub words: String,
    /// What to beware of.
    pub warnings: Vec<String>,
    /// What other bodies print for such a ewe at lambing.
    pub other_targets: Vec<TargetLine>,
    /// How it was worked out; stands with the rest of the working.
    #[serde(skip)]
    pub(super) working: Vec<WorkingLine>,
}

/// A body's target.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct TargetLine {
    /// The body.
    pub body: String,
    /// The class of ewe, as printed.
    pub class: String,
    /// Lowest and highest score at lambing.
    pub at_lambing: [f64; 2],
}

/// The day she is due.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct DueAnswer {
    /// The likeliest day.
    #[cfg_attr(target_arch = "wasm32", tsify(type = "string"))]
    pub day: Day,
    /// Standard deviation, days.
    pub sd_days: f64,
    /// The days between which she lambs, nine times in ten.
    #[cfg_attr(target_arch = "wasm32", tsify(type = "[string, string]"))]
    pub edges: [Day; 2],
    /// In words.
    pub words: String,
}

/// What one source makes of her intake.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct IntakeLine {
    /// Author and year.
    pub source: &'static str,
    /// `forage alone` or `everything`.
    pub covers: &'static str,
    /// Dry matter a day.
    pub kg_dm_per_day: f64,
    /// Share of live weight.
    pub percent_of_live_weight: f64,
    /// What it was printed for.
    pub note: &'static str,
}

/// The ewe under one standard, condition left out.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Compared {
    /// The standard's id.
    pub standard: &'static str,
    /// The standard in words.
    pub name: &'static str,
    /// Metabolisable energy.
    pub me_mj_per_day: f64,
    /// Metabolisable protein; null where the standard's own could not be read.
    pub mp_g_per_day: Option<f64>,
    /// In its own units; null where it uses MJ and g.
    pub own_units: Option<OwnUnitsAnswer>,
    /// Energy against the first, percent.
    pub me_against_first_percent: f64,
    /// Energy above that of the same ewe barren: what the lambs take.
    pub me_for_lambs_mj_per_day: f64,
    /// What it assumes that others do not.
    pub assumes: &'static str,
    /// What a person choosing it should know.
    pub caveat: &'static str,
}

/// How far one uncertain figure moves the answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Moved {
    /// What it is.
    pub name: String,
    /// `from memory`, `fitted`, or `input`.
    pub standing: &'static str,
    /// As used, in words.
    pub used: String,
    /// As moved, in words.
    pub moved_to: String,
    /// Change of energy, percent.
    pub me_percent: f64,
    /// Change of protein, percent.
    pub mp_percent: f64,
    /// Why that far.
    pub why: String,
}
