//! Exact search for small problems: every assignment is tried or proved to be no better.
//!
//! Units are placed one by one, from both ends of need inward. The loss of a part of a bin's items at
//! their own best levels never exceeds the loss of all of them, so the sum over bins of what is placed,
//! plus what each unit left must lose wherever it goes (its need outside the level limits, its cheapest
//! place), bounds every completion from below. Bins that are alike and still empty are tried once. The budget
//! is counted in nodes; where it runs out the answer says so and proves nothing.

use crate::arrange::Arrange as _;
use crate::solve::instance::{Assignment, Instance};
use crate::solve::placement::Placement;

/// What the search found.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// The optimum.
    Optimal(Assignment),
    /// No assignment keeps all limits; every one was ruled out.
    Impossible,
    /// The budget ran out; the best found, if any.
    Unfinished(Option<Assignment>),
}

/// No more than so many items stand elsewhere than at home.
#[derive(Debug, Clone, Copy)]
pub struct Near<'a> {
    /// The bin in which each item is at home.
    pub home: &'a [usize],
    /// The most that may stand elsewhere.
    pub most: usize,
}

/// Searches within a budget of nodes, starting from an assignment if one is known.
pub fn search(instance: &Instance, known: Option<&Assignment>, nodes: usize) -> Outcome {
    search_near(instance, known, nodes, None)
}

/// The same among the assignments near a home only, of which a known one must be.
pub fn search_near(
    instance: &Instance,
    known: Option<&Assignment>,
    nodes: usize,
    near: Option<Near<'_>>,
) -> Outcome {
    let placement = Placement::empty(instance);
    let units = placement.units.count();
    if (0..units).any(|unit| placement.units.is_torn(instance, unit)) {
        return Outcome::Impossible;
    }
    let mut order: Vec<usize> = (0..units).collect();
    let key = |unit: usize| -> f64 {
        let items = placement.units.items(unit);
        let sum = |&item: &usize| -> f64 {
            let lead = instance.need_of(item)[..instance.leading].iter();
            lead.zip(&instance.weight).map(|(need, weight)| need * weight).sum()
        };
        items.iter().map(sum).sum::<f64>() / items.len() as f64
    };
    order.arrange_by(|&a, &b| key(a).total_cmp(&key(b)).then(a.cmp(&b)));
    // What is far apart is placed first, so that bad mixtures show early.
    let (low, high) = order.split_at(order.len() / 2);
    let order: Vec<usize> = (0..high.len())
        .flat_map(|inward| high.iter().rev().nth(inward).into_iter().chain(low.get(inward)))
        .copied()
        .collect();
    let mut unavoidable = vec![0.0; order.len() + 1];
    let mut head_left = vec![0; order.len() + 1];
    for (position, &unit) in order.iter().enumerate().rev() {
        let items = placement.units.items(unit);
        let least: f64 = items.iter().map(|&item| unavoidable_loss(instance, item)).sum();
        unavoidable[position] = unavoidable[position + 1] + least;
        head_left[position] = head_left[position + 1] + items.len();
    }
    let mut tree = Tree {
        instance,
        order,
        unavoidable,
        head_left,
        loss: vec![0.0; instance.bins.len()],
        best: known.map_or(f64::INFINITY, |known| instance.cost(known)),
        best_assignment: known.cloned(),
        nodes,
        members: Vec::new(),
        scratch: Vec::new(),
        levels: vec![0.0; instance.axes()],
        placement,
        near,
    };
    tree.place(0, 0);
    match (tree.nodes > 0, tree.best_assignment) {
        (true, Some(best)) => Outcome::Optimal(best),
        (true, None) => Outcome::Impossible,
        (false, best) => Outcome::Unfinished(best),
    }
}

/// What an item loses at the least, wherever it goes.
fn unavoidable_loss(instance: &Instance, item: usize) -> f64 {
    let nearest: Vec<f64> = instance
        .need_of(item)
        .iter()
        .zip(&instance.axes)
        .map(|(need, axis)| need.clamp(axis.low, axis.high))
        .collect();
    let place = (0..instance.bins.len())
        .filter(|&bin| instance.may(item, bin))
        .map(|bin| instance.place_cost(item, bin))
        .fold(f64::INFINITY, f64::min);
    instance.item_loss(item, &nearest) + if place.is_finite() { place } else { 0.0 }
}

struct Tree<'a> {
    instance: &'a Instance,
    placement: Placement<'a>,
    /// Units in the order in which they are placed.
    order: Vec<usize>,
    unavoidable: Vec<f64>,
    head_left: Vec<usize>,
    loss: Vec<f64>,
    best: f64,
    best_assignment: Option<Assignment>,
    nodes: usize,
    members: Vec<usize>,
    scratch: Vec<f64>,
    levels: Vec<f64>,
    near: Option<Near<'a>>,
}

