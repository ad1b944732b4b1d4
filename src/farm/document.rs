//! The sort as one JSON document: everything needed to recompute it by anyone, with units in the names.
//!
//! Its schema is `data/schema/sort.schema.json`. Field names are a contract; figures are not rounded.

use crate::day::Day;
use crate::flock::AgeClass;
use crate::problem::Problem;
use crate::sort::limits::BrokenLimit;
use crate::sort::shortfall::Shortfall;
use serde::Serialize;

/// The version of the documents' shape.
pub const FORMAT: &str = "evenfold-sort-1";

/// A sort, or the reason why there is none.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SortDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// `sorted`, or `evaluated` where the assignment was given and not found here.
    pub status: &'static str,
    /// One line of caution that goes with every figure here.
    pub caution: &'static str,
    /// First day of the feeding period.
    pub on: Day,
    /// Days in the feeding period.
    pub period_days: u32,
    /// The feeding standard.
    pub standard: String,
    /// The intake model, named.
    pub intake_model: String,
    /// Weights of the objective.
    pub weights: Weights,
    /// Mean intake of the sorted flock, by day: Q in the objective.
    pub mean_intake_kg_dm: Vec<DayValue>,
    /// The lowest and highest density that a ration may have, MJ ME a kg DM.
    pub level_limits: [f64; 2],
    /// The limits that a given assignment breaks; empty for a sort, which breaks none.
    pub limits_broken: Vec<BrokenLimit>,
    /// The pens, in file order, empty ones too.
    pub pens: Vec<PenEntry>,
    /// The sorted ewes, in file order.
    pub ewes: Vec<EweEntry>,
    /// Ewes that were not sorted, in file order.
    pub set_apart: Vec<SetApart>,
    /// Ewes kept in a pen by hand, and what each costs.
    pub kept: Vec<KeptEntry>,
    /// Sets of ewes that must share a pen, as far as they can.
    pub together: Vec<Vec<String>>,
    /// Pairs of ewes that must not.
    pub apart: Vec<[String; 2]>,
    /// Pens that are not to be used.
    pub out_of_use: Vec<String>,
    /// Sum of the ewes' misfits, weighted MJ over the period.
    pub misfit_mj: f64,
    /// What else may count, each with its weight, 0 where it is off.
    pub terms: Vec<TermEntry>,
    /// `misfit_mj` plus every term's value times its weight.
    pub objective: f64,
    /// No sort within these limits can have a smaller objective than this.
    pub lower_bound: f64,
    /// `100 · (objective − lower_bound) / lower_bound`; 0 when both are 0; null when only the bound is 0, or
    /// where limits are broken, which may buy a smaller loss.
    pub gap_percent: Option<f64>,
    /// How the bound was found, and how to read it.
    pub bound_note: String,
    /// The day from which some ewe needs more than the upper limit, if any.
    pub unavoidable_shortfall_from: Option<Day>,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
}

/// Weights of the objective.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Weights {
    /// A MJ fed below need.
    pub under: f64,
    /// A MJ fed above need.
    pub over: f64,
}

/// A soft term of the objective.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TermEntry {
    /// Its name: `protein`, `uneven_filling`, `body_size` or `lambing_spread`; `moves` where the sort is from
    /// where the ewes stand.
    pub term: &'static str,
    /// What it came to.
    pub value: f64,
    /// The unit of the value.
    pub unit: &'static str,
    /// What a unit counts for.
    pub weight_mj_per_unit: f64,
    /// How the value is summed, so that anyone can.
    pub meaning: &'static str,
}

/// A figure on a day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DayValue {
    /// The day.
    pub date: Day,
    /// The figure.
    pub value: f64,
}

/// One pen and what it is fed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PenEntry {
    /// The pen's name.
    pub pen: String,
    /// Ewes in it.
    pub head: u32,
    /// Their tags, in file order.
    pub ewes: Vec<String>,
    /// Trough that they need.
    pub trough_used_m: f64,
    /// Trough that counts: blocked corners taken off; a single place counts 0.5 m, which one ewe takes.
    pub trough_m: f64,
    /// Head that the single places serve, where the pen has those.
    pub places_head: Option<u32>,
    /// Floor that they need.
    pub area_used_m2: f64,
    /// Floor that there is.
    pub area_m2: f64,
    /// The most head its owner wants in it.
    pub max_head: Option<u32>,
    /// The fewest head in it if it is used; all of a kind where there are fewer of it in the flock.
    pub min_head: u32,
    /// The age classes that it takes.
    pub takes: Vec<AgeClass>,
    /// The ration by day; empty for an empty pen.
    pub levels: Vec<Level>,
    /// Lowest and highest energy to feed in the period, MJ ME a ewe a day; null for an empty pen.
    pub me_mj_per_ewe_per_day: Option<[f64; 2]>,
    /// Lowest and highest protein to feed in the period, g MP a ewe a day; null for an empty pen.
    pub mp_g_per_ewe_per_day: Option<[f64; 2]>,
    /// Sum of its ewes' misfits, weighted MJ.
    pub misfit_mj: f64,
    /// Head that an even filling of all pens would give it.
    pub fair_head: f64,
    /// The weight that half of its ewes do not exceed; null for an empty pen.
    pub median_weight_kg: Option<f64>,
    /// The day by which half of its ewes are due; null for an empty pen.
    pub median_due: Option<Day>,
}

