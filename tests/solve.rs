//! The kernels against brute force: every assignment of small problems is enumerated.

#[path = "common/problems.rs"]
mod problems;

use evenfold::solve::bound::{Bound, lower_bound};
use evenfold::solve::certificate::{Certificate, Effort as CertificateEffort};
use evenfold::solve::instance::{Axis, Bin, Instance, Slopes};
use evenfold::solve::search::{Effort, Proof, Status, solve};
use problems::small_problem;

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

/// The twelve ewes of the grouping sheet's worked problem, in bins of given sizes, each filled to the last place.
fn worked_problem(sizes: &[usize]) -> Instance {
    const NEEDS: [f64; 12] = [10.8, 11.5, 12.1, 12.9, 13.0, 14.2, 15.0, 16.1, 15.4, 16.8, 17.5, 18.6];
    Instance {
        axes: vec![Axis { low: 0.0, high: 99.0, family: 0 }],
        weight: vec![1.0],
        leading: 1,
        need: NEEDS.to_vec(),
        slopes: Slopes::Same([5.0, 1.0]),
        room: vec![vec![[1, 1]; 12]],
        bins: sizes
            .iter()
            .map(|&size| Bin {
                space_type: 0,
                capacity: [u64::MAX; 2],
                max_head: size,
                min_head: 1,
                fair_head: 0.0,
            })
            .collect(),
        kind: vec![0; 12],
        kind_size: vec![12],
        allowed: vec![(1 << sizes.len()) - 1; 12],
        place_cost: None,
        even: 0.0,
        together: Vec::new(),
        apart: Vec::new(),
    }
}

#[test]
fn the_worked_problem_and_all_its_variants_come_out_as_enumerated() {
    // Checked by enumerating all 5,775 and 27,720 partitions when the problem was set.
    for (sizes, least) in [
        (&[12][..], 42.7),
        (&[6, 6], 22.9),
        (&[4, 4, 4], 13.7),
        (&[5, 4, 3], 11.3),
        (&[4, 3, 5], 11.3),
        (&[3, 5, 4], 11.3),
    ] {
        let Status::Solved(found) = solve(&worked_problem(sizes), 1, Effort::default()) else {
            panic!("{sizes:?} can be filled")
        };
        assert!((found.loss - least).abs() < 1e-9, "{sizes:?}: {} not {least}", found.loss);
        assert_eq!(found.bound, found.loss);
    }
    // By litter: four singles, four twins, four triplets; the thin twin at 16.1 stays with the twins.
    let instance = worked_problem(&[4, 4, 4]);
    let by_litter: Vec<usize> = (0..12).map(|item| item / 4).collect();
    assert!((instance.cost(&by_litter) - 16.5).abs() < 1e-9);
    let mut levels = [0.0];
    for (bin, level) in [(0, 12.9), (1, 16.1), (2, 18.6)] {
        let members: Vec<usize> = (4 * bin..4 * bin + 4).collect();
        instance.best_levels(&members, &mut levels, &mut Vec::new());
        assert_eq!(levels, [level]);
    }
    // Pens of 4, 3 and 5 kept in that order from low to high lose more than they need.
    let mut order: Vec<usize> = (0..12).collect();
    order.sort_by(|&a, &b| instance.need[a].total_cmp(&instance.need[b]));
    let mut in_order = vec![0; 12];
    for (place, &item) in order.iter().enumerate() {
        in_order[item] = [0, 0, 0, 0, 1, 1, 1, 2, 2, 2, 2, 2][place];
    }
    assert!((worked_problem(&[4, 3, 5]).cost(&in_order) - 15.7).abs() < 1e-9);
}

#[test]
fn another_bin_or_a_looser_limit_never_hurts() {
    let mut compared = 0;
    for seed in (0..1200).step_by(2) {
        let instance = small_problem(seed, false);
        let Status::Solved(before) = solve(&instance, 1, Effort::default()) else { continue };
        let mut looser = instance.clone();
        for bin in &mut looser.bins {
            bin.capacity = bin.capacity.map(|capacity| capacity + capacity / 8);
            bin.max_head += 1;
            bin.min_head = 1;
        }
        let mut more = instance.clone();
        more.bins.push(instance.bins[0].clone());
        for allowed in &mut more.allowed {
            *allowed |= 1 << instance.bins.len();
        }
        for changed in [looser, more] {
            let Status::Solved(after) = solve(&changed, 1, Effort::default()) else {
                panic!("problem {seed} cannot become impossible")
            };
            assert!(after.loss <= before.loss + 1e-9, "problem {seed}: {} after {}", after.loss, before.loss);
        }
        compared += 1;
    }
    assert!(compared > 150, "{compared} compared");
}

#[test]
fn bins_of_one_size_that_take_different_items_are_not_confused() {
    // Two kinds and two bins of one size. The first bin takes no item of number 1, so the first kind must go to
    // the second bin and the other kind to the first.
    let kind = vec![0, 0, 1];
    let bin = Bin { space_type: 0, capacity: [10, 10], max_head: 9, min_head: 1, fair_head: 0.0 };
    let instance = Instance {
        axes: vec![Axis { low: 8.0, high: 12.5, family: 0 }],
        weight: vec![1.0],
        leading: 1,
        need: vec![9.0, 10.0, 11.0],
        slopes: Slopes::Same([4.0, 1.0]),
        room: vec![vec![[1, 1]; 3]],
        bins: vec![bin.clone(), bin],
        kind_size: Instance::count_kinds(&kind),
        kind,
        allowed: vec![0b11, 0b10, 0b11],
        place_cost: None,
        even: 0.0,
        together: Vec::new(),
        apart: Vec::new(),
    };
    let Status::Solved(found) = solve(&instance, 1, Effort::default()) else {
        panic!("there is a way: the first kind in the second bin");
    };
    assert_eq!(found.assignment, [1, 1, 0]);
}
