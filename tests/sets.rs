//! Which few of the bins, judged from outside: small problems enumerated over every assignment, bounds held
//! against the enumeration, and the promises that hold for every answer.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

#[path = "common/problems.rs"]
mod problems;

use evenfold::solve::instance::{Instance, Slopes};
use evenfold::solve::sets::{AtMost, Effort, at_most};
use problems::{Dice, problem};

/// The least loss with at most so many bins, for each number of bins: every assignment is tried.
fn enumerated(instance: &Instance) -> Vec<f64> {
    let (items, bins) = (instance.items(), instance.bins.len());
    let mut least = vec![f64::INFINITY; bins + 1];
    for code in 0..bins.pow(items as u32) {
        let assignment: Vec<usize> = (0..items).map(|item| code / bins.pow(item as u32) % bins).collect();
        if instance.is_feasible(&assignment) {
            let used = (0..bins).filter(|bin| assignment.contains(bin)).count();
            least[used] = least[used].min(own_cost(instance, &assignment));
        }
    }
    for count in 1..=bins {
        least[count] = least[count].min(least[count - 1]);
    }
    least
}

/// Loss by the formula of `solve::instance`, levels tried at every need and at both limits; what filling costs
/// left out.
fn own_cost(instance: &Instance, assignment: &[usize]) -> f64 {
    let bins = instance.bins.len();
    let mut sum = 0.0;
    for bin in 0..bins {
        let members: Vec<usize> = (0..assignment.len()).filter(|&item| assignment[item] == bin).collect();
        if let Some(costs) = &instance.place_cost {
            sum += members.iter().map(|&item| costs[item * bins + bin]).sum::<f64>();
        }
        if members.is_empty() {
            continue;
        }
        for (index, axis) in instance.axes.iter().enumerate() {
            let need = |item: usize| instance.need[item * instance.axes.len() + index];
            let slopes = |item: usize| match &instance.slopes {
                _ if index >= instance.leading => [1.0, 1.0],
                Slopes::Same(slopes) => *slopes,
                Slopes::Each(slopes) => slopes[item],
            };
            let loss_at = |level: f64| -> f64 {
                let loss = |&item: &usize| {
                    let [under, over] = slopes(item);
                    under * (need(item) - level).max(0.0) + over * (level - need(item)).max(0.0)
                };
                instance.weight[index] * members.iter().map(loss).sum::<f64>()
            };
            let levels = members.iter().map(|&item| need(item).clamp(axis.low, axis.high));
            sum += levels.chain([axis.low, axis.high]).map(loss_at).fold(f64::INFINITY, f64::min);
        }
    }
    sum
}

/// The curve: at each number of bins the loss, or infinite.
fn losses(found: &[AtMost]) -> Vec<f64> {
    found
        .iter()
        .map(|found| match found {
            AtMost::Solved(best) => best.loss,
            _ => f64::INFINITY,
        })
        .collect()
}

/// What every answer must be, whatever it is of.
fn sound(instance: &Instance, found: &[AtMost]) {
    let plain = Instance { even: 0.0, ..instance.clone() };
    for (count, found) in (1..).zip(found) {
        let AtMost::Solved(best) = found else { continue };
        assert!(instance.is_feasible(&best.assignment));
        assert!(best.bins.len() <= count);
        assert!(best.assignment.iter().all(|bin| best.bins.contains(bin)));
        assert!((plain.cost(&best.assignment) - best.loss).abs() <= 1e-9 * best.loss.max(1.0));
        assert!(best.bound <= best.loss && (!best.is_proved || best.bound == best.loss));
    }
    for pair in losses(found).windows(2) {
        assert!(pair[1] <= pair[0], "an extra bin hurts: {pair:?}");
    }
}

/// A problem with room to spare, so that there is something to choose; some of its bins are twins.
fn roomy(seed: u64, soft: bool) -> Instance {
    let mut dice = Dice(seed);
    let (items, bins) = (3 + dice.below(5), 2 + dice.below(3));
    let mut instance = problem(Dice(dice.next()), items, bins, soft);
    for bin in &mut instance.bins {
        let more = 1 + dice.below(4) as u64;
        bin.capacity = bin.capacity.map(|capacity| capacity * more);
    }
    if dice.below(3) == 0 {
        instance.bins[1] = instance.bins[0].clone();
    }
    instance
}

/// What comes of the enumeration, besides a failure.
#[derive(Debug, Default)]
struct Tally {
    compared: usize,
    proved: usize,
    impossible: usize,
    not_the_best: usize,
}

/// Holds answers against the enumeration; `exact` says that the least itself is expected.
fn compare(instance: &Instance, found: &[AtMost], exact: bool, tally: &mut Tally) {
    sound(instance, found);
    let least = enumerated(instance);
    for (count, found) in (1..).zip(found) {
        let least = least[count];
        match found {
            AtMost::Solved(best) => {
                let over = best.loss - least;
                assert!(over > -1e-6, "{count} bins: {} below {least}", best.loss);
                assert!(best.bound <= least * (1.0 + 1e-9) + 1e-9, "{count} bins: bound above {least}");
                assert!(!exact || over < 1e-6 * least.max(1.0), "{count} bins: {} not {least}", best.loss);
                tally.not_the_best += usize::from(over > 1e-6 * least.max(1.0));
                tally.compared += 1;
                tally.proved += usize::from(best.is_proved);
            }
            AtMost::Impossible => {
                assert!(least.is_infinite(), "{count} bins are possible: {instance:#?}");
                tally.impossible += 1;
            }
            AtMost::Undecided => assert!(!exact, "{count} bins: undecided"),
        }
    }
}

#[test]
fn small_problems_have_their_enumerated_optimum_at_every_number_of_bins() {
    let mut tally = Tally::default();
    for seed in 0..300 {
        let instance = roomy(9000 + seed, seed % 2 == 0);
        compare(&instance, &at_most(&instance, 64, 1, Effort::default()), true, &mut tally);
    }
    println!("{tally:?}");
    assert!(tally.compared > 300 && tally.impossible > 60, "{tally:?}");
    assert_eq!(tally.proved, tally.compared, "so small a problem is searched through");
}

#[test]
fn bounds_hold_where_sets_cannot_be_listed_and_bins_are_joined() {
    let mut tally = Tally::default();
    for seed in 0..300 {
        let instance = roomy(9000 + seed, seed % 2 == 0);
        // Tables of a few cells force unlike bins together.
        let effort = Effort { cells: 30, bound_cells: 60, listed: 0, ..Effort::default() };
        compare(&instance, &at_most(&instance, 64, 1, effort), false, &mut tally);
    }
    println!("{tally:?}");
    assert!(tally.compared > 250, "{tally:?}");
    // Which bins is a guess here, and nearly always the best.
    assert!(tally.not_the_best * 10 < tally.compared, "{tally:?}");
}
