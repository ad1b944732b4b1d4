//! Items come one by one; each goes where its rule sends it, or on to the next bin with room.

use crate::solve::card::Task;
use crate::solve::card::tally::Tally;
use crate::solve::instance::{Instance, RESOURCES};
use crate::solve::pack;

/// No bin had room.
pub const NOWHERE: usize = usize::MAX;

/// What came of dealing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Dealt {
    /// Items that found their bin full and went on.
    pub spilled: usize,
    /// Items for which no bin had room.
    pub homeless: usize,
    /// Items in bins that hold too few, and could not be moved on.
    pub lonely: usize,
}

/// What a row of bins holds while it is filled.
#[derive(Debug, Clone, Default)]
pub struct Row {
    used: Vec<[u64; RESOURCES]>,
    heads: Vec<usize>,
}

impl Row {
    fn clear(&mut self, bins: usize) {
        self.used.clear();
        self.used.resize(bins, [0; RESOURCES]);
        self.heads.clear();
        self.heads.resize(bins, 0);
    }

    fn has_room(&self, instance: &Instance, item: usize, at: usize, bin: usize) -> bool {
        let limits = &instance.bins[bin];
        instance.may(item, bin)
            && self.heads[at] < limits.max_head
            && self.used[at]
                .iter()
                .zip(instance.room_in(item, bin))
                .zip(limits.capacity)
                .all(|((&used, room), capacity)| used + u64::from(room) <= capacity)
    }

    fn put(&mut self, instance: &Instance, item: usize, at: usize, bin: usize) {
        self.heads[at] += 1;
        for (used, room) in self.used[at].iter_mut().zip(instance.room_in(item, bin)) {
            *used += u64::from(room);
        }
    }

    fn take(&mut self, instance: &Instance, item: usize, at: usize, bin: usize) {
        self.heads[at] -= 1;
        for (used, room) in self.used[at].iter_mut().zip(instance.room_in(item, bin)) {
            *used -= u64::from(room);
        }
    }

    /// The first bin with room from `start` on, else the nearest before it.
    fn find(&self, instance: &Instance, item: usize, bins: &[usize], start: usize) -> Option<usize> {
        let room = |&at: &usize| self.has_room(instance, item, at, bins[at]);
        (start..bins.len()).find(room).or_else(|| (0..start.min(bins.len())).rev().find(room))
    }

    /// Deals `order` into `bins`; `places[i]` becomes the place of the i-th item in the row, or [`NOWHERE`].
    pub fn deal(
        &mut self,
        instance: &Instance,
        order: &[usize],
        bins: &[usize],
        start: impl Fn(usize) -> usize,
        places: &mut Vec<usize>,
    ) -> Dealt {
        self.clear(bins.len());
        places.clear();
        let mut dealt = Dealt::default();
        for (index, &item) in order.iter().enumerate() {
            let from = start(index);
            let place = self.find(instance, item, bins, from);
            if let Some(at) = place {
                self.put(instance, item, at, bins[at]);
                dealt.spilled += usize::from(at != from);
            } else {
                dealt.homeless += 1;
            }
            places.push(place.unwrap_or(NOWHERE));
        }
        for at in 0..bins.len() {
            let fewest = instance.bins[bins[at]].min_head.min(order.len());
            if self.heads[at] > 0 && self.heads[at] < fewest {
                dealt.lonely += self.clear_out(instance, order, bins, at, places);
            }
        }
        dealt
    }

    /// Moves everybody out of a bin that holds too few; how many could not be moved.
    fn clear_out(
        &mut self,
        instance: &Instance,
        order: &[usize],
        bins: &[usize],
        at: usize,
        places: &mut [usize],
    ) -> usize {
        let mut stuck = 0;
        for (place, &item) in places.iter_mut().zip(order).filter(|(place, _)| **place == at) {
            let room =
                |&to: &usize| to != at && self.heads[to] > 0 && self.has_room(instance, item, to, bins[to]);
            let to = (at..bins.len()).find(room).or_else(|| (0..at).rev().find(room));
            if let Some(to) = to {
                self.take(instance, item, at, bins[at]);
                self.put(instance, item, to, bins[to]);
                *place = to;
            } else {
                stuck += 1;
            }
        }
        stuck
    }
}

/// Deals a task's items over and over and reckons what it costs.
#[derive(Debug)]
pub(super) struct Dealer<'a> {
    task: &'a Task<'a>,
    row: Row,
    tally: Tally,
    places: Vec<usize>,
    members: Vec<Vec<usize>>,
    levels: Vec<f64>,
    scratch: Vec<f64>,
    /// What an item without a bin costs: more than any could cost in one.
    penalty: f64,
}

