//! From an instance to ordered lines of items and bins grouped by likeness, and back to an assignment.
//!
//! Each kind of item is a line of its own; the kinds share out the bins. [`best`] tables every set of
//! bins for every kind ([`crate::solve::split`]) and picks the sharing with the least sum.

use crate::arrange::{Arrange as _, ascend};
use crate::solve::instance::{Assignment, Instance, RESOURCES, Slopes};
use crate::solve::room::Worth;
use crate::solve::split::{BinType, Line, Split, states};

/// How the room in a bin is reckoned along a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Room {
    /// A run must truly fit: the result is an assignment that breaks no limit of room.
    True,
    /// As if the room labels could be dealt anew, smallest first: nothing that fits is left out, so the
    /// result is a lower bound.
    Relaxed,
}

/// Bins taken together because they are alike, or near enough.
#[derive(Debug, Clone)]
struct Group {
    bins: Vec<usize>,
    /// Whether they are truly alike.
    alike: bool,
}

/// A sharing of the bins among the kinds, with its loss.
#[derive(Debug)]
pub struct Shared {
    /// The least sum of losses over the kinds.
    pub loss: f64,
    /// Cells of the table of one range of days, all kinds together.
    pub cells: usize,
    /// Whether every bin had its own limits, none being joined with another's.
    pub exact_tables: bool,
    /// One solution, where runs truly fit; the masks of single items are not looked at.
    pub assignment: Option<Assignment>,
}

/// Splits every kind along the key that is the weighted sum of needs over each range of axes, and shares the
/// bins out. The loss is summed over the ranges. `None` where the kinds cannot be placed.
///
/// Where slopes differ from item to item, a relaxed split takes the least of each, a true one their mean;
/// what places cost and who belongs together is not looked at.
///
/// `most_cells` bounds the tables: where the bins are too many and too unlike, those most alike are taken
/// as one size (the larger for a relaxed split, the smaller for a true one), which keeps both promises.
pub fn best(
    instance: &Instance,
    room: Room,
    ranges: &[std::ops::Range<usize>],
    most_cells: usize,
) -> Option<Shared> {
    let tables = Tables::new(instance, room, ranges, most_cells);
    let full = tables.states().checked_sub(1)?;
    let shares = share_out(&tables.losses, &tables.splits.first()?.1, |state| state == full).pop()?;
    let all: Vec<Vec<usize>> = tables.groups.iter().map(|group| group.bins.clone()).collect();
    shares.loss.is_finite().then(|| Shared {
        loss: shares.loss,
        cells: tables.cells(),
        exact_tables: tables.is_exact(),
        assignment: (room == Room::True).then(|| placed(instance, &all, &tables.splits, &shares.states)),
    })
}

/// The least loss of every kind with every set of bins.
#[derive(Debug)]
pub(super) struct Tables {
    groups: Vec<Group>,
    /// By kind, by set of bins.
    losses: Vec<Vec<f64>>,
    /// By kind: its line and the split along the first range, from which an assignment is made.
    splits: Vec<(KindLine, Split)>,
}

impl Tables {
    /// Splits every kind along each range; arguments as for [`best`].
    pub(super) fn new(
        instance: &Instance,
        room: Room,
        ranges: &[std::ops::Range<usize>],
        most_cells: usize,
    ) -> Self {
        let groups = grouped(instance, most_cells);
        let (mut losses, mut splits) = (Vec::new(), Vec::new());
        for kind in 0..instance.kinds() {
            let kind = kind as u8;
            let mut table: Vec<f64> = Vec::new();
            let mut first = None;
            for (index, range) in ranges.iter().enumerate() {
                let line = KindLine::new(instance, kind, range.clone(), room);
                let split = line.split(instance, room, &groups, index == 0);
                table.resize(split.state_count(), 0.0);
                for (state, sum) in table.iter_mut().enumerate() {
                    *sum += split.total(state);
                }
                // An assignment is made from the first range, the leading one.
                first = first.or(Some((line, split)));
            }
            forbid_too_small(instance, kind, &groups, first.as_ref().map(|(_, split)| split), &mut table);
            losses.push(table);
            splits.extend(first);
        }
        Self { groups, losses, splits }
    }

