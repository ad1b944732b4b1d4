//! One small exchange after another, each the best of its size: a move, a swap, a chain or a cycle of three.
//!
//! What an exchange changes is first read off a table at the present levels; the few best are then reckoned
//! with the levels of the bins that they touch set anew. No limit is broken at any step.

use crate::solve::instance::{Assignment, Instance, RESOURCES};

/// The most items in one exchange.
pub(super) const MOST: usize = 3;
/// How many of the cheapest items of a bin are tried in each place of an exchange: as many as make this many
/// among all items, within limits.
const WIDTHS: usize = 600;
const WIDTH: [usize; 2] = [4, 12];
/// How many exchanges of each size are reckoned with new levels: likewise.
const RECKONINGS: usize = 2400;
const RECKONED: [usize; 2] = [2, 48];
/// How many times more are kept for that, since some turn out not to fit.
const KEPT: usize = 3;
/// Changes smaller than this are rounding.
pub(super) const LEAST_GAIN: f64 = 1e-9;

/// Items and where they go, together.
#[derive(Debug, Clone, Copy)]
pub(super) struct Exchange {
    parts: [(usize, usize); MOST],
    count: usize,
    /// How many more items stand elsewhere than at first, less those that are back.
    pub(super) added: i32,
    /// How the loss changes.
    pub(super) change: f64,
}

impl Exchange {
    /// Each item and its bin to be.
    pub(super) fn parts(&self) -> &[(usize, usize)] {
        &self.parts[..self.count]
    }
}

/// Which items may go where.
#[derive(Debug, Clone, Copy)]
pub(super) enum Toward<'a> {
    /// Anywhere.
    Anywhere,
    /// Only to the bin that this assignment has for them.
    This(&'a [usize]),
}

/// What a walk may do in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Steps {
    /// Any exchange.
    Any,
    /// Only a single item at a time, which now and then gets further with few moves.
    Single,
}

/// An assignment on its way from the old one.
pub(super) struct Walk<'a> {
    instance: &'a Instance,
    old: &'a [usize],
    assignment: Assignment,
    members: Vec<Vec<usize>>,
    used: Vec<[u64; RESOURCES]>,
    levels: Vec<f64>,
    table: Vec<f64>,
    bin_loss: Vec<f64>,
    scratch: Vec<f64>,
    width: usize,
    reckoned: usize,
    toward: Toward<'a>,
    /// Those that may go anywhere at all; the table has figures for them alone.
    movable: Vec<usize>,
    /// How many stand elsewhere than at first.
    pub(super) moves: usize,
}

impl<'a> Walk<'a> {
    /// Starts from an assignment that breaks no limit.
    pub(super) fn new(instance: &'a Instance, old: &'a [usize], start: &[usize], toward: Toward<'a>) -> Self {
        let (bins, axes) = (instance.bins.len(), instance.axes());
        let mut walk = Self {
            instance,
            old,
            assignment: start.to_vec(),
            members: instance.members(start),
            used: vec![[0; RESOURCES]; bins],
            levels: vec![0.0; bins * axes],
            table: vec![0.0; bins * instance.items()],
            bin_loss: vec![0.0; bins],
            scratch: Vec::new(),
            width: (WIDTHS / instance.items().max(1)).clamp(WIDTH[0], WIDTH[1]),
            reckoned: (RECKONINGS / instance.items().max(1)).clamp(RECKONED[0], RECKONED[1]),
            toward,
            movable: match toward {
                Toward::Anywhere => (0..instance.items()).collect(),
                Toward::This(wanted) => {
                    (0..instance.items()).filter(|&item| wanted[item] != start[item]).collect()
                }
            },
            moves: count_moves(old, start),
        };
        for (item, &bin) in start.iter().enumerate() {
            add_room(&mut walk.used[bin], instance.room_in(item, bin));
        }
        for bin in 0..bins {
            walk.relevel(bin);
        }
        walk
    }

