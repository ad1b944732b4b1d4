//! The simplex against the library: from nothing, and from where another programme was left.

use super::margin::{Bound, reach, slopes};
use super::shared::{Store, by_parts};
use super::{Programme, Quick, Stand, by_library, quick, quick_from};

/// A small generator with a fixed seed.
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// Like a ration: amounts of nothing or more, needs that may be missed at a charge, an intake met exactly, shares.
fn drawn(seed: u64) -> Programme {
    let mut dice = Dice(seed);
    let mut programme = Programme::default();
    for feed in 0..18 {
        let most = if feed % 3 == 0 { dice.between(0.2, 2.0) } else { f64::INFINITY };
        programme.column(format!("f{feed}"), dice.between(4.0, 45.0), 0.0, most);
    }
    for row in 0..14 {
        let low = if row % 3 == 1 { -9.0 } else { 0.1 };
        let mut terms: Vec<(usize, f64)> = (0..18).map(|feed| (feed, dice.between(low, 12.0))).collect();
        let size = dice.between(2.0, 9.0);
        match row % 3 {
            0 => {
                terms.push((programme.column("missed", 40.0, 0.0, f64::INFINITY), 1.0));
                programme.row("need", terms, size, f64::INFINITY);
            }
            1 => {
                programme.row("share", terms, f64::NEG_INFINITY, 0.0);
            }
            _ => {
                programme.row("range", terms, 0.3 * size, 4.0 * size);
            }
        }
    }
    programme
}

fn same(ours: &Quick, library: &Quick, at: &str) -> bool {
    match (ours, library) {
        (Quick::Optimal(a), Quick::Optimal(b)) => {
            assert!((a.cost - b.cost).abs() <= 1e-6 * b.cost.abs().max(1.0), "{at}: {} {}", a.cost, b.cost);
            true
        }
        (Quick::Infeasible(_), Quick::Infeasible(_)) => false,
        _ => panic!("{at}: not the same status"),
    }
}

/// Where a price ends, by the library alone: inside the range its costs lie on one line, beyond it above that.
#[test]
fn the_end_of_a_price_is_the_librarys_too() {
    let mut ended = 0;
    for seed in 0..40 {
        let programme = drawn(seed);
        let Quick::Optimal(found) = quick(&programme) else { continue };
        for (place, row) in programme.rows.iter().enumerate() {
            if found.prices.rows[place] <= 1e-3 || row.low == row.high {
                continue;
            }
            let step = 1e-4 * row.low.abs().max(0.1);
            let [_, Some(slope)] = slopes(&programme, place, Bound::Low, step, found.cost) else { continue };
            let end = reach(&programme, place, Bound::Low, step, true, slope);
            let at = |by: f64| {
                let mut moved = programme.clone();
                moved.rows[place].low += by;
                match by_library(&moved) {
                    Quick::Optimal(optimum) => Some(optimum.cost - found.cost - slope * by),
                    _ => None,
                }
            };
            if !end.is_finite() {
                continue;
            }
            let inside = at(0.9 * end).expect("inside the range there is an answer");
            assert!(inside.abs() <= 1e-4 * found.cost.abs().max(1.0), "seed {seed}: {inside}");
            let beyond = at(1.5 * end + 50.0 * step);
            assert!(beyond.is_none_or(|over| over > 1e-7), "seed {seed}: {beyond:?}");
            ended += 1;
        }
    }
    assert!(ended >= 30, "{ended}");
}

#[test]
fn from_nothing_it_finds_what_the_library_finds() {
    let found = (0..200).filter(|seed| {
        let programme = drawn(*seed);
        same(&quick(&programme), &by_library(&programme), &format!("seed {seed}"))
    });
    assert!(found.count() > 100);
}

