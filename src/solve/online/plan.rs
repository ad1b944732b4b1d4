//! The plan for those to come: what is placed, a sample of the rest, and the room that is left, solved together.
//!
//! Each item of the sample stands for a number of items that need not be whole. Room is scaled to the sample,
//! always downward, so the plan never counts on room that is not there. What is placed keeps its bin and takes
//! no room in this problem; a bin's items are drawn together into a few of like need, so that the problem stays
//! small however many have come (on soft axes each such group weighs as one).
//!
//! Prices are shortest paths: the cheapest way to make room in a bin is to move somebody of the sample on to
//! another bin, and so forth, until a bin has room to spare.

use crate::solve::improve::Search;
use crate::solve::instance::{Assignment, Bin, Instance, RESOURCES, Room};
use crate::solve::online::{Frame, Item, Online};
use crate::solve::search::{self, Status};

/// How much work a plan may take, in steps.
#[derive(Debug, Clone, Copy)]
pub struct Effort {
    /// Rounds of polish from the last plan.
    pub rounds: usize,
    /// Start from nothing as well, and take what is better.
    pub afresh: bool,
    /// Then with so much effort of the whole search; a quick start where there is none.
    pub whole: Option<search::Effort>,
}

impl Effort {
    /// From the last plan: for between two items.
    pub const AGAIN: Self = Self { rounds: 4, afresh: false, whole: None };
    /// From nothing as well: now and then.
    pub const AFRESH: Self = Self { rounds: 6, afresh: true, whole: None };
    /// The whole search: before the first item.
    pub const FIRST: Self = Self {
        rounds: 12,
        afresh: true,
        whole: Some(search::Effort { cells: 200_000, table_entries: 400_000, exact_items: 0, nodes: 20_000 }),
    };
}

/// Placed items of a bin are drawn together into so many.
const GROUPS: usize = 24;
/// Table cells for a start where the last plan gives none.
const CELLS: usize = 60_000;
/// Where the rest does not fit, so many of a hundred of the sample are left out, and again.
const LEFT_OUT: usize = 4;
/// A price goes with the room that somebody takes over what is usual, within these limits.
const SIZE_LIMITS: [f64; 2] = [0.5, 2.0];

/// What the plan comes to.
#[derive(Debug, Clone)]
pub(super) struct Aim {
    /// Levels, bin by bin, one an axis.
    pub(super) levels: Vec<f64>,
    price: Vec<f64>,
    kind: Vec<Option<u8>>,
    usual: Vec<[f64; RESOURCES]>,
    scarce: Vec<usize>,
}

impl Aim {
    /// What a bin's room costs the plan when this item takes it.
    pub(super) fn price(&self, frame: &Frame, item: &Item, bin: usize) -> f64 {
        let resource = self.scarce[bin];
        let usual = self.usual[bin][resource];
        let takes = item.room.get(frame.bins[bin].space_type).map_or(0.0, |room| f64::from(room[resource]));
        let size = if usual > 0.0 { (takes / usual).clamp(SIZE_LIMITS[0], SIZE_LIMITS[1]) } else { 1.0 };
        self.price[bin] * size
    }

    /// Whether the plan has this kind in the bin.
    pub(super) fn is_for(&self, bin: usize, kind: u8) -> bool {
        self.kind[bin] == Some(kind)
    }
}

/// The problem of a plan: groups of placed items first, then the sample.
struct Problem {
    instance: Instance,
    groups: usize,
    /// The bin of each group.
    homes: Vec<usize>,
    scale: f64,
}

