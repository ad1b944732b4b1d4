//! Prices of items as a few numbers: a starting price for each, and smooth corrections along need.
//!
//! Left free, a thousand prices creep; a price is nearly a function of need, of size and of how need changes,
//! so corrections are hats along need, alone and times each of the others. Every price that comes of them is
//! as good a bound as any: the corrections only say where to look.

use crate::arrange::Arrange as _;
use crate::solve::certificate::joint::Joint;
use crate::solve::certificate::rates::{Offer, rate_that_fits};
use crate::solve::instance::{Instance, RESOURCES};

/// Hats along need, over all kinds.
const HATS: usize = 44;
/// Passes in which the charges of bins are settled one after another for the starting prices.
const PASSES: usize = 12;

/// Corrections as a linear map.
#[derive(Debug)]
pub(super) struct Prices {
    /// Price of each item before correction.
    start: Vec<f64>,
    /// For each item, which corrections touch it and how much.
    touch: Vec<Vec<(usize, f64)>>,
    /// How many corrections.
    pub(super) count: usize,
}

impl Prices {
    /// Starting prices from an assignment: at its levels, what an item costs where she costs least once full
    /// bins are charged for.
    pub(super) fn new(instance: &Instance, joint: &Joint, assignment: &[usize]) -> Self {
        let features = features(joint, instance);
        let mut touch = vec![Vec::new(); instance.items()];
        let mut count = 0;
        for kind in 0..instance.kinds() {
            let items = instance.of_kind(kind as u8);
            let hats =
                (HATS * items.len()).div_ceil(instance.items().max(1)).clamp(2, HATS).min(items.len().max(2));
            let mut order = items.clone();
            let key = |item: usize| -> f64 { joint.need[item][0] };
            order.arrange_by(|&a, &b| key(a).total_cmp(&key(b)).then(a.cmp(&b)));
            // Knots at equal shares of the items, so that each hat has some under it.
            for (place, &item) in order.iter().enumerate() {
                let at = place as f64 * (hats - 1) as f64 / (order.len().max(2) - 1) as f64;
                let left = (at as usize).min(hats - 2);
                let right_share = at - left as f64;
                for (feature, value) in features[item].iter().enumerate() {
                    let first = count + feature * hats + left;
                    touch[item].push((first, (1.0 - right_share) * value));
                    touch[item].push((first + 1, right_share * value));
                }
            }
            count += hats * features.first().map_or(0, Vec::len);
        }
        for touch in &mut touch {
            touch.retain(|(_, value)| *value != 0.0);
        }
        Self { start: start(instance, joint, assignment), touch, count }
    }

    /// The prices at given corrections.
    pub(super) fn at(&self, corrections: &[f64]) -> Vec<f64> {
        self.start
            .iter()
            .zip(&self.touch)
            .map(|(start, touch)| {
                start + touch.iter().map(|&(which, value)| corrections[which] * value).sum::<f64>()
            })
            .collect()
    }

    /// What items count for in each correction, and in the starting prices.
    pub(super) fn project(&self, items: impl Iterator<Item = (usize, f64)>) -> (Vec<f64>, f64) {
        let mut sums = vec![0.0; self.count];
        let mut start = 0.0;
        for (item, part) in items {
            start += part * self.start[item];
            for &(which, value) in &self.touch[item] {
                sums[which] += part * value;
            }
        }
        (sums, start)
    }
}

/// What corrections are times: one, size in each resource, and how far need lies off its common line on the
/// other axes; each about nought with a spread of one.
fn features(joint: &Joint, instance: &Instance) -> Vec<Vec<f64>> {
    let items = instance.items();
    let mut columns: Vec<Vec<f64>> = vec![vec![1.0; items]];
    for resource in 0..RESOURCES {
        columns.push((0..items).map(|item| f64::from(instance.room[0][item][resource])).collect());
    }
    for axis in 1..joint.axes {
        let slope = slope(joint, axis);
        columns.push((0..items).map(|item| joint.need[item][axis] - slope * joint.need[item][0]).collect());
    }
    let under = |item: usize| joint.slopes[item][0][0];
    columns.push((0..items).map(under).collect());
    for column in columns.iter_mut().skip(1) {
        standardise(column);
    }
    columns.retain(|column| column.iter().any(|value| *value != 0.0));
    (0..items).map(|item| columns.iter().map(|column| column[item]).collect()).collect()
}

