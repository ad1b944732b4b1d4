//! The problem that the kernels solve: items with a need on each axis, bins that give one level on each.
//!
//! Numbers only. The leading axes (days, and whatever else an item's own slopes weigh) come first, soft axes
//! on which items should merely be alike in a bin come last. An item takes room from its bin in several
//! resources; how much depends on the bin's space type. A bin holds items of one kind. The loss of an
//! assignment is
//!
//! ```text
//! Σ_i Σ_a w_a · ( under_i · max(0, x_ia − r_ka) + over_i · max(0, r_ka − x_ia) )    a of the leading axes
//!   + Σ_i Σ_b w_b · | x_ib − r_kb |                                                 b of the soft axes
//!   + Σ_i place_cost_ik  +  Σ_k even · | head_k − fair_k |
//! ```
//!
//! with `k` the bin of item `i` and every level held between its axis's limits.

use crate::arrange::ascend;
use std::ops::Range;

/// Resources that an item takes of its bin, besides being one head.
pub const RESOURCES: usize = 2;

/// What an item takes of each resource, in whole units so that sums are exact in any order.
pub type Room = [u32; RESOURCES];

/// One bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Bin {
    /// Which of [`Instance::room`]'s tables says what an item takes here.
    pub space_type: usize,
    /// What there is of each resource; `u64::MAX` where it is without limit.
    pub capacity: [u64; RESOURCES],
    /// The most items.
    pub max_head: usize,
    /// The fewest items, where any.
    pub min_head: usize,
    /// Head that it would hold if all bins were filled alike; only looked at where filling counts.
    pub fair_head: f64,
}

/// One axis on which items have a need and bins a level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// Least level.
    pub low: f64,
    /// Greatest level.
    pub high: f64,
    /// Axes of one family have one unit and may be summed; those of a family stand together.
    pub family: u8,
}

/// What a unit below need and a unit above it count for.
#[derive(Debug, Clone, PartialEq)]
pub enum Slopes {
    /// The same for all items.
    Same([f64; 2]),
    /// Item by item.
    Each(Vec<[f64; 2]>),
}

/// A checked problem; see the module.
#[derive(Debug, Clone)]
pub struct Instance {
    /// The axes: leading ones first.
    pub axes: Vec<Axis>,
    /// What a unit on each axis counts for.
    pub weight: Vec<f64>,
    /// How many axes lead: there an item's own slopes hold, on the others 1 both ways.
    pub leading: usize,
    /// Need, item by item, one figure an axis.
    pub need: Vec<f64>,
    /// Slopes on the leading axes.
    pub slopes: Slopes,
    /// What each item takes, by space type.
    pub room: Vec<Vec<Room>>,
    /// The bins.
    pub bins: Vec<Bin>,
    /// Kind of each item, from 0; build with [`Instance::count_kinds`] after.
    pub kind: Vec<u8>,
    /// Number of items of each kind.
    pub kind_size: Vec<usize>,
    /// Bins that each item may go to, as a bit mask.
    pub allowed: Vec<u64>,
    /// What an item costs in a bin whatever its level, item by item; never below nought.
    pub place_cost: Option<Vec<f64>>,
    /// What an item more or fewer than a bin's fair head costs.
    pub even: f64,
    /// Items that must share a bin, set by set.
    pub together: Vec<Vec<usize>>,
    /// Pairs that must not share a bin.
    pub apart: Vec<[usize; 2]>,
}

/// The bin of each item.
pub type Assignment = Vec<usize>;

impl Instance {
    /// The most bins that the masks can name.
    pub const MOST_BINS: usize = 64;

    /// Number of items.
    pub fn items(&self) -> usize {
        self.kind.len()
    }

    /// Length of a bin's levels: one for each axis on which items lie.
    #[inline]
    pub fn axes(&self) -> usize {
        self.axes.len()
    }

    /// The need of an item, by axis.
    #[inline]
    pub fn need_of(&self, item: usize) -> &[f64] {
        let axes = self.axes();
        &self.need[item * axes..(item + 1) * axes]
    }