impl Online {
    /// Plans anew for a sample of the rest, in which all items together stand for so many.
    pub fn replan(&mut self, rest: &[Item], stand_for: usize, effort: Effort) {
        if self.stands.is_empty() {
            return;
        }
        if rest.is_empty() || stand_for == 0 {
            self.settle();
            return;
        }
        let problem = problem(self, rest, stand_for);
        let again = self.aim.as_ref().and_then(|aim| from_last(&problem, aim)).map(|(instance, start)| {
            let mut search = Search::new(&instance, &start);
            search.polish(effort.rounds);
            let assignment = search.assignment();
            (instance, assignment)
        });
        let found = match again {
            // From nothing the bins may come out in another order: only where that is truly better.
            Some(again) if effort.afresh => {
                let whole = again.0.items();
                let better = anew(&problem, effort).filter(|(instance, assignment)| {
                    instance.items() >= whole
                        && (instance.items() > whole || instance.cost(assignment) < again.0.cost(&again.1))
                });
                Some(better.unwrap_or(again))
            }
            Some(again) => Some(again),
            None => anew(&problem, effort),
        };
        match found {
            Some((instance, assignment)) => {
                self.aim = Some(aim(self, &problem, &instance, &assignment));
            }
            None if self.aim.is_none() => self.settle(),
            None => {}
        }
    }

    /// Levels by those placed alone; room is worth nothing.
    fn settle(&mut self) {
        let bins = self.stands.len();
        let axes = self.frame.axes.len();
        let mut levels = Vec::with_capacity(bins * axes);
        if !self.items.is_empty() {
            let problem = problem(self, &[], 1);
            for members in problem.instance.members(&problem.homes) {
                let mut own = vec![0.0; axes];
                problem.instance.best_levels(&members, &mut own, &mut Vec::new());
                levels.extend(own);
            }
        }
        levels.resize(bins * axes, 0.0);
        self.aim = Some(Aim {
            levels,
            price: vec![0.0; bins],
            kind: self.stands.iter().map(|stand| stand.kind).collect(),
            usual: vec![[0.0; RESOURCES]; bins],
            scarce: vec![0; bins],
        });
    }
}

fn scaled(amount: u64, sample: usize, stand_for: usize) -> u64 {
    if amount == u64::MAX {
        return amount;
    }
    u64::try_from(u128::from(amount) * sample as u128 / stand_for.max(1) as u128).unwrap_or(u64::MAX)
}

fn problem(online: &Online, rest: &[Item], stand_for: usize) -> Problem {
    let frame = &online.frame;
    let bins = online.stands.len();
    let sample = rest.len();
    let scale = if sample == 0 { 1.0 } else { sample as f64 / stand_for as f64 };
    let mut items: Vec<Item> = Vec::new();
    let mut homes = Vec::new();
    for (bin, stand) in online.stands.iter().enumerate() {
        let together = drawn_together(online, &stand.members, bin, scale);
        homes.extend(std::iter::repeat_n(bin, together.len()));
        items.extend(together);
    }
    let groups = items.len();
    items.extend(rest.iter().cloned());
    let types = items.first().map_or(0, |item| item.room.len());
    let limits = (0..bins)
        .map(|bin| {
            let own = homes.iter().filter(|&&home| home == bin).count();
            let (limits, head) = (&frame.bins[bin], online.stands[bin].members.len());
            let up = |count: usize| libm::ceil(count as f64 * scale - 1e-9) as usize;
            let lacks = if head == 0 { limits.min_head } else { limits.min_head.saturating_sub(head) };
            Bin {
                space_type: limits.space_type,
                capacity: online.left(bin).map(|left| scaled(left, sample, stand_for)),
                max_head: (online.left_head(bin) as f64 * scale).min(1e9) as usize + own,
                min_head: (up(lacks) + own).max(1),
                fair_head: (limits.fair_head - head as f64).max(0.0) * scale + own as f64,
            }
        })
        .collect();
    let kinds: Vec<u8> = items.iter().map(|item| item.kind).collect();
    // Kinds are numbered without a gap.
    let kind = if kinds.contains(&0) { kinds } else { vec![0; items.len()] };
    let instance = Instance {
        axes: frame.axes.clone(),
        weight: frame.weight.clone(),
        leading: frame.leading,
        need: items.iter().flat_map(|item| item.need.iter().copied()).collect(),
        slopes: Online::slopes_of(&items),
        room: (0..types)
            .map(|space_type| items.iter().map(|item| item.room[space_type]).collect::<Vec<Room>>())
            .collect(),
        bins: limits,
        kind_size: Instance::count_kinds(&kind),
        kind,
        allowed: items.iter().map(|item| item.allowed).collect(),
        place_cost: None,
        even: frame.even,
        together: Vec::new(),
        apart: Vec::new(),
    };
    Problem { instance, groups, homes, scale }
}

