//! Which moves are worth making from where the ewes stand: the document, and what a chart draws.

use crate::day::Day;
use crate::farm::document::{ImpossibleDocument, RefusedDocument};
use crate::farm::settings::{Settings, Soft};
use crate::farm::{BrokenLimit, CAUTION, FaultyRows, Files, Prepared, Refusal, Shortfall, assigned, report};
use crate::problem::{Problem, Severity};
use crate::solve::order::Step;
use crate::sort::limits::broken;
use crate::sort::measure::measure;
use crate::sort::regroup::{self as sorted, Regrouping};
use crate::sort::shortfall::count_words;
use crate::sort::{Outcome, Plan, into_pens};
use serde::Serialize;

/// The version of the document's shape.
pub const FORMAT: &str = "evenfold-regroup-1";

/// The most points that the view shows.
const SHOWN: usize = 24;

/// What the person asking wants otherwise than usual.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wish {
    /// List the moves for at most so many.
    pub moves: Option<usize>,
    /// What a move costs, weighted MJ.
    pub move_cost_mj: Option<f64>,
}

/// The answer.
#[derive(Debug)]
pub enum RegroupAnswer {
    /// A curve and moves.
    Regrouped(Box<Regrouped>),
    /// The old pens break limits and nothing within them was found.
    Impossible {
        /// What is short.
        shortfall: Shortfall,
        /// What else is wrong or worth knowing.
        problems: Vec<Problem>,
    },
    /// Something must be put right first.
    Refused {
        /// What is wrong.
        problems: Vec<Problem>,
    },
}

/// A curve and moves, as a document and ready to draw.
#[derive(Debug)]
pub struct Regrouped {
    /// The document.
    pub document: RegroupDocument,
    /// What the page draws.
    pub view: RegroupView,
}

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
    /// Points of the curve, thinned.
    pub curve: Vec<CurvePointView>,
    /// Over the moves; empty where there are none.
    pub moves_title: String,
    /// The moves in their order.
    pub moves: Vec<MoveView>,
    /// What the figures stand on.
    pub basis: String,
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
    /// The line.
    pub words: String,
}

/// Reads the files and where the ewes stand, and says which moves are worth making.
pub fn regroup(
    files: Files<'_>,
    lists: &[&[u8]],
    settings: &Settings,
    faulty_rows: FaultyRows,
    wish: Wish,
) -> RegroupAnswer {
    if wish.move_cost_mj.is_some_and(|cost| !(cost.is_finite() && cost >= 0.0)) {
        return RegroupAnswer::Refused {
            problems: vec![Problem::new(
                Severity::Error,
                "move-cost-wrong",
                "move cost",
                "What a move costs must be 0 MJ or more.".to_owned(),
                "Leave it out to have it reckoned.",
            )],
        };
    }
    let assigned::Assigned { prepared, assignment: old } =
        match assigned::read(files, lists, settings, faulty_rows) {
            Ok(assigned) => assigned,
            Err(Refusal { problems, .. }) => return RegroupAnswer::Refused { problems },
        };
    let Prepared { plan, set_apart, problems } = prepared;
    let outcome = into_pens(&plan);
    let best = match &outcome {
        Outcome::Sorted(best) => Some(best.assignment.as_slice()),
        Outcome::Impossible(_) => None,
    };
    let Some(found) = sorted::regroup(&plan, &old, best, wish.move_cost_mj) else {
        return match outcome {
            Outcome::Impossible(shortfall) => RegroupAnswer::Impossible { shortfall, problems },
            Outcome::Sorted(_) => RegroupAnswer::Refused { problems },
        };
    };
    let apart = set_apart.into_iter().map(|apart| apart.tag).collect();
    let document = document(&plan, &old, &found, wish, apart, problems);
    let view = view(&plan, &document);
    RegroupAnswer::Regrouped(Box::new(Regrouped { document, view }))
}

impl RegroupAnswer {
    /// The answer as one JSON document.
    pub fn to_json(&self) -> String {
        match self {
            Self::Regrouped(regrouped) => report::to_json(&regrouped.document),
            Self::Impossible { shortfall, problems } => {
                let document = ImpossibleDocument::new(shortfall, problems);
                report::to_json(&ImpossibleDocument { format: FORMAT, ..document })
            }
            Self::Refused { problems } => {
                report::to_json(&RefusedDocument { format: FORMAT, ..RefusedDocument::new(problems) })
            }
        }
    }
}

fn document(
    plan: &Plan,
    old: &[usize],
    found: &Regrouping,
    wish: Wish,
    set_apart: Vec<String>,
    problems: Vec<Problem>,
) -> RegroupDocument {
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
        advice: advice(plan, found, !limits_broken.is_empty()),
        limits_broken,
        moves: moves(plan, old, found, listed),
        basis: basis(wish),
        set_apart,
        problems,
    }
}

/// What the objective is, in a word.
fn counted(plan: &Plan) -> &'static str {
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
            "{} pays best: {gain:.1} MJ less {} ({:.0} %), and the moves themselves cost {:.1} MJ.",
            count_words(best.moves, "move"),
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

fn moves(plan: &Plan, old: &[usize], found: &Regrouping, listed: usize) -> Vec<MoveEntry> {
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
    let buys = if gain >= 0.0 {
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

fn basis(wish: Wish) -> String {
    let cost = wish.move_cost_mj.map_or_else(
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
        "{cost} A move must still gain were her score half a point off. The curve is not proved; for flocks of \
         {} or fewer every point was searched for all there is, within a budget.",
        sorted::FEW
    )
}

fn view(plan: &Plan, document: &RegroupDocument) -> RegroupView {
    let step = document.curve.len().div_ceil(SHOWN).max(1);
    let last = document.curve.len().saturating_sub(1);
    let shown = |index: usize, point: &CurvePoint| {
        index.is_multiple_of(step) || index == last || point.moves == document.best_moves
    };
    RegroupView {
        headline: format!(
            "{} in {}: {:.1} MJ {} as they stand",
            count_words(plan.ewes.len(), "ewe"),
            count_words(plan.pens.len(), "pen"),
            document.old_objective_mj,
            counted(plan)
        ),
        advice: document.advice.clone(),
        curve_title: format!("Moves, and the {} they leave", counted(plan)),
        curve: document
            .curve
            .iter()
            .enumerate()
            .filter(|(index, point)| shown(*index, point))
            .map(|(_, point)| {
                let is_best = point.moves == document.best_moves;
                CurvePointView {
                    moves: point.moves,
                    objective_mj: point.objective_mj,
                    with_moves_mj: point.objective_mj + point.move_cost_mj,
                    is_best,
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
            .collect(),
        moves_title: if document.moves.is_empty() {
            String::new()
        } else {
            format!(
                "{} in order; after each step no pen holds more than it may, but for one that did before",
                count_words(document.moves.len(), "move")
            )
        },
        moves: document
            .moves
            .iter()
            .map(|entry| MoveView { step: entry.step, tag: entry.tag.clone(), words: entry.words.clone() })
            .collect(),
        basis: document.basis.clone(),
        caution: CAUTION.to_owned(),
    }
}
