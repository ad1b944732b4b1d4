//! Local search: levels against assignment, moves, swaps and chains of two moves.
//!
//! With the levels held, the loss of an assignment is a sum over items, so the change of any exchange is
//! a sum of entries of one table; with the assignment held, the best level of each bin is a quantile.
//! Going to and fro never makes the loss larger and ends where neither helps. No limit is ever broken on
//! the way. The budget is counted in rounds, so a slow machine gives the same answer.

use crate::solve::instance::{Assignment, Instance, RESOURCES};

/// Changes smaller than this are not worth a round (rounding of sums).
const LEAST_GAIN: f64 = 1e-9;
/// How many of the cheapest items of a bin are tried in each place of a chain.
const CHAIN_WIDTH: usize = 12;

/// An assignment with what it takes to change it quickly.
pub struct Search<'a> {
    instance: &'a Instance,
    assignment: Assignment,
    members: Vec<Vec<usize>>,
    used: Vec<[u64; RESOURCES]>,
    /// Levels, bin by bin, `days` figures each.
    levels: Vec<f64>,
    /// Loss of each item in each bin at the levels.
    table: Vec<f64>,
    scratch: Vec<f64>,
}

impl<'a> Search<'a> {
    /// Starts from an assignment that breaks no limit.
    pub fn new(instance: &'a Instance, assignment: Assignment) -> Self {
        let bins = instance.bins.len();
        let mut search = Self {
            instance,
            members: instance.members(&assignment),
            used: vec![[0; RESOURCES]; bins],
            levels: vec![instance.low; bins * instance.days],
            table: vec![0.0; bins * instance.items()],
            scratch: Vec::new(),
            assignment,
        };
        for item in 0..instance.items() {
            search.take(item, search.assignment[item], true);
        }
        search.relevel();
        search
    }

    /// The assignment as it stands.
    pub fn assignment(&self) -> &Assignment {
        &self.assignment
    }

    /// Its loss at the present levels.
    pub fn loss(&self) -> f64 {
        let bins = self.instance.bins.len();
        self.assignment.iter().enumerate().map(|(item, &bin)| self.table[item * bins + bin]).sum()
    }

    /// Exchanges items at the levels that `change` makes of the present ones, bin by bin, and only then sets
    /// the levels to their best again: the way out of a place where nothing simple helps.
    pub fn shake(&mut self, mut change: impl FnMut(&mut [f64])) {
        for levels in self.levels.chunks_exact_mut(self.instance.days) {
            change(levels);
        }
        self.tabulate();
        self.exchange();
        self.relevel();
    }

    /// Improves until a round gains nothing, or `rounds` are used up. Returns the loss.
    pub fn polish(&mut self, rounds: usize) -> f64 {
        let mut loss = self.loss();
        for _ in 0..rounds {
            self.exchange();
            self.relevel();
            let now = self.loss();
            if now > loss - LEAST_GAIN * loss.max(1.0) {
                // Chains cost more to look for; they are tried only where nothing simpler is left.
                if !self.chains() {
                    return now;
                }
                self.relevel();
            }
            loss = self.loss();
        }
        loss
    }

    /// Moves and swaps at the levels as they stand.
    fn exchange(&mut self) {
        self.moves();
        self.swaps();
    }

    /// Sets every bin's levels to its best, and the table with them.
    fn relevel(&mut self) {
        let days = self.instance.days;
        for (bin, members) in self.members.iter().enumerate() {
            // An empty bin keeps its level, so that whoever looks into it finds something to aim for.
            if !members.is_empty() {
                let levels = &mut self.levels[bin * days..(bin + 1) * days];
                self.instance.best_levels(members, levels, &mut self.scratch);
            }
        }
        self.tabulate();
    }

    fn tabulate(&mut self) {
        let bins = self.instance.bins.len();
        let days = self.instance.days;
        for item in 0..self.instance.items() {
            for bin in 0..bins {
                self.table[item * bins + bin] =
                    self.instance.item_loss(item, &self.levels[bin * days..(bin + 1) * days])
                        + self.instance.place(item, bin);
            }
        }
    }

    fn change(&self, item: usize, bin: usize) -> f64 {
        let bins = self.instance.bins.len();
        self.table[item * bins + bin] - self.table[item * bins + self.assignment[item]]
    }

    fn take(&mut self, item: usize, bin: usize, add: bool) {
        for (sum, part) in self.used[bin].iter_mut().zip(self.instance.room_in(item, bin)) {
            if add {
                *sum += u64::from(part);
            } else {
                *sum -= u64::from(part);
            }
        }
    }

    fn relocate(&mut self, item: usize, bin: usize) {
        let from = self.assignment[item];
        self.take(item, from, false);
        self.take(item, bin, true);
        self.members[from].retain(|&member| member != item);
        self.members[bin].push(item);
        self.assignment[item] = bin;
    }

    /// Whether `item` fits into `bin` once `leaver` is out of it.
    fn has_room(&self, item: usize, bin: usize, leaver: Option<usize>) -> bool {
        let limits = &self.instance.bins[bin];
        let members = &self.members[bin];
        let head = members.len() + 1 - usize::from(leaver.is_some());
        let kind_agrees = match members.iter().find(|&&member| Some(member) != leaver) {
            Some(&member) => self.instance.kind[member] == self.instance.kind[item],
            None => true,
        };
        let leaver_room = leaver.map_or([0; RESOURCES], |leaver| self.instance.room_in(leaver, bin));
        let item_room = self.instance.room_in(item, bin);
        self.instance.may(item, bin)
            && kind_agrees
            && head <= limits.max_head
            && head >= self.instance.min_head(self.instance.kind[item], bin)
            && (0..RESOURCES).all(|resource| {
                self.used[bin][resource] + u64::from(item_room[resource])
                    <= limits.capacity[resource].saturating_add(u64::from(leaver_room[resource]))
            })
    }

