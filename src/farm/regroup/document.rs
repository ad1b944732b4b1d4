//! The JSON document of regrouping, and the words that go with its figures.

use crate::day::Day;
use crate::farm::CAUTION;
use crate::farm::regroup::{FORMAT, Regrouped};
use crate::problem::Problem;
use crate::sort::limits::{BrokenLimit, broken};
use crate::sort::regroup::{self as sorted, Regrouping};
use crate::sort::shortfall::count_words;
use serde::Serialize;

/// So many ewes change places at a gate; more need a pen to wait in (common practice, no source).
const HELD_AT_THE_GATE: usize = 3;

/// The document; its schema is `data/schema/regroup.schema.json`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RegroupDocument {
    /// The version of this document's shape.
    pub format: &'static str,
    /// `regrouped`.
    pub status: &'static str,
    /// One line of caution that goes with every figure here.
    pub caution: &'static str,
    /// First day of the feeding period.
    pub on: Day,
    /// Days in the feeding period.
    pub period_days: u32,
    /// The objective as the ewes stand, weighted MJ over the period.
    pub old_objective_mj: f64,
    /// Limits that the old pens break.
    pub limits_broken: Vec<BrokenLimit>,
    /// Moves that mend them, not proved the fewest; 0 where none is broken.
    pub forced_moves: u32,
    /// What was set for a move, weighted MJ; null where it is reckoned.
    pub move_cost_mj: Option<f64>,
    /// The curve: moves rise, the objective falls.
    pub curve: Vec<CurvePoint>,
    /// Moves of the point that pays best.
    pub best_moves: u32,
    /// Moves of the point whose moves are listed.
    pub listed_moves: u32,
    /// What to do, in words.
    pub advice: String,
    /// The moves, in an order that overfills no pen; those of one step go together.
    pub moves: Vec<MoveEntry>,
    /// What the costs and the curve stand on.
    pub basis: String,
    /// Ewes that were not sorted.
    pub set_apart: Vec<String>,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
}

/// A point of the curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CurvePoint {
    /// Ewes moved.
    pub moves: u32,
    /// The objective, weighted MJ over the period.
    pub objective_mj: f64,
    /// The share of the whole gain of the curve, 0 to 1.
    pub gain_share: f64,
    /// What the moves themselves cost, weighted MJ.
    pub move_cost_mj: f64,
}

/// A move.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MoveEntry {
    /// Its step, from 1.
    pub step: u32,
    /// Her tag.
    pub tag: String,
    /// The pen she leaves.
    pub from: String,
    /// The pen she goes to.
    pub to: String,
    /// Whether her old pen breaks a limit as she leaves it.
    pub forced: bool,
    /// What the whole step takes off the objective, weighted MJ; below 0 where it only makes room.
    pub step_gain_mj: f64,
    /// The same in words.
    pub words: String,
}

/// The document.
pub(super) fn document(regrouped: &Regrouped) -> RegroupDocument {
    let Regrouped { plan, old, found, wish, set_apart, problems } = regrouped;
    let limits_broken = broken(plan, old);
    let points = &found.points;
    let listed = wish.moves.map_or(found.best, |moves| found.within(moves));
    let first = points.first().map_or(0.0, |point| point.objective);
    let whole = first - points.last().map_or(0.0, |point| point.objective);
    let moves_of = |index: usize| points.get(index).map_or(0, |point| point.moves as u32);
    RegroupDocument {
        format: FORMAT,
        status: "regrouped",
        caution: CAUTION,
        on: plan.settings.on,
        period_days: plan.days.len() as u32,
        old_objective_mj: found.old_objective,
        forced_moves: moves_of(0),
        move_cost_mj: wish.move_cost_mj,
        curve: points
            .iter()
            .map(|point| CurvePoint {
                moves: point.moves as u32,
                objective_mj: point.objective,
                gain_share: if whole > 0.0 { (first - point.objective) / whole } else { 0.0 },
                move_cost_mj: point.move_cost,
            })
            .collect(),
        best_moves: moves_of(found.best),
        listed_moves: moves_of(listed),
        advice: advice(found, !limits_broken.is_empty()),
        limits_broken,
        moves: moves(regrouped, listed),
        basis: basis(wish.move_cost_mj),
        set_apart: set_apart.clone(),
        problems: problems.clone(),
    }
}

