//! An assignment laid out so that what an exchange changes is told without going through whole bins: every bin
//! has its members on every axis in order with running sums ([`crate::solve::line`]), and what it holds.
//!
//! No limit is broken by an exchange that [`Board::allows`].

use crate::solve::instance::{Instance, RESOURCES};
use crate::solve::line::{Line, Mark};

/// The most items in one exchange.
pub(super) const MOST: usize = 3;

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

    /// The same with what it truly changes.
    pub(super) fn reckoned(self, board: &Board<'_>) -> Self {
        Self { change: board.change(&self), ..self }
    }
}

/// An assignment on its way from the old one.
pub(super) struct Board<'a> {
    pub(super) instance: &'a Instance,
    old: &'a [usize],
    assignment: Vec<usize>,
    /// The members of each bin among those that may go anywhere at all; in no order that means anything.
    movers: Vec<Vec<usize>>,
    heads: Vec<usize>,
    used: Vec<[u64; RESOURCES]>,
    /// The kind in each bin that holds anybody.
    kinds: Vec<u8>,
    /// By bin, then by axis.
    lines: Vec<Line>,
    levels: Vec<f64>,
    /// What the places of each bin's members cost.
    places: Vec<f64>,
    losses: Vec<f64>,
    /// How many stand elsewhere than at first.
    moves: usize,
}

impl<'a> Board<'a> {
    /// An assignment that breaks no limit; only items of `movable` may go anywhere.
    pub(super) fn new(instance: &'a Instance, old: &'a [usize], start: &[usize], movable: &[usize]) -> Self {
        let bins = instance.bins.len();
        let mut board = Self {
            instance,
            old,
            assignment: start.to_vec(),
            movers: vec![Vec::new(); bins],
            heads: vec![0; bins],
            used: vec![[0; RESOURCES]; bins],
            kinds: vec![0; bins],
            lines: Vec::with_capacity(bins * instance.axes()),
            levels: vec![0.0; bins * instance.axes()],
            places: vec![0.0; bins],
            losses: vec![0.0; bins],
            moves: count_moves(old, start),
        };
        for &item in movable {
            board.movers[start[item]].push(item);
        }
        for (bin, members) in instance.members(start).into_iter().enumerate() {
            for &item in &members {
                board.kinds[bin] = instance.kind[item];
                add_room(&mut board.used[bin], instance.room_in(item, bin));
                board.places[bin] += instance.place_cost(item, bin);
            }
            board.heads[bin] = members.len();
            for (axis, limits) in instance.axes.iter().enumerate() {
                let mut line = Line::new([limits.low, limits.high]);
                line.fill(members.iter().map(|&item| mark(instance, item, axis)));
                board.lines.push(line);
            }
            board.settle(bin);
        }
        board
    }

    /// Where each item stands.
    pub(super) fn assignment(&self) -> &[usize] {
        &self.assignment
    }

    /// Those of a bin that may go elsewhere.
    pub(super) fn movers(&self, bin: usize) -> &[usize] {
        &self.movers[bin]
    }

    /// How many stand elsewhere than at first.
    pub(super) fn moves(&self) -> usize {
        self.moves
    }

    /// The loss as it stands.
    pub(super) fn loss(&self) -> f64 {
        self.losses.iter().sum()
    }

    /// The best levels of a bin, by axis.
    pub(super) fn levels(&self, bin: usize) -> &[f64] {
        let axes = self.instance.axes();
        &self.levels[bin * axes..(bin + 1) * axes]
    }

    /// Sets a bin's levels and its loss.
    fn settle(&mut self, bin: usize) {
        let axes = self.instance.axes();
        let mut loss = self.places[bin] + self.instance.head_cost(bin, self.heads[bin]);
        for axis in 0..axes {
            let line = &mut self.lines[bin * axes + axis];
            loss += self.instance.weight[axis] * line.settle();
            self.levels[bin * axes + axis] = line.level();
        }
        self.losses[bin] = loss;
    }

    /// An exchange of up to [`MOST`] items, `change` being what it is thought to change.
    pub(super) fn exchange(&self, parts: &[(usize, usize)], change: f64) -> Exchange {
        let mut exchange = Exchange { parts: [(0, 0); MOST], count: parts.len().min(MOST), added: 0, change };
        for (slot, &(item, bin)) in exchange.parts.iter_mut().zip(parts) {
            *slot = (item, bin);
            let (home, here) = (self.old[item], self.assignment[item]);
            exchange.added += i32::from(bin != home) - i32::from(here != home);
        }
        exchange
    }

    /// The bins that an exchange touches, each once; how many.
    fn touched(&self, exchange: &Exchange) -> ([usize; 2 * MOST], usize) {
        let (mut bins, mut count) = ([0; 2 * MOST], 0);
        for &(item, to) in exchange.parts() {
            for bin in [self.assignment[item], to] {
                if !bins[..count].contains(&bin) {
                    bins[count] = bin;
                    count += 1;
                }
            }
        }
        (bins, count)
    }

    /// Whether an exchange keeps every limit. That its items may be where they go is taken for granted.
    pub(super) fn allows(&self, exchange: &Exchange) -> bool {
        let (bins, count) = self.touched(exchange);
        bins[..count].iter().all(|&bin| self.fits(exchange, bin)) && self.keeps_ties(exchange)
    }

