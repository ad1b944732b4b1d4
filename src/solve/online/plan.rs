//! The plan for those to come: what is placed, a sample of the rest, and the room that is left, solved together.
//!
//! Each item of the sample stands for a number of items that need not be whole. Room is scaled to the sample,
//! always downward, so the plan never counts on room that is not there. What is placed keeps its bin and takes
//! no room in this problem; a bin's items are drawn together into a few of like need, so that the problem stays
//! small however many have come (on soft axes each such group weighs as one).

use crate::arrange::ascend;
use crate::solve::improve::Search;
use crate::solve::instance::{Assignment, Bin, Instance, RESOURCES, Room};
use crate::solve::online::price::{prices, usual_room};
use crate::solve::online::start::{anew, from_last};
use crate::solve::online::{Company, Frame, Item, Online};
use crate::solve::search;
use std::cell::OnceCell;

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
/// A plan from nothing between two items is first made for one in so many of the sample: by trial on invented
/// flocks no worse than for all, and two to six times quicker.
const THINNED: usize = 4;
/// A price goes with the room that somebody takes over what is usual, within these limits.
const SIZE_LIMITS: [f64; 2] = [0.5, 2.0];

/// What the plan comes to.
#[derive(Debug, Clone)]
pub(super) struct Aim {
    /// Levels, bin by bin, one an axis.
    pub(super) levels: Vec<f64>,
    pub(super) price: Vec<f64>,
    pub(super) kind: Vec<Option<u8>>,
    usual: Vec<[f64; RESOURCES]>,
    scarce: Vec<usize>,
}

/// What is aimed at, or how it is found.
#[derive(Debug, Clone, Default)]
pub(super) enum Aims {
    /// Nothing is planned.
    #[default]
    None,
    /// A plan.
    Planned(Aim),
    /// Nobody is to come: the levels follow from so many placed. Found when it is asked for, since whoever seats
    /// thousands of items one after the other asks only after the last.
    Settled { placed: usize, aim: OnceCell<Aim> },
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
pub(super) struct Problem {
    pub(super) instance: Instance,
    pub(super) groups: usize,
    /// The bin of each group.
    pub(super) homes: Vec<usize>,
    /// The sample's size, and for how many it stands.
    parts: [usize; 2],
    /// How many of the sample stand for one item.
    pub(super) scale: f64,
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
        let problem = problem(self, rest, stand_for, None);
        let again = self.aim().and_then(|aim| from_last(&problem, aim)).map(|start| polished(start, effort));
        let found = match again {
            // From nothing the bins may come out in another order: only where that is truly better.
            Some(again) if effort.afresh => {
                let whole = again.0.items();
                let better =
                    self.afresh(&problem, (rest, stand_for), effort).filter(|(instance, assignment)| {
                        instance.items() >= whole
                            && (instance.items() > whole
                                || instance.cost(assignment) < again.0.cost(&again.1))
                    });
                Some(better.unwrap_or(again))
            }
            Some(again) => Some(again),
            None => anew(&problem, effort),
        };
        match found {
            Some((instance, assignment)) => {
                self.aims = Aims::Planned(aim(self, &problem, &instance, &assignment));
            }
            None if self.aim().is_none() => self.settle(),
            None => {}
        }
    }

    /// A plan from nothing while there is one to fall back on: found for a thinned sample, whose levels and prices
    /// are where the whole sample's starts. A quarter of the sample finds the same order of bins in a quarter of
    /// the time.
    fn afresh(
        &self,
        whole: &Problem,
        (rest, stand_for): (&[Item], usize),
        effort: Effort,
    ) -> Option<(Instance, Assignment)> {
        let thin: Vec<Item> = rest.iter().skip(THINNED / 2).step_by(THINNED).cloned().collect();
        if effort.whole.is_some() || thin.is_empty() {
            return anew(whole, effort);
        }
        let thin = problem(self, &thin, stand_for, None);
        let (instance, assignment) = anew(&thin, effort)?;
        let aim = aim(self, &thin, &instance, &assignment);
        from_last(whole, &aim).map(|start| polished(start, effort))
    }