/// What a pen's ration holds on a day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Level {
    /// The day.
    pub date: Day,
    /// Energy density.
    pub me_mj_per_kg_dm: f64,
    /// Protein density.
    pub mp_g_per_kg_dm: f64,
}

/// One sorted ewe.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EweEntry {
    /// Her tag.
    pub tag: String,
    /// Her pen.
    pub pen: String,
    /// The pen in which she stood, where the sort is from there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stood_in: Option<String>,
    /// Lambs carried.
    pub litter: u8,
    /// Condition score used.
    pub condition: f64,
    /// Day due, as used.
    pub due: Day,
    /// Age class used.
    pub age: AgeClass,
    /// Her kind, a number: ewes of unlike kinds share no pen.
    pub kind: u8,
    /// Live weight used, without the lambs.
    pub weight_kg: f64,
    /// What was not on record and had to be taken from elsewhere: `condition`, `due`, `weight_kg`, `age`.
    pub assumed: Vec<&'static str>,
    /// Trough that she needs in her pen.
    pub trough_m: f64,
    /// Floor that she needs in her pen.
    pub area_m2: f64,
    /// What she needs, by day.
    pub needs: Vec<Need>,
    /// Her energy need on the first day, lowest and highest, nine times in ten, from what is uncertain.
    pub me_band_mj_per_day: [f64; 2],
    /// Her share of the misfit, weighted MJ over the period.
    pub misfit_mj: f64,
    /// Why this pen.
    pub reason: String,
    /// What a MJ below need counts for with her litter, where that differs from the document's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub under: Option<f64>,
    /// The same above need.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub over: Option<f64>,
}

/// What a ewe needs on a day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Need {
    /// The day.
    pub date: Day,
    /// Metabolisable energy.
    pub me_mj_per_day: f64,
    /// Metabolisable protein.
    pub mp_g_per_day: f64,
    /// Dry matter that she can eat.
    pub intake_kg_dm_per_day: f64,
}

/// A ewe that was not sorted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetApart {
    /// Her tag, or the row where it could not be read.
    pub tag: String,
    /// Why, in words.
    pub why: String,
    /// What she still needs, in words: a place and feed.
    pub needs: String,
}

/// A ewe kept by hand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KeptEntry {
    /// Her tag.
    pub tag: String,
    /// Where she is kept.
    pub pen: String,
    /// What all the keeping costs against the free sort, weighted MJ over the period.
    pub costs_mj: f64,
    /// The same in words.
    pub words: String,
}

/// The answer where the pens cannot hold the flock.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ImpossibleDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// `impossible`.
    pub status: &'static str,
    /// How many ewes over, and what is short.
    pub headline: String,
    /// Pen by pen, what it holds and which limit says so.
    pub limits: Vec<String>,
    /// Ways to mend it, each tried.
    pub mends: Vec<String>,
    /// How many ewes are over.
    pub ewes_over: usize,
    /// Whether it is proved that there is no sort; otherwise none was found.
    pub proved: bool,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
}

impl ImpossibleDocument {
    /// The document of a shortfall.
    pub fn new(shortfall: &Shortfall, problems: &[Problem]) -> Self {
        Self {
            format: FORMAT,
            status: "impossible",
            headline: shortfall.headline.clone(),
            limits: shortfall.limits.clone(),
            mends: shortfall.mends.clone(),
            ewes_over: shortfall.ewes_over,
            proved: shortfall.proved,
            problems: problems.to_vec(),
        }
    }
}

/// The answer where something must be put right first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RefusedDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// `refused`.
    pub status: &'static str,
    /// What is wrong.
    pub problems: Vec<Problem>,
}

impl RefusedDocument {
    /// The document of what is wrong.
    pub fn new(problems: &[Problem]) -> Self {
        Self { format: FORMAT, status: "refused", problems: problems.to_vec() }
    }
}
