//! Where a plan starts: from the last plan's levels and prices, or from nothing.

use crate::solve::improve::Search;
use crate::solve::instance::{Assignment, Instance, RESOURCES};
use crate::solve::online::plan::{Aim, Effort, Problem};
use crate::solve::search::{self, Status};

/// Table cells for a start where the last plan gives none.
const CELLS: usize = 60_000;
/// Where the rest does not fit, so many of a hundred of the sample are left out, and again.
const LEFT_OUT: usize = 4;

/// A start from the last plan's levels and prices; whoever finds no room is left out.
pub(super) fn from_last(problem: &Problem, aim: &Aim) -> Option<(Instance, Assignment)> {
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
pub(super) fn anew(problem: &Problem, effort: Effort) -> Option<(Instance, Assignment)> {
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