    /// What an item takes in a bin.
    #[inline]
    pub fn room_in(&self, item: usize, bin: usize) -> Room {
        self.room[self.bins[bin].space_type][item]
    }

    /// Whether an item may go to a bin.
    #[inline]
    pub fn may(&self, item: usize, bin: usize) -> bool {
        self.allowed[item] >> bin & 1 == 1
    }

    /// Number of kinds.
    pub fn kinds(&self) -> usize {
        self.kind_size.len()
    }

    /// How many items there are of each kind.
    pub fn count_kinds(kind: &[u8]) -> Vec<usize> {
        let mut sizes = vec![0; kind.iter().map(|&kind| usize::from(kind) + 1).max().unwrap_or(0)];
        for &kind in kind {
            sizes[usize::from(kind)] += 1;
        }
        sizes
    }

    /// The fewest items of a kind in a bin that is used: all of them where there are fewer than asked.
    pub fn min_head(&self, kind: u8, bin: usize) -> usize {
        self.bins[bin].min_head.min(self.kind_size[usize::from(kind)])
    }

    /// Items of one kind, in their order.
    pub fn of_kind(&self, kind: u8) -> Vec<usize> {
        (0..self.items()).filter(|&item| self.kind[item] == kind).collect()
    }

    /// Whether nothing but need and room counts: no place costs, no even filling, nobody tied to another.
    pub fn is_plain(&self) -> bool {
        self.place_cost.is_none() && self.even == 0.0 && self.together.is_empty() && self.apart.is_empty()
    }

    /// The slopes of an item on the leading axes: below need, above need.
    #[inline]
    pub fn slopes_of(&self, item: usize) -> [f64; 2] {
        match &self.slopes {
            Slopes::Same(slopes) => *slopes,
            Slopes::Each(slopes) => slopes[item],
        }
    }

    /// Slopes that no item of a list goes below: what stays true whoever is meant.
    pub fn least_slopes(&self, items: &[usize]) -> [f64; 2] {
        match &self.slopes {
            Slopes::Same(slopes) => *slopes,
            Slopes::Each(slopes) => items
                .iter()
                .map(|&item| slopes[item])
                .reduce(|a, b| [a[0].min(b[0]), a[1].min(b[1])])
                .unwrap_or([0.0; 2]),
        }
    }

    /// Ranges of axes that may be summed: each family in `count` parts of nearly one length, or as many as
    /// it has axes.
    pub fn ranges(&self, count: usize) -> Vec<Range<usize>> {
        let mut ranges = Vec::new();
        let mut start = 0;
        while start < self.axes() {
            let family = self.axes[start].family;
            let length = self.axes[start..].iter().take_while(|axis| axis.family == family).count();
            let parts = count.clamp(1, length);
            ranges.extend(
                (0..parts).map(|part| start + part * length / parts..start + (part + 1) * length / parts),
            );
            start += length;
        }
        ranges
    }

    /// Loss of an item at given levels, one an axis, without what its place costs.
    pub fn item_loss(&self, item: usize, levels: &[f64]) -> f64 {
        let [under, over] = self.slopes_of(item);
        let needs = self.need_of(item);
        let mut sums = [0.0; 2];
        let lead = self.leading;
        for ((need, level), weight) in needs[..lead].iter().zip(&levels[..lead]).zip(&self.weight[..lead]) {
            // Without a branch: one of the two is nought.
            sums[0] += weight * (need - level).max(0.0);
            sums[1] += weight * (level - need).max(0.0);
        }
        let mut loss = under * sums[0] + over * sums[1];
        for ((need, level), weight) in needs[lead..].iter().zip(&levels[lead..]).zip(&self.weight[lead..]) {
            loss += weight * (need - level).abs();
        }
        loss
    }

    /// What an item costs in a bin whatever its level.
    pub fn place_cost(&self, item: usize, bin: usize) -> f64 {
        self.place_cost.as_ref().map_or(0.0, |costs| costs[item * self.bins.len() + bin])
    }

    /// What so many items in a bin cost against its fair head.
    pub fn head_cost(&self, bin: usize, head: usize) -> f64 {
        if self.even == 0.0 { 0.0 } else { self.even * (head as f64 - self.bins[bin].fair_head).abs() }
    }

