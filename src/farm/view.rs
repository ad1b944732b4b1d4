//! What the page draws: figures with their words ready, so that the page holds no rule and no wording.
//!
//! The TypeScript types of the page are generated from these.

use crate::farm::need::NeedQuestion;
use crate::farm::settings::{DateOrder, Keep};
use crate::problem::Problem;
use crate::requirement::WorkingLine;
use serde::Serialize;

/// The answer to "sort these files".
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum SortReply {
    /// Sorted; rows that could not be read are in `problems`.
    Sorted {
        /// What to draw.
        view: Box<SortView>,
    },
    /// The pens cannot hold the flock.
    Impossible {
        /// What to say.
        view: ImpossibleView,
    },
    /// Nothing could be sorted: a file is not what it should be, or a question is open.
    Unreadable {
        /// One line for the top of the screen.
        headline: String,
        /// What is wrong.
        problems: Vec<Problem>,
        /// A question that only a person can answer.
        question: Option<DateQuestion>,
    },
}

/// Day first or month first?
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct DateQuestion {
    /// The question in words.
    pub question: String,
    /// The two readings, each shown with up to three dates of the file in words.
    pub answers: Vec<DateAnswer>,
}

/// One way to read the dates.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct DateAnswer {
    /// What to put into the settings.
    pub order: DateOrder,
    /// "Day first: 03/04/2027 is 3 April 2027".
    pub words: String,
}

/// A sort, ready to draw.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct SortView {
    /// "232 ewes in 6 pens".
    pub headline: String,
    /// "Fed for 21 days, 1 to 21 February 2027".
    pub period: String,
    /// How near the best possible the sort is.
    pub quality: String,
    /// Longer words on the bound, for whoever opens it.
    pub quality_note: String,
    /// What ewes moved by hand cost against the sort, in a line; empty where none was moved.
    pub by_hand: String,
    /// The moves by hand, the last first: the one that can be taken back.
    pub moved: Vec<EweLine>,
    /// Whether a proof could say more of that; not where the sort is proved best already.
    pub can_prove: bool,
    /// The caution that every screen and print carries.
    pub caution: String,
    /// What the standard and intake model are, in a line.
    pub basis: String,
    /// The days of the period, for the day slider: "1 Feb".
    pub days: Vec<String>,
    /// The common axis of the pen strips.
    pub axis: Axis,
    /// The pens, in file order.
    pub pens: Vec<PenView>,
    /// Why ewes fit badly, in a line: how many for which cause; empty where none does.
    pub badly_fitting_words: String,
    /// Ewes that fit badly, worst first.
    pub badly_fitting: Vec<EweLine>,
    /// Ewes to weigh, score, scan or date, because something was taken from elsewhere.
    pub to_check: Vec<EweLine>,
    /// Ewes that were not sorted and what each still needs.
    pub set_apart: Vec<EweLine>,
    /// Ewes kept by hand and what that costs.
    pub kept: Vec<EweLine>,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
    /// Words and marks that the picture needs explained.
    pub legend: Vec<LegendLine>,
}

/// How far the proof of a sort has come.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct ProofView {
    /// Steps done.
    pub steps: u32,
    /// The most steps that there will be.
    pub most_steps: u32,
    /// Whether nothing more is to be gained.
    pub is_done: bool,
    /// How near the best possible the sort is.
    pub quality: String,
    /// Longer words on the bound.
    pub quality_note: String,
}

/// The axis of need, MJ ME a kg DM.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Axis {
    /// Left end.
    pub low: f64,
    /// Right end.
    pub high: f64,
    /// The lowest density that a ration may have.
    pub level_low: f64,
    /// The highest density that a ration may have.
    pub level_high: f64,
    /// What the axis shows, with its unit.
    pub title: String,
}

/// How a ewe stands to her pen's ration on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "snake_case")]
pub enum Fit {
    /// Fed less than she needs.
    Short,
    /// Near enough.
    Good,
    /// Fed more than she needs.
    Over,
}

/// One pen's strip and facts.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct PenView {
    /// The pen's name.
    pub name: String,
    /// "38 ewes: 3 single, 30 twins, 5 triplets".
    pub head: String,
    /// Number of ewes.
    pub count: u32,
    /// "14.9 to 17.2 MJ ME and 99 to 113 g MP a ewe a day"; empty for an empty pen.
    pub feed: String,
    /// The feed face.
    pub trough: FillView,
    /// The floor.
    pub floor: FillView,
    /// The ration by day, MJ ME a kg DM; empty for an empty pen.
    pub levels: Vec<f64>,
    /// The same in words by day: "10.8 MJ ME and 72 g MP a kg DM".
    pub level_words: Vec<String>,
    /// What is worth knowing about this pen: over 40 head, moves near lambing.
    pub notes: Vec<String>,
    /// Its ewes, by need.
    pub ewes: Vec<EweMark>,
}

