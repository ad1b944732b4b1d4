//! Finding any assignment that breaks no limit, and mending one that does.
//!
//! Room comes first here, loss second. A failure to find one is not a proof that there is none; proofs are
//! in [`crate::solve::exact`] and [`crate::solve::bound`].

use crate::solve::instance::{Assignment, Instance};
use crate::solve::placement::Placement;

/// Mends an assignment that breaks limits: whoever may not stay goes where it costs least, then units move
/// or change places until nothing is overfull. `None` where that does not succeed within the budget.
pub fn mend(instance: &Instance, assignment: &[usize], table: &[f64]) -> Option<Assignment> {
    let mut mending = Mending { placement: Placement::new(instance, assignment), table };
    mending.send_home();
    for _ in 0..2 * instance.items() + 16 {
        let Some(bin) = mending.worst() else { break };
        if !mending.relieve(bin) {
            return None;
        }
    }
    feasible(instance, &mending.placement)
}

/// Places units one by one, hardest first, each into the bin where it costs least of those with room,
/// preferring bins that already hold its kind. `order` is of items; a unit goes where its first item stands.
pub fn greedy(instance: &Instance, order: &[usize], table: &[f64]) -> Option<Assignment> {
    let placement = Placement::empty(instance);
    let mut unit_of = vec![0; instance.items()];
    for unit in 0..placement.units.count() {
        for &item in placement.units.items(unit) {
            unit_of[item] = unit;
        }
    }
    let mut mending = Mending { placement, table };
    for &item in order {
        let unit = unit_of[item];
        if mending.placement.bin_of(unit).is_some() {
            continue;
        }
        let cost = |bin: usize| mending.cost(unit, bin);
        let opens = |bin: usize| usize::from(mending.placement.members(bin).is_empty());
        let best = (0..instance.bins.len())
            .filter(|&bin| mending.accepts(unit, bin))
            .min_by(|&a, &b| opens(a).cmp(&opens(b)).then(cost(a).total_cmp(&cost(b))).then(a.cmp(&b)))?;
        mending.placement.put(unit, best);
    }
    feasible(instance, &mending.placement)
}

fn feasible(instance: &Instance, placement: &Placement<'_>) -> Option<Assignment> {
    let assignment = placement.assignment();
    instance.is_feasible(&assignment).then_some(assignment)
}

struct Mending<'a> {
    placement: Placement<'a>,
    /// Loss of each item in each bin, item by item.
    table: &'a [f64],
}

impl Mending<'_> {
    fn cost(&self, unit: usize, bin: usize) -> f64 {
        let bins = self.placement.instance.bins.len();
        self.placement.units.items(unit).iter().map(|&item| self.table[item * bins + bin]).sum()
    }

    fn accepts(&self, unit: usize, bin: usize) -> bool {
        self.placement.may(unit, bin)
            && self.placement.suits(unit, bin, None)
            && self.placement.excess(bin, Some(unit), None) <= 0.0
    }

    fn worst(&self) -> Option<usize> {
        (0..self.placement.instance.bins.len())
            .map(|bin| (self.placement.excess(bin, None, None), bin))
            .filter(|&(excess, _)| excess > 0.0)
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)))
            .map(|(_, bin)| bin)
    }

    /// Units that may not stay where they are go to the cheapest bin that they may share.
    fn send_home(&mut self) {
        let bins = self.placement.instance.bins.len();
        for unit in 0..self.placement.units.count() {
            let Some(here) = self.placement.bin_of(unit) else { continue };
            if !self.placement.may(unit, here) || !self.placement.suits(unit, here, None) {
                let home = (0..bins)
                    .filter(|&bin| self.placement.may(unit, bin) && self.placement.suits(unit, bin, None))
                    .min_by(|&a, &b| self.cost(unit, a).total_cmp(&self.cost(unit, b)).then(a.cmp(&b)));
                if let Some(home) = home {
                    self.placement.shift(unit, home);
                }
            }
        }
    }

    /// Takes something off an overfull bin: a move into room, or a swap that lessens the excess of both.
    fn relieve(&mut self, bin: usize) -> bool {
        let bins = self.placement.instance.bins.len();
        let mut best: Option<(f64, usize, usize)> = None;
        for &unit in self.placement.members(bin) {
            for to in 0..bins {
                if to != bin && !self.placement.members(to).is_empty() && self.accepts(unit, to) {
                    let change = self.cost(unit, to) - self.cost(unit, bin);
                    if best.is_none_or(|(least, ..)| change < least) {
                        best = Some((change, unit, to));
                    }
                }
            }
        }
        if let Some((_, unit, to)) = best {
            self.placement.shift(unit, to);
            return true;
        }
        self.relieve_by_swap(bin)
    }

    fn relieve_by_swap(&mut self, bin: usize) -> bool {
        let bins = self.placement.instance.bins.len();
        let placement = &self.placement;
        let before = placement.excess(bin, None, None);
        let mut best: Option<(f64, usize, usize)> = None;
        for to in (0..bins).filter(|&to| to != bin) {
            for &unit in placement.members(bin) {
                for &partner in placement.members(to) {
                    if !placement.may(unit, to)
                        || !placement.may(partner, bin)
                        || !placement.suits(unit, to, Some(partner))
                        || !placement.suits(partner, bin, Some(unit))
                        || placement.excess(to, Some(unit), Some(partner)) > 0.0
                    {
                        continue;
                    }
                    let after = placement.excess(bin, Some(partner), Some(unit));
                    if after < before {
                        let change = self.cost(unit, to) - self.cost(unit, bin) + self.cost(partner, bin)
                            - self.cost(partner, to);
                        // What is gained in room is weighed against what it costs.
                        let score = change - 1e6 * (before - after);
                        if best.is_none_or(|(least, ..)| score < least) {
                            best = Some((score, unit, partner));
                        }
                    }
                }
            }
        }
        let Some((_, unit, partner)) = best else { return false };
        let Some(to) = self.placement.bin_of(partner) else { return false };
        self.placement.lift(unit);
        self.placement.lift(partner);
        self.placement.put(unit, to);
        self.placement.put(partner, bin);
        true
    }
}
