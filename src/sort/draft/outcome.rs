//! What a draft came to, beside the sort that knows the whole flock.

use crate::solve::front;
use crate::solve::instance::Assignment;
use crate::solve::search::{self, Effort, Solution, Status};
use crate::sort::draft::Draft;
use crate::sort::{Plan, PlannedEwe, Settings};

/// The share of the flock that may change places once all are in.
pub const FEW_MOVES: f64 = 0.03;

/// A draft that is over, and what it is compared with. Only ewes with a pen count.
#[derive(Debug, Clone)]
pub struct Outcome {
    /// The same ewes as one problem.
    pub plan: Plan,
    /// The pen of each.
    pub drafted: Assignment,
    /// Where the gate had fewer ways than pens: where each stands once the ways are sorted out.
    pub evening: Option<Assignment>,
    /// Objective as drafted (after the evening's sorting where there is one), weighted MJ over the period.
    pub objective_mj: f64,
    /// The sort that knows all of them beforehand; nothing where none was found.
    pub all_knowing: Option<Solution>,
    /// The most ewes that may change places: 3 % of the flock.
    pub most_moves: usize,
    /// With at most so many moved: how many are, the objective, and where each stands.
    pub moved: Option<(usize, f64, Assignment)>,
}

impl Outcome {
    /// Objective over that of the all-knowing sort; 1 where both are nought.
    pub fn ratio(&self) -> Option<f64> {
        Some(ratio(self.objective_mj, self.all_knowing.as_ref()?.loss))
    }

    /// The same after the few moves.
    pub fn ratio_after_moves(&self) -> Option<f64> {
        Some(ratio(self.moved.as_ref()?.1, self.all_knowing.as_ref()?.loss))
    }
}

fn ratio(objective: f64, best: f64) -> f64 {
    if best > 0.0 { objective / best } else { 1.0 }
}

/// Sums up a draft.
pub fn outcome(draft: &Draft) -> Outcome {
    let (ewes, drafted): (Vec<_>, Vec<_>) =
        draft.placed.iter().map(|(ewe, pen)| (PlannedEwe::clone(ewe), *pen)).unzip();
    let plan = Plan::of(ewes, draft.pens.clone(), draft.days.clone(), &draft.settings);
    let evening = draft.ways.as_ref().map(|ways| sorted_out(&plan, &drafted, ways));
    let stands = evening.as_ref().unwrap_or(&drafted);
    let objective = plan.instance.cost(stands);
    let all_knowing = match search::solve(&plan.instance, Settings::SEED, Effort::default()) {
        Status::Solved(solution) => Some(solution),
        _ => None,
    };
    let most_moves = libm::floor(FEW_MOVES * drafted.len() as f64) as usize;
    let best = all_knowing.as_ref().map(|best| best.assignment.as_slice());
    let moved = front::front(&plan.instance, stands, best).and_then(|points| {
        let within = points.into_iter().rfind(|point| point.moves <= most_moves)?;
        let objective = plan.instance.cost(&within.assignment);
        Some((within.moves, objective, within.assignment))
    });
    Outcome { evening, objective_mj: objective, all_knowing, most_moves, moved, plan, drafted }
}

/// The best sort in which everybody stays in the pens of her way.
fn sorted_out(plan: &Plan, drafted: &[usize], ways: &[usize]) -> Assignment {
    let mut instance = plan.instance.clone();
    for (mask, &pen) in instance.allowed.iter_mut().zip(drafted) {
        let way = ways.iter().enumerate().filter(|&(_, way)| Some(way) == ways.get(pen));
        *mask &= way.fold(0, |mask, (pen, _)| mask | 1 << pen);
    }
    match search::solve(&instance, Settings::SEED, Effort::default()) {
        Status::Solved(solution) if solution.loss < instance.cost(drafted) => solution.assignment,
        _ => drafted.to_vec(),
    }
}
