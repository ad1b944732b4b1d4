//! Amounts that can be weighed: nothing or at least so much, in whole steps, and few at a time.
//!
//! Branch and bound over the linear programme, depth first, in a budget of solves. Every answer keeps every row
//! and bound, because each is an answer of the programme itself with bounds drawn in.

use crate::solve::programme::{NEAR, Programme, Quick, quick};

/// How a column is measured out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grain {
    /// Amounts are whole multiples of this.
    pub step: f64,
    /// Least amount that is used at all, a multiple of the step.
    pub least: f64,
    /// Whether it counts against the most that may be used at a time.
    pub counts: bool,
}

/// What is wanted.
#[derive(Debug, Clone, Copy)]
pub struct Practical<'p> {
    /// The programme.
    pub programme: &'p Programme,
    /// How each column is measured out; nothing for those that may be any amount.
    pub grains: &'p [Option<Grain>],
    /// The most counted columns that may be used at a time.
    pub most_used: usize,
    /// The most programmes to solve.
    pub solves: u32,
    /// An answer this near the best is good enough, in cost.
    pub near: f64,
}

/// What was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    /// The amounts and what they cost; nothing where none was found.
    pub found: Option<(Vec<f64>, f64)>,
    /// No practical amounts cost less than this.
    pub bound: f64,
    /// Programmes solved.
    pub solves: u32,
    /// Whether everything was tried or ruled out: the best is within `near`, or there is none.
    pub is_proved: bool,
}

/// How near a whole step counts as whole.
const WHOLE: f64 = 1e-6;

struct Node {
    /// Bounds drawn in: column, low, high.
    bounds: Vec<(usize, f64, f64)>,
    /// What the programme before cost: nothing below can cost less.
    bound: f64,
}

/// Looks for practical amounts: first which columns to use, whatever the steps; then whole steps of those; then,
/// with what is left of the budget, everything at once.
pub fn weigh(wanted: &Practical<'_>) -> Weighed {
    let third = wanted.solves / 3;
    let chosen = search(wanted, Vec::new(), None, third, Steps::Any);
    let mut solves = chosen.solves;
    let mut best = None;
    if let Some((amounts, _)) = &chosen.found {
        let unused = amounts.iter().zip(wanted.grains).enumerate();
        let unused = unused.filter(|(_, (amount, grain))| grain.is_some_and(|g| **amount <= WHOLE * g.step));
        let bounds = unused.map(|(column, _)| (column, 0.0, 0.0)).collect();
        let with_these = search(wanted, bounds, None, third, Steps::Whole);
        solves += with_these.solves;
        best = with_these.found;
    }
    let all = search(wanted, Vec::new(), best, wanted.solves - solves, Steps::Whole);
    let cost = all.found.as_ref().map_or(f64::INFINITY, |(_, cost)| *cost);
    // What the choice of columns alone costs at least bounds the rest too.
    let bound = all.bound.max(chosen.bound.min(cost));
    let is_near = cost.is_finite() && cost - bound <= wanted.near;
    Weighed { bound, solves: solves + all.solves, is_proved: all.is_proved || is_near, found: all.found }
}

/// Whether steps must be whole.
#[derive(Clone, Copy, PartialEq)]
enum Steps {
    Any,
    Whole,
}

