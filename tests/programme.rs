//! The linear programme's kernel against enumeration: every corner of tiny programmes, every practical amount.
// A test may say what it expects by failing.
#![allow(clippy::unwrap_used)]

use evenfold::solve::programme::margin::{Bound, cost_of, entry, reach, slopes};
use evenfold::solve::programme::practical::{Grain, Practical, weigh};
use evenfold::solve::programme::{Programme, Status, solve};

#[path = "common/programmes.rs"]
mod programmes;

use programmes::{Dice, drawn, tiny};

const NEAR: f64 = 1e-6;

/// The least cost over every corner: every choice of as many limits as there are columns, met exactly.
fn by_corners(programme: &Programme) -> Option<f64> {
    let columns = programme.columns.len();
    let mut limits: Vec<(Vec<f64>, f64)> = Vec::new();
    for row in &programme.rows {
        let mut weights = vec![0.0; columns];
        row.terms.iter().for_each(|&(column, weight)| weights[column] = weight);
        for limit in [row.low, row.high] {
            if limit.is_finite() {
                limits.push((weights.clone(), limit));
            }
        }
    }
    for (place, column) in programme.columns.iter().enumerate() {
        let mut weights = vec![0.0; columns];
        weights[place] = 1.0;
        limits.push((weights.clone(), column.low));
        limits.push((weights, column.high));
    }
    let mut best: Option<f64> = None;
    for chosen in 0_u32..1 << limits.len() {
        if chosen.count_ones() as usize != columns {
            continue;
        }
        let met: Vec<_> = limits
            .iter()
            .enumerate()
            .filter(|(place, _)| chosen >> place & 1 == 1)
            .map(|(_, l)| l.clone())
            .collect();
        let Some(point) = meet(met) else { continue };
        if programme.fault(&point) <= 1e-9 {
            let cost = programme.cost(&point);
            best = Some(best.map_or(cost, |best| best.min(cost)));
        }
    }
    best
}

/// Where the limits meet, by elimination; nothing where that is no single point.
fn meet(mut limits: Vec<(Vec<f64>, f64)>) -> Option<Vec<f64>> {
    let size = limits.len();
    for column in 0..size {
        let pivot = (column..size)
            .max_by(|a, b| limits[*a].0[column].abs().total_cmp(&limits[*b].0[column].abs()))?;
        limits.swap(column, pivot);
        if limits[column].0[column].abs() < 1e-9 {
            return None;
        }
        for other in (0..size).filter(|other| *other != column) {
            let factor = limits[other].0[column] / limits[column].0[column];
            let (from, right) = limits[column].clone();
            limits[other].0.iter_mut().zip(from).for_each(|(weight, own)| *weight -= factor * own);
            limits[other].1 -= factor * right;
        }
    }
    Some((0..size).map(|place| limits[place].1 / limits[place].0[place]).collect())
}

#[test]
fn tiny_programmes_have_the_cost_of_their_best_corner() {
    let (mut solved, mut impossible) = (0, 0);
    for seed in 0..1200 {
        let programme = tiny(seed);
        match (solve(&programme), by_corners(&programme)) {
            (Status::Optimal(found), Some(best)) => {
                solved += 1;
                assert!((found.cost - best).abs() <= NEAR, "seed {seed}: {} against {best}", found.cost);
                assert!(programme.fault(&found.amounts) <= NEAR, "seed {seed}");
            }
            (Status::Infeasible(_), None) => impossible += 1,
            (status, best) => panic!("seed {seed}: {status:?}, by corners {best:?}"),
        }
    }
    assert!(solved >= 200 && impossible >= 100, "{solved} solved, {impossible} impossible");
}