    /// How many sets of bins are tabled; bins of one group are counted, not told apart.
    pub(super) fn states(&self) -> usize {
        self.losses.first().map_or(0, Vec::len)
    }

    /// Cells of the table of one range, all kinds together.
    pub(super) fn cells(&self) -> usize {
        self.splits.iter().map(|(line, split)| split.state_count() * (line.order.len() + 1)).sum()
    }

    /// Whether every bin has its own limits, none being joined with another's.
    pub(super) fn is_exact(&self) -> bool {
        self.groups.iter().all(|group| group.alike)
    }

    /// For every set of bins the cheapest sharing among the kinds; infinite where there is none.
    pub(super) fn shares(&self) -> Vec<Shares> {
        self.splits.first().map_or_else(Vec::new, |(_, shape)| share_out(&self.losses, shape, |_| true))
    }

    /// The set that a list of bins is.
    pub(super) fn state_of(&self, bins: &[usize]) -> usize {
        let counts: Vec<usize> = self
            .groups
            .iter()
            .map(|group| group.bins.iter().filter(|bin| bins.contains(bin)).count())
            .collect();
        self.splits.first().map_or(0, |(_, shape)| shape.state_of(&counts))
    }

    /// A list of bins that is a set: of each group its last ones, which are the largest where they differ.
    pub(super) fn bins_of(&self, state: usize) -> Vec<usize> {
        let Some((_, shape)) = self.splits.first() else { return Vec::new() };
        let counts = shape.counts_of(state);
        let mut bins: Vec<usize> = self
            .groups
            .iter()
            .zip(counts)
            .flat_map(|(group, count)| group.bins.iter().rev().take(count).copied())
            .collect();
        bins.sort_unstable();
        bins
    }

    /// The assignment behind a sharing, within a list of bins; only where runs truly fit.
    pub(super) fn assignment(&self, instance: &Instance, bins: &[usize], shares: &Shares) -> Assignment {
        let within: Vec<Vec<usize>> = self
            .groups
            .iter()
            .map(|group| group.bins.iter().copied().filter(|bin| bins.contains(bin)).collect())
            .collect();
        placed(instance, &within, &self.splits, &shares.states)
    }
}

/// Sets of bins that are proved too small for a kind lose without end.
fn forbid_too_small(
    instance: &Instance,
    kind: u8,
    groups: &[Group],
    shape: Option<&Split>,
    table: &mut [f64],
) {
    let Some(shape) = shape else { return };
    let worth = Worth::new(instance, kind);
    for (state, loss) in table.iter_mut().enumerate() {
        let counts = shape.counts_of(state);
        // Which of a group's bins are meant is not known: they need not take the same items.
        let choices = groups.iter().zip(&counts).map(|(group, &count)| (group.bins.as_slice(), count));
        if loss.is_finite() && !worth.may_hold(choices) {
            *loss = f64::INFINITY;
        }
    }
}

/// A sharing of a set of bins among the kinds.
#[derive(Debug, Clone)]
pub(super) struct Shares {
    /// The sum of losses over the kinds; infinite where they cannot be placed.
    pub(super) loss: f64,
    /// The set that each kind takes.
    states: Vec<usize>,
}