/// The items of a bin as a few of like need, each weighing what its members do; they take no room here.
fn drawn_together(online: &Online, members: &[usize], bin: usize, scale: f64) -> Vec<Item> {
    let frame = &online.frame;
    let key = |item: &Item| {
        item.need.iter().zip(&frame.weight).take(frame.leading).map(|(need, weight)| need * weight).sum()
    };
    let mut keyed: Vec<(f64, usize)> =
        members.iter().filter_map(|&member| Some((key(online.items.get(member)?), member))).collect();
    keyed.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    keyed
        .chunks(members.len().div_ceil(GROUPS).max(1))
        .map(|chunk| {
            let first = &online.items[chunk[0].1];
            let mut need = vec![0.0; first.need.len()];
            let mut slopes = [0.0; 2];
            for &(_, member) in chunk {
                let item = &online.items[member];
                for (sum, own) in need.iter_mut().zip(&item.need) {
                    *sum += own / chunk.len() as f64;
                }
                slopes = [slopes[0] + item.slopes[0] * scale, slopes[1] + item.slopes[1] * scale];
            }
            let room = vec![[0; RESOURCES]; first.room.len()];
            Item { need, slopes, room, kind: first.kind, allowed: 1 << bin }
        })
        .collect()
}

/// A start from the last plan's levels and prices; whoever finds no room is left out.
fn from_last(problem: &Problem, aim: &Aim) -> Option<(Instance, Assignment)> {
    let instance = &problem.instance;
    let bins = instance.bins.len();
    let axes = instance.axes();
    let sample = problem.groups..instance.items();
    let mut table = Vec::with_capacity(sample.len() * bins);
    for item in sample.clone() {
        for bin in 0..bins {
            let levels = &aim.levels[bin * axes..(bin + 1) * axes];
            table.push(instance.item_loss(item, levels) + aim.price[bin]);
        }
    }
    let row = |item: usize| &table[(item - problem.groups) * bins..(item - problem.groups + 1) * bins];
    let regret = |item: usize| {
        let (mut first, mut second) = (f64::INFINITY, f64::INFINITY);
        for (bin, &loss) in row(item).iter().enumerate() {
            if instance.may(item, bin) {
                if loss < first {
                    (first, second) = (loss, first);
                } else {
                    second = second.min(loss);
                }
            }
        }
        if second.is_finite() { second - first } else { f64::INFINITY }
    };
    let mut order: Vec<(f64, usize)> = sample.map(|item| (regret(item), item)).collect();
    order.sort_unstable_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut used = vec![[0_u64; RESOURCES]; bins];
    let mut head = vec![0; bins];
    // Where two kinds share the bins the instance's kinds are the items' own.
    let mut kind = aim.kind.clone();
    for (&home, &own) in problem.homes.iter().zip(&instance.kind) {
        head[home] += 1;
        kind[home] = Some(own);
    }
    if instance.kinds() == 1 {
        kind.iter_mut().flatten().for_each(|kind| *kind = 0);
    }
    let mut place: Vec<Option<usize>> = problem.homes.iter().map(|&home| Some(home)).collect();
    place.resize(instance.items(), None);
    for (_, item) in order {
        let open = |bin: &usize| {
            let takes = instance.room_in(item, *bin);
            let limits = &instance.bins[*bin];
            instance.may(item, *bin)
                && kind[*bin] == Some(instance.kind[item])
                && head[*bin] < limits.max_head
                && (0..RESOURCES).all(|r| used[*bin][r] + u64::from(takes[r]) <= limits.capacity[r])
        };
        let losses = row(item);
        let best = (0..bins).filter(open).min_by(|&a, &b| losses[a].total_cmp(&losses[b]).then(a.cmp(&b)));
        if let Some(bin) = best {
            head[bin] += 1;
            for (sum, part) in used[bin].iter_mut().zip(instance.room_in(item, bin)) {
                *sum += u64::from(part);
            }
            place[item] = Some(bin);
        }
    }
    let stays: Vec<usize> = (0..instance.items()).filter(|&item| place[item].is_some()).collect();
    let start: Assignment = place.into_iter().flatten().collect();
    let instance = if stays.len() == instance.items() { instance.clone() } else { instance.only(&stays) };
    instance.is_feasible(&start).then_some((instance, start))
}

