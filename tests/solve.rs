//! The kernels against brute force: every assignment of small problems is enumerated.

mod common;

use common::Dice;
use evenfold::solve::bound::{Bound, lower_bound};
use evenfold::solve::certificate::{Certificate, Effort as CertificateEffort};
use evenfold::solve::instance::{Axis, Bin, Instance, Slopes};
use evenfold::solve::search::{Effort, Proof, Status, solve};

/// A problem of a few items; with `soft`, everything that may count counts in some of them.
fn small_problem(seed: u64, soft: bool) -> Instance {
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
    let mut on = |one_in: usize| soft && dice.below(one_in) == 0;
    let (second, size, even, places, own_slopes) = (on(3), on(2), on(2), on(3), on(2));
    let (tied, parted) = (on(3), on(3));
    let mut need = Vec::new();
    for _ in 0..items {
        let start = dice.between(6.0, 15.0);
        let own = slope + dice.between(-0.2, 0.2);
        need.extend((0..days).map(|day| start + own * day as f64));
        if second {
            need.push(dice.between(60.0, 110.0));
        }
        if size {
            need.push(dice.between(55.0, 95.0));
        }
    }
    let mut axes: Vec<Axis> = (0..days).map(|_| Axis { low: 8.0, high: 12.5, family: 0 }).collect();
    let mut weight: Vec<f64> = (0..days).map(|_| dice.between(1.2, 1.6)).collect();
    if second {
        axes.push(Axis { low: 60.0, high: 110.0, family: 1 });
        weight.push(0.1);
    }
    if size {
        axes.push(Axis { low: 55.0, high: 95.0, family: 2 });
        weight.push(dice.between(0.05, 0.6));
    }
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
    let pair = |dice: &mut Dice| {
        let first = dice.below(items);
        [first, (first + 1 + dice.below(items - 1)) % items]
    };
    Instance {
        leading: days + usize::from(second),
        axes,
        weight,
        need,
        slopes: if own_slopes {
            Slopes::Each((0..items).map(|_| [dice.between(2.0, 7.0), dice.between(0.5, 1.5)]).collect())
        } else {
            Slopes::Same([if dice.below(2) == 0 { 4.0 } else { 1.0 + dice.below(5) as f64 }, 1.0])
        },
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
                fair_head: dice.between(0.0, items as f64),
            })
            .collect(),
        kind_size: Instance::count_kinds(&kind),
        kind,
        allowed,
        place_cost: places.then(|| {
            (0..items * bins).map(|_| if dice.below(2) == 0 { 0.0 } else { dice.between(0.0, 4.0) }).collect()
        }),
        even: if even { dice.between(0.1, 3.0) } else { 0.0 },
        together: if tied { vec![pair(&mut dice).to_vec()] } else { Vec::new() },
        apart: if parted { vec![pair(&mut dice)] } else { Vec::new() },
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
    let bins = instance.bins.len();
    for (number, bin) in instance.bins.iter().enumerate() {
        let members: Vec<usize> = (0..instance.items()).filter(|&item| assignment[item] == number).collect();
        if members.is_empty() {
            sum += instance.even * bin.fair_head;
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
        sum += instance.even * (members.len() as f64 - bin.fair_head).abs();
        if let Some(costs) = &instance.place_cost {
            sum += members.iter().map(|&item| costs[item * bins + number]).sum::<f64>();
        }
        for (index, axis) in instance.axes.iter().enumerate() {
            let need = |item: usize| instance.need[item * instance.axes.len() + index];
            let slopes = |item: usize| match &instance.slopes {
                _ if index >= instance.leading => [1.0, 1.0],
                Slopes::Same(slopes) => *slopes,
                Slopes::Each(slopes) => slopes[item],
            };
            let loss_at = |level: f64| -> f64 {
                members
                    .iter()
                    .map(|&item| {
                        let gap = need(item) - level;
                        let [under, over] = slopes(item);
                        instance.weight[index] * (under * gap.max(0.0) + over * (-gap).max(0.0))
                    })
                    .sum()
            };
            sum += members
                .iter()
                .map(|&item| need(item).clamp(axis.low, axis.high))
                .chain([axis.low, axis.high])
                .map(loss_at)
                .fold(f64::INFINITY, f64::min);
        }
    }
    let parted = instance.apart.iter().any(|&[a, b]| assignment[a] == assignment[b]);
    let torn =
        instance.together.iter().any(|set| set.iter().any(|&item| assignment[item] != assignment[set[0]]));
    (!parted && !torn).then_some(sum)
}

#[test]
fn small_problems_are_solved_to_the_optimum_or_proved_impossible() {
    let (mut solved, mut impossible) = (0, 0);
    for seed in 0..3000 {
        let instance = small_problem(seed, seed % 2 == 1);
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
    for seed in 0..3000 {
        let instance = small_problem(seed, seed % 2 == 1);
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
    for seed in 0..3000 {
        let instance = small_problem(seed, seed % 2 == 1);
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
        let instance = small_problem(seed, false);
        let items = instance.items();
        let turned: Vec<usize> = (0..items).rev().collect();
        let other = instance.only(&turned);
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

#[test]
fn the_certificate_never_lies_above_the_optimum() {
    let (mut tried, mut closer) = (0, 0);
    for seed in 0..600 {
        let instance = small_problem(seed, seed % 2 == 1);
        let Some(least) = enumerated(&instance) else { continue };
        let Status::Solved(found) = solve(&instance, 1, Effort::default()) else { continue };
        // From nothing, so that it has to stand on its own.
        let mut certificate =
            Certificate::new(&instance, &found.assignment, 0.0, CertificateEffort::default());
        while !certificate.is_done() {
            certificate.step();
            assert!(
                certificate.bound() <= least + 1e-7 * least.max(1.0),
                "problem {seed}: {} above {least}",
                certificate.bound()
            );
        }
        tried += 1;
        closer += usize::from(certificate.bound() > 0.9 * least);
    }
    // A bound of nought would pass the test above; this one is worth having.
    assert!(tried > 120 && closer * 2 > tried, "{closer} of {tried} within a tenth");
}
