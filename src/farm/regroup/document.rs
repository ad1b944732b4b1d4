//! The JSON document of regrouping, and the words that go with its figures.

use crate::day::Day;
use crate::farm::CAUTION;
use crate::farm::regroup::{FORMAT, Regrouped};
use crate::farm::settings::Soft;
use crate::problem::Problem;
use crate::solve::order::Step;
use crate::sort::Plan;
use crate::sort::limits::{BrokenLimit, broken};
use crate::sort::measure::measure;
use crate::sort::regroup::{self as sorted, Regrouping};
use crate::sort::shortfall::count_words;
use serde::Serialize;

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
    /// Ewes kept by hand, who are not moved out of their pens.
    pub kept: Vec<KeptHere>,
    /// Ewes that were not sorted.
    pub set_apart: Vec<String>,
    /// What is wrong or worth knowing.
    pub problems: Vec<Problem>,
}

/// A ewe kept by hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct KeptHere {
    /// Her tag.
    pub tag: String,
    /// The pen in which she is kept.
    pub pen: String,
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
    /// The pen she leaves; null where she waits outside.
    pub from: Option<String>,
    /// The pen she goes to; null where she is to wait outside until there is room.
    pub to: Option<String>,
    /// Whether her old pen breaks a limit as she leaves it.
    pub forced: bool,
    /// What the whole step takes off the objective, weighted MJ; below 0 where it only makes room. For a ewe
    /// who waits it is told where she goes in.
    pub step_gain_mj: f64,
    /// Energy that she was short of or over as she stood, MJ ME a day, mean of the period; below 0 is short.
    pub before_mj_per_day: f64,
    /// The same once all listed moves are made.
    pub after_mj_per_day: f64,
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
    let kept: Vec<KeptHere> = plan
        .ewes
        .iter()
        .filter_map(|ewe| {
            let pen = plan.pens.get(ewe.kept?)?.name.clone();
            Some(KeptHere { tag: ewe.ewe.tag.clone(), pen })
        })
        .collect();
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
        advice: advice(plan, found, !limits_broken.is_empty()),
        limits_broken,
        moves: moves(regrouped, listed),
        basis: basis(wish.move_cost_mj, &kept),
        kept,
        set_apart: set_apart.clone(),
        problems: problems.clone(),
    }
}

/// What the objective is, in a word.
pub(super) fn counted(plan: &Plan) -> &'static str {
    if plan.settings.soft == Soft::default() { "misfit" } else { "misfit and all else that counts" }
}

fn advice(plan: &Plan, found: &Regrouping, breaks: bool) -> String {
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
            "Moving {} pays best: {gain:.1} MJ less {} ({:.0} %), and the moves themselves cost {:.1} MJ.",
            count_words(best.moves, "ewe"),
            counted(plan),
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
    let Some(point) = found.points.get(listed) else { return Vec::new() };
    let (before, after) = (measure(plan, old), measure(plan, &point.assignment));
    let steps = found.steps(plan, old, listed);
    (1..)
        .zip(&steps)
        .flat_map(|(number, step)| step.parts.iter().map(move |part| (number, step, part)))
        .map(|(number, step, part)| {
            let balance = [
                before.balance_mj_per_day(plan, part.item, old[part.item]),
                after.balance_mj_per_day(plan, part.item, point.assignment[part.item]),
            ];
            let pen = |pen: Option<usize>| pen.map(|pen| plan.pens[pen].name.clone());
            let tag = plan.ewes[part.item].ewe.tag.clone();
            let (from, to) = (pen(part.from), pen(part.to));
            MoveEntry {
                step: number,
                words: format!(
                    "{number}. {tag} {}",
                    move_words(step, (from.as_deref(), to.as_deref()), balance, counted(plan))
                ),
                tag,
                from,
                to,
                forced: step.forced,
                step_gain_mj: -step.change,
                before_mj_per_day: balance[0],
                after_mj_per_day: balance[1],
            }
        })
        .collect()
}

/// What a move is and what it buys, the tag left out.
fn move_words(
    step: &Step,
    (from, to): (Option<&str>, Option<&str>),
    [before, after]: [f64; 2],
    counted: &str,
) -> String {
    let gain = -step.change;
    // Less than what is written with one decimal is no change.
    let buys = if gain.abs() < 0.05 {
        format!("no change in {counted}")
    } else if gain > 0.0 {
        format!("{gain:.1} MJ less {counted}")
    } else {
        format!("{:.1} MJ more {counted}, to make room", -gain)
    };
    let forced = if step.forced { "; a limit is broken there, so somebody must go" } else { "" };
    let together = match step.parts.len() {
        1 => String::new(),
        count => format!(" with {} at the same time", count_words(count - 1, "other ewe")),
    };
    let herself = format!("; she was {}, and will be {}", balance_words(before), balance_words(after));
    match (from, to) {
        (Some(from), Some(to)) => format!("from pen {from} to pen {to}{together}: {buys}{herself}{forced}."),
        (None, Some(to)) => format!("from outside to pen {to}{together}: {buys}{herself}."),
        (Some(from), None) => format!("out of pen {from}, and hold her outside until there is room{forced}."),
        (None, None) => String::new(),
    }
}

/// Fed short or over, in words.
fn balance_words(mj_per_day: f64) -> String {
    if mj_per_day.abs() < 0.05 {
        "fed to her need".to_owned()
    } else if mj_per_day < 0.0 {
        format!("{:.1} MJ a day short", -mj_per_day)
    } else {
        format!("{mj_per_day:.1} MJ a day over")
    }
}

fn basis(move_cost_mj: Option<f64>, kept: &[KeptHere]) -> String {
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
    let kept: Vec<String> = kept.iter().map(|kept| format!("{} in pen {}", kept.tag, kept.pen)).collect();
    let kept = if kept.is_empty() {
        String::new()
    } else {
        format!(" Kept by hand, so not moved: {}.", kept.join(", "))
    };
    format!(
        "{cost} A move must still gain were her score half a point off. The curve is not proved; for flocks of \
         {} or fewer every point was searched for all there is, within a budget.{kept}",
        sorted::FEW
    )
}
