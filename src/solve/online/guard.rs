//! Which bins may be given away without leaving somebody without a place later.
//!
//! What is to come is known by class only: how many, how large, each with how far that may be out. Whether the
//! bins can then hold it is asked class by class and for every set of classes together (Hall's condition): the
//! bins open to a set must hold as many as the set has. A bin holds as many of a size as go whole into the room
//! that is left. How sure the answer is, is how many standard errors may be laid on numbers and sizes at once
//! with the answer still yes.

use crate::arrange::Arrange as _;
use crate::solve::instance::RESOURCES;
use crate::solve::online::{Company, Item, Online};

/// Standard errors that are tried, surest first; whoever passes none has the risk of their number. Below nought
/// all goes well only if fewer or smaller ones come than are expected: still better than not at all.
const ERRORS: [f64; 7] = [3.0, 2.0, 1.0, 0.0, -1.0, -2.0, -3.0];
/// More empty bins than these are not dealt to kinds in every way.
const MOST_DEALT: usize = 8;
/// A hair, so that a sum of shares a rounding above a whole number is that number.
const ROUNDING: f64 = 1e-6;

/// Items to come that may go to the same bins.
#[derive(Debug, Clone, PartialEq)]
pub struct Class {
    /// Their kind: 0 or 1.
    pub kind: u8,
    /// Bins that they may go to, as a bit mask.
    pub allowed: u64,
    /// How many are expected.
    pub count: f64,
    /// How far that may be out: one standard error.
    pub count_error: f64,
    /// Mean of what one takes, by space type.
    pub room: Vec<[f64; RESOURCES]>,
    /// Spread of that from one to the next, by space type.
    pub room_spread: Vec<[f64; RESOURCES]>,
    /// How far the mean itself may be out, by space type: one standard error.
    pub room_error: Vec<[f64; RESOURCES]>,
}

/// What is to come.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Future {
    /// How many in all.
    pub total: usize,
    /// Class by class; at most eight.
    pub classes: Vec<Class>,
}

/// What is left in the bins once an item stands in one of them.
struct Left {
    room: Vec<[u64; RESOURCES]>,
    head: Vec<usize>,
    kind: Vec<Option<u8>>,
    lacks: Vec<usize>,
}

/// How many a bin in use still lacks to its fewest.
pub(super) fn lacks(online: &Online, bin: usize) -> usize {
    let stand = &online.stands[bin];
    let head = stand.members.len() + stand.kept_head;
    // Where a kind stands in one bin alone, all of it is there, however few.
    let alone = online.stands.iter().filter(|other| other.kind == stand.kind).count() == 1;
    if stand.members.is_empty() || alone { 0 } else { online.frame.bins[bin].min_head.saturating_sub(head) }
}

/// How unsure it is that all to come find a place once the item stands in the bin: 0 is surest.
pub(super) fn risk(online: &Online, item: &Item, company: &Company, bin: usize, future: &Future) -> usize {
    if future.total == 0 {
        return 0;
    }
    let left = left(online, item, company, bin);
    ERRORS.iter().position(|&errors| holds(online, &left, future, errors)).unwrap_or(ERRORS.len())
}

/// The same in quarters of a step, 0 surest: `risk` is what [`risk`] said.
pub(super) fn risk_in_quarters(
    online: &Online,
    (item, company): (&Item, &Company),
    bin: usize,
    future: &Future,
    risk: usize,
) -> usize {
    let surer = risk.checked_sub(1).and_then(|surer| ERRORS.get(surer));
    let (Some(&holding), Some(&failing)) = (ERRORS.get(risk), surer) else { return 4 * risk };
    let left = left(online, item, company, bin);
    let holds =
        |quarter: u8| holds(online, &left, future, holding + f64::from(quarter) * (failing - holding) / 4.0);
    let quarters = match (holds(2), holds(1), holds(3)) {
        (true, _, true) => 3,
        (true, _, false) => 2,
        (false, true, _) => 1,
        (false, false, _) => 0,
    };
    4 * risk - quarters
}

impl Future {
    /// Whether both kinds may come.
    pub(super) fn is_of_two_kinds(&self) -> bool {
        (0..2).all(|kind| {
            let mut own = self.classes.iter().filter(|class| class.kind == kind);
            own.any(|class| class.count > ROUNDING || class.count_error > ROUNDING)
        })
    }
}

fn left(online: &Online, item: &Item, company: &Company, bin: usize) -> Left {
    let bins = online.stands.len();
    let mut left = Left {
        room: (0..bins).map(|bin| online.left(bin)).collect(),
        head: (0..bins).map(|bin| online.left_head(bin)).collect(),
        kind: online.stands.iter().map(|stand| stand.kind).collect(),
        lacks: vec![0; bins],
    };
    let space_type = online.frame.bins[bin].space_type;
    let beside = company.in_type(space_type);
    if let Some(takes) = item.room.get(space_type) {
        for resource in 0..RESOURCES {
            let room = &mut left.room[bin][resource];
            *room = room.saturating_sub(u64::from(takes[resource]) + beside[resource]);
        }
    }
    left.head[bin] = left.head[bin].saturating_sub(1 + company.head);
    left.kind[bin] = Some(item.kind);
    for other in 0..bins {
        let Some(kind) = left.kind[other] else { continue };
        let stand = &online.stands[other];
        let comers = if other == bin { 1 + company.head } else { 0 };
        let head = stand.members.len() + stand.kept_head + comers;
        let alone = left.kind.iter().filter(|&&other| other == Some(kind)).count() == 1;
        left.lacks[other] = if alone { 0 } else { online.frame.bins[other].min_head.saturating_sub(head) };
    }
    left
}

