//! The order in which items go from one assignment to another, so that no bin is overfilled on the way.
//!
//! A step is one item that goes where there is room, two that change places, three in a ring. Where none of
//! these keeps every limit, a bin may be short of its fewest items for a while; where even that lets nobody
//! go, one item is taken out and waits in no bin until there is room. Bins that are over their limits at first
//! get no worse.

use crate::arrange::Arrange as _;
use crate::solve::instance::{Assignment, Instance};

/// Items that go together, and what that changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Who goes where.
    pub parts: Vec<Part>,
    /// How the loss changes; below nought is a gain. What taking an item out changes is told with the step
    /// that puts it in again.
    pub change: f64,
    /// Whether an item of it leaves a bin that breaks its limits.
    pub forced: bool,
}

/// One item of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// The item.
    pub item: usize,
    /// The bin that it leaves; none where it has waited.
    pub from: Option<usize>,
    /// The bin that it goes to; none where it is to wait.
    pub to: Option<usize>,
}

/// The steps from one assignment to another that keeps all limits; whoever gains most goes first among those
/// who may.
pub fn order(instance: &Instance, from: &[usize], to: &[usize]) -> Vec<Step> {
    let mut way = Way::new(instance, from);
    let mut pending = units(instance, from, to, &way);
    let mut steps = Vec::new();
    while !pending.is_empty() {
        match way.next(&pending) {
            Choice::Go(chosen) => {
                let going: Vec<Unit> = chosen.iter().map(|&unit| pending[unit].clone()).collect();
                let mut place = 0;
                pending.retain(|_| {
                    place += 1;
                    !chosen.contains(&(place - 1))
                });
                let carried: f64 = going.iter().map(|unit| unit.carried).sum();
                let step = way.make(going.iter().flat_map(|unit| unit.parts(Some(unit.to))).collect());
                steps.push(Step { change: step.change + carried, ..step });
            }
            Choice::Wait(unit) => {
                let unit = &mut pending[unit];
                let step = way.make(unit.parts(None));
                (unit.from, unit.carried) = (None, step.change);
                steps.push(Step { change: 0.0, ..step });
            }
        }
    }
    steps
}

/// What moves as one: an item, or those of a set that must share a bin.
#[derive(Debug, Clone)]
struct Unit {
    items: Vec<usize>,
    /// Where it stands; none while it waits.
    from: Option<usize>,
    to: usize,
    /// How the loss changed when it was taken out.
    carried: f64,
}

impl Unit {
    fn parts(&self, to: Option<usize>) -> Vec<Part> {
        self.items.iter().map(|&item| Part { item, from: self.from, to }).collect()
    }
}

/// What comes next.
enum Choice {
    /// These go to their bins together.
    Go(Vec<usize>),
    /// This one is taken out and waits.
    Wait(usize),
}

/// The units that move. Whoever gains most comes first.
fn units(instance: &Instance, from: &[usize], to: &[usize], way: &Way<'_>) -> Vec<Unit> {
    let mut levels = vec![0.0; instance.axes()];
    let mut after = Vec::new();
    for members in instance.members(to) {
        instance.best_levels(&members, &mut levels, &mut Vec::new());
        after.push(levels.clone());
    }
    let mut units: Vec<Unit> = Vec::new();
    for item in (0..from.len()).filter(|&item| from[item] != to[item]) {
        let set = instance.together.iter().find(|set| set.contains(&item));
        // Those of a set who stand apart at first (a limit that is broken) go each on its own.
        let is_fellow = |unit: &&mut Unit| {
            set.is_some_and(|set| set.contains(&unit.items[0])) && unit.from == Some(from[item])
        };
        match units.iter_mut().find(is_fellow) {
            Some(unit) => unit.items.push(item),
            None => {
                units.push(Unit { items: vec![item], from: Some(from[item]), to: to[item], carried: 0.0 });
            }
        }
    }
    let gain = |unit: &Unit| -> f64 {
        unit.items
            .iter()
            .map(|&item| {
                instance.item_loss(item, &way.levels[from[item]]) - instance.item_loss(item, &after[to[item]])
            })
            .sum()
    };
    units.arrange_by(|a, b| gain(b).total_cmp(&gain(a)).then(a.items.cmp(&b.items)));
    units
}

/// Which limits a step must keep.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Keeping {
    /// All.
    All,
    /// All but a bin's fewest items.
    NotOver,
}

struct Way<'a> {
    instance: &'a Instance,
    assignment: Vec<Option<usize>>,
    members: Vec<Assignment>,
    fits: Vec<bool>,
    losses: Vec<f64>,
    levels: Vec<Vec<f64>>,
}

impl<'a> Way<'a> {
    fn new(instance: &'a Instance, from: &[usize]) -> Self {
        let bins = instance.bins.len();
        let mut way = Self {
            instance,
            assignment: from.iter().map(|&bin| Some(bin)).collect(),
            members: instance.members(from),
            fits: vec![true; bins],
            losses: vec![0.0; bins],
            levels: vec![vec![0.0; instance.axes()]; bins],
        };
        (0..bins).for_each(|bin| way.reckon(bin));
        way
    }

    /// Whether a bin keeps its limits, who may be there included.
    fn keeps(&self, members: &[usize], bin: usize, keeping: Keeping) -> bool {
        let holds = match keeping {
            Keeping::All => self.instance.fits(members, bin),
            Keeping::NotOver => self.instance.holds(members, bin),
        };
        holds && members.iter().all(|&item| self.instance.may(item, bin))
    }