    /// The assignment as it stands.
    pub(super) fn assignment(&self) -> &Assignment {
        &self.assignment
    }

    /// Its loss.
    pub(super) fn loss(&self) -> f64 {
        self.bin_loss.iter().sum()
    }

    fn relevel(&mut self, bin: usize) {
        let (bins, axes) = (self.instance.bins.len(), self.instance.axes());
        let levels = &mut self.levels[bin * axes..(bin + 1) * axes];
        self.instance.best_levels(&self.members[bin], levels, &mut self.scratch);
        let loss =
            |&item: &usize| self.instance.item_loss(item, levels) + self.instance.place_cost(item, bin);
        for item in &self.movable {
            self.table[item * bins + bin] = loss(item);
        }
        self.bin_loss[bin] = self.members[bin].iter().map(loss).sum::<f64>()
            + self.instance.head_cost(bin, self.members[bin].len());
    }

    /// Makes an exchange and sets the levels of the bins it touches.
    pub(super) fn make(&mut self, exchange: &Exchange) {
        let mut touched = Vec::with_capacity(2 * MOST);
        for &(item, bin) in exchange.parts() {
            let from = self.assignment[item];
            self.members[from].retain(|&member| member != item);
            let place = self.members[bin].partition_point(|&member| member < item);
            self.members[bin].insert(place, item);
            take_room(&mut self.used[from], self.instance.room_in(item, from));
            add_room(&mut self.used[bin], self.instance.room_in(item, bin));
            self.assignment[item] = bin;
            touched.extend([from, bin]);
        }
        touched.sort_unstable();
        touched.dedup();
        for bin in touched {
            self.relevel(bin);
        }
        self.moves = count_moves(self.old, &self.assignment);
    }

    /// The best exchange of each number of items, with the change that it truly makes; those that fit.
    pub(super) fn best(&mut self, steps: Steps) -> Vec<Exchange> {
        let lists = self.cheapest();
        let mut kept: [Vec<Exchange>; MOST] = Default::default();
        self.gather(&lists, steps, &mut kept);
        let mut best = Vec::new();
        for mut of_size in kept {
            of_size.sort_by(|a, b| a.change.total_cmp(&b.change).then(a.parts.cmp(&b.parts)));
            let fitting: Vec<Exchange> =
                of_size.into_iter().filter(|exchange| self.fits(exchange)).take(self.reckoned).collect();
            let reckoned =
                fitting.into_iter().map(|exchange| Exchange { change: self.change(&exchange), ..exchange });
            best.extend(reckoned.min_by(|a, b| a.change.total_cmp(&b.change)));
        }
        best
    }

    /// For each pair of bins, the items of the first that would change least by going to the second.
    fn cheapest(&self) -> Vec<Vec<(f64, usize)>> {
        let bins = self.instance.bins.len();
        let mut lists: Vec<Vec<(f64, usize)>> = vec![Vec::new(); bins * bins];
        // What a list of full length has for its last.
        let mut most = vec![f64::INFINITY; bins * bins];
        for &item in &self.movable {
            let from = self.assignment[item];
            let row = &self.table[item * bins..(item + 1) * bins];
            let mut offer = |bin: usize| {
                let pair = from * bins + bin;
                let change = row[bin] - row[from];
                if change < most[pair] && self.instance.may(item, bin) {
                    let list = &mut lists[pair];
                    let place = list.partition_point(|&(other, _)| other <= change);
                    list.insert(place, (change, item));
                    list.truncate(self.width);
                    if list.len() == self.width {
                        most[pair] = list.last().map_or(f64::INFINITY, |&(last, _)| last);
                    }
                }
            };
            match self.toward {
                Toward::Anywhere => (0..bins).filter(|&bin| bin != from).for_each(&mut offer),
                Toward::This(wanted) if wanted[item] != from => offer(wanted[item]),
                Toward::This(_) => {}
            }
        }
        lists
    }