/// The cheapest disjoint sets of bins, one a kind, within each set that is wanted, in the order of the sets.
fn share_out(tables: &[Vec<f64>], shape: &Split, wanted: impl Fn(usize) -> bool) -> Vec<Shares> {
    let counts: Vec<Vec<usize>> = (0..shape.state_count()).map(|state| shape.counts_of(state)).collect();
    // `best[state]`: least loss of the kinds so far within that set, and what each took.
    let mut best: Vec<Shares> = tables.first().map_or_else(Vec::new, |table| {
        table.iter().enumerate().map(|(state, &loss)| Shares { loss, states: vec![state] }).collect()
    });
    for (index, table) in tables.iter().enumerate().skip(1) {
        let last = index + 1 == tables.len();
        let mut next = vec![Shares { loss: f64::INFINITY, states: Vec::new() }; best.len()];
        for (state, slot) in next.iter_mut().enumerate() {
            // A larger set is never worse, so each kind may be given all that the others leave.
            if last && !wanted(state) {
                continue;
            }
            let mut least: Option<(f64, usize)> = None;
            for (own, &loss) in table.iter().enumerate().take(state + 1) {
                if loss.is_finite() && counts[own].iter().zip(&counts[state]).all(|(own, all)| own <= all) {
                    // Sets are numbered by counts times strides, so what is left is the difference.
                    let sum = best[state - own].loss + loss;
                    if sum < least.map_or(f64::INFINITY, |(least, _)| least) {
                        least = Some((sum, own));
                    }
                }
            }
            if let Some((loss, own)) = least {
                let mut states = best[state - own].states.clone();
                states.push(own);
                *slot = Shares { loss, states };
            }
        }
        best = next;
    }
    best.into_iter().enumerate().filter(|(state, _)| wanted(*state)).map(|(_, shares)| shares).collect()
}

/// Puts the runs of each kind into bins, group by group.
fn placed(
    instance: &Instance,
    groups: &[Vec<usize>],
    splits: &[(KindLine, Split)],
    states: &[usize],
) -> Assignment {
    let mut assignment = vec![0; instance.items()];
    let mut taken = vec![0_usize; groups.len()];
    for ((line, split), &state) in splits.iter().zip(states) {
        for run in split.runs(state) {
            let bin = groups[run.bin_type][taken[run.bin_type]];
            taken[run.bin_type] += 1;
            for &item in &line.order[run.start..run.end] {
                assignment[item] = bin;
            }
        }
    }
    assignment
}

/// The items of a kind, by key.
#[derive(Debug)]
struct KindLine {
    kind: u8,
    order: Vec<usize>,
    keys: Vec<f64>,
    slopes: [f64; 2],
    limits: [f64; 2],
}

impl KindLine {
    fn new(instance: &Instance, kind: u8, range: std::ops::Range<usize>, room: Room) -> Self {
        let weights = &instance.weight[range.clone()];
        let sum = |values: &[f64]| values.iter().zip(weights).map(|(value, weight)| value * weight).sum();
        let items = instance.of_kind(kind);
        let slopes = if range.start >= instance.leading {
            [1.0; 2]
        } else if room == Room::Relaxed {
            instance.least_slopes(&items)
        } else {
            mean_slopes(instance, &items)
        };
        let axes = &instance.axes[range.clone()];
        let low: Vec<f64> = axes.iter().map(|axis| axis.low).collect();
        let high: Vec<f64> = axes.iter().map(|axis| axis.high).collect();
        let mut keyed: Vec<(f64, usize)> =
            items.into_iter().map(|item| (sum(&instance.need_of(item)[range.clone()]), item)).collect();
        ascend(&mut keyed);
        let (keys, order) = keyed.into_iter().unzip();
        Self { kind, order, keys, slopes, limits: [sum(&low), sum(&high)] }
    }

    fn split(&self, instance: &Instance, room: Room, groups: &[Group], with_heads: bool) -> Split {
        let [under, over] = self.slopes;
        let [low, high] = self.limits;
        let line = Line { needs: &self.keys, under, over, low, high };
        let smallest = SmallestFirst::new(instance, &self.order);
        let types: Vec<BinType> = groups
            .iter()
            .map(|group| {
                let mut bin_type = self.bin_type(instance, (room, &smallest), group);
                // What joined bins cost for their filling is not known, and never below nought.
                if with_heads && instance.even > 0.0 && group.alike {
                    let cost = |head| instance.head_cost(group.bins[0], head);
                    bin_type.head_cost = (0..=self.order.len()).map(cost).collect();
                }
                bin_type
            })
            .collect();
        let caps = SetCaps::new(instance, &smallest, groups, &types);
        Split::solve(&line, &types, |counts| caps.most_served(counts))
    }

