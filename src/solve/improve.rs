//! Local search: levels against assignment, moves, swaps and chains of two moves.
//!
//! With the levels held, the loss of an assignment is a sum over units, so the change of any exchange is
//! a sum of entries of one table; with the assignment held, the best level of each bin is a quantile.
//! Going to and fro never makes the loss larger and ends where neither helps. No limit is ever broken on
//! the way. The budget is counted in rounds, so a slow machine gives the same answer.

use crate::arrange::{ascend, by_value};
use crate::solve::instance::{Assignment, Instance};
use crate::solve::losses::Losses;
use crate::solve::placement::Placement;

/// Changes smaller than this are not worth a round (rounding of sums).
const LEAST_GAIN: f64 = 1e-9;
/// How many of the cheapest units of a bin are tried in each place of a chain.
const CHAIN_WIDTH: usize = 12;

/// An assignment with what it takes to change it quickly.
pub struct Search<'a> {
    instance: &'a Instance,
    placement: Placement<'a>,
    /// Levels, bin by bin, one figure an axis.
    levels: Vec<f64>,
    /// What each unit loses in each bin at the levels.
    losses: Losses,
    /// Bins whose members have changed since their levels were set.
    stale: Vec<bool>,
    /// The least that moving one unit from a bin to another would change, when it was last looked for.
    least: Vec<f64>,
    members: Vec<usize>,
    scratch: Vec<f64>,
}

impl<'a> Search<'a> {
    /// Starts from an assignment that breaks no limit.
    pub fn new(instance: &'a Instance, assignment: &[usize]) -> Self {
        let bins = instance.bins.len();
        let placement = Placement::new(instance, assignment);
        let mut search = Self {
            instance,
            levels: (0..bins).flat_map(|_| instance.axes.iter().map(|axis| axis.low)).collect(),
            losses: Losses::new(instance, &placement.units),
            stale: vec![true; bins],
            least: vec![f64::INFINITY; bins * bins],
            placement,
            members: Vec::new(),
            scratch: Vec::new(),
        };
        (0..bins).for_each(|bin| search.tabulate(bin));
        search.relevel();
        search
    }

    /// Starts again from another assignment that breaks no limit.
    pub fn start_from(&mut self, assignment: &[usize]) {
        for unit in 0..self.placement.units.count() {
            let bin = assignment[self.placement.units.items(unit)[0]];
            if self.placement.bin_of(unit) != Some(bin) {
                self.shift(unit, bin);
            }
        }
        self.relevel();
    }

    /// The assignment as it stands.
    pub fn assignment(&self) -> Assignment {
        self.placement.assignment()
    }

    /// Its loss at the present levels.
    pub fn loss(&self) -> f64 {
        let bins = self.instance.bins.len();
        let units = (0..self.placement.units.count())
            .filter_map(|unit| Some(self.losses.of(unit)[self.placement.bin_of(unit)?]));
        units.sum::<f64>()
            + (0..bins).map(|bin| self.instance.head_cost(bin, self.placement.head(bin))).sum::<f64>()
    }

    /// Exchanges units at the levels that `change` makes of the present ones, bin by bin, and only then sets
    /// the levels to their best again: the way out of a place where nothing simple helps.
    pub fn shake(&mut self, mut change: impl FnMut(&mut [f64])) {
        for levels in self.levels.chunks_exact_mut(self.instance.axes()) {
            change(levels);
        }
        for bin in 0..self.instance.bins.len() {
            self.tabulate(bin);
            self.stale[bin] = true;
        }
        self.exchange();
        self.relevel();
    }

    /// Improves until a round gains nothing, or `rounds` are used up. Returns the loss.
    pub fn polish(&mut self, rounds: usize) -> f64 {
        let mut loss = self.loss();
        for _ in 0..rounds {
            self.exchange();
            self.relevel();
            let mut now = self.loss();
            if now > loss - LEAST_GAIN * loss.max(1.0) {
                // Chains cost more to look for; they are tried only where nothing simpler is left.
                if !self.chains() {
                    return now;
                }
                self.relevel();
                now = self.loss();
            }
            loss = now;
        }
        loss
    }

    /// Moves and swaps at the levels as they stand.
    fn exchange(&mut self) {
        self.look();
        // A move may make room for another.
        for _ in 0..self.instance.bins.len() {
            if !self.moves() {
                break;
            }
            self.look();
        }
        self.swaps();
    }