fn search(
    wanted: &Practical<'_>,
    bounds: Vec<(usize, f64, f64)>,
    start: Option<(Vec<f64>, f64)>,
    budget: u32,
    steps: Steps,
) -> Weighed {
    let mut open = vec![Node { bounds, bound: f64::NEG_INFINITY }];
    let mut best = start;
    let mut solves = 0;
    let mut least = f64::INFINITY;
    while let Some(node) = open.pop() {
        let limit = best.as_ref().map_or(f64::INFINITY, |(_, cost)| cost - wanted.near);
        if node.bound >= limit {
            least = least.min(node.bound);
            continue;
        }
        if solves >= budget {
            open.push(node);
            break;
        }
        solves += 1;
        let mut programme = wanted.programme.clone();
        for &(column, low, high) in &node.bounds {
            if let Some(own) = programme.columns.get_mut(column) {
                own.low = own.low.max(low);
                own.high = own.high.min(high);
            }
        }
        let Quick::Optimal(optimum) = quick(&programme) else { continue };
        if optimum.cost >= limit {
            least = least.min(optimum.cost);
            continue;
        }
        match branch(wanted, &programme, &optimum.amounts, steps) {
            Branch::Whole => best = Some((on_steps(wanted, optimum.amounts, steps), optimum.cost)),
            Branch::Dead => {}
            Branch::Two(column, sides) => {
                for (low, high) in sides {
                    let mut bounds = node.bounds.clone();
                    bounds.push((column, low, high));
                    open.push(Node { bounds, bound: optimum.cost });
                }
            }
        }
    }
    let is_proved = open.is_empty();
    let bound = open.iter().map(|node| node.bound).fold(least, f64::min);
    let bound = best.as_ref().map_or(bound, |(_, cost)| bound.min(*cost));
    Weighed { found: best, bound, solves, is_proved }
}

/// The amounts on their steps exactly, where a hair's breadth was missing and no limit minds.
fn on_steps(wanted: &Practical<'_>, amounts: Vec<f64>, steps: Steps) -> Vec<f64> {
    if steps == Steps::Any {
        return amounts;
    }
    let own = amounts.iter().zip(wanted.grains);
    let whole: Vec<f64> = own
        .map(|(amount, grain)| grain.map_or(*amount, |grain| grain.step * libm::round(amount / grain.step)))
        .collect();
    if wanted.programme.fault(&whole) <= NEAR { whole } else { amounts }
}

enum Branch {
    /// Everything can be weighed.
    Whole,
    /// Nothing below can be.
    Dead,
    /// Either in these bounds of a column or in those; the likelier ones last.
    Two(usize, [(f64, f64); 2]),
}

fn branch(wanted: &Practical<'_>, programme: &Programme, amounts: &[f64], steps: Steps) -> Branch {
    // A column, how much it matters, and its least amount or step.
    let mut short: Option<(usize, f64, f64)> = None;
    let mut uneven: Option<(usize, f64, f64)> = None;
    let mut surplus: Option<(usize, f64, f64)> = None;
    let (mut used, mut forced) = (0, 0);
    for (column, (amount, grain)) in amounts.iter().zip(wanted.grains).enumerate() {
        let Some(grain) = grain else { continue };
        let count = amount / grain.step;
        let off = if steps == Steps::Whole { (count - libm::round(count)).abs() } else { 0.0 };
        let is_used = count > WHOLE;
        let is_forced = programme.columns.get(column).is_some_and(|own| own.low > 0.0);
        if is_used && grain.counts {
            used += 1;
            forced += usize::from(is_forced);
            if !is_forced && surplus.is_none_or(|(_, least, _)| *amount < least) {
                surplus = Some((column, *amount, grain.least));
            }
        }
        if is_used && *amount < grain.least - WHOLE * grain.step {
            let share = amount / grain.least;
            if short.is_none_or(|(_, most, _)| share > most) {
                short = Some((column, share, grain.least));
            }
        } else if is_used && off > WHOLE && uneven.is_none_or(|(_, most, _)| off > most) {
            uneven = Some((column, off, grain.step));
        }
    }
    let none = (0.0, 0.0);
    if forced > wanted.most_used {
        return Branch::Dead;
    }
    if let Some((column, share, least)) = short {
        let some = (least, f64::INFINITY);
        return Branch::Two(column, if share >= 0.5 { [none, some] } else { [some, none] });
    }
    if used > wanted.most_used {
        return match surplus {
            Some((column, _, least)) => Branch::Two(column, [(least, f64::INFINITY), none]),
            None => Branch::Dead,
        };
    }
    let Some((column, _, step)) = uneven else { return Branch::Whole };
    let count = amounts.get(column).copied().unwrap_or(0.0) / step;
    let (down, up) = (libm::floor(count), libm::ceil(count));
    let (less, more) = ((0.0, down * step), (up * step, f64::INFINITY));
    Branch::Two(column, if count - down > 0.5 { [less, more] } else { [more, less] })
}
