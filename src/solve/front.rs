//! Loss against the number of items moved out of the bins in which they stand: the whole curve, from none to
//! as many as the best assignment moves.
//!
//! # Method
//! One small exchange after another ([`crate::solve::walk`]): outward from the old assignment, whatever gains
//! most for each move first; then from the best assignment that is known back home, whatever loses least for
//! each move saved. Where two points that were met lie far apart, a walk from the one to the other fills the
//! gap. The lower left staircase of all that was met is the curve.
//!
//! Sweeps of local search at falling prices for a move were tried before: they took four times as long and
//! found hardly a point that the walks do not.
//!
//! The bins of the best assignment are renamed to agree with the old one as far as room allows, so that naming
//! alike bins anew never counts as a move.
//!
//! An old assignment that breaks limits is mended first; the curve then begins at the moves of the mending.
//! The curve is good, not proved: the true least loss for a number of moves may be less.

use crate::solve::board::{Board, Exchange, count_moves};
use crate::solve::exact::{self, Near};
use crate::solve::instance::{Assignment, Instance};
use crate::solve::walk::{LEAST_GAIN, Steps, Toward, Walk};
use crate::solve::{pack, search};

/// Up to this many items every gap is filled; with more, gaps of fewer items than that share stay, and those
/// that lose less than this share of the whole gain.
const FILLED: usize = 200;
const WORTH_FILLING: f64 = 0.02;
/// Up to [`FILLED`] items, points from which more walks begin, times the items.
const WALKS: usize = 3000;
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
    let mut way = Way { instance, old, pool: &mut pool };
    way.walk(&start, Toward::Anywhere, Steps::Any, Heading::Out);
    way.walk(&start, Toward::Anywhere, Steps::Single, Heading::Out);
    if let Some(best) = best {
        let best = renamed(instance, old, best);
        let end = way.walk(&best, Toward::Anywhere, Steps::Any, Heading::Out);
        way.walk(&end, Toward::This(&start), Steps::Any, Heading::Home);
    }
    from_between(instance, old, &start, &mut pool);
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
    fn offer_step(&mut self, board: &Board<'_>, step: &Exchange) {
        let loss = board.loss() + step.change;
        let slot =
            board.moves().checked_add_signed(step.added as isize).and_then(|moves| self.best.get_mut(moves));
        if let Some(slot) = slot
            && slot.as_ref().is_none_or(|(least, _)| loss < *least - LEAST_GAIN)
        {
            let mut bins = written(board.assignment());
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

/// Whether a walk is to pay for moves or to save them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Heading {
    /// Away from the old assignment: what gains most for each move comes first.
    Out,
    /// Back to it: what loses least for each move saved.
    Home,
}

/// Walks from place to place, everything met on the way being offered.
struct Way<'a> {
    instance: &'a Instance,
    old: &'a [usize],
    pool: &'a mut Pool,
}

impl Way<'_> {
    /// One exchange after another while something is gained, or until the assignment aimed at is reached; where
    /// it ends.
    fn walk(&mut self, start: &[usize], toward: Toward<'_>, steps: Steps, heading: Heading) -> Assignment {
        let mut walk = Walk::new(self.instance, self.old, start, toward);
        self.pool.offer(self.old, walk.board.loss(), start);
        for _ in 0..2 * self.instance.items() + 8 {
            let best = walk.best(steps);
            let loss = walk.board.loss();
            for exchange in &best {
                self.pool.offer_step(&walk.board, exchange);
            }
            let next = best.into_iter().min_by(|a, b| heading.worth(a).total_cmp(&heading.worth(b)));
            let Some(next) = next else { break };
            if matches!(toward, Toward::Anywhere) && next.change >= -LEAST_GAIN * loss.max(1.0) {
                break;
            }
            walk.make(&next);
            self.pool.offer(self.old, walk.board.loss(), walk.board.assignment());
        }
        walk.board.assignment().to_vec()
    }
}

impl Heading {
    /// What comes first has the least.
    fn worth(self, exchange: &Exchange) -> f64 {
        let paid = if self == Self::Out { exchange.added } else { -exchange.added };
        // What asks for nothing in return comes first where it gains and last where it loses.
        if paid <= 0 { exchange.change * 1e6 } else { exchange.change / f64::from(paid) }
    }
}

/// Where there are few items: walks out and home again from points of the staircase, which a walk of its own
/// from either end need not meet.
fn from_between(instance: &Instance, old: &[usize], start: &[usize], pool: &mut Pool) {
    let points = pool.staircase();
    let step = points.len().div_ceil((WALKS / instance.items().max(1)).max(1)).max(1);
    if instance.items() > FILLED {
        return;
    }
    let mut way = Way { instance, old, pool };
    for point in points.iter().step_by(step) {
        way.walk(&point.assignment, Toward::Anywhere, Steps::Any, Heading::Out);
        way.walk(&point.assignment, Toward::This(start), Steps::Any, Heading::Home);
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
            let mut way = Way { instance, old, pool: &mut *pool };
            way.walk(&before.assignment, Toward::This(&after.assignment), Steps::Any, Heading::Out);
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