    /// Sets the levels of every bin that changed to its best, and the table with them.
    fn relevel(&mut self) {
        let axes = self.instance.axes();
        for bin in 0..self.instance.bins.len() {
            // An empty bin keeps its level, so that whoever looks into it finds something to aim for.
            if std::mem::take(&mut self.stale[bin]) && self.placement.head(bin) > 0 {
                self.placement.items_in(bin, &mut self.members);
                let levels = &mut self.levels[bin * axes..(bin + 1) * axes];
                self.instance.best_levels(&self.members, levels, &mut self.scratch);
                self.tabulate(bin);
            }
        }
    }

    fn tabulate(&mut self, bin: usize) {
        let axes = self.instance.axes();
        let levels = &self.levels[bin * axes..(bin + 1) * axes];
        self.losses.set(self.instance, &self.placement.units, bin, levels);
    }

    fn shift(&mut self, unit: usize, bin: usize) {
        if let Some(from) = self.placement.bin_of(unit) {
            self.stale[from] = true;
        }
        self.stale[bin] = true;
        self.placement.shift(unit, bin);
    }

    /// How the loss changes when a unit goes to a bin, but for what filling costs.
    fn change(&self, unit: usize, bin: usize) -> f64 {
        let losses = self.losses.of(unit);
        losses[bin] - self.placement.bin_of(unit).map_or(0.0, |here| losses[here])
    }

    /// How what filling costs changes when a unit goes to a bin.
    fn filling(&self, unit: usize, bin: usize) -> f64 {
        let head = self.placement.units.head(unit);
        self.placement.bin_of(unit).map_or(0.0, |here| self.placement.filling_change(head, here, bin))
    }

    /// Moves into bins that have room as they stand; room that a move makes is for the next time. Whether any moved.
    fn moves(&mut self) -> bool {
        let bins = self.instance.bins.len();
        let counts_filling = self.instance.even != 0.0;
        let mut wishes: Vec<(f64, usize, usize)> = Vec::new();
        for bin in (0..bins).filter(|&bin| !self.placement.is_full(bin)) {
            for from in 0..bins {
                if !counts_filling && self.least_change(from, bin) >= -LEAST_GAIN {
                    continue;
                }
                let wish = |(change, unit)| (change + self.filling(unit, bin), unit, bin);
                wishes.extend(self.movable(from, bin).map(wish).filter(|wish| wish.0 < -LEAST_GAIN));
            }
        }
        wishes.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        let mut any = false;
        for (_, unit, bin) in wishes {
            if self.change(unit, bin) + self.filling(unit, bin) < -LEAST_GAIN
                && self.placement.has_room(unit, bin, None)
                && self.placement.may_leave(unit)
            {
                self.shift(unit, bin);
                any = true;
            }
        }
        any
    }

    /// Looks for the least that moving some unit of each bin to each other would change.
    fn look(&mut self) {
        (0..self.instance.bins.len()).for_each(|bin| self.look_in(bin));
    }

    /// The same for the units of one bin.
    fn look_in(&mut self, here: usize) {
        let bins = self.instance.bins.len();
        let least = &mut self.least[here * bins..(here + 1) * bins];
        least.fill(f64::INFINITY);
        for &unit in self.placement.members(here) {
            let losses = self.losses.of(unit);
            let own = losses[here];
            for (bin, (least, loss)) in least.iter_mut().zip(losses).enumerate() {
                if loss - own < *least && self.placement.may(unit, bin) {
                    *least = loss - own;
                }
            }
        }
    }

    /// The least that moving some unit of `from` to `to` changed when it was last looked for.
    fn least_change(&self, from: usize, to: usize) -> f64 {
        if from == to { f64::INFINITY } else { self.least[from * self.instance.bins.len() + to] }
    }

    /// The units of `from` that may go to `to`, with what that would change.
    fn movable(&self, from: usize, to: usize) -> impl Iterator<Item = (f64, usize)> {
        let units = self.placement.members(from).iter();
        units.filter(move |&&unit| self.placement.may(unit, to)).map(move |&unit| {
            let losses = self.losses.of(unit);
            (losses[to] - losses[from], unit)
        })
    }

    /// Those that would change less than `below`, cheapest first.
    fn by_change(&self, from: usize, to: usize, below: f64) -> Vec<(f64, usize)> {
        let mut units: Vec<(f64, usize)> =
            self.movable(from, to).filter(|&(change, _)| change < below).collect();
        ascend(&mut units);
        units
    }

