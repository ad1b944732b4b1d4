//! The ration's document; its schema is `data/schema/ration.schema.json`.

use crate::day::Day;
use crate::problem::Problem;
use serde::Serialize;

/// A ration.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RationDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// `met` where energy and protein are met, `short` where one is not.
    pub status: &'static str,
    /// One line of caution that goes with every figure here.
    pub caution: &'static str,
    /// How the pen is fed.
    pub way: &'static str,
    /// What was asked.
    pub asked: AskedEntry,
    /// What is fed.
    pub feeds: Vec<FeedEntry>,
    /// All together, kg fresh a ewe a day.
    pub kg_fresh: f64,
    /// All together, kg DM.
    pub kg_dm: f64,
    /// Concentrate fed apart, kg fresh.
    pub concentrate_kg_fresh: f64,
    /// Feeds of concentrate a day.
    pub feeds_a_day: u32,
    /// Feed, pence a ewe a day.
    pub pence: f64,
    /// The same in amounts to the last gram, before they are weighed out.
    pub pence_before_weighing: f64,
    /// Whether the amounts are whole steps of what can be weighed.
    pub is_weighed: bool,
    /// Whether those amounts are proved within a fifth of a penny of the cheapest.
    pub is_proved: bool,
    /// Programmes solved for them.
    pub solves: u32,
    /// How far the dual programme's sum was from the cost, relative: strong duality, checked.
    pub duality_gap: f64,
    /// Supply against limit, line by line.
    pub limits: Vec<LimitEntry>,
    /// Protein and the rumen.
    pub protein: ProteinEntry,
    /// Feeds that may be fed and are not.
    pub unused: Vec<UnusedEntry>,
    /// Needs that are missed.
    pub shortfalls: Vec<ShortfallEntry>,
    /// Limits that stop them from being met, in words, worst first.
    pub stopped_by: Vec<String>,
    /// Ways out, best first, each tried.
    pub ways_out: Vec<WayOutEntry>,
    /// How many changes were tried.
    pub ways_tried: u32,
    /// Feeds on the farm that are not fed.
    pub withheld: Vec<WithheldEntry>,
    /// What may hurt a ewe.
    pub cautions: Vec<CautionEntry>,
    /// What the figures stand on.
    pub basis: String,
    /// What is wrong with the feeds file, or worth knowing.
    pub problems: Vec<Problem>,
}

/// What was asked.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AskedEntry {
    /// Energy, MJ ME a day.
    pub me_mj_per_day: f64,
    /// Metabolisable protein, g a day.
    pub mp_g_per_day: f64,
    /// Live weight without the lambs.
    pub weight_kg: f64,
    /// Lambs carried.
    pub litter: u8,
    /// Weeks to lambing.
    pub weeks_to_lambing: f64,
    /// Most feeds a day.
    pub most_feeds: u32,
}

/// A feed in the ration.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FeedEntry {
    /// The farm's name for it.
    pub feed: String,
    /// The feed of the table that it is, or is like.
    pub like: String,
    /// kg fresh a ewe a day.
    pub kg_fresh: f64,
    /// kg DM.
    pub kg_dm: f64,
    /// How much of it stands in the common mix, kg fresh; null where there is none.
    pub kg_fresh_in_mix: Option<f64>,
    /// Pence a ewe a day.
    pub pence: f64,
    /// Whether it is always there, so that what she eats of it is reckoned and not weighed.
    pub is_always_there: bool,
    /// The day of the farm's own analysis; null where the table's figures stand.
    pub analysed_on: Option<Day>,
    /// Where the table's figures come from.
    pub source: String,
}

/// Supply against a limit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitEntry {
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
    /// `hard`: never broken; `need`: missed where nothing else is possible; `shown`: not asked for.
    pub strength: &'static str,
    /// `holds`, `binds` or `missed`.
    pub state: &'static str,
    /// How far it is missed.
    pub missed: f64,
    /// What one unit more of the limit adds to the cost, pence, below and above where it stands; null where it costs
    /// nothing, and null on a side where no ration is left.
    pub pence_a_unit: Option<[Option<f64>; 2]>,
    /// By how much the limit may go down and up before those prices change; null where it costs nothing, for a share of
    /// the ration, on a side where no ration is left, and where there is no end.
    pub price_holds_by: Option<[Option<f64>; 2]>,
    /// The same in words; null likewise.
    pub words: Option<String>,
}

/// Protein and the rumen.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProteinEntry {
    /// Metabolisable protein supplied, g a day.
    pub mp_g_per_day: f64,
    /// What limits what the rumen makes: `energy` or `nitrogen`.
    pub limited_by: &'static str,
    /// Degradable protein as a share of what the energy can use.
    pub degradable_share: f64,
    /// Outflow from the rumen, an hour.
    pub outflow_per_hour: f64,
    /// Microbial protein, g a MJ of fermentable energy.
    pub yield_g_per_mj: f64,
}

/// A feed that may be fed and is not.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UnusedEntry {
    /// Its name.
    pub feed: String,
    /// Its price, a tonne.
    pub price_per_t: f64,
    /// The price below which it would be fed; null where no price makes it fit.
    pub enters_below_per_t: Option<f64>,
    /// kg fresh a day that would then be fed.
    pub kg_fresh_then: f64,
    /// In words.
    pub words: String,
}

/// A need that is missed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShortfallEntry {
    /// What is short.
    pub name: &'static str,
    /// By how much.
    pub missed: f64,
    /// The unit.
    pub unit: &'static str,
    /// In words.
    pub words: String,
}

/// A way out that was tried.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WayOutEntry {
    /// Energy still short, MJ a day.
    pub me_short_mj_per_day: f64,
    /// Protein still short, g a day.
    pub mp_short_g_per_day: f64,
    /// Feed then, pence a ewe a day, a bought feed not counted.
    pub pence: f64,
    /// In words.
    pub words: String,
}

/// A feed on the farm that is not fed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WithheldEntry {
    /// Its name.
    pub feed: String,
    /// Why.
    pub words: String,
}

/// What may hurt a ewe.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct CautionEntry {
    /// What it is about.
    pub about: String,
    /// What to watch or do.
    pub words: String,
    /// Where it comes from.
    pub source: String,
}

/// The answer where no ration keeps the limits.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ImpossibleRationDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// `impossible`.
    pub status: &'static str,
    /// One line of caution that goes with every figure here.
    pub caution: &'static str,
    /// What cannot be.
    pub headline: String,
    /// Limits that cannot hold together.
    pub conflict: Vec<String>,
    /// Ways out, best first, each tried.
    pub ways_out: Vec<WayOutEntry>,
    /// How many changes were tried.
    pub ways_tried: u32,
    /// Feeds on the farm that are not fed.
    pub withheld: Vec<WithheldEntry>,
    /// What is wrong with the feeds file, or worth knowing.
    pub problems: Vec<Problem>,
}