fn advice(found: &Regrouping, breaks: bool) -> String {
    let (Some(first), Some(best)) = (found.points.first(), found.points.get(found.best)) else {
        return String::new();
    };
    let mut words = String::new();
    if breaks {
        words = format!("The old pens break limits: {} to mend that. ", count_words(first.moves, "move"));
    }
    if found.best > 0 {
        let gain = first.objective - best.objective;
        words.push_str(&format!(
            "{} pays best: {gain:.1} MJ less misfit ({:.0} %), and the moves themselves cost {:.1} MJ.",
            count_words(best.moves, "move"),
            100.0 * gain / first.objective.max(f64::MIN_POSITIVE),
            best.move_cost
        ));
    } else if found.held {
        words.push_str(&format!(
            "Otherwise leave the ewes where they stand: what moves would gain is not over {:.0} % of the \
             objective.",
            100.0 * sorted::WORTH_FROM
        ));
    } else {
        words.push_str("Otherwise leave the ewes where they stand: no move gains what it costs.");
    }
    if breaks { words } else { words.replacen("Otherwise leave", "Leave", 1) }
}

fn moves(regrouped: &Regrouped, listed: usize) -> Vec<MoveEntry> {
    let Regrouped { plan, old, found, .. } = regrouped;
    let name = |pen: usize| plan.pens[pen].name.clone();
    let mut entries = Vec::new();
    for (number, step) in (1..).zip(found.steps(plan, old, listed)) {
        let gain = -step.change;
        let buys = if gain >= 0.0 {
            format!("{gain:.1} MJ less misfit")
        } else {
            format!("{:.1} MJ more misfit, to make room", -gain)
        };
        let together = match step.parts.len() {
            1 => String::new(),
            count if count <= HELD_AT_THE_GATE => {
                format!(" with {} at the same time", count_words(count - 1, "other ewe"))
            }
            count => format!(
                " with {} at the same time: there is no room on the way, so hold them all outside first",
                count_words(count - 1, "other ewe")
            ),
        };
        for &(ewe, to) in &step.parts {
            let tag = plan.ewes[ewe].ewe.tag.clone();
            let forced = if step.forced { "; a limit is broken there, so somebody must go" } else { "" };
            let words = format!(
                "{number}. {tag} from pen {} to pen {}{together}: {buys}{forced}.",
                name(old[ewe]),
                name(to)
            );
            entries.push(MoveEntry {
                step: number,
                tag,
                from: name(old[ewe]),
                to: name(to),
                forced: step.forced,
                step_gain_mj: gain,
                words,
            });
        }
    }
    entries
}

fn basis(move_cost_mj: Option<f64>) -> String {
    let cost = move_cost_mj.map_or_else(
        || {
            format!(
                "A move costs a ewe {:.0} % of her intake for {:.0} days, and a pen that receives any {:.0} % once; \
                 {:.0} times as much within {} days of lambing (derived; nothing is measured in late pregnancy).",
                100.0 * sorted::MOVED_LOSES,
                sorted::LOST_DAYS,
                100.0 * sorted::RECEIVING_LOSES,
                sorted::NEAR_LAMBING_TIMES,
                sorted::NEAR_LAMBING_DAYS
            )
        },
        |cost| format!("A move costs {cost} MJ, as set."),
    );
    format!(
        "{cost} A move must still gain were her score half a point off. The curve is not proved: of 480 \
         points of small flocks 6 were not the best possible, and one missed nearly the whole gain."
    )
}
