//! Amounts that can be weighed: nothing or at least so much, in whole steps, and few at a time.
//!
//! Branch and bound over the linear programme, depth first, in a budget of solves. Every answer keeps every row
//! and bound, because each is an answer of the programme itself with bounds drawn in.

use crate::solve::programme::{NEAR, Programme, Quick, Stand, quick_from};
use std::rc::Rc;

/// How a column is measured out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grain {
    /// Amounts are whole multiples of this.
    pub step: f64,
    /// Least amount that is used at all, a multiple of the step.
    pub least: f64,
    /// Whether it counts against the most that may be used at a time.
    pub counts: bool,
    /// What it costs beside its amount where it is used; 0 or more, and 0 for those that do not count.
    pub handling: f64,
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
    /// Columns used before. They are tried first, and stay unless others are better by more than `near`.
    pub before: &'p [usize],
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
    /// Where that programme was left.
    stand: Rc<Stand>,
}

/// Looks for practical amounts: first with the columns used before; then which columns to use, whatever the steps;
/// then whole steps of those; then, with what is left of the budget, everything at once.
pub fn weigh(wanted: &Practical<'_>) -> Weighed {
    let (mut best, mut solves) = (None, 0);
    // All searches begin from the programme's own optimum.
    if wanted.programme.malformed().is_some() {
        return Weighed { found: None, bound: f64::NEG_INFINITY, solves: 0, is_proved: false };
    }
    let mut stand = Stand::new(wanted.programme);
    quick_from(wanted.programme, &mut stand);
    let stand = Rc::new(stand);
    let search = |bounds, start, budget, steps| search(wanted, &stand, bounds, start, budget, steps);
    let part = if wanted.before.is_empty() { wanted.solves / 3 } else { wanted.solves / 4 };
    if !wanted.before.is_empty() {
        let others = unused(wanted, |column| !wanted.before.contains(&column));
        let before = search(others, None, part, Steps::Whole);
        solves += before.solves;
        best = before.found;
    }
    let as_before = best.as_ref().map_or(f64::INFINITY, |(_, cost)| *cost);
    let chosen = search(Vec::new(), best.clone(), part, Steps::Any);
    solves += chosen.solves;
    if let Some((amounts, cost)) = &chosen.found
        && *cost < as_before
    {
        let is_used = |column: usize, grain: &Grain| {
            amounts.get(column).is_some_and(|amount| *amount > WHOLE * grain.step)
        };
        let bounds = wanted.grains.iter().enumerate().filter_map(|(column, grain)| {
            grain.as_ref().filter(|grain| !is_used(column, grain)).map(|_| (column, 0.0, 0.0))
        });
        let with_these = search(bounds.collect(), best.clone(), part, Steps::Whole);
        solves += with_these.solves;
        best = with_these.found;
    }
    // Where the best found is near what any choice costs at least, in whatever steps, there is no more to look for.
    if best.as_ref().is_some_and(|(_, cost)| cost - chosen.bound <= wanted.near) {
        return Weighed { found: best, bound: chosen.bound, solves, is_proved: true };
    }
    let all = search(Vec::new(), best, wanted.solves.saturating_sub(solves), Steps::Whole);
    let cost = all.found.as_ref().map_or(f64::INFINITY, |(_, cost)| *cost);
    // What the choice of columns alone costs at least bounds the rest too.
    let bound = all.bound.max(chosen.bound.min(cost));
    let is_near = cost.is_finite() && cost - bound <= wanted.near;
    Weighed { bound, solves: solves + all.solves, is_proved: all.is_proved || is_near, found: all.found }
}

/// What the columns that are used cost beside their amounts.
pub fn handling(grains: &[Option<Grain>], amounts: &[f64]) -> f64 {
    let used = grains.iter().zip(amounts).filter_map(|(grain, amount)| {
        grain.as_ref().filter(|grain| *amount > WHOLE * grain.step).map(|grain| grain.handling)
    });
    used.fold(0.0, |sum, handling| sum + handling)
}

/// Bounds that leave out measured columns.
fn unused(wanted: &Practical<'_>, is_out: impl Fn(usize) -> bool) -> Vec<(usize, f64, f64)> {
    let measured =
        wanted.grains.iter().enumerate().filter(|(_, grain)| grain.is_some_and(|grain| grain.counts));
    measured
        .map(|(column, _)| column)
        .filter(|column| is_out(*column))
        .map(|column| (column, 0.0, 0.0))
        .collect()
}

/// Whether steps must be whole.
#[derive(Clone, Copy, PartialEq)]
enum Steps {
    Any,
    Whole,
}

