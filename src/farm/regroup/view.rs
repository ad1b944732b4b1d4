//! Regrouping in words: what the page draws and the command line prints.

use crate::farm::regroup::document::counted;
use crate::farm::regroup::{RegroupAnswer, Regrouped};
use crate::farm::view::ImpossibleView;
use crate::farm::{CAUTION, present};
use crate::problem::Problem;
use crate::sort::reason::capital;
use crate::sort::shortfall::count_words;
use serde::Serialize;

/// About so many points stand in a table; a chart draws all.
const FEW: usize = 24;

/// The answer to "which moves are worth making?".
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum RegroupReply {
    /// A curve and moves.
    Regrouped {
        /// What to draw.
        view: Box<RegroupView>,
    },
    /// The old pens break limits and nothing within them was found.
    Impossible {
        /// What to say.
        view: ImpossibleView,
    },
    /// Something must be put right first.
    Unreadable {
        /// One line for the top.
        headline: String,
        /// What is wrong.
        problems: Vec<Problem>,
    },
}

/// What the page draws.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct RegroupView {
    /// How many ewes and what the best point is.
    pub headline: String,
    /// What to do.
    pub advice: String,
    /// Over the curve.
    pub curve_title: String,
    /// Under it: what lies across, with its unit.
    pub moves_axis: String,
    /// Beside it: what lies upwards, with its unit.
    pub misfit_axis: String,
    /// What the second line of the chart is: the misfit and what the moves cost.
    pub with_moves_title: String,
    /// Every point of the curve, by moves.
    pub curve: Vec<CurvePointView>,
    /// Moves of the point whose moves are listed.
    pub listed: u32,
    /// That point in a line.
    pub listed_words: String,
    /// The limits that the old pens break.
    pub limits: Vec<String>,
    /// Over the moves; empty where there are none.
    pub moves_title: String,
    /// The moves in their order.
    pub moves: Vec<MoveView>,
    /// What the figures stand on.
    pub basis: String,
    /// What is wrong or worth knowing in the files.
    pub problems: Vec<Problem>,
    /// The caution that every screen carries.
    pub caution: String,
}

/// A point to draw.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct CurvePointView {
    /// Ewes moved.
    pub moves: u32,
    /// The objective, weighted MJ.
    pub objective_mj: f64,
    /// Objective and what the moves cost.
    pub with_moves_mj: f64,
    /// Whether it pays best.
    pub is_best: bool,
    /// Whether it is one of the few that a table lists.
    pub in_table: bool,
    /// In a line.
    pub words: String,
}

/// A move to list.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), tsify(missing_as_null))]
pub struct MoveView {
    /// Its step, from 1.
    pub step: u32,
    /// Her tag.
    pub tag: String,
    /// The pen that she leaves; null where she waits outside.
    pub from: Option<String>,
    /// The pen that she goes to; null where she is to wait outside until there is room.
    pub to: Option<String>,
    /// The line.
    pub words: String,
}

/// The answer as the page draws it.
pub(super) fn reply(answer: &RegroupAnswer) -> RegroupReply {
    match answer {
        RegroupAnswer::Regrouped(regrouped) => RegroupReply::Regrouped { view: Box::new(view(regrouped)) },
        RegroupAnswer::Impossible { shortfall, problems } => {
            RegroupReply::Impossible { view: present::impossible(shortfall, problems) }
        }
        RegroupAnswer::Refused { problems } => RegroupReply::Unreadable {
            headline: present::refused_headline("No moves were worked out", problems, false),
            problems: problems.clone(),
        },
    }
}

/// What the page draws.
pub(super) fn view(regrouped: &Regrouped) -> RegroupView {
    let document = regrouped.document();
    let counted = counted(&regrouped.plan);
    let step = document.curve.len().div_ceil(FEW).max(1);
    let last = document.curve.len().saturating_sub(1);
    let curve: Vec<CurvePointView> = document
        .curve
        .iter()
        .enumerate()
        .map(|(index, point)| {
            let is_best = point.moves == document.best_moves;
            CurvePointView {
                moves: point.moves,
                objective_mj: point.objective_mj,
                with_moves_mj: point.objective_mj + point.move_cost_mj,
                is_best,
                in_table: is_best || index == last || index.is_multiple_of(step),
                words: format!(
                    "{}: {:.1} MJ, {:.0} % of the gain; the moves cost {:.1} MJ{}",
                    count_words(point.moves as usize, "move"),
                    point.objective_mj,
                    100.0 * point.gain_share,
                    point.move_cost_mj,
                    if is_best { "; pays best" } else { "" }
                ),
            }
        })
        .collect();
    let listed = curve.iter().find(|point| point.moves == document.listed_moves);
    RegroupView {
        headline: format!(
            "{} in {}: {:.1} MJ {counted} as they stand",
            count_words(regrouped.plan.ewes.len(), "ewe"),
            count_words(regrouped.plan.pens.len(), "pen"),
            document.old_objective_mj
        ),
        curve_title: format!("Moves, and the {counted} they leave"),
        moves_axis: "Ewes moved".to_owned(),
        misfit_axis: format!("{}, weighted MJ over the period", capital(counted)),
        with_moves_title: format!("{}, and what the moves cost", capital(counted)),
        listed: document.listed_moves,
        listed_words: listed.map_or_else(String::new, |point| point.words.clone()),
        limits: document.limits_broken.iter().map(|limit| limit.words.clone()).collect(),
        moves_title: if document.moves.is_empty() {
            String::new()
        } else {
            format!(
                "{} in order; after each step no pen holds more than it may, but for one that did before",
                count_words(document.listed_moves as usize, "move")
            )
        },
        moves: document
            .moves
            .into_iter()
            .map(|entry| MoveView {
                step: entry.step,
                tag: entry.tag,
                from: entry.from,
                to: entry.to,
                words: entry.words,
            })
            .collect(),
        advice: document.advice,
        curve,
        basis: document.basis,
        problems: document.problems,
        caution: CAUTION.to_owned(),
    }
}
