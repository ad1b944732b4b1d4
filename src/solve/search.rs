//! The whole solve: starts, restarts, polish and bound, layered so that each makes up for the other's gaps.
//!
//! Where the split is the optimum, it is the answer. Elsewhere it is one of several starts, each of them
//! polished by local search; small problems are then searched through. "Impossible" is said only when it
//! is proved, by the bound's relaxation or by the exact search.

use crate::arrange::Arrange as _;
use crate::solve::bound::{Bound, lower_bound};
use crate::solve::certificate::{self, Certificate};
use crate::solve::exact::{self, Outcome};
use crate::solve::improve::Search;
use crate::solve::instance::{Assignment, Instance};
use crate::solve::pack;
use crate::solve::runs::{self, Room};
use crate::solve::seed;
use rand_xoshiro::Xoshiro256Plus;
use rand_xoshiro::rand_core::{RngCore, SeedableRng};

/// How much work to do; all counted in steps, never in time.
#[derive(Debug, Clone, Copy)]
pub struct Effort {
    /// Table cells that one split may fill, and the bound in all.
    pub cells: usize,
    /// Entries of the loss table that restarts may compute.
    pub table_entries: usize,
    /// Up to this many items are searched through.
    pub exact_items: usize,
    /// Nodes of the exact search.
    pub nodes: usize,
}

impl Default for Effort {
    fn default() -> Self {
        Self { cells: 600_000, table_entries: 24_000_000, exact_items: 30, nodes: 250_000 }
    }
}

/// How the answer came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Proof {
    /// The split along one line is the optimum here.
    Split,
    /// Every assignment was tried or ruled out.
    Exhausted,
    /// The bound says how far from the optimum it can be.
    Bound,
    /// The same, the bound raised by pricing.
    Priced,
}

/// An assignment with its certificate.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// The bin of each item.
    pub assignment: Assignment,
    /// Its loss.
    pub loss: f64,
    /// No assignment loses less than this.
    pub bound: f64,
    /// Why.
    pub proof: Proof,
}

impl Solution {
    /// Whether the answer may not be the best: then a certificate may bring the bound nearer.
    pub fn is_open(&self) -> bool {
        matches!(self.proof, Proof::Bound | Proof::Priced) && self.bound < self.loss
    }

    /// A certificate to raise the bound with, step by step; nothing where the answer is proved best already.
    pub fn certificate(&self, instance: &Instance, effort: certificate::Effort) -> Option<Certificate> {
        self.is_open().then(|| Certificate::new(instance, &self.assignment, self.bound, effort))
    }