    fn gather(&self, lists: &[Vec<(f64, usize)>], steps: Steps, kept: &mut [Vec<Exchange>; MOST]) {
        let bins = self.instance.bins.len();
        for a in 0..bins {
            for b in (0..bins).filter(|&b| b != a) {
                for &first in &lists[a * bins + b] {
                    self.keep(kept, &[(first, b)]);
                }
                if steps == Steps::Single {
                    continue;
                }
                self.gather_fellows(&lists[a * bins + b], b, kept);
                if a < b {
                    for &first in &lists[a * bins + b] {
                        for &second in &lists[b * bins + a] {
                            self.keep(kept, &[(first, b), (second, a)]);
                        }
                    }
                }
                self.gather_two_for_one(lists, (a, b), kept);
                for c in (0..bins).filter(|&c| c != a && c != b) {
                    self.gather_three(lists, (a, b, c), kept);
                }
            }
        }
    }

    /// Two or three that go the same way: a bin may take or lose no single one (its fewest head).
    fn gather_fellows(&self, list: &[(f64, usize)], to: usize, kept: &mut [Vec<Exchange>; MOST]) {
        for (place, &first) in list.iter().enumerate() {
            for (next, &second) in list.iter().enumerate().skip(place + 1) {
                self.keep(kept, &[(first, to), (second, to)]);
                for &third in &list[next + 1..] {
                    self.keep(kept, &[(first, to), (second, to), (third, to)]);
                }
            }
        }
    }

    /// Two of one bin for one of another: two small ones may take the room of a large one.
    fn gather_two_for_one(
        &self,
        lists: &[Vec<(f64, usize)>],
        (a, b): (usize, usize),
        kept: &mut [Vec<Exchange>; MOST],
    ) {
        let bins = self.instance.bins.len();
        let (there, back) = (&lists[a * bins + b], &lists[b * bins + a]);
        for (place, &first) in there.iter().enumerate() {
            for &second in &there[place + 1..] {
                for &third in back {
                    self.keep(kept, &[(first, b), (second, b), (third, a)]);
                }
            }
        }
    }

    fn gather_three(
        &self,
        lists: &[Vec<(f64, usize)>],
        (a, b, c): (usize, usize, usize),
        kept: &mut [Vec<Exchange>; MOST],
    ) {
        let bins = self.instance.bins.len();
        for &first in &lists[a * bins + b] {
            for &second in &lists[b * bins + c] {
                if first.0 + second.0 < 0.0 {
                    self.keep(kept, &[(first, b), (second, c)]);
                }
                // A cycle is met from each of its bins; it is kept once.
                if a < b && a < c {
                    for &third in &lists[c * bins + a] {
                        if first.0 + second.0 + third.0 < 0.0 {
                            self.keep(kept, &[(first, b), (second, c), (third, a)]);
                        }
                    }
                }
            }
        }
    }

    /// Keeps an exchange if it is among the best of its size and seems to fit.
    fn keep(&self, kept: &mut [Vec<Exchange>; MOST], parts: &[((f64, usize), usize)]) {
        let change: f64 = parts.iter().map(|((change, _), _)| change).sum();
        let list = &mut kept[parts.len() - 1];
        if list.len() == KEPT * self.reckoned && list.last().is_some_and(|worst| change >= worst.change) {
            return;
        }
        let mut exchange = Exchange { parts: [(0, 0); MOST], count: parts.len(), added: 0, change };
        for (slot, &((_, item), bin)) in exchange.parts.iter_mut().zip(parts) {
            *slot = (item, bin);
            exchange.added +=
                i32::from(bin != self.old[item]) - i32::from(self.assignment[item] != self.old[item]);
        }
        if self.has_room(&exchange) {
            let place = list.partition_point(|other| other.change <= change);
            list.insert(place, exchange);
            list.truncate(KEPT * self.reckoned);
        }
    }