    /// Whether the bin keeps enough head, or none, when one goes.
    fn may_leave(&self, item: usize) -> bool {
        let bin = self.assignment[item];
        let left = self.members[bin].len() - 1;
        left == 0 || left >= self.instance.min_head(self.instance.kind[item], bin)
    }

    fn moves(&mut self) {
        let mut wishes: Vec<(f64, usize, usize)> = Vec::new();
        for item in 0..self.instance.items() {
            for bin in 0..self.instance.bins.len() {
                let change = self.change(item, bin);
                if change < -LEAST_GAIN && self.instance.may(item, bin) {
                    wishes.push((change, item, bin));
                }
            }
        }
        wishes.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        for (_, item, bin) in wishes {
            if self.change(item, bin) < -LEAST_GAIN && self.has_room(item, bin, None) && self.may_leave(item)
            {
                self.relocate(item, bin);
            }
        }
    }

    /// The least that moving some item of `from` to `to` would change.
    fn least_change(&self, from: usize, to: usize) -> f64 {
        self.members[from]
            .iter()
            .filter(|&&item| self.instance.may(item, to))
            .map(|&item| self.change(item, to))
            .fold(f64::INFINITY, f64::min)
    }

    /// The items of `from` that moving to `to` would change by less than `below`, cheapest first.
    fn by_change(&self, from: usize, to: usize, below: f64) -> Vec<(f64, usize)> {
        let mut items: Vec<(f64, usize)> = self.members[from]
            .iter()
            .filter(|&&item| self.instance.may(item, to))
            .map(|&item| (self.change(item, to), item))
            .filter(|&(change, _)| change < below)
            .collect();
        items.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        items
    }

    fn swaps(&mut self) {
        let bins = self.instance.bins.len();
        for a in 0..bins {
            for b in a + 1..bins {
                // Only those are sorted who could gain with the best partner there is.
                let there = self.by_change(a, b, -self.least_change(b, a) - LEAST_GAIN);
                let Some(&(cheapest, _)) = there.first() else { continue };
                let mut back = self.by_change(b, a, -cheapest - LEAST_GAIN);
                for (change, item) in there {
                    let partner = back
                        .iter()
                        .take_while(|&&(back_change, _)| change + back_change < -LEAST_GAIN)
                        .position(|&(_, partner)| {
                            self.has_room(item, b, Some(partner)) && self.has_room(partner, a, Some(item))
                        });
                    if let Some(position) = partner {
                        let (_, partner) = back.remove(position);
                        self.swap(item, partner);
                    }
                }
            }
        }
    }

    fn swap(&mut self, item: usize, partner: usize) {
        let (a, b) = (self.assignment[item], self.assignment[partner]);
        self.relocate(item, b);
        self.relocate(partner, a);
    }

    /// One item to a full bin and one of that bin onward, where the two together gain. Whether any did.
    fn chains(&mut self) -> bool {
        let bins = self.instance.bins.len();
        let cheapest: Vec<Vec<(f64, usize)>> = (0..bins * bins)
            .map(|pair| {
                if pair / bins == pair % bins { Vec::new() } else { self.cheapest(pair / bins, pair % bins) }
            })
            .collect();
        let mut any = false;
        for a in 0..bins {
            for b in 0..bins {
                for c in 0..bins {
                    if a == b || b == c || a == c {
                        continue;
                    }
                    let (first, second) = (&cheapest[a * bins + b], &cheapest[b * bins + c]);
                    if let Some((item, pushed)) = self.chain(first, second, (a, b, c)) {
                        self.relocate(pushed, c);
                        self.relocate(item, b);
                        any = true;
                    }
                }
            }
        }
        any
    }

    /// The few items of `from` that would change least by moving to `to`, cheapest first.
    fn cheapest(&self, from: usize, to: usize) -> Vec<(f64, usize)> {
        let mut items: Vec<(f64, usize)> = self.members[from]
            .iter()
            .filter(|&&item| self.instance.may(item, to))
            .map(|&item| (self.change(item, to), item))
            .collect();
        let order = |a: &(f64, usize), b: &(f64, usize)| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1));
        if items.len() > CHAIN_WIDTH {
            items.select_nth_unstable_by(CHAIN_WIDTH - 1, order);
            items.truncate(CHAIN_WIDTH);
        }
        items.sort_unstable_by(order);
        items
    }

    fn chain(
        &self,
        first: &[(f64, usize)],
        second: &[(f64, usize)],
        (a, b, c): (usize, usize, usize),
    ) -> Option<(usize, usize)> {
        for &(change, item) in first {
            for &(onward, pushed) in second {
                if change + onward >= -LEAST_GAIN {
                    break;
                }
                // An earlier chain of this round may have moved either.
                if self.assignment[item] == a
                    && self.assignment[pushed] == b
                    && self.may_leave(item)
                    && self.has_room(pushed, c, None)
                    && self.has_room(item, b, Some(pushed))
                {
                    return Some((item, pushed));
                }
            }
        }
        None
    }
}