    /// Takes over the bound of a certificate.
    pub fn raise(&mut self, certificate: &Certificate) {
        if certificate.bound() > self.bound {
            self.bound = certificate.bound().min(self.loss);
            self.proof = Proof::Priced;
        }
    }
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub enum Status {
    /// An assignment that keeps all limits.
    Solved(Solution),
    /// Proved: no assignment keeps all limits.
    Impossible,
    /// None was found, and none was ruled out.
    Undecided,
}

/// How far levels are shaken in a restart, as a share.
const SHAKE: f64 = 0.08;
/// The most items for which a plan is searched for one by one where the quick way found none.
const DEEPEST_SEARCH: usize = 200;
/// So near the bound, as a share, no restart is worth its time.
const NEAR_ENOUGH: f64 = 2e-4;
/// So near the bound, as a share, a restart is not worth its time once it costs some (chosen here: as near as a certificate
/// is asked to come at this size).
const NEAR_FOR_MANY: f64 = 5e-3;
/// The most restarts (chosen here).
const MOST_RESTARTS: usize = 60;
/// After so many restarts that came back to the best, another is not worth its time (chosen here: on 46 invented flocks the
/// loss was at most 0.11 % above that of all sixty).
const ENOUGH_RETURNS: usize = 4;
/// Entries of the loss table before that is asked: a small problem is shaken as often as the budget allows, since
/// that costs next to nothing (chosen here).
const LEAST_ENTRIES: usize = 1_000_000;
/// Losses that differ by less than this share are of one assignment, but for the rounding of sums.
const SAME: f64 = 1e-9;
/// Rounds of polish for one start.
const ROUNDS: usize = 40;
/// Rounds that a start is reckoned to take, for the budget.
const USUAL_ROUNDS: usize = 12;

/// Solves an instance. The same instance, seed and effort give the same answer on any machine.
pub fn solve(instance: &Instance, seed: u64, effort: Effort) -> Status {
    if instance.items() == 0 {
        return Status::Solved(Solution {
            assignment: Vec::new(),
            loss: 0.0,
            bound: 0.0,
            proof: Proof::Exhausted,
        });
    }
    let Bound::AtLeast(bound) = lower_bound(instance, effort.cells) else { return Status::Impossible };
    let split = runs::best(instance, Room::True, &instance.ranges(1), effort.cells);
    if runs::split_is_exact(instance) && split.as_ref().is_some_and(|split| split.exact_tables) {
        if let Some(assignment) = split.and_then(|split| split.assignment) {
            let loss = instance.cost(&assignment);
            return Status::Solved(Solution { assignment, loss, bound: loss, proof: Proof::Split });
        }
        return Status::Impossible;
    }
    let mut best = best_start(instance, split.and_then(|split| split.assignment), seed)
        .map(|start| polished(instance, start));
    if let Some(found) = best.take() {
        best = Some(restarted(instance, found, (seed, bound), effort));
    }
    finish(instance, best, bound, effort)
}

fn finish(instance: &Instance, best: Option<Assignment>, bound: f64, effort: Effort) -> Status {
    // Where no plan was found a longer search is worth it, but not one so deep that it could not end.
    let search_through =
        instance.items() <= effort.exact_items || (best.is_none() && instance.items() <= DEEPEST_SEARCH);
    let (best, proof) = if search_through {
        match exact::search(instance, best.as_ref(), effort.nodes) {
            Outcome::Optimal(assignment) => (Some(assignment), Proof::Exhausted),
            Outcome::Impossible => return Status::Impossible,
            Outcome::Unfinished(assignment) => {
                (assignment.map(|assignment| polished(instance, assignment)), Proof::Bound)
            }
        }
    } else {
        (best, Proof::Bound)
    };
    let Some(assignment) = best else { return Status::Undecided };
    let loss = instance.cost(&assignment);
    let bound = if proof == Proof::Exhausted { loss } else { bound.min(loss) };
    Status::Solved(Solution { assignment, loss, bound, proof })
}

fn polished(instance: &Instance, assignment: Assignment) -> Assignment {
    let mut search = Search::new(instance, &assignment);
    search.polish(ROUNDS);
    search.assignment()
}

/// Any assignment that keeps the limits, found the quick way; `None` proves nothing.
pub fn any(instance: &Instance, cells: usize) -> Option<Assignment> {
    let split = runs::best(instance, Room::True, &instance.ranges(1), cells);
    best_start(instance, split.and_then(|split| split.assignment), 0)
}

/// The nearest good assignment to one that may break limits: mended, then polished.
pub fn mended(instance: &Instance, assignment: Assignment) -> Option<Assignment> {
    kept_or_mended(instance, assignment).map(|mended| polished(instance, mended))
}

/// An assignment itself where it keeps all limits, or the nearest good one that does.
fn kept_or_mended(instance: &Instance, assignment: Assignment) -> Option<Assignment> {
    if instance.is_feasible(&assignment) {
        return Some(assignment);
    }
    let table = table(instance, &levels_of(instance, &instance.members(&assignment)));
    pack::mend(instance, &assignment, &table)
}

/// The loss of every item in every bin at the best levels of an assignment, which may break limits.
pub fn losses(instance: &Instance, assignment: &[usize]) -> Vec<f64> {
    table(instance, &levels_of(instance, &instance.members(assignment)))
}

/// The loss of every item in every bin at given levels, bin by bin.
fn table(instance: &Instance, levels: &[f64]) -> Vec<f64> {
    let mut table = Vec::with_capacity(instance.items() * instance.bins.len());
    for item in 0..instance.items() {
        for (bin, levels) in levels.chunks_exact(instance.axes()).enumerate() {
            table.push(instance.item_loss(item, levels) + instance.place_cost(item, bin));
        }
    }
    table
}

/// The levels of the bins of an assignment that may break limits.
fn levels_of(instance: &Instance, members: &[Vec<usize>]) -> Vec<f64> {
    let mut levels = vec![0.0; instance.bins.len() * instance.axes()];
    let mut scratch = Vec::new();
    for (members, levels) in members.iter().zip(levels.chunks_exact_mut(instance.axes())) {
        instance.best_levels(members, levels, &mut scratch);
    }
    levels
}

/// The best of several starts that keep the limits.
fn best_start(instance: &Instance, split: Option<Assignment>, seed: u64) -> Option<Assignment> {
    let mut starts: Vec<Assignment> = Vec::new();
    if let Some(split) = split {
        starts.extend(kept_or_mended(instance, split));
    }
    if let Some(groups) = seed::groups(instance, instance.bins.len(), seed) {
        let order = bins_by_level(instance, starts.first());
        let as_if: Assignment = groups.into_iter().map(|group| order[group]).collect();
        let table = table(instance, &levels_of(instance, &instance.members(&as_if)));
        starts.extend(pack::greedy(instance, &by_regret(instance, &table), &table));
        if starts.is_empty() {
            starts.extend(pack::mend(instance, &as_if, &table));
        }
    }
    if starts.is_empty() {
        let table = vec![0.0; instance.items() * instance.bins.len()];
        starts.extend(by_size(instance).iter().find_map(|order| pack::greedy(instance, order, &table)));
    }
    starts
        .into_iter()
        .map(|start| (instance.cost(&start), start))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, start)| start)
}

