//! The document of a draft; its schema is `data/schema/draft.schema.json`.

use crate::day::Day;
use crate::problem::Problem;
use serde::Serialize;

/// The version of the document's shape.
pub const FORMAT: &str = "evenfold-draft-1";

/// A draft from the first ewe to the last.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DraftDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// `drafted`.
    pub status: &'static str,
    /// One line of caution that goes with every figure here.
    pub caution: &'static str,
    /// First day of the feeding period.
    pub on: Day,
    /// Days in the feeding period.
    pub period_days: u32,
    /// Ewes in lamb that were expected.
    pub expected_ewes: u32,
    /// Where that number came from: `given`, `prior` or `flock`.
    pub expected_from: &'static str,
    /// Ewe lambs among them.
    pub expected_ewe_lambs: u32,
    /// Where the belief came from: `records`, `last_year` or `print`.
    pub belief: &'static str,
    /// The same in words.
    pub belief_words: String,
    /// Pens that share a way of the gate, way by way; empty where every pen has its own.
    pub ways: Vec<Vec<String>>,
    /// What needs and levels lie on, in the order in which the answers give them.
    pub axes: Vec<AxisEntry>,
    /// One answer a ewe, in the order of the list.
    pub answers: Vec<AnswerEntry>,
    /// Ewes who are held: no pen could take them within its limits.
    pub held: Vec<String>,
    /// Ewes who were not sorted.
    pub set_apart: Vec<String>,
    /// The pens at the end.
    pub pens: Vec<PenEntry>,
    /// What it came to; null where nobody has a pen.
    pub result: Option<ResultEntry>,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
}

/// One axis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AxisEntry {
    /// `energy` or `protein` density by part of the period, `body_size` or `lambing_day`.
    pub of: &'static str,
    /// What a unit on it counts for, MJ over the period.
    pub weight: f64,
}

/// What was answered for one ewe.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AnswerEntry {
    /// Her tag.
    pub tag: String,
    /// `pen`, `hold` or `apart`.
    pub answer: &'static str,
    /// Why, in a line.
    pub reason: String,
    /// Where she went; null unless the answer is a pen.
    pub place: Option<PlaceEntry>,
    /// The next best pen, where another could take her.
    pub runner_up: Option<RunnerUpEntry>,
}

/// Where a ewe went.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlaceEntry {
    /// The pen.
    pub pen: String,
    /// The way of the gate, from 1; null where every pen has its own.
    pub way: Option<u32>,
    /// How many more like her the pen had places for.
    pub places_left: u32,
    /// Trough that she takes there, m.
    pub trough_m: f64,
    /// Floor that she takes there, m².
    pub floor_m2: f64,
    /// Her need on each axis; on the energy axes MJ a kg DM.
    pub need: Vec<f64>,
    /// The level that the pen was planned to have on each axis.
    pub planned_level: Vec<f64>,
    /// What a unit below and a unit above need count for.
    pub under_over: [f64; 2],
    /// Her misfit at those levels, weighted MJ over the period.
    pub misfit_mj: f64,
    /// What the room that she takes was worth to those to come, weighted MJ over the period.
    pub room_mj: f64,
}

/// The next best pen.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunnerUpEntry {
    /// The pen.
    pub pen: String,
    /// The level that it was planned to have on each axis.
    pub planned_level: Vec<f64>,
    /// Her misfit there, weighted MJ over the period.
    pub misfit_mj: f64,
    /// What it would cost her over the pen answered, weighted MJ over the period; below 0 where it suits her
    /// better.
    pub costs_her_mj: f64,
    /// What the room there was worth to those to come.
    pub room_mj: f64,
    /// Whether sending her there might leave somebody later without a place.
    pub risky: bool,
}

/// A pen at the end.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PenEntry {
    /// Its name.
    pub pen: String,
    /// Ewes in it.
    pub ewes: u32,
    /// Trough that they take, m.
    pub trough_used_m: f64,
    /// Trough that there is, m.
    pub trough_m: f64,
    /// Floor that they take, m².
    pub floor_used_m2: f64,
    /// Floor that there is, m².
    pub floor_m2: f64,
    /// Whether it is in use with fewer head than a pen in use must have, because fewer came than expected.
    pub below_least_head: bool,
}

/// What a draft came to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ResultEntry {
    /// Objective as drafted, or after the evening's sorting within the ways, weighted MJ over the period.
    pub objective_mj: f64,
    /// Objective of the sort that knows the whole flock; null where none was found.
    pub all_knowing_mj: Option<f64>,
    /// The first over the second.
    pub ratio: Option<f64>,
    /// Where the ways were sorted out in the evening: the pen of each ewe by tag.
    pub evening: Vec<StandEntry>,
    /// The most ewes that may change places once all are in: 3 %.
    pub most_moves: u32,
    /// The moves, at most so many.
    pub moves: Vec<MoveEntry>,
    /// Objective once they are made; null where the pens could not be regrouped.
    pub moved_objective_mj: Option<f64>,
    /// That over the all-knowing sort's.
    pub moved_ratio: Option<f64>,
}

/// Where a ewe stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StandEntry {
    /// Her tag.
    pub tag: String,
    /// Her pen.
    pub pen: String,
}

/// A ewe who changes place once all are in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MoveEntry {
    /// Her tag.
    pub tag: String,
    /// The pen she leaves.
    pub from: String,
    /// The pen she goes to.
    pub to: String,
}
