//! Where a gate has fewer ways than there are bins: which bins share a way.
//!
//! Bins of a way are neighbours in level. Whoever stands between two bins of one way can be put right when the
//! way's bins are sorted out afterwards; whoever stands between two ways cannot. So the cuts are laid where the
//! fewest of the expected stand nearly as well on one side as on the other. Who stands at a cut is counted for each cut
//! by itself, so the least of them one by one are the least together. How many a way leaves to be parted by hand is not
//! weighed: that takes time and costs no item its bin, while a cut laid where many stand on the edge does.

use crate::arrange::{Arrange as _, ascend};
use crate::solve::online::{Item, Online};

/// Whoever's second best bin is within this share of the usual difference stands on the edge (our choice, no
/// source).
const EDGE: f64 = 0.5;

impl Online {
    /// The way of each bin, from 0 upward with the level, for so many ways.
    pub fn ways(&self, rest: &[Item], count: usize) -> Vec<usize> {
        let bins = self.stands.len();
        let level = |bin: usize| -> f64 {
            let levels = self.levels(bin).unwrap_or_default();
            levels.iter().zip(&self.frame.weight).take(self.frame.leading).map(|(l, w)| l * w).sum()
        };
        let mut order: Vec<usize> = (0..bins).collect();
        order.arrange_by(|&a, &b| level(a).total_cmp(&level(b)).then(a.cmp(&b)));
        let mut place = vec![0; bins];
        for (position, &bin) in order.iter().enumerate() {
            place[bin] = position;
        }
        let near: Vec<(f64, usize, usize)> = rest.iter().filter_map(|item| self.two_best(item)).collect();
        let usual = near.iter().map(|(gap, ..)| gap).sum::<f64>() / near.len().max(1) as f64;
        let mut mass = vec![0_usize; bins.saturating_sub(1)];
        for &(gap, a, b) in near.iter().filter(|(gap, ..)| *gap < EDGE * usual) {
            let (low, high) = (place[a].min(place[b]), place[a].max(place[b]));
            debug_assert!(gap >= 0.0);
            for cut in &mut mass[low..high] {
                *cut += 1;
            }
        }
        let mut cuts: Vec<usize> = (0..mass.len()).collect();
        cuts.arrange_by_key(|&cut| (mass[cut], cut));
        cuts.truncate(count.saturating_sub(1));
        (0..bins).map(|bin| cuts.iter().filter(|&&cut| cut < place[bin]).count()).collect()
    }

    /// The two bins that suit an item best, and what the second costs more.
    fn two_best(&self, item: &Item) -> Option<(f64, usize, usize)> {
        let aim = self.aim()?;
        let mut costs: Vec<(f64, usize)> = (0..self.stands.len())
            .filter(|&bin| item.allowed >> bin & 1 == 1 && aim.is_for(bin, item.kind))
            .map(|bin| (self.loss(item, bin) + aim.price(&self.frame, item, bin), bin))
            .collect();
        ascend(&mut costs);
        match costs.as_slice() {
            [first, second, ..] => Some((second.0 - first.0, first.1, second.1)),
            _ => None,
        }
    }
}
