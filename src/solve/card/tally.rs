//! What items lose in the bins to which they were dealt, every bin at its own best levels: one pass over the
//! items in order of need for each axis, however many bins there are.
//!
//! A level keeps within its axis's limits, so a need beyond a limit loses the same whatever the level, but for
//! what it would lose at the limit: that part is summed once, and the need is taken as the limit.

use crate::arrange::Arrange as _;
use crate::solve::card::Task;

/// A sum of slopes a hair below a whole one is that one (rounding of sums); as in `instance`.
const ROUNDING: f64 = 1e-9;

/// The items of a task in order of need, axis by axis.
#[derive(Debug)]
pub(super) struct Tally {
    axes: Vec<Ordered>,
    /// What each item loses beyond the limits of the axes, by place in the task's order.
    beyond: Vec<f64>,
    sums: Vec<Sums>,
}

/// The items on one axis.
#[derive(Debug)]
struct Ordered {
    weight: f64,
    marks: Vec<Mark>,
}

/// An item on an axis.
#[derive(Debug, Clone, Copy)]
struct Mark {
    /// Its place in the task's order.
    place: usize,
    /// Its need within the limits.
    need: f64,
    under: f64,
    over: f64,
}

/// What a bin's items sum to.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    /// Slopes both ways of those up to the level, and how much of them it takes to reach it.
    reached: f64,
    enough: f64,
    level: f64,
    /// Slopes above need of those at or below the level, also times need.
    over: f64,
    over_need: f64,
    /// Slopes below need of those above it, also times need.
    under: f64,
    under_need: f64,
}

impl Tally {
    pub(super) fn new(task: &Task<'_>) -> Self {
        let instance = task.instance;
        let mut beyond = vec![0.0; task.order.len()];
        let axes = instance.axes.iter().zip(&instance.weight).enumerate().map(|(axis, (limits, &weight))| {
            let mut marks: Vec<Mark> = Vec::with_capacity(task.order.len());
            for (place, &item) in task.order.iter().enumerate() {
                let [under, over] = if axis < instance.leading { instance.slopes_of(item) } else { [1.0; 2] };
                let need = instance.need_of(item)[axis];
                beyond[place] +=
                    weight * (under * (need - limits.high).max(0.0) + over * (limits.low - need).max(0.0));
                marks.push(Mark { place, need: need.clamp(limits.low, limits.high), under, over });
            }
            marks.arrange_by(|a, b| a.need.total_cmp(&b.need).then(a.place.cmp(&b.place)));
            Ordered { weight, marks }
        });
        Self { axes: axes.collect(), beyond, sums: Vec::new() }
    }

    /// The loss of the items in a row of so many bins, without what places and heads cost; whoever stands beyond
    /// the row loses nothing.
    pub(super) fn loss(&mut self, places: &[usize], bins: usize) -> f64 {
        let mut loss: f64 =
            places.iter().zip(&self.beyond).filter(|(at, _)| **at < bins).map(|(_, beyond)| beyond).sum();
        for Ordered { weight, marks } in &self.axes {
            // One more, for those without a bin.
            self.sums.clear();
            self.sums.resize(bins + 1, Sums::default());
            for mark in marks {
                let sums = &mut self.sums[places[mark.place].min(bins)];
                sums.enough += mark.under - ROUNDING * (mark.under + mark.over);
            }
            for mark in marks {
                let sums = &mut self.sums[places[mark.place].min(bins)];
                if sums.reached < sums.enough {
                    sums.reached += mark.under + mark.over;
                    sums.level = mark.need;
                    sums.over += mark.over;
                    sums.over_need += mark.over * mark.need;
                } else {
                    sums.under += mark.under;
                    sums.under_need += mark.under * mark.need;
                }
            }
            let of_bin = |sums: &Sums| {
                sums.over * sums.level - sums.over_need + sums.under_need - sums.under * sums.level
            };
            loss += weight * self.sums[..bins].iter().map(of_bin).sum::<f64>();
        }
        loss
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::solve::drawn::problem;

    #[test]
    fn the_loss_is_that_of_best_levels_whoever_stands_where() {
        let mut homeless = 0;
        for seed in 0..200 {
            let (instance, mut below) = problem(seed);
            let order: Vec<usize> = (0..instance.items()).rev().collect();
            let task = Task {
                instance: &instance,
                bins: (0..instance.bins.len()).collect(),
                counts: Vec::new(),
                values: Vec::new(),
                position: Vec::new(),
                under: 4.0,
                over: 1.0,
                order: order.clone(),
            };
            let bins = instance.bins.len();
            let mut tally = Tally::new(&task);
            for _ in 0..5 {
                // Now and then somebody has no bin.
                let places: Vec<usize> =
                    order.iter().map(|_| if below(9) == 0 { usize::MAX } else { below(bins) }).collect();
                homeless += places.iter().filter(|&&place| place >= bins).count();
                let mut levels = vec![0.0; instance.axes()];
                let mut loss = 0.0;
                for bin in 0..bins {
                    let of_bin = places.iter().zip(&order).filter(|(place, _)| **place == bin);
                    let members: Vec<usize> = of_bin.map(|(_, &item)| item).collect();
                    instance.best_levels(&members, &mut levels, &mut Vec::new());
                    loss += members.iter().map(|&item| instance.item_loss(item, &levels)).sum::<f64>();
                }
                let told = tally.loss(&places, bins);
                assert!((told - loss).abs() < 1e-9 * loss.max(1.0), "seed {seed}: {told}, not {loss}");
            }
        }
        assert!(homeless > 100);
    }
}
