//! Problems of numbers alone, drawn from seeds: what the kernels are tried on.
#![allow(dead_code, missing_docs, unreachable_pub)]

use evenfold::solve::instance::{Axis, Bin, Instance, Slopes};

#[path = "dice.rs"]
mod dice;
pub use dice::Dice;

/// A problem of two to eight items; with `soft`, everything that may count counts in some of them.
pub fn small_problem(seed: u64, soft: bool) -> Instance {
    let mut dice = Dice(seed);
    let items = 2 + dice.below(7);
    let bins = 1 + dice.below(3);
    problem(dice, items, bins, soft)
}

/// A problem of so many items and bins.
pub fn problem(mut dice: Dice, items: usize, bins: usize, soft: bool) -> Instance {
    let days = 1 + dice.below(3);
    let equal_room = dice.below(3) == 0;
    let two_kinds = dice.below(3) == 0;
    let kind: Vec<u8> = (0..items).map(|_| u8::from(two_kinds && dice.below(3) == 0)).collect();
    // Kinds are numbered without a gap.
    let kind: Vec<u8> = if kind.contains(&0) { kind } else { vec![0; items] };
    let slope = dice.between(-0.3, 0.6);
    let mut on = |one_in: usize| soft && dice.below(one_in) == 0;
    let (second, size, even, places, own_slopes) = (on(3), on(2), on(2), on(3), on(2));
    let (tied, parted) = (on(3), on(3));
    let mut need = Vec::new();
    for _ in 0..items {
        let start = dice.between(6.0, 15.0);
        let own = slope + dice.between(-0.2, 0.2);
        need.extend((0..days).map(|day| start + own * day as f64));
        if second {
            need.push(dice.between(60.0, 110.0));
        }
        if size {
            need.push(dice.between(55.0, 95.0));
        }
    }
    let mut axes: Vec<Axis> = (0..days).map(|_| Axis { low: 8.0, high: 12.5, family: 0 }).collect();
    let mut weight: Vec<f64> = (0..days).map(|_| dice.between(1.2, 1.6)).collect();
    if second {
        axes.push(Axis { low: 60.0, high: 110.0, family: 1 });
        weight.push(0.1);
    }
    if size {
        axes.push(Axis { low: 55.0, high: 95.0, family: 2 });
        weight.push(dice.between(0.05, 0.6));
    }
    let full = (1_u64 << bins) - 1;
    let allowed = (0..items).map(|_| if dice.below(6) == 0 { 1 << dice.below(bins) } else { full }).collect();
    let room = (0..2)
        .map(|_| {
            (0..items)
                .map(|_| {
                    if equal_room {
                        [50, 120]
                    } else {
                        [40 + dice.below(20) as u32, 100 + dice.below(40) as u32]
                    }
                })
                .collect()
        })
        .collect();
    let slack = dice.between(0.9, 1.6);
    let share = items as f64 / bins as f64 * slack;
    let pair = |dice: &mut Dice| {
        let first = dice.below(items);
        [first, (first + 1 + dice.below(items - 1)) % items]
    };
    Instance {
        leading: days + usize::from(second),
        axes,
        weight,
        need,
        slopes: if own_slopes {
            Slopes::Each((0..items).map(|_| [dice.between(2.0, 7.0), dice.between(0.5, 1.5)]).collect())
        } else {
            Slopes::Same([if dice.below(2) == 0 { 4.0 } else { 1.0 + dice.below(5) as f64 }, 1.0])
        },
        room,
        bins: (0..bins)
            .map(|_| Bin {
                space_type: dice.below(2),
                capacity: [
                    (share * dice.between(35.0, 75.0)) as u64,
                    (share * dice.between(90.0, 170.0)) as u64,
                ],
                max_head: if dice.below(3) == 0 { 1 + dice.below(items) } else { items },
                min_head: 1 + dice.below(3),
                fair_head: dice.between(0.0, items as f64),
            })
            .collect(),
        kind_size: Instance::count_kinds(&kind),
        kind,
        allowed,
        place_cost: places.then(|| {
            (0..items * bins).map(|_| if dice.below(2) == 0 { 0.0 } else { dice.between(0.0, 4.0) }).collect()
        }),
        even: if even { dice.between(0.1, 3.0) } else { 0.0 },
        together: if tied { vec![pair(&mut dice).to_vec()] } else { Vec::new() },
        apart: if parted { vec![pair(&mut dice)] } else { Vec::new() },
    }
}