    fn fits(&self, exchange: &Exchange, bin: usize) -> bool {
        let mut used = self.used[bin];
        let mut head = self.heads[bin];
        let mut kind = None;
        for &(item, to) in exchange.parts().iter().filter(|part| part.1 == bin) {
            add_room(&mut used, self.instance.room_in(item, to));
            head += 1;
            let own = self.instance.kind[item];
            if kind.is_some_and(|kind| kind != own) {
                return false;
            }
            kind = Some(own);
        }
        let mut gone = 0;
        for &(item, _) in exchange.parts().iter().filter(|&&(item, _)| self.assignment[item] == bin) {
            take_room(&mut used, self.instance.room_in(item, bin));
            gone += 1;
        }
        head -= gone;
        let stays = self.heads[bin] > gone;
        if stays && kind.is_some_and(|kind| kind != self.kinds[bin]) {
            return false;
        }
        let kind = if stays { self.kinds[bin] } else { kind.unwrap_or(self.kinds[bin]) };
        let limits = &self.instance.bins[bin];
        head == 0
            || (head >= self.instance.min_head(kind, bin)
                && head <= limits.max_head
                && used.iter().zip(&limits.capacity).all(|(used, capacity)| used <= capacity))
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

    /// What an exchange truly changes, the levels of the bins that it touches following.
    fn change(&self, exchange: &Exchange) -> f64 {
        let axes = self.instance.axes();
        let (bins, count) = self.touched(exchange);
        let mut change = 0.0;
        for &bin in &bins[..count] {
            let (mut come, mut gone) = ([0; MOST], [0; MOST]);
            let (mut comes, mut goes) = (0, 0);
            let mut place = self.places[bin];
            for &(item, to) in exchange.parts() {
                if to == bin {
                    come[comes] = item;
                    comes += 1;
                    place += self.instance.place_cost(item, bin);
                } else if self.assignment[item] == bin {
                    gone[goes] = item;
                    goes += 1;
                    place -= self.instance.place_cost(item, bin);
                }
            }
            let mut loss = place + self.instance.head_cost(bin, self.heads[bin] + comes - goes);
            for axis in 0..axes {
                let mut coming = come.map(|item| mark(self.instance, item, axis));
                let going = gone.map(|item| mark(self.instance, item, axis));
                let line = &self.lines[bin * axes + axis];
                loss += self.instance.weight[axis] * line.loss_with(&mut coming[..comes], &going[..goes]);
            }
            change += loss - self.losses[bin];
        }
        change
    }

    /// Makes an exchange that is allowed; the bins that it touches, each once.
    pub(super) fn make(&mut self, exchange: &Exchange) -> impl Iterator<Item = usize> + use<> {
        let axes = self.instance.axes();
        let (bins, count) = self.touched(exchange);
        for &(item, to) in exchange.parts() {
            let from = self.assignment[item];
            for axis in 0..axes {
                let mark = mark(self.instance, item, axis);
                self.lines[from * axes + axis].take(mark);
                self.lines[to * axes + axis].put(mark);
            }
            if let Some(place) = self.movers[from].iter().position(|&other| other == item) {
                self.movers[from].swap_remove(place);
                self.movers[to].push(item);
            }
            take_room(&mut self.used[from], self.instance.room_in(item, from));
            add_room(&mut self.used[to], self.instance.room_in(item, to));
            self.heads[from] -= 1;
            self.heads[to] += 1;
            self.kinds[to] = self.instance.kind[item];
            self.places[from] -= self.instance.place_cost(item, from);
            self.places[to] += self.instance.place_cost(item, to);
            self.assignment[item] = to;
        }
        self.moves = self.moves.saturating_add_signed(exchange.added as isize);
        for &bin in &bins[..count] {
            self.settle(bin);
        }
        bins.into_iter().take(count)
    }
}

/// An item on one axis.
fn mark(instance: &Instance, item: usize, axis: usize) -> Mark {
    let slopes = if axis < instance.leading { instance.slopes_of(item) } else { [1.0; 2] };
    Mark { need: instance.need[item * instance.axes() + axis], slopes, item }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solve::drawn::problem;

    #[test]
    fn what_an_exchange_changes_and_whether_it_is_allowed_agree_with_the_whole_assignment() {
        let (mut tried, mut allowed) = (0, 0);
        for seed in 0..400 {
            let (instance, mut below) = problem(seed);
            let (items, bins) = (instance.items(), instance.bins.len());
            let mut draw = || (0..items).map(|_| below(bins)).collect::<Vec<_>>();
            let Some(start) = (0..60).map(|_| draw()).find(|start| instance.is_feasible(start)) else {
                continue;
            };
            let old = draw();
            let all: Vec<usize> = (0..items).collect();
            let mut board = Board::new(&instance, &old, &start, &all);
            for _ in 0..60 {
                assert!((board.loss() - instance.cost(board.assignment())).abs() < 1e-6, "seed {seed}");
                let mut parts: Vec<(usize, usize)> = Vec::new();
                for _ in 0..1 + below(MOST) {
                    let (item, to) = (below(items), below(bins));
                    if board.assignment()[item] != to && parts.iter().all(|part| part.0 != item) {
                        parts.push((item, to));
                    }
                }
                let mut after = board.assignment().to_vec();
                for &(item, to) in &parts {
                    after[item] = to;
                }
                let exchange = board.exchange(&parts, 0.0).reckoned(&board);
                let true_change = instance.cost(&after) - instance.cost(board.assignment());
                assert!(
                    (exchange.change - true_change).abs() < 1e-6,
                    "seed {seed}: {exchange:?}, {true_change}"
                );
                assert_eq!(
                    board.allows(&exchange),
                    instance.is_feasible(&after),
                    "seed {seed}: {exchange:?}"
                );
                tried += 1;
                if board.allows(&exchange) {
                    board.make(&exchange).for_each(drop);
                    assert_eq!(board.assignment(), after);
                    assert_eq!(board.moves(), count_moves(&old, &after));
                    allowed += 1;
                }
            }
        }
        assert!(tried > 3000 && allowed > 300, "{allowed} of {tried}");
    }
}