#[test]
fn prices_add_up_and_have_the_sign_of_their_side() {
    let mut degenerate = 0;
    for seed in 0..200 {
        let programme = drawn(seed);
        let Status::Optimal(found) = solve(&programme) else { continue };
        let prices = &found.prices;
        assert!(prices.gap <= NEAR, "seed {seed}: {}", prices.gap);
        // Each column's cost is what its limits charge for it: recomputed here.
        for (place, column) in programme.columns.iter().enumerate() {
            let charged: f64 = programme
                .rows
                .iter()
                .zip(&prices.rows)
                .flat_map(|(row, price)| {
                    row.terms.iter().map(move |&(column, weight)| (column, weight * price))
                })
                .filter(|(own, _)| *own == place)
                .map(|(_, charge)| charge)
                .sum();
            let off = charged + prices.columns[place] - column.cost;
            assert!(off.abs() <= 1e-5 * column.cost.abs().max(1.0), "seed {seed}: {}: {off}", column.name);
        }
        for (row, price) in programme.rows.iter().zip(&prices.rows) {
            let sum = row.sum(&found.amounts);
            let near = 1e-6 * sum.abs().max(1.0);
            if *price > 1e-6 {
                assert!((sum - row.low).abs() <= near, "seed {seed}: {} is charged for, yet slack", row.name);
            }
            if *price < -1e-6 {
                assert!(
                    (sum - row.high).abs() <= near,
                    "seed {seed}: {} is charged for, yet slack",
                    row.name
                );
            }
        }
        for (place, row) in programme.rows.iter().enumerate() {
            let price = prices.rows[place];
            if price.abs() <= 1e-6 || row.low == row.high {
                continue;
            }
            let bound = if price > 0.0 { Bound::Low } else { Bound::High };
            let limit = if price > 0.0 { row.low } else { row.high };
            let sides = slopes(&programme, place, bound, 1e-5 * limit.abs().max(0.1), found.cost);
            if let [Some(left), Some(right)] = sides {
                let slack = 1e-3 * price.abs().max(1e-3);
                assert!(
                    left <= price + slack && price <= right + slack,
                    "seed {seed} {}: {left} {price} {right}",
                    row.name
                );
                degenerate += usize::from(right - left > slack);
            }
        }
    }
    assert!(degenerate >= 5, "{degenerate} prices had two sides: too few for this to mean anything");
}

/// Solved again inside the range the price is what it was; just beyond it a unit costs more, or nothing is left.
#[test]
fn a_price_holds_as_far_as_it_says_and_no_further() {
    let (mut ended, mut impossible, mut endless) = (0, 0, 0);
    for seed in 0..200 {
        let programme = drawn(seed);
        let Status::Optimal(found) = solve(&programme) else { continue };
        for (place, row) in programme.rows.iter().enumerate() {
            let price = found.prices.rows[place];
            if price.abs() <= 1e-4 {
                continue;
            }
            let bound = match price > 0.0 {
                _ if row.low == row.high => Bound::Both,
                true => Bound::Low,
                false => Bound::High,
            };
            let limit = if price > 0.0 { row.low } else { row.high };
            let step = 1e-4 * limit.abs().max(0.1);
            let sides = slopes(&programme, place, bound, step, found.cost);
            for (is_up, slope) in [(false, sides[0]), (true, sides[1])] {
                let Some(slope) = slope else { continue };
                let sign = if is_up { 1.0 } else { -1.0 };
                let at = |by: f64| {
                    let mut moved = programme.clone();
                    let row = &mut moved.rows[place];
                    if bound != Bound::High {
                        row.low += sign * by;
                    }
                    if bound != Bound::Low {
                        row.high += sign * by;
                    }
                    cost_of(&moved)
                };
                let line = |by: f64| found.cost + sign * slope * by;
                let reach = reach(&programme, place, bound, step, is_up, slope);
                let near = |by: f64| 1e-5 * (found.cost.abs() + slope.abs() * by).max(1.0);
                let inside = if reach.is_finite() { reach } else { 1000.0 * step };
                for share in [0.1, 0.5, 0.9, 0.999] {
                    let by = share * inside;
                    let cost = at(by).expect("inside the range there is an answer");
                    assert!((cost - line(by)).abs() <= near(by), "seed {seed} {}: {cost} at {by}", row.name);
                }
                if !reach.is_finite() {
                    endless += 1;
                    continue;
                }
                // Steps that were lost where the search begins and goes on.
                let by = reach + (0.2 * reach).max(20.0 * step);
                match at(by) {
                    None => impossible += 1,
                    Some(cost) => {
                        let over = cost - line(by);
                        let said =
                            format!("seed {seed} {} up {is_up}: {over} at {by}, reach {reach}", row.name);
                        assert!(over > 1e-9 * cost.abs().max(1.0), "{said}");
                        ended += 1;
                    }
                }
            }
        }
    }
    println!("{ended} ended, {impossible} impossible beyond, {endless} endless");
    assert!(ended >= 200 && impossible >= 10, "{ended} ended, {impossible} impossible");
}

