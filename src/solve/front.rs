//! Loss against the number of items moved out of the bins in which they stand: the whole curve, from none to
//! as many as the best assignment moves.
//!
//! # Method
//! Every item is charged a price for any bin but its old one, and the local search is run from the old
//! assignment as the price falls, each time from where it stood at the price before; then upward from the best
//! assignment that is known. At fixed levels such a sweep gives the corners of the curve's lower hull. Between
//! them, and where the first corner is far from nought, one small exchange after another fills the gaps
//! ([`crate::solve::walk`]). The lower left staircase of all that was met is the curve.
//!
//! Even "free" has a small price, and the bins of the best assignment are renamed to agree with the old one as
//! far as room allows, so that naming alike bins anew never counts as a move.
//!
//! An old assignment that breaks limits is mended first; the curve then begins at the moves of the mending.
//! The curve is good, not proved: the true least loss for a number of moves may be less.

use crate::solve::exact::{self, Near};
use crate::solve::improve::Search;
use crate::solve::instance::{Assignment, Instance};
use crate::solve::walk::{Exchange, LEAST_GAIN, Steps, Toward, Walk, count_moves};
use crate::solve::{pack, search};

/// Prices in a sweep and how each follows from the one before.
const PRICES: usize = 14;
const NEXT_PRICE: f64 = 0.5625;
/// The price of a move that is "free", as a share of the mean loss of an item.
const FREE: f64 = 1e-6;
/// Rounds of local search at one price.
const ROUNDS: usize = 12;
/// Prices tried between two where the curve has a gap, and the gap that is worth it, as a share of the items.
const BETWEEN: usize = 8;
const WIDE_GAP: f64 = 0.02;
/// Up to this many items every gap is filled; with more, gaps of fewer items than that share stay, and those
/// that lose less than this share of the whole gain.
const FILLED: usize = 200;
const WORTH_FILLING: f64 = 0.02;
/// Up to this many items each number of moves is searched exactly, within so many nodes.
pub const FEW: usize = 30;
const NODES: usize = 6000;
/// Table cells for a start where the old assignment cannot be mended.
const CELLS: usize = 300_000;

/// A number of moves and what is lost with them.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Items that stand in another bin than the old one.
    pub moves: usize,
    /// The loss.
    pub loss: f64,
    /// The bin of each item.
    pub assignment: Assignment,
}

/// The curve, moves rising and loss falling. Every point keeps all limits.
///
/// The first point is the old assignment itself, or that assignment mended with as few moves as were found.
/// `best` is an assignment within the limits that the curve shall reach, such as the solver's. `None` where
/// the old assignment breaks limits and nothing within them was found.
pub fn front(instance: &Instance, old: &[usize], best: Option<&[usize]>) -> Option<Vec<Point>> {
    let start = start(instance, old, best)?;
    let mut pool = Pool::new(instance.items());
    pool.offer(old, instance.cost(&start), &start);
    if instance.items() == 0 {
        return Some(pool.staircase());
    }
    let prices = prices(instance, &start);
    let swept = sweep_down(instance, old, &start, &prices, &mut pool);
    between(instance, old, &swept, &mut pool);
    if let Some(best) = best {
        sweep_up(instance, old, best, &prices, &mut pool);
    }
    walk(instance, old, &start, Toward::Anywhere, Steps::Any, &mut pool);
    walk(instance, old, &start, Toward::Anywhere, Steps::Single, &mut pool);
    fill(instance, old, &mut pool);
    if instance.items() <= FEW {
        try_all(instance, old, &mut pool);
    }
    Some(pool.staircase())
}

/// The best of all that was met, by number of moves.
struct Pool {
    best: Vec<Option<(f64, Box<[u8]>)>>,
}

impl Pool {
    fn new(items: usize) -> Self {
        Self { best: vec![None; items + 1] }
    }

    fn offer(&mut self, old: &[usize], loss: f64, assignment: &[usize]) {
        let moves = count_moves(old, assignment);
        if let Some(slot) = self.best.get_mut(moves)
            && slot.as_ref().is_none_or(|(least, _)| loss < *least - LEAST_GAIN)
        {
            *slot = Some((loss, written(assignment)));
        }
    }

    /// Offers what a step of a walk would come to; written out only where it is the best yet.
    fn offer_step(&mut self, walk: &Walk<'_>, step: &Exchange) {
        let loss = walk.loss() + step.change;
        let slot =
            walk.moves.checked_add_signed(step.added as isize).and_then(|moves| self.best.get_mut(moves));
        if let Some(slot) = slot
            && slot.as_ref().is_none_or(|(least, _)| loss < *least - LEAST_GAIN)
        {
            let mut bins = written(walk.assignment());
            for &(item, bin) in step.parts() {
                bins[item] = bin as u8;
            }
            *slot = Some((loss, bins));
        }
    }

