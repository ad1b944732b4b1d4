//! Which moves are worth making from where the ewes stand: the curve of objective against moves, the point on
//! it that pays, and an order of moves.
//!
//! A move must survive the score's own error: each ewe is charged, for every pen but her own, what half a score
//! nearer to what her old pen suits would take off the gain. The curve is found with that charge, and its
//! figures are told without it.

use crate::requirement::condition::{self, Body};
use crate::solve::front;
pub use crate::solve::front::FEW;
use crate::solve::instance::Instance;
use crate::solve::order::{self, Step};
use crate::sort::Plan;

/// How far one score may be out before a move counts on it: half a point, two standard deviations of a score
/// given to the half point (0.25, derived, as in `requirement::score`; the two is our choice, no source).
pub const SCORE_ERROR: f64 = 0.5;
/// Intake that a moved ewe loses, and for how many days: derived default; no measurement in late pregnancy was
/// found.
pub const MOVED_LOSES: f64 = 0.10;
/// The same for the ewes of a pen that receives any, once however many come: derived default.
pub const RECEIVING_LOSES: f64 = 0.03;
/// Days for which intake is lost: derived default.
pub const LOST_DAYS: f64 = 3.0;
/// Inside so many days of lambing the charge is trebled: derived default.
pub const NEAR_LAMBING_DAYS: u32 = 21;
/// By how much: derived default.
pub const NEAR_LAMBING_TIMES: f64 = 3.0;
/// The old pens hold unless more than this share of the objective is gained: derived default.
pub const WORTH_FROM: f64 = 0.02;

/// A number of moves, and what it comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Ewes moved.
    pub moves: usize,
    /// The objective.
    pub objective: f64,
    /// What the moves themselves cost, weighted MJ.
    pub move_cost: f64,
    /// The pen of each ewe.
    pub assignment: Vec<usize>,
}

/// The curve and what is worth doing.
#[derive(Debug, Clone)]
pub struct Regrouping {
    /// The objective as the ewes stand.
    pub old_objective: f64,
    /// The curve: moves rise, the objective falls.
    pub points: Vec<Point>,
    /// The point that pays best, by position.
    pub best: usize,
    /// Whether a better point was left because its gain is too small a share.
    pub held: bool,
}

/// The curve of regrouping; nothing where the old pens break limits and no sort within them was found.
pub fn regroup(
    plan: &Plan,
    old: &[usize],
    best: Option<&[usize]>,
    move_cost_mj: Option<f64>,
) -> Option<Regrouping> {
    let instance = &plan.instance;
    let sure = charged(plan, old);
    let mut points: Vec<Point> = Vec::new();
    for point in front::front(&sure, old, best)? {
        let objective = instance.cost(&point.assignment);
        if points.last().is_none_or(|last| objective < last.objective) {
            let move_cost = move_cost(plan, old, &point.assignment, move_cost_mj);
            points.push(Point { moves: point.moves, objective, move_cost, assignment: point.assignment });
        }
    }
    let total = |point: &Point| point.objective + point.move_cost;
    let first = points.first()?;
    let cheapest = (0..points.len()).min_by(|&a, &b| total(&points[a]).total_cmp(&total(&points[b])))?;
    let gain = first.objective - points[cheapest].objective;
    let held = cheapest > 0 && gain <= WORTH_FROM * first.objective;
    let best = if held { 0 } else { cheapest };
    Some(Regrouping { old_objective: instance.cost(old), points, best, held })
}

impl Regrouping {
    /// The point with the most moves of at most so many; where even mending takes more, the mending.
    pub fn within(&self, moves: usize) -> usize {
        self.points.iter().rposition(|point| point.moves <= moves).unwrap_or(0)
    }

    /// The moves to a point, in an order that overfills no pen.
    pub fn steps(&self, plan: &Plan, old: &[usize], point: usize) -> Vec<Step> {
        self.points
            .get(point)
            .map_or_else(Vec::new, |point| order::order(&plan.instance, old, &point.assignment))
    }
}

/// What the moves themselves cost, in weighted MJ: intake lost counts as fed below need.
pub fn move_cost(plan: &Plan, old: &[usize], new: &[usize], each_mj: Option<f64>) -> f64 {
    let is_moved = |ewe: usize| old[ewe] != new[ewe];
    let moved: Vec<usize> = (0..new.len()).filter(|&ewe| is_moved(ewe)).collect();
    if let Some(each) = each_mj {
        return each * moved.len() as f64;
    }
    let intake_mj = |ewe: usize| {
        let planned = &plan.ewes[ewe];
        let near = planned.days_to_lambing(plan.settings.on) <= NEAR_LAMBING_DAYS;
        let mj = planned.needs.first().map_or(0.0, |need| need.me.value());
        mj * LOST_DAYS * plan.instance.slopes_of(ewe)[0] * if near { NEAR_LAMBING_TIMES } else { 1.0 }
    };
    let mut receives = vec![false; plan.instance.bins.len()];
    for &ewe in &moved {
        receives[new[ewe]] = true;
    }
    (0..new.len())
        .map(|ewe| match (is_moved(ewe), receives[new[ewe]]) {
            (true, _) => MOVED_LOSES * intake_mj(ewe),
            (false, true) => RECEIVING_LOSES * intake_mj(ewe),
            (false, false) => 0.0,
        })
        .sum()
}

/// The problem with what the score's error may feign charged on every pen but a ewe's own.
fn charged(plan: &Plan, old: &[usize]) -> Instance {
    let instance = &plan.instance;
    let bins = instance.bins.len();
    let others = [rescored(plan, -SCORE_ERROR), rescored(plan, SCORE_ERROR)];
    let mut levels = vec![vec![0.0; instance.axes()]; bins];
    for (members, levels) in instance.members(old).iter().zip(&mut levels) {
        instance.best_levels(members, levels, &mut Vec::new());
    }
    let mut costs = Vec::with_capacity(old.len() * bins);
    for (ewe, &home) in old.iter().enumerate() {
        let gain =
            |of: &Instance, pen: usize| of.item_loss(ewe, &levels[home]) - of.item_loss(ewe, &levels[pen]);
        for pen in 0..bins {
            let known = gain(instance, pen);
            let feigned = others.iter().map(|other| known - gain(other, pen)).fold(0.0, f64::max);
            costs.push(instance.place_cost(ewe, pen) + if pen == home { 0.0 } else { feigned });
        }
    }
    Instance { place_cost: Some(costs), ..instance.clone() }
}

/// The problem as if every ewe had been scored so much higher.
fn rescored(plan: &Plan, by: f64) -> Instance {
    let mut instance = plan.instance.clone();
    let axes = instance.axes();
    for (ewe, needs) in plan.ewes.iter().zip(instance.need.chunks_exact_mut(axes)) {
        let body = Body {
            score: (ewe.filled.condition + by).clamp(1.0, 5.0),
            target: ewe.target,
            weight: ewe.filled.weight,
            litter: ewe.litter,
            days_to_lambing: ewe.days_to_lambing(plan.settings.on),
        };
        let correction = condition::correction(&body);
        // The first axes are the energy densities by day.
        for ((need, value), &day) in ewe.needs.iter().zip(needs).zip(&plan.days) {
            let days = ewe.days_to_lambing(day);
            *value += (correction.on(days).value() - ewe.correction.on(days).value()) / need.intake.value();
        }
    }
    instance
}
