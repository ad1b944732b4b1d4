//! What a place in a bin is worth to those still to come.
//!
//! Prices are shortest paths: the cheapest way to make room in a bin is to move somebody of the sample on to
//! another bin, and so forth, until a bin has room to spare.

use crate::solve::instance::{Instance, RESOURCES};

/// The mean room that the sample takes in a bin; of all of the sample where nobody of it is there.
pub(super) fn usual_room(instance: &Instance, members: &[Vec<usize>], bin: usize) -> [f64; RESOURCES] {
    let everybody: Vec<usize>;
    let of = if members[bin].is_empty() {
        everybody = members.iter().flatten().copied().collect();
        &everybody
    } else {
        &members[bin]
    };
    std::array::from_fn(|resource| {
        let sum: f64 = of.iter().map(|&item| f64::from(instance.room_in(item, bin)[resource])).sum();
        sum / of.len().max(1) as f64
    })
}

/// What it costs to make room in each bin for one item, which is so many of the sample.
pub(super) fn prices(
    instance: &Instance,
    members: &[Vec<usize>],
    levels: &[f64],
    spare: &[f64],
    stand_for: f64,
) -> Vec<f64> {
    let bins = instance.bins.len();
    let axes = instance.axes();
    let kind_of = |bin: usize| members[bin].first().map(|&item| instance.kind[item]);
    let mut edge = vec![f64::INFINITY; bins * bins];
    let few = libm::ceil(stand_for) as usize;
    let mut changes = Vec::new();
    for from in 0..bins {
        let own = &levels[from * axes..(from + 1) * axes];
        let here: Vec<f64> = members[from].iter().map(|&item| instance.item_loss(item, own)).collect();
        for to in (0..bins).filter(|&to| to != from && kind_of(to) == kind_of(from)) {
            let there = &levels[to * axes..(to + 1) * axes];
            changes.clear();
            changes.extend(
                members[from]
                    .iter()
                    .zip(&here)
                    .filter(|&(&item, _)| instance.may(item, to))
                    .map(|(&item, here)| instance.item_loss(item, there) - here),
            );
            changes.sort_unstable_by(f64::total_cmp);
            let count = few.min(changes.len());
            if count > 0 {
                edge[from * bins + to] = changes[..count].iter().sum::<f64>() / count as f64;
            }
        }
    }
    let mut price = vec![f64::INFINITY; bins];
    for (price, &spare) in price.iter_mut().zip(spare) {
        if spare >= stand_for {
            *price = 0.0;
        }
    }
    // A kind whose bins are all full measures its prices from the one with most room.
    for kind in (0..instance.kinds()).map(|kind| Some(kind as u8)) {
        let own = || (0..bins).filter(|&bin| kind_of(bin) == kind);
        if own().all(|bin| price[bin] > 0.0)
            && let Some(bin) = own().max_by(|&a, &b| spare[a].total_cmp(&spare[b]).then(b.cmp(&a)))
        {
            price[bin] = 0.0;
        }
    }
    for _ in 0..bins {
        for from in 0..bins {
            for to in 0..bins {
                let through = (edge[from * bins + to] + price[to]).max(0.0);
                if through < price[from] {
                    price[from] = through;
                }
            }
        }
    }
    // Where nobody can be moved on, room is worth as much as the dearest elsewhere.
    let dearest = price.iter().copied().filter(|price| price.is_finite()).fold(0.0, f64::max);
    price.into_iter().map(|price| if price.is_finite() { price } else { dearest }).collect()
}
