//! What a limit costs on either side of where it stands, and at what price a column would enter.
//!
//! Where several limits meet in one point there is no single price, only one below and one above. Both are
//! found by solving again a small step away, so they are true whatever the dual programme happened to choose.

use crate::solve::programme::{Programme, Quick, quick};

/// Which side of a row is moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// The low side.
    Low,
    /// The high side.
    High,
    /// Both, of an equality.
    Both,
}

/// What the next unit adds to the cost, below and above where the limit stands: of cost by limit, the slopes to
/// the left and to the right. Nothing on a side where there is no answer.
pub fn slopes(programme: &Programme, row: usize, bound: Bound, step: f64, cost: f64) -> [Option<f64>; 2] {
    let at = |shift: f64| {
        let mut moved = programme.clone();
        let row = moved.rows.get_mut(row)?;
        if bound != Bound::High {
            row.low += shift;
        }
        if bound != Bound::Low {
            row.high += shift;
        }
        cost_of(&moved)
    };
    [at(-step).map(|less| (cost - less) / step), at(step).map(|more| (more - cost) / step)]
}

/// The cost of a column at which it begins to be worth using, when `amount` of it is forced in: what the rest
/// of the programme then saves, by unit. Nothing where so much cannot be used at all.
pub fn entry(programme: &Programme, column: usize, amount: f64, cost: f64) -> Option<f64> {
    let mut forced = programme.clone();
    let own = forced.columns.get_mut(column)?;
    own.cost = 0.0;
    own.low = amount;
    own.high = amount;
    Some((cost - cost_of(&forced)?) / amount)
}

/// The least cost, where there is one.
pub fn cost_of(programme: &Programme) -> Option<f64> {
    match quick(programme) {
        Quick::Optimal(optimum) => Some(optimum.cost),
        _ => None,
    }
}
