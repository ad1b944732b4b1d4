//! The kernels against brute force: every assignment of small problems is enumerated.

mod common;

use common::Dice;
use evenfold::solve::bound::{Bound, lower_bound};
use evenfold::solve::instance::{Bin, Instance};
use evenfold::solve::search::{Effort, Proof, Status, solve};

fn small_problem(seed: u64) -> Instance {
    let mut dice = Dice(seed);
    let items = 2 + dice.below(7);
    let bins = 1 + dice.below(3);
    let days = 1 + dice.below(3);
    let equal_room = dice.below(3) == 0;
    let two_kinds = dice.below(3) == 0;
    let kind: Vec<u8> = (0..items).map(|_| u8::from(two_kinds && dice.below(3) == 0)).collect();
    // Kinds are numbered without a gap.
    let kind: Vec<u8> = if kind.contains(&0) { kind } else { vec![0; items] };
    let slope = dice.between(-0.3, 0.6);
    let need = (0..items)
        .flat_map(|_| {
            let start = dice.between(6.0, 15.0);
            let own = slope + dice.between(-0.2, 0.2);
            (0..days).map(move |day| start + own * day as f64).collect::<Vec<_>>()
        })
        .collect();
    let full = (1_u64 << bins) - 1;
    let allowed = (0..items).map(|_| if dice.below(6) == 0 { 1 << dice.below(bins) } else { full }).collect();
    let room = (0..2)
        .map(|_| {
            (0..items)
                .map(|_| {
                    if equal_room {
                        [50, 120]
                    } else {
                        [40 + dice.below(20) as u32, 100 + dice.below(40) as u32]
                    }
                })
                .collect()
        })
        .collect();
    let slack = dice.between(0.9, 1.6);
    let share = items as f64 / bins as f64 * slack;
    Instance {
        days,
        need,
        day_weight: (0..days).map(|_| dice.between(1.2, 1.6)).collect(),
        under: if dice.below(2) == 0 { 4.0 } else { 1.0 + dice.below(5) as f64 },
        over: 1.0,
        low: 8.0,
        high: 12.5,
        room,
        bins: (0..bins)
            .map(|_| Bin {
                space_type: dice.below(2),
                capacity: [
                    (share * dice.between(35.0, 75.0)) as u64,
                    (share * dice.between(90.0, 170.0)) as u64,
                ],
                max_head: if dice.below(3) == 0 { 1 + dice.below(items) } else { items },
                min_head: 1 + dice.below(3),
            })
            .collect(),
        kind_size: Instance::count_kinds(&kind),
        kind,
        allowed,
        place_cost: None,
    }
}

/// The least loss over every assignment, by enumeration and by a reckoning of the test's own.
fn enumerated(instance: &Instance) -> Option<f64> {
    let (items, bins) = (instance.items(), instance.bins.len());
    let mut assignment = vec![0; items];
    let mut best: Option<f64> = None;
    loop {
        if let Some(loss) = own_cost(instance, &assignment)
            && best.is_none_or(|best| loss < best)
        {
            best = Some(loss);
        }
        let mut place = 0;
        while place < items && assignment[place] == bins - 1 {
            assignment[place] = 0;
            place += 1;
        }
        if place == items {
            return best;
        }
        assignment[place] += 1;
    }
}

/// Loss of an assignment, or nothing where it breaks a limit; levels are tried at every member's need and
/// at both limits, where a piecewise linear loss must have its least.
fn own_cost(instance: &Instance, assignment: &[usize]) -> Option<f64> {
    let mut sum = 0.0;
    for (number, bin) in instance.bins.iter().enumerate() {
        let members: Vec<usize> = (0..instance.items()).filter(|&item| assignment[item] == number).collect();
        if members.is_empty() {
            continue;
        }
        let kind = instance.kind[members[0]];
        let of_kind = instance.kind.iter().filter(|&&other| other == kind).count();
        let head_is_right = members.len() <= bin.max_head && members.len() >= bin.min_head.min(of_kind);
        let fits = (0..2).all(|resource| {
            let used: u64 =
                members.iter().map(|&item| u64::from(instance.room[bin.space_type][item][resource])).sum();
            used <= bin.capacity[resource]
        });
        let welcome = members
            .iter()
            .all(|&item| instance.kind[item] == kind && instance.allowed[item] & (1 << number) != 0);
        if !head_is_right || !fits || !welcome {
            return None;
        }
        for day in 0..instance.days {
            let need = |item: usize| instance.need[item * instance.days + day];
            let loss_at = |level: f64| -> f64 {
                members
                    .iter()
                    .map(|&item| {
                        let gap = need(item) - level;
                        instance.day_weight[day]
                            * (instance.under * gap.max(0.0) + instance.over * (-gap).max(0.0))
                    })
                    .sum()
            };
            sum += members
                .iter()
                .map(|&item| need(item).clamp(instance.low, instance.high))
                .chain([instance.low, instance.high])
                .map(loss_at)
                .fold(f64::INFINITY, f64::min);
        }
    }
    Some(sum)
}