    /// Only points that lose less than every point with fewer moves.
    fn staircase(&self) -> Vec<Point> {
        let mut points: Vec<Point> = Vec::new();
        for (moves, slot) in self.best.iter().enumerate() {
            if let Some((loss, bins)) = slot
                && points.last().is_none_or(|last| *loss < last.loss - LEAST_GAIN * last.loss.max(1.0))
            {
                let assignment = bins.iter().map(|&bin| usize::from(bin)).collect();
                points.push(Point { moves, loss: *loss, assignment });
            }
        }
        points
    }
}

/// An assignment in short: there are at most 64 bins.
fn written(assignment: &[usize]) -> Box<[u8]> {
    assignment.iter().map(|&bin| bin as u8).collect()
}

/// The old assignment, or the nearest to it that keeps the limits.
fn start(instance: &Instance, old: &[usize], best: Option<&[usize]>) -> Option<Assignment> {
    if instance.is_feasible(old) {
        return Some(old.to_vec());
    }
    let mended = pack::mend(instance, old, &search::losses(instance, old));
    let other = || best.map(<[usize]>::to_vec).or_else(|| search::any(instance, CELLS));
    let mut mended = mended.or_else(other)?;
    // Whoever can go home again does.
    let mut members = instance.members(&mended);
    loop {
        let mut any = false;
        for item in 0..instance.items() {
            let (now, home) = (mended[item], old[item]);
            if now == home || home >= instance.bins.len() || !instance.may(item, home) {
                continue;
            }
            let left: Vec<usize> = members[now].iter().copied().filter(|&member| member != item).collect();
            let mut joined = members[home].clone();
            joined.push(item);
            if instance.fits(&left, now) && instance.fits(&joined, home) {
                mended[item] = home;
                if instance.is_feasible(&mended) {
                    (members[now], members[home]) = (left, joined);
                    any = true;
                } else {
                    mended[item] = now;
                }
            }
        }
        if !any {
            return instance.is_feasible(&mended).then_some(mended);
        }
    }
}

/// Prices from one at which hardly anybody moves to one that is as good as none.
fn prices(instance: &Instance, start: &[usize]) -> Vec<f64> {
    let bins = instance.bins.len();
    let table = search::losses(instance, start);
    let most = start
        .iter()
        .enumerate()
        .map(|(item, &bin)| {
            let row = &table[item * bins..(item + 1) * bins];
            let may = (0..bins).filter(|&other| instance.may(item, other));
            row[bin] - may.map(|other| row[other]).fold(row[bin], f64::min)
        })
        .fold(0.0, f64::max);
    let free = FREE * instance.cost(start).max(f64::MIN_POSITIVE) / instance.items().max(1) as f64;
    let mut price = most.max(free);
    let mut prices = Vec::with_capacity(PRICES + 1);
    for _ in 0..PRICES {
        prices.push(price);
        price = (price * NEXT_PRICE).max(free);
    }
    prices.push(free);
    prices
}

/// The instance with a price on every bin but the old one.
fn priced(instance: &Instance, old: &[usize]) -> Instance {
    let bins = instance.bins.len();
    Instance { place_cost: Some(vec![0.0; old.len() * bins]), ..instance.clone() }
}

fn set_price(priced: &mut Instance, instance: &Instance, old: &[usize], price: f64) {
    let bins = instance.bins.len();
    if let Some(costs) = &mut priced.place_cost {
        for (item, costs) in costs.chunks_exact_mut(bins).enumerate() {
            for (bin, cost) in costs.iter_mut().enumerate() {
                *cost = instance.place_cost(item, bin) + if bin == old[item] { 0.0 } else { price };
            }
        }
    }
}

/// Local search at a price, from an assignment.
fn at_price(priced: &Instance, from: Assignment) -> Assignment {
    let mut search = Search::new(priced, &from);
    search.polish(ROUNDS);
    search.assignment()
}

/// What was met at each price, from the old assignment downward.
fn sweep_down(
    instance: &Instance,
    old: &[usize],
    start: &Assignment,
    prices: &[f64],
    pool: &mut Pool,
) -> Vec<(f64, Assignment)> {
    let mut with_price = priced(instance, old);
    let mut now = start.clone();
    let mut swept = Vec::with_capacity(prices.len());
    for &price in prices {
        set_price(&mut with_price, instance, old, price);
        now = at_price(&with_price, now);
        pool.offer(old, instance.cost(&now), &now);
        swept.push((price, now.clone()));
    }
    swept
}

/// Prices half way between two whose points are far apart, first gaps first.
fn between(instance: &Instance, old: &[usize], swept: &[(f64, Assignment)], pool: &mut Pool) {
    let wide = ((instance.items() as f64 * WIDE_GAP) as usize).max(1);
    let mut with_price = priced(instance, old);
    let mut left = BETWEEN;
    for pair in swept.windows(2) {
        let [(high, before), (low, after)] = pair else { continue };
        let gap = count_moves(old, after).saturating_sub(count_moves(old, before));
        if left == 0 {
            return;
        }
        if gap > wide && low < high {
            left -= 1;
            set_price(&mut with_price, instance, old, (high * low).sqrt());
            let now = at_price(&with_price, before.clone());
            pool.offer(old, instance.cost(&now), &now);
        }
    }
}

