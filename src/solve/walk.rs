//! One small exchange after another, each the best of its size: a move, a swap, a chain or a cycle of three.
//!
//! What an exchange changes is first read off a table at the present levels; the few best are then reckoned
//! with the levels of the bins that they touch set anew ([`crate::solve::board`]). No limit is broken at any
//! step. After a step only what has to do with the bins that it touched is looked at again.

use crate::solve::board::{Board, Exchange, MOST};
use crate::solve::instance::Instance;

/// How many of the cheapest items of a bin are tried in each place of an exchange: as many as make this many
/// among all items, within limits.
const WIDTHS: usize = 600;
const WIDTH: [usize; 2] = [4, 12];
/// How many exchanges of each size are reckoned with new levels: likewise.
const RECKONINGS: usize = 2400;
const RECKONED: [usize; 2] = [2, 48];
/// Changes smaller than this are rounding.
pub(super) const LEAST_GAIN: f64 = 1e-9;

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

/// An item that may go elsewhere, and how the loss would change at the present levels.
type Offer = (f64, usize);

/// An assignment on its way from the old one.
pub(super) struct Walk<'a> {
    pub(super) board: Board<'a>,
    toward: Toward<'a>,
    width: usize,
    reckoned: usize,
    /// Those that may go anywhere at all; the table has figures for them alone.
    movable: Vec<usize>,
    /// The place of each item among them.
    place: Vec<usize>,
    /// Their needs, by axis.
    needs: Vec<f64>,
    /// What a unit below their need counts for, and a unit above, on the leading axes.
    slopes: [Vec<f64>; 2],
    /// What each would lose in each bin at its present levels, by bin.
    table: Vec<f64>,
    /// For each pair of bins, the items of the first that would change least by going to the second.
    lists: Vec<Vec<Offer>>,
}

impl<'a> Walk<'a> {
    /// Starts from an assignment that breaks no limit.
    pub(super) fn new(instance: &'a Instance, old: &'a [usize], start: &[usize], toward: Toward<'a>) -> Self {
        let (bins, axes, items) = (instance.bins.len(), instance.axes(), instance.items());
        let movable: Vec<usize> = match toward {
            Toward::Anywhere => (0..items).collect(),
            Toward::This(wanted) => (0..items).filter(|&item| wanted[item] != start[item]).collect(),
        };
        let mut place = vec![usize::MAX; items];
        for (at, &item) in movable.iter().enumerate() {
            place[item] = at;
        }
        let need = |axis: usize| movable.iter().map(move |&item| instance.need[item * axes + axis]);
        let mut walk = Self {
            board: Board::new(instance, old, start, &movable),
            toward,
            width: (WIDTHS / items.max(1)).clamp(WIDTH[0], WIDTH[1]),
            reckoned: (RECKONINGS / items.max(1)).clamp(RECKONED[0], RECKONED[1]),
            needs: (0..axes).flat_map(need).collect(),
            slopes: [0, 1].map(|side| movable.iter().map(|&item| instance.slopes_of(item)[side]).collect()),
            table: vec![0.0; bins * movable.len()],
            lists: vec![Vec::new(); bins * bins],
            movable,
            place,
        };
        for bin in 0..bins {
            walk.tabulate(bin);
        }
        for pair in 0..bins * bins {
            walk.list(pair / bins, pair % bins);
        }
        walk
    }

    /// What everybody would lose in a bin at its levels.
    fn tabulate(&mut self, bin: usize) {
        let (instance, count) = (self.board.instance, self.movable.len());
        let table = &mut self.table[bin * count..(bin + 1) * count];
        match &instance.place_cost {
            None => table.fill(0.0),
            Some(costs) => {
                let bins = instance.bins.len();
                for (loss, &item) in table.iter_mut().zip(&self.movable) {
                    *loss = costs[item * bins + bin];
                }
            }
        }
        let [under, over] = &self.slopes;
        let levels = self.board.levels(bin).iter().zip(&instance.weight);
        for (axis, (&level, &weight)) in levels.enumerate() {
            let needs = &self.needs[axis * count..(axis + 1) * count];
            if axis < instance.leading {
                for (((loss, need), under), over) in table.iter_mut().zip(needs).zip(under).zip(over) {
                    let gap = need - level;
                    *loss += weight * (under * gap.max(0.0) + over * (-gap).max(0.0));
                }
            } else {
                for (loss, need) in table.iter_mut().zip(needs) {
                    *loss += weight * (need - level).abs();
                }
            }
        }
    }

    /// The items of one bin that would change least by going to another.
    fn list(&mut self, from: usize, to: usize) {
        let (bins, count) = (self.board.instance.bins.len(), self.movable.len());
        let list = &mut self.lists[from * bins + to];
        list.clear();
        if from == to {
            return;
        }
        let there = &self.table[to * count..(to + 1) * count];
        let here = &self.table[from * count..(from + 1) * count];
        // What a list of full length has for its last.
        let mut most = f64::INFINITY;
        for &item in self.board.movers(from) {
            let change = there[self.place[item]] - here[self.place[item]];
            let is_meant = match self.toward {
                Toward::Anywhere => true,
                Toward::This(wanted) => wanted[item] == to,
            };
            if change <= most && is_meant && self.board.instance.may(item, to) {
                // Those alike stand in the order of their numbers, in whatever order they were met.
                let is_before = |other: &Offer| other.0 < change || (other.0 == change && other.1 < item);
                let at = list.partition_point(is_before);
                list.insert(at, (change, item));
                list.truncate(self.width);
                if list.len() == self.width {
                    most = list[self.width - 1].0;
                }
            }
        }
    }