impl<'a> Dealer<'a> {
    pub(super) fn new(task: &'a Task<'a>) -> Self {
        let mut dealer = Self {
            task,
            row: Row::default(),
            tally: Tally::new(task),
            places: Vec::new(),
            members: vec![Vec::new(); task.bins.len()],
            levels: vec![0.0; task.instance.axes()],
            scratch: Vec::new(),
            penalty: 0.0,
        };
        dealer.penalty = 10.0 * dealer.alike() / (task.order.len().max(1) as f64);
        dealer
    }

    /// The loss with all items at one level.
    fn alike(&mut self) -> f64 {
        let instance = self.task.instance;
        instance.best_levels(&self.task.order, &mut self.levels, &mut self.scratch);
        self.task.order.iter().map(|&item| instance.item_loss(item, &self.levels)).sum()
    }

    fn deal(&mut self, bins: &[usize], start: impl Fn(usize) -> usize) -> f64 {
        let Task { instance, order, .. } = self.task;
        let dealt = self.row.deal(instance, order, bins, start, &mut self.places);
        self.penalty * (dealt.homeless + dealt.lonely) as f64
    }

    /// The loss with every bin at its own best levels.
    pub(super) fn loss(&mut self, bins: &[usize], start: impl Fn(usize) -> usize) -> f64 {
        let penalty = self.deal(bins, start);
        let Task { instance, order, .. } = self.task;
        let mut sum = penalty + self.tally.loss(&self.places, bins.len());
        if instance.place_cost.is_some() {
            let placed =
                self.places.iter().zip(order).filter_map(|(&at, &item)| Some((item, *bins.get(at)?)));
            sum += placed.map(|(item, bin)| instance.place_cost(item, bin)).sum::<f64>();
        }
        for (&head, &bin) in self.row.heads.iter().zip(bins) {
            sum += instance.head_cost(bin, head);
        }
        sum
    }

    fn sort_members(&mut self, bins: usize) {
        if self.members.len() < bins {
            self.members.resize(bins, Vec::new());
        }
        for members in &mut self.members {
            members.clear();
        }
        for (&place, &item) in self.places.iter().zip(&self.task.order) {
            if let Some(members) = self.members.get_mut(place) {
                members.push(item);
            }
        }
    }

    /// The loss of each item at the best levels of each place in the row, as they were last dealt;
    /// a place that holds nobody takes the levels of the one before it.
    pub(super) fn table(&mut self, bins: usize, table: &mut Vec<f64>) {
        self.sort_members(bins);
        let instance = self.task.instance;
        let n = self.task.order.len();
        table.clear();
        table.reserve(bins * n);
        for place in 0..bins {
            if self.members[place].is_empty() && place > 0 {
                table.extend_from_within((place - 1) * n..);
                continue;
            }
            instance.best_levels(&self.members[place], &mut self.levels, &mut self.scratch);
            table.extend(self.task.order.iter().map(|&item| instance.item_loss(item, &self.levels)));
        }
    }

    /// The loss at levels that stay as they are.
    pub(super) fn loss_at(&mut self, bins: &[usize], start: impl Fn(usize) -> usize, table: &[f64]) -> f64 {
        let penalty = self.deal(bins, start);
        let n = self.task.order.len();
        let at = |(index, &place): (usize, &usize)| table.get(place.saturating_mul(n).saturating_add(index));
        penalty + self.places.iter().enumerate().filter_map(at).sum::<f64>()
    }
}

/// The nearest assignment within the limits to one that may break them; `None` where none was found.
pub fn mended(instance: &Instance, assignment: &[usize]) -> Option<Vec<usize>> {
    if instance.is_feasible(assignment) {
        return Some(assignment.to_vec());
    }
    let bins = instance.bins.len();
    let axes = instance.axes();
    let mut levels = vec![0.0; bins * axes];
    let mut scratch = Vec::new();
    for (members, levels) in instance.members(assignment).iter().zip(levels.chunks_exact_mut(axes.max(1))) {
        instance.best_levels(members, levels, &mut scratch);
    }
    let table: Vec<f64> = (0..instance.items())
        .flat_map(|item| {
            let at = levels.chunks_exact(axes.max(1)).enumerate();
            at.map(move |(bin, levels)| instance.item_loss(item, levels) + instance.place_cost(item, bin))
        })
        .collect();
    pack::mend(instance, assignment, &table).filter(|mended| instance.is_feasible(mended))
}