    /// The best levels of a bin holding `members`, one an axis, written into `levels`.
    pub fn best_levels(&self, members: &[usize], levels: &mut [f64], scratch: &mut Vec<f64>) {
        for (index, (level, axis)) in levels.iter_mut().zip(&self.axes).enumerate() {
            let need = |item: usize| self.need[item * self.axes.len() + index];
            let best = if index < self.leading {
                self.best_value(members, need, scratch)
            } else {
                quantile(members.iter().map(|&item| need(item)), 0.5, scratch)
            };
            *level = best.map_or(axis.low, |best| best.clamp(axis.low, axis.high));
        }
    }

    /// The value that suits `members` best by their slopes: the smallest at which the slopes below and above
    /// balance. Any up to the next member's is equally good. Nothing where there is no member.
    pub fn best_value(
        &self,
        members: &[usize],
        value: impl Fn(usize) -> f64,
        scratch: &mut Vec<f64>,
    ) -> Option<f64> {
        match &self.slopes {
            Slopes::Same([under, over]) => {
                quantile(members.iter().map(|&item| value(item)), under / (under + over), scratch)
            }
            Slopes::Each(slopes) => {
                let mut keyed: Vec<(f64, usize)> = members.iter().map(|&item| (value(item), item)).collect();
                ascend(&mut keyed);
                // In this order the sums come out the same however the members were listed.
                let (under, both) = keyed.iter().fold((0.0, 0.0), |(under, both), &(_, item)| {
                    (under + slopes[item][0], both + slopes[item][0] + slopes[item][1])
                });
                let mut below = 0.0;
                let enough = under - ROUNDING * both;
                let found = keyed.iter().find(|&&(_, item)| {
                    below += slopes[item][0] + slopes[item][1];
                    below >= enough
                });
                found.or(keyed.last()).map(|&(value, _)| value)
            }
        }
    }

    /// The loss of an item at given levels on some of the axes.
    pub fn loss_on(&self, item: usize, levels: &[f64], axes: Range<usize>) -> f64 {
        let [under, over] = self.slopes_of(item);
        axes.map(|axis| {
            let gap = self.need_of(item)[axis] - levels[axis];
            let [under, over] = if axis < self.leading { [under, over] } else { [1.0; 2] };
            self.weight[axis] * (under * gap.max(0.0) + over * (-gap).max(0.0))
        })
        .sum()
    }

    /// The same problem with some of its items alone, numbered anew in the order given.
    #[must_use]
    pub fn only(&self, stays: &[usize]) -> Self {
        let bins = self.bins.len();
        let kinds: Vec<u8> = stays.iter().map(|&item| self.kind[item]).collect();
        // Kinds stay numbered without a gap.
        let kind: Vec<u8> = if kinds.contains(&0) { kinds } else { vec![0; stays.len()] };
        let mut place = vec![None; self.items()];
        for (number, &item) in stays.iter().enumerate() {
            place[item] = Some(number);
        }
        Self {
            need: stays.iter().flat_map(|&item| self.need_of(item).iter().copied()).collect(),
            slopes: match &self.slopes {
                Slopes::Same(slopes) => Slopes::Same(*slopes),
                Slopes::Each(slopes) => Slopes::Each(stays.iter().map(|&item| slopes[item]).collect()),
            },
            room: self.room.iter().map(|room| stays.iter().map(|&item| room[item]).collect()).collect(),
            kind_size: Self::count_kinds(&kind),
            kind,
            allowed: stays.iter().map(|&item| self.allowed[item]).collect(),
            place_cost: self.place_cost.as_ref().map(|costs| {
                stays.iter().flat_map(|&item| costs[item * bins..(item + 1) * bins].iter().copied()).collect()
            }),
            together: self
                .together
                .iter()
                .map(|set| set.iter().filter_map(|&item| place[item]).collect::<Vec<usize>>())
                .filter(|set| set.len() > 1)
                .collect(),
            apart: self.apart.iter().filter_map(|&[a, b]| Some([place[a]?, place[b]?])).collect(),
            ..self.clone()
        }
    }

