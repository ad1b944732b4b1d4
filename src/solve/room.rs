//! Whether bins can hold a kind's items at all, from sums of room: a "no" is a proof, a "yes" is not.
//!
//! For any measure `b` of the items (their size in one resource, or 1 for each), a bin whose capacity in
//! resource `r` is `c` holds items of at most `c / min_i(a_i / b_i)` in that measure, `a_i` being what item
//! `i` takes of `r` there. The bin's worth is the least of that over its limits, and items that measure more
//! than the sum of the bins' worths cannot be held by them. This catches what counting heads smallest first
//! cannot: that large items must go somewhere too.

use crate::arrange::Arrange as _;
use crate::solve::instance::{Instance, RESOURCES};

/// The measures: size in each resource, and heads.
const MEASURES: usize = RESOURCES + 1;

/// Sizes that differ by less than rounding are taken as equal, so that a tight fit is never called none.
const ROUNDING: f64 = 1e-9;

/// What the items of one kind measure, and what each bin is worth to them.
#[derive(Debug)]
pub struct Worth {
    items: [f64; MEASURES],
    bins: Vec<[f64; MEASURES]>,
}

impl Worth {
    /// Measures the items of a kind against every bin.
    pub fn new(instance: &Instance, kind: u8) -> Self {
        let items = instance.of_kind(kind);
        let measure = |item: usize, measure: usize| {
            if measure < RESOURCES { f64::from(instance.room[0][item][measure]).max(1.0) } else { 1.0 }
        };
        Self {
            items: std::array::from_fn(|base| items.iter().map(|&item| measure(item, base)).sum()),
            bins: (0..instance.bins.len())
                .map(|bin| {
                    let open: Vec<usize> =
                        items.iter().copied().filter(|&item| instance.may(item, bin)).collect();
                    std::array::from_fn(|base| worth(instance, bin, &open, |item| measure(item, base)))
                })
                .collect(),
        }
    }

    /// Whether some choice of so many bins out of each list may be able to hold all items; `false` is a proof
    /// that none can, even where the bins of a list take different items.
    pub fn may_hold<'a>(&self, choices: impl Iterator<Item = (&'a [usize], usize)> + Clone) -> bool {
        (0..MEASURES).all(|base| {
            let most = choices.clone().map(|(bins, count)| {
                let mut worths: Vec<f64> = bins.iter().map(|&bin| self.bins[bin][base]).collect();
                worths.arrange_by(|a, b| b.total_cmp(a));
                worths.iter().take(count).sum::<f64>()
            });
            self.items[base] <= most.sum::<f64>() * (1.0 + ROUNDING) + ROUNDING
        })
    }
}

fn worth(instance: &Instance, bin: usize, items: &[usize], measure: impl Fn(usize) -> f64) -> f64 {
    let limits = &instance.bins[bin];
    let largest = items.iter().map(|&item| measure(item)).fold(0.0, f64::max);
    let by_head = largest * limits.max_head.min(items.len()) as f64;
    (0..RESOURCES)
        .map(|resource| {
            let least = items
                .iter()
                .map(|&item| f64::from(instance.room_in(item, bin)[resource]) / measure(item))
                .fold(f64::INFINITY, f64::min);
            if items.is_empty() {
                0.0
            } else {
                limits.capacity[resource] as f64 / least.max(f64::MIN_POSITIVE)
            }
        })
        .fold(by_head, f64::min)
}
