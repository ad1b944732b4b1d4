//! The order in which items go from one assignment to another, so that no bin is overfilled on the way.
//!
//! A step is one item that goes where there is room, two that change places, three in a ring; where none of
//! these fits, all that are left go at once. Bins that are over their limits at first get no worse.

use crate::solve::instance::{Assignment, Instance};

/// Items that go together, and what that changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Each item and its bin to be.
    pub parts: Vec<(usize, usize)>,
    /// How the loss changes; below nought is a gain.
    pub change: f64,
    /// Whether an item of it leaves a bin that breaks its limits.
    pub forced: bool,
}

/// The steps from one assignment to another; whoever gains most goes first among those who may.
pub fn order(instance: &Instance, from: &[usize], to: &[usize]) -> Vec<Step> {
    let mut way = Way::new(instance, from);
    let mut pending = units(instance, from, to, &way);
    let mut steps = Vec::new();
    while !pending.is_empty() {
        let chosen = way.next(&pending, to);
        let parts: Vec<(usize, usize)> =
            chosen.iter().flat_map(|&unit| pending[unit].iter().map(|&item| (item, to[item]))).collect();
        let mut place = 0;
        pending.retain(|_| {
            place += 1;
            !chosen.contains(&(place - 1))
        });
        steps.push(way.make(parts));
    }
    steps
}

/// What moves as one: an item, or those of a set that must share a bin. Whoever gains most comes first.
fn units(instance: &Instance, from: &[usize], to: &[usize], way: &Way<'_>) -> Vec<Vec<usize>> {
    let mut levels = vec![0.0; instance.axes()];
    let mut after = Vec::new();
    for members in instance.members(to) {
        instance.best_levels(&members, &mut levels, &mut Vec::new());
        after.push(levels.clone());
    }
    let mut units: Vec<Vec<usize>> = Vec::new();
    for item in (0..from.len()).filter(|&item| from[item] != to[item]) {
        let set = instance.together.iter().find(|set| set.contains(&item));
        let fellows = set.and_then(|set| units.iter_mut().find(|unit| set.contains(&unit[0])));
        match fellows {
            Some(unit) => unit.push(item),
            None => units.push(vec![item]),
        }
    }
    let gain = |unit: &Vec<usize>| -> f64 {
        unit.iter()
            .map(|&item| {
                instance.item_loss(item, &way.levels[from[item]]) - instance.item_loss(item, &after[to[item]])
            })
            .sum()
    };
    units.sort_by(|a, b| gain(b).total_cmp(&gain(a)).then(a.cmp(b)));
    units
}

struct Way<'a> {
    instance: &'a Instance,
    assignment: Assignment,
    members: Vec<Vec<usize>>,
    fits: Vec<bool>,
    losses: Vec<f64>,
    levels: Vec<Vec<f64>>,
}

impl<'a> Way<'a> {
    fn new(instance: &'a Instance, from: &[usize]) -> Self {
        let bins = instance.bins.len();
        let mut way = Self {
            instance,
            assignment: from.to_vec(),
            members: instance.members(from),
            fits: vec![true; bins],
            losses: vec![0.0; bins],
            levels: vec![vec![0.0; instance.axes()]; bins],
        };
        (0..bins).for_each(|bin| way.reckon(bin));
        way
    }

    /// Whether a bin keeps its limits, who may be there included.
    fn keeps(&self, members: &[usize], bin: usize) -> bool {
        self.instance.fits(members, bin) && members.iter().all(|&item| self.instance.may(item, bin))
    }

    fn reckon(&mut self, bin: usize) {
        let members = &self.members[bin];
        self.instance.best_levels(members, &mut self.levels[bin], &mut Vec::new());
        let levels = &self.levels[bin];
        let loss =
            |&item: &usize| self.instance.item_loss(item, levels) + self.instance.place_cost(item, bin);
        self.losses[bin] =
            members.iter().map(loss).sum::<f64>() + self.instance.head_cost(bin, members.len());
        self.fits[bin] = self.keeps(members, bin);
    }

    /// The units that go next.
    fn next(&self, pending: &[Vec<usize>], to: &[usize]) -> Vec<usize> {
        let ends = |unit: usize| (self.assignment[pending[unit][0]], to[pending[unit][0]]);
        let all = 0..pending.len();
        let allowed = |units: &[usize]| self.allowed(units.iter().flat_map(|&unit| &pending[unit]), to);
        // Whoever stands in a bin that breaks its limits goes before the rest.
        let mended = all.clone().filter(|&unit| !self.fits[ends(unit).0]);
        if let Some(unit) = mended.chain(all.clone()).find(|&unit| allowed(&[unit])) {
            return vec![unit];
        }
        for first in all.clone() {
            let (a, b) = ends(first);
            let back = (first + 1..pending.len()).filter(|&unit| ends(unit) == (b, a));
            if let Some(second) = back.into_iter().find(|&second| allowed(&[first, second])) {
                return vec![first, second];
            }
        }
        for first in all.clone() {
            let (a, b) = ends(first);
            for second in all.clone().filter(|&unit| ends(unit).0 == b && ends(unit).1 != a) {
                let closing = (ends(second).1, a);
                let ring = all.clone().filter(|&unit| ends(unit) == closing);
                if let Some(third) = ring.into_iter().find(|&third| allowed(&[first, second, third])) {
                    return vec![first, second, third];
                }
            }
        }
        all.collect()
    }

    /// Whether these items may go at once: the bins that they enter keep their limits, those that they leave
    /// still do if they did.
    fn allowed<'i>(&self, items: impl Iterator<Item = &'i usize>, to: &[usize]) -> bool {
        let items: Vec<usize> = items.copied().collect();
        let stands = |item: usize| if items.contains(&item) { to[item] } else { self.assignment[item] };
        let entered: Vec<usize> = items.iter().map(|&item| to[item]).collect();
        let mut touched = entered.clone();
        touched.extend(items.iter().map(|&item| self.assignment[item]));
        touched.sort_unstable();
        touched.dedup();
        touched.into_iter().all(|bin| {
            let stay = self.members[bin].iter().copied().filter(|item| !items.contains(item));
            let come = items.iter().copied().filter(|&item| to[item] == bin);
            let after: Vec<usize> = stay.chain(come).collect();
            self.keeps(&after, bin) || (!self.fits[bin] && !entered.contains(&bin))
        }) && self
            .instance
            .apart
            .iter()
            .all(|&[a, b]| !(items.contains(&a) || items.contains(&b)) || stands(a) != stands(b))
    }

    fn make(&mut self, parts: Vec<(usize, usize)>) -> Step {
        let before: f64 = self.losses.iter().sum();
        let forced = parts.iter().any(|&(item, _)| !self.fits[self.assignment[item]]);
        let mut touched = Vec::new();
        for &(item, bin) in &parts {
            let from = self.assignment[item];
            self.members[from].retain(|&member| member != item);
            let place = self.members[bin].partition_point(|&member| member < item);
            self.members[bin].insert(place, item);
            self.assignment[item] = bin;
            touched.extend([from, bin]);
        }
        touched.sort_unstable();
        touched.dedup();
        touched.into_iter().for_each(|bin| self.reckon(bin));
        Step { parts, change: self.losses.iter().sum::<f64>() - before, forced }
    }
}
