//! The plan's document; its schema is `data/schema/plan.schema.json`.

use crate::day::Day;
use crate::farm::ration::document::{CautionEntry, WayOutEntry, WithheldEntry};
use crate::problem::Problem;
use serde::Serialize;

/// A feeding plan to the last lambing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// `met` where every pen's level is met in every week, `short` where one is not.
    pub status: &'static str,
    /// One line of caution that goes with every figure here.
    pub caution: &'static str,
    /// First day of the plan.
    pub on: Day,
    /// Its last day: the last on which a ewe is due.
    pub last_day: Day,
    /// How pens are fed.
    pub way: &'static str,
    /// How concentrate goes over the weeks: `stepped` or `flat`.
    pub pattern: &'static str,
    /// What a feed in use counts for beside its price, pence a ewe a day.
    pub handling_pence: f64,
    /// The one recipe of the concentrate, where it was wished; empty otherwise.
    pub recipe: Vec<RecipeEntry>,
    /// Pens that hold somebody, in file order.
    pub pens: Vec<PlanPenEntry>,
    /// What is loaded, in the order of the weeks.
    pub loads: Vec<LoadEntry>,
    /// Feeds that are used or in store, in file order.
    pub feeds: Vec<FeedSumEntry>,
    /// Feed in all, in the money that prices are in.
    pub money: f64,
    /// The same by ewe that begins the plan.
    pub money_per_ewe: f64,
    /// Concentrate by ewe that begins the plan, kg fresh in all.
    pub concentrate_kg_per_ewe: f64,
    /// What needs missed are charged in the programme, in money: to lay beside `least_objective`.
    pub shortfall_charge: f64,
    /// What the best plan would cost in amounts to the last gram, money; null where no plan of all was solved, and
    /// with needs missed charged as the programme charges them.
    pub least_objective: Option<f64>,
    /// Feeds on the farm that are not fed.
    pub withheld: Vec<WithheldEntry>,
    /// What may hurt a ewe.
    pub cautions: Vec<CautionEntry>,
    /// What was loaded and left, where it was told.
    pub happened: Vec<HappenedEntry>,
    /// What the figures stand on.
    pub basis: String,
    /// What is wrong with the files, or worth knowing.
    pub problems: Vec<Problem>,
}

/// A share of the one recipe.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecipeEntry {
    /// The feed.
    pub feed: String,
    /// Its share of the weight.
    pub share: f64,
}

/// A pen.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanPenEntry {
    /// Its name.
    pub pen: String,
    /// Whether it is no pen of the sort but the line of the barren ewes.
    pub is_barren: bool,
    /// Whether it is no pen of the sort but the line of the ewes who are not scanned, fed as if with twins.
    pub is_unscanned: bool,
    /// Ewes on the first day.
    pub head: u32,
    /// Room at the trough for this way of feeding.
    pub trough: TroughEntry,
    /// Its weeks.
    pub weeks: Vec<PlanWeekEntry>,
}

impl PlanPenEntry {
    /// Whether it is no pen of the sort.
    pub const fn is_apart(&self) -> bool {
        self.is_barren || self.is_unscanned
    }
}

/// Room at the trough.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TroughEntry {
    /// Whether all eat at once; otherwise they take turns.
    pub all_at_once: bool,
    /// What the ewes need.
    pub needed_m: f64,
    /// What there is, blocked corners taken off.
    pub there_m: f64,
    /// In words.
    pub words: String,
}