    fn bin_type(
        &self,
        instance: &Instance,
        (room, smallest): (Room, &SmallestFirst),
        group: &Group,
    ) -> BinType {
        let items = self.order.len();
        let mut start: Option<Vec<u32>> = None;
        let mut min_head = usize::MAX;
        for &bin in &group.bins {
            let open = self.order.iter().any(|&item| instance.may(item, bin));
            let window = match (open, room) {
                (false, _) => (0..=items as u32).collect(),
                (true, Room::True) => true_window(instance, &self.order, bin),
                (true, Room::Relaxed) => {
                    let most = smallest.most_in(instance, bin);
                    (0..=items).map(|end| end.saturating_sub(most) as u32).collect::<Vec<u32>>()
                }
            };
            min_head = min_head.min(instance.min_head(self.kind, bin));
            start = Some(match start {
                None => window,
                Some(so_far) => so_far
                    .into_iter()
                    .zip(window)
                    .map(|(a, b)| if room == Room::True { a.max(b) } else { a.min(b) })
                    .collect(),
            });
        }
        if room == Room::True {
            min_head = group.bins.iter().map(|&bin| instance.min_head(self.kind, bin)).max().unwrap_or(1);
        }
        BinType { count: group.bins.len(), start: start.unwrap_or_default(), min_head, head_cost: Vec::new() }
    }
}

fn mean_slopes(instance: &Instance, items: &[usize]) -> [f64; 2] {
    let sum =
        items.iter().map(|&item| instance.slopes_of(item)).fold([0.0; 2], |a, b| [a[0] + b[0], a[1] + b[1]]);
    sum.map(|sum| sum / items.len().max(1) as f64)
}

/// For each end, the earliest start of a run that truly fits the bin.
fn true_window(instance: &Instance, order: &[usize], bin: usize) -> Vec<u32> {
    let limits = &instance.bins[bin];
    let mut used = [0_u64; RESOURCES];
    let mut start = 0;
    let mut window = Vec::with_capacity(order.len() + 1);
    window.push(0);
    for (end, &item) in order.iter().enumerate() {
        for (sum, part) in used.iter_mut().zip(instance.room_in(item, bin)) {
            *sum += u64::from(part);
        }
        while start <= end
            && (end + 1 - start > limits.max_head
                || used.iter().zip(&limits.capacity).any(|(used, capacity)| used > capacity))
        {
            for (sum, part) in used.iter_mut().zip(instance.room_in(order[start], bin)) {
                *sum -= u64::from(part);
            }
            start += 1;
        }
        window.push(start as u32);
    }
    window
}

/// What a list of items takes smallest first: sums of room by space type, by resource. However many a bin holds, they
/// take no less than as many of the smallest.
pub(super) struct SmallestFirst {
    items: usize,
    sums: Vec<[Vec<u64>; RESOURCES]>,
}

impl SmallestFirst {
    pub(super) fn new(instance: &Instance, items: &[usize]) -> Self {
        let sums = instance.room.iter().map(|rooms| {
            std::array::from_fn(|resource| {
                let mut sizes: Vec<u32> = items.iter().map(|&item| rooms[item][resource]).collect();
                sizes.sort_unstable();
                let mut sum = 0;
                let sums = sizes.iter().map(|&size| {
                    sum += u64::from(size);
                    sum
                });
                sums.collect()
            })
        });
        Self { items: items.len(), sums: sums.collect() }
    }

    /// The most of them that a bin could hold.
    pub(super) fn most_in(&self, instance: &Instance, bin: usize) -> usize {
        let limits = &instance.bins[bin];
        let sums = &self.sums[limits.space_type];
        let mut served = sums.iter().zip(&limits.capacity).map(|(sums, &capacity)| served(sums, capacity));
        served.by_ref().fold(limits.max_head.min(self.items), usize::min)
    }
}

/// How many fit within a capacity.
fn served(sums: &[u64], capacity: u64) -> usize {
    sums.partition_point(|&sum| sum <= capacity)
}

/// How many items a set of bins can serve at the most, from sums of room over the set.
struct SetCaps<'a> {
    /// By group: the most in one bin.
    most: Vec<usize>,
    /// By group: the space type and capacities of one bin, where all bins of the group are truly alike.
    alike: Option<Vec<(usize, [u64; RESOURCES])>>,
    smallest: &'a SmallestFirst,
}