#[test]
fn a_conflict_is_one_and_leaving_out_any_part_ends_it() {
    let mut seen = 0;
    for seed in 0..200 {
        let programme = drawn(seed);
        let Status::Infeasible(found) = solve(&programme) else { continue };
        seen += 1;
        let free = |programme: &mut Programme, column: usize| {
            programme.columns[column].low = f64::NEG_INFINITY;
            programme.columns[column].high = f64::INFINITY;
        };
        let mut alone = programme.clone();
        alone.rows = found.rows.iter().map(|row| programme.rows[*row].clone()).collect();
        for column in &mut alone.columns {
            column.cost = 0.0;
        }
        for column in 0..programme.columns.len() {
            if !found.columns.contains(&column) {
                free(&mut alone, column);
            }
        }
        assert!(matches!(solve(&alone), Status::Infeasible(_)), "seed {seed}: no conflict");
        for row in 0..alone.rows.len() {
            let mut less = alone.clone();
            less.rows.remove(row);
            assert!(matches!(solve(&less), Status::Optimal(_)), "seed {seed}: row {row} has no part in it");
        }
        for column in &found.columns {
            let mut less = alone.clone();
            free(&mut less, *column);
            assert!(
                matches!(solve(&less), Status::Optimal(_)),
                "seed {seed}: column {column} has no part in it"
            );
        }
    }
    assert!(seen >= 20, "{seen} conflicts");
}

#[test]
fn the_price_at_which_a_column_enters_is_where_it_does() {
    let mut tried = 0;
    for seed in (0..300).filter(|seed| seed % 5 < 3) {
        let programme = drawn(seed);
        let Status::Optimal(found) = solve(&programme) else { continue };
        for place in 0..programme.columns.len() {
            if found.amounts[place] > 1e-9 {
                continue;
            }
            let Some(price) = entry(&programme, place, 1e-4, found.cost) else { continue };
            let with = |cost: f64| {
                let mut priced = programme.clone();
                priced.columns[place].cost = cost;
                let Status::Optimal(found) = solve(&priced) else { panic!("still possible") };
                found.amounts[place]
            };
            tried += 1;
            assert!(with(price - 0.01) > 1e-9, "seed {seed}: not used below {price}");
            assert!(with(price + 0.01) <= 1e-4, "seed {seed}: used above {price}");
        }
    }
    assert!(tried > 100, "{tried}");
}

#[test]
fn what_is_malformed_is_said_and_nothing_panics() {
    let mut programme = Programme::default();
    assert!(matches!(solve(&programme), Status::Optimal(found) if found.cost == 0.0));
    let x = programme.column("x", 1.0, 0.0, f64::INFINITY);
    programme.row("empty", [(x, 0.0)], 1.0, 2.0);
    assert!(matches!(solve(&programme), Status::Infeasible(found) if found.rows == [0]));
    programme.rows[0].low = f64::NAN;
    assert!(matches!(solve(&programme), Status::Failed(_)));
    programme.rows[0] =
        evenfold::solve::programme::Row { name: "r".into(), terms: vec![(3, 1.0)], low: 0.0, high: 1.0 };
    assert!(matches!(solve(&programme), Status::Failed(_)));
    programme.rows.clear();
    programme.columns[0].cost = -1.0;
    assert!(matches!(solve(&programme), Status::Unbounded));
    programme.columns[0].high = -1.0;
    assert!(matches!(solve(&programme), Status::Infeasible(found) if found.columns == [0]));
    programme.columns[0].cost = f64::INFINITY;
    assert!(matches!(solve(&programme), Status::Failed(_)));
}