/// Bins from the lowest level to the highest, as a start has them; empty ones first.
fn bins_by_level(instance: &Instance, start: Option<&Assignment>) -> Vec<usize> {
    let mut order: Vec<usize> = (0..instance.bins.len()).collect();
    if let Some(start) = start {
        let levels = levels_of(instance, &instance.members(start));
        // Only the leading axes say where a bin stands.
        let level = |bin: usize| levels[bin * instance.axes()..][..instance.leading].iter().sum::<f64>();
        order.arrange_by(|&a, &b| level(a).total_cmp(&level(b)).then(a.cmp(&b)));
    }
    order
}

/// Items by what the second best bin would cost them, dearest first.
fn by_regret(instance: &Instance, table: &[f64]) -> Vec<usize> {
    let bins = instance.bins.len();
    let regret = |item: usize| {
        let open = (0..bins).filter(|&bin| instance.may(item, bin)).map(|bin| table[item * bins + bin]);
        let [first, second] = open.fold([f64::INFINITY; 2], |[first, second], loss| {
            if loss < first { [loss, first] } else { [first, second.min(loss)] }
        });
        // With one place to go, she goes first.
        if second.is_finite() { second - first } else { f64::INFINITY }
    };
    let mut keyed: Vec<(f64, usize)> = (0..instance.items()).map(|item| (regret(item), item)).collect();
    keyed.arrange_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    keyed.into_iter().map(|(_, item)| item).collect()
}

/// Orders that put the hardest to place first: fewest bins, then largest in each resource.
fn by_size(instance: &Instance) -> Vec<Vec<usize>> {
    (0..crate::solve::instance::RESOURCES)
        .map(|resource| {
            let mut order: Vec<usize> = (0..instance.items()).collect();
            order.arrange_by_key(|&item| {
                let size = instance.room[0][item][resource];
                (
                    instance.allowed[item].count_ones(),
                    instance.kind_size[usize::from(instance.kind[item])],
                    u32::MAX - size,
                    item,
                )
            });
            order
        })
        .collect()
}

/// Shakes the levels of the best and polishes again, as often as the budget allows, until the bound says that
/// little is to be gained, or until the same best has come back so often that there is hardly a better one near.
fn restarted(
    instance: &Instance,
    found: Assignment,
    (seed, bound): (u64, f64),
    effort: Effort,
) -> Assignment {
    let entries = instance.items() * instance.bins.len() * instance.axes() * USUAL_ROUNDS;
    let restarts = effort.table_entries / entries.max(1);
    let mut random = Xoshiro256Plus::seed_from_u64(seed);
    let mut best_loss = instance.cost(&found);
    let mut search = Search::new(instance, &found);
    let mut best = found;
    let mut returns = 0;
    for number in 0..restarts.min(MOST_RESTARTS) {
        let gap = best_loss - bound;
        let is_settled = number * entries >= LEAST_ENTRIES
            && (returns >= ENOUGH_RETURNS || gap <= NEAR_FOR_MANY * best_loss);
        if gap <= NEAR_ENOUGH * best_loss || is_settled {
            break;
        }
        search.start_from(&best);
        search.shake(|levels| {
            let factor = 1.0 + SHAKE * (2.0 * unit(&mut random) - 1.0);
            for (level, axis) in levels.iter_mut().zip(&instance.axes).take(instance.leading) {
                *level = (*level * factor).clamp(axis.low, axis.high);
            }
        });
        let loss = search.polish(ROUNDS);
        if loss < best_loss * (1.0 - SAME) {
            best_loss = loss;
            best = search.assignment();
            returns = 0;
        } else if loss < best_loss * (1.0 + SAME) {
            returns += 1;
        }
    }
    best
}

/// A number from 0 to 1 out of the generator's upper bits.
fn unit(random: &mut Xoshiro256Plus) -> f64 {
    (random.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
}