/// A plan from nothing; where not all of the sample fits, with ever fewer.
fn anew(problem: &Problem, effort: Effort) -> Option<(Instance, Assignment)> {
    let all = problem.instance.items();
    let mut out = 0;
    while out < 100 {
        let instance = if out == 0 {
            problem.instance.clone()
        } else {
            // Every so many-th, so that who is left out is like the rest.
            let goes = |item: usize| item >= problem.groups && (item * 37) % 100 < out;
            let stays: Vec<usize> = (0..all).filter(|&item| !goes(item)).collect();
            problem.instance.only(&stays)
        };
        let found = match effort.whole {
            Some(effort) => match search::solve(&instance, 1, effort) {
                Status::Solved(solution) => Some(solution.assignment),
                _ => None,
            },
            None => search::any(&instance, CELLS).map(|start| {
                let mut search = Search::new(&instance, &start);
                search.polish(effort.rounds);
                search.assignment()
            }),
        };
        if let Some(assignment) = found {
            return Some((instance, assignment));
        }
        out += LEFT_OUT;
    }
    None
}

/// Levels and prices of a solved plan. The instance may lack some of the sample, never a group.
fn aim(online: &Online, problem: &Problem, instance: &Instance, assignment: &Assignment) -> Aim {
    let bins = instance.bins.len();
    let axes = instance.axes();
    let all = instance.members(assignment);
    let mut levels = vec![0.0; bins * axes];
    let mut scratch = Vec::new();
    for (members, levels) in all.iter().zip(levels.chunks_exact_mut(axes)) {
        instance.best_levels(members, levels, &mut scratch);
    }
    let members: Vec<Vec<usize>> = all
        .iter()
        .map(|members| members.iter().copied().filter(|&item| item >= problem.groups).collect())
        .collect();
    let kind = (0..bins)
        .map(|bin| {
            // The kinds of an instance of one kind are numbered anew; the item's own are meant.
            let single = (instance.kinds() == 1).then(|| own_kind(online, problem)).flatten();
            let planned = members[bin].first().map(|&item| single.unwrap_or(instance.kind[item]));
            online.stands[bin].kind.or(planned)
        })
        .collect();
    let usual: Vec<[f64; RESOURCES]> = (0..bins).map(|bin| usual_room(instance, &members, bin)).collect();
    let load = |bin: usize, resource: usize| -> u64 {
        members[bin].iter().map(|&item| u64::from(instance.room_in(item, bin)[resource])).sum()
    };
    let scarce = (0..bins)
        .map(|bin| {
            let share = |r: usize| load(bin, r) as f64 / (instance.bins[bin].capacity[r].max(1)) as f64;
            (0..RESOURCES).max_by(|&a, &b| share(a).total_cmp(&share(b)).then(b.cmp(&a))).unwrap_or(0)
        })
        .collect();
    let stand_for = problem.scale.max(1.0);
    let spare: Vec<f64> = (0..bins)
        .map(|bin| {
            let limits = &instance.bins[bin];
            let head = limits.max_head.saturating_sub(all[bin].len()) as f64;
            (0..RESOURCES).fold(head, |least, r| {
                let left = limits.capacity[r].saturating_sub(load(bin, r)) as f64;
                least.min(left / usual[bin][r].max(1.0))
            })
        })
        .collect();
    let price = prices(instance, &members, &levels, &spare, stand_for);
    Aim { levels, price, kind, usual, scarce }
}

/// The kind of everybody where there is one kind only.
fn own_kind(online: &Online, problem: &Problem) -> Option<u8> {
    online.items.first().map(|item| item.kind).or_else(|| problem.instance.kind.first().copied())
}

/// The mean room that the sample takes in a bin; of all of the sample where nobody of it is there.
fn usual_room(instance: &Instance, members: &[Vec<usize>], bin: usize) -> [f64; RESOURCES] {
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
fn prices(
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
