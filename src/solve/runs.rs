//! From an instance to ordered lines of items and bins grouped by likeness, and back to an assignment.
//!
//! Each kind of item is a line of its own; the kinds share out the bins. [`best`] tables every set of
//! bins for every kind ([`crate::solve::split`]) and picks the sharing with the least sum.

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
    let groups = grouped(instance, most_cells);
    let mut tables: Vec<Vec<f64>> = Vec::new();
    let mut last_splits = Vec::new();
    for kind in 0..instance.kinds() {
        let kind = kind as u8;
        let mut table: Vec<f64> = Vec::new();
        let mut last = None;
        for (index, range) in ranges.iter().enumerate() {
            let line = KindLine::new(instance, kind, range.clone(), room);
            let split = line.split(instance, room, &groups, index == 0);
            table.resize(split.state_count(), 0.0);
            for (state, sum) in table.iter_mut().enumerate() {
                *sum += split.total(state);
            }
            // An assignment is made from the first range, the leading one.
            last = last.or(Some((line, split)));
        }
        forbid_too_small(instance, kind, &groups, last.as_ref().map(|(_, split)| split), &mut table);
        tables.push(table);
        last_splits.extend(last);
    }
    let shares = share_out(&tables, last_splits.first().map(|(_, split)| split)?)?;
    let assignment = (room == Room::True).then(|| placed(instance, &groups, &last_splits, &shares.states));
    Some(Shared {
        loss: shares.loss,
        cells: last_splits.iter().map(|(line, split)| split.state_count() * (line.order.len() + 1)).sum(),
        exact_tables: groups.iter().all(|group| group.alike),
        assignment,
    })
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
        let bins = groups.iter().zip(&counts).flat_map(|(group, &count)| {
            // Of bins joined for likeness it is not known which are meant: all count, which keeps a "no" true.
            let taken = if group.alike { count } else { group.bins.len() * usize::from(count > 0) };
            group.bins.iter().copied().take(taken)
        });
        if loss.is_finite() && !worth.may_hold(bins) {
            *loss = f64::INFINITY;
        }
    }
}

struct Shares {
    loss: f64,
    states: Vec<usize>,
}

/// The cheapest disjoint sets of bins, one a kind.
fn share_out(tables: &[Vec<f64>], shape: &Split) -> Option<Shares> {
    let full = shape.state_count() - 1;
    let full_counts = shape.counts_of(full);
    // `best[state]`: least loss of the kinds so far within that set, and what each took.
    let mut best: Vec<(f64, Vec<usize>)> =
        tables.first()?.iter().enumerate().map(|(state, &loss)| (loss, vec![state])).collect();
    for (index, table) in tables.iter().enumerate().skip(1) {
        let last = index + 1 == tables.len();
        let mut next = vec![(f64::INFINITY, Vec::new()); best.len()];
        for (state, slot) in next.iter_mut().enumerate() {
            // Only the whole set matters for the last kind; a larger set is never worse, so each kind may
            // be given all that the others leave.
            if last && state != full {
                continue;
            }
            let counts = if last { full_counts.clone() } else { shape.counts_of(state) };
            for (own, &loss) in table.iter().enumerate() {
                let own_counts = shape.counts_of(own);
                if loss.is_finite() && own_counts.iter().zip(&counts).all(|(own, all)| own <= all) {
                    let rest: Vec<usize> =
                        counts.iter().zip(&own_counts).map(|(all, own)| all - own).collect();
                    let (before, taken) = &best[shape.state_of(&rest)];
                    if before + loss < slot.0 {
                        let mut taken = taken.clone();
                        taken.push(own);
                        *slot = (before + loss, taken);
                    }
                }
            }
        }
        best = next;
    }
    let (loss, states) = best.swap_remove(full);
    loss.is_finite().then_some(Shares { loss, states })
}

fn placed(
    instance: &Instance,
    groups: &[Group],
    splits: &[(KindLine, Split)],
    states: &[usize],
) -> Assignment {
    let mut assignment = vec![0; instance.items()];
    let mut taken = vec![0_usize; groups.len()];
    for ((line, split), &state) in splits.iter().zip(states) {
        for run in split.runs(state) {
            let bin = groups[run.bin_type].bins[taken[run.bin_type]];
            taken[run.bin_type] += 1;
            for &item in &line.order[run.start..run.end] {
                assignment[item] = bin;
            }
        }
    }
    assignment
}