/// A pen in one week.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanWeekEntry {
    /// Which week of the plan, 1 first.
    pub week: u32,
    /// Its first day.
    pub first_day: Day,
    /// `met`; `near` where less is missing than one step of the bucket brings; `short`; or `impossible` where no
    /// ration is safe.
    pub status: &'static str,
    /// Ewes fed on each day.
    pub head: Vec<u32>,
    /// The level of energy by the sort's loss; above the richest that any ration holds where ewes need so much.
    pub level_me_mj_per_kg_dm: f64,
    /// The sort's level of protein.
    pub level_mp_g_per_kg_dm: f64,
    /// What the level comes to a ewe a day: what the ration was asked for.
    pub asked_me_mj_per_day: f64,
    /// The same of protein.
    pub asked_mp_g_per_day: f64,
    /// How much of the energy asked for no ration could bring in what these ewes can eat, whatever is in it: the richest
    /// holds 12.5 MJ a kg DM.
    pub beyond_any_ration_me_mj_per_day: f64,
    /// What the sort counted on as eaten before anything was known of the feeds, kg DM a ewe a day.
    pub counted_kg_dm: f64,
    /// Whether protein was asked for, and not only shown.
    pub protein_asked: bool,
    /// Mean live weight without the lambs.
    pub weight_kg: f64,
    /// Most lambs that a ewe of the pen carries.
    pub litter_most: u8,
    /// Weeks to lambing of the ewe in the middle.
    pub weeks_to_lambing: f64,
    /// Concentrate of the week before, kg fresh a ewe a day; null where it is not known.
    pub last_week_concentrate_kg: Option<f64>,
    /// What is fed; empty where no ration is safe.
    pub feeds: Vec<PlanFeedEntry>,
    /// Feeds of the week before that are fed no more.
    pub gone: Vec<String>,
    /// Whether a forage is fed that was not fed in the week before.
    pub new_forage: bool,
    /// The main forage of the week before and of this one, where the pen goes over from one to the other.
    pub change_over: Option<[String; 2]>,
    /// All together, kg fresh a ewe a day.
    pub kg_fresh: f64,
    /// All together, kg DM.
    pub kg_dm: f64,
    /// Energy that it brings.
    pub me_mj_per_day: f64,
    /// Protein that it brings.
    pub mp_g_per_day: f64,
    /// Energy short of what was asked.
    pub me_short_mj_per_day: f64,
    /// Protein short of what was asked.
    pub mp_short_g_per_day: f64,
    /// Energy that one step of the bucket brings a ewe; 0 where amounts are to the last gram.
    pub bucket_step_me_mj: f64,
    /// Protein that it brings.
    pub bucket_step_mp_g: f64,
    /// Whether it is what a ewe can eat that stops the level from being met, above any other limit.
    pub short_by_appetite: bool,
    /// Ewes whose need of energy is met in full.
    pub served_in_full: u32,
    /// Energy that the worst served ewe is short of.
    pub worst_short_mj_per_day: f64,
    /// Concentrate fed, kg fresh a ewe a day.
    pub concentrate_kg_fresh: f64,
    /// Feeds of concentrate a day; 0 where it is mixed in.
    pub feeds_a_day: u32,
    /// Feed, pence a ewe a day.
    pub pence: f64,
    /// Whether the amounts are whole steps of what can be weighed.
    pub is_weighed: bool,
    /// Limits, line by line.
    pub limits: Vec<PlanLimitEntry>,
    /// Water that the pen drinks on the first day, least and most.
    pub water_litres_per_day: [f64; 2],
    /// Limits that stop the level from being met, worst first; two of them but in the pen's worst week.
    pub stopped_by: Vec<String>,
    /// Ways out, each tried; of each pen only for its worst week.
    pub ways_out: Vec<WayOutEntry>,
}

/// A feed in a week's ration.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanFeedEntry {
    /// The farm's name for it.
    pub feed: String,
    /// kg fresh a ewe a day.
    pub kg_fresh: f64,
    /// kg DM.
    pub kg_dm: f64,
    /// kg fresh more than in the week before; null in the first week.
    pub change_kg: Option<f64>,
    /// Whether it is always there, so that what is eaten of it is reckoned and not weighed.
    pub is_always_there: bool,
}

