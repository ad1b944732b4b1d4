//! The problem that the kernels solve: items with a need on each day, bins that give one level a day.
//!
//! Numbers only. An item takes room from its bin in several resources; how much depends on the bin's
//! space type. A bin holds items of one kind. The loss of item `i` in bin `k` is
//!
//! `Σ_d Q_d · ( under · max(0, x_id − r_kd) + over · max(0, r_kd − x_id) )`,  `low ≤ r_kd ≤ high`.

/// Resources that an item takes of its bin, besides being one head.
pub const RESOURCES: usize = 2;

/// What an item takes of each resource, in whole units so that sums are exact in any order.
pub type Room = [u32; RESOURCES];

/// One bin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bin {
    /// Which of [`Instance::room`]'s tables says what an item takes here.
    pub space_type: usize,
    /// What there is of each resource; `u64::MAX` where it is without limit.
    pub capacity: [u64; RESOURCES],
    /// The most items.
    pub max_head: usize,
    /// The fewest items, where any.
    pub min_head: usize,
}

/// A checked problem; see the module.
#[derive(Debug, Clone)]
pub struct Instance {
    /// Number of days.
    pub days: usize,
    /// Need, item by item, `days` figures each.
    pub need: Vec<f64>,
    /// Weight of each day.
    pub day_weight: Vec<f64>,
    /// Loss of a unit below need.
    pub under: f64,
    /// Loss of a unit above need.
    pub over: f64,
    /// Least level.
    pub low: f64,
    /// Greatest level.
    pub high: f64,
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
    /// What it costs besides that an item stands in a bin, item by item, a figure for each bin.
    pub place_cost: Option<Vec<f64>>,
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
    pub fn axes(&self) -> usize {
        self.days
    }

    /// The need of an item, by day.
    pub fn need_of(&self, item: usize) -> &[f64] {
        &self.need[item * self.days..(item + 1) * self.days]
    }

    /// What an item takes in a bin.
    pub fn room_in(&self, item: usize, bin: usize) -> Room {
        self.room[self.bins[bin].space_type][item]
    }

    /// Whether an item may go to a bin.
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

    /// The position of the best level among `count` sorted needs: the smallest `m` such that `m` of them
    /// make up the share `under / (under + over)`. Any level at which the slopes balance is equally good;
    /// this is the lowest.
    pub fn quantile(&self, count: usize) -> usize {
        let share = count as f64 * self.under / (self.under + self.over);
        // The share is a product of exact figures; a hair below a whole number is that number.
        (libm::ceil(share - 1e-9).max(1.0) as usize).min(count)
    }

    /// Loss of one unit-weight difference.
    pub fn loss(&self, need: f64, level: f64) -> f64 {
        // Without a branch: one of the two is nought.
        self.under * (need - level).max(0.0) + self.over * (level - need).max(0.0)
    }

    /// Loss of an item at given levels, one a day.
    pub fn item_loss(&self, item: usize, levels: &[f64]) -> f64 {
        self.need_of(item)
            .iter()
            .zip(levels)
            .zip(&self.day_weight)
            .map(|((&need, &level), &weight)| weight * self.loss(need, level))
            .sum()
    }

    /// What it costs besides its loss that an item stands in a bin.
    pub fn place(&self, item: usize, bin: usize) -> f64 {
        self.place_cost.as_ref().map_or(0.0, |costs| costs[item * self.bins.len() + bin])
    }

    /// The best levels of a bin holding `members`, one a day, written into `levels`.
    pub fn best_levels(&self, members: &[usize], levels: &mut [f64], scratch: &mut Vec<f64>) {
        if members.is_empty() {
            levels.fill(self.low);
            return;
        }
        let position = self.quantile(members.len()) - 1;
        for (day, level) in levels.iter_mut().enumerate() {
            scratch.clear();
            scratch.extend(members.iter().map(|&item| self.need[item * self.days + day]));
            let (_, &mut quantile, _) = scratch.select_nth_unstable_by(position, f64::total_cmp);
            *level = quantile.clamp(self.low, self.high);
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
        let mut levels = vec![0.0; self.days];
        let mut scratch = Vec::new();
        self.members(assignment)
            .iter()
            .enumerate()
            .map(|(bin, members)| {
                self.best_levels(members, &mut levels, &mut scratch);
                members.iter().map(|&item| self.item_loss(item, &levels) + self.place(item, bin)).sum::<f64>()
            })
            .sum()
    }

    /// Whether an assignment breaks no limit.
    pub fn is_feasible(&self, assignment: &[usize]) -> bool {
        assignment.len() == self.items()
            && assignment.iter().enumerate().all(|(item, &bin)| bin < self.bins.len() && self.may(item, bin))
            && self.members(assignment).iter().enumerate().all(|(bin, members)| self.fits(members, bin))
    }

    /// Whether `members` may share a bin.
    pub fn fits(&self, members: &[usize], bin: usize) -> bool {
        let Some(&first) = members.first() else { return true };
        let limits = &self.bins[bin];
        let mut used = [0_u64; RESOURCES];
        for &item in members {
            for (sum, part) in used.iter_mut().zip(self.room_in(item, bin)) {
                *sum += u64::from(part);
            }
        }
        (self.min_head(self.kind[first], bin)..=limits.max_head).contains(&members.len())
            && used.iter().zip(&limits.capacity).all(|(used, capacity)| used <= capacity)
            && members.iter().all(|&item| self.kind[item] == self.kind[first])
    }
}
