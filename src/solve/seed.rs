//! Starting levels by k-means over the needs: the only file that knows linfa.
//!
//! A seed is a starting point and nothing more: k-means knows no limits and counts both sides alike. The
//! final assignment always comes from the exact split and the local search.

use crate::arrange::Arrange as _;
use crate::solve::instance::Instance;
use linfa::DatasetBase;
use linfa::traits::{Fit, Predict};
use linfa_clustering::KMeans;
use ndarray::Array2;
use rand_xoshiro::Xoshiro256Plus;
use rand_xoshiro::rand_core::SeedableRng;

/// The most items that centres are fitted to (chosen here).
const MOST_FITTED: usize = 1_500;

/// Groups the items by their need on the first, middle and last of the leading axes; the group of each item, ordered by
/// mean need. `None` where there are fewer different items than groups.
pub fn groups(instance: &Instance, count: usize, seed: u64) -> Option<Vec<usize>> {
    let items = instance.items();
    if count == 0 || items < count || instance.leading == 0 {
        return None;
    }
    let days = [0, instance.leading / 2, instance.leading - 1];
    let need = |item: usize, axis: usize| instance.need_of(item)[days[axis]];
    // Centres are as well found on some as on all; the items come in the order of their numbers, which says nothing.
    let stride = items.div_ceil(MOST_FITTED.max(count));
    let sample =
        Array2::from_shape_fn((items.div_ceil(stride), days.len()), |(nth, axis)| need(nth * stride, axis));
    let model = KMeans::params_with_rng(count, Xoshiro256Plus::seed_from_u64(seed))
        .n_runs(1)
        .max_n_iterations(30)
        .tolerance(1e-3)
        .fit(&DatasetBase::from(sample))
        .ok()?;
    let labels = model.predict(&Array2::from_shape_fn((items, days.len()), |(item, axis)| need(item, axis)));
    let mean: Vec<f64> = model.centroids().rows().into_iter().map(|row| row.sum()).collect();
    let mut rank: Vec<usize> = (0..count).collect();
    rank.arrange_by(|&a, &b| mean[a].total_cmp(&mean[b]).then(a.cmp(&b)));
    let mut place = vec![0; count];
    for (position, &label) in rank.iter().enumerate() {
        place[label] = position;
    }
    Some(labels.iter().map(|&label| place[label]).collect())
}