/// A limit in a week.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlanLimitEntry {
    /// What it is of.
    pub name: &'static str,
    /// The unit.
    pub unit: &'static str,
    /// The ration's figure.
    pub supplied: f64,
    /// Least; null for none.
    pub least: Option<f64>,
    /// Most; null for none.
    pub most: Option<f64>,
    /// `hard`, `need` or `shown`.
    pub strength: &'static str,
    /// `holds`, `binds` or `missed`.
    pub state: &'static str,
}

/// What is loaded for a pen on some days on which as many ewes stand there.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadEntry {
    /// The pen.
    pub pen: String,
    /// Which week of the plan, 1 first.
    pub week: u32,
    /// The first of the days.
    pub first_day: Day,
    /// How many days.
    pub days: u32,
    /// Ewes on each of them.
    pub head: u32,
    /// `mix`, `forage`, `concentrate`, or `minerals` where they stand alone.
    pub what: &'static str,
    /// Loads a day: batches of a wagon, or feeds from the bucket.
    pub loads_a_day: u32,
    /// Feeds in the order in which they go in.
    pub parts: Vec<LoadPartEntry>,
    /// One load in all, kg fresh.
    pub kg_a_load: f64,
    /// What a person loading should know.
    pub notes: Vec<String>,
}

/// A feed of a load.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LoadPartEntry {
    /// The feed.
    pub feed: String,
    /// kg fresh a ewe a day.
    pub kg_a_ewe: f64,
    /// kg fresh in one load.
    pub kg_a_load: f64,
    /// kg DM in one load.
    pub kg_dm_a_load: f64,
}

/// A feed over the whole plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FeedSumEntry {
    /// The feed.
    pub feed: String,
    /// Price.
    pub price_per_t: f64,
    /// Used in all.
    pub used_t: f64,
    /// Money in all.
    pub money: f64,
    /// In store at the start; null where as much as is wanted can be had.
    pub stock_t: Option<f64>,
    /// What was loaded between the day on which the store was counted and the plan's first day; `stock_t` is without it.
    pub loaded_since_count_t: f64,
    /// Left at the end.
    pub left_t: Option<f64>,
    /// Left after each week of the plan.
    pub left_after_week_t: Vec<f64>,
    /// The day on which the store is used up; null where it is not.
    pub runs_out_on: Option<Day>,
    /// What a tonne more would be worth above its price; 0 where the store suffices.
    pub worth_more_per_t: f64,
    /// What no ration could do without, and is not in store.
    pub wanting_t: f64,
    /// By month.
    pub months: Vec<MonthEntry>,
    /// In words.
    pub words: String,
}

/// A month of a feed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MonthEntry {
    /// The month, `2027-02`.
    pub month: String,
    /// Used, t fresh.
    pub used_t: f64,
    /// Money.
    pub money: f64,
}

/// What was loaded and left in a pen, against the plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HappenedEntry {
    /// The pen.
    pub pen: String,
    /// First day told.
    pub first_day: Day,
    /// Days told.
    pub days: u32,
    /// Dry matter loaded, kg in all.
    pub loaded_kg_dm: f64,
    /// Dry matter left, kg in all.
    pub left_kg_dm: f64,
    /// Dry matter that the plan had for these days, kg in all; null where they lie before it.
    pub planned_kg_dm: Option<f64>,
    /// Share of what was loaded that was left, percent of dry matter; null where nobody told.
    pub refused_percent: Option<f64>,
    /// What the pen ate against what the model says, by which its appetite is scaled from now on; 1 where nothing was
    /// scaled.
    pub appetite_factor: f64,
    /// Feed by feed.
    pub feeds: Vec<HappenedFeedEntry>,
    /// In words.
    pub words: String,
}

/// A feed that was loaded, or was planned.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HappenedFeedEntry {
    /// The feed.
    pub feed: String,
    /// Loaded, kg fresh in all.
    pub loaded_kg: f64,
    /// Left, kg fresh in all.
    pub left_kg: f64,
    /// What the plan had, kg fresh in all; null where the days lie before it.
    pub planned_kg: Option<f64>,
}