    /// Levels by those placed so far alone; room is worth nothing.
    fn settle(&mut self) {
        self.aims = Aims::Settled { placed: self.items.len(), aim: OnceCell::new() };
    }

    /// What is aimed at; nothing before the first plan.
    pub(super) fn aim(&self) -> Option<&Aim> {
        match &self.aims {
            Aims::None => None,
            Aims::Planned(aim) => Some(aim),
            Aims::Settled { placed, aim } => Some(aim.get_or_init(|| {
                if *placed == self.items.len() { self.settled() } else { self.as_of(*placed).settled() }
            })),
        }
    }

    /// As it was when so many were placed.
    fn as_of(&self, placed: usize) -> Self {
        let mut then = self.clone();
        then.items.truncate(placed);
        for stand in &mut then.stands {
            stand.members.retain(|&member| member < placed);
            stand.kind = stand.kind.filter(|_| !stand.members.is_empty());
        }
        then
    }

    fn settled(&self) -> Aim {
        let bins = self.stands.len();
        let axes = self.frame.axes.len();
        let mut levels = Vec::with_capacity(bins * axes);
        if !self.items.is_empty() {
            let problem = problem(self, &[], 1, None);
            for members in problem.instance.members(&problem.homes) {
                let mut own = vec![0.0; axes];
                problem.instance.best_levels(&members, &mut own, &mut Vec::new());
                levels.extend(own);
            }
        }
        levels.resize(bins * axes, 0.0);
        Aim {
            levels,
            price: vec![0.0; bins],
            kind: self.stands.iter().map(|stand| stand.kind).collect(),
            usual: vec![[0.0; RESOURCES]; bins],
            scarce: vec![0; bins],
        }
    }
}

fn polished((instance, start): (Instance, Assignment), effort: Effort) -> (Instance, Assignment) {
    let mut search = Search::new(&instance, &start);
    search.polish(effort.rounds);
    let assignment = search.assignment();
    (instance, assignment)
}

/// A bin of none.
const NOWHERE: usize = usize::MAX;

/// Room in the sample's measure, always downward.
fn scaled(amount: u64, [sample, stand_for]: [usize; 2]) -> u64 {
    if amount == u64::MAX {
        return amount;
    }
    u64::try_from(u128::from(amount) * sample as u128 / stand_for.max(1) as u128).unwrap_or(u64::MAX)
}

/// The problem of a sample that stands for so many. A guest is a group of her own, the last of them, in no bin
/// until she is seated ([`Problem::seat`]).
pub(super) fn problem(online: &Online, rest: &[Item], stand_for: usize, guest: Option<&Item>) -> Problem {
    let frame = &online.frame;
    let sample = rest.len();
    let scale = if sample == 0 { 1.0 } else { sample as f64 / stand_for as f64 };
    let mut items: Vec<Item> = Vec::new();
    let mut homes = Vec::new();
    for (bin, stand) in online.stands.iter().enumerate() {
        let together = drawn_together(online, &stand.members, bin, scale);
        homes.extend(std::iter::repeat_n(bin, together.len()));
        items.extend(together);
    }
    if let Some(guest) = guest {
        homes.push(NOWHERE);
        items.push(Item {
            slopes: guest.slopes.map(|slope| slope * scale),
            room: vec![[0; RESOURCES]; guest.room.len()],
            ..guest.clone()
        });
    }
    let groups = items.len();
    items.extend(rest.iter().cloned());
    let types = items.first().map_or(0, |item| item.room.len());
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
        bins: Vec::new(),
        kind_size: Instance::count_kinds(&kind),
        kind,
        allowed: items.iter().map(|item| item.allowed).collect(),
        place_cost: None,
        even: frame.even,
        together: Vec::new(),
        apart: Vec::new(),
    };
    let mut problem = Problem { instance, groups, homes, parts: [sample, stand_for], scale };
    problem.instance.bins =
        (0..online.stands.len()).map(|bin| problem.limits(online, bin, &Company::NONE, None)).collect();
    problem
}

