//! A lower bound that holds for every assignment within the limits.
//!
//! Two relaxations, each of which can only lower the least loss. First, the room labels are dealt anew:
//! any set of bins holds at most as many items as fit taking the smallest first, so only heads count and
//! the split along one line is exact. Second, days are taken together: the loss is sublinear, so the sum
//! over the days of a range is at least the loss of the sums, with one level a range; and each range, like
//! each soft axis, is solved on its own. Levels are continuous throughout: nothing is priced on a grid.
//! Where slopes differ from item to item, the least of each stands for all.
//!
//! It is 0 % from the optimum where the axis is one and room is equal, and loose where trough binds in one
//! bin and floor in another, where needs cross within a range, or where slopes differ.

use crate::solve::instance::Instance;
use crate::solve::runs::{self, Room};

/// A bound, or the proof that no assignment keeps the limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bound {
    /// No assignment loses less.
    AtLeast(f64),
    /// Even with the room relaxed the items cannot be placed.
    Impossible,
}

/// The bound, within a budget of table cells.
pub fn lower_bound(instance: &Instance, cells: usize) -> Bound {
    if instance.items() == 0 {
        return Bound::AtLeast(0.0);
    }
    let Some(whole) = runs::best(instance, Room::Relaxed, &instance.ranges(1), cells) else {
        return Bound::Impossible;
    };
    let mut best = whole.loss;
    let finest = instance.ranges((cells / whole.cells.max(1)).max(1));
    if finest.len() > instance.ranges(1).len() {
        best = runs::best(instance, Room::Relaxed, &finest, cells).map_or(best, |fine| best.max(fine.loss));
    }
    Bound::AtLeast((best + least_places(instance)).max(0.0))
}

/// What places cost at the least, wherever everybody goes.
pub(super) fn least_places(instance: &Instance) -> f64 {
    if instance.place_cost.is_none() {
        return 0.0;
    }
    let least = |item: usize| {
        let open = (0..instance.bins.len()).filter(|&bin| instance.may(item, bin));
        open.map(|bin| instance.place_cost(item, bin)).fold(f64::INFINITY, f64::min)
    };
    (0..instance.items()).map(least).sum()
}