#[test]
fn small_problems_are_solved_to_the_optimum_or_proved_impossible() {
    let (mut solved, mut impossible) = (0, 0);
    for seed in 0..1500 {
        let instance = small_problem(seed);
        match (solve(&instance, 1, Effort::default()), enumerated(&instance)) {
            (Status::Solved(found), Some(least)) => {
                solved += 1;
                assert!(instance.is_feasible(&found.assignment), "problem {seed} breaks a limit");
                let own = own_cost(&instance, &found.assignment).expect("keeps every limit");
                assert!((found.loss - own).abs() < 1e-9, "problem {seed}: loss {} is {own}", found.loss);
                assert!((found.loss - least).abs() < 1e-9, "problem {seed}: {} not {least}", found.loss);
                assert!((found.bound - least).abs() < 1e-9 && found.proof != Proof::Bound);
            }
            (Status::Impossible, None) => impossible += 1,
            (found, least) => panic!("problem {seed}: {found:?}, enumerated {least:?}"),
        }
    }
    assert!(solved > 300 && impossible > 100, "{solved} solved, {impossible} impossible");
}

#[test]
fn the_quick_bound_never_lies_above_the_optimum() {
    for seed in 0..1500 {
        let instance = small_problem(seed);
        match (lower_bound(&instance, 1_000_000), enumerated(&instance)) {
            (Bound::AtLeast(bound), Some(least)) => {
                assert!(bound <= least + 1e-9, "problem {seed}: bound {bound} above {least}");
            }
            (Bound::Impossible, Some(least)) => panic!("problem {seed} is possible at {least}"),
            (_, None) => {}
        }
        // Joining unlike bins must leave the bound a bound.
        if let (Bound::AtLeast(bound), Some(least)) = (lower_bound(&instance, 20), enumerated(&instance)) {
            assert!(bound <= least + 1e-9, "problem {seed}, joined: bound {bound} above {least}");
        }
    }
}

#[test]
fn without_the_exact_search_no_limit_is_broken_and_nothing_is_wrongly_called_impossible() {
    let effort = Effort { exact_items: 0, nodes: 0, ..Effort::default() };
    let (mut found_some, mut best, mut undecided) = (0, 0, 0);
    for seed in 0..1500 {
        let instance = small_problem(seed);
        match (solve(&instance, 1, effort), enumerated(&instance)) {
            (Status::Solved(found), Some(least)) => {
                assert!(instance.is_feasible(&found.assignment), "problem {seed} breaks a limit");
                assert!(found.bound <= least + 1e-9 && least <= found.loss + 1e-9, "problem {seed}");
                found_some += 1;
                best += usize::from(found.loss < least + 1e-9);
            }
            (Status::Undecided, Some(_)) => undecided += 1,
            (Status::Impossible | Status::Undecided, None) => {}
            (Status::Solved(_), None) => panic!("problem {seed} has no solution"),
            (Status::Impossible, Some(least)) => panic!("problem {seed} is possible at {least}"),
        }
    }
    // What the quick way alone reaches, so that a change for the worse is seen.
    println!("{found_some} found, {best} optimal, {undecided} undecided");
    assert!(best * 100 >= found_some * 85, "{best} of {found_some} optimal");
    assert!(undecided * 100 <= found_some * 8, "{undecided} undecided against {found_some}");
}

#[test]
fn order_of_items_does_not_change_the_loss() {
    for seed in 0..200 {
        let instance = small_problem(seed);
        let items = instance.items();
        let turned: Vec<usize> = (0..items).rev().collect();
        let other = Instance {
            need: turned.iter().flat_map(|&item| instance.need_of(item).to_vec()).collect(),
            room: instance.room.iter().map(|room| turned.iter().map(|&item| room[item]).collect()).collect(),
            kind: turned.iter().map(|&item| instance.kind[item]).collect(),
            allowed: turned.iter().map(|&item| instance.allowed[item]).collect(),
            ..instance.clone()
        };
        let loss = |instance: &Instance| match solve(instance, 1, Effort::default()) {
            Status::Solved(found) => Some(found.loss),
            _ => None,
        };
        match (loss(&instance), loss(&other)) {
            (Some(a), Some(b)) => assert!((a - b).abs() < 1e-9),
            (a, b) => assert_eq!(a, b),
        }
    }
}