/// The cheapest practical amounts by trying every one.
fn by_trial(wanted: &Practical<'_>, most_steps: usize) -> Option<f64> {
    let columns = wanted.programme.columns.len();
    let mut best: Option<f64> = None;
    let mut steps = vec![0_usize; columns];
    loop {
        let amounts: Vec<f64> =
            steps.iter().zip(wanted.grains).map(|(n, grain)| *n as f64 * grain.unwrap().step).collect();
        let large =
            amounts.iter().zip(wanted.grains).all(|(x, g)| *x == 0.0 || *x >= g.unwrap().least - 1e-9);
        let few = steps.iter().filter(|n| **n > 0).count() <= wanted.most_used;
        if large && few && wanted.programme.fault(&amounts) <= 1e-9 {
            let used = steps.iter().zip(wanted.grains).filter(|(n, _)| **n > 0);
            let handling: f64 = used.map(|(_, grain)| grain.unwrap().handling).sum();
            let cost = wanted.programme.cost(&amounts) + handling;
            best = Some(best.map_or(cost, |best| best.min(cost)));
        }
        let Some(place) = steps.iter().position(|n| *n < most_steps) else { return best };
        steps[place] += 1;
        steps[..place].fill(0);
    }
}

#[test]
fn practical_amounts_are_the_cheapest_there_are_and_break_nothing() {
    let (mut found, mut none) = (0, 0);
    for seed in 0..150 {
        let mut dice = Dice(60_000 + seed);
        let mut programme = Programme::default();
        for column in 0..4 {
            programme.column(format!("x{column}"), dice.between(1.0, 9.0), 0.0, 2.0);
        }
        for row in 0..3 {
            let terms: Vec<_> = (0..4).map(|column| (column, dice.between(-1.0, 6.0))).collect();
            let low = dice.between(0.0, 6.0);
            programme.row(format!("r{row}"), terms, low, low + dice.between(0.2, 4.0));
        }
        let grains: Vec<_> = (0..4)
            .map(|_| {
                let handling = [0.0, dice.between(0.1, 3.0)][dice.below(2)];
                Some(Grain { step: 0.25, least: [0.25, 0.5][dice.below(2)], counts: true, handling })
            })
            .collect();
        let before: Vec<usize> = (0..dice.below(3)).collect();
        let wanted = Practical {
            programme: &programme,
            grains: &grains,
            most_used: 2 + dice.below(2),
            solves: 4000,
            near: 1e-9,
            before: &before,
        };
        let weighed = weigh(&wanted);
        assert!(weighed.is_proved, "seed {seed}");
        match (&weighed.found, by_trial(&wanted, 8)) {
            (Some((amounts, cost)), Some(best)) => {
                found += 1;
                assert!((cost - best).abs() <= NEAR, "seed {seed}: {cost} against {best}");
                assert!(programme.fault(amounts) <= NEAR);
                assert!(weighed.bound <= cost + NEAR && weighed.bound >= cost - 1e-6 - 1e-9);
            }
            (None, None) => none += 1,
            (ours, best) => panic!("seed {seed}: {ours:?}, by trial {best:?}"),
        }
    }
    assert!(found >= 50 && none >= 5, "{found} found, {none} impossible");
}

#[test]
fn a_small_budget_is_kept_and_its_bound_is_true() {
    for seed in 0..60 {
        let mut dice = Dice(70_000 + seed);
        let mut programme = Programme::default();
        for column in 0..6 {
            programme.column(format!("x{column}"), dice.between(1.0, 9.0), 0.0, 3.0);
        }
        let terms: Vec<_> = (0..6).map(|column| (column, dice.between(1.0, 6.0))).collect();
        programme.row("need", terms, 7.3, f64::INFINITY);
        let grains = vec![Some(Grain { step: 0.25, least: 0.5, counts: true, handling: 0.0 }); 6];
        let with = |solves| {
            weigh(&Practical {
                programme: &programme,
                grains: &grains,
                most_used: 3,
                solves,
                near: 1e-9,
                before: &[],
            })
        };
        let (small, large) = (with(6), with(20_000));
        assert!(small.solves <= 6 && large.is_proved);
        let best = large.found.expect("there is one").1;
        assert!(small.bound <= best + NEAR, "seed {seed}");
        if let Some((_, cost)) = small.found {
            assert!(cost >= best - NEAR);
        }
    }
}