/// Slope of need on an axis over need on the first.
fn slope(joint: &Joint, axis: usize) -> f64 {
    let count = joint.need.len().max(1) as f64;
    let mean = |axis: usize| joint.need.iter().map(|need| need[axis]).sum::<f64>() / count;
    let (first, other) = (mean(0), mean(axis));
    let (mut both, mut own) = (0.0, 0.0);
    for need in &joint.need {
        both += (need[0] - first) * (need[axis] - other);
        own += (need[0] - first) * (need[0] - first);
    }
    if own > 0.0 { both / own } else { 0.0 }
}

fn standardise(column: &mut [f64]) {
    let count = column.len().max(1) as f64;
    let mean = column.iter().sum::<f64>() / count;
    let spread = (column.iter().map(|value| (value - mean) * (value - mean)).sum::<f64>() / count).sqrt();
    for value in column {
        *value = if spread > 1e-9 * mean.abs().max(1.0) { (*value - mean) / spread } else { 0.0 };
    }
}

/// The dearest way to fill bins at the levels of an assignment, as prices: each bin is charged until no more
/// wish to be in it than have room.
fn start(instance: &Instance, joint: &Joint, assignment: &[usize]) -> Vec<f64> {
    let items = instance.items();
    let members = instance.members(assignment);
    let mut bins = Vec::new();
    for bin_type in &joint.types {
        for &bin in &bin_type.bins {
            if !members[bin].is_empty() {
                bins.push((bin, bin_type, joint.best_level(&members[bin])));
            }
        }
    }
    let cost: Vec<Vec<f64>> = bins
        .iter()
        .map(|(bin, bin_type, level)| {
            let kind = instance.kind[members[*bin][0]];
            let own = |item: usize| {
                if instance.kind[item] == kind && instance.may(item, *bin) {
                    joint.loss(item, level) + bin_type.place[item]
                } else {
                    f64::INFINITY
                }
            };
            (0..items).map(own).collect()
        })
        .collect();
    let mut rates = vec![[0.0; RESOURCES]; bins.len()];
    let charged = |bin: usize, item: usize, rates: &[[f64; RESOURCES]]| {
        let room = &bins[bin].1.room[item];
        cost[bin][item] + rates[bin][0] * room[0] + rates[bin][1] * room[1]
    };
    for _ in 0..PASSES {
        for bin in 0..bins.len() {
            for resource in 0..RESOURCES {
                let capacity = bins[bin].1.capacity[resource];
                rates[bin][resource] = 0.0;
                let mut wanted: Vec<Offer> = (0..items)
                    .filter_map(|item| {
                        let elsewhere = (0..bins.len())
                            .filter(|&other| other != bin)
                            .map(|other| charged(other, item, &rates))
                            .fold(f64::INFINITY, f64::min);
                        let gain = elsewhere - charged(bin, item, &rates);
                        let size = bins[bin].1.room[item][resource];
                        (gain > 0.0 && size > 0.0).then(|| (gain / size, size, item))
                    })
                    .collect();
                let rate = rate_that_fits(&mut wanted, capacity);
                rates[bin][resource] = if rate.is_finite() { rate } else { 0.0 };
            }
        }
    }
    (0..items)
        .map(|item| {
            let least = (0..bins.len()).map(|bin| charged(bin, item, &rates)).fold(f64::INFINITY, f64::min);
            if least.is_finite() { least } else { 0.0 }
        })
        .collect()
}
