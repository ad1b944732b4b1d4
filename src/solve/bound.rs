//! A lower bound that holds for every assignment within the limits.
//!
//! Two relaxations, each of which can only lower the least loss. First, the room labels are dealt anew:
//! any set of bins holds at most as many items as fit taking the smallest first, so only heads count and
//! the split along one line is exact. Second, days are taken together: the loss is sublinear, so the sum
//! over the days of a range is at least the loss of the sums, with one level a range; and each range is
//! solved on its own. Levels are continuous throughout: nothing is priced on a grid.
//!
//! It is 0 % from the optimum where the day is one and room is equal, and loose where trough binds in one
//! bin and floor in another, or where needs cross within a range.

use crate::solve::instance::Instance;
use crate::solve::runs::{self, Room, day_ranges};

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
    let Some(whole) = runs::best(instance, Room::Relaxed, &day_ranges(instance.days, 1), cells) else {
        return Bound::Impossible;
    };
    let mut best = whole.loss;
    let ranges = day_ranges(instance.days, (cells / whole.cells.max(1)).clamp(1, instance.days));
    if ranges.len() > 1 {
        best = runs::best(instance, Room::Relaxed, &ranges, cells).map_or(best, |fine| best.max(fine.loss));
    }
    Bound::AtLeast(best.max(0.0))
}
