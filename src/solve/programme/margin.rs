//! What a limit costs on either side of where it stands, and at what price a column would enter.
//!
//! Where several limits meet in one point there is no single price, only one below and one above. Both are
//! found by solving again a small step away, so they are true whatever the dual programme happened to choose.

use crate::solve::programme::{Programme, Quick, Stand, quick, quick_from};

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

/// Most changes of basis that are followed in search of where a price ends (chosen here; common practice, no source).
const MOST: usize = 60;
/// Prices that are this near, against their size, are one.
const SAME: f64 = 1e-6;

/// A programme with a side of a row moved.
fn moved(programme: &Programme, row: usize, bound: Bound, shift: f64) -> Option<Programme> {
    let mut moved = programme.clone();
    let row = moved.rows.get_mut(row)?;
    if bound != Bound::High {
        row.low += shift;
    }
    if bound != Bound::Low {
        row.high += shift;
    }
    Some(moved)
}

/// How far a limit may be moved on one side before its price there, a slope that [`slopes`] found, is no more: infinite
/// where it never ends. Cost is bent outwards along a limit, so beyond that end a unit costs more, or nothing is left.
///
/// A step away from where the limit stands there is one basis and one price; how far it holds the other limits say
/// (ranging of the right-hand side; Dantzig 1963). Where the next basis has the same price it goes on.
pub fn reach(programme: &Programme, row: usize, bound: Bound, step: f64, is_up: bool, slope: f64) -> f64 {
    let sign = if is_up { 1.0 } else { -1.0 };
    let Some(own) = programme.rows.get(row) else { return 0.0 };
    // A side that meets the other one can go no further.
    let most = match (bound, is_up) {
        (Bound::Low, true) | (Bound::High, false) => own.high - own.low,
        _ => f64::INFINITY,
    };
    let (mut end, mut at) = (0.0, step);
    for _ in 0..MOST {
        let Some(moved) = moved(programme, row, bound, sign * at) else { break };
        let mut stand = Stand::new(&moved);
        let Quick::Optimal(optimum) = quick_from(&moved, &mut stand) else { break };
        let price = optimum.prices.rows.get(row).copied().unwrap_or(0.0);
        if (price - slope).abs() > SAME * slope.abs().max(1.0) {
            break;
        }
        end = at;
        // A limit that does not bind costs nothing until the row's sum meets it.
        let slack = || {
            let row = moved.rows.get(row)?;
            match (bound, is_up) {
                (Bound::Low, true) => Some(row.sum(&optimum.amounts) - row.low),
                (Bound::High, false) => Some(row.high - row.sum(&optimum.amounts)),
                (Bound::Both, _) => None,
                _ => Some(f64::INFINITY),
            }
        };
        let Some(room) = stand.room(row, is_up).or_else(slack) else { break };
        end = (at + room).min(most);
        if end >= most || end.is_infinite() {
            break;
        }
        at = end + step;
    }
    end
}

/// What the next unit adds to the cost, below and above where the limit stands: of cost by limit, the slopes to
/// the left and to the right. Nothing on a side where there is no answer.
pub fn slopes(programme: &Programme, row: usize, bound: Bound, step: f64, cost: f64) -> [Option<f64>; 2] {
    let at = |shift: f64| cost_of(&moved(programme, row, bound, shift)?);
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