    /// Whether room and heads allow it; kinds and whatever else are asked of the instance afterwards.
    fn has_room(&self, exchange: &Exchange) -> bool {
        exchange.parts().iter().all(|&(_, bin)| {
            let mut used = self.used[bin];
            let mut head = self.members[bin].len();
            for &(item, to) in exchange.parts() {
                if to == bin {
                    add_room(&mut used, self.instance.room_in(item, bin));
                    head += 1;
                }
            }
            for &(item, _) in exchange.parts() {
                if self.assignment[item] == bin {
                    take_room(&mut used, self.instance.room_in(item, bin));
                    head -= 1;
                }
            }
            let limits = &self.instance.bins[bin];
            head <= limits.max_head
                && (0..RESOURCES).all(|resource| used[resource] <= limits.capacity[resource])
        })
    }

    fn touched(exchange: &Exchange, assignment: &[usize]) -> Vec<usize> {
        let mut bins: Vec<usize> =
            exchange.parts().iter().flat_map(|&(item, bin)| [assignment[item], bin]).collect();
        bins.sort_unstable();
        bins.dedup();
        bins
    }

    /// The members of a bin after an exchange.
    fn members_after(&self, exchange: &Exchange, bin: usize) -> Vec<usize> {
        let goes = |item: &usize| exchange.parts().iter().any(|(gone, to)| gone == item && *to != bin);
        let comers = exchange.parts().iter().filter(|(_, to)| *to == bin).map(|&(item, _)| item);
        let mut after: Vec<usize> = Vec::with_capacity(self.members[bin].len() + MOST);
        after.extend(self.members[bin].iter().copied().filter(|item| !goes(item)));
        // The members are in order already; sorting them all again would cost more than all else here.
        for comer in comers {
            after.insert(after.partition_point(|&member| member < comer), comer);
        }
        after
    }

    fn fits(&self, exchange: &Exchange) -> bool {
        Self::touched(exchange, &self.assignment)
            .into_iter()
            .all(|bin| self.instance.fits(&self.members_after(exchange, bin), bin))
            && self.keeps_ties(exchange)
    }

    /// Whether those who must share a bin still do, and those who must not do not.
    fn keeps_ties(&self, exchange: &Exchange) -> bool {
        if self.instance.together.is_empty() && self.instance.apart.is_empty() {
            return true;
        }
        let stands = |item: usize| {
            let part = exchange.parts().iter().find(|&&(goes, _)| goes == item);
            part.map_or(self.assignment[item], |&(_, to)| to)
        };
        self.instance.apart.iter().all(|&[a, b]| stands(a) != stands(b))
            && self
                .instance
                .together
                .iter()
                .all(|set| set.windows(2).all(|two| stands(two[0]) == stands(two[1])))
    }

    /// What it truly changes, the levels of the bins it touches set anew.
    fn change(&mut self, exchange: &Exchange) -> f64 {
        let mut levels = vec![0.0; self.instance.axes()];
        let mut change = 0.0;
        for bin in Self::touched(exchange, &self.assignment) {
            let after = self.members_after(exchange, bin);
            self.instance.best_levels(&after, &mut levels, &mut self.scratch);
            let loss =
                |item: usize| self.instance.item_loss(item, &levels) + self.instance.place_cost(item, bin);
            let head = after.len();
            change += after.into_iter().map(loss).sum::<f64>() + self.instance.head_cost(bin, head)
                - self.bin_loss[bin];
        }
        change
    }
}

/// How many items stand in another bin than the old one.
pub(super) fn count_moves(old: &[usize], assignment: &[usize]) -> usize {
    old.iter().zip(assignment).filter(|(old, new)| old != new).count()
}

fn add_room(sum: &mut [u64; RESOURCES], room: [u32; RESOURCES]) {
    for (sum, part) in sum.iter_mut().zip(room) {
        *sum += u64::from(part);
    }
}

fn take_room(sum: &mut [u64; RESOURCES], room: [u32; RESOURCES]) {
    for (sum, part) in sum.iter_mut().zip(room) {
        *sum -= u64::from(part);
    }
}
