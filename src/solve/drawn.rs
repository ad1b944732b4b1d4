//! Problems drawn from seeds, for the tests that stand beside the code.

use crate::solve::instance::{Axis, Bin, Instance, Slopes};
use rand_xoshiro::Xoshiro256Plus;
use rand_xoshiro::rand_core::{RngCore, SeedableRng};

/// A problem in which everything that may count counts now and then, with many items that lie alike; and the
/// draws that go on from it.
pub(super) fn problem(seed: u64) -> (Instance, impl FnMut(usize) -> usize) {
    let mut random = Xoshiro256Plus::seed_from_u64(seed);
    let mut below = move |count: usize| (random.next_u64() >> 33) as usize % count;
    let (items, bins, axes) = (6 + below(30), 2 + below(3), 1 + below(4));
    let leading = axes - below(2).min(axes - 1);
    let slopes = if below(2) == 0 {
        Slopes::Same([4.0, 1.0])
    } else {
        Slopes::Each((0..items).map(|_| [1.0 + below(6) as f64, 0.5 + below(2) as f64]).collect())
    };
    let kind: Vec<u8> = (0..items).map(|item| u8::from(item > 0 && below(8) == 0)).collect();
    let instance = Instance {
        axes: vec![Axis { low: 9.0, high: 12.0, family: 0 }; axes],
        weight: (0..axes).map(|_| 0.5 + below(4) as f64).collect(),
        leading,
        need: (0..items * axes).map(|_| 8.0 + 0.25 * below(20) as f64).collect(),
        slopes,
        room: vec![(0..items).map(|_| [40 + below(20) as u32, 100 + below(40) as u32]).collect(); 2],
        bins: (0..bins)
            .map(|bin| Bin {
                space_type: bin % 2,
                capacity: [(items * (30 + below(40))) as u64, (items * 110) as u64],
                max_head: 1 + below(items),
                min_head: 1 + below(3),
                fair_head: below(items) as f64,
            })
            .collect(),
        kind_size: Instance::count_kinds(&kind),
        kind,
        allowed: vec![(1 << bins) - 1; items],
        place_cost: (below(2) == 0).then(|| (0..items * bins).map(|_| below(5) as f64).collect()),
        even: below(3) as f64,
        together: if below(3) == 0 { vec![vec![0, 1]] } else { Vec::new() },
        apart: if below(3) == 0 { vec![[2, 3]] } else { Vec::new() },
    };
    (instance, below)
}