impl<'a> SetCaps<'a> {
    fn new(instance: &Instance, smallest: &'a SmallestFirst, groups: &[Group], types: &[BinType]) -> Self {
        let most = groups.iter().zip(types).map(|(group, bin_type)| {
            let is_shut = bin_type.start.last().is_some_and(|&start| start as usize == smallest.items);
            let most = group.bins.iter().map(|&bin| smallest.most_in(instance, bin)).max();
            if is_shut { 0 } else { most.unwrap_or(0) }
        });
        let alike = groups.iter().map(|group| {
            let first = &instance.bins[*group.bins.first()?];
            let same = group.bins.iter().all(|&bin| {
                let bin = &instance.bins[bin];
                bin.space_type == first.space_type && bin.capacity == first.capacity
            });
            same.then_some((first.space_type, first.capacity))
        });
        Self { most: most.collect(), alike: alike.collect(), smallest }
    }

    fn most_served(&self, counts: &[usize]) -> usize {
        let mut most: usize = counts.iter().zip(&self.most).map(|(count, most)| count * most).sum();
        let Some(alike) = &self.alike else { return most };
        for resource in 0..RESOURCES {
            let mut in_all = 0_usize;
            for (space_type, sums) in self.smallest.sums.iter().enumerate() {
                let room = counts
                    .iter()
                    .zip(alike)
                    .zip(&self.most)
                    .filter(|((_, (own_type, _)), most)| *own_type == space_type && **most > 0)
                    .fold(0_u64, |sum, ((&count, (_, capacity)), _)| {
                        sum.saturating_add(capacity[resource].saturating_mul(count as u64))
                    });
                in_all += served(&sums[resource], room);
            }
            most = most.min(in_all);
        }
        most
    }
}

/// Bins grouped by likeness; where that leaves too many states, those most alike are joined.
fn grouped(instance: &Instance, most_cells: usize) -> Vec<Group> {
    let kinds = instance.kinds();
    let open: Vec<Vec<bool>> = (0..instance.bins.len())
        .map(|bin| {
            (0..kinds)
                .map(|kind| {
                    (0..instance.items())
                        .any(|item| usize::from(instance.kind[item]) == kind && instance.may(item, bin))
                })
                .collect()
        })
        .collect();
    let mut groups: Vec<Group> = Vec::new();
    for bin in 0..instance.bins.len() {
        let twin = groups.iter_mut().find(|group| {
            let first = group.bins[0];
            instance.bins[first] == instance.bins[bin] && open[first] == open[bin]
        });
        match twin {
            Some(group) => group.bins.push(bin),
            None => groups.push(Group { bins: vec![bin], alike: true }),
        }
    }
    let all: Vec<usize> = (0..instance.items()).collect();
    let smallest = SmallestFirst::new(instance, &all);
    let size = |group: &Group| smallest.most_in(instance, group.bins[0]);
    groups.arrange_by_key(|group| (size(group), group.bins[0]));
    let width = instance.items() + 1;
    while groups.len() > 1
        && states(groups.iter().map(|group| group.bins.len())).saturating_mul(width) > most_cells
    {
        let nearest = (1..groups.len())
            .min_by_key(|&index| (size(&groups[index]).abs_diff(size(&groups[index - 1])), index));
        let Some(index) = nearest else { break };
        let joined = groups.remove(index);
        groups[index - 1].bins.extend(joined.bins);
        groups[index - 1].alike = false;
    }
    groups
}

/// Whether a split along one line is the optimum itself: one axis, one loss for all, equal room within each
/// kind, every item of a kind free to go to the same bins, and nobody tied to another or to a place.
pub fn split_is_exact(instance: &Instance) -> bool {
    instance.axes() == 1
        && matches!(instance.slopes, Slopes::Same(_))
        && instance.place_cost.is_none()
        && instance.together.is_empty()
        && instance.apart.is_empty()
        && (0..instance.kinds()).all(|kind| {
            let items = instance.of_kind(kind as u8);
            let Some(&first) = items.first() else { return true };
            items.iter().all(|&item| {
                instance.allowed[item] == instance.allowed[first]
                    && (0..instance.bins.len())
                        .all(|bin| instance.room_in(item, bin) == instance.room_in(first, bin))
            })
        })
}
