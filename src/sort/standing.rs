//! Sorting again from where the ewes stand: whoever goes to another pen counts for the cost of a move.

use crate::solve::front::front;
use crate::solve::instance::Instance;
use crate::solve::search::{self, Proof, Solution};
use crate::sort::Plan;

/// Where the ewes of a plan stand before the sort, and what moving one of them counts for.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// The pen of each ewe of the plan.
    pub pens: Vec<usize>,
    /// What a move counts for, weighted MJ.
    pub move_cost_mj: f64,
}

impl Standing {
    /// How many go to another pen.
    pub fn moved(&self, assignment: &[usize]) -> usize {
        self.pens.iter().zip(assignment).filter(|(old, new)| old != new).count()
    }
}

impl Plan {
    /// The same plan with every move from where its ewes stand charged.
    #[must_use]
    pub fn charging_moves(mut self, standing: Standing) -> Self {
        let bins = self.instance.bins.len();
        let cost = |home: usize, pen: usize| if pen == home { 0.0 } else { standing.move_cost_mj };
        let of_ewe = |&home: &usize| (0..bins).map(move |pen| cost(home, pen));
        self.instance.place_cost = Some(standing.pens.iter().flat_map(of_ewe).collect());
        self.standing = Some(standing);
        self
    }
}

/// The better of a sort and the best point of the curve of moves from where the ewes stand. A sort that starts
/// from nothing is apt to end far from there; the curve begins there. What bounds the one bounds the other.
pub(super) fn nearer(plan: &Plan, solution: Solution) -> Solution {
    let Some(standing) = &plan.standing else { return solution };
    if matches!(solution.proof, Proof::Split | Proof::Exhausted) {
        return solution;
    }
    let free = Instance { place_cost: None, ..plan.instance.clone() };
    let cost = |moves: usize, loss: f64| loss + standing.move_cost_mj * moves as f64;
    front(&free, &standing.pens, Some(&solution.assignment))
        .unwrap_or_default()
        .into_iter()
        .min_by(|a, b| cost(a.moves, a.loss).total_cmp(&cost(b.moves, b.loss)))
        .and_then(|point| search::mended(&plan.instance, point.assignment))
        .map(|assignment| Solution { loss: plan.instance.cost(&assignment), assignment, ..solution.clone() })
        .filter(|nearer| nearer.loss < solution.loss)
        .map_or(solution, |nearer| Solution { bound: nearer.bound.min(nearer.loss), ..nearer })
}