/// From the best assignment upward, its bins renamed to agree with the old one.
fn sweep_up(instance: &Instance, old: &[usize], best: &[usize], prices: &[f64], pool: &mut Pool) {
    let mut now = renamed(instance, old, best);
    pool.offer(old, instance.cost(&now), &now);
    let mut with_price = priced(instance, old);
    for &price in prices.iter().rev().step_by(2) {
        set_price(&mut with_price, instance, old, price);
        now = at_price(&with_price, now);
        pool.offer(old, instance.cost(&now), &now);
    }
}

/// The same groups in other bins, where that lets more items stay and loses nothing.
fn renamed(instance: &Instance, old: &[usize], best: &[usize]) -> Assignment {
    let bins = instance.bins.len();
    let mut now = best.to_vec();
    let most = instance.cost(best) * (1.0 + LEAST_GAIN);
    let mut refused: Vec<(usize, usize)> = Vec::new();
    loop {
        let mut stays = vec![0_usize; bins * bins];
        for (&new, &old) in now.iter().zip(old) {
            stays[new * bins + old] += 1;
        }
        let saved = |&(a, b): &(usize, usize)| {
            (stays[a * bins + b] + stays[b * bins + a])
                .saturating_sub(stays[a * bins + a] + stays[b * bins + b])
        };
        let pairs = (0..bins).flat_map(|a| (a + 1..bins).map(move |b| (a, b)));
        let pair = pairs
            .filter(|pair| saved(pair) > 0 && !refused.contains(pair))
            .max_by(|one, other| saved(one).cmp(&saved(other)).then(other.cmp(one)));
        let Some((a, b)) = pair else { return now };
        let other = |bin: usize| {
            if bin == a {
                b
            } else if bin == b {
                a
            } else {
                bin
            }
        };
        let swapped: Assignment = now.iter().map(|&bin| other(bin)).collect();
        if instance.is_feasible(&swapped) && instance.cost(&swapped) <= most {
            now = swapped;
            refused.clear();
        } else {
            refused.push((a, b));
        }
    }
}

/// One exchange after another while something is gained, or until the assignment aimed at is reached; all that
/// is met on the way is offered.
fn walk(
    instance: &Instance,
    old: &[usize],
    start: &[usize],
    toward: Toward<'_>,
    steps: Steps,
    pool: &mut Pool,
) {
    let mut walk = Walk::new(instance, old, start, toward);
    for _ in 0..2 * instance.items() + 8 {
        let best = walk.best(steps);
        let loss = walk.loss();
        for exchange in &best {
            pool.offer_step(&walk, exchange);
        }
        // What saves moves besides comes first; then whatever gains most for each move.
        let worth =
            |change: f64, added: i32| if added <= 0 { change * 1e6 } else { change / f64::from(added) };
        let next =
            best.into_iter().min_by(|a, b| worth(a.change, a.added).total_cmp(&worth(b.change, b.added)));
        let Some(next) = next else { return };
        let aimless = matches!(toward, Toward::Anywhere);
        if aimless && next.change >= -LEAST_GAIN * loss.max(1.0) {
            return;
        }
        walk.make(&next);
        pool.offer(old, walk.loss(), walk.assignment());
    }
}

/// Fills the gaps of the staircase by walking from each point toward the next.
fn fill(instance: &Instance, old: &[usize], pool: &mut Pool) {
    let gap = instance.items().div_ceil(FILLED);
    let points = pool.staircase();
    let whole = points.first().map_or(0.0, |first| first.loss) - points.last().map_or(0.0, |last| last.loss);
    let least = if gap > 1 { WORTH_FILLING * whole } else { 0.0 };
    for pair in points.windows(2) {
        let [before, after] = pair else { continue };
        if after.moves - before.moves > gap && before.loss - after.loss > least {
            walk(instance, old, &before.assignment, Toward::This(&after.assignment), Steps::Any, pool);
        }
    }
}

/// Where there are few items: the best for each number of moves, as far as the nodes go.
fn try_all(instance: &Instance, old: &[usize], pool: &mut Pool) {
    let points = pool.staircase();
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return };
    let mut known = first.clone();
    for most in first.moves + 1..last.moves {
        if let Some(point) = points.iter().rfind(|point| point.moves <= most && point.loss < known.loss) {
            known = point.clone();
        }
        let near = Near { home: old, most };
        let (exact::Outcome::Optimal(found) | exact::Outcome::Unfinished(Some(found))) =
            exact::search_near(instance, Some(&known.assignment), NODES, Some(near))
        else {
            continue;
        };
        let loss = instance.cost(&found);
        pool.offer(old, loss, &found);
        known = Point { moves: count_moves(old, &found), loss, assignment: found };
    }
}
