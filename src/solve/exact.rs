//! Exact search for small problems: every assignment is tried or proved to be no better.
//!
//! Items are placed one by one, from both ends of need inward. The loss of a part of a bin's items at
//! their own best levels never exceeds the loss of all of them, so the sum over bins of what is placed,
//! plus what each item left must lose wherever it goes (its need outside the level limits), bounds every
//! completion from below. Bins that are alike and still empty are tried once. The budget is counted in
//! nodes; where it runs out the answer says so and proves nothing.

use crate::solve::instance::{Assignment, Instance, RESOURCES};

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

/// Searches within a budget of nodes, starting from an assignment if one is known.
pub fn search(instance: &Instance, known: Option<&Assignment>, nodes: usize) -> Outcome {
    let mut order: Vec<usize> = (0..instance.items()).collect();
    let key = |item: usize| -> f64 {
        instance.need_of(item).iter().zip(&instance.day_weight).map(|(need, weight)| need * weight).sum()
    };
    order.sort_by(|&a, &b| key(a).total_cmp(&key(b)).then(a.cmp(&b)));
    // What is far apart is placed first, so that bad mixtures show early.
    let (low, high) = order.split_at(order.len() / 2);
    let order: Vec<usize> = (0..high.len())
        .flat_map(|inward| high.iter().rev().nth(inward).into_iter().chain(low.get(inward)))
        .copied()
        .collect();
    let mut unavoidable = vec![0.0; order.len() + 1];
    for (position, &item) in order.iter().enumerate().rev() {
        unavoidable[position] = unavoidable[position + 1] + unavoidable_loss(instance, item);
    }
    let mut tree = Tree {
        instance,
        order,
        unavoidable,
        assignment: vec![usize::MAX; instance.items()],
        members: vec![Vec::new(); instance.bins.len()],
        used: vec![[0; RESOURCES]; instance.bins.len()],
        loss: vec![0.0; instance.bins.len()],
        best: known.map_or(f64::INFINITY, |known| instance.cost(known)),
        best_assignment: known.cloned(),
        nodes,
        scratch: Vec::new(),
        levels: vec![0.0; instance.days],
    };
    tree.place(0);
    match (tree.nodes > 0, tree.best_assignment) {
        (true, Some(best)) => Outcome::Optimal(best),
        (true, None) => Outcome::Impossible,
        (false, best) => Outcome::Unfinished(best),
    }
}

/// What an item loses at the least, wherever it goes.
fn unavoidable_loss(instance: &Instance, item: usize) -> f64 {
    let nearest: Vec<f64> =
        instance.need_of(item).iter().map(|need| need.clamp(instance.low, instance.high)).collect();
    instance.item_loss(item, &nearest)
}

struct Tree<'a> {
    instance: &'a Instance,
    order: Vec<usize>,
    unavoidable: Vec<f64>,
    assignment: Assignment,
    members: Vec<Vec<usize>>,
    used: Vec<[u64; RESOURCES]>,
    loss: Vec<f64>,
    best: f64,
    best_assignment: Option<Assignment>,
    nodes: usize,
    scratch: Vec<f64>,
    levels: Vec<f64>,
}

impl Tree<'_> {
    fn place(&mut self, position: usize) {
        if self.nodes == 0 {
            return;
        }
        self.nodes -= 1;
        let Some(&item) = self.order.get(position) else {
            self.complete();
            return;
        };
        if self.head_short() > self.order.len() - position {
            return;
        }
        let mut places: Vec<(f64, usize)> = Vec::new();
        for bin in 0..self.instance.bins.len() {
            if self.fits(item, bin) && !self.same_as_an_earlier_empty(bin) {
                self.members[bin].push(item);
                let loss = self.loss_of(bin);
                self.members[bin].pop();
                places.push((loss, bin));
            }
        }
        let loss_of = |tree: &Self, (loss, bin): (f64, usize)| loss - tree.loss[bin];
        places.sort_by(|&a, &b| loss_of(self, a).total_cmp(&loss_of(self, b)).then(a.1.cmp(&b.1)));
        for (loss, bin) in places {
            let before = self.loss[bin];
            let placed: f64 = self.loss.iter().sum::<f64>() - before + loss;
            // A hair is allowed for rounding, so that no optimum is cut off.
            if placed + self.unavoidable[position + 1] >= self.best - 1e-9 * self.best.abs() {
                continue;
            }
            self.put(item, bin, true);
            self.loss[bin] = loss;
            self.place(position + 1);
            self.loss[bin] = before;
            self.put(item, bin, false);
        }
    }

    fn complete(&mut self) {
        let loss: f64 = self.loss.iter().sum();
        if self.head_short() == 0 && loss < self.best {
            self.best = loss;
            self.best_assignment = Some(self.assignment.clone());
        }
    }

    /// Items still needed to bring every bin in use to its fewest head.
    fn head_short(&self) -> usize {
        self.members
            .iter()
            .enumerate()
            .filter_map(|(bin, members)| {
                let kind = self.instance.kind[*members.first()?];
                Some(self.instance.min_head(kind, bin).saturating_sub(members.len()))
            })
            .sum()
    }

    fn fits(&self, item: usize, bin: usize) -> bool {
        let limits = &self.instance.bins[bin];
        let room = self.instance.room_in(item, bin);
        self.instance.may(item, bin)
            && self.members[bin].len() < limits.max_head
            && self.members[bin]
                .first()
                .is_none_or(|&member| self.instance.kind[member] == self.instance.kind[item])
            && (0..RESOURCES).all(|resource| {
                self.used[bin][resource] + u64::from(room[resource]) <= limits.capacity[resource]
            })
    }

    fn same_as_an_earlier_empty(&self, bin: usize) -> bool {
        self.members[bin].is_empty()
            && (0..bin).any(|earlier| {
                self.members[earlier].is_empty()
                    && self.instance.bins[earlier] == self.instance.bins[bin]
                    && self.instance.allowed.iter().all(|mask| mask >> earlier & 1 == mask >> bin & 1)
            })
    }

    /// Loss of a bin's members at their best levels.
    fn loss_of(&mut self, bin: usize) -> f64 {
        let members = &self.members[bin];
        self.instance.best_levels(members, &mut self.levels, &mut self.scratch);
        members.iter().map(|&item| self.instance.item_loss(item, &self.levels)).sum()
    }

    fn put(&mut self, item: usize, bin: usize, add: bool) {
        let room = self.instance.room_in(item, bin);
        for (sum, part) in self.used[bin].iter_mut().zip(room) {
            *sum = if add { *sum + u64::from(part) } else { *sum - u64::from(part) };
        }
        if add {
            self.members[bin].push(item);
            self.assignment[item] = bin;
        } else {
            self.members[bin].pop();
            self.assignment[item] = usize::MAX;
        }
    }
}
