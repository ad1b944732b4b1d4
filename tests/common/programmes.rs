//! Linear programmes drawn from seeds: like rations, degenerate, badly scaled, tiny.
#![allow(dead_code, missing_docs, unreachable_pub)]

use evenfold::solve::programme::Programme;

#[path = "dice.rs"]
mod dice;
pub use dice::Dice;

/// Three in five like rations, one in five degenerate, one in five badly scaled; some of each impossible, and
/// some of the last without a least.
pub fn drawn(seed: u64) -> Programme {
    let mut dice = Dice(90_000 + seed);
    match seed % 5 {
        0..=2 => ration_like(&mut dice),
        3 => degenerate(&mut dice),
        _ => badly_scaled(&mut dice),
    }
}

const NONE: f64 = f64::INFINITY;

/// Twenty feeds and fifteen rows: needs at least, shares at most, an intake that is met exactly.
fn ration_like(dice: &mut Dice) -> Programme {
    let mut programme = Programme::default();
    for feed in 0..20 {
        let most = if dice.below(3) == 0 { dice.between(0.1, 2.0) } else { NONE };
        programme.column(format!("f{feed}"), dice.between(4.0, 45.0), 0.0, most);
    }
    let weights = |dice: &mut Dice, low: f64, high: f64| -> Vec<(usize, f64)> {
        (0..20).map(|feed| (feed, dice.between(low, high))).collect()
    };
    let intake = weights(dice, 0.25, 1.1);
    let size = dice.between(1.2, 2.0);
    programme.row("intake", intake, size, size);
    for need in 0..7 {
        let terms = weights(dice, 0.0, 14.0);
        programme.row(format!("need{need}"), terms, dice.between(3.0, 9.5) * size, NONE);
    }
    for share in 0..4 {
        let terms = weights(dice, -150.0, 150.0);
        programme.row(format!("share{share}"), terms, f64::NEG_INFINITY, 0.0);
    }
    for range in 0..3 {
        let terms = weights(dice, 0.0, 10.0);
        let low = dice.between(1.0, 5.0) * size;
        programme.row(format!("range{range}"), terms, low, low + dice.between(0.5, 9.0));
    }
    programme
}

/// Small whole numbers, rows and columns twice over, so that many limits meet in one point.
fn degenerate(dice: &mut Dice) -> Programme {
    let mut programme = Programme::default();
    let columns = 6 + dice.below(6);
    for column in 0..columns {
        let most = if dice.below(2) == 0 { NONE } else { 1.0 + dice.below(4) as f64 };
        programme.column(format!("x{column}"), dice.below(5) as f64, 0.0, most);
    }
    for row in 0..8 {
        let terms: Vec<(usize, f64)> =
            (0..columns).map(|column| (column, dice.below(7) as f64 - 2.0)).collect();
        let right = dice.below(9) as f64;
        let copies = 1 + dice.below(2);
        for copy in 0..copies {
            let name = format!("r{row}_{copy}");
            match row % 4 {
                0 => programme.row(name, terms.clone(), right, NONE),
                1 => programme.row(name, terms.clone(), f64::NEG_INFINITY, right),
                2 => programme.row(name, terms.clone(), 0.0, right),
                _ if dice.below(3) == 0 => programme.row(name, terms.clone(), right, right),
                _ => programme.row(name, terms.clone(), -right, NONE),
            };
        }
    }
    programme
}

/// Weights over six orders of size, costs of either sign, amounts that may be below nothing.
fn badly_scaled(dice: &mut Dice) -> Programme {
    const SIZES: [f64; 7] = [1e-3, 1e-2, 0.1, 1.0, 10.0, 100.0, 1000.0];
    let mut programme = Programme::default();
    let mut sizes = Vec::new();
    // Half of them are open upwards, with costs of either sign: most of these have no least.
    let is_open = dice.below(2) == 0;
    for column in 0..12 {
        let size = SIZES[dice.below(7)];
        sizes.push(size);
        let low = if dice.below(5) == 0 { -dice.between(0.0, 9.0) / size } else { 0.0 };
        let most = if dice.below(2) == 0 { NONE } else { dice.between(0.5, 20.0) / size };
        programme.column(
            format!("x{column}"),
            dice.between(if is_open { -3.0 } else { -1.0 }, 9.0) * size,
            low,
            most,
        );
    }
    for row in 0..10 {
        let by = SIZES[dice.below(7)];
        let terms: Vec<(usize, f64)> = sizes
            .iter()
            .enumerate()
            .map(|(column, size)| (column, by * size * dice.between(-3.0, 9.0)))
            .collect();
        let right = by * dice.between(1.0, 30.0);
        match row % 3 {
            _ if is_open => programme.row(format!("r{row}"), terms, 0.1 * right, NONE),
            0 => programme.row(format!("r{row}"), terms, right, NONE),
            1 => programme.row(format!("r{row}"), terms, f64::NEG_INFINITY, 3.0 * right),
            _ => programme.row(format!("r{row}"), terms, 0.2 * right, 4.0 * right),
        };
    }
    programme
}

/// Two to four columns and two to four rows, every bound finite: small enough to try every corner.
pub fn tiny(seed: u64) -> Programme {
    let mut dice = Dice(50_000 + seed);
    let mut programme = Programme::default();
    let columns = 2 + dice.below(3);
    for column in 0..columns {
        let low = dice.below(3) as f64 - 1.0;
        programme.column(format!("x{column}"), dice.between(-3.0, 5.0), low, low + dice.below(5) as f64);
    }
    for row in 0..2 + dice.below(3) {
        let terms: Vec<(usize, f64)> =
            (0..columns).map(|column| (column, dice.below(9) as f64 - 3.0)).collect();
        let low = dice.below(12) as f64 - 4.0;
        match dice.below(4) {
            0 => programme.row(format!("r{row}"), terms, low, low),
            1 => programme.row(format!("r{row}"), terms, low, NONE),
            2 => programme.row(format!("r{row}"), terms, f64::NEG_INFINITY, low),
            _ => programme.row(format!("r{row}"), terms, low, low + dice.below(6) as f64),
        };
    }
    programme
}