/// The items of a kind, by key.
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
        keyed.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let (keys, order) = keyed.into_iter().unzip();
        Self { kind, order, keys, slopes, limits: [sum(&low), sum(&high)] }
    }

    fn split(&self, instance: &Instance, room: Room, groups: &[Group], with_heads: bool) -> Split {
        let [under, over] = self.slopes;
        let [low, high] = self.limits;
        let line = Line { needs: &self.keys, under, over, low, high };
        let types: Vec<BinType> = groups
            .iter()
            .map(|group| {
                let mut bin_type = self.bin_type(instance, room, group);
                // What joined bins cost for their filling is not known, and never below nought.
                if with_heads && instance.even > 0.0 && group.alike {
                    let cost = |head| instance.head_cost(group.bins[0], head);
                    bin_type.head_cost = (0..=self.order.len()).map(cost).collect();
                }
                bin_type
            })
            .collect();
        let caps = SetCaps::new(instance, self, groups, &types);
        Split::solve(&line, &types, |counts| caps.most_served(counts))
    }

    fn bin_type(&self, instance: &Instance, room: Room, group: &Group) -> BinType {
        let items = self.order.len();
        let mut start: Option<Vec<u32>> = None;
        let mut min_head = usize::MAX;
        for &bin in &group.bins {
            let open = self.order.iter().any(|&item| instance.may(item, bin));
            let window = match (open, room) {
                (false, _) => (0..=items as u32).collect(),
                (true, Room::True) => true_window(instance, &self.order, bin),
                (true, Room::Relaxed) => {
                    let most = most_in(instance, &self.order, bin);
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

/// The most items of a list that a bin could hold, taking the smallest first in each resource.
pub fn most_in(instance: &Instance, items: &[usize], bin: usize) -> usize {
    let limits = &instance.bins[bin];
    let mut most = limits.max_head.min(items.len());
    for resource in 0..RESOURCES {
        let mut sizes: Vec<u32> = items.iter().map(|&item| instance.room_in(item, bin)[resource]).collect();
        sizes.sort_unstable();
        most = most.min(smallest_first(&sizes, limits.capacity[resource]));
    }
    most
}

fn smallest_first(sizes: &[u32], capacity: u64) -> usize {
    let mut sum = 0_u64;
    sizes
        .iter()
        .take_while(|&&size| {
            sum += u64::from(size);
            sum <= capacity
        })
        .count()
}

/// How many items a set of bins can serve at the most, from sums of room over the set.
struct SetCaps {
    /// By group: the most in one bin.
    most: Vec<usize>,
    /// By group: the space type and capacities of one bin, where all bins of the group are truly alike.
    alike: Option<Vec<(usize, [u64; RESOURCES])>>,
    /// Prefix sums of the sizes, smallest first: by space type, by resource.
    prefix: Vec<[Vec<u64>; RESOURCES]>,
}

impl SetCaps {
    fn new(instance: &Instance, line: &KindLine, groups: &[Group], types: &[BinType]) -> Self {
        let items = line.order.len();
        let most =
            groups
                .iter()
                .map(|group| {
                    let most = group.bins.iter().map(|&bin| most_in(instance, &line.order, bin)).max();
                    most.unwrap_or(0)
                })
                .zip(types)
                .map(|(most, bin_type)| {
                    if bin_type.start.last().is_some_and(|&start| start as usize == items) { 0 } else { most }
                })
                .collect();
        let alike = groups.iter().map(|group| {
            let first = &instance.bins[*group.bins.first()?];
            let same = group.bins.iter().all(|&bin| {
                let bin = &instance.bins[bin];
                bin.space_type == first.space_type && bin.capacity == first.capacity
            });
            same.then_some((first.space_type, first.capacity))
        });
        let prefix = instance
            .room
            .iter()
            .map(|rooms| {
                std::array::from_fn(|resource| {
                    let mut sizes: Vec<u32> = line.order.iter().map(|&item| rooms[item][resource]).collect();
                    sizes.sort_unstable();
                    let mut sum = 0;
                    sizes
                        .iter()
                        .map(|&size| {
                            sum += u64::from(size);
                            sum
                        })
                        .collect()
                })
            })
            .collect();
        Self { most, alike: alike.collect(), prefix }
    }

    fn most_served(&self, counts: &[usize]) -> usize {
        let mut most: usize = counts.iter().zip(&self.most).map(|(count, most)| count * most).sum();
        let Some(alike) = &self.alike else { return most };
        for resource in 0..RESOURCES {
            let mut served = 0_usize;
            for (space_type, prefix) in self.prefix.iter().enumerate() {
                let room = counts
                    .iter()
                    .zip(alike)
                    .zip(&self.most)
                    .filter(|((_, (own_type, _)), most)| *own_type == space_type && **most > 0)
                    .fold(0_u64, |sum, ((&count, (_, capacity)), _)| {
                        sum.saturating_add(capacity[resource].saturating_mul(count as u64))
                    });
                served += prefix[resource].partition_point(|&sum| sum <= room);
            }
            most = most.min(served);
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
    let size = |group: &Group| most_in(instance, &all, group.bins[0]);
    groups.sort_by_key(|group| (size(group), group.bins[0]));
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