#[test]
fn from_where_another_was_left_it_finds_what_the_library_finds() {
    let (mut optimal, mut impossible) = (0, 0);
    for seed in 0..40 {
        let mut programme = drawn(seed);
        let mut dice = Dice(9_000 + seed);
        let mut stand = Stand::new(&programme);
        for step in 0..12 {
            // Drawn in, and now and then let out again.
            let column = dice.between(0.0, 18.0) as usize;
            let (low, high) = match step % 4 {
                0 => (0.0, 0.0),
                1 => (dice.between(0.0, 0.3), f64::INFINITY),
                2 => (0.0, dice.between(0.0, 0.5)),
                _ => (0.0, f64::INFINITY),
            };
            (programme.columns[column].low, programme.columns[column].high) = (low, high);
            let ours = quick_from(&programme, &mut stand);
            if same(&ours, &by_library(&programme), &format!("seed {seed}, step {step}")) {
                optimal += 1;
            } else {
                impossible += 1;
            }
        }
    }
    assert!(optimal > 200 && impossible > 5, "{optimal} and {impossible}");
}

/// That the checks before the library are checks: a proof that proves nothing is refused.
#[test]
fn a_false_proof_is_none() {
    let programme = drawn(1);
    let nothing = super::Multipliers {
        rows: vec![0.0; programme.rows.len()],
        columns: vec![0.0; programme.columns.len()],
    };
    assert!(!super::dual::proves(&programme, &nothing));
    let mut false_one = nothing.clone();
    false_one.rows[0] = 1.0;
    assert!(!super::dual::proves(&programme, &false_one));
}

/// Some programmes side by side that draw on two stores, which do not suffice for all.
fn with_stores(seed: u64) -> (Programme, Vec<Store>) {
    let mut all = Programme::default();
    let mut dice = Dice(5_000 + seed);
    let mut draws = [Vec::new(), Vec::new()];
    for part in 0..5 {
        let own = drawn(100 * seed + part);
        let at = all.columns.len();
        for column in own.columns {
            all.column("", column.cost, column.low, column.high.min(50.0));
        }
        for row in own.rows.into_iter().filter(|row| row.name == "need") {
            let terms = row.terms.into_iter().map(|(column, weight)| (at + column, weight));
            all.row("", terms, row.low, row.high);
        }
        for draws in &mut draws {
            draws.extend((0..6).map(|_| at + dice.between(0.0, 18.0) as usize));
        }
    }
    let stores = draws.map(|mut draws| {
        draws.sort_unstable();
        draws.dedup();
        let beyond = all.column("", 300.0, 0.0, f64::INFINITY);
        let terms: Vec<(usize, f64)> = draws.into_iter().map(|column| (column, 1.0)).collect();
        let terms = terms.into_iter().chain([(beyond, -1.0)]);
        Store { row: all.row("", terms, f64::NEG_INFINITY, dice.between(0.0, 0.6)), beyond }
    });
    (all, stores.to_vec())
}

#[test]
fn part_by_part_it_costs_what_the_whole_costs_and_a_store_is_worth_as_much() {
    let mut short = 0;
    for seed in 0..60 {
        let (programme, stores) = with_stores(seed);
        let found = by_parts(&programme, &stores).expect("an answer");
        let Quick::Optimal(whole) = quick(&programme) else { panic!("seed {seed}") };
        let near = 1e-6 * whole.cost.abs().max(1.0);
        assert!((found.cost - whole.cost).abs() <= near, "seed {seed}: {} {}", found.cost, whole.cost);
        assert!(programme.fault(&found.amounts) <= super::NEAR);
        for (store, worth) in stores.iter().zip(&found.worth) {
            // A little more in the store saves no more than it is worth.
            let mut more = programme.clone();
            more.rows[store.row].high += 0.01;
            let Quick::Optimal(more) = quick(&more) else { panic!("seed {seed}") };
            assert!(whole.cost - more.cost <= 0.01 * worth + near, "seed {seed}: {worth}");
            short += usize::from(*worth > 1e-3);
        }
    }
    assert!(short >= 30, "{short} stores were short");
}