impl Tree<'_> {
    /// Places what is left from a position on, `away` items standing elsewhere than at home so far.
    fn place(&mut self, position: usize, away: usize) {
        if self.nodes == 0 {
            return;
        }
        self.nodes -= 1;
        let Some(&unit) = self.order.get(position) else {
            self.complete();
            return;
        };
        if self.head_short() > self.head_left[position] {
            return;
        }
        let mut places: Vec<(f64, usize)> = Vec::new();
        for bin in 0..self.instance.bins.len() {
            if self.is_near(away + self.away(unit, bin))
                && self.fits(unit, bin)
                && !self.same_as_an_earlier_empty(bin)
            {
                self.placement.put(unit, bin);
                let loss = self.loss_of(bin);
                self.placement.lift(unit);
                places.push((loss, bin));
            }
        }
        // By what each adds, and of equal ones the lower number first.
        let added = |&(loss, bin): &(f64, usize)| loss - self.loss[bin];
        places.arrange_by(|a, b| added(a).total_cmp(&added(b)).then(a.1.cmp(&b.1)));
        for (loss, bin) in places {
            let before = self.loss[bin];
            let placed: f64 = self.loss.iter().sum::<f64>() - before + loss;
            // A hair is allowed for rounding, so that no optimum is cut off.
            if placed + self.unavoidable[position + 1] >= self.best - 1e-9 * self.best.abs() {
                continue;
            }
            let away = away + self.away(unit, bin);
            self.placement.put(unit, bin);
            self.loss[bin] = loss;
            self.place(position + 1, away);
            self.loss[bin] = before;
            self.placement.lift(unit);
        }
    }

    fn complete(&mut self) {
        let filling: f64 = (0..self.instance.bins.len())
            .map(|bin| {
                let head = self.placement.head(bin);
                self.instance.head_cost(bin, head) - self.overfull_cost(bin, head)
            })
            .sum();
        let loss: f64 = self.loss.iter().sum::<f64>() + filling;
        if self.head_short() == 0 && loss < self.best {
            self.best = loss;
            self.best_assignment = Some(self.placement.assignment());
        }
    }

    /// How many items of a unit a bin would take from home.
    fn away(&self, unit: usize, bin: usize) -> usize {
        let items = self.placement.units.items(unit).iter();
        self.near.map_or(0, |near| items.filter(|&&item| near.home[item] != bin).count())
    }

    fn is_near(&self, away: usize) -> bool {
        self.near.is_none_or(|near| away <= near.most)
    }

    /// What a bin costs for holding more than its fair head: that much is sure before it is complete.
    fn overfull_cost(&self, bin: usize, head: usize) -> f64 {
        if head as f64 > self.instance.bins[bin].fair_head { self.instance.head_cost(bin, head) } else { 0.0 }
    }

    /// Items still needed to bring every bin in use to its fewest head.
    fn head_short(&self) -> usize {
        (0..self.instance.bins.len())
            .filter_map(|bin| {
                let first = self.placement.units.items(*self.placement.members(bin).first()?)[0];
                let fewest = self.instance.min_head(self.instance.kind[first], bin);
                Some(fewest.saturating_sub(self.placement.head(bin)))
            })
            .sum()
    }

    fn fits(&self, unit: usize, bin: usize) -> bool {
        self.placement.may(unit, bin)
            && self.placement.suits(unit, bin, None)
            && self.placement.excess(bin, Some(unit), None) <= 0.0
    }

    fn same_as_an_earlier_empty(&self, bin: usize) -> bool {
        self.placement.members(bin).is_empty()
            && self.instance.place_cost.is_none()
            && self.near.is_none()
            && (0..bin).any(|earlier| {
                self.placement.members(earlier).is_empty()
                    && self.instance.bins[earlier] == self.instance.bins[bin]
                    && self.instance.allowed.iter().all(|mask| mask >> earlier & 1 == mask >> bin & 1)
            })
    }

    /// Loss of a bin's members at their best levels, as far as it is sure.
    fn loss_of(&mut self, bin: usize) -> f64 {
        self.placement.items_in(bin, &mut self.members);
        self.instance.best_levels(&self.members, &mut self.levels, &mut self.scratch);
        let own =
            |&item: &usize| self.instance.item_loss(item, &self.levels) + self.instance.place_cost(item, bin);
        self.members.iter().map(own).sum::<f64>() + self.overfull_cost(bin, self.members.len())
    }
}