impl Problem {
    /// What a bin has left for the sample, in the sample's measure; with the guest in it, and whoever must follow
    /// her.
    fn limits(&self, online: &Online, bin: usize, company: &Company, guest: Option<&Item>) -> Bin {
        let limits = &online.frame.bins[bin];
        let space_type = limits.space_type;
        let own = self.homes.iter().filter(|&&home| home == bin).count();
        let (comers, followers) = if guest.is_some() { (1, company.head) } else { (0, 0) };
        let head = online.stands[bin].members.len() + comers;
        let up = |count: usize| libm::ceil(count as f64 * self.scale - 1e-9) as usize;
        let lacks =
            if head == 0 { limits.min_head } else { limits.min_head.saturating_sub(head + followers) };
        let mut left = online.left(bin);
        if let Some(takes) = guest.and_then(|guest| guest.room.get(space_type)) {
            for (left, (takes, beside)) in left.iter_mut().zip(takes.iter().zip(company.in_type(space_type)))
            {
                *left = left.saturating_sub(u64::from(*takes) + beside);
            }
        }
        let left_head = online.left_head(bin).saturating_sub(comers + followers);
        let capacity = left.map(|left| scaled(left, self.parts));
        let more = (left_head as f64 * self.scale).min(1e9) as usize;
        Bin {
            space_type,
            capacity,
            max_head: more + own,
            // Where so many cannot come no plan keeps the limit: as many as can are asked for.
            min_head: (up(lacks).min(more).min(self.most_of_sample(bin, space_type, capacity)) + own).max(1),
            fair_head: (limits.fair_head - head as f64).max(0.0) * self.scale + own as f64,
        }
    }

    /// More of the sample than this cannot come to those who stand in a bin.
    fn most_of_sample(&self, bin: usize, space_type: usize, capacity: [u64; RESOURCES]) -> usize {
        let instance = &self.instance;
        let Some(first) = self.homes.iter().position(|&home| home == bin) else { return usize::MAX };
        let sample = self.groups..instance.items();
        let may = |&item: &usize| instance.may(item, bin) && instance.kind[item] == instance.kind[first];
        let room = sample.filter(may).map(|item| instance.room[space_type][item]);
        let (count, least) = room.fold((0, [u32::MAX; RESOURCES]), |(count, least), takes| {
            (count + 1, std::array::from_fn(|resource| takes[resource].min(least[resource])))
        });
        (0..RESOURCES).fold(count, |most, resource| {
            let fit = capacity[resource] / u64::from(least[resource].max(1));
            most.min(usize::try_from(fit).unwrap_or(usize::MAX))
        })
    }

    /// Seats the guest in a bin, with whoever must follow her.
    pub(super) fn seat(&mut self, online: &Online, guest: &Item, company: &Company, bin: usize) {
        let Some(place) = self.groups.checked_sub(1) else { return };
        let before = std::mem::replace(&mut self.homes[place], bin);
        self.instance.allowed[place] = 1 << bin;
        if before != NOWHERE {
            self.instance.bins[before] = self.limits(online, before, &Company::NONE, None);
        }
        self.instance.bins[bin] = self.limits(online, bin, company, Some(guest));
    }
}

/// The items of a bin as a few of like need, each weighing what its members do; they take no room here.
fn drawn_together(online: &Online, members: &[usize], bin: usize, scale: f64) -> Vec<Item> {
    let frame = &online.frame;
    let key = |item: &Item| {
        item.need.iter().zip(&frame.weight).take(frame.leading).map(|(need, weight)| need * weight).sum()
    };
    let mut keyed: Vec<(f64, usize)> =
        members.iter().filter_map(|&member| Some((key(online.items.get(member)?), member))).collect();
    ascend(&mut keyed);
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