fn search(
    wanted: &Practical<'_>,
    stand: &Rc<Stand>,
    bounds: Vec<(usize, f64, f64)>,
    start: Option<(Vec<f64>, f64)>,
    budget: u32,
    steps: Steps,
) -> Weighed {
    let mut open = vec![Node { bounds, bound: f64::NEG_INFINITY, stand: Rc::clone(stand) }];
    let mut programme = wanted.programme.clone();
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
        for (own, first) in programme.columns.iter_mut().zip(&wanted.programme.columns) {
            (own.low, own.high) = (first.low, first.high);
        }
        for &(column, low, high) in &node.bounds {
            if let Some(own) = programme.columns.get_mut(column) {
                own.low = own.low.max(low);
                own.high = own.high.min(high);
            }
        }
        let mut stand = Rc::unwrap_or_clone(node.stand);
        let Quick::Optimal(optimum) = quick_from(&programme, &mut stand) else { continue };
        let count = counts(wanted, &programme, &optimum.amounts);
        // Columns that must be used cost their handling whatever their amount.
        let bound = optimum.cost + count.forced_handling;
        if bound >= limit {
            least = least.min(bound);
            continue;
        }
        // Whoever would cost too much even in the least amount stays out of all that follows.
        let dear = |(column, grain): (usize, &Option<Grain>)| {
            let grain = grain.as_ref()?;
            let is_open = programme.columns.get(column).is_some_and(|own| own.high > 0.0);
            let unused =
                is_open && optimum.amounts.get(column).is_some_and(|amount| *amount <= WHOLE * grain.step);
            let price = optimum.prices.columns.get(column).copied().unwrap_or(0.0).max(0.0);
            let least = price * grain.least + grain.handling;
            (unused && bound + least >= limit).then_some((column, 0.0, 0.0))
        };
        let out: Vec<(usize, f64, f64)> = wanted.grains.iter().enumerate().filter_map(dear).collect();
        let mut sides = None;
        match branch(wanted, &optimum.amounts, steps, count) {
            Branch::Whole => {
                let cost = optimum.cost + handling(wanted.grains, &optimum.amounts);
                if let Some((column, _, at_least)) = count.surplus.filter(|(column, ..)| {
                    let grain = wanted.grains.get(*column).and_then(Option::as_ref);
                    grain.is_some_and(|grain| grain.handling > 0.0)
                }) {
                    sides = Some((column, [(at_least, f64::INFINITY), (0.0, 0.0)]));
                }
                if best.as_ref().is_none_or(|(_, other)| cost < *other) {
                    best = Some((on_steps(wanted, optimum.amounts, steps), cost));
                }
            }
            Branch::Dead => {}
            Branch::Two(column, both) => sides = Some((column, both)),
        }
        let stand = Rc::new(stand);
        for (column, (low, high)) in
            sides.into_iter().flat_map(|(column, both)| both.map(|side| (column, side)))
        {
            let mut bounds = node.bounds.clone();
            bounds.extend(&out);
            bounds.push((column, low, high));
            open.push(Node { bounds, bound, stand: Rc::clone(&stand) });
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

/// Counted columns of an answer.
#[derive(Clone, Copy)]
struct Counts {
    used: usize,
    /// Those that must be used.
    forced: usize,
    /// What these cost beside their amounts.
    forced_handling: f64,
    /// The least used of the others: column, amount, and least amount that may be used.
    surplus: Option<(usize, f64, f64)>,
}

fn counts(wanted: &Practical<'_>, programme: &Programme, amounts: &[f64]) -> Counts {
    let mut count = Counts { used: 0, forced: 0, forced_handling: 0.0, surplus: None };
    for (column, (amount, grain)) in amounts.iter().zip(wanted.grains).enumerate() {
        let Some(grain) = grain.as_ref().filter(|grain| grain.counts && *amount > WHOLE * grain.step) else {
            continue;
        };
        let is_forced = programme.columns.get(column).is_some_and(|own| own.low > 0.0);
        count.used += 1;
        count.forced += usize::from(is_forced);
        count.forced_handling += if is_forced { grain.handling } else { 0.0 };
        if !is_forced && count.surplus.is_none_or(|(_, least, _)| *amount < least) {
            count.surplus = Some((column, *amount, grain.least));
        }
    }
    count
}

fn branch(wanted: &Practical<'_>, amounts: &[f64], steps: Steps, count: Counts) -> Branch {
    // A column, how much it matters, and its least amount or step.
    let mut short: Option<(usize, f64, f64)> = None;
    let mut uneven: Option<(usize, f64, f64)> = None;
    for (column, (amount, grain)) in amounts.iter().zip(wanted.grains).enumerate() {
        let Some(grain) = grain else { continue };
        let steps_of_it = amount / grain.step;
        let off = if steps == Steps::Whole { (steps_of_it - libm::round(steps_of_it)).abs() } else { 0.0 };
        let is_used = steps_of_it > WHOLE;
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
    if count.forced > wanted.most_used {
        return Branch::Dead;
    }
    if let Some((column, share, least)) = short {
        let some = (least, f64::INFINITY);
        return Branch::Two(column, if share >= 0.5 { [none, some] } else { [some, none] });
    }
    if count.used > wanted.most_used {
        return match count.surplus {
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