    /// Makes an exchange and looks anew at the bins it touches.
    pub(super) fn make(&mut self, exchange: &Exchange) {
        let bins = self.board.instance.bins.len();
        let mut touched = vec![false; bins];
        for bin in self.board.make(exchange) {
            touched[bin] = true;
            self.tabulate(bin);
        }
        for from in 0..bins {
            for to in 0..bins {
                if touched[from] || touched[to] {
                    self.list(from, to);
                }
            }
        }
    }

    /// The best exchange of each number of items, with the change that it truly makes; those that fit.
    pub(super) fn best(&self, steps: Steps) -> Vec<Exchange> {
        let mut kept = Kept { board: &self.board, most: self.reckoned, by_size: Default::default() };
        self.gather(steps, &mut kept);
        let best = |of_size: Vec<Exchange>| {
            let reckoned = of_size.into_iter().map(|exchange| exchange.reckoned(&self.board));
            reckoned.min_by(|a, b| a.change.total_cmp(&b.change))
        };
        kept.by_size.into_iter().filter_map(best).collect()
    }

    fn gather(&self, steps: Steps, kept: &mut Kept<'_>) {
        let bins = self.board.instance.bins.len();
        for a in 0..bins {
            for b in (0..bins).filter(|&b| b != a) {
                let there = self.lists[a * bins + b].as_slice();
                kept.singles(there, b);
                if steps == Steps::Single {
                    continue;
                }
                let back = self.lists[b * bins + a].as_slice();
                kept.fellows(there, b);
                if a < b {
                    kept.pairs((there, b), (back, a), f64::INFINITY);
                }
                kept.two_for_one((there, b), (back, a));
                for c in (0..bins).filter(|&c| c != a && c != b) {
                    let onward = self.lists[b * bins + c].as_slice();
                    kept.pairs((there, b), (onward, c), 0.0);
                    // A cycle is met from each of its bins; it is kept once.
                    if a < b && a < c {
                        kept.cycles((there, b), (onward, c), (&self.lists[c * bins + a], a));
                    }
                }
            }
        }
    }
}

/// Those of one bin that may go to another, and that other.
type List<'a> = (&'a [Offer], usize);

/// The exchanges of each size that seem best and are allowed, best first. Lists come cheapest first, so that
/// a place is left as soon as it cannot be among them.
struct Kept<'a> {
    board: &'a Board<'a>,
    most: usize,
    by_size: [Vec<Exchange>; MOST],
}

impl Kept<'_> {
    /// What an exchange of so many must change less than.
    fn bar(&self, size: usize) -> f64 {
        let list = &self.by_size[size - 1];
        if list.len() < self.most {
            f64::INFINITY
        } else {
            list.last().map_or(f64::INFINITY, |last| last.change)
        }
    }

    fn keep(&mut self, parts: &[(usize, usize)], change: f64) {
        let exchange = self.board.exchange(parts, change);
        if self.board.allows(&exchange) {
            let list = &mut self.by_size[parts.len() - 1];
            let place = list.partition_point(|other| other.change <= change);
            list.insert(place, exchange);
            list.truncate(self.most);
        }
    }

    fn singles(&mut self, list: &[Offer], to: usize) {
        for &(change, item) in list {
            if change >= self.bar(1) {
                return;
            }
            self.keep(&[(item, to)], change);
        }
    }

    /// Two that go one way and the other, or one after the other; together they must change less than `below`.
    fn pairs(&mut self, (there, b): List<'_>, (onward, c): List<'_>, below: f64) {
        for &(first, one) in there {
            for (place, &(second, two)) in onward.iter().enumerate() {
                if first + second >= self.bar(2).min(below) {
                    if place == 0 {
                        return;
                    }
                    break;
                }
                self.keep(&[(one, b), (two, c)], first + second);
            }
        }
    }

    /// Two or three that go the same way: a bin may take or lose no single one (its fewest head).
    fn fellows(&mut self, list: &[Offer], to: usize) {
        for (place, &(first, one)) in list.iter().enumerate() {
            for (next, &(second, two)) in list.iter().enumerate().skip(place + 1) {
                if first + second < self.bar(2) {
                    self.keep(&[(one, to), (two, to)], first + second);
                }
                for &(third, three) in &list[next + 1..] {
                    if first + second + third >= self.bar(3) {
                        break;
                    }
                    self.keep(&[(one, to), (two, to), (three, to)], first + second + third);
                }
            }
        }
    }

    /// Two of one bin for one of another: two small ones may take the room of a large one.
    fn two_for_one(&mut self, (there, b): List<'_>, (back, a): List<'_>) {
        let Some(&(least, _)) = back.first() else { return };
        for (place, &(first, one)) in there.iter().enumerate() {
            for &(second, two) in &there[place + 1..] {
                if first + second + least >= self.bar(3) {
                    break;
                }
                for &(third, three) in back {
                    if first + second + third >= self.bar(3) {
                        break;
                    }
                    self.keep(&[(one, b), (two, b), (three, a)], first + second + third);
                }
            }
        }
    }

    fn cycles(&mut self, (there, b): List<'_>, (onward, c): List<'_>, (back, a): List<'_>) {
        let Some(&(least, _)) = back.first() else { return };
        for &(first, one) in there {
            for &(second, two) in onward {
                if first + second + least >= self.bar(3).min(0.0) {
                    break;
                }
                for &(third, three) in back {
                    if first + second + third >= self.bar(3).min(0.0) {
                        break;
                    }
                    self.keep(&[(one, b), (two, c), (three, a)], first + second + third);
                }
            }
        }
    }
}