    /// The same problem with some of its bins alone, numbered anew in the order given.
    #[must_use]
    pub fn within(&self, bins: &[usize]) -> Self {
        let all = self.bins.len();
        let mask = |old: u64| (0..).zip(bins).fold(0, |mask, (new, &bin)| mask | (old >> bin & 1) << new);
        Self {
            bins: bins.iter().map(|&bin| self.bins[bin].clone()).collect(),
            allowed: self.allowed.iter().map(|&old| mask(old)).collect(),
            place_cost: self.place_cost.as_ref().map(|costs| {
                costs.chunks(all.max(1)).flat_map(|own| bins.iter().map(|&bin| own[bin])).collect()
            }),
            ..self.clone()
        }
    }

    /// The members of each bin.
    pub fn members(&self, assignment: &[usize]) -> Vec<Vec<usize>> {
        let mut members = vec![Vec::new(); self.bins.len()];
        for (item, &bin) in assignment.iter().enumerate() {
            members[bin].push(item);
        }
        members
    }

    /// The loss of an assignment at its own best levels, summed bin by bin, then item by item in order.
    pub fn cost(&self, assignment: &[usize]) -> f64 {
        let mut levels = vec![0.0; self.axes()];
        let mut scratch = Vec::new();
        self.members(assignment)
            .iter()
            .enumerate()
            .map(|(bin, members)| {
                self.best_levels(members, &mut levels, &mut scratch);
                let loss = |&item: &usize| self.item_loss(item, &levels) + self.place_cost(item, bin);
                members.iter().map(loss).sum::<f64>() + self.head_cost(bin, members.len())
            })
            .sum()
    }

    /// Whether an assignment breaks no limit.
    pub fn is_feasible(&self, assignment: &[usize]) -> bool {
        assignment.len() == self.items()
            && assignment.iter().enumerate().all(|(item, &bin)| bin < self.bins.len() && self.may(item, bin))
            && self.members(assignment).iter().enumerate().all(|(bin, members)| self.fits(members, bin))
            && self.apart.iter().all(|&[a, b]| assignment[a] != assignment[b])
            && self
                .together
                .iter()
                .all(|set| set.windows(2).all(|two| assignment[two[0]] == assignment[two[1]]))
    }

    /// Whether `members` may share a bin, as far as room, head and kind say.
    pub fn fits(&self, members: &[usize], bin: usize) -> bool {
        let Some(&first) = members.first() else { return true };
        members.len() >= self.min_head(self.kind[first], bin) && self.holds(members, bin)
    }

    /// Whether a bin has room for `members` and they are of one kind; there may be too few of them.
    pub fn holds(&self, members: &[usize], bin: usize) -> bool {
        let Some(&first) = members.first() else { return true };
        let limits = &self.bins[bin];
        let mut used = [0_u64; RESOURCES];
        for &item in members {
            for (sum, part) in used.iter_mut().zip(self.room_in(item, bin)) {
                *sum += u64::from(part);
            }
        }
        members.len() <= limits.max_head
            && used.iter().zip(&limits.capacity).all(|(used, capacity)| used <= capacity)
            && members.iter().all(|&item| self.kind[item] == self.kind[first])
    }
}

/// A share or a sum of slopes a hair below a whole one is that one (rounding of sums).
const ROUNDING: f64 = 1e-9;

/// The smallest value that at least `share` of the values do not exceed; nothing where there is none.
fn quantile(values: impl Iterator<Item = f64>, share: f64, scratch: &mut Vec<f64>) -> Option<f64> {
    scratch.clear();
    scratch.extend(values);
    let position = position(scratch.len(), share)?;
    let (_, &mut value, _) = scratch.select_nth_unstable_by(position, f64::total_cmp);
    Some(value)
}

/// The place of that value among `count` in order, from 0.
pub fn position(count: usize, share: f64) -> Option<usize> {
    let whole = libm::ceil(count as f64 * share - ROUNDING).max(1.0) as usize;
    whole.min(count).checked_sub(1)
}