    fn swaps(&mut self) {
        let bins = self.instance.bins.len();
        for a in 0..bins {
            for b in a + 1..bins {
                if self.least_change(a, b) + self.least_change(b, a) >= -LEAST_GAIN {
                    continue;
                }
                // Only those are sorted who could gain with the best partner there is.
                let there = self.by_change(a, b, -self.least_change(b, a) - LEAST_GAIN);
                let Some(&(cheapest, _)) = there.first() else { continue };
                let mut back = self.by_change(b, a, -cheapest - LEAST_GAIN);
                let mut any = false;
                for (change, unit) in there {
                    let partner = back
                        .iter()
                        .take_while(|&&(back_change, _)| change + back_change < -LEAST_GAIN)
                        .position(|&(_, partner)| self.may_swap((unit, a), (partner, b)));
                    if let Some(position) = partner {
                        let (_, partner) = back.remove(position);
                        self.shift(unit, b);
                        self.shift(partner, a);
                        any = true;
                    }
                }
                if any {
                    self.look_in(a);
                    self.look_in(b);
                }
            }
        }
    }

    /// Whether two may change places. Where they are of unlike head, what filling costs must not rise.
    fn may_swap(&self, (unit, a): (usize, usize), (partner, b): (usize, usize)) -> bool {
        let (head, back) = (self.placement.units.head(unit), self.placement.units.head(partner));
        let filling = match head.cmp(&back) {
            std::cmp::Ordering::Equal => 0.0,
            std::cmp::Ordering::Greater => self.placement.filling_change(head - back, a, b),
            std::cmp::Ordering::Less => self.placement.filling_change(back - head, b, a),
        };
        filling <= 0.0
            && self.placement.has_room(unit, b, Some(partner))
            && self.placement.has_room(partner, a, Some(unit))
    }

    /// One unit to a full bin and one of that bin onward, where the two together gain. Whether any did.
    fn chains(&mut self) -> bool {
        let bins = self.instance.bins.len();
        self.look();
        let mut gainful = Vec::new();
        for a in 0..bins {
            for b in (0..bins).filter(|&b| b != a) {
                for c in (0..bins).filter(|&c| c != a && c != b) {
                    let filling = self.placement.filling_change(1, a, c);
                    if self.least_change(a, b) + self.least_change(b, c) + filling < -LEAST_GAIN {
                        gainful.push((a, b, c));
                    }
                }
            }
        }
        let mut cheapest: Vec<Option<Vec<(f64, usize)>>> = vec![None; bins * bins];
        for &(a, b, c) in &gainful {
            for (from, to) in [(a, b), (b, c)] {
                let place = from * bins + to;
                if cheapest[place].is_none() {
                    cheapest[place] = Some(self.cheapest(from, to));
                }
            }
        }
        let mut any = false;
        for (a, b, c) in gainful {
            let (Some(first), Some(second)) = (&cheapest[a * bins + b], &cheapest[b * bins + c]) else {
                continue;
            };
            if let Some((unit, pushed)) = self.chain(first, second, (a, b, c)) {
                self.shift(pushed, c);
                self.shift(unit, b);
                any = true;
            }
        }
        any
    }

    /// The few units of `from` that would change least by moving to `to`, cheapest first.
    fn cheapest(&self, from: usize, to: usize) -> Vec<(f64, usize)> {
        let mut units: Vec<(f64, usize)> = self.movable(from, to).collect();
        if units.len() > CHAIN_WIDTH {
            units.select_nth_unstable_by(CHAIN_WIDTH - 1, by_value);
            units.truncate(CHAIN_WIDTH);
        }
        ascend(&mut units);
        units
    }

    fn chain(
        &self,
        first: &[(f64, usize)],
        second: &[(f64, usize)],
        (a, b, c): (usize, usize, usize),
    ) -> Option<(usize, usize)> {
        // One out of `a`, one into `c`, as many in `b` as before; where filling counts, only single items go.
        let filling = self.placement.filling_change(1, a, c);
        for &(change, unit) in first {
            for &(onward, pushed) in second {
                if change + onward + filling >= -LEAST_GAIN {
                    break;
                }
                // An earlier chain of this round may have moved either.
                let heads = (self.placement.units.head(unit), self.placement.units.head(pushed));
                if self.placement.bin_of(unit) == Some(a)
                    && self.placement.bin_of(pushed) == Some(b)
                    && (self.instance.even == 0.0 || heads == (1, 1))
                    && self.placement.may_leave(unit)
                    && self.placement.has_room(pushed, c, None)
                    && self.placement.has_room(unit, b, Some(pushed))
                {
                    return Some((unit, pushed));
                }
            }
        }
        None
    }
}