/// Whether all find a place with so many standard errors laid on: once as if each kind were the many.
fn holds(online: &Online, left: &Left, future: &Future, errors: f64) -> bool {
    let total = future.total as f64;
    let of_kind = |kind: u8| {
        let of = future.classes.iter().filter(|class| class.kind == kind);
        let (count, square) =
            of.fold((0.0, 0.0), |(n, e), class| (n + class.count, e + class.count_error * class.count_error));
        (count, square.sqrt())
    };
    (0..2_u8).all(|many| {
        let (count, error) = of_kind(many);
        // A kind that nobody expects is not provided for.
        if count <= ROUNDING && error <= ROUNDING {
            return true;
        }
        let most = (count + errors * error).clamp(0.0, total);
        let counts = if many == 0 { [most, total - most] } else { [total - most, most] };
        deals(left).into_iter().any(|dealt| {
            (0..2_u8).all(|kind| {
                let bins: Vec<usize> = (0..left.kind.len())
                    .filter(|&bin| match left.kind[bin] {
                        Some(own) => own == kind,
                        None => dealt >> bin & 1 == u64::from(kind),
                    })
                    .collect();
                kind_holds(online, left, future, (kind, counts[usize::from(kind)]), &bins, errors)
            })
        })
    })
}

/// Ways to deal the empty bins to the two kinds, as masks of those for kind 1: every way where they are few,
/// otherwise in the order of their size.
fn deals(left: &Left) -> Vec<u64> {
    let mut empty: Vec<usize> = (0..left.kind.len()).filter(|&bin| left.kind[bin].is_none()).collect();
    if empty.len() <= MOST_DEALT {
        return (0..1_usize << empty.len())
            .map(|ways| {
                let chosen = empty.iter().enumerate().filter(|(place, _)| ways >> place & 1 == 1);
                chosen.fold(0_u64, |mask, (_, &bin)| mask | 1 << bin)
            })
            .collect();
    }
    empty.arrange_by_key(|&bin| (left.room[bin], bin));
    let mut deals = vec![0];
    for from in 0..empty.len() {
        let mut mask = 0_u64;
        for &bin in &empty[from..] {
            mask |= 1 << bin;
            deals.push(mask);
        }
    }
    deals
}

/// Whether these bins hold all of a kind.
fn kind_holds(
    online: &Online,
    left: &Left,
    future: &Future,
    (kind, count): (u8, f64),
    bins: &[usize],
    errors: f64,
) -> bool {
    let classes: Vec<&Class> = future.classes.iter().filter(|class| class.kind == kind).collect();
    let expected: f64 = classes.iter().map(|class| class.count).sum();
    // Bins in use must reach their fewest with the fewest that may come.
    let few = {
        let error: f64 = classes.iter().map(|class| class.count_error * class.count_error).sum::<f64>();
        (expected - errors * error.sqrt()).min(count).max(0.0)
    };
    let lack: usize = bins.iter().map(|&bin| left.lacks[bin]).sum();
    if lack as f64 > few + ROUNDING {
        return false;
    }
    if count <= ROUNDING {
        return true;
    }
    (1..1_usize << classes.len().min(8)).all(|set| {
        let chosen: Vec<&Class> =
            classes.iter().enumerate().filter(|(place, _)| set >> place & 1 == 1).map(|(_, &c)| c).collect();
        let whole = chosen.len() == classes.len();
        let mean: f64 = chosen.iter().map(|class| class.count).sum();
        let error: f64 = chosen.iter().map(|class| class.count_error * class.count_error).sum();
        let heads = if whole { count } else { (mean + errors * error.sqrt()).min(count) };
        let heads = libm::ceil(heads - ROUNDING);
        if heads < 1.0 {
            return true;
        }
        let mask = chosen.iter().fold(0_u64, |mask, class| mask | class.allowed);
        let open = bins.iter().filter(|&&bin| mask >> bin & 1 == 1);
        let held: f64 = open.map(|&bin| held(online, left, &chosen, heads, bin, errors)).sum();
        held >= heads
    })
}

/// How many of a set of classes go whole into what is left of a bin.
fn held(online: &Online, left: &Left, set: &[&Class], heads: f64, bin: usize, errors: f64) -> f64 {
    let space_type = online.frame.bins[bin].space_type;
    let count: f64 = set.iter().map(|class| class.count.max(ROUNDING)).sum();
    (0..RESOURCES).fold(left.head[bin] as f64, |least, resource| {
        let mut mean = 0.0;
        let (mut spread, mut error) = (0.0, 0.0);
        for class in set {
            let share = class.count.max(ROUNDING) / count;
            mean += share * class.room.get(space_type).map_or(0.0, |room| room[resource]);
            spread += share * class.room_spread.get(space_type).map_or(0.0, |room| room[resource]);
            error += share * class.room_error.get(space_type).map_or(0.0, |room| room[resource]);
        }
        // The mean of many is surer than the size of one.
        let size = mean + errors * (spread * spread / heads + error * error).sqrt();
        let fits = left.room[bin][resource] as f64 / size.max(f64::MIN_POSITIVE);
        // Where all must go well, what one bin has over for part of one is taken to be put to use by its sizes.
        least.min(if errors < 0.0 { fits } else { libm::floor(fits) })
    })
}
