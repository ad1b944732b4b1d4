//! What each unit loses in each bin at given levels: the table that local search lives on.
//!
//! With `h = (under + over) / 2` and `d = (under − over) / 2` the loss on the leading axes is
//! `Σ w · (h · |x − r| + d · (x − r))`. The second sum needs an item's and a bin's total alone, so one pass of
//! absolute differences over weighted needs is left, which is most of the work of a whole sort.

use crate::solve::instance::Instance;
use crate::solve::placement::Units;

/// Needs ready for the table, and the table.
#[derive(Debug, Clone)]
pub(super) struct Losses {
    bins: usize,
    axes: usize,
    leading: usize,
    /// Needs times the weight of their axis, unit by unit in the order of its items.
    needs: Vec<f64>,
    /// Half the sum of an item's slopes, half their difference, and the total of its weighted leading needs.
    items: Vec<[f64; 3]>,
    /// First item of each unit, in that order.
    start: Vec<usize>,
    /// Loss of each unit in each bin.
    table: Vec<f64>,
    /// Levels times the weight of their axis.
    levels: Vec<f64>,
}

/// Sums side by side: no addition waits for the one before.
const LANES: usize = 4;

impl Losses {
    /// Nothing tabled yet.
    pub(super) fn new(instance: &Instance, units: &Units) -> Self {
        let (axes, leading, bins) = (instance.axes(), instance.leading, instance.bins.len());
        let (mut needs, mut items, mut start) = (Vec::new(), Vec::new(), vec![0]);
        needs.reserve(instance.need.len());
        for unit in 0..units.count() {
            for &item in units.items(unit) {
                let first = needs.len();
                needs.extend(instance.need_of(item).iter().zip(&instance.weight).map(|(need, w)| need * w));
                let [under, over] = instance.slopes_of(item);
                let total = needs[first..first + leading].iter().sum();
                items.push([0.5 * (under + over), 0.5 * (under - over), total]);
            }
            start.push(items.len());
        }
        let table = vec![0.0; bins * units.count()];
        Self { bins, axes, leading, needs, items, start, table, levels: vec![0.0; axes] }
    }

    /// What a unit loses in each bin.
    #[inline]
    pub(super) fn of(&self, unit: usize) -> &[f64] {
        &self.table[unit * self.bins..(unit + 1) * self.bins]
    }

    /// Tables one bin anew at its levels, with what places cost there.
    pub(super) fn set(&mut self, instance: &Instance, units: &Units, bin: usize, levels: &[f64]) {
        for (level, (own, weight)) in self.levels.iter_mut().zip(levels.iter().zip(&instance.weight)) {
            *level = own * weight;
        }
        let total: f64 = self.levels[..self.leading].iter().sum();
        let (lead_levels, soft_levels) = self.levels.split_at(self.leading);
        if self.axes == 1 && self.leading == 1 && self.items.len() + 1 == self.start.len() {
            // One need an item and every unit one item: the usual sort of a large flock for one day.
            let slots = self.table.iter_mut().skip(bin).step_by(self.bins);
            for ((slot, need), [half, slant, _]) in slots.zip(&self.needs).zip(&self.items) {
                *slot = half * (need - total).abs() + slant * (need - total);
            }
            return self.add_places(instance, units, bin);
        }
        for unit in 0..self.start.len() - 1 {
            let mut loss = 0.0;
            for item in self.start[unit]..self.start[unit + 1] {
                let needs = &self.needs[item * self.axes..(item + 1) * self.axes];
                let [half, slant, own] = self.items[item];
                let (lead, soft) = needs.split_at(self.leading);
                loss += half * apart(lead, lead_levels) + slant * (own - total) + apart(soft, soft_levels);
            }
            self.table[unit * self.bins + bin] = loss;
        }
        self.add_places(instance, units, bin);
    }

    fn add_places(&mut self, instance: &Instance, units: &Units, bin: usize) {
        if instance.place_cost.is_some() {
            for unit in 0..self.start.len() - 1 {
                let places = units.items(unit).iter().map(|&item| instance.place_cost(item, bin));
                self.table[unit * self.bins + bin] += places.sum::<f64>();
            }
        }
    }
}

/// The sum of absolute differences, always added up in the same order.
#[inline]
fn apart(a: &[f64], b: &[f64]) -> f64 {
    let mut sums = [0.0; LANES];
    let count = a.len().min(b.len());
    let (a, b) = (&a[..count], &b[..count]);
    let mut place = 0;
    while place + LANES <= count {
        for (lane, sum) in sums.iter_mut().enumerate() {
            *sum += (a[place + lane] - b[place + lane]).abs();
        }
        place += LANES;
    }
    let mut rest = 0.0;
    while place < count {
        rest += (a[place] - b[place]).abs();
        place += 1;
    }
    (sums[0] + sums[2]) + (sums[1] + sums[3]) + rest
}