/// How full something is.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct FillView {
    /// What is used, in `unit`.
    pub used: f64,
    /// What there is, in `unit`.
    pub total: f64,
    /// `m`, `m²` or `places`.
    pub unit: String,
    /// "18.4 of 20.0 m of trough".
    pub words: String,
}

/// A ewe as a mark on her pen's strip.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct EweMark {
    /// Her tag.
    pub tag: String,
    /// Lambs carried.
    pub litter: u8,
    /// "2.5", with "?" where it was taken from elsewhere.
    pub condition: String,
    /// "12 Mar", likewise.
    pub due: String,
    /// Need by day, MJ ME a kg DM.
    pub density: Vec<f64>,
    /// How she stands to the ration, by day.
    pub fit: Vec<Fit>,
    /// Trough that she takes, m.
    pub trough_m: f64,
    /// Whether anything about her was taken from elsewhere.
    pub assumed: bool,
    /// Whether she is kept here by hand.
    pub kept: bool,
    /// Her notes, for the pen list.
    pub notes: String,
    /// What a screen reader says: "0417, twins, condition 2.5, due 12 March, well fed here".
    pub label: String,
}

/// A line about a ewe.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct EweLine {
    /// Her tag.
    pub tag: String,
    /// Her pen, or empty.
    pub pen: String,
    /// The words.
    pub words: String,
}

/// An entry of the legend.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct LegendLine {
    /// Which mark: `litter-1` … `litter-5`, `level`, `short`, `over`, `assumed`, `kept`, `trough`.
    pub mark: String,
    /// What it means.
    pub words: String,
}

/// Why the pens cannot hold the flock.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct ImpossibleView {
    /// "14 ewes more than trough space in all pens: 6.3 m short".
    pub headline: String,
    /// Which limits bind, pen by pen.
    pub limits: Vec<String>,
    /// Ways to mend it, each tried.
    pub mends: Vec<String>,
    /// The caution that every screen carries.
    pub caution: String,
    /// What is wrong or worth knowing in the files.
    pub problems: Vec<Problem>,
}

/// A ewe picked up, to be put into another pen.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct PickedView {
    /// Her tag.
    pub tag: String,
    /// The pen where she stands.
    pub pen: String,
    /// "Twins, condition 2.5, due 12 March".
    pub title: String,
    /// How she fares where she stands.
    pub words: String,
    /// What a screen reader says.
    pub said: String,
    /// What each pen would mean, in file order.
    pub places: Vec<PutView>,
    /// The caution that every screen carries.
    pub caution: String,
}

/// What putting a ewe into a pen would mean, she alone moving.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct PutView {
    /// The pen's name.
    pub pen: String,
    /// Whether she stands there now.
    pub here: bool,
    /// Whether she can be put there.
    pub allowed: bool,
    /// How the objective changes, weighted MJ over the period; null where she stands or cannot go.
    pub change_mj: Option<f64>,
    /// The same in words: "costs 3.4 MJ", "saves 1.2 MJ", "cannot take her".
    pub cost: String,
    /// How she would fare, and who else would be short; empty where she cannot go.
    pub words: String,
    /// Trough and floor with her in it; empty where she cannot go.
    pub room: String,
    /// The limits that it would break, each with by how much.
    pub limits: Vec<String>,
}

/// The answer to "put her there".
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum MoveReply {
    /// Done.
    Moved {
        /// What to draw now.
        view: Box<SortView>,
        /// Whom a new sort should keep by hand.
        keep: Vec<Keep>,
        /// What a screen reader says.
        said: String,
    },
    /// She stays.
    Refused {
        /// Why.
        problem: Problem,
    },
}

/// One ewe, opened.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct EweView {
    /// Her tag.
    pub tag: String,
    /// Her pen.
    pub pen: String,
    /// "twins, condition 2.5, due 12 March 2027".
    pub title: String,
    /// Why this pen.
    pub reason: String,
    /// What is known of her, each with where it comes from.
    pub facts: Vec<Fact>,
    /// How her need on the first day was worked out, line by line.
    pub working: Vec<WorkingLine>,
    /// What each pen would mean for her.
    pub places: Vec<PlaceView>,
    /// Her need on the first day as a question of its own, to see her curve and vary it.
    pub question: NeedQuestion,
    /// The caution that every need carries.
    pub caution: String,
}

/// A fact about a ewe.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct Fact {
    /// "Condition".
    pub name: String,
    /// "2.5".
    pub value: String,
    /// "not scored: the mean of her class" or empty.
    pub note: String,
}

/// What a pen would mean for a ewe.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct PlaceView {
    /// The pen's name.
    pub pen: String,
    /// Whether she stands there now.
    pub here: bool,
    /// Whether she may be kept there.
    pub allowed: bool,
    /// "fits: 0.4 MJ a day over", "full: one must leave", or why not.
    pub words: String,
    /// How the whole sort's misfit changes if she is kept there, weighted MJ; null where not allowed.
    pub change_mj: Option<f64>,
}
