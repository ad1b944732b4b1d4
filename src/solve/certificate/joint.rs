//! The problem as the certificate sees it: few axes, taken together.
//!
//! The loss is sublinear in need and level, so the sum over the axes of a range is at least the loss of the
//! sums: whatever is a bound for the summed problem is one for the whole. Two ranges of days keep all but
//! about a hundredth of the loss, since needs change evenly.

use crate::arrange::ascend;
use crate::solve::instance::{Instance, RESOURCES};

/// The most axes that are priced together.
pub(super) const MOST_AXES: usize = 4;
/// Parts in which a family of many axes is taken, where there is room for them.
const PARTS: usize = 2;

/// A figure for each axis; those past the last are nought.
pub(super) type Point = [f64; MOST_AXES];

/// Items and bins on few axes.
#[derive(Debug)]
pub(super) struct Joint {
    /// How many axes.
    pub(super) axes: usize,
    /// Needs, item by item, each axis summed with its weights.
    pub(super) need: Vec<Point>,
    /// Loss of a unit below and above need, by item and axis.
    pub(super) slopes: Vec<[[f64; 2]; MOST_AXES]>,
    /// Least and greatest level.
    pub(super) low: Point,
    /// Greatest level.
    pub(super) high: Point,
    /// Bins that are alike.
    pub(super) types: Vec<BinType>,
    /// What an item more or fewer than the fair head costs.
    pub(super) even: f64,
}

/// Bins alike in every way that the loss can see.
#[derive(Debug)]
pub(super) struct BinType {
    /// Which.
    pub(super) bins: Vec<usize>,
    /// Capacity of each resource; infinite where there is no limit.
    pub(super) capacity: [f64; RESOURCES],
    /// The most items.
    pub(super) max_head: f64,
    /// Head that costs nothing where filling counts.
    pub(super) fair_head: f64,
    /// Items that may come, kind by kind.
    pub(super) open: Vec<Vec<usize>>,
    /// What each item takes here.
    pub(super) room: Vec<[f64; RESOURCES]>,
    /// What each item costs here whatever the level.
    pub(super) place: Vec<f64>,
}

impl Joint {
    pub(super) fn new(instance: &Instance) -> Self {
        let mut parts = PARTS;
        while parts > 1 && instance.ranges(parts).len() > MOST_AXES {
            parts -= 1;
        }
        let mut ranges = instance.ranges(parts);
        // There are four families at the most; were there more, those left out could only lower the bound.
        ranges.truncate(MOST_AXES);
        let sum = |value: &dyn Fn(usize) -> f64| -> Point {
            let mut point = [0.0; MOST_AXES];
            for (at, range) in point.iter_mut().zip(&ranges) {
                *at = range.clone().map(|axis| instance.weight[axis] * value(axis)).sum();
            }
            point
        };
        let slopes = |item: usize| {
            let mut slopes = [[0.0; 2]; MOST_AXES];
            for (at, range) in slopes.iter_mut().zip(&ranges) {
                *at = if range.start < instance.leading { instance.slopes_of(item) } else { [1.0; 2] };
            }
            slopes
        };
        Self {
            axes: ranges.len(),
            need: (0..instance.items()).map(|item| sum(&|axis| instance.need_of(item)[axis])).collect(),
            slopes: (0..instance.items()).map(slopes).collect(),
            low: sum(&|axis| instance.axes[axis].low),
            high: sum(&|axis| instance.axes[axis].high),
            types: types(instance),
            even: instance.even,
        }
    }

    /// Loss of an item at a level.
    pub(super) fn loss(&self, item: usize, level: &Point) -> f64 {
        let (need, slopes) = (&self.need[item], &self.slopes[item]);
        (0..self.axes)
            .map(|axis| {
                let gap = need[axis] - level[axis];
                slopes[axis][0] * gap.max(0.0) + slopes[axis][1] * (-gap).max(0.0)
            })
            .sum()
    }

    /// What so many head cost a bin of a type.
    pub(super) fn head_cost(&self, bin_type: &BinType, head: f64) -> f64 {
        if self.even == 0.0 { 0.0 } else { self.even * (head - bin_type.fair_head).abs() }
    }

    /// The best level for some items, the smallest on each axis.
    pub(super) fn best_level(&self, items: &[usize]) -> Point {
        let mut level = [0.0; MOST_AXES];
        for (axis, at) in level.iter_mut().enumerate().take(self.axes) {
            let mut keyed: Vec<(f64, usize)> =
                items.iter().map(|&item| (self.need[item][axis], item)).collect();
            ascend(&mut keyed);
            let under: f64 = keyed.iter().map(|&(_, item)| self.slopes[item][axis][0]).sum();
            let mut below = 0.0;
            let found = keyed.iter().find(|&&(_, item)| {
                below += self.slopes[item][axis][0] + self.slopes[item][axis][1];
                below >= under * (1.0 - 1e-12)
            });
            *at = found.map_or(0.0, |&(need, _)| need).clamp(self.low[axis], self.high[axis]);
        }
        level
    }
}

fn types(instance: &Instance) -> Vec<BinType> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for bin in 0..instance.bins.len() {
        let twin = groups.iter_mut().find(|group| {
            let first = group[0];
            instance.bins[first] == instance.bins[bin]
                && (0..instance.items()).all(|item| {
                    instance.may(item, first) == instance.may(item, bin)
                        && instance.place_cost(item, first) == instance.place_cost(item, bin)
                })
        });
        match twin {
            Some(group) => group.push(bin),
            None => groups.push(vec![bin]),
        }
    }
    let limit = |capacity: u64| if capacity == u64::MAX { f64::INFINITY } else { capacity as f64 };
    groups
        .into_iter()
        .map(|bins| {
            let bin = bins[0];
            let record = &instance.bins[bin];
            let open = |kind: usize| {
                (0..instance.items())
                    .filter(|&item| usize::from(instance.kind[item]) == kind && instance.may(item, bin))
                    .collect()
            };
            BinType {
                capacity: record.capacity.map(limit),
                // The same on machines whose widest number differs.
                max_head: record.max_head.min(instance.items()) as f64,
                fair_head: record.fair_head,
                open: (0..instance.kinds()).map(open).collect(),
                room: (0..instance.items()).map(|item| instance.room_in(item, bin).map(f64::from)).collect(),
                place: (0..instance.items()).map(|item| instance.place_cost(item, bin)).collect(),
                bins,
            }
        })
        .collect()
}