    fn reckon(&mut self, bin: usize) {
        let members = &self.members[bin];
        self.instance.best_levels(members, &mut self.levels[bin], &mut Vec::new());
        let levels = &self.levels[bin];
        let loss =
            |&item: &usize| self.instance.item_loss(item, levels) + self.instance.place_cost(item, bin);
        self.losses[bin] =
            members.iter().map(loss).sum::<f64>() + self.instance.head_cost(bin, members.len());
        self.fits[bin] = self.keeps(members, bin, Keeping::All);
    }

    fn next(&self, pending: &[Unit]) -> Choice {
        let go =
            [Keeping::All, Keeping::NotOver].into_iter().find_map(|keeping| self.going(pending, keeping));
        if let Some(units) = go {
            return Choice::Go(units);
        }
        // Whoever, once out, lets another go; else whoever gains most.
        let mut standing = (0..pending.len()).filter(|&unit| pending[unit].from.is_some());
        let first = standing.clone().next();
        match standing.find(|&unit| self.opens(pending, unit)).or(first) {
            Some(unit) => Choice::Wait(unit),
            // Cannot be where the bins aimed at keep the limits; the loop must end all the same.
            None => Choice::Go((0..pending.len()).collect()),
        }
    }

    /// Units that may go to their bins now: one, two that change places, or three in a ring.
    fn going(&self, pending: &[Unit], keeping: Keeping) -> Option<Vec<usize>> {
        let all = 0..pending.len();
        let allowed = |units: &[usize]| {
            let units: Vec<&Unit> = units.iter().map(|&unit| &pending[unit]).collect();
            self.allowed(&units, None, keeping)
        };
        // Whoever stands in a bin that breaks its limits goes before the rest, then whoever waits.
        let is_forced = |unit: &usize| pending[*unit].from.is_some_and(|from| !self.fits[from]);
        let waits = |unit: &usize| pending[*unit].from.is_none();
        let order = all.clone().filter(is_forced).chain(all.clone().filter(waits)).chain(all.clone());
        if let Some(unit) = order.into_iter().find(|&unit| allowed(&[unit])) {
            return Some(vec![unit]);
        }
        let ends = |unit: usize| (pending[unit].from, Some(pending[unit].to));
        for first in all.clone() {
            let (a, b) = ends(first);
            let back = (first + 1..pending.len()).filter(|&unit| ends(unit) == (b, a));
            if let Some(second) = back.into_iter().find(|&second| allowed(&[first, second])) {
                return Some(vec![first, second]);
            }
        }
        for first in all.clone() {
            let (a, b) = ends(first);
            for second in all.clone().filter(|&unit| ends(unit).0 == b && ends(unit).1 != a) {
                let closing = (ends(second).1, a);
                let ring = all.clone().filter(|&unit| ends(unit) == closing);
                if let Some(third) = ring.into_iter().find(|&third| allowed(&[first, second, third])) {
                    return Some(vec![first, second, third]);
                }
            }
        }
        None
    }

    /// Whether taking a unit out lets another go.
    fn opens(&self, pending: &[Unit], out: usize) -> bool {
        let others = pending.iter().enumerate().filter(|&(unit, _)| unit != out);
        others.into_iter().any(|(_, unit)| self.allowed(&[unit], Some(&pending[out]), Keeping::NotOver))
    }

    /// Whether these units may go at once, `out` being taken out first: the bins that they enter keep their
    /// limits, those that they leave still do if they did.
    fn allowed(&self, units: &[&Unit], out: Option<&Unit>, keeping: Keeping) -> bool {
        let goes_to = |item: usize| units.iter().find(|unit| unit.items.contains(&item)).map(|unit| unit.to);
        let is_out = |item: usize| out.is_some_and(|out| out.items.contains(&item));
        let mut touched: Vec<usize> =
            units.iter().flat_map(|unit| unit.from.into_iter().chain([unit.to])).collect();
        touched.sort_unstable();
        touched.dedup();
        let stands =
            |item: usize| goes_to(item).or_else(|| if is_out(item) { None } else { self.assignment[item] });
        touched.into_iter().all(|bin| {
            let stay =
                self.members[bin].iter().copied().filter(|&item| goes_to(item).is_none() && !is_out(item));
            let come = units.iter().filter(|unit| unit.to == bin).flat_map(|unit| unit.items.iter().copied());
            let after: Vec<usize> = stay.chain(come).collect();
            let is_entered = units.iter().any(|unit| unit.to == bin);
            self.keeps(&after, bin, keeping) || (!self.fits[bin] && !is_entered)
        }) && self.instance.apart.iter().all(|&[a, b]| {
            goes_to(a).or(goes_to(b)).is_none() || stands(a).is_none() || stands(a) != stands(b)
        })
    }

    fn make(&mut self, parts: Vec<Part>) -> Step {
        let before: f64 = self.losses.iter().sum();
        let forced = parts.iter().any(|part| part.from.is_some_and(|from| !self.fits[from]));
        let mut touched = Vec::new();
        for part in &parts {
            if let Some(from) = part.from {
                self.members[from].retain(|&member| member != part.item);
            }
            if let Some(to) = part.to {
                let place = self.members[to].partition_point(|&member| member < part.item);
                self.members[to].insert(place, part.item);
            }
            self.assignment[part.item] = part.to;
            touched.extend([part.from, part.to].into_iter().flatten());
        }
        touched.sort_unstable();
        touched.dedup();
        touched.into_iter().for_each(|bin| self.reckon(bin));
        Step { parts, change: self.losses.iter().sum::<f64>() - before, forced }
    }
}
