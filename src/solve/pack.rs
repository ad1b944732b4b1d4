//! Finding any assignment that breaks no limit, and mending one that does.
//!
//! Room comes first here, loss second. A failure to find one is not a proof that there is none; proofs are
//! in [`crate::solve::exact`] and [`crate::solve::bound`].

use crate::solve::instance::{Assignment, Instance, RESOURCES};

/// Mends an assignment that breaks limits: whoever may not stay goes where it costs least, then items move
/// or change places until nothing is overfull. `None` where that does not succeed within the budget.
pub fn mend(instance: &Instance, assignment: Assignment, table: &[f64]) -> Option<Assignment> {
    let mut load = Load::new(instance, assignment);
    load.send_home(table);
    for _ in 0..2 * instance.items() + 16 {
        let Some(bin) = load.worst() else { break };
        if !load.relieve(bin, table) {
            return None;
        }
    }
    instance.is_feasible(&load.assignment).then_some(load.assignment)
}

/// Places items one by one, hardest first, each into the bin where it costs least of those with room,
/// preferring bins that already hold its kind.
pub fn greedy(instance: &Instance, order: &[usize], table: &[f64]) -> Option<Assignment> {
    let bins = instance.bins.len();
    let mut load = Load::empty(instance);
    for &item in order {
        let best = (0..bins).filter(|&bin| load.accepts(item, bin)).min_by(|&a, &b| {
            let opens = |bin: usize| usize::from(load.members[bin].is_empty());
            (opens(a).cmp(&opens(b)))
                .then(table[item * bins + a].total_cmp(&table[item * bins + b]))
                .then(a.cmp(&b))
        })?;
        load.put(item, best);
    }
    instance.is_feasible(&load.assignment).then_some(load.assignment)
}

struct Load<'a> {
    instance: &'a Instance,
    assignment: Assignment,
    members: Vec<Vec<usize>>,
    used: Vec<[u64; RESOURCES]>,
}

impl<'a> Load<'a> {
    fn empty(instance: &'a Instance) -> Self {
        Self {
            instance,
            assignment: vec![usize::MAX; instance.items()],
            members: vec![Vec::new(); instance.bins.len()],
            used: vec![[0; RESOURCES]; instance.bins.len()],
        }
    }

    fn new(instance: &'a Instance, assignment: Assignment) -> Self {
        let mut load = Self::empty(instance);
        for (item, bin) in assignment.into_iter().enumerate() {
            load.put(item, bin);
        }
        load
    }

    fn put(&mut self, item: usize, bin: usize) {
        self.assignment[item] = bin;
        self.members[bin].push(item);
        for (sum, part) in self.used[bin].iter_mut().zip(self.instance.room_in(item, bin)) {
            *sum += u64::from(part);
        }
    }

    fn lift(&mut self, item: usize) {
        let bin = self.assignment[item];
        self.members[bin].retain(|&member| member != item);
        for (sum, part) in self.used[bin].iter_mut().zip(self.instance.room_in(item, bin)) {
            *sum -= u64::from(part);
        }
    }

    fn shift(&mut self, item: usize, bin: usize) {
        self.lift(item);
        self.put(item, bin);
    }

    fn kind_agrees(&self, item: usize, bin: usize, leaver: Option<usize>) -> bool {
        self.members[bin]
            .iter()
            .find(|&&member| Some(member) != leaver)
            .is_none_or(|&member| self.instance.kind[member] == self.instance.kind[item])
    }

    fn accepts(&self, item: usize, bin: usize) -> bool {
        self.instance.may(item, bin)
            && self.kind_agrees(item, bin, None)
            && self.excess_with(bin, Some(item), None) <= 0.0
    }

    /// How far a bin is over, as a share of its limits, with someone in and someone out.
    fn excess_with(&self, bin: usize, comer: Option<usize>, leaver: Option<usize>) -> f64 {
        let limits = &self.instance.bins[bin];
        let head = self.members[bin].len() + usize::from(comer.is_some()) - usize::from(leaver.is_some());
        let mut excess = over(head as u64, limits.max_head as u64);
        for resource in 0..RESOURCES {
            let room = |item: Option<usize>| {
                item.map_or(0, |item| u64::from(self.instance.room_in(item, bin)[resource]))
            };
            let used = self.used[bin][resource] + room(comer) - room(leaver);
            excess = excess.max(over(used, limits.capacity[resource]));
        }
        excess
    }

    fn worst(&self) -> Option<usize> {
        (0..self.instance.bins.len())
            .map(|bin| (self.excess_with(bin, None, None), bin))
            .filter(|&(excess, _)| excess > 0.0)
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)))
            .map(|(_, bin)| bin)
    }

    /// Items that may not stay where they are go to the cheapest bin that their kind may share.
    fn send_home(&mut self, table: &[f64]) {
        let bins = self.instance.bins.len();
        for item in 0..self.instance.items() {
            if !self.instance.may(item, self.assignment[item]) {
                let home = (0..bins)
                    .filter(|&bin| self.instance.may(item, bin) && self.kind_agrees(item, bin, None))
                    .min_by(|&a, &b| {
                        table[item * bins + a].total_cmp(&table[item * bins + b]).then(a.cmp(&b))
                    });
                if let Some(home) = home {
                    self.shift(item, home);
                }
            }
        }
    }

    /// Takes something off an overfull bin: a move into room, or a swap that lessens the excess of both.
    fn relieve(&mut self, bin: usize, table: &[f64]) -> bool {
        let bins = self.instance.bins.len();
        let cost = |item: usize, to: usize| table[item * bins + to] - table[item * bins + bin];
        let mut best: Option<(f64, usize, usize)> = None;
        for &item in &self.members[bin] {
            for to in 0..bins {
                if to != bin && self.accepts(item, to) && !self.members[to].is_empty() {
                    let change = cost(item, to);
                    if best.is_none_or(|(least, ..)| change < least) {
                        best = Some((change, item, to));
                    }
                }
            }
        }
        if let Some((_, item, to)) = best {
            self.shift(item, to);
            return true;
        }
        self.relieve_by_swap(bin, table)
    }

    fn relieve_by_swap(&mut self, bin: usize, table: &[f64]) -> bool {
        let bins = self.instance.bins.len();
        let before = self.excess_with(bin, None, None);
        let mut best: Option<(f64, usize, usize)> = None;
        for to in (0..bins).filter(|&to| to != bin) {
            for &item in &self.members[bin] {
                for &partner in &self.members[to] {
                    if !self.instance.may(item, to)
                        || !self.instance.may(partner, bin)
                        || self.instance.kind[item] != self.instance.kind[partner]
                        || self.excess_with(to, Some(item), Some(partner)) > 0.0
                    {
                        continue;
                    }
                    let after = self.excess_with(bin, Some(partner), Some(item));
                    if after < before {
                        let change = table[item * bins + to] - table[item * bins + bin]
                            + table[partner * bins + bin]
                            - table[partner * bins + to];
                        // What is gained in room is weighed against what it costs.
                        let score = change - 1e6 * (before - after);
                        if best.is_none_or(|(least, ..)| score < least) {
                            best = Some((score, item, partner));
                        }
                    }
                }
            }
        }
        let Some((_, item, partner)) = best else { return false };
        let to = self.assignment[partner];
        self.lift(item);
        self.lift(partner);
        self.put(item, to);
        self.put(partner, bin);
        true
    }
}

fn over(used: u64, capacity: u64) -> f64 {
    if used > capacity { (used - capacity) as f64 / (capacity.max(1)) as f64 } else { 0.0 }
}
