//! The document on numbers of pens; its schema is `data/schema/pens.schema.json`.

use crate::day::Day;
use crate::problem::Problem;
use serde::Serialize;

/// The version of the document's shape.
pub const FORMAT: &str = "evenfold-pens-1";

/// What each number of pens comes to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PenCountDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// `counted`.
    pub status: &'static str,
    /// What goes with every figure here.
    pub caution: String,
    /// First day of the feeding period.
    pub on: Day,
    /// Days in the feeding period.
    pub period_days: u32,
    /// Ewes sorted.
    pub ewes: u32,
    /// Whether the pens stand already: points then choose among them; otherwise they are equal and to be built.
    pub is_built: bool,
    /// By number of pens, from one.
    pub points: Vec<Point>,
    /// Ewes more than a tenth short in any pen, since they need more than the richest ration may hold.
    pub short_in_any_pen: u32,
    /// The fewest pens that take nine tenths of what the most pens looked at take; null where no number does.
    pub enough_pens: Option<u32>,
    /// The number at which misfit in money and the pens' own cost are least together; null without both prices.
    pub best_pens: Option<u32>,
    /// The prices that were given.
    pub prices: Prices,
    /// What the flock and the pens come to.
    pub headline: String,
    /// What to do.
    pub advice: String,
    /// What the figures stand on.
    pub basis: String,
    /// Tags of ewes that were not sorted.
    pub set_apart: Vec<String>,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
}

/// Prices as the person asking gave them; none has a default but the feed's energy.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Prices {
    /// What a pen costs over the feeding period.
    pub pen_cost: Option<f64>,
    /// What a tonne of dry matter of the feed costs.
    pub feed_price_per_t_dm: Option<f64>,
    /// ME of that feed, MJ a kg DM.
    pub feed_me_mj_per_kg_dm: f64,
}

/// A number of pens.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Point {
    /// How many there may be.
    pub pens: u32,
    /// `sorted`, `impossible` (proved) or `not_found`.
    pub status: &'static str,
    /// The pens used, fewer than may be where more would not help; empty where the flock does not fit.
    pub used: Vec<String>,
    /// What each measures where they are to be built.
    pub size: Option<SizeEntry>,
    /// What the sort comes to.
    pub figures: Option<Figures>,
    /// What this pen buys over one fewer; null where one fewer does not hold the flock.
    pub buys: Option<Buys>,
    /// The same in words.
    pub words: String,
}

/// A pen to be built.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SizeEntry {
    /// Trough, m.
    pub trough_m: f64,
    /// Floor, m².
    pub area_m2: f64,
    /// Mean ewes of the flock that it holds.
    pub head: u32,
}

/// What a sort comes to.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Figures {
    /// Misfit and all else that counts, weighted MJ over the period.
    pub objective_mj: f64,
    /// Misfit alone, weighted MJ over the period.
    pub misfit_mj: f64,
    /// No sort with so many of the pens comes to less.
    pub lower_bound_mj: f64,
    /// `100 · (objective − bound) / bound`, 0 where both are 0; null where only the bound is 0.
    pub gap_percent: Option<f64>,
    /// Whether it is proved that nothing is better.
    pub is_proved_best: bool,
    /// ME fed below need, MJ a day for the whole flock, mean of the period.
    pub under_mj_per_day: f64,
    /// ME fed above need, the same.
    pub over_mj_per_day: f64,
    /// ME fed over the period, MJ.
    pub fed_mj: f64,
    /// Dry matter fed over the period, kg; the same however many pens there are.
    pub fed_kg_dm: f64,
    /// Ewes fed more than a tenth below need on some day.
    pub ewes_short: u32,
    /// Ewes in the fullest pen.
    pub most_head: u32,
}

/// What one pen more buys.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Buys {
    /// Off the objective, weighted MJ over the period; never below 0.
    pub objective_mj: f64,
    /// Ewes no longer more than a tenth short; below 0 where more are.
    pub ewes_no_longer_short: i64,
    /// ME fed above need that is saved, MJ a day for the whole flock; below 0 where more is.
    pub over_mj_per_day: f64,
    /// ME fed in all that is saved over the period, MJ; below 0 where more is fed.
    pub fed_mj: f64,
    /// The objective's part in money, where the feed has a price.
    pub worth: Option<f64>,
    /// Whether that is more than a pen costs, where both prices are known.
    pub pays: Option<bool>,
}
